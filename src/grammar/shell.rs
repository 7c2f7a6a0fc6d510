//! The whole command line: the options that go with everything, the commands about the journal, and the reports.

use std::path::PathBuf;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, error::ErrorKind};

use crate::quantity::{CropName, Date, Looking, Name, parse_date};

use super::command::{
    AfterRefusal, Answer, Command, Consent, Invocation, Later, Lines, PlainPage, Report, Step, ToldBy,
};
use super::error::{GrammarError, explain};
use super::overview::overview;
use super::plants::PlantVerb;
use super::refs::{ActRef, BatchRef, ContainerWords};
use super::site::SiteVerb;
use super::space::SpaceVerb;
use super::values;

/// Raise young plants from seed: what is due, what is up, what is safe tonight, what fits where
#[derive(Debug, Parser)]
#[command(name = "thumbpot", version, term_width = 80)]
pub(super) struct Shell {
    #[command(flatten)]
    everywhere: Everywhere,
    /// A page of the full screen as text: morning, batch 14, cells 14a, benches, plan frame/left, keys and more
    #[arg(long, value_name = "PAGE", num_args = 0..=2)]
    plain: Option<Vec<String>>,
    #[command(subcommand)]
    verb: Option<Verb>,
}

const EVERYWHERE: &str = "With every command";

#[derive(Debug, Args)]
struct Everywhere {
    /// The journal to open
    #[arg(long, global = true, value_name = "FILE", help_heading = EVERYWHERE)]
    journal: Option<PathBuf>,
    /// The day it happened, or the day to show: yesterday, -3d, mon, 12 apr
    #[arg(long, global = true, value_name = "DATE", allow_hyphen_values = true, help_heading = EVERYWHERE)]
    on: Option<String>,
    /// Answer in JSON
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    #[command(flatten)]
    Plants(PlantVerb),
    #[command(flatten)]
    Site(SiteVerb),
    #[command(flatten)]
    Space(SpaceVerb),
    #[command(flatten)]
    Journal(JournalVerb),
    #[command(flatten)]
    Report(ReportVerb),
}

#[derive(Debug, Subcommand)]
enum JournalVerb {
    /// Take back the newest act, or the act named
    #[command(override_usage = "thumbpot undo [ACT] [--with-later]")]
    Undo {
        /// As `history` shows it
        #[arg(value_name = "ACT")]
        act: Option<ActRef>,
        /// Take back the later acts that need it too
        #[arg(long)]
        with_later: bool,
    },
    /// Bring back what was last taken back
    #[command(override_usage = "thumbpot redo")]
    Redo,
    /// Do what a file says, one act to a line
    #[command(override_usage = "thumbpot run FILE|- [--keep-going]")]
    Run {
        /// The file; - is what is typed or piped in
        #[arg(value_name = "FILE|-")]
        from: PathBuf,
        /// Go on after a line that is refused
        #[arg(long)]
        keep_going: bool,
    },
    /// Verify the journal, or save what a damaged one holds
    #[command(override_usage = "thumbpot check [--salvage NEWFILE]")]
    Check {
        /// Bring every act that can be read into this new journal
        #[arg(long, value_name = "NEWFILE")]
        salvage: Option<PathBuf>,
    },
    /// Copy the journal to a file
    #[command(override_usage = "thumbpot backup FILE")]
    Backup {
        /// The copy
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Bring in what another copy of the journal has
    #[command(override_usage = "thumbpot merge FILE [--yes]")]
    Merge {
        /// The other copy; it is only read
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// Even if it has nothing in common with this journal
        #[arg(long)]
        yes: bool,
    },
    /// Put a copy back in the journal's place
    #[command(override_usage = "thumbpot restore FILE [--yes]")]
    Restore {
        /// The copy
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// Do it without asking
        #[arg(long)]
        yes: bool,
    },
    /// Write the journal out for other programs: .csv or .json
    #[command(override_usage = "thumbpot export --to FILE")]
    Export {
        /// The file; its ending names the format
        #[arg(long, value_name = "FILE")]
        to: PathBuf,
    },
    /// Look round an invented season
    #[command(override_usage = "thumbpot demo [--into FILE]")]
    Demo {
        /// Keep it in this file
        #[arg(long, value_name = "FILE")]
        into: Option<PathBuf>,
    },
}

#[derive(Debug, Subcommand)]
enum ReportVerb {
    /// What is due today and overdue
    #[command(override_usage = "thumbpot due")]
    Due,
    /// What is up, slow or failed, batch by batch
    #[command(override_usage = "thumbpot germination [--plot FILE]")]
    Germination {
        /// Draw the curves in this file
        #[arg(long, value_name = "FILE")]
        plot: Option<PathBuf>,
    },
    /// One batch and its history
    #[command(override_usage = "thumbpot batch BATCH")]
    Batch {
        /// Its number
        #[arg(value_name = "BATCH")]
        batch: BatchRef,
    },
    /// What stands on each bench, and what is free
    #[command(override_usage = "thumbpot benches")]
    Benches,
    /// Where containers would fit
    #[command(override_usage = "thumbpot fits CONTAINER[xN]")]
    Fits {
        /// The kind; x3 for three
        #[arg(value_name = "CONTAINER[xN]")]
        container: ContainerWords,
    },
    /// Tonight, place by place
    #[command(override_usage = "thumbpot cold [BATCH]")]
    Cold {
        /// Only this batch, and how its risk was come by
        #[arg(value_name = "BATCH", value_parser = values::name)]
        batch: Option<Name>,
    },
    /// How warm a place runs, and what that was learnt from
    #[command(override_usage = "thumbpot climate [PLACE]")]
    Climate {
        /// The place; all without it
        #[arg(value_name = "PLACE", value_parser = values::place)]
        place: Option<Name>,
    },
    /// Which lots, treatments or years of a crop did better
    #[command(override_usage = "thumbpot compare CROP [--by lots|treatments|years]")]
    Compare {
        /// The crop
        #[arg(value_name = "CROP", value_parser = values::crop)]
        crop: CropName,
        /// What its sowings are told apart by; all three without it
        #[arg(long, value_name = "lots|treatments|years", value_parser = values::told_by)]
        by: Option<ToldBy>,
    },
    /// What can hurt you or others at this work
    #[command(override_usage = "thumbpot cautions")]
    Cautions,
    /// How a figure came about
    #[command(override_usage = "thumbpot why WORDS..")]
    Why {
        /// What about: a batch, a place, a word of a report
        #[arg(value_name = "WORDS", required = true, value_parser = values::name)]
        words: Vec<Name>,
    },
    /// What was done, newest first
    #[command(override_usage = "thumbpot history [BATCH] [--limit N]")]
    History {
        /// Only of this batch
        #[arg(value_name = "BATCH")]
        batch: Option<BatchRef>,
        /// So many acts at most
        #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
        limit: Option<u32>,
    },
}

/// Reads the words after the program's name.
pub(super) fn read(words: &[String], today: Date) -> Result<Invocation, GrammarError> {
    let matches = Shell::command().try_get_matches_from(called(words));
    let shell = matches.and_then(|mut matches| Shell::from_arg_matches_mut(&mut matches));
    match shell {
        Ok(shell) => shell.into_invocation(today),
        Err(error) => {
            let command = match error.kind() {
                ErrorKind::DisplayHelp => Command::Help(help(words)),
                ErrorKind::DisplayVersion => Command::Version,
                _ => return Err(explain(&error)),
            };
            Ok(Invocation { journal: None, on: None, answer: Answer::Text, command: Some(command) })
        }
    }
}

/// What is answered to words that ask for help. The overview is made for them alone, and not for every line that is read.
fn help(words: &[String]) -> String {
    let command = Shell::command();
    let overview = overview(&command);
    let asked = command.override_help(overview).try_get_matches_from(called(words));
    asked.err().map(|help| help.to_string()).unwrap_or_default()
}

fn called(words: &[String]) -> impl Iterator<Item = &str> {
    std::iter::once("thumbpot").chain(words.iter().map(String::as_str))
}

impl Shell {
    fn into_invocation(self, today: Date) -> Result<Invocation, GrammarError> {
        let Everywhere { journal, on, json } = self.everywhere;
        let on = on.map(|text| parse_date(&text, today, Looking::Back));
        let on = on.transpose().map_err(|error| GrammarError::refused("--on", error))?;
        let command = match (self.plain, self.verb) {
            (Some(page), None) if json => {
                let hint = "leave one of them out; reports answer in JSON";
                return Err(GrammarError::usage(format!("--plain {} cannot go with --json", page.join(" ")), hint));
            }
            (Some(page), None) => Some(Command::Plain(plain_page(&page)?)),
            (Some(_), Some(_)) => {
                let hint = "leave it out: commands answer in plain text";
                return Err(GrammarError::usage("--plain is for the pages of the full screen", hint));
            }
            (None, verb) => verb.map(|verb| verb.into_command(on.unwrap_or(today))).transpose()?,
        };
        Ok(Invocation { journal, on, answer: if json { Answer::Json } else { Answer::Text }, command })
    }
}

/// The page that words name by its beginning; no words are the morning.
fn plain_page(words: &[String]) -> Result<PlainPage, GrammarError> {
    let pages = [
        ("morning", PlainPage::Morning),
        ("tonight", PlainPage::Tonight),
        ("benches", PlainPage::Benches),
        ("in-hand", PlainPage::InHand),
        ("journal", PlainPage::Journal),
        ("keys", PlainPage::Keys),
    ];
    let named = |word: &str| pages.iter().find(|(name, _)| !word.is_empty() && name.starts_with(&word.to_lowercase()));
    match words {
        [] => Ok(PlainPage::Morning),
        [batch, number] if batch.eq_ignore_ascii_case("batch") => {
            let batch = number.parse().map_err(|error| GrammarError::refused("--plain batch", error))?;
            Ok(PlainPage::Batch(batch))
        }
        [cells, part] if cells.eq_ignore_ascii_case("cells") => {
            Ok(PlainPage::Cells(part.parse().map_err(|error| GrammarError::refused("--plain cells", error))?))
        }
        [place, name] if place.eq_ignore_ascii_case("place") => {
            Ok(PlainPage::Place(Name::new(name).map_err(|error| GrammarError::refused("--plain place", error))?))
        }
        [round, name] if round.eq_ignore_ascii_case("round") => {
            Ok(PlainPage::Round(Name::new(name).map_err(|error| GrammarError::refused("--plain round", error))?))
        }
        [plan, bench] if plan.eq_ignore_ascii_case("plan") => {
            Ok(PlainPage::Plan(bench.parse().map_err(|error| GrammarError::refused("--plain plan", error))?))
        }
        [word] if named(word).is_some() => Ok(named(word).map_or(PlainPage::Morning, |(_, page)| page.clone())),
        other => Err(GrammarError::usage(
            format!("'{}' is no page", other.join(" ")),
            "one of: morning, batch NUMBER, cells PART, tonight, benches, plan PLACE/BENCH, in-hand, place NAME, round NAME, journal, keys",
        )),
    }
}

impl Verb {
    fn into_command(self, today: Date) -> Result<Command, GrammarError> {
        Ok(match self {
            Self::Plants(verb) => Command::Step(Step::Act(verb.into_request()?)),
            Self::Site(verb) => match verb.import()? {
                Some(import) => Command::Import(import),
                None => Command::Step(Step::Act(verb.into_request(today)?)),
            },
            Self::Space(verb) => verb.into_command()?,
            Self::Journal(verb) => verb.into_command(),
            Self::Report(verb) => Command::Report(verb.into_report()),
        })
    }
}

impl JournalVerb {
    fn into_command(self) -> Command {
        match self {
            Self::Undo { act, with_later } => {
                Command::Step(Step::Undo { act, later: if with_later { Later::UndoToo } else { Later::Keep } })
            }
            Self::Redo => Command::Step(Step::Redo),
            Self::Run { from, keep_going } => Command::Run {
                from: if from.as_os_str() == "-" { Lines::Typed } else { Lines::File(from) },
                after_refusal: if keep_going { AfterRefusal::GoOn } else { AfterRefusal::Stop },
            },
            Self::Check { salvage: None } => Command::Check,
            Self::Check { salvage: Some(into) } => Command::Salvage { into },
            Self::Backup { file } => Command::Backup(file),
            Self::Merge { file, yes } => {
                Command::Merge { from: file, consent: if yes { Consent::Given } else { Consent::Asked } }
            }
            Self::Restore { file, yes } => {
                Command::Restore { from: file, consent: if yes { Consent::Given } else { Consent::Asked } }
            }
            Self::Export { to } => Command::Export { to },
            Self::Demo { into } => Command::Demo { into },
        }
    }
}

impl ReportVerb {
    fn into_report(self) -> Report {
        match self {
            Self::Due => Report::Due,
            Self::Germination { plot } => Report::Germination { plot },
            Self::Batch { batch } => Report::Batch(batch),
            Self::Benches => Report::Benches,
            Self::Fits { container } => Report::Fits(container),
            Self::Cold { batch: None } => Report::Cold,
            Self::Cold { batch: Some(batch) } => Report::Why(Name::new("cold").into_iter().chain([batch]).collect()),
            Self::Climate { place } => Report::Climate(place),
            Self::Compare { crop, by } => Report::Compare { crop, by },
            Self::Cautions => Report::Cautions,
            Self::Why { words } => Report::Why(words),
            Self::History { batch, limit } => Report::History { limit, batch },
        }
    }
}

/// The grammar as clap knows it, to be read.
pub(super) fn whole() -> clap::Command {
    Shell::command()
}
