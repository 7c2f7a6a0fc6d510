//! Figures of the trade with their sources: crops, containers, limits.
//!
//! This room owns what handbooks, papers and practice say, one fact a row in `assets/`, each with its published
//! source; the sums made with them live in `science`, what to do about them in `advice`. It is pure: the tables are
//! part of the program, and a grower's own figures arrive as text. It knows nothing of batches, places or dates.
//!
//! Where several sources speak of one fact, the first row is the one used and the others are kept for "why".

mod cold;
mod containers;
mod crops;
mod emergence;
mod facts;
mod figure;
mod find;
mod overrides;
mod setting;
mod tables;

use std::collections::BTreeMap;

use thiserror::Error;

pub use cold::{BoltingDose, ColdEffect};
pub use containers::{Container, ContainerClass, ContainerKey};
pub use crops::{CellWeeks, Crop, CropKey, SownUnit};
pub use emergence::{EmergencePoint, HeatSum};
pub use facts::{Bury, Fact, Hardiness, LightNeed, PlantOutPlace, Raising, Transplanting};
pub use figure::{Figure, Provenance, Said, Source, Stated};
pub use find::NotFound;

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
    ///
    /// [container.shelf-tray]              # a container of the grower's own, or one corrected
    /// class = "cell_tray"                 # tray, cell_tray, pot, carrier or paper
    /// size = "380x240mm"
    /// height = "60mm"
    /// cells = 40
    /// cell_volume_ml = 45
    /// ```
    ///
    /// Any [`Fact`] may be set by its name. A figure set here replaces the working one; the published rows stay
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

    fn from_tables(tables: &tables::Tables<'_>) -> Result<Self, TradeError> {
        Ok(Self { crops: crops::read(tables)?, containers: containers::read(tables.containers)? })
    }
}

#[cfg(test)]
mod tests;
