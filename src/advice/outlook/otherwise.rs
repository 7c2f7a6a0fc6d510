//! What would be said of a sowing were it otherwise: its compost cooler than it is taken to be, its time that of the book, or
//! counted today with nothing new.

use crate::advice::part::before;
use crate::quantity::Celsius;

use super::belief::Group;
use super::record::Record;
use super::verdict::{self, DAYS_BETWEEN_COUNTS, Signs, Verdict, word};
use super::view::{Sowing, View};
use super::{Count, Grounds};

/// How many times its doubt cooler the compost may be that nobody read, a little and much.
const COOLER: [f64; 4] = [0.5, 1.0, 1.5, 2.5];

/// That the compost is to be read before seed is blamed: under how many degrees, in the mean, another word would be said, and
/// which.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct ReadFirst {
    pub(super) under: Celsius,
    pub(super) otherwise: Verdict,
    /// On how many of its days it was read, and the mean of that.
    pub(super) read: Option<(usize, f64)>,
}

impl ReadFirst {
    /// One reading tells of no fortnight.
    pub(super) fn told(self) -> String {
        let under = format!("under {:.0} C", self.under.0);
        let only = if self.otherwise == Verdict::Slow { "this is only slow" } else { "its time is not over" };
        match self.read {
            None => format!("read the compost first: if it is {under} {only}"),
            Some((days, mean)) => {
                let days = if days == 1 { "the one day".to_owned() } else { format!("the {days} days") };
                let too = if mean < self.under.0 { " too" } else { "" };
                format!(
                    "about {mean:.0} C on {days} it was read; if it was {under} on the others{too} {only}: read it every few days"
                )
            }
        }
    }
}

impl View<'_> {
    /// The signs of a sowing without a shoot that is late where nobody read the compost: were that as cool as it may be it might
    /// be no failure, or not late.
    pub(super) fn read_first(
        &self,
        sowing: &Sowing<'_>,
        groups: &[Group],
        grounds: &Grounds,
        signs: Signs,
    ) -> (Signs, Option<ReadFirst>) {
        let Some(largest) = groups.iter().max_by_key(|group| group.sown) else { return (signs, None) };
        let here = word(&signs);
        let is_late = matches!(here, Verdict::Failed | Verdict::Slow);
        // What was read of the days after its last count is not in its word.
        let until = before(self.on, signs.since_count.unwrap_or(0));
        if sowing.up > 0 || !is_late || !largest.run.is_unread(until) {
            return (signs, None);
        }
        let read = largest.run.read_by(until);
        let otherwise = |times: &f64| {
            let cooler = |group: &Group| {
                let run = group.run.cooler(&grounds.book, *times);
                Group { sown: group.sown, curve: group.curve.clone(), run }
            };
            let groups: Vec<Group> = groups.iter().map(cooler).collect();
            let belief = self.believe(sowing, &groups, &grounds.kept, &grounds.seed, None)?;
            let otherwise = word(&self.signs(sowing, &belief, signs.since_count));
            let is_better = otherwise != here && otherwise != Verdict::Failed;
            let under = Celsius(largest.run.mean_until(until, *times));
            is_better.then_some(ReadFirst { under, otherwise, read })
        };
        // Late already, it is only that where it is as cool as it may be.
        let cool = || Celsius(largest.run.mean_until(until, 1.0));
        let only_slow = (here == Verdict::Slow).then(|| ReadFirst { under: cool(), otherwise: here, read });
        let read_first = COOLER.iter().find_map(otherwise).or(only_slow);
        (Signs { unread: read_first.is_some(), ..signs }, read_first)
    }

    /// The word of a sowing without a shoot were its time that of the book, whatever other sowings took.
    pub(super) fn by_book(
        &self,
        sowing: &Sowing<'_>,
        groups: &[Group],
        grounds: &Grounds,
        since_count: Option<u32>,
    ) -> Option<Verdict> {
        if sowing.up > 0 || grounds.kept.batches + grounds.kept.kin == 0 {
            return None;
        }
        let kept = Record::default().time_of(&grounds.book, &sowing.name, sowing.batch.lot, sowing.id);
        let belief = self.believe(sowing, groups, &kept, &grounds.seed, None)?;
        let signs = self.signs(sowing, &belief, since_count);
        let grounds = Grounds { kept, belief, ..grounds.clone() };
        Some(word(&self.read_first(sowing, groups, &grounds, signs).0))
    }

    /// Whether a count today could change the word.
    pub(super) fn count(
        &self,
        sowing: &Sowing<'_>,
        groups: &[Group],
        grounds: &Grounds,
        signs: &Signs,
        verdict: Verdict,
    ) -> Count {
        let was_moved_on = sowing.open.iter().all(|part| part.moved_on > 0);
        if was_moved_on || signs.since_count == Some(0) || matches!(verdict, Verdict::AllUp | Verdict::Failed) {
            return Count::Idle;
        }
        let none_more = || {
            let after = self.believe(sowing, groups, &grounds.kept, &grounds.seed, Some(self.on));
            let signs = self.signs(sowing, &after?, Some(0));
            Some(word(&self.read_first(sowing, groups, grounds, signs).0))
        };
        if signs.since_count.is_some_and(|days| days < DAYS_BETWEEN_COUNTS) {
            // What would be given up today is looked at today: each day more is one of the season.
            let given_up = sowing.up == 0 && none_more() == Some(Verdict::Failed);
            return if given_up { Count::Settle(Verdict::Failed) } else { Count::Idle };
        }
        if verdict == Verdict::NotCountedLately || verdict::wants_a_count(signs) {
            return Count::FindMore;
        }
        if verdict == Verdict::Thin {
            return if verdict::thin_wants_a_count(signs) { Count::FindMore } else { Count::Idle };
        }
        if verdict::unread_wants_a_count(signs) {
            return Count::FindMore;
        }
        // That it finds none more would have to be likely enough.
        if 1.0 - signs.new_since < verdict::COULD_BE {
            return Count::Idle;
        }
        none_more().filter(|other| *other != verdict).map_or(Count::Idle, Count::Settle)
    }
}
