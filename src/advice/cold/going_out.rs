//! Out of the house into a frame, and out of pots into the ground.

use crate::journal::{Measured, PlaceKind, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, PlaceId, SquareMillimetres};
use crate::science::cold_risk::Advice;
use crate::trade::{Hardiness, PlantOutPlace};

use super::groups::Group;
use super::nights::REACH;
use super::risk::{PLAIN, Risk, odds, risk_of};
use super::{Eve, LEAF_NOTE};
use crate::advice::climate::Cover;
use crate::advice::part::{PartAt, after, days_between, emerged};
use crate::advice::ready::{Step, ready_of};
use crate::advice::why::Why;

/// Nights of forecast that have to be safe, at least. Common practice, no source.
const SAFE_NIGHTS: u32 = 3;
pub(super) const LOOK_AHEAD: u32 = 10;
/// Days after coming up before a seedling leaves the house. Common practice, no source.
pub(super) const SETTLED_DAYS: u32 = 10;
/// Hardened enough to plant out, and days that a reading of the soil holds. Common practice, no source.
pub(super) const HARDENED: f64 = 0.8;
const SOIL_DAYS: u32 = 7;

/// Plants that may leave the house.
#[derive(Clone, Debug, PartialEq)]
pub struct ToFrame {
    /// The number of their batch.
    pub label: BatchLabel,
    /// Their crop.
    pub crop: CropName,
    /// The parts.
    pub parts: Vec<PartAt>,
    /// Where to.
    pub to: PlaceId,
    /// The first evening from which every night forecast is safe there.
    pub from: Date,
    /// Bench it frees in the house, as far as the containers were measured.
    pub frees: SquareMillimetres,
    /// Why, with the numbers.
    pub reason: String,
    /// The words that do it; `None` before the day.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// Plants whose time to be planted out has come.
#[derive(Clone, Debug, PartialEq)]
pub struct GoingOut {
    /// The part.
    pub part: PartAt,
    /// The number of its batch.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// What is still lacking, a few words each; empty when it is ready.
    pub lacking: Vec<String>,
    /// The night forecast that would harm them in the open, in words; among what is lacking.
    pub bad_night: Option<String>,
    /// Ground too cold for them, in words; among what is lacking.
    pub cold_soil: Option<String>,
    /// Why, with the numbers.
    pub reason: String,
    /// The words that do it; `None` while anything is lacking.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// Batches in a house for which the nights forecast in a frame or unheated house of glass are safe from some evening on.
pub(super) fn to_frame(eve: &Eve<'_>, groups: &[Group]) -> Vec<ToFrame> {
    let kinds = [PlaceKind::ColdFrame, PlaceKind::Greenhouse, PlaceKind::Tunnel];
    let find = |kind| eve.state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    let places: Vec<PlaceId> = kinds.into_iter().filter_map(find).collect();
    groups.iter().filter_map(|group| places.iter().find_map(|place| leaves_house(eve, group, *place))).collect()
}

fn leaves_house(eve: &Eve<'_>, group: &Group, to: PlaceId) -> Option<ToFrame> {
    let floor = group.floor?;
    let home = group.parts.first().and_then(|part| eve.state.home(part.container))?.0;
    let settled = group.parts.iter().all(|at| {
        let part = eve.state.parts.get(&at.id);
        let since = part.and_then(|part| emerged(eve.state, part).or(Some(part.filled)));
        since.is_some_and(|since| days_between(since, eve.on) >= SETTLED_DAYS)
    });
    if !settled || group.is_out() || !eve.state.places.get(&home)?.kind.is_indoors() {
        return None;
    }
    let spot = eve.spot(group, to)?;
    let cover = eve.cover_now(to);
    let nights = (1..=LOOK_AHEAD).map_while(|ahead| eve.climates.night(to, after(eve.on, ahead), cover));
    let risks: Vec<_> = nights.map(|night| risk_of(&night, &floor)).filter(|risk| !risk.is_guess).collect();
    let danger = risks.iter().rposition(|risk| risk.advice == Advice::Act).map_or(0, |last| last + 1);
    let safe = risks.get(danger..).unwrap_or_default();
    if safe.len() < SAFE_NIGHTS as usize {
        return None;
    }
    let worst = safe.iter().max_by(|a, b| a.chance.total_cmp(&b.chance))?;
    let from = after(eve.on, u32::try_from(danger).unwrap_or(LOOK_AHEAD));
    let containers = group.parts.iter().filter_map(|part| eve.state.containers.get(&part.container)?.footprint());
    let frees: SquareMillimetres = containers.sum();
    let name = eve.name(to);
    let short = spot.shortage().map_or_else(String::new, |short| format!("; {short}"));
    let reason = format!(
        "may go to {name} from {from}, which frees {frees} indoors: {} nights forecast, coldest leaves likely at {}, {} to fall under {}{short}; {LEAF_NOTE}",
        safe.len(),
        worst.leaf_low,
        odds(worst.chance),
        worst.floor
    );
    let why = Why::new("the first evening after the last night forecast that is too cold there at today's hardening")
        .given("floor", worst.floor)
        .given("hardened", group.hardened)
        .doubt(LEAF_NOTE)
        .changes("a newer forecast")
        .practice("three safe nights, and ten days since it came up");
    Some(ToFrame {
        label: group.label,
        crop: group.crop.clone(),
        parts: group.parts.clone(),
        to,
        from,
        frees,
        reason,
        doing: (from <= eve.on && spot.goes > 0).then(|| spot.moving(group)),
        why,
    })
}

/// Parts whose next move is into their final place and whose best day has come, as today's work has it, with what is still
/// lacking.
pub(super) fn plant_out(eve: &Eve<'_>, groups: &[Group]) -> Vec<GoingOut> {
    groups.iter().flat_map(|group| group.parts.iter().filter_map(|part| going_out(eve, group, part))).collect()
}

fn going_out(eve: &Eve<'_>, group: &Group, part: &PartAt) -> Option<GoingOut> {
    let ready = ready_of(eve.state, eve.trade, part.id, eve.on)?;
    if ready.step != Step::PlantOut || ready.window.best > eve.on {
        return None;
    }
    let crop = group.crop_in(eve.state, eve.trade)?;
    let under_cover = crop.plant_out_place().is_some_and(|place| place.value == PlantOutPlace::UnderCover);
    let (mut lacking, mut bad_night, mut cold_soil) = (Vec::new(), None, None);
    let hardened = group.ladder.as_ref().is_none_or(|ladder| ladder.is_done()) || group.hardened.0 >= HARDENED;
    if !hardened && !under_cover {
        let step = group.ladder.as_ref().map_or_else(String::new, |ladder| format!(" ({})", ladder.words()));
        lacking.push(format!("not hardened off{step}"));
    }
    let mut why = ready.why.clone().given("hardened", group.hardened);
    if !under_cover {
        match open_nights(eve, group) {
            OpenNights::Unknown => lacking.push("no forecast of the nights".to_owned()),
            OpenNights::Safe => {}
            OpenNights::Bad(words) => {
                lacking.push(words.clone());
                bad_night = Some(words);
            }
        }
        if let Some(figure) = crop.plant_out_soil() {
            why = why.figure("soil from", &figure);
            match soil(eve.state, eve.on) {
                Some((on, soil)) => {
                    why = why.seen("soil", soil, on);
                    if soil < figure.low {
                        let words = format!("soil {soil}, and it wants {}", figure.low);
                        lacking.push(words.clone());
                        cold_soil = Some(words);
                    }
                }
                None if group.floor.is_some_and(|floor| floor.class == Hardiness::Tender) => {
                    lacking.push("no soil reading this week".to_owned());
                }
                None => {}
            }
        }
    }
    let reason = match lacking.is_empty() {
        true if under_cover => format!("its time has come since {}: under glass or film", ready.window.earliest),
        true => format!(
            "its time has come since {}, hardened, and the nights forecast are safe; {LEAF_NOTE}",
            ready.window.earliest
        ),
        false => format!("its time has come, but: {}", lacking.join("; ")),
    };
    let doing = lacking.is_empty().then(|| format!("plant-out {:#} {}", part.label, part.standing));
    Some(GoingOut {
        part: part.clone(),
        label: group.label,
        crop: group.crop.clone(),
        lacking,
        bad_night,
        cold_soil,
        reason,
        doing,
        why: why.doubt(LEAF_NOTE),
    })
}

/// The nights forecast in the open, for some plants.
enum OpenNights {
    /// None is forecast.
    Unknown,
    /// None that harms them, or nothing is known of what they stand.
    Safe,
    /// The worst one, in words.
    Bad(String),
}

/// What the nights forecast in the open would do to these plants, hardened as they would be by then.
fn open_nights(eve: &Eve<'_>, group: &Group) -> OpenNights {
    let Some(floor) = group.floor else { return OpenNights::Safe };
    let open = open_ground(eve.state);
    let night = |morning| match open {
        Some(open) => eve.climates.night(open, morning, Cover::Off),
        None => eve.climates.night_in_the_open(morning),
    };
    let nights = (1..=LOOK_AHEAD).map_while(|ahead| {
        let morning = after(eve.on, ahead);
        Some((ahead, morning, risk_of(&night(morning)?, &floor)))
    });
    let forecast: Vec<_> = nights.filter(|(.., risk)| !risk.is_guess).collect();
    if forecast.is_empty() {
        return OpenNights::Unknown;
    }
    let bad = forecast.iter().filter(|(ahead, _, risk)| speaks_against(*ahead, risk));
    match bad.max_by(|a, b| a.2.chance.total_cmp(&b.2.chance)) {
        None => OpenNights::Safe,
        Some((_, morning, worst)) => OpenNights::Bad(format!(
            "the night to {morning}: {} that leaves fall under {}",
            odds(worst.chance),
            worst.floor
        )),
    }
}

/// True when a night so many nights ahead is reason to wait; one further off than a forecast reaches only when it is likelier
/// than not too cold.
pub(super) fn speaks_against(ahead: u32, risk: &Risk) -> bool {
    risk.advice == Advice::Act && (ahead <= REACH || risk.chance >= PLAIN)
}

/// The plot, or else the ground where pots stand.
pub(super) fn open_ground(state: &State) -> Option<PlaceId> {
    let of = |kind| state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    of(PlaceKind::Plot).or_else(|| of(PlaceKind::StandingGround))
}

/// The latest reading of the ground this week.
pub(super) fn soil(state: &State, on: Date) -> Option<(Date, Celsius)> {
    let lately = state.readings.iter().rev().filter(|reading| days_between(reading.on, on) <= SOIL_DAYS);
    lately.into_iter().find_map(|reading| match reading.measured {
        Measured::Soil(soil) => Some((reading.on, soil)),
        _ => None,
    })
}
