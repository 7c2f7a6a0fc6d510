//! Published instances, worked examples and absurd questions.

use super::*;
use crate::quantity::{Millimetres, SquareMillimetres};

fn surface(length: u32, width: u32, headroom: Option<(u32, u32)>) -> Surface {
    let headroom = headroom.map(|(back, front)| Headroom { back: Millimetres(back), front: Millimetres(front) });
    Surface::new(Millimetres(length), Millimetres(width), headroom).unwrap()
}

fn item(length: u32, width: u32, height: Option<u32>) -> Item {
    Item::new(Millimetres(length), Millimetres(width), height.map(Millimetres)).unwrap()
}

fn at(x: u32, y: u32, turn: Turn) -> Placed {
    Placed { x: Millimetres(x), y: Millimetres(y), turn }
}

fn loose(item: Item, x: u32, y: u32) -> Occupant {
    Occupant { item, at: Some(at(x, y, Turn::Straight)), hold: Hold::Loose }
}

/// Perfect packings of 16 to 28 rectangles, so each set is known to fill its strip exactly: E. Hopper, B. C. H. Turton
/// 2001, "An empirical investigation of meta-heuristic and heuristic algorithms for a 2D packing problem", EJOR 128(1),
/// problems C1 to C3, from the authors' list in the ESICUP collection (CC0).
#[test]
fn published_sets_that_fill_their_strip_are_found_to_fit() {
    let table = include_str!("../../../tests/data/hopper_turton_c.csv");
    for category in ["C1", "C2", "C3"] {
        for problem in ["P1", "P2", "P3"] {
            let rows: Vec<Vec<u32>> = table
                .lines()
                .filter_map(|line| line.strip_prefix(&format!("{category}{problem},")))
                .map(|line| line.split(',').map(|field| field.parse().unwrap()).collect())
                .collect();
            let items: Vec<Item> = rows.iter().map(|row| item(row[2], row[3], None)).collect();
            let strip = surface(rows[0][0], rows[0][1], None);
            assert!(items.len() >= 16 && strip.area() == items.iter().map(Item::area).sum());
            assert!(matches!(all_fit(&strip, &items), Ok(Fit::Yes(_))), "{category}{problem}");
            let newcomers = make_room(&strip, &[], &items, &[]).unwrap();
            assert!(newcomers.is_some_and(|plan| plan.lifted.is_empty()), "{category}{problem}");
            let shorter = surface(rows[0][0], rows[0][1] - 1, None);
            assert_eq!(all_fit(&shorter, &items), Ok(Fit::No), "{category}{problem}");
        }
    }
}

/// By hand: 400 mm at the back falling to 250 mm at the front over 500 mm is 325 mm half way.
#[test]
fn headroom_is_asked_at_the_lowest_edge_of_the_footprint() {
    let frame = surface(1_200, 500, Some((400, 250)));
    let stands =
        |height, y| inside(&frame, &Standing { item: item(300, 200, Some(height)), at: at(0, y, Turn::Straight) });
    assert!(stands(325, 50) && !stands(325, 51) && !stands(326, 50));
    assert!(stands(340, 0) && !stands(341, 0) && stands(250, 300));
    let turned_round = surface(1_200, 500, Some((250, 400)));
    let stands = |y| inside(&turned_round, &Standing { item: item(300, 200, Some(325)), at: at(0, y, Turn::Straight) });
    assert!(stands(250) && !stands(249) && stands(300));
}

#[test]
fn tall_things_go_under_the_high_side_and_low_ones_leave_it_free() {
    let (tray, tall) = (item(380, 240, Some(60)), item(380, 240, Some(310)));
    let frame = surface(1_200, 500, Some((400, 250)));
    assert_eq!(place_one(&frame, &[], &tall), Some(at(0, 0, Turn::Straight)));
    assert_eq!(place_one(&frame, &[], &tray), Some(at(0, 260, Turn::Straight)));
    let mirrored = surface(1_200, 500, Some((250, 400)));
    assert_eq!(place_one(&mirrored, &[], &tall), Some(at(0, 260, Turn::Straight)));
    assert_eq!(place_one(&mirrored, &[], &tray), Some(at(0, 0, Turn::Straight)));
    assert_eq!(place_one(&frame, &[], &item(380, 240, Some(329))), None);
    assert_eq!(place_one(&frame, &[], &item(380, 240, None)), Some(at(0, 260, Turn::Straight)));
}

/// Never more than the ground divided by the tray, which the first three reach; the fourth is the well known case of
/// four pieces turned about a bare middle: 5 x 5 holds four of 3 x 2, and rows alone seat only three.
#[test]
fn how_many_more_still_fit() {
    assert_eq!(how_many_more(&surface(1_200, 500, None), &[], &item(380, 240, None)), 6);
    let one = Standing { item: item(380, 240, None), at: at(0, 0, Turn::Straight) };
    assert_eq!(how_many_more(&surface(1_200, 500, None), &[one], &item(380, 240, None)), 5);
    assert_eq!(how_many_more(&surface(600, 600, None), &[], &item(60, 60, None)), 100);
    assert_eq!(how_many_more(&surface(5, 5, None), &[], &item(3, 2, None)), 4);
    assert_eq!(how_many_more(&surface(300, 300, None), &[], &item(301, 10, None)), 0);
}

#[test]
fn one_tray_is_lifted_to_make_room() {
    let bench = surface(600, 200, None);
    let tray = item(200, 200, None);
    let middle = loose(tray, 200, 0);
    let plan = make_room(&bench, &[middle], &[item(400, 200, None)], &[tray]).unwrap().unwrap();
    assert_eq!(plan.lifted, [0]);
    assert_eq!(plan.usable_after, SquareMillimetres(0));
    assert_eq!(plan.freed(), SquareMillimetres(0));
    let pinned = Occupant { hold: Hold::Pinned, ..middle };
    assert_eq!(make_room(&bench, &[pinned], &[item(400, 200, None)], &[tray]), Ok(None));
    let nothing_to_lift = make_room(&bench, &[pinned], &[tray], &[tray]).unwrap().unwrap();
    assert!(nothing_to_lift.lifted.is_empty());
}

/// By hand: twelve trays in three columns, 300 mm bare at the end and 100 mm before each column. A newcomer of
/// 400 by 310 mm fits nowhere and meets two rows wherever it stands; two trays of the last column lifted stand beside
/// it in the 600 by 400 mm that gives.
#[test]
fn as_few_as_can_be_are_lifted() {
    let bench = surface(1_200, 800, None);
    let tray = item(200, 200, None);
    let standing: Vec<Occupant> =
        [100, 400, 700].into_iter().flat_map(|x| [0, 200, 400, 600].map(|y| loose(tray, x, y))).collect();
    let plan = make_room(&bench, &standing, &[item(400, 310, None)], &[tray]).unwrap().unwrap();
    assert_eq!(plan.lifted.len(), 2, "{:?}", plan.lifted);
}

/// By hand: trays of 200 mm from 100 and from 500 on 800 mm leave gaps of 100, 200 and 100 mm, in which one more goes;
/// one of them lifted leaves room for two. From 0 and from 300 on 700 mm one more goes, however they stand.
#[test]
fn repacking_says_what_it_frees_and_lifts_nothing_for_nothing() {
    let tray = item(200, 200, None);
    let scattered = [loose(tray, 100, 0), loose(tray, 500, 0)];
    let plan = repack(&surface(800, 200, None), &scattered, &[tray]).unwrap().unwrap();
    let after: Vec<Standing> = plan.positions.iter().map(|at| Standing { item: tray, at: *at }).collect();
    assert_eq!(how_many_more(&surface(800, 200, None), &after, &tray), 2);
    assert_eq!(plan.usable_before, SquareMillimetres(40_000));
    assert!(plan.freed() > SquareMillimetres(0) && !plan.lifted.is_empty());
    let bench = surface(700, 200, None);
    for packed in [[loose(tray, 0, 0), loose(tray, 200, 0)], [loose(tray, 0, 0), loose(tray, 300, 0)]] {
        assert!(repack(&bench, &packed, &[tray]).unwrap().unwrap().lifted.is_empty());
    }
}

/// By hand: 12 pots of 60 mm are four by three; on 250 mm four in a row; ten in rows of at most six are five and five.
#[test]
fn pots_stand_in_rows() {
    let block = |pots, within: Option<u32>| {
        let (length, width) = grid(pots, Millimetres(60), Millimetres(60), within.map(Millimetres)).unwrap();
        (length.0, width.0)
    };
    assert_eq!(block(12, None), (240, 180));
    assert_eq!(block(1, None), (60, 60));
    assert_eq!(block(12, Some(1_200)), (720, 60));
    assert_eq!(block(10, Some(360)), (300, 120));
    assert_eq!(block(7, Some(10)), (60, 420));
}

#[test]
fn absurd_questions_are_refused_or_answered_no() {
    let none = Millimetres(0);
    assert_eq!(Surface::new(none, Millimetres(5), None), Err(PackingError::Side(none)));
    assert_eq!(Item::new(Millimetres(5), Millimetres(u32::MAX), None), Err(PackingError::Side(Millimetres(u32::MAX))));
    assert_eq!(grid(0, Millimetres(60), Millimetres(60), None), Err(PackingError::Pots(0)));
    assert_eq!(grid(9, Millimetres(60), none, None), Err(PackingError::Side(none)));
    assert!(grid(1_000_000, Millimetres(100_000), Millimetres(100_000), Some(none)).is_ok());

    let (bench, pot) = (surface(1_200, 500, None), item(60, 60, None));
    let many = vec![pot; 10_000];
    assert_eq!(all_fit(&bench, &many), Err(PackingError::TooMany(10_000)));
    assert_eq!(make_room(&bench, &[], &many, &[]), Err(PackingError::TooMany(10_000)));
    assert_eq!(all_fit(&bench, &many[..2_000]), Ok(Fit::No));
    assert_eq!(place_many(&bench, &[], &pot, 10_000).len(), 160);
    assert_eq!(all_fit(&bench, &[]), Ok(Fit::Yes(Vec::new())));

    let low = surface(1_200, 500, Some((50, 0)));
    assert_eq!(place_one(&low, &[], &item(60, 60, Some(51))), None);
    assert_eq!(all_fit(&low, &[item(60, 60, Some(u32::MAX))]), Ok(Fit::No));
    assert_eq!(place_one(&surface(10, 10, None), &[], &pot), None);

    let far = Standing { item: pot, at: at(u32::MAX, u32::MAX, Turn::Quarter) };
    assert!(!inside(&bench, &far) && !overlaps(&far, &Standing { item: pot, at: at(0, 0, Turn::Straight) }));
    assert_eq!(free_area(&bench, &[far]), bench.area());
    assert_eq!(
        free_area(&bench, &[Standing { item: pot, at: at(1_170, 0, Turn::Straight) }]),
        SquareMillimetres(598_200)
    );

    let pin = |x| Occupant { hold: Hold::Pinned, ..loose(pot, x, 0) };
    assert_eq!(repack(&bench, &[pin(0), loose(pot, 0, 0), pin(59)], &[]), Err(PackingError::PinsOverlap(0, 2)));
    assert_eq!(repack(&bench, &[pin(1_141)], &[]), Err(PackingError::PinOff(0)));
    assert_eq!(repack(&bench, &[Occupant { at: None, ..pin(0) }], &[]), Err(PackingError::PinNowhere(0)));
    let amiss = [loose(pot, 0, 0), loose(pot, 30, 30), loose(pot, u32::MAX, 0)];
    let plan = repack(&bench, &amiss, &[pot]).unwrap().unwrap();
    assert!((2..=3).contains(&plan.lifted.len()));
}
