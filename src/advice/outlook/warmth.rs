//! How warm the compost was, day by day, in each place, and is likely to be: what was read there, else the forecast,
//! else what is usual for the kind of place and the month, moved toward what was read there within a fortnight.

use std::collections::BTreeMap;

use crate::advice::batch::{Stayed, stays};
use crate::advice::part::{after, days_between};
use crate::journal::{Measured, PlaceKind, Reading, State};
use crate::quantity::{Celsius, ContainerId, Date, PlaceId};
use crate::science::thermal::Day;
use crate::trade::Trade;

use super::usual::Usual;

/// Readings this many days away still say something of a day without one. Common practice, no source.
pub(super) const NEAR_DAYS: u32 = 14;
/// As many readings as this weigh as much as what is usual for the kind of place. Common practice, no source.
const USUAL_WEIGHS: f64 = 2.0;
/// Compost outside these is a slip of the finger or a broken thermometer, degrees C.
const POSSIBLE: std::ops::RangeInclusive<f64> = -30.0..=70.0;

/// No seed is waited for longer than so many days.
pub(super) const LONGEST: u32 = 460;
/// How far the compost of a day may be from what is usual, as a standard deviation in degrees: where a heater keeps it, in a
/// house, and where the weather decides, unforeseen or foretold. Common practice, no source.
const HEATED_DOUBT: f64 = 2.0;
const INDOORS_DOUBT: f64 = 2.5;
const WEATHER_DOUBT: f64 = 3.5;
const FORETOLD_DOUBT: f64 = 2.5;

/// The compost of a room, degrees C. Common practice, no source.
const ROOM: f64 = 18.0;

/// How a day's temperature is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    /// A thermometer was read that day.
    Read,
    /// The forecast of that day was noted.
    Forecast,
    /// Neither: what is usual.
    Assumed,
}

/// One day's compost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Warmth {
    pub(super) day: Day,
    pub(super) known: Known,
    /// How far the compost may be from that, as a standard deviation in degrees; 0 when it was read.
    pub(super) doubt: f64,
    /// How little is known of it: 0 where it was read or a heater keeps it, the more the further off the nearest reading is, 1
    /// with none within a fortnight.
    pub(super) unread: f64,
    /// Whether it stood in the cold on purpose.
    pub(super) chilled: bool,
}

impl Warmth {
    /// The same day so many times its doubt cooler.
    pub(super) fn cooler(self, times: f64) -> Day {
        let less = times * self.doubt;
        Day::between(self.day.min() - less, self.day.max() - less)
    }
}

/// The compost of every place over a span of days.
pub(super) struct Climate {
    first: Date,
    places: BTreeMap<PlaceId, Vec<Warmth>>,
    /// For plants whose place is not known: an ordinary room.
    elsewhere: Vec<Warmth>,
}

impl Climate {
    /// The days from `first` to `last`, both in it.
    pub(super) fn of(state: &State, trade: &Trade, first: Date, last: Date) -> Self {
        let mut readings: BTreeMap<PlaceId, Vec<&Reading>> = BTreeMap::new();
        for reading in &state.readings {
            readings.entry(reading.place).or_default().push(reading);
        }
        let span = Span { state, first, days: days_between(first, last) + 1 };
        let none = Vec::new();
        let places = state.places.iter().map(|(id, place)| {
            let usual = Usual::of(place.kind, place.heated_to, trade);
            (*id, span.place(usual, readings.get(id).unwrap_or(&none)))
        });
        Self { first, places: places.collect(), elsewhere: span.place(Usual::of(PlaceKind::Room, None, trade), &none) }
    }

    /// The compost of a container day by day from one day to before another, wherever it stood and for no more than
    /// [`LONGEST`] days; where it stands last it is taken to stay.
    pub(super) fn of_container(&self, state: &State, id: ContainerId, from: Date, to: Date) -> Vec<Warmth> {
        let stays = stays(state, id);
        let mut at = 0;
        let day = |offset| {
            let on = after(from, offset);
            while stays.get(at + 1).is_some_and(|next: &Stayed| next.from <= on) {
                at += 1;
            }
            self.at(stays.get(at).and_then(|stay| stay.place), on)
        };
        (0..days_between(from, to).min(LONGEST)).map(day).collect()
    }

    /// The compost of a place on a day; outside the span that of its nearer end.
    pub(super) fn at(&self, place: Option<PlaceId>, on: Date) -> Warmth {
        let days = place.and_then(|place| self.places.get(&place)).unwrap_or(&self.elsewhere);
        let day = (days_between(self.first, on) as usize).min(days.len().saturating_sub(1));
        days.get(day).copied().unwrap_or_else(|| {
            let day = Day::steady(ROOM);
            Warmth { day, known: Known::Assumed, doubt: INDOORS_DOUBT, unread: 1.0, chilled: false }
        })
    }
}

struct Span<'a> {
    state: &'a State,
    first: Date,
    days: u32,
}

/// What was read on one day, in the air and in the compost.
#[derive(Clone, Copy, Default)]
struct Noted {
    low: Option<f64>,
    high: Option<f64>,
    now: Option<f64>,
    compost: Option<(f64, f64)>,
}

impl Span<'_> {
    fn place(&self, usual: Usual<'_>, readings: &[&Reading]) -> Vec<Warmth> {
        let mut noted: BTreeMap<u32, Noted> = BTreeMap::new();
        for reading in readings.iter().filter(|reading| reading.on >= self.first) {
            let day = days_between(self.first, reading.on);
            if day < self.days {
                noted.entry(day).or_default().add(reading);
            }
        }
        let expected: Vec<((f64, f64), Known)> = (0..self.days)
            .map(|day| {
                let on = after(self.first, day);
                let forecast = self.state.forecasts.get(&on).filter(|_| usual.follows_weather());
                let air = usual.air(on, forecast.map(|it| (it.low.0, it.high.0)));
                (usual.compost(air), if forecast.is_some() { Known::Forecast } else { Known::Assumed })
            })
            .collect();
        let read: Vec<(u32, (f64, f64))> = noted
            .iter()
            .filter_map(|(day, noted)| Some((*day, noted.compost_range(usual, after(self.first, *day))?)))
            .collect();
        let moved = self.moved_toward(&read, &expected);
        let mut days: Vec<Warmth> = expected
            .iter()
            .zip(moved)
            .map(|(((low, high), known), (lower, higher, left))| Warmth {
                day: Day::between(low + lower, high + higher),
                known: *known,
                doubt: left * usual.doubt(*known),
                unread: if usual.is_kept() { 0.0 } else { left },
                chilled: usual.chills(),
            })
            .collect();
        for (day, (low, high)) in read {
            if let Some(warmth) = days.get_mut(day as usize) {
                *warmth =
                    Warmth { day: Day::between(low, high), known: Known::Read, doubt: 0.0, unread: 0.0, ..*warmth };
            }
        }
        days
    }

    /// How far each day is moved from what is usual, by the readings of the days around it, and the share of its doubt that
    /// the nearest leaves.
    fn moved_toward(&self, read: &[(u32, (f64, f64))], expected: &[((f64, f64), Known)]) -> Vec<(f64, f64, f64)> {
        let off: Vec<(u32, f64, f64)> = read
            .iter()
            .filter_map(|(day, (low, high))| {
                let ((usual_low, usual_high), _) = expected.get(*day as usize)?;
                Some((*day, low - usual_low, high - usual_high))
            })
            .collect();
        (0..self.days)
            .map(|day| {
                let start = off.partition_point(|(other, ..)| other + NEAR_DAYS < day);
                let near = off[start..].iter().take_while(|(other, ..)| *other <= day + NEAR_DAYS);
                let (count, low, high) =
                    near.fold((0.0, 0.0, 0.0), |(count, low, high), (_, a, b)| (count + 1.0, low + a, high + b));
                // Beside a reading what is usual hardly speaks; a fortnight off it has its whole weight.
                let gap = |other: u32| f64::from(other.abs_diff(day)) / f64::from(NEAR_DAYS);
                let nearest = off[start..].iter().map(|(other, ..)| gap(*other)).fold(1.0, f64::min);
                let weight = (count + USUAL_WEIGHS * nearest).max(1.0);
                (low / weight, high / weight, nearest)
            })
            .collect()
    }
}

impl Usual<'_> {
    /// How far the compost may be from what is usual.
    fn doubt(self, known: Known) -> f64 {
        match known {
            Known::Read => 0.0,
            _ if self.is_kept() => HEATED_DOUBT,
            Known::Forecast => FORETOLD_DOUBT,
            Known::Assumed if self.follows_weather() => WEATHER_DOUBT,
            Known::Assumed => INDOORS_DOUBT,
        }
    }
}

impl Noted {
    fn add(&mut self, reading: &Reading) {
        let possible = |Celsius(degrees): Celsius| POSSIBLE.contains(&degrees).then_some(degrees);
        let lower = |old: Option<f64>, new: f64| Some(old.map_or(new, |old| old.min(new)));
        let higher = |old: Option<f64>, new: f64| Some(old.map_or(new, |old| old.max(new)));
        let moment = reading.moment();
        match reading.measured {
            Measured::Minimum(it) => self.low = possible(it).map_or(self.low, |it| lower(self.low, it)),
            Measured::Maximum(it) => self.high = possible(it).map_or(self.high, |it| higher(self.high, it)),
            // By night it is near the low, in the middle of the day near the high; else nobody knows where between.
            Measured::Now(it) if moment.is_night() => {
                self.low = possible(it).map_or(self.low, |it| lower(self.low, it))
            }
            Measured::Now(it) if moment.is_past_noon() && !moment.is_past_heat() => {
                self.high = possible(it).map_or(self.high, |it| higher(self.high, it));
            }
            Measured::Now(it) => self.now = possible(it).or(self.now),
            Measured::Compost(it) => {
                if let Some(it) = possible(it) {
                    let (low, high) = self.compost.unwrap_or((it, it));
                    self.compost = Some((low.min(it), high.max(it)));
                }
            }
            // The ground is not the compost of a tray.
            Measured::Soil(_) => {}
        }
    }

    /// The day in the compost: its own readings, else what the air's make of it. One reading stands in the middle of
    /// the swing that is usual there.
    fn compost_range(self, usual: Usual<'_>, on: Date) -> Option<(f64, f64)> {
        let air = usual.air(on, None);
        if let Some((low, high)) = self.compost {
            let (usual_low, usual_high) = usual.compost(air);
            let swing = if high > low { 0.0 } else { (usual_high - usual_low) / 2.0 };
            return Some((low - swing, high + swing));
        }
        let swing = air.1 - air.0;
        let air = match (self.low, self.high, self.now) {
            (Some(low), Some(high), _) => (low, high),
            // Where the sun comes in a bright noon says nothing of the night; under the sky nor a cold night of the noon.
            (Some(low), None, _) if usual.follows_weather() => (low, air.1.max(low)),
            (None, Some(high), _) if usual.has_sun() => (air.0.min(high), high),
            (Some(low), None, _) => (low, low + swing),
            (None, Some(high), _) => (high - swing, high),
            (None, None, Some(now)) => (now - swing / 2.0, now + swing / 2.0),
            (None, None, None) => return None,
        };
        Some(usual.compost(air))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What one reading makes of the air of a day on a windowsill, usually at 14 to 20 C, by its mean and its highest in the
    /// compost. Common practice, no source.
    #[test]
    fn a_sunny_noon_on_a_sill_is_no_night() {
        let trade = Trade::built_in().unwrap();
        let usual = Usual::of(PlaceKind::Windowsill, None, &trade);
        let on: Date = "2026-04-10".parse().unwrap();
        let range = |noted: Noted| noted.compost_range(usual, on).unwrap();
        let noon = range(Noted { high: Some(29.0), ..Noted::default() });
        let morning = range(Noted { low: Some(10.0), ..Noted::default() });
        let plain = usual.compost(usual.air(on, None));
        let middle = |(low, high): (f64, f64)| f64::midpoint(low, high);
        assert!(noon.0 < plain.0 + 3.0 && noon.1 > plain.1 + 3.0, "{noon:?} {plain:?}");
        assert!(middle(morning) < middle(plain) - 3.0, "{morning:?} {plain:?}");
    }
}
