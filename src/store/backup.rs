//! Copies of the journal: made whole, checked after writing, and brought back.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};
use uuid::Uuid;

use crate::quantity::ActId;

use super::check::Findings;
use super::error::StoreError;
use super::open::{Durability, copy_aside};
use super::{Books, Journal, newest_schema};

/// What a journal file holds, for a look before it is restored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// Acts in it.
    pub acts: i64,
    /// Batches in it.
    pub batches: i64,
    /// Day of its latest act.
    pub latest: Option<String>,
}

impl Journal {
    /// Writes a whole copy of the journal to a new file and checks it.
    ///
    /// # Errors
    /// When the file is there already, cannot be written, or does not check out.
    pub fn back_up(&self, to: &Path) -> Result<Holding, StoreError> {
        if to.exists() {
            let source = std::io::Error::new(std::io::ErrorKind::AlreadyExists, "the file is there already");
            return Err(StoreError::File { path: to.to_owned(), source });
        }
        copy_aside(&self.connection, to)?;
        holding(to)
    }

    /// Puts the content of a backup in place of this journal, after copying this journal aside; tells where the copy is.
    ///
    /// # Errors
    /// When the backup is not a sound journal of a known schema, or a file cannot be written.
    pub fn restore(&mut self, from: &Path) -> Result<(Holding, PathBuf), StoreError> {
        let held = holding(from)?;
        let path = self.path();
        let aside = unused(&path);
        copy_aside(&self.connection, &aside)?;
        self.connection.restore(rusqlite::MAIN_DB, from, None::<fn(rusqlite::backup::Progress)>)?;
        // A backup of an older schema is brought up to date, and the connection's own settings come back.
        let device = self.device;
        *self = Self::open(&path, device, Durability::Synced)?;
        Ok((held, aside))
    }
}

fn unused(path: &Path) -> PathBuf {
    (1..)
        .map(|number| path.with_extension(format!("before-restore-{number}.db")))
        .find(|name| !name.exists())
        .unwrap_or_default()
}

/// Looks into a journal file without writing to it.
///
/// # Errors
/// When it is not a sound journal of a known schema.
pub fn holding(path: &Path) -> Result<Holding, StoreError> {
    if !path.is_file() {
        let source = std::io::Error::new(std::io::ErrorKind::NotFound, "there is no such file");
        return Err(StoreError::File { path: path.to_owned(), source });
    }
    let not_ours = |error: rusqlite::Error| match StoreError::from(error) {
        StoreError::Damaged(_) | StoreError::Sqlite(_) => StoreError::NotAJournal(path.to_owned()),
        other => other,
    };
    let connection = only_to_read(path).map_err(not_ours)?;
    let schema: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0)).map_err(not_ours)?;
    if schema > newest_schema() {
        return Err(StoreError::Newer { path: path.to_owned(), found: schema, known: newest_schema() });
    }
    let sound: String = connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0)).map_err(not_ours)?;
    if sound != "ok" {
        return Err(StoreError::Damaged(crate::quantity::message_shown(&sound)));
    }
    let count = |sql: &str| connection.query_row(sql, [], |row| row.get::<_, i64>(0)).map_err(not_ours);
    Ok(Holding {
        acts: count("SELECT count(*) FROM act")?,
        batches: count("SELECT count(*) FROM outcome")?,
        latest: connection.query_row("SELECT max(happened) FROM act", [], |row| row.get(0)).map_err(not_ours)?,
    })
}

/// The identities of the acts in a journal file, which is only read.
///
/// # Errors
/// When it is not a journal, or cannot be read.
pub fn acts_in(path: &Path) -> Result<BTreeSet<ActId>, StoreError> {
    let connection = only_to_read(path)?;
    act_ids(&connection)
}

impl Books<'_> {
    /// The identities of all acts.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn act_ids(&self) -> Result<BTreeSet<ActId>, StoreError> {
        act_ids(self.connection)
    }
}

fn act_ids(connection: &Connection) -> Result<BTreeSet<ActId>, StoreError> {
    let mut statement = connection.prepare("SELECT uuid FROM act")?;
    let ids = statement.query_map([], |row| row.get(0))?.collect::<Result<Vec<Vec<u8>>, _>>()?;
    Ok(ids.iter().filter_map(|id| Uuid::from_slice(id).ok()).map(ActId).collect())
}

/// Opens a file so that nothing is written to it or beside it. One without a write-ahead log beside it is read as it
/// stands; to read such a log SQLite needs its index, and makes that.
fn only_to_read(path: &Path) -> rusqlite::Result<Connection> {
    let log = {
        let mut name = path.as_os_str().to_owned();
        name.push("-wal");
        PathBuf::from(name)
    };
    let as_it_stands = match (log.exists(), path.to_str()) {
        (false, Some(text)) => {
            let escaped = text.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
            format!("file:{escaped}?immutable=1")
        }
        _ => return Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY),
    };
    Connection::open_with_flags(as_it_stands, OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI)
}

/// Copies a journal that is not open here, with what its write-ahead log holds.
pub(super) fn copy_unopened(from: &Path, to: &Path) -> Result<(), StoreError> {
    holding(from)?;
    let connection = only_to_read(from)?;
    copy_aside(&connection, to)
}

/// Checks a journal file that may be too damaged to open for use.
///
/// # Errors
/// When the file cannot be opened even for reading.
pub fn check_file(path: &Path) -> Result<Findings, StoreError> {
    let connection = only_to_read(path)?;
    super::check::file_only(&connection)
}
