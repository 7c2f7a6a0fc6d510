//! Benches and containers as they were measured, and what a container stands on.

use serde::{Deserialize, Serialize};

use crate::quantity::{BenchId, ContainerClass, ContainerId, EntryId, Millilitres, Millimetres, Name, PlaceId};

/// Size of a bench; headroom slopes evenly from back to front.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BenchSize {
    /// Along the back.
    pub length: Millimetres,
    /// From back to front.
    pub width: Millimetres,
    /// Height under the glass at the back, if there is a limit.
    pub headroom_back: Option<Millimetres>,
    /// Height under the glass at the front, if there is a limit.
    pub headroom_front: Option<Millimetres>,
}

/// A container as it stood: its own sizes, so that an edited table never rewrites the past.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Vessel {
    /// What it is called: `seed-tray`, `9cm-pot`.
    pub name: Name,
    /// Tray, cell tray, pot, carrier or paper.
    pub class: ContainerClass,
    /// Outer length of one, if it was ever measured.
    pub length: Option<Millimetres>,
    /// Outer width of one, if it was ever measured.
    pub width: Option<Millimetres>,
    /// Height of one.
    pub height: Option<Millimetres>,
    /// Cells of a cell tray, or pots that a carrier holds.
    pub cells: Option<u32>,
    /// Compost in one cell or pot.
    pub volume: Option<Millilitres>,
    /// Like pots standing together as one set; 1 for everything else.
    pub pots: u32,
}

/// Outer size of one container, as the grower measured it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ContainerSize {
    /// Outer length.
    pub length: Millimetres,
    /// Outer width.
    pub width: Millimetres,
    /// Height, if it was measured too.
    pub height: Option<Millimetres>,
}

impl Vessel {
    /// The same container, with what it lacks of its outer size filled in from a measurement.
    #[must_use]
    pub fn filled_in(self, size: &ContainerSize) -> Self {
        let (length, width) = match (self.length, self.width) {
            (Some(length), Some(width)) => (length, width),
            _ => (size.length, size.width),
        };
        Self { length: Some(length), width: Some(width), height: self.height.or(size.height), ..self }
    }

    /// Cells of a cell tray or pots of a set, which are filled one by one; `None` where plants share the compost.
    #[must_use]
    pub(super) fn to_fill(&self) -> Option<u32> {
        match self.class {
            ContainerClass::CellTray => self.cells.filter(|cells| *cells > 0),
            ContainerClass::Pot => Some(self.pots.max(1)),
            ContainerClass::Tray | ContainerClass::Carrier | ContainerClass::Paper => None,
        }
    }
}

/// What a container stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Stand {
    /// A bench.
    Bench(BenchId),
    /// A place, on no bench in particular.
    Place(PlaceId),
    /// A carrier.
    Carrier(ContainerId),
}

/// Where on its bench a container stands: the corner nearest the back left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spot {
    /// Along the back from the left end.
    pub x: u32,
    /// From the back edge forward.
    pub y: u32,
    /// A quarter turn.
    pub turned: bool,
    /// Not to be moved by any proposal.
    pub pinned: bool,
}

impl Stand {
    pub(super) fn for_each_reference(&mut self, change: &mut dyn FnMut(&mut EntryId)) {
        match self {
            Self::Bench(bench) => change(&mut bench.0),
            Self::Place(place) => change(&mut place.0),
            Self::Carrier(container) => change(&mut container.0),
        }
    }
}
