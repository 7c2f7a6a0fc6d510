//! The last frosts of the springs that were read in a place.

use crate::quantity::{Celsius, Date};
use crate::science::frost_dates::{Frost, YearFrosts, frost_quantile, frosts_by_year};
use crate::science::quantiles::QuantileType;

/// Springs from which a grower's own frosts are spoken of, and days from March to July that a spring needs. Common
/// practice, no source.
const FEWEST_SPRINGS: usize = 3;
const FEWEST_DAYS: u32 = 120;

/// By when the last frost of spring had come, in the springs that were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LastFrosts {
    /// How many springs.
    pub springs: usize,
    /// The day of this year by which it had come in half of them.
    pub half: Date,
    /// The same in nine of ten.
    pub nine_in_ten: Date,
}

impl LastFrosts {
    /// From the lows read in the open, one a day, in any order, told as days of the year of `on`; `None` while fewer than
    /// three springs were read well enough, or most had no frost.
    #[must_use]
    pub fn of(lows: impl IntoIterator<Item = (Date, Celsius)>, on: Date) -> Option<Self> {
        use chrono::Datelike as _;
        let spring = lows.into_iter().filter(|(day, _)| (3..=7).contains(&day.month()));
        let mut years: Vec<YearFrosts> = frosts_by_year(spring, Celsius(0.0));
        years.retain(|year| year.days_read >= FEWEST_DAYS);
        if years.len() < FEWEST_SPRINGS {
            return None;
        }
        let day = |p| {
            let day = frost_quantile(&years, Frost::LastSpring, p, QuantileType::MedianUnbiased)?;
            // Days of a common year; rounded up, for by then it has come.
            let common = Date::from_yo_opt(2001, day.ceil() as u32)?;
            Date::from_ymd_opt(on.year(), common.month(), common.day())
        };
        Some(Self { springs: years.len(), half: day(0.5)?, nine_in_ten: day(0.9)? })
    }

    /// `last frost of spring by 4 Apr in half of 5 springs read, by 28 Apr in nine of ten: settings.toml takes last_frost`.
    #[must_use]
    pub fn words(&self) -> String {
        let day = |day: Date| day.format("%-d %b").to_string();
        format!(
            "last frost of spring by {} in half of {} springs read, by {} in nine of ten: settings.toml takes last_frost",
            day(self.half),
            self.springs,
            day(self.nine_in_ten)
        )
    }
}
