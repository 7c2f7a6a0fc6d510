//! What is likelier a slip of the finger than so: it is asked about once before it is taken.
//!
//! Counts are of what has come up so far, and that grows. A lower number than was noted before it, or a higher one than was
//! noted after, is a slip of one of them or a death that is not noted; and nothing is up on the day it is sown.

use thiserror::Error;

use crate::journal::{Count, Entry, Fact, Observed, Part, State};
use crate::quantity::{Date, PartLabel};

/// Why something is not simply taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Doubt {
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
            Self::Unlikely(_) => "if it is so, add --sure",
            Self::UpAtOnce { .. } => "if it is so, add --sure; if they were sown earlier, undo and sow with --on",
        }
    }
}

/// What is to be doubted about the counts among new entries, by what was known before and after them on that day, and by the
/// counts of later days in the latest state.
pub(super) fn of_counts(before: &State, then: &State, latest: &State, entries: &[Entry]) -> Option<Doubt> {
    entries.iter().find_map(|entry| match &entry.fact {
        Fact::Counted { part, observed } => {
            let (old, new) = (before.parts.get(part)?, then.parts.get(part)?);
            let later = latest.parts.get(part)?.counts.get(new.counts.len()..).unwrap_or_default();
            let of = OneCount { part: then.part_label(new), old, new, later, observed };
            of.at_once(entry.on).or_else(|| of.fell()).or_else(|| of.fell_later())
        }
        _ => None,
    })
}

/// One count among those of its part.
struct OneCount<'a> {
    part: PartLabel,
    /// The part on that day without it, and with it.
    old: &'a Part,
    new: &'a Part,
    /// The counts of later days.
    later: &'a [Count],
    observed: &'a Observed,
}

impl OneCount<'_> {
    fn at_once(&self, on: Date) -> Option<Doubt> {
        let Self { part, old, new, .. } = self;
        let at_once = new.is_sown() && new.filled == on && old.up == 0 && new.up > 0;
        at_once.then_some(Doubt::UpAtOnce { part: *part, up: new.up })
    }

    /// Fewer than were noted before, as far as later counts have left that.
    fn fell(&self) -> Option<Doubt> {
        let Self { part, old, new, observed, .. } = self;
        let least = self.later().map(|count| count.up).fold(u32::MAX, u32::min);
        let of_up = observed.up.is_some() && came(new) < came(old).min(least);
        // Of which so many are told to stand the others died.
        let both = observed.up.is_some() && observed.standing.is_some();
        let of_standing = !both && came(new) < least && new.standing() < old.standing();
        let (now, before) = if of_up { (came(new), came(old)) } else { (new.standing(), old.standing()) };
        if !of_up && !of_standing {
            return None;
        }
        let last = old.counts.last().map_or_else(String::new, |count| format!(" on {}", said(count.on)));
        let (how, were) = if of_up { ("up", format!("were{last}")) } else { ("standing", "stood".to_owned()) };
        let instead = if of_up && old.left() > 0 {
            format!("if {now} stand, `count {part} --standing {now}` instead")
        } else {
            format!("if dead, `lose {part} {}` instead", self.gone(before - now))
        };
        let slip = format!("as if {} too many had been counted", before - now);
        Some(Doubt::Unlikely(format!("{part}: {now} {how} where {before} {were}, {slip}; {instead}")))
    }

    /// More than are noted after.
    fn fell_later(&self) -> Option<Doubt> {
        let Self { part, new, .. } = self;
        let up = new.counts.last()?.up;
        let fewer = self.later().filter(|count| count.up < up).last()?;
        let (had, on) = (fewer.up, fewer.on);
        let instead = format!("if dead by then, `count {part} {up} --on {on}` and `lose {part} {}` instead", up - had);
        Some(Doubt::Unlikely(format!(
            "{part}: {up} up where {had} were later, on {}, and that count stands; {instead}",
            said(on)
        )))
    }

    /// The last count of each later day: one of the same day puts those before it right.
    fn later(&self) -> impl Iterator<Item = &Count> {
        let stands = |at: usize| self.later.get(at + 1).is_none_or(|next| next.on != self.later[at].on);
        (0..self.later.len()).filter(move |at| stands(*at)).map(|at| &self.later[at])
    }

    /// The cells that are bare now, where both were ticked, or else how many.
    fn gone(&self, fewer: u32) -> String {
        let held = self.old.ticked.as_ref().and_then(|ticked| ticked.now.as_ref());
        let bare = held.zip(self.observed.ticks.as_ref()).map(|(held, now)| held.cells().without(now.cells()));
        match bare.filter(|bare| !bare.is_empty()) {
            Some(bare) => format!("--cells {bare}"),
            None => fewer.to_string(),
        }
    }
}

/// What has ever come up, or come in, by the last count.
fn came(part: &Part) -> u32 {
    if part.is_sown() { part.up } else { part.ever() }
}

fn said(on: Date) -> String {
    on.format("%-d %b").to_string()
}
