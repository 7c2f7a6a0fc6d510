//! What makes onions, leeks, cabbages and beet bolt is cold from a size: leaves as they are noted, and what is said where
//! nobody noted any. The real binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use crate::command_line::Home;
use chrono::{Days, NaiveDate};

/// A crop, the line under which days make it bolt or button, how many at least, and from how many true leaves.
struct Kind {
    crop: &'static str,
    line: &'static str,
    /// Lowest and highest of days that are all under it.
    air: (u8, u8),
    days: u64,
    leaves: u32,
    does: &'static str,
}

/// Onion: Michigan State Univ. Hortopics 1985, two to four weeks under 10 C from 7 leaves, under 7 C from 5. Leek: Brewster, Onions and Other
/// Vegetable Alliums, a week or two at 10 C, the size common practice. Cabbage: the size Oregon State Univ. Extension 2009,
/// the days common practice. Beetroot: Cornell home gardening guide, two to three weeks under 45 F, the size common practice.
/// Calabrese: common practice, no source.
const KINDS: [Kind; 6] = [
    Kind { crop: "onion", line: "7.0 C", air: (1, 6), days: 14, leaves: 5, does: "bolt" },
    Kind { crop: "onion", line: "10.0 C", air: (8, 9), days: 14, leaves: 7, does: "bolt" },
    Kind { crop: "leek", line: "10.0 C", air: (8, 9), days: 14, leaves: 6, does: "bolt" },
    Kind { crop: "cabbage", line: "10.0 C", air: (8, 9), days: 28, leaves: 6, does: "bolt" },
    Kind { crop: "beetroot", line: "7.2 C", air: (1, 6), days: 14, leaves: 4, does: "bolt" },
    Kind { crop: "calabrese", line: "10.0 C", air: (8, 9), days: 4, leaves: 5, does: "button" },
];

/// The day that leaves are noted.
fn noted() -> NaiveDate {
    NaiveDate::from_ymd_opt(2024, 3, 12).unwrap()
}

/// Batches of a crop in a frame, each of so many leaves when they were noted.
fn in_the_cold(crop: &str, leaves: &[Option<u32>], (low, high): (u8, u8), days: u64) -> Home {
    let home = Home::with_benches();
    let mut script = String::new();
    for (number, leaves) in (1..).zip(leaves) {
        script += &format!(
            "sow {crop} First --seeds 20 --in half-tray --at frame/left --on 2024-01-10
             count {number} 20 --on 2024-01-28\n"
        );
        if let Some(leaves) = leaves {
            script += &format!("stage {number} --leaves {leaves} --on {}\n", noted());
        }
    }
    for day in noted().iter_days().take(days as usize + 1) {
        script += &format!("reading frame --min {low} --max {high} --on {day}\n");
    }
    home.script(&script);
    home
}

/// What is told unasked of batches that bolt or button, on a day.
fn told(home: &Home, on: NaiveDate) -> Vec<String> {
    let answer = home.json(&format!("cold --on {on}"));
    let rows = answer["rows"].as_array().unwrap().iter();
    let rows = rows.filter(|row| row["row"] == "cold_over_days" && row["told"] == true);
    rows.map(|row| format!("{}: {}", row["batch"].as_str().unwrap(), row["reason"].as_str().unwrap()))
        .filter(|said| said.contains("bolt") || said.contains("button"))
        .collect()
}

#[test]
fn cold_counts_from_the_size_that_was_noted() {
    for Kind { crop, line, air, days, leaves, does } in KINDS {
        let home = in_the_cold(crop, &[Some(leaves), Some(leaves - 1), None], air, days);
        let on = noted() + Days::new(days);
        let dose = format!("{days} days' worth under {line}, and {days} to ");
        assert_eq!(told(&home, on - Days::new(1)), Vec::<String>::new(), "{crop}: one day short of it");
        let said = told(&home, on);
        assert!(said.len() == 1 && said[0].starts_with(&format!("2024/1: {dose}")), "{crop}: {said:?}");
        assert!(said[0].ends_with(&format!("it may {does}")), "{crop}: {said:?}");
        let why = |number: u32| {
            home.does(&format!("why cold {number} --on {on}")).split_whitespace().collect::<Vec<_>>().join(" ")
        };
        let (large, small, unknown) = (why(1), why(2), why(3));
        assert!(
            large.contains(&dose) && large.contains(&format!("true leaves last noted {leaves}, {}", noted())),
            "{large}"
        );
        let only = format!("make it {does}, but only from {leaves} true leaves on, and");
        assert!(small.contains(&format!("{only} {} were noted {days} days ago", leaves - 1)), "{small}");
        assert!(unknown.contains(&format!("{only} none were noted: `stage 3a --leaves N`")), "{unknown}");
    }
}

/// Common practice, no source: plants with three leaves in March have more a month later, and nobody counts them every week.
#[test]
fn an_old_note_of_leaves_is_asked_about_once_and_a_new_one_counts_what_came_between() {
    let home = in_the_cold("leek", &[Some(3), None], (8, 9), 60);
    let asks =
        |on: NaiveDate| home.does(&format!("cold --on {on}")).contains("count the leaves of 1a leek, 3 when noted");
    let days: Vec<u64> = (1..=60).filter(|day| asks(noted() + Days::new(*day))).collect();
    assert_eq!(days, [31, 32, 33], "once, when the note is a month old; of the other nothing was ever noted");
    let page = home.does(&format!("--plain tonight --on {}", noted() + Days::new(31)));
    assert!(page.contains("`stage 1a --leaves N`"), "{page}");
    // Nine leaves forty days on: six of them half-way there, so that it had twenty days of cold at that size.
    let on = noted() + Days::new(40);
    home.does(&format!("stage 1 --leaves 9 --on {on}"));
    let said = told(&home, on);
    assert!(
        said.len() == 1 && said[0].starts_with("2024/1: 20 days' worth under 10.0 C, and 14 to 21 do it"),
        "{said:?}"
    );
    assert!(told(&home, on + Days::new(3)).is_empty(), "no news any more");
}

/// Half of the dose is when it is spoken of: common practice, no source.
#[test]
fn an_old_note_is_asked_about_from_half_of_the_dose_on() {
    let leek = &KINDS[2];
    for (cold, asks) in [(6, false), (8, true)] {
        let home = in_the_cold(leek.crop, &[Some(3)], leek.air, cold - 1);
        let warm =
            (cold..=34).map(|day| format!("reading frame --min 14 --max 18 --on {}\n", noted() + Days::new(day)));
        home.script(&warm.collect::<String>());
        let on = noted() + Days::new(31);
        let said = home.does(&format!("cold --on {on}"));
        assert_eq!(said.contains("count the leaves of 1a leek"), asks, "{cold} days of 14: {said}");
    }
}
