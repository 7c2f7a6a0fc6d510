//! The rate of a sowing: so many up of so many sown, and how far the true rate may lie from what was seen.

use thiserror::Error;

use super::normal;

/// Why a pair of counts is not a tally.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum TallyError {
    /// Nothing was sown, so there is no rate.
    #[error("nothing was sown, so there is no rate")]
    Empty,
    /// More than [`MOST_SEEDS`] sown.
    #[error("{0} seeds in one tally is more than can be meant")]
    TooMany(u32),
    /// More came up than were sown.
    #[error("{up} of {sown} is more than all of them")]
    MoreThanSown {
        /// How many came up.
        up: u32,
        /// How many were sown.
        sown: u32,
    },
}

/// More seeds than this in one tally are a slip of the finger, and would only cost memory.
pub const MOST_SEEDS: u32 = 1_000_000;

/// So many up of so many sown: from one to [`MOST_SEEDS`] sown, and no more up than sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tally {
    up: u32,
    sown: u32,
}

impl Tally {
    /// Pairs the two counts.
    ///
    /// # Errors
    /// When nothing or more than [`MOST_SEEDS`] were sown, or more came up than were sown (clusters give several seedlings: count the sown units
    /// that showed, not the seedlings).
    pub fn new(up: u32, sown: u32) -> Result<Self, TallyError> {
        match (up, sown) {
            (_, 0) => Err(TallyError::Empty),
            _ if sown > MOST_SEEDS => Err(TallyError::TooMany(sown)),
            _ if up > sown => Err(TallyError::MoreThanSown { up, sown }),
            _ => Ok(Self { up, sown }),
        }
    }

    /// How many came up.
    #[must_use]
    pub fn up(self) -> u32 {
        self.up
    }

    /// How many were sown; never 0.
    #[must_use]
    pub fn sown(self) -> u32 {
        self.sown
    }

    /// The share that came up, 0 to 1.
    #[must_use]
    pub fn rate(self) -> f64 {
        f64::from(self.up) / f64::from(self.sown)
    }
}

/// How often an interval made this way covers the truth: more than 0, less than 1.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Confidence(f64);

impl Confidence {
    /// Nineteen times in twenty, the usual choice.
    pub const NINETY_FIVE: Self = Self(0.95);

    /// A level strictly between 0 and 1; `None` outside.
    #[must_use]
    pub fn new(level: f64) -> Option<Self> {
        (level > 0.0 && level < 1.0).then_some(Self(level))
    }

    /// The level, between 0 and 1.
    #[must_use]
    pub fn level(self) -> f64 {
        self.0
    }

    /// The normal quantile that leaves half the doubt in each tail: 1.959963984540054 at 95 %.
    #[must_use]
    pub fn z(self) -> f64 {
        normal::upper_quantile((1.0 - self.0) / 2.0)
    }
}

/// Two limits, the lower first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower limit.
    pub low: f64,
    /// The upper limit.
    pub high: f64,
}

/// The score interval for the true rate behind `tally`; both limits lie between 0 and 1, and the lower is exactly 0
/// when none came up, the upper exactly 1 when all did.
///
/// Source: Wilson 1927, J Am Stat Assoc 22:209; method 3 of Newcombe 1998, Stat Med 17:857. The limits are the roots of
/// `(p - x)^2 = z^2 x (1 - x) / n`; each is written as a quotient without cancellation, which makes the ends exact.
#[must_use]
pub fn wilson(tally: Tally, confidence: Confidence) -> Interval {
    let n = f64::from(tally.sown);
    let (p, q) = (tally.rate(), f64::from(tally.sown - tally.up) / n);
    let z = confidence.z();
    let half = z * (p * q / n + z * z / (4.0 * n * n)).sqrt() + z * z / (2.0 * n);
    Interval { low: p * p / (p + half), high: 1.0 - q * q / (q + half) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tally_is_refused_when_it_cannot_be() {
        assert_eq!(Tally::new(0, 0), Err(TallyError::Empty));
        assert_eq!(Tally::new(5, 4), Err(TallyError::MoreThanSown { up: 5, sown: 4 }));
        assert_eq!(Tally::new(5, u32::MAX), Err(TallyError::TooMany(u32::MAX)));
        assert!(Tally::new(4, 4).is_ok());
    }

    #[test]
    fn a_confidence_lies_strictly_between_never_and_always() {
        for level in [0.0, 1.0, -0.5, 2.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Confidence::new(level), None, "{level}");
        }
        // Source: the 97.5 % normal quantile to 16 digits, as in any table (Abramowitz & Stegun 1964, table 26.5).
        assert!((Confidence::NINETY_FIVE.z() - 1.959_963_984_540_054).abs() < 1e-14);
    }

    #[test]
    fn the_ends_are_exact() {
        for n in [1, 2, 7, 100, MOST_SEEDS] {
            let none = wilson(Tally::new(0, n).unwrap(), Confidence::NINETY_FIVE);
            let all = wilson(Tally::new(n, n).unwrap(), Confidence::NINETY_FIVE);
            assert_eq!(none.low, 0.0);
            assert_eq!(all.high, 1.0);
            assert!(none.high > 0.0 && none.high < 1.0 && all.low > 0.0 && all.low < 1.0);
        }
    }
}
