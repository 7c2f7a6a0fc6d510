//! The digest of an act: SHA-256 over its content, chained to an act of the same device before it: the newest it saw. A
//! device that wrote to two copies of a journal, as after a restore, has a chain that forks.
//!
//! References are written as the act and sequence they point to, so the digest is the same in every journal. A fact
//! given a new field later must leave that field out while it is empty, or old digests would no longer match.

use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use crate::journal::Entry;
use crate::quantity::EntryId;

use super::error::StoreError;

/// A digest.
pub(super) type Digest = [u8; 32];

/// The parts of an act that its digest covers besides its entries.
pub(super) struct Heading<'a> {
    pub(super) act: Uuid,
    pub(super) device: Uuid,
    pub(super) verb: &'a str,
    pub(super) happened: &'a str,
    pub(super) recorded: &'a str,
    /// Acts ruled on, each with the ruling's word.
    pub(super) rulings: &'a [(Uuid, &'static str)],
}

/// What a digest is made of, but for the digest of the act before; `name` gives the act and sequence of an entry.
pub(super) struct Content(Vec<u8>);

impl Content {
    pub(super) fn of(
        heading: &Heading<'_>,
        entries: &[Entry],
        mut name: impl FnMut(EntryId) -> Result<(Uuid, u32), StoreError>,
    ) -> Result<Self, StoreError> {
        let mut content = Vec::new();
        content.extend_from_slice(heading.act.as_bytes());
        content.extend_from_slice(heading.device.as_bytes());
        for text in [heading.verb, heading.happened, heading.recorded] {
            add(&mut content, text.as_bytes());
        }
        for (target, ruling) in heading.rulings {
            content.extend_from_slice(target.as_bytes());
            add(&mut content, ruling.as_bytes());
        }
        for entry in entries {
            let mut fact = entry.fact.clone();
            let mut references = Vec::new();
            fact.for_each_reference(&mut |id| {
                references.push(*id);
                *id = EntryId(0);
            });
            let written = serde_json::to_vec(&fact).map_err(|error| StoreError::Damaged(error.to_string()))?;
            content.extend_from_slice(&entry.sequence.to_le_bytes());
            add(&mut content, entry.on.to_string().as_bytes());
            add(&mut content, &written);
            for reference in references {
                let (act, sequence) = name(reference)?;
                content.extend_from_slice(act.as_bytes());
                content.extend_from_slice(&sequence.to_le_bytes());
            }
        }
        Ok(Self(content))
    }

    /// The digest after another of the same device, or of its first act.
    pub(super) fn after(&self, previous: Option<&Digest>) -> Digest {
        let mut hash = Sha256::new();
        hash.update(previous.unwrap_or(&[0; 32]));
        hash.update(&self.0);
        hash.finalize().into()
    }
}

/// The digests that an act of one device may be chained to.
#[derive(Debug, Default)]
pub(super) struct Chain {
    /// Of acts before it, first first.
    pub(super) known: Vec<Digest>,
    /// Of acts that damage took.
    pub(super) lost: Vec<Digest>,
}

impl Chain {
    /// The digest that gives an act of this content its own; the outer `None` when none does. Nearly always it is the
    /// last; the others are for chains that fork or begin again.
    pub(super) fn link(&self, content: &Content, stored: &Digest) -> Option<Option<Digest>> {
        let all = self.known.iter().rev().map(Some).chain([None]).chain(self.lost.iter().map(Some));
        all.map(Option::<&Digest>::copied).find(|previous| content.after(previous.as_ref()) == *stored)
    }

    /// True when the act is chained to the last one.
    pub(super) fn goes_on(&self, content: &Content, stored: &Digest) -> bool {
        content.after(self.known.last()) == *stored
    }
}

/// Adds a text with its length, so that no two contents run together alike.
fn add(content: &mut Vec<u8>, bytes: &[u8]) {
    content.extend_from_slice(&(bytes.len() as u64).to_le_bytes());
    content.extend_from_slice(bytes);
}
