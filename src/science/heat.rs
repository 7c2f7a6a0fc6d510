//! How hot a shut frame or greenhouse will get by day, and when to let air in.

use super::place_climate::{Lift, LiftError};
use super::spread::Spread;
use crate::quantity::Celsius;

/// Prop the lid from here: keep a frame to about 21 C, automatic openers crack at 22 to 23 (National Gardening
/// Association answer; a grower's opener, both common practice).
pub const VENT_FROM: Celsius = Celsius(21.0);

/// Never above this in a frame: 80 F (common practice).
pub const VENT_CEILING: Celsius = Celsius(27.0);

/// The chance of passing the ceiling from which the lid is taken right back. Common practice, no source.
const WIDE_FROM: f64 = 0.25;

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
    /// The chance, 0 to 1, of passing [`VENT_CEILING`].
    pub chance_too_hot: f64,
    /// What to do about it.
    pub vent: Vent,
}

/// The day's high in a shut place from the forecast high outside, the forecast's error, the place's learnt day lift and
/// how sunny it will be (0 dull to 1 clear).
///
/// # Errors
/// When the sun share is not within 0 to 1.
pub fn shut_day(
    forecast_high: Celsius,
    forecast_error: &Spread,
    day_lift: &Lift,
    sun: f64,
) -> Result<ShutDay, LiftError> {
    let high = forecast_error.plus(&day_lift.predict(sun)?).moved(forecast_high.0);
    let chance_too_hot = 1.0 - high.below(VENT_CEILING.0);
    let middle = high.quantile(0.5);
    let vent = if chance_too_hot >= WIDE_FROM {
        Vent::Wide
    } else if middle >= VENT_FROM.0 {
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
