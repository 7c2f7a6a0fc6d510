//! What a message makes of the model, and what is to be done about it. Pure: the same model and message give the same.

mod filled;
mod plan;
mod walk;

use crate::advice::Task;
use crate::desk::Done;
use crate::grammar::{Later, Request, Step, parse_line};

use super::actions::{Action, Id, Where, action, place};
use super::form::{self, Verb};
use super::message::{Effect, Key, Message, Trouble};
use super::model::{Choose, Model, Overlay, Page, Question, Tone, Yes};
use super::rows::{RowKey, Section, Subject};

use filled::{press_in_form, yes};
use walk::{back, go_to, look_at, mark, next_section, out_again, press_in_filter, show, step};

/// Rows that a page key goes.
const PAGE: usize = 10;
/// A batch's number has at most so many digits.
const DIGITS: usize = 5;

/// Takes a message in.
pub fn update(model: &mut Model, message: Message) -> Vec<Effect> {
    match message {
        Message::Key(key) => press(model, key),
        Message::Paste(text) => paste(model, &text),
        Message::Seen { generation, sight } if generation == model.generation => match sight {
            Ok(sight) => {
                model.see(*sight);
                open_menus_again(model);
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
                Ok(seed) => model.overlays.push(Overlay::Form(Box::new(form::sow(&model.board, &seed)))),
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
        Message::Proposed { generation, repacking } if generation == model.generation => {
            match repacking {
                Ok(repacking) => plan::propose(model, *repacking),
                Err(trouble) => model.say(Tone::Trouble, trouble.line),
            }
            Vec::new()
        }
        // Answers to what is no longer asked.
        Message::Seen { .. }
        | Message::SeedBox { .. }
        | Message::Spots { .. }
        | Message::Room { .. }
        | Message::Proposed { .. }
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

fn tried(model: &mut Model, done: Result<Done, Trouble>) -> Vec<Effect> {
    match done {
        Ok(done) => {
            if matches!(model.overlays.last(), Some(Overlay::Form(_))) {
                model.overlays.pop();
            }
            model.typed.clear();
            model.marked.clear();
            let mut line = done.said.join("; ");
            for notice in &done.notices {
                line.push_str(&format!(" ({notice})"));
            }
            model.say(Tone::Done, line);
            vec![model.look()]
        }
        Err(trouble) => {
            if let Some(act) = trouble.depended_on {
                let line = format!("{} Take them all back?", trouble.line);
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::UndoWithLater(act) }));
            } else if let Some(Overlay::Form(form)) = model.overlays.last_mut() {
                form.trouble = Some(trouble.line);
            } else {
                model.say(Tone::Trouble, trouble.line);
            }
            Vec::new()
        }
    }
}

/// A menu lists what there is: after an act there is more.
fn open_menus_again(model: &mut Model) {
    for overlay in &mut model.overlays {
        if let Overlay::Menu(menu) = overlay {
            let places = form::places_menu(&model.board);
            *menu = if menu.title == places.title { places } else { form::add_menu(&model.board) };
        }
    }
}

fn paste(model: &mut Model, text: &str) -> Vec<Effect> {
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if let Some(Overlay::Form(form)) = model.overlays.last_mut()
        && let Some(field) = form.fields.get_mut(form.focus)
    {
        text.trim().chars().filter(|c| !crate::quantity::is_hidden(*c)).for_each(|c| {
            if field.accepts(c) {
                field.put(c);
            }
        });
    }
    Vec::new()
}

fn press(model: &mut Model, key: Key) -> Vec<Effect> {
    let here = place(model);
    match here {
        Where::Form if key != Key::Esc => return press_in_form(model, key),
        Where::Menu if key != Key::Esc => return choose(model, key),
        Where::Filter if !matches!(key, Key::Esc | Key::Enter) => return press_in_filter(model, key),
        _ => {}
    }
    let Some(action) = action(here, key) else { return Vec::new() };
    if !(action.when)(model) {
        if !model.board.standing.may_log() && !matches!(action.id, Id::Up | Id::Down) {
            model.say(Tone::Trouble, format!("{} is not today: it can be read, not written (T: today)", model.on));
        }
        return Vec::new();
    }
    if here != Where::Text && !matches!(action.id, Id::Number | Id::Erase) {
        model.notice = None;
    }
    run(model, action, key)
}

fn run(model: &mut Model, action: &Action, key: Key) -> Vec<Effect> {
    match action.id {
        Id::Open(verb) => open(model, verb),
        Id::Attend => attend(model),
        Id::Show => show(model),
        Id::Up => step(model, 1, false),
        Id::Down => step(model, 1, true),
        Id::PageUp => step(model, PAGE, false),
        Id::PageDown => step(model, PAGE, true),
        Id::NextSection => {
            next_section(model);
            Vec::new()
        }
        Id::Back => back(model),
        Id::Number => {
            if let (Key::Char(c), true) = (key, model.typed.len() < DIGITS) {
                model.typed.push(c);
            }
            Vec::new()
        }
        Id::Erase => {
            model.typed.pop();
            Vec::new()
        }
        Id::Mark => {
            mark(model);
            Vec::new()
        }
        Id::OutAgain => out_again(model),
        Id::In => vec![perform(model, Request::BringIn { things: Vec::new() })],
        Id::Undo => vec![Effect::Undo { act: None, later: Later::Keep, on: model.on, generation: model.asked() }],
        Id::UndoThis => match model.row_key() {
            Some(RowKey::Act(act)) => {
                vec![Effect::Undo { act: Some(act), later: Later::Keep, on: model.on, generation: model.asked() }]
            }
            _ => Vec::new(),
        },
        Id::Redo => vec![Effect::Redo { on: model.on, generation: model.asked() }],
        Id::Find => {
            model.filter.get_or_insert_default();
            model.filtering = true;
            Vec::new()
        }
        Id::Why => {
            match model.why() {
                Some((title, why)) => model.overlays.push(Overlay::Why { title, why: Box::new(why), scroll: 0 }),
                None => model.say(Tone::Trouble, "nothing is reckoned here, so there is nothing to explain"),
            }
            Vec::new()
        }
        Id::Help => {
            model.overlays.push(Overlay::Help { scroll: 0 });
            Vec::new()
        }
        Id::Add => {
            model.overlays.push(Overlay::Menu(form::add_menu(&model.board)));
            Vec::new()
        }
        Id::Spots | Id::PickUp => match model.container_here() {
            Some(container) => vec![Effect::FindSpots { container, on: model.on, generation: model.asked() }],
            None => Vec::new(),
        },
        Id::OpenPlan => plan::open(model),
        Id::InHand => go_to(model, Page::InHand),
        Id::Wash | Id::Own => {
            let make = if action.id == Id::Wash { form::wash } else { form::own };
            if let Some(form) = model.kind_here().map(make) {
                model.overlays.push(Overlay::Form(Box::new(form)));
            }
            Vec::new()
        }
        Id::NextThing => step(model, 1, true),
        Id::ThingBefore => step(model, 1, false),
        Id::Walk
        | Id::NextBench
        | Id::BenchBefore
        | Id::SetDown
        | Id::Nudge
        | Id::Leap
        | Id::NextSpot
        | Id::SpotBefore
        | Id::Jump
        | Id::Turn
        | Id::Pin
        | Id::Propose
        | Id::Repack => plan::press(model, action.id, key),
        Id::Tonight => go_to(model, Page::Tonight),
        Id::Benches => go_to(model, Page::Benches),
        Id::Journal => go_to(model, Page::Journal),
        Id::DayBack => look_at(model, model.on.pred_opt()),
        Id::DayAhead => look_at(model, model.on.succ_opt()),
        Id::Today => look_at(model, Some(model.today)),
        Id::Quit => vec![Effect::Quit],
        Id::Enter => {
            model.filtering = false;
            Vec::new()
        }
        Id::NextField | Id::PreviousField => Vec::new(),
        Id::Yes => yes(model),
    }
}

fn perform(model: &mut Model, request: Request) -> Effect {
    Effect::Perform { request: Box::new(request), on: model.on, generation: model.asked() }
}

fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
    let (Some(Overlay::Menu(menu)), Key::Char(c)) = (model.overlays.last(), key) else { return Vec::new() };
    let Some((.., chosen)) = menu.items.iter().find(|(letter, ..)| *letter == c) else { return Vec::new() };
    match chosen.clone() {
        Choose::Perform(request) => vec![perform(model, *request)],
        Choose::Menu(menu) => {
            model.overlays.push(Overlay::Menu(menu));
            Vec::new()
        }
        Choose::Form(form) => {
            model.overlays.push(Overlay::Form(form));
            Vec::new()
        }
    }
}

fn open(model: &mut Model, verb: Verb) -> Vec<Effect> {
    if verb == Verb::Sow {
        model.typed.clear();
        return vec![Effect::OpenSeedBox { on: model.on, generation: model.asked() }];
    }
    let subject = if verb.has_subject() { model.subject(verb.takes_several()) } else { Ok(Subject::default()) };
    if let (Verb::Move, Ok(subject)) = (verb, &subject) {
        let live = subject.parts.iter().filter_map(|part| model.board.state.parts.get(part)).filter(|it| it.is_live());
        let mut containers: Vec<_> = live.map(|part| part.container).collect();
        containers.sort_unstable();
        containers.dedup();
        if !containers.is_empty() {
            let subject = subject.clone();
            model.typed.clear();
            return vec![Effect::PreviewMove { subject, containers, on: model.on, generation: model.asked() }];
        }
    }
    let opened = subject.and_then(|subject| form::open(verb, &model.board, &subject));
    match opened {
        Ok(form) => model.overlays.push(Overlay::Form(Box::new(form))),
        Err(line) => model.say(Tone::Trouble, line),
    }
    model.typed.clear();
    Vec::new()
}

/// Does what a line of today's work or of the evening asks for.
fn attend(model: &mut Model) -> Vec<Effect> {
    if model.cursor().section == Section::Dusk {
        return act_on_words(model);
    }
    let Some(task) = model.due().get(model.cursor().index).map(|due| due.what) else { return Vec::new() };
    match task {
        Task::TakeOffHeat => open(model, Verb::Move),
        Task::Count | Task::Slow => open(model, Verb::Count),
        Task::SowAgain => open(model, Verb::Sow),
        Task::PrickOut | Task::PotOn => open(model, Verb::PotOn),
        Task::PlantOut => open(model, Verb::PlantOut),
        Task::ClearForgotten => open(model, Verb::Clear),
        Task::CatchUp { .. } => {
            model.in_full = true;
            model.settle();
            Vec::new()
        }
    }
}

/// Logs the words beside a line of the evening, as if they had been typed.
fn act_on_words(model: &mut Model) -> Vec<Effect> {
    let words = model.evening().get(model.cursor().index).and_then(|row| row.doing.map(str::to_owned));
    let Some(words) = words else { return Vec::new() };
    match parse_line(&words, model.on) {
        Ok(Some(line)) => match line.step {
            Step::Act(request) => vec![perform(model, request)],
            _ => Vec::new(),
        },
        Ok(None) => Vec::new(),
        Err(error) => {
            model.say(Tone::Trouble, format!("{}; {}", error.message, error.hint));
            Vec::new()
        }
    }
}
