//! That `due` and `germination` ask the same of a sowing, as a grower found them at odds.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

/// A house with a warm propagator and the places where nobody reads the compost.
fn home() -> Home {
    let home = Home::with_benches();
    home.script(
        "place add mat --kind propagator --heated-to 21C --on 2024-01-01
         place add room --kind room --on 2024-01-01
         bench add mat/long --size 2000x900mm --on 2024-01-01
         bench add room/long --size 6000x2000mm --on 2024-01-01",
    );
    home
}

/// What `germination` says of the only batch, and the lines of `due`: what, how urgent, why.
fn said(home: &Home, on: &str) -> (String, Vec<[String; 3]>) {
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let report = home.json(&format!("germination --on {on}"));
    let due = home.json(&format!("due --on {on}"));
    let rows = due["rows"].as_array().unwrap().iter();
    // Days away are asked about beside it.
    let rows = rows.filter(|row| row["what"] != "catch up");
    let rows = rows.map(|row| ["what", "urgency", "reason"].map(|column| text(&row[column]))).collect();
    (text(&report["rows"][0]["action"]), rows)
}

fn asked(home: &Home, on: &str) -> (String, Vec<String>) {
    let (action, rows) = said(home, on);
    (action, rows.into_iter().map(|[what, _, reason]| format!("{what}: {reason}")).collect())
}

#[test]
fn a_count_that_is_asked_for_is_asked_for_by_both() {
    let home = home();
    home.script(
        "sow chilli Nib --packed 2024 --seeds 6 --in seed-tray --at sill/long --on 2024-03-01
         count 1 0 --on 2024-03-21
         count 1 0 --on 2024-03-29
         count 1 0 --on 2024-04-06",
    );
    // What was said of it by the last count stands until the next is asked for.
    for on in ["2024-04-06", "2024-04-07", "2024-04-10"] {
        assert_eq!(asked(&home, on), ("leave it, it is within its time".into(), vec![]), "{on}");
    }
    let (action, rows) = asked(&home, "2024-04-20");
    assert_eq!(action, "count it: if none are up it is slow");
    assert_eq!(rows, ["count: last counted 14 days ago: if none are up it is slow"]);
    // Long past all hope it is not to be counted, nor kept, but asked about.
    let (action, rows) = asked(&home, "2024-09-20");
    assert_eq!(action, "count it if it lives, else clear it: it seems hopeless or forgotten");
    assert!(rows.len() == 1 && rows[0].starts_with("clear: 1 container seems hopeless"), "{rows:?}");
}

/// Plants that stand are not to be cleared unseen, however long nothing was noted of them.
#[test]
fn seedlings_long_unheard_of_are_counted_and_not_cleared() {
    let home = home();
    home.script(
        "sow lettuce Leaf --packed 2024 --seeds 100 --in seed-tray --at sill/long --on 2024-03-01
         count 1 70 --on 2024-03-12",
    );
    let (action, rows) = asked(&home, "2024-10-20");
    assert_eq!(action, "nothing was noted of them for half a year: count what lives, else log it lost");
    assert_eq!(rows, [format!("count: {action}")]);
    let page = home.does("germination --on 2024-10-20");
    assert!(!page.contains("clear"), "{page}");
}

#[test]
fn what_is_to_be_pricked_out_is_counted_then() {
    let home = home();
    home.script(
        "sow lettuce Leaf --packed 2024 --seeds 100 --in seed-tray --at sill/long --on 2024-03-01
         count 1 70 --on 2024-03-12
         forecast set 2024-03-19 --low 5 --high 12 --on 2024-03-18
         forecast set 2024-04-01 --low 5 --high 12 --on 2024-03-31",
    );
    let (action, rows) = asked(&home, "2024-03-19");
    assert_eq!((action.as_str(), rows.len()), ("count it: if no more are up it is all up", 1), "{rows:?}");
    let (action, rows) = asked(&home, "2024-04-01");
    assert_eq!(action, "count what is up when you prick out: if no more are up it is all up");
    assert!(rows.len() == 1 && rows[0].starts_with("prick out: 70"), "{rows:?}");
    // No page looks forward to a day that is past.
    let page = home.does("batch 1 --on 2024-04-01");
    assert!(!page.contains("nine tenths of them by"), "{page}");
    assert_eq!(home.json("germination --on 2024-04-01")["rows"][0]["ninety_percent_by"], serde_json::Value::Null);
}

#[test]
fn seed_of_which_little_is_expected_is_sown_again_for_by_both() {
    let home = home();
    home.does("sow leek Old --packed 2016 --seeds 20 --in seed-tray --at sill/long --on 2024-03-01");
    let (action, rows) = said(&home, "2024-03-03");
    assert!(action.starts_with("leave it, ") && action.contains("buy fresh seed"), "{action}");
    let [[what, urgency, reason]] = &rows[..] else { panic!("{rows:?}") };
    assert_eq!((what.as_str(), urgency.as_str()), ("sow again", "ask"));
    assert!(reason.starts_with("little is expected") && action.ends_with(reason.as_str()), "{reason}");
}

/// Basil in a cold frame that is read and counted every week: told of for a week, and quiet from then on.
#[test]
fn seed_that_stands_still_is_told_of_once() {
    let home = home();
    home.does("sow basil Green --packed 2024 --seeds 40 --in seed-tray --at frame/left --on 2024-03-01");
    for (on, compost) in [("03", 9), ("10", 14), ("17", 10), ("24", 15), ("31", 9)] {
        home.does(&format!("reading frame --compost {compost} --on 2024-03-{on}"));
        home.does(&format!("count 1 0 --on 2024-03-{on}"));
    }
    let urgency = |on: u32| {
        let (_, rows) = said(&home, &format!("2024-03-{on:02}"));
        rows.into_iter().find(|[what, ..]| what == "to warmth").map(|[_, urgency, _]| urgency)
    };
    let told: Vec<Option<String>> = (1..=31).map(urgency).collect();
    let mut urgencies: Vec<&str> = told.iter().flatten().map(String::as_str).collect();
    urgencies.dedup();
    assert_eq!(urgencies, ["today", "ask"], "{told:?}");
    // Moved to where it is as cold, it is told of again.
    home.script(
        "place add shed --kind 'cold frame' --on 2024-01-01
         bench add shed/long --size 2000x900mm --on 2024-01-01
         move 1a shed --on 2024-03-31",
    );
    assert_eq!(urgency(31).as_deref(), Some("today"));
}

#[test]
fn what_was_read_is_said_and_what_was_not_is_to_be_read() {
    let home = home();
    home.script(
        "sow tomato Copper --packed 2024 --seeds 20 --in seed-tray --at room/long --on 2024-03-01
         count 1 0 --on 2024-03-19
         count 1 0 --on 2024-03-23",
    );
    let action = || said(&home, "2024-03-23").0;
    assert!(action().starts_with("read the compost first: if it is under 14 C"), "{}", action());
    home.does("reading room --compost 12 --on 2024-03-23");
    let read = "about 12 C on the one day it was read; if it was under 14 C on the others too this is only slow: read it every few days";
    assert!(action().starts_with(read), "{}", action());
    // A heater's setting is no reading.
    let home = self::home();
    home.script(
        "place add house --kind greenhouse --on 2024-01-01
         bench add house/long --size 2000x900mm --on 2024-01-01
         sow basil Green --packed 2024 --seeds 20 --in seed-tray --at house/long --on 2024-03-01
         count 1 0 --on 2024-03-13
         move 1a mat --on 2024-03-14
         count 1 0 --on 2024-03-21
         count 1 0 --on 2024-03-25",
    );
    let (action, _) = said(&home, "2024-03-25");
    assert!(action.starts_with("read the compost first: if it is under 12 C its time is not over"), "{action}");
}

#[test]
fn a_page_and_the_list_name_the_same_container() {
    let home = home();
    // What is used beside it says what it is pricked out into.
    home.script(
        "sow tomato Plum --packed 2024 --seeds 24 --in 24-cell --at sill/long --on 2024-03-01
         sow celery Rib --packed 2024 --seeds 200 --in half-tray --at sill/long --on 2024-03-01
         count 2 90 --on 2024-03-20",
    );
    let due = home.json("due --on 2024-04-20");
    let row = due["rows"].as_array().unwrap().iter().find(|row| row["what"] == "prick out").unwrap();
    let page = home.json("batch 2 --on 2024-04-20");
    assert_eq!(row["next_container"], "24-cell");
    assert_eq!(page["rows"][0]["parts"][0]["ready"]["next_container"], row["next_container"]);
}
