//! Identities. Everything the log creates is known by the key of the entry that created it.

use std::fmt;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The journal's own key of one entry. Local to one journal file: between journals an entry is known by its act and
/// its place in that act. A negative key stands for an entry of the act being decided, before it is written:
/// `-1` is the act's first entry, `-2` its second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct EntryId(pub i64);

impl EntryId {
    /// The provisional key of the `sequence`-th entry (from zero) of an act that is not yet written.
    #[must_use]
    pub fn provisional(sequence: usize) -> Self {
        Self(-1 - i64::try_from(sequence).unwrap_or(i64::MAX - 1))
    }

    /// The place in its act that a provisional key stands for, or `None` for a written entry.
    #[must_use]
    pub fn provisional_sequence(self) -> Option<usize> {
        if self.0 < 0 { usize::try_from(-(self.0 + 1)).ok() } else { None }
    }
}

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub EntryId);
    };
}

id!(
    /// One sowing, or one tray bought in: the key of the entry that began it.
    BatchId
);
id!(
    /// The share of a batch in one container (one filling): the key of the entry that filled it.
    PartId
);
id!(
    /// A tray, cell tray, pot, set of like pots or carrier, from filling to clearing.
    ContainerId
);
id!(
    /// A place with its own climate.
    PlaceId
);
id!(
    /// A flat rectangle in a place.
    BenchId
);
id!(
    /// Seed of one variety out of one packet.
    LotId
);

/// The identity of one act, the same in every journal: a UUID version 7, so that later acts sort later.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ActId(pub Uuid);

impl ActId {
    /// After every act there is: for what is only supposed.
    pub const LAST: Self = Self(Uuid::max());

    /// The instant it was noted, in seconds since the start of 1970, by its identity; `None` where that tells none.
    #[must_use]
    pub fn noted_at(self) -> Option<u64> {
        self.0.get_timestamp().map(|it| it.to_unix().0)
    }
}

impl fmt::Display for ActId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// The identity of the machine an act was typed on. It lives outside the journal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct DeviceId(pub Uuid);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn provisional_keys_count_down_from_minus_one() {
        assert_eq!(EntryId::provisional(0), EntryId(-1));
        assert_eq!(EntryId::provisional(4).provisional_sequence(), Some(4));
        assert_eq!(EntryId(7).provisional_sequence(), None);
    }
}
