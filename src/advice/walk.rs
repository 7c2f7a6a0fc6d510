//! The order in which a grower walks a place: bench by bench, and along each bench.

use crate::journal::{Part, Stand, State};
use crate::quantity::{ContainerId, Date, PartId, PlaceId};

use super::layout::came;

/// The live parts in a place, in the order they are come upon: its benches by name, along each from the left as things
/// were placed (at the same distance the back first), behind them what nobody placed, the longest there first; then what
/// stands on no bench; last what is out for the day there. A carrier's containers follow one another, and the parts of
/// one container stay together. What is out for the day elsewhere is not come upon.
#[must_use]
pub fn standing_order(state: &State, place: PlaceId) -> Vec<PartId> {
    let mut benches: Vec<_> = state.benches.iter().filter(|(_, bench)| bench.place == place).collect();
    benches.sort_by_key(|(id, bench)| (&bench.name, **id));
    let at_home = benches.into_iter().map(|(id, _)| Stand::Bench(*id)).chain([Stand::Place(place)]);
    let at_home = at_home.flat_map(|stand| along(state, stand));
    let with_carried = at_home.flat_map(|id| std::iter::once(id).chain(along(state, Stand::Carrier(id))));
    let here = |id: &ContainerId| state.whereabouts(*id) == Some(place);
    with_carried.filter(here).chain(brought(state, place)).flat_map(|id| live_in(state, id)).collect()
}

/// What stands on a bench, in a place or on a carrier, in the order it is come upon.
fn along(state: &State, stand: Stand) -> Vec<ContainerId> {
    let mut found: Vec<_> = state.containers.iter().filter(|(_, held)| held.stand == stand).collect();
    found.sort_by_key(|(id, held)| {
        let spot = held.spot.map(|spot| (spot.x, spot.y));
        (spot.is_none(), spot, came(held), **id)
    });
    found.into_iter().map(|(id, _)| *id).collect()
}

/// What is at home elsewhere and out for the day here, the longest kept first.
fn brought(state: &State, place: PlaceId) -> Vec<ContainerId> {
    let at_home = |id: ContainerId| state.home(id).is_some_and(|(home, _)| home == place);
    let here = state.containers.keys().copied();
    let mut found: Vec<ContainerId> =
        here.filter(|id| state.whereabouts(*id) == Some(place) && !at_home(*id)).collect();
    let since = |id: ContainerId| -> Option<Date> { state.containers.get(&id).and_then(came).map(|(day, _)| day) };
    found.sort_by_key(|id| {
        let outer = state.outermost(*id);
        (since(outer), outer, since(*id), *id)
    });
    found
}

fn live_in(state: &State, id: ContainerId) -> Vec<PartId> {
    let parts = state.containers.get(&id).into_iter().flat_map(|held| &held.parts);
    parts.filter(|part| state.parts.get(part).is_some_and(Part::is_live)).copied().collect()
}
