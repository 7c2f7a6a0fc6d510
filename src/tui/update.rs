//! What a message makes of the model, and what is to be done about it. Pure: the same model and message give the same.

use crate::advice::Task;
use crate::desk::Done;
use crate::grammar::{Later, Request};
use crate::journal::{Recount, State};
use crate::quantity::{Date, PartId};

use super::actions::{Action, Id, Where, action, place};
use super::form::{self, Form, Pressed, Verb};
use super::message::{Effect, Key, Message, Trouble};
use super::model::{ACTS_AT_FIRST, Choose, Cursor, Model, Overlay, Page, Question, Tone, Yes};
use super::rows::{RowKey, Section, Subject};

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
        // Answers to what is no longer asked.
        Message::Seen { .. } | Message::Tried { .. } => Vec::new(),
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

fn press_in_form(model: &mut Model, key: Key) -> Vec<Effect> {
    let on = model.on;
    let Some(Overlay::Form(form)) = model.overlays.last_mut() else { return Vec::new() };
    match form.press(key, on) {
        Pressed::On => Vec::new(),
        Pressed::Ready(request) => {
            if let Some(question) = recount(&model.board.state, form.taken_from, &request) {
                model.overlays.push(Overlay::Question(question));
                return Vec::new();
            }
            vec![perform(model, *request)]
        }
    }
}

/// The log is often behind the plants: offers to take those in the hand for the count.
fn recount(state: &State, from: Option<PartId>, request: &Request) -> Option<Question> {
    let part = state.parts.get(&from?)?;
    let (plants, again) = match request {
        Request::MoveOn(words) if words.recount == Recount::No => {
            let words = crate::grammar::MoveOnWords { recount: Recount::Yes, ..words.clone() };
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

fn yes(model: &mut Model) -> Vec<Effect> {
    let Some(Overlay::Question(question)) = model.overlays.pop() else { return Vec::new() };
    match question.yes {
        Yes::Perform(request) => vec![perform(model, *request)],
        Yes::UndoWithLater(act) => {
            vec![Effect::Undo { act: Some(act), later: Later::UndoToo, on: model.on, generation: model.asked() }]
        }
    }
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

fn press_in_filter(model: &mut Model, key: Key) -> Vec<Effect> {
    let request = match key {
        Key::Char(c) => tui_input::InputRequest::InsertChar(c),
        Key::Backspace => tui_input::InputRequest::DeletePrevChar,
        Key::Left => tui_input::InputRequest::GoToPrevChar,
        Key::Right => tui_input::InputRequest::GoToNextChar,
        _ => return Vec::new(),
    };
    if let Some(filter) = &mut model.filter {
        filter.handle(request);
    }
    model.settle();
    // What is looked for may lie further back than what was read.
    if model.acts.len() < all_acts(model) { more_acts(model) } else { Vec::new() }
}

fn all_acts(model: &Model) -> usize {
    usize::try_from(model.acts_wanted).unwrap_or(usize::MAX)
}

fn more_acts(model: &mut Model) -> Vec<Effect> {
    if model.acts.len() < all_acts(model) {
        return Vec::new();
    }
    model.acts_wanted = model.acts_wanted.saturating_mul(4);
    vec![model.look()]
}

fn open(model: &mut Model, verb: Verb) -> Vec<Effect> {
    let subject = if verb.has_subject() { model.subject(verb.takes_several()) } else { Ok(Subject::default()) };
    let opened = subject.and_then(|subject| form::open(verb, &model.board, &subject));
    match opened {
        Ok(form) => model.overlays.push(Overlay::Form(Box::new(form))),
        Err(line) => model.say(Tone::Trouble, line),
    }
    model.typed.clear();
    Vec::new()
}

/// Does what a line of today's work asks for.
fn attend(model: &mut Model) -> Vec<Effect> {
    let Some(task) = model.due().get(model.cursor().index).map(|due| due.what) else { return Vec::new() };
    match task {
        Task::TakeOffHeat => open(model, Verb::Move),
        Task::Count => open(model, Verb::Count),
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

fn show(model: &mut Model) -> Vec<Effect> {
    let cursor = model.cursor();
    if cursor.section == Section::Today
        && model.typed.is_empty()
        && model.due().get(cursor.index).is_some_and(|due| matches!(due.what, Task::CatchUp { .. }))
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

fn go_to(model: &mut Model, page: Page) -> Vec<Effect> {
    if page == Page::Journal {
        model.acts_wanted = ACTS_AT_FIRST;
        (model.filter, model.filtering) = (None, false);
    }
    model.pages.retain(|(open, _)| *open != page || *open == Page::Morning);
    model.pages.push((page, Cursor { section: Section::Today, index: 0 }));
    model.settle();
    vec![model.look()]
}

fn back(model: &mut Model) -> Vec<Effect> {
    if model.overlays.pop().is_some() {
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

fn step(model: &mut Model, by: usize, down: bool) -> Vec<Effect> {
    if let Some(Overlay::Why { scroll, .. } | Overlay::Help { scroll }) = model.overlays.last_mut() {
        let by = u16::try_from(by).unwrap_or(u16::MAX);
        *scroll = if down { scroll.saturating_add(by) } else { scroll.saturating_sub(by) };
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

fn next_section(model: &mut Model) {
    let lists: Vec<Section> = model.sections().iter().copied().filter(|list| model.len(*list) > 0).collect();
    let at = lists.iter().position(|list| *list == model.cursor().section);
    if let Some(next) = at.and_then(|at| lists.get((at + 1) % lists.len())) {
        model.set_cursor(Cursor { section: *next, index: 0 });
    }
}

fn mark(model: &mut Model) {
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

/// The group that went out last goes out again by one key; without one, or with marks, the grower says what and where.
fn out_again(model: &mut Model) -> Vec<Effect> {
    match model.board.last.out.clone() {
        Some(place) if model.marked.is_empty() && model.typed.is_empty() => {
            vec![perform(model, Request::PutOut { things: Vec::new(), place })]
        }
        _ => open(model, Verb::Out),
    }
}

fn look_at(model: &mut Model, day: Option<Date>) -> Vec<Effect> {
    let Some(day) = day.filter(|day| *day <= model.today) else { return Vec::new() };
    model.on = day;
    vec![model.look()]
}

/// The form that lies open, if one does.
#[must_use]
pub fn open_form(model: &Model) -> Option<&Form> {
    match model.overlays.last() {
        Some(Overlay::Form(form)) => Some(form),
        _ => None,
    }
}
