//! The clock and the zone: the only place that reads them.

use chrono::{Local, NaiveDateTime, Timelike as _, Utc};

use crate::quantity::Date;
use crate::store::Recorded;

/// The grower's day, by the local calendar.
#[must_use]
#[allow(clippy::disallowed_methods, reason = "the one clock of the program")]
pub fn today() -> Date {
    Local::now().date_naive()
}

/// The minute on the grower's clock.
#[must_use]
#[allow(clippy::disallowed_methods, reason = "the one clock of the program")]
pub fn minute() -> NaiveDateTime {
    Local::now().naive_local().with_second(0).and_then(|time| time.with_nanosecond(0)).unwrap_or_default()
}

/// The instant, for the record.
#[must_use]
#[allow(clippy::disallowed_methods, reason = "the one clock of the program")]
pub fn now() -> Recorded {
    let now = Utc::now();
    Recorded {
        // A clock set before 1970 counts as 1970: ids are kept above the journal's greatest in any case.
        millis: u64::try_from(now.timestamp_millis()).unwrap_or(0),
        text: now.to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
    }
}

/// The grower's day and hour of an instant on record; `None` when it is none.
#[must_use]
pub(super) fn local(recorded: &str) -> Option<chrono::NaiveDateTime> {
    let instant = chrono::DateTime::parse_from_rfc3339(recorded).ok()?;
    Some(instant.with_timezone(&Local).naive_local())
}
