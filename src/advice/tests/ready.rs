//! Windows of pricking out, potting on and planting out. Figures of the tables are named beside each case.

use super::*;
use crate::advice::{Readiness, Ready, Step, Task, due, emerged, ready, ready_of};

fn sill(season: &mut Season) -> BenchId {
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None)
}

fn of(season: &Season, part: &str, on: &str) -> Option<Ready> {
    ready_of(&season.state(), &trade(), season.part(part), day(on))
}

/// Step, earliest, best, latest.
fn window(season: &Season, part: &str, on: &str) -> (Step, String) {
    let row = of(season, part, on).unwrap();
    assert!(!row.why.sources.is_empty() && !row.why.formula.is_empty() && !row.why.changes.is_empty());
    (row.step, format!("{} {} {}", row.window.earliest, row.window.best, row.window.latest))
}

#[test]
fn a_shared_tray_is_pricked_out_by_days_from_when_half_was_up() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    assert_eq!(of(&season, "1a", "2026-03-05"), None, "nothing is up");
    season.counts("2026-03-08", "1a", 4);
    season.counts("2026-03-10", "1a", 30);
    let state = season.state();
    assert_eq!(emerged(&state, &state.parts[&season.part("1a")]), Some(day("2026-03-10")));
    // Tomato: 10 to 14 days from emergence, into 75 mm, then 90 to 100 mm (common practice; a tomato book).
    let expected = (Step::PrickOut, "2026-03-20 2026-03-22 2026-03-24".to_owned());
    assert_eq!(window(&season, "1a", "2026-03-10"), expected);
    for (on, word, overdue) in [
        ("2026-03-16", Readiness::NotYet, 0),
        ("2026-03-17", Readiness::Soon, 0),
        ("2026-03-20", Readiness::Ready, 0),
        ("2026-03-24", Readiness::Ready, 0),
        ("2026-03-26", Readiness::Overdue, 2),
    ] {
        let row = of(&season, "1a", on).unwrap();
        assert_eq!((row.readiness, row.overdue_days), (word, overdue), "{on}");
    }
    let next = of(&season, "1a", "2026-03-10").unwrap().next.unwrap();
    assert_eq!(next.width, (Millimetres(75), Millimetres(75)));
    let width = trade().container(&next.container.unwrap()).unwrap().width.unwrap();
    assert!((75..=94).contains(&width.0), "{width}");
    // A recount down: only 6 ever came up, so half of them were first seen on the 8th.
    season.counts("2026-03-12", "1a", 6);
    assert_eq!(window(&season, "1a", "2026-03-12").1, "2026-03-18 2026-03-20 2026-03-22");
}

#[test]
fn leaves_noted_hold_the_days_on_both_sides() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "1a", 30); // 20th, 22nd, 24th by days
    let leaves = |leaves| Growth { leaves: Some(leaves), ..SEEN };
    season.notes("2026-03-15", "1a", leaves(0));
    assert_eq!(window(&season, "1a", "2026-03-15").1, "2026-03-20 2026-03-22 2026-03-24");
    // No leaf on the 19th: not before the 22nd.
    season.notes("2026-03-19", "1a", leaves(0));
    assert_eq!(window(&season, "1a", "2026-03-19").1, "2026-03-22 2026-03-24 2026-03-26");
    // The first true leaf on the 21st: ready.
    season.notes("2026-03-21", "1a", leaves(1));
    assert_eq!(window(&season, "1a", "2026-03-21").1, "2026-03-21 2026-03-23 2026-03-25");

    season.sows("2026-03-01", 2, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "2a", 30);
    season.notes("2026-03-16", "2a", leaves(2));
    assert_eq!(window(&season, "2a", "2026-03-16").1, "2026-03-16 2026-03-18 2026-03-20");
}

#[test]
fn from_its_own_pot_it_is_potted_on_once_and_then_planted_out() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "1a", 30);
    season.moves_on("2026-03-22", "1a", 30, on(sill, pots(30, 75)));
    assert_eq!(of(&season, "1a", "2026-03-22"), None, "nothing stands in it");
    // Tomato: 28 to 42 days from emergence (common practice), best halfway.
    let expected = (Step::PotOn, "2026-04-07 2026-04-14 2026-04-21".to_owned());
    assert_eq!(window(&season, "1b", "2026-03-22"), expected);
    // Roots at the holes on 1 April: now, and not later than a week after.
    season.notes("2026-04-01", "1b", Growth { roots: true, ..SEEN });
    assert_eq!(window(&season, "1b", "2026-04-01").1, "2026-04-01 2026-04-01 2026-04-08");
    season.moves_on("2026-04-01", "1b", 30, on(sill, pots(30, 100)));
    // 5 to 8 weeks from sowing (Univ. Delaware 2024), but on or after the last frost (Purdue Extension HO-203).
    let expected = (Step::PlantOut, "2026-05-10 2026-05-20 2026-05-31".to_owned());
    assert_eq!(window(&season, "1c", "2026-04-01"), expected);
    assert_eq!(of(&season, "1c", "2026-04-01").unwrap().next, None);
    // Twelve of them parted from the set stand in the pots they stood in.
    let (part, plot) = (season.part("1c"), season.place("plot", PlaceKind::Plot));
    let moving = vec![Moving::Some { part, plants: 12 }];
    season.does("2026-04-02", &Act::Move { moving, to: Stand::Bench(sill), spot: None });
    assert_eq!(window(&season, "1d", "2026-04-02").0, Step::PlantOut);
    season.moves("2026-04-20", "1d", Stand::Place(plot));
    assert_eq!(of(&season, "1d", "2026-04-20"), None, "it is in its final place");
}

#[test]
fn a_small_cell_brings_the_last_day_forward() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    // Leek: 8 to 15 weeks from sowing; the only row of weeks in a cell says 8 to 12 (Brewster); 15 ml is the least
    // usual cell. A cell of 5 ml keeps a third of the 28 days between.
    season.sows("2026-03-01", 1, "leek", 100, on(sill, cells(104, 15)));
    season.counts("2026-03-15", "1a", 100);
    assert_eq!(window(&season, "1a", "2026-03-15"), (Step::PlantOut, "2026-04-26 2026-05-20 2026-05-24".to_owned()));
    season.sows("2026-03-01", 2, "leek", 100, on(sill, cells(104, 5)));
    season.counts("2026-03-15", "2a", 100);
    assert_eq!(window(&season, "2a", "2026-03-15"), (Step::PlantOut, "2026-04-26 2026-05-05 2026-05-05".to_owned()));
}

#[test]
fn crops_that_are_not_pricked_out_are_never_told_to_be() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    // Squash is sown in its own pot and hates to be moved; carrot is sown in place; one crop is in no table.
    for (number, crop) in [(1, "squash"), (2, "carrot"), (3, "moonflower")] {
        season.sows("2026-04-01", number, crop, 10, on(sill, tray()));
        season.counts("2026-04-10", &format!("{number}a"), 8);
    }
    assert_eq!(of(&season, "1a", "2026-04-12").unwrap().step, Step::PlantOut);
    assert_eq!(of(&season, "2a", "2026-04-12"), None);
    assert_eq!(of(&season, "3a", "2026-04-12"), None);
    // In 7 cm pots it is potted on into 9 to 13 cm, in 9 cm pots it goes straight out.
    season.sows("2026-04-01", 4, "squash", 6, on(sill, pots(6, 70)));
    season.counts("2026-04-10", "4a", 6);
    assert_eq!(of(&season, "4a", "2026-04-12").unwrap().step, Step::PotOn);
    season.sows("2026-04-01", 5, "squash", 6, on(sill, pots(6, 90)));
    season.counts("2026-04-10", "5a", 6);
    assert_eq!(of(&season, "5a", "2026-04-12").unwrap().step, Step::PlantOut);
    for row in ready(&season.state(), &trade(), day("2026-04-12")) {
        assert_ne!(row.step, Step::PrickOut, "{}", row.part.label);
    }
    // Ten lettuces in one pot are sown together and parted.
    season.sows("2026-04-01", 6, "lettuce", 10, on(sill, pots(1, 90)));
    season.counts("2026-04-10", "6a", 8);
    assert_eq!(of(&season, "6a", "2026-04-12").unwrap().step, Step::PrickOut);
}

#[test]
fn damp_paper_does_not_wait() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    let paper = vessel("paper", ContainerClass::Paper, (170, 120, 50));
    season.sows("2026-02-01", 1, "sweet pepper", 20, on(sill, paper));
    season.counts("2026-02-08", "1a", 12);
    let expected = (Step::PrickOut, "2026-02-08 2026-02-09 2026-02-11".to_owned());
    assert_eq!(window(&season, "1a", "2026-02-08"), expected);
}

#[test]
fn a_container_the_grower_has_used_is_offered_first() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    season.sows("2026-03-01", 1, "sweet pepper", 40, on(sill, tray()));
    season.counts("2026-03-15", "1a", 30);
    let offered = |season: &Season| of(season, "1a", "2026-03-16").unwrap().next.unwrap().container.unwrap();
    let before = offered(&season); // 75 to 100 mm
    assert_eq!(before.as_str(), "9cm-pot", "the narrowest of known height and volume");
    let own = Vessel { name: name("10cm-pot"), ..pots(4, 100) };
    season.sows("2026-03-01", 2, "leek", 4, on(sill, own));
    assert_eq!(offered(&season).as_str(), "10cm-pot");
}

#[test]
fn crops_the_frost_does_not_govern_wait_for_their_months() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    // Kale: 6 to 8 weeks from sowing (Utah State Univ.), but May to July (common practice).
    season.sows("2026-02-01", 1, "kale", 10, on(sill, pots(10, 90)));
    season.counts("2026-02-08", "1a", 10);
    assert_eq!(window(&season, "1a", "2026-03-01"), (Step::PlantOut, "2026-05-01 2026-05-08 2026-05-15".to_owned()));
    season.sows("2026-04-01", 2, "kale", 10, on(sill, pots(10, 90)));
    season.counts("2026-04-08", "2a", 10);
    assert_eq!(window(&season, "2a", "2026-05-01"), (Step::PlantOut, "2026-05-13 2026-05-20 2026-05-27".to_owned()));
}

#[test]
fn what_is_sown_in_autumn_is_not_sent_into_the_winter() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    // Kale: May to July (common practice). Lettuce and pea: six weeks before the last frost, 10 May (Purdue Extension HO-203).
    let opens = [("kale", "2027-05-01"), ("lettuce", "2027-03-29"), ("pea", "2027-03-29")];
    for ((number, (crop, _)), sown) in (1..).zip(opens).zip(["2026-11-01", "2026-11-14", "2026-11-04"]) {
        season.sows(sown, number, crop, 6, on(sill, pots(6, 110)));
        season.counts("2026-11-20", &format!("{number}a"), 6);
    }
    for (number, (crop, from)) in (1..).zip(opens) {
        let row = of(&season, &format!("{number}a"), "2026-11-26").unwrap();
        assert_eq!((row.step, row.window.earliest), (Step::PlantOut, day(from)), "{crop}");
        assert!(row.winter().contains("wintering is not planned"), "{crop}");
        // Nothing of it is due before.
        let rows = due(&season.state(), &trade(), &Outlooks::default(), day("2027-01-10"));
        assert!(rows.iter().all(|row| row.what != Task::PlantOut), "{rows:?}");
    }
    // A sowing for late summer is planted in late summer, one of January in its spring.
    season.sows("2026-07-01", 4, "lettuce", 6, on(sill, pots(6, 110)));
    season.counts("2026-07-08", "4a", 6);
    season.sows("2027-01-10", 5, "leek", 6, on(sill, pots(6, 110)));
    season.counts("2027-01-24", "5a", 6);
    for (part, from) in [("4a", "2026-07-29"), ("5a", "2027-03-29")] {
        let row = of(&season, part, "2027-01-26").unwrap();
        assert_eq!((row.window.earliest, row.winter()), (day(from), String::new()));
    }
}

/// Celery: planted out from the last frost to five weeks after it, against bolting (common practice).
#[test]
fn what_waits_for_the_frost_is_not_late_while_its_weeks_run() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    season.sows("2026-02-25", 1, "celery", 20, on(sill, cells(40, 50)));
    season.counts("2026-03-20", "1a", 20);
    let row = of(&season, "1a", "2026-05-28").unwrap();
    assert_eq!((row.readiness, row.window.latest), (Readiness::Ready, day("2026-06-14")));
}

#[test]
fn tender_plants_wait_for_the_last_frost() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    // Squash: a week or two after the last frost; cabbage: three to two weeks before it (Purdue Extension HO-203).
    for (number, crop) in [(1, "squash"), (2, "cabbage"), (3, "tomato")] {
        season.sows("2026-03-01", number, crop, 6, on(sill, pots(6, 110)));
        season.counts("2026-03-10", &format!("{number}a"), 6);
    }
    let first = |trade: &Trade, part: &str| {
        let row = ready_of(&season.state(), trade, season.part(part), day("2026-04-15")).unwrap();
        assert_eq!(row.step, Step::PlantOut, "{part}");
        (row.window.earliest.to_string(), row.after_frost.map(|on| on.to_string()), row.readiness)
    };
    let late = trade().with_site("last_frost = '1 june'", "settings.toml").unwrap();
    let waits = |first: &str, frost: &str| (first.to_owned(), Some(frost.to_owned()), Readiness::NotYet);
    assert_eq!(first(&trade(), "1a"), waits("2026-05-17", "2026-05-10"));
    assert_eq!(first(&late, "1a"), waits("2026-06-08", "2026-06-01"));
    assert_eq!(first(&late, "3a"), waits("2026-06-01", "2026-06-01"));
    assert_eq!(first(&late, "2a"), waits("2026-05-11", "2026-06-01"));
    // What goes out before the frost is not said to go out after it.
    let rows = due(&season.state(), &late, &Outlooks::default(), day("2026-05-28"));
    let said = |crop: &str| {
        rows.iter().find(|row| row.crop.as_ref().is_some_and(|it| it.as_str() == crop)).map(|row| row.reason.clone())
    };
    assert_eq!(said("cabbage").map(|it| it.contains("frost")), Some(false), "{rows:?}");
    let rows = due(&season.state(), &late, &Outlooks::default(), day("2026-06-20"));
    let said = |crop: &str| {
        rows.iter().find(|row| row.crop.as_ref().is_some_and(|it| it.as_str() == crop)).map(|row| row.reason.clone())
    };
    assert_eq!(said("squash").map(|it| it.contains("not yet: not hardened off")), Some(true), "{rows:?}");
    // An early site: three weeks before 20 April is the 30th of March, which is past.
    let early = trade().with_site("last_frost = '20 apr'", "settings.toml").unwrap();
    assert_eq!(first(&early, "2a").1, None);
    // Sown in September for planting in autumn: tomatoes wait for the spring, cabbage does not.
    season.sows("2026-09-01", 4, "tomato", 6, on(sill, pots(6, 110)));
    season.counts("2026-09-10", "4a", 6);
    let row = ready_of(&season.state(), &trade(), season.part("4a"), day("2026-09-15")).unwrap();
    assert_eq!(row.window.earliest, day("2027-05-10"));
}

/// Tomato: pricked out 10 to 14 days from emergence, potted on into 90 mm 28 to 42 days from it (common practice); 5 to 8
/// weeks from sowing to planting out (Delaware, Purdue, Utah State).
#[test]
fn plants_bought_in_are_as_old_as_plants_raised_in_what_they_came_in() {
    let mut season = Season::default();
    let sill = sill(&mut season);
    for (number, room) in (1..).zip([on(sill, tray()), on(sill, pots(12, 70)), on(sill, pots(12, 90))]) {
        let label = BatchLabel { year: 2026, number, twin: None };
        season.does("2026-04-01", &Act::Receive { label, seed: seed("tomato"), plants: 12, room });
    }
    let found = |part: &str| window(&season, part, "2026-04-01");
    assert_eq!(found("1a"), (Step::PrickOut, "2026-04-01 2026-04-03 2026-04-05".to_owned()));
    assert_eq!(found("2a"), (Step::PotOn, "2026-04-15 2026-04-22 2026-04-29".to_owned()));
    // Sown 35 days before it came; then the last frost, about 10 May.
    assert_eq!(found("3a"), (Step::PlantOut, "2026-05-10 2026-05-20 2026-05-31".to_owned()));
    let row = of(&season, "2a", "2026-04-01").unwrap();
    assert_eq!(row.emerged, None, "when they came up was not seen");
    assert!(row.why.inputs.iter().any(|input| input.what == "bought in"));
    assert!(row.why.inputs.iter().all(|input| !input.what.starts_with("up (half")));
    // Potted on they wait to be planted out.
    season.moves_on("2026-04-20", "2a", 12, on(sill, pots(12, 90)));
    assert_eq!(window(&season, "2b", "2026-04-20").0, Step::PlantOut);
}
