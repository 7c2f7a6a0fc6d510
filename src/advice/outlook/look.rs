//! What is asked of whoever looks after a sowing, beside what its word asks: to count it, at once or when it is moved on; or,
//! long past hope, to clear it.

use crate::advice::part::may_come;
use crate::advice::ready::Step;
use crate::advice::unheard::{COUNT_WHAT_LIVES, is_forgotten, move_due};
use crate::quantity::Date;

use super::belief::Belief;
use super::verdict::{NEWS_FROM, Verdict};
use super::view::{Sowing, View};
use super::{Count, Outlook};

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::advice) enum Look {
    /// Nothing.
    No,
    /// To be counted, and why: `more have likely come`.
    Count(String),
    /// To be counted by whoever makes its next move.
    AtMove(Step, String),
    /// Past all hope it is asked about as forgotten.
    Forgotten,
    /// Plants stand by the log, and nothing was noted of them for half a year.
    Unheard,
}

impl Look {
    /// In words; `None` where nothing is asked.
    pub(super) fn told(&self) -> Option<String> {
        let step = |step: &Step| match step {
            Step::PrickOut => "prick out",
            Step::PotOn => "pot on",
            Step::PlantOut => "plant out",
        };
        match self {
            Self::No => None,
            Self::Count(why) => Some(format!("count it: {why}")),
            Self::AtMove(at, why) => Some(format!("count what is up when you {}: {why}", step(at))),
            Self::Forgotten => Some("count it if it lives, else clear it: it seems hopeless or forgotten".to_owned()),
            Self::Unheard => Some(COUNT_WHAT_LIVES.to_owned()),
        }
    }

    /// True of what is asked about when nothing was noted of it for long, and of nothing else then.
    pub(in crate::advice) const fn is_left(&self) -> bool {
        matches!(self, Self::Forgotten | Self::Unheard)
    }
}

impl View<'_> {
    /// What is asked of a sowing, given what a count could do.
    pub(super) fn look(&self, sowing: &Sowing<'_>, belief: &Belief, verdict: Verdict, count: Count) -> Look {
        let open = || may_come(self.state, sowing.batch);
        let hope = hope(belief, verdict);
        if open().all(|part| is_forgotten(self.state, part, hope, self.on)) {
            let stands = open().any(|(_, part)| part.standing() > 0);
            return if stands { Look::Unheard } else { Look::Forgotten };
        }
        let Some(why) = what_for(count, sowing.up, belief, verdict) else { return Look::No };
        let moves: Option<Vec<Step>> =
            open().map(|(id, _)| Some(move_due(self.state, self.trade, id, self.on)?.step)).collect();
        match moves.and_then(|steps| steps.into_iter().min()) {
            Some(step) => Look::AtMove(step, why),
            None => Look::Count(why),
        }
    }
}

/// What a count is for: `more have likely come`, `if none are up it is failed`.
fn what_for(count: Count, up: u32, belief: &Belief, verdict: Verdict) -> Option<String> {
    let (none, some) = if up > 0 { ("no more", "more") } else { ("none", "some") };
    Some(match count {
        Count::Idle => return None,
        Count::Settle(word) => format!("if {none} are up it is {word}"),
        Count::FindMore if belief.new_since >= NEWS_FROM => format!("{some} have likely come"),
        Count::FindMore if verdict == Verdict::NotCountedLately => "its time is nearly over".to_owned(),
        Count::FindMore => format!("{some} may have come all the same"),
    })
}

/// The day by which nine tenths of what comes should be up, past or to come; what stands still is hoped for as long as it does: its
/// seed is not to blame.
fn hope(belief: &Belief, verdict: Verdict) -> Option<Date> {
    match verdict {
        Verdict::Held(_) => Some(Date::MAX),
        _ => belief.ninety_by,
    }
}

impl Outlook {
    /// The day after which no more is looked for.
    pub(in crate::advice) fn hope(&self) -> Option<Date> {
        hope(&self.grounds.as_ref()?.belief, self.verdict)
    }
}
