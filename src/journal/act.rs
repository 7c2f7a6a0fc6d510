//! What a grower does: acts, each made of the facts it brings about.

use crate::quantity::Millimetres;
use crate::quantity::{
    BatchId, BatchLabel, BenchId, CellSet, Celsius, ContainerId, CropName, Date, LotId, Name, PartId, PlaceId, Remark,
    Share, SownUnit,
};

use super::fact::{Growth, Measured, Observed, SeedOrigin, Topic};
use super::kinds::{Cause, Light, PlaceKind, Treatment};
use super::vessel::{BenchSize, ContainerSize, Spot, Stand, Vessel};

/// Seed to sow, or the name of young plants that came.
#[derive(Clone, Debug, PartialEq)]
pub enum Seed {
    /// A lot that is known.
    Lot(LotId),
    /// A lot noted in the same act.
    New(NewLot),
}

/// A lot to note.
#[derive(Clone, Debug, PartialEq)]
pub struct NewLot {
    /// The crop.
    pub crop: CropName,
    /// The variety.
    pub variety: Name,
    /// Year packed or saved.
    pub packed: Option<i32>,
    /// Germination stated on the packet.
    pub stated: Option<Share>,
    /// Seeds in it.
    pub seeds: Option<u32>,
    /// Bought or saved at home.
    pub origin: SeedOrigin,
}

/// The container or containers that plants go into.
#[derive(Clone, Debug, PartialEq)]
pub enum Room {
    /// New ones, filled and set down.
    New {
        /// What each is; `pots` above 1 makes one set of like pots.
        vessel: Vessel,
        /// How many of them.
        count: u32,
        /// What they stand on.
        stand: Stand,
        /// Where exactly, for a single one.
        spot: Option<Spot>,
    },
    /// Room left in one that already stands.
    Shared(ContainerId),
}

/// What becomes of the plants that were not potted on or that stand in what is cleared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// They stay.
    Keep,
    /// They are thrown away, and their container is cleared.
    Discard,
}

/// Whether the log may be put right in passing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recount {
    /// The log stands: more than it says stand cannot leave.
    No,
    /// The plants in the hand are the count.
    Yes,
}

/// A sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Sowing {
    /// The number on its label.
    pub label: BatchLabel,
    /// The seed.
    pub seed: Seed,
    /// What is counted.
    pub unit: SownUnit,
    /// How many.
    pub units: u32,
    /// How many to a cell or pot.
    pub per_cell: Option<u32>,
    /// What was done to the seed.
    pub treatment: Treatment,
    /// Sowing depth.
    pub depth: Option<Millimetres>,
    /// What it is sown into.
    pub room: Room,
}

/// Plants moved on: pricked out or potted on.
#[derive(Clone, Debug, PartialEq)]
pub struct MovingOn {
    /// The part they leave.
    pub part: PartId,
    /// How many plants.
    pub plants: u32,
    /// What they go into.
    pub room: Room,
    /// How many to a cell or pot, for clumps.
    pub per_cell: Option<u32>,
    /// Whether more may be potted on than the log says stand.
    pub recount: Recount,
    /// Whether some of them were doubles split.
    pub doubles: bool,
    /// What becomes of those not moved on.
    pub rest: Rest,
}

/// One thing moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moving {
    /// A container with all in it.
    Whole(ContainerId),
    /// Some plants of a set, in their pots.
    Some {
        /// The part they leave.
        part: PartId,
        /// How many plants.
        plants: u32,
    },
}

/// A container set down elsewhere, or otherwise, with all in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shift {
    /// The container.
    pub container: ContainerId,
    /// What it stands on then.
    pub to: Stand,
    /// Where exactly, if that is to be kept.
    pub spot: Option<Spot>,
}

/// What a grower does in one go: one transaction, one undo.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Name a place.
    AddPlace {
        /// Its name.
        name: Name,
        /// Its kind.
        kind: PlaceKind,
        /// What a heater keeps it at.
        heated_to: Option<Celsius>,
        /// How much light it gives.
        light: Light,
    },
    /// Name and measure a bench.
    AddBench {
        /// The place.
        place: PlaceId,
        /// Its name.
        name: Name,
        /// Its size.
        size: BenchSize,
    },
    /// Measure a bench again.
    ResizeBench {
        /// The bench.
        bench: BenchId,
        /// Its size.
        size: BenchSize,
    },
    /// Note a packet of seed.
    AddLot(NewLot),
    /// Set down an empty carrier.
    SetCarrier {
        /// What it is.
        vessel: Vessel,
        /// Its name.
        called: Name,
        /// What it stands on.
        stand: Stand,
    },
    /// Sow.
    Sow(Sowing),
    /// Take in young plants.
    Receive {
        /// The number on their label.
        label: BatchLabel,
        /// What they are.
        seed: Seed,
        /// How many.
        plants: u32,
        /// What they stand in.
        room: Room,
    },
    /// Count.
    Count {
        /// The part.
        part: PartId,
        /// What was seen.
        observed: Observed,
    },
    /// Note growth.
    Stage {
        /// The part.
        part: PartId,
        /// What was seen.
        growth: Growth,
    },
    /// Prick out or pot on.
    MoveOn(MovingOn),
    /// Move containers.
    Move {
        /// What.
        moving: Vec<Moving>,
        /// Where to.
        to: Stand,
        /// Where exactly, for a single one.
        spot: Option<Spot>,
    },
    /// Set down containers each where it is to stand: placing, repacking, swapping.
    Rearrange(Vec<Shift>),
    /// Measure a kind of container.
    Measure {
        /// Its name.
        name: Name,
        /// Its size.
        size: ContainerSize,
    },
    /// Say how many of a kind of container there are.
    Own {
        /// Its name.
        name: Name,
        /// How many, used and unused.
        count: u32,
    },
    /// Wash containers that were emptied.
    Wash {
        /// The name of their kind.
        name: Name,
        /// How many.
        count: u32,
    },
    /// Put out for the day.
    PutOut {
        /// What.
        containers: Vec<ContainerId>,
        /// Where.
        place: PlaceId,
    },
    /// Bring home.
    BringIn {
        /// What.
        containers: Vec<ContainerId>,
    },
    /// Take an empty carrier off its bench.
    PutAway {
        /// The carrier.
        container: ContainerId,
    },
    /// Note deaths.
    Lose {
        /// The part.
        part: PartId,
        /// How many.
        plants: u32,
        /// Of what.
        cause: Cause,
        /// In the grower's own words.
        remark: Option<Remark>,
    },
    /// Thin.
    Thin {
        /// The part.
        part: PartId,
        /// How many are removed.
        plants: u32,
    },
    /// Throw away live plants.
    Discard {
        /// The part.
        part: PartId,
        /// How many.
        plants: u32,
    },
    /// Give away.
    GiveAway {
        /// The part.
        part: PartId,
        /// How many.
        plants: u32,
    },
    /// Plant out.
    PlantOut {
        /// The part.
        part: PartId,
        /// How many.
        plants: u32,
        /// Where to.
        bed: Option<Remark>,
        /// Whether more may be planted than the log says stand.
        recount: Recount,
    },
    /// Take plants out of cells: the same act, and which cells.
    FromCells {
        /// The cells, all of whose plants leave; thinned doubles leave the other.
        cells: CellSet,
        /// What is done with them.
        taking: Box<Act>,
    },
    /// Empty containers.
    Clear {
        /// The parts in them.
        parts: Vec<PartId>,
        /// What becomes of plants still in them.
        rest: Rest,
    },
    /// Empty pots of a set that hold no plant. Those that do part from them in their pots, as a part with a letter of its
    /// own, and what is left of the set is cleared.
    FreePots {
        /// The part, alone in its set.
        part: PartId,
        /// How many pots.
        pots: u32,
        /// Where the pots that stay stand, if that is known.
        spot: Option<Spot>,
    },
    /// Say what a batch with a lost label is.
    Identify {
        /// The batch.
        batch: BatchId,
        /// What it is.
        seed: Seed,
    },
    /// Give a batch another number.
    Relabel {
        /// The batch.
        batch: BatchId,
        /// The number.
        label: BatchLabel,
    },
    /// Make a remark.
    Note {
        /// What about.
        topic: Topic,
        /// The remark.
        remark: Remark,
    },
    /// Note temperatures read in a place.
    Read {
        /// The place.
        place: PlaceId,
        /// What was read.
        measured: Vec<Measured>,
    },
    /// Note forecasts of outside air.
    Forecast {
        /// Day, low and high of each.
        days: Vec<(Date, Celsius, Celsius)>,
    },
    /// Cover or uncover a place.
    Cover {
        /// The place.
        place: PlaceId,
        /// True to cover it.
        on: bool,
    },
}

impl Act {
    /// The known lot that an act names.
    #[must_use]
    pub const fn seed(&self) -> Option<LotId> {
        match self {
            Self::Sow(Sowing { seed: Seed::Lot(lot), .. })
            | Self::Receive { seed: Seed::Lot(lot), .. }
            | Self::Identify { seed: Seed::Lot(lot), .. } => Some(*lot),
            _ => None,
        }
    }
}
