//! Container footprints and volumes against published dimensions, each with where it is printed.

use thumbpot::quantity::{Millilitres, Millimetres};
use thumbpot::trade::Trade;

fn inches(inches: f64) -> u32 {
    (inches * 25.4).round() as u32
}

#[test]
fn outer_sizes_are_the_published_ones() {
    let trade = Trade::built_in().unwrap();
    for (name, length, width, height, printed_in) in [
        ("1020-tray", inches(21.37), inches(11.0), Some(inches(2.44)), "catalogue trays, 11 x 21.37 x 2.44 in"),
        ("84-cell", 515, 335, None, "Irish Farmers Journal: a decent module tray is 335 x 515 mm"),
        ("104-cell", 515, 335, None, "Irish Farmers Journal: 80 to 150 modules in the same tray"),
        ("36-pack", inches(20.0), inches(8.5), None, "bedding-plant grower container list, 8.5 x 20 in"),
        ("18-carrier", inches(20.0), inches(10.0), None, "bedding-plant grower container list, 10 x 20 in"),
        ("12-carrier", inches(20.0), inches(7.5), None, "bedding-plant grower container list, 7.5 x 20 in"),
        ("1l-pot", 130, 130, Some(110), "plant nursery pot guide: 130 / 100 / 110 mm"),
        ("2l-pot", 170, 170, Some(130), "plant nursery pot guide: 170 / 120 / 130 mm"),
        ("3l-pot", 190, 190, Some(150), "plant nursery pot guide: 190 / 130 / 150 mm"),
        ("9cm-pot", 90, 90, Some(85), "plant nursery pot guide: 90 / 60 / 85 mm"),
        ("quarter-tray", 170, 100, Some(60), "seedsman's page on mini trays: 17 x 10 x 6 cm"),
        ("27mm-block", 27, 27, Some(27), "Brewster, Onions and Other Vegetable Alliums: the 27 mm block"),
    ] {
        let container = trade.find_container(name).unwrap();
        let sides = (container.length, container.width, container.height);
        let printed = (Some(Millimetres(length)), Some(Millimetres(width)), height.map(Millimetres));
        assert_eq!(sides, printed, "{name}: {printed_in}");
    }
}

/// Cell volumes as printed by a greenhouse supply specification table, liquid volume. The Ontario agriculture
/// ministry's plug-tray table prints 66 ml for 50 cells and 43 ml for 72: the count does not fix the volume.
#[test]
fn cell_volumes_are_the_published_ones_and_not_inferred_from_the_count() {
    let trade = Trade::built_in().unwrap();
    for (name, cells, millilitres) in [
        ("50-cell", 50, 111),
        ("72-cell", 72, 59),
        ("72-flat", 72, 45),
        ("72-deep", 72, 70),
        ("98-cell", 98, 37),
        ("128-cell", 128, 25),
        ("200-cell", 200, 14),
        ("288-cell", 288, 7),
    ] {
        let tray = trade.find_container(name).unwrap();
        assert_eq!(tray.cells, Some(cells), "{name}");
        assert_eq!(tray.cell_volume, Some(Millilitres(millilitres)), "{name}");
    }
    for name in ["24-cell", "12-cell", "40-cell"] {
        assert_eq!(trade.find_container(name).unwrap().cell_volume, None, "no source prints one for {name}");
    }
    for name in ["40-cell", "60-cell", "77-cell", "288-cell"] {
        assert_eq!(trade.find_container(name).unwrap().footprint(), None, "no source prints one for {name}");
    }
}

/// Common practice, no source: a 15 cm pot holds 1.5 to 2 litres.
#[test]
fn a_six_inch_pot_holds_what_growers_find_it_holds() {
    let trade = Trade::built_in().unwrap();
    let volume = trade.find_container("15cm-pot").unwrap().volume.unwrap();
    assert!((1500..=2000).contains(&volume.0));
}
