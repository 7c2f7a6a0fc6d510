//! Forecasts out of other programs' files and answers: tables, and JSON of any shape that has days with lows and highs
//! side by side.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use super::columns::{self, Role};
use super::days::{self, Year};
use super::hours::{EVENING, Hours};
use super::table::{self, Beside, DayOfReadings, ImportError};
use super::unit::{Days, Seen};
use crate::quantity::{Celsius, Date, DateOrder, Scale, shown};

/// What an answer calls its days, lows and highs, where the grower says so; what is `None` is told from the names as they
/// are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fields {
    /// The days.
    pub day: Option<String>,
    /// The lows.
    pub low: Option<String>,
    /// The highs.
    pub high: Option<String>,
}

impl Fields {
    /// What a field is about by its name.
    fn role(&self, name: &str) -> Role {
        let said = [(&self.day, Role::Day), (&self.low, Role::Low), (&self.high, Role::High)];
        let is = |wanted: &&String| wanted.eq_ignore_ascii_case(name);
        if let Some((_, role)) = said.iter().find(|(wanted, _)| wanted.as_ref().is_some_and(|wanted| is(&wanted))) {
            return *role;
        }
        // A name that was said to be something leaves no other in its place.
        let role = columns::role(name);
        if said.iter().any(|(wanted, taken)| wanted.is_some() && *taken == role) { Role::Other } else { role }
    }
}

/// One day's forecast of outside air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayForecast {
    /// The day; its low is that of the night before.
    pub day: Date,
    /// The low.
    pub low: Celsius,
    /// The high, not below the low.
    pub high: Celsius,
}

/// Reads the days in a forecast: JSON if it begins as JSON does, else a table.
///
/// JSON may hold lists side by side, as open weather services answer (`time`, `temperature_2m_min`,
/// `temperature_2m_max`, or hours with `temperature_2m`), or a list of days each with its low and high. Degrees
/// F are told from a field of units beside the lists.
///
/// # Errors
/// When it is broken, of another shape, holds figures that cannot be, or has no day with both low and high.
pub fn forecast_in(text: &str, named: &Fields, beside: &Beside) -> Result<Days<DayForecast>, ImportError> {
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let Days { days, unit, mut twice } = if text.starts_with(['{', '[']) {
        let value: Value =
            serde_json::from_str(text).map_err(|error| ImportError::Broken(shown(&error.to_string())))?;
        Reader { named, beside, seen: RefCell::default() }.all_in(&value)?
    } else {
        let Days { days, unit, twice } = table::days_in(text, beside, Year::Nearest(beside.on))?;
        let both = |day: &DayOfReadings| Some(DayForecast { day: day.on, low: day.low?, high: day.high? });
        let found: Vec<DayForecast> = days.iter().filter_map(both).collect();
        if found.is_empty() {
            return Err(ImportError::NotBoth(lacking(&days)));
        }
        Days { days: found, unit, twice }
    };
    if let Some(wrong) = days.iter().find(|day| day.low > day.high) {
        return Err(ImportError::DayLowAboveHigh { day: wrong.day });
    }
    let mut by_day: BTreeMap<Date, DayForecast> = BTreeMap::new();
    for day in days {
        let known = by_day.entry(day.day).or_insert(day);
        if *known != day {
            twice.insert(day.day);
            (known.low, known.high) = (Celsius(known.low.0.min(day.low.0)), Celsius(known.high.0.max(day.high.0)));
        }
    }
    let days: Vec<DayForecast> = by_day.into_values().collect();
    if days.is_empty() { Err(ImportError::Empty) } else { Ok(Days { days, unit, twice }) }
}

/// What a table lacks in which no day has both.
fn lacking(days: &[DayOfReadings]) -> &'static str {
    match (days.iter().any(|day| day.low.is_some()), days.iter().any(|day| day.high.is_some())) {
        (false, true) => "the lows are missing, and it is those that are asked for at night",
        (true, false) => "the highs are missing",
        _ => "a forecast needs both, side by side",
    }
}

type At = (Date, Option<u32>, Option<i32>);
type Found = Result<Vec<DayForecast>, ImportError>;

/// Reads one JSON.
struct Reader<'a> {
    named: &'a Fields,
    beside: &'a Beside,
    /// The figures that were read.
    seen: RefCell<Seen>,
}

impl Reader<'_> {
    fn all_in(self, value: &Value) -> Result<Days<DayForecast>, ImportError> {
        let days = self.in_json(value, None).ok_or(ImportError::OtherShape)??;
        Ok(Days { days, unit: self.seen.into_inner().unit()?, twice: BTreeSet::new() })
    }

    /// A temperature in the scale that its field states, if it does not say another itself.
    fn figure(&self, value: &Value, stated: Option<Scale>, line: u64) -> Result<Celsius, ImportError> {
        let number = match value {
            Value::Number(number) => number.as_f64().map(|number| (number, None)),
            Value::String(text) => columns::number(text),
            _ => None,
        };
        let celsius = number.and_then(|(number, written)| {
            let scale = written.or(stated).or(self.beside.unit);
            self.seen.borrow_mut().add(number, scale);
            columns::degrees(number, scale.unwrap_or(Scale::Celsius))
        });
        celsius.ok_or_else(|| ImportError::NotATemperature { line, text: shown(&value.to_string()) })
    }

    /// The first lists of days found, lows and highs before hours; `None` when there are none.
    fn in_json(&self, value: &Value, units: Option<&Map<String, Value>>) -> Option<Found> {
        match value {
            Value::Object(fields) => {
                let daily = || self.side_by_side(fields, units);
                let deeper = || {
                    let inner = fields.iter().filter(|(_, value)| value.is_object() || value.is_array());
                    let mut found = inner.filter_map(|(name, value)| {
                        let units =
                            fields.get(&format!("{name}_units")).or(fields.get("units")).and_then(Value::as_object);
                        self.in_json(value, units)
                    });
                    let first = found.next();
                    // Days are better than hours where a service answers with both.
                    first.into_iter().chain(found).max_by_key(|found| found.as_ref().map_or(0, Vec::len))
                };
                daily().or_else(deeper)
            }
            Value::Array(items) => {
                let days = items.iter().filter_map(|item| self.field(item.as_object()?, Role::Day));
                let read = self.order(days.map(|(_, day)| day)).and_then(|order| {
                    items.iter().filter_map(|item| self.one_day(item, order)).collect::<Result<Vec<_>, _>>()
                });
                let rows = match read {
                    Ok(rows) => rows,
                    Err(error) => return Some(Err(error)),
                };
                let is_of_hours = rows.windows(3).any(|three| three.iter().all(|row| row.day == three[0].day));
                if is_of_hours {
                    Some(Err(ImportError::OtherShape))
                } else if rows.is_empty() {
                    items.iter().take(50).find_map(|item| self.in_json(item, units))
                } else {
                    Some(Ok(rows))
                }
            }
            _ => None,
        }
    }

    /// Lists of the same length in one object: days, and lows and highs, or temperatures by the hour.
    fn side_by_side(&self, fields: &Map<String, Value>, units: Option<&Map<String, Value>>) -> Option<Found> {
        let list = |role| {
            let mut named = fields.iter().filter(|(name, value)| self.named.role(name) == role && value.is_array());
            named.next().and_then(|(name, value)| Some((name.as_str(), value.as_array()?)))
        };
        let (named, days) = list(Role::Day)?;
        let zone = columns::zone(named);
        let scale = |name: &str| {
            let stated = units.and_then(|units| units.get(name)).and_then(Value::as_str).and_then(columns::scale);
            stated.or_else(|| columns::scale(name))
        };
        let order = match self.order(days.iter()) {
            Ok(order) => order,
            Err(error) => return Some(Err(error)),
        };
        let days = days.iter().zip(1..);
        if let (Some((low, lows)), Some((high, highs))) = (list(Role::Low), list(Role::High)) {
            let (low, high) = (scale(low), scale(high));
            let rows =
                days.zip(lows.iter().zip(highs)).filter(|(_, (low, high))| !is_missing(low) && !is_missing(high));
            return Some(
                rows.map(|((day, line), (a, b))| {
                    let (day, hour, ahead) = self.written(day, line, order)?;
                    let day = days::whole_day(day, hour, ahead.or(zone), self.beside.zone);
                    Ok(DayForecast { day, low: self.figure(a, low, line)?, high: self.figure(b, high, line)? })
                })
                .collect(),
            );
        }
        let (name, air) = list(Role::Air)?;
        let scale = scale(name);
        let mut nights: BTreeMap<Date, f64> = BTreeMap::new();
        let mut highs: BTreeMap<Date, f64> = BTreeMap::new();
        let mut sampled: Option<Hours> = None;
        for ((day, line), value) in days.zip(air).filter(|(_, value)| !is_missing(value)) {
            let read = self.written(day, line, order).and_then(|at| Ok((at, self.figure(value, scale, line)?)));
            let ((day, hour, ahead), celsius) = match read {
                Ok(read) => read,
                Err(error) => return Some(Err(error)),
            };
            let (day, hour) = days::turned(day, hour, ahead.or(zone), self.beside.zone);
            if let Some(hour) = hour {
                sampled.get_or_insert_default().add(day, hour);
            }
            let morning = if hour.is_some_and(|hour| hour >= EVENING) { day.succ_opt().unwrap_or(day) } else { day };
            nights.entry(morning).and_modify(|low| *low = low.min(celsius.0)).or_insert(celsius.0);
            highs.entry(day).and_modify(|high| *high = high.max(celsius.0)).or_insert(celsius.0);
        }
        let Some(sampled) = sampled else {
            return (!nights.is_empty()).then_some(Err(ImportError::NoHours));
        };
        // Where the hours begin or end within a day, or some are missing, its low or its high may lie outside them.
        let is_whole = |day| sampled.night(day).or(sampled.noon(day)).is_none();
        let both = highs.into_iter().filter(|(day, _)| is_whole(*day)).filter_map(|(day, high)| {
            let low = *nights.get(&day)?;
            Some(DayForecast { day, low: Celsius(low.min(high)), high: Celsius(high) })
        });
        Some(Ok(both.collect()))
    }

    /// The first field of a role that holds one figure or word.
    fn field<'a>(&self, fields: &'a Map<String, Value>, role: Role) -> Option<(&'a String, &'a Value)> {
        let is_one = |value: &Value| value.is_number() || value.is_string();
        fields.iter().find(|(name, value)| self.named.role(name) == role && is_one(value))
    }

    /// Which comes first in the days of a list, as all of them tell.
    fn order<'a>(&self, days: impl Iterator<Item = &'a Value>) -> Result<DateOrder, ImportError> {
        days::order(days.filter_map(|day| Some(days::day(day.as_str()?)?.0)), self.beside.order)
    }

    /// One day of a list of days; `None` when it is none.
    fn one_day(&self, item: &Value, order: DateOrder) -> Option<Result<DayForecast, ImportError>> {
        let fields = item.as_object()?;
        let day = self.field(fields, Role::Day)?;
        let both = |fields| Some((self.field(fields, Role::Low)?, self.field(fields, Role::High)?));
        // `"temp": {"min": 4, "max": 14}`: a low and a high may have their own box, which says what they are of.
        let boxed = || {
            let boxes = fields.iter().filter(|(name, _)| columns::may_be_air(name));
            let boxes = boxes.filter_map(|(name, inner)| Some((name.as_str(), both(inner.as_object()?)?)));
            let (of_degrees, others): (Vec<_>, Vec<_>) =
                boxes.partition(|(name, (low, _))| columns::is_of_degrees(name) || columns::is_of_degrees(low.0));
            if of_degrees.is_empty() { others } else { of_degrees }
        };
        let (around, (low, high)) = match both(fields) {
            Some(both) => ("", both),
            None => match boxed()[..] {
                [] => return None,
                [one] => one,
                [(one, _), (other, _), ..] => {
                    return Some(Err(ImportError::TwoColumns(shown(one), shown(other))));
                }
            },
        };
        let unit = self.field(fields, Role::Unit).and_then(|(_, unit)| unit.as_str()).and_then(columns::scale);
        let scale = |name: &str| unit.or_else(|| columns::scale(name)).or_else(|| columns::scale(around));
        let read = || {
            let day = match self.stamped(day.1) {
                Some(day) => day,
                None => {
                    let (on, hour, ahead) = self.written(day.1, 1, order)?;
                    days::whole_day(on, hour, ahead.or(columns::zone(day.0)), self.beside.zone)
                }
            };
            Ok(DayForecast {
                day,
                low: self.figure(low.1, scale(low.0), 1)?,
                high: self.figure(high.1, scale(high.0), 1)?,
            })
        };
        Some(read())
    }

    /// The day of an instant in seconds since 1970, by the grower's clock. Services stamp a day at its noon or its midnight; an
    /// hour is added, for clocks may be put on before then.
    fn stamped(&self, value: &Value) -> Option<Date> {
        let seconds = value.as_i64().filter(|seconds| (1_000_000_000..10_000_000_000).contains(seconds))?;
        Some(chrono::DateTime::from_timestamp(seconds + i64::from(self.beside.zone) + 3600, 0)?.date_naive())
    }

    /// A day, and its hour and the seconds that its zone is ahead of UTC if it has them.
    fn written(&self, value: &Value, line: u64, order: DateOrder) -> Result<At, ImportError> {
        let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        let read = days::day(&text)
            .and_then(|(day, hour)| Some((day.date(order, Year::Nearest(self.beside.on))?, hour, days::zone(&text))));
        read.ok_or_else(|| ImportError::NotADay { line, text: shown(&text) })
    }
}

fn is_missing(value: &Value) -> bool {
    value.is_null() || value.as_str().is_some_and(columns::is_missing)
}

#[cfg(test)]
mod tests;
