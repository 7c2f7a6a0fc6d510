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

/// The grower's day, by the local calendar.
#[must_use]
pub fn today() -> Date {
    instant().with_timezone(&Local).date_naive()
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

/// A day with the hour it is looked at, where it is today by the grower's clock.
#[must_use]
pub fn moment(on: Date) -> Moment {
    let now = instant().with_timezone(&Local).naive_local();
    if now.date() == on { Moment { on, hour: Some(now.hour()) } } else { Moment::from(on) }
}

/// What stood at the end of a day, with the zone of the grower's clock; see [`journal::fold_until`].
pub(super) fn fold_until(history: &History, on: Date) -> (State, Vec<Contradiction>) {
    let (mut state, contradictions) = journal::fold_until(history, on);
    state.clock_ahead = instant().with_timezone(&Local).offset().local_minus_utc();
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

    #[test]
    fn no_clock_is_too_early_or_too_late_to_be_read() {
        let year = |since| instant_at(since).year();
        assert_eq!(year(None), 1970);
        assert_eq!(year(Some(Duration::MAX)), 1970);
        assert_eq!(year(Some(Duration::from_secs(1_700_000_000))), 2023);
    }
}
