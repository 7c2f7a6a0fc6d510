//! What is rarer done to plants, and going about: rows, days, other pages.

use crate::tui::form::Verb;
use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::{Batch, Benches, Cells, InHand, Journal, Morning, Palette, Place, Rounded, Text, Tonight};
use super::whens::{always, has_place, has_plants, is_another_day, may_log, may_sow};
use super::{Action, Id, PAGES, PLANTS, line};

pub(super) const TABLE: &[Action] = &[
    line(
        Id::Place,
        &[Char('M')],
        &[Tonight, Benches],
        has_place,
        "place",
        "the place of the row: its lows and highs, what was learnt, what stands there",
    ),
    line(
        Id::Place,
        &[Char('M')],
        &[Morning, Batch],
        has_place,
        "",
        "the place of the row: its lows and highs, what was learnt, what stands there",
    ),
    line(Id::NextPlace, &[Key::Tab, Char('y')], &[Place], always, "next place", "on to the next place"),
    line(
        Id::Journal,
        &[Char('h')],
        &[Morning, Batch, Tonight, Benches, Place],
        always,
        "journal",
        "every act, newest first",
    ),
    line(
        Id::Add,
        &[Char('A'), Char('z')],
        PLANTS,
        may_log,
        "add",
        "add a place, a bench, seed, or a tray of young plants",
    ),
    line(
        Id::Open(Verb::Grow),
        &[Char('g')],
        PLANTS,
        has_plants,
        "",
        "note growth: leaves, height, leggy, roots at the holes",
    ),
    line(Id::Open(Verb::Note), &[Char('N')], PLANTS, has_plants, "", "write a remark about the batch"),
    line(Id::Open(Verb::Thin), &[Char('t')], PLANTS, has_plants, "", "thin"),
    line(Id::Open(Verb::Discard), &[Char('x')], PLANTS, has_plants, "", "throw away live plants"),
    line(Id::Open(Verb::GiveAway), &[Char('v')], PLANTS, has_plants, "", "give away"),
    line(Id::Open(Verb::PlantOut), &[Char('f')], PLANTS, has_plants, "", "plant out: in the final place"),
    line(
        Id::Open(Verb::Clear),
        &[Char('e')],
        PLANTS,
        has_plants,
        "",
        "empty the container, or the pots of a set without a plant: the row's, or all that are marked",
    ),
    line(Id::Open(Verb::Read), &[Char('R')], PLANTS, may_sow, "", "note what a thermometer says: lowest, highest"),
    line(Id::Forecast, &[Char('F')], PLANTS, may_sow, "", "forecast: type a night and a day, or fetch it"),
    line(Id::Line, &[Char('L'), Char(':')], PAGES, always, "", "any act or report in the words of the command line"),
    line(Id::Open(Verb::Out), &[Char('O')], PLANTS, has_plants, "", "put this out for the day, and choose where"),
    line(Id::Number, &[Key::Digit], PLANTS, always, "", "type a batch's number, then the key of the act"),
    line(Id::Erase, &[Key::Backspace], PLANTS, always, "", "take back a digit of the number"),
    line(
        Id::Down,
        &[Key::Down, Char('j')],
        &[Morning, Batch, Tonight, Benches, Journal, Text, Cells, Rounded, Place, InHand, Palette],
        always,
        "",
        "one row down",
    ),
    line(
        Id::Up,
        &[Key::Up, Char('k')],
        &[Morning, Batch, Tonight, Benches, Journal, Text, Cells, Rounded, Place, InHand, Palette],
        always,
        "",
        "one row up",
    ),
    line(
        Id::NextSection,
        &[Key::Tab, Char('y')],
        &[Morning],
        has_plants,
        "next part",
        "on to the next part of the page",
    ),
    line(
        Id::PageDown,
        &[Key::PageDown, Key::Right],
        &[Morning, Batch, Tonight, Benches, Journal, Rounded, Text, Place, InHand, Palette],
        always,
        "",
        "ten rows down",
    ),
    line(
        Id::PageUp,
        &[Key::PageUp, Key::Left],
        &[Morning, Batch, Tonight, Benches, Journal, Rounded, Text, Place, InHand, Palette],
        always,
        "",
        "ten rows up",
    ),
    line(Id::DayBack, &[Char('d')], PAGES, always, "", "look at the day before; other days can be read, not written"),
    line(Id::DayAhead, &[Char('D')], PAGES, always, "", "look at the day after"),
    line(Id::Today, &[Char('T')], PAGES, is_another_day, "today", "back to the day it is"),
];
