//! That no seed is blamed for where it stood, for being one of few, or for another's age; and that the figures beside a
//! word agree with it.

use chrono::Days;

use super::*;
use crate::advice::{Count, Hold, Model, Outlook, Task, Verdict, curve, due, germination_of};
use crate::journal::Measured;
use crate::quantity::{Celsius, Share};

fn seen(season: &Season, number: u32, on: &str) -> Outlook {
    let state = season.state();
    foreseen(&state, day(on)).of(season.batch(number)).unwrap().clone()
}

fn plus(date: &str, days: u32) -> String {
    day(date).checked_add_days(Days::new(u64::from(days))).unwrap().to_string()
}

/// A place whose compost is read daily from 1 March on for so many days.
fn kept_at(season: &mut Season, called: &str, kind: PlaceKind, celsius: f64, days: u32) -> BenchId {
    let bench = season.bench(called, kind, (5000, 600), None);
    let place = season.state().benches[&bench].place;
    for after in 0..days {
        let read = Act::Read { place, measured: vec![Measured::Compost(Celsius(celsius))] };
        season.does(&plus("2026-03-01", after), &read);
    }
    bench
}

/// Pepper waits for 15 C (Harrington & Minges 1954 have none up at 10), lettuce stops at 30 (the same: none at 35).
#[test]
fn sixty_days_too_cold_or_too_hot_are_not_the_seeds_fault() {
    for (crop, celsius, hold, fit, comes_in) in [
        ("sweet pepper", 12.0, Hold::TooCold, 22.0, 80),
        ("french bean", 12.5, Hold::TooCold, 20.0, 40),
        ("lettuce", 32.0, Hold::TooHot, 18.0, 30),
    ] {
        let mut season = Season::default();
        let out = kept_at(&mut season, "there", PlaceKind::Windowsill, celsius, 62);
        let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, fit, 145);
        season.sows("2026-03-01", 1, crop, 40, on(out, tray()));
        for days in (3..=60).step_by(3) {
            let on = plus("2026-03-01", days);
            season.counts(&on, "1a", 0);
            let outlook = seen(&season, 1, &on);
            assert_eq!(outlook.verdict, Verdict::Held(hold), "{crop} on day {days}");
            assert!(outlook.action.contains("not to blame"), "{}", outlook.action);
            // No figure says that any should have come.
            assert!(outlook.expected_by_now() == Some(0) && outlook.count == Count::Idle, "{crop} on day {days}");
            assert_eq!(outlook.ninety_by, None, "{crop} on day {days}");
        }
        season.moves("2026-04-30", "1a", Stand::Bench(warm));
        assert!(!matches!(seen(&season, 1, "2026-05-02").verdict, Verdict::Failed), "{crop} just moved");
        let given = plus("2026-05-01", comes_in);
        season.counts(&given, "1a", 0);
        assert_eq!(seen(&season, 1, &given).verdict, Verdict::Failed, "{crop}: it has had its time now");
    }
}

/// A thermometer that is looked at every third day tells of the days between.
#[test]
fn days_between_two_readings_are_as_those() {
    for (crop, celsius, hold) in [("sweet pepper", 12.0, Hold::TooCold), ("lettuce", 32.0, Hold::TooHot)] {
        let mut season = Season::default();
        let bench = season.bench("there", PlaceKind::Windowsill, (5000, 600), None);
        let place = season.state().benches[&bench].place;
        season.sows("2026-03-01", 1, crop, 40, on(bench, tray()));
        for days in (0..=60).step_by(3) {
            let on = plus("2026-03-01", days);
            season.does(&on, &Act::Read { place, measured: vec![Measured::Compost(Celsius(celsius))] });
            season.counts(&on, "1a", 0);
            assert_eq!(seen(&season, 1, &on).verdict, Verdict::Held(hold), "{crop} on day {days}");
        }
    }
}

#[test]
fn a_tray_that_had_its_time_in_the_warm_is_not_excused_by_a_cold_place() {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 22.0, 62);
    let cold = kept_at(&mut season, "there", PlaceKind::Windowsill, 8.0, 62);
    season.sows("2026-03-01", 1, "tomato", 40, on(warm, tray()));
    season.counts("2026-04-10", "1a", 0);
    season.moves("2026-04-11", "1a", Stand::Bench(cold));
    assert_eq!(seen(&season, 1, "2026-04-16").verdict, Verdict::Failed);
}

/// Harrington & Minges 1954 have tomato up after 43 days at 10 C and 14 at 15.
#[test]
fn barely_warm_enough_is_moved_before_it_is_given_up() {
    let cool = |with_warmth: bool| {
        let mut season = Season::default();
        let cool = kept_at(&mut season, "sill", PlaceKind::Windowsill, 12.5, 62);
        if with_warmth {
            kept_at(&mut season, "heat", PlaceKind::Propagator, 22.0, 62);
        }
        season.sows("2026-03-01", 1, "tomato", 20, on(cool, tray()));
        season.counts("2026-03-31", "1a", 0);
        (seen(&season, 1, "2026-03-31"), season)
    };
    let (there, mut season) = cool(true);
    assert_eq!(there.verdict, Verdict::Slow);
    assert!(
        there.action.contains("move it into the warm before it is given up, heat has about 22 C"),
        "{}",
        there.action
    );
    let (nowhere, mut alone) = cool(false);
    assert!(nowhere.action.starts_with("keep it, there is one chance in "), "{}", nowhere.action);
    alone.counts("2026-04-12", "1a", 0);
    assert_eq!(seen(&alone, 1, "2026-04-12").verdict, Verdict::Failed, "nowhere to move it");
    let heat = *season.state().benches.keys().max().unwrap();
    season.moves("2026-03-31", "1a", Stand::Bench(heat));
    season.counts("2026-04-06", "1a", 0);
    assert_eq!(seen(&season, 1, "2026-04-06").verdict, Verdict::Failed, "it has had its warmth");
}

#[test]
fn one_seed_is_late_when_one_that_lives_would_show() {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 21.0, 60);
    for (number, crop) in [(1, "pumpkin"), (2, "courgette")] {
        season.sows("2026-03-01", number, crop, 1, on(warm, tray()));
        let mut words = Vec::new();
        for days in 4..40 {
            let on = plus("2026-03-01", days);
            season.counts(&on, &format!("{number}a"), 0);
            let outlook = seen(&season, number, &on);
            let within = outlook.action.contains("within its time");
            assert!(!within || outlook.ninety_by.is_some_and(|by| by > day(&on)), "{crop} {on}: {}", outlook.action);
            if words.last() != Some(&outlook.verdict) {
                words.push(outlook.verdict);
            }
        }
        assert_eq!(words, [Verdict::Waiting, Verdict::Slow, Verdict::Failed], "{crop}");
    }
}

/// A lot of 10 seeds, some of it sown.
fn of_lot(units: u32, unit: SownUnit, crop: &str) -> Outlook {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 20.0, 120);
    season.sows_unit("2026-03-01", 1, crop, unit, units, on(warm, tray()));
    season.counts("2026-06-20", "1a", 0);
    let outlook = seen(&season, 1, "2026-06-20");
    assert_eq!(outlook.verdict, Verdict::Failed, "{crop} {units}");
    outlook
}

#[test]
fn one_seed_condemns_no_packet_and_a_pinch_teaches() {
    let one = of_lot(1, SownUnit::Seed, "pumpkin").again.unwrap();
    assert!(one.comes.0 > 0.6, "{one:?}");
    let many = of_lot(40, SownUnit::Seed, "celery").again.unwrap();
    let pinch = of_lot(100, SownUnit::Pinch, "celery").again.unwrap();
    assert!(many.comes.0 < 0.25 && pinch.comes.0 < 0.3, "{many:?} {pinch:?}");
    // A pinch of a few says no more than a few.
    let few = of_lot(4, SownUnit::Pinch, "celery").again.unwrap();
    assert!(few.comes.0 > pinch.comes.0 + 0.1, "{few:?} {pinch:?}");
}

#[test]
fn old_seed_and_a_poor_look_hardly_move_the_clock_of_fresh_seed() {
    let expected = |packed: Option<i32>, sown: u32, counts: &[(&str, u32)]| {
        let mut season = Season::default();
        let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 20.0, 60);
        season.sows("2026-03-20", 9, "tomato", 400, on(warm, tray()));
        let lot = NewLot {
            crop: CropName::new("tomato").unwrap(),
            variety: name("Barn"),
            packed,
            stated: None,
            seeds: None,
            origin: SeedOrigin::Packet,
        };
        let sowing = Sowing {
            label: BatchLabel { year: 2026, number: 1, twin: None },
            seed: Seed::New(lot),
            unit: SownUnit::Seed,
            units: sown,
            per_cell: None,
            treatment: Treatment::None,
            depth: None,
            room: on(warm, tray()),
        };
        if !counts.is_empty() {
            season.does("2026-03-01", &Act::Sow(sowing));
        }
        for (date, up) in counts {
            season.counts(date, "1a", *up);
        }
        if !counts.is_empty() {
            season.clears("2026-03-27", "1a", Rest::Discard);
        }
        f64::from(seen(&season, 9, "2026-03-28").expected_by_now().unwrap())
    };
    let by_book = expected(None, 0, &[]);
    let late: &[(&str, u32)] = &[("2026-03-10", 0), ("2026-03-13", 1), ("2026-03-16", 3), ("2026-03-19", 5)];
    assert_eq!(expected(Some(2016), 20, late), by_book, "ten years old");
    let few = expected(None, 6, late);
    let daily = [(11, 0), (12, 60), (13, 130), (14, 200), (15, 270), (16, 340), (17, 400), (18, 440), (19, 460)];
    let daily: Vec<(String, u32)> = daily.iter().map(|(day, up)| (format!("2026-03-{day}"), *up)).collect();
    let daily: Vec<(&str, u32)> = daily.iter().map(|(day, up)| (day.as_str(), *up)).collect();
    let many = expected(None, 500, &daily);
    assert!(many < few && few < by_book, "{many} {few} {by_book}");
}

#[test]
fn line_and_curve_say_the_same_and_the_range_is_of_the_end() {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 17.0, 60);
    season.sows("2026-03-01", 1, "leek", 500, on(warm, tray()));
    season.counts("2026-03-16", "1a", 240);
    let (state, at) = (season.state(), day("2026-03-16"));
    let outlooks = foreseen(&state, at);
    let outlook = outlooks.of(season.batch(1)).unwrap();
    let record = Record::of(&state, &trade(), at);
    let drawn = curve(&state, &trade(), &record, (season.batch(1), Some(outlook)), at).unwrap();
    let band = drawn.expected.iter().min_by_key(|band| (band.on - at).num_days().abs()).unwrap();
    assert_eq!(band.on, at, "every day of a short course is a point");
    assert_eq!(outlook.expected_by_now(), Some(band.median));
    let row = germination_of(&state, &outlooks, season.batch(1), at).unwrap();
    let (low, high) = outlook.expected_final.unwrap();
    let likely = row.likely().unwrap();
    assert_eq!([likely.0.0, likely.1.0], [low, high].map(|up| f64::from(up) / 500.0));
    assert!(row.rate.unwrap().rate.0 < likely.0.0, "those still coming are in the range");
    season.counts("2026-05-20", "1a", 460);
    let (state, at) = (season.state(), day("2026-05-20"));
    let row = germination_of(&state, &foreseen(&state, at), season.batch(1), at).unwrap();
    assert_eq!((row.verdict(), row.likely()), (Verdict::AllUp, None), "what is up is up");
}

#[test]
fn pepper_is_given_three_weeks_and_aubergine_more_than_a_fortnight() {
    for (crop, looked_at) in [("sweet pepper", vec![14, 17, 21]), ("aubergine", vec![14, 17])] {
        let mut season = Season::default();
        let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 21.0, 120);
        season.sows("2026-03-01", 1, crop, 20, on(warm, tray()));
        for days in looked_at {
            let on = plus("2026-03-01", days);
            season.counts(&on, "1a", 0);
            assert_ne!(seen(&season, 1, &on).verdict, Verdict::Failed, "{crop} on day {days}");
        }
        season.counts("2026-06-01", "1a", 0);
        assert_eq!(seen(&season, 1, "2026-06-01").verdict, Verdict::Failed, "{crop}");
    }
}

#[test]
fn few_of_poor_seed_are_said_to_be_few() {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 20.0, 60);
    let lot = NewLot {
        crop: CropName::new("tomato").unwrap(),
        variety: name("Barn"),
        packed: None,
        stated: Some(Share(0.4)),
        seeds: None,
        origin: SeedOrigin::Packet,
    };
    let sowing = Sowing {
        label: BatchLabel { year: 2026, number: 1, twin: None },
        seed: Seed::New(lot),
        unit: SownUnit::Seed,
        units: 20,
        per_cell: None,
        treatment: Treatment::None,
        depth: None,
        room: on(warm, tray()),
    };
    season.does("2026-03-01", &Act::Sow(sowing));
    season.counts("2026-03-10", "1a", 5);
    season.counts("2026-03-30", "1a", 5);
    let outlook = seen(&season, 1, "2026-03-30");
    assert_eq!(outlook.verdict, Verdict::AllUp);
    assert!(
        outlook.action.contains(&format!("5 are up, where {} were looked for", outlook.wanted)),
        "{}",
        outlook.action
    );
}

#[test]
fn seedlings_that_cannot_be_are_spoken_of() {
    let mut season = Season::default();
    let cold = kept_at(&mut season, "there", PlaceKind::ColdFrame, 4.0, 30);
    season.sows("2026-03-01", 1, "melon", 10, on(cold, tray()));
    season.counts("2026-03-14", "1a", 4);
    let outlook = seen(&season, 1, "2026-03-14");
    assert_eq!(outlook.model, Model::Relearnt);
    assert!(!matches!(outlook.verdict, Verdict::Held(_)), "four are up");
    assert!(outlook.action.contains("look at the thermometer"), "{}", outlook.action);
}

#[test]
fn chilled_seed_is_dated_and_its_weeks_are_no_time() {
    let mut season = Season::default();
    let fridge = season.bench("fridge", PlaceKind::Fridge, (500, 500), None);
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 17.0, 120);
    season.sows("2026-03-01", 1, "parsnip", 40, on(fridge, tray()));
    let chilled = seen(&season, 1, "2026-05-01");
    assert_eq!(chilled.verdict, Verdict::Held(Hold::Chilling));
    assert!(chilled.action.contains("since 1 mar"), "{}", chilled.action);
    season.moves("2026-06-01", "1a", Stand::Bench(warm));
    let moved = seen(&season, 1, "2026-06-02");
    assert_eq!((moved.verdict, moved.count), (Verdict::Waiting, Count::Idle), "{}", moved.action);
}

#[test]
fn a_count_that_could_change_no_word_is_not_asked_for() {
    let mut season = Season::default();
    let warm = kept_at(&mut season, "here", PlaceKind::Windowsill, 17.0, 60);
    season.sows("2026-03-01", 1, "leek", 500, on(warm, tray()));
    season.counts("2026-03-16", "1a", 300);
    let asked = |season: &Season, on: &str| {
        let state = season.state();
        let outlooks = foreseen(&state, day(on));
        due(&state, &trade(), &outlooks, day(on)).iter().any(|due| due.what == Task::Count)
    };
    assert_eq!(seen(&season, 1, "2026-03-18").verdict, Verdict::Emerging);
    assert!(!asked(&season, "2026-03-18"));
    // None up is another matter: the first are to come off the heat.
    season.sows("2026-03-01", 2, "tomato", 40, on(warm, tray()));
    season.counts("2026-03-08", "2a", 0);
    let state = season.state();
    let outlooks = foreseen(&state, day("2026-03-14"));
    let rows = due(&state, &trade(), &outlooks, day("2026-03-14"));
    let count = rows.iter().find(|due| due.what == Task::Count).unwrap();
    assert!(count.reason.ends_with("some have likely come"), "{}", count.reason);
}
