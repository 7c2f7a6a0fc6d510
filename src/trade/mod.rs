//! Figures of the trade with their sources: crops, containers, limits.
//!
//! This room owns what handbooks, papers and practice say, one fact a row in `assets/`, each with its published
//! source; the sums made with them live in `science`, what to do about them in `advice`. It is pure: the tables are
//! part of the program, and a grower's own figures arrive as text. It knows nothing of batches or places.
//!
//! Where several sources speak of one fact, the first row is the one used and the others are kept for "why".

mod cautions;
mod cold;
mod containers;
mod crop_tables;
mod crops;
mod emergence;
mod facts;
mod figure;
mod find;
mod hardening;
mod lookalikes;
mod microclimate;
mod overrides;
mod setting;
mod site;
mod tables;
mod weather;

use std::collections::BTreeMap;

use thiserror::Error;

pub use cautions::{Caution, Loss, Work};
pub use cold::{BoltingDose, ColdEffect};
pub use containers::{Container, ContainerKey};
pub use crops::{CellWeeks, Crop, CropKey};
pub use emergence::{EmergencePoint, HeatSum};
pub use facts::{Bury, Fact, Hardiness, LightNeed, PlantOutPlace, Raising, Transplanting};
pub use figure::{Figure, Provenance, Said, Source, Stated};
pub use find::NotFound;
pub use hardening::{Exposure, HardeningStep};
pub use lookalikes::{LookAlike, ToldApart};
pub use microclimate::{Microclimate, Setting, Structure};
pub use setting::{Page as SettingsPage, Setting as Written};
pub use site::LastFrost;
pub use weather::WeatherService;

/// A row or a setting that cannot be used: where it stands and what is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{file}, line {line}: {reason}")]
pub struct TradeError {
    /// The file, as it is known to whoever can mend it.
    pub file: String,
    /// The line in that file, from 1.
    pub line: u64,
    /// What is wrong, in one sentence.
    pub reason: String,
}

/// Every table of the trade, checked.
#[derive(Clone, Debug)]
pub struct Trade {
    crops: BTreeMap<CropKey, Crop>,
    containers: BTreeMap<ContainerKey, Container>,
    lookalikes: Vec<LookAlike>,
    microclimate: Vec<Microclimate>,
    hardening: hardening::Schedules,
    cautions: Vec<Caution>,
    losses: Vec<Loss>,
    last_frost: Option<LastFrost>,
    weather: WeatherService,
}

impl Trade {
    /// Reads the tables carried in the program.
    ///
    /// # Errors
    /// The first bad row, with its file, line and reason: an unknown crop or fact, a figure out of range, a missing
    /// source, one name for two things.
    pub fn built_in() -> Result<Self, TradeError> {
        Self::from_tables(&tables::Tables::BUILT_IN)
    }

    /// Lays a grower's own figures over these.
    ///
    /// `toml_text` is the settings file, `file_name` the name it has in messages. Everything is optional:
    ///
    /// ```toml
    /// [crop.tomato]                       # changes figures of a known crop
    /// working_floor_c = 8                 # one number, or
    /// prick_out_days = [9, 12]            # a range from the lowest to the highest,
    /// hardiness = "tender"                # or one of the words of the fact
    /// aliases = ["toms"]
    /// source = "my own thermometer"       # shown by "why"; optional
    ///
    /// [crop.oca]                          # a crop of the grower's own
    /// latin = "Oxalis tuberosa"
    /// unit = "seed"                       # or "cluster"
    /// emergence = { 10C = "20-30", 20C = "12", 35C = "none" }
    /// heat_sum = { base_c = 5.0, degree_days = 120 }
    /// bolting = { below_c = 8, days = [10, 20], min_leaves = 6 }
    /// cell_weeks = { any = [4, 6], 72 = 5 }      # weeks in any cell, and in a tray of 72
    ///
    /// [container.shelf-tray]              # a container of the grower's own, or one corrected
    /// class = "cell_tray"                 # tray, cell_tray, pot, carrier or paper
    /// size = "380x240mm"
    /// height = "60mm"
    /// cells = 40
    /// cell_volume_ml = 45
    ///
    /// [cover.cold_frame]                  # degrees over the weather outside, and when to ventilate
    /// night = [1, 3]
    /// ventilate_at = 20
    /// ```
    ///
    /// Any [`Fact`] may be set by its name, and any [`Setting`] of a [`Structure`] in lower case with underscores. A
    /// figure set here replaces the working one; the published rows stay
    /// visible behind it.
    ///
    /// # Errors
    /// The first setting that is unknown, of the wrong kind or out of range, with its line.
    pub fn with_overrides(self, toml_text: &str, file_name: &str) -> Result<Self, TradeError> {
        overrides::lay_over(self, toml_text, file_name)
    }

    /// The crop of exactly this name.
    #[must_use]
    pub fn crop(&self, key: &CropKey) -> Option<&Crop> {
        self.crops.get(key)
    }

    /// The container of exactly this name.
    #[must_use]
    pub fn container(&self, key: &ContainerKey) -> Option<&Container> {
        self.containers.get(key)
    }

    /// All crops, by name.
    pub fn crops(&self) -> impl Iterator<Item = &Crop> {
        self.crops.values()
    }

    /// All containers, by name.
    pub fn containers(&self) -> impl Iterator<Item = &Container> {
        self.containers.values()
    }

    /// The crop a grower means: by name, by alias, in the plural, or by the beginning of either when only one fits.
    /// Case, spaces and hyphens do not matter.
    ///
    /// # Errors
    /// [`NotFound`] with the candidates when several fit, or with the nearest name when none does.
    pub fn find_crop(&self, text: &str) -> Result<&Crop, NotFound> {
        find::find("crop", text, self.crops.values().map(|crop| (crop, crop.key().as_str(), crop.aliases())))
    }

    /// The container a grower means, in the same way: `9cm-pot`, `9 cm pot` and `9CM POTS` are one.
    ///
    /// # Errors
    /// As [`Trade::find_crop`].
    pub fn find_container(&self, text: &str) -> Result<&Container, NotFound> {
        let all = self.containers.values().map(|it| (it, it.key().as_str(), it.aliases()));
        find::find("container", text, all)
    }

    /// When the seedlings of two crops, or of two varieties of one, can be told apart: the row that speaks most
    /// closely of them. `None` when nothing is written, which for different crops means they are plainly unlike.
    #[must_use]
    pub fn told_apart(&self, one: &CropKey, other: &CropKey) -> Option<&LookAlike> {
        lookalikes::closest(&self.lookalikes, one, other)
    }

    /// What is said of the climate under a cover: the working figure first, other sources after it.
    pub fn microclimate(&self, structure: Structure, setting: Setting) -> impl Iterator<Item = &Microclimate> {
        self.microclimate.iter().filter(move |row| row.structure == structure && row.setting == setting)
    }

    /// The steps by which a crop is hardened off, in order: its own where it has them, else those of its class.
    #[must_use]
    pub fn hardening(&self, crop: &Crop) -> &[HardeningStep] {
        self.hardening.of(crop)
    }

    /// The cautions for some work, for any crop or for this one.
    pub fn cautions(&self, work: Work, crop: Option<&CropKey>) -> impl Iterator<Item = &Caution> {
        let about =
            move |caution: &Caution| caution.crops.is_empty() || crop.is_some_and(|it| caution.crops.contains(it));
        self.cautions.iter().filter(move |caution| caution.work == work && about(caution))
    }

    /// Every caution, in the order of the table.
    #[must_use]
    pub fn all_cautions(&self) -> &[Caution] {
        &self.cautions
    }

    /// The ways plants are lost.
    #[must_use]
    pub fn losses(&self) -> &[Loss] {
        &self.losses
    }

    fn from_tables(tables: &tables::Tables<'_>) -> Result<Self, TradeError> {
        let crops = crop_tables::read(tables)?;
        Ok(Self {
            containers: containers::read(tables.containers)?,
            lookalikes: lookalikes::read(tables.lookalikes, &crops)?,
            microclimate: microclimate::read(tables.microclimate)?,
            hardening: hardening::read(tables.hardening, &crops)?,
            cautions: cautions::read(tables.cautions, &crops)?,
            losses: cautions::read_losses(tables.losses)?,
            last_frost: None,
            weather: WeatherService::default(),
            crops,
        })
    }
}

#[cfg(test)]
mod tests;
