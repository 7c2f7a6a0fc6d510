//! The answer to "why": how an opinion was come by.

use crate::quantity::Date;
use crate::trade::{Figure, Provenance, Source};

/// How an opinion was come by, for the grower who asks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Why {
    /// The formula or rule in words.
    pub formula: String,
    /// What went into it.
    pub inputs: Vec<Input>,
    /// Who says so, each with how far it can be traced.
    pub sources: Vec<Source>,
    /// How far it may be out, in plain words.
    pub doubt: String,
    /// What would change it.
    pub changes: String,
}

/// One thing that went into an opinion.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// What it is.
    pub what: &'static str,
    /// Its value, with its unit.
    pub value: String,
    /// The day it was seen or noted; `None` for a figure of the tables.
    pub on: Option<Date>,
}

impl Why {
    pub(super) fn new(formula: impl Into<String>) -> Self {
        Self { formula: formula.into(), ..Self::default() }
    }

    pub(super) fn doubt(mut self, words: impl Into<String>) -> Self {
        self.doubt = words.into();
        self
    }

    pub(super) fn changes(mut self, words: impl Into<String>) -> Self {
        self.changes = words.into();
        self
    }

    /// Adds what was seen on a day.
    pub(super) fn seen(mut self, what: &'static str, value: impl ToString, on: Date) -> Self {
        self.inputs.push(Input { what, value: value.to_string(), on: Some(on) });
        self
    }

    /// Adds a value without a day.
    pub(super) fn given(mut self, what: &'static str, value: impl ToString) -> Self {
        self.inputs.push(Input { what, value: value.to_string(), on: None });
        self
    }

    /// Adds a figure of the tables with its source.
    pub(super) fn figure<T: ToString + PartialEq>(self, what: &'static str, figure: &Figure<T>) -> Self {
        let value = if figure.low == figure.high {
            figure.low.to_string()
        } else {
            format!("{} to {}", figure.low.to_string(), figure.high.to_string())
        };
        self.given(what, value).source(figure.source.clone())
    }

    /// Adds a source, once.
    pub(super) fn source(mut self, source: Source) -> Self {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
        self
    }

    /// Adds what another opinion that this one rests on was come by with.
    pub(super) fn and(mut self, other: &Self) -> Self {
        self.inputs.extend(other.inputs.iter().cloned());
        other.sources.iter().cloned().fold(self, Self::source)
    }

    /// Adds a rule of practice that is nobody's in print.
    pub(super) fn practice(self, rule: &str) -> Self {
        let citation = format!("{rule}: common practice, no source");
        self.source(Source { citation: citation.into(), provenance: Provenance::Practice })
    }

    /// Adds a published work.
    pub(super) fn published(self, citation: &str) -> Self {
        self.source(Source { citation: citation.into(), provenance: Provenance::Published })
    }
}
