//! What the desk refuses, in one sentence and a hint.

use serde::Serialize;
use thiserror::Error;

use crate::advice::{CannotRepack, CannotStand};
use crate::exchange::{FetchError, ImportError};
use crate::grammar::{GrammarError, GrammarErrorKind};
use crate::journal::Refusal;
use crate::quantity::Date;
use crate::store::StoreError;
use crate::trade::{NotFound, TradeError};

use super::doubt::Doubt;
use super::scale::{self, ManyTooWarm, Source, TooWarm};

/// What kind of trouble it is: a word that scripts can rely on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ErrorKind {
    /// The words could not be understood.
    Usage,
    /// What was asked for cannot be true.
    Refused,
    /// What was asked for is likelier a slip; it is taken when it is said to be so.
    Doubtful,
    /// Something named does not exist.
    Unknown,
    /// A name fits several things.
    Ambiguous,
    /// The journal, the disk or a file failed.
    Journal,
    /// A table or a settings file is wrong.
    Settings,
    /// The weather service did not answer, or not with a forecast.
    Weather,
}

/// Why the desk did not do what was asked. Nothing was written.
#[derive(Debug, Error)]
pub enum DeskError {
    /// The words were wrong.
    #[error("{}", .0.message)]
    Words(#[from] GrammarError),
    /// The act cannot be true.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// It is likelier a slip than so; the same said to be so is taken.
    #[error("{0}")]
    Doubt(Doubt),
    /// The journal failed.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// A table or the grower's own figures are wrong.
    #[error("{0}")]
    Trade(#[from] TradeError),
    /// Something cannot stand where it is to stand.
    #[error("{0}")]
    Stand(#[from] CannotStand),
    /// A bench cannot be repacked.
    #[error("{0}")]
    Repack(#[from] CannotRepack),
    /// No crop or container of that name.
    #[error("{0}")]
    NotFound(#[from] NotFound),
    /// Nothing of that name or number.
    #[error("there is no {what} {}{name}", called(what))]
    Unknown {
        /// What it was to be.
        what: &'static str,
        /// What was typed.
        name: String,
        /// What there is instead.
        hint: String,
    },
    /// Several things of that name or number.
    #[error("{name} could be {list}")]
    Ambiguous {
        /// What was typed.
        name: String,
        /// What it could be.
        list: String,
        /// How to say which.
        hint: &'static str,
    },
    /// A name that is taken.
    #[error("there is already a {what} called {name}")]
    Taken {
        /// What it is.
        what: &'static str,
        /// Its name.
        name: String,
    },
    /// A crop of which no packet is in the drawer, without its variety.
    #[error("still needed: the VARIETY of {crop}")]
    Unnamed {
        /// The crop.
        crop: String,
    },
    /// A packet of a year that no packet bears yet.
    #[error("{year} is not a year that seed is packed for yet: {next} at the latest")]
    Later {
        /// The year typed.
        year: i32,
        /// The latest that may be.
        next: i32,
    },
    /// A number that meant one batch when it was chosen and means another now, or none.
    #[error("that was meant for {name}, {}: nothing was logged", renamed(now.as_deref()))]
    NotMeant {
        /// What was meant.
        name: String,
        /// What its number is now, where it is there still.
        now: Option<String>,
    },
    /// The clock is set to no day of the calendar.
    #[error("the clock says {on}: it is not set, and nothing was logged")]
    Clock {
        /// What it says.
        on: Date,
    },
    /// A day that has not come.
    #[error("{on} has not come yet: the log takes what has happened")]
    Future {
        /// The day.
        on: Date,
    },
    /// A forecast for a day that none reaches.
    #[error("{day} is {weeks} weeks ahead: no forecast reaches so far")]
    TooFar {
        /// The day.
        day: Date,
        /// Whole weeks until then.
        weeks: i64,
    },
    /// An undo that other acts depend on.
    #[error("{count} later {acts} on it: {list}", acts = if *count == 1 { "act depends" } else { "acts depend" })]
    Dependents {
        /// How many.
        count: usize,
        /// Which, in words.
        list: String,
    },
    /// A temperature without its unit that is warm for the month: likely in degrees F.
    #[error("{0}")]
    Scale(TooWarm),
    /// The same of what nobody typed.
    #[error("{0}")]
    Scales(ManyTooWarm),
    /// Nothing there to undo, redo or show.
    #[error("{0}")]
    Nothing(&'static str),
    /// A file of the grower's could not be read or written.
    #[error("{path}: {reason}")]
    File {
        /// The file.
        path: String,
        /// Why.
        reason: String,
    },
    /// A file of the grower's could be read, and is not what it should be.
    #[error("{path}: {reason}")]
    Content {
        /// The file.
        path: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A file of temperatures could be read, and is not taken.
    #[error("{path}: {error}")]
    Table {
        /// The file.
        path: String,
        /// What is wrong with it.
        error: ImportError,
    },
    /// The weather service could not be asked, or did not answer.
    #[error("{0}")]
    Fetch(#[from] FetchError),
    /// The weather service answered with something else than a forecast.
    #[error("the weather service's answer: {0}")]
    Answer(ImportError),
    /// The full screen cannot be opened.
    #[error("{0}")]
    Terminal(String),
    /// A line of a script was refused.
    #[error("line {line}: {error}")]
    Line {
        /// The line, from 1.
        line: usize,
        /// Why.
        error: Box<DeskError>,
    },
}

impl DeskError {
    /// What kind of trouble it is.
    #[must_use]
    pub fn kind(&self) -> ErrorKind {
        match self {
            Self::Words(error) if error.kind == GrammarErrorKind::Usage => ErrorKind::Usage,
            Self::Words(_) | Self::Refused(_) | Self::Taken { .. } | Self::Future { .. } | Self::TooFar { .. } => {
                ErrorKind::Refused
            }
            Self::Scale(_) | Self::Later { .. } | Self::Unnamed { .. } => ErrorKind::Refused,
            Self::Dependents { .. } | Self::Nothing(_) | Self::Stand(_) | Self::Repack(_) => ErrorKind::Refused,
            Self::NotMeant { .. } | Self::Clock { .. } => ErrorKind::Refused,
            Self::Scales(ManyTooWarm { source: Source::Service, .. }) => ErrorKind::Weather,
            Self::Doubt(_) | Self::Scales(_) => ErrorKind::Doubtful,
            Self::Ambiguous { .. } | Self::NotFound(NotFound::Ambiguous { .. }) => ErrorKind::Ambiguous,
            Self::NotFound(_) | Self::Unknown { .. } => ErrorKind::Unknown,
            Self::Store(_) | Self::File { .. } | Self::Content { .. } | Self::Table { .. } => ErrorKind::Journal,
            Self::Fetch(_) | Self::Answer(_) => ErrorKind::Weather,
            Self::Trade(_) => ErrorKind::Settings,
            Self::Terminal(_) => ErrorKind::Usage,
            Self::Line { error, .. } => error.kind(),
        }
    }

    /// What to do instead; may be empty.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Words(error) => error.hint.clone(),
            Self::Refused(refusal) => refusal.hint().to_owned(),
            Self::Doubt(doubt) => doubt.hint().to_owned(),
            Self::Stand(error) => error.hint(),
            Self::Repack(error) => error.hint().to_owned(),
            Self::Store(error) => error.hint().to_owned(),
            Self::Trade(_) => "correct the file, or move it away to use what is built in".to_owned(),
            Self::NotFound(NotFound::Ambiguous { .. }) => "write more of it".to_owned(),
            Self::NotFound(NotFound::Unknown { closest: Some(_), .. }) => String::new(),
            Self::NotFound(NotFound::Unknown { what: "container", .. }) => {
                "such as seed-tray, half-tray, 24-cell, 72-cell, 9cm-pot, 1l-pot, paper; figures.toml adds your own"
                    .to_owned()
            }
            Self::NotFound(NotFound::Unknown { .. }) => {
                "write the crop's plain name, as tomato or broad bean; figures.toml adds your own".to_owned()
            }
            Self::Fetch(FetchError::NotBuiltIn) => String::new(),
            Self::Scales(doubted) => doubted.hint().to_owned(),
            Self::Answer(error) if error.is_of_scale() => scale::SERVICE_HINT.to_owned(),
            Self::Table { error, .. } if error.is_of_scale() => scale::FILE_HINT.to_owned(),
            Self::Table { error: ImportError::TwoWays, .. } => {
                "add --dates D/M where the day comes first, --dates M/D where the month does".to_owned()
            }
            Self::Answer(ImportError::TwoWays) => {
                "save the answer to a file and `forecast import FILE --dates D/M`, or M/D; the forecast noted last stays"
                    .to_owned()
            }
            Self::Fetch(_) | Self::Answer(_) => "the forecast noted last stays".to_owned(),
            Self::Terminal(_) => String::new(),
            Self::Unknown { hint, .. } => hint.clone(),
            Self::Ambiguous { hint, .. } => (*hint).to_owned(),
            Self::Taken { .. } => "choose another name".to_owned(),
            Self::Unnamed { .. } => {
                "no packet of it with seed left is noted; if the label is lost, the crop is `unknown`".to_owned()
            }
            Self::Later { .. } => {
                "look at the packet again; without --packed it is noted as of no known year".to_owned()
            }
            Self::NotMeant { .. } => "Esc leaves what was typed; look, then type it anew".to_owned(),
            Self::Clock { .. } => "set it right".to_owned(),
            Self::TooFar { .. } => "look at the year; a month ahead is the furthest".to_owned(),
            Self::Future { .. } => "use today or an earlier day with --on".to_owned(),
            Self::Dependents { .. } => "undo those first, or all together with --with-later".to_owned(),
            Self::Scale(TooWarm { celsius, .. }) => format!("write {0}F if it is, {0}C if it was so warm", celsius.0),
            Self::Nothing(_) | Self::Content { .. } | Self::Table { .. } => String::new(),
            Self::File { .. } => "check the path and who may use it".to_owned(),
            Self::Line { error, .. } => error.hint(),
        }
    }

    /// A failure to use a file.
    pub(crate) fn file(path: &std::path::Path, error: &std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::StorageFull {
            return Self::Store(StoreError::Full);
        }
        Self::File { path: path.display().to_string(), reason: error.to_string() }
    }
}

/// What became of the number by which a batch was meant.
fn renamed(now: Option<&str>) -> String {
    now.map_or_else(|| "whose number is another's now".to_owned(), |now| format!("which is numbered {now} now"))
}

/// Before a name that the grower gave, or "no place left" would sound like what remains.
fn called(what: &str) -> &'static str {
    if matches!(what, "place" | "bench" | "carrier") { "called " } else { "" }
}
