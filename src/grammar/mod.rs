//! The grammar: a grower's words become a request. One parser serves the shell, the lines of `run` and the quick
//! line. Pure: it knows no journal and no clock, so references stay as typed and the day is an argument.

mod asking;
mod by_crop;
mod command;
mod complete;
mod error;
mod overview;
mod plants;
mod refs;
mod request;
mod shell;
mod site;
mod space;
#[cfg(test)]
mod tests;
mod values;

pub use by_crop::{crop_at, parse_typed_by_crop, with_number};
pub use command::{
    AfterRefusal, Answer, Command, Consent, Import, Invocation, Later, Line, Lines, PlainPage, Report, Step, ToldBy,
    Typed,
};
pub use complete::{Completion, Vocabulary, Word, batch_words, complete, quoted};
pub use error::{GrammarError, GrammarErrorKind};
pub use refs::{ActRef, BatchRef, BenchRef, ContainerWords, PartRef, RefError, SpotRef, Thing, TopicRef};
pub use request::{
    Along, LotWords, MoveOnWords, MovingWords, Others, PlaceWords, Request, Roof, RoomWords, SeedWords, SowWords, Sure,
    SwapRef,
};

use crate::quantity::Date;

/// Reads a command line: the words after the program's name.
///
/// Days without a year are read from `today`: back for acts, ahead for forecasts. Help and version are answers too.
///
/// # Errors
/// One line that says where and what is wrong, and whether it is the usage or a value.
pub fn parse(words: &[String], today: Date) -> Result<Invocation, GrammarError> {
    shell::read(words, today)
}

/// Reads one line of `run`: quoted as in a POSIX shell, `#` begins a comment, a leading `thumbpot` is allowed. A blank
/// line or a comment is `None`.
///
/// # Errors
/// As [`parse`]; also when a quote is not closed, or the line is not an act, `undo` or `redo`.
pub fn parse_line(line: &str, today: Date) -> Result<Option<Line>, GrammarError> {
    match parse_typed(line, today)? {
        Some(Typed::Step(line)) => Ok(Some(line)),
        Some(Typed::Report { .. } | Typed::Help(_)) => Err(GrammarError::usage(
            format!("'{}' does not change the journal, so it cannot be one of these lines", line.trim()),
            "use acts, undo or redo here",
        )),
        None => Ok(None),
    }
}

/// Reads one line typed at the screen, as [`parse_line`] does, but one that may also ask to be shown something.
///
/// # Errors
/// As [`parse`]; also when a quote is not closed, or the line is about the journal's file.
pub fn parse_typed(line: &str, today: Date) -> Result<Option<Typed>, GrammarError> {
    let Some(mut words) = shlex::split(line) else {
        return Err(GrammarError::usage(
            "a quote is not closed, or the line ends with a backslash",
            "close the quote, or put the text in double quotes",
        ));
    };
    if words.first().is_some_and(|word| word == "thumbpot") {
        words.remove(0);
    }
    if words.is_empty() {
        return Ok(None);
    }
    let Invocation { journal, on, answer, command } = parse(&words, today)?;
    if journal.is_some() || answer == Answer::Json {
        return Err(GrammarError::usage(
            "--journal and --json are not for single lines",
            "give them before `run`; a line may have --on",
        ));
    }
    match command {
        Some(Command::Step(step)) => Ok(Some(Typed::Step(Line { on, step }))),
        Some(Command::Report(report)) => Ok(Some(Typed::Report { on, report })),
        Some(Command::Help(text)) => Ok(Some(Typed::Help(text))),
        Some(Command::Import(_)) => Err(GrammarError::usage(
            "a file of temperatures is not imported from one of these lines",
            "give the command by itself",
        )),
        _ => Err(GrammarError::usage(
            format!("'{}' does not change the journal, so it cannot be one of these lines", words.join(" ")),
            "use acts, undo or redo here",
        )),
    }
}
