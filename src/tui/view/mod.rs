//! Draws the model. It decides nothing: the same model on the same size is the same picture.

pub(super) mod batch;
pub(super) mod benches;
pub(super) mod cells;
mod curve;
pub(super) mod foot;
pub(super) mod in_hand;
mod journal;
mod line;
pub(super) mod morning;
mod overlay;
mod paint;
pub(super) mod place;
pub(super) mod plan;
pub(super) mod plan_page;
pub(super) mod round;
pub(super) mod start;
pub(super) mod tonight;
pub(super) mod words;

use ratatui::Frame;

use crate::desk::Standing;

use super::actions::Id;
use super::model::{Model, Overlay, Page};
use super::text::{Align, width};
use super::theme::{Look, Role};
use paint::Canvas;

/// Draws one frame.
pub fn view(model: &Model, look: Look, frame: &mut Frame<'_>) {
    let area = frame.area();
    let look = look.in_light(model.light);
    let mut canvas = Canvas { buffer: frame.buffer_mut(), area, look, cursor: None };
    canvas.wipe();
    let (all, down) = (canvas.width(), canvas.height());
    let foot = foot::height(all, down);
    canvas.within((0, 0, all, 1), |canvas| banner(model, canvas));
    let body = (0, 1, all, down.saturating_sub(1 + foot));
    let starting = model.page() == Page::Morning && model.board.is_bare();
    canvas.within(body, |canvas| match model.page() {
        Page::Morning if starting => start::draw(model, canvas),
        Page::Morning => morning::draw(model, canvas),
        Page::Batch(_) => batch::draw(model, canvas),
        Page::Tonight => tonight::draw(model, canvas),
        Page::Benches => benches::draw(model, canvas),
        Page::Place(_) => place::draw(model, canvas),
        Page::Plan => plan_page::draw(model, canvas),
        Page::InHand => in_hand::draw(model, canvas),
        Page::Journal => journal::draw(model, canvas),
        Page::Cells(_) => cells::draw(model, canvas),
        Page::Round(_) => round::draw(model, canvas),
        Page::Rounded(_) => round::draw_logged(model, canvas),
    });
    let below = foot::needed(model, all, down, look);
    canvas.within((0, down.saturating_sub(below), all, below), |canvas| foot::draw(model, foot, canvas));
    let over = (0, 1, all, down.saturating_sub(1));
    match model.overlays.last() {
        Some(Overlay::Form(form)) => canvas.within(body, |canvas| overlay::form(form, canvas)),
        Some(Overlay::Line(typed)) => canvas.within(body, |canvas| line::draw(typed, canvas)),
        Some(Overlay::Text { title, lines, scroll }) => {
            canvas.within(body, |canvas| overlay::report(title, lines, *scroll, canvas));
        }
        Some(Overlay::Menu(menu)) => canvas.within(body, |canvas| overlay::menu(menu, canvas)),
        Some(Overlay::Question(question)) => canvas.within(over, |canvas| overlay::question(question, canvas)),
        Some(Overlay::Why { title, why, scroll }) => {
            canvas.within(body, |canvas| overlay::why(title, why, (*scroll, model.board.on), &model.keys, canvas));
        }
        Some(Overlay::Help(palette)) => {
            canvas.within(body, |canvas| overlay::help(&model.keys, model.page(), palette, canvas));
        }
        None => {}
    }
    if let Some(cursor) = canvas.cursor {
        frame.set_cursor_position(cursor);
    }
}

/// What kind of day is shown; empty for today.
pub(super) fn kind_of_day(model: &Model) -> String {
    match (model.board.standing, model.board.demonstration) {
        (Standing::LookedAt, _) => {
            format!("another day: to read, not to write ({}: today)", model.keys.letter(Id::Today))
        }
        (_, true) => "demonstration: an invented season".to_owned(),
        (_, false) if model.board.clock.is_some() => "is the clock right?".to_owned(),
        (_, false) => String::new(),
    }
}

/// What a page is called.
pub(super) const fn page_name(page: Page) -> &'static str {
    match page {
        Page::Morning => "thumbpot",
        Page::Batch(_) => "batch",
        Page::Tonight => "tonight",
        Page::Benches => "benches",
        Page::Place(_) => "place",
        Page::Plan => "plan",
        Page::InHand => "in hand",
        Page::Journal => "journal",
        Page::Cells(_) => "cells",
        Page::Round(_) | Page::Rounded(_) => "round",
    }
}

/// The cell of the open tray that stands at a point of a screen so many columns and rows large.
#[must_use]
pub fn cell_at(model: &Model, (columns, rows): (u16, u16), (x, y): (u16, u16)) -> Option<usize> {
    let tray = model.tray.as_ref().filter(|_| matches!(model.page(), Page::Cells(_)) && model.overlays.is_empty())?;
    let (all, down) = (usize::from(columns), usize::from(rows));
    let body = down.saturating_sub(1 + foot::height(all, down));
    cells::at(tray, (all, body), (usize::from(x), usize::from(y).checked_sub(1)?))
}

/// The line that says what day it is, and what kind of day.
fn banner(model: &Model, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let narrow = all < 60;
    let form = match (narrow, model.board.standing) {
        (true, Standing::Demonstration) => "%a %-d %b",
        (true, _) => "%a %-d %b %Y",
        (false, _) => "%A %-d %B %Y",
    };
    let day = model.board.on.format(form).to_string();
    let in_short = match (model.board.standing, model.board.demonstration) {
        (Standing::LookedAt, _) => "read only",
        (_, true) => "demonstration",
        (_, false) if model.board.clock.is_some() => "clock?",
        (_, false) => "",
    };
    let name = page_name(model.page());
    let mut strip = canvas.strip();
    strip.add(&format!(" {name}  {day}"), Role::Banner);
    let room = all.saturating_sub(strip.used + 1);
    let whole = Some(kind_of_day(model)).filter(|kind| !narrow && width(kind) < room);
    let kind = whole.unwrap_or_else(|| in_short.to_owned());
    strip.column(&kind, room, Align::Right, Role::Banner);
    strip.fill("", all, Role::Banner);
    canvas.line(0, strip);
    canvas.shade(0, Role::Banner);
}
