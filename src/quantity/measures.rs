//! Lengths, areas, volumes, temperatures and shares, and the ways a grower writes them.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What is wrong with a written measure.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum MeasureError {
    /// The text is not a number with a known unit.
    #[error("'{text}' is not {expected}")]
    NotAMeasure {
        /// What was typed.
        text: String,
        /// What would have been understood, with an example.
        expected: &'static str,
    },
    /// The number is outside what can be.
    #[error("{text} is out of range: {range}")]
    OutOfRange {
        /// What was typed.
        text: String,
        /// The range, in words.
        range: &'static str,
    },
}

/// A length in whole millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Millimetres(pub u32);

/// An area in square millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SquareMillimetres(pub u64);

/// A volume in whole millilitres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Millilitres(pub u32);

/// A temperature in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Celsius(pub f64);

/// A share between nothing (0) and all (1).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Share(pub f64);

impl Millimetres {
    /// The area of a rectangle of this length and `width`.
    #[must_use]
    pub fn by(self, width: Self) -> SquareMillimetres {
        SquareMillimetres(u64::from(self.0) * u64::from(width.0))
    }
}

impl fmt::Display for Millimetres {
    /// Writes `60 mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

impl fmt::Display for Millilitres {
    /// Writes `270 ml`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ml", self.0)
    }
}

impl fmt::Display for SquareMillimetres {
    /// Writes square metres to two places: `0.34 m2`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Areas of benches are far below 2^53 mm2, so the conversion loses nothing that shows at two places.
        write!(f, "{:.2} m2", self.0 as f64 / 1e6)
    }
}

impl fmt::Display for Celsius {
    /// Writes one decimal place: `4.5 C`; nothing below zero is never `-0.0 C`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let degrees = if (-0.05..=0.0).contains(&self.0) { 0.0 } else { self.0 };
        write!(f, "{degrees:.1} C")
    }
}

impl fmt::Display for Share {
    /// Writes whole per cent: `75 %`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} %", self.0 * 100.0)
    }
}

impl Add for SquareMillimetres {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sum for SquareMillimetres {
    fn sum<I: Iterator<Item = Self>>(areas: I) -> Self {
        areas.fold(Self(0), Add::add)
    }
}

impl SquareMillimetres {
    /// What is left of this area after `taken`, never below nothing.
    #[must_use]
    pub fn less(self, taken: Self) -> Self {
        Self(self.0.saturating_sub(taken.0))
    }
}

const LENGTH: &str = "a length: write 60mm, 6cm, 1.2m or 4in";
const RECTANGLE: &str = "a size: write length x width, as 1200x500mm or 1.2x0.5m";
const TEMPERATURE: &str = "a temperature: write 18C, 18 or 64F";
const SHARE: &str = "a share: write 85% or 0.85";

fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(text.len());
    let number: f64 = text[..end].parse().ok()?;
    number.is_finite().then(|| (number, text[end..].trim()))
}

fn millimetres_in(unit: &str) -> Option<f64> {
    match unit {
        "mm" | "" => Some(1.0),
        "cm" => Some(10.0),
        "m" => Some(1000.0),
        "in" | "\"" => Some(25.4),
        _ => None,
    }
}

/// Parses a length such as `60mm`, `6 cm`, `1.2m` or `4in`; a bare number is millimetres.
///
/// # Errors
/// When the text is not such a length, or it is not between 1 mm and 100 m.
pub fn parse_length(text: &str) -> Result<Millimetres, MeasureError> {
    let wrong = || MeasureError::NotAMeasure { text: text.to_owned(), expected: LENGTH };
    let (number, unit) = split_number(text).ok_or_else(wrong)?;
    let unit = unit.to_ascii_lowercase();
    in_range(text, number * millimetres_in(&unit).ok_or_else(wrong)?)
}

fn in_range(text: &str, millimetres: f64) -> Result<Millimetres, MeasureError> {
    let rounded = millimetres.round();
    if !(1.0..=100_000.0).contains(&rounded) {
        return Err(MeasureError::OutOfRange { text: text.to_owned(), range: "from 1 mm to 100 m" });
    }
    Ok(Millimetres(rounded as u32))
}

/// Parses `1200x500mm`, `1.2x0.5m` or `48in x 20in` into length and width; a unit on the last number serves both.
///
/// # Errors
/// When the text is not two lengths with an `x` between them, or one is out of range.
pub fn parse_rectangle(text: &str) -> Result<(Millimetres, Millimetres), MeasureError> {
    let wrong = || MeasureError::NotAMeasure { text: text.to_owned(), expected: RECTANGLE };
    let (first, second) = text.split_once(['x', 'X', '*']).ok_or_else(wrong)?;
    let (length, first_unit) = split_number(first).ok_or_else(wrong)?;
    let (width, second_unit) = split_number(second).ok_or_else(wrong)?;
    let second_unit = second_unit.to_ascii_lowercase();
    let first_unit = if first_unit.is_empty() { second_unit.clone() } else { first_unit.to_ascii_lowercase() };
    let length = length * millimetres_in(&first_unit).ok_or_else(wrong)?;
    let width = width * millimetres_in(&second_unit).ok_or_else(wrong)?;
    Ok((in_range(text, length)?, in_range(text, width)?))
}

/// A decimal comma as a point: one comma with a digit before it and one or two behind, and no point.
fn with_a_point(text: &str) -> String {
    let is_decimal = text.split_once(',').is_some_and(|(whole, rest)| {
        let behind = rest.chars().take_while(char::is_ascii_digit).count();
        whole.ends_with(|c: char| c.is_ascii_digit()) && (1..=2).contains(&behind) && !rest.contains(',')
    });
    if is_decimal && !text.contains('.') { text.replacen(',', ".", 1) } else { text.to_owned() }
}

/// Parses `18C`, `18`, `-3.5c`, `3,5` or `64F` into degrees Celsius.
///
/// # Errors
/// When the text is not such a temperature, or it lies outside -60 to 80 C, where no place for plants is.
pub fn parse_temperature(text: &str) -> Result<Celsius, MeasureError> {
    let wrong = || MeasureError::NotAMeasure { text: text.to_owned(), expected: TEMPERATURE };
    let pointed = with_a_point(text);
    let (number, unit) = split_number(&pointed).ok_or_else(wrong)?;
    let celsius = match unit.trim_start_matches('°') {
        "" | "C" | "c" => number,
        "F" | "f" => (number - 32.0) / 1.8,
        _ => return Err(wrong()),
    };
    if !(-60.0..=80.0).contains(&celsius) {
        return Err(MeasureError::OutOfRange { text: text.to_owned(), range: "from -60 C to 80 C" });
    }
    Ok(Celsius(celsius))
}

/// Whether temperatures came with their unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// They did.
    Stated,
    /// They did not: they are taken to be in degrees C.
    Taken,
}

/// The scale that a temperature from elsewhere is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// Degrees C.
    Celsius,
    /// Degrees F.
    Fahrenheit,
}

/// Parses `85%` or `0.85` into a share.
///
/// # Errors
/// When the text is not such a share or it is not between 0 and 1.
pub fn parse_share(text: &str) -> Result<Share, MeasureError> {
    let wrong = || MeasureError::NotAMeasure { text: text.to_owned(), expected: SHARE };
    let (number, unit) = split_number(text).ok_or_else(wrong)?;
    let share = match unit {
        "%" => number / 100.0,
        "" => number,
        _ => return Err(wrong()),
    };
    if !(0.0..=1.0).contains(&share) {
        return Err(MeasureError::OutOfRange { text: text.to_owned(), range: "from 0 % to 100 %" });
    }
    Ok(Share(share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_in_every_unit_the_grower_uses() {
        for (text, millimetres) in [("60mm", 60), ("6cm", 60), ("1.2m", 1200), ("4in", 102), ("60", 60), (" 6 CM ", 60)]
        {
            assert_eq!(parse_length(text), Ok(Millimetres(millimetres)), "{text}");
        }
        for text in ["", "mm", "six", "-3mm", "0mm", "1e9m", "101m", "NaN", "4ft"] {
            assert!(parse_length(text).is_err(), "{text}");
        }
    }

    #[test]
    fn one_unit_serves_both_sides() {
        assert_eq!(parse_rectangle("1200x500mm"), Ok((Millimetres(1200), Millimetres(500))));
        assert_eq!(parse_rectangle("1.2 x 0.5 m"), Ok((Millimetres(1200), Millimetres(500))));
        assert_eq!(parse_rectangle("48in x 20in"), Ok((Millimetres(1219), Millimetres(508))));
        assert!(parse_rectangle("1200").is_err());
        assert!(parse_rectangle("0x500mm").is_err());
    }

    #[test]
    fn temperatures_and_shares() {
        assert_eq!(parse_temperature("64.4F"), Ok(Celsius((64.4 - 32.0) / 1.8)));
        assert_eq!(parse_temperature("-3"), Ok(Celsius(-3.0)));
        assert!(parse_temperature("-80").is_err());
        for (text, celsius) in [("3,5", 3.5), ("-3,25C", -3.25), ("10,0 c", 10.0)] {
            assert_eq!(parse_temperature(text), Ok(Celsius(celsius)), "{text}");
        }
        for text in ["3,5,1", "1,000", "3,", ",5", "1,2.5", "3, 5"] {
            assert!(parse_temperature(text).is_err(), "{text}");
        }
        assert_eq!(parse_share("85%"), Ok(Share(0.85)));
        assert_eq!(parse_share("0.85"), Ok(Share(0.85)));
        assert!(parse_share("85").is_err());
    }
}
