//! The outlook with its timing in doubt, against the same posterior summed over 401 medians in numpy 2.4.6 and scipy
//! 1.17.1 (`benches/posterior_scipy.py`, which also says what it costs there).

use thumbpot::science::beta::Beta;
use thumbpot::science::emergence::Timing;
use thumbpot::science::outlook::{Prior, Seen, outlook};

#[test]
fn six_hundred_posteriors_agree() {
    let prior = Prior {
        viability: Beta::new(17.0, 3.0).unwrap(),
        timing: Timing::new(103.0, 0.15).unwrap(),
        median_doubt: 0.25,
        spread_doubt: 0.3,
        alike: 0.0,
    };
    let (mut rows, mut widest) = (0, [0.0f64; 2]);
    for line in include_str!("../data/posterior_scipy.csv").lines().skip(1) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let counts: Vec<Seen> =
            cells[1..9].chunks(2).map(|pair| Seen { progress: pair[0], up: pair[1] as u32 }).collect();
        let got = outlook(cells[0] as u32, &prior, &counts).unwrap();
        let off = [got.chance_of_more() - cells[9], got.expected_final() - cells[10]];
        // A thousandth in a chance and a hundredth of a seed are far finer than any word turns on.
        assert!(off[0].abs() < 1e-3 && off[1].abs() < 0.01, "{line}: {off:?}");
        widest = [widest[0].max(off[0].abs()), widest[1].max(off[1].abs())];
        for (level, wanted) in [(0.1, cells[11]), (0.9, cells[12])] {
            let quantile = got.final_quantile(level);
            // Where the sum passes the level within rounding the next number is as good.
            let below = |number: u32| 1.0 - got.chance_of_total(number + 1);
            let is_tie = (below(quantile.min(wanted as u32)) - level).abs() < 1e-3;
            assert!(f64::from(quantile) == wanted || is_tie, "{line}: {quantile} at {level}");
        }
        rows += 1;
    }
    assert_eq!(rows, 600);
    println!("widest apart: {:.1e} in the chance of one more, {:.1e} seeds in the final number", widest[0], widest[1]);
}
