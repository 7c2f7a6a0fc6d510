//! Rows in aligned columns, one line a row, made to fit eighty columns on a terminal; what reads a pipe gets all of it.

use std::io::{self, IsTerminal as _};

use crate::tui::text::{Align, pad, truncate, width};

/// Cells of a line on a terminal.
pub(super) const LINE: usize = 80;
const BETWEEN: usize = 2;
/// What is cut says so.
const CUT: &str = "..";
/// A column that may be cut keeps at least so many cells, if it had them.
const LEAST: usize = 8;

/// Rows under headings. A column of figures stands at the right; the columns of words that may be cut are named.
pub(super) struct Table {
    heads: Vec<Column>,
    rows: Vec<Vec<String>>,
}

/// One column.
#[derive(Clone, Copy)]
pub(super) struct Column {
    head: &'static str,
    align: Align,
    cut: bool,
}

/// A column of words that are never cut.
pub(super) const fn words(head: &'static str) -> Column {
    Column { head, align: Align::Left, cut: false }
}

/// A column of words that may be cut to fit the line.
pub(super) const fn text(head: &'static str) -> Column {
    Column { head, align: Align::Left, cut: true }
}

/// A column of figures.
pub(super) const fn figures(head: &'static str) -> Column {
    Column { head, align: Align::Right, cut: false }
}

impl Table {
    pub(super) fn new(heads: &[Column]) -> Self {
        Self { heads: heads.to_vec(), rows: Vec::new() }
    }

    /// Adds a row; cells missing at its end are empty.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The lines, the headings first.
    pub(super) fn lines(&self) -> Vec<String> {
        self.fitted(line())
    }

    fn fitted(&self, line: usize) -> Vec<String> {
        let sizes = self.sizes(line);
        let heads = self.heads.iter().map(|column| column.head.to_owned()).collect();
        std::iter::once(&heads).chain(&self.rows).map(|cells| self.line(cells, &sizes)).collect()
    }

    fn line(&self, cells: &[String], sizes: &[usize]) -> String {
        let padded = self
            .heads
            .iter()
            .zip(sizes)
            .enumerate()
            .map(|(at, (column, size))| pad(cells.get(at).map_or("", String::as_str), *size, column.align, CUT));
        padded.collect::<Vec<_>>().join(&" ".repeat(BETWEEN)).trim_end().to_owned()
    }

    /// Cells for each column: as many as its widest entry takes, then the widest that may be cut gives way until the
    /// line fits or nothing more can give.
    fn sizes(&self, line: usize) -> Vec<usize> {
        let widest = |at: usize| self.rows.iter().filter_map(|row| row.get(at)).map(|cell| width(cell)).max();
        let mut sizes: Vec<usize> =
            self.heads.iter().enumerate().map(|(at, column)| widest(at).unwrap_or(0).max(width(column.head))).collect();
        let room = line.saturating_sub(BETWEEN * sizes.len().saturating_sub(1));
        while sizes.iter().sum::<usize>() > room {
            let giving = self.heads.iter().zip(sizes.iter_mut()).filter(|(column, size)| column.cut && **size > LEAST);
            match giving.map(|(_, size)| size).max_by_key(|size| **size) {
                Some(size) => *size -= 1,
                None => break,
            }
        }
        sizes
    }
}

/// A text on one line of the page.
pub(super) fn one_line(text: &str) -> String {
    truncate(text, line(), CUT).into_owned()
}

/// Cells of a line, where lines end at all.
fn line() -> usize {
    if io::stdout().is_terminal() { LINE } else { usize::MAX }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|cell| (*cell).to_owned()).collect()
    }

    #[test]
    fn figures_stand_at_the_right_and_words_at_the_left() {
        let mut table = Table::new(&[words("crop"), figures("up")]);
        table.row(row(&["leek", "7"]));
        table.row(row(&["tomato", "120"]));
        assert_eq!(table.fitted(LINE), ["crop     up", "leek      7", "tomato  120"]);
    }

    #[test]
    fn the_widest_words_give_way_until_the_line_fits() {
        let mut table = Table::new(&[words("batch"), text("variety"), text("reason"), figures("up")]);
        table.row(row(&["2026/14", &"v".repeat(70), &"r".repeat(90), "12"]));
        let lines = table.fitted(LINE);
        assert!(lines.iter().all(|line| width(line) <= LINE), "{lines:?}");
        assert!(lines[1].starts_with("2026/14  ") && lines[1].ends_with("12"), "{lines:?}");
        assert!(lines[1].contains("v..") && lines[1].contains("r.."), "{lines:?}");
    }

    #[test]
    fn a_short_variety_is_not_cut_for_a_long_reason() {
        let mut table = Table::new(&[text("variety"), text("reason")]);
        table.row(row(&["Red Shingle", &"r".repeat(200)]));
        assert!(table.fitted(LINE)[1].starts_with("Red Shingle  rrr"));
    }
}
