//! The plan of a bench, with nothing in the hand, with a container in it, and with a repacking shown.

use crate::tui::message::Key;
use crate::tui::message::Key::Char;

use super::Where::{Hand, Plan, Repacking};
use super::whens::{always, may_log, may_repack, may_shift};
use super::{Action, Id, line};

pub(super) const TABLE: &[Action] = &[
    line(
        Id::PickUp,
        &[Char('m'), Key::Enter],
        &[Plan],
        may_shift,
        "pick up",
        "pick up the container: where it may go lights up",
    ),
    line(
        Id::Walk,
        &[Char('h'), Char('j'), Char('k'), Char('l'), Key::Left, Key::Down, Key::Up, Key::Right],
        &[Plan],
        always,
        "j k l walk",
        "on to the container that way: left, front, back, right",
    ),
    line(Id::NextThing, &[Char('n'), Key::Tab], &[Plan], always, "next", "on to the next thing, bench after bench"),
    line(Id::ThingBefore, &[Char('N'), Key::BackTab], &[Plan], always, "", "back to the thing before"),
    line(Id::Turn, &[Char('t')], &[Plan], may_shift, "turn", "turn it by a quarter where it stands"),
    line(Id::Pin, &[Char('p')], &[Plan], may_shift, "pin", "pin it, so that no repacking moves it; or loose it again"),
    line(Id::Propose, &[Char('R')], &[Plan], may_repack, "repack", "show what repacking would free, and how"),
    line(
        Id::SetDown,
        &[Key::Enter, Char('m')],
        &[Hand],
        may_log,
        "set down",
        "set it down here: one act, and u takes it back",
    ),
    line(Id::Back, &[Key::Esc, Char('q')], &[Hand, Repacking], always, "leave it", "put it back: nothing is logged"),
    line(
        Id::NextSpot,
        &[Char('n'), Key::Tab],
        &[Hand],
        always,
        "next spot",
        "over the next spot where it may go, bench after bench",
    ),
    line(Id::SpotBefore, &[Char('N'), Key::BackTab], &[Hand], always, "", "over the spot before"),
    line(Id::Jump, &[Key::Digit], &[Hand], always, "spot", "over the spot of that number"),
    line(Id::Turn, &[Char('t')], &[Hand], always, "turn", "turn it by a quarter in the hand"),
    line(
        Id::Nudge,
        &[Char('h'), Char('j'), Char('k'), Char('l'), Key::Left, Key::Down, Key::Up, Key::Right],
        &[Hand],
        always,
        "j k l 10 mm",
        "nudge it 10 mm: left, front, back, right",
    ),
    line(
        Id::Leap,
        &[Char('H'), Char('J'), Char('K'), Char('L')],
        &[Hand],
        always,
        "J K L 100 mm",
        "shift it 100 mm the same ways",
    ),
    line(Id::Pin, &[Char('p')], &[Hand], always, "pin", "pin it where it is set down, or leave it loose"),
    line(
        Id::NextBench,
        &[Char('b')],
        &[Plan, Hand],
        always,
        "next bench",
        "on to the next bench; in the hand, to where it may go",
    ),
    line(Id::BenchBefore, &[Char('v')], &[Plan, Hand], always, "", "back to the bench before"),
    line(
        Id::Repack,
        &[Key::Enter, Char('y')],
        &[Repacking],
        may_log,
        "do it",
        "everything stands as drawn: log it so, in one act",
    ),
];
