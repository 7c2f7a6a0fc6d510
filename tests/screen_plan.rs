//! The plan of a bench keeps its proportions: boxes on the screen against the millimetres that were typed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use tempfile::TempDir;
use thumbpot::desk::{self, Desk};
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use thumbpot::tui::app::answer;
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::Model;
use thumbpot::tui::theme::Look;
use thumbpot::tui::update::update;
use thumbpot::tui::view::view;
use uuid::Uuid;

const FRAME: &str = "
place add frame --kind 'cold frame'
bench add frame/left --size 1200x600mm --headroom 400..250mm
bench add frame/right --size 1200x600mm --headroom 400..250mm
sow tomato 'Red Evening' --seeds 24 --in seed-tray --at frame/left
sow leek 'Long Furrow' --seeds 24 --in seed-tray --at frame/left
";

fn press(desk: &mut Desk, model: &mut Model, key: char) {
    let mut messages = vec![Message::Key(Key::Char(key))];
    while let Some(message) = messages.pop() {
        for effect in update(model, message) {
            messages.extend(answer(desk, effect));
        }
    }
}

fn drawn(model: &Model, (columns, rows): (u16, u16)) -> Vec<String> {
    let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
    let look = Look::from_environment(true, "linux", None);
    terminal.draw(|frame| view(model, look, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    (0..rows).map(|y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect::<String>()).collect()
}

#[test]
fn boxes_are_to_scale_labelled_and_say_where_the_roof_is_high() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("journal.db");
    let device = DeviceId(Uuid::from_u128(7));
    let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
    desk.run(FRAME, desk::today(), AfterRefusal::Stop, |_, _| {}).unwrap();
    let mut model = Model::new(desk.board(desk::today()).unwrap(), desk::today());
    press(&mut desk, &mut model, 'b');
    for size in [(40, 20), (80, 24), (120, 40)] {
        let lines = drawn(&model, size);
        let picture = lines.join("\n");
        let back = lines.iter().find(|line| line.contains("back: high side")).unwrap_or_else(|| panic!("{picture}"));
        assert!(picture.contains("front: low side"), "{picture}");
        for label in [">1a", "2a"] {
            assert!(picture.contains(label), "{label}:\n{picture}");
        }
        // A cell is a whole number of cells wide, so a box may be out by one at each end.
        let edge = back.trim_end().rsplit(' ').next().map_or(0, str::len) + back.trim_end().rfind(' ').unwrap() + 1;
        let bench = edge - back.find('+').unwrap() - 2;
        let shape = &desk.plans(desk::today()).unwrap()[0].shapes[0];
        let wanted = bench as f64 * f64::from(shape.along.0) / 1200.0;
        let from = back.find('+').unwrap() + 1;
        let top = lines.iter().find(|line| line.get(from..).is_some_and(|rest| rest.starts_with("+#"))).unwrap();
        let found = top[from + 1..].find('+').unwrap() + 2;
        assert!((found as f64 - wanted).abs() <= 1.0, "{found} cells, {wanted} wanted:\n{picture}");
    }
    press(&mut desk, &mut model, 'y');
    let picture = drawn(&model, (80, 24)).join("\n");
    assert!(picture.contains("frame/left") && picture.contains("frame/right"), "{picture}");
    assert!(picture.contains("May go to"), "{picture}");
    let spots = &model.may_go.as_ref().unwrap().benches;
    let plan = &desk.plans(desk::today()).unwrap()[0];
    let other = plan.shapes.iter().find(|shape| shape.label == "2a").unwrap();
    for spot in &spots.iter().find(|(bench, _)| *bench == plan.bench).unwrap().1 {
        let apart = spot.x.0 >= other.x.0 + other.along.0
            || other.x.0 >= spot.x.0 + spot.along.0
            || spot.y.0 >= other.y.0 + other.across.0
            || other.y.0 >= spot.y.0 + spot.across.0;
        assert!(apart, "{spot:?} lies in {other:?}");
    }
}
