//! How hot a shut frame or greenhouse will get by day, and when to let air in.

use super::lift::{Lift, LiftError};
use super::spread::Spread;
use crate::quantity::Celsius;

/// What the air of a shut place is kept under.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Prop it open from here.
    pub prop_from: Celsius,
    /// Never above this.
    pub never_above: Celsius,
}

impl Limits {
    /// A cold frame's.
    pub const FRAME: Self = Self { prop_from: VENT_FROM, never_above: VENT_CEILING };
}

/// Prop the lid from here: keep a frame to about 21 C, automatic openers crack at 22 to 23 (National Gardening
/// Association answer; a grower's opener, both common practice).
pub const VENT_FROM: Celsius = Celsius(21.0);

/// Never above this in a frame: 80 F (common practice).
pub const VENT_CEILING: Celsius = Celsius(27.0);

/// The chances of passing the ceiling from which the lid is propped, and from which it is taken right back. Common practice,
/// no source.
const PROP_FROM: f64 = 0.25;
const WIDE_FROM: f64 = 0.5;

/// What to do with the lid or lights by mid-morning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Vent {
    /// Leave shut.
    Shut,
    /// Prop open a little.
    Prop,
    /// Take right back.
    Wide,
}

/// One day ahead in a place left shut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShutDay {
    /// The high as likely passed as not.
    pub high: Celsius,
    /// The high passed on one such day in ten.
    pub high_hot: Celsius,
    /// The chance, 0 to 1, of passing the ceiling.
    pub chance_too_hot: f64,
    /// What to do about it.
    pub vent: Vent,
}

/// The day's high in a shut place from the forecast high outside, the forecast's error, the place's learnt day lift and
/// how sunny it will be (0 dull to 1 clear), against the place's limits. If a temperature is not a number, too hot counts as certain.
///
/// # Errors
/// When the sun share is not within 0 to 1.
pub fn shut_day(
    forecast_high: Celsius,
    forecast_error: &Spread,
    day_lift: &Lift,
    sun: f64,
    limits: Limits,
) -> Result<ShutDay, LiftError> {
    let high = forecast_error.plus(&day_lift.predict(sun)?).moved(forecast_high.0);
    let chance_too_hot = Some(1.0 - high.below(limits.never_above.0)).filter(|chance| !chance.is_nan()).unwrap_or(1.0);
    let middle = high.quantile(0.5);
    let vent = if chance_too_hot >= WIDE_FROM {
        Vent::Wide
    } else if middle >= limits.prop_from.0 || chance_too_hot >= PROP_FROM {
        Vent::Prop
    } else {
        Vent::Shut
    };
    Ok(ShutDay { high: Celsius(middle), high_hot: Celsius(high.quantile(0.9)), chance_too_hot, vent })
}

/// How sunny a day was, 0 dull to 1 clear, from the outside air's swing when nobody noted the sky: the share of the
/// clear-sky transmittance, `1 - exp(-B swing^C)` (Bristow and Campbell 1984, Agricultural and Forest Meteorology 31:
/// 159-166), with B 0.007, midway between their summer and winter figures, and C 2.4 (both from memory).
///
/// A negative swing or one that is not a number counts as none.
#[must_use]
pub fn sun_from_swing(swing: f64) -> f64 {
    1.0 - (-0.007 * swing.max(0.0).powf(2.4)).exp()
}

/// The swing of a day of which a share of sun, under 1, shows: the inverse of [`sun_from_swing`].
#[must_use]
pub fn swing_for_sun(sun: f64) -> f64 {
    (-(1.0 - sun).ln() / 0.007).powf(1.0 / 2.4)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::lift::Belief;

    fn frame() -> Lift {
        Lift::new(Belief { mean: 1.5, sd: 1.0 }, Belief { mean: 15.0, sd: 5.0 }, 3.0).unwrap()
    }

    fn vent(outside: f64, sun: f64) -> ShutDay {
        shut_day(Celsius(outside), &Spread::normal(0.0, 1.5), &frame(), sun, Limits::FRAME).unwrap()
    }

    #[test]
    fn a_shut_frame_is_dull_or_an_oven() {
        // Common practice, no source: a degree or two over outside in dull weather, far over in sun.
        let dull = vent(10.0, 0.0);
        assert!((1.0..=2.0).contains(&(dull.high.0 - 10.0)));
        assert_eq!(dull.vent, Vent::Shut);
        assert_eq!(vent(12.0, 1.0).vent, Vent::Wide);
        // Measured: 17.8 inside at 0 outside in winter sun (a grower's record, 2010).
        let winter = vent(0.0, 1.0);
        assert!(winter.high.0 < 17.8 && 17.8 < winter.high_hot.0);
        assert_eq!(vent(6.0, 1.0).vent, Vent::Prop);
        assert_eq!(vent(f64::NAN, 0.0).vent, Vent::Wide, "an unknown day is never called cool");
    }

    #[test]
    fn a_frame_that_runs_hotter_is_vented_sooner() {
        let mut hot = frame();
        for _ in 0..10 {
            hot.observe(Celsius(36.0), Celsius(12.0), 1.0).unwrap();
        }
        let day = shut_day(Celsius(5.0), &Spread::normal(0.0, 1.5), &hot, 1.0, Limits::FRAME).unwrap();
        assert!(day.high.0 > vent(5.0, 1.0).high.0 + 3.0);
        assert_eq!((vent(5.0, 1.0).vent, day.vent), (Vent::Prop, Vent::Wide));
        assert!(shut_day(Celsius(5.0), &Spread::normal(0.0, 1.5), &hot, 1.5, Limits::FRAME).is_err());
    }

    #[test]
    fn the_sun_shows_in_the_swing() {
        // By hand: 10^2.4 = 251.19, exp(-1.7583) = 0.1723.
        assert!((sun_from_swing(10.0) - 0.8277).abs() < 1e-4);
        assert!(sun_from_swing(0.0).abs() < 1e-12 && sun_from_swing(-4.0).abs() < 1e-12);
        for sun in [0.1, 0.35, 0.75] {
            assert!((sun_from_swing(swing_for_sun(sun)) - sun).abs() < 1e-9);
        }
        assert!(sun_from_swing(f64::NAN).abs() < 1e-12 && (sun_from_swing(f64::INFINITY) - 1.0).abs() < 1e-12);
    }
}
