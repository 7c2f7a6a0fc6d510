//! The digest of an act: SHA-256 over its content, chained to the device's act before it.
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

/// The digest of an act; `name` gives the act and sequence of an entry.
pub(super) fn digest(
    previous: Option<&Digest>,
    heading: &Heading<'_>,
    entries: &[Entry],
    mut name: impl FnMut(EntryId) -> Result<(Uuid, u32), StoreError>,
) -> Result<Digest, StoreError> {
    let mut hash = Sha256::new();
    hash.update(previous.unwrap_or(&[0; 32]));
    hash.update(heading.act);
    hash.update(heading.device);
    for text in [heading.verb, heading.happened, heading.recorded] {
        add(&mut hash, text.as_bytes());
    }
    for (target, ruling) in heading.rulings {
        hash.update(target);
        add(&mut hash, ruling.as_bytes());
    }
    for entry in entries {
        let mut fact = entry.fact.clone();
        let mut references = Vec::new();
        fact.for_each_reference(&mut |id| {
            references.push(*id);
            *id = EntryId(0);
        });
        let content = serde_json::to_vec(&fact).map_err(|error| StoreError::Damaged(error.to_string()))?;
        hash.update(entry.sequence.to_le_bytes());
        add(&mut hash, entry.on.to_string().as_bytes());
        add(&mut hash, &content);
        for reference in references {
            let (act, sequence) = name(reference)?;
            hash.update(act);
            hash.update(sequence.to_le_bytes());
        }
    }
    Ok(hash.finalize().into())
}

/// Adds a text with its length, so that no two contents run together alike.
fn add(hash: &mut Sha256, bytes: &[u8]) {
    hash.update((bytes.len() as u64).to_le_bytes());
    hash.update(bytes);
}
