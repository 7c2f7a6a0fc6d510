//! Three kinds of cold kept apart: tonight's harm, the chilling dose that makes a plant bolt, and growth checked.

use thiserror::Error;

use super::day_range::DayRange;
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
/// Monthly Weather Review 105: 803-816).
#[must_use]
pub fn tonight(air: &PlaceLow, allowance: f64, floor: Celsius, costs: Costs) -> Tonight {
    let leaf = air.cooler_by(allowance);
    let chance = leaf.below(floor);
    Tonight {
        chance,
        leaf_low: leaf.quantile(0.5),
        leaf_low_cold: leaf.quantile(0.1),
        advice: if chance >= costs.threshold() { Advice::Act } else { Advice::Leave },
    }
}

/// When cold makes a kind of plant bolt (or, for artichoke, crop): days below a line, once it is large enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChillingRule {
    /// Hours below this count.
    pub line: Celsius,
    /// Whole days of such hours that do it; a rule of no days is met by the first cold hour.
    pub days: f64,
    /// The size from which the plant responds, in the rule's own measure (leaves, mm of stem); 0 for any size.
    pub from_size: f64,
    /// Warmth that undoes it again in part, if known for the kind.
    pub undone: Option<WarmthUndoes>,
}

/// Warm hours that cancel cold ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WarmthUndoes {
    /// Hours at or above this cancel.
    pub line: Celsius,
    /// Cold days cancelled by one whole warm day.
    pub days_per_day: f64,
}

/// The chilling a plant has had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChillingDose {
    /// Whole days' worth of cold hours, less what warmth has undone.
    pub days: f64,
    /// The share of the rule's days, 0 to 1; at 1 it is done and no later warmth undoes it.
    pub share: f64,
}

/// The chilling dose over days in order, each with the plant's size on that day in the rule's measure.
///
/// Days without readings must be left out by the caller: a missing day is neither cold nor warm. A size that is not a
/// number is below every gate.
#[must_use]
pub fn chilling_dose(rule: &ChillingRule, days: impl IntoIterator<Item = (DayRange, f64)>) -> ChillingDose {
    let mut dose = 0.0_f64;
    let mut done = false;
    for (day, size) in days {
        if done || size.is_nan() || size < rule.from_size {
            continue;
        }
        dose += day.hours_below(rule.line) / 24.0;
        done = dose > 0.0 && dose >= rule.days;
        if let (false, Some(undone)) = (done, rule.undone) {
            let warm = 1.0 - day.hours_below(undone.line) / 24.0;
            dose = (dose - warm * undone.days_per_day.max(0.0)).max(0.0);
        }
    }
    let share = if done { 1.0 } else { (dose / rule.days).clamp(0.0, 1.0) };
    ChillingDose { days: dose, share: if share.is_nan() { 0.0 } else { share } }
}

/// Days' worth of hours, within the days given, spent below the line under which growth checks.
#[must_use]
pub fn checked_days(days: impl IntoIterator<Item = DayRange>, line: Celsius) -> f64 {
    days.into_iter().map(|day| day.hours_below(line) / 24.0).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::place_climate::Heat;
    use crate::science::spread::Spread;

    fn day(low: f64, high: f64) -> DayRange {
        DayRange::new(Celsius(low), Celsius(high)).unwrap()
    }

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

    #[test]
    fn celery_bolts_after_ten_days_under_thirteen() {
        // UK glasshouse trial 1990 and merchants' sheets: ten days or more below 13 C.
        let rule = ChillingRule { line: Celsius(13.0), days: 10.0, from_size: 0.0, undone: None };
        let cold = |days| chilling_dose(&rule, std::iter::repeat_n((day(4.0, 11.0), 3.0), days));
        assert!((cold(6).share - 0.6).abs() < 1e-9);
        assert!((cold(10).share - 1.0).abs() < 1e-9 && (cold(30).share - 1.0).abs() < 1e-9);
        // A day swinging evenly about the line is half a day of chilling.
        let swinging = chilling_dose(&rule, std::iter::repeat_n((day(8.0, 18.0), 3.0), 6));
        assert!((swinging.days - 3.0).abs() < 1e-9);
    }

    #[test]
    fn a_plant_too_small_is_not_chilled() {
        // Juvenile Brassica oleracea does not answer to cold (note in Nature on its juvenile stage).
        let rule = ChillingRule { line: Celsius(10.0), days: 7.0, from_size: 5.0, undone: None };
        let growing = (0..10).map(|leaves| (day(2.0, 8.0), f64::from(leaves)));
        assert!((chilling_dose(&rule, growing).days - 5.0).abs() < 1e-9);
        assert!(chilling_dose(&rule, [(day(2.0, 8.0), f64::NAN)]).days.abs() < 1e-9);
    }

    #[test]
    fn warm_days_undo_chilling_until_it_is_done() {
        // Chinese cabbage: warm days make up for cool nights (raising-temperature study); celery: a hot spell before
        // planting delays bolting (Sachs and Rylski 1980). Once done it is done.
        let undone = Some(WarmthUndoes { line: Celsius(20.0), days_per_day: 1.0 });
        let rule = ChillingRule { line: Celsius(10.0), days: 4.0, from_size: 0.0, undone };
        let spells = |cold, warm| {
            let cold = std::iter::repeat_n((day(2.0, 8.0), 1.0), cold);
            chilling_dose(&rule, cold.chain(std::iter::repeat_n((day(22.0, 30.0), 1.0), warm)))
        };
        assert!((spells(3, 1).days - 2.0).abs() < 1e-9);
        assert!(spells(3, 9).days.abs() < 1e-9);
        assert!((spells(4, 9).share - 1.0).abs() < 1e-9);
    }

    #[test]
    fn absurd_rules_give_a_share() {
        for days in [0.0, -3.0, f64::NAN, f64::INFINITY] {
            let rule = ChillingRule { line: Celsius(10.0), days, from_size: 0.0, undone: None };
            for readings in [0, 3] {
                let dose = chilling_dose(&rule, std::iter::repeat_n((day(2.0, 8.0), 1.0), readings));
                assert!((0.0..=1.0).contains(&dose.share), "{days}");
            }
        }
    }

    #[test]
    fn growth_is_checked_by_the_hours() {
        let days = [day(2.0, 8.0), day(5.0, 15.0), day(12.0, 20.0)];
        assert!((checked_days(days, Celsius(10.0)) - 1.5).abs() < 1e-9);
    }
}
