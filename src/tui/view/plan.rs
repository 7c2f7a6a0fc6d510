//! A bench to scale: numbers on shapes, where a container may go, and the side under the higher roof.
//!
//! Cells are twice as high as wide, so a cell stands for twice as many millimetres down as across. Shapes are told
//! apart by their borders and labels; what the cursor is on, what is in the hand and what would be set down elsewhere has
//! a border of its own kind and a sign of its own in it.

use crate::advice::{BenchPlan, FreeSpot, HighSide, Shape};
use crate::quantity::{ContainerId, Millimetres};
use crate::tui::glyphs::Glyphs;
use crate::tui::text::{Align, pad, width, wrap};
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
        // A long and narrow bench is one line high.
        let one_line = depth * across as f64 <= 2.0 * length;
        if across < 8 || lines < (if one_line { 1 } else { 2 }) || length <= 0.0 || depth <= 0.0 {
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

/// How a box stands out on the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Weight {
    /// As the others.
    Plain,
    /// The cursor is on it, or it is in the hand.
    Chosen,
    /// In the hand, where it cannot stand.
    Wrong,
    /// It would be set down there.
    Proposed,
}

/// A box on the plan: from where and how far along the bench and across it, what is written on it, how it stands out.
pub(super) struct Boxed {
    pub(super) x: (Millimetres, Millimetres),
    pub(super) y: (Millimetres, Millimetres),
    pub(super) label: String,
    pub(super) weight: Weight,
}

/// The boxes of what stands on a bench, with the one under the cursor.
pub(super) fn boxes(plan: &BenchPlan, here: Option<ContainerId>, glyphs: &Glyphs) -> Vec<Boxed> {
    let boxed = |shape: &Shape| Boxed {
        x: (shape.x, shape.along),
        y: (shape.y, shape.across),
        label: marked(shape, glyphs),
        weight: if Some(shape.container) == here { Weight::Chosen } else { Weight::Plain },
    };
    plan.shapes.iter().map(boxed).collect()
}

/// A shape's label with its marks: that something is amiss, and that it is pinned.
pub(super) fn marked(shape: &Shape, glyphs: &Glyphs) -> String {
    let amiss = if shape.amiss.is_some() { glyphs.alarm } else { "" };
    let pinned = if shape.pinned { glyphs.pinned } else { "" };
    format!("{amiss}{}{pinned}", shape.label)
}

/// What a spot that something may go to is called: digits first, which a key can name.
pub(super) fn spot_names() -> impl Iterator<Item = char> {
    ('1'..='9').chain('A'..='Z')
}

/// Gives what is too small for its label a letter to be told by, and says which is which: `a 22a, b 23a`; empty where all
/// labels go in. Answers with the lines left for the plan of those there are, and those of the legend.
pub(super) fn keyed(plan: &BenchPlan, boxes: &mut [Boxed], across: usize, high: usize) -> (usize, Vec<String>) {
    // A legend takes lines from the plan, which makes it smaller yet: twice is enough, and then it is cut.
    let lines = |high: usize| legend(&letters(plan, boxes, across, high).1, across).len();
    let first = lines(high);
    let taken = if first == 0 { 0 } else { lines(high.saturating_sub(first)).max(first).min(high / 3) };
    // A line of it is left.
    let taken = taken.min(high.saturating_sub(EDGE + 1));
    let high = high - taken;
    let (labels, said) = letters(plan, boxes, across, high);
    for (one, label) in boxes.iter_mut().zip(labels) {
        one.label = label;
    }
    let mut said = legend(&said, across);
    said.truncate(taken);
    (high, said)
}

fn legend(said: &[String], across: usize) -> Vec<String> {
    if said.is_empty() { Vec::new() } else { wrap(&said.join(", "), across.saturating_sub(2)) }
}

/// What is written on each box, and what the letters among that stand for.
fn letters(plan: &BenchPlan, boxes: &[Boxed], across: usize, high: usize) -> (Vec<String>, Vec<String>) {
    let scale = Scale::of(plan, across.saturating_sub(EDGE), high.saturating_sub(EDGE));
    let (mut keys, mut legend) = ('a'..='z', Vec::new());
    let label = |one: &Boxed| {
        let wide = scale.as_ref().map_or(usize::MAX, |scale| scale.cells(one.x, one.y).2);
        // What stands out has a sign before its label.
        let sign = usize::from(one.weight != Weight::Plain);
        let key = if width(&one.label) + sign + 2 > wide { keys.next() } else { None };
        match key {
            Some(key) => {
                legend.push(format!("{key} {}", one.label));
                key.to_string()
            }
            None => one.label.clone(),
        }
    };
    let labels = boxes.iter().map(label).collect();
    (labels, legend)
}

/// Draws a plan from the upper left of the canvas: free spots under the boxes, and the terminal's cursor on the box that
/// stands out.
pub(super) fn draw(plan: &BenchPlan, boxes: &[Boxed], free: &[FreeSpot], canvas: &mut Canvas<'_>) {
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
        // What is in the hand lies over all else.
        let (above, below): (Vec<&Boxed>, Vec<&Boxed>) = boxes.iter().partition(|one| one.weight != Weight::Plain);
        below.iter().for_each(|one| canvas.within(scale.cells(one.x, one.y), |canvas| stands(one, canvas)));
        for ((x, y, wide, tall), name) in spots.into_iter().zip(spot_names()) {
            let mut strip = canvas.strip();
            strip.add(&name.to_string(), Role::Key);
            canvas.within((x + wide / 2, y + (tall - 1) / 2, 1, 1), |canvas| canvas.line(0, strip));
        }
        above.iter().for_each(|one| canvas.within(scale.cells(one.x, one.y), |canvas| stands(one, canvas)));
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

/// A spot that something may go to, with a gap on the right and below, so that two side by side are two.
fn dots(canvas: &mut Canvas<'_>) {
    let without_gap = |cells: usize| if cells > 3 { cells - 1 } else { cells };
    let dots = canvas.look.glyphs.sown.repeat(without_gap(canvas.width()));
    for y in 0..without_gap(canvas.height()) {
        let mut strip = canvas.strip();
        strip.add(&dots, Role::Good);
        canvas.line(y, strip);
    }
}

/// A container: a box with its label, as much of both as there is room for.
fn stands(one: &Boxed, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let glyphs = canvas.look.glyphs;
    let (role, before) = match one.weight {
        Weight::Plain => (Role::Text, ""),
        Weight::Chosen => (Role::Selected, glyphs.pointer),
        Weight::Wrong => (Role::Alarm, glyphs.alarm),
        Weight::Proposed => (Role::Key, glyphs.leads_to),
    };
    let label = format!("{before}{}", one.label);
    let border = glyphs.border;
    let heavy = one.weight != Weight::Plain;
    let (across, side) = if heavy { (glyphs.taken, glyphs.taken) } else { (glyphs.across, glyphs.down) };
    if matches!(one.weight, Weight::Chosen | Weight::Wrong) {
        canvas.point(0, 0);
    }
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
