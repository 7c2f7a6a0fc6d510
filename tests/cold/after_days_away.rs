//! Back after days away: what the log does not know is asked for, and nothing is to be done that nobody can judge. The real
//! binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;

#[test]
fn hardening_off_is_caught_up_in_the_days_work_too() {
    let home = Home::empty();
    let mut lines = String::from(
        "place add sill --kind windowsill --light full --on 2024-01-01
         place add yard --kind 'standing ground' --on 2024-01-01\n",
    );
    for (number, crop) in [(1, "kale"), (2, "lettuce")] {
        lines.push_str(&format!("sow {crop} First --seeds 6 --in 9cm-potx6 --at sill --on 2024-03-01\n"));
        lines.push_str(&format!("count 2024/{number} 6 --on 2024-03-08\n"));
    }
    for day in 12..=14 {
        lines
            .push_str(&format!("out 2024/1a 2024/2a yard --on 2024-04-{day}\nin 2024/1a 2024/2a --on 2024-04-{day}\n"));
    }
    for day in 12..=26 {
        lines.push_str(&format!("forecast set 2024-04-{day} --low 6 --high 15 --on 2024-04-12\n"));
    }
    home.script(&lines);
    let away = "nothing was noted of any plant for 5 days";
    let (due, cold) = (home.does("due --on 2024-04-19"), home.does("cold --on 2024-04-19"));
    assert!(cold.contains(away), "{cold}");
    assert!(due.contains(away) && !due.contains("to yard for the day"), "{due}");
    assert!(due.contains("1a kale, hardening step 1 of 2, day 1 of 2, back from step 2 by 4 days not out"), "{due}");
    assert!(home.does("due --on 2024-04-15").contains("to yard for the day"));
}

#[test]
fn planting_waits_for_a_forecast_where_forecasts_are_noted() {
    let home = Home::empty();
    home.script(
        "place add frame --kind 'cold frame' --on 2024-01-01
         place add veg --kind plot --on 2024-01-01
         sow kale First --seeds 6 --in 9cm-potx6 --at frame --on 2024-03-20
         count 2024/1 6 --on 2024-03-28",
    );
    let on = "--on 2024-05-12";
    let never = home.does(&format!("cold {on}"));
    assert!(never.contains("plant-out 2024/1a") && never.contains("look at one first"), "{never}");
    assert!(!never.contains("has come, but"), "{never}");
    home.does("forecast set 2024-05-03 --low 8 --high 16 --on 2024-05-02");
    let cold = home.does(&format!("cold {on}"));
    assert!(cold.contains("no forecast of the nights: wait for a forecast") && !cold.contains("plant-out"), "{cold}");
    let due = home.does(&format!("due {on}"));
    assert!(due.contains("not yet: no forecast of the nights"), "{due}");
    for day in 13..=17 {
        home.does(&format!("forecast set 2024-05-{day} --low 9 --high 17 {on}"));
    }
    assert!(home.does(&format!("cold {on}")).contains("plant-out 2024/1a"));
}

const SILL_AND_FRAME: &str = "place add sill --kind windowsill --light full --on 2024-01-01
     place add frame --kind 'cold frame' --on 2024-01-01
     place add veg --kind plot --on 2024-01-01
     bench add sill/long --size 2400x400mm --on 2024-01-01
     bench add frame/left --size 1800x900mm --on 2024-01-01\n";

/// Six weeks without a word of them are no reason to call forgotten what the other page plants.
#[test]
fn what_may_be_planted_is_not_called_forgotten() {
    let home = Home::empty();
    home.script(&format!(
        "{SILL_AND_FRAME}sow lettuce First --seeds 24 --in 24-cell --at sill/long --on 2024-03-10
         count 1 20 --on 2024-03-18
         move 1a frame/left --on 2024-04-16"
    ));
    for day in 29..=31 {
        home.does(&format!("forecast set 2024-05-{day} --low 8 --high 18 --on 2024-05-29"));
    }
    let (due, cold) = (home.does("due --on 2024-05-29"), home.does("cold --on 2024-05-29"));
    assert!(cold.contains("plant-out 2024/1a 20"), "{cold}");
    assert!(due.contains("late  plant out") && due.contains("count what lives, else log it lost"), "{due}");
    assert!(!due.contains("clear") && !due.contains("forgotten"), "{due}");
}

/// Tomatoes whose hardening was begun in April, a month before their days would come.
fn begun_and_left() -> Home {
    let home = Home::empty();
    let mut lines = format!(
        "{SILL_AND_FRAME}sow tomato First --seeds 12 --in 24-cell --at sill/long --on 2024-03-25
         count 1 12 --on 2024-04-06\n"
    );
    for day in 24..=30 {
        lines.push_str(&format!("out 1a frame --on 2024-04-{day}\nin 1a --on 2024-04-{day}\n"));
    }
    home.script(&lines);
    home
}

#[test]
fn hardening_off_goes_on_by_one_key_however_long_nothing_was_noted() {
    let home = begun_and_left();
    for day in 4..=14 {
        let row = home.json(&format!("due --on 2024-05-{day:02}"))["rows"].as_array().unwrap().clone();
        let row = row.into_iter().find(|row| row["what"] == "catch up").unwrap();
        assert_eq!(row["doing"], "out 2024/1a frame", "{day} May: {row}");
        let cold = home.does(&format!("cold --on 2024-05-{day:02}"));
        // The same words on every page.
        let says = "or go on from here: `out 2024/1a frame`";
        let (due, page) = (home.does(&format!("due --on 2024-05-{day:02}")), format!("--plain --on 2024-05-{day:02}"));
        for said in [cold, due, home.does(&page)] {
            assert!(said.contains(says), "{day} May: {said}");
        }
    }
    // A note of anything brings the step itself back, and nothing is left to say that there is nothing to do.
    home.does("note 1 \"watered\" --on 2024-05-10");
    let due = home.does("due --on 2024-05-11");
    assert!(due.contains("out to frame for the day") && !due.contains("catch up"), "{due}");
    // On a day too cold to go out there is no key, and the step says why.
    home.does("forecast set 2024-05-20 --low 2 --high 6 --on 2024-05-20");
    let cold = home.does("cold --on 2024-05-20");
    assert!(!cold.contains("go on from here") && cold.contains("today does not count: 6.0 C at most"), "{cold}");
}

/// Who reads thermometers is there, and was asked for nothing.
#[test]
fn who_notes_readings_is_not_told_that_nothing_was_noted() {
    let home = Home::empty();
    home.script(&format!(
        "{SILL_AND_FRAME}sow kale First --seeds 6 --in 9cm-potx6 --at frame/left --on 2024-04-10
         count 1 6 --on 2024-04-18"
    ));
    let said = |on: &str| home.does(&format!("due --on {on}")).contains("nothing was noted");
    assert!(!said("2024-04-24") && said("2024-04-25"));
    home.does("reading frame --min 6 --on 2024-04-25");
    assert!(!said("2024-04-25") && !said("2024-05-01") && said("2024-05-02"));
    home.does("forecast set 2024-05-03 --low 8 --high 16 --on 2024-05-02");
    assert!(!said("2024-05-02"));
    // A logger's file is no word of who was there.
    std::fs::write(home.file("week.csv"), "date,min,max\n2024-05-07,8,18\n2024-05-08,8,18\n2024-05-09,8,18\n").unwrap();
    home.does("reading import week.csv --place frame --on 2024-05-09");
    assert!(said("2024-05-09"));
}

/// What is carried out for the day and what moves for good are not headed alike.
#[test]
fn a_move_for_good_is_not_headed_as_an_outing() {
    let home = Home::empty();
    home.script(&format!(
        "{SILL_AND_FRAME}sow lettuce First --seeds 24 --in 24-cell --at sill/long --on 2024-03-10
         count 1 20 --on 2024-03-18"
    ));
    for day in 10..=14 {
        home.does(&format!("forecast set 2024-04-{day} --low 7 --high 16 --on 2024-04-10"));
    }
    let due = home.does("due --on 2024-04-10");
    assert!(due.contains("move out") && !due.contains("out today"), "{due}");
}

/// Who types the weather every day is at home: days too cold to be out are no days away, and the first that is fit has its step.
#[test]
fn who_is_at_home_is_not_told_of_days_away() {
    let home = begun_and_left();
    let weather = |day: u32, low: f64, high: f64| {
        home.does(&format!("forecast set 2024-05-{day:02} --low {low} --high {high} --on 2024-05-{day:02}"));
        home.does(&format!("reading frame --min {low} --on 2024-05-{day:02}"));
    };
    for day in 1..=3 {
        weather(day, 3.0, 8.0);
    }
    weather(4, 9.0, 18.0);
    let said = |day: u32| home.does(&format!("due --on 2024-05-{day:02}"));
    assert!(said(4).contains("out to frame for the day") && !said(4).contains("catch up"), "{}", said(4));
    // Nor is who types it and carries nothing.
    for day in 5..=8 {
        weather(day, 9.0, 18.0);
        assert!(said(day).contains("out today") && !said(day).contains("catch up"), "{day}: {}", said(day));
    }
    // Three days on end without a word are days away, and what is typed on the fourth does not undo them.
    weather(12, 9.0, 18.0);
    assert!(said(12).contains("catch up"), "{}", said(12));
}

/// Nobody was asked to go out on days that were forecast too cold, there or not.
#[test]
fn days_too_cold_to_be_out_are_no_days_away() {
    let home = begun_and_left();
    for day in 1..=6 {
        let high = if day < 5 { 7 } else { 18 };
        home.does(&format!("forecast set 2024-05-{day:02} --low 3 --high {high} --on 2024-04-30"));
    }
    let said = |day: u32| home.does(&format!("due --on 2024-05-{day:02}"));
    for day in 5..=6 {
        assert!(said(day).contains("out to frame for the day") && !said(day).contains("catch up"), "{}", said(day));
    }
    assert!(said(8).contains("today  catch up"), "{}", said(8));
}

/// A file that holds a week says of none of its days that somebody was there.
#[test]
fn a_loggers_file_is_no_presence() {
    let home = begun_and_left();
    let mut file = String::from("date,min,max\n");
    for day in 1..=6 {
        file.push_str(&format!("2024-05-{day:02},8,18\n"));
    }
    std::fs::write(home.file("week.csv"), file).unwrap();
    home.does("reading import week.csv --place frame --on 2024-05-07");
    assert!(home.does("due --on 2024-05-07").contains("catch up"));
}

/// Brought home from a frame they stood in for two days, weeks before their schedule: nothing was asked, so nothing was missed.
#[test]
fn nothing_is_missed_before_the_schedule_begins() {
    let home = Home::empty();
    home.script(&format!(
        "{SILL_AND_FRAME}sow tomato First --seeds 12 --in 24-cell --at sill/long --on 2024-03-25
         count 1 12 --on 2024-04-06
         pot-on 1 12 --into 9cm-potx12 --at frame/left --on 2024-05-09
         clear 1a --on 2024-05-09
         move 1b sill/long --on 2024-05-11"
    ));
    for day in 9..=22 {
        home.does(&format!("forecast set 2024-05-{day:02} --low 9 --high 19 --on 2024-05-09"));
    }
    let mut begun = false;
    for day in 12..=16 {
        let due = home.does(&format!("due --on 2024-05-{day}"));
        assert!(!due.contains("catch up") && !due.contains("days not out"), "{day}: {due}");
        begun |= due.contains("hardening step 1 of 3, day 1 of 6");
    }
    assert!(begun, "no schedule began");
}
