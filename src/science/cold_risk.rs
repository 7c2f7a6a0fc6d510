//! Tonight's cold: the chance that a leaf falls below its working floor, and whether to act on it.
//!
//! The chilling that makes a plant bolt and growth checked by cold are other things: see [`super::chilling`].

use thiserror::Error;

use super::heat::swing_for_sun;
use super::place_climate::PlaceLow;
use super::spread::Spread;
use crate::quantity::Celsius;

/// How open the night sky is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sky {
    /// Clear and still.
    Clear,
    /// Some cloud, or not known.
    Broken,
    /// Closed cloud, or windy.
    Overcast,
}

/// What stands between leaf and sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shelter {
    /// Nothing: standing ground or plot, and the air figure is that of a weather screen.
    Open,
    /// Glass, film or fleece, and the air figure is that of the place itself.
    Covered,
}

/// Degrees by which leaves are likely to fall below the air figure at night; give or take a third of it
/// ([`LEAF_SCATTER`]).
///
/// In the open on a clear still night grass is 4 to 5 C colder than the screen (UK practice of grass and screen
/// minima). Few clear nights are still all through, and leaves stand over the grass: 3 is used, so that one clear night in
/// ten comes to what grass has. Under glass leaves may be 2.8 C colder than the air (weak source, a greenhouse text at
/// second hand); 1.5 is used, as practice. Cloud figures are common practice, no source.
#[must_use]
pub fn leaf_allowance(sky: Sky, shelter: Shelter) -> f64 {
    match (shelter, sky) {
        (Shelter::Open, Sky::Clear) => 3.0,
        (Shelter::Open, Sky::Broken) => 1.5,
        (Shelter::Open, Sky::Overcast) => 0.5,
        (Shelter::Covered, Sky::Clear) => 1.5,
        (Shelter::Covered, Sky::Broken) => 0.7,
        (Shelter::Covered, Sky::Overcast) => 0.0,
    }
}

/// The standard deviation of what leaves lose to one sky, as a share of it: wind, height and shelter differ. Common
/// practice, no source.
pub const LEAF_SCATTER: f64 = 1.0 / 3.0;

/// Sun shares of a day's swing under which its night counts as overcast, and over which as clear. Common practice, no
/// source.
pub const DULL: f64 = 0.35;
/// See [`DULL`].
pub const CLEAR: f64 = 0.75;

/// How far the low of leaves may be off the low forecast outside: the forecast's `error` less what leaves lose to a sky
/// that is told from the forecast's `swing` from low to high, give or take `swing_sd`: each sky with its chance. Taking
/// the likeliest sky for certain would call nights safe that clear up, and others harmful that cloud over.
///
/// A swing that is not a number is any sky's.
#[must_use]
pub fn leaf_off(error: &Spread, swing: f64, swing_sd: f64, shelter: Shelter) -> Spread {
    let swings = Spread::normal(swing, swing_sd);
    let (dull, not_clear) = (swings.below(swing_for_sun(DULL)), swings.below(swing_for_sun(CLEAR)));
    let (dull, not_clear) = if dull.is_nan() { (1.0 / 3.0, 2.0 / 3.0) } else { (dull, not_clear) };
    let skies = [(dull, Sky::Overcast), (not_clear - dull, Sky::Broken), (1.0 - not_clear, Sky::Clear)];
    error.plus(&Spread::mixture(skies.map(|(chance, sky)| {
        let below = leaf_allowance(sky, shelter);
        (chance, -below, below * LEAF_SCATTER)
    })))
}

/// A cost that is no cost.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("costs must be above zero: {acting} to act, {harm} when harmed")]
pub struct CostError {
    /// The cost of acting as given.
    pub acting: f64,
    /// The cost of harm as given.
    pub harm: f64,
}

/// What acting against a cold night is, the lesser work first. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// A mat laid over glass or film, or trays carried in and out again.
    Carry,
    /// Fleece spread, weighted and taken off again over what stands in the open, where it adds a degree or so.
    Fleece,
    /// The same over what grows in a bed and cannot be carried in, against a night that may kill or scorch it.
    Bed,
}

/// What acting costs against what a harmful night costs, in the same unit (minutes of work, say).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Costs {
    acting: f64,
    harm: f64,
}

impl Costs {
    /// For a tender plant, whose working floor lies well above its death, so that a night under it sets it back; in a bed the
    /// night that counts is one that may kill it, and none is called safe from one chance in six. Common practice, no source.
    #[must_use]
    pub const fn tender(work: Work) -> Self {
        Self::one_to(match work {
            Work::Carry => 5.0,
            Work::Fleece => 1.5,
            Work::Bed => 6.0,
        })
    }

    /// For a half-hardy or hardy plant that is not hardened yet: a night under its floor sets it back, and frost hurts it. Common practice, no source.
    #[must_use]
    pub const fn soft(work: Work) -> Self {
        Self::one_to(match work {
            Work::Carry => 6.0,
            Work::Fleece => 10.0,
            Work::Bed => 3.0,
        })
    }

    /// For a hardened half-hardy plant, whose floor is a frost that scorches. Common practice, no source.
    #[must_use]
    pub const fn half_hardy(work: Work) -> Self {
        Self::one_to(match work {
            Work::Carry => 12.0,
            Work::Fleece => 4.0,
            Work::Bed => 3.0,
        })
    }

    /// For plants that stand some frost once hardened: under their floor they freeze through. Common practice, no source.
    #[must_use]
    pub const fn hardy(work: Work) -> Self {
        Self::one_to(match work {
            Work::Carry => 12.0,
            Work::Fleece => 4.0,
            Work::Bed => 3.0,
        })
    }

    const fn one_to(harm: f64) -> Self {
        Self { acting: 1.0, harm }
    }

    /// The cost of acting once and of one harmful night.
    ///
    /// # Errors
    /// When either is not finite and above zero.
    pub fn new(acting: f64, harm: f64) -> Result<Self, CostError> {
        let good = |cost: f64| cost.is_finite() && cost > 0.0;
        if good(acting) && good(harm) { Ok(Self { acting, harm }) } else { Err(CostError { acting, harm }) }
    }

    /// What a harmful night costs, in the unit of acting once.
    #[must_use]
    pub fn harm(self) -> f64 {
        self.harm / self.acting
    }

    /// The chance of harm, 0 to 1, from which acting is the cheaper.
    #[must_use]
    pub fn threshold(self) -> f64 {
        (self.acting / self.harm).min(1.0)
    }
}

/// The cheaper course tonight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// Bring in, or cover.
    Act,
    /// Leave where it is.
    Leave,
}

/// Tonight for one plant in one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tonight {
    /// The chance, 0 to 1, that the leaf falls below the working floor.
    pub chance: f64,
    /// The leaf's low as likely undercut as not.
    pub leaf_low: Celsius,
    /// The leaf's low undercut on one such night in ten.
    pub leaf_low_cold: Celsius,
    /// The course of less expected cost.
    pub advice: Advice,
}

/// Weighs tonight: `leaf` is the low of leaves in the place, `floor` the working floor at the present hardening, not the
/// death point.
///
/// Acting is advised when the expected cost of harm reaches the cost of acting (the cost-loss rule, Murphy 1977,
/// Monthly Weather Review 105: 803-816). If a temperature is not a number, harm counts as certain.
#[must_use]
pub fn tonight(leaf: &PlaceLow, floor: Celsius, costs: Costs) -> Tonight {
    let chance = Some(leaf.below(floor)).filter(|chance| !chance.is_nan()).unwrap_or(1.0);
    Tonight {
        chance,
        leaf_low: leaf.quantile(0.5),
        leaf_low_cold: leaf.quantile(0.1),
        advice: if chance >= costs.threshold() { Advice::Act } else { Advice::Leave },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::place_climate::Heat;

    fn leaf(low: f64, sd: f64) -> PlaceLow {
        PlaceLow::new(Celsius(low), &Spread::normal(0.0, sd), &Spread::normal(0.0, 0.0), Heat::Unheated)
    }

    #[test]
    fn tonight_by_the_normal_table() {
        // Leaf low 2.5 with standard deviation 2, floor 0.54: z = -0.98, P = 0.1635 (printed table).
        let night = tonight(&leaf(2.5, 2.0), Celsius(0.54), Costs::tender(Work::Carry));
        assert!((night.chance - 0.1635).abs() < 5e-5);
        assert!((night.leaf_low.0 - 2.5).abs() < 1e-6);
        // The tenth percentile of a standard normal is -1.2816 (printed table).
        assert!((night.leaf_low_cold.0 - (2.5 - 2.0 * 1.2816)).abs() < 1e-3);
    }

    #[test]
    fn acting_is_advised_from_the_cost_loss_ratio() {
        // Murphy 1977: act when the chance reaches cost over loss.
        let costs = Costs::new(1.0, 4.0).unwrap();
        let advice = |chance_z: f64| tonight(&leaf(0.0, 1.0), Celsius(chance_z), costs).advice;
        assert_eq!(advice(-0.66), Advice::Act); // P = 0.2546 (printed table)
        assert_eq!(advice(-0.69), Advice::Leave); // P = 0.2451 (printed table)
        for (acting, harm) in [(0.0, 1.0), (1.0, -1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY)] {
            assert!(Costs::new(acting, harm).is_err());
        }
    }

    #[test]
    fn an_unknown_night_is_never_called_safe() {
        for (low, floor) in [(f64::NAN, 0.0), (4.0, f64::NAN)] {
            let night = tonight(&leaf(low, 1.5), Celsius(floor), Costs::tender(Work::Carry));
            assert_eq!((night.chance.to_bits(), night.advice), (1.0_f64.to_bits(), Advice::Act));
        }
    }

    #[test]
    fn a_frame_at_four_to_five_suits_the_hardy_and_not_the_tender() {
        // Common practice, no source: hardy kinds stand in a frame at lows of 4 to 5 once hardened, lettuce too once
        // hardened; cucurbits, aubergine, tomato and pepper do not.
        let low = 4.5 - leaf_allowance(Sky::Clear, Shelter::Covered);
        let advice = |floor| tonight(&leaf(low, 1.7), Celsius(floor), Costs::tender(Work::Carry)).advice;
        for hardened in [-4.0, -2.0] {
            assert_eq!(advice(hardened), Advice::Leave);
        }
        for tender in [10.0, 8.0, 7.0, 6.0] {
            assert_eq!(advice(tender), Advice::Act);
        }
    }

    #[test]
    fn a_clear_night_in_the_open_is_colder_than_any_other() {
        let clear = leaf_allowance(Sky::Clear, Shelter::Open);
        let coldest_in_ten = clear * (1.0 + 1.2816 * LEAF_SCATTER);
        assert!((4.0..=5.0).contains(&coldest_in_ten), "grass minima, 4 to 5 C under the screen");
        for sky in [Sky::Clear, Sky::Broken, Sky::Overcast] {
            assert!(leaf_allowance(sky, Shelter::Covered) < leaf_allowance(sky, Shelter::Open));
        }
    }

    #[test]
    fn each_sky_has_its_chance() {
        // Swings of 5.56 and 9.06 divide the skies. At 8 give or take 2 their z are -1.22 and 0.53: 0.1112, 0.7019
        // (printed table).
        let off = leaf_off(&Spread::normal(0.0, 1.5), 8.0, 2.0, Shelter::Open);
        let mean = -(0.1112 * 0.5 + (0.7019 - 0.1112) * 1.5 + (1.0 - 0.7019) * 3.0);
        assert!((off.mean() - mean).abs() < 0.01, "{} {mean}", off.mean());
        assert!(off.sd() > 1.5);
        let clear = leaf_off(&Spread::normal(0.0, 1.5), 20.0, 2.0, Shelter::Open);
        assert!((clear.mean() + 3.0).abs() < 1e-6 && (clear.sd() - 1.5_f64.hypot(1.0)).abs() < 1e-3);
        let any = leaf_off(&Spread::normal(0.0, 1.5), f64::NAN, 2.0, Shelter::Open);
        assert!((any.mean() + (0.5 + 1.5 + 3.0) / 3.0).abs() < 1e-3);
    }
}
