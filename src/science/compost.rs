//! The temperature of compost in trays, from the air above and the heat below.

use super::day_range::DayRange;
use crate::quantity::Celsius;

/// The share of the air's daily swing that reaches the middle of a tray 4 to 6 cm deep. Common practice, no source.
const SWING: f64 = 0.5;

/// What warms the compost from below. It does not warm the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BottomHeat {
    /// Nothing.
    Off,
    /// A mat or cable without thermostat, holding the compost so many degrees above the air.
    Lift(f64),
    /// A thermostat with its probe in the compost: never below this while it works.
    Held(Celsius),
}

/// The day's range in the compost of a tray standing in air of the range `air`.
///
/// The mean is the air's; the swing is half of it. A lift that is not a number counts as none, and every answer is held
/// within -90 to 100 C.
#[must_use]
pub fn compost_range(air: DayRange, heat: BottomHeat) -> DayRange {
    let half_swing = air.spread() / 2.0 * SWING;
    let (low, high) = (air.mean().0 - half_swing, air.mean().0 + half_swing);
    let (low, high) = match heat {
        BottomHeat::Off => (low, high),
        BottomHeat::Lift(degrees) if degrees.is_nan() => (low, high),
        BottomHeat::Lift(degrees) => (low + degrees, high + degrees),
        // `max` passes over a thermostat that is not a number.
        BottomHeat::Held(at) => (low.max(at.0), high.max(at.0)),
    };
    DayRange::between(low.clamp(-90.0, 100.0), high.clamp(-90.0, 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(low: f64, high: f64) -> DayRange {
        DayRange::new(Celsius(low), Celsius(high)).unwrap()
    }

    #[test]
    fn heat_from_below_warms_the_compost() {
        // Common practice, no source: in a cool room at 12 to 20 a mat of 8 degrees keeps compost at 22 to 26, a
        // propagator set to 21 keeps it at 21, and unheated compost swings less than the air.
        let air = day(12.0, 20.0);
        assert_eq!(compost_range(air, BottomHeat::Off), day(14.0, 18.0));
        assert_eq!(compost_range(air, BottomHeat::Lift(8.0)), day(22.0, 26.0));
        assert_eq!(compost_range(air, BottomHeat::Held(Celsius(21.0))), day(21.0, 21.0));
        assert_eq!(compost_range(day(20.0, 36.0), BottomHeat::Held(Celsius(21.0))), day(24.0, 32.0));
    }

    #[test]
    fn absurd_heat_is_held_in_range() {
        let air = day(12.0, 20.0);
        assert_eq!(compost_range(air, BottomHeat::Lift(f64::NAN)), day(14.0, 18.0));
        assert_eq!(compost_range(air, BottomHeat::Lift(f64::INFINITY)), day(100.0, 100.0));
        assert_eq!(compost_range(air, BottomHeat::Held(Celsius(f64::NAN))), day(14.0, 18.0));
    }
}
