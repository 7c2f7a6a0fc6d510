//! How a grower points at things: batches, parts, benches, carriers, containers, acts. Only the desk, which knows
//! what there is, can say what a reference comes to.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

use crate::quantity::{Name, PartLetter, TextError, shown};

/// Why a word points at nothing.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum RefError {
    /// Not the number of a batch.
    #[error("'{0}' is not a batch: write its number, as 14 or 2026/14")]
    NotABatch(String),
    /// Not the number of a batch, with or without the letter of a part.
    #[error("'{0}' is not a batch or part: write 14, 14a or 2026/14a")]
    NotAPart(String),
    /// Not a place, with or without a bench.
    #[error("'{0}' is not a place or bench: write PLACE or PLACE/BENCH, the place beginning with a letter")]
    NotASpot(String),
    /// A place without a bench, where the bench is what matters.
    #[error("'{0}' names no bench: write PLACE/NAME")]
    NotABench(String),
    /// A carrier's name that could be taken for something else.
    #[error("'{0}' cannot name a carrier: begin with a letter, and leave out '/'")]
    NotACarrier(String),
    /// Neither a part nor a carrier.
    #[error("'{0}' is not a part or a carrier: write 14, 14a or a carrier's name; `move --all` takes a whole bench")]
    NotAThing(String),
    /// No name before the multiplier.
    #[error("'{0}' names no container: write it as 72-cell, or 9cm-potx12 for twelve")]
    NoContainer(String),
    /// A multiplier of nothing, or of more than there are.
    #[error("'{0}': the number after x must be from 1 to {most}", most = ContainerWords::MOST_TIMES)]
    BadMultiplier(String),
    /// Not the short name of an act.
    #[error("'{0}' is not an act: copy the letters and digits that `history` shows")]
    NotAnAct(String),
    /// Not a text that can be kept.
    #[error(transparent)]
    Text(#[from] TextError),
}

/// A batch as it is typed: `14` or `2026/14`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct BatchRef {
    /// The year, when it was typed.
    pub year: Option<i32>,
    /// The number on the label, from 1.
    pub number: u32,
    /// Which of several batches of that number, from 1, after a merge: the 2 of `14~2`.
    pub twin: Option<u32>,
}

/// A part as it is typed, `14a` or `2026/14a`; or a batch, where it has only one part that can be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct PartRef {
    /// The batch.
    pub batch: BatchRef,
    /// The part's letter, when it was typed.
    pub letter: Option<PartLetter>,
}

/// Where something is set down: `frame` or `frame/left`. Without a bench it may also be a carrier's name.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SpotRef {
    /// The place, or a carrier.
    pub place: Name,
    /// The bench in it.
    pub bench: Option<Name>,
}

/// A bench: `frame/left`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct BenchRef {
    /// The place it is in.
    pub place: Name,
    /// Its name there.
    pub name: Name,
}

/// Something that moves as one.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Thing {
    /// The container a part stands in.
    Part(PartRef),
    /// A carrier by its name.
    Carrier(Name),
}

/// What a note is about, as it is typed: digits first, a batch; a letter first, a place.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum TopicRef {
    /// A batch.
    Batch(BatchRef),
    /// A place.
    Place(Name),
}

/// A kind of container as it is typed, with the multiplier at its end: `72-cellx2`, `9cm pot x12`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct ContainerWords {
    /// The kind, to be looked up in the table.
    pub name: Name,
    /// The number after the `x`: two trays, or one set of twelve pots. At least 1.
    pub times: Option<u32>,
}

/// The last characters of an act's identity, as `history` shows it: hexadecimal digits, lower case, no hyphens.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct ActRef(String);

impl ActRef {
    /// The hexadecimal digits, at least one.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl ContainerWords {
    /// The greatest multiplier that can be meant.
    pub const MOST_TIMES: u32 = 1000;
}

impl fmt::Display for BatchRef {
    /// Writes it as it was typed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.year {
            Some(year) => write!(f, "{year}/{}", self.number)?,
            None => write!(f, "{}", self.number)?,
        }
        self.twin.map_or(Ok(()), |twin| write!(f, "~{twin}"))
    }
}

impl fmt::Display for PartRef {
    /// Writes it as it was typed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.batch.fmt(f)?;
        self.letter.map_or(Ok(()), |letter| letter.fmt(f))
    }
}

impl fmt::Display for SpotRef {
    /// Writes `frame/left`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.bench {
            Some(bench) => write!(f, "{}/{bench}", self.place),
            None => self.place.fmt(f),
        }
    }
}

impl fmt::Display for ContainerWords {
    /// Writes `72-cellx2`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.times {
            Some(times) => write!(f, "{}x{times}", self.name),
            None => self.name.fmt(f),
        }
    }
}

fn batch_number(text: &str) -> Option<BatchRef> {
    let (year, number) = match text.split_once('/') {
        Some((year, number)) => (Some(digits(year).filter(|_| year.len() == 4)?), number),
        None => (None, text),
    };
    let year = match year {
        Some(year) => Some(i32::try_from(year).ok().filter(|year| (1900..=2999).contains(year))?),
        None => None,
    };
    let (number, twin) = match number.split_once('~') {
        Some((number, twin)) => (number, Some(digits(twin).filter(|twin| *twin > 0)?)),
        None => (number, None),
    };
    digits(number).filter(|number| *number > 0).map(|number| BatchRef { year, number, twin })
}

fn digits(text: &str) -> Option<u32> {
    // `parse` alone would take a leading plus sign.
    if text.chars().all(|c| c.is_ascii_digit()) { text.parse().ok() } else { None }
}

impl FromStr for BatchRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        batch_number(text.trim()).ok_or_else(|| RefError::NotABatch(shown(text)))
    }
}

impl FromStr for PartRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        let wrong = || RefError::NotAPart(shown(text));
        let word = text.trim();
        let number = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let letters = &word[number.len()..];
        let batch = batch_number(number).ok_or_else(wrong)?;
        let letter = if letters.is_empty() { None } else { Some(letters.parse().map_err(|_| wrong())?) };
        Ok(Self { batch, letter })
    }
}

impl FromStr for SpotRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        let (place, bench) = match text.split_once('/') {
            Some((place, bench)) => (place, Some(bench)),
            None => (text, None),
        };
        let place = spot_name(place, text)?;
        let bench = match bench {
            Some(bench) if bench.contains('/') => return Err(RefError::NotASpot(shown(text))),
            Some(bench) => Some(Name::new(bench).map_err(|error| blank_is_no_spot(error, text))?),
            None => None,
        };
        Ok(Self { place, bench })
    }
}

fn spot_name(place: &str, whole: &str) -> Result<Name, RefError> {
    Name::of_place(place).map_err(|error| blank_is_no_spot(error, whole))
}

fn blank_is_no_spot(error: TextError, whole: &str) -> RefError {
    match error {
        TextError::Empty { .. } | TextError::NotAPlaceName(_) => RefError::NotASpot(shown(whole)),
        other => RefError::Text(other),
    }
}

impl FromStr for BenchRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        let spot: SpotRef = text.parse()?;
        let name = spot.bench.ok_or_else(|| RefError::NotABench(shown(text)))?;
        Ok(Self { place: spot.place, name })
    }
}

/// Reads a carrier's own name. It shares the rule of places, since things are set down on both.
pub(super) fn carrier_name(text: &str) -> Result<Name, RefError> {
    Name::of_place(text).map_err(|error| match error {
        TextError::NotAPlaceName(_) => RefError::NotACarrier(shown(text)),
        other => RefError::Text(other),
    })
}

pub(super) fn begins_with_a_digit(text: &str) -> bool {
    text.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

impl FromStr for Thing {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        if begins_with_a_digit(text) {
            return text.parse().map(Self::Part);
        }
        carrier_name(text).map(Self::Carrier).map_err(|error| match error {
            RefError::NotACarrier(text) => RefError::NotAThing(text),
            other => other,
        })
    }
}

impl FromStr for TopicRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        if begins_with_a_digit(text) {
            return text.parse().map(Self::Batch);
        }
        Name::of_place(text).map(Self::Place).map_err(RefError::Text)
    }
}

impl FromStr for ContainerWords {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        let word = text.trim();
        let before_digits = word.trim_end_matches(|c: char| c.is_ascii_digit());
        let multiplier = &word[before_digits.len()..];
        let kind = before_digits.strip_suffix(['x', 'X', '×']).filter(|_| !multiplier.is_empty());
        if !multiplier.is_empty() && before_digits.to_ascii_lowercase().ends_with("x-") {
            return Err(RefError::BadMultiplier(shown(text)));
        }
        let Some(kind) = kind else { return Ok(Self { name: Name::new(word)?, times: None }) };
        // A hyphen or blank before the x joins it to the name: 9cm-pot-x12.
        let kind = kind.trim_end_matches(['-', ' ']);
        if kind.is_empty() {
            return Err(RefError::NoContainer(shown(text)));
        }
        let times = digits(multiplier).filter(|times| (1..=Self::MOST_TIMES).contains(times));
        let times = times.ok_or_else(|| RefError::BadMultiplier(shown(text)))?;
        Ok(Self { name: Name::new(kind)?, times: Some(times) })
    }
}

impl FromStr for ActRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        let plain: String = text.trim().chars().filter(|c| *c != '-').map(|c| c.to_ascii_lowercase()).collect();
        if plain.is_empty() || plain.len() > 32 || !plain.chars().all(|c| c.is_ascii_hexdigit()) {
            return Err(RefError::NotAnAct(shown(text)));
        }
        Ok(Self(plain))
    }
}
