//! One place: a ribbon of its lows and highs with the tenderest floor across it, what was learnt, and what stands there.

use crate::advice::{Cover, Known, PlaceView};
use crate::quantity::{Celsius, Date};
use crate::tui::glyphs::Glyphs;
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::Align;
use crate::tui::theme::Role;

use super::paint::{Canvas, first_shown};
use super::{tonight, words};

/// Below so many cells across a row says the least.
const NARROW: usize = 64;
/// Cells before the ribbon: the scale and its line.
const SCALE: usize = 6;
/// The least and the most lines the ribbon is drawn on, without its days.
const RIBBON: (usize, usize) = (4, 24);

/// What stands in a cell of the ribbon.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ink {
    Bare,
    Floor,
    Read,
    WorkedOut,
    Expected,
    OneInTen,
}

/// One day of the ribbon, past or to come.
struct Bar {
    day: Date,
    low: f64,
    high: f64,
    ink: Ink,
    /// Down to where one such night in ten goes.
    cold: Option<f64>,
}

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let Some(view) = &model.place else { return };
    let (all, down) = (canvas.width(), canvas.height());
    heading(view, model.board.on, canvas);
    let mut y = 1;
    if let Some((said, role)) = tonight::told(model, view.place, &canvas.look.glyphs) {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(&said, all, role);
        canvas.line(y, strip);
        y += 1;
    }
    let lifts = lifts(view, all);
    // The heading of what stands there and a row of it are kept in sight.
    let listed = 1 + view.standing.len().clamp(1, (down / 4).max(1));
    let room = down.saturating_sub(y + lifts.len() + listed);
    let ribbon_lines = room.saturating_sub(1).min(RIBBON.1);
    if ribbon_lines >= RIBBON.0 {
        canvas.within((0, y, all, ribbon_lines + 1), |canvas| ribbon(view, model.board.on, canvas));
        y += ribbon_lines + 1;
    }
    for line in lifts {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(&line, all, Role::Text);
        canvas.line(y, strip);
        y += 1;
    }
    canvas.within((0, y, all, down.saturating_sub(y)), |canvas| standing(model, view, canvas));
}

fn heading(view: &PlaceView, on: Date, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let mut strip = canvas.strip();
    strip.add(&format!(" {}", view.name), Role::Heading);
    let covered = if view.cover == Cover::On { ", covered" } else { "" };
    let kind = if view.name.same_as(view.kind.word()) { String::new() } else { format!(", {}", view.kind) };
    let tonight = match view.nights.first() {
        Some(night) if Some(night.morning) == on.succ_opt() => {
            format!(": tonight {}, 1 in 10 under {}", night.low, night.low_cold)
        }
        _ => ": of tonight nothing is known".to_owned(),
    };
    strip.fill(&format!("{kind}{covered}{tonight}"), all, Role::Text);
    canvas.line(0, strip);
}

fn lifts(view: &PlaceView, all: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    if view.is_outside {
        lines.push("its readings stand for the weather outside".to_owned());
        lines.extend(view.frosts.map(|frosts| frosts.words()));
    }
    lines.extend(view.lifts.iter().map(|lift| {
        if all >= NARROW {
            return lift.words();
        }
        let (what, mean) = (lift.what.words(), lift.now.mean);
        match lift.readings {
            0 => format!("{what} {mean:+.1}, by the book"),
            read => format!("{what} {mean:+.1}, {read} read, book {}", lift.from_book()),
        }
    }));
    lines
}

fn bars(view: &PlaceView) -> Vec<Bar> {
    let past = view.days.iter().filter_map(|day| {
        let ink = if day.known == Known::Read { Ink::Read } else { Ink::WorkedOut };
        let (low, high) = (day.low.or(day.high)?.0, day.high.or(day.low)?.0);
        Some(Bar { day: day.day, low, high: high.max(low), ink, cold: None })
    });
    let ahead = view.nights.iter().map(|night| {
        let (low, cold) = (night.low.0, night.low_cold.0);
        let high = night.high.map_or(low, |high| high.0.max(low));
        Bar { day: night.morning, low, high, ink: Ink::Expected, cold: Some(cold) }
    });
    past.chain(ahead).collect()
}

/// Lows to highs, a day a column; the floor of the tenderest thing goes across behind them.
fn ribbon(view: &PlaceView, on: Date, canvas: &mut Canvas<'_>) {
    let (all, lines) = (canvas.width(), canvas.height().saturating_sub(1));
    let bars = bars(view);
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else {
        let mut strip = canvas.strip();
        strip
            .add("   nothing was read here, and nothing is forecast: R notes a thermometer, F a forecast", Role::Quiet);
        canvas.line(0, strip);
        return;
    };
    let room = all.saturating_sub(SCALE + 1);
    let days = |from: Date, to: Date| usize::try_from(to.signed_duration_since(from).num_days() + 1).unwrap_or(1);
    let ahead = days(on, last.day.max(on)) - 1;
    let across = (room / (days(first.day, on) + ahead)).clamp(if all < NARROW { 1 } else { 2 }, 3);
    let columns = (room / across).min(days(first.day, on) + ahead);
    let begin = on - chrono::Days::new(columns.saturating_sub(ahead + 1) as u64);
    let floor = view.floor().map(|floor| floor.0);
    let shown: Vec<&Bar> = bars.iter().filter(|bar| bar.day >= begin).collect();
    let scale = Scale::over(
        shown.iter().flat_map(|bar| [bar.low, bar.high]).chain(shown.iter().filter_map(|bar| bar.cold)).chain(floor),
        lines,
    );
    for y in 0..lines {
        let mut strip = canvas.strip();
        strip.column(&scale.label(y), SCALE - 1, Align::Right, Role::Quiet);
        strip.add(canvas.look.glyphs.down, Role::Rule);
        for column in 0..columns {
            let day = begin + chrono::Days::new(column as u64);
            let bar = shown.iter().find(|bar| bar.day == day);
            let ink = bar.map_or(Ink::Bare, |bar| scale.ink(bar, y));
            let behind = floor.is_some_and(|floor| scale.holds(floor, floor, y));
            let ink = if ink == Ink::Bare && behind { Ink::Floor } else { ink };
            let (sign, role) = sign(ink, &canvas.look.glyphs);
            strip.add(&sign.repeat(across.min(2)), role);
            let between = if ink == Ink::Floor { sign } else { " " };
            strip.add(&between.repeat(across.saturating_sub(2)), role);
        }
        canvas.line(y, strip);
    }
    axis(on, begin, columns, across, canvas, lines);
}

/// Today's mark and a few days under the ribbon.
fn axis(on: Date, begin: Date, columns: usize, across: usize, canvas: &mut Canvas<'_>, y: usize) {
    let mut line = " ".repeat(SCALE);
    let today = usize::try_from(on.signed_duration_since(begin).num_days()).unwrap_or(0);
    let mut marks = vec![(0, begin.format("%-d %b").to_string()), (today, "today".to_owned())];
    if let Some(last) = begin.checked_add_days(chrono::Days::new(columns.saturating_sub(1) as u64)) {
        let text = last.format("%-d %b").to_string();
        marks.push((columns.saturating_sub(1 + text.len() / across), text));
    }
    for (column, text) in marks {
        let at = SCALE + column * across;
        if at >= line.len() {
            line.push_str(&" ".repeat(at - line.len()));
            line.push_str(&text);
            line.push(' ');
        }
    }
    let mut strip = canvas.strip();
    strip.add(&line, Role::Quiet);
    canvas.line(y, strip);
}

/// Degrees to lines.
struct Scale {
    top: f64,
    step: f64,
}

impl Scale {
    fn over(degrees: impl Iterator<Item = f64>, lines: usize) -> Self {
        let (low, high) =
            degrees.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| (low.min(it), high.max(it)));
        let lines = lines.max(1) as f64;
        let fits = |step: f64| (high / step).ceil() - (low / step).floor() < lines;
        let step = [1.0, 2.0, 4.0, 5.0, 10.0, 20.0].into_iter().find(|step| fits(*step)).unwrap_or(50.0);
        Self { top: (high / step).ceil() * step, step }
    }

    /// The degrees a line begins at, from below.
    fn base(&self, y: usize) -> f64 {
        self.top - self.step * y as f64
    }

    fn label(&self, y: usize) -> String {
        format!("{:.0}", self.base(y))
    }

    /// True when a line has some of the degrees from `low` to `high`.
    fn holds(&self, low: f64, high: f64, y: usize) -> bool {
        let base = self.base(y) - self.step / 2.0;
        high >= base && low < base + self.step
    }

    fn ink(&self, bar: &Bar, y: usize) -> Ink {
        if self.holds(bar.low, bar.high, y) {
            bar.ink
        } else if bar.cold.is_some_and(|cold| self.holds(cold, bar.low, y)) {
            Ink::OneInTen
        } else {
            Ink::Bare
        }
    }
}

const fn sign(ink: Ink, glyphs: &Glyphs) -> (&'static str, Role) {
    match ink {
        Ink::Bare => (" ", Role::Text),
        Ink::Floor => (glyphs.across, Role::Watch),
        Ink::Read => (glyphs.levels[7], Role::Text),
        Ink::WorkedOut => (glyphs.down, Role::Quiet),
        Ink::Expected => (glyphs.gap, Role::Text),
        Ink::OneInTen => (glyphs.sown, Role::Quiet),
    }
}

fn standing(model: &Model, view: &PlaceView, canvas: &mut Canvas<'_>) {
    let (all, fit) = (canvas.width(), canvas.height().saturating_sub(1));
    let legend = {
        let of = |ink| sign(ink, &canvas.look.glyphs).0;
        let (read, worked, ahead) = (of(Ink::Read), of(Ink::WorkedOut), of(Ink::Expected));
        let floor = of(Ink::Floor);
        if all < NARROW {
            format!("{read} read {ahead} ahead {floor} floor")
        } else {
            format!("{read} read  {worked} worked out  {ahead} ahead  {} 1 in 10  {floor} floor", of(Ink::OneInTen))
        }
    };
    canvas.rule_over(0, &format!("Stands here  {}", view.standing.len()), &legend, all.saturating_sub(1));
    if view.standing.is_empty() {
        let mut strip = canvas.strip();
        strip.add("   Nothing stands here.", Role::Quiet);
        canvas.line(1, strip);
    }
    let cursor = model.cursor();
    let first = first_shown(view.standing.len(), fit, cursor.index);
    for (y, (index, row)) in view.standing.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Here, index };
        let labels: Vec<String> = row.parts.iter().map(|part| words::part(part.label, model.board.on)).collect();
        let floor =
            |floor: Option<Celsius>| floor.map_or_else(|| "floor not known".to_owned(), |it| format!("down to {it}"));
        let mut strip = canvas.strip();
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.column(&labels.join(" "), 8, Align::Right, Role::Key).add(" ", Role::Text);
        strip
            .column(row.crop.as_str(), if all < NARROW { 14 } else { 20 }, Align::Left, Role::Text)
            .add(" ", Role::Text);
        let hardened = if all < NARROW { String::new() } else { format!(", hardened {}", row.hardened) };
        strip.fill(&format!("{}{hardened}", floor(row.floor)), all, Role::Text);
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}
