//! Placing, repacking and making room, against spots worked out by hand and against the two laws of packing.

use super::*;
use crate::advice::{
    Amiss, CannotRepack, CannotStand, Goes, HighSide, assumed_layout, bench_plan, bench_room, fits, goes_on,
    holds_nothing, may_stand, move_preview, repacking, room, usual_tray,
};
use crate::journal::{Shift, Spot};
use crate::quantity::SquareMillimetres;

const ON: &str = "2026-03-10";

fn spot(x: u32, y: u32) -> Spot {
    Spot { x, y, turned: false, pinned: false }
}

fn places(season: &mut Season, part: &str, bench: BenchId, spot: Spot) {
    let shift = Shift { container: season.container(part), to: Stand::Bench(bench), spot: Some(spot) };
    season.does("2026-03-05", &Act::Rearrange(vec![shift]));
}

/// A frame of 1000 x 500 mm, 300 mm high at the back and 100 mm in front, with two trays in it.
fn frame() -> (Season, BenchId) {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1000, 500), Some((300, 100)));
    season.sows("2026-03-01", 1, "leek", 40, on(frame, tray()));
    season.sows("2026-03-01", 2, "leek", 40, on(frame, tray()));
    (season, frame)
}

#[test]
fn a_spot_is_refused_off_the_bench_in_another_and_under_too_low_a_roof() {
    let (mut season, frame) = frame();
    let ask = |season: &Season, part: &str, spot: Spot| {
        may_stand(&season.state(), &trade(), day(ON), season.container(part), frame, spot)
    };
    // What nobody placed gives way: only the bench and the roof speak against it.
    assert_eq!(ask(&season, "1a", spot(0, 0)), Ok(()));
    assert_eq!(ask(&season, "1a", spot(620, 260)), Ok(()), "flush with the right end and the front");
    let off = ask(&season, "1a", spot(621, 0)).unwrap_err();
    let words = "1a, 380 x 240 mm as it would stand, hangs over the edge of frame/bench, 1000 x 500 mm";
    assert_eq!(off.to_string(), words);
    assert!(matches!(ask(&season, "1a", Spot { turned: true, ..spot(0, 121) }), Err(CannotStand::Off { .. })));
    assert_eq!(ask(&season, "1a", Spot { turned: true, ..spot(760, 120) }), Ok(()), "240 x 380 turned");
    places(&mut season, "1a", frame, spot(0, 0));
    let overlap = ask(&season, "2a", spot(379, 0)).unwrap_err();
    assert_eq!(overlap.to_string(), "2a would stand in 1a, which was placed at 0,0");
    assert_eq!(ask(&season, "2a", spot(380, 0)), Ok(()), "edges may touch");
    // 50 mm of tray and 90 mm of leek are 140: 300 - 200 x 400/500 = 140 at y = 400, so the last row there is at 160.
    season.counts("2026-03-09", "2a", 30);
    season.notes("2026-03-09", "2a", Growth { height: Some(Millimetres(90)), ..SEEN });
    let low = ask(&season, "2a", spot(380, 161)).unwrap_err();
    assert!(matches!(low, CannotStand::TooTall { height: Millimetres(140), .. }), "{low}");
    assert_eq!(ask(&season, "2a", spot(380, 160)), Ok(()));
    assert_eq!(ask(&season, "2a", spot(380, 0)), Ok(()));
}

#[test]
fn a_set_whose_spot_is_noted_keeps_its_rows_however_tall_it_grows() {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (900, 500), Some((400, 250)));
    season.sows("2026-03-01", 1, "tomato", 12, on(frame, pots(12, 90)));
    season.sows("2026-03-01", 2, "leek", 40, on(frame, tray()));
    season.counts("2026-03-04", "1a", 12);
    places(&mut season, "1a", frame, spot(0, 0));
    places(&mut season, "2a", frame, spot(380, 0));
    let id = season.container("1a");
    let mut seen = Vec::new();
    for (height, day_of) in
        [(None, "2026-03-05"), (Some(180), "2026-03-06"), (Some(245), "2026-03-08"), (Some(330), "2026-03-09")]
    {
        if let Some(height) = height {
            season.notes(day_of, "1a", Growth { height: Some(Millimetres(height)), ..SEEN });
        }
        for later in [day_of, "2026-03-10", "2026-03-25"] {
            let (state, later) = (season.state(), day(later));
            let plan = bench_plan(&state, &trade(), later, frame).unwrap();
            let shape = plan.shapes.iter().find(|shape| shape.container == id).unwrap();
            // Twelve 9 cm pots stand squarest as four by three.
            assert_eq!((shape.along, shape.across), (Millimetres(360), Millimetres(270)), "{height:?} on {later}");
            assert!(plan.shapes.iter().all(|shape| shape.amiss != Some(Amiss::Overlaps)), "{height:?} on {later}");
            seen.push(shape.amiss);
            // In the hand it covers the same ground, and what is lit up and what a repacking notes can be placed so.
            let reach = plan.reach(&state, &trade(), later, id).unwrap();
            let at = reach.at(Millimetres(0), Millimetres(0), false);
            assert_eq!((at.along, at.across), (shape.along, shape.across));
            let tray = season.container("2a");
            for spot in plan.reach(&state, &trade(), later, tray).unwrap().spots {
                let spot = Spot { x: spot.x.0, y: spot.y.0, turned: spot.turned, pinned: false };
                assert_eq!(may_stand(&state, &trade(), later, tray, frame, spot), Ok(()));
            }
        }
    }
    // By the roof over its front edge, 270 of 500 mm: 319 mm, and its pots are 85.
    assert_eq!((seen.first(), seen.last()), (Some(&None), Some(&Some(Amiss::TooTallAnywhere))));
    assert!(seen.contains(&Some(Amiss::TooTall)), "in two rows of six it would go: {seen:?}");
    // No other spot is better for it, so that a repacking leaves it where it is.
    let (state, later) = (season.state(), day("2026-03-07"));
    let amiss =
        bench_plan(&state, &trade(), later, frame).unwrap().shapes.into_iter().find(|shape| shape.container == id);
    assert!(amiss.unwrap().amiss.is_some());
    let plan = repacking(&state, &trade(), later, frame).unwrap();
    assert!(plan.amiss.is_empty() && plan.lifts.iter().all(|lift| lift.container != id), "{plan:?}");
}

#[test]
fn what_a_spot_cannot_say_is_neither_noted_nor_lifted_by_a_repacking() {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1200, 500), Some((400, 250)));
    season.sows("2026-03-01", 1, "leek", 40, on(frame, tray()));
    season.sows("2026-03-01", 2, "tomato", 12, on(frame, pots(12, 90)));
    season.counts("2026-03-04", "2a", 12);
    season.notes("2026-03-10", "2a", Growth { height: Some(Millimetres(220)), ..SEEN });
    // In the middle of what is left, so that little goes beside it.
    places(&mut season, "1a", frame, spot(700, 130));
    let set = season.container("2a");
    let plan = bench_plan(&season.state(), &trade(), day(ON), frame).unwrap();
    let shape = plan.shapes.iter().find(|shape| shape.container == set).unwrap();
    assert_eq!((shape.along, shape.across, shape.amiss), (Millimetres(540), Millimetres(180), None), "under the back");
    assert!(!shape.can_be_noted);
    let plan = repacking(&season.state(), &trade(), day(ON), frame).unwrap();
    assert!(plan.is_worth_it());
    assert!(plan.spots.iter().all(|(id, _)| *id != set) && plan.lifts.iter().all(|lift| lift.container != set));
}

#[test]
fn plants_are_taken_to_grow_by_the_table_and_never_beyond_it_or_what_was_noted() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1000, 500), None);
    season.sows("2026-03-01", 1, "leek", 40, on(sill, tray()));
    let ahead = |season: &Season, on: &str| {
        let plan = bench_plan(&season.state(), &trade(), day(on), sill).unwrap();
        plan.shapes[0].ahead.map(|tall| (tall.height.0, tall.guessed))
    };
    assert_eq!(ahead(&season, "2026-03-10"), Some((50, false)), "nothing is up: the tray alone");
    season.counts("2026-03-15", "1a", 30);
    // The table has leek at 200 mm after 8 to 15 weeks: 200 / 80.5 days = 2.48 mm a day. On 24 March it is 23 days
    // old, in a week 30: 74.5 mm, over a tray of 50.
    assert_eq!(ahead(&season, "2026-03-24"), Some((124, true)));
    assert_eq!(ahead(&season, "2027-03-24"), Some((250, true)), "no taller than the table plants it out");
    season.notes("2026-03-24", "1a", Growth { height: Some(Millimetres(100)), ..SEEN });
    // 100 noted, and 7 days of 2.48 = 17.4.
    assert_eq!(ahead(&season, "2026-03-24"), Some((167, true)));
    season.notes("2026-04-24", "1a", Growth { height: Some(Millimetres(260)), ..SEEN });
    assert_eq!(ahead(&season, "2026-04-24"), Some((310, true)), "noted beyond the table it stays what it was");
}

#[test]
fn what_cannot_be_on_any_bench_is_refused_and_what_may_be_is_not() {
    let (season, frame) = frame();
    let state = season.state();
    let words = |vessel: &Vessel, count| goes_on(&state, frame, vessel, count).unwrap_err().to_string();
    let tall = vessel("deep", ContainerClass::Tray, (380, 240, 310));
    assert!(words(&tall, 1).starts_with("deep (380 x 240 mm, 310 mm high) does not go on frame/bench"));
    assert!(words(&vessel("long", ContainerClass::Tray, (1001, 240, 50)), 1).contains("even with nothing else on it"));
    // 62 pots of 90 mm cover 0.5022 m2 of 0.5.
    assert_eq!(words(&pots(62, 90), 1), "62 of pot cover 0.50 m2, and frame/bench has 0.50 m2 in all");
    assert_eq!(goes_on(&state, frame, &pots(61, 90), 1), Ok(()));
    assert!(matches!(goes_on(&state, frame, &tray(), 6), Err(CannotStand::TooMany { count: 6, .. })));
    assert_eq!(goes_on(&state, frame, &Vessel { length: None, ..tray() }, 500), Ok(()));
    let size = |length, width, roof: Option<u32>| BenchSize {
        length: Millimetres(length),
        width: Millimetres(width),
        headroom_back: roof.map(Millimetres),
        headroom_front: roof.map(Millimetres),
    };
    assert!(holds_nothing(&trade(), &size(10, 10, None)) && holds_nothing(&trade(), &size(1000, 500, Some(10))));
    assert!(!holds_nothing(&trade(), &size(200, 200, Some(300))));
}

#[test]
fn a_tray_in_the_middle_is_shifted_to_make_room_and_a_pinned_one_is_not() {
    let mut season = Season::default();
    // 800 x 240: two trays end to end; one in the middle leaves 210 mm on both sides.
    let sill = season.bench("sill", PlaceKind::Windowsill, (800, 240), None);
    season.sows("2026-03-01", 1, "leek", 40, on(sill, tray()));
    places(&mut season, "1a", sill, spot(210, 0));
    let state = season.state();
    let answer = fits(&state, &trade(), day(ON), &tray(), 1);
    assert_eq!((answer.fits, answer.made.len()), (0, 1));
    let made = &answer.made[0];
    assert_eq!((made.count, made.lifts.len(), made.lifts[0].label.as_str()), (1, 1, "1a"));
    let tray_at = |at: u32| [at, at + 380];
    let (old, new) = (tray_at(made.lifts[0].to.x.0), tray_at(made.spots[0].x.0));
    assert!(old[1] <= new[0] || new[1] <= old[0], "{made:?}");
    assert!(fits(&state, &trade(), day(ON), &tray(), 2).made.is_empty(), "three are 1140 mm long");
    // A repacking frees 420 mm for a tray; before, none could use any of it.
    let plan = repacking(&state, &trade(), day(ON), sill).unwrap();
    assert_eq!((plan.lifts.len(), plan.never_placed), (1, 0));
    assert_eq!((plan.usable_before, plan.usable_after), (SquareMillimetres(0), SquareMillimetres(420 * 240)));
    assert_eq!(plan.more, [(name("seed-tray"), 0, 1)]);
    assert_eq!(room(&state, &trade(), day(ON))[0].usable, SquareMillimetres(0));

    places(&mut season, "1a", sill, Spot { pinned: true, ..spot(210, 0) });
    let state = season.state();
    assert!(fits(&state, &trade(), day(ON), &tray(), 1).made.is_empty());
    assert_eq!(repacking(&state, &trade(), day(ON), sill).unwrap().lifts, []);
    assert_eq!(usual_tray(&state, &trade()).unwrap().name, name("seed-tray"));
}

#[test]
fn a_way_out_by_moving_one_thing_away_is_so_once_it_is_done() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 250), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (1200, 600), Some((400, 250)));
    let half = vessel("half-tray", ContainerClass::Tray, (230, 170, 50));
    season.sows("2026-03-01", 1, "leek", 10, on(sill, half));
    // On the sill it takes the room of one of three trays, and in the frame that of one more: nothing is won.
    let all = fits(&season.state(), &trade(), day(ON), &tray(), 9);
    assert_eq!(all.fits, 8);
    assert_eq!(all.away, None, "{:?}", all.away);
    // A shelf that holds it and no tray is the way out, and once it is taken all go.
    let shelf = season.bench("shelf", PlaceKind::Room, (240, 200), None);
    let all = fits(&season.state(), &trade(), day(ON), &tray(), 9);
    let away = all.away.unwrap();
    assert_eq!((away.from.as_str(), away.to.as_str()), ("sill/bench", "shelf/bench"));
    season.moves("2026-03-02", "1a", Stand::Bench(shelf));
    assert_eq!(fits(&season.state(), &trade(), day(ON), &tray(), 9).fits, 9);
    assert_eq!(
        fits(&season.state(), &trade(), day(ON), &tray(), 9)
            .benches
            .iter()
            .find(|row| row.bench == frame)
            .unwrap()
            .more,
        6
    );
}

#[test]
fn pins_that_contradict_one_another_are_named() {
    let (mut season, frame) = frame();
    places(&mut season, "1a", frame, Spot { pinned: true, ..spot(0, 0) });
    places(&mut season, "2a", frame, Spot { pinned: true, ..spot(100, 0) });
    let words = repacking(&season.state(), &trade(), day(ON), frame).unwrap_err();
    assert_eq!(words, CannotRepack::PinsOverlap("1a".to_owned(), "2a".to_owned()));
    assert_eq!(words.to_string(), "by the log 1a and 2a are pinned in each other");
    let plan = bench_plan(&season.state(), &trade(), day(ON), frame).unwrap();
    assert!(plan.shapes.iter().all(|shape| shape.amiss == Some(Amiss::Overlaps) && shape.pinned && shape.noted));
}

#[test]
fn the_plan_has_everything_in_millimetres_and_says_where_something_may_go() {
    let (mut season, frame) = frame();
    places(&mut season, "2a", frame, Spot { turned: true, ..spot(700, 20) });
    let state = season.state();
    let plan = bench_plan(&state, &trade(), day(ON), frame).unwrap();
    assert_eq!((plan.high, plan.shapes.len(), plan.crowded.len()), (HighSide::Back, 2, 0));
    let placed = plan.shapes.iter().find(|shape| shape.label == "2a").unwrap();
    let corner = [placed.x, placed.y, placed.along, placed.across].map(|mm| mm.0);
    assert_eq!((corner, placed.turned, placed.noted, placed.pinned), ([700, 20, 240, 380], true, true, false));
    // Of a 15 cm pot, 150 mm and 100 mm high, only some spots are high enough: all of the bench is 100 mm or more.
    let pot = vessel("pot", ContainerClass::Pot, (150, 150, 100));
    let spots = plan.free_spots(&pot);
    assert!(!spots.is_empty());
    for free in &spots {
        let apart = plan.shapes.iter().all(|shape| {
            free.x.0 + 150 <= shape.x.0
                || shape.x.0 + shape.along.0 <= free.x.0
                || free.y.0 + 150 <= shape.y.0
                || shape.y.0 + shape.across.0 <= free.y.0
        });
        assert!(apart && free.x.0 + 150 <= 1000 && free.y.0 + 150 <= 500, "{free:?}");
    }
    // Where 2a stands counts as free for itself.
    let (two, at) = (season.container("2a"), |x, y| (Millimetres(x), Millimetres(y)));
    let reach = plan.reach(&state, &trade(), day(ON), two).unwrap();
    assert!(!reach.spots.is_empty());
    assert!(reach.spots.iter().all(|spot| plan.amiss_at(two, &reach, *spot).is_none()));
    // Off the bench by a millimetre, and into the other by one; under the slope 2a goes anywhere.
    let one = plan.shapes.iter().find(|shape| shape.label == "1a").unwrap();
    let spot = |(x, y)| reach.at(x, y, true);
    assert_eq!(plan.amiss_at(two, &reach, spot(at(761, 0))), Some(Amiss::Off));
    assert_eq!(plan.amiss_at(two, &reach, spot(at(760, 120))), None);
    let into = spot(at(one.x.0 + one.along.0 - 1, 120));
    assert_eq!(plan.amiss_at(two, &reach, into), Some(Amiss::Overlaps));
    assert_eq!(plan.in_the_way(two, &reach, into).map(|shape| shape.label.as_str()), Some("1a"));
    let taller = vessel("tub", ContainerClass::Pot, (150, 150, 250));
    // 250 mm is under the roof up to y = 125: a pot 150 mm across goes nowhere.
    assert_eq!(plan.free_spots(&taller), []);
    assert_eq!(assumed_layout(&state, &trade(), day(ON), frame).stood.len(), 2);
}

#[test]
fn a_preview_says_what_the_move_then_does_to_both_sides() {
    let (mut season, frame) = frame();
    let narrow = season.bench("ledge", PlaceKind::Windowsill, (1000, 200), None);
    let wide = season.bench("table", PlaceKind::Room, (1000, 500), None);
    let low = season.bench("box", PlaceKind::ColdFrame, (1000, 500), Some((40, 40)));
    let moved = [season.container("1a"), season.container("2a")];
    let tray = usual_tray(&season.state(), &trade()).unwrap();
    let preview = move_preview(&season.state(), &trade(), day(ON), &moved);
    let goes = |bench| preview.to.iter().find(|(side, _)| side.bench == bench).unwrap().1;
    // Trays of 380 x 240 mm: off a ledge of 200 mm, and 60 mm high under a roof of 40 mm.
    assert_eq!([goes(wide), goes(low), goes(narrow)], [Goes::All, Goes::TooTall, Goes::Never]);
    assert_eq!(preview.to[0].0.bench, wide, "where they go comes first");
    let before = season.state();
    let moving = moved.map(crate::journal::Moving::Whole).to_vec();
    season.does(ON, &Act::Move { moving, to: Stand::Bench(wide), spot: None });
    let after = season.state();
    for (bench, side) in [(frame, preview.from[0]), (wide, preview.to[0].0)] {
        let room = |state| bench_room(state, &trade(), day(ON), bench, &tray).unwrap();
        assert_eq!((side.bench, (side.before.free, side.before.more)), (bench, room(&before)));
        assert_eq!((side.after.free, side.after.more), room(&after));
    }
}
