//! Sets of cells by their numbers: `1-12,15`.
//!
//! A cell tray's cells and a set's pots are numbered from 1, row by row from the back left. A set of them is written
//! in one way only: ascending, neighbours joined, so that it can be kept, compared and read in any SQLite tool.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::text::shown;

/// The greatest number a cell can have. Common practice, no source: plug trays of the trade end at some 600.
pub const MOST_CELLS: u32 = 1_000;

/// How a set without cells is written.
const NONE: &str = "none";

/// Why a text is no set of cells.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CellError {
    /// Neither numbers nor ranges.
    #[error("'{0}' names no cells: write them as 1-12,15")]
    NotCells(String),
    /// A cell that no tray has.
    #[error("'{0}' is not the number of a cell: they run from 1 to {MOST_CELLS}")]
    Number(String),
    /// A range from high to low.
    #[error("'{0}-{1}' runs backwards: write {1}-{0}")]
    Backwards(u32, u32),
    /// A cell named again.
    #[error("cell {0} is named twice")]
    Twice(u32),
}

/// A set of cells, each from 1 to [`MOST_CELLS`].
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct CellSet(BTreeSet<u32>);

impl CellSet {
    /// No cells.
    pub const EMPTY: Self = Self(BTreeSet::new());

    /// How many cells there are.
    #[must_use]
    pub fn len(&self) -> u32 {
        u32::try_from(self.0.len()).unwrap_or(u32::MAX)
    }

    /// True without any.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// True when a cell is among them.
    #[must_use]
    pub fn has(&self, cell: u32) -> bool {
        self.0.contains(&cell)
    }

    /// Every cell, ascending.
    pub fn iter(&self) -> impl Iterator<Item = u32> + '_ {
        self.0.iter().copied()
    }

    /// The greatest number among them.
    #[must_use]
    pub fn last(&self) -> Option<u32> {
        self.0.last().copied()
    }

    /// Puts a cell in, or takes it out. A number that no cell has is passed over.
    pub fn set(&mut self, cell: u32, on: bool) {
        if !on {
            self.0.remove(&cell);
        } else if (1..=MOST_CELLS).contains(&cell) {
            self.0.insert(cell);
        }
    }

    /// The cells that are in either.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        Self(&self.0 | &other.0)
    }

    /// The cells that are not in the other.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        Self(&self.0 - &other.0)
    }

    /// The least cell that is in both.
    #[must_use]
    pub fn shared(&self, other: &Self) -> Option<u32> {
        self.0.intersection(&other.0).next().copied()
    }

    /// The least cell that the other lacks.
    #[must_use]
    pub fn beyond(&self, other: &Self) -> Option<u32> {
        self.0.difference(&other.0).next().copied()
    }

    /// Runs of neighbours, each from its first to its last.
    fn runs(&self) -> Vec<(u32, u32)> {
        let mut runs: Vec<(u32, u32)> = Vec::new();
        for cell in self.iter() {
            match runs.last_mut() {
                Some((_, last)) if *last + 1 == cell => *last = cell,
                _ => runs.push((cell, cell)),
            }
        }
        runs
    }
}

impl FromIterator<u32> for CellSet {
    /// The cells of some numbers; those that no cell has are passed over.
    fn from_iter<I: IntoIterator<Item = u32>>(cells: I) -> Self {
        Self(cells.into_iter().filter(|cell| (1..=MOST_CELLS).contains(cell)).collect())
    }
}

impl fmt::Display for CellSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_empty() {
            return f.write_str(NONE);
        }
        for (index, (first, last)) in self.runs().into_iter().enumerate() {
            let comma = if index > 0 { "," } else { "" };
            if first == last { write!(f, "{comma}{first}")? } else { write!(f, "{comma}{first}-{last}")? }
        }
        Ok(())
    }
}

fn number(text: &str) -> Result<u32, CellError> {
    let text = text.trim();
    if text.is_empty() || !text.chars().all(|c| c.is_ascii_digit()) {
        return Err(CellError::NotCells(shown(text)));
    }
    let number = text.parse().ok().filter(|number| (1..=MOST_CELLS).contains(number));
    number.ok_or_else(|| CellError::Number(shown(text)))
}

impl FromStr for CellSet {
    type Err = CellError;

    /// Reads `1-12,15`, in any order, or `none`. No cell may be named twice, so no text is longer than its cells.
    fn from_str(text: &str) -> Result<Self, CellError> {
        let mut cells = BTreeSet::new();
        if text.trim().eq_ignore_ascii_case(NONE) {
            return Ok(Self::EMPTY);
        }
        for run in text.split(',') {
            let (first, last) = match run.split_once('-') {
                Some((first, last)) => (number(first)?, number(last)?),
                None => (number(run)?, number(run)?),
            };
            if last < first {
                return Err(CellError::Backwards(first, last));
            }
            for cell in first..=last {
                if !cells.insert(cell) {
                    return Err(CellError::Twice(cell));
                }
            }
        }
        Ok(Self(cells))
    }
}

impl TryFrom<String> for CellSet {
    type Error = CellError;

    fn try_from(text: String) -> Result<Self, CellError> {
        text.parse()
    }
}

impl From<CellSet> for String {
    fn from(cells: CellSet) -> Self {
        cells.to_string()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn read(text: &str) -> Result<String, String> {
        text.parse::<CellSet>().map(|cells| cells.to_string()).map_err(|error| error.to_string())
    }

    #[test]
    fn cells_are_read_as_typed_and_written_in_one_way() {
        for (typed, written) in [
            ("1-12,15", "1-12,15"),
            ("15, 1-3,4", "1-4,15"),
            ("7", "7"),
            ("9-9", "9"),
            ("none", "none"),
            ("1000", "1000"),
            ("2,1", "1-2"),
        ] {
            assert_eq!(read(typed), Ok(written.to_owned()), "{typed}");
        }
    }

    #[test]
    fn what_is_no_set_of_cells_is_refused_in_one_line() {
        for (typed, words) in [
            ("", "'' names no cells: write them as 1-12,15"),
            ("1,,2", "'' names no cells: write them as 1-12,15"),
            ("1;2", "'1;2' names no cells: write them as 1-12,15"),
            ("-3", "'' names no cells: write them as 1-12,15"),
            ("0", "'0' is not the number of a cell: they run from 1 to 1000"),
            ("1-4000000000", "'4000000000' is not the number of a cell: they run from 1 to 1000"),
            (
                "99999999999999999999999",
                "'99999999999999999999999' is not the number of a cell: they run from 1 to 1000",
            ),
            ("12-1", "'12-1' runs backwards: write 1-12"),
            ("1-12,5", "cell 5 is named twice"),
            ("1-2-3", "'2-3' names no cells: write them as 1-12,15"),
            ("\u{1b}[2J", "'?[2J' names no cells: write them as 1-12,15"),
        ] {
            assert_eq!(read(typed), Err(words.to_owned()), "{typed:?}");
        }
        let long = "1,".repeat(1_000_000);
        assert_eq!(read(&long), Err("cell 1 is named twice".to_owned()));
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(cells in prop::collection::btree_set(1..=MOST_CELLS, 0..200)) {
            let set: CellSet = cells.iter().copied().collect();
            prop_assert_eq!(set.len() as usize, cells.len());
            prop_assert_eq!(&set.to_string().parse::<CellSet>().unwrap(), &set);
            prop_assert!(!set.to_string().contains(' '));
        }

        #[test]
        fn no_text_is_too_much(text in ".{0,60}") {
            if let Ok(cells) = text.parse::<CellSet>() {
                prop_assert!(cells.last() <= Some(MOST_CELLS));
            }
        }
    }
}
