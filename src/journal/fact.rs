//! What can have happened: one enum of facts, each typed, each referring to others by the entry that made them.

use serde::{Deserialize, Serialize};

use super::cells::Ticks;
use super::kinds::{Cause, Light, PlaceKind, Transfer, Treatment};
use super::vessel::{BenchSize, ContainerSize, Spot, Stand, Vessel};
use crate::quantity::{
    BatchId, BatchLabel, BenchId, CellSet, Celsius, ContainerId, CropName, Date, EntryId, LotId, Millimetres, Moment,
    Name, PartId, PartLetter, PlaceId, Remark, Share, SownUnit,
};

/// How a batch began.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Beginning {
    /// Sown here.
    Sown {
        /// What was sown and is counted.
        unit: SownUnit,
        /// What was done to the seed.
        treatment: Treatment,
        /// Sowing depth.
        depth: Option<Millimetres>,
    },
    /// Bought or given as young plants: no germination.
    Received,
}

/// Where the plants of a part came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Source {
    /// Sown straight into it.
    Sown {
        /// Sown units: seeds, clusters, or an estimate of a pinch.
        units: u32,
        /// Sown units to a cell or pot, where the container has cells.
        per_cell: Option<u32>,
    },
    /// Came with these plants.
    Received {
        /// How many plants.
        plants: u32,
    },
    /// Moved on from another part of the same batch.
    From {
        /// The part they left.
        part: PartId,
        /// How many plants.
        plants: u32,
        /// Pricked out, potted on or parted.
        how: Transfer,
    },
}

/// What the grower counted, in whichever of the four ways.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Observed {
    /// Sown units emerged ever.
    pub up: Option<u32>,
    /// Plants alive now.
    pub standing: Option<u32>,
    /// Cells with nothing, of those that were filled.
    pub gaps: Option<u32>,
    /// The grower says there were doubles: more seedlings than units sown.
    pub doubles: bool,
    /// Cell by cell; it says how many stand, so no number is kept beside it that could say otherwise. Only of
    /// clusters may `standing` be given too: seedlings of one cluster are more than a tick can tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ticks: Option<Ticks>,
}

/// How plants left a part for good.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Departure {
    /// Died.
    Lost {
        /// Of what.
        cause: Cause,
        /// In the grower's own words.
        remark: Option<Remark>,
    },
    /// Removed so that others have room.
    Thinned,
    /// Thrown away though alive.
    Discarded,
    /// Given or sold away.
    GivenAway,
    /// Set in the final place.
    PlantedOut {
        /// Which bed, in the grower's own words.
        bed: Option<Remark>,
    },
}

/// What was seen of a part's growth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Growth {
    /// True leaves.
    pub leaves: Option<u32>,
    /// Height above the compost.
    pub height: Option<Millimetres>,
    /// Drawn out by warmth without light.
    pub leggy: bool,
    /// Roots at the drainage holes.
    pub roots: bool,
}

/// What a note is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Topic {
    /// A batch.
    Batch(BatchId),
    /// A place.
    Place(PlaceId),
}

/// Where a lot's seed came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SeedOrigin {
    /// A bought packet.
    Packet,
    /// Saved at home.
    HomeSaved,
}

/// What was measured or is expected of a place's temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Measured {
    /// Lowest air temperature since the thermometer was last set.
    Minimum(Celsius),
    /// Highest air temperature since the thermometer was last set.
    Maximum(Celsius),
    /// Air temperature at the time.
    Now(Celsius),
    /// Temperature of the compost.
    Compost(Celsius),
    /// Temperature of the ground.
    Soil(Celsius),
}

impl Measured {
    /// The day that it is of when it is noted at a moment. A thermometer read in the morning has the highest of the day
    /// before and the lowest of the night between; read later, the highest of today so far. On a day that is not today
    /// it is of that day.
    #[must_use]
    pub fn of_day(self, at: Moment) -> Date {
        match self {
            Self::Maximum(_) if at.is_morning() => at.on.pred_opt().unwrap_or(at.on),
            _ => at.on,
        }
    }

    /// True for a lowest or a highest, which a thermometer holds until it is set.
    #[must_use]
    pub fn is_extreme(self) -> bool {
        matches!(self, Self::Minimum(_) | Self::Maximum(_))
    }

    /// The day and whether the highest of it, by the reading of which the thermometer was set for this one, if it was noted
    /// [`SITTING`] earlier: the highest of the day before a night's lowest, the lowest of the morning before a day's highest.
    #[must_use]
    pub fn set_by(self, on: Date) -> Option<(Date, bool)> {
        match self {
            Self::Minimum(_) => Some((on.pred_opt()?, true)),
            Self::Maximum(_) => Some((on, false)),
            _ => None,
        }
    }
}

/// Seconds within which a lowest and a highest are of one look at the thermometer. Common practice, no source.
pub const SITTING: u64 = 4 * 3600;

/// One thing that happened, or one thing that is so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "fact", rename_all = "snake_case")]
pub enum Fact {
    /// A place where plants stand.
    PlaceAdded {
        /// Its name, begun with a letter.
        name: Name,
        /// Its kind of climate.
        kind: PlaceKind,
        /// What a heater keeps it at, if there is one.
        heated_to: Option<Celsius>,
        /// How much light it gives.
        light: Light,
    },
    /// A bench in a place.
    BenchAdded {
        /// The place.
        place: PlaceId,
        /// Its name within the place.
        name: Name,
        /// Its size and headroom.
        size: BenchSize,
    },
    /// A bench measured again.
    BenchResized {
        /// The bench.
        bench: BenchId,
        /// Its size and headroom.
        size: BenchSize,
    },
    /// Seed of one variety out of one packet.
    LotAdded {
        /// The crop.
        crop: CropName,
        /// The variety.
        variety: Name,
        /// Year packed or saved.
        packed: Option<i32>,
        /// Germination stated on the packet.
        stated: Option<Share>,
        /// Seeds in it when it came.
        seeds: Option<u32>,
        /// Bought or saved at home.
        origin: SeedOrigin,
    },
    /// A container filled and set down.
    Stood {
        /// What it is.
        vessel: Vessel,
        /// What it stands on.
        stand: Stand,
        /// Where exactly, once placed.
        spot: Option<Spot>,
        /// A name of its own, for carriers.
        called: Option<Name>,
    },
    /// A batch begun.
    Begun {
        /// The number written on its label.
        label: BatchLabel,
        /// Its seed or plants.
        lot: LotId,
        /// Sown or received.
        beginning: Beginning,
    },
    /// Part of a batch put into a container.
    Filled {
        /// The batch.
        batch: BatchId,
        /// The part's letter.
        letter: PartLetter,
        /// The container.
        container: ContainerId,
        /// Where its plants came from.
        source: Source,
        /// The cells of the part they left, if it was said.
        #[serde(default, skip_serializing_if = "CellSet::is_empty")]
        from_cells: CellSet,
    },
    /// A part counted.
    Counted {
        /// The part.
        part: PartId,
        /// What was seen.
        observed: Observed,
    },
    /// A part's growth noted.
    Staged {
        /// The part.
        part: PartId,
        /// What was seen.
        growth: Growth,
    },
    /// Plants left a part for good.
    Departed {
        /// The part.
        part: PartId,
        /// How many.
        plants: u32,
        /// How.
        how: Departure,
        /// The cells they left, if it was said.
        #[serde(default, skip_serializing_if = "CellSet::is_empty")]
        cells: CellSet,
    },
    /// A part's share of its container emptied.
    Cleared {
        /// The part.
        part: PartId,
    },
    /// A container moved.
    Moved {
        /// The container, with all it carries.
        container: ContainerId,
        /// Where to.
        stand: Stand,
        /// Where exactly, once placed.
        spot: Option<Spot>,
    },
    /// A container put out for the day; its home is kept.
    WentOut {
        /// The container.
        container: ContainerId,
        /// Where it is for the day.
        place: PlaceId,
    },
    /// A container brought home.
    CameIn {
        /// The container.
        container: ContainerId,
    },
    /// A carrier taken off its bench, empty.
    PutAway {
        /// The carrier.
        container: ContainerId,
    },
    /// A kind of container measured: holds for all of the kind whose size is not known.
    ContainerMeasured {
        /// Its name.
        name: Name,
        /// Its size.
        size: ContainerSize,
    },
    /// How many of a kind of container the grower owns; the latest word holds.
    ContainerOwned {
        /// Its name.
        name: Name,
        /// How many.
        count: u32,
    },
    /// Some of a kind of container, emptied before, washed.
    ContainerWashed {
        /// Its name.
        name: Name,
        /// How many.
        count: u32,
    },
    /// A batch whose label was lost is known again.
    Identified {
        /// The batch.
        batch: BatchId,
        /// What it was.
        lot: LotId,
    },
    /// A batch given another number.
    Relabelled {
        /// The batch.
        batch: BatchId,
        /// The number now on its label.
        label: BatchLabel,
    },
    /// A remark.
    Noted {
        /// What it is about.
        topic: Topic,
        /// The remark.
        remark: Remark,
    },
    /// A temperature read in a place.
    Read {
        /// The place.
        place: PlaceId,
        /// What was read.
        measured: Measured,
    },
    /// A forecast of outside air for one day.
    Forecast {
        /// The day it is for.
        day: Date,
        /// Lowest, from the evening before.
        low: Celsius,
        /// Highest.
        high: Celsius,
    },
    /// A place covered or uncovered for the night.
    Covered {
        /// The place.
        place: PlaceId,
        /// True once covered.
        on: bool,
    },
}

impl Fact {
    /// True for what holds at all dates, so that a backlog from February can name a bench measured in March.
    #[must_use]
    pub const fn is_undated(&self) -> bool {
        matches!(
            self,
            Self::PlaceAdded { .. }
                | Self::BenchAdded { .. }
                | Self::BenchResized { .. }
                | Self::LotAdded { .. }
                | Self::ContainerMeasured { .. }
                | Self::ContainerOwned { .. }
        )
    }

    /// Calls `change` with every reference this fact makes to another entry.
    pub fn for_each_reference(&mut self, change: &mut dyn FnMut(&mut EntryId)) {
        match self {
            Self::PlaceAdded { .. }
            | Self::LotAdded { .. }
            | Self::Forecast { .. }
            | Self::ContainerMeasured { .. }
            | Self::ContainerOwned { .. }
            | Self::ContainerWashed { .. } => {}
            Self::BenchAdded { place, .. } | Self::Read { place, .. } | Self::Covered { place, .. } => {
                change(&mut place.0)
            }
            Self::BenchResized { bench, .. } => change(&mut bench.0),
            Self::Stood { stand, .. } => stand.for_each_reference(change),
            Self::Begun { lot, .. } => change(&mut lot.0),
            Self::Filled { batch, container, source, .. } => {
                change(&mut batch.0);
                change(&mut container.0);
                if let Source::From { part, .. } = source {
                    change(&mut part.0);
                }
            }
            Self::Counted { part, .. }
            | Self::Staged { part, .. }
            | Self::Departed { part, .. }
            | Self::Cleared { part } => {
                change(&mut part.0);
            }
            Self::Moved { container, stand, .. } => {
                change(&mut container.0);
                stand.for_each_reference(change);
            }
            Self::WentOut { container, place } => {
                change(&mut container.0);
                change(&mut place.0);
            }
            Self::CameIn { container } | Self::PutAway { container } => change(&mut container.0),
            Self::Identified { batch, lot } => {
                change(&mut batch.0);
                change(&mut lot.0);
            }
            Self::Relabelled { batch, .. } => change(&mut batch.0),
            Self::Noted { topic, .. } => match topic {
                Topic::Batch(batch) => change(&mut batch.0),
                Topic::Place(place) => change(&mut place.0),
            },
        }
    }

    /// Every entry this fact refers to.
    #[must_use]
    pub fn references(&self) -> Vec<EntryId> {
        let mut found = Vec::new();
        self.clone().for_each_reference(&mut |id| found.push(*id));
        found
    }
}
