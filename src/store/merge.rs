//! Merging two journals: the union of their acts, nothing else. What they come to together is the fold's business.
//!
//! An act is known by its id in every journal, and an entry by its act and sequence, so the other journal's entries are
//! renumbered into this one's keys. An act sorts after all its author saw, so whatever an entry refers to comes before it.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry as Slot;
use std::path::Path;

use rusqlite::types::Value;
use rusqlite::{OptionalExtension as _, params};
use uuid::Uuid;

use crate::journal::{Batch, BenchSize, Contradiction, Entry, Fact, PlaceKind, Source, State, fold};
use crate::quantity::{BatchId, BatchLabel, BenchId, Date, EntryId, Name, PlaceId};

use super::acts::{ActRecord, ActRow};
use super::error::StoreError;
use super::find::FoundBatch;
use super::load::Scope;
use super::{Books, Journal};

/// What a merge brought in, and what it leaves to settle.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// Acts brought in.
    pub acts: u32,
    /// Batches that were begun in them.
    pub batches: u32,
    /// The first and the last day they are dated.
    pub days: Option<(Date, Date)>,
    /// Acts that both journals had.
    pub known: u32,
    /// Entries set aside because they cannot be true beside the others; both versions stay in the log.
    pub contradictions: Vec<Contradiction>,
    /// Open batches that wear one number, at least one of each brought in now; and pairs of batches that may be one
    /// sowing.
    pub twins: Twins,
    /// Batches that shared a number before and are written otherwise now, since one that was given it before them was
    /// brought in: as they were written, and as they are.
    pub rewritten: Vec<(BatchLabel, Wearer)>,
}

/// A batch of those that wear one number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wearer {
    /// Its number, with which of them it is.
    pub label: BatchLabel,
    /// What it is: crop and variety.
    pub plants: String,
}

/// Batches that a grower may have to tell apart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Twins {
    /// Numbers that several batches wear, with those that do.
    pub shared_numbers: Vec<(BatchLabel, Vec<Wearer>)>,
    /// Pairs of batches that may be one sowing logged twice: the same seed, day, number and kind of container, typed on
    /// two machines.
    pub alike: Vec<(BatchLabel, BatchLabel)>,
    /// Places and benches that were named more than once, as on two machines, and are one.
    pub one: Vec<NamedAgain>,
    /// Places that had the name of another of other kind, heat or light.
    pub parted: Vec<Parted>,
}

/// A place that has a number behind its name, since another was first of that name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parted {
    /// As it was named.
    pub named: String,
    /// As it is called.
    pub called: Name,
    /// What it is.
    pub kind: PlaceKind,
}

impl std::fmt::Display for Parted {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { named, called, kind } = self;
        write!(
            f,
            "two places of other kind, heat or light were named {named}: the {kind} is called {called} from now on"
        )
    }
}

/// A place or a bench that was named again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedAgain {
    /// Its name: that of a bench behind its place's.
    pub name: String,
    /// What it is: the kind of place, or the size that the bench was measured as last.
    pub is: String,
    /// The size that the bench was measured as before, where that is another.
    pub was: Option<String>,
}

impl std::fmt::Display for NamedAgain {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} was named twice, and is taken for one: {}", self.name, self.is)?;
        match &self.was {
            Some(was) => write!(f, ", not {was}; `bench resize {}` says which", self.name),
            None => Ok(()),
        }
    }
}

fn named_again(state: &State, again: EntryId) -> Option<NamedAgain> {
    let first = state.one_with.get(&again)?;
    if let Some(place) = state.places.get(&PlaceId(*first)) {
        return Some(NamedAgain { name: place.name.to_string(), is: place.kind.to_string(), was: None });
    }
    let bench = state.benches.get(&BenchId(*first))?;
    let place = state.places.get(&bench.place)?;
    let (size, mut before) =
        (|size: &BenchSize| format!("{} by {}", size.length, size.width), bench.measured.iter().rev());
    let other = before.find(|(_, other)| (other.length, other.width) != (bench.size.length, bench.size.width));
    // Whoever measured it again since said which.
    let named = 1 + state.one_with.values().filter(|one| *one == first).count();
    let was = other.filter(|_| bench.measured.len() <= named).map(|(_, other)| size(other));
    Some(NamedAgain { name: format!("{}/{}", place.name, bench.name), is: size(&bench.size), was })
}

impl Merged {
    fn note(&mut self, record: &ActRecord) {
        let (on, begun) = (record.happened, |entry: &&Entry| matches!(entry.fact, Fact::Begun { .. }));
        let begun = record.entries.iter().filter(begun).count();
        self.acts += 1;
        self.batches += u32::try_from(begun).unwrap_or(u32::MAX);
        self.days = Some(self.days.map_or((on, on), |(first, last)| (first.min(on), last.max(on))));
    }
}

/// Whether another journal has to have something in common with this one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kinship {
    /// An act, a machine or a place in common: else it is somebody else's, or the wrong file.
    Wanted,
    /// Whatever it is, it was said to be meant.
    Waived,
}

impl Journal {
    /// Brings in every act of another journal that this one does not have. The other file is only read: `aside` is a
    /// file that does not exist yet, for a copy that may be brought up to date.
    ///
    /// # Errors
    /// When the other file is not a sound journal of a known schema, or holds an act under an id this one has with
    /// other content; or when it has nothing in common with this one and only kin are wanted. Nothing is written then.
    pub fn merge(&mut self, other: &Path, aside: &Path, kinship: Kinship) -> Result<Merged, StoreError> {
        let (_, theirs) = Self::sound_copy(other, aside)?;
        theirs.read(|theirs| {
            self.write(|ours| {
                if kinship == Kinship::Wanted && !ours.has_in_common_with(theirs)? {
                    let number = |what: &str| theirs.number_of(what);
                    return Err(StoreError::Unrelated { acts: number("act")?, batches: number("outcome")? });
                }
                let first = ours.next_entry()?;
                let sharing = ours.sharing_a_number()?;
                let mut merged = ours.take_in(theirs)?;
                let state = ours.refold(&mut merged)?;
                merged.twins = ours.twins(&state, |id, _| id.0.0 >= first)?;
                // Whichever of the two came in.
                let came_in = |(again, one): &(&EntryId, &EntryId)| again.0 >= first || one.0 >= first;
                let again = state.one_with.iter().filter(came_in);
                merged.twins.one = again.filter_map(|(again, _)| named_again(&state, *again)).collect();
                for (id, place) in &state.places {
                    let named = ours.place_name(*id)?;
                    if !place.name.same_as(&named) {
                        merged.twins.parted.push(Parted { named, called: place.name.clone(), kind: place.kind });
                    }
                }
                for before in sharing {
                    let BatchLabel { number, year, twin } = before.label;
                    let after = ours.batches_numbered(number, Some(year))?.into_iter().find(|one| one.id == before.id);
                    if let Some(after) = after.filter(|after| after.label.twin != twin) {
                        merged.rewritten.push((before.label, wearer(&state, after)));
                    }
                }
                Ok(merged)
            })
        })
    }
}

impl Books<'_> {
    /// True when both journals have an act, a machine or a place of one name, or one of them has no act at all.
    fn has_in_common_with(&self, theirs: &Books<'_>) -> Result<bool, StoreError> {
        if self.number_of("act")? == 0 || theirs.number_of("act")? == 0 {
            return Ok(true);
        }
        for (table, column) in [("act", "uuid"), ("device", "uuid"), ("place_added", "name")] {
            let same = format!("SELECT 1 FROM {table} WHERE {column} = ?1 COLLATE NOCASE");
            let mut ours = self.connection.prepare(&same)?;
            let mut theirs = theirs.connection.prepare(&format!("SELECT {column} FROM {table}"))?;
            let mut rows = theirs.query([])?;
            while let Some(row) = rows.next()? {
                if ours.exists([row.get::<_, Value>(0)?])? {
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    fn number_of(&self, table: &str) -> Result<u64, StoreError> {
        let number: i64 = self.connection.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))?;
        Ok(number.unsigned_abs())
    }

    fn take_in(&self, theirs: &Books<'_>) -> Result<Merged, StoreError> {
        let mut merged = Merged::default();
        let mut keys: BTreeMap<EntryId, EntryId> = BTreeMap::new();
        let mut statement = theirs.connection.prepare(
            "SELECT a.id, a.uuid, d.uuid, a.digest FROM act a JOIN device d ON d.id = a.device ORDER BY a.uuid",
        )?;
        let acts = statement
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))?
            .collect::<Result<Vec<(i64, Vec<u8>, Vec<u8>, Vec<u8>)>, _>>()?;
        for (row, uuid, device, digest) in acts {
            let known: Option<Vec<u8>> = self
                .connection
                .prepare_cached("SELECT digest FROM act WHERE uuid = ?1")?
                .query_row([&uuid], |row| row.get(0))
                .optional()?;
            match known {
                Some(known) if known == digest => merged.known += 1,
                Some(_) => {
                    let act = Uuid::from_slice(&uuid).map(|uuid| uuid.to_string()).unwrap_or_default();
                    return Err(StoreError::Altered { act });
                }
                None => {
                    let record = self.take_act(theirs, row, &device, &digest, &mut keys)?;
                    merged.note(&record);
                }
            }
        }
        Ok(merged)
    }

    pub(super) fn take_act(
        &self,
        theirs: &Books<'_>,
        row: i64,
        device: &[u8],
        digest: &[u8],
        keys: &mut BTreeMap<EntryId, EntryId>,
    ) -> Result<ActRecord, StoreError> {
        let record = theirs.act_record(row)?;
        self.connection.execute(
            "INSERT INTO device (uuid) SELECT ?1 WHERE NOT EXISTS (SELECT 1 FROM device WHERE uuid = ?1)",
            [device],
        )?;
        self.connection
            .prepare_cached(
                "INSERT INTO act (uuid, device, verb, happened, recorded, digest) \
                 VALUES (?1, (SELECT id FROM device WHERE uuid = ?2), ?3, ?4, ?5, ?6)",
            )?
            .execute(params![
                record.id.0.as_bytes(),
                device,
                record.verb,
                record.happened.to_string(),
                record.recorded,
                digest
            ])?;
        let act = ActRow(self.connection.last_insert_rowid());
        let first = self.next_entry()?;
        for (entry, key) in record.entries.iter().zip(first..) {
            keys.insert(entry.id, EntryId(key));
        }
        for entry in &record.entries {
            self.take_entry(theirs, &act, entry, keys)?;
        }
        let mut rulings = theirs.connection.prepare_cached(
            "SELECT t.uuid, v.ruling FROM verdict v JOIN act t ON t.id = v.target WHERE v.act = ?1 ORDER BY v.id",
        )?;
        let rulings = rulings
            .query_map([row], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<Vec<(Vec<u8>, String)>, _>>()?;
        for (target, ruling) in rulings {
            self.connection
                .prepare_cached(
                    "INSERT INTO verdict (act, target, ruling) VALUES (?1, (SELECT id FROM act WHERE uuid = ?2), ?3)",
                )?
                .execute(params![act.0, target, ruling])?;
        }
        Ok(record)
    }

    fn take_entry(
        &self,
        theirs: &Books<'_>,
        act: &ActRow,
        entry: &Entry,
        keys: &mut BTreeMap<EntryId, EntryId>,
    ) -> Result<(), StoreError> {
        for reference in entry.fact.references() {
            if let Slot::Vacant(key) = keys.entry(reference) {
                let (of_act, sequence) = theirs.name_of(reference)?;
                key.insert(self.key_of(of_act, sequence)?);
            }
        }
        let mut fact = entry.fact.clone();
        fact.for_each_reference(&mut |id| *id = keys.get(id).copied().unwrap_or(*id));
        let id = keys.get(&entry.id).copied().unwrap_or(entry.id);
        let entry = Entry { id, fact, ..entry.clone() };
        self.append_entry(act, &entry)
    }

    fn key_of(&self, act: Uuid, sequence: u32) -> Result<EntryId, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT e.id FROM act a CROSS JOIN entry e ON e.act = a.id AND e.sequence = ?2 WHERE a.uuid = ?1",
        )?;
        let found = statement.query_row(params![act.as_bytes(), sequence], |row| row.get(0)).optional()?;
        found
            .map(EntryId)
            .ok_or_else(|| StoreError::Damaged(format!("the other journal refers to act {act}, which it lacks")))
    }

    /// Derives everything anew, and lists what cannot be true together.
    pub(super) fn refold(&self, merged: &mut Merged) -> Result<State, StoreError> {
        for table in ["standing", "outcome", "carrier", "undone"] {
            self.connection.execute(&format!("DELETE FROM {table}"), [])?;
        }
        self.execute(
            "INSERT INTO undone (act) SELECT v.target FROM verdict v JOIN act a ON a.id = v.act \
             WHERE v.ruling = 'undone' AND NOT EXISTS (SELECT 1 FROM verdict later JOIN act b ON b.id = later.act \
             WHERE later.target = v.target AND b.uuid > a.uuid)",
        )?;
        let history = self.history(Scope::All)?;
        let (state, contradictions) = fold(&history);
        self.want(Scope::Around(&[], &[]))?;
        self.rewrite_derived(&state)?;
        merged.contradictions = contradictions;
        Ok(state)
    }

    /// Lists what a grower may have to settle, where one of the batches at least is asked about.
    pub(super) fn twins(&self, state: &State, is_asked: impl Fn(BatchId, &Batch) -> bool) -> Result<Twins, StoreError> {
        let mut device_of =
            self.connection.prepare("SELECT a.device FROM entry e CROSS JOIN act a ON a.id = e.act WHERE e.id = ?1")?;
        let mut by_label: BTreeMap<BatchLabel, Vec<BatchId>> = BTreeMap::new();
        let mut by_sowing: BTreeMap<Sowing, Vec<(BatchId, i64)>> = BTreeMap::new();
        for (id, batch) in &state.batches {
            by_label.entry(batch.label).or_default().push(*id);
            if let Some(sowing) = sowing(state, batch) {
                let device = device_of.query_row([id.0.0], |row| row.get(0))?;
                by_sowing.entry(sowing).or_default().push((*id, device));
            }
        }
        let is_asked = |id: &BatchId| state.batches.get(id).is_some_and(|batch| is_asked(*id, batch));
        let again = state.one_with.keys().filter_map(|again| named_again(state, *again));
        let mut twins = Twins { one: again.filter(|one| one.was.is_some()).collect(), ..Twins::default() };
        for (label, _) in by_label.iter().filter(|(_, batches)| batches.len() > 1 && batches.iter().any(is_asked)) {
            let wearers = self.batches_numbered(label.number, Some(label.year))?;
            twins.shared_numbers.push((*label, wearers.into_iter().map(|found| wearer(state, found)).collect()));
        }
        for alike in by_sowing.values() {
            for (at, (one, device)) in alike.iter().enumerate() {
                let others = alike[at + 1..].iter().filter(|(_, on)| on != device);
                for (other, _) in others.filter(|(other, _)| is_asked(one) || is_asked(other)) {
                    let label = |id: &BatchId| self.told_apart(state.batches[id].label, *id);
                    twins.alike.push((label(one)?, label(other)?));
                }
            }
        }
        Ok(twins)
    }
}

fn wearer(state: &State, found: FoundBatch) -> Wearer {
    let lot = state.batches.get(&found.id).and_then(|batch| state.lots.get(&batch.lot));
    let plants = lot.map_or_else(String::new, |lot| format!("{} {}", lot.crop, lot.variety));
    Wearer { label: found.label, plants }
}

/// What two logs of one sowing have in common: seed, day, units or plants, and the kind of container.
type Sowing = (String, Date, u32, String);

fn sowing(state: &State, batch: &Batch) -> Option<Sowing> {
    let lot = state.lots.get(&batch.lot)?;
    let (_, part) = state.parts_of(batch).next()?;
    let number = match part.source {
        Source::Sown { units, .. } => units,
        Source::Received { plants } => plants,
        Source::From { .. } => return None,
    };
    let vessel = state.containers.get(&part.container)?.vessel.name.to_string();
    Some((format!("{} {}", lot.crop, lot.variety), batch.begun, number, vessel))
}
