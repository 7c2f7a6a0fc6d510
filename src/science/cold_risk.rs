//! Tonight's cold: the chance that a leaf falls below its working floor, and whether to act on it.
//!
//! The chilling that makes a plant bolt and growth checked by cold are other things: see [`super::chilling`].

use thiserror::Error;

use super::place_climate::PlaceLow;
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

/// Degrees by which leaves fall below the air figure at night.
///
/// In the open on a clear still night grass is 4 to 5 C colder than the screen (UK practice of grass and screen
/// minima), hence 4.5. Under glass leaves may be 2.8 C colder than the air (weak source, a greenhouse text at second
/// hand); 1.5 is used, as practice. Cloud figures are common practice, no source.
#[must_use]
pub fn leaf_allowance(sky: Sky, shelter: Shelter) -> f64 {
    match (shelter, sky) {
        (Shelter::Open, Sky::Clear) => 4.5,
        (Shelter::Open, Sky::Broken) => 2.0,
        (Shelter::Open, Sky::Overcast) => 0.5,
        (Shelter::Covered, Sky::Clear) => 1.5,
        (Shelter::Covered, Sky::Broken) => 0.7,
        (Shelter::Covered, Sky::Overcast) => 0.0,
    }
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

/// What acting costs against what a harmful night costs, in the same unit (minutes of work, say).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Costs {
    acting: f64,
    harm: f64,
}

impl Costs {
    /// Carrying a tray in and out again against a night below the working floor, which sets plants back and sometimes
    /// kills: one to twelve. Common practice, no source.
    pub const CARRY_IN: Self = Self { acting: 1.0, harm: 12.0 };
    /// The same for plants that stand some frost once hardened: under their floor they freeze through, one to thirty.
    /// Common practice, no source.
    pub const HARDY: Self = Self { acting: 1.0, harm: 30.0 };

    /// The cost of acting once and of one harmful night.
    ///
    /// # Errors
    /// When either is not finite and above zero.
    pub fn new(acting: f64, harm: f64) -> Result<Self, CostError> {
        let good = |cost: f64| cost.is_finite() && cost > 0.0;
        if good(acting) && good(harm) { Ok(Self { acting, harm }) } else { Err(CostError { acting, harm }) }
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

/// Weighs tonight: `air` is the place's low, `allowance` the degrees by which a leaf falls below it
/// ([`leaf_allowance`]), `floor` the working floor at the present hardening, not the death point.
///
/// Acting is advised when the expected cost of harm reaches the cost of acting (the cost-loss rule, Murphy 1977,
/// Monthly Weather Review 105: 803-816). If a temperature is not a number, harm counts as certain.
#[must_use]
pub fn tonight(air: &PlaceLow, allowance: f64, floor: Celsius, costs: Costs) -> Tonight {
    let leaf = air.cooler_by(allowance);
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
    use crate::science::spread::Spread;

    fn air(low: f64, sd: f64) -> PlaceLow {
        PlaceLow::new(Celsius(low), &Spread::normal(0.0, sd), &Spread::normal(0.0, 0.0), Heat::Unheated)
    }

    #[test]
    fn tonight_by_the_normal_table() {
        // Air low 4 with standard deviation 2, leaf 1.5 below it, floor 0.54: z = -0.98, P = 0.1635 (printed table).
        let night = tonight(&air(4.0, 2.0), 1.5, Celsius(0.54), Costs::CARRY_IN);
        assert!((night.chance - 0.1635).abs() < 5e-5);
        assert!((night.leaf_low.0 - 2.5).abs() < 1e-9);
        // The tenth percentile of a standard normal is -1.2816 (printed table).
        assert!((night.leaf_low_cold.0 - (2.5 - 2.0 * 1.2816)).abs() < 1e-3);
    }

    #[test]
    fn acting_is_advised_from_the_cost_loss_ratio() {
        // Murphy 1977: act when the chance reaches cost over loss.
        let costs = Costs::new(1.0, 4.0).unwrap();
        let advice = |chance_z: f64| tonight(&air(0.0, 1.0), 0.0, Celsius(chance_z), costs).advice;
        assert_eq!(advice(-0.66), Advice::Act); // P = 0.2546 (printed table)
        assert_eq!(advice(-0.69), Advice::Leave); // P = 0.2451 (printed table)
        for (acting, harm) in [(0.0, 1.0), (1.0, -1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY)] {
            assert!(Costs::new(acting, harm).is_err());
        }
    }

    #[test]
    fn an_unknown_night_is_never_called_safe() {
        for (low, floor) in [(f64::NAN, 0.0), (4.0, f64::NAN)] {
            let night = tonight(&air(low, 1.5), 1.5, Celsius(floor), Costs::CARRY_IN);
            assert_eq!((night.chance.to_bits(), night.advice), (1.0_f64.to_bits(), Advice::Act));
        }
    }

    #[test]
    fn a_frame_at_four_to_five_suits_the_hardy_and_not_the_tender() {
        // Common practice, no source: hardy kinds stand in a frame at lows of 4 to 5 once hardened, lettuce too once
        // hardened; cucurbits, aubergine, tomato and pepper do not.
        let advice = |floor| {
            tonight(&air(4.5, 1.7), leaf_allowance(Sky::Clear, Shelter::Covered), Celsius(floor), Costs::CARRY_IN)
                .advice
        };
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
        assert!((4.0..=5.0).contains(&clear), "grass minima, 4 to 5 C under the screen");
        for sky in [Sky::Clear, Sky::Broken, Sky::Overcast] {
            assert!(leaf_allowance(sky, Shelter::Covered) < leaf_allowance(sky, Shelter::Open));
        }
    }
}
