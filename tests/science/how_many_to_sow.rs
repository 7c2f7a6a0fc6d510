//! How many to sow: the sample sizes of Wilks and the rule of three, and 40-digit arithmetic for known and uncertain
//! germination and survival, ties included.

use thumbpot::science::beta::Beta;
use thumbpot::science::sowing::{Belief, Need, cell_fills, how_many, seeds_per_cell};

use serde_json::Value;

use super::{assert_near, count, number, numbers, rows};

fn belief(inputs: &Value, known: &str, a: &str, b: &str) -> Belief {
    match (inputs.get(known), inputs.get(a)) {
        (Some(p), _) => Belief::Known(number(p)),
        (None, Some(a)) => Belief::Uncertain(Beta::new(number(a), number(&inputs[b])).unwrap()),
        (None, None) => Belief::Known(1.0),
    }
}

fn as_list(value: &Value) -> Vec<f64> {
    if value.is_array() { numbers(value) } else { vec![number(value)] }
}

#[test]
fn every_number_agrees_exactly() {
    let rows = rows(include_str!("../data/how_many_to_sow.json"));
    assert_eq!(rows.len(), 154);
    for row in &rows {
        let (inputs, expected) = (&row["inputs"], &row["expected"]);
        let chance = number(&inputs["q"]);
        if let Some(seeds) = expected.get("seeds_per_cell") {
            let p = number(&inputs["p"]);
            assert_eq!(seeds_per_cell(p, chance, 10_000), Some(count(seeds)), "{}", row["id"]);
            assert_near(row, "chance", cell_fills(p, count(seeds)), number(&expected["prob"]));
            continue;
        }
        let germination = match inputs.get("seeds_per_cell") {
            Some(seeds) => Belief::Known(cell_fills(number(&inputs["p"]), count(seeds))),
            None => belief(inputs, "p", "a", "b"),
        };
        let survival = belief(inputs, "survival", "surv_a", "surv_b");
        let wanted_numbers = as_list(expected.get("n").or(expected.get("cells")).unwrap_or(expected));
        let chances = expected.get("prob_at_n").map(as_list);
        for (i, plants) in as_list(&inputs["N"]).into_iter().enumerate() {
            let Need::Seeds { number: got, chance: reached } =
                how_many(plants as u32, germination, survival, chance, 100_000)
            else {
                panic!("{} N={plants}: beyond the cap", row["id"]);
            };
            assert_eq!(f64::from(got), wanted_numbers[i], "{} N={plants}", row["id"]);
            if let Some(chances) = &chances {
                assert_near(row, "chance", reached, chances[i]);
            }
        }
    }
}
