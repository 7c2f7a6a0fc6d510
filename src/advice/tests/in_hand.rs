//! Containers in hand and neighbours in a tray, against counts and rows worked out by hand.

use super::*;
use crate::advice::{Short, in_hand, rows_in_order, sharing, space, vessel_of};
use crate::trade::ToldApart;

fn owns(season: &mut Season, called: &str, count: u32) {
    season.does("2026-03-01", &Act::Own { name: name(called), count });
}

#[test]
fn pots_are_counted_one_by_one_and_those_without_a_plant_are_told() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    let pot = |pots| Vessel { name: name("9cm-pot"), ..super::pots(pots, 90) };
    owns(&mut season, "9cm-pot", 10);
    owns(&mut season, "9cm-pot", 30);
    owns(&mut season, "seed-tray", 4);
    season.sows("2026-03-01", 1, "leek", 12, on(sill, pot(12)));
    let row = |season: &Season, called: &str| {
        let found = in_hand(&season.state(), &trade(), day("2026-03-20"));
        let row = found.rows.into_iter().find(|row| row.name == name(called)).unwrap();
        (row.owned, row.in_use, row.idle, row.empty)
    };
    assert_eq!(row(&season, "9cm-pot"), (Some(30), 12, 0, Some(18)), "seed may still come up");
    season.counts("2026-03-19", "1a", 12);
    let part = season.part("1a");
    season.does("2026-03-20", &Act::Lose { part, plants: 5, cause: crate::journal::Cause::Slugs, remark: None });
    assert_eq!(row(&season, "9cm-pot"), (Some(30), 12, 5, Some(18)));
    season.clears("2026-03-20", "1a", Rest::Discard);
    assert_eq!(row(&season, "9cm-pot"), (Some(30), 0, 0, Some(30)), "freed when its plants leave");
    assert_eq!(row(&season, "seed-tray"), (Some(4), 0, 0, Some(4)));
}

#[test]
fn pots_whose_plants_left_are_freed_by_number_and_the_others_stand_where_they_stood() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    let pot = |pots| Vessel { name: name("9cm-pot"), ..super::pots(pots, 90) };
    owns(&mut season, "9cm-pot", 30);
    season.sows("2026-03-01", 1, "leek", 12, on(sill, pot(12)));
    let free = |season: &Season, label: &str, pots| Act::FreePots { part: season.part(label), pots, spot: None };
    let act = free(&season, "1a", 1);
    assert!(season.tries(day("2026-03-05"), &act).is_err(), "nothing is up, and all may still come");
    season.counts("2026-03-14", "1a", 9);
    season.notes("2026-03-15", "1a", Growth { leaves: Some(2), ..SEEN });
    let act = free(&season, "1a", 2);
    let refused = season.tries(day("2026-03-16"), &act).unwrap_err();
    assert_eq!(refused.to_string(), "1a: 9 plants in 12 pots; 3 are without a plant");
    assert!(refused.hint().contains("may still come up"), "{}", refused.hint());
    let act = free(&season, "1a", 3);
    season.does("2026-03-16", &act);
    let part = season.part("1b");
    let row = |season: &Season| {
        let found = in_hand(&season.state(), &trade(), day("2026-03-20"));
        let row = found.rows.into_iter().find(|row| row.name == name("9cm-pot")).unwrap();
        (row.in_use, row.idle, row.to_wash)
    };
    assert_eq!(row(&season), (9, 0, 3), "the three that held nothing are to be washed");
    let state = season.state();
    assert_eq!((state.parts[&part].standing(), state.parts[&part].leaves()), (9, Some((day("2026-03-15"), 2))));
    // Nine 9 cm pots of 8100 mm2.
    assert_eq!(space(&state, &trade(), day("2026-03-20")).indoors.taken.0, 9 * 8100);
    // What was set apart went in its own pots: those that stay hold a plant each.
    season.does(
        "2026-03-17",
        &Act::Move { moving: vec![Moving::Some { part, plants: 4 }], to: Stand::Bench(sill), spot: None },
    );
    assert_eq!(row(&season), (9, 0, 3));
    season.does("2026-03-18", &Act::PlantOut { part, plants: 3, bed: None, recount: Recount::No });
    assert_eq!(row(&season), (9, 3, 3));
    let act = free(&season, "1b", 4);
    assert!(season.tries(day("2026-03-19"), &act).is_err(), "only three are free");
    let act = free(&season, "1b", 2);
    season.does("2026-03-19", &act);
    assert_eq!(row(&season), (7, 1, 5));
}

#[test]
fn short_is_what_is_due_by_a_day_less_what_stands_empty() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "1a", 25);
    // The table pricks tomato out into 75 mm, 10 to 14 days after emergence: best on the 22nd. Of pots in the table the
    // narrowest that is wide enough and has a volume is told by the row itself.
    let wanted = |season: &Season, on: &str| in_hand(&season.state(), &trade(), day(on));
    let found = wanted(&season, "2026-03-14");
    assert!(found.rows.iter().all(|row| row.needs.is_empty()), "best on the 22nd, counted to the 21st");
    let found = wanted(&season, "2026-03-15");
    let row = found.rows.iter().find(|row| !row.needs.is_empty()).unwrap();
    let need = &row.needs[0];
    assert_eq!((need.plants, need.containers, need.on, row.short), (25, 25, day("2026-03-22"), None));
    let pot = trade().find_container(row.name.as_str()).unwrap().root_volume().unwrap();
    assert_eq!((need.compost, found.compost), (Some(Millilitres(25 * pot.0)), Millilitres(25 * pot.0)));
    let called = row.name.clone();
    owns(&mut season, called.as_str(), 5);
    let found = wanted(&season, "2026-03-15");
    let row = found.rows.iter().find(|row| row.name == called).unwrap();
    let short = Short { count: 20, on: day("2026-03-22"), once_washed: 0, once_emptied: 0 };
    assert_eq!(row.short, Some(short), "25 wanted, 5 to hand");
    owns(&mut season, called.as_str(), 25);
    let found = wanted(&season, "2026-03-15");
    assert_eq!(found.rows.iter().find(|row| row.name == called).unwrap().short, None);
}

#[test]
fn what_is_emptied_is_to_be_washed_until_it_is_and_clean_ones_are_counted_first() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    let pot = |pots| Vessel { name: name("9cm-pot"), ..super::pots(pots, 90) };
    owns(&mut season, "9cm-pot", 30);
    season.sows("2026-03-01", 1, "leek", 12, on(sill, pot(12)));
    season.sows("2026-03-02", 2, "leek", 8, on(sill, pot(8)));
    let row = |season: &Season, on: &str| {
        let found = in_hand(&season.state(), &trade(), day(on));
        let row = found.rows.into_iter().find(|row| row.name == name("9cm-pot")).unwrap();
        (row.in_use, row.to_wash, row.clean)
    };
    assert_eq!(row(&season, "2026-03-05"), (20, 0, Some(10)), "never used is clean");
    season.clears("2026-03-06", "1a", Rest::Discard);
    assert_eq!(row(&season, "2026-03-06"), (8, 12, Some(10)));
    season.does("2026-03-07", &Act::Wash { name: name("9cm-pot"), count: 5 });
    assert_eq!(row(&season, "2026-03-07"), (8, 7, Some(15)));
    // Eighteen are filled where fifteen were clean: three were washed, or used as they were.
    season.sows("2026-03-08", 3, "leek", 18, on(sill, pot(18)));
    assert_eq!(row(&season, "2026-03-08"), (26, 4, Some(0)));
    season.clears("2026-03-09", "3a", Rest::Discard);
    assert_eq!(row(&season, "2026-03-09"), (8, 22, Some(0)));
    // More were washed than the log knew of: none is left, and none is owed.
    season.does("2026-03-10", &Act::Wash { name: name("9cm-pot"), count: 25 });
    assert_eq!(row(&season, "2026-03-10"), (8, 0, Some(22)));
    season.clears("2026-03-11", "2a", Rest::Discard);
    assert_eq!(row(&season, "2026-03-11"), (0, 8, Some(22)));
    assert_eq!(row(&season, "2027-03-12"), (0, 0, Some(30)), "a year has its washing day");
}

#[test]
fn what_is_filled_and_emptied_on_one_day_is_taken_in_the_order_it_was_done() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    owns(&mut season, "pot", 10);
    season.sows("2026-03-01", 1, "leek", 6, on(sill, pots(6, 90)));
    season.sows("2026-03-01", 2, "leek", 2, on(sill, pots(2, 90)));
    season.clears("2026-03-01", "1a", Rest::Keep);
    let row = |season: &Season| {
        let found = in_hand(&season.state(), &trade(), day("2026-03-01"));
        let row = found.rows.into_iter().find(|row| row.name == name("pot")).unwrap();
        (row.in_use, row.to_wash, row.clean)
    };
    assert_eq!(row(&season), (2, 6, Some(2)));
    season.does("2026-03-01", &Act::Wash { name: name("pot"), count: 6 });
    season.sows("2026-03-01", 3, "leek", 3, on(sill, pots(3, 90)));
    season.clears("2026-03-01", "3a", Rest::Keep);
    assert_eq!(row(&season), (2, 3, Some(5)), "washed before the third was emptied");
}

#[test]
fn short_says_what_washing_gives() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "1a", 25);
    // 25 are due on the 22nd: see above.
    let wanted = in_hand(&season.state(), &trade(), day("2026-03-15"));
    let called = wanted.rows.iter().find(|row| !row.needs.is_empty()).unwrap().name.clone();
    owns(&mut season, called.as_str(), 17);
    let vessel = vessel_of(&season.state(), trade().find_container(called.as_str()).unwrap(), 12).unwrap();
    let each = vessel.pots.max(1);
    season.sows("2026-03-01", 2, "leek", 12, on(sill, vessel));
    season.clears("2026-03-14", "2a", Rest::Discard);
    let found = in_hand(&season.state(), &trade(), day("2026-03-15"));
    let row = found.rows.iter().find(|row| row.name == called).unwrap();
    assert_eq!((row.to_wash, row.clean), (each, Some(17 - each)));
    let short = Short { count: 25 - (17 - each), on: day("2026-03-22"), once_washed: each, once_emptied: 0 };
    assert_eq!(row.short, Some(short), "short of 20, 12 more once washed");
    // Of ten pots in use four died and two were given away: six hold no plant, and can be emptied.
    let ten = Vessel { name: called.clone(), ..super::pots(10, 90) };
    season.sows("2026-03-01", 3, "leek", 10, on(sill, ten));
    season.counts("2026-03-10", "3a", 10);
    season.does("2026-03-11", &Act::Discard { part: season.part("3a"), plants: 6 });
    owns(&mut season, called.as_str(), 27);
    let found = in_hand(&season.state(), &trade(), day("2026-03-15"));
    let row = found.rows.iter().find(|row| row.name == called).unwrap();
    assert_eq!((row.idle, row.short.map(|short| short.once_emptied)), (6, Some(6)));
    assert!(row.short.unwrap().in_words().ends_with("6 more once pots without a plant are emptied"));
}

#[test]
fn neighbours_are_told_apart_as_the_table_has_it() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (1200, 500), None);
    for (number, crop) in [(1, "onion"), (2, "leek"), (3, "radish"), (4, "turnip"), (5, "tomato"), (6, "tomato")] {
        season.sows("2026-03-01", number, crop, 12, on(sill, tray()));
    }
    let state = season.state();
    let told = |one, other| {
        let pair = sharing(&state, &trade(), season.batch(one), season.batch(other)).unwrap();
        (pair.told_apart, pair.better.map(|(label, _)| label.number))
    };
    // Seedling pages and common practice: alliums later; the seed leaves of radish are the largest; varieties never.
    // The plainer neighbour is the first of those in trays that nobody confounds.
    assert_eq!(told(1, 2), (ToldApart::Later, Some(3)));
    assert_eq!(told(3, 4), (ToldApart::SeedLeaf, None));
    assert_eq!(told(5, 6), (ToldApart::Never, Some(1)));
    assert_eq!(told(1, 5), (ToldApart::SeedLeaf, None), "no row has them alike");
    // Two alliums and a radish: the radish between them.
    let rows = [season.batch(1), season.batch(2), season.batch(3)];
    assert_eq!(rows_in_order(&state, &trade(), &rows).unwrap()[1], season.batch(3));
    assert_eq!(rows_in_order(&state, &trade(), &[]), None);
}
