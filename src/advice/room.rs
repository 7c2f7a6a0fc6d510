//! What else goes on the benches: how many more of each kind of container in use, and ground that any use can be made of.

use std::collections::BTreeMap;

use crate::journal::{State, Vessel};
use crate::quantity::{BenchId, ContainerClass, Date, Name, PlaceId, SquareMillimetres};
use crate::science::packing::{Item, Surface, free_usable_area, how_many_more};
use crate::trade::{ContainerKey, Trade};

use super::layout::{self, Layout, assumed_layout};
use super::space::{ground, height_matters};
use super::stand::label_of;
use super::vessel::vessel_of;

/// How many more of one kind go on a bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct More {
    /// The kind: one of them, a single pot of a set.
    pub vessel: Vessel,
    /// How many stand anywhere, pots counted one by one.
    pub in_use: u32,
    /// How many more were found to go without moving anything; `None` when it was never measured.
    pub more: Option<u32>,
    /// Why that is only the most that can go.
    pub unsure: Option<Unsure>,
}

/// What else goes on one bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchRoom {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place.
    pub place: PlaceId,
    /// The place's name.
    pub place_name: Name,
    /// Ground nothing stands on, as [`Area::free`](super::Area::free) has it.
    pub free: SquareMillimetres,
    /// Of that, ground that a tray in use could cover without anything being moved; none where something has no spot.
    pub usable: SquareMillimetres,
    /// For each kind in use, by name.
    pub more: Vec<More>,
    /// Labels of those that stand there and have no spot: no more goes then.
    pub crowded: Vec<String>,
    /// Why all figures are only at most what they say.
    pub unsure: Option<Unsure>,
}

/// Why a count of what goes is not sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsure {
    /// More stands there than was found to go, so that no room is counted.
    Overfull,
    /// Something there was never measured, so that it is at most so many.
    Unmeasured,
    /// Nobody knows how tall one is, and the roof is low, so that it is at most so many.
    HeightUnknown,
}

/// What is not known of the room on a bench, whatever is to go there.
pub(super) fn unsure(layout: &Layout) -> Option<Unsure> {
    let overfull = (!layout.crowded.is_empty()).then_some(Unsure::Overfull);
    overfull.or((!layout.unmeasured.is_empty()).then_some(Unsure::Unmeasured))
}

/// What else goes on each bench, by place and name.
#[must_use]
pub fn room(state: &State, trade: &Trade, on: Date) -> Vec<BenchRoom> {
    let kinds = kinds_in_use(state, trade);
    let mut rooms: Vec<BenchRoom> =
        state.benches.keys().filter_map(|id| room_on(state, trade, on, *id, &kinds)).collect();
    rooms.sort_by(|a, b| (&a.place_name, &a.name, a.bench).cmp(&(&b.place_name, &b.name, b.bench)));
    rooms
}

fn room_on(state: &State, trade: &Trade, on: Date, id: BenchId, kinds: &[Vessel]) -> Option<BenchRoom> {
    let bench = state.benches.get(&id)?;
    let place = state.places.get(&bench.place)?;
    let surface = layout::surface(&bench.size)?;
    let layout = assumed_layout(state, trade, on, id);
    let standing = layout.standings();
    let free = ground(state, id)?.free;
    let fits = |kind: &Vessel| {
        let item = layout::block_on(&surface, kind, kind.height)?;
        Some(if layout.crowded.is_empty() { how_many_more(&surface, &standing, &item) } else { 0 })
    };
    let more = |kind: &Vessel| More {
        vessel: kind.clone(),
        in_use: in_use(state, &kind.name),
        more: fits(kind),
        unsure: unsure(&layout).or(height_matters(&bench.size, kind).then_some(Unsure::HeightUnknown)),
    };
    let usable = if layout.crowded.is_empty() {
        free_usable_area(&surface, &standing, &usable_by(kinds, &surface))
    } else {
        SquareMillimetres(0)
    };
    Some(BenchRoom {
        bench: id,
        name: bench.name.clone(),
        place: bench.place,
        place_name: place.name.clone(),
        free,
        usable: usable.min(free),
        more: kinds.iter().map(more).collect(),
        crowded: layout.crowded.iter().map(|id| label_of(state, *id)).collect(),
        unsure: unsure(&layout),
    })
}

/// Free ground of one bench and how many more of one container go there; `None` when either has no size.
#[must_use]
pub fn bench_room(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    vessel: &Vessel,
) -> Option<(SquareMillimetres, u32)> {
    let rooms = room_on(state, trade, on, bench, std::slice::from_ref(vessel))?;
    Some((rooms.free, rooms.more.first()?.more?))
}

/// One of each kind of container in use, by name; a seed tray as the table has it when nothing is in use yet.
pub(super) fn kinds_in_use(state: &State, trade: &Trade) -> Vec<Vessel> {
    let mut kinds: BTreeMap<(Name, Option<u32>, Option<u32>), Vessel> = BTreeMap::new();
    let standing = state.containers.iter().filter(|(id, _)| state.is_occupied(**id));
    for vessel in standing.map(|(_, container)| &container.vessel) {
        if vessel.class != ContainerClass::Paper {
            let key = (vessel.name.clone(), vessel.length.map(|mm| mm.0), vessel.width.map(|mm| mm.0));
            kinds.entry(key).or_insert_with(|| Vessel { pots: 1, ..vessel.clone() });
        }
    }
    if kinds.is_empty() { seed_tray(state, trade).into_iter().collect() } else { kinds.into_values().collect() }
}

/// How many of a kind are in use, pots counted one by one.
#[must_use]
pub fn in_use(state: &State, name: &Name) -> u32 {
    let standing =
        state.containers.iter().filter(|(id, container)| container.vessel.name == *name && state.is_occupied(**id));
    standing.map(|(_, container)| container.vessel.pots.max(1)).fold(0, u32::saturating_add)
}

/// The kind of tray to say free space in, as "room for 3 more seed trays": the open or cell tray most in use whose size
/// is known, else a seed tray as the table has it.
#[must_use]
pub fn usual_tray(state: &State, trade: &Trade) -> Option<Vessel> {
    let mut uses: BTreeMap<&Name, (usize, &Vessel)> = BTreeMap::new();
    let standing = state.containers.iter().filter(|(id, _)| state.is_occupied(**id));
    for vessel in standing.map(|(_, container)| &container.vessel) {
        let is_tray = matches!(vessel.class, ContainerClass::Tray | ContainerClass::CellTray);
        if is_tray && vessel.length.is_some() && vessel.width.is_some() {
            uses.entry(&vessel.name).or_insert((0, vessel)).0 += 1;
        }
    }
    // Of those used as much the first by name.
    let most = uses.into_values().rev().max_by_key(|(count, _)| *count);
    most.map(|(_, vessel)| vessel.clone()).or_else(|| seed_tray(state, trade))
}

/// A kind of tray in words behind their number: `2 72-cell trays`, `1 more half tray` with `more ` before it.
#[must_use]
pub fn in_trays(count: u32, more: &str, kind: &Name) -> String {
    let kind = kind.as_str().strip_suffix("-tray").unwrap_or(kind.as_str());
    let trays = if count == 1 { "tray" } else { "trays" };
    format!("{count} {more}{kind} {trays}")
}

/// The kinds that free ground is measured by: trays and carriers, for a single pot goes in any scrap; pots when
/// nothing else is in use.
pub(super) fn usable_by(kinds: &[Vessel], surface: &Surface) -> Vec<Item> {
    let items = |of: &dyn Fn(ContainerClass) -> bool| -> Vec<Item> {
        let kinds = kinds.iter().filter(|kind| of(kind.class));
        kinds.filter_map(|kind| layout::block_on(surface, kind, kind.height)).collect()
    };
    let trays = items(&|class| class != ContainerClass::Pot);
    if trays.is_empty() { items(&|_| true) } else { trays }
}

fn seed_tray(state: &State, trade: &Trade) -> Option<Vessel> {
    vessel_of(state, trade.container(&ContainerKey::new("seed-tray"))?, 1)
}
