//! How much goes on a carrier: the pots it is moulded for, else what its ground holds.

use crate::journal::{State, Vessel};
use crate::quantity::{ContainerClass, ContainerId, Millimetres};
use crate::science::packing::{Item, MOST_ITEMS, Standing, Surface, place_many, stand_all};

use super::stand::{LARGER_THAN_A_CARRIER, goes_in, label_of};

/// What is wrong with so much more on a carrier, in words; `None` where it goes, or where sizes are not known. `coming`
/// is what is to be set on it beside what stands there: sets of pots, each pot a footprint of its own.
#[must_use]
pub fn beyond_carrier(state: &State, carrier: ContainerId, coming: &[&Vessel]) -> Option<String> {
    let held = &state.containers.get(&carrier)?.vessel;
    let standing: Vec<&Vessel> =
        state.carried_by(carrier).filter(|(id, _)| state.is_occupied(*id)).map(|(_, inner)| &inner.vessel).collect();
    let (come, stand) = (counted(coming), counted(&standing));
    let kind = &coming.first()?.name;
    let beside = if stand == 0 { String::new() } else { format!(" beside the {stand} that stand there") };
    let label = label_of(state, carrier);
    if let Some(moulded) = held.cells {
        let left = moulded.saturating_sub(stand);
        let name = &held.name;
        return (come > left).then(|| {
            format!("{label}, a {name}, is made for {moulded} pots: {left} more go there{beside}, not {come}")
        });
    }
    let (length, width) = held.length.zip(held.width)?;
    let surface = ground(held)?;
    let (old, new) = (footprints(&standing)?, footprints(coming)?);
    let all: Vec<Item> = old.iter().chain(&new).copied().collect();
    if stand_all(&surface, &[], &all).is_some() {
        return None;
    }
    let more = beside_those(&surface, &old, new.first().unwrap_or(&all[0]));
    let more = more.min(usize::try_from(come).unwrap_or(usize::MAX).saturating_sub(1));
    let size = format!("{} x {width}", length.0);
    Some(format!("{label}, {size}, holds about {more} more of {kind}{beside}, not {come}"))
}

/// How many more of a kind go on a carrier beside what stands there, pots counted one by one; `None` where sizes are not
/// known.
pub(super) fn room_on_carrier(state: &State, carrier: ContainerId, kind: &Vessel) -> Option<u32> {
    let held = &state.containers.get(&carrier)?.vessel;
    if goes_in(state, carrier, kind).is_err() {
        return Some(0);
    }
    let standing: Vec<&Vessel> =
        state.carried_by(carrier).filter(|(id, _)| state.is_occupied(*id)).map(|(_, inner)| &inner.vessel).collect();
    if let Some(moulded) = held.cells {
        return Some(moulded.saturating_sub(counted(&standing)));
    }
    let one = Item::new(kind.length?, kind.width?, None).ok()?;
    u32::try_from(beside_those(&ground(held)?, &footprints(&standing)?, &one)).ok()
}

/// A carrier's ground, with what real trays and tapering pots allow.
fn ground(held: &Vessel) -> Option<Surface> {
    let wider = |side: Millimetres| Millimetres(side.0.saturating_add(LARGER_THAN_A_CARRIER));
    Surface::new(wider(held.length?), wider(held.width?), None).ok()
}

/// How many of one footprint go beside others.
fn beside_those(surface: &Surface, others: &[Item], one: &Item) -> usize {
    let around: Option<Vec<Standing>> = stand_all(surface, &[], others)
        .map(|spots| others.iter().zip(spots).map(|(item, at)| Standing { item: *item, at }).collect());
    around.map_or(0, |around| place_many(surface, &around, one, MOST_ITEMS).len())
}

/// Pots counted one by one.
fn counted(vessels: &[&Vessel]) -> u32 {
    vessels.iter().map(|vessel| pots(vessel)).fold(0, u32::saturating_add)
}

fn pots(vessel: &Vessel) -> u32 {
    if vessel.class == ContainerClass::Pot { vessel.pots.max(1) } else { 1 }
}

/// Every pot a footprint of its own; `None` when one was never measured, or there are more than can be worked out.
fn footprints(vessels: &[&Vessel]) -> Option<Vec<Item>> {
    let mut found = Vec::new();
    for vessel in vessels {
        let item = Item::new(vessel.length?, vessel.width?, None).ok()?;
        let many = usize::try_from(pots(vessel)).ok()?;
        if found.len() + many > MOST_ITEMS {
            return None;
        }
        found.extend(std::iter::repeat_n(item, many));
    }
    Some(found)
}
