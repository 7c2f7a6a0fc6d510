//! The course of a sowing: what was counted, in steps, over what its kind should show.

use crate::advice::{Band, Curve};
use crate::quantity::Date;
use crate::tui::glyphs::Glyphs;
use crate::tui::text::{Align, width};
use crate::tui::theme::Role;

use super::paint::Canvas;
use super::words;

/// Cells before the picture: the scale and its line.
const SCALE: usize = 6;
/// Lines that are not picture: heading, days, legend.
const AROUND: usize = 3;
/// Below so many cells across the legend is shortened.
const NARROW: usize = 60;
/// The least that can be read.
pub(super) const LEAST: usize = AROUND + 4;

/// What stands in a cell; of two the later named is seen.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Ink {
    Bare,
    Band,
    Today,
    Median,
    Step,
    Count,
}

/// Draws it over the whole canvas.
pub(super) fn draw(curve: &Curve, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let up = curve.counts.last().map_or(0, |(_, up)| *up);
    canvas.rule(0, "Coming up", &format!("{up} up of {} sown", curve.sown));
    let (across, lines) = (all.saturating_sub(SCALE + 1), down.saturating_sub(AROUND));
    if across < 10 || lines < 2 {
        return;
    }
    let picture = Picture::of(curve, across, lines);
    for (y, row) in picture.cells.chunks(across).enumerate() {
        let mut strip = canvas.strip();
        strip.column(&picture.scale(y), SCALE - 1, Align::Right, Role::Quiet);
        strip.add(canvas.look.glyphs.down, Role::Rule);
        for ink in row {
            let (sign, role) = sign(*ink, &canvas.look.glyphs);
            strip.add(sign, role);
        }
        canvas.line(y + 1, strip);
    }
    days(curve, &picture, canvas, down - 2);
    legend(curve, canvas, down - 1);
}

const fn sign(ink: Ink, glyphs: &Glyphs) -> (&'static str, Role) {
    match ink {
        Ink::Bare => (" ", Role::Text),
        Ink::Band => (glyphs.sown, Role::Quiet),
        Ink::Today => (glyphs.down, Role::Rule),
        Ink::Median => (glyphs.across, Role::Text),
        Ink::Step => (glyphs.levels[7], Role::Text),
        Ink::Count => (glyphs.plant, Role::Key),
    }
}

/// A picture of cells, the upper left first.
struct Picture {
    cells: Vec<Ink>,
    across: usize,
    lines: usize,
    most: u32,
    start: Date,
    days: i64,
}

impl Picture {
    fn of(curve: &Curve, across: usize, lines: usize) -> Self {
        let end = curve.end.max(curve.today);
        let days = end.signed_duration_since(curve.sown_on).num_days().max(1);
        // As high as anything in it, so that few of many are seen on four lines too.
        let counted = curve.counts.iter().map(|(_, up)| *up);
        let most = counted.chain(curve.expected.iter().map(|band| band.high)).max().filter(|most| *most > 0);
        let most = most.unwrap_or(curve.sown).max(1);
        let start = curve.sown_on;
        let mut picture = Self { cells: vec![Ink::Bare; across * lines], across, lines, most, start, days };
        let today = picture.column(curve.today);
        for column in 0..across {
            let at = column as f64 * days as f64 / (across - 1) as f64;
            if let Some((low, median, high)) = expected(&curve.expected, start, at) {
                (picture.line(high)..=picture.line(low)).for_each(|line| picture.put(column, line, Ink::Band));
                picture.put(column, picture.line(median), Ink::Median);
            }
            if column == today {
                (0..lines).for_each(|line| picture.put(column, line, Ink::Today));
            }
        }
        picture.steps(curve, today);
        picture
    }

    /// What was up stays so until the next count; behind today nothing is known.
    fn steps(&mut self, curve: &Curve, today: usize) {
        let mut before: Option<(usize, usize)> = None;
        for (day, up) in &curve.counts {
            let (column, line) = (self.column(*day), self.line(f64::from(*up)));
            if let Some((from, at)) = before {
                (from + 1..column).for_each(|column| self.put(column, at, Ink::Step));
                (line.min(at)..=line.max(at)).for_each(|line| self.put(column, line, Ink::Step));
            }
            self.put(column, line, Ink::Count);
            before = Some((column, line));
        }
        if let Some((from, at)) = before {
            (from + 1..=today).for_each(|column| self.put(column, at, Ink::Step));
        }
    }

    fn put(&mut self, column: usize, line: usize, ink: Ink) {
        if column < self.across
            && let Some(cell) = self.cells.get_mut(line * self.across + column)
        {
            *cell = (*cell).max(ink);
        }
    }

    fn column(&self, day: Date) -> usize {
        let days = day.signed_duration_since(self.start).num_days().clamp(0, self.days);
        (days as f64 / self.days as f64 * (self.across - 1) as f64).round() as usize
    }

    fn line(&self, up: f64) -> usize {
        let share = (up / f64::from(self.most)).clamp(0.0, 1.0);
        self.lines - 1 - (share * (self.lines - 1) as f64).round() as usize
    }

    /// The number beside a line: all, half and none.
    fn scale(&self, y: usize) -> String {
        match y {
            0 => self.most.to_string(),
            y if y == self.lines - 1 => "0".to_owned(),
            y if self.lines >= 5 && y == self.line(f64::from(self.most) / 2.0) => (self.most / 2).to_string(),
            _ => String::new(),
        }
    }
}

/// What should be up so many days after sowing, between the days it was reckoned for.
fn expected(bands: &[Band], start: Date, at: f64) -> Option<(f64, f64, f64)> {
    let day = |band: &Band| band.on.signed_duration_since(start).num_days() as f64;
    let behind = bands.iter().position(|band| day(band) >= at)?;
    let (after, before) = (&bands[behind], &bands[behind.saturating_sub(1)]);
    let gap = day(after) - day(before);
    let share = if gap > 0.0 { (at - day(before)) / gap } else { 1.0 };
    let between = |from: u32, to: u32| f64::from(from) + (f64::from(to) - f64::from(from)) * share;
    Some((between(before.low, after.low), between(before.median, after.median), between(before.high, after.high)))
}

/// The day of sowing, today and the last day, where they stand.
fn days(curve: &Curve, picture: &Picture, canvas: &mut Canvas<'_>, y: usize) {
    let end = curve.end.max(curve.today);
    let mut marks = vec![(0, format!("sown {}", words::day(curve.sown_on, curve.today)))];
    marks.push((picture.column(curve.today), "today".to_owned()));
    if end > curve.today {
        marks.push((picture.across - 1, words::day(end, curve.today)));
    }
    let mut strip = canvas.strip();
    strip.add(&" ".repeat(SCALE), Role::Text);
    for (column, text) in marks {
        let wide = width(&text);
        let start = (column.saturating_sub(wide / 2)).min(picture.across.saturating_sub(wide)) + SCALE;
        if start >= strip.used + usize::from(strip.used > SCALE) {
            strip.add(&" ".repeat(start - strip.used), Role::Text).add(&text, Role::Quiet);
        }
    }
    canvas.line(y, strip);
}

fn legend(curve: &Curve, canvas: &mut Canvas<'_>, y: usize) {
    let glyphs = canvas.look.glyphs;
    let all = canvas.width();
    let mut strip = canvas.strip();
    let (indent, between) = if all < NARROW { (1, "8 in 10") } else { (SCALE, "8 times in 10") };
    strip.add(&" ".repeat(indent), Role::Text);
    let mut said = vec![(glyphs.plant, "counted")];
    if !curve.expected.is_empty() {
        said.extend([(glyphs.across, "expected"), (glyphs.sown, between)]);
    }
    for (sign, text) in said {
        if strip.used + width(text) + 4 <= all {
            strip.add(sign, Role::Key).add(" ", Role::Text).add(text, Role::Quiet).add("   ", Role::Text);
        }
    }
    canvas.line(y, strip);
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    /// The cells were counted by hand on squared paper: eleven days across, five lines for four sown.
    #[test]
    fn counts_are_steps_from_the_day_they_were_made() {
        let day = |n| NaiveDate::from_ymd_opt(2026, 3, n).unwrap();
        let curve = Picture::of(&sown(vec![(day(4), 2), (day(7), 4)]), 11, 5);
        let line = |y: usize| -> String {
            curve.cells[y * 11..(y + 1) * 11]
                .iter()
                .map(|ink| match ink {
                    Ink::Step => '#',
                    Ink::Count => 'o',
                    Ink::Today => '|',
                    _ => ' ',
                })
                .collect()
        };
        assert_eq!(line(0), "      o##  ");
        assert_eq!(line(1), "      # |  ");
        assert_eq!(line(2), "   o### |  ");
        assert_eq!(line(4), "        |  ");
    }

    #[test]
    fn few_of_many_are_drawn_as_high_as_they_go() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 4).unwrap();
        let few = Picture::of(&Curve { sown: 48, ..sown(vec![(day, 4)]) }, 11, 5);
        assert_eq!((few.scale(0), few.line(4.0)), ("4".to_owned(), 0));
        let none = Picture::of(&Curve { sown: 48, ..sown(vec![(day, 0)]) }, 11, 5);
        assert_eq!(none.scale(0), "48");
    }

    fn sown(counts: Vec<(Date, u32)>) -> Curve {
        let day = |n| NaiveDate::from_ymd_opt(2026, 3, n).unwrap();
        Curve { sown_on: day(1), today: day(9), end: day(11), sown: 4, counts, expected: Vec::new() }
    }
}
