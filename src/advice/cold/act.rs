//! What tonight is likely to do to plants that were just stood somewhere else: said once, at the act.

use crate::journal::{PlaceKind, State};
use crate::quantity::{ContainerId, Date, PlaceId};
use crate::science::cold_risk::Advice;
use crate::trade::{Raising, Trade};

use super::Eve;
use super::dusk::danger;
use super::going_out::soil;
use super::groups::{Group, groups};
use super::risk::Risk;
use super::slow::kept_from;
use crate::advice::climate::{Climates, Cover};
use crate::advice::part::{self, listed};

/// What tonight does to plants stood in a place out of the house, in a line; `None` when they may stay there. `moved` are
/// the containers that were moved or filled, as they stand now.
#[must_use]
pub fn tonight_after(state: &State, trade: &Trade, on: Date, moved: &[ContainerId]) -> Option<String> {
    let outdoors = |id: &ContainerId| {
        let place = state.whereabouts(*id).and_then(|place| state.places.get(&place));
        place.is_some_and(|place| !place.kind.is_indoors())
    };
    if !moved.iter().any(outdoors) {
        return None;
    }
    let climates = Climates::learn(state, trade, on);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    let here = |id: &ContainerId| moved.contains(id) || moved.contains(&state.outermost(*id));
    let groups = groups(state, trade, &climates);
    let moved_now = || groups.iter().filter(|group| group.parts.iter().any(|part| here(&part.container)));
    let bolting = moved_now().filter(|group| !group.is_out()).find(|group| kept_from(&eve, group, group.place));
    let bolting = bolting.map(|group| {
        let (parts, crop, place) = (listed(&group.parts, eve.on), &group.crop, eve.name(group.place));
        format!("{parts} {crop} may bolt of the cold forecast in {place}: somewhere warmer, or `undo` takes this back")
    });
    let risks = moved_now().filter_map(|group| {
        let risk = eve.risk(group, group.place, eve.cover_now(group.place))?;
        let coverable = state.places.get(&group.place).is_some_and(|place| !place.kind.is_indoors());
        let covered = eve.risk(group, group.place, Cover::On).filter(|risk| coverable && group.is_safe(risk));
        let what = match covered {
            _ if group.is_out() => "in again before dusk",
            Some(_) => "a cover tonight would do",
            None => "`undo` takes this back",
        };
        Some((group, risk, eve.name(group.place), what))
    });
    worst(&eve, risks).or(bolting)
}

/// Places where tonight would harm some of the plants in these containers, did they stand there as it is covered now.
#[must_use]
pub fn harmed_tonight(state: &State, trade: &Trade, on: Date, moved: &[ContainerId]) -> Vec<PlaceId> {
    let climates = Climates::learn(state, trade, on);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    let here = |id: &ContainerId| moved.contains(id) || moved.contains(&state.outermost(*id));
    let mut groups = groups(state, trade, &climates);
    groups.retain(|group| group.parts.iter().any(|part| here(&part.container)));
    let harms = |place: PlaceId, group: &Group| {
        eve.risk(group, place, eve.cover_now(place)).is_some_and(|risk| risk.advice == Advice::Act)
    };
    state.places.keys().copied().filter(|place| groups.iter().any(|group| harms(*place, group))).collect()
}

/// What is to be said of seed just sown into open ground that is too cold for it, by this week's reading of the soil.
#[must_use]
pub fn sown_too_cold(state: &State, trade: &Trade, on: Date, sown: &[ContainerId]) -> Option<String> {
    sown.iter().find_map(|id| {
        let at = state.whereabouts(*id)?;
        let (place, (read, soil)) = (state.places.get(&at)?, soil(state, Some(at), on)?);
        let part = state.containers.get(id)?.parts.iter().find_map(|part| state.parts.get(part))?;
        let batch = state.batches.get(&part.batch)?;
        let crop = part::crop(state, trade, batch)?;
        let wants = crop.plant_out_soil()?.low;
        let in_ground = matches!(place.kind, PlaceKind::Plot) && part.is_sown();
        let raised_there = crop.raising().is_some_and(|raising| raising.value == Raising::InPlace);
        (in_ground && raised_there && soil < wants).then(|| {
            let name = crop.key();
            format!("the soil was {soil} on {read}: too cold to sow {name} with profit, which wants {wants}")
        })
    })
}

/// The one most harmed of those that are at risk, in words.
fn worst<'a>(eve: &Eve<'_>, risks: impl Iterator<Item = (&'a Group, Risk, String, &'static str)>) -> Option<String> {
    let at_risk = risks.filter(|(_, risk, ..)| risk.advice == Advice::Act);
    let (group, risk, place, what) = at_risk.max_by(|(a, a_risk, ..), (b, b_risk, ..)| {
        let ((a_dies, a_harm), (b_dies, b_harm)) = (a.harm(a_risk), b.harm(b_risk));
        a_dies.total_cmp(&b_dies).then(a_harm.total_cmp(&b_harm))
    })?;
    let (parts, crop, morning) = (listed(&group.parts, eve.on), &group.crop, eve.morning());
    Some(format!("the night to {morning} in {place}: {parts} {crop}: {}; {what}", danger(group, &risk)))
}
