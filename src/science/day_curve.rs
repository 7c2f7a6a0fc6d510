//! The temperature through one day from its low, its high and the sun: a sine by day, a decay by night.

use std::f64::consts::PI;

use thiserror::Error;

use super::day_range::DayRange;
use crate::quantity::Celsius;

/// Why no curve can be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CurveError {
    /// The day is not longer than the lag of the low after sunrise, or fills the whole 24 hours.
    #[error("a day of {0} hours has no dawn and dusk to draw a curve between")]
    DayLength(f64),
}

/// The lags of one height above (or depth below) the ground, in hours, and the night's decay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lags {
    /// Hours by which the high falls after noon (Parton and Logan's A).
    high_after_noon: f64,
    /// How fast the evening cools, without unit (B).
    night_decay: f64,
    /// Hours by which the low falls after sunrise; may be negative (C).
    low_after_sunrise: f64,
}

impl Lags {
    /// Air at 150 cm, about the height of a weather screen (Denver, Parton and Logan 1981).
    pub const SCREEN: Self = Self { high_after_noon: 1.86, night_decay: 2.20, low_after_sunrise: -0.17 };
    /// Air at 10 cm, the height of seedlings (Denver, Parton and Logan 1981).
    pub const SEEDLING: Self = Self { high_after_noon: 1.52, night_decay: 2.00, low_after_sunrise: -0.18 };
}

/// One day's temperature by the hour (Parton and Logan 1981, Agricultural Meteorology 23: 205-216), in solar time: noon
/// is 12.
///
/// The night curve approaches the low without reaching it. For "how many hours below" use the curve; for "did it get
/// below" use the recorded low itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayCurve {
    day: DayRange,
    day_length: f64,
    lags: Lags,
}

impl DayCurve {
    /// The curve of `day` where the sun is up for `day_length` hours.
    ///
    /// # Errors
    /// When the day length is not between 1 and 23 hours: the curve needs a dawn and a dusk.
    pub fn new(day: DayRange, day_length: f64, lags: Lags) -> Result<Self, CurveError> {
        if (1.0..=23.0).contains(&day_length) {
            Ok(Self { day, day_length, lags })
        } else {
            Err(CurveError::DayLength(day_length))
        }
    }

    /// The temperature at `hour` of solar time; hours outside 0 to 24 wrap round to the same day.
    #[must_use]
    pub fn at(&self, hour: f64) -> Celsius {
        let hour = hour.rem_euclid(24.0);
        let sunset = 12.0 + self.day_length / 2.0;
        let low_at = 12.0 - self.day_length / 2.0 + self.lags.low_after_sunrise;
        if (low_at..=sunset).contains(&hour) {
            return Celsius(self.by_day(hour - low_at));
        }
        let since_sunset = (hour - sunset).rem_euclid(24.0);
        let low = self.day.low().0;
        let decay = (-self.lags.night_decay * since_sunset / (24.0 - self.day_length)).exp();
        Celsius(low + (self.by_day(sunset - low_at) - low) * decay)
    }

    /// Hours of the day below `line`, counted minute by minute.
    #[must_use]
    pub fn hours_below(&self, line: Celsius) -> f64 {
        let minutes = (0..24 * 60).filter(|minute| self.at((f64::from(*minute) + 0.5) / 60.0) < line).count();
        minutes as f64 / 60.0
    }

    fn by_day(&self, since_low: f64) -> f64 {
        let wave = (PI * since_low / (self.day_length + 2.0 * self.lags.high_after_noon)).sin();
        self.day.low().0 + self.day.spread() * wave
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_without_dawn_is_refused() {
        let day = DayRange::new(Celsius(3.0), Celsius(15.0)).unwrap();
        for length in [0.0, 24.0, f64::NAN] {
            assert!(matches!(DayCurve::new(day, length, Lags::SCREEN), Err(CurveError::DayLength(_))));
        }
    }

    #[test]
    fn the_curve_keeps_between_low_and_high() {
        let day = DayRange::new(Celsius(-2.0), Celsius(15.0)).unwrap();
        let curve = DayCurve::new(day, 13.0, Lags::SEEDLING).unwrap();
        let temperatures: Vec<f64> = (0..2400).map(|step| curve.at(f64::from(step) / 100.0).0).collect();
        assert!(temperatures.iter().all(|t| (-2.0..=15.0).contains(t)));
        assert!(temperatures.iter().any(|t| *t > 14.99) && temperatures.iter().any(|t| *t < -1.9));
        assert!((curve.hours_below(Celsius(15.1)) - 24.0).abs() < 1e-9);
        assert!(curve.hours_below(Celsius(-2.0)).abs() < 1e-9);
    }
}
