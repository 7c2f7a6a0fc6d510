//! A crop's name in the stead of a batch's number, where only one open batch can be meant: `count tomato 14`.

use crate::quantity::{Date, shown};

use super::complete::{Vocabulary, Word};
use super::error::GrammarError;
use super::{Typed, parse_typed};

/// The commands whose first word is a batch or part.
const VERBS: [&str; 13] = [
    "count",
    "stage",
    "pot-on",
    "prick-out",
    "set",
    "lose",
    "thin",
    "discard",
    "give-away",
    "give",
    "plant-out",
    "clear",
    "batch",
];
/// Fewest letters that a crop is known by.
const LEAST: usize = 3;

/// Where the words name a crop in a batch's stead, if they may do so.
#[must_use]
pub fn crop_at(words: &[String]) -> Option<usize> {
    let verb = words.iter().position(|word| word != "thumbpot")?;
    let takes_batch = words.get(verb).is_some_and(|word| VERBS.contains(&word.as_str()));
    let named = words.get(verb + 1).is_some_and(|word| word.starts_with(char::is_alphabetic));
    (takes_batch && named).then_some(verb + 1)
}

/// The words with the number of the batch whose crop they name; `None` when they name none that is open.
///
/// # Errors
/// When several open batches are of that crop: which, by number.
pub fn with_number(words: &[String], names: &Vocabulary) -> Result<Option<Vec<String>>, GrammarError> {
    let Some((at, typed)) = crop_at(words).and_then(|at| Some((at, words.get(at)?))) else { return Ok(None) };
    let wanted = typed.to_lowercase();
    if wanted.chars().count() < LEAST {
        return Ok(None);
    }
    let named = |word: &&Word| word.beside.to_lowercase().starts_with(&wanted);
    let found: Vec<&Word> = names.batches.iter().filter(named).collect();
    match found.as_slice() {
        [] => Ok(None),
        [only] => {
            let mut words = words.to_vec();
            if let Some(word) = words.get_mut(at) {
                word.clone_from(&only.text);
            }
            Ok(Some(words))
        }
        several => {
            let list: Vec<String> =
                several.iter().rev().map(|word| format!("{} ({})", word.text, word.beside)).collect();
            let message = format!("'{}' could be {}", shown(typed), list.join(" or "));
            Err(GrammarError { hint: "write the number".to_owned(), ..GrammarError::refused("BATCH|PART", message) })
        }
    }
}

/// Reads one line typed at the screen or of a script, as [`parse_typed`] does, in which a crop may stand for its only
/// open batch.
///
/// # Errors
/// As [`parse_typed`]; also when the crop has several open batches.
pub fn parse_typed_by_crop(line: &str, today: Date, names: &Vocabulary) -> Result<Option<Typed>, GrammarError> {
    let error = match parse_typed(line, today) {
        Ok(typed) => return Ok(typed),
        Err(error) => error,
    };
    let words = shlex::split(line).unwrap_or_default();
    let numbered = with_number(&words, names)?;
    match numbered.as_ref().and_then(|words| shlex::try_join(words.iter().map(String::as_str)).ok()) {
        Some(line) => parse_typed(&line, today),
        None => Err(error),
    }
}
