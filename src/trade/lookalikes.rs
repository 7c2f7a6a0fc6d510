//! Seedlings that are mistaken for each other, and when they can be told apart.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::TradeError;
use super::crops::{Crop, CropKey};
use super::figure::{Provenance, Source};
use super::tables::{self, Row, Table, crop_keys};

/// When two kinds of seedling can be told apart, from the earliest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ToldApart {
    /// By the seed leaves.
    SeedLeaf,
    /// By the first true leaf.
    FirstTrueLeaf,
    /// Later than that.
    Later,
    /// Not before they are grown; only the label tells.
    Never,
}

/// What is known of telling some crops apart.
#[derive(Clone, Debug, PartialEq)]
pub struct LookAlike {
    crops: Vec<CropKey>,
    against: Vec<CropKey>,
    /// When.
    pub told_apart: ToldApart,
    /// By what.
    pub how: String,
    /// Who says so.
    pub source: Source,
}

impl LookAlike {
    /// Whether this row is about these two. A row with two sides sets each crop of one against each of the other; a
    /// row with one side sets its crops against each other, and a row of one crop is about its varieties.
    fn is_about(&self, one: &CropKey, other: &CropKey) -> bool {
        if self.against.is_empty() {
            let both = self.crops.contains(one) && self.crops.contains(other);
            return both && (one != other || self.crops.len() == 1);
        }
        let sides = |a, b| self.crops.contains(a) && self.against.contains(b);
        sides(one, other) || sides(other, one)
    }

    fn breadth(&self) -> usize {
        self.crops.len() * self.against.len().max(self.crops.len())
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LookAlikeRow {
    crops: String,
    against: String,
    told_apart: ToldApart,
    how: String,
    source: String,
    provenance: Provenance,
}

pub(super) fn read(table: Table<'_>, crops: &BTreeMap<CropKey, Crop>) -> Result<Vec<LookAlike>, TradeError> {
    let mut rows = Vec::new();
    for Row { at, value } in tables::rows::<LookAlikeRow>(table)? {
        let source = tables::source(&at, &value.source, value.provenance)?;
        let (one, against) = (crop_keys(&at, &value.crops, crops)?, crop_keys(&at, &value.against, crops)?);
        at.require(!one.is_empty(), "no crop is named")?;
        at.require(!value.how.is_empty(), "it does not say how they are told apart")?;
        rows.push(LookAlike { crops: one, against, told_apart: value.told_apart, how: value.how, source });
    }
    Ok(rows)
}

/// The row that speaks most closely of these two.
pub(super) fn closest<'a>(rows: &'a [LookAlike], one: &CropKey, other: &CropKey) -> Option<&'a LookAlike> {
    rows.iter().filter(|row| row.is_about(one, other)).min_by_key(|row| row.breadth())
}
