//! What the counts of a sowing leave to be believed: how many more come, how late it runs, whether it is time to look.

use crate::advice::part::{after, before, days_between};
use crate::journal::Part;
use crate::quantity::Date;
use crate::science::counts::Counts;
use crate::science::outlook::{NoOutlook, Outlook, Prior, Seen, outlook};

use super::expect::timing;
use super::run::Run;
use super::verdict::{COLD_SPELL, LATE_PACKET, LIKELIER_DEAD, PAUSE, Soon};

/// Once seedlings have shown that the figures are wrong, the median may be off by so much, as a standard deviation of
/// the logarithm: nearly threefold either way.
const RELEARN_DOUBT: f64 = 1.0;

/// Whether temperatures, figures and seedlings agree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Model {
    /// They do.
    Holds,
    /// Seedlings are up when by the figures none can be: the temperatures or the figures are wrong, and the time is
    /// learnt anew from the seedlings, day by day.
    Relearnt,
}

/// What is believed of a sowing, or of the parts of one that share a history.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Belief {
    /// Units sown in these parts, and up at the last count.
    pub(super) sown: u32,
    pub(super) up: u32,
    /// How many more come up in the end.
    pub(super) further: Counts,
    /// The chance that one more shows within some days after the last count.
    pub(super) soon: Soon,
    /// The share of what lives that should be up by the last count, by the time that the counts leave.
    pub(super) share_up: f64,
    /// The same by today.
    pub(super) share_now: f64,
    /// The median that the counts leave over the one expected before them; 1 without counts.
    pub(super) late: f64,
    /// The time at which so many were up over the one at which they should be, of the count for which it is least; at least
    /// half of what lives is taken for half.
    pub(super) soonest: f64,
    /// The chance that seed of which at least one lives shows nothing by the last count; 1 without one.
    pub(super) none_yet: f64,
    /// The chance that at least one has come since the last count.
    pub(super) new_since: f64,
    /// The share of what lives that a late packet would have up by the last count, before any count.
    pub(super) fairly_up: f64,
    /// Days for which the counts found none new, up to the last count.
    pub(super) still: u32,
    /// The share of what lives that should be up by the last count, were it as late as a late packet or as the counts leave it,
    /// whichever is later; 0 when more came within a cold spell before it.
    pub(super) nearly_up: f64,
    /// Of what was to come after the last new one the share that should have shown by the last count, and by today if it
    /// found none: by the time that the counts leave, and the stragglers as far apart as in one packet in five.
    pub(super) stood: f64,
    pub(super) stood_by_now: f64,
    /// The time run until the last count over the expected median.
    pub(super) run_out: f64,
    /// The day by which nine tenths of what comes should be up; `None` when it is not foreseen.
    pub(super) ninety_by: Option<Date>,
    /// The day on which the first should show, before any count.
    pub(super) first_by: Option<Date>,
    pub(super) model: Model,
}

/// What is believed before the counts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Before {
    pub(super) prior: Prior,
    /// The chance that the sowing is a failure altogether.
    pub(super) dead: f64,
}

impl Belief {
    /// From one history: units sown, what was up by day as later counts leave it, the time it had. `None` when nothing was
    /// sown or more than can be meant.
    pub(super) fn of(sown: u32, curve: &[(Date, u32)], run: &Run, before: Before, on: Date) -> Option<Self> {
        // Days after the last count are no part of what it says.
        let unread = run.doubt_by(curve.last().map_or(on, |(last, _)| *last));
        let mut prior = before.prior;
        prior.median_doubt = prior.median_doubt.hypot(unread);
        let told = without_pauses(curve);
        let seen = |run: &Run, least: f64| -> Vec<Seen> {
            told.iter().map(|(on, up)| Seen { progress: run.by(*on).max(least), up: *up }).collect()
        };
        let counted = seen(run, 0.0);
        let looked = Looked { sown, curve, dead: before.dead, on };
        match outlook(sown, &prior, &counted) {
            Ok(found) => Some(looked.belief(&found, run, &prior, Model::Holds)),
            Err(NoOutlook::ModelWrong { .. }) => {
                // The day the first were seen is taken for the middle: of these seedlings nothing else is known.
                let first = curve.iter().find(|(_, up)| *up > 0).map_or(run.from, |(on, _)| *on);
                let a_day = prior.timing.median() / f64::from(days_between(run.from, first).max(1));
                let calendar = run.by_calendar(a_day);
                prior.median_doubt = RELEARN_DOUBT;
                // Seen on the day of sowing still took some hours.
                let counted = seen(&calendar, a_day / 2.0);
                let found = outlook(sown, &prior, &counted).or_else(|_| {
                    prior.median_doubt = 2.0 * RELEARN_DOUBT;
                    outlook(sown, &prior, &counted)
                });
                Some(looked.belief(&found.ok()?, &calendar, &prior, Model::Relearnt))
            }
            Err(NoOutlook::Sown(_) | NoOutlook::MoreThanSown { .. } | NoOutlook::OutOfOrder) => None,
        }
    }

    /// Both together, as sowings that do not hang on one another.
    pub(super) fn and(self, other: Self) -> Self {
        let leading = if self.sown - self.up >= other.sown - other.up { &self } else { &other };
        let (late, run_out, share_up) = (leading.late, leading.run_out, leading.share_up);
        let (share_now, fairly_up, soonest) = (leading.share_now, leading.fairly_up, leading.soonest);
        let later = |a: Option<Date>, b: Option<Date>| a.zip(b).map(|(a, b)| a.max(b));
        let sooner = self.first_by.into_iter().chain(other.first_by).min();
        Self {
            sown: self.sown.saturating_add(other.sown),
            up: self.up.saturating_add(other.up),
            further: self.further.plus(&other.further),
            soon: self.soon.and(other.soon),
            share_up,
            share_now,
            late,
            // They have the same seed, compost and grower: the silence of one says little beside that of the other.
            none_yet: self.none_yet.min(other.none_yet),
            new_since: 1.0 - (1.0 - self.new_since) * (1.0 - other.new_since),
            fairly_up,
            soonest,
            still: self.still.min(other.still),
            nearly_up: self.nearly_up.min(other.nearly_up),
            stood: self.stood.min(other.stood),
            stood_by_now: self.stood_by_now.min(other.stood_by_now),
            run_out,
            ninety_by: later(self.ninety_by, other.ninety_by),
            first_by: sooner,
            model: if self.model == Model::Relearnt { Model::Relearnt } else { other.model },
        }
    }
}

/// What was looked at, and when.
struct Looked<'a> {
    sown: u32,
    curve: &'a [(Date, u32)],
    /// The chance that the sowing is a failure altogether, before the counts.
    dead: f64,
    on: Date,
}

impl Looked<'_> {
    /// What is left to be believed, time being counted in either way.
    fn belief(&self, found: &Outlook, run: &Run, prior: &Prior, model: Model) -> Belief {
        let Looked { sown, curve, dead, on } = *self;
        let counted = curve.last().map(|(on, _)| *on);
        let last = counted.map(|on| run.by(on));
        let now = run.by(on);
        let none = match last {
            Some(last) if found.up() == 0 => prior.chance_of_none_by(sown, last),
            Some(_) => 0.0,
            None => 1.0,
        };
        // Of one seed or two none may live, and that is no lateness.
        let none_lives = prior.chance_of_none_by(sown, f64::INFINITY);
        let none_yet = if none_lives < 1.0 { ((none - none_lives) / (1.0 - none_lives)).max(0.0) } else { 1.0 };
        // Bayes' rule for a sowing that is a failure altogether: it shows nothing for certain.
        let dead = if found.up() > 0 { 0.0 } else { dead / (dead + (1.0 - dead) * none) };
        let further = with_dead(found.further(), dead);
        // The days ahead are in question for a sowing without a shoot that is likelier dead than not.
        let in_question = counted.filter(|_| found.up() == 0 && further.at_least(1) < LIKELIER_DEAD);
        let soon = Soon::of(|days| {
            in_question.map_or(1.0, |on| (1.0 - dead) * found.chance_of_more_by(run.by(after(on, days))))
        });
        let left = timing(found.median(), found.spread());
        let new_since = (1.0 - dead) * found.chance_of_more_by(now);
        let late_median = prior.timing.median() * (LATE_PACKET * prior.median_doubt).exp();
        let still = curve.iter().find(|(_, up)| *up == found.up()).zip(counted);
        // Since the last count that saw some and fewer.
        let rose = curve.iter().rev().find(|(_, up)| (1..found.up()).contains(up)).zip(counted);
        let rose_lately = rose.is_some_and(|((fewer, _), last)| days_between(*fewer, last) < COLD_SPELL);
        let spread = found.spread().max(prior.timing.spread());
        let nearly = timing(found.median().max(late_median), spread);
        // The last ones are as far apart as in one packet in five.
        let last_ones = timing(found.median(), spread * (LATE_PACKET * prior.spread_doubt).exp());
        let since_new = still.filter(|_| found.up() > 0).map(|((since, _), _)| last_ones.share_left_at(run.by(*since)));
        let stood =
            |by: f64| since_new.map_or(0.0, |left| 1.0 - last_ones.share_left_at(by) / left.max(f64::MIN_POSITIVE));
        let alive = f64::from(sown) * prior.viability.mean();
        let shown = curve.iter().filter(|(_, up)| *up > 0);
        let soonest = shown
            .map(|(on, up)| run.by(*on) / prior.timing.time_of((f64::from(*up) / alive).min(0.5)))
            .fold(f64::INFINITY, f64::min);
        Belief {
            sown,
            up: found.up(),
            further,
            soon,
            share_up: left.share_by(last.unwrap_or(0.0)),
            share_now: left.share_by(now),
            late: found.median() / prior.timing.median(),
            soonest,
            none_yet,
            new_since: new_since.clamp(0.0, 1.0),
            fairly_up: timing(late_median, prior.timing.spread()).share_by(last.unwrap_or(0.0)),
            nearly_up: if rose_lately { 0.0 } else { nearly.share_by(last.unwrap_or(0.0)) },
            stood: stood(last.unwrap_or(0.0)),
            stood_by_now: stood(now),
            still: still.map_or(0, |((since, _), last)| days_between(*since, last)),
            run_out: last.unwrap_or(0.0) / prior.timing.median(),
            ninety_by: run.day_of(left.time_of(0.9)),
            first_by: run.day_of(prior.timing.time_of(1.0 / (1.0 + alive))),
            model,
        }
    }
}

/// The counts with those that found none new beside some dated back by a pause, to the day of the number itself at most.
fn without_pauses(curve: &[(Date, u32)]) -> Vec<(Date, u32)> {
    let mut told: Vec<(Date, u32)> = Vec::with_capacity(curve.len());
    for &(on, up) in curve {
        let first_seen = told.iter().find(|(_, before)| up > 0 && *before == up).map(|(first, _)| *first);
        let back = || before(on, PAUSE);
        told.push((first_seen.map_or(on, |first| back().max(first)), up));
    }
    told
}

/// The numbers still to come when with a chance of `dead` there are none.
fn with_dead(further: &Counts, dead: f64) -> Counts {
    if dead <= 0.0 {
        return further.clone();
    }
    let mixed = further.iter().map(|(v, p)| (1.0 - dead) * p + if v == 0 { dead } else { 0.0 });
    Counts::from_weights(mixed.collect())
}

/// Parts with one history: the same time run and counted on the same days.
pub(super) struct Group {
    pub(super) sown: u32,
    pub(super) curve: Vec<(Date, u32)>,
    pub(super) run: Run,
}

impl Group {
    /// Puts a part with those that share its history, or begins another group.
    pub(super) fn put(groups: &mut Vec<Self>, part: &Part, run: Run) {
        let curve = part.curve();
        let same = groups.iter_mut().find(|group| {
            let days = |curve: &[(Date, u32)]| curve.iter().map(|(on, _)| *on).collect::<Vec<_>>();
            group.run == run && days(&group.curve) == days(&curve)
        });
        match same {
            Some(group) => {
                group.sown = group.sown.saturating_add(part.sown());
                group.curve.iter_mut().zip(curve).for_each(|(sum, (_, up))| sum.1 = sum.1.saturating_add(up));
            }
            None => groups.push(Self { sown: part.sown(), curve, run }),
        }
    }

    /// The units sown in all of them, and the run of the largest.
    pub(super) fn whole(groups: &[Self]) -> Option<(u32, &Run)> {
        let sown = groups.iter().map(|group| group.sown).fold(0, u32::saturating_add);
        Some((sown, &groups.iter().max_by_key(|group| group.sown)?.run))
    }

    /// All of them as one, on the time of the largest: at each day any was counted, what was last seen up in all.
    pub(super) fn merged(groups: Vec<Self>) -> Option<Self> {
        let mut days: Vec<Date> = groups.iter().flat_map(|group| group.curve.iter().map(|(on, _)| *on)).collect();
        days.sort_unstable();
        days.dedup();
        let by = |group: &Self, on: Date| group.curve.iter().rev().find(|(day, _)| *day <= on).map_or(0, |(_, up)| *up);
        let up = |on: Date| groups.iter().map(|group| by(group, on)).fold(0, u32::saturating_add);
        let curve = days.into_iter().map(|on| (on, up(on))).collect();
        let (sown, run) = Self::whole(&groups)?;
        Some(Self { sown, curve, run: run.clone() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flat_count_is_dated_back_by_a_pause() {
        let on = |day: u32| Date::from_ymd_opt(2026, 3, day).expect("a day");
        let told = |curve: &[(u32, u32)]| -> Vec<(Date, u32)> {
            without_pauses(&curve.iter().map(|(day, up)| (on(*day), *up)).collect::<Vec<_>>())
        };
        assert_eq!(told(&[(7, 0), (8, 0), (9, 4)]), [(on(7), 0), (on(8), 0), (on(9), 4)], "none up is none up");
        assert_eq!(told(&[(9, 4), (10, 4), (11, 4), (14, 4)]), [(on(9), 4), (on(9), 4), (on(9), 4), (on(12), 4)]);
    }
}
