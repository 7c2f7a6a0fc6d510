//! Batches that share a tray: when their seedlings can be told apart, and who would make a better neighbour.

use crate::journal::State;
use crate::quantity::{BatchId, BatchLabel, ContainerClass, ContainerId, PartId};
use crate::trade::{Crop, CropKey, ToldApart, Trade};

use super::part;
use super::why::Why;

/// Two batches in one tray, or before they come to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Sharing {
    /// One batch; `None` while it is not sown.
    pub one: Option<BatchLabel>,
    /// What it is: crop and variety.
    pub one_is: String,
    /// The other.
    pub other: BatchLabel,
    /// What that is.
    pub other_is: String,
    /// When their seedlings can be told apart.
    pub told_apart: ToldApart,
    /// By what.
    pub how: String,
    /// Of those in open trays now, a batch whose seedlings the first could be told from by the first true leaf at the
    /// latest; asked only where the two cannot.
    pub better: Option<(BatchLabel, String)>,
    /// How it was come by.
    pub why: Why,
}

/// When the seedlings of two batches can be told apart; `None` when either is not in the state or its crop not known.
#[must_use]
pub fn sharing(state: &State, trade: &Trade, one: BatchId, other: BatchId) -> Option<Sharing> {
    let (a, b) = (Sown::of(state, trade, one)?, Sown::of(state, trade, other)?);
    between(state, trade, &a, &b, &[one, other])
}

/// The same before a crop is sown beside a batch.
#[must_use]
pub fn sharing_before(state: &State, trade: &Trade, crop: &Crop, other: BatchId) -> Option<Sharing> {
    let sown = Sown { label: None, is: crop.key().to_string(), crop: crop.key().clone() };
    between(state, trade, &sown, &Sown::of(state, trade, other)?, &[other])
}

fn between(state: &State, trade: &Trade, a: &Sown, b: &Sown, both: &[BatchId]) -> Option<Sharing> {
    let (told_apart, how, why) = a.against(b, trade);
    let better = if told_apart >= ToldApart::Later { better(state, trade, both, a) } else { None };
    let (one_is, other_is) = (a.is.clone(), b.is.clone());
    Some(Sharing { one: a.label, one_is, other: b.label?, other_is, told_apart, how, better, why })
}

/// The other batches that live in a part's container: those it shares compost with.
#[must_use]
pub fn sharers(state: &State, container: ContainerId) -> Vec<BatchId> {
    let parts = state.containers.get(&container).into_iter().flat_map(|container| &container.parts);
    let live = parts.filter_map(|part| state.parts.get(part)).filter(|part| part.is_live());
    let mut batches: Vec<BatchId> = live.map(|part| part.batch).collect();
    batches.sort_unstable();
    batches.dedup();
    batches
}

/// The batch a part belongs to.
#[must_use]
pub fn batch_of(state: &State, part: PartId) -> Option<BatchId> {
    state.parts.get(&part).map(|part| part.batch)
}

/// An order of rows in which neighbours can be told apart as early as may be; `None` when every pair of them is as hard to
/// tell apart as every other, when there are more than eight, or when some batch is not known.
#[must_use]
pub fn rows_in_order(state: &State, trade: &Trade, batches: &[BatchId]) -> Option<Vec<BatchId>> {
    const MOST: usize = 8;
    let known: Option<Vec<Sown>> = batches.iter().map(|id| Sown::of(state, trade, *id)).collect();
    let known = known.filter(|known| known.len() <= MOST)?;
    let apart: Vec<Vec<ToldApart>> =
        known.iter().map(|a| known.iter().map(|b| a.against(b, trade).0).collect()).collect();
    let mut pairs = apart.iter().enumerate().flat_map(|(index, row)| row.iter().take(index));
    let first = pairs.next()?;
    if pairs.all(|pair| pair == first) {
        return None;
    }
    let mut best: Option<(Vec<ToldApart>, Vec<usize>)> = None;
    let mut row = Vec::new();
    extend(&apart, &mut row, &mut best);
    best.map(|(_, order)| order.iter().filter_map(|at| batches.get(*at).copied()).collect())
}

/// Tries every order of rows; of two the better has its hardest pair of neighbours the easier, then the next.
fn extend(apart: &[Vec<ToldApart>], row: &mut Vec<usize>, best: &mut Option<(Vec<ToldApart>, Vec<usize>)>) {
    if row.len() == apart.len() {
        let mut pairs: Vec<ToldApart> = row.windows(2).map(|pair| apart[pair[0]][pair[1]]).collect();
        pairs.sort_unstable_by(|a, b| b.cmp(a));
        if best.as_ref().is_none_or(|(known, _)| pairs < *known) {
            *best = Some((pairs, row.clone()));
        }
        return;
    }
    for next in 0..apart.len() {
        if !row.contains(&next) {
            row.push(next);
            extend(apart, row, best);
            row.pop();
        }
    }
}

/// A batch as its seedlings show.
struct Sown {
    label: Option<BatchLabel>,
    is: String,
    crop: CropKey,
}

impl Sown {
    fn of(state: &State, trade: &Trade, id: BatchId) -> Option<Self> {
        let batch = state.batches.get(&id)?;
        let crop = part::crop(state, trade, batch)?.key().clone();
        let (name, variety) = part::named(state, batch);
        let is = variety.map_or_else(|| name.to_string(), |variety| format!("{name} {variety}"));
        Some(Self { label: Some(batch.label), is, crop })
    }

    fn against(&self, other: &Self, trade: &Trade) -> (ToldApart, String, Why) {
        let formula = "the row of the table of look-alikes that speaks most closely of the two";
        let why = Why::new(formula).given("one", &self.is).given("the other", &other.is);
        let why = why.doubt("varieties differ, and seedlings grown dark or crowded look alike longer: label the rows");
        match trade.told_apart(&self.crop, &other.crop) {
            Some(row) => (row.told_apart, row.how.clone(), why.source(row.source.clone())),
            None if self.crop == other.crop => {
                let why = why.practice("two varieties of one crop come up alike");
                (ToldApart::Never, "two varieties of one crop: only the label tells".to_owned(), why)
            }
            None => {
                let why = why.practice("crops that no row calls alike are plainly unlike");
                (ToldApart::SeedLeaf, "not known to look alike, which proves nothing: label the rows".to_owned(), why)
            }
        }
    }
}

fn better(state: &State, trade: &Trade, both: &[BatchId], a: &Sown) -> Option<(BatchLabel, String)> {
    let in_tray = |id: &BatchId| {
        let batch = state.batches.get(id);
        let parts = batch.into_iter().flat_map(|batch| state.parts_of(batch));
        // What was pricked out has its place; who shares is what is still in its seed tray.
        let mut live = parts.filter(|(_, part)| part.is_live() && part.is_sown());
        live.any(|(_, part)| {
            state.containers.get(&part.container).is_some_and(|it| it.vessel.class == ContainerClass::Tray)
        })
    };
    let others = state.batches.keys().filter(|id| !both.contains(id) && in_tray(id));
    let known = others.filter_map(|id| Sown::of(state, trade, *id));
    let early = known.map(|b| (a.against(&b, trade).0, b)).filter(|(when, _)| *when <= ToldApart::FirstTrueLeaf);
    early.min_by_key(|(when, b)| (*when, b.label)).and_then(|(_, b)| Some((b.label?, b.is)))
}
