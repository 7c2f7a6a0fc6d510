//! What a name or a number means: batches, places, benches, containers.

use std::collections::BTreeMap;

use crate::advice::vessel_of;
use crate::grammar::{BatchRef, ContainerWords, SpotRef};
use crate::journal::{Stand, State, Vessel};
use crate::quantity::{BatchId, BatchLabel, BenchId, ContainerClass, Name, PlaceId};
use crate::store::{Books, FoundBatch, place_among};
use crate::trade::Trade;

use super::error::DeskError;

/// The batch a number means: the open one; of several open ones none; of none open this year's, or the latest.
pub(super) fn find_batch(books: &Books<'_>, reference: BatchRef) -> Result<BatchId, DeskError> {
    let found = books.batches_numbered(reference.number, reference.year)?;
    if let Some(twin) = reference.twin {
        let latest = reference.year.or_else(|| found.first().map(|batch| batch.label.year));
        let ever = latest.map(|year| books.ever_numbered(reference.number, year)).transpose()?.unwrap_or_default();
        let meant = ever.iter().find(|id| ever.len() > 1 && place_among(&ever, **id) == Some(twin));
        let Some(meant) = meant else { return Err(unknown_batch(reference)) };
        if found.iter().any(|batch| batch.id == *meant && Some(batch.label.year) == latest) {
            return Ok(*meant);
        }
        // Numbered otherwise since, or its sowing was taken back: no other takes its place.
        let now = books.batch_label(*meant)?.filter(|now| Some(now.year) != latest || now.number != reference.number);
        let hint =
            now.map_or_else(|| "its sowing was taken back".to_owned(), |now| format!("it is numbered {now} now"));
        return Err(DeskError::Unknown { what: "batch", name: reference.to_string(), hint });
    }
    let open: Vec<&FoundBatch> = found.iter().filter(|batch| batch.live).collect();
    match (open.as_slice(), found.as_slice()) {
        ([only], _) => Ok(only.id),
        ([], [latest, rest @ ..]) if rest.iter().all(|other| other.label.year < latest.label.year) => Ok(latest.id),
        ([], []) => Err(unknown_batch(reference)),
        (several, all) => {
            let meant: Vec<&FoundBatch> = if several.is_empty() { all.iter().collect() } else { several.to_vec() };
            Err(DeskError::Ambiguous {
                name: format!("batch {reference}"),
                list: meant.iter().map(|batch| batch.label.to_string()).collect::<Vec<_>>().join(" or "),
                hint: "write it so; `relabel` gives one of two with the same number another",
            })
        }
    }
}

/// Has the labels of open batches that wear one number say which of them each is: `2026/14~2`, as it has to be written.
pub(super) fn tell_apart(books: &Books<'_>, state: &mut State) -> Result<(), DeskError> {
    let mut wearers: BTreeMap<BatchLabel, u32> = BTreeMap::new();
    for batch in state.batches.values().filter(|batch| state.is_live(batch)) {
        *wearers.entry(batch.label).or_default() += 1;
    }
    for (label, _) in wearers.into_iter().filter(|(_, wearers)| *wearers > 1) {
        let found = books.batches_numbered(label.number, Some(label.year))?;
        for batch in found.iter().filter(|batch| batch.live) {
            if let Some(worn) = state.batches.get_mut(&batch.id) {
                worn.label = batch.label;
            }
        }
    }
    Ok(())
}

pub(super) fn unknown_batch(reference: BatchRef) -> DeskError {
    DeskError::Unknown {
        what: "batch",
        name: reference.to_string(),
        hint: "`germination` and `history` list the batches there are".to_owned(),
    }
}

/// The container words mean, and how many: pots make one set, everything else as many containers.
pub(super) fn find_vessel(
    state: &State,
    trade: &Trade,
    words: &ContainerWords,
    pots: u32,
) -> Result<(Vessel, u32), DeskError> {
    let found = trade.find_container(words.name.as_str())?;
    let vessel = vessel_of(state, found, words.times.unwrap_or(pots)).ok_or_else(|| DeskError::Unknown {
        what: "container",
        name: found.key().to_string(),
        hint: "its name in the table cannot be kept: give it a shorter one".to_owned(),
    })?;
    let count = if found.class == ContainerClass::Pot { 1 } else { words.times.unwrap_or(1) };
    Ok((vessel, count))
}

/// The place a name means: the same but for case, or the only one that begins so.
pub(super) fn find_place(state: &State, name: &Name) -> Result<PlaceId, DeskError> {
    if let Some((id, _)) = state.places.iter().find(|(_, place)| place.name.same_as(name.as_str())) {
        return Ok(*id);
    }
    let typed = name.as_str().to_lowercase();
    let beginning: Vec<_> =
        state.places.iter().filter(|(_, place)| place.name.as_str().to_lowercase().starts_with(&typed)).collect();
    match beginning.as_slice() {
        [(id, _)] => Ok(**id),
        [] => {
            let all: Vec<String> = state.places.values().map(|place| place.name.to_string()).collect();
            let hint = if all.is_empty() {
                "name one first: `place add NAME --kind KIND`".to_owned()
            } else {
                format!("places: {}", all.join(", "))
            };
            Err(DeskError::Unknown { what: "place", name: name.to_string(), hint })
        }
        several => Err(DeskError::Ambiguous {
            name: name.to_string(),
            list: several.iter().map(|(_, place)| place.name.to_string()).collect::<Vec<_>>().join(" or "),
            hint: "write more of the name",
        }),
    }
}

pub(super) fn unknown_bench(state: &State, place: PlaceId, name: &Name) -> DeskError {
    let here = state.places.get(&place).map_or_else(String::new, |place| place.name.to_string());
    let benches: Vec<String> =
        state.benches.values().filter(|bench| bench.place == place).map(|bench| bench.name.to_string()).collect();
    DeskError::Unknown {
        what: "bench",
        name: format!("{here}/{name}"),
        hint: if benches.is_empty() {
            format!("{here} has no benches yet: `bench add {here}/NAME --size 1200x500mm`")
        } else {
            format!("{here} has {}", benches.join(", "))
        },
    }
}

/// What a spot means: a bench by its name, the floor of a place, the only bench of one, or a place that has none.
pub(super) fn find_stand(state: &State, spot: &SpotRef) -> Result<Stand, DeskError> {
    let place = find_place(state, &spot.place)?;
    let benches: Vec<(&BenchId, &crate::journal::Bench)> =
        state.benches.iter().filter(|(_, bench)| bench.place == place).collect();
    if let Some(name) = &spot.bench {
        let exact = benches.iter().find(|(_, bench)| bench.name.same_as(name.as_str()));
        let typed = name.as_str().to_lowercase();
        let mut beginning = benches.iter().filter(|(_, bench)| bench.name.as_str().to_lowercase().starts_with(&typed));
        let only = match (beginning.next(), beginning.next()) {
            (Some(only), None) => Some(only),
            _ => None,
        };
        let bench = exact.or(only).map(|(id, _)| Stand::Bench(**id));
        let floor = || name.same_as(crate::advice::FLOOR).then_some(Stand::Place(place));
        return bench.or_else(floor).ok_or_else(|| unknown_bench(state, place, name));
    }
    match benches.as_slice() {
        [] => Ok(Stand::Place(place)),
        [(id, _)] => Ok(Stand::Bench(**id)),
        several => Err(DeskError::Ambiguous {
            name: spot.to_string(),
            list: several
                .iter()
                .map(|(_, bench)| format!("{}/{}", spot.place, bench.name))
                .collect::<Vec<_>>()
                .join(" or "),
            hint: "write the bench too",
        }),
    }
}
