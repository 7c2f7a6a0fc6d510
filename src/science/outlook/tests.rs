use super::*;

fn prior(median_doubt: f64, spread_doubt: f64) -> Prior {
    Prior {
        viability: Beta::new(17.0, 3.0).unwrap(),
        timing: Timing::new(100.0, 0.15).unwrap(),
        median_doubt,
        spread_doubt,
        alike: 0.0,
    }
}

fn seen(counts: &[(f64, u32)]) -> Vec<Seen> {
    counts.iter().map(|&(progress, up)| Seen { progress, up }).collect()
}

#[test]
fn what_cannot_be_is_refused() {
    let prior = prior(0.25, 0.2);
    let refused = |sown, counts: &[(f64, u32)]| outlook(sown, &prior, &seen(counts)).unwrap_err();
    assert_eq!(refused(0, &[]), NoOutlook::Sown(0));
    assert_eq!(refused(u32::MAX, &[]), NoOutlook::Sown(u32::MAX));
    assert_eq!(refused(10, &[(50.0, 11)]), NoOutlook::MoreThanSown { up: 11, sown: 10 });
    assert_eq!(refused(10, &[(50.0, 3), (40.0, 4)]), NoOutlook::OutOfOrder);
    assert_eq!(refused(10, &[(50.0, 3), (60.0, 2)]), NoOutlook::OutOfOrder);
    assert_eq!(refused(10, &[(f64::NAN, 3)]), NoOutlook::OutOfOrder);
    assert_eq!(refused(10, &[(0.0, 3)]), NoOutlook::ModelWrong { up: 3 });
    assert_eq!(refused(10, &[(0.5, 3)]), NoOutlook::ModelWrong { up: 3 });
}

#[test]
fn a_seedling_far_before_its_time_is_taken_as_a_fast_sowing() {
    let outlook = outlook(20, &prior(0.25, 0.2), &seen(&[(30.0, 4)])).unwrap();
    assert!(outlook.median() < 60.0, "{}", outlook.median());
    assert!(outlook.chance_of_more() > 0.99);
}

#[test]
fn without_a_count_the_prior_stands() {
    let outlook = outlook(20, &prior(0.25, 0.2), &[]).unwrap();
    assert!((outlook.expected_final() - 17.0).abs() < 1e-10);
    assert!((outlook.median() - 100.0).abs() < 1e-8);
    assert!((outlook.mean_viability() - 0.85).abs() < 1e-12);
}

#[test]
fn emergence_that_has_stopped_says_more_than_its_number() {
    let running = outlook(72, &prior(0.3, 0.2), &seen(&[(90.0, 0), (120.0, 40)])).unwrap();
    let stopped = outlook(72, &prior(0.3, 0.2), &seen(&[(60.0, 10), (75.0, 39), (90.0, 40), (120.0, 40)])).unwrap();
    assert!(running.further().mean() > 4.0 * stopped.further().mean());
}

#[test]
fn a_look_between_two_that_saw_nothing_new_says_nothing() {
    let prior = prior(0.3, 0.2);
    let often =
        outlook(72, &prior, &seen(&[(60.0, 10), (90.0, 10), (100.0, 10), (120.0, 40), (125.0, 40), (130.0, 40)]));
    let seldom = outlook(72, &prior, &seen(&[(60.0, 10), (100.0, 10), (120.0, 40), (130.0, 40)]));
    assert_eq!(often, seldom);
}

#[test]
fn the_later_by_the_more_up_to_all_that_come() {
    let outlook = outlook(72, &prior(0.3, 0.2), &seen(&[(90.0, 20)])).unwrap();
    let by: Vec<f64> = [0.0, 90.0, 110.0, 200.0, 1e9].iter().map(|t| outlook.expected_up_by(*t)).collect();
    assert!((by[0] - 20.0).abs() < 1e-12 && (by[1] - 20.0).abs() < 1e-9);
    assert!(by.is_sorted());
    assert!((by[4] - outlook.expected_final()).abs() < 1e-6);
    assert_eq!(outlook.chance_of_total_by(20, 0.0), 1.0);
    assert!((outlook.chance_of_total_by(50, 1e12) - outlook.chance_of_total(50)).abs() < 1e-9);
    assert!(outlook.final_quantile(0.05) <= outlook.final_quantile(0.95));
}

#[test]
fn one_more_is_the_first_of_a_total() {
    for (counts, alike) in [
        (vec![], 0.0),
        (vec![(90.0, 0)], 0.0),
        (vec![(90.0, 20)], 0.0),
        (vec![(80.0, 5), (300.0, 70)], 0.0),
        (vec![(90.0, 0)], 0.025),
        (vec![(90.0, 20)], 0.025),
    ] {
        let prior = Prior { alike, ..prior(0.3, 0.2) };
        let outlook = outlook(72, &prior, &seen(&counts)).unwrap();
        for progress in [0.0, 60.0, 110.0, 200.0, 1e9] {
            let total = outlook.chance_of_total_by(outlook.up() + 1, progress);
            assert!((outlook.chance_of_more_by(progress) - total).abs() < 1e-9, "{counts:?} {progress}");
        }
    }
}

#[test]
fn all_up_leaves_nothing_to_come() {
    let outlook = outlook(6, &prior(0.3, 0.2), &seen(&[(90.0, 6)])).unwrap();
    assert_eq!((outlook.chance_of_more(), outlook.chance_each_alive()), (0.0, 0.0));
    assert_eq!(outlook.expected_up_by(500.0), 6.0);
}

/// Checked against: the same mixture by a plain sum over 2,001 medians, with the exact likelihood of one count.
#[test]
fn the_quadrature_agrees_with_a_fine_sum() {
    let prior = prior(0.3, 0.0);
    for (sown, progress, up) in [(6, 110.0, 2), (100, 95.0, 15), (500, 130.0, 390), (500, 60.0, 1)] {
        let got = outlook(sown, &prior, &seen(&[(progress, up)])).unwrap();
        let (mut mean, mut total) = (0.0, 0.0);
        for i in 0..=2000 {
            let z = f64::from(i) / 2000.0 * 12.0 - 6.0;
            let way = Prior { timing: Timing::new(100.0 * (0.3 * z).exp(), 0.15).unwrap(), median_doubt: 0.0, ..prior };
            let Ok(exact) = outlook(sown, &way, &seen(&[(progress, up)])) else { continue };
            // The chance of the count: C(n, k) E[(pF)^k (1 - pF)^(n - k)], by 4,000 midpoints over p.
            let share = way.timing.share_by(progress);
            let log_chance = |p: f64| {
                f64::from(up) * (p * share).ln()
                    + f64::from(sown - up) * (1.0 - p * share).ln()
                    + 16.0 * p.ln()
                    + 2.0 * (1.0 - p).ln()
            };
            let scale = if up == 390 { 210.0 } else { 0.0 };
            let chance: f64 = (0..400).map(|j| (log_chance((f64::from(j) + 0.5) / 400.0) + scale).exp()).sum();
            let weight = chance * (-0.5 * z * z).exp();
            mean += weight * exact.further().mean();
            total += weight;
        }
        let wanted = mean / total;
        assert!((got.further().mean() / wanted - 1.0).abs() < 2e-3, "{sown} {up}: {} {wanted}", got.further().mean());
    }
}

/// Checked against: the mean of the counts, which is known exactly: seeds, times mean viability, times share.
#[test]
fn the_forecast_band_holds_its_mean() {
    let prior = prior(0.3, 0.2);
    let forecast = Forecast::new(72, &prior);
    for progress in [0.0, 60.0, 100.0, 150.0, 1e6] {
        let counts = forecast.counts_by(progress);
        assert!((counts.mean() - prior.expected_by(72, progress)).abs() < 0.2, "{progress}");
        assert!(f64::from(counts.quantile(0.1)) <= counts.mean().ceil());
    }
    assert!((prior.expected_by(72, 1e12) - 72.0 * 0.85).abs() < 1e-6);
}

/// Checked against: a sum over 8,001 medians.
#[test]
fn the_expected_share_agrees_with_a_fine_sum() {
    let prior = prior(0.3, 0.0);
    for progress in [50.0, 80.0, 100.0, 140.0] {
        let (mut share, mut total) = (0.0, 0.0);
        for i in -4000..=4000 {
            let z = f64::from(i) / 500.0;
            let weight = (-0.5 * z * z).exp();
            share += weight * Timing::new(100.0 * (0.3 * z).exp(), 0.15).unwrap().share_by(progress);
            total += weight;
        }
        assert!((prior.share_by(progress) - share / total).abs() < 1e-4, "{progress}");
    }
}

/// Checked against: the integral of `(1 - p F)^n` over a flat belief, `(1 - (1 - F)^(n + 1)) / (F (n + 1))`.
#[test]
fn the_chance_of_none_is_the_integral_over_the_belief() {
    let flat = Prior { viability: Beta::new(1.0, 1.0).unwrap(), ..prior(0.0, 0.0) };
    for (sown, progress) in [(1, 100.0), (20, 80.0), (72, 100.0), (72, 60.0)] {
        let (share, seeds) = (flat.timing.share_by(progress), f64::from(sown));
        let exact = (1.0 - (1.0 - share).powf(seeds + 1.0)) / (share * (seeds + 1.0));
        assert!((flat.chance_of_none_by(sown, progress) / exact - 1.0).abs() < 1e-9, "{sown} {progress}");
    }
    assert!((flat.chance_of_none_by(20, 0.0) - 1.0).abs() < 1e-12);
}

/// Checked against: the plain closed form averaged over the share that is up, Beta-distributed about that of the timing, by
/// 20,000 midpoints.
#[test]
fn seeds_that_are_alike_scatter_about_the_timing() {
    let alike = 0.05;
    let total = (1.0 - alike) / alike;
    for (sown, progress, up) in [(6, 110.0, 2), (40, 95.0, 15), (100, 90.0, 0)] {
        let prior = Prior { alike, ..prior(0.0, 0.0) };
        let got = outlook(sown, &prior, &seen(&[(progress, up)])).unwrap();
        let share = prior.timing.share_by(progress);
        let not_up = sown - up;
        let mut weights = vec![0.0; not_up as usize + 1];
        for i in 0..20_000 {
            let f = (f64::from(i) + 0.5) / 20_000.0;
            // Beta(share total, (1 - share) total) times the share of those up, but for a constant.
            let density =
                (share * total - 1.0 + f64::from(up)) * f.ln() + ((1.0 - share) * total - 1.0) * (1.0 - f).ln();
            // C(m, v) (1 - f)^v B(17 + k + v, 3 + m - v) by the ratio of neighbours.
            let mut weight = density.exp();
            for v in 0..=not_up {
                weights[v as usize] += weight;
                let (alive, left) = (f64::from(v), f64::from(not_up - v));
                weight *= left / (alive + 1.0) * (1.0 - f) * (17.0 + f64::from(up) + alive) / (3.0 + left - 1.0);
            }
        }
        let wanted = Counts::from_weights(weights);
        assert!((got.chance_of_more() - wanted.at_least(1)).abs() < 1e-4, "{sown} {up}");
        assert!((got.further().mean() - wanted.mean()).abs() < 1e-3, "{sown} {up}: {}", wanted.mean());
    }
}
