//! The course of one sowing as it is drawn: what was counted, over what its kind should show.

use std::sync::Arc;

use crate::journal::{Beginning, State};
use crate::quantity::{BatchId, Date, SownUnit};
use crate::science::outlook::{Forecast, Prior};
use crate::trade::Trade;

use super::Outlook;
use super::belief::Group;
use super::expect::Book;
use super::prior::Seed;
use super::record::Record;
use super::view::{AHEAD, View, sown_parts};
use crate::advice::part::{self, after, days_between};

/// Points that are enough to draw the band with.
const POINTS: u32 = 48;
/// The picture ends when so much of what comes should be up.
const NEARLY_ALL: f64 = 0.95;
/// What is as often exceeded as not.
const MIDDLE: f64 = 0.5;

/// What should be up on a day if the seed is alive: eight times in ten from `low` to `high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// The day.
    pub on: Date,
    /// Units up that are fallen short of one time in ten.
    pub low: u32,
    /// Units up that are as often exceeded as not.
    pub median: u32,
    /// Units up that are exceeded one time in ten.
    pub high: u32,
}

/// The course of one sowing. Counts are steps: what was up stays so until the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// The day it was sown.
    pub sown_on: Date,
    /// The day it is looked at.
    pub today: Date,
    /// The last day of the picture.
    pub end: Date,
    /// Units sown.
    pub sown: u32,
    /// Units up in all by day, as later counts leave it.
    pub counts: Vec<(Date, u32)>,
    /// What its kind should show by day, before any count; sowing first.
    pub expected: Vec<Band>,
}

/// What a sowing should show before any count, by the time that its compost has run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Expected {
    pub(super) sown: u32,
    pub(super) prior: Prior,
    pub(super) run_by_now: f64,
}

impl Expected {
    /// Units up today that are as often exceeded as not: a point of the course that is drawn.
    pub(super) fn up_by_now(&self) -> u32 {
        Forecast::new(self.sown, &self.prior).counts_by(self.run_by_now).quantile(MIDDLE)
    }
}

/// The course of a sowing, live or not, with its outlook where it has one; `None` for plants bought in and for a batch not in the state.
#[must_use]
pub fn curve(
    state: &State,
    trade: &Trade,
    record: &Record,
    (id, outlook): (BatchId, Option<&Outlook>),
    on: Date,
) -> Option<Curve> {
    let batch = state.batches.get(&id)?;
    let Beginning::Sown { unit, .. } = batch.beginning else { return None };
    let view = View::of(state, trade, record, batch.begun, on);
    // As it was looked at, so that no figure has two values.
    let (book, kept, seed) = match outlook.and_then(|outlook| outlook.grounds.as_deref()) {
        Some(grounds) => (Arc::clone(&grounds.book), grounds.kept, grounds.seed.clone()),
        None => {
            let crop = part::crop(state, trade, batch);
            let (name, _) = part::named(state, batch);
            let book = Arc::new(Book::of(crop));
            let kept = record.time_of(&book, &name, batch.lot, id);
            let lot = state.lots.get(&batch.lot);
            let lately = record.of_lot(&name, batch.lot, id);
            let seed = Seed::of(crop, lot, unit, batch.begun, lately, record.fails());
            (book, kept, seed)
        }
    };
    let parts = sown_parts(state, batch);
    let all = Group::merged(view.groups_of(&parts, &book))?;
    let prior = view.prior(&parts, &kept, &seed);
    let ends = all.run.day_of(prior.timing.time_of(NEARLY_ALL) * prior.median_doubt.exp());
    let last = all.curve.last().map_or(batch.begun, |(on, _)| *on);
    let end = ends.unwrap_or(after(on, AHEAD / 4)).max(last).min(after(batch.begun, 366)).max(after(batch.begun, 1));
    let forecast = Forecast::new(all.sown, &prior);
    let days = days_between(batch.begun, end);
    let expected = (0..=days.min(POINTS)).map(|point| {
        let day = after(batch.begun, point * days / days.min(POINTS));
        let counts = forecast.counts_by(all.run.by(day));
        Band { on: day, low: counts.quantile(0.1), median: counts.quantile(MIDDLE), high: counts.quantile(0.9) }
    });
    // A pinch has no number to forecast.
    let expected = if unit == SownUnit::Pinch { Vec::new() } else { expected.collect() };
    Some(Curve { sown_on: batch.begun, today: on, end, sown: all.sown, counts: all.curve, expected })
}
