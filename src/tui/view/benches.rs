//! The benches: the plan of the one the cursor is on, and all of them as a list with what stands on each.

use crate::advice::{BenchPlan, BenchSpace, Reach, StandingRow};
use crate::tui::model::{Cursor, Model};
use crate::tui::plan::bench_word;
use crate::tui::rows::{OnBench, Section};
use crate::tui::text::{Align, width, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, Strip, first_shown};
use super::{plan, words};

/// From so many cells across the plan stands beside the list.
const BESIDE: usize = 110;
/// Lines the list keeps below a plan.
const LEAST_LIST: usize = 6;

/// One line of the list.
enum Line<'a> {
    Bench(&'a BenchSpace),
    Row(usize, OnBench<'a>),
}

/// Draws the page: the plan above or, on a wide screen, beside the list.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(plan) = model.plan() else { return list(model, canvas) };
    if all >= BESIDE {
        let left = all / 2;
        canvas.within((0, 0, left, down), |canvas| list(model, canvas));
        canvas.within((left + 1, 0, all - left - 1, down), |canvas| drawn(model, plan, canvas));
        return;
    }
    let high = plan::lines(plan, all, down.saturating_sub(LEAST_LIST + 1));
    if high == 0 {
        return list(model, canvas);
    }
    // What is one line high takes its legend from the list.
    let legend = usize::from(high < 5);
    let above = (high + legend + 1 + may_go(model, all).len().min(3)).min(down);
    canvas.within((0, 0, all, above), |canvas| drawn(model, plan, canvas));
    canvas.within((0, above, all, down - above), |canvas| list(model, canvas));
}

/// The plan under its name, and below it where the container may go.
fn drawn(model: &Model, plan: &BenchPlan, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let size = format!("{} x {}", plan.size.length.0, plan.size.width);
    canvas.rule(0, &format!("{}/{} to scale", plan.place_name, plan.name), &size);
    let here = model.container_here();
    let asked = model.may_go.as_ref().filter(|may_go| Some(may_go.container) == here);
    let free = asked.and_then(|may_go| may_go.benches.iter().find(|reach| reach.bench == plan.bench));
    let free = free.map_or(plan.more.as_slice(), |reach| reach.spots.as_slice());
    let mut boxes = plan::boxes(plan, here, &canvas.look.glyphs);
    let said = may_go(model, all);
    let high = down.saturating_sub(1 + said.len().min(if all >= BESIDE / 2 && down > 20 { 8 } else { 3 }));
    let (high, keys) = plan::keyed(plan, &mut boxes, all, high);
    let drawn = plan::lines(plan, all, high);
    canvas.within((0, 1, all, high), |canvas| {
        plan::draw(plan, &boxes, free, canvas);
    });
    for (y, line) in keys.iter().chain(&said).enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(line, all, Role::Quiet);
        canvas.line(1 + drawn + y, strip);
    }
}

/// Where the container under the cursor may go, bench by bench; empty until it is asked.
fn may_go(model: &Model, all: usize) -> Vec<String> {
    let asked = model.may_go.as_ref().filter(|may_go| Some(may_go.container) == model.container_here());
    asked.map_or_else(Vec::new, |may_go| {
        let said = goes_to(model, &may_go.benches);
        let does = if said.ends_with('.') { "" } else { ": m moves it, P picks it up on the plan" };
        wrap(&format!("{said}{does}"), all.saturating_sub(2))
    })
}

/// Where a container may go, bench by bench, in a line.
pub(super) fn goes_to(model: &Model, reaches: &[Reach]) -> String {
    let many = |count: usize| if count == 1 { "1 spot".to_owned() } else { format!("{count} spots") };
    let name = |id| model.plan_of(id).map(bench_word).unwrap_or_default();
    let found = reaches.iter().filter(|reach| !reach.spots.is_empty());
    let said: Vec<String> = found.map(|reach| format!("{} {}", name(reach.bench), many(reach.spots.len()))).collect();
    match (said.is_empty(), reaches.is_empty()) {
        (_, true) => "It was never measured, so nobody can say where it goes.".to_owned(),
        (true, false) => "It may go nowhere without moving another.".to_owned(),
        _ => format!("May go to {}", said.join(", ")),
    }
}

fn list(model: &Model, canvas: &mut Canvas<'_>) {
    let mut lines = Vec::new();
    let mut last = None;
    for (index, row) in model.on_benches().enumerate() {
        let (OnBench::Bare(bench) | OnBench::Container(bench, _)) = row;
        if last.replace(bench.bench) != Some(bench.bench) {
            lines.push(Line::Bench(bench));
        }
        lines.push(Line::Row(index, row));
    }
    let cursor = model.cursor();
    let at = lines.iter().position(|line| matches!(line, Line::Row(index, _) if *index == cursor.index)).unwrap_or(0);
    let fit = canvas.height();
    let first = first_shown(lines.len(), fit, at);
    for (y, line) in lines.iter().skip(first).take(fit).enumerate() {
        match line {
            Line::Bench(bench) => bench_line(model, bench, y, canvas),
            Line::Row(index, row) => {
                let here = cursor == Cursor { section: Section::Standing, index: *index };
                let strip = match row {
                    OnBench::Container(_, row) => standing(model, row, here, canvas),
                    OnBench::Bare(_) => {
                        let mut strip = canvas.strip();
                        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
                        strip.add("  bare", Role::Quiet);
                        strip
                    }
                };
                canvas.line(y, strip);
                if here {
                    canvas.shade(y, Role::Selected);
                    canvas.point(0, y);
                }
            }
        }
    }
}

fn free(bench: &BenchSpace) -> String {
    format!("{:.2} of {} free", bench.area.free.0 as f64 / 1e6, bench.area.whole)
}

/// A bench's size, what is free of it, and how many more trays would fit.
pub(in crate::tui) fn room(model: &Model, bench: &BenchSpace) -> String {
    let trays = model.board.trays_in_words(bench.bench, "more ");
    format!("{} x {}  {}, room for {trays}", bench.size.length.0, bench.size.width, free(bench))
}

/// What a container is, and how many of it.
pub(in crate::tui) fn vessel(row: &StandingRow) -> String {
    match (&row.called, row.pots) {
        (Some(called), _) => called.to_string(),
        (None, 2..) => format!("{} {}", row.pots, row.vessel),
        (None, _) => row.vessel.to_string(),
    }
}

fn bench_line(model: &Model, bench: &BenchSpace, y: usize, canvas: &mut Canvas<'_>) {
    let name = format!("{}/{}", bench.place_name, bench.name);
    // As much as there is room for beside the name.
    let trays = || format!("{}, room for {}", free(bench), model.board.trays_in_words(bench.bench, "more "));
    let goes = |said: &String| width(&name) + width(said) + 8 <= canvas.width();
    let right = [room(model, bench), trays()].into_iter().find(goes).unwrap_or_else(|| free(bench));
    canvas.rule(y, &name, &right);
}

fn standing(model: &Model, row: &StandingRow, here: bool, canvas: &Canvas<'_>) -> Strip {
    let (all, on) = (canvas.width(), model.board.on);
    let mut strip = canvas.strip();
    let held = model.board.state.containers.get(&row.container);
    let ids: Vec<_> = held.iter().flat_map(|held| &held.parts).copied().collect();
    let marked = !ids.is_empty() && ids.iter().all(|id| model.marked.contains(id));
    strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
    strip.add(if marked { canvas.look.glyphs.good } else { " " }, Role::Key);
    let labels: Vec<String> = row.parts.iter().map(|label| words::part(*label, on)).collect();
    strip.column(&labels.join(" "), 9, Align::Right, Role::Key).add(" ", Role::Text);
    strip.column(&vessel(row), if all < 60 { 11 } else { 16 }, Align::Left, Role::Text).add(" ", Role::Text);
    let plants = words::stands(model, row);
    strip.fill(&plants.join(", "), all, Role::Text);
    strip
}
