//! Every key and what it does: the one table behind dispatch, the hint line, the help and the printed table of keys.

mod cells;
mod doing;
mod going;
mod id;
mod plan;
mod round;
mod seeing;
mod typing;
mod whens;

pub use id::Id;

use super::keys::Keys;
use super::message::Key;
use super::model::{Model, Overlay, Page};

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
    /// A text to be read: why, a report.
    Text,
    /// The list of a page's actions.
    Palette,
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
            Self::Palette => "all keys",
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

use Where::{Batch, Benches, Hand, InHand, Journal, Morning, Place, Plan, Question, Repacking, Tonight};

const PLANTS: &[Where] = &[Morning, Batch, Tonight, Benches, Place];
const PAGES: &[Where] = &[Morning, Batch, Tonight, Benches, Place, Plan, InHand, Journal];

const HOW: &str = "how this was come by: rule, figures, sources";
const IN_HAND: &str = "trays and pots: owned, in use, to be washed, clean, short";
const DRAWN_LARGE: &str = "the bench drawn large: pick up, turn, nudge, pin, repack on the screen";

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

/// The table, chapter by chapter; in each place what is wanted most comes first.
const CHAPTERS: [&[Action]; 7] =
    [doing::TABLE, plan::TABLE, seeing::TABLE, round::TABLE, going::TABLE, cells::TABLE, typing::TABLE];

/// Every action there is.
pub fn actions() -> impl Iterator<Item = &'static Action> {
    CHAPTERS.into_iter().flatten()
}

/// Where keys go now.
#[must_use]
pub fn place(model: &Model) -> Where {
    match model.overlays.last() {
        Some(Overlay::Form(_)) => Where::Form,
        Some(Overlay::Line(_)) => Where::Line,
        Some(Overlay::Menu(_)) => Where::Menu,
        Some(Overlay::Question(_)) => Where::Question,
        Some(Overlay::Why { .. } | Overlay::Text { .. }) => Where::Text,
        Some(Overlay::Help(palette)) if palette.finding => Where::Filter,
        Some(Overlay::Help(_)) => Where::Palette,
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

/// True where the settings may change an action's letters: it has one, and it is not an answer to a question.
#[must_use]
pub fn is_changeable(action: &Action) -> bool {
    action.keys.iter().any(|key| matches!(key, Key::Char(_))) && !action.places.contains(&Question)
}

/// A row of the table of keys: what one action does alike in several places.
struct Row {
    id: Id,
    keys: Vec<String>,
    places: Vec<&'static str>,
    help: &'static str,
    /// True when its letters can be changed.
    changeable: bool,
}

fn rows(in_force: &Keys) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for action in actions() {
        let keys: Vec<String> = in_force.of(action).into_iter().map(name).collect();
        let places = action.places.iter().map(|place| place.word());
        let same = |row: &&mut Row| row.id == action.id && row.keys == keys && row.help == action.help;
        match rows.iter_mut().find(same) {
            Some(row) => row.places.extend(places),
            None => {
                let changeable = is_changeable(action);
                rows.push(Row { id: action.id, keys, places: places.collect(), help: action.help, changeable });
            }
        }
    }
    rows
}

/// The table of keys as Markdown, for the README; the name is what `settings.toml` knows an action by.
#[must_use]
pub fn as_markdown() -> String {
    let mut text = String::from("| keys | where | what | name |\n| --- | --- | --- | --- |\n");
    for Row { id, keys, places, help, changeable } in rows(&Keys::default()) {
        let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
        let name = if changeable { id.word() } else { "" };
        text.push_str(&format!("| {} | {} | {help} | {name} |\n", keys.join(" "), places.join(", ")));
    }
    text
}

/// The table of the keys in force in lines of text.
#[must_use]
pub fn as_lines(in_force: &Keys) -> Vec<String> {
    let line = |row: Row| {
        let name = if row.changeable { format!("; in settings.toml: {}", row.id.word()) } else { String::new() };
        format!("{}: {} ({}{name})", row.keys.join(" or "), row.help, row.places.join(", "))
    };
    rows(in_force).into_iter().map(line).collect()
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
        for action in actions() {
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
