//! What a column or field of somebody else's file is about, told from its name; and the degrees in it.

use super::days;
use crate::quantity::{Celsius, Name, Scale};

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
/// Words for the time of something: a column that has one beside `min` or `max` says when those were.
const TIME: &[&str] = &["time", "zeit", "heure", "hora", "ora", "tijd"];
const DEGREES: &[&str] = &["temp", "celsius", "fahrenheit", "°c", "°f"];
const LOWEST: &[&str] = &["min", "mín", "low", "tief", "niedrig", "laagst"];
const HIGHEST: &[&str] = &["max", "máx", "high", "höch", "hoech", "hoogst"];

/// Words of a span of time, which `min` is an abbreviation of too.
const TIME_SPAN: &[&str] = &["minute", "elapsed", "duration", "uptime", "runtime", "minuut", "minuto"];

/// True when a name says that the figure is the lowest, or the highest, of its time.
pub(super) fn is_extreme(name: &str) -> (bool, bool) {
    let name = of_no_room(name);
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    (has(LOWEST), has(HIGHEST))
}

/// True when a name says that it is of temperatures.
pub(super) fn is_of_degrees(name: &str) -> bool {
    DEGREES.iter().any(|word| plain(name).contains(word))
}

/// True unless a name says that what it stands over is no temperature, or none of the air.
pub(super) fn may_be_air(name: &str) -> bool {
    !matches!(role(name), Role::Compost | Role::Soil) && !NOT_AIR.iter().any(|word| of_no_room(name).contains(word))
}

/// In small letters, with the degree sign that some write as one character with its letter, or as an ordinal, as it is.
fn plain(text: &str) -> String {
    text.to_lowercase().replace('\u{2103}', "°c").replace('\u{2109}', "°f").replace('\u{ba}', "°")
}

/// In small letters, without the words of a room for plants that hold a word for something else: `wind`, `high`, `low`.
fn of_no_room(name: &str) -> String {
    plain(name).replace("window", "pane").replace("high tunnel", "tunnel").replace("low tunnel", "tunnel")
}

/// True of a cell that says that there is no figure.
pub(super) fn is_missing(text: &str) -> bool {
    let bare: String = text.to_lowercase().chars().filter(|c| !matches!(c, '/' | '.' | '#' | ' ')).collect();
    let is_dashes = bare.chars().all(|c| matches!(c, '-' | '\u{2013}' | '\u{2014}'));
    is_dashes || matches!(bare.as_str(), "na" | "null" | "nan" | "none" | "nil" | "missing")
}

/// What a column is about by its name; names of every maker's are met, so whole words are not asked for.
pub(super) fn role(name: &str) -> Role {
    let name = of_no_room(name);
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    let mut words = name.split(|c: char| !c.is_alphanumeric());
    let bare = without_zone(without_scale(&name));
    let is = |words: &[&str]| words.contains(&bare);
    if has(NOT_AIR) {
        Role::Other
    } else if is(&["unit", "units", "scale"]) {
        Role::Unit
    } else if name.starts_with("time of") {
        Role::Hour
    } else if has(&["date", "timestamp", "datum", "fecha", "horodat", "zeitstempel"])
        // `day low` is the low of a day.
        || words.any(|word| word == "day") && !(has(LOWEST) || has(HIGHEST) || has(DEGREES))
        || is(&["time", "when", "dt", "data", "jour", "tag", "dag"])
    {
        Role::Day
    } else if has(&["hour", "clock", "uhrzeit"])
        || is(&["zeit", "heure", "hora", "ora", "tijd"])
        || name.starts_with("time")
    {
        Role::Hour
    } else if name.split(|c: char| !c.is_alphanumeric()).any(|word| TIME.contains(&word))
        && (has(LOWEST) || has(HIGHEST))
    {
        Role::Other
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

/// The place that a column is headed by, and what the rest of its name says it is: `frame` and `min` of `Frame min`;
/// `None` when it begins with no place's name, or goes on to something that is no temperature.
pub(super) fn of_place<'a>(name: &str, places: &'a [Name]) -> Option<(&'a Name, String)> {
    let name = plain(name);
    let rest = |place: &Name| {
        let rest = name.strip_prefix(&plain(place.as_str()))?;
        (!rest.starts_with(char::is_alphanumeric)).then(|| rest.trim_matches([' ', '_', '-', ':', '/']).to_owned())
    };
    let longest = places.iter().filter_map(|place| Some((place, rest(place)?)));
    let (place, rest) = longest.min_by_key(|(_, rest)| rest.len())?;
    // A scale alone, or nothing, is the air's.
    let rest = if rest.is_empty() || scale(&rest).is_some() && role(&rest) == Role::Other {
        format!("temperature {rest}")
    } else {
        rest
    };
    let is_temperature = matches!(role(&rest), Role::Low | Role::High | Role::Air | Role::Compost | Role::Soil);
    is_temperature.then_some((place, rest))
}

/// A name without what stands behind it for its scale: `air` of `air (f)` and `air degf`.
fn without_scale(name: &str) -> &str {
    let name = name.trim();
    let cut = name.rfind([' ', '(', '[']).filter(|at| *at > 0 && scale(&name[*at..]).is_some());
    cut.map_or(name, |at| name[..at].trim_end_matches(['(', '[', ' ']).trim())
}

/// Where a name says that what stands under it is by UTC.
fn utc_at(name: &str) -> Option<usize> {
    let is_word = |at: &usize| {
        !name[..*at].ends_with(char::is_alphanumeric) && !name[at + 3..].starts_with(char::is_alphanumeric)
    };
    ["utc", "gmt"].iter().filter_map(|zone| name.find(zone)).find(is_word)
}

/// A name without the zone behind it: `time` of `time (utc)` and of `time, gmt+02:00`.
fn without_zone(name: &str) -> &str {
    let cut = utc_at(name).filter(|at| *at > 0);
    cut.map_or(name, |at| name[..at].trim_end_matches(|c: char| !c.is_alphanumeric()))
}

/// How many seconds the hours under a name are ahead of UTC, where it says so: `Time (UTC)`, `Time, GMT+02:00`.
pub(super) fn zone(name: &str) -> Option<i32> {
    let name = plain(name);
    let at = utc_at(&name)?;
    Some(days::offset(&name[at + 3..]).unwrap_or(0))
}

/// The scale a name or a unit states: `Temp (°F)`, `fahrenheit`, `C`.
pub(super) fn scale(text: &str) -> Option<Scale> {
    let text = plain(text.trim());
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
            ("Min time", Role::Other),
            ("Tmax_time", Role::Other),
            ("Tag", Role::Day),
            ("Tiefstwert (°C)", Role::Low),
            ("Höchstwert", Role::High),
            ("frame \u{2103}", Role::Air),
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
        assert_eq!(number("6.8\u{2103}"), Some((6.8, Some(Scale::Celsius))));
        assert_eq!(number("44 \u{2109}"), Some((44.0, Some(Scale::Fahrenheit))));
        assert_eq!(number("6,8 \u{ba}C"), Some((6.8, Some(Scale::Celsius))));
        for missing in ["", "-", "---", "\u{2013}", "n/a", "N/A", "NA", "#N/A", "n.a.", "NaN", "null"] {
            assert!(is_missing(missing), "{missing}");
        }
        assert!(!is_missing("-1") && !is_missing("0") && !is_missing("cold"));
        assert_eq!(number("--"), None);
        assert_eq!(number("4 mm"), None);
    }
}
