//! When a part was last heard of, which are only to be asked about as forgotten, and for how long the grower was away.

use std::collections::{BTreeMap, BTreeSet};

use crate::journal::{Measured, Part, State};
use crate::quantity::{Date, PartId};
use crate::trade::Trade;

use super::part::days_between;
use super::ready::{Ready, ready_of};

/// Days without a note after which seed is asked about as forgotten, and after which plants are doubted. Common practice, no source.
pub(super) const FORGOTTEN_DAYS: u32 = 42;
/// Days after which plants nothing is noted of are asked about. Common practice, no source.
const UNHEARD_DAYS: u32 = 180;
/// Days after the last note that are looked through for some on which nobody was there.
const SEASON: u32 = 200;
/// What is asked of plants then: they may stand, so nothing is cleared.
pub(super) const COUNT_WHAT_LIVES: &str =
    "nothing was noted of them for half a year: count what lives, else log it lost";

/// The latest day on which anything was noted of a part itself, by the day asked about.
pub(super) fn part_noted(state: &State, id: PartId, on: Date) -> Option<Date> {
    state.parts.get(&id).into_iter().flat_map(|part| of_part(state, part)).filter(|day| *day <= on).max()
}

fn of_part<'a>(state: &'a State, part: &'a Part) -> impl Iterator<Item = Date> + 'a {
    let counts = part.counts.iter().map(|count| count.on);
    let gone = part.gone.iter().map(|gone| gone.on);
    let stages = part.stages.iter().map(|(day, _)| *day);
    let stays = state.containers.get(&part.container).into_iter().flat_map(|container| &container.stays);
    let days = counts.chain(gone).chain(stages).chain(stays.map(|stay| stay.from));
    days.chain([part.filled]).chain(part.cleared)
}

/// Days on which anything was noted of plants or their covers, by the day asked about. Thermometers do not count: their
/// readings may come from a logger.
pub(super) fn days_noted(state: &State, on: Date) -> impl Iterator<Item = Date> {
    let parts = state.parts.values().flat_map(|part| of_part(state, part));
    let stays = state.containers.values().flat_map(|container| &container.stays).map(|stay| stay.from);
    let notes = state.notes.iter().map(|note| note.on);
    let covers = state.covers.iter().map(|(day, ..)| *day);
    parts.chain(stays).chain(notes).chain(covers).filter(move |day| *day <= on)
}

/// Days on which somebody was there, by the day asked about: something was noted of plants or covers, a forecast was noted, or
/// a thermometer read. A file of several days' readings says of none of them that anybody was there; a highest that was typed
/// in the morning, and so is of the day before, makes no file of what was typed with it.
pub(super) fn days_there(state: &State, on: Date) -> BTreeSet<Date> {
    let (mut read, mut files): (BTreeMap<_, Date>, BTreeSet<_>) = (BTreeMap::new(), BTreeSet::new());
    for reading in &state.readings {
        let is_highest = matches!(reading.measured, Measured::Maximum(_));
        if *read.entry((reading.by, is_highest)).or_insert(reading.on) != reading.on {
            files.insert(reading.by);
        }
    }
    // Who typed both was there on the later.
    let mut typed: BTreeMap<_, Date> = BTreeMap::new();
    for ((by, _), day) in read.into_iter().filter(|((by, _), _)| !files.contains(by)) {
        typed.entry(by).and_modify(|latest| *latest = day.max(*latest)).or_insert(day);
    }
    let typed = typed.into_values();
    let forecast = state.forecasts.values().map(|forecast| forecast.noted);
    let (typed, forecast) = (typed.filter(|day| *day <= on), forecast.filter(|day| *day <= on));
    days_noted(state, on).chain(typed).chain(forecast).collect()
}

/// True when since the last note of a plant nobody was there for so many days on end, whatever was noted after; days that do
/// not count neither add to them nor end them.
pub(super) fn was_away(state: &State, on: Date, days: u32, counts: &dyn Fn(Date) -> bool) -> bool {
    let Some(last) = days_noted(state, on).max() else { return false };
    let (there, mut run) = (days_there(state, on), 0);
    last.iter_days().skip(1).take_while(|day| *day < on).take(SEASON as usize).any(|day| {
        run = if there.contains(&day) { 0 } else { run + u32::from(counts(day)) };
        run >= days
    })
}

/// The move that is to be made of a part, whose best day has come. However late, it stays so while the plants stand and are
/// not long unheard of: what may be planted is not called forgotten.
pub(super) fn move_due(state: &State, trade: &Trade, id: PartId, on: Date) -> Option<Ready> {
    let due = ready_of(state, trade, id, on).filter(|ready| ready.window.best <= on)?;
    (!is_unheard(state, id, on)).then_some(due)
}

/// Days in which nothing was noted of a part, where they are so many since the last good day of its move that it is doubted
/// whether it lives.
pub(super) fn doubted(state: &State, ready: &Ready, on: Date) -> Option<u32> {
    let noted = part_noted(state, ready.part.id, on)?;
    let since = noted.max(ready.window.latest);
    (days_between(since, on) > FORGOTTEN_DAYS).then(|| days_between(noted, on))
}

/// True when nothing was noted of a part for half a year.
pub(super) fn is_unheard(state: &State, id: PartId, on: Date) -> bool {
    part_noted(state, id, on).is_some_and(|noted| days_between(noted, on) > UNHEARD_DAYS)
}

/// Whether seed of which nine tenths should have been up by a day is long past hope, or plants are long unheard of.
pub(super) fn is_forgotten(state: &State, (id, part): (PartId, &Part), hope: Option<Date>, on: Date) -> bool {
    if part.standing() == 0 {
        let quiet = days_between(part_noted(state, id, on).unwrap_or(part.filled), on);
        let after_hope = days_between(hope.map_or(part.filled, |by| by.max(part.filled)), on);
        return quiet.min(after_hope) > FORGOTTEN_DAYS;
    }
    is_unheard(state, id, on)
}
