//! Merging journals that went apart: whichever way and however often, the same acts come to the same.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::path::Path;

use thumbpot::desk::{Desk, DeskError, Throwaway};
use thumbpot::grammar::AfterRefusal;
use thumbpot::journal::State;
use thumbpot::quantity::{Date, DeviceId};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;

const BEGINNING: &str = "
place add sill --kind windowsill
bench add sill/back --size 1200x400mm
lot add tomato 'Copper Lantern' --packed 2025 --seeds 60
sow tomato copper --seeds 20 --in half-tray --at sill
";

fn day() -> Date {
    "2026-04-15".parse().unwrap()
}

fn open(path: &Path, device: u128) -> Desk {
    let device = DeviceId(uuid::Uuid::from_u128(device));
    Desk::open_with(path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap()
}

fn run(desk: &mut Desk, script: &str) {
    desk.run(script, day(), AfterRefusal::Stop, |_, _| {}).unwrap();
}

/// What people see of a state: labels, seed and where every unit went.
fn seen(state: &State) -> Vec<String> {
    let mut lines: Vec<String> = state
        .batches
        .values()
        .map(|batch| {
            let lot = &state.lots[&batch.lot];
            let parts: Vec<String> = state
                .parts_of(batch)
                .map(|(_, part)| format!("{} {} {}", part.letter, part.standing(), state.standing_at(part.container)))
                .collect();
            format!("{} {} {} {:?} {parts:?}", batch.label, lot.crop, lot.variety, state.tally(batch))
        })
        .collect();
    lines.sort();
    lines
}

#[test]
fn journals_that_went_apart_come_together_either_way_and_again() {
    let folder = Throwaway::new().unwrap();
    let (one_file, other_file) = (folder.file("one.db"), folder.file("other.db"));
    let mut one = open(&one_file, 1);
    run(&mut one, BEGINNING);
    one.back_up(&other_file).unwrap();
    let mut other = open(&other_file, 2);
    // Apart: both count and both sow their next batch, so both call it 2.
    run(
        &mut one,
        "count 1 12 --sure\nsow lettuce 'Thin Ice' --seeds 15 --in half-tray --at sill\nlose 1 2 --cause slugs\nundo",
    );
    run(&mut other, "count 1 11 --sure\nsow pea 'Ladder Boy' --seeds 10 --in half-tray --at sill");

    let first = one.merge(&other_file).unwrap();
    assert_eq!((first.acts, first.known), (2, 4));
    assert_eq!(first.twins.shared_numbers.len(), 1, "both batches are numbered 2");
    assert!(first.contradictions.is_empty());
    assert!(one.check().unwrap().is_sound());
    let second = other.merge(&one_file).unwrap();
    assert_eq!((second.acts, second.known), (4, 6));
    assert!(other.check().unwrap().is_sound());
    assert_eq!(seen(&one.state(day()).unwrap()), seen(&other.state(day()).unwrap()));

    let again = one.merge(&other_file).unwrap();
    assert_eq!((again.acts, again.known), (0, 10));
    assert_eq!(seen(&one.state(day()).unwrap()), seen(&other.state(day()).unwrap()));

    // Two batches answer to one number until one is relabelled.
    let error = one.run("count 2 3", day(), AfterRefusal::Stop, |_, _| {}).unwrap_err();
    assert!(error.to_string().contains("2026/2~1 or 2026/2~2"), "{error}");
    run(&mut one, "relabel 2~2 3\ncount 3 4 --sure\ncount 2 3 --sure");
    assert!(one.check().unwrap().is_sound());
}

#[test]
fn what_cannot_be_true_together_is_set_aside_and_kept() {
    let folder = Throwaway::new().unwrap();
    let (one_file, other_file) = (folder.file("one.db"), folder.file("other.db"));
    let mut one = open(&one_file, 1);
    run(&mut one, BEGINNING);
    run(&mut one, "count 1 12 --sure");
    one.back_up(&other_file).unwrap();
    let mut other = open(&other_file, 2);
    // Both potted on all twelve.
    run(&mut one, "pot-on 1 12 --into 9cm-pot --at sill");
    run(&mut other, "pot-on 1 12 --into 24-cell --at sill");
    let merged = one.merge(&other_file).unwrap();
    assert_eq!(merged.contradictions.len(), 1, "{merged:?}");
    let findings = one.check().unwrap();
    assert!(findings.is_sound(), "{findings:?}");
    assert_eq!(findings.contradictions.len(), 1);
    let state = one.state(day()).unwrap();
    assert!(state.batches.values().all(|batch| state.tally(batch).balances()));
    // Undoing the other version settles it.
    run(&mut one, "note 1 'the pots are right'");
}

#[test]
fn ticks_made_apart_come_together_and_cells_emptied_twice_are_set_aside() {
    let folder = Throwaway::new().unwrap();
    let (one_file, other_file) = (folder.file("one.db"), folder.file("other.db"));
    let mut one = open(&one_file, 1);
    run(&mut one, BEGINNING);
    run(&mut one, "sow leek 'Long Furrow' --seeds 24 --in 24-cell --at sill\ncount 2 --sure --cells 1-20 --doubled 4");
    one.back_up(&other_file).unwrap();
    let mut other = open(&other_file, 2);
    run(&mut one, "lose 2 --cells 3,4 --cause slugs");
    run(&mut other, "lose 2 --cells 4,5 --cause mice\ncount 2 --sure --cells 1-3,6-20");
    let merged = one.merge(&other_file).unwrap();
    assert_eq!(merged.contradictions.len(), 1, "cell 4 was emptied twice: {merged:?}");
    let back = other.merge(&one_file).unwrap();
    assert_eq!(back.contradictions.len(), 1);
    for desk in [&one, &other] {
        let findings = desk.check().unwrap();
        assert!(findings.is_sound(), "{findings:?}");
    }
    let (ours, theirs) = (one.state(day()).unwrap(), other.state(day()).unwrap());
    assert_eq!(seen(&ours), seen(&theirs));
    let cells = |state: &State| -> Vec<_> { state.parts.keys().filter_map(|id| state.cells(*id)).collect() };
    assert_eq!(cells(&ours), cells(&theirs));
}

/// Keys are given in the order of merging, and nothing that is written out may go by them.
#[test]
fn a_container_shared_from_two_sides_reads_the_same_in_every_journal() {
    let folder = Throwaway::new().unwrap();
    let (one_file, other_file) = (folder.file("one.db"), folder.file("other.db"));
    let mut one = open(&one_file, 1);
    run(&mut one, BEGINNING);
    one.back_up(&other_file).unwrap();
    let mut other = open(&other_file, 2);
    run(&mut one, "sow leek 'Old Rope' --seeds 10 --share 1a");
    run(&mut other, "sow celery 'Pale Post' --seeds 10 --share 1a");
    run(&mut one, "place add yard --kind 'standing ground'");
    run(&mut one, "move 1a yard");
    one.merge(&other_file).unwrap();
    other.merge(&one_file).unwrap();
    let written = |desk: &Desk, name: &str| {
        let file = folder.file(name);
        desk.export(&file).unwrap();
        std::fs::read_to_string(file).unwrap()
    };
    assert_eq!(written(&one, "one.csv"), written(&other, "other.csv"));
}

#[test]
fn what_is_no_sound_journal_is_refused_and_nothing_taken() {
    let folder = Throwaway::new().unwrap();
    let (one_file, other_file) = (folder.file("one.db"), folder.file("other.db"));
    let mut one = open(&one_file, 1);
    run(&mut one, BEGINNING);
    let acts = one.check().unwrap().acts;
    std::fs::write(&other_file, "sown: some").unwrap();
    for bad in [other_file.as_path(), Path::new("/nowhere/at/all.db")] {
        assert!(matches!(one.merge(bad), Err(DeskError::Store(_))), "{}", bad.display());
    }
    assert_eq!(one.check().unwrap().acts, acts);
}
