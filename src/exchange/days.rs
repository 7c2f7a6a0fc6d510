//! The days and hours in somebody else's file, in whatever order and words they are written.

use std::collections::BTreeSet;
use std::fmt;

use chrono::{Datelike as _, TimeDelta, Timelike as _, Weekday};

use super::table::ImportError;
use crate::quantity::{Date, DateOrder};

/// A day as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Written {
    /// Year first, or `12.04.2026` with the day first, or with the month named.
    Day(Date),
    /// Three numbers with strokes or dashes, whose order the rest of the file has to tell.
    Strokes { year: i32, first: u32, second: u32 },
    /// Without a year, and perhaps with its day of the week, by days from Monday.
    NoYear { month: u32, day: u32, weekday: Option<u32> },
}

/// Of which year a day is that is written without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Year {
    /// Of a forecast: the nearest to a day.
    Nearest(Date),
    /// Of readings: the last before a day. One a few days ahead is none of a year ago, but of a clock that is wrong.
    Last(Date),
}

/// How many days a clock, or the day that is said of an import, is wrong by at most. Common practice, no source.
const WRONG_BY: i64 = 7;

impl Written {
    /// The day that is meant; `None` when it is in no calendar.
    pub(super) fn date(self, order: DateOrder, unwritten: Year) -> Option<Date> {
        match (self, order) {
            (Self::Day(day), _) => Some(day),
            (Self::Strokes { first, second, year }, DateOrder::DayFirst) => Date::from_ymd_opt(year, second, first),
            (Self::Strokes { first, second, year }, DateOrder::MonthFirst) => Date::from_ymd_opt(year, first, second),
            (Self::NoYear { month, day, weekday }, _) => {
                let (near, ahead) = match unwritten {
                    Year::Nearest(near) => (near, i64::MAX),
                    Year::Last(near) => (near, WRONG_BY),
                };
                let from_near = |day: &Date| day.signed_duration_since(near).num_days();
                let years = near.year() - 1..=near.year() + 1;
                let days = years.filter_map(|year| Date::from_ymd_opt(year, month, day));
                let is_meant = |day: &Date| weekday.is_none_or(|it| it == day.weekday().num_days_from_monday());
                days.filter(is_meant).filter(|day| from_near(day) <= ahead).min_by_key(|day| from_near(day).abs())
            }
        }
    }
}

impl fmt::Display for Written {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Day(day) => write!(f, "{day}"),
            Self::Strokes { first, second, year } => write!(f, "{first}/{second}/{year}"),
            Self::NoYear { month, day, .. } => write!(f, "{day}.{month}."),
        }
    }
}

/// Reads a day and the hour behind it, if there is one.
pub(super) fn day(text: &str) -> Option<(Written, Option<u32>)> {
    let text = text.trim();
    let (first, rest) = text.split_once([' ', ',']).unwrap_or((text, ""));
    let Ok(weekday) = first.trim_end_matches('.').parse::<Weekday>() else { return without_weekday(text) };
    let weekday = weekday.num_days_from_monday();
    match without_weekday(rest.trim_start_matches([' ', ',']))? {
        (Written::Day(day), _) if day.weekday().num_days_from_monday() != weekday => None,
        (Written::NoYear { month, day, .. }, hour) => {
            Some((Written::NoYear { month, day, weekday: Some(weekday) }, hour))
        }
        read => Some(read),
    }
}

fn without_weekday(text: &str) -> Option<(Written, Option<u32>)> {
    if let Some(named) = with_month_named(text) {
        return Some(named);
    }
    let (date, rest) = text.split_at(text.find(['T', ' ', 't']).unwrap_or(text.len()));
    let hour = hour(rest.trim_start_matches(['T', 't', ' ']));
    let marks = ['-', '/', '.'];
    let fields: Vec<u32> = date.trim_end_matches('.').split(marks).map(str::parse).collect::<Result<_, _>>().ok()?;
    // `12.04.` and not `12.04`, which is a number.
    if let ([day, month], true) = (&fields[..], date.ends_with('.')) {
        let (day, month) = (*day, *month);
        // A leap year has all the days that there are.
        return Date::from_ymd_opt(2024, month, day).map(|_| (Written::NoYear { month, day, weekday: None }, hour));
    }
    let [first, second, third] = fields[..] else { return None };
    if date.split(marks).next()?.len() == 4 {
        let day = Date::from_ymd_opt(i32::try_from(first).ok()?, second, third)?;
        return Some((Written::Day(day), hour));
    }
    let year = whole_year(third)?;
    if date.contains('.') {
        return Some((Written::Day(Date::from_ymd_opt(year, second, first)?), hour));
    }
    Some((Written::Strokes { first, second, year }, hour))
}

/// `3 Apr 2026 05:00`, `3-Apr-26`, `Apr 3, 2026`, `3 Apr`: only a month that is named.
fn with_month_named(text: &str) -> Option<(Written, Option<u32>)> {
    let words: Vec<&str> = text.split([' ', '-', '/', ',', '.']).filter(|word| !word.is_empty()).collect();
    let [one, other, rest @ ..] = &words[..] else { return None };
    let month = |word: &str| word.parse::<chrono::Month>().ok().map(|month| month.number_from_month());
    let (month, day) = match (month(one), month(other)) {
        (Some(month), _) => (month, other.parse().ok()?),
        (_, Some(month)) => (month, one.parse().ok()?),
        _ => return None,
    };
    let Some(year) = rest.first().and_then(|word| word.parse().ok()) else {
        let is_a_day = Date::from_ymd_opt(2024, month, day).is_some();
        return is_a_day.then(|| (Written::NoYear { month, day, weekday: None }, hour(&rest.join(" "))));
    };
    Some((Written::Day(Date::from_ymd_opt(whole_year(year)?, month, day)?), hour(&rest[1..].join(" "))))
}

fn whole_year(year: u32) -> Option<i32> {
    i32::try_from(if year < 100 { year + 2000 } else { year }).ok()
}

/// The hour of `03:20`, `3:20 PM` or `15`.
pub(super) fn hour(text: &str) -> Option<u32> {
    let text = text.trim();
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    let hour: u32 = digits.parse().ok().filter(|hour| *hour < 24)?;
    let lower = text.to_lowercase();
    Some(match (lower.contains("pm"), lower.contains("am"), hour) {
        (true, _, 12) | (_, false, 12) => 12,
        (true, ..) => (hour + 12) % 24,
        (false, true, 12) => 0,
        _ => hour,
    })
}

/// How many seconds the zone written behind an hour is ahead of UTC: `05:00Z`, `05:00:00+02:00`, `5:00 UTC`.
pub(super) fn zone(text: &str) -> Option<i32> {
    let behind = text[text.find(':')?..].trim_end().to_ascii_uppercase();
    let is_utc = ["Z", "UTC", "GMT"].iter().any(|zone| behind.ends_with(zone));
    if is_utc { Some(0) } else { offset(&behind[behind.rfind(['+', '-'])?..]) }
}

/// The seconds of `+02:00`, `-0500` or `+2`, whatever follows them.
pub(super) fn offset(text: &str) -> Option<i32> {
    let (sign, rest) = match text.strip_prefix('+') {
        Some(rest) => (1, rest),
        None => (-1, text.strip_prefix('-')?),
    };
    let digits: String =
        rest.chars().take_while(|c| c.is_ascii_digit() || *c == ':').filter(char::is_ascii_digit).collect();
    let (hours, minutes) = match digits.len() {
        1 | 2 => (digits.as_str(), "0"),
        4 => digits.split_at(2),
        _ => return None,
    };
    let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours <= 14 && minutes < 60).then_some(sign * (hours * 3600 + minutes * 60))
}

/// A day and its hour on the grower's clock, which is `zone` seconds ahead of UTC, where it is written by another that is
/// `ahead`. The zone is today's, so that hours from before clocks were changed are out by one.
pub(super) fn turned(on: Date, hour: Option<u32>, ahead: Option<i32>, zone: i32) -> (Date, Option<u32>) {
    let turned = || {
        let by = TimeDelta::seconds(i64::from(zone) - i64::from(ahead?));
        on.and_hms_opt(hour?, 0, 0)?.checked_add_signed(by)
    };
    turned().map_or((on, hour), |at| (at.date(), Some(at.hour())))
}

/// The day that has one low and one high, on the grower's clock: as it is written, but where it stands for its midnight
/// in UTC. As of days in seconds, an hour is added, for clocks may be put on before then.
pub(super) fn whole_day(on: Date, hour: Option<u32>, ahead: Option<i32>, zone: i32) -> Date {
    if ahead == Some(0) && hour != Some(0) { turned(on, hour, ahead, zone + 3600).0 } else { on }
}

/// Days of a thermometer or a forecast follow each other; read in the wrong order they are a month apart. A week is allowed for
/// what is missing between two. Common practice, no source.
const IN_A_ROW: i64 = 7;

/// Which comes first in days written with strokes: what was said of the file, else what its days can be, else the order
/// in which they follow each other. An AM or PM tells nothing, for both orders are written beside it.
///
/// # Errors
/// When none of it tells.
pub(super) fn order(days: impl Iterator<Item = Written>, told: Option<DateOrder>) -> Result<DateOrder, ImportError> {
    let strokes: BTreeSet<(i32, u32, u32)> = days
        .filter_map(|day| match day {
            Written::Strokes { year, first, second } => Some((year, first, second)),
            Written::Day(_) | Written::NoYear { .. } => None,
        })
        .collect();
    if let Some(told) = told {
        return Ok(told);
    }
    match (strokes.iter().any(|(_, first, _)| *first > 12), strokes.iter().any(|(.., second)| *second > 12)) {
        (true, false) => return Ok(DateOrder::DayFirst),
        (false, true) => return Ok(DateOrder::MonthFirst),
        (true, true) => return Err(ImportError::TwoWays),
        (false, false) => {}
    }
    let read = |turned: bool| -> BTreeSet<Date> {
        let read = |(year, first, second)| {
            let (month, day) = if turned { (first, second) } else { (second, first) };
            Date::from_ymd_opt(year, month, day)
        };
        strokes.iter().copied().filter_map(read).collect()
    };
    let (day_first, month_first) = (read(false), read(true));
    let is_in_a_row = |days: &BTreeSet<Date>| {
        let next = days.iter().zip(days.iter().skip(1));
        days.len() > 1 && next.clone().all(|(day, next)| next.signed_duration_since(*day).num_days() <= IN_A_ROW)
    };
    match (is_in_a_row(&day_first), is_in_a_row(&month_first)) {
        _ if strokes.iter().all(|(_, first, second)| first == second) => Ok(DateOrder::DayFirst),
        (true, false) => Ok(DateOrder::DayFirst),
        (false, true) => Ok(DateOrder::MonthFirst),
        _ => Err(ImportError::TwoWays),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_hours_in_many_hands() {
        let april = Date::from_ymd_opt(2026, 4, 3);
        for text in [
            "2026-04-03",
            "2026-04-03T05:00",
            "2026-04-03T05:00:00+02:00",
            "2026/04/03 5:00",
            "03.04.2026 05:00",
            "3 Apr 2026 05:00",
            "3-Apr-26",
            "April 3, 2026 5:00 AM",
            "Fri 3 Apr 2026",
            "Friday, April 3, 2026",
        ] {
            assert_eq!(day(text).map(|(day, _)| day), april.map(Written::Day), "{text}");
        }
        assert_eq!(day("2026-04-03T05:00").and_then(|(_, hour)| hour), Some(5));
        assert_eq!(day("3/4/26").map(|(day, _)| day), Some(Written::Strokes { first: 3, second: 4, year: 2026 }));
        for text in
            ["", "soon", "2026-13-01", "31.02.2026", "1775000000", "2026-04", "Sun 3 Apr 2026", "12.04", "31 Feb"]
        {
            assert_eq!(day(text), None, "{text}");
        }
        for (text, expected) in [("12:10 AM", 0), ("12:10 pm", 12), ("3:00 PM", 15), ("23:59", 23), ("7", 7)] {
            assert_eq!(hour(text), Some(expected), "{text}");
        }
    }

    /// The 10th of May of 2026 is a Sunday.
    #[test]
    fn a_day_without_its_year_is_the_nearest_that_it_can_be() {
        let date =
            |text: &str, near: &str| day(text)?.0.date(DateOrder::DayFirst, Year::Nearest(near.parse().unwrap()));
        let may = Date::from_ymd_opt(2026, 5, 10);
        for text in ["Sun 10 May", "10.05.", "May 10", "10 May 05:00", "Sunday, 10.5."] {
            assert_eq!(date(text, "2026-05-09"), may, "{text}");
        }
        assert_eq!(day("10 May 05:00").unwrap().1, Some(5));
        assert_eq!(date("2 Jan", "2026-12-30"), Date::from_ymd_opt(2027, 1, 2));
        assert_eq!(date("Sat 10 May", "2026-05-09"), Date::from_ymd_opt(2025, 5, 10), "of last year's file");
        assert_eq!(date("Tue 10 May", "2026-05-09"), None);
    }

    #[test]
    fn days_with_strokes_are_read_in_the_order_in_which_they_follow_each_other() {
        let order = |days: &[&str], told| super::order(days.iter().map(|text| day(text).unwrap().0), told);
        let (day_first, month_first) = (Ok(DateOrder::DayFirst), Ok(DateOrder::MonthFirst));
        for (days, expected) in [
            (&["03/05/2026", "04/05/2026"][..], day_first.clone()),
            (&["05/03/2026 11:00:00 PM", "05/04/2026 12:00:00 AM", "05/04/2026 1:00:00 AM"], month_first.clone()),
            // A battery that was empty for some days; the newest first.
            (&["12-05-2026", "07-05-2026", "06-05-2026"], day_first.clone()),
            (&["03/05/2026", "13/05/2026"], day_first.clone()),
            (&["05/05/2026"], day_first.clone()),
            // Of one day nothing tells, nor of days that are as far apart either way.
            (&["03/05/2026 12:00 AM", "03/05/2026 1:00 AM"], Err(ImportError::TwoWays)),
            (&["04/05/2026", "05/04/2026"], Err(ImportError::TwoWays)),
            (&["13/04/2026", "04/13/2026"], Err(ImportError::TwoWays)),
        ] {
            assert_eq!(order(days, None), expected, "{days:?}");
        }
        assert_eq!(order(&["03/05/2026"], Some(DateOrder::MonthFirst)), month_first);
    }
}
