//! Benches on which not all goes as it came, against arrangements worked out by hand.

use super::*;
use crate::advice::{
    Amiss, Goes, Unsure, assumed_layout, bench_plan, bench_room, fits, may_stand, move_preview, room, space, usual_tray,
};
use crate::journal::Spot;
use crate::quantity::SquareMillimetres;
use crate::science::packing::overlaps;

const ON: &str = "2026-03-10";

fn stands_apart(season: &Season, bench: BenchId) -> bool {
    let layout = assumed_layout(&season.state(), &trade(), day(ON), bench);
    let standing = layout.standings();
    let apart = |(index, one)| standing[..index].iter().all(|other| !overlaps(one, other));
    layout.crowded.is_empty() && standing.iter().enumerate().all(apart)
}

#[test]
fn who_never_draws_has_a_spot_for_all_that_goes() {
    let mut season = Season::default();
    // Four trays as 760 x 480 and 543 x 279 beside them, on 1500 x 500; as they came they stand three across.
    let shelf = season.bench("shelf", PlaceKind::LitShelf, (1500, 500), None);
    for number in 1..=4 {
        season.sows("2026-03-01", number, "leek", 9, on(shelf, tray()));
    }
    season.sows("2026-03-01", 5, "leek", 9, on(shelf, vessel("flat", ContainerClass::Tray, (543, 279, 50))));
    assert!(stands_apart(&season, shelf));
    // 380 x 240 at 0,0; 350 x 280 below it; two blocks of 450 x 360 turned beside: all on 1200 x 600.
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1200, 600), None);
    for (number, vessel) in [(6, tray()), (7, pots(18, 70)), (8, pots(18, 90)), (9, pots(20, 90))] {
        season.sows("2026-03-01", number, "leek", 9, on(frame, vessel));
    }
    assert!(stands_apart(&season, frame));
    // What was placed stays: in the middle of a shelf for two it leaves no spot for the other.
    let ledge = season.bench("ledge", PlaceKind::Windowsill, (800, 240), None);
    season.sows("2026-03-02", 10, "leek", 9, on(ledge, tray()));
    season.sows("2026-03-02", 11, "leek", 9, on(ledge, tray()));
    let spot = Spot { x: 210, y: 0, turned: false, pinned: false };
    let moving = vec![Moving::Whole(season.container("11a"))];
    season.does("2026-03-03", &Act::Move { moving, to: Stand::Bench(ledge), spot: Some(spot) });
    let layout = assumed_layout(&season.state(), &trade(), day(ON), ledge);
    assert_eq!((layout.stood[0].standing.at.x, layout.crowded), (Millimetres(210), vec![season.container("10a")]));
}

#[test]
fn a_bench_with_something_that_has_no_spot_has_no_room_whoever_asks() {
    let mut season = Season::default();
    let table = season.bench("table", PlaceKind::Room, (800, 500), None);
    let other = season.bench("other", PlaceKind::Room, (800, 500), None);
    // Sown first and moved there last, all on one day.
    season.sows(ON, 1, "leek", 9, on(other, tray()));
    for number in 2..=5 {
        season.sows(ON, number, "leek", 9, on(table, tray()));
    }
    let before = season.state();
    season.sows(ON, 6, "leek", 9, on(other, pots(1, 50)));
    season.moves(ON, "1a", Stand::Bench(table));
    let (state, trade) = (season.state(), trade());
    assert_eq!(assumed_layout(&state, &trade, day(ON), table).crowded, [season.container("1a")]);
    let area = space(&state, &trade, day(ON)).benches.iter().find(|bench| bench.bench == table).unwrap().area;
    let found = room(&state, &trade, day(ON)).into_iter().find(|bench| bench.bench == table).unwrap();
    assert_eq!((found.free, found.usable, found.unsure), (area.free, SquareMillimetres(0), Some(Unsure::Overfull)));
    assert_eq!(found.crowded, ["1a"]);
    // A pot of 20 mm goes into the strip that is drawn free, and did before the fifth tray came.
    let pot = pots(1, 20);
    assert!(bench_room(&before, &trade, day(ON), table, &pot).unwrap().1 > 0);
    assert_eq!(bench_room(&state, &trade, day(ON), table, &pot), Some((area.free, 0)));
    let answer = fits(&state, &trade, day(ON), &pot, 1);
    let row = answer.benches.iter().find(|bench| bench.bench == table).unwrap();
    assert_eq!((row.more, row.spots.len(), row.unsure), (0, 0, Some(Unsure::Overfull)));
    let plan = bench_plan(&state, &trade, day(ON), table).unwrap();
    assert_eq!(plan.free_spots(&pot), []);
    let newcomer = season.container("6a");
    assert_eq!(plan.reach(&state, &trade, day(ON), newcomer).unwrap().spots, []);
    let preview = move_preview(&state, &trade, day(ON), &[newcomer]);
    let (side, goes) = preview.to[0];
    assert_eq!((side.bench, goes, side.before.free), (table, Goes::Crowded, area.free));
    assert_eq!(usual_tray(&state, &trade).unwrap().name, name("seed-tray"));
}

#[test]
fn what_is_too_tall_anywhere_stands_under_the_high_side_and_may_be_set_down_there() {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1000, 500), Some((300, 100)));
    season.sows("2026-03-01", 1, "tomato", 9, on(frame, tray()));
    season.counts(ON, "1a", 9);
    season.notes(ON, "1a", Growth { height: Some(Millimetres(260)), ..SEEN });
    let (state, trade) = (season.state(), trade());
    // 50 mm of tray and 260 of plant: above the 300 mm at the back.
    let plan = bench_plan(&state, &trade, day(ON), frame).unwrap();
    let shape = &plan.shapes[0];
    assert_eq!((shape.y, shape.across, shape.amiss), (Millimetres(0), Millimetres(240), Some(Amiss::TooTallAnywhere)));
    let back = Spot { x: 0, y: 0, turned: false, pinned: false };
    assert_eq!(may_stand(&state, &trade, day(ON), season.container("1a"), frame, back), Ok(()));
}
