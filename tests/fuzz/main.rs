//! Every parser, fed with what nobody should feed it. A run of the tests replays the corpus, where every input that
//! ever found a fault stays; a variable says how many seconds to look for new ones:
//!
//!     THUMBPOT_FUZZ_SECONDS=300 cargo test --test fuzz -- grammar --nocapture
//!
//! `.ci/fuzz` does so for each in turn, with the compiler told to count branches: inputs that reach new ones are kept
//! and altered further.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, reason = "a test stops on the first surprise")]

mod alter;
mod branches;
mod targets;

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use alter::Altering;

/// The longest input that is made.
const LONGEST: usize = 4096;

/// Replays the corpus of a target, and goes on to new inputs when asked to.
fn exercise(name: &str, longest: usize, target: impl Fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(name);
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder).unwrap().map(|file| file.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "{} is empty", folder.display());
    let mut corpus: Vec<Vec<u8>> = Vec::new();
    for file in files {
        let input = std::fs::read(&file).unwrap();
        let ran = catch_unwind(AssertUnwindSafe(|| target(&input)));
        assert!(ran.is_ok(), "{} finds a fault", file.display());
        branches::new_ones();
        corpus.push(input);
    }
    if let Some(seconds) = asked("THUMBPOT_FUZZ_SECONDS") {
        look_for_faults(name, &folder, corpus, longest, Duration::from_secs(seconds), &target);
    }
}

fn asked(variable: &str) -> Option<u64> {
    std::env::var_os(variable)?.to_str()?.parse().ok()
}

fn look_for_faults(
    name: &str,
    folder: &Path,
    mut corpus: Vec<Vec<u8>>,
    longest: usize,
    time: Duration,
    target: &impl Fn(&[u8]),
) {
    let start = Instant::now();
    let mut altering = Altering::new(asked("THUMBPOT_FUZZ_SEED").unwrap_or(1), &corpus);
    let mut slowest = (Duration::ZERO, Vec::new());
    let mut found = BTreeSet::new();
    let (mut runs, seeds) = (0_u64, corpus.len());
    while start.elapsed() < time {
        let input = altering.one_of(&corpus, longest);
        let begun = Instant::now();
        let ran = catch_unwind(AssertUnwindSafe(|| target(&input)));
        let took = begun.elapsed();
        runs += 1;
        if took > slowest.0 {
            slowest = (took, input.clone());
        }
        if branches::new_ones() {
            corpus.push(input.clone());
        }
        if let Err(what) = ran {
            let what = what.downcast_ref::<String>().cloned().unwrap_or_default();
            // One input for each message: the same fault is found a thousand times.
            if found.insert(what.chars().filter(|c| !c.is_ascii_digit()).take(80).collect::<String>()) {
                let file = folder.join(format!("found-{:016x}", alter::hash(&input)));
                std::fs::write(&file, &input).unwrap();
                println!("{name}: {what}\n  kept in {}", file.display());
            }
        }
    }
    let (took, input) = slowest;
    println!(
        "{name}: {runs} inputs in {} s, {} with new branches of {}, {} faults; the slowest took {took:?}: {:?}",
        time.as_secs(),
        corpus.len() - seeds,
        branches::seen(),
        found.len(),
        String::from_utf8_lossy(&input[..input.len().min(200)])
    );
    assert!(found.is_empty(), "{name}: {found:#?}");
}

#[test]
fn grammar() {
    exercise("grammar", LONGEST, targets::grammar);
}

#[test]
fn readings() {
    exercise("readings", LONGEST, targets::readings);
}

#[test]
fn forecast() {
    exercise("forecast", LONGEST, targets::forecast);
}

#[test]
fn settings() {
    exercise("settings", LONGEST, targets::settings);
}

#[test]
fn figures() {
    exercise("figures", LONGEST, targets::figures);
}

#[test]
fn journal() {
    exercise("journal", targets::LONGEST_PATCHES, targets::journal);
}

#[test]
fn acts() {
    exercise("acts", LONGEST / 4, targets::acts);
}
