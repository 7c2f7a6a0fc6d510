//! Wilson's interval against Newcombe 1998 (Stat Med 17:857, table I), Fagerland, Lydersen & Laake 2017, R's
//! `prop.test` and 50-digit arithmetic confirmed with statsmodels.

use thumbpot::science::interval::{Confidence, Tally, wilson};

use super::{assert_near, count, number, numbers, rows};

#[test]
fn every_limit_agrees() {
    let rows = rows(include_str!("../data/wilson.json"));
    assert!(rows.len() > 40);
    for row in &rows {
        let inputs = &row["inputs"];
        let tally = Tally::new(count(&inputs["x"]), count(&inputs["n"])).unwrap();
        let got = wilson(tally, Confidence::new(number(&inputs["confidence"])).unwrap());
        // Printed figures stand alone; computed ones stand beside other methods.
        let wanted = numbers(row["expected"].get("wilson").unwrap_or(&row["expected"]));
        assert_near(row, "low", got.low, wanted[0]);
        assert_near(row, "high", got.high, wanted[1]);
    }
}
