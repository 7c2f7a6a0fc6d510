//! The benches: the plan of the one the cursor is on, and all of them as a list with what stands on each.

use crate::advice::{BenchPlan, BenchSpace, StandingRow};
use crate::quantity::BenchId;
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::{Align, wrap};
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
    Row(usize, &'a StandingRow),
    Bare,
}

/// Draws the page: the plan above or, on a wide screen, beside the list.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(plan) = plan_here(model) else { return list(model, canvas) };
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
    let goes = may_go(model, all).len().min(3);
    canvas.within((0, 0, all, high + 1 + goes), |canvas| drawn(model, plan, canvas));
    canvas.within((0, high + 1 + goes, all, down.saturating_sub(high + 1 + goes)), |canvas| list(model, canvas));
}

/// The plan of the bench under the cursor.
fn plan_here(model: &Model) -> Option<&BenchPlan> {
    let at = model.cursor().index;
    let mut before = 0;
    let bench = model.board.space.benches.iter().find(|bench| {
        before += bench.standing.len();
        at < before
    })?;
    model.plans.iter().find(|plan| plan.bench == bench.bench)
}

/// The plan under its name, and below it where the container may go.
fn drawn(model: &Model, plan: &BenchPlan, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let size = format!("{} x {}", plan.size.length.0, plan.size.width);
    canvas.rule(0, &format!("{}/{} to scale", plan.place_name, plan.name), &size);
    let here = model.standing().nth(model.cursor().index).map(|row| row.container);
    let asked = model.may_go.as_ref().filter(|may_go| Some(may_go.container) == here);
    let free = asked.and_then(|may_go| may_go.benches.iter().find(|(bench, _)| *bench == plan.bench));
    let said = may_go(model, all);
    let high = down.saturating_sub(1 + said.len().min(if all >= BESIDE / 2 && down > 20 { 8 } else { 3 }));
    let drawn = plan::lines(plan, all, high);
    canvas.within((0, 1, all, high), |canvas| {
        plan::draw(plan, here, free.map_or(&[], |(_, spots)| spots.as_slice()), canvas);
    });
    for (y, line) in said.iter().enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(line, all, Role::Quiet);
        canvas.line(1 + drawn + y, strip);
    }
}

/// Where the container under the cursor may go, bench by bench; empty until it is asked.
fn may_go(model: &Model, all: usize) -> Vec<String> {
    let Some(may_go) = &model.may_go else { return Vec::new() };
    if model.standing().nth(model.cursor().index).map(|row| row.container) != Some(may_go.container) {
        return Vec::new();
    }
    let name = |id: &BenchId| {
        let bench = model.board.space.benches.iter().find(|bench| bench.bench == *id);
        bench.map_or_else(String::new, |bench| format!("{}/{}", bench.place_name, bench.name))
    };
    let many = |count: usize| if count == 1 { "1 spot".to_owned() } else { format!("{count} spots") };
    let said: Vec<String> =
        may_go.benches.iter().map(|(bench, spots)| format!("{} {}", name(bench), many(spots.len()))).collect();
    if said.is_empty() {
        return vec!["It may go nowhere without moving another, or was never measured.".to_owned()];
    }
    wrap(&format!("May go to {}: m moves it", said.join(", ")), all.saturating_sub(2))
}

fn list(model: &Model, canvas: &mut Canvas<'_>) {
    let mut lines = Vec::new();
    let mut index = 0;
    for bench in &model.board.space.benches {
        lines.push(Line::Bench(bench));
        if bench.standing.is_empty() {
            lines.push(Line::Bare);
        }
        for row in &bench.standing {
            lines.push(Line::Row(index, row));
            index += 1;
        }
    }
    let cursor = model.cursor();
    let at = lines.iter().position(|line| matches!(line, Line::Row(index, _) if *index == cursor.index)).unwrap_or(0);
    let fit = canvas.height();
    let first = first_shown(lines.len(), fit, at);
    for (y, line) in lines.iter().skip(first).take(fit).enumerate() {
        match line {
            Line::Bench(bench) => bench_line(model, bench, y, canvas),
            Line::Bare => {
                let mut strip = canvas.strip();
                strip.add("   bare", Role::Quiet);
                canvas.line(y, strip);
            }
            Line::Row(index, row) => {
                let here = cursor == Cursor { section: Section::Standing, index: *index };
                let strip = standing(model, row, here, canvas);
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

/// A bench's size, what is free of it, and how many seed trays would fit.
pub(in crate::tui) fn room(model: &Model, bench: &BenchSpace) -> String {
    let more = model.board.trays.benches.iter().find(|fits| fits.bench == bench.bench).map_or(0, |fits| fits.more);
    let trays = match more {
        1 => "1 seed tray fits".to_owned(),
        many => format!("{many} seed trays fit"),
    };
    format!("{} x {}  {}, {trays}", bench.size.length.0, bench.size.width, free(bench))
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
    let right = if canvas.width() < 60 { free(bench) } else { room(model, bench) };
    canvas.rule(y, &format!("{}/{}", bench.place_name, bench.name), &right);
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
