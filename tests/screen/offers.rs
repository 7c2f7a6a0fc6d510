//! The bench that a form offers by itself is one where what comes there is well: with room, safe tonight, and in the light
//! where shoots want it. Where that is not the bench of last time, it says why.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::sitting::Sitting;
use thumbpot::tui::form::{Form, Takes};
use thumbpot::tui::model::Overlay;

const GARDEN: &str = "
place add cupboard --kind 'airing cupboard' --on -40d
place add greenhouse --kind greenhouse --on -40d
place add kitchen --kind windowsill --on -40d
place add propagator --kind propagator --on -40d
bench add cupboard/slats --size 900x500mm --on -40d
bench add greenhouse/end --size 250x200mm --on -40d
bench add kitchen/sill --size 1200x600mm --on -40d
bench add propagator/mat --size 800x480mm --on -40d
sow tomato 'Red Pear' --seeds 20 --in half-tray --at propagator/mat --on -24d
sow basil 'Warm Yard' --seeds 20 --in half-tray --at propagator/mat --on -20d
count 1a 15 --on -10d
count 2a 15 --on -8d
reading greenhouse --min 8 --max 20 --on today
";

fn form(sitting: &Sitting) -> &Form {
    match sitting.model.overlays.last() {
        Some(Overlay::Form(form)) => form,
        other => panic!("{other:?}; {}", sitting.trouble()),
    }
}

/// The bench that stands in a field.
fn offered(sitting: &Sitting, label: &str) -> String {
    let field = form(sitting).fields.iter().find(|field| field.label == label).unwrap();
    field.chosen().unwrap().shown.clone()
}

#[test]
fn a_bench_that_is_full_is_followed_by_one_in_the_same_place_or_in_the_light_and_it_is_said() {
    let garden = format!("{GARDEN}sow leek 'Long Furrow' --seeds 24 --in half-tray --at greenhouse/end --on -1d\n");
    let mut sitting = Sitting::with(&garden);
    sitting.types("sleek\n30\n\n");
    assert_eq!(form(&sitting).fields[form(&sitting).focus].label, "at", "not gone past unseen");
    assert_eq!(offered(&sitting, "at"), "kitchen/sill");
    let about = form(&sitting).about.clone();
    assert!(about.contains("greenhouse/end is full: kitchen/sill instead"), "{about}");
    sitting.types("\n");
    assert!(sitting.newest().2.contains("kitchen/sill"), "{}", sitting.newest().2);
    // Beside it in the same place nothing is asked, and it is said all the same.
    let mut sitting = Sitting::with(&format!("{garden}bench add greenhouse/west --size 1200x600mm --on -40d\n"));
    sitting.types("sleek\n30\n");
    assert_eq!(offered(&sitting, "at"), "greenhouse/west");
    assert!(form(&sitting).about.contains("greenhouse/west instead"), "{}", form(&sitting).about);
    sitting.types("\n");
    assert!(sitting.newest().2.contains("greenhouse/west"), "{}", sitting.newest().2);
}

#[test]
fn nothing_is_offered_by_itself_where_tonight_harms_it() {
    let frost = "
place add frame --kind 'cold frame' --on -40d
bench add frame/left --size 1200x600mm --on -40d
pot-on 1a 2 --into 9cm-pot --at frame/left --on -2d
forecast set tomorrow --low -6 --high 4
";
    for keys in ["1am", "1ap"] {
        let mut sitting = Sitting::with(&format!("{GARDEN}{frost}"));
        sitting.types(keys);
        let label = if keys == "1am" { "to" } else { "at" };
        let bench = offered(&sitting, label);
        assert!(bench == "kitchen/sill" || bench == "greenhouse/end" && keys == "1am", "{keys}: {bench}");
        let field = form(&sitting).fields.iter().find(|field| field.label == label).unwrap();
        let frame = field.fitting().into_iter().find(|choice| choice.shown == "frame/left").unwrap().beside.clone();
        assert!(frame.contains("too cold"), "{keys}: {frame}");
        if label == "at" {
            let about = &form(&sitting).about;
            assert!(about.contains("frame/left is too cold for them tonight: kitchen/sill instead"), "{about}");
        }
    }
}

#[test]
fn shoots_among_others_are_offered_the_light() {
    let mut sitting = Sitting::with(&format!("{GARDEN}pot-on 1a 3 --into 9cm-pot --at kitchen/sill --on -1d\n"));
    let mut marked = sitting.model.board.state.parts.keys().copied().collect::<Vec<_>>();
    marked.reverse();
    sitting.model.marked.extend(marked);
    sitting.types("m");
    let to = form(&sitting).fields[0].fitting().into_iter().map(|choice| choice.shown.clone()).collect::<Vec<_>>();
    assert_eq!(to[0], "kitchen/sill", "{to:?}");
    let dark = |spot: &String| spot.starts_with("propagator") || spot.starts_with("cupboard");
    assert!(to[to.len() - 2..].iter().all(dark), "{to:?}");
}

#[test]
fn a_bench_says_nothing_of_trays_where_pots_are_meant() {
    let mut sitting = Sitting::with(GARDEN);
    sitting.types("sleek Long Furrow\n12\n9cm-potx4\n");
    let said: Vec<String> = form(&sitting).field().unwrap().fitting().iter().map(|one| one.beside.clone()).collect();
    assert!(said.iter().all(|beside| !beside.contains("tray")), "{said:?}");
}

#[test]
fn sowing_again_begins_with_the_packet_and_the_number_advised() {
    let garden = "
place add kitchen --kind windowsill --on -60d
bench add kitchen/sill --size 1200x600mm --on -60d
lot add lettuce 'Red Pear' --packed 2019 --stated 90% --seeds 60 --on -60d
lot add lettuce 'Red Pear' --packed 2025 --stated 90% --seeds 60 --on -60d
sow lettuce 'Red Pear' --packed 2019 --seeds 20 --in half-tray --at kitchen/sill --on -40d
reading kitchen --compost 20 --on -40d
count 1a 0 --on -20d
count 1a 0 --on -2d
";
    let mut sitting = Sitting::with(garden);
    let due = &sitting.model.board.due;
    let row = due.iter().position(|row| row.reason.contains("more of Red Pear 2025 (60 left)"));
    let row = row.unwrap_or_else(|| panic!("{due:#?}"));
    sitting.types(&"j".repeat(row)).types("a");
    assert_eq!(offered(&sitting, "what"), "lettuce Red Pear 2025");
    let seeds = sitting.model.board.germination[0].outlook.as_ref().unwrap().again.as_ref().unwrap().seeds;
    let number = form(&sitting).fields[1].input.value().to_owned();
    assert_eq!((number, seeds != 20), (seeds.to_string(), true), "not last time's");
    // Gone through with Enter alone it asks, and says why it is filled in so and why it asks.
    sitting.types("\n\n\n\n\n");
    let Some(Overlay::Question(question)) = sitting.model.overlays.last() else { panic!("{}", sitting.trouble()) };
    for told in
        ["as advised, again for 1, failed with 0 of the ", "Nothing was changed, and Enter alone uses up no seed"]
    {
        assert!(question.line.contains(told), "{}", question.line);
    }
    sitting.types("\\\\");
    // The same key elsewhere is a sowing like any other.
    sitting.types("s");
    assert_eq!(offered(&sitting, "what"), "lettuce Red Pear 2019");
}

/// What is said beside a choice of the bench.
fn beside(sitting: &Sitting, label: &str, shown: &str) -> String {
    let field = form(sitting).fields.iter().find(|field| field.label == label).unwrap();
    let Takes::OneOf { choices, .. } = &field.takes else { panic!("{label} takes anything") };
    choices.iter().find(|choice| choice.shown == shown).unwrap().beside.clone()
}

const POTS: &str = "
place add k --kind room --on -40d
bench add k/a --size 400x300mm --on -40d
bench add k/big --size 2000x600mm --on -40d
bench add k/tab --size 900x110mm --on -40d
bench add k/low --size 900x500mm --headroom 30..30mm --on -40d
bench add k/b --size 400x300mm --on -40d
carrier add blue --in carrier --at k/b --on -40d
sow tomato 'Red Pear' --seeds 8 --in 9cm-potx8 --at blue --on -2d
sow tomato 'Red Pear' --seeds 9 --in seed-tray --at k/big --on -1d
";

#[test]
fn a_set_of_any_size_is_offered_a_bench_that_holds_it_and_no_carrier_that_is_full() {
    let mut sitting = Sitting::with(POTS);
    sitting.types("sonion Red Hoop\n40\n9cm-potx40\n");
    assert_eq!(offered(&sitting, "at"), "k/big", "{:?}", form(&sitting).fields);
    assert!(beside(&sitting, "at", "k/big").starts_with("room for 1"), "{}", beside(&sitting, "at", "k/big"));
    assert_eq!(beside(&sitting, "at", "blue"), "no room for a 9cm-pot now");
    assert_eq!(beside(&sitting, "at", "k/a"), "room for 12 9cm-pot now, not 40");
}

#[test]
fn a_bench_or_carrier_on_which_it_never_goes_is_not_said_to_have_room_once_others_move() {
    let mut sitting = Sitting::with(POTS);
    sitting.types("2m");
    assert_eq!(beside(&sitting, "to", "k/tab"), "smaller than what is to go there");
    assert_eq!(beside(&sitting, "to", "k/low"), "too tall for its roof within a week");
    assert_eq!(beside(&sitting, "to", "blue"), "carrier: no room for them");
    assert_eq!(offered(&sitting, "to"), "k/a");
}

/// Plants that live under glass to harden are potted on where they are as cool, not into the house where others went last.
#[test]
fn what_lives_out_of_the_house_is_potted_on_as_cool() {
    let garden = "
place add frame --kind 'cold frame' --on 2026-01-01
place add kitchen --kind windowsill --on 2026-01-01
place add lights --kind 'lit shelf' --on 2026-01-01
bench add frame/left --size 1200x600mm --on 2026-01-01
bench add kitchen/sill --size 1200x600mm --on 2026-01-01
bench add lights/top --size 1200x600mm --on 2026-01-01
sow cabbage First --seeds 20 --in half-tray --at kitchen/sill --on 2026-03-01
count 1a 12 --on 2026-03-10
move 1a frame/left --on 2026-03-25
sow tomato First --seeds 20 --in half-tray --at kitchen/sill --on 2026-03-10
count 2a 15 --on 2026-03-20
pot-on 2a 15 --into 9cm-potx15 --at lights/top --on 2026-04-01
forecast set 2026-04-11 --low 6 --high 14 --on 2026-04-10
";
    let sitting = |more: &str| {
        let mut sitting = Sitting::of_day(&format!("{garden}{more}"), "2026-04-10".parse().unwrap());
        sitting.on(1).types("p");
        sitting
    };
    let as_cool = sitting("");
    assert_eq!(offered(&as_cool, "at"), "frame/left", "{}", form(&as_cool).about);
    // Where there is no room, under other glass; and in the house where the night outside is too cold.
    let full = "place add green --kind greenhouse --on 2026-01-01
bench add green/end --size 1200x600mm --on 2026-01-01
sow leek First --seeds 24 --in 24-cellx8 --at frame/left --on 2026-04-09\n";
    let crowded = sitting(full);
    assert_eq!(offered(&crowded, "at"), "green/end", "{}", form(&crowded).about);
    let frosty = sitting("forecast set 2026-04-11 --low -12 --high 4 --on 2026-04-10\n");
    assert!(!offered(&frosty, "at").starts_with("frame"), "{}", form(&frosty).about);
}

/// What the list waits for is said by the form that plants all the same.
#[test]
fn the_form_for_planting_out_says_what_speaks_against_it() {
    let mut garden = String::from(
        "place add veg --kind plot --on 2026-01-01
place add kitchen --kind windowsill --on 2026-01-01
place add yard --kind 'standing ground' --on 2026-01-01
bench add kitchen/sill --size 1200x600mm --on 2026-01-01
sow tomato First --seeds 12 --in 9cm-potx12 --at kitchen/sill --on 2026-03-10
count 1 12 --on 2026-03-22
reading veg --soil 17 --on 2026-05-26\n",
    );
    for day in 1..=25 {
        garden.push_str(&format!("out 1a yard --on 2026-05-{day:02}\nin 1a --on 2026-05-{day:02}\n"));
    }
    for day in 27..=31 {
        garden.push_str(&format!("forecast set 2026-05-{day} --low 9 --high 19 --on 2026-05-26\n"));
    }
    let mut sitting = Sitting::of_day(&garden, "2026-05-26".parse().unwrap());
    let waits = sitting.model.due().iter().find(|due| due.waits_for().is_some()).unwrap().reason.clone();
    assert!(waits.contains("in 10 that leaves fall under") || waits.contains("about 1 in"), "{waits}");
    sitting.on(1).types("f");
    let hint = form(&sitting).fields[form(&sitting).focus].hint.clone();
    assert!(hint.starts_with("of 12 standing; not yet: the night to"), "{hint}");
    let odds = waits.rsplit(": ").next().unwrap().split(';').next().unwrap();
    assert!(hint.contains(odds), "{hint} against {waits}");
}

/// Of several parts one that waits is spoken of before one that has only a remark, however long.
#[test]
fn the_form_for_planting_out_speaks_of_the_part_that_waits() {
    let mut garden = String::from(
        "place add veg --kind plot --on 2026-01-01
place add kitchen --kind windowsill --on 2026-01-01
place add yard --kind 'standing ground' --on 2026-01-01
bench add kitchen/sill --size 1200x600mm --on 2026-01-01
bench add kitchen/wide --size 1200x600mm --on 2026-01-01
sow tomato First --seeds 12 --in 9cm-potx12 --at kitchen/sill --on 2026-03-28
count 1 12 --on 2026-04-08
move 1a kitchen/wide --count 6 --on 2026-04-20
reading veg --soil 14.5 --on 2026-06-05\n",
    );
    for day in 10..=29 {
        garden.push_str(&format!("out 1a yard --on 2026-05-{day:02}\nin 1a --on 2026-05-{day:02}\n"));
    }
    garden.push_str("move 1a yard --on 2026-05-30\n");
    for day in 5..=11 {
        garden.push_str(&format!("forecast set 2026-06-{day:02} --low 12 --high 18 --on 2026-06-05\n"));
    }
    let mut sitting = Sitting::of_day(&garden, "2026-06-05".parse().unwrap());
    let rows = &sitting.model.board.cold.plant_out;
    let lacking = |waits: bool| rows.iter().find(|row| row.waits == waits).unwrap().lacking.join("; ");
    assert!(lacking(false).len() > lacking(true).len(), "{} against {}", lacking(false), lacking(true));
    sitting.on(1).types("f");
    let hints: String = form(&sitting).fields.iter().map(|field| field.hint.as_str()).collect();
    assert!(hints.contains("not yet: not hardened off") && !hints.contains("all the same"), "{hints}");
}

/// The heat of the day is on the page before dusk of a telephone too.
#[test]
fn the_days_heat_is_said_on_forty_columns() {
    let mut sitting = Sitting::of_day(
        "place add frame --kind 'cold frame' --on 2026-01-01
place add kitchen --kind windowsill --on 2026-01-01
bench add frame/left --size 1200x600mm --on 2026-01-01
bench add kitchen/sill --size 1200x600mm --on 2026-01-01
sow lettuce First --seeds 24 --in 24-cell --at kitchen/sill --on 2026-03-10
count 1 20 --on 2026-03-20
move 1a frame/left --on 2026-04-10
forecast set 2026-04-26 --low 5 --high 20 --on 2026-04-25
reading frame --now 41 --on 2026-04-25
reading frame --now 24 --on 2026-04-25\n",
        "2026-04-25".parse().unwrap(),
    );
    let mut drawn = |keys: &str, (columns, rows): (u16, u16)| {
        sitting.types(keys);
        let mut terminal = ratatui::Terminal::new(ratatui::backend::TestBackend::new(columns, rows)).unwrap();
        let look = thumbpot::tui::theme::Look::from_environment(false, "xterm", None);
        terminal.draw(|frame| thumbpot::tui::view::view(&sitting.model, look, frame)).unwrap();
        terminal.backend().to_string()
    };
    for size in [(40, 20), (80, 24)] {
        let (morning, dusk) = (drawn("", size), drawn("n", size));
        assert!(morning.contains("frame was 41.0 C today"), "{morning}");
        assert!(dusk.contains("frame was 41.0 C today") && dusk.contains("1a"), "{dusk}");
        drawn("q", size);
    }
}
