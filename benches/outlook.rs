//! How long the outlook takes for every live batch of a large season: 600 of them, each with 60 days of temperatures.

use std::hint::black_box;

use thumbpot::advice::{Record, due_in_full, germination, outlooks};
use thumbpot::journal::{
    Act, Entry, Light, Measured, NewLot, Observed, PlaceKind, Room, Seed, SeedOrigin, Sowing, Stand, State, Treatment,
    Vessel, decide,
};
use thumbpot::quantity::{
    ActId, BatchLabel, Celsius, ContainerClass, CropName, Date, EntryId, Name, PartId, PlaceId, Share, SownUnit,
};
use thumbpot::science::beta::Beta;
use thumbpot::science::emergence::Timing;
use thumbpot::science::outlook::{Prior, Seen, outlook};
use thumbpot::science::thermal::{Cardinal, Day};
use thumbpot::trade::Trade;
use uuid::Uuid;

const BATCHES: u32 = 600;
const DAYS: u32 = 60;

fn main() {
    divan::main();
}

/// With seeds of a tray each for itself, as scipy has it, or alike as in the program.
fn prior(alike: f64) -> Prior {
    Prior {
        viability: Beta::new(17.0, 3.0).expect("in range"),
        timing: Timing::new(103.0, 0.15).expect("in range"),
        median_doubt: 0.25,
        spread_doubt: 0.3,
        alike,
    }
}

struct Batch {
    sown: u32,
    days: Vec<Day>,
    /// Day of the count and how many were up in all.
    counts: Vec<(usize, u32)>,
}

/// Sowings of 6 to 120 seeds under the usual spring swing, counted four times; some slow, some dead, some all up.
fn batches() -> Vec<Batch> {
    (0..BATCHES)
        .map(|i| {
            let sown = [6, 12, 24, 40, 72, 72, 84, 120][(i % 8) as usize];
            let vigour = [0.0, 0.3, 0.6, 0.8, 0.9, 1.0][(i % 6) as usize];
            let day = |d: u32| {
                let warmth = 14.0 + f64::from(d) / 15.0 + f64::from((d * 7 + i) % 5);
                Day::between(warmth - 6.0, warmth + 6.0)
            };
            let up = |part: f64| (f64::from(sown) * vigour * part) as u32;
            let counts = vec![(10, 0), (14, up(0.3)), (20, up(0.8)), (40, up(1.0))];
            Batch { sown, days: (0..DAYS).map(day).collect(), counts }
        })
        .collect()
}

#[divan::bench]
fn six_hundred_batches(bencher: divan::Bencher) {
    let batches = batches();
    let crop = Cardinal::new(7.6, 27.0, 36.0).expect("they rise");
    let prior = prior(0.025);
    bencher.bench_local(|| {
        for batch in black_box(&batches) {
            let mut sum = 0.0;
            let progress: Vec<f64> = batch
                .days
                .iter()
                .map(|day| {
                    sum += crop.day(*day);
                    sum
                })
                .collect();
            let seen: Vec<Seen> =
                batch.counts.iter().map(|&(day, up)| Seen { progress: progress[day - 1], up }).collect();
            let outlook = outlook(batch.sown, &prior, &seen);
            black_box(outlook.as_ref().map(|o| {
                (
                    o.chance_of_more(),
                    o.expected_final(),
                    o.final_quantile(0.1),
                    o.final_quantile(0.9),
                    o.chance_of_total(batch.sown / 2),
                )
            }))
            .ok();
            black_box(prior.expected_by(batch.sown, sum));
        }
    });
}

/// The posteriors alone, of the sowings in `tests/data/posterior_scipy.csv`: what `benches/posterior_scipy.py` measures in
/// scipy. Their values agree by `tests/science/posterior_scipy.rs`.
#[divan::bench]
fn the_posteriors_that_scipy_has(bencher: divan::Bencher) {
    let numbers = |line: &str| line.split(',').map(|cell| cell.parse().expect("a number")).collect::<Vec<f64>>();
    let lines = include_str!("../tests/data/posterior_scipy.csv").lines().skip(1);
    let sowings: Vec<(u32, Vec<Seen>)> = lines
        .map(|line| {
            let cells = numbers(line);
            let seen = cells[1..9].chunks(2).map(|pair| Seen { progress: pair[0], up: pair[1] as u32 });
            (cells[0] as u32, seen.collect())
        })
        .collect();
    let prior = prior(0.0);
    bencher.bench_local(|| {
        let of = |(sown, seen): &(u32, Vec<Seen>)| {
            let found = outlook(*sown, &prior, seen).expect("they can be");
            (found.chance_of_more(), found.expected_final(), found.final_quantile(0.1), found.final_quantile(0.9))
        };
        black_box(&sowings).iter().map(of).fold(0.0, |sum, figures| sum + black_box(figures).0)
    });
}

#[divan::bench]
fn thermal_time_alone(bencher: divan::Bencher) {
    let batches = batches();
    let crop = Cardinal::new(7.6, 27.0, 36.0).expect("they rise");
    bencher.bench_local(|| {
        black_box(&batches).iter().flat_map(|batch| &batch.days).map(|day| crop.day(*day)).sum::<f64>()
    });
}

/// A season folded from its acts: ten places read every day for 60 days, and the same sowings as above in them.
fn season() -> State {
    let mut season = Season::default();
    let kinds = [PlaceKind::Propagator, PlaceKind::Windowsill, PlaceKind::LitShelf, PlaceKind::Room, PlaceKind::Tunnel];
    let places: Vec<PlaceId> = (0..10).map(|i| season.place(&format!("place{i}"), kinds[i % kinds.len()])).collect();
    for (number, batch) in (1..).zip(batches()) {
        let place = places[number as usize % places.len()];
        season.sow(number, place, batch.sown);
        for (day, up) in batch.counts {
            season.count(day, number, up);
        }
    }
    for place in places {
        for day in 0..DAYS as usize {
            let measured = vec![Measured::Minimum(Celsius(13.0)), Measured::Maximum(Celsius(22.0))];
            season.does(day, &Act::Read { place, measured });
        }
    }
    season.state
}

#[derive(Default)]
struct Season {
    entries: Vec<Entry>,
    state: State,
    parts: Vec<PartId>,
}

impl Season {
    /// Does an act on a day; gives the key of its first entry.
    fn does(&mut self, day: usize, act: &Act) -> EntryId {
        let facts = decide(&self.state, &self.state, act).expect("it is possible");
        let first = self.entries.len() as i64 + 1;
        let id = ActId(Uuid::from_u128(first as u128));
        for (sequence, mut fact) in (0..).zip(facts) {
            fact.for_each_reference(&mut |id| {
                if let Some(sequence) = id.provisional_sequence() {
                    *id = EntryId(first + sequence as i64);
                }
            });
            let entry = Entry { id: EntryId(first + i64::from(sequence)), act: id, sequence, on: day_of(day), fact };
            self.state.apply(&entry).expect("it agrees");
            self.entries.push(entry);
        }
        EntryId(first)
    }

    fn place(&mut self, called: &str, kind: PlaceKind) -> PlaceId {
        let name = Name::new(called).expect("a name");
        PlaceId(self.does(0, &Act::AddPlace { name, kind, heated_to: None, light: Light::Full }))
    }

    fn sow(&mut self, number: u32, place: PlaceId, units: u32) {
        let crops = ["tomato", "cabbage", "lettuce", "onion", "celery", "cucumber", "basil", "leek"];
        let lot = NewLot {
            crop: CropName::new(crops[number as usize % crops.len()]).expect("a crop"),
            variety: Name::new("First").expect("a name"),
            packed: Some(2025),
            stated: Some(Share(0.85)),
            seeds: Some(500),
            origin: SeedOrigin::Packet,
        };
        let vessel = Vessel {
            name: Name::new("seed-tray").expect("a name"),
            class: ContainerClass::Tray,
            length: None,
            width: None,
            height: None,
            cells: None,
            volume: None,
            pots: 1,
        };
        let sowing = Sowing {
            label: BatchLabel { year: 2026, number, twin: None },
            seed: Seed::New(lot),
            unit: SownUnit::Seed,
            units,
            per_cell: None,
            treatment: Treatment::None,
            depth: None,
            room: Room::New { vessel, count: 1, stand: Stand::Place(place), spot: None },
        };
        self.does(0, &Act::Sow(sowing));
        let part = self.state.parts.keys().next_back().copied().expect("it was sown");
        self.parts.push(part);
    }

    fn count(&mut self, day: usize, number: u32, up: u32) {
        let part = self.parts[number as usize - 1];
        let observed = Observed { up: Some(up), standing: None, gaps: None, doubles: false, ticks: None };
        self.does(day, &Act::Count { part, observed });
    }
}

fn day_of(day: usize) -> Date {
    let first: Date = "2026-03-01".parse().expect("a day");
    first + chrono::Days::new(day as u64)
}

/// The whole road from a state to words and actions, for 600 live batches on their sixtieth day.
#[divan::bench]
fn outlooks_of_a_state(bencher: divan::Bencher) {
    let (state, trade) = (season(), Trade::built_in().expect("the tables are good"));
    let on = day_of(DAYS as usize);
    let record = Record::of(&state, &trade, on);
    bencher.bench_local(|| outlooks(black_box(&state), &trade, &record, on));
}

/// The rows of germination with every "why", and all that is due, from outlooks at hand.
#[divan::bench]
fn rows_of_a_state(bencher: divan::Bencher) {
    let (state, trade) = (season(), Trade::built_in().expect("the tables are good"));
    let on = day_of(DAYS as usize);
    let found = outlooks(&state, &trade, &Record::of(&state, &trade, on), on);
    bencher.bench_local(|| {
        let state = black_box(&state);
        (germination(state, &found, on).len(), due_in_full(state, &trade, &found, on).len())
    });
}
