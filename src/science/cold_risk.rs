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
    /// kills: one to eight. Common practice, no source.
    pub const CARRY_IN: Self = Self { acting: 1.0, harm: 8.0 };

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
