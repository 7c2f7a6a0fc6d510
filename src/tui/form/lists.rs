//! The lists forms choose from: containers, benches, places and parts, what was used last first.

use crate::advice::BenchSpace;
use crate::desk::Board;
use crate::journal::{Light, Part};
use crate::quantity::{BatchId, ContainerClass, Millimetres, Name, PartId};

use super::field::{Asked, Choice, Field, Free, Takes};
use super::{AT, IN, INTO, part_word};

/// What plants are moved into by themselves: what the table advises for them, or what was used last time.
#[must_use]
pub fn moved_into(board: &Board, parts: &[PartId]) -> Vec<Name> {
    let advised = board.ready.iter().find(|row| parts.contains(&row.part.id)).and_then(|row| row.next.as_ref());
    let advised = advised.and_then(|next| Name::new(next.container.as_ref()?.as_str()).ok());
    advised.or_else(|| board.last.moved_on.as_ref().map(|(vessel, _)| vessel.clone())).into_iter().collect()
}

/// What to move plants into.
pub(super) fn into_field(board: &Board, parts: &[PartId]) -> Field {
    let last = moved_into(board, parts).first().map(ToString::to_string);
    let own = |class| matches!(class, ContainerClass::CellTray | ContainerClass::Pot);
    container_field(INTO, "--into", board, last, &own)
}

/// What most sheds have, for a grower who has used nothing yet. Common practice, no source.
const COMMON: [&str; 5] = ["seed-tray", "half-tray", "24-cell", "72-cell", "9cm-pot"];

/// Asked as long as nothing was used before: a default of nobody's choosing would go unseen.
const fn once_known(last: Option<&String>) -> Asked {
    if last.is_some() { Asked::IfEmpty } else { Asked::Always }
}

pub(super) fn container_field(
    label: &'static str,
    option: &str,
    board: &Board,
    last: Option<String>,
    fits: &dyn Fn(ContainerClass) -> bool,
) -> Field {
    let mut names: Vec<String> =
        board.containers.iter().filter(|(_, class)| fits(*class)).map(|(name, _)| name.to_string()).collect();
    // A set of twelve pots is not in the table, and is meant again as it was.
    names.extend(last.iter().filter(|last| !names.contains(last)).cloned().collect::<Vec<_>>());
    names.sort_by_key(|name| (Some(name) != last.as_ref(), !COMMON.contains(&name.as_str())));
    let choice = |name: String| Choice::new(name.clone(), "", vec![format!("{option}={name}")]);
    let asked = once_known(last.as_ref());
    // Both options mean the same to the grammar.
    Field::one_of(label, names.into_iter().map(choice).collect())
        .or_else(Free::As(|text| vec![format!("--in={text}")]))
        .hint("as 24-cell, 9cm-pot; 24-cellx2 for two")
        .asked(asked)
}

pub(super) fn at_field(board: &Board, last: Option<String>) -> Field {
    let asked = once_known(last.as_ref());
    spot_field(AT, board, last, Some("--at")).asked(asked)
}

/// Benches and places without one, last time's first, each with what is free on it.
pub(super) fn spot_field(label: &'static str, board: &Board, last: Option<String>, option: Option<&str>) -> Field {
    let word = |spot: &str| vec![option.map_or_else(|| spot.to_owned(), |option| format!("{option}={spot}"))];
    let mut choices: Vec<Choice> = Vec::new();
    let (mut under_the_sky, mut full): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for bench in &board.space.benches {
        let shown = format!("{}/{}", bench.place_name, bench.name);
        let trays = board.trays_in_words(bench.bench, "more ");
        let beside = format!("{} free: {trays}", bench.area.free);
        full.extend((board.trays_on(bench.bench) == 0).then(|| shown.clone()));
        under_the_sky.extend((!bench.kind.is_indoors()).then(|| shown.clone()));
        choices.push(Choice::new(shown.clone(), beside, word(&shown)));
    }
    for (id, place) in &board.state.places {
        if !board.state.benches.values().any(|bench| bench.place == *id) {
            let shown = place.name.to_string();
            under_the_sky.extend((!place.kind.is_indoors()).then(|| shown.clone()));
            choices.push(Choice::new(shown.clone(), place.kind.word(), word(&shown)));
        }
    }
    for held in board.state.containers.values().filter(|held| held.vessel.class == ContainerClass::Carrier) {
        if let Some(called) = &held.called {
            let shown = called.to_string();
            choices.push(Choice::new(shown.clone(), "carrier", word(&shown)));
        }
    }
    // Seed and young plants of a new journal go into the house until the grower says otherwise.
    let is_out = |choice: &Choice| option.is_some() && under_the_sky.contains(&choice.shown);
    choices.sort_by_key(|choice| (Some(&choice.shown) != last.as_ref(), is_out(choice), full.contains(&choice.shown)));
    Field::one_of(label, choices)
}

/// For a part in the warm and dark, the roomiest bench indoors with light from a window or a lamp.
pub(super) fn light_for_shoots(board: &Board, part: &Part) -> Option<String> {
    let state = &board.state;
    let place = state.places.get(&state.whereabouts(part.container)?)?;
    if !place.kind.draws_shoots() {
        return None;
    }
    let light = |bench: &&BenchSpace| {
        bench.kind.is_indoors() && state.places.get(&bench.place).is_some_and(|place| place.light != Light::Low)
    };
    let bench = board.space.benches.iter().filter(light).max_by_key(|bench| bench.area.free.0)?;
    Some(format!("{}/{}", bench.place_name, bench.name))
}

/// Where plants stand that live out of the house, in a frame or under glass or the sky: the spot as the lists name it.
pub(super) fn cool_spot(board: &Board, parts: &[PartId]) -> Option<String> {
    let part = parts.iter().find_map(|id| board.state.parts.get(id))?;
    let (place, bench) = board.state.home(part.container)?;
    let place = board.state.places.get(&place).filter(|place| !place.kind.is_indoors())?;
    let bench = bench.and_then(|bench| board.state.benches.get(&bench));
    Some(bench.map_or_else(|| place.name.to_string(), |bench| format!("{}/{}", place.name, bench.name)))
}

/// The same choices, but none first that tonight is likely enough to kill these plants in.
pub(super) fn warm_first(mut field: Field, board: &Board, parts: &[PartId]) -> Field {
    let batches: Vec<BatchId> = parts.iter().filter_map(|id| Some(board.state.parts.get(id)?.batch)).collect();
    let kills = |choice: &Choice| {
        let name = choice.shown.split('/').next().unwrap_or_default();
        let place = board.state.places.iter().find(|(_, place)| place.name.as_str() == name);
        place.is_some_and(|(place, _)| batches.iter().any(|batch| board.cold.kills(*batch, *place)))
    };
    if let Takes::OneOf { choices, .. } = &mut field.takes {
        choices.sort_by_key(kills);
    }
    field
}

/// True for a bench in the warm and dark, where nothing that is up stays.
pub(super) fn draws_shoots(board: &Board, spot: &str) -> bool {
    let name = spot.split('/').next().unwrap_or_default();
    let named = board.state.places.values().find(|place| place.name.as_str() == name);
    named.is_some_and(|place| place.kind.draws_shoots() && place.light != Light::Full)
}

/// Where a part stands now: plants moved on for the first time stay near.
pub(super) fn bench_of(board: &Board, part: &Part) -> Option<String> {
    let (place, bench) = board.state.home(part.container)?;
    let bench = board.state.benches.get(&bench?)?;
    Some(format!("{}/{}", board.state.places.get(&place)?.name, bench.name))
}

pub(super) fn place_field(board: &Board, parts: &[PartId]) -> Field {
    // Nothing is out where it is at home.
    let home = |id| board.state.parts.get(id).and_then(|part| board.state.home(part.container)).map(|(place, _)| place);
    let homes: Vec<_> = parts.iter().filter_map(home).collect();
    let elsewhere =
        board.state.places.iter().filter(|(id, _)| homes.iter().all(|home| home != *id) || homes.is_empty());
    let mut places: Vec<_> = elsewhere.map(|(_, place)| place).collect();
    // What hardens off goes where the air is cool: out of doors first.
    places.sort_by_key(|place| (Some(&place.name) != board.last.out.as_ref(), place.kind.is_indoors()));
    let choice = |place: &&crate::journal::Place| {
        Choice::new(place.name.as_str(), place.kind.word(), vec![place.name.to_string()])
    };
    Field::one_of("place", places.iter().map(choice).collect())
}

pub(super) fn part_choice(board: &Board, id: PartId) -> Option<Choice> {
    let part = board.state.parts.get(&id)?;
    let vessel = &board.state.containers.get(&part.container)?.vessel;
    let shown = board.state.part_label(part).to_string();
    let at = board.state.standing_at(part.container);
    let beside = format!("{} standing, {}, {at}", part.standing(), vessel.name);
    Some(Choice::new(shown, beside, vec![part_word(board, id)?]))
}

/// A size in the words of the command line.
pub(super) fn size_word(length: Millimetres, width: Millimetres) -> String {
    format!("{}x{}mm", length.0, width.0)
}

/// What young plants stand in and where, as asked of a tray taken in.
pub(super) fn open_room(board: &Board) -> [Field; 2] {
    let container = container_field(IN, "--in", board, None, &|class| class != ContainerClass::Carrier);
    [container, at_field(board, board.last.stood_at.clone()).asked(Asked::Always)]
}
