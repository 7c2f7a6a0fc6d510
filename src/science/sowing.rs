//! How many to sow, so that enough are likely to reach planting out.

use super::beta::{Beta, as_share};
use super::counts::Counts;
use super::interval::MOST_SEEDS;

/// Chances are meant as decimals and equality counts, so the comparison forgives rounding by this much.
const TIE_SLACK: f64 = 1e-12;

/// What is known of the chance that a seed comes up, or that a seedling lives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Belief {
    /// A chance taken as known; brought into 0 to 1.
    Known(f64),
    /// A chance that is itself uncertain, the same for all the seeds.
    Uncertain(Beta),
}

impl Belief {
    fn counts(self, n: u32) -> Counts {
        match self {
            Self::Known(p) => Counts::binomial(n, p),
            Self::Uncertain(beta) => Counts::beta_binomial(n, beta),
        }
    }

    /// The chance of at least `wanted` successes in 0, 1, ... `most` trials, summed over when the last one falls.
    pub(super) fn chances_of(self, wanted: u32, most: u32) -> Vec<f64> {
        let target = f64::from(wanted);
        // The logarithm of the chance that the first `wanted` trials all succeed.
        let mut log = match self {
            Self::Known(p) => target * as_share(p).ln(),
            Self::Uncertain(beta) => {
                (0..wanted).map(|i| ((beta.a() + f64::from(i)) / (beta.a() + beta.b() + f64::from(i))).ln()).sum()
            }
        };
        let mut sum = 0.0;
        (0..=most)
            .map(|trials| {
                if trials >= wanted {
                    sum += log.exp();
                    let n = f64::from(trials);
                    let failure = match self {
                        Self::Known(p) => 1.0 - as_share(p),
                        Self::Uncertain(beta) => (beta.b() + n - target) / (beta.a() + beta.b() + n),
                    };
                    log += (n / (n - target + 1.0) * failure).ln();
                }
                f64::min(sum, 1.0)
            })
            .collect()
    }
}

/// What a wanted number of plants asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// So many seeds do it.
    Seeds {
        /// The smallest number that is enough.
        number: u32,
        /// The chance they give of at least the wanted plants.
        chance: f64,
    },
    /// Not even the most that were allowed do it: the lot is too poor, or too little is known of it.
    BeyondCap {
        /// The most that were allowed.
        cap: u32,
        /// The chance they would give.
        chance: f64,
    },
}

/// The fewest seeds that give at least `wanted` plants with probability `chance`, when each seed comes up by
/// `germination` and each seedling then lives by `survival`; at most `cap` seeds, and never over [`MOST_SEEDS`].
///
/// With an uncertain belief the chance of no plant at all falls only as a power of the number sown, so a near-certain
/// result can ask for thousands: hence the cap. A `chance` of 1 or more is beyond any cap unless nothing can fail.
///
/// Source: the binomial tail, as in Wilks 1942, Ann Math Stat 13:400 (sample sizes), mixed over a beta belief
/// (beta-binomial: Skellam 1948, J R Stat Soc B 10:257).
#[must_use]
pub fn how_many(wanted: u32, germination: Belief, survival: Belief, chance: f64, cap: u32) -> Need {
    if wanted == 0 {
        return Need::Seeds { number: 0, chance: 1.0 };
    }
    let cap = cap.min(MOST_SEEDS);
    let (first, second) = match (germination, survival) {
        (Belief::Known(p), Belief::Known(s)) => (Belief::Known(as_share(p) * as_share(s)), None),
        _ => (germination, Some(survival)),
    };
    let enough_of = |most: u32| second.map(|belief| belief.chances_of(wanted, most));
    let chance_with = |n: u32, enough: &Option<Vec<f64>>| match enough {
        None => first.counts(n).at_least(wanted),
        Some(enough) => first.counts(n).iter().zip(enough).map(|((_, p), e)| p * e).sum(),
    };
    let does = |reached: f64| reached >= chance - TIE_SLACK;

    let mut most = wanted.min(cap);
    let mut enough = enough_of(most);
    while !does(chance_with(most, &enough)) {
        if most == cap {
            return Need::BeyondCap { cap, chance: chance_with(cap, &enough) };
        }
        most = most.saturating_mul(2).min(cap);
        enough = enough_of(most);
    }
    // More seeds never lower the chance, so the smallest number can be found by halving.
    let (mut too_few, mut number) = (0, most);
    while number - too_few > 1 {
        let middle = too_few + (number - too_few) / 2;
        if does(chance_with(middle, &enough)) {
            number = middle;
        } else {
            too_few = middle;
        }
    }
    Need::Seeds { number, chance: chance_with(number, &enough) }
}

/// The chance that a cell of `seeds` seeds is not a gap, when each comes up with probability `p` (brought into 0 to 1).
#[must_use]
pub fn cell_fills(p: f64, seeds: u32) -> f64 {
    // Written so that a small chance keeps its digits.
    -(f64::from(seeds) * (-as_share(p)).ln_1p()).exp_m1()
}

/// The fewest seeds a cell that leave a gap with probability at most `1 - chance`; `None` if more than `cap`.
#[must_use]
pub fn seeds_per_cell(p: f64, chance: f64, cap: u32) -> Option<u32> {
    (1..=cap).find(|&seeds| cell_fills(p, seeds) >= chance - TIE_SLACK)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dead_seed_and_impossible_wishes_stop_at_the_cap() {
        let sure = Belief::Known(1.0);
        for (germination, chance) in
            [(Belief::Known(0.0), 0.9), (Belief::Known(0.5), 1.5), (Belief::Known(0.5), f64::NAN)]
        {
            assert!(matches!(how_many(1, germination, sure, chance, 300), Need::BeyondCap { cap: 300, .. }));
        }
        assert!(matches!(how_many(5, sure, sure, 0.9, 3), Need::BeyondCap { cap: 3, .. }));
        assert_eq!(seeds_per_cell(0.0, 0.9, 50), None);
    }

    #[test]
    fn nothing_wanted_needs_nothing_and_certain_seed_needs_as_many() {
        let flat = Belief::Uncertain(Beta::new(1.0, 1.0).unwrap());
        assert_eq!(how_many(0, flat, flat, 0.9, 10), Need::Seeds { number: 0, chance: 1.0 });
        let sure = Belief::Known(1.0);
        assert_eq!(how_many(7, sure, sure, 0.99, 10), Need::Seeds { number: 7, chance: 1.0 });
    }
}
