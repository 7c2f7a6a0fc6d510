//! Advice on histories small enough to work out by hand, made by the acts that a grower makes.

mod any_history;
mod batch;
mod blame;
mod compare;
mod crowded;
mod due;
mod germination;
mod in_hand;
mod moves;
mod one_action;
mod outlook;
mod packet;
mod pages;
mod planted;
mod presence;
mod ready;
mod rows;
mod space;
mod stragglers;
mod sure;
mod thermometer;
mod walk;

use std::sync::LazyLock;

use uuid::Uuid;

use crate::advice::{Outlooks, Record, outlooks};
use crate::journal::{
    Act, BenchSize, Entry, Growth, History, Light, Moving, MovingOn, NewLot, Observed, PlaceKind, Recount, Rest, Room,
    Seed, SeedOrigin, Sowing, Stand, State, Treatment, Vessel, admit, decide, fold, fold_until,
};
use crate::quantity::{
    ActId, BatchId, BatchLabel, BenchId, ContainerClass, ContainerId, CropName, Date, EntryId, Millilitres,
    Millimetres, Name, PartId, PlaceId, SownUnit,
};
use crate::trade::Trade;

/// The outlook for a state, from the sowings in it that are over.
fn foreseen(state: &State, on: Date) -> Outlooks {
    static TRADE: LazyLock<Trade> = LazyLock::new(trade);
    let record = Record::of(state, &TRADE, on);
    outlooks(state, &TRADE, &record, on)
}

/// A season of acts, one after another, each of which must be possible.
#[derive(Default)]
struct Season {
    entries: Vec<Entry>,
    acts: u128,
}

impl Season {
    fn history(&self) -> History {
        History::new(self.entries.clone())
    }

    /// The state after all of it.
    fn state(&self) -> State {
        fold(&self.history()).0
    }

    /// Does an act and gives its first entry.
    fn does(&mut self, on: &str, act: &Act) -> EntryId {
        self.tries(day(on), act).unwrap_or_else(|refusal| panic!("{act:?}: {refusal}"))
    }

    fn tries(&mut self, on: Date, act: &Act) -> Result<EntryId, crate::journal::Refusal> {
        let history = self.history();
        let facts = decide(&fold_until(&history, on).0, &self.state(), act)?;
        let first = i64::try_from(self.entries.len()).unwrap() + 1;
        let key = |sequence: usize| EntryId(first + i64::try_from(sequence).unwrap());
        let act = ActId(Uuid::from_u128(self.acts + 1));
        let entries: Vec<Entry> = facts
            .into_iter()
            .enumerate()
            .map(|(sequence, mut fact)| {
                fact.for_each_reference(&mut |id| {
                    if let Some(sequence) = id.provisional_sequence() {
                        *id = key(sequence);
                    }
                });
                Entry { id: key(sequence), act, sequence: u32::try_from(sequence).unwrap(), on, fact }
            })
            .collect();
        admit(&history, &entries)?;
        self.acts += 1;
        self.entries.extend(entries);
        Ok(key(0))
    }

    fn place(&mut self, called: &str, kind: PlaceKind) -> PlaceId {
        let act = Act::AddPlace { name: name(called), kind, heated_to: None, light: Light::Fair };
        PlaceId(self.does("2026-01-01", &act))
    }

    /// A bench called `bench` in a new place.
    fn bench(&mut self, place: &str, kind: PlaceKind, size: (u32, u32), headroom: Option<(u32, u32)>) -> BenchId {
        let place = self.place(place, kind);
        let size = BenchSize {
            length: Millimetres(size.0),
            width: Millimetres(size.1),
            headroom_back: headroom.map(|(back, _)| Millimetres(back)),
            headroom_front: headroom.map(|(_, front)| Millimetres(front)),
        };
        BenchId(self.does("2026-01-01", &Act::AddBench { place, name: name("bench"), size }))
    }

    fn sows(&mut self, on: &str, number: u32, crop: &str, units: u32, room: Room) {
        self.sows_unit(on, number, crop, SownUnit::Seed, units, room);
    }

    fn sows_unit(&mut self, on: &str, number: u32, crop: &str, unit: SownUnit, units: u32, room: Room) {
        let sowing = Sowing {
            label: BatchLabel { year: 2026, number, twin: None },
            seed: seed(crop),
            unit,
            units,
            per_cell: None,
            treatment: Treatment::None,
            depth: None,
            room,
        };
        self.does(on, &Act::Sow(sowing));
    }

    fn counts(&mut self, on: &str, part: &str, up: u32) {
        let part = self.part(part);
        self.does(on, &Act::Count { part, observed: Observed { up: Some(up), ..NOTHING } });
    }

    fn notes(&mut self, on: &str, part: &str, growth: Growth) {
        let part = self.part(part);
        self.does(on, &Act::Stage { part, growth });
    }

    fn moves_on(&mut self, on: &str, part: &str, plants: u32, room: Room) {
        let part = self.part(part);
        let moving =
            MovingOn { part, plants, room, per_cell: None, recount: Recount::No, doubles: false, rest: Rest::Keep };
        self.does(on, &Act::MoveOn(moving));
    }

    fn moves(&mut self, on: &str, part: &str, to: Stand) {
        let container = self.container(part);
        self.does(on, &Act::Move { moving: vec![Moving::Whole(container)], to, spot: None });
    }

    fn clears(&mut self, on: &str, part: &str, rest: Rest) {
        let parts = vec![self.part(part)];
        self.does(on, &Act::Clear { parts, rest });
    }

    fn part(&self, label: &str) -> PartId {
        let state = self.state();
        let found = state.parts.iter().find(|(_, part)| state.part_label(part).to_string() == label);
        *found.unwrap_or_else(|| panic!("no part {label}")).0
    }

    fn container(&self, label: &str) -> ContainerId {
        self.state().parts[&self.part(label)].container
    }

    fn batch(&self, number: u32) -> BatchId {
        let state = self.state();
        *state.batches.iter().find(|(_, batch)| batch.label.number == number).unwrap().0
    }
}

const NOTHING: Observed = Observed { up: None, standing: None, gaps: None, doubles: false, ticks: None };
const SEEN: Growth = Growth { leaves: None, height: None, leggy: false, roots: false };

fn day(text: &str) -> Date {
    text.parse().unwrap()
}

fn name(text: &str) -> Name {
    Name::new(text).unwrap()
}

fn trade() -> Trade {
    Trade::built_in().unwrap()
}

fn seed(crop: &str) -> Seed {
    Seed::New(NewLot {
        crop: CropName::new(crop).unwrap(),
        variety: name("First"),
        packed: None,
        stated: None,
        seeds: None,
        origin: SeedOrigin::Packet,
    })
}

fn on(bench: BenchId, vessel: Vessel) -> Room {
    Room::New { vessel, count: 1, stand: Stand::Bench(bench), spot: None }
}

/// A container of this outer size in millimetres.
fn vessel(called: &str, class: ContainerClass, size: (u32, u32, u32)) -> Vessel {
    Vessel {
        name: name(called),
        class,
        length: Some(Millimetres(size.0)),
        width: Some(Millimetres(size.1)),
        height: Some(Millimetres(size.2)),
        cells: None,
        volume: None,
        pots: 1,
    }
}

/// A nominal seed tray of 380 x 240 x 50 mm.
fn tray() -> Vessel {
    vessel("seed-tray", ContainerClass::Tray, (380, 240, 50))
}

/// A cell tray of 540 x 280 x 57 mm.
fn cells(cells: u32, millilitres: u32) -> Vessel {
    let tray = vessel("cell-tray", ContainerClass::CellTray, (540, 280, 57));
    Vessel { cells: Some(cells), volume: Some(Millilitres(millilitres)), ..tray }
}

/// A set of round pots of this width, 85 mm high.
fn pots(pots: u32, width: u32) -> Vessel {
    Vessel { pots, ..vessel("pot", ContainerClass::Pot, (width, width, 85)) }
}
