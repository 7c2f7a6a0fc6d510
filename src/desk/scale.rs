//! Whether a temperature without its unit, typed or out of a file, is likely in degrees F: numbers that are a frost in one
//! scale are a warm night in the other. It is asked, not guessed: with a unit any number is taken.

use chrono::Datelike as _;
use thiserror::Error;

use crate::journal::{Measured, Place, PlaceKind};
use crate::quantity::{Celsius, Date, Moment};
use crate::trade::Trade;

use super::error::DeskError;

/// The warmest night and day out of doors, in degrees C, that is believed month by month, January first, in a temperate
/// climate north of the equator. Common practice, no source.
const WARMEST: [(f64, f64); 12] = [
    (18.0, 26.0),
    (18.0, 26.0),
    (18.0, 28.0),
    (18.0, 32.0),
    (24.0, 38.0),
    (30.0, 45.0),
    (30.0, 45.0),
    (30.0, 45.0),
    (26.0, 40.0),
    (22.0, 32.0),
    (18.0, 26.0),
    (18.0, 26.0),
];
/// From which hour to which the sun may be on glass, by a clock with summer time, from 35 to 60 degrees of latitude.
/// From memory, generously.
const SUN: [(u32, u32); 12] =
    [(7, 18), (7, 18), (6, 20), (5, 21), (4, 22), (3, 23), (3, 23), (4, 22), (5, 21), (6, 20), (6, 18), (7, 17)];
const NIGHT: &str = "a night out of doors is likely to be";
const DAY: &str = "a day out of doors is likely to be";

/// A temperature that is warm for its month.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("{} C is warmer than {what} in {}: {:.1} C if it is Fahrenheit", .celsius.0, day.format("%B"), (celsius.0 - 32.0) / 1.8)]
pub struct TooWarm {
    /// The number, taken to be in degrees C.
    pub celsius: Celsius,
    /// What it is warmer than.
    what: &'static str,
    /// The day it is of.
    pub day: Date,
}

/// Where temperatures came from that nobody typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// A file, by its path.
    File(String),
    /// The weather service.
    Service,
}

/// Temperatures of one source that are doubted together.
#[derive(Clone, Debug, PartialEq)]
pub struct ManyTooWarm {
    /// Where they are from.
    pub source: Source,
    /// The first that is doubted.
    first: TooWarm,
    /// How many are.
    doubted: usize,
    /// Of how many.
    of: usize,
}

impl std::fmt::Display for ManyTooWarm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.source {
            Source::File(path) => write!(f, "{path}: ")?,
            Source::Service => f.write_str("the weather service's answer: ")?,
        }
        let Self { first, doubted, of, .. } = self;
        write!(f, "{}: {first}, and it does not say which ({doubted} of its {of} temperatures are so warm)", first.day)
    }
}

impl ManyTooWarm {
    /// How to say which scale it is.
    pub(super) const fn hint(&self) -> &'static str {
        match self.source {
            Source::File(_) => FILE_HINT,
            Source::Service => SERVICE_HINT,
        }
    }
}

/// How to say of a file which scale it is in.
pub(super) const FILE_HINT: &str = "add --unit F if it is Fahrenheit, --sure if it is C";
/// How to say it of the weather service.
pub(super) const SERVICE_HINT: &str =
    "write forecast_unit = \"F\" or \"C\" in settings.toml; the forecast noted last stays";

/// What is likely in the months of the year where the grower is.
#[derive(Clone, Copy)]
pub(super) struct Year {
    /// The year is half a year off.
    south: bool,
}

impl Year {
    /// Without a latitude in the settings it is taken to be north of the equator.
    pub(super) fn of(trade: &Trade) -> Self {
        Self { south: trade.weather().latitude.is_some_and(|latitude| latitude < 0.0) }
    }

    /// What is warm for its month in a forecast: its low, and its high.
    pub(super) fn forecast(self, low: Celsius, high: Celsius, day: Date) -> [Option<TooWarm>; 2] {
        let (night, noon) = self.warmest(day);
        [over(low, night, NIGHT, day), over(high, noon, DAY, day)]
    }

    /// What is warm for its month, and hour, in a reading. A house and what is heated may be as warm as they like, and
    /// glass in the sun.
    pub(super) fn reading(self, place: &Place, measured: Measured, at: Moment) -> Option<TooWarm> {
        if place.kind.is_indoors() || place.heated_to.is_some() {
            return None;
        }
        let open = matches!(place.kind, PlaceKind::StandingGround | PlaceKind::Plot);
        let (night, noon) = self.warmest(at.on);
        let day = at.on;
        match measured {
            Measured::Minimum(low) => over(low, night, NIGHT, day),
            Measured::Soil(soil) => over(soil, night, "the ground is likely to be", day),
            Measured::Compost(compost) => over(compost, noon, "unheated compost is likely to be", day),
            Measured::Maximum(high) | Measured::Now(high) if open => over(high, noon, DAY, day),
            Measured::Now(now) if self.is_sunless(at) => over(now, noon, "a place without sun is likely to be", day),
            Measured::Maximum(_) | Measured::Now(_) => None,
        }
    }

    fn month(self, day: Date) -> usize {
        (day.month0() as usize + if self.south { 6 } else { 0 }) % 12
    }

    fn warmest(self, day: Date) -> (f64, f64) {
        WARMEST.get(self.month(day)).copied().unwrap_or((30.0, 45.0))
    }

    /// Whether no sun is on glass at an hour, where that is known.
    fn is_sunless(self, at: Moment) -> bool {
        let (up, down) = SUN.get(self.month(at.on)).copied().unwrap_or((0, 24));
        at.hour.is_some_and(|hour| !(up..down).contains(&hour))
    }
}

/// Asks after the first that is warm for its month.
pub(super) fn ask(doubts: impl IntoIterator<Item = Option<TooWarm>>) -> Result<(), DeskError> {
    doubts.into_iter().flatten().next().map_or(Ok(()), |first| Err(DeskError::Scale(first)))
}

/// Asks once after all of one source; with a unit nothing of it is doubted.
pub(super) fn ask_of(source: &Source, doubts: &[Option<TooWarm>]) -> Result<(), DeskError> {
    let Some(first) = doubts.iter().flatten().next().copied() else { return Ok(()) };
    let (doubted, of) = (doubts.iter().flatten().count(), doubts.len());
    Err(DeskError::Scales(ManyTooWarm { source: source.clone(), first, doubted, of }))
}

fn over(celsius: Celsius, warmest: f64, what: &'static str, day: Date) -> Option<TooWarm> {
    (celsius.0 > warmest).then_some(TooWarm { celsius, what, day })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Light;
    use crate::quantity::Name;

    fn place(kind: PlaceKind) -> Place {
        Place { name: Name::new("frame").unwrap(), kind, heated_to: None, light: Light::Full }
    }

    #[test]
    fn glass_is_warm_only_by_day() {
        let year = Year { south: false };
        let at = |month, hour| Moment { on: Date::from_ymd_opt(2026, month, 16).unwrap(), hour };
        let (frame, now) = (place(PlaceKind::ColdFrame), Measured::Now(Celsius(40.0)));
        let asked = |place: &Place, measured, at| year.reading(place, measured, at).is_some();
        assert!(asked(&frame, now, at(2, Some(18))), "dark in February");
        assert!(asked(&frame, now, at(2, Some(5))));
        for at in [at(2, Some(13)), at(2, None), at(5, Some(18)), at(3, Some(18))] {
            assert!(!asked(&frame, now, at), "{at:?}");
        }
        assert!(Year { south: true }.reading(&frame, now, at(2, Some(18))).is_none(), "summer in the south");
        let compost = Measured::Compost(Celsius(40.0));
        assert!(asked(&frame, compost, at(2, Some(13))));
        assert!(!asked(&frame, compost, at(7, Some(13))));
        for place in [place(PlaceKind::Propagator), Place { heated_to: Some(Celsius(20.0)), ..frame.clone() }] {
            assert!(!asked(&place, compost, at(2, Some(18))) && !asked(&place, now, at(2, Some(18))));
        }
    }

    /// Seattle and New York, 2012 to 2015, of the open series in `tests/data`: degrees C of an ordinary year are never
    /// asked about, and of the same in degrees F a night in a hundred at most passes for degrees C.
    #[test]
    fn ordinary_years_are_not_asked_about_and_degrees_f_are() {
        let year = Year { south: false };
        let series = include_str!("../../tests/data/noaa_daily_seattle_newyork_2012_2015.csv");
        let rows = series.lines().filter(|line| !line.starts_with('#')).skip(1);
        let (mut passed, mut all) = (0, 0);
        for row in rows {
            let cells: Vec<&str> = row.split(',').collect();
            let day: Date = cells[1].parse().unwrap();
            let [low, high] = [cells[2], cells[3]].map(|cell| cell.parse::<f64>().unwrap());
            assert_eq!(year.forecast(Celsius(low), Celsius(high), day), [None; 2], "{row}");
            let fahrenheit = |celsius: f64| Celsius(celsius * 1.8 + 32.0);
            all += 1;
            passed += u32::from(year.forecast(fahrenheit(low), fahrenheit(high), day) == [None; 2]);
        }
        assert!(all > 2900 && passed * 100 < all, "{passed} of {all}");
    }
}
