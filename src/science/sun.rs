//! Sunrise, sunset and day length of a place on a day.

use std::f64::consts::PI;

use thiserror::Error;

/// Why no sun times can be given.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SunError {
    /// The latitude is not within -90 to 90.
    #[error("latitude {0} is not between -90 and 90")]
    Latitude(f64),
    /// The longitude is not within -180 to 180.
    #[error("longitude {0} is not between -180 and 180, east positive")]
    Longitude(f64),
    /// The day is not one of the year's.
    #[error("day {0} is not a day of the year")]
    DayOfYear(u32),
}

/// Whether the year has a 29th of February.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Year {
    /// 365 days.
    Common,
    /// 366 days.
    Leap,
}

/// What the sun does on one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SunDay {
    /// It rises and sets.
    RisesAndSets {
        /// Minutes after midnight UTC; far from Greenwich it may be below 0 or above 1440.
        sunrise_utc_minutes: f64,
        /// Minutes after midnight UTC; far from Greenwich it may be below 0 or above 1440.
        sunset_utc_minutes: f64,
    },
    /// It stays below the horizon.
    NeverRises,
    /// It stays above the horizon.
    NeverSets,
}

impl SunDay {
    /// Hours between sunrise and sunset, 0 to 24.
    #[must_use]
    pub fn day_length(self) -> f64 {
        match self {
            Self::RisesAndSets { sunrise_utc_minutes, sunset_utc_minutes } => {
                (sunset_utc_minutes - sunrise_utc_minutes) / 60.0
            }
            Self::NeverRises => 0.0,
            Self::NeverSets => 24.0,
        }
    }
}

/// Sunrise and sunset by the general solar position equations of the NOAA Global Monitoring Laboratory, with the sun's
/// place taken at noon, good to about a minute at middle latitudes. Longitude is positive EAST; an older text of the
/// same equations has west positive. `day_of_year` counts from 1.
///
/// # Errors
/// When a coordinate or the day is out of range.
pub fn sun_day(latitude: f64, longitude: f64, day_of_year: u32, year: Year) -> Result<SunDay, SunError> {
    if !(-90.0..=90.0).contains(&latitude) {
        return Err(SunError::Latitude(latitude));
    }
    if !(-180.0..=180.0).contains(&longitude) {
        return Err(SunError::Longitude(longitude));
    }
    let days = match year {
        Year::Common => 365,
        Year::Leap => 366,
    };
    if !(1..=days).contains(&day_of_year) {
        return Err(SunError::DayOfYear(day_of_year));
    }
    let angle = 2.0 * PI / f64::from(days) * f64::from(day_of_year - 1);
    let equation_of_time = 229.18
        * (0.000_075 + 0.001_868 * angle.cos()
            - 0.032_077 * angle.sin()
            - 0.014_615 * (2.0 * angle).cos()
            - 0.040_849 * (2.0 * angle).sin());
    let declination = 0.006_918 - 0.399_912 * angle.cos() + 0.070_257 * angle.sin() - 0.006_758 * (2.0 * angle).cos()
        + 0.000_907 * (2.0 * angle).sin()
        - 0.002_697 * (3.0 * angle).cos()
        + 0.001_48 * (3.0 * angle).sin();
    let latitude = latitude.to_radians();
    // 90.833 degrees: the sun's upper edge on the horizon, with refraction.
    let cos_hour_angle =
        90.833_f64.to_radians().cos() / (latitude.cos() * declination.cos()) - latitude.tan() * declination.tan();
    if cos_hour_angle > 1.0 {
        return Ok(SunDay::NeverRises);
    }
    if cos_hour_angle < -1.0 {
        return Ok(SunDay::NeverSets);
    }
    let hour_angle = cos_hour_angle.acos().to_degrees();
    Ok(SunDay::RisesAndSets {
        sunrise_utc_minutes: 720.0 - 4.0 * (longitude + hour_angle) - equation_of_time,
        sunset_utc_minutes: 720.0 - 4.0 * (longitude - hour_angle) - equation_of_time,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_and_days_off_the_map_are_refused() {
        assert_eq!(sun_day(91.0, 0.0, 1, Year::Common), Err(SunError::Latitude(91.0)));
        assert!(matches!(sun_day(f64::NAN, 0.0, 1, Year::Common), Err(SunError::Latitude(_))));
        assert_eq!(sun_day(51.0, 181.0, 1, Year::Common), Err(SunError::Longitude(181.0)));
        assert_eq!(sun_day(51.0, 0.0, 0, Year::Common), Err(SunError::DayOfYear(0)));
        assert_eq!(sun_day(51.0, 0.0, 366, Year::Common), Err(SunError::DayOfYear(366)));
        assert!(sun_day(51.0, 0.0, 366, Year::Leap).is_ok());
    }

    #[test]
    fn the_poles_have_no_hour_that_is_not_a_number() {
        for latitude in [-90.0, 90.0] {
            for day in 1..=365 {
                assert!(sun_day(latitude, 0.0, day, Year::Common).unwrap().day_length().is_finite());
            }
        }
    }
}
