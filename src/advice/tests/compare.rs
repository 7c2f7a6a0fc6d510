//! Lots, treatments and years side by side.

use super::*;
use crate::advice::{By, Record, compared, outlooks, so_far};

fn sown_and_over(season: &mut Season, number: u32, sowing: (Seed, Treatment, Vessel), sown: u32, up: u32) {
    sown_in(2026, season, number, sowing, sown, up);
}

fn sown_in(year: i32, season: &mut Season, number: u32, sowing: (Seed, Treatment, Vessel), sown: u32, up: u32) {
    let on_day = |day: &str| format!("{year}-{day}");
    let sill = season.state().benches.keys().next().copied().unwrap();
    let (seed, treatment, vessel) = sowing;
    let label = BatchLabel { year: 2026, number, twin: None };
    let (unit, room) = (SownUnit::Seed, on(sill, vessel));
    let sowing = Sowing { label, seed, unit, units: sown, per_cell: None, treatment, depth: None, room };
    season.does(&on_day("03-01"), &Act::Sow(sowing));
    let part = format!("{number}a");
    season.counts(&on_day("03-20"), &part, up);
    season.clears(&on_day("03-25"), &part, Rest::Discard);
}

fn packet(season: &mut Season, crop: &str) -> Seed {
    let crop = CropName::new(crop).unwrap();
    let (variety, origin) = (name(&format!("Packet {}", season.acts)), SeedOrigin::Packet);
    let lot = NewLot { crop, variety, packed: None, stated: None, seeds: None, origin };
    Seed::Lot(crate::quantity::LotId(season.does("2026-01-01", &Act::AddLot(lot))))
}

#[test]
fn plain_words_come_first() {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let parsley = packet(&mut season, "parsley");
    let treated = |treatment| (parsley.clone(), treatment, tray());
    // 54 and 31 of 72: Fisher's exact test gives 0.0002 (R's fisher.test).
    sown_and_over(&mut season, 1, treated(Treatment::Soaked), 72, 54);
    sown_and_over(&mut season, 2, treated(Treatment::None), 72, 31);
    // Of 30 on paper the 8 that did not show were thrown away, and count.
    let paper = vessel("paper", ContainerClass::Paper, (170, 120, 5));
    sown_and_over(&mut season, 3, (parsley.clone(), Treatment::None, paper), 30, 22);
    let record = Record::of(&season.state(), &trade(), day("2026-04-01"));
    let crop = CropName::new("parsley").unwrap();
    let rows = compared(&record, &[], &crop, By::Treatment);
    let words: Vec<_> =
        rows.iter().map(|row| format!("{}, {}: {}", row.first.name, row.second.name, row.words)).collect();
    assert_eq!(rows.len(), 2);
    assert!(words.contains(&"none, soaked: 31 of 72 against 54 of 72: a real difference".to_owned()), "{words:?}");
    assert!(words.contains(&"none, damp paper: 31 of 72 against 22 of 30: a real difference".to_owned()), "{words:?}");
    assert_eq!(compared(&record, &[], &crop, By::Year), []);
    assert_eq!(compared(&record, &[], &crop, By::Lot), [], "one lot");
    assert_eq!(compared(&record, &[], &CropName::new("leek").unwrap(), By::Lot), []);
}

#[test]
fn a_few_seeds_tell_nothing() {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let leek = packet(&mut season, "leek");
    sown_and_over(&mut season, 1, (leek.clone(), Treatment::None, tray()), 6, 5);
    sown_and_over(&mut season, 2, (leek, Treatment::Soaked, tray()), 6, 3);
    let record = Record::of(&season.state(), &trade(), day("2026-04-01"));
    let rows = compared(&record, &[], &CropName::new("leek").unwrap(), By::Treatment);
    assert!(rows[0].words.ends_with("too few to tell"), "{}", rows[0].words);
}

/// A tray that is all up, or failed, speaks before it is emptied; one that is on its way does not.
#[test]
fn what_had_its_time_and_stands_is_compared_so_far() {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let leek = packet(&mut season, "leek");
    sown_and_over(&mut season, 1, (leek.clone(), Treatment::None, tray()), 72, 31);
    let sill = season.state().benches.keys().next().copied().unwrap();
    let soaked = |season: &mut Season, number: u32| {
        let label = BatchLabel { year: 2026, number, twin: None };
        let (seed, treatment, room) = (leek.clone(), Treatment::Soaked, on(sill, tray()));
        let unit = SownUnit::Seed;
        let sowing = Sowing { label, seed, unit, units: 72, per_cell: None, treatment, depth: None, room };
        season.does("2026-03-01", &Act::Sow(sowing));
    };
    soaked(&mut season, 2);
    season.counts("2026-03-14", "2a", 20);
    season.counts("2026-04-01", "2a", 54);
    soaked(&mut season, 3);
    season.counts("2026-03-14", "3a", 20);
    let rows = |season: &Season, on: Date| {
        let (state, crop) = (season.state(), CropName::new("leek").unwrap());
        let record = Record::of(&state, &trade(), on);
        let so_far = so_far(&state, &outlooks(&state, &trade(), &record, on), &crop, on);
        compared(&record, &so_far, &crop, By::Treatment)
    };
    let found = rows(&season, day("2026-04-01"));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].words, "31 of 72 against 54 of 72 so far: a real difference");
    assert_eq!((found[0].first.so_far, found[0].second.so_far, found[0].second.sowings), (0, 1, 1));
    // Left standing in the log, it is over once its season is.
    let found = rows(&season, day("2027-04-01"));
    assert_eq!(found[0].words, "31 of 72 against 54 of 72: a real difference");
    assert_eq!(found[0].second.so_far, 0);
}

/// A good packet sown dry beside a poor one sown dry and soaked: what the packets differ in is not the soaking.
#[test]
fn a_poor_packet_is_no_poor_treatment() {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let (good, poor) = (packet(&mut season, "leek"), packet(&mut season, "leek"));
    sown_and_over(&mut season, 1, (good.clone(), Treatment::None, tray()), 72, 68);
    sown_and_over(&mut season, 2, (poor.clone(), Treatment::None, tray()), 72, 31);
    sown_and_over(&mut season, 3, (poor.clone(), Treatment::Soaked, tray()), 72, 34);
    let words = |season: &Season| {
        let record = Record::of(&season.state(), &trade(), day("2026-04-01"));
        let rows = compared(&record, &[], &CropName::new("leek").unwrap(), By::Treatment);
        assert_eq!(rows.len(), 1);
        rows[0].words.clone()
    };
    assert_eq!(words(&season), "31 of 72 against 34 of 72: too few to tell");
    // Soaked in both packets, and better in both, though by the sums it would be much the worse.
    sown_and_over(&mut season, 4, (good, Treatment::Soaked, tray()), 72, 72);
    sown_and_over(&mut season, 5, (poor, Treatment::Soaked, tray()), 600, 400);
    let both = words(&season);
    assert!(both.ends_with(", within each of 2 packets: a real difference, soaked did better"), "{both}");
    // Two packets, each sown one way.
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    sown_and_over(&mut season, 1, (seed("leek"), Treatment::None, tray()), 72, 68);
    sown_and_over(&mut season, 2, (seed("leek"), Treatment::Soaked, tray()), 72, 34);
    assert!(words(&season).ends_with("but of other packets: it cannot be told"), "{}", words(&season));
}

/// One packet sown dry in one spring and soaked in the next, a year older: that is not the soaking; nor is a soaked tray the year.
#[test]
fn an_older_packet_is_no_poor_treatment() {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let leek = packet(&mut season, "leek");
    let treated = |treatment| (leek.clone(), treatment, tray());
    sown_in(2026, &mut season, 1, treated(Treatment::None), 72, 68);
    sown_in(2027, &mut season, 2, treated(Treatment::Soaked), 72, 34);
    let words = |season: &Season, by| {
        let record = Record::of(&season.state(), &trade(), day("2027-06-01"));
        let rows = compared(&record, &[], &CropName::new("leek").unwrap(), by);
        assert_eq!(rows.len(), 1);
        rows[0].words.clone()
    };
    let mixed = words(&season, By::Treatment);
    assert_eq!(mixed, "68 of 72 against 34 of 72, but in other years: it cannot be told");
    let mixed = words(&season, By::Year);
    assert_eq!(mixed, "68 of 72 against 34 of 72, but treated otherwise: it cannot be told");
    // Sown dry beside it in the second spring, that tray alone is set against it; and the dry ones against one another.
    sown_in(2027, &mut season, 3, treated(Treatment::None), 72, 36);
    assert_eq!(words(&season, By::Treatment), "36 of 72 against 34 of 72: too few to tell");
    assert_eq!(words(&season, By::Year), "36 of 72 against 68 of 72: a real difference");
}
