//! Random seasons: steps that name things by position and numbers by nearness, so that about half can be true.

use std::collections::BTreeMap;

use proptest::prelude::*;
use thumbpot::advice::to_wash;
use thumbpot::journal::{
    Act, Cause, Cell, Departure, Entry, Fact, Growth, Moving, MovingOn, Observed, Part, Recount, Refusal, Rest, Room,
    Source, Sowing, Stand, State, Ticks, Topic, Transfer, Vessel, Wrong,
};
use thumbpot::quantity::{BatchLabel, CellSet, ContainerClass, ContainerId, Date, PartId, Remark, SownUnit};

use super::log::{Garden, cells, crate_tray, day, name, paper, pots, seed, sowing, tray, up};
use super::promises::assert_kept;

#[derive(Clone, Copy, Debug)]
pub(crate) enum Number {
    /// What stands, and so many more or fewer.
    Near(i64),
    /// Any number in a gardener's range.
    Plain(u32),
    /// What nobody has.
    Absurd(u32),
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    verb: u8,
    /// Up to 20 for an act noted on its day; else backdated or foredated: the day of March it is noted for.
    day: u8,
    pick: u8,
    other: u8,
    number: Number,
    flags: u8,
}

const VERBS: [&str; 29] = [
    "sow",
    "sow",
    "share",
    "receive",
    "count",
    "count",
    "count",
    "count",
    "tick",
    "tick",
    "empty cells",
    "empty cells",
    "move on",
    "move on",
    "move on",
    "share on",
    "move",
    "part",
    "part",
    "put out",
    "bring in",
    "depart",
    "plant out",
    "clear",
    "set carrier",
    "undo",
    "redo",
    "identify or note",
    "wash",
];

pub(crate) fn season() -> impl Strategy<Value = Vec<Step>> {
    let number = prop_oneof![
        4 => (-3_i64..=3).prop_map(Number::Near),
        4 => (-20_i64..=0).prop_map(Number::Near),
        5 => (0_u32..60).prop_map(Number::Plain),
        1 => prop::sample::select(vec![99_999, 100_000, 100_001, u32::MAX]).prop_map(Number::Absurd),
    ];
    let step = (0..VERBS.len() as u8, 0_u8..28, any::<u8>(), any::<u8>(), number, any::<u8>())
        .prop_map(|(verb, day, pick, other, number, flags)| Step { verb, day, pick, other, number, flags });
    prop::collection::vec(step, 1..80)
}

/// A garden after a random season, and how often each verb was accepted and refused.
pub(crate) struct Season {
    pub(crate) garden: Garden,
    pub(crate) tried: BTreeMap<&'static str, (u32, u32)>,
}

pub(crate) fn live(steps: &[Step]) -> Season {
    let mut season = Season { garden: planted(), tried: BTreeMap::new() };
    for (index, step) in steps.iter().enumerate() {
        let days = if step.day <= 20 { index * 27 / steps.len() } else { usize::from(step.pick % 28) };
        let accepted = season.take(*step, day("03-01") + chrono::Days::new(days as u64));
        let tried = season.tried.entry(VERBS[usize::from(step.verb)]).or_default();
        if accepted { tried.0 += 1 } else { tried.1 += 1 }
    }
    season
}

/// What every season begins with: a set of pots, a tray shared by two crops, and clusters in cells on a carrier.
fn planted() -> Garden {
    let mut garden = Garden::new();
    let sill = Stand::Bench(garden.sill);
    garden.does("03-01", Act::SetCarrier { vessel: crate_tray(), called: name("crate"), stand: sill });
    let carrier = *garden.log.state().containers.keys().next().unwrap();
    garden.sows("03-01", 201, SownUnit::Seed, 12, garden.on_sill(pots(12), 1));
    garden.sows("03-01", 202, SownUnit::Seed, 40, garden.on_sill(tray(), 1));
    garden.sows("03-01", 203, SownUnit::Pinch, 30, Room::Shared(garden.container("202a")));
    let on_carrier = Room::New { vessel: cells(24), count: 1, stand: Stand::Carrier(carrier), spot: None };
    garden.sows("03-01", 204, SownUnit::Cluster, 24, on_carrier);
    for (part, number) in [("201a", 10), ("202a", 33), ("203a", 45), ("204a", 20)] {
        garden.counts("03-03", part, up(number));
    }
    garden
}

fn nth<T: Copy>(items: &[T], pick: u8) -> Option<T> {
    if items.is_empty() { None } else { Some(items[usize::from(pick) % items.len()]) }
}

impl Season {
    fn take(&mut self, step: Step, on: Date) -> bool {
        match VERBS[usize::from(step.verb)] {
            "undo" => {
                nth(&self.garden.log.acts_in_force(), step.pick).is_some_and(|act| self.garden.log.undo(act).is_ok())
            }
            "redo" => {
                let undone: Vec<_> = self.garden.log.undone.iter().copied().collect();
                nth(&undone, step.pick).is_some_and(|act| self.garden.log.redo(act).is_ok())
            }
            _ => {
                let state = self.garden.log.state();
                let before = self.garden.log.state_on(on);
                self.act(&state, step).is_some_and(|act| match self.garden.log.perform(on, &act) {
                    Ok(_) => {
                        assert_kept(&act, &before, &self.garden.log.state_on(on));
                        true
                    }
                    Err(refusal) => {
                        let wrong = match &refusal {
                            Refusal::Impossible(wrong) | Refusal::BreaksLater { wrong, .. } => Some(wrong),
                            _ => None,
                        };
                        assert!(!matches!(wrong, Some(Wrong::LetterTaken(_))), "{act:?}: {refusal}");
                        false
                    }
                })
            }
        }
    }

    fn stand(&self, containers: &[ContainerId], step: Step) -> Stand {
        match step.flags % 4 {
            0 => Stand::Place(self.garden.frame_place),
            1 => Stand::Bench(self.garden.frame),
            2 => nth(containers, step.other).map_or(Stand::Bench(self.garden.sill), Stand::Carrier),
            _ => Stand::Bench(self.garden.sill),
        }
    }

    fn act(&self, state: &State, step: Step) -> Option<Act> {
        let parts: Vec<PartId> = state.parts.keys().copied().collect();
        let containers: Vec<ContainerId> = state.containers.keys().copied().collect();
        let carriers: Vec<ContainerId> =
            containers.iter().copied().filter(|id| state.containers[id].called.is_some()).collect();
        let likely: Vec<PartId> = parts.iter().copied().filter(|part| is_likely(state, *part, step)).collect();
        let part =
            nth(&likely, step.pick / 4).filter(|_| !step.pick.is_multiple_of(4)).or_else(|| nth(&parts, step.pick));
        let known = part.map_or(0, |part| {
            let part = &state.parts[&part];
            i64::from(if part.standing() == 0 && (is(step, "count") || is(step, "tick")) {
                part.sown()
            } else {
                part.standing()
            })
        });
        let plants = match step.number {
            // Fewer leave than stand as often as not.
            Number::Near(off) if off < 0 && !is(step, "count") => u32::try_from(known / (1 - off)).unwrap_or(0),
            Number::Near(off) => u32::try_from(known + off).unwrap_or(0),
            Number::Plain(number) | Number::Absurd(number) => number,
        };
        let flag = |bit: u8| step.flags & (1 << bit) != 0;
        let to = self.stand(if flag(7) && flag(6) { &containers } else { &carriers }, step);
        let new_room =
            |vessel: Vessel| Room::New { vessel, count: 1 + u32::from(step.other % 3), stand: to, spot: None };
        let room = match step.other % 16 {
            0..=3 => new_room(tray()),
            4..=7 => new_room(cells(24)),
            8 => new_room(paper()),
            9 => new_room(crate_tray()),
            _ => new_room(pots(plants.clamp(1, 60))),
        };
        let shared = nth(&containers, step.other).map(Room::Shared);
        let unit =
            [SownUnit::Seed, SownUnit::Seed, SownUnit::Cluster, SownUnit::Pinch][usize::from(step.flags >> 4) % 4];
        let label = BatchLabel { year: 2026, number: u32::from(step.pick), twin: None };
        let per_cell = flag(3).then_some(1 + u32::from(step.other % 3));
        let from = if flag(2) { "unknown" } else { "lettuce" };
        let sow = |room| Act::Sow(Sowing { seed: seed(from), ..sowing(label.number, unit, plants, per_cell, room) });
        let recount = if flag(0) { Recount::Yes } else { Recount::No };
        let rest = if flag(1) { Rest::Discard } else { Rest::Keep };
        let move_on = |part, room| {
            Act::MoveOn(MovingOn { part, plants, room, per_cell, recount, doubles: flag(6) && flag(5), rest })
        };
        Some(match VERBS[usize::from(step.verb)] {
            "sow" => sow(room),
            "share" => sow(shared?),
            "receive" => Act::Receive { label, seed: seed(from), plants, room },
            "count" => Act::Count { part: part?, observed: observed(plants, known, step) },
            "tick" => Act::Count { part: part?, observed: ticked(state, part?, plants, step) },
            "empty cells" => emptied(state, part?, step, move_on(part?, room)),
            "move on" => move_on(part?, room),
            "share on" => move_on(part?, shared?),
            "move" => Act::Move { moving: vec![Moving::Whole(nth(&containers, step.pick)?)], to, spot: None },
            "part" => {
                let mut moving = vec![Moving::Some { part: part?, plants }];
                if flag(4) {
                    moving.push(Moving::Some { part: nth(&parts, step.other)?, plants: 1 });
                }
                Act::Move { moving, to, spot: None }
            }
            "put out" => {
                let place = self.garden.frame_place;
                Act::PutOut { containers: vec![nth(&containers, step.pick)?, nth(&containers, step.other)?], place }
            }
            "bring in" => {
                let is_out = |id: &ContainerId| flag(0) && flag(1) || state.containers[id].out.is_some();
                let out: Vec<_> = containers.into_iter().filter(is_out).collect();
                Act::BringIn { containers: vec![nth(&out, step.pick)?] }
            }
            "depart" => match step.flags % 4 {
                0 => Act::Lose { part: part?, plants, cause: Cause::Mice, remark: None },
                1 => Act::Thin { part: part?, plants },
                2 => Act::Discard { part: part?, plants },
                _ => Act::GiveAway { part: part?, plants },
            },
            "plant out" => Act::PlantOut { part: part?, plants, bed: None, recount },
            "clear" => Act::Clear { parts: vec![part?], rest },
            "wash" => Act::Wash { name: name("seed-tray"), count: plants },
            "set carrier" => Act::SetCarrier { vessel: crate_tray(), called: name("crate"), stand: to },
            _ => {
                let batch = state.parts[&part?].batch;
                match step.flags % 3 {
                    0 => Act::Identify { batch, seed: seed("dill") },
                    1 => Act::Stage {
                        part: part?,
                        growth: Growth { leaves: Some(2), height: None, leggy: false, roots: false },
                    },
                    _ => Act::Note { topic: Topic::Batch(batch), remark: Remark::new("seen").unwrap() },
                }
            }
        })
    }
}

fn is(step: Step, verb: &str) -> bool {
    VERBS[usize::from(step.verb)] == verb
}

/// A part of which the verb can be true.
fn is_likely(state: &State, part: PartId, step: Step) -> bool {
    let part = &state.parts[&part];
    match VERBS[usize::from(step.verb)] {
        "part" => state.containers[&part.container].vessel.pots > 1 && part.standing() > 1,
        "clear" => part.is_live(),
        "count" => true,
        "tick" => cells_of(state, part).is_some(),
        "empty cells" => part.standing() > 0 && part.ticked.as_ref().is_some_and(|ticked| ticked.now.is_some()),
        _ => part.standing() > 0,
    }
}

fn observed(plants: u32, known: i64, step: Step) -> Observed {
    let (up, standing, gaps) = match step.flags % 8 {
        0..=2 => (Some(plants), None, None),
        3 | 4 => (None, Some(plants), None),
        5 => (None, None, Some(u32::from(step.other % 30))),
        6 => (Some(plants), Some(u32::try_from(known).unwrap_or(0)), None),
        _ => (Some(plants), None, Some(u32::from(step.other % 30))),
    };
    Observed { up, standing, gaps, doubles: step.flags >> 5 == 0, ticks: None }
}

fn cells_of(state: &State, part: &Part) -> Option<u32> {
    let vessel = &state.containers[&part.container].vessel;
    match vessel.class {
        ContainerClass::CellTray => vessel.cells,
        ContainerClass::Pot => Some(vessel.pots),
        _ => None,
    }
}

/// A count by ticks: about as many cells as plants, here and there doubled, now and then with a number beside them.
fn ticked(state: &State, part: PartId, plants: u32, step: Step) -> Observed {
    let there = cells_of(state, &state.parts[&part]).unwrap_or(20).max(1);
    let cell = |n: u32| (n * 7 + u32::from(step.pick)) % there + 1 + u32::from(step.flags == 7);
    let doubled: CellSet = (0..u32::from(step.flags % 4)).filter(|_| step.flags & 16 != 0).map(cell).collect();
    let cells: CellSet = (0..plants.min(there).saturating_sub(doubled.len())).map(cell).collect();
    let ticks = Ticks::new(&cells, doubled);
    let beside = step.flags & 0b1110_0000 == 0;
    Observed { up: None, standing: beside.then(|| ticks.plants()), ticks: Some(ticks), ..observed(0, 0, step) }
}

/// Some of the ticked cells emptied, or one that may hold nothing.
fn emptied(state: &State, part: PartId, step: Step, move_on: Act) -> Act {
    let now = state.parts[&part].ticked.as_ref().and_then(|ticked| ticked.now.clone()).unwrap_or_default();
    let held: Vec<u32> = if step.flags & 8 == 0 { now.cells().iter() } else { now.doubled().iter() }.collect();
    let some = held.iter().copied().skip(usize::from(step.pick % 4)).take(1 + usize::from(step.other % 5));
    let cells: CellSet = some.chain((step.flags & 7 == 0).then_some(u32::from(step.other % 30))).collect();
    let how = (step.flags % 4 == 1).then_some(&Departure::Thinned);
    let plants = state.parts[&part].plants_in(&cells, how) + u32::from(step.pick.is_multiple_of(16));
    let taking = match step.flags % 4 {
        0 => Act::Lose { part, plants, cause: Cause::Mice, remark: None },
        1 => Act::Thin { part, plants },
        2 => match move_on {
            Act::MoveOn(moving) => Act::MoveOn(MovingOn { plants, recount: Recount::No, doubles: false, ..moving }),
            other => other,
        },
        _ => Act::PlantOut { part, plants, bed: None, recount: Recount::No },
    };
    Act::FromCells { cells, taking: Box::new(taking) }
}

/// The cells show what the log says of them: as many plants as stand while the ticks are of the present.
fn assert_cells(state: &State, on: Date) {
    for (id, part) in &state.parts {
        let shown = state.cells(*id).unwrap_or_default();
        assert_eq!(u32::try_from(shown.len()).unwrap(), cells_of(state, part).unwrap_or(0), "{on}");
        let of = |kind: Cell| u32::try_from(shown.iter().filter(|cell| **cell == kind).count()).unwrap();
        let Some(ticked) = &part.ticked else { continue };
        let Some(now) = &ticked.now else {
            assert_eq!(of(Cell::Up) + of(Cell::Doubled), 0, "{on}: ticks of an earlier day shown: {part:?}");
            continue;
        };
        let parted = cells_of(state, part) < now.cells().last();
        assert!(!parted && now.doubled().beyond(now.cells()).is_none(), "{on}: {part:?}");
        assert_eq!((of(Cell::Doubled), of(Cell::Up)), (now.doubled().len(), now.cells().len() - now.doubled().len()));
        let clusters = part.is_sown() && State::unit(&state.batches[&part.batch]) == SownUnit::Cluster;
        if !clusters {
            assert_eq!(now.plants(), part.standing(), "{on}: ticks and count differ: {part:?}");
        }
        let latest = part.counts.last().expect("a tick is a count");
        assert_eq!(latest.on, ticked.on, "{on}: a later count left the ticks in force: {part:?}");
        if !clusters {
            assert_eq!(latest.standing, ticked.then.plants(), "{on}: {part:?}");
        }
    }
}

/// Every law that a state must keep, each term without saturation, and against sums over the entries themselves.
pub(crate) fn assert_lawful(state: &State, entries: &[&Entry], on: Date) {
    for (id, part) in &state.parts {
        let moved_on: i64 = entries
            .iter()
            .filter_map(|entry| match entry.fact {
                Fact::Filled { source: Source::From { part, plants, .. }, .. } if part == *id => {
                    Some(i64::from(plants))
                }
                _ => None,
            })
            .sum();
        let departed: i64 = departures(entries).filter(|(part, _, _)| part == id).map(|(_, plants, _)| plants).sum();
        let [sown, arrived, up, gained, short] =
            [part.sown(), part.arrived(), part.up, part.gained, part.short].map(i64::from);
        let standing = up + arrived + gained - short - moved_on - departed;
        assert_eq!(standing, i64::from(part.standing()), "{on}: standing of {part:?}");
        assert_eq!(sown + arrived + gained - short, (sown - up) + standing + moved_on + departed);
        assert!(up <= sown && short <= arrived && standing >= 0, "{on}: {part:?}");
        assert!(short == 0 || gained == 0, "{on}: short and gained at once: {part:?}");
        assert!(part.cleared.is_none() || standing == 0, "{on}: cleared with plants: {part:?}");
        assert!(part.curve().windows(2).all(|pair| pair[0].1 <= pair[1].1), "{on}: a curve that falls: {part:?}");
        assert!(state.batches[&part.batch].parts.contains(id) && state.containers[&part.container].parts.contains(id));
    }
    for (id, batch) in &state.batches {
        let tally = state.tally(batch);
        assert!(tally.balances(), "{on}: {tally:?}");
        assert!(tally.not_up <= tally.sown || tally.sown == 0, "{on}: {tally:?}");
        let sown: u32 = state.parts_of(batch).map(|(_, part)| part.sown()).sum();
        assert_eq!(tally.sown, sown);
        let of_batch = |kind: fn(&Departure) -> bool| -> u32 {
            let sum: i64 = departures(entries)
                .filter(|(part, _, how)| state.parts[part].batch == *id && kind(how))
                .map(|(_, plants, _)| plants)
                .sum();
            u32::try_from(sum).unwrap()
        };
        assert_eq!(tally.lost, of_batch(|how| matches!(how, Departure::Lost { .. })));
        assert_eq!(tally.thinned, of_batch(|how| matches!(how, Departure::Thinned)));
        assert_eq!(tally.discarded, of_batch(|how| matches!(how, Departure::Discarded)));
        assert_eq!(tally.given_away, of_batch(|how| matches!(how, Departure::GivenAway)));
        assert_eq!(tally.planted_out, of_batch(|how| matches!(how, Departure::PlantedOut { .. })));
        let mut letters: Vec<_> = state.parts_of(batch).map(|(_, part)| part.letter).collect();
        letters.sort_unstable();
        letters.dedup();
        assert_eq!(letters.len(), batch.parts.len(), "{on}: a letter twice");
    }
    assert_pots(state, entries, on);
    assert_cells(state, on);
    assert_washed(state, entries, on);
}

/// What was washed is what was said, and no more is to be washed than was emptied.
fn assert_washed(state: &State, entries: &[&Entry], on: Date) {
    let said: u64 = entries
        .iter()
        .map(|entry| if let Fact::ContainerWashed { count, .. } = entry.fact { u64::from(count) } else { 0 })
        .sum();
    assert_eq!(state.washed.iter().map(|washed| u64::from(washed.count)).sum::<u64>(), said, "{on}: washed");
    for (kind, count) in to_wash(state, on) {
        let emptied = state.containers.values().filter(|it| {
            it.vessel.name == kind
                && (it.put_away.is_some()
                    || !it.parts.is_empty() && it.parts.iter().all(|part| state.parts[part].cleared.is_some()))
        });
        assert!(count <= emptied.map(|it| it.vessel.pots).sum(), "{on}: {count} of {kind} to be washed");
    }
}

fn departures<'a>(entries: &'a [&Entry]) -> impl Iterator<Item = (PartId, i64, &'a Departure)> {
    entries.iter().filter_map(|entry| match &entry.fact {
        Fact::Departed { part, plants, how, .. } => Some((*part, i64::from(*plants), how)),
        _ => None,
    })
}

/// Pots are conserved too: those a set began with stand in it or were parted from it. Nothing is moved by half.
fn assert_pots(state: &State, entries: &[&Entry], on: Date) {
    for (id, container) in &state.containers {
        let began = entries.iter().find_map(|entry| match &entry.fact {
            Fact::Stood { vessel, .. } if entry.id == id.0 => Some(vessel.pots),
            _ => None,
        });
        let parted: u32 =
            entries
                .iter()
                .filter_map(|entry| match &entry.fact {
                    Fact::Filled {
                        container: into, source: Source::From { part, how: Transfer::Parted, .. }, ..
                    } if state.parts[part].container == *id => entries.iter().find_map(|stood| match &stood.fact {
                        Fact::Stood { vessel, .. } if stood.id == into.0 => Some(vessel.pots),
                        _ => None,
                    }),
                    _ => None,
                })
                .sum();
        assert_eq!(began, Some(container.vessel.pots + parted), "{on}: pots");
        assert!(container.vessel.pots > 0, "{on}: a set without pots");
        let last = container.stays.last().unwrap();
        assert_eq!((last.stand, last.out), (container.stand, container.out), "{on}: the last stay is where it is");
        assert!(state.whereabouts(*id).is_some(), "{on}: a container nowhere");
    }
}
