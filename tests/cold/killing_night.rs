//! A night that kills: everything tender is offered somewhere that saves it, no form chooses a place that would not, and the
//! morning says what the night wants. The real binary, and a grower at the screen.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::command_line::Home;
use crate::sitting::Sitting;
use serde_json::Value;
use thumbpot::advice::Task;
use thumbpot::desk;
use thumbpot::tui::model::Overlay;

/// A sill too narrow for the tray, a frame that will freeze, and a propagator in the dark.
const HOUSE: &str = "place add kitchen --kind windowsill --on 2024-01-01
     place add frame --kind 'cold frame' --on 2024-01-01
     place add propagator --kind propagator --heated-to 18C --on 2024-01-01
     bench add kitchen/sill --size 900x200mm --on 2024-01-01
     bench add frame/left --size 1200x600mm --on 2024-01-01\n";
const MAT: &str = "bench add propagator/mat --size 1200x600mm --on 2024-01-01\n";
const TOMATO: &str = "sow tomato First --seeds 24 --in 24-cell --at frame/left --on 2024-04-01
     count 1 16 --on 2024-04-14
     forecast set 2024-04-16 --low -3 --high 9 --on 2024-04-15\n";

fn rows(home: &Home, line: &str, row: &str) -> Vec<Value> {
    let all = home.json(line)["rows"].as_array().unwrap().clone();
    all.into_iter().filter(|one| one["row"] == row).collect()
}

fn to_bring_in(home: &Home) -> Vec<Value> {
    rows(home, "cold --on 2024-04-15", "dusk").into_iter().filter(|row| row["move"] == "in").collect()
}

/// Winter-kill list of Dawling and Bezilla: tomato is dead at 0 C.
#[test]
fn every_tender_batch_is_offered_somewhere_that_saves_it() {
    // Dark and warm with room; too small for the tray, so the floor of a warm room.
    for (mat, said, goes) in [
        (MAT, "propagator for tonight, though it is dark", "move 2024/1a propagator/mat"),
        (
            "bench add propagator/mat --size 200x200mm --on 2024-01-01\n",
            "a table or the floor of kitchen",
            "move 2024/1a kitchen/floor",
        ),
    ] {
        let home = Home::empty();
        home.script(&format!("{HOUSE}{mat}{TOMATO}"));
        let row = to_bring_in(&home).remove(0);
        assert!(row["reason"].as_str().unwrap().contains(said), "{row}");
        assert_eq!(row["doing"], goes, "{row}");
        home.does(&format!("{goes} --on 2024-04-15"));
        assert_eq!(to_bring_in(&home), Vec::<Value>::new());
    }
}

/// Where nothing is sure, the best there is is offered, and said to be no more than that.
#[test]
fn the_best_there_is_is_offered_where_nothing_is_sure() {
    let home = Home::empty();
    home.script(&format!(
        "place add frame --kind 'cold frame' --on 2024-01-01
         place add gh --kind greenhouse --heated-to 8C --on 2024-01-01
         bench add frame/left --size 1200x600mm --on 2024-01-01
         bench add gh/one --size 1200x600mm --on 2024-01-01\n{TOMATO}"
    ));
    let row = to_bring_in(&home).remove(0);
    assert!(
        row["reason"].as_str().unwrap().contains("no place is sure to be warm enough; gh is the best there is"),
        "{row}"
    );
    assert_eq!(row["doing"], "move 2024/1a gh/one", "{row}");
}

/// The same house with its days counted from now: the tomatoes are in the propagator, and the frame freezes tonight.
fn dark_and_warm() -> Sitting {
    let morning = desk::today().succ_opt().unwrap();
    let mut sitting = Sitting::with(&format!(
        "place add kitchen --kind windowsill --on -40d
         place add frame --kind 'cold frame' --on -40d
         place add propagator --kind propagator --heated-to 18C --on -40d
         bench add kitchen/sill --size 900x200mm --on -40d
         bench add frame/left --size 1200x600mm --on -40d
         bench add propagator/mat --size 1200x600mm --on -40d
         sow tomato First --seeds 24 --in 24-cell --at frame/left --on -14d
         count 1 16 --on -1d
         move 1a propagator/mat
         forecast set {morning} --low -3 --high 9\n"
    ));
    sitting.model.settle();
    sitting
}

#[test]
fn no_form_chooses_a_place_that_kills_tonight() {
    let mut sitting = dark_and_warm();
    let row = sitting.model.due().iter().position(|due| due.what == Task::TakeOffHeat).unwrap();
    let said = sitting.model.due()[row].reason.clone();
    assert!(said.contains("to stay tonight: no light place is warm enough and wide enough"), "{said}");
    sitting.types("1am");
    let Some(Overlay::Form(form)) = sitting.model.overlays.last() else { panic!("{}", sitting.trouble()) };
    let chosen = form.line();
    assert!(!chosen.contains("frame"), "{chosen}");
    sitting.types("\n");
    let stands = sitting.model.board.cold.dusk.iter().all(|row| row.place != frame(&sitting));
    assert!(stands, "{:?}", sitting.newest());
}

fn frame(sitting: &Sitting) -> thumbpot::quantity::PlaceId {
    let places = &sitting.model.board.state.places;
    *places.iter().find(|(_, place)| place.name.as_str() == "frame").unwrap().0
}

#[test]
fn a_day_with_nothing_to_do_but_before_dusk_says_what() {
    let home = Home::empty();
    home.script(&format!("{HOUSE}{MAT}{TOMATO}"));
    let due = home.does("due --on 2024-04-15");
    assert!(due.contains("nothing is due by day") && due.contains("before dusk: bring in 1"), "{due}");
    let morning = home.does("--on 2024-04-15 --plain morning");
    assert!(
        morning.contains("Before dusk: bring in 1. n names them.") && !morning.contains("Nothing is due"),
        "{morning}"
    );
    home.does("move 1a propagator/mat --on 2024-04-15");
    assert!(!home.does("--on 2024-04-15 --plain morning").contains("Before dusk"));
}
