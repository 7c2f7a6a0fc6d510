//! Years of invented journal, fast: the acts are decided, admitted and appended as the desk does it, many to a
//! transaction and unsynced. Untidy as a real log is: shared trays, backdating, recounts, undone acts, batches forgotten.

pub(crate) mod steps;

use std::path::Path;

use chrono::Days;
use thumbpot::journal::{
    Act, BenchSize, Cause, Entry, Fact, History, Light, Measured, MovingOn, NewLot, Observed, PlaceKind, Recount, Rest,
    Room, Seed, SeedOrigin, Sowing, Stand, State, Topic, Treatment, Vessel, admit, decide, fold, fold_until,
};
use thumbpot::quantity::{
    BatchLabel, BenchId, Celsius, ContainerClass, ContainerId, CropName, Date, DeviceId, EntryId, LotId, Millimetres,
    Name, PartId, PlaceId, Remark, SownUnit,
};
use thumbpot::store::{Books, Durability, Journal, Recorded, Ruling, StoreError};

/// Batches of one season, past or live.
pub(crate) const A_SEASON: u32 = 600;
const LOTS_A_SEASON: usize = 40;
const GROUPS_A_TRANSACTION: u32 = 400;
const CROPS: [&str; 10] =
    ["lettuce", "tomato", "beetroot", "leek", "cabbage", "kale", "chard", "pea", "celery", "onion"];

/// The day to look at a journal made here: in the middle of its live season.
pub(crate) fn today() -> Date {
    date(2025, 4, 20)
}

fn date(year: i32, month: u32, day: u32) -> Date {
    Date::from_ymd_opt(year, month, day).unwrap_or(Date::MIN)
}

/// Makes a journal of one live season among so many seasons past; tells how many entries it has.
///
/// A year lies between, so that the temperatures of the last 400 days are those of the live season in every journal.
pub(crate) fn generate(path: &Path, past: u32) -> i64 {
    let device = DeviceId(uuid::Uuid::from_u128(0x1111_1111_1111_4111_8111_1111_1111_1111));
    let mut journal = Journal::open(path, device, Durability::Unsynced).unwrap();
    let mut gardener = Gardener::default();
    journal.write(|books| gardener.prepare(books)).unwrap();
    let first = 2024 - i32::try_from(past).unwrap();
    for year in first..2024 {
        gardener.season(&mut journal, year, true);
    }
    gardener.season(&mut journal, 2025, false);
    gardener.next - 1
}

#[derive(Default)]
struct Gardener {
    ground: Vec<Entry>,
    lots: Vec<Entry>,
    benches: Vec<BenchId>,
    places: Vec<PlaceId>,
    /// The key of the next entry.
    next: i64,
    millis: u64,
}

fn name(text: &str) -> Name {
    Name::new(text).unwrap()
}

fn vessel(called: &str, class: ContainerClass, cells: Option<u32>, pots: u32) -> Vessel {
    let size = Some(Millimetres(100));
    Vessel { name: name(called), class, length: size, width: size, height: None, cells, volume: None, pots }
}

const fn up(number: u32) -> Observed {
    Observed { up: Some(number), standing: None, gaps: None, doubles: false, ticks: None }
}

impl Gardener {
    fn recorded(&mut self) -> Recorded {
        self.millis += 1_000;
        Recorded { millis: self.millis, text: "2025-04-20T08:00:00.000Z".to_owned() }
    }

    /// Decides, admits and appends one act.
    fn does(&mut self, books: &Books<'_>, history: &mut History, on: Date, verb: &str, act: &Act) -> Vec<Entry> {
        let (latest, _) = fold(history);
        let is_late = history.entries().last().is_some_and(|last| last.on > on);
        let facts = if is_late {
            decide(&fold_until(history, on).0, &latest, act).unwrap()
        } else {
            decide(&latest, &latest, act).unwrap()
        };
        let recorded = self.recorded();
        let id = books.mint(&recorded).unwrap();
        let key = |sequence: usize| EntryId(self.next + i64::try_from(sequence).unwrap());
        let entries: Vec<Entry> = facts
            .into_iter()
            .enumerate()
            .map(|(sequence, mut fact)| {
                fact.for_each_reference(&mut |id| *id = id.provisional_sequence().map_or(*id, key));
                Entry { id: key(sequence), act: id, sequence: u32::try_from(sequence).unwrap(), on, fact }
            })
            .collect();
        admit(history, &entries).unwrap();
        books.append(id, verb, on, &recorded, &entries).unwrap();
        self.next += i64::try_from(entries.len()).unwrap();
        *history = history.with(&entries);
        entries
    }

    fn prepare(&mut self, books: &Books<'_>) -> Result<(), StoreError> {
        self.next = 1;
        self.millis = 1_000_000_000_000;
        let mut history = History::default();
        let on = date(1820, 1, 1);
        let kinds = [PlaceKind::Propagator, PlaceKind::Windowsill, PlaceKind::ColdFrame];
        for (kind, called) in kinds.into_iter().zip(["propagator", "sill", "frame"]) {
            let act = Act::AddPlace { name: name(called), kind, heated_to: None, light: Light::Fair };
            let place = PlaceId(self.does(books, &mut history, on, "place add", &act)[0].id);
            let size = BenchSize {
                length: Millimetres(40_000),
                width: Millimetres(2_000),
                headroom_back: None,
                headroom_front: None,
            };
            let act = Act::AddBench { place, name: name("bench"), size };
            let bench = self.does(books, &mut history, on, "bench add", &act)[0].id;
            self.benches.push(BenchId(bench));
            self.places.push(place);
        }
        self.ground = history.entries().to_vec();
        Ok(())
    }

    fn season(&mut self, journal: &mut Journal, year: i32, is_past: bool) {
        let buying = |books: &Books<'_>| -> Result<(), StoreError> {
            self.buy_seed(books, year);
            Ok(())
        };
        journal.write(buying).unwrap();
        let mut number = 0;
        while number < A_SEASON {
            let until = (number + GROUPS_A_TRANSACTION).min(A_SEASON);
            let work = |books: &Books<'_>| -> Result<(), StoreError> {
                while number < until {
                    // Every eighth tray is shared by two batches.
                    let batches = if number.is_multiple_of(8) { 2 } else { 1 };
                    self.raise(books, year, number, batches, is_past)?;
                    number += batches;
                }
                Ok(())
            };
            journal.write(work).unwrap();
        }
    }

    fn buy_seed(&mut self, books: &Books<'_>, year: i32) {
        self.lots.clear();
        let mut history = History::default();
        for index in 0..LOTS_A_SEASON {
            let lot = NewLot {
                crop: CropName::new(CROPS[index % CROPS.len()]).unwrap(),
                variety: name(&format!("Kind {}", index / CROPS.len())),
                packed: Some(year - 1),
                stated: None,
                seeds: Some(1_000),
                origin: SeedOrigin::Packet,
            };
            let noted = self.does(books, &mut history, date(year, 1, 10), "lot add", &Act::AddLot(lot));
            self.lots.extend(noted);
        }
    }

    /// Raises the batches of one tray from sowing to potting on, and to planting out if their season is past.
    fn raise(
        &mut self,
        books: &Books<'_>,
        year: i32,
        number: u32,
        batches: u32,
        is_past: bool,
    ) -> Result<(), StoreError> {
        let mut history = History::new(self.ground.clone());
        let sown = date(year, 2, 1) + Days::new(u64::from(number / 12));
        let after = |days: u64| sown + Days::new(days);
        let stand = |bench: usize, benches: &[BenchId]| Stand::Bench(benches[bench]);
        let mut tray = None;
        for number in number..number + batches {
            let lot = self.lots[number as usize % self.lots.len()].clone();
            history = history.with(std::slice::from_ref(&lot));
            let vessel = vessel("24-cell", ContainerClass::CellTray, Some(24), 1);
            let new = Room::New { vessel, count: 1, stand: stand(0, &self.benches), spot: None };
            let sowing = Sowing {
                label: BatchLabel { year, number: number + 1, twin: None },
                seed: Seed::Lot(LotId(lot.id)),
                unit: SownUnit::Seed,
                units: 12,
                per_cell: None,
                treatment: Treatment::None,
                depth: None,
                room: tray.map_or(new, Room::Shared),
            };
            let entries = self.does(books, &mut history, sown, "sow", &Act::Sow(sowing));
            let (part, container) = filled(&entries);
            tray = Some(container);
            self.watch(books, &mut history, part, container, after(0), number)?;
            let vessel = vessel_of_pots();
            let room = Room::New { vessel, count: 1, stand: stand(1, &self.benches), spot: None };
            let (recount, rest) = (if number.is_multiple_of(5) { Recount::Yes } else { Recount::No }, Rest::Keep);
            let act = Act::MoveOn(MovingOn { part, plants: 9, room, per_cell: None, recount, doubles: false, rest });
            let entries = self.does(books, &mut history, after(24), "pot-on", &act);
            let (potted, _) = filled(&entries);
            let act = Act::Lose { part: potted, plants: 1, cause: Cause::Slugs, remark: None };
            self.does(books, &mut history, after(28), "lose", &act);
            let standing = Observed { up: None, standing: Some(8), gaps: None, doubles: false, ticks: None };
            self.does(books, &mut history, after(29), "count", &Act::Count { part: potted, observed: standing });
            // Here and there one is forgotten, and live for ever; no more in long journals than in short ones.
            if is_past {
                let bed = Some(Remark::new("long bed").unwrap());
                let act = Act::PlantOut { part: potted, plants: 8, bed, recount: Recount::No };
                self.does(books, &mut history, after(60), "plant-out", &act);
                let act = Act::Clear { parts: vec![part, potted], rest: Rest::Discard };
                self.does(books, &mut history, after(60), "clear", &act);
            }
        }
        let (state, _): (State, _) = fold(&history);
        books.rewrite_derived(&state)
    }

    /// Counts, growth, a move, a remark and the weather of three weeks.
    fn watch(
        &mut self,
        books: &Books<'_>,
        history: &mut History,
        part: PartId,
        container: ContainerId,
        sown: Date,
        number: u32,
    ) -> Result<(), StoreError> {
        let after = |days: u64| sown + Days::new(days);
        for (days, seen) in [(6, 3), (9, 7), (15, 10), (12, 8)] {
            self.does(books, history, after(days), "count", &Act::Count { part, observed: up(seen) });
        }
        if number.is_multiple_of(7) {
            let wrong = self.does(books, history, after(16), "count", &Act::Count { part, observed: up(11) })[0].act;
            let record = books.acts_with(&[wrong])?.remove(0);
            let recorded = self.recorded();
            let undo = books.mint(&recorded)?;
            books.rule(undo, after(16), &recorded, &[(record.row, wrong)], Ruling::Undone)?;
            *history = history.without(&[wrong]);
        }
        let to = Stand::Bench(self.benches[2]);
        let (state, _) = fold(history);
        if state.containers[&container].stand != to {
            let moving = vec![thumbpot::journal::Moving::Whole(container)];
            self.does(books, history, after(16), "move", &Act::Move { moving, to, spot: None });
        }
        let topic = Topic::Batch(state.parts[&part].batch);
        let remark = Remark::new("sturdy").unwrap();
        self.does(books, history, after(17), "note", &Act::Note { topic, remark });
        let mut weather = History::new(self.ground.clone());
        for days in 0..6 {
            let measured = vec![Measured::Minimum(Celsius(1.5)), Measured::Maximum(Celsius(12.0))];
            let act = Act::Read { place: self.places[number as usize % 3], measured };
            self.does(books, &mut weather, after(days), "reading", &act);
        }
        Ok(())
    }
}

/// The part an act filled, and what with.
fn filled(entries: &[Entry]) -> (PartId, ContainerId) {
    let filled = |entry: &Entry| match entry.fact {
        Fact::Filled { container, .. } => Some((PartId(entry.id), container)),
        _ => None,
    };
    entries.iter().find_map(filled).unwrap()
}

fn vessel_of_pots() -> Vessel {
    vessel("9cm-pot", ContainerClass::Pot, None, 9)
}
