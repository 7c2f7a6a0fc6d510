//! Slow or dead: what is still to be expected of a sowing, given what has come up and how far its time has run.
//!
//! A seed is alive with an uncertain probability, and a living seed is up by a time with a probability that is itself
//! uncertain, because no crop keeps the book's time. Both doubts are carried through: every answer is an average over
//! timings, each weighed by how well it agrees with the counts so far.

mod forecast;
mod ways;

use thiserror::Error;

pub use self::forecast::Forecast;
use self::ways::{Evidence, Way};
use super::beta::{Beta, Cut};
use super::counts::Counts;
use super::emergence::Timing;
use super::interval::MOST_SEEDS;

/// What is believed of a sowing before its first count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// The share of the seeds that are alive, as a belief.
    pub viability: Beta,
    /// When living seeds come up, in days or thermal units.
    pub timing: Timing,
    /// How far the median may be off, as a standard deviation of its logarithm (0 = known; taken as at most 2).
    pub median_doubt: f64,
    /// How far the spread may be off, as a standard deviation of its logarithm (0 = known; taken as at most 2).
    pub spread_doubt: f64,
    /// How far the living seeds of one sowing come up together, 0 to 1, as the correlation between any two of them: they lie
    /// as deep and as wet as one another and have the same nights. 0 = each for itself; taken as at most 0.9.
    pub alike: f64,
}

/// One count: how many were up in all when so much time had run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// The time run since sowing, in the unit of the timing; 0 or more, infinite for "all the time there is".
    pub progress: f64,
    /// How many were up in all.
    pub up: u32,
}

/// Why there is no outlook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoOutlook {
    /// Nothing was sown, or more than can be meant.
    #[error("an outlook needs 1 to {MOST_SEEDS} seeds, not {0}")]
    Sown(u32),
    /// More came up than were sown.
    #[error("{up} of {sown} is more than all of them")]
    MoreThanSown {
        /// How many were up.
        up: u32,
        /// How many were sown.
        sown: u32,
    },
    /// Time or number falls from one count to the next.
    #[error("counts must follow one another, in time and in number")]
    OutOfOrder,
    /// Seedlings are up when by the model none can be: the model is wrong, not the seedlings.
    #[error("{up} are up before any could be by these figures: the timing or the temperatures are wrong")]
    ModelWrong {
        /// How many were up.
        up: u32,
    },
}

/// What is still to be expected of a sowing as it was at its last count.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    up: u32,
    sown: u32,
    viability: Beta,
    alike: f64,
    further: Counts,
    ways: Vec<Way>,
}

/// The outlook for `sown` seeds after `counts`, in order of time; without a count it is what the prior says.
///
/// Of the `m` seeds not up, `v` are alive with weight `C(m, v) (1 - F)^v B(a + k + v, b + m - v)`, where `k` are up, `F` is
/// the share of living seeds up by now and `a`, `b` are the shapes of the viability. Timings are averaged by a fixed
/// quadrature over median and spread, each weighed by the likelihood of the counts: the seeds up between two counts by
/// the share that timing brings up between them.
///
/// Where seeds of one sowing are alike, the shares that come up between counts are not the timing's but scatter about them
/// with Dirichlet weights, whose sum is `c = (1 - alike) / alike`. Then `(1 - F)^v` becomes `B(F c + k, (1 - F) c + v)`, and
/// the seeds up between two counts weigh by the rising factorial of the share times `c`; the closed form stays.
///
/// Source: Bayes' rule on the binomial with beta prior, Gelman et al. 2013, Bayesian Data Analysis, section 2.4, for
/// emergence after Ritz, Pipper & Streibig 2013, Eur J Agron 45:1; for seeds that are alike the beta-binomial of Crowder 1978,
/// Appl. Statist. 27:34, over more than two classes. Assumes that living seeds all come up in the end, and that viability does
/// not fall meanwhile.
///
/// # Errors
/// When numbers or order cannot be, or seedlings are up where the model allows none.
pub fn outlook(sown: u32, prior: &Prior, counts: &[Seen]) -> Result<Outlook, NoOutlook> {
    let evidence = Evidence::of(sown, prior, counts)?;
    let ways = ways::weigh(prior, &evidence).ok_or(NoOutlook::ModelWrong { up: evidence.up() })?;
    let further = evidence.alive_by_any(&ways);
    Ok(Outlook { up: evidence.up(), sown, viability: prior.viability, alike: prior.alike, further, ways })
}

impl Outlook {
    /// How many were up at the last count.
    #[must_use]
    pub fn up(&self) -> u32 {
        self.up
    }

    /// How many more will come up, in the end.
    #[must_use]
    pub fn further(&self) -> &Counts {
        &self.further
    }

    /// The chance that at least one more comes up.
    #[must_use]
    pub fn chance_of_more(&self) -> f64 {
        self.further.at_least(1)
    }

    /// The chance that one given seed not yet up is alive; 0 when all are up.
    #[must_use]
    pub fn chance_each_alive(&self) -> f64 {
        let not_up = self.sown - self.up;
        if not_up == 0 { 0.0 } else { self.further.mean() / f64::from(not_up) }
    }

    /// How many are expected to be up in the end.
    #[must_use]
    pub fn expected_final(&self) -> f64 {
        f64::from(self.up) + self.further.mean()
    }

    /// The number that will be up in the end, at a `level` of probability from 0 to 1: the smallest that is not exceeded
    /// so often.
    #[must_use]
    pub fn final_quantile(&self, level: f64) -> u32 {
        self.up + self.further.quantile(level)
    }

    /// The chance that `wanted` or more will be up in the end.
    #[must_use]
    pub fn chance_of_total(&self, wanted: u32) -> f64 {
        self.further.at_least(wanted.saturating_sub(self.up))
    }

    /// The chance that at least one more is up when the time has run to `progress`.
    #[must_use]
    pub fn chance_of_more_by(&self, progress: f64) -> f64 {
        let evidence = self.evidence();
        self.average(|way| evidence.chance_of_more(way, progress)).clamp(0.0, 1.0)
    }

    /// The chance that `wanted` or more will be up when the time has run to `progress`.
    #[must_use]
    pub fn chance_of_total_by(&self, wanted: u32, progress: f64) -> f64 {
        let missing = wanted.saturating_sub(self.up);
        if missing == 0 {
            return 1.0;
        }
        let evidence = self.evidence();
        self.average(|way| {
            let in_time = evidence.coming(way, progress).chances_of(missing, evidence.not_up());
            evidence.alive_among_not_up(way.still_to_come).iter().zip(in_time).map(|((_, p), t)| p * t).sum()
        })
    }

    /// How many are expected to be up when the time has run to `progress`.
    #[must_use]
    pub fn expected_up_by(&self, progress: f64) -> f64 {
        let evidence = self.evidence();
        let coming = |way: &Way| way.coming_by(progress) * evidence.alive_among_not_up(way.still_to_come).mean();
        f64::from(self.up) + self.average(coming)
    }

    /// The median of the timing as the counts leave it: the geometric mean over the ways that agree with them.
    ///
    /// Over the prior's median it says how late (above 1) or early this sowing runs; at the end it is what to learn.
    #[must_use]
    pub fn median(&self) -> f64 {
        self.average(|way| way.timing.median().ln()).exp()
    }

    /// The spread of the timing as the counts leave it: the geometric mean over the ways that agree with them.
    #[must_use]
    pub fn spread(&self) -> f64 {
        self.average(|way| way.timing.spread().ln()).exp()
    }

    /// The mean of the viability, 0 to 1, as the counts leave it.
    #[must_use]
    pub fn mean_viability(&self) -> f64 {
        self.over_viability(Beta::mean)
    }

    /// The standard deviation of the viability, as the counts leave it.
    #[must_use]
    pub fn viability_deviation(&self) -> f64 {
        (self.over_viability(Beta::mean_square) - self.mean_viability().powi(2)).max(0.0).sqrt()
    }

    /// The viability that is not exceeded with probability `level`, 0 to 1, to about 1e-12.
    #[must_use]
    pub fn viability_quantile(&self, level: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..44 {
            let middle = 0.5 * (low + high);
            if self.over_viability(|beta| beta.cdf(Cut::at(middle)).below) < level {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// The average of a figure over the viabilities that go with each number still to come.
    fn over_viability(&self, figure: impl Fn(Beta) -> f64) -> f64 {
        let not_up = self.sown - self.up;
        // What is rarer than this adds nothing that could be seen.
        let likely = self.further.iter().filter(|(_, p)| *p > 1e-17);
        likely.map(|(v, p)| p * figure(self.viability.after(self.up + v, not_up - v))).sum()
    }

    fn evidence(&self) -> Evidence {
        Evidence::at_last_count(self.sown, self.up, self.viability, self.alike)
    }

    fn average(&self, figure: impl Fn(&Way) -> f64) -> f64 {
        self.ways.iter().map(|way| way.weight * figure(way)).sum()
    }
}

#[cfg(test)]
mod tests;
