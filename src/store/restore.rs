//! Putting a backup in the journal's place, also where the journal itself cannot be read any more.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::backup::{Backup, StepResult};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::quantity::DeviceId;

use super::Journal;
use super::backup::{Holding, as_it_stands, copy_aside, sync_folder_of, unused};
use super::error::StoreError;
use super::open::{BUSY, Durability};
use super::place::{FileId, beside};

/// What a restore came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// What was put in the journal's place.
    pub holding: Holding,
    /// Where the journal is as it was.
    pub aside: PathBuf,
    /// False where that could not be read, so that it was put aside byte by byte.
    pub was_readable: bool,
}

impl Journal {
    /// Puts the content of a backup in place of this journal, after putting this journal aside. What is put in place is a
    /// copy at `scratch`, a file that does not exist yet, of which all was checked. A journal too damaged to be copied is
    /// put aside as it stands.
    ///
    /// # Errors
    /// When the backup is not a sound journal of a known schema, or a file cannot be written. The journal is as it was
    /// then.
    pub fn restore(&mut self, from: &Path, scratch: &Path) -> Result<Restored, StoreError> {
        let (path, device) = (self.path(), self.device);
        match self.make_sure_to_write() {
            Ok(()) | Err(StoreError::Damaged(_)) => {}
            Err(other) => return Err(other),
        }
        let (holding, source) = Self::sound_copy(from, scratch)?;
        let (aside, was_readable) = match self.copy_over(&source.connection) {
            Err(StoreError::Damaged(_)) => {
                // Nothing more is carried into the damaged file: it is kept as it is, with its log.
                let _ = self.connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
                self.connection = Connection::open_in_memory()?;
                self.file = FileId::NONE;
                (put_in_place_of(&path, &source.connection)?, false)
            }
            copied => (copied?, true),
        };
        // A backup of an older schema is brought up to date, and the connection's own settings come back.
        *self = Self::open(&path, device, Durability::Synced)?;
        Ok(Restored { holding, aside, was_readable })
    }

    /// The same for a journal that cannot even be opened: see [`Journal::is_beyond_opening`].
    ///
    /// # Errors
    /// As [`Journal::restore`].
    pub fn restore_unopened(
        path: &Path,
        device: DeviceId,
        from: &Path,
        scratch: &Path,
    ) -> Result<Restored, StoreError> {
        let (holding, source) = Self::sound_copy(from, scratch)?;
        let aside = put_in_place_of(path, &source.connection)?;
        Self::open(path, device, Durability::Synced)?;
        Ok(Restored { holding, aside, was_readable: false })
    }

    /// True where a journal was not opened because its file is damaged, or is none that SQLite can read. What another
    /// program can read is that program's.
    #[must_use]
    pub fn is_beyond_opening(path: &Path, error: &StoreError) -> bool {
        let is_of_another = || {
            as_it_stands(path).is_ok_and(|file| {
                file.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0)).is_ok()
            })
        };
        match error {
            StoreError::Damaged(_) => true,
            StoreError::NotAJournal(_) => path.is_file() && !is_of_another(),
            _ => false,
        }
    }

    /// Carries a copy over into this file, after copying what is in it aside; tells where that is.
    fn copy_over(&mut self, source: &Connection) -> Result<PathBuf, StoreError> {
        let aside = unused(&self.path, "before-restore");
        let before = Connection::open_with_flags(&self.path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        before.busy_timeout(BUSY)?;
        // The first page locks the journal against every other writer until all is done, or nothing: what is copied
        // aside meanwhile is the last that anybody wrote.
        let backup = Backup::new(source, &mut self.connection)?;
        take_pages(&backup, 1)?;
        copy_aside(&before, &aside)?;
        take_pages(&backup, -1)?;
        Ok(aside)
    }
}

/// Carries so many pages over, or all that are left; waits for another program that is writing.
fn take_pages(backup: &Backup<'_, '_>, pages: i32) -> Result<(), StoreError> {
    const PAUSE: Duration = Duration::from_millis(20);
    let begun = Instant::now();
    loop {
        match backup.step(pages)? {
            StepResult::Busy | StepResult::Locked if begun.elapsed() > BUSY => return Err(StoreError::Busy),
            StepResult::Busy | StepResult::Locked => std::thread::sleep(PAUSE),
            _ => return Ok(()),
        }
    }
}

/// Puts a copy in the place of a file that nobody can read, which gets another name and keeps every byte; its log goes
/// with it, since laid over the copy it would spoil that. Tells where it is.
fn put_in_place_of(path: &Path, source: &Connection) -> Result<PathBuf, StoreError> {
    let failed = |source| StoreError::File { path: path.to_owned(), source };
    let aside = unused(path, "before-restore");
    let [log, its_log] = [path, aside.as_path()].map(|file| beside(file, "-wal"));
    let new = beside(path, &format!(".{}.part", std::process::id()));
    let _ = fs::remove_file(&new);
    copy_aside(source, &new)?;
    // With a second name there is a file in the journal's place at every moment; not every disk has second names.
    let put = fs::hard_link(path, &aside)
        .or_else(|_| fs::rename(path, &aside))
        .and_then(|()| if log.exists() { fs::rename(&log, &its_log) } else { Ok(()) })
        .and_then(|()| {
            let _ = fs::remove_file(beside(path, "-shm"));
            fs::rename(&new, path)
        });
    if let Err(error) = put {
        let _ = fs::remove_file(&new);
        let _ = fs::rename(&its_log, &log);
        let _ = fs::rename(&aside, path);
        return Err(failed(error));
    }
    sync_folder_of(path).map_err(failed)?;
    Ok(aside)
}
