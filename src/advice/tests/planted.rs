//! Plants set in the ground: fleeced by bed for six weeks, by what each crop stands; and what speaks against setting them.

use super::*;
use crate::advice::{Outlooks, PlantedOut, Task, WATCHED_DAYS, cold, due, too_early};
use crate::journal::Departure;
use crate::quantity::{Celsius, Moment, Remark};

/// A sill with a set of pots of each crop since 1 April 2026, and a plot called veg.
fn sill_and_plot(crops: &[&str]) -> Season {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (9000, 900), None);
    season.place("veg", PlaceKind::Plot);
    for (number, crop) in (1..).zip(crops) {
        season.sows("2026-04-01", number, crop, 12, on(sill, pots(12, 90)));
        season.counts("2026-04-10", &format!("{number}a"), 12);
    }
    season
}

fn sets_out(season: &mut Season, on: &str, part: &str, plants: u32, bed: Option<&str>) {
    let (part, bed) = (season.part(part), bed.map(|bed| Remark::new(bed).unwrap()));
    season.does(on, &Act::PlantOut { part, plants, bed, recount: Recount::No });
}

fn forecasts(season: &mut Season, on: &str, low: f64, high: f64) {
    let night = day(on).succ_opt().unwrap();
    season.does(on, &Act::Forecast { days: vec![(night, Celsius(low), Celsius(high))] });
}

fn beds(season: &Season, on: &str) -> Vec<PlantedOut> {
    cold(&season.state(), &trade(), day(on)).planted
}

fn named(bed: &PlantedOut) -> (String, Vec<String>) {
    (bed.bed.to_string(), bed.crops.iter().map(|(crop, plants)| format!("{plants} {crop}")).collect())
}

/// Lettuce works down to -2 to 1 C, tomato dies at 0 C, savoys stand far more (`assets/crop_facts.csv`).
#[test]
fn one_row_names_what_the_night_harms_and_not_what_stands_it() {
    let mut season = sill_and_plot(&["lettuce", "tomato", "savoy cabbage"]);
    for (part, plants) in [("1a", 10), ("2a", 3), ("2a", 2), ("3a", 12)] {
        sets_out(&mut season, "2026-05-01", part, plants, Some("Veg"));
    }
    sets_out(&mut season, "2026-05-01", "2a", 1, Some("by the wall"));
    assert!(beds(&season, "2026-05-01").is_empty(), "nothing is known of the night");
    // A dull night at 0: leaves near 0, over what hardened lettuce stands; tomato is at the point of dying.
    for spring in 1..=20 {
        season.does(
            &format!("2026-05-{spring:02}"),
            &Act::Forecast { days: vec![(day(&format!("2026-05-{:02}", spring + 1)), Celsius(6.0), Celsius(9.0))] },
        );
    }
    forecasts(&mut season, "2026-05-20", 2.0, 5.0);
    let rows = beds(&season, "2026-05-20");
    let told: Vec<_> = rows.iter().map(named).collect();
    assert_eq!(told, [("veg".to_owned(), vec!["6 tomato".to_owned()])], "by the wall is under the plot's cover too");
    assert_eq!(rows[0].doing.as_deref(), Some("cover veg on"));
    let said = "fleece veg tonight: 2 beds (by the wall, Veg), all of it; 6 tomato planted out; leaves likely at";
    assert!(rows[0].sentence().starts_with(said), "{}", rows[0].sentence());
    assert_eq!(rows[0].risk.floor, Celsius(2.0), "two degrees above where hardened tomatoes die");
    // Leaves a few degrees under a night at 0.5: lettuce too, behind the tomatoes; not the savoys.
    forecasts(&mut season, "2026-05-20", 0.5, 7.0);
    let rows = beds(&season, "2026-05-20");
    assert_eq!(named(&rows[0]).1, ["6 tomato", "10 lettuce"]);
    let low = cold(&season.state(), &trade(), day("2026-05-20"));
    assert!(low.places.iter().any(|row| row.name == name("veg") && row.verdict == crate::advice::ColdVerdict::CoverIt));
}

#[test]
fn a_mild_night_and_a_cover_that_is_enough_say_nothing() {
    let mut season = sill_and_plot(&["tomato"]);
    sets_out(&mut season, "2026-05-20", "1a", 12, Some("veg"));
    forecasts(&mut season, "2026-05-20", 9.0, 20.0);
    assert!(beds(&season, "2026-05-20").is_empty(), "mild");
    forecasts(&mut season, "2026-05-20", 1.5, 5.5);
    let bare = beds(&season, "2026-05-20");
    assert!(bare[0].reason.contains("under a fleece"), "{}", bare[0].reason);
    let state = season.state();
    let (veg, _) = state.places.iter().find(|(_, place)| place.name == name("veg")).unwrap();
    season.does("2026-05-20", &Act::Cover { place: *veg, on: true });
    assert!(beds(&season, "2026-05-20").iter().all(|bed| bed.is_covered && bed.doing.is_none()), "covered");
    let asked = crate::advice::in_the_ground(&season.state(), &trade(), day("2026-05-20"));
    let [(_, said, why)] = asked.as_slice() else { panic!("{asked:?}") };
    assert!(said.contains("tomato in veg, covered: leaves likely at"), "{said}");
    assert!(!why.inputs.is_empty());
    // The morning after the cover lies there still, and the next night is as cold: it is not to stay off.
    forecasts(&mut season, "2026-05-21", 1.5, 5.5);
    assert!(cold(&season.state(), &trade(), day("2026-05-21")).uncover.is_empty(), "it is counted on tonight");
    let rows = due(&season.state(), &trade(), &Outlooks::default(), day("2026-05-21"));
    let off = rows.iter().find(|row| matches!(row.what, Task::Uncover(_))).unwrap();
    assert!(off.reason.ends_with("lay it again before dusk"), "{}", off.reason);
    assert_eq!(off.doing.as_deref(), Some("cover veg off"));
    let evening = Moment { on: day("2026-05-21"), hour: Some(18) };
    let rows = due(&season.state(), &trade(), &Outlooks::default(), evening);
    assert!(rows.iter().all(|row| !matches!(row.what, Task::Uncover(_))), "no day is left to be uncovered for");
    // So cold that it will not do even so: by day it is told as one that lies again.
    forecasts(&mut season, "2026-05-21", -4.0, 6.0);
    for (hour, said) in [(8, "veg, covered again tonight, still has "), (18, "veg is covered, and still ")] {
        let page = cold(&season.state(), &trade(), Moment { on: day("2026-05-21"), hour: Some(hour) });
        assert!(page.planted[0].sentence().starts_with(said), "{hour}: {}", page.planted[0].sentence());
    }
    forecasts(&mut season, "2026-05-21", 12.0, 20.0);
    let off = cold(&season.state(), &trade(), day("2026-05-21")).uncover;
    assert!(off[0].reason.ends_with("mild enough without it"), "{}", off[0].reason);
    let off = cold(&season.state(), &trade(), evening).uncover;
    assert_eq!(off[0].reason, "tonight is mild enough without it");
}

/// What the night wants covered is a row of the evening's work, with its words; by day it is not work yet.
#[test]
fn a_cover_wanted_tonight_is_work_of_the_evening() {
    let mut season = sill_and_plot(&["tomato", "pea", "kale"]);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (9000, 900), None);
    season.moves("2026-05-01", "2a", Stand::Bench(frame));
    sets_out(&mut season, "2026-05-20", "1a", 12, Some("veg"));
    forecasts(&mut season, "2026-05-20", 0.5, 7.0);
    let covers = |season: &Season, hour: u32| -> Vec<(Option<String>, String)> {
        let at = Moment { on: day("2026-05-20"), hour: Some(hour) };
        let rows = due(&season.state(), &trade(), &Outlooks::default(), at);
        let rows = rows.into_iter().filter(|row| matches!(row.what, Task::Cover(_)));
        rows.map(|row| (row.doing, row.reason)).collect()
    };
    assert!(covers(&season, 10).is_empty(), "by day it would shut out the light");
    let evening = covers(&season, 18);
    let words: Vec<_> = evening.iter().filter_map(|(words, _)| words.as_deref()).collect();
    assert_eq!(words, ["cover veg on"], "{evening:?}");
    assert!(evening[0].1.starts_with("fleece veg tonight: 12 tomato planted out"), "{evening:?}");
    forecasts(&mut season, "2026-05-20", -5.0, 7.0);
    let evening = covers(&season, 18);
    let words: Vec<_> = evening.iter().filter_map(|(words, _)| words.as_deref()).collect();
    assert_eq!(words, ["cover veg on", "cover frame on"], "{evening:?}");
    let state = season.state();
    let (veg, _) = state.places.iter().find(|(_, place)| place.name == name("veg")).unwrap();
    season.does("2026-05-20", &Act::Cover { place: *veg, on: true });
    assert!(covers(&season, 18).iter().all(|(words, _)| words.as_deref() != Some("cover veg on")), "it lies");
}

/// One `cover` covers all that stands in a place, so it is one line with every bed in it.
#[test]
fn beds_under_one_cover_are_one_line() {
    let mut season = sill_and_plot(&["tomato", "lettuce"]);
    sets_out(&mut season, "2026-05-20", "1a", 6, Some("veg"));
    sets_out(&mut season, "2026-05-20", "1a", 3, Some("fleece cloche row"));
    sets_out(&mut season, "2026-05-20", "2a", 3, Some("long bed"));
    forecasts(&mut season, "2026-05-20", -4.0, 7.0);
    let rows = beds(&season, "2026-05-20");
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!(named(&rows[0]), ("veg".to_owned(), vec!["9 tomato".to_owned(), "3 lettuce".to_owned()]));
    let said = rows[0].sentence();
    assert!(said.starts_with("fleece veg tonight: 3 beds (fleece cloche row, long bed, veg), all of it; "), "{said}");
    assert_eq!(rows[0].doing.as_deref(), Some("cover veg on"));
}

#[test]
fn a_bed_is_watched_for_six_weeks_whether_its_pots_were_cleared_or_not() {
    let mut season = sill_and_plot(&["tomato"]);
    sets_out(&mut season, "2026-05-01", "1a", 12, None);
    season.clears("2026-05-02", "1a", Rest::Keep);
    let last = day("2026-05-01").checked_add_days(chrono::Days::new(WATCHED_DAYS.into())).unwrap();
    let after = last.succ_opt().unwrap();
    for on in [last, after] {
        forecasts(&mut season, &on.to_string(), -2.0, 12.0);
    }
    assert_eq!(named(&beds(&season, &last.to_string())[0]).0, "the ground");
    assert!(beds(&season, &after.to_string()).is_empty());
    // What was not planted out yet on the day looked at is not watched.
    forecasts(&mut season, "2026-04-30", -2.0, 12.0);
    let state = fold_until(&season.history(), day("2026-04-30")).0;
    assert!(cold(&state, &trade(), day("2026-04-30")).planted.is_empty());
    let gone = &season.state().parts[&season.part("1a")].gone;
    assert!(matches!(gone[0].how, Departure::PlantedOut { bed: None }));
}

/// The last frost is about 10 May (`assets/site.csv`), tomatoes wait for it and lettuce does not wait so long (Purdue
/// Extension HO-203).
#[test]
fn what_is_set_out_early_is_told_why() {
    let season = sill_and_plot(&["tomato", "lettuce", "pea"]);
    let doubts = |season: &Season, part: &str, on: &str| {
        too_early(&season.state(), &trade(), season.part(part), Some("veg"), day(on)).unwrap_or_default()
    };
    let tomato = doubts(&season, "1a", "2026-04-24");
    assert!(tomato.starts_with("1a tomato is early: the last frost is about 10 May; not hardened off"), "{tomato}");
    assert!(!doubts(&season, "1a", "2026-06-01").contains("last frost"));
    assert!(!doubts(&season, "2a", "2026-05-09").contains("last frost"));
    let mut cold = sill_and_plot(&["lettuce"]);
    forecasts(&mut cold, "2026-05-20", -4.0, 9.0);
    let night = doubts(&cold, "1a", "2026-05-20");
    assert!(night.contains("the night to 2026-05-21: leaves likely at"), "{night}");
    forecasts(&mut cold, "2026-05-20", 10.0, 14.0);
    assert!(!doubts(&cold, "1a", "2026-05-20").contains("the night"));
}

/// Eight days without a reading: the low is of the eight days, and teaches nothing of last night.
#[test]
fn a_low_of_many_days_is_not_taken_for_last_nights() {
    use crate::advice::Climates;
    use crate::journal::Measured::{Maximum, Minimum};
    let mut season = Season::default();
    let frame = season.place("frame", PlaceKind::ColdFrame);
    let reads = |season: &mut Season, on: &str, low: f64, high: f64| {
        let measured = vec![Minimum(Celsius(low)), Maximum(Celsius(high))];
        season.does(on, &Act::Read { place: frame, measured });
    };
    for on in 10..=14 {
        let days = vec![(day(&format!("2026-04-{on}")), Celsius(3.0), Celsius(10.0))];
        season.does(&format!("2026-04-{}", on - 1), &Act::Forecast { days });
        reads(&mut season, &format!("2026-04-{on}"), 5.0, 15.0);
    }
    let learnt = |season: &Season, on: &str| {
        let climates = Climates::learn(&season.state(), &trade(), day(on));
        (climates.places()[&frame].nights_learnt(), climates.read(frame, day(on)).low)
    };
    assert_eq!(learnt(&season, "2026-04-14"), (5, Some(Celsius(5.0))));
    season.does("2026-04-21", &Act::Forecast { days: vec![(day("2026-04-22"), Celsius(7.0), Celsius(15.0))] });
    season.does("2026-04-22", &Act::Forecast { days: vec![(day("2026-04-23"), Celsius(7.0), Celsius(15.0))] });
    reads(&mut season, "2026-04-22", 1.0, 39.0);
    assert_eq!(learnt(&season, "2026-04-22"), (5, None));
    // Set anew, the next is of a night again.
    reads(&mut season, "2026-04-23", 9.0, 20.0);
    assert_eq!(learnt(&season, "2026-04-23"), (6, Some(Celsius(9.0))));
}
