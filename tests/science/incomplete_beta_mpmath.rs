//! Both tails and quantiles of the beta distribution against 50-digit arithmetic (mpmath), confirmed with scipy.

use thumbpot::science::beta::{Beta, Cut};

use super::{assert_near, number, rows};

#[test]
fn every_tail_and_quantile_agrees() {
    let rows = rows(include_str!("../data/incomplete_beta.json"));
    assert_eq!(rows.len(), 45);
    for row in &rows {
        let (inputs, expected) = (&row["inputs"], &row["expected"]);
        let beta = Beta::new(number(&inputs["a"]), number(&inputs["b"])).unwrap();
        if let Some(x) = inputs.get("x") {
            let tails = beta.cdf(Cut::at(number(x)));
            assert_near(row, "below", tails.below, number(&expected["I"]));
            assert_near(row, "above", tails.above, number(&expected["one_minus_I"]));
        } else {
            let point = beta.quantile(Cut::at(number(&inputs["q"])));
            assert_near(row, "point", point.below, number(&expected["x"]));
            assert_near(row, "rest", point.above, number(&expected["one_minus_x"]));
        }
    }
}
