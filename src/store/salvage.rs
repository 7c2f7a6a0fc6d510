//! Bringing the acts of a damaged journal into a new one: every act that can still be read whole and whose digest says
//! that it is as it was written.
//!
//! The pages of the file are read one by one (`pages`), so it does not matter which of the pages that lead to them are
//! gone. The rows go into a scratch journal without its guards; there each act is put together and its digest made
//! again (`vouched`). A row taken for what it is not makes no digest come out right, so nothing needs to be believed
//! before.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use rusqlite::params;
use rusqlite::types::Value;
use uuid::Uuid;

use crate::journal::Contradiction;
use crate::quantity::{Date, DeviceId, EntryId};

use super::acts::ActRecord;
use super::digest::Digest;
use super::error::StoreError;
use super::merge::Merged;
use super::open::{Durability, connect};
use super::pages::{Cell, for_each_cell};
use super::rows::KINDS;
use super::vouched::{Found, Whole};
use super::{Books, Journal};

/// What was brought out of a damaged journal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Salvaged {
    /// Acts brought out.
    pub acts: u64,
    /// Acts that are lost, as far as is known what they were.
    pub lost: Vec<LostAct>,
    /// Entries set aside because what they build on is lost.
    pub contradictions: Vec<Contradiction>,
    /// Copies kept beside the journal that rows were also taken from.
    pub copies: u64,
}

/// An act that could not be brought out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LostAct {
    /// Its day, unless nothing says it any more.
    pub on: Option<Date>,
    /// What was done, as a command word, unless nothing says it any more.
    pub verb: Option<String>,
    /// Why it is lost.
    pub why: Loss,
}

/// Why an act is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loss {
    /// It cannot be read, or is not as it was written.
    Damaged,
    /// It is whole, but speaks of what is lost.
    Bereft,
}

/// Brings every act that can be read whole out of a damaged journal into a new one. The damaged file, with the
/// write-ahead log beside it, is only read, and so are `copies` of it, newest first, for what the damage took since.
/// `scratch` is a file that does not exist yet. `bereft` is told each act that is whole and cannot be taken, since it
/// speaks of what is lost, with all that was found: it can still be read.
///
/// # Errors
/// When the new file is there already, a file cannot be read or written, no act can be read, or what `bereft` returns.
pub fn salvage<E: From<StoreError>>(
    damaged: &Path,
    copies: &[PathBuf],
    scratch: &Path,
    new: &Path,
    device: DeviceId,
    mut bereft: impl FnMut(&Books<'_>, &ActRecord) -> Result<(), E>,
) -> Result<Salvaged, E> {
    if new.exists() {
        let source = std::io::Error::new(std::io::ErrorKind::AlreadyExists, "the file is there already");
        return Err(StoreError::File { path: new.to_owned(), source }.into());
    }
    let mut salvaged = Salvaged::default();
    let mut hints = Hints::default();
    let mut scratch = without_guards(scratch, device)?;
    let whole = scratch.write(|books| {
        let keys = keys_of(damaged)?;
        // The rows of sound copies come first: where both have one and they differ, theirs is right.
        let of_it = copies.iter().filter(|copy| keys_of(copy).is_ok_and(|other| are_of_one(&keys, &other)));
        let sources: Vec<&Path> = of_it.map(PathBuf::as_path).chain([damaged]).collect();
        salvaged.copies = sources.len() as u64 - 1;
        let mut rivals = Vec::new();
        for source in &sources {
            books.take_frame(source, &mut hints, &mut rivals)?;
        }
        for source in &sources {
            books.take_facts(source, &mut rivals)?;
        }
        books.whole_acts(&hints, &rivals)
    })?;
    if whole.is_empty() {
        return Err(StoreError::NotAJournal(damaged.to_owned()).into());
    }
    let left = scratch.read(|theirs| {
        let mut journal = Journal::open(new, device, Durability::Synced)?;
        journal.write(|ours| ours.take_whole(theirs, &whole, &hints, &mut salvaged))
    })?;
    if !left.is_empty() {
        // For the numbers and letters of what can still be told of; where it comes to nothing they stay untold.
        let _ = scratch.write(|books| books.refold(&mut Merged::default()));
        scratch.read(|theirs| left.iter().try_for_each(|record| bereft(theirs, record)))?;
    }
    Ok(salvaged)
}

/// A scratch journal that takes any row whose values are of the kinds its columns are of.
fn without_guards(path: &Path, device: DeviceId) -> Result<Journal, StoreError> {
    let connection = connect(path, Durability::Unsynced)?;
    let triggers: Vec<String> = {
        let mut statement = connection.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")?;
        statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?
    };
    for trigger in triggers {
        connection.execute_batch(&format!("DROP TRIGGER {trigger}"))?;
    }
    connection.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;")?;
    Ok(Journal::on(connection, device))
}

/// What the indexes say of acts and devices whose own rows may be gone, by key.
#[derive(Debug, Default)]
pub(super) struct Hints {
    days: BTreeMap<i64, Date>,
    pub(super) identities: BTreeMap<i64, BTreeSet<Uuid>>,
}

fn uuid_in(value: &Value) -> Option<Uuid> {
    match value {
        Value::Blob(bytes) => Uuid::from_slice(bytes).ok(),
        _ => None,
    }
}

fn is_digest(value: &Value) -> bool {
    matches!(value, Value::Blob(bytes) if bytes.len() == size_of::<Digest>())
}

/// The table that a row belongs to whose kind of fact need not be known, by the look of its values.
fn frame_of(values: &[Value]) -> Option<(&'static str, &'static str)> {
    use Value::{Blob, Integer, Null, Text};
    match values {
        [Null, Blob(uuid)] if uuid.len() == 16 => Some(("device", "id, uuid")),
        [Null, Blob(uuid), Integer(_), Text(_), Text(_), Text(_), digest] if uuid.len() == 16 && is_digest(digest) => {
            Some(("act", "id, uuid, device, verb, happened, recorded, digest"))
        }
        [Null, Integer(_), Integer(_), Text(word)] if word == "undone" || word == "restored" => {
            Some(("verdict", "id, act, target, ruling"))
        }
        [Null, Integer(_), Integer(_), Integer(_), Text(_), _, _] => {
            Some(("entry", "id, act, sequence, kind, happened, batch, container"))
        }
        [digest] if is_digest(digest) => Some(("lost_act", "digest")),
        _ => None,
    }
}

/// A row with its key in place; SQLite keeps it outside the row.
fn found(table: &'static str, columns: &str, key: i64, mut values: Vec<Value>) -> Found {
    if values[0] == Value::Null {
        values[0] = Value::Integer(key);
    }
    Found { table, columns: columns.to_owned(), values }
}

/// The identities of a file's acts, by key.
fn keys_of(path: &Path) -> Result<BTreeMap<i64, Uuid>, StoreError> {
    let mut keys = BTreeMap::new();
    let read = for_each_cell(path, |cell| {
        if let Cell::Row(key, values) = cell
            && frame_of(&values).is_some_and(|(table, _)| table == "act")
        {
            keys.extend(uuid_in(&values[1]).map(|uuid| (key, uuid)));
        }
    });
    read.map_err(|source| StoreError::File { path: path.to_owned(), source })?;
    Ok(keys)
}

/// True when two files have the same acts under the same keys, as a journal and its copy have.
fn are_of_one(one: &BTreeMap<i64, Uuid>, other: &BTreeMap<i64, Uuid>) -> bool {
    let shared = other.iter().filter_map(|(key, uuid)| one.get(key).map(|own| own == uuid));
    let (same, different): (Vec<bool>, Vec<bool>) = shared.partition(|same| *same);
    same.len() > 10 * different.len()
}

impl Books<'_> {
    /// Takes acts, entries, devices and verdicts into the scratch journal.
    fn take_frame(&self, source: &Path, hints: &mut Hints, rivals: &mut Vec<Found>) -> Result<(), StoreError> {
        let mut failed = Ok(());
        let read = for_each_cell(source, |cell| match cell {
            Cell::Row(key, values) => {
                if let Some((table, columns)) = frame_of(&values)
                    && failed.is_ok()
                {
                    failed = self.put(found(table, columns, key, values), rivals);
                }
            }
            Cell::Key(values) => match values.as_slice() {
                [Value::Text(day), Value::Integer(act)] => {
                    hints.days.extend(day.parse().ok().map(|day| (*act, day)));
                }
                [uuid @ Value::Blob(_), Value::Integer(key)] => {
                    hints.identities.entry(*key).or_default().extend(uuid_in(uuid));
                }
                _ => {}
            },
        });
        read.map_err(|error| StoreError::File { path: source.to_owned(), source: error })?;
        failed
    }

    /// Takes the facts of the entries that were found, rivals among them.
    fn take_facts(&self, source: &Path, rivals: &mut Vec<Found>) -> Result<(), StoreError> {
        let mut kinds: BTreeMap<i64, BTreeSet<i64>> = BTreeMap::new();
        let mut statement = self.connection.prepare("SELECT id, kind FROM entry")?;
        for row in statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))? {
            let (key, kind) = row?;
            kinds.entry(key).or_default().insert(kind);
        }
        for row in rivals.iter().filter(|row| row.table == "entry") {
            if let [Value::Integer(key), _, _, Value::Integer(kind), ..] = row.values.as_slice() {
                kinds.entry(*key).or_default().insert(*kind);
            }
        }
        let mut failed = Ok(());
        let read = for_each_cell(source, |cell| {
            let Cell::Row(key, values) = cell else { return };
            if values.first() != Some(&Value::Null) || frame_of(&values).is_some() {
                return;
            }
            let of_it = kinds.get(&key).into_iter().flatten();
            for kind in of_it.filter_map(|number| KINDS.iter().find(|kind| kind.number == *number)) {
                // A row written before its table was given a column is shorter.
                if (2..=kind.columns.len() + 1).contains(&values.len()) && failed.is_ok() {
                    let columns = format!("entry, {}", kind.columns[..values.len() - 1].join(", "));
                    failed = self.put(found(kind.table, &columns, key, values.clone()), rivals);
                }
            }
        });
        read.map_err(|error| StoreError::File { path: source.to_owned(), source: error })?;
        failed
    }

    /// Takes whole acts into this new journal, all but those that speak of what is lost; gives those.
    fn take_whole(
        &self,
        theirs: &Books<'_>,
        whole: &[Whole],
        hints: &Hints,
        salvaged: &mut Salvaged,
    ) -> Result<Vec<ActRecord>, StoreError> {
        let mut keys: BTreeMap<EntryId, EntryId> = BTreeMap::new();
        let mut taken: BTreeSet<Uuid> = BTreeSet::new();
        let mut left = Vec::new();
        for act in whole {
            let record = &act.record;
            let own = |id: &EntryId| record.entries.iter().any(|entry| entry.id == *id);
            let mut spoken_of = record.entries.iter().flat_map(|entry| entry.fact.references());
            let is_there = spoken_of.all(|id| keys.contains_key(&id) || own(&id))
                && record.rules_on.iter().all(|act| taken.contains(&act.0));
            if is_there {
                self.take_act(theirs, record.row, act.device.as_bytes(), &act.digest, &mut keys)?;
                taken.insert(record.id.0);
            } else {
                left.push(record.clone());
            }
        }
        self.note_lost(whole)?;
        let mut merged = Merged::default();
        self.refold(&mut merged)?;
        salvaged.acts = taken.len() as u64;
        salvaged.contradictions = merged.contradictions;
        let rows: BTreeSet<i64> =
            whole.iter().filter(|act| taken.contains(&act.record.id.0)).map(|act| act.record.row).collect();
        let bereft = left.iter().map(|record| record.row).collect();
        salvaged.lost = theirs.lost_beside(&rows, &bereft, hints)?;
        Ok(left)
    }

    /// Notes the digests that acts taken are chained to and that are not of any act here.
    fn note_lost(&self, whole: &[Whole]) -> Result<(), StoreError> {
        let mut insert = self.connection.prepare(
            "INSERT INTO lost_act (digest) SELECT ?1 WHERE EXISTS (SELECT 1 FROM act WHERE uuid = ?2) \
             AND NOT EXISTS (SELECT 1 FROM act WHERE digest = ?1) AND NOT EXISTS (SELECT 1 FROM lost_act WHERE digest = ?1)",
        )?;
        for act in whole {
            if let Some(link) = act.link {
                insert.execute(params![link, act.record.id.0.as_bytes()])?;
            }
        }
        Ok(())
    }

    /// Every act that left a trace and was not taken.
    fn lost_beside(
        &self,
        taken: &BTreeSet<i64>,
        bereft: &BTreeSet<i64>,
        hints: &Hints,
    ) -> Result<Vec<LostAct>, StoreError> {
        // Keys are given one after another, so one that is missing below another was an act too.
        let greatest = taken.last().copied().unwrap_or(0);
        let mut beyond = self.keys_beyond(greatest, hints)?;
        beyond.extend(bereft.range(greatest + 1..));
        let mut known = self.connection.prepare(
            "SELECT (SELECT verb FROM act WHERE id = ?1), coalesce((SELECT happened FROM act WHERE id = ?1), \
             (SELECT happened FROM entry WHERE act = ?1 LIMIT 1))",
        )?;
        let mut lost = Vec::new();
        for row in (1..=greatest).filter(|row| !taken.contains(row)).chain(beyond) {
            let (verb, on): (Option<String>, Option<String>) =
                known.query_row([row], |row| Ok((row.get(0)?, row.get(1)?)))?;
            let on = on.and_then(|on| on.parse().ok()).or_else(|| hints.days.get(&row).copied());
            let verb = verb.map(|verb| crate::quantity::shown(&verb));
            let why = if bereft.contains(&row) { Loss::Bereft } else { Loss::Damaged };
            lost.push(LostAct { on, verb, why });
        }
        Ok(lost)
    }
}

impl Books<'_> {
    /// The keys of acts above one of which two of three speak: an act's own row, its entries and the index of days. What
    /// only one says may be damage to the key itself.
    fn keys_beyond(&self, greatest: i64, hints: &Hints) -> Result<BTreeSet<i64>, StoreError> {
        let keys = |sql: &str| -> Result<BTreeSet<i64>, StoreError> {
            let mut statement = self.connection.prepare(sql)?;
            Ok(statement.query_map([greatest], |row| row.get(0))?.collect::<Result<_, _>>()?)
        };
        let rows = keys("SELECT id FROM act WHERE id > ?1")?;
        let entries = keys("SELECT act FROM entry WHERE act > ?1")?;
        let indexed: BTreeSet<i64> = hints.days.keys().copied().filter(|key| *key > greatest).collect();
        let spoken_of = |key: &i64| [&rows, &entries, &indexed].iter().filter(|keys| keys.contains(key)).count();
        Ok(rows.union(&entries).copied().filter(|key| spoken_of(key) >= 2).collect())
    }
}
