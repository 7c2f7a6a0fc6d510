//! How a sowing kept time here beside the book of its crop: what later ones are to learn from.

use crate::journal::{Part, State};
use crate::quantity::{BatchId, Date, LotId};
use crate::science::emergence::Timing;
use crate::science::fit::fit;
use crate::science::indices::{Course, Inspection};
use crate::science::learning::Own;

use super::expect::{BATCH_DOUBT, Book};
use super::run::Run;
use super::warmth::Climate;

/// Fewer seedlings than this keep no time worth learning. Common practice, no source.
const LEAST_UP: u32 = 5;

/// The time one sowing kept.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct OwnTime {
    pub(super) batch: BatchId,
    pub(super) lot: LotId,
    pub(super) begun: Date,
    /// When half of what came were up, in the clock of the crop's book.
    pub(super) median: f64,
    /// That over the book's.
    pub(super) over_book: f64,
    /// How far apart they came, as the spread of a timing; `None` when the counts do not tell.
    pub(super) spread: Option<f64>,
    /// How much it says of the crop's time, from 0 to 1: what a tray of any number of seeds says that is watched all day.
    pub(super) worth: f64,
}

impl OwnTime {
    /// Its median, for learning.
    pub(super) fn own(&self) -> Own {
        Own { figure: self.median, worth: self.worth }
    }
}

/// The time a part kept: median and spread in the clock of its book, and what that is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TimeKept {
    pub(super) median: f64,
    pub(super) spread: Option<f64>,
    pub(super) worth: f64,
}

/// What a median is worth that was told by so many seedlings, and seen to come between two counts so far apart in the clock:
/// the share of batches' own variance in all of it.
///
/// Source: the variance of a median told by n draws is 1 / (4 n f^2), f being the density there, for a log-logistic in the
/// logarithm of its time 1 / (4 spread) (Mood, Graybill & Boes 1974, Introduction to the Theory of Statistics, VI.5.3, from
/// memory); what lies anywhere in a gap has a twelfth of its square.
fn worth(up: u32, gap: f64, median: f64, spread: f64) -> f64 {
    let told = (2.0 * spread).powi(2) / f64::from(up.max(1)) + (gap / median).powi(2) / 12.0;
    let own = BATCH_DOUBT.powi(2);
    own / (own + told)
}

/// How far apart, in the clock, the counts were between which the median was passed.
fn gap_at(run: &Run, curve: &[(Date, u32)], median: f64) -> f64 {
    let passed = curve.iter().position(|(on, _)| run.by(*on) >= median).unwrap_or(curve.len().saturating_sub(1));
    let time = |at: usize| curve.get(at).map_or(0.0, |(on, _)| run.by(*on));
    time(passed) - passed.checked_sub(1).map_or(0.0, time)
}

/// Median and spread of a part that is over: fitted to its counts where they tell, else its middle seedling; `None` when
/// more than half were up at the first count, so that the middle one was never seen to come.
pub(super) fn of_finished(state: &State, climate: &Climate, book: &Book, part: &Part) -> Option<TimeKept> {
    let curve = part.curve();
    let (last, up) = *curve.last()?;
    if up < LEAST_UP || !middle_was_seen(&curve, up / 2) {
        return None;
    }
    let run = Run::of(state, climate, book, part, last);
    let mut inspections: Vec<Inspection> = Vec::new();
    let mut before = 0;
    for &(on, up) in &curve {
        let time = run.by(on);
        match inspections.last_mut().filter(|inspection| inspection.time >= time) {
            Some(inspection) => inspection.emerged += up - before,
            None => inspections.push(Inspection { time, emerged: up - before }),
        }
        before = up;
    }
    let course = Course::new(inspections, part.sown()).ok()?;
    let fitted = fit(&course).ok().and_then(|fit| fit.timing()).filter(|it| (0.01..=1.0).contains(&it.spread()));
    let spread = fitted.map(|timing| timing.spread());
    let timing = fitted.or_else(|| Timing::new(course.t50().ok()?, book.timing.spread()).ok())?;
    let median = timing.median();
    let worth = worth(up, gap_at(&run, &curve, median), median, timing.spread());
    Some(TimeKept { median, spread, worth })
}

/// The median of a part that more may come of, once half of what such seed gives (a share `alive` of it) are up: the time
/// at which they were, between two counts.
pub(super) fn of_running(state: &State, climate: &Climate, book: &Book, part: &Part, alive: f64) -> Option<TimeKept> {
    let curve = part.curve();
    let (last, up) = *curve.last()?;
    let half = (f64::from(part.sown()) * alive).max(f64::from(up)) / 2.0;
    if up < LEAST_UP || f64::from(up) < half || !middle_was_seen(&curve, half as u32) {
        return None;
    }
    let run = Run::of(state, climate, book, part, last);
    let at = curve.iter().position(|(_, up)| f64::from(*up) >= half)?;
    let (on, by_then) = curve[at];
    let (before, fewer) = at.checked_sub(1).map_or((0.0, 0), |at| (run.by(curve[at].0), curve[at].1));
    let share = (half - f64::from(fewer)) / f64::from(by_then.saturating_sub(fewer).max(1));
    let gap = run.by(on) - before;
    let median = before + share * gap;
    let worth = worth(up, gap, median, book.timing.spread());
    (median > 0.0).then_some(TimeKept { median, spread: None, worth })
}

/// Whether it was looked at before the middle one came.
fn middle_was_seen(curve: &[(Date, u32)], half: u32) -> bool {
    let was_looked_for = curve.first().is_some_and(|(_, up)| *up == 0);
    was_looked_for || curve.iter().find(|(_, up)| *up > 0).is_some_and(|(_, up)| *up <= half)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: a spread of 0.17 and five seedlings make a variance of 0.0231, three days of twelve degrees in a median
    /// of 165 one of 0.0040; batches differ by 0.0225.
    #[test]
    fn few_seedlings_seldom_counted_are_worth_little() {
        assert!((worth(5, 36.0, 165.0, 0.17) - 0.0225 / 0.0496).abs() < 1e-3);
        assert!(worth(500, 12.0, 165.0, 0.17) > 0.95);
        assert!(worth(500, 80.0, 165.0, 0.17) < 0.6, "a week unseen");
    }
}
