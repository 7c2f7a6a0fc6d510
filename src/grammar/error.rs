//! What is wrong with typed words, in one line: where, what, why, and what to type instead.

use std::error::Error as _;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use thiserror::Error;

use crate::quantity::is_hidden;

/// Whether the words are no command at all, or a command with a value that cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrammarErrorKind {
    /// Wrong usage: the program ends with 2.
    Usage,
    /// A value that is refused: the program ends with 1.
    Refused,
}

/// Why words were not understood. Message and hint are one line each, without hidden characters.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{message}")]
pub struct GrammarError {
    /// Usage or value.
    pub kind: GrammarErrorKind,
    /// Where, what and why.
    pub message: String,
    /// What to type instead; empty where the message says it.
    pub hint: String,
}

impl GrammarError {
    pub(super) fn usage(message: impl AsRef<str>, hint: impl AsRef<str>) -> Self {
        let (message, hint) = (one_line(message.as_ref()), one_line(hint.as_ref()));
        Self { kind: GrammarErrorKind::Usage, message, hint }
    }

    /// A refused value. `place` is the option or the word's name in the usage.
    pub(super) fn refused(place: &str, why: impl ToString) -> Self {
        let message = one_line(&format!("{place}: {}", why.to_string()));
        Self { kind: GrammarErrorKind::Refused, message, hint: String::new() }
    }
}

/// Puts a text on one line that is safe to show on a terminal and short enough to read.
fn one_line(text: &str) -> String {
    const LONGEST: usize = 320;
    let text = text.split(['\n', ' ']).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    let mut line: String = text.chars().take(LONGEST).map(|c| if is_hidden(c) { '?' } else { c }).collect();
    if text.chars().count() > LONGEST {
        line.push_str("...");
    }
    line
}

/// Says in one line what the option reader found wrong.
pub(super) fn explain(error: &clap::Error) -> GrammarError {
    let said = |kind| context(error, kind);
    let arg = said(ContextKind::InvalidArg);
    let usage = match said(ContextKind::Usage) {
        usage if usage.is_empty() => String::new(),
        usage => usage.replace("Usage:", "usage:"),
    };
    match error.kind() {
        ErrorKind::ValueValidation => match error.source() {
            Some(why) => GrammarError::refused(first_word(&arg), why),
            None => GrammarError::usage(format!("{arg} cannot be '{}'", said(ContextKind::InvalidValue)), usage),
        },
        ErrorKind::InvalidValue => GrammarError::usage(format!("{} needs a value", first_word(&arg)), usage),
        ErrorKind::UnknownArgument => {
            let hint = match said(ContextKind::SuggestedArg) {
                near if !near.is_empty() => format!("did you mean {near}?"),
                _ if arg.starts_with('-') => usage,
                _ => format!("put words that belong together in quotes; {usage}"),
            };
            GrammarError::usage(format!("'{arg}' was not expected here"), hint)
        }
        ErrorKind::InvalidSubcommand => {
            let hint = match said(ContextKind::SuggestedSubcommand) {
                near if !near.is_empty() => format!("did you mean {near}?"),
                _ => "`thumbpot help` lists the commands".to_owned(),
            };
            GrammarError::usage(format!("there is no command '{}'", said(ContextKind::InvalidSubcommand)), hint)
        }
        ErrorKind::MissingSubcommand => GrammarError::usage(
            format!("{} what?", said(ContextKind::InvalidSubcommand).trim_start_matches("thumbpot ")),
            format!("one of: {}", said(ContextKind::ValidSubcommand)),
        ),
        ErrorKind::MissingRequiredArgument => GrammarError::usage(format!("still needed: {arg}"), usage),
        ErrorKind::ArgumentConflict => match said(ContextKind::PriorArg) {
            prior if prior == arg || prior.is_empty() => {
                GrammarError::usage(format!("{} can be given once only", first_word(&arg)), usage)
            }
            prior => GrammarError::usage(format!("{arg} cannot go with {prior}"), usage),
        },
        _ => GrammarError::usage(error.kind().to_string(), usage),
    }
}

/// The option, or the positional word, that an argument is known by.
fn first_word(arg: &str) -> &str {
    let word = arg.split(' ').next().unwrap_or(arg).trim_end_matches("...");
    word.strip_prefix('[').and_then(|word| word.strip_suffix(']')).unwrap_or(word)
}

/// One fact about an error, without the brackets that mark what is to be filled in.
fn context(error: &clap::Error, kind: ContextKind) -> String {
    let text = match error.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(texts)) => texts.join(", "),
        Some(ContextValue::StyledStr(text)) => text.to_string(),
        _ => return String::new(),
    };
    match kind {
        ContextKind::InvalidArg | ContextKind::PriorArg => text.replace(['<', '>'], ""),
        _ => text,
    }
}
