//! One setting in a grower's file: its value, and the line to name when it cannot be used.

use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

use super::TradeError;
use super::figure::{Provenance, Source};
use super::tables::At;

/// A settings file.
pub struct Page<'a> {
    file: Arc<str>,
    text: &'a str,
}

/// A key with its value.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    page: &'a Page<'a>,
    key: &'a Spanned<DeString<'a>>,
    value: &'a Spanned<DeValue<'a>>,
}

impl<'a> Page<'a> {
    /// A file's text, under the name it has in messages.
    #[must_use]
    pub fn new(file: &str, text: &'a str) -> Self {
        Self { file: file.into(), text }
    }

    /// Parses the whole file as TOML.
    ///
    /// # Errors
    /// When it is not TOML, with the line.
    pub fn parse(&self) -> Result<DeTable<'a>, TradeError> {
        let table = DeTable::parse(self.text);
        table.map(Spanned::into_inner).map_err(|error| self.at(error.span().unwrap_or(0..0)).error(error.message()))
    }

    /// The settings of a table in the order they are written.
    #[must_use]
    pub fn settings(&'a self, table: &'a DeTable<'a>) -> Vec<Setting<'a>> {
        let mut settings: Vec<_> = table.iter().map(|(key, value)| Setting { page: self, key, value }).collect();
        settings.sort_by_key(|setting| setting.key.span().start);
        settings
    }

    fn at(&self, span: Range<usize>) -> At {
        let before = self.text.as_bytes().iter().take(span.start);
        let line = 1 + before.filter(|byte| **byte == b'\n').count() as u64;
        At { file: self.file.clone(), line }
    }
}

impl<'a> Setting<'a> {
    /// Its key.
    #[must_use]
    pub fn name(&self) -> &'a str {
        self.key.get_ref()
    }

    pub(super) fn at(&self) -> At {
        self.page.at(self.key.span())
    }

    /// An error at this setting's line that begins with its name.
    #[must_use]
    pub fn error(&self, reason: impl std::fmt::Display) -> TradeError {
        self.at().error(format!("{}: {reason}", self.name()))
    }

    /// The settings of the table that it is, in the order they are written.
    ///
    /// # Errors
    /// When it is no table.
    pub fn settings(&self) -> Result<Vec<Self>, TradeError> {
        let table = self.value.get_ref().as_table().ok_or_else(|| self.error("a table of settings belongs here"))?;
        Ok(self.page.settings(table))
    }

    /// Its text; `None` when it is something else.
    #[must_use]
    pub fn word(&self) -> Option<&'a str> {
        self.value.get_ref().as_str()
    }

    /// Its text.
    ///
    /// # Errors
    /// When it is something else.
    pub fn text(&self) -> Result<&'a str, TradeError> {
        self.word().ok_or_else(|| self.error("a text in quotes belongs here"))
    }

    /// Its list of texts.
    ///
    /// # Errors
    /// When it is something else.
    pub fn texts(&self) -> Result<Vec<String>, TradeError> {
        let wrong = || self.error("a list of texts in quotes belongs here");
        let values = self.value.get_ref().as_array().ok_or_else(wrong)?;
        values.iter().map(|value| value.get_ref().as_str().map(str::to_owned).ok_or_else(wrong)).collect()
    }

    /// A number, or two in a list.
    pub(super) fn range(&self) -> Option<(f64, f64)> {
        match self.value.get_ref() {
            DeValue::Array(values) => match values.iter().collect::<Vec<_>>()[..] {
                [low, high] => number(low).zip(number(high)),
                _ => None,
            },
            _ => number(self.value).map(|number| (number, number)),
        }
    }

    pub(super) fn number(&self) -> Result<f64, TradeError> {
        number(self.value).ok_or_else(|| self.error("a number belongs here"))
    }

    /// A whole number from 0.
    pub(super) fn whole(&self) -> Result<u32, TradeError> {
        let number = self.number()?;
        let whole = number.fract() == 0.0 && (0.0..=1e6).contains(&number);
        if whole { Ok(number as u32) } else { Err(self.error("a whole number belongs here")) }
    }

    /// The source of figures in a table of settings: its `source`, or else the file.
    pub(super) fn source(settings: &[Self]) -> Result<Option<Source>, TradeError> {
        let Some(first) = settings.first() else { return Ok(None) };
        let stated = settings.iter().find(|setting| setting.name() == "source").map(Self::text).transpose()?;
        let citation = match stated {
            Some(text) => text.into(),
            None => first.page.file.clone(),
        };
        Ok(Some(Source { citation, provenance: Provenance::Grower }))
    }
}

fn number(value: &Spanned<DeValue<'_>>) -> Option<f64> {
    let number = match value.get_ref() {
        DeValue::Integer(whole) => i64::from_str_radix(whole.as_str(), whole.radix()).ok()? as f64,
        DeValue::Float(float) => float.as_str().parse().ok()?,
        _ => return None,
    };
    number.is_finite().then_some(number)
}
