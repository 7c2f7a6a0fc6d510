//! Plants set in the ground lately: they have left the containers, not the frost.

use std::collections::BTreeMap;

use crate::journal::{Departure, Gone, Part, PlaceKind, State};
use crate::quantity::{BatchId, BatchLabel, Celsius, CropName, Date, Name, PartId, PlaceId, Share};
use crate::science::cold_risk::{Advice, Work};
use crate::science::day_range::DayRange;
use crate::science::hardening::working_floor;
use crate::trade::{Crop, Hardiness, PlantOutPlace, Trade};

use super::dusk::{danger, quoted};
use super::going_out::{LOOK_AHEAD, open_ground, soil, speaks_against};
use super::groups::{Floor, Group, been_through, floor_of, groups};
use super::nights::REACH;
use super::risk::{PLAIN, Risk, SPOKEN_OF, odds, risk_of};
use super::slow::{bolting, bolting_of};
use super::{Eve, LEAF_NOTE};
use crate::advice::climate::{Climates, Cover, Night, covered};
use crate::advice::exposure::{StoodDay, days_stood, exposure, was_read};
use crate::advice::part::{self, after, days_between};
use crate::advice::why::Why;
use crate::advice::window::first_after_frost;

/// Days after planting out for which a bed is watched for cold. Common practice, no source.
pub const WATCHED_DAYS: u32 = 42;
/// Degrees above what kills a hardened plant at which it is covered in the ground: it is not carried in from a night that
/// only checks it, so the working floor of a plant in a pot would ask for fleece all May. Common practice, no source.
const MARGIN: f64 = 2.0;

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
    /// Why, with the numbers.
    pub reason: String,
    /// The words that note the cover; `None` where the bed is no place.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

impl PlantedOut {
    /// `fleece veg tonight: 24 lettuce, 5 tomato planted out; leaves likely at ..`; `veg is covered, and still ..`.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self.is_covered {
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
    /// That cold leads them on to bolting there.
    bolts: Option<String>,
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

/// True when nothing planted out in a place needs a cover over it tonight.
pub(super) fn stand_bare(eve: &Eve<'_>, place: PlaceId) -> bool {
    beds(eve).into_iter().filter(|bed| bed.place == Some(place)).all(|bed| {
        let night = eve.tonight(place, Cover::Off);
        bed.rows
            .iter()
            .all(|row| night.as_ref().is_some_and(|night| risk_in_ground(night, &row.floor).advice == Advice::Leave))
    })
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
fn ground_of(state: &State, bed: Option<&str>) -> Option<PlaceId> {
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
    Some(InGround {
        batch: (part.batch, batch.label),
        crop: part::named(eve.state, batch).0,
        plants: gone.plants,
        hardened,
        floor: ground_floor(crop, hardened)?,
        bolts: bolting_of(eve, (part, crop), &days, place).and_then(|it| it.told()),
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
    let exposed = place.map_or(1.0, |_| exposure(eve.climates, place));
    let was_read = was_read(eve.climates, place, day);
    StoodDay { day, night_place: place, out: None, exposed: Share(exposed), range, was_read }
}

/// What plants in the ground are covered at: the working floor, but no more than a margin above what kills them; a hardy
/// kind comes down to that as it hardens, others are never over it.
pub(super) fn ground_floor(crop: &Crop, hardened: Share) -> Option<Floor> {
    let floor = floor_of(crop, hardened)?;
    let deadly = crop.hardened_floor().map_or(f64::INFINITY, |figure| figure.high.0 + MARGIN);
    let now = match floor.class {
        Hardiness::Tender | Hardiness::HalfHardy => Celsius(floor.now.0.min(deadly)),
        _ => working_floor(floor.unhardened, Celsius(floor.hardened.0.min(deadly)), hardened),
    };
    Some(Floor { now, ..floor })
}

/// A night in the ground, where fleece is all there is.
fn risk_in_ground(night: &Night, floor: &Floor) -> Risk {
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

/// The cold of a bed that leads on to bolting: no work for one night, and as much to be known as that of a frame.
pub(super) fn bolting_lines(eve: &Eve<'_>) -> Vec<String> {
    let lines = beds(eve).into_iter().flat_map(|bed| {
        let name = bed.name;
        let told = bed.rows.into_iter().filter_map(move |row| {
            let (label, crop) = (row.batch.1, &row.crop);
            Some(format!("{label} {crop} in {name}: {}; fleece or a cloche keeps some of it off", row.bolts?))
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
    Some(PlantedOut { bed: name, place, batch: worst.batch, crops, risk, is_covered, reason, doing, why })
}

fn why(risk: &Risk, hardened: Share) -> Why {
    Why::new(
        "what was planted out these six weeks, against tonight in the ground: the working floor at its hardening, but \
         no higher than two degrees above what kills it; kinds that stand frost come down to that as they harden",
    )
    .given("floor", risk.floor)
    .given("hardened", hardened)
    .given("low likely in the air", risk.air_low)
    .given("low likely at the leaf", risk.leaf_low)
    .given("chance", odds(risk.chance))
    .practice("plants set out are watched for six weeks")
    .doubt(LEAF_NOTE)
    .changes("a newer forecast, or `cover PLACE on` where the bed is called as a place is")
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
            let Some(risk) = night.as_ref().map(|night| risk_in_ground(night, &row.floor)) else {
                let said = format!("{label} {crop} in {name}{covered}: nothing is known of tonight");
                return (label, said, Why::new("no forecast and no readings").changes("a forecast: `forecast set`"));
            };
            let (low, odds, floor) = (risk.leaf_low, odds(risk.chance), risk.floor);
            let said = format!(
                "{label} {crop} in {name}{covered}: leaves likely at {low}, {odds} that they fall under {floor}"
            );
            (label, said, why(&risk, row.hardened))
        });
        rows.collect::<Vec<_>>()
    });
    told.collect()
}

/// The nights forecast in a bed, for some plants.
pub(super) enum Nights {
    /// None is forecast.
    Unknown,
    /// None that speaks against it: the worst of those that a forecast reaches.
    Fine(Risk),
    /// The worst of those that do, and the morning it belongs to.
    Bad(Date, Risk),
}

impl Nights {
    /// The bad night in words.
    pub(super) fn bad(&self) -> Option<String> {
        let Self::Bad(morning, risk) = self else { return None };
        Some(format!("the night to {morning}: {} that leaves fall under {}", odds(risk.chance), risk.floor))
    }
}

/// What speaks for and against setting some plants in a bed now. The list before dusk, the day's work and the answer to the
/// act all say what is found here, so that who does what the list says is not told by the act to undo it.
pub(super) struct Planting {
    /// The place whose climate the bed has.
    place: Option<PlaceId>,
    /// In a bed under glass or film, or of a kind that belongs there.
    pub(super) is_sheltered: bool,
    /// That it is before its time in the open.
    pub(super) before_frost: Option<String>,
    /// That they are not hardened off.
    pub(super) soft: Option<String>,
    /// That the cold to come there leads them on to bolting, or that nothing is known of it; once their time is over, only
    /// when it is near.
    pub(super) bolts: Option<String>,
    /// That it leads there in the end, where it is no reason to wait any longer.
    pub(super) bolts_late: Option<String>,
    /// That tonight is too cold for them where they stand, so that the evening carries them in or covers them.
    pub(super) carried_in: Option<String>,
    /// The nights forecast there.
    pub(super) nights: Nights,
    /// The latest reading of the ground.
    pub(super) soil: Option<(Date, Celsius)>,
    /// That it is too cold.
    pub(super) cold_soil: Option<String>,
    /// For tender kinds, that nobody read it.
    pub(super) soil_not_read: Option<String>,
}

impl Planting {
    /// That nothing is known of the nights, in words.
    pub(super) fn unknown(&self) -> Option<String> {
        (!self.is_sheltered && matches!(self.nights, Nights::Unknown)).then(|| "no forecast of the nights".to_owned())
    }
}

/// Judges setting a group's plants in a bed, named or not.
pub(super) fn planting(eve: &Eve<'_>, group: &Group, crop: &Crop, bed: Option<&str>) -> Planting {
    let Eve { state, trade, on, .. } = *eve;
    let under_cover = crop.plant_out_place().is_some_and(|place| place.value == PlantOutPlace::UnderCover);
    let is_glass = |place: PlaceId| {
        let kind = state.places.get(&place).map(|place| place.kind);
        kind.is_some_and(|kind| !matches!(kind, PlaceKind::Plot | PlaceKind::StandingGround))
    };
    // A kind for under cover, of which nobody says where it goes, goes under the glass there is.
    let glass = |kind| state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    let glass = || [PlaceKind::Greenhouse, PlaceKind::Tunnel, PlaceKind::ColdFrame].into_iter().find_map(glass);
    let place = if under_cover && bed.is_none() { glass() } else { ground_of(state, bed) };
    let is_sheltered = under_cover || place.is_some_and(is_glass);
    let season = first_after_frost(crop, trade.last_frost(), chrono::Datelike::year(&on));
    let before_frost = season.filter(|(first, _)| !is_sheltered && on < *first).map(|(first, last)| {
        let day = |day: Date| day.format("%-d %b").to_string();
        match first == last {
            true => format!("the last frost is about {}", day(last)),
            false => format!("its time in the open is from {}, the last frost being about {}", day(first), day(last)),
        }
    });
    let unfinished =
        group.ladder.as_ref().filter(|it| !is_sheltered && !group.is_hardened_off() && !it.is_by_dryness());
    let soft = unfinished.map(|ladder| format!("not hardened off ({})", ladder.words()));
    let nights = match place {
        None if is_sheltered => Nights::Unknown,
        place => nights_there(eve, group, crop, place, is_sheltered),
    };
    let there = place.map_or_else(|| "the open".to_owned(), |place| eve.name(place));
    let (mut bolts, mut bolts_late) = (None, None);
    match bolting(eve, group, place).filter(|_| place.is_some() || !is_sheltered) {
        Some(it) if it.feeds() && group.is_late && it.lets_the_late_go() => {
            bolts_late =
                Some(format!("late, so out all the same, though the cold of {there} may in time make it bolt"));
        }
        Some(it) if it.feeds() => bolts = Some(format!("the cold to come in {there} may make it bolt")),
        Some(it) if it.is_blind() && !group.is_late => {
            bolts = Some("nothing is known of the cold to come, which may make it bolt".to_owned());
        }
        _ => {}
    }
    let stands_out = group.is_out() || state.places.get(&group.place).is_some_and(|it| !it.kind.is_indoors());
    let here = eve.risk(group, group.place, eve.cover_now(group.place)).filter(|_| stands_out);
    let carried_in = here.filter(|risk| risk.advice == Advice::Act).map(|risk| {
        let (odds, floor, here) = (odds(risk.chance), risk.floor, eve.name(group.place));
        format!("tonight is too cold for it in {here}: {odds} that leaves fall under {floor}")
    });
    let wants = crop.plant_out_soil().filter(|_| !under_cover);
    let soil = wants.as_ref().and_then(|_| soil(state, place, on));
    let cold_soil = wants.as_ref().zip(soil).filter(|(wants, (_, soil))| *soil < wants.low);
    let cold_soil = cold_soil.map(|(wants, (_, soil))| format!("soil {soil}, and it wants {}", wants.low));
    let is_tender = group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
    let unread = wants.filter(|_| is_tender && soil.is_none());
    let soil_not_read = unread.map(|wants| format!("no soil reading this week, and it wants {}", wants.low));
    Planting {
        place,
        is_sheltered,
        before_frost,
        soft,
        bolts,
        bolts_late,
        carried_in,
        nights,
        soil,
        cold_soil,
        soil_not_read,
    }
}

/// The night to a morning in a bed as it is covered now, or in the open.
fn night_there(eve: &Eve<'_>, place: Option<PlaceId>, morning: Date) -> Option<Night> {
    match place {
        Some(place) => eve.climates.night(place, morning, eve.cover_now(place)),
        None => eve.climates.night_in_the_open(morning),
    }
}

/// The nights forecast in a bed. A tender kind is kept back from a night that only checks it, by the floor it has in its pot;
/// in the ground the night that counts is one that may kill.
fn nights_there(eve: &Eve<'_>, group: &Group, crop: &Crop, place: Option<PlaceId>, is_sheltered: bool) -> Nights {
    let in_pots = !(group.is_late && is_sheltered);
    let tender = group.floor.filter(|floor| in_pots && floor.class == Hardiness::Tender);
    let Some(floor) = tender.or_else(|| ground_floor(crop, group.hardened)) else { return Nights::Unknown };
    let nights = (1..=LOOK_AHEAD).filter_map(|ahead| {
        let morning = after(eve.on, ahead);
        let night = night_there(eve, place, morning)?;
        Some((ahead, morning, risk_in_ground(&night, &floor)))
    });
    let nights: Vec<_> = nights.collect();
    let worst = |a: &&(u32, Date, Risk), b: &&(u32, Date, Risk)| a.2.chance.total_cmp(&b.2.chance);
    let bad = nights.iter().filter(|(ahead, _, risk)| speaks_against(*ahead, risk)).max_by(worst);
    let near = nights.iter().filter(|(ahead, _, risk)| *ahead <= REACH && !risk.is_guess).max_by(worst);
    match (bad, near) {
        (Some((_, morning, risk)), _) => Nights::Bad(*morning, *risk),
        (None, Some((.., risk))) => Nights::Fine(*risk),
        (None, None) => Nights::Unknown,
    }
}

/// What speaks against setting a part's plants in a bed now, in one line; `None` when nothing does: that it is before the
/// last frost, that they are not hardened off, that a night forecast is likely to harm them, that the soil is too cold.
#[must_use]
pub fn too_early(state: &State, trade: &Trade, id: PartId, bed: Option<&str>, on: Date) -> Option<String> {
    let climates = Climates::learn(state, trade, on);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    let groups = groups(state, trade, &climates);
    let group = groups.iter().find(|group| group.parts.iter().any(|part| part.id == id))?;
    let crop = group.crop_in(state, trade)?;
    let planting = planting(&eve, group, crop, bed);
    let night = match &planting.nights {
        Nights::Bad(morning, risk) => {
            // In the ground a tender kind is fleeced against what may kill it, as the list before dusk will have it.
            let hurts = night_there(&eve, planting.place, *morning).zip(ground_floor(crop, group.hardened));
            let hurts = hurts.is_some_and(|(night, floor)| risk_in_ground(&night, &floor).advice == Advice::Act);
            let harm = danger(group, risk);
            let what = if hurts { "fleece them, or `undo`" } else { "a warmer night is better: `undo`" };
            Some(format!("the night to {morning}: {harm}; {what} takes this back"))
        }
        _ => None,
    };
    let unknown = planting.unknown();
    let doubts = [planting.before_frost, planting.soft, planting.bolts, planting.cold_soil, night, planting.carried_in];
    let mut doubts: Vec<String> = doubts.into_iter().flatten().collect();
    // As the list has it: what nobody knows is no reason to wait by itself.
    let is_early = !doubts.is_empty();
    doubts.extend(planting.bolts_late);
    doubts.extend(unknown.clone());
    if is_early || unknown.is_some() {
        doubts.extend(planting.soil_not_read);
    }
    let label = group.parts.iter().find(|part| part.id == id).map(|part| part.label)?;
    match (is_early, doubts.is_empty()) {
        (_, true) => None,
        (true, _) => Some(format!("{label} {} is early: {}", group.crop, doubts.join("; "))),
        (false, _) => Some(format!("{label} {}: {}", group.crop, doubts.join("; "))),
    }
}
