//! What is derived from the log: one row a batch, one a standing part, one a carrier in use.

use rusqlite::params;

use crate::journal::{Beginning, State, Tally};
use crate::quantity::{BatchId, ContainerClass, ContainerId, EntryId, PartId};

use super::Books;
use super::error::StoreError;

impl Books<'_> {
    /// Rewrites what is derived for everything that the last history reached, from the state after.
    ///
    /// # Errors
    /// When the journal cannot be written.
    pub fn rewrite_derived(&self, state: &State) -> Result<(), StoreError> {
        let mut batches = self.wanted_batches()?;
        batches.extend(state.batches.keys().filter(|id| !batches.contains(id)).copied().collect::<Vec<_>>());
        for batch in batches {
            self.rewrite_batch(state, batch)?;
        }
        let mut containers = self.wanted_containers()?;
        containers.extend(state.containers.keys().filter(|id| !containers.contains(id)).copied().collect::<Vec<_>>());
        for container in containers {
            self.rewrite_carrier(state, container)?;
        }
        Ok(())
    }

    fn rewrite_batch(&self, state: &State, id: BatchId) -> Result<(), StoreError> {
        self.connection.prepare_cached("DELETE FROM standing WHERE batch = ?1")?.execute([id.0.0])?;
        let Some(row) = outcome_row(state, id) else {
            self.connection.prepare_cached("DELETE FROM outcome WHERE batch = ?1")?.execute([id.0.0])?;
            return Ok(());
        };
        let Tally { sown, gained, not_up, standing, lost, thinned, discarded, planted_out, given_away } = row.tally;
        self.connection
            .prepare_cached(
                "INSERT OR REPLACE INTO outcome (batch, year, number, lot, crop, variety, begun, beginning, live, sown, \
                 gained, not_up, standing, lost, thinned, discarded, planted_out, given_away) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18)",
            )?
            .execute(params![
                row.batch,
                row.year,
                row.number,
                row.lot,
                row.crop,
                row.variety,
                row.begun,
                row.beginning,
                row.live,
                sown,
                gained,
                not_up,
                standing,
                lost,
                thinned,
                discarded,
                planted_out,
                given_away,
            ])?;
        for row in standing_rows(state, id) {
            self.connection
                .prepare_cached(
                    "INSERT OR REPLACE INTO standing (part, batch, letter, container, place, bench, sown, up, standing, \
                     cleared) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                )?
                .execute(params![
                    row.part,
                    row.batch,
                    row.letter,
                    row.container,
                    row.place,
                    row.bench,
                    row.sown,
                    row.up,
                    row.standing,
                    row.cleared,
                ])?;
        }
        Ok(())
    }

    fn rewrite_carrier(&self, state: &State, id: ContainerId) -> Result<(), StoreError> {
        match carrier_row(state, id) {
            Some(called) => self
                .connection
                .prepare_cached("INSERT OR REPLACE INTO carrier (container, called) VALUES (?1, ?2)")?
                .execute(params![id.0.0, called])?,
            None => self.connection.prepare_cached("DELETE FROM carrier WHERE container = ?1")?.execute([id.0.0])?,
        };
        Ok(())
    }
}

/// A row of `outcome`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct OutcomeRow {
    pub(super) batch: i64,
    pub(super) year: i32,
    pub(super) number: u32,
    pub(super) lot: i64,
    pub(super) crop: String,
    pub(super) variety: String,
    pub(super) begun: String,
    pub(super) beginning: String,
    pub(super) live: bool,
    pub(super) tally: Tally,
}

/// A row of `standing`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct StandingRow {
    pub(super) part: i64,
    pub(super) batch: i64,
    pub(super) letter: String,
    pub(super) container: i64,
    pub(super) place: Option<i64>,
    pub(super) bench: Option<i64>,
    pub(super) sown: u32,
    pub(super) up: u32,
    pub(super) standing: u32,
    pub(super) cleared: Option<String>,
}

pub(super) fn outcome_row(state: &State, id: BatchId) -> Option<OutcomeRow> {
    let batch = state.batches.get(&id)?;
    let lot = state.lots.get(&batch.lot)?;
    Some(OutcomeRow {
        batch: id.0.0,
        year: batch.label.year,
        number: batch.label.number,
        lot: batch.lot.0.0,
        crop: lot.crop.to_string(),
        variety: lot.variety.to_string(),
        begun: batch.begun.to_string(),
        beginning: match batch.beginning {
            Beginning::Sown { .. } => "sown".to_owned(),
            Beginning::Received => "received".to_owned(),
        },
        live: state.is_live(batch),
        tally: state.tally(batch),
    })
}

pub(super) fn standing_rows(state: &State, id: BatchId) -> Vec<StandingRow> {
    let Some(batch) = state.batches.get(&id).filter(|batch| state.is_live(batch)) else { return Vec::new() };
    let key = |id: EntryId| id.0;
    state
        .parts_of(batch)
        .map(|(PartId(part), held)| {
            let home = state.home(held.container);
            StandingRow {
                part: key(part),
                batch: key(id.0),
                letter: held.letter.to_string(),
                container: key(held.container.0),
                place: home.map(|(place, _)| key(place.0)),
                bench: home.and_then(|(_, bench)| bench).map(|bench| key(bench.0)),
                sown: held.sown(),
                up: held.up,
                standing: held.standing(),
                cleared: held.cleared.map(|on| on.to_string()),
            }
        })
        .collect()
}

/// The name of a carrier in use: the outer `None` when it is no carrier or out of use.
pub(super) fn carrier_row(state: &State, id: ContainerId) -> Option<Option<String>> {
    let container = state.containers.get(&id)?;
    (container.vessel.class == ContainerClass::Carrier && state.is_occupied(id))
        .then(|| container.called.as_ref().map(ToString::to_string))
}
