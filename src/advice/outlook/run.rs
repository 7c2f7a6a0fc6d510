//! How far a sowing's time has run, day by day, in the clock of its crop.

use crate::advice::part::{after, days_between};
use crate::journal::{Part, State};
use crate::quantity::Date;

use super::expect::Book;
use super::warmth::{Climate, Known, Warmth};

/// Where a few degrees are the difference between some time and none, the doubt is taken as this: a half more or less; that it
/// may be far cooler is asked about before seed is blamed.
const MOST_UNREAD: f64 = 0.5;
/// More than this of what its days leave to be known, in the mean, and the compost is read before seed is blamed: a reading a
/// week leaves an eighth, one on the last day of a fortnight a half. Common practice, no source.
const UNREAD: f64 = 0.25;

/// A sowing's time from the day it was sown, running on past today on what is foreseen.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    pub(super) from: Date,
    /// The time run after each whole day, from none on.
    sums: Vec<f64>,
    /// The same were each day cooler by its doubt.
    cool: Vec<f64>,
    pub(super) days: Vec<Warmth>,
}

impl Run {
    /// The run of a part until a day.
    pub(super) fn of(state: &State, climate: &Climate, book: &Book, part: &Part, to: Date) -> Self {
        let days = climate.of_container(state, part.container, part.filled, to);
        let each: Vec<f64> = days.iter().map(|warmth| a_day(book, *warmth, 0.0)).collect();
        let cool = days.iter().zip(&each).map(|(warmth, day)| match warmth.doubt {
            0.0 => *day,
            _ => a_day(book, *warmth, 1.0),
        });
        Self { from: part.filled, cool: summed(cool), sums: summed(each.into_iter()), days }
    }

    /// The run of the same days, each so many times its doubt cooler.
    pub(super) fn cooler(&self, book: &Book, times: f64) -> Self {
        let sums = summed(self.days.iter().map(|warmth| a_day(book, *warmth, times)));
        Self { from: self.from, cool: sums.clone(), sums, days: self.days.clone() }
    }

    /// So many days read, each worth as much.
    #[cfg(test)]
    pub(super) fn steady(from: Date, a_day: f64, days: u32) -> Self {
        let warmth = Warmth {
            day: crate::science::thermal::Day::steady(15.0),
            known: Known::Read,
            doubt: 0.0,
            unread: 0.0,
            chilled: false,
        };
        let sums: Vec<f64> = (0..=days).map(|day| f64::from(day) * a_day).collect();
        Self { from, cool: sums.clone(), sums, days: vec![warmth; days as usize] }
    }

    /// The time run by a day; past the end it stands still, before sowing it is nothing.
    pub(super) fn by(&self, on: Date) -> f64 {
        self.at(&self.sums, on)
    }

    fn at(&self, sums: &[f64], on: Date) -> f64 {
        let day = days_between(self.from, on) as usize;
        sums.get(day).or(sums.last()).copied().unwrap_or(0.0)
    }

    /// The first day by which so much time has run; `None` when it is not foreseen.
    pub(super) fn day_of(&self, time: f64) -> Option<Date> {
        let day = self.sums.partition_point(|sum| *sum < time);
        (day < self.sums.len()).then(|| after(self.from, u32::try_from(day).unwrap_or(u32::MAX)))
    }

    /// The same days counted by the calendar, each worth as much: for when temperatures and seedlings disagree.
    pub(super) fn by_calendar(&self, a_day: f64) -> Self {
        let sums: Vec<f64> = (0..self.sums.len()).map(|day| day as f64 * a_day).collect();
        Self { from: self.from, cool: sums.clone(), sums, days: self.days.clone() }
    }

    /// How far the time run by a day may be off because nobody read the compost, as a standard deviation of its logarithm:
    /// near the coldest that a crop moves at a few degrees are the whole of it.
    pub(super) fn doubt_by(&self, on: Date) -> f64 {
        let (run, cool) = (self.by(on), self.at(&self.cool, on));
        if run <= cool { 0.0 } else { (run / cool).ln().min(MOST_UNREAD) }
    }

    /// Whether too little is known of the compost of the days before one, taken together.
    pub(super) fn is_unread(&self, on: Date) -> bool {
        let days = self.until(on);
        days.iter().map(|warmth| warmth.unread).sum::<f64>() > UNREAD * days.len() as f64
    }

    /// On how many of the days up to one it was read, and the mean of that; `None` when it never was.
    pub(super) fn read_by(&self, on: Date) -> Option<(usize, f64)> {
        let days = self.days.iter().take(days_between(self.from, on) as usize + 1);
        let read = days.filter(|warmth| warmth.known == Known::Read);
        let read: Vec<f64> = read.map(|warmth| f64::midpoint(warmth.day.min(), warmth.day.max())).collect();
        (!read.is_empty()).then(|| (read.len(), read.iter().sum::<f64>() / read.len() as f64))
    }

    fn until(&self, on: Date) -> &[Warmth] {
        &self.days[..self.days.len().min(days_between(self.from, on) as usize)]
    }

    /// The mean of the compost until a day, were each day so many times its doubt cooler.
    pub(super) fn mean_until(&self, on: Date, times: f64) -> f64 {
        let days = self.until(on);
        let mean = |warmth: &Warmth| {
            let day = warmth.cooler(times);
            f64::midpoint(day.min(), day.max())
        };
        days.iter().map(mean).sum::<f64>() / days.len().max(1) as f64
    }
}

/// What a day adds, so many times its doubt cooler; what is chilled on purpose waits.
fn a_day(book: &Book, warmth: Warmth, times: f64) -> f64 {
    if warmth.chilled { 0.0 } else { book.day(warmth.cooler(times)) }
}

fn summed(days: impl Iterator<Item = f64>) -> Vec<f64> {
    let sums = days.scan(0.0, |sum, day| {
        *sum += day;
        Some(*sum)
    });
    std::iter::once(0.0).chain(sums).collect()
}
