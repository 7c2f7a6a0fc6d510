//! Two tallies side by side: lots, treatments or years. Is there a difference, how large, or are there too few to tell?

use super::counts::Counts;
use super::interval::{Confidence, Interval, Tally, wilson};

/// A difference is called real when chance alone would show one as unlikely at most this often. Common practice since
/// Fisher 1925, Statistical Methods for Research Workers.
pub const REAL_BELOW: f64 = 0.05;

/// Two rates are called alike when the interval for their difference stays within this, either way: ten points in the
/// hundred. Common practice, no source: a smaller difference would not change what a grower sows.
pub const ALIKE_WITHIN: f64 = 0.10;

/// What the two tallies show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finding {
    /// The first did better, beyond chance.
    FirstBetter,
    /// The second did better, beyond chance.
    SecondBetter,
    /// Enough seeds to say that any difference is small.
    Alike,
    /// Too few seeds to tell either way.
    TooFewToTell,
}

/// A comparison with the figures it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// What the tallies show, in one word.
    pub finding: Finding,
    /// The first rate less the second, -1 to 1.
    pub difference: f64,
    /// How far the true difference may lie, by [`newcombe`].
    pub interval: Interval,
    /// How often chance alone would show tallies as unlikely, by [`fisher_two_sided`].
    pub p_value: f64,
}

/// Compares two tallies, with the interval at `confidence`.
#[must_use]
pub fn compare(first: Tally, second: Tally, confidence: Confidence) -> Comparison {
    let (difference, interval) = (first.rate() - second.rate(), newcombe(first, second, confidence));
    found(difference, interval, fisher_two_sided(first, second))
}

/// Compares first and second tallies pair by pair, each pair alike in all else, and puts together what the pairs show: so what
/// the pairs differ in is not taken for what their sides do. `None` without a pair; of one pair what [`compare`] finds.
///
/// The difference is the mean of those of the pairs by the weights of Mantel & Haenszel 1959, J Natl Cancer Inst 22:719; its
/// interval is put together of theirs as in Zou, Huang & Zhang 2009, Comput Stat Data Anal 53:1080.
#[must_use]
pub fn compare_paired(pairs: &[(Tally, Tally)], confidence: Confidence) -> Option<Comparison> {
    if let [(first, second)] = pairs {
        return Some(compare(*first, *second, confidence));
    }
    let weight = |(first, second): &(Tally, Tally)| {
        let (n1, n2) = (f64::from(first.sown()), f64::from(second.sown()));
        n1 * n2 / (n1 + n2)
    };
    let all: f64 = pairs.iter().map(weight).sum();
    (all > 0.0).then_some(())?;
    let (mut difference, mut below, mut above) = (0.0, 0.0_f64, 0.0_f64);
    for pair in pairs {
        let (share, apart) = (weight(pair) / all, pair.0.rate() - pair.1.rate());
        let of_pair = newcombe(pair.0, pair.1, confidence);
        difference += share * apart;
        below = below.hypot(share * (apart - of_pair.low));
        above = above.hypot(share * (of_pair.high - apart));
    }
    let interval = Interval { low: difference - below, high: difference + above };
    Some(found(difference, interval, exact_two_sided(pairs)))
}

fn found(difference: f64, interval: Interval, p_value: f64) -> Comparison {
    let finding = if p_value < REAL_BELOW && difference > 0.0 {
        Finding::FirstBetter
    } else if p_value < REAL_BELOW {
        Finding::SecondBetter
    } else if interval.low >= -ALIKE_WITHIN && interval.high <= ALIKE_WITHIN {
        Finding::Alike
    } else {
        Finding::TooFewToTell
    };
    Comparison { finding, difference, interval, p_value }
}

/// Fisher's exact test, two-sided: with the four totals held, the share of tables no likelier than this one.
///
/// Tables likelier by less than one part in ten million count as equal, as in R's `fisher.test`: ties are common and
/// rounding would split them. Source: Fisher 1935, J R Stat Soc 98:39; Irwin 1935, Metron 12:83.
#[must_use]
pub fn fisher_two_sided(first: Tally, second: Tally) -> f64 {
    exact_two_sided(&[(first, second)])
}

/// The same over pairs: with the totals of each held, the share of all their tables together whose number up in the first
/// tallies is no likelier than this one.
///
/// Source: the exact conditional test for several two by two tables, Agresti 1990, Categorical Data Analysis, pages 230 to 235;
/// R's `mantelhaen.test(exact = TRUE)`.
#[must_use]
pub fn exact_two_sided(pairs: &[(Tally, Tally)]) -> f64 {
    let mut seen = 0_usize;
    let each = pairs.iter().map(|(first, second)| {
        let (n1, n2) = (u64::from(first.sown()), u64::from(second.sown()));
        let up = u64::from(first.up()) + u64::from(second.up());
        let (fewest, most) = (up.saturating_sub(n2), up.min(n1));
        seen += usize::try_from(u64::from(first.up()) - fewest).unwrap_or(0);
        // Moving one more of those up into the first tally multiplies the number of such tables by this.
        Counts::from_ratios((fewest..most).map(|k| {
            let (gained, lost) = (((n1 - k) as f64) * ((up - k) as f64), ((k + 1) as f64) * ((n2 + k + 1 - up) as f64));
            gained / lost
        }))
    });
    let Some(tables) = each.reduce(|one, other| one.plus(&other)) else { return 1.0 };
    let seen = tables.exactly(u32::try_from(seen).unwrap_or(u32::MAX));
    tables.iter().map(|(_, p)| p).filter(|p| *p <= seen * (1.0 + 1e-7)).sum::<f64>().min(1.0)
}

/// The interval for the difference of two rates, first less second, made of the two score intervals.
///
/// Source: method 10 of Newcombe 1998, Stat Med 17:873.
#[must_use]
pub fn newcombe(first: Tally, second: Tally, confidence: Confidence) -> Interval {
    let (p1, p2) = (first.rate(), second.rate());
    let (w1, w2) = (wilson(first, confidence), wilson(second, confidence));
    Interval { low: p1 - p2 - (p1 - w1.low).hypot(w2.high - p2), high: p1 - p2 + (w1.high - p1).hypot(p2 - w2.low) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(x1: u32, n1: u32, x2: u32, n2: u32) -> Finding {
        compare(Tally::new(x1, n1).unwrap(), Tally::new(x2, n2).unwrap(), Confidence::NINETY_FIVE).finding
    }

    #[test]
    fn each_finding_can_be_reached() {
        assert_eq!(finding(54, 72, 31, 72), Finding::FirstBetter);
        assert_eq!(finding(31, 72, 54, 72), Finding::SecondBetter);
        assert_eq!(finding(5, 6, 3, 6), Finding::TooFewToTell);
        // Not alike while either may be more than ten points better.
        assert_eq!(finding(40, 50, 46, 50), Finding::TooFewToTell);
        assert_eq!(finding(46, 50, 40, 50), Finding::TooFewToTell);
        assert_eq!(finding(450, 500, 448, 500), Finding::Alike);
    }

    #[test]
    fn tallies_without_a_choice_are_no_evidence() {
        assert_eq!(finding(1, 1, 1, 1), Finding::TooFewToTell);
        let all = Tally::new(3, 3).unwrap();
        assert_eq!(fisher_two_sided(all, all), 1.0);
    }
}
