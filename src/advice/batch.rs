//! All there is to say of one batch.

use crate::journal::{Beginning, Count, Gone, Growth, Lot, Source, State, Tally};
use crate::quantity::{BatchId, BatchLabel, BenchId, Date, Name, PartId, PartLabel, PlaceId, Remark};
use crate::trade::Trade;

use super::due::Due;
use super::germination::Germination;
use super::part::PartAt;
use super::ready::Ready;

/// Where a part was from some day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stayed {
    /// From this day.
    pub from: Date,
    /// The place it was in: where it was out to, or its home.
    pub place: Option<PlaceId>,
    /// The bench, when it was at home on one.
    pub bench: Option<BenchId>,
    /// For people: `frame/left`, `frame for the day`.
    pub at: String,
    /// The place it was out in for the day.
    pub out: Option<Name>,
}

/// One part of a batch, live or not.
#[derive(Clone, Debug, PartialEq)]
pub struct PartView {
    /// The part, what it stands in and where.
    pub part: PartAt,
    /// Where its plants came from.
    pub source: Source,
    /// The part they came from.
    pub from: Option<PartLabel>,
    /// The day it was filled.
    pub filled: Date,
    /// The day its container was emptied of it.
    pub cleared: Option<Date>,
    /// Where its units have gone.
    pub tally: Tally,
    /// Plants moved on into other parts.
    pub moved_on: u32,
    /// Where it was, first first; a carrier's moves are its own.
    pub stays: Vec<Stayed>,
    /// Counts, first first.
    pub counts: Vec<Count>,
    /// What is up by day, as later counts leave it.
    pub curve: Vec<(Date, u32)>,
    /// Growth noted, first first.
    pub stages: Vec<(Date, Growth)>,
    /// Plants that left for good, first first.
    pub gone: Vec<Gone>,
    /// Its next move.
    pub ready: Option<Ready>,
}

/// One batch.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchView {
    /// The batch.
    pub id: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its seed or plants; `None` only when missing from the state.
    pub lot: Option<Lot>,
    /// Sown or received.
    pub beginning: Beginning,
    /// The day it began.
    pub begun: Date,
    /// Where every unit has gone.
    pub tally: Tally,
    /// True while any part is in a container.
    pub live: bool,
    /// What came up; `None` for plants bought in.
    pub germination: Option<Germination>,
    /// Its parts, first first.
    pub parts: Vec<PartView>,
    /// Remarks about it, first first.
    pub notes: Vec<(Date, Remark)>,
    /// What is due for it today, in order of harm.
    pub due: Vec<Due>,
    /// The nearest move of any part; `None` when nothing can be said.
    pub next: Option<PartId>,
}

/// All there is to say of a batch; `None` when it is not in the state.
#[must_use]
pub fn batch_view(_state: &State, _trade: &Trade, _batch: BatchId, _on: Date) -> Option<BatchView> {
    None
}
