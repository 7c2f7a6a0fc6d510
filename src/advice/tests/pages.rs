//! What the pages of sowings say: one figure for one thing, and one sowing in the stead of one.

use super::packet::sows_from;
use super::*;
use crate::advice::{Outlook, Record, Verdict, curve};
use crate::quantity::LotId;

const FIRST: &str = "2026-03-01";

fn plus(days: u32) -> String {
    crate::advice::part::after(day(FIRST), days).to_string()
}

/// As it stood on a day after the first sowing.
fn state_on(season: &Season, days: u32) -> State {
    crate::journal::fold_until(&season.history(), day(&plus(days))).0
}

fn seen(season: &Season, number: u32, days: u32) -> Outlook {
    foreseen(&state_on(season, days), day(&plus(days))).of(season.batch(number)).unwrap().clone()
}

fn packet(season: &mut Season, crop: &str, variety: &str) -> LotId {
    let (crop, variety) = (CropName::new(crop).unwrap(), name(variety));
    let lot = NewLot { crop, variety, packed: Some(2026), stated: None, seeds: Some(500), origin: SeedOrigin::Packet };
    LotId(season.does("2026-01-01", &Act::AddLot(lot)))
}

fn sows_of(season: &mut Season, on: &str, number: u32, lot: LotId, units: u32, bench: BenchId) {
    sows_from(season, on, number, lot, (SownUnit::Seed, units), bench);
}

/// The line and the course beside it, of packets that did well and of one that failed, in the warm and in the cool, on each day.
#[test]
fn what_should_be_up_is_one_figure() {
    let mut season = Season::default();
    let warm = season.bench("heat", PlaceKind::Propagator, (5000, 600), None);
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let lettuce = packet(&mut season, "lettuce", "Aa");
    sows_of(&mut season, FIRST, 1, lettuce, 100, warm);
    sows_of(&mut season, FIRST, 2, lettuce, 40, warm);
    sows_of(&mut season, FIRST, 3, lettuce, 40, sill);
    season.sows(FIRST, 4, "basil", 250, on(warm, tray()));
    season.sows(FIRST, 5, "tomato", 6, on(sill, tray()));
    season.counts(&plus(7), "1a", 60);
    season.counts(&plus(9), "1a", 90);
    season.counts(&plus(14), "2a", 0);
    season.counts(&plus(18), "2a", 0);
    season.counts(&plus(9), "5a", 1);
    let mut looked_at = 0;
    for days in 1..=25 {
        let (state, on) = (state_on(&season, days), day(&plus(days)));
        let (record, outlooks) = (Record::of(&state, &trade(), on), foreseen(&state, on));
        for number in 1..=5 {
            let id = season.batch(number);
            let outlook = outlooks.of(id).unwrap();
            let drawn = curve(&state, &trade(), &record, (id, Some(outlook)), on).unwrap();
            let Some(band) = drawn.expected.iter().find(|band| band.on == on) else { continue };
            if let Some(by_now) = outlook.expected_by_now() {
                assert_eq!(by_now, band.median, "{number} on day {days}");
                assert!((band.low..=band.high).contains(&by_now));
                looked_at += 1;
            }
        }
    }
    assert!(looked_at > 60, "{looked_at}");
}

/// Two that are to be sown again and one sowing: its seeds stand in for those of its variety, what is over for the other, and
/// what is still short is asked for.
#[test]
fn a_sowing_stands_in_for_one_sowing_at_a_time() {
    let two_failed = || {
        let mut season = Season::default();
        let warm = season.bench("heat", PlaceKind::Propagator, (5000, 600), None);
        let [aa, bb] = ["Aa", "Bb"].map(|variety| packet(&mut season, "lettuce", variety));
        for (number, lot) in [(1, aa), (2, bb)] {
            sows_of(&mut season, FIRST, number, lot, 40, warm);
            [10, 14, 18].iter().for_each(|days| season.counts(&plus(*days), &format!("{number}a"), 0));
        }
        // Their packet is good.
        sows_of(&mut season, FIRST, 5, aa, 40, warm);
        season.counts(&plus(10), "5a", 38);
        season.counts(&plus(18), "5a", 38);
        (season, warm, aa, bb)
    };
    let again = |season: &Season, number| seen(season, number, 18).again.unwrap();
    let (season, ..) = two_failed();
    assert_eq!(seen(&season, 1, 18).verdict, Verdict::Failed);
    let number = again(&season, 1).number().unwrap();
    assert!(number > 22, "{number}");
    for of_the_second in [false, true] {
        let (mut season, warm, aa, bb) = two_failed();
        let (lot, same, other) = if of_the_second { (bb, 2, 1) } else { (aa, 1, 2) };
        sows_of(&mut season, &plus(18), 3, lot, 20, warm);
        let (same, other) = (again(&season, same), again(&season, other));
        assert_eq!((same.since.map(|since| since.units), other.since), (Some(20), None));
        assert!(!same.is_sown() && same.number().is_some_and(|more| (1..number).contains(&more)));
        assert!(!other.is_sown());
        // What is over goes to the other one, and no seed stands in for two.
        sows_of(&mut season, &plus(18), 4, lot, 30, warm);
        let rest = [1, 2].map(|number| again(&season, number).since.map_or(0, |since| since.units));
        assert_eq!(rest.iter().sum::<u32>(), 50, "{rest:?}");
        assert!(rest.iter().all(|units| *units > 0), "{rest:?}");
    }
    let (mut season, warm, aa, _) = two_failed();
    sows_of(&mut season, &plus(18), 3, aa, 20, warm);
    let said = seen(&season, 1, 18).action;
    let more = again(&season, 1).number().unwrap();
    assert!(said.starts_with(&format!("sow {more} more of Aa 2026")), "{said}");
    assert!(said.contains("20 sown again since, 3 on 19 mar"), "{said}");
    // Enough for both, and what nobody asks for is told with the first.
    sows_of(&mut season, &plus(18), 4, aa, 150, warm);
    for number in [1, 2] {
        assert!(again(&season, number).is_sown(), "{}", seen(&season, number, 18).action);
        assert!(seen(&season, number, 18).action.ends_with("sown again since, 4 on 19 mar"));
    }
    let told: u32 = [1, 2].iter().map(|number| again(&season, *number).since.unwrap().units).sum();
    assert_eq!(told, 170);
}

/// The first shoots after days without one are no failure, however many they are of, counted or guessed at.
#[test]
fn what_has_just_begun_to_come_is_no_failure() {
    let mut season = Season::default();
    let room = season.bench("room", PlaceKind::Room, (5000, 600), None);
    let celery = packet(&mut season, "celery", "Aa");
    sows_from(&mut season, FIRST, 1, celery, (SownUnit::Pinch, 500), room);
    sows_of(&mut season, FIRST, 2, celery, 200, room);
    for part in ["1a", "2a"] {
        for (days, up) in [(12, 0), (30, 3), (32, 3)] {
            season.counts(&plus(days), part, up);
        }
    }
    for days in [30, 31, 32] {
        for number in [1, 2] {
            let verdict = seen(&season, number, days).verdict;
            assert!(matches!(verdict, Verdict::Slow | Verdict::Emerging), "{number} on day {days}: {verdict}");
        }
    }
}

/// No day that is gone is one to wait for.
#[test]
fn what_is_to_come_comes_on_a_day_ahead() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let rows = [("lettuce", 20, 12), ("tomato", 24, 20), ("leek", 60, 20), ("celery", 200, 3), ("basil", 40, 0)];
    for (number, (crop, sown, up)) in (1..).zip(rows) {
        season.sows(FIRST, number, crop, sown, on(sill, tray()));
        [11, 14].iter().for_each(|days| season.counts(&plus(*days), &format!("{number}a"), up));
    }
    let mut waited = 0;
    for days in 1..60 {
        let on = day(&plus(days));
        for number in 1..=5 {
            let outlook = seen(&season, number, days);
            assert!(outlook.ninety_by.is_none_or(|by| by >= on), "{number} on day {days}");
            waited += u32::from(outlook.ninety_by.is_some());
        }
    }
    assert!(waited > 0, "there are such days");
}
