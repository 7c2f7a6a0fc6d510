//! The outlook with its timing known, against a finite mixture in 50 digits, confirmed by quadrature and by 400,000-draw
//! simulation.

use thumbpot::science::beta::Beta;
use thumbpot::science::emergence::Timing;
use thumbpot::science::outlook::{Prior, Seen, outlook};

use super::{assert_near, count, number, numbers, rows};

#[test]
fn every_posterior_agrees() {
    let rows = rows(include_str!("../data/germination_outlook.json"));
    assert_eq!(rows.len(), 30);
    for row in &rows {
        let (inputs, expected) = (&row["inputs"], &row["expected"]);
        // With median and spread 1 the share up by t is t / (1 + t).
        let time_of = |share: f64| share / (1.0 - share);
        let prior = Prior {
            viability: Beta::new(number(&inputs["prior_a"]), number(&inputs["prior_b"])).unwrap(),
            timing: Timing::new(1.0, 1.0).unwrap(),
            median_doubt: 0.0,
            spread_doubt: 0.0,
            alike: 0.0,
        };
        let seen = Seen { progress: time_of(number(&inputs["F"])), up: count(&inputs["k"]) };
        let got = outlook(count(&inputs["n"]), &prior, &[seen]).unwrap();
        let later = time_of(number(&inputs["F2"]));
        assert_near(row, "mean_p", got.mean_viability(), number(&expected["mean_p"]));
        assert_near(row, "sd_p", got.viability_deviation(), number(&expected["sd_p"]));
        assert_near(row, "further", got.further().mean(), number(&expected["expected_further"]));
        let by_then = got.expected_up_by(later) - f64::from(got.up());
        assert_near(row, "by F2", by_then, number(&expected["expected_further_by_F2"]));
        let each = number(&expected["prob_alive_each"]);
        if !each.is_nan() {
            assert_near(row, "each", got.chance_each_alive(), each);
        }
        let (totals, by_later) = (numbers(&expected["P_total_ge"]), numbers(&expected["P_total_by_F2_ge"]));
        for (i, wanted) in inputs["N"].as_array().unwrap().iter().map(count).enumerate() {
            assert_near(row, "total", got.chance_of_total(wanted), totals[i]);
            assert_near(row, "total by F2", got.chance_of_total_by(wanted, later), by_later[i]);
        }
        for (level, wanted) in numbers(&inputs["quantile_levels"]).into_iter().zip(numbers(&expected["quantiles_p"])) {
            assert_near(row, "quantile", got.viability_quantile(level), wanted);
        }
    }
}
