//! Space on a bench: published instances against a general library's record, and 200 containers on one bench.
//!
//! `cargo bench --bench packing` first prints, per group of instances, the share solved ("do all of these fit" at the
//! optimal height), the ground covered and the strip utilisation, each beside what the library reached and how long
//! both took. Sources of the instances and the record: tests/data/README.md. Then the same of instances cut at random
//! from a whole sheet, which therefore fit it, and how long the open journal takes with 200 containers on one bench.

#![allow(clippy::print_stdout, reason = "a benchmark reports by printing")]

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use divan::Bencher;
use thumbpot::advice::bench_plan;
use thumbpot::desk::{Desk, Throwaway};
use thumbpot::grammar::{AfterRefusal, SpotRef};
use thumbpot::quantity::{ContainerId, Date, DeviceId, Millimetres};
use thumbpot::science::packing::{
    Fit, Headroom, Hold, Item, Occupant, Placed, Standing, Surface, all_fit, how_many_more, inside, make_room,
    overlaps, place_one, repack,
};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;

fn main() {
    // Asked for one of the timings by name, only that is done.
    if !std::env::args().skip(1).any(|word| !word.starts_with('-')) {
        report();
        guillotine();
    }
    divan::main();
}

struct Instance {
    name: String,
    width: u32,
    height: u32,
    items: Vec<Item>,
}

fn item(length: u32, width: u32, height: Option<u32>) -> Item {
    Item::new(Millimetres(length), Millimetres(width), height.map(Millimetres)).expect("sides in range")
}

fn instances() -> Vec<Instance> {
    let tables = [include_str!("../tests/data/hopper_turton_c.csv"), include_str!("../tests/data/hopper_tn.csv")];
    let mut found: Vec<Instance> = Vec::new();
    for line in tables.iter().flat_map(|table| table.lines().skip(1)) {
        let mut fields = line.split(',');
        let name = fields.next().unwrap_or_default().to_owned();
        let numbers: Vec<u32> = fields.map(|field| field.parse().expect("a number")).collect();
        if found.last().is_none_or(|last| last.name != name) {
            found.push(Instance { name, width: numbers[0], height: numbers[1], items: Vec::new() });
        }
        if let Some(last) = found.last_mut() {
            last.items.push(item(numbers[2], numbers[3], None));
        }
    }
    found
}

/// What the library reached: covered, seconds of all runs and of the best; utilisation, the same two.
fn record() -> BTreeMap<String, [f64; 6]> {
    let lines = include_str!("../tests/data/rectpack_baseline.csv").lines().skip(1);
    lines
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            (fields[0].to_owned(), [1, 2, 3, 4, 5, 6].map(|index| fields[index].parse().expect("a number")))
        })
        .collect()
}

fn strip(instance: &Instance, height: u32) -> Surface {
    Surface::new(Millimetres(instance.width), Millimetres(height), None).expect("sides in range")
}

fn check(surface: &Surface, items: &[Item], places: &[Placed]) {
    let standing: Vec<Standing> =
        items.iter().zip(places).map(|(item, at)| Standing { item: *item, at: *at }).collect();
    assert_eq!(standing.len(), items.len());
    for (index, one) in standing.iter().enumerate() {
        assert!(inside(surface, one) && standing[..index].iter().all(|other| !overlaps(one, other)));
    }
}

#[derive(Default)]
struct Sum {
    instances: f64,
    solved: [f64; 2],
    covered: [f64; 2],
    utilisation: [f64; 2],
    /// Ours, the library's in all its runs, and in the best of them, which nobody knows beforehand.
    fixed_seconds: [f64; 3],
    strip_seconds: [f64; 3],
}

fn measure(instance: &Instance, theirs: [f64; 6], sum: &mut Sum) {
    let begun = Instant::now();
    let mut height = instance.height;
    let mut answer = all_fit(&strip(instance, height), &instance.items).expect("not too many");
    let fixed: Duration = begun.elapsed();
    let covered = match &answer {
        Fit::Yes(_) => 1.0,
        Fit::NotFound(places) => {
            let stood = instance.items.iter().zip(places).filter(|(_, place)| place.is_some());
            stood.map(|(item, _)| item.area().0 as f64).sum::<f64>() / strip(instance, height).area().0 as f64
        }
        Fit::No => 0.0,
    };
    let solved = matches!(answer, Fit::Yes(_));
    while !matches!(answer, Fit::Yes(_)) {
        height += 1;
        answer = all_fit(&strip(instance, height), &instance.items).expect("not too many");
    }
    let whole: Duration = begun.elapsed();
    if let Fit::Yes(places) = &answer {
        check(&strip(instance, height), &instance.items, places);
    }
    let both = |to: &mut [f64; 2], ours: f64, theirs: f64| {
        to[0] += ours;
        to[1] += theirs;
    };
    sum.instances += 1.0;
    both(&mut sum.solved, f64::from(u8::from(solved)), f64::from(u8::from(theirs[0] >= 1.0)));
    both(&mut sum.covered, covered, theirs[0]);
    both(&mut sum.utilisation, f64::from(instance.height) / f64::from(height), theirs[3]);
    let times = |to: &mut [f64; 3], ours: Duration, theirs: &[f64]| {
        to[0] += ours.as_secs_f64();
        to[1] += theirs[0];
        to[2] += theirs[1];
    };
    times(&mut sum.fixed_seconds, fixed, &theirs[1..3]);
    times(&mut sum.strip_seconds, whole, &theirs[4..6]);
}

fn report() {
    let record = record();
    let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
    for instance in instances() {
        let theirs = record[&instance.name];
        for group in [instance.name[..2].to_owned(), format!("{} all", &instance.name[..1])] {
            // Both groups are measured afresh, so that each line is a run of its own.
            measure(&instance, theirs, sums.entry(group).or_default());
        }
    }
    println!("ours / rectpack 0.2.2, its times for all runs that its best is taken from / for the best run alone");
    println!(
        "                      solved    covered           utilisation       fixed ms/instance        strip ms/instance"
    );
    for (group, sum) in &sums {
        let mean = |pair: [f64; 2]| pair.map(|value| value / sum.instances);
        let millis = |times: [f64; 3]| times.map(|value| value * 1e3 / sum.instances);
        let (covered, used) = (mean(sum.covered), mean(sum.utilisation));
        let (fixed, strip) = (millis(sum.fixed_seconds), millis(sum.strip_seconds));
        println!(
            "{group:6} ({:2} instances)  {:2} / {:2}   {:.4} / {:.4}   {:.4} / {:.4}   {:6.1} / {:6.1} / {:5.1}   {:6.1} / {:6.1} / {:5.1}",
            sum.instances,
            sum.solved[0],
            sum.solved[1],
            covered[0],
            covered[1],
            used[0],
            used[1],
            fixed[0],
            fixed[1],
            fixed[2],
            strip[0],
            strip[1],
            strip[2],
        );
    }
}

/// A sheet cut across at random, again and again, until there are so many pieces; every other piece is turned.
fn cut(pieces: usize, seed: u64) -> Instance {
    let (width, height) = (1_000, 1_000);
    let mut random = seed;
    // D. E. Knuth's 64-bit linear congruential generator (MMIX).
    let mut below = |bound: u32| {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from((random >> 33) % u64::from(bound.max(1))).unwrap_or(0)
    };
    let mut cut: Vec<(u32, u32)> = vec![(width, height)];
    while cut.len() < pieces {
        // The largest is cut, at between a fifth and four fifths of its longer side.
        let at = (0..cut.len()).max_by_key(|at| cut[*at].0 * cut[*at].1).unwrap_or(0);
        let (across, down) = cut.swap_remove(at);
        let long = across.max(down);
        let first = long / 5 + below(long * 3 / 5);
        if across >= down {
            cut.extend([(first, down), (across - first, down)]);
        } else {
            cut.extend([(across, first), (across, down - first)]);
        }
    }
    let turned = |(index, (a, b)): (usize, &(u32, u32))| if index % 2 == 0 { (*a, *b) } else { (*b, *a) };
    let items = cut.iter().enumerate().map(turned).map(|(a, b)| item(a, b, None)).collect();
    Instance { name: format!("cut {pieces}"), width, height, items }
}

/// Ours alone: the library has no record of these.
fn guillotine() {
    println!("\ncut at random from a sheet, 30 of each size: solved, covered, utilisation, ms/instance");
    for pieces in [6, 12, 25, 50, 100] {
        let mut sum = Sum::default();
        for seed in 0..30 {
            measure(&cut(pieces, seed), [0.0; 6], &mut sum);
        }
        let mean = |value: f64| value / sum.instances;
        println!(
            "{pieces:3} pieces  {:2}   {:.4}   {:.4}   {:7.1}",
            sum.solved[0],
            mean(sum.covered[0]),
            mean(sum.utilisation[0]),
            mean(sum.fixed_seconds[0]) * 1e3
        );
    }
}

/// An open journal with 200 containers of six kinds of the table on one bench under a slope, of which the grower placed
/// none, and the day.
fn journal_of_200() -> (Throwaway, Desk, Date) {
    const DAY: &str = "2026-04-01";
    let folder = Throwaway::new().expect("a folder");
    let device = DeviceId(uuid::Uuid::from_u128(7));
    let trade = Trade::built_in().expect("sound tables");
    let mut desk = Desk::open_with(&folder.file("j.db"), device, trade, Durability::Unsynced).expect("a journal");
    let mut lines = "place add tunnel --kind tunnel\n\
                     bench add tunnel/long --size 9000x2200mm --headroom 900..500mm\n"
        .to_owned();
    let kinds = ["seed-tray", "half-tray", "24-cell", "9cm-potx6", "72-cell", "1l-potx2"];
    for kind in (0..200).map(|index| kinds[index * 5 % kinds.len()]) {
        lines.push_str(&format!("receive leek 'Long Furrow' --plants 2 --in {kind} --at tunnel/long\n"));
    }
    let day = DAY.parse().expect("a day");
    desk.run(&lines, day, AfterRefusal::Stop, |_, _| {}).expect("acts that can be true");
    (folder, desk, day)
}

fn a_container(desk: &Desk, day: Date) -> ContainerId {
    *desk.state(day).expect("a state").containers.keys().nth(100).expect("two hundred")
}

/// One more, among 200 on the bench: the state is read once, as the screen has it.
#[divan::bench(sample_count = 20)]
fn desk_one_more_among_200(bencher: Bencher) {
    let (_folder, desk, day) = journal_of_200();
    let state = desk.state(day).expect("a state");
    let bench = *state.benches.keys().next().expect("a bench");
    let plan = bench_plan(&state, desk.trade(), day, bench).expect("a size");
    let one = a_container(&desk, day);
    bencher.bench_local(|| plan.reach(&state, desk.trade(), day, one));
}

/// The plan itself: nobody placed any of the 200, so that each is given a spot.
#[divan::bench(sample_count = 20)]
fn desk_plan_of_200(bencher: Bencher) {
    let (_folder, desk, day) = journal_of_200();
    let state = desk.state(day).expect("a state");
    let bench = *state.benches.keys().next().expect("a bench");
    bencher.bench_local(|| bench_plan(&state, desk.trade(), day, bench));
}

/// From the journal on the disk to where a container may go, as after a key.
#[divan::bench(sample_count = 20)]
fn desk_where_one_may_go_among_200(bencher: Bencher) {
    let (_folder, desk, day) = journal_of_200();
    let one = a_container(&desk, day);
    bencher.bench_local(|| desk.reaches(one, day).expect("a sound journal"));
}

/// From the journal on the disk to the repacking proposed.
#[divan::bench(sample_count = 20)]
fn desk_repack_200(bencher: Bencher) {
    let (_folder, desk, day) = journal_of_200();
    let bench: SpotRef = "tunnel/long".parse().expect("a bench");
    bencher.bench_local(|| desk.repacking(&bench, day).expect("a way"));
}

/// A whole look at the journal, as after every act on the screen.
#[divan::bench(sample_count = 20)]
fn desk_board_with_200(bencher: Bencher) {
    let (_folder, desk, day) = journal_of_200();
    bencher.bench_local(|| desk.board(day).expect("a sound journal"));
}

/// A bench of 200 containers in six invented sizes, stood one after another, under a sloping roof.
fn bench_of_200() -> (Surface, Vec<Standing>, Vec<Item>) {
    let roof = Headroom { back: Millimetres(400), front: Millimetres(250) };
    let surface = Surface::new(Millimetres(6_600), Millimetres(1_700), Some(roof)).expect("sides in range");
    let kinds = [(380, 240, 60), (230, 170, 60), (350, 220, 120), (110, 110, 200), (200, 150, 310), (300, 90, 80)]
        .map(|(length, width, height)| item(length, width, Some(height)));
    let mut standing = Vec::new();
    for index in 0..200 {
        let item = kinds[index * 5 % kinds.len()];
        if let Some(at) = place_one(&surface, &standing, &item) {
            standing.push(Standing { item, at });
        }
    }
    assert_eq!(standing.len(), 200);
    (surface, standing, kinds.to_vec())
}

fn occupants(standing: &[Standing]) -> Vec<Occupant> {
    let hold = |index: usize| if index.is_multiple_of(10) { Hold::Pinned } else { Hold::Loose };
    let one = |(index, one): (usize, &Standing)| Occupant { item: one.item, at: Some(one.at), hold: hold(index) };
    standing.iter().enumerate().map(one).collect()
}

#[divan::bench]
fn one_more_among_200(bencher: Bencher) {
    let (surface, standing, kinds) = bench_of_200();
    bencher.bench(|| place_one(&surface, &standing, &kinds[0]));
}

#[divan::bench]
fn how_many_more_among_200(bencher: Bencher) {
    let (surface, standing, kinds) = bench_of_200();
    bencher.bench(|| how_many_more(&surface, &standing, &kinds[0]));
}

#[divan::bench(sample_count = 20)]
fn repack_200(bencher: Bencher) {
    let (surface, standing, kinds) = bench_of_200();
    let occupants = occupants(&standing);
    bencher.bench(|| repack(&surface, &occupants, &kinds));
}

/// Every third container taken away, as after a day of planting out.
#[divan::bench(sample_count = 20)]
fn repack_200_with_gaps(bencher: Bencher) {
    let (surface, standing, kinds) = bench_of_200();
    let mut thinned: Vec<Standing> = standing;
    let more: Vec<Standing> = thinned.iter().skip(1).step_by(3).copied().collect();
    thinned.retain(|one| !more.contains(one));
    let occupants = occupants(&thinned);
    bencher.bench(|| repack(&surface, &occupants, &kinds));
}

#[divan::bench(sample_count = 20)]
fn make_room_among_200(bencher: Bencher) {
    let (surface, standing, kinds) = bench_of_200();
    let occupants = occupants(&standing);
    let newcomer = item(1_000, 600, Some(60));
    bencher.bench(|| make_room(&surface, &occupants, &[newcomer], &kinds));
}

/// Six rectangles of which the exact search has to prove that they do not fit: nearly all the ground is needed.
#[divan::bench(sample_count = 20)]
fn exact_no_of_six(bencher: Bencher) {
    let surface = Surface::new(Millimetres(1_150), Millimetres(500), None).expect("sides in range");
    let items = [(410, 250), (390, 245), (380, 240), (400, 230), (370, 260), (350, 255)].map(|(l, w)| item(l, w, None));
    assert_eq!(all_fit(&surface, &items), Ok(Fit::No));
    bencher.bench(|| all_fit(&surface, &items));
}
