//! How a sowing kept time here beside the book of its crop: what later ones are to learn from.

use crate::journal::{Part, State};
use crate::quantity::{BatchId, Date, LotId};
use crate::science::emergence::Timing;
use crate::science::fit::fit;
use crate::science::indices::{Course, Inspection};

use super::expect::Book;
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
}

/// Median and spread of a part that is over: fitted to its counts where they tell, else its middle seedling; `None` when
/// more than half were up at the first count, so that the middle one was never seen to come.
pub(super) fn of_finished(state: &State, climate: &Climate, book: &Book, part: &Part) -> Option<(f64, Option<f64>)> {
    let curve = part.curve();
    let (last, up) = *curve.last()?;
    if up < LEAST_UP || !middle_was_seen(&curve, up / 2) {
        return None;
    }
    let run = Run::of(state, climate, book, part, last);
    let mut inspections: Vec<Inspection> = Vec::new();
    let mut before = 0;
    for (on, up) in curve {
        let time = run.by(on);
        match inspections.last_mut().filter(|inspection| inspection.time >= time) {
            Some(inspection) => inspection.emerged += up - before,
            None => inspections.push(Inspection { time, emerged: up - before }),
        }
        before = up;
    }
    let course = Course::new(inspections, part.sown()).ok()?;
    let fitted = fit(&course).ok().and_then(|fit| fit.timing()).filter(|it| (0.01..=1.0).contains(&it.spread()));
    let told = fitted.map(|timing| (timing.median(), Some(timing.spread())));
    told.or_else(|| Timing::new(course.t50().ok()?, book.timing.spread()).ok().map(|timing| (timing.median(), None)))
}

/// The median of a part that more may come of, once half of what such seed gives (a share `alive` of it) are up: the time
/// at which they were, between two counts.
pub(super) fn of_running(state: &State, climate: &Climate, book: &Book, part: &Part, alive: f64) -> Option<f64> {
    let curve = part.curve();
    let (last, up) = *curve.last()?;
    let half = (f64::from(part.sown()) * alive).max(f64::from(up)) / 2.0;
    if up < LEAST_UP || f64::from(up) < half || !middle_was_seen(&curve, half as u32) {
        return None;
    }
    let run = Run::of(state, climate, book, part, last);
    let at = curve.iter().position(|(_, up)| f64::from(*up) >= half)?;
    let (on, up) = curve[at];
    let (before, fewer) = at.checked_sub(1).map_or((0.0, 0), |at| (run.by(curve[at].0), curve[at].1));
    let share = (half - f64::from(fewer)) / f64::from(up.saturating_sub(fewer).max(1));
    let median = before + share * (run.by(on) - before);
    (median > 0.0).then_some(median)
}

/// Whether it was looked at before the middle one came.
fn middle_was_seen(curve: &[(Date, u32)], half: u32) -> bool {
    let was_looked_for = curve.first().is_some_and(|(_, up)| *up == 0);
    was_looked_for || curve.iter().find(|(_, up)| *up > 0).is_some_and(|(_, up)| *up <= half)
}
