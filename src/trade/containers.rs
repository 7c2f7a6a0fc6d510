//! Containers by their outer size and what they hold.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::TradeError;
use super::figure::{Provenance, Source};
use super::find::folded;
use super::tables::{self, At, Row, Table};
use crate::quantity::{ContainerClass, Millilitres, Millimetres};

/// The name of a container in the table, such as `72-cell`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct ContainerKey(String);

impl ContainerKey {
    /// The key for a name, without regard to case and outer spaces.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self(name.trim().to_lowercase())
    }

    /// The name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for ContainerKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A container as the trade describes it. What no source states is `None`, never guessed: a container without a
/// footprint must be measured before it can be placed, and a volume is never inferred from the number of cells.
#[derive(Clone, Debug, PartialEq)]
pub struct Container {
    pub(super) key: ContainerKey,
    pub(super) aliases: Vec<String>,
    /// What kind of thing it is.
    pub class: ContainerClass,
    /// Outer length, the longer side.
    pub length: Option<Millimetres>,
    /// Outer width.
    pub width: Option<Millimetres>,
    /// Outer height.
    pub height: Option<Millimetres>,
    /// Cells of a cell tray, or pots a carrier is moulded for.
    pub cells: Option<u32>,
    /// Volume of one cell.
    pub cell_volume: Option<Millilitres>,
    /// Volume of a pot or block.
    pub volume: Option<Millilitres>,
    /// Who says so.
    pub source: Source,
}

impl Container {
    pub(super) fn named(key: ContainerKey, source: Source) -> Self {
        Self {
            key,
            aliases: Vec::new(),
            class: ContainerClass::Tray,
            length: None,
            width: None,
            height: None,
            cells: None,
            cell_volume: None,
            volume: None,
            source,
        }
    }

    /// Its name in the table.
    #[must_use]
    pub fn key(&self) -> &ContainerKey {
        &self.key
    }

    /// Other names it goes by.
    #[must_use]
    pub fn aliases(&self) -> &[String] {
        &self.aliases
    }

    /// Outer length and width, when both are known.
    #[must_use]
    pub fn footprint(&self) -> Option<(Millimetres, Millimetres)> {
        self.length.zip(self.width)
    }

    /// What one plant's roots have to themselves: the cell of a cell tray, or the pot.
    #[must_use]
    pub fn root_volume(&self) -> Option<Millilitres> {
        self.cell_volume.or(self.volume)
    }

    /// Checks that what is stated goes together.
    pub(super) fn checked(self, at: &At) -> Result<Self, TradeError> {
        let size = |side: Option<Millimetres>| side.is_none_or(|side| (5..=3000).contains(&side.0));
        at.require(size(self.length) && size(self.width) && size(self.height), "a side is outside 5 mm to 3 m")?;
        at.require(self.length.is_some() == self.width.is_some(), "length and width belong together")?;
        at.require(self.length >= self.width, "the length is the longer side")?;
        at.require(self.cells.is_none_or(|cells| (1..=2000).contains(&cells)), "cells are outside 1 to 2000")?;
        let millilitres = |volume: Option<Millilitres>| volume.is_none_or(|it| (1..=100_000).contains(&it.0));
        at.require(millilitres(self.cell_volume) && millilitres(self.volume), "a volume is outside 1 ml to 100 l")?;
        let celled = matches!(self.class, ContainerClass::CellTray | ContainerClass::Carrier);
        at.require(self.cells.is_none() || celled, "only cell trays and carriers have cells")?;
        at.require(self.class != ContainerClass::CellTray || self.cells.is_some(), "a cell tray needs its cells")?;
        let cell_tray = self.class == ContainerClass::CellTray;
        at.require(self.cell_volume.is_none() || cell_tray, "only cell trays have a cell volume")?;
        at.require(self.volume.is_none() || self.class == ContainerClass::Pot, "only pots have a volume of their own")?;
        Ok(self)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ContainerRow {
    container: String,
    aliases: String,
    class: ContainerClass,
    length_mm: Option<u32>,
    width_mm: Option<u32>,
    height_mm: Option<u32>,
    cells: Option<u32>,
    cell_volume_ml: Option<f64>,
    volume_ml: Option<f64>,
    source: String,
    provenance: Provenance,
}

/// Whole millilitres; sources print tenths, and what is not a volume becomes 0 and is refused by the check.
pub(super) fn whole_millilitres(printed: f64) -> Millilitres {
    Millilitres(printed.round() as u32)
}

/// Reads the container table.
pub(super) fn read(table: Table<'_>) -> Result<BTreeMap<ContainerKey, Container>, TradeError> {
    let mut containers = BTreeMap::new();
    let mut taken = BTreeMap::new();
    for Row { at, value } in tables::rows::<ContainerRow>(table)? {
        let aliases = tables::list(&value.aliases);
        claim_names(&at, &value.container, &aliases, &mut taken)?;
        let container = Container {
            key: ContainerKey::new(&value.container),
            aliases,
            class: value.class,
            length: value.length_mm.map(Millimetres),
            width: value.width_mm.map(Millimetres),
            height: value.height_mm.map(Millimetres),
            cells: value.cells,
            cell_volume: value.cell_volume_ml.map(whole_millilitres),
            volume: value.volume_ml.map(whole_millilitres),
            source: tables::source(&at, &value.source, value.provenance)?,
        };
        containers.insert(container.key.clone(), container.checked(&at)?);
    }
    Ok(containers)
}

/// Checks a thing's names and refuses one that another thing already goes by. `taken` maps each name to its owner.
pub(super) fn claim_names(
    at: &At,
    name: &str,
    aliases: &[String],
    taken: &mut BTreeMap<String, String>,
) -> Result<(), TradeError> {
    for spelling in std::iter::once(name).chain(aliases.iter().map(String::as_str)) {
        tables::checked_name(at, spelling)?;
        let owner = taken.insert(folded(spelling), name.to_owned());
        let repeated = owner.as_deref() == Some(name) && spelling == name;
        if let Some(owner) = owner.filter(|owner| owner != name || repeated) {
            return Err(at.error(format!("'{spelling}' is already a name of {owner}")));
        }
    }
    Ok(())
}
