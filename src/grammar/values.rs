//! Single words and numbers as option values: each read into its own type, or refused with what would do.

use thiserror::Error;

use crate::journal::{BenchSize, MOST, PlaceKind, Rest};
use crate::quantity::{
    Celsius, CropName, DateOrder, MeasureError, Millimetres, Name, Remark, Scale, TextError, Unit, UnknownWord,
    parse_length, parse_rectangle, parse_temperature, shown,
};

use super::command::ToldBy;
use super::error::GrammarError;

/// Why a value cannot be.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub(super) enum ValueError {
    /// Not a whole number in range.
    #[error("'{0}' is not a whole number from {1} to {MOST}")]
    Number(String, u32),
    /// Not a year that a packet can bear.
    #[error("'{0}' is not a year: write it as 2025")]
    Year(String),
    /// Not a temperature.
    #[error(transparent)]
    Temperature(#[from] MeasureError),
    /// Too warm for the season in degrees C.
    #[error("{0} C is warmer than this can be; write {0}F if it is Fahrenheit, {0}C if it is not")]
    Scale(String),
    /// Too small for a bench in millimetres.
    #[error("{0} mm is small for a bench; write {0}cm if it is centimetres, {0}mm if it is not")]
    Unit(String),
    /// Not one of a few words.
    #[error("'{0}' is neither {1}")]
    Either(String, &'static str),
}

/// What was counted: those up, or with a minus sign the cells with nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum UpOrGaps {
    /// Emerged ever.
    Up(u32),
    /// Cells with nothing.
    Gaps(u32),
}

/// Height above a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Headroom {
    /// Nothing is above it.
    Open,
    /// A roof, at its back and at its front.
    Under { back: Millimetres, front: Millimetres },
}

fn from(least: u32, text: &str) -> Result<u32, ValueError> {
    let number = if text.chars().all(|c| c.is_ascii_digit()) { text.parse().ok() } else { None };
    number.filter(|number| (least..=MOST).contains(number)).ok_or_else(|| ValueError::Number(shown(text), least))
}

/// A number of plants, from 1.
pub(super) fn some(text: &str) -> Result<u32, ValueError> {
    from(1, text)
}

/// A number that may be none.
pub(super) fn number(text: &str) -> Result<u32, ValueError> {
    from(0, text)
}

/// `6` up, or `-6`: six gaps.
pub(super) fn up_or_gaps(text: &str) -> Result<UpOrGaps, ValueError> {
    match text.strip_prefix('-') {
        Some(gaps) => number(gaps).map(UpOrGaps::Gaps).map_err(|_| ValueError::Number(shown(text), 0)),
        None => number(text).map(UpOrGaps::Up),
    }
}

/// The year on a packet.
pub(super) fn year(text: &str) -> Result<i32, ValueError> {
    let year = text.parse().ok().filter(|year| (1900..=2999).contains(year));
    year.ok_or_else(|| ValueError::Year(shown(text)))
}

/// A crop, to be looked up in the tables.
pub(super) fn crop(text: &str) -> Result<CropName, TextError> {
    let crop = CropName::new(text)?;
    Ok(if crop.as_str().eq_ignore_ascii_case(CropName::unknown().as_str()) { CropName::unknown() } else { crop })
}

/// A variety, or one word of a question.
pub(super) fn name(text: &str) -> Result<Name, TextError> {
    Name::new(text)
}

/// A place's name.
pub(super) fn place(text: &str) -> Result<Name, TextError> {
    Name::of_place(text)
}

/// A bed or a remark.
/// A kind of place, by its own word or as growers say it.
pub(super) fn place_kind(text: &str) -> Result<PlaceKind, UnknownWord> {
    text.parse().or_else(|unknown| {
        let said = text.trim().to_lowercase().replace(['-', '_'], " ");
        match said.as_str() {
            "open ground" => Ok(PlaceKind::Plot),
            "heated propagator" => Ok(PlaceKind::Propagator),
            _ => said.strip_prefix("unheated ").and_then(|kind| kind.parse().ok()).ok_or(unknown),
        }
    })
}

pub(super) fn remark(text: &str) -> Result<Remark, TextError> {
    Remark::new(text)
}

/// `keep` or `discard`.
pub(super) fn rest(text: &str) -> Result<Rest, ValueError> {
    match text.to_ascii_lowercase().as_str() {
        "keep" => Ok(Rest::Keep),
        "discard" => Ok(Rest::Discard),
        _ => Err(ValueError::Either(shown(text), "keep nor discard")),
    }
}

/// `lots`, `treatments` or `years`.
pub(super) fn told_by(text: &str) -> Result<ToldBy, ValueError> {
    match text.to_ascii_lowercase().as_str() {
        "lots" => Ok(ToldBy::Lots),
        "treatments" => Ok(ToldBy::Treatments),
        "years" => Ok(ToldBy::Years),
        _ => Err(ValueError::Either(shown(text), "lots, treatments nor years")),
    }
}

/// Warmest low and high believed in degrees C without a unit: a bare number above is more likely Fahrenheit.
const WARMEST_LOW: f64 = 30.0;
const WARMEST_HIGH: f64 = 45.0;

/// A temperature as it was typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Degrees {
    /// In degrees C.
    pub(super) celsius: Celsius,
    /// The unit typed after it.
    pub(super) scale: Option<Scale>,
}

/// A low of air or ground.
pub(super) fn low(text: &str) -> Result<Degrees, ValueError> {
    temperature(text, WARMEST_LOW)
}

/// A high, the air of a moment, or warm compost.
pub(super) fn high(text: &str) -> Result<Degrees, ValueError> {
    temperature(text, WARMEST_HIGH)
}

fn temperature(text: &str, warmest: f64) -> Result<Degrees, ValueError> {
    let celsius = parse_temperature(text)?;
    let scale = match text.trim().chars().last() {
        Some('F' | 'f') => Some(Scale::Fahrenheit),
        Some('C' | 'c') => Some(Scale::Celsius),
        _ => None,
    };
    if scale.is_none() && celsius.0 > warmest {
        return Err(ValueError::Scale(shown(text.trim())));
    }
    Ok(Degrees { celsius, scale })
}

/// One unit typed is enough for others in degrees C: who wrote it knows their scale. A number beside degrees F may be
/// either.
pub(super) fn unit_of(typed: impl IntoIterator<Item = Degrees>) -> Result<Unit, GrammarError> {
    let typed: Vec<Degrees> = typed.into_iter().collect();
    let has = |scale| typed.iter().any(|one| one.scale == scale);
    match typed.iter().find(|one| one.scale.is_none()) {
        None => Ok(Unit::Stated),
        Some(bare) if has(Some(Scale::Fahrenheit)) => {
            let number = bare.celsius.0;
            let why = format!("it has no unit beside degrees F: write {number}F or {number}C");
            Err(GrammarError::refused(&number.to_string(), why))
        }
        Some(_) if has(Some(Scale::Celsius)) => Ok(Unit::Stated),
        Some(_) => Ok(Unit::Taken),
    }
}

/// `C` or `F`.
pub(super) fn scale(text: &str) -> Result<Scale, ValueError> {
    match text.trim_start_matches('°').to_ascii_lowercase().as_str() {
        "c" => Ok(Scale::Celsius),
        "f" => Ok(Scale::Fahrenheit),
        _ => Err(ValueError::Either(shown(text), "C nor F")),
    }
}

/// `D/M` or `M/D`.
pub(super) fn date_order(text: &str) -> Result<DateOrder, ValueError> {
    match text.to_ascii_lowercase().as_str() {
        "d/m" | "dm" => Ok(DateOrder::DayFirst),
        "m/d" | "md" => Ok(DateOrder::MonthFirst),
        _ => Err(ValueError::Either(shown(text), "D/M nor M/D")),
    }
}

/// `on` or `off`.
pub(super) fn on_or_off(text: &str) -> Result<bool, ValueError> {
    match text.to_ascii_lowercase().as_str() {
        "on" => Ok(true),
        "off" => Ok(false),
        _ => Err(ValueError::Either(shown(text), "on nor off")),
    }
}

/// `300mm`, `400..250mm` (or `400-250mm`) from back to front, or `none`; the unit of the last serves both.
pub(super) fn headroom(text: &str) -> Result<Headroom, MeasureError> {
    if text.eq_ignore_ascii_case("none") {
        return Ok(Headroom::Open);
    }
    let span = text.split_once("..").or_else(|| text.split_once(['-', '–']));
    let Some((back, front)) = span.filter(|(back, _)| !back.trim().is_empty()) else {
        let level = parse_length(text)?;
        return Ok(Headroom::Under { back: level, front: level });
    };
    let unit = front.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ' '));
    let has_unit = back.trim_end().ends_with(|c: char| !c.is_ascii_digit());
    let back = if has_unit { parse_length(back)? } else { parse_length(&format!("{back}{unit}"))? };
    Ok(Headroom::Under { back, front: parse_length(front)? })
}

/// `1200x500mm`: along the back, then from back to front.
pub(super) fn rectangle(text: &str) -> Result<(Millimetres, Millimetres), MeasureError> {
    parse_rectangle(text)
}

/// Longest side of a bench believed in millimetres without a unit: shorter ones are more likely centimetres.
const SHORTEST_BENCH: u32 = 300;

/// The ground of a bench; a small one needs its unit.
pub(super) fn ground(text: &str) -> Result<(Millimetres, Millimetres), ValueError> {
    let (length, width) = parse_rectangle(text)?;
    let bare = text.trim().ends_with(|c: char| c.is_ascii_digit() || c == '.');
    if bare && length.max(width).0 < SHORTEST_BENCH {
        return Err(ValueError::Unit(shown(text.trim())));
    }
    Ok((length, width))
}

/// A bench from its rectangle and the height above it.
pub(super) fn bench_size((length, width): (Millimetres, Millimetres), headroom: Option<Headroom>) -> BenchSize {
    let (headroom_back, headroom_front) = match headroom {
        Some(Headroom::Under { back, front }) => (Some(back), Some(front)),
        Some(Headroom::Open) | None => (None, None),
    };
    BenchSize { length, width, headroom_back, headroom_front }
}
