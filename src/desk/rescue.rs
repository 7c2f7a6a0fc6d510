//! Getting entries back: out of a damaged journal, out of a copy, out of a twin that a synchronised folder left behind.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::exchange::{CsvLog, CsvRow, NewFile};
use crate::quantity::{ActId, DeviceId, message_shown};
use crate::store::{self, ActRecord, Books, Holding, Journal, Restored, Ruling, Salvaged, StoreError};

use super::copies::kept_copies;
use super::error::DeskError;
use super::export::About;
use super::said::{HistoryRow, row, sentence};
use super::{Desk, Throwaway};

/// What a copy holds beside the journal, for a look before it is put in the journal's place.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// What the copy holds.
    pub holding: Holding,
    /// What is in one and not in the other; `None` where the journal cannot be read.
    pub difference: Option<Difference>,
}

/// What is in a copy or in the journal alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// Acts of the journal that the copy lacks.
    pub lacking: usize,
    /// The newest of them.
    pub newest: Vec<HistoryRow>,
    /// Acts of the copy that the journal lacks.
    pub more: usize,
}

/// Another copy of the journal beside it, with acts that the journal lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Twin {
    /// Its name, without the folder.
    pub name: String,
    /// Acts that the journal lacks.
    pub acts: usize,
}

impl Twin {
    /// What to do about it, in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let (acts, them) =
            if self.acts == 1 { ("1 act".to_owned(), "it") } else { (format!("{} acts", self.acts), "them") };
        let shown = message_shown(&self.name);
        if shown == self.name {
            format!("'{shown}' has {acts} that this journal lacks: merge '{shown}' brings {them} in")
        } else {
            // Its name cannot be typed.
            format!("'{shown}' has {acts} that this journal lacks: rename it, then `merge` brings {them} in")
        }
    }
}

/// What was brought out of a damaged journal, and where the rest is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rescue {
    /// What was brought out.
    pub salvaged: Salvaged,
    /// The file with the words of acts that can be read and could not be brought out, if there are any.
    pub told_in: Option<PathBuf>,
}

/// Brings every act that can be read whole out of a damaged journal, and out of the copies kept beside it, into a new
/// one. The damaged file is only read. What can be read and speaks of what is lost is told in a table beside the new
/// journal, to be typed again.
///
/// # Errors
/// When the new file or the table is there already, a file cannot be read or written, or no act can be read.
pub fn salvage(journal: &Path, into: &Path, device: DeviceId) -> Result<Rescue, DeskError> {
    let folder = Throwaway::new()?;
    let table = into.with_extension("lost.csv");
    let failed = |error: std::io::Error| DeskError::file(&table, &error);
    // Begun before anything else, so that a name that is taken is known of in time; it gets its name only when finished.
    let mut log = CsvLog::begin(NewFile::begin(&table).map_err(failed)?).map_err(failed)?;
    let mut told = false;
    let salvaged = store::salvage(
        journal,
        &kept_copies(journal),
        &folder.file("scratch.db"),
        into,
        device,
        |books, record| -> Result<(), DeskError> {
            told = true;
            as_far_as_known(books, record, &mut |row| log.row(row).map_err(failed))
        },
    )?;
    if told {
        log.end().and_then(NewFile::finish).map_err(failed)?;
    }
    Ok(Rescue { salvaged, told_in: told.then_some(table) })
}

/// A row for each entry of an act some of whose names may be lost.
fn as_far_as_known(
    books: &Books<'_>,
    record: &ActRecord,
    write: &mut dyn FnMut(&CsvRow<'_>) -> Result<(), DeskError>,
) -> Result<(), DeskError> {
    let undone = record.ruling == Ruling::Undone;
    let bare = CsvRow {
        on: record.happened,
        act: record.id,
        verb: &record.verb,
        batch: "",
        part: "",
        fact: None,
        place: "",
        text: "",
        undone,
    };
    for act in &record.rules_on {
        write(&CsvRow { text: &format!("{}: {act}", record.verb), ..bare })?;
    }
    for entry in &record.entries {
        let about = About::of(books, entry).unwrap_or_default();
        let text = sentence(books, entry, record.happened, &record.entries, None).ok().flatten().unwrap_or_default();
        write(&CsvRow {
            on: entry.on,
            batch: &about.batch,
            part: &about.parts,
            fact: Some(&entry.fact),
            place: &about.place,
            text: &text,
            ..bare
        })?;
    }
    Ok(())
}

/// What a copy holds, all of which is checked; it is only read.
///
/// # Errors
/// When it is not a sound journal of a known schema, or cannot be read.
pub fn holding(copy: &Path) -> Result<Holding, DeskError> {
    let folder = Throwaway::new()?;
    Ok(Journal::sound_copy(copy, &folder.file("looked-at.db"))?.0)
}

/// Puts a backup in the place of a journal that was not opened, where that is because it is damaged: then the file is put
/// aside as it stands.
///
/// # Errors
/// Why it was not opened, where that is another reason; when the backup is not a sound journal or a file cannot be written.
pub fn restore_unopened(journal: &Path, device: DeviceId, from: &Path) -> Result<Restored, DeskError> {
    let folder = Throwaway::new()?;
    Ok(Journal::restore_unopened(journal, device, from, &folder.file("restored.db"))?)
}

/// The file that is meant by what was typed: as it stands, or one of that name beside the journal.
#[must_use]
pub fn meant_beside(journal: &Path, typed: &Path) -> PathBuf {
    let beside = journal.with_file_name(typed.file_name().unwrap_or_default());
    if !typed.exists() && typed.parent() == Some(Path::new("")) && beside.is_file() { beside } else { typed.to_owned() }
}

impl Desk {
    /// Puts a backup in the journal's place, after putting the journal aside.
    ///
    /// # Errors
    /// When the backup is not a sound journal or a file cannot be written.
    pub fn restore(&mut self, from: &Path) -> Result<Restored, DeskError> {
        let folder = Throwaway::new()?;
        let restored = self.journal.restore(from, &folder.file("restored.db"))?;
        // What was in the journal before need not be in it now.
        self.merged.borrow_mut().clear();
        Ok(restored)
    }

    /// Compares a copy with the journal; the copy is only read.
    ///
    /// # Errors
    /// When the copy is not a sound journal of a known schema, or a file cannot be read.
    pub fn compare(&self, copy: &Path) -> Result<Comparison, DeskError> {
        const SHOWN: usize = 5;
        let holding = holding(copy)?;
        let theirs = store::acts_in(copy)?;
        let ours = match self.journal.read(|books| books.act_ids()) {
            Err(StoreError::Damaged(_)) => return Ok(Comparison { holding, difference: None }),
            ours => ours?,
        };
        let mut lacking: Vec<ActId> = ours.difference(&theirs).copied().collect();
        let number = lacking.len();
        lacking.reverse();
        lacking.truncate(SHOWN);
        let newest = self.journal.read(|books| -> Result<Vec<HistoryRow>, DeskError> {
            books.acts_with(&lacking)?.iter().map(|record| row(books, record)).collect()
        })?;
        let difference = Difference { lacking: number, newest, more: theirs.difference(&ours).count() };
        Ok(Comparison { holding, difference: Some(difference) })
    }

    /// Copies of this journal beside it that have acts it lacks, as a synchronised folder leaves one when two machines
    /// had written at once. One that has nothing in common with it is somebody else's.
    ///
    /// # Errors
    /// When the journal cannot be read. A copy that cannot be read is passed over.
    pub fn twins(&self) -> Result<Vec<Twin>, DeskError> {
        let journal = self.path();
        let mut ours: Option<BTreeSet<ActId>> = None;
        let mut twins = Vec::new();
        for version in namesakes(&journal) {
            if self.merged.borrow().contains(&version) {
                continue;
            }
            let ours = match &ours {
                Some(known) => known,
                None => ours.insert(self.journal.read(|books| books.act_ids())?),
            };
            let theirs = store::acts_in(&journal.with_file_name(&version.name)).unwrap_or_default();
            let acts = theirs.difference(ours).count();
            if acts > 0 && (acts < theirs.len() || ours.is_empty()) {
                twins.push(Twin { name: version.name, acts });
            } else {
                // Looked at again when it is written to: this journal only grows.
                self.merged.borrow_mut().insert(version);
            }
        }
        Ok(twins)
    }
}

/// A file as it was at some moment.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Version {
    name: String,
    length: u64,
    written: Option<SystemTime>,
}

/// Files beside a journal whose names hold its own, whatever was put before or behind that to tell them apart:
/// `journal (conflicted copy 2026-04-01).db`, `Copy of journal.db`, `journal-laptop.db`. Not what this program puts there
/// itself for another purpose, nor what SQLite does.
fn namesakes(journal: &Path) -> Vec<Version> {
    let (Some(folder), Some(own)) = (journal.parent(), journal.file_name().and_then(|name| name.to_str())) else {
        return Vec::new();
    };
    let stem = journal.file_stem().and_then(|stem| stem.to_str()).unwrap_or(own);
    let Ok(files) = fs::read_dir(folder) else { return Vec::new() };
    let is_namesake = |name: &str| {
        let Some(at) = name.to_lowercase().find(&stem.to_lowercase()) else { return false };
        let of_sqlite = ["-wal", "-shm", "-journal", ".part"].iter().any(|ending| name.ends_with(ending));
        let is_kept_before = at == 0 && name.get(stem.len()..).is_some_and(|rest| rest.starts_with(".before-"));
        name != own && !of_sqlite && !is_kept_before
    };
    let version = |file: fs::DirEntry| {
        let name = file.file_name().into_string().ok().filter(|name| is_namesake(name))?;
        let found = file.metadata().ok().filter(fs::Metadata::is_file)?;
        Some(Version { name, length: found.len(), written: found.modified().ok() })
    };
    let mut versions: Vec<Version> = files.filter_map(|file| version(file.ok()?)).collect();
    versions.sort();
    versions
}
