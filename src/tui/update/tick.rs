//! Ticking a tray, cell by cell: one count comes of it, or nothing.

use crate::desk::Board;
use crate::grammar::{Request, Sure};
use crate::journal::{Observed, Part};
use crate::quantity::PartId;
use crate::tui::actions::Id;
use crate::tui::form::part_word;
use crate::tui::message::{Effect, Key, Press};
use crate::tui::model::{Choose, Menu, Model, Overlay, Page, Question, Tone, Yes};
use crate::tui::tray::{Mark, Run, Tray, Way};

use super::act::run;
use super::perform;
use super::walk::go_to;

/// Opens the tray of the row or of the number typed; where several could be meant, the batch they are parts of.
pub(super) fn open_subject(model: &mut Model) -> Vec<Effect> {
    let subject = model.subject(false);
    model.typed.clear();
    let subject = match subject {
        Ok(subject) => subject,
        Err(line) => {
            model.say(Tone::Trouble, line);
            return Vec::new();
        }
    };
    let state = &model.board.state;
    let live = |id: &PartId| state.parts.get(id).is_some_and(Part::is_live);
    let trays: Vec<PartId> =
        subject.parts.iter().copied().filter(|id| live(id) && Tray::open(state, *id).is_some()).collect();
    match trays.as_slice() {
        [] => {
            model.say(Tone::Trouble, "nothing here stands in cells or pots, so there is nothing to tick");
            Vec::new()
        }
        [only] => open(model, *only),
        // A question, so that no letter meant for the tray does something else meanwhile.
        several => {
            let menu = which(&model.board, several);
            model.overlays.push(Overlay::Menu(menu));
            Vec::new()
        }
    }
}

/// The trays that could be meant, each by the letter on its label, or of several batches by figures.
fn which(board: &Board, trays: &[PartId]) -> Menu {
    let parts: Vec<_> = trays.iter().filter_map(|id| Some((*id, board.state.parts.get(id)?))).collect();
    let one_batch = parts.iter().all(|(_, part)| Some(part.batch) == parts.first().map(|(_, first)| first.batch));
    let items = parts.iter().zip('1'..='9').map(|((id, part), figure)| {
        let letter = part.letter.to_string().chars().next().filter(|_| one_batch);
        let label = board.state.part_label(part);
        let words = format!("{label}: {} standing, {}", part.standing(), board.state.standing_at(part.container));
        (letter.unwrap_or(figure), words, Choose::Cells(*id))
    });
    Menu::new("tick which tray", items.collect())
}

/// Opens a part's tray over the page that is open; leaving it leads back there.
pub(super) fn open(model: &mut Model, part: PartId) -> Vec<Effect> {
    let Some(tray) = Tray::open(&model.board.state, part) else {
        model.say(Tone::Trouble, "it stands in a container without cells, so there is none to tick");
        return Vec::new();
    };
    model.tray = Some(tray);
    go_to(model, Page::Cells(part))
}

/// Takes a key on the page.
pub(super) fn press(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    let Some(tray) = &mut model.tray else { return leave(model) };
    match id {
        Id::Left => tray.go(Way::Left),
        Id::Right => tray.go(Way::Right),
        Id::Up => tray.go(Way::Up),
        Id::Down => tray.go(Way::Down),
        Id::Tick => tray.turn(),
        Id::TickOne => tray.mark(Mark::One),
        Id::TickTwo => tray.mark(Mark::Two),
        Id::TickNone => tray.mark(Mark::None),
        Id::TickRow => tray.fill(Run::Row),
        Id::TickColumn => tray.fill(Run::Column),
        Id::TickAll => tray.fill(Run::All),
        Id::TickOlder => tray.take_up_older(),
        Id::Number => {
            if let Key::Char(c) = key {
                tray.jump(c.to_digit(10).and_then(|digit| usize::try_from(digit).ok()).unwrap_or(0));
            }
        }
        Id::TickLog => return log(model),
        Id::Back if tray.is_worth_asking() => {
            let line = format!("Leave off, and keep none of the {} cells ticked here?", tray.changed());
            model.overlays.push(Overlay::Question(Question { line, yes: Yes::LeaveCells }));
        }
        Id::Back => return leave(model),
        other => return run(model, other, key),
    }
    Vec::new()
}

/// Takes the mouse on the page.
pub(super) fn point(model: &mut Model, cell: usize, press: Press) {
    if let (Page::Cells(_), None, Some(tray)) = (model.page(), model.overlays.last(), &mut model.tray) {
        model.notice = None;
        match press {
            Press::Down => tray.press(cell),
            Press::Drawn => tray.draw_over(cell),
        }
    }
}

fn log(model: &mut Model) -> Vec<Effect> {
    let Some(tray) = &model.tray else { return leave(model) };
    let Some(Ok(part)) = part_word(&model.board, tray.part).map(|word| word.parse()) else { return leave(model) };
    let ticks = Some(tray.ticks());
    let observed = Observed { up: None, standing: None, gaps: None, doubles: false, ticks };
    vec![perform(model, Request::Count { part, observed, sure: Sure::No })]
}

/// Leaves the page for the one it was opened from.
pub(super) fn leave(model: &mut Model) -> Vec<Effect> {
    model.tray = None;
    if matches!(model.page(), Page::Cells(_)) && model.pages.len() > 1 {
        model.pages.pop();
    }
    model.settle();
    vec![model.look()]
}
