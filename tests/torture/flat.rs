//! What is live costs the same however much is past: the steps of SQLite's virtual machine for loading and for each
//! kind of act, in a journal of one season and in one of twenty.

use thumbpot::advice::NEWEST;
use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::store::Durability;

use super::derived::desk;
use super::times;
use super::years::steps::steps_of;
use super::years::{generate, today};

const ACTS: [&str; 15] = [
    "sow lettuce 'Kind 0' --seeds 24 --in 24-cell --at propagator/bench",
    "sow carrot 'New Name' --seeds 24 --in 24-cell --at propagator/bench",
    "undo",
    "count 601a 20 --sure",
    "pot-on 601a 12 --into 9cm-potx12 --at sill/bench",
    "move 2025/40a sill/bench",
    "lose 2025/41b 2 --cause mice",
    "plant-out 2025/42b 3",
    "undo",
    "redo",
    "count 2025/16a 11 --sure --on 2025-03-20",
    "note 2025/43 'sturdy'",
    "reading frame --min 2 --max 14",
    "clear 2025/44a --rest discard",
    "undo",
];

fn measured(desk: &mut Desk) -> Vec<(&'static str, u64)> {
    let mut all = Vec::new();
    // The first look prepares the statements; afterwards they cost what they cost.
    for what in ["first load", "load"] {
        let (steps, state) = steps_of(|| desk.state(today()).unwrap());
        assert_eq!(state.batches.values().filter(|batch| state.is_live(batch)).count(), 600);
        all.push((what, steps));
    }
    for line in ACTS {
        let (steps, ran) = steps_of(|| desk.run(line, today(), AfterRefusal::Stop, |_, _| {}));
        ran.unwrap_or_else(|error| panic!("{line}: {error}"));
        all.push((line, steps));
    }
    all
}

#[test]
fn loading_and_every_act_cost_the_same_among_twenty_seasons_past() {
    let folder = tempfile::tempdir().unwrap();
    // 12,000 batches in all, some 340,000 entries; in the long form 120,000 and 3,400,000.
    let past = u32::try_from(times(19, 199)).unwrap();
    let [alone, among] = [0, past].map(|past| {
        let path = folder.path().join(format!("{past}.db"));
        let (_, entries) = steps_of(|| generate(&path, past));
        println!("{past} seasons past: {entries} entries");
        measured(&mut desk(&path, Durability::Unsynced).unwrap())
    });
    for ((what, alone), (_, among)) in alone.into_iter().zip(among) {
        println!("{what}: {alone} alone, {among} among many");
        // A sowing looks through the packets of its crop, of which every season past had four, and reads the newest forty
        // past sowings of it, of which there are none alone: whether little is to be expected of it.
        const PAST_SOWING: u64 = 6_000;
        let is_sowing = what.starts_with("sow lettuce");
        let past = if is_sowing { 45 * 4 * u64::from(past) + NEWEST as u64 * PAST_SOWING } else { 0 };
        assert!(among <= alone + alone / 100 + past, "{what}: {alone} steps alone, {among} among many");
    }
}

#[test]
fn the_first_frame_costs_the_same_once_there_is_a_record_to_learn_from() {
    // Thirteen seasons and a look over them take minutes in a program that is not optimised: the long form does it.
    if times(0, 1) == 0 {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    // Ten seasons give each crop the forty sowings and packets that are learnt from; thirteen give no more.
    let [ten, thirteen] = [10, 13].map(|past| {
        let path = folder.path().join(format!("{past}.db"));
        steps_of(|| generate(&path, past));
        let mut desk = desk(&path, Durability::Unsynced).unwrap();
        let look = || steps_of(|| desk.board(today()).unwrap()).0;
        // The first look prepares the statements.
        let look = (look(), look()).1;
        let (sow, ran) = steps_of(|| desk.run(ACTS[0], today(), AfterRefusal::Stop, |_, _| {}));
        ran.unwrap();
        [look, sow]
    });
    println!("first frame and a sowing: {ten:?} steps after ten seasons, {thirteen:?} after thirteen");
    for (ten, thirteen) in ten.into_iter().zip(thirteen) {
        assert!(ten > 0 && thirteen <= ten + ten / 100, "{ten} steps after ten seasons, {thirteen} after thirteen");
    }
}
