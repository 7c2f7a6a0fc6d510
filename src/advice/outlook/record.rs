//! The grower's own record: what became of earlier sowings, and how seed of a crop and a lot has kept time here.

use std::collections::BTreeMap;

use crate::journal::{Batch, Beginning, Lot, Part, State, Treatment};
use crate::quantity::{BatchId, ContainerClass, CropName, Date, LotId, Name, SownUnit};
use crate::science::emergence::Timing;
use crate::science::fit::fit;
use crate::science::indices::{Course, Inspection};
use crate::science::learning::{Doubt, Learnt, learn};
use crate::trade::Trade;

use super::expect::{BATCH_DOUBT, Book, SPREAD_DOUBT, timing};
use super::run::Run;
use super::warmth::{Climate, LONGEST};
use crate::advice::part::{self, after, may_come};

/// Sowings of a crop that are learnt from, newest first: what was done longer ago was done otherwise.
pub const NEWEST: usize = 40;
/// How far one lot's time differs from its crop's, as a standard deviation of the logarithm. Common practice, no source.
const LOT_DOUBT: f64 = 0.1;
/// Fewer seedlings than this keep no time worth learning. Common practice, no source.
const LEAST_UP: u32 = 5;

/// One sowing whose germination is over.
#[derive(Clone, Debug, PartialEq)]
pub struct PastSowing {
    /// The batch.
    pub batch: BatchId,
    /// Its crop.
    pub crop: CropName,
    /// Its variety.
    pub variety: Name,
    /// Its seed.
    pub lot: LotId,
    /// The day it was sown.
    pub sown_on: Date,
    /// What was done to the seed.
    pub treatment: Treatment,
    /// True when it was started on damp paper.
    pub on_paper: bool,
    /// Units sown, those thrown away before they showed among them; 0 for a pinch, whose number is a guess.
    pub sown: u32,
    /// Units that came up.
    pub up: u32,
    /// When half of those were up and how far apart they came, in the clock of the crop's book; `None` when the counts
    /// do not tell.
    pub(super) kept: Option<Timing>,
}

/// A lot and what has been sown of it in all.
#[derive(Clone, Debug, PartialEq)]
pub struct LotUse {
    /// The lot.
    pub lot: Lot,
    /// Units sown from it so far.
    pub sown: u32,
}

/// What is known from earlier sowings. Empty is a good record: then the book stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Sowings that are over by crop, newest first; no more than [`NEWEST`] of each.
    sowings: BTreeMap<CropName, Vec<PastSowing>>,
    /// Lots of seed at hand.
    lots: BTreeMap<LotId, LotUse>,
}

impl Record {
    /// The record in a state: of its sowings that are over, whether they are still live or not, and its lots with what
    /// the state holds of each. Give it a state with the newest batches of the crops that matter.
    #[must_use]
    pub fn of(state: &State, trade: &Trade, on: Date) -> Self {
        let over = || state.batches.iter().filter(|(_, batch)| is_over(state, batch) && batch.begun <= on);
        let first = over().map(|(_, batch)| batch.begun).min().unwrap_or(on);
        let last = over().map(|(_, batch)| after(batch.begun, LONGEST)).max().unwrap_or(on);
        let climate = Climate::of(state, trade, first, on.min(last));
        let mut books: BTreeMap<CropName, Book> = BTreeMap::new();
        let mut record = Self::default();
        let mut newest_first: Vec<_> = over().collect();
        newest_first.sort_by_key(|(id, batch)| std::cmp::Reverse((batch.begun, **id)));
        for (id, batch) in newest_first {
            let Some(past) = past(state, trade, &climate, &mut books, *id, batch) else { continue };
            let of_crop = record.sowings.entry(past.crop.clone()).or_default();
            if of_crop.len() < NEWEST {
                of_crop.push(past);
            }
        }
        for (id, lot) in &state.lots {
            let of_lot = state.batches.values().filter(|batch| batch.lot == *id);
            let sown = of_lot.map(|batch| state.tally(batch).sown).fold(0, u32::saturating_add);
            record.add_lot(*id, LotUse { lot: lot.clone(), sown });
        }
        record
    }

    /// Adds a lot, or corrects what was sown of it: a state may hold only some of its sowings.
    pub fn add_lot(&mut self, id: LotId, lot: LotUse) {
        self.lots.insert(id, lot);
    }

    /// A lot at hand.
    #[must_use]
    pub fn lot(&self, id: LotId) -> Option<&LotUse> {
        self.lots.get(&id)
    }

    /// The sowings of a crop that are over, newest first.
    #[must_use]
    pub fn sowings(&self, crop: &CropName) -> &[PastSowing] {
        self.sowings.get(crop).map_or(&[], Vec::as_slice)
    }

    /// The lots of a crop.
    pub(super) fn lots_of<'a>(&'a self, crop: &'a CropName) -> impl Iterator<Item = (LotId, &'a LotUse)> {
        self.lots.iter().filter(move |(_, of)| of.lot.crop == *crop).map(|(id, of)| (*id, of))
    }

    /// Other sowings of a lot than this batch, newest first.
    pub(super) fn of_lot(&self, crop: &CropName, lot: LotId, but: BatchId) -> impl Iterator<Item = &PastSowing> {
        self.sowings(crop).iter().filter(move |sowing| sowing.lot == lot && sowing.batch != but)
    }

    /// The book's time as this grower's record corrects it for the crop, and then for the lot.
    pub(super) fn time_of(&self, book: &Book, crop: &CropName, lot: LotId, but: BatchId) -> Kept {
        let kept = |lots: bool| {
            let others = self.sowings(crop).iter().filter(move |sowing| sowing.batch != but);
            let chosen = others.filter(move |sowing| (sowing.lot == lot) == lots);
            chosen.filter_map(|sowing| sowing.kept).collect::<Vec<Timing>>()
        };
        let (of_crop, of_lot) = (kept(false), kept(true));
        let medians = |timings: &[Timing]| timings.iter().map(|timing| timing.median()).collect::<Vec<_>>();
        let crop_doubt = Doubt { of_book: book.doubt, between_batches: BATCH_DOUBT };
        // What other lots say of this one is out by as much again as lots differ.
        let of_others = learn(book.timing.median(), &medians(&of_crop), crop_doubt);
        let carried = (of_others.doubt.powi(2) - BATCH_DOUBT.powi(2)).max(0.0).sqrt();
        let of_book = if of_crop.is_empty() { carried } else { carried.hypot(LOT_DOUBT) };
        let median = learn(of_others.value, &medians(&of_lot), Doubt { of_book, between_batches: BATCH_DOUBT });
        let spreads: Vec<f64> = of_crop.iter().chain(&of_lot).map(|timing| timing.spread()).collect();
        let doubt = Doubt { of_book: SPREAD_DOUBT, between_batches: SPREAD_DOUBT };
        let spread = learn(book.timing.spread(), &spreads, doubt);
        Kept {
            timing: timing(median.value, spread.value.clamp(0.01, 1.0)),
            median_doubt: median.doubt,
            spread_doubt: spread.doubt.min(SPREAD_DOUBT * 1.5),
            batches: of_crop.len() + of_lot.len(),
            from_book: share_from_book(of_others, median),
        }
    }
}

/// The share of the median that is still the book's after both corrections.
fn share_from_book(of_others: Learnt, of_lot: Learnt) -> f64 {
    of_others.from_book * of_lot.from_book
}

/// The time to expect of a lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Kept {
    pub(super) timing: Timing,
    pub(super) median_doubt: f64,
    pub(super) spread_doubt: f64,
    /// Own batches it was learnt from.
    pub(super) batches: usize,
    /// 1 with none.
    pub(super) from_book: f64,
}

/// True when nothing more is looked for in a sowing: it is cleared, all up, or emptied by moving on.
fn is_over(state: &State, batch: &Batch) -> bool {
    matches!(batch.beginning, Beginning::Sown { .. }) && may_come(state, batch).next().is_none()
}

fn past(
    state: &State,
    trade: &Trade,
    climate: &Climate,
    books: &mut BTreeMap<CropName, Book>,
    id: BatchId,
    batch: &Batch,
) -> Option<PastSowing> {
    let Beginning::Sown { unit, treatment, .. } = batch.beginning else { return None };
    let lot = state.lots.get(&batch.lot)?;
    let sown_parts = || state.parts_of(batch).filter(|(_, part)| part.is_sown()).map(|(_, part)| part);
    // A tray that was never looked at says nothing of its seed.
    if sown_parts().all(|part| part.counts.is_empty()) {
        return None;
    }
    let is_paper =
        |part: &Part| state.containers.get(&part.container).is_some_and(|it| it.vessel.class == ContainerClass::Paper);
    let book = books.entry(lot.crop.clone()).or_insert_with(|| Book::of(part::crop(state, trade, batch)));
    let on_paper = sown_parts().any(is_paper);
    let largest = sown_parts().max_by_key(|part| part.up)?;
    let tally = state.tally(batch);
    Some(PastSowing {
        batch: id,
        crop: lot.crop.clone(),
        variety: lot.variety.clone(),
        lot: batch.lot,
        sown_on: batch.begun,
        treatment,
        on_paper,
        sown: if unit == SownUnit::Pinch { 0 } else { tally.sown },
        up: tally.up(),
        kept: if on_paper { None } else { kept_time(state, climate, book, largest) },
    })
}

/// The time a part kept: fitted to its counts where they tell, else its middle seedling with the book's spread; `None`
/// when more than half were up at the first count, so that the middle one was never seen to come.
fn kept_time(state: &State, climate: &Climate, book: &Book, part: &Part) -> Option<Timing> {
    let curve = part.curve();
    let (last, up) = *curve.last()?;
    let first_seen = curve.iter().find(|(_, up)| *up > 0)?.1;
    let was_looked_for = curve.first()?.1 == 0;
    if up < LEAST_UP || (!was_looked_for && first_seen > up / 2) {
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
    fitted.or_else(|| Timing::new(course.t50().ok()?, book.timing.spread()).ok())
}
