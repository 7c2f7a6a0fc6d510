//! Words typed by people or read from files, made safe once at the edge.
//!
//! Nothing with control characters, line breaks or text-direction overrides gets past these types, so neither a
//! terminal nor a file that shows them can be commanded by them.

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a text cannot be kept.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TextError {
    /// Nothing but blanks.
    #[error("the {what} is empty")]
    Empty {
        /// What the text was to be: a name or a note.
        what: &'static str,
    },
    /// More characters than fit.
    #[error("the {what} is {length} characters long; at most {limit} are kept")]
    TooLong {
        /// What the text was to be.
        what: &'static str,
        /// How long it is.
        length: usize,
        /// How long it may be.
        limit: usize,
    },
    /// A control character, a line break or a text-direction override.
    #[error("the {what} has a hidden character (U+{code:04X}) at position {position}; type it again without")]
    Hidden {
        /// What the text was to be.
        what: &'static str,
        /// The character's code.
        code: u32,
        /// Its position, from 1.
        position: usize,
    },
    /// A place's name must start with a letter so that it cannot be taken for a batch number.
    #[error("'{0}' cannot name a place: begin with a letter, and leave out '/'")]
    NotAPlaceName(String),
}

/// True for characters that act on a terminal or on the reading order instead of being seen.
#[must_use]
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{061c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The same text with every hidden character shown as `?`, for quoting back what was refused.
#[must_use]
pub fn shown(text: &str) -> String {
    const LONGEST_QUOTE: usize = 60;
    cut_and_shown(text, LONGEST_QUOTE)
}

/// A whole message that quotes what others wrote, made fit to show: every hidden character as `?`, and no longer than a
/// few lines.
#[must_use]
pub fn message_shown(text: &str) -> String {
    const LONGEST_MESSAGE: usize = 500;
    cut_and_shown(text, LONGEST_MESSAGE)
}

fn cut_and_shown(text: &str, most: usize) -> String {
    let mut safe: String = text.chars().take(most).map(|c| if is_hidden(c) { '?' } else { c }).collect();
    if text.chars().count() > most {
        safe.push_str("...");
    }
    safe
}

fn checked(text: &str, what: &'static str, limit: usize) -> Result<String, TextError> {
    let text = text.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    if let Some((position, c)) = text.chars().enumerate().find(|(_, c)| is_hidden(*c)) {
        return Err(TextError::Hidden { what, code: u32::from(c), position: position + 1 });
    }
    if text.is_empty() {
        return Err(TextError::Empty { what });
    }
    let length = text.chars().count();
    if length > limit {
        return Err(TextError::TooLong { what, length, limit });
    }
    Ok(text)
}

macro_rules! text_type {
    ($(#[$doc:meta])* $name:ident, $what:literal, $limit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// Takes a text, with runs of blanks made one.
            ///
            /// # Errors
            /// When it is empty, too long or holds a hidden character.
            pub fn new(text: &str) -> Result<Self, TextError> {
                checked(text, $what, $limit).map(Self)
            }

            /// The text itself.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl TryFrom<String> for $name {
            type Error = TextError;

            fn try_from(text: String) -> Result<Self, TextError> {
                Self::new(&text)
            }
        }

        impl From<$name> for String {
            fn from(text: $name) -> Self {
                text.0
            }
        }
    };
}

text_type!(
    /// A name: of a variety, a place, a bench, a carrier, a kind of container. At most 60 characters.
    Name,
    "name",
    60
);
text_type!(
    /// A note, a bed, a cause in the grower's own words. At most 500 characters.
    Remark,
    "note",
    500
);
text_type!(
    /// A crop as the tables name it (`sweet pepper`), or `unknown` for a batch that lost its label.
    CropName,
    "crop",
    40
);

impl Name {
    /// Takes a name for a place: it begins with a letter and has no `/`.
    ///
    /// # Errors
    /// When the text is not a name at all or could be taken for a batch number or a bench.
    pub fn of_place(text: &str) -> Result<Self, TextError> {
        let name = Self::new(text)?;
        if !name.0.starts_with(char::is_alphabetic) || name.0.contains('/') {
            return Err(TextError::NotAPlaceName(shown(text)));
        }
        Ok(name)
    }

    /// True when two names differ at most in case.
    #[must_use]
    pub fn same_as(&self, text: &str) -> bool {
        self.0.to_lowercase() == text.trim().to_lowercase()
    }
}

impl CropName {
    /// The crop of a batch whose label was lost.
    #[must_use]
    pub fn unknown() -> Self {
        Self("unknown".to_owned())
    }

    /// True for the crop of a batch whose label was lost.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        self.0 == "unknown"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_refused_and_letters_of_any_script_kept() {
        for text in ["\u{1b}[31mred", "two\nlines", "a\tb", "abc\u{202e}cba", "zero\u{200b}width", "\u{7}"] {
            assert!(matches!(Name::new(text), Err(TextError::Hidden { .. })), "{text:?}");
        }
        assert!(matches!(Name::new("  "), Err(TextError::Empty { .. })));
        assert!(matches!(Name::new(&"x".repeat(300)), Err(TextError::TooLong { length: 300, .. })));
        assert_eq!(Name::new(" Ночь   белая ").unwrap().as_str(), "Ночь белая");
        assert_eq!(Name::new("עגבנייה").unwrap().as_str(), "עגבנייה");
        assert_eq!(shown("a\u{1b}[2Jb"), "a?[2Jb");
    }

    #[test]
    fn a_place_cannot_be_taken_for_a_batch() {
        assert!(Name::of_place("14a").is_err());
        assert!(Name::of_place("frame/left").is_err());
        assert!(Name::of_place("Cold frame").unwrap().same_as("cold FRAME"));
    }
}
