//! Whether a file says in which scale its temperatures are.

use std::collections::BTreeSet;

use super::table::ImportError;
use crate::quantity::{Date, Scale, Unit};

/// What was read out of a file or an answer, day by day.
#[derive(Clone, Debug, PartialEq)]
pub struct Days<T> {
    /// The days, at least one.
    pub days: Vec<T>,
    /// [`Unit::Taken`] where some of it was taken to be in degrees C because nothing says which it is.
    pub unit: Unit,
    /// Days that stand in it more than once with other figures: the lowest and the highest of them are taken.
    pub twice: BTreeSet<Date>,
}

/// A median above this is no spring in degrees C. Common practice, no source.
const WARMEST_MEDIAN: f64 = 33.0;

/// The figures of a file as they are written.
#[derive(Default)]
pub(super) struct Seen {
    unstated: Vec<f64>,
    fahrenheit: bool,
}

impl Seen {
    /// One more, in the scale that is stated of it.
    pub(super) fn add(&mut self, number: f64, scale: Option<Scale>) {
        match scale {
            None => self.unstated.push(number),
            Some(Scale::Fahrenheit) => self.fahrenheit = true,
            Some(Scale::Celsius) => {}
        }
    }

    /// Whether all of them are stated.
    ///
    /// # Errors
    /// When some are and some are not, and degrees F among them; or when what is not stated can hardly be degrees C, of
    /// whatever place and month.
    pub(super) fn unit(mut self) -> Result<Unit, ImportError> {
        self.unstated.sort_by(f64::total_cmp);
        match self.unstated.get(self.unstated.len() / 2) {
            None => Ok(Unit::Stated),
            Some(_) if self.fahrenheit => Err(ImportError::UnitOfSome),
            Some(median) if *median > WARMEST_MEDIAN => Err(ImportError::WhichScale(WARMEST_MEDIAN)),
            Some(_) => Ok(Unit::Taken),
        }
    }
}

impl FromIterator<(f64, Option<Scale>)> for Seen {
    fn from_iter<I: IntoIterator<Item = (f64, Option<Scale>)>>(figures: I) -> Self {
        let mut seen = Self::default();
        figures.into_iter().for_each(|(number, scale)| seen.add(number, scale));
        seen
    }
}
