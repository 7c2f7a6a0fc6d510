//! What comes of a line that is typed, completed, tried and done.

use crate::desk::Meant;
use crate::grammar::Typed;
use crate::tui::line::{Asks, Line, Preview, whole_error};
use crate::tui::message::{Effect, Key};
use crate::tui::model::{Model, Overlay};

/// Opens the quick line on a text, and asks for the names there are.
pub(super) fn open_line(model: &mut Model, text: &str) -> Vec<Effect> {
    open_meant(model, text, Vec::new())
}

/// The same on a text that was typed with these batches in mind.
pub(super) fn open_meant(model: &mut Model, text: &str, meant: Vec<Meant>) -> Vec<Effect> {
    model.typed.clear();
    model.overlays.push(Overlay::Line(Box::new(Line::with(text).meaning(meant))));
    vec![Effect::Names { on: model.on, generation: model.asked() }]
}

pub(super) fn press_in_line(model: &mut Model, key: Key) -> Vec<Effect> {
    let Some(Overlay::Line(line)) = model.overlays.last_mut() else { return Vec::new() };
    if key == Key::Enter {
        return enter(model);
    }
    line.press(key, &model.lines);
    look(model)
}

/// Looks at the line afresh, and has it tried if it is whole.
pub(super) fn look(model: &mut Model) -> Vec<Effect> {
    let on = model.on;
    let may_log = model.board.standing.may_log();
    let Some(Overlay::Line(line)) = model.overlays.last_mut() else { return Vec::new() };
    let asks = line.look(on);
    match asks {
        Asks::Rehearsal(_) if !may_log => line.preview = Preview::Trouble(only_read(on)),
        Asks::Rehearsal(step) => {
            let on = step.on.unwrap_or(on);
            let meant = line.meant();
            return vec![Effect::Rehearse { step: Box::new(step.step), meant, on, generation: model.asked() }];
        }
        // Nothing will be tried that could say what is meant.
        Asks::Nothing => line.note(&model.board.state),
    }
    Vec::new()
}

fn only_read(on: crate::quantity::Date) -> String {
    let on = on.format("%-d %b");
    format!("{on} is not today: it can be read, not written (T: today)")
}

fn enter(model: &mut Model) -> Vec<Effect> {
    let (on, may_log) = (model.on, model.board.standing.may_log());
    let Some(Overlay::Line(line)) = model.overlays.last_mut() else { return Vec::new() };
    let trouble = match line.read(on) {
        Ok(None) => return Vec::new(),
        Ok(Some(Typed::Step(step))) if may_log => {
            let on = step.on.unwrap_or(on);
            let meant = line.meant();
            return vec![Effect::Take { step: Box::new(step.step), meant, on, generation: model.asked() }];
        }
        Ok(Some(Typed::Step(_))) => only_read(on),
        Ok(Some(Typed::Report { on: day, report })) => {
            let on = day.unwrap_or(on);
            return vec![Effect::Tell { report: Box::new(report), on, generation: model.asked() }];
        }
        Ok(Some(Typed::Help(text))) => {
            show_text(model, text.lines().map(str::to_owned).collect());
            return Vec::new();
        }
        Err(error) => whole_error(&error),
    };
    line.preview = Preview::Trouble(trouble);
    Vec::new()
}

/// Shows a text over the line that asked for it; the line stays for the next question.
pub(super) fn show_text(model: &mut Model, lines: Vec<String>) {
    let Some(Overlay::Line(line)) = model.overlays.last() else { return };
    let title = line.text().to_owned();
    remember(model);
    model.overlays.push(Overlay::Text { title, lines, scroll: 0 });
}

/// Keeps the line for going back to.
pub(super) fn remember(model: &mut Model) {
    let Some(Overlay::Line(line)) = model.overlays.last() else { return };
    let text = line.text().to_owned();
    model.lines.retain(|said| *said != text);
    model.lines.push(text);
}
