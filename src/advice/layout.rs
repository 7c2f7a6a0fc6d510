//! Where containers are taken to stand on a bench.

use std::cmp::Reverse;

use crate::journal::{BenchSize, Container, Spot, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Date, Millimetres};
use crate::science::packing::{
    Headroom, Item, MOST_ITEMS, Placed, Standing, Surface, Turn, grid, inside, place_many, place_one,
};
use crate::trade::Trade;

use super::height;

/// One container on a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stood {
    /// The container.
    pub container: ContainerId,
    /// Its footprint, its height a week ahead and where it stands.
    pub standing: Standing,
    /// False where nobody said where it stands, and this is only a spot that would do.
    pub noted: bool,
    /// True when no proposal may move it.
    pub pinned: bool,
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
    /// Those that will be too tall for the roof wherever they stand on this bench; they keep a spot all the same.
    pub too_tall: Vec<ContainerId>,
}

/// Where everything on a bench is taken to stand: what has a noted spot there, the rest placed one after another in
/// the order they came, each where there is headroom for it a week after `on`. Empty for a bench that is not in the
/// state or has no size.
#[must_use]
pub fn assumed_layout(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Layout {
    let mut layout = Layout::default();
    let Some(surface) = state.benches.get(&bench).and_then(|bench| surface(&bench.size)) else { return layout };
    let mut unplaced: Vec<(ContainerId, Item)> = Vec::new();
    for id in on_bench(state, bench) {
        let Some(container) = state.containers.get(&id) else { continue };
        let Some((item, goes)) = item_on(state, trade, on, &surface, id) else {
            layout.unmeasured.push(id);
            continue;
        };
        if goes == Goes::TooTall {
            layout.too_tall.push(id);
        }
        match container.spot {
            Some(spot) => {
                let standing = Standing { item, at: placed(spot) };
                layout.stood.push(Stood { container: id, standing, noted: true, pinned: spot.pinned });
            }
            None => unplaced.push((id, item)),
        }
    }
    // Like things side by side in that order are one question.
    for run in unplaced.chunk_by(|one, other| one.1 == other.1) {
        let Some((_, item)) = run.first() else { continue };
        // The first of as many as would go, so that what is left holds the rest of them.
        let spots = place_many(&surface, &layout.standings(), item, MOST_ITEMS);
        layout.crowded.extend(run.iter().skip(spots.len()).map(|(id, _)| *id));
        let stood = run.iter().zip(spots).map(|((container, item), at)| {
            let standing = Standing { item: *item, at };
            Stood { container: *container, standing, noted: false, pinned: false }
        });
        layout.stood.extend(stood);
    }
    layout
}

/// Whether a container will go under a bench's roof a week ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goes {
    /// Somewhere, or it is too large whatever its height.
    Under,
    /// Nowhere, though it would without a roof.
    TooTall,
}

/// The ground a container takes on a bench, with its height a week ahead where it matters; too tall for anywhere, it
/// takes its ground all the same. `None` when it was never measured.
pub(super) fn item_on(
    state: &State,
    trade: &Trade,
    on: Date,
    surface: &Surface,
    id: ContainerId,
) -> Option<(Item, Goes)> {
    let vessel = &state.containers.get(&id)?.vessel;
    let ahead = height::ahead(state, trade, on, id).and_then(|tall| under(surface, tall.height));
    let item = block_on(surface, vessel, ahead)?;
    if place_one(surface, &[], &item).is_none()
        && let Some(open) = block_on(surface, vessel, None)
        && place_one(surface, &[], &open).is_some()
    {
        return Some((open, Goes::TooTall));
    }
    Some((item, Goes::Under))
}

/// A height, where the roof is anywhere too low for it; elsewhere it need not be asked about.
pub(super) fn under(surface: &Surface, height: Millimetres) -> Option<Millimetres> {
    let roof = surface.headroom()?;
    (height > roof.back.min(roof.front)).then_some(height)
}

/// Where a noted spot is on the surface.
pub(super) fn placed(spot: Spot) -> Placed {
    let turn = if spot.turned { Turn::Quarter } else { Turn::Straight };
    Placed { x: Millimetres(spot.x), y: Millimetres(spot.y), turn }
}

/// Without its height where the roof is too low for it: what stands there stands there.
pub(super) fn as_it_stands(surface: &Surface, standing: Standing) -> Standing {
    let open = Item::new(standing.item.length(), standing.item.width(), None);
    match open {
        Ok(item) if !inside(surface, &standing) => Standing { item, ..standing },
        _ => standing,
    }
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
pub(super) fn came(container: &Container) -> Option<Date> {
    container.stays.iter().rev().take_while(|stay| stay.stand == container.stand).last().map(|stay| stay.from)
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
