//! What has come up of each sowing, and what can be said of it.

use crate::journal::{self, Batch, Beginning, State};
use crate::quantity::{BatchId, BatchLabel, CropName, Date, Name, Share, SownUnit};
use crate::science::interval::{Confidence, Tally, wilson};
use crate::trade::Trade;

use super::expected::{Expected, expected, is_settled, may_come, next_count};
use super::part::{self, PartAt, days_between};
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
    /// The latest counts, four days or more apart, found the same number, or plants were moved on from it.
    Settled,
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
pub fn germination_of(state: &State, trade: &Trade, id: BatchId, on: Date) -> Option<Germination> {
    let batch = state.batches.get(&id)?;
    let Beginning::Sown { unit, .. } = batch.beginning else { return None };
    let tally = state.tally(batch);
    let (crop_name, variety) = part::named(state, batch);
    let expected = expected(part::crop(state, trade, batch));
    let sown_parts = state.parts_of(batch).filter(|(_, part)| part.is_sown());
    let counted_on = sown_parts.filter_map(|(_, part)| part.counts.last()).map(|count| count.on).max();
    let rate = if unit == SownUnit::Pinch { None } else { rate_of(&tally) };
    let verdict = verdict(state, batch, &tally, &expected, on);
    let parts = state.parts_of(batch).filter(|(_, part)| part.is_live());
    Some(Germination {
        batch: id,
        label: batch.label,
        crop: crop_name,
        variety,
        unit,
        sown: tally.sown,
        up: tally.up(),
        standing: tally.standing,
        gained: tally.gained,
        not_up: tally.not_up,
        rate,
        sown_on: batch.begun,
        days: days_between(batch.begun, on),
        counted_on,
        days_since_count: counted_on.map(|counted| days_between(counted, on)),
        parts: parts.filter_map(|(id, _)| PartAt::of(state, id)).collect(),
        verdict,
        why: why(batch, &tally, unit, rate, counted_on, expected),
    })
}

fn rate_of(tally: &journal::Tally) -> Option<Rate> {
    let counted = Tally::new(tally.up(), tally.sown).ok()?;
    let interval = wilson(counted, Confidence::NINETY_FIVE);
    Some(Rate { rate: Share(counted.rate()), low: Share(interval.low), high: Share(interval.high) })
}

fn verdict(state: &State, batch: &Batch, tally: &journal::Tally, expected: &Expected, on: Date) -> Verdict {
    let mut open = may_come(state, batch).peekable();
    if tally.not_up == 0 {
        return Verdict::AllUp;
    }
    if open.peek().is_none() {
        return Verdict::Over;
    }
    let (mut settled, mut stale) = (true, false);
    for (_, part) in open {
        settled &= is_settled(part);
        stale |= next_count(part, expected, on).is_some_and(|due| due < on);
    }
    match (settled, stale) {
        (true, _) => Verdict::Settled,
        (false, true) => Verdict::NotCountedLately,
        (false, false) if tally.up() == 0 => Verdict::Waiting,
        (false, false) => Verdict::Emerging,
    }
}

fn why(
    batch: &Batch,
    tally: &journal::Tally,
    unit: SownUnit,
    rate: Option<Rate>,
    counted_on: Option<Date>,
    expected: Expected,
) -> Why {
    let mut why = Why::new("rate = units up / units sown, with the score interval around it")
        .seen("sown", format!("{} ({unit})", tally.sown), batch.begun)
        .given("first count worth making", format!("{} days after sowing", expected.usual))
        .given("the last of what comes", format!("within {} days of sowing", expected.last))
        .changes("a count; and a warmer or colder place, which these days do not weigh");
    why = match counted_on {
        Some(on) => why.seen("up", tally.up(), on),
        None => why.given("up", "never counted"),
    };
    why = why.doubt(match rate {
        Some(Rate { low, high, .. }) => format!(
            "nineteen times in twenty the true rate of such seed, counted at this stage, lies between {low} and {high}"
        ),
        None if unit == SownUnit::Pinch => "a pinch is a guess, so there is no rate".to_owned(),
        None => "there is nothing to divide".to_owned(),
    });
    let wilson = "Wilson 1927, Journal of the American Statistical Association 22:209; method 3 of Newcombe 1998, \
                  Statistics in Medicine 17:857";
    expected.sources.into_iter().fold(why.published(wilson), Why::source)
}
