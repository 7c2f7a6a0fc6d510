//! Bench space: what is taken, what is free, and what else goes where.

use std::cmp::Reverse;

use crate::journal::{BenchSize, Container, Light, Place, PlaceKind, Stand, State, Vessel};
use crate::quantity::{
    BenchId, ContainerClass, ContainerId, Date, Millimetres, Name, PartLabel, PlaceId, SquareMillimetres,
};
use crate::science::packing::{MOST_ITEMS, Placed, place_many};
use crate::trade::Trade;

use super::height::{self, Tall};
use super::layout::{self, Layout, assumed_layout};
use super::moves::{RoomMade, make_room, spot_of};
use super::plan::{Amiss, bench_plan};
use super::preview::set_down;
use super::room::{Unsure, unsure};
use super::stand::{bench_label, label_of};
use super::why::Why;

/// Ground: all of it, what is taken, what is free.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    /// All of it.
    pub whole: SquareMillimetres,
    /// Under containers whose home it is, also those out for the day.
    pub taken: SquareMillimetres,
    /// What is left; nothing when more stands there than goes.
    pub free: SquareMillimetres,
    /// Containers on it that were never measured: when there are any, `free` is at most what it says.
    pub unmeasured: u32,
}

/// One container standing on a bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandingRow {
    /// The container.
    pub container: ContainerId,
    /// What it is.
    pub vessel: Name,
    /// Pots in the set; 1 for everything else.
    pub pots: u32,
    /// A name of its own.
    pub called: Option<Name>,
    /// The live parts in it or on it.
    pub parts: Vec<PartLabel>,
    /// Length and width it takes, a set of pots as one block; `None` when it was never measured.
    pub block: Option<(Millimetres, Millimetres)>,
    /// Ground it takes.
    pub footprint: Option<SquareMillimetres>,
    /// How tall it is with what grows in it, as far as was noted.
    pub height: Option<Millimetres>,
    /// How tall it will be a week on.
    pub ahead: Option<Tall>,
    /// The place it is out in for the day.
    pub out: Option<Name>,
    /// What is amiss with where it stands.
    pub amiss: Option<Amiss>,
    /// Where it stands or is taken to stand; `None` when unmeasured or no spot is left.
    pub spot: Option<Placed>,
    /// True when somebody said that it stands there.
    pub spot_noted: bool,
}

/// One bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchSpace {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place it is in.
    pub place: PlaceId,
    /// The place's name.
    pub place_name: Name,
    /// The place's kind.
    pub kind: PlaceKind,
    /// Its size and headroom.
    pub size: BenchSize,
    /// Its ground.
    pub area: Area,
    /// What stands on it, in the order it came.
    pub standing: Vec<StandingRow>,
}

/// One place: its benches together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceSpace {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// The ground of its benches.
    pub area: Area,
    /// Containers in it that stand on no bench: they take no ground that is known.
    pub off_bench: u32,
}

/// All bench space.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Bench by bench, by place and name.
    pub benches: Vec<BenchSpace>,
    /// Place by place, by name.
    pub places: Vec<PlaceSpace>,
    /// All places of a house together.
    pub indoors: Area,
    /// All cold frames together.
    pub frames: Area,
    /// How it was come by.
    pub why: Why,
}

/// What a bench is good for by its light, the best first: plants in light are well on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Suits {
    /// Plants in light.
    Plants,
    /// Plants, though there is little light.
    Dimly,
    /// What is not up yet: it is warm and dark.
    Germinating,
    /// What is chilled: it is a fridge.
    Chilling,
}

impl Suits {
    pub(super) fn of(place: &Place) -> Self {
        match (place.kind, place.light) {
            (PlaceKind::Fridge, _) => Self::Chilling,
            (kind, light) if kind.draws_shoots() && light != Light::Full => Self::Germinating,
            (_, Light::Low) => Self::Dimly,
            _ => Self::Plants,
        }
    }

    /// True where plants that are up can stay.
    #[must_use]
    pub fn is_for_plants(self) -> bool {
        self <= Self::Dimly
    }
}

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

/// All bench space as it is; `on` tells how tall plants will be.
#[must_use]
pub fn space(state: &State, trade: &Trade, on: Date) -> Space {
    let mut benches: Vec<BenchSpace> =
        state.benches.keys().filter_map(|id| bench_space(state, trade, on, *id)).collect();
    benches.sort_by(|a, b| (&a.place_name, &a.name, a.bench).cmp(&(&b.place_name, &b.name, b.bench)));
    let sum = |belongs: &dyn Fn(&BenchSpace) -> bool| {
        benches.iter().filter(|bench| belongs(bench)).map(|bench| bench.area).fold(Area::default(), Area::and)
    };
    let mut places: Vec<PlaceSpace> = state
        .places
        .iter()
        .map(|(id, place)| PlaceSpace {
            place: *id,
            name: place.name.clone(),
            kind: place.kind,
            area: sum(&|bench| bench.place == *id),
            off_bench: off_bench(state, *id),
        })
        .collect();
    places.sort_by(|a, b| (&a.name, a.place).cmp(&(&b.name, b.place)));
    let indoors = sum(&|bench| bench.kind.is_indoors());
    let frames = sum(&|bench| bench.kind == PlaceKind::ColdFrame);
    Space { indoors, frames, places, benches, why: why_space(state) }
}

impl Area {
    fn and(self, other: Self) -> Self {
        Self {
            whole: self.whole + other.whole,
            taken: self.taken + other.taken,
            free: self.free + other.free,
            unmeasured: self.unmeasured.saturating_add(other.unmeasured),
        }
    }
}

fn bench_space(state: &State, trade: &Trade, on: Date, id: BenchId) -> Option<BenchSpace> {
    let bench = state.benches.get(&id)?;
    let place = state.places.get(&bench.place)?;
    let layout = assumed_layout(state, trade, on, id);
    let plan = bench_plan(state, trade, on, id);
    let amiss = |one| plan.iter().flat_map(|plan| &plan.shapes).find(|shape| shape.container == one)?.amiss;
    let row = |one| {
        let ahead = height::ahead(state, trade, on, one);
        Some(StandingRow { ahead, amiss: amiss(one), ..standing_row(state, &layout, one)? })
    };
    let standing: Vec<StandingRow> = layout::on_bench(state, id).into_iter().filter_map(row).collect();
    Some(BenchSpace {
        bench: id,
        name: bench.name.clone(),
        place: bench.place,
        place_name: place.name.clone(),
        kind: place.kind,
        size: bench.size,
        area: ground(state, id)?,
        standing,
    })
}

/// The ground of a bench: what every page calls free.
pub(super) fn ground(state: &State, id: BenchId) -> Option<Area> {
    let size = state.benches.get(&id)?.size;
    let whole = size.length.by(size.width);
    let standing = layout::on_bench(state, id);
    let footprints = || standing.iter().map(|one| state.containers.get(one)?.footprint());
    let taken: SquareMillimetres = footprints().flatten().sum();
    let unmeasured = whole_number(footprints().filter(Option::is_none).count());
    Some(Area { whole, taken, free: whole.less(taken), unmeasured })
}

fn standing_row(state: &State, layout: &Layout, id: ContainerId) -> Option<StandingRow> {
    let container = state.containers.get(&id)?;
    let stood = layout.stood.iter().find(|stood| stood.container == id);
    let carried = height::carried(state, id).flat_map(|(_, inner)| &inner.parts);
    let parts = container.parts.iter().chain(carried).filter_map(|part| state.parts.get(part));
    Some(StandingRow {
        container: id,
        vessel: container.vessel.name.clone(),
        pots: container.vessel.pots,
        called: container.called.clone(),
        parts: parts.filter(|part| part.is_live()).map(|part| state.part_label(part)).collect(),
        block: stood.map(|stood| (stood.standing.item.length(), stood.standing.item.width())),
        footprint: container.footprint(),
        height: height::now(state, id),
        ahead: None,
        amiss: None,
        out: container.out.and_then(|place| state.places.get(&place)).map(|place| place.name.clone()),
        spot: stood.map(|stood| stood.standing.at),
        spot_noted: stood.is_some_and(|stood| stood.noted),
    })
}

fn off_bench(state: &State, place: PlaceId) -> u32 {
    let here = |container: &Container| container.stand == Stand::Place(place);
    whole_number(state.containers.iter().filter(|(id, it)| here(it) && state.is_occupied(**id)).count())
}

fn whole_number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

fn why_space(state: &State) -> Why {
    Why::new("free = length x width of the bench, less length x width of each container whose home it is")
        .given("benches", state.benches.len())
        .doubt("free ground in scraps holds no tray: ask what still fits")
        .changes("moving, clearing or measuring containers; one out for the day keeps its home")
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
    let made = benches.iter().filter_map(|bench| make_room(state, trade, on, bench.bench, vessel, rest(bench)));
    let mut made: Vec<RoomMade> = made.filter(|made| is_so_once_done(state, trade, on, vessel, made)).collect();
    made.sort_by_key(|one| one.lifts.len());
    made
}

/// Whether so many go on the bench once the lifts are noted and nothing else is: what nobody placed is then taken to stand
/// where it goes, which may be elsewhere.
fn is_so_once_done(state: &State, trade: &Trade, on: Date, vessel: &Vessel, made: &RoomMade) -> bool {
    let mut then = state.clone();
    for lift in &made.lifts {
        if let Some(container) = then.containers.get_mut(&lift.container) {
            container.spot = Some(spot_of(state, lift));
        }
    }
    fits_on_bench(&then, trade, on, vessel, made.count, made.bench).is_some_and(|row| row.more >= made.count)
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
                spots.truncate(spots.len() - spots.len().div_ceil(8));
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

/// Under a roof higher than this a tray goes whatever its height: the deepest of the table is 127 mm high.
const HIGHER_THAN_ANY_TRAY: u32 = 150;

/// True for what nobody has measured the height of, where a roof is low enough that it matters. Pots are taken to be at
/// most twice as high as wide: common practice, no source.
#[must_use]
pub fn height_matters(size: &BenchSize, vessel: &Vessel) -> bool {
    let most = match vessel.class {
        ContainerClass::Paper => 0,
        ContainerClass::Pot => vessel.length.max(vessel.width).map_or(u32::MAX, |side| side.0.saturating_mul(2)),
        ContainerClass::Tray | ContainerClass::CellTray | ContainerClass::Carrier => HIGHER_THAN_ANY_TRAY,
    };
    let roof = size.headroom_back.into_iter().chain(size.headroom_front).min();
    vessel.height.is_none() && roof.is_some_and(|roof| roof.0 < most)
}
