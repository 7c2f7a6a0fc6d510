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
    /// The benches.
    Benches,
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
use Where::{Batch, Benches, Form, Journal, Menu, Morning, Question, Text};

const PLANTS: &[Where] = &[Morning, Batch, Benches];
const PAGES: &[Where] = &[Morning, Batch, Benches, Journal];

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
    may_log(model) && model.cursor().section == Section::Today && !model.due().is_empty()
}

fn has_row(model: &Model) -> bool {
    model.row_key().is_some() || !model.typed.is_empty()
}

fn is_out(model: &Model) -> bool {
    may_log(model) && model.board.state.containers.values().any(|held| held.out.is_some())
}

fn looks_back(model: &Model) -> bool {
    model.on < model.today
}

macro_rules! act {
    ($verb:ident, $key:literal, $hint:literal, $help:literal) => {
        Action {
            id: Id::Open(Verb::$verb),
            keys: &[Char($key)],
            places: PLANTS,
            when: has_plants,
            hint: $hint,
            help: $help,
        }
    };
}

/// The table, what is wanted most first.
pub const ACTIONS: &[Action] = &[
    Action {
        id: Id::Attend,
        keys: &[Char('a')],
        places: &[Morning],
        when: on_due,
        hint: "do it",
        help: "do what the line of today's work asks for",
    },
    act!(Count, 'c', "count", "count what is up (54), the gaps (-6) or what stands (50s)"),
    Action {
        id: Id::Open(Verb::Sow),
        keys: &[Char('s')],
        places: PLANTS,
        when: may_sow,
        hint: "sow",
        help: "sow: seed, number, container and bench as last time",
    },
    act!(PotOn, 'p', "pot on", "prick out or pot on; more than the log has is a recount"),
    act!(Move, 'm', "move", "move to another bench: this row, or all that are marked"),
    act!(Lose, 'l', "lost", "note plants that died"),
    Action {
        id: Id::OutAgain,
        keys: &[Char('o')],
        places: PLANTS,
        when: has_plants,
        hint: "out",
        help: "put out for the day: the group that went out last, or what is marked",
    },
    Action {
        id: Id::In,
        keys: &[Char('i')],
        places: PLANTS,
        when: is_out,
        hint: "in",
        help: "bring home all that are out",
    },
    Action {
        id: Id::Show,
        keys: &[Key::Enter],
        places: &[Morning, Benches],
        when: has_row,
        hint: "open",
        help: "open the batch: the row's, or the number typed",
    },
    Action {
        id: Id::Undo,
        keys: &[Char('u')],
        places: PAGES,
        when: may_log,
        hint: "undo",
        help: "take back the newest act",
    },
    Action {
        id: Id::Redo,
        keys: &[Char('r')],
        places: PAGES,
        when: may_log,
        hint: "",
        help: "bring back what was taken back",
    },
    Action {
        id: Id::UndoThis,
        keys: &[Char('x')],
        places: &[Journal],
        when: may_log,
        hint: "undo this",
        help: "take back the act under the cursor, and ask before others go with it",
    },
    Action {
        id: Id::Find,
        keys: &[Char('f'), Char('/')],
        places: &[Journal],
        when: always,
        hint: "find",
        help: "type words to keep only the acts that have them",
    },
    Action {
        id: Id::Why,
        keys: &[Char('w')],
        places: PLANTS,
        when: has_row,
        hint: "why",
        help: "how this was come by: rule, figures, sources",
    },
    Action {
        id: Id::Mark,
        keys: &[Char(' ')],
        places: PLANTS,
        when: has_row,
        hint: "mark",
        help: "mark the row, to move or put out several together",
    },
    Action {
        id: Id::Benches,
        keys: &[Char('b')],
        places: &[Morning, Batch, Journal],
        when: always,
        hint: "benches",
        help: "what stands on each bench, and what is free",
    },
    Action {
        id: Id::Journal,
        keys: &[Char('h')],
        places: &[Morning, Batch, Benches],
        when: always,
        hint: "journal",
        help: "every act, newest first",
    },
    Action {
        id: Id::Add,
        keys: &[Char('A'), Char('z')],
        places: PLANTS,
        when: may_log,
        hint: "add",
        help: "add a place, a bench, seed, or a tray of young plants",
    },
    act!(Grow, 'g', "", "note growth: leaves, height, leggy, roots at the holes"),
    act!(Note, 'n', "", "write a remark about the batch"),
    act!(Thin, 't', "", "thin"),
    act!(Discard, 'x', "", "throw away live plants"),
    act!(GiveAway, 'v', "", "give away"),
    act!(PlantOut, 'f', "", "plant out: in the final place"),
    act!(Clear, 'e', "", "empty the container: the row's, or all that are marked"),
    Action {
        id: Id::Open(Verb::Read),
        keys: &[Char('R')],
        places: PLANTS,
        when: may_sow,
        hint: "",
        help: "note what a thermometer says: lowest, highest",
    },
    Action {
        id: Id::Open(Verb::Line),
        keys: &[Char('L'), Char(':')],
        places: PLANTS,
        when: may_log,
        hint: "",
        help: "any act in the words of the command line",
    },
    act!(Out, 'O', "", "put this out for the day, and choose where"),
    Action {
        id: Id::Number,
        keys: &[Key::Digit],
        places: PLANTS,
        when: always,
        hint: "",
        help: "type a batch's number, then the key of the act",
    },
    Action {
        id: Id::Erase,
        keys: &[Key::Backspace],
        places: PLANTS,
        when: always,
        hint: "",
        help: "take back a digit of the number",
    },
    Action {
        id: Id::Down,
        keys: &[Key::Down, Char('j')],
        places: &[Morning, Batch, Benches, Journal, Text],
        when: always,
        hint: "",
        help: "one row down",
    },
    Action {
        id: Id::Up,
        keys: &[Key::Up, Char('k')],
        places: &[Morning, Batch, Benches, Journal, Text],
        when: always,
        hint: "",
        help: "one row up",
    },
    Action {
        id: Id::NextSection,
        keys: &[Key::Tab, Char('y')],
        places: &[Morning],
        when: has_plants,
        hint: "next part",
        help: "on to the next part of the page",
    },
    Action {
        id: Id::PageDown,
        keys: &[Key::PageDown, Key::Right],
        places: &[Morning, Batch, Benches, Journal, Text],
        when: always,
        hint: "",
        help: "ten rows down",
    },
    Action {
        id: Id::PageUp,
        keys: &[Key::PageUp, Key::Left],
        places: &[Morning, Batch, Benches, Journal, Text],
        when: always,
        hint: "",
        help: "ten rows up",
    },
    Action {
        id: Id::DayBack,
        keys: &[Char('d')],
        places: PAGES,
        when: always,
        hint: "",
        help: "look at the day before; other days can be read, not written",
    },
    Action {
        id: Id::DayAhead,
        keys: &[Char('D')],
        places: PAGES,
        when: looks_back,
        hint: "",
        help: "look at the day after",
    },
    Action {
        id: Id::Today,
        keys: &[Char('T')],
        places: PAGES,
        when: looks_back,
        hint: "",
        help: "back to the day it is",
    },
    Action {
        id: Id::Back,
        keys: &[Key::Esc, Char('q')],
        places: &[Batch, Benches, Journal, Text],
        when: always,
        hint: "back",
        help: "back",
    },
    Action {
        id: Id::Back,
        keys: &[Key::Esc],
        places: &[Morning, Form, Menu, Where::Filter],
        when: always,
        hint: "",
        help: "leave off: nothing half-entered is kept",
    },
    Action { id: Id::Help, keys: &[Char('?')], places: PAGES, when: always, hint: "", help: "this list" },
    Action {
        id: Id::Quit,
        keys: &[Char('q')],
        places: &[Morning],
        when: always,
        hint: "quit",
        help: "leave; everything is on the disk already",
    },
    Action {
        id: Id::Enter,
        keys: &[Key::Enter],
        places: &[Form, Where::Filter],
        when: always,
        hint: "next, then log",
        help: "next field that wants something; at the last, log it",
    },
    Action {
        id: Id::NextField,
        keys: &[Key::Tab, Key::Down],
        places: &[Form],
        when: always,
        hint: "choose or next field",
        help: "the next of a list, or the next field",
    },
    Action {
        id: Id::PreviousField,
        keys: &[Key::BackTab, Key::Up],
        places: &[Form],
        when: always,
        hint: "",
        help: "the one before",
    },
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
        None => page_place(model.page()),
    }
}

const fn page_place(page: Page) -> Where {
    match page {
        Page::Morning => Where::Morning,
        Page::Batch(_) => Where::Batch,
        Page::Benches => Where::Benches,
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
