//! Reading the crop table and the tables that hang on it.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;

use super::TradeError;
use super::cold::{BoltingDose, BoltingRow};
use super::containers::claim_names;
use super::crops::{CellWeeks, Crop, CropKey};
use super::emergence::{EmergencePoint, EmergenceRow, HeatRow, HeatSum};
use super::facts::{Fact, Kind};
use super::figure::{Provenance, Said, Source};
use super::tables::{self, At, Row, Tables};
use crate::quantity::{Millilitres, SownUnit};

/// Checks one value of a fact.
pub(super) fn said(
    at: &At,
    fact: Fact,
    range: Option<(f64, f64)>,
    word: Option<&str>,
    source: Source,
) -> Result<Said, TradeError> {
    match (fact.kind(), range, word) {
        (Kind::Number(least, most), Some((low, high)), None) => {
            let within = least <= low && low <= high && high <= most;
            at.require(within, &format!("{fact} must be a number or a range from {least} to {most}, lowest first"))?;
        }
        (Kind::Word(words), None, Some(word)) => {
            at.require(words.contains(&word), &format!("{fact} must be one of {}", words.join(", ")))?;
        }
        (Kind::Number(..), ..) => return Err(at.error(format!("{fact} is a number or a range of two"))),
        (Kind::Word(words), ..) => return Err(at.error(format!("{fact} is one of the words {}", words.join(", ")))),
    }
    Ok(Said { range, word: word.map(Arc::from), source })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CropRow {
    crop: String,
    latin: String,
    aliases: String,
    unit: SownUnit,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FactRow {
    crop: String,
    fact: String,
    low: Option<f64>,
    high: Option<f64>,
    text: Option<String>,
    source: String,
    provenance: Provenance,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CellWeeksRow {
    crop: String,
    cells: String,
    volume_ml: Option<u32>,
    weeks_low: f64,
    weeks_high: f64,
    source: String,
    provenance: Provenance,
}

/// Reads the crops and everything that hangs on them.
pub(super) fn read(tables: &Tables<'_>) -> Result<BTreeMap<CropKey, Crop>, TradeError> {
    let mut crops = BTreeMap::new();
    let mut taken = BTreeMap::new();
    for Row { at, value } in tables::rows::<CropRow>(tables.crops)? {
        let mut crop = Crop::named(CropKey::new(&value.crop));
        crop.aliases = tables::list(&value.aliases);
        claim_names(&at, &value.crop, &crop.aliases, &mut taken)?;
        at.require(!value.latin.is_empty(), "the botanical name is missing")?;
        crop.latin = value.latin;
        crop.unit = value.unit;
        crops.insert(crop.key.clone(), crop);
    }
    read_facts(tables, &mut crops)?;
    for row in tables::rows::<EmergenceRow>(tables.emergence)? {
        let at = row.at.clone();
        let (name, point) = EmergencePoint::from_row(row)?;
        known(&mut crops, &at, &name)?.emergence.push(point);
    }
    for row in tables::rows::<HeatRow>(tables.heat_sums)? {
        let at = row.at.clone();
        let (name, sum) = HeatSum::from_row(row)?;
        let crop = known(&mut crops, &at, &name)?;
        at.require(crop.heat_sum.is_none(), "a crop has one heat sum, so that no two sources mix")?;
        crop.heat_sum = Some(sum);
    }
    for row in tables::rows::<BoltingRow>(tables.bolting)? {
        let at = row.at.clone();
        let (name, dose) = BoltingDose::from_row(row)?;
        known(&mut crops, &at, &name)?.bolting.push(dose);
    }
    for Row { at, value } in tables::rows::<CellWeeksRow>(tables.cell_weeks)? {
        let weeks = cell_weeks(&at, &value)?;
        known(&mut crops, &at, &value.crop)?.cell_weeks.push(weeks);
    }
    for crop in crops.values_mut() {
        crop.emergence.sort_by(|a, b| a.soil.0.total_cmp(&b.soil.0));
    }
    Ok(crops)
}

fn read_facts(tables: &Tables<'_>, crops: &mut BTreeMap<CropKey, Crop>) -> Result<(), TradeError> {
    for Row { at, value } in tables::rows::<FactRow>(tables.facts)? {
        let fact = Fact::named(&value.fact).ok_or_else(|| at.error(format!("no fact '{}'", value.fact)))?;
        let source = tables::source(&at, &value.source, value.provenance)?;
        let said = said(&at, fact, value.low.zip(value.high), value.text.as_deref(), source)?;
        known(crops, &at, &value.crop)?.facts.entry(fact).or_default().push(said);
    }
    Ok(())
}

fn cell_weeks(at: &At, row: &CellWeeksRow) -> Result<CellWeeks, TradeError> {
    let cells: Result<Vec<u32>, _> = tables::list(&row.cells).iter().map(|count| count.parse()).collect();
    let cells = cells.map_err(|_| at.error("cells are whole numbers with ; between them"))?;
    let within = 0.5 <= row.weeks_low && row.weeks_low <= row.weeks_high && row.weeks_high <= 60.0;
    at.require(within, "the weeks are not a range from 0.5 to 60")?;
    let source = tables::source(at, &row.source, row.provenance)?;
    Ok(CellWeeks { cells, volume: row.volume_ml.map(Millilitres), weeks: (row.weeks_low, row.weeks_high), source })
}

fn known<'a>(crops: &'a mut BTreeMap<CropKey, Crop>, at: &At, name: &str) -> Result<&'a mut Crop, TradeError> {
    crops.get_mut(&CropKey::new(name)).ok_or_else(|| at.error(format!("no crop '{name}' in the crop table")))
}
