//! The clock and the zone: the only place that reads them.

use std::time::{Duration, SystemTime, UNIX_EPOCH};

use chrono::{DateTime, Datelike as _, Days, Local, NaiveDateTime, Timelike as _, Utc};

use crate::journal::{self, Contradiction, History, State};
use crate::quantity::{Date, Moment};
use crate::store::{Books, Recorded};

use super::error::DeskError;

#[allow(clippy::disallowed_methods, reason = "the one clock of the program")]
fn instant() -> DateTime<Utc> {
    instant_at(SystemTime::now().duration_since(UNIX_EPOCH).ok())
}

/// An instant so long after the start of 1970; a clock that is set before that or past all calendars counts as it.
fn instant_at(since: Option<Duration>) -> DateTime<Utc> {
    let millis = since.and_then(|since| i64::try_from(since.as_millis()).ok());
    millis.and_then(DateTime::from_timestamp_millis).unwrap_or_default()
}

/// The hour at which a grower's day begins: what is asked or logged after midnight is still of the night that runs. Common
/// practice, no source.
const DAWN: u32 = 4;

/// An instant by the grower's clock: the day, and the hour of it, 4 to 27.
fn of_day(at: DateTime<Utc>) -> (Date, u32) {
    let local = at.with_timezone(&Local).naive_local();
    match local.hour() {
        hour if hour < DAWN => (local.date().pred_opt().unwrap_or(local.date()), hour + 24),
        hour => (local.date(), hour),
    }
}

/// The grower's day, by the local calendar.
#[must_use]
pub fn today() -> Date {
    of_day(instant()).0
}

/// The minute on the grower's clock.
#[must_use]
pub fn minute() -> NaiveDateTime {
    instant()
        .with_timezone(&Local)
        .naive_local()
        .with_second(0)
        .and_then(|time| time.with_nanosecond(0))
        .unwrap_or_default()
}

/// How far the grower's clock is ahead of UTC, in seconds.
pub(super) fn zone() -> i32 {
    instant().with_timezone(&Local).offset().local_minus_utc()
}

/// A day with the hour it is looked at, where it is today by the grower's clock.
#[must_use]
pub fn moment(on: Date) -> Moment {
    let (today, hour) = of_day(instant());
    if today == on { Moment { on, hour: Some(hour) } } else { Moment::from(on) }
}

/// What stood at the end of a day, with the hours at which temperatures were read; see [`journal::fold_until`].
pub(super) fn fold_until(history: &History, on: Date) -> (State, Vec<Contradiction>) {
    let (mut state, contradictions) = journal::fold_until(history, on);
    for reading in &mut state.readings {
        let noted = reading.by.noted_at().and_then(|at| i64::try_from(at).ok());
        let noted = noted.and_then(|at| DateTime::from_timestamp(at, 0)).map(of_day);
        reading.hour = noted.filter(|(day, _)| *day == reading.on).map(|(_, hour)| hour);
    }
    (state, contradictions)
}

/// The instant, for the record.
///
/// # Errors
/// When the clock is set before 1971 or past 2999: the day would be none that the journal can be asked for.
pub fn now() -> Result<Recorded, DeskError> {
    let now = instant();
    if !(1971..=2999).contains(&now.year()) {
        return Err(DeskError::Clock { on: today() });
    }
    // Ids are kept above the journal's greatest in any case.
    let millis = u64::try_from(now.timestamp_millis()).unwrap_or(0);
    Ok(Recorded { millis, text: now.to_rfc3339_opts(chrono::SecondsFormat::Millis, true) })
}

/// A journal may be so many days ahead of the clock: another machine stands in another zone, or was set a little fast.
const DAYS_AHEAD: u64 = 2;

/// Asks whether the clock is right where a day is today by it and the journal goes on far beyond. No act is taken that
/// is dated ahead of the clock, so either the clock is behind now or it was ahead then.
pub(super) fn doubt(books: &Books<'_>, on: Date) -> Result<Option<String>, DeskError> {
    if on != today() {
        return Ok(None);
    }
    let ahead = on.checked_add_days(Days::new(DAYS_AHEAD)).unwrap_or(on);
    let newest = books.latest_day_after(ahead)?;
    Ok(newest.map(|newest| format!("this machine says {on}, the newest entry is of {newest}: is the clock right?")))
}

/// The grower's day and hour of an instant on record; `None` when it is none.
#[must_use]
pub(super) fn local(recorded: &str) -> Option<chrono::NaiveDateTime> {
    let instant = chrono::DateTime::parse_from_rfc3339(recorded).ok()?;
    Some(instant.with_timezone(&Local).naive_local())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// After midnight the night that runs is tonight, and what is read in it is of it.
    #[test]
    fn a_growers_day_begins_at_dawn() {
        use chrono::TimeZone as _;
        let at = |hour| of_day(Local.with_ymd_and_hms(2026, 5, 16, hour, 5, 0).unwrap().with_timezone(&Utc));
        let day = |day| Date::from_ymd_opt(2026, 5, day).unwrap();
        assert_eq!((at(0), at(3)), ((day(15), 24), (day(15), 27)));
        assert_eq!((at(4), at(23)), ((day(16), 4), (day(16), 23)));
        let night = Moment { on: day(15), hour: Some(24) };
        assert!(night.is_night() && night.is_past_heat() && !night.is_morning());
    }

    #[test]
    fn no_clock_is_too_early_or_too_late_to_be_read() {
        let year = |since| instant_at(since).year();
        assert_eq!(year(None), 1970);
        assert_eq!(year(Some(Duration::MAX)), 1970);
        assert_eq!(year(Some(Duration::from_secs(1_700_000_000))), 2023);
    }
}
