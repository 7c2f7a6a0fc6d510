//! Last spring and first autumn frosts of a series of daily lows, and how early or late they come in how many years.

use std::collections::BTreeMap;

use chrono::Datelike;

use super::quantiles::{QuantileType, quantile};
use crate::quantity::{Celsius, Date};

/// The frosts of one calendar year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YearFrosts {
    /// The year.
    pub year: i32,
    /// The last day from January to July at or below the threshold, if there was one.
    pub last_spring: Option<Date>,
    /// The first day from August to December at or below it, if there was one.
    pub first_autumn: Option<Date>,
    /// How many days of the year were at or below it.
    pub days_at_or_below: u32,
    /// How many days of the year have a reading; a year with gaps may have had a later frost than it shows.
    pub days_read: u32,
}

/// Which frost of the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Frost {
    /// The last of spring.
    LastSpring,
    /// The first of autumn.
    FirstAutumn,
}

/// The frosts of each year in a series of daily lows, one a day, in any order; a low that is not a number counts as
/// missing.
///
/// A frost is a low at or below `threshold`. Spring is January to July, autumn August to December (northern
/// hemisphere).
#[must_use]
pub fn frosts_by_year(lows: impl IntoIterator<Item = (Date, Celsius)>, threshold: Celsius) -> Vec<YearFrosts> {
    let mut years = BTreeMap::new();
    for (date, low) in lows {
        if low.0.is_nan() {
            continue;
        }
        let frosts = years.entry(date.year()).or_insert(YearFrosts {
            year: date.year(),
            last_spring: None,
            first_autumn: None,
            days_at_or_below: 0,
            days_read: 0,
        });
        frosts.days_read += 1;
        if low > threshold {
            continue;
        }
        frosts.days_at_or_below += 1;
        if date.month() <= 7 {
            frosts.last_spring = frosts.last_spring.max(Some(date));
        } else {
            frosts.first_autumn = Some(frosts.first_autumn.map_or(date, |first| first.min(date)));
        }
    }
    years.into_values().collect()
}

/// The day of a 365-day year by which the frost has come in the share `p` of years (for last frosts: after which there
/// was none in that share). 29 February counts with 28.
///
/// A year without a last spring frost counts as earlier than any date, one without a first autumn frost as later.
/// `None` when there is no year, `p` is not within 0 to 1, or the answer falls on a year without frost.
#[must_use]
pub fn frost_quantile(years: &[YearFrosts], frost: Frost, p: f64, kind: QuantileType) -> Option<f64> {
    let days: Vec<f64> = years
        .iter()
        .map(|year| match frost {
            Frost::LastSpring => year.last_spring.map_or(f64::NEG_INFINITY, common_day),
            Frost::FirstAutumn => year.first_autumn.map_or(f64::INFINITY, common_day),
        })
        .collect();
    quantile(&days, p, kind).filter(|day| day.is_finite())
}

/// The day in a 365-day year, 29 February counted with 28.
fn common_day(date: Date) -> f64 {
    let after_leap_day = date.leap_year() && date.ordinal() >= 60;
    f64::from(date.ordinal() - u32::from(after_leap_day))
}
