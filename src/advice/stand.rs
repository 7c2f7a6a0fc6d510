//! Whether a container can stand where it is to stand: by its size, the roof, and what was placed there before.

use thiserror::Error;

use crate::journal::{BenchSize, Part, Spot, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerClass, ContainerId, Date, Millimetres, Name, SquareMillimetres};
use crate::science::packing::{Item, Standing, Surface, inside, overlaps, place_one};
use crate::trade::Trade;

use super::cold::quoted;
use super::height;
use super::layout;

/// Why a container cannot stand where it is to be placed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotStand {
    /// No container of the table goes on a bench of this size: a slip of the hand.
    #[error("no container of the table goes on a bench of {size}")]
    NothingGoes {
        /// Its size in words.
        size: String,
        /// The same numbers in centimetres, where something would go.
        in_cm: Option<String>,
    },
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
    /// Turned where it stands it hangs over an edge.
    #[error("{what}, turned where it stands, {length} x {width}, hangs over the edge of {bench}, {size}")]
    OffTurned {
        /// The container.
        what: String,
        /// How far it would reach along the bench, in millimetres.
        length: u32,
        /// How far it would reach across.
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
    /// A set of pots that goes under the roof only in other rows than those of a noted spot.
    #[error(
        "{what} goes under the roof of {bench} only in rows of {in_row}, and a spot would have it in rows of {noted}"
    )]
    OtherRows {
        /// The container.
        what: String,
        /// The bench.
        bench: String,
        /// Pots in a row where it goes.
        in_row: u32,
        /// Pots in a row as a spot would have it.
        noted: u32,
    },
    /// It is larger than what it is to change over with.
    #[error("{what} is larger than the spot of {spot_of}, and would stand in {other} there")]
    Larger {
        /// The container.
        what: String,
        /// Whose spot it is to have.
        spot_of: String,
        /// What it would stand in.
        other: String,
    },
    /// The same, where it would reach over an edge.
    #[error("{what} is larger than the spot of {spot_of}, and would hang over the edge of {bench} there")]
    LargerOff {
        /// The container.
        what: String,
        /// Whose spot it is to have.
        spot_of: String,
        /// The bench.
        bench: String,
    },
    /// More stands there than goes, or others were placed in the way.
    #[error("there is no spot on {bench} for {what}, so it has none to change over")]
    NoSpot {
        /// The container.
        what: String,
        /// The bench.
        bench: String,
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
            Self::NothingGoes { in_cm: Some(in_cm), .. } => {
                format!("if it was measured in centimetres: --size {in_cm}")
            }
            Self::NothingGoes { in_cm: None, .. } => "write it as --size 1200x500mm, --headroom 400..250mm".to_owned(),
            Self::NoBench(_) => "move it to a bench first: `move PART PLACE/BENCH`".to_owned(),
            Self::NoSpot { bench, .. } => format!("`repack {bench}` may find one; else move one to another bench"),
            Self::Out(_) => "bring it in first".to_owned(),
            Self::Off { .. } => {
                "set it further in, or turned the other way; X is from the left end, Y from the back".to_owned()
            }
            Self::OffTurned { .. } => {
                "say where it is to stand so: `place PART X,Y`; on the plan m picks it up, t turns it in the hand"
                    .to_owned()
            }
            Self::LargerOff { .. } => "move one of the two to another bench, or `place` them one by one".to_owned(),
            Self::Larger { other, .. } => format!("shift {other} first, or move one of the two to another bench"),
            Self::TooLarge { .. } | Self::TooMany { .. } => {
                "`fits` says where it goes; `bench resize` if the bench was measured wrong".to_owned()
            }
            Self::OtherRows { .. } => {
                "leave it unplaced: the plan stands it in those rows where there is room for them".to_owned()
            }
            Self::TooTall { .. } => "stand it nearer the high side".to_owned(),
            Self::Overlaps { .. } => "place that elsewhere first; `swap` changes two over".to_owned(),
        }
    }
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

/// What is typed for a container: a carrier's name, else the label of the first live part in it.
#[must_use]
pub fn typed_for(state: &State, id: ContainerId) -> String {
    let Some(container) = state.containers.get(&id) else { return String::new() };
    if let Some(called) = &container.called {
        return quoted(called.as_str());
    }
    let live = container.parts.iter().filter_map(|part| state.parts.get(part)).find(|part| part.is_live());
    live.map_or_else(String::new, |part| state.part_label(part).to_string())
}

/// A bench with its place: `frame/left`.
#[must_use]
pub fn bench_label(state: &State, id: BenchId) -> String {
    let Some(bench) = state.benches.get(&id) else { return "a bench".to_owned() };
    let place = state.places.get(&bench.place).map_or_else(String::new, |place| place.name.to_string());
    format!("{place}/{}", bench.name)
}

/// The stand of a container, when it is a bench.
#[must_use]
pub fn bench_of(state: &State, id: ContainerId) -> Option<BenchId> {
    match state.containers.get(&id)?.stand {
        Stand::Bench(bench) => Some(bench),
        Stand::Place(_) | Stand::Carrier(_) => None,
    }
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

/// By so much a container may be larger than a carrier and still stand in it: real trays vary by about 10 mm, and pots
/// taper. From memory.
pub(super) const LARGER_THAN_A_CARRIER: u32 = 20;

/// Whether a container can stand on a carrier at all; what was never measured is let pass.
///
/// # Errors
/// When one of it is larger than the carrier.
pub fn goes_in(state: &State, carrier: ContainerId, vessel: &Vessel) -> Result<(), CannotStand> {
    let held = state.containers.get(&carrier).map(|held| &held.vessel);
    let sides = |vessel: &Vessel| Some((vessel.length?.max(vessel.width?), vessel.length?.min(vessel.width?)));
    let Some(((longer, shorter), (long, short))) = held.and_then(sides).zip(sides(vessel)) else { return Ok(()) };
    let reaches = |side: Millimetres, within: Millimetres| side.0 <= within.0.saturating_add(LARGER_THAN_A_CARRIER);
    if reaches(long, longer) && reaches(short, shorter) {
        return Ok(());
    }
    let what = format!("{} ({} x {short})", vessel.name, long.0);
    let size = format!("{} x {shorter}", longer.0);
    Err(CannotStand::TooLarge { what, bench: label_of(state, carrier), size })
}

/// A bench on which no container of the table goes is a slip of the hand, most likely of the unit.
///
/// # Errors
/// When nothing goes, with the size that may have been meant.
pub fn holds_something(trade: &Trade, size: &BenchSize) -> Result<(), CannotStand> {
    if !holds_nothing(trade, size) {
        return Ok(());
    }
    let tenfold = |length: Millimetres| Millimetres(length.0.saturating_mul(10));
    let in_cm = BenchSize { length: tenfold(size.length), width: tenfold(size.width), ..*size };
    let in_cm = (!holds_nothing(trade, &in_cm)).then(|| format!("{}x{}cm", size.length.0, size.width.0));
    let roof = layout::surface(size).map_or_else(String::new, |surface| roof_of(&surface));
    Err(CannotStand::NothingGoes { size: format!("{}{roof}", size_of(size)), in_cm })
}

/// True when no container of the table goes on a bench of this size.
#[must_use]
pub fn holds_nothing(trade: &Trade, size: &BenchSize) -> bool {
    holds_none(trade, size, |_| true)
}

/// True when no tray of the table goes on a bench of this size, whatever else does.
#[must_use]
pub fn holds_no_tray(trade: &Trade, size: &BenchSize) -> bool {
    holds_none(trade, size, |class| matches!(class, ContainerClass::Tray | ContainerClass::CellTray))
}

fn holds_none(trade: &Trade, size: &BenchSize, of: impl Fn(ContainerClass) -> bool) -> bool {
    let Some(surface) = layout::surface(size) else { return true };
    let goes = |row: &crate::trade::Container| {
        let (length, width) = row.footprint()?;
        // Under a roof a container whose height nobody knows proves nothing.
        let height = if surface.headroom().is_some() { Some(row.height?) } else { None };
        let item = Item::new(length, width, height).ok()?;
        place_one(&surface, &[], &item)
    };
    !trade.containers().any(|row| of(row.class) && goes(row).is_some())
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
) -> Result<(), CannotStand> {
    let what = label_of(state, id);
    let no_bench = || CannotStand::NoBench(what.clone());
    let container = state.containers.get(&id).ok_or_else(no_bench)?;
    let size = state.benches.get(&bench).ok_or_else(no_bench)?.size;
    let surface = layout::surface(&size).ok_or_else(no_bench)?;
    let unmeasured = || CannotStand::Unmeasured(container.vessel.name.clone());
    let item = layout::rows_of(state, bench, id).ok_or_else(unmeasured)?;
    let at = layout::placed(spot);
    let standing = Standing { item, at };
    let (length, width) = item.extent(at.turn);
    let on_bench = bench_label(state, bench);
    let in_row = |item: &Item| container.vessel.length.map_or(1, |one| item.length().0 / one.0.max(1));
    let otherwise = layout::item_on(state, trade, on, bench, id)
        .map(|(drawn, _)| drawn)
        .filter(|drawn| (drawn.length(), drawn.width()) != (item.length(), item.width()));
    let is_noted = container.spot.is_some() && container.stand == Stand::Bench(bench);
    if let Some(drawn) = otherwise.filter(|_| !is_noted) {
        let (in_row, noted) = (in_row(&drawn), in_row(&item));
        return Err(CannotStand::OtherRows { what, bench: on_bench, in_row, noted });
    }
    if !inside(&surface, &standing) {
        return Err(CannotStand::Off { what, length: length.0, width, bench: on_bench, size: size_of(&size) });
    }
    let too_tall = |height: Millimetres| {
        let tall = Item::new(item.length(), item.width(), Some(height))
            .is_ok_and(|item| !inside(&surface, &Standing { item, at }));
        let roof = lowest_roof(&size, at.y, width)?;
        tall.then(|| CannotStand::TooTall { what: what.clone(), height, bench: on_bench.clone(), roof })
    };
    let now = height::now(state, id);
    // Where it is too tall wherever it stands, nobody can say where else: it is taken.
    let goes_nowhere = |height: Millimetres| {
        let tall = Item::new(item.length(), item.width(), Some(height));
        tall.is_ok_and(|tall| place_one(&surface, &[], &tall).is_none())
    };
    let grown = now > container.vessel.height;
    if let Some(refused) = now.filter(|now| !(grown && goes_nowhere(*now))).and_then(too_tall) {
        return Err(refused);
    }
    for other in layout::on_bench(state, bench).into_iter().filter(|other| *other != id) {
        let Some(spot) = state.containers.get(&other).and_then(|container| container.spot) else { continue };
        let Some(item) = layout::rows_of(state, bench, other) else { continue };
        if overlaps(&standing, &Standing { item, at: layout::placed(spot) }) {
            return Err(CannotStand::Overlaps { what, other: label_of(state, other), x: spot.x, y: spot.y });
        }
    }
    Ok(())
}

/// For a set of pots that is too tall for the roof in the rows of its noted spot: the pots in a row in which the plan has
/// it under the roof once no spot is noted, with room for all that stands there. `None` for all else.
pub(super) fn goes_unplaced(state: &State, trade: &Trade, on: Date, bench: BenchId, id: ContainerId) -> Option<u32> {
    let one = state.containers.get(&id).filter(|held| held.spot.is_some())?.vessel.length?;
    let (item, goes) = layout::item_on(state, trade, on, bench, id)?;
    if goes == layout::Goes::TooTall || layout::can_be_noted(state, bench, id, &item) {
        return None;
    }
    let mut unplaced = state.clone();
    unplaced.containers.get_mut(&id)?.spot = None;
    let then = layout::assumed_layout(&unplaced, trade, on, bench);
    then.crowded.is_empty().then(|| item.length().0 / one.0.max(1))
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
