//! A grower's own figures, laid over the tables. The shape of the file is documented at `Trade::with_overrides`.

use std::collections::BTreeMap;

use serde::de::value::{Error as ValueError, StrDeserializer};
use serde::de::{DeserializeOwned, IntoDeserializer};

use super::cold::{BoltingDose, ColdEffect};
use super::containers::{Container, ContainerKey, claim_names, whole_millilitres};
use super::crop_tables;
use super::crops::{CellWeeks, Crop, CropKey};
use super::emergence::{EmergencePoint, HeatSum};
use super::facts::{Fact, Kind};
use super::figure::{Figure, Source};
use super::find::{closest_of, folded};
use super::microclimate::{Microclimate, Structure};
use super::setting::{Page, Setting};
use super::{Trade, TradeError};
use crate::quantity::{Celsius, SownUnit, UnknownWord, parse_length, parse_rectangle, parse_temperature};

/// Settings of a crop that are not facts.
const CROP_SETTINGS: [&str; 8] =
    ["latin", "aliases", "unit", "source", "emergence", "heat_sum", "bolting", "cell_weeks"];
const CONTAINER_SETTINGS: [&str; 8] =
    ["class", "aliases", "size", "height", "cells", "cell_volume_ml", "volume_ml", "source"];

pub(super) fn lay_over(mut trade: Trade, text: &str, file: &str) -> Result<Trade, TradeError> {
    let page = Page::new(file, text);
    let table = page.parse()?;
    for section in page.settings(&table) {
        for entry in section.settings()? {
            match section.name() {
                "crop" => lay_crop(&mut trade.crops, &entry)?,
                "container" => lay_container(&mut trade.containers, &entry)?,
                "cover" => lay_cover(&mut trade.microclimate, &entry)?,
                _ => return Err(section.error("unknown section: write [crop.NAME], [container.NAME] or [cover.KIND]")),
            }
        }
    }
    Ok(trade)
}

/// The name in the table that a section's name stands for, if it is one or an alias of one.
fn owner<'a>(name: &str, mut all: impl Iterator<Item = (&'a str, &'a [String])>) -> Option<&'a str> {
    let name = folded(name);
    all.find(|(key, aliases)| folded(key) == name || aliases.iter().any(|alias| folded(alias) == name)).map(|it| it.0)
}

fn lay_crop(crops: &mut BTreeMap<CropKey, Crop>, entry: &Setting<'_>) -> Result<(), TradeError> {
    let known = owner(entry.name(), crops.values().map(|crop| (crop.key.as_str(), crop.aliases.as_slice())));
    let settings = entry.settings()?;
    let crop = known.and_then(|name| crops.get(&CropKey::new(name)));
    let mut crop = match crop {
        Some(crop) => crop.clone(),
        None => {
            need(entry, &settings, "unit", "crop", crops.keys().map(CropKey::as_str))?;
            Crop::named(CropKey::new(entry.name()))
        }
    };
    if let Some(source) = Setting::source(&settings)? {
        if settings.iter().any(|setting| setting.name() == "emergence") {
            // The grower's days and a published heat sum would be two sources for one thing.
            crop.heat_sum = None;
        }
        for setting in &settings {
            lay_crop_setting(&mut crop, setting, &source)?;
        }
    }
    let others = crops.values().filter(|other| other.key != crop.key);
    let mut taken = names_taken(others.map(|other| (other.key.as_str(), other.aliases.as_slice())));
    claim_names(&entry.at(), crop.key.as_str(), &crop.aliases, &mut taken)?;
    crops.insert(crop.key.clone(), crop);
    Ok(())
}

fn lay_crop_setting(crop: &mut Crop, setting: &Setting<'_>, source: &Source) -> Result<(), TradeError> {
    match setting.name() {
        "source" => {}
        "latin" => crop.latin = setting.text()?.to_owned(),
        "aliases" => crop.aliases.extend(setting.texts()?),
        "unit" => {
            crop.unit = match setting.text()? {
                "seed" => SownUnit::Seed,
                "cluster" => SownUnit::Cluster,
                _ => return Err(setting.error("write \"seed\" or \"cluster\"")),
            }
        }
        "emergence" => crop.emergence = emergence(setting, source)?,
        "heat_sum" => crop.heat_sum = Some(heat_sum(setting, source)?),
        "bolting" => crop.bolting = vec![bolting(setting, source)?],
        "cell_weeks" => {
            let own = cell_weeks(setting, source)?;
            crop.cell_weeks.splice(0..0, own);
        }
        name => {
            let fact = Fact::named(name).ok_or_else(|| unknown_setting(setting))?;
            let (range, word) = match fact.kind() {
                Kind::Number(..) => (setting.range(), None),
                Kind::Word(_) => (None, setting.word()),
            };
            let said = crop_tables::said(&setting.at(), fact, range, word, source.clone())?;
            crop.facts.entry(fact).or_default().insert(0, said);
        }
    }
    Ok(())
}

fn unknown_setting(setting: &Setting<'_>) -> TradeError {
    let names = CROP_SETTINGS.into_iter().chain(Fact::ALL.into_iter().map(Fact::name));
    setting.error(format!("unknown setting{}", offer(closest_of(setting.name(), names))))
}

fn offer(closest: Option<&str>) -> String {
    closest.map(|name| format!(", did you mean {name}?")).unwrap_or_default()
}

/// A new crop or container must say what it is, so that a slip of the finger does not make one.
fn need<'a>(
    entry: &Setting<'_>,
    settings: &[Setting<'_>],
    required: &str,
    what: &str,
    names: impl Iterator<Item = &'a str>,
) -> Result<(), TradeError> {
    if settings.iter().any(|setting| setting.name() == required) {
        return Ok(());
    }
    let offer = closest_of(entry.name(), names).map_or(".".to_owned(), |name| format!(", did you mean {name}?"));
    Err(entry.error(format!("no {what} of this name{offer} A {what} of your own needs {required}")))
}

fn names_taken<'a>(all: impl Iterator<Item = (&'a str, &'a [String])>) -> BTreeMap<String, String> {
    let spellings = all.flat_map(|(name, aliases)| {
        std::iter::once(name).chain(aliases.iter().map(String::as_str)).map(move |spelling| (folded(spelling), name))
    });
    spellings.map(|(spelling, name)| (spelling, name.to_owned())).collect()
}

fn emergence(setting: &Setting<'_>, source: &Source) -> Result<Vec<EmergencePoint>, TradeError> {
    let mut points = Vec::new();
    for point in setting.settings()? {
        let soil = parse_temperature(point.name()).map_err(|error| point.error(error))?;
        points.push(EmergencePoint::new(&point.at(), soil.0, point.text()?, source.clone())?);
    }
    points.sort_by(|a, b| a.soil.0.total_cmp(&b.soil.0));
    Ok(points)
}

fn heat_sum(setting: &Setting<'_>, source: &Source) -> Result<HeatSum, TradeError> {
    let (mut base, mut sum) = (None, None);
    for part in setting.settings()? {
        match part.name() {
            "base_c" => base = Some(part.number()?),
            "degree_days" => sum = Some(part.number()?),
            _ => return Err(part.error("unknown setting: write base_c and degree_days")),
        }
    }
    let (base, sum) = base.zip(sum).ok_or_else(|| setting.error("both base_c and degree_days are needed"))?;
    HeatSum::new(&setting.at(), base, sum, None, source.clone())
}

fn bolting(setting: &Setting<'_>, source: &Source) -> Result<BoltingDose, TradeError> {
    let (mut below, mut days, mut min_leaves) = (None, None, None);
    for part in setting.settings()? {
        match part.name() {
            "below_c" => below = Some(part.number()?),
            "days" => days = part.range(),
            "min_leaves" => min_leaves = Some(part.whole()?.min(100) as u16),
            _ => return Err(part.error("unknown setting: write below_c, days and min_leaves")),
        }
    }
    let (below, (low, high)) = below.zip(days).ok_or_else(|| setting.error("both below_c and days are needed"))?;
    let sane = (-5.0..=25.0).contains(&below) && 1.0 <= low && low <= high && high <= 200.0;
    if !sane {
        return Err(setting.error("below_c lies from -5 to 25 and days from 1 to 200, lowest first"));
    }
    let days = (low.round() as u16, high.round() as u16);
    let (effect, size) = (ColdEffect::Bolts, String::new());
    Ok(BoltingDose { effect, below: Celsius(below), days, min_leaves, size, source: source.clone() })
}

fn cell_weeks(setting: &Setting<'_>, source: &Source) -> Result<Vec<CellWeeks>, TradeError> {
    let mut rows = Vec::new();
    for row in setting.settings()? {
        let cells = match row.name() {
            "any" => Vec::new(),
            count => vec![count.parse().map_err(|_| row.error("write a number of cells, or any"))?],
        };
        let weeks = row.range().filter(|(low, high)| 0.5 <= *low && low <= high && *high <= 60.0);
        let weeks = weeks.ok_or_else(|| row.error("weeks are a number or a range from 0.5 to 60, lowest first"))?;
        rows.push(CellWeeks { cells, volume: None, weeks, source: source.clone() });
    }
    Ok(rows)
}

fn lay_container(all: &mut BTreeMap<ContainerKey, Container>, entry: &Setting<'_>) -> Result<(), TradeError> {
    let known = owner(entry.name(), all.values().map(|it| (it.key.as_str(), it.aliases.as_slice())));
    let settings = entry.settings()?;
    let known = known.and_then(|name| all.get(&ContainerKey::new(name))).cloned();
    if known.is_none() {
        need(entry, &settings, "class", "container", all.keys().map(ContainerKey::as_str))?;
    }
    let Some(source) = Setting::source(&settings)? else { return Ok(()) };
    let mut container = known.unwrap_or_else(|| Container::named(ContainerKey::new(entry.name()), source.clone()));
    container.source = source;
    for setting in &settings {
        lay_container_setting(&mut container, setting)?;
    }
    let others = all.values().filter(|other| other.key != container.key);
    let mut taken = names_taken(others.map(|other| (other.key.as_str(), other.aliases.as_slice())));
    claim_names(&entry.at(), container.key.as_str(), &container.aliases, &mut taken)?;
    let container = container.checked(&entry.at())?;
    all.insert(container.key.clone(), container);
    Ok(())
}

fn lay_container_setting(container: &mut Container, setting: &Setting<'_>) -> Result<(), TradeError> {
    match setting.name() {
        "source" => {}
        "aliases" => container.aliases.extend(setting.texts()?),
        "class" => {
            container.class = setting.text()?.parse().map_err(|error: UnknownWord| setting.error(error))?;
        }
        "size" => {
            let (one, other) = parse_rectangle(setting.text()?).map_err(|error| setting.error(error))?;
            (container.length, container.width) = (Some(one.max(other)), Some(one.min(other)));
        }
        "height" => container.height = Some(parse_length(setting.text()?).map_err(|error| setting.error(error))?),
        "cells" => container.cells = Some(setting.whole()?),
        "cell_volume_ml" => container.cell_volume = Some(whole_millilitres(setting.number()?)),
        "volume_ml" => container.volume = Some(whole_millilitres(setting.number()?)),
        name => {
            let offer = offer(closest_of(name, CONTAINER_SETTINGS.into_iter()));
            return Err(setting.error(format!("unknown setting{offer}")));
        }
    }
    Ok(())
}

fn lay_cover(all: &mut Vec<Microclimate>, entry: &Setting<'_>) -> Result<(), TradeError> {
    let structure: Structure = known_word(entry)?;
    let settings = entry.settings()?;
    let Some(source) = Setting::source(&settings)? else { return Ok(()) };
    for setting in settings.iter().filter(|setting| setting.name() != "source") {
        let (low, high) = setting.range().ok_or_else(|| setting.error("a number or a range of two belongs here"))?;
        let about = known_word(setting)?;
        let figure = Figure { low: Celsius(low), high: Celsius(high), source: source.clone() };
        let row = Microclimate { structure, setting: about, figure, conditions: String::new() };
        all.insert(0, row.checked(&setting.at())?);
    }
    Ok(())
}

/// The value of a closed list that a setting's name stands for.
fn known_word<T: DeserializeOwned>(setting: &Setting<'_>) -> Result<T, TradeError> {
    let word: StrDeserializer<'_, ValueError> = setting.name().into_deserializer();
    T::deserialize(word).map_err(|error| setting.error(error))
}
