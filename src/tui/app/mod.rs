//! The loop: waits for what happens, lets the model take it in, does what the model asks for, draws.

mod answer;
mod hands;
mod page;

use std::sync::mpsc::{self, Receiver, TryRecvError};
use std::thread;
use std::time::Duration;

use crate::desk::{self, DayForecast, Days, Desk, DeskError, Drafts, Fetched};
use crate::grammar::Report;
use crate::quantity::Date;

use super::draft::{Draft, Keeper};
use super::message::{Effect, Message, Trouble};
use super::model::{Model, Overlay, Page, Question, Tone, Yes};
use super::settings::ScreenSettings;
use super::terminal::{Ending, Event, Mouse, Screen, ScreenError};
use super::theme::Look;
use super::update::update;
use super::view::view;

pub use answer::answer;
pub use page::plain;

use answer::trouble;
use hands::{Typed, pointed, read};
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
    let mut calendar = desk::moment(today);
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
                let moment = desk::moment(day);
                if version.is_some() {
                    aside = seen.as_ref().err().map(|error| trouble(error, None).line);
                }
                if day != calendar.on {
                    aside = desk::copy_trouble(outside.desk.keep_copy(day)).or(aside);
                }
                let now = seen.ok();
                let message = match () {
                    () if day != calendar.on => Message::NewDay(day),
                    // The day's work goes by its hour.
                    () if now != version || moment != calendar => Message::Stale,
                    () => continue,
                };
                (version, calendar, dirty) = (now, moment, true);
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
            model.say_too(Tone::Trouble, line);
        }
        outside.keeper.follow(&model);
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

/// What the loop deals with for the model: the journal, the other face's reports, drafts, and a question under way.
struct Outside<'a> {
    desk: &'a mut Desk,
    tell: Tell,
    keeper: Keeper,
    /// A question that the weather service has yet to answer.
    asking: Option<Receiver<Result<Days<DayForecast>, DeskError>>>,
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
