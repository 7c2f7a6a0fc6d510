//! Why an act is refused: one sentence with the numbers, and what to do instead.

use thiserror::Error;

use crate::quantity::{Date, PartLabel};

use super::wrong::Wrong;

/// An act that cannot be true, or that would make something already logged untrue.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Refusal {
    /// The act itself cannot be true on its day.
    #[error("{0}")]
    Impossible(Wrong),
    /// The act is possible by itself but breaks something logged for a later day.
    #[error("that would make an entry of {on} impossible: {wrong}")]
    BreaksLater {
        /// The day of the first entry it breaks.
        on: Date,
        /// What is then wrong with it.
        wrong: Wrong,
    },
    /// More units or plants than the containers have cells.
    #[error("{plants} do not go into {containers}: {cells} cells at {per_cell} each")]
    NoRoom {
        /// Units or plants.
        plants: u32,
        /// The containers, in words.
        containers: String,
        /// Cells in all.
        cells: u32,
        /// To each.
        per_cell: u32,
    },
    /// The wrong kind of container.
    #[error("{name} is a {class}: {why}")]
    WrongVessel {
        /// The container's name.
        name: String,
        /// Its class.
        class: &'static str,
        /// Why it will not do.
        why: &'static str,
    },
    /// Not a tray to carry pots in.
    #[error("{0} is filled itself and carries no pots")]
    CarriesNothing(String),
    /// A tray or a single pot cannot be divided.
    #[error("{0} stands in one container, which moves whole")]
    MovesWhole(PartLabel),
    /// Nothing would change.
    #[error("nothing to do: {0}")]
    Nothing(&'static str),
    /// The batch cannot be identified twice.
    #[error("this batch is not unknown: it is already {0}")]
    NotUnknown(String),
    /// Plants stand where there should be none.
    #[error("{part} was cleared on {on}")]
    Cleared {
        /// The part.
        part: PartLabel,
        /// When.
        on: Date,
    },
    /// Pots were emptied, and the plants in the others go on under another letter.
    #[error("{part} goes on as {now}: its emptied pots were cleared on {on}")]
    GoesOn {
        /// The part.
        part: PartLabel,
        /// What it is called now.
        now: PartLabel,
        /// When.
        on: Date,
    },
    /// So many to a cell or pot cannot be.
    #[error("{0} to each is not between 1 and 1000")]
    PerCell(u32),
    /// More pots of a set to be emptied than hold no plant, or some of those where seed may still come up.
    #[error("{part}: {plants} plants in {pots} pots; {} without a plant", if *idle == 0 { "no pot is".to_owned() } else { format!("{idle} are") })]
    PotsInUse {
        /// The part.
        part: PartLabel,
        /// Plants that stand in it.
        plants: u32,
        /// Pots of the set.
        pots: u32,
        /// Those of them without a plant.
        idle: u32,
        /// True while seed may still come up in them, so that they are emptied together.
        all_or_none: bool,
    },
    /// Cells named where plants go several ways.
    #[error("cells can be named only where all their plants go one way")]
    CellsOfOne,
    /// Too many containers at once.
    #[error("{0} containers in one act is more than a bench can hold (at most 500)")]
    TooMany(u32),
}

impl Refusal {
    /// What the grower can do instead, in a few words; empty when nothing helps.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Impossible(wrong) => hint_for(wrong),
            Self::BreaksLater { .. } => "see `history`; undo the later entry first, or use another number or day",
            Self::NoRoom { .. } => "use more trays (x2), or say how many go to each with --per-cell",
            Self::WrongVessel { .. } => "choose a tray, a cell tray or pots; `fits` lists sizes",
            Self::CarriesNothing(_) => "choose a carrier: `containers carrier` lists them",
            Self::MovesWhole(_) => "move it without a number, or pot some on first",
            Self::Nothing(_) | Self::NotUnknown(_) | Self::PerCell(_) | Self::TooMany(_) => "",
            Self::PotsInUse { all_or_none: true, idle: 1.., .. } => {
                "seed may still come up there: empty all of those, and it is given up"
            }
            Self::PotsInUse { .. } => "write so many or fewer with --pots; note first what died or left",
            Self::CellsOfOne => "use one container or one set of pots, and keep the rest",
            Self::GoesOn { .. } => "write that letter",
            Self::Cleared { .. } => "count a straggler with `count PART --standing 1`",
        }
    }
}

const fn hint_for(wrong: &Wrong) -> &'static str {
    match wrong {
        Wrong::MoreThanStanding { .. } => {
            "if more are there than the log knows, count first; pot-on and plant-out take --recount"
        }
        Wrong::CountBelowLeft { .. } => "to say how many stand now, write --standing N",
        Wrong::DoesNotAddUp { .. } => "count again after noting what was lost",
        Wrong::CountAboveSown { .. } => "if some were doubles, add --doubles",
        Wrong::NoCells(_) => "count without cells: `count PART 12`",
        Wrong::CellTaken { .. } | Wrong::CellEmpty { .. } => {
            "`batch N` shows what is known of the cells; tick them again if that is wrong"
        }
        Wrong::CellsHold { .. } => "leave the number out, or the cells",
        Wrong::TicksSay { .. } => "leave the number out: the ticks are the count",
        Wrong::TooManyGaps { .. } | Wrong::GapsDoNotTell(_) => "count what stands instead: --standing N",
        Wrong::NotEmpty { .. } => "lose, discard or plant them out first, or clear with --rest discard",
        Wrong::NoSuchPart | Wrong::NoSuchBatch | Wrong::NoSuchContainer => {
            "`history` shows when it was sown; use a later day, or sow it on an earlier one"
        }
        Wrong::TooFewPots { .. } => "move the whole set, without a number",
        Wrong::LowAboveHigh => "give the low first, then the high",
        _ => "",
    }
}
