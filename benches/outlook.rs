//! How long the outlook takes for every live batch of a large season: 600 of them, each with 60 days of temperatures.

use std::hint::black_box;

use thumbpot::science::beta::Beta;
use thumbpot::science::emergence::Timing;
use thumbpot::science::outlook::{Prior, Seen, outlook};
use thumbpot::science::thermal::{Cardinal, Day};

const BATCHES: u32 = 600;
const DAYS: u32 = 60;

fn main() {
    divan::main();
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
    let prior = Prior {
        viability: Beta::new(17.0, 3.0).expect("in range"),
        timing: Timing::new(103.0, 0.15).expect("in range"),
        median_doubt: 0.25,
        spread_doubt: 0.3,
    };
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

#[divan::bench]
fn thermal_time_alone(bencher: divan::Bencher) {
    let batches = batches();
    let crop = Cardinal::new(7.6, 27.0, 36.0).expect("they rise");
    bencher.bench_local(|| {
        black_box(&batches).iter().flat_map(|batch| &batch.days).map(|day| crop.day(*day)).sum::<f64>()
    });
}
