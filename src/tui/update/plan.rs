//! Acting on the plan of a bench: lifting, turning, nudging, setting down, pinning, and the repacking proposed.

use crate::advice::{Amiss, FreeSpot, Repacking, Shape};
use crate::grammar::{Others, PlaceWords, Request};
use crate::quantity::ContainerId;
use crate::tui::actions::{Id, Where, place};
use crate::tui::message::{Effect, Key, MayGo};
use crate::tui::model::{Cursor, Model, Page, Tone};
use crate::tui::plan::{Lifted, Proposal, Toward, bench_word, thing};
use crate::tui::rows::{OnBench, Section};

use super::perform;
use super::walk::go_to;

const NUDGE: u32 = 10;
const LEAP: u32 = 100;

/// Opens the plan of the bench that the row under the cursor stands on, with the cursor on its container.
pub(super) fn open(model: &mut Model) -> Vec<Effect> {
    let stands = model.subject(false).ok().and_then(|subject| {
        let part = model.board.state.parts.get(subject.parts.first()?)?;
        Some(model.board.state.outermost(part.container))
    });
    let index = match model.page() {
        Page::Benches if model.typed.is_empty() => Some(model.cursor().index),
        _ => stands.and_then(|id| row_of(model, id)),
    };
    model.typed.clear();
    let effects = go_to(model, Page::Plan);
    model.set_cursor(Cursor { section: Section::Standing, index: index.unwrap_or(0) });
    model.settle();
    effects
}

fn row_of(model: &Model, id: ContainerId) -> Option<usize> {
    model.on_benches().position(|row| matches!(row, OnBench::Container(_, row) if row.container == id))
}

/// What a key of the plan does.
pub(super) fn press(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    if place(model) == Where::Hand {
        return in_hand(model, id, key);
    }
    match id {
        Id::Walk => {
            let there = toward(key).and_then(|toward| model.beside(toward));
            if let Some(index) = there.and_then(|id| row_of(model, id)) {
                model.set_cursor(Cursor { section: Section::Standing, index });
            }
            Vec::new()
        }
        Id::NextBench => next_bench(model, true),
        Id::BenchBefore => next_bench(model, false),
        Id::Turn => adjust(model, |shape, words| words.turned = Some(!shape.turned)),
        Id::Pin => adjust(model, |shape, words| words.pinned = Some(!shape.pinned)),
        Id::Propose => match model.plan().and_then(|plan| bench_word(plan).parse().ok()) {
            Some(bench) => vec![Effect::Propose { bench, on: model.on, generation: model.asked() }],
            None => Vec::new(),
        },
        Id::Repack => match model.proposal.take().and_then(|proposal| proposal.bench.parse().ok()) {
            Some(bench) => vec![perform(model, Request::Repack { bench })],
            None => Vec::new(),
        },
        _ => Vec::new(),
    }
}

fn next_bench(model: &mut Model, ahead: bool) -> Vec<Effect> {
    let benches: Vec<_> = model.on_benches().map(OnBench::bench).collect();
    let Some(here) = benches.get(model.cursor().index).copied() else { return Vec::new() };
    let mut order = benches.clone();
    order.dedup();
    let at = order.iter().position(|bench| *bench == here).unwrap_or(0);
    let next = order[(at + if ahead { 1 } else { order.len() - 1 }) % order.len()];
    let index = benches.iter().position(|bench| *bench == next).unwrap_or(0);
    model.set_cursor(Cursor { section: Section::Standing, index });
    Vec::new()
}

/// Logs the container under the cursor as standing a little otherwise than it does.
fn adjust(model: &mut Model, change: impl FnOnce(&Shape, &mut PlaceWords)) -> Vec<Effect> {
    let shape = model.plan().zip(model.container_here());
    let shape = shape.and_then(|(plan, id)| plan.shapes.iter().find(|shape| shape.container == id));
    let Some((shape, thing)) = shape.and_then(|shape| Some((shape, thing(&model.board, shape.container)?))) else {
        model.say(Tone::Trouble, "it has no spot on the plan: m picks it up");
        return Vec::new();
    };
    let mut words = PlaceWords { thing, at: None, bench: None, turned: None, pinned: None, others: Others::AsDrawn };
    change(shape, &mut words);
    vec![perform(model, Request::Place(words))]
}

/// Takes a container off its bench, over the place where it stood.
pub(super) fn lift(model: &mut Model, may_go: MayGo) {
    let MayGo { container, benches: reaches } = may_go;
    let stood = model.plan().map(|plan| plan.bench).zip(shape(model, container).cloned());
    let label = crate::advice::label_of(&model.board.state, container);
    if reaches.is_empty() {
        let kind = model.board.state.containers.get(&container).map_or("it", |held| held.vessel.name.as_str());
        let line = format!("a {kind} was never measured: L, then measure {kind} 380x240mm");
        model.say(Tone::Trouble, line);
        return;
    }
    if stood.as_ref().is_some_and(|(_, shape)| !shape.can_be_noted) {
        let line = format!("{label} goes under the roof only in other rows than a spot would have: leave it unplaced");
        model.say(Tone::Trouble, line);
        return;
    }
    let over = match &stood {
        Some((bench, shape)) => {
            let (x, y, turned) = (shape.x, shape.y, shape.turned);
            reaches.iter().find(|reach| reach.bench == *bench).map(|reach| (*bench, reach.at(x, y, turned)))
        }
        None => reaches.iter().find_map(|reach| Some((reach.bench, *reach.spots.first()?))),
    };
    match over {
        Some((bench, spot)) => {
            let pinned = stood.is_some_and(|(_, shape)| shape.pinned);
            model.lifted = Some(Lifted { container, label, reaches, bench, spot, pinned });
        }
        None => model.say(Tone::Trouble, format!("{label} goes on no bench without moving another")),
    }
}

fn shape(model: &Model, id: ContainerId) -> Option<&Shape> {
    model.plan()?.shapes.iter().find(|shape| shape.container == id)
}

/// Shows a repacking, if it would free anything.
pub(super) fn propose(model: &mut Model, repacking: Repacking) {
    if !repacking.is_worth_it() {
        let not = "not worth it: repacking frees nothing here".to_owned();
        let lines: Vec<String> = std::iter::once(not).chain(repacking.otherwise).collect();
        model.say(Tone::Done, lines.join("; "));
        return;
    }
    model.proposal = model.plan().map(|plan| Proposal { bench: bench_word(plan), repacking });
}

/// What a key does with a container in the hand.
fn in_hand(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    let Some(mut lifted) = model.lifted.clone() else { return Vec::new() };
    let Some(plan) = model.plan_of(lifted.bench) else { return Vec::new() };
    let turned = lifted.spot.turned;
    let found = match (id, key) {
        (Id::NextSpot, _) => lifted.step(true),
        (Id::SpotBefore, _) => lifted.step(false),
        (Id::NextBench, _) => lifted.step_bench(true),
        (Id::BenchBefore, _) => lifted.step_bench(false),
        (Id::Jump, Key::Char(digit)) => {
            digit.to_digit(10).and_then(|number| number.checked_sub(1)).is_some_and(|at| lifted.jump(at as usize))
        }
        (Id::SetDown, _) => return set_down(model, &lifted),
        _ => {
            match id {
                Id::Turn => lifted.turn(plan),
                Id::Pin => lifted.pinned = !lifted.pinned,
                Id::Nudge => toward(key).into_iter().for_each(|way| lifted.nudge(way, NUDGE, plan)),
                Id::Leap => toward(key).into_iter().for_each(|way| lifted.nudge(way, LEAP, plan)),
                _ => {}
            }
            true
        }
    };
    if !found {
        model.say(Tone::Trouble, format!("there is no other for {}", lifted.label));
    } else if id != Id::Turn && lifted.spot.turned != turned {
        model.say(Tone::Trouble, format!("{} goes there only turned the other way: it was turned", lifted.label));
    }
    model.lifted = Some(lifted);
    Vec::new()
}

/// One act, unless it stands there already or something is amiss there.
fn set_down(model: &mut Model, lifted: &Lifted) -> Vec<Effect> {
    let Some(plan) = model.plan_of(lifted.bench) else { return Vec::new() };
    let stands = plan.shapes.iter().find(|shape| shape.container == lifted.container);
    let as_noted = stands.is_some_and(|shape| {
        let spot = FreeSpot { x: shape.x, y: shape.y, turned: shape.turned, ..lifted.spot };
        shape.noted && spot == lifted.spot && shape.pinned == lifted.pinned
    });
    if as_noted {
        model.lifted = None;
        return Vec::new();
    }
    // Too tall within a week is told and no hindrance: it may be a guess.
    let words = match lifted.amiss(plan) {
        Some(Amiss::Off) => Some(format!("{} does not go on this bench: b for another", lifted.label)),
        Some(Amiss::Overlaps) => {
            let other = lifted.reach().and_then(|reach| plan.in_the_way(lifted.container, reach, lifted.spot));
            let other = other.map_or("another", |shape| shape.label.as_str());
            Some(format!("{} would stand in {other} there: n for a free spot", lifted.label))
        }
        Some(Amiss::TooTall | Amiss::TooTallAnywhere) | None => None,
    };
    if let Some(words) = words {
        model.say(Tone::Trouble, words);
        return Vec::new();
    }
    match lifted.set_down(&model.board, &bench_word(plan)) {
        Some(request) => vec![perform(model, request)],
        None => Vec::new(),
    }
}

const fn toward(key: Key) -> Option<Toward> {
    Some(match key {
        Key::Left | Key::Char('h' | 'H') => Toward::Left,
        Key::Down | Key::Char('j' | 'J') => Toward::Front,
        Key::Up | Key::Char('k' | 'K') => Toward::Back,
        Key::Right | Key::Char('l' | 'L') => Toward::Right,
        _ => return None,
    })
}
