//! Plants set in the ground lately: they have left the containers, not the frost.

use std::collections::BTreeMap;

use crate::journal::{Departure, Gone, Part, PlaceKind, State};
use crate::quantity::{BatchId, BatchLabel, Celsius, CropName, Date, Name, PlaceId, Share};
use crate::science::cold_risk::{Advice, Work};
use crate::science::day_range::DayRange;
use crate::science::hardening::working_floor;
use crate::trade::{Crop, Hardiness, Trade};

use super::covers::comes_off_by_day;
use super::dusk::quoted;
use super::going_out::open_ground;
use super::groups::{Floor, been_through, floor_of};
use super::ladder::KEEPS_HARDENED;
use super::nights::{self, NightsAhead};
use super::risk::{PLAIN, Risk, SPOKEN_OF, odds, risk_of};
use super::slow::{Bolting, bolting_of};
use super::{Eve, LEAF_NOTE};
use crate::advice::climate::{Climates, Cover, Night, covered};
use crate::advice::exposure::{StoodDay, aired, days_stood, exposure, was_read};
use crate::advice::part::{self, after, days_between};
use crate::advice::why::Why;

/// Days after planting out for which a bed is watched for cold. Common practice, no source.
pub const WATCHED_DAYS: u32 = 42;
/// Degrees above what kills a hardened plant at which it is covered in the ground: it is not carried in from a night that
/// only checks it, so the working floor of a plant in a pot would ask for fleece all May. Common practice, no source.
const MARGIN: f64 = 2.0;
/// The same of a plant that is soft, whom a night kills sooner. Common practice, no source.
const SOFT_MARGIN: f64 = 4.0;

/// A bed whose plants want a fleece tonight.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantedOut {
    /// What the bed is called; `the ground` when nobody said.
    pub bed: Name,
    /// The place whose climate it has; `None` for open ground that is no place of its own.
    pub place: Option<PlaceId>,
    /// The batch that stands it least, and its number.
    pub batch: (BatchId, BatchLabel),
    /// What is at risk there and how many, what stands it least first; at least one.
    pub crops: Vec<(CropName, u32)>,
    /// Tonight for what stands it least, as the bed is covered now.
    pub risk: Risk,
    /// True when its cover is on and will not do: what one layer can do is done.
    pub is_covered: bool,
    /// True when that cover comes off for the day, and lies again tonight.
    pub is_aired: bool,
    /// Why, with the numbers.
    pub reason: String,
    /// The words that note the cover; `None` where the bed is no place.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

impl PlantedOut {
    /// `fleece veg tonight: 24 lettuce, 5 tomato planted out; leaves likely at ..`; `veg is covered, and still ..`; `veg,
    /// covered again tonight, still has ..`.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self.is_covered {
            true if self.is_aired => format!("{}, covered again tonight, still has {}", self.bed, self.reason),
            true => format!("{} is covered, and still {}", self.bed, self.reason),
            false => format!("fleece {} tonight: {}", self.bed, self.reason),
        }
    }
}

/// Some plants of one part in one bed.
struct InGround {
    batch: (BatchId, BatchLabel),
    crop: CropName,
    plants: u32,
    hardened: Share,
    floor: Floor,
    /// How near they are to bolting of the cold there.
    bolting: Option<Bolting>,
}

/// A bed with all that was set in it lately and has a known floor.
struct Bed {
    name: Name,
    place: Option<PlaceId>,
    rows: Vec<InGround>,
}

/// Every bed that wants a fleece tonight, the worst first.
pub(super) fn planted_out(eve: &Eve<'_>) -> Vec<PlantedOut> {
    // What is in one place has one cover, so it is one row.
    let mut under_cover: BTreeMap<PlaceId, Vec<Bed>> = BTreeMap::new();
    let mut rows: Vec<PlantedOut> = Vec::new();
    for bed in beds(eve) {
        match bed.place {
            Some(place) => under_cover.entry(place).or_default().push(bed),
            None => rows.extend(row(eve, bed, &[])),
        }
    }
    for (place, mut beds) in under_cover {
        beds.retain(|bed| bed.rows.iter().any(|row| is_harmed(eve, Some(place), row)));
        let names: Vec<Name> = beds.iter().map(|bed| bed.name.clone()).collect();
        let called = if let [only] = names.as_slice() { Some(only.clone()) } else { Name::new(&eve.name(place)).ok() };
        let Some(name) = called else { continue };
        let rows_of_all = beds.into_iter().flat_map(|bed| bed.rows).collect();
        rows.extend(row(eve, Bed { name, place: Some(place), rows: rows_of_all }, &names));
    }
    rows.sort_by(|a, b| b.risk.chance.total_cmp(&a.risk.chance).then_with(|| a.bed.cmp(&b.bed)));
    rows
}

/// True when nothing planted out in a place needs a cover over it, tonight or for many nights.
pub(super) fn stand_bare(eve: &Eve<'_>, place: PlaceId) -> bool {
    let bare = eve.climates.with_covers(&[(place, Cover::Off)]);
    let bare = Eve { climates: &bare, ..*eve };
    beds(&bare).into_iter().filter(|bed| bed.place == Some(place)).all(|bed| {
        let night = bare.tonight(place, Cover::Off);
        bed.rows.iter().all(|row| {
            let harmless =
                night.as_ref().is_some_and(|night| risk_in_ground(night, &row.floor).advice == Advice::Leave);
            harmless && !row.bolting.is_some_and(|it| it.is_coming())
        })
    })
}

/// Tonight for what stands it least in each place with beds, as it is covered now: its number, its crop and the night.
pub(super) fn tonight_by_place(eve: &Eve<'_>) -> BTreeMap<PlaceId, (BatchLabel, CropName, Risk)> {
    let mut worst: BTreeMap<PlaceId, (BatchLabel, CropName, Risk)> = BTreeMap::new();
    for bed in beds(eve) {
        let Some((place, night)) = bed.place.and_then(|place| Some((place, eve.tonight(place, eve.cover_now(place))?)))
        else {
            continue;
        };
        for row in bed.rows {
            let risk = risk_in_ground(&night, &row.floor);
            if worst.get(&place).is_none_or(|(.., known)| known.floor.0 < risk.floor.0) {
                worst.insert(place, (row.batch.1, row.crop, risk));
            }
        }
    }
    worst
}

/// Ten nights for what stands it least in each place with beds, or in each bed that is no place, as it is covered now.
pub(super) fn nights_ahead(eve: &Eve<'_>) -> Vec<NightsAhead> {
    let mut worst: BTreeMap<(Option<PlaceId>, Name), InGround> = BTreeMap::new();
    for Bed { name, place, rows } in beds(eve) {
        let called = place.and_then(|place| Some(eve.state.places.get(&place)?.name.clone())).unwrap_or(name);
        for row in rows {
            let key = (place, called.clone());
            if worst.get(&key).is_none_or(|known| known.floor.now.0 < row.floor.now.0) {
                worst.insert(key, row);
            }
        }
    }
    let ahead = worst.into_iter().map(|((place, called), row)| {
        let night = |morning| match place {
            Some(place) => eve.climates.night(place, morning, eve.cover_now(place)),
            None => eve.climates.night_in_the_open(morning),
        };
        let nights = nights::each(eve, |morning| {
            let night = night(morning)?;
            Some(risk_in_ground(&night, &row.floor))
        });
        let floor = row.floor.now;
        NightsAhead {
            label: row.batch.1,
            part: None,
            crop: row.crop,
            place: called,
            is_planted_out: true,
            floor,
            nights,
        }
    });
    ahead.collect()
}

fn beds(eve: &Eve<'_>) -> Vec<Bed> {
    let mut beds: BTreeMap<(Option<PlaceId>, String), Bed> = BTreeMap::new();
    for part in eve.state.parts.values() {
        for gone in &part.gone {
            let Departure::PlantedOut { bed } = &gone.how else { continue };
            if gone.on > eve.on || days_between(gone.on, eve.on) > WATCHED_DAYS {
                continue;
            }
            let called = bed.as_ref().map(|bed| bed.as_str());
            let place = ground_of(eve.state, called);
            let Some(row) = in_ground(eve, part, gone, place) else { continue };
            let name = called.and_then(|called| Name::new(called).ok()).or_else(|| Name::new("the ground").ok());
            let Some(name) = name else { continue };
            let key = (place, name.as_str().to_lowercase());
            beds.entry(key).or_insert(Bed { name, place, rows: Vec::new() }).rows.push(row);
        }
    }
    beds.into_values().collect()
}

/// The place whose climate a bed has: the one it is called by, else the open ground of the place list.
pub(super) fn ground_of(state: &State, bed: Option<&str>) -> Option<PlaceId> {
    let called = |name: &Name| bed.is_some_and(|bed| name.same_as(bed.split('/').next().unwrap_or(bed).trim()));
    let outdoors = state.places.iter().filter(|(_, place)| !place.kind.is_indoors());
    let named = outdoors.filter(|(_, place)| called(&place.name)).map(|(id, _)| *id).next();
    let is_plot = |id: &PlaceId| state.places.get(id).is_some_and(|place| place.kind == PlaceKind::Plot);
    named.or_else(|| open_ground(state).filter(is_plot))
}

fn in_ground(eve: &Eve<'_>, part: &Part, gone: &Gone, place: Option<PlaceId>) -> Option<InGround> {
    let batch = eve.state.batches.get(&part.batch)?;
    let crop = part::crop(eve.state, eve.trade, batch)?;
    let mut days = days_stood(eve.state, eve.climates, part);
    days.retain(|day| day.day < gone.on);
    let since = gone.on.iter_days().take_while(|day| *day < eve.on);
    days.extend(since.map(|day| in_bed(eve, place, day)));
    let hardened = been_through(eve.state, eve.trade, eve.climates, crop, &days).0.now;
    let bolting = bolting_of(eve, (part, crop), &days, place);
    Some(InGround {
        batch: (part.batch, batch.label),
        crop: part::named(eve.state, batch).0,
        plants: gone.plants,
        hardened,
        floor: ground_floor(crop, hardened)?,
        bolting,
    })
}

/// A day and the night after it in a bed.
fn in_bed(eve: &Eve<'_>, place: Option<PlaceId>, day: Date) -> StoodDay {
    let next = after(day, 1);
    let range = match place {
        Some(place) => {
            let cover = if covered(eve.state, place, day) { Cover::On } else { Cover::Off };
            let low = eve.climates.past_day(place, next, cover).map(|range| range.low());
            let high = eve.climates.past_day(place, day, Cover::Off).map(|range| range.high());
            low.zip(high).map(|(low, high)| DayRange::between(low.0, high.0))
        }
        None => eve.climates.outside_day(day),
    };
    let exposed = place.map_or(1.0, |_| exposure(eve.climates, place, day));
    let was_read = was_read(eve.climates, place, day);
    let aired = aired(eve.climates, place, day, range);
    StoodDay { day, night_place: place, out: None, exposed: Share(exposed), range, aired, was_read }
}

/// What plants in the ground are covered at: the working floor, but no more than a margin above what kills them; a hardy
/// kind comes down to that as it hardens, others are never over it.
pub(super) fn ground_floor(crop: &Crop, hardened: Share) -> Option<Floor> {
    let floor = floor_of(crop, hardened)?;
    let margin = if hardened.0 < KEEPS_HARDENED { SOFT_MARGIN } else { MARGIN };
    let deadly = deadly(crop, margin).map_or(f64::INFINITY, |deadly| deadly.0);
    let now = match floor.class {
        Hardiness::Tender | Hardiness::HalfHardy => Celsius(floor.now.0.min(deadly)),
        _ => working_floor(floor.unhardened, Celsius(floor.hardened.0.min(deadly)), hardened),
    };
    Some(Floor { now, ..floor })
}

fn deadly(crop: &Crop, margin: f64) -> Option<Celsius> {
    crop.hardened_floor().map(|figure| Celsius(figure.high.0 + margin))
}

/// What may kill a hardened plant in the ground.
pub(super) fn may_kill_at(crop: &Crop) -> Option<Celsius> {
    deadly(crop, MARGIN)
}

/// A night in the ground, where fleece is all there is.
pub(super) fn risk_in_ground(night: &Night, floor: &Floor) -> Risk {
    risk_of(&Night { work: Work::Bed, ..night.clone() }, floor)
}

fn tonight(eve: &Eve<'_>, place: Option<PlaceId>, cover: Cover) -> Option<Night> {
    place.map_or_else(|| eve.climates.night_in_the_open(eve.morning()), |place| eve.tonight(place, cover))
}

/// True when tonight harms some plants of a bed as it is covered now.
fn is_harmed(eve: &Eve<'_>, place: Option<PlaceId>, row: &InGround) -> bool {
    let cover = place.map_or(Cover::Off, |place| eve.cover_now(place));
    tonight(eve, place, cover).is_some_and(|night| risk_in_ground(&night, &row.floor).advice == Advice::Act)
}

/// What tonight harms in a bed as it is covered now, the worst first.
fn harmed(eve: &Eve<'_>, bed: Bed) -> Vec<(Risk, InGround)> {
    let cover = bed.place.map_or(Cover::Off, |place| eve.cover_now(place));
    let Some(night) = tonight(eve, bed.place, cover) else { return Vec::new() };
    let rows = bed.rows.into_iter();
    let mut harmed: Vec<(Risk, InGround)> = rows.map(|row| (risk_in_ground(&night, &row.floor), row)).collect();
    harmed.retain(|(risk, _)| risk.advice == Advice::Act);
    harmed.sort_by(|a, b| b.0.chance.total_cmp(&a.0.chance).then(b.0.floor.0.total_cmp(&a.0.floor.0)));
    harmed
}

/// Beds of what a night near freezing hurts, of whose night nothing is known.
pub(super) fn unknown(eve: &Eve<'_>) -> Vec<Name> {
    let soft = |row: &InGround| matches!(row.floor.class, Hardiness::Tender | Hardiness::HalfHardy);
    let dark = |bed: &Bed| tonight(eve, bed.place, Cover::Off).is_none() && bed.rows.iter().any(soft);
    beds(eve).into_iter().filter(dark).map(|bed| bed.name).collect()
}

/// The cold of a bed that leads on to bolting: no work for one night, and as much to be known as that of a frame. It is told for
/// a few days when they come into it, when half of the dose is had and when nearly all is, while it comes and the bed has no cover,
/// and when it is had.
pub(super) fn bolting_lines(eve: &Eve<'_>) -> Vec<String> {
    let lines = beds(eve).into_iter().flat_map(|bed| {
        let is_covered = bed.place.is_some_and(|place| eve.cover_now(place) == Cover::On);
        let name = bed.name;
        let told = bed.rows.into_iter().filter_map(move |row| {
            let (label, crop, bolting) = (row.batch.1, &row.crop, row.bolting?);
            let coming = bolting.told().filter(|_| bolting.is_coming() && bolting.is_nearing() && !is_covered);
            let coming = coming.map(|said| format!("{said}; fleece or a cloche keeps some of it off"));
            let said = coming.or_else(|| bolting.said_done().filter(|_| bolting.is_news()))?;
            Some(format!("{label} {crop} in {name}: {said}"))
        });
        told.collect::<Vec<_>>()
    });
    lines.collect()
}

/// Every bed planted out lately, by name.
pub(super) fn watched(eve: &Eve<'_>) -> Vec<Name> {
    beds(eve).into_iter().map(|bed| bed.name).collect()
}

/// What a night does to what stands it least: that it kills, where it may.
fn harm(risk: &Risk, row: &InGround) -> String {
    let dies = risk.death.filter(|(_, chance)| *chance >= SPOKEN_OF);
    dies.map_or_else(String::new, |(at, chance)| match chance {
        chance if chance >= PLAIN => format!(": it kills, {} under {at}, where {} dies", odds(chance), row.crop),
        chance => format!(": {} that it kills, under {at}", odds(chance)),
    })
}

/// What is left where one layer will not do. Common practice, no source.
const MORE_COVER: &str = "a second layer or a cloche, or take the chance";

/// The row of a bed, or of all the beds named that one cover is for.
fn row(eve: &Eve<'_>, bed: Bed, beds: &[Name]) -> Option<PlantedOut> {
    let (name, place) = (bed.name.clone(), bed.place);
    let cover = place.map_or(Cover::Off, |place| eve.cover_now(place));
    let harmed = harmed(eve, bed);
    let mut crops: Vec<(CropName, u32)> = Vec::new();
    for (_, row) in &harmed {
        match crops.iter_mut().find(|(crop, _)| *crop == row.crop) {
            Some((_, plants)) => *plants = plants.saturating_add(row.plants),
            None => crops.push((row.crop.clone(), row.plants)),
        }
    }
    let (risk, worst) = harmed.into_iter().next()?;
    let covered = place.and_then(|place| eve.tonight(place, Cover::On));
    let covered = covered.map(|night| risk_in_ground(&night, &worst.floor));
    let is_covered = cover == Cover::On;
    let is_aired = place.is_some_and(|place| is_covered && comes_off_by_day(eve, place));
    let under = match &covered {
        _ if is_covered => format!("; {MORE_COVER}"),
        Some(covered) if covered.advice == Advice::Act => {
            format!("; {} under a fleece too{}: {MORE_COVER}", odds(covered.chance), harm(covered, &worst))
        }
        Some(covered) => format!("; {} under a fleece", odds(covered.chance)),
        None => String::new(),
    };
    let plants: Vec<String> = crops.iter().map(|(crop, plants)| format!("{plants} {crop}")).collect();
    let all = match beds {
        [] | [_] => String::new(),
        beds => {
            let names: Vec<String> = beds.iter().map(ToString::to_string).collect();
            format!("{} beds ({}), all of it; ", beds.len(), names.join(", "))
        }
    };
    let (odds, harm, floor, crop) = (odds(risk.chance), harm(&risk, &worst), risk.floor, &worst.crop);
    let reason = match is_covered {
        true => format!("{odds} that {crop} falls under {floor}{harm}{under}"),
        false => format!(
            "{all}{} planted out; leaves likely at {}, {odds} that they fall under {floor} ({crop}){harm}{under}",
            plants.join(", "),
            risk.leaf_low,
        ),
    };
    let doing = place
        .filter(|_| covered.is_some() && !is_covered)
        .map(|place| format!("cover {} on", quoted(&eve.name(place))));
    let why = why(&risk, worst.hardened);
    Some(PlantedOut { bed: name, place, batch: worst.batch, crops, risk, is_covered, is_aired, reason, doing, why })
}

fn why(risk: &Risk, hardened: Share) -> Why {
    Why::new(
        "what was planted out these six weeks, against tonight in the ground: the working floor at its hardening, but \
         no higher than two degrees above what kills it, four while it is soft; kinds that stand frost come down to that as they harden",
    )
    .given("floor", risk.floor)
    .given("hardened", hardened)
    .given("low likely in the air", risk.air_low)
    .given("low likely at the leaf", risk.leaf_low)
    .given("chance", odds(risk.chance))
    .practice("plants set out are watched for six weeks")
    .doubt(LEAF_NOTE)
    .changes("a newer forecast, or `cover PLACE on` where the bed has the name of a place")
}

/// Tonight for each batch in each bed, as it is covered now, in words and why: no work where nothing is harmed, but to be
/// explained when asked.
#[must_use]
pub fn in_the_ground(state: &State, trade: &Trade, on: Date) -> Vec<(BatchLabel, String, Why)> {
    let climates = Climates::learn(state, trade, on);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    let told = beds(&eve).into_iter().flat_map(|bed| {
        let cover = bed.place.map_or(Cover::Off, |place| eve.cover_now(place));
        let covered = if cover == Cover::On { ", covered" } else { "" };
        let (night, name) = (tonight(&eve, bed.place, cover), bed.name);
        let rows = bed.rows.into_iter().map(move |row| {
            let (label, crop) = (row.batch.1, &row.crop);
            let bolts = row.bolting.and_then(|it| it.said_done().or_else(|| it.told()));
            let bolts = bolts.map_or_else(String::new, |said| format!("; {said}"));
            let Some(risk) = night.as_ref().map(|night| risk_in_ground(night, &row.floor)) else {
                let said = format!("{label} {crop} in {name}{covered}: nothing is known of tonight{bolts}");
                return (label, said, Why::new("no forecast and no readings").changes("a forecast: `forecast set`"));
            };
            let (low, odds, floor) = (risk.leaf_low, odds(risk.chance), risk.floor);
            let said = format!(
                "{label} {crop} in {name}{covered}: leaves likely at {low}, {odds} that they fall under {floor}{bolts}"
            );
            (label, said, why(&risk, row.hardened))
        });
        rows.collect::<Vec<_>>()
    });
    told.collect()
}
