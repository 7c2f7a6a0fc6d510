//! What a message makes of the model, and what is to be done about it. Pure: the same model and message give the same.

mod act;
mod day_out;
mod filled;
mod plan;
mod round;
mod tick;
mod typed;
mod walk;

use crate::desk::{Done, Fetched};
use crate::grammar::{Later, Request};

use super::actions::{Id, Where, place};
use super::form::{self, Verb};
use super::line::Preview;
use super::message::{Dated, Effect, Key, Message, Trouble};
use super::model::{Menu, Model, Overlay, Page, Question, Tone, WayBack, Yes};
use super::view::words;

use act::{choose, run};
use filled::{press_in_form, take_up};
use typed::{look, press_in_line, remember, show_text};
use walk::press_in_filter;

/// Takes a message in.
pub fn update(model: &mut Model, message: Message) -> Vec<Effect> {
    match message {
        Message::Key(key) => press(model, key),
        Message::Cell(cell, press) => {
            tick::point(model, cell, press);
            Vec::new()
        }
        Message::Paste(text) => paste(model, &text),
        Message::Seen { generation, sight } if generation == model.generation => match sight {
            Ok(sight) => {
                model.see(*sight);
                open_menus_again(model);
                if let Some(Overlay::Form(form)) = model.overlays.last_mut() {
                    form.see(&model.board);
                }
                Vec::new()
            }
            Err(trouble) => {
                model.say(Tone::Trouble, trouble.line);
                Vec::new()
            }
        },
        Message::Tried { generation, done } if generation == model.generation => tried(model, done),
        Message::SeedBox { generation, seed } if generation == model.generation => {
            match seed {
                Ok((seed, _)) if model.taking_up.is_some() => {
                    let half = model.taking_up.take();
                    return half.map_or_else(Vec::new, |half| take_up(model, &half, &seed));
                }
                Ok((seed, rooms)) => {
                    let again = model.sowing_for.take().and_then(|id| model.board.sow_again(id));
                    let form = form::sow(&model.board, &seed, again).with_room_for(&model.board, rooms, &[]);
                    model.overlays.push(Overlay::Form(Box::new(form)));
                }
                Err(trouble) => model.say(Tone::Trouble, trouble.line),
            }
            Vec::new()
        }
        Message::Spots { generation, spots } if generation == model.generation => {
            match spots {
                Ok(spots) if model.page() == Page::Plan => plan::lift(model, spots),
                Ok(spots) => model.may_go = Some(spots),
                Err(trouble) => model.say(Tone::Trouble, trouble.line),
            }
            Vec::new()
        }
        Message::UndoneEach { generation, tries } if generation == model.generation => round::taken_back(model, tries),
        Message::Fetched(_)
        | Message::Names { .. }
        | Message::Rehearsed { .. }
        | Message::Told { .. }
        | Message::Room { .. }
        | Message::RoomFor { .. }
        | Message::Proposed { .. } => answered(model, message),
        // Answers to what is no longer asked.
        Message::Seen { .. }
        | Message::SeedBox { .. }
        | Message::Spots { .. }
        | Message::UndoneEach { .. }
        | Message::Tried { .. } => Vec::new(),
        Message::Stale => vec![model.look()],
        // The demonstration stays on its own day.
        Message::NewDay(_) if model.board.demonstration => Vec::new(),
        Message::NewDay(today) => {
            if model.on == model.today {
                model.on = today;
            }
            model.today = today;
            vec![model.look()]
        }
    }
}

/// Takes in what was asked for a form, a line, the plan, or of the weather service.
fn answered(model: &mut Model, message: Message) -> Vec<Effect> {
    match message {
        Message::Fetched(fetched) => {
            match fetched {
                Ok(Fetched::New(done)) => model.say_too(Tone::Done, done.said.join("; ")),
                Ok(Fetched::Same) => model.say_too(Tone::Done, "the weather service says what it said before"),
                Err(trouble) => model.say_too(Tone::Trouble, trouble.line),
            }
            vec![model.look()]
        }
        Message::Names { generation, names } if generation == model.generation => match names {
            Ok(names) => {
                if let Some(Overlay::Line(line)) = model.overlays.last_mut() {
                    line.names = names;
                }
                look(model)
            }
            Err(trouble) => {
                model.say(Tone::Trouble, trouble.line);
                Vec::new()
            }
        },
        Message::Rehearsed { generation, done } if generation == model.generation => {
            if let Some(Overlay::Line(line)) = model.overlays.last_mut() {
                line.rehearsed(done);
                line.note(&model.board.state);
            }
            Vec::new()
        }
        Message::Told { generation, lines } if generation == model.generation => {
            match (lines, model.overlays.last_mut()) {
                (Ok(lines), _) => show_text(model, lines),
                (Err(trouble), Some(Overlay::Line(line))) => line.preview = Preview::Trouble(trouble.line),
                (Err(trouble), _) => model.say(Tone::Trouble, trouble.line),
            }
            Vec::new()
        }
        Message::Room { generation, subject, preview } if generation == model.generation => {
            let opened = preview.map_err(|trouble| trouble.line).and_then(|preview| {
                let mut form = form::open(Verb::Move, &model.board, &subject)?;
                form::with_room(&mut form, &model.board, &preview);
                Ok(form)
            });
            match opened {
                Ok(form) => model.overlays.push(Overlay::Form(Box::new(form))),
                Err(line) => model.say(Tone::Trouble, line),
            }
            Vec::new()
        }
        Message::RoomFor { generation, subject, rooms } if generation == model.generation => {
            let opened = rooms.map_err(|trouble| trouble.line).and_then(|(rooms, harmed)| {
                Ok(form::open(Verb::PotOn, &model.board, &subject)?.with_room_for(&model.board, rooms, &harmed))
            });
            match opened {
                Ok(form) => model.overlays.push(Overlay::Form(Box::new(form))),
                Err(line) => model.say(Tone::Trouble, line),
            }
            Vec::new()
        }
        Message::Proposed { generation, repacking } if generation == model.generation => {
            match repacking {
                Ok(repacking) => plan::propose(model, *repacking),
                Err(trouble) => model.say(Tone::Trouble, trouble.line),
            }
            Vec::new()
        }
        // Answers to what is no longer asked.
        _ => Vec::new(),
    }
}

fn tried(model: &mut Model, done: Result<Done, Trouble>) -> Vec<Effect> {
    match done {
        Ok(done) => {
            remember(model);
            // What was opened on the way to it is done with, menus too.
            model.overlays.clear();
            if matches!(model.page(), Page::Cells(_)) {
                // What was ticked is logged.
                tick::leave(model);
            }
            model.typed.clear();
            model.marked.clear();
            let line = form::in_keys(&done.in_lines(), &model.keys);
            model.say(Tone::Done, words::plain_days(&line, model.on));
            if let Some(notice) = &mut model.notice {
                notice.way_back = Some(if done.verb == "undo" { WayBack::Redo } else { WayBack::Undo(done.act) });
            }
            round::logged(model, &done).unwrap_or_else(|| vec![model.look()])
        }
        Err(trouble) => {
            if let Some(act) = trouble.depended_on {
                let line = format!("{} Take them all back?", trouble.line);
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::UndoWithLater(act) }));
            } else if let Some(dated) = trouble.insisted {
                let line = format!("{}. Is that so?", form::in_keys(&trouble.line, &model.keys));
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::Perform(dated) }));
            } else if let Some(Overlay::Form(form)) = model.overlays.last_mut() {
                form.refuse(&trouble.line, &model.keys);
            } else if let Some(Overlay::Line(line)) = model.overlays.last_mut() {
                line.preview = Preview::Trouble(trouble.line);
            } else {
                round::refuse(model, &trouble.line);
            }
            Vec::new()
        }
    }
}

/// A menu lists what there is: after an act there is more.
fn open_menus_again(model: &mut Model) {
    let made = [form::places_menu, form::forecast_menu, form::add_menu].map(|make| make(&model.board));
    let anew: Vec<_> = made.into_iter().chain([model.rounds_menu()]).collect();
    for overlay in &mut model.overlays {
        if let Overlay::Menu(menu) = overlay
            && let Some(same) = anew.iter().find(|made| made.title == menu.title)
        {
            *menu = Menu { first: menu.first, ..same.clone() };
        }
    }
}

fn paste(model: &mut Model, text: &str) -> Vec<Effect> {
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if let Some(Overlay::Form(form)) = model.overlays.last_mut()
        && let Some(field) = form.fields.get_mut(form.focus)
    {
        text.trim().chars().filter(|c| !crate::quantity::is_hidden(*c)).for_each(|c| field.put(c));
    }
    if let Some(Overlay::Line(line)) = model.overlays.last_mut() {
        text.trim().chars().for_each(|c| line.put(c));
        return look(model);
    }
    Vec::new()
}

fn press(model: &mut Model, key: Key) -> Vec<Effect> {
    let here = place(model);
    match here {
        Where::Form if key != Key::Esc => return press_in_form(model, key),
        Where::Line if key != Key::Esc => return press_in_line(model, key),
        Where::Menu if key != Key::Esc => return choose(model, key),
        Where::Filter if !matches!(key, Key::Esc | Key::Enter) => return press_in_filter(model, key),
        _ => {}
    }
    if here == Where::Round
        && let Some(effects) = round::press_in_entry(model, key)
    {
        return effects;
    }
    let Some(action) = model.keys.action(here, key) else {
        if here == Where::Hand && matches!(key, Key::Char(_)) {
            let line = "first set down what is in the hand, with Enter, or put it back, with Esc";
            model.say(Tone::Trouble, line);
        }
        return Vec::new();
    };
    if let Key::Char(letter) = key
        && model.overlays.is_empty()
        && !is_about_subject(action.id)
        && model.is_letter_of_typed(letter)
    {
        model.typed.push(letter);
        return Vec::new();
    }
    if model.astray && model.overlays.is_empty() {
        model.astray = !matches!(key, Key::Enter | Key::Esc);
        // Digits too: they were meant for a form that did not open, and would be another batch's number.
        if !model.astray || acts(action.id) || action.id == Id::Number {
            return Vec::new();
        }
    }
    if !(action.when)(model) {
        if !model.board.standing.may_log() && !matches!(action.id, Id::Up | Id::Down) {
            let today = model.keys.letter(Id::Today);
            model.typed.clear();
            model.say(
                Tone::Trouble,
                format!("{} is not today: it can be read, not written ({today}: today)", model.on.format("%-d %b")),
            );
        } else if !matches!(action.id, Id::Up | Id::Down) {
            // A key that does nothing leaves the grower wondering whether it was felt.
            let line = match action.id {
                Id::Cells => "it stands in a container without cells, so there is none to tick".to_owned(),
                Id::Today => "it is today that is shown".to_owned(),
                Id::In => "nothing is out for the day".to_owned(),
                Id::Attend => "this row asks for nothing that a key could do".to_owned(),
                _ => format!("not here, or not now: {}", action.help),
            };
            model.say(Tone::Trouble, line);
        }
        return Vec::new();
    }
    let mut offered = None;
    if !matches!(here, Where::Text | Where::Palette) && !matches!(action.id, Id::Number | Id::Erase) {
        offered = model.notice.take().and_then(|notice| notice.way_back);
    }
    if let (Id::Undo, Some(WayBack::Undo(act)), None) = (action.id, offered, model.round()) {
        // What another program logged since is not what was offered.
        return vec![Effect::Undo { act: Some(act), later: Later::Keep, on: model.on, generation: model.asked() }];
    }
    if here == Where::Question && key == Key::Esc {
        put_off(model);
    }
    if here == Where::Cells { tick::press(model, action.id, key) } else { run(model, action.id, key) }
}

/// True of what is done to the batch whose number was typed.
const fn is_about_subject(id: Id) -> bool {
    match id {
        Id::Open(verb) => verb.has_subject(),
        _ => matches!(id, Id::Show | Id::Mark | Id::Cells | Id::OpenPlan | Id::Place | Id::Number | Id::Erase),
    }
}

/// True of what writes, or opens what will.
const fn acts(id: Id) -> bool {
    matches!(
        id,
        Id::Open(_)
            | Id::Attend
            | Id::OutAgain
            | Id::In
            | Id::Undo
            | Id::Redo
            | Id::Cells
            | Id::Add
            | Id::Forecast
            | Id::Mark
    )
}

/// A draft that is neither taken up nor dropped waits for the next time.
fn put_off(model: &mut Model) {
    if let Some(Overlay::Question(Question { yes: Yes::TakeUp(draft), .. })) = model.overlays.last() {
        model.set_aside = Some(draft.as_ref().clone());
    }
}

fn perform(model: &mut Model, request: Request) -> Effect {
    let on = model.on;
    perform_on(model, Dated { request, on })
}

fn perform_on(model: &mut Model, Dated { request, on }: Dated) -> Effect {
    let meant = match (model.overlays.last(), model.page()) {
        (Some(Overlay::Form(form)), _) => form.meant(),
        (Some(Overlay::Line(line)), _) => line.meant(),
        (None, Page::Cells(part)) => form::meant(&model.board, part).into_iter().collect(),
        _ => Vec::new(),
    };
    Effect::Perform { request: Box::new(request), meant, on, generation: model.asked() }
}
