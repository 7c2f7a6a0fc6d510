//! An April by day: what the morning's list says of lights, covers and heat, what planting out waits for, and when
//! hardening off is spoken of. The real binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;
use serde_json::Value;

/// Peas up in a frame, tomatoes up on a sill, a propagator and a plot.
fn home() -> Home {
    let home = Home::with_benches();
    home.script(
        "place add prop --kind propagator --on 2024-01-01
         place add veg --kind plot --on 2024-01-01
         sow pea First --seeds 20 --in seed-tray --at frame/left --on 2024-03-18
         sow tomato First --seeds 12 --in seed-tray --at sill/long --on 2024-03-20
         count 1 20 --on 2024-03-30
         count 2 12 --on 2024-03-30",
    );
    home
}

fn rows(home: &Home, line: &str) -> Vec<Value> {
    home.json(line)["rows"].as_array().unwrap().clone()
}

/// The row of today's work that does something.
fn work(home: &Home, on: &str, task: &str) -> Option<Value> {
    rows(home, &format!("due --on {on}")).into_iter().find(|row| row["what"] == task)
}

#[test]
fn the_hot_day_ahead_is_the_morning_s_first_work() {
    let home = home();
    home.does("forecast set 2024-04-10 --low 8 --high 26 --on 2024-04-09");
    home.does("forecast set 2024-04-11 --low 8 --high 25 --on 2024-04-10");
    assert_eq!(work(&home, "2024-04-09", "open up"), None, "tomorrow's heat is no work for today");
    let said = home.does("due --on 2024-04-10");
    assert!(said.lines().nth(1).unwrap().starts_with("now"), "{said}");
    assert!(
        said.lines().nth(1).unwrap().contains("open up") && said.contains("note: frame: open the lights wide"),
        "{said}"
    );
    let page = home.does("--plain --on 2024-04-10");
    assert!(page.contains("now: open up: frame: open the lights wide by mid-morning"), "{page}");
    // Before dusk it is tomorrow that counts.
    let cold = home.does("cold --on 2024-04-10");
    let at = |day: &str| cold.find(&format!("{day} frame: open the lights")).unwrap();
    assert!(at("2024-04-11") < at("2024-04-10"), "{cold}");
    // A dull day asks for nothing.
    home.does("forecast set 2024-04-12 --low 6 --high 9 --on 2024-04-11");
    assert_eq!(work(&home, "2024-04-12", "open up"), None);
}

#[test]
fn planting_out_waits_for_nights_and_soil_wherever_it_is_told() {
    let home = home();
    home.does("forecast set 2024-04-15 --low -6 --high 9 --on 2024-04-14");
    let said = home.does("due --on 2024-04-14");
    assert!(said.contains("wait  plant out  1a    pea"), "{said}");
    assert!(said.contains("note: plant out 1a: not yet: the night to 2024-04-15"), "{said}");
    assert!(home.does("--plain --on 2024-04-14").contains("wait: plant out: 1a pea"));
    assert!(home.does("cold --on 2024-04-14").contains("1a pea: its time has come, but: the night to 2024-04-15"));
    // Mild, and ground of 3 C, where peas want more.
    for night in 15..=19 {
        home.does(&format!("forecast set 2024-04-{night} --low 7 --high 12 --on 2024-04-14"));
    }
    home.does("reading veg --soil 3 --on 2024-04-14");
    let row = work(&home, "2024-04-14", "plant out").unwrap();
    assert_eq!(row["urgency"], "wait", "{row}");
    assert!(row["reason"].as_str().unwrap().contains("soil 3.0 C, and it wants"), "{row}");
    home.does("reading veg --soil 9 --on 2024-04-15");
    assert_ne!(work(&home, "2024-04-15", "plant out").unwrap()["urgency"], "wait");
}

#[test]
fn cold_and_due_speak_of_planting_out_from_the_same_day() {
    let home = home();
    for day in 1..=30 {
        let next = format!("2024-04-{:02}", day + 1).replace("04-31", "05-01");
        home.does(&format!("forecast set {next} --low 8 --high 14 --on 2024-04-{day:02}"));
    }
    let speaks = |day: u32| {
        let on = format!("2024-04-{day:02}");
        let cold = rows(&home, &format!("cold --on {on}")).iter().any(|row| row["row"] == "plant_out");
        (cold, work(&home, &on, "plant out").is_some())
    };
    let told: Vec<(bool, bool)> = (5..=20).map(speaks).collect();
    assert!(told.iter().all(|(cold, due)| cold == due), "{told:?}");
    assert!(told.contains(&(true, true)) && told.contains(&(false, false)), "{told:?}");
}

#[test]
fn a_cover_left_on_is_told_by_day_and_its_heat_with_it() {
    let home = home();
    home.does("cover frame on --on 2024-04-14");
    home.does("forecast set 2024-04-15 --low 5 --high 20 --on 2024-04-14");
    assert_eq!(work(&home, "2024-04-14", "uncover"), None, "it was laid this evening");
    let row = work(&home, "2024-04-15", "uncover").unwrap();
    assert!(row["reason"].as_str().unwrap().contains("inside if left shut"), "{row}");
    assert!(home.does("due --on 2024-04-15").lines().any(|line| line.contains("uncover") && line.ends_with("frame")));
}

#[test]
fn one_outing_does_not_begin_the_hardening_off() {
    let home = home();
    let hardening = |on: &str| {
        let rows = rows(&home, &format!("cold --on {on}"));
        rows.into_iter().filter(|row| row["row"] == "hardening").count()
    };
    home.does("out 2a frame --on 2024-04-12");
    home.does("in --on 2024-04-12");
    for on in ["2024-04-13", "2024-04-16", "2024-04-20"] {
        assert_eq!(hardening(on), 0, "{on}: the last frost is 10 May, the ladder 18 days");
    }
    // Put out on several days, the grower has begun, and goes on as long as that lasts.
    for day in [20, 21, 22] {
        home.does(&format!("out 2a frame --on 2024-04-{day}"));
        home.does(&format!("in --on 2024-04-{day}"));
    }
    assert_eq!((hardening("2024-04-23"), hardening("2024-05-06")), (1, 0));
    // Potted, it is left alone for a week; then its days before planting out have come.
    home.does("pot-on 2 12 --into 9cm-pot --at sill/long --on 2024-05-06");
    home.does("note 2 \"over it\" --on 2024-05-13");
    assert_eq!((hardening("2024-05-08"), hardening("2024-05-14")), (0, 1));
    // A cold day is told as such, and never as one still to come.
    home.does("forecast set 2024-04-23 --low 6 --high 9 --on 2024-04-22");
    let said = home.does("cold --on 2024-04-23");
    assert!(!said.contains("not today") && said.contains("today does not count: 9.0 C at most"), "{said}");
}

/// Lettuce does not come up over 29.4 C (`assets/crop_facts.csv`, after Harrington).
#[test]
fn a_propagator_read_too_hot_is_named_until_it_is_read_cooler() {
    let home = home();
    home.does("sow lettuce First --seeds 20 --in seed-tray --at prop --on 2024-04-15");
    home.does("reading prop --max 36 --on 2024-04-16");
    let said = home.does("due --on 2024-04-16");
    assert!(
        said.contains("cool down") && said.contains("prop was 36.0 C today: 3a lettuce sown there fails over 29.4 C"),
        "{said}"
    );
    assert!(home.does("cold --on 2024-04-16").contains("Too hot\n  prop was 36.0 C today"));
    assert!(home.does("germination --on 2024-04-16").contains("held: too hot"));
    assert!(home.does("--plain tonight --on 2024-04-16").contains("prop was 36.0 C today"));
    // Tomatoes up bear 36, not 40.
    home.does("move 2a prop --on 2024-04-16");
    assert!(!home.does("cold --on 2024-04-16").contains("is hurt"));
    home.does("reading prop --max 40 --on 2024-04-17");
    assert!(
        home.does("cold --on 2024-04-18")
            .contains("40.0 C yesterday: 3a lettuce sown there fails over 29.4 C, 2a tomato is hurt over 38.0 C")
    );
    home.does("reading prop --min 17 --max 22 --on 2024-04-18");
    assert_eq!(work(&home, "2024-04-18", "cool down"), None);
    assert!(!home.does("cold --on 2024-04-18").contains("Too hot"));
}

#[test]
fn potted_plants_back_in_the_warm_are_told_off_the_heat_and_where_to() {
    let home = home();
    home.does("pot-on 2 12 --into 9cm-pot --at prop --on 2024-04-14");
    let said = home.does("due --on 2024-04-15");
    assert!(said.contains("off the heat") && said.contains("sill/long is light and has room"), "{said}");
    home.does("move 2b sill/long --on 2024-04-15");
    assert_eq!(work(&home, "2024-04-15", "off the heat"), None);
}

#[test]
fn far_nights_are_perhaps_and_odds_are_said_of_what_is_not_sure() {
    let home = home();
    for night in 11..=18 {
        home.does(&format!("forecast set 2024-04-{night} --low -5 --high 10 --on 2024-04-10"));
    }
    let ahead = rows(&home, "cold --on 2024-04-10").into_iter().find(|row| row["row"] == "nights").unwrap();
    let words: Vec<String> =
        ahead["nights"].as_array().unwrap().iter().map(|night| night["word"].as_str().unwrap().to_owned()).collect();
    assert!(words[4..].iter().all(|word| word != "too cold"), "{words:?}");
    assert!(words[4..].iter().any(|word| word == "perhaps too cold") && words[0] == "too cold", "{words:?}");
    assert!(home.does("--plain tonight --on 2024-04-10").contains("perhaps too cold"));
    // A sill read at 10.5 C, and tomatoes that work down to 10.
    home.does("reading sill --min 10.5 --on 2024-04-09");
    home.does("reading sill --min 10.5 --on 2024-04-10");
    let cold = home.does("cold --on 2024-04-10");
    let line = cold.lines().find(|line| line.starts_with("sill")).unwrap();
    assert!(line.contains("may stay") && line.contains("to fall under a floor"), "{cold}");
}

#[test]
fn planting_out_is_given_a_week_however_small_the_cell() {
    let home = home();
    // Pricked out late into cells in which, by the table, its weeks are over when the frost is.
    home.script(
        "sow lettuce First --seeds 40 --in half-tray --at sill/long --on 2024-03-01
         count 3 40 --on 2024-03-08
         pot-on 3 40 --into 40-cell --at frame/left --on 2024-04-14",
    );
    let page = home.does("--plain --on 2024-04-15");
    assert!(page.contains("3b lettuce First: 40 standing to plant out, from 29 Mar, best 1 Apr, by 12 Apr"), "{page}");
}

/// As one line: a report is folded to the width.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_week_that_nobody_read_does_not_harden_to_the_full_and_why_says_what_did() {
    let home = home();
    for day in 1..=30 {
        let next = format!("2024-04-{:02}", day + 1).replace("04-31", "05-01");
        home.does(&format!("forecast set {next} --low 4 --high 11 --on 2024-04-{day:02}"));
    }
    let why = unwrapped(&home.does("why cold 1 --on 2024-04-30"));
    assert!(why.contains("hardened 70 %") && why.contains("days out that nobody read"), "{why}");
    for day in 20..=30 {
        home.does(&format!("reading frame --min 6 --max 14 --on 2024-04-{day:02}"));
    }
    let why = unwrapped(&home.does("why cold 1 --on 2024-04-30"));
    assert!(why.contains("hardened 100 %") && why.contains("raised by days out in cool air"), "{why}");
    // A lid left shut on hot days: it falls, and says by which.
    home.does("reading frame --min 12 --max 38 --on 2024-05-01");
    home.does("reading frame --min 12 --max 38 --on 2024-05-02");
    home.does("forecast set 2024-05-04 --low 6 --high 14 --on 2024-05-03");
    let why = unwrapped(&home.does("why cold 1 --on 2024-05-03"));
    assert!(why.contains("lowered by days in warm air") && why.contains("mean 25.0 C"), "{why}");
}

#[test]
fn what_several_parts_lack_is_said_once_and_nothing_is_counted_that_is_not_there() {
    let home = Home::with_benches();
    home.script(
        "sow pea First --seeds 40 --in seed-trayx2 --at frame/left --on 2024-03-18
         count 1a 20 --on 2024-03-30
         count 1b 20 --on 2024-03-30",
    );
    let row = work(&home, "2024-04-14", "plant out").unwrap();
    assert_eq!(row["parts"].as_array().unwrap().len(), 2, "{row}");
    let reason = row["reason"].as_str().unwrap();
    assert_eq!(reason.matches("no forecast of the nights").count(), 1, "{row}");
    home.does("forecast set 2024-04-15 --low -5 --high 9 --on 2024-04-14");
    let due = home.does("due --on 2024-04-14");
    assert!(due.contains("before dusk: ") && !due.contains(" 0;") && !due.contains(" 0,"), "{due}");
}

/// What the heat hurt is cool by the next reading: it is looked over, on the day and the next, and not cooled.
#[test]
fn what_was_too_hot_and_is_cool_is_looked_over() {
    let home = home();
    home.does("reading frame --now 41 --on 2024-04-25");
    assert!(work(&home, "2024-04-25", "cool down").is_some());
    home.does("reading frame --now 24 --on 2024-04-25");
    for day in ["2024-04-25", "2024-04-26"] {
        let row = work(&home, day, "look over").unwrap();
        assert_eq!(row["urgency"], "today", "{row}");
        assert!(work(&home, day, "cool down").is_none(), "{day}");
    }
    assert!(work(&home, "2024-04-27", "look over").is_none());
    // A heater is not known to have cooled, nor to be as hot as it was yesterday.
    home.does("move 2a prop --on 2024-05-01");
    home.does("reading prop --max 40 --on 2024-05-02");
    assert_eq!(work(&home, "2024-05-02", "cool down").unwrap()["urgency"], "now");
    let row = work(&home, "2024-05-03", "look over").unwrap();
    assert!(row["reason"].as_str().unwrap().contains("turn it down if it is so still"), "{row}");
    assert!(work(&home, "2024-05-03", "cool down").is_none());
}

/// A day of which the lowest was read is not called worked out.
#[test]
fn half_a_day_read_is_said_to_be_so() {
    let home = home();
    home.does("forecast set 2024-04-10 --low 6 --high 15 --on 2024-04-09");
    home.does("reading frame --min 8 --on 2024-04-10");
    let said = home.does("climate frame --on 2024-04-10");
    assert!(said.contains("2024-04-10  8.0 C to") && said.contains("low read, high worked out"), "{said}");
    assert!(home.does("--plain place frame --on 2024-04-10").contains("low read, high worked out"));
}

/// What one walks into has a door and vents; and why it is propped, far from too hot, is said.
#[test]
fn glass_is_opened_by_what_it_has() {
    let home = home();
    home.does("place add green --kind greenhouse --on 2024-01-01");
    home.does("move 1a green --on 2024-04-08");
    home.does("forecast set 2024-04-10 --low 8 --high 26 --on 2024-04-09");
    let said = home.does("cold --on 2024-04-10");
    assert!(said.contains("open door and vents wide") && !said.contains("lights"), "{said}");
    let propped = (10..=24).find_map(|high| {
        home.does(&format!("forecast set 2024-04-12 --low 9 --high {high} --on 2024-04-11"));
        let said = home.does("cold --on 2024-04-12");
        said.lines().find(|line| line.contains("open the vents a little")).map(str::to_owned)
    });
    let propped = propped.unwrap();
    assert!(propped.contains("if left shut, and it is kept to some ") && propped.contains("to pass"), "{propped}");
}
