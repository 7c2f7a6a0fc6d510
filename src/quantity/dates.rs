//! The ways a grower writes a day, read in the direction they are looking.

use chrono::{Datelike, NaiveDate, TimeDelta, Weekday};
use thiserror::Error;

/// Which comes first in days written with strokes, as in `3/4/2026`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// The day: the 3rd of April.
    DayFirst,
    /// The month: the 4th of March.
    MonthFirst,
}

/// A day without its year that comes within so many days was more likely a slip than one of a year ago. Common practice, no
/// source.
const SOON: i64 = 60;
/// No day but the 29th of February was last so many days ago.
const LEAP_YEAR: i64 = 366;

/// Which way a written day without a year, or a weekday, points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Looking {
    /// Something done: `mon` is the last Monday, `12 apr` the latest one not after today.
    Back,
    /// Something planned: `mon` is the next Monday, `12 apr` the first one not before today.
    Ahead,
}

/// What is wrong with a written day.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum DateError {
    /// `1/4` is the first of April to one grower and the fourth of January to another.
    #[error("'{0}' can be read two ways: write 1 apr or 2026-04-01")]
    Ambiguous(String),
    /// Not a day at all.
    #[error("'{0}' is not a day: write 2026-04-12, today, yesterday, -3d, mon or 12 apr")]
    NotADay(String),
    /// The month has no such day, or the year is out of range.
    #[error("'{0}' is not in the calendar")]
    NotInCalendar(String),
    /// A day without its year that is soon to come, where one that has been was to be written.
    #[error("'{text}' is still to come: write {last} if it was then")]
    ToCome {
        /// What was written.
        text: String,
        /// The latest such day that has been.
        last: NaiveDate,
    },
    /// The 29th of February without its year, where the last one is over a year ago.
    #[error("'{text}' was last in {}: write {last} if it was then", last.year())]
    LongAgo {
        /// What was written.
        text: String,
        /// The latest such day.
        last: NaiveDate,
    },
}

/// Reads a day: `2026-04-12`, `today`, `yesterday`, `tomorrow`, `-3d`, `+2w`, `3 days ago`, `mon`, `12 apr`,
/// `12 apr 2026` or `apr 12`.
///
/// # Errors
/// When the text is not a day, is not in the calendar, or could be read two ways.
pub fn parse_date(text: &str, today: NaiveDate, looking: Looking) -> Result<NaiveDate, DateError> {
    let lower = text.trim().to_lowercase();
    let not_a_day = || DateError::NotADay(text.trim().to_owned());
    let missing = || DateError::NotInCalendar(text.trim().to_owned());
    match lower.as_str() {
        "today" | "now" => return Ok(today),
        "yesterday" => return today.pred_opt().ok_or_else(missing),
        "tomorrow" => return today.succ_opt().ok_or_else(missing),
        _ => {}
    }
    if let Some(days) = offset(&lower) {
        let moved = TimeDelta::try_days(days).and_then(|span| today.checked_add_signed(span));
        return moved.filter(|date| (1900..=2999).contains(&date.year())).ok_or_else(missing);
    }
    if let Ok(weekday) = lower.parse::<Weekday>() {
        return nearest_weekday(today, weekday, looking).ok_or_else(missing);
    }
    if lower.contains('/') || (lower.contains('.') && lower.chars().all(|c| c.is_ascii_digit() || c == '.')) {
        return Err(DateError::Ambiguous(text.trim().to_owned()));
    }
    if let Some((year, rest)) = lower.split_once('-') {
        let (month, day) = rest.split_once('-').ok_or_else(not_a_day)?;
        let all_digits = [year, month, day].iter().all(|s| !s.is_empty() && s.chars().all(|c| c.is_ascii_digit()));
        if !all_digits || year.len() != 4 {
            return Err(not_a_day());
        }
        return on(number(year), number(month), number(day)).ok_or_else(missing);
    }
    day_and_month(&lower, today, looking, not_a_day, missing)
}

fn number(text: &str) -> u32 {
    text.parse().unwrap_or(u32::MAX)
}

fn on(year: u32, month: u32, day: u32) -> Option<NaiveDate> {
    let year = i32::try_from(year).ok().filter(|year| (1900..=2999).contains(year))?;
    NaiveDate::from_ymd_opt(year, month, day)
}

/// Days of `-3d`, `+2w`, `3 days ago`, `in 2 weeks`.
fn offset(text: &str) -> Option<i64> {
    let (text, sign) = if let Some(rest) = text.strip_prefix('-') {
        (rest, -1)
    } else if let Some(rest) = text.strip_prefix('+').or_else(|| text.strip_prefix("in ")) {
        (rest, 1)
    } else {
        (text.strip_suffix("ago")?, -1)
    };
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit())?;
    let count: i64 = text[..end].parse().ok()?;
    let unit = match text[end..].trim() {
        "d" | "day" | "days" => 1,
        "w" | "week" | "weeks" => 7,
        _ => return None,
    };
    count.checked_mul(unit)?.checked_mul(sign)
}

fn nearest_weekday(today: NaiveDate, weekday: Weekday, looking: Looking) -> Option<NaiveDate> {
    let ahead = i64::from(weekday.num_days_from_monday()) - i64::from(today.weekday().num_days_from_monday());
    let days = match looking {
        Looking::Back => -(-ahead).rem_euclid(7),
        Looking::Ahead => ahead.rem_euclid(7),
    };
    today.checked_add_signed(TimeDelta::try_days(days)?)
}

fn day_and_month(
    text: &str,
    today: NaiveDate,
    looking: Looking,
    not_a_day: impl Fn() -> DateError,
    missing: impl Fn() -> DateError,
) -> Result<NaiveDate, DateError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let (day, month, year) = match words.as_slice() {
        [a, b] if a.starts_with(|c: char| c.is_ascii_digit()) => (*a, *b, None),
        [a, b] => (*b, *a, None),
        [a, b, c] if a.starts_with(|c: char| c.is_ascii_digit()) => (*a, *b, Some(*c)),
        [a, b, c] => (*b, *a, Some(*c)),
        _ => return Err(not_a_day()),
    };
    let day: u32 = day.trim_end_matches(char::is_alphabetic).parse().map_err(|_| not_a_day())?;
    let month = month.parse::<chrono::Month>().map_err(|_| not_a_day())?.number_from_month();
    if let Some(year) = year {
        return on(year.parse().map_err(|_| not_a_day())?, month, day).ok_or_else(missing);
    }
    let mut soon = false;
    // The 29th of February may be up to eight years away.
    for years in 0..=8 {
        let year = match looking {
            Looking::Back => today.year() - years,
            Looking::Ahead => today.year() + years,
        };
        let Some(date) = NaiveDate::from_ymd_opt(year, month, day) else { continue };
        if looking == Looking::Back && date > today && date.signed_duration_since(today).num_days() <= SOON {
            soon = true;
        }
        if soon && date <= today {
            return Err(DateError::ToCome { text: text.to_owned(), last: date });
        }
        if looking == Looking::Back && today.signed_duration_since(date).num_days() > LEAP_YEAR {
            return Err(DateError::LongAgo { text: text.to_owned(), last: date });
        }
        if (looking == Looking::Back && date <= today) || (looking == Looking::Ahead && date >= today) {
            return Ok(date);
        }
    }
    Err(missing())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn days_are_read_in_the_direction_the_grower_looks() {
        let today = day("2026-04-15"); // a Wednesday
        let back = [
            ("2026-04-12", "2026-04-12"),
            ("today", "2026-04-15"),
            ("yesterday", "2026-04-14"),
            ("-3d", "2026-04-12"),
            ("-2w", "2026-04-01"),
            ("3 days ago", "2026-04-12"),
            ("mon", "2026-04-13"),
            ("wed", "2026-04-15"),
            ("thursday", "2026-04-09"),
            ("12 apr", "2026-04-12"),
            ("apr 12", "2026-04-12"),
            ("16 jun", "2025-06-16"),
            ("12th april 2024", "2024-04-12"),
        ];
        for (text, expected) in back {
            assert_eq!(parse_date(text, today, Looking::Back), Ok(day(expected)), "{text}");
        }
        let in_a_leap_year = parse_date("29 feb", day("2028-03-10"), Looking::Back);
        assert_eq!(in_a_leap_year, Ok(day("2028-02-29")));
        assert_eq!(parse_date("29 feb", day("2029-02-20"), Looking::Back), Ok(day("2028-02-29")));
        assert_eq!(parse_date("mon", today, Looking::Ahead), Ok(day("2026-04-20")));
        assert_eq!(parse_date("12 apr", today, Looking::Ahead), Ok(day("2027-04-12")));
    }

    #[test]
    fn doubtful_days_are_refused() {
        let today = day("2026-04-15");
        for text in ["1/4", "01.04.", "1/4/2026"] {
            assert!(matches!(parse_date(text, today, Looking::Back), Err(DateError::Ambiguous(_))), "{text}");
        }
        for text in ["31 feb", "2026-02-30", "-99999999999d", "2026-13-01", "9999-01-01"] {
            assert!(matches!(parse_date(text, today, Looking::Back), Err(DateError::NotInCalendar(_))), "{text}");
        }
        for (text, last) in [("16 apr", "2025-04-16"), ("june 14", "2025-06-14")] {
            let error = DateError::ToCome { text: text.to_owned(), last: day(last) };
            assert_eq!(parse_date(text, today, Looking::Back), Err(error));
        }
        let error = DateError::LongAgo { text: "29 feb".to_owned(), last: day("2024-02-29") };
        assert_eq!(error.to_string(), "'29 feb' was last in 2024: write 2024-02-29 if it was then");
        assert_eq!(parse_date("29 feb", today, Looking::Back), Err(error));
        for text in ["", "soon", "12", "-", "12 apr 2026 noon", "2026-4", "26-04-01"] {
            assert!(matches!(parse_date(text, today, Looking::Back), Err(DateError::NotADay(_))), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_text_can_stop_the_reader(text in ".{0,40}") {
            let _ = parse_date(&text, day("2026-04-15"), Looking::Back);
            let _ = parse_date(&text, day("2026-04-15"), Looking::Ahead);
        }
    }
}
