//! The course of one sowing in figures, as seed testers put it, by the days since it was sown.

use crate::advice::part::days_between;
use crate::advice::why::Why;
use crate::journal::{Beginning, Part, State};
use crate::quantity::{BatchId, Date, Share, SownUnit};
use crate::science::fit::{Fit, NoFit, fit};
use crate::science::indices::{Course, Inspection, Undefined};

/// The course in figures, in days; each says why where it has no value.
#[derive(Clone, Debug, PartialEq)]
pub struct Indices {
    /// Share up of sown.
    pub final_share: Result<f64, Undefined>,
    /// Mean germination time (Ellis & Roberts 1980).
    pub mean_days: Result<f64, Undefined>,
    /// The standard error of it (Ranal & Santana 2006).
    pub mean_error: Result<f64, Undefined>,
    /// Days to half of those up (Coolbear, Francis & Grierson 1984).
    pub t50: Result<f64, Undefined>,
    /// The day after sowing of the first look, where more than half were up by then: when half were was not seen.
    pub half_unseen: Option<u32>,
    /// Coefficient of velocity (Kotowski 1926).
    pub velocity: Result<f64, Undefined>,
    /// The three-parameter log-logistic curve by maximum likelihood (Ritz, Pipper & Streibig 2013).
    pub fit: Result<Fit, NoFit>,
}

/// The course of a sowing in figures, live or not; `None` for plants bought in, for a pinch, whose number is a guess, for what
/// was never counted and for a batch not in the state.
#[must_use]
pub fn course(state: &State, id: BatchId) -> Option<Indices> {
    let batch = state.batches.get(&id)?;
    match batch.beginning {
        Beginning::Sown { unit: SownUnit::Seed | SownUnit::Cluster, .. } => {}
        Beginning::Sown { unit: SownUnit::Pinch, .. } | Beginning::Received => return None,
    }
    let parts: Vec<&Part> = state.parts_of(batch).map(|(_, part)| part).filter(|part| part.is_sown()).collect();
    let sown = parts.iter().map(|part| part.sown()).fold(0, u32::saturating_add);
    let counted = together(&parts);
    (!counted.is_empty()).then(|| Indices::of(batch.begun, sown, &counted))
}

/// At each day any part was counted, what was last seen up in all.
fn together(parts: &[&Part]) -> Vec<(Date, u32)> {
    let curves: Vec<Vec<(Date, u32)>> = parts.iter().map(|part| part.curve()).collect();
    let mut days: Vec<Date> = curves.iter().flatten().map(|(on, _)| *on).collect();
    days.sort_unstable();
    days.dedup();
    let by = |curve: &[(Date, u32)], on: Date| curve.iter().rev().find(|(day, _)| *day <= on).map_or(0, |(_, up)| *up);
    let up = |on: Date| curves.iter().map(|curve| by(curve, on)).fold(0, u32::saturating_add);
    days.into_iter().map(|on| (on, up(on))).collect()
}

impl Indices {
    fn of(sown_on: Date, sown: u32, curve: &[(Date, u32)]) -> Self {
        let mut before = 0;
        let mut inspections: Vec<Inspection> = Vec::new();
        let last = curve.last().map_or(0, |(_, up)| *up);
        let half_unseen = curve.iter().find(|(_, up)| *up > 0).filter(|(_, up)| up.saturating_mul(2) > last);
        let half_unseen = half_unseen.filter(|(first, _)| curve.first().is_some_and(|(on, _)| on == first));
        let half_unseen = half_unseen.map(|(on, _)| days_between(sown_on, *on));
        for (on, up) in curve {
            // Seen on the day of sowing still took some hours.
            let time = f64::from(days_between(sown_on, *on)).max(0.5);
            let emerged = up.saturating_sub(before);
            before = *up;
            match inspections.last_mut().filter(|last| last.time >= time) {
                Some(last) => last.emerged += emerged,
                None => inspections.push(Inspection { time, emerged }),
            }
        }
        match Course::new(inspections, sown) {
            Ok(course) => Self {
                final_share: course.final_share(),
                mean_days: course.mean_time(),
                mean_error: course.mean_time_error(),
                t50: course.t50(),
                half_unseen,
                velocity: course.velocity(),
                fit: fit(&course),
            },
            Err(_) => Self {
                final_share: Err(Undefined::NothingSown),
                mean_days: Err(Undefined::NoneUp),
                mean_error: Err(Undefined::NoneUp),
                t50: Err(Undefined::NoneUp),
                half_unseen,
                velocity: Err(Undefined::NoneUp),
                fit: Err(NoFit::NoneUp),
            },
        }
    }

    /// Adds them to a "why".
    pub(in crate::advice) fn explain(&self, why: Why) -> Why {
        let days = |days: &Result<f64, Undefined>| told(days, |days| format!("{days:.1} days"));
        let t50 = match self.half_unseen {
            Some(day) => format!(
                "before day {day}, when it was first looked at: not seen (by a straight line from sowing {})",
                days(&self.t50)
            ),
            None => days(&self.t50),
        };
        let fitted = self.fit.as_ref().map_or_else(ToString::to_string, |fit| {
            let most = fit.time_of_emerging(0.9);
            let sown = fit.time_of_sown(0.5).map_or_else(|| "never".to_owned(), |days| format!("by day {days:.1}"));
            format!(
                "{} in the end, half of them by day {:.1} (standard error {:.1}), nine tenths by day {:.1} ({:.1}), half \
                 of all sown {sown}",
                Share(fit.share()),
                fit.median,
                fit.median_error,
                most.value,
                most.error
            )
        });
        why.given("final percentage", told(&self.final_share, |share| Share(share).to_string()))
            .given("mean germination time", days(&self.mean_days))
            .given("its standard error", days(&self.mean_error))
            .given("t50, days to half of those up", t50)
            .given("coefficient of velocity", told(&self.velocity, |velocity| format!("{velocity:.1}")))
            .given("log-logistic curve by maximum likelihood", fitted)
            .published("mean germination time: Ellis & Roberts 1980, in Seed Production")
            .published("standard error of it: Ranal & Santana 2006, Rev Bras Bot 29:1")
            .published("log-logistic curve: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1")
            .published("t50: Coolbear, Francis & Grierson 1984, J Exp Bot 35:1609")
            .published("coefficient of velocity: Kotowski 1926, Proc Am Soc Hort Sci 23:176")
    }
}

/// A figure in words, or why there is none.
fn told(figure: &Result<f64, Undefined>, words: impl Fn(f64) -> String) -> String {
    figure.as_ref().map_or_else(ToString::to_string, |figure| words(*figure))
}
