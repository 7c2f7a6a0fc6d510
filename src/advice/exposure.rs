//! What a part's plants have been through: day by day where they stood, how cold it was there, and how hardened they
//! have become.

use crate::journal::{Container, Part, PlaceKind, Source, Stand, State, Stay};
use crate::quantity::{Celsius, ContainerId, Date, PlaceId, Share};
use crate::science::day_range::DayRange;
use crate::science::hardening::{HardeningRule, harden};
use crate::science::place_climate::Heat;
use crate::trade::Hardiness;

use super::climate::{Climates, Cover, covered};
use super::part::emerged;

/// The longest history looked at, in days: hardiness and chilling are of this spring.
const LONGEST: u64 = 200;
/// Share of a day's exposure had by plants out by day and in at night, in a frame or under a cloche, and under glass or
/// film that one can stand in. Common practice, no source.
const OUT_BY_DAY: f64 = 0.4;
const IN_FRAME: f64 = 0.8;
const UNDER_GLASS: f64 = 0.5;
/// How hardened plants are taken to be at most by days that were forecast and not read. Common practice, no source.
const UNREAD_AT_MOST: f64 = 0.7;
/// How hardened plants still are that are called so once their schedule is done. Common practice, no source.
pub(super) const KEEPS_HARDENED: f64 = 0.5;

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

/// What made plants as hardened as they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardened {
    /// How hardened they are.
    pub now: Share,
    /// Days that raised it, and by how much in all.
    pub raised: (u32, f64),
    /// Days that lowered it, and by how much in all.
    pub lowered: (u32, f64),
    /// The last day that lowered it, and the mean of the air on it.
    pub last_warm: Option<(Date, Celsius)>,
    /// Days out that would have raised it, had anybody read a thermometer.
    pub unread: u32,
    /// The day after the schedule was done on which it had fallen to where they are no longer called hardened.
    pub softened: Option<Date>,
}

impl Hardened {
    /// Soft, as they come up.
    pub(super) const SOFT: Self =
        Self { now: Share(0.0), raised: (0, 0.0), lowered: (0, 0.0), last_warm: None, unread: 0, softened: None };
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

    /// True when a day under glass took more hardiness than it gave. In the open sun and wind harden whatever the warmth.
    pub(super) fn softens(&self, class: Hardiness) -> bool {
        let half = Share(KEEPS_HARDENED);
        let is_softer = |range| harden(half, range, self.exposed, &rule_of(class)) < half;
        self.out.is_none() && self.exposed.0 < 1.0 && self.aired.is_some_and(is_softer)
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

/// How hardened the plants are after those days, soft when they came up or came, and why. A day of which nothing is known
/// in a house changes nothing. Out of it nights are cool enough all spring: one of which nothing is known, or under glass
/// that nobody read, hardens them, but no further than seven tenths. Who was put out by the schedule of hardening off to its
/// end, on a day of `done_on`, is hardened, and keeps it or loses it from there.
#[must_use]
pub fn hardened(days: &[StoodDay], class: Hardiness, done_on: &[Date]) -> Hardened {
    let rule = rule_of(class);
    let mut so_far = Hardened::SOFT;
    for day in days {
        let before = so_far.now.0;
        let is_done = done_on.contains(&day.day);
        let mut after = match day.aired {
            Some(range) => harden(so_far.now, range, day.exposed, &rule).0,
            None if day.night_out() => (before + day.exposed.0 / rule.days_to_harden).min(1.0),
            None if !is_done => continue,
            None => before,
        };
        if after > before && !(day.was_read && day.range.is_some()) && after > UNREAD_AT_MOST {
            after = before.max(UNREAD_AT_MOST);
            so_far.unread += 1;
        }
        if is_done {
            // Standing under glass that nobody reads is not being put out.
            let was_put_out = day.out.is_some() || day.was_read;
            after = if was_put_out { 1.0 } else { after.max(UNREAD_AT_MOST) };
            so_far.unread += u32::from(!was_put_out);
        }
        so_far.now = Share(after);
        if after > before {
            so_far.raised = (so_far.raised.0 + 1, so_far.raised.1 + after - before);
        } else if after < before {
            so_far.lowered = (so_far.lowered.0 + 1, so_far.lowered.1 + before - after);
            so_far.last_warm = day.aired.map(|range| (day.day, range.mean()));
        }
        so_far.softened = match so_far.softened {
            _ if is_done => None,
            None if after < KEEPS_HARDENED && done_on.iter().any(|done| *done < day.day) => Some(day.day),
            before => before,
        };
    }
    so_far
}

fn rule_of(class: Hardiness) -> HardeningRule {
    match class {
        Hardiness::Tender => HardeningRule::TENDER,
        Hardiness::HalfHardy => HardeningRule::HALF_HARDY,
        Hardiness::Hardy | Hardiness::VeryHardy => HardeningRule::HARDY,
    }
}

/// A day's range with the lid open by day, unless its highest was read there.
pub(super) fn aired(
    climates: &Climates,
    place: Option<PlaceId>,
    day: Date,
    range: Option<DayRange>,
) -> Option<DayRange> {
    let is_read = place.is_some_and(|place| climates.read(place, day).high.is_some());
    let outside = climates.outside_day(day).filter(|_| !is_read && exposure(climates, place) > 0.0);
    let range = range?;
    Some(outside.map_or(range, |outside| DayRange::between(range.low().0, range.high().0.min(outside.high().0))))
}

fn stood(state: &State, climates: &Climates, part: &Part, day: Date) -> StoodDay {
    let holder = holder(state, part, day);
    let night_place = place_at(state, holder, day);
    let out = out_on(state, holder, day);
    let exposed = exposure(climates, night_place);
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

pub(super) fn exposure(climates: &Climates, place: Option<PlaceId>) -> f64 {
    let Some(climate) = place.and_then(|place| climates.places().get(&place)) else { return 0.0 };
    match climate.kind {
        _ if matches!(climate.heat, Heat::Held(_)) => 0.0,
        PlaceKind::Plot | PlaceKind::StandingGround => 1.0,
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
