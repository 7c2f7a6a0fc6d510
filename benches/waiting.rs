//! What the outlook is worth: how long a dead sowing is waited for and how many live ones are called dead, against a
//! grower who waits the handbook's days and then gives up. Sowings are simulated with fixed seeds, in trays at 13 to 23 C,
//! counted every other day; then again with the figures wrong. No timing is measured here.

#![allow(clippy::print_stdout, reason = "a benchmark reports by printing")]

use thumbpot::advice::{Record, Verdict, outlooks};
use thumbpot::journal::{
    Batch, Beginning, Bench, BenchSize, Container, Count, Light, Lot, Measured, Part, Place, PlaceKind, Reading,
    SeedOrigin, Source, Stand, State, Stay, Treatment, Vessel,
};
use thumbpot::quantity::{
    BatchId, BatchLabel, BenchId, Celsius, ContainerClass, ContainerId, CropName, Date, EntryId, LotId, Millimetres,
    Name, PartId, PartLetter, PlaceId, Share, SownUnit,
};
use thumbpot::trade::{CropKey, Trade};

/// Crops whose heat sum is in print, quick and slow.
const CROPS: [&str; 9] =
    ["tomato", "cabbage", "lettuce", "onion", "beetroot", "carrot", "sweet pepper", "celery", "parsley"];
const LIVE: u32 = 1_800;
const DEAD: u32 = 450;
/// Counted on these days after sowing and so on.
const EVERY: usize = 2;
/// Nobody waits longer.
const LONGEST: usize = 120;

/// How the true sowings differ from the figures, and the thermometer from the compost.
struct Truth {
    name: &'static str,
    median: f64,
    spread: f64,
    thermometer: f64,
}

/// SplitMix64 (Steele, Lea & Flood 2014).
struct Dice(u64);

impl Dice {
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
}

/// One tray: its compost by day, and the day each seed comes up.
struct Tray {
    crop: &'static str,
    sown: u32,
    read: Vec<f64>,
    comes: Vec<f64>,
}

impl Tray {
    fn throw(dice: &mut Dice, trade: &Trade, truth: &Truth, alive: f64, index: u32) -> Self {
        let crop = CROPS[index as usize % CROPS.len()];
        let facts = trade.crop(&CropKey::new(crop)).expect("in the table");
        let sum = facts.heat_sum().expect("has a heat sum");
        let slower = facts.tray_factor().map_or(1.0, |factor| (factor.low * factor.high).sqrt());
        let ragged = facts.emergence_spread().map_or(2.0, |ratio| ratio.low);
        // A quarter off the book for the grower, a seventh between batches: as the outlook assumes.
        let median = sum.degree_days * slower * truth.median * (0.29 * dice.normal()).exp();
        let spread = truth.spread * ragged.ln() / (2.0 * 9f64.ln());
        let sown = [12, 20, 40, 72][(dice.uniform() * 4.0) as usize];
        let warmth = 13.0 + 10.0 * dice.uniform();
        let compost: Vec<f64> = (0..LONGEST).map(|_| warmth + dice.normal()).collect();
        let day_of = |target: f64| {
            let mut run = 0.0;
            let units = compost.iter().map(|degrees| (degrees - sum.base.0).max(0.0));
            let day = units.enumerate().find_map(|(day, units)| {
                run += units;
                (run >= target).then(|| day as f64 + 1.0 - (run - target) / units)
            });
            day.unwrap_or(f64::INFINITY)
        };
        let comes = (0..sown)
            .map(|_| {
                let (lives, u) = (dice.uniform() < alive, dice.uniform());
                if lives { day_of(median * (u / (1.0 - u)).powf(spread)) } else { f64::INFINITY }
            })
            .collect();
        let read = compost.iter().map(|degrees| degrees + truth.thermometer).collect();
        Self { crop, sown, read, comes }
    }

    fn up_by(&self, day: usize) -> u32 {
        self.comes.iter().filter(|comes| **comes <= day as f64).count() as u32
    }

    /// The day it is called dead by the handbook's days, if none is up by then.
    fn given_up(&self, days: usize) -> Option<usize> {
        let day = days.div_ceil(EVERY) * EVERY;
        (self.up_by(day) == 0).then_some(day)
    }

    /// The day the outlook calls it failed, counted every other day until then.
    fn called(&self, trade: &Trade) -> Option<usize> {
        let mut state = self.state();
        for day in (EVERY..LONGEST).step_by(EVERY) {
            let on = after(day);
            let up = self.up_by(day);
            let part = state.parts.get_mut(&PartId(EntryId(6))).expect("there");
            part.counts.push(Count { on, up, standing: up });
            part.up = up;
            let place = PlaceId(EntryId(1));
            for back in 0..EVERY {
                let measured = Measured::Compost(Celsius(self.read[day - 1 - back]));
                state.readings.push(Reading { on: after(day - 1 - back), place, measured });
            }
            let found = outlooks(&state, trade, &Record::default(), on);
            match found.of(BatchId(EntryId(5))).map(|outlook| outlook.verdict) {
                Some(Verdict::Failed) => return Some(day),
                Some(Verdict::AllUp | Verdict::Over) | None => return None,
                Some(_) => {}
            }
        }
        None
    }

    fn state(&self) -> State {
        let id = |key| EntryId(key);
        let name = |text: &str| Name::new(text).expect("a name");
        let mut state = State::default();
        let place = Place { name: name("shelf"), kind: PlaceKind::Room, heated_to: None, light: Light::Fair };
        state.places.insert(PlaceId(id(1)), place);
        let size =
            BenchSize { length: Millimetres(1000), width: Millimetres(500), headroom_back: None, headroom_front: None };
        let bench = Bench { place: PlaceId(id(1)), name: name("bench"), size };
        state.benches.insert(BenchId(id(2)), bench);
        let lot = Lot {
            crop: CropName::new(self.crop).expect("a crop"),
            variety: name("First"),
            packed: Some(2026),
            stated: Some(Share(0.9)),
            seeds: None,
            origin: SeedOrigin::Packet,
        };
        state.lots.insert(LotId(id(3)), lot);
        let stand = Stand::Bench(BenchId(id(2)));
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
            out: None,
            put_away: None,
            parts: vec![PartId(id(6))],
            stays: vec![Stay { from: after(0), stand, out: None }],
        };
        state.containers.insert(ContainerId(id(4)), container);
        let beginning = Beginning::Sown { unit: SownUnit::Seed, treatment: Treatment::None, depth: None };
        let label = BatchLabel { year: 2026, number: 1 };
        let batch = Batch { label, lot: LotId(id(3)), beginning, begun: after(0), parts: vec![PartId(id(6))] };
        state.batches.insert(BatchId(id(5)), batch);
        let part = Part {
            batch: BatchId(id(5)),
            letter: PartLetter(0),
            container: ContainerId(id(4)),
            filled: after(0),
            source: Source::Sown { units: self.sown, per_cell: None },
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
        };
        state.parts.insert(PartId(id(6)), part);
        state
    }
}

fn after(days: usize) -> Date {
    let sown: Date = "2026-03-01".parse().expect("a day");
    sown + chrono::Days::new(days as u64)
}

/// Days to call the dead, and live ones called dead, of one way of judging.
#[derive(Default)]
struct Score {
    days: Vec<usize>,
    false_calls: u32,
}

impl Score {
    fn mean(&self) -> f64 {
        self.days.iter().sum::<usize>() as f64 / self.days.len() as f64
    }
}

fn main() {
    let trade = Trade::built_in().expect("the tables are good");
    let truths = [
        Truth { name: "as assumed", median: 1.0, spread: 1.0, thermometer: 0.0 },
        Truth { name: "median 30 % late", median: 1.3, spread: 1.0, thermometer: 0.0 },
        Truth { name: "median 30 % early", median: 0.7, spread: 1.0, thermometer: 0.0 },
        Truth { name: "read 2 C too high", median: 1.0, spread: 1.0, thermometer: 2.0 },
        Truth { name: "read 2 C too low", median: 1.0, spread: 1.0, thermometer: -2.0 },
        Truth { name: "spread doubled", median: 1.0, spread: 2.0, thermometer: 0.0 },
    ];
    println!("mean days to call {DEAD} dead sowings, and how many of {LIVE} live ones were called dead");
    println!(
        "{:<20} {:>14} {:>16} {:>16} {:>14}",
        "the truth", "outlook", "final test count", "three weeks", "days saved"
    );
    for truth in &truths {
        let mut dice = Dice(11);
        let (mut ours, mut test, mut weeks) = (Score::default(), Score::default(), Score::default());
        for index in 0..LIVE + DEAD {
            let is_dead = index >= LIVE;
            // Fresh seed that states nine in ten: Beta(17, 3), the 17th smallest of 19 uniforms.
            let mut draws: Vec<f64> = (0..19).map(|_| dice.uniform()).collect();
            draws.sort_by(f64::total_cmp);
            let tray = Tray::throw(&mut dice, &trade, truth, if is_dead { 0.0 } else { draws[16] }, index);
            let facts = trade.crop(&CropKey::new(tray.crop)).expect("in the table");
            let days = facts.laboratory_days().map_or(14, |days| days.high) as usize;
            for (score, call) in
                [(&mut ours, tray.called(&trade)), (&mut test, tray.given_up(days)), (&mut weeks, tray.given_up(21))]
            {
                match (is_dead, call) {
                    (true, call) => score.days.push(call.unwrap_or(LONGEST)),
                    (false, Some(day)) => score.false_calls += u32::from(tray.up_by(LONGEST) > tray.up_by(day)),
                    (false, None) => {}
                }
            }
        }
        let show = |score: &Score| format!("{:.1} d, {}", score.mean(), score.false_calls);
        let saved = format!(
            "{:.0} %, {:.0} %",
            100.0 * (1.0 - ours.mean() / test.mean()),
            100.0 * (1.0 - ours.mean() / weeks.mean())
        );
        println!("{:<20} {:>14} {:>16} {:>16} {:>14}", truth.name, show(&ours), show(&test), show(&weeks), saved);
    }
}
