//! Copies of the journal: made whole and checked after writing.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};
use uuid::Uuid;

use crate::quantity::{ActId, DeviceId};

use super::check::{Finding, Findings};
use super::error::StoreError;
use super::open::{Durability, connect, connect_to_read, create_private, is_marked};
use super::place::beside;
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
    /// The first thing wrong with what it holds, where that was checked.
    pub wrong: Option<Finding>,
}

/// How far a copy is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// The file, which takes no time to speak of.
    File,
    /// All that it holds: some seconds after twenty seasons.
    Whole,
}

impl Journal {
    /// Writes a whole copy of the journal to a new file and checks it. What is wrong with what the journal holds is wrong
    /// with its copy too, which is better than none.
    ///
    /// # Errors
    /// When the file is there already, cannot be written, or does not come out as a journal. There is no file then.
    pub fn back_up(&self, to: &Path, checked: Checked) -> Result<Holding, StoreError> {
        self.look_in_place()?;
        copy_checked(&self.connection, to, |copy| {
            let holding = holding(copy)?;
            if checked == Checked::File {
                return Ok(holding);
            }
            let copy = Self::on(connect_to_read(copy)?, self.device);
            Ok(Holding { wrong: copy.check()?.problems.into_iter().next(), ..holding })
        })
    }

    /// Copies another journal, which is only read, to a file that does not exist yet, brings the copy up to date and checks
    /// all that it holds.
    ///
    /// # Errors
    /// When it is not a sound journal of a known schema, or the copy cannot be written.
    pub fn sound_copy(of: &Path, to: &Path) -> Result<(Holding, Self), StoreError> {
        let unsound = |about, what| StoreError::Unsound { path: of.to_owned(), about, what };
        let opened = copy_unopened(of, to).and_then(|holding| {
            let copy = Self::on(connect(to, Durability::Unsynced)?, DeviceId(Uuid::nil()));
            Ok((copy.check()?.problems.into_iter().next(), holding, copy))
        });
        match opened {
            Ok((None, holding, copy)) => Ok((holding, copy)),
            Ok((Some(Finding { about, what }), ..)) => Err(unsound(about, what)),
            // It is the other file that is so, not the journal.
            Err(StoreError::Damaged(_)) => Err(unsound("file", "pages of it cannot be read".to_owned())),
            Err(StoreError::Sqlite(what) | StoreError::Migration(what)) => Err(unsound("file", what)),
            Err(StoreError::Altered { act }) => Err(unsound("digest", StoreError::Altered { act }.to_string())),
            Err(other) => Err(other),
        }
    }
}

/// Writes a whole copy of the journal to a new file, which is there under its name once it is synced and can be read.
///
/// # Errors
/// When the file is there already, cannot be written, or does not check out. There is no file then.
pub(super) fn copy_aside(connection: &Connection, to: &Path) -> Result<Holding, StoreError> {
    copy_checked(connection, to, holding)
}

/// The same, with a check of one's own.
fn copy_checked(
    connection: &Connection,
    to: &Path,
    check: impl FnOnce(&Path) -> Result<Holding, StoreError>,
) -> Result<Holding, StoreError> {
    if to.exists() {
        let source = std::io::Error::new(std::io::ErrorKind::AlreadyExists, "the file is there already");
        return Err(StoreError::File { path: to.to_owned(), source });
    }
    let part = beside(to, &format!(".{}.part", std::process::id()));
    let made = write_part(connection, &part).and_then(|()| check(&part)).and_then(|holding| {
        let failed = |source| StoreError::File { path: to.to_owned(), source };
        fs::rename(&part, to).map_err(failed)?;
        sync_folder_of(to).map_err(failed)?;
        Ok(holding)
    });
    if made.is_err() {
        let _ = fs::remove_file(&part);
    }
    made
}

fn write_part(connection: &Connection, part: &Path) -> Result<(), StoreError> {
    let Some(name) = part.to_str() else {
        return Err(StoreError::CannotOpen { path: part.to_owned(), reason: "its name is not text".to_owned() });
    };
    let _ = fs::remove_file(part);
    create_private(part)?;
    connection.execute("VACUUM INTO ?1", [name])?;
    let file = fs::File::open(part).and_then(|file| file.sync_all());
    file.map_err(|source| StoreError::File { path: part.to_owned(), source })
}

/// A new name is as lasting as its folder.
pub(super) fn sync_folder_of(file: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    if let Some(folder) = file.parent() {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        fs::File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// A name beside the journal that nothing has yet: `journal.before-restore-1.db`.
pub(super) fn unused(path: &Path, what: &str) -> PathBuf {
    (1..)
        .map(|number| path.with_extension(format!("{what}-{number}.db")))
        .find(|name| !name.exists())
        .unwrap_or_default()
}

/// Looks into a journal file without writing to it.
///
/// # Errors
/// When it is not a sound journal of a known schema.
pub fn holding(path: &Path) -> Result<Holding, StoreError> {
    let failed = |source| StoreError::File { path: path.to_owned(), source };
    match fs::metadata(path).map_err(failed)? {
        found if found.is_dir() => return Err(StoreError::Folder(path.to_owned())),
        found if !found.is_file() => return Err(StoreError::NotAJournal(path.to_owned())),
        // Whoever may not read it is told so by the system, and in fewer words than by SQLite.
        _ => drop(fs::File::open(path).map_err(failed)?),
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
        wrong: None,
    })
}

/// The identities of the acts in a journal file, which is only read.
///
/// # Errors
/// When it is not a journal, or cannot be read.
pub fn acts_in(path: &Path) -> Result<BTreeSet<ActId>, StoreError> {
    let connection = only_to_read(path)?;
    if !is_marked(&connection)? {
        return Err(StoreError::NotAJournal(path.to_owned()));
    }
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

pub(super) fn act_ids(connection: &Connection) -> Result<BTreeSet<ActId>, StoreError> {
    let mut statement = connection.prepare("SELECT uuid FROM act")?;
    let ids = statement.query_map([], |row| row.get(0))?.collect::<Result<Vec<Vec<u8>>, _>>()?;
    Ok(ids.iter().filter_map(|id| Uuid::from_slice(id).ok()).map(ActId).collect())
}

/// Opens a file so that nothing is written to it or beside it. One without a write-ahead log beside it is read as it
/// stands; to read such a log SQLite needs its index, and makes that.
pub(super) fn only_to_read(path: &Path) -> rusqlite::Result<Connection> {
    if beside(path, "-wal").exists() {
        return Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY);
    }
    as_it_stands(path)
}

/// Opens a file to be read without any log beside it.
pub(super) fn as_it_stands(path: &Path) -> rusqlite::Result<Connection> {
    let Some(text) = path.to_str() else {
        return Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY);
    };
    let escaped = text.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    Connection::open_with_flags(format!("file:{escaped}?immutable=1"), flags)
}

/// The identities of the acts in a file alone, whatever log is beside it.
pub(super) fn acts_in_file_alone(path: &Path) -> Result<BTreeSet<ActId>, StoreError> {
    act_ids(&as_it_stands(path)?)
}

/// Copies a journal that is not open here, with what its write-ahead log holds.
fn copy_unopened(from: &Path, to: &Path) -> Result<Holding, StoreError> {
    let held = holding(from)?;
    let connection = only_to_read(from)?;
    copy_aside(&connection, to)?;
    Ok(held)
}

/// Checks a journal file that may be too damaged to open for use.
///
/// # Errors
/// When the file cannot be opened even for reading.
pub fn check_file(path: &Path) -> Result<Findings, StoreError> {
    let connection = only_to_read(path)?;
    super::check::file_only(&connection)
}
