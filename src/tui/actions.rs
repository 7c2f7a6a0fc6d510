//! Every key and what it does: the one table behind dispatch, the hint line, the help and the printed table of keys.

use super::form::Verb;
use super::message::Key;
use super::model::{Model, Overlay, Page};
use super::rows::Section;

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
    /// The filter of the acts, while it is typed.
    Filter,
    /// A form.
    Form,
    /// A menu.
    Menu,
    /// A question.
    Question,
    /// A text to be read: why, help.
    Text,
}

/// What a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
    Why,
    Help,
    Add,
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
    Journal,
    DayBack,
    DayAhead,
    Today,
    Quit,
    Enter,
    NextField,
    PreviousField,
    Yes,
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
use Where::{Batch, Benches, Form, Hand, InHand, Journal, Menu, Morning, Plan, Question, Repacking, Text, Tonight};

const PLANTS: &[Where] = &[Morning, Batch, Tonight, Benches];
const PAGES: &[Where] = &[Morning, Batch, Tonight, Benches, Plan, InHand, Journal];

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

fn looks_back(model: &Model) -> bool {
    model.on < model.today
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
    line(Id::BenchBefore, &[Char('B')], &[Plan, Hand], always, "", "back to the bench before"),
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
        &[Morning, Tonight, Benches],
        has_row,
        "open",
        "open the batch: the row's, or the number typed",
    ),
    line(Id::Undo, &[Char('u')], PAGES, may_log, "undo", "take back the newest act"),
    line(Id::Redo, &[Char('r')], PAGES, may_log, "", "bring back what was taken back"),
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
    line(Id::Why, &[Char('w')], &[Morning, Batch, Tonight, Benches, Plan], has_row, "why", HOW),
    line(Id::Mark, &[Char(' ')], PLANTS, has_row, "mark", "mark the row, to move or put out several together"),
    line(
        Id::Tonight,
        &[Char('n')],
        &[Morning, Batch, Benches, Journal],
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
    line(Id::Own, &[Char('o')], &[InHand], may_wash, "own", "say how many of this kind there are in all"),
    line(Id::InHand, &[Char('I')], &[Benches], always, "in hand", IN_HAND),
    line(Id::InHand, &[Char('I')], &[Morning, Batch, Tonight, Plan], always, "", IN_HAND),
    line(Id::OpenPlan, &[Char('P')], &[Benches], has_benches, "plan", DRAWN_LARGE),
    line(Id::OpenPlan, &[Char('P')], &[Morning, Batch, Tonight], has_benches, "", DRAWN_LARGE),
    line(
        Id::Benches,
        &[Char('b')],
        &[Morning, Batch, Tonight, Journal],
        always,
        "benches",
        "what stands on each bench, and what is free",
    ),
    line(Id::Journal, &[Char('h')], &[Morning, Batch, Tonight, Benches], always, "journal", "every act, newest first"),
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
    line(
        Id::Open(Verb::Line),
        &[Char('L'), Char(':')],
        PLANTS,
        may_log,
        "",
        "any act in the words of the command line",
    ),
    line(Id::Open(Verb::Out), &[Char('O')], PLANTS, has_plants, "", "put this out for the day, and choose where"),
    line(Id::Number, &[Key::Digit], PLANTS, always, "", "type a batch's number, then the key of the act"),
    line(Id::Erase, &[Key::Backspace], PLANTS, always, "", "take back a digit of the number"),
    line(
        Id::Down,
        &[Key::Down, Char('j')],
        &[Morning, Batch, Tonight, Benches, InHand, Journal, Text],
        always,
        "",
        "one row down",
    ),
    line(
        Id::Up,
        &[Key::Up, Char('k')],
        &[Morning, Batch, Tonight, Benches, InHand, Journal, Text],
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
        &[Morning, Batch, Tonight, Benches, InHand, Journal, Text],
        always,
        "",
        "ten rows down",
    ),
    line(
        Id::PageUp,
        &[Key::PageUp, Key::Left],
        &[Morning, Batch, Tonight, Benches, InHand, Journal, Text],
        always,
        "",
        "ten rows up",
    ),
    line(Id::DayBack, &[Char('d')], PAGES, always, "", "look at the day before; other days can be read, not written"),
    line(Id::DayAhead, &[Char('D')], PAGES, looks_back, "", "look at the day after"),
    line(Id::Today, &[Char('T')], PAGES, looks_back, "", "back to the day it is"),
    line(
        Id::Back,
        &[Key::Esc, Char('q')],
        &[Batch, Tonight, Benches, Plan, InHand, Journal, Text],
        always,
        "back",
        "back",
    ),
    line(
        Id::Back,
        &[Key::Esc],
        &[Morning, Form, Menu, Where::Filter],
        always,
        "",
        "leave off: nothing half-entered is kept",
    ),
    Action { id: Id::Help, keys: &[Char('?')], places: PAGES, when: always, hint: "", help: "this list" },
    line(Id::Quit, &[Char('q')], &[Morning], always, "quit", "leave; everything is on the disk already"),
    line(
        Id::Enter,
        &[Key::Enter],
        &[Form, Where::Filter],
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
    line(Id::PreviousField, &[Key::BackTab, Key::Up], &[Form], always, "", "the one before"),
    Action { id: Id::Yes, keys: &[Char('y'), Key::Enter], places: &[Question], when: always, hint: "yes", help: "yes" },
    Action { id: Id::Back, keys: &[Char('n'), Key::Esc], places: &[Question], when: always, hint: "no", help: "no" },
];

/// Where keys go now.
#[must_use]
pub fn place(model: &Model) -> Where {
    match model.overlays.last() {
        Some(Overlay::Form(_)) => Where::Form,
        Some(Overlay::Menu(_)) => Where::Menu,
        Some(Overlay::Question(_)) => Where::Question,
        Some(Overlay::Why { .. } | Overlay::Help { .. }) => Where::Text,
        None if model.filtering => Where::Filter,
        None if model.page() == Page::Plan && model.lifted.is_some() => Hand,
        None if model.page() == Page::Plan && model.proposal.is_some() => Repacking,
        None => page_place(model.page()),
    }
}

const fn page_place(page: Page) -> Where {
    match page {
        Page::Morning => Where::Morning,
        Page::Batch(_) => Where::Batch,
        Page::Tonight => Where::Tonight,
        Page::Benches => Where::Benches,
        Page::Plan => Where::Plan,
        Page::InHand => Where::InHand,
        Page::Journal => Where::Journal,
    }
}

/// What a key does in a place.
#[must_use]
pub fn action(place: Where, key: Key) -> Option<&'static Action> {
    let is = |wanted: &Key| match (wanted, key) {
        (Key::Digit, Key::Char(c)) => c.is_ascii_digit(),
        (wanted, key) => *wanted == key,
    };
    ACTIONS.iter().find(|action| action.places.contains(&place) && action.keys.iter().any(is))
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

/// The table of keys as Markdown, for the README.
#[must_use]
pub fn as_markdown() -> String {
    let mut text = String::from("| keys | where | what |\n| --- | --- | --- |\n");
    for action in ACTIONS {
        let keys: Vec<String> = action.keys.iter().map(|key| format!("`{}`", name(*key))).collect();
        let places: Vec<String> = action.places.iter().map(|place| format!("{place:?}").to_lowercase()).collect();
        text.push_str(&format!("| {} | {} | {} |\n", keys.join(" "), places.join(", "), action.help));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_does_two_things_in_one_place() {
        for (n, one) in ACTIONS.iter().enumerate() {
            for other in &ACTIONS[n + 1..] {
                for place in one.places.iter().filter(|place| other.places.contains(place)) {
                    for key in one.keys {
                        assert!(!other.keys.contains(key), "{key:?} in {place:?}: {} and {}", one.help, other.help);
                    }
                }
            }
        }
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
            let eases = matches!(action.id, Id::PageUp | Id::PageDown | Id::NextField | Id::PreviousField);
            assert!(eases || action.keys.iter().any(plain), "{:?} needs more than letters and digits", action.id);
        }
    }
}
