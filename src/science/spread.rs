//! What is known of one uncertain temperature: a mixture of normal curves.
//!
//! A normal whose own spread is uncertain is such a mixture, and so are the sum and the shift of mixtures, so a
//! forecast's error and a place's lift add up without approximation.

use std::f64::consts::SQRT_2;

/// A mixture of normal curves in degrees C, never empty; its weights add up to one.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    parts: Vec<Normal>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Normal {
    weight: f64,
    mean: f64,
    sd: f64,
}

/// The narrowest curve kept, so that a figure said to be exact is still a curve.
const LEAST_SD: f64 = 1e-6;

/// The weight, against the heaviest part's, under which a part of a sum is left out.
const NEXT_TO_NOTHING: f64 = 1e-4;

impl Spread {
    /// One normal curve. A standard deviation that is negative or not a number is taken as zero.
    #[must_use]
    pub fn normal(mean: f64, sd: f64) -> Self {
        Self { parts: vec![Normal { weight: 1.0, mean, sd: sd.max(LEAST_SD) }] }
    }

    /// A mixture of `(weight, mean, sd)`, of which at least one weighs more than nothing; weights are scaled to add up
    /// to one.
    pub(crate) fn mixture(parts: impl IntoIterator<Item = (f64, f64, f64)>) -> Self {
        let mut parts: Vec<Normal> =
            parts.into_iter().map(|(weight, mean, sd)| Normal { weight, mean, sd: sd.max(LEAST_SD) }).collect();
        let total: f64 = parts.iter().map(|part| part.weight).sum();
        for part in &mut parts {
            part.weight /= total;
        }
        Self { parts }
    }

    /// The spread of this temperature plus an independent one.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let sum = |one: &Normal, two: &Normal| Normal {
            weight: one.weight * two.weight,
            mean: one.mean + two.mean,
            sd: one.sd.hypot(two.sd),
        };
        let parts = self.parts.iter().flat_map(|one| other.parts.iter().map(move |two| sum(one, two)));
        Self { parts: parts.collect() }.pruned()
    }

    /// Without the parts that weigh next to nothing: sums of sums would otherwise have thousands.
    fn pruned(mut self) -> Self {
        let heaviest = self.parts.iter().map(|part| part.weight).fold(0.0, f64::max);
        self.parts.retain(|part| part.weight >= heaviest * NEXT_TO_NOTHING);
        let total: f64 = self.parts.iter().map(|part| part.weight).sum();
        for part in &mut self.parts {
            part.weight /= total;
        }
        self
    }

    /// This spread moved up by `degrees`, down if negative.
    #[must_use]
    pub fn moved(&self, degrees: f64) -> Self {
        Self { parts: self.parts.iter().map(|part| Normal { mean: part.mean + degrees, ..*part }).collect() }
    }

    /// The mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.parts.iter().map(|part| part.weight * part.mean).sum()
    }

    /// The standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        let mean = self.mean();
        self.parts.iter().map(|part| part.weight * (part.sd.powi(2) + (part.mean - mean).powi(2))).sum::<f64>().sqrt()
    }

    /// The probability of lying below `line`, 0 to 1.
    #[must_use]
    pub fn below(&self, line: f64) -> f64 {
        self.parts.iter().map(|part| part.weight * normal_below((line - part.mean) / part.sd)).sum()
    }

    /// The value below which the share `p` lies. A share outside 0.0001 to 0.9999 is taken as the nearer of the two.
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        let p = p.clamp(1e-4, 0.9999);
        let reach = |sign: f64| self.parts.iter().map(move |part| part.mean + sign * 5.0 * part.sd);
        let (mut low, mut high) =
            (reach(-1.0).fold(f64::INFINITY, f64::min), reach(1.0).fold(-f64::INFINITY, f64::max));
        // Some thirty halvings of any believable range.
        while high - low > 1e-8 * low.abs().max(1.0) {
            let middle = f64::midpoint(low, high);
            if self.below(middle) < p { low = middle } else { high = middle }
        }
        f64::midpoint(low, high)
    }
}

/// The standard normal distribution function.
fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_normal_agrees_with_the_printed_table() {
        // Standard normal table (any statistics handbook): P(Z < 1.96) = 0.9750, P(Z < -1) = 0.1587.
        let spread = Spread::normal(10.0, 2.0);
        assert!((spread.below(10.0 + 2.0 * 1.96) - 0.9750).abs() < 5e-5);
        assert!((spread.below(8.0) - 0.1587).abs() < 5e-5);
        assert!((spread.quantile(0.975) - 13.9199).abs() < 1e-4);
        assert!((spread.quantile(f64::MIN) - spread.quantile(1e-4)).abs() < 1e-9);
    }

    #[test]
    fn sums_of_mixtures_have_the_sum_of_means_and_of_variances() {
        let one = Spread::mixture([(1.0, 0.0, 1.0), (3.0, 4.0, 2.0)]);
        let two = Spread::mixture([(0.5, -1.0, 0.5), (0.5, 1.0, 3.0)]);
        let sum = one.plus(&two);
        assert!((sum.mean() - one.mean() - two.mean()).abs() < 1e-12);
        assert!((sum.sd().powi(2) - one.sd().powi(2) - two.sd().powi(2)).abs() < 1e-12);
        assert!((sum.moved(2.0).mean() - sum.mean() - 2.0).abs() < 1e-12);
    }
}
