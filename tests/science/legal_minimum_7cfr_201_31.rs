//! Legal germination against the text of 7 CFR 201.31 (59 FR 64491, Dec. 14, 1994), germination standards for
//! vegetable seeds in interstate commerce. The kinds stand under the regulation's own names.

use thumbpot::quantity::Share;
use thumbpot::trade::Trade;

/// Kind in the regulation, per cent, and what the table calls it.
const STANDARDS: [(&str, u32, &str); 59] = [
    ("Artichoke", 60, "artichoke"),
    ("Asparagus", 70, "asparagus"),
    ("Bean, garden", 70, "french bean"),
    ("Bean, lima", 70, "lima bean"),
    ("Bean, runner", 75, "runner bean"),
    ("Beet", 65, "beetroot"),
    ("Broadbean", 75, "broad bean"),
    ("Broccoli", 75, "calabrese"),
    ("Broccoli", 75, "sprouting broccoli"),
    ("Brussels sprouts", 70, "brussels sprouts"),
    ("Cabbage", 75, "cabbage"),
    ("Cabbage", 75, "savoy cabbage"),
    ("Cabbage", 75, "spring cabbage"),
    ("Carrot", 55, "carrot"),
    ("Cauliflower", 75, "cauliflower"),
    ("Celeriac", 55, "celeriac"),
    ("Celery", 55, "celery"),
    ("Chard, Swiss", 65, "chard"),
    ("Chicory", 65, "chicory"),
    ("Chinese cabbage", 75, "chinese cabbage"),
    ("Chives", 50, "chives"),
    ("Collards", 80, "collards"),
    ("Corn, sweet", 75, "sweet corn"),
    ("Cornsalad", 70, "corn salad"),
    ("Cress, garden", 75, "garden cress"),
    ("Cucumber", 80, "cucumber"),
    ("Dill", 60, "dill"),
    ("Eggplant", 60, "aubergine"),
    ("Endive", 70, "endive"),
    ("Kale", 75, "kale"),
    ("Kohlrabi", 75, "kohlrabi"),
    ("Leek", 60, "leek"),
    ("Lettuce", 80, "lettuce"),
    ("Melon", 75, "melon"),
    ("Mustard, India", 75, "mustard"),
    ("Okra", 50, "okra"),
    ("Onion", 70, "onion"),
    ("Onion, Welsh", 70, "spring onion"),
    ("Pak-choi", 75, "pak choi"),
    ("Parsley", 60, "parsley"),
    ("Parsnip", 60, "parsnip"),
    ("Pea", 80, "pea"),
    ("Pepper", 55, "sweet pepper"),
    ("Pepper", 55, "chilli"),
    ("Pumpkin", 75, "pumpkin"),
    ("Radish", 75, "radish"),
    ("Rhubarb", 60, "rhubarb"),
    ("Rutabaga", 75, "swede"),
    ("Sage", 60, "sage"),
    ("Salsify", 75, "salsify"),
    ("Savory, summer", 55, "summer savory"),
    ("Sorrel", 65, "sorrel"),
    ("Spinach", 60, "spinach"),
    ("Spinach, New Zealand", 40, "new zealand spinach"),
    ("Squash", 75, "squash"),
    ("Squash", 75, "courgette"),
    ("Tomato", 75, "tomato"),
    ("Turnip", 80, "turnip"),
    ("Watermelon", 70, "watermelon"),
];

#[test]
fn the_working_figure_is_the_federal_standard() {
    let trade = Trade::built_in().unwrap();
    for (kind, per_cent, crop) in STANDARDS {
        let figure = trade.find_crop(crop).unwrap().legal_germination().unwrap();
        let standard = Share(f64::from(per_cent) / 100.0);
        assert_eq!((figure.low, figure.high), (standard, standard), "{crop}");
        assert!(figure.source.citation.starts_with("7 CFR 201.31"), "{crop}: {}", figure.source);
        assert!(figure.source.citation.contains(kind), "{crop}: {}", figure.source);
    }
}

#[test]
fn the_names_the_regulation_uses_are_understood() {
    let trade = Trade::built_in().unwrap();
    for (typed, crop) in [
        ("Eggplant", "aubergine"),
        ("Rutabaga", "swede"),
        ("Swiss chard", "chard"),
        ("Broadbean", "broad bean"),
        ("Cornsalad", "corn salad"),
        ("Pak-choi", "pak choi"),
        ("Welsh onion", "spring onion"),
    ] {
        assert_eq!(trade.find_crop(typed).unwrap().key().as_str(), crop, "{typed}");
    }
}
