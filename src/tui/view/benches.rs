//! The benches as a list: what stands on each, and what is free.

use crate::advice::{BenchSpace, StandingRow};
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::Align;
use crate::tui::theme::Role;

use super::paint::{Canvas, Strip, first_shown};
use super::words;

/// One line of the list.
enum Line<'a> {
    Bench(&'a BenchSpace),
    Row(usize, &'a StandingRow),
    Bare,
}

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
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

fn bench_line(model: &Model, bench: &BenchSpace, y: usize, canvas: &mut Canvas<'_>) {
    let more = model.board.trays.benches.iter().find(|fits| fits.bench == bench.bench).map_or(0, |fits| fits.more);
    let free = format!("{:.2} of {} free", bench.area.free.0 as f64 / 1e6, bench.area.whole);
    let trays = match more {
        1 => "1 seed tray fits".to_owned(),
        many => format!("{many} seed trays fit"),
    };
    let right = if canvas.width() < 60 {
        free
    } else {
        format!("{} x {}  {free}, {trays}", bench.size.length.0, bench.size.width)
    };
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
    let vessel = match (&row.called, row.pots) {
        (Some(called), _) => called.to_string(),
        (None, 2..) => format!("{} {}", row.pots, row.vessel),
        (None, _) => row.vessel.to_string(),
    };
    strip.column(&vessel, if all < 60 { 11 } else { 16 }, Align::Left, Role::Text).add(" ", Role::Text);
    let plants = words::stands(model, row);
    strip.fill(&plants.join(", "), all, Role::Text);
    strip
}
