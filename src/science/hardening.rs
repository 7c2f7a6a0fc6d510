//! How hardened a plant is: a state between soft (0) and fully hardened (1) that cool nights out raise and warm spells
//! lower, and the working floor that goes with it.
//!
//! The lengths are published, the temperatures are common practice without a source. Published lengths disagree: 3 to 6
//! days (New England Vegetable Guidance, UMass and UConn Extension, 2016), 7 to 14 (University of Maryland Extension,
//! 2023), 18 (Which? Gardening trial); the rules below stand between. That hardiness is lost again in a warm spell is
//! from FAO Frost Protection, chapter 4; how fast is practice: a hot week undoes it.

use super::day_range::DayRange;
use crate::quantity::{Celsius, Share};

/// How one class of plants gains and loses hardiness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HardeningRule {
    /// A night at or below this counts fully toward hardening; three degrees above, not at all.
    pub cool_night: Celsius,
    /// A day whose mean is at or above this loses hardiness fully; three degrees below, not at all.
    pub warm_mean: Celsius,
    /// Full days and nights out, cool enough, from soft to hardened.
    pub days_to_harden: f64,
    /// Warm days from hardened to soft.
    pub days_to_lose: f64,
}

impl HardeningRule {
    /// Brassicas, alliums, peas, broad beans.
    pub const HARDY: Self =
        Self { cool_night: Celsius(10.0), warm_mean: Celsius(20.0), days_to_harden: 8.0, days_to_lose: 7.0 };
    /// Lettuce, celery, beetroot, half-hardy flowers.
    pub const HALF_HARDY: Self =
        Self { cool_night: Celsius(11.0), warm_mean: Celsius(20.0), days_to_harden: 10.0, days_to_lose: 7.0 };
    /// Tomato, pepper, cucurbits, beans: hardened warmer than the others (New England Vegetable Guidance, 2016).
    pub const TENDER: Self =
        Self { cool_night: Celsius(14.0), warm_mean: Celsius(23.0), days_to_harden: 12.0, days_to_lose: 7.0 };
}

/// Degrees over which an effect fades in.
const FADE: f64 = 3.0;

/// The state after one more day. `stood` is the day's range where the plant stood; `out` is the share of the day and
/// night it was exposed (1 out all round, about 0.4 out by day and in at night, 0 indoors).
///
/// The state is held within 0 to 1; a share or state that is not a number counts as 0, and a rule's length under half
/// a day as half a day.
#[must_use]
pub fn harden(state: Share, stood: DayRange, out: Share, rule: &HardeningRule) -> Share {
    let cool = fade(rule.cool_night.0 + FADE - stood.low().0);
    let warm = fade(stood.mean().0 - (rule.warm_mean.0 - FADE));
    let gain = unit(out.0) * cool * (1.0 - warm) / rule.days_to_harden.max(0.5);
    let loss = warm / rule.days_to_lose.max(0.5);
    Share(unit(unit(state.0) + gain - loss))
}

/// The lowest temperature the plant should work at tonight: between `unhardened` and `hardened` by its state.
#[must_use]
pub fn working_floor(unhardened: Celsius, hardened: Celsius, state: Share) -> Celsius {
    Celsius(unhardened.0 + unit(state.0) * (hardened.0 - unhardened.0))
}

fn fade(degrees: f64) -> f64 {
    unit(degrees / FADE)
}

/// Held within 0 to 1; what is not a number counts as 0.
fn unit(value: f64) -> f64 {
    if value.is_nan() { 0.0 } else { value.clamp(0.0, 1.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(low: f64, high: f64) -> DayRange {
        DayRange::new(Celsius(low), Celsius(high)).unwrap()
    }

    fn after(days: usize, start: f64, stood: DayRange, out: f64, rule: &HardeningRule) -> f64 {
        (0..days).fold(Share(start), |state, _| harden(state, stood, Share(out), rule)).0
    }

    #[test]
    fn a_week_or_two_out_hardens_each_class() {
        // University of Maryland Extension 2023: 7 to 14 days.
        let cool = day(5.0, 14.0);
        for rule in [HardeningRule::HARDY, HardeningRule::HALF_HARDY, HardeningRule::TENDER] {
            assert!(after(6, 0.0, cool, 1.0, &rule) < 1.0 - 1e-9);
            assert!((after(14, 0.0, cool, 1.0, &rule) - 1.0).abs() < 1e-9);
        }
        // Common practice, no source: tomatoes harden in May nights of 10 to 12 that leave a cabbage less hardened.
        let may = day(12.0, 18.0);
        assert!(after(10, 0.0, may, 1.0, &HardeningRule::TENDER) > after(10, 0.0, may, 1.0, &HardeningRule::HARDY));
    }

    #[test]
    fn a_plant_in_at_night_hardens_slower_and_one_indoors_not_at_all() {
        let rule = HardeningRule::HARDY;
        assert!(after(5, 0.0, day(5.0, 14.0), 0.4, &rule) < after(5, 0.0, day(5.0, 14.0), 1.0, &rule));
        assert!(after(30, 0.0, day(5.0, 14.0), 0.0, &rule).abs() < 1e-9);
        assert!(after(30, 0.0, day(17.0, 21.0), 1.0, &rule).abs() < 1e-9);
    }

    #[test]
    fn a_hot_week_undoes_it() {
        // FAO Frost Protection, chapter 4: hardiness is lost again after a warm spell.
        let rule = HardeningRule::HARDY;
        assert!(after(7, 1.0, day(14.0, 28.0), 1.0, &rule).abs() < 1e-9);
        let hot_by_day_cool_by_night = day(8.0, 36.0);
        assert!(after(7, 1.0, hot_by_day_cool_by_night, 1.0, &rule).abs() < 1e-9);
        assert!((0.2..0.8).contains(&after(3, 1.0, day(14.0, 28.0), 1.0, &rule)));
        assert!((after(30, 1.0, day(9.0, 17.0), 1.0, &rule) - 1.0).abs() < 1e-9, "mild weather keeps it");
    }

    #[test]
    fn the_floor_goes_down_as_the_plant_hardens() {
        for (state, floor) in [(0.0, 0.0), (0.5, -2.0), (1.0, -4.0), (7.0, -4.0), (-1.0, 0.0), (f64::NAN, 0.0)] {
            let got = working_floor(Celsius(0.0), Celsius(-4.0), Share(state));
            assert!((got.0 - floor).abs() < 1e-9, "{state}");
        }
    }

    #[test]
    fn absurd_input_keeps_the_state_a_share() {
        for days in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            let rule = HardeningRule { days_to_harden: days, days_to_lose: days, ..HardeningRule::HARDY };
            for state in [f64::NAN, -2.0, 0.5, f64::INFINITY] {
                for stood in [day(-90.0, 5.0), day(20.0, 100.0)] {
                    assert!((0.0..=1.0).contains(&harden(Share(state), stood, Share(f64::NAN), &rule).0));
                    assert!((0.0..=1.0).contains(&harden(Share(state), stood, Share(9.0), &rule).0));
                }
            }
        }
    }
}
