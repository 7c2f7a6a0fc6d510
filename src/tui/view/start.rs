//! The first morning: nothing is set up yet, and the page says what to do, one key each.

use crate::tui::actions::Id;
use crate::tui::form::Verb;
use crate::tui::model::Model;
use crate::tui::text::wrap;
use crate::tui::theme::Role;

use super::paint::Canvas;

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let state = &model.board.state;
    canvas.rule(0, "A first season", "");
    let mut y = 2;
    let letter = |id| model.keys.letter(id);
    let (add, undo, help) = (letter(Id::Add), letter(Id::Undo), letter(Id::Help));
    let steps: [(String, &str, bool, String); 3] = [
        (
            format!("{add} p"),
            "Name the places where plants will stand, one key each: a propagator, a windowsill, a cold frame.",
            !state.places.is_empty(),
            state.places.values().map(|place| place.name.to_string()).collect::<Vec<_>>().join(", "),
        ),
        (
            format!("{add} b"),
            "Measure a bench, shelf or frame in each: then the program knows what fits.",
            !state.benches.is_empty(),
            model
                .board
                .space
                .benches
                .iter()
                .map(|bench| format!("{}/{}", bench.place_name, bench.name))
                .collect::<Vec<_>>()
                .join(", "),
        ),
        (
            letter(Id::Open(Verb::Sow)),
            "Sow: crop and variety, how many, in what, where. It gets a number: write that on the plant label.",
            !state.batches.is_empty(),
            String::new(),
        ),
    ];
    let next = steps.iter().position(|(.., done, _)| !done);
    for (number, (keys, words, done, so_far)) in steps.iter().enumerate() {
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
    let more = format!(
        "Everything is saved the moment it is done, and {undo} takes it back. {help} lists every key. \
         To look round an invented season first, leave with {} and run: thumbpot demo",
        letter(Id::Quit)
    );
    for line in wrap(&more, all.saturating_sub(6)) {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text).add(&line, Role::Quiet);
        canvas.line(y, strip);
        y += 1;
    }
}
