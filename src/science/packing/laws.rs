//! What must hold of every answer, checked against counting on a squared paper and on random surfaces.

use std::ops::Range;

use proptest::prelude::*;

use super::*;
use crate::quantity::{Millimetres, SquareMillimetres};

/// Numbers that look random, the same in every run (G. Marsaglia 2003, "Xorshift RNGs", J. Stat. Softw. 8(14)).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, range: Range<u32>) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        range.start + (self.0 >> 32) as u32 % (range.end - range.start)
    }
}

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

/// Nothing overlaps and nothing is off the surface or under too low a roof.
fn sound(surface: &Surface, standing: &[Standing]) -> bool {
    standing.iter().all(|one| inside(surface, one))
        && standing.iter().enumerate().all(|(index, one)| standing[..index].iter().all(|other| !overlaps(one, other)))
}

fn together(items: &[Item], places: &[Placed]) -> Vec<Standing> {
    assert_eq!(items.len(), places.len());
    items.iter().zip(places).map(|(item, at)| Standing { item: *item, at: *at }).collect()
}

/// Every way of standing the items on squared paper of at most 64 squares: the first square not yet settled either
/// holds the corner of one of them or stays bare, as long as squares can be spared. Knows nothing of the code under
/// test but `inside`.
struct Paper<'a> {
    surface: &'a Surface,
    items: &'a [Item],
    used: Vec<bool>,
}

impl Paper<'_> {
    fn all_fit(surface: &Surface, items: &[Item]) -> bool {
        let needed: u64 = items.iter().map(|item| item.area().0).sum();
        let Some(spare) = surface.area().0.checked_sub(needed) else { return false };
        Paper { surface, items, used: vec![false; items.len()] }.settle(0, spare)
    }

    fn settle(&mut self, taken: u64, spare: u64) -> bool {
        if self.used.iter().all(|used| *used) {
            return true;
        }
        let square = taken.trailing_ones();
        let across = self.surface.length().0;
        for index in 0..self.items.len() {
            if self.used[index] || (0..index).any(|other| !self.used[other] && self.items[other] == self.items[index]) {
                continue;
            }
            for turn in [Turn::Straight, Turn::Quarter] {
                let standing = Standing { item: self.items[index], at: at(square % across, square / across, turn) };
                if !inside(self.surface, &standing) {
                    continue;
                }
                let (length, width) = standing.item.extent(turn);
                let row = ((1_u64 << length.0) - 1) << square;
                let covered = (0..width.0).fold(0, |covered, down| covered | row << (down * across));
                if taken & covered != 0 {
                    continue;
                }
                self.used[index] = true;
                if self.settle(taken | covered, spare) {
                    return true;
                }
                self.used[index] = false;
            }
        }
        spare > 0 && self.settle(taken | 1 << square, spare - 1)
    }
}

#[test]
fn up_to_six_the_answer_agrees_with_exhaustive_search_on_2000_cases() {
    let mut dice = Dice(2_026);
    let (mut yes, mut no) = (0, 0);
    while yes + no < 2_000 {
        let slope = (dice.roll(0..2) == 1).then(|| (dice.roll(2..9), dice.roll(2..9)));
        let surface = surface(dice.roll(3..8), dice.roll(3..7), slope);
        let items: Vec<Item> = (0..dice.roll(2..7))
            .map(|_| item(dice.roll(1..5), dice.roll(1..5), (dice.roll(0..3) > 0).then(|| dice.roll(1..7))))
            .collect();
        let ground: u64 = items.iter().map(|item| item.area().0).sum();
        if ground > surface.area().0 || ground * 10 < surface.area().0 * 6 {
            continue; // too easy either way
        }
        let expected = Paper::all_fit(&surface, &items);
        match all_fit(&surface, &items).unwrap() {
            Fit::Yes(places) => {
                assert!(expected && sound(&surface, &together(&items, &places)), "{surface:?} {items:?}");
                yes += 1;
            }
            Fit::No => {
                assert!(!expected, "{surface:?} {items:?}");
                no += 1;
            }
            Fit::NotFound(_) => panic!("undecided: {surface:?} {items:?}"),
        }
    }
    assert!(yes > 400 && no > 400, "{yes} yes, {no} no: the cases do not try both answers");
}

#[test]
fn many_under_a_slope_are_never_stood_off_or_too_high() {
    let mut dice = Dice(414);
    let (mut yes, mut reaching) = (0, 0);
    for _ in 0..200 {
        let (back, front) = (dice.roll(150..500), dice.roll(150..500));
        let surface = surface(dice.roll(600..1_500), dice.roll(400..900), Some((back, front)));
        let mut items: Vec<Item> = Vec::new();
        while items.len() < 20 && items.iter().map(|item| item.area().0).sum::<u64>() * 10 < surface.area().0 * 7 {
            let tallest = back.min(front) + back.abs_diff(front) / 2;
            items.push(item(dice.roll(60..300), dice.roll(60..300), Some(dice.roll(20..tallest))));
        }
        let Fit::Yes(places) = all_fit(&surface, &items).unwrap() else { continue };
        assert!(sound(&surface, &together(&items, &places)), "{surface:?} {items:?}");
        let tall = |item: &Item| item.height().is_some_and(|height| height.0 > back.min(front));
        yes += usize::from(items.len() > EXACT_LIMIT);
        reaching += usize::from(items.iter().any(tall));
    }
    assert!(yes > 60 && reaching > 60, "{yes} yes, {reaching} with tall ones: the slope is hardly tried");
}

#[test]
fn like_items_are_counted_as_exhaustive_search_counts_them() {
    let mut dice = Dice(9);
    for _ in 0..300 {
        let surface = surface(dice.roll(2..9), dice.roll(2..8), None);
        let item = item(dice.roll(2..6), dice.roll(1..4), None);
        let count = how_many_more(&surface, &[], &item) as usize;
        assert!(Paper::all_fit(&surface, &vec![item; count]), "{surface:?} {item:?}: not even {count}");
        assert!(!Paper::all_fit(&surface, &vec![item; count + 1]), "{surface:?} {item:?}: more than {count}");
    }
}

#[test]
fn free_and_usable_ground_agree_with_counting_squares() {
    let mut dice = Dice(77);
    for _ in 0..400 {
        let slope = (dice.roll(0..2) == 1).then(|| (dice.roll(1..9), dice.roll(1..9)));
        let surface = surface(dice.roll(1..12), dice.roll(1..10), slope);
        let standing: Vec<Standing> = (0..dice.roll(0..5))
            .map(|_| {
                let item = item(dice.roll(1..5), dice.roll(1..5), None);
                Standing { item, at: at(dice.roll(0..11), dice.roll(0..9), Turn::Straight) }
            })
            .collect();
        let kinds: Vec<Item> = (0..dice.roll(1..3))
            .map(|_| item(dice.roll(1..5), dice.roll(1..5), (dice.roll(0..2) == 1).then(|| dice.roll(1..8))))
            .collect();
        let (mut free, mut usable) = (0, std::collections::BTreeSet::new());
        for x in 0..surface.length().0 {
            for y in 0..surface.width().0 {
                let clear = |one: &Standing| standing.iter().all(|other| !overlaps(one, other));
                free += u64::from(clear(&Standing { item: item(1, 1, None), at: at(x, y, Turn::Straight) }));
                for kind in &kinds {
                    for turn in [Turn::Straight, Turn::Quarter] {
                        let one = Standing { item: *kind, at: at(x, y, turn) };
                        if inside(&surface, &one) && clear(&one) {
                            let (length, width) = kind.extent(turn);
                            usable.extend((x..x + length.0).flat_map(|x| (y..y + width.0).map(move |y| (x, y))));
                        }
                    }
                }
            }
        }
        assert_eq!(free_area(&surface, &standing), SquareMillimetres(free), "{surface:?} {standing:?}");
        let counted = SquareMillimetres(usable.len() as u64);
        assert_eq!(free_usable_area(&surface, &standing, &kinds), counted, "{surface:?} {standing:?} {kinds:?}");
        for kind in &kinds {
            let any = !free_usable_area(&surface, &standing, &[*kind]).eq(&SquareMillimetres(0));
            assert_eq!(place_one(&surface, &standing, kind).is_some(), any, "{surface:?} {standing:?} {kind:?}");
        }
    }
}

fn surfaces() -> impl Strategy<Value = Surface> {
    let headroom = prop::option::of((0..600u32, 0..600u32));
    (100..1_500u32, 100..800u32, headroom).prop_map(|(length, width, headroom)| surface(length, width, headroom))
}

fn items(most: usize) -> impl Strategy<Value = Vec<Item>> {
    let one = (20..400u32, 20..400u32, prop::option::of(0..500u32));
    prop::collection::vec(one.prop_map(|(length, width, height)| item(length, width, height)), 0..most)
}

/// A soundly filled surface: what of the items is seated one after another.
fn filled(surface: &Surface, items: &[Item]) -> Vec<Standing> {
    let mut standing = Vec::new();
    for item in items {
        if let Some(at) = place_one(surface, &standing, item) {
            standing.push(Standing { item: *item, at });
        }
    }
    standing
}

fn occupants(standing: &[Standing], pins: &[bool]) -> Vec<Occupant> {
    let hold = |index: usize| if pins[index % pins.len()] { Hold::Pinned } else { Hold::Loose };
    let one = |(index, one): (usize, &Standing)| Occupant { item: one.item, at: Some(one.at), hold: hold(index) };
    standing.iter().enumerate().map(one).collect()
}

fn check_plan(surface: &Surface, occupants: &[Occupant], plan: &Plan, kinds: &[Item]) {
    let items: Vec<Item> = occupants.iter().map(|occupant| occupant.item).collect();
    let after = together(&items, &plan.positions);
    assert!(sound(surface, &after));
    for (index, occupant) in occupants.iter().enumerate() {
        let moved = occupant.at.is_some_and(|at| at != plan.positions[index]);
        assert_eq!(moved, plan.lifted.contains(&index));
        assert!(!(moved && occupant.hold == Hold::Pinned), "a pinned one moved or turned");
    }
    assert_eq!(plan.usable_after, free_usable_area(surface, &after, kinds));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn what_is_placed_stands_soundly(surface in surfaces(), items in items(25), count in 0..30usize) {
        let mut standing = filled(&surface, &items);
        prop_assert!(sound(&surface, &standing));
        for item in items.iter().take(3) {
            let places = place_many(&surface, &standing, item, count);
            prop_assert!(places.len() <= count);
            prop_assert_eq!(&places, &place_many(&surface, &standing, item, count));
            standing.extend(places.into_iter().map(|at| Standing { item: *item, at }));
            prop_assert!(sound(&surface, &standing));
        }
    }

    #[test]
    fn a_yes_is_never_false(surface in surfaces(), items in items(16)) {
        match all_fit(&surface, &items).unwrap() {
            Fit::Yes(places) => prop_assert!(sound(&surface, &together(&items, &places))),
            Fit::NotFound(places) => {
                prop_assert!(items.len() > EXACT_LIMIT && places.contains(&None));
                let one = |(item, at): (&Item, Option<Placed>)| at.map(|at| Standing { item: *item, at });
                let stood: Vec<Standing> = items.iter().zip(places).filter_map(one).collect();
                prop_assert!(sound(&surface, &stood));
            }
            Fit::No => prop_assert!(filled(&surface, &items).len() < items.len()),
        }
    }

    #[test]
    fn repacking_is_sound_and_lifts_only_to_make_room(
        surface in surfaces(),
        items in items(25),
        pins in prop::collection::vec(any::<bool>(), 1..5),
    ) {
        let standing = filled(&surface, &items);
        let occupants = occupants(&standing, &pins);
        let plan = repack(&surface, &occupants, &items).unwrap().expect("what stands soundly is an arrangement");
        check_plan(&surface, &occupants, &plan, &items);
        prop_assert_eq!(plan.usable_before, free_usable_area(&surface, &standing, &items));
        prop_assert!(plan.usable_after >= plan.usable_before);
        let after = together(&standing.iter().map(|one| one.item).collect::<Vec<_>>(), &plan.positions);
        let more = |standing: &[Standing]| -> Vec<u32> {
            items.iter().map(|kind| how_many_more(&surface, standing, kind)).collect()
        };
        let (before, after) = (more(&standing), more(&after));
        prop_assert!(before.iter().zip(&after).all(|(before, after)| after >= before), "fewer go than before");
        prop_assert!(before != after || plan.lifted.is_empty(), "things are lifted for nothing");
    }

    #[test]
    fn all_that_is_stood_together_stands_apart_from_what_stood(
        surface in surfaces(),
        before in items(6),
        items in items(12),
    ) {
        let standing = filled(&surface, &before);
        if let Some(places) = stand_all(&surface, &standing, &items) {
            let all: Vec<Standing> = standing.iter().copied().chain(together(&items, &places)).collect();
            prop_assert!(sound(&surface, &all));
        } else {
            let one_by_one = filled(&surface, &before.iter().chain(&items).copied().collect::<Vec<_>>());
            prop_assert!(items.len() != 1 || one_by_one.len() == standing.len());
        }
    }

    #[test]
    fn what_stands_amiss_is_put_right(
        surface in surfaces(),
        items in items(9),
        places in prop::collection::vec((0..900u32, 0..500u32), 9),
    ) {
        let place = |(item, (x, y)): (&Item, &(u32, u32))| Standing { item: *item, at: at(*x, *y, Turn::Straight) };
        let standing: Vec<Standing> = items.iter().zip(&places).map(place).collect();
        let mut occupants = occupants(&standing, &[false]);
        if let Some(plan) = repack(&surface, &occupants, &items).unwrap() {
            check_plan(&surface, &occupants, &plan, &items);
        }
        let newcomer = item(50, 40, None);
        let plan = make_room(&surface, &occupants, &[newcomer], &items).unwrap();
        occupants.push(Occupant { item: newcomer, at: None, hold: Hold::Loose });
        if let Some(plan) = plan {
            check_plan(&surface, &occupants, &plan, &items);
        }
    }

    #[test]
    fn making_room_is_sound(
        surface in surfaces(),
        items in items(25),
        newcomers in items(3),
        pins in prop::collection::vec(any::<bool>(), 1..5),
    ) {
        let standing = filled(&surface, &items);
        let mut occupants = occupants(&standing, &pins);
        let plan = make_room(&surface, &occupants, &newcomers, &items).unwrap();
        occupants.extend(newcomers.iter().map(|item| Occupant { item: *item, at: None, hold: Hold::Loose }));
        if let Some(plan) = plan {
            check_plan(&surface, &occupants, &plan, &items);
        } else {
            prop_assert!(!newcomers.is_empty());
            let places = newcomers.iter().map(|item| place_one(&surface, &standing, item));
            prop_assert!(newcomers.len() > 1 || places.into_iter().all(|place| place.is_none()));
        }
    }

    #[test]
    fn a_set_of_pots_covers_a_whole_grid(pots in 1..500u32, length in 1..200u32, width in 1..200u32, within in prop::option::of(1..3_000u32)) {
        let (block_length, block_width) = grid(pots, Millimetres(length), Millimetres(width), within.map(Millimetres)).unwrap();
        let (in_row, rows) = (block_length.0 / length, block_width.0 / width);
        prop_assert_eq!((in_row * length, rows * width), (block_length.0, block_width.0));
        prop_assert!(in_row * rows >= pots && (in_row - 1) * rows < pots && in_row * (rows - 1) < pots);
        match within {
            Some(within) => prop_assert!(block_length.0 <= within.max(length)),
            // No other number in a row makes a block with a shorter longer side: each is tried.
            None => for in_row in 1..=pots {
                let longer = (in_row * length).max(pots.div_ceil(in_row) * width);
                prop_assert!(longer >= block_length.0.max(block_width.0));
            }
        }
    }
}
