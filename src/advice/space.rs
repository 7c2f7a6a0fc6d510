//! Bench space: what is taken, what is free, and what else goes where.

use crate::journal::{BenchSize, PlaceKind, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Millimetres, Name, PartLabel, PlaceId, SquareMillimetres};
use crate::science::packing::Placed;

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
    /// The place it is out in for the day.
    pub out: Option<Name>,
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
    /// How many more were found to go there, without moving anything.
    pub more: u32,
    /// Where the first of those asked for would stand, at most as many as were asked for.
    pub spots: Vec<Placed>,
    /// False when what stands there was never measured or overfills it, so that `more` is at most what it says.
    pub sure: bool,
}

/// Whether so many more of a container go anywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Fits {
    /// How many were asked for.
    pub asked: u32,
    /// How many go, over all benches.
    pub fits: u32,
    /// Bench by bench, by place and name.
    pub benches: Vec<FitsOnBench>,
    /// False when the container asked about was never measured: measure it first, nothing else is known.
    pub measured: bool,
    /// How it was come by.
    pub why: Why,
}

/// All bench space as it is.
#[must_use]
pub fn space(_state: &State) -> Space {
    Space {
        benches: Vec::new(),
        places: Vec::new(),
        indoors: Area::default(),
        frames: Area::default(),
        why: Why::default(),
    }
}

/// Whether so many more of a container go anywhere without moving what stands; `pots` of the vessel above 1 is one
/// set standing together.
#[must_use]
pub fn fits(_state: &State, _vessel: &Vessel, asked: u32) -> Fits {
    Fits { asked, fits: 0, benches: Vec::new(), measured: false, why: Why::default() }
}
