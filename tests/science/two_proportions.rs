//! Two tallies compared: Newcombe 1998 (Stat Med 17:873, table II), Fagerland, Lydersen & Laake 2017, R's `fisher.test`,
//! and exact enumeration in whole numbers.

use thumbpot::science::compare::{Finding, compare, compare_paired, exact_two_sided, fisher_two_sided, newcombe};
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

/// Rabbits cured of those given penicillin at once or after an hour and a half, at five doses: Mantel 1963, J Am Stat Assoc
/// 58:690, as in Agresti 1990, page 231, and R's `mantelhaen.test(Rabbits, exact = TRUE)`: p = 0.03994.
#[test]
fn several_pairs_are_tested_together() {
    let cured = [((0, 6), (0, 5)), ((3, 6), (0, 6)), ((6, 6), (2, 6)), ((5, 6), (6, 6)), ((2, 2), (5, 5))];
    let tally = |(up, sown)| Tally::new(up, sown).unwrap();
    let pairs = cured.map(|(now, later)| (tally(now), tally(later)));
    assert!((exact_two_sided(&pairs) - 0.039_944_903_581_267).abs() < 1e-12, "{}", exact_two_sided(&pairs));
    let confidence = Confidence::NINETY_FIVE;
    let found = compare_paired(&pairs, confidence).unwrap();
    // By hand: the differences 0, 3/6, 4/6, -1/6 and 0, weighed by 30/11, 3, 3, 3 and 10/7.
    let weight = 30.0 / 11.0 + 9.0 + 10.0 / 7.0;
    assert!((found.difference - 3.0 / weight).abs() < 1e-12, "{}", found.difference);
    assert_eq!(found.finding, Finding::FirstBetter);
    assert!(found.interval.low < found.difference && found.difference < found.interval.high);
    // Twice the same pair is narrower than once, by the root of two.
    let (one, two) = (compare(pairs[1].0, pairs[1].1, confidence), compare_paired(&[pairs[1]; 2], confidence).unwrap());
    let below = |it: &thumbpot::science::compare::Comparison| it.difference - it.interval.low;
    assert!((below(&one) / below(&two) - 2.0_f64.sqrt()).abs() < 1e-12);
    assert_eq!(compare_paired(&[], confidence), None);
}
