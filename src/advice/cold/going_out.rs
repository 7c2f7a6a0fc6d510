//! Out of the house into a frame, and out of pots into the ground.

use crate::journal::{Measured, PlaceKind, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, PlaceId, SquareMillimetres};
use crate::science::cold_risk::Advice;

use super::groups::{Floor, Group};
use super::nights::REACH;
use super::planting::{Nights, planting};
use super::risk::{LATE, LATE_AND_SOFT, LATE_IN_COOL_SOIL, Risk, odds, risk_of};
use super::slow::{COLDER, no_nights_in};
use super::{Eve, LEAF_NOTE};
use crate::advice::climate::{Cover, Night};
use crate::advice::part::{PartAt, after, days_between, emerged};
use crate::advice::ready::Step;
use crate::advice::unheard::move_due;
use crate::advice::why::Why;

/// Nights of forecast that have to be safe, at least. Common practice, no source.
const SAFE_NIGHTS: u32 = 3;
pub(super) const LOOK_AHEAD: u32 = 10;
/// Days after coming up before a seedling leaves the house. Common practice, no source.
pub(super) const SETTLED_DAYS: u32 = 10;
/// Days that a reading of the soil holds. Common practice, no source.
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
    /// True late in the day, when it is left to the morning.
    pub is_for_tomorrow: bool,
    /// Why, with the numbers.
    pub reason: String,
    /// The words that do it; `None` before the day, and in the evening.
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
    /// True when that is reason to wait: a bad night, cold ground, not hardened off, before its time. Not when it is only that
    /// nobody knows.
    pub waits: bool,
    /// True late in the day, when it is left to the morning.
    pub is_for_tomorrow: bool,
    /// Why, with the numbers.
    pub reason: String,
    /// The words that do it; `None` while it waits, and in the evening.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// Batches in a house for which the nights forecast in a frame or unheated house of glass are safe from some evening on.
pub(super) fn to_frame(eve: &Eve<'_>, groups: &[Group]) -> Vec<ToFrame> {
    groups.iter().filter_map(|group| leaves_for_glass(eve, group)).collect()
}

/// Leaving the house for the first frame or unheated house of glass that does; not for what is to be planted.
fn leaves_for_glass(eve: &Eve<'_>, group: &Group) -> Option<ToFrame> {
    let kinds = [PlaceKind::ColdFrame, PlaceKind::Greenhouse, PlaceKind::Tunnel];
    let find = |kind| eve.state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    let mut places = kinds.into_iter().filter_map(find);
    places.find_map(|place| leaves_house(eve, group, place)).filter(|_| !is_to_be_planted(eve, group))
}

/// The same when today is the day, and there is room.
pub(super) fn leaves_house_now(eve: &Eve<'_>, group: &Group) -> Option<ToFrame> {
    leaves_for_glass(eve, group).filter(|row| row.doing.is_some())
}

/// True when some of a group's plants are to be planted out today, or in the evening tomorrow: then that is where they go.
pub(super) fn is_to_be_planted(eve: &Eve<'_>, group: &Group) -> bool {
    group.parts.iter().filter_map(|part| going_out(eve, group, part)).any(|row| !row.waits)
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
    if no_nights_in(eve, group, to).is_some() {
        return None;
    }
    let spot = eve.spot(group, to)?;
    // Without the mat that may lie there now: it comes off in the morning.
    let night = |ahead: u32, cover| eve.climates.night(to, after(eve.on, ahead), cover);
    let nights = (1..=LOOK_AHEAD).map_while(|ahead| Some((night(ahead, Cover::Off)?, night(ahead, Cover::On)?)));
    // Were it colder than forecast, they would be let be or covered: else tomorrow's forecast carries them back.
    let colder = Floor { now: Celsius(floor.now.0 + COLDER), ..floor };
    let stays_good = |bare: &Night, covered: &Night| {
        risk_of(bare, &colder).advice == Advice::Leave || group.is_safe(&risk_of(covered, &colder))
    };
    let risks = nights.map(|(bare, covered)| (risk_of(&bare, &floor), stays_good(&bare, &covered)));
    let risks: Vec<_> = risks.filter(|(risk, _)| !risk.is_guess).collect();
    // A night that a forecast reaches has to be safe; one further off is less certain, and is not to be one to act on.
    let is_against = |((risk, stays_good), ahead): (&(Risk, bool), u32)| {
        risk.advice == Advice::Act || (ahead <= REACH && !(group.is_safe(risk) && *stays_good))
    };
    let danger = risks.iter().zip(1..).filter(|night| is_against(*night)).last().map_or(0, |(_, ahead)| ahead as usize);
    let safe = risks.get(danger..).unwrap_or_default();
    if safe.len() < SAFE_NIGHTS as usize {
        return None;
    }
    let from = after(eve.on, u32::try_from(danger).unwrap_or(LOOK_AHEAD));
    let near = safe.iter().map(|(risk, _)| risk).zip(1..).take(REACH as usize);
    let (worst, nth) = near.max_by(|a, b| a.0.chance.total_cmp(&b.0.chance))?;
    let containers = group.parts.iter().filter_map(|part| eve.state.containers.get(&part.container)?.footprint());
    let frees: SquareMillimetres = containers.sum();
    let name = eve.name(to);
    let short = spot.shortage().map_or_else(String::new, |short| format!("; {short}"));
    let is_for_tomorrow = from <= eve.on && eve.at().is_late();
    let when = if from > eve.on { format!(" from {from}") } else { String::new() };
    let day = if is_for_tomorrow { "tomorrow it " } else { "" };
    let reason = format!(
        "{day}may go to {name}{when}, which frees {frees} indoors: {} nights forecast, the worst to {}: leaves likely at {}, {} to fall under {}{short}; {LEAF_NOTE}",
        safe.len(),
        after(from, nth),
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
        doing: (from <= eve.on && spot.goes > 0 && !is_for_tomorrow).then(|| spot.moving(group)),
        is_for_tomorrow,
        why,
    })
}

/// Parts whose next move is into their final place and whose best day has come, as today's work has it, with what is still
/// lacking.
pub(super) fn plant_out(eve: &Eve<'_>, groups: &[Group]) -> Vec<GoingOut> {
    groups.iter().flat_map(|group| group.parts.iter().filter_map(|part| going_out(eve, group, part))).collect()
}

fn going_out(eve: &Eve<'_>, group: &Group, part: &PartAt) -> Option<GoingOut> {
    let ready = move_due(eve.state, eve.trade, part.id, eve.on).filter(|ready| ready.step == Step::PlantOut)?;
    let crop = group.crop_in(eve.state, eve.trade)?;
    let planting = planting(eve, group, part, crop, None);
    let unknown = planting.unknown();
    let not_forecast = unknown.clone().map_or_else(String::new, |words| format!("; {words}: look at one first"));
    let bad = planting.nights.bad();
    let tonight = planting.carried_in.filter(|_| bad.is_none());
    let against = [bad, tonight, planting.cold_soil, planting.soft, planting.before_frost, planting.bolts];
    let mut lacking: Vec<String> = against.into_iter().flatten().collect();
    // Who notes forecasts waits for one; who never does is not kept waiting for it.
    let waits_for_one = unknown.clone().filter(|_| !eve.state.forecasts.is_empty());
    lacking.extend(waits_for_one.map(|words| format!("{words}: wait for a forecast")));
    let waits = !lacking.is_empty();
    // Of what goes out all the same nothing is said while it waits.
    let is_in_cool_soil = planting.soil_late.is_some();
    lacking.extend(planting.soil_late.filter(|_| !waits));
    lacking.extend(planting.bolts_late.filter(|_| !waits));
    let is_but = !lacking.is_empty();
    lacking.extend(unknown.filter(|_| eve.state.forecasts.is_empty()));
    // What nobody read is no reason to wait by itself, and is asked for with the others.
    let unread = planting.soil_not_read.clone().map_or_else(String::new, |words| format!("; {words}"));
    if !lacking.is_empty() {
        lacking.extend(planting.soil_not_read);
    }
    let mut why = ready.why.clone().given("hardened", group.hardened);
    if group.floor.is_some_and(|floor| floor.is_late) {
        why = why.practice(LATE);
    }
    if planting.soft_late.is_some() {
        why = why.practice(LATE_AND_SOFT);
    }
    if is_in_cool_soil {
        why = why.practice(LATE_IN_COOL_SOIL);
    }
    if let Some(figure) = crop.plant_out_soil() {
        why = why.figure("soil from", &figure);
    }
    if let Some((on, soil)) = planting.soil {
        why = why.seen("soil", soil, on);
    }
    let since = ready.window.earliest;
    let is_for_tomorrow = !waits && eve.at().is_late();
    let day = if is_for_tomorrow { "plant it tomorrow: " } else { "" };
    let reason = if is_but {
        format!("{day}its time has come, but: {}", lacking.join("; "))
    } else {
        let how = match &group.ladder {
            _ if planting.is_sheltered => ", under glass or film".to_owned(),
            Some(ladder) if ladder.is_done() => ", hardened".to_owned(),
            Some(ladder) if ladder.is_by_dryness() && ladder.softened => {
                "; it has softened: harden it again by less water".to_owned()
            }
            Some(ladder) if ladder.is_by_dryness() => "; it is not hardened by cold".to_owned(),
            _ => planting.soft_late.as_ref().map_or_else(String::new, |soft| format!(", {soft}")),
        };
        let nights = match &planting.nights {
            Nights::Fine(worst) => format!(
                "; of the nights forecast the worst, to {}, has {} that leaves fall under {}{}{unread}; {LEAF_NOTE}",
                worst.morning,
                odds(worst.risk.chance),
                worst.risk.floor,
                worst.late_words
            ),
            _ => format!("{not_forecast}{unread}"),
        };
        format!("{day}its time has come since {since}{how}{nights}")
    };
    let doing = (!waits && !is_for_tomorrow).then(|| format!("plant-out {:#} {}", part.label, part.standing));
    Some(GoingOut {
        part: part.clone(),
        label: group.label,
        crop: group.crop.clone(),
        lacking,
        waits,
        is_for_tomorrow,
        reason,
        doing,
        why: why.doubt(LEAF_NOTE),
    })
}

/// The plot, or else the ground where pots stand.
pub(super) fn open_ground(state: &State) -> Option<PlaceId> {
    let of = |kind| state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    of(PlaceKind::Plot).or_else(|| of(PlaceKind::StandingGround))
}

/// The latest reading this week of a bed's own ground, or, for one in the open, of any in the open: the soil under glass is
/// warmer.
pub(super) fn soil(state: &State, bed: Option<PlaceId>, on: Date) -> Option<(Date, Celsius)> {
    let is_open = |place: PlaceId| {
        let kind = state.places.get(&place).map(|place| place.kind);
        kind.is_some_and(|kind| matches!(kind, PlaceKind::Plot | PlaceKind::StandingGround))
    };
    let in_the_open = bed.is_none_or(is_open);
    let lately = state.readings.iter().rev().filter(|reading| days_between(reading.on, on) <= SOIL_DAYS);
    let there = lately.filter(|reading| bed == Some(reading.place) || (in_the_open && is_open(reading.place)));
    let soils = there.filter_map(|reading| match reading.measured {
        Measured::Soil(soil) => Some((reading.on, soil, bed == Some(reading.place))),
        _ => None,
    });
    let (mut newest, mut own) = (None, None);
    for (day, soil, is_own) in soils {
        let kept = if is_own { &mut own } else { &mut newest };
        *kept = kept.or(Some((day, soil)));
    }
    own.or(newest)
}
