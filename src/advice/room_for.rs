//! Room for what a form is about to set down: of each kind in question how many go on each bench as it stands.

use crate::journal::{State, Vessel};
use crate::quantity::{BenchId, ContainerClass, ContainerId, Date, Name};
use crate::science::packing::{how_many_more, place_one};
use crate::trade::{ContainerKey, Trade};

use super::carrier::room_on_carrier;
use super::layout::{assumed_layout, block_on, surface};
use super::room::kinds_in_use;
use super::vessel::vessel_of;

/// How many of one kind go on the benches without anything being moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomFor {
    /// The kind.
    pub name: Name,
    /// Its class: pots are counted one by one, as one set.
    pub class: ContainerClass,
    /// Cells of one, where it has cells.
    pub cells: Option<u32>,
    /// For each bench how many go there; benches and kinds that were never measured are left out.
    pub goes: Vec<(BenchId, u32)>,
    /// For each carrier in use how many go on it beside what stands there; those never measured are left out.
    pub carried: Vec<(ContainerId, u32)>,
}

/// The room for each kind in use and for these others, of pots for `most` at most in one set.
#[must_use]
pub fn room_for(state: &State, trade: &Trade, on: Date, others: &[Name], most: u32) -> Vec<RoomFor> {
    let mut kinds = kinds_in_use(state, trade);
    for name in others {
        let row = trade.container(&ContainerKey::new(name.as_str()));
        kinds.extend(
            row.and_then(|row| vessel_of(state, row, 1)).filter(|_| kinds.iter().all(|kind| kind.name != *name)),
        );
    }
    let mut rooms: Vec<RoomFor> = kinds
        .iter()
        .map(|kind| RoomFor {
            name: kind.name.clone(),
            class: kind.class,
            cells: kind.cells,
            goes: Vec::new(),
            carried: Vec::new(),
        })
        .collect();
    for (id, bench) in &state.benches {
        let Some(surface) = surface(&bench.size) else { continue };
        let layout = assumed_layout(state, trade, on, *id);
        let standing = layout.standings();
        let goes = |kind: &Vessel| {
            let item = block_on(&surface, kind, kind.height)?;
            if !layout.crowded.is_empty() {
                return Some(0);
            }
            if kind.class != ContainerClass::Pot {
                return Some(how_many_more(&surface, &standing, &item));
            }
            // In the block it is taken to stand in once it is there.
            let set = |pots: u32| {
                let block = block_on(&surface, &Vessel { pots, ..kind.clone() }, kind.height);
                block.is_some_and(|block| place_one(&surface, &standing, &block).is_some())
            };
            // The largest set that goes, taken to be so of every smaller one.
            let (mut goes, mut not) = (0, most.saturating_add(1));
            while not - goes > 1 {
                let half = goes + (not - goes) / 2;
                if set(half) { goes = half } else { not = half }
            }
            Some(goes)
        };
        for (kind, room) in kinds.iter().zip(&mut rooms) {
            room.goes.extend(goes(kind).map(|goes| (*id, goes)));
        }
    }
    let carriers = state.containers.iter().filter(|(_, it)| it.vessel.class == ContainerClass::Carrier);
    for (id, _) in carriers.filter(|(_, it)| it.put_away.is_none()) {
        for (kind, room) in kinds.iter().zip(&mut rooms) {
            room.carried.extend(room_on_carrier(state, *id, kind).map(|goes| (*id, goes)));
        }
    }
    rooms
}
