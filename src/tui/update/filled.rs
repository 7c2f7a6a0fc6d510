//! What comes of a form that is filled in, and of a question that is answered.

use crate::desk::SeedLeft;
use crate::grammar::{Later, MoveOnWords, Request};
use crate::journal::{Recount, State};
use crate::quantity::PartId;
use crate::tui::draft::{HalfEntered, HalfForm};
use crate::tui::form::Pressed;
use crate::tui::message::{Effect, Key};
use crate::tui::model::{Model, Overlay, Question, Yes};

use super::typed::open_line;
use super::{perform, round};

pub(super) fn press_in_form(model: &mut Model, key: Key) -> Vec<Effect> {
    let on = model.on;
    let Some(Overlay::Form(form)) = model.overlays.last_mut() else { return Vec::new() };
    match form.press(key, on) {
        Pressed::On => Vec::new(),
        Pressed::Ready(request) => {
            if let Some(question) = recount(&model.board.state, form.taken_from, &request) {
                model.overlays.push(Overlay::Question(question));
                return Vec::new();
            }
            if form.is_as_opened() && uses_up_plants(&request) {
                let line = format!("Nothing was changed. Log it as it stands: {}?", form.line());
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::Perform(request) }));
                return Vec::new();
            }
            vec![perform(model, *request)]
        }
    }
}

/// A form full of last time's answers is one Enter from being logged: two of them in a row must not sow or pot on.
const fn uses_up_plants(request: &Request) -> bool {
    matches!(request, Request::Sow(_) | Request::MoveOn(_) | Request::PlantOut { .. })
}

/// The log is often behind the plants: offers to take those in the hand for the count.
pub(super) fn recount(state: &State, from: Option<PartId>, request: &Request) -> Option<Question> {
    let part = state.parts.get(&from?)?;
    let (plants, again) = match request {
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
    (plants > standing).then(|| Question { line, yes: Yes::Perform(Box::new(again)) })
}

/// Opens what was half-entered as it was; where that cannot be, as a line in the same words.
pub(super) fn take_up(model: &mut Model, half: &HalfForm, seed: &[SeedLeft]) -> Vec<Effect> {
    match half.open_again(&model.board, seed) {
        Some(form) => {
            model.overlays.push(Overlay::Form(Box::new(form)));
            Vec::new()
        }
        None => open_line(model, half.line()),
    }
}

pub(super) fn yes(model: &mut Model) -> Vec<Effect> {
    let Some(Overlay::Question(question)) = model.overlays.pop() else { return Vec::new() };
    match question.yes {
        Yes::Perform(request) => vec![perform(model, *request)],
        Yes::TakeUp(what) => match *what {
            HalfEntered::Line(text) => open_line(model, &text),
            HalfEntered::Form(form) => {
                model.taking_up = Some(form);
                vec![Effect::OpenSeedBox { on: model.on, generation: model.asked() }]
            }
        },
        Yes::LeaveCells => super::tick::leave(model),
        Yes::UndoRound => round::undo_all(model),
        Yes::UndoWithLater(act) => {
            vec![Effect::Undo { act: Some(act), later: Later::UndoToo, on: model.on, generation: model.asked() }]
        }
    }
}
