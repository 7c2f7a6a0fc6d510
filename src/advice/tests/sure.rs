//! That no word is surer than its counts, its seed and its warmth allow.

use chrono::Days;

use super::*;
use crate::advice::{Count, Outlook, Verdict};
use crate::journal::Measured;
use crate::quantity::Celsius;

fn seen(season: &Season, number: u32, on: &str) -> Outlook {
    let state = season.state();
    foreseen(&state, day(on)).of(season.batch(number)).unwrap().clone()
}

fn plus(days: u32) -> String {
    day("2026-03-01").checked_add_days(Days::new(u64::from(days))).unwrap().to_string()
}

/// A season with one bench in a place.
fn place(kind: PlaceKind) -> (Season, BenchId, PlaceId) {
    let mut season = Season::default();
    let bench = season.bench("there", kind, (5000, 600), None);
    let place = season.state().benches[&bench].place;
    (season, bench, place)
}

fn read(season: &mut Season, place: PlaceId, after: u32, celsius: f64) {
    season.does(&plus(after), &Act::Read { place, measured: vec![Measured::Compost(Celsius(celsius))] });
}

/// A propagator read at 20 C daily for so many days.
fn at_twenty(days: u32) -> (Season, BenchId) {
    let (mut season, bench, place) = place(PlaceKind::Propagator);
    (0..days).for_each(|after| read(&mut season, place, after, 20.0));
    (season, bench)
}

/// The words of a tray of a crop counted on some days, day by day from the first count on.
fn words(crop: &str, sown: u32, counts: &[(u32, u32)], until: u32) -> Vec<(u32, Outlook)> {
    let (mut season, heat) = at_twenty(until);
    season.sows("2026-03-01", 1, crop, sown, on(heat, tray()));
    let mut told = Vec::new();
    for after in counts[0].0..until {
        if let Some((_, up)) = counts.iter().find(|(on, _)| *on == after) {
            season.counts(&plus(after), "1a", *up);
        }
        told.push((after, seen(&season, 1, &plus(after))));
    }
    told
}

fn show(told: &[(u32, Outlook)]) {
    let mut last = None;
    for (after, outlook) in told {
        let now = (outlook.verdict, outlook.count);
        if last != Some(now) {
            println!("{after}: {:?} {:?} {:?} {}", now, outlook.expected_final, outlook.chance_of_more, outlook.action);
            last = Some(now);
        }
    }
}

#[test]
fn look() {
    println!("half up");
    show(&words("tomato", 40, &[(9, 22)], 30));
    println!("flat nine");
    show(&words("tomato", 40, &[(8, 9), (10, 9)], 30));
    println!("lettuce flat");
    show(&words("lettuce", 40, &[(4, 10), (5, 10)], 30));
    println!("leek");
    show(&words("leek", 500, &[(8, 0), (11, 60), (13, 60), (15, 200), (17, 200), (19, 380)], 40));
    for crop in ["celery", "parsley", "parsnip", "leek", "tomato", "chilli", "aubergine"] {
        for sown in [12, 20, 100, 200, 500] {
            let (mut season, heat) = at_twenty(50);
            season.sows("2026-03-01", 1, crop, sown, on(heat, tray()));
            let first = (3..50).find(|after| {
                season.counts(&plus(*after), "1a", 0);
                seen(&season, 1, &plus(*after)).verdict == Verdict::Failed
            });
            println!("{crop} {sown}: {first:?}");
        }
    }
    println!("frame");
    let (mut season, frame, place) = place(PlaceKind::ColdFrame);
    season.sows("2026-03-01", 1, "lettuce", 40, on(frame, tray()));
    for after in 8..30 {
        season.counts(&plus(after), "1a", 0);
        let outlook = seen(&season, 1, &plus(after));
        println!("{after}: {:?} {}", outlook.verdict, outlook.action);
    }
    for celsius in [17.0, 7.0] {
        read(&mut season, place, 29, celsius);
        let outlook = seen(&season, 1, &plus(29));
        println!("read {celsius}: {:?} {}", outlook.verdict, outlook.action);
    }
}
