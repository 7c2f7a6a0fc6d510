//! Whether the file at a journal's path is still the one that was opened.
//!
//! A folder that is kept the same on several machines puts a newer file in the place of an older one while a program has
//! it open. SQLite would go on with the old file, and leave the write-ahead log of the old one beside the new one, to be
//! laid over it by whoever opens that next. So the log is emptied whenever there is time, and a file that is not where it
//! was opened is left: what it holds is put aside whole, its log is emptied, and the new one is opened.

use std::ffi::OsString;
use std::fs;
use std::io::{ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use rusqlite::Connection;
use rusqlite::config::DbConfig;
use uuid::Uuid;

use crate::quantity::ActId;

use super::Journal;
use super::backup::{acts_in_file_alone, as_it_stands, copy_aside, unused};
use super::error::{Before, StoreError};
use super::open::{self, Durability, connect};

/// So often, and with such pauses between, a file is looked into that another program may be writing.
const TRIES: u32 = 10;
const PAUSE: Duration = Duration::from_millis(30);

/// What tells a file from every other one on this machine; `None` when there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct FileId(Option<(u64, u64)>);

impl FileId {
    /// Of no file at all.
    pub(super) const NONE: Self = Self(None);

    /// Of the file at a path.
    #[cfg(unix)]
    pub(super) fn at(path: &Path) -> Self {
        use std::os::unix::fs::MetadataExt as _;
        Self(fs::metadata(path).ok().map(|found| (found.dev(), found.ino())))
    }

    /// Of the file at a path: here only whether there is one.
    #[cfg(not(unix))]
    pub(super) fn at(path: &Path) -> Self {
        Self(path.exists().then_some((0, 0)))
    }
}

/// How a file looks from outside: when it was last written to, and how long it is. Nothing of it is read for that.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Stamp(Option<(SystemTime, u64)>);

impl Stamp {
    pub(super) fn at(path: &Path) -> Self {
        Self(fs::metadata(path).ok().and_then(|found| Some((found.modified().ok()?, found.len()))))
    }
}

/// A file beside the journal that SQLite names after it: `-wal`, `-shm`.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(ending);
    PathBuf::from(name)
}

/// How long the write-ahead log beside a journal is.
pub(super) fn log_length(path: &Path) -> u64 {
    fs::metadata(beside(path, "-wal")).map_or(0, |found| found.len())
}

/// True unless another program still has the file open that stood here before: its index of the log, which is shared,
/// makes this one look as long as that one.
pub(super) fn is_seen_as_it_is(connection: &Connection, path: &Path) -> bool {
    // What is in the log need not be in the file yet; and a file that is not as long as it says is damaged.
    let length_as_told = || (log_length(path) == 0).then(|| pages_as_told(path)).flatten();
    let (Some(told), true) = (length_as_told(), beside(path, "-shm").exists()) else { return true };
    let pages = |file: &Connection| file.query_row("PRAGMA page_count", [], |row| row.get::<_, i64>(0));
    let is_other = match pages(connection).map_err(StoreError::from) {
        Ok(seen) => seen != told,
        // What cannot be read without that index either is damaged.
        Err(StoreError::Damaged(_)) => as_it_stands(path).and_then(|file| pages(&file)).is_ok(),
        Err(_) => false,
    };
    // Another program may have written meanwhile.
    !is_other || length_as_told() != Some(told)
}

/// How many pages a file says that it has, where it is as long as that (the file format of SQLite, 1.3: the size of a page
/// at 16, and of the file in pages at 28).
fn pages_as_told(path: &Path) -> Option<i64> {
    let mut head = [0; 32];
    let mut file = fs::File::open(path).ok()?;
    file.read_exact(&mut head).ok()?;
    let size = match u16::from_be_bytes([head[16], head[17]]) {
        1 => 65_536,
        size => u64::from(size),
    };
    let pages = u32::from_be_bytes([head[28], head[29], head[30], head[31]]);
    (file.metadata().ok()?.len() == size * u64::from(pages)).then_some(i64::from(pages))
}

impl Journal {
    /// True while the file that was opened is where it was.
    pub(super) fn is_in_place(&self) -> bool {
        self.file != FileId::NONE && self.file == FileId::at(&self.path)
    }

    /// Goes on only with the file that was opened, or with one that came back after it was gone.
    pub(super) fn make_sure(&mut self) -> Result<(), StoreError> {
        if self.is_in_place() {
            return if Stamp::at(&self.path) == self.stamp { Ok(()) } else { self.look_into_it() };
        }
        if self.file == FileId::NONE {
            return self.open_again();
        }
        Err(self.leave())
    }

    /// Looks into a file that somebody else has written to: another program that emptied the log into it, or one that knows
    /// nothing of journals and copied another file over it. The log is never shortened, so an act that was in it is in it
    /// still; and what is remembered of its pages is forgotten.
    fn look_into_it(&mut self) -> Result<(), StoreError> {
        let holds = |act: ActId| acts_in_file_alone(&self.path).is_ok_and(|acts| acts.contains(&act));
        // While another program empties the log the file alone is neither as before nor as after.
        let is_ours = (0..TRIES).any(|tried| {
            if tried > 0 {
                std::thread::sleep(PAUSE);
            }
            self.anchor.is_none_or(holds)
        });
        if is_ours {
            if log_length(&self.path) > 0 {
                self.stamp = Stamp::at(&self.path);
                return Ok(());
            }
            self.file = FileId::NONE;
            return self.open_again();
        }
        // Its log belongs to what is gone, and must not be laid over what stands there now.
        self.connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
        self.connection = Connection::open_in_memory()?;
        self.file = FileId::NONE;
        if log_length(&self.path) > 0 {
            let _ = fs::rename(beside(&self.path, "-wal"), beside(&unused(&self.path, "kept"), "-wal"));
            let _ = fs::remove_file(beside(&self.path, "-shm"));
        }
        self.open_again()?;
        Err(StoreError::Replaced { path: self.path.clone(), before: Before::WrittenOver })
    }

    /// Takes note of how the file looks now that it is known to be right.
    pub(super) fn take_note(&mut self) {
        self.stamp = Stamp::at(&self.path);
        self.anchor = None;
        if log_length(&self.path) == 0 {
            let newest = "SELECT uuid FROM act ORDER BY uuid DESC LIMIT 1";
            let newest = self.connection.query_row(newest, [], |row| row.get::<_, [u8; 16]>(0));
            self.anchor = newest.ok().map(|newest| ActId(Uuid::from_bytes(newest)));
        }
    }

    /// The same, and that it takes writing.
    pub(super) fn make_sure_to_write(&mut self) -> Result<(), StoreError> {
        self.make_sure()?;
        if !self.connection.is_readonly(rusqlite::MAIN_DB)? {
            return Ok(());
        }
        if is_full(&self.path) {
            return Err(StoreError::Full);
        }
        // What kept it from being written may be over.
        self.file = FileId::NONE;
        self.open_again()?;
        if self.connection.is_readonly(rusqlite::MAIN_DB)? { Err(StoreError::OnlyToRead) } else { Ok(()) }
    }

    /// Leaves a file that is not in its place any more, and opens what stands there now. Says what became of what it
    /// held.
    pub(super) fn leave(&mut self) -> StoreError {
        let path = self.path.clone();
        let before = self.put_aside();
        self.file = FileId::NONE;
        if !path.exists() {
            return StoreError::Gone { path, before };
        }
        match self.open_again() {
            Ok(()) => StoreError::Replaced { path, before },
            Err(error) => error,
        }
    }

    fn open_again(&mut self) -> Result<(), StoreError> {
        if !self.path.exists() {
            return Err(StoreError::Gone { path: self.path.clone(), before: Before::Elsewhere });
        }
        // The old one is closed first: both have their locks in one file, and closing it later would drop the new one's.
        self.connection = Connection::open_in_memory()?;
        self.connection = connect(&self.path, Durability::Synced)?;
        self.file = FileId::at(&self.path);
        self.opened += 1;
        self.take_note();
        Ok(())
    }

    /// Copies what the file that was opened holds, unless the one in its place has all of it, and empties its log.
    fn put_aside(&self) -> Before {
        let aside = unused(&self.path, "kept");
        // In what the log holds another program may have written for the new file: then the two do not go together.
        let is_sound = || -> Result<bool, StoreError> {
            copy_aside(&self.connection, &aside)?;
            let copy = Self::open(&aside, self.device, Durability::Unsynced)?;
            Ok(copy.check()?.is_sound())
        };
        if !is_sound().unwrap_or(false) {
            let _ = fs::remove_file(&aside);
            return Before::Unreadable;
        }
        self.empty_log();
        let acts_in = |path| acts_in_file_alone(path).unwrap_or_default();
        let (old, new) = (acts_in(&aside), acts_in(&self.path));
        if old.is_subset(&new) {
            let _ = fs::remove_file(&aside);
            return Before::Contained;
        }
        Before::Kept(aside)
    }

    /// Carries the write-ahead log over into the file and empties it, unless another program is at work: then it will.
    fn empty_log(&self) {
        let _ = self.connection.busy_timeout(Duration::ZERO);
        let _ = self.connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()));
        let _ = self.connection.busy_timeout(open::BUSY);
    }

    /// A look at the file while nothing else happens: whether it is still in its place, and with an empty log, so that
    /// none is there for another file. Gives a number that changes when another connection has written.
    ///
    /// # Errors
    /// When the file is not in its place: then what it held was put aside, and what stands there now is open. Or when it
    /// cannot be read.
    pub fn glance(&mut self) -> Result<i64, StoreError> {
        self.make_sure()?;
        if log_length(&self.path) > 0 {
            self.empty_log();
            self.take_note();
        }
        self.data_version()
    }

    /// The error for one who can only look.
    pub(super) fn look_in_place(&self) -> Result<(), StoreError> {
        if self.is_in_place() {
            return Ok(());
        }
        let (path, before) = (self.path.clone(), Before::Elsewhere);
        Err(if path.exists() { StoreError::Replaced { path, before } } else { StoreError::Gone { path, before } })
    }
}

/// True where nothing goes on the disk any more. Asked only where a journal was opened to be read.
fn is_full(path: &Path) -> bool {
    const PAGE: [u8; 4096] = [0; 4096];
    let probe = unused(path, "room");
    let written = fs::OpenOptions::new().write(true).create_new(true).open(&probe).and_then(|mut file| {
        file.write_all(&PAGE)?;
        file.sync_all()
    });
    let _ = fs::remove_file(&probe);
    written.is_err_and(|error| error.kind() == ErrorKind::StorageFull)
}

impl Drop for Journal {
    fn drop(&mut self) {
        // Closing it would leave its log beside the new file.
        if self.file != FileId::NONE && !self.is_in_place() {
            self.put_aside();
        }
    }
}
