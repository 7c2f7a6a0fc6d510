//! Crops and what is known of each.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;

use super::cold::BoltingDose;
use super::emergence::{EmergencePoint, HeatSum};
use super::facts::{Bury, Fact, Hardiness, LightNeed, PlantOutPlace, Raising, Transplanting};
use super::figure::{Figure, Said, Source, Stated};
use crate::quantity::{Celsius, Millilitres, Millimetres, Share, SownUnit};

/// The name of a crop in the table, such as `sweet pepper`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct CropKey(String);

impl CropKey {
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

impl fmt::Display for CropKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Weeks from sowing that a crop stays in a cell before it is ready to leave.
#[derive(Clone, Debug, PartialEq)]
pub struct CellWeeks {
    /// The counts of cell tray the source names; empty when it names none.
    pub cells: Vec<u32>,
    /// The volume of cell the source names.
    pub volume: Option<Millilitres>,
    /// Fewest and most weeks.
    pub weeks: (f64, f64),
    /// Who says so.
    pub source: Source,
}

/// A crop: its names, and what the trade says of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    pub(super) key: CropKey,
    pub(super) latin: String,
    pub(super) aliases: Vec<String>,
    pub(super) unit: SownUnit,
    pub(super) facts: BTreeMap<Fact, Vec<Said>>,
    pub(super) emergence: Vec<EmergencePoint>,
    pub(super) heat_sum: Option<HeatSum>,
    pub(super) bolting: Vec<BoltingDose>,
    pub(super) cell_weeks: Vec<CellWeeks>,
}

impl Crop {
    pub(super) fn named(key: CropKey) -> Self {
        Self {
            key,
            latin: String::new(),
            aliases: Vec::new(),
            unit: SownUnit::Seed,
            facts: BTreeMap::new(),
            emergence: Vec::new(),
            heat_sum: None,
            bolting: Vec::new(),
            cell_weeks: Vec::new(),
        }
    }

    /// Its name in the table.
    #[must_use]
    pub fn key(&self) -> &CropKey {
        &self.key
    }

    /// Its botanical name; empty for a crop a grower added without one.
    #[must_use]
    pub fn latin(&self) -> &str {
        &self.latin
    }

    /// Other names it goes by.
    #[must_use]
    pub fn aliases(&self) -> &[String] {
        &self.aliases
    }

    /// What one sown unit of it is.
    #[must_use]
    pub fn unit(&self) -> SownUnit {
        self.unit
    }

    /// All that is said of one fact: the working row first, other sources after it. Empty when nothing is known.
    #[must_use]
    pub fn said(&self, fact: Fact) -> &[Said] {
        self.facts.get(&fact).map_or(&[], Vec::as_slice)
    }

    /// Days to emergence by soil temperature, coldest first. May be empty.
    #[must_use]
    pub fn emergence(&self) -> &[EmergencePoint] {
        &self.emergence
    }

    /// The heat sum to emergence, where one source gives both base and sum.
    #[must_use]
    pub fn heat_sum(&self) -> Option<&HeatSum> {
        self.heat_sum.as_ref()
    }

    /// The doses of cold that make it bolt, button or head. Empty for most crops.
    #[must_use]
    pub fn bolting(&self) -> &[BoltingDose] {
        &self.bolting
    }

    /// All that is said of its weeks in a cell.
    #[must_use]
    pub fn all_cell_weeks(&self) -> &[CellWeeks] {
        &self.cell_weeks
    }

    /// Weeks from sowing it stays in a cell: the row for a tray of `cells` if a source names that count, else the
    /// row for any cell, else the first row there is.
    #[must_use]
    pub fn cell_weeks(&self, cells: Option<u32>) -> Option<&CellWeeks> {
        let named = self.cell_weeks.iter().find(|row| cells.is_some_and(|cells| row.cells.contains(&cells)));
        let any = || self.cell_weeks.iter().find(|row| row.cells.is_empty());
        named.or_else(any).or(self.cell_weeks.first())
    }

    /// Least germination the law allows in seed for sale.
    #[must_use]
    pub fn legal_germination(&self) -> Option<Figure<Share>> {
        self.figure(Fact::LegalGermination, |per_cent| Share(per_cent / 100.0))
    }

    /// Years seed keeps in favourable storage.
    #[must_use]
    pub fn longevity_years(&self) -> Option<Figure<f64>> {
        self.figure(Fact::LongevityYears, f64::from)
    }

    /// Days to the first and the final count of the official laboratory test, in good warmth: the handbook's answer
    /// to how long to wait.
    #[must_use]
    pub fn laboratory_days(&self) -> Option<Figure<u32>> {
        self.figure(Fact::LaboratoryDays, whole)
    }

    /// Soil temperature under which seed does not come up.
    #[must_use]
    pub fn germination_minimum(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::GermMinC, Celsius)
    }

    /// Soil temperatures at which seed comes up well.
    #[must_use]
    pub fn germination_optimum(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::GermOptC, Celsius)
    }

    /// Soil temperature above which seed does not come up.
    #[must_use]
    pub fn germination_maximum(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::GermMaxC, Celsius)
    }

    /// Days to the ninth tenth of what emerges over days to the first tenth: above 1, and 2 is a slow, ragged crop.
    #[must_use]
    pub fn emergence_spread(&self) -> Option<Figure<f64>> {
        self.figure(Fact::EmergenceSpread, f64::from)
    }

    /// Days in a tray of compost over the days the published table gives, where growers find it slow.
    #[must_use]
    pub fn tray_factor(&self) -> Option<Figure<f64>> {
        self.figure(Fact::TrayFactor, f64::from)
    }

    /// Depth of sowing; 0 is on the surface.
    #[must_use]
    pub fn depth(&self) -> Option<Figure<Millimetres>> {
        self.figure(Fact::DepthMm, millimetres)
    }

    /// Whether seed wants light.
    #[must_use]
    pub fn light(&self) -> Option<Stated<LightNeed>> {
        self.stated(Fact::Light, LightNeed::from_word)
    }

    /// How young plants are raised.
    #[must_use]
    pub fn raising(&self) -> Option<Stated<Raising>> {
        self.stated(Fact::Raising, Raising::from_word)
    }

    /// True leaves at which a shared tray is pricked out.
    #[must_use]
    pub fn prick_out_leaves(&self) -> Option<Figure<u32>> {
        self.figure(Fact::PrickOutLeaves, whole)
    }

    /// Days from emergence to pricking out.
    #[must_use]
    pub fn prick_out_days(&self) -> Option<Figure<u32>> {
        self.figure(Fact::PrickOutDays, whole)
    }

    /// Width of the cell or pot pricked out into.
    #[must_use]
    pub fn prick_out_container(&self) -> Option<Figure<Millimetres>> {
        self.figure(Fact::PrickOutContainerMm, millimetres)
    }

    /// Days from emergence to potting on; none for crops that go out from the cell.
    #[must_use]
    pub fn pot_on_days(&self) -> Option<Figure<u32>> {
        self.figure(Fact::PotOnDays, whole)
    }

    /// Width of the pot potted on into.
    #[must_use]
    pub fn pot_on_container(&self) -> Option<Figure<Millimetres>> {
        self.figure(Fact::PotOnContainerMm, millimetres)
    }

    /// Volume of cell the crop is usually raised in.
    #[must_use]
    pub fn cell_volume(&self) -> Option<Figure<Millilitres>> {
        self.figure(Fact::CellVolumeMl, |ml| Millilitres(whole(ml)))
    }

    /// How deep the stem may go when it is moved.
    #[must_use]
    pub fn bury(&self) -> Option<Stated<Bury>> {
        self.stated(Fact::Bury, Bury::from_word)
    }

    /// How it stands being moved.
    #[must_use]
    pub fn transplanting(&self) -> Option<Stated<Transplanting>> {
        self.stated(Fact::Transplanting, Transplanting::from_word)
    }

    /// Weeks from sowing to planting out; none for crops sown in place.
    #[must_use]
    pub fn weeks_to_plant_out(&self) -> Option<Figure<f64>> {
        self.figure(Fact::WeeksToPlantOut, f64::from)
    }

    /// Weeks from the last frost to planting out, negative before it.
    #[must_use]
    pub fn plant_out_from_last_frost_weeks(&self) -> Option<Figure<f64>> {
        self.figure(Fact::PlantOutFromLastFrostWeeks, f64::from)
    }

    /// Months of planting out, 1 to 12, in a cool northern climate; only for crops the last frost does not govern.
    #[must_use]
    pub fn plant_out_months(&self) -> Option<Figure<u32>> {
        self.figure(Fact::PlantOutMonth, whole)
    }

    /// Least soil temperature for planting out.
    #[must_use]
    pub fn plant_out_soil(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::PlantOutSoilC, Celsius)
    }

    /// Where it is planted in a cool climate; in the open unless a row says otherwise.
    #[must_use]
    pub fn plant_out_place(&self) -> Option<Stated<PlantOutPlace>> {
        self.stated(Fact::PlantOutPlace, PlantOutPlace::from_word)
    }

    /// Height at planting out.
    #[must_use]
    pub fn plant_out_height(&self) -> Option<Figure<Millimetres>> {
        self.figure(Fact::PlantOutHeightMm, millimetres)
    }

    /// Its hardiness class.
    #[must_use]
    pub fn hardiness(&self) -> Option<Stated<Hardiness>> {
        self.stated(Fact::Hardiness, Hardiness::from_word)
    }

    /// Published floor for a seedling not yet hardened; for "why", not for the nightly list.
    #[must_use]
    pub fn seedling_floor(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::SeedlingFloorC, Celsius)
    }

    /// Published temperature that damages a hardened plant: a death point, not a working limit.
    #[must_use]
    pub fn hardened_floor(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::HardenedFloorC, Celsius)
    }

    /// Working night limit: `high` for a plant straight from warmth, `low` once hardened.
    #[must_use]
    pub fn working_floor(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::WorkingFloorC, Celsius)
    }

    /// Temperature under which growth checks.
    #[must_use]
    pub fn growth_check(&self) -> Option<Figure<Celsius>> {
        self.figure(Fact::GrowthCheckC, Celsius)
    }

    fn figure<T>(&self, fact: Fact, unit: impl Fn(f64) -> T) -> Option<Figure<T>> {
        let said = self.said(fact).first()?;
        let (low, high) = said.range?;
        Some(Figure { low: unit(low), high: unit(high), source: said.source.clone() })
    }

    fn stated<T>(&self, fact: Fact, meaning: impl Fn(&str) -> Option<T>) -> Option<Stated<T>> {
        let said = self.said(fact).first()?;
        Some(Stated { value: meaning(said.word.as_deref()?)?, source: said.source.clone() })
    }
}

/// A checked fact is never negative where it counts things, so rounding loses only tenths.
fn whole(number: f64) -> u32 {
    number.round() as u32
}

fn millimetres(number: f64) -> Millimetres {
    Millimetres(whole(number))
}
