//! Slow or dead: what is still to be expected of each sowing, in one word with an action beside it.
//!
//! This module reads a state: how warm the compost was (`warmth`, `usual`), how far a crop's time has run (`expect`,
//! `run`), what its seed was worth (`prior`) and what the grower's own record adds (`record`). The sums are those of
//! `science::outlook`; `belief` puts the parts of a batch together and `verdict` finds the word.

mod again;
mod belief;
#[cfg(test)]
pub(in crate::advice) mod calibration;
mod curve;
mod expect;
mod explain;
mod hold;
mod indices;
mod look;
mod otherwise;
mod own_time;
mod prior;
mod record;
mod run;
mod usual;
mod verdict;
mod view;
mod warmth;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::journal::{Batch, Beginning, State, Treatment};
use crate::quantity::{BatchId, Celsius, Date, Name, Share};
use crate::trade::Trade;

pub use again::SowAgain;
pub use belief::Model;
pub use curve::{Band, Curve, curve};
pub use explain::to_come;
pub use hold::Held;
pub use indices::{Indices, course};
pub(in crate::advice) use look::Look;
pub use record::{LotUse, NEWEST, PastSowing, Record, days_to_learn_from, so_far};
pub use verdict::{Hold, Verdict};

use belief::Belief;
use curve::Expected;
use expect::Book;
use prior::Seed;
use record::Kept;
use view::View;

/// What is still to be expected of one sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// In one word.
    pub verdict: Verdict,
    /// What to do about it, in all.
    pub action: String,
    /// What its word asks of that; empty where the word asks nothing.
    pub(super) by_word: String,
    /// What is asked beside.
    pub(super) look: Look,
    /// Why it stands still and where it would not, when that is the word.
    pub held: Option<Held>,
    /// The place of the grower's to move it to, and the mean of the compost there, when that is the action.
    pub move_to: Option<(Name, Celsius)>,
    /// Whether temperatures, figures and seedlings agree.
    pub model: Model,
    /// Units that will be up in the end, between which and which eight times in ten; `None` for a pinch.
    pub expected_final: Option<(u32, u32)>,
    /// The chance that at least one more comes up; `None` when no more are looked for.
    pub chance_of_more: Option<Share>,
    /// Units up that are wanted of it: one a cell, or a fair share of what such seed gives.
    pub wanted: u32,
    /// The chance that they are reached.
    pub chance_of_wanted: Option<Share>,
    /// The day to come by which nine tenths of what will come should be up; `None` when it is past or not foreseen, and where
    /// nothing is waited for.
    pub ninety_by: Option<Date>,
    /// What a count today could do.
    pub count: Count,
    /// What sowing again would take, where that is the question.
    pub again: Option<SowAgain>,
    /// What it should show; `None` for a pinch and when no more are looked for.
    expected: Option<Expected>,
    /// What it rests on; `None` when no more are looked for.
    grounds: Option<Arc<Grounds>>,
}

impl Outlook {
    /// Units up today that are as often exceeded as not, before any count, as its course is drawn; `None` for a pinch and
    /// when no more are looked for.
    #[must_use]
    pub fn expected_by_now(&self) -> Option<u32> {
        self.expected.as_ref().map(Expected::up_by_now)
    }

    /// Whether it is likelier than not that at least one more comes.
    pub(super) fn more_to_come(&self) -> bool {
        let is_open = matches!(self.verdict, Verdict::Emerging | Verdict::Slow | Verdict::NotCountedLately);
        is_open && self.chance_of_more.is_some_and(|chance| chance.0 > 0.5)
    }
}

/// What a count today could do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    /// Nothing worth the walk.
    Idle,
    /// It would likely find more.
    FindMore,
    /// It would change the word even if it found no more.
    Settle(Verdict),
}

/// What an outlook rests on, kept for "why".
#[derive(Clone, Debug, PartialEq)]
struct Grounds {
    book: Arc<Book>,
    kept: Kept,
    seed: Seed,
    belief: Belief,
    /// Days until today, and how many of them were read and forecast.
    days: u32,
    read: u32,
    foretold: u32,
    /// The coolest and the warmest of them.
    between: Option<(f64, f64)>,
    last_count: Option<Date>,
    /// What was done to the seed.
    treatment: Treatment,
    /// The word by the book alone, of a sowing without a shoot, where the grower's other sowings make another of it.
    by_book: Option<Verdict>,
    wanted_of: WantedOf,
}

/// What the number wanted of a sowing is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum WantedOf {
    /// Cells with several seeds in each.
    Cells,
    Seeds,
    /// What a pinch was guessed at.
    Pinch,
}

/// The outlook for every live sowing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlooks {
    of: BTreeMap<BatchId, Outlook>,
}

impl Outlooks {
    /// The outlook for a live sowing.
    #[must_use]
    pub fn of(&self, batch: BatchId) -> Option<&Outlook> {
        self.of.get(&batch)
    }
}

/// The outlook for every live sowing on a day, with what is known from earlier ones.
#[must_use]
pub fn outlooks(state: &State, trade: &Trade, record: &Record, on: Date) -> Outlooks {
    let live = || state.batches.iter().filter(|(_, batch)| state.is_live(batch) && is_sown(batch));
    let begun = live().map(|(_, batch)| batch.begun).min().unwrap_or(on);
    let mut view = View::of(state, trade, record, begun, on);
    let mut of: BTreeMap<BatchId, Outlook> =
        live().filter_map(|(id, batch)| Some((*id, view.outlook(*id, batch, None)?))).collect();
    let failed = live().filter(|(id, _)| of.get(id).is_some_and(|it| it.verdict == Verdict::Failed));
    let failed: Vec<PastSowing> =
        failed.filter_map(|(id, batch)| view::past(state, *id, batch)).filter(|past| past.up == 0).collect();
    // What failed and still stands tells of its packet: what else was sown of that, or would be, is looked at once more.
    let is_told = |id: &BatchId, batch: &Batch, of: &BTreeMap<BatchId, Outlook>| {
        let again = of.get(id).and_then(|outlook| outlook.again.as_ref()?.lot);
        failed.iter().any(|past| past.batch != *id && (past.lot == batch.lot || again == Some(past.lot)))
    };
    let told: BTreeSet<BatchId> = live().filter(|(id, batch)| is_told(id, batch, &of)).map(|(id, _)| *id).collect();
    let with_failed = record.with_failed(failed.iter().cloned());
    let mut view_of_told = (!told.is_empty()).then(|| View::of(state, trade, &with_failed, begun, on));
    let mut again = |of: &mut BTreeMap<BatchId, Outlook>, id: BatchId, since| {
        let view = view_of_told.as_mut().filter(|_| told.contains(&id)).unwrap_or(&mut view);
        of.extend(state.batches.get(&id).and_then(|batch| Some((id, view.outlook(id, batch, since)?))));
    };
    told.iter().for_each(|id| again(&mut of, *id, None));
    // So is what was sown again: that is known once it is known how many each of them asks for.
    let wanting: BTreeMap<_, _> = of.iter().filter_map(|(id, outlook)| Some((*id, outlook.again.as_ref()?))).collect();
    for (id, since) in again::in_stead(state, &wanting) {
        again(&mut of, id, Some(since));
    }
    Outlooks { of }
}

fn is_sown(batch: &Batch) -> bool {
    matches!(batch.beginning, Beginning::Sown { .. })
}
