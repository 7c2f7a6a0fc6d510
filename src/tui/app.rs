//! The loop: waits for what happens, lets the model take it in, does what the model asks for, draws.

use std::time::Duration;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

use crate::desk::{self, Desk, DeskError, Done};
use crate::grammar::{ActRef, Later};
use crate::quantity::{ActId, BatchId, Date};

use super::message::{Effect, Key, MayGo, Message, Press, Sight, Trouble};
use super::model::{Model, Page};
use super::settings::ScreenSettings;
use super::terminal::{Ending, Event, Mouse, Screen, ScreenError};
use super::theme::Look;
use super::update::update;
use super::view::{cell_at, view};

/// How often the journal is looked at for what another program wrote.
const GLANCE: Duration = Duration::from_secs(1);

/// How the screen was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// The grower left.
    Asked,
    /// Something outside ended it.
    Ended(Ending),
}

/// Whether the loop goes on.
enum Go {
    On,
    Out,
}

/// Opens the full screen on a day and stays until the grower leaves.
///
/// # Errors
/// When the journal cannot be read at first, or the terminal cannot be used.
pub fn run(desk: &mut Desk, on: Date, today: Date, look: Look, settings: &ScreenSettings) -> Result<Left, OpenError> {
    let mut model = Model::new(desk.board(on)?, today).with(settings);
    let mut screen = Screen::enter(Mouse::Left)?;
    let mut calendar = today;
    let mut version = desk.data_version().ok();
    let mut dirty = true;
    loop {
        if dirty {
            screen.draw(|frame| view(&model, look, frame));
        }
        let event = screen.next(Some(GLANCE));
        dirty = !matches!(event, Event::TimedOut | Event::Mouse(_) | Event::Focus(_));
        let message = match event {
            Event::Quit(ending) => return Ok(Left::Ended(ending)),
            Event::Key(key) => match read(key) {
                Some(Typed::Key(key)) => Message::Key(key),
                Some(Typed::Suspend) => {
                    screen.suspend();
                    continue;
                }
                Some(Typed::Leave) => return Ok(Left::Asked),
                None => continue,
            },
            Event::Paste(text) => Message::Paste(text),
            Event::TimedOut => {
                let (now, day) = (desk.data_version().ok(), desk::today());
                let message = match () {
                    () if day != calendar => Message::NewDay(day),
                    () if now != version => Message::Stale,
                    () => continue,
                };
                (version, calendar, dirty) = (now, day, true);
                message
            }
            Event::Mouse(mouse) => match pointed(&model, &screen, mouse) {
                Some(message) => {
                    dirty = true;
                    message
                }
                None => continue,
            },
            Event::Resize { .. } | Event::Focus(_) | Event::Continued => continue,
        };
        if let Go::Out = take_in(&mut model, message, desk) {
            return Ok(Left::Asked);
        }
        // Elsewhere the terminal keeps the mouse, for selecting and copying text.
        screen.follow(if matches!(model.page(), Page::Cells(_)) { Mouse::Followed } else { Mouse::Left });
    }
}

/// Why the screen could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The journal could not be read.
    #[error(transparent)]
    Desk(#[from] DeskError),
    /// The terminal cannot be used.
    #[error(transparent)]
    Screen(#[from] ScreenError),
}

fn take_in(model: &mut Model, message: Message, desk: &mut Desk) -> Go {
    let mut effects = update(model, message);
    while !effects.is_empty() {
        let mut answers = Vec::new();
        for effect in effects {
            match effect {
                Effect::Quit => return Go::Out,
                other => answers.extend(answer(desk, other)),
            }
        }
        effects = answers.into_iter().flat_map(|message| update(model, message)).collect();
    }
    Go::On
}

/// Does what the model asks of the desk, and says what came of it.
pub fn answer(desk: &mut Desk, effect: Effect) -> Option<Message> {
    Some(match effect {
        Effect::Look { on, batch, acts, plans, generation } => {
            let sight = sight(desk, on, batch, acts, plans).map(Box::new).map_err(|error| trouble(&error, None));
            Message::Seen { generation, sight }
        }
        Effect::OpenSeedBox { on, generation } => {
            let seed = desk.state(on).and_then(|state| desk.seed_box(&state));
            Message::SeedBox { generation, seed: seed.map_err(|error| trouble(&error, None)) }
        }
        Effect::FindSpots { container, on, generation } => {
            let spots = desk.spots(container, on).map(|benches| MayGo { container, benches });
            Message::Spots { generation, spots: spots.map_err(|error| trouble(&error, None)) }
        }
        Effect::Perform { request, on, generation } => tried(generation, None, desk.perform(&request, on)),
        Effect::Undo { act, later, on, generation } => {
            let name = act.and_then(|act| act.to_string().parse::<ActRef>().ok());
            tried(generation, act, desk.undo(name.as_ref(), later, on))
        }
        Effect::UndoEach { acts, on, generation } => {
            let undo = |act: ActId| {
                let name = act.to_string().parse::<ActRef>().ok();
                (act, desk.undo(name.as_ref(), Later::Keep, on).map_err(|error| trouble(&error, None)))
            };
            Message::UndoneEach { generation, tries: acts.into_iter().map(undo).collect() }
        }
        Effect::Redo { on, generation } => tried(generation, None, desk.redo(on)),
        Effect::Quit => return None,
    })
}

fn tried(generation: u64, act: Option<ActId>, done: Result<Done, DeskError>) -> Message {
    Message::Tried { generation, done: done.map_err(|error| trouble(&error, act)) }
}

fn trouble(error: &DeskError, act: Option<ActId>) -> Trouble {
    let depended_on = act.filter(|_| matches!(error, DeskError::Dependents { .. }));
    let hint = error.hint();
    let line = match depended_on {
        Some(_) => format!("{error}."),
        None if hint.is_empty() => error.to_string(),
        None => format!("{error}; {hint}"),
    };
    Trouble { line, depended_on }
}

fn sight(desk: &Desk, on: Date, batch: Option<BatchId>, acts: u32, plans: bool) -> Result<Sight, DeskError> {
    const ACTS_OF_A_BATCH: u32 = 500;
    let board = desk.board(on)?;
    let open = match batch {
        Some(id) => desk.batch_board(id, on)?,
        None => None,
    };
    let batch = match open {
        Some(view) => {
            let name = crate::grammar::BatchRef { year: Some(view.label.year), number: view.label.number, twin: None };
            let acts = desk.history(ACTS_OF_A_BATCH, Some(name))?;
            Some((view, acts))
        }
        None => None,
    };
    let acts = if acts > 0 { desk.history(acts, None)? } else { Vec::new() };
    let curve = match &batch {
        Some((view, _)) => desk.curve(view.id, on)?,
        None => None,
    };
    let plans = if plans { desk.plans(on)? } else { Vec::new() };
    Ok(Sight { board, batch, curve, plans, acts })
}

/// What the mouse did, where it did something to a cell.
fn pointed(model: &Model, screen: &Screen, mouse: MouseEvent) -> Option<Message> {
    let press = match mouse.kind {
        MouseEventKind::Down(MouseButton::Left) => Press::Down,
        MouseEventKind::Drag(MouseButton::Left) => Press::Drawn,
        _ => return None,
    };
    Some(Message::Cell(cell_at(model, screen.size()?, (mouse.column, mouse.row))?, press))
}

enum Typed {
    Key(Key),
    Suspend,
    Leave,
}

/// A key of the terminal as the screen knows it.
fn read(key: KeyEvent) -> Option<Typed> {
    if key.modifiers.contains(KeyModifiers::CONTROL) {
        return match key.code {
            KeyCode::Char('c') => Some(Typed::Leave),
            KeyCode::Char('z') => Some(Typed::Suspend),
            KeyCode::Char('h') => Some(Typed::Key(Key::Backspace)),
            _ => None,
        };
    }
    if key.modifiers.contains(KeyModifiers::ALT) {
        return None;
    }
    Some(Typed::Key(match key.code {
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Backspace | KeyCode::Delete => Key::Backspace,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        _ => return None,
    }))
}
