//! Cold over days and weeks: the chilling dose that makes a plant bolt, and days of growth checked. Neither is a reason
//! to bring a plant in tonight: see [`super::cold_risk`].

use super::day_range::DayRange;
use crate::quantity::Celsius;

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
        if size.is_nan() || size < rule.from_size {
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

    fn day(low: f64, high: f64) -> DayRange {
        DayRange::new(Celsius(low), Celsius(high)).unwrap()
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
