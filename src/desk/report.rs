//! What a report needs looked up: which batch, part, container or crop is meant.

use crate::advice::{self, BatchView, Fits};
use crate::grammar::{BatchRef, ContainerWords};
use crate::journal::fold_until;
use crate::quantity::Date;
use crate::store::Scope;

use super::Desk;
use super::error::DeskError;
use super::resolve::{find_batch, find_vessel};

impl Desk {
    /// All there is to say of one batch, live or not, as it stood at the end of a day.
    ///
    /// # Errors
    /// When there is no such batch, it had not begun by that day, or the journal cannot be read.
    pub fn batch(&self, reference: BatchRef, on: Date) -> Result<BatchView, DeskError> {
        let (id, history) = self.journal.read(|books| -> Result<_, DeskError> {
            let id = find_batch(books, reference)?;
            Ok((id, books.history(Scope::Around(&[id], &[]))?))
        })?;
        let (state, _) = fold_until(&history, on);
        advice::batch_view(&state, &self.trade, id, on).ok_or_else(|| DeskError::Unknown {
            what: "batch",
            name: format!("{reference} on {on}"),
            hint: "it was begun later: use a later day with --on".to_owned(),
        })
    }

    /// Whether so many more of a container go anywhere as things stood at the end of a day.
    ///
    /// # Errors
    /// When no container is called so, or the journal cannot be read.
    pub fn fits(&self, words: &ContainerWords, on: Date) -> Result<(String, Fits), DeskError> {
        let (vessel, asked) = find_vessel(&self.trade, words, 1)?;
        let called =
            if vessel.pots > 1 { format!("{} {}s", vessel.pots, vessel.name) } else { vessel.name.to_string() };
        Ok((called, advice::fits(&self.state(on)?, &vessel, asked)))
    }
}
