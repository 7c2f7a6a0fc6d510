//! What the outlook is worth: how long a dead sowing is waited for and how many live ones are called dead, against growers
//! who wait the handbook's days and then give up. Growers are simulated with fixed seeds, two springs each, who count a
//! tray when the outlook asks for it and move it into the warm when the outlook says where; then again with the figures
//! wrong. No timing is measured here.
//!
//! The thresholds were chosen on the tuning dice (`cargo bench --bench waiting -- tuning`). What is quoted is thrown with
//! the reporting dice, which have other seeds, other crops, other temperatures and other packets.

#![allow(clippy::print_stdout, reason = "a benchmark reports by printing")]

use std::collections::BTreeMap;

use thumbpot::advice::{self, Record, Verdict, outlooks};
use thumbpot::journal::{
    Batch, Beginning, Bench, BenchSize, Container, Count, Light, Lot, Measured, Part, Place, PlaceKind, Reading,
    SeedOrigin, Source, Stand, State, Stay, Treatment, Vessel,
};
use thumbpot::quantity::{
    ActId, BatchId, BatchLabel, BenchId, Celsius, ContainerClass, ContainerId, CropName, Date, EntryId, LotId,
    Millimetres, Name, PartId, PartLetter, PlaceId, Share, SownUnit,
};
use thumbpot::trade::{Crop, CropKey, Trade};

/// What the trays teach is taken in every so many days.
const LEARNT_EVERY: usize = 4;
/// Nobody waits longer.
const LONGEST: usize = 120;
/// Sowings of each crop in a spring, a fortnight or so apart; the last is sown within so many days of the first.
const EACH: usize = 3;
const SOWING_DAYS: f64 = 70.0;
const SPRINGS: [i32; 2] = [2025, 2026];
/// Warm and cool places that trays stand in.
const PLACES: usize = 6;
/// A tray that has shoots is pricked out by then, and cleared.
const CLEARED: usize = 45;
/// One sowing in five is dead, so that there are enough of them to measure by.
const DEAD: f64 = 0.2;

/// One set of sowings.
struct Dice {
    seed: u64,
    growers: u32,
    /// Crops whose heat sum is in print, quick and slow.
    crops: [&'static str; 9],
    /// The compost of a place, lowest and highest mean, degrees C.
    warmth: (f64, f64),
    /// Shapes of the share of a packet that lives: of so many uniforms the so manieth smallest.
    packets: (usize, usize),
    stated: f64,
}

const TUNING: Dice = Dice {
    seed: 11,
    growers: 40,
    crops: ["tomato", "cabbage", "lettuce", "onion", "beetroot", "carrot", "sweet pepper", "celery", "parsley"],
    warmth: (13.0, 23.0),
    packets: (17, 19),
    stated: 0.9,
};
const REPORTING: Dice = Dice {
    seed: 2027,
    growers: 40,
    crops: ["tomato", "cauliflower", "leek", "spinach", "pea", "kale", "aubergine", "celeriac", "parsnip"],
    warmth: (14.0, 22.0),
    packets: (12, 15),
    stated: 0.8,
};

/// How the true sowings differ from the figures, and the thermometer from the compost.
struct Truth {
    name: &'static str,
    median: f64,
    spread: f64,
    thermometer: f64,
}

const TRUTHS: [Truth; 6] = [
    Truth { name: "as assumed", median: 1.0, spread: 1.0, thermometer: 0.0 },
    Truth { name: "median 30 % late", median: 1.3, spread: 1.0, thermometer: 0.0 },
    Truth { name: "median 30 % early", median: 0.7, spread: 1.0, thermometer: 0.0 },
    Truth { name: "read 2 C too high", median: 1.0, spread: 1.0, thermometer: 2.0 },
    Truth { name: "read 2 C too low", median: 1.0, spread: 1.0, thermometer: -2.0 },
    Truth { name: "spread doubled", median: 1.0, spread: 2.0, thermometer: 0.0 },
];

/// SplitMix64 (Steele, Lea & Flood 2014).
struct Thrower(u64);

impl Thrower {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.uniform().ln()).sqrt() * (std::f64::consts::TAU * self.uniform()).cos()
    }

    /// The `k`-th smallest of `n` uniforms: Beta(k, n + 1 - k).
    fn ordered(&mut self, (k, n): (usize, usize)) -> f64 {
        let mut draws: Vec<f64> = (0..n).map(|_| self.uniform()).collect();
        draws.sort_by(f64::total_cmp);
        draws[k - 1]
    }
}

/// One tray: where and when it is sown, and the warmth each seed comes up at.
#[derive(Clone)]
struct Tray {
    crop: &'static str,
    /// The packet it is sown from: one for each crop in a spring.
    packet: usize,
    place: usize,
    /// Days after the first of the spring.
    sown_on: usize,
    sown: u32,
    /// Degree-days that each seed needs; no number is enough for a dead one.
    needs: Vec<f64>,
    base: f64,
    /// Degree-days that the tray has had by so many days after sowing.
    run: Vec<f64>,
    is_dead: bool,
    /// The handbook's days, each as a day after sowing.
    test: usize,
    twice_the_table: usize,
}

/// One grower's spring: how warm each place is and what it reads by day, and the trays.
struct Spring {
    compost: Vec<Vec<f64>>,
    read: Vec<Vec<f64>>,
    trays: Vec<Tray>,
}

/// What is off the book for one grower, as factors of the median: for all crops, and for each beside that.
struct Grower {
    all: f64,
    each: Vec<f64>,
}

impl Grower {
    /// A quarter off the book, half of it common to all crops: as the outlook assumes.
    fn throw(thrower: &mut Thrower) -> Self {
        let mut off = || (0.18 * thrower.normal()).exp();
        Self { all: off(), each: (0..9).map(|_| off()).collect() }
    }

    fn spring(&self, thrower: &mut Thrower, dice: &Dice, trade: &Trade, truth: &Truth) -> Spring {
        let days = SOWING_DAYS as usize + LONGEST + 1;
        let (low, high) = dice.warmth;
        let mut place = || {
            let warmth = low + (high - low) * thrower.uniform();
            (0..days).map(|_| warmth + thrower.normal()).collect::<Vec<f64>>()
        };
        let compost: Vec<Vec<f64>> = (0..PLACES).map(|_| place()).collect();
        let read = compost.iter().map(|days| days.iter().map(|it| it + truth.thermometer).collect()).collect();
        let mut spring = Spring { compost, read, trays: Vec::new() };
        // A tenth between packets, as the outlook assumes.
        let packets: Vec<(f64, f64)> =
            (0..9).map(|_| (thrower.ordered(dice.packets), (0.1 * thrower.normal()).exp())).collect();
        for number in 0..9 * EACH {
            let packet = (number % 9, packets[number % 9]);
            let tray = self.tray(thrower, dice, trade, truth, packet, &spring);
            spring.trays.push(tray);
        }
        spring
    }

    fn tray(
        &self,
        thrower: &mut Thrower,
        dice: &Dice,
        trade: &Trade,
        truth: &Truth,
        (crop, (alive, of_packet)): (usize, (f64, f64)),
        spring: &Spring,
    ) -> Tray {
        let facts = trade.crop(&CropKey::new(dice.crops[crop])).expect("in the table");
        let sum = facts.heat_sum().expect("has a heat sum");
        let ragged = facts.emergence_spread().map_or(2.0, |ratio| ratio.low);
        let slower = facts.tray_factor().map_or(1.0, |factor| (factor.low * factor.high).sqrt());
        // A seventh between batches, as the outlook assumes.
        let of_batch = (0.15 * thrower.normal()).exp();
        let median = sum.degree_days * slower * truth.median * self.all * self.each[crop] * of_packet * of_batch;
        let spread = truth.spread * ragged.ln() / (2.0 * 9f64.ln());
        let place = (thrower.uniform() * PLACES as f64) as usize;
        let sown_on = (thrower.uniform() * SOWING_DAYS) as usize;
        let sown = [12, 20, 40, 72][(thrower.uniform() * 4.0) as usize];
        let is_dead = thrower.uniform() < DEAD;
        let alive = if is_dead { 0.0 } else { alive };
        let base = sum.base.0;
        let needs = (0..sown)
            .map(|_| {
                let (lives, u) = (thrower.uniform() < alive, thrower.uniform());
                if lives { median * (u / (1.0 - u)).powf(spread) } else { f64::INFINITY }
            })
            .collect();
        let by_its_reading = run(&spring.read[place][sown_on..], base);
        let twice = by_its_reading[1..=LONGEST].iter().take_while(|had| **had < 2.0 * sum.degree_days).count();
        Tray {
            crop: dice.crops[crop],
            packet: crop,
            place,
            sown_on,
            sown,
            needs,
            base,
            run: run(&spring.compost[place][sown_on..], base),
            is_dead,
            test: days_of_the_test(facts),
            twice_the_table: twice,
        }
    }
}

/// Degree-days above a base by so many days from the first.
fn run(days: &[f64], base: f64) -> Vec<f64> {
    let mut had = vec![0.0];
    had.extend(days.iter().scan(0.0, |sum, degrees| {
        *sum += (degrees - base).max(0.0);
        Some(*sum)
    }));
    had
}

/// The day of the final count in the seed test; two weeks where none is in print.
fn days_of_the_test(facts: &Crop) -> usize {
    facts.laboratory_days().map_or(14, |days| days.high) as usize
}

impl Tray {
    fn up_by(&self, day: usize) -> u32 {
        self.needs.iter().filter(|needs| **needs <= self.run[day]).count() as u32
    }

    /// From so many days after sowing on it stands elsewhere.
    fn moved(&mut self, day: usize, compost: &[f64]) {
        let had = self.run[day];
        self.run.truncate(day);
        self.run.extend(run(&compost[self.sown_on + day..], self.base).iter().map(|more| had + more));
    }

    /// The day it is called dead by the handbook's days, if none is up by then.
    fn given_up(&self, days: usize) -> Option<usize> {
        (self.up_by(days) == 0).then_some(days)
    }
}

impl Spring {
    /// Each tray as it went, and the day after sowing on which the outlook calls it failed, counted and moved when it
    /// asks; `None` for those it does not. What the grower knows from the springs before goes in, and comes out with
    /// this one.
    fn called(&self, trade: &Trade, stated: f64, year: i32, record: &mut Record) -> Vec<(Tray, Option<usize>)> {
        let mut state = places();
        let mut trays = self.trays.clone();
        let mut known = record.clone();
        let mut called = vec![None; self.trays.len()];
        let mut own: BTreeMap<usize, EntryId> = BTreeMap::new();
        for day in 0..self.read[0].len() {
            let on = after(year, day);
            for (tray, sown) in self.trays.iter().enumerate().filter(|(_, tray)| tray.sown_on == day) {
                own.insert(tray, sow(&mut state, sown, stated, on, (year, tray)));
            }
            for (place, read) in self.read.iter().enumerate() {
                let measured = Measured::Compost(Celsius(read[day]));
                let at = PlaceId(EntryId(place as i64 + 1));
                state.readings.push(Reading { on, hour: None, place: at, measured, by: ActId::LAST });
            }
            if day % LEARNT_EVERY == 0 {
                known = record.clone().and(Record::of(&state, trade, on));
            }
            let asked = outlooks(&state, trade, &known, on);
            let is_asked = |id: EntryId| asked.of(BatchId(id)).is_some_and(|it| it.count != advice::Count::Idle);
            let counted: Vec<(usize, EntryId)> =
                own.iter().filter(|(_, id)| is_asked(**id)).map(|(tray, id)| (*tray, *id)).collect();
            for (tray, id) in &counted {
                let up = trays[*tray].up_by(day - trays[*tray].sown_on);
                let part = state.parts.get_mut(&PartId(*id)).expect("there");
                part.counts.push(Count { on, up, standing: up });
                part.up = up;
            }
            let found = if counted.is_empty() { asked } else { outlooks(&state, trade, &known, on) };
            own.retain(|tray, id| {
                let old = day - trays[*tray].sown_on;
                let outlook = found.of(BatchId(*id));
                let verdict = outlook.map(|outlook| outlook.verdict);
                if let Some((name, _)) = outlook.and_then(|outlook| outlook.move_to.as_ref()) {
                    let (to, _) = state.places.iter().find(|(_, place)| place.name == *name).expect("a place");
                    let place = to.0.0 as usize - 1;
                    let stand = Stand::Bench(BenchId(EntryId(101 + place as i64)));
                    let container = state.containers.get_mut(&ContainerId(*id)).expect("there");
                    container.stays.push(Stay { from: on, by: ActId::LAST, stand, out: None });
                    container.stand = stand;
                    trays[*tray].moved(old, &self.compost[place]);
                }
                if verdict == Some(Verdict::Failed) {
                    called[*tray] = Some(old);
                }
                let part = state.parts.get_mut(&PartId(*id)).expect("there");
                let ends = matches!(verdict, Some(Verdict::Failed | Verdict::AllUp | Verdict::Over))
                    || old >= if part.up > 0 { CLEARED } else { LONGEST };
                if ends {
                    part.cleared = Some(on);
                }
                !ends
            });
        }
        *record = record.clone().and(Record::of(&state, trade, after(year, self.read[0].len())));
        trays.into_iter().zip(called).collect()
    }
}

/// The places, each with a bench.
fn places() -> State {
    let mut state = State::default();
    for number in 1..=PLACES as i64 {
        let name = |what: &str| Name::new(&format!("{what}{number}")).expect("a name");
        let place = Place { name: name("shelf"), kind: PlaceKind::Room, heated_to: None, light: Light::Fair };
        state.places.insert(PlaceId(EntryId(number)), place);
        let size =
            BenchSize { length: Millimetres(1000), width: Millimetres(500), headroom_back: None, headroom_front: None };
        let bench = Bench { place: PlaceId(EntryId(number)), name: name("bench"), size, measured: vec![] };
        state.benches.insert(BenchId(EntryId(100 + number)), bench);
    }
    state
}

/// Sows a tray; one key stands for its container, batch and part.
fn sow(state: &mut State, tray: &Tray, stated: f64, on: Date, (year, number): (i32, usize)) -> EntryId {
    let name = |text: &str| Name::new(text).expect("a name");
    let id = EntryId(i64::from(year) * 1000 + number as i64);
    let packet = LotId(EntryId(i64::from(year) * 1000 + 900 + tray.packet as i64));
    let lot = Lot {
        crop: CropName::new(tray.crop).expect("a crop"),
        variety: name("First"),
        packed: Some(year),
        stated: Some(Share(stated)),
        seeds: None,
        origin: SeedOrigin::Packet,
    };
    state.lots.insert(packet, lot);
    let stand = Stand::Bench(BenchId(EntryId(101 + tray.place as i64)));
    let vessel = Vessel {
        name: name("seed-tray"),
        class: ContainerClass::Tray,
        length: None,
        width: None,
        height: None,
        cells: None,
        volume: None,
        pots: 1,
    };
    let container = Container {
        vessel,
        called: None,
        stand,
        spot: None,
        placed_by: None,
        parted: Vec::new(),
        out: None,
        put_away: None,
        parts: vec![PartId(id)],
        stays: vec![Stay { from: on, by: ActId::LAST, stand, out: None }],
    };
    state.containers.insert(ContainerId(id), container);
    let beginning = Beginning::Sown { unit: SownUnit::Seed, treatment: Treatment::None, depth: None };
    let label = BatchLabel { year, number: number as u32 + 1, twin: None };
    let batch = Batch { label, lot: packet, beginning, begun: on, parts: vec![PartId(id)] };
    state.batches.insert(BatchId(id), batch);
    let part = Part {
        batch: BatchId(id),
        letter: PartLetter(0),
        container: ContainerId(id),
        filled: on,
        source: Source::Sown { units: tray.sown, per_cell: None },
        up: 0,
        gained: 0,
        short: 0,
        moved_on: 0,
        ticked: None,
        emptied: Vec::new(),
        gone: Vec::new(),
        counts: Vec::new(),
        stages: Vec::new(),
        cleared: None,
        cleared_by: None,
    };
    state.parts.insert(PartId(id), part);
    id
}

fn after(year: i32, days: usize) -> Date {
    let first = Date::from_ymd_opt(year, 2, 1).expect("a day");
    first + chrono::Days::new(days as u64)
}

/// Days to call the dead, and live ones called dead, of one way of judging.
#[derive(Clone, Default)]
struct Score {
    days: Vec<usize>,
    false_calls: u32,
}

impl Score {
    fn add(&mut self, tray: &Tray, call: Option<usize>) {
        match (tray.is_dead, call) {
            (true, call) => self.days.push(call.unwrap_or(LONGEST)),
            (false, Some(day)) => self.false_calls += u32::from(tray.up_by(LONGEST) > tray.up_by(day)),
            (false, None) => {}
        }
    }

    fn mean(&self) -> f64 {
        self.days.iter().sum::<usize>() as f64 / self.days.len() as f64
    }
}

/// Every tray by one way of judging.
fn judged<'a>(trays: impl Iterator<Item = (&'a Tray, Option<usize>)>) -> Score {
    let mut score = Score::default();
    trays.for_each(|(tray, call)| score.add(tray, call));
    score
}

fn main() {
    let trade = Trade::built_in().expect("the tables are good");
    let dice = if std::env::args().any(|word| word == "tuning") { TUNING } else { REPORTING };
    println!("mean days to call the dead, and live ones called dead, in two springs of each grower");
    for truth in &TRUTHS {
        let mut thrower = Thrower(dice.seed);
        let mut trays: Vec<(Tray, (Tray, Option<usize>), i32)> = Vec::new();
        for _ in 0..dice.growers {
            let grower = Grower::throw(&mut thrower);
            let mut record = Record::default();
            for year in SPRINGS {
                let spring = grower.spring(&mut thrower, &dice, &trade, truth);
                let called = spring.called(&trade, dice.stated, year, &mut record);
                trays.extend(spring.trays.into_iter().zip(called).map(|(tray, call)| (tray, call, year)));
            }
        }
        let by =
            |days: &dyn Fn(&Tray) -> usize| judged(trays.iter().map(|(tray, ..)| (tray, tray.given_up(days(tray)))));
        let in_spring =
            |of: i32| judged(trays.iter().filter(|(.., year)| *year == of).map(|(_, (tray, call), _)| (tray, *call)));
        let ours = judged(trays.iter().map(|(_, (tray, call), _)| (tray, *call)));
        let live = trays.len() - ours.days.len();
        println!(
            "{}: {} dead, {live} live; outlook {:.1} days, {} ({:.1} in the first spring, {:.1} in the second)",
            truth.name,
            ours.days.len(),
            ours.mean(),
            ours.false_calls,
            in_spring(SPRINGS[0]).mean(),
            in_spring(SPRINGS[1]).mean()
        );
        let as_safe = (1..LONGEST).find(|days| by(&|_| *days).false_calls <= ours.false_calls).unwrap_or(LONGEST);
        let ways: [(&str, Score); 4] = [
            ("three weeks", by(&|_| 21)),
            ("twice the table's days", by(&|tray| tray.twice_the_table)),
            ("final count of the test", by(&|tray| tray.test)),
            ("fixed days as safe", by(&|_| as_safe)),
        ];
        for (way, theirs) in ways {
            let saved = 100.0 * (1.0 - ours.mean() / theirs.mean());
            println!("    {way:<24} {:.1} days, {}: {saved:.0} % saved", theirs.mean(), theirs.false_calls);
        }
    }
}
