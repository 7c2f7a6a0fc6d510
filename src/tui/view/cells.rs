//! A cell tray as a grid to tick: every cell by its shape, its rows numbered by their first cell.

use crate::journal::{Cell, Part};
use crate::tui::glyphs::Glyphs;
use crate::tui::model::Model;
use crate::tui::text::{Align, width};
use crate::tui::theme::Role;
use crate::tui::tray::Tray;

use super::paint::{Canvas, first_shown};
use super::words;

/// Columns before the first cell: the number of the row's first.
const MARGIN: usize = 6;
/// A cell is at most so wide.
const WIDEST: usize = 4;

/// Where the grid stands on a page of some size.
struct Laid {
    /// The line of the first row.
    top: usize,
    /// The first row and column shown.
    first: (usize, usize),
    /// Rows and columns shown.
    fit: (usize, usize),
    /// Columns of the screen that a cell takes.
    wide: usize,
    /// Lines of the legend.
    legend: usize,
}

fn laid(tray: &Tray, all: usize, down: usize) -> Laid {
    let legend = match (all, down) {
        (_, ..=6) => 0,
        (60.., _) => 1,
        _ => 2,
    };
    let top = if down > 8 { 2 } else { usize::from(down > 1) };
    let rows = down.saturating_sub(top + legend);
    let margin = if all > 12 { MARGIN } else { 0 };
    let room = all.saturating_sub(margin).max(1);
    let wide = (room / tray.columns.max(1)).clamp(1, WIDEST);
    let columns = (room / wide).min(tray.columns);
    let (row, column) = (tray.at / tray.columns.max(1), tray.at % tray.columns.max(1));
    let first = (first_shown(tray.rows(), rows, row), first_shown(tray.columns, columns, column));
    Laid { top, first, fit: (rows.min(tray.rows()), columns), wide, legend }
}

/// The cell at a point of a page of some size, if there is one.
pub(super) fn at(tray: &Tray, (all, down): (usize, usize), (x, y): (usize, usize)) -> Option<usize> {
    let laid = laid(tray, all, down);
    let margin = if all > 12 { MARGIN } else { 0 };
    let (row, column) = (y.checked_sub(laid.top)?, x.checked_sub(margin)? / laid.wide);
    if row >= laid.fit.0 || column >= laid.fit.1 {
        return None;
    }
    let index = (laid.first.0 + row) * tray.columns + laid.first.1 + column;
    (laid.first.1 + column < tray.columns && index < tray.len()).then_some(index)
}

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let Some(tray) = &model.tray else { return };
    let (all, down) = (canvas.width(), canvas.height());
    let laid = laid(tray, all, down);
    if laid.top > 0 {
        canvas.rule(0, &title(model, tray, all), &sum(tray, all));
    }
    if laid.top > 1 {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text).fill(&so_far(model, tray), all, Role::Quiet);
        canvas.line(1, strip);
    }
    for y in 0..laid.fit.0 {
        row(tray, &laid, y, canvas);
    }
    legend(&laid, down.saturating_sub(laid.legend), filled(model, tray), canvas);
}

fn row(tray: &Tray, laid: &Laid, y: usize, canvas: &mut Canvas<'_>) {
    let first = (laid.first.0 + y) * tray.columns;
    let mut strip = canvas.strip();
    if canvas.width() > 12 {
        strip.column(&(first + 1).to_string(), MARGIN - 2, Align::Right, Role::Quiet).add("  ", Role::Text);
    }
    for column in laid.first.1..laid.first.1 + laid.fit.1 {
        let index = first + column;
        let Some(cell) = tray.shows(index) else { continue };
        let here = index == tray.at;
        if here {
            canvas.point(strip.used, laid.top + y);
        }
        let (sign, role) = sign(cell, &canvas.look.glyphs);
        strip.add(sign, if here { Role::Selected } else { role });
        strip.add(&" ".repeat(laid.wide - 1), Role::Text);
    }
    canvas.line(laid.top + y, strip);
}

/// The shape of a cell's state.
const fn sign(cell: Cell, glyphs: &Glyphs) -> (&'static str, Role) {
    match cell {
        Cell::Empty => (glyphs.gap, Role::Quiet),
        Cell::Filled => (glyphs.sown, Role::Quiet),
        Cell::Up => (glyphs.plant, Role::Good),
        Cell::Doubled => (glyphs.doubled, Role::Key),
        Cell::Lost => (glyphs.lost, Role::Quiet),
        Cell::TakenOut => (glyphs.taken_out, Role::Quiet),
        Cell::MovedOn => (glyphs.moved_on, Role::Quiet),
    }
}

/// What a filled cell was filled with.
pub(in crate::tui) fn filled(model: &Model, tray: &Tray) -> &'static str {
    if model.board.state.parts.get(&tray.part).is_some_and(Part::is_sown) { "sown" } else { "set" }
}

/// What a cell holds, in a word.
pub(in crate::tui) const fn word(cell: Cell, filled: &'static str) -> &'static str {
    match cell {
        Cell::Empty => "bare",
        Cell::Filled => filled,
        Cell::Up => "up",
        Cell::Doubled => "doubled",
        Cell::Lost => "lost",
        Cell::TakenOut => "thrown out",
        Cell::MovedOn => "moved on",
    }
}

fn legend(laid: &Laid, from: usize, filled: &'static str, canvas: &mut Canvas<'_>) {
    const ALL: [Cell; 7] =
        [Cell::Filled, Cell::Up, Cell::Doubled, Cell::Lost, Cell::MovedOn, Cell::TakenOut, Cell::Empty];
    let all = canvas.width();
    let (mut y, mut strip) = (0, canvas.strip());
    for cell in ALL {
        let (sign, role) = sign(cell, &canvas.look.glyphs);
        if strip.used + width(word(cell, filled)) + 4 > all && y + 1 < laid.legend {
            canvas.line(from + y, strip);
            (y, strip) = (y + 1, canvas.strip());
        }
        strip.add("  ", Role::Text).add(sign, role).add(" ", Role::Text).add(word(cell, filled), Role::Quiet);
    }
    if laid.legend > 0 {
        canvas.line(from + y, strip);
    }
}

pub(in crate::tui) fn title(model: &Model, tray: &Tray, all: usize) -> String {
    let state = &model.board.state;
    let Some(part) = state.parts.get(&tray.part) else { return String::new() };
    let lot = state.batches.get(&part.batch).and_then(|batch| state.lots.get(&batch.lot));
    let plant = words::plant(lot.map(|lot| &lot.crop), lot.map(|lot| &lot.variety).filter(|_| all >= 60));
    let label = words::part(state.part_label(part), model.board.on);
    let vessel = state.containers.get(&part.container).map(|held| &held.vessel);
    let vessel = vessel.map_or_else(String::new, |vessel| match vessel.pots {
        ..=1 => vessel.name.to_string(),
        pots => format!("{pots} {}", vessel.name),
    });
    format!("{label} {plant}  {vessel}")
}

/// What the marks make.
pub(in crate::tui) fn sum(tray: &Tray, all: usize) -> String {
    let ticks = tray.ticks();
    let cells = format!("{} of {}", ticks.cells().len(), tray.len());
    match ticks.doubled().len() {
        0 => format!("{cells} cells"),
        two if all < 60 => format!("{cells}, {two} twice"),
        two => format!("{cells} cells, {two} doubled"),
    }
}

/// What was ticked and counted before.
pub(in crate::tui) fn so_far(model: &Model, tray: &Tray) -> String {
    let Some(part) = model.board.state.parts.get(&tray.part) else { return String::new() };
    let on = model.board.on;
    match (crate::advice::ticks_told(part), part.counts.last()) {
        (Some(told), _) => words::plain_days(&told, on),
        (None, Some(count)) => format!("counted {}: {} standing", words::day(count.on, on), count.standing),
        (None, None) => "not counted yet".to_owned(),
    }
}

/// The cell under the cursor, in words.
pub(super) fn about(model: &Model) -> String {
    let Some(tray) = &model.tray else { return String::new() };
    let columns = tray.columns.max(1);
    let (row, column) = (tray.at / columns + 1, tray.at % columns + 1);
    let what = tray.shows(tray.at).map_or("", |cell| word(cell, filled(model, tray)));
    format!("cell {}: {what}; row {row}, {column} along", tray.at + 1)
}
