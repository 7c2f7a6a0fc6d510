//! A bench to scale: numbers on shapes, where a container may go, and the side under the higher roof.
//!
//! Cells are twice as high as wide, so a cell stands for twice as many millimetres down as across. Shapes are told
//! apart by their borders and labels; what the cursor is on has a border of its own kind and the pointer in it.

use crate::advice::{Amiss, BenchPlan, FreeSpot, HighSide, Shape};
use crate::quantity::{ContainerId, Millimetres};
use crate::tui::text::{Align, pad, width};
use crate::tui::theme::Role;

use super::paint::Canvas;

/// Cells of the bench's own edge, both sides together.
const EDGE: usize = 2;

/// Lines a plan needs on a canvas so wide, with its edge; never more than `most`.
pub(super) fn lines(plan: &BenchPlan, across: usize, most: usize) -> usize {
    let scale = Scale::of(plan, across.saturating_sub(EDGE), most.saturating_sub(EDGE));
    scale.map_or(0, |scale| scale.lines + EDGE)
}

/// How many millimetres a cell stands for.
struct Scale {
    across: usize,
    lines: usize,
    cell: f64,
}

impl Scale {
    /// The largest that fits; `None` where nothing would be seen of it.
    fn of(plan: &BenchPlan, across: usize, lines: usize) -> Option<Self> {
        let (length, depth) = (f64::from(plan.size.length.0), f64::from(plan.size.width.0));
        if across < 8 || lines < 2 || length <= 0.0 || depth <= 0.0 {
            return None;
        }
        let cell = (length / across as f64).max(depth / (2.0 * lines as f64));
        let used = |of: f64, most: usize| (of.ceil() as usize).clamp(1, most);
        Some(Self { across: used(length / cell, across), lines: used(depth / cell / 2.0, lines), cell })
    }

    /// The cells from and to which something reaches; at least one, and none it shares with its neighbour.
    fn reach(&self, from: Millimetres, long: Millimetres, per_cell: f64, most: usize) -> (usize, usize) {
        let at = |place: f64| (place / per_cell).round().max(0.0) as usize;
        let start = at(f64::from(from.0)).min(most.saturating_sub(1));
        let end = at(f64::from(from.0) + f64::from(long.0)).clamp(start + 1, most.max(start + 1));
        (start, end - start)
    }

    fn cells(&self, x: (Millimetres, Millimetres), y: (Millimetres, Millimetres)) -> (usize, usize, usize, usize) {
        let (left, wide) = self.reach(x.0, x.1, self.cell, self.across);
        let (top, tall) = self.reach(y.0, y.1, self.cell * 2.0, self.lines);
        (left, top, wide, tall)
    }
}

/// Draws it from the upper left of the canvas.
pub(super) fn draw(plan: &BenchPlan, here: Option<ContainerId>, free: &[FreeSpot], canvas: &mut Canvas<'_>) {
    let Some(scale) = Scale::of(plan, canvas.width().saturating_sub(EDGE), canvas.height().saturating_sub(EDGE)) else {
        return;
    };
    let (roof, open) = sides(plan.high);
    edge(canvas, 0, roof, &scale);
    edge(canvas, scale.lines + 1, open, &scale);
    for line in 0..scale.lines {
        for x in [0, scale.across + 1] {
            let mut strip = canvas.strip();
            strip.add(canvas.look.glyphs.down, Role::Rule);
            canvas.within((x, line + 1, 1, 1), |canvas| canvas.line(0, strip));
        }
    }
    canvas.within((1, 1, scale.across, scale.lines), |canvas| {
        let spots: Vec<_> = free.iter().map(|spot| scale.cells((spot.x, spot.along), (spot.y, spot.across))).collect();
        spots.iter().for_each(|at| canvas.within(*at, dots));
        for shape in &plan.shapes {
            let at = scale.cells((shape.x, shape.along), (shape.y, shape.across));
            canvas.within(at, |canvas| stands(shape, Some(shape.container) == here, canvas));
        }
        for ((x, y, wide, tall), letter) in spots.into_iter().zip('A'..='Z') {
            let mut strip = canvas.strip();
            strip.add(&letter.to_string(), Role::Key);
            canvas.within((x + wide / 2, y + (tall - 1) / 2, 1, 1), |canvas| canvas.line(0, strip));
        }
    });
}

/// What is written on the back and on the front edge.
pub(in crate::tui) const fn sides(high: HighSide) -> (&'static str, &'static str) {
    match high {
        HighSide::Back => ("back: high side", "front: low side"),
        HighSide::Front => ("back: low side", "front: high side"),
        HighSide::Level | HighSide::Open => ("back", "front"),
    }
}

fn edge(canvas: &mut Canvas<'_>, y: usize, text: &str, scale: &Scale) {
    let border = canvas.look.glyphs.border;
    let (left, right) =
        if y == 0 { (border.top_left, border.top_right) } else { (border.bottom_left, border.bottom_right) };
    let across = canvas.look.glyphs.across;
    let text = if width(text) + 4 <= scale.across { format!("{across} {text} ") } else { String::new() };
    let mut strip = canvas.strip();
    strip.add(left, Role::Rule).add(&text, Role::Quiet);
    strip.add(&across.repeat(scale.across.saturating_sub(width(&text))), Role::Rule).add(right, Role::Rule);
    canvas.line(y, strip);
}

/// A spot that something may go to.
fn dots(canvas: &mut Canvas<'_>) {
    let dots = canvas.look.glyphs.sown.repeat(canvas.width());
    for y in 0..canvas.height() {
        let mut strip = canvas.strip();
        strip.add(&dots, Role::Good);
        canvas.line(y, strip);
    }
}

/// A container: a box with its label, as much of both as there is room for.
fn stands(shape: &Shape, here: bool, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let glyphs = canvas.look.glyphs;
    let role = if here { Role::Selected } else { Role::Text };
    let amiss = match shape.amiss {
        Some(Amiss::Off | Amiss::Overlaps | Amiss::TooTall) => glyphs.alarm,
        None => "",
    };
    let label = format!("{}{amiss}{}", if here { glyphs.pointer } else { "" }, shape.label);
    let border = glyphs.border;
    let (across, side) = if here { (glyphs.taken, glyphs.taken) } else { (glyphs.across, glyphs.down) };
    let boxed = all >= 3 && down >= 2;
    for y in 0..down {
        let mut strip = canvas.strip();
        let inner = all.saturating_sub(2);
        match y {
            _ if !boxed && all >= 3 => {
                strip.add("[", role).add(&pad(&label, inner, Align::Left, ""), role).add("]", role);
            }
            _ if !boxed => {
                strip.add(&pad(&label, all, Align::Left, ""), role);
            }
            0 => {
                // Without a line inside, the label stands in the upper border.
                let text =
                    if down == 2 { pad(&label, width(&label).min(inner), Align::Left, "") } else { String::new() };
                let rest = across.repeat(inner.saturating_sub(width(&text)));
                strip.add(border.top_left, role).add(&text, role).add(&rest, role).add(border.top_right, role);
            }
            y if y + 1 == down => {
                strip.add(border.bottom_left, role).add(&across.repeat(inner), role).add(border.bottom_right, role);
            }
            y => {
                let text = if y == 1 { label.as_str() } else { "" };
                strip.add(side, role).add(&pad(text, inner, Align::Left, ""), role).add(side, role);
            }
        }
        canvas.line(y, strip);
    }
}
