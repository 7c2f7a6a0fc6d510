//! The rows a set of pots stands in: the same for who asks what fits, who sets it down, and who never draws.

use proptest::prelude::*;

use super::*;
use crate::advice::{CannotStand, assumed_layout, bench_plan, fits, may_stand};
use crate::journal::{Cause, Moving, Recount, Shift, Spot};
use crate::science::packing::{Item, Placed, Turn, overlaps, place_one};

const ON: &str = "2026-03-10";

fn noted(at: Placed, pinned: bool) -> Spot {
    Spot { x: at.x.0, y: at.y.0, turned: at.turn == Turn::Quarter, pinned }
}

fn places(season: &mut Season, part: &str, bench: BenchId, spot: Spot) {
    let shift = Shift { container: season.container(part), to: Stand::Bench(bench), spot: Some(spot) };
    season.does(ON, &Act::Rearrange(vec![shift]));
}

fn resizes(season: &mut Season, bench: BenchId, length: u32, width: u32) {
    let size = season.state().benches[&bench].size;
    let size = BenchSize { length: Millimetres(length), width: Millimetres(width), ..size };
    season.does(ON, &Act::ResizeBench { bench, size });
}

/// The ground 1a is drawn on, as it stands.
fn drawn(season: &Season, bench: BenchId) -> (u32, u32) {
    let plan = bench_plan(&season.state(), &trade(), day(ON), bench).unwrap();
    let id = season.container("1a");
    let shape = plan.shapes.into_iter().find(|shape| shape.container == id).unwrap();
    (shape.along.0, shape.across.0)
}

fn some_vessel((kind, many): (u8, u32)) -> Vessel {
    match kind % 5 {
        0 => tray(),
        1 => pots(many, 70),
        2 => vessel("half-tray", ContainerClass::Tray, (240, 190, 50)),
        3 => pots(many, 50),
        _ => pots(many, 90),
    }
}

/// A bench with things on it, some of them placed.
fn bench_of(
    size: (u32, u32),
    roof: Option<(u32, u32)>,
    things: &[(u8, u32)],
    placed: &[(usize, u32, u32, bool)],
) -> (Season, BenchId) {
    let mut season = Season::default();
    let bench = season.bench("frame", PlaceKind::ColdFrame, size, roof);
    for (number, thing) in things.iter().enumerate() {
        season.sows("2026-03-01", u32::try_from(number).unwrap() + 1, "leek", 9, on(bench, some_vessel(*thing)));
    }
    for (at, x, y, turned) in placed.iter().filter(|(at, ..)| *at < things.len()) {
        let id = season.container(&format!("{}a", at + 1));
        let spot = Spot { x: *x, y: *y, turned: *turned, pinned: *turned };
        if may_stand(&season.state(), &trade(), day(ON), id, bench, spot).is_ok() {
            places(&mut season, &format!("{}a", at + 1), bench, spot);
        }
    }
    (season, bench)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn whatever_is_said_to_fit_goes(
        size in (300_u32..1300, 180_u32..700),
        roof in prop::option::of((60_u32..200, 60_u32..200)),
        things in prop::collection::vec((any::<u8>(), 1_u32..22), 0..6),
        placed in prop::collection::vec((0_usize..6, 0_u32..900, 0_u32..400, any::<bool>()), 0..4),
        asked in (any::<u8>(), 1_u32..26),
        many in 1_u32..6,
    ) {
        let (season, bench) = bench_of(size, roof, &things, &placed);
        let (vessel, trade, on_day) = (some_vessel(asked), trade(), day(ON));
        let answer = fits(&season.state(), &trade, on_day, &vessel, many);
        let row = answer.benches.iter().find(|row| row.bench == bench).unwrap();
        // Those asked about, and as many as are said to go, with nobody placing anything.
        for count in [many.min(row.more), row.more].into_iter().filter(|count| (1..60).contains(count)) {
            let mut season = Season { entries: season.entries.clone(), ..season };
            let room = Room::New { vessel: vessel.clone(), count, stand: Stand::Bench(bench), spot: None };
            season.sows(ON, 90, "leek", 900, room);
            prop_assert_eq!(assumed_layout(&season.state(), &trade, on_day, bench).crowded, []);
        }
        // Each set down where it is said to go, what stands there noted where it is drawn.
        let mut season = season;
        let plan = bench_plan(&season.state(), &trade, on_day, bench).unwrap();
        let as_drawn = plan.shapes.iter().filter(|shape| !shape.noted && shape.can_be_noted).map(|shape| {
            let spot = Spot { x: shape.x.0, y: shape.y.0, turned: shape.turned, pinned: false };
            Shift { container: shape.container, to: Stand::Bench(bench), spot: Some(spot) }
        });
        let as_drawn: Vec<Shift> = as_drawn.collect();
        if !as_drawn.is_empty() {
            season.does(ON, &Act::Rearrange(as_drawn));
        }
        for (number, at) in (90..).zip(&row.spots) {
            season.sows(ON, number, "leek", 9, on(bench, vessel.clone()));
            let id = season.container(&format!("{number}a"));
            let spot = noted(*at, false);
            let said = may_stand(&season.state(), &trade, on_day, id, bench, spot);
            prop_assert!(said.is_ok(), "{:?}", said);
            places(&mut season, &format!("{number}a"), bench, spot);
        }
        let crowded = assumed_layout(&season.state(), &trade, on_day, bench).crowded;
        prop_assert!(row.more == 0 || crowded.is_empty(), "{:?}", crowded);
    }

    #[test]
    fn a_no_is_never_followed_by_a_sowing_or_a_move_after_which_all_have_spots(
        size in (300_u32..1300, 180_u32..700),
        roof in prop::option::of((60_u32..200, 60_u32..200)),
        things in prop::collection::vec((any::<u8>(), 1_u32..22), 0..6),
        placed in prop::collection::vec((0_usize..6, 0_u32..900, 0_u32..400, any::<bool>()), 0..3),
        asked in (any::<u8>(), 1_u32..26),
    ) {
        let (season, bench) = bench_of(size, roof, &things, &placed);
        let (vessel, trade, on_day) = (some_vessel(asked), trade(), day(ON));
        let answer = fits(&season.state(), &trade, on_day, &vessel, 1);
        let is_no = answer.fits == 0 && answer.made.is_empty() && answer.away.is_none();
        for is_moved in [false, true].into_iter().filter(|_| is_no) {
            let mut season = Season { entries: season.entries.clone(), ..season };
            let place = season.state().benches[&bench].place;
            let stand = if is_moved { Stand::Place(place) } else { Stand::Bench(bench) };
            let room = Room::New { vessel: vessel.clone(), count: 1, stand, spot: None };
            season.sows(ON, 90, "leek", 9, room);
            if is_moved {
                season.moves(ON, "90a", Stand::Bench(bench));
            }
            let layout = assumed_layout(&season.state(), &trade, on_day, bench);
            let newcomer = season.container("90a");
            prop_assert!(!layout.crowded.is_empty() || layout.too_tall.contains(&newcomer), "{:?}", layout);
        }
    }

    #[test]
    fn six_that_a_bench_was_cut_into_are_never_said_not_to_go(
        cuts in prop::collection::vec((any::<u8>(), any::<bool>(), 30_u32..70), 5),
        last in 0_usize..6,
    ) {
        let mut pieces = vec![(1200_u32, 600_u32)];
        for (which, along, share) in cuts {
            let (length, width) = pieces.swap_remove(usize::from(which) % pieces.len());
            let cut = |side: u32| (side * share / 100, side - side * share / 100);
            let (one, other) = if along { cut(length) } else { cut(width) };
            pieces.extend(if along { [(one, width), (other, width)] } else { [(length, one), (length, other)] });
        }
        let tray = |(length, width): (u32, u32)| vessel("cut", ContainerClass::Tray, (length, width, 50));
        let asked = tray(pieces.swap_remove(last));
        let mut season = Season::default();
        let shelf = season.bench("shelf", PlaceKind::LitShelf, (1200, 600), None);
        for (number, piece) in (1..).zip(pieces) {
            season.sows("2026-03-01", number, "leek", 9, on(shelf, tray(piece)));
        }
        let answer = fits(&season.state(), &trade(), day(ON), &asked, 1);
        // Where the brief search of the drawing found no spot for the five already, nothing is counted.
        let is_whole = assumed_layout(&season.state(), &trade(), day(ON), shelf).crowded.is_empty();
        prop_assert!(answer.fits == 1 || !answer.made.is_empty() || !is_whole);
    }

    #[test]
    fn measuring_a_bench_again_leaves_the_rows_of_what_was_placed(
        size in (400_u32..1300, 200_u32..700),
        many in 2_u32..9,
        sizes in prop::collection::vec((0_u32..600, 0_u32..400), 1..4),
        turned in any::<bool>(),
    ) {
        let (mut season, bench) = bench_of(size, None, &[(4, many)], &[(0, 0, 0, turned)]);
        let first = drawn(&season, bench);
        for (length, width) in sizes {
            resizes(&mut season, bench, size.0 + length, size.1 + width);
            if season.state().containers[&season.container("1a")].spot.is_some() {
                prop_assert_eq!(drawn(&season, bench), first);
            }
        }
    }
}

#[test]
fn a_set_that_goes_only_in_other_rows_than_it_would_be_drawn_in_is_not_said_to_fit() {
    let mut season = Season::default();
    // A tray in the middle of 580 x 600 leaves strips of 190 and 170 mm behind and in front of it.
    let frame = season.bench("frame", PlaceKind::ColdFrame, (580, 600), None);
    season.sows("2026-03-01", 1, "leek", 40, on(frame, tray()));
    places(&mut season, "1a", frame, Spot { x: 190, y: 180, turned: false, pinned: false });
    // Twelve stand squarest as 360 x 270, and so nowhere there; two rows of six, 540 x 180, would.
    let answer = fits(&season.state(), &trade(), day(ON), &pots(12, 90), 1);
    assert_eq!((answer.benches[0].more, answer.made.len()), (0, 1));
    assert_eq!(answer.singly, [("frame/bench".to_owned(), 12)]);
    season.sows(ON, 2, "leek", 12, on(frame, pots(12, 90)));
    assert_eq!(assumed_layout(&season.state(), &trade(), day(ON), frame).crowded, [season.container("2a")]);
}

#[test]
fn a_set_that_goes_under_the_roof_only_in_other_rows_is_left_unplaced() {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (900, 500), Some((400, 250)));
    season.sows("2026-03-01", 1, "tomato", 12, on(frame, pots(12, 90)));
    season.counts("2026-03-04", "1a", 12);
    let ask = |season: &Season| {
        let back = Spot { x: 0, y: 0, turned: false, pinned: false };
        may_stand(&season.state(), &trade(), day(ON), season.container("1a"), frame, back)
    };
    season.notes("2026-03-09", "1a", Growth { height: Some(Millimetres(240)), ..SEEN });
    assert_eq!(drawn(&season, frame), (540, 180));
    let refused = ask(&season).unwrap_err();
    assert!(matches!(refused, CannotStand::OtherRows { in_row: 6, noted: 4, .. }), "{refused}");
    // Placed before it grew it keeps its rows, and may be pinned in them.
    places(&mut season, "1a", frame, Spot { x: 0, y: 0, turned: false, pinned: false });
    assert_eq!((drawn(&season, frame), ask(&season)), ((360, 270), Ok(())));
}

#[test]
fn a_set_changes_its_rows_only_where_it_does_not_go_in_them() {
    let mut season = Season::default();
    let frame = season.bench("frame", PlaceKind::ColdFrame, (700, 260), None);
    season.sows("2026-03-01", 1, "tomato", 12, on(frame, pots(12, 90)));
    assert_eq!(drawn(&season, frame), (540, 180), "360 x 270 does not go on 700 x 260");
    places(&mut season, "1a", frame, Spot { x: 0, y: 0, turned: false, pinned: true });
    resizes(&mut season, frame, 700, 270);
    assert_eq!(drawn(&season, frame), (540, 180), "as it was pinned");
    places(&mut season, "1a", frame, Spot { x: 10, y: 0, turned: false, pinned: true });
    assert_eq!(drawn(&season, frame), (540, 180), "shifted on its bench it keeps its rows");
    resizes(&mut season, frame, 500, 270);
    assert_eq!(drawn(&season, frame), (360, 270), "540 does not go on 500");
    // Larger again, 360 x 270 goes there still: nothing is lifted by measuring.
    resizes(&mut season, frame, 700, 270);
    assert_eq!(drawn(&season, frame), (360, 270), "as it was said to stand last");
}

#[test]
fn a_bench_measured_smaller_and_larger_by_turns_leaves_the_rows_that_still_go() {
    let mut season = Season::default();
    let bench = season.bench("greenhouse", PlaceKind::Greenhouse, (1200, 260), None);
    season.sows("2026-03-01", 1, "tomato", 12, on(bench, pots(12, 90)));
    places(&mut season, "1a", bench, Spot { x: 0, y: 0, turned: false, pinned: true });
    let then = [(540, 180, 540), (500, 500, 360), (1200, 500, 360), (1200, 260, 540), (1200, 500, 540)];
    for (length, width, along) in then {
        resizes(&mut season, bench, length, width);
        assert_eq!(drawn(&season, bench).0, along, "on {length} x {width}");
    }
}

#[test]
fn pots_that_stay_of_a_set_keep_their_rows() {
    let mut season = Season::default();
    let bench = season.bench("greenhouse", PlaceKind::Greenhouse, (1200, 500), None);
    season.sows("2026-03-01", 1, "tomato", 12, on(bench, pots(12, 90)));
    season.counts("2026-03-04", "1a", 12);
    let spot = Spot { x: 100, y: 100, turned: true, pinned: true };
    places(&mut season, "1a", bench, spot);
    assert_eq!(drawn(&season, bench), (270, 360), "rows of four, turned");
    let part = season.part("1a");
    season.does(ON, &Act::PlantOut { part, plants: 4, bed: None, recount: Recount::No });
    season.does(ON, &Act::FreePots { part, pots: 4, spot: Some(spot) });
    let of = |season: &Season, label: &str| {
        let plan = bench_plan(&season.state(), &trade(), day(ON), bench).unwrap();
        let id = season.container(label);
        plan.shapes.into_iter().find(|shape| shape.container == id).map(|shape| (shape.along.0, shape.across.0))
    };
    assert_eq!(of(&season, "1b"), Some((180, 360)), "eight of them squarest would stand as three by three");
    // And once more, with pots moved off instead.
    let part = season.part("1b");
    let moving = vec![Moving::Some { part, plants: 3 }];
    season.does(ON, &Act::Move { moving, to: Stand::Bench(bench), spot: None });
    assert_eq!(of(&season, "1b"), Some((180, 360)), "five of them, the second row not full");
    // Measured too small for rows of four they change, and keep to those.
    for (length, width) in [(350, 350), (1200, 500)] {
        resizes(&mut season, bench, length, width);
        assert_eq!(of(&season, "1b"), Some((180, 270)), "on {length} x {width}");
    }
}

/// One thing done to a bench, by chance.
type Doing = (u8, usize, (u32, u32), bool);

/// What stands on a bench by a noted spot: who, and the ground it takes straight.
fn noted_ground(season: &Season, bench: BenchId) -> Vec<(ContainerId, (u32, u32))> {
    let layout = assumed_layout(&season.state(), &trade(), day(ON), bench);
    let noted = layout.stood.into_iter().filter(|stood| stood.noted);
    noted.map(|stood| (stood.container, (stood.standing.item.length().0, stood.standing.item.width().0))).collect()
}

/// Does it, if it can be done; the container that goes on under another part, with how many pots.
fn is_done(
    season: &mut Season,
    bench: BenchId,
    (what, which, (x, y), turned): Doing,
) -> Option<(ContainerId, ContainerId)> {
    let state = season.state();
    let live: Vec<(PartId, ContainerId)> =
        state.parts.iter().filter(|(_, part)| part.is_live()).map(|(id, part)| (*id, part.container)).collect();
    let (part, id) = live[which % live.len()];
    let held = &state.containers[&id];
    let shift = |spot| Act::Rearrange(vec![Shift { container: id, to: Stand::Bench(bench), spot: Some(spot) }]);
    match what % 6 {
        0 | 1 => {
            let spot = Spot { x: x % 900, y: y % 500, turned, pinned: turned };
            if may_stand(&state, &trade(), day(ON), id, bench, spot).is_ok() {
                let _ = season.tries(day(ON), &shift(spot));
            }
        }
        2 => resizes(season, bench, 300 + x % 1000, 180 + y % 500),
        3 => {
            if let Some(spot) = held.spot {
                let _ = season.tries(day(ON), &shift(Spot { pinned: !spot.pinned, ..spot }));
            }
        }
        4 => {
            let _ = season.tries(day(ON), &Act::Lose { part, plants: 1 + x % 4, cause: Cause::Slugs, remark: None });
            let act = Act::FreePots { part, pots: 1 + y % 4, spot: held.spot };
            if season.tries(day(ON), &act).is_ok() {
                let new = season.state().containers.keys().copied().max().unwrap();
                return Some((id, new));
            }
        }
        _ => {
            let growth = Growth { height: Some(Millimetres(40 + x % 300)), ..SEEN };
            let _ = season.tries(day(ON), &Act::Stage { part, growth });
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_is_done_rows_change_only_where_the_set_does_not_go_in_them(
        size in (500_u32..1300, 260_u32..700),
        roof in prop::option::of((150_u32..400, 150_u32..400)),
        things in prop::collection::vec((any::<u8>(), 2_u32..16), 1..5),
        doings in prop::collection::vec((any::<u8>(), any::<usize>(), (0_u32..5000, 0_u32..5000), any::<bool>()), 1..12),
        asked in (any::<u8>(), 1_u32..20),
    ) {
        let (mut season, bench) = bench_of(size, roof, &things, &[]);
        for number in 1..=things.len() {
            season.counts("2026-03-04", &format!("{number}a"), 9);
        }
        let (trade, on_day) = (trade(), day(ON));
        let mut changed: Vec<ContainerId> = Vec::new();
        for doing in doings {
            let before = noted_ground(&season, bench);
            let goes_on = is_done(&mut season, bench, doing);
            let state = season.state();
            let surface = crate::advice::layout::surface(&state.benches[&bench].size).unwrap();
            for (id, (length, width)) in noted_ground(&season, bench) {
                let was = goes_on.filter(|(_, new)| *new == id).map_or(id, |(old, _)| old);
                let Some((_, (long, wide))) = before.iter().find(|(other, _)| *other == was) else { continue };
                let set = &state.containers[&id].vessel;
                let (one, deep) = (set.length.unwrap().0, set.width.unwrap().0);
                let in_row = (long / one).min(set.pots);
                let kept = (in_row * one, set.pots.div_ceil(in_row) * deep);
                prop_assert!(kept.0 <= *long && kept.1 <= *wide);
                if (length, width) != kept {
                    let item = |height| Item::new(Millimetres(kept.0), Millimetres(kept.1), height).unwrap();
                    let goes = place_one(&surface, &[], &item(set.height)).is_some();
                    prop_assert!(!goes, "{kept:?} goes on {surface:?} still, and is {length} x {width}");
                    changed.push(id);
                }
                if changed.contains(&was) {
                    changed.push(id);
                }
            }
            // What is drawn overlaps only where one of the two changed its rows, which the act says.
            let stood = assumed_layout(&state, &trade, on_day, bench).stood;
            for (index, one) in stood.iter().enumerate() {
                for other in &stood[..index] {
                    let is_told = |stood: &crate::advice::Stood| stood.noted && changed.contains(&stood.container);
                    prop_assert!(!overlaps(&one.standing, &other.standing) || is_told(one) || is_told(other));
                }
            }
        }
        // Every yes is carried out, with the rest noted as it is drawn.
        let vessel = some_vessel(asked);
        let answer = fits(&season.state(), &trade, on_day, &vessel, 1);
        let plan = bench_plan(&season.state(), &trade, on_day, bench).unwrap();
        let as_drawn = plan.shapes.iter().filter(|shape| !shape.noted && shape.can_be_noted).map(|shape| {
            let spot = Spot { x: shape.x.0, y: shape.y.0, turned: shape.turned, pinned: false };
            Shift { container: shape.container, to: Stand::Bench(bench), spot: Some(spot) }
        });
        let as_drawn: Vec<Shift> = as_drawn.collect();
        if !as_drawn.is_empty() {
            season.does(ON, &Act::Rearrange(as_drawn));
        }
        if let Some(at) = answer.benches.iter().find(|row| row.bench == bench).and_then(|row| row.spots.first()) {
            season.sows(ON, 90, "leek", 9, on(bench, vessel));
            let (id, spot) = (season.container("90a"), noted(*at, false));
            let said = may_stand(&season.state(), &trade, on_day, id, bench, spot);
            prop_assert!(said.is_ok(), "{:?}", said);
        }
    }
}
