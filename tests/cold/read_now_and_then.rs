//! Thermometers that are read every few days tell of the days between. The real binary.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::command_line::Home;
use serde_json::Value;

/// Celery from 10 March in a house of glass that held 6 to 12 C, read every so many days.
fn dose(every: usize) -> Vec<Value> {
    let home = Home::empty();
    home.script(
        "place add gh2 --kind greenhouse --heated-to 5C --on 2024-01-01
         bench add gh2/b --size 6000x2000mm --on 2024-01-01
         receive celery First --plants 20 --in 24-cell --at gh2/b --on 2024-03-10",
    );
    let start = chrono::NaiveDate::from_ymd_opt(2024, 3, 10).unwrap();
    for day in start.iter_days().step_by(every).take_while(|day| day.to_string().as_str() <= "2024-04-10") {
        home.does(&format!("reading gh2 --min 6 --max 12 --on {day}"));
    }
    let all = home.json("cold --on 2024-04-10")["rows"].as_array().unwrap().clone();
    all.into_iter().filter(|one| one["row"] == "cold_over_days").collect()
}

#[test]
fn that_a_thermometer_is_read_now_and_then_is_said_once() {
    let home = Home::empty();
    home.does("place add frame --kind 'cold frame' --on 2024-01-01");
    let read = |on: &str| home.does(&format!("reading frame --min 2 --max 14 --on {on}")).contains("was last read on");
    let told: Vec<bool> = ["2024-04-01", "2024-04-06", "2024-04-11", "2024-04-16", "2024-07-16"].map(read).to_vec();
    assert_eq!(told, [false, true, false, false, true]);
}

/// UK glasshouse trial 1990 and merchants' sheets: ten days or more under 13 C make celery bolt. The highest of three days is
/// above none of them.
#[test]
fn the_highest_of_several_days_is_above_none_of_them() {
    for every in [1, 2, 3] {
        let told = dose(every);
        let reason = told.first().map(|row| row["reason"].to_string()).unwrap_or_default();
        assert!(reason.contains("under 13.0 C"), "read every {every} days: {told:?}");
    }
}

/// A min-max thermometer is read with the air of the moment: the day's highest stays the highest of the day.
#[test]
fn the_air_of_a_moment_does_not_take_the_days_heat_away() {
    let home = Home::empty();
    home.script(
        "place add frame --kind 'cold frame' --on 2024-01-01
         sow lettuce First --seeds 24 --in 24-cell --at frame --on 2024-03-10
         count 1 20 --on 2024-03-20
         reading frame --max 42 --on 2024-04-25
         reading frame --now 19 --on 2024-04-25",
    );
    let hurt = "1a lettuce is hurt over 35.0 C; look them over";
    let page = |line: &str| home.does(line);
    assert!(page("cold --on 2024-04-25").contains(&format!("frame was 42.0 C today: {hurt}")));
    assert!(page("cold --on 2024-04-26").contains(&format!("frame was 42.0 C yesterday: {hurt}")));
    home.does("reading frame --min 7 --now 12 --on 2024-04-26");
    let due = page("due --on 2024-04-26");
    assert!(due.contains(&format!("frame was 42.0 C yesterday: {hurt}")), "{due}");
    assert!(!page("due --on 2024-04-27").contains("hurt"));
}
