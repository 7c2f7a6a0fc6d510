//! Rows of temperatures out of a table of anybody's: day, low, high or a temperature at a time, whose.

use std::collections::{BTreeMap, BTreeSet};

use thiserror::Error;

use super::columns::{self, Role};
use super::days::{self, Written, Year};
use super::hours::{EVENING, Hours, Unseen};
use super::unit::{Days, Seen};
use crate::quantity::{Celsius, Date, DateOrder, Name, Scale, shown};

/// Why a file of temperatures is not taken. Nothing of it is.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ImportError {
    /// No line names a column for the day and one for a temperature.
    #[error(
        "no line of it names a column for the day and one for a temperature: write `date` and `min`, `max` or `temperature` in its first line"
    )]
    NoColumns,
    /// Columns of numbers whose names do not say what they hold.
    #[error(
        "its headings do not say what {0} holds: write `min`, `max`, `temperature`, `compost` or `soil` over what is to be taken"
    )]
    Unnamed(String),
    /// Temperatures of which nothing says whether they are the lowest, the highest, or of what hour.
    #[error(
        "nothing says of what hour its temperatures are: write `min` or `max` over a column that has one a day, or give each its hour"
    )]
    NoHours,
    /// Two columns could be meant.
    #[error(
        "'{0}' and '{1}' could both be the temperature: leave one of them in the file, or head each with the name of its place"
    )]
    TwoColumns(String, String),
    /// A day that is not one.
    #[error("line {line}: '{text}' is not a day: write 2026-04-12")]
    NotADay {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        text: String,
    },
    /// Days that can be read two ways throughout.
    #[error("its days can be read two ways, day first or month first")]
    TwoWays,
    /// A figure that is no temperature of a place.
    #[error("line {line}: '{text}' cannot be the temperature of a place for plants (-60 C to 80 C)")]
    NotATemperature {
        /// The line, from 1.
        line: u64,
        /// What stands there.
        text: String,
    },
    /// A day whose low is above its high.
    #[error("{day}: the low is above the high; look which is which")]
    DayLowAboveHigh {
        /// The day.
        day: Date,
    },
    /// A low above the high.
    #[error("line {line}: the low is above the high; look which is which")]
    LowAboveHigh {
        /// The line, from 1.
        line: u64,
    },
    /// Too warm for degrees C, and nothing says which they are.
    #[error("half of its temperatures are above {0:.0}, and it does not say whether they are C or F")]
    WhichScale(f64),
    /// Degrees F beside others of which nothing says which they are.
    #[error("some of its temperatures are said to be Fahrenheit, and of others nothing says whether they are C or F")]
    UnitOfSome,
    /// Nothing in it.
    #[error("there is no temperature in it")]
    Empty,
    /// Days of a forecast of which none has both.
    #[error("no day in it has a low and a high: {0}")]
    NotBoth(&'static str),
    /// Samples of less than a night or a day.
    #[error(
        "it has samples of part of a day only: a low needs the hours from 21:00 to 7:00, a high those from 11:00 to 16:00, and one at least every 3 hours"
    )]
    NoWholeDay,
    /// Not a table or JSON at all.
    #[error("it cannot be read: {0}")]
    Broken(String),
    /// More days than a thermometer keeps.
    #[error("it holds more than {0} days: cut it to the last year")]
    TooLong(usize),
    /// A JSON of another shape.
    #[error(
        "it has no list of days with lows and highs beside it: expected arrays such as `time`, `temperature_2m_min` and `temperature_2m_max`"
    )]
    OtherShape,
}

impl ImportError {
    /// True when saying which scale it is in would do.
    #[must_use]
    pub const fn is_of_scale(&self) -> bool {
        matches!(self, Self::WhichScale(_) | Self::UnitOfSome)
    }
}

/// What is known of a file beside what stands in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside {
    /// The day it is read on: of a day without a year the nearest to it is meant, of readings the last before it.
    pub on: Date,
    /// The scale of what does not say its own.
    pub unit: Option<Scale>,
    /// Which comes first in days with strokes.
    pub order: Option<DateOrder>,
    /// The grower's places, by which columns may be headed.
    pub places: Vec<Name>,
    /// How far the grower's clock is ahead of UTC, in seconds.
    pub zone: i32,
}

/// The low and high of one day of one thermometer.
#[derive(Clone, Debug, PartialEq)]
pub struct DayOfReadings {
    /// Whose, if a column says so.
    pub place: Option<String>,
    /// The day; a low of the evening belongs to the morning after it.
    pub on: Date,
    /// The lowest.
    pub low: Option<Celsius>,
    /// The highest.
    pub high: Option<Celsius>,
    /// The mean of its compost.
    pub compost: Option<Celsius>,
    /// The mean of its soil.
    pub soil: Option<Celsius>,
    /// Why a low is left out, where it is.
    pub night: Option<Unseen>,
    /// Why a high is left out, where it is.
    pub noon: Option<Unseen>,
}

/// The most days taken from one file.
const MOST_DAYS: usize = 4_000;
/// A figure and the scale it was written in.
type Figure = (f64, Option<Scale>);

/// What is known of a day so far.
#[derive(Default)]
struct SoFar {
    low: Option<Celsius>,
    high: Option<Celsius>,
    /// True when these are of temperatures at a time.
    is_sampled: bool,
    compost: Vec<f64>,
    soil: Vec<f64>,
}

/// The mean to a tenth of a degree.
fn mean(all: &[f64]) -> Option<Celsius> {
    (!all.is_empty()).then(|| Celsius((all.iter().sum::<f64>() / all.len() as f64 * 10.0).round() / 10.0))
}

/// A row before the order of its day and the scale of its numbers are known.
struct Row {
    line: u64,
    place: Option<String>,
    day: Written,
    hour: Option<u32>,
    /// How many seconds its zone is ahead of UTC, where it has one.
    ahead: Option<i32>,
    low: Option<Figure>,
    high: Option<Figure>,
    air: Option<Figure>,
    compost: Vec<Figure>,
    soil: Vec<Figure>,
}

struct Columns {
    day: usize,
    hour: Option<usize>,
    low: Option<usize>,
    high: Option<usize>,
    air: Option<usize>,
    compost: Vec<usize>,
    soil: Vec<usize>,
    scale: Option<usize>,
    place: Option<usize>,
    /// The place that these columns are headed by.
    headed: Option<String>,
    scales: Vec<Option<Scale>>,
    /// How many seconds the zone that is said over the day or the hour is ahead of UTC.
    ahead: Option<i32>,
}

/// Reads the days in a CSV of any column names: separated by commas, semicolons or tabs, with lines above the
/// headings, in degrees C or F.
///
/// # Errors
/// When the columns cannot be told, a day or figure is not one, days or degrees could be read two ways, or nothing is
/// in it. Nothing is guessed that would change a number.
pub fn days_in_csv(text: &str, beside: &Beside) -> Result<Days<DayOfReadings>, ImportError> {
    days_in(text, beside, Year::Last(beside.on))
}

/// The same, of readings or of a forecast.
pub(super) fn days_in(text: &str, beside: &Beside, unwritten: Year) -> Result<Days<DayOfReadings>, ImportError> {
    let text = text.trim_start_matches('\u{feff}');
    let separator = separator(text);
    let mut reader = ::csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .trim(::csv::Trim::All)
        .from_reader(text.as_bytes());
    let records = reader.records().collect::<Result<Vec<_>, _>>();
    let records = records.map_err(|error| ImportError::Broken(shown(&error.to_string())))?;
    let named = records.iter().enumerate().find_map(|(at, record)| {
        let columns = headings(record, records.get(at + 1), &beside.places).transpose()?;
        Some((at + 1, columns))
    });
    let (begin, columns) = named.ok_or_else(|| unnamed(&records))?;
    let columns = columns?;
    let mut rows = Vec::new();
    for record in records.iter().skip(begin) {
        let line = record.position().map_or(0, ::csv::Position::line);
        for columns in &columns {
            rows.extend(row(record, columns, beside.unit, line)?);
        }
    }
    gathered(rows, beside, unwritten)
}

/// Why a table without headings that say enough is not taken: what its columns are called is told, and nothing guessed.
fn unnamed(records: &[::csv::StringRecord]) -> ImportError {
    let has_day = |record: &::csv::StringRecord| record.iter().any(|cell| days::day(cell).is_some());
    let Some(begin) = records.iter().position(has_day) else { return ImportError::NoColumns };
    let number = |at: &usize| records[begin].get(*at).is_some_and(|cell| columns::number(cell).is_some());
    let head = begin.checked_sub(1).and_then(|at| records.get(at));
    let names = (0..records[begin].len()).filter(|at| number(at) && days::day(&records[begin][*at]).is_none());
    let names: Vec<String> = names.filter_map(|at| Some(format!("'{}'", shown(head?.get(at)?)))).collect();
    if names.is_empty() { ImportError::NoColumns } else { ImportError::Unnamed(names.join(", ")) }
}

fn separator(text: &str) -> u8 {
    let count = |mark: char| text.lines().take(20).map(|line| line.matches(mark).count()).max().unwrap_or(0);
    // A decimal comma may outnumber the semicolons between columns, so those are looked for first.
    if count(';') > 0 {
        b';'
    } else if count('\t') > 0 {
        b'\t'
    } else {
        b','
    }
}

/// The columns by a line of headings and the line below it, those of each place where they are headed by several; `None`
/// when the line is no headings.
fn headings(
    record: &::csv::StringRecord,
    next: Option<&::csv::StringRecord>,
    places: &[Name],
) -> Result<Option<Vec<Columns>>, ImportError> {
    let headed: Vec<Option<(&Name, String)>> = record.iter().map(|head| columns::of_place(head, places)).collect();
    let named: BTreeSet<&str> = headed.iter().flatten().map(|(place, _)| place.as_str()).collect();
    if named.len() < 2 {
        // What is left of a heading without its place says what it holds.
        let heads = record.iter().zip(&headed);
        let heads: Vec<&str> = heads.map(|(head, of)| of.as_ref().map_or(head, |(_, rest)| rest.as_str())).collect();
        return Ok(columns_of(record, &heads, next)?.map(|columns| vec![columns]));
    }
    let of_one = |place: &str| {
        let heads = record.iter().zip(&headed).map(|(head, headed)| match headed {
            None => head,
            Some((of, rest)) if of.as_str() == place => rest,
            Some(_) => "",
        });
        let columns = columns_of(record, &heads.collect::<Vec<_>>(), next)?;
        Ok(columns.map(|columns| Columns { headed: Some(place.to_owned()), ..columns }))
    };
    named.into_iter().map(of_one).collect()
}

/// The columns by what stands over them, of which `heads` are the words to go by.
fn columns_of(
    record: &::csv::StringRecord,
    heads: &[&str],
    next: Option<&::csv::StringRecord>,
) -> Result<Option<Columns>, ImportError> {
    let roles: Vec<Role> = heads.iter().map(|head| columns::role(head)).collect();
    let find = |role| roles.iter().position(|known| *known == role);
    let all = |role| roles.iter().enumerate().filter(move |(_, known)| **known == role).map(|(at, _)| at);
    let two = |one: usize, two: usize| ImportError::TwoColumns(shown(&record[one]), shown(&record[two]));
    let only = |role| {
        let mut all = all(role);
        match (all.next(), all.next()) {
            (Some(one), Some(other)) => Err(two(one, other)),
            (one, _) => Ok(one),
        }
    };
    // Of compost and soil the day's mean is taken, of its lowest and highest if need be.
    let means = |role| match all(role).collect::<Vec<_>>()[..] {
        [one, other, ..] if columns::is_extreme(&record[one]) == columns::is_extreme(&record[other]) => {
            Err(two(one, other))
        }
        ref columns => Ok(columns.to_vec()),
    };
    let is_day = |cell: &str| days::day(cell).is_some();
    let below = || next.filter(|_| !record.iter().any(is_day)).and_then(|next| next.iter().position(is_day));
    let Some(day) = find(Role::Day).or_else(below) else { return Ok(None) };
    let (low, high) = (only(Role::Low)?, only(Role::High)?);
    let air = if low.is_none() && high.is_none() { only(Role::Air)? } else { None };
    // `min` beside a temperature and without a `max` may be minutes: nothing of it is guessed.
    if let (Some(low), None, Some(air)) = (low, high, find(Role::Air)) {
        return Err(two(low, air));
    }
    let (compost, soil) = (means(Role::Compost)?, means(Role::Soil)?);
    if low.or(high).or(air).is_none() && compost.is_empty() && soil.is_empty() {
        return Ok(None);
    }
    // `Date` and `time`: the second is the hour.
    let second_day = all(Role::Day).nth(1);
    let hour = find(Role::Hour).filter(|at| *at != day).or(second_day);
    Ok(Some(Columns {
        day,
        hour,
        low,
        high,
        air,
        compost,
        soil,
        scale: find(Role::Unit),
        place: find(Role::Place),
        headed: None,
        scales: heads.iter().map(|head| columns::scale(head)).collect(),
        ahead: hour.and_then(|at| columns::zone(heads[at])).or_else(|| columns::zone(heads[day])),
    }))
}

fn row(
    record: &::csv::StringRecord,
    columns: &Columns,
    unit: Option<Scale>,
    line: u64,
) -> Result<Option<Row>, ImportError> {
    let cell = |at: Option<usize>| at.and_then(|at| record.get(at)).filter(|text| !text.is_empty());
    let Some(text) = cell(Some(columns.day)) else { return Ok(None) };
    let (day, hour) = days::day(text).ok_or_else(|| ImportError::NotADay { line, text: shown(text) })?;
    let hour = cell(columns.hour).and_then(days::hour).or(hour);
    // `05:00-06:00` in a column of hours is from then to then.
    let by_the_hour = cell(columns.hour).filter(|text| !text.contains('-')).and_then(days::zone);
    let ahead = by_the_hour.or_else(|| days::zone(text)).or(columns.ahead);
    let stated = cell(columns.scale).and_then(columns::scale);
    let figure = |at: Option<usize>| -> Result<Option<Figure>, ImportError> {
        let Some(text) = cell(at) else { return Ok(None) };
        if columns::is_missing(text) {
            return Ok(None);
        }
        let wrong = || ImportError::NotATemperature { line, text: shown(text) };
        let (number, written) = columns::number(text).ok_or_else(wrong)?;
        let heading = at.and_then(|at| columns.scales.get(at).copied().flatten());
        let scale = written.or(stated).or(heading).or(unit);
        columns::degrees(number, scale.unwrap_or(Scale::Celsius))
            .or_else(|| scale.is_none().then(|| columns::degrees(number, Scale::Fahrenheit)).flatten())
            .ok_or_else(wrong)?;
        Ok(Some((number, scale)))
    };
    let (low, high, air) = (figure(columns.low)?, figure(columns.high)?, figure(columns.air)?);
    let figures = |all: &[usize]| -> Result<Vec<Figure>, ImportError> {
        all.iter().filter_map(|at| figure(Some(*at)).transpose()).collect()
    };
    let (compost, soil) = (figures(&columns.compost)?, figures(&columns.soil)?);
    if low.or(high).or(air).is_none() && compost.is_empty() && soil.is_empty() {
        return Ok(None);
    }
    let celsius = |(number, scale): Figure| columns::degrees(number, scale.unwrap_or(Scale::Celsius));
    if let (Some(low), Some(high)) = (low, high)
        && (low.1 == high.1 && low.0 > high.0 || celsius(low) > celsius(high) && low.1.is_some() && high.1.is_some())
    {
        return Err(ImportError::LowAboveHigh { line });
    }
    let place = columns.headed.clone().or_else(|| cell(columns.place).map(str::to_owned));
    Ok(Some(Row { line, place, day, hour, ahead, low, high, air, compost, soil }))
}

fn gathered(rows: Vec<Row>, beside: &Beside, unwritten: Year) -> Result<Days<DayOfReadings>, ImportError> {
    let unit = figures(&rows).unit()?;
    let order = days::order(rows.iter().map(|row| row.day), beside.order)?;
    let mut days: BTreeMap<(Option<String>, Date), SoFar> = BTreeMap::new();
    let mut twice: BTreeSet<Date> = BTreeSet::new();
    let mut hours: BTreeMap<Option<String>, Hours> = BTreeMap::new();
    for row in rows {
        let wrong_day = || ImportError::NotADay { line: row.line, text: row.day.to_string() };
        let on = row.day.date(order, unwritten).ok_or_else(wrong_day)?;
        let (on, hour) = match row.low.or(row.high) {
            Some(_) => (days::whole_day(on, row.hour, row.ahead, beside.zone), row.hour),
            None => days::turned(on, row.hour, row.ahead, beside.zone),
        };
        // What may be degrees F was let by until all of the column was seen to be degrees C.
        let celsius = |figure: Option<Figure>| -> Result<Option<Celsius>, ImportError> {
            let Some((number, scale)) = figure else { return Ok(None) };
            let celsius = columns::degrees(number, scale.unwrap_or(Scale::Celsius));
            let wrong = || ImportError::NotATemperature { line: row.line, text: number.to_string() };
            celsius.ok_or_else(wrong).map(Some)
        };
        if let (Some(_), Some(hour)) = (row.air, hour) {
            hours.entry(row.place.clone()).or_default().add(on, hour);
        }
        let evening = row.air.is_some() && hour.is_some_and(|hour| hour >= EVENING);
        let morning = if evening { on.succ_opt().unwrap_or(on) } else { on };
        if let Some(low) = celsius(row.low.or(row.air))? {
            let known = days.entry((row.place.clone(), morning)).or_default();
            if row.low.is_some() && known.low.is_some_and(|known| known != low) {
                twice.insert(morning);
            }
            known.low = Some(known.low.map_or(low, |known| Celsius(known.0.min(low.0))));
            known.is_sampled |= row.air.is_some();
        }
        if let Some(high) = celsius(row.high.or(row.air))? {
            let known = days.entry((row.place.clone(), on)).or_default();
            if row.high.is_some() && known.high.is_some_and(|known| known != high) {
                twice.insert(on);
            }
            known.high = Some(known.high.map_or(high, |known| Celsius(known.0.max(high.0))));
            known.is_sampled |= row.air.is_some();
        }
        if !row.compost.is_empty() || !row.soil.is_empty() {
            let known = days.entry((row.place.clone(), on)).or_default();
            for (all, figures) in [(&mut known.compost, &row.compost), (&mut known.soil, &row.soil)] {
                for figure in figures {
                    all.extend(celsius(Some(*figure))?.map(|celsius| celsius.0));
                }
            }
        }
    }
    if days.is_empty() {
        return Err(ImportError::Empty);
    }
    if days.len() > MOST_DAYS {
        return Err(ImportError::TooLong(MOST_DAYS));
    }
    // Of a sample without its hour nobody knows whether it is of the night or of noon.
    let without_hours = hours.is_empty() && days.values().any(|day| day.is_sampled);
    let day = |((place, on), day): ((Option<String>, Date), SoFar)| {
        let hours = hours.get(&place);
        let unseen = |of: fn(&Hours, Date) -> Option<Unseen>| match hours {
            _ if !day.is_sampled => None,
            Some(hours) => of(hours, on),
            None => Some(Unseen::InPart),
        };
        let night = day.low.and_then(|_| unseen(Hours::night));
        let noon = day.high.and_then(|_| unseen(Hours::noon));
        let low = day.low.filter(|_| night.is_none());
        let high = day.high.filter(|_| noon.is_none());
        DayOfReadings { place, on, low, high, compost: mean(&day.compost), soil: mean(&day.soil), night, noon }
    };
    let days: Vec<DayOfReadings> = days.into_iter().map(day).collect();
    match days.iter().all(|day| day.low.or(day.high).or(day.compost).or(day.soil).is_none()) {
        true if without_hours => Err(ImportError::NoHours),
        true => Err(ImportError::NoWholeDay),
        false => Ok(Days { days, unit, twice }),
    }
}

fn figures(rows: &[Row]) -> Seen {
    let air = rows.iter().flat_map(|row| [row.low, row.high, row.air]).flatten();
    air.chain(rows.iter().flat_map(|row| row.compost.iter().chain(&row.soil)).copied()).collect()
}

#[cfg(test)]
mod tests;
