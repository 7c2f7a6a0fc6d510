//! Trays and pots to be washed: those that were emptied, and that nobody has said were washed since.

use std::collections::BTreeMap;

use crate::journal::{Container, Part, State};
use crate::quantity::{ActId, ContainerClass, Date, Name};

/// What was emptied longer ago than this is taken to be clean: a year has its washing day. Common practice, no source.
const REMEMBERED: u64 = 365;

/// The first day of which it matters what was emptied.
#[must_use]
pub fn emptied_since(on: Date) -> Date {
    on.checked_sub_days(chrono::Days::new(REMEMBERED)).unwrap_or(Date::MIN)
}

/// What happens to containers of a kind, in the order it is taken to happen within an act.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Turn {
    Emptied,
    Washed,
    Filled,
}

/// How many of each kind are to be washed at the end of a day, pots counted one by one: emptied in the year before and
/// not washed. Clean ones are taken to be filled first; when more are filled than were clean, the rest was washed or
/// used as it was, and is not to be washed any more. The state must hold what was emptied since [`emptied_since`].
#[must_use]
pub fn to_wash(state: &State, on: Date) -> BTreeMap<Name, u32> {
    let since = emptied_since(on);
    let mut turns: Vec<((Date, ActId), Turn, &Name, u32)> = Vec::new();
    // One that was stood for plants that were set aside never held any.
    let filled = |it: &Container| it.vessel.class == ContainerClass::Carrier || !it.parts.is_empty();
    for container in state.containers.values().filter(|it| it.vessel.class != ContainerClass::Paper && filled(it)) {
        let (name, pots) = (&container.vessel.name, container.vessel.pots.max(1));
        turns.extend(container.stays.first().map(|stay| ((stay.from, stay.by), Turn::Filled, name, pots)));
        turns.extend(emptied(state, container).map(|day| (day, Turn::Emptied, name, pots)));
    }
    turns.extend(state.washed.iter().map(|washed| ((washed.on, washed.by), Turn::Washed, &washed.name, washed.count)));
    turns.sort_unstable();
    let mut in_use: BTreeMap<&Name, u32> = BTreeMap::new();
    let mut dirty: BTreeMap<Name, u32> = BTreeMap::new();
    for ((day, _), turn, name, count) in turns.into_iter().filter(|((day, _), ..)| *day <= on) {
        let (used, dirty) = (in_use.entry(name).or_default(), dirty.entry(name.clone()).or_default());
        match turn {
            Turn::Emptied => {
                *used = used.saturating_sub(count);
                *dirty = if day < since { *dirty } else { dirty.saturating_add(count) };
            }
            Turn::Washed => *dirty = dirty.saturating_sub(count),
            Turn::Filled => {
                *used = used.saturating_add(count);
                *dirty = (*dirty).min(state.owned.get(name).map_or(u32::MAX, |owned| owned.saturating_sub(*used)));
            }
        }
    }
    dirty.retain(|_, count| *count > 0);
    dirty
}

/// The day a container was emptied of the last that was in it, or a carrier put away, and by which act.
pub(super) fn emptied(state: &State, container: &Container) -> Option<(Date, ActId)> {
    if container.vessel.class == ContainerClass::Carrier {
        return container.put_away.map(|on| (on, ActId::LAST));
    }
    let cleared = |part: &Part| part.cleared.zip(part.cleared_by);
    let cleared = container.parts.iter().map(|part| state.parts.get(part).and_then(cleared));
    cleared.collect::<Option<Vec<_>>>()?.into_iter().max()
}
