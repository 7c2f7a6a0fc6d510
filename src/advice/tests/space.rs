//! Bench space against areas and blocks worked out by hand.

use super::*;
use crate::advice::{Area, Unsure, assumed_layout, fits, space};
use crate::journal::Spot;
use crate::quantity::SquareMillimetres;
use crate::science::packing::{Placed, Turn, inside, overlaps};

const ON: &str = "2026-03-04";

fn area(whole: u64, taken: u64, free: u64, unmeasured: u32) -> Area {
    Area { whole: SquareMillimetres(whole), taken: SquareMillimetres(taken), free: SquareMillimetres(free), unmeasured }
}

#[test]
fn area_is_what_containers_leave_by_bench_place_and_group() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1000, 500), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1200, 500), Some((400, 250)));
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.sows("2026-03-01", 2, "leek", 12, on(sill, pots(12, 90)));
    season.sows("2026-03-01", 3, "leek", 12, on(frame, tray()));
    let unmeasured = Vessel { length: None, width: None, ..tray() };
    season.sows("2026-03-01", 4, "leek", 12, on(frame, unmeasured));
    // 1000 x 500 = 500,000; 380 x 240 = 91,200; 12 x 90 x 90 = 97,200.
    let found = space(&season.state(), &trade(), day(ON));
    assert_eq!(found.indoors, area(500_000, 188_400, 311_600, 0));
    assert_eq!(found.frames, area(600_000, 91_200, 508_800, 1));
    assert_eq!(found.places.iter().map(|place| place.name.as_str()).collect::<Vec<_>>(), ["frame", "sill"]);
    let bench = &found.benches[1];
    assert_eq!(bench.standing.len(), 2);
    assert_eq!(bench.standing[1].parts.iter().map(ToString::to_string).collect::<Vec<_>>(), ["2a"]);
    // Twelve 9 cm pots stand squarest as four by three.
    assert_eq!(bench.standing[1].block, Some((Millimetres(360), Millimetres(270))));
    assert_eq!(found.benches[0].standing[1].block, None);

    // Out for the day they keep their home; cleared they leave it.
    let (containers, yard) = (vec![season.container("1a")], season.place("yard", PlaceKind::StandingGround));
    season.does("2026-03-10", &Act::PutOut { containers, place: yard });
    let found = space(&season.state(), &trade(), day(ON));
    assert_eq!(found.indoors, area(500_000, 188_400, 311_600, 0));
    assert_eq!(found.benches[1].standing[0].out, Some(name("yard")));
    season.clears("2026-03-11", "1a", Rest::Keep);
    assert_eq!(space(&season.state(), &trade(), day(ON)).indoors, area(500_000, 97_200, 402_800, 0));
    season.moves("2026-03-12", "2a", Stand::Place(yard));
    let found = space(&season.state(), &trade(), day(ON));
    assert_eq!(found.indoors, area(500_000, 0, 500_000, 0));
    assert_eq!(found.places.iter().map(|place| place.off_bench).collect::<Vec<_>>(), [0, 0, 1]);
}

#[test]
fn a_carrier_is_one_footprint_whatever_it_carries() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1000, 500), None);
    let carrier = vessel("carrier", ContainerClass::Carrier, (500, 300, 60));
    let stand = Stand::Bench(sill);
    let carrier = season.does("2026-03-01", &Act::SetCarrier { vessel: carrier, called: name("crate 1"), stand });
    let room = Room::New { vessel: pots(6, 90), count: 1, stand: Stand::Carrier(ContainerId(carrier)), spot: None };
    season.sows("2026-03-01", 1, "leek", 6, room);
    season.counts("2026-03-20", "1a", 6);
    season.notes("2026-03-20", "1a", Growth { height: Some(Millimetres(70)), ..SEEN });
    let found = space(&season.state(), &trade(), day(ON));
    assert_eq!(found.indoors, area(500_000, 150_000, 350_000, 0));
    let row = &found.benches[0].standing[0];
    assert_eq!((row.called.clone(), row.parts.len()), (Some(name("crate 1")), 1));
    assert_eq!(row.height, Some(Millimetres(155)), "a pot of 85 and a leek of 70");
}

#[test]
fn what_stands_nowhere_in_particular_is_stood_in_the_order_it_came() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (800, 500), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (800, 500), None);
    for number in 1..=4 {
        season.sows("2026-03-01", number, "leek", 10, on(if number == 1 { frame } else { sill }, tray()));
    }
    season.moves("2026-03-02", "1a", Stand::Bench(sill));
    let layout = assumed_layout(&season.state(), &trade(), day(ON), sill);
    // Two by two, 760 x 480 of 800 x 500.
    let labels: Vec<ContainerId> = ["2a", "3a", "4a", "1a"].iter().map(|label| season.container(label)).collect();
    assert_eq!(layout.stood.iter().map(|stood| stood.container).collect::<Vec<_>>(), labels);
    assert!(layout.stood.iter().all(|stood| !stood.noted));
    for (index, one) in layout.standings().iter().enumerate() {
        assert!(layout.standings()[..index].iter().all(|other| !overlaps(one, other)));
    }
    // A fifth by the log: it finds no spot, and no more go.
    season.sows("2026-03-03", 5, "leek", 10, on(sill, tray()));
    assert_eq!(assumed_layout(&season.state(), &trade(), day(ON), sill).crowded, [season.container("5a")]);
    // The strips of 40 and 20 mm that are left by the plan are not free by the log.
    let answer = fits(&season.state(), &trade(), day(ON), &pots(1, 20), 1);
    let bench = answer.benches.iter().find(|bench| bench.bench == sill).unwrap();
    assert_eq!((bench.more, bench.unsure), (0, Some(Unsure::Overfull)));
    // One that was placed stays where it was put.
    let spot = Spot { x: 10, y: 5, turned: true, pinned: false };
    let moving = vec![Moving::Whole(season.container("5a"))];
    season.does("2026-03-04", &Act::Move { moving, to: Stand::Bench(frame), spot: Some(spot) });
    let layout = assumed_layout(&season.state(), &trade(), day(ON), frame);
    let at = Placed { x: Millimetres(10), y: Millimetres(5), turn: Turn::Quarter };
    assert_eq!((layout.stood[0].standing.at, layout.stood[0].noted), (at, true));
}

#[test]
fn fits_says_how_many_where_and_under_what_roof() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1000, 250), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1200, 500), Some((300, 100)));
    season.sows("2026-03-01", 1, "leek", 10, on(sill, tray()));
    // The sill has 620 x 250 left: one more tray lengthwise, for turned it is too deep.
    let answer = fits(&season.state(), &trade(), day(ON), &tray(), 3);
    assert_eq!(answer.benches.iter().map(|bench| bench.place_name.as_str()).collect::<Vec<_>>(), ["frame", "sill"]);
    let more: Vec<u32> = answer.benches.iter().map(|bench| bench.more).collect();
    // In the frame 1200 x 500 takes three across in two rows: six, 50 mm being low enough everywhere.
    assert_eq!((answer.asked, answer.fits, more), (3, 3, vec![6, 1]));
    assert_eq!(answer.benches[0].spots.len(), 3);
    // 200 mm tall stands only where the roof is 200 or more: the back half, 250 mm, one row of three.
    let tall = vessel("deep", ContainerClass::Tray, (380, 240, 200));
    assert_eq!(fits(&season.state(), &trade(), day(ON), &tall, 9).benches[0].more, 3);
    let taller = vessel("deeper", ContainerClass::Tray, (380, 240, 301));
    assert_eq!(fits(&season.state(), &trade(), day(ON), &taller, 9).benches[0].more, 0);
    assert_eq!(fits(&season.state(), &trade(), day(ON), &taller, 9).fits, 1, "on the sill, open above");
    // A dozen 9 cm pots: four by three is too deep for the sill's 250, six by two goes once (540 x 180 of 620 x 250).
    let dozen = fits(&season.state(), &trade(), day(ON), &pots(12, 90), 1);
    assert_eq!(dozen.benches[1].more, 1);
    // Three of 80 mm stand squarest two by two, of which three go; in rows of three, 240 x 80, more would, but nobody
    // would draw them so.
    assert_eq!(fits(&season.state(), &trade(), day(ON), &pots(3, 80), 1).benches[1].more, 3);
    let unmeasured = fits(&season.state(), &trade(), day(ON), &Vessel { length: None, ..tray() }, 1);
    assert_eq!((unmeasured.measured, unmeasured.fits), (false, 0));
    // What is offered can be stood.
    let surface = crate::science::packing::Surface::new(Millimetres(1200), Millimetres(500), None).unwrap();
    let standing = assumed_layout(&season.state(), &trade(), day(ON), frame).standings();
    for at in &answer.benches[0].spots {
        let item = crate::science::packing::Item::new(Millimetres(380), Millimetres(240), None).unwrap();
        let one = crate::science::packing::Standing { item, at: *at };
        assert!(inside(&surface, &one) && standing.iter().all(|other| !overlaps(&one, other)));
    }
}
