//! What the journal is asked for the model, and its answers.

use crate::desk::{Desk, DeskError, Done};
use crate::grammar::{ActRef, BatchRef, Later, Request, Step};
use crate::quantity::{ActId, BatchId, BatchLabel, Date};
use crate::tui::message::{Dated, Effect, MayGo, Message, Sight, Trouble};
use crate::tui::model::Page;

/// Room is looked for for so many pots in one set at most: more than any bench of a garden holds.
const MOST_POTS: u32 = 1000;

/// Does what the model asks of the desk, and says what came of it.
pub fn answer(desk: &mut Desk, effect: Effect) -> Option<Message> {
    Some(match effect {
        Effect::Look { on, batch, acts, page, generation } => {
            let sight = sight(desk, on, batch, acts, page).map(Box::new).map_err(|error| trouble(&error, None));
            Message::Seen { generation, sight }
        }
        Effect::OpenSeedBox { kinds, on, generation } => {
            let seed =
                desk.state(on).and_then(|state| Ok((desk.seed_box(&state)?, desk.room_for(&kinds, MOST_POTS, on)?)));
            Message::SeedBox { generation, seed: seed.map_err(|error| trouble(&error, None)) }
        }
        Effect::FindSpots { container, on, generation } => {
            let spots = desk.reaches(container, on).map(|benches| MayGo { container, benches });
            Message::Spots { generation, spots: spots.map_err(|error| trouble(&error, None)) }
        }
        Effect::Names { on, generation } => {
            Message::Names { generation, names: desk.vocabulary(on).map_err(|error| trouble(&error, None)) }
        }
        Effect::Rehearse { step, meant, on, generation } => {
            let done = desk.rehearse(&step, &meant, on).map_err(|error| trouble(&error, None));
            Message::Rehearsed { generation, done }
        }
        Effect::Take { step, meant, on, generation } => {
            let again = if let Step::Act(request) = step.as_ref() { request.insisted() } else { None };
            doubted(generation, again, on, desk.step_meant(&step, &meant, on))
        }
        Effect::FindRoom { subject, kinds, on, generation } => {
            let rooms = desk.room_for(&kinds, MOST_POTS, on);
            let rooms = rooms.and_then(|rooms| Ok((rooms, desk.harmed_tonight(&subject.parts, on)?)));
            let rooms = rooms.map_err(|error| trouble(&error, None));
            Message::RoomFor { generation, subject, rooms }
        }
        Effect::PreviewMove { subject, containers, on, generation } => {
            let preview = desk.move_preview(&containers, on).map_err(|error| trouble(&error, None));
            Message::Room { generation, subject, preview }
        }
        Effect::Propose { bench, on, generation } => {
            let repacking = desk.repacking(&bench, on).map(|(_, repacking)| Box::new(repacking));
            Message::Proposed { generation, repacking: repacking.map_err(|error| trouble(&error, None)) }
        }
        Effect::Perform { request, meant, on, generation } => {
            doubted(generation, request.insisted(), on, desk.perform_meant(&request, &meant, on))
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

pub(super) fn trouble(error: &DeskError, act: Option<ActId>) -> Trouble {
    let depended_on = act.filter(|_| matches!(error, DeskError::Dependents { .. }));
    let hint = error.hint();
    let line = match depended_on {
        Some(_) => format!("{error}."),
        None if hint.is_empty() => error.to_string(),
        None => format!("{error}; {hint}"),
    };
    Trouble { line, depended_on, insisted: None }
}

pub(super) fn sight(desk: &Desk, on: Date, batch: Option<BatchId>, acts: u32, page: Page) -> Result<Sight, DeskError> {
    const ACTS_OF_A_BATCH: u32 = 500;
    let board = desk.board(on)?;
    let open = match batch {
        Some(id) => desk.batch_board(id, on)?,
        None => None,
    };
    let batch = match open {
        Some(view) => {
            let BatchLabel { year, number, twin } = view.label;
            let name = BatchRef { year: Some(year), number, twin };
            let mut acts = desk.history(ACTS_OF_A_BATCH, Some(name))?;
            // Looked at on a day in the past, what was done later is not done yet.
            acts.retain(|act| act.on <= on);
            Some((view, acts))
        }
        None => None,
    };
    let acts = if acts > 0 { desk.history(acts, None)? } else { Vec::new() };
    let curve = match &batch {
        Some((view, _)) => {
            let outlook = view.germination.as_ref().and_then(|row| row.outlook.as_ref());
            desk.curve(view.id, outlook, on)?
        }
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
