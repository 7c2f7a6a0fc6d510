//! Emergence against Harrington and Minges 1954 (California Agricultural Extension), as printed in Knott's Handbook
//! for Vegetable Growers, 1997: days from sowing to emergence at constant soil temperature, seed 13 mm deep.

use thumbpot::trade::{Crop, Trade};

/// Crop, and days at 0, 5, 10, 15, 20, 25, 30, 35 and 40 C. 0 stands for "tried, none came up", -1 for "not tried".
const TABLE: [(&str, [i32; 9]); 20] = [
    ("asparagus", [0, 0, 53, 24, 15, 10, 12, 20, 28]),
    ("french bean", [0, 0, 0, 16, 11, 8, 6, 6, 0]),
    ("beetroot", [-1, 42, 17, 10, 6, 5, 5, 5, -1]),
    ("cabbage", [-1, -1, 15, 9, 6, 5, 4, -1, -1]),
    ("carrot", [0, 51, 17, 10, 7, 6, 6, 9, 0]),
    ("cauliflower", [-1, -1, 20, 10, 6, 5, 5, -1, -1]),
    ("celery", [0, 41, 16, 12, 7, 0, 0, 0, -1]),
    ("cucumber", [0, 0, 0, 13, 6, 4, 3, 3, -1]),
    ("aubergine", [-1, -1, -1, -1, 13, 8, 5, -1, -1]),
    ("lettuce", [49, 15, 7, 4, 3, 2, 3, 0, 0]),
    ("onion", [136, 31, 13, 7, 5, 4, 4, 13, 0]),
    ("parsley", [-1, -1, 29, 17, 14, 13, 12, -1, -1]),
    ("parsnip", [172, 57, 27, 19, 14, 15, 32, 0, 0]),
    ("pea", [-1, 36, 14, 9, 8, 6, 6, -1, -1]),
    ("sweet pepper", [0, 0, 0, 25, 13, 8, 8, 9, 0]),
    ("radish", [0, 29, 11, 6, 4, 4, 3, -1, -1]),
    ("spinach", [63, 23, 12, 7, 6, 5, 6, 0, 0]),
    ("sweet corn", [0, 0, 22, 12, 7, 4, 4, 3, 0]),
    ("tomato", [0, 0, 43, 14, 8, 6, 6, 9, 0]),
    ("watermelon", [-1, 0, -1, -1, 12, 5, 4, 3, -1]),
];

fn days_at(crop: &Crop, soil: f64) -> i32 {
    let point = crop.emergence().iter().find(|point| point.soil.0 == soil);
    point.map_or(-1, |point| point.days.map_or(0, |(low, _)| i32::from(low)))
}

#[test]
fn every_row_is_the_printed_one() {
    let trade = Trade::built_in().unwrap();
    for (name, printed) in TABLE {
        let crop = trade.find_crop(name).unwrap();
        for (step, days) in printed.into_iter().enumerate() {
            let soil = 5.0 * step as f64;
            assert_eq!(days_at(crop, soil), days, "{name} at {soil} C");
        }
    }
}

/// The fits were made over the printed days, so they must give them back. The bound is the largest error that whole
/// days allow in this table: 17 %, for sweet corn at 25 C.
#[test]
fn the_refitted_heat_sums_give_the_printed_days_back() {
    let trade = Trade::built_in().unwrap();
    let mut refitted = 0;
    for (name, printed) in TABLE {
        let sum = trade.find_crop(name).unwrap().heat_sum();
        let Some(sum) = sum.filter(|sum| sum.source.citation.contains("Harrington & Minges 1954")) else { continue };
        refitted += 1;
        let (from, to) = sum.holds.unwrap();
        let points = printed.into_iter().enumerate().map(|(step, days)| (5.0 * step as f64, days));
        let points: Vec<_> = points.filter(|(soil, days)| *days > 0 && (from.0..=to.0).contains(soil)).collect();
        assert!(points.len() >= 4, "{name} is refitted to only {} points", points.len());
        for (soil, days) in points {
            let foretold = sum.degree_days / (soil - sum.base.0);
            let error = (foretold / f64::from(days) - 1.0).abs();
            assert!(error < 0.175, "{name} at {soil} C: {foretold:.1} days for {days}");
        }
    }
    assert_eq!(refitted, 15);
}

/// The turnip row (one day at 25 C) cannot be shoots above the soil; it is left out and the Dutch heat sum used.
#[test]
fn the_incredible_turnip_row_is_not_used() {
    let trade = Trade::built_in().unwrap();
    let turnip = trade.find_crop("turnip").unwrap();
    assert!(turnip.emergence().is_empty());
    assert!(turnip.heat_sum().unwrap().source.citation.starts_with("Bierhuizen & Wagenvoort 1974"));
}
