//! A log in memory: what a store does, without the storing.

use std::collections::BTreeSet;

use thumbpot::journal::{
    Act, BenchSize, Entry, Fact, History, Light, NewLot, Observed, Part, PlaceKind, Refusal, Room, Seed, SeedOrigin,
    Sowing, Stand, State, Tally, Treatment, Vessel, admit, decide, dependents, fold, fold_until,
};
use thumbpot::quantity::{
    ActId, BatchId, BatchLabel, BenchId, ContainerClass, ContainerId, CropName, Date, EntryId, Millimetres, Name,
    PartId, PlaceId, SownUnit,
};
use uuid::Uuid;

/// Acts and entries as written, and the acts that are undone.
#[derive(Clone, Default)]
pub(crate) struct Log {
    pub(crate) written: Vec<Entry>,
    pub(crate) undone: BTreeSet<ActId>,
    acts: u128,
}

impl Log {
    pub(crate) fn history(&self) -> History {
        History::new(self.written.iter().filter(|entry| !self.undone.contains(&entry.act)).cloned().collect())
    }

    /// The state after all that is in force; there must be nothing wrong with it.
    pub(crate) fn state(&self) -> State {
        let (state, contradictions) = fold(&self.history());
        assert_eq!(contradictions, [], "an accepted history contradicts itself");
        state
    }

    pub(crate) fn state_on(&self, day: Date) -> State {
        let (state, contradictions) = fold_until(&self.history(), day);
        assert_eq!(contradictions, [], "an accepted history contradicts itself by {day}");
        state
    }

    pub(crate) fn acts_in_force(&self) -> Vec<ActId> {
        let acts: BTreeSet<ActId> = self.written.iter().map(|entry| entry.act).collect();
        acts.difference(&self.undone).copied().collect()
    }

    pub(crate) fn entries_of(&self, act: ActId) -> Vec<Entry> {
        self.written.iter().filter(|entry| entry.act == act).cloned().collect()
    }

    pub(crate) fn perform(&mut self, on: Date, act: &Act) -> Result<ActId, Refusal> {
        let facts = decide(&self.state_on(on), &self.state(), act)?;
        let id = ActId(Uuid::from_u128(self.acts + 1));
        let first = self.written.len();
        let key = |sequence: usize| EntryId(i64::try_from(first + sequence).unwrap() + 1);
        let entries: Vec<Entry> = facts
            .into_iter()
            .enumerate()
            .map(|(sequence, mut fact)| {
                fact.for_each_reference(&mut |id| {
                    if let Some(sequence) = id.provisional_sequence() {
                        *id = key(sequence);
                    }
                });
                Entry { id: key(sequence), act: id, sequence: u32::try_from(sequence).unwrap(), on, fact }
            })
            .collect();
        admit(&self.history(), &entries)?;
        self.acts += 1;
        self.written.extend(entries);
        Ok(id)
    }

    /// Undoes an act, or lists the acts that depend on it.
    pub(crate) fn undo(&mut self, act: ActId) -> Result<(), Vec<ActId>> {
        let dependents = dependents(&self.history(), &[act]);
        if !dependents.is_empty() {
            return Err(dependents);
        }
        self.undone.insert(act);
        Ok(())
    }

    pub(crate) fn redo(&mut self, act: ActId) -> Result<(), Refusal> {
        admit(&self.history(), &self.entries_of(act))?;
        self.undone.remove(&act);
        Ok(())
    }
}

pub(crate) fn day(text: &str) -> Date {
    format!("2026-{text}").parse().unwrap()
}

pub(crate) fn name(text: &str) -> Name {
    Name::new(text).unwrap()
}

fn vessel(called: &str, class: ContainerClass, cells: Option<u32>, pots: u32) -> Vessel {
    let size = Some(Millimetres(100));
    Vessel { name: name(called), class, length: size, width: size, height: None, cells, volume: None, pots }
}

pub(crate) fn tray() -> Vessel {
    vessel("seed-tray", ContainerClass::Tray, None, 1)
}

pub(crate) fn cells(cells: u32) -> Vessel {
    vessel("cell-tray", ContainerClass::CellTray, Some(cells), 1)
}

pub(crate) fn pots(pots: u32) -> Vessel {
    vessel("9cm-pot", ContainerClass::Pot, None, pots)
}

pub(crate) fn paper() -> Vessel {
    vessel("paper", ContainerClass::Paper, None, 1)
}

pub(crate) fn crate_tray() -> Vessel {
    vessel("crate", ContainerClass::Carrier, Some(18), 1)
}

pub(crate) fn seed(crop: &str) -> Seed {
    Seed::New(NewLot {
        crop: CropName::new(crop).unwrap(),
        variety: name("First"),
        packed: None,
        stated: None,
        seeds: None,
        origin: SeedOrigin::Packet,
    })
}

pub(crate) fn sowing(number: u32, unit: SownUnit, units: u32, per_cell: Option<u32>, room: Room) -> Sowing {
    Sowing {
        label: BatchLabel { year: 2026, number, twin: None },
        seed: seed("lettuce"),
        unit,
        units,
        per_cell,
        treatment: Treatment::None,
        depth: None,
        room,
    }
}

pub(crate) const NOTHING_SEEN: Observed =
    Observed { up: None, standing: None, gaps: None, doubles: false, ticks: None };

pub(crate) fn up(number: u32) -> Observed {
    Observed { up: Some(number), ..NOTHING_SEEN }
}

pub(crate) fn standing(number: u32) -> Observed {
    Observed { standing: Some(number), ..NOTHING_SEEN }
}

pub(crate) fn gaps(number: u32) -> Observed {
    Observed { gaps: Some(number), ..NOTHING_SEEN }
}

/// A log with a sill indoors and a frame, each with one bench, and what scenarios ask of it.
#[derive(Clone)]
pub(crate) struct Garden {
    pub(crate) log: Log,
    pub(crate) sill: BenchId,
    pub(crate) frame: BenchId,
    pub(crate) frame_place: PlaceId,
}

impl Garden {
    pub(crate) fn new() -> Self {
        let mut log = Log::default();
        let mut bench = |place: &str, kind: PlaceKind| {
            let act = Act::AddPlace { name: name(place), kind, heated_to: None, light: Light::Fair };
            log.perform(day("03-01"), &act).unwrap();
            let place = PlaceId(EntryId(i64::try_from(log.written.len()).unwrap()));
            let size = BenchSize {
                length: Millimetres(2000),
                width: Millimetres(600),
                headroom_back: None,
                headroom_front: None,
            };
            log.perform(day("03-01"), &Act::AddBench { place, name: name("bench"), size }).unwrap();
            (place, BenchId(EntryId(i64::try_from(log.written.len()).unwrap())))
        };
        let (_, sill) = bench("sill", PlaceKind::Windowsill);
        let (frame_place, frame) = bench("frame", PlaceKind::ColdFrame);
        Self { log, sill, frame, frame_place }
    }

    pub(crate) fn on_sill(&self, vessel: Vessel, count: u32) -> Room {
        Room::New { vessel, count, stand: Stand::Bench(self.sill), spot: None }
    }

    /// Does what must be possible.
    pub(crate) fn does(&mut self, on: &str, act: Act) -> ActId {
        self.log.perform(day(on), &act).unwrap_or_else(|refusal| panic!("{act:?}: {refusal}"))
    }

    /// Tries what must be refused, and says with which words.
    pub(crate) fn refused(&mut self, on: &str, act: Act) -> String {
        let before = self.log.written.clone();
        let words = self.log.perform(day(on), &act).expect_err("this cannot be true").to_string();
        assert_eq!(before, self.log.written);
        words
    }

    pub(crate) fn sows(&mut self, on: &str, number: u32, unit: SownUnit, units: u32, room: Room) -> ActId {
        self.does(on, Act::Sow(sowing(number, unit, units, None, room)))
    }

    pub(crate) fn batch(&self, number: u32) -> BatchId {
        let state = self.log.state();
        *state.batches.iter().find(|(_, batch)| batch.label.number == number).unwrap().0
    }

    pub(crate) fn part(&self, label: &str) -> PartId {
        let state = self.log.state();
        let mut found = state.parts.iter().filter(|(_, part)| state.part_label(part).to_string() == label);
        let part = *found.next().unwrap_or_else(|| panic!("no part {label}")).0;
        assert!(found.next().is_none(), "two parts are called {label}");
        part
    }

    pub(crate) fn look(&self, label: &str) -> Part {
        self.log.state().parts[&self.part(label)].clone()
    }

    pub(crate) fn container(&self, label: &str) -> ContainerId {
        self.look(label).container
    }

    pub(crate) fn stands(&self, label: &str) -> u32 {
        self.look(label).standing()
    }

    pub(crate) fn tally(&self, number: u32) -> Tally {
        let state = self.log.state();
        let tally = state.tally(&state.batches[&self.batch(number)]);
        assert!(tally.balances(), "{tally:?}");
        tally
    }

    pub(crate) fn letters(&self, number: u32) -> String {
        let state = self.log.state();
        let batch = &state.batches[&self.batch(number)];
        state.parts_of(batch).map(|(_, part)| part.letter.to_string()).collect()
    }

    pub(crate) fn counts(&mut self, on: &str, label: &str, observed: Observed) -> ActId {
        let part = self.part(label);
        self.does(on, Act::Count { part, observed })
    }

    pub(crate) fn written_last(&self) -> Vec<Fact> {
        let last = self.log.written.last().unwrap().act;
        self.log.entries_of(last).into_iter().map(|entry| entry.fact).collect()
    }
}
