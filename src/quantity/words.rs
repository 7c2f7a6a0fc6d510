//! Closed sets of trade words that more than one room needs.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A word that is not one of the set.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("'{text}' is not a {what}: {choices}")]
pub struct UnknownWord {
    /// What was typed, with hidden characters shown.
    pub text: String,
    /// What it was to be.
    pub what: &'static str,
    /// The words there are.
    pub choices: String,
}

/// Defines a closed set of words: an enum, its spelling, and the way back.
#[macro_export]
macro_rules! word_set {
    ($(#[$doc:meta])* $name:ident, $what:literal, { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $($(#[$variant_doc])* #[serde(rename = $word)] $variant),+
        }

        impl $name {
            /// Every word of the set, in its usual order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word as it is written.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::quantity::UnknownWord;

            /// Reads the word in any case; blanks, hyphens and underscores count alike, and an unambiguous beginning is
            /// enough.
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                $crate::quantity::find_word(text, Self::ALL, |word| word.word()).ok_or_else(|| $crate::quantity::UnknownWord {
                    text: $crate::quantity::shown(text),
                    what: $what,
                    choices: Self::ALL.iter().map(|word| word.word()).collect::<Vec<_>>().join(", "),
                })
            }
        }
    };
}

/// Finds a word of a set by its spelling or an unambiguous beginning of it.
#[must_use]
pub fn find_word<T: Copy>(text: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Option<T> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
    let wanted = plain(text);
    if wanted.is_empty() {
        return None;
    }
    if let Some(exact) = all.iter().find(|&&item| plain(word(item)) == wanted) {
        return Some(*exact);
    }
    let mut starting = all.iter().filter(|&&item| plain(word(item)).starts_with(&wanted));
    match (starting.next(), starting.next()) {
        (Some(only), None) => Some(*only),
        _ => None,
    }
}

word_set!(
    /// What kind of thing with a footprint a container is.
    ContainerClass, "kind of container", {
        /// An open tray: seedlings share the compost.
        Tray = "tray",
        /// A tray of numbered cells.
        CellTray = "cell tray",
        /// A pot, or a set of like pots standing together.
        Pot = "pot",
        /// A tray that carries pots of any kinds and crops.
        Carrier = "carrier",
        /// A damp-paper start.
        Paper = "paper",
    }
);

word_set!(
    /// What was sown and is counted.
    SownUnit, "sown unit", {
        /// One seed, one seedling at most.
        Seed = "seed",
        /// A cluster such as beetroot's, from which several seedlings may come.
        Cluster = "cluster",
        /// Seed too fine to count: the number sown is an estimate.
        Pinch = "pinch",
    }
);

/// The number on a plant label: the year sown and the batch's number within it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct BatchLabel {
    /// Calendar year of the sowing.
    pub year: i32,
    /// Number within the year, from 1.
    pub number: u32,
    /// Of several open batches that came to wear one number, which: the first logged is 1. `None` for all others, and in
    /// the log.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub twin: Option<u32>,
}

impl BatchLabel {
    /// The number alone, with which of several where there are: `14`, `14~2`.
    #[must_use]
    pub fn short(self) -> String {
        self.twin.map_or_else(|| self.number.to_string(), |twin| format!("{}~{twin}", self.number))
    }
}

impl fmt::Display for BatchLabel {
    /// Writes `2026/14`, and `2026/14~2` for the second of that number.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}", self.year, self.short()))
    }
}

/// The letter of a part within its batch: 0 is `a`, 25 `z`, 26 `aa`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PartLetter(pub u16);

impl fmt::Display for PartLetter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut letters = Vec::new();
        let mut rest = u32::from(self.0) + 1;
        while rest > 0 {
            rest -= 1;
            letters.push(char::from(b'a' + (rest % 26) as u8));
            rest /= 26;
        }
        f.pad(&letters.iter().rev().collect::<String>())
    }
}

impl FromStr for PartLetter {
    type Err = UnknownWord;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || UnknownWord {
            text: super::shown(text),
            what: "part of a batch",
            choices: "a letter such as the a of 14a".to_owned(),
        };
        if text.is_empty() || text.len() > 3 || !text.chars().all(|c| c.is_ascii_alphabetic()) {
            return Err(wrong());
        }
        let number = text.bytes().fold(0_u32, |sum, byte| sum * 26 + u32::from(byte.to_ascii_lowercase() - b'a') + 1);
        u16::try_from(number - 1).map(Self).map_err(|_| wrong())
    }
}

/// A part as the grower writes it: the batch's number and the part's letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PartLabel {
    /// The batch.
    pub batch: BatchLabel,
    /// The part.
    pub letter: PartLetter,
}

impl PartLabel {
    /// As a year's grower speaks of it: `14a`, and `2025/14a` in any other.
    #[must_use]
    pub fn in_year(self, year: i32) -> String {
        if self.batch.year == year { self.to_string() } else { format!("{self:#}") }
    }
}

impl fmt::Display for PartLabel {
    /// Writes `14a`, or `2026/14a` with `{:#}`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if f.alternate() {
            f.pad(&format!("{}{}", self.batch, self.letter))
        } else {
            f.pad(&format!("{}{}", self.batch.short(), self.letter))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_run_on_after_z() {
        for (number, text) in [(0, "a"), (25, "z"), (26, "aa"), (27, "ab"), (701, "zz"), (702, "aaa")] {
            assert_eq!(PartLetter(number).to_string(), text);
            assert_eq!(text.parse::<PartLetter>().unwrap(), PartLetter(number));
        }
        assert!("".parse::<PartLetter>().is_err());
        assert!("a1".parse::<PartLetter>().is_err());
    }

    #[test]
    fn words_are_read_by_their_beginning_when_only_one_begins_so() {
        assert_eq!("Cell-Tray".parse(), Ok(ContainerClass::CellTray));
        assert_eq!("po".parse(), Ok(ContainerClass::Pot));
        assert!("p".parse::<ContainerClass>().is_err()); // pot, paper
        assert!("".parse::<ContainerClass>().is_err());
    }
}
