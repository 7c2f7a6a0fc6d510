//! Does it fit, and what else: the answers of `fits` and of placing, each carried out and asked again. The real binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

mod command_line;

use command_line::Home;

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
    assert!(said.contains("not as one set, but singly 100 go: 78 on frame/left, 22 on kitchen/sill"), "{said}");
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
}
