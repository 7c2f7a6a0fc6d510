//! The course of a germination in a few figures: how many, how soon, how evenly.

use thiserror::Error;

/// One inspection: what had newly come up since the one before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inspection {
    /// Time since sowing, in days or any one unit throughout; more than 0.
    pub time: f64,
    /// How many newly came up.
    pub emerged: u32,
}

/// Why inspections do not make a course.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum CourseError {
    /// Times must rise from above 0.
    #[error("inspections must follow one another in time, after the sowing")]
    OutOfOrder,
    /// More came up than were sown.
    #[error("{emerged} of {sown} is more than all of them")]
    MoreThanSown {
        /// How many came up in all.
        emerged: u64,
        /// How many were sown.
        sown: u32,
    },
}

/// Why a figure does not exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Undefined {
    /// Nothing was sown.
    #[error("undefined: nothing was sown")]
    NothingSown,
    /// Nothing came up.
    #[error("undefined: none are up")]
    NoneUp,
    /// One seedling has no spread.
    #[error("undefined: it takes two seedlings")]
    OnlyOne,
    /// The share was not reached by the last inspection.
    #[error("undefined: not reached by the last count")]
    NotReached,
}

/// A sowing and its inspections, in order of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    inspections: Vec<Inspection>,
    sown: u32,
    emerged: u32,
}

impl Course {
    /// Takes the inspections of `sown` seeds.
    ///
    /// # Errors
    /// When times do not rise strictly from above 0, or more came up than were sown.
    pub fn new(inspections: Vec<Inspection>, sown: u32) -> Result<Self, CourseError> {
        let mut before = 0.0;
        for inspection in &inspections {
            if !(inspection.time > before && inspection.time.is_finite()) {
                return Err(CourseError::OutOfOrder);
            }
            before = inspection.time;
        }
        let emerged = inspections.iter().map(|i| u64::from(i.emerged)).sum();
        match u32::try_from(emerged) {
            Ok(up) if up <= sown => Ok(Self { inspections, sown, emerged: up }),
            _ => Err(CourseError::MoreThanSown { emerged, sown }),
        }
    }

    /// The inspections, in order of time.
    #[must_use]
    pub fn inspections(&self) -> &[Inspection] {
        &self.inspections
    }

    /// How many were sown.
    #[must_use]
    pub fn sown(&self) -> u32 {
        self.sown
    }

    /// How many came up in all.
    #[must_use]
    pub fn emerged(&self) -> u32 {
        self.emerged
    }

    /// The share that came up, 0 to 1.
    ///
    /// # Errors
    /// When nothing was sown.
    pub fn final_share(&self) -> Result<f64, Undefined> {
        if self.sown == 0 { Err(Undefined::NothingSown) } else { Ok(f64::from(self.emerged) / f64::from(self.sown)) }
    }

    /// The mean germination time, in the unit of the inspections. Source: Ellis & Roberts 1980, in Seed Production.
    ///
    /// # Errors
    /// When none are up.
    pub fn mean_time(&self) -> Result<f64, Undefined> {
        Ok(self.sum(|i| i.time) / self.up()?)
    }

    /// The variance of the germination time over the seedlings. Source: Ranal & Santana 2006, Rev Bras Bot 29:1.
    ///
    /// # Errors
    /// When fewer than two are up.
    pub fn time_variance(&self) -> Result<f64, Undefined> {
        let (mean, up) = (self.mean_time()?, self.at_least_two()?);
        Ok(self.sum(|i| (i.time - mean).powi(2)) / (up - 1.0))
    }

    /// The standard error of the mean germination time. Source: Ranal & Santana 2006.
    ///
    /// # Errors
    /// When fewer than two are up.
    pub fn mean_time_error(&self) -> Result<f64, Undefined> {
        Ok((self.time_variance()? / self.up()?).sqrt())
    }

    /// The coefficient of velocity, 100 over the mean germination time. Source: Kotowski 1926, Proc Am Soc Hort Sci 23:176.
    ///
    /// # Errors
    /// When none are up.
    pub fn velocity(&self) -> Result<f64, Undefined> {
        Ok(100.0 / self.mean_time()?)
    }

    /// The time to half of those that came up: where the straight-line cumulative count reaches `(N + 1) / 2`.
    ///
    /// The curve starts at nothing at sowing. Where a count meets the target exactly, its own time is the answer; the
    /// printed definition, with strict inequalities on both sides, would pass over it. Source: Coolbear et al. 1984, J Exp
    /// Bot 35:1609.
    ///
    /// # Errors
    /// When none are up.
    pub fn t50(&self) -> Result<f64, Undefined> {
        self.time_of((self.up()? + 1.0) / 2.0)
    }

    /// The time at which `share` (0 to 1) of those that came up were up; at one half, the t50 of Farooq et al. 2005, J
    /// Integr Plant Biol 47:187.
    ///
    /// # Errors
    /// When none are up, or the share is over 1.
    pub fn time_of_emerged(&self, share: f64) -> Result<f64, Undefined> {
        self.time_of(share * self.up()?)
    }

    /// The sum over seedlings of a figure of their inspection.
    fn sum(&self, figure: impl Fn(&Inspection) -> f64) -> f64 {
        self.inspections.iter().map(|i| f64::from(i.emerged) * figure(i)).sum()
    }

    fn up(&self) -> Result<f64, Undefined> {
        if self.emerged == 0 { Err(Undefined::NoneUp) } else { Ok(f64::from(self.emerged)) }
    }

    fn at_least_two(&self) -> Result<f64, Undefined> {
        if self.emerged == 1 { Err(Undefined::OnlyOne) } else { self.up() }
    }

    /// The time at which the straight-line cumulative count reaches `target`.
    fn time_of(&self, target: f64) -> Result<f64, Undefined> {
        let (mut time, mut count) = (0.0, 0.0);
        for inspection in &self.inspections {
            let risen = f64::from(inspection.emerged);
            // A share of a count can miss a whole number by rounding; a day's wait must not hang on that.
            if risen > 0.0 && count + risen >= target - 1e-9 {
                let part = ((target - count) / risen).clamp(0.0, 1.0);
                return Ok(time + part * (inspection.time - time));
            }
            (time, count) = (inspection.time, count + risen);
        }
        Err(Undefined::NotReached)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn course(counts: &[(f64, u32)], sown: u32) -> Result<Course, CourseError> {
        Course::new(counts.iter().map(|&(time, emerged)| Inspection { time, emerged }).collect(), sown)
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert_eq!(course(&[(2.0, 1), (2.0, 1)], 9), Err(CourseError::OutOfOrder));
        assert_eq!(course(&[(0.0, 1)], 9), Err(CourseError::OutOfOrder));
        assert_eq!(course(&[(f64::NAN, 1)], 9), Err(CourseError::OutOfOrder));
        assert_eq!(course(&[(1.0, 5), (2.0, 5)], 9), Err(CourseError::MoreThanSown { emerged: 10, sown: 9 }));
        let much = u64::from(u32::MAX) * 2;
        assert_eq!(
            course(&[(1.0, u32::MAX), (2.0, u32::MAX)], 9),
            Err(CourseError::MoreThanSown { emerged: much, sown: 9 })
        );
    }

    /// 0.07 of 100 is a little over 7 in binary; the seventh seed was up on day 1 all the same.
    #[test]
    fn rounding_does_not_cost_a_wait() {
        let course = course(&[(1.0, 7), (2.0, 0), (9.0, 93)], 100).unwrap();
        assert_eq!(course.time_of_emerged(0.07), Ok(1.0));
    }

    #[test]
    fn what_is_undefined_says_why() {
        let none = course(&[(3.0, 0)], 9).unwrap();
        assert_eq!(none.final_share(), Ok(0.0));
        assert_eq!(none.mean_time(), Err(Undefined::NoneUp));
        assert_eq!(none.t50(), Err(Undefined::NoneUp));
        let one = course(&[(3.0, 1)], 9).unwrap();
        assert_eq!(one.mean_time(), Ok(3.0));
        assert_eq!(one.time_variance(), Err(Undefined::OnlyOne));
        assert_eq!(one.mean_time_error(), Err(Undefined::OnlyOne));
        assert_eq!(one.time_of_emerged(1.5), Err(Undefined::NotReached));
        assert_eq!(course(&[], 0).unwrap().final_share(), Err(Undefined::NothingSown));
    }
}
