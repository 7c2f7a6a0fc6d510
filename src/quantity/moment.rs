//! A day as it is looked at: with its hour, while it is today.

use chrono::NaiveDate;

/// The hours of a day that its work goes by. Common practice, no source.
const NOON: u32 = 12;
/// From here nothing is put out for the day.
const LATE: u32 = 15;
/// From here a place under glass gets no hotter.
const PAST_HEAT: u32 = 17;
/// A night for a thermometer in a house: what is read from the evening of it to the morning after is near its low.
const NIGHT: (u32, u32) = (21, 9);

/// A day, and the hour of it by the grower's clock; none where the day is not today.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The day.
    pub on: NaiveDate,
    /// The hour, 4 to 27: those after midnight are of the day before until dawn.
    pub hour: Option<u32>,
}

impl From<NaiveDate> for Moment {
    fn from(on: NaiveDate) -> Self {
        Self { on, hour: None }
    }
}

impl Moment {
    /// True before noon of a day that is today.
    #[must_use]
    pub fn is_morning(self) -> bool {
        self.hour.is_some_and(|hour| hour < NOON)
    }

    /// True from noon on of a day that is today.
    #[must_use]
    pub fn is_past_noon(self) -> bool {
        self.hour.is_some_and(|hour| hour >= NOON)
    }

    /// True when it is too late to put anything out for the day.
    #[must_use]
    pub fn is_late(self) -> bool {
        self.hour.is_some_and(|hour| hour >= LATE)
    }

    /// True at night, and in the early morning, of a day that is today.
    #[must_use]
    pub fn is_night(self) -> bool {
        self.hour.is_some_and(|hour| hour >= NIGHT.0 || hour < NIGHT.1)
    }

    /// True when the heat of the day is over.
    #[must_use]
    pub fn is_past_heat(self) -> bool {
        self.hour.is_some_and(|hour| hour >= PAST_HEAT)
    }
}
