//! Degree-days: the warmth of one day above a threshold, by the published shapes of the day.
//!
//! A threshold from a paper is only valid with the method that paper used, so the method is always named.

use std::f64::consts::{FRAC_PI_2, PI};

use thiserror::Error;

use super::day_range::DayRange;
use crate::quantity::Celsius;

/// Why two thresholds cannot stand together.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ThresholdError {
    /// A threshold is not a finite number.
    #[error("a degree-day threshold is not a number")]
    NotANumber,
    /// The upper threshold is not above the lower.
    #[error("the upper threshold {upper} is not above the lower {lower}")]
    UpperNotAboveLower {
        /// The lower threshold as given.
        lower: Celsius,
        /// The upper threshold as given.
        upper: Celsius,
    },
}

/// The temperatures between which warmth counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thresholds {
    lower: f64,
    upper: Option<f64>,
}

impl Thresholds {
    /// Warmth above `lower` counts, and above `upper` counts no more than at `upper` (the horizontal cut-off).
    ///
    /// # Errors
    /// When a threshold is not finite or `upper` is not above `lower`.
    pub fn new(lower: Celsius, upper: Option<Celsius>) -> Result<Self, ThresholdError> {
        if !lower.0.is_finite() || upper.is_some_and(|upper| !upper.0.is_finite()) {
            return Err(ThresholdError::NotANumber);
        }
        match upper {
            Some(upper) if upper <= lower => Err(ThresholdError::UpperNotAboveLower { lower, upper }),
            _ => Ok(Self { lower: lower.0, upper: upper.map(|upper| upper.0) }),
        }
    }
}

/// How the day between low and high is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// The mean of low and high less the lower threshold, not below zero; it knows no upper threshold.
    Average,
    /// Low and high are first raised to the lower threshold and capped at the upper, then averaged: the "modified" or
    /// corn form. Not the same as [`Method::Average`].
    Substitution,
    /// Straight lines from low to high to low (Sevacherian et al. 1977).
    Triangle,
    /// One sine (Baskerville and Emin 1969, Ecology 50: 514-517; Allen 1976).
    Sine,
}

/// Whether a figure may still change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Every temperature it needs is known.
    Final,
    /// Tomorrow's low is not known yet; the single form stands in for the double.
    Provisional,
}

/// Degree-days (C-days) of one day, from zero up.
#[must_use]
pub fn degree_days(day: DayRange, thresholds: Thresholds, method: Method) -> f64 {
    let Thresholds { lower, upper } = thresholds;
    match method {
        Method::Average => (day.mean().0 - lower).max(0.0),
        Method::Substitution => {
            let held = |temperature: f64| temperature.max(lower).min(upper.unwrap_or(f64::INFINITY));
            f64::midpoint(held(day.low().0), held(day.high().0)) - lower
        }
        Method::Triangle => cut_off(day, thresholds, triangle_above),
        Method::Sine => cut_off(day, thresholds, sine_above),
    }
}

/// Degree-days of one day whose second half runs from today's high to tomorrow's low: half of the single form for each
/// pair, added (the double sine and double triangle). Without tomorrow's low the single form stands in.
#[must_use]
pub fn double_degree_days(
    day: DayRange,
    tomorrow_low: Option<Celsius>,
    thresholds: Thresholds,
    method: Method,
) -> (f64, Standing) {
    let morning = degree_days(day, thresholds, method);
    match tomorrow_low {
        Some(low) if low.0.is_finite() => {
            // A night may stay warmer than the day before it: the half wave then rises instead of falling.
            let evening = degree_days(DayRange::between(day.high().0, low.0), thresholds, method);
            (f64::midpoint(morning, evening), Standing::Final)
        }
        _ => (morning, Standing::Provisional),
    }
}

/// The horizontal cut-off: what lies above the lower threshold, less what lies above the upper.
fn cut_off(day: DayRange, thresholds: Thresholds, above: fn(DayRange, f64) -> f64) -> f64 {
    above(day, thresholds.lower) - thresholds.upper.map_or(0.0, |upper| above(day, upper))
}

fn triangle_above(day: DayRange, line: f64) -> f64 {
    let (low, high) = (day.low().0, day.high().0);
    if high <= line {
        0.0
    } else if low >= line {
        day.mean().0 - line
    } else {
        (high - line).powi(2) / (2.0 * (high - low))
    }
}

fn sine_above(day: DayRange, line: f64) -> f64 {
    let (mean, amplitude) = (day.mean().0, day.spread() / 2.0);
    if day.high().0 <= line {
        0.0
    } else if day.low().0 >= line {
        mean - line
    } else {
        let crossing = ((line - mean) / amplitude).clamp(-1.0, 1.0).asin();
        ((mean - line) * (FRAC_PI_2 - crossing) + amplitude * crossing.cos()) / PI
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thresholds_that_cannot_stand_are_refused() {
        let pair = |lower, upper| Thresholds::new(Celsius(lower), upper);
        assert_eq!(pair(f64::NAN, None), Err(ThresholdError::NotANumber));
        assert_eq!(pair(5.0, Some(Celsius(f64::INFINITY))), Err(ThresholdError::NotANumber));
        assert!(matches!(pair(10.0, Some(Celsius(10.0))), Err(ThresholdError::UpperNotAboveLower { .. })));
    }

    #[test]
    fn the_newest_day_is_provisional_and_equals_the_single_form() {
        let day = DayRange::new(Celsius(2.0), Celsius(18.0)).unwrap();
        let thresholds = Thresholds::new(Celsius(5.0), None).unwrap();
        let single = degree_days(day, thresholds, Method::Sine);
        assert_eq!(double_degree_days(day, None, thresholds, Method::Sine), (single, Standing::Provisional));
        assert_eq!(double_degree_days(day, Some(day.low()), thresholds, Method::Sine), (single, Standing::Final));
    }
}
