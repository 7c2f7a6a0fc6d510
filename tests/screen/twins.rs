//! Two batches of one number, as after a merge: each is counted, moved and opened as itself.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::path::Path;

use chrono::NaiveTime;
use tempfile::TempDir;
use thumbpot::desk::{self, Desk};
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use thumbpot::tui::app::answer;
use thumbpot::tui::draft::Draft;
use thumbpot::tui::line::Preview;
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::{Cursor, Model, Overlay, Page, Question, Yes};
use thumbpot::tui::rows::{RowKey, Section};
use thumbpot::tui::update::update;
use uuid::Uuid;

const GARDEN: &str = "
place add sill --kind windowsill --on -40d
bench add sill/kitchen --size 1200x600mm --on -40d
";

/// One machine's journal in a file.
fn opened(path: &Path, device: u128) -> Desk {
    let device = DeviceId(Uuid::from_u128(device));
    Desk::open_with(path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap()
}

fn run(desk: &mut Desk, script: &str) {
    desk.run(script, desk::today(), AfterRefusal::Stop, |_, _| {}).unwrap();
}

fn press(desk: &mut Desk, model: &mut Model, keys: &str) {
    for c in keys.chars() {
        let key = if c == '\n' { Key::Enter } else { Key::Char(c) };
        let mut messages = vec![Message::Key(key)];
        while let Some(message) = messages.pop() {
            for effect in update(model, message) {
                messages.extend(answer(desk, effect));
            }
        }
    }
}

#[test]
fn each_of_two_batches_of_one_number_is_itself() {
    let folder = TempDir::new().unwrap();
    let today = desk::today();
    let sown = |name: &str, device: u128, crop: &str| {
        let mut desk = opened(&folder.path().join(name), device);
        let script = format!("{GARDEN}sow {crop} --seeds 24 --in half-tray --at sill --on -12d");
        run(&mut desk, &script);
        desk
    };
    let mut desk = sown("mine.db", 1, "tomato 'Copper Lantern'");
    sown("yours.db", 2, "leek 'Long Furrow'");
    desk.merge(&folder.path().join("yours.db")).unwrap();
    let mut model = Model::new(desk.board(today).unwrap(), today);
    let batches: Vec<_> = model.board.state.batches.keys().copied().collect();
    // Every page and report tells them apart.
    let worn: Vec<String> = model.board.germination.iter().map(|row| row.label.to_string()).collect();
    assert!(
        worn.iter().any(|label| label.ends_with("/1~1")) && worn.iter().any(|label| label.ends_with("/1~2")),
        "{worn:?}"
    );
    let found = desk.check().unwrap().twins;
    assert_eq!((found.shared_numbers.len(), found.alike.len()), (1, 0));
    for (id, up) in batches.iter().zip([5, 7]) {
        let rows = 0..model.len(Section::ComingUp);
        let index =
            rows.into_iter().find(|at| model.key_at(Section::ComingUp, *at) == Some(RowKey::Batch(*id))).unwrap();
        model.set_cursor(Cursor { section: Section::ComingUp, index });
        press(&mut desk, &mut model, &format!("c{up}\n"));
        assert!(model.overlays.is_empty(), "{:?}", model.overlays);
        let part = model.board.state.parts.values().find(|part| part.batch == *id).unwrap();
        assert_eq!(part.up, up);
        let said = model.notice.clone().unwrap().line;
        assert!(said.contains("1~1a: ") || said.contains("1~2a: "), "{said}");
        press(&mut desk, &mut model, "\n");
        assert_eq!(model.page(), Page::Batch(*id));
        assert_eq!(model.batch.as_ref().unwrap().0.id, *id);
        press(&mut desk, &mut model, "q");
    }
    // The number alone says which two it may be, each as it has to be written, and so does the line.
    press(&mut desk, &mut model, "1c");
    let line = model.notice.clone().unwrap().line;
    assert!(line.contains("/1~1") && line.contains("/1~2"), "{line}");
    press(&mut desk, &mut model, ":count 1");
    let Some(Overlay::Line(typed)) = model.overlays.last() else { panic!() };
    let words: Vec<&str> = typed.fitting().0.fitting.iter().map(|word| word.text.as_str()).collect();
    assert!(words.iter().any(|word| word.ends_with("/1~2")) && words.len() == 2, "{words:?}");
    // Once one alone wears the number, what meant the other means none.
    let mut run = |line: &str| desk.run(line, today, AfterRefusal::Stop, |_, _| {}).map_err(|error| error.to_string());
    run("relabel 1~1 7").unwrap();
    assert!(run("note 1~1 pale").is_err());
    assert!(run("relabel 1 8~2").unwrap_err().contains("no ~"));
    run("note 1 pale").unwrap();
}

/// What another program does to a number between the opening of a form and its Enter does nothing to another crop.
#[test]
fn a_form_is_for_the_batch_it_was_opened_on() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("journal.db");
    let today = desk::today();
    let (mut desk, mut other) = (opened(&path, 1), opened(&path, 1));
    run(&mut desk, &format!("{GARDEN}sow leek Ferry --seeds 40 --in half-tray --at sill --on -12d"));
    let mut model = Model::new(desk.board(today).unwrap(), today);
    press(&mut desk, &mut model, "1c7");
    run(&mut other, "undo\nsow basil Bell --seeds 30 --in half-tray --at sill --on -12d");
    // Whether the screen has seen it or not.
    press(&mut desk, &mut model, "\n");
    let Some(Overlay::Form(form)) = model.overlays.last() else { panic!("{:?}", model.notice) };
    let trouble = form.trouble.clone().unwrap_or_default();
    assert!(trouble.contains("meant for 1a leek Ferry") && trouble.contains("nothing was logged"), "{trouble}");
    assert!(other.state(today).unwrap().parts.values().all(|part| part.counts.is_empty()));
}

/// What each of three was written as it stays, whichever of them gets a number of its own, gets it back or is undone; and
/// a fourth that was sown before them and merged after is told of where it shifts one.
#[test]
fn a_number_given_away_leaves_its_place_empty() {
    let folder = TempDir::new().unwrap();
    let today = desk::today();
    let path = |name: &str| folder.path().join(name);
    let mut sown = 0_u128;
    let mut sow = |name: &str, crop: &str| {
        sown += 1;
        let mut desk = opened(&path(name), sown);
        let script = format!("{GARDEN}sow {crop} --seeds 24 --in half-tray --at sill --on -12d");
        run(&mut desk, &script);
        desk
    };
    let mut desk = sow("first.db", "tomato 'Copper Lantern'");
    sow("late.db", "celery Heron");
    sow("second.db", "leek 'Long Furrow'");
    sow("third.db", "basil Bell");
    for other in ["second.db", "third.db"] {
        desk.merge(&path(other)).unwrap();
    }
    let said = |desk: &mut Desk, line: &str| {
        let mut answer = String::new();
        let ran = desk.run(line, today, AfterRefusal::Stop, |_, done| {
            answer = done.as_ref().map_or_else(ToString::to_string, |done| done.in_lines());
        });
        assert_eq!(ran.is_err(), answer.contains("there is no batch"), "{answer}");
        ran.map_or_else(|error| format!("{error}; {}", error.hint()), |_| answer)
    };
    let mut up = 0;
    let mut is = |desk: &mut Desk, written: &str, crop: &str| {
        up += 1;
        let answer = said(desk, &format!("count {written} {up}"));
        let state = desk.state(today).unwrap();
        let counted = state.parts.values().find(|part| part.up == up).unwrap_or_else(|| panic!("{answer}"));
        assert_eq!(state.lots[&state.batches[&counted.batch].lot].crop.as_str(), crop, "{written}");
    };
    is(&mut desk, "1~2", "leek");
    said(&mut desk, "relabel 1~1 8");
    is(&mut desk, "1~2", "leek");
    is(&mut desk, "1~3", "basil");
    let gone = said(&mut desk, "note 1~1 pale");
    assert!(gone.contains("there is no batch 1~1") && gone.contains("it is numbered"), "{gone}");
    // Alone with the number it is still what it was written as.
    said(&mut desk, "relabel 1~2 9");
    is(&mut desk, "1~3", "basil");
    is(&mut desk, "1", "basil");
    let back = said(&mut desk, "relabel 9 1");
    assert!(back.starts_with("leek Long Furrow, begun as") && back.contains("is now numbered"), "{back}");
    assert!(back.contains("/1~3: this one is written") && back.ends_with("/1~2"), "{back}");
    said(&mut desk, "relabel 8 1");
    is(&mut desk, "1~1", "tomato");
    is(&mut desk, "1~2", "leek");
    // What another machine gave the number before two of these did comes between, as in every copy; and that is said.
    let merged = desk.merge(&path("late.db")).unwrap();
    let written: Vec<String> =
        merged.rewritten.iter().map(|(was, now)| format!("{was} {} {}", now.label, now.plants)).collect();
    assert_eq!(written.len(), 2, "{written:?}");
    assert!(written[0].contains("/1~2 ") && written[0].ends_with("/1~3 leek Long Furrow"), "{written:?}");
    assert_eq!(merged.twins.shared_numbers[0].1.len(), 4);
    is(&mut desk, "1~2", "celery");
}

/// A number goes to another batch while a form, a line or their draft lies half-entered: what was meant is done to no other.
#[test]
fn what_is_half_entered_is_for_the_batch_it_was_begun_for() {
    let folder = TempDir::new().unwrap();
    let today = desk::today();
    let open = |name: &str| opened(&folder.path().join(name), 1);
    let said = |model: &Model| match model.overlays.last() {
        Some(Overlay::Line(line)) => match &line.preview {
            Preview::Trouble(line) | Preview::Would(line) => line.clone(),
            other => panic!("{other:?}"),
        },
        other => panic!("{other:?} {:?}", model.notice),
    };
    for (name, keys) in [("form.db", "1c7"), ("line.db", ":count 1 7")] {
        let (mut desk, mut other) = (open(name), open(name));
        run(&mut desk, &format!("{GARDEN}sow leek Ferry --seeds 40 --in half-tray --at sill --on -12d"));
        let mut model = Model::new(desk.board(today).unwrap(), today);
        press(&mut desk, &mut model, keys);
        let half = model.half_entered().unwrap();
        run(&mut other, "relabel 1 5\nsow basil Bell --seeds 30 --in half-tray --at sill --on -12d\nrelabel 6 1");
        // It lies open still.
        if keys.starts_with(':') {
            press(&mut desk, &mut model, "\n");
            let line = said(&model);
            assert!(line.contains("leek Ferry, which is numbered") && line.contains("/5 now"), "{line}");
        }
        // It was kept, and is taken up on a fresh screen.
        let draft = Draft { at: today.and_time(NaiveTime::MIN), what: half };
        let kept = Draft::read(&draft.written()).unwrap();
        assert_eq!(kept, draft);
        let mut model = Model::new(desk.board(today).unwrap(), today);
        let line = kept.offer(today);
        model.overlays.push(Overlay::Question(Question { line, yes: Yes::TakeUp(Box::new(kept)) }));
        press(&mut desk, &mut model, "y");
        assert!(said(&model).contains("/5 now"), "{}", said(&model));
        press(&mut desk, &mut model, "\n");
        assert!(said(&model).contains("/5 now"), "{}", said(&model));
        assert!(other.state(today).unwrap().parts.values().all(|part| part.counts.is_empty()));
        // Who writes the number anew is told what it is, and means that.
        model.overlays.clear();
        press(&mut desk, &mut model, ":count 5 7");
        assert!(said(&model).starts_with("leek Ferry, "), "{}", said(&model));
        press(&mut desk, &mut model, "\n");
        assert_eq!(other.state(today).unwrap().parts.values().map(|part| part.up).sum::<u32>(), 7);
    }
    // Another file in the journal's place gives the same key and number to another batch.
    let (mut ours, mut theirs) = (open("ours.db"), open("theirs.db"));
    run(&mut ours, &format!("{GARDEN}sow leek Ferry --seeds 40 --in half-tray --at sill --on -12d"));
    run(&mut theirs, &format!("{GARDEN}sow basil Bell --seeds 40 --in half-tray --at sill --on -12d"));
    let mut model = Model::new(ours.board(today).unwrap(), today);
    press(&mut ours, &mut model, ":count 1 7");
    press(&mut theirs, &mut model, "\n");
    assert!(said(&model).contains("meant for") && said(&model).contains("another's now"), "{}", said(&model));
}

/// What is half-entered is kept, what numbers mean is changed, and it is taken up and typed on: still for what it was for.
#[test]
fn a_line_taken_up_is_for_its_batch_however_it_is_typed_on() {
    let folder = TempDir::new().unwrap();
    let today = desk::today();
    // As typed before, what is typed on, and what it would have come to on the other batch.
    for (number, (before, on)) in
        [(":count 7 1", "2"), (":lose 7a", " 3"), (":lose 7", " 99"), ("7c1", "3"), (":count leek 1", "2")]
            .into_iter()
            .enumerate()
    {
        let path = folder.path().join(format!("{number}.db"));
        let mut desk = opened(&path, 1);
        let sow = |crop: &str| format!("sow {crop} --seeds 40 --in half-tray --at sill --on -12d\n");
        let script = format!(
            "{GARDEN}{}{}relabel 1 7\nrelabel 2 5\ncount 7 16\ncount 5 16",
            sow("leek Ferry"),
            sow("basil Bell")
        );
        run(&mut desk, &script);
        let mut model = Model::new(desk.board(today).unwrap(), today);
        press(&mut desk, &mut model, before);
        let what = model.half_entered().unwrap();
        let draft = Draft { at: today.and_time(NaiveTime::MIN), what };
        let read = Draft::read(&draft.written()).unwrap();
        // The leek is 6 from now on, and the basil 7; and another leek comes where the crop was typed.
        let more = if before.contains("leek") {
            "clear 7 --rest discard\nsow leek Bell --seeds 9 --in half-tray --at sill"
        } else {
            "relabel 7 6\nrelabel 5 7"
        };
        desk.run(more, today, AfterRefusal::Stop, |_, _| {}).unwrap();
        let held = desk.check().unwrap().acts;
        let mut model = Model::new(desk.board(today).unwrap(), today);
        let line = read.offer(today);
        model.overlays.push(Overlay::Question(Question { line, yes: Yes::TakeUp(Box::new(read)) }));
        press(&mut desk, &mut model, "y");
        press(&mut desk, &mut model, on);
        let Some(Overlay::Line(line)) = model.overlays.last() else { panic!("{before}: {:?}", model.overlays) };
        let Preview::Trouble(said) = line.preview.clone() else { panic!("{before}: {:?}", line.preview) };
        assert!(said.contains("that was meant for"), "{before}: {said}");
        press(&mut desk, &mut model, "\n");
        assert_eq!(desk.check().unwrap().acts, held, "{before}");
    }
    // Once the word for it is typed anew, it is for what that means.
    let path = folder.path().join("0.db");
    let mut desk = opened(&path, 1);
    let mut model = Model::new(desk.board(today).unwrap(), today);
    press(&mut desk, &mut model, ":count 7 1");
    run(&mut desk, "relabel 7 8\nrelabel 6 7");
    press(&mut desk, &mut model, "7");
    let Some(Overlay::Line(line)) = model.overlays.last() else { panic!() };
    assert!(matches!(&line.preview, Preview::Trouble(said) if said.contains("meant for")), "{:?}", line.preview);
    for _ in 0..4 {
        update(&mut model, Message::Key(Key::Backspace));
    }
    press(&mut desk, &mut model, "8 17\n");
    assert!(model.overlays.is_empty(), "{:?}", model.overlays);
}

/// The key takes back what the line on the screen offers it for, whatever another program logged since.
#[test]
fn undo_takes_back_the_act_it_is_offered_for() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("journal.db");
    let today = desk::today();
    let (mut desk, mut other) = (opened(&path, 1), opened(&path, 1));
    run(&mut desk, &format!("{GARDEN}sow leek Ferry --seeds 40 --in half-tray --at sill --on -12d"));
    let mut model = Model::new(desk.board(today).unwrap(), today);
    press(&mut desk, &mut model, "1c7\n");
    run(&mut other, "note 1 'another hand'");
    press(&mut desk, &mut model, "u");
    let said = model.notice.clone().unwrap().line;
    assert!(said.contains("undone") && said.contains("7 up"), "{said}");
    let state = desk.state(today).unwrap();
    assert_eq!((state.notes.len(), state.parts.values().map(|part| part.up).sum::<u32>()), (1, 0));
    // Where it was taken back already, nothing else is.
    press(&mut desk, &mut model, "1c9\n");
    run(&mut other, "undo");
    press(&mut desk, &mut model, "u");
    let said = model.notice.clone().unwrap().line;
    assert!(said.contains("undone already"), "{said}");
    assert_eq!(desk.state(today).unwrap().notes.len(), 1);
}
