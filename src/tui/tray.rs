//! A cell tray or a set of pots while it is ticked: what each cell is marked with, and where the grower is in it.

use crate::journal::{Cell, State, Ticks};
use crate::quantity::{CellSet, Millimetres, PartId};

/// Changes that may be dropped without asking.
const FEW: usize = 3;

/// What a cell is marked with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Nothing seen in it.
    None,
    /// One plant.
    One,
    /// Two or more.
    Two,
}

impl Mark {
    /// The mark that the same key gives next.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::None => Self::One,
            Self::One => Self::Two,
            Self::Two => Self::None,
        }
    }
}

/// Cells that are marked together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// The row under the cursor.
    Row,
    /// The column under the cursor.
    Column,
    /// Every cell.
    All,
}

/// A step on the grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each says it")]
pub enum Way {
    Left,
    Right,
    Up,
    Down,
}

/// The ticks being made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tray {
    /// The part that is counted.
    pub part: PartId,
    /// Cells in a row.
    pub columns: usize,
    /// The cell the next key acts on, from zero.
    pub at: usize,
    known: Vec<Cell>,
    marks: Vec<Mark>,
    begun: Vec<Mark>,
    older: Option<Ticks>,
    typed: usize,
    brush: Mark,
}

impl Tray {
    /// Opens a part's container with the ticks of the present; older ones have to be asked for. `None` when it has no
    /// cells.
    #[must_use]
    pub fn open(state: &State, part: PartId) -> Option<Self> {
        let known = state.cells(part).filter(|cells| !cells.is_empty())?;
        let vessel = &state.containers.get(&state.parts.get(&part)?.container)?.vessel;
        // The sides of one pot say nothing of how a set stands.
        let sides = if vessel.pots > 1 { None } else { vessel.length.zip(vessel.width) };
        let ticked = state.parts.get(&part)?.ticked.as_ref();
        let older = ticked.filter(|ticked| ticked.now.is_none()).map(|ticked| ticked.then.clone());
        let marks: Vec<Mark> = known.iter().map(|cell| marked(*cell)).collect();
        let columns = columns(known.len(), sides);
        Some(Self { part, columns, at: 0, begun: marks.clone(), marks, known, older, typed: 0, brush: Mark::One })
    }

    /// Takes in what the log says by now; the marks stay as they were made.
    pub fn look_again(&mut self, state: &State) {
        let Some(known) = state.cells(self.part) else { return };
        self.marks.resize(known.len(), Mark::None);
        self.begun.resize(known.len(), Mark::None);
        self.at = self.at.min(known.len().saturating_sub(1));
        self.known = known;
    }

    /// How many cells there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.marks.len()
    }

    /// True without any, which no opened tray is.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.marks.is_empty()
    }

    /// How many rows there are, the last perhaps not full.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.len().div_ceil(self.columns.max(1))
    }

    /// What a cell shows: its mark, or else what is known of it.
    #[must_use]
    pub fn shows(&self, index: usize) -> Option<Cell> {
        let (mark, known) = (self.marks.get(index)?, self.known.get(index)?);
        Some(match (mark, known) {
            (Mark::One, _) => Cell::Up,
            (Mark::Two, _) => Cell::Doubled,
            (Mark::None, Cell::Up | Cell::Doubled) => Cell::Filled,
            (Mark::None, known) => *known,
        })
    }

    /// Cells marked otherwise than when it was opened.
    #[must_use]
    pub fn changed(&self) -> usize {
        self.marks.iter().zip(&self.begun).filter(|(now, before)| now != before).count()
    }

    /// True when leaving would lose more than a few marks.
    #[must_use]
    pub fn is_worth_asking(&self) -> bool {
        self.changed() > FEW
    }

    /// True while ticks of an earlier day can be taken up.
    #[must_use]
    pub const fn has_older(&self) -> bool {
        self.older.is_some()
    }

    /// The count that the marks make.
    #[must_use]
    pub fn ticks(&self) -> Ticks {
        let of = |wanted: &[Mark]| -> CellSet {
            let numbered = (1_u32..).zip(&self.marks);
            numbered.filter(|(_, mark)| wanted.contains(mark)).map(|(number, _)| number).collect()
        };
        Ticks::new(&of(&[Mark::One]), of(&[Mark::Two]))
    }

    /// Takes the ticks of an earlier day as a beginning.
    pub fn take_up_older(&mut self) {
        let Some(older) = self.older.take() else { return };
        for (number, mark) in (1_u32..).zip(&mut self.marks) {
            *mark = Some(mark_of(&older, number)).filter(|old| *old != Mark::None).unwrap_or(*mark);
        }
    }

    /// Puts ticks back that were made before.
    pub fn put_back(&mut self, ticks: &Ticks) {
        for (number, mark) in (1_u32..).zip(&mut self.marks) {
            *mark = mark_of(ticks, number);
        }
    }

    /// Goes a step, and stays at the edge.
    pub fn go(&mut self, way: Way) {
        self.typed = 0;
        let columns = self.columns.max(1);
        let to = match way {
            Way::Left => self.at.saturating_sub(1),
            Way::Right => self.at + 1,
            Way::Up => self.at.checked_sub(columns).unwrap_or(self.at),
            Way::Down => self.at + columns,
        };
        if to < self.len() {
            self.at = to;
        }
    }

    /// Goes to the cell whose number is being typed; a digit that makes no cell's number begins a new one.
    pub fn jump(&mut self, digit: usize) {
        let longer = self.typed * 10 + digit;
        self.typed = if (1..=self.len()).contains(&longer) { longer } else { digit };
        if (1..=self.len()).contains(&self.typed) {
            self.at = self.typed - 1;
        }
    }

    /// Marks the cell with what comes next, and stays on it.
    pub fn turn(&mut self) {
        self.typed = 0;
        if let Some(mark) = self.marks.get_mut(self.at) {
            *mark = mark.next();
        }
    }

    /// Marks the cell, and goes on to the next.
    pub fn mark(&mut self, mark: Mark) {
        if let Some(here) = self.marks.get_mut(self.at) {
            *here = mark;
        }
        self.go(Way::Right);
    }

    /// Marks cells together: those that may hold something and show nothing; when there are none, all of them not.
    pub fn fill(&mut self, run: Run) {
        self.typed = 0;
        let columns = self.columns.max(1);
        let is_in = |index: &usize| match run {
            Run::Row => index / columns == self.at / columns,
            Run::Column => index % columns == self.at % columns,
            Run::All => true,
        };
        let cells: Vec<usize> = (0..self.len()).filter(is_in).collect();
        let bare: Vec<usize> = cells.iter().copied().filter(|index| self.shows(*index) == Some(Cell::Filled)).collect();
        let (cells, mark) = if bare.is_empty() { (cells, Mark::None) } else { (bare, Mark::One) };
        for index in cells {
            self.marks[index] = mark;
        }
    }

    /// The mouse went down on a cell: marks it with what comes next.
    pub fn press(&mut self, index: usize) {
        if index < self.len() {
            self.at = index;
            self.turn();
            self.brush = self.marks[index];
        }
    }

    /// The mouse was drawn over a cell: marks it as the one it went down on, and those on the line there from the last
    /// that was told of, for a slow line tells of few.
    pub fn draw_over(&mut self, index: usize) {
        if index < self.len() {
            for cell in self.between(self.at, index) {
                if let Some(mark) = self.marks.get_mut(cell) {
                    *mark = self.brush;
                }
            }
            self.at = index;
        }
    }

    /// The cells on the straight line between two, the ends among them.
    fn between(&self, from: usize, to: usize) -> Vec<usize> {
        let columns = self.columns.max(1);
        let (row, column) = (from / columns, from % columns);
        let (to_row, to_column) = (to / columns, to % columns);
        let steps = row.abs_diff(to_row).max(column.abs_diff(to_column));
        let along = |from: usize, to: usize, step: usize| {
            let gone = (from.abs_diff(to) * step * 2 + steps) / (steps * 2).max(1);
            if to >= from { from + gone } else { from - gone }
        };
        (0..=steps).map(|step| along(row, to_row, step) * columns + along(column, to_column, step)).collect()
    }
}

const fn marked(cell: Cell) -> Mark {
    match cell {
        Cell::Up => Mark::One,
        Cell::Doubled => Mark::Two,
        _ => Mark::None,
    }
}

/// Cells in a row, along the longer side: the whole rows whose cells come nearest to squares on the tray's outer size,
/// or on a square and a half where that is not known. A number that divides badly gets a last row that is not full.
fn columns(cells: usize, sides: Option<(Millimetres, Millimetres)>) -> usize {
    let long = sides.map_or(1.5, |(length, width)| f64::from(length.0.max(1)) / f64::from(width.0.max(1)));
    let out_of_square = |columns: usize| {
        let (across, down) = (columns as f64, cells.div_ceil(columns) as f64);
        (across / down / long).ln().abs()
    };
    let nearest = |whole: bool| {
        let all = (1..=cells).filter(move |columns| !whole || cells.is_multiple_of(*columns));
        all.min_by(|one, other| out_of_square(*one).total_cmp(&out_of_square(*other)))
    };
    let whole = nearest(true).filter(|columns| out_of_square(*columns) < 0.7);
    whole.or_else(|| nearest(false)).unwrap_or(1)
}

fn mark_of(ticks: &Ticks, number: u32) -> Mark {
    match (ticks.doubled().has(number), ticks.cells().has(number)) {
        (true, _) => Mark::Two,
        (false, true) => Mark::One,
        (false, false) => Mark::None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows and columns as makers state them for trays of these outer sizes: common practice, no source.
    #[test]
    fn trays_are_laid_out_as_they_are_made() {
        let mm = |length, width| Some((Millimetres(length), Millimetres(width)));
        for (cells, sides, wanted) in [
            (72, mm(539, 279), 12),
            (84, mm(515, 335), 12),
            (24, mm(370, 230), 6),
            (12, mm(370, 230), 4),
            (6, mm(235, 155), 3),
            (50, mm(539, 279), 10),
            (98, mm(539, 279), 14),
            (288, mm(539, 279), 24),
            (77, None, 11),
            (300, None, 20),
            (38, mm(545, 278), 9),
            (13, None, 5),
            (1, None, 1),
        ] {
            assert_eq!(columns(cells, sides), wanted, "{cells}");
        }
    }

    fn tray(cells: usize, columns: usize) -> Tray {
        let marks = vec![Mark::None; cells];
        let part = PartId(crate::quantity::EntryId(1));
        let known = vec![Cell::Filled; cells];
        let begun = marks.clone();
        Tray { part, columns, at: 0, known, marks, begun, older: None, typed: 0, brush: Mark::One }
    }

    fn written(tray: &Tray) -> String {
        format!("{} / {}", tray.ticks().cells(), tray.ticks().doubled())
    }

    #[test]
    fn digits_jump_to_a_cell_as_they_are_typed() {
        let mut tray = tray(24, 6);
        let mut at = |digits: &[usize]| {
            digits.iter().for_each(|digit| tray.jump(*digit));
            tray.at + 1
        };
        assert_eq!(at(&[1]), 1);
        assert_eq!(at(&[5]), 15);
        assert_eq!(at(&[7]), 7, "157 is no cell, so a new number begins");
        assert_eq!(at(&[0]), 7, "neither 70 nor 0 is a cell");
        assert_eq!(at(&[2, 4]), 24);
    }

    #[test]
    fn cells_are_ticked_one_by_one_in_rows_and_by_drawing() {
        let mut tray = tray(24, 6);
        for mark in [Mark::One, Mark::One, Mark::Two, Mark::None, Mark::One] {
            tray.mark(mark);
        }
        assert_eq!((written(&tray).as_str(), tray.changed()), ("1-3,5 / 3", 4));
        tray.go(Way::Down);
        tray.fill(Run::Row);
        assert_eq!(written(&tray), "1-3,5,7-12 / 3");
        tray.fill(Run::Row);
        assert_eq!(written(&tray), "1-3,5 / 3", "a full row is emptied");
        tray.fill(Run::Column);
        assert_eq!(written(&tray), "1-3,5-6,12,18,24 / 3");
        tray.fill(Run::All);
        assert_eq!(written(&tray), "1-24 / 3", "what is doubled stays");
        tray.fill(Run::All);
        tray.press(7);
        (8..12).for_each(|cell| tray.draw_over(cell));
        assert_eq!(written(&tray), "8-12 / none");
        tray.press(7);
        tray.draw_over(6);
        assert_eq!(written(&tray), "7-12 / 7-8");
        tray.fill(Run::All);
        tray.fill(Run::All);
        tray.press(0);
        tray.draw_over(4);
        assert_eq!(written(&tray), "1-5 / none", "a slow line tells of the ends only");
        tray.draw_over(22);
        assert_eq!(written(&tray), "1-5,11,17,23 / none");
        tray.at = 23;
        tray.go(Way::Right);
        tray.go(Way::Down);
        assert_eq!(tray.at, 23, "the edge holds");
    }
}
