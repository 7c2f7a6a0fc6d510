//! What a grower asks to have logged: acts with names and numbers as they were typed, before anybody has looked
//! them up.

use crate::journal::{
    BenchSize, Cause, ContainerSize, Growth, Light, Measured, Observed, PlaceKind, Recount, Rest, SeedOrigin, Treatment,
};
use crate::quantity::{CellSet, Celsius, CropName, Date, Millimetres, Name, Remark, Share, SownUnit, Unit};

use super::refs::{BatchRef, BenchRef, ContainerWords, PartRef, SpotRef, Thing, TopicRef};

/// What was or is to be sown, as it is typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeedWords {
    /// The crop, to be looked up; `unknown` for a lost label.
    pub crop: CropName,
    /// The variety; an unknown crop may lack it, and a sowing of the only packet of its crop.
    pub variety: Option<Name>,
    /// The year packed, to choose among lots.
    pub packed: Option<i32>,
}

/// A lot to note, as it is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct LotWords {
    /// The crop, to be looked up.
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

/// What plants go into, as it is typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RoomWords {
    /// New containers.
    New {
        /// What they are and how many.
        container: ContainerWords,
        /// Where they are set down.
        at: SpotRef,
    },
    /// Room left in the container that this part stands in.
    Shared(PartRef),
}

/// A sowing, as it is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct SowWords {
    /// The seed.
    pub seed: SeedWords,
    /// What is counted.
    pub unit: SownUnit,
    /// How many, from 1.
    pub units: u32,
    /// How many to a cell or pot.
    pub per_cell: Option<u32>,
    /// What was done to the seed.
    pub treatment: Treatment,
    /// Sowing depth.
    pub depth: Option<Millimetres>,
    /// What it is sown into.
    pub room: RoomWords,
}

/// Plants moved on, as it is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct MoveOnWords {
    /// The part they leave.
    pub part: PartRef,
    /// How many plants, from 1.
    pub plants: u32,
    /// What they go into.
    pub room: RoomWords,
    /// How many to a cell or pot, for clumps.
    pub per_cell: Option<u32>,
    /// Whether the plants in the hand are the count.
    pub recount: Recount,
    /// Whether some of them were doubles split.
    pub doubles: bool,
    /// What becomes of those not moved on.
    pub rest: Rest,
}

/// What is moved, as it is typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MovingWords {
    /// Whole containers, at least one.
    Whole(Vec<Thing>),
    /// Some plants of a set, in their pots.
    Some {
        /// The part they leave.
        part: PartRef,
        /// How many plants, from 1.
        plants: u32,
    },
}

/// What is said of the height above a bench that is measured again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Roof {
    /// Nothing: it stays as it was.
    AsItWas,
    /// It is as the size says, or there is none.
    AsSaid,
}

/// What becomes of the rest of a bench on which something is stood exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Others {
    /// What nobody placed gives way.
    GiveWay,
    /// They stand as the plan draws them, and are noted so.
    AsDrawn,
}

/// How far along one side of a bench, as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// So many millimetres from the left end, or from the back.
    To(u32),
    /// So many millimetres on from where it stands.
    By(i32),
}

/// Where on a bench something stands, as it is typed: at least one thing is said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceWords {
    /// What.
    pub thing: Thing,
    /// From the left end and from the back; nothing typed means where it stands.
    pub at: Option<(Along, Along)>,
    /// Another bench to stand it on.
    pub bench: Option<SpotRef>,
    /// A quarter turned, or straight; nothing typed leaves it.
    pub turned: Option<bool>,
    /// Pinned or loose; nothing typed leaves it.
    pub pinned: Option<bool>,
    /// What becomes of the rest of the bench, and of the bench it comes from.
    pub others: Others,
}

/// One side of a change-over, as it is typed: digits first, a part; a letter first, a bench or a carrier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SwapRef {
    /// The container of a part.
    Part(PartRef),
    /// All that stands on a bench; or a carrier.
    Spot(SpotRef),
}

/// Whether something unlikely was said to be so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sure {
    /// It was not: what is likelier a slip is asked about first.
    No,
    /// It is so.
    Yes,
}

/// What the grower does, as it is typed: an act whose references are still words.
#[derive(Clone, Debug, PartialEq)]
pub enum Request {
    /// Name a place.
    AddPlace {
        /// Its name.
        name: Name,
        /// Its kind.
        kind: PlaceKind,
        /// What a heater keeps it at.
        heated_to: Option<Celsius>,
        /// How much light it gives; without it, what is usual for the kind.
        light: Option<Light>,
    },
    /// Name and measure a bench.
    AddBench {
        /// The place and the new name.
        bench: BenchRef,
        /// Its size.
        size: BenchSize,
    },
    /// Measure a bench again.
    ResizeBench {
        /// The bench.
        bench: BenchRef,
        /// Its size.
        size: BenchSize,
        /// What is said of the height above it.
        roof: Roof,
    },
    /// Set down an empty carrier.
    SetCarrier {
        /// Its name.
        called: Name,
        /// What it is.
        container: ContainerWords,
        /// Where it stands.
        at: SpotRef,
    },
    /// Note a packet of seed.
    AddLot(LotWords),
    /// Take in young plants.
    Receive {
        /// What they are.
        seed: SeedWords,
        /// How many, from 1.
        plants: u32,
        /// What they stand in.
        room: RoomWords,
    },
    /// Sow.
    Sow(SowWords),
    /// Count: at least one of the three numbers is there.
    Count {
        /// The part.
        part: PartRef,
        /// What was seen.
        observed: Observed,
        /// Whether it is meant, however unlikely.
        sure: Sure,
    },
    /// Note growth: at least one thing was seen.
    Stage {
        /// The part.
        part: PartRef,
        /// What was seen.
        growth: Growth,
    },
    /// Prick out or pot on.
    MoveOn(MoveOnWords),
    /// Move containers.
    Move {
        /// What.
        moving: MovingWords,
        /// Where to.
        to: SpotRef,
    },
    /// Move all that stands on a bench.
    MoveAll {
        /// Off which.
        from: SpotRef,
        /// Where to.
        to: SpotRef,
    },
    /// Stand something exactly where it is to stand, turn it, or pin it.
    Place(PlaceWords),
    /// Note no spot for a container on its bench any more: it stands wherever there is room.
    PlaceAnywhere(Thing),
    /// Note that a bench was repacked as was proposed.
    Repack {
        /// The bench.
        bench: SpotRef,
    },
    /// Change over two containers, or all of two benches.
    Swap {
        /// The one.
        one: SwapRef,
        /// The other.
        other: SwapRef,
    },
    /// Measure a kind of container.
    Measure {
        /// The kind, to be looked up in the table.
        container: Name,
        /// Its size.
        size: ContainerSize,
    },
    /// Say how many of a kind of container there are.
    Own {
        /// The kind, to be looked up in the table.
        container: Name,
        /// How many, used and unused.
        count: u32,
    },
    /// Wash containers that were emptied.
    Wash {
        /// The kind, to be looked up in the table.
        container: Name,
        /// How many; without it, all that are to be washed.
        count: Option<u32>,
    },
    /// Put out for the day.
    PutOut {
        /// What; nothing typed means the group that went out last.
        things: Vec<Thing>,
        /// Where.
        place: Name,
    },
    /// Bring home.
    BringIn {
        /// What; nothing typed means all that are out.
        things: Vec<Thing>,
    },
    /// Take an empty carrier off its bench.
    PutAway {
        /// The carrier.
        called: Name,
    },
    /// Note deaths.
    Lose {
        /// The part.
        part: PartRef,
        /// How many, from 1.
        plants: u32,
        /// Of what.
        cause: Cause,
        /// In the grower's own words.
        remark: Option<Remark>,
    },
    /// Thin.
    Thin {
        /// The part.
        part: PartRef,
        /// How many, from 1.
        plants: u32,
    },
    /// Throw away live plants.
    Discard {
        /// The part.
        part: PartRef,
        /// How many, from 1.
        plants: u32,
    },
    /// Give away.
    GiveAway {
        /// The part.
        part: PartRef,
        /// How many, from 1.
        plants: u32,
    },
    /// Plant out.
    PlantOut {
        /// The part.
        part: PartRef,
        /// How many, from 1.
        plants: u32,
        /// Which bed.
        bed: Option<Remark>,
        /// Whether the plants in the hand are the count.
        recount: Recount,
    },
    /// The same, though it was taken for a slip of the hand.
    Sure(Box<Request>),
    /// Take plants out of cells.
    FromCells {
        /// The cells, at least one.
        cells: CellSet,
        /// The part they are of.
        part: PartRef,
        /// How many plants; nothing typed means all that the cells hold.
        plants: Option<u32>,
        /// What is done with them: one of the requests that take plants.
        taking: Box<Request>,
    },
    /// The same of all that stand in a part: no number was typed.
    AllOf {
        /// The part.
        part: PartRef,
        /// What is done with them: one of the requests that take plants.
        taking: Box<Request>,
    },
    /// Empty containers.
    Clear {
        /// The parts in them, at least one.
        parts: Vec<PartRef>,
        /// What becomes of plants still in them.
        rest: Rest,
    },
    /// Empty pots of a set that hold no plant any more.
    FreePots {
        /// The part.
        part: PartRef,
        /// How many pots.
        pots: u32,
    },
    /// Say what a batch with a lost label is.
    Identify {
        /// The batch.
        batch: BatchRef,
        /// What it is.
        seed: SeedWords,
    },
    /// Give a batch another number.
    Relabel {
        /// The batch.
        batch: BatchRef,
        /// The new number; without a year, the batch's own.
        label: BatchRef,
    },
    /// Make a remark.
    Note {
        /// What about.
        topic: TopicRef,
        /// The remark.
        remark: Remark,
    },
    /// Note temperatures read in a place: at least one.
    Read {
        /// The place.
        place: Name,
        /// What was read.
        measured: Vec<Measured>,
        /// Whether any of it was typed with its unit.
        unit: Unit,
    },
    /// Note a forecast of outside air.
    Forecast {
        /// The day it is for.
        day: Date,
        /// Lowest, from the evening before.
        low: Celsius,
        /// Highest; not below the lowest.
        high: Celsius,
        /// Whether either was typed with its unit.
        unit: Unit,
    },
    /// Cover or uncover a place.
    Cover {
        /// The place.
        place: Name,
        /// True to cover it.
        on: bool,
    },
}

impl Request {
    /// The same, said to be so; `None` for what is never doubted.
    #[must_use]
    pub fn insisted(&self) -> Option<Self> {
        match self {
            Self::Count { part, observed, sure: Sure::No } => {
                Some(Self::Count { part: *part, observed: observed.clone(), sure: Sure::Yes })
            }
            Self::Sow(_)
            | Self::Receive { .. }
            | Self::MoveOn(_)
            | Self::Move { .. }
            | Self::MoveAll { .. }
            | Self::Swap { .. }
            | Self::Measure { .. }
            | Self::AddBench { .. }
            | Self::ResizeBench { .. }
            | Self::Wash { .. } => Some(Self::Sure(Box::new(self.clone()))),
            Self::AllOf { taking, .. } | Self::FromCells { taking, .. } if taking.insisted().is_some() => {
                Some(Self::Sure(Box::new(self.clone())))
            }
            _ => None,
        }
    }

    /// The same request about another number of plants, if it takes plants.
    #[must_use]
    pub fn of(mut self, number: u32) -> Self {
        match &mut self {
            Self::MoveOn(words) => words.plants = number,
            Self::Lose { plants, .. }
            | Self::Thin { plants, .. }
            | Self::Discard { plants, .. }
            | Self::GiveAway { plants, .. }
            | Self::PlantOut { plants, .. } => *plants = number,
            _ => {}
        }
        self
    }

    /// The same request, insisted on if `--sure` was typed.
    #[must_use]
    pub fn if_sure(self, typed: bool) -> Self {
        if typed { Self::Sure(Box::new(self)) } else { self }
    }

    /// What is asked, and whether it was said to be so.
    #[must_use]
    pub fn said(&self) -> (&Self, Sure) {
        match self {
            Self::Sure(request) => (request.said().0, Sure::Yes),
            other => (other, Sure::No),
        }
    }

    /// The command word it was asked with.
    #[must_use]
    pub const fn verb(&self) -> &'static str {
        match self {
            Self::AddPlace { .. } => "place add",
            Self::AddBench { .. } => "bench add",
            Self::ResizeBench { .. } => "bench resize",
            Self::SetCarrier { .. } => "carrier add",
            Self::AddLot(_) => "lot add",
            Self::Receive { .. } => "receive",
            Self::Sow(_) => "sow",
            Self::Count { .. } => "count",
            Self::Stage { .. } => "stage",
            Self::MoveOn(_) => "pot-on",
            Self::Move { .. } => "move",
            Self::MoveAll { .. } => "move",
            Self::Place(_) | Self::PlaceAnywhere(_) => "place",
            Self::Repack { .. } => "repack",
            Self::Swap { .. } => "swap",
            Self::Measure { .. } => "measure",
            Self::Own { .. } => "own",
            Self::Wash { .. } => "wash",
            Self::PutOut { .. } => "out",
            Self::BringIn { .. } => "in",
            Self::PutAway { .. } => "carrier clear",
            Self::Lose { .. } => "lose",
            Self::Thin { .. } => "thin",
            Self::Discard { .. } => "discard",
            Self::GiveAway { .. } => "give-away",
            Self::PlantOut { .. } => "plant-out",
            Self::FromCells { taking, .. } | Self::AllOf { taking, .. } | Self::Sure(taking) => taking.verb(),
            Self::Clear { .. } | Self::FreePots { .. } => "clear",
            Self::Identify { .. } => "identify",
            Self::Relabel { .. } => "relabel",
            Self::Note { .. } => "note",
            Self::Read { .. } => "reading",
            Self::Forecast { .. } => "forecast",
            Self::Cover { .. } => "cover",
        }
    }
}
