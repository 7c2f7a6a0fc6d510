//! How tall containers are with what grows in them, now and a week ahead.

use crate::journal::{Beginning, Container, Part, State};
use crate::quantity::{ContainerClass, ContainerId, Date, Millimetres};
use crate::trade::{Figure, Trade};

use super::part::{self, days_between};

/// Plants are looked at so many days ahead: what is stood today is not looked at again for about a week.
pub(super) const AHEAD: u32 = 7;

/// How tall something will be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tall {
    /// From the bench to the top.
    pub height: Millimetres,
    /// True when it rests on how fast plants grow by the tables, not on a measurement alone: common practice, wide of
    /// the mark by half either way.
    pub guessed: bool,
}

/// How tall a container is with what grows in it or stands on it, as far as was noted.
pub(super) fn now(state: &State, id: ContainerId) -> Option<Millimetres> {
    let noted = |part: &Part| noted(part).map(|(_, height)| Tall { height, guessed: false });
    tallest(state, id, &noted).map(|tall| tall.height)
}

/// How tall it will be a week from `on`: from the height noted, or else from the crop and its age.
pub(super) fn ahead(state: &State, trade: &Trade, on: Date, id: ContainerId) -> Option<Tall> {
    tallest(state, id, &|part| plants_ahead(state, trade, on, part))
}

fn tallest(state: &State, id: ContainerId, plants: &dyn Fn(&Part) -> Option<Tall>) -> Option<Tall> {
    let own = |container: &Container| {
        let own = container.vessel.height.map_or(0, |height| height.0);
        let live = container.parts.iter().filter_map(|part| state.parts.get(part)).filter(|part| part.is_live());
        let bare = container.vessel.height.map(|height| Tall { height, guessed: false });
        let grown = live.filter_map(plants).max();
        let grown = grown.map(|it| Tall { height: Millimetres(own.saturating_add(it.height.0)), ..it });
        grown.into_iter().chain(bare).max()
    };
    let container = state.containers.get(&id)?;
    let carried = carried(state, id).filter(|(inner, _)| state.is_occupied(*inner));
    own(container).into_iter().chain(carried.filter_map(|(_, inner)| own(inner))).max()
}

/// What stands on a container: nothing unless it is a carrier, so that others need not be asked.
pub(super) fn carried(state: &State, id: ContainerId) -> impl Iterator<Item = (ContainerId, &Container)> {
    let is_carrier = |it: &Container| it.vessel.class == ContainerClass::Carrier;
    let carrier = state.containers.get(&id).filter(|container| is_carrier(container));
    carrier.into_iter().flat_map(move |_| state.carried_by(id))
}

fn noted(part: &Part) -> Option<(Date, Millimetres)> {
    part.stages.iter().rev().find_map(|(on, growth)| growth.height.map(|height| (*on, height)))
}

/// The plants of a part a week ahead. Nothing that is not up has a height, and nothing outgrows the height of planting
/// out by the tables unless it was noted taller.
fn plants_ahead(state: &State, trade: &Trade, on: Date, part: &Part) -> Option<Tall> {
    let batch = state.batches.get(&part.batch)?;
    let crop = part::crop(state, trade, batch);
    let rate = crop.and_then(|crop| Some((crop.plant_out_height()?, crop.weeks_to_plant_out()?)));
    let Some((height, weeks)) = rate else {
        return noted(part).map(|(_, height)| Tall { height, guessed: false });
    };
    if part.standing() == 0 {
        return None;
    }
    let grown = |days: u32| f64::from(days) * daily(&height, &weeks);
    let most = height.high.0;
    if let Some((seen, noted)) = noted(part) {
        let days = days_between(seen, on).saturating_add(AHEAD);
        // A cast of a length that was clamped before.
        let reached = (f64::from(noted.0) + grown(days)).min(f64::from(most.max(noted.0))) as u32;
        return Some(Tall { height: Millimetres(reached), guessed: true });
    }
    if !matches!(batch.beginning, Beginning::Sown { .. }) {
        return None;
    }
    let age = days_between(batch.begun, on).saturating_add(AHEAD);
    Some(Tall { height: Millimetres(grown(age).min(f64::from(most)) as u32), guessed: true })
}

/// Millimetres a day from sowing to planting out: the middle height over the middle age. Common practice, no source:
/// plants grow slower than that at first and faster at the end.
fn daily(height: &Figure<Millimetres>, weeks: &Figure<f64>) -> f64 {
    let middle = f64::from(height.low.0.saturating_add(height.high.0)) / 2.0;
    let days = (weeks.low + weeks.high) / 2.0 * 7.0;
    if days > 0.0 { middle / days } else { 0.0 }
}
