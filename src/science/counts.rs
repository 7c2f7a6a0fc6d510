//! Distributions over whole numbers of seeds, each built from the ratios of neighbouring probabilities.

use super::beta::{Beta, as_share};

/// Weights are scaled down by this when they grow past it; a power of two, so scaling is exact.
const LARGE: f64 = 1.606_938_044_258_990_3e60;

/// Probabilities of 0, 1, 2, ... seeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Counts {
    probabilities: Vec<f64>,
}

impl Counts {
    /// The distribution in which `ratios[v]` is the probability of `v + 1` seeds over that of `v`.
    ///
    /// Ratios must be zero or positive; the total is made 1.
    #[must_use]
    pub fn from_ratios(ratios: impl Iterator<Item = f64>) -> Self {
        let mut weights = Vec::new();
        fill(&mut weights, ratios);
        Self::from_weights(weights)
    }

    /// The average of distributions over `0..size`, each given by its weight and its ratios as in [`Self::from_ratios`].
    pub(super) fn mixture<R: Iterator<Item = f64>>(size: usize, parts: impl Iterator<Item = (f64, R)>) -> Self {
        let mut mixture = vec![0.0; size];
        let mut weights = Vec::with_capacity(size);
        for (part, ratios) in parts {
            let scale = part / fill(&mut weights, ratios);
            mixture.iter_mut().zip(&weights).for_each(|(sum, weight)| *sum += scale * weight);
        }
        Self::from_weights(mixture)
    }

    /// The distribution in proportion to `weights`, which must be zero or positive and not all zero.
    #[must_use]
    pub fn from_weights(mut weights: Vec<f64>) -> Self {
        let total: f64 = weights.iter().sum();
        weights.iter_mut().for_each(|w| *w /= total);
        Self { probabilities: weights }
    }

    /// How many of `n` seeds come up when each does with probability `p` (brought into 0 to 1).
    #[must_use]
    pub fn binomial(n: u32, p: f64) -> Self {
        let p = as_share(p);
        if p > 0.5 {
            let mut mirrored = Self::binomial(n, 1.0 - p);
            mirrored.probabilities.reverse();
            return mirrored;
        }
        let odds = p / (1.0 - p);
        Self::from_ratios((0..n).map(|v| f64::from(n - v) / (f64::from(v) + 1.0) * odds))
    }

    /// How many of `n` seeds come up when their common probability is itself drawn from `belief`.
    #[must_use]
    pub fn beta_binomial(n: u32, belief: Beta) -> Self {
        let (a, b) = (belief.a(), belief.b());
        Self::from_ratios((0..n).map(|v| {
            let (gone, left) = (f64::from(v), f64::from(n - v));
            left / (gone + 1.0) * (a + gone) / (b + left - 1.0)
        }))
    }

    /// The distribution of the sum with another that does not hang on it; what is rarer than one in a trillion in either is
    /// left out.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let mut sums = vec![0.0; self.last() as usize + other.last() as usize + 1];
        for (a, p) in self.iter().filter(|(_, p)| *p > 1e-12) {
            for (b, q) in other.iter().filter(|(_, q)| *q > 1e-12) {
                sums[a as usize + b as usize] += p * q;
            }
        }
        Self::from_weights(sums)
    }

    /// The probability of exactly `v` seeds; 0 beyond the last.
    #[must_use]
    pub fn exactly(&self, v: u32) -> f64 {
        self.probabilities.get(v as usize).copied().unwrap_or(0.0)
    }

    /// The probability of `v` seeds or more.
    #[must_use]
    pub fn at_least(&self, v: u32) -> f64 {
        if v == 0 {
            return 1.0;
        }
        // Smallest first, so that a long thin tail is not lost.
        self.probabilities.iter().skip(v as usize).rev().sum::<f64>().min(1.0)
    }

    /// The mean number of seeds.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.iter().map(|(v, p)| f64::from(v) * p).sum()
    }

    /// The smallest number that is not exceeded with probability `level` or more.
    #[must_use]
    pub fn quantile(&self, level: f64) -> u32 {
        let mut sum = 0.0;
        self.iter()
            .find(|(_, p)| {
                sum += p;
                sum >= level - 1e-12
            })
            .map_or(self.last(), |(v, _)| v)
    }

    /// The greatest number that can be.
    #[must_use]
    pub fn last(&self) -> u32 {
        u32::try_from(self.probabilities.len() - 1).unwrap_or(u32::MAX)
    }

    /// Each number with its probability, from 0 up.
    pub fn iter(&self) -> impl Iterator<Item = (u32, f64)> + '_ {
        (0..).zip(self.probabilities.iter().copied())
    }
}

/// Writes the weights that follow from their ratios, the first of them 1 but for a common factor, and returns their sum.
fn fill(weights: &mut Vec<f64>, ratios: impl Iterator<Item = f64>) -> f64 {
    weights.clear();
    weights.push(1.0);
    let (mut weight, mut total) = (1.0, 1.0);
    for ratio in ratios {
        weight *= ratio;
        total += weight;
        weights.push(weight);
        if weight > LARGE {
            weights.iter_mut().for_each(|w| *w /= LARGE);
            weight /= LARGE;
            total /= LARGE;
        }
    }
    total
}

/// The logarithm of the sum of the weights that [`Counts::from_ratios`] would make 1, the first of them being 1.
pub(super) fn ln_total(ratios: impl Iterator<Item = f64>) -> f64 {
    let (mut weight, mut total, mut scalings) = (1.0, 1.0, 0.0);
    for ratio in ratios {
        weight *= ratio;
        total += weight;
        if weight > LARGE {
            weight /= LARGE;
            total /= LARGE;
            scalings += 1.0;
        }
    }
    total.ln() + scalings * LARGE.ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the counts of heads in four tosses, 1 4 6 4 1 of 16.
    #[test]
    fn four_tosses() {
        let tosses = Counts::binomial(4, 0.5);
        for (v, ways) in [1.0, 4.0, 6.0, 4.0, 1.0].into_iter().enumerate() {
            assert!((tosses.exactly(v as u32) - ways / 16.0).abs() < 1e-15);
        }
        assert!((tosses.at_least(3) - 5.0 / 16.0).abs() < 1e-15);
        assert!((tosses.mean() - 2.0).abs() < 1e-15);
        assert_eq!((tosses.quantile(0.05), tosses.quantile(0.5), tosses.quantile(1.0)), (0, 2, 4));
    }

    /// Source: Laplace's rule, by which a flat belief makes every count equally likely.
    #[test]
    fn a_flat_belief_makes_every_count_equally_likely() {
        let counts = Counts::beta_binomial(9, Beta::new(1.0, 1.0).unwrap());
        assert!(counts.iter().all(|(_, p)| (p - 0.1).abs() < 1e-14));
        for tenths in 1..=10 {
            assert_eq!(counts.quantile(f64::from(tenths) / 10.0), tenths - 1);
        }
    }

    /// Source: the geometric series, `1 + 10 + ... + 10^200 = (10^201 - 1) / 9`.
    #[test]
    fn totals_beyond_any_number_keep_their_logarithm() {
        let got = ln_total(std::iter::repeat_n(10.0, 200));
        assert!((got - (201.0 * 10f64.ln() - 9f64.ln())).abs() < 1e-10, "{got}");
    }

    #[test]
    fn certain_and_large_numbers_hold() {
        assert_eq!(Counts::binomial(5, 0.0).exactly(0), 1.0);
        assert_eq!(Counts::binomial(5, 1.0).exactly(5), 1.0);
        assert_eq!(Counts::binomial(0, 0.3).at_least(1), 0.0);
        let many = Counts::binomial(100_000, 0.4);
        assert!((many.mean() - 40_000.0).abs() < 1e-4);
    }
}
