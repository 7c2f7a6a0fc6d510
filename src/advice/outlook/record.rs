//! The grower's own record: what became of earlier sowings, and how seed of a crop and a lot has kept time here.

use std::collections::BTreeMap;

use crate::journal::{Batch, Beginning, Lot, Part, State, Treatment};
use crate::quantity::{BatchId, ContainerClass, CropName, Date, LotId, Name, SownUnit};
use crate::science::emergence::Timing;
use crate::science::learning::{Doubt, Kin, Own, common, learn};
use crate::trade::Trade;

use super::Outlooks;
use super::expect::{BATCH_DOUBT, Book, CROP_DOUBT, PACE_DOUBT, SPREAD_DOUBT, timing};
use super::own_time::{self, OwnTime, TimeKept};
use super::prior::{self, ENOUGH_SOWN, Seed};
use super::run::Run;
use super::verdict::Verdict;
use super::view::ON_PAPER;
use super::warmth::{Climate, LONGEST, NEAR_DAYS};
use crate::advice::part::{self, after, days_between, may_come};

/// Sowings of a crop that are learnt from, newest first: what was done longer ago was done otherwise.
pub const NEWEST: usize = 40;
/// How far one lot's time differs from its crop's, as a standard deviation of the logarithm. Common practice, no source.
const LOT_DOUBT: f64 = 0.1;

/// A sowing that more may come of tells its lot's rate from when this share of what lives should be up by the book.
const HAD_ITS_TIME: f64 = 0.95;

/// Sown longer ago than this a sowing is over, though its tray was never cleared in the log. Common practice, no source.
const SEASON_DAYS: u32 = 180;

/// What became of one sowing: over, or with shoots while more may come.
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
    /// Units sown, those thrown away before they showed among them; 0 for a pinch, whose number is a guess, and while more
    /// may come.
    pub sown: u32,
    /// Units of a pinch as they were guessed at; 0 for what was counted out.
    pub pinch: u32,
    /// Units that came up.
    pub up: u32,
    /// Whether it still stands, though it failed or had its time.
    pub stands: bool,
    /// The day from which that was known: of its last count, or of its emptying.
    pub known_on: Date,
    /// Whether half of a late packet would have shown by its last count: else, without a shoot, it says nothing of its seed.
    pub had_its_time: bool,
}

impl PastSowing {
    /// A sowing as it is so far: none on paper, not standing as failed, known from the day it was begun. `None` for what was
    /// not sown.
    pub(super) fn so_far(state: &State, id: BatchId, batch: &Batch) -> Option<Self> {
        let Beginning::Sown { unit, treatment, .. } = batch.beginning else { return None };
        let (lot, tally) = (state.lots.get(&batch.lot)?, state.tally(batch));
        let (sown, pinch) = if unit == SownUnit::Pinch { (0, tally.sown) } else { (tally.sown, 0) };
        Some(Self {
            batch: id,
            crop: lot.crop.clone(),
            variety: lot.variety.clone(),
            lot: batch.lot,
            sown_on: batch.begun,
            treatment,
            on_paper: false,
            sown,
            pinch,
            up: tally.up(),
            stands: false,
            known_on: batch.begun,
            had_its_time: true,
        })
    }
}

/// A lot and what has been sown of it in all.
#[derive(Clone, Debug, PartialEq)]
pub struct LotUse {
    /// The lot.
    pub lot: Lot,
    /// Units sown from it so far.
    pub sown: u32,
}

/// What is known from other sowings. Empty is a good record: then the book stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Sowings that are over by crop, newest first; no more than [`NEWEST`] of each.
    sowings: BTreeMap<CropName, Vec<PastSowing>>,
    /// Sowings with shoots of which more may come, likewise: they show that their lot lives.
    under_way: BTreeMap<CropName, Vec<PastSowing>>,
    /// The time that sowings kept, over or not, by crop, newest first; no more than [`NEWEST`] of each.
    times: BTreeMap<CropName, Vec<OwnTime>>,
    /// What those of a crop say together.
    kin: BTreeMap<CropName, Kin>,
    /// Lots of seed at hand.
    lots: BTreeMap<LotId, LotUse>,
}

impl Record {
    /// The record in a state: of its newest sowings of each crop, whether they are over or half of them are up, and its
    /// lots with what the state holds of each.
    #[must_use]
    pub fn of(state: &State, trade: &Trade, on: Date) -> Self {
        let mut newest_first: Vec<_> = state
            .batches
            .iter()
            .filter(|(_, batch)| matches!(batch.beginning, Beginning::Sown { .. }) && batch.begun <= on)
            .collect();
        newest_first.sort_by_key(|(id, batch)| std::cmp::Reverse((batch.begun, **id)));
        let mut of_crop: BTreeMap<&CropName, usize> = BTreeMap::new();
        newest_first.retain(|(_, batch)| {
            state.lots.get(&batch.lot).is_some_and(|lot| {
                let number = of_crop.entry(&lot.crop).or_default();
                *number += 1;
                *number <= NEWEST
            })
        });
        let first = newest_first.last().map_or(on, |(_, batch)| batch.begun);
        let last = newest_first.first().map_or(on, |(_, batch)| after(batch.begun, LONGEST));
        let climate = Climate::of(state, trade, first, on.min(last));
        let mut reader = Reader { state, trade, climate, books: BTreeMap::new(), record: Self::default() };
        let (over, running): (Vec<_>, Vec<_>) = newest_first.into_iter().partition(|(_, batch)| is_over(state, batch));
        over.into_iter().for_each(|(id, batch)| reader.finished(*id, batch));
        // What those show of a lot's seed tells when half of a running sowing are up.
        running.into_iter().for_each(|(id, batch)| reader.running(*id, batch));
        let mut record = reader.record;
        for (id, lot) in &state.lots {
            let of_lot = state.batches.values().filter(|batch| batch.lot == *id);
            let sown = of_lot.map(|batch| state.tally(batch).sown).fold(0, u32::saturating_add);
            record.add_lot(*id, LotUse { lot: lot.clone(), sown });
        }
        record.settle();
        record
    }

    /// Both records as one; of a sowing or a lot in both, what the other says.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        for (crop, sowings) in other.sowings {
            let of_crop = self.sowings.entry(crop).or_default();
            of_crop.retain(|sowing| sowings.iter().all(|newer| newer.batch != sowing.batch));
            of_crop.extend(sowings);
        }
        for (crop, sowings) in other.under_way {
            let of_crop = self.under_way.entry(crop).or_default();
            of_crop.retain(|sowing| sowings.iter().all(|newer| newer.batch != sowing.batch));
            of_crop.extend(sowings);
        }
        for (crop, times) in other.times {
            let of_crop = self.times.entry(crop).or_default();
            of_crop.retain(|time| times.iter().all(|newer| newer.batch != time.batch));
            of_crop.extend(times);
        }
        self.lots.extend(other.lots);
        self.settle();
        self
    }

    /// Brings all into order, and the times of each crop together.
    fn settle(&mut self) {
        for (crop, under_way) in &mut self.under_way {
            let over = self.sowings.get(crop).map_or(&[][..], Vec::as_slice);
            under_way.retain(|sowing| over.iter().all(|over| over.batch != sowing.batch));
        }
        for sowings in self.sowings.values_mut().chain(self.under_way.values_mut()) {
            sowings.sort_by_key(|sowing| std::cmp::Reverse((sowing.sown_on, sowing.batch)));
            sowings.truncate(NEWEST);
        }
        for times in self.times.values_mut() {
            times.sort_by_key(|time| std::cmp::Reverse((time.begun, time.batch)));
            times.truncate(NEWEST);
        }
        let kin = |times: &Vec<OwnTime>| {
            let worth = times.iter().map(|time| time.worth).sum::<f64>();
            let mean = times.iter().map(|time| time.worth * time.over_book.ln()).sum::<f64>() / worth;
            Kin { over_book: mean.exp(), batches: times.len(), worth }
        };
        self.kin = self.times.iter().map(|(crop, times)| (crop.clone(), kin(times))).collect();
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

    /// How often a sowing fails altogether here, by those that are over.
    pub(super) fn fails(&self) -> f64 {
        let told = || self.sowings.values().flatten().filter(|past| prior::speaks_for(past) >= ENOUGH_SOWN);
        prior::fails(told().filter(|past| past.up == 0).count(), told().count())
    }

    /// The lots of a crop.
    pub(super) fn lots_of<'a>(&'a self, crop: &'a CropName) -> impl Iterator<Item = (LotId, &'a LotUse)> {
        self.lots.iter().filter(move |(_, of)| of.lot.crop == *crop).map(|(id, of)| (*id, of))
    }

    /// The same record with sowings that stand and failed, each of which speaks as one that is over to what is sown later.
    pub(super) fn with_failed(&self, failed: impl Iterator<Item = PastSowing>) -> Self {
        let mut with = self.clone();
        for sowing in failed {
            let of_crop = with.under_way.entry(sowing.crop.clone()).or_default();
            of_crop.retain(|other| other.batch != sowing.batch);
            of_crop.push(sowing);
        }
        with
    }

    /// What tells of a lot beside this batch: its other sowings that are over, those that have shoots, and those that failed.
    pub(super) fn of_lot(&self, crop: &CropName, lot: LotId, but: BatchId) -> impl Iterator<Item = &PastSowing> {
        let under_way = self.under_way.get(crop).map_or(&[][..], Vec::as_slice);
        self.sowings(crop).iter().chain(under_way).filter(move |sowing| sowing.lot == lot && sowing.batch != but)
    }

    /// The book's time as this grower's record corrects it: for all crops together by the others, then for the crop, and
    /// then for the lot.
    pub(super) fn time_of(&self, book: &Book, crop: &CropName, lot: LotId, but: BatchId) -> Kept {
        let own = self.times.get(crop).map_or(&[][..], Vec::as_slice);
        let others = || own.iter().filter(|time| time.batch != but);
        let medians =
            |of_lot: bool| others().filter(|time| (time.lot == lot) == of_lot).map(OwnTime::own).collect::<Vec<Own>>();
        let (of_crop, of_lot) = (medians(false), medians(true));
        let kin = || self.kin.iter().filter(|(of, _)| *of != crop).map(|(_, kin)| *kin);
        let pace = common(kin(), PACE_DOUBT, CROP_DOUBT, BATCH_DOUBT.hypot(LOT_DOUBT));
        let crop_doubt = Doubt { of_book: book.doubt.hypot(pace.doubt), between_batches: BATCH_DOUBT };
        // What other lots say of this one is out by as much again as lots differ.
        let of_others = learn(book.timing.median() * pace.value, &of_crop, crop_doubt);
        let carried = (of_others.doubt.powi(2) - BATCH_DOUBT.powi(2)).max(0.0).sqrt();
        let of_book = if of_crop.is_empty() { carried } else { carried.hypot(LOT_DOUBT) };
        let median = learn(of_others.value, &of_lot, Doubt { of_book, between_batches: BATCH_DOUBT });
        // The share of the median that own sowings of the crop leave to the book, at the pace of the other crops.
        let uncorrected = of_others.from_book * median.from_book;
        let spread_of = |time: &OwnTime| Some(Own { figure: time.spread?, worth: time.worth });
        let spreads: Vec<Own> = others().filter_map(spread_of).collect();
        let doubt = Doubt { of_book: SPREAD_DOUBT, between_batches: SPREAD_DOUBT };
        let spread = learn(book.timing.spread(), &spreads, doubt);
        Kept {
            timing: timing(median.value, spread.value.clamp(0.01, 1.0)),
            median_doubt: median.doubt,
            spread_doubt: spread.doubt.min(SPREAD_DOUBT * 1.5),
            batches: of_crop.len() + of_lot.len(),
            from_book: uncorrected * pace.from_book,
            from_kin: uncorrected * (1.0 - pace.from_book),
            pace: pace.value,
            kin: kin().map(|kin| kin.batches).sum(),
        }
    }
}

/// The time to expect of a lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Kept {
    pub(super) timing: Timing,
    pub(super) median_doubt: f64,
    pub(super) spread_doubt: f64,
    /// Own batches it was learnt from.
    pub(super) batches: usize,
    /// The share of the median that is the book's, and the share that the pace of the other crops has; the rest is that of
    /// the own batches.
    pub(super) from_book: f64,
    pub(super) from_kin: f64,
    /// How the own sowings of other crops run against the book, 1 as it says, and how many they are.
    pub(super) pace: f64,
    pub(super) kin: usize,
}

/// The sowings of a crop that stand and had their time, as they are so far: a few may still come of them, until their season is
/// over.
#[must_use]
pub fn so_far(state: &State, outlooks: &Outlooks, crop: &CropName, on: Date) -> Vec<PastSowing> {
    let had_its_time = |id| {
        let verdict = outlooks.of(id).map(|outlook| outlook.verdict);
        matches!(verdict, Some(Verdict::AllUp | Verdict::Thin | Verdict::Failed))
    };
    let of_crop = |batch: &Batch| state.lots.get(&batch.lot).is_some_and(|lot| lot.crop == *crop);
    let standing = state
        .batches
        .iter()
        .filter(|(id, batch)| of_crop(batch) && state.is_live(batch) && !is_over(state, batch) && had_its_time(**id));
    let so_far = standing.filter_map(|(id, batch)| {
        let stands = days_between(batch.begun, on) <= SEASON_DAYS;
        Some(PastSowing { on_paper: is_on_paper(state, batch), stands, ..PastSowing::so_far(state, *id, batch)? })
    });
    so_far.collect()
}

/// Whether a sown part of it lies, or lay, on damp paper.
fn is_on_paper(state: &State, batch: &Batch) -> bool {
    let class = |part: &Part| state.containers.get(&part.container).map(|it| it.vessel.class);
    let mut sown = state.parts_of(batch).map(|(_, part)| part).filter(|part| part.is_sown());
    sown.any(|part| class(part) == Some(ContainerClass::Paper))
}

/// True when nothing more is looked for in a sowing: it is cleared, all up, or emptied by moving on.
fn is_over(state: &State, batch: &Batch) -> bool {
    matches!(batch.beginning, Beginning::Sown { .. }) && may_come(state, batch).next().is_none()
}

/// The days whose temperatures tell how sowings in a state kept time, from first to last count and a little more on
/// either side, in order and without overlap.
#[must_use]
pub fn days_to_learn_from(state: &State, on: Date) -> Vec<(Date, Date)> {
    let margin = chrono::Days::new(u64::from(NEAR_DAYS));
    let parts = state.parts.values().filter(|part| part.is_sown() && part.filled <= on);
    let spans = parts.filter_map(|part| {
        let counted = part.counts.iter().map(|count| count.on).max()?;
        let last = counted.min(after(part.filled, LONGEST)).min(on);
        Some((part.filled.checked_sub_days(margin)?, last.checked_add_days(margin)?.min(on)))
    });
    let mut spans: Vec<(Date, Date)> = spans.collect();
    spans.sort_unstable();
    spans.dedup_by(|next, before| {
        let joins = next.0 <= before.1;
        before.1 = if joins { before.1.max(next.1) } else { before.1 };
        joins
    });
    spans
}

/// Reads a state for a record, sowing by sowing, newest first.
struct Reader<'a> {
    state: &'a State,
    trade: &'a Trade,
    climate: Climate,
    books: BTreeMap<CropName, Book>,
    record: Record,
}

impl<'a> Reader<'a> {
    /// Notes a sowing that is over.
    fn finished(&mut self, id: BatchId, batch: &'a Batch) {
        let Some(lot) = self.state.lots.get(&batch.lot) else { return };
        // A tray that was never looked at says nothing of its seed.
        let Some(largest) = self.largest(batch) else { return };
        let on_paper = is_on_paper(self.state, batch);
        let Some(mut became) = self.became(id, batch, on_paper) else { return };
        let book = self.books.entry(lot.crop.clone()).or_insert_with(|| book(self.state, self.trade, batch));
        if became.up == 0 {
            // Cleared in the cold, or before its day, it was no failure.
            let last = largest.counts.last().map_or(batch.begun, |count| count.on);
            let run = Run::of(self.state, &self.climate, book, largest, last).by(last);
            became.had_its_time = run >= book.late_median() * if on_paper { ON_PAPER } else { 1.0 };
        }
        if !on_paper {
            let time = own_time::of_finished(self.state, &self.climate, book, largest);
            self.note(id, batch, lot, time);
        }
        self.record.sowings.entry(lot.crop.clone()).or_default().push(became);
    }

    fn became(&self, id: BatchId, batch: &Batch, on_paper: bool) -> Option<PastSowing> {
        let told = |part: &Part| part.counts.iter().map(|count| count.on).chain(part.cleared).max();
        let known_on = self.sown_parts(batch).filter_map(told).max().unwrap_or(batch.begun);
        Some(PastSowing { on_paper, known_on, ..PastSowing::so_far(self.state, id, batch)? })
    }

    /// Notes of a sowing that is not over that its lot lives, once it has shoots, and its time where that can be told. One
    /// without a shoot says nothing yet: it waits for the same warmth as those beside it.
    fn running(&mut self, id: BatchId, batch: &'a Batch) {
        let Beginning::Sown { unit, .. } = batch.beginning else { return };
        let (Some(lot), Some(largest)) = (self.state.lots.get(&batch.lot), self.largest(batch)) else { return };
        let crop = part::crop(self.state, self.trade, batch);
        let on_paper = is_on_paper(self.state, batch);
        if largest.up > 0 && self.has_siblings(batch) {
            let Some(mut became) = self.became(id, batch, on_paper) else { return };
            let book = self.books.entry(lot.crop.clone()).or_insert_with(|| Book::of(crop));
            let last = largest.counts.iter().map(|count| count.on).max().unwrap_or(batch.begun);
            let run = Run::of(self.state, &self.climate, book, largest, last).by(last);
            if book.timing.share_by(run) < HAD_ITS_TIME {
                (became.sown, became.pinch) = (0, 0);
            }
            self.record.under_way.entry(lot.crop.clone()).or_default().push(became);
        }
        if unit == SownUnit::Pinch || on_paper {
            return;
        }
        let lately = self.record.of_lot(&lot.crop, batch.lot, id);
        let seed = Seed::of(crop, Some(lot), unit, batch.begun, lately, self.record.fails());
        let book = self.books.entry(lot.crop.clone()).or_insert_with(|| Book::of(crop));
        let time = own_time::of_running(self.state, &self.climate, book, largest, seed.viability.mean());
        self.note(id, batch, lot, time);
    }

    fn note(&mut self, id: BatchId, batch: &Batch, lot: &Lot, time: Option<TimeKept>) {
        // Seed past its years comes late, and says nothing of fresh seed.
        if prior::is_past_its_years(part::crop(self.state, self.trade, batch), lot, batch.begun) {
            return;
        }
        let (Some(TimeKept { median, spread, worth }), Some(book)) = (time, self.books.get(&lot.crop)) else { return };
        let over_book = median / book.timing.median();
        let time = OwnTime { batch: id, lot: batch.lot, begun: batch.begun, median, over_book, spread, worth };
        self.record.times.entry(lot.crop.clone()).or_default().push(time);
    }

    /// The sown part with most up, of a batch that was counted.
    fn largest(&self, batch: &'a Batch) -> Option<&'a Part> {
        let counted = self.sown_parts(batch).filter(|part| !part.counts.is_empty());
        counted.max_by_key(|part| part.up)
    }

    /// Whether another sowing of its lot is here to learn from it.
    fn has_siblings(&self, batch: &Batch) -> bool {
        self.state.batches.values().filter(|other| other.lot == batch.lot).nth(1).is_some()
    }

    fn sown_parts(&self, batch: &'a Batch) -> impl Iterator<Item = &'a Part> {
        self.state.parts_of(batch).map(|(_, part)| part).filter(|part| part.is_sown())
    }
}

fn book(state: &State, trade: &Trade, batch: &Batch) -> Book {
    Book::of(part::crop(state, trade, batch))
}
