//! Degree-days against published examples, numeric integration and sums over an open NOAA series.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop on the first surprise")]

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_1_PI, PI};

use chrono::Datelike;
use thumbpot::science::thermal::Day;

/// Degree-days of a day as the program counts heat: one sine; an upper threshold is the horizontal cut-off, what lies
/// above it taken off again.
fn degree_days(low: f64, high: f64, lower: f64, upper: Option<f64>) -> f64 {
    let day = Day::between(low, high);
    day.degree_days_above(lower) - upper.map_or(0.0, |upper| day.degree_days_above(upper))
}

fn close(got: f64, expected: f64, tolerance: f64) -> bool {
    (got - expected).abs() <= tolerance * expected.abs().max(1.0)
}

/// Printed in the TrenchR reference manual (low 7, high 14, thresholds 12 and 33): sine 0.47.
#[test]
fn the_trenchr_manual_example() {
    assert_eq!(format!("{:.2}", degree_days(7.0, 14.0, 12.0, Some(33.0))), "0.47");
}

/// Nine days worked apart from this project by the formula of Baskerville and Emin (1969), each confirmed by numeric
/// integration, to four decimals.
#[test]
fn worked_days() {
    let worked = [
        (7.0, 14.0, 12.0, 33.0, 0.4681),
        (2.0, 18.0, 5.0, 30.0, 5.5623),
        (-3.0, 9.0, 0.0, 30.0, 3.6540),
        (4.0, 12.0, 10.0, 30.0, 0.4360),
        (10.0, 32.0, 10.0, 30.0, 10.7417),
        (12.0, 20.0, 10.0, 30.0, 6.0),
        (1.0, 4.0, 5.0, 30.0, 0.0),
        (5.0, 35.0, 10.0, 30.0, 10.0),
        (31.0, 36.0, 10.0, 30.0, 20.0),
    ];
    for (low, high, lower, upper, expected) in worked {
        let got = degree_days(low, high, lower, Some(upper));
        assert!((got - expected).abs() < 6e-5, "{low} {high}: {got} for {expected}");
    }
}

/// Computed apart from this project with mpmath 1.4.1 from the closed form of Baskerville and Emin (1969).
#[test]
fn single_sine_to_eleven_figures() {
    let computed = [
        (10.0, 20.0, 5.0, None, 10.0),
        (0.0, 10.0, 5.0, None, 1.591_549_430_918_953_3),
        (-5.0, 5.0, 5.0, None, 0.0),
        (-5.0, 4.9, 5.0, None, 0.0),
        (4.0, 6.0, 5.0, None, FRAC_1_PI),
        (-2.2, 13.9, 5.0, None, 3.001_692_303_382_207_6),
        (5.0, 5.0, 5.0, None, 0.0),
        (7.0, 7.0, 5.0, None, 2.0),
        (3.0, 21.0, 10.0, None, 3.935_820_008_827_649),
        (8.0, 35.0, 5.0, Some(30.0), 15.568_794_294_634_737),
        (-3.0, 34.0, 5.0, Some(30.0), 11.551_123_744_758_709),
        (31.0, 40.0, 5.0, Some(30.0), 25.0),
        (29.0, 31.0, 5.0, Some(30.0), 24.681_690_113_816_21),
        (-10.0, 50.0, 5.0, Some(30.0), 13.185_035_790_061_892),
        (12.0, 32.0, 10.0, Some(30.0), 11.728_802_800_490_323),
    ];
    for (low, high, lower, upper, sine) in computed {
        assert!(close(degree_days(low, high, lower, upper), sine, 1e-11), "{low} {high}");
    }
}

/// The warmth under a sine drawn step by step: what the closed form is short for.
#[test]
fn the_closed_form_agrees_with_numeric_integration() {
    for low in [-12.0, -2.2, 0.0, 4.9, 11.0, 31.0] {
        for swing in [0.0, 0.1, 7.0, 16.0, 39.0] {
            for (lower, upper) in [(5.0, None), (0.0, Some(25.0)), (10.0, Some(12.0))] {
                let steps = 20_000;
                let integral: f64 = (0..steps)
                    .map(|step| 2.0 * PI * (f64::from(step) + 0.5) / f64::from(steps))
                    .map(|angle| low + swing * f64::midpoint(1.0, angle.sin()))
                    .map(|degrees: f64| degrees.min(upper.unwrap_or(f64::INFINITY)) - lower)
                    .map(|warmth| warmth.max(0.0) / f64::from(steps))
                    .sum();
                let got = degree_days(low, low + swing, lower, upper);
                assert!((got - integral).abs() < 1e-4, "{low} {swing} {lower} {upper:?}");
            }
        }
    }
}

/// Monthly sums computed apart from this project with numpy 2.4.6 (tests/data/degree_days_monthly_base5.csv).
#[test]
fn months_of_the_noaa_series() {
    let mut months = 0;
    let mut sums: BTreeMap<(String, String), [f64; 2]> = BTreeMap::new();
    for location in ["Seattle", "NewYork"] {
        for (date, range) in crate::noaa_series::days(location) {
            let sum = sums.entry((location.to_owned(), date.format("%Y-%m").to_string())).or_default();
            let (low, high) = (range.low().0, range.high().0);
            sum[0] += degree_days(low, high, 5.0, None);
            sum[1] += degree_days(low, high, 5.0, Some(30.0));
        }
    }
    for row in crate::noaa_series::rows(include_str!("../data/degree_days_monthly_base5.csv")) {
        let sum = sums[&(row[0].clone(), row[1].clone())];
        for (got, expected) in sum.into_iter().zip([&row[2], &row[4]]) {
            assert!(close(got, expected.parse().unwrap(), 1e-9), "{row:?} {got}");
        }
        months += 1;
    }
    assert_eq!(months, 96);
}

/// Yearly sums of the single sine over 10 C, computed apart from this project with numpy 2.4.6.
#[test]
fn years_of_the_noaa_series() {
    let computed = [
        ("Seattle", 2012, 1_201.702_172_420_242_7),
        ("Seattle", 2013, 1_436.255_659_394_42),
        ("Seattle", 2014, 1_559.743_129_630_351_9),
        ("Seattle", 2015, 1_616.109_829_353_947_4),
        ("NewYork", 2012, 2_203.730_913_175_538),
        ("NewYork", 2013, 2_031.757_774_150_058_1),
        ("NewYork", 2014, 2_045.148_473_325_914_4),
        ("NewYork", 2015, 2_342.502_694_831_325_7),
    ];
    for (location, year, expected) in computed {
        let days = crate::noaa_series::days(location).into_iter().filter(|(date, _)| date.year() == year);
        let sum: f64 = days.map(|(_, range)| degree_days(range.low().0, range.high().0, 10.0, None)).sum();
        assert!(close(sum, expected, 1e-9), "{location} {year} {sum}");
    }
}
