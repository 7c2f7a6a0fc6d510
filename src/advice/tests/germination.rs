//! Rates and verdicts of sowings.

use super::*;
use crate::advice::{Verdict, germination, germination_of};

fn verdict(season: &Season, number: u32, on: &str) -> Verdict {
    let state = season.state();
    germination_of(&state, &foreseen(&state, day(on)), season.batch(number), day(on)).unwrap().outlook.unwrap().verdict
}

#[test]
fn a_row_says_what_came_up_and_how_sure_that_is() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (2000, 500), None);
    // 263 sown and 81 up: the first worked example of Newcombe 1998, Statistics in Medicine 17:857, table I.
    season.sows("2026-03-02", 2, "tomato", 263, on(sill, tray()));
    season.counts("2026-03-12", "2a", 81);
    season.sows("2026-03-02", 1, "lettuce", 20, on(sill, tray()));
    let rows = germination(&season.state(), &foreseen(&season.state(), day("2026-03-14")), day("2026-03-14"));
    assert_eq!(rows.iter().map(|row| row.label.number).collect::<Vec<_>>(), [1, 2]);
    let row = &rows[1];
    assert_eq!((row.sown, row.up, row.standing, row.gained, row.not_up), (263, 81, 81, 0, 182));
    let rate = row.rate.unwrap();
    assert!((rate.rate.0 - 81.0 / 263.0).abs() < 1e-12);
    assert_eq!(format!("{:.4} {:.4}", rate.low.0, rate.high.0), "0.2553 0.3662");
    assert_eq!((row.days, row.counted_on, row.days_since_count), (12, Some(day("2026-03-12")), Some(2)));
    assert_eq!(row.parts.len(), 1);
    assert_eq!((row.parts[0].label.to_string(), row.parts[0].at.as_str()), ("2a".to_owned(), "sill/bench"));
    assert!(row.why.sources.iter().any(|source| source.citation.contains("Wilson 1927")));
    assert_eq!((rows[0].counted_on, rows[0].days_since_count, rows[0].up), (None, None, 0));
}

#[test]
fn a_pinch_has_no_rate_and_plants_bought_in_no_germination() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (2000, 500), None);
    season.sows_unit("2026-03-02", 1, "celery", SownUnit::Pinch, 50, on(sill, tray()));
    season.counts("2026-03-20", "1a", 40);
    let label = BatchLabel { year: 2026, number: 2, twin: None };
    let bought = Act::Receive { label, seed: seed("leek"), plants: 12, room: on(sill, pots(12, 90)) };
    season.does("2026-03-20", &bought);
    let rows = germination(&season.state(), &foreseen(&season.state(), day("2026-03-20")), day("2026-03-20"));
    assert_eq!(rows.len(), 1);
    assert_eq!((rows[0].rate, rows[0].up), (None, 40));
    assert_eq!(
        germination_of(
            &season.state(),
            &foreseen(&season.state(), day("2026-03-20")),
            season.batch(2),
            day("2026-03-20")
        ),
        None
    );
}

#[test]
fn the_word_follows_the_counts() {
    let mut season = Season::default();
    let heat = season.bench("heat", PlaceKind::Propagator, (3000, 500), None);
    // Tomato in compost kept at 20 C: 8 days (Harrington & Minges 1954).
    season.sows("2026-03-01", 1, "tomato", 20, on(heat, tray()));
    assert_eq!(verdict(&season, 1, "2026-03-04"), Verdict::Waiting);
    assert_eq!(verdict(&season, 1, "2026-03-09"), Verdict::NotCountedLately);
    season.counts("2026-03-07", "1a", 0);
    assert_eq!(verdict(&season, 1, "2026-03-07"), Verdict::Waiting);
    season.counts("2026-03-10", "1a", 9);
    assert_eq!(verdict(&season, 1, "2026-03-10"), Verdict::Emerging);
    assert_eq!(verdict(&season, 1, "2026-03-12"), Verdict::NotCountedLately);
    season.counts("2026-03-14", "1a", 18);
    season.counts("2026-03-20", "1a", 18);
    assert_eq!(verdict(&season, 1, "2026-03-30"), Verdict::AllUp);
    season.moves_on("2026-03-30", "1a", 18, on(heat, pots(18, 90)));
    assert_eq!(verdict(&season, 1, "2026-03-30"), Verdict::Over);
    // Two stragglers make it whole.
    season.counts("2026-04-02", "1a", 20);
    assert_eq!(verdict(&season, 1, "2026-04-02"), Verdict::AllUp);
}

/// An old year's tray that was all up and of which nothing stands is not coming up, and comes after what is.
#[test]
fn what_is_past_comes_last() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    for number in 1..=3 {
        season.sows("2026-03-01", number, "cucumber", 6, on(sill, tray()));
        season.counts("2026-03-20", &format!("{number}a"), if number == 3 { 0 } else { 6 });
    }
    let pots = Room::New { vessel: pots(6, 90), count: 1, stand: Stand::Bench(sill), spot: None };
    season.moves_on("2026-03-21", "1a", 6, pots);
    let lost = Act::Lose { part: season.part("1b"), plants: 6, cause: crate::journal::Cause::Slugs, remark: None };
    season.does("2026-03-22", &lost);
    let (state, today) = (season.state(), day("2026-03-23"));
    let rows = germination(&state, &foreseen(&state, today), today);
    let said: Vec<_> = rows.iter().map(|row| (row.label.number, row.is_past())).collect();
    assert_eq!(said, [(2, false), (3, false), (1, true)]);
}
