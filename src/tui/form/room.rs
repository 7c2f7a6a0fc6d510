//! Where containers may be moved to, or new ones stood: the benches on which they go first, each with what it does to
//! its space.

use std::collections::{BTreeMap, BTreeSet};

use crate::advice::{ColdVerdict, Goes, MovePreview, MoveSide, RoomFor, in_trays};
use crate::desk::Board;
use crate::grammar::ContainerWords;
use crate::journal::{Place, PlaceKind};
use crate::quantity::{BenchId, ContainerClass, ContainerId, PartId, PlaceId};

use super::field::{Asked, Field, Takes};
use super::lists::{bench_of, cool_spot, draws_shoots};
use super::{AT, Form, IN, INTO, NUMBER, PLANTS};

/// The room on the benches for what a form sets down.
#[derive(Clone, Debug, Default)]
pub struct Rooms {
    /// For each kind of container.
    kinds: Vec<Kind>,
    /// The benches in the order they are offered when all have room, with what stands beside each.
    benches: Vec<(String, String)>,
    /// What speaks against a bench or place: it is offered by itself only when nothing else is left.
    against: BTreeMap<String, &'static str>,
    /// Warm and dark benches: good for seed, and yet no place for it by default.
    dark: BTreeSet<String>,
    /// Benches and places out of the house, for plants that live there and are moved on.
    cool: BTreeSet<String>,
    /// The bench that was used last, and what the form was about before anything was said of it.
    last: Option<String>,
    about: String,
    /// The container that stood there first, and how Enter goes past the bench while there is room.
    first: Option<String>,
    asked: Option<Asked>,
    /// True when a cell was sown with one seed last time, so that more seeds want more trays.
    one_to_a_cell: bool,
}

/// The room for one kind.
#[derive(Clone, Debug)]
struct Kind {
    name: String,
    class: ContainerClass,
    cells: Option<u32>,
    /// How many go, by bench and carrier.
    goes: Vec<(String, u32)>,
}

/// What may speak against standing plants somewhere by itself.
const TOO_COLD: &str = "too cold for them tonight";
const TOO_DARK: &str = "too dark for what is up";
const COLD_STORE: &str = "a fridge";
const TO_COME_IN: &str = "so cold tonight that plants are to come in from it";

/// Every place without a bench and every bench, as the lists name it.
fn spots(board: &Board) -> impl Iterator<Item = (String, PlaceId, &Place)> {
    board.state.places.iter().flat_map(|(id, place)| {
        let benches = board.state.benches.values().filter(|bench| bench.place == *id);
        let names = benches.map(|bench| format!("{}/{}", place.name, bench.name));
        names.chain([place.name.to_string()]).map(move |name| (name, *id, place))
    })
}

/// What speaks against plants, some of them up, in each place where something does.
fn against_plants(board: &Board, harmed: &[PlaceId], are_up: bool) -> BTreeMap<String, &'static str> {
    let against = |spot: &str, id: PlaceId, place: &Place| match () {
        () if harmed.contains(&id) => Some(TOO_COLD),
        () if place.kind == PlaceKind::Fridge => Some(COLD_STORE),
        () if are_up && draws_shoots(board, spot) => Some(TOO_DARK),
        () => None,
    };
    spots(board).filter_map(|(spot, id, place)| Some((spot.clone(), against(&spot, id, place)?))).collect()
}

/// Why it is not the bench of last time that is offered.
fn why_not(last: &str, why: &str, first: &str) -> String {
    format!("{last} is {why}: {first} instead")
}

/// Says in a form for moving what it does to the space on both sides, and offers first where they go and are well.
pub fn with_room(form: &mut Form, board: &Board, preview: &MovePreview) {
    let name = |id: BenchId| {
        let bench = board.space.benches.iter().find(|bench| bench.bench == id);
        bench.map_or_else(String::new, |bench| format!("{}/{}", bench.place_name, bench.name))
    };
    for side in &preview.from {
        form.about.push_str(&format!("; leaves {} with {}", name(side.bench), both(board, side)));
    }
    let moved = form.of.iter().flat_map(|(_, parts)| parts.iter().filter_map(|id| board.state.parts.get(id)));
    let moved: Vec<_> = moved.collect();
    let against = against_plants(board, &preview.harmed, moved.iter().any(|part| part.standing() > 0));
    let stand = |spot: &str| moved.iter().any(|part| bench_of(board, part).as_deref() == Some(spot));
    let last = board.last.stood_at.clone().filter(|last| !stand(last));
    let Some(Takes::OneOf { choices, .. }) = form.fields.first_mut().map(|field| &mut field.takes) else { return };
    let found = |shown: &str| preview.to.iter().find(|(side, _)| name(side.bench) == shown);
    for choice in choices.iter_mut() {
        if let Some(why) = against.get(&choice.shown) {
            choice.beside = (*why).to_owned();
            continue;
        }
        let Some((side, goes)) = found(&choice.shown) else { continue };
        choice.beside = match goes {
            Goes::All => {
                let trays = format!("{} -> {}", side.before.more, side.after.more);
                format!("fits: {trays} trays, {}", free(side))
            }
            Goes::Unmeasured => "never measured, so nobody can say".to_owned(),
            Goes::TooTall => "too tall for its roof within a week".to_owned(),
            Goes::Crowded => "no room unless others move".to_owned(),
            Goes::Never => "smaller than what is to go there".to_owned(),
        };
    }
    let called = |id: &ContainerId| board.state.containers.get(id)?.called.as_ref().map(ToString::to_string);
    let too_full: BTreeSet<String> = preview.too_full.iter().filter_map(called).collect();
    for choice in choices.iter_mut().filter(|choice| too_full.contains(&choice.shown)) {
        choice.beside = "carrier: no room for them".to_owned();
    }
    let leaves = |shown: &str| preview.from.iter().any(|side| name(side.bench) == shown);
    choices.sort_by_key(|choice| match found(&choice.shown) {
        _ if against.contains_key(&choice.shown) => 3,
        Some((_, Goes::All)) => 0,
        None if too_full.contains(&choice.shown) => 2,
        None if !leaves(&choice.shown) => 1,
        Some(_) => 2,
        None => 4,
    });
    let full = |last: &str| {
        let goes = found(last).map(|(_, goes)| *goes);
        matches!(goes, Some(Goes::Crowded)).then_some("full")
    };
    let first = choices.first().map(|choice| choice.shown.clone()).filter(|first| !against.contains_key(first));
    if let (Some(last), Some(first)) = (last, first)
        && last != first
        && let Some(why) = against.get(&last).copied().or_else(|| full(&last))
    {
        form.about.push_str(&format!("; {}", why_not(&last, why, &first)));
    }
}

impl Form {
    /// The same form with the room there is: the bench it offers first has room for what it sets down, and where the
    /// number needs more trays than one it offers as many. Nothing is offered by itself where tonight harms it.
    #[must_use]
    pub fn with_room_for(mut self, board: &Board, rooms: Vec<RoomFor>, harmed: &[PlaceId]) -> Self {
        let name = |id: BenchId| {
            let bench = board.space.benches.iter().find(|bench| bench.bench == id)?;
            Some(format!("{}/{}", bench.place_name, bench.name))
        };
        let called = |id: &ContainerId| Some(board.state.containers.get(id)?.called.as_ref()?.to_string());
        let goes = |room: &RoomFor| {
            let benches = room.goes.iter().filter_map(|(id, goes)| Some((name(*id)?, *goes)));
            benches.chain(room.carried.iter().filter_map(|(id, goes)| Some((called(id)?, *goes)))).collect()
        };
        let kind = |room: &RoomFor| Kind {
            name: room.name.to_string(),
            class: room.class,
            cells: room.cells,
            goes: goes(room),
        };
        let moves_on = self.fields.iter().any(|field| field.label == INTO);
        let comes_in = |place| {
            let tonight = board.cold.places.iter().find(|row| row.place == place).map(|row| row.verdict);
            tonight == Some(ColdVerdict::BringIn)
        };
        let against = if moves_on {
            against_plants(board, harmed, true)
        } else {
            // Seed is no plant that frost could harm; a place that is emptied for the night is none to begin it in.
            let cold = spots(board).filter(|(_, id, _)| comes_in(*id)).map(|(spot, ..)| (spot, TO_COME_IN));
            cold.chain(against_plants(board, &[], false)).collect()
        };
        let dark = spots(board).map(|(spot, ..)| spot).filter(|spot| draws_shoots(board, spot)).collect();
        let moved: Vec<PartId> = self.of.iter().flat_map(|(_, parts)| parts.iter().copied()).collect();
        let lives_at = cool_spot(board, &moved).filter(|_| moves_on);
        let out = spots(board).filter(|(.., place)| lives_at.is_some() && !place.kind.is_indoors());
        let cool = out.map(|(spot, ..)| spot).collect();
        let last = match moves_on {
            true => lives_at.or_else(|| board.last.moved_on.as_ref().map(|(_, at)| at.clone())),
            false => board.last.sown.as_ref().map(|(.., at)| at.clone()),
        };
        let at = self.fields.iter().find(|field| field.label == AT);
        let offered = |field: &Field| match &field.takes {
            Takes::OneOf { choices, .. } => choices.iter().map(|one| (one.shown.clone(), one.beside.clone())).collect(),
            _ => Vec::new(),
        };
        self.rooms = Rooms {
            kinds: rooms.iter().map(kind).collect(),
            benches: at.map(offered).unwrap_or_default(),
            against,
            dark,
            cool,
            last,
            about: self.about.clone(),
            first: self.container().and_then(Field::chosen).map(|choice| choice.shown.clone()),
            asked: at.map(|at| at.asked),
            one_to_a_cell: board.last.sown.as_ref().is_some_and(|(units, kind, _)| {
                let found = rooms.iter().find(|room| room.name == *kind);
                found.and_then(|room| room.cells).is_some_and(|cells| *units <= cells)
            }),
        };
        self.fit_now();
        self
    }

    fn container(&self) -> Option<&Field> {
        self.fields.iter().find(|field| field.label == INTO || field.label == IN)
    }

    /// Offers what fits the number and the container that stand in the form now, where nothing was chosen yet.
    pub(super) fn fit_now(&mut self) {
        if self.rooms.kinds.is_empty() {
            return;
        }
        let number = self.fields.iter().find(|field| field.label == PLANTS || field.label == NUMBER);
        let number = number.and_then(|field| field.input.value().trim().parse::<u32>().ok()).unwrap_or(1).max(1);
        let moves_on = self.fields.iter().any(|field| field.label == INTO);
        self.enough_trays(number, moves_on);
        let words = self.container().map(|field| {
            let typed = || field.input.value().trim().to_owned();
            field.chosen().map_or_else(typed, |choice| choice.shown.clone())
        });
        let words: Option<ContainerWords> = words.and_then(|words| words.parse().ok());
        let Some(words) = words else { return };
        let (rooms, found) = (&self.rooms, self.rooms.kinds.iter().find(|kind| words.name.same_as(&kind.name)));
        let needed = match found {
            Some(kind) if kind.class == ContainerClass::Pot && moves_on => words.times.unwrap_or(number),
            _ => words.times.unwrap_or(1),
        };
        let goes = |bench: &str| found?.goes.iter().find(|(name, _)| name == bench).map(|(_, goes)| *goes);
        let (offered, place_of) = (rooms.benches.first(), |bench: &str| bench.split('/').next().map(str::to_owned));
        let rank =
            |bench: &str| match (goes(bench).is_none_or(|goes| goes >= needed), rooms.against.contains_key(bench)) {
                (true, false) if offered.is_some_and(|(offered, _)| offered == bench) => 0,
                (true, false) if rooms.last.as_deref().is_some_and(|last| place_of(last) == place_of(bench)) => 1,
                (true, false) if rooms.cool.contains(bench) => 2,
                (true, false) if !rooms.dark.contains(bench) => 3,
                (true, false) => 4,
                (false, false) => 5,
                (true, true) => 6,
                (false, true) => 7,
            };
        let place = |bench: &str| rooms.benches.iter().position(|(name, _)| name == bench);
        let beside = |bench: &str| {
            let usual = || place(bench).map(|at| rooms.benches[at].1.clone()).unwrap_or_default();
            if let Some(why) = rooms.against.get(bench) {
                return (*why).to_owned();
            }
            match goes(bench) {
                Some(goes) if goes < needed && goes == 0 => format!("no room for a {} now", words.name),
                Some(goes) if goes < needed => format!("room for {goes} {} now, not {needed}", words.name),
                Some(goes) => format!("room for {goes} {}", words.name),
                // Trays of another kind say nothing of this one.
                None => usual().split(": ").next().unwrap_or_default().to_owned(),
            }
        };
        let full = |bench: &str| {
            let goes = goes(bench).filter(|goes| *goes < needed)?;
            Some(if goes == 0 { "full" } else { "too full" })
        };
        let (asked, last, before) = (rooms.asked, rooms.last.clone(), rooms.about.clone());
        let against_last = last.as_deref().and_then(|last| rooms.against.get(last).copied().or_else(|| full(last)));
        let Some(at) = self.fields.iter().position(|field| field.label == AT) else { return };
        let is_as_opened = self.fields[at].is_as_opened();
        let Takes::OneOf { choices, .. } = &mut self.fields[at].takes else { return };
        for choice in choices.iter_mut() {
            choice.beside = beside(&choice.shown);
        }
        if !is_as_opened {
            return;
        }
        choices.sort_by_key(|choice| (rank(&choice.shown), place(&choice.shown)));
        let first = choices.first().map(|choice| choice.shown.clone()).unwrap_or_default();
        let has_room = rank(&first) < 5;
        let is_elsewhere = last.as_deref().is_some_and(|last| place_of(last) != place_of(&first));
        let told = against_last.zip(last).filter(|(_, last)| has_room && *last != first);
        self.about = match &told {
            Some((why, last)) => format!("{before}; {}", why_not(last, why, &first)),
            None => before,
        };
        // Where nothing has room, or it is in another place than last time, the bench is not gone past unseen.
        if let Some(asked) = asked {
            let unseen = !has_room || told.is_some() && is_elsewhere;
            self.fields[at].asked = if unseen { Asked::Always } else { asked };
        }
    }

    /// As many trays of the kind that stood there first as the number needs.
    fn enough_trays(&mut self, number: u32, moves_on: bool) {
        let Some(first) = self.rooms.first.clone() else { return };
        let Ok(words) = first.parse::<ContainerWords>() else { return };
        let kind = self.rooms.kinds.iter().find(|kind| words.name.same_as(&kind.name));
        let cells = kind.filter(|kind| kind.class == ContainerClass::CellTray).and_then(|kind| kind.cells);
        let Some(cells) = cells.filter(|cells| *cells > 0 && (moves_on || self.rooms.one_to_a_cell)) else { return };
        let trays = number.div_ceil(cells);
        let shown = if trays > 1 { format!("{}x{trays}", words.name) } else { words.name.to_string() };
        let field = self.fields.iter_mut().find(|field| field.label == INTO || field.label == IN);
        let Some(field) = field.filter(|field| field.is_as_opened()) else { return };
        let option = if field.label == INTO { "--into" } else { "--in" };
        if let Takes::OneOf { choices, .. } = &mut field.takes
            && let Some(choice) = choices.first_mut()
        {
            choice.words = vec![format!("{option}={shown}")];
            choice.shown = shown;
        }
    }
}

/// `0.44 -> 0.35 m2 free, room for 5 -> 4 half trays`.
fn both(board: &Board, side: &MoveSide) -> String {
    let after = in_trays(side.after.more, "", &board.tray);
    format!("{} free, room for {} -> {after}", free(side), side.before.more)
}

fn free(side: &MoveSide) -> String {
    let before = side.before.free.to_string();
    format!("{} -> {}", before.trim_end_matches(" m2"), side.after.free)
}
