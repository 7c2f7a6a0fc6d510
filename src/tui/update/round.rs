//! Walking a round: from stop to stop, what is typed there, and taking back what it logged.

use crate::desk::Done;
use crate::quantity::{ActId, PlaceId};
use crate::tui::form::{self, Asked, Form, Verb, part_word};
use crate::tui::message::{Effect, Key, Trouble};
use crate::tui::model::{Cursor, Model, Overlay, Page, Question, Tone, Yes};
use crate::tui::round::{Entry, Logged, Tells};
use crate::tui::rows::Section;

use super::perform_on;

/// A count has at most so many characters.
const LONGEST: usize = 8;

/// Lists the places to choose from.
pub(super) fn choose_place(model: &mut Model) -> Vec<Effect> {
    let menu = model.rounds_menu();
    if menu.items.is_empty() {
        model.say(Tone::Trouble, "nothing stands anywhere yet: there is nothing to walk");
    } else {
        model.overlays.push(Overlay::Menu(menu));
    }
    Vec::new()
}

/// Begins the round of a place, or takes up again what was left today.
pub(super) fn begin(model: &mut Model, place: PlaceId) -> Vec<Effect> {
    let round = model.round_of(place);
    let index = round.open_from(&model.board.state, 0).unwrap_or(0);
    model.rounds.insert(place, round);
    model.overlays.clear();
    model.typed.clear();
    model.marked.clear();
    turn_to(model, Page::Round(place), Cursor { section: Section::Stops, index })
}

/// Opens a page of the round in the stead of another page of it.
fn turn_to(model: &mut Model, page: Page, cursor: Cursor) -> Vec<Effect> {
    model.pages.retain(|(open, _)| !matches!(open, Page::Round(_) | Page::Rounded(_)));
    model.pages.push((page, cursor));
    model.settle();
    vec![model.look()]
}

/// Leaves off: on to what was logged, or straight back when nothing was.
pub(super) fn stop(model: &mut Model) -> Vec<Effect> {
    let Some(round) = model.round() else { return Vec::new() };
    let (place, last) = (round.place, round.logged.len().checked_sub(1));
    match last {
        Some(index) => turn_to(model, Page::Rounded(place), Cursor { section: Section::Logged, index }),
        None => {
            model.pages.pop();
            model.settle();
            vec![model.look()]
        }
    }
}

/// Goes on from the list of what was logged to the first stop still to be seen.
pub(super) fn go_on(model: &mut Model) -> Vec<Effect> {
    let Some(place) = model.round().map(|round| round.place) else { return Vec::new() };
    begin(model, place)
}

/// On to the next stop that is still to be seen; after the last, to what was logged.
fn next(model: &mut Model) -> Vec<Effect> {
    let at = model.cursor();
    let open = model.round().and_then(|round| round.open_from(&model.board.state, at.index + 1));
    match open {
        Some(index) => {
            model.set_cursor(Cursor { index, ..at });
            vec![model.look()]
        }
        None => stop(model),
    }
}

/// Passes a stop by; among those that are done it goes one by one.
pub(super) fn skip(model: &mut Model) -> Vec<Effect> {
    let (Some(part), Some(round)) = (model.stop(), model.round()) else { return Vec::new() };
    let at = model.cursor();
    if round.is_done(&model.board.state, part) && at.index + 1 < round.stops.len() {
        model.set_cursor(Cursor { index: at.index + 1, ..at });
        return Vec::new();
    }
    see_stop(model);
    next(model)
}

fn see_stop(model: &mut Model) {
    let part = model.stop();
    if let Some(round) = model.round_mut() {
        round.seen.extend(part);
    }
}

/// Back to the stop before.
pub(super) fn back_one(model: &mut Model) {
    let at = model.cursor();
    model.set_cursor(Cursor { index: at.index.saturating_sub(1), ..at });
}

pub(super) fn expect(model: &mut Model, entry: Entry) {
    if let Some(round) = model.round_mut() {
        (round.entry, round.refused) = (entry, false);
    }
}

/// Says why a number was refused at the stop; the next digit replaces it.
pub(super) fn refuse(model: &mut Model, line: &str) {
    // What the form has as a field has no name here: its letter stands behind the number.
    let line = form::in_keys(line, &model.keys).replace("--gaps", "gaps").replace("--standing", "standing");
    model.say(Tone::Trouble, line);
    if let Some(round) = model.round_mut() {
        round.refused = true;
    }
}

/// Takes a key while something is being typed at a stop; `None` when nothing is and the key means what it always does.
pub(super) fn press_in_entry(model: &mut Model, key: Key) -> Option<Vec<Effect>> {
    let entry = model.round().map(|round| round.entry.clone())?;
    if entry == Entry::Nothing {
        return None;
    }
    model.notice = None;
    match (entry, key) {
        (Entry::Count(typed), Key::Enter) => return Some(count(model, &typed)),
        (Entry::Count(mut typed), Key::Char(c)) if belongs(&typed, c) => {
            if c.is_ascii_digit() && model.round().is_some_and(|round| round.refused) {
                typed.clear();
            }
            // Gaps that are too many are likelier what stands: 95s for -95.
            if c == 's' {
                typed = typed.trim_start_matches('-').to_owned();
            }
            typed.push(c);
            expect(model, Entry::Count(typed));
        }
        (Entry::Count(_), Key::Char(_)) => {
            model.say(Tone::Trouble, "Enter logs the number, Esc clears it; then letters do things again");
        }
        (Entry::Count(mut typed), Key::Backspace) => {
            typed.pop();
            expect(model, if typed.is_empty() { Entry::Nothing } else { Entry::Count(typed) });
        }
        (Entry::Leaves, Key::Char(c)) if c.is_ascii_digit() => {
            expect(model, Entry::Nothing);
            return Some(grown(model, &format!("--leaves={c}")));
        }
        (Entry::Leaves, Key::Char(_)) => model.say(Tone::Trouble, "one digit: how many true leaves; Esc: none"),
        (_, Key::Esc | Key::Backspace) => expect(model, Entry::Nothing),
        _ => {}
    }
    Some(Vec::new())
}

/// The signs of a count are those of its form: `-6` and `6g` are gaps, `50s` stands, `54d` has doubles.
fn belongs(typed: &str, c: char) -> bool {
    let open = !typed.ends_with(['g', 's', 'd']) || (c == 'd' && !typed.ends_with('d'));
    typed.len() < LONGEST && open && (c.is_ascii_digit() || "gsd".contains(c))
}

fn count(model: &mut Model, typed: &str) -> Vec<Effect> {
    let part = model.stop().and_then(|id| model.board.state.parts.get(&id));
    let Some(part) = part else { return Vec::new() };
    let words = if typed.contains(|c: char| c.is_ascii_digit()) { Tells::of(part).words(typed) } else { Vec::new() };
    if words.is_empty() {
        model.say(Tone::Trouble, "how many gaps? A number behind the sign");
        return Vec::new();
    }
    about_stop(model, "count", &words)
}

/// Notes growth at the stop.
pub(super) fn grown(model: &mut Model, option: &str) -> Vec<Effect> {
    about_stop(model, "stage", &[option.to_owned()])
}

/// An act about the part of the stop, in the words of the command line.
fn about_stop(model: &mut Model, verb: &str, words: &[String]) -> Vec<Effect> {
    let stop = model.stop().and_then(|id| Some((part_word(&model.board, id)?, model.board.state.parts.get(&id)?)));
    let Some((part, stands_empty, is_counted)) =
        stop.map(|(word, part)| (word, part.standing() == 0, !part.counts.is_empty()))
    else {
        return Vec::new();
    };
    let words: Vec<String> = [verb.to_owned(), part].into_iter().chain(words.iter().cloned()).collect();
    match form::request(&words, model.on) {
        // Who types how many leaves saw some, counted or not; a letter alone is likelier meant for another stop.
        Ok(_) if verb == "stage" && stands_empty && (is_counted || !words[2].starts_with("--leaves")) => {
            model.say(Tone::Trouble, format!("no plant stands in {} by the log: count it first", words[1]));
            Vec::new()
        }
        Ok(dated) => vec![perform_on(model, dated)],
        Err(line) => {
            refuse(model, &line);
            Vec::new()
        }
    }
}

/// A death on a round is asked for its cause: last time's was another container's.
pub(super) fn ask_cause(verb: Verb, form: &mut Form) {
    for field in form.fields.iter_mut().filter(|field| verb == Verb::Lose && field.label == "cause") {
        field.asked = Asked::Always;
    }
}

/// Keeps what was logged at a stop or on a page opened from it; a number typed at the stop leads on to the next.
pub(super) fn logged(model: &mut Model, done: &Done) -> Option<Vec<Effect>> {
    let (place, part) = model.walking()?;
    let said = done.said.join("; ");
    let round = model.rounds.get_mut(&place)?;
    round.logged.push(Logged { act: done.act, part, said, undone: false });
    let entry = std::mem::take(&mut round.entry);
    if !matches!(entry, Entry::Count(_)) {
        return None;
    }
    see_stop(model);
    Some(next(model))
}

/// Takes back the newest act of the round.
pub(super) fn undo_newest(model: &mut Model) -> Vec<Effect> {
    let newest = model.round().and_then(|round| round.in_force().first().copied());
    match newest {
        Some(act) => vec![take_back(model, vec![act])],
        None => {
            model.say(Tone::Trouble, "this round has logged nothing that could be taken back");
            Vec::new()
        }
    }
}

/// Asks before all that the round logged is taken back.
pub(super) fn ask_undo_all(model: &mut Model) {
    let many = model.round().map_or(0, |round| round.in_force().len());
    if many > 0 {
        let line = format!("Take back all that this round logged, {many} in number, newest first?");
        model.overlays.push(Overlay::Question(Question { line, yes: Yes::UndoRound }));
    } else {
        model.say(Tone::Trouble, "this round has logged nothing that could be taken back");
    }
}

pub(super) fn undo_all(model: &mut Model) -> Vec<Effect> {
    let acts = model.round().map(|round| round.in_force()).unwrap_or_default();
    vec![take_back(model, acts)]
}

fn take_back(model: &mut Model, acts: Vec<ActId>) -> Effect {
    Effect::UndoEach { acts, on: model.on, generation: model.asked() }
}

/// Takes in which acts were taken back; at a stop, goes back to the one where the last of them was logged.
pub(super) fn taken_back(model: &mut Model, tries: Vec<(ActId, Result<Done, Trouble>)>) -> Vec<Effect> {
    let mut refused: Vec<String> = Vec::new();
    let mut said: Vec<String> = Vec::new();
    let mut at = None;
    let Some(round) = model.round_mut() else { return vec![model.look()] };
    for (act, tried) in tries {
        match tried {
            Ok(done) => {
                let part = round.rule(act, true);
                at = round.stops.iter().position(|stop| Some(*stop) == part).or(at);
                said.extend(done.said);
            }
            Err(trouble) => {
                let what = round.logged.iter().find(|one| one.act == act).map_or("", |one| one.said.as_str());
                refused.push(format!("not taken back: {what}: {}", trouble.line));
            }
        }
    }
    if let (Page::Round(_), Some(index)) = (model.page(), at) {
        model.set_cursor(Cursor { section: Section::Stops, index });
    }
    let all = if said.len() == 1 { said.concat() } else { format!("{} taken back", said.len()) };
    match refused.as_slice() {
        [] => model.say(Tone::Done, all),
        some if said.is_empty() => model.say(Tone::Trouble, some.join("; ")),
        some => model.say(Tone::Trouble, format!("{all}; {}", some.join("; "))),
    }
    vec![model.look()]
}
