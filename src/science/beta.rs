//! The beta distribution, for what is believed of a viability: both tails and quantiles, right at extreme shapes too.
//!
//! Libraries tried for this hung or panicked at shapes a grower can reach (a fresh packet with a long record, a flat
//! prior and no seed up), so it is done here.

use std::f64::consts::PI;

use thiserror::Error;

/// The shapes that are not a beta distribution this module will compute.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("a beta distribution needs shapes between 1e-9 and 1e9, not {a} and {b}")]
pub struct ShapeError {
    /// The first shape given.
    pub a: f64,
    /// The second shape given.
    pub b: f64,
}

/// A whole of 1 cut in two, each part to its own full precision: a point and what is left above it, or the
/// probability below a point and above it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The part below.
    pub below: f64,
    /// The part above, 1 less the part below.
    pub above: f64,
}

impl Cut {
    /// Cuts at `below`, which is brought into 0 to 1 (NaN counts as 0).
    #[must_use]
    pub fn at(below: f64) -> Self {
        let below = as_share(below);
        Self { below, above: 1.0 - below }
    }

    fn turned(self) -> Self {
        Self { below: self.above, above: self.below }
    }
}

/// A beta distribution over shares from 0 to 1.
///
/// The shapes read as seeds already seen: `a` that were alive and `b` that were not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beta {
    a: f64,
    b: f64,
}

impl Beta {
    /// The distribution with shapes `a` and `b`.
    ///
    /// # Errors
    /// When either shape is not a number from 1e-9 to 1e9.
    pub fn new(a: f64, b: f64) -> Result<Self, ShapeError> {
        let allowed = 1e-9..=1e9;
        if allowed.contains(&a) && allowed.contains(&b) { Ok(Self { a, b }) } else { Err(ShapeError { a, b }) }
    }

    /// The belief after seeing `alive` seeds that were alive and `dead` that were not.
    #[must_use]
    pub fn after(self, alive: u32, dead: u32) -> Self {
        Self { a: self.a + f64::from(alive), b: self.b + f64::from(dead) }
    }

    /// The first shape: the weight of seeds alive.
    #[must_use]
    pub fn a(self) -> f64 {
        self.a
    }

    /// The second shape: the weight of seeds not alive.
    #[must_use]
    pub fn b(self) -> f64 {
        self.b
    }

    /// The mean, between 0 and 1.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// The mean of the square.
    #[must_use]
    pub fn mean_square(self) -> f64 {
        self.mean() * (self.a + 1.0) / (self.a + self.b + 1.0)
    }

    /// The probability below and above `point`; both tails to about 1e-12 of themselves for shapes up to a million.
    ///
    /// Source: the continued fraction of Didonato & Morris 1992, ACM Trans Math Softw 18:360, by the modified Lentz method,
    /// with the power term after Loader 2000, Fast and Accurate Computation of Binomial Probabilities.
    #[must_use]
    pub fn cdf(self, point: Cut) -> Cut {
        if point.below <= 0.0 {
            return Cut { below: 0.0, above: 1.0 };
        }
        if point.above <= 0.0 {
            return Cut { below: 1.0, above: 0.0 };
        }
        if point.below > (self.a + 1.0) / (self.a + self.b + 2.0) {
            return self.turned().small_side(point.turned()).turned();
        }
        self.small_side(point)
    }

    /// The point that leaves `probability` below it; to about 1e-11 of itself, from either end.
    ///
    /// A point too near an end to be written as a number is that end.
    ///
    /// Method: Newton on the logit of the point, for the logarithm of the smaller tail, kept inside a shrinking bracket.
    #[must_use]
    pub fn quantile(self, probability: Cut) -> Cut {
        if probability.below > probability.above {
            return self.turned().quantile(probability.turned()).turned();
        }
        if probability.below <= 0.0 {
            return Cut { below: 0.0, above: 1.0 };
        }
        let target = probability.below.ln();
        let (mut low, mut high) = (-LOGIT_END, LOGIT_END);
        if self.cdf(from_logit(low)).below.ln() >= target {
            return Cut { below: 0.0, above: 1.0 };
        }
        let mut logit = (self.a / self.b).ln().clamp(low, high);
        for _ in 0..200 {
            let point = from_logit(logit);
            let below = self.cdf(point).below;
            let miss = below.ln() - target;
            if miss > 0.0 {
                high = logit;
            } else {
                low = logit;
            }
            // The slope of ln(below) against the logit is the power term over the tail.
            let newton = logit - miss * below / self.power_term(point);
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - logit).abs() <= 1e-15 * logit.abs().max(1.0) {
                return from_logit(next);
            }
            logit = next;
        }
        from_logit(logit)
    }

    fn turned(self) -> Self {
        Self { a: self.b, b: self.a }
    }

    /// The tails by the continued fraction, which converges fast when `point` lies below the bulk.
    fn small_side(self, point: Cut) -> Cut {
        Cut::at(self.power_term(point) / self.continued_fraction(point))
    }

    /// `x^a (1-x)^b / B(a, b)`.
    fn power_term(self, point: Cut) -> f64 {
        let Self { a, b } = self;
        let n = a + b;
        let log = stirling_error(n)
            - stirling_error(a)
            - stirling_error(b)
            - deviance(a, n * point.below)
            - deviance(b, n * point.above);
        log.exp() * (a * b / (2.0 * PI * n)).sqrt()
    }

    /// The fraction that divides the power term. Written with both sides of the point, it does not cancel near 1.
    fn continued_fraction(self, point: Cut) -> f64 {
        let Self { a, b } = self;
        let (x, y) = (point.below, point.above);
        let lead = a * y - b * x + 1.0;
        let away_from_zero = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
        let mut value = away_from_zero(a / (a + 1.0) * lead);
        let (mut c, mut d) = (value, 0.0);
        // Convergence takes some multiple of the square root of the larger shape: 1e5 rounds cover shapes of 1e9.
        for round in 1..100_000 {
            let n = f64::from(round);
            let step = a + 2.0 * n - 1.0;
            let over = (a + n - 1.0) * (a + b + n - 1.0) * n * (b - n) * (x / step) * (x / step);
            let under = n + n * (b - n) * x / step + (a + n) / (step + 2.0) * (lead + n * (1.0 + y));
            d = 1.0 / away_from_zero(under + over * d);
            c = away_from_zero(under + over / c);
            value *= c * d;
            if (c * d - 1.0).abs() < 1e-15 {
                break;
            }
        }
        value
    }
}

/// Beyond this logit a point cannot be told from its end.
const LOGIT_END: f64 = 740.0;

/// The nearest share to `value`; NaN counts as 0.
pub(super) fn as_share(value: f64) -> f64 {
    if value.is_nan() { 0.0 } else { value.clamp(0.0, 1.0) }
}

fn from_logit(logit: f64) -> Cut {
    Cut { below: 1.0 / (1.0 + (-logit).exp()), above: 1.0 / (1.0 + logit.exp()) }
}

/// What Stirling's formula misses of `ln(z!)`. Source: Loader 2000.
fn stirling_error(z: f64) -> f64 {
    if z < 16.0 {
        return libm::lgamma(z + 1.0) - (z + 0.5) * z.ln() + z - 0.5 * (2.0 * PI).ln();
    }
    let s = 1.0 / (z * z);
    let series = 1.0 / 12.0 - s * (1.0 / 360.0 - s * (1.0 / 1260.0 - s * (1.0 / 1680.0 - s / 1188.0)));
    series / z
}

/// `x ln(x / mean) + mean - x` without cancellation where the two are close. Source: Loader 2000.
fn deviance(x: f64, mean: f64) -> f64 {
    let gap = x - mean;
    if gap.abs() >= 0.1 * (x + mean) {
        return x * (x / mean).ln() - gap;
    }
    let v = gap / (x + mean);
    let mut sum = gap * v;
    let mut term = 2.0 * x * v;
    for round in 1..1000 {
        term *= v * v;
        let next = sum + term / f64::from(2 * round + 1);
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_shapes_are_refused() {
        for (a, b) in [(0.0, 1.0), (1.0, -1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY), (1e10, 1.0)] {
            assert!(Beta::new(a, b).is_err(), "{a} {b}");
        }
    }

    /// Source: the flat distribution is its own quantile, and Beta(a, 1) has the closed form `x^a`.
    #[test]
    fn closed_forms() {
        let flat = Beta::new(1.0, 1.0).unwrap();
        let power = Beta::new(3.0, 1.0).unwrap();
        for x in [1e-12, 0.1, 0.5, 0.9] {
            assert!((flat.quantile(Cut::at(x)).below / x - 1.0).abs() < 1e-12);
            assert!((power.cdf(Cut::at(x)).below / x.powi(3) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_ends_and_nonsense_stay_in_range() {
        for shape in [1e-9, 0.5, 1.0, 1e4, 1e9] {
            let beta = Beta::new(shape, 1.0 / shape).unwrap();
            for x in [f64::NEG_INFINITY, -1.0, 0.0, 1e-300, 0.5, 1.0, 2.0, f64::NAN] {
                let cut = beta.cdf(Cut::at(x));
                assert!((0.0..=1.0).contains(&cut.below) && (0.0..=1.0).contains(&cut.above), "{shape} {x}");
                let point = beta.quantile(Cut::at(x));
                assert!((0.0..=1.0).contains(&point.below), "{shape} {x}");
            }
        }
    }
}
