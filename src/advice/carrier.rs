//! How much goes on a carrier: the pots it is moulded for, else what its ground holds.

use crate::journal::{State, Vessel};
use crate::quantity::{ContainerClass, ContainerId, Millimetres};
use crate::science::packing::{Item, MOST_ITEMS, Standing, Surface, place_many, stand_all};

use super::stand::{LARGER_THAN_A_CARRIER, label_of};

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
    let wider = |side: Millimetres| Millimetres(side.0.saturating_add(LARGER_THAN_A_CARRIER));
    let surface = Surface::new(wider(length), wider(width), None).ok()?;
    let (old, new) = (footprints(&standing)?, footprints(coming)?);
    let all: Vec<Item> = old.iter().chain(&new).copied().collect();
    if stand_all(&surface, &[], &all).is_some() {
        return None;
    }
    let spots = stand_all(&surface, &[], &old);
    let around: Option<Vec<Standing>> =
        spots.map(|spots| old.iter().zip(spots).map(|(item, at)| Standing { item: *item, at }).collect());
    let more =
        around.map_or(0, |around| place_many(&surface, &around, new.first().unwrap_or(&all[0]), MOST_ITEMS).len());
    let more = more.min(usize::try_from(come).unwrap_or(usize::MAX).saturating_sub(1));
    let size = format!("{} x {width}", length.0);
    Some(format!("{label}, {size}, holds about {more} more of {kind}{beside}, not {come}"))
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
