//! Going about: rows, pages, days, marks, and the filter of the acts.

use crate::advice::Task;
use crate::quantity::{Date, PartId, PlaceId};
use crate::tui::message::{Effect, Key};
use crate::tui::model::{ACTS_AT_FIRST, Cursor, Model, Overlay, Page, Palette, Tone};
use crate::tui::rows::{OnBench, Section};

use super::act::attend;

pub(super) fn show(model: &mut Model) -> Vec<Effect> {
    let cursor = model.cursor();
    if cursor.section == Section::Today
        && model.typed.is_empty()
        && model.due().get(cursor.index).is_some_and(|due| matches!(due.what, Task::CatchUp { late } if late > 0))
    {
        return attend(model);
    }
    match model.subject(false) {
        Ok(subject) => {
            model.typed.clear();
            let first = subject.parts.first().and_then(|part| Some(model.board.state.parts.get(part)?.batch));
            match subject.batch.or(first) {
                Some(batch) => go_to(model, Page::Batch(batch)),
                None => Vec::new(),
            }
        }
        Err(line) => {
            model.typed.clear();
            model.say(Tone::Trouble, line);
            Vec::new()
        }
    }
}

pub(super) fn go_to(model: &mut Model, page: Page) -> Vec<Effect> {
    if page == Page::Journal {
        model.acts_wanted = ACTS_AT_FIRST;
        (model.filter, model.filtering) = (None, false);
    }
    model.pages.retain(|(open, _)| *open != page || *open == Page::Morning);
    // A bare bench, first by its name, is not what the benches are looked at for.
    let holds = |row: OnBench<'_>| matches!(row, OnBench::Container(..));
    let cursor = match page {
        Page::Benches => {
            let index = model.on_benches().position(holds).unwrap_or(0);
            Cursor { section: Section::Standing, index }
        }
        _ => Cursor { section: Section::Today, index: 0 },
    };
    model.pages.push((page, cursor));
    model.settle();
    vec![model.look()]
}

/// On to the next place, on the same page.
pub(super) fn next_place(model: &mut Model, place: PlaceId) -> Vec<Effect> {
    let Some(next) = model.place_after(place) else { return Vec::new() };
    model.pages.pop();
    go_to(model, Page::Place(next))
}

pub(super) fn back(model: &mut Model) -> Vec<Effect> {
    if let Some(Overlay::Help(palette)) = model.overlays.last_mut()
        && (palette.finding || !palette.words.value().is_empty())
    {
        *palette = Palette::default();
        return Vec::new();
    }
    if model.overlays.pop().is_some() {
        return Vec::new();
    }
    if model.lifted.take().is_some() || model.proposal.take().is_some() {
        return Vec::new();
    }
    if model.filter.take().is_some() {
        model.filtering = false;
        model.settle();
        return Vec::new();
    }
    if !model.typed.is_empty() || !model.marked.is_empty() {
        model.typed.clear();
        model.marked.clear();
        return Vec::new();
    }
    if model.pages.len() > 1 {
        model.pages.pop();
        model.settle();
        return vec![model.look()];
    }
    model.in_full = false;
    model.settle();
    Vec::new()
}

pub(super) fn step(model: &mut Model, by: usize, down: bool) -> Vec<Effect> {
    if let Some(Overlay::Help(palette)) = model.overlays.last() {
        let last = palette.actions(model.page(), &model.keys).len().saturating_sub(1);
        if let Some(Overlay::Help(palette)) = model.overlays.last_mut() {
            palette.at = if down { palette.at.saturating_add(by).min(last) } else { palette.at.saturating_sub(by) };
        }
        return Vec::new();
    }
    // No text is longer than this on a narrow screen; how long it is there only drawing knows.
    let most = match model.overlays.last() {
        Some(Overlay::Why { why, .. }) => 40 + why.inputs.len() * 2 + why.sources.len() * 6,
        Some(Overlay::Text { lines, .. }) => lines.len() * 6,
        _ => 0,
    };
    if let Some(Overlay::Why { scroll, .. } | Overlay::Text { scroll, .. }) = model.overlays.last_mut() {
        let (by, most) = (u16::try_from(by).unwrap_or(u16::MAX), u16::try_from(most).unwrap_or(u16::MAX));
        *scroll = if down { scroll.saturating_add(by).min(most) } else { scroll.saturating_sub(by) };
        return Vec::new();
    }
    let lists: Vec<Section> = model.sections().iter().copied().filter(|list| model.len(*list) > 0).collect();
    let cursor = model.cursor();
    let Some(at) = lists.iter().position(|list| *list == cursor.section) else { return Vec::new() };
    let last = model.len(cursor.section).saturating_sub(1);
    let next = if down { lists.get(at + 1) } else { at.checked_sub(1).and_then(|before| lists.get(before)) };
    let to = match (down, next) {
        (true, Some(next)) if cursor.index == last => Cursor { section: *next, index: 0 },
        (false, Some(before)) if cursor.index == 0 => {
            Cursor { section: *before, index: model.len(*before).saturating_sub(1) }
        }
        (true, _) => Cursor { index: cursor.index.saturating_add(by).min(last), ..cursor },
        (false, _) => Cursor { index: cursor.index.saturating_sub(by), ..cursor },
    };
    model.set_cursor(to);
    if to.section == Section::Acts && to.index + 1 >= model.acts.len() { more_acts(model) } else { Vec::new() }
}

pub(super) fn next_section(model: &mut Model) {
    let lists: Vec<Section> = model.sections().iter().copied().filter(|list| model.len(*list) > 0).collect();
    let at = lists.iter().position(|list| *list == model.cursor().section);
    if let Some(next) = at.and_then(|at| lists.get((at + 1) % lists.len())) {
        model.set_cursor(Cursor { section: *next, index: 0 });
    }
}

pub(super) fn mark(model: &mut Model) {
    let Ok(subject) = model.subject(false) else { return };
    model.typed.clear();
    let live: Vec<PartId> = subject
        .parts
        .into_iter()
        .filter(|part| model.board.state.parts.get(part).is_some_and(crate::journal::Part::is_live))
        .collect();
    let all = live.iter().all(|part| model.marked.contains(part));
    for part in live {
        if all {
            model.marked.remove(&part)
        } else {
            model.marked.insert(part)
        };
    }
    step(model, 1, true);
}

pub(super) fn look_at(model: &mut Model, day: Option<Date>) -> Vec<Effect> {
    let Some(day) = day else { return Vec::new() };
    if day > model.today && day > model.on {
        model.say(Tone::Trouble, format!("{day} has not come yet: there is nothing to see of it"));
        return Vec::new();
    }
    model.on = day;
    vec![model.look()]
}

pub(super) fn press_in_filter(model: &mut Model, key: Key) -> Vec<Effect> {
    let request = match key {
        Key::Char(c) => tui_input::InputRequest::InsertChar(c),
        Key::Backspace => tui_input::InputRequest::DeletePrevChar,
        Key::Left => tui_input::InputRequest::GoToPrevChar,
        Key::Right => tui_input::InputRequest::GoToNextChar,
        _ => return Vec::new(),
    };
    if let Some(Overlay::Help(palette)) = model.overlays.last_mut() {
        palette.words.handle(request);
        palette.at = 0;
        return Vec::new();
    }
    if let Some(filter) = &mut model.filter {
        filter.handle(request);
    }
    model.settle();
    // What is looked for may lie further back than what was read.
    more_acts(model)
}

fn more_acts(model: &mut Model) -> Vec<Effect> {
    // Fewer than were asked for are all there are.
    if model.acts.len() < usize::try_from(model.acts_wanted).unwrap_or(usize::MAX) {
        return Vec::new();
    }
    model.acts_wanted = model.acts_wanted.saturating_mul(4);
    vec![model.look()]
}
