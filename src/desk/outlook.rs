//! What earlier sowings taught, and with it the outlook for every sowing that stands.

use std::collections::BTreeSet;

use crate::advice::{self, Curve, LotUse, NEWEST, Outlooks, Record};
use crate::journal::{State, fold_until};
use crate::quantity::{BatchId, CropName, Date};
use crate::store::Scope;

use super::Desk;
use super::error::DeskError;

impl Desk {
    /// The record of earlier sowings of the crops that stand, and the seed at hand of them: at most the newest
    /// [`NEWEST`] of a crop, so that its cost does not grow with the years.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn record(&self, state: &State, on: Date) -> Result<Record, DeskError> {
        let crops: BTreeSet<&CropName> =
            state.batches.values().filter_map(|batch| state.lots.get(&batch.lot)).map(|lot| &lot.crop).collect();
        self.journal.read(|books| {
            let most = u32::try_from(NEWEST).unwrap_or(u32::MAX);
            let mut past: Vec<BatchId> = Vec::new();
            for crop in &crops {
                past.extend(books.past_sowings(crop, most)?);
            }
            let history = books.history(Scope::Around(&past, &[]))?;
            let mut record = Record::of(&fold_until(&history, on).0, &self.trade, on);
            for crop in crops {
                for lot in books.newest_lots(crop, most)? {
                    record.add_lot(lot.id, LotUse { sown: books.sown_from(lot.id)?, lot: lot.lot });
                }
            }
            Ok(record)
        })
    }

    /// The outlook for every sowing that stands in a state.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn outlooks(&self, state: &State, on: Date) -> Result<Outlooks, DeskError> {
        Ok(advice::outlooks(state, &self.trade, &self.record(state, on)?, None, on))
    }

    /// The course of a sowing beside what was expected of it; `None` when nothing can be expected.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn curve(&self, batch: BatchId, on: Date) -> Result<Option<Curve>, DeskError> {
        let state = self.state(on)?;
        Ok(advice::curve(&state, &self.trade, &self.record(&state, on)?, batch, on))
    }
}
