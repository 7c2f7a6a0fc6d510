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
    assert!(
        due.contains("2024/1 kale, hardening step 1 of 2, day 1 of 2, back from step 2 by 4 days not out"),
        "{due}"
    );
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
    assert!(due.contains("wait with planting out, no forecast of the nights"), "{due}");
    for day in 13..=17 {
        home.does(&format!("forecast set 2024-05-{day} --low 9 --high 17 {on}"));
    }
    assert!(home.does(&format!("cold {on}")).contains("plant-out 2024/1a"));
}
