//! The three-parameter curve of a germination by maximum likelihood: how many will ever come up, when, how evenly.
//!
//! Counts are grouped between inspections, and seeds still out at the last one may yet come. No other crate fits this
//! likelihood; the search is Newton's with Levenberg's damping, and it refuses rather than guess.

mod likelihood;

use thiserror::Error;

use self::likelihood::{Bend, Data, Point};
use super::emergence::Timing;
use super::indices::Course;

/// Why no curve can be fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoFit {
    /// Nothing came up.
    #[error("no curve: none are up")]
    NoneUp,
    /// All that came up did so between two neighbouring inspections: the curve could be a step anywhere there.
    #[error("no curve: all came up between two counts")]
    OneInterval,
    /// The counts do not single out a curve.
    #[error("no curve: these counts would fit many")]
    NotDetermined,
}

/// How the final share stands in the fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FinalShare {
    /// Estimated from the counts, with its standard error.
    Estimated {
        /// The share of the seeds sown that will ever come up.
        share: f64,
        /// Its standard error.
        error: f64,
    },
    /// Held at all of them: every seed is up, or the likelihood would go beyond.
    HeldAtOne,
}

/// A fitted curve `F(t) = d / (1 + (t / median)^(-slope))`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The share that will ever come up.
    pub final_share: FinalShare,
    /// The time by which half of those are up, in the unit of the inspections.
    pub median: f64,
    /// The standard error of the median.
    pub median_error: f64,
    /// The steepness; Ritz, Pipper & Streibig write it `b = -slope`.
    pub slope: f64,
    /// The standard error of the slope.
    pub slope_error: f64,
    /// The logarithm of the likelihood, without the constant.
    pub log_likelihood: f64,
    /// The covariance of slope and median.
    covariance: f64,
}

/// A time with its standard error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

impl Fit {
    /// The share of the seeds sown that will ever come up, above 0 and at most 1.
    #[must_use]
    pub fn share(&self) -> f64 {
        match self.final_share {
            FinalShare::Estimated { share, .. } => share,
            FinalShare::HeldAtOne => 1.0,
        }
    }

    /// The timing of those that come up; `None` when the slope is beyond what a timing can hold.
    #[must_use]
    pub fn timing(&self) -> Option<Timing> {
        Timing::new(self.median, 1.0 / self.slope).ok()
    }

    /// The time by which `share` (between 0 and 1) of those that come up are up, by the delta method.
    #[must_use]
    pub fn time_of_emerging(&self, share: f64) -> Estimate {
        let log_odds = (share / (1.0 - share)).ln();
        let value = self.median * (log_odds / self.slope).exp();
        let by_slope = -value * log_odds / (self.slope * self.slope);
        let by_median = value / self.median;
        let variance = (by_slope * self.slope_error).powi(2)
            + (by_median * self.median_error).powi(2)
            + 2.0 * by_slope * by_median * self.covariance;
        Estimate { value, error: variance.max(0.0).sqrt() }
    }

    /// The time by which `share` of the seeds sown are up; `None` when so many never will be.
    #[must_use]
    pub fn time_of_sown(&self, share: f64) -> Option<f64> {
        let most = self.share();
        (share < most).then(|| self.median * (share / (most - share)).powf(1.0 / self.slope))
    }
}

/// Fits the curve to a course. When the likelihood is highest beyond all seeds, or all are up, the final share is held
/// at 1 and two parameters are left.
///
/// Source: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1; errors from the observed information.
///
/// # Errors
/// When nothing is up, all came up between two inspections, or the counts do not single out a curve.
pub fn fit(course: &Course) -> Result<Fit, NoFit> {
    let data = Data::of(course)?;
    if course.emerged() < course.sown() {
        let (point, bend) = data.climb(Free::Three)?;
        if point.share <= 1.0 {
            return data.report(point, &bend, Free::Three);
        }
    }
    let (point, bend) = data.climb(Free::Two)?;
    data.report(point, &bend, Free::Two)
}

/// How many parameters are free: slope and median, or the final share too.
#[derive(Clone, Copy, PartialEq)]
enum Free {
    Two,
    Three,
}

impl Free {
    fn count(self) -> usize {
        match self {
            Self::Two => 2,
            Self::Three => 3,
        }
    }
}

impl Data {
    /// The maximum of the likelihood, and how it bends there.
    fn climb(&self, free: Free) -> Result<(Point, Bend), NoFit> {
        let mut point = if free == Free::Two { Point { share: 1.0, ..self.start } } else { self.start };
        let mut bend = self.bend(point).ok_or(NoFit::NotDetermined)?;
        let mut damping = 1e-3;
        for _ in 0..300 {
            let mut damped = bend.information;
            for (i, row) in damped.iter_mut().enumerate() {
                row[i] += damping * row[i].abs().max(1e-8);
            }
            let step = inverse(&damped, free.count()).map(|inverse| {
                let along = |i: usize| (0..free.count()).map(|j| inverse[i][j] * bend.gradient[j]).sum::<f64>();
                [along(0), along(1), if free == Free::Three { along(2) } else { 0.0 }]
            });
            let tried = step.and_then(|step| {
                let next = Point {
                    slope: point.slope + step[0],
                    intercept: point.intercept + step[1],
                    share: point.share + step[2],
                };
                self.bend(next).map(|bend| (next, bend, step))
            });
            match tried {
                Some((next, better, step)) if better.value >= bend.value - 1e-12 * bend.value.abs() => {
                    (point, bend) = (next, better);
                    damping = (damping * 0.1).max(1e-15);
                    let still = step[0].abs() <= 1e-9 * point.slope
                        && step[1].abs() <= 1e-9 * point.intercept.abs().max(1.0)
                        && step[2].abs() <= 1e-9 * point.share;
                    if still {
                        return Ok((point, bend));
                    }
                }
                _ if damping > 1e12 => break,
                _ => damping *= 10.0,
            }
        }
        Err(NoFit::NotDetermined)
    }

    fn report(&self, point: Point, bend: &Bend, free: Free) -> Result<Fit, NoFit> {
        let spread = inverse(&bend.information, free.count()).ok_or(NoFit::NotDetermined)?;
        // The median is where z is 0: its logarithm is intercept over slope, and moves with both.
        let log_median = point.intercept / point.slope;
        let (by_slope, by_intercept) = (-log_median / point.slope, 1.0 / point.slope);
        let with_slope = by_slope * spread[0][0] + by_intercept * spread[0][1];
        let variance = by_slope * with_slope + by_intercept * (by_slope * spread[0][1] + by_intercept * spread[1][1]);
        let median = (self.log_unit + log_median).exp();
        Ok(Fit {
            final_share: match free {
                Free::Three => FinalShare::Estimated { share: point.share, error: spread[2][2].sqrt() },
                Free::Two => FinalShare::HeldAtOne,
            },
            median,
            median_error: variance.max(0.0).sqrt() * median,
            slope: point.slope,
            slope_error: spread[0][0].sqrt(),
            log_likelihood: bend.value,
            covariance: with_slope * median,
        })
    }
}

/// The inverse of the leading `size` rows and columns of a symmetric matrix, by Cholesky's factors; `None` unless it is
/// positive definite beyond rounding.
fn inverse(matrix: &[[f64; 3]; 3], size: usize) -> Option<[[f64; 3]; 3]> {
    let mut root = [[0.0; 3]; 3];
    for i in 0..size {
        for j in 0..=i {
            let rest = matrix[i][j] - (0..j).map(|k| root[i][k] * root[j][k]).sum::<f64>();
            if i == j {
                let enough = 1e-12 * matrix[i][i];
                root[i][i] = (rest > enough).then(|| rest.sqrt())?;
            } else {
                root[i][j] = rest / root[j][j];
            }
        }
    }
    let mut inverse = [[0.0; 3]; 3];
    for (column, row) in inverse.iter_mut().enumerate().take(size) {
        let mut solved = [0.0; 3];
        for i in 0..size {
            let unit = if i == column { 1.0 } else { 0.0 };
            solved[i] = (unit - (0..i).map(|k| root[i][k] * solved[k]).sum::<f64>()) / root[i][i];
        }
        for i in (0..size).rev() {
            solved[i] = (solved[i] - (i + 1..size).map(|k| root[k][i] * solved[k]).sum::<f64>()) / root[i][i];
        }
        // The inverse is symmetric, so the column found is also the row.
        *row = solved;
    }
    Some(inverse)
}

#[cfg(test)]
mod tests {
    use super::super::indices::Inspection;
    use super::*;

    fn fitted(counts: &[(f64, u32)], sown: u32) -> Result<Fit, NoFit> {
        let inspections = counts.iter().map(|&(time, emerged)| Inspection { time, emerged }).collect();
        fit(&Course::new(inspections, sown).unwrap())
    }

    #[test]
    fn counts_that_single_out_no_curve_are_refused() {
        assert_eq!(fitted(&[(3.0, 0), (6.0, 0)], 20), Err(NoFit::NoneUp));
        assert_eq!(fitted(&[(3.0, 0), (6.0, 9), (9.0, 0)], 20), Err(NoFit::OneInterval));
        // Two neighbouring intervals: a step at 6 days fits perfectly, so no finite slope is best.
        assert_eq!(fitted(&[(3.0, 0), (6.0, 5), (9.0, 5)], 20), Err(NoFit::NotDetermined));
        assert_eq!(fitted(&[(3.0, 5), (6.0, 5), (9.0, 0)], 10), Err(NoFit::NotDetermined));
    }

    #[test]
    fn a_share_that_would_pass_one_is_held_there() {
        let fit = fitted(&[(3.0, 0), (4.0, 2), (5.0, 6), (6.0, 10)], 20).unwrap();
        assert_eq!(fit.final_share, FinalShare::HeldAtOne);
        assert!(fit.median > 5.0 && fit.median < 6.0);
    }
}
