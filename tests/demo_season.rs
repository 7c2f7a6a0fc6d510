//! The demonstration's script, `assets/demo.txt`: every line is one the grammar takes, every act is one the journal
//! admits, and what comes of it is the season that the demonstration promises.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::collections::{BTreeMap, BTreeSet};

use thumbpot::desk::{DEMO_DAY, Desk, Throwaway};
use thumbpot::grammar::{Line, Step, parse_line};
use thumbpot::journal::{Beginning, SeedOrigin, Stand, State};
use thumbpot::quantity::{BatchLabel, BenchId, Date, SownUnit};
use thumbpot::science::packing::{Fit, Headroom, Item, Surface, all_fit};
use thumbpot::store::Durability;

const SCRIPT: &str = include_str!("../assets/demo.txt");

/// The script's steps with their line numbers, from 1.
fn steps() -> Vec<(usize, Line)> {
    let read = |(index, text): (usize, &str)| match parse_line(text, DEMO_DAY) {
        Ok(line) => line.map(|line| (index + 1, line)),
        Err(error) => panic!("line {}: {text}\n{error}", index + 1),
    };
    SCRIPT.lines().enumerate().filter_map(read).collect()
}

/// The demonstration, made anew.
fn season() -> (Throwaway, Desk) {
    let folder = Throwaway::new().unwrap();
    let desk = Desk::demonstration(&folder.file("demo.db"), Durability::Unsynced).unwrap();
    (folder, desk)
}

#[test]
fn every_line_parses_and_is_dated_no_later_than_the_day() {
    let steps = steps();
    assert!(steps.len() > 300, "{} lines", steps.len());
    for (number, line) in steps {
        let on = line.on.unwrap_or_else(|| panic!("line {number} has no --on"));
        assert!(on <= DEMO_DAY, "line {number} is dated {on}");
    }
}

#[test]
fn the_comment_over_each_sowing_has_the_number_it_gets() {
    let (_folder, desk) = season();
    let mut promised: BTreeSet<BatchLabel> = BTreeSet::new();
    for comment in SCRIPT.lines().filter_map(|line| line.strip_prefix("# ")) {
        let words = comment.split([' ', ':']).filter_map(|word| word.split_once('/'));
        let label = |(year, number): (&str, &str)| {
            Some(BatchLabel { year: year.parse().ok()?, number: number.parse().ok()?, twin: None })
        };
        promised.extend(words.filter_map(label));
    }
    // Everything ever begun: the state of the day before the last still has what was cleared.
    let state = desk.state(DEMO_DAY.pred_opt().unwrap()).unwrap();
    assert!(state.batches.len() >= 48, "{} batches", state.batches.len());
    for batch in state.batches.values() {
        assert!(promised.contains(&batch.label), "no comment names {}", batch.label);
    }
}

#[test]
fn the_journal_made_of_it_is_sound() {
    let (_folder, desk) = season();
    let findings = desk.check().unwrap();
    assert!(findings.is_sound(), "{findings:?}");
    assert!(findings.contradictions.is_empty());
    assert!(desk.is_demonstration().unwrap());
}

#[test]
fn the_season_is_as_large_and_as_untidy_as_promised() {
    let (_folder, desk) = season();
    let state = desk.state(DEMO_DAY.pred_opt().unwrap()).unwrap();
    let in_year = |year| state.batches.values().filter(|batch| batch.label.year == year).count();
    assert!(in_year(2026) >= 40, "{} batches in 2026", in_year(2026));
    assert!(in_year(2025) >= 4 && in_year(2024) >= 4);
    let live = state.batches.values().filter(|batch| state.is_live(batch)).count();
    assert!((28..=36).contains(&live), "{live} live");
    let empty = |batch: &&thumbpot::journal::Batch| state.is_live(batch) && state.tally(batch).standing == 0;
    let lost = |batch: &&thumbpot::journal::Batch| state.tally(batch).lost > 0;
    assert!(state.batches.values().filter(empty).filter(lost).count() >= 3, "forgotten and dead trays");
    assert!(state.places.len() >= 6 && state.benches.len() >= 8);
    let packed: BTreeSet<i32> = state.lots.values().filter_map(|lot| lot.packed).collect();
    assert_eq!(packed, BTreeSet::from([2023, 2024, 2025]));
    assert!(state.lots.values().any(|lot| lot.origin == SeedOrigin::HomeSaved));
    let unit = |wanted| {
        let is = |beginning| matches!(beginning, Beginning::Sown { unit, .. } if unit == wanted);
        state.batches.values().filter(|batch| is(batch.beginning)).count()
    };
    assert!(unit(SownUnit::Cluster) >= 2 && unit(SownUnit::Pinch) >= 2);
    let shared = |held: &&thumbpot::journal::Container| {
        held.parts.iter().filter_map(|id| state.parts.get(id)).map(|part| part.batch).collect::<BTreeSet<_>>().len() > 1
    };
    assert!(state.containers.values().filter(shared).count() >= 3, "shared trays");
    let today = desk.state(DEMO_DAY).unwrap();
    assert!(today.containers.values().any(|held| held.out.is_some()), "a group is out for the day");
    let steps = steps();
    let late = steps.windows(2).filter(|pair| pair[1].1.on < pair[0].1.on).count();
    assert!(late >= 4, "{late} lines go back in time");
    assert!(steps.iter().any(|(_, line)| matches!(line.step, Step::Redo)));
    let ticked = || today.parts.values().filter_map(|part| part.ticked.as_ref());
    assert!(ticked().any(|ticked| ticked.now.is_none()), "a tray counted again since it was ticked");
    let doubled = |ticks: &thumbpot::journal::Ticks| !ticks.doubled().is_empty();
    assert!(ticked().filter_map(|ticked| ticked.now.as_ref()).any(doubled), "ticks of the present, some doubled");
}

/// What stands on each bench, pot by pot.
fn on_benches(state: &State) -> BTreeMap<BenchId, Vec<Item>> {
    let mut items: BTreeMap<BenchId, Vec<Item>> = BTreeMap::new();
    for (_, held) in state.containers.iter().filter(|(id, _)| state.is_occupied(**id)) {
        let Stand::Bench(bench) = held.stand else { continue };
        if let Some((length, width)) = held.vessel.length.zip(held.vessel.width) {
            let one = Item::new(length, width, None).unwrap();
            items.entry(bench).or_default().extend((0..held.vessel.pots).map(|_| one));
        }
    }
    items
}

#[test]
fn what_stands_on_each_bench_fits_on_it_every_day_of_the_season() {
    let (_folder, desk) = season();
    let mut taken = (0, 0);
    for day in Date::from_ymd_opt(2026, 1, 24).unwrap().iter_days().take_while(|day| *day <= DEMO_DAY) {
        let state = desk.state(day).unwrap();
        for (id, items) in on_benches(&state) {
            let bench = &state.benches[&id];
            let headroom = bench.size.headroom_back.zip(bench.size.headroom_front);
            let headroom = headroom.map(|(back, front)| Headroom { back, front });
            let surface = Surface::new(bench.size.length, bench.size.width, headroom).unwrap();
            let area: u64 = items.iter().map(|item| item.area().0).sum();
            let name = format!("{}/{}", state.places[&bench.place].name, bench.name);
            let fits = matches!(all_fit(&surface, &items), Ok(Fit::Yes(_)));
            let percent = area * 100 / surface.area().0;
            assert!(fits, "{day}: {name} cannot hold {} things on {percent} % of it", items.len());
            if day == DEMO_DAY {
                taken = (taken.0 + area, taken.1 + surface.area().0);
            }
        }
    }
    assert!(taken.0 * 2 > taken.1, "the benches in use are more than half full");
}
