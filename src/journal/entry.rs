//! Entries in their one order, and the histories they make.

use crate::quantity::{ActId, Date, EntryId};

use super::fact::Fact;

/// One fact with its place in the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The journal's key for it.
    pub id: EntryId,
    /// The act it is part of.
    pub act: ActId,
    /// Its place in that act, from zero.
    pub sequence: u32,
    /// The day it happened, by the grower's calendar.
    pub on: Date,
    /// What happened.
    pub fact: Fact,
}

impl Entry {
    /// The place of this entry in the fold: undated facts first, then by day, act and sequence.
    #[must_use]
    pub fn order(&self) -> (Date, ActId, u32) {
        let on = if self.fact.is_undated() { Date::MIN } else { self.on };
        (on, self.act, self.sequence)
    }
}

/// Entries in force, in the order of the fold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History(Vec<Entry>);

impl History {
    /// Puts entries in order.
    #[must_use]
    pub fn new(mut entries: Vec<Entry>) -> Self {
        entries.sort_by_key(Entry::order);
        Self(entries)
    }

    /// The entries, first first.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.0
    }

    /// This history with more entries.
    #[must_use]
    pub fn with(&self, more: &[Entry]) -> Self {
        Self::new(self.0.iter().chain(more).cloned().collect())
    }

    /// This history without the entries of some acts.
    #[must_use]
    pub fn without(&self, acts: &[ActId]) -> Self {
        Self(self.0.iter().filter(|entry| !acts.contains(&entry.act)).cloned().collect())
    }

    /// The entries that had happened by the end of a day.
    pub fn by(&self, day: Date) -> impl Iterator<Item = &Entry> {
        self.0.iter().filter(move |entry| entry.fact.is_undated() || entry.on <= day)
    }
}
