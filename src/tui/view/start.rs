//! The first morning: nothing is set up yet, and the page says what to do, one key each.

use crate::tui::actions::Id;
use crate::tui::form::Verb;
use crate::tui::model::Model;
use crate::tui::text::wrap;
use crate::tui::theme::Role;

use super::paint::Canvas;

/// What is to be known beside.
pub(in crate::tui) fn more(model: &Model) -> String {
    let letter = |id| model.keys.letter(id);
    format!(
        "Everything is saved the moment it is done, and {} takes it back. {} lists every key. \
         To look round an invented season first, leave with {} and run: thumbpot demo",
        letter(Id::Undo),
        letter(Id::Help),
        letter(Id::Quit)
    )
}

/// One thing to set up.
pub(in crate::tui) struct Step {
    /// The keys that do it.
    pub(in crate::tui) keys: String,
    /// What it is.
    pub(in crate::tui) words: &'static str,
    /// True once there is one.
    pub(in crate::tui) done: bool,
    /// What there is.
    pub(in crate::tui) so_far: String,
}

/// What there is to set up, first first.
pub(in crate::tui) fn steps(model: &Model) -> [Step; 3] {
    let (state, add) = (&model.board.state, model.keys.letter(Id::Add));
    let benches = model.board.space.benches.iter().map(|bench| format!("{}/{}", bench.place_name, bench.name));
    // As they were named: the first first.
    let places = state.places.values().map(|place| place.name.to_string());
    [
        Step {
            keys: format!("{add} p"),
            words: "Name the places where plants will stand, one key each: a propagator, a windowsill, a cold frame.",
            done: !state.places.is_empty(),
            so_far: places.collect::<Vec<_>>().join(", "),
        },
        Step {
            keys: format!("{add} b"),
            words: "Measure a bench, shelf or frame in each: then the program knows what fits.",
            done: !state.benches.is_empty(),
            so_far: benches.collect::<Vec<_>>().join(", "),
        },
        Step {
            keys: model.keys.letter(Id::Open(Verb::Sow)),
            words: "Sow: crop and variety, how many, in what, where. It gets a number: write that on the plant label.",
            done: !state.batches.is_empty(),
            so_far: String::new(),
        },
    ]
}

/// What the page is called. By a clock that is behind nothing was set up yet, but it is no first season.
pub(in crate::tui) const fn heading(model: &Model) -> &'static str {
    if model.board.clock.is_some() { "By that day nothing was set up" } else { "A first season" }
}

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let first = super::morning::to_settle(model, 0, canvas);
    canvas.rule(first, heading(model), "");
    let mut y = first + 2;
    let steps = steps(model);
    let next = steps.iter().position(|step| !step.done);
    for (number, Step { keys, words, done, so_far }) in steps.iter().enumerate() {
        let sign = if *done {
            canvas.look.glyphs.good
        } else if next == Some(number) {
            canvas.look.glyphs.pointer
        } else {
            " "
        };
        let role = if next == Some(number) { Role::Key } else { Role::Text };
        for (line, text) in wrap(words, all.saturating_sub(13)).into_iter().enumerate() {
            let mut strip = canvas.strip();
            strip.add("  ", Role::Text).add(if line == 0 { sign } else { " " }, Role::Good);
            strip.column(
                &if line == 0 { format!(" {}. ", number + 1) } else { String::new() },
                4,
                crate::tui::text::Align::Left,
                role,
            );
            strip.column(if line == 0 { keys } else { "" }, 4, crate::tui::text::Align::Left, Role::Key);
            strip.add(&text, Role::Text);
            canvas.line(y, strip);
            y += 1;
        }
        for text in wrap(so_far, all.saturating_sub(13)).into_iter().filter(|text| !text.is_empty()) {
            let mut strip = canvas.strip();
            strip.add(&" ".repeat(11), Role::Text).add(&text, Role::Quiet);
            canvas.line(y, strip);
            y += 1;
        }
        y += 1;
    }
    for line in wrap(&more(model), all.saturating_sub(6)) {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text).add(&line, Role::Quiet);
        canvas.line(y, strip);
        y += 1;
    }
}
