//! What is opened, explained and taken back.

use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::{Batch, Benches, InHand, Journal, Morning, Palette, Place, Plan, Rounded, Tonight};
use super::whens::{always, has_benches, has_plants, has_row, may_log, may_wash, on_container};
use super::{Action, DRAWN_LARGE, HOW, IN_HAND, Id, PAGES, PLANTS, line};

pub(super) const TABLE: &[Action] = &[
    line(
        Id::Show,
        &[Key::Enter],
        &[Morning, Tonight, Benches, Place],
        has_row,
        "open",
        "open the batch: the row's, or the number typed",
    ),
    line(Id::Undo, &[Char('u')], PAGES, may_log, "undo", "take back the newest act"),
    line(
        Id::Redo,
        &[Char('r')],
        &[Morning, Batch, Tonight, Benches, Plan, Journal, Rounded],
        may_log,
        "",
        "bring back what was taken back",
    ),
    line(
        Id::UndoThis,
        &[Char('x')],
        &[Journal],
        may_log,
        "undo this",
        "take back the act under the cursor, and ask before others go with it",
    ),
    line(
        Id::Find,
        &[Char('f'), Char('/')],
        &[Journal, Palette],
        always,
        "find",
        "type words to keep only the lines that have them",
    ),
    line(Id::Show, &[Char('o')], &[Plan], on_container, "open", "open the batch"),
    line(Id::Why, &[Char('w')], &[InHand], may_wash, "why", HOW),
    line(Id::Why, &[Char('w')], &[Morning, Batch, Tonight, Benches, Place, Plan], has_row, "why", HOW),
    line(Id::Mark, &[Char(' ')], PLANTS, has_row, "mark", "mark the row, to move or put out several together"),
    line(Id::Cells, &[Char('C')], PLANTS, has_plants, "", "tick a tray cell by cell; a mouse draws over them"),
    line(
        Id::Tonight,
        &[Char('n')],
        &[Morning, Batch, Benches, Place, Journal],
        always,
        "tonight",
        "before dusk: what comes in, is covered, goes out or stays",
    ),
    line(Id::Tonight, &[Char('n')], &[Tonight], always, "read all", "read it whole: every place, night and note"),
    line(
        Id::Spots,
        &[Char('y')],
        &[Benches],
        on_container,
        "may go",
        "where the container may go without moving any other",
    ),
    line(Id::Wash, &[Char('W')], &[InHand], may_wash, "wash", "note trays or pots of this kind washed"),
    line(Id::Own, &[Char('o')], &[InHand], may_log, "own", "say how many of a kind there are in all"),
    line(Id::InHand, &[Char('I')], &[Benches], always, "in hand", IN_HAND),
    line(Id::InHand, &[Char('I')], &[Morning, Batch, Tonight, Plan], always, "", IN_HAND),
    line(Id::OpenPlan, &[Char('P')], &[Benches], has_benches, "plan", DRAWN_LARGE),
    line(Id::OpenPlan, &[Char('P')], &[Morning, Batch, Tonight], has_benches, "", DRAWN_LARGE),
    line(
        Id::Benches,
        &[Char('b')],
        &[Morning, Batch, Tonight, Place, Journal],
        always,
        "benches",
        "what stands on each bench, and what is free",
    ),
    line(
        Id::Round,
        &[Char('W')],
        PLANTS,
        has_plants,
        "round",
        "walk a place container by container; what was counted today is done",
    ),
];
