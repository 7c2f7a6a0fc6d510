//! Whether so many more of a container go, where, and what would have to shift.

use std::cmp::Reverse;

use crate::journal::{PlaceKind, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Date, Millimetres, Name, PlaceId, SquareMillimetres};
use crate::science::packing::{MOST_ITEMS, Placed, place_many};
use crate::trade::Trade;

use super::layout::{self, assumed_layout};
use super::moves::{RoomMade, make_room, spot_of, stood_anew};
use super::preview::set_down;
use super::room::{Unsure, unsure};
use super::space::{Suits, height_matters, whole_number};
use super::stand::{bench_label, label_of};
use super::why::Why;

/// What goes on one bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitsOnBench {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place.
    pub place: PlaceId,
    /// The place's name.
    pub place_name: Name,
    /// The place's kind.
    pub kind: PlaceKind,
    /// What it is good for by its light.
    pub suits: Suits,
    /// How many more were found to go there, without moving anything.
    pub more: u32,
    /// Where the first of those asked for would stand, at most as many as were asked for.
    pub spots: Vec<Placed>,
    /// Why `more` is not sure.
    pub unsure: Option<Unsure>,
}

/// Whether so many more of a container go anywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Fits {
    /// How many were asked for.
    pub asked: u32,
    /// How many go, over all benches.
    pub fits: u32,
    /// Bench by bench, those in light first, by place and name.
    pub benches: Vec<FitsOnBench>,
    /// False when the container asked about was never measured: measure it first, nothing else is known.
    pub measured: bool,
    /// How it is measured, as a line to type: with its size, where that is known.
    pub measuring: String,
    /// False when nobody knows how tall it is, so that no roof was asked about.
    pub height_known: bool,
    /// When not all go as it stands: the benches where the rest would go once some things are shifted, the fewest lifts
    /// first.
    pub made: Vec<RoomMade>,
    /// When not all go and no shifting on one bench makes room: one thing that makes it by moving to another bench.
    pub away: Option<MovedAway>,
    /// When a set of pots was asked about that does not go as one: how many of its pots go singly, bench by bench, at most
    /// as many as it has.
    pub singly: Vec<(String, u32)>,
    /// How it was come by.
    pub why: Why,
}

/// One container moved to another bench, after which all go that were asked about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovedAway {
    /// The container.
    pub container: ContainerId,
    /// What is written on it.
    pub label: String,
    /// The bench it stands on: `frame/left`.
    pub from: String,
    /// The bench it goes to as that stands.
    pub to: String,
    /// How many of what was asked about go on the bench it left then; all that were asked about go over all benches.
    pub count: u32,
}

/// Whether so many more of a container go anywhere without moving what stands; `pots` of the vessel above 1 is one
/// set standing together. Plants in it are not there yet, so its own height is asked about and no more.
#[must_use]
pub fn fits(state: &State, trade: &Trade, on: Date, vessel: &Vessel, asked: u32) -> Fits {
    let mut benches: Vec<FitsOnBench> =
        state.benches.keys().filter_map(|id| fits_on_bench(state, trade, on, vessel, asked, *id)).collect();
    benches.sort_by(|a, b| (a.suits, &a.place_name, &a.name, a.bench).cmp(&(b.suits, &b.place_name, &b.name, b.bench)));
    let room = benches.iter().map(|bench| bench.more).fold(0, u32::saturating_add);
    let measured = vessel.length.is_some() && vessel.width.is_some();
    let mut why = Why::new(
        "what has a noted spot stands there, the rest is stood one after another in the order it came, or anew all \
         together where so not all goes; then one more is stood at a time, turned if need be, where its height goes \
         under the roof; none where something there has no spot",
    )
    .given("container", &vessel.name)
    .given("pots in a set", vessel.pots.max(1))
    .doubt("a count that can be stood, not a proven most: another arrangement may hold more")
    .changes("noting where things stand, moving or clearing them, measuring what was not");
    why = match (vessel.length, vessel.width) {
        (Some(length), Some(width)) => why.given("footprint of one", format!("{} x {width}", length.0)),
        _ => why.given("footprint of one", "never measured: measure it first"),
    };
    why = match vessel.height {
        Some(height) => why.given("height", height),
        None => why.given("height", "not known, so the headroom was not asked about"),
    };
    let made = if measured { shifting(state, trade, on, vessel, asked, &benches) } else { Vec::new() };
    let away = if measured && made.is_empty() { moved_away(state, trade, on, vessel, asked, &benches) } else { None };
    let height_known = vessel.height.is_some();
    let measuring = measuring(vessel);
    let singly = if measured && room == 0 { singly(state, trade, on, vessel, &benches) } else { Vec::new() };
    Fits { asked, fits: room.min(asked), benches, measured, measuring, height_known, made, away, singly, why }
}

/// Where the pots of a set go one by one, bench after bench, those in light first and of those the one that takes most; nothing for a single container.
fn singly(state: &State, trade: &Trade, on: Date, set: &Vessel, benches: &[FitsOnBench]) -> Vec<(String, u32)> {
    if set.pots < 2 {
        return Vec::new();
    }
    let one = Vessel { pots: 1, ..set.clone() };
    let on_bench = |bench: &FitsOnBench| fits_on_bench(state, trade, on, &one, set.pots, bench.bench);
    let mut rows: Vec<FitsOnBench> = benches.iter().filter_map(on_bench).collect();
    rows.sort_by_key(|row| (row.suits, Reverse(row.more)));
    let mut left = set.pots;
    let rows = rows.into_iter().map(|row| {
        let count = row.more.min(left);
        left -= count;
        (format!("{}/{}", row.place_name, row.name), count)
    });
    rows.filter(|(_, count)| *count > 0).collect()
}

/// The line that says how large a kind is: with its size where only its height is wanting, else with an example's.
#[must_use]
pub fn measuring(vessel: &Vessel) -> String {
    let (length, width) = vessel.length.zip(vessel.width).unwrap_or((Millimetres(380), Millimetres(240)));
    format!("measure {} {}x{}mm --height 60mm", vessel.name, length.0, width.0)
}

/// Where the rest would go once things are shifted, if not all go as it stands: each answer is for one bench, the
/// others taking what they take.
fn shifting(
    state: &State,
    trade: &Trade,
    on: Date,
    vessel: &Vessel,
    asked: u32,
    benches: &[FitsOnBench],
) -> Vec<RoomMade> {
    let room = benches.iter().map(|bench| bench.more).fold(0, u32::saturating_add);
    if room >= asked {
        return Vec::new();
    }
    let rest = |bench: &FitsOnBench| asked.saturating_sub(room.saturating_sub(bench.more));
    let made = benches.iter().filter_map(|bench| made_on(state, trade, on, vessel, rest(bench), bench.bench));
    let mut made: Vec<RoomMade> = made.collect();
    made.sort_by_key(|one| one.lifts.len());
    made
}

/// Room for so many on one bench: by shifting few things, or as what nobody placed is stood anew once they are there.
fn made_on(state: &State, trade: &Trade, on: Date, vessel: &Vessel, count: u32, bench: BenchId) -> Option<RoomMade> {
    let shifted = make_room(state, trade, on, bench, vessel, count);
    let shifted = shifted.and_then(|made| as_it_is_to_be_noted(state, trade, on, vessel, made));
    let anew = stood_anew(state, trade, on, bench, vessel, count);
    match (shifted, anew) {
        (Some(made), Some(anew)) if made.lifts.len() < anew.lifts.len() => Some(RoomMade { unasked: true, ..made }),
        (made, anew) => anew.or(made),
    }
}

/// The same with what has to be noted so that so many go: the lifts alone, or what nobody placed and is not lifted too,
/// which would else be stood elsewhere. `None` where they do not go even so.
fn as_it_is_to_be_noted(state: &State, trade: &Trade, on: Date, vessel: &Vessel, made: RoomMade) -> Option<RoomMade> {
    let goes = |kept: bool| {
        let mut then = state.clone();
        for lift in made.lifts.iter().chain(made.kept.iter().filter(|_| kept)) {
            if let Some(container) = then.containers.get_mut(&lift.container) {
                container.spot = Some(spot_of(state, lift));
            }
        }
        fits_on_bench(&then, trade, on, vessel, made.count, made.bench).is_some_and(|row| row.more >= made.count)
    };
    if goes(false) {
        return Some(RoomMade { kept: Vec::new(), ..made });
    }
    goes(true).then_some(made)
}

/// For so few left over it is asked whether one thing moved to another bench makes room for them.
const FEW: u32 = 4;

/// One thing moved to another bench so that all go, over all benches, as it stands then; of several the smallest thing.
/// `None` when all go, when many are left over, or when no such thing was found.
fn moved_away(
    state: &State,
    trade: &Trade,
    on: Date,
    vessel: &Vessel,
    asked: u32,
    benches: &[FitsOnBench],
) -> Option<MovedAway> {
    let room = benches.iter().map(|bench| bench.more).fold(0, u32::saturating_add);
    let rest = asked.saturating_sub(room);
    if rest == 0 || rest > FEW {
        return None;
    }
    let mut moved: Vec<(SquareMillimetres, &FitsOnBench, ContainerId)> = Vec::new();
    for bench in benches {
        let layout = assumed_layout(state, trade, on, bench.bench);
        let loose = layout.stood.into_iter().filter(|stood| !stood.pinned);
        moved.extend(loose.map(|stood| (stood.standing.item.area(), bench, stood.container)));
    }
    moved.sort_by_key(|(area, ..)| *area);
    let more = |state: &State, bench| fits_on_bench(state, trade, on, vessel, asked, bench).map_or(0, |row| row.more);
    moved.into_iter().find_map(|(_, from, id)| {
        let mut then = state.clone();
        set_down(&mut then, &[id], Stand::Place(from.place), on);
        let left = more(&then, from.bench);
        if left < from.more.saturating_add(rest) {
            return None;
        }
        let to = benches.iter().filter(|to| to.bench != from.bench && to.suits.is_for_plants()).find(|to| {
            set_down(&mut then, &[id], Stand::Bench(to.bench), on);
            let layout = assumed_layout(&then, trade, on, to.bench);
            let others = room.saturating_sub(from.more).saturating_sub(to.more);
            let stands = layout.crowded.is_empty() && layout.stood.iter().any(|stood| stood.container == id);
            stands && !layout.too_tall.contains(&id) && others + left + more(&then, to.bench) >= asked
        })?;
        let label = label_of(state, id);
        let (from, to) = (bench_label(state, from.bench), bench_label(state, to.bench));
        Some(MovedAway { container: id, label, from, to, count: left })
    })
}

fn fits_on_bench(
    state: &State,
    trade: &Trade,
    on: Date,
    vessel: &Vessel,
    asked: u32,
    id: BenchId,
) -> Option<FitsOnBench> {
    let bench = state.benches.get(&id)?;
    let place = state.places.get(&bench.place)?;
    let layout = assumed_layout(state, trade, on, id);
    let mut spots = Vec::new();
    // Where something stands for which there is no spot, it might stand wherever one more would go.
    if let Some(surface) = layout::surface(&bench.size).filter(|_| layout.crowded.is_empty()) {
        let standing = layout.standings();
        let height = vessel.height.and_then(|height| layout::under(&surface, height));
        if let Some(item) = layout::block_on(&surface, vessel, height) {
            spots = place_many(&surface, &standing, &item, MOST_ITEMS);
            // Once they are there, and nobody placed them, each is to have a spot, and whatever stands there still.
            let asked = usize::try_from(asked).unwrap_or(usize::MAX);
            let holds = |count: usize| layout::holds(state, trade, on, id, item, count);
            while !spots.is_empty() && !(holds(spots.len()) && (asked >= spots.len() || holds(asked))) {
                let fewer = spots.len() - spots.len().div_ceil(8);
                // Those asked about are not passed over.
                spots.truncate(if (fewer..spots.len()).contains(&asked) { asked } else { fewer });
            }
        }
    }
    let more = whole_number(spots.len());
    spots.truncate(usize::try_from(more.min(asked)).unwrap_or(usize::MAX));
    Some(FitsOnBench {
        bench: id,
        name: bench.name.clone(),
        place: bench.place,
        place_name: place.name.clone(),
        kind: place.kind,
        suits: Suits::of(place),
        more,
        spots,
        unsure: unsure(&layout).or(height_matters(&bench.size, vessel).then_some(Unsure::HeightUnknown)),
    })
}
