//! What a column or field of somebody else's file is about, told from its name; and the days and degrees in it.

use crate::quantity::{Celsius, Date, Scale};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// A day, with or without the hour.
    Day,
    /// The hour alone, beside a column of days.
    Hour,
    /// A low.
    Low,
    /// A high.
    High,
    /// A temperature at a time.
    Air,
    /// Compost, at any time.
    Compost,
    /// The ground, at any time.
    Soil,
    /// `C` or `F`.
    Unit,
    /// Which thermometer or place.
    Place,
    /// Nothing of use here.
    Other,
}

/// Words that mark a figure as no temperature of a place, in the languages loggers are sold in.
const NOT_AIR: &[&str] = &[
    "humid",
    "dew",
    "batter",
    "volt",
    "signal",
    "rssi",
    "pressure",
    "apparent",
    "feels",
    "wind",
    "rain",
    "precip",
    "probab",
    "radiation",
    "moist",
    "lux",
    "co2",
    "grass",
    "feucht",
    "taupunkt",
    "druck",
    "spannung",
    "batter",
    "niederschlag",
    "vocht",
    "press",
    "presi",
    "humed",
    "umid",
    "bater",
    "rosée",
    "rocío",
];
/// Compost and its like, and the ground.
const COMPOST: &[&str] = &["compost", "kompost", "substrat", "terreau", "potting mix", "growing medium", "root zone"];
const SOIL: &[&str] = &["soil", "ground temp", "boden", "bodem", "erde", "suelo", "suolo", "du sol"];
const DEGREES: &[&str] = &["temp", "celsius", "fahrenheit", "°c", "°f"];
const LOWEST: &[&str] = &["min", "mín", "low", "tief", "niedrig", "laagst"];
const HIGHEST: &[&str] = &["max", "máx", "high", "höch", "hoech", "hoogst"];

/// Words of a span of time, which `min` is an abbreviation of too.
const TIME_SPAN: &[&str] = &["minute", "elapsed", "duration", "uptime", "runtime", "minuut", "minuto"];

/// True when a name says that the figure is the lowest, or the highest, of its time.
pub(super) fn is_extreme(name: &str) -> (bool, bool) {
    let name = name.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    (has(LOWEST), has(HIGHEST))
}

/// What a column is about by its name; names of every maker's are met, so whole words are not asked for.
pub(super) fn role(name: &str) -> Role {
    let name = name.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    let bare = without_scale(&name);
    let is = |words: &[&str]| words.contains(&bare);
    if has(NOT_AIR) {
        Role::Other
    } else if is(&["unit", "units", "scale"]) {
        Role::Unit
    } else if name.starts_with("time of") {
        Role::Hour
    } else if has(&["date", "timestamp", "day", "datum", "fecha", "horodat", "zeitstempel"])
        || is(&["time", "when", "dt", "time (utc)", "data", "jour"])
    {
        Role::Day
    } else if has(&["hour", "clock", "uhrzeit"])
        || is(&["zeit", "heure", "hora", "ora", "tijd"])
        || name.starts_with("time")
    {
        Role::Hour
    } else if has(COMPOST) {
        Role::Compost
    } else if has(SOIL) || is(&["ground"]) {
        Role::Soil
    } else if has(TIME_SPAN) {
        // `5 minute temp` is none of a day's lows.
        if has(DEGREES) { Role::Air } else { Role::Other }
    } else if has(LOWEST) {
        Role::Low
    } else if has(HIGHEST) {
        Role::High
    } else if has(DEGREES) || is(&["air", "t", "c", "f", "value", "reading"]) {
        Role::Air
    } else if has(&["place", "location", "sensor", "device", "channel", "probe", "name", "station"]) {
        Role::Place
    } else {
        Role::Other
    }
}

/// A name without what stands behind it for its scale: `air` of `air (f)` and `air degf`.
fn without_scale(name: &str) -> &str {
    let name = name.trim();
    let cut = name.rfind([' ', '(', '[']).filter(|at| *at > 0 && scale(&name[*at..]).is_some());
    cut.map_or(name, |at| name[..at].trim_end_matches(['(', '[', ' ']).trim())
}

/// The scale a name or a unit states: `Temp (°F)`, `fahrenheit`, `C`.
pub(super) fn scale(text: &str) -> Option<Scale> {
    let text = text.trim().to_lowercase();
    let words: Vec<&str> = text.split([' ', '_']).collect();
    let ends = |letter: &str| {
        text == letter
            || words.contains(&format!("deg{letter}").as_str())
            || words.windows(2).any(|pair| pair == ["deg", letter])
            || ["°", "(", "[", "_", " ", "(deg", "[deg", "_deg", " deg", "(deg ", "[deg "].iter().any(|mark| {
                let marked = format!("{mark}{letter}");
                text.ends_with(&marked) || text.contains(&format!("{marked})")) || text.contains(&format!("{marked}]"))
            })
    };
    if text.contains("fahrenheit") || text.contains("°f") || ends("f") {
        Some(Scale::Fahrenheit)
    } else if text.contains("celsius") || text.contains("°c") || ends("c") {
        Some(Scale::Celsius)
    } else {
        None
    }
}

/// A temperature in a scale, if it is one that a place for plants can have.
pub(super) fn degrees(number: f64, scale: Scale) -> Option<Celsius> {
    let celsius = match scale {
        Scale::Celsius => number,
        Scale::Fahrenheit => (number - 32.0) / 1.8,
    };
    (-60.0..=80.0).contains(&celsius).then_some(Celsius(celsius))
}

/// A number with a point or a comma, and the scale written after it, if any.
pub(super) fn number(text: &str) -> Option<(f64, Option<Scale>)> {
    let text = text.trim().replace(',', ".").replace('\u{2212}', "-");
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(text.len());
    let number: f64 = text[..end].parse().ok().filter(|number: &f64| number.is_finite())?;
    let unit = text[end..].trim();
    if unit.is_empty() { Some((number, None)) } else { Some((number, Some(scale(unit)?))) }
}

/// A day as written: year first, or `12.04.2026` with the day first, or three numbers with strokes whose order the
/// rest of the file has to tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    Day(Date),
    Strokes { first: u32, second: u32, year: i32 },
}

/// Reads a day and the hour behind it, if there is one.
pub(super) fn day(text: &str) -> Option<(Written, Option<u32>)> {
    let text = text.trim();
    if let Some(named) = with_month_named(text) {
        return Some(named);
    }
    let (date, rest) = text.split_at(text.find(['T', ' ', 't']).unwrap_or(text.len()));
    let hour = hour(rest.trim_start_matches(['T', 't', ' ']));
    let fields: Vec<u32> = date.split(['-', '/', '.']).map(str::parse).collect::<Result<_, _>>().ok()?;
    let [first, second, third] = fields[..] else { return None };
    if date.split(['-', '/', '.']).next()?.len() == 4 {
        let day = Date::from_ymd_opt(i32::try_from(first).ok()?, second, third)?;
        return Some((Written::Day(day), hour));
    }
    let year = i32::try_from(if third < 100 { third + 2000 } else { third }).ok()?;
    if date.contains('.') {
        return Some((Written::Day(Date::from_ymd_opt(year, second, first)?), hour));
    }
    Some((Written::Strokes { first, second, year }, hour))
}

/// `3 Apr 2026 05:00`, `3-Apr-26`, `Apr 3, 2026`: only a month that is named.
fn with_month_named(text: &str) -> Option<(Written, Option<u32>)> {
    let mut words = text.split([' ', '-', '/', ',', '.']).filter(|word| !word.is_empty());
    let three = [words.next()?, words.next()?, words.next()?];
    let month = three.iter().find_map(|word| word.parse::<chrono::Month>().ok())?.number_from_month();
    let mut numbers = three.iter().filter_map(|word| word.parse::<u32>().ok());
    let (day, year) = (numbers.next()?, numbers.next()?);
    let year = i32::try_from(if year < 100 { year + 2000 } else { year }).ok()?;
    let rest: Vec<&str> = words.collect();
    Some((Written::Day(Date::from_ymd_opt(year, month, day)?), hour(&rest.join(" "))))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_known_by_many_names() {
        for (name, expected) in [
            ("Date", Role::Day),
            ("Timestamp for sample frequency every 15 min", Role::Day),
            ("time", Role::Day),
            ("Time of day", Role::Hour),
            ("temperature_2m_min", Role::Low),
            ("Low (°F)", Role::Low),
            ("High Temp", Role::High),
            ("Temperature_Celsius", Role::Air),
            ("Relative_Humidity", Role::Other),
            ("apparent_temperature_max", Role::Other),
            ("Sensor name", Role::Place),
            ("Unit", Role::Unit),
            ("Notes", Role::Other),
            ("compost temp min", Role::Compost),
            ("Soil Temp (10cm)", Role::Soil),
            ("soil moisture", Role::Other),
            ("Bodentemperatur", Role::Soil),
            ("Grass min", Role::Other),
            ("Datum", Role::Day),
            ("Horodatage", Role::Day),
            ("Temperatur", Role::Air),
            ("Température", Role::Air),
            ("Feuchte", Role::Other),
            ("Humidité", Role::Other),
            ("Luftdruck", Role::Other),
            ("Temp. mínima", Role::Low),
            ("minutes", Role::Other),
            ("Elapsed min", Role::Other),
            ("duration (min)", Role::Other),
            ("5 minute temp", Role::Air),
            ("Air (F)", Role::Air),
            ("Air degF", Role::Air),
            ("Ground (F)", Role::Soil),
            ("Ground", Role::Soil),
            ("Ground floor sensor", Role::Place),
        ] {
            assert_eq!(role(name), expected, "{name}");
        }
    }

    #[test]
    fn scales_are_read_where_they_are_stated() {
        for (text, expected) in [
            ("Temp (°F)", Some(Scale::Fahrenheit)),
            ("temperature_c", Some(Scale::Celsius)),
            ("Tmin (degF)", Some(Scale::Fahrenheit)),
            ("Air temp degF", Some(Scale::Fahrenheit)),
            ("Air temp degF min", Some(Scale::Fahrenheit)),
            ("min deg C of the air", Some(Scale::Celsius)),
            ("Tmax [deg C]", Some(Scale::Celsius)),
            ("degf", Some(Scale::Fahrenheit)),
            ("Temp [C]", Some(Scale::Celsius)),
            ("F", Some(Scale::Fahrenheit)),
            ("low", None),
            ("brief", None),
        ] {
            assert_eq!(scale(text), expected, "{text}");
        }
        assert_eq!(number("3,5"), Some((3.5, None)));
        assert_eq!(number("64 F"), Some((64.0, Some(Scale::Fahrenheit))));
        assert_eq!(number("--"), None);
        assert_eq!(number("4 mm"), None);
    }

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
        ] {
            assert_eq!(day(text).map(|(day, _)| day), april.map(Written::Day), "{text}");
        }
        assert_eq!(day("2026-04-03T05:00").and_then(|(_, hour)| hour), Some(5));
        assert_eq!(day("3/4/26").map(|(day, _)| day), Some(Written::Strokes { first: 3, second: 4, year: 2026 }));
        for text in ["", "soon", "2026-13-01", "31.02.2026", "1775000000", "2026-04"] {
            assert_eq!(day(text), None, "{text}");
        }
        for (text, expected) in [("12:10 AM", 0), ("12:10 pm", 12), ("3:00 PM", 15), ("23:59", 23), ("7", 7)] {
            assert_eq!(hour(text), Some(expected), "{text}");
        }
    }
}
