//! One day's lowest and highest temperature, and what a sine through them says about the hours between.

use std::f64::consts::PI;

use thiserror::Error;

use crate::quantity::Celsius;

/// Why two temperatures cannot be a day's low and high.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum DayRangeError {
    /// One of the two is not a number.
    #[error("a temperature is missing or not a number")]
    NotANumber,
    /// Colder or hotter than any place on earth, in the sun or under glass.
    #[error("{0} cannot be the temperature of a place for plants")]
    OutOfRange(Celsius),
    /// The low is above the high: the two were probably typed the wrong way round.
    #[error("the low {low} is above the high {high}")]
    LowAboveHigh {
        /// The low as given.
        low: Celsius,
        /// The high as given.
        high: Celsius,
    },
}

/// The lowest and highest temperature of one day; the low is never above the high.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayRange {
    low: f64,
    high: f64,
}

impl DayRange {
    /// A day between `low` and `high`.
    ///
    /// # Errors
    /// When either is not a number or not within -90 to 100 C, or the low is above the high. A low above the high is
    /// bad input, never a day without warmth.
    pub fn new(low: Celsius, high: Celsius) -> Result<Self, DayRangeError> {
        for temperature in [low, high] {
            if temperature.0.is_nan() {
                return Err(DayRangeError::NotANumber);
            }
            if !(-90.0..=100.0).contains(&temperature.0) {
                return Err(DayRangeError::OutOfRange(temperature));
            }
        }
        if low > high {
            return Err(DayRangeError::LowAboveHigh { low, high });
        }
        Ok(Self { low: low.0, high: high.0 })
    }

    /// The day between two temperatures already known to be sane, whichever is the lower.
    pub(crate) fn between(one: f64, other: f64) -> Self {
        Self { low: one.min(other), high: one.max(other) }
    }

    /// The lowest temperature of the day.
    #[must_use]
    pub fn low(self) -> Celsius {
        Celsius(self.low)
    }

    /// The highest temperature of the day.
    #[must_use]
    pub fn high(self) -> Celsius {
        Celsius(self.high)
    }

    /// Half the sum of the low and the high.
    #[must_use]
    pub fn mean(self) -> Celsius {
        Celsius(f64::midpoint(self.low, self.high))
    }

    /// How far the high stands above the low, in degrees.
    #[must_use]
    pub fn spread(self) -> f64 {
        self.high - self.low
    }

    /// Hours of the day spent below `line`, 0 to 24, on one sine from low to high and back (Allen 1976,
    /// Environmental Entomology 5: 388-396). A steady day at the line itself is not below it.
    #[must_use]
    pub fn hours_below(self, line: Celsius) -> f64 {
        if line.0 <= self.low {
            return 0.0;
        }
        if line.0 > self.high {
            return 24.0;
        }
        // Here low < line <= high, so the amplitude is not zero.
        let height = (line.0 - self.mean().0) / (self.spread() / 2.0);
        24.0 * (0.5 + height.clamp(-1.0, 1.0).asin() / PI)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_days_are_refused_by_kind() {
        let day = |low, high| DayRange::new(Celsius(low), Celsius(high));
        assert!(matches!(day(9.0, 3.0), Err(DayRangeError::LowAboveHigh { .. })));
        assert_eq!(day(f64::NAN, 3.0), Err(DayRangeError::NotANumber));
        assert_eq!(day(3.0, f64::INFINITY), Err(DayRangeError::OutOfRange(Celsius(f64::INFINITY))));
        assert_eq!(day(3.0, 451.0), Err(DayRangeError::OutOfRange(Celsius(451.0))));
        assert!(day(3.0, 3.0).is_ok());
    }

    #[test]
    fn hours_below_agree_with_counting_along_the_sine() {
        // Outside check: a sine sampled 200 000 times.
        for (low, high, line) in [(2.0, 18.0, 5.0), (-3.0, 9.0, 0.0), (4.0, 12.0, 11.5), (5.0, 35.0, 20.0)] {
            let steps = 200_000;
            let below = (0..steps)
                .filter(|step| {
                    let angle = 2.0 * PI * (f64::from(*step) + 0.5) / f64::from(steps);
                    (low + high) / 2.0 + (high - low) / 2.0 * angle.sin() < line
                })
                .count();
            let counted = 24.0 * below as f64 / f64::from(steps);
            let day = DayRange::new(Celsius(low), Celsius(high)).unwrap();
            assert!((day.hours_below(Celsius(line)) - counted).abs() < 1e-3, "{low} {high} {line}");
        }
        let steady = DayRange::new(Celsius(5.0), Celsius(5.0)).unwrap();
        assert!(steady.hours_below(Celsius(5.0)).abs() < f64::EPSILON);
        assert!((steady.hours_below(Celsius(5.1)) - 24.0).abs() < f64::EPSILON);
    }
}
