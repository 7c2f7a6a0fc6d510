//! What the answer of an act says of tonight, whose words do it one after the other, temperatures without a unit, and
//! cautions said once. The real binary.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;
use serde_json::Value;

fn rows(home: &Home, line: &str, row: &str) -> Vec<Value> {
    let all = home.json(line)["rows"].as_array().unwrap().clone();
    all.into_iter().filter(|one| one["row"] == row).collect()
}

/// Tomatoes on a sill, three weeks up, and a frost forecast.
fn frosty() -> Home {
    let home = Home::empty();
    home.script(
        "place add kitchen --kind windowsill --on 2024-01-01
         place add frame --kind 'cold frame' --on 2024-01-01
         place add yard --kind 'standing ground' --on 2024-01-01
         bench add kitchen/sill --size 1200x250mm --on 2024-01-01
         bench add frame/left --size 1200x600mm --on 2024-01-01
         sow tomato First --seeds 20 --in half-tray --at kitchen/sill --on 2024-03-01
         count 1 20 --on 2024-03-10
         sow pea First --seeds 20 --in half-tray --at kitchen/sill --on 2024-03-01
         forecast set 2024-04-02 --low -4 --high 9 --on 2024-04-01",
    );
    home
}

#[test]
fn an_act_that_brings_tender_plants_into_a_frost_says_so() {
    let home = frosty();
    for (line, way_out) in [
        ("move 1a frame/left", "`undo` takes this back"),
        ("out 1a yard", "in again before dusk"),
        ("pot-on 1 4 --into 9cm-potx4 --at frame/left", "`undo` takes this back"),
        ("plant-out 1 4", "fleece them, or `undo` takes this back"),
    ] {
        let told = home.does(&format!("{line} --on 2024-04-01"));
        let night: Vec<&str> = told.lines().filter(|line| line.contains("the night to 2024-04-02")).collect();
        assert_eq!(night.len(), 1, "{line}: {told}");
        let said = [" tomato", "nearly certain", "it kills them", way_out];
        assert!(said.iter().all(|words| night[0].contains(words)), "{line}: {told}");
        home.does("undo");
    }
    // What stays in the house, seed that is not up, and a mild night are not spoken of.
    for line in ["place add hall --kind room", "move 1a hall", "move 2a frame/left"] {
        assert!(!home.does(&format!("{line} --on 2024-04-01")).contains("the night to"), "{line}");
    }
    home.does("forecast set 2024-04-03 --low 14 --high 22 --on 2024-04-02");
    assert!(!home.does("move 1a frame/left --on 2024-04-02").contains("the night to"));
    // A backlog is not told of nights long past.
    home.does("undo");
    assert!(!home.does("move 1a frame/left --on 2024-04-01").contains("the night to"));
}

#[test]
fn room_in_a_refuge_is_given_away_once() {
    let home = Home::empty();
    // Each sill takes one seed tray of 380 x 240 mm.
    home.script(
        "place add kitchen --kind windowsill --on 2024-01-01
         place add landing --kind windowsill --on 2024-01-01
         place add frame --kind 'cold frame' --on 2024-01-01
         bench add kitchen/sill --size 400x250mm --on 2024-01-01
         bench add landing/sill --size 400x250mm --on 2024-01-01
         bench add frame/left --size 6000x2000mm --on 2024-01-01
         sow marigold First --seeds 20 --in seed-tray --at frame/left --on 2024-04-01
         sow tomato First --seeds 20 --in seed-tray --at frame/left --on 2024-04-01
         sow basil First --seeds 20 --in seed-tray --at frame/left --on 2024-04-01
         count 1 20 --on 2024-04-10
         count 2 20 --on 2024-04-10
         count 3 20 --on 2024-04-10
         forecast set 2024-04-16 --low 0 --high 9 --on 2024-04-15",
    );
    let moves = rows(&home, "cold --on 2024-04-15", "dusk");
    let crops: Vec<&str> = moves.iter().map(|row| row["crop"].as_str().unwrap()).collect();
    // Univ. Massachusetts and the winter-kill list of Dawling and Bezilla: basil is dead at 2 C, tomato at 0 C.
    assert_eq!(crops[0], "basil", "{moves:?}");
    let doing: Vec<&str> = moves.iter().map(|row| row["doing"].as_str().unwrap()).collect();
    assert!(doing[0].ends_with("kitchen/sill") && doing[1].ends_with("landing/sill"), "{doing:?}");
    let short = |row: &Value| row["reason"].as_str().unwrap().contains("no room was found");
    assert_eq!(moves.iter().map(short).collect::<Vec<_>>(), [false, false, true], "{moves:?}");
    for (row, words) in moves.iter().zip(&doing) {
        let told = home.does(&format!("{words} --on 2024-04-15"));
        assert_eq!(told.contains("more stands on"), short(row), "{words}: {told}");
    }
    assert!(rows(&home, "cold --on 2024-04-15", "dusk").is_empty(), "all are in");
}

#[test]
fn a_night_that_kills_is_said_to_kill() {
    let home = frosty();
    home.script(
        "sow basil First --seeds 20 --in half-tray --at frame/left --on 2024-03-01
         count 3 20 --on 2024-03-20",
    );
    let row = rows(&home, "cold --on 2024-04-01", "dusk").remove(0);
    let reason = row["reason"].as_str().unwrap();
    assert!(row["crop"] == "basil" && reason.contains("it kills them: they die at 2.0 C"), "{row}");
    assert!(!reason.contains("sets them back"), "{row}");
}

/// 28 F is -2.2 C and 40 F is 4.4 C: a frost that would pass for a mild night.
#[test]
fn degrees_without_a_unit_that_are_warm_for_the_month_are_asked_about() {
    let home = frosty();
    let on = "--on 2024-04-01";
    for (line, said) in [
        ("forecast set 2024-04-02 --low 28 --high 40", "-2.2 C if it is Fahrenheit; write 28F if it is, 28C"),
        ("forecast set 2024-04-02 --low 4 --high 40", "4.4 C if it is Fahrenheit"),
        ("reading frame --min 28 --max 42", "-2.2 C if it is Fahrenheit"),
        ("reading yard --min 5 --max 42", "5.6 C if it is Fahrenheit"),
        ("reading yard --soil 28", "the ground is likely to be in April"),
        ("reading frame --compost 40", "4.4 C if it is Fahrenheit"),
        ("reading frame --min 28F --max 42", "no unit beside degrees F: write 42F or 42C"),
        ("forecast set 2024-04-02 --low 4 --high 52F", "write 4F or 4C"),
    ] {
        let refused = home.refuses(&format!("{line} {on}"));
        assert!(refused.contains(said), "{line}: {refused}");
    }
    assert!(home.does(&format!("forecast set 2024-04-02 --low 28F --high 40F {on}")).contains("-2.2 C to 4.4 C"));
    // A house may be as warm as it likes, a shut frame in the sun too, and who writes the unit is believed.
    for line in ["reading kitchen --min 28", "reading frame --min 6 --max 42", "reading yard --min 28C --max 33"] {
        home.does(&format!("{line} {on}"));
    }
    home.does(&format!("reading kitchen --compost 40 {on}"));
    home.does("forecast set 2024-07-10 --low 21 --high 34 --on 2024-07-09");
    // South of the equator July is a winter month.
    let settings = home.file(".config/thumbpot");
    std::fs::create_dir_all(&settings).unwrap();
    std::fs::write(settings.join("settings.toml"), "latitude = -41.0\n").unwrap();
    assert!(home.refuses("forecast set 2024-07-10 --low 21 --high 34 --on 2024-07-09").contains("in July"));
}

#[test]
fn a_night_of_hardening_that_is_too_cold_is_not_offered() {
    let home = Home::empty();
    let mut lines = String::from(
        "place add kitchen --kind windowsill --on 2024-01-01
         place add yard --kind 'standing ground' --on 2024-01-01
         bench add kitchen/sill --size 1200x250mm --on 2024-01-01
         sow lettuce First --seeds 6 --in half-tray --at kitchen/sill --on 2024-03-01
         count 1 6 --on 2024-03-08\n",
    );
    // Garden Organic: four days out by day, three days all day; then nights, from 2 C.
    for day in 10..=16 {
        lines.push_str(&format!("reading yard --min 4 --max 14 --on 2024-04-{day}\n"));
        lines.push_str(&format!("out 1a yard --on 2024-04-{day}\nin 1a --on 2024-04-{day}\n"));
    }
    lines.push_str("forecast set 2024-04-17 --low 5 --high 14 --on 2024-04-16\n");
    home.script(&lines);
    let step = |low: &str| {
        home.does(&format!("forecast set 2024-04-18 --low {low} --high 14 --on 2024-04-17"));
        rows(&home, "cold --on 2024-04-17", "hardening").remove(0)
    };
    let row = step("6");
    assert!(row["steps_done"] == 2 && row["interrupted"].is_null() && row["doing"].is_string(), "{row}");
    let row = step("-1");
    assert!(row["interrupted"].as_str().unwrap().contains("a night counts from 2.0 C; out by day only"), "{row}");
}

#[test]
fn each_caution_is_told_once_where_it_applies() {
    let home = Home::with_benches();
    let said = |line: &str, words: &str| home.does(line).matches(words).count();
    assert_eq!(said("place add glass --kind greenhouse --on 2024-01-02", "long shards"), 0, "there is a frame already");
    assert_eq!(said("place add warm --kind greenhouse --heated-to 6C --on 2024-01-02", "carbon monoxide"), 1);
    assert_eq!(said("sow 'runner bean' Tall --seeds 9 --in half-tray --at sill/long --on 2024-03-01", "Dyed seed"), 1);
    assert_eq!(said("sow 'runner bean' Tall --seeds 9 --in half-tray --at sill/long --on 2024-03-02", "Raw beans"), 0);
    let sow = "sow chilli Hot --seeds 9 --in half-tray --at sill/long";
    assert_eq!(said(&format!("{sow} --on 2024-03-02"), "harms lungs"), 1, "one caution an act, in turn");
    home.does("count 3 9 --on 2024-03-20");
    assert_eq!(said("pot-on 3 2 --into 9cm-potx2 --at sill/long --on 2024-04-01", "Chilli sap"), 1);
    assert_eq!(said("pot-on 3a 2 --into 9cm-potx2 --at sill/long --on 2024-04-02", "Chilli sap"), 0);
    assert_eq!(said("give-away 3a 1 --on 2024-04-02", "clubroot"), 1);
    assert_eq!(said("give-away 3a 1 --on 2024-04-02", "clubroot"), 0);
    assert_eq!(said("lose 3a 1 --cause slugs --on 2024-04-02", "by the label"), 1);
    assert_eq!(said("move 3a frame/left --on 2024-04-02", "lift with the knees"), 1);
    assert_eq!(said("cold --on 2024-04-02", "lift with the knees"), 0, "a report does not nag");
    assert_eq!(said("give-away 3a 1 --on 2025-04-02", "clubroot"), 1, "and again next season");
    // A backlog typed newest first is one season too.
    assert_eq!(said("sow pea Tall --seeds 9 --in half-tray --at sill/long --on 2024-02-20", "Dyed seed"), 0);
    assert_eq!(said("sow pea Tall --seeds 9 --in half-tray --at sill/long --on 2024-02-10", "Dyed seed"), 0);
    // Carrying in is carrying.
    home.does("out 3a frame --on 2024-04-03");
    assert_eq!(said("in 3a --on 2024-04-03", "lift with the knees"), 0);
}

#[test]
fn cold_of_one_batch_is_its_own_answer() {
    let home = frosty();
    home.does("move 1a frame/left --on 2024-04-01");
    let told = home.does("cold 1 --on 2024-04-01");
    assert!(told.starts_with("1a tomato") && told.contains("working floor"), "{told}");
    assert!(home.refuses("cold 99 --on 2024-04-01").contains("99"));
    std::fs::write(home.file("empty.csv"), "a\n").unwrap();
    assert!(!home.refuses("reading import empty.csv").contains("check the path"), "the path is right");
}

/// The same figures out of a file are asked about as those that are typed, once for a file, and nothing is written until it
/// is said what they are. 25 F and 32 F are -3.9 C and 0 C: a frost that would pass for a summer night.
#[test]
fn a_file_without_a_unit_that_is_warm_for_the_month_is_asked_about() {
    let home = frosty();
    let csv = |head: &str| format!("{head}\n2024-04-02,25,32\n2024-04-03,27,33\n");
    std::fs::write(home.file("f.csv"), csv("date,low,high")).unwrap();
    let days = |unit: &str| {
        let row = |day, low, high| format!(r#"{{"date":"2024-04-{day}","low":{low},"high":{high}{unit}}}"#);
        format!("[{},{}]", row("02", 25, 32), row("03", 27, 33))
    };
    std::fs::write(home.file("f.json"), days("")).unwrap();
    std::fs::write(home.file("r.csv"), "date,min,max\n2024-03-30,25,32\n2024-03-31,5,33\n").unwrap();
    let log = home.log();
    let on = "--on 2024-04-01";
    for (line, said) in [
        (
            "forecast import f.csv",
            "f.csv: 2024-04-02: 25 C is warmer than a night out of doors is likely to be in April: -3.9 C if",
        ),
        (
            "forecast import f.json",
            "3 of its 4 temperatures are so warm); add --unit F if it is Fahrenheit, --sure if it is C",
        ),
        ("reading import r.csv --place frame", "1 of its 4 temperatures"),
        ("reading import r.csv --place yard", "3 of its 4 temperatures"),
    ] {
        let refused = home.refuses(&format!("{line} {on}"));
        assert!(refused.contains(said), "{line}: {refused}");
    }
    assert_eq!(home.log(), log, "nothing is written meanwhile");
    for (line, said) in [
        ("forecast import f.csv --unit F", "-3.9 C to 0.0 C"),
        ("forecast import f.json --sure", "25.0 C to 32.0 C"),
        ("reading import r.csv --place frame --unit F", "lowest -3.9 C"),
        ("reading import r.csv --place kitchen", "lowest 25.0 C"),
    ] {
        let told = home.does(&format!("{line} {on}"));
        assert!(told.contains(said), "{line}: {told}");
        home.does("undo");
    }
    // A file that says it is believed, by its columns or its rows, and so is what the settings say.
    std::fs::write(home.file("f.csv"), csv("date,low (F),high (F)")).unwrap();
    assert!(home.does(&format!("forecast import f.csv {on}")).contains("-3.9 C to 0.0 C"));
    std::fs::write(home.file("f.json"), days(r#","unit":"C""#)).unwrap();
    assert!(home.does(&format!("forecast import f.json {on}")).contains("25.0 C to 32.0 C"));
    std::fs::write(home.file("f.csv"), csv("date,low (F),high")).unwrap();
    assert!(home.refuses(&format!("forecast import f.csv {on}")).contains("of others nothing says"), "only one of two");
    // What was taken is not asked about again when the file has grown.
    home.does(&format!("reading import r.csv --place yard --sure {on}"));
    std::fs::write(home.file("r.csv"), "date,min,max\n2024-03-30,25,32\n2024-03-31,5,33\n2024-04-01,4,12\n").unwrap();
    assert!(home.does(&format!("reading import r.csv --place yard {on}")).contains("4 were noted before"));
    // A sunny day in a shut frame, and any warmth of a house.
    std::fs::write(home.file("r.csv"), "date,min,max,compost\n2024-03-28,4,41,19\n2024-03-29,-2,38,16\n").unwrap();
    home.does(&format!("reading import r.csv --place frame {on}"));
}
