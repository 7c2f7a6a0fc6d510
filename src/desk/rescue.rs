//! Getting entries back: out of a damaged journal, out of a copy, out of a twin that a synchronised folder left behind.

use std::fs;
use std::path::{Path, PathBuf};

use crate::quantity::{ActId, DeviceId};
use crate::store::{self, Holding, Salvaged};

use super::copies::kept_copies;
use super::error::DeskError;
use super::said::{HistoryRow, row};
use super::{Desk, Throwaway};

/// What a copy holds beside the journal, for a look before it is put in the journal's place.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// What the copy holds.
    pub holding: Holding,
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
        let acts = if self.acts == 1 { "1 act".to_owned() } else { format!("{} acts", self.acts) };
        format!("'{}' has {acts} that this journal lacks: merge '{}' brings them in", self.name, self.name)
    }
}

/// Brings every act that can be read whole out of a damaged journal, and out of the copies kept beside it, into a new
/// one. The damaged file is only read.
///
/// # Errors
/// When the new file is there already, a file cannot be read or written, or no act can be read.
pub fn salvage(journal: &Path, into: &Path, device: DeviceId) -> Result<Salvaged, DeskError> {
    let folder = Throwaway::new()?;
    Ok(store::salvage(journal, &kept_copies(journal), &folder.file("scratch.db"), into, device)?)
}

impl Desk {
    /// Compares a copy with the journal; the copy is only read.
    ///
    /// # Errors
    /// When the copy is not a sound journal of a known schema, or a file cannot be read.
    pub fn compare(&self, copy: &Path) -> Result<Comparison, DeskError> {
        const SHOWN: usize = 5;
        let holding = store::holding(copy)?;
        let theirs = store::acts_in(copy)?;
        let ours = self.journal.read(|books| books.act_ids())?;
        let mut lacking: Vec<ActId> = ours.difference(&theirs).copied().collect();
        let number = lacking.len();
        lacking.reverse();
        lacking.truncate(SHOWN);
        let newest = self.journal.read(|books| -> Result<Vec<HistoryRow>, DeskError> {
            books.acts_with(&lacking)?.iter().map(|record| row(books, record)).collect()
        })?;
        Ok(Comparison { holding, lacking: number, newest, more: theirs.difference(&ours).count() })
    }

    /// Copies of this journal that a synchronised folder left beside it when two machines had written at once, and that
    /// have acts it lacks.
    ///
    /// # Errors
    /// When the journal cannot be read. A copy that cannot be read is passed over.
    pub fn twins(&self) -> Result<Vec<Twin>, DeskError> {
        let journal = self.path();
        let names = conflict_copies(&journal);
        if names.is_empty() {
            return Ok(Vec::new());
        }
        let ours = self.journal.read(|books| books.act_ids())?;
        let twins = names.into_iter().filter_map(|name| {
            let theirs = store::acts_in(&journal.with_file_name(&name)).ok()?;
            let acts = theirs.difference(&ours).count();
            (acts > 0).then_some(Twin { name, acts })
        });
        Ok(twins.collect())
    }

    /// The file that is meant by what was typed: as it stands, or one of that name beside the journal.
    #[must_use]
    pub fn meant(&self, typed: &Path) -> PathBuf {
        let beside = self.path().with_file_name(typed.file_name().unwrap_or_default());
        if !typed.exists() && typed.parent() == Some(Path::new("")) && beside.is_file() {
            beside
        } else {
            typed.to_owned()
        }
    }
}

/// Files beside a journal named after it as folders that are kept the same on several machines name the second of two
/// versions: `journal (conflicted copy 2026-04-01).db`, `journal.sync-conflict-20260401-101500.db`.
fn conflict_copies(journal: &Path) -> Vec<String> {
    let (Some(folder), Some(stem)) = (journal.parent(), journal.file_stem().and_then(|stem| stem.to_str())) else {
        return Vec::new();
    };
    let Ok(files) = fs::read_dir(folder) else { return Vec::new() };
    let is_twin = |name: &str| {
        let rest = name.strip_prefix(stem).and_then(|rest| rest.strip_suffix(".db")).unwrap_or_default();
        rest.starts_with(|first: char| !first.is_alphanumeric()) && rest.to_lowercase().contains("conflict")
    };
    let names = files.filter_map(|file| file.ok()?.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|name| is_twin(name)).collect();
    names.sort();
    names
}
