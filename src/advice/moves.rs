//! Standing things elsewhere: whether one may stand at a spot, what a repacking would free, and what has to shift to
//! make room.

use thiserror::Error;

use crate::journal::{BenchSize, Part, Spot, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Date, Millimetres, Name, SquareMillimetres};
use crate::science::packing::{
    Hold, Item, Occupant, PackingError, Placed, Plan, Standing, Surface, Turn, how_many_more, inside, overlaps,
    place_one, repack,
};
use crate::trade::Trade;

use super::height;
use super::layout::{self, Layout, assumed_layout};
use super::room::{kinds_in_use, usable_by};

/// Why a container cannot stand where it is to be placed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotStand {
    /// Its size is not known.
    #[error("{0} was never measured, so nobody can say where it goes")]
    Unmeasured(Name),
    /// It stands on no bench, or the bench has no size.
    #[error("{0} stands on no bench")]
    NoBench(String),
    /// It is out for the day.
    #[error("{0} is out for the day")]
    Out(String),
    /// It hangs over an edge.
    #[error("{what}, {length} x {width} as it would stand, hangs over the edge of {bench}, {size}")]
    Off {
        /// The container.
        what: String,
        /// How far it reaches along the bench, in millimetres.
        length: u32,
        /// How far it reaches across.
        width: Millimetres,
        /// The bench.
        bench: String,
        /// Its size in words.
        size: String,
    },
    /// It does not go on the bench even when nothing else stands there.
    #[error("{what} does not go on {bench}, {size}, even with nothing else on it")]
    TooLarge {
        /// The container.
        what: String,
        /// The bench.
        bench: String,
        /// Its size in words.
        size: String,
    },
    /// Together they cover more ground than the bench has.
    #[error("{count} of {what} cover {ground}, and {bench} has {area} in all")]
    TooMany {
        /// How many.
        count: u32,
        /// The container.
        what: Name,
        /// The ground they cover.
        ground: SquareMillimetres,
        /// The bench.
        bench: String,
        /// Its ground.
        area: SquareMillimetres,
    },
    /// The roof is too low there.
    #[error("{what} is {height} high, and there the roof of {bench} is {roof} high")]
    TooTall {
        /// The container.
        what: String,
        /// How tall it is.
        height: Millimetres,
        /// The bench.
        bench: String,
        /// How high the roof is over its lower edge.
        roof: Millimetres,
    },
    /// Another was placed there.
    #[error("{what} would stand in {other}, which was placed at {x},{y}")]
    Overlaps {
        /// The container.
        what: String,
        /// What stands there.
        other: String,
        /// Where along the bench that stands, in millimetres.
        x: u32,
        /// How far from the back, in millimetres.
        y: u32,
    },
}

impl CannotStand {
    /// What to do instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Unmeasured(name) => format!("measure one: `measure {name} 380x240mm --height 60mm`"),
            Self::NoBench(_) => "move it to a bench first: `move PART PLACE/BENCH`".to_owned(),
            Self::Out(_) => "bring it in first".to_owned(),
            Self::Off { .. } => "X is counted from the left end, Y from the back; --turned turns it".to_owned(),
            Self::TooLarge { .. } | Self::TooMany { .. } => {
                "`fits` says where it goes; `bench resize` if the bench was measured wrong".to_owned()
            }
            Self::TooTall { .. } => "stand it nearer the high side".to_owned(),
            Self::Overlaps { .. } => "place that elsewhere first; `swap` changes two over".to_owned(),
        }
    }
}

/// Why no repacking can be proposed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotRepack {
    /// The bench has no size that can be worked with.
    #[error("{0} has no size to work with")]
    NoSize(String),
    /// Two pinned things stand in each other.
    #[error("by the log {0} and {1} are pinned in each other")]
    PinsOverlap(String, String),
    /// A pinned thing stands off the bench.
    #[error("by the log {0} is pinned where the bench does not reach")]
    PinOff(String),
    /// More than can be worked out.
    #[error("{0}")]
    Packing(PackingError),
    /// No arrangement was found with everything on the bench.
    #[error("no way was found to stand everything on {0}: by the log more stands there than goes")]
    NoWay(String),
}

impl CannotRepack {
    /// What to do instead.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::PinsOverlap(..) | Self::PinOff(_) => "place one anew, or unpin it: `place PART --loose`",
            Self::NoWay(_) => "move some to another bench; `clear` what was emptied; `measure` what was guessed",
            Self::NoSize(_) => "measure it: `bench resize PLACE/NAME --size 1200x500mm`",
            Self::Packing(_) => "move some to another bench",
        }
    }
}

/// One thing to be set down elsewhere on its bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lift {
    /// The container.
    pub container: ContainerId,
    /// What is written on it: `14a`, or a carrier's name.
    pub label: String,
    /// Where it is taken to stand; `None` when no spot was left for it.
    pub from: Option<Placed>,
    /// Where it would stand.
    pub to: Placed,
}

/// A repacking of one bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repacking {
    /// The bench.
    pub bench: BenchId,
    /// What would stand elsewhere or otherwise turned than it is taken to stand.
    pub lifts: Vec<Lift>,
    /// How many things nobody ever placed: where they stand was only taken so.
    pub never_placed: u32,
    /// Free ground that a tray in use could take, before.
    pub usable_before: SquareMillimetres,
    /// The same after.
    pub usable_after: SquareMillimetres,
    /// How many more of each kind in use go, before and after.
    pub more: Vec<(Name, u32, u32)>,
    /// Where everything would stand, pinned as it was.
    pub spots: Vec<(ContainerId, Spot)>,
}

/// Room made on one bench by shifting what stands there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomMade {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place's name.
    pub place_name: Name,
    /// How many newcomers it makes room for.
    pub count: u32,
    /// What has to be lifted.
    pub lifts: Vec<Lift>,
    /// Where the newcomers would stand.
    pub spots: Vec<Placed>,
}

/// What is written on a container: its own name, the labels of its live parts, or its kind.
#[must_use]
pub fn label_of(state: &State, id: ContainerId) -> String {
    let Some(container) = state.containers.get(&id) else { return "something".to_owned() };
    if let Some(called) = &container.called {
        return called.to_string();
    }
    let live = container.parts.iter().filter_map(|part| state.parts.get(part)).filter(|part| Part::is_live(part));
    let labels: Vec<String> = live.map(|part| state.part_label(part).to_string()).collect();
    if labels.is_empty() { container.vessel.name.to_string() } else { labels.join("+") }
}

/// A bench with its place: `frame/left`.
#[must_use]
pub fn bench_label(state: &State, id: BenchId) -> String {
    let Some(bench) = state.benches.get(&id) else { return "a bench".to_owned() };
    let place = state.places.get(&bench.place).map_or_else(String::new, |place| place.name.to_string());
    format!("{place}/{}", bench.name)
}

/// Whether `count` containers can stand on a bench at all, with nothing else on it: what is refused here cannot be true
/// whatever else is known. Pots of a set may stand in any shape; what was never measured is let pass.
///
/// # Errors
/// When one is larger than the bench or taller than its roof, or all cover more ground than there is.
pub fn goes_on(state: &State, bench: BenchId, vessel: &Vessel, count: u32) -> Result<(), CannotStand> {
    let Some(size) = state.benches.get(&bench).map(|bench| bench.size) else { return Ok(()) };
    let one = Vessel { pots: 1, ..vessel.clone() };
    let Some((surface, item)) =
        layout::surface(&size).and_then(|it| Some((it, layout::block_on(&it, &one, vessel.height)?)))
    else {
        return Ok(());
    };
    let name = || bench_label(state, bench);
    if place_one(&surface, &[], &item).is_none() {
        let size = format!("{}{}", size_of(&size), roof_of(&surface));
        return Err(CannotStand::TooLarge { what: size_words(&item, vessel), bench: name(), size });
    }
    let count = u64::from(count) * u64::from(vessel.pots.max(1));
    let (ground, area) = (SquareMillimetres(item.area().0.saturating_mul(count)), surface.area());
    if ground > area {
        let count = u32::try_from(count).unwrap_or(u32::MAX);
        return Err(CannotStand::TooMany { count, what: vessel.name.clone(), ground, bench: name(), area });
    }
    Ok(())
}

/// True when no container of the table goes on a bench of this size.
#[must_use]
pub fn holds_nothing(trade: &Trade, size: &BenchSize) -> bool {
    let Some(surface) = layout::surface(size) else { return true };
    let goes = |row: &crate::trade::Container| {
        let (length, width) = row.footprint()?;
        // Under a roof a container whose height nobody knows proves nothing.
        let height = if surface.headroom().is_some() { Some(row.height?) } else { None };
        let item = Item::new(length, width, height).ok()?;
        place_one(&surface, &[], &item)
    };
    !trade.containers().any(|row| goes(row).is_some())
}

fn size_of(size: &BenchSize) -> String {
    format!("{} x {}", size.length.0, size.width)
}

fn roof_of(surface: &Surface) -> String {
    surface.headroom().map_or_else(String::new, |roof| {
        if roof.back == roof.front {
            format!(" and {} high", roof.back)
        } else {
            format!(" and {} to {} high", roof.back.0, roof.front)
        }
    })
}

fn size_words(item: &Item, vessel: &Vessel) -> String {
    let height = vessel.height.map_or_else(String::new, |height| format!(", {height} high"));
    format!("{} ({} x {}{height})", vessel.name, item.length().0, item.width())
}

/// Whether a container may stand at a spot of a bench among what was placed there: what nobody placed gives way.
/// Answers with a warning when it will be too tall there within a week.
///
/// # Errors
/// When it hangs over an edge, stands in another that was placed, or is too tall for the roof by what was noted.
pub fn may_stand(
    state: &State,
    trade: &Trade,
    on: Date,
    id: ContainerId,
    bench: BenchId,
    spot: Spot,
) -> Result<Option<String>, CannotStand> {
    let what = label_of(state, id);
    let no_bench = || CannotStand::NoBench(what.clone());
    let container = state.containers.get(&id).ok_or_else(no_bench)?;
    let size = state.benches.get(&bench).ok_or_else(no_bench)?.size;
    let surface = layout::surface(&size).ok_or_else(no_bench)?;
    let unmeasured = || CannotStand::Unmeasured(container.vessel.name.clone());
    let item = layout::block_on(&surface, &container.vessel, None).ok_or_else(unmeasured)?;
    let at = layout::placed(spot);
    let standing = Standing { item, at };
    let (length, width) = item.extent(at.turn);
    let on_bench = bench_label(state, bench);
    if !inside(&surface, &standing) {
        return Err(CannotStand::Off { what, length: length.0, width, bench: on_bench, size: size_of(&size) });
    }
    let too_tall = |height: Millimetres| {
        let tall = Item::new(item.length(), item.width(), Some(height))
            .is_ok_and(|item| !inside(&surface, &Standing { item, at }));
        let roof = lowest_roof(&size, at.y, width)?;
        tall.then(|| CannotStand::TooTall { what: what.clone(), height, bench: on_bench.clone(), roof })
    };
    if let Some(refused) = height::now(state, id).and_then(too_tall) {
        return Err(refused);
    }
    for other in layout::on_bench(state, bench).into_iter().filter(|other| *other != id) {
        let Some(spot) = state.containers.get(&other).and_then(|container| container.spot) else { continue };
        let vessel = state.containers.get(&other).map(|container| &container.vessel);
        let Some(item) = vessel.and_then(|vessel| layout::block_on(&surface, vessel, None)) else { continue };
        if overlaps(&standing, &Standing { item, at: layout::placed(spot) }) {
            return Err(CannotStand::Overlaps { what, other: label_of(state, other), x: spot.x, y: spot.y });
        }
    }
    let ahead = height::ahead(state, trade, on, id).map(|tall| tall.height);
    Ok(ahead.and_then(too_tall).map(|soon| format!("within a week or so {soon}")))
}

/// The height of the roof over the lower edge of what reaches from `y` over `width`.
fn lowest_roof(size: &BenchSize, y: Millimetres, width: Millimetres) -> Option<Millimetres> {
    let roof = layout::surface(size)?.headroom()?;
    let at = |y: u64| {
        let span = u64::from(size.width.0).max(1);
        let y = y.min(span);
        (u64::from(roof.back.0) * (span - y) + u64::from(roof.front.0) * y) / span
    };
    let low = at(u64::from(y.0)).min(at(u64::from(y.0) + u64::from(width.0)));
    Some(Millimetres(u32::try_from(low).unwrap_or(u32::MAX)))
}

/// Everything measured on a bench, for the sums.
struct Crowd {
    surface: Surface,
    layout: Layout,
    /// In the order of `occupants`.
    ids: Vec<ContainerId>,
    occupants: Vec<Occupant>,
    kinds: Vec<Vessel>,
    usable_by: Vec<Item>,
}

impl Crowd {
    fn of(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Option<Self> {
        let surface = layout::surface(&state.benches.get(&bench)?.size)?;
        let layout = assumed_layout(state, trade, on, bench);
        let standing = layout.stood.iter().map(|stood| {
            let hold = if stood.pinned { Hold::Pinned } else { Hold::Loose };
            // A pin is kept even where plants will outgrow the roof.
            let standing = if stood.pinned { layout::as_it_stands(&surface, stood.standing) } else { stood.standing };
            (stood.container, Occupant { item: standing.item, at: Some(standing.at), hold })
        });
        let crowded = layout.crowded.iter().filter_map(|id| {
            let (item, _) = layout::item_on(state, trade, on, &surface, *id)?;
            Some((*id, Occupant { item, at: None, hold: Hold::Loose }))
        });
        let (ids, occupants) = standing.chain(crowded).unzip();
        let kinds = kinds_in_use(state, trade);
        let usable_by = usable_by(&kinds, &surface);
        Some(Self { surface, layout, ids, occupants, kinds, usable_by })
    }

    fn lift(&self, state: &State, index: usize, plan: &Plan) -> Option<Lift> {
        let container = *self.ids.get(index)?;
        let (from, to) = (self.occupants.get(index)?.at, *plan.positions.get(index)?);
        Some(Lift { container, label: label_of(state, container), from, to })
    }

    fn standings(&self, at: impl Fn(usize) -> Option<Placed>) -> Vec<Standing> {
        let all = self.occupants.iter().enumerate();
        all.filter_map(|(index, occupant)| Some(Standing { item: occupant.item, at: at(index)? })).collect()
    }

    fn more(&self, standing: &[Standing]) -> Vec<(Name, u32)> {
        let measured = self.kinds.iter().filter_map(|kind| {
            let item = layout::block_on(&self.surface, kind, kind.height)?;
            Some((kind.name.clone(), how_many_more(&self.surface, standing, &item)))
        });
        measured.collect()
    }
}

/// A repacking of a bench for the most ground that a tray in use could take; with nothing to lift when it cannot be
/// bettered.
///
/// # Errors
/// When pins contradict one another, or no way was found to stand everything there.
pub fn repacking(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Result<Repacking, CannotRepack> {
    let name = bench_label(state, bench);
    let crowd = Crowd::of(state, trade, on, bench).ok_or_else(|| CannotRepack::NoSize(name.clone()))?;
    let label = |index: usize| crowd.ids.get(index).map_or_else(String::new, |id| label_of(state, *id));
    let plan = repack(&crowd.surface, &crowd.occupants, &crowd.usable_by).map_err(|error| match error {
        PackingError::PinsOverlap(one, other) => CannotRepack::PinsOverlap(label(one), label(other)),
        PackingError::PinOff(index) | PackingError::PinNowhere(index) => CannotRepack::PinOff(label(index)),
        other => CannotRepack::Packing(other),
    })?;
    let plan = plan.ok_or(CannotRepack::NoWay(name))?;
    let at_present = crowd.layout.standings();
    let after = crowd.standings(|index| plan.positions.get(index).copied());
    let more = crowd.more(&at_present).into_iter().zip(crowd.more(&after));
    let all: Vec<Lift> = (0..crowd.ids.len()).filter_map(|index| crowd.lift(state, index, &plan)).collect();
    let noted = crowd.layout.stood.iter().filter(|stood| stood.noted).count();
    let never_placed = u32::try_from(all.len().saturating_sub(noted)).unwrap_or(u32::MAX);
    let spots = all.iter().map(|lift| (lift.container, spot_of(state, lift))).collect();
    Ok(Repacking {
        bench,
        lifts: all.into_iter().filter(|lift| lift.from != Some(lift.to)).collect(),
        never_placed,
        usable_before: plan.usable_before,
        usable_after: plan.usable_after,
        more: more.map(|((name, before), (_, after))| (name, before, after)).collect(),
        spots,
    })
}

fn spot_of(state: &State, lift: &Lift) -> Spot {
    let pinned = state.containers.get(&lift.container).and_then(|container| container.spot).is_some_and(|it| it.pinned);
    Spot { x: lift.to.x.0, y: lift.to.y.0, turned: lift.to.turn == Turn::Quarter, pinned }
}

/// The most shapes of a set of pots for which room is sought by shifting others.
const MOST_SHAPES: usize = 4;

/// Room for `count` more of a container on one bench by shifting what is not pinned; `None` when no way was found.
pub(super) fn make_room(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    vessel: &Vessel,
    count: u32,
) -> Option<RoomMade> {
    let crowd = Crowd::of(state, trade, on, bench)?;
    let there = state.benches.get(&bench)?;
    let many = usize::try_from(count).ok()?;
    let shapes = layout::blocks(&crowd.surface, vessel, vessel.height.and_then(|it| layout::under(&crowd.surface, it)));
    let found = shapes.into_iter().take(MOST_SHAPES).filter_map(|item| {
        let newcomers = vec![item; many.min(crate::science::packing::MOST_ITEMS + 1)];
        let made = crate::science::packing::make_room(&crowd.surface, &crowd.occupants, &newcomers, &crowd.usable_by);
        made.ok().flatten()
    });
    let plan = found.min_by_key(|plan| plan.lifted.len())?;
    Some(RoomMade {
        bench,
        name: there.name.clone(),
        place_name: state.places.get(&there.place)?.name.clone(),
        count,
        lifts: plan.lifted.iter().filter_map(|index| crowd.lift(state, *index, &plan)).collect(),
        spots: plan.positions.iter().skip(crowd.ids.len()).copied().collect(),
    })
}

/// The stand of a container, when it is a bench.
#[must_use]
pub fn bench_of(state: &State, id: ContainerId) -> Option<BenchId> {
    match state.containers.get(&id)?.stand {
        Stand::Bench(bench) => Some(bench),
        Stand::Place(_) | Stand::Carrier(_) => None,
    }
}
