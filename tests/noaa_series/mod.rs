//! The NOAA daily series kept in tests/data, read for several test files.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use thumbpot::quantity::{Celsius, Date};
use thumbpot::science::day_range::DayRange;

/// The days of one place, `Seattle` or `NewYork`, in order.
pub(crate) fn days(location: &str) -> Vec<(Date, DayRange)> {
    rows(include_str!("../data/noaa_daily_seattle_newyork_2012_2015.csv"))
        .into_iter()
        .filter(|row| row[0] == location)
        .map(|row| {
            let (low, high) = (row[2].parse().unwrap(), row[3].parse().unwrap());
            (row[1].parse().unwrap(), DayRange::new(Celsius(low), Celsius(high)).unwrap())
        })
        .collect()
}

/// The rows of a table with a heading line; lines that begin with `#` are its source.
pub(crate) fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}
