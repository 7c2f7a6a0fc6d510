//! Copies kept beside the journal: one a day while it is used, fewer the older they are.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{fs, io};

use chrono::Datelike;

use crate::quantity::Date;
use crate::store::{self, Checked, Finding};

use super::Desk;
use super::error::DeskError;

/// Every copy of the last so many days is kept, then one a week, then one a month, then one a year.
const DAYS: i64 = 7;
const WEEKS: i64 = 8 * 7;
const MONTHS: i64 = 366;

/// A copy that is being written is done in less; an older one was given up by a program that was ended.
const GIVEN_UP: Duration = Duration::from_secs(3600);

impl Desk {
    /// Keeps a copy of the journal for today, unless there is one or nothing was ever logged, and drops old copies that
    /// others stand for. Tells where the copy is, and what is wrong with what it holds, where that was checked.
    ///
    /// # Errors
    /// When a file cannot be read or written. The journal itself is untouched.
    pub fn keep_copy(&self, today: Date) -> Result<Option<(PathBuf, Option<Finding>)>, DeskError> {
        let folder = beside(&self.path(), "copies");
        let copy = folder.join(name_of(today));
        // One that holds nothing was begun and given up by an earlier version of this program.
        match fs::metadata(&copy) {
            Ok(found) if found.len() == 0 => fs::remove_file(&copy).map_err(|error| DeskError::file(&copy, &error))?,
            Ok(_) => return Ok(None),
            Err(_) => {}
        }
        if self.latest_day()? == Date::MIN {
            return Ok(None);
        }
        make_private(&folder).map_err(|error| DeskError::file(&folder, &error))?;
        drop_given_up(&folder);
        // The first of a week is the one that is kept, so nothing in it goes unchecked.
        let is_first = !dated(&folder)?.iter().any(|day| day.iso_week() == today.iso_week());
        let checked = if is_first { Checked::Whole } else { Checked::File };
        let wrong = self.journal.back_up(&copy, checked)?.wrong;
        let is_sound = |day: &Date| store::holding(&folder.join(name_of(*day))).is_ok();
        for day in to_drop(&dated(&folder)?, today, is_sound) {
            let old = folder.join(name_of(day));
            fs::remove_file(&old).map_err(|error| DeskError::file(&old, &error))?;
        }
        Ok(Some((copy, wrong)))
    }
}

/// What a grower has to know of the day's copy, where anything.
#[must_use]
pub fn copy_trouble(kept: Result<Option<(PathBuf, Option<Finding>)>, DeskError>) -> Option<String> {
    match kept {
        Err(error) => Some(format!("no copy of the journal was kept today: {error}")),
        Ok(Some((_, Some(Finding { about, what })))) => {
            Some(format!("the journal is not sound, nor is today's copy: {about}: {what}; `check` says more"))
        }
        Ok(_) => None,
    }
}

/// Makes a folder for its owner alone, or makes one so that is there.
fn make_private(folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // Where there are no owners it stays as it is.
        let _ = fs::set_permissions(folder, fs::Permissions::from_mode(0o700));
    }
    Ok(())
}

/// Removes what was begun and never finished; another program may be writing a newer one.
fn drop_given_up(folder: &Path) {
    let Ok(files) = fs::read_dir(folder) else { return };
    for file in files.flatten().map(|file| file.path()) {
        let age = fs::metadata(&file).and_then(|found| found.modified()).ok().and_then(|made| made.elapsed().ok());
        if file.extension().is_some_and(|ending| ending == "part") && age.is_some_and(|age| age > GIVEN_UP) {
            let _ = fs::remove_file(file);
        }
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

/// The copies that another of the same week, month or year stands for: of each the oldest that can be read stays, so
/// that a fault made lately is not in all of them. What cannot be read stands for none.
fn to_drop(kept: &[Date], today: Date, is_sound: impl Fn(&Date) -> bool) -> Vec<Date> {
    let mut days: Vec<Date> = kept.to_vec();
    days.sort_unstable();
    let mut spans: BTreeMap<(u8, i32, u32), Vec<Date>> = BTreeMap::new();
    for day in days {
        let age = today.signed_duration_since(day).num_days();
        let span = if age <= DAYS {
            continue;
        } else if age <= WEEKS {
            (0, day.iso_week().year(), day.iso_week().week())
        } else if age <= MONTHS {
            (1, day.year(), day.month())
        } else {
            (2, day.year(), 0)
        };
        spans.entry(span).or_default().push(day);
    }
    let of_several = spans.into_values().filter(|days| days.len() > 1);
    of_several.flat_map(|days| days.into_iter().skip_while(|day| !is_sound(day)).skip(1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copies_thin_out_with_age() {
        let today: Date = "2026-04-15".parse().unwrap();
        let daily: Vec<Date> = today.iter_days().rev().take(1200).collect();
        let drop = to_drop(&daily, today, |_| true);
        let left: Vec<&Date> = daily.iter().filter(|day| !drop.contains(day)).collect();
        let age = |day: &&&Date| today.signed_duration_since(***day).num_days();
        assert_eq!(left.iter().filter(|day| age(day) <= 7).count(), 8, "today and seven days back");
        assert!((7..=8).contains(&left.iter().filter(|day| (8..=56).contains(&age(day))).count()));
        assert!((10..=12).contains(&left.iter().filter(|day| (57..=366).contains(&age(day))).count()));
        assert!((2..=3).contains(&left.iter().filter(|day| age(day) > 366).count()));
        // Thinned copies stay as they are.
        let left: Vec<Date> = left.into_iter().copied().collect();
        assert!(to_drop(&left, today, |_| true).is_empty());
    }

    #[test]
    fn a_copy_that_cannot_be_read_stands_for_no_other() {
        let day = |text: &str| text.parse::<Date>().unwrap();
        // One week of autumn, as seen a month later.
        let week = ["2026-11-09", "2026-11-10", "2026-11-11", "2026-11-12"].map(day);
        let torn = |torn: &[usize]| to_drop(&week, day("2026-12-09"), |day| !torn.iter().any(|at| week[*at] == *day));
        assert_eq!(torn(&[]), week[1..]);
        assert_eq!(torn(&[0]), week[2..]);
        assert_eq!(torn(&[0, 1, 3]), week[3..], "what the oldest sound one stands for goes, sound or not");
        assert_eq!(torn(&[0, 1, 2, 3]), []);
    }
}
