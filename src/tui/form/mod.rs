//! Forms: an act being filled in, field by field, with what was done last time as the defaults.
//!
//! A form composes a line of the command line's own grammar, so that a value means the same wherever it is typed, and
//! is refused in the same words.

mod acts;
mod field;
mod hand;
mod lists;
mod open;
mod refused;
mod room;
mod site;

use crate::desk::{Board, Meant};
use crate::grammar::{Command, Step, parse, quoted};
use crate::quantity::{BatchId, Date, PartId};

pub use acts::{read, sow};
pub(super) use acts::{stood_words, up_words};
pub use field::{Asked, Choice, Field, Free, Takes};
pub use hand::{own, wash};
pub use lists::moved_into;
pub use open::{Verb, meant, open};
pub use refused::in_keys;
pub use room::{Rooms, with_room};
pub use site::{add_menu, forecast_menu, places_menu};

use super::message::{Dated, Key};

/// The name of the field in which one of several parts is chosen.
const PART: &str = "part";
/// The name of the field for how many plants, and of that for how many seeds or pieces.
const PLANTS: &str = "plants";
const NUMBER: &str = "number";
/// The names of the fields for what new plants stand in, and where.
const INTO: &str = "into";
const IN: &str = "in";
const AT: &str = "at";
/// The name of the field for the day it happened, and what it says until another day is typed.
const ON: &str = "on";
const TODAY: &str = "today";

/// What a key did to a form.
#[derive(Clone, Debug, PartialEq)]
pub enum Pressed {
    /// It goes on.
    On,
    /// It is ready to be logged.
    Ready(Box<Dated>),
    /// What was typed cannot be understood; [`Form::refuse`] says so.
    Refused(String),
}

/// An act being filled in.
#[derive(Clone, Debug)]
pub struct Form {
    /// What is done: `sow`, `count`.
    pub title: String,
    /// To what: the batch and where it stands.
    pub about: String,
    /// Why it is filled in as it is, where that is not last time's.
    pub advised: Option<String>,
    /// The words before those of the fields.
    pub head: Vec<String>,
    /// The fields, first first; never empty.
    pub fields: Vec<Field>,
    /// The field that keys go to.
    pub focus: usize,
    /// Why it was refused.
    pub trouble: Option<String>,
    /// True when a space has just led to the field: what does not belong there may be the day.
    pub by_space: bool,
    /// The room there is for what is set down.
    pub rooms: Rooms,
    /// The part that plants are taken from, when taking more than stand may be a recount.
    pub taken_from: Option<PartId>,
    /// What it does, and to which parts, where it hangs on how they stand.
    pub of: Option<(Verb, Vec<PartId>)>,
    /// The words for parts as they were when it was opened, and the batch that each then meant.
    pub named: Vec<(String, Meant)>,
}

impl Form {
    /// A form that nothing was typed in yet: its title, what it is about, the words before those of the fields, and these.
    #[must_use]
    pub fn new(title: &str, about: impl Into<String>, head: &[&str], fields: Vec<Field>) -> Self {
        Self {
            title: title.to_owned(),
            about: about.into(),
            advised: None,
            head: head.iter().map(|word| (*word).to_owned()).collect(),
            fields,
            focus: 0,
            trouble: None,
            by_space: false,
            rooms: Rooms::default(),
            taken_from: None,
            of: None,
            named: Vec::new(),
        }
    }

    /// The same with a field for the day it happened, which is today's until another is typed.
    #[must_use]
    pub fn dated(mut self) -> Self {
        let words = |text: &str| if text == TODAY { Vec::new() } else { vec![format!("--on={text}")] };
        let day = Field::text(ON, TODAY, words).asked(Asked::Never);
        self.fields.push(day.hint("the day it happened: yesterday, -3d, mon, 12 apr"));
        self
    }

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
        // The day goes before a remark, which takes all that is behind it.
        let of = |day: bool| self.fields.iter().filter(move |field| (field.label == ON) == day).flat_map(Field::words);
        self.head.iter().cloned().chain(of(true)).chain(of(false)).collect()
    }

    /// The batches that its words meant when it was opened.
    #[must_use]
    pub fn meant(&self) -> Vec<Meant> {
        let words = self.words();
        let said = self.named.iter().filter(|(word, _)| words.contains(word));
        said.map(|(_, batch)| batch.clone()).collect()
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
    pub fn request(&self, on: Date) -> Result<Dated, String> {
        request(&self.words(), on)
    }

    /// Takes a key.
    pub fn press(&mut self, key: Key, on: Date) -> Pressed {
        self.trouble = None;
        if let Some(field) = self.fields.get_mut(self.focus) {
            field.seen = true;
        }
        let by_space = std::mem::take(&mut self.by_space);
        match key {
            Key::Enter => {
                // The number typed behind the seed is the next field's, and done with too.
                if self.carry(true) && self.is_stopped() {
                    return Pressed::On;
                }
                return self.enter(on);
            }
            Key::Tab => {
                self.carry(true);
                self.lead_on();
            }
            Key::BackTab => self.go(-1),
            Key::Up | Key::Down => {
                let down = key == Key::Down;
                let stepped = self.fields.get_mut(self.focus).is_some_and(|field| field.step(down));
                self.fit_now();
                match (stepped, down) {
                    (true, _) => {
                        self.is_stopped();
                    }
                    (false, true) => self.lead_on(),
                    (false, false) => self.go(-1),
                }
            }
            Key::Char(c) => {
                self.type_in(c, by_space);
                self.fit_now();
            }
            // On a keyboard without the keys above there is still a way back.
            Key::Backspace if self.focus > 0 && self.field().is_some_and(|here| here.input.value().is_empty()) => {
                self.go(-1);
            }
            other => {
                if let Some(field) = self.fields.get_mut(self.focus) {
                    field.edit(other);
                }
                self.fit_now();
                self.is_stopped();
            }
        }
        Pressed::On
    }

    /// Says so where keys go to a field that holds what cannot be meant.
    fn is_stopped(&mut self) -> bool {
        let wrong = self.field().filter(|here| here.is_wrong()).map(Field::wrong);
        let stopped = wrong.is_some();
        self.trouble = wrong.or_else(|| self.trouble.take());
        stopped
    }

    /// On to the next field, unless this one holds what cannot be meant.
    fn lead_on(&mut self) {
        if !self.is_stopped() {
            self.bring();
            self.go(1);
        }
    }

    /// Takes the last word on to the next field where it belongs to no name here; true when it did.
    fn carry(&mut self, left: bool) -> bool {
        let Some(next) = self.fields.get(self.focus + 1).cloned() else { return false };
        let Some(here) = self.fields.get_mut(self.focus) else { return false };
        let before = here.clone();
        let Some(word) = here.part_with(left) else { return false };
        // Where it belongs neither here nor there it stays as it was typed, and is shown as wrong.
        if !word.chars().next().is_none_or(|c| next.accepts(c)) {
            *here = before;
            return false;
        }
        self.bring();
        self.go(1);
        if let Some(field) = self.fields.get_mut(self.focus) {
            field.seen = true;
        }
        word.chars().for_each(|c| self.type_in(c, false));
        true
    }

    fn type_in(&mut self, c: char, by_space: bool) {
        // A number behind the seed is whole now: it is of the next field.
        if c == ' ' && self.carry(true) {
            return self.type_in(c, false);
        }
        let led = self.led_to(c);
        let day = self.fields.iter().position(|field| field.label == ON).filter(|day| *day > self.focus);
        let Some(field) = self.fields.get_mut(self.focus) else { return };
        let is_untyped = field.fresh || field.input.value().is_empty();
        if c == ' ' && (is_untyped || !field.takes_space()) {
            // No word begins with a blank: so it leads on, whatever the letters of the lists are.
            let seed = matches!(field.takes, Takes::OneOf { free: Free::Seed(_), .. });
            let twice = !is_untyped && !seed && field.input.value().ends_with(' ');
            self.lead_on();
            if twice && self.trouble.is_none() {
                self.lead_on();
            }
            self.by_space = true;
            return;
        }
        if let Some(day) = day.filter(|_| by_space && is_untyped && field.asked == Asked::Never && !field.accepts(c)) {
            // What follows the last name, and is not what nobody has to say there, is the day.
            self.focus = day;
            self.fields[day].put(c);
            return;
        }
        if let Some(at) = led {
            self.focus = at;
            if self.fields[at].is_yes_or_no() {
                self.fields[at].step(true);
            } else if c.is_ascii_digit() {
                self.fields[at].put(c);
            }
            return;
        }
        field.put(c);
        if !self.carry(false) {
            self.is_stopped();
        }
    }

    /// The field that a letter leads to from a number, where it does not belong, and from a yes or no; from a list, how
    /// many plants by a digit.
    fn led_to(&self, c: char) -> Option<usize> {
        // Parts of one batch are told by their letters: so a digit is how many.
        let of_one = |here: &Field| here.label == PART && c.is_ascii_digit() && here.is_of_one_number();
        let here = self.field().filter(|here| (!here.accepts(c) || of_one(here)) && !here.is_wrong())?;
        // A bench that is not there, frame/3, is no number of plants.
        let in_a_name = here.input.value().ends_with(['/', ' ', '-']);
        let by_letter = matches!(here.takes, Takes::Number { .. }) || here.is_yes_or_no();
        let leads = |other: &Field| match c {
            '0'..='9' => other.label == PLANTS && !in_a_name,
            c => by_letter && other.label.starts_with(c.to_ascii_lowercase()),
        };
        self.fields.iter().position(leads).filter(|at| *at != self.focus)
    }

    /// True when the first letter of a field's name leads to it from where keys go now.
    #[must_use]
    pub fn is_led_to(&self, at: usize) -> bool {
        let first = self.fields.get(at).and_then(|field| field.label.chars().next());
        first.is_some_and(|first| self.led_to(first) == Some(at))
    }

    fn go(&mut self, by: isize) {
        let count = self.fields.len().max(1);
        self.focus = self.focus.saturating_add_signed(by.rem_euclid(isize::try_from(count).unwrap_or(1))) % count;
    }

    /// The next field that Enter stops at. Who goes to an answer that is not asked for, or gives another than the one that
    /// stood there, is shown those behind it too.
    fn next_wanted(&self) -> Option<usize> {
        let is_list = |here: &Field| matches!(here.takes, Takes::OneOf { .. });
        let by_choice =
            self.field().is_some_and(|here| here.asked == Asked::IfEmpty || is_list(here) && !here.is_as_opened());
        let wants = |field: &Field| match field.asked {
            Asked::Needed | Asked::Always => true,
            Asked::IfEmpty => by_choice || !field.is_filled(),
            Asked::Never => false,
        };
        self.fields.iter().skip(self.focus + 1).position(wants).map(|at| self.focus + 1 + at)
    }

    /// True when Enter ends the form: nothing behind is still asked.
    #[must_use]
    pub fn is_at_its_end(&self) -> bool {
        let to_see = |(at, field): (usize, &Field)| {
            at != self.focus && !field.seen && matches!(field.asked, Asked::Needed | Asked::Always)
        };
        self.next_wanted().is_none() && !self.fields.iter().enumerate().any(to_see)
    }

    /// On to the next field that wants something, or the end.
    fn enter(&mut self, on: Date) -> Pressed {
        if self.is_stopped() {
            return Pressed::On;
        }
        let is_empty = |field: &Field| field.asked == Asked::Needed && !field.is_filled();
        if self.field().is_some_and(is_empty) {
            self.needs(self.focus);
            return Pressed::On;
        }
        let typed_none = self.field().is_some_and(|here| here.input.value().trim().is_empty());
        if self.fields.get_mut(self.focus).is_some_and(Field::begin_seed) {
            let here = &mut self.fields[self.focus];
            let crop = here.input.value().trim().to_owned();
            if typed_none {
                here.input.reset();
            }
            self.trouble =
                Some(if typed_none { "what is needed".to_owned() } else { format!("of {crop} the variety?") });
            return Pressed::On;
        }
        self.bring();
        if let Some(at) = self.next_wanted() {
            self.focus = at;
            return Pressed::On;
        }
        // What was passed over on the way to a later field.
        let unseen = |field: &Field| !field.seen && matches!(field.asked, Asked::Needed | Asked::Always);
        if let Some(at) = self.fields.iter().position(unseen) {
            self.focus = at;
            return Pressed::On;
        }
        // A list that nothing was chosen from; of the others the grammar says which are needed.
        let empty = |field: &Field| {
            is_empty(field)
                || matches!(field.takes, Takes::OneOf { .. }) && field.asked != Asked::Never && !field.is_filled()
        };
        if let Some(at) = self.fields.iter().position(empty) {
            self.needs(at);
            return Pressed::On;
        }
        if let Some(at) = self.fields.iter().position(Field::is_wrong) {
            self.focus = at;
            self.is_stopped();
            return Pressed::On;
        }
        match self.request(on) {
            Ok(dated) => Pressed::Ready(Box::new(dated)),
            Err(line) => Pressed::Refused(line),
        }
    }

    /// What usually goes with what was chosen here stands in the fields for it, until something is typed there; and what
    /// has to be known with it is asked for.
    fn bring(&mut self) {
        let asks = self.field().and_then(Field::chosen_or_beside).and_then(|choice| choice.asks);
        if let Some(field) = self.fields.iter_mut().find(|field| Some(field.label) == asks) {
            field.asked = Asked::Always;
        }
        let brought = self.field().and_then(Field::chosen).and_then(|choice| choice.brings.clone());
        if let Some((label, usual)) = brought
            && let Some(field) = self.fields.iter_mut().find(|field| field.label == label)
        {
            field.be_usually(&usual);
        }
    }

    /// Asks after a new variety in whose name a number, a container or a bench stands: likelier the fields behind it.
    #[must_use]
    pub fn odd_variety(&self, board: &Board) -> Option<String> {
        let new = |field: &&Field| {
            matches!(field.takes, Takes::OneOf { free: Free::Seed(_), .. }) && field.chosen().is_none()
        };
        let words = self.fields.iter().find(new)?.words();
        let [crop, variety] = words.as_slice() else { return None };
        let is_kind = |word: &str| {
            board.containers.iter().any(|(name, _)| name.same_as(word))
                || board.state.benches.values().any(|bench| bench.name.same_as(word))
                || board.state.places.values().any(|place| place.name.same_as(word))
        };
        let odd = |word: &str| word.contains('/') || word.starts_with(|c: char| c.is_ascii_digit()) || is_kind(word);
        variety
            .split_whitespace()
            .any(odd)
            .then(|| format!("A new variety of {crop}, called '{variety}': is that all its name?"))
    }

    fn needs(&mut self, at: usize) {
        self.trouble = Some(format!("{} is needed", self.fields[at].label));
        self.focus = at;
    }
}

/// What words of the command line ask to be logged.
///
/// # Errors
/// In one line, what is wrong with them.
pub fn request(words: &[String], on: Date) -> Result<Dated, String> {
    match parse(words, on) {
        Ok(invocation) => match invocation.command {
            Some(Command::Step(Step::Act(request))) => Ok(Dated { request, on: invocation.on.unwrap_or(on) }),
            _ => Err("this is not something to log".to_owned()),
        },
        Err(error) if error.hint.is_empty() => Err(error.message),
        Err(error) => Err(format!("{}; {}", error.message, error.hint)),
    }
}

/// A part as the grammar reads it: with its year, and of two batches of one number with which, so that it can mean
/// nothing else.
#[must_use]
pub fn part_word(board: &Board, id: PartId) -> Option<String> {
    let part = board.state.parts.get(&id)?;
    Some(format!("{:#}", board.state.part_label(part)))
}

/// A batch in the same way.
#[must_use]
pub fn batch_word(board: &Board, id: BatchId) -> Option<String> {
    Some(board.state.batches.get(&id)?.label.to_string())
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
