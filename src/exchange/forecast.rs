//! Forecasts out of other programs' files and answers: tables, and JSON of any shape that has days with lows and highs
//! side by side.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use super::columns::{self, Role};
use super::days;
use super::hours::{EVENING, Hours};
use super::table::{Beside, DayOfReadings, ImportError, days_in_csv};
use super::unit::{Days, Seen};
use crate::quantity::{Celsius, Date, Scale, shown};

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
        let Days { days, unit, twice } = days_in_csv(text, beside)?;
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
                let rows: Vec<DayForecast> =
                    match items.iter().filter_map(|item| self.one_day(item)).collect::<Result<_, _>>() {
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
        let (_, days) = list(Role::Day)?;
        let scale = |name: &str| {
            let stated = units.and_then(|units| units.get(name)).and_then(Value::as_str).and_then(columns::scale);
            stated.or_else(|| columns::scale(name))
        };
        let days = days.iter().zip(1..);
        if let (Some((low, lows)), Some((high, highs))) = (list(Role::Low), list(Role::High)) {
            let (low, high) = (scale(low), scale(high));
            let rows =
                days.zip(lows.iter().zip(highs)).filter(|(_, (low, high))| !is_missing(low) && !is_missing(high));
            return Some(
                rows.map(|((day, line), (a, b))| {
                    let (day, _) = self.written(day, line)?;
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
            let read =
                self.written(day, line).and_then(|(day, hour)| Ok((day, hour, self.figure(value, scale, line)?)));
            let (day, hour, celsius) = match read {
                Ok(read) => read,
                Err(error) => return Some(Err(error)),
            };
            if let Some(hour) = hour {
                sampled.get_or_insert_default().add(day, hour);
            }
            let morning = if hour.is_some_and(|hour| hour >= EVENING) { day.succ_opt().unwrap_or(day) } else { day };
            nights.entry(morning).and_modify(|low| *low = low.min(celsius.0)).or_insert(celsius.0);
            highs.entry(day).and_modify(|high| *high = high.max(celsius.0)).or_insert(celsius.0);
        }
        // Where the hours begin or end within a day, or some are missing, its low or its high may lie outside them.
        let is_whole = |day| sampled.as_ref().is_none_or(|hours| hours.night(day).or(hours.noon(day)).is_none());
        let both = highs.into_iter().filter(|(day, _)| is_whole(*day)).filter_map(|(day, high)| {
            let low = *nights.get(&day)?;
            Some(DayForecast { day, low: Celsius(low.min(high)), high: Celsius(high) })
        });
        Some(Ok(both.collect()))
    }

    /// One day of a list of days; `None` when it is none.
    fn one_day<'a>(&self, item: &'a Value) -> Option<Result<DayForecast, ImportError>> {
        let fields = item.as_object()?;
        let among = |fields: &'a Map<String, Value>, role| {
            fields
                .iter()
                .find(|(name, value)| self.named.role(name) == role && (value.is_number() || value.is_string()))
        };
        let field = |role| among(fields, role);
        // `"temp": {"min": 4, "max": 14}`: a low and a high may have their own box.
        let boxed = |role| field(role).or_else(|| fields.values().find_map(|inner| among(inner.as_object()?, role)));
        let (day, low, high) = (field(Role::Day)?, boxed(Role::Low)?, boxed(Role::High)?);
        let unit = field(Role::Unit).and_then(|(_, unit)| unit.as_str()).and_then(columns::scale);
        let scale = |name: &str| unit.or_else(|| columns::scale(name));
        let read = || {
            let day = match self.stamped(day.1) {
                Some(day) => day,
                None => self.written(day.1, 1)?.0,
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

    /// A day, and its hour if it has one.
    fn written(&self, value: &Value, line: u64) -> Result<(Date, Option<u32>), ImportError> {
        let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        let read = days::day(&text).map(|(day, hour)| {
            let order = days::order(std::iter::once(day), self.beside.order)?;
            Ok(day.date(order, self.beside.on).map(|day| (day, hour)))
        });
        read.transpose()?.flatten().ok_or_else(|| ImportError::NotADay { line, text: shown(&text) })
    }
}

fn is_missing(value: &Value) -> bool {
    value.is_null() || value.as_str().is_some_and(columns::is_missing)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<DayForecast>, ImportError> {
        forecast_in(text, &Fields::default(), &Beside::default()).map(|found| found.days)
    }

    fn days(text: &str) -> Vec<(String, f64, f64)> {
        let round = |celsius: Celsius| (celsius.0 * 10.0).round() / 10.0;
        read(text).unwrap().iter().map(|day| (day.day.to_string(), round(day.low), round(day.high))).collect()
    }

    fn expected() -> Vec<(String, f64, f64)> {
        vec![("2026-04-16".to_owned(), -2.0, 11.0), ("2026-04-17".to_owned(), 0.5, 12.0)]
    }

    #[test]
    fn lists_side_by_side_and_lists_of_days() {
        for text in [
            r#"{"latitude":1,"daily_units":{"time":"iso8601","temperature_2m_min":"°C"},
               "daily":{"time":["2026-04-16","2026-04-17"],"temperature_2m_max":[11,12],"temperature_2m_min":[-2,0.5]}}"#,
            r#"{"daily_units":{"temperature_2m_min":"°F","temperature_2m_max":"°F"},
               "daily":{"time":["2026-04-16","2026-04-17"],"temperature_2m_max":[51.8,53.6],"temperature_2m_min":[28.4,32.9]}}"#,
            r#"[{"date":"2026-04-16","low":-2,"high":11},{"date":"2026-04-17","low":"0.5","high":"12 C"}]"#,
            r#"{"forecast":{"days":[{"day":"2026-04-16","min_f":28.4,"max_f":51.8},{"day":"2026-04-17","min_f":32.9,"max_f":53.6}]}}"#,
            "date;low;high\n16.04.2026;-2;11\n17.04.2026;0,5;12\n",
        ] {
            assert_eq!(days(text), expected(), "{text}");
        }
    }

    #[test]
    fn hours_become_nights_and_days() {
        let lows_and_highs = [(5, 3), (14, 11), (23, -1), (39, 12)];
        let hours = (0..48).map(|hour| {
            let told = lows_and_highs.iter().find(|(at, _)| *at == hour).map_or(6, |told| told.1);
            (format!("\"2026-04-{}T{:02}:00\"", 16 + hour / 24, hour % 24), told.to_string())
        });
        let (times, figures): (Vec<String>, Vec<String>) = hours.unzip();
        let text = format!(r#"{{"hourly":{{"time":[{}],"temperature_2m":[{}]}}}}"#, times.join(","), figures.join(","));
        assert_eq!(days(&text), [("2026-04-16".to_owned(), 3.0, 11.0), ("2026-04-17".to_owned(), -1.0, 12.0)]);
    }

    /// Sixty hours from three in the afternoon, with lows of 0 at five in the morning: of the first day and the last there is
    /// a part only, which would call their nights warm.
    #[test]
    fn the_ragged_ends_of_hours_are_no_days() {
        let begun = Date::from_ymd_opt(2026, 4, 10).unwrap().and_hms_opt(15, 0, 0).unwrap();
        let hours = |many: i64| {
            let at = (0..many).map(|hour| begun + chrono::TimeDelta::hours(hour));
            let (times, figures): (Vec<String>, Vec<String>) = at
                .map(|at| {
                    let hour = f64::from(chrono::Timelike::hour(&at));
                    let celsius = 6.0 - 6.0 * ((hour - 5.0) / 24.0 * std::f64::consts::TAU).cos();
                    (format!("\"{}\"", at.format("%Y-%m-%dT%H:%M")), format!("{celsius:.1}"))
                })
                .unzip();
            read(&format!(r#"{{"time":[{}],"temperature_2m":[{}]}}"#, times.join(","), figures.join(",")))
        };
        for many in [58, 60] {
            let days: Vec<_> = hours(many).unwrap().iter().map(|day| (day.day.to_string(), day.low.0)).collect();
            assert_eq!(days, [("2026-04-11".to_owned(), 0.0), ("2026-04-12".to_owned(), 0.0)], "{many}");
        }
        assert_eq!(hours(6), Err(ImportError::Empty));
    }

    #[test]
    fn other_shapes_are_one_clear_line() {
        assert_eq!(read("{}"), Err(ImportError::OtherShape));
        assert_eq!(read(r#"{"error":true,"reason":"no"}"#), Err(ImportError::OtherShape));
        assert!(matches!(read("{\"daily\":"), Err(ImportError::Broken(_))));
        assert!(matches!(read(&"[".repeat(1_000_000)), Err(ImportError::Broken(_))));
        assert_eq!(read("<html>busy</html>"), Err(ImportError::NoColumns));
        let list = |low: &str, high: &str| format!(r#"[{{"date":"2026-04-16","low":{low},"high":{high}}}]"#);
        assert!(matches!(read(&list("-80", "3")), Err(ImportError::NotATemperature { .. })));
        assert!(matches!(read(&list("9", "3")), Err(ImportError::DayLowAboveHigh { .. })));
        assert!(matches!(read(&list("\"\\u001b[2J\"", "3")), Err(ImportError::NotATemperature { .. })));
        let nothing = r#"{"time":["2026-04-16"],"min":[null],"max":[3]}"#;
        assert_eq!(read(nothing), Err(ImportError::Empty));
        let no_figure = nothing.replace("null", r#""n/a""#);
        assert_eq!(read(&no_figure), Err(ImportError::Empty));
        let lacking = |text: &str| read(text).unwrap_err().to_string();
        assert!(lacking("date,high\n2026-05-10,14\n2026-05-11,15\n").contains("the lows are missing"));
        assert!(lacking("date,low\n2026-05-10,4\n2026-05-11,5\n").contains("the highs are missing"));
        assert!(lacking("date,low,high\n2026-05-10,4,n/a\n2026-05-11,,15\n").contains("needs both"));
    }

    /// Days stamped at noon or at midnight by the clock of the garden, which is put on an hour on the 29th; and hours that have a
    /// box of their own, of which none is a day.
    #[test]
    fn days_may_be_stamped_and_have_their_figures_in_a_box() {
        let list = |stamps: &[i64]| {
            let day = |at: &i64| format!(r#"{{"dt":{at},"temp":{{"day":9,"min":4,"max":14}},"wind":3}}"#);
            format!(r#"{{"list":[{}]}}"#, stamps.iter().map(day).collect::<Vec<_>>().join(","))
        };
        let at = |text: &str| text.parse::<chrono::DateTime<chrono::Utc>>().unwrap().timestamp();
        for (zone, stamps) in [
            (0, ["2026-03-28T12:00:00Z", "2026-03-30T12:00:00Z"]),
            (1, ["2026-03-27T23:00:00Z", "2026-03-29T22:00:00Z"]),
            (-5, ["2026-03-28T05:00:00Z", "2026-03-30T04:00:00Z"]),
            (12, ["2026-03-28T00:00:00Z", "2026-03-30T00:00:00Z"]),
        ] {
            let beside = Beside { zone: zone * 3600, ..Beside::default() };
            let found = forecast_in(&list(&stamps.map(at)), &Fields::default(), &beside).unwrap().days;
            let days: Vec<_> = found.iter().map(|day| (day.day.to_string(), day.low.0, day.high.0)).collect();
            assert_eq!(days, [("2026-03-28".to_owned(), 4.0, 14.0), ("2026-03-30".to_owned(), 4.0, 14.0)], "{zone}");
        }
        let by_three_hours: Vec<i64> = (0..8).map(|step| 1_778_414_400 + step * 10_800).collect();
        assert_eq!(read(&list(&by_three_hours)), Err(ImportError::OtherShape));
    }

    #[test]
    fn a_day_that_stands_twice_is_told_where_it_differs() {
        for text in [
            "date,low,high\n2026-05-11,4,14\n2026-05-11,6,15\n2026-05-12,6,14\n2026-05-12,6,14\n",
            r#"[{"date":"2026-05-11","low":4,"high":14},{"date":"2026-05-11","low":6,"high":15},
                {"date":"2026-05-12","low":6,"high":14},{"date":"2026-05-12","low":6,"high":14}]"#,
        ] {
            assert_eq!(days(text), [("2026-05-11".to_owned(), 4.0, 15.0), ("2026-05-12".to_owned(), 6.0, 14.0)]);
            let found = forecast_in(text, &Fields::default(), &Beside::default()).unwrap();
            assert_eq!(Vec::from_iter(found.twice), [Date::from_ymd_opt(2026, 5, 11).unwrap()], "{text}");
        }
    }

    #[test]
    fn a_grower_can_say_what_an_answer_calls_things() {
        let text = r#"{"v":{"t":["2026-04-16","2026-04-17"],"tn":[28.4,32.9],"tx":[51.8,53.6],"temp_min":[1,1]}}"#;
        assert_eq!(read(text), Err(ImportError::OtherShape));
        let some = |text: &str| Some(text.to_owned());
        let named = Fields { day: some("t"), low: some("TN"), high: some("tx") };
        let beside = Beside { unit: Some(Scale::Fahrenheit), ..Beside::default() };
        let days = forecast_in(text, &named, &beside).unwrap().days;
        let round = |celsius: Celsius| (celsius.0 * 10.0).round() / 10.0;
        let days: Vec<_> = days.iter().map(|day| (day.day.to_string(), round(day.low), round(day.high))).collect();
        assert_eq!(days, expected());
        // Without the unit it is asked for.
        let warm = text.replace("28.4,32.9", "38,40");
        assert_eq!(forecast_in(&warm, &named, &Beside::default()), Err(ImportError::WhichScale(33.0)));
    }

    proptest::proptest! {
        #[test]
        fn no_text_stops_it(text in r#"[\[\]{}:,"a-z0-9 -]{0,200}"#) {
            let _ = read(&text);
        }
    }
}
