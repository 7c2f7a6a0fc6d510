//! Which hours of its nights and days a thermometer's file, or a forecast by the hour, has seen.

use std::collections::BTreeSet;

use chrono::Datelike as _;

use crate::quantity::Date;

/// From this hour on a low belongs to the coming morning.
pub(super) const EVENING: u32 = 18;

/// The hours in which the lowest of a night comes, from the evening before to the morning: before sunrise on a clear
/// night, at any hour where cloud or wind comes up. Common practice, no source.
const NIGHT: (i64, i64) = (21 - 24, 7);
/// The hours in which the highest of a day comes, in glass about noon, out of doors two or three hours after it. Common
/// practice, no source.
const NOON: (i64, i64) = (11, 16);
/// The most hours between two samples, of which the coldest or the warmest can be by a degree or so only: some forecasts
/// go by three hours. Common practice, no source.
const LONGEST_GAP: i64 = 3;

/// Why no low is told of a night, or no high of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unseen {
    /// The file begins or ends in it.
    InPart,
    /// Nothing was sampled between two hours of the clock, from 0 to 23.
    Gap {
        /// From then on.
        from: u32,
        /// Until then.
        to: u32,
    },
}

/// The hours in which one thermometer was sampled, or that one forecast is of.
#[derive(Default)]
pub(super) struct Hours(BTreeSet<i64>);

impl Hours {
    pub(super) fn add(&mut self, on: Date, hour: u32) {
        self.0.insert(midnight(on) + i64::from(hour));
    }

    /// Why the low of the night to a day cannot be told; `None` when it can.
    pub(super) fn night(&self, to: Date) -> Option<Unseen> {
        self.unseen(to, NIGHT)
    }

    /// Why the high of a day cannot be told; `None` when it can.
    pub(super) fn noon(&self, of: Date) -> Option<Unseen> {
        self.unseen(of, NOON)
    }

    fn unseen(&self, on: Date, (from, to): (i64, i64)) -> Option<Unseen> {
        let (mut seen, to) = (midnight(on) + from, midnight(on) + to);
        let had_begun = self.0.first().is_some_and(|first| *first <= seen + LONGEST_GAP);
        for next in self.0.range(seen..) {
            if next - seen > LONGEST_GAP {
                let hour = |at: i64| u32::try_from(at.rem_euclid(24)).unwrap_or(0);
                // Of a silence of days it is told how it lay over these hours.
                let until = if next - seen < 24 { *next } else { to };
                return Some(if had_begun {
                    Unseen::Gap { from: hour(seen), to: hour(until) }
                } else {
                    Unseen::InPart
                });
            }
            if *next >= to {
                return None;
            }
            seen = *next;
        }
        Some(Unseen::InPart)
    }
}

/// Hours since the calendar began.
fn midnight(on: Date) -> i64 {
    i64::from(on.num_days_from_ce()) * 24
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(of_may: u32) -> Date {
        Date::from_ymd_opt(2026, 5, of_may).unwrap()
    }

    fn hours(sampled: impl IntoIterator<Item = (u32, u32)>) -> Hours {
        let mut hours = Hours::default();
        sampled.into_iter().for_each(|(of_may, hour)| hours.add(day(of_may), hour));
        hours
    }

    #[test]
    fn a_gap_of_three_hours_is_none_and_one_of_four_is() {
        let with = |gap: std::ops::Range<u32>| {
            hours(
                (9..=11)
                    .flat_map(|day| (0..24).map(move |hour| (day, hour)))
                    .filter(|at| at.0 != 10 || !gap.contains(&at.1)),
            )
        };
        assert_eq!(with(3..5).night(day(10)), None);
        assert_eq!(with(3..6).night(day(10)), Some(Unseen::Gap { from: 2, to: 6 }));
        // What is missing before nine in the evening is no part of the night.
        assert_eq!(with(12..23).night(day(11)), None);
        assert_eq!(with(12..23).noon(day(10)), Some(Unseen::Gap { from: 11, to: 23 }));
        assert_eq!(with(17..24).noon(day(10)), None);
        assert_eq!(with(17..24).night(day(11)), None, "midnight is three hours after nine");
        let for_days = hours([(9, 4), (9, 5), (11, 12)]);
        assert_eq!(for_days.noon(day(10)), Some(Unseen::Gap { from: 11, to: 16 }));
    }

    #[test]
    fn samples_three_hours_apart_tell_and_six_do_not() {
        let every = |step: usize| hours((9..=11).flat_map(|day| (0..24).step_by(step).map(move |hour| (day, hour))));
        assert_eq!((every(3).night(day(10)), every(3).noon(day(10))), (None, None));
        assert_eq!(every(6).night(day(10)), Some(Unseen::Gap { from: 0, to: 6 }));
        assert_eq!(every(6).noon(day(10)), Some(Unseen::Gap { from: 12, to: 18 }));
    }

    #[test]
    fn where_the_hours_begin_and_end_the_day_is_there_in_part() {
        let from_four_to_four = hours((0..24).map(|later| (9 + (later + 4) / 24, (later + 4) % 24)));
        assert_eq!(from_four_to_four.night(day(9)), Some(Unseen::InPart));
        assert_eq!(from_four_to_four.noon(day(9)), None);
        assert_eq!(from_four_to_four.night(day(10)), Some(Unseen::InPart));
    }
}
