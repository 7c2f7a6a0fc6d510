//! Frost dates and their quantiles over an open NOAA series and by numpy.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop on the first surprise")]

use chrono::Datelike as _;
use thumbpot::advice::LastFrosts;
use thumbpot::quantity::{Celsius, Date};
use thumbpot::science::frost_dates::{Frost, YearFrosts, frost_quantile, frosts_by_year};
use thumbpot::science::quantiles::{QuantileType, quantile};

const KINDS: [QuantileType; 3] = [QuantileType::Weibull, QuantileType::Linear, QuantileType::MedianUnbiased];

fn frosts(location: &str, threshold: f64) -> Vec<YearFrosts> {
    let lows = crate::noaa_series::days(location).into_iter().map(|(date, day)| (date, day.low()));
    frosts_by_year(lows, Celsius(threshold))
}

/// Counted from the series apart from this project (tests/data/frost_dates.csv).
#[test]
fn frosts_of_eight_years_at_three_thresholds() {
    let rows = crate::noaa_series::rows(include_str!("../data/frost_dates.csv"));
    assert_eq!(rows.len(), 24);
    for row in rows {
        let year: i32 = row[2].parse().unwrap();
        let frosts = frosts(&row[0], row[1].parse().unwrap());
        let got = frosts.iter().find(|frosts| frosts.year == year).unwrap();
        let written = |date: Option<Date>| date.map(|date| date.format("%m-%d").to_string()).unwrap_or_default();
        assert_eq!(written(got.last_spring), row[3], "{row:?}");
        assert_eq!(written(got.first_autumn), row[4], "{row:?}");
        assert_eq!(got.days_at_or_below.to_string(), row[5], "{row:?}");
        assert_eq!(got.days_read, if year == 2012 { 366 } else { 365 });
    }
}

/// numpy 2.4.6, methods weibull, linear and median_unbiased, on the eight years' dates as days of a 365-day year.
#[test]
fn quantiles_of_the_frost_dates() {
    let computed = [
        ("Seattle", Frost::LastSpring, 0.1, [40.0, 46.9, 40.0]),
        ("Seattle", Frost::LastSpring, 0.25, [45.75, 57.25, 49.583_333_333_333_336]),
        ("Seattle", Frost::LastSpring, 0.9, [78.0, 73.5, 78.0]),
        ("Seattle", Frost::FirstAutumn, 0.25, [314.5, 315.5, 314.833_333_333_333_3]),
        ("NewYork", Frost::LastSpring, 0.5, [91.0, 91.0, 91.0]),
        ("NewYork", Frost::LastSpring, 0.9, [106.0, 102.4, 106.0]),
        ("NewYork", Frost::FirstAutumn, 0.1, [310.0, 311.8, 310.0]),
    ];
    for (location, frost, p, expected) in computed {
        for (kind, expected) in KINDS.into_iter().zip(expected) {
            let got = frost_quantile(&frosts(location, 0.0), frost, p, kind).unwrap();
            assert!((got - expected).abs() < 1e-9, "{location} {frost:?} {p} {kind:?}: {got}");
        }
    }
}

/// numpy 2.4.6 on nine dates.
#[test]
fn quantiles_of_nine_values() {
    let values = [86.0, 94.0, 106.0, 88.0, 78.0, 63.0, 40.0, 63.0, 71.0];
    let computed = [
        (0.0, [40.0, 40.0, 40.0]),
        (0.1, [40.0, 58.4, 46.133_333_333_333_33]),
        (0.4, [71.0, 72.4, 71.466_666_666_666_67]),
        (0.7, [88.0, 87.2, 87.733_333_333_333_33]),
        (0.9, [106.0, 96.4, 102.8]),
        (1.0, [106.0, 106.0, 106.0]),
    ];
    for (p, expected) in computed {
        for (kind, expected) in KINDS.into_iter().zip(expected) {
            let got = quantile(&values, p, kind).unwrap();
            assert!((got - expected).abs() < 1e-9, "{p} {kind:?}: {got}");
        }
    }
    assert_eq!(quantile(&[], 0.5, QuantileType::Linear), None);
    assert_eq!(quantile(&[1.0, f64::NAN], 0.5, QuantileType::Linear), None);
    assert_eq!(quantile(&values, 1.1, QuantileType::Linear), None);
}

/// In Seattle at -2 C one autumn of four had no frost: the late quantiles have no date, the early ones do.
#[test]
fn a_year_without_frost_is_later_than_any_date() {
    let years = frosts("Seattle", -2.0);
    assert_eq!(years.iter().filter(|year| year.first_autumn.is_none()).count(), 1);
    assert_eq!(frost_quantile(&years, Frost::FirstAutumn, 0.9, QuantileType::Linear), None);
    assert_eq!(frost_quantile(&years, Frost::FirstAutumn, 1.0, QuantileType::Linear), None);
    assert_eq!(frost_quantile(&years, Frost::FirstAutumn, 0.0, QuantileType::Linear), Some(318.0));
    assert_eq!(frost_quantile(&[], Frost::LastSpring, 0.5, QuantileType::Linear), None);
}

/// What the page of a place says of its springs: the same days as numpy gives above for New York, 91 and 106, as days of
/// the calendar; too few springs say nothing.
#[test]
fn the_springs_of_a_place_in_words() {
    let on: Date = "2016-05-01".parse().unwrap();
    let lows = |years: &[i32]| {
        let days = crate::noaa_series::days("NewYork").into_iter();
        let years = years.to_vec();
        days.filter(move |(date, _)| years.contains(&date.year())).map(|(date, day)| (date, day.low()))
    };
    let frosts = LastFrosts::of(lows(&[2012, 2013, 2014, 2015]), on).unwrap();
    assert_eq!(
        (frosts.springs, frosts.half.to_string(), frosts.nine_in_ten.to_string()),
        (4, "2016-04-01".to_owned(), "2016-04-16".to_owned())
    );
    assert!(frosts.words().contains("by 1 Apr in half of 4 springs read, by 16 Apr in nine of ten"));
    assert_eq!(LastFrosts::of(lows(&[2012, 2013]), on), None);
}

/// The 29th of February counts with the 28th, and a low that is not a number is a missing day.
#[test]
fn leap_days_and_missing_days() {
    let date = |text: &str| text.parse::<Date>().unwrap();
    let lows = [("2012-02-29", -1.0), ("2012-03-05", 3.0), ("2013-02-28", -1.0), ("2013-03-01", f64::NAN)];
    let years = frosts_by_year(lows.map(|(day, low)| (date(day), Celsius(low))), Celsius(0.0));
    assert_eq!(years[1].days_read, 1);
    for p in [0.0, 1.0] {
        assert_eq!(frost_quantile(&years, Frost::LastSpring, p, QuantileType::Linear), Some(59.0));
    }
}
