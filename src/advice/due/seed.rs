//! What is due of seed in its tray: a count that could change a word, sowing again, knowing that it is slow.

use crate::advice::outlook::{Hold, Look, Verdict};
use crate::advice::part::{PartAt, days_between, may_come};
use crate::advice::unheard::{FORGOTTEN_DAYS, move_due};
use crate::advice::why::Why;
use crate::journal::Part;

use super::{About, Due, Task, Urgency};

/// Seed that stands still is asked about for so many days from when it first did where it stands; then its line is quiet,
/// for whoever leaves it there knows. Common practice, no source.
const HELD_DAYS: u32 = 7;
/// Whether to sow again for a slow one is asked for so many days before the last good day.
const DECIDED_WITHIN: u32 = 7;

impl About<'_> {
    /// Sown parts, when a count of them could change the word, but for those to be moved: whoever does it looks.
    pub(super) fn count(&self) -> Option<Due> {
        let outlook = self.outlook?;
        let Look::Count(what_for) = &outlook.look else { return None };
        let last = |part: &Part| part.counts.last().map_or(part.filled, |count| count.on);
        let to_move = |id| move_due(self.state, self.trade, id, self.on).is_some();
        let parts = may_come(self.state, self.batch).filter(|(id, part)| last(part) < self.on && !to_move(*id));
        let parts: Vec<_> = parts.filter_map(|(id, _)| PartAt::of(self.state, id)).collect();
        if parts.is_empty() {
            return None;
        }
        let counted = may_come(self.state, self.batch).filter_map(|(_, part)| part.counts.last()).map(|it| it.on).min();
        let so_far = counted.map_or_else(
            || format!("sown {} days ago and not counted", days_between(self.batch.begun, self.on)),
            |on| match days_between(on, self.on) {
                1 => "last counted yesterday".to_owned(),
                days => format!("last counted {days} days ago"),
            },
        );
        let reason = format!("{so_far}: {what_for}");
        let why = Why::new("counted when it is likelier than not that more have come, or when even the same count would change the word")
            .seen("sown", "", self.batch.begun)
            .given("the word now", outlook.verdict)
            .doubt("the temperatures between are read where they were noted and assumed where not")
            .changes("a count");
        Some(self.row(Task::Count, Urgency::Today, parts, self.on, reason, outlook.explain(why)))
    }

    /// Failed or thin, while it can still be sown again or has just become too late. Where others were sown in its stead,
    /// a tray without a plant is all that is left to see to.
    pub(super) fn sow_again(&self) -> Option<Due> {
        let outlook = self.outlook.filter(|it| matches!(it.verdict, Verdict::Failed | Verdict::Thin))?;
        let again = outlook.again.as_ref()?;
        if again.is_sown() {
            let why = Why::new("seed of the crop was sown since it was known how this sowing stands")
                .changes("undoing that sowing, a count");
            let reason = format!("{}: {}; its tray is free", outlook.verdict, outlook.by_word);
            let is_bare = self.state.tally(self.batch).standing == 0;
            return is_bare.then(|| {
                self.row(Task::ClearForgotten, Urgency::Quiet, self.open(), self.on, reason, outlook.explain(why))
            });
        }
        let late = again.by.map_or(0, |by| days_between(by, self.on));
        if late > FORGOTTEN_DAYS {
            return None;
        }
        let urgency = if late > 0 { Urgency::Late } else { Urgency::Today };
        let reason = format!("{}: {}", outlook.verdict, outlook.by_word);
        let why = Why::new("the fewest seeds that give the plants wanted nine times in ten, from the best lot at hand")
            .changes("a lot noted, the date of the last frost, a count, or clearing the tray where it is not to be sown again");
        let mut row = self.row(Task::SowAgain, urgency, self.open(), self.on, reason, outlook.explain(why));
        (row.due, row.overdue_days) = (again.by, late);
        Some(row)
    }

    /// Seed that stands still where it is, and would not elsewhere. It is said where the open parts stand; what is chilled
    /// stands still on purpose.
    pub(super) fn stands_still(&self) -> Option<Due> {
        let outlook = self.outlook.filter(|it| !it.look.is_left())?;
        let held = outlook.held.as_ref()?;
        let what = match held.hold {
            Hold::TooCold => Task::ToWarmth,
            Hold::TooHot => Task::ToCool,
            Hold::Chilling => return None,
        };
        let parts = self.open();
        let is_news = days_between(held.since, self.on) < HELD_DAYS;
        let urgency = if is_news { Urgency::Today } else { Urgency::Quiet };
        let why = Why::new(
            "seed stands still when the mean of its compost, over the week with today in its middle, is out of the range it \
             germinates in",
        )
        .seen("out of range since", "", held.since)
        .given("mean of its compost", held.mean)
        .doubt("the compost is worked out from the air where it was not read")
        .changes("moving it, a reading of the compost, a warmer or colder forecast");
        let why = match &held.better {
            Some((place, mean)) => why.given("it would come soonest in", format!("{place}, mean {mean}")),
            None => why.given("it would come soonest in", "no place there is"),
        };
        Some(self.row(what, urgency, parts, held.since, outlook.by_word.clone(), outlook.explain(why)))
    }

    /// Late, or of seed of which little is expected, and worth knowing; to be decided on when the last day to sow again is near.
    pub(super) fn uncertain(&self) -> Option<Due> {
        let outlook = self.outlook.filter(|it| !it.look.is_left() && !it.by_word.is_empty())?;
        let what = match outlook.verdict {
            Verdict::Slow => Task::Slow,
            Verdict::Waiting | Verdict::Emerging | Verdict::NotCountedLately => Task::SowAgain,
            _ => return None,
        };
        let by = outlook.again.as_ref().and_then(|again| again.by).filter(|by| *by >= self.on);
        let last = by.filter(|by| days_between(self.on, *by) <= DECIDED_WITHIN);
        let why = Why::new("later than seed of its kind comes nine times in ten, or its median a quarter late; or enough are expected less than once in ten")
            .changes("a count, or warmth");
        let urgency = if last.is_some() { Urgency::Today } else { Urgency::Quiet };
        let mut row = self.row(what, urgency, self.open(), self.on, outlook.by_word.clone(), outlook.explain(why));
        row.due = last;
        Some(row)
    }

    fn open(&self) -> Vec<PartAt> {
        may_come(self.state, self.batch).filter_map(|(id, _)| PartAt::of(self.state, id)).collect()
    }
}
