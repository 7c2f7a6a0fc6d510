//! The words for room: standing things exactly, repacking, changing over, measuring and owning containers.

use clap::{Args, Subcommand};

use crate::journal::{ContainerSize, MOST};
use crate::quantity::{Millimetres, Name, parse_length, shown};

use super::command::{Command, Report, Step};
use super::error::GrammarError;
use super::refs::{ContainerWords, PartRef, RefError, SpotRef, Thing, begins_with_a_digit};
use super::request::{Along, Others, PlaceWords, Request, SwapRef};
use super::site::PlaceVerb;
use super::values;

#[derive(Debug, Subcommand)]
pub(super) enum SpaceVerb {
    /// What repacking a bench would free; --do notes it as done
    #[command(override_usage = "thumbpot repack PLACE/BENCH [--do]")]
    Repack {
        /// The bench
        #[arg(value_name = "PLACE/BENCH")]
        bench: SpotRef,
        /// Everything stands as the plan says: note it so, in one act
        #[arg(long = "do")]
        done: bool,
    },
    /// Change over two containers, or all of two benches
    #[command(override_usage = "thumbpot swap PART|CARRIER|PLACE/BENCH PART|CARRIER|PLACE/BENCH [--sure]")]
    Swap {
        /// The one
        #[arg(value_name = "PART|PLACE/BENCH")]
        one: SwapRef,
        /// The other
        #[arg(value_name = "PART|PLACE/BENCH")]
        other: SwapRef,
        /// It is so, though it may look like a slip
        #[arg(long)]
        sure: bool,
    },
    /// Note the outer size of a kind of container, once
    #[command(override_usage = "thumbpot measure CONTAINER 380x240mm [--height 60mm] [--sure]")]
    Measure {
        /// The kind
        #[arg(value_name = "CONTAINER", value_parser = values::name)]
        container: Name,
        /// Length x width
        #[arg(value_name = "SIZE", allow_hyphen_values = true, value_parser = values::rectangle)]
        size: (Millimetres, Millimetres),
        /// How tall it is
        #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true, value_parser = parse_length)]
        height: Option<Millimetres>,
        /// It is so, though it may look like a slip
        #[arg(long)]
        sure: bool,
    },
    /// Say how many of a kind of container you have in all
    #[command(override_usage = "thumbpot own CONTAINERxN|CONTAINER N")]
    Own {
        /// The kind; x60 for sixty
        #[arg(value_name = "CONTAINER[xN]")]
        container: ContainerWords,
        /// How many, used and unused
        #[arg(value_name = "N", value_parser = values::number)]
        count: Option<u32>,
    },
    /// Note that emptied trays or pots were washed; all of the kind
    #[command(override_usage = "thumbpot wash CONTAINER|CONTAINERxN|CONTAINER N [--sure]")]
    Wash {
        /// The kind; x12 for twelve
        #[arg(value_name = "CONTAINER[xN]")]
        container: ContainerWords,
        /// How many; all that were emptied without it
        #[arg(value_name = "N", value_parser = values::some)]
        count: Option<u32>,
        /// It is so, though the log knows of fewer
        #[arg(long)]
        sure: bool,
    },
    /// Trays and pots: owned, in use, to wash, clean, short
    #[command(override_usage = "thumbpot in-hand")]
    InHand,
    /// The kinds of container with their sizes
    #[command(override_usage = "thumbpot containers [WORD]")]
    Containers {
        /// Only those of which it is part, as pot
        #[arg(value_name = "WORD", value_parser = values::name)]
        word: Option<Name>,
    },
    /// The crops that are known
    #[command(override_usage = "thumbpot crops [WORD]")]
    Crops {
        /// Only those of which it is part, as bean
        #[arg(value_name = "WORD", value_parser = values::name)]
        word: Option<Name>,
    },
    /// The places with their benches
    #[command(override_usage = "thumbpot places")]
    Places,
}

impl SpaceVerb {
    pub(super) fn into_command(self) -> Result<Command, GrammarError> {
        Ok(Command::Step(Step::Act(match self {
            Self::Repack { bench, done: true } => Request::Repack { bench },
            Self::Repack { bench, done: false } => return Ok(Command::Report(Report::Repack(bench))),
            Self::InHand => return Ok(Command::Report(Report::InHand)),
            Self::Containers { word } => return Ok(Command::Report(Report::Containers(word))),
            Self::Crops { word } => return Ok(Command::Report(Report::Crops(word))),
            Self::Places => return Ok(Command::Report(Report::Places)),
            Self::Swap { one, other, sure } => Request::Swap { one, other }.if_sure(sure),
            Self::Measure { container, size: (length, width), height, sure } => {
                Request::Measure { container, size: ContainerSize { length, width, height } }.if_sure(sure)
            }
            Self::Own { container, count } => {
                let count = once(container.times, count)?
                    .ok_or_else(|| GrammarError::usage("still needed: how many", "write own 9cm-potx60"))?;
                Request::Own { container: container.name, count }
            }
            Self::Wash { container, count, sure } => {
                let count = once(container.times, count)?;
                Request::Wash { container: container.name, count }.if_sure(sure)
            }
        })))
    }
}

/// A number that may stand behind the container's name or by itself.
fn once(times: Option<u32>, count: Option<u32>) -> Result<Option<u32>, GrammarError> {
    match (times, count) {
        (Some(_), Some(_)) => {
            Err(GrammarError::usage("the number is given twice", "write it once, as 9cm-potx60 or 9cm-pot 60"))
        }
        (times, count) => Ok(times.or(count)),
    }
}

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true, disable_help_subcommand = true)]
pub(super) struct PlaceArgs {
    #[command(subcommand)]
    verb: Option<PlaceVerb>,
    /// The part, or the carrier
    #[arg(value_name = "PART", required = true)]
    thing: Option<Thing>,
    /// From the left end and from the back, in mm; with signs, from where it stands
    #[arg(value_name = "X,Y", allow_hyphen_values = true, value_parser = offsets)]
    spot: Option<(Along, Along)>,
    /// On another bench
    #[arg(long, value_name = "PLACE/BENCH")]
    at: Option<SpotRef>,
    /// A quarter turned
    #[arg(long, conflicts_with = "straight")]
    turned: bool,
    /// Its length along the bench
    #[arg(long)]
    straight: bool,
    /// No proposal is to move it
    #[arg(long, conflicts_with = "loose")]
    pin: bool,
    /// Proposals may move it again
    #[arg(long)]
    loose: bool,
    /// At no spot of its own any more: wherever there is room on its bench
    #[arg(long, conflicts_with_all = ["spot", "at", "turned", "straight", "pin", "loose", "as_drawn"])]
    anywhere: bool,
    /// Note the rest of the bench as the plan draws it, so that nothing else gives way
    #[arg(long)]
    as_drawn: bool,
}

impl PlaceArgs {
    pub(super) fn into_request(self) -> Result<Request, GrammarError> {
        let Self { verb, thing, spot, at, turned, straight, pin, loose, anywhere, as_drawn } = self;
        if let Some(PlaceVerb::Add { name, kind, heated_to, light }) = verb {
            return Ok(Request::AddPlace { name, kind, heated_to, light });
        }
        let usage = || GrammarError::usage("place what, and where?", "write `place 14a 240,0`, or --turned, or --pin");
        if anywhere {
            return thing.map(Request::PlaceAnywhere).ok_or_else(usage);
        }
        let either = |yes: bool, no: bool| if yes || no { Some(yes) } else { None };
        let (turned, pinned) = (either(turned, straight), either(pin, loose));
        if spot.is_none() && at.is_none() && turned.is_none() && pinned.is_none() {
            return Err(usage());
        }
        let others = if as_drawn { Others::AsDrawn } else { Others::GiveWay };
        Ok(Request::Place(PlaceWords { thing: thing.ok_or_else(usage)?, at: spot, bench: at, turned, pinned, others }))
    }
}

/// `240,0` from the left end and the back; `+50,-20` from where it stands.
fn offsets(text: &str) -> Result<(Along, Along), String> {
    let wrong = || format!("'{}' is not a spot: write X,Y in mm, as 240,0, or +50,-20 to nudge it", shown(text));
    let (x, y) = text.split_once(',').ok_or_else(wrong)?;
    Ok((along(x).ok_or_else(wrong)?, along(y).ok_or_else(wrong)?))
}

fn along(text: &str) -> Option<Along> {
    let text = text.trim();
    let length = |text: &str| {
        if text.chars().all(|c| c == '0') && !text.is_empty() {
            return Some(0);
        }
        parse_length(text).ok().map(|length| length.0).filter(|length| *length <= MOST)
    };
    let signed = |text: &str, sign: i32| Some(Along::By(sign * i32::try_from(length(text)?).ok()?));
    match (text.strip_prefix('+'), text.strip_prefix('-')) {
        (Some(more), _) => signed(more, 1),
        (_, Some(less)) => signed(less, -1),
        (None, None) => length(text).map(Along::To),
    }
}

impl std::str::FromStr for SwapRef {
    type Err = RefError;

    fn from_str(text: &str) -> Result<Self, RefError> {
        if begins_with_a_digit(text) {
            return text.parse::<PartRef>().map(Self::Part);
        }
        text.parse().map(Self::Spot)
    }
}
