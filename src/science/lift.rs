//! A place's lift: how far its nights and days stand above the weather outside, learnt from paired readings.
//!
//! A lift is the place's low (or high) less the outside low (or high) of the same night (or day). It may be negative:
//! covers have been measured colder than open ground on clear nights (Oregon State University row cover study, 1988).

use thiserror::Error;

use super::spread::Spread;
use crate::quantity::Celsius;

/// Why a lift cannot be learnt or believed.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum LiftError {
    /// A prior's mean is beyond 60 degrees either way, or a standard deviation or scatter is not within 0.01 to 100.
    #[error("a usual lift must be within 60 degrees, its standard deviation and scatter within 0.01 to 100")]
    BadPrior,
    /// The two readings are not numbers, or further apart than a shut frame in full sun.
    #[error("a place {0} degrees from the outside is not believable")]
    Unbelievable(f64),
    /// The share is not within 0 to 1.
    #[error("{0} is not a share between 0 and 1")]
    NotAShare(f64),
}

/// What is thought of one figure before or after looking: its mean and standard deviation, in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belief {
    /// The best single figure.
    pub mean: f64,
    /// How far off it may well be.
    pub sd: f64,
}

/// Multiples of the expected night-to-night scatter that are thought possible, with their prior weights: the real
/// scatter is probably within half and twice what was expected.
const SCATTER_GRID: [(f64, f64); 9] = [
    (0.3, 0.03),
    (0.45, 0.08),
    (0.65, 0.18),
    (0.85, 0.21),
    (1.1, 0.20),
    (1.5, 0.15),
    (2.0, 0.09),
    (2.8, 0.04),
    (4.0, 0.02),
];

/// The widest lift believed. A shut frame near London reached 58 C in an April week; 60 leaves room for that.
const WIDEST_LIFT: f64 = 60.0;

/// A lift learnt from paired readings: `lift = base + effect x share + scatter`.
///
/// The share is whatever adds to the base lift: for nights, whether covers were on (0 or 1); for days, how sunny it was
/// (0 dull to 1 clear). Base and effect start at what is usual for the kind of place and move toward the place's own
/// readings as these come in (the conjugate normal linear model, Gelman et al., Bayesian Data Analysis, 3rd ed.,
/// chapter 14); the scatter is unknown and averaged over a grid.
///
/// Learn it against a thermometer outside. Learnt against forecasts instead, the scatter already holds their error:
/// then predict with a forecast error of zero, or it counts twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Lift {
    base: Belief,
    effect: Belief,
    expected_scatter: f64,
    sums: Sums,
}

/// Sums over the readings of the lift less its prior mean (`r`) and the share (`z`).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Sums {
    n: u32,
    z: f64,
    zz: f64,
    r: f64,
    rz: f64,
    rr: f64,
}

/// What the readings say if the scatter is one given figure.
struct Conditional {
    weight: f64,
    scatter: f64,
    base: f64,
    effect: f64,
    base_var: f64,
    effect_var: f64,
    covariance: f64,
}

impl Lift {
    /// A lift before any reading: `base` and `effect` usual for the kind of place, `expected_scatter` the usual
    /// night-to-night (or day-to-day) standard deviation about them.
    ///
    /// # Errors
    /// When a mean is beyond 60 degrees either way, or a standard deviation or the scatter is not within 0.01 to 100.
    pub fn new(base: Belief, effect: Belief, expected_scatter: f64) -> Result<Self, LiftError> {
        let sane = |sd: f64| (0.01..=100.0).contains(&sd);
        let good = |belief: Belief| (-WIDEST_LIFT..=WIDEST_LIFT).contains(&belief.mean) && sane(belief.sd);
        if !(good(base) && good(effect) && sane(expected_scatter)) {
            return Err(LiftError::BadPrior);
        }
        Ok(Self { base, effect, expected_scatter, sums: Sums::default() })
    }

    /// Learns from one pair of readings of the same night or day.
    ///
    /// # Errors
    /// When the two are not finite or over 60 degrees apart, or the share is not within 0 to 1. Nothing is learnt then.
    pub fn observe(&mut self, place: Celsius, outside: Celsius, share: f64) -> Result<(), LiftError> {
        let lift = place.0 - outside.0;
        // Written so that a lift that is not a number is refused too.
        if !(-WIDEST_LIFT..=WIDEST_LIFT).contains(&lift) {
            return Err(LiftError::Unbelievable(lift));
        }
        let share = checked_share(share)?;
        let rest = lift - self.base.mean - self.effect.mean * share;
        self.sums.n = self.sums.n.saturating_add(1);
        self.sums.z += share;
        self.sums.zz += share * share;
        self.sums.r += rest;
        self.sums.rz += rest * share;
        self.sums.rr += rest * rest;
        Ok(())
    }

    /// How many pairs of readings it has learnt from.
    #[must_use]
    pub fn readings(&self) -> u32 {
        self.sums.n
    }

    /// What was believed before any reading: base and effect.
    #[must_use]
    pub const fn before(&self) -> (Belief, Belief) {
        (self.base, self.effect)
    }

    /// The shares of all readings added up: nights covered, or days' worth of sun.
    #[must_use]
    pub const fn shares(&self) -> f64 {
        self.sums.z
    }

    /// The lift without covers, or in dull weather.
    #[must_use]
    pub fn base(&self) -> Belief {
        self.belief(|case| (case.base, case.base_var))
    }

    /// What covers, or full sun, add to it.
    #[must_use]
    pub fn effect(&self) -> Belief {
        self.belief(|case| (case.effect, case.effect_var))
    }

    /// The share of base and of effect, 0 to 1, that is still what was believed before any reading: its weight in them,
    /// which is the doubt that is left under a given scatter over the first (Gelman et al., 2.11), averaged over scatters.
    #[must_use]
    pub fn from_book(&self) -> (f64, f64) {
        let cases = self.cases();
        let all: f64 = cases.iter().map(|case| case.weight).sum();
        let left = |variance: &dyn Fn(&Conditional) -> f64, before: Belief| {
            let sum: f64 = cases.iter().map(|case| case.weight * variance(case)).sum();
            (sum / all / before.sd.powi(2)).clamp(0.0, 1.0)
        };
        (left(&|case| case.base_var, self.base), left(&|case| case.effect_var, self.effect))
    }

    /// The lift of one night or day to come at `share` of covers or sun, scatter included.
    ///
    /// # Errors
    /// When the share is not within 0 to 1.
    pub fn predict(&self, share: f64) -> Result<Spread, LiftError> {
        let share = checked_share(share)?;
        let parts = self.cases().into_iter().map(|case| {
            let mean = case.base + case.effect * share;
            let variance = case.base_var + 2.0 * share * case.covariance + share * share * case.effect_var;
            (case.weight, mean, (variance.max(0.0) + case.scatter.powi(2)).sqrt())
        });
        Ok(Spread::mixture(parts))
    }

    fn belief(&self, figure: impl Fn(&Conditional) -> (f64, f64)) -> Belief {
        let parts = self.cases().into_iter().map(|case| {
            let (mean, variance) = figure(&case);
            (case.weight, mean, variance.max(0.0).sqrt())
        });
        let spread = Spread::mixture(parts);
        Belief { mean: spread.mean(), sd: spread.sd() }
    }

    /// One conditional answer for each scatter of the grid, weighted by how well it explains the readings.
    fn cases(&self) -> Vec<Conditional> {
        let cases: Vec<(f64, Conditional)> =
            SCATTER_GRID.iter().map(|&(multiple, prior)| self.case(multiple * self.expected_scatter, prior)).collect();
        let likeliest = cases.iter().map(|case| case.0).fold(f64::NEG_INFINITY, f64::max);
        cases.into_iter().map(|(log, case)| Conditional { weight: (log - likeliest).exp(), ..case }).collect()
    }

    /// The posterior of base and effect for one scatter, and the logarithm of its unscaled weight.
    fn case(&self, scatter: f64, prior_weight: f64) -> (f64, Conditional) {
        let Sums { n, z, zz, r, rz, rr } = self.sums;
        let n = f64::from(n);
        let noise = scatter * scatter;
        let (prior_base, prior_effect) = (self.base.sd.powi(-2), self.effect.sd.powi(-2));
        // Precision matrix [[a, b], [b, c]] of (base, effect) about their prior means, and its right-hand side.
        let (a, b, c) = (prior_base + n / noise, z / noise, prior_effect + zz / noise);
        let (right_base, right_effect) = (r / noise, rz / noise);
        let determinant = a * c - b * b;
        let base_move = (c * right_base - b * right_effect) / determinant;
        let effect_move = (a * right_effect - b * right_base) / determinant;
        let explained = base_move * right_base + effect_move * right_effect;
        let log_weight = prior_weight.ln()
            - n * scatter.ln()
            - 0.5 * (determinant / (prior_base * prior_effect)).ln()
            - 0.5 * (rr / noise - explained);
        let case = Conditional {
            weight: 0.0,
            scatter,
            base: self.base.mean + base_move,
            effect: self.effect.mean + effect_move,
            base_var: c / determinant,
            effect_var: a / determinant,
            covariance: -b / determinant,
        };
        (log_weight, case)
    }
}

fn checked_share(share: f64) -> Result<f64, LiftError> {
    if (0.0..=1.0).contains(&share) { Ok(share) } else { Err(LiftError::NotAShare(share)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BASE: Belief = Belief { mean: 3.5, sd: 1.5 };
    const COVER: Belief = Belief { mean: 1.0, sd: 1.2 };

    fn lift(readings: &[(f64, f64)]) -> Lift {
        let mut lift = Lift::new(BASE, COVER, 1.0).unwrap();
        for (degrees, share) in readings {
            lift.observe(Celsius(5.0 + degrees), Celsius(5.0), *share).unwrap();
        }
        lift
    }

    /// By hand: under a scatter of `s` the weight of the book beside one reading is `s^2 / (s^2 + 1.5^2)`, and the mean
    /// is the book's and the reading's at that weight. A reading far off leaves more doubt than there was, and teaches all
    /// the same.
    #[test]
    fn one_reading_far_off_is_learnt_from() {
        let far = lift(&[(12.0, 0.0)]);
        assert!(far.base().mean > BASE.mean + 0.5, "{:?}", far.base());
        let (of_base, of_effect) = far.from_book();
        assert!((0.1..0.95).contains(&of_base) && of_effect == 1.0, "{of_base} {of_effect}");
        assert_eq!(lift(&[]).from_book(), (1.0, 1.0));
        let near: Vec<(f64, f64)> = vec![(3.4, 0.0); 30];
        assert!(lift(&near).from_book().0 < 0.02);
    }

    fn density(x: f64, mean: f64, sd: f64) -> f64 {
        (-0.5 * ((x - mean) / sd).powi(2)).exp() / sd
    }

    /// Outside check: Bayes' theorem summed over a fine grid of base, effect and scatter.
    #[test]
    fn the_posterior_agrees_with_brute_force() {
        let readings = [(1.2, 0.0), (2.9, 1.0), (0.4, 0.0), (1.9, 1.0), (-0.6, 0.0)];
        let (mut total, mut base_sum, mut effect_sum, mut below) = (0.0, 0.0, 0.0, 0.0);
        for i in 0..240 {
            let base = -5.0 + 0.05 * f64::from(i);
            for j in 0..220 {
                let effect = -4.5 + 0.05 * f64::from(j);
                for (scatter, prior) in SCATTER_GRID {
                    let likelihood: f64 =
                        readings.iter().map(|(y, z)| density(*y, base + effect * z, scatter)).product();
                    let weight = prior * density(base, 3.5, 1.5) * density(effect, 1.0, 1.2) * likelihood;
                    total += weight;
                    base_sum += weight * base;
                    effect_sum += weight * effect;
                    below += weight * Spread::normal(base + effect, scatter).below(1.0);
                }
            }
        }
        let lift = lift(&readings);
        assert!((lift.base().mean - base_sum / total).abs() < 1e-6);
        assert!((lift.effect().mean - effect_sum / total).abs() < 1e-6);
        assert!((lift.predict(1.0).unwrap().below(1.0) - below / total).abs() < 1e-6);
    }

    #[test]
    fn without_readings_a_place_is_usual_for_its_kind() {
        let lift = lift(&[]);
        assert!((lift.base().mean - 3.5).abs() < 1e-9 && (lift.base().sd - 1.5).abs() < 1e-9);
        assert!((lift.effect().mean - 1.0).abs() < 1e-9);
        assert!((lift.predict(1.0).unwrap().mean() - 4.5).abs() < 1e-9);
    }

    /// Oregon State University row cover study, 13 May 1984: 5.0 and 6.1 under covers against 6.7 on bare soil.
    #[test]
    fn a_cover_may_be_learnt_to_be_colder() {
        let nights: Vec<(f64, f64)> =
            (0..20).flat_map(|_| [(0.0, 0.0), (-1.7, 1.0), (0.0, 0.0), (-0.6, 1.0)]).collect();
        let lift = lift(&nights);
        assert!((lift.effect().mean - -1.15).abs() < 0.1, "{:?}", lift.effect());
        assert!(lift.base().mean.abs() < 0.1);
    }

    #[test]
    fn a_wild_place_is_learnt_to_be_uncertain() {
        let calm: Vec<(f64, f64)> = (0..15).flat_map(|_| [(3.0, 0.0), (3.2, 0.0)]).collect();
        let wild: Vec<(f64, f64)> = (0..15).flat_map(|_| [(0.5, 0.0), (5.7, 0.0)]).collect();
        let sd = |readings: &[(f64, f64)]| lift(readings).predict(0.0).unwrap().sd();
        assert!(sd(&calm) < 0.4 && sd(&wild) > 2.0, "{} {}", sd(&calm), sd(&wild));
    }

    #[test]
    fn what_cannot_be_believed_is_not_learnt() {
        let mut lift = lift(&[(3.0, 0.0)]);
        let before = lift.clone();
        assert_eq!(lift.observe(Celsius(80.0), Celsius(5.0), 0.0), Err(LiftError::Unbelievable(75.0)));
        assert!(lift.observe(Celsius(f64::NAN), Celsius(5.0), 0.0).is_err());
        assert_eq!(lift.observe(Celsius(8.0), Celsius(5.0), 2.0), Err(LiftError::NotAShare(2.0)));
        assert!(lift.predict(f64::NAN).is_err());
        assert_eq!(lift, before);
        for bad in
            [Belief { mean: f64::NAN, sd: 1.0 }, Belief { mean: 0.0, sd: 0.0 }, Belief { mean: 0.0, sd: f64::INFINITY }]
        {
            assert_eq!(Lift::new(bad, COVER, 1.0), Err(LiftError::BadPrior));
            assert_eq!(Lift::new(BASE, bad, 1.0), Err(LiftError::BadPrior));
        }
        assert_eq!(Lift::new(BASE, COVER, 0.0), Err(LiftError::BadPrior));
    }

    proptest::proptest! {
        #[test]
        fn any_readings_leave_a_prediction(
            readings in proptest::collection::vec((-60.0_f64..60.0, 0.0_f64..=1.0), 0..60),
            scatter in 0.01_f64..100.0,
        ) {
            let mut lift = Lift::new(BASE, COVER, scatter).unwrap();
            for (degrees, share) in readings {
                lift.observe(Celsius(degrees), Celsius(0.0), share).unwrap();
            }
            let spread = lift.predict(0.5).unwrap();
            proptest::prop_assert!(spread.mean().is_finite() && spread.sd() > 0.0 && spread.sd().is_finite());
            proptest::prop_assert!((spread.below(spread.quantile(0.3)) - 0.3).abs() < 1e-6);
        }
    }
}
