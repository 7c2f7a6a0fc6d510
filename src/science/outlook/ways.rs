//! The timings a sowing may be keeping, each weighed by how well it agrees with the counts.

use super::super::beta::Beta;
use super::super::counts::{Counts, ln_total};
use super::super::emergence::Timing;
use super::super::interval::MOST_SEEDS;
use super::super::sowing::Belief;
use super::{NoOutlook, Prior, Seen};

/// Standard normal scores beyond this are not looked at before a count: seven in a hundred thousand. After one they are,
/// for a tray without a shoot long after its time is alive only if it is later still.
const FARTHEST: f64 = 4.0;
const FARTHEST_COUNTED: f64 = 6.0;

/// Points across the range of the median while it is narrowed.
const FEW_POINTS: u32 = 15;

/// Ways less likely than the best by this, in natural logarithm, are left out: one in sixty million.
const NEGLIGIBLE: f64 = 18.0;

/// A seed that came up between two counts may have been noted late, or in a cold spell that was warmer than its
/// reading: no timing gives such an interval less than this part of what it has brought up so far.
const LATE_NOTE: f64 = 1e-3;

/// Seedlings that show when not one living seed in a million can be up by a timing rule that timing out.
const TOO_SOON: f64 = 1e-6;

/// Scores and weights of the three-point Gauss-Hermite rule (Abramowitz & Stegun 1964, table 25.10, for the standard
/// normal).
const SPREADS: [(f64, f64); 3] =
    [(-1.732_050_807_568_877_2, 1.0 / 6.0), (0.0, 2.0 / 3.0), (1.732_050_807_568_877_2, 1.0 / 6.0)];

/// One timing, and its standing after the counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Way {
    /// How likely this timing is; all of them add up to 1.
    pub(super) weight: f64,
    pub(super) timing: Timing,
    /// The share of living seeds not yet up at the last count.
    pub(super) still_to_come: f64,
}

impl Way {
    /// The chance that a living seed, not up at the last count, is up by `progress`.
    pub(super) fn coming_by(&self, progress: f64) -> f64 {
        if self.still_to_come <= 0.0 {
            return 0.0;
        }
        (1.0 - self.timing.share_left_at(progress) / self.still_to_come).max(0.0)
    }
}

/// One count: the logarithm of its time, and how many seeds were new.
struct Look {
    log_time: f64,
    newly: f64,
}

/// What was counted, in the form the likelihood needs.
pub(super) struct Evidence {
    up: u32,
    not_up: u32,
    /// The logarithm of the time of the last count.
    log_last: f64,
    looks: Vec<Look>,
    /// Weight of one more living seed among those not up over that of one fewer, but for the share still to come.
    steps: Vec<f64>,
    /// One over the sum of the weights that the seeds of a sowing scatter by: 0 when each comes up for itself.
    scatter: f64,
}

impl Evidence {
    pub(super) fn of(sown: u32, prior: &Prior, counts: &[Seen]) -> Result<Self, NoOutlook> {
        if !(1..=MOST_SEEDS).contains(&sown) {
            return Err(NoOutlook::Sown(sown));
        }
        let mut before = Seen { progress: 0.0, up: 0 };
        let mut looks: Vec<Look> = Vec::new();
        for seen in counts {
            if seen.up > sown {
                return Err(NoOutlook::MoreThanSown { up: seen.up, sown });
            }
            let in_order = seen.progress >= before.progress && seen.up >= before.up;
            if !in_order {
                return Err(NoOutlook::OutOfOrder);
            }
            // Between two counts without a new seed the first says nothing that the second does not.
            if seen.up == before.up && looks.last().is_some_and(|look| look.newly == 0.0) {
                looks.pop();
            }
            looks.push(Look { log_time: seen.progress.ln(), newly: f64::from(seen.up - before.up) });
            before = *seen;
        }
        let mut evidence = Self::at_last_count(sown, before.up, prior.viability, prior.alike);
        (evidence.log_last, evidence.looks) = (before.progress.ln(), looks);
        Ok(evidence)
    }

    /// The evidence without its history, enough for what depends on the number alone; `up` is at most `sown`.
    pub(super) fn at_last_count(sown: u32, up: u32, viability: Beta, alike: f64) -> Self {
        let not_up = sown - up;
        let (a, b) = (viability.a() + f64::from(up), viability.b());
        let scatter = scatter(alike);
        let steps = (0..not_up)
            .map(|v| {
                let (alive, left) = (f64::from(v), f64::from(not_up - v));
                let together = 1.0 + scatter * (f64::from(up) + alive);
                left / (alive + 1.0) * (a + alive) / ((b + left - 1.0) * together)
            })
            .collect();
        Self { up, not_up, log_last: f64::NEG_INFINITY, looks: Vec::new(), steps, scatter }
    }

    /// The steps when this share of living seeds is still to come: for the `v`-th the share, and what `v` that are still to
    /// come themselves add to it.
    fn ratios(&self, still_to_come: f64) -> impl Iterator<Item = f64> {
        (0..).zip(&self.steps).map(move |(v, step): (u32, _)| step * (still_to_come + self.scatter * f64::from(v)))
    }

    pub(super) fn up(&self) -> u32 {
        self.up
    }

    pub(super) fn not_up(&self) -> u32 {
        self.not_up
    }

    /// How many medians to weigh: the likelihood falls off within a width that shrinks as the root of the sowing.
    fn points(&self) -> u32 {
        (14 + 2 * (self.up + self.not_up).isqrt()).min(61)
    }

    /// How many of those not up are alive, when this share of living seeds is still to come.
    pub(super) fn alive_among_not_up(&self, still_to_come: f64) -> Counts {
        Counts::from_ratios(self.ratios(still_to_come))
    }

    /// The chance that one of those not up is up by `progress`, by one way. With `v` alive among them none is when all `v`
    /// are still to come, so of the sum over `v` each term shrinks by the `v`-th power of the share that has not come.
    pub(super) fn chance_of_more(&self, way: &Way, progress: f64) -> f64 {
        let none = |left: f64| ln_total(self.ratios(left));
        let left = way.timing.share_left_at(progress).min(way.still_to_come);
        -(none(left) - none(way.still_to_come)).exp_m1()
    }

    /// The share of living seeds, not up at the last count, that is up by `progress`, by one way.
    pub(super) fn coming(&self, way: &Way, progress: f64) -> Belief {
        let left = way.timing.share_left_at(progress).min(way.still_to_come);
        let scattered = Beta::new((way.still_to_come - left) / self.scatter, left / self.scatter);
        // With nothing to scatter by, or nothing on one side, it is the timing's.
        scattered.map_or_else(|_| Belief::Known(way.coming_by(progress)), Belief::Uncertain)
    }

    /// How many of those not up are alive, over all the ways.
    pub(super) fn alive_by_any(&self, ways: &[Way]) -> Counts {
        let size = self.steps.len() + 1;
        Counts::mixture(size, ways.iter().map(|way| (way.weight, self.ratios(way.still_to_come))))
    }

    /// The logarithm of the likelihood of the counts, but for a constant; minus infinity when they cannot be.
    fn log_likelihood(&self, timing: Timing) -> f64 {
        let share = timing.share_by_log(self.log_last);
        if self.up > 0 && share < TOO_SOON {
            return f64::NEG_INFINITY;
        }
        let mut before = 0.0;
        let mut log = 0.0;
        for look in &self.looks {
            let by_now = timing.share_by_log(look.log_time);
            if look.newly > 0.0 {
                log += ln_rising((by_now - before).max(LATE_NOTE * share), look.newly, self.scatter);
            }
            before = by_now;
        }
        let left = timing.share_left_at_log(self.log_last);
        log + ln_total(self.ratios(left))
    }
}

/// One over the sum of the Dirichlet weights under which two seeds are so much alike.
pub(super) fn scatter(alike: f64) -> f64 {
    // NaN is no likeness, nor is what no number of seeds would show.
    let alike = if alike > 1e-6 { alike.min(0.9) } else { 0.0 };
    alike / (1.0 - alike)
}

/// The logarithm of `share * (share + scatter) * (share + 2 scatter) * ...`, so many factors.
fn ln_rising(share: f64, number: f64, scatter: f64) -> f64 {
    if scatter <= 0.0 {
        return number * share.ln();
    }
    let start = share / scatter;
    number * scatter.ln() + libm::lgamma(start + number) - libm::lgamma(start)
}

/// The ways that agree with the evidence, their weights adding up to 1; `None` when none does.
///
/// The range of the median is narrowed to where the evidence puts it, then crossed in equal steps: sharp evidence from a
/// large sowing would fall between fixed points.
pub(super) fn weigh(prior: &Prior, evidence: &Evidence) -> Option<Vec<Way>> {
    let spreads: &[(f64, f64)] = if prior.spread_doubt > 0.0 { &SPREADS } else { &[(0.0, 1.0)] };
    let at = |median: f64, spread: f64| prior.timing_at(median, spread);
    let standing = |median: f64, timing: Timing| evidence.log_likelihood(timing) - 0.5 * median * median;
    let far = Range { low: -FARTHEST_COUNTED, high: FARTHEST_COUNTED };
    let mut range = if prior.median_doubt > 0.0 { far } else { Range::MIDDLE };
    for _ in 0..3 {
        let narrowed = range.narrowed(|median| standing(median, at(median, 0.0)))?;
        let settled = narrowed.width() > 0.5 * range.width();
        range = narrowed;
        if settled {
            break;
        }
    }
    let mut ways: Vec<(f64, Way)> = Vec::with_capacity(45);
    for median in range.points(evidence.points()) {
        for (spread, weight) in spreads {
            let timing = at(median, *spread);
            let way = Way { weight: *weight, timing, still_to_come: timing.share_left_at_log(evidence.log_last) };
            ways.push((standing(median, timing), way));
        }
    }
    let best = ways.iter().map(|(log, _)| *log).fold(f64::NEG_INFINITY, f64::max);
    if best == f64::NEG_INFINITY {
        return None;
    }
    ways.retain(|(log, _)| *log > best - NEGLIGIBLE);
    let mut ways: Vec<Way> =
        ways.into_iter().map(|(log, way)| Way { weight: way.weight * (log - best).exp(), ..way }).collect();
    let total: f64 = ways.iter().map(|way| way.weight).sum();
    ways.iter_mut().for_each(|way| way.weight /= total);
    Some(ways)
}

/// A range of standard normal scores of the median.
#[derive(Clone, Copy)]
struct Range {
    low: f64,
    high: f64,
}

impl Range {
    const MIDDLE: Self = Self { low: 0.0, high: 0.0 };

    fn width(self) -> f64 {
        self.high - self.low
    }

    fn points(self, number: u32) -> impl Iterator<Item = f64> {
        let number = if self.width() > 0.0 { number.max(2) } else { 1 };
        (0..number).map(move |i| self.low + self.width() * (f64::from(i) / f64::from(number.max(2) - 1)))
    }

    /// The part within which `log_weight` is not negligible, and a step on either side; `None` when it is nowhere finite.
    fn narrowed(self, log_weight: impl Fn(f64) -> f64) -> Option<Self> {
        let weighed: Vec<(f64, f64)> = self.points(FEW_POINTS).map(|point| (point, log_weight(point))).collect();
        let step = self.width() / f64::from(FEW_POINTS - 1);
        let best = weighed.iter().map(|(_, log)| *log).fold(f64::NEG_INFINITY, f64::max);
        let mut kept = weighed.iter().filter(|(_, log)| *log > best - NEGLIGIBLE).map(|(point, _)| *point);
        let low = kept.next()?;
        let high = kept.next_back().unwrap_or(low);
        Some(Self { low: (low - step).max(self.low), high: (high + step).min(self.high) })
    }
}

impl Prior {
    /// The timing at so many standard deviations from the book's, for median and spread.
    pub(super) fn timing_at(&self, median: f64, spread: f64) -> Timing {
        let shift = |score: f64, doubt: f64| if score == 0.0 { 0.0 } else { score * doubt.clamp(0.0, 2.0) };
        self.timing.shifted(shift(median, self.median_doubt), shift(spread, self.spread_doubt))
    }

    /// The timings before any count, with their weights.
    pub(super) fn ways(&self) -> Vec<(f64, Timing)> {
        let range = if self.median_doubt > 0.0 { Range { low: -FARTHEST, high: FARTHEST } } else { Range::MIDDLE };
        let spreads: &[(f64, f64)] = if self.spread_doubt > 0.0 { &SPREADS } else { &[(0.0, 1.0)] };
        let mut ways: Vec<(f64, Timing)> = range
            .points(FEW_POINTS)
            .flat_map(|median| {
                spreads.iter().map(move |(spread, weight)| {
                    (weight * (-0.5 * median * median).exp(), self.timing_at(median, *spread))
                })
            })
            .collect();
        let total: f64 = ways.iter().map(|(weight, _)| weight).sum();
        ways.iter_mut().for_each(|(weight, _)| *weight /= total);
        ways
    }
}
