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
    assert!(said.contains("; and 3 more"), "{said}");
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
