//! Adding acts to the log.

use rusqlite::types::Value;
use rusqlite::{OptionalExtension as _, params, params_from_iter};
use uuid::Uuid;

use crate::journal::{Entry, Fact, Topic};
use crate::quantity::{ActId, BatchId, ContainerId, Date, EntryId, PartId};

use super::acts::Ruling;
use super::digest::{Content, Digest, Heading};
use super::error::StoreError;
use super::rows::row_of;
use super::{Books, acts::ActRow};

/// The real time an act is recorded at, by the clock: milliseconds since 1970 and the same instant as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// Milliseconds since 1970-01-01 UTC; zero or more.
    pub millis: u64,
    /// RFC 3339, UTC.
    pub text: String,
}

impl Books<'_> {
    /// The id of a new act: above the clock and above every act in the journal, so that it sorts after all its author
    /// saw.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn mint(&self, recorded: &Recorded) -> Result<ActId, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT uuid FROM act ORDER BY uuid DESC LIMIT 1")?;
        let greatest: Option<Vec<u8>> = statement.query_row([], |row| row.get(0)).optional()?;
        let greatest = greatest.and_then(|bytes| Uuid::from_slice(&bytes).ok()).map_or(0, |uuid| uuid.as_u128());
        let random: [u8; 10] = {
            let mut ten = [0; 10];
            ten.copy_from_slice(&Uuid::new_v4().as_bytes()[6..]);
            ten
        };
        let by_clock = uuid::Builder::from_unix_timestamp_millis(recorded.millis, &random).into_uuid();
        let uuid = if by_clock.as_u128() > greatest { by_clock } else { after(greatest, &random) };
        Ok(ActId(uuid))
    }

    /// The key the next entry will have.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn next_entry(&self) -> Result<i64, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT coalesce(max(id), 0) + 1 FROM entry")?;
        Ok(statement.query_row([], |row| row.get(0))?)
    }

    /// Writes an act with its entries.
    ///
    /// # Errors
    /// When the journal cannot be written.
    pub fn append(
        &self,
        act: ActId,
        verb: &str,
        on: Date,
        recorded: &Recorded,
        entries: &[Entry],
    ) -> Result<(), StoreError> {
        let row = self.append_act(act, verb, on, recorded, &[], entries)?;
        for entry in entries {
            self.append_entry(&row, entry)?;
        }
        Ok(())
    }

    /// Writes one entry of an act and its fact.
    pub(super) fn append_entry(&self, act: &ActRow, entry: &Entry) -> Result<(), StoreError> {
        let (kind, values) = row_of(&entry.fact);
        let (batch, container) = self.subjects(entry.id, &entry.fact)?;
        self.connection
            .prepare_cached(
                "INSERT INTO entry (id, act, sequence, kind, happened, batch, container) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                entry.id.0,
                act.0,
                entry.sequence,
                kind.number,
                entry.on.to_string(),
                batch.map(|batch| batch.0.0),
                container.map(|container| container.0.0),
            ])?;
        let places: Vec<String> = (2..values.len() + 2).map(|index| format!("?{index}")).collect();
        let sql = format!(
            "INSERT INTO {} (entry, {}) VALUES (?1, {})",
            kind.table,
            kind.columns.join(", "),
            places.join(", ")
        );
        let id = Value::Integer(entry.id.0);
        self.connection.prepare_cached(&sql)?.execute(params_from_iter(std::iter::once(id).chain(values)))?;
        Ok(())
    }

    /// Writes a word on earlier acts.
    ///
    /// # Errors
    /// When the journal cannot be written.
    pub fn rule(
        &self,
        act: ActId,
        on: Date,
        recorded: &Recorded,
        targets: &[(i64, ActId)],
        ruling: Ruling,
    ) -> Result<(), StoreError> {
        let rulings: Vec<(Uuid, &'static str)> = targets.iter().map(|(_, uuid)| (uuid.0, ruling.word())).collect();
        let row = self.append_act(act, ruling.verb(), on, recorded, &rulings, &[])?;
        for (target, _) in targets {
            self.connection
                .prepare_cached("INSERT INTO verdict (act, target, ruling) VALUES (?1, ?2, ?3)")?
                .execute(params![row.0, target, ruling.word()])?;
            let derived = match ruling {
                Ruling::Undone => "INSERT OR IGNORE INTO undone (act) VALUES (?1)",
                Ruling::Restored => "DELETE FROM undone WHERE act = ?1",
            };
            self.connection.prepare_cached(derived)?.execute([target])?;
        }
        Ok(())
    }

    /// The batch and the container an entry is about, by which it is found again.
    pub(super) fn subjects(
        &self,
        id: EntryId,
        fact: &Fact,
    ) -> Result<(Option<BatchId>, Option<ContainerId>), StoreError> {
        let batch_of = |part: &PartId| -> Result<Option<BatchId>, StoreError> {
            let mut statement = self.connection.prepare_cached("SELECT batch FROM filled WHERE entry = ?1")?;
            let found: Option<i64> = statement.query_row([part.0.0], |row| row.get(0)).optional()?;
            Ok(found.map(|batch| BatchId(EntryId(batch))))
        };
        Ok(match fact {
            Fact::Begun { .. } => (Some(BatchId(id)), None),
            Fact::Stood { .. } => (None, Some(ContainerId(id))),
            Fact::Filled { batch, container, .. } => (Some(*batch), Some(*container)),
            Fact::Identified { batch, .. } | Fact::Relabelled { batch, .. } => (Some(*batch), None),
            Fact::Noted { topic: Topic::Batch(batch), .. } => (Some(*batch), None),
            Fact::Counted { part, .. }
            | Fact::Staged { part, .. }
            | Fact::Departed { part, .. }
            | Fact::Cleared { part } => (batch_of(part)?, None),
            Fact::Moved { container, .. }
            | Fact::WentOut { container, .. }
            | Fact::CameIn { container }
            | Fact::PutAway { container } => (None, Some(*container)),
            _ => (None, None),
        })
    }

    fn append_act(
        &self,
        act: ActId,
        verb: &str,
        on: Date,
        recorded: &Recorded,
        rulings: &[(Uuid, &'static str)],
        entries: &[Entry],
    ) -> Result<ActRow, StoreError> {
        let device = self.device_row()?;
        let happened = on.to_string();
        let heading =
            Heading { act: act.0, device: self.device.0, verb, happened: &happened, recorded: &recorded.text, rulings };
        let own = |id: EntryId| entries.iter().find(|entry| entry.id == id).map(|entry| (act.0, entry.sequence));
        let previous = self.last_digest(device)?;
        let content = Content::of(&heading, entries, |id| match own(id) {
            Some(name) => Ok(name),
            None => self.name_of(id),
        })?;
        let digest = content.after(previous.as_ref());
        let mut insert = self.connection.prepare_cached(
            "INSERT INTO act (uuid, device, verb, happened, recorded, digest) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        insert.execute(params![act.0.as_bytes(), device, verb, happened, recorded.text, digest])?;
        Ok(ActRow(self.connection.last_insert_rowid()))
    }

    fn device_row(&self) -> Result<i64, StoreError> {
        let mut find = self.connection.prepare_cached("SELECT id FROM device WHERE uuid = ?1")?;
        if let Some(id) = find.query_row([self.device.0.as_bytes()], |row| row.get(0)).optional()? {
            return Ok(id);
        }
        self.connection.execute("INSERT INTO device (uuid) VALUES (?1)", [self.device.0.as_bytes()])?;
        Ok(self.connection.last_insert_rowid())
    }

    fn last_digest(&self, device: i64) -> Result<Option<Digest>, StoreError> {
        let mut statement =
            self.connection.prepare_cached("SELECT digest FROM act WHERE device = ?1 ORDER BY uuid DESC LIMIT 1")?;
        Ok(statement.query_row([device], |row| row.get(0)).optional()?)
    }

    /// The act and sequence that an entry is known by in every journal.
    pub(super) fn name_of(&self, id: EntryId) -> Result<(Uuid, u32), StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT a.uuid, e.sequence FROM entry e CROSS JOIN act a ON a.id = e.act WHERE e.id = ?1",
        )?;
        let found: Option<(Vec<u8>, u32)> =
            statement.query_row([id.0], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
        let damaged = || StoreError::Damaged(format!("entry {} is referred to and missing", id.0));
        let (uuid, sequence) = found.ok_or_else(damaged)?;
        Ok((Uuid::from_slice(&uuid).map_err(|_| damaged())?, sequence))
    }
}

/// A version 7 id just above `greatest`, keeping its timestamp and moving its counter bits, with fresh random ones below.
fn after(greatest: u128, random: &[u8; 10]) -> Uuid {
    // The 12 bits after the version and the 62 after the variant are free: count in the upper ones, then the time.
    const COUNTER_STEP: u128 = 1 << 64;
    let time_and_counter = greatest >> 64;
    let counter = (time_and_counter & 0xfff) + 1;
    let bumped = if counter > 0xfff {
        // The counter of this millisecond is used up: borrow the next one.
        ((time_and_counter >> 16) + 1) << 16 | 0x7000
    } else {
        (time_and_counter & !0xfff) | counter
    };
    let mut low = [0; 8];
    low.copy_from_slice(&random[2..]);
    let low = (u64::from_be_bytes(low) & 0x3fff_ffff_ffff_ffff) | 0x8000_0000_0000_0000;
    Uuid::from_u128((bumped * COUNTER_STEP) | u128::from(low))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_after_another_is_greater_and_still_version_7() {
        let mut last = uuid::Builder::from_unix_timestamp_millis(1_700_000_000_000, &[0xff; 10]).into_uuid();
        for _ in 0..10_000 {
            let next = after(last.as_u128(), &[0xff; 10]);
            assert!(next > last);
            assert_eq!(next.get_version_num(), 7);
            assert_eq!(next.get_variant(), uuid::Variant::RFC4122);
            last = next;
        }
    }
}
