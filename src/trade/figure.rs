//! A figure and who says so.

use std::fmt;
use std::sync::Arc;

use serde::Deserialize;

/// How far a figure can be traced.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// Printed in the source named, or worked out from figures printed there.
    Published,
    /// Worked out by geometry from a length of the source named: a cube's volume from its edge.
    Computed,
    /// Common practice of growers, without a printed source.
    Practice,
    /// The source named exists but is quoted from memory.
    Memory,
    /// Set by the grower.
    #[serde(skip)]
    Grower,
}

impl fmt::Display for Provenance {
    /// Writes `published`, `computed`, `common practice`, `from memory` or `your own figure`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Published => "published",
            Self::Computed => "computed",
            Self::Practice => "common practice",
            Self::Memory => "from memory",
            Self::Grower => "your own figure",
        })
    }
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The published work, or words such as "common practice, no source".
    pub citation: Arc<str>,
    /// How far it can be traced.
    pub provenance: Provenance,
}

impl fmt::Display for Source {
    /// Writes the citation, and the provenance in brackets unless the figure was read in print.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.provenance {
            Provenance::Published => f.write_str(&self.citation),
            // What says so itself need not be told twice.
            Provenance::Practice if self.citation.contains("common practice") => f.write_str(&self.citation),
            other => write!(f, "{} ({other})", self.citation),
        }
    }
}

/// A measured or counted figure as a range; `low` equals `high` when the source gives one number.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure<T> {
    /// The lowest value given.
    pub low: T,
    /// The highest value given.
    pub high: T,
    /// Who says so.
    pub source: Source,
}

/// A fact that is a word, such as a hardiness class.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated<T> {
    /// What is stated.
    pub value: T,
    /// Who says so.
    pub source: Source,
}

/// One row of a crop's facts as it was read, for "why". A fact is numbers or a word; the other is empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The lowest and highest number, in the unit of the fact.
    pub range: Option<(f64, f64)>,
    /// The word, one of those the fact allows.
    pub word: Option<Arc<str>>,
    /// Who says so.
    pub source: Source,
}
