//! What a part's plants have been through: day by day where they stood, and how cold it was there.

use crate::journal::{Container, Part, PlaceKind, Source, Stand, State, Stay};
use crate::quantity::{ContainerId, Date, PlaceId, Share};
use crate::science::day_range::DayRange;

use super::climate::{Climates, Cover, covered};
use super::part::{after, emerged};

/// The longest history looked at, in days: hardiness and chilling are of this spring.
const LONGEST: u64 = 200;
/// Share of a day's exposure had by plants out by day and in at night, in a frame or under a cloche, and under glass or
/// film that one can stand in. Common practice, no source.
const OUT_BY_DAY: f64 = 0.4;
const IN_FRAME: f64 = 0.8;
const UNDER_GLASS: f64 = 0.5;

/// One day and the night after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoodDay {
    /// The day.
    pub day: Date,
    /// The place it was in that night.
    pub night_place: Option<PlaceId>,
    /// The place it was put out to that day, if it was.
    pub out: Option<PlaceId>,
    /// The share of the day and night it was exposed, 0 in a house to 1 in the open all round.
    pub exposed: Share,
    /// The range it was exposed to, or stood in; `None` when nothing is known.
    pub range: Option<DayRange>,
    /// The same with the lid open by day, unless its highest was read: what hardens or softens. Who is told to open a frame does.
    pub aired: Option<DayRange>,
    /// True when a thermometer was read that day or the next, there or outside, or the place is open ground.
    pub was_read: bool,
}

impl StoodDay {
    /// True when the night was spent out of the house, unheated.
    #[must_use]
    pub fn night_out(&self) -> bool {
        self.exposed.0 > OUT_BY_DAY
    }

    /// True when any of the day was.
    #[must_use]
    pub fn day_out(&self) -> bool {
        self.exposed.0 > 0.0
    }
}

/// The days of a part's plants from when they came up, or came, to the day before the climates' own.
#[must_use]
pub fn days_stood(state: &State, climates: &Climates, part: &Part) -> Vec<StoodDay> {
    let begun = state.batches.get(&part.batch).map_or(part.filled, |batch| batch.begun);
    let longest = climates.on().checked_sub_days(chrono::Days::new(LONGEST)).unwrap_or(begun);
    let first = emerged(state, part).unwrap_or(begun).max(longest);
    let days = first.iter_days().take_while(|day| *day < climates.on());
    days.map(|day| stood(state, climates, part, day)).collect()
}

/// A day's range with the lid open by day, unless its highest was read there.
pub(super) fn aired(
    climates: &Climates,
    place: Option<PlaceId>,
    day: Date,
    range: Option<DayRange>,
) -> Option<DayRange> {
    let is_read = place.is_some_and(|place| climates.read(place, day).high.is_some());
    let outside = climates.outside_day(day).filter(|_| !is_read && exposure(climates, place, day) > 0.0);
    let range = range?;
    Some(outside.map_or(range, |outside| DayRange::between(range.low().0, range.high().0.min(outside.high().0))))
}

fn stood(state: &State, climates: &Climates, part: &Part, day: Date) -> StoodDay {
    let holder = holder(state, part, day);
    let night_place = place_at(state, holder, day);
    let out = out_on(state, holder, day);
    let exposed = exposure(climates, night_place, day);
    let cover = |place| if covered(state, place, day) { Cover::On } else { Cover::Off };
    let next = day.succ_opt().unwrap_or(day);
    let range = if exposed == 0.0 && out.is_some() {
        climates.outside_day(day)
    } else {
        night_place.and_then(|place| {
            let low = climates.past_day(place, next, cover(place))?.low();
            let high = climates.past_day(out.unwrap_or(place), day, Cover::Off)?.high();
            Some(DayRange::between(low.0, high.0))
        })
    };
    let exposed = if out.is_some() { exposed.max(OUT_BY_DAY) } else { exposed };
    let was_read = was_read(climates, night_place.or(out), day);
    let aired = aired(climates, out.or(night_place), day, range);
    StoodDay { day, night_place, out, exposed: Share(exposed), range, aired, was_read }
}

/// True when a thermometer was read in a place, or outside, on a day or the next; and in the open, where the weather itself is
/// what plants have. Under glass without a reading nobody knows whether the lid was shut.
pub(super) fn was_read(climates: &Climates, place: Option<PlaceId>, day: Date) -> bool {
    let kind = place.and_then(|place| climates.places().get(&place)).map(|climate| climate.kind);
    if kind.is_none_or(|kind| matches!(kind, PlaceKind::Plot | PlaceKind::StandingGround)) {
        return true;
    }
    let outside = climates.places().iter().find(|(_, climate)| climate.is_outside).map(|(id, _)| *id);
    let days = [day, day.succ_opt().unwrap_or(day)];
    [place, outside].into_iter().flatten().any(|place| {
        days.iter().map(|day| climates.read(place, *day)).any(|read| read.low.is_some() || read.high.is_some())
    })
}

/// The share of a day and the night after it that plants in a place are exposed; none where a heater kept it.
pub(super) fn exposure(climates: &Climates, place: Option<PlaceId>, day: Date) -> f64 {
    let Some((id, climate)) = place.and_then(|id| Some((id, climates.places().get(&id)?))) else { return 0.0 };
    match climate.kind {
        PlaceKind::StandingGround | PlaceKind::Plot => 1.0,
        _ if climates.was_heated(id, after(day, 1)) => 0.0,
        PlaceKind::ColdFrame | PlaceKind::Cloche => IN_FRAME,
        PlaceKind::Greenhouse | PlaceKind::Tunnel => UNDER_GLASS,
        _ => 0.0,
    }
}

/// The container that held the part's plants on a day: its own, or that of the part they came from.
fn holder(state: &State, part: &Part, day: Date) -> ContainerId {
    let mut part = part;
    // Each part is filled after the one its plants left, so the chain ends; the bound only says so.
    for _ in 0..=state.parts.len() {
        match part.source {
            Source::From { part: before, .. } if day < part.filled => match state.parts.get(&before) {
                Some(before) => part = before,
                None => break,
            },
            _ => break,
        }
    }
    part.container
}

fn place_at(state: &State, id: ContainerId, day: Date) -> Option<PlaceId> {
    let stay = last_stay(state.containers.get(&id)?, day)?;
    match (stay.out, stay.stand) {
        (Some(out), _) => Some(out),
        (None, Stand::Bench(bench)) => state.benches.get(&bench).map(|bench| bench.place),
        (None, Stand::Place(place)) => Some(place),
        // No carrier stands on another, so this goes one step.
        (None, Stand::Carrier(carrier)) if carrier != id => {
            let stay = last_stay(state.containers.get(&carrier)?, day)?;
            match (stay.out, stay.stand) {
                (Some(out), _) => Some(out),
                (None, Stand::Bench(bench)) => state.benches.get(&bench).map(|bench| bench.place),
                (None, Stand::Place(place)) => Some(place),
                (None, Stand::Carrier(_)) => None,
            }
        }
        (None, Stand::Carrier(_)) => None,
    }
}

/// True when a container was out for some of a day.
pub(super) fn was_out(state: &State, id: ContainerId, day: Date) -> bool {
    out_on(state, id, day).is_some()
}

/// The place a container was out to for some of a day.
fn out_on(state: &State, id: ContainerId, day: Date) -> Option<PlaceId> {
    let own = state.containers.get(&id)?;
    let carrier = match last_stay(own, day)?.stand {
        Stand::Carrier(carrier) => state.containers.get(&carrier),
        _ => None,
    };
    [Some(own), carrier].into_iter().flatten().find_map(|container| {
        let since_before = container.stays.iter().rev().find(|stay| stay.from < day).and_then(|stay| stay.out);
        let begun = container.stays.iter().filter(|stay| stay.from == day).find_map(|stay| stay.out);
        begun.or(since_before)
    })
}

fn last_stay(container: &Container, day: Date) -> Option<&Stay> {
    container.stays.iter().rev().find(|stay| stay.from <= day)
}
