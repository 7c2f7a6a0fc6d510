//! A disk that fails: every write, sync, truncation, opening and deletion in turn. Afterwards the journal opens and
//! holds exactly the acknowledged acts, and each refusal said what happened.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use tempfile::TempDir;
use thumbpot::desk::DeskError;
use thumbpot::grammar::AfterRefusal;
use thumbpot::store::{Durability, Journal, holding};

use super::derived::{DEVICE, day, desk};
use super::disk::{Call, Disk, Failing, Fault};
use super::power::{acts_in, acts_of};
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
        // The quiet moment after, when the log is carried over into the file.
        let _ = desk.glance();
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

/// Every call of a kind fails in turn; gives what was said of it.
fn every_point(call: Call) -> BTreeSet<String> {
    every_so_many(call, 1)
}

/// The same for one call of so many.
fn every_so_many(call: Call, step: usize) -> BTreeSet<String> {
    let mut messages = BTreeSet::new();
    let (mut runs, mut fired) = (0, 0);
    for after in (0..).step_by(step) {
        let before = fired;
        for kind in 0..times(1, 8) {
            let kind = if times(0, 1) == 1 { usize::try_from(kind).unwrap() } else { after / step };
            let failing = EVERY_FAILING[kind % EVERY_FAILING.len()];
            let fault = Fault { call, after: after as u64, failing, for_ever: kind / EVERY_FAILING.len() % 2 == 1 };
            let outcome = sit(fault);
            fired += u32::from(outcome.fired);
            for message in &outcome.messages {
                assert!(is_right(call, failing, message), "{fault:?} is told as: {message}");
            }
            messages.extend(outcome.messages.into_iter().map(|message| (failing as u8, message)));
            runs += 1;
        }
        if fired == before {
            assert!(after > 0, "{call:?}: nothing ever failed");
            break;
        }
    }
    println!("{call:?}: {fired} faults in {runs} runs; {messages:#?}");
    messages.into_iter().map(|(_, message)| message).collect()
}

/// What a fault may be told as: a full disk as full, one that takes no writing as that, and no other as damage.
fn is_right(call: Call, failing: Failing, message: &str) -> bool {
    // Only what is opened or written can be full, and only what is written closed to writing.
    let words: &[&str] = match (call, failing) {
        (Call::Open | Call::Write, Failing::Full) => &["is full"],
        // Without the index it can only be looked at.
        (Call::Index, Failing::Full) => &["is full", "only looked at"],
        (Call::Write | Call::Index, Failing::ReadOnly) => &["cannot be written", "readonly"],
        (Call::Open, _) => &["cannot be opened", "unable to open"],
        _ => &["the disk failed", "disk I/O error"],
    };
    let blames_the_disk = message.contains("the disk failed");
    let may_blame = !matches!(failing, Failing::Full | Failing::ReadOnly) || !matches!(call, Call::Write | Call::Index);
    words.iter().any(|words| message.contains(words)) && (may_blame || !blames_the_disk)
}

#[test]
fn every_write_fails_in_turn() {
    assert!(!every_point(Call::Write).is_empty(), "a failing disk was never told of");
}

#[test]
fn every_sync_fails_in_turn() {
    assert!(!every_point(Call::Sync).is_empty(), "a failing disk was never told of");
}

/// Neither is part of an act: they come after, when the log is carried over, and at the first beginning.
#[test]
fn every_truncation_and_deletion_fails_in_turn() {
    every_point(Call::Truncate);
    every_point(Call::Delete);
}

#[test]
fn every_making_of_the_index_fails_in_turn() {
    assert!(!every_point(Call::Index).is_empty(), "a failing disk was never told of");
}

/// There are many: one in so many of each, another each time the program changes what it reads.
#[test]
fn reads_and_locks_fail_in_turn() {
    for (call, step) in [(Call::Read, times(6, 1)), (Call::Lock, times(3, 1))] {
        let told = every_so_many(call, usize::try_from(step).unwrap());
        assert!(!told.is_empty(), "{call:?}: a failing disk was never told of");
    }
}

#[test]
fn every_opening_fails_in_turn() {
    assert!(!every_point(Call::Open).is_empty(), "a failing disk was never told of");
}

/// A journal, a copy of its beginning, and another machine's that went on from there, with the acts of each.
struct Kept {
    folder: TempDir,
    all: BTreeSet<String>,
    beginning: BTreeSet<String>,
    other: BTreeSet<String>,
}

/// Made once, and copied for each fault.
static KEPT: LazyLock<Kept> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let [path, beginning, other] = KEPT_FILES.map(|name| folder.path().join(name));
    let mut open = desk(&path, Durability::Unsynced).unwrap();
    open.run(&LINES[..4].join("\n"), day(40), AfterRefusal::Stop, |_, _| {}).unwrap();
    open.back_up(&beginning).unwrap();
    open.back_up(&other).unwrap();
    open.run(&LINES[4..].join("\n"), day(40), AfterRefusal::GoOn, |_, _| {}).unwrap();
    drop(open);
    let mut theirs = desk(&other, Durability::Unsynced).unwrap();
    theirs.run("note sill dusty\nnote sill dark", day(40), AfterRefusal::Stop, |_, _| {}).unwrap();
    drop(theirs);
    let [all, beginning, other] = [path, beginning, other].map(|file| acts(&acts_in(&file).unwrap()));
    Kept { folder, all, beginning, other }
});

const KEPT_FILES: [&str; 3] = ["journal.db", "beginning.db", "other.db"];

fn acts(list: &[String]) -> BTreeSet<String> {
    list.iter().cloned().collect()
}

/// Copies, merges and restores on a disk that fails; `None` when it never did.
fn keep(fault: Fault) -> Option<usize> {
    let kept = &*KEPT;
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().canonicalize().unwrap().join(name);
    for name in KEPT_FILES {
        std::fs::copy(kept.folder.path().join(name), file(name)).unwrap();
    }
    let (path, copies) = (file("journal.db"), file("journal-copies"));
    std::fs::create_dir(&copies).unwrap();
    let disk = Disk::under(folder.path(), Some(fault));
    Disk::share(&copies, &disk);
    let mut said = Vec::new();
    let mut expected = vec![kept.all.clone()];
    let (mut copied, mut aside) = (false, None);
    if let Ok(mut desk) = desk(&path, Durability::Synced) {
        copied = desk.back_up(&file("copy.db")).map_err(|error| said.push(without_path(&error))).is_ok();
        _ = desk.keep_copy(day(41)).map_err(|error| said.push(without_path(&error)));
        let union: BTreeSet<String> = kept.all.union(&kept.other).cloned().collect();
        match desk.merge(&file("other.db")) {
            Ok(_) => expected = vec![union],
            Err(error) => said.push(without_path(&error)),
        }
        match desk.restore(&file("beginning.db")) {
            Ok(restored) => {
                assert!(restored.was_readable, "{fault:?}: a disk that fails is no damage to the file");
                aside = Some((restored.aside, expected[0].clone()));
                expected = vec![kept.beginning.clone()];
            }
            // It may fail after it is done, when the journal is opened anew.
            Err(error) => {
                said.push(without_path(&error));
                expected.push(kept.beginning.clone());
            }
        }
    }
    let fired = disk.mend();
    if let Some((aside, held)) = aside {
        assert_eq!(acts(&acts_in(&aside).unwrap()), held, "{fault:?}: put aside");
    }
    let journal = Journal::open(&path, DEVICE, Durability::Synced).unwrap_or_else(|error| panic!("{fault:?}: {error}"));
    let held = acts(&acts_of(&journal).unwrap());
    assert!(expected.contains(&held), "{fault:?}: {} acts; {said:?}", held.len());
    assert!(journal.check().unwrap().is_sound(), "{fault:?}");
    // A copy that is there is whole, and one that was called made is there.
    assert_eq!(file("copy.db").exists(), copied, "{fault:?}: {said:?}");
    for folder in [folder.path(), &copies] {
        for found in std::fs::read_dir(folder).unwrap().map(|found| found.unwrap().path()) {
            assert!(found.extension().is_none_or(|ending| ending != "part"), "{fault:?}: {}", found.display());
            if found.extension().is_some_and(|ending| ending == "db") {
                assert!(holding(&found).is_ok(), "{fault:?}: {} is torn", found.display());
            }
        }
    }
    fired.then_some(said.len())
}

#[test]
fn copies_merges_and_restores_on_a_failing_disk_are_whole_or_not_there() {
    let step = usize::try_from(times(9, 1)).unwrap();
    for call in [Call::Open, Call::Write, Call::Sync, Call::Truncate, Call::Delete] {
        let (mut faults, mut told) = (0, 0);
        let step = if call == Call::Write { step } else { 1 };
        for after in (0..).step_by(step) {
            let failing = EVERY_FAILING[after / step % EVERY_FAILING.len()];
            let for_ever = after / step / EVERY_FAILING.len() % 2 == 1;
            let Some(said) = keep(Fault { call, after: after as u64, failing, for_ever }) else { break };
            faults += 1;
            told += u32::from(said > 0);
        }
        println!("{call:?}: {faults} faults, {told} told of");
        assert!(faults > 0 || call == Call::Delete, "{call:?}: nothing ever failed");
    }
}
