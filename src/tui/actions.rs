//! Every key and what it does: the one table behind dispatch, the hint line, the help and the printed table of keys.

use super::form::Verb;
use super::message::Key;
use super::model::{Model, Overlay, Page};
use super::rows::Section;
use super::tray::Tray;

/// Where keys are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Where {
    /// The morning.
    Morning,
    /// One batch.
    Batch,
    /// The evening.
    Tonight,
    /// The benches.
    Benches,
    /// One place.
    Place,
    /// One bench drawn large.
    Plan,
    /// The same with a container in the hand.
    Hand,
    /// The same with a repacking shown before it is done.
    Repacking,
    /// Trays and pots in hand.
    InHand,
    /// The acts.
    Journal,
    /// The cells of a tray.
    Cells,
    /// A stop of a round.
    Round,
    /// What a round logged.
    Rounded,
    /// The filter of the acts, while it is typed.
    Filter,
    /// A form.
    Form,
    /// The quick line.
    Line,
    /// A menu.
    Menu,
    /// A question.
    Question,
    /// A text to be read: why, help.
    Text,
}

impl Where {
    /// What it is called in the table of keys.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Morning => "morning",
            Self::Batch => "batch",
            Self::Tonight => "tonight",
            Self::Benches => "benches",
            Self::Place => "place",
            Self::Plan => "plan",
            Self::Hand => "plan, one picked up",
            Self::Repacking => "plan, repacking",
            Self::InHand => "in hand",
            Self::Journal => "journal",
            Self::Cells => "cells",
            Self::Round => "round",
            Self::Rounded => "after a round",
            Self::Filter => "finding",
            Self::Form => "form",
            Self::Line => "line",
            Self::Menu => "menu",
            Self::Question => "question",
            Self::Text => "text",
        }
    }
}

/// What a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the help line of each says it")]
pub enum Id {
    Open(Verb),
    Attend,
    Show,
    Up,
    Down,
    PageUp,
    PageDown,
    NextSection,
    Back,
    Number,
    Erase,
    Mark,
    OutAgain,
    In,
    Undo,
    UndoThis,
    Redo,
    Find,
    Line,
    Take,
    TakeBack,
    Earlier,
    Why,
    Help,
    Add,
    Forecast,
    Spots,
    OpenPlan,
    Walk,
    NextThing,
    ThingBefore,
    NextBench,
    BenchBefore,
    PickUp,
    SetDown,
    Nudge,
    Leap,
    NextSpot,
    SpotBefore,
    Jump,
    Turn,
    Pin,
    Propose,
    Repack,
    InHand,
    Wash,
    Own,
    Tonight,
    Benches,
    Place,
    NextPlace,
    Journal,
    DayBack,
    DayAhead,
    Today,
    Round,
    Tally,
    Leaves,
    Leggy,
    Roots,
    Skip,
    BackOne,
    Stop,
    GoOn,
    UndoRound,
    Quit,
    Enter,
    NextField,
    PreviousField,
    Yes,
    Cells,
    Left,
    Right,
    Tick,
    TickOne,
    TickTwo,
    TickNone,
    TickRow,
    TickColumn,
    TickAll,
    TickOlder,
    TickLog,
    Sun,
}

impl Id {
    /// The name of the action in the settings file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Take => "complete",
            Self::TakeBack => "complete back",
            Self::Earlier => "line before",
            Self::Open(verb) => verb.word(),
            Self::Attend => "do it",
            Self::Show => "open",
            Self::Up => "up",
            Self::Down => "down",
            Self::PageUp => "page up",
            Self::PageDown => "page down",
            Self::NextSection => "next part",
            Self::Back => "back",
            Self::Number => "number",
            Self::Erase => "erase",
            Self::Mark => "mark",
            Self::OutAgain => "out again",
            Self::In => "in",
            Self::Undo => "undo",
            Self::UndoThis => "undo this",
            Self::Redo => "redo",
            Self::Find => "find",
            Self::Why => "why",
            Self::Help => "help",
            Self::Add => "add",
            Self::Spots => "may go",
            Self::Forecast => "forecast",
            Self::Place => "place",
            Self::NextPlace => "next place",
            Self::Tonight => "tonight",
            Self::Benches => "benches",
            Self::Journal => "journal",
            Self::DayBack => "day before",
            Self::DayAhead => "day after",
            Self::Today => "today",
            Self::Quit => "quit",
            Self::Enter => "enter",
            Self::NextField => "next field",
            Self::PreviousField => "field before",
            Self::Yes => "yes",
            Self::Sun => "sun",
            Self::OpenPlan => "plan",
            Self::Walk => "plan step",
            Self::NextThing => "next thing",
            Self::ThingBefore => "thing before",
            Self::NextBench => "next bench",
            Self::BenchBefore => "bench before",
            Self::PickUp => "pick up",
            Self::SetDown => "set down",
            Self::Nudge => "nudge",
            Self::Leap => "leap",
            Self::NextSpot => "next spot",
            Self::SpotBefore => "spot before",
            Self::Jump => "jump",
            Self::Turn => "turn",
            Self::Pin => "pin",
            Self::Propose => "propose",
            Self::Repack => "repack",
            Self::InHand => "in hand",
            Self::Wash => "wash",
            Self::Own => "own",
            Self::Cells => "cells",
            Self::Left => "cell left",
            Self::Right => "cell right",
            Self::Tick => "tick",
            Self::TickOne => "tick up",
            Self::TickTwo => "tick doubled",
            Self::TickNone => "tick empty",
            Self::TickRow => "tick row",
            Self::TickColumn => "tick column",
            Self::TickAll => "tick all",
            Self::TickOlder => "older ticks",
            Self::TickLog => "log ticks",
            Self::Round => "round",
            Self::Tally => "gaps",
            Self::Leaves => "leaves",
            Self::Leggy => "leggy",
            Self::Roots => "roots",
            Self::Skip => "skip",
            Self::BackOne => "back one",
            Self::Stop => "stop",
            Self::GoOn => "go on",
            Self::UndoRound => "undo all",
        }
    }
}

/// One line of the table.
pub struct Action {
    /// What it does.
    pub id: Id,
    /// The keys that do it.
    pub keys: &'static [Key],
    /// Where they do it.
    pub places: &'static [Where],
    /// When it can be done.
    pub when: fn(&Model) -> bool,
    /// One or two words for the hint line; empty to leave it out there.
    pub hint: &'static str,
    /// A line for the help.
    pub help: &'static str,
}

use Key::Char;
use Where::{
    Batch, Benches, Cells, Form, Hand, InHand, Journal, Menu, Morning, Place, Plan, Question, Repacking, Round,
    Rounded, Text, Tonight,
};

const PLANTS: &[Where] = &[Morning, Batch, Tonight, Benches, Place];
const PAGES: &[Where] = &[Morning, Batch, Tonight, Benches, Place, Plan, InHand, Journal];

const fn always(_: &Model) -> bool {
    true
}

fn may_log(model: &Model) -> bool {
    model.board.standing.may_log()
}

fn has_plants(model: &Model) -> bool {
    may_log(model) && !model.board.state.batches.is_empty()
}

fn may_sow(model: &Model) -> bool {
    may_log(model) && !model.board.state.places.is_empty()
}

fn on_due(model: &Model) -> bool {
    may_log(model)
        && match model.cursor().section {
            Section::Today => !model.due().is_empty(),
            Section::Dusk => model.evening().get(model.cursor().index).is_some_and(|row| row.doing.is_some()),
            _ => false,
        }
}

fn has_place(model: &Model) -> bool {
    !model.board.state.places.is_empty()
}

fn has_row(model: &Model) -> bool {
    model.row_key().is_some() || !model.typed.is_empty()
}

fn is_out(model: &Model) -> bool {
    may_log(model) && model.board.state.containers.values().any(|held| held.out.is_some())
}

fn on_container(model: &Model) -> bool {
    model.container_here().is_some()
}

fn may_shift(model: &Model) -> bool {
    may_log(model) && on_container(model)
}

fn may_wash(model: &Model) -> bool {
    may_log(model) && model.kind_here().is_some()
}

fn has_benches(model: &Model) -> bool {
    model.on_benches().next().is_some()
}

fn may_repack(model: &Model) -> bool {
    may_log(model) && model.plan().is_some_and(|plan| !plan.shapes.is_empty())
}

fn in_cells(model: &Model) -> bool {
    at_stop(model) && model.stop().is_some_and(|part| Tray::open(&model.board.state, part).is_some())
}

fn at_stop(model: &Model) -> bool {
    may_log(model) && model.stop().is_some()
}

fn has_stops(model: &Model) -> bool {
    may_log(model) && model.round().is_some_and(|round| round.open_from(&model.board.state, 0).is_some())
}

fn is_another_day(model: &Model) -> bool {
    model.on != model.today
}

fn has_older_ticks(model: &Model) -> bool {
    model.tray.as_ref().is_some_and(super::tray::Tray::has_older)
}

const fn line(
    id: Id,
    keys: &'static [Key],
    places: &'static [Where],
    when: fn(&Model) -> bool,
    hint: &'static str,
    help: &'static str,
) -> Action {
    Action { id, keys, places, when, hint, help }
}

const HOW: &str = "how this was come by: rule, figures, sources";
const IN_HAND: &str = "trays and pots: owned, in use, to be washed, clean, short";
const DRAWN_LARGE: &str = "the bench drawn large: pick up, turn, nudge, pin, repack on the screen";

/// The table, what is wanted most first.
pub const ACTIONS: &[Action] = &[
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
        "put out for the day: the group that went out last, or what is marked",
    ),
    line(Id::In, &[Char('i')], PLANTS, is_out, "in", "bring home all that are out"),
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
        &[Morning, Batch, Tonight, Benches, Journal, Rounded],
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
        &[Journal],
        always,
        "find",
        "type words to keep only the acts that have them",
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
    line(
        Id::BackOne,
        &[Char('b'), Char('k'), Key::Up, Key::Left],
        &[Round],
        at_stop,
        "back one",
        "back to the container before",
    ),
    line(Id::Show, &[Char('o')], &[Round], at_stop, "", "open the batch; back leads to the stop"),
    line(Id::Open(Verb::Clear), &[Char('e')], &[Round], at_stop, "", "empty the container"),
    line(Id::Open(Verb::Thin), &[Char('t')], &[Round], at_stop, "", "thin"),
    line(
        Id::Undo,
        &[Char('u')],
        &[Round],
        may_log,
        "undo",
        "take back the newest act of the round, and go back to its stop",
    ),
    line(Id::Why, &[Char('w')], &[Round], at_stop, "why", "how this was come by: rule, figures, sources"),
    line(Id::Stop, &[Key::Esc, Char('q')], &[Round], always, "stop", "leave off; the same day goes on from here"),
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
        "empty the container: the row's, or all that are marked",
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
        &[Morning, Batch, Tonight, Benches, Journal, Text, Cells, Rounded, Place, InHand],
        always,
        "",
        "one row down",
    ),
    line(
        Id::Up,
        &[Key::Up, Char('k')],
        &[Morning, Batch, Tonight, Benches, Journal, Text, Cells, Rounded, Place, InHand],
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
        &[Morning, Batch, Tonight, Benches, Journal, Rounded, Text, Place, InHand],
        always,
        "",
        "ten rows down",
    ),
    line(
        Id::PageUp,
        &[Key::PageUp, Key::Left],
        &[Morning, Batch, Tonight, Benches, Journal, Rounded, Text, Place, InHand],
        always,
        "",
        "ten rows up",
    ),
    line(Id::DayBack, &[Char('d')], PAGES, always, "", "look at the day before; other days can be read, not written"),
    line(Id::DayAhead, &[Char('D')], PAGES, always, "", "look at the day after"),
    line(Id::Today, &[Char('T')], PAGES, is_another_day, "", "back to the day it is"),
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
    line(Id::TickNone, &[Char('e')], &[Cells], always, "empty", "nothing here, and on to the next cell"),
    line(Id::Tick, &[Char(' '), Char('t')], &[Cells], always, "turn", "up, doubled, nothing in turn, and stay"),
    line(Id::TickRow, &[Char('r')], &[Cells], always, "row", "the whole row up; if it is, nothing"),
    line(Id::TickColumn, &[Char('c')], &[Cells], always, "column", "the whole column up; if it is, nothing"),
    line(Id::TickAll, &[Char('a')], &[Cells], always, "all", "every cell up; if they are, nothing"),
    line(Id::Number, &[Key::Digit], &[Cells], always, "to a cell", "go to the cell of this number"),
    line(Id::Left, &[Key::Left, Char('h')], &[Cells], always, "", "one cell to the left"),
    line(Id::Right, &[Key::Right, Char('l')], &[Cells], always, "", "one cell to the right"),
    line(
        Id::Back,
        &[Key::Esc, Char('q')],
        &[Batch, Tonight, Benches, Place, Plan, InHand, Journal, Cells, Rounded, Text],
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
    line(Id::Back, &[Key::Esc], &[Where::Filter], always, "every act again", "find nothing: every act again"),
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
        "keep to the acts that have the words, and go about in them",
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
        "the next of a list, or the next field",
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

/// Where keys go now.
#[must_use]
pub fn place(model: &Model) -> Where {
    match model.overlays.last() {
        Some(Overlay::Form(_)) => Where::Form,
        Some(Overlay::Line(_)) => Where::Line,
        Some(Overlay::Menu(_)) => Where::Menu,
        Some(Overlay::Question(_)) => Where::Question,
        Some(Overlay::Why { .. } | Overlay::Text { .. } | Overlay::Help { .. }) => Where::Text,
        None if model.filtering => Where::Filter,
        None if model.page() == Page::Plan && model.lifted.is_some() => Hand,
        None if model.page() == Page::Plan && model.proposal.is_some() => Repacking,
        None => page_place(model.page()),
    }
}

/// True for what can be done on a page, with a container in the hand there or a repacking shown too.
#[must_use]
pub fn is_of_page(action: &Action, page: Page) -> bool {
    let also: &[Where] = if matches!(page, Page::Plan) { &[Hand, Repacking] } else { &[] };
    action.places.iter().any(|place| *place == page_place(page) || also.contains(place))
}

const fn page_place(page: Page) -> Where {
    match page {
        Page::Morning => Where::Morning,
        Page::Batch(_) => Where::Batch,
        Page::Tonight => Where::Tonight,
        Page::Benches => Where::Benches,
        Page::Place(_) => Where::Place,
        Page::Plan => Where::Plan,
        Page::InHand => Where::InHand,
        Page::Journal => Where::Journal,
        Page::Cells(_) => Where::Cells,
        Page::Round(_) => Where::Round,
        Page::Rounded(_) => Where::Rounded,
    }
}

/// A key's name.
#[must_use]
pub fn name(key: Key) -> String {
    match key {
        Key::Char(' ') => "space".to_owned(),
        Key::Char(c) => c.to_string(),
        Key::Digit => "0-9".to_owned(),
        Key::Enter => "Enter".to_owned(),
        Key::Esc => "Esc".to_owned(),
        Key::Backspace => "Backspace".to_owned(),
        Key::Up => "Up".to_owned(),
        Key::Down => "Down".to_owned(),
        Key::Left => "Left".to_owned(),
        Key::Right => "Right".to_owned(),
        Key::Tab => "Tab".to_owned(),
        Key::BackTab => "Shift-Tab".to_owned(),
        Key::PageUp => "PageUp".to_owned(),
        Key::PageDown => "PageDown".to_owned(),
    }
}

/// The table with what one key does alike in several places in one row: its keys, where, and what.
fn rows() -> Vec<(String, String, &'static str)> {
    let mut rows: Vec<(Vec<String>, Vec<&str>, &'static str)> = Vec::new();
    for action in ACTIONS {
        let keys: Vec<String> = action.keys.iter().map(|key| name(*key)).collect();
        let places = action.places.iter().map(|place| place.word());
        match rows.iter_mut().find(|(other, _, help)| *other == keys && *help == action.help) {
            Some((_, known, _)) => known.extend(places),
            None => rows.push((keys, places.collect(), action.help)),
        }
    }
    rows.into_iter().map(|(keys, places, help)| (keys.join("\n"), places.join(", "), help)).collect()
}

/// The table of keys as Markdown, for the README.
#[must_use]
pub fn as_markdown() -> String {
    let mut text = String::from("| keys | where | what |\n| --- | --- | --- |\n");
    for (keys, places, help) in rows() {
        let keys: Vec<String> = keys.split('\n').map(|key| format!("`{key}`")).collect();
        text.push_str(&format!("| {} | {places} | {help} |\n", keys.join(" ")));
    }
    text
}

/// The table of keys in lines of text.
#[must_use]
pub fn as_lines() -> Vec<String> {
    let line =
        |(keys, places, help): (String, String, &str)| format!("{}: {help} ({places})", keys.replace('\n', " or "));
    rows().into_iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_does_two_things_in_one_place() {
        assert_eq!(super::super::keys::Keys::default().check(), Ok(()));
    }

    #[test]
    fn everything_can_be_reached_by_letters_and_is_explained() {
        let given = [Key::Enter, Key::Esc, Key::Backspace, Key::Digit];
        for action in ACTIONS {
            assert!(!action.help.is_empty() && !action.places.is_empty(), "{:?}", action.id);
            let plain = |key: &Key| {
                given.contains(key) || matches!(key, Key::Char(c) if c.is_ascii_alphanumeric() || " ?".contains(*c))
            };
            // Scrolling by the tenth and going back a field are conveniences: single steps and Enter do the same.
            let eases = matches!(
                action.id,
                Id::PageUp | Id::PageDown | Id::NextField | Id::PreviousField | Id::Take | Id::TakeBack | Id::Earlier
            );
            assert!(eases || action.keys.iter().any(plain), "{:?} needs more than letters and digits", action.id);
        }
    }
}
