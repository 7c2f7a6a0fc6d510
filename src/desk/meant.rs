//! The batch that was meant when it was chosen, or when the grower was told of it: known again whatever its number is now,
//! and whatever file stands in the journal's place.

use serde::{Deserialize, Serialize};

use crate::journal::{Batch, State};
use crate::quantity::{BatchId, Date};

/// A batch as it was when it was meant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Meant {
    /// Its key in the journal of then.
    pub batch: BatchId,
    /// What it was called: its number, or the label of a part of it.
    pub called: String,
    /// Its crop and variety.
    pub plants: String,
    /// The day it began.
    pub begun: Date,
}

impl Meant {
    /// A batch of a state, called by its number; `None` when it is not there.
    #[must_use]
    pub fn of(state: &State, batch: BatchId) -> Option<Self> {
        let known = state.batches.get(&batch)?;
        Some(Self { batch, called: known.label.to_string(), plants: plants(state, known)?, begun: known.begun })
    }

    /// True where it is the same batch still. Another journal gives the same key to another batch.
    #[must_use]
    pub fn is_in(&self, state: &State) -> bool {
        let same = |now: &Batch| now.begun == self.begun && plants(state, now).is_some_and(|now| now == self.plants);
        state.batches.get(&self.batch).is_some_and(same)
    }
}

impl std::fmt::Display for Meant {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.called, self.plants)
    }
}

fn plants(state: &State, batch: &Batch) -> Option<String> {
    state.lots.get(&batch.lot).map(|lot| format!("{} {}", lot.crop, lot.variety))
}
