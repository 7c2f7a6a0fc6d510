//! What thermometers say of each day: its low, its high, and what bounds the days between two readings.

use std::collections::BTreeMap;

use crate::advice::part::{after, days_between};
use crate::journal::{Measured, Reading, SITTING, State};
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
    /// The coldest moment noted of the night before, from the end of the heat of the evening to noon: its low was no warmer.
    pub coldest: Option<Celsius>,
}

/// What thermometers say of days.
pub(super) struct Readings {
    pub(super) read: BTreeMap<(PlaceId, Date), Extremes>,
    pub(super) bounds: BTreeMap<(PlaceId, Date), Extremes>,
}

/// Lows and highs by place and day, and what bounds the days between two readings: the lowest and highest of those read.
/// The air of a moment stands for the low of a house where it was read at night; by day the sun may be on the sill.
pub(super) fn readings(state: &State, on: Date) -> Readings {
    let mut bounds: BTreeMap<(PlaceId, Date), Extremes> = BTreeMap::new();
    let mut days: BTreeMap<(PlaceId, Date), Extremes> = BTreeMap::new();
    let mut first_noted = FirstNoted::new();
    for reading in &state.readings {
        if let (true, Some(at)) = (reading.measured.is_extreme(), reading.by.noted_at()) {
            let high = matches!(reading.measured, Measured::Maximum(_));
            let first = first_noted.entry((reading.place, reading.on, high)).or_insert(at);
            *first = at.min(*first);
        }
    }
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
                let since = lows_set.days(reading, &first_noted);
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
                let since = highs_set.days(reading, &first_noted);
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
                let moment = reading.moment();
                let morning = if moment.is_past_heat() { after(reading.on, 1) } else { reading.on };
                if moment.is_past_heat() || moment.is_morning() {
                    let night = days.entry((reading.place, morning)).or_default();
                    night.coldest = lower(night.coldest, now);
                    if in_house && moment.is_night() {
                        night.low = lower(night.low, now);
                    }
                }
            }
            _ => {}
        }
    }
    Readings { read: days, bounds }
}

/// The instant at which a day's low (`false`) or high (`true`) of a place was first noted, in seconds.
type FirstNoted = BTreeMap<(PlaceId, Date, bool), u64>;

/// True when the thermometer was set anew since the day before: who reads the highest of an evening sets it, and the lowest of
/// next morning is of that night; likewise a lowest noted in the morning and the highest of that day.
fn was_set(first_noted: &FirstNoted, reading: &Reading) -> bool {
    let Some(before) = reading.measured.set_by(reading.on) else { return false };
    let set = first_noted.get(&(reading.place, before.0, before.1));
    set.zip(reading.by.noted_at()).is_some_and(|(set, at)| set.saturating_add(SITTING) <= at)
}

/// When the lows, or the highs, of each place were last read, taken in order.
#[derive(Clone, Debug, Default)]
struct LastSet(BTreeMap<PlaceId, (Date, Option<Date>)>);

impl LastSet {
    /// Days that a reading is of: 1 when one was read there the day before, or never before, or when the thermometer was set
    /// by the other of the two.
    fn days(&mut self, reading: &Reading, first_noted: &FirstNoted) -> u32 {
        let (day, before) = self.0.entry(reading.place).or_insert((reading.on, None));
        if *day != reading.on {
            (*day, *before) = (reading.on, Some(*day));
        }
        before.filter(|_| !was_set(first_noted, reading)).map_or(1, |before| days_between(before, reading.on))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

    use uuid::Uuid;

    use super::*;
    use crate::quantity::{ActId, EntryId};

    const FRAME: PlaceId = PlaceId(EntryId(1));

    fn read(state: &mut State, day: &str, measured: Measured, noted_hour: u64) {
        let on: Date = day.parse().unwrap();
        let epoch = Date::from_ymd_opt(1970, 1, 1).unwrap();
        let seconds = u64::from(days_between(epoch, on)) * 86_400 + noted_hour * 3600;
        // A UUID of version 7: milliseconds, version, variant (RFC 9562).
        let by = ActId(Uuid::from_u128((u128::from(seconds * 1000) << 80) | (7 << 76) | (2 << 62)));
        state.readings.push(Reading { on, hour: None, place: FRAME, measured, by });
    }

    /// Who sets the thermometer of an evening and reads it next morning reads last night; who looks at both of a morning after
    /// days reads days.
    #[test]
    fn the_highest_of_an_evening_sets_the_thermometer() {
        let on: Date = "2026-05-02".parse().unwrap();
        let last_night = |noted_hour: u64| {
            let mut state = State::default();
            read(&mut state, "2026-04-29", Measured::Minimum(Celsius(4.0)), 8);
            read(&mut state, "2026-05-01", Measured::Maximum(Celsius(39.0)), noted_hour);
            read(&mut state, "2026-05-02", Measured::Minimum(Celsius(6.0)), 8);
            readings(&state, on).read.get(&(FRAME, on)).and_then(|it| it.low)
        };
        assert_eq!(last_night(18), Some(Celsius(6.0)));
        assert_eq!(last_night(24 + 8), None, "both of one morning");
    }

    #[test]
    fn the_lowest_of_a_morning_sets_it_for_the_day() {
        let on: Date = "2026-05-02".parse().unwrap();
        let today = |noted_hour: u64| {
            let mut state = State::default();
            read(&mut state, "2026-04-29", Measured::Maximum(Celsius(20.0)), 18);
            read(&mut state, "2026-05-02", Measured::Minimum(Celsius(6.0)), 8);
            read(&mut state, "2026-05-02", Measured::Maximum(Celsius(39.0)), noted_hour);
            readings(&state, on).read.get(&(FRAME, on)).and_then(|it| it.high)
        };
        assert_eq!(today(18), Some(Celsius(39.0)));
        assert_eq!(today(8), None, "both at once");
    }
}
