//! When living seed comes up: the cumulative share by a time, which may be days or thermal time.

use thiserror::Error;

use super::beta::as_share;

/// Why two figures do not describe a timing.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("a timing needs a median above 0 and a spread from 0.001 to 10, not {median} and {spread}")]
pub struct TimingError {
    /// The median given.
    pub median: f64,
    /// The spread given.
    pub spread: f64,
}

/// The timing of the seeds that do come up: log-logistic, `F(t) = 1 / (1 + (t / median)^(-1 / spread))`.
///
/// Source: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1, whose slope `b` is `-1 / spread`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    log_median: f64,
    spread: f64,
}

impl Timing {
    /// A timing by its median (in the unit of the times that will be asked about) and its spread: the scale of the
    /// logistic curve in the logarithm of time. A tenth is up at `median * 9^(-spread)`, nine tenths at
    /// `median * 9^spread`.
    ///
    /// # Errors
    /// When the median is not a finite number above 0, or the spread not from 0.001 to 10.
    pub fn new(median: f64, spread: f64) -> Result<Self, TimingError> {
        let possible = median > 0.0 && median.is_finite() && (1e-3..=10.0).contains(&spread);
        if possible { Ok(Self { log_median: median.ln(), spread }) } else { Err(TimingError { median, spread }) }
    }

    /// The time by which half are up.
    #[must_use]
    pub fn median(self) -> f64 {
        self.log_median.exp()
    }

    /// The scale of the logistic curve in the logarithm of time.
    #[must_use]
    pub fn spread(self) -> f64 {
        self.spread
    }

    /// The share up by `time`, 0 to 1; 0 at or before sowing (and for NaN).
    #[must_use]
    pub fn share_by(self, time: f64) -> f64 {
        if time > 0.0 { self.share_by_log(time.ln()) } else { 0.0 }
    }

    /// The share not yet up by `time`, to its own full precision; 1 at or before sowing (and for NaN).
    #[must_use]
    pub fn share_left_at(self, time: f64) -> f64 {
        if time > 0.0 { self.share_left_at_log(time.ln()) } else { 1.0 }
    }

    /// [`Self::share_by`] for one who has the logarithm of the time at hand, minus infinity at sowing.
    pub(super) fn share_by_log(self, log_time: f64) -> f64 {
        share_at((log_time - self.log_median) / self.spread)
    }

    /// [`Self::share_left_at`] for one who has the logarithm of the time at hand, minus infinity at sowing.
    pub(super) fn share_left_at_log(self, log_time: f64) -> f64 {
        share_at((self.log_median - log_time) / self.spread)
    }

    /// The timing with the logarithms of its median and spread moved, kept within what a timing can be.
    pub(super) fn shifted(self, log_median: f64, log_spread: f64) -> Self {
        Self {
            log_median: (self.log_median + log_median).clamp(f64::MIN_POSITIVE.ln(), f64::MAX.ln()),
            spread: (self.spread * log_spread.exp()).clamp(1e-3, 10.0),
        }
    }

    /// The time by which `share` (0 to 1) are up: 0 for none, infinite for all.
    #[must_use]
    pub fn time_of(self, share: f64) -> f64 {
        let share = as_share(share);
        self.median() * (share / (1.0 - share)).powf(self.spread)
    }
}

/// The standard logistic curve.
pub(super) fn share_at(z: f64) -> f64 {
    1.0 / (1.0 + (-z).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_that_cannot_be_are_refused() {
        for (median, spread) in [(0.0, 0.2), (f64::NAN, 0.2), (f64::INFINITY, 0.2), (9.0, 0.0), (9.0, f64::NAN)] {
            assert!(Timing::new(median, spread).is_err());
        }
    }

    #[test]
    fn time_and_share_undo_each_other() {
        let timing = Timing::new(120.0, 0.15).unwrap();
        assert_eq!(timing.share_by(0.0), 0.0);
        assert_eq!(timing.share_by(f64::NAN), 0.0);
        assert_eq!(timing.share_by(f64::INFINITY), 1.0);
        assert!((timing.share_by(120.0) - 0.5).abs() < 1e-15);
        assert!((timing.time_of(0.9) - 120.0 * 9f64.powf(0.15)).abs() < 1e-10);
        for share in [0.0, 0.01, 0.5, 0.99, 1.0] {
            assert!((timing.share_by(timing.time_of(share)) - share).abs() < 1e-14);
        }
    }
}
