//! Cold that makes a crop bolt: a dose, not a limit for one night.

use serde::Deserialize;

use super::TradeError;
use super::figure::{Provenance, Source};
use super::tables::{self, Row};
use crate::quantity::Celsius;

/// What a dose of cold does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ColdEffect {
    /// The plant runs to seed.
    Bolts,
    /// The plant makes a thumb-sized head too early.
    Buttons,
    /// The cold is wanted: it brings heads in the first year.
    Wanted,
}

/// Cold over days, on a plant of some size, that changes what the plant becomes.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltingDose {
    /// What it does.
    pub effect: ColdEffect,
    /// A day counts when its mean lies under this.
    pub below: Celsius,
    /// Fewest and most days that do it.
    pub days: (u16, u16),
    /// The plant answers to cold from this many true leaves; `Some(0)` is any size, `None` is not stated.
    pub min_leaves: Option<u16>,
    /// The size in the source's own terms; may be empty.
    pub size: String,
    /// Who says so.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BoltingRow {
    pub(super) crop: String,
    effect: ColdEffect,
    below_c: f64,
    days_low: u16,
    days_high: u16,
    min_leaves: Option<u16>,
    size: String,
    source: String,
    provenance: Provenance,
}

impl BoltingDose {
    pub(super) fn from_row(row: Row<BoltingRow>) -> Result<(String, Self), TradeError> {
        let at = row.at;
        let row = row.value;
        at.require((-5.0..=25.0).contains(&row.below_c), "below_c is outside -5 to 25")?;
        at.require((1..=200).contains(&row.days_low) && row.days_low <= row.days_high, "the days are not a range")?;
        let source = tables::source(&at, &row.source, row.provenance)?;
        let dose = Self {
            effect: row.effect,
            below: Celsius(row.below_c),
            days: (row.days_low, row.days_high),
            min_leaves: row.min_leaves,
            size: row.size,
            source,
        };
        Ok((row.crop, dose))
    }
}
