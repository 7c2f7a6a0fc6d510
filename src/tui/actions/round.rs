//! A round, stop by stop, and what it has logged.

use crate::tui::form::Verb;
use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::{Round, Rounded};
use super::whens::{always, at_stop, has_row, has_stops, in_cells, may_log};
use super::{Action, Id, line};

pub(super) const TABLE: &[Action] = &[
    line(
        Id::Tally,
        &[Key::Digit, Char('-')],
        &[Round],
        at_stop,
        "count",
        "a count, then Enter: logged, and on to the next container; -6 gaps, 50s standing, 54d doubles",
    ),
    line(
        Id::Skip,
        &[Char('s'), Char('j'), Key::Down, Key::Right],
        &[Round],
        at_stop,
        "skip",
        "on to the next container",
    ),
    line(Id::Stop, &[Key::Esc, Char('q')], &[Round], always, "stop", "leave off; the same day goes on from here"),
    line(
        Id::Undo,
        &[Char('u')],
        &[Round],
        may_log,
        "undo",
        "take back the newest act of the round, and go back to its stop",
    ),
    line(
        Id::BackOne,
        &[Char('b'), Char('k'), Key::Up, Key::Left],
        &[Round],
        at_stop,
        "back one",
        "back to the container before",
    ),
    line(Id::Leaves, &[Char('g')], &[Round], at_stop, "leaves", "true leaves: then one digit"),
    line(Id::Leggy, &[Char('y')], &[Round], at_stop, "leggy", "leggy: drawn out"),
    line(Id::Roots, &[Char('r')], &[Round], at_stop, "roots", "roots at the holes"),
    line(Id::Open(Verb::Lose), &[Char('l')], &[Round], at_stop, "lost", "note plants that died, and of what"),
    line(
        Id::Open(Verb::PotOn),
        &[Char('p')],
        &[Round],
        at_stop,
        "pot on",
        "prick out or pot on; more than the log has is a recount",
    ),
    line(Id::Open(Verb::Move), &[Char('m')], &[Round], at_stop, "move", "move the container to another bench"),
    line(Id::Open(Verb::Note), &[Char('n'), Char('N')], &[Round], at_stop, "note", "write a remark about the batch"),
    line(
        Id::Cells,
        &[Char('C')],
        &[Round],
        in_cells,
        "cells",
        "tick the container cell by cell; logged or left off, back to the stop",
    ),
    line(Id::Show, &[Char('o')], &[Round], at_stop, "", "open the batch; back leads to the stop"),
    line(Id::Open(Verb::Clear), &[Char('e')], &[Round], at_stop, "clear", "empty the container"),
    line(Id::Open(Verb::Thin), &[Char('t')], &[Round], at_stop, "", "thin"),
    line(Id::Why, &[Char('w')], &[Round], at_stop, "why", "how this was come by: rule, figures, sources"),
    line(
        Id::UndoThis,
        &[Char('u'), Char('x')],
        &[Rounded],
        has_row,
        "undo this",
        "take back the line under the cursor",
    ),
    line(
        Id::UndoRound,
        &[Char('U'), Char('X')],
        &[Rounded],
        may_log,
        "undo all",
        "take back all that the round logged, newest first",
    ),
    line(
        Id::GoOn,
        &[Key::Enter, Char('W')],
        &[Rounded],
        has_stops,
        "go on",
        "back to the round, while stops are still to be seen",
    ),
];
