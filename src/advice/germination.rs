//! What has come up of each sowing, and what can be said of it.

use crate::journal::State;
use crate::quantity::{BatchId, BatchLabel, CropName, Date, Name, Share, SownUnit};
use crate::trade::Trade;

use super::part::PartAt;
use super::why::Why;

/// The share of sown units that came up, and how far the true one may lie from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Up of sown.
    pub rate: Share,
    /// Lower limit of the 95 % score interval.
    pub low: Share,
    /// Upper limit.
    pub high: Share,
}

/// What can honestly be said of a sowing from its counts alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Nothing is up, as far as was seen.
    Waiting,
    /// Some are up, and more may come.
    Emerging,
    /// Every unit sown is up.
    AllUp,
    /// It was emptied or moved on with units not up: no more are looked for.
    Over,
    /// Shoots may have shown since it was last looked at.
    NotCountedLately,
}

/// One sown batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Germination {
    /// The batch.
    pub batch: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety; `None` only when its lot is missing from the state.
    pub variety: Option<Name>,
    /// What was sown and is counted.
    pub unit: SownUnit,
    /// Units sown; an estimate for a pinch.
    pub sown: u32,
    /// Units up ever.
    pub up: u32,
    /// Plants alive now.
    pub standing: u32,
    /// Plants beyond one for each unit sown.
    pub gained: u32,
    /// Units not up.
    pub not_up: u32,
    /// The rate; `None` for a pinch, whose number is a guess.
    pub rate: Option<Rate>,
    /// The day it was sown.
    pub sown_on: Date,
    /// Days since.
    pub days: u32,
    /// The day of the latest count of what was sown.
    pub counted_on: Option<Date>,
    /// Days since.
    pub days_since_count: Option<u32>,
    /// Its live parts and where they stand.
    pub parts: Vec<PartAt>,
    /// What can be said.
    pub verdict: Verdict,
    /// How the rate and the verdict were come by.
    pub why: Why,
}

/// Every live sown batch, in order of its number.
#[must_use]
pub fn germination(state: &State, trade: &Trade, on: Date) -> Vec<Germination> {
    let live = state.batches.iter().filter(|(_, batch)| state.is_live(batch));
    let mut rows: Vec<_> = live.filter_map(|(id, _)| germination_of(state, trade, *id, on)).collect();
    rows.sort_by_key(|row| (row.label, row.batch));
    rows
}

/// One batch, live or not; `None` for one bought in or not in the state.
#[must_use]
pub fn germination_of(_state: &State, _trade: &Trade, _batch: BatchId, _on: Date) -> Option<Germination> {
    None
}
