//! What is believed of a place's climate before any reading: by its kind, from the tables of the trade.

use crate::journal::PlaceKind;
use crate::quantity::Celsius;
use crate::science::heat::Limits;
use crate::science::lift::{Belief, Lift};
use crate::trade::{Microclimate, Setting, Source, Structure, Trade};

/// How far the air of a house rises by day above the night's low. Common practice, no source.
pub(super) const HOUSE_SWING: f64 = 6.0;
/// The same of a fridge, and of an airing cupboard. Common practice, no source.
const FRIDGE_SWING: f64 = 2.0;
const CUPBOARD_SWING: f64 = 5.0;
/// Night-to-night scatter about a lift, in degrees, and day-to-day scatter in a shut place. Common practice, no source.
const NIGHT_SCATTER: f64 = 1.0;
const DAY_SCATTER: f64 = 3.0;
/// The least doubt about a usual lift: published figures for one kind of place differ by this much.
const LEAST_DOUBT: f64 = 1.0;

/// What is usual for a kind of place.
pub(super) struct Usual {
    pub(super) night: Lift,
    pub(super) day: Option<Lift>,
    pub(super) house: Option<Celsius>,
    pub(super) air: Limits,
    pub(super) air_sources: Vec<Source>,
    pub(super) sources: Vec<Source>,
}

/// How far the air of a kind of place in the house rises by day.
pub(super) const fn house_swing(kind: PlaceKind) -> f64 {
    match kind {
        PlaceKind::Fridge => FRIDGE_SWING,
        PlaceKind::AiringCupboard => CUPBOARD_SWING,
        _ => HOUSE_SWING,
    }
}

/// What is usual for a kind; `None` only if a table of the grower's own is absurd.
pub(super) fn of(trade: &Trade, kind: PlaceKind) -> Option<Usual> {
    let structure = match kind {
        PlaceKind::Greenhouse => Structure::Greenhouse,
        PlaceKind::Tunnel => Structure::Tunnel,
        PlaceKind::ColdFrame => Structure::ColdFrame,
        PlaceKind::Cloche => Structure::Cloche,
        PlaceKind::StandingGround | PlaceKind::Plot => return open(trade),
        _ => return house(kind),
    };
    let first = |setting| trade.microclimate(structure, setting).next();
    let night = first(Setting::Night);
    let base = night.map_or(Belief { mean: 2.0, sd: 2.0 }, belief);
    let mut sources: Vec<Source> = night.map(|row| row.figure.source.clone()).into_iter().collect();
    let cover = match first(Setting::CoveredNight) {
        Some(row) => {
            sources.push(row.figure.source.clone());
            Belief { mean: belief(row).mean - base.mean, sd: 1.2 }
        }
        None => fleece(trade, &mut sources),
    };
    let dull = first(Setting::DullDay).map_or(Belief { mean: 1.5, sd: 1.0 }, belief);
    let sunny = first(Setting::SunnyDay).map_or(Belief { mean: 12.0, sd: 5.0 }, belief);
    let sun = Belief { mean: sunny.mean - dull.mean, sd: 5.0 };
    let day = Lift::new(dull, sun, DAY_SCATTER).ok();
    let limit = |setting, usual: Celsius| first(setting).map_or(usual, |row| row.figure.low);
    let air = Limits {
        prop_from: limit(Setting::VentilateAt, Limits::FRAME.prop_from),
        never_above: limit(Setting::NeverAbove, Limits::FRAME.never_above),
    };
    let limits = [Setting::VentilateAt, Setting::NeverAbove].into_iter().filter_map(first);
    let air_sources = limits.map(|row| row.figure.source.clone()).collect();
    Some(Usual { night: Lift::new(base, cover, NIGHT_SCATTER).ok()?, day, house: None, air, air_sources, sources })
}

/// Open ground: the weather outside, give or take its own hollow or wall.
fn open(trade: &Trade) -> Option<Usual> {
    let mut sources = Vec::new();
    let cover = fleece(trade, &mut sources);
    let night = Lift::new(Belief { mean: 0.0, sd: LEAST_DOUBT }, cover, NIGHT_SCATTER).ok()?;
    Some(Usual { night, day: None, house: None, air: Limits::FRAME, air_sources: Vec::new(), sources })
}

/// What fleece adds: a little in the mean, and less than nothing on some clear nights.
fn fleece(trade: &Trade, sources: &mut Vec<Source>) -> Belief {
    let row = trade.microclimate(Structure::Fleece, Setting::Night).next();
    sources.extend(row.map(|row| row.figure.source.clone()));
    Belief { mean: row.map_or(1.0, |row| belief(row).mean), sd: 1.2 }
}

/// The usual low in the air of a house: common practice, no source. A fridge for chilling is kept at 4 C.
fn house(kind: PlaceKind) -> Option<Usual> {
    let low = match kind {
        PlaceKind::AiringCupboard => 20.0,
        PlaceKind::Fridge => 4.0,
        PlaceKind::Windowsill => 13.0,
        PlaceKind::LitShelf => 16.0,
        _ => 15.0,
    };
    let night = Lift::new(Belief { mean: 0.0, sd: LEAST_DOUBT }, Belief { mean: 0.0, sd: 0.5 }, NIGHT_SCATTER).ok()?;
    Some(Usual {
        night,
        day: None,
        house: Some(Celsius(low)),
        air: Limits::FRAME,
        air_sources: Vec::new(),
        sources: Vec::new(),
    })
}

fn belief(row: &Microclimate) -> Belief {
    let (low, high) = (row.figure.low.0, row.figure.high.0);
    Belief { mean: f64::midpoint(low, high), sd: ((high - low) / 2.0).max(LEAST_DOUBT) }
}
