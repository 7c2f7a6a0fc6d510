//! Who was there, by what was typed and when.

use chrono::Days;
use uuid::Uuid;

use super::super::unheard::was_away;
use super::*;
use crate::journal::{Measured, Reading};
use crate::quantity::{ActId, Celsius, EntryId, Moment, PlaceId};

const FRAME: PlaceId = PlaceId(EntryId(1));

/// The first of May, with a note of that day.
fn noted() -> (State, Date) {
    let first = day("2026-05-01");
    (State { covers: vec![(first, FRAME, true)], ..State::default() }, first)
}

/// One act that reads a lowest and a highest at eight of a morning: they are written to the days that they are of.
fn reads(state: &mut State, on: Date) {
    let by = ActId(Uuid::from_u128(state.readings.len() as u128 + 1));
    for measured in [Measured::Minimum(Celsius(8.0)), Measured::Maximum(Celsius(19.0))] {
        let on = measured.of_day(Moment { on, hour: Some(8) });
        state.readings.push(Reading { on, hour: None, place: FRAME, measured, by });
    }
}

#[test]
fn who_types_lowest_and_highest_every_morning_is_there() {
    let (mut state, first) = noted();
    let is_away = |state: &State, days: u64| was_away(state, first + Days::new(days), 3, &|_| true);
    assert!(!is_away(&state, 3) && is_away(&state, 4));
    for morning in 1..=4 {
        reads(&mut state, first + Days::new(morning));
    }
    assert!(!is_away(&state, 4) && !is_away(&state, 7) && is_away(&state, 8));
}

#[test]
fn the_highest_of_yesterday_says_not_that_somebody_was_there_yesterday() {
    let (mut state, first) = noted();
    reads(&mut state, first + Days::new(4));
    assert!(was_away(&state, first + Days::new(5), 3, &|_| true), "the three days before were without a word");
}

#[test]
fn two_lows_or_two_highs_of_one_act_are_a_file() {
    for measured in [Measured::Minimum(Celsius(8.0)), Measured::Maximum(Celsius(19.0))] {
        let (mut state, first) = noted();
        for days in 1..=3 {
            let (on, by) = (first + Days::new(days), ActId(Uuid::from_u128(1)));
            state.readings.push(Reading { on, hour: None, place: FRAME, measured, by });
        }
        assert!(was_away(&state, first + Days::new(4), 3, &|_| true), "{measured:?}");
    }
}
