//! What happens in one ordinary afternoon, each case against numbers counted by hand.

use thumbpot::journal::{
    Act, Cause, Moving, MovingOn, Observed, Recount, Rest, Room, Source, Sowing, Stand, Tally, Transfer,
};
use thumbpot::quantity::SownUnit::{Cluster, Pinch, Seed};
use thumbpot::quantity::{CropName, PartId};

use super::log::{
    Garden, NOTHING_SEEN, cells, crate_tray, day, gaps, name, paper, pots, seed, sowing, standing, tray, up,
};

/// Moving on with nothing special about it.
fn moving_on(part: PartId, plants: u32, room: Room) -> MovingOn {
    MovingOn { part, plants, room, per_cell: None, recount: Recount::No, doubles: false, rest: Rest::Keep }
}

fn lose(part: PartId, plants: u32) -> Act {
    Act::Lose { part, plants, cause: Cause::Slugs, remark: None }
}

fn clear(part: PartId, rest: Rest) -> Act {
    Act::Clear { parts: vec![part], rest }
}

#[test]
fn two_crops_sown_into_one_tray_are_counted_and_cleared_apart() {
    let mut garden = Garden::new();
    let first = garden.sows("03-02", 1, Seed, 40, garden.on_sill(tray(), 1));
    let shared = garden.container("1a");
    let other = Sowing { seed: seed("leek"), ..sowing(2, Seed, 30, None, Room::Shared(shared)) };
    let second = garden.does("03-02", Act::Sow(other));
    garden.counts("03-10", "1a", up(35));
    garden.counts("03-12", "2a", up(20));
    assert_eq!((garden.stands("1a"), garden.stands("2a")), (35, 20));

    // The tray belongs to the first sowing's act: the second cannot have been sown into nothing.
    let dependents = garden.log.undo(first).unwrap_err();
    assert!(dependents.contains(&second));
    assert_eq!(dependents.len(), 3);
    // The other way round nothing depends on it but its own count.
    assert_eq!(garden.log.undo(second).unwrap_err().len(), 1);

    let (part, room) = (garden.part("1a"), garden.on_sill(cells(40), 1));
    garden.does("03-14", Act::MoveOn(moving_on(part, 35, room)));
    garden.does("03-14", clear(part, Rest::Keep));
    assert!(garden.log.state().is_occupied(shared), "leeks still stand in it");
    let words = {
        let leeks = garden.part("2a");
        garden.refused("03-15", clear(leeks, Rest::Keep))
    };
    assert_eq!(words, "2a still has 20 standing");
    let leeks = garden.part("2a");
    garden.does("03-15", clear(leeks, Rest::Discard));
    assert!(!garden.log.state().is_occupied(shared));
    assert_eq!(garden.tally(1), Tally { sown: 40, not_up: 5, standing: 35, ..Tally::default() });
    assert_eq!(garden.tally(2), Tally { sown: 30, not_up: 10, discarded: 20, ..Tally::default() });
}

#[test]
fn several_seeds_to_a_cell_fill_cells_in_order_and_are_thinned() {
    let mut garden = Garden::new();
    // 72 seeds at 2 to a cell take 36 of 40 cells; 37 cells' worth do not go into 36.
    let room = garden.on_sill(cells(40), 1);
    garden.does("03-02", Act::Sow(sowing(1, Seed, 72, Some(2), room)));
    let room = garden.on_sill(cells(36), 1);
    let words = garden.refused("03-02", Act::Sow(sowing(2, Seed, 74, Some(2), room)));
    assert_eq!(words, "74 do not go into cell-tray: 36 cells at 2 each");
    garden.counts("03-10", "1a", up(60));
    let part = garden.part("1a");
    let words = garden.refused("03-11", Act::Count { part, observed: gaps(4) });
    assert_eq!(words, "gaps do not tell how many stand in 1a: it has several to a cell or no cells");
    garden.does("03-12", Act::Thin { part, plants: 26 });
    assert_eq!(garden.tally(1), Tally { sown: 72, not_up: 12, standing: 34, thinned: 26, ..Tally::default() });
    // Out of a crowded cell they are pricked out, not potted on.
    let room = garden.on_sill(pots(34), 1);
    garden.does("03-20", Act::MoveOn(moving_on(part, 34, room)));
    assert_eq!(garden.look("1b").source, Source::From { part, plants: 34, how: Transfer::PrickedOut });
}

#[test]
fn clusters_give_more_seedlings_than_clusters() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Cluster, 40, garden.on_sill(cells(40), 1));
    garden.counts("03-10", "1a", gaps(10));
    assert_eq!((garden.look("1a").up, garden.stands("1a")), (30, 30));
    let part = garden.part("1a");
    let room = garden.on_sill(cells(104), 1);
    let words = garden.refused("03-20", Act::MoveOn(moving_on(part, 75, room.clone())));
    assert_eq!(words, "1a has 30 standing, not 75");
    garden.does("03-20", Act::MoveOn(MovingOn { recount: Recount::Yes, ..moving_on(part, 75, room) }));
    let counted = garden.look("1a");
    assert_eq!((counted.up, counted.gained, counted.standing()), (30, 45, 0));
    assert_eq!(garden.tally(1), Tally { sown: 40, gained: 45, not_up: 10, standing: 75, ..Tally::default() });
    // Two clusters counted twice: the clusters are put right, and the seedlings stay.
    garden.counts("03-21", "1a", up(28));
    assert_eq!(garden.tally(1), Tally { sown: 40, gained: 47, not_up: 12, standing: 75, ..Tally::default() });
    // Nine seedlings from one cluster are too many: 40 clusters cannot give 321.
    let words = garden.refused("03-22", Act::Count { part, observed: standing(321 - 75) });
    assert_eq!(words, "321 plants cannot come from 40 in 1a");
    let words = garden.refused("03-22", Act::Count { part, observed: up(41) });
    assert_eq!(words, "41 plants cannot come from 40 in 1a");
}

#[test]
fn an_uncounted_pinch_takes_its_number_from_the_plants() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Pinch, 50, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(80));
    assert_eq!(garden.tally(1), Tally { sown: 50, gained: 30, standing: 80, ..Tally::default() });
    garden.counts("03-11", "1a", up(40));
    assert_eq!(garden.tally(1), Tally { sown: 50, not_up: 10, standing: 40, ..Tally::default() });
    let (part, room) = (garden.part("1a"), garden.on_sill(cells(60), 1));
    garden.does("03-12", Act::MoveOn(MovingOn { recount: Recount::Yes, ..moving_on(part, 60, room) }));
    assert_eq!(garden.tally(1), Tally { sown: 50, gained: 10, standing: 60, ..Tally::default() });
    let words = garden.refused("03-13", Act::Count { part, observed: up(3_000_000) });
    assert_eq!(words, "3000000 is more than one entry can hold (at most 100,000)");
}

#[test]
fn doubles_split_when_pricking_out_are_gained_not_germinated() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 72, garden.on_sill(cells(72), 1));
    garden.counts("03-10", "1a", up(50));
    let (part, room) = (garden.part("1a"), garden.on_sill(pots(53), 1));
    let split = MovingOn { doubles: true, ..moving_on(part, 53, room) };
    garden.does("03-20", Act::MoveOn(split));
    assert_eq!(garden.tally(1), Tally { sown: 72, gained: 3, not_up: 22, standing: 53, ..Tally::default() });
    assert_eq!(garden.tally(1).up(), 50, "the rate is 50 of 72 still");
    // Three come up late: the units up are 53, the three doubles stay.
    garden.counts("03-22", "1a", up(53));
    assert_eq!(garden.tally(1), Tally { sown: 72, gained: 3, not_up: 19, standing: 56, ..Tally::default() });
    // 73 seedlings of 72 seeds need doubles said.
    garden.sows("03-02", 2, Seed, 72, garden.on_sill(cells(72), 1));
    let part = garden.part("2a");
    let words = garden.refused("03-10", Act::Count { part, observed: up(73) });
    assert_eq!(words, "73 plants cannot come from 72 in 2a");
    garden.counts("03-10", "2a", Observed { doubles: true, ..up(73) });
    assert_eq!(garden.tally(2), Tally { sown: 72, gained: 1, standing: 73, ..Tally::default() });
    // So do more plants than units said to be up.
    let words = garden.refused("03-11", Act::Count { part, observed: Observed { standing: Some(65), ..up(60) } });
    assert_eq!(words, "65 plants cannot come from 60 in 2a");
}

#[test]
fn a_carrier_shared_by_crops_moves_as_one() {
    let mut garden = Garden::new();
    let (sill, frame) = (Stand::Bench(garden.sill), Stand::Bench(garden.frame));
    garden.does("03-01", Act::SetCarrier { vessel: crate_tray(), called: name("crate one"), stand: sill });
    let carrier = *garden.log.state().containers.keys().next().unwrap();
    assert!(garden.log.state().is_occupied(carrier), "an empty carrier takes its room");
    let on_carrier = |vessel| Room::New { vessel, count: 1, stand: Stand::Carrier(carrier), spot: None };
    garden.sows("03-02", 1, Seed, 6, on_carrier(pots(6)));
    garden.sows("03-02", 2, Seed, 4, on_carrier(pots(4)));
    let (first, second) = (garden.container("1a"), garden.container("2a"));
    garden.does("03-05", Act::Move { moving: vec![Moving::Whole(carrier)], to: frame, spot: None });
    let state = garden.log.state();
    assert_eq!(state.home(first), Some((garden.frame_place, Some(garden.frame))));
    assert_eq!(state.home(first), state.home(second));
    assert_eq!(state.standing_at(second), "frame/bench on crate one");

    // Out for the day by naming one pot: the carrier goes out once, and all on it.
    let frame_place = garden.frame_place;
    garden.does("03-06", Act::Move { moving: vec![Moving::Whole(carrier)], to: sill, spot: None });
    garden.does("03-07", Act::PutOut { containers: vec![first, second], place: frame_place });
    assert_eq!(garden.log.state().whereabouts(second), Some(frame_place));
    garden.does("03-07", Act::BringIn { containers: vec![second] });
    assert_ne!(garden.log.state().whereabouts(first), Some(frame_place));

    // One set taken off the carrier stands on its own; the other stays.
    garden.does("03-08", Act::Move { moving: vec![Moving::Whole(second)], to: frame, spot: None });
    garden.does("03-09", Act::Move { moving: vec![Moving::Whole(carrier)], to: frame, spot: None });
    garden.does("03-10", Act::Move { moving: vec![Moving::Whole(carrier)], to: sill, spot: None });
    let state = garden.log.state();
    assert_eq!(state.home(second), Some((frame_place, Some(garden.frame))));
    assert_eq!(state.home(first).and_then(|(_, bench)| bench), Some(garden.sill));
    let words = garden
        .refused("03-11", Act::Move { moving: vec![Moving::Whole(carrier)], to: Stand::Carrier(carrier), spot: None });
    assert_eq!(words, "only a carrier carries other containers, and no carrier stands on another");
    let words = garden.refused("03-11", Act::Sow(sowing(3, Seed, 5, None, Room::Shared(carrier))));
    assert!(words.starts_with("crate is a carrier"), "{words}");
}

#[test]
fn one_batch_stands_in_several_places_and_part_of_a_set_is_moved() {
    let mut garden = Garden::new();
    let (sill, frame) = (Stand::Bench(garden.sill), Stand::Bench(garden.frame));
    // 100 seeds in two trays of 72: 72 and 28.
    garden.sows("03-02", 1, Seed, 100, garden.on_sill(cells(72), 2));
    assert_eq!((garden.look("1a").sown(), garden.look("1b").sown()), (72, 28));
    let second = garden.container("1b");
    garden.does("03-03", Act::Move { moving: vec![Moving::Whole(second)], to: frame, spot: None });
    let state = garden.log.state();
    assert_ne!(state.whereabouts(garden.container("1a")), state.whereabouts(second));
    let part = garden.part("1a");
    let words =
        garden.refused("03-04", Act::Move { moving: vec![Moving::Some { part, plants: 1 }], to: frame, spot: None });
    assert_eq!(words, "1a has 0 standing, not 1");

    garden.sows("03-02", 2, Seed, 12, garden.on_sill(pots(12), 1));
    garden.counts("03-10", "2a", up(10));
    let part = garden.part("2a");
    let some = |part, plants| Act::Move { moving: vec![Moving::Some { part, plants }], to: frame, spot: None };
    garden.does("03-11", some(part, 4));
    assert_eq!((garden.stands("2a"), garden.stands("2b")), (6, 4));
    let state = garden.log.state();
    assert_eq!(state.containers[&garden.container("2a")].vessel.pots, 8);
    assert_eq!(state.containers[&garden.container("2b")].vessel.pots, 4);
    // Of the eight pots left three are empty: five stand. The four that were moved are not gaps.
    garden.counts("03-12", "2a", gaps(3));
    assert_eq!(garden.stands("2a"), 5);
    assert_eq!(garden.tally(2), Tally { sown: 12, not_up: 3, standing: 9, ..Tally::default() });
    garden.counts("03-12", "2b", gaps(1));
    assert_eq!(garden.stands("2b"), 3);
    let words = garden.refused("03-13", some(part, 6));
    assert_eq!(words, "2a has 5 standing, not 6");
    // The last plants take the empty pots along: the set moves whole.
    garden.does("03-13", some(part, 5));
    assert_eq!(garden.letters(2), "ab");
    assert_eq!(garden.log.state().containers[&garden.container("2a")].stand, frame);
    // Two shares of one batch in one act take two letters.
    let (first, second) = (garden.part("2a"), garden.part("2b"));
    let moving = vec![Moving::Some { part: first, plants: 2 }, Moving::Some { part: second, plants: 1 }];
    garden.does("03-14", Act::Move { moving, to: sill, spot: None });
    assert_eq!(garden.letters(2), "abcd");
    assert_eq!(garden.tally(2), Tally { sown: 12, gained: 0, not_up: 4, standing: 8, ..Tally::default() });
}

#[test]
fn plants_that_stand_several_to_a_pot_are_parted_by_the_pot() {
    let mut garden = Garden::new();
    let frame = Stand::Bench(garden.frame);
    let room = garden.on_sill(pots(4), 1);
    garden.does("03-02", Act::Sow(sowing(1, Seed, 12, Some(3), room)));
    garden.counts("03-10", "1a", up(12));
    let part = garden.part("1a");
    garden.does("03-11", Act::Move { moving: vec![Moving::Some { part, plants: 6 }], to: frame, spot: None });
    let state = garden.log.state();
    assert_eq!(state.containers[&garden.container("1a")].vessel.pots, 2);
    assert_eq!(state.containers[&garden.container("1b")].vessel.pots, 2);
    assert_eq!((garden.stands("1a"), garden.stands("1b")), (6, 6));
    let words =
        garden.refused("03-12", Act::Move { moving: vec![Moving::Some { part, plants: 5 }], to: frame, spot: None });
    assert_eq!(words, "the set has 2 pots, so 2 cannot be parted from it");
}

#[test]
fn a_recount_down_is_a_correction_and_kills_nothing() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 72, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(60));
    garden.counts("03-12", "1a", up(55));
    assert_eq!(garden.tally(1), Tally { sown: 72, not_up: 17, standing: 55, ..Tally::default() });
    // The curve never shows more than a later count found.
    assert_eq!(garden.look("1a").curve(), [(day("03-10"), 55), (day("03-12"), 55)]);
    let (part, room) = (garden.part("1a"), garden.on_sill(cells(40), 1));
    garden.does("03-14", Act::MoveOn(moving_on(part, 40, room)));
    garden.counts("03-15", "1a", standing(12));
    assert_eq!(garden.tally(1), Tally { sown: 72, not_up: 20, standing: 52, ..Tally::default() });
    // Of the 40 pricked out two were never there.
    garden.counts("03-15", "1b", gaps(2));
    assert_eq!(garden.tally(1), Tally { sown: 72, not_up: 22, standing: 50, ..Tally::default() });
    let words = garden.refused("03-16", Act::Count { part, observed: up(39) });
    assert_eq!(words, "40 have already left 1a, so 39 cannot be all that ever came up");
}

#[test]
fn counts_may_be_given_as_up_standing_or_gaps() {
    let mut garden = Garden::new();
    let mut counted = |number: u32, observed: Observed| {
        garden.sows("03-02", number, Seed, 40, garden.on_sill(cells(40), 1));
        garden.counts("03-10", &format!("{number}a"), observed);
        (garden.look(&format!("{number}a")).up, garden.stands(&format!("{number}a")))
    };
    assert_eq!(counted(1, up(33)), (33, 33));
    assert_eq!(counted(2, standing(33)), (33, 33));
    assert_eq!(counted(3, gaps(7)), (33, 33));
    // 38 came up and 33 stand, said two ways: five died unseen.
    assert_eq!(counted(4, Observed { standing: Some(33), ..up(38) }), (38, 33));
    assert_eq!(counted(5, Observed { gaps: Some(7), ..up(38) }), (38, 33));
    assert_eq!(garden.tally(4), Tally { sown: 40, not_up: 2, standing: 33, lost: 5, ..Tally::default() });
    assert_eq!(garden.tally(5), garden.tally(4));
    let part = garden.part("1a");
    let words = garden.refused("03-11", Act::Count { part, observed: gaps(41) });
    assert_eq!(words, "1a has 40 filled cells, so it cannot have 41 gaps");
    assert_eq!(
        garden.refused("03-11", Act::Count { part, observed: NOTHING_SEEN }),
        "nothing would change: the number is 0"
    );
    let words = garden.refused("03-11", Act::Count { part, observed: up(41) });
    assert_eq!(words, "41 plants cannot come from 40 in 1a");
    let words = garden.refused("03-01", Act::Count { part, observed: up(3) });
    assert_eq!(words, "the plants it speaks of were not there yet");
    // Cells emptied by pricking out are gaps: 40 cells, 28 gaps, 12 stand.
    let room = garden.on_sill(pots(20), 1);
    garden.does("03-12", Act::MoveOn(moving_on(part, 20, room)));
    garden.counts("03-13", "1a", gaps(28));
    assert_eq!((garden.look("1a").up, garden.stands("1a")), (32, 12));
}

#[test]
fn a_loss_that_a_full_count_stands_on_is_not_undone_under_it() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 40, garden.on_sill(cells(40), 1));
    garden.counts("03-08", "1a", up(38));
    let part = garden.part("1a");
    let loss = garden.does("03-09", lose(part, 5));
    let count = garden.counts("03-10", "1a", Observed { standing: Some(33), ..up(38) });
    assert_eq!(garden.log.undo(loss), Err(vec![count]));
    let words = garden.refused("03-09", lose(part, 2));
    assert_eq!(words, "that would make an entry of 2026-03-10 impossible: 40 plants cannot come from 38 in 1a");
}

#[test]
fn recount_and_pot_on_when_the_log_is_behind_the_plants() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 20, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(8));
    let (part, room) = (garden.part("1a"), garden.on_sill(pots(12), 1));
    let words = garden.refused("03-15", Act::MoveOn(moving_on(part, 12, room.clone())));
    assert_eq!(words, "1a has 8 standing, not 12");
    garden.does("03-15", Act::MoveOn(MovingOn { recount: Recount::Yes, ..moving_on(part, 12, room.clone()) }));
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 8, standing: 12, ..Tally::default() });
    // What cannot be true stays refused: 12 have left, and 20 were sown.
    let more = MovingOn { recount: Recount::Yes, ..moving_on(part, 9, room) };
    assert_eq!(garden.refused("03-16", Act::MoveOn(more)), "21 plants cannot come from 20 in 1a");
    let planted = |part, plants, recount| Act::PlantOut { part, plants, bed: None, recount };
    let pricked = garden.part("1b");
    assert_eq!(garden.refused("03-20", planted(pricked, 13, Recount::No)), "1b has 12 standing, not 13");
    assert_eq!(garden.refused("03-20", planted(pricked, 13, Recount::Yes)), "13 plants cannot come from 12 in 1b");
    garden.does("03-20", planted(pricked, 12, Recount::No));
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 8, planted_out: 12, ..Tally::default() });
}

#[test]
fn the_best_are_kept_and_the_rest_discarded_in_one_act() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 72, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(60));
    let (part, room) = (garden.part("1a"), garden.on_sill(pots(24), 1));
    let act = garden.does("03-20", Act::MoveOn(MovingOn { rest: Rest::Discard, ..moving_on(part, 24, room) }));
    assert_eq!(garden.look("1a").cleared, Some(day("03-20")));
    assert_eq!(garden.tally(1), Tally { sown: 72, not_up: 12, standing: 24, discarded: 36, ..Tally::default() });
    let before = garden.log.state();
    garden.log.undo(act).unwrap();
    assert_eq!(garden.stands("1a"), 60);
    garden.log.redo(act).unwrap();
    assert_eq!(garden.log.state(), before);
}

#[test]
fn a_paper_start_is_counted_on_paper_and_set_into_cells() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 20, garden.on_sill(paper(), 1));
    garden.counts("03-06", "1a", up(16));
    let part = garden.part("1a");
    let words = {
        let room = garden.on_sill(paper(), 1);
        garden.refused("03-07", Act::MoveOn(moving_on(part, 16, room)))
    };
    assert_eq!(words, "paper is a paper: plants go into compost, not onto paper");
    let room = garden.on_sill(cells(24), 1);
    garden.does("03-07", Act::MoveOn(MovingOn { rest: Rest::Discard, ..moving_on(part, 16, room) }));
    assert_eq!(garden.look("1b").source, Source::From { part, plants: 16, how: Transfer::PrickedOut });
    // Fourteen show through the compost: two of the chitted seeds came to nothing.
    garden.counts("03-12", "1b", up(14));
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 6, standing: 14, ..Tally::default() });
    garden.counts("03-13", "1b", up(15));
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 5, standing: 15, ..Tally::default() });
}

#[test]
fn a_tray_bought_in_has_plants_and_no_germination() {
    let mut garden = Garden::new();
    let room = garden.on_sill(cells(18), 1);
    let label = thumbpot::quantity::BatchLabel { year: 2026, number: 1, twin: None };
    garden.does("04-01", Act::Receive { label, seed: seed("celery"), plants: 18, room });
    assert_eq!(garden.tally(1), Tally { gained: 18, standing: 18, ..Tally::default() });
    garden.counts("04-03", "1a", Observed { standing: Some(15), ..up(18) });
    assert_eq!(garden.tally(1), Tally { gained: 18, standing: 15, lost: 3, ..Tally::default() });
    garden.counts("04-04", "1a", up(14));
    assert_eq!(garden.stands("1a"), 14, "a bare number is what stands");
    assert_eq!(garden.tally(1).lost, 3);
    let part = garden.part("1a");
    let words = garden.refused("04-05", Act::Count { part, observed: standing(16) });
    assert_eq!(words, "19 plants cannot come from 18 in 1a");
}

#[test]
fn a_group_goes_out_for_the_day_and_comes_home() {
    let mut garden = Garden::new();
    let (sill, frame) = (garden.sill, garden.frame_place);
    for number in 1..=3 {
        garden.sows("03-02", number, Seed, 20, garden.on_sill(tray(), 1));
    }
    let all: Vec<_> = (1..=3).map(|number| garden.container(&format!("{number}a"))).collect();
    garden.does("04-01", Act::PutOut { containers: all.clone(), place: frame });
    assert!(all.iter().all(|id| garden.log.state().whereabouts(*id) == Some(frame)));
    assert!(all.iter().all(|id| garden.log.state().home(*id).unwrap().1 == Some(sill)));
    let words = garden.refused("04-01", Act::PutOut { containers: vec![all[1]], place: frame });
    assert_eq!(words, "it is already out for the day");
    // One is given a new home while out, and is there.
    garden.does("04-01", Act::Move { moving: vec![Moving::Whole(all[2])], to: Stand::Place(frame), spot: None });
    assert_eq!(garden.refused("04-01", Act::BringIn { containers: all.clone() }), "it is not out");
    garden.does("04-01", Act::BringIn { containers: all[..2].to_vec() });
    let state = garden.log.state();
    assert_eq!(all.iter().map(|id| state.whereabouts(*id) == Some(frame)).collect::<Vec<_>>(), [false, false, true]);
    // A cleared tray is not carried out.
    let part = garden.part("1a");
    garden.does("04-02", clear(part, Rest::Keep));
    let words = garden.refused("04-03", Act::PutOut { containers: all.clone(), place: frame });
    assert_eq!(words, "1a was cleared on 2026-04-02");
    let words =
        garden.refused("04-03", Act::Move { moving: vec![Moving::Whole(all[0])], to: Stand::Place(frame), spot: None });
    assert_eq!(words, "1a was cleared on 2026-04-02");
}

#[test]
fn backdated_acts_fall_into_their_place_and_letters_stay_unique() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 72, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(60));
    let part = garden.part("1a");
    let room = garden.on_sill(pots(20), 1);
    garden.does("03-20", Act::MoveOn(moving_on(part, 20, room.clone())));
    // Remembered later: ten had been pricked out earlier, and five lost in between.
    garden.does("03-15", Act::MoveOn(moving_on(part, 10, room.clone())));
    garden.does("03-17", lose(part, 5));
    assert_eq!(garden.letters(1), "acb", "in order of filling, each its own");
    assert_eq!((garden.stands("1b"), garden.stands("1c"), garden.stands("1a")), (20, 10, 25));
    let words = garden.refused("03-15", lose(part, 26));
    assert_eq!(words, "that would make an entry of 2026-03-20 impossible: 1a has 19 standing, not 20");
    let words = garden.refused("03-09", lose(part, 1));
    assert_eq!(words, "1a has 0 standing, not 1");
    // A count in between that leaves too few for what followed.
    let words = garden.refused("03-16", Act::Count { part, observed: up(30) });
    assert_eq!(words, "that would make an entry of 2026-03-20 impossible: 1a has 15 standing, not 20");
    // A batch and its tray from before all others.
    garden.sows("02-10", 2, Seed, 30, garden.on_sill(tray(), 1));
    assert_eq!(garden.look("2a").filled, day("02-10"));
    assert_eq!(
        garden.log.state_on(day("03-16")).tally(&garden.log.state_on(day("03-16")).batches[&garden.batch(1)]),
        Tally { sown: 72, not_up: 12, standing: 60, ..Tally::default() }
    );
}

#[test]
fn a_lost_label_is_sown_as_unknown_and_identified_once() {
    let mut garden = Garden::new();
    let nameless = Sowing { seed: seed("unknown"), ..sowing(1, Seed, 12, None, garden.on_sill(tray(), 1)) };
    garden.does("03-02", Act::Sow(nameless));
    let batch = garden.batch(1);
    let crop = |garden: &Garden| {
        let state = garden.log.state();
        state.lots[&state.batches[&batch].lot].crop.clone()
    };
    assert!(crop(&garden).is_unknown());
    let identified = garden.does("03-20", Act::Identify { batch, seed: seed("fennel") });
    assert_eq!(crop(&garden), CropName::new("fennel").unwrap());
    for date in ["03-21", "03-10"] {
        let words = garden.refused(date, Act::Identify { batch, seed: seed("dill") });
        assert_eq!(words, "this batch is not unknown: it is already fennel First");
    }
    garden.log.undo(identified).unwrap();
    assert!(crop(&garden).is_unknown());
}

#[test]
fn a_straggler_after_clearing_is_counted_potted_on_and_cleared_again() {
    let mut garden = Garden::new();
    garden.sows("03-02", 1, Seed, 20, garden.on_sill(tray(), 1));
    garden.counts("03-10", "1a", up(15));
    let (part, room) = (garden.part("1a"), garden.on_sill(pots(15), 1));
    garden.does("03-20", Act::MoveOn(moving_on(part, 15, room.clone())));
    let words = garden.refused("03-19", clear(part, Rest::Keep));
    assert_eq!(words, "1a still has 15 standing");
    garden.does("03-20", clear(part, Rest::Keep));
    assert_eq!(garden.refused("03-21", clear(part, Rest::Keep)), "1a was already cleared on 2026-03-20");
    assert_eq!(garden.refused("03-21", lose(part, 1)), "1a was cleared on 2026-03-20");

    garden.counts("03-25", "1a", standing(1));
    let seen = garden.look("1a");
    assert_eq!((seen.up, seen.standing(), seen.cleared), (16, 1, None));
    let one = Room::Shared(garden.container("1b"));
    let words = garden.refused("03-26", Act::MoveOn(moving_on(part, 16, one)));
    assert_eq!(words, "16 do not go into 9cm-pot: 15 cells at 1 each");
    let single = garden.on_sill(pots(1), 1);
    garden.does("03-26", Act::MoveOn(moving_on(part, 1, single.clone())));
    garden.does("03-26", clear(part, Rest::Keep));
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 4, standing: 16, ..Tally::default() });
    // A second straggler in one act: counted, potted on, and the tray is empty again.
    garden.does("03-30", Act::MoveOn(MovingOn { recount: Recount::Yes, ..moving_on(part, 1, single) }));
    assert_eq!(garden.look("1a").cleared, Some(day("03-30")));
    assert_eq!(garden.written_last().len(), 4, "counted, stood, filled, cleared");
    assert_eq!(garden.tally(1), Tally { sown: 20, not_up: 3, standing: 17, ..Tally::default() });
    // The emptied compost may be sown again, and is in use again.
    let shared = garden.container("1a");
    assert!(!garden.log.state().is_occupied(shared));
    garden.does("04-01", Act::Sow(sowing(2, Seed, 10, None, Room::Shared(shared))));
    assert!(garden.log.state().is_occupied(shared));
}

#[test]
fn numbers_that_cannot_be_are_refused() {
    let mut garden = Garden::new();
    let room = garden.on_sill(tray(), 1);
    let words = garden.refused("03-02", Act::Sow(sowing(1, Seed, 0, None, room.clone())));
    assert_eq!(words, "nothing would change: the number is 0");
    let words = garden.refused("03-02", Act::Sow(sowing(1, Seed, 100_001, None, room)));
    assert_eq!(words, "100001 is more than one entry can hold (at most 100,000)");
    let room = garden.on_sill(tray(), 501);
    let words = garden.refused("03-02", Act::Sow(sowing(1, Seed, 600, None, room)));
    assert_eq!(words, "501 containers in one act is more than a bench can hold (at most 500)");
    garden.sows("03-02", 1, Seed, 40, garden.on_sill(cells(40), 1));
    garden.counts("03-10", "1a", up(30));
    let part = garden.part("1a");
    for plants in [31, u32::MAX] {
        let words = garden.refused("03-11", lose(part, plants));
        assert!(words == format!("1a has 30 standing, not {plants}") || words.starts_with("4294967295 is more than"));
    }
    let words = garden.refused("03-11", Act::Count { part, observed: standing(u32::MAX) });
    assert_eq!(words, "4294967295 is more than one entry can hold (at most 100,000)");
    let own = Room::Shared(garden.container("1a"));
    assert_eq!(
        garden.refused("03-11", Act::MoveOn(moving_on(part, 3, own.clone()))),
        "nothing to do: they already stand in it"
    );
    // A shared cell tray holds no more than its cells at so many each.
    let words = garden.refused("03-11", Act::Sow(sowing(2, Seed, 41, Some(1), own)));
    assert_eq!(words, "41 do not go into cell-tray: 40 cells at 1 each");
}
