//! Does it fit, and what else: the answers of `fits` and of placing, each carried out and asked again. The real binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;

/// A sill of 1200 x 250 mm and a sloping frame of 1200 x 600 mm.
fn home() -> Home {
    let home = Home::empty();
    home.script(
        "place add kitchen --kind windowsill
         bench add kitchen/sill --size 1200x250mm
         place add frame --kind 'cold frame'
         bench add frame/left --size 1200x600mm --headroom 400..250mm
         lot add tomato First --seeds 200",
    );
    home
}

#[test]
fn the_verdict_stands_above_the_benches_and_spots_untold_are_counted() {
    let home = home();
    let said = home.does("fits seed-trayx6");
    assert_eq!(said.lines().next(), Some("6 x seed-tray: all fit"), "{said}");
    assert!(said.contains("note: one way: on frame/left at 0,360; 380,360; 760,360; and 3 more\n"), "{said}");
    // A line for each bench, so that a narrow screen runs none into another.
    let said = home.does("fits seed-trayx8");
    assert!(said.contains("; and 3 more\nnote: and on kitchen/sill at 0,0"), "{said}");
    let json = home.json("fits seed-trayx6");
    assert_eq!(json["notices"][0], "6 x seed-tray: all fit");
}

#[test]
fn pots_that_do_not_go_as_one_set_are_answered_singly() {
    let home = home();
    let most = |row: &serde_json::Value| row["more"].as_u64().unwrap();
    let singles = home.json("fits 9cm-pot");
    let all: u64 = singles["rows"].as_array().unwrap().iter().map(most).sum();
    // 250 mm hold two rows of 9 cm pots, 1200 mm thirteen in a row.
    assert_eq!(singles["rows"][1]["more"], 26);
    assert_eq!(all, 78 + 26);
    let said = home.does("fits 9cm-potx100");
    assert!(
        said.contains("100 9cm-pots: not as one set, but singly 100 go: 78 on frame/left, 22 on kitchen/sill"),
        "{said}"
    );
    assert!(!said.contains("1 x 100"), "{said}");
    assert!(!said.contains("no way was found"), "{said}");
    let said = home.does("fits 9cm-potx150");
    assert!(said.contains("not as one set, but singly 104 go"), "{said}");
    assert_eq!(home.json("fits 9cm-potx100")["rows"][1]["singly"], 22);
    // What goes as one set is not counted out.
    assert!(!home.does("fits 9cm-potx12").contains("singly"));
}

#[test]
fn who_has_no_spot_is_told_by_the_act_and_each_morning() {
    let home = home();
    home.script(
        "bench add kitchen/table --size 600x600mm
         sow tomato First --seeds 9 --in half-tray --at kitchen/table
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table",
    );
    assert!(!home.does("due").contains("no spot"));
    // In the middle of the table it leaves no strip of 240 mm.
    let said = home.does("place 1 200,200");
    assert!(said.contains("there is no spot on kitchen/table for 2a, 3a"), "{said}");
    let due = home.does("due");
    assert!(due.contains("no spot on kitchen/table for 2a, 3a"), "{due}");
    // The others of a bench that are noted with it are told together.
    home.does("undo");
    let table = &home.json("benches")["rows"][2];
    let stands = table["standing"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["parts"][0].as_str().unwrap().ends_with("/1a"))
        .unwrap();
    let said = home.does(&format!("place 1 {},{} --as-drawn", stands["x_mm"], stands["y_mm"]));
    assert!(said.contains("2 others were noted where drawn") && !said.contains("2a stands at"), "{said}");
    assert!(home.does("undo").contains("2 others were noted where drawn"));
}

#[test]
fn pots_whose_plants_left_are_freed() {
    let home = home();
    home.script(
        "own 9cm-pot 40
         receive tomato First --plants 12 --in 9cm-potx12 --at frame/left
         place 1 100,0 --pin
         plant-out 1 4",
    );
    let said = home.does("clear 1 --pots 4");
    assert!(said.contains("1b: 8 of") && said.contains("stay, in 8 9cm-pots"), "{said}");
    assert!(said.contains("4 pots are emptied"), "{said}");
    let hand = &home.json("in-hand")["rows"][0];
    assert_eq!(
        (&hand["in_use"], &hand["to_wash"], &hand["without_plants"]),
        (&8.into(), &4.into(), &0.into()),
        "{hand}"
    );
    let bench = &home.json("benches")["rows"][0];
    // Eight of 90 x 90 mm.
    assert_eq!((&bench["taken_area_mm2"], &bench["standing"][0]["x_mm"]), (&(8 * 8100).into(), &100.into()), "{bench}");
    assert!(home.refuses("clear 1 --pots 1").contains("8 plants in 8 pots; no pot is without a plant"));
    assert!(home.refuses_with("clear 1 1b --pots 1", 2).contains("of one set"));
    home.does("undo");
    assert_eq!(home.json("in-hand")["rows"][0]["in_use"], 12);
    assert!(home.does("why in-hand 9cm-pot").contains("1a: 12, frame/left"), "{}", home.does("why in-hand 9cm-pot"));
}

#[test]
fn a_repacking_says_what_it_puts_right_and_what_it_costs() {
    let home = home();
    home.script(
        "sow tomato First --seeds 9 --in seed-tray --at frame/left
         sow tomato First --seeds 9 --in seed-tray --at frame/left
         place 1 0,0
         place 2 400,0",
    );
    assert!(home.does("repack frame/left").contains("not worth it"));
    // By a later measurement of the bench the second stands off it.
    home.does("bench resize frame/left --size 700x600mm");
    let due = home.does("due");
    assert!(due.contains("by the log 2a stands in another or off frame/left"), "{due}");
    let said = home.does("repack frame/left");
    assert!(said.contains("puts right where 2a stands") && !said.contains("frees room for 2 -> 1"), "{said}");
    assert_eq!(home.json("repack frame/left")["rows"][0]["puts_right"][0], "2a");
}

#[test]
fn a_slip_is_refused_with_what_would_do() {
    let home = home();
    home.script(
        "sow tomato First --seeds 9 --in half-tray --at kitchen/sill
         sow tomato First --seeds 9 --in seed-tray --at kitchen/sill
         sow tomato First --seeds 9 --in seed-tray --at kitchen/sill",
    );
    // Half-tray, tray, tray from the left: the last tray does not go between the end and the other.
    let said = home.refuses("swap 1 3");
    assert!(said.contains("3a is larger than the spot of 1a, and would stand in 2a there; shift 2a first"), "{said}");
    assert!(home.refuses("move kitchen/sill frame/left").contains("`move --all`"));
    let said = home.types("measure seed-tray -380x240mm").err;
    assert!(said.contains("-380x240mm") && !said.contains("'-3'"), "{said}");
}

#[test]
fn who_a_sowing_stands_beside_is_who_was_there_before_it_each_once() {
    let home = home();
    home.script(
        "sow tomato First --seeds 9 --in seed-tray --at kitchen/sill
         sow tomato First --seeds 9 --share 1
         undo
         sow tomato First --seeds 9 --share 1
         sow tomato First --seeds 9 --share 1",
    );
    let told: Vec<String> =
        home.does("history").lines().filter_map(|line| Some(line.split_once("beside ")?.1.to_owned())).collect();
    assert_eq!(told, ["1a and 2a", "1a", "1a", "1a"], "the newest first, the undoing and what was undone last");
}

#[test]
fn the_dark_is_named_last_and_as_for_what_is_not_up_yet() {
    let home = home();
    home.script(
        "place add airing --kind 'airing cupboard'
         bench add airing/slats --size 900x500mm",
    );
    let benches = |question: &str| -> Vec<String> {
        let rows = home.json(question);
        rows["rows"].as_array().unwrap().iter().map(|row| row["bench"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(benches("fits seed-tray"), ["frame/left", "kitchen/sill", "airing/slats"]);
    let said = home.does("fits seed-trayx20");
    assert!(said.contains("dark: for what is not up yet"), "{said}");
    let rows = home.json("fits seed-trayx20");
    let most = |at: usize| rows["rows"][at]["more"].as_u64().unwrap();
    let (light, all) = (most(0) + most(1), most(0) + most(1) + most(2));
    assert!(home.does(&format!("fits seed-trayx{light}")).contains("all fit\n"));
    let said = home.does(&format!("fits seed-trayx{all}"));
    assert!(said.contains(&format!("all fit, {} of them only in the dark, for what is not up yet", most(2))), "{said}");
}

#[test]
fn two_pinned_in_each_other_are_put_right_by_what_is_advised() {
    let home = home();
    home.script(
        "bench add kitchen/table --size 1200x500mm
         receive tomato First --plants 12 --in 9cm-potx12 --at kitchen/table
         place 1 0,0 --pin
         sow tomato First --seeds 9 --in half-tray --at kitchen/table
         place 2 360,0 --pin",
    );
    let said = home.does("bench resize kitchen/table --size 1200x260mm");
    assert!(
        said.contains("1a goes there no longer as 360 x 270 mm: its pots are taken to stand as 540 x 180"),
        "{said}"
    );
    assert!(home.refuses("repack kitchen/table").contains("unpin it: `place PART --loose`"));
    home.does("place 2a --loose");
    let said = home.does("repack kitchen/table --do");
    assert!(said.contains("puts right where 2a stands"), "{said}");
    assert!(!home.does("due").contains("stands in another"));
    // Taken back, it says whom that leaves amiss; and measured larger, whose rows that gives back.
    let said = home.does("undo");
    assert!(said.contains("by the log 2a stands in another on kitchen/table"), "{said}");
    home.does("undo");
    let said = home.does("undo");
    assert!(said.contains("1a stands as 360 x 270 mm again") && !said.contains("in another"), "{said}");
}

#[test]
fn an_undo_says_who_has_no_spot_by_it() {
    let home = home();
    home.script(
        "bench add kitchen/table --size 600x600mm
         sow tomato First --seeds 9 --in half-tray --at kitchen/table
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table
         place 1 200,200
         place 1 0,0",
    );
    let said = home.does("undo");
    assert!(said.contains("there is no spot on kitchen/table for 2a, 3a"), "{said}");
    assert!(!home.does("undo").contains("no spot"));
}

#[test]
fn a_placed_set_that_outgrew_the_roof_in_its_rows_has_a_way_out() {
    let home = home();
    home.script(
        "bench add frame/right --size 900x500mm --headroom 400..250mm
         receive tomato First --plants 12 --in 9cm-potx12 --at frame/right
         place 1 0,0 --pin",
    );
    let said = home.does("stage 1 --height 240mm");
    assert!(said.contains("in rows of 6 1a goes under the roof: `place 1a --anywhere`"), "{said}");
    assert!(home.does("repack frame/right").contains("`place 1a --anywhere`"));
    let said = home.does("place 1a --anywhere");
    assert!(said.contains("1a stands on frame/right wherever there is room for it"), "{said}");
    assert!(!said.contains("too tall"), "{said}");
    let standing = &home.json("benches")["rows"][1]["standing"][0];
    assert_eq!((&standing["spot_noted"], &standing["amiss"]), (&false.into(), &serde_json::Value::Null), "{standing}");
    assert!(home.refuses("place 1a --anywhere").contains("nobody placed it"));
    // Where another stands in the way of those rows it is no way out, and not named.
    home.does("undo");
    home.script(
        "sow tomato First --seeds 9 --in seed-tray --at frame/right
         place 2 400,0 --pin",
    );
    assert!(!home.does("stage 1 --height 241mm").contains("--anywhere"));
}

#[test]
fn what_nobody_placed_is_no_reason_for_a_no() {
    let home = Home::empty();
    home.script(
        "place add k --kind room
         bench add k/b --size 1500x600mm
         lot add onion First --seeds 200
         sow onion First --seeds 9 --in half-tray --at k/b
         sow onion First --seeds 9 --in half-tray --at k/b
         sow onion First --seeds 9 --in half-tray --at k/b
         sow onion First --seeds 9 --in half-tray --at k/b
         sow onion First --seeds 9 --in euro-tray --at k/b",
    );
    let said = home.does("fits euro-tray");
    assert!(said.contains("k/b takes 1 once these are shifted: "), "{said}");
    assert!(said.contains("; nobody placed them: sown or moved there it is drawn so"), "{said}");
    assert_eq!(home.json("fits euro-tray")["rows"][0]["after_shifting"]["unasked"], true);
    let said = home.does("sow onion First --seeds 9 --in euro-tray --at k/b");
    assert!(!said.contains("no spot"), "{said}");
    assert!(!home.does("due").contains("no spot"));
}

#[test]
fn a_repacking_leaves_what_is_too_tall_anywhere_under_the_high_side() {
    let home = home();
    home.script(
        "receive tomato First --plants 12 --in 9cm-potx12 --at frame/left
         stage 1 --height 380mm
         sow tomato First --seeds 9 --in seed-tray --at frame/left
         place 2 500,300",
    );
    let stands = |home: &Home| {
        let bench = &home.json("benches")["rows"][0];
        bench["standing"][0]["y_mm"].clone()
    };
    assert_eq!(stands(&home), 0, "under the high side");
    for lift in home.json("repack frame/left")["rows"][0]["lifts"].as_array().unwrap() {
        assert_ne!(lift["label"], "1a", "{lift}");
    }
}

#[test]
fn pots_that_go_on_under_another_letter_are_named_by_it() {
    let home = home();
    home.script(
        "receive tomato First --plants 12 --in 9cm-potx12 --at frame/left
         plant-out 1 3
         clear 1 --pots 3",
    );
    for line in [
        "stage 1a --height 26cm",
        "lose 1a 1 --cause slugs",
        "count 1a --standing 1",
        "place 1a 0,0",
        "place 1a 100,0",
        "move 1a kitchen/sill",
    ] {
        let said = home.refuses(line);
        assert!(said.contains("goes on as 1b") && !said.contains("straggler"), "{line}: {said}");
    }
}

#[test]
fn two_that_change_over_keep_their_pins_where_they_go_and_say_so_where_not() {
    let home = Home::empty();
    home.script(
        "place add k --kind room
         bench add k/a --size 1200x500mm
         bench add k/b --size 1200x500mm
         lot add tomato First --seeds 200
         sow tomato First --seeds 9 --in seed-tray --at k/a
         sow tomato First --seeds 9 --in half-tray --at k/b
         place 1 800,0 --pin
         place 2 1000,0 --turned --pin",
    );
    // The half tray goes where the seed tray stood; that, 380 x 240 mm, hangs over the edge at 1000 either way.
    let said = home.does("swap 1 2");
    assert!(said.contains("no longer pinned, for it stands elsewhere: 1a"), "{said}");
    let noted = |bench: usize| home.json("benches")["rows"][bench]["standing"][0].clone();
    let (one, other) = (noted(0), noted(1));
    assert_eq!((&one["x_mm"], &one["spot_noted"]), (&800.into(), &true.into()), "{one}");
    assert_eq!(other["spot_noted"], false, "{other}");
}

#[test]
fn an_act_that_does_nothing_or_cannot_says_which_and_what_to_do() {
    let home = home();
    home.script(
        "bench add kitchen/table --size 500x250mm
         bench add frame/house --size 1200x600mm
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table
         sow tomato First --seeds 9 --in seed-tray --at kitchen/table
         sow tomato First --seeds 9 --in half-tray --at kitchen/sill",
    );
    assert!(home.refuses("place 3 --loose").contains("nobody placed it, so it is not pinned"));
    let said = home.refuses("swap 1 2");
    assert!(
        said.contains("there is no spot on kitchen/table for 2a") && said.contains("`repack kitchen/table`"),
        "{said}"
    );
    // A batch that was not counted yet is a batch all the same.
    let said = home.refuses("move 1 3 frame/left");
    assert!(said.contains("`move 1a 3a frame/left`"), "{said}");
    home.script("place add glass --kind greenhouse\nbench add glass/a --size 1000x500mm");
    assert!(home.does("benches").contains(", elsewhere 0.50 m2"), "{}", home.does("benches"));
}

/// Numbers by chance, the same each time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, many: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % many
    }
}

/// A bench on which things stand, some of them placed and some of those turned.
fn some_bench(dice: &mut Dice) -> Home {
    let home = Home::empty();
    let (length, width) = (700 + 20 * dice.below(31), 400 + 20 * dice.below(13));
    let things = 3 + dice.below(4);
    let mut lines = format!(
        "place add k --kind room\nplace add frame --kind 'cold frame'\nbench add k/b --size {length}x{width}mm\n\
         lot add onion First --seeds 200\n"
    );
    for _ in 0..things {
        let kind = KINDS[usize::try_from(dice.below(KINDS.len() as u64)).unwrap()];
        lines += &format!("sow onion First --seeds 4 --in {kind} --at k/b\n");
    }
    home.script(&lines);
    for thing in 1..=things {
        let turned = ["", " --turned"][usize::try_from(dice.below(2)).unwrap()];
        let (x, y) = (20 * dice.below(length / 20), 20 * dice.below(width / 25));
        if dice.below(6) > 0 {
            home.types(&format!("place {thing} {x},{y}{turned}"));
        }
    }
    if dice.below(4) == 0 {
        home.does("out 1 frame");
    }
    home
}

const KINDS: [&str; 5] = ["seed-tray", "half-tray", "1l-potx4", "9cm-potx6", "euro-tray"];

/// What is to be typed, in the order it is printed.
fn to_type(said: &str) -> Vec<String> {
    let lines = said.lines().filter(|line| line.contains("k/b takes "));
    lines.flat_map(|line| line.split('`').skip(1).step_by(2)).map(str::to_owned).collect()
}

#[test]
fn what_is_said_to_make_room_is_taken_as_it_is_printed_and_makes_it() {
    let mut dice = Dice(20_260_401);
    let (mut made, mut turned, mut in_turn, mut rings, mut out) = (0, 0, 0, 0, 0);
    for _ in 0..40 {
        let home = some_bench(&mut dice);
        let Some((kind, lines)) = KINDS.iter().find_map(|kind| {
            let lines = to_type(&home.does(&format!("fits {kind}")));
            (!lines.is_empty()).then_some((kind, lines))
        }) else {
            continue;
        };
        for line in &lines {
            let answer = home.types(line);
            assert_eq!(answer.code, 0, "{lines:?}: {line}: {answer:?}\n{}", home.json("benches"));
        }
        let said = home.does(&format!("fits {kind}"));
        assert!(said.contains("it fits"), "{lines:?}: {said}");
        home.script(&format!("sow onion First --seeds 4 --in {kind} --at k/b"));
        assert!(!home.does("due").contains("no spot"), "{lines:?}");
        made += 1;
        turned += usize::from(lines.iter().any(|line| line.contains("--turned")));
        in_turn += usize::from(lines.len() > 1);
        rings += usize::from(lines.iter().any(|line| line.contains("--anywhere")));
        out += usize::from(lines.iter().any(|line| line.starts_with("in ")));
    }
    assert!(made > 9 && turned > 4 && in_turn > 4 && rings > 0 && out > 0, "{made} {turned} {in_turn} {rings} {out}");
}

#[test]
fn what_is_noted_where_it_is_drawn_is_told_with_its_turn() {
    let home = Home::empty();
    home.script(
        "place add k --kind room
         bench add k/b --size 900x600mm
         lot add onion First --seeds 200
         sow onion First --seeds 4 --in 1l-potx4 --at k/b
         sow onion First --seeds 4 --in 1l-potx4 --at k/b
         place 2a +100,+30
         sow onion First --seeds 4 --in 9cm-potx6 --at k/b
         sow onion First --seeds 4 --in 9cm-potx6 --at k/b
         place 4a +50,+0
         sow onion First --seeds 4 --in half-tray --at k/b
         sow onion First --seeds 4 --in half-tray --at k/b
         place 6a +50,+0",
    );
    let said = home.does("fits 1l-potx4");
    assert!(!to_type(&said).is_empty(), "{said}");
    to_type(&said).iter().for_each(|line| drop(home.does(line)));
    assert!(home.does("fits 1l-potx4").contains("it fits"), "{said}");
}

#[test]
fn all_of_two_benches_that_change_over_keep_their_spots_and_pins_where_they_go() {
    let home = Home::empty();
    home.script(
        "place add k --kind room
         bench add k/a --size 1200x600mm
         bench add k/b --size 1000x600mm
         lot add tomato First --seeds 200
         sow tomato First --seeds 9 --in seed-tray --at k/a
         sow tomato First --seeds 9 --in seed-tray --at k/a
         place 1 600,100 --pin
         place 2 100,300",
    );
    let stands = |bench: usize| -> Vec<String> {
        let rows = home.json("benches");
        let standing = rows["rows"][bench]["standing"].as_array().unwrap();
        standing.iter().map(|row| format!("{},{} {}", row["x_mm"], row["y_mm"], row["spot_noted"])).collect()
    };
    let said = home.does("swap k/a k/b");
    assert!(!said.contains("no longer pinned") && !said.contains("no spot"), "{said}");
    assert_eq!(stands(1), ["600,100 true", "100,300 true"]);
    // Back, and over to a bench that does not reach so far: who is placed no longer is named, the other is where it was.
    home.does("swap k/a k/b");
    home.script("place 2 700,340\nbench add k/c --size 1000x600mm");
    let said = home.does("swap k/a k/c");
    assert!(said.contains("no spot is noted for it any more: 2a") && !said.contains("no longer pinned"), "{said}");
    assert_eq!(stands(2)[0], "600,100 true");
}

#[test]
fn all_of_two_benches_change_over_at_no_spot_where_one_would_have_none_by_it() {
    let home = Home::empty();
    home.script(
        "place add k --kind room
         bench add k/a --size 900x600mm
         bench add k/b --size 600x400mm
         lot add tomato First --seeds 200
         sow tomato First --seeds 9 --in seed-tray --at k/a
         sow tomato First --seeds 9 --in half-tray --at k/a
         place 1 100,80",
    );
    let said = home.does("swap k/a k/b");
    assert!(said.contains("no spot is noted for it any more: 1a"), "{said}");
    assert!(!home.does("due").contains("no spot"));
}

#[test]
fn where_nobody_placed_anything_repacking_says_so() {
    let home = home();
    home.script("sow tomato First --seeds 9 --in seed-tray --at kitchen/sill");
    assert!(
        home.does("repack kitchen/sill").contains("what nobody placed gives way as it is, and `fits` says what goes")
    );
    home.does("place 1 0,0");
    assert!(home.does("repack kitchen/sill").contains("frees nothing here, whatever is lifted"));
}
