//! Trays ticked cell by cell, each case against numbers counted by hand.

use thumbpot::journal::{Act, Cause, Cell, MovingOn, Observed, Recount, Rest, Room, Tally, Ticks};
use thumbpot::quantity::SownUnit::{Cluster, Seed};
use thumbpot::quantity::{BatchLabel, CellSet, PartId};

use super::log::{Garden, NOTHING_SEEN, cells, pots, seed, sowing, standing, tray};

fn moving_on(part: PartId, plants: u32, room: Room) -> MovingOn {
    MovingOn { part, plants, room, per_cell: None, recount: Recount::No, doubles: false, rest: Rest::Keep }
}

fn lose(part: PartId, plants: u32) -> Act {
    Act::Lose { part, plants, cause: Cause::Slugs, remark: None }
}

fn ticks(cells: &str, doubled: &str) -> Observed {
    let (cells, doubled): (CellSet, CellSet) = (cells.parse().unwrap(), doubled.parse().unwrap());
    Observed { ticks: Some(Ticks::new(&cells, doubled)), ..NOTHING_SEEN }
}

fn from_cells(cells: &str, taking: Act) -> Act {
    Act::FromCells { cells: cells.parse().unwrap(), taking: Box::new(taking) }
}

#[test]
fn a_tray_is_ticked_and_its_ticks_are_the_count() {
    let mut garden = Garden::new();
    let room = garden.on_sill(cells(24), 1);
    garden.does("03-02", Act::Sow(sowing(1, Seed, 20, None, room)));
    let part = garden.part("1a");
    let first = garden.counts("03-10", "1a", ticks("1-12,15", "none"));
    assert_eq!((garden.look("1a").up, garden.look("1a").standing()), (13, 13));
    // Two in cell 3: one more than was sown, and no more units up.
    garden.counts("03-11", "1a", ticks("1-12,15", "3"));
    assert_eq!(garden.tally(1), Tally { sown: 20, gained: 1, not_up: 7, standing: 14, ..Tally::default() });
    // What died, was thinned and was potted on left its cells.
    garden.does("03-12", from_cells("1-2", lose(part, 2)));
    garden.does("03-13", from_cells("3", Act::Thin { part, plants: 1 }));
    let room = garden.on_sill(pots(2), 1);
    garden.does("03-14", from_cells("4-5", Act::MoveOn(moving_on(part, 2, room))));
    let shown: Vec<Cell> = garden.log.state().cells(part).unwrap();
    let of = |wanted: Cell| (1..).zip(&shown).filter(|(_, cell)| **cell == wanted).map(|(n, _)| n).collect::<CellSet>();
    let written =
        [Cell::Up, Cell::Doubled, Cell::Lost, Cell::MovedOn, Cell::Filled, Cell::Empty].map(|c| of(c).to_string());
    assert_eq!(written, ["3,6-12,15", "none", "1-2", "4-5", "13-14,16-20", "21-24"]);
    assert_eq!(garden.look("1a").standing(), 9);
    // Cells that are empty, are not there, or hold another number.
    for (act, wanted) in [
        (from_cells("2", lose(part, 1)), "cell 2 of 1a holds nothing since 2026-03-12"),
        (from_cells("13", lose(part, 1)), "cell 13 of 1a holds nothing since 2026-03-11"),
        (from_cells("6,25", lose(part, 2)), "1a has 24 cells, so there is no cell 25"),
        (from_cells("6-7", lose(part, 3)), "those cells of 1a hold 2, not 3"),
        (Act::Count { part, observed: ticks("1-25", "none") }, "1a has 24 cells, so there is no cell 25"),
        (Act::Count { part, observed: ticks("1-21", "none") }, "21 plants cannot come from 20 in 1a"),
        (
            Act::Count { part, observed: Observed { up: Some(14), ..ticks("6-12", "none") } },
            "the ticks make 12 up and 7 standing in 1a, and the number beside them says otherwise",
        ),
    ] {
        assert_eq!(garden.refused("03-15", act), wanted);
    }
    // A count without cells leaves the ticks to the day they were made.
    garden.counts("03-16", "1a", standing(10));
    assert!(!garden.log.state().cells(part).unwrap().contains(&Cell::Up));
    assert_eq!(garden.look("1a").ticked.as_ref().unwrap().then.plants(), 14);
    // A count noted late, for a day before the cells were emptied, cannot deny what left them.
    let words = garden.refused("03-11", Act::Count { part, observed: ticks("1-3,6-12", "3") });
    assert!(words.ends_with("cell 4 of 1a holds nothing since 2026-03-11"), "{words}");
    garden.log.undo(first).unwrap();
    assert_eq!(garden.tally(1).standing, 10 + 2);
}

#[test]
fn several_to_a_cell_clusters_and_plants_that_came_are_ticked_too() {
    let mut garden = Garden::new();
    let room = garden.on_sill(cells(24), 1);
    garden.does("03-02", Act::Sow(sowing(1, Seed, 48, Some(2), room)));
    garden.counts("03-10", "1a", ticks("1-10", "1-4"));
    assert_eq!(
        garden.tally(1),
        Tally { sown: 48, not_up: 34, standing: 14, ..Tally::default() },
        "two of two are no gain"
    );
    let room = garden.on_sill(cells(24), 1);
    garden.does("03-02", Act::Sow(sowing(2, Cluster, 24, None, room)));
    garden.counts("03-10", "2a", ticks("1-20", "none"));
    assert_eq!((garden.look("2a").up, garden.look("2a").standing()), (20, 20));
    garden.counts("03-12", "2a", Observed { standing: Some(55), ..ticks("1-21", "2,4") });
    assert_eq!((garden.look("2a").up, garden.look("2a").standing()), (21, 55), "clusters give several");
    let part = garden.part("2a");
    garden.does("03-13", from_cells("1-3", lose(part, 9)));
    garden.counts("03-14", "2a", ticks("4-20", "none"));
    assert_eq!((garden.look("2a").up, garden.look("2a").standing()), (21, 46), "clusters once counted stay");
    garden.counts("03-15", "2a", ticks("none", "none"));
    assert_eq!(garden.look("2a").standing(), 0, "nothing stands in no cell");
    let room = garden.on_sill(cells(24), 1);
    garden.does(
        "03-02",
        Act::Receive { label: BatchLabel { year: 2026, number: 3, twin: None }, seed: seed("leek"), plants: 18, room },
    );
    garden.counts("03-10", "3a", ticks("1-17", "none"));
    assert_eq!(garden.look("3a").standing(), 17);
    // In a tray of two crops no cell is ticked for both; where there are no cells none is.
    let shared = Room::Shared(garden.container("3a"));
    garden.does("03-02", Act::Sow(sowing(4, Seed, 4, None, shared)));
    let four = garden.part("4a");
    let words = garden.refused("03-11", Act::Count { part: four, observed: ticks("17-18", "none") });
    assert_eq!(words, "cell 17 is ticked for 3a");
    let room = garden.on_sill(tray(), 1);
    garden.does("03-02", Act::Sow(sowing(5, Seed, 40, None, room)));
    let five = garden.part("5a");
    let words = garden.refused("03-11", Act::Count { part: five, observed: ticks("1", "none") });
    assert_eq!(words, "5a stands in a container without cells, so there is none to tick");
}
