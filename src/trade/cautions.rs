//! What harms plants, and what harms growers.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::TradeError;
use super::crops::{Crop, CropKey};
use super::figure::{Provenance, Source};
use super::tables::{self, Row, Table, crop_keys};

/// The work at which a caution is worth saying.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// Filling containers, pricking out and potting on.
    Potting,
    /// Watering.
    Watering,
    /// Sowing.
    Sowing,
    /// Touching, thinning and planting the crops named.
    Handling,
    /// Sowing seed saved at home.
    SavedSeed,
    /// Heating and lighting a place.
    Heating,
    /// Opening and mending frames and houses.
    Glass,
    /// Carrying containers.
    Moving,
    /// Acting against pests.
    Pests,
    /// Wondering why plants fail.
    Failing,
    /// Giving plants away.
    Giving,
    /// Cleaning pots and trays.
    Cleaning,
}

impl Work {
    /// In a word or two.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Potting => "filling and potting",
            Self::Watering => "watering",
            Self::Sowing => "sowing",
            Self::Handling => "handling plants",
            Self::SavedSeed => "seed saved at home",
            Self::Heating => "heating and light",
            Self::Glass => "glass",
            Self::Moving => "carrying",
            Self::Pests => "pests",
            Self::Failing => "plants that fail",
            Self::Giving => "giving away",
            Self::Cleaning => "cleaning",
        }
    }
}

/// A caution for the grower. It defers to labels, local codes and licensed practice.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// A short name, by which it can be remembered as said.
    pub name: String,
    /// When it applies.
    pub work: Work,
    /// The crops it is about; empty for all.
    pub crops: Vec<CropKey>,
    /// What to say.
    pub text: String,
    /// Who says so.
    pub source: Source,
}

/// A way plants are lost.
#[derive(Clone, Debug, PartialEq)]
pub struct Loss {
    /// The word for it, as typed after `--cause`.
    pub cause: String,
    /// The stage at which it strikes.
    pub stage: String,
    /// The conditions that bring it and the signs of it.
    pub signs: String,
    /// What to do.
    pub action: String,
    /// Who says so.
    pub source: Source,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CautionRow {
    caution: String,
    applies: Work,
    crops: String,
    text: String,
    source: String,
    provenance: Provenance,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LossRow {
    cause: String,
    stage: String,
    signs: String,
    action: String,
    source: String,
    provenance: Provenance,
}

pub(super) fn read(table: Table<'_>, crops: &BTreeMap<CropKey, Crop>) -> Result<Vec<Caution>, TradeError> {
    let mut cautions: Vec<Caution> = Vec::new();
    for Row { at, value } in tables::rows::<CautionRow>(table)? {
        tables::checked_name(&at, &value.caution)?;
        at.require(cautions.iter().all(|it| it.name != value.caution), "two cautions of one name")?;
        at.require(!value.text.is_empty(), "the text is missing")?;
        cautions.push(Caution {
            name: value.caution,
            work: value.applies,
            crops: crop_keys(&at, &value.crops, crops)?,
            text: value.text,
            source: tables::source(&at, &value.source, value.provenance)?,
        });
    }
    Ok(cautions)
}

pub(super) fn read_losses(table: Table<'_>) -> Result<Vec<Loss>, TradeError> {
    let mut losses: Vec<Loss> = Vec::new();
    for Row { at, value } in tables::rows::<LossRow>(table)? {
        tables::checked_name(&at, &value.cause)?;
        at.require(losses.iter().all(|it| it.cause != value.cause), "two losses of one name")?;
        at.require(!value.signs.is_empty() && !value.action.is_empty(), "signs or action are missing")?;
        let source = tables::source(&at, &value.source, value.provenance)?;
        let LossRow { cause, stage, signs, action, .. } = value;
        losses.push(Loss { cause, stage, signs, action, source });
    }
    Ok(losses)
}
