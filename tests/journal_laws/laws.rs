//! The laws that no history may break, whatever was done in whatever order and undone.

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use thumbpot::journal::{Entry, History, State, admit, dependents, fold};
use thumbpot::quantity::ActId;

use super::log::{Log, day};
use super::machine::{assert_lawful, live, season};

fn assert_lawful_at_every_date(log: &Log) {
    let history = log.history();
    for days in 0..=29 {
        let on = day("02-28") + chrono::Days::new(days);
        let entries: Vec<&Entry> = history.by(on).collect();
        assert_lawful(&log.state_on(on), &entries, on);
    }
    assert_eq!(log.state_on(day("03-28")), log.state(), "nothing happens after the last day");
}

fn shuffled<T: Clone>(items: &[T], seed: u64) -> Vec<T> {
    // A plain linear congruential step (Knuth's MMIX constants) is disorder enough.
    let mut random = seed | 1;
    let mut items = items.to_vec();
    for last in (1..items.len()).rev() {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        items.swap(last, (random >> 33) as usize % (last + 1));
    }
    items
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn every_unit_is_accounted_for_at_every_date(steps in season()) {
        assert_lawful_at_every_date(&live(&steps).garden.log);
    }

    #[test]
    fn undo_then_redo_is_the_identity_and_dependents_are_all_there_are(steps in season(), order: u64) {
        let log = live(&steps).garden.log;
        let before = log.state();
        for act in shuffled(&log.acts_in_force(), order).into_iter().take(12) {
            let mut other = log.clone();
            match other.undo(act) {
                Ok(()) => {
                    let entries: Vec<Entry> = other.history().entries().to_vec();
                    assert_lawful(&other.state(), &entries.iter().collect::<Vec<_>>(), day("03-31"));
                    prop_assert_eq!(other.redo(act), Ok(()));
                    prop_assert_eq!(&other.state(), &before);
                    prop_assert_eq!(other.history(), log.history());
                }
                Err(later) => {
                    let (_, contradictions) = fold(&log.history().without(&[act]));
                    prop_assert!(contradictions.iter().all(|one| later.contains(&one.act)));
                    prop_assert!(!contradictions.is_empty() && !later.contains(&act));
                    let together: Vec<ActId> = later.iter().copied().chain([act]).collect();
                    prop_assert_eq!(dependents(&log.history(), &together), vec![]);
                    other.undone.extend(together);
                    let rest = other.state();
                    assert_lawful(&rest, &other.history().entries().iter().collect::<Vec<_>>(), day("03-31"));
                }
            }
        }
    }

    #[test]
    fn the_fold_knows_neither_the_order_of_arrival_nor_the_batches(steps in season(), order: u64, size in 1_usize..9) {
        let log = live(&steps).garden.log;
        let history = log.history();
        let mixed = shuffled(history.entries(), order);
        prop_assert_eq!(&History::new(mixed.clone()), &history);
        let in_runs = mixed.chunks(size).fold(History::default(), |history, run| history.with(run));
        prop_assert_eq!(&in_runs, &history);
        let mut state = State::default();
        for entry in history.entries() {
            prop_assert_eq!(state.apply(entry), Ok(()));
        }
        prop_assert_eq!(state, log.state());
    }

    #[test]
    fn the_same_acts_logged_in_another_order_come_to_the_same(steps in season(), order: u64) {
        let log = live(&steps).garden.log;
        let mut waiting = shuffled(&log.acts_in_force(), order);
        let mut other = Log::default();
        // Each act is logged as soon as it is legal beside those logged before it.
        loop {
            let before = waiting.len();
            waiting.retain(|act| {
                let entries = log.entries_of(*act);
                let refused = admit(&other.history(), &entries).is_err();
                if !refused {
                    other.written.extend(entries);
                }
                refused
            });
            if waiting.is_empty() || waiting.len() == before {
                break;
            }
        }
        let (state, contradictions) = fold(&other.history());
        prop_assert_eq!(contradictions, vec![]);
        // Now and then two acts wait for each other (a count that needs a loss, a loss that needs the count).
        prop_assume!(waiting.is_empty());
        prop_assert_eq!(state, log.state());
    }

    #[test]
    fn an_entry_that_cannot_be_true_changes_nothing(steps in season(), order: u64) {
        let log = live(&steps).garden.log;
        let mut state = State::default();
        for entry in shuffled(&log.written, order) {
            let before = state.clone();
            if state.apply(&entry).is_err() {
                prop_assert_eq!(&state, &before);
            }
            for batch in state.batches.values() {
                prop_assert!(state.tally(batch).balances());
            }
        }
    }
}

/// The seasons above are worth something only while every verb is often accepted and often refused.
#[test]
fn random_seasons_do_and_are_refused_everything() {
    let mut runner = TestRunner::deterministic();
    let mut tried: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    let mut most_parts = 0;
    for _ in 0..120 {
        let steps = season().new_tree(&mut runner).unwrap().current();
        let season = live(&steps);
        for (verb, (accepted, refused)) in season.tried {
            let sum = tried.entry(verb).or_default();
            *sum = (sum.0 + accepted, sum.1 + refused);
        }
        let state = season.garden.log.state();
        most_parts = most_parts.max(state.batches.values().map(|batch| batch.parts.len()).max().unwrap_or(0));
    }
    println!("accepted and refused: {tried:?}; parts of one batch: {most_parts}");
    assert_eq!(tried.len(), 20);
    for (verb, (accepted, refused)) in tried {
        assert!(accepted >= 30 && refused >= 30, "{verb}: {accepted} accepted, {refused} refused");
    }
    assert!(most_parts >= 8, "batches are divided");
}
