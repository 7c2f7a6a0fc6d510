//! Writing the log out for other programs: csv for spreadsheets, json for anything that is to lose nothing. Reading
//! what other programs wrote: thermometers' tables, and forecasts.
//!
//! Pure over what is handed in, but for [`NewFile`], which puts what was written on the disk, and [`fetch()`], which asks
//! a weather service. It knows no SQL.

mod columns;
mod csv;
mod days;
mod fetch;
mod file;
mod forecast;
mod hours;
mod json;
pub mod svg;
mod table;
mod text;
mod unit;

use std::path::Path;

pub use self::csv::{CsvLog, CsvRow};
pub use fetch::{CAN_FETCH, FetchError, Patience, address, fetch};
pub use file::NewFile;
pub use forecast::{DayForecast, Fields, forecast_in};
pub use hours::Unseen;
pub use json::{JsonLog, LogAct};
pub use table::{Beside, DayOfReadings, ImportError, days_in_csv};
pub use text::decoded;
pub use unit::Days;

/// A format that the log is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Comma-separated values, RFC 4180: one row per entry.
    Csv,
    /// JSON, RFC 8259: the whole log.
    Json,
}

impl Format {
    /// The format that a file's ending names, in either case.
    #[must_use]
    pub fn of(path: &Path) -> Option<Self> {
        let ending = path.extension()?.to_str()?;
        let named = |word: &str| ending.eq_ignore_ascii_case(word);
        if named("csv") {
            Some(Self::Csv)
        } else if named("json") {
            Some(Self::Json)
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_names_the_format() {
        assert_eq!(Format::of(Path::new("log.csv")), Some(Format::Csv));
        assert_eq!(Format::of(Path::new("a.b/LOG.JSON")), Some(Format::Json));
        for other in ["log", "log.xlsx", ".csv", "log.csv.gz", "csv"] {
            assert_eq!(Format::of(Path::new(other)), None, "{other}");
        }
    }
}
