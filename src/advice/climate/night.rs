//! A night to come: what the air and the leaves of a place, or of the open, are likely to fall to.

use super::{Climates, Cover};
use crate::advice::part::{after, days_between};
use crate::journal::PlaceKind;
use crate::quantity::{Celsius, Date, PlaceId};
use crate::science::cold_risk::{Shelter, Work, leaf_off};
use crate::science::place_climate::{Heat, PlaceLow, usual_forecast_error};
use crate::science::spread::Spread;

/// Days that a reading of last night's low may stand in for a missing forecast. Common practice, no source.
const LAST_READING_DAYS: u32 = 2;
/// How far tonight may be off last night's low, or one read in the evening, as a standard deviation, when nothing was forecast.
/// Common practice, no source.
const LAST_NIGHT_SD: f64 = 3.5;
const EVENING_SD: f64 = 2.0;
/// By how much the air under the open sky or glass still falls from an evening to dawn, at least. Common practice, no source.
const FALLS: f64 = 1.0;
/// The swing of a spring day that nobody forecast, and its standard deviation in degrees (March to May in the NOAA
/// series of `tests/data`).
const ANY_SWING: (f64, f64) = (8.7, 3.3);

/// What a night's low is worked out from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Basis {
    /// A forecast of the low outside.
    Forecast {
        /// The low forecast.
        low: Celsius,
        /// The day it was noted.
        noted: Date,
    },
    /// No forecast: the last low read outside, or what was read there this evening.
    LastNight {
        /// What was read.
        low: Celsius,
        /// The day it was read.
        read: Date,
    },
    /// The air of a house, which hardly follows the weather.
    House,
}

/// One night to come in one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Night {
    /// The air's low.
    pub low: PlaceLow,
    /// What it is worked out from.
    pub basis: Basis,
    /// What was read this evening, there or in the open, where that took it down.
    pub evening: Option<Celsius>,
    /// The leaves' low.
    pub leaf: PlaceLow,
    /// Degrees by which leaves are likely to fall below that air.
    pub leaf_below: f64,
    /// What acting against it is there.
    pub work: Work,
}

impl Night {
    /// The same where what was read this evening makes its low likely no warmer than that, less what it still falls by.
    fn after_evening(self, read: Celsius, falls: f64) -> Self {
        let down = self.low.down_to(Celsius(read.0 - falls));
        let evening = if down == (0.0, 0.0) { self.evening } else { Some(read) };
        Self { low: self.low.lowered(down), leaf: self.leaf.lowered(down), evening, ..self }
    }
}

/// The low of a night outside.
struct Outside {
    basis: Basis,
    low: Celsius,
    error: Spread,
    evening: Option<Celsius>,
}

impl Climates {
    /// The night before the day `morning` in the open, as the forecast has it; `None` when nothing is known of it.
    #[must_use]
    pub fn night_in_the_open(&self, morning: Date) -> Option<Night> {
        let outside = self.low_outside(morning)?;
        Some(self.under_the_sky(morning, &outside, &Spread::normal(0.0, 0.0), Heat::Unheated, Shelter::Open))
    }

    /// The night before the day `morning` in a place, covered or not; `None` when nothing is known of the weather.
    #[must_use]
    pub fn night(&self, place: PlaceId, morning: Date, cover: Cover) -> Option<Night> {
        let night = self.expected(place, morning, cover)?;
        let Some(read) = self.evening_before(place, morning) else { return Some(night) };
        let climate = self.places.get(&place)?;
        // What is kept warm holds what it had, and a mat some of it.
        let is_kept = climate.house.is_some() || matches!(climate.heat, Heat::Held(_));
        let kept = if cover == Cover::On { climate.night.effect().mean } else { 0.0 };
        Some(night.after_evening(read, if is_kept { 0.0 } else { (FALLS - kept).max(0.0) }))
    }

    /// The coldest that was read in a place in the evening before a night that is to come.
    fn evening_before(&self, place: PlaceId, morning: Date) -> Option<Celsius> {
        self.read(place, morning).coldest.filter(|_| morning > self.on)
    }

    /// A night as it would be by the weather outside and the place's own climate.
    fn expected(&self, place: PlaceId, morning: Date, cover: Cover) -> Option<Night> {
        let climate = self.places.get(&place)?;
        let share = if cover == Cover::On { 1.0 } else { 0.0 };
        let lift = climate.night.predict(share).ok()?;
        if let Some(usual) = climate.house {
            let low = PlaceLow::new(usual, &Spread::normal(0.0, 0.0), &lift, climate.heat);
            let (leaf, basis, work) = (low.clone(), Basis::House, Work::Carry);
            return Some(Night { leaf, low, basis, evening: None, leaf_below: 0.0, work });
        }
        let lift = if climate.is_outside && cover == Cover::Off { Spread::normal(0.0, 0.0) } else { lift };
        let outside = self.low_outside(morning)?;
        let open = climate.is_open();
        // A mat over glass hides the sky from the leaves; fleece over open ground is shelter such as glass is.
        let shelter = match (open, cover) {
            (true, Cover::Off) => Shelter::Open,
            (true, Cover::On) | (false, Cover::Off) => Shelter::Covered,
            (false, Cover::On) => {
                let low = PlaceLow::new(outside.low, &outside.error, &lift, climate.heat);
                let Outside { basis, evening, .. } = outside;
                return Some(Night { leaf: low.clone(), low, basis, evening, leaf_below: 0.0, work: Work::Carry });
            }
        };
        let night = self.under_the_sky(morning, &outside, &lift, climate.heat, shelter);
        Some(Night { work: if open { Work::Fleece } else { Work::Carry }, ..night })
    }

    /// A night's air and leaves, by what is known outside, the place's lift and what stands between leaf and sky.
    fn under_the_sky(&self, morning: Date, outside: &Outside, lift: &Spread, heat: Heat, shelter: Shelter) -> Night {
        let Outside { basis, low, error, evening } = outside;
        let (swing, swing_sd) = self.forecasts.get(&morning).map_or(ANY_SWING, |forecast| {
            let off = usual_forecast_error(days_between(forecast.noted, morning).saturating_sub(1)).sd();
            // The low is off as much as the high.
            (forecast.high.0 - forecast.low.0, off.hypot(off))
        });
        let off = leaf_off(error, swing, swing_sd, shelter);
        let leaf_below = error.mean() - off.mean();
        let at_leaves = match heat {
            Heat::Held(at) => Heat::Held(Celsius(at.0 - leaf_below)),
            Heat::Unheated => Heat::Unheated,
        };
        let (basis, evening) = (*basis, *evening);
        let leaf = PlaceLow::new(*low, &off, lift, at_leaves);
        Night { leaf, low: PlaceLow::new(*low, error, lift, heat), basis, evening, leaf_below, work: Work::Fleece }
    }

    /// The low outside by the forecast, else by the last night read; and an evening colder than that, read anywhere in the open,
    /// takes it down everywhere.
    fn low_outside(&self, morning: Date) -> Option<Outside> {
        let open = self.places.iter().filter(|(_, climate)| climate.is_open()).map(|(id, _)| *id);
        let evening = open.filter_map(|place| self.evening_before(place, morning)).min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((basis, low, error)) = self.foretold(morning) else {
            let read = evening?;
            let (basis, low) = (Basis::LastNight { low: read, read: self.on }, Celsius(read.0 - FALLS));
            return Some(Outside { basis, low, error: Spread::normal(0.0, EVENING_SD), evening });
        };
        let lowered = evening.map(|read| read.0 - FALLS).filter(|most| *most < low.0 + error.quantile(0.5));
        match lowered {
            Some(most) => Some(Outside { basis, low: Celsius(most - error.quantile(0.5)), error, evening }),
            None => Some(Outside { basis, low, error, evening: None }),
        }
    }

    /// The low outside by the forecast, else for tonight by the last night read.
    fn foretold(&self, morning: Date) -> Option<(Basis, Celsius, Spread)> {
        if let Some(forecast) = self.forecasts.get(&morning) {
            let ahead = days_between(forecast.noted, morning).saturating_sub(1);
            let basis = Basis::Forecast { low: forecast.low, noted: forecast.noted };
            return Some((basis, forecast.low, self.error(ahead)));
        }
        if morning != after(self.on, 1) {
            return None;
        }
        let place = self.outside?;
        let days = (0..LAST_READING_DAYS).filter_map(|back| self.on.checked_sub_days(chrono::Days::new(back.into())));
        let (read, low) = days.filter_map(|day| Some((day, self.read(place, day).low?))).next()?;
        Some((Basis::LastNight { low, read }, low, Spread::normal(0.0, LAST_NIGHT_SD)))
    }

    /// The error of a forecast noted so many days before its evening.
    fn error(&self, ahead: u32) -> Spread {
        let (tonight, then) = (usual_forecast_error(0).sd(), usual_forecast_error(ahead).sd());
        let later = (then * then - tonight * tonight).max(0.0).sqrt();
        match self.forecast_error.as_ref().and_then(|error| error.predict(0.0).ok()) {
            Some(learnt) => learnt.plus(&Spread::normal(0.0, later)),
            // Lifts were learnt against forecasts, so their scatter holds tonight's error.
            None if self.outside.is_none() => Spread::normal(0.0, later),
            None => usual_forecast_error(ahead),
        }
    }
}

impl super::Climate {
    /// True in the open.
    const fn is_open(&self) -> bool {
        matches!(self.kind, PlaceKind::StandingGround | PlaceKind::Plot)
    }
}
