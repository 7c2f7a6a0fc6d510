//! One line of a form: a number, a text, or one of a list narrowed by typing.

use tui_input::{Input, InputRequest};

use crate::tui::message::Key;

/// One thing to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What the grower reads, and what typing is compared with.
    pub shown: String,
    /// What stands beside it: room, seeds left.
    pub beside: String,
    /// What it is in the words of the command line.
    pub words: Vec<String>,
    /// What another field, by its name, usually is with it.
    pub brings: Option<(&'static str, String)>,
    /// A field, by its name, that is asked for with it.
    pub asks: Option<&'static str>,
}

impl Choice {
    /// What is read, what stands beside it, and what it is in the words of the command line.
    #[must_use]
    pub fn new(shown: impl Into<String>, beside: impl Into<String>, words: Vec<String>) -> Self {
        Self { shown: shown.into(), beside: beside.into(), words, brings: None, asks: None }
    }
}

/// What a field takes.
#[derive(Clone, Debug)]
pub enum Takes {
    /// A number, perhaps with a sign before it or a letter behind it from the list.
    Number {
        /// Letters and signs that belong to the number.
        with: &'static str,
    },
    /// Any text.
    Text,
    /// One of these, the likeliest first; with `free` also what is typed when none of them fits.
    OneOf {
        /// What there is.
        choices: Vec<Choice>,
        /// Which of those that fit what is typed.
        picked: usize,
        /// What is made of other words.
        free: Free,
    },
}

/// What is made of words that are none of the choices.
#[derive(Clone, Debug)]
pub enum Free {
    /// They are refused.
    No,
    /// They are composed as they are.
    As(fn(&str) -> Vec<String>),
    /// One of these crops, and behind it a variety.
    Seed(Vec<String>),
    /// A bench that is not there yet, in one of these places.
    Bench(Vec<String>),
}

/// Whether Enter stops at a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Every time, and it must hold something.
    Needed,
    /// Every time; it may be empty where the others say enough.
    Always,
    /// Only while it is empty.
    IfEmpty,
    /// Never: it may stay as it is, or empty.
    Never,
}

/// One line of a form.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its name. The first letter leads to it from a number that does not take that letter.
    pub label: &'static str,
    /// How to fill it, in a few words.
    pub hint: String,
    /// What it takes.
    pub takes: Takes,
    /// Whether Enter stops at it.
    pub asked: Asked,
    /// What is typed.
    pub input: Input,
    /// True while it holds what was there last time: the first key replaces it.
    pub fresh: bool,
    /// True while it holds a number that was refused: the first digit replaces it too.
    pub refused: bool,
    /// True once keys went to it.
    pub seen: bool,
    /// What typed text is in the words of the command line.
    pub compose: fn(&str) -> Vec<String>,
    /// True of a text that is whole: a number behind it, after a space, is the next field's.
    pub whole: fn(&str) -> bool,
}

impl Field {
    /// A number.
    pub fn number(label: &'static str, last: Option<u32>, compose: fn(&str) -> Vec<String>) -> Self {
        let input = Input::new(last.map_or_else(String::new, |number| number.to_string()));
        Self {
            label,
            hint: String::new(),
            takes: Takes::Number { with: "" },
            asked: Asked::Always,
            fresh: last.is_some(),
            refused: false,
            seen: false,
            input,
            compose,
            whole: |_| false,
        }
    }

    /// A text.
    pub fn text(label: &'static str, last: &str, compose: fn(&str) -> Vec<String>) -> Self {
        let input = Input::new(last.to_owned());
        let fresh = !last.is_empty();
        Self {
            label,
            hint: String::new(),
            takes: Takes::Text,
            asked: Asked::Always,
            fresh,
            refused: false,
            seen: false,
            input,
            compose,
            whole: |_| false,
        }
    }

    /// One of a list.
    pub fn one_of(label: &'static str, choices: Vec<Choice>) -> Self {
        Self {
            label,
            hint: String::new(),
            takes: Takes::OneOf { choices, picked: 0, free: Free::No },
            asked: Asked::Always,
            fresh: false,
            refused: false,
            seen: false,
            input: Input::default(),
            compose: |text| vec![text.to_owned()],
            whole: |_| false,
        }
    }

    /// The same field, but taking other words as well.
    #[must_use]
    pub fn or_else(mut self, other: Free) -> Self {
        if let Takes::OneOf { free, .. } = &mut self.takes {
            *free = other;
        }
        self
    }

    /// The same field, asked otherwise.
    #[must_use]
    pub fn asked(mut self, asked: Asked) -> Self {
        self.asked = asked;
        self
    }

    /// The same field with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// The same text, from which a number after a space leads on once it is whole.
    #[must_use]
    pub fn whole_when(mut self, whole: fn(&str) -> bool) -> Self {
        self.whole = whole;
        self
    }

    /// The same number with letters and signs that belong to it.
    #[must_use]
    pub fn with(mut self, letters: &'static str) -> Self {
        if let Takes::Number { with } = &mut self.takes {
            *with = letters;
        }
        self
    }

    /// The choices that fit what is typed: the one so called, those that begin so, then those that have it in them.
    #[must_use]
    pub fn fitting(&self) -> Vec<&Choice> {
        self.fitting_to(self.input.value().trim())
    }

    /// The choices that fit a text; a blank at its end must have more behind it.
    fn fitting_to(&self, text: &str) -> Vec<&Choice> {
        let Takes::OneOf { choices, .. } = &self.takes else { return Vec::new() };
        let typed = text.trim_start().to_lowercase();
        if typed.is_empty() {
            return choices.iter().collect();
        }
        let rank = |choice: &Choice| {
            let shown = choice.shown.to_lowercase();
            let word_begins = || shown.split([' ', '/', '-']).any(|word| word.starts_with(&typed));
            match () {
                // A crop alone comes behind the seed of it.
                () if shown == typed && !choice.words.is_empty() => Some(0),
                () if shown.starts_with(&typed) => Some(1),
                () if word_begins() => Some(2),
                () if words_begin(&shown, &typed) => Some(3),
                () if initials(&shown).starts_with(&typed) => Some(4),
                () if shown.contains(&typed) => Some(5),
                () => None,
            }
        };
        let mut fitting: Vec<_> = choices.iter().filter_map(|choice| Some((rank(choice)?, choice))).collect();
        fitting.sort_by_key(|(rank, _)| *rank);
        fitting.into_iter().map(|(_, choice)| choice).collect()
    }

    /// The choice that stands.
    #[must_use]
    pub fn chosen(&self) -> Option<&Choice> {
        let Takes::OneOf { picked, .. } = &self.takes else { return None };
        self.fitting().get(*picked).copied()
    }

    /// The choice that stands, or of a new bench one in the same place.
    #[must_use]
    pub fn chosen_or_beside(&self) -> Option<&Choice> {
        let Takes::OneOf { choices, free: Free::Bench(places), .. } = &self.takes else { return self.chosen() };
        let place = || place_of(self.input.value(), places);
        self.chosen().or_else(|| {
            let place = place()?;
            choices.iter().find(|choice| choice.shown.split('/').next() == Some(place.as_str()))
        })
    }

    /// True when it holds something.
    #[must_use]
    pub fn is_filled(&self) -> bool {
        self.chosen().is_some() || !self.input.value().trim().is_empty()
    }

    /// True while it stands as it was opened: nothing was typed and nothing chosen.
    #[must_use]
    pub fn is_as_opened(&self) -> bool {
        let first = !matches!(self.takes, Takes::OneOf { picked, .. } if picked > 0);
        first && (self.fresh || self.input.value().is_empty())
    }

    /// What it says in the words of the command line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let typed = self.input.value().trim();
        match (&self.takes, self.chosen()) {
            (_, Some(choice)) => choice.words.clone(),
            _ if typed.is_empty() => Vec::new(),
            (Takes::OneOf { free: Free::No, .. }, None) => vec![typed.to_owned()],
            (Takes::OneOf { free: Free::As(compose), .. }, None) => compose(typed),
            (Takes::OneOf { free: Free::Seed(crops), .. }, None) => crop_and_variety(typed, crops),
            (Takes::OneOf { free: Free::Bench(places), .. }, None) => vec![in_its_place(typed, places)],
            _ => (self.compose)(typed),
        }
    }

    /// The option of the command line that it stands for; `None` for a bare word.
    #[must_use]
    pub fn option(&self) -> Option<String> {
        let words = match &self.takes {
            Takes::OneOf { choices, .. } => choices.last().map_or_else(Vec::new, |choice| choice.words.clone()),
            _ => (self.compose)("1"),
        };
        let word = words.into_iter().next()?;
        word.starts_with("--")
            .then(|| word.split('=').next().unwrap_or_default().to_owned())
            .filter(|word| word != "--")
    }

    /// Takes what usually goes with a choice made elsewhere, unless something was typed.
    pub fn be_usually(&mut self, usual: &str) {
        if self.fresh || self.input.value().is_empty() {
            self.input = Input::new(usual.to_owned());
            self.fresh = true;
        }
    }

    /// Of a crop that was chosen without its variety: puts it in, for the variety to be typed behind it.
    pub fn begin_seed(&mut self) -> bool {
        let Takes::OneOf { free: Free::Seed(_), .. } = self.takes else { return false };
        let Some(crop) = self.chosen().filter(|choice| choice.words.is_empty()).map(|choice| choice.shown.clone())
        else {
            return false;
        };
        self.input = Input::new(format!("{crop} "));
        self.pick(|_| 0);
        true
    }

    /// True for a list of parts of one batch: `14a`, `14b`.
    #[must_use]
    pub fn is_of_one_number(&self) -> bool {
        let Takes::OneOf { choices, .. } = &self.takes else { return false };
        let mut numbers = choices.iter().map(|choice| choice.shown.trim_end_matches(char::is_alphabetic));
        numbers.next().is_some_and(|first| numbers.all(|other| other == first))
    }

    /// True for a list of no and yes.
    #[must_use]
    pub fn is_yes_or_no(&self) -> bool {
        matches!(&self.takes, Takes::OneOf { choices, .. } if choices.len() == 2 && choices[0].words.is_empty())
    }

    /// True when a character belongs in it.
    #[must_use]
    pub fn accepts(&self, c: char) -> bool {
        match &self.takes {
            Takes::Number { with } => {
                let behind = c.is_ascii_alphabetic() && !self.input.value().is_empty();
                let belongs = || with.chars().any(|other| other.eq_ignore_ascii_case(&c));
                c.is_ascii_digit() || ((behind || !c.is_ascii_alphabetic()) && belongs())
            }
            Takes::Text => true,
            Takes::OneOf { free, .. } => {
                let mut more = self.clone();
                more.put(c);
                !matches!(free, Free::No) || !more.fitting().is_empty()
            }
        }
    }

    /// True while it holds what cannot be meant: it is shown as it was typed, and nothing goes on from it.
    #[must_use]
    pub fn is_wrong(&self) -> bool {
        let typed = self.input.value().trim();
        let fits_none = || !typed.is_empty() && self.chosen().is_none();
        match &self.takes {
            Takes::Number { with } => {
                let belongs = |c: char| with.chars().any(|other| other.eq_ignore_ascii_case(&c));
                typed.chars().any(|c| !c.is_ascii_digit() && !belongs(c))
            }
            Takes::OneOf { free: Free::No, .. } => fits_none(),
            Takes::OneOf { free: Free::Bench(places), .. } => fits_none() && place_of(typed, places).is_none(),
            // Several of one of them: 24-cellx2, and 24-cellx on the way there.
            Takes::OneOf { free: Free::As(_), choices, .. } => fits_none() && !is_several_of(typed, choices),
            Takes::Text | Takes::OneOf { .. } => false,
        }
    }

    /// What is wrong with what it holds, and the way out.
    #[must_use]
    pub fn wrong(&self) -> String {
        let typed = self.input.value().trim();
        match &self.takes {
            Takes::Number { .. } => {
                let stray: String = typed.chars().filter(|c| !c.is_ascii_digit()).collect();
                format!("{} is a number: {stray} does not belong there; Backspace takes it back", self.label)
            }
            Takes::OneOf { free: Free::Bench(places), .. } => {
                let place = typed.split('/').next().unwrap_or_default();
                format!("no place is called {place}: there is {}; write place/name", places.join(", "))
            }
            _ => format!("nothing to choose from here has {typed} in it; Backspace takes letters back"),
        }
    }

    /// True when a space behind what is typed may belong to a name, or to a text.
    #[must_use]
    pub fn takes_space(&self) -> bool {
        let typed = self.input.value();
        match &self.takes {
            Takes::Number { .. } => false,
            Takes::Text => !(typed.ends_with(' ') && (self.whole)(typed.trim())),
            _ if typed.ends_with(' ') => false,
            Takes::OneOf { free: Free::Seed(_), .. } => true,
            Takes::OneOf { free: Free::Bench(_), .. } if self.chosen().is_none() => true,
            Takes::OneOf { .. } => !self.fitting_to(&format!("{typed} ")).is_empty(),
        }
    }

    /// Parts what was typed where its last word cannot belong to the name before it: leaves the name, and gives the word,
    /// which is of the next field. A number behind seed may be the beginning of its year until the field is left.
    pub fn part_with(&mut self, left: bool) -> Option<String> {
        let text = self.input.value().to_owned();
        let (head, tail) = text.rsplit_once(' ')?;
        let named = self.fitting_to(head.trim()).into_iter().next();
        let is_number = tail.starts_with(|c: char| c.is_ascii_digit() || c == '~');
        let (fits, packet) = (self.chosen(), named.is_some_and(|choice| !choice.words.is_empty()));
        let parts = match &self.takes {
            Takes::Number { .. } => false,
            Takes::Text => (self.whole)(head.trim()) && is_number,
            Takes::OneOf { free: Free::No | Free::As(_), .. } => fits.is_none() && named.is_some(),
            Takes::OneOf { free: Free::Seed(_), .. } => {
                let year = |choice: &Choice| left && !choice.shown.split(' ').any(|word| word == tail);
                // Behind a new variety a whole number, or one with the sign of a pinch, is of the next field.
                let whole = tail.trim_start_matches('~').trim_end_matches(['p', 'P']);
                let whole = !whole.is_empty() && whole.chars().all(|c| c.is_ascii_digit());
                let new = matches!(&self.takes, Takes::OneOf { free: Free::Seed(crops), .. }
                    if crop_and_variety(head.trim(), crops).len() > 1);
                (packet && is_number && fits.is_none_or(year)) || (!packet && left && new && whole && fits.is_none())
            }
            Takes::OneOf { free: Free::Bench(_), .. } => fits.is_none() && head.contains('/') && begins_a_size(tail),
        };
        if head.trim().is_empty() || !parts {
            return None;
        }
        self.input = Input::new(head.trim_end().to_owned());
        self.pick(|_| 0);
        Some(tail.to_owned())
    }

    /// Puts a character in.
    pub fn put(&mut self, c: char) {
        // A letter behind a number goes with it: 24 as it was last time, and p, are a pinch.
        let goes_with = matches!(self.takes, Takes::Number { .. }) && c.is_ascii_alphabetic();
        if (self.fresh || self.refused) && !goes_with {
            self.input.reset();
        }
        (self.fresh, self.refused) = (false, false);
        self.input.handle(InputRequest::InsertChar(c));
        self.pick(|_| 0);
    }

    /// Puts back what was typed and chosen at another time. What was chosen and is there no more is left as typed words,
    /// so that nothing else is taken for it.
    pub fn put_back(&mut self, typed: &str, chosen: Option<&str>, fresh: bool) {
        self.input = Input::new(typed.to_owned());
        self.fresh = fresh;
        let Some(chosen) = chosen else { return };
        match self.fitting().iter().position(|choice| choice.shown == chosen) {
            Some(at) => {
                self.pick(|_| at);
            }
            None => self.input = Input::new(chosen.to_owned()),
        }
    }

    /// Takes a key that edits; false when it means nothing here.
    pub fn edit(&mut self, key: Key) -> bool {
        let request = match key {
            Key::Backspace if self.fresh => {
                self.input.reset();
                (self.fresh, self.refused) = (false, false);
                return true;
            }
            Key::Backspace => InputRequest::DeletePrevChar,
            Key::Left => InputRequest::GoToPrevChar,
            Key::Right => InputRequest::GoToNextChar,
            _ => return false,
        };
        (self.fresh, self.refused) = (false, false);
        self.input.handle(request);
        if key == Key::Backspace {
            self.pick(|_| 0);
        }
        true
    }

    /// Goes up or down the list; false when this is no list.
    pub fn step(&mut self, down: bool) -> bool {
        let last = self.fitting().len().saturating_sub(1);
        self.pick(|at| if down { at.saturating_add(1).min(last) } else { at.saturating_sub(1) })
    }

    fn pick(&mut self, to: impl FnOnce(usize) -> usize) -> bool {
        if let Takes::OneOf { picked, .. } = &mut self.takes {
            *picked = to(*picked);
            return true;
        }
        false
    }
}

/// The longest crop that the words begin with, and the rest as one; of no known crop the first word.
fn crop_and_variety(typed: &str, crops: &[String]) -> Vec<String> {
    let lower = typed.to_lowercase();
    let begins = |crop: &&String| lower.strip_prefix(crop.as_str()).is_some_and(|rest| rest.starts_with(' '));
    let long = crops.iter().filter(begins).map(String::len).max();
    let (crop, variety) = match long {
        Some(long) if typed.is_char_boundary(long) => typed.split_at(long),
        _ => typed.split_once(' ').unwrap_or((typed, "")),
    };
    [crop, variety.trim()].into_iter().filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// `cold/right` finds `cold frame/right`, and `cop lan` finds `tomato Copper Lantern`: each word begins one of the name's,
/// in their order, and what stands behind a stroke the bench's.
fn words_begin(shown: &str, typed: &str) -> bool {
    let in_order = |shown: &str, typed: &str| {
        let mut words = shown.split([' ', '-', '/']);
        typed.split(' ').all(|begin| words.any(|word| word.starts_with(begin)))
    };
    match (typed.split_once('/'), shown.split_once('/')) {
        (Some((place, bench)), Some((in_place, name))) => in_order(in_place, place) && in_order(name, bench),
        (Some(_), None) => false,
        (None, _) => typed.contains(' ') && !typed.contains("  ") && in_order(shown, typed),
    }
}

/// The place that a bench's name begins with, as the command line finds it: so called, or the only one that begins so.
fn place_of<'a>(typed: &str, places: &'a [String]) -> Option<&'a String> {
    let wanted = typed.split('/').next().unwrap_or_default().trim().to_lowercase();
    let mut beginning = places.iter().filter(|place| place.to_lowercase().starts_with(&wanted));
    let only = beginning.next().filter(|_| beginning.next().is_none());
    places.iter().find(|place| place.to_lowercase() == wanted).or(only)
}

/// `cold/right` in `cold frame`: `cold frame/right`.
fn in_its_place(typed: &str, places: &[String]) -> String {
    match (typed.split_once('/'), place_of(typed, places)) {
        (Some((_, name)), Some(place)) => format!("{place}/{}", name.trim()),
        _ => typed.to_owned(),
    }
}

/// True of `900x5`: no bench's name, but a size.
fn begins_a_size(word: &str) -> bool {
    let side = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    word.split_once(['x', 'X', '×']).is_some_and(|(length, width)| side(length) && side(width))
}

/// True of `24-cellx2` where there is a `24-cell`, and of what is typed on the way to it.
fn is_several_of(typed: &str, choices: &[Choice]) -> bool {
    let kind = typed.trim_end_matches(|c: char| c.is_ascii_digit());
    let kind = kind.strip_suffix(['x', 'X', '×']).unwrap_or(kind).trim_end_matches(['-', ' ']).to_lowercase();
    choices.iter().any(|choice| choice.shown.to_lowercase() == kind)
}

/// `fl` finds `frame/left`.
fn initials(text: &str) -> String {
    text.split([' ', '/', '-']).filter_map(|word| word.chars().next()).collect()
}
