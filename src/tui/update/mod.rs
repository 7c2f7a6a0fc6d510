//! What a message makes of the model, and what is to be done about it. Pure: the same model and message give the same.

mod filled;
mod plan;
mod round;
mod tick;
mod typed;
mod walk;

use crate::advice::Task;
use crate::desk::{Done, Fetched};
use crate::grammar::{Later, Request, Step, parse_line};

use super::actions::{Id, Where, place};
use super::form::{self, Verb};
use super::line::Preview;
use super::message::{Dated, Effect, Key, Message, Trouble};
use super::model::{Choose, Menu, Model, Overlay, Page, Palette, Question, Tone, WayBack, Yes};
use super::round::Entry;
use super::rows::{RowKey, Section, Subject};

use filled::{press_in_form, take_up, yes};
use typed::{look, open_line, press_in_line, remember, show_text};
use walk::{back, go_to, look_at, mark, next_place, next_section, out_again, press_in_filter, show, step};

/// Rows that a page key goes.
const PAGE: usize = 10;
/// Items of a menu that a page is taken to have: no screen that shows fewer is in use.
const MENU_PAGE: usize = 5;
/// A batch's number has at most so many digits.
const DIGITS: usize = 5;

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
                Ok(seed) if model.taking_up.is_some() => {
                    let half = model.taking_up.take();
                    return half.map_or_else(Vec::new, |half| take_up(model, &half, &seed));
                }
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
        Message::UndoneEach { generation, tries } if generation == model.generation => round::taken_back(model, tries),
        Message::Fetched(fetched) => {
            match fetched {
                Ok(Fetched::New(done)) => model.say(Tone::Done, done.said.join("; ")),
                Ok(Fetched::Same) => model.say(Tone::Done, "the weather service says what it said before"),
                Err(trouble) => model.say(Tone::Trouble, trouble.line),
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
                line.rehearsed(done, &model.board);
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
        | Message::UndoneEach { .. }
        | Message::Names { .. }
        | Message::Rehearsed { .. }
        | Message::Told { .. }
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
            remember(model);
            // What was opened on the way to it is done with, menus too.
            model.overlays.clear();
            if matches!(model.page(), Page::Cells(_)) {
                // What was ticked is logged.
                tick::leave(model);
            }
            model.typed.clear();
            model.marked.clear();
            let mut line = done.said.join("; ");
            for notice in &done.notices {
                line.push_str(&format!(" ({notice})"));
            }
            let line = form::in_keys(&line, &model.keys);
            model.say(Tone::Done, line);
            if let Some(notice) = &mut model.notice {
                notice.way_back = Some(if done.verb == "undo" { WayBack::Redo } else { WayBack::Undo });
            }
            round::logged(model, &done).unwrap_or_else(|| vec![model.look()])
        }
        Err(trouble) => {
            if let Some(act) = trouble.depended_on {
                let line = format!("{} Take them all back?", trouble.line);
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::UndoWithLater(act) }));
            } else if let Some(dated) = trouble.insisted {
                let line = format!("{}. Is that so?", trouble.line);
                model.overlays.push(Overlay::Question(Question { line, yes: Yes::Perform(dated) }));
            } else if let Some(Overlay::Form(form)) = model.overlays.last_mut() {
                form.refuse(&trouble.line, &model.keys);
            } else if let Some(Overlay::Line(line)) = model.overlays.last_mut() {
                line.preview = Preview::Trouble(trouble.line);
            } else {
                let line = form::in_keys(&trouble.line, &model.keys);
                model.say(Tone::Trouble, line);
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
        text.trim().chars().filter(|c| !crate::quantity::is_hidden(*c)).for_each(|c| {
            if field.accepts(c) {
                field.put(c);
            }
        });
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
    let Some(action) = model.keys.action(here, key) else { return Vec::new() };
    if !(action.when)(model) {
        if !model.board.standing.may_log() && !matches!(action.id, Id::Up | Id::Down) {
            let today = model.keys.letter(Id::Today);
            model
                .say(Tone::Trouble, format!("{} is not today: it can be read, not written ({today}: today)", model.on));
        }
        return Vec::new();
    }
    if !matches!(here, Where::Text | Where::Palette) && !matches!(action.id, Id::Number | Id::Erase) {
        model.notice = None;
    }
    if here == Where::Question && key == Key::Esc {
        put_off(model);
    }
    if here == Where::Cells { tick::press(model, action.id, key) } else { run(model, action.id, key) }
}

/// Does what the list of actions is on, by pressing its key on the page below.
fn do_picked(model: &mut Model) -> Vec<Effect> {
    let Some(Overlay::Help(palette)) = model.overlays.last() else { return Vec::new() };
    let Some(action) = model.picked(palette) else { return Vec::new() };
    model.overlays.pop();
    let key = model.keys.of(action).into_iter().find(|key| *key != Key::Digit);
    let fits = action.places.contains(&place(model)) && (action.when)(model);
    match key.filter(|_| fits) {
        Some(key) => press(model, key),
        None => {
            model.say(Tone::Trouble, format!("not here, or not now: {}", action.help));
            Vec::new()
        }
    }
}

/// A draft that is neither taken up nor dropped waits for the next time.
fn put_off(model: &mut Model) {
    if let Some(Overlay::Question(Question { yes: Yes::TakeUp(draft), .. })) = model.overlays.last() {
        model.set_aside = Some(draft.as_ref().clone());
    }
}

fn run(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    match id {
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
        Id::Undo if model.round().is_some() => round::undo_newest(model),
        Id::Undo => vec![Effect::Undo { act: None, later: Later::Keep, on: model.on, generation: model.asked() }],
        Id::UndoThis => match model.row_key() {
            Some(RowKey::Act(act)) => {
                vec![Effect::Undo { act: Some(act), later: Later::Keep, on: model.on, generation: model.asked() }]
            }
            _ => Vec::new(),
        },
        Id::Redo => vec![Effect::Redo { on: model.on, generation: model.asked() }],
        Id::Find => {
            if let Some(Overlay::Help(palette)) = model.overlays.last_mut() {
                palette.finding = true;
                return Vec::new();
            }
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
            model.overlays.push(Overlay::Help(Palette::default()));
            Vec::new()
        }
        Id::Add => {
            model.overlays.push(Overlay::Menu(form::add_menu(&model.board)));
            Vec::new()
        }
        Id::Forecast => {
            model.overlays.push(Overlay::Menu(form::forecast_menu(&model.board)));
            Vec::new()
        }
        Id::Spots | Id::PickUp => match model.container_here() {
            Some(container) => vec![Effect::FindSpots { container, on: model.on, generation: model.asked() }],
            None => Vec::new(),
        },
        Id::OpenPlan => plan::open(model),
        Id::InHand => go_to(model, Page::InHand),
        Id::Wash => {
            if let Some(form) = model.kind_here().map(form::wash) {
                model.overlays.push(Overlay::Form(Box::new(form)));
            }
            Vec::new()
        }
        Id::Own => {
            let form = form::own(&model.board, model.kind_here());
            model.overlays.push(Overlay::Form(Box::new(form)));
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
        | Id::Repack => plan::press(model, id, key),
        Id::Tonight => go_to(model, Page::Tonight),
        Id::Benches => go_to(model, Page::Benches),
        Id::Place => match model.place_of_row() {
            Some(place) => go_to(model, Page::Place(place)),
            None => Vec::new(),
        },
        Id::NextPlace => match model.page() {
            Page::Place(place) => next_place(model, place),
            _ => Vec::new(),
        },
        Id::Journal => go_to(model, Page::Journal),
        Id::Round => match model.page() {
            Page::Place(place) if !model.round_of(place).stops.is_empty() => round::begin(model, place),
            _ => round::choose_place(model),
        },
        Id::Tally => {
            if let Key::Char(c) = key {
                // Whatever letter the gaps were given, they are typed as a minus.
                let first = if c.is_ascii_digit() { c } else { '-' };
                round::expect(model, Entry::Count(first.to_string()));
            }
            Vec::new()
        }
        Id::Leaves => {
            round::expect(model, Entry::Leaves);
            Vec::new()
        }
        Id::Leggy => round::grown(model, "--leggy"),
        Id::Roots => round::grown(model, "--roots"),
        Id::Skip => round::skip(model),
        Id::BackOne => {
            round::back_one(model);
            Vec::new()
        }
        Id::Stop => round::stop(model),
        Id::GoOn => round::go_on(model),
        Id::UndoRound => {
            round::ask_undo_all(model);
            Vec::new()
        }
        Id::DayBack => look_at(model, model.on.pred_opt()),
        Id::DayAhead => look_at(model, model.on.succ_opt()),
        Id::Today => look_at(model, Some(model.today)),
        Id::Sun => {
            model.light = model.light.other();
            Vec::new()
        }
        Id::Quit => vec![Effect::Quit],
        Id::Enter => {
            match model.overlays.last_mut() {
                Some(Overlay::Help(palette)) => palette.finding = false,
                _ => model.filtering = false,
            }
            Vec::new()
        }
        Id::DoPicked => do_picked(model),
        Id::Line => open_line(model, ""),
        Id::Cells => tick::open_subject(model),
        Id::NextField
        | Id::PreviousField
        | Id::Take
        | Id::TakeBack
        | Id::Earlier
        | Id::Left
        | Id::Right
        | Id::Tick
        | Id::TickOne
        | Id::TickTwo
        | Id::TickNone
        | Id::TickRow
        | Id::TickColumn
        | Id::TickAll
        | Id::TickOlder
        | Id::TickLog => Vec::new(),
        Id::Yes => yes(model),
    }
}

fn perform(model: &mut Model, request: Request) -> Effect {
    let on = model.on;
    perform_on(model, Dated { request, on })
}

fn perform_on(model: &mut Model, Dated { request, on }: Dated) -> Effect {
    Effect::Perform { request: Box::new(request), on, generation: model.asked() }
}

fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
    let Some(Overlay::Menu(menu)) = model.overlays.last_mut() else { return Vec::new() };
    let last = menu.items.len().saturating_sub(1);
    match key {
        Key::Char(' ') => menu.first = if menu.first + MENU_PAGE > last { 0 } else { menu.first + MENU_PAGE },
        Key::Down => menu.first = (menu.first + 1).min(last),
        Key::Up => menu.first = menu.first.saturating_sub(1),
        _ => {}
    }
    let Key::Char(c) = key else { return Vec::new() };
    let Some((.., chosen)) = menu.items.iter().find(|(letter, ..)| *letter == c) else { return Vec::new() };
    match chosen.clone() {
        Choose::Menu(menu) => {
            model.overlays.push(Overlay::Menu(menu));
            Vec::new()
        }
        Choose::Form(form) => {
            model.overlays.push(Overlay::Form(form));
            Vec::new()
        }
        Choose::Round(place) => round::begin(model, place),
        Choose::Cells(part) => {
            model.overlays.clear();
            tick::open(model, part)
        }
        Choose::Fetch => {
            model.overlays.pop();
            model.say(Tone::Done, "the weather service is being asked; go on meanwhile");
            vec![Effect::Fetch { on: model.on }]
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
        Ok(mut form) => {
            if model.stop().is_some() {
                round::ask_cause(verb, &mut form);
            }
            model.overlays.push(Overlay::Form(Box::new(form)));
        }
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
        Task::TakeOffHeat | Task::ToWarmth | Task::ToCool => open(model, Verb::Move),
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
