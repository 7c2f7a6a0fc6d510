//! The journal: every act, newest first, narrowed by typed words.

use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::{Align, width};
use crate::tui::theme::Role;

use super::paint::{Canvas, first_shown};
use super::words;

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let acts = model.acts_shown();
    let cursor = model.cursor();
    canvas.rule(
        0,
        &format!("Every act, newest first  {}", acts.len()),
        if all < 60 { "" } else { "u undo the newest, x this one" },
    );
    let mut y = 1;
    if let Some(filter) = &model.filter {
        let mut strip = canvas.strip();
        strip.add("   find ", Role::Quiet);
        let start = strip.used;
        strip.add(filter.value(), Role::Field).add("  ", if model.filtering { Role::Field } else { Role::Text });
        canvas.line(y, strip);
        if model.filtering {
            canvas.point(start + filter.visual_cursor(), y);
        }
        y += 1;
    }
    let fit = down.saturating_sub(y);
    let first = first_shown(acts.len(), fit, cursor.index);
    for (line, (index, row)) in acts.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Acts, index };
        let mut strip = canvas.strip();
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.add(if row.undone { "x" } else { " " }, Role::Text);
        strip.column(&words::day(row.on, model.board.on), 9, Align::Right, Role::Quiet).add("  ", Role::Text);
        let said = row.said.join("; ");
        let (said, role) = match model.dispute_of(row.act) {
            _ if row.undone => (format!("(undone) {said}"), Role::Quiet),
            Some(dispute) if dispute.aside.act == row.act => {
                (format!("(set aside: {}) {said}", dispute.wrong), Role::Watch)
            }
            Some(_) => (format!("(against that) {said}"), Role::Watch),
            None => (said, Role::Text),
        };
        strip.fill(&said, all, role);
        canvas.line(y + line, strip);
        if here {
            canvas.shade(y + line, Role::Selected);
            if !model.filtering {
                canvas.point(0, y + line);
            }
        }
    }
    if acts.is_empty() {
        let text = if model.filter.is_some() { "No act has these words." } else { "Nothing has been done yet." };
        let mut strip = canvas.strip();
        strip.column("", 3, Align::Left, Role::Text);
        if width(text) < all {
            strip.add(text, Role::Quiet);
        }
        canvas.line(y, strip);
    }
}
