//! What a command line asks for: a change to the journal, something to see, or something done to the journal's file.

use std::path::PathBuf;

use crate::quantity::{CropName, Date, DateOrder, Name, Scale};

use super::refs::{ActRef, BatchRef, BenchRef, ContainerWords, PartRef, SpotRef};
use super::request::Request;

/// One whole command line.
#[derive(Clone, Debug, PartialEq)]
pub struct Invocation {
    /// The journal to open, when it was named.
    pub journal: Option<PathBuf>,
    /// The day to show things by and to date new entries with, when it was given.
    pub on: Option<Date>,
    /// How to answer.
    pub answer: Answer,
    /// What to do; without it, open the full screen.
    pub command: Option<Command>,
}

/// How to answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// In aligned text.
    Text,
    /// In JSON.
    Json,
}

/// What a command line asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Change the journal.
    Step(Step),
    /// Show something.
    Report(Report),
    /// Show a page of the full screen as text.
    Plain(PlainPage),
    /// Take steps from a file, one to a line.
    Run {
        /// Where the lines come from.
        from: Lines,
        /// What to do after a line that is refused.
        after_refusal: AfterRefusal,
    },
    /// Take temperatures from another program's file.
    Import(Import),
    /// Show an invented season.
    Demo {
        /// Where to keep it; without it, nowhere.
        into: Option<PathBuf>,
    },
    /// Verify the journal.
    Check,
    /// Bring every act that can be read out of a damaged journal.
    Salvage {
        /// The new journal.
        into: PathBuf,
    },
    /// Copy the journal to a file.
    Backup(PathBuf),
    /// Bring in what another copy of the journal has and this one lacks.
    Merge {
        /// The other copy.
        from: PathBuf,
        /// Whether a journal that has nothing in common with this one was said to be meant.
        consent: Consent,
    },
    /// Put a copy back in the journal's place.
    Restore {
        /// The copy.
        from: PathBuf,
        /// Whether that was said to be meant.
        consent: Consent,
    },
    /// Write the journal out in a format that other programs read.
    Export {
        /// The file; its ending names the format.
        to: PathBuf,
    },
    /// Print this help.
    Help(String),
    /// Print the version.
    Version,
}

/// Whether something that cannot be done by mistake was said to be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Consent {
    /// Show what it would come to, and ask.
    Asked,
    /// It was said beforehand.
    Given,
}

/// A page of the full screen, to be shown as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlainPage {
    /// The morning.
    Morning,
    /// One batch.
    Batch(BatchRef),
    /// The cells of a part's tray.
    Cells(PartRef),
    /// Before dusk.
    Tonight,
    /// The benches.
    Benches,
    /// Trays and pots in hand.
    InHand,
    /// One bench to scale.
    Plan(BenchRef),
    /// One place.
    Place(Name),
    /// The stops of a round through a place.
    Round(Name),
    /// Every act.
    Journal,
    /// Every key.
    Keys,
}

/// Temperatures to take from elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Import {
    /// Readings of thermometers.
    Readings {
        /// The file.
        file: PathBuf,
        /// The place they were read in; without it, a column has to name the places.
        place: Option<Name>,
        /// The scale of what does not say its own, where it was typed.
        unit: Option<Scale>,
        /// Which comes first in its days, where it was typed.
        order: Option<DateOrder>,
    },
    /// A forecast.
    Forecast {
        /// The file.
        file: PathBuf,
        /// The scale of what does not say its own, where it was typed.
        unit: Option<Scale>,
        /// Which comes first in its days, where it was typed.
        order: Option<DateOrder>,
    },
    /// A forecast of the weather service in the settings.
    Fetch,
}

/// A change to the journal: all that a line of `run` may hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Do something.
    Act(Request),
    /// Take an act back.
    Undo {
        /// Which; without it, the newest.
        act: Option<ActRef>,
        /// What becomes of later acts that need it.
        later: Later,
    },
    /// Bring back what was last undone.
    Redo,
}

/// What becomes of later acts that need the one undone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Later {
    /// They stay, and the undo is refused if there are any.
    Keep,
    /// They are undone with it.
    UndoToo,
}

/// Where lines come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lines {
    /// Standard input.
    Typed,
    /// A file.
    File(PathBuf),
}

/// What to do after a line that is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AfterRefusal {
    /// Stop there.
    Stop,
    /// Go on with the next line.
    GoOn,
}

/// One step as a line of `run` gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The day it happened, when the line says so.
    pub on: Option<Date>,
    /// What to do.
    pub step: Step,
}

/// What a line typed at the screen asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Typed {
    /// A change to the journal.
    Step(Line),
    /// Something to be shown.
    Report {
        /// The day to show it by, when the line says so.
        on: Option<Date>,
        /// What.
        report: Report,
    },
    /// This help.
    Help(String),
}

/// What sowings of one crop are told apart by when they are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToldBy {
    /// The lot of seed.
    Lots,
    /// What was done to the seed.
    Treatments,
    /// The year of sowing.
    Years,
}

/// What to show.
#[derive(Clone, Debug, PartialEq)]
pub enum Report {
    /// What is due.
    Due,
    /// Germination by batch.
    Germination {
        /// A file to draw the curves in.
        plot: Option<PathBuf>,
    },
    /// One batch.
    Batch(BatchRef),
    /// The benches and their free space.
    Benches,
    /// Where containers fit.
    Fits(ContainerWords),
    /// What repacking a bench would free.
    Repack(SpotRef),
    /// Trays and pots: owned, in use, empty, short.
    InHand,
    /// The kinds of container, or those of which a word is part.
    Containers(Option<Name>),
    /// The crops, or those of which a word is part.
    Crops(Option<Name>),
    /// The places and their benches.
    Places,
    /// Tonight, place by place.
    Cold,
    /// The climate of a place, or of all.
    Climate(Option<Name>),
    /// Which did better of a crop.
    Compare {
        /// The crop.
        crop: CropName,
        /// What its sowings are told apart by; all three when nothing is said.
        by: Option<ToldBy>,
    },
    /// Every caution, with who says so.
    Cautions,
    /// How a figure came about.
    Why(Vec<Name>),
    /// What was done, newest first.
    History {
        /// How many acts at most.
        limit: Option<u32>,
        /// Only of this batch.
        batch: Option<BatchRef>,
    },
}
