//! What happens in one ordinary afternoon, typed at the command line, each case against numbers counted by hand.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

#[test]
fn two_crops_sown_into_one_tray() {
    let home = Home::with_benches();
    let said = home.does("sow tomato First --seeds 40 --in seed-tray --at sill/long --on 2024-03-02");
    assert!(said.contains("2024/1 tomato First sown"), "{said}");
    home.does("sow leek First --seeds 30 --share 1a --on 2024-03-02");
    home.does("count 1 35 --on 2024-03-10");
    home.does("count 2 20 --on 2024-03-12");
    home.does("pot-on 1 35 --into 40-cell --at sill/long --on 2024-03-14");
    home.does("clear 1a --on 2024-03-14");
    assert_eq!(
        home.refuses("clear 2 --on 2024-03-15"),
        "2a still has 20 standing; lose, discard or plant them out first, or clear with --rest discard"
    );
    home.does("clear 2 --rest discard --on 2024-03-15");
    assert_eq!(home.tally(1), "sown 40, not_up 5, standing 35");
    assert_eq!(home.tally(2), "sown 30, not_up 10, discarded 20");
}

#[test]
fn several_seeds_to_a_cell() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 72 --in 40-cell --per-cell 2 --at sill/long --on 2024-03-02");
    let words = home.refuses("sow tomato First --seeds 74 --in 36-pack --per-cell 2 --at sill/long --on 2024-03-02");
    assert!(words.starts_with("74 do not go into 36-pack: 36 cells at 2 each"), "{words}");
    home.does("count 1 60 --on 2024-03-10");
    let words = home.refuses("count 1 -4 --on 2024-03-11");
    assert!(words.starts_with("gaps do not tell how many stand in 1a"), "{words}");
    home.does("thin 1 26 --on 2024-03-12");
    assert_eq!(home.tally(1), "sown 72, not_up 12, standing 34, thinned 26");
    home.does("pot-on 1 34 --into 9cm-potx34 --at sill/long --on 2024-03-20");
    let part = home.part(1, "b");
    assert_eq!((&part["source"], &part["from"]), (&"pricked out".into(), &"2024/1a".into()));
}

#[test]
fn clusters_that_give_several_seedlings() {
    let home = Home::with_benches();
    home.does("sow beetroot First --clusters 40 --in 40-cell --at sill/long --on 2024-03-02");
    home.does("count 1 -10 --on 2024-03-10");
    let words = home.refuses("pot-on 1 75 --into 104-cell --at sill/long --on 2024-03-20");
    assert_eq!(
        words,
        "1a has 30 standing, not 75; if more are there than the log knows, count first; pot-on and plant-out take --recount"
    );
    home.does("pot-on 1 75 --into 104-cell --at sill/long --recount --on 2024-03-20");
    assert_eq!(home.tally(1), "sown 40, gained 45, not_up 10, standing 75");
    home.does("count 1a 28 --sure --on 2024-03-21");
    assert_eq!(home.tally(1), "sown 40, gained 47, not_up 12, standing 75");
    let words = home.refuses("count 1a --standing 246 --on 2024-03-22");
    assert!(words.starts_with("321 plants cannot come from 40 in 1a"), "{words}");
    let row = home.batch(1);
    assert_eq!((&row["unit"], &row["up"]), (&"cluster".into(), &28.into()));
}

#[test]
fn an_uncounted_pinch() {
    let home = Home::with_benches();
    home.does("sow celery First --pinch 50 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 80 --on 2024-03-10");
    assert_eq!(home.tally(1), "sown 50, gained 30, standing 80");
    home.does("count 1 40 --sure --on 2024-03-11");
    assert_eq!(home.tally(1), "sown 50, not_up 10, standing 40");
    home.does("pot-on 1 60 --into 60-cell --at sill/long --recount --on 2024-03-12");
    assert_eq!(home.tally(1), "sown 50, gained 10, standing 60");
    // A guess has no rate.
    assert_eq!(home.batch(1)["rate"], serde_json::Value::Null);
}

#[test]
fn doubles_split_when_pricking_out() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 72 --in 72-cell --at sill/long --on 2024-03-02");
    home.does("count 1 50 --on 2024-03-10");
    home.does("pot-on 1 53 --into 9cm-potx53 --at sill/long --doubles --on 2024-03-20");
    assert_eq!(home.tally(1), "sown 72, gained 3, not_up 22, standing 53");
    assert_eq!(home.batch(1)["up"], 50);
    home.does("count 1a 53 --on 2024-03-22");
    assert_eq!(home.tally(1), "sown 72, gained 3, not_up 19, standing 56");
    home.does("sow tomato First --seeds 72 --in 72-cell --at sill/long --on 2024-03-02");
    let words = home.refuses("count 2 73 --on 2024-03-10");
    assert_eq!(words, "73 plants cannot come from 72 in 2a; if some were doubles, add --doubles");
    home.does("count 2 73 --doubles --on 2024-03-10");
    assert_eq!(home.tally(2), "sown 72, gained 1, standing 73");
}

#[test]
fn a_carrier_shared_by_crops() {
    let home = Home::with_benches();
    home.does("carrier add crate --in 1020-carrier --at sill/long --on 2024-03-01");
    home.does("sow tomato First --seeds 6 --in 9cm-potx6 --at crate --on 2024-03-02");
    home.does("sow basil First --seeds 4 --in 9cm-potx4 --at crate --on 2024-03-02");
    home.does("move crate frame/left --on 2024-03-05");
    assert_eq!(home.part(1, "a")["at"], "frame/left on crate");
    assert_eq!(home.part(2, "a")["at"], "frame/left on crate");
    home.does("move crate sill/long --on 2024-03-06");
    home.does("out 1a 2a frame --on 2024-03-07");
    assert_eq!(home.part(2, "a")["out"], "frame");
    home.does("in 2a --on 2024-03-07");
    assert_eq!(home.part(1, "a")["out"], serde_json::Value::Null);
    home.does("move 2a frame/left --on 2024-03-08");
    assert_eq!(home.part(2, "a")["at"], "frame/left");
    assert_eq!(home.part(1, "a")["at"], "sill/long on crate");
}

#[test]
fn one_batch_in_several_places_and_part_of_a_set_moved() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 100 --in 72-cellx2 --at sill/long --on 2024-03-02");
    home.does("move 1b frame/left --on 2024-03-03");
    assert_eq!(home.part(1, "a")["tally"]["sown"], 72);
    assert_eq!(home.part(1, "b")["tally"]["sown"], 28);
    assert_eq!(home.part(1, "a")["at"], "sill/long");
    assert_eq!(home.part(1, "b")["at"], "frame/left");
    let words = home.refuses("count 1 50 --on 2024-03-10");
    assert!(words.starts_with("1 could be 1a (0 standing, sill/long) or 1b (0 standing, frame/left)"), "{words}");

    home.does("sow basil First --seeds 12 --in 9cm-potx12 --at sill/long --on 2024-03-02");
    home.does("count 2 10 --on 2024-03-10");
    home.does("move 2 4 frame/left --on 2024-03-11");
    assert_eq!((home.stands(2, "a"), home.stands(2, "b")), (6, 4));
    assert_eq!((&home.part(2, "a")["pots"], &home.part(2, "b")["pots"]), (&8.into(), &4.into()));
    home.does("count 2a -3 --sure --on 2024-03-12");
    home.does("count 2b -1 --sure --on 2024-03-12");
    assert_eq!((home.stands(2, "a"), home.stands(2, "b")), (5, 3));
    home.does("move 2a 5 frame/left --on 2024-03-13");
    assert_eq!(home.part(2, "a")["at"], "frame/left");
    assert_eq!(home.tally(2), "sown 12, not_up 4, standing 8");
}

#[test]
fn a_recount_down_is_a_correction() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 72 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 60 --on 2024-03-10");
    home.does("count 1 55 --sure --on 2024-03-12");
    assert_eq!(home.tally(1), "sown 72, not_up 17, standing 55");
    let curve = home.part(1, "a")["curve"].clone();
    assert_eq!(curve, serde_json::json!([{"on": "2024-03-10", "up": 55}, {"on": "2024-03-12", "up": 55}]));
    home.does("pot-on 1 40 --into 40-cell --at sill/long --on 2024-03-14");
    home.does("count 1a --standing 12 --sure --on 2024-03-15");
    home.does("count 1b -2 --sure --on 2024-03-15");
    assert_eq!(home.tally(1), "sown 72, not_up 22, standing 50");
    let words = home.refuses("count 1a 39 --on 2024-03-16");
    assert!(words.starts_with("40 have already left 1a, so 39 cannot be all that ever came up"), "{words}");
}

#[test]
fn counts_as_up_standing_or_gaps() {
    let home = Home::with_benches();
    let said = ["33", "--standing 33", "--gaps 7", "-7", "38 --standing 33", "38 --gaps 7"];
    for (number, words) in (1..).zip(said) {
        home.does("sow tomato First --seeds 40 --in 40-cell --at sill/long --on 2024-03-02");
        home.does(&format!("count {number} {words} --on 2024-03-10"));
        assert_eq!(home.stands(number, "a"), 33, "{words}");
    }
    assert_eq!(home.tally(4), "sown 40, not_up 7, standing 33");
    // 38 came up and 33 stand: five died unseen.
    assert_eq!(home.tally(5), "sown 40, not_up 2, standing 33, lost 5");
    assert_eq!(home.tally(6), home.tally(5));
    assert!(
        home.refuses("count 1 -41 --on 2024-03-11").starts_with("1a has 40 filled cells, so it cannot have 41 gaps")
    );
    let words = home.refuses("count 1 3 --on 2024-03-01");
    assert!(words.starts_with("the plants it speaks of were not there yet"), "{words}");
}

#[test]
fn recount_and_pot_on() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 20 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 8 --on 2024-03-10");
    assert!(
        home.refuses("pot-on 1 12 --into 9cm-potx12 --at sill/long --on 2024-03-15").starts_with("1a has 8 standing")
    );
    home.does("pot-on 1 12 --into 9cm-potx12 --at sill/long --recount --on 2024-03-15");
    assert_eq!(home.tally(1), "sown 20, not_up 8, standing 12");
    let words = home.refuses("pot-on 1a 9 --into 9cm-potx9 --at sill/long --recount --on 2024-03-16");
    assert!(words.starts_with("21 plants cannot come from 20 in 1a"), "{words}");
    let words = home.refuses("plant-out 1b 13 --on 2024-03-20");
    assert!(words.starts_with("1b has 12 standing, not 13"), "{words}");
    home.does("plant-out 1b 12 --to 'north bed' --on 2024-03-20");
    assert_eq!(home.tally(1), "sown 20, not_up 8, planted_out 12");
}

#[test]
fn the_best_kept_and_the_rest_discarded() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 72 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 60 --on 2024-03-10");
    home.does("pot-on 1 24 --into 9cm-potx24 --at sill/long --rest discard --on 2024-03-20");
    assert_eq!(home.part(1, "a")["cleared"], "2024-03-20");
    assert_eq!(home.tally(1), "sown 72, not_up 12, standing 24, discarded 36");
    home.does("undo");
    assert_eq!(home.tally(1), "sown 72, not_up 12, standing 60");
    home.does("redo");
    assert_eq!(home.tally(1), "sown 72, not_up 12, standing 24, discarded 36");
}

#[test]
fn a_paper_start_set_into_cells() {
    let home = Home::with_benches();
    home.does("sow 'sweet pepper' First --seeds 20 --in paper --at sill/long --on 2024-03-02");
    home.does("count 1 16 --on 2024-03-06");
    let words = home.refuses("pot-on 1 16 --into paper --at sill/long --on 2024-03-07");
    assert!(words.starts_with("paper is a paper: plants go into compost"), "{words}");
    home.does("pot-on 1 16 --into 24-cell --at sill/long --rest discard --on 2024-03-07");
    home.does("count 1b 14 --sure --on 2024-03-12");
    // The seeds thrown away with the paper are in the count still.
    assert_eq!(home.tally(1), "sown 20, not_up 6, standing 14");
    assert_eq!((&home.batch(1)["sown"], &home.part(1, "b")["source"]), (&20.into(), &"pricked out".into()));
}

#[test]
fn a_tray_bought_in() {
    let home = Home::with_benches();
    home.does("receive celery First --plants 18 --in 18-cell --at sill/long --on 2024-04-01");
    assert_eq!(home.tally(1), "gained 18, standing 18");
    home.does("count 1 18 --standing 15 --on 2024-04-03");
    assert_eq!(home.tally(1), "gained 18, standing 15, lost 3");
    home.does("count 1 14 --sure --on 2024-04-04");
    assert_eq!(home.stands(1, "a"), 14);
    let words = home.refuses("count 1 --standing 16 --on 2024-04-05");
    assert!(words.starts_with("19 plants cannot come from 18 in 1a"), "{words}");
    let row = home.batch(1);
    assert_eq!((&row["beginning"], &row["rate"]), (&"received".into(), &serde_json::Value::Null));
    assert_eq!(home.json("germination --on 2024-04-06")["rows"], serde_json::json!([]));
}

#[test]
fn a_group_out_for_the_day_and_home_again() {
    let home = Home::with_benches();
    for _ in 1..=3 {
        home.does("sow tomato First --seeds 20 --in seed-tray --at sill/long --on 2024-03-02");
    }
    home.does("out 1 2 3 frame --on 2024-04-01");
    assert_eq!((&home.part(2, "a")["out"], &home.part(2, "a")["at"]), (&"frame".into(), &"sill/long".into()));
    assert!(home.refuses("out 2 frame --on 2024-04-01").starts_with("it is already out for the day"));
    home.does("in --on 2024-04-01");
    // The same group again, without naming it.
    home.does("out frame --on 2024-04-02");
    assert_eq!(home.part(3, "a")["out"], "frame");
    home.does("in --on 2024-04-02");
    assert_eq!(home.part(3, "a")["out"], serde_json::Value::Null);
    assert_eq!(home.refuses("in --on 2024-04-02"), "nothing is out for the day");
}

#[test]
fn a_backdated_act() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 72 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 60 --on 2024-03-10");
    home.does("pot-on 1 20 --into 9cm-potx20 --at sill/long --on 2024-03-20");
    home.does("pot-on 1a 10 --into 9cm-potx10 --at sill/long --on 2024-03-15");
    home.does("lose 1a 5 --cause slugs --on 2024-03-17");
    assert_eq!((home.stands(1, "a"), home.stands(1, "b"), home.stands(1, "c")), (25, 20, 10));
    let words = home.refuses("lose 1a 26 --cause slugs --on 2024-03-15");
    assert!(
        words.starts_with("that would make an entry of 2024-03-20 impossible: 1a has 19 standing, not 20"),
        "{words}"
    );
    let rows = home.json("batch 1 --on 2024-03-16");
    assert_eq!(rows["rows"][0]["standing"], 60);
    assert_eq!(rows["rows"][0]["tally"]["lost"], 0);
}

#[test]
fn a_lost_label() {
    let home = Home::with_benches();
    home.does("sow unknown --seeds 12 --in seed-tray --at sill/long --on 2024-03-02");
    assert_eq!(home.batch(1)["crop"], "unknown");
    home.does("identify 1 fennel First --on 2024-03-20");
    assert_eq!((&home.batch(1)["crop"], &home.batch(1)["variety"]), (&"fennel".into(), &"First".into()));
    let words = home.refuses("identify 1 dill First --on 2024-03-21");
    assert_eq!(words, "this batch is not unknown: it is already fennel First");
}

#[test]
fn clearing_with_a_straggler_after_it() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 20 --in seed-tray --at sill/long --on 2024-03-02");
    home.does("count 1 15 --on 2024-03-10");
    home.does("pot-on 1 15 --into 9cm-potx15 --at sill/long --on 2024-03-20");
    home.does("clear 1a --on 2024-03-20");
    let words = home.refuses("lose 1a 1 --cause slugs --on 2024-03-21");
    assert_eq!(words, "1a was cleared on 2024-03-20; count a straggler with `count PART --standing 1`");
    home.does("count 1a --standing 1 --on 2024-03-25");
    home.does("pot-on 1a 1 --into 9cm-pot --at sill/long --on 2024-03-26");
    home.does("clear 1a --on 2024-03-26");
    assert_eq!(home.tally(1), "sown 20, not_up 4, standing 16");
    home.does("pot-on 1a 1 --into 9cm-pot --at sill/long --recount --on 2024-03-30");
    assert_eq!(home.part(1, "a")["cleared"], "2024-03-30");
    assert_eq!(home.tally(1), "sown 20, not_up 3, standing 17");
}

/// The whole of it again as one script, and the journal checked: the store's sums agree with the fold's.
#[test]
fn the_afternoon_as_a_script_checks_out() {
    let home = Home::with_benches();
    home.script(
        "sow tomato First --seeds 40 --in seed-tray --at sill/long --on 2024-03-02
         sow leek First --seeds 30 --share 1a --on 2024-03-02
         count 1 35 --on 2024-03-10
         pot-on 1 35 --into 40-cell --at sill/long --rest discard --on 2024-03-14
         out 1b frame --on 2024-03-20
         in --on 2024-03-20
         lose 1b 3 --cause 'damping off' --on 2024-03-21
         undo
         give-away 1b 5 --on 2024-03-22",
    );
    assert_eq!(home.tally(1), "sown 40, not_up 5, standing 30, given_away 5");
    assert!(home.does("check").starts_with("sound: 13 acts"), "{}", home.does("check"));
}

#[test]
fn an_undo_with_what_depends_on_it_reaches_other_batches_too() {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 20 --in half-tray --at sill/long --on 2024-03-02");
    home.does("sow leek First --seeds 20 --in half-tray --at sill/long --on 2024-03-02");
    home.does("out 1a 2a sill --on 2024-03-03");
    home.does("in 2a --on 2024-03-03");
    // Batch 1's sowing holds up the group that went out, and that the homecoming of batch 2.
    let history = home.json("history");
    let sown = |row: &&serde_json::Value| row["said"].to_string().contains("2024/1 tomato First sown");
    let sowing = history["rows"].as_array().unwrap().iter().find(sown).unwrap()["short"].as_str().unwrap().to_owned();
    let words = home.refuses(&format!("undo {sowing}"));
    assert!(words.starts_with("2 later acts depend on it"), "{words}");
    home.does(&format!("undo {sowing} --with-later"));
    assert!(home.does("check").starts_with("sound"), "nothing may be set aside by an undo");
    assert!(!home.does("check").contains("set aside"));
    home.does("redo");
    assert_eq!(home.tally(1), "sown 20, not_up 20");
}
