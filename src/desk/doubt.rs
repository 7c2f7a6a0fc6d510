//! What is likelier a slip of the finger than so: it is asked about once before it is taken.
//!
//! A count puts the log right, so it may go down as well as up. But eleven where a hundred and ten stood is likelier a
//! digit that was left out, and nothing is up on the day it is sown.

use thiserror::Error;

use crate::journal::{Entry, Fact, Observed, Part, State};
use crate::quantity::{Date, PartId, PartLabel};

/// A count is doubted when it leaves less than half of what stood and takes at least so many off. Common practice, no
/// source: a tray that lost half is a thing one sees, and then it is a loss rather than a recount.
const FAR_BELOW: u32 = 6;

/// Why something is not simply taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Doubt {
    /// Far fewer than stood.
    #[error("{part}: {now} standing where {before} stood, and the {} fewer not noted as lost", before - now)]
    FarBelow {
        /// The part.
        part: PartLabel,
        /// What stood by the log.
        before: u32,
        /// What would stand.
        now: u32,
    },
    /// Something up on the day it was sown.
    #[error("{part}: {up} up on the day they were sown")]
    UpAtOnce {
        /// The part.
        part: PartLabel,
        /// How many.
        up: u32,
    },
    /// Something else, in words.
    #[error("{0}")]
    Unlikely(String),
}

impl Doubt {
    /// What else it may have been, and how to insist on the command line.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::FarBelow { .. } => "if it is so, add --sure; of plants that died say `lose`",
            Self::Unlikely(_) => "if it is so, add --sure",
            Self::UpAtOnce { .. } => "if it is so, add --sure; if they were sown earlier, undo and sow with --on",
        }
    }
}

/// What is to be doubted about the counts among new entries, by what stood before and after them on that day.
pub(super) fn of_counts(before: &State, after: &State, entries: &[Entry], on: Date) -> Option<Doubt> {
    entries.iter().find_map(|entry| match &entry.fact {
        Fact::Counted { part, observed } => of_count(before, after, *part, observed, on),
        _ => None,
    })
}

fn of_count(before: &State, after: &State, id: PartId, observed: &Observed, on: Date) -> Option<Doubt> {
    let (old, new): (&Part, &Part) = (before.parts.get(&id)?, after.parts.get(&id)?);
    let part = after.part_label(new);
    if new.is_sown() && new.filled == on && old.up == 0 && new.up > 0 {
        return Some(Doubt::UpAtOnce { part, up: new.up });
    }
    let (stood, stands) = (old.standing(), new.standing());
    let none_left = stands == 0 && stood > 0;
    // The first ticks on a tray that was counted by number: what was not got to yet is not gone.
    let first_ticks = observed.ticks.is_some() && old.ticked.is_none() && stands < stood;
    let far_below = stands < stood.div_ceil(2) && stood - stands >= FAR_BELOW;
    (none_left || far_below || first_ticks).then_some(Doubt::FarBelow { part, before: stood, now: stands })
}
