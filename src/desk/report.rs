//! What a report needs looked up: which batch, part, container or crop is meant.

use crate::advice::{self, BatchView, Fits, InHand, Repacking, Sharing, emptied_since};
use crate::grammar::{BatchRef, ContainerWords, SpotRef};
use crate::quantity::Date;
use crate::store::Scope;

use super::error::DeskError;
use super::lookup::{find_batch, find_vessel};
use super::standing::find_bench;
use super::{Desk, clock};

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
        let (mut state, _) = clock::fold_until(&history, on);
        // The outlook of a live one hangs on the temperatures of its places and on the sowings beside it.
        let live = self.state(on)?;
        if let (Some(batch), Some(live)) = (state.batches.get_mut(&id), live.batches.get(&id)) {
            batch.label = live.label;
        }
        // What else is in use is what its plants go into, and the weather is everyone's.
        for (id, container) in &live.containers {
            state.containers.entry(*id).or_insert_with(|| container.clone());
        }
        state.readings.clone_from(&live.readings);
        state.forecasts.clone_from(&live.forecasts);
        let outlooks = self.outlooks(if live.batches.contains_key(&id) { &live } else { &state }, on)?;
        advice::batch_view(&state, &self.trade, &outlooks, id, on).ok_or_else(|| DeskError::Unknown {
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
        let state = self.state(on)?;
        let (vessel, asked) = find_vessel(&state, &self.trade, words, 1)?;
        let called =
            if vessel.pots > 1 { format!("{} {}s", vessel.pots, vessel.name) } else { vessel.name.to_string() };
        Ok((called, advice::fits(&state, &self.trade, on, &vessel, asked)))
    }

    /// The trays and pots in hand, and what the week ahead wants of them.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn in_hand(&self, on: Date) -> Result<InHand, DeskError> {
        let scope = if on < self.latest_day()? { Scope::All } else { Scope::StoodSince { day: emptied_since(on) } };
        let history = self.journal.read(|books| books.history(scope))?;
        Ok(advice::in_hand(&clock::fold_until(&history, on).0, &self.trade, on))
    }

    /// What repacking a bench would free, and the bench's name.
    ///
    /// # Errors
    /// When there is no such bench, its pins contradict one another, or nothing goes.
    pub fn repacking(&self, spot: &SpotRef, on: Date) -> Result<(String, Repacking), DeskError> {
        let state = self.state(on)?;
        let bench = find_bench(&state, spot)?;
        let plan = advice::repacking(&state, &self.trade, on, bench)?;
        Ok((advice::bench_label(&state, bench), plan))
    }

    /// When the seedlings of a crop, before it is sown, can be told from those of a batch.
    ///
    /// # Errors
    /// When there is no such crop or batch, or the batch does not stand that day.
    pub fn sharing_before(&self, crop: &str, other: BatchRef, on: Date) -> Result<Sharing, DeskError> {
        let crop = self.trade.find_crop(crop)?;
        let other = self.journal.read(|books| find_batch(books, other))?;
        let found = advice::sharing_before(&self.state(on)?, &self.trade, crop, other);
        found.ok_or(DeskError::Nothing("it does not stand that day, or nobody knows its crop"))
    }

    /// When the seedlings of two batches can be told apart.
    ///
    /// # Errors
    /// When there is no such batch by that day, or its crop is not known.
    pub fn sharing(&self, one: BatchRef, other: BatchRef, on: Date) -> Result<Sharing, DeskError> {
        let (one, other, history) = self.journal.read(|books| -> Result<_, DeskError> {
            let (one, other) = (find_batch(books, one)?, find_batch(books, other)?);
            Ok((one, other, books.history(Scope::Around(&[one, other], &[]))?))
        })?;
        // Who would be a plainer neighbour is asked of what stands now, where both are among it.
        let found = advice::sharing(&self.state(on)?, &self.trade, one, other);
        let by_themselves = || advice::sharing(&clock::fold_until(&history, on).0, &self.trade, one, other);
        let unknown = "one of them was not sown by that day, or nobody knows its crop";
        found.or_else(by_themselves).ok_or(DeskError::Nothing(unknown))
    }
}
