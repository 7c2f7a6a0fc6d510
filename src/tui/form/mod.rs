//! Forms: an act being filled in, field by field, with what was done last time as the defaults.
//!
//! A form composes a line of the command line's own grammar, so that a value means the same wherever it is typed, and
//! is refused in the same words.

mod acts;
mod field;
mod hand;
mod lists;
mod open;
mod room;
mod site;

use crate::desk::Board;
use crate::grammar::{Command, Request, Step, parse, quoted};
use crate::quantity::{BatchId, Date, PartId};

pub use acts::sow;
pub(super) use acts::{stood_words, up_words};
pub use field::{Asked, Choice, Field, Free, Takes};
pub use hand::{own, wash};
pub use open::{Verb, open};
pub use room::with_room;
pub use site::{add_menu, forecast_menu, places_menu};

use super::message::Key;

/// The name of the field in which one of several parts is chosen.
const PART: &str = "part";

/// What a key did to a form.
#[derive(Clone, Debug, PartialEq)]
pub enum Pressed {
    /// It goes on.
    On,
    /// It is ready to be logged.
    Ready(Box<Request>),
}

/// An act being filled in.
#[derive(Clone, Debug)]
pub struct Form {
    /// What is done: `sow`, `count`.
    pub title: String,
    /// To what: the batch and where it stands.
    pub about: String,
    /// The words before those of the fields.
    pub head: Vec<String>,
    /// The fields, first first; never empty.
    pub fields: Vec<Field>,
    /// The field that keys go to.
    pub focus: usize,
    /// Why it was refused.
    pub trouble: Option<String>,
    /// The part that plants are taken from, when taking more than stand may be a recount.
    pub taken_from: Option<PartId>,
}

impl Form {
    /// The field that keys go to.
    #[must_use]
    pub fn field(&self) -> Option<&Field> {
        self.fields.get(self.focus)
    }

    /// True while no field was touched.
    #[must_use]
    pub fn is_as_opened(&self) -> bool {
        self.fields.iter().all(Field::is_as_opened)
    }

    /// What it says so far in the words of the command line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        self.head.iter().cloned().chain(self.fields.iter().flat_map(Field::words)).collect()
    }

    /// What it is about, in the words of the command line: those behind the command, and those a part is chosen from.
    #[must_use]
    pub fn parts(&self) -> Vec<String> {
        let asked = self.fields.iter().find(|field| field.label == PART);
        let choices = asked.into_iter().flat_map(|field| match &field.takes {
            Takes::OneOf { choices, .. } => choices.iter().flat_map(|choice| choice.words.clone()).collect(),
            _ => Vec::new(),
        });
        self.head.iter().skip(1).cloned().chain(choices).collect()
    }

    /// What it says so far as one would type it in a shell.
    #[must_use]
    pub fn line(&self) -> String {
        let word = |word: &String| match word.strip_prefix("--").and_then(|option| option.split_once('=')) {
            Some((option, value)) => format!("--{option} {}", quoted(value)),
            None => quoted(word).into_owned(),
        };
        self.words().iter().map(word).collect::<Vec<_>>().join(" ")
    }

    /// What it asks for.
    ///
    /// # Errors
    /// In one line, what is wrong with what was typed.
    pub fn request(&self, on: Date) -> Result<Request, String> {
        request(&self.words(), on)
    }

    /// Takes a key.
    pub fn press(&mut self, key: Key, on: Date) -> Pressed {
        self.trouble = None;
        match key {
            Key::Enter => return self.enter(on),
            Key::Tab => self.go(1),
            Key::BackTab => self.go(-1),
            Key::Up | Key::Down => {
                let down = key == Key::Down;
                let stepped = self.fields.get_mut(self.focus).is_some_and(|field| field.step(down));
                if !stepped {
                    self.go(if down { 1 } else { -1 });
                }
            }
            Key::Char(c) => self.type_in(c),
            other => {
                if let Some(field) = self.fields.get_mut(self.focus) {
                    field.edit(other);
                }
            }
        }
        Pressed::On
    }

    fn type_in(&mut self, c: char) {
        let Some(field) = self.fields.get_mut(self.focus) else { return };
        if field.accepts(c) {
            field.put(c);
            return;
        }
        let is_number = matches!(field.takes, Takes::Number { .. });
        let wanted = |other: &Field| match other.takes {
            Takes::Number { .. } => c.is_ascii_digit(),
            _ => false,
        };
        let leads = |other: &Field| is_number && other.label.starts_with(c.to_ascii_lowercase());
        if let Some(at) = self.fields.iter().position(|other| leads(other) || wanted(other)) {
            self.focus = at;
            if c.is_ascii_digit() {
                self.fields[at].put(c);
            }
        }
    }

    fn go(&mut self, by: isize) {
        let count = self.fields.len().max(1);
        self.focus = self.focus.saturating_add_signed(by.rem_euclid(isize::try_from(count).unwrap_or(1))) % count;
    }

    /// On to the next field that wants something, or the end.
    fn enter(&mut self, on: Date) -> Pressed {
        let wants = |field: &Field| match field.asked {
            Asked::Always => true,
            Asked::IfEmpty => !field.is_filled(),
            Asked::Never => false,
        };
        if let Some(at) = self.fields.iter().skip(self.focus + 1).position(wants) {
            self.focus += 1 + at;
            return Pressed::On;
        }
        // A list that nothing was chosen from; of numbers and texts the grammar says which are needed.
        let empty = |field: &Field| {
            matches!(field.takes, Takes::OneOf { .. }) && field.asked != Asked::Never && !field.is_filled()
        };
        if let Some(at) = self.fields.iter().position(empty) {
            self.trouble = Some(format!("{} is needed", self.fields[at].label));
            self.focus = at;
            return Pressed::On;
        }
        match self.request(on) {
            Ok(request) => Pressed::Ready(Box::new(request)),
            Err(line) => {
                self.trouble = Some(line);
                Pressed::On
            }
        }
    }
}

/// What words of the command line ask to be logged.
///
/// # Errors
/// In one line, what is wrong with them.
pub fn request(words: &[String], on: Date) -> Result<Request, String> {
    match parse(words, on) {
        Ok(invocation) => match invocation.command {
            Some(Command::Step(Step::Act(request))) => Ok(request),
            _ => Err("this is not something to log".to_owned()),
        },
        Err(error) if error.hint.is_empty() => Err(error.message),
        Err(error) => Err(format!("{}; {}", error.message, error.hint)),
    }
}

/// A part as the grammar reads it: with its year, so that it can mean nothing else.
/// A part as the grammar reads it: with its year, and of two batches of one number with which, so that it can mean
/// nothing else.
#[must_use]
pub fn part_word(board: &Board, id: PartId) -> Option<String> {
    let part = board.state.parts.get(&id)?;
    Some(match board.namesakes.get(&part.batch) {
        Some(twin) => format!("{twin}{}", part.letter),
        None => format!("{:#}", board.state.part_label(part)),
    })
}

/// A batch in the same way.
#[must_use]
pub fn batch_word(board: &Board, id: BatchId) -> Option<String> {
    let batch = board.state.batches.get(&id)?;
    Some(board.namesakes.get(&id).map_or_else(|| batch.label.to_string(), ToString::to_string))
}

/// The part of a word, or the parts of a batch of one; as [`part_word`] and [`batch_word`] write them.
#[must_use]
pub fn parts_named(board: &Board, word: &str) -> Vec<PartId> {
    let is = |id: PartId, batch: BatchId| {
        part_word(board, id).is_some_and(|other| other == word)
            || batch_word(board, batch).is_some_and(|other| other == word)
    };
    board.state.parts.iter().filter(|(id, part)| is(**id, part.batch)).map(|(id, _)| *id).collect()
}
