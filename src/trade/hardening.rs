//! Hardening off: what to expose a crop to, day by day.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::TradeError;
use super::crops::{Crop, CropKey};
use super::facts::Hardiness;
use super::figure::{Provenance, Source};
use super::tables::{self, Row, Table};
use crate::quantity::Celsius;

/// How long a plant is out in a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Exposure {
    /// A few hours.
    PartDay,
    /// All day, in at night.
    AllDay,
    /// Day and night.
    Overnight,
}

/// One step of a schedule; the steps follow one another.
#[derive(Clone, Debug, PartialEq)]
pub struct HardeningStep {
    /// How many days it lasts, from 1.
    pub days: u16,
    /// How long the plant is out on each of them.
    pub exposure: Exposure,
    /// A day colder than this does not count; leave the plants in.
    pub min_day: Celsius,
    /// A night colder than this is spent in.
    pub min_night: Celsius,
    /// What to do, with `{lid}` for what a frame has and what one walks into has not.
    pub how: String,
    /// Who says so.
    pub source: Source,
}

impl HardeningStep {
    /// What to do, in words, where what is opened is called so.
    #[must_use]
    pub fn how_with(&self, lid: &str) -> String {
        self.how.replace("{lid}", lid)
    }
}

/// Schedules by class, with those of crops that are hardened otherwise.
#[derive(Clone, Debug, Default)]
pub(super) struct Schedules {
    by_class: BTreeMap<Hardiness, Vec<HardeningStep>>,
    by_crop: BTreeMap<CropKey, Vec<HardeningStep>>,
}

impl Schedules {
    pub(super) fn of(&self, crop: &Crop) -> &[HardeningStep] {
        let class = || self.by_class.get(&crop.hardiness()?.value);
        self.by_crop.get(crop.key()).or_else(class).map_or(&[], Vec::as_slice)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HardeningRow {
    of: String,
    days: u16,
    exposure: Exposure,
    min_day_c: f64,
    min_night_c: f64,
    how: String,
    source: String,
    provenance: Provenance,
}

pub(super) fn read(table: Table<'_>, crops: &BTreeMap<CropKey, Crop>) -> Result<Schedules, TradeError> {
    let mut schedules = Schedules::default();
    for Row { at, value } in tables::rows::<HardeningRow>(table)? {
        at.require((1..=60).contains(&value.days), "days are outside 1 to 60")?;
        let cool = -10.0 <= value.min_night_c && value.min_night_c <= value.min_day_c && value.min_day_c <= 20.0;
        at.require(cool, "min_night_c and min_day_c lie from -10 to 20, the night no warmer than the day")?;
        let step = HardeningStep {
            days: value.days,
            exposure: value.exposure,
            min_day: Celsius(value.min_day_c),
            min_night: Celsius(value.min_night_c),
            how: value.how,
            source: tables::source(&at, &value.source, value.provenance)?,
        };
        let key = CropKey::new(&value.of);
        match Hardiness::from_word(&value.of) {
            Some(class) => schedules.by_class.entry(class).or_default().push(step),
            None if crops.contains_key(&key) => schedules.by_crop.entry(key).or_default().push(step),
            None => return Err(at.error(format!("'{}' is no hardiness class and no crop", value.of))),
        }
    }
    Ok(schedules)
}
