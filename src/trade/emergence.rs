//! How long a crop takes to come up: the published days by soil temperature, and the heat sums fitted to them.
//!
//! Only shoots above the soil count here. Seed germinating on paper is another thing and is not in these tables.

use serde::Deserialize;

use super::TradeError;
use super::figure::{Provenance, Source};
use super::tables::{self, At, Row};
use crate::quantity::Celsius;

/// Days to emergence at one soil temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct EmergencePoint {
    /// The temperature of the soil or compost.
    pub soil: Celsius,
    /// Fewest and most days; `None` when seed was tried at this temperature and none came up.
    pub days: Option<(u16, u16)>,
    /// Who says so.
    pub source: Source,
}

/// Days to emergence as `degree_days / (soil temperature - base)`.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatSum {
    /// The temperature under which nothing moves.
    pub base: Celsius,
    /// Degree-days above the base from sowing to emergence; above 0.
    pub degree_days: f64,
    /// The soil temperatures between which the pair holds, where the source says.
    pub holds: Option<(Celsius, Celsius)>,
    /// Who says so. Base and sum always come from one source.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EmergenceRow {
    crop: String,
    soil_c: f64,
    days: String,
    source: String,
    provenance: Provenance,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HeatRow {
    crop: String,
    base_c: f64,
    degree_days: f64,
    from_c: Option<f64>,
    to_c: Option<f64>,
    source: String,
    provenance: Provenance,
}

impl EmergencePoint {
    pub(super) fn from_row(row: Row<EmergenceRow>) -> Result<(String, Self), TradeError> {
        let Row { at, value } = row;
        let source = tables::source(&at, &value.source, value.provenance)?;
        Ok((value.crop, Self::new(&at, value.soil_c, &value.days, source)?))
    }

    /// Checks one point; `days` is `12`, `7-14` or `none`.
    pub(super) fn new(at: &At, soil_c: f64, days: &str, source: Source) -> Result<Self, TradeError> {
        at.require((-5.0..=50.0).contains(&soil_c), "the soil temperature is outside -5 to 50")?;
        let days = parse_days(days).ok_or_else(|| at.error("days must be written 12, 7-14 or none"))?;
        Ok(Self { soil: Celsius(soil_c), days, source })
    }
}

/// Reads `12`, `7-14` or `none`. The outer `None` is text that is none of these.
fn parse_days(text: &str) -> Option<Option<(u16, u16)>> {
    if text == "none" {
        return Some(None);
    }
    let (low, high) = text.split_once('-').unwrap_or((text, text));
    let (low, high): (u16, u16) = (low.trim().parse().ok()?, high.trim().parse().ok()?);
    (low >= 1 && low <= high && high <= 400).then_some(Some((low, high)))
}

impl HeatSum {
    pub(super) fn from_row(row: Row<HeatRow>) -> Result<(String, Self), TradeError> {
        let Row { at, value } = row;
        let source = tables::source(&at, &value.source, value.provenance)?;
        let holds = value.from_c.zip(value.to_c);
        Ok((value.crop, Self::new(&at, value.base_c, value.degree_days, holds, source)?))
    }

    pub(super) fn new(
        at: &At,
        base_c: f64,
        degree_days: f64,
        holds: Option<(f64, f64)>,
        source: Source,
    ) -> Result<Self, TradeError> {
        at.require((-5.0..=20.0).contains(&base_c), "base_c is outside -5 to 20")?;
        at.require((1.0..=1000.0).contains(&degree_days), "degree_days is outside 1 to 1000")?;
        let ordered = holds.is_none_or(|(from, to)| base_c <= from && from < to && to <= 50.0);
        at.require(ordered, "from_c and to_c are not a range above the base")?;
        let holds = holds.map(|(from, to)| (Celsius(from), Celsius(to)));
        Ok(Self { base: Celsius(base_c), degree_days, holds, source })
    }
}
