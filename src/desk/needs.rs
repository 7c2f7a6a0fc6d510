//! What a request is about: the batches, carriers and benches that must be read to decide on it.

use crate::grammar::{BatchRef, MovingWords, Others, PlaceWords, Request, RoomWords, SwapRef, Thing, TopicRef};
use crate::quantity::{BatchId, ContainerId, Name};
use crate::store::Books;

use super::error::DeskError;
use super::lookup::{find_batch, unknown_batch};

/// The batches and containers a request is about: what must be read to decide on it.
#[derive(Debug, Default)]
pub(super) struct Needs {
    pub(super) batches: Vec<BatchId>,
    pub(super) containers: Vec<ContainerId>,
    pub(super) everything_live: bool,
    /// What else has to be known beside.
    pub(super) beside: Beside,
    found: Vec<(BatchRef, BatchId)>,
    carriers: Vec<(ContainerId, String)>,
}

/// What has to be known beside what a request is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Beside {
    #[default]
    Nothing,
    /// What else stood on the benches that day.
    Standing,
    /// What was emptied lately, too.
    Emptied,
    /// All that is live, with the weather: what speaks against planting out.
    Weather,
}

impl Needs {
    /// Finds the batches and carriers a request names.
    pub(super) fn of(books: &Books<'_>, request: &Request) -> Result<Self, DeskError> {
        if let Request::FromCells { taking, .. } | Request::AllOf { taking, .. } | Request::Sure(taking) = request {
            return Self::of(books, taking);
        }
        let mut needs = Self { carriers: books.carriers()?, ..Self::default() };
        for reference in batch_refs(request) {
            let id = find_batch(books, reference)?;
            needs.batches.push(id);
            needs.found.push((reference, id));
        }
        for (id, name) in needs.carriers.clone() {
            if carrier_names(request).iter().any(|wanted| wanted.same_as(&name)) {
                needs.containers.push(id);
            }
        }
        needs.everything_live = match request {
            Request::PutOut { things, .. } | Request::BringIn { things } => things.is_empty(),
            Request::MoveAll { .. } | Request::Repack { .. } => true,
            Request::Place(words) => words.others == Others::AsDrawn,
            // Who changes over on one bench leaves the others where they are drawn.
            Request::Swap { .. } => true,
            _ => false,
        };
        let benches = match request {
            Request::Move { .. } | Request::Place(_) | Request::PlaceAnywhere(_) => true,
            Request::PutOut { .. } | Request::ResizeBench { .. } => true,
            // Plants may have outgrown the roof.
            Request::Stage { growth, .. } => growth.height.is_some(),
            Request::Sow(_) | Request::Receive { .. } | Request::MoveOn(_) => true,
            Request::FreePots { .. } | Request::Measure { .. } => true,
            _ => needs.everything_live,
        };
        needs.beside = match request {
            Request::Wash { .. } => Beside::Emptied,
            Request::PlantOut { .. } => Beside::Weather,
            _ if benches => Beside::Standing,
            _ => Beside::Nothing,
        };
        Ok(needs)
    }

    pub(super) fn batch(&self, reference: BatchRef) -> Result<BatchId, DeskError> {
        let found = self.found.iter().find(|(known, _)| *known == reference).map(|(_, id)| *id);
        found.ok_or_else(|| unknown_batch(reference))
    }

    pub(super) fn carrier(&self, name: &Name) -> Option<ContainerId> {
        self.carriers.iter().find(|(_, called)| name.same_as(called)).map(|(id, _)| *id)
    }
}

/// Every batch a request names.
fn batch_refs(request: &Request) -> Vec<BatchRef> {
    let of_things = |things: &[Thing]| {
        things.iter().filter_map(|thing| if let Thing::Part(part) = thing { Some(part.batch) } else { None }).collect()
    };
    let of_room = |room: &RoomWords| if let RoomWords::Shared(part) = room { vec![part.batch] } else { Vec::new() };
    match request {
        Request::AddPlace { .. }
        | Request::AddBench { .. }
        | Request::ResizeBench { .. }
        | Request::SetCarrier { .. }
        | Request::AddLot(_)
        | Request::PutAway { .. }
        | Request::MoveAll { .. }
        | Request::Repack { .. }
        | Request::Measure { .. }
        | Request::Own { .. }
        | Request::Wash { .. }
        | Request::Read { .. }
        | Request::Forecast { .. }
        | Request::Cover { .. } => Vec::new(),
        Request::Receive { room, .. } => of_room(room),
        Request::Sow(sowing) => of_room(&sowing.room),
        Request::MoveOn(moving) => [vec![moving.part.batch], of_room(&moving.room)].concat(),
        Request::Move { moving, .. } => match moving {
            MovingWords::Whole(things) => of_things(things),
            MovingWords::Some { part, .. } => vec![part.batch],
        },
        Request::PutOut { things, .. } | Request::BringIn { things } => of_things(things),
        Request::Place(PlaceWords { thing, .. }) | Request::PlaceAnywhere(thing) => {
            of_things(std::slice::from_ref(thing))
        }
        Request::Swap { one, other } => {
            let part = |side: &SwapRef| if let SwapRef::Part(part) = side { Some(part.batch) } else { None };
            [one, other].into_iter().filter_map(part).collect()
        }
        Request::Count { part, .. }
        | Request::Stage { part, .. }
        | Request::Lose { part, .. }
        | Request::Thin { part, .. }
        | Request::Discard { part, .. }
        | Request::GiveAway { part, .. }
        | Request::FreePots { part, .. }
        | Request::PlantOut { part, .. } => vec![part.batch],
        Request::FromCells { taking, .. } | Request::AllOf { taking, .. } | Request::Sure(taking) => batch_refs(taking),
        Request::Clear { parts, .. } => parts.iter().map(|part| part.batch).collect(),
        Request::Identify { batch, .. } | Request::Relabel { batch, .. } => vec![*batch],
        Request::Note { topic, .. } => {
            if let TopicRef::Batch(batch) = topic {
                vec![*batch]
            } else {
                Vec::new()
            }
        }
    }
}

/// Every name in a request that may be a carrier's.
fn carrier_names(request: &Request) -> Vec<&Name> {
    fn of_things(things: &[Thing]) -> Vec<&Name> {
        things.iter().filter_map(|thing| if let Thing::Carrier(name) = thing { Some(name) } else { None }).collect()
    }
    fn of_room(room: &RoomWords) -> Vec<&Name> {
        if let RoomWords::New { at, .. } = room { vec![&at.place] } else { Vec::new() }
    }
    match request {
        Request::Sow(sowing) => of_room(&sowing.room),
        Request::Receive { room, .. } => of_room(room),
        Request::MoveOn(moving) => of_room(&moving.room),
        Request::Move { moving, to } => {
            let mut names = if let MovingWords::Whole(things) = moving { of_things(things) } else { Vec::new() };
            names.push(&to.place);
            names
        }
        Request::PutOut { things, .. } | Request::BringIn { things } => of_things(things),
        Request::PutAway { called } => vec![called],
        Request::PlaceAnywhere(thing) => of_things(std::slice::from_ref(thing)),
        Request::Place(words) => {
            let names = of_things(std::slice::from_ref(&words.thing));
            names.into_iter().chain(words.bench.as_ref().map(|spot| &spot.place)).collect()
        }
        Request::Swap { one, other } => {
            let sides = [one, other].into_iter();
            sides.filter_map(|side| if let SwapRef::Spot(spot) = side { Some(&spot.place) } else { None }).collect()
        }
        Request::MoveAll { to, .. } => vec![&to.place],
        _ => Vec::new(),
    }
}
