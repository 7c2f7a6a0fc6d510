//! The journal file: SQLite, and the only room that knows SQL.
//!
//! Every write is one IMMEDIATE transaction, synced before it is called done. The log only grows; what is derived from
//! it is rewritten for the touched batches in the same transaction.

mod acts;
mod append;
mod backup;
mod check;
mod derived;
mod digest;
mod error;
mod find;
mod load;
mod merge;
mod names;
mod open;
mod pages;
mod place;
mod restore;
mod rows;
mod salvage;
mod vouched;

use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior};

use crate::quantity::{ActId, DeviceId};

use place::{FileId, Stamp};

pub use acts::{ActRecord, LoggedAct, Ruling};
pub use append::Recorded;
pub use backup::{Checked, Holding, acts_in, check_file, holding};
pub use check::{Finding, Findings};
pub use error::{Before, StoreError};
pub use find::{FoundBatch, LotRecord, place_among};
pub use load::Scope;
pub use merge::{Kinship, Merged, NamedAgain, Twins, Wearer};
pub use open::{Durability, newest_schema};
pub use restore::Restored;
pub use salvage::{Loss, LostAct, Salvaged, salvage};

/// An open journal.
#[derive(Debug)]
pub struct Journal {
    connection: Connection,
    device: DeviceId,
    path: PathBuf,
    /// The file that was opened.
    file: FileId,
    /// How it looked from outside when it was known to be as this program left it, and an act that was in it then.
    stamp: Stamp,
    anchor: Option<ActId>,
    /// How often it was opened anew.
    opened: i64,
}

/// A consistent look at a journal; within [`Journal::write`] also the way to add to it.
pub struct Books<'a> {
    connection: &'a Connection,
    device: DeviceId,
}

impl Journal {
    /// Opens a journal, making it if it is not there, and brings its schema up to date after copying it aside.
    ///
    /// # Errors
    /// When the path is a folder, another kind of file, of a newer schema, not writable or damaged. Nothing is
    /// written then.
    pub fn open(path: &Path, device: DeviceId, durability: Durability) -> Result<Self, StoreError> {
        Ok(Self::on(open::connect(path, durability)?, device))
    }

    fn on(connection: Connection, device: DeviceId) -> Self {
        let path = open::file_of(&connection);
        let file = FileId::at(&path);
        let mut journal = Self { connection, device, path, file, stamp: Stamp::default(), anchor: None, opened: 0 };
        journal.take_note();
        journal
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> PathBuf {
        self.path.clone()
    }

    /// Looks at the journal as it is at one moment.
    ///
    /// # Errors
    /// Whatever `look` returns, or a failure to read.
    pub fn read<T, E: From<StoreError>>(&self, look: impl FnOnce(&Books<'_>) -> Result<T, E>) -> Result<T, E> {
        self.look_in_place()?;
        let transaction = self.connection.unchecked_transaction().map_err(StoreError::from)?;
        let found = look(&Books { connection: &transaction, device: self.device })?;
        transaction.commit().map_err(StoreError::from)?;
        Ok(found)
    }

    /// Adds to the journal: all of it, synced, or nothing.
    ///
    /// # Errors
    /// Whatever `act` returns, or a failure to write, or that another file stands in the journal's place; nothing is
    /// written then.
    pub fn write<T, E: From<StoreError>>(&mut self, act: impl FnOnce(&Books<'_>) -> Result<T, E>) -> Result<T, E> {
        self.make_sure_to_write()?;
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(StoreError::from)?;
        let done = act(&Books { connection: &transaction, device: self.device })?;
        if FileId::at(&self.path) != self.file {
            drop(transaction);
            return Err(self.leave().into());
        }
        match transaction.commit() {
            Ok(()) => {
                self.stamp = Stamp::at(&self.path);
                Ok(done)
            }
            Err(error) => Err(self.withdraw(error).into()),
        }
    }

    /// Does what [`Journal::write`] would do and takes all of it back: nothing reaches the file, and what was read and
    /// written meanwhile is as it would be.
    ///
    /// # Errors
    /// Whatever `act` returns; also when another program is writing just now.
    pub fn rehearse<T, E: From<StoreError>>(&mut self, act: impl FnOnce(&Books<'_>) -> Result<T, E>) -> Result<T, E> {
        self.make_sure_to_write()?;
        // Nobody waits for a rehearsal.
        self.connection.busy_timeout(open::BUSY_IN_REHEARSAL).map_err(StoreError::from)?;
        let begun = self.connection.transaction_with_behavior(TransactionBehavior::Immediate);
        let done = begun.map_err(|error| StoreError::from(error).into()).and_then(|transaction| {
            let done = act(&Books { connection: &transaction, device: self.device });
            transaction.rollback().map_err(StoreError::from)?;
            done
        });
        self.connection.busy_timeout(open::BUSY).map_err(StoreError::from)?;
        done
    }

    /// What is said when a commit failed. One that was written and could not be synced stands whole behind the end of
    /// the write-ahead log, and would be taken for done when that is next read from its start: it is written over.
    fn withdraw(&self, error: rusqlite::Error) -> StoreError {
        let code = error.sqlite_error().map_or(0, |error| error.extended_code);
        if code != rusqlite::ffi::SQLITE_IOERR_FSYNC {
            return error.into();
        }
        // A new frame of page 1 as it is, which need not be synced: it is there to be read, not to last.
        let written_over = open::schema(&self.connection).and_then(|schema| {
            self.connection.execute_batch(&format!("PRAGMA synchronous = OFF; PRAGMA user_version = {schema};"))
        });
        let synced_again = self.connection.execute_batch("PRAGMA synchronous = FULL;");
        match written_over.and(synced_again) {
            Ok(()) => error.into(),
            Err(_) => StoreError::Uncertain(crate::quantity::message_shown(&error.to_string())),
        }
    }

    /// A number that changes when another connection has written to the journal: a cheap look.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn data_version(&self) -> Result<i64, StoreError> {
        let version: i64 = self.connection.query_row("PRAGMA data_version", [], |row| row.get(0))?;
        // Each connection counts for itself, and from one to the next it has to differ too.
        Ok(version.wrapping_add(self.opened << 32))
    }
}
