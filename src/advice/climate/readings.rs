//! What thermometers say of each day: its low, its high, and what bounds the days between two readings.

use std::collections::BTreeMap;

use crate::advice::part::days_between;
use crate::journal::{Measured, State};
use crate::quantity::{Celsius, Date, PlaceId};

/// The lowest and highest read on one day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Extremes {
    /// The low of the night before.
    pub low: Option<Celsius>,
    /// The high.
    pub high: Option<Celsius>,
    /// The high or the air of a moment that was noted last: how hot it is there, as far as is known.
    pub latest: Option<Celsius>,
    /// The highest of highs and moments.
    pub hottest: Option<Celsius>,
}

/// What thermometers say of days.
pub(super) struct Readings {
    pub(super) read: BTreeMap<(PlaceId, Date), Extremes>,
    pub(super) bounds: BTreeMap<(PlaceId, Date), Extremes>,
}

/// Lows and highs by place and day, and what bounds the days between two readings: the lowest and highest of those read.
/// Where only the air of a moment was read in a house, it stands for the low.
pub(super) fn readings(state: &State, on: Date) -> Readings {
    let mut bounds: BTreeMap<(PlaceId, Date), Extremes> = BTreeMap::new();
    let mut days: BTreeMap<(PlaceId, Date), Extremes> = BTreeMap::new();
    let (mut lows_set, mut highs_set) = (LastSet::default(), LastSet::default());
    let sane = |celsius: Celsius| (-60.0..=80.0).contains(&celsius.0);
    let lower = |known: Option<Celsius>, new: Celsius| Some(known.map_or(new, |known| Celsius(known.0.min(new.0))));
    let higher = |known: Option<Celsius>, new: Celsius| Some(known.map_or(new, |known| Celsius(known.0.max(new.0))));
    for reading in state.readings.iter().filter(|reading| reading.on <= on) {
        let in_house = state.places.get(&reading.place).is_some_and(|place| place.kind.is_indoors());
        let key = (reading.place, reading.on);
        let between = |since: u32| reading.on.iter_days().rev().take(since as usize).skip(usize::from(since <= 1));
        match reading.measured {
            Measured::Minimum(low) if sane(low) => {
                let since = lows_set.days(reading.place, reading.on);
                for day in between(since) {
                    let bound = bounds.entry((reading.place, day)).or_default();
                    bound.low = lower(bound.low, low);
                }
                // What has stood since an earlier day is of all the days since, not of last night; but no night in a house
                // was colder than the lowest of several, and they differ little.
                if since <= 1 || in_house {
                    let day = days.entry(key).or_default();
                    day.low = lower(day.low, low);
                }
            }
            Measured::Maximum(high) if sane(high) => {
                let since = highs_set.days(reading.place, reading.on);
                for day in between(since) {
                    let bound = bounds.entry((reading.place, day)).or_default();
                    bound.high = higher(bound.high, high);
                }
                if since <= 1 {
                    let day = days.entry(key).or_default();
                    day.high = higher(day.high, high);
                    (day.latest, day.hottest) = (Some(high), higher(day.hottest, high));
                }
            }
            Measured::Now(now) if sane(now) => {
                let day = days.entry(key).or_default();
                (day.latest, day.hottest) = (Some(now), higher(day.hottest, now));
                if in_house {
                    day.low = lower(day.low, now);
                }
            }
            _ => {}
        }
    }
    Readings { read: days, bounds }
}

/// When the lows, or the highs, of each place were last read, taken in order.
#[derive(Clone, Debug, Default)]
struct LastSet(BTreeMap<PlaceId, (Date, Option<Date>)>);

impl LastSet {
    /// Days that one read in a place on a day is of: 1 when one was read the day before, or never before.
    fn days(&mut self, place: PlaceId, on: Date) -> u32 {
        let (day, before) = self.0.entry(place).or_insert((on, None));
        if *day != on {
            (*day, *before) = (on, Some(*day));
        }
        before.map_or(1, |before| days_between(before, on))
    }
}
