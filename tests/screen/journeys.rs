//! Journeys at the full screen: keys in, entries out. The keys are counted against the job's own limits: a grower's
//! hands are wet. What came of them is read back from the journal with the history and the fold.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::sitting::Sitting;
use thumbpot::desk::{self, DEMO_DAY};
use thumbpot::tui::app::answer;
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::{Overlay, Page};
use thumbpot::tui::rows::Section;
use thumbpot::tui::update::update;

/// A garden in the middle of things, typed some days ago.
const GARDEN: &str = "
place add propagator --kind propagator --on -40d
place add sill --kind windowsill --on -40d
place add frame --kind 'cold frame' --on -40d
bench add propagator/mat --size 800x480mm --on -40d
bench add sill/kitchen --size 1200x600mm --on -40d
bench add frame/left --size 1200x600mm --on -40d
lot add tomato 'Copper Lantern' --packed 2025 --seeds 60 --on -40d
lot add basil 'Warm Yard' --packed 2025 --seeds 300 --on -40d
lot add leek 'Long Furrow' --packed 2025 --seeds 200 --on -40d
sow tomato 'Copper Lantern' --seeds 24 --in half-tray --at propagator/mat --on -24d
count 1a 15 --on -14d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/kitchen --on -12d
sow basil 'Warm Yard' --seeds 12 --in half-tray --at sill/kitchen --on -10d
";

#[test]
fn a_count_takes_four_keys_and_gaps_as_many() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(2).types("c54\n");
    sitting.took_at_most(4);
    assert_eq!(sitting.newest(), ("count".to_owned(), desk::today(), "2a: 54 up".to_owned()));
    sitting.on(2).types("c-4\n");
    sitting.took_at_most(4);
    assert_eq!(sitting.newest().2, "2a: 4 gaps");
    let part = sitting.desk.state(desk::today()).unwrap();
    let part = part.parts.values().find(|part| part.sown() == 60).unwrap().clone();
    assert_eq!((part.up, part.standing()), (56, 56), "60 cells were sown, 4 are empty");
    // The number typed first says which batch, wherever the cursor is.
    sitting.on(3).types("2c57\n");
    assert_eq!(sitting.newest().2, "2a: 57 up");
}

#[test]
fn the_second_sowing_of_an_afternoon_takes_ten_keys() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("sto\n24\n\n");
    sitting.took_at_most(10);
    sitting.on(1).types("sbas\n30\n\n");
    sitting.took_at_most(10);
    let (verb, on, said) = sitting.newest();
    assert_eq!((verb.as_str(), on), ("sow", desk::today()));
    assert!(said.contains("basil Warm Yard") && said.contains("30 seeds in half-tray, sill/kitchen"), "{said}");
    // Nothing typed but the seed: the number too is last time's.
    sitting.on(1).types("sle\n\n\n");
    assert!(sitting.newest().2.contains("30 seeds"), "{}", sitting.newest().2);
}

#[test]
fn a_move_takes_five_keys_and_marks_move_together() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("mfl\n");
    sitting.took_at_most(5);
    assert_eq!(sitting.newest().2, "1a moved to frame/left");
    sitting.on(2).types(" ");
    sitting.on(3).types(" ");
    assert_eq!(sitting.model.marked.len(), 2);
    sitting.keys = 0;
    sitting.types("mfl\n");
    sitting.took_at_most(5);
    assert_eq!(sitting.newest().2, "2a moved to frame/left; 3a moved to frame/left");
    assert!(sitting.model.marked.is_empty());
}

#[test]
fn potting_on_takes_five_keys_even_when_the_log_is_behind_the_plants() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("p12\n");
    sitting.took_at_most(5);
    let (verb, _, said) = sitting.newest();
    assert_eq!(verb, "pot-on");
    assert!(said.contains("12 pricked out from 1a"), "{said}");
    // By the log fifteen stand; eighteen are in the hand.
    let mut fresh = Sitting::with(GARDEN);
    fresh.on(1).types("p18\n");
    assert!(matches!(fresh.model.overlays.last(), Some(Overlay::Question(_))), "{:?}", fresh.model.overlays);
    let before = fresh.acts();
    fresh.types("y");
    fresh.took_at_most(5);
    assert_eq!(fresh.acts(), before + 1);
    let state = fresh.desk.state(desk::today()).unwrap();
    let part = state.parts.values().find(|part| part.sown() == 24).unwrap();
    assert_eq!((part.up, part.standing()), (18, 0), "the log had 15, the hand 18");
}

#[test]
fn enter_alone_neither_sows_nor_pots_on() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    for keys in ["p\n", "s\n\n\n", "f\n"] {
        sitting.on(1).types(keys).types("\n\n");
        assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))), "{keys:?}");
        assert_eq!(sitting.acts(), before, "after {keys:?}");
        sitting.types("n\\");
    }
    // One more key says that it is meant.
    sitting.on(1).types("p\ny");
    sitting.took_at_most(5);
    assert!(sitting.newest().2.contains("15 pricked out from 1a"), "{}", sitting.newest().2);
}

#[test]
fn losing_takes_three_keys_and_what_was_done_is_undone_by_one() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("l3\n");
    sitting.took_at_most(3);
    assert!(sitting.newest().2.starts_with("1a: 3 lost"), "{}", sitting.newest().2);
    sitting.on(1).types("u");
    sitting.took_at_most(1);
    assert_eq!(sitting.newest().0, "undo");
    sitting.types("r");
    assert_eq!(sitting.newest().0, "redo");
}

#[test]
fn a_group_goes_out_and_comes_home_by_one_key() {
    let mut sitting = Sitting::with(GARDEN);
    // The first time the grower says what, and where.
    sitting.on(2).types(" ");
    sitting.types("of\n");
    assert_eq!(sitting.newest().2, "2a out for the day in frame");
    sitting.keys = 0;
    sitting.types("i");
    sitting.took_at_most(1);
    assert_eq!(sitting.newest().2, "2a home again");
    sitting.keys = 0;
    sitting.types("o");
    sitting.took_at_most(1);
    assert_eq!(sitting.newest().2, "2a out for the day in frame");
}

#[test]
fn why_of_a_sown_tray_speaks_of_what_comes_up_until_all_are() {
    let mut sitting = Sitting::with(GARDEN);
    let mut asked = |keys: &str, about: &str| {
        sitting.types(keys);
        assert!(sitting.model.batch.as_ref().unwrap().0.parts[0].ready.is_some(), "it has a move to come");
        match sitting.types("w").model.overlays.last() {
            Some(Overlay::Why { title, .. }) => assert!(title.starts_with(about), "{title}"),
            other => panic!("{other:?}"),
        }
        sitting.types("\\q");
    };
    // Five of twelve are to be pricked out one day, but more may come.
    asked("3c5\n3\n", "germination of ");
    asked("3c12\n3\n", "the next move of ");
}

#[test]
fn the_rest_of_the_acts_have_a_key_each() {
    let mut sitting = Sitting::with(GARDEN);
    for (keys, verb, said) in [
        ("g2\n", "stage", "1a: 2 true leaves"),
        ("t1\n", "thin", "1a: 1 thinned"),
        ("x1\n", "discard", "1a: 1 discarded"),
        ("v2\n", "give-away", "1a: 2 given away"),
        ("f4\n", "plant-out", "1a: 4 planted out"),
        ("Nleaves curl\n", "note", "1: leaves curl"),
    ] {
        sitting.on(1).types(keys);
        let (done, _, sentence) = sitting.newest();
        assert_eq!(done, verb);
        assert!(sentence.ends_with(said) || sentence.starts_with(said), "{sentence}");
    }
    sitting.on(1).types("e");
    sitting.press(Key::Down).press(Key::Enter);
    assert_eq!(sitting.newest().0, "clear");
}

#[test]
fn a_thermometer_takes_seven_keys_and_every_act_has_words() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("Rf\n3\n9\n");
    sitting.took_at_most(7);
    // Before noon the highest is of the day before, and it is said.
    let said = sitting.newest().2;
    assert!(said.starts_with("frame: lowest 3.0 C; frame: highest 9.0 C"), "{said}");
    sitting.on(1).types(":cover frame on\n");
    assert_eq!(sitting.newest().2, "frame covered");
}

#[test]
fn what_cannot_be_true_stays_in_the_form_and_nothing_is_written() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    sitting.on(1).types("c99\n");
    assert!(sitting.trouble().contains("99"), "{}", sitting.trouble());
    sitting.types("\\");
    sitting.on(1).types("l0\n");
    assert!(!sitting.trouble().is_empty());
    sitting.types("\\");
    sitting.types("77c");
    assert!(sitting.trouble().contains("77"), "{}", sitting.trouble());
    sitting.types("\\");
    sitting.tell(Message::Paste("c54\r".to_owned()));
    assert_eq!(sitting.acts(), before);
    assert!(sitting.model.overlays.is_empty());
}

#[test]
fn from_nothing_to_a_sowing_by_the_page_alone() {
    let mut sitting = Sitting::with("");
    assert!(sitting.model.board.is_bare());
    // What is typed is the name; Enter alone takes the kind for one. Nothing stays open to swallow the next key.
    sitting.types("zpp\n").types("zpwkitchen\n").types("zpc\n");
    let names: Vec<String> = sitting.model.board.state.places.values().map(|place| place.name.to_string()).collect();
    assert_eq!(names, ["propagator", "kitchen", "frame"], "{}", sitting.trouble());
    assert!(sitting.model.overlays.is_empty());
    // The size such a bench often has stands there to be taken; a size that is typed takes its place.
    sitting.types("zb\n\n").types("zbkit\n1200x300mm\n").types("zb\n\n\n");
    let sizes: Vec<u32> = sitting.model.board.state.benches.values().map(|bench| bench.size.length.0).collect();
    assert_eq!(sizes, [800, 1200, 1200], "{}", sitting.trouble());
    sitting.types("stomato Red Evening\n24\nhalf-tray\nkit\n");
    let (verb, _, said) = sitting.newest();
    assert_eq!(verb, "sow", "{}", sitting.trouble());
    assert!(said.contains("tomato Red Evening") && said.contains("24 seeds in half-tray"), "{said}");
    assert!(!sitting.model.board.is_bare());
    let notice = sitting.model.notice.as_ref().unwrap().line.clone();
    assert!(!notice.contains('`'), "a key, not a command: {notice}");
}

#[test]
fn of_a_crop_alone_the_variety_is_asked_for_before_anything_else() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("stom");
    let Some(Overlay::Form(form)) = sitting.model.overlays.last() else { panic!("{}", sitting.trouble()) };
    let offered: Vec<&str> = form.fields[0].fitting().iter().map(|choice| choice.shown.as_str()).collect();
    assert_eq!(offered, ["tomato Copper Lantern 2025", "tomato"], "seed first, then the crop");
    sitting.types("\\sparsn\n");
    assert!(sitting.trouble().contains("variety"), "{}", sitting.trouble());
    sitting.types("Long White\n12\n\n");
    assert!(sitting.newest().2.contains("parsnip Long White"), "{}", sitting.newest().2);
}

#[test]
fn a_count_that_is_likelier_a_slip_is_asked_about_once_on_every_face() {
    let garden = format!("{GARDEN}count 2a 48 --on -3d\ncount 3a 12 --on -3d\n");
    let mut sitting = Sitting::with(&garden);
    let before = sitting.acts();
    let standing = |sitting: &Sitting, sown: u32| {
        let state = sitting.desk.state(desk::today()).unwrap();
        state.parts.values().find(|part| part.sown() == sown).unwrap().standing()
    };
    // In the form: four where forty-eight stood.
    sitting.on(2).types("c4\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))), "{}", sitting.trouble());
    sitting.types("n8\n");
    assert_eq!((sitting.acts(), standing(&sitting, 60)), (before + 1, 48), "no, and the digit left out is typed: 48");
    sitting.on(2).types("c4\ny");
    assert_eq!(standing(&sitting, 60), 4, "yes: it is so");
    // On the line.
    sitting.types(":count 3a 0\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))), "{}", sitting.trouble());
    assert_eq!(standing(&sitting, 12), 12);
    sitting.types("n\\:count 3a 0 --sure\n");
    assert_eq!(standing(&sitting, 12), 0);
    // In the round: none where fifteen stood.
    sitting.types("W1");
    let stops = sitting.model.round().unwrap().stops.len();
    assert!(stops > 0);
    sitting.types("0\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))), "{}", sitting.trouble());
    sitting.types("y");
    assert_eq!(standing(&sitting, 24), 0);
    // One more is taken as it is; by however few it falls, the count that it contradicts is named, and what to do if they died.
    let mut usual = Sitting::with(&garden);
    usual.on(2).types("c49\n");
    usual.took_at_most(4);
    usual.on(2).types("c48\n");
    let Some(Overlay::Question(asked)) = usual.model.overlays.last() else { panic!("{}", usual.trouble()) };
    let today = desk::today().format("%-d %b");
    let said = format!(
        "2a: 48 up where 49 were on {today}, as if 1 too many had been counted; if dead, 2al instead. Is that so?"
    );
    assert_eq!(asked.line, said);
    usual.types("n\\2al1\n\n");
    usual.on(2).types("c48\n");
    let Some(Overlay::Question(asked)) = usual.model.overlays.last() else { panic!("{}", usual.trouble()) };
    assert!(asked.line.contains("if 48 stand, a count of 48s instead"), "{}", asked.line);
    usual.types("n\\");
    // And what is sown today is not up today, least of all every cell of it.
    usual.types("sle\n30i72-cell\n\n");
    assert_eq!(usual.newest().0, "sow", "{}", usual.trouble());
    let acts = usual.acts();
    usual.types("4Ca\n");
    assert!(matches!(usual.model.overlays.last(), Some(Overlay::Question(_))), "{}", usual.trouble());
    assert_eq!(usual.acts(), acts);
    usual.types("n");
    assert!(usual.model.tray.is_some(), "the ticks stay");
}

#[test]
fn letters_in_a_number_are_refused_or_lead_to_the_field_that_is_marked_and_a_refused_number_is_replaced() {
    let mut sitting = Sitting::with(GARDEN);
    let focus = |sitting: &Sitting| match sitting.model.overlays.last() {
        Some(Overlay::Form(form)) => (form.fields[form.focus].label, form.fields[form.focus].input.value().to_owned()),
        other => panic!("{other:?}"),
    };
    sitting.on(1).types("p1z");
    assert_eq!(focus(&sitting), ("plants", "1z".to_owned()));
    assert!(sitting.trouble().contains("z does not belong"), "{}", sitting.trouble());
    // What follows is not taken for the rest of it.
    sitting.types("2\n");
    assert_eq!(focus(&sitting), ("plants", "1z2".to_owned()));
    sitting.press(Key::Backspace).press(Key::Backspace);
    // Who goes to the container is shown the bench too before it is logged.
    let before = sitting.acts();
    sitting.types("2i9cm\n");
    assert_eq!((focus(&sitting).0, sitting.acts()), ("at", before));
    sitting.types("\n");
    assert!(sitting.newest().2.contains("12 pricked out"), "{}", sitting.newest().2);
    sitting.on(2).types("c99\n");
    assert!(!sitting.trouble().is_empty());
    assert!(!sitting.trouble().contains("--"), "in the words of the screen: {}", sitting.trouble());
    sitting.types("54\n");
    assert_eq!(sitting.newest().2, "2a: 54 up", "54, not 9954");
    // A thermometer's letters are its scale once there is a figure.
    sitting.types("Rf\n3c\n50F\n");
    let said = sitting.newest().2;
    assert!(said.starts_with("frame: lowest 3.0 C; frame: highest 10.0 C"), "{said}");
}

#[test]
fn yesterdays_sowing_is_logged_today_with_one_field() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("sto\n10oyesterday\n\n");
    let (verb, on, _) = sitting.newest();
    assert_eq!((verb.as_str(), on), ("sow", desk::today().pred_opt().unwrap()), "{}", sitting.trouble());
    sitting.on(1).types("Nleaves curl");
    sitting.press(Key::Tab).types("-2d\n");
    let (_, on, said) = sitting.newest();
    assert_eq!(on, desk::today() - chrono::Days::new(2));
    assert!(said.ends_with("1: leaves curl"), "the day is no part of the remark: {said}");
}

#[test]
fn a_bench_nobody_can_reach_across_is_asked_about() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    sitting.types("zbframe/right\n900x20cm\n\n");
    let Some(Overlay::Question(question)) = sitting.model.overlays.last() else { panic!("{}", sitting.trouble()) };
    assert!(question.line.contains("9000 mm"), "{}", question.line);
    assert_eq!(sitting.acts(), before);
    sitting.types("y");
    assert_eq!(sitting.acts(), before + 1);
}

#[test]
fn a_batch_in_two_trays_asks_which_is_ticked_and_no_letter_undoes_anything() {
    let mut sitting = Sitting::with(&format!(
        "{GARDEN}pot-on 1a 6 --into 6-cell --at sill/kitchen\npot-on 1a 6 --into 6-cell --at sill/kitchen\n"
    ));
    let before = sitting.acts();
    sitting.types("1Cuuu");
    assert_eq!(sitting.acts(), before, "u is a cell, never an undo");
    sitting.types("b");
    assert!(matches!(sitting.model.page(), Page::Cells(_)), "{:?}", sitting.model.overlays);
}

#[test]
fn an_action_whose_key_is_forgotten_is_found_by_its_words_and_done() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("?fevery act\n\n");
    assert_eq!(sitting.model.page(), Page::Journal, "{}", sitting.trouble());
    assert!(sitting.model.overlays.is_empty());
    // By the name that the settings know it by, with an act at the end of it; Escape first takes the words back.
    sitting.types("q").on(2).types("?fpot-on\n\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(form)) if form.title == "prick out or pot on"));
    sitting.types("\\?fzzz\n\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Help(_))), "nothing has those words");
    sitting.types("\\\\");
    assert!(sitting.model.overlays.is_empty());
}

#[test]
fn the_journal_is_searched_by_crop_too() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("hftomato\n");
    let found: Vec<&str> = sitting.model.acts_shown().iter().map(|row| row.verb.as_str()).collect();
    assert_eq!(found, ["count", "sow", "lot add"], "the count's own sentence has no crop in it");
}

#[test]
fn an_old_act_is_undone_with_what_depends_on_it_only_when_asked() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("p12\n");
    sitting.types("hfcount\n");
    assert_eq!(sitting.model.page(), Page::Journal);
    assert_eq!(sitting.model.acts_shown().len(), 1);
    let before = sitting.acts();
    sitting.types("x");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Question(_))), "{}", sitting.trouble());
    sitting.types("n");
    assert_eq!(sitting.acts(), before);
    sitting.types("xy");
    assert_eq!(sitting.newest().0, "undo");
    let state = sitting.desk.state(desk::today()).unwrap();
    assert_eq!(state.parts.values().map(|part| part.standing()).sum::<u32>(), 0);
}

#[test]
fn another_day_is_read_and_not_written() {
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    sitting.types("d");
    assert_eq!(sitting.model.board.on, desk::today().pred_opt().unwrap());
    sitting.types("c5\n").types("s").types("u");
    assert_eq!(sitting.acts(), before);
    assert!(sitting.model.overlays.is_empty());
    assert!(sitting.trouble().contains("not today"), "{}", sitting.trouble());
    sitting.types("T");
    assert_eq!(sitting.model.board.on, desk::today());
}

#[test]
fn the_demonstration_is_dated_by_its_own_day() {
    let mut sitting = Sitting::demo();
    sitting.types("a");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(_))), "today's first line can be done");
    sitting.types("fl\n");
    assert_eq!((sitting.newest().0, sitting.newest().1), ("move".to_owned(), DEMO_DAY));
    sitting.tell(Message::NewDay(desk::today()));
    assert_eq!(sitting.model.board.on, DEMO_DAY);
}

#[test]
fn one_key_does_what_a_line_of_the_evening_says() {
    let mut sitting = Sitting::demo();
    sitting.types("n");
    assert_eq!(sitting.model.page(), Page::Tonight);
    let words = sitting.model.evening()[0].doing.unwrap().to_owned();
    let before = (sitting.acts(), sitting.model.evening().len());
    sitting.keys = 0;
    sitting.types("a");
    sitting.took_at_most(1);
    assert_eq!(sitting.acts(), before.0 + 1);
    // The same words typed on another copy of that day are the same act.
    let mut typed = Sitting::demo();
    typed.types(&format!(":{words}\n"));
    assert_eq!(sitting.newest(), typed.newest());
    // What may stay has nothing to do, and the key says nothing and does nothing.
    let stays = sitting.model.evening().iter().position(|row| row.doing.is_none());
    let cursor = thumbpot::tui::model::Cursor { section: Section::Dusk, index: stays.unwrap() };
    sitting.model.set_cursor(cursor);
    sitting.types("a");
    assert_eq!(sitting.acts(), before.0 + 1);
}

#[test]
fn a_stale_answer_is_dropped() {
    let mut sitting = Sitting::with(GARDEN);
    let effects = update(&mut sitting.model, Message::Stale);
    let late = answer(&mut sitting.desk, effects.into_iter().next().unwrap()).unwrap();
    sitting.on(2).types("c54\n");
    let up = |sitting: &Sitting| sitting.model.board.germination.iter().map(|row| row.up).sum::<u32>();
    let known = up(&sitting);
    sitting.tell(late);
    assert_eq!(up(&sitting), known, "an older look must not take the count back off the screen");
}

#[test]
fn seed_in_a_place_too_hot_is_not_put_out_for_the_day() {
    let mut sitting = Sitting::with(&format!("{GARDEN}reading sill --now 50C\n"));
    assert!(matches!(sitting.model.due()[0].what, thumbpot::advice::Task::CoolDown(_)), "{:?}", sitting.model.due()[0]);
    sitting.types("O");
    assert!(
        sitting.model.overlays.is_empty() && sitting.trouble().contains("nothing is up there"),
        "{}",
        sitting.trouble()
    );
    // By its number it is the grower's own choice.
    sitting.types("2O");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Form(_))), "{}", sitting.trouble());
}

/// Two batches that were out together yesterday, and one that never was.
const CARRIED: &str = "
place add sill --kind windowsill --on -40d
place add frame --kind 'cold frame' --on -40d
bench add sill/kitchen --size 2400x900mm --on -40d
bench add frame/left --size 1200x600mm --on -40d
sow tomato 'Copper Lantern' --seeds 24 --in half-tray --at sill/kitchen --on -24d
count 1 15 --on -14d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/kitchen --on -24d
count 2 50 --on -10d
sow lettuce 'Green Fold' --seeds 12 --in half-tray --at sill/kitchen --on -20d
count 3 10 --on -12d
sow lettuce 'Red Fold' --seeds 12 --in half-tray --at frame/left --on -20d
count 4 10 --on -12d
sow basil 'Warm Yard' --seeds 12 --in half-tray --at sill/kitchen --on -2d
out 1a 2a frame --on -1d
in --on -1d
";

/// On a batch's page the keys of the day are that batch's; elsewhere they are the group's, or of what is marked.
#[test]
fn out_and_in_on_a_batchs_page_are_of_that_batch() {
    let mut sitting = Sitting::with(CARRIED);
    let acts = sitting.acts();
    sitting.types("3\n").types("o");
    assert_eq!(sitting.newest().2, "3a out for the day in frame");
    assert_eq!(sitting.acts(), acts + 1);
    sitting.types("o");
    assert_eq!((sitting.acts(), sitting.trouble().as_str()), (acts + 1, "3 lettuce is out already"));
    // The page of another has nothing to bring home, and leaves that one out.
    sitting.types("q1\n").types("i");
    assert_eq!((sitting.acts(), sitting.trouble().as_str()), (acts + 1, "nothing of 1 tomato is out for the day"));
    sitting.types("q4\n").types("o");
    let elsewhere = "nothing of 4 lettuce is in a house to go out; O puts it out elsewhere";
    assert_eq!((sitting.acts(), sitting.trouble().as_str()), (acts + 1, elsewhere));
    sitting.types("q5\n").types("o");
    assert_eq!(sitting.trouble(), "nothing of 5 basil is up, so nothing goes out");
    // What the page did is one act, and taken back as one.
    sitting.types("q1\n").types("o").types("q3\n").types("i");
    assert_eq!(sitting.newest().2, "3a home again");
    let out = |sitting: &Sitting| {
        let state = sitting.desk.state(desk::today()).unwrap();
        state.containers.values().filter(|held| held.out.is_some()).count()
    };
    assert_eq!(out(&sitting), 1, "the tomatoes stay out");
    sitting.types("u");
    assert_eq!(out(&sitting), 2);
    // A number typed, or marks, say which; without either the morning brings all home.
    sitting.types("q").types("3i");
    assert_eq!((sitting.newest().2.as_str(), out(&sitting)), ("3a home again", 1));
    sitting.types("2oframe\n");
    assert_eq!(out(&sitting), 2);
    sitting.types("i");
    assert_eq!(out(&sitting), 0);
    sitting.types("i");
    assert_eq!(sitting.trouble(), "nothing is out for the day");
}
