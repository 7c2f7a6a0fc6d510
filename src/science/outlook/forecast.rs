//! What a sowing should show, day by day, before anything is counted: the band its counts are drawn over.

use super::super::beta::Cut;
use super::super::counts::Counts;
use super::super::emergence::Timing;
use super::super::interval::MOST_SEEDS;
use super::Prior;
use super::ways::scatter;

/// Viabilities that stand for the belief, each for an equal part of it: enough for a band that is drawn.
const VIABILITIES: u32 = 16;

impl Prior {
    /// The share of living seeds expected to be up when the time has run to `progress`, 0 to 1, before any count.
    #[must_use]
    pub fn share_by(&self, progress: f64) -> f64 {
        self.ways().iter().map(|(weight, timing)| weight * timing.share_by(progress)).sum()
    }

    /// How many of `sown` seeds are expected to be up when the time has run to `progress`, before any count.
    #[must_use]
    pub fn expected_by(&self, sown: u32, progress: f64) -> f64 {
        f64::from(sown) * self.viability.mean() * self.share_by(progress)
    }

    /// The chance that not one of `sown` seeds (taken as at most [`MOST_SEEDS`]) is up when the time has run to
    /// `progress`, before any count: that of each number of living seeds, with none of them up, over the timings.
    /// Seeds that are alike are silent together the oftener.
    #[must_use]
    pub fn chance_of_none_by(&self, sown: u32, progress: f64) -> f64 {
        let alive = Counts::beta_binomial(sown.min(MOST_SEEDS), self.viability);
        let scatter = scatter(self.alike);
        let none_at = |left: f64| {
            let mut none = 1.0;
            alive.iter().fold(0.0, |sum, (v, p)| {
                let sum = sum + p * none;
                let together = scatter * f64::from(v);
                none *= (left + together) / (1.0 + together);
                sum
            })
        };
        self.ways().iter().map(|(weight, timing)| weight * none_at(timing.share_left_at(progress))).sum()
    }
}

/// The spread of counts to be expected of a sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    sown: u32,
    viabilities: Vec<f64>,
    ways: Vec<(f64, Timing)>,
}

impl Forecast {
    /// The forecast for `sown` seeds (taken as at most [`MOST_SEEDS`]).
    #[must_use]
    pub fn new(sown: u32, prior: &Prior) -> Self {
        let level = |i: u32| (f64::from(i) + 0.5) / f64::from(VIABILITIES);
        Self {
            sown: sown.min(MOST_SEEDS),
            viabilities: (0..VIABILITIES).map(|i| prior.viability.quantile(Cut::at(level(i))).below).collect(),
            ways: prior.ways(),
        }
    }

    /// How many may be up when the time has run to `progress`; its quantiles are the band. The belief in the viability is
    /// stood for by sixteen points, which moves a quantile by less than it can be drawn. That seeds of one sowing are alike is
    /// left out: beside the doubt in the timing it widens the band by little.
    #[must_use]
    pub fn counts_by(&self, progress: f64) -> Counts {
        let mut mixture = vec![0.0; self.sown as usize + 1];
        for (weight, timing) in &self.ways {
            let share = timing.share_by(progress);
            for viability in &self.viabilities {
                for (v, p) in Counts::binomial(self.sown, viability * share).iter() {
                    mixture[v as usize] += weight * p;
                }
            }
        }
        Counts::from_weights(mixture)
    }
}
