//! An April at the command line: plants set out in the cold, deaths in the bed, a thermometer unread for a week, full
//! benches, empty trays, plants bought in, and words as growers type them. The real binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;

/// Twelve tomatoes and twelve lettuces up in pots on the sill, and a plot.
fn home() -> Home {
    let home = Home::with_benches();
    home.script(
        "place add veg --kind plot --on 2024-01-01
         sow tomato First --seeds 12 --in 9cm-potx12 --at sill/long --on 2024-03-01
         sow lettuce First --seeds 12 --in 7cm-potx12 --at sill/long --on 2024-03-01
         count 1 12 --on 2024-03-10
         count 2 12 --on 2024-03-10",
    );
    home
}

#[test]
fn planted_out_plants_stay_in_the_frost_watch() {
    let home = home();
    home.does("forecast set 2024-04-25 --low -4 --high 9 --on 2024-04-24");
    let said = home.does("plant-out 1 5 --to veg --on 2024-04-24");
    assert!(said.contains("1a tomato is early: the last frost is about 10 May; not hardened off"), "{said}");
    let harm = "nearly certain that they fall under 10.0 C: it kills them: they die at 0.0 C";
    assert!(said.contains("the night to 2024-04-25: leaves likely at") && said.contains(harm), "{said}");
    // All of it, and cleared: no longer on any bench.
    let said = home.does("plant-out 2 --to veg --on 2024-04-24");
    assert!(said.contains("2a: 12 planted out in veg, 0 left standing"), "{said}");
    assert!(said.contains("2a is empty and still takes its room on sill/long: `clear 2a`"), "{said}");
    home.does("clear 2 --on 2024-04-24");
    let fleece = "fleece veg tonight: 5 tomato, 12 lettuce planted out; leaves likely at";
    for line in ["cold --on 2024-04-24", "due --on 2024-04-24"] {
        let said = home.does(line);
        assert!(said.contains(fleece), "{line}: {said}");
    }
    let page = home.does("--plain tonight --on 2024-04-24");
    assert!(
        page.contains("fleece: veg: 5 tomato, 12 lettuce planted out") && page.contains("so: cover veg on"),
        "{page}"
    );
    assert!(home.does("--plain --on 2024-04-24").contains("fleece veg"));
    let rows = home.json("cold --on 2024-04-24")["rows"].clone();
    let bed = rows.as_array().unwrap().iter().find(|row| row["row"] == "planted_out").unwrap().clone();
    assert_eq!((&bed["bed"], &bed["crops"][1]["plants"]), (&"veg".into(), &12.into()));
    // Six weeks on it is nobody's business.
    home.does("forecast set 2024-06-20 --low -4 --high 9 --on 2024-06-19");
    assert!(!home.does("cold --on 2024-06-19").contains("fleece"));
}

#[test]
fn a_loss_says_whose_plants_it_takes() {
    let home = home();
    assert!(!home.does("lose 1 1 --cause frost --on 2024-04-20").contains("off the plants"), "none is planted out yet");
    assert!(home.does("batch 1 --on 2024-04-20").contains("cold"));
    home.does("plant-out 1 5 --on 2024-05-24");
    for line in ["lose 1 2 --cause frost", "give 1 1", "thin 1 1", "discard 1 1"] {
        let said = home.does(&format!("{line} --on 2024-05-25"));
        assert!(said.contains("these came off the plants still in pots") && said.contains("and 5 are out"), "{said}");
        assert!(said.contains("`note 1 \"5 lost in the bed\"`"), "{said}");
    }
    home.does("note 1 '5 lost in the bed' --on 2024-05-25");
}

#[test]
fn a_reading_after_days_says_what_it_is_of() {
    let home = home();
    assert!(!home.does("reading frame --min 3 --max 20 --on 2024-04-13").contains("note"), "the first there is");
    assert!(!home.does("reading frame --min 3 --max 20 --on 2024-04-14").contains("note"));
    assert!(!home.does("reading frame --now 9 --on 2024-04-20").contains("note"), "of the moment");
    let said = home.does("reading frame --min 1 --max 39 --on 2024-04-22");
    let told = "frame was last read on 14 Apr: of 8 days this is kept";
    assert!(said.contains(told) && said.contains("of last night it says nothing"), "{said}");
    assert!(!home.does("reading frame --min 3 --on 2024-04-23").contains("note"));
}

#[test]
fn potting_on_tells_of_a_full_bench_of_the_same_size_and_of_what_it_emptied() {
    let home = home();
    home.does("bench add sill/short --size 500x220mm --on 2024-01-01");
    let said = home.does("pot-on 1 12 --into 9cm-pot --at sill/short --on 2024-04-20");
    assert!(said.contains("more stands on sill/short than was found to go: no spot for 1b"), "{said}");
    assert!(
        said.contains("1a stood in 9cm-pot already: if the pots were only set elsewhere, `undo`, then `move 1a"),
        "{said}"
    );
    assert!(said.contains("1a is empty and still takes its room on sill/long: `clear 1a`"), "{said}");
    let said = home.does("due --on 2024-04-20");
    assert!(said.contains("1 empty container still takes 0.10 m2: clear it"), "{said}");
    let said = home.does("pot-on 2 6 --into 9cm-pot --at sill/long --on 2024-04-20");
    assert!(
        !said.contains("than was found to go") && !said.contains("already") && !said.contains("is empty"),
        "{said}"
    );
    home.does("clear 1a --on 2024-04-20");
    assert!(!home.does("due --on 2024-04-20").contains("empty container"));
}

#[test]
fn what_is_bought_in_has_a_next_step() {
    let home = Home::with_benches();
    home.does("receive tomato Bought --plants 12 --in 7cm-pot --at sill/long --on 2024-04-01");
    let page = home.does("--plain --on 2024-04-01");
    assert!(page.contains("1a tomato Bought: 12 standing to pot on, from 15 Apr"), "{page}");
    assert!(home.does("due --on 2024-05-20").contains("pot on"));
}

#[test]
fn seed_that_is_not_up_yet_needs_no_watch() {
    let home = Home::with_benches();
    assert!(home.does("cold --on 2024-04-02").contains("nothing stands anywhere"));
    home.does("sow pea First --seeds 20 --in seed-tray --at frame/left --on 2024-04-01");
    home.does("sow tomato First --seeds 20 --in seed-tray --at sill/long --on 2024-04-01");
    home.does("forecast set 2024-04-03 --low -2 --high 9 --on 2024-04-02");
    let said = home.does("cold --on 2024-04-02");
    assert!(said.contains("nothing is up yet: seed in frame, sill needs no watch"), "{said}");
    assert!(said.contains("tonight -2.0 C outside"), "{said}");
    let page = home.does("--plain tonight --on 2024-04-02");
    assert!(page.contains("Tonight -2 C by the forecast; nothing is up yet: seed in frame, sill"), "{page}");
}

#[test]
fn words_as_they_are_typed() {
    let home = Home::with_benches();
    home.script(
        "place add veg --kind plot --on 2024-01-01
         sow pea First --seeds 40 --in half-trayx2 --at frame/left --on 2024-03-01
         sow tomato First --seeds 20 --in seed-tray --at sill/long --on 2024-03-01
         sow leek First --seeds 20 --in seed-tray --at sill/long --on 2024-03-01
         sow leek Second --seeds 20 --in seed-tray --at sill/long --on 2024-03-01
         count 1a 20 --on 2024-03-12
         count 1b 20 --on 2024-03-12",
    );
    // A crop stands for its only open batch, in a shell and in a script.
    assert!(home.does("count tomato 14 --on 2024-03-12").contains("2a: 14 up of 20"));
    home.script("count tom 15 --on 2024-03-13");
    assert_eq!(home.stands(2, "a"), 15);
    let which = home.refuses("count leek 5 --on 2024-03-12");
    assert_eq!(which, "BATCH|PART: 'leek' could be 3 (leek First) or 4 (leek Second); write the number");
    assert!(home.refuses("count carrot 5 --on 2024-03-12").contains("'carrot' is not a batch or part"));
    // Benches by day, two batches, all that stand, and trays one after another.
    assert!(home.does("out 1a frame/left --on 2024-03-14").contains("1a out for the day in frame"));
    home.does("in --on 2024-03-14");
    let two = home.refuses("move 2 1 sill/long --on 2024-03-14");
    assert!(two.ends_with("to move two batches give letters: `move 2a 1a 1b sill/long`"), "{two}");
    let both = "write `plant-out 1a 20`, then `plant-out 1b 10`";
    assert!(home.refuses("plant-out 1 30 --on 2024-04-14").ends_with(both));
    let all = "say how many of 1; all are: `plant-out 1a 20`, then `plant-out 1b 20`";
    assert_eq!(home.refuses("plant-out 1 --on 2024-04-14"), all);
    let slip = home.refuses("plant-out 1a --to vegg --on 2024-04-14");
    assert!(slip.starts_with("vegg is no place, and one slip from veg; did you mean veg?"), "{slip}");
    assert!(home.does("plant-out 1a --to 'north end' --on 2024-04-14").contains("20 planted out in north end"));
    for line in ["discard 1b", "give 1b"] {
        let verb = if line.starts_with("give") { "give-away" } else { "discard" };
        let asked = format!("say how many of 1b; all are: `{verb} 1b 20`");
        assert_eq!(home.refuses(&format!("{line} --on 2024-04-14")), asked);
    }
    assert!(home.does("pot-on 2 --into 9cm-pot --at sill/long --on 2024-04-14").contains("15 pricked out from 2a"));
    home.refuses_with("lose 1b --on 2024-04-14", 2);
}
