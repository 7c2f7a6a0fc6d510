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
    let verb = words.iter().position(|word| VERBS.contains(&word.as_str()))?;
    // Before it may stand the program's name and options, each with its value.
    let is_option = |at: usize| words.get(at).is_some_and(|word| word.starts_with('-'));
    let leads = |at: usize| is_option(at) || at.checked_sub(1).is_some_and(is_option);
    let is_led_to = (0..verb).all(|at| leads(at) || (at == 0 && words.first().is_some_and(|word| word == "thumbpot")));
    let named = words.get(verb + 1).is_some_and(|word| word.starts_with(char::is_alphabetic));
    (is_led_to && named).then_some(verb + 1)
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

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Vocabulary {
        let batch = |text: &str, beside: &str| Word { text: text.to_owned(), beside: beside.to_owned() };
        let batches = vec![batch("4", "leek Second"), batch("3", "leek First"), batch("2", "tomato Copper Lantern")];
        Vocabulary { batches, ..Vocabulary::default() }
    }

    fn numbered(line: &str) -> Result<Option<String>, String> {
        let words = shlex::split(line).unwrap();
        with_number(&words, &names()).map(|words| words.map(|words| words.join(" "))).map_err(|error| error.message)
    }

    #[test]
    fn a_crop_stands_for_its_only_open_batch() {
        assert_eq!(numbered("count tomato 14"), Ok(Some("count 2 14".to_owned())));
        assert_eq!(numbered("thumbpot lose Tom 3"), Ok(Some("thumbpot lose 2 3".to_owned())));
        assert_eq!(numbered("count 'tomato copper' 14"), Ok(Some("count 2 14".to_owned())));
        assert_eq!(numbered("thumbpot --on '3 may' count leeks 0"), Ok(None));
        assert_eq!(
            numbered("thumbpot --on '3 may' --json count tomato 0"),
            Ok(Some("thumbpot --on 3 may --json count 2 0".to_owned()))
        );
        // Too little, nothing of it, a number, or a word that is no batch: left as it is.
        for line in
            ["count to 14", "note count tomato 14", "count carrot 14", "count 2 14", "move tomato frame", "count", ""]
        {
            assert_eq!(numbered(line), Ok(None), "{line}");
        }
        let which = "BATCH|PART: 'leek' could be 3 (leek First) or 4 (leek Second)";
        assert_eq!(numbered("count leek 5"), Err(which.to_owned()));
    }

    #[test]
    fn a_line_is_read_by_its_numbers_first() {
        let today = Date::from_ymd_opt(2026, 4, 1).unwrap();
        let read = |line: &str| parse_typed_by_crop(line, today, &names());
        assert_eq!(read("count tomato 14"), parse_typed("count 2 14", today));
        assert_eq!(read("count tomato many"), parse_typed("count 2 many", today));
        assert_eq!(read("count carrot 5"), parse_typed("count carrot 5", today));
    }
}
