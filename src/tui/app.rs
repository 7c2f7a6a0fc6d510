//! The loop: waits for what happens, lets the model take it in, does what the model asks for, draws.

use std::sync::mpsc::{self, Receiver, TryRecvError};
use std::thread;
use std::time::Duration;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

use crate::advice::{BenchPlan, PartView};
use crate::desk::{self, DayForecast, Desk, DeskError, Done, Drafts, Fetched};
use crate::grammar::{ActRef, Later, PartRef, PlainPage, Report, Request, Step};
use crate::quantity::{ActId, BatchId, Date, Name, PartId};

use super::draft::{Draft, Keeper};
use super::message::{Dated, Effect, Key, MayGo, Message, Press, Sight, Trouble};
use super::model::{Cursor, Model, Overlay, Page, Question, Tone, Yes};
use super::plain;
use super::rows::Section;
use super::settings::ScreenSettings;
use super::terminal::{Ending, Event, Mouse, Screen, ScreenError};
use super::theme::Look;
use super::tray::Tray;
use super::update::update;
use super::view::{cell_at, view};

/// How often the journal is looked at for what another program wrote: it is to be seen within a second, drawing included.
const GLANCE: Duration = Duration::from_millis(500);

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

/// Makes a report in lines of text.
pub type Tell = fn(&Desk, &Report, Date) -> Result<Vec<String>, DeskError>;

/// Opens the full screen on a day and stays until the grower leaves.
///
/// # Errors
/// When the journal cannot be read at first, or the terminal cannot be used.
pub fn run(
    desk: &mut Desk,
    (on, today): (Date, Date),
    look: Look,
    settings: &ScreenSettings,
    tell: Tell,
) -> Result<Left, OpenError> {
    let mut model = Model::new(desk.board(on)?, today).with(settings);
    let mut screen = Screen::enter(Mouse::Left)?;
    let mut calendar = today;
    let mut version = desk.data_version().ok();
    let mut dirty = true;
    let mut aside = None;
    let keeper = what_was_left(&mut model, desk);
    let mut outside = Outside { desk, tell, keeper, asking: None };
    loop {
        if dirty {
            screen.draw(|frame| view(&model, look, frame));
            dirty = false;
        }
        let event = screen.next(Some(GLANCE));
        if let Some(fetched) = outside.heard(model.today) {
            take_in(&mut model, Message::Fetched(fetched), &mut outside);
            version = outside.desk.data_version().ok();
            dirty = true;
        }
        dirty |= !matches!(event, Event::TimedOut | Event::Mouse(_) | Event::Focus(_));
        if matches!(event, Event::TimedOut | Event::Quit(_) | Event::Continued) {
            outside.keeper.keep(&model, desk::minute());
        }
        let message = match event {
            Event::Quit(ending) => return Ok(Left::Ended(ending)),
            Event::Key(key) => match read(key) {
                Some(Typed::Key(key)) => Message::Key(key),
                Some(Typed::Suspend) => {
                    outside.keeper.keep(&model, desk::minute());
                    // What goes wrong shows at the next glance.
                    let _ = outside.desk.glance();
                    screen.suspend();
                    continue;
                }
                Some(Typed::Leave) => {
                    outside.keeper.keep(&model, desk::minute());
                    return Ok(Left::Asked);
                }
                None => continue,
            },
            Event::Paste(text) => Message::Paste(text),
            Event::TimedOut => {
                let (seen, day) = (outside.desk.glance(), desk::today());
                if version.is_some() {
                    aside = seen.as_ref().err().map(|error| trouble(error, None).line);
                }
                if day != calendar {
                    let kept = outside.desk.keep_copy(day);
                    aside = kept.err().map(|error| format!("no copy of the journal was kept today: {error}")).or(aside);
                }
                let now = seen.ok();
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
        if let Go::Out = take_in(&mut model, message, &mut outside) {
            outside.keeper.keep(&model, desk::minute());
            return Ok(Left::Asked);
        }
        if let Some(line) = aside.take() {
            model.say(Tone::Trouble, line);
        }
        outside.keeper.follow(&model);
        // Elsewhere the terminal keeps the mouse, for selecting and copying text.
        screen.follow(if matches!(model.page(), Page::Cells(_)) { Mouse::Followed } else { Mouse::Left });
    }
}

/// A page of the screen in lines of text, whole.
///
/// # Errors
/// When the batch is not known or the journal cannot be read.
pub fn plain(
    desk: &Desk,
    page: PlainPage,
    (on, today): (Date, Date),
    settings: &ScreenSettings,
) -> Result<Vec<String>, DeskError> {
    let place = |name: &Name| {
        let state = desk.state(on)?;
        let found = state.places.iter().find(|(_, place)| place.name.same_as(name.as_str())).map(|(id, _)| *id);
        found.ok_or(DeskError::Nothing("no place of that name"))
    };
    let mut bench = None;
    let page = match page {
        PlainPage::Keys => return Ok(plain::keys(&settings.keys)),
        PlainPage::Morning => Page::Morning,
        PlainPage::Batch(batch) => Page::Batch(desk.batch(batch, on)?.id),
        PlainPage::Cells(part) => Page::Cells(with_cells(desk, part, on)?),
        PlainPage::Tonight => Page::Tonight,
        PlainPage::Benches => Page::Benches,
        PlainPage::Plan(name) => {
            bench = Some(name);
            Page::Plan
        }
        PlainPage::InHand => Page::InHand,
        PlainPage::Place(name) => Page::Place(place(&name)?),
        PlainPage::Round(name) => Page::Round(place(&name)?),
        PlainPage::Journal => Page::Journal,
    };
    let mut model = Model::new(desk.board(on)?, today).with(settings);
    match page {
        Page::Cells(part) => model.tray = Tray::open(&model.board.state, part),
        Page::Round(place) => {
            let round = model.round_of(place);
            model.rounds.insert(place, round);
        }
        _ => {}
    }
    // There are no keys to ask for the rest by.
    model.in_full = true;
    if page != Page::Morning {
        model.pages.push((page, model.cursor()));
    }
    let batch = if let Page::Batch(batch) = page { Some(batch) } else { None };
    let acts = if page == Page::Journal { u32::MAX } else { 0 };
    model.see(sight(desk, on, batch, acts, page)?);
    if let Some(bench) = bench {
        let named =
            |plan: &BenchPlan| plan.place_name.same_as(bench.place.as_str()) && plan.name.same_as(bench.name.as_str());
        let found = model.plans.iter().find(|plan| named(plan)).map(|plan| plan.bench);
        let row = model.on_benches().position(|row| Some(row.bench()) == found);
        let index = row.ok_or(DeskError::Nothing("no bench of that name"))?;
        model.set_cursor(Cursor { section: Section::Standing, index });
    }
    Ok(plain::plain(&model))
}

/// The part of a word that stands in cells; of a batch the first that does.
fn with_cells(desk: &Desk, part: PartRef, on: Date) -> Result<PartId, DeskError> {
    let view = desk.batch(part.batch, on)?;
    let meant = |row: &&PartView| part.letter.is_none_or(|letter| row.part.label.letter == letter);
    let found = view.parts.iter().filter(meant).find(|row| !row.cells.is_empty() && row.cleared.is_none());
    found.map(|row| row.part.id).ok_or(DeskError::Nothing("no part of that name stands in cells now"))
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

/// What the loop deals with for the model: the journal, the other face's reports, drafts, and a question under way.
struct Outside<'a> {
    desk: &'a mut Desk,
    tell: Tell,
    keeper: Keeper,
    /// A question that the weather service has yet to answer.
    asking: Option<Receiver<Result<Vec<DayForecast>, DeskError>>>,
}

impl Outside<'_> {
    /// Asks the weather service from a thread of its own, one question at a time.
    fn ask(&mut self, on: Date) -> Result<(), Trouble> {
        if self.asking.is_some() {
            return Ok(());
        }
        let question = self.desk.weather(on).map_err(|error| trouble(&error, None))?;
        let (tell, answer) = mpsc::channel();
        // A screen that was left meanwhile hears no answer.
        thread::spawn(move || tell.send(question.ask()));
        self.asking = Some(answer);
        Ok(())
    }

    /// The answer of the weather service, noted, once it is there.
    fn heard(&mut self, on: Date) -> Option<Result<Fetched, Trouble>> {
        let answer = match self.asking.as_ref()?.try_recv() {
            Err(TryRecvError::Empty) => return None,
            answer => answer,
        };
        self.asking = None;
        Some(answer.ok()?.and_then(|days| self.desk.note_fetched(&days, on)).map_err(|error| trouble(&error, None)))
    }

    /// Does what the model asks for.
    fn serve(&mut self, effect: Effect) -> Option<Message> {
        match effect {
            Effect::Fetch { on } => self.ask(on).err().map(|trouble| Message::Fetched(Err(trouble))),
            Effect::Tell { report, on, generation } => {
                let lines = (self.tell)(self.desk, &report, on).map_err(|error| trouble(&error, None));
                Some(Message::Told { generation, lines })
            }
            other => {
                if matches!(other, Effect::Perform { .. } | Effect::Take { .. }) {
                    self.keeper.drop_it();
                }
                answer(self.desk, other)
            }
        }
    }
}

/// Offers what was left half-entered in this journal, where it may be logged.
fn what_was_left(model: &mut Model, desk: &Desk) -> Keeper {
    let mut drafts = Drafts::of(&desk.path());
    // On a day that is only read it waits for one that is written.
    let left = if model.board.standing.may_log() { drafts.left() } else { Ok(None) };
    let mut stands = None;
    match left.map(|left| left.map(|text| Draft::read(&text))) {
        Ok(Some(Some(draft))) => {
            let line = draft.offer(model.today);
            stands = Some(draft.what.clone());
            let yes = Yes::TakeUp(Box::new(draft));
            model.overlays.push(Overlay::Question(Question { line, yes }));
        }
        Ok(Some(None)) => {
            drafts.drop_it();
            model.say(Tone::Trouble, "what was left half-entered cannot be read, so it was dropped");
        }
        Err(error) => model.say(Tone::Trouble, format!("what was left half-entered: {error}")),
        Ok(None) => {}
    }
    Keeper::new(drafts, stands)
}

fn take_in(model: &mut Model, message: Message, outside: &mut Outside<'_>) -> Go {
    let mut effects = update(model, message);
    while !effects.is_empty() {
        let mut answers = Vec::new();
        for effect in effects {
            match effect {
                Effect::Quit => return Go::Out,
                other => answers.extend(outside.serve(other)),
            }
        }
        effects = answers.into_iter().flat_map(|message| update(model, message)).collect();
    }
    Go::On
}

/// Does what the model asks of the desk, and says what came of it.
pub fn answer(desk: &mut Desk, effect: Effect) -> Option<Message> {
    Some(match effect {
        Effect::Look { on, batch, acts, page, generation } => {
            let sight = sight(desk, on, batch, acts, page).map(Box::new).map_err(|error| trouble(&error, None));
            Message::Seen { generation, sight }
        }
        Effect::OpenSeedBox { on, generation } => {
            let seed = desk.state(on).and_then(|state| desk.seed_box(&state));
            Message::SeedBox { generation, seed: seed.map_err(|error| trouble(&error, None)) }
        }
        Effect::FindSpots { container, on, generation } => {
            let spots = desk.reaches(container, on).map(|benches| MayGo { container, benches });
            Message::Spots { generation, spots: spots.map_err(|error| trouble(&error, None)) }
        }
        Effect::Names { on, generation } => {
            Message::Names { generation, names: desk.vocabulary(on).map_err(|error| trouble(&error, None)) }
        }
        Effect::Rehearse { step, on, generation } => {
            let done = desk.rehearse(&step, on).map_err(|error| trouble(&error, None));
            Message::Rehearsed { generation, done }
        }
        Effect::Take { step, on, generation } => {
            let again = if let Step::Act(request) = step.as_ref() { request.insisted() } else { None };
            doubted(generation, again, on, desk.step(&step, on))
        }
        Effect::PreviewMove { subject, containers, on, generation } => {
            let preview = desk.move_preview(&containers, on).map_err(|error| trouble(&error, None));
            Message::Room { generation, subject, preview }
        }
        Effect::Propose { bench, on, generation } => {
            let repacking = desk.repacking(&bench, on).map(|(_, repacking)| Box::new(repacking));
            Message::Proposed { generation, repacking: repacking.map_err(|error| trouble(&error, None)) }
        }
        Effect::Perform { request, on, generation } => {
            doubted(generation, request.insisted(), on, desk.perform(&request, on))
        }
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
        // Without a loop to go on in meanwhile it is waited for.
        Effect::Fetch { on } => Message::Fetched(desk.fetch_forecast(on).map_err(|error| trouble(&error, None))),
        // Reports are the other face's: the loop has them made.
        Effect::Tell { .. } | Effect::Quit => return None,
    })
}

fn tried(generation: u64, act: Option<ActId>, done: Result<Done, DeskError>) -> Message {
    Message::Tried { generation, done: done.map_err(|error| trouble(&error, act)) }
}

/// What came of an act that may be doubted: then with what to log if it is so all the same.
fn doubted(generation: u64, again: Option<Request>, on: Date, done: Result<Done, DeskError>) -> Message {
    let done = done.map_err(|error| match (&error, again) {
        (DeskError::Doubt(doubt), Some(request)) => {
            let insisted = Some(Box::new(Dated { request, on }));
            Trouble { line: doubt.to_string(), depended_on: None, insisted }
        }
        _ => trouble(&error, None),
    });
    Message::Tried { generation, done }
}

fn trouble(error: &DeskError, act: Option<ActId>) -> Trouble {
    let depended_on = act.filter(|_| matches!(error, DeskError::Dependents { .. }));
    let hint = error.hint();
    let line = match depended_on {
        Some(_) => format!("{error}."),
        None if hint.is_empty() => error.to_string(),
        None => format!("{error}; {hint}"),
    };
    Trouble { line, depended_on, insisted: None }
}

fn sight(desk: &Desk, on: Date, batch: Option<BatchId>, acts: u32, page: Page) -> Result<Sight, DeskError> {
    const ACTS_OF_A_BATCH: u32 = 500;
    let board = desk.board(on)?;
    let open = match batch {
        Some(id) => desk.batch_board(id, on)?,
        None => None,
    };
    let batch = match open {
        Some(view) => {
            let label = crate::grammar::BatchRef { year: Some(view.label.year), number: view.label.number, twin: None };
            let name = board.namesakes.get(&view.id).copied().unwrap_or(label);
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
    let plans = if matches!(page, Page::Benches | Page::Plan) { desk.plans(on)? } else { Vec::new() };
    let in_hand = if page == Page::InHand { Some(desk.in_hand(on)?) } else { None };
    let place = match page {
        Page::Place(place) => desk.climate(None, on)?.into_iter().find(|view| view.place == place),
        _ => None,
    };
    Ok(Sight { board, batch, curve, plans, in_hand, place, acts })
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
