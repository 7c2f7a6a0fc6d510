//! The cells of a tray.

use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::Cells;
use super::whens::{always, has_older_ticks, may_log};
use super::{Action, Id, line};

pub(super) const TABLE: &[Action] = &[
    line(Id::TickLog, &[Key::Enter], &[Cells], may_log, "log", "log the ticks as one count"),
    line(
        Id::TickOlder,
        &[Char('o')],
        &[Cells],
        has_older_ticks,
        "older ticks",
        "begin with the ticks of an earlier day",
    ),
    line(Id::TickOne, &[Char('u')], &[Cells], always, "up", "one plant here, and on to the next cell"),
    line(Id::TickTwo, &[Char('d')], &[Cells], always, "doubled", "two plants or more here, and on to the next cell"),
    line(Id::TickNone, &[Char('e')], &[Cells], always, "none", "none up here, and on to the next cell"),
    line(Id::Tick, &[Char(' '), Char('t')], &[Cells], always, "turn", "up, doubled, nothing in turn, and stay"),
    line(Id::TickRow, &[Char('r')], &[Cells], always, "row", "the whole row up; if it is, nothing"),
    line(Id::TickColumn, &[Char('c')], &[Cells], always, "column", "the whole column up; if it is, nothing"),
    line(Id::TickAll, &[Char('a')], &[Cells], always, "all", "every cell up; if they are, nothing"),
    line(Id::Number, &[Key::Digit], &[Cells], always, "to a cell", "go to the cell of this number"),
    line(Id::Left, &[Key::Left, Char('h')], &[Cells], always, "", "one cell to the left"),
    line(Id::Right, &[Key::Right, Char('l')], &[Cells], always, "", "one cell to the right"),
];
