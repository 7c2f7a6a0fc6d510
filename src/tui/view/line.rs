//! The quick line at the foot of a page: what is typed, what fits, and what Enter would do.

use crate::grammar::Word;
use crate::tui::line::{Line, Preview};
use crate::tui::text::{truncate, width, wrap};
use crate::tui::theme::Role;

use super::overlay::{sheet, skip_cells};
use super::paint::Canvas;

/// Lines for what fits, and for what Enter would do.
const FITTING: usize = 2;
const SAID: usize = 4;
/// Beside a word at most so many cells say what it is.
const BESIDE: usize = 34;

/// Draws it over the lower lines.
pub(super) fn draw(line: &Line, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let (text, role) = said(line);
    let said: Vec<String> = if text.is_empty() { Vec::new() } else { wrap(&text, all.saturating_sub(5)) };
    let said: Vec<String> = said.into_iter().take(SAID).collect();
    sheet(2 + FITTING + said.len().max(1), canvas, |canvas| {
        canvas.rule(0, "In words", "");
        typed(line, canvas);
        // Where room is short, what Enter would do stays in sight.
        let room = canvas.height().saturating_sub(2 + said.len().max(1)).min(FITTING);
        canvas.within((0, 2, all, room), |canvas| fitting(line, canvas));
        let sign = match line.preview {
            Preview::Trouble(_) => canvas.look.glyphs.alarm,
            Preview::Would(_) => canvas.look.glyphs.leads_to,
            _ => " ",
        };
        for (y, text) in said.iter().enumerate() {
            let mut strip = canvas.strip();
            strip.add(" ", Role::Text).add(if y == 0 { sign } else { " " }, role).add("  ", Role::Text).add(text, role);
            canvas.line(2 + room + y, strip);
        }
    });
}

fn said(line: &Line) -> (String, Role) {
    match &line.preview {
        Preview::Nothing => {
            ("type an act or a report, as: count 14 54; move 14a frame/left; why germination".to_owned(), Role::Quiet)
        }
        Preview::Would(what) => (what.clone(), Role::Good),
        Preview::Shows => ("Enter shows it; nothing is logged".to_owned(), Role::Quiet),
        Preview::Wants(what) => (what.clone(), Role::Quiet),
        Preview::Trouble(what) => (what.clone(), Role::Watch),
    }
}

fn typed(line: &Line, canvas: &mut Canvas<'_>) {
    let mut strip = canvas.strip();
    strip.add(" ", Role::Text).add(canvas.look.glyphs.pointer, Role::Text).add(" ", Role::Text);
    let start = strip.used;
    let room = canvas.width().saturating_sub(start + 1);
    let scroll = line.input.visual_scroll(room.saturating_sub(1));
    let seen = skip_cells(line.text(), scroll);
    strip.add(&truncate(&seen, room, canvas.look.glyphs.ellipsis), Role::Field);
    strip.fill("", room + start, Role::Field);
    canvas.line(1, strip);
    canvas.point(start + line.input.visual_cursor().saturating_sub(scroll), 1);
}

/// As many words as go on the lines, each with what it is beside while few fit; then how many more there are.
fn fitting(line: &Line, canvas: &mut Canvas<'_>) {
    let (fits, taken) = line.fitting();
    let (all, down) = (canvas.width(), canvas.height());
    let few = fits.fitting.len() <= down;
    // The one that was put in stays in sight.
    let first = taken.map_or(0, |which| which.saturating_sub(1));
    let (mut y, mut strip) = (0, canvas.strip());
    strip.add("   ", Role::Text);
    for (index, word) in fits.fitting.iter().enumerate().skip(if few { 0 } else { first }) {
        let role = if taken == Some(index) { Role::Selected } else { Role::Key };
        let beside = beside(word, few, canvas);
        let more = format!(" +{}", fits.fitting.len() - index);
        let last = index + 1 == fits.fitting.len();
        let kept = if y + 1 >= down && !last { width(&more) } else { 0 };
        let wide = width(&word.text) + width(&beside) + 2;
        if strip.used > 3 && (strip.used + wide + kept > all || few) {
            if y + 1 >= down {
                strip.add(more.trim_start(), Role::Quiet);
                break;
            }
            canvas.line(y, strip);
            (y, strip) = (y + 1, canvas.strip());
            strip.add("   ", Role::Text);
        }
        let room = all.saturating_sub(strip.used + width(&beside) + 2);
        strip.add(&truncate(&word.text, room, canvas.look.glyphs.ellipsis), role);
        strip.add(&beside, Role::Quiet).add("  ", Role::Text);
    }
    canvas.line(y, strip);
}

fn beside(word: &Word, few: bool, canvas: &Canvas<'_>) -> String {
    if word.beside.is_empty() || (!few && canvas.width() < 60) {
        return String::new();
    }
    let room = if few { canvas.width().saturating_sub(width(&word.text) + 8) } else { BESIDE };
    // Among many the first of what is said has to do.
    let said = if few { word.beside.as_str() } else { word.beside.split(',').next().unwrap_or_default() };
    format!("  {}", truncate(said, room, canvas.look.glyphs.ellipsis))
}
