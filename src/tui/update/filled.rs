//! What comes of a form that is filled in, and of a question that is answered.

use crate::advice::InHandRow;
use crate::desk::SeedLeft;
use crate::grammar::{Later, MoveOnWords, Request};
use crate::journal::{Recount, State};
use crate::quantity::{Millimetres, PartId};
use crate::tui::draft::{HalfEntered, HalfForm, HalfTicked};
use crate::tui::form::{Pressed, parts_named};
use crate::tui::message::{Dated, Effect, Key};
use crate::tui::model::{Model, Overlay, Question, Yes};
use crate::tui::tray::Tray;

use super::typed::open_meant;
use super::{perform_on, round};

pub(super) fn press_in_form(model: &mut Model, key: Key) -> Vec<Effect> {
    let on = model.on;
    let Some(Overlay::Form(form)) = model.overlays.last_mut() else { return Vec::new() };
    match form.press(key, on) {
        Pressed::On => Vec::new(),
        Pressed::Refused(line) => {
            form.refuse(&line, &model.keys);
            Vec::new()
        }
        Pressed::Ready(dated) => {
            let asked = recount(&model.board.state, form.taken_from, &dated).or_else(|| {
                let line = if form.is_as_opened() && uses_up_plants(&dated.request) {
                    let (line, why) =
                        (form.line(), "Nothing was changed, and Enter alone uses up no seed and no plants.");
                    Some(match &form.advised {
                        Some(advised) => format!("It is filled in as advised, {advised}. {why} Log it so: {line}?"),
                        None => format!("{why} Log it as it stands: {line}?"),
                    })
                } else {
                    let fewer = || model.in_hand.as_ref().and_then(|found| far_fewer(&found.rows, &dated.request));
                    odd_size(&dated.request).or_else(|| form.odd_variety(&model.board)).or_else(fewer)
                };
                line.map(|line| Question { line, yes: Yes::Perform(dated.clone()) })
            });
            if asked.is_some() && form.odd_variety(&model.board).is_some() {
                // Whoever says no is where the name is.
                form.focus = 0;
            }
            match asked {
                Some(question) => model.overlays.push(Overlay::Question(question)),
                None => return vec![perform_on(model, *dated)],
            }
            Vec::new()
        }
    }
}

/// A form full of last time's answers is one Enter from being logged: two of them in a row must not sow or pot on.
const fn uses_up_plants(request: &Request) -> bool {
    matches!(request, Request::Sow(_) | Request::MoveOn(_) | Request::PlantOut { .. })
}

/// A bench nobody could reach across, or that no tray goes on, was likelier measured in another unit.
fn odd_size(request: &Request) -> Option<String> {
    const REACH: Millimetres = Millimetres(2000);
    const LONG: Millimetres = Millimetres(8000);
    const TRAY: Millimetres = Millimetres(100);
    let Request::AddBench { bench, size } = request else { return None };
    let odd = size.width > REACH || size.length > LONG || size.width.min(size.length) < TRAY;
    odd.then(|| {
        let name = format!("{}/{}", bench.place, bench.name);
        format!("{name}: {} along and {} from back to front. Is that so?", size.length, size.width)
    })
}

/// Fewer in all than are in use, or than half of what there was, is likelier the beginning of something else.
fn far_fewer(rows: &[InHandRow], request: &Request) -> Option<String> {
    let Request::Own { container, count } = request else { return None };
    let row = rows.iter().find(|row| row.name.same_as(container.as_str()))?;
    let before = row.owned.unwrap_or(0);
    let far = *count < row.in_use || *count < before.div_ceil(2);
    far.then(|| {
        let was = if before > 0 { format!("{before} so far, ") } else { String::new() };
        format!("{}: {count} in all, used and unused; {was}{} in use. Is that so?", row.name, row.in_use)
    })
}

/// The log is often behind the plants: offers to take those in the hand for the count.
pub(super) fn recount(state: &State, from: Option<PartId>, dated: &Dated) -> Option<Question> {
    let part = state.parts.get(&from?)?;
    let (plants, request) = match &dated.request {
        Request::MoveOn(words) if words.recount == Recount::No => {
            let words = MoveOnWords { recount: Recount::Yes, ..words.clone() };
            (words.plants, Request::MoveOn(words))
        }
        Request::PlantOut { part, plants, bed, recount: Recount::No } => {
            (*plants, Request::PlantOut { part: *part, plants: *plants, bed: bed.clone(), recount: Recount::Yes })
        }
        _ => return None,
    };
    let (label, standing) = (state.part_label(part), part.standing());
    let line = format!("{plants} in the hand, but the log has {standing} standing in {label}. Recount, and log it?");
    (plants > standing).then(|| Question { line, yes: Yes::Perform(Box::new(Dated { request, on: dated.on })) })
}

/// Opens what was half-entered as it was; where that cannot be, as a line in the same words.
pub(super) fn take_up(model: &mut Model, half: &HalfForm, seed: &[SeedLeft]) -> Vec<Effect> {
    match half.open_again(&model.board, seed) {
        Some(form) => {
            model.overlays.push(Overlay::Form(Box::new(form)));
            Vec::new()
        }
        None => open_meant(model, half.line(), half.meant().to_vec()),
    }
}

/// Opens the tray with the ticks that were made; where it no longer stands, the words they come to.
fn take_up_ticks(model: &mut Model, half: &HalfTicked) -> Vec<Effect> {
    let board = &model.board;
    let is_meant = |part: PartId| {
        let now = board.state.parts.get(&part).map(|part| part.batch);
        half.meant.iter().all(|meant| Some(meant.batch) == now && meant.is_in(&board.state))
    };
    let part = parts_named(board, &half.part).first().copied();
    match part.filter(|part| is_meant(*part) && Tray::open(&board.state, *part).is_some()) {
        Some(part) => {
            let effects = super::tick::open(model, part);
            if let Some(tray) = &mut model.tray {
                tray.put_back(&half.ticks);
            }
            effects
        }
        None => open_meant(model, &half.line(), half.meant.clone()),
    }
}

pub(super) fn yes(model: &mut Model) -> Vec<Effect> {
    let Some(Overlay::Question(question)) = model.overlays.pop() else { return Vec::new() };
    match question.yes {
        Yes::Perform(dated) => vec![perform_on(model, *dated)],
        Yes::TakeUp(draft) => match draft.what {
            HalfEntered::Line(half) => open_meant(model, &half.text, half.meant),
            HalfEntered::Ticks(half) => take_up_ticks(model, &half),
            HalfEntered::Form(form) => {
                model.taking_up = Some(form);
                vec![super::act::open_seed_box(model)]
            }
        },
        Yes::LeaveCells => super::tick::leave(model),
        Yes::UndoRound => round::undo_all(model),
        Yes::UndoWithLater(act) => {
            vec![Effect::Undo { act: Some(act), later: Later::UndoToo, on: model.on, generation: model.asked() }]
        }
    }
}
