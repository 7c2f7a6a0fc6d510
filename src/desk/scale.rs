//! Whether a temperature typed without its unit is likely in degrees F: numbers that are a frost in one scale are a warm
//! night in the other. It is asked, not guessed: with a unit any number is taken.

use chrono::Datelike as _;

use crate::journal::{Measured, Place, PlaceKind};
use crate::quantity::{Celsius, Date};
use crate::trade::Trade;

use super::error::DeskError;

/// The warmest night and day out of doors, in degrees C, that is believed month by month, January first, in a temperate
/// climate north of the equator. Common practice, no source.
const WARMEST: [(f64, f64); 12] = [
    (18.0, 26.0),
    (18.0, 26.0),
    (18.0, 28.0),
    (18.0, 32.0),
    (20.0, 38.0),
    (30.0, 45.0),
    (30.0, 45.0),
    (30.0, 45.0),
    (24.0, 40.0),
    (20.0, 32.0),
    (18.0, 26.0),
    (18.0, 26.0),
];
const NIGHT: &str = "a night out of doors is likely to be";
const DAY: &str = "a day out of doors is likely to be";

/// Asks after a forecast that is warm for its month.
pub(super) fn ask_of_forecast(low: Celsius, high: Celsius, day: Date, trade: &Trade) -> Result<(), DeskError> {
    let (night, noon) = warmest(day, trade);
    ask(low, night, NIGHT, day)?;
    ask(high, noon, DAY, day)
}

/// Asks after readings that are warm for their month. A house and what is heated may be as warm as they like, and glass
/// in the sun.
pub(super) fn ask_of_readings(place: &Place, read: &[Measured], on: Date, trade: &Trade) -> Result<(), DeskError> {
    if place.kind.is_indoors() || place.heated_to.is_some() {
        return Ok(());
    }
    let open = matches!(place.kind, PlaceKind::StandingGround | PlaceKind::Plot);
    let (night, noon) = warmest(on, trade);
    for measured in read {
        match measured {
            Measured::Minimum(low) => ask(*low, night, NIGHT, on)?,
            Measured::Soil(soil) => ask(*soil, night, "the ground is likely to be", on)?,
            Measured::Maximum(high) | Measured::Now(high) if open => ask(*high, noon, DAY, on)?,
            Measured::Maximum(_) | Measured::Now(_) | Measured::Compost(_) => {}
        }
    }
    Ok(())
}

fn ask(celsius: Celsius, warmest: f64, what: &'static str, day: Date) -> Result<(), DeskError> {
    if celsius.0 > warmest { Err(DeskError::Scale { celsius, what, day }) } else { Ok(()) }
}

/// South of the equator the year is half a year off; without a latitude in the settings it is taken to be north.
fn warmest(day: Date, trade: &Trade) -> (f64, f64) {
    let south = trade.weather().latitude.is_some_and(|latitude| latitude < 0.0);
    let month = day.month0() as usize + if south { 6 } else { 0 };
    WARMEST.get(month % 12).copied().unwrap_or((30.0, 45.0))
}
