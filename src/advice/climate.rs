//! Each place's climate: how its nights and days stand to the weather outside, learnt from the readings noted, and what
//! tonight and the nights ahead will be there.
//!
//! A forecast is for a weather screen outside; so are readings of standing ground and plot. The night that a day's
//! low belongs to is the one before it: tonight is the low of tomorrow.

mod night;
mod readings;

use std::collections::BTreeMap;

use crate::journal::{Forecast, PlaceKind, State};
use crate::quantity::{Celsius, Date, Name, PlaceId};
use crate::science::cold_risk::DULL;
use crate::science::day_range::DayRange;
use crate::science::heat::{Limits, ShutDay, shut_day, sun_from_swing};
use crate::science::lift::{Belief, Lift};
use crate::science::place_climate::{Heat, usual_forecast_error};
use crate::trade::{Source, Trade};

use super::part::{after, days_between};
use super::usual_climate::{self, Usual};
pub use night::{Basis, Night};
pub use readings::Extremes;
use readings::{Readings, readings};

/// A heater is believed unless the last low, or evening, read lies this far under what it is set to. Common practice, no source.
const HEATER_SLACK: f64 = 2.0;

/// Whether a place is covered for the night.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cover {
    /// Nothing extra over it.
    Off,
    /// A mat, fleece or blanket over it.
    On,
}

/// One place's climate as known on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Climate {
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// True for the open place whose readings stand for the weather outside.
    pub is_outside: bool,
    /// Covered now.
    pub cover: Cover,
    /// Its heater, as far as it is believed now.
    pub heat: Heat,
    /// What its heater is set to keep the air at.
    set: Option<Celsius>,
    /// What its air is kept under by day, where it can be shut.
    pub air: Limits,
    /// Who says so.
    pub air_sources: Vec<Source>,
    /// Who says what was believed before any reading; empty for open ground and the house.
    pub sources: Vec<Source>,
    night: Lift,
    day: Option<Lift>,
    /// Usual low in the air of a house; `None` where the weather outside rules.
    house: Option<Celsius>,
    /// The means of the learnt lifts, which past days are worked out with.
    means: Means,
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Means {
    night: f64,
    cover: f64,
    dull_day: f64,
    sun: f64,
}

impl Climate {
    /// How far its nights stand above the weather outside; for the air of a house, above what is usual for its kind.
    #[must_use]
    pub fn night_lift(&self) -> Belief {
        self.night.base()
    }

    /// Nights of readings that it was learnt from.
    #[must_use]
    pub fn nights_learnt(&self) -> u32 {
        self.night.readings()
    }

    /// What is believed of its nights: base and what a cover adds.
    #[must_use]
    pub fn nights(&self) -> Learnt {
        Learnt::of(&self.night)
    }

    /// What is believed of its days left shut, under glass or film: dull ones, and what sun adds.
    #[must_use]
    pub fn days(&self) -> Option<Learnt> {
        self.day.as_ref().map(Learnt::of)
    }

    /// True where covers can be laid: everywhere but in a house.
    #[must_use]
    pub const fn can_be_covered(&self) -> bool {
        !self.kind.is_indoors()
    }
}

/// A pair of lifts, base and effect, by the book and as they were learnt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learnt {
    /// Before any reading.
    pub book: (Belief, Belief),
    /// Now.
    pub now: (Belief, Belief),
    /// Readings that tell of each.
    pub readings: (u32, u32),
    /// The share of each that is still the book's, 0 to 1.
    pub from_book: (f64, f64),
}

impl Learnt {
    fn of(lift: &Lift) -> Self {
        let with_effect = lift.shares().round().clamp(0.0, f64::from(u32::MAX)) as u32;
        let (now, from_book) = ((lift.base(), lift.effect()), lift.from_book());
        Self { book: lift.before(), now, readings: (lift.readings(), with_effect), from_book }
    }
}

/// The climates of all places as known on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Climates {
    on: Date,
    places: BTreeMap<PlaceId, Climate>,
    read: BTreeMap<(PlaceId, Date), Extremes>,
    /// For each day between two readings: what it was no colder, and no warmer, than.
    bounds: BTreeMap<(PlaceId, Date), Extremes>,
    forecasts: BTreeMap<Date, Forecast>,
    outside: Option<PlaceId>,
    forecast_error: Option<Lift>,
}

impl Climates {
    /// Learns the climate of every place from what was noted by the day `on`.
    #[must_use]
    pub fn learn(state: &State, trade: &Trade, on: Date) -> Self {
        let Readings { read, bounds } = readings(state, on);
        let outside = outside(state, &read);
        let forecasts = state.forecasts.clone();
        let mut climates = Self { on, places: BTreeMap::new(), read, bounds, forecasts, outside, forecast_error: None };
        climates.forecast_error = climates.learn_forecast_error();
        for (id, place) in &state.places {
            let Some(usual) = usual_climate::of(trade, place.kind) else { continue };
            let Usual { night, day, house, air, air_sources, sources } = usual;
            // A propagator warms the compost; its lid keeps the air near it, until readings say otherwise.
            let warmed = place.heated_to.filter(|_| place.kind == PlaceKind::Propagator);
            let house = warmed.or(house);
            // A propagator warms the compost, not the air.
            let set = place.heated_to.filter(|_| place.kind != PlaceKind::Propagator);
            let heat = climates.heat(*id, set, after(on, 1));
            let cover = if covered(state, *id, on) { Cover::On } else { Cover::Off };
            let is_outside = outside == Some(*id);
            let (name, kind) = (place.name.clone(), place.kind);
            let means = Means::default();
            let mut climate = Climate {
                name,
                kind,
                is_outside,
                cover,
                heat,
                set,
                air,
                air_sources,
                sources,
                night,
                day,
                house,
                means,
            };
            if !is_outside {
                climates.learn_place(state, *id, &mut climate);
            }
            climate.means = Means {
                night: if is_outside { 0.0 } else { climate.night.base().mean },
                cover: climate.night.effect().mean,
                dull_day: climate.day.as_ref().map_or(0.0, |lift| lift.base().mean),
                sun: climate.day.as_ref().map_or(0.0, |lift| lift.effect().mean),
            };
            climates.places.insert(*id, climate);
        }
        climates
    }

    /// The climates by place.
    #[must_use]
    pub const fn places(&self) -> &BTreeMap<PlaceId, Climate> {
        &self.places
    }

    /// The day they are known on.
    #[must_use]
    pub const fn on(&self) -> Date {
        self.on
    }

    /// The forecast for a day, if one was noted.
    #[must_use]
    pub fn forecast(&self, day: Date) -> Option<&Forecast> {
        self.forecasts.get(&day)
    }

    /// The same with covers laid or taken off tonight.
    pub(super) fn with_covers(&self, covers: &[(PlaceId, Cover)]) -> Self {
        let mut then = self.clone();
        for (place, cover) in covers {
            if let Some(climate) = then.places.get_mut(place) {
                climate.cover = *cover;
            }
        }
        then
    }

    /// What was read in a place on a day.
    #[must_use]
    pub fn read(&self, place: PlaceId, day: Date) -> Extremes {
        self.read.get(&(place, day)).copied().unwrap_or_default()
    }

    /// A day to come in a place under glass or film left shut, against the heat that what stands there may have; `None`
    /// elsewhere, or without a forecast for it.
    #[must_use]
    pub fn shut_day(&self, place: PlaceId, day: Date, limits: Limits) -> Option<ShutDay> {
        let lift = self.places.get(&place)?.day.as_ref()?;
        let forecast = self.forecasts.get(&day)?;
        let sun = sun_from_swing(forecast.high.0 - forecast.low.0);
        shut_day(forecast.high, &usual_forecast_error(days_between(forecast.noted, day)), lift, sun, limits).ok()
    }

    /// The range of a past day in a place, read or worked out; `None` when nothing is known of it.
    #[must_use]
    pub fn past_day(&self, place: PlaceId, day: Date, cover: Cover) -> Option<DayRange> {
        let climate = self.places.get(&place)?;
        let read = self.read(place, day);
        if let (Some(low), Some(high)) = (read.low, read.high) {
            return Some(DayRange::between(low.0, high.0));
        }
        let means = climate.means;
        let lift = means.night + if cover == Cover::On { means.cover } else { 0.0 };
        let outside = self.outside_day(day);
        let heat = self.heat(place, climate.set, day);
        let held = |low: f64| if let Heat::Held(at) = heat { low.max(at.0) } else { low };
        let low = match (read.low, climate.house) {
            (Some(low), _) => Some(low.0),
            (None, Some(usual)) => Some(held(usual.0 + lift)),
            (None, None) => outside.map(|outside| held(outside.low().0 + lift)),
        };
        let high = match (read.high, &climate.day, climate.house) {
            (Some(high), ..) => Some(high.0),
            (None, None, Some(_)) => low.map(|low| low + usual_climate::house_swing(climate.kind)),
            (None, None, None) => outside.map(|outside| outside.high().0),
            (None, Some(_), _) => outside.map(|outside| propped(outside, means)),
        };
        // It was no cooler, and its night no warmer, than it was seen to be.
        let low = low.map(|low| read.coldest.map_or(low, |seen| low.min(seen.0)));
        let high = high.map(|high| read.hottest.map_or(high, |seen| high.max(seen.0)));
        self.within_bounds(place, day, low, high)
    }

    /// The weather outside on a day: what was read, else what was forecast.
    #[must_use]
    pub fn outside_day(&self, day: Date) -> Option<DayRange> {
        let read = self.outside.map(|place| self.read(place, day)).unwrap_or_default();
        let forecast = self.forecasts.get(&day);
        let low = read.low.or(forecast.map(|forecast| forecast.low)).map(|low| low.0);
        let high = read.high.or(forecast.map(|forecast| forecast.high)).map(|high| high.0);
        match self.outside {
            Some(place) => self.within_bounds(place, day, low, high),
            None => Some(DayRange::between(low?, high?)),
        }
    }

    /// A day's range as worked out, no colder and no warmer than a thermometer that was read some days later says; that
    /// itself, where nothing can be worked out.
    fn within_bounds(&self, place: PlaceId, day: Date, low: Option<f64>, high: Option<f64>) -> Option<DayRange> {
        let bounds = self.bounds.get(&(place, day)).copied().unwrap_or_default();
        let (least, most) = (bounds.low.map(|low| low.0), bounds.high.map(|high| high.0));
        let held = |at: f64| at.min(most.unwrap_or(f64::INFINITY)).max(least.unwrap_or(f64::NEG_INFINITY));
        Some(DayRange::between(held(low.or(least)?), held(high.or(most)?)))
    }

    /// How far the forecasts have been off what was read outside.
    fn learn_forecast_error(&self) -> Option<Lift> {
        let place = self.outside?;
        let mut error =
            Lift::new(Belief { mean: 0.0, sd: 0.3 }, Belief { mean: 0.0, sd: 0.01 }, usual_forecast_error(0).sd())
                .ok()?;
        for (day, forecast) in self.forecasts.iter().filter(|(day, _)| **day <= self.on) {
            if let (Some(low), 0..=1) = (self.read(place, *day).low, days_between(forecast.noted, *day)) {
                // An unbelievable pair is not learnt.
                let _ = error.observe(low, forecast.low, 0.0);
            }
        }
        Some(error)
    }

    fn learn_place(&self, state: &State, place: PlaceId, climate: &mut Climate) {
        for ((_, day), read) in self.read.range((place, Date::MIN)..=(place, Date::MAX)) {
            let outside = match self.outside {
                Some(outside) => self.read(outside, *day),
                None => self.forecasts.get(day).map_or(Extremes::default(), |forecast| Extremes {
                    low: Some(forecast.low),
                    high: Some(forecast.high),
                    ..Extremes::default()
                }),
            };
            let night_before = day.pred_opt().unwrap_or(*day);
            let share = if covered(state, place, night_before) { 1.0 } else { 0.0 };
            // A night on the thermostat says nothing of the lift.
            let held = matches!(self.heat(place, climate.set, *day), Heat::Held(_));
            if let (Some(low), Some(below), false) = (read.low, climate.house.or(outside.low), held) {
                let _ = climate.night.observe(low, below, share);
            }
            if let (Some(lift), Some(high), Some(low_outside), Some(high_outside)) =
                (climate.day.as_mut(), read.high, outside.low, outside.high)
            {
                let sun = sun_from_swing(high_outside.0 - low_outside.0);
                // Lights are propped on bright days, and the reading then says nothing of a shut frame: learn from
                // dull days, and from those so hot that it was plainly shut. Common practice, no source.
                if sun <= DULL || high > climate.air.never_above {
                    let _ = lift.observe(high, high_outside, sun);
                }
            }
        }
    }

    /// A heater in the night to a morning, as far as it is believed: by the last low read till then. A moment's air speaks only
    /// against it: the sun warms glass too.
    fn heat(&self, place: PlaceId, set: Option<Celsius>, morning: Date) -> Heat {
        let Some(set) = set else { return Heat::Unheated };
        let off = set.0 - HEATER_SLACK;
        let mut till_then = self.read.range((place, Date::MIN)..=(place, morning)).rev();
        let last = till_then.find_map(|(_, read)| {
            let coldest = read.coldest.filter(|coldest| coldest.0 < off);
            read.low.into_iter().chain(coldest).map(|it| it.0).reduce(f64::min)
        });
        match last {
            Some(low) if low < off => Heat::Unheated,
            // A thermostat lets it go somewhat lower.
            Some(low) => Heat::Held(Celsius(low.min(set.0))),
            None => Heat::Held(set),
        }
    }

    /// True where a heater kept the night to a morning in a place, as far as it is believed.
    pub(super) fn was_heated(&self, place: PlaceId, morning: Date) -> bool {
        let set = self.places.get(&place).and_then(|climate| climate.set);
        matches!(self.heat(place, set, morning), Heat::Held(_))
    }
}

/// A day's high under glass that is propped so as not to pass 24 C where the weather allows. Common practice.
fn propped(outside: DayRange, means: Means) -> f64 {
    let shut = outside.high().0 + means.dull_day + means.sun * sun_from_swing(outside.spread());
    shut.min(outside.high().0.max(24.0))
}

/// The open place with the most lows read.
fn outside(state: &State, read: &BTreeMap<(PlaceId, Date), Extremes>) -> Option<PlaceId> {
    let open =
        state.places.iter().filter(|(_, place)| matches!(place.kind, PlaceKind::StandingGround | PlaceKind::Plot));
    let lows =
        |id: PlaceId| read.range((id, Date::MIN)..=(id, Date::MAX)).filter(|(_, read)| read.low.is_some()).count();
    let counted = open.map(|(id, _)| (lows(*id), std::cmp::Reverse(*id))).filter(|(lows, _)| *lows > 0);
    counted.max().map(|(_, id)| id.0)
}

/// True when a place was covered at the end of a day.
pub(super) fn covered(state: &State, place: PlaceId, on: Date) -> bool {
    let last = state.covers.iter().rev().find(|(day, covered, _)| *covered == place && *day <= on);
    last.is_some_and(|(.., covered)| *covered)
}
