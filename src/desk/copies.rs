//! Copies kept beside the journal: one a day while it is used, fewer the older they are.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use chrono::Datelike;

use crate::quantity::Date;

use super::Desk;
use super::error::DeskError;

/// Every copy of the last so many days is kept, then one a week, then one a month, then one a year.
const DAYS: i64 = 7;
const WEEKS: i64 = 8 * 7;
const MONTHS: i64 = 366;

impl Desk {
    /// Keeps a checked copy of the journal for today, unless there is one or nothing was ever logged, and drops old
    /// copies that others stand for. Tells where the copy is.
    ///
    /// # Errors
    /// When a file cannot be read or written. The journal itself is untouched.
    pub fn keep_copy(&self, today: Date) -> Result<Option<PathBuf>, DeskError> {
        let folder = beside(&self.path(), "copies");
        let copy = folder.join(name_of(today));
        if copy.exists() || self.latest_day()? == Date::MIN {
            return Ok(None);
        }
        fs::create_dir_all(&folder).map_err(|error| DeskError::file(&folder, &error))?;
        self.back_up(&copy)?;
        let kept: Vec<Date> = dated(&folder)?;
        for day in to_drop(&kept, today) {
            let old = folder.join(name_of(day));
            fs::remove_file(&old).map_err(|error| DeskError::file(&old, &error))?;
        }
        Ok(Some(copy))
    }
}

/// A folder that belongs to a journal: its copies are in `journal-copies` beside `journal.db`.
pub(super) fn beside(journal: &Path, what: &str) -> PathBuf {
    let stem = journal.file_stem().map_or_else(|| "journal".to_owned(), |stem| stem.to_string_lossy().into_owned());
    journal.with_file_name(format!("{stem}-{what}"))
}

/// The copies kept beside a journal, newest first.
pub(super) fn kept_copies(journal: &Path) -> Vec<PathBuf> {
    let folder = beside(journal, "copies");
    let mut days = dated(&folder).unwrap_or_default();
    days.sort_unstable();
    days.iter().rev().map(|day| folder.join(name_of(*day))).collect()
}

fn name_of(day: Date) -> String {
    format!("{day}.db")
}

fn dated(folder: &Path) -> Result<Vec<Date>, DeskError> {
    let failed = |error: std::io::Error| DeskError::file(folder, &error);
    let mut days = Vec::new();
    for file in fs::read_dir(folder).map_err(failed)? {
        let name = file.map_err(failed)?.file_name();
        days.extend(name.to_str().and_then(|name| name.strip_suffix(".db")).and_then(|day| day.parse::<Date>().ok()));
    }
    Ok(days)
}

/// The copies that newer ones of the same week, month or year stand for: of each the oldest stays, so that a fault made
/// lately is not in all of them.
fn to_drop(kept: &[Date], today: Date) -> Vec<Date> {
    let mut days: Vec<Date> = kept.to_vec();
    days.sort_unstable();
    let mut spans = BTreeSet::new();
    days.into_iter()
        .filter(|day| {
            let age = today.signed_duration_since(*day).num_days();
            let span = if age <= DAYS {
                return false;
            } else if age <= WEEKS {
                (0, day.iso_week().year(), day.iso_week().week())
            } else if age <= MONTHS {
                (1, day.year(), day.month())
            } else {
                (2, day.year(), 0)
            };
            !spans.insert(span)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copies_thin_out_with_age() {
        let today: Date = "2026-04-15".parse().unwrap();
        let daily: Vec<Date> = today.iter_days().rev().take(1200).collect();
        let drop = to_drop(&daily, today);
        let left: Vec<&Date> = daily.iter().filter(|day| !drop.contains(day)).collect();
        let age = |day: &&&Date| today.signed_duration_since(***day).num_days();
        assert_eq!(left.iter().filter(|day| age(day) <= 7).count(), 8, "today and seven days back");
        assert!((7..=8).contains(&left.iter().filter(|day| (8..=56).contains(&age(day))).count()));
        assert!((10..=12).contains(&left.iter().filter(|day| (57..=366).contains(&age(day))).count()));
        assert!((2..=3).contains(&left.iter().filter(|day| age(day) > 366).count()));
        // Thinned copies stay as they are.
        let left: Vec<Date> = left.into_iter().copied().collect();
        assert!(to_drop(&left, today).is_empty());
    }
}
