//! A disk that fails: every write, sync, truncation, opening and deletion in turn. Afterwards the journal opens and
//! holds exactly the acknowledged acts, and each refusal said what happened.

use std::collections::BTreeSet;

use thumbpot::desk::DeskError;
use thumbpot::grammar::AfterRefusal;
use thumbpot::store::{Durability, Journal};

use super::derived::{DEVICE, day, desk};
use super::disk::{Call, Disk, Failing, Fault};
use super::power::acts_of;
use super::times;

const LINES: [&str; 11] = [
    "place add sill --kind windowsill",
    "bench add sill/left --size 900x300mm",
    "carrier add crate --in 1020-carrier --at sill/left",
    "sow lettuce 'Tin Whistle' --seeds 24 --in 24-cell --at sill/left",
    "count 1a 20",
    "pot-on 1a 12 --into 9cm-potx12 --at crate --rest discard",
    "undo",
    "redo",
    "move 1b sill/left --count 4",
    "lose 1b 2 --cause mice",
    "clear 1a",
];

const EVERY_FAILING: [Failing; 4] = [Failing::Error, Failing::Full, Failing::Short, Failing::ReadOnly];

/// What became of a sitting on a failing disk.
struct Outcome {
    fired: bool,
    messages: BTreeSet<String>,
}

/// Two sittings with a fault in one of them; the disk is mended after, and the journal looked at.
fn sit(fault: Fault) -> Outcome {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    let disk = Disk::under(folder.path(), Some(fault));
    let mut acknowledged = Vec::new();
    let mut messages = BTreeSet::new();
    for sitting in [&LINES[..6], &LINES[6..]] {
        let mut desk = match desk(&path, Durability::Synced) {
            Ok(desk) => desk,
            Err(error) => {
                messages.insert(without_path(&error));
                continue;
            }
        };
        for line in sitting {
            let ran = desk.run(line, day(40), AfterRefusal::GoOn, |_, answer| match answer {
                Ok(done) => acknowledged.push(done.act.to_string()),
                // A line may also be refused because the act before it failed.
                Err(error @ DeskError::Store(_)) => _ = messages.insert(without_path(error)),
                Err(_) => {}
            });
            assert!(ran.is_ok());
        }
    }
    let fired = disk.mend();
    let journal = Journal::open(&path, DEVICE, Durability::Synced);
    let journal = journal.unwrap_or_else(|error| panic!("{fault:?}: {error}"));
    assert_eq!(acts_of(&journal).unwrap(), acknowledged, "{fault:?}");
    // A full check now and then: most of its time goes to what other tests show.
    if fault.after.is_multiple_of(times(8, 1)) {
        let findings = journal.check().unwrap();
        assert!(findings.is_sound(), "{fault:?}: {findings:?}");
    }
    Outcome { fired, messages }
}

fn without_path(error: &DeskError) -> String {
    let text = error.to_string();
    text.split_once("journal.db ").map_or(text.clone(), |(_, rest)| rest.to_owned())
}

fn every_point(call: Call) {
    let mut messages = BTreeSet::new();
    let mut runs = 0;
    for after in 0.. {
        let mut fired = false;
        for kind in 0..times(1, 8) {
            let kind = usize::try_from(if times(0, 1) == 1 { kind } else { after }).unwrap();
            let failing = EVERY_FAILING[kind % EVERY_FAILING.len()];
            let fault = Fault { call, after, failing, for_ever: kind / EVERY_FAILING.len() % 2 == 1 };
            let outcome = sit(fault);
            fired |= outcome.fired;
            messages.extend(outcome.messages);
            runs += 1;
        }
        if !fired {
            assert!(after > 0, "{call:?}: nothing ever failed");
            break;
        }
    }
    println!("{call:?}: {runs} runs; {messages:#?}");
    assert!(!messages.is_empty(), "{call:?}: a failing disk was never told of");
    for message in messages {
        let is_told = ["disk", "cannot be opened", "cannot be written", "brought up to date", "damaged"];
        assert!(is_told.iter().any(|words| message.contains(words)), "{call:?}: {message}");
    }
}

#[test]
fn every_write_fails_in_turn() {
    every_point(Call::Write);
}

#[test]
fn every_sync_fails_in_turn() {
    every_point(Call::Sync);
}

#[test]
fn every_truncation_and_deletion_fails_in_turn() {
    for call in [Call::Truncate, Call::Delete] {
        for after in 0..4 {
            for for_ever in [false, true] {
                sit(Fault { call, after, failing: Failing::Error, for_ever });
            }
        }
    }
}

#[test]
fn every_opening_fails_in_turn() {
    every_point(Call::Open);
}
