//! Where containers may be moved to, or new ones stood: the benches on which they go first, each with what it does to
//! its space.

use std::collections::BTreeSet;

use crate::advice::{ColdVerdict, Goes, MovePreview, MoveSide, RoomFor, in_trays};
use crate::desk::Board;
use crate::grammar::ContainerWords;
use crate::journal::PlaceKind;
use crate::quantity::{BenchId, ContainerClass};

use super::field::{Asked, Field, Takes};
use super::{AT, Form, IN, INTO, NUMBER, PLANTS};

/// The room on the benches for what a form sets down.
#[derive(Clone, Debug, Default)]
pub struct Rooms {
    /// For each kind of container.
    kinds: Vec<Kind>,
    /// The benches in the order they are offered when all have room, with what stands beside each.
    benches: Vec<(String, String)>,
    /// Benches that are offered by themselves only when they were used last: too cold tonight, too warm and dark.
    unfit: BTreeSet<String>,
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
    /// How many go, by bench.
    goes: Vec<(String, u32)>,
}

/// Says in a form for moving what it does to the space on both sides, and offers first where they go.
pub fn with_room(form: &mut Form, board: &Board, preview: &MovePreview) {
    let name = |id: BenchId| {
        let bench = board.space.benches.iter().find(|bench| bench.bench == id);
        bench.map_or_else(String::new, |bench| format!("{}/{}", bench.place_name, bench.name))
    };
    for side in &preview.from {
        form.about.push_str(&format!("; leaves {} with {}", name(side.bench), both(board, side)));
    }
    let Some(Takes::OneOf { choices, .. }) = form.fields.first_mut().map(|field| &mut field.takes) else { return };
    let found = |shown: &str| preview.to.iter().find(|(side, _)| name(side.bench) == shown);
    for choice in choices.iter_mut() {
        let Some((side, goes)) = found(&choice.shown) else { continue };
        choice.beside = match goes {
            Goes::All => {
                let trays = format!("{} -> {}", side.before.more, side.after.more);
                format!("fits: {trays} trays, {}", free(side))
            }
            Goes::Unmeasured => "never measured, so nobody can say".to_owned(),
            Goes::TooTall => "too tall for its roof within a week".to_owned(),
            Goes::Crowded => "no room unless others move".to_owned(),
        };
    }
    let leaves = |shown: &str| preview.from.iter().any(|side| name(side.bench) == shown);
    choices.sort_by_key(|choice| match found(&choice.shown) {
        Some((_, Goes::All)) => 0,
        None if !leaves(&choice.shown) => 1,
        Some(_) => 2,
        None => 3,
    });
}

impl Form {
    /// The same form with the room there is: the bench it offers first has room for what it sets down, and where the
    /// number needs more trays than one it offers as many.
    #[must_use]
    pub fn with_room_for(mut self, board: &Board, rooms: Vec<RoomFor>) -> Self {
        let name = |id: BenchId| {
            let bench = board.space.benches.iter().find(|bench| bench.bench == id)?;
            Some(format!("{}/{}", bench.place_name, bench.name))
        };
        let goes = |room: &RoomFor| room.goes.iter().filter_map(|(id, goes)| Some((name(*id)?, *goes))).collect();
        let kind = |room: &RoomFor| Kind {
            name: room.name.to_string(),
            class: room.class,
            cells: room.cells,
            goes: goes(room),
        };
        let moves_on = self.fields.iter().any(|field| field.label == INTO);
        let too_cold = |place| {
            let tonight = board.cold.places.iter().find(|row| row.place == place).map(|row| row.verdict);
            matches!(tonight, Some(ColdVerdict::BringIn | ColdVerdict::CoverIt))
        };
        let is_unfit = |kind: PlaceKind| kind == PlaceKind::Fridge || moves_on && kind.draws_shoots();
        let unfit = board.space.benches.iter().filter(|bench| is_unfit(bench.kind) || too_cold(bench.place));
        let unfit = unfit.map(|bench| format!("{}/{}", bench.place_name, bench.name)).collect();
        let at = self.fields.iter().find(|field| field.label == AT);
        let offered = |field: &Field| match &field.takes {
            Takes::OneOf { choices, .. } => choices.iter().map(|one| (one.shown.clone(), one.beside.clone())).collect(),
            _ => Vec::new(),
        };
        self.rooms = Rooms {
            kinds: rooms.iter().map(kind).collect(),
            benches: at.map(offered).unwrap_or_default(),
            unfit,
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
        let last = rooms.benches.first().map(|(bench, _)| bench.clone());
        let rank = |bench: &str| match (goes(bench).is_none_or(|goes| goes >= needed), rooms.unfit.contains(bench)) {
            (true, _) if Some(bench) == last.as_deref() => 0,
            (true, false) => 1,
            (false, _) if Some(bench) == last.as_deref() => 2,
            (true, true) => 3,
            (false, _) => 4,
        };
        let place = |bench: &str| rooms.benches.iter().position(|(name, _)| name == bench);
        let beside = |bench: &str| {
            let usual = || place(bench).map(|at| rooms.benches[at].1.clone()).unwrap_or_default();
            match goes(bench) {
                Some(goes) if goes < needed && goes == 0 => format!("no room for a {} now", words.name),
                Some(goes) if goes < needed => format!("room for {goes} {} now, not {needed}", words.name),
                Some(goes) => format!("room for {goes} {}", words.name),
                None => usual(),
            }
        };
        let asked = rooms.asked;
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
        // Where nothing has room, the bench is not gone past unseen.
        let has_room = choices.first().is_some_and(|choice| rank(&choice.shown) < 2);
        if let Some(asked) = asked {
            self.fields[at].asked = if has_room { asked } else { Asked::Always };
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
