//! A form understands what the command line does, goes on with nothing it did not take, and asks before a slip.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::sitting::Sitting;
use thumbpot::advice::Task;
use thumbpot::desk;
use thumbpot::tui::message::Key;
use thumbpot::tui::model::{Cursor, Overlay};
use thumbpot::tui::rows::Section;

const GARDEN: &str = "
place add propagator --kind propagator --on -40d
place add kitchen --kind windowsill --on -40d
place add 'cold frame' --kind 'cold frame' --on -40d
bench add propagator/mat --size 800x480mm --on -40d
bench add kitchen/sill --size 1200x600mm --on -40d
bench add 'cold frame/left' --size 1200x600mm --on -40d
bench add 'cold frame/right' --size 1200x600mm --on -40d
lot add lettuce 'Frilly' --packed 2025 --seeds 300 --on -40d
lot add kale 'Black' --packed 2025 --seeds 300 --on -40d
lot add tomato 'Red Pear' --packed 2025 --seeds 100 --on -40d
sow tomato 'Red Pear' --seeds 20 --in half-tray --at propagator/mat --on -24d
count 1a 15 --on -14d
";

/// The field that keys go to, and what is typed in it.
fn focus(sitting: &Sitting) -> (&'static str, String) {
    match sitting.model.overlays.last() {
        Some(Overlay::Form(form)) => (form.fields[form.focus].label, form.fields[form.focus].input.value().to_owned()),
        other => panic!("{other:?}; {}", sitting.trouble()),
    }
}

/// What the open form says it is about.
fn about(sitting: &Sitting) -> String {
    match sitting.model.overlays.last() {
        Some(Overlay::Form(form)) => form.about.clone(),
        other => panic!("{other:?}; {}", sitting.trouble()),
    }
}

fn asked(sitting: &Sitting) -> String {
    match sitting.model.overlays.last() {
        Some(Overlay::Question(question)) => question.line.clone(),
        other => panic!("nothing is asked: {other:?}; {}", sitting.trouble()),
    }
}

#[test]
fn a_spot_means_in_a_form_what_it_means_on_the_command_line() {
    for (typed, meant) in [
        ("cold/right", "cold frame/right"),
        ("cold frame/right", "cold frame/right"),
        ("COLD/R", "cold frame/right"),
        ("cold right", "cold frame/right"),
        ("right", "cold frame/right"),
        ("kit", "kitchen/sill"),
    ] {
        let mut sitting = Sitting::with(GARDEN);
        sitting.types(&format!("skale\n12\n9cm-potx12\n{typed}\n"));
        assert!(sitting.newest().2.contains(meant), "{typed}: {} {}", sitting.newest().2, sitting.trouble());
        sitting.types(&format!("1m{typed}\n"));
        assert!(sitting.newest().2.ends_with(meant), "{typed}: {} {}", sitting.newest().2, sitting.trouble());
    }
}

#[test]
fn what_belongs_nowhere_stays_in_sight_and_nothing_goes_on_from_it() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    // With a c left there, c and right made the kitchen of the h alone.
    sitting.types("skale\n12\n9cm-potx12\ncright");
    assert_eq!(focus(&sitting), ("at", "cright".to_owned()));
    assert!(sitting.trouble().contains("cright"), "{}", sitting.trouble());
    for key in [Key::Tab, Key::Enter, Key::Char(' '), Key::Enter, Key::Down] {
        sitting.press(key);
        assert_eq!(focus(&sitting).0, "at", "{key:?}");
        assert!(sitting.trouble().contains("Backspace"), "{key:?}: {}", sitting.trouble());
    }
    // Left backwards, the end of the form comes back to it.
    sitting.press(Key::Up).press(Key::BackTab).types("\n\n\n");
    assert_eq!((focus(&sitting).0, sitting.acts()), ("at", before));
    for _ in "cright".chars() {
        sitting.press(Key::Backspace);
    }
    sitting.types("right\n");
    assert!(sitting.newest().2.contains("cold frame/right"), "{}", sitting.newest().2);
    // A bench that is not there is no number of plants.
    let before = sitting.acts();
    sitting.types("1mkitchen/3\n\n");
    assert_eq!((focus(&sitting), sitting.acts()), (("to", "kitchen/3".to_owned()), before));
    sitting.types("\\");
    // A number keeps what does not belong to it in sight too.
    sitting.types("1c1half\n");
    assert_eq!((focus(&sitting), sitting.acts()), (("up", "1half".to_owned()), before));
}

#[test]
fn a_sowing_typed_in_one_go_is_taken_field_by_field() {
    let nine = desk::today() - chrono::Days::new(9);
    for (typed, said, day) in [
        (
            "lettuce Frilly 24 24-cell propagator/mat  -9d",
            "lettuce Frilly sown: 24 seeds in 24-cell, propagator/mat",
            nine,
        ),
        (
            "lettuce Frilly 24 24-cell cold frame/right  -9d",
            "lettuce Frilly sown: 24 seeds in 24-cell, cold frame/right",
            nine,
        ),
        ("kale Black 30 half right -9d", "kale Black sown: 30 seeds in half-tray, cold frame/right", nine),
        (
            "tomato Red Pear 30 half-tray kit",
            "tomato Red Pear sown: 30 seeds in half-tray, kitchen/sill",
            desk::today(),
        ),
        ("lettuce 24 24-cell cold/r  -9d", "lettuce Frilly sown: 24 seeds in 24-cell, cold frame/right", nine),
        (
            "tomato Copper Lantern 30 half-tray kit",
            "tomato Copper Lantern sown: 30 seeds in half-tray, kitchen/sill",
            desk::today(),
        ),
        ("leek Tall  40p seed-tray kit  -9d", "leek Tall sown: 40 or so, a pinch, in seed-tray, kitchen/sill", nine),
        ("kale Black 20 24-cellx2 cold/l", "kale Black sown: 20 seeds in 2 x 24-cell, cold frame/left", desk::today()),
    ] {
        let mut sitting = Sitting::with(GARDEN);
        let before = sitting.acts();
        sitting.types(&format!("s{typed}\n"));
        let (_, on, sentence) = sitting.newest();
        assert_eq!(sitting.acts(), before + 1, "{typed}: {}", sitting.trouble());
        let packed = |text: &str| text.replace(':', "").replace("2 x ", "");
        let words: Vec<String> = packed(said).split(' ').map(str::to_owned).collect();
        assert!(words.iter().all(|word| sentence.contains(word.as_str())), "{typed}: {sentence}");
        assert_eq!(on, day, "{typed}");
    }
    // Twenty at the end may be the year's beginning until it is left.
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("skale Black 20\n");
    assert_eq!(focus(&sitting).0, "in");
    sitting.types("\n");
    assert!(sitting.newest().2.contains("20 seeds"), "{}", sitting.newest().2);
    sitting.types("skale Black 2025\n");
    assert_eq!(focus(&sitting).0, "number");
}

#[test]
fn a_new_variety_with_a_number_a_container_or_a_bench_in_it_is_asked_about() {
    for typed in ["leek Long 24cell", "leek half-tray Long", "leek Long kitchen/sill"] {
        let mut sitting = Sitting::with(GARDEN);
        let before = sitting.acts();
        sitting.types(&format!("s{typed}\n12\n\n"));
        let (_, variety) = typed.split_once(' ').unwrap();
        assert!(asked(&sitting).contains(variety), "{typed}: {}", asked(&sitting));
        assert_eq!(sitting.acts(), before);
        // Whoever says no stands where the name is.
        sitting.types("n");
        assert_eq!(focus(&sitting), ("what", typed.to_owned()));
        sitting.types("\n\n\ny");
        assert!(sitting.newest().2.contains(variety), "{}", sitting.newest().2);
    }
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("sleek Long Furrow\n12\n\n");
    assert!(sitting.newest().2.contains("leek Long Furrow"), "{}", sitting.trouble());
}

#[test]
fn a_second_sowing_stops_where_the_first_one_did() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("skale\n100\n");
    assert_eq!(focus(&sitting).0, "in");
    // Another container than last time's: the bench is shown too.
    sitting.types("seed-tray\n");
    assert_eq!(focus(&sitting).0, "at");
    sitting.types("kit\n");
    assert!(sitting.newest().2.contains("100 seeds in seed-tray, kitchen/sill"), "{}", sitting.newest().2);
}

#[test]
fn a_number_that_is_no_batch_stops_the_keys_behind_it() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    // What was meant for a form that was closed: the pot.
    sitting.types("9cm-pot\n");
    assert!(sitting.model.overlays.is_empty() && sitting.acts() == before, "{:?}", sitting.model.overlays);
    assert!(sitting.trouble().contains("numbered 9"), "{}", sitting.trouble());
    // Enter or Escape, and the keys are keys again.
    sitting.types("m");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(_))), "{}", sitting.trouble());
    // What was meant for a count is no other batch's number, nor a key on that.
    sitting.types("\\9ac1x");
    assert!(sitting.model.overlays.is_empty(), "{:?}", sitting.model.overlays);
    sitting.types("\\1c");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(_))), "{}", sitting.trouble());
}

#[test]
fn the_bench_and_the_trays_that_a_form_offers_are_such_as_fit_now() {
    // The sill takes one half-tray more at most, and no 30-cell tray at all.
    let garden = "
place add sill --kind windowsill --on -40d
place add shelf --kind 'lit shelf' --on -40d
bench add sill/narrow --size 900x200mm --on -40d
bench add shelf/wide --size 1200x500mm --on -40d
sow tomato 'Red Pear' --seeds 20 --in half-tray --at shelf/wide --on -24d
count 1a 15 --on -14d
pot-on 1a 2 --into 9cm-pot --at sill/narrow --on -2d
sow leek 'Long Furrow' --seeds 24 --in half-tray --at sill/narrow --on -1d
";
    let mut sitting = Sitting::with(garden);
    sitting.types("1p9i6-cell\n\n");
    assert!(sitting.trouble().contains("9"), "a kind that is typed is taken as typed: {}", sitting.trouble());
    // Elsewhere than last time: it is shown, and says why.
    sitting.types("\\1p13\n");
    assert_eq!(focus(&sitting).0, "at");
    assert!(about(&sitting).contains("shelf/wide instead"), "{}", about(&sitting));
    sitting.types("\n");
    let (_, _, said) = sitting.newest();
    assert!(said.contains("13 pricked out") && said.contains("shelf/wide"), "{said} {}", sitting.trouble());
    // Where no bench has room for it, Enter stops at the bench and says so.
    let mut full = Sitting::with(&garden.replace("1200x500mm", "300x250mm"));
    full.types("1p13\n");
    assert_eq!(focus(&full).0, "at");
    assert!(full.newest().2.contains("leek"), "{}", full.newest().2);
}

#[test]
fn what_the_demonstration_has_due_is_potted_on_where_there_is_room() {
    let due = Sitting::demo().model.board.due;
    let rows = due.iter().enumerate().filter(|(_, due)| matches!(due.what, Task::PrickOut | Task::PotOn));
    let rows: Vec<usize> = rows.map(|(row, _)| row).collect();
    assert!(rows.len() >= 2, "{rows:?}");
    for row in rows {
        let mut sitting = Sitting::demo();
        let label = sitting.model.board.due[row].batch.unwrap().1.number;
        let before = sitting.acts();
        sitting.model.set_cursor(Cursor { section: Section::Today, index: row });
        let standing = sitting.model.board.due[row].parts[0].standing;
        sitting.types(&format!("p{}\n", standing.min(9)));
        if !sitting.model.overlays.is_empty() {
            assert_eq!(focus(&sitting).0, "at", "{label}: {}", sitting.trouble());
            assert!(about(&sitting).contains(" instead"), "{label}: {}", about(&sitting));
            sitting.types("\n");
        }
        assert_eq!(sitting.acts(), before + 1, "{label}: {}", sitting.trouble());
        let notice = sitting.model.notice.clone().unwrap().line;
        assert!(!notice.contains("no spot"), "{label}: {notice} {}", sitting.newest().2);
    }
}

#[test]
fn an_empty_part_is_cleared_alone() {
    let mut sitting = Sitting::with(&format!("{GARDEN}pot-on 1a 15 --into 9cm-pot --at kitchen/sill --on -1d\n"));
    sitting.types("1e\n");
    assert_eq!(sitting.newest().2, "1a cleared", "{}", sitting.trouble());
    // While nothing of it is empty, the parts are there as before, and plants are not cleared away unasked.
    let before = sitting.acts();
    sitting.types("1e\n");
    assert_eq!(sitting.acts(), before);
}

#[test]
fn the_kind_is_asked_for_before_how_many_are_owned_and_a_great_fall_is_asked_about() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("bI").types("o9cm-pot\n60\n").types("ohalf-tray\n4\n");
    assert_eq!(sitting.newest().2, "4 of half-tray in all", "{}", sitting.trouble());
    sitting.types("o9cm-pot\n4\n");
    assert!(asked(&sitting).contains("60 so far"), "{}", asked(&sitting));
}

#[test]
fn a_bench_is_typed_in_one_go_and_a_frame_is_asked_for_its_headroom() {
    let mut sitting = Sitting::with(GARDEN);
    let bench = |sitting: &Sitting, name: &str| {
        let benches = &sitting.model.board.state.benches;
        benches.values().find(|bench| bench.name.as_str() == name).map(|bench| bench.size).unwrap()
    };
    sitting.types("Abcold/middle 900x500 400..300\n");
    let size = bench(&sitting, "middle");
    let high = (size.headroom_back.unwrap().0, size.headroom_front.unwrap().0);
    assert_eq!((size.length.0, size.width.0, high), (900, 500, (400, 300)), "{}", sitting.trouble());
    sitting.types("Abcold/shelf two\n900x500mm\n");
    assert_eq!(focus(&sitting).0, "headroom");
    sitting.types("400-250\n");
    assert_eq!(bench(&sitting, "shelf two").headroom_front.unwrap().0, 250, "{}", sitting.trouble());
    // A place that is not there is said at once.
    sitting.types("Abcellar/left\n");
    assert_eq!(focus(&sitting).0, "bench");
    assert!(sitting.trouble().contains("cellar"), "{}", sitting.trouble());
}

#[test]
fn a_container_that_is_none_is_not_taken_for_a_new_one() {
    for typed in ["-9d", "slettuce", "24-celly2"] {
        let mut sitting = Sitting::with(GARDEN);
        let before = sitting.acts();
        sitting.types(&format!("skale\n12\n{typed}\n"));
        assert_eq!((focus(&sitting), sitting.acts()), (("in", typed.to_owned()), before));
        assert!(sitting.trouble().contains(typed), "{}", sitting.trouble());
    }
}

#[test]
fn a_part_is_told_by_its_letter_behind_the_number() {
    let garden = format!("{GARDEN}pot-on 1a 6 --into 9cm-pot --at kitchen/sill --on -1d\n");
    let mut sitting = Sitting::with(&garden);
    sitting.types("1bc5\ny");
    assert!(sitting.newest().2.starts_with("1b: 5 standing"), "{} {}", sitting.newest().2, sitting.trouble());
    sitting.types("1ac16\n");
    assert!(sitting.newest().2.starts_with("1a: 16 up"), "{} {}", sitting.newest().2, sitting.trouble());
}

#[test]
fn a_number_typed_on_another_day_does_not_grow_by_what_was_the_count() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("d1c5");
    assert_eq!(sitting.model.typed, "5", "{}", sitting.trouble());
}

#[test]
fn a_count_of_more_than_came_up_says_what_it_is_more_than() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types(":count 1a 15 --standing 20 --doubles\n");
    let said = sitting.model.notice.clone().unwrap().line;
    assert!(said.contains("15 up of 20, 20 standing of 20 seedlings"), "{said}");
}
