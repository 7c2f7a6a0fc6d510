//! Today's work, in order of harm.

use crate::journal::State;
use crate::quantity::{BatchId, BatchLabel, CropName, Date, Name};
use crate::trade::Trade;

use super::part::PartAt;
use super::why::Why;

/// How much harm waiting does, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Urgency {
    /// Harm is being done now.
    Now,
    /// The last good day has passed.
    Late,
    /// The best day has come.
    Today,
    /// Nothing is harmed by leaving it: a question, asked in one quiet line.
    Quiet,
}

/// What there is to do, the most harm in waiting first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Task {
    /// Shoots show in a propagator or airing cupboard: into the light.
    TakeOffHeat,
    /// After days away: this many things are late, and one look at each comes first.
    CatchUp {
        /// How many lines of [`due_in_full`] this one stands for.
        late: u32,
    },
    /// Prick out.
    PrickOut,
    /// Pot on.
    PotOn,
    /// Plant out.
    PlantOut,
    /// Count what is up.
    Count,
    /// Empty, finished or long unheard of: clear it, or say that it lives.
    ClearForgotten,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// How much harm waiting does.
    pub urgency: Urgency,
    /// What to do.
    pub what: Task,
    /// The batch and its number; `None` when it concerns several.
    pub batch: Option<(BatchId, BatchLabel)>,
    /// Its crop.
    pub crop: Option<CropName>,
    /// Its variety.
    pub variety: Option<Name>,
    /// The parts it concerns, and where they stand.
    pub parts: Vec<PartAt>,
    /// The day it fell or falls due.
    pub due: Date,
    /// Days past the last good day; 0 until then.
    pub overdue_days: u32,
    /// Why now, in a few words.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

/// Today's work in order of harm; after days away the late things are one line.
#[must_use]
pub fn due(state: &State, trade: &Trade, on: Date) -> Vec<Due> {
    due_in_full(state, trade, on)
}

/// Today's work in order of harm, every line of it.
#[must_use]
pub fn due_in_full(_state: &State, _trade: &Trade, _on: Date) -> Vec<Due> {
    Vec::new()
}
