//! What is said to the grower is read by the grower: cautions and cold nights whole and first, whatever the screen; a key
//! that is not taken logs nothing; and what a row says is explained by that row's own figures.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::sitting::Sitting;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use thumbpot::desk;
use thumbpot::trade::{Trade, Work};
use thumbpot::tui::form::Takes;
use thumbpot::tui::model::{Overlay, Page};
use thumbpot::tui::rows::Section;
use thumbpot::tui::theme::Look;
use thumbpot::tui::view::view;

const GARDEN: &str = "
place add propagator --kind propagator --on -40d
place add sill --kind windowsill --on -40d
place add frame --kind 'cold frame' --on -40d
place add fridge --kind fridge --on -40d
bench add propagator/mat --size 800x480mm --on -40d
bench add sill/kitchen --size 1200x600mm --on -40d
bench add frame/left --size 1200x600mm --on -40d
sow tomato 'Copper Lantern' --seeds 24 --in half-tray --at propagator/mat --on -24d
count 1a 15 --on -14d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at frame/left --on -12d
reading frame --min 4 --max 18 --on -1d
reading sill --min 14 --max 20 --on -3d
own 9cm-pot 20 --on -20d
";

fn drawn(sitting: &Sitting, (columns, rows): (u16, u16)) -> Vec<String> {
    let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
    terminal.draw(|frame| view(&sitting.model, Look::from_environment(false, "xterm", None), frame)).unwrap();
    let buffer = terminal.backend().buffer();
    (0..rows).map(|y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect()).collect()
}

/// Without the blanks, so that it does not matter where a line was broken.
fn packed(text: &str) -> String {
    text.split_whitespace().collect()
}

const SIZES: [(u16, u16); 4] = [(40, 20), (80, 24), (120, 40), (200, 60)];

#[test]
fn a_caution_is_shown_whole_before_what_is_merely_worth_knowing_and_undo_stands_last() {
    let trade = Trade::built_in().unwrap();
    let general: Vec<String> = [Work::Sowing, Work::Potting]
        .iter()
        .flat_map(|work| trade.cautions(*work, None))
        .map(|caution| caution.text.clone())
        .collect();
    let mut sitting = Sitting::with(GARDEN);
    for sowing in ["stomato Dawn Rib\n20\n\n", "sleek Grey Post\n20\n\n"] {
        sitting.types(sowing);
        let notice = sitting.model.notice.clone().unwrap();
        let told = general.iter().position(|text| notice.line.contains(text));
        let told = told.unwrap_or_else(|| panic!("{}\n{general:?}", notice.line));
        for size in SIZES {
            let screen = drawn(&sitting, size);
            let said = packed(&screen.concat());
            assert!(said.contains(&packed(&general[told])), "{size:?}: {screen:#?}");
            let (caution, trivia) = (said.find(&packed(&general[told])), said.find(&packed("noted as new seed")));
            assert!(trivia.is_none_or(|trivia| caution.unwrap() < trivia), "{size:?}: {screen:#?}");
            let below = said.split("uundo").collect::<Vec<_>>();
            assert!(below.len() >= 2, "{size:?}: {screen:#?}");
            assert!(caution.unwrap() < below[0].len(), "{size:?}: {screen:#?}");
        }
        assert!(drawn(&sitting, (80, 24)).concat().contains("Today"), "the page stays above it");
    }
    // The next key that does something gives the keys back.
    sitting.types("j");
    assert!(drawn(&sitting, (80, 24))[23].contains("? all keys"));
}

#[test]
fn a_night_too_cold_is_told_whole_when_plants_go_out() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types(":forecast set tomorrow --low -6 --high 4\n");
    sitting.on(1).types("Oframe\n");
    let notice = sitting.model.notice.clone().unwrap().line;
    let night = notice.lines().nth(1).unwrap().to_owned();
    assert!(night.contains("tomato"), "{notice}");
    assert!(!notice.contains(&desk::today().format("%Y-").to_string()), "days as they are said: {notice}");
    for size in SIZES {
        let screen = drawn(&sitting, size);
        assert!(packed(&screen.concat()).contains(&packed(&night)), "{size:?}: {screen:#?}");
    }
}

#[test]
fn spaces_lead_to_the_day_whatever_the_benches_are_called() {
    // There is an o in propagator: that letter narrows the list.
    let mut sitting = Sitting::with(GARDEN);
    let before = sitting.acts();
    // On past the container to the bench: an o is in its name, and -9d belongs to none.
    sitting.types("stomato Copper Lantern\n12  o-9d\n");
    assert_eq!(sitting.acts(), before, "letters that were refused are not passed over");
    assert!(sitting.trouble().contains("o-9d in it"), "{}", sitting.trouble());
    sitting.types("\\");
    sitting.types("stomato Copper Lantern\n12    -9d\n");
    let (verb, on, _) = sitting.newest();
    assert_eq!((verb.as_str(), on), ("sow", desk::today() - chrono::Days::new(9)), "{}", sitting.trouble());
    // The same from a number, and a blank inside a name stays one.
    sitting.on(1).types("c16 -3d\n");
    assert!(sitting.model.overlays.is_empty(), "{}", sitting.trouble());
    assert_eq!(sitting.newest().1, desk::today() - chrono::Days::new(3));
}

/// The screens of a text that is turned over line by line to its end, one after another.
fn read_through(sitting: &mut Sitting, size: (u16, u16)) -> String {
    let mut screens = String::new();
    for _ in 0..400 {
        let screen = drawn(sitting, size);
        screens.push_str(&packed(&screen.concat()));
        if screen[1].contains("the end") || !screen[1].contains(", j") {
            break;
        }
        sitting.types("j");
    }
    screens
}

#[test]
fn a_small_screen_reaches_all_that_is_known_of_the_night() {
    for size in [(40, 20), (80, 24)] {
        let mut sitting = Sitting::demo();
        sitting.types("n");
        let page = drawn(&sitting, size).concat();
        assert!(page.contains("n reads all:"), "{size:?}: {page}");
        assert!(page.contains("bring in") && page.contains("fleece"), "what is to be done is in sight");
        sitting.types("n");
        let said = read_through(&mut sitting, size);
        for place in &sitting.model.board.cold.places {
            assert!(said.contains(&packed(place.name.as_str())), "{size:?}: {}: {said}", place.name);
        }
        let all = thumbpot::tui::plain::plain(&sitting.model);
        let notes: Vec<&String> = all.iter().filter(|line| line.contains("a screen is not a leaf")).collect();
        assert!(!notes.is_empty(), "{all:#?}");
        for line in notes {
            assert!(said.contains(&packed(line)), "{size:?}: {line}: {said}");
        }
        assert!(said.contains("Nightsahead"), "{size:?}");
        assert_eq!(sitting.types("q").model.page(), Page::Tonight);
    }
}

#[test]
fn why_is_read_to_its_sources_and_says_how_much_is_left() {
    for (keys, size) in [("nw", (80, 24)), ("w", (40, 20)), ("Iw", (40, 20))] {
        let mut sitting = Sitting::demo();
        sitting.types(keys);
        assert!(drawn(&sitting, size)[1].contains(" more line"), "{keys}: {:?}", drawn(&sitting, size));
        let Some(Overlay::Why { why, .. }) = sitting.model.overlays.last().cloned() else { panic!("{keys}") };
        let said = read_through(&mut sitting, size);
        assert!(!said.contains('`'), "a key, not a command: {said}");
        for source in &why.sources {
            // The last words: what is long may begin on a screen before.
            let text = source.to_string();
            let words: Vec<&str> = text.split_whitespace().collect();
            let end = packed(&words[words.len().saturating_sub(4)..].concat());
            assert!(said.contains(&end), "{keys} {size:?}: {text}: {said}");
        }
    }
}

#[test]
fn a_bench_says_what_is_free_of_it_at_every_width() {
    let mut sitting = Sitting::demo();
    sitting.types("b");
    for size in [(40, 20), (66, 24), (80, 24), (120, 40), (200, 60)] {
        let screen = drawn(&sitting, size);
        let rules: Vec<&String> = screen.iter().filter(|line| line.contains("/") && line.contains("──")).collect();
        let free = rules.iter().filter(|line| line.contains(" free")).count();
        assert!(free > 0, "{size:?}: {screen:#?}");
    }
}

#[test]
fn a_reading_takes_seven_keys_where_the_grower_is() {
    let mut sitting = Sitting::with(GARDEN);
    // From the row of what stands in the frame, and from the page of the frame.
    for page in ["", "M"] {
        sitting.on(2).types(page);
        assert_eq!(matches!(sitting.model.page(), Page::Place(_)), !page.is_empty());
        sitting.keys = 0;
        sitting.types("R\n2\n19\n");
        sitting.took_at_most(7);
        assert!(sitting.newest().2.starts_with("frame"), "{}", sitting.newest().2);
        sitting.types("u");
    }
    // Elsewhere its first letter finds it: what is read comes before what never was.
    sitting.types("\\").on(1).types("Rf\n2\n19\n");
    assert!(sitting.newest().2.starts_with("frame"), "{}", sitting.newest().2);
}

/// What a field of the open form holds when nothing is typed in it.
fn stands_in(sitting: &Sitting, label: &str) -> String {
    let Some(Overlay::Form(form)) = sitting.model.overlays.last() else { panic!("no form") };
    let field = form.fields.iter().find(|field| field.label == label).unwrap();
    field.chosen().map(|choice| choice.shown.clone()).unwrap_or_default()
}

#[test]
fn what_a_form_begins_with_is_what_can_be_done() {
    let mut sitting = Sitting::with(GARDEN);
    // Out of the warm and dark into the light.
    sitting.on(1).types("p");
    assert_eq!(stands_in(&sitting, "at"), "sill/kitchen");
    sitting.types("\\");
    // A set of twelve is meant as a set of twelve again.
    sitting.types("sonion Red Hoop\n12 9cm-potx12\n\n").types("s");
    assert_eq!(stands_in(&sitting, "in"), "9cm-potx12");
    sitting.types("\\");
    // Nothing goes out into the frame it stands in.
    sitting.on(2).types("O");
    let Some(Overlay::Form(form)) = sitting.model.overlays.last() else { panic!("no form") };
    let Takes::OneOf { choices, .. } = &form.fields[0].takes else { panic!("no list") };
    assert!(choices.iter().all(|choice| choice.shown != "frame") && choices.len() == 3, "{choices:?}");
}

#[test]
fn why_of_a_bench_and_of_a_kind_has_that_rows_own_figures() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.on(1).types("b");
    let row = (0..sitting.model.len(Section::Standing))
        .find(|at| sitting.model.subject_at(Section::Standing, *at).parts.len() == 1)
        .unwrap();
    sitting.types(&"j".repeat(row)).types("w");
    let why = drawn(&sitting, (120, 40)).join("\n");
    // The mat's sides, and a half-tray's own with its source: no figure of another bench.
    let on = why.contains("800 x 480 mm = 0.38 m2") && why.contains("1a half-tray");
    let other = why.contains("1200 x 600 mm = 0.72 m2") && why.contains("2a 72-cell");
    assert!(on != other && why.contains("free: "), "{why}");
    assert!(!why.contains("common practice, no source (common practice)"), "{why}");
    sitting.types("qq").types("bI");
    let pots = sitting.model.in_hand.as_ref().unwrap().rows.iter().position(|row| row.name.as_str() == "9cm-pot");
    sitting.types(&"j".repeat(pots.unwrap())).types("w");
    let why = drawn(&sitting, (120, 40)).join("\n");
    assert!(why.contains("9cm-pot in hand") && why.contains("owned: 20"), "{why}");
    assert!(why.contains("in use together: 0") && why.contains("clean: 20"), "{why}");
}

#[test]
fn a_round_asks_before_it_notes_growth_where_nothing_is_up_and_says_what_it_does_not_do() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types(":sow basil 'Warm Yard' --seeds 30 --in seed-tray --at sill/kitchen --on -3d\n");
    sitting.types("W");
    let Some(Overlay::Menu(menu)) = sitting.model.overlays.last() else { panic!("no list of places") };
    let key = menu.items.iter().find(|(_, words, _)| words.starts_with("sill")).unwrap().0;
    sitting.types(&key.to_string());
    let before = sitting.acts();
    // No question, which the next letter would answer: y is leggy too.
    for keys in ["y", "r"] {
        sitting.types(keys);
        assert!(sitting.model.overlays.is_empty(), "{:?}", sitting.model.overlays);
        assert!(sitting.trouble().contains("count it first"), "{}", sitting.trouble());
    }
    assert_eq!(sitting.acts(), before);
    // Whoever types how many leaves saw them, though nothing was counted yet.
    sitting.types("g2");
    assert!(sitting.newest().2.contains("2 true leaves"), "{} {:?}", sitting.newest().2, sitting.model.overlays);
    sitting.types("C");
    assert!(sitting.trouble().contains("without cells"), "{}", sitting.trouble());
}

/// The keys of each journey from the page as it is opened, nothing put under the cursor beforehand: the batch is said by
/// its number.
#[test]
fn every_journey_is_as_short_from_the_page_as_opened() {
    for (keys, most, said) in [
        ("stom\n24\n\n", 10, "24 seeds"),
        ("2c9\n", 4, "2a: 9 up"),
        ("1mfl\n", 5, "1a moved to frame/left"),
        ("1p9\n", 5, "9 pricked out from 1a"),
        ("2O\n", 3, "2a out for the day"),
    ] {
        let mut sitting = Sitting::with(GARDEN);
        sitting.types(keys);
        assert!(sitting.newest().2.contains(said), "{keys:?}: {} {}", sitting.newest().2, sitting.trouble());
        sitting.took_at_most(most);
    }
    // A group that went out once goes by one key, and comes home by one.
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("2O\n").types("i");
    sitting.keys = 0;
    sitting.types("o");
    sitting.took_at_most(2);
    assert_eq!(sitting.newest().0, "out");
}

/// Grass can be 4 to 5 C under the screen on a clear still night (a weather reference page, in `assets/microclimate.csv`): the
/// figure that stands beside "safe" is the leaves', and says so.
#[test]
fn what_the_morning_calls_safe_is_leaves() {
    let sitting = Sitting::with(
        "place add frame --kind 'cold frame' --on -90d
         place add greenhouse --kind greenhouse --on -90d
         bench add frame/left --size 1200x600mm --on -90d
         bench add greenhouse/left --size 1200x600mm --on -90d
         sow leek First --seeds 20 --in half-tray --at frame/left --on -60d
         sow pea First --seeds 20 --in half-tray --at greenhouse/left --on -60d
         count 1 20 --on -40d
         count 2 20 --on -40d
         forecast set tomorrow --low 7 --high 14",
    );
    let places = &sitting.model.board.cold.places;
    let (low, leaf) = (places[0].low.unwrap(), places[0].leaf_low.unwrap());
    assert!(leaf.0 < low.0 - 0.2, "{leaf} {low}");
    let strip = |size| drawn(&sitting, size)[2].trim_end().to_owned();
    let said = |at: usize, crop| {
        let (leaf, (.., floor)) = (places[at].leaf_low.unwrap(), places[at].tenderest.clone().unwrap());
        format!("{} {:.1}, {crop} to {:.1}", places[at].name, leaf.0, floor.0)
    };
    let wide = format!(" ✓ leaves safe: {} · {}", said(0, "leek"), said(1, "pea"));
    assert_eq!((strip((80, 24)), strip((40, 20))), (wide, " ✓ leaves safe: frame · greenhouse".to_owned()));
}
