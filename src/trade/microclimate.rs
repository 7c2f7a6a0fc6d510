//! How much warmer or colder it is under cover than the weather outside.

use serde::Deserialize;

use super::TradeError;
use super::figure::{Figure, Provenance};
use super::tables::{self, At, Row, Table};
use crate::quantity::Celsius;

/// A kind of cover whose climate follows the weather.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Structure {
    /// A glazed frame with a lid, unheated.
    ColdFrame,
    /// A polythene tunnel, unheated.
    Tunnel,
    /// A glass house, unheated.
    Greenhouse,
    /// A cloche or low tunnel.
    Cloche,
    /// Fleece or floating cover.
    Fleece,
    /// No cover.
    OpenGround,
}

/// What a figure of the microclimate is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Setting {
    /// Lift of the night's minimum over the screen outside, C.
    Night,
    /// The same on a clear still night; may be negative.
    ClearNight,
    /// The same with the cover on.
    CoveredNight,
    /// Lift of the day's maximum in dull weather, C.
    DullDay,
    /// Lift of the day's maximum in sun, shut, C.
    SunnyDay,
    /// Leaf or grass against the air on a clear still night, C.
    LeafClearNight,
    /// Temperature inside at which to ventilate, C.
    VentilateAt,
    /// Temperature inside that must not be passed, C.
    NeverAbove,
    /// Temperature outside above which to open on a sunny day, C.
    OpenWhenOutside,
}

/// One figure of the microclimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Microclimate {
    /// Under what.
    pub structure: Structure,
    /// About what.
    pub setting: Setting,
    /// Degrees: a difference for lifts, a temperature for the three limits.
    pub figure: Figure<Celsius>,
    /// Under what conditions it was found; may be empty.
    pub conditions: String,
}

impl Microclimate {
    pub(super) fn checked(self, at: &At) -> Result<Self, TradeError> {
        let (low, high) = (self.figure.low.0, self.figure.high.0);
        let range = -20.0 <= low && low <= high && high <= 50.0;
        at.require(range, "the degrees are not a range from -20 to 50, lowest first")?;
        Ok(self)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MicroclimateRow {
    structure: Structure,
    setting: Setting,
    low_c: f64,
    high_c: f64,
    conditions: String,
    source: String,
    provenance: Provenance,
}

pub(super) fn read(table: Table<'_>) -> Result<Vec<Microclimate>, TradeError> {
    let mut rows = Vec::new();
    for Row { at, value } in tables::rows::<MicroclimateRow>(table)? {
        let source = tables::source(&at, &value.source, value.provenance)?;
        let figure = Figure { low: Celsius(value.low_c), high: Celsius(value.high_c), source };
        let (structure, setting, conditions) = (value.structure, value.setting, value.conditions);
        rows.push(Microclimate { structure, setting, figure, conditions }.checked(&at)?);
    }
    Ok(rows)
}
