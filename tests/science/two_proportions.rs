//! Two tallies compared: Newcombe 1998 (Stat Med 17:873, table II), Fagerland, Lydersen & Laake 2017, R's `fisher.test`,
//! and exact enumeration in whole numbers.

use thumbpot::science::compare::{compare, fisher_two_sided, newcombe};
use thumbpot::science::interval::{Confidence, Tally};

use super::{assert_near, count, number, numbers, rows};

#[test]
fn every_test_and_interval_agrees() {
    let rows = rows(include_str!("../data/two_proportions.json"));
    assert!(rows.len() > 60);
    for row in &rows {
        let (inputs, expected) = (&row["inputs"], &row["expected"]);
        let tally = |x: &str, n: &str, line: usize| match inputs.get("table") {
            Some(table) => Tally::new(count(&table[line][0]), count(&table[line][0]) + count(&table[line][1])),
            None => Tally::new(count(&inputs[x]), count(&inputs[n])),
        };
        let (first, second) = (tally("x1", "n1", 0).unwrap(), tally("x2", "n2", 1).unwrap());
        if let Some(wanted) = expected.get("p_two_sided").or_else(|| expected.is_f64().then_some(expected)) {
            assert_near(row, "p", fisher_two_sided(first, second), number(wanted));
        } else {
            let confidence = Confidence::new(number(&inputs["confidence"])).unwrap();
            let got = newcombe(first, second, confidence);
            let wanted = numbers(expected.get("newcombe_score").unwrap_or(expected));
            assert_near(row, "low", got.low, wanted[0]);
            assert_near(row, "high", got.high, wanted[1]);
            if let Some(difference) = expected.get("difference") {
                assert_near(row, "difference", compare(first, second, confidence).difference, number(difference));
            }
        }
    }
}
