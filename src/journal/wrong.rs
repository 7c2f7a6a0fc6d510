//! What an entry can get wrong: contradictions with what the log says had happened before it.

use thiserror::Error;

use crate::quantity::{ActId, Date, EntryId, PartLabel};

/// Why an entry cannot be true where it stands in the log.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Error)]
pub enum Wrong {
    /// It speaks of a part that did not exist yet, or whose making was undone.
    #[error("the plants it speaks of were not there yet")]
    NoSuchPart,
    /// It speaks of a batch that did not exist yet.
    #[error("the batch it speaks of was not begun yet")]
    NoSuchBatch,
    /// It speaks of a container that was not there.
    #[error("the container it speaks of was not there yet")]
    NoSuchContainer,
    /// It speaks of a place or bench that is not there.
    #[error("the place or bench it speaks of is not there")]
    NoSuchPlace,
    /// It speaks of a lot that is not there.
    #[error("the seed it speaks of is not there")]
    NoSuchLot,
    /// A part of another batch cannot be a source.
    #[error("plants can only be moved on within their own batch")]
    OtherBatch,
    /// The letter is taken.
    #[error("{0} is already the name of another part")]
    LetterTaken(PartLabel),
    /// Nothing was moved, lost or sown.
    #[error("nothing would change: the number is 0")]
    Nothing,
    /// More than can be counted.
    #[error("{0} is more than one entry can hold (at most 100,000)")]
    Absurd(u32),
    /// More plants taken than stand.
    #[error("{part} has {standing} standing, not {asked}")]
    MoreThanStanding {
        /// The part.
        part: PartLabel,
        /// What was to leave it.
        asked: u32,
        /// What stands in it.
        standing: u32,
    },
    /// A count below what has already left.
    #[error("{left} have already left {part}, so {counted} cannot be all that ever came up")]
    CountBelowLeft {
        /// The part.
        part: PartLabel,
        /// What was counted.
        counted: u32,
        /// What has left.
        left: u32,
    },
    /// A count above what was sown or came.
    #[error("{counted} plants cannot come from {from} in {part}")]
    CountAboveSown {
        /// The part.
        part: PartLabel,
        /// What was counted, with what has left.
        counted: u32,
        /// Units sown or counted up, or plants that came.
        from: u32,
    },
    /// Units up that neither stand nor have left.
    #[error("{up} up, {standing} standing and {left} gone do not add up in {part}")]
    DoesNotAddUp {
        /// The part.
        part: PartLabel,
        /// Units up.
        up: u32,
        /// Plants standing.
        standing: u32,
        /// What has left.
        left: u32,
    },
    /// More gaps than cells.
    #[error("{part} has {cells} filled cells, so it cannot have {gaps} gaps")]
    TooManyGaps {
        /// The part.
        part: PartLabel,
        /// The gaps.
        gaps: u32,
        /// The cells that were filled.
        cells: u32,
    },
    /// Gaps do not tell how many plants there are.
    #[error("gaps do not tell how many stand in {0}: it has several to a cell or no cells")]
    GapsDoNotTell(PartLabel),
    /// Ticks in a container without cells.
    #[error("{0} stands in a container without cells, so there is none to tick")]
    NoCells(PartLabel),
    /// A cell that the container does not have.
    #[error("{part} has {cells} cells, so there is no cell {cell}")]
    NoSuchCell {
        /// The part.
        part: PartLabel,
        /// The number.
        cell: u32,
        /// The cells there are.
        cells: u32,
    },
    /// A cell that another part holds by its own ticks.
    #[error("cell {cell} is ticked for {by}")]
    CellTaken {
        /// The cell.
        cell: u32,
        /// The part that holds it.
        by: PartLabel,
    },
    /// Plants taken from a cell that holds none.
    #[error("cell {cell} of {part} holds nothing since {on}")]
    CellEmpty {
        /// The part.
        part: PartLabel,
        /// The cell.
        cell: u32,
        /// Since when.
        on: Date,
    },
    /// Another number of plants than the cells hold.
    #[error("those cells of {part} hold {held}, not {plants}")]
    CellsHold {
        /// The part.
        part: PartLabel,
        /// What they hold.
        held: u32,
        /// What was to leave them.
        plants: u32,
    },
    /// A number beside ticks that says otherwise.
    #[error("the ticks make {up} up and {standing} standing in {part}, and the number beside them says otherwise")]
    TicksSay {
        /// The part.
        part: PartLabel,
        /// Up by the ticks, with what has left.
        up: u32,
        /// Standing by the ticks.
        standing: u32,
    },
    /// Emptying a container that still has plants.
    #[error("{part} still has {standing} standing")]
    NotEmpty {
        /// The part.
        part: PartLabel,
        /// What stands in it.
        standing: u32,
    },
    /// Emptied twice.
    #[error("{part} was already cleared on {on}")]
    AlreadyCleared {
        /// The part.
        part: PartLabel,
        /// When it was.
        on: Date,
    },
    /// Out already.
    #[error("it is already out for the day")]
    AlreadyOut,
    /// A carrier that still carries, or that was put away before.
    #[error("the carrier still carries plants, or was put away before")]
    NotFree,
    /// Not out.
    #[error("it is not out")]
    NotOut,
    /// Standing on something that carries nothing.
    #[error("only a carrier carries other containers, and no carrier stands on another")]
    NotACarrier,
    /// More pots parted than the set has.
    #[error("the set has {pots} pots, so {asked} cannot be parted from it")]
    TooFewPots {
        /// Pots in the set.
        pots: u32,
        /// Pots to be parted.
        asked: u32,
    },
    /// Minimum above maximum.
    #[error("the low is above the high")]
    LowAboveHigh,
}

/// An entry that contradicts what came before it, and is set aside by the fold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contradiction {
    /// The entry.
    pub entry: EntryId,
    /// The act it is part of.
    pub act: ActId,
    /// Its day.
    pub on: Date,
    /// What is wrong with it.
    pub wrong: Wrong,
}
