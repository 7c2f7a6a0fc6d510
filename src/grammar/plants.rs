//! The words for what is done to plants, from sowing to planting out. What they ask for is said in `asking`.

use clap::{Args, Subcommand};

use crate::journal::{Cause, Rest, Treatment};
use crate::quantity::{CellSet, CropName, Millimetres, Name, Remark, UnknownWord, parse_length};

use super::refs::{BatchRef, ContainerWords, PartRef, SpotRef, Thing, TopicRef};
use super::values::{self, UpOrGaps};

#[derive(Debug, Subcommand)]
pub(super) enum PlantVerb {
    /// Sow a batch
    #[command(
        override_usage = "thumbpot sow CROP [VARIETY] --seeds N|--clusters N|--pinch N --in CONTAINER[xN] --at PLACE/BENCH|--share PART [--per-cell N] [--treatment WORD] [--depth 10mm] [--packed YEAR] [--sure]"
    )]
    Sow(SowArgs),
    /// Take in young plants that were bought or given
    #[command(
        override_usage = "thumbpot receive CROP VARIETY --plants N --in CONTAINER[xN] --at PLACE/BENCH|--share PART [--packed YEAR] [--sure]"
    )]
    Receive {
        #[command(flatten)]
        seed: SeedArgs,
        /// How many plants
        #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
        plants: u32,
        #[command(flatten)]
        room: RoomArgs,
        /// It is so, though it may look like a slip
        #[arg(long)]
        sure: bool,
    },
    /// Note how many are up, standing, or missing
    #[command(
        override_usage = "thumbpot count BATCH|PART [UP|-GAPS] [--standing N] [--gaps N] [--cells 1-12,15] [--doubled 3,7] [--doubles] [--sure]",
        after_help = "`count 14 60` is sixty up; `count 14 -6` is six gaps, all the other cells up. \
`count 14 --cells 1-12,15 --doubled 3` is cell by cell: thirteen cells hold something and one of them two; with --cells none, \
nothing. Cells are numbered row by row from the back left."
    )]
    Count(CountArgs),
    /// Note how far they have grown
    #[command(override_usage = "thumbpot stage BATCH|PART [--leaves N] [--height 60mm] [--leggy] [--roots]")]
    Stage(StageArgs),
    /// Pot on, or prick out, into containers of their own
    #[command(
        visible_aliases = ["prick-out", "set"],
        override_usage = "thumbpot pot-on BATCH|PART [N|--cells 1-12] --into CONTAINER[xN] --at PLACE/BENCH|--share PART [--recount] [--doubles] [--per-cell N] [--rest keep|discard] [--sure]"
    )]
    PotOn(MoveOnArgs),
    /// Move containers to another bench
    #[command(
        override_usage = "thumbpot move PART|BATCH|CARRIER.. [N] PLACE/BENCH [--count N] [--sure] | move --all PLACE/BENCH PLACE/BENCH",
        after_help = "With exactly three words, a bare number in the middle is a number of plants: `move 14 6 frame/left` \
moves six pots of 14. Otherwise each word before the last is moved whole: `move 14a 15a frame/left`. To move two whole \
batches give a letter or the year: `move 14 15a frame/left`. `--count 6` always means plants."
    )]
    Move {
        /// What to move, then where to
        #[arg(value_name = "PART|PLACE/BENCH", required = true, num_args = 1..)]
        words: Vec<String>,
        /// Only so many plants, in their pots
        #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
        count: Option<u32>,
        /// All that stands on the first bench, to the second
        #[arg(long, conflicts_with = "count")]
        all: bool,
        /// It is so, though it may look like a slip
        #[arg(long)]
        sure: bool,
    },
    /// Put out for the day; home is kept
    #[command(override_usage = "thumbpot out [PART|CARRIER..] PLACE")]
    Out {
        /// What goes out, then where to; without parts, those that went out last
        #[arg(value_name = "PART|PLACE", num_args = 0..)]
        words: Vec<String>,
    },
    /// Bring home what was put out
    #[command(name = "in", override_usage = "thumbpot in [PART|CARRIER..]")]
    In {
        /// What comes in; nothing means all that are out
        #[arg(value_name = "PART")]
        things: Vec<Thing>,
    },
    /// Note deaths
    #[command(override_usage = "thumbpot lose BATCH|PART N|--cells 3,4 [--cause slugs] [--note TEXT]")]
    Lose {
        #[command(flatten)]
        some: SomePlants,
        /// damping off, slugs, mice, cold (or frost), heat, drought, waterlogged, wind, insects, handling, other
        #[arg(long, value_name = "CAUSE", value_parser = cause)]
        cause: Option<Cause>,
        /// In your own words
        #[arg(long, value_name = "TEXT", value_parser = values::remark)]
        note: Option<Remark>,
    },
    /// Thin: remove the weaker seedlings
    #[command(override_usage = "thumbpot thin BATCH|PART N|--cells 3,7")]
    Thin(SomePlants),
    /// Throw live plants away
    #[command(override_usage = "thumbpot discard BATCH|PART N|--cells 3,4")]
    Discard(SomePlants),
    /// Give or sell plants away
    #[command(alias = "give", override_usage = "thumbpot give-away BATCH|PART N|--cells 3,4")]
    GiveAway(SomePlants),
    /// Set plants in their final place
    #[command(override_usage = "thumbpot plant-out BATCH|PART [N|--cells 1-12] [--to BED] [--recount]")]
    PlantOut {
        #[command(flatten)]
        some: SomePlants,
        /// Which bed
        #[arg(long, value_name = "BED", value_parser = values::remark)]
        to: Option<Remark>,
        /// What is in your hand is the count, whatever the log says
        #[arg(long)]
        recount: bool,
    },
    /// Note that containers were emptied
    #[command(override_usage = "thumbpot clear BATCH|PART.. [--rest discard] | PART --pots N")]
    Clear {
        /// Whose containers
        #[arg(value_name = "BATCH|PART", required = true)]
        parts: Vec<PartRef>,
        /// discard: plants still in them are thrown away
        #[arg(long, value_name = "keep|discard", value_parser = values::rest)]
        rest: Option<Rest>,
        /// Only so many pots of a set, whose plants left or died; the others stay
        #[arg(long, value_name = "N", conflicts_with = "rest", value_parser = values::some)]
        pots: Option<u32>,
    },
    /// Say what a batch with a lost label is
    #[command(override_usage = "thumbpot identify BATCH CROP VARIETY [--packed YEAR]")]
    Identify {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: BatchRef,
        #[command(flatten)]
        seed: SeedArgs,
    },
    /// Give a batch another number
    #[command(override_usage = "thumbpot relabel BATCH NUMBER")]
    Relabel {
        /// The batch
        #[arg(value_name = "BATCH")]
        batch: BatchRef,
        /// The number now on its label
        #[arg(value_name = "NUMBER")]
        label: BatchRef,
    },
    /// Make a note of a batch or a place
    #[command(override_usage = "thumbpot note BATCH|PLACE TEXT")]
    Note {
        /// What it is about
        #[arg(value_name = "BATCH|PLACE")]
        topic: TopicRef,
        /// The note
        #[arg(value_name = "TEXT", required = true, allow_negative_numbers = true)]
        words: Vec<String>,
    },
}

#[derive(Debug, Args)]
pub(super) struct SeedArgs {
    /// The crop; `unknown` for a lost label
    #[arg(value_name = "CROP", value_parser = values::crop)]
    pub(super) crop: CropName,
    /// The variety; of the only packet of a crop it need not be sown by name
    #[arg(value_name = "VARIETY", value_parser = values::name)]
    pub(super) variety: Option<Name>,
    /// Year packed, to choose among lots
    #[arg(long, value_name = "YEAR", allow_negative_numbers = true, value_parser = values::year)]
    pub(super) packed: Option<i32>,
}

#[derive(Debug, Args)]
pub(super) struct RoomArgs {
    /// The kind of container; x2 for two trays, x12 for a set of twelve pots
    #[arg(
        long = "in",
        visible_alias = "into",
        value_name = "CONTAINER[xN]",
        required_unless_present = "share",
        requires = "at"
    )]
    pub(super) container: Option<ContainerWords>,
    /// Where it is set down: a bench, a place or a carrier
    #[arg(long, value_name = "PLACE/BENCH", requires = "container")]
    pub(super) at: Option<SpotRef>,
    /// In the same container as this part, where there is room
    #[arg(long, value_name = "PART", conflicts_with_all = ["container", "at"])]
    pub(super) share: Option<PartRef>,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub(super) struct UnitArgs {
    /// Seeds sown
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) seeds: Option<u32>,
    /// Clusters sown, as of beetroot: several seedlings each
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) clusters: Option<u32>,
    /// Seed too fine to count: about how many
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) pinch: Option<u32>,
}

#[derive(Debug, Args)]
pub(super) struct SowArgs {
    #[command(flatten)]
    pub(super) seed: SeedArgs,
    #[command(flatten)]
    pub(super) units: UnitArgs,
    #[command(flatten)]
    pub(super) room: RoomArgs,
    /// How many to a cell or pot
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) per_cell: Option<u32>,
    /// soaked, chilled, scarified, smoked or none
    #[arg(long, value_name = "WORD")]
    pub(super) treatment: Option<Treatment>,
    /// How deep
    #[arg(long, value_name = "DEPTH", allow_hyphen_values = true, value_parser = parse_length)]
    pub(super) depth: Option<Millimetres>,
    /// It is so, though it may look like a slip
    #[arg(long)]
    pub(super) sure: bool,
}

#[derive(Debug, Args)]
pub(super) struct CountArgs {
    /// Which
    #[arg(value_name = "BATCH|PART")]
    pub(super) part: PartRef,
    /// How many have come up in all; with a minus sign, how many cells have nothing
    #[arg(value_name = "UP|-GAPS", allow_negative_numbers = true, value_parser = values::up_or_gaps)]
    pub(super) up: Option<UpOrGaps>,
    /// How many are alive now
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::number)]
    pub(super) standing: Option<u32>,
    /// How many cells have nothing
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::number)]
    pub(super) gaps: Option<u32>,
    /// More seedlings than seeds is right: some were doubles
    #[arg(long)]
    pub(super) doubles: bool,
    /// The cells that hold something; they make the count
    #[arg(long, value_name = "1-12,15", conflicts_with = "gaps")]
    pub(super) cells: Option<CellSet>,
    /// The cells that hold two or more, counted as two
    #[arg(long, value_name = "3,7", conflicts_with = "gaps")]
    pub(super) doubled: Option<CellSet>,
    /// It is so, unlikely as it looks
    #[arg(long)]
    pub(super) sure: bool,
}

#[derive(Debug, Args)]
pub(super) struct StageArgs {
    /// Which
    #[arg(value_name = "BATCH|PART")]
    pub(super) part: PartRef,
    /// True leaves, not counting the seed leaves
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::number)]
    pub(super) leaves: Option<u32>,
    /// Height above the compost
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true, value_parser = parse_length)]
    pub(super) height: Option<Millimetres>,
    /// Drawn out by warmth without light
    #[arg(long)]
    pub(super) leggy: bool,
    /// Roots at the drainage holes
    #[arg(long)]
    pub(super) roots: bool,
}

#[derive(Debug, Args)]
pub(super) struct SomePlants {
    /// Which
    #[arg(value_name = "BATCH|PART")]
    pub(super) part: PartRef,
    /// How many plants; planting and potting on take all that stand there without it
    #[arg(value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) plants: Option<u32>,
    /// The cells that are emptied; they say how many plants
    #[arg(long, value_name = "1-12,15")]
    pub(super) cells: Option<CellSet>,
}

#[derive(Debug, Args)]
pub(super) struct MoveOnArgs {
    #[command(flatten)]
    pub(super) some: SomePlants,
    #[command(flatten)]
    pub(super) room: RoomArgs,
    /// What is in your hand is the count, whatever the log says
    #[arg(long)]
    pub(super) recount: bool,
    /// Some were doubles, now split
    #[arg(long)]
    pub(super) doubles: bool,
    /// How many to a cell or pot
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
    pub(super) per_cell: Option<u32>,
    /// What becomes of those left: keep or discard
    #[arg(long, value_name = "keep|discard", value_parser = values::rest)]
    pub(super) rest: Option<Rest>,
    /// It is so, though it may look like a slip
    #[arg(long)]
    pub(super) sure: bool,
}

/// A cause of loss by its own word, or by another that growers have for it.
fn cause(text: &str) -> Result<Cause, UnknownWord> {
    const OTHERS: [(&str, Cause); 9] = [
        ("frost", Cause::Cold),
        ("frozen", Cause::Cold),
        ("chill", Cause::Cold),
        ("snails", Cause::Slugs),
        ("scorch", Cause::Heat),
        ("dry", Cause::Drought),
        ("overwatering", Cause::Waterlogged),
        ("aphids", Cause::Insects),
        ("dropped", Cause::Handling),
    ];
    let other = OTHERS.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim()));
    other.map_or_else(|| text.parse(), |(_, cause)| Ok(*cause))
}
