//! What a key does on a page.

use crate::advice::Task;
use crate::grammar::{Later, Step, parse_line};
use crate::tui::actions::{Id, place};
use crate::tui::form::{self, Verb};
use crate::tui::message::{Effect, Key};
use crate::tui::model::{Choose, Model, Overlay, Page, Palette, Tone};
use crate::tui::plain;
use crate::tui::round::Entry;
use crate::tui::rows::{RowKey, Section, Subject};

use super::filled::yes;
use super::typed::open_line;
use super::walk::{back, go_to, look_at, mark, next_place, next_section, show, step};
use super::{day_out, perform, plan, press, round, tick};

/// Rows that a page key goes.
const PAGE: usize = 10;
/// A batch's number has at most so many digits.
const DIGITS: usize = 5;
/// Items of a menu that a page is taken to have: no screen that shows fewer is in use.
const MENU_PAGE: usize = 5;

pub(super) fn run(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    match id {
        Id::Open(verb) => open(model, verb),
        Id::Attend => attend(model),
        Id::Up
        | Id::Down
        | Id::PageUp
        | Id::PageDown
        | Id::NextSection
        | Id::Back
        | Id::Number
        | Id::Erase
        | Id::NextThing
        | Id::ThingBefore
        | Id::Tonight
        | Id::Benches
        | Id::Place
        | Id::NextPlace
        | Id::Journal
        | Id::DayBack
        | Id::DayAhead
        | Id::Today => go(model, id, key),
        Id::Tally
        | Id::Leaves
        | Id::Leggy
        | Id::Roots
        | Id::Skip
        | Id::BackOne
        | Id::Stop
        | Id::GoOn
        | Id::UndoRound => at_stop(model, id, key),
        Id::Find | Id::Why | Id::Help | Id::Add | Id::Forecast => lay_open(model, id),
        Id::Show => show(model),
        Id::Mark => {
            mark(model);
            Vec::new()
        }
        Id::OutAgain => day_out::put_out(model),
        Id::In => day_out::bring_in(model),
        Id::Undo if model.round().is_some() => round::undo_newest(model),
        Id::Undo => vec![Effect::Undo { act: None, later: Later::Keep, on: model.on, generation: model.asked() }],
        Id::UndoThis => match model.row_key() {
            Some(RowKey::Act(act)) => {
                vec![Effect::Undo { act: Some(act), later: Later::Keep, on: model.on, generation: model.asked() }]
            }
            _ => Vec::new(),
        },
        Id::Redo => vec![Effect::Redo { on: model.on, generation: model.asked() }],
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
        Id::Round => match model.page() {
            Page::Place(place) if !model.round_of(place).stops.is_empty() => round::begin(model, place),
            _ => round::choose_place(model),
        },
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

/// Goes about: rows, pages, days.
fn go(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    match id {
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
        Id::NextThing => step(model, 1, true),
        Id::ThingBefore => step(model, 1, false),
        Id::Tonight if model.page() == Page::Tonight => {
            let lines = plain::of_evening(model);
            model.overlays.push(Overlay::Text { title: "Tonight, whole".to_owned(), lines, scroll: 0 });
            Vec::new()
        }
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
        Id::DayBack => look_at(model, model.on.pred_opt()),
        Id::DayAhead => look_at(model, model.on.succ_opt()),
        Id::Today => look_at(model, Some(model.today)),
        _ => Vec::new(),
    }
}

/// Does something at a stop of a round.
fn at_stop(model: &mut Model, id: Id, key: Key) -> Vec<Effect> {
    match id {
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
        _ => Vec::new(),
    }
}

/// Opens what is read or chosen from.
fn lay_open(model: &mut Model, id: Id) -> Vec<Effect> {
    match id {
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
        _ => Vec::new(),
    }
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

pub(super) fn choose(model: &mut Model, key: Key) -> Vec<Effect> {
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

/// Asks for the seed there is, and for the room for what was sown in last.
pub(super) fn open_seed_box(model: &mut Model) -> Effect {
    let kinds = model.board.last.sown.iter().map(|(_, kind, _)| kind.clone()).collect();
    Effect::OpenSeedBox { kinds, on: model.on, generation: model.asked() }
}

pub(super) fn open(model: &mut Model, verb: Verb) -> Vec<Effect> {
    if verb == Verb::Sow {
        model.typed.clear();
        return vec![open_seed_box(model)];
    }
    if verb == Verb::Read {
        let form = form::read(&model.board, model.place_here());
        model.typed.clear();
        model.overlays.push(Overlay::Form(Box::new(form)));
        return Vec::new();
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
    if let (Verb::PotOn, Ok(subject)) = (verb, &subject)
        && !subject.parts.is_empty()
    {
        let subject = subject.clone();
        model.typed.clear();
        let kinds = form::moved_into(&model.board, &subject.parts);
        return vec![Effect::FindRoom { subject, kinds, on: model.on, generation: model.asked() }];
    }
    let subject = if verb == Verb::Out { subject.and_then(|subject| only_plants(model, subject)) } else { subject };
    let opened = subject.and_then(|subject| form::open(verb, &model.board, &subject));
    match opened {
        Ok(mut form) => {
            if model.stop().is_some() {
                round::ask_cause(verb, &mut form);
            }
            model.overlays.push(Overlay::Form(Box::new(form)));
        }
        Err(line) if model.typed.is_empty() => model.say(Tone::Trouble, line),
        Err(line) => {
            model.say(Tone::Trouble, format!("{line}; Enter or Esc, and keys are taken again"));
            model.astray = true;
        }
    }
    model.typed.clear();
    Vec::new()
}

/// What goes out for the day from a line of a place too hot: its plants. Seed of which nothing is up is moved.
fn only_plants(model: &Model, mut subject: Subject) -> Result<Subject, String> {
    let row = model.due().get(model.cursor().index).filter(|_| model.cursor().section == Section::Today);
    if !row.is_some_and(|row| matches!(row.what, Task::CoolDown(_) | Task::LookOver(_))) || !model.typed.is_empty() {
        return Ok(subject);
    }
    subject.parts.retain(|part| model.board.state.parts.get(part).is_some_and(|part| part.standing() > 0));
    match subject.parts.is_empty() {
        true => Err("nothing is up there yet: seed is moved, not put out for the day".to_owned()),
        false => Ok(subject),
    }
}

/// Does what a line of today's work or of the evening asks for.
pub(super) fn attend(model: &mut Model) -> Vec<Effect> {
    if model.cursor().section == Section::Dusk {
        let words = model.evening().get(model.cursor().index).and_then(|row| row.doing.map(str::to_owned));
        return act_on_words(model, words);
    }
    let Some(task) = model.due().get(model.cursor().index).map(|due| due.what) else { return Vec::new() };
    match task {
        Task::Cover(_)
        | Task::Uncover(_)
        | Task::PutOut(_)
        | Task::MoveOut(_)
        | Task::OutOfCold(_)
        | Task::CatchUp { late: 0 } => match model.due().get(model.cursor().index).and_then(|due| due.doing.clone()) {
            // A note of any plant ends the line of days away.
            None if matches!(task, Task::CatchUp { .. }) => open(model, Verb::Note),
            words => act_on_words(model, words),
        },
        Task::OpenUp(_) => go_to(model, Page::Tonight),
        Task::LookOver(_) => open(model, Verb::Note),
        Task::CoolDown(_) | Task::TakeOffHeat | Task::ToWarmth | Task::ToCool => open(model, Verb::Move),
        Task::Count | Task::Slow => open(model, Verb::Count),
        Task::SowAgain => {
            model.sowing_for = model.due().get(model.cursor().index).and_then(|due| due.batch).map(|(id, _)| id);
            open(model, Verb::Sow)
        }
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
fn act_on_words(model: &mut Model, words: Option<String>) -> Vec<Effect> {
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
