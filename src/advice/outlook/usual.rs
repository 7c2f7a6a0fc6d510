//! What the air of a place usually is when no thermometer was read: one place for these figures, all common practice
//! without a source unless a table of the trade speaks.

use chrono::Datelike;

use crate::journal::PlaceKind;
use crate::quantity::{Celsius, Date};
use crate::science::compost::{BottomHeat, compost_range};
use crate::science::day_range::DayRange;
use crate::trade::{Setting, Structure, Trade};

/// Lowest and highest outdoors by month, January first, in a cool northern climate, degrees C. From memory, after the
/// usual course of lowland England.
const OUTDOORS: [(f64, f64); 12] = [
    (2.0, 7.0),
    (1.0, 8.0),
    (3.0, 11.0),
    (4.0, 14.0),
    (7.0, 17.0),
    (10.0, 20.0),
    (12.0, 22.0),
    (12.0, 22.0),
    (10.0, 19.0),
    (7.0, 15.0),
    (4.0, 10.0),
    (2.0, 8.0),
];
/// Indoors the season matters less, degrees C. Common practice, no source.
const ROOM: (f64, f64) = (16.0, 20.0);
const WINDOWSILL: (f64, f64) = (14.0, 20.0);
const LIT_SHELF: (f64, f64) = (17.0, 22.0);
const AIRING_CUPBOARD: (f64, f64) = (22.0, 27.0);
const FRIDGE: (f64, f64) = (3.0, 5.0);
/// What a propagator without a stated temperature keeps its compost at, degrees C. Common practice, no source.
const PROPAGATOR: f64 = 20.0;

/// The kinds of place as far as their warmth is concerned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Usual<'a> {
    kind: PlaceKind,
    heated_to: Option<Celsius>,
    trade: &'a Trade,
}

impl<'a> Usual<'a> {
    pub(super) fn of(kind: PlaceKind, heated_to: Option<Celsius>, trade: &'a Trade) -> Self {
        Self { kind, heated_to: heated_to.filter(|held| (-40.0..=60.0).contains(&held.0)), trade }
    }

    /// True where the weather outside decides.
    pub(super) fn follows_weather(self) -> bool {
        !self.kind.is_indoors()
    }

    /// True where the sun comes in.
    pub(super) fn has_sun(self) -> bool {
        self.follows_weather() || self.kind == PlaceKind::Windowsill
    }

    /// True where seed is put to be chilled.
    pub(super) fn chills(self) -> bool {
        self.kind == PlaceKind::Fridge
    }

    /// True where a heater, or a fridge, keeps the compost as it is.
    pub(super) fn is_kept(self) -> bool {
        self.heated_to.is_some() || matches!(self.kind, PlaceKind::Propagator | PlaceKind::Fridge)
    }

    /// The air on a day, under the weather of that day where the place follows it.
    pub(super) fn air(self, on: Date, weather: Option<(f64, f64)>) -> (f64, f64) {
        let (low, high) = match self.kind {
            PlaceKind::Propagator | PlaceKind::Room => ROOM,
            PlaceKind::Windowsill => WINDOWSILL,
            PlaceKind::LitShelf => LIT_SHELF,
            PlaceKind::AiringCupboard => AIRING_CUPBOARD,
            PlaceKind::Fridge => return self.heated_to.map_or(FRIDGE, |held| (held.0, held.0)),
            PlaceKind::StandingGround | PlaceKind::Plot => outdoors(on, weather),
            PlaceKind::Greenhouse => self.under(Structure::Greenhouse, outdoors(on, weather)),
            PlaceKind::Tunnel => self.under(Structure::Tunnel, outdoors(on, weather)),
            PlaceKind::ColdFrame => self.under(Structure::ColdFrame, outdoors(on, weather)),
            PlaceKind::Cloche => self.under(Structure::Cloche, outdoors(on, weather)),
        };
        match self.heated_to {
            Some(held) if self.kind != PlaceKind::Propagator => (low.max(held.0), high.max(held.0)),
            _ => (low, high),
        }
    }

    /// The compost in a tray under such air: a propagator warms it from below.
    pub(super) fn compost(self, (low, high): (f64, f64)) -> (f64, f64) {
        let heat = match self.kind {
            PlaceKind::Propagator => BottomHeat::Held(self.heated_to.unwrap_or(Celsius(PROPAGATOR))),
            _ => BottomHeat::Off,
        };
        let air = DayRange::new(Celsius(low.min(high)), Celsius(high.max(low)));
        air.map_or((low, high), |air| {
            let compost = compost_range(air, heat);
            (compost.low().0, compost.high().0)
        })
    }

    /// The night's lift from the table of covers; the day's halfway between dull and sunny, and no hotter than the lid
    /// is opened at.
    fn under(self, structure: Structure, (low, high): (f64, f64)) -> (f64, f64) {
        let middle = |setting| {
            let row = self.trade.microclimate(structure, setting).next();
            row.map(|row| (row.figure.low.0 + row.figure.high.0) / 2.0)
        };
        let night = middle(Setting::Night).unwrap_or(0.0);
        let dull = middle(Setting::DullDay).unwrap_or(0.0);
        let day = (dull + middle(Setting::SunnyDay).unwrap_or(dull)) / 2.0;
        let opened_at = middle(Setting::VentilateAt).unwrap_or(f64::INFINITY);
        (low + night, (high + day).min(opened_at.max(high)))
    }
}

fn outdoors(on: Date, weather: Option<(f64, f64)>) -> (f64, f64) {
    let month = on.month0() as usize;
    weather.unwrap_or_else(|| OUTDOORS.get(month).copied().unwrap_or(ROOM))
}
