//! The letter that plants are known by: where the emptied pots of a set were cleared by number, those that stay go on under
//! another.

use crate::quantity::{Date, PartId};

use super::decide::Draft;
use super::fact::Source;
use super::kinds::Transfer;
use super::refusal::Refusal;
use super::state::{Part, State};
use super::wrong::Wrong;

impl Draft<'_> {
    pub(super) fn check_not_cleared(&self, id: PartId) -> Result<(), Refusal> {
        self.state.parts.get(&id).and_then(|part| part.cleared).map_or(Ok(()), |on| Err(self.cleared(id, on)))
    }

    /// What stands in the pots that stay of a set is known by the letter it goes on under.
    pub(super) fn check_letter(&self, id: PartId) -> Result<(), Refusal> {
        match self.state.parts.get(&id).and_then(|part| part.cleared).map(|on| self.cleared(id, on)) {
            Some(refusal @ Refusal::GoesOn { .. }) => Err(refusal),
            _ => Ok(()),
        }
    }

    /// That a part was cleared, with the letter its plants go on under where only some of its pots were emptied.
    pub(super) fn cleared(&self, id: PartId, on: Date) -> Refusal {
        let label = |id| self.state.parts.get(&id).map(|part| self.state.part_label(part));
        let mut last = id;
        while let Some(next) = self.state.goes_on_as(last) {
            last = next;
        }
        match (label(id), label(last)) {
            (Some(part), Some(now)) if last != id => Refusal::GoesOn { part, now, on },
            (Some(part), _) => Refusal::Cleared { part, on },
            (None, _) => Refusal::Impossible(Wrong::NoSuchPart),
        }
    }
}

impl State {
    /// The part that the plants of a set go on as whose emptied pots were cleared by number: parted and cleared in one act.
    fn goes_on_as(&self, id: PartId) -> Option<PartId> {
        let part = self.parts.get(&id)?;
        let by = part.cleared_by.filter(|_| part.cleared.is_some())?;
        let is_it = |other: &Part| {
            let parted = matches!(other.source, Source::From { part, how: Transfer::Parted, .. } if part == id);
            let stood = self.containers.get(&other.container).and_then(|held| held.stays.first());
            parted && stood.is_some_and(|stay| stay.by == by)
        };
        let batch = self.batches.get(&part.batch)?;
        self.parts_of(batch).find(|(_, other)| is_it(other)).map(|(id, _)| id)
    }
}
