//! When a part was last heard of, and which are only to be asked about as forgotten.

use crate::journal::{Part, State};
use crate::quantity::{Date, PartId};
use crate::trade::Trade;

use super::part::days_between;
use super::ready::{Ready, ready_of};

/// Days without a note after which plants or seed are asked about as forgotten. Common practice, no source.
pub(super) const FORGOTTEN_DAYS: u32 = 42;
/// Days after which plants nothing is noted of are asked about. Common practice, no source.
const UNHEARD_DAYS: u32 = 180;

/// The latest day on which anything was noted of a part itself, by the day asked about.
pub(super) fn part_noted(state: &State, id: PartId, on: Date) -> Option<Date> {
    let part = state.parts.get(&id)?;
    let counts = part.counts.iter().map(|count| count.on);
    let gone = part.gone.iter().map(|gone| gone.on);
    let stages = part.stages.iter().map(|(day, _)| *day);
    let stays = state.containers.get(&part.container).into_iter().flat_map(|container| &container.stays);
    let days = counts.chain(gone).chain(stages).chain(stays.map(|stay| stay.from));
    days.chain([part.filled]).chain(part.cleared).filter(|day| *day <= on).max()
}

/// A move whose best day has come.
pub(super) enum Move {
    /// It is to be made.
    Due(Box<Ready>),
    /// It is long past and nothing was noted since.
    Unheard,
}

impl Move {
    pub(super) fn of(state: &State, trade: &Trade, id: PartId, on: Date) -> Option<Self> {
        let ready = ready_of(state, trade, id, on).filter(|ready| ready.window.best <= on)?;
        let since = part_noted(state, id, on).map_or(ready.window.latest, |noted| noted.max(ready.window.latest));
        Some(if days_between(since, on) > FORGOTTEN_DAYS { Self::Unheard } else { Self::Due(Box::new(ready)) })
    }

    /// The move that is to be made of a part.
    pub(super) fn due(state: &State, trade: &Trade, id: PartId, on: Date) -> Option<Ready> {
        match Self::of(state, trade, id, on)? {
            Self::Due(ready) => Some(*ready),
            Self::Unheard => None,
        }
    }
}

/// Whether seed of which nine tenths should have been up by a day is long past hope, or plants are long unheard of.
pub(super) fn is_forgotten(
    (state, trade): (&State, &Trade),
    (id, part): (PartId, &Part),
    hope: Option<Date>,
    on: Date,
) -> bool {
    let quiet = days_between(part_noted(state, id, on).unwrap_or(part.filled), on);
    if part.standing() == 0 {
        let after_hope = days_between(hope.map_or(part.filled, |by| by.max(part.filled)), on);
        return quiet.min(after_hope) > FORGOTTEN_DAYS;
    }
    quiet > UNHEARD_DAYS || matches!(Move::of(state, trade, id, on), Some(Move::Unheard))
}
