//! What a thermometer says by the hour at which it was read: a cold evening of the night after it, a noon of no night, and one
//! cold night of a heater of that night alone. Common practice, no source.

use chrono::Days;

use super::super::climate::{Climates, Cover};
use super::*;
use crate::journal::{Forecast, Light, Measured, Place, PlaceKind, Reading};
use crate::quantity::{ActId, Celsius, EntryId, Name, PlaceId};

const ON: &str = "2026-04-28";
const FRAME: PlaceId = PlaceId(EntryId(1));
const VEG: PlaceId = PlaceId(EntryId(2));
const SILL: PlaceId = PlaceId(EntryId(3));
const HEATED: PlaceId = PlaceId(EntryId(4));

fn places() -> State {
    let mut state = State::default();
    for (id, name, kind, heated_to) in [
        (FRAME, "frame", PlaceKind::ColdFrame, None),
        (VEG, "veg", PlaceKind::Plot, None),
        (SILL, "sill", PlaceKind::Windowsill, None),
        (HEATED, "glass", PlaceKind::Greenhouse, Some(Celsius(8.0))),
    ] {
        let name = Name::of_place(name).unwrap();
        state.places.insert(id, Place { name, kind, heated_to, light: Light::Full });
    }
    for ahead in 0..5 {
        let noted = day(ON);
        state.forecasts.insert(noted + Days::new(ahead), Forecast { noted, low: Celsius(10.0), high: Celsius(19.0) });
    }
    state
}

/// Notes a reading at an hour of a day by the grower's clock.
fn note(state: &mut State, place: PlaceId, on: Date, hour: u32, measured: Measured) {
    state.readings.push(Reading { on, hour: Some(hour), place, measured, by: ActId::LAST });
}

/// The low of tonight as likely undercut as not, covered or not.
fn tonight(state: &State, place: PlaceId, cover: Cover) -> f64 {
    let climates = Climates::learn(state, &trade(), day(ON));
    let night = climates.night(place, day(ON) + Days::new(1), cover).unwrap();
    assert!(night.leaf.quantile(0.5).0 <= night.low.quantile(0.5).0);
    night.low.quantile(0.5).0
}

#[test]
fn a_night_is_no_warmer_than_the_evening_before_it() {
    use Cover::{Off, On};
    let read = |place: PlaceId, hour: u32, celsius: f64| {
        let mut state = places();
        note(&mut state, place, day(ON), hour, Measured::Now(Celsius(celsius)));
        state
    };
    let usual = tonight(&places(), FRAME, Off);
    // In the evening it counts; by dawn it is some degrees colder, under a mat about as cold.
    let cold = read(FRAME, 22, 4.0);
    assert!((tonight(&cold, FRAME, Off) - 3.0).abs() < 1e-3);
    assert!((tonight(&cold, FRAME, On) - 4.0).abs() < 1e-3);
    // In the cold of the morning and at a mild noon it does not, nor a mild evening.
    for (hour, celsius) in [(6, 4.0), (12, 9.0), (22, 25.0), (18, usual + 1.1)] {
        let low = tonight(&read(FRAME, hour, celsius), FRAME, Off);
        assert!((low - usual).abs() < 1e-9, "{hour}: {celsius}");
    }
    // Read in the open it is of every place that the weather rules.
    let frosty = read(VEG, 21, 1.0);
    let (veg, frame) = (tonight(&frosty, VEG, Off), tonight(&frosty, FRAME, Off));
    assert!(veg.abs() < 1e-3 && frame < usual - 5.0, "{veg} {frame}");
    assert!((tonight(&frosty, SILL, Off) - tonight(&places(), SILL, Off)).abs() < 1e-9);
    let open = Climates::learn(&frosty, &trade(), day(ON)).night_in_the_open(day(ON) + Days::new(1)).unwrap();
    assert!(open.low.quantile(0.5).0.abs() < 1e-3);
    // Only of the night after it, and that was no warmer, looked back upon.
    let climates = Climates::learn(&cold, &trade(), day(ON) + Days::new(1));
    let later = climates.night(FRAME, day(ON) + Days::new(2), Off).unwrap();
    assert!((later.low.quantile(0.5).0 - usual).abs() < 1e-3);
    assert!(climates.past_day(FRAME, day(ON) + Days::new(1), Off).unwrap().low().0 <= 4.0);
    let morning = Climates::learn(&read(FRAME, 6, 3.0), &trade(), day(ON));
    assert!(morning.past_day(FRAME, day(ON), Off).unwrap().low().0 <= 3.0);
    // What is kept warm holds what it has, and with nothing forecast the evening is all there is to go by.
    for (place, celsius) in [(HEATED, 8.0), (SILL, 13.0)] {
        let mut state = read(place, 20, celsius);
        state.forecasts.values_mut().for_each(|forecast| forecast.low = Celsius(-2.0));
        assert!((tonight(&state, place, Off) - celsius).abs() < 1e-3);
    }
    let mut unforeseen = frosty;
    unforeseen.forecasts.clear();
    assert!(tonight(&unforeseen, VEG, Off).abs() < 1e-3 && tonight(&unforeseen, FRAME, Off) < 5.0);
    assert!((tonight(&read(SILL, 20, 9.0), SILL, Off) - 9.0).abs() < 1e-3);
}

#[test]
fn a_noon_in_a_house_is_no_night() {
    let read = |hour: u32, celsius: f64| {
        let mut state = places();
        for back in 0..10 {
            note(&mut state, SILL, day(ON) - Days::new(back), hour, Measured::Now(Celsius(celsius)));
        }
        tonight(&state, SILL, Cover::Off)
    };
    let usual = tonight(&places(), SILL, Cover::Off);
    assert!((read(13, 29.0) - usual).abs() < 1e-9, "a sunny noon");
    assert!(read(7, usual + 5.0) > usual + 3.0, "ten mornings");
}

#[test]
fn a_heater_that_failed_a_night_failed_that_night() {
    let read = |low: f64| {
        let mut state = places();
        note(&mut state, HEATED, day(ON), 8, Measured::Minimum(Celsius(low)));
        let climates = Climates::learn(&state, &trade(), day(ON));
        let kept = |back: u64| climates.was_heated(HEATED, day(ON) - Days::new(back));
        (kept(0), (1..20).all(kept))
    };
    assert_eq!(read(5.0), (false, true), "the weeks before it were kept");
    assert!(read(6.5).0, "a thermostat lets it go a little lower");
    let low_below = |state: &State, line: f64| {
        let climates = Climates::learn(state, &trade(), day(ON));
        climates.night(HEATED, day(ON) + Days::new(1), Cover::Off).unwrap().low.below(Celsius(line))
    };
    let mut cold = places();
    cold.forecasts.values_mut().for_each(|forecast| forecast.low = Celsius(-2.0));
    note(&mut cold, HEATED, day(ON), 8, Measured::Minimum(Celsius(6.5)));
    assert!(low_below(&cold, 7.9) > 0.9 && low_below(&cold, 6.4) < 1e-9);
    // Cold of an evening, it is off that night, and was on the night before.
    note(&mut cold, HEATED, day(ON), 22, Measured::Now(Celsius(3.0)));
    let climates = Climates::learn(&cold, &trade(), day(ON));
    assert!(low_below(&cold, 3.1) > 0.4 && climates.was_heated(HEATED, day(ON)));
    // The sun on the glass next day says nothing of it; the next low does.
    let next = day(ON) + Days::new(1);
    note(&mut cold, HEATED, next, 17, Measured::Now(Celsius(15.0)));
    let then = next + Days::new(1);
    note(&mut cold, HEATED, next, 8, Measured::Minimum(Celsius(2.5)));
    let believed = |state: &State| Climates::learn(state, &trade(), then).was_heated(HEATED, then);
    assert!(!believed(&cold));
    note(&mut cold, HEATED, then, 8, Measured::Minimum(Celsius(8.0)));
    assert!(believed(&cold));
}
