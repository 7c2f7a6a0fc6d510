//! Where containers are taken to stand on a bench.

use std::cmp::Reverse;

use crate::journal::{BenchSize, Container, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerClass, ContainerId, Date, Millimetres};
use crate::science::packing::{Headroom, Item, Placed, Standing, Surface, Turn, grid, place_many, place_one};

/// One container on a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stood {
    /// The container.
    pub container: ContainerId,
    /// Its footprint and where it stands.
    pub standing: Standing,
    /// False where nobody said where it stands, and this is only a spot that would do.
    pub noted: bool,
}

/// What stands on a bench: every container whose home it is, also those out for the day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// Those with a spot, noted or assumed.
    pub stood: Vec<Stood>,
    /// Those for which no spot was left: by the log more stands here than goes.
    pub crowded: Vec<ContainerId>,
    /// Those never measured.
    pub unmeasured: Vec<ContainerId>,
}

/// Where everything on a bench is taken to stand: what has a noted spot there, the rest placed one after another in
/// the order they came. Empty for a bench that is not in the state or has no size.
#[must_use]
pub fn assumed_layout(state: &State, bench: BenchId) -> Layout {
    let mut layout = Layout::default();
    let Some(surface) = state.benches.get(&bench).and_then(|bench| surface(&bench.size)) else { return layout };
    let mut unplaced: Vec<(ContainerId, Item)> = Vec::new();
    for id in on_bench(state, bench) {
        let Some(container) = state.containers.get(&id) else { continue };
        let Some(item) = block_on(&surface, &container.vessel, height(state, id)) else {
            layout.unmeasured.push(id);
            continue;
        };
        match container.spot {
            Some(spot) => {
                let turn = if spot.turned { Turn::Quarter } else { Turn::Straight };
                let at = Placed { x: Millimetres(spot.x), y: Millimetres(spot.y), turn };
                layout.stood.push(Stood { container: id, standing: Standing { item, at }, noted: true });
            }
            None => unplaced.push((id, item)),
        }
    }
    // Like things side by side in that order are one question.
    for run in unplaced.chunk_by(|one, other| one.1 == other.1) {
        let Some((_, item)) = run.first() else { continue };
        let spots = place_many(&surface, &layout.standings(), item, run.len());
        layout.crowded.extend(run.iter().skip(spots.len()).map(|(id, _)| *id));
        let stood = run.iter().zip(spots).map(|((container, item), at)| Stood {
            container: *container,
            standing: Standing { item: *item, at },
            noted: false,
        });
        layout.stood.extend(stood);
    }
    layout
}

impl Layout {
    /// The ground taken.
    #[must_use]
    pub fn standings(&self) -> Vec<Standing> {
        self.stood.iter().map(|stood| stood.standing).collect()
    }
}

/// A bench as a surface; `None` when it has no size. One headroom serves for both edges.
pub(super) fn surface(size: &BenchSize) -> Option<Surface> {
    let headroom = size.headroom_back.or(size.headroom_front).map(|either| Headroom {
        back: size.headroom_back.unwrap_or(either),
        front: size.headroom_front.unwrap_or(either),
    });
    Surface::new(size.length, size.width, headroom).ok()
}

/// The containers in use whose home is this bench, themselves and not on a carrier, in the order they came.
pub(super) fn on_bench(state: &State, bench: BenchId) -> Vec<ContainerId> {
    let here = |container: &Container| container.stand == Stand::Bench(bench);
    let mut found: Vec<(Option<Date>, ContainerId)> = state
        .containers
        .iter()
        .filter(|(id, container)| here(container) && state.is_occupied(**id))
        .map(|(id, container)| (came(container), *id))
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, id)| id).collect()
}

/// The day a container came to what it stands on; going out for the day and coming home change nothing.
fn came(container: &Container) -> Option<Date> {
    container.stays.iter().rev().take_while(|stay| stay.stand == container.stand).last().map(|stay| stay.from)
}

/// How tall a container is with what grows in it or stands on it, as far as was noted.
pub(super) fn height(state: &State, id: ContainerId) -> Option<Millimetres> {
    let own = state.containers.get(&id)?.vessel.height;
    let grown = state.noted_height(id).map(|plants| Millimetres(plants.0.saturating_add(own.map_or(0, |own| own.0))));
    let carried = carried(state, id).filter(|(inner, _)| state.is_occupied(*inner));
    let carried = carried.filter_map(|(inner, container)| {
        let plants = state.noted_height(inner).map_or(0, |plants| plants.0);
        let tall = container.vessel.height.map_or(0, |own| own.0).saturating_add(plants);
        (tall > 0).then_some(Millimetres(tall))
    });
    own.into_iter().chain(grown).chain(carried).max()
}

/// What stands on a container: nothing unless it is a carrier, so that others need not be asked.
pub(super) fn carried(state: &State, id: ContainerId) -> impl Iterator<Item = (ContainerId, &Container)> {
    let is_carrier = |it: &Container| it.vessel.class == ContainerClass::Carrier;
    let carrier = state.containers.get(&id).filter(|container| is_carrier(container));
    carrier.into_iter().flat_map(move |_| state.carried_by(id))
}

/// The ground a container covers on a bench: for a set of pots the squarest block that goes on the bare bench, else
/// the squarest. `None` when it was never measured.
pub(super) fn block_on(surface: &Surface, vessel: &Vessel, height: Option<Millimetres>) -> Option<Item> {
    let blocks = blocks(surface, vessel, height);
    let goes = blocks.iter().find(|item| place_one(surface, &[], item).is_some());
    goes.or(blocks.first()).copied()
}

/// The blocks a set of pots may stand in on a bench, the squarest first; one footprint for everything else. Empty when
/// the container was never measured.
pub(super) fn blocks(surface: &Surface, vessel: &Vessel, height: Option<Millimetres>) -> Vec<Item> {
    const MOST_SHAPES: u32 = 40;
    let (Some(length), Some(width)) = (vessel.length, vessel.width) else { return Vec::new() };
    let longest = (surface.length().0.max(surface.width().0) / length.0.max(1)).clamp(1, vessel.pots.max(1));
    let rows = (1..=longest.min(MOST_SHAPES)).chain([longest]);
    let within = rows.map(|in_row| Some(Millimetres(length.0.saturating_mul(in_row))));
    let shapes = [None].into_iter().chain(within);
    let mut blocks: Vec<Item> = shapes
        .filter_map(|within| grid(vessel.pots.max(1), length, width, within).ok())
        .filter_map(|(length, width)| Item::new(length, width, height).ok())
        .collect();
    // Shortest longest side first: the squarest; of those the one whose rows run along the bench.
    blocks.sort_by_key(|item| (item.length().max(item.width()), item.area(), Reverse(item.length())));
    blocks.dedup();
    blocks
}
