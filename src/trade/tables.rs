//! Reading the tables: every row keeps the file and line it stands on, so that a bad one can be named.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::de::DeserializeOwned;

use super::TradeError;
use super::crops::{Crop, CropKey};
use super::figure::{Provenance, Source};

/// One table: its file name for messages, and its text.
#[derive(Clone, Copy)]
pub(super) struct Table<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
}

/// The tables a [`super::Trade`] is made of.
#[derive(Clone, Copy)]
pub(super) struct Tables<'a> {
    pub(super) crops: Table<'a>,
    pub(super) facts: Table<'a>,
    pub(super) emergence: Table<'a>,
    pub(super) heat_sums: Table<'a>,
    pub(super) bolting: Table<'a>,
    pub(super) cell_weeks: Table<'a>,
    pub(super) containers: Table<'a>,
    pub(super) lookalikes: Table<'a>,
    pub(super) microclimate: Table<'a>,
    pub(super) hardening: Table<'a>,
    pub(super) cautions: Table<'a>,
    pub(super) losses: Table<'a>,
}

macro_rules! asset {
    ($name:literal) => {
        Table { file: concat!("assets/", $name), text: include_str!(concat!("../../assets/", $name)) }
    };
}

impl Tables<'static> {
    pub(super) const BUILT_IN: Self = Self {
        crops: asset!("crops.csv"),
        facts: asset!("crop_facts.csv"),
        emergence: asset!("emergence.csv"),
        heat_sums: asset!("heat_sums.csv"),
        bolting: asset!("bolting.csv"),
        cell_weeks: asset!("cell_weeks.csv"),
        containers: asset!("containers.csv"),
        lookalikes: asset!("lookalikes.csv"),
        microclimate: asset!("microclimate.csv"),
        hardening: asset!("hardening.csv"),
        cautions: asset!("cautions.csv"),
        losses: asset!("losses.csv"),
    };
}

/// A place in a file.
#[derive(Clone, Debug)]
pub(super) struct At {
    pub(super) file: Arc<str>,
    pub(super) line: u64,
}

impl At {
    pub(super) fn error(&self, reason: impl Into<String>) -> TradeError {
        // A grower's own file may have come from anywhere, and its words are quoted.
        let reason = crate::quantity::message_shown(&reason.into());
        TradeError { file: self.file.to_string(), line: self.line, reason }
    }

    pub(super) fn require(&self, holds: bool, reason: &str) -> Result<(), TradeError> {
        if holds { Ok(()) } else { Err(self.error(reason)) }
    }
}

/// One row and where it stands.
pub(super) struct Row<T> {
    pub(super) at: At,
    pub(super) value: T,
}

/// Reads every row of a table.
pub(super) fn rows<T: DeserializeOwned>(table: Table<'_>) -> Result<Vec<Row<T>>, TradeError> {
    let file: Arc<str> = table.file.into();
    let failed = |line: u64, error: csv::Error| At { file: file.clone(), line }.error(plain(&error));
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(table.text.as_bytes());
    let headers = reader.headers().map_err(|error| failed(1, error))?.clone();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| failed(error.position().map_or(1, csv::Position::line), error))?;
        let line = record.position().map_or(1, csv::Position::line);
        let value = record.deserialize(Some(&headers)).map_err(|error| failed(line, error))?;
        rows.push(Row { at: At { file: file.clone(), line }, value });
    }
    Ok(rows)
}

/// The reason without the position, which the error already carries.
fn plain(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::Deserialize { err, .. } => err.to_string(),
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("{len} columns where the table has {expected_len}")
        }
        _ => error.to_string(),
    }
}

/// A source, which may not be empty.
pub(super) fn source(at: &At, citation: &str, provenance: Provenance) -> Result<Source, TradeError> {
    at.require(!citation.trim().is_empty(), "the source is missing")?;
    Ok(Source { citation: citation.trim().into(), provenance })
}

/// A name or alias, which must be short, plain text in lower case.
pub(super) fn checked_name(at: &At, name: &str) -> Result<(), TradeError> {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '.' | '\'');
    let usable = !name.trim().is_empty() && name.chars().count() <= 40 && name.chars().all(plain);
    at.require(name.trim() != "unknown", "'unknown' is kept for batches whose label was lost")?;
    at.require(usable, "a name is 1 to 40 letters, digits, spaces, points and hyphens")
}

/// The parts of a `;`-separated cell.
pub(super) fn list(cell: &str) -> Vec<String> {
    cell.split(';').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// The crops of a `;`-separated cell, each of which must be in the crop table.
pub(super) fn crop_keys(at: &At, cell: &str, crops: &BTreeMap<CropKey, Crop>) -> Result<Vec<CropKey>, TradeError> {
    let keys = list(cell).into_iter().map(|name| {
        let key = CropKey::new(&name);
        if crops.contains_key(&key) { Ok(key) } else { Err(at.error(format!("no crop '{name}' in the crop table"))) }
    });
    keys.collect()
}
