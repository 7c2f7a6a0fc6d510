//! What is done to plants from any page that lists them.

use crate::tui::form::Verb;
use crate::tui::message::Key::Char;

use super::Where::{Morning, Tonight};
use super::whens::{has_plants, is_out, may_sow, on_due};
use super::{Action, Id, PLANTS, line};

pub(super) const TABLE: &[Action] = &[
    line(Id::Attend, &[Char('a')], &[Morning, Tonight], on_due, "do it", "do what the line asks for"),
    line(
        Id::Open(Verb::Count),
        &[Char('c')],
        PLANTS,
        has_plants,
        "count",
        "count what is up (54), the gaps (-6) or what stands (50s)",
    ),
    line(
        Id::Open(Verb::Sow),
        &[Char('s')],
        PLANTS,
        may_sow,
        "sow",
        "sow: seed, number, container and bench as last time",
    ),
    line(
        Id::Open(Verb::PotOn),
        &[Char('p')],
        PLANTS,
        has_plants,
        "pot on",
        "prick out or pot on; more than the log has is a recount",
    ),
    line(
        Id::Open(Verb::Move),
        &[Char('m')],
        PLANTS,
        has_plants,
        "move",
        "move to another bench: this row, or all that are marked",
    ),
    line(Id::Open(Verb::Lose), &[Char('l')], PLANTS, has_plants, "lost", "note plants that died"),
    line(
        Id::OutAgain,
        &[Char('o')],
        PLANTS,
        has_plants,
        "out",
        "put out for the day: what is marked, on a batch's page that batch, else the group that went out last",
    ),
    line(
        Id::In,
        &[Char('i')],
        PLANTS,
        is_out,
        "in",
        "bring home what is marked, on a batch's page that batch, else all that are out",
    ),
];
