//! Out for the day and home again by one key: what was typed or marked, on a batch's page that batch, else the group.

use crate::grammar::{Request, Thing};
use crate::journal::State;
use crate::quantity::{BatchId, PartId};
use crate::tui::actions::Id;
use crate::tui::form::{self, Verb, part_word};
use crate::tui::message::Effect;
use crate::tui::model::{Model, Overlay, Page, Tone};
use crate::tui::rows::Subject;
use crate::tui::view::words;

use super::act::open;
use super::perform;

/// The batch of the page that is looked at, where neither a number was typed nor anything marked.
fn of_page(model: &Model) -> Option<BatchId> {
    match model.page() {
        Page::Batch(batch) if model.typed.is_empty() && model.marked.is_empty() => Some(batch),
        _ => None,
    }
}

/// Puts out for the day. What was typed or marked, and what goes out for the first time, is asked where to.
pub(super) fn put_out(model: &mut Model) -> Vec<Effect> {
    if let Some(batch) = of_page(model) {
        return put_out_batch(model, batch);
    }
    match model.board.last.out.clone() {
        Some(place) if model.marked.is_empty() && model.typed.is_empty() => {
            vec![perform(model, Request::PutOut { things: Vec::new(), place })]
        }
        _ => open(model, Verb::Out),
    }
}

fn put_out_batch(model: &mut Model, batch: BatchId) -> Vec<Effect> {
    let state = &model.board.state;
    let parts = with_plants(state, batch);
    let is_home = |part: &PartId| !is_out(state, *part) && lives_in_house(state, *part);
    let go: Vec<PartId> = parts.iter().copied().filter(is_home).collect();
    if go.is_empty() {
        let called = called(model, batch);
        let line = match parts.as_slice() {
            [] => format!("nothing of {called} is up, so nothing goes out"),
            parts if parts.iter().all(|part| is_out(state, *part)) => format!("{called} is out already"),
            _ => {
                let choose = model.keys.letter(Id::Open(Verb::Out));
                format!("nothing of {called} is in a house to go out; {choose} puts it out elsewhere")
            }
        };
        model.say(Tone::Trouble, line);
        return Vec::new();
    }
    match model.board.last.out.clone() {
        Some(place) => {
            let request = Request::PutOut { things: things(model, &go), place };
            vec![perform_to(model, request, &go)]
        }
        None => {
            match form::open(Verb::Out, &model.board, &Subject { batch: Some(batch), parts: go }) {
                Ok(form) => model.overlays.push(Overlay::Form(Box::new(form))),
                Err(line) => model.say(Tone::Trouble, line),
            }
            Vec::new()
        }
    }
}

/// Brings home.
pub(super) fn bring_in(model: &mut Model) -> Vec<Effect> {
    let page = of_page(model);
    if page.is_none() && model.typed.is_empty() && model.marked.is_empty() {
        return vec![perform(model, Request::BringIn { things: Vec::new() })];
    }
    let (parts, called) = match page {
        Some(batch) => (with_plants(&model.board.state, batch), called(model, batch)),
        None => match model.subject(true) {
            Ok(subject) => (subject.parts, "it".to_owned()),
            Err(line) => {
                model.typed.clear();
                model.say(Tone::Trouble, line);
                return Vec::new();
            }
        },
    };
    model.typed.clear();
    let come: Vec<PartId> = parts.into_iter().filter(|part| is_out(&model.board.state, *part)).collect();
    if come.is_empty() {
        model.say(Tone::Trouble, format!("nothing of {called} is out for the day"));
        return Vec::new();
    }
    let request = Request::BringIn { things: things(model, &come) };
    vec![perform_to(model, request, &come)]
}

/// Does it to those parts and to no others that have their numbers by then.
fn perform_to(model: &mut Model, request: Request, parts: &[PartId]) -> Effect {
    let meant = parts.iter().filter_map(|part| form::meant(&model.board, *part)).collect();
    Effect::Perform { request: Box::new(request), meant, on: model.on, generation: model.asked() }
}

/// `14 tomato`.
fn called(model: &Model, batch: BatchId) -> String {
    let state = &model.board.state;
    let known = state.batches.get(&batch);
    let crop = known.and_then(|known| state.lots.get(&known.lot)).map(|lot| lot.crop.to_string());
    known.map(|known| words::number(known.label, model.board.on)).into_iter().chain(crop).collect::<Vec<_>>().join(" ")
}

fn things(model: &Model, parts: &[PartId]) -> Vec<Thing> {
    let words = parts.iter().filter_map(|part| part_word(&model.board, *part));
    words.filter_map(|word| word.parse().ok()).map(Thing::Part).collect()
}

fn with_plants(state: &State, batch: BatchId) -> Vec<PartId> {
    let parts = state.batches.get(&batch).into_iter().flat_map(|batch| state.parts_of(batch));
    parts.filter(|(_, part)| part.is_live() && part.standing() > 0).map(|(id, _)| id).collect()
}

/// True for a part in a container that is out for the day, or on a carrier that is.
fn is_out(state: &State, part: PartId) -> bool {
    let held = state.parts.get(&part).and_then(|part| state.containers.get(&state.outermost(part.container)));
    held.is_some_and(|held| held.out.is_some())
}

fn lives_in_house(state: &State, part: PartId) -> bool {
    let home = state.parts.get(&part).and_then(|part| state.home(part.container));
    home.and_then(|(place, _)| state.places.get(&place)).is_some_and(|place| place.kind.is_indoors())
}
