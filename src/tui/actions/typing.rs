//! Leaving, the light, the list of keys, and what is typed: forms, the line, questions.

use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::{
    Batch, Benches, Cells, Form, Hand, InHand, Journal, Menu, Morning, Palette, Place, Plan, Question, Repacking,
    Round, Rounded, Text, Tonight,
};
use super::whens::always;
use super::{Action, Id, Where, line};

pub(super) const TABLE: &[Action] = &[
    line(
        Id::Back,
        &[Key::Esc, Char('q')],
        &[Batch, Tonight, Benches, Place, Plan, InHand, Journal, Cells, Rounded, Text, Palette],
        always,
        "back",
        "back",
    ),
    line(
        Id::Back,
        &[Key::Esc],
        &[Morning, Form, Where::Line, Menu],
        always,
        "",
        "leave off: nothing half-entered is kept",
    ),
    line(Id::Back, &[Key::Esc], &[Where::Filter], always, "all again", "find nothing: all of them again"),
    line(Id::DoPicked, &[Key::Enter], &[Palette], always, "do it", "do what the line says, as its key would"),
    line(
        Id::Sun,
        &[Char('B')],
        &[Morning, Batch, Tonight, Benches, Place, Plan, Hand, Repacking, InHand, Journal, Cells, Round, Rounded],
        always,
        "",
        "black on white for bright sun, and back",
    ),
    Action {
        id: Id::Help,
        keys: &[Char('?')],
        places: &[Morning, Batch, Tonight, Benches, Place, Plan, InHand, Journal, Cells, Round, Rounded],
        when: always,
        hint: "",
        help: "this list",
    },
    line(Id::Quit, &[Char('q')], &[Morning], always, "quit", "leave; everything is on the disk already"),
    line(
        Id::Enter,
        &[Key::Enter],
        &[Where::Filter],
        always,
        "go about in these",
        "keep to those that have the words, and go about in them",
    ),
    line(
        Id::Enter,
        &[Key::Enter],
        &[Form],
        always,
        "next, then log",
        "next field that wants something; at the last, log it",
    ),
    line(
        Id::NextField,
        &[Key::Tab, Key::Down],
        &[Form],
        always,
        "choose or next field",
        "the next of a list, or the next field; a space does so while nothing is typed in one",
    ),
    line(
        Id::PreviousField,
        &[Key::BackTab, Key::Up],
        &[Form],
        always,
        "",
        "the one before; Backspace in an empty field goes back too",
    ),
    Action { id: Id::Yes, keys: &[Char('y')], places: &[Question], when: always, hint: "yes", help: "yes" },
    line(Id::Enter, &[Key::Enter], &[Where::Line], always, "do it", "do what the line below says"),
    line(
        Id::Take,
        &[Key::Tab, Key::Right],
        &[Where::Line],
        always,
        "complete",
        "put in what fits, and again for the next of it; right does so at the end",
    ),
    line(Id::TakeBack, &[Key::BackTab], &[Where::Line], always, "", "the one that fitted before"),
    line(Id::Earlier, &[Key::Up, Key::Down], &[Where::Line], always, "before", "the lines logged before"),
    Action { id: Id::Back, keys: &[Char('n'), Key::Esc], places: &[Question], when: always, hint: "no", help: "no" },
];
