//! Space through the open journal: acts as they are typed, what they answer, and that what is refused changes nothing.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use thumbpot::advice::{assumed_layout, bench_plan};
use thumbpot::desk::{Desk, Done, Throwaway};
use thumbpot::grammar::parse_line;
use thumbpot::journal::State;
use thumbpot::quantity::{BenchId, Date, DeviceId};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;

const DEVICE: DeviceId = DeviceId(uuid::Uuid::from_u128(7));

fn day() -> Date {
    "2026-04-01".parse().unwrap()
}

struct Bench {
    _folder: Throwaway,
    desk: Desk,
}

impl Bench {
    /// A frame sloping from 300 to 150 mm and a sill, with two trays and a set of pots.
    fn new() -> Self {
        let folder = Throwaway::new().unwrap();
        let trade = Trade::built_in().unwrap();
        let desk = Desk::open_with(&folder.file("j.db"), DEVICE, trade, Durability::Unsynced).unwrap();
        let mut bench = Self { _folder: folder, desk };
        for line in [
            "place add frame --kind 'cold frame'",
            "place add sill --kind windowsill",
            "bench add frame/left --size 1200x500mm --headroom 300..150mm",
            "bench add sill/kitchen --size 1000x250mm",
            "sow leek First --seeds 40 --in seed-tray --at frame/left",
            "sow onion First --seeds 40 --in seed-tray --at frame/left",
            "sow tomato First --seeds 6 --in 9cm-potx6 --at sill/kitchen",
        ] {
            bench.does(line);
        }
        bench
    }

    fn step(&mut self, line: &str) -> Result<Done, (String, String)> {
        let parsed = parse_line(line, day()).map_err(|error| (error.message, error.hint))?.unwrap();
        self.desk.step(&parsed.step, day()).map_err(|error| (error.to_string(), error.hint()))
    }

    fn does(&mut self, line: &str) -> Done {
        self.step(line).unwrap_or_else(|(message, hint)| panic!("{line}: {message}; {hint}"))
    }

    fn refused(&mut self, line: &str) -> String {
        let before = (self.state(), self.desk.history(1000, None).unwrap());
        let (message, hint) = self.step(line).map(|done| panic!("{line}: {:?}", done.said)).unwrap_err();
        assert!(!message.is_empty() && !message.contains('\n') && !hint.contains('\n'), "{line}: {message}");
        assert_eq!((self.state(), self.desk.history(1000, None).unwrap()), before, "{line} changed something");
        message
    }

    fn state(&self) -> State {
        self.desk.state(day()).unwrap()
    }

    fn bench(&self, name: &str) -> BenchId {
        *self.state().benches.iter().find(|(_, bench)| bench.name.as_str() == name).unwrap().0
    }

    /// Where each part is noted to stand: `1a 0,0`, with `t` for turned and `p` for pinned.
    fn spots(&self, bench: &str) -> Vec<String> {
        let plan = bench_plan(&self.state(), self.desk.trade(), day(), self.bench(bench)).unwrap();
        let mut spots: Vec<String> = plan
            .shapes
            .iter()
            .filter(|shape| shape.noted)
            .map(|shape| {
                let (turned, pinned) = (if shape.turned { "t" } else { "" }, if shape.pinned { "p" } else { "" });
                format!("{} {},{}{turned}{pinned}", shape.label, shape.x.0, shape.y.0)
            })
            .collect();
        spots.sort();
        spots
    }
}

#[test]
fn placing_nudging_turning_and_pinning_are_acts_and_each_can_be_undone() {
    let mut bench = Bench::new();
    assert_eq!(bench.spots("left"), [""; 0], "nothing is noted until it is asked");
    let done = bench.does("place 1a 100,20");
    assert_eq!(done.said, ["1a stands at 100,20 mm on frame/left"]);
    bench.does("place 1a +50,-20");
    bench.does("place 1a --turned");
    bench.does("place 1a --pin");
    assert_eq!(bench.spots("left"), ["1a 150,0tp"]);
    bench.does("place 1a --straight --loose");
    assert_eq!(bench.spots("left"), ["1a 150,0"]);
    bench.does("undo");
    assert_eq!(bench.spots("left"), ["1a 150,0tp"]);
    // Onto another bench; `--pin` alone keeps it where the plan takes it to stand.
    bench.does("place 1a 600,0 --at sill/kitchen --straight --loose");
    assert_eq!((bench.spots("left"), bench.spots("kitchen")), (vec![], vec!["1a 600,0".to_owned()]));
    bench.does("place 2a --pin");
    assert_eq!(bench.spots("left").len(), 1);
    // Moving it elsewhere forgets the spot.
    bench.does("move 1a frame/left");
    assert_eq!(bench.spots("left").len(), 1);
}

#[test]
fn what_cannot_stand_is_refused_in_one_line_and_nothing_changes() {
    let mut bench = Bench::new();
    bench.does("place 1a 0,0 --pin");
    for (line, words) in [
        // Off the bench, into another, under too low a roof.
        ("place 2a 821,0", "2a, 380 x 240 mm as it would stand, hangs over the edge of frame/left, 1200 x 500 mm"),
        ("place 2a 0,261", "2a, 380 x 240 mm as it would stand, hangs over the edge of frame/left, 1200 x 500 mm"),
        ("place 2a 379,239", "2a would stand in 1a, which was placed at 0,0"),
        (
            "place 2a 100000,100000",
            "2a, 380 x 240 mm as it would stand, hangs over the edge of frame/left, 1200 x 500 mm",
        ),
        ("place 1a -10,+0", "that is off the bench: X and Y begin at its back left"),
        // A bench smaller than any container, of no size, or under a roof lower than any container.
        ("bench add sill/tiny --size 12x9mm", "no container of the table goes on a bench of 12 x 9 mm"),
        ("bench add sill/tiny --size 120x60", "--size: 120x60 mm is small for a bench; write 120x60cm if"),
        ("bench add sill/tiny --size 0x500mm", "--size: 0x500mm is out of range: from 1 mm to 100 m"),
        ("bench resize frame/left --size 1200x500mm --headroom 10mm", "no container of the table goes on a bench"),
        // Too tall, too large, too many.
        ("sow leek First --seeds 9 --in seed-tray --at sill/kitchen x", "'x' was not expected here"),
        ("sow leek First --seeds 600 --in 9cm-potx600 --at sill/kitchen", "600 of 9cm-pot cover 4.86 m2"),
        ("sow leek First --seeds 600 --in 9cm-potx10000 --at sill/kitchen", "--in: '9cm-potx10000': the number"),
        ("sow leek First --seeds 600 --in seed-trayx7 --at frame/left", "7 of seed-tray cover 0.64 m2"),
        ("receive leek First --plants 9 --in 1020-tray --at sill/kitchen", "1020-tray (543 x 279 mm, 62 mm high) does"),
        // Words that mean nothing here.
        ("place 1a 5", "X,Y: '5' is not a spot"),
        ("place 9a 0,0", "there is no batch 9"),
        ("repack sill/attic --do", "there is no bench called sill/attic"),
        ("swap 1a frame/left", "two containers change over, or two benches"),
        ("swap 1a 1a", "they stand in the same container"),
        ("swap frame/left frame/left", "it is the same bench"),
        ("measure seed-tray 0x10mm", "SIZE: 0x10mm is out of range"),
        ("measure nonesuch-tray-99 20x10cm", "no container 'nonesuch-tray-99'"),
        ("own seed-tray 200000", "N: '200000' is not a whole number"),
    ] {
        let said = bench.refused(line);
        assert!(said.starts_with(words), "{line}\n  {said}\n  {words}");
    }
    // The likelier unit is offered.
    let hint = |bench: &mut Bench, line: &str| bench.step(line).unwrap_err().1;
    assert_eq!(
        hint(&mut bench, "bench add sill/tiny --size 12x9mm"),
        "if it was measured in centimetres: --size 12x9cm"
    );
    let tiny = "bench add sill/tiny --size 1200x500mm --headroom 10mm";
    assert_eq!(hint(&mut bench, tiny), "write it as --size 1200x500mm, --headroom 400..250mm");
    // Pins that overlap can only come from a merge or a new measurement: they are named, and nothing is repacked.
    bench.does("place 2a 400,0 --pin");
    bench.does("bench resize frame/left --size 600x500mm");
    assert_eq!(bench.refused("repack frame/left --do"), "by the log 2a is pinned where the bench does not reach");
}

#[test]
fn repacking_is_one_act_and_what_is_pinned_stays() {
    let mut bench = Bench::new();
    bench.does("place 1a 100,100 --pin");
    bench.does("place 2a 600,100");
    let before = bench.spots("left");
    let (called, plan) = bench.desk.repacking(&"frame/left".parse().unwrap(), day()).unwrap();
    assert_eq!((called.as_str(), plan.lifts.len()), ("frame/left", 1));
    assert!(plan.usable_after > plan.usable_before);
    let done = bench.does("repack frame/left --do");
    assert_eq!(done.said.len(), 1);
    assert!(bench.spots("left").contains(&"1a 100,100p".to_owned()));
    assert_ne!(bench.spots("left"), before);
    bench.does("undo");
    assert_eq!(bench.spots("left"), before);
    bench.does("redo");
    assert!(bench.refused("repack frame/left --do").starts_with("not worth it: repacking frees nothing"));
    // What is out for the day is not brought in by it.
    bench.does("undo");
    bench.does("out 2a sill");
    bench.does("sow leek First --seeds 9 --in seed-tray --at frame/left");
    let done = bench.does("repack frame/left --do");
    assert!(done.notices.iter().any(|notice| notice.starts_with("2a is out for the day")), "{:?}", done.notices);
    assert!(bench.state().containers.values().any(|held| held.out.is_some()));
}

#[test]
fn whole_benches_move_and_change_over_in_one_act_and_say_what_it_does_to_both() {
    let mut bench = Bench::new();
    let done = bench.does("move 3a frame/left");
    // 1000 x 250 = 0.25 m2 less six pots of 90 x 90; 1200 x 500 = 0.60 m2 less two trays of 380 x 240.
    assert!(
        done.notices.contains(&"sill/kitchen: 0.20 m2 -> 0.25 m2 free, room for 1 -> 2 more of seed-tray".to_owned()),
        "{:?}",
        done.notices
    );
    assert!(
        done.notices.iter().any(|notice| notice.starts_with("frame/left: 0.42 m2 -> 0.37 m2 free, room for 4 ->")),
        "{:?}",
        done.notices
    );
    bench.does("undo");
    let stands = |bench: &Bench| {
        let state = bench.state();
        state.parts.values().map(|part| state.standing_at(part.container)).collect::<Vec<_>>()
    };
    assert_eq!(stands(&bench), ["frame/left", "frame/left", "sill/kitchen"]);
    bench.does("swap frame/left sill/kitchen");
    assert_eq!(stands(&bench), ["sill/kitchen", "sill/kitchen", "frame/left"]);
    bench.does("undo");
    assert_eq!(stands(&bench), ["frame/left", "frame/left", "sill/kitchen"]);
    let done = bench.does("move --all frame/left to sill/kitchen");
    assert_eq!(stands(&bench), ["sill/kitchen"; 3]);
    // Two trays of 240 mm and six pots: 760 mm and 270 mm of 1000 do not go side by side.
    assert!(
        done.notices.iter().any(|notice| notice.starts_with("more stands on sill/kitchen than was found to go")),
        "{:?}",
        done.notices
    );
    assert_eq!(bench.refused("move --all frame/left sill/kitchen"), "nothing stands on that bench");
    bench.does("undo");
    bench.does("place 1a 0,0");
    bench.does("place 2a 500,100 --turned");
    bench.does("swap 1a 2a");
    assert_eq!(bench.spots("left"), ["1a 500,100t", "2a 0,0"], "alike in size they change spots too");
    bench.does("swap 1a 3a");
    assert_eq!(stands(&bench), ["sill/kitchen", "frame/left", "frame/left"]);
    assert_eq!(bench.spots("left"), ["2a 0,0", "3a 500,100"], "at the other's corner, where it goes there");
}

#[test]
fn two_of_one_bench_change_over_alike_in_size_or_not_placed_or_not_pinned_or_not() {
    let mut bench = Bench::new();
    bench.does("sow leek Second --seeds 20 --in 9cm-potx2 --at frame/left");
    // Nobody placed any: each takes the other's corner as drawn, and the third stays where it was drawn.
    let drawn = |bench: &Bench, label: &str| {
        let plan = bench_plan(&bench.state(), bench.desk.trade(), day(), bench.bench("left")).unwrap();
        let shape = plan.shapes.into_iter().find(|shape| shape.label == label).unwrap();
        assert_eq!(shape.amiss, None, "{label}");
        (shape.x.0, shape.y.0)
    };
    let before = ["1a", "2a", "4a"].map(|label| drawn(&bench, label));
    bench.does("swap 1a 2a");
    assert_eq!(["2a", "1a", "4a"].map(|label| drawn(&bench, label)), before);
    bench.does("swap 1a 2a");
    assert_eq!(["1a", "2a", "4a"].map(|label| drawn(&bench, label)), before);
    // A tray of 380 x 240 and two pots of 180 x 90, one of them pinned: it stays pinned, the other loose.
    for line in ["place 1a 0,0 --straight", "place 2a 400,0 --straight", "place 4a 800,100 --pin"] {
        bench.does(line);
    }
    bench.does("swap 2a 4a");
    assert_eq!(bench.spots("left"), ["1a 0,0", "2a 800,100", "4a 400,0p"].map(str::to_owned));
    bench.does("undo");
    // Where it does not go it is said why, and nothing is changed.
    bench.does("place 4a 1020,410 --straight");
    let said = bench.refused("swap 2a 4a");
    assert_eq!(said, "2a is larger than the spot of 4a, and would hang over the edge of frame/left there");
    let done = bench.does("swap frame/left sill/kitchen");
    assert!(done.notices.iter().any(|notice| notice == "no longer pinned, for it stands elsewhere: 4a"), "{done:?}");
}

#[test]
fn a_bench_measured_again_keeps_its_roof_and_says_what_stands_amiss() {
    let mut bench = Bench::new();
    let roof = |bench: &Bench| {
        let size = bench.state().benches[&bench.bench("left")].size;
        (size.headroom_back.map(|mm| mm.0), size.headroom_front.map(|mm| mm.0))
    };
    let done = bench.does("bench resize frame/left --size 1200x600mm");
    assert_eq!(roof(&bench), (Some(300), Some(150)));
    assert_eq!(done.said, ["frame/left is 1200 mm x 600 mm, 300 mm high at the back and 150 mm at the front"]);
    bench.does("bench resize frame/left --size 1200x600mm --headroom none");
    assert_eq!(roof(&bench), (None, None));
    let done = bench.does("bench resize frame/left --size 600x240mm");
    assert!(
        done.notices.contains(&"more stands on frame/left than was found to go: no spot for 2a".to_owned()),
        "{done:?}"
    );
    bench.does("bench resize frame/left --size 1200x500mm --headroom 300..150mm");
    bench.does("place 1a 700,0");
    let done = bench.does("bench resize frame/left --size 800x500mm");
    assert!(done.notices.contains(&"by the log 1a stands off frame/left".to_owned()), "{done:?}");
    bench.does("undo");
    // What was noted taller than the roof is said when it is noted, and stands in the list.
    bench.does("count 2 20 --sure");
    let done = bench.does("stage 2 --height 290mm");
    assert!(done.notices.iter().any(|notice| notice.starts_with("2a will be about 3")), "{done:?}");
    let space = thumbpot::advice::space(&bench.state(), bench.desk.trade(), day());
    let amiss: Vec<_> = space.benches[0].standing.iter().map(|row| row.amiss).collect();
    assert_eq!(amiss, [None, Some(thumbpot::advice::Amiss::TooTallAnywhere)]);
}

#[test]
fn what_looks_like_a_slip_is_asked_about_and_logged_when_insisted_on() {
    let mut bench = Bench::new();
    for (line, said) in [
        ("bench add sill/long --size 90x1m", "90 x 1 m is a very large bench: look at the unit"),
        ("bench add sill/low --size 120x60mm", "no tray goes on a bench of 120 x 60 mm: look at the unit"),
        (
            "sow onion First --seeds 5000 --in half-tray --at sill/kitchen",
            "5000 seeds are 11 to each square centimetre of 1 x half-tray",
        ),
        (
            "sow onion First --seeds 1000 --in 24-cell --at sill/kitchen",
            "1000 seeds are 41 to each cell of 1 x 24-cell",
        ),
        (
            "measure half-tray 380x240mm --height 60mm",
            "a half-tray is 230 x 185 mm by the table, and 380 x 240 mm is far from that",
        ),
        ("wash 9cm-potx9", "by the log no 9cm-pot was emptied and not washed since: `clear` says what was emptied"),
    ] {
        assert_eq!(bench.refused(line), said);
        bench.does(&format!("{line} --sure"));
    }
    // Thirty to a cell are a clump, and finer seed is sown by the pinch.
    bench.does("sow onion First --seeds 720 --in 24-cell --at sill/kitchen");
    bench.does("sow onion First --pinch 5000 --in half-tray --at sill/kitchen");
    // A packet holds more than was noted, but not twice as many.
    bench.does("lot add leek Packet --seeds 50 --packed 2026");
    assert!(
        bench.refused("sow leek Packet --seeds 101 --in seed-tray --at sill/kitchen").contains("of 50: 101 are many")
    );
    let done = bench.does("sow leek Packet --seeds 60 --in seed-tray --at sill/kitchen");
    assert!(done.notices.contains(&"by the log 50 seeds of leek Packet were left, 10 fewer".to_owned()), "{done:?}");
    bench.does("sow leek Packet --seeds 30 --in seed-tray --at sill/kitchen");
    // Seed is packed for the year ahead at most.
    let next = chrono::Datelike::year(&thumbpot::desk::today()) + 1;
    bench.does(&format!("lot add leek Next --packed {next}"));
    let said = bench.refused(&format!("lot add leek Later --packed {}", next + 1));
    assert!(said.ends_with(&format!("{next} at the latest")), "{said}");
}

#[test]
fn the_only_packet_of_a_crop_need_not_be_named() {
    let mut bench = Bench::new();
    assert_eq!(
        bench.refused("sow celery --seeds 9 --in half-tray --at sill/kitchen"),
        "still needed: the VARIETY of celery"
    );
    bench.does("lot add celery 'Pale Rib' --packed 2025 --seeds 9");
    let done = bench.does("sow celery --seeds 9 --in half-tray --at sill/kitchen");
    assert!(done.said[0].contains("celery Pale Rib sown"), "{done:?}");
    let only = "celery Pale Rib of 2025: the only packet of it with seed left";
    assert!(done.notices.iter().any(|notice| notice == only), "{done:?}");
    // That one is empty now: another is the only one with seed left, and of two it must be said which.
    bench.does("lot add celery 'Dark Rib'");
    assert!(
        bench.does("sow celery --seeds 9 --in half-tray --at sill/kitchen").said[0].contains("celery Dark Rib sown")
    );
    bench.does("lot add celery 'Red Rib'");
    let said = bench.refused("sow celery --seeds 9 --in half-tray --at sill/kitchen");
    assert_eq!(said, "celery could be Red Rib or Dark Rib");
}

#[test]
fn what_is_larger_than_a_carrier_does_not_go_on_it_and_what_is_out_takes_room_where_it_is() {
    let mut bench = Bench::new();
    bench.does("carrier add crate --in carrier --at sill/kitchen");
    let said = bench.refused("sow leek First --seeds 9 --in 1020-tray --at crate");
    assert_eq!(said, "1020-tray (543 x 279 mm) does not go on crate, 380 x 240 mm, even with nothing else on it");
    bench.does("sow leek First --seeds 9 --in 9cm-potx6 --at crate");
    let done = bench.does("move 2a crate --sure");
    assert!(done.notices.iter().any(|notice| notice.contains("told apart")), "onion beside leek: {done:?}");
    bench.does("place add slabs --kind 'standing ground'");
    bench.does("bench add slabs/one --size 400x300mm");
    assert_eq!(bench.does("out 1a slabs").notices, [""; 0]);
    let done = bench.does("out crate slabs");
    assert_eq!(done.notices, ["more is out at slabs than its benches hold: crate"]);
}

#[test]
fn under_a_low_roof_a_container_nobody_measured_the_height_of_is_asked_after() {
    let mut bench = Bench::new();
    bench.does("bench add sill/gap --size 1000x300mm --headroom 30mm");
    let fits = bench.desk.fits(&"half-tray".parse().unwrap(), day()).unwrap().1;
    let sure = |name: &str| fits.benches.iter().find(|row| row.name.as_str() == name).unwrap().unsure.is_none();
    assert!(!fits.height_known && !sure("gap") && sure("kitchen"));
    let done = bench.does("sow leek First --seeds 9 --in half-tray --at sill/gap");
    let asked = "nobody has measured how tall a half-tray is, and the roof is low: `measure half-tray 230x185mm --height 60mm` once";
    assert!(done.notices.contains(&asked.to_owned()), "{done:?}");
    // Under a roof that any tray goes under nobody is asked.
    let done = bench.does("sow leek First --seeds 9 --in half-tray --at frame/left");
    assert!(!done.notices.iter().any(|notice| notice.contains("measured")), "{done:?}");
}

#[test]
fn a_container_is_measured_once_and_holds_for_all_of_its_kind() {
    let mut bench = Bench::new();
    let done = bench.does("sow lettuce First --seeds 15 --in 15-cell --at frame/left");
    assert!(
        done.notices.iter().any(|notice| notice.contains("`measure 15-cell 380x240mm --height 60mm`")),
        "{:?}",
        done.notices
    );
    let layout = |bench: &Bench| assumed_layout(&bench.state(), bench.desk.trade(), day(), bench.bench("left"));
    assert_eq!(layout(&bench).unmeasured.len(), 1);
    let fits = |bench: &Bench| bench.desk.fits(&"15-cell".parse().unwrap(), day()).unwrap().1;
    assert!(!fits(&bench).measured);
    bench.does("measure '15 cell' 390x240mm");
    assert_eq!(layout(&bench).unmeasured, []);
    assert!(fits(&bench).measured && fits(&bench).fits == 1);
    let done = bench.does("sow lettuce First --seeds 15 --in 15-cell --at frame/left");
    assert!(!done.notices.iter().any(|notice| notice.contains("measure")), "{:?}", done.notices);
    // Its height is the table's, 90 mm, and stays so.
    let of_kind = |it: &&thumbpot::journal::Container| it.vessel.name.as_str() == "15-cell";
    assert!(bench.state().containers.values().filter(of_kind).all(|it| it.vessel.height.is_some_and(|mm| mm.0 == 90)));
    // Measured again: what was logged with a size keeps it.
    bench.does("measure 15-cell 400x250mm");
    let lengths = |bench: &Bench| -> Vec<u32> {
        bench.state().containers.values().filter(of_kind).filter_map(|it| it.vessel.length).map(|mm| mm.0).collect()
    };
    assert_eq!(lengths(&bench), [400, 390]);
    bench.does("undo");
    bench.does("undo");
    bench.does("undo");
    assert_eq!(layout(&bench).unmeasured.len(), 1);
    assert!(bench.desk.check().unwrap().is_sound());
}

#[test]
fn what_is_cleared_is_to_be_washed_until_it_is_and_undo_takes_that_back() {
    let mut bench = Bench::new();
    bench.does("own seed-trayx6");
    let in_hand = |bench: &Bench| {
        let found = bench.desk.in_hand(day()).unwrap();
        let row = found.rows.into_iter().find(|row| row.name.as_str() == "seed-tray").unwrap();
        (row.in_use, row.to_wash, row.clean)
    };
    assert_eq!(in_hand(&bench), (2, 0, Some(4)));
    assert!(bench.refused("wash seed-tray").starts_with("none of those was emptied lately"));
    bench.does("clear 1 --rest discard");
    bench.does("clear 2 --rest discard");
    assert_eq!(in_hand(&bench), (0, 2, Some(4)));
    let done = bench.does("wash seed-tray 1");
    assert_eq!(done.said, ["1 of seed-tray washed"]);
    assert!(done.notices.iter().any(|notice| notice.contains("wet it before brushing")), "{:?}", done.notices);
    assert_eq!(in_hand(&bench), (0, 1, Some(5)));
    bench.does("wash seed-tray");
    assert_eq!(in_hand(&bench), (0, 0, Some(6)));
    bench.does("undo");
    assert_eq!(in_hand(&bench), (0, 1, Some(5)));
    assert!(bench.refused("wash seed-trayx3").starts_with("by the log 1 of seed-tray are to be washed, not 3"));
    bench.does("wash seed-trayx3 --sure");
    assert_eq!(in_hand(&bench), (0, 0, Some(6)));
    assert!(bench.refused("wash seed-tray 0").contains("not a whole number"));
    assert!(bench.refused("wash nonesuch-99 1").contains("nonesuch-99"));
    assert!(bench.desk.check().unwrap().is_sound());
    // Another copy of the journal brings the washing with it.
    let folder = Throwaway::new().unwrap();
    let trade = Trade::built_in().unwrap();
    let mut other = Desk::open_with(&folder.file("o.db"), DEVICE, trade, Durability::Unsynced).unwrap();
    let path = bench.desk.path();
    other.merge(&path).unwrap();
    assert_eq!(other.state(day()).unwrap().washed, bench.state().washed);
    assert!(other.check().unwrap().is_sound());
}

#[test]
fn an_act_of_a_past_day_sees_what_stood_then_and_was_cleared_since() {
    let mut bench = Bench::new();
    let on = |bench: &mut Bench, day: &str, line: &str| {
        let day: Date = day.parse().unwrap();
        let parsed = parse_line(line, day).unwrap().unwrap();
        bench.desk.step(&parsed.step, day).map_err(|error| error.to_string())
    };
    bench.does("place 1a 0,0");
    on(&mut bench, "2026-04-10", "clear 1 --rest discard").unwrap();
    // On the 5th the tray of batch 1 stood there still.
    let said = on(&mut bench, "2026-04-05", "place 2a 100,0").unwrap_err();
    assert_eq!(said, "2a would stand in 1a, which was placed at 0,0");
    let done = on(&mut bench, "2026-04-05", "move --all frame/left to sill/kitchen").unwrap();
    assert_eq!(done.said.len(), 2, "both trays, as they stood that day: {:?}", done.said);
    on(&mut bench, "2026-04-12", "undo").unwrap();
    on(&mut bench, "2026-04-12", "place 2a 100,0").unwrap();
    // A carrier that is put away by now stood there too.
    on(&mut bench, "2026-04-12", "carrier add crate --in carrier --at sill/kitchen").unwrap();
    on(&mut bench, "2026-04-14", "carrier clear crate").unwrap();
    let done = on(&mut bench, "2026-04-13", "move --all sill/kitchen to frame/left").unwrap();
    assert!(done.said.iter().any(|said| said.contains("crate")), "{:?}", done.said);
    assert!(bench.desk.check().unwrap().is_sound());
}

#[test]
fn who_shares_a_tray_is_told_apart_in_the_answer() {
    let mut bench = Bench::new();
    let done = bench.does("sow leek Second --seeds 20 --share 2a");
    let told: Vec<&String> = done.notices.iter().filter(|notice| notice.contains("told apart")).collect();
    assert_eq!(told.len(), 1, "{:?}", done.notices);
    // Alliums all come up as one bent thread: general seedling identification pages.
    assert!(
        told[0].starts_with("2026/4 (leek Second) and 2026/2 (onion First) cannot be told apart until well after"),
        "{}",
        told[0]
    );
    // Three in one tray: the radish, which nobody confounds with an onion or a leek, comes between them.
    let done = bench.does("sow radish First --seeds 20 --share 2a");
    let rows = "rows in this order differ most from their neighbours: ";
    let order = done.notices.iter().find_map(|notice| notice.strip_prefix(rows)).unwrap();
    assert_eq!(order.split(", ").nth(1), Some("2026/5"), "{order}");
    bench.does("undo");
    let pair = bench.desk.sharing("1".parse().unwrap(), "3".parse().unwrap(), day()).unwrap();
    assert_eq!((pair.told_apart, pair.better), (thumbpot::trade::ToldApart::SeedLeaf, None));
    // On a carrier too.
    bench.does("carrier add crate --in carrier --at sill/kitchen");
    bench.does("receive tomato Other --plants 4 --in 9cm-potx4 --at crate");
    let done = bench.does("move 3a crate --sure");
    assert!(done.said.iter().any(|said| said.contains("crate")), "{:?}", done.said);
    let done = bench.does("sow tomato Third --seeds 4 --in 9cm-potx4 --at crate --sure");
    let alike = done.notices.iter().filter(|notice| notice.contains("cannot be told apart as seedlings")).count();
    assert_eq!(alike, 2, "{:?}", done.notices);
}

#[test]
fn a_carrier_is_asked_about_when_more_is_set_on_it_than_it_holds() {
    let mut bench = Bench::new();
    bench.does("carrier add crate --in carrier --at frame/left");
    bench.does("carrier add dozen --in 12-carrier --at frame/left");
    // 380 x 240 mm holds four by two pots of 90 mm; the dozen is made for twelve, whatever its size.
    let said = bench.refused("sow leek First --seeds 9 --in 9cm-potx9 --at crate");
    assert_eq!(said, "crate, 380 x 240 mm, holds about 8 more of 9cm-pot, not 9");
    bench.does("sow leek First --seeds 8 --in 9cm-potx8 --at crate");
    let said = bench.refused("move 3a crate");
    assert_eq!(said, "crate, 380 x 240 mm, holds about 0 more of 9cm-pot beside the 8 that stand there, not 6");
    bench.does("move 3a crate --sure");
    bench.does("sow leek First --seeds 8 --in 3.5in-potx8 --at dozen");
    let said = bench.refused("receive tomato First --plants 5 --in 3.5in-potx5 --at dozen");
    assert_eq!(said, "dozen, a 12-carrier, is made for 12 pots: 4 more go there beside the 8 that stand there, not 5");
    bench.does("receive tomato First --plants 4 --in 3.5in-potx4 --at dozen");
    bench.does("count 1 20 --sure");
    let said = bench.refused("pot-on 1a 3 --into 3.5in-potx3 --at dozen");
    assert!(said.contains("0 more go there"), "{said}");
    bench.does("pot-on 1a 3 --into 3.5in-potx3 --at dozen --sure");
    assert_eq!(
        bench.refused("carrier add box --in seed-tray --at frame/left"),
        "seed-tray is filled itself and carries no pots"
    );
}

#[test]
fn a_container_out_of_all_measure_is_refused_and_so_is_a_number_below_one() {
    let mut bench = Bench::new();
    for line in ["measure seed-tray 90x90m", "measure seed-tray 1x1mm", "measure 15-cell 380x240mm --height 9m"] {
        assert!(bench.refused(line).contains("10 mm to 3 m"), "{line}");
    }
    for line in ["own 9cm-potx-3", "sow leek First --seeds 9 --in half-trayx-2 --at frame/left"] {
        assert!(bench.refused(line).contains("from 1 to"), "{line}");
    }
    // Nobody knows the size of an 18-cell: any size a container may have is taken.
    bench.does("measure 288-cell 540x280mm");
}

#[test]
fn an_overfull_bench_has_no_room_on_any_page_and_says_who_has_no_spot() {
    let mut bench = Bench::new();
    // Two by two trays of 380 x 240 mm on 800 x 500 mm, and beside them no ground for a fifth.
    bench.does("bench add sill/table --size 800x500mm");
    for _ in 0..4 {
        bench.does("sow leek First --seeds 9 --in seed-tray --at sill/table");
    }
    let done = bench.does("move 1a sill/table");
    let said = "more stands on sill/table than was found to go: no spot for 1a";
    assert!(done.notices.iter().any(|notice| notice == said), "{done:?}");
    // All on one day, and 1a was sown first: who came last has no spot.
    assert!(done.notices.iter().any(|notice| notice.ends_with("room for 0 -> 0 more of seed-tray")), "{done:?}");
    let fits = bench.desk.fits(&"9cm-pot".parse().unwrap(), day()).unwrap().1;
    assert_eq!(fits.benches.iter().find(|row| row.name.as_str() == "table").unwrap().more, 0);
    let board = bench.desk.board(day()).unwrap();
    assert_eq!(board.trays_on(bench.bench("table")), 0);
    assert_eq!(board.trays_in_words(bench.bench("left"), "more "), "5 more seed trays");
    // Placed in the way: a repacking would seat it.
    bench.does("move 1a frame/left");
    bench.does("move 4a frame/left");
    bench.does("place 5a 200,0");
    bench.does("place 6a 200,250");
    let done = bench.does("move 4a sill/table");
    let said = "as the rest was placed there is no spot on sill/table for 7a, 4a: `repack sill/table` finds one";
    assert!(done.notices.iter().any(|notice| notice == said), "{done:?}");
    let done = bench.does("repack sill/table --do");
    assert!(done.notices[0].starts_with("7a, 4a get a spot, "), "{done:?}");
}

#[test]
fn more_in_use_than_there_are_is_told_and_undo_counts_what_it_takes_back() {
    let mut bench = Bench::new();
    bench.does("own 9cm-potx10");
    let done = bench.does("sow leek First --seeds 5 --in 9cm-potx5 --at sill/kitchen");
    let said = "11 of 9cm-pot in use and 10 owned: `own 9cm-pot 11` if that is so";
    assert!(done.notices.iter().any(|notice| notice == said), "{done:?}");
    let row = bench.desk.in_hand(day()).unwrap().rows.into_iter().find(|row| row.name.as_str() == "9cm-pot").unwrap();
    assert!(row.is_beyond());
    let done = bench.does("swap frame/left sill/kitchen");
    assert_eq!(done.said.len(), 4);
    let undone = bench.does("undo").said.remove(0);
    assert!(undone.starts_with("undone: 4 things: ") && undone.ends_with("; and 2 more"), "{undone}");
    let undone = bench.does("undo").said.remove(0);
    assert!(!undone.contains("things"), "{undone}");
}

#[test]
fn look_alikes_are_told_of_before_they_are_sown_and_no_order_is_made_up() {
    let mut bench = Bench::new();
    // Seedling pages: alliums all come up as one bent thread.
    let pair = bench.desk.sharing_before("leek", "2".parse().unwrap(), day()).unwrap();
    assert_eq!((pair.told_apart, pair.one), (thumbpot::trade::ToldApart::Later, None));
    let words = thumbpot::desk::told_apart(&pair);
    assert!(words.starts_with("leek and 2026/2 (onion First) cannot be told apart"), "{words}");
    // Four of one kind: every pair is as hard as every other.
    bench.does("sow tomato One --seeds 9 --in seed-tray --at frame/left");
    bench.does("sow tomato Two --seeds 9 --share 4a");
    let done = bench.does("sow tomato Three --seeds 9 --share 4a");
    assert!(done.notices.iter().any(|notice| notice.starts_with("no order of rows helps")), "{done:?}");
}

#[test]
fn a_set_that_goes_under_the_roof_only_in_other_rows_is_not_placed() {
    let mut bench = Bench::new();
    bench.does("bench add sill/roof --size 900x500mm --headroom 400..250mm");
    bench.does("receive tomato First --plants 12 --in 9cm-potx12 --at sill/roof");
    bench.does("stage 4 --height 240mm");
    let said = bench.refused("place 4 0,0");
    assert!(said.ends_with("only in rows of 6, and a spot would have it in rows of 4"), "{said}");
    assert!(bench.refused("place 4 --pin").contains("only in rows of 6"));
    // Changed over with one that was placed it is left unplaced there too.
    bench.does("bench add sill/same --size 900x500mm --headroom 400..250mm");
    bench.does("receive tomato First --plants 12 --in 9cm-potx12 --at sill/same");
    bench.does("place 5 0,0");
    bench.does("swap 4 5");
    assert_eq!((bench.spots("same"), bench.spots("roof")), (vec![], vec![]));
}

#[test]
fn a_bench_measured_again_says_whose_rows_it_changes() {
    let mut bench = Bench::new();
    bench.does("bench add sill/low --size 1200x500mm");
    bench.does("receive tomato First --plants 12 --in 9cm-potx12 --at sill/low");
    bench.does("place 4 0,0 --pin");
    let said = |done: Done| done.notices.join("; ");
    let done = bench.does("bench resize sill/low --size 1200x400mm");
    assert!(!said(done).contains("goes there no longer"));
    let done = bench.does("bench resize sill/low --size 1200x260mm");
    let told = "4a goes there no longer as 360 x 270 mm: its pots are taken to stand as 540 x 180 mm";
    assert!(said(done).contains(told));
}

#[test]
fn what_is_refused_is_what_was_asked() {
    let mut bench = Bench::new();
    bench.does("place 1 0,260");
    // Turned there it reaches 380 mm from 260 of 500.
    let said = bench.refused("place 1 --turned");
    assert!(said.starts_with("1a, turned where it stands, 240 x 380 mm, hangs over the edge of frame/left"), "{said}");
    bench.does("bench add sill/edge --size 800x300mm");
    bench.does("sow leek First --seeds 9 --in seed-tray --at sill/edge");
    bench.does("sow leek First --seeds 9 --in half-tray --at sill/edge");
    bench.does("place 4 0,0");
    bench.does("place 5 560,100");
    let said = bench.refused("swap 4 5");
    assert!(said.starts_with("4a is larger than the spot of 5a, and would hang over the edge of sill/edge"), "{said}");
}

#[test]
fn a_height_is_warned_of_once() {
    let mut bench = Bench::new();
    bench.does("receive tomato First --plants 9 --in seed-tray --at frame/left");
    bench.does("place 4 0,0");
    bench.does("stage 4 --height 200mm");
    let done = bench.does("place 4 0,10");
    assert_eq!(done.notices.iter().filter(|line| line.contains("4a")).count(), 1, "{:?}", done.notices);
}
