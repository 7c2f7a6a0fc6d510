//! How far a sowing's time has run, day by day, in the clock of its crop.

use crate::advice::part::{after, days_between};
use crate::journal::{Part, State};
use crate::quantity::Date;

use super::expect::Book;
use super::warmth::{Climate, Known, Warmth};

/// A sowing's time from the day it was sown, running on past today on what is foreseen.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    pub(super) from: Date,
    /// The time run after each whole day, from none on.
    sums: Vec<f64>,
    pub(super) days: Vec<Warmth>,
}

impl Run {
    /// The run of a part until a day.
    pub(super) fn of(state: &State, climate: &Climate, book: &Book, part: &Part, to: Date) -> Self {
        let days = climate.of_container(state, part.container, part.filled, to);
        let mut sum = 0.0;
        let mut sums = Vec::with_capacity(days.len() + 1);
        sums.push(sum);
        sums.extend(days.iter().map(|warmth| {
            // What is chilled on purpose waits.
            sum += if warmth.chilled { 0.0 } else { book.day(warmth.day) };
            sum
        }));
        Self { from: part.filled, sums, days }
    }

    /// So many days read, each worth as much.
    #[cfg(test)]
    pub(super) fn steady(from: Date, a_day: f64, days: u32) -> Self {
        let warmth = Warmth { day: crate::science::thermal::Day::steady(15.0), known: Known::Read, chilled: false };
        let sums = (0..=days).map(|day| f64::from(day) * a_day).collect();
        Self { from, sums, days: vec![warmth; days as usize] }
    }

    /// The time run by a day; past the end it stands still, before sowing it is nothing.
    pub(super) fn by(&self, on: Date) -> f64 {
        let day = days_between(self.from, on) as usize;
        self.sums.get(day).or(self.sums.last()).copied().unwrap_or(0.0)
    }

    /// The first day by which so much time has run; `None` when it is not foreseen.
    pub(super) fn day_of(&self, time: f64) -> Option<Date> {
        let day = self.sums.partition_point(|sum| *sum < time);
        (day < self.sums.len()).then(|| after(self.from, u32::try_from(day).unwrap_or(u32::MAX)))
    }

    /// The same days counted by the calendar, each worth as much: for when temperatures and seedlings disagree.
    pub(super) fn by_calendar(&self, a_day: f64) -> Self {
        let sums = (0..self.sums.len()).map(|day| day as f64 * a_day).collect();
        Self { from: self.from, sums, days: self.days.clone() }
    }

    /// Share of the days until one whose temperature was only assumed; 0 when there are none.
    pub(super) fn assumed_until(&self, on: Date) -> f64 {
        let days = &self.days[..self.days.len().min(days_between(self.from, on) as usize)];
        let assumed = days.iter().filter(|warmth| warmth.known == Known::Assumed).count();
        if days.is_empty() { 0.0 } else { assumed as f64 / days.len() as f64 }
    }
}
