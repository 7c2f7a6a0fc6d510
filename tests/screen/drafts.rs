//! Every form, half-entered, kept as a file keeps it, and taken up: the same words on the same field.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use tempfile::TempDir;
use thumbpot::desk::{self, Board, DEMO_DAY, Desk};
use thumbpot::tui::app::answer;
use thumbpot::tui::draft::{Draft, HalfEntered};
use thumbpot::tui::form::{Form, Verb};
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::{Model, Overlay, Question, Yes};
use thumbpot::tui::update::update;

use crate::sitting::demonstration;

fn press(desk: &mut Desk, model: &mut Model, key: Key) {
    let mut messages = vec![Message::Key(key)];
    while let Some(message) = messages.pop() {
        for effect in update(model, message) {
            messages.extend(answer(desk, effect));
        }
    }
}

fn types(desk: &mut Desk, model: &mut Model, keys: &str) {
    for c in keys.chars() {
        press(desk, model, if c == '\n' { Key::Enter } else { Key::Char(c) });
    }
}

fn form(model: &Model) -> &Form {
    match model.overlays.last() {
        Some(Overlay::Form(form)) => form,
        other => panic!("{other:?}"),
    }
}

/// What a file would keep, read again and offered on a fresh screen that says yes.
fn taken_up(desk: &mut Desk, board: &Board, half: HalfEntered) -> Model {
    let draft = Draft { at: DEMO_DAY.and_hms_opt(14, 32, 0).unwrap(), what: half };
    let read = Draft::read(&draft.written()).unwrap();
    assert_eq!(read, draft);
    let mut model = Model::new(board.clone(), desk::today());
    let question = Question { line: read.offer(DEMO_DAY), yes: Yes::TakeUp(Box::new(read)) };
    assert!(question.line.starts_with("Left half-entered at 14:32: "), "{}", question.line);
    model.overlays.push(Overlay::Question(question));
    press(desk, &mut model, Key::Char('y'));
    model
}

#[test]
fn every_form_is_taken_up_as_it_was() {
    let folder = TempDir::new().unwrap();
    let mut desk = demonstration(&folder);
    let ways = [
        "sleek\n31",
        "24c5",
        "24p5i9cm",
        "24mfr",
        "24l3c",
        "24t2",
        "24x2",
        "24v2",
        "24f3",
        "24Nleaves curl",
        "24g2",
        "24e",
        "Rfra\n-2",
        "24Os",
        "Abgre\n800x",
        "Astom\nRed Evening",
        "Attom\nRed",
    ];
    let mut titles = Vec::new();
    let board = desk.board(DEMO_DAY).unwrap();
    for keys in ways {
        let mut model = Model::new(board.clone(), desk::today());
        types(&mut desk, &mut model, keys);
        if keys == "24e" {
            press(&mut desk, &mut model, Key::Down);
        }
        let before = form(&model).clone();
        titles.push(before.title.clone());
        let half = model.half_entered().unwrap_or_else(|| panic!("{keys}: {before:?}"));
        let after = taken_up(&mut desk, &board, half);
        let after = form(&after);
        // What a move does to the room on both sides is worked out when it is begun, and not kept.
        let about = |form: &Form| form.about.split(';').next().map(str::to_owned);
        assert_eq!(
            (after.words(), after.focus, about(after)),
            (before.words(), before.focus, about(&before)),
            "{keys}"
        );
        assert_eq!(after.taken_from, before.taken_from);
    }
    for verb in Verb::ALL {
        assert!(titles.iter().any(|title| title == verb.title()), "{} is not tried", verb.title());
    }
}

#[test]
fn a_form_whose_plants_are_gone_comes_back_as_words() {
    let folder = TempDir::new().unwrap();
    let mut desk = demonstration(&folder);
    let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
    types(&mut desk, &mut model, "24c5");
    let half = model.half_entered().unwrap();
    let mut other = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
    types(&mut desk, &mut other, ":clear 24 --rest discard\n");
    let board = desk.board(DEMO_DAY).unwrap();
    let after = taken_up(&mut desk, &board, half);
    let Some(Overlay::Line(line)) = after.overlays.last() else { panic!("{:?}", after.overlays) };
    assert_eq!(line.text(), "count 2026/24a 5");
    // And nothing is kept of what nobody touched.
    let mut model = Model::new(board, desk::today());
    types(&mut desk, &mut model, "s");
    assert_eq!(model.half_entered(), None);
    types(&mut desk, &mut model, "t");
    assert!(model.half_entered().is_some());
}
