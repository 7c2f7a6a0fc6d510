//! The outlook against sowings simulated from its own assumptions: over many, the true number must fall anywhere in what
//! was foretold equally often. Then against sowings that break the assumptions, reported as they come.

use thumbpot::science::beta::Beta;
use thumbpot::science::emergence::Timing;
use thumbpot::science::outlook::{Prior, Seen, outlook};

const TRIALS: u32 = 5_000;
const BINS: usize = 20;
/// Source: chi-square exceeded with probability 0.01 at 19 degrees of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.4).
const CHI_SQUARE_LIMIT: f64 = 36.191;

/// SplitMix64 (Steele, Lea & Flood 2014): the seed is fixed, so every run sees the same sowings.
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

    /// Beta(17, 3): the 17th smallest of 19 uniforms.
    fn viability(&mut self) -> f64 {
        let mut draws: Vec<f64> = (0..19).map(|_| self.uniform()).collect();
        draws.sort_by(f64::total_cmp);
        draws[16]
    }
}

/// How the true sowings differ from what the outlook assumes.
struct Truth {
    name: &'static str,
    median: f64,
    spread: f64,
    /// A factor on the time run, as when every temperature is read wrong.
    clock: f64,
}

fn prior() -> Prior {
    Prior {
        viability: Beta::new(17.0, 3.0).unwrap(),
        timing: Timing::new(100.0, 0.15).unwrap(),
        median_doubt: 0.25,
        spread_doubt: 0.2,
    }
}

/// One sowing watched up to five times: where the true final number falls in what was foretold, 0 to 1, with ties broken
/// by the dice, and whether the 80 % interval held it.
fn watch(dice: &mut Dice, sown: u32, truth: &Truth) -> (f64, bool) {
    let prior = prior();
    let median = truth.median * 100.0 * (0.25 * dice.normal()).exp();
    let spread = truth.spread * 0.15 * (0.2 * dice.normal()).exp();
    let viability = dice.viability();
    let emergence: Vec<f64> = (0..sown)
        .map(|_| {
            let (alive, u) = (dice.uniform() < viability, dice.uniform());
            if alive { median * (u / (1.0 - u)).powf(spread) } else { f64::INFINITY }
        })
        .collect();
    let up_by = |time: f64| emergence.iter().filter(|t| **t <= time).count() as u32;
    let counts = 1.0 + (5.0 * dice.uniform()).floor();
    let last = 40.0 + 160.0 * dice.uniform();
    let seen: Vec<Seen> = (1..=counts as u32)
        .map(|i| f64::from(i) / counts * last)
        .map(|time| Seen { progress: time * truth.clock, up: up_by(time) })
        .collect();
    let outlook = outlook(sown, &prior, &seen).unwrap();
    let total = up_by(f64::MAX);
    let (at_least, above) = (outlook.chance_of_total(total), outlook.chance_of_total(total + 1));
    let below = 1.0 - at_least;
    let held = (outlook.final_quantile(0.1)..=outlook.final_quantile(0.9)).contains(&total);
    (below + dice.uniform() * (at_least - above), held)
}

#[test]
fn what_was_foretold_comes_true_as_often_as_foretold() {
    let truth = Truth { name: "as assumed", median: 1.0, spread: 1.0, clock: 1.0 };
    for sown in [6, 20, 100] {
        let mut dice = Dice(u64::from(sown));
        let mut bins = [0u32; BINS];
        for _ in 0..TRIALS {
            let (rank, _) = watch(&mut dice, sown, &truth);
            bins[((rank * BINS as f64) as usize).min(BINS - 1)] += 1;
        }
        let even = f64::from(TRIALS) / BINS as f64;
        let chi_square: f64 = bins.iter().map(|n| (f64::from(*n) - even).powi(2) / even).sum();
        println!("{sown} seeds: chi-square {chi_square:.1} of at most {CHI_SQUARE_LIMIT}, {bins:?}");
        assert!(chi_square < CHI_SQUARE_LIMIT, "{sown} seeds: {chi_square}, {bins:?}");
    }
}

/// Two degrees at 15 C over a base of 5 C make a fifth of the thermal time.
#[test]
fn wrong_models_are_reported() {
    let truths = [
        Truth { name: "as assumed", median: 1.0, spread: 1.0, clock: 1.0 },
        Truth { name: "median 30 % late", median: 1.3, spread: 1.0, clock: 1.0 },
        Truth { name: "median 30 % early", median: 0.7, spread: 1.0, clock: 1.0 },
        Truth { name: "2 C read too high", median: 1.0, spread: 1.0, clock: 1.2 },
        Truth { name: "2 C read too low", median: 1.0, spread: 1.0, clock: 0.8 },
        Truth { name: "spread doubled", median: 1.0, spread: 2.0, clock: 1.0 },
    ];
    println!("share of 80 % intervals that held the final number");
    println!("{:<20} {:>6} {:>6} {:>6}", "truth", 6, 20, 100);
    for truth in &truths {
        let mut line = format!("{:<20}", truth.name);
        for sown in [6, 20, 100] {
            let mut dice = Dice(7 + u64::from(sown));
            let held = (0..500).filter(|_| watch(&mut dice, sown, truth).1).count();
            line += &format!(" {:>6.2}", held as f64 / 500.0);
            // Not a figure from outside: below one half the interval would no longer be worth printing.
            assert!(held > 250, "{}, {sown} seeds: {held} of 500", truth.name);
        }
        println!("{line}");
    }
}
