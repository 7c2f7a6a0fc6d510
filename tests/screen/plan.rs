//! The plan of a bench keeps its proportions: boxes on the screen against the millimetres that were typed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::sitting::Sitting;
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
use thumbpot::tui::model::{Model, Overlay};
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
    let key = match key {
        '\n' => Key::Enter,
        '\x1b' => Key::Esc,
        key => Key::Char(key),
    };
    let mut messages = vec![Message::Key(key)];
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
    for spot in &spots.iter().find(|reach| reach.bench == plan.bench).unwrap().spots {
        let apart = spot.x.0 >= other.x.0 + other.along.0
            || other.x.0 >= spot.x.0 + spot.along.0
            || spot.y.0 >= other.y.0 + other.across.0
            || other.y.0 >= spot.y.0 + spot.across.0;
        assert!(apart, "{spot:?} lies in {other:?}");
    }
}

struct Screen {
    _folder: TempDir,
    desk: Desk,
    model: Model,
}

impl Screen {
    fn new(script: &str) -> Self {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("journal.db");
        let device = DeviceId(Uuid::from_u128(7));
        let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        desk.run(script, desk::today(), AfterRefusal::Stop, |_, _| {}).unwrap();
        let model = Model::new(desk.board(desk::today()).unwrap(), desk::today());
        Self { _folder: folder, desk, model }
    }

    fn types(&mut self, keys: &str) -> &mut Self {
        keys.chars().for_each(|key| press(&mut self.desk, &mut self.model, key));
        self
    }

    fn acts(&self) -> usize {
        self.desk.history(1000, None).unwrap().len()
    }

    /// Where each thing is drawn: `1a frame/left 0,0`, with `t` for turned, `p` for pinned and `?` for never placed.
    fn stands(&self) -> Vec<String> {
        let mut all: Vec<String> = self
            .desk
            .plans(desk::today())
            .unwrap()
            .iter()
            .flat_map(|plan| {
                plan.shapes.iter().map(move |shape| {
                    let marks = [(shape.turned, "t"), (shape.pinned, "p"), (!shape.noted, "?")];
                    let marks: String = marks.iter().filter(|(is, _)| *is).map(|(_, mark)| *mark).collect();
                    format!("{} {}/{} {},{}{marks}", shape.label, plan.place_name, plan.name, shape.x.0, shape.y.0)
                })
            })
            .collect();
        all.sort();
        all
    }

    fn says(&self) -> String {
        self.model.notice.as_ref().map(|notice| notice.line.clone()).unwrap_or_default()
    }

    fn picture(&self, size: (u16, u16)) -> String {
        drawn(&self.model, size).iter().map(|line| line.trim_end()).collect::<Vec<_>>().join("\n")
    }
}

/// Three trays of 380 x 240 mm on one frame, none of them placed, and a bare frame beside it.
const TRAYS: &str = "
place add frame --kind 'cold frame'
bench add frame/left --size 1200x600mm --headroom 400..250mm
bench add frame/right --size 1200x600mm
sow onion 'First' --seeds 24 --in seed-tray --at frame/left
sow leek 'First' --seeds 24 --in seed-tray --at frame/left
sow tomato 'First' --seeds 24 --in seed-tray --at frame/left
";

#[test]
fn a_container_is_picked_up_nudged_turned_pinned_and_set_down_by_letters_in_one_act() {
    let mut screen = Screen::new(TRAYS);
    let (before, acts) = (screen.stands(), screen.acts());
    assert!(before.iter().all(|one| one.ends_with('?')), "{before:?}");
    // Esc puts it back: nothing is logged.
    screen.types("bPmnl\x1b");
    assert!(screen.model.lifted.is_none());
    assert_eq!((screen.stands(), screen.acts()), (before.clone(), acts));
    // Set down where it stood is no act unless it was never placed.
    let from = screen.types("m").model.lifted.clone().unwrap();
    assert_eq!((from.label.as_str(), from.pinned), ("1a", false));
    screen.types("n");
    let over = screen.model.lifted.clone().unwrap();
    assert!(over.reach().unwrap().spots.contains(&over.spot), "{over:?}");
    screen.types("tp");
    let held = screen.model.lifted.clone().unwrap();
    assert_eq!((held.spot.along, held.spot.across), (over.spot.across, over.spot.along));
    let wanted =
        format!("1a frame/left {},{}{}p", held.spot.x.0, held.spot.y.0, if held.spot.turned { "t" } else { "" });
    screen.types("\n");
    assert_eq!(screen.acts(), acts + 1, "{}", screen.says());
    let after = screen.stands();
    assert!(after.contains(&wanted), "{wanted}: {after:?}");
    // The others stay where they were drawn, and are noted there.
    for other in ["2a", "3a"] {
        let drawn = before.iter().find(|one| one.starts_with(other)).unwrap().trim_end_matches('?').to_owned();
        assert!(after.contains(&drawn), "{drawn}: {after:?}");
    }
    screen.types("u");
    assert_eq!(screen.stands(), before, "one undo");
    // Digits jump, nudges go by 10 and 100 mm and stop at the edge.
    screen.types("m1");
    let at = |screen: &Screen| screen.model.lifted.as_ref().map(|lifted| (lifted.spot.x.0, lifted.spot.y.0)).unwrap();
    let (x, y) = at(&screen);
    screen.types("hhhhhhhhhhhhhhhhhhHHHHHHHHHHHHKKKKKKKKKK");
    assert_eq!(at(&screen), (0, 0));
    screen.types("lLj");
    assert_eq!(at(&screen), (110, 10));
    screen.types("LLLLLLLLLLLLJJJJJJJ");
    assert_eq!(at(&screen), (1200 - 380, 600 - 240));
    screen.types("1");
    assert_eq!(at(&screen), (x, y));
}

#[test]
fn another_bench_is_a_letter_away_and_what_is_amiss_is_told_and_not_logged() {
    let mut screen = Screen::new(TRAYS);
    screen.types("bPm");
    let right = screen.model.plans.iter().find(|plan| plan.name.as_str() == "right").unwrap().bench;
    screen.types("b");
    assert_eq!(screen.model.lifted.as_ref().unwrap().bench, right);
    // A bare bench of 1200 x 600 mm holds at least six such trays: 3 x 2.
    assert!(screen.model.lifted.as_ref().unwrap().reach().unwrap().spots.len() >= 6);
    screen.types("m");
    assert!(screen.stands().iter().any(|one| one.starts_with("1a frame/right")), "{:?}", screen.stands());
    assert_eq!(screen.model.container_here(), screen.model.plans[1].shapes.first().map(|shape| shape.container));
    // Back over the other two: into one of them it is not set down.
    screen.types("v");
    let other = screen.model.plan().unwrap().shapes[0].clone();
    screen.types("bm");
    let acts = screen.acts();
    screen.types("b");
    let lifted = screen.model.lifted.as_mut().unwrap();
    (lifted.spot.x, lifted.spot.y) = (other.x, other.y);
    let wrong = screen.picture((80, 24));
    assert!(wrong.contains("!1a") && wrong.contains("in the way of another"), "{wrong}");
    screen.types("\n");
    assert_eq!(screen.says(), format!("1a would stand in {} there: n for a free spot", other.label));
    assert!(screen.model.lifted.is_some());
    assert_eq!(screen.acts(), acts);
}

#[test]
fn letters_walk_over_the_shapes_and_turn_and_pin_where_they_stand() {
    let mut screen = Screen::new(TRAYS);
    screen
        .desk
        .run("place 1a 0,0\nplace 2a 400,0\nplace 3a 0,300", desk::today(), AfterRefusal::Stop, |_, _| {})
        .unwrap();
    screen.types("bP");
    let here = |screen: &Screen| {
        let (plan, id) = (screen.model.plan().unwrap(), screen.model.container_here().unwrap());
        plan.shapes.iter().find(|shape| shape.container == id).unwrap().label.clone()
    };
    for (keys, label) in
        [("", "1a"), ("l", "2a"), ("h", "1a"), ("j", "3a"), ("k", "1a"), ("k", "1a"), ("nn", "3a"), ("N", "2a")]
    {
        screen.types(keys);
        assert_eq!(here(&screen), label, "after {keys}");
    }
    screen.types("t");
    assert!(screen.stands().contains(&"2a frame/left 400,0t".to_owned()), "{:?} {}", screen.stands(), screen.says());
    screen.types("p");
    assert!(screen.stands().contains(&"2a frame/left 400,0tp".to_owned()), "{:?}", screen.stands());
    screen.types("p");
    assert!(screen.stands().contains(&"2a frame/left 400,0t".to_owned()), "{:?}", screen.stands());
}

#[test]
fn a_repacking_is_drawn_before_it_is_done() {
    let mut screen = Screen::new(TRAYS);
    screen
        .desk
        .run("place 1a 110,90\nplace 2a 700,100\nplace 3a 500,355", desk::today(), AfterRefusal::Stop, |_, _| {})
        .unwrap();
    let (before, acts) = (screen.stands(), screen.acts());
    screen.types("bPR");
    let plan = screen.model.proposal.clone().unwrap().repacking;
    assert!(plan.usable_after > plan.usable_before && !plan.lifts.is_empty());
    let picture = screen.picture((80, 24));
    assert!(picture.contains(&format!("Repacked: {} lifted", plan.lifts.len())), "{picture}");
    assert!(plan.lifts.iter().all(|lift| picture.contains(&format!(">{}", lift.label))), "{picture}");
    screen.types("\x1b");
    assert_eq!((screen.stands(), screen.acts()), (before.clone(), acts));
    screen.types("R\n");
    assert_eq!(screen.acts(), acts + 1, "{}", screen.says());
    for lift in &plan.lifts {
        let spot = format!("{} frame/left {},{}", lift.label, lift.to.x.0, lift.to.y.0);
        assert!(screen.stands().iter().any(|one| one.starts_with(&spot)), "{spot}: {:?}", screen.stands());
    }
    screen.types("u");
    assert_eq!(screen.stands(), before);
}

#[test]
fn the_plan_on_a_telephone_in_ascii() {
    let mut screen = Screen::new(TRAYS);
    screen.types("bPm");
    // All but the first line, which has the day.
    let below = |screen: &Screen| screen.picture((40, 20)).split_once('\n').unwrap().1.to_owned();
    insta::assert_snapshot!(below(&screen), @r"
    -- frame/left to scale --- 1200 x 600 mm
    +- back: high side --------------------+
    |                                      |
    |                                      |
    |........... ........... ...........   |
    |......2.... ......3.... ......4....   |
    |........... ........... ...........   |
    |                                      |
    |+##########++----------++----------+  |
    |#>1a       #|2a        ||3a        |  |
    |#          #|          ||          |  |
    |+##########++----------++----------+  |
    +- front: low side --------------------+
     May go to frame/left 4 spots,
     frame/right 6 spots
     1a in the hand, at 0,360 mm on
     frame/left, free
     Enter set down  Esc leave it
     n next spot  0-9 spot  t turn
    ");
    screen.types("\x1bb");
    insta::assert_snapshot!(below(&screen), @r"
    -- frame/right to scale -- 1200 x 600 mm
    +- back -------------------------------+
    |........... ........... ...........   |
    |......1.... ......2.... ......3....   |
    |........... ........... ...........   |
    |                                      |
    |........... ........... ...........   |
    |......4.... ......5.... ......6....   |
    |........... ........... ...........   |
    |                                      |
    |                                      |
    |                                      |
    +- front ------------------------------+


     frame/right is bare: room for 6 seed
     trays, as dotted
     h j k l walk  n next  b next bench
     u undo  w why  Esc back     ? all keys
    ");
}

#[test]
fn the_form_for_moving_offers_first_where_it_fits_and_says_what_it_does_to_both_sides() {
    let mut screen = Screen::new(TRAYS);
    let ledge = "place add sill --kind windowsill\nbench add sill/ledge --size 1200x150mm";
    screen.desk.run(ledge, desk::today(), AfterRefusal::Stop, |_, _| {}).unwrap();
    screen.types("bm");
    let Some(thumbpot::tui::model::Overlay::Form(form)) = screen.model.overlays.last() else { panic!("no form") };
    // Three of five, then two of five trays of 380 x 240 mm taken: 0.72 m2 less 0.09 m2 each.
    let leaves = "leaves frame/left with 0.45 -> 0.54 m2 free, room for 3 -> 4 seed trays";
    assert!(form.about.ends_with(leaves), "{}", form.about);
    let offered: Vec<String> =
        form.fields[0].fitting().iter().map(|choice| format!("{}: {}", choice.shown, choice.beside)).collect();
    assert_eq!(offered[0], "frame/right: fits: 6 -> 5 trays, 0.72 -> 0.63 m2");
    assert!(offered.contains(&"sill/ledge: smaller than what is to go there".to_owned()), "{offered:?}");
    let acts = screen.acts();
    screen.types("\n");
    assert_eq!(screen.acts(), acts + 1, "{}", screen.says());
    assert!(screen.stands().iter().any(|one| one.starts_with("1a frame/right")), "{:?}", screen.stands());
}

#[test]
fn trays_and_pots_are_owned_and_washed_on_the_screen() {
    let mut screen = Screen::new(TRAYS);
    screen.types("I").types("oseed-tray\n12\n");
    screen
        .desk
        .run("clear 1 --rest discard\nclear 2 --rest discard", desk::today(), AfterRefusal::Stop, |_, _| {})
        .unwrap();
    // Back and in again: another program wrote meanwhile.
    screen.types("qI");
    let row = |screen: &Screen| {
        let row = screen.model.kind_here().unwrap();
        (row.name.to_string(), row.owned, row.in_use, row.to_wash, row.clean)
    };
    assert_eq!(row(&screen), ("seed-tray".to_owned(), Some(12), 1, 2, Some(9)));
    let picture = screen.picture((40, 20));
    assert!(picture.contains("seed-tray") && picture.contains("wash"), "{picture}");
    assert!(picture.contains("wet it before"), "the caution stands below: {picture}");
    // All that were emptied unless another number is typed.
    screen.types("W\n");
    assert!(screen.says().starts_with("2 of seed-tray washed"), "{}", screen.says());
    assert_eq!(row(&screen).3, 0);
    screen.types("uW1\n");
    assert_eq!(row(&screen), ("seed-tray".to_owned(), Some(12), 1, 1, Some(10)));
}

#[test]
fn what_is_not_in_use_yet_is_owned_and_a_slip_is_asked_about_before_it_is_logged() {
    let mut screen = Screen::new("place add sill --kind windowsill\nbench add sill/one --size 1200x500mm");
    // Nothing stands anywhere: o asks for the kind too.
    screen.types("I").types("o9cm-pot\n20\n");
    assert!(screen.says().contains("20 of 9cm-pot"), "{}", screen.says());
    let acts = screen.acts();
    screen.types("W3\n");
    let question = screen.picture((80, 24));
    assert!(question.contains("no 9cm-pot was emptied") && question.contains("Is that so?"), "{question}");
    assert_eq!(screen.acts(), acts, "nothing is logged before the yes");
    screen.types("n\x1b");
    assert_eq!((screen.acts(), screen.model.overlays.len()), (acts, 0));
    screen.types("W3\ny");
    assert_eq!((screen.acts(), screen.model.overlays.len()), (acts + 1, 0), "{}", screen.says());
}

#[test]
fn on_a_crowded_bench_letters_stand_for_labels_and_a_legend_says_which() {
    let mut script = "place add sill --kind windowsill\nbench add sill/one --size 1200x600mm\n".to_owned();
    for _ in 0..14 {
        script.push_str("sow leek 'Long Furrow' --seeds 2 --in 9cm-pot --at sill/one\n");
    }
    let mut screen = Screen::new(&script);
    screen.types("bP");
    let picture = screen.picture((40, 20));
    assert!(picture.contains("[b]"), "{picture}");
    for legend in (1..=14).map(|number| format!(" {number}a")) {
        assert!(picture.contains(&legend), "{legend}: {picture}");
    }
    // No label is cut to what another's would be cut to.
    assert!(!picture.contains("|1|") && !picture.contains("[1]"), "{picture}");
    // Where there is room the labels stand in the boxes themselves.
    assert!(!screen.picture((200, 60)).contains("a 1a,"));
}

#[test]
fn a_set_that_a_spot_cannot_say_is_not_picked_up() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("journal.db");
    let device = DeviceId(Uuid::from_u128(7));
    let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
    let lines = "
place add frame --kind 'cold frame'
bench add frame/left --size 900x500mm --headroom 400..250mm
receive tomato 'Red Evening' --plants 12 --in 9cm-potx12 --at frame/left
stage 1 --height 240mm
";
    desk.run(lines, desk::today(), AfterRefusal::Stop, |_, _| {}).unwrap();
    let mut model = Model::new(desk.board(desk::today()).unwrap(), desk::today());
    press(&mut desk, &mut model, 'P');
    press(&mut desk, &mut model, 'm');
    let picture = drawn(&model, (80, 24)).join("\n");
    assert!(model.lifted.is_none() && picture.contains("only in other rows"), "{picture}");
}

#[test]
fn on_the_plan_what_was_taken_back_is_brought_back() {
    let mut screen = Screen::new(TRAYS);
    let turned = screen.types("bPt").stands();
    screen.types("u");
    assert_ne!(screen.stands(), turned);
    screen.types("r");
    assert_eq!(screen.stands(), turned, "{}", screen.says());
    // A key of the page below says why it does nothing.
    screen.types("mu");
    assert!(screen.says().contains("in the hand"), "{}", screen.says());
}

#[test]
fn the_benches_open_on_one_with_something_on_it_and_e_empties_the_pots_without_a_plant() {
    let mut sitting = Sitting::with(
        "place add attic --kind room
         bench add attic/shelf --size 900x500mm
         place add frame --kind 'cold frame'
         bench add frame/left --size 1200x600mm
         receive tomato 'Red Evening' --plants 12 --in 9cm-potx12 --at frame/left
         place 1 0,0
         plant-out 1 4",
    );
    sitting.types("b");
    assert!(sitting.model.container_here().is_some(), "not on the bare shelf, the first by its name");
    sitting.types("e");
    let Some(Overlay::Form(form)) = sitting.model.overlays.last() else { panic!("{}", sitting.trouble()) };
    assert_eq!(form.fields[0].chosen().unwrap().shown, "4 pots");
    sitting.types("\n");
    let state = &sitting.model.board.state;
    let left = state.containers.iter().filter(|(id, _)| state.is_occupied(**id)).map(|(_, held)| held.vessel.pots);
    assert_eq!(left.collect::<Vec<_>>(), [8], "{}", sitting.trouble());
}

#[test]
fn a_narrow_bench_is_drawn_above_the_list_and_what_is_too_tall_is_said_of_it_there() {
    let mut screen = Screen::new(
        "place add kitchen --kind windowsill
         bench add kitchen/tab --size 3000x110mm --headroom 250mm
         receive tomato 'Red Evening' --plants 2 --in 9cm-potx2 --at kitchen/tab
         receive leek 'Long Furrow' --plants 2 --in 9cm-potx2 --at kitchen/tab
         stage 1 --height 300mm",
    );
    let picture = screen.types("b").picture((80, 24));
    assert!(picture.contains("a !1a") && picture.contains("Evening, too tall for its bench\n"), "{picture}");
}
