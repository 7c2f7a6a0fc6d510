//! The course of one sowing as it is drawn: what was counted, over what its kind should show.

use crate::journal::{Beginning, Part, State};
use crate::quantity::{BatchId, Date, SownUnit};
use crate::science::fit::{Fit, NoFit, fit};
use crate::science::indices::{Course, Inspection, Undefined};
use crate::science::outlook::Forecast;
use crate::trade::Trade;

use super::belief::Group;
use super::expect::Book;
use super::prior::Seed;
use super::record::Record;
use super::run::Run;
use super::view::{AHEAD, View};
use crate::advice::part::{self, after, days_between};

/// Points that are enough to draw the band with.
const POINTS: u32 = 48;
/// The picture ends when so much of what comes should be up.
const NEARLY_ALL: f64 = 0.95;

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
    /// The course in figures.
    pub indices: Indices,
}

/// The course in figures, in days; each says why where it has no value.
#[derive(Clone, Debug, PartialEq)]
pub struct Indices {
    /// Share up of sown.
    pub final_share: Result<f64, Undefined>,
    /// Mean germination time (Ellis & Roberts 1980).
    pub mean_days: Result<f64, Undefined>,
    /// Days to half of those up (Coolbear, Francis & Grierson 1984).
    pub t50: Result<f64, Undefined>,
    /// Coefficient of velocity (Kotowski 1926).
    pub velocity: Result<f64, Undefined>,
    /// The three-parameter log-logistic curve by maximum likelihood (Ritz, Pipper & Streibig 2013).
    pub fit: Result<Fit, NoFit>,
}

/// The course of a sowing, live or not; `None` for plants bought in and for a batch not in the state.
#[must_use]
pub fn curve(state: &State, trade: &Trade, record: &Record, id: BatchId, on: Date) -> Option<Curve> {
    let batch = state.batches.get(&id)?;
    let Beginning::Sown { unit, .. } = batch.beginning else { return None };
    let view = View::of(state, trade, record, batch.begun, on);
    let crop = part::crop(state, trade, batch);
    let (name, _) = part::named(state, batch);
    let book = Book::of(crop);
    let kept = record.time_of(&book, &name, batch.lot, id);
    let lot = state.lots.get(&batch.lot);
    let seed = Seed::of(crop, lot, unit, batch.begun, record.of_lot(&name, batch.lot, id), record.fails());
    let parts: Vec<&Part> = state.parts_of(batch).map(|(_, part)| part).filter(|part| part.is_sown()).collect();
    let mut groups = Vec::new();
    for part in &parts {
        Group::put(&mut groups, part, Run::of(state, &view.climate, &book, part, after(on, AHEAD)));
    }
    let all = Group::merged(groups)?;
    let prior = view.prior(&parts, &kept, &seed);
    let ends = all.run.day_of(prior.timing.time_of(NEARLY_ALL) * prior.median_doubt.exp());
    let last = all.curve.last().map_or(batch.begun, |(on, _)| *on);
    let end = ends.unwrap_or(after(on, AHEAD / 4)).max(last).min(after(batch.begun, 366)).max(after(batch.begun, 1));
    let forecast = Forecast::new(all.sown, &prior);
    let days = days_between(batch.begun, end);
    let expected = (0..=days.min(POINTS)).map(|point| {
        let day = after(batch.begun, point * days / days.min(POINTS));
        let counts = forecast.counts_by(all.run.by(day));
        Band { on: day, low: counts.quantile(0.1), median: counts.quantile(0.5), high: counts.quantile(0.9) }
    });
    // A pinch has no number to forecast.
    let expected = if unit == SownUnit::Pinch { Vec::new() } else { expected.collect() };
    let indices = indices(batch.begun, all.sown, &all.curve);
    Some(Curve { sown_on: batch.begun, today: on, end, sown: all.sown, counts: all.curve, expected, indices })
}

fn indices(sown_on: Date, sown: u32, curve: &[(Date, u32)]) -> Indices {
    let mut before = 0;
    let mut inspections: Vec<Inspection> = Vec::new();
    for (on, up) in curve {
        // Seen on the day of sowing still took some hours.
        let time = f64::from(days_between(sown_on, *on)).max(0.5);
        let emerged = up.saturating_sub(before);
        before = *up;
        match inspections.last_mut().filter(|last| last.time >= time) {
            Some(last) => last.emerged += emerged,
            None => inspections.push(Inspection { time, emerged }),
        }
    }
    match Course::new(inspections, sown) {
        Ok(course) => Indices {
            final_share: course.final_share(),
            mean_days: course.mean_time(),
            t50: course.t50(),
            velocity: course.velocity(),
            fit: fit(&course),
        },
        Err(_) => Indices {
            final_share: Err(Undefined::NothingSown),
            mean_days: Err(Undefined::NoneUp),
            t50: Err(Undefined::NoneUp),
            velocity: Err(Undefined::NoneUp),
            fit: Err(NoFit::NoneUp),
        },
    }
}
