//! Whatever is asked, the sums answer within range or refuse: none panics, none gives a chance outside 0 to 1.

use proptest::prelude::*;
use thumbpot::science::beta::{Beta, Cut};
use thumbpot::science::compare::compare;
use thumbpot::science::emergence::Timing;
use thumbpot::science::fit::fit;
use thumbpot::science::indices::{Course, Inspection};
use thumbpot::science::interval::{Confidence, Tally};
use thumbpot::science::learning::{Doubt, Own, learn};
use thumbpot::science::outlook::{Prior, Seen, outlook};
use thumbpot::science::sowing::{Belief, Need, how_many};
use thumbpot::science::thermal::{Cardinal, Day, HeatSum};

/// Numbers as a slip of the finger or a broken sensor gives them.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(-1.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(1e300),
        Just(1e-300),
        -50.0..200.0,
        0.0..1.0,
    ]
}

fn is_share(value: f64) -> bool {
    (0.0..=1.0 + 1e-9).contains(&value)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_outlook_is_sane_or_refused(
        (a, b) in (1e-9..1e3, 1e-9..1e3),
        (median, spread) in (1e-3..1e4, 1e-3..10.0),
        (median_doubt, spread_doubt, alike) in (wild(), wild(), wild()),
        sown in 0u32..300,
        counts in prop::collection::vec((0.0..300.0f64, 0u32..40), 0..6),
        (later, wanted) in (wild(), 0u32..400),
    ) {
        let prior = Prior {
            viability: Beta::new(a, b).unwrap(),
            timing: Timing::new(median, spread).unwrap(),
            median_doubt,
            spread_doubt,
            alike,
        };
        let mut seen = Seen { progress: 0.0, up: 0 };
        let counts: Vec<Seen> = counts
            .into_iter()
            .map(|(time, new)| {
                seen = Seen { progress: seen.progress + time, up: seen.up + new };
                seen
            })
            .collect();
        if let Ok(outlook) = outlook(sown, &prior, &counts) {
            prop_assert!(is_share(outlook.chance_of_more()));
            prop_assert!(is_share(outlook.chance_each_alive()));
            prop_assert!(is_share(outlook.chance_of_total(wanted)));
            prop_assert!(is_share(outlook.chance_of_total_by(wanted, later)));
            prop_assert!(is_share(outlook.mean_viability()));
            prop_assert!(outlook.viability_deviation() <= 0.5 + 1e-9);
            prop_assert!(outlook.final_quantile(0.9) <= sown);
            prop_assert!(outlook.expected_up_by(later) <= outlook.expected_final() + 1e-6);
            prop_assert!(outlook.expected_final() <= f64::from(sown) + 1e-6);
            prop_assert!(outlook.median() > 0.0 && outlook.spread() > 0.0);
        }
        prop_assert!(is_share(prior.share_by(later)));
    }

    #[test]
    fn the_other_sums_are_sane_or_refused(
        (x, y, z) in (wild(), wild(), wild()),
        (up1, sown1, up2, sown2) in (0u32..200, 0u32..200, 0u32..200, 0u32..200),
        course in prop::collection::vec((0.01..9.0f64, 0u32..20), 0..8),
    ) {
        if let (Ok(first), Ok(second)) = (Tally::new(up1, sown1), Tally::new(up2, sown2)) {
            let comparison = compare(first, second, Confidence::new(x).unwrap_or(Confidence::NINETY_FIVE));
            prop_assert!(is_share(comparison.p_value));
            prop_assert!(comparison.interval.low <= comparison.interval.high);
        }
        if let Ok(beta) = Beta::new(x, y) {
            prop_assert!(is_share(beta.cdf(Cut::at(z)).below));
            prop_assert!(is_share(beta.quantile(Cut::at(z)).below));
        }
        let chance = match how_many(up1, Belief::Known(x), Belief::Known(y), z, 500) {
            Need::Seeds { chance, .. } | Need::BeyondCap { chance, .. } => chance,
        };
        prop_assert!(is_share(chance), "{chance}");
        if let Ok(cardinal) = Cardinal::new(x, y, z) {
            prop_assert!(cardinal.day(Day::between(y, z)) >= 0.0);
            prop_assert!(cardinal.rate(z) >= 0.0);
        }
        let _ = HeatSum::fit(&[(x, y), (y, z), (z, x)]);
        if let Ok(timing) = Timing::new(x, y) {
            prop_assert!(is_share(timing.share_by(z)));
        }
        let learnt = learn(100.0, &[Own { figure: x, worth: y }, Own { figure: y, worth: z }], Doubt { of_book: z, between_batches: x });
        prop_assert!(learnt.value > 0.0 && is_share(learnt.from_book), "{learnt:?}");
        let mut time = 0.0;
        let inspections: Vec<Inspection> = course
            .into_iter()
            .map(|(gap, emerged)| {
                time += gap;
                Inspection { time, emerged }
            })
            .collect();
        if let Ok(course) = Course::new(inspections, sown1)
            && let Ok(fit) = fit(&course)
        {
            prop_assert!(is_share(fit.share()) && fit.share() * f64::from(sown1) > f64::from(course.emerged()) - 1e-6);
            prop_assert!(fit.median > 0.0 && fit.slope > 0.0 && fit.median_error.is_finite());
        }
    }
}
