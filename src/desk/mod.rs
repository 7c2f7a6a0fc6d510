//! The open journal: perform an act, undo it, make a report. One transaction each.
//!
//! The desk joins the rooms below it: it looks up what the words mean (`resolve`), lets the journal decide, writes
//! what was decided through the store, and hands states to `advice`. It knows no SQL, no glyph and no formula.

mod board;
mod cautions;
mod changing_over;
mod clock;
mod copies;
mod disputes;
mod doubt;
mod drafts;
mod error;
mod export;
mod heed;
mod import;
mod lookup;
mod meant;
mod needs;
mod outlook;
mod parts;
mod perform;
mod report;
mod rescue;
mod resolve;
mod said;
mod scale;
mod script;
mod seed;
mod settings;
mod sides;
mod slips;
mod standing;
mod tonight;
mod undo;
mod vocabulary;
mod weather;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::journal::{Contradiction, State};
use crate::quantity::{Date, DeviceId};
use crate::store::{Checked, Durability, Findings, Journal, Kinship, Merged, Scope};
use crate::trade::Trade;

pub use crate::exchange::{DayForecast, Days};
pub use board::{Board, LastTime, SeedLeft, Standing, live_parts};
pub use clock::{minute, moment, now, today};
pub use copies::copy_trouble;
pub use disputes::Dispute;
pub use doubt::Doubt;
pub use drafts::Drafts;
pub use error::{DeskError, ErrorKind};
use lookup::tell_apart;
pub use meant::Meant;
pub use perform::Done;
use rescue::Version;
pub use rescue::{Comparison, Difference, Rescue, Twin, holding, meant_beside, restore_unopened, salvage};
pub use said::HistoryRow;
pub use script::{DEMO_DAY, Ran, RefusedLine};
pub use settings::{Paths, Throwaway, read_text, variable};
pub use sides::told_apart;
pub use weather::{CAN_FETCH, Fetched, Question};

/// Temperatures and notes about places are read this many days back.
const DAYS_OF_WEATHER: u64 = 400;

/// What is live on a day that nothing is logged after, with the weather of the year before.
fn scope_of(on: Date) -> Scope<'static> {
    let before = |days| on.checked_sub_days(chrono::Days::new(days)).unwrap_or(on);
    Scope::Live { since: before(DAYS_OF_WEATHER), planted_out: before(crate::advice::WATCHED_DAYS.into()) }
}

/// An open journal with the tables of the trade.
#[derive(Debug)]
pub struct Desk {
    journal: Journal,
    trade: Trade,
    /// Files beside the journal that have nothing it lacks.
    merged: RefCell<BTreeSet<Version>>,
}

impl Desk {
    /// Opens a journal with the built-in tables and the grower's own figures over them.
    ///
    /// # Errors
    /// When the journal cannot be opened or a table is wrong.
    pub fn open(path: &Path, device: DeviceId, trade: Trade) -> Result<Self, DeskError> {
        Self::open_with(path, device, trade, Durability::Synced)
    }

    /// Opens a journal with another durability: for generators and demonstrations.
    ///
    /// # Errors
    /// When the journal cannot be opened.
    pub fn open_with(path: &Path, device: DeviceId, trade: Trade, durability: Durability) -> Result<Self, DeskError> {
        let journal = Journal::open(path, device, durability)?;
        Ok(Self { journal, trade, merged: RefCell::default() })
    }

    /// The tables of the trade, with the grower's own figures.
    #[must_use]
    pub const fn trade(&self) -> &Trade {
        &self.trade
    }

    /// The journal's file.
    #[must_use]
    pub fn path(&self) -> PathBuf {
        self.journal.path()
    }

    /// A number that changes when another program has written to the journal.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn data_version(&self) -> Result<i64, DeskError> {
        Ok(self.journal.data_version()?)
    }

    /// A look at the file while nothing else happens; gives what [`Desk::data_version`] does.
    ///
    /// # Errors
    /// When another file stands in its place; that is open then, and what the one before held is kept. Or when it cannot
    /// be read.
    pub fn glance(&mut self) -> Result<i64, DeskError> {
        Ok(self.journal.glance()?)
    }

    /// What stood at the end of a day, as known now: everything live with what it needs.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn state(&self, on: Date) -> Result<State, DeskError> {
        Ok(self.folded(on)?.0)
    }

    /// The same, with what cannot be true in it.
    fn folded(&self, on: Date) -> Result<(State, Vec<Contradiction>), DeskError> {
        // A day in the past had batches that are cleared by now: only the whole log knows them.
        let scope = if on < self.latest_day()? { Scope::All } else { scope_of(on) };
        self.journal.read(|books| {
            let (mut state, contradictions) = clock::fold_until(&books.history(scope)?, on);
            tell_apart(books, &mut state)?;
            Ok((state, contradictions))
        })
    }

    /// Asks whether the clock is right, where it is far behind the journal and a day is today by it.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn clock_doubt(&self, on: Date) -> Result<Option<String>, DeskError> {
        self.journal.read(|books| clock::doubt(books, on))
    }

    fn latest_day(&self) -> Result<Date, DeskError> {
        Ok(self.journal.read(|books| books.latest_day())?.unwrap_or(Date::MIN))
    }

    /// Checks the journal: file, digests, derived tables, sums.
    ///
    /// # Errors
    /// When it cannot be read at all.
    pub fn check(&self) -> Result<Findings, DeskError> {
        Ok(self.journal.check()?)
    }

    /// Copies the journal to a new file and checks all of the copy.
    ///
    /// # Errors
    /// When the file is there already or cannot be written.
    pub fn back_up(&self, to: &Path) -> Result<crate::store::Holding, DeskError> {
        Ok(self.journal.back_up(to, Checked::Whole)?)
    }

    /// Brings in every act of another journal that this one lacks; the other file is only read.
    ///
    /// # Errors
    /// When the other file is not a sound journal or has nothing in common with this one, or a file cannot be written.
    pub fn merge(&mut self, other: &Path) -> Result<Merged, DeskError> {
        self.merge_with(other, Kinship::Wanted)
    }

    /// The same, even if it has nothing in common with this one.
    ///
    /// # Errors
    /// When the other file is not a sound journal, or a file cannot be written.
    pub fn merge_unrelated(&mut self, other: &Path) -> Result<Merged, DeskError> {
        self.merge_with(other, Kinship::Waived)
    }

    fn merge_with(&mut self, other: &Path, kinship: Kinship) -> Result<Merged, DeskError> {
        let folder = Throwaway::new()?;
        Ok(self.journal.merge(&meant_beside(&self.path(), other), &folder.file("other.db"), kinship)?)
    }
}
