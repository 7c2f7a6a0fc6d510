//! Sun times by the NOAA equations and the hourly curve of Parton and Logan (1981), against worked values.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop on the first surprise")]

use thumbpot::quantity::Celsius;
use thumbpot::science::day_curve::{DayCurve, Lags};
use thumbpot::science::day_range::DayRange;
use thumbpot::science::sun::{SunDay, Year, sun_day};

/// Worked apart from this project from the NOAA general solar position equations; the London times of midsummer agree
/// with the almanac's 03:43 and 20:21 (from memory).
#[test]
fn sunrise_and_sunset_of_london_and_edinburgh() {
    let worked = [
        (51.5, -0.13, 172, (3, 42.6), (20, 21.1)),
        (51.5, -0.13, 80, (6, 3.4), (18, 13.4)),
        (51.5, -0.13, 355, (8, 3.4), (15, 53.3)),
        (55.95, -3.19, 105, (5, 9.5), (19, 16.5)),
    ];
    let minutes = |(hours, minutes): (i32, f64)| f64::from(hours) * 60.0 + minutes;
    for (latitude, longitude, day, rise, set) in worked {
        match sun_day(latitude, longitude, day, Year::Common).unwrap() {
            SunDay::RisesAndSets { sunrise_utc_minutes, sunset_utc_minutes } => {
                assert!((sunrise_utc_minutes - minutes(rise)).abs() < 0.06, "{day}: rises at {sunrise_utc_minutes}");
                assert!((sunset_utc_minutes - minutes(set)).abs() < 0.06, "{day}: sets at {sunset_utc_minutes}");
            }
            other => panic!("{other:?}"),
        }
    }
    let length = |day| sun_day(51.5, -0.13, day, Year::Common).unwrap().day_length();
    assert!((length(172) - 16.64).abs() < 0.006 && (length(355) - 7.83).abs() < 0.006);
}

/// North of the polar circle the sun stays up at midsummer and down at midwinter.
#[test]
fn seventy_north() {
    assert_eq!(sun_day(70.0, 20.0, 172, Year::Common), Ok(SunDay::NeverSets));
    assert_eq!(sun_day(70.0, 20.0, 355, Year::Common), Ok(SunDay::NeverRises));
}

/// Warmth over 5 C under the curve with the Denver constants for 150 cm, worked apart from this project to two
/// decimals.
#[test]
fn warmth_under_the_curve() {
    for (high, low, day_length, expected) in
        [(15.0, 3.0, 12.0, 4.12), (12.0, -1.0, 13.0, 2.23), (18.0, 2.0, 14.0, 5.66), (10.0, 2.0, 11.0, 1.58)]
    {
        let day = DayRange::new(Celsius(low), Celsius(high)).unwrap();
        let curve = DayCurve::new(day, day_length, Lags::SCREEN).unwrap();
        let steps = 24_000;
        let warmth: f64 = (0..steps)
            .map(|step| (curve.at((f64::from(step) + 0.5) / 1000.0).0 - 5.0).max(0.0) / f64::from(steps))
            .sum();
        assert!((warmth - expected).abs() < 0.006, "{high}/{low}: {warmth} for {expected}");
    }
}

/// The high falls the lag A and the lag C after noon, the low the lag C after sunrise (Parton and Logan 1981).
#[test]
fn the_high_and_the_low_fall_where_the_paper_puts_them() {
    let day = DayRange::new(Celsius(3.0), Celsius(15.0)).unwrap();
    let curve = DayCurve::new(day, 12.0, Lags::SCREEN).unwrap();
    assert!((curve.at(12.0 + 1.86 - 0.17).0 - 15.0).abs() < 1e-9);
    assert!((curve.at(6.0 - 0.17).0 - 3.0).abs() < 1e-9);
    assert!((curve.at(30.0).0 - curve.at(6.0).0).abs() < 1e-9, "hours wrap round");
    // By hand: a third of the way up the sine's quarter wave lies half the swing, at (12 + 2 x 1.86) / 6 after the low.
    assert!((curve.at(6.0 - 0.17 + (12.0 + 2.0 * 1.86) / 6.0).0 - 9.0).abs() < 1e-9);
}
