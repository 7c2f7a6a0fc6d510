//! What things are called, whether or not the acts that made them are in force.

use rusqlite::OptionalExtension as _;

use crate::quantity::{
    ActId, BatchId, BatchLabel, BenchId, ContainerId, LotId, PartId, PartLabel, PartLetter, PlaceId,
};

use super::Books;
use super::error::StoreError;

impl Books<'_> {
    /// The number on a batch's label.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn batch_label(&self, id: BatchId) -> Result<Option<BatchLabel>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT coalesce(o.year, b.year), coalesce(o.number, b.number) FROM begun b \
             LEFT JOIN outcome o ON o.batch = b.entry WHERE b.entry = ?1",
        )?;
        let row = |row: &rusqlite::Row<'_>| Ok(BatchLabel { year: row.get(0)?, number: row.get(1)?, twin: None });
        let found = statement.query_row([id.0.0], row).optional()?;
        found.map(|label| self.told_apart(label, id)).transpose()
    }

    /// The number a batch was given when it began, with its crop and variety of then.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn begun_as(&self, id: BatchId) -> Result<Option<(BatchLabel, String)>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT b.year, b.number, l.crop || ' ' || l.variety FROM begun b CROSS JOIN lot_added l ON l.entry = b.lot \
             WHERE b.entry = ?1",
        )?;
        let row = |row: &rusqlite::Row<'_>| {
            Ok((BatchLabel { year: row.get(0)?, number: row.get(1)?, twin: None }, row.get(2)?))
        };
        Ok(statement.query_row([id.0.0], row).optional()?)
    }

    /// The label of a batch, with which of the open ones that wear its number it is where there are several.
    pub(super) fn told_apart(&self, label: BatchLabel, id: BatchId) -> Result<BatchLabel, StoreError> {
        let wearers = self.batches_numbered(label.number, Some(label.year))?;
        let is_shared = wearers.iter().filter(|found| found.live).count() > 1;
        let own = wearers.into_iter().find(|found| found.id == id && found.live && is_shared);
        Ok(own.map_or(label, |own| own.label))
    }

    /// The batch a part belongs to, and the part's label.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn part_label(&self, id: PartId) -> Result<Option<(BatchId, PartLabel)>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT batch, letter FROM filled WHERE entry = ?1")?;
        let found: Option<(i64, u16)> =
            statement.query_row([id.0.0], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
        let Some((batch, letter)) = found else { return Ok(None) };
        let batch = BatchId(crate::quantity::EntryId(batch));
        let label = self.batch_label(batch)?;
        Ok(label.map(|label| (batch, PartLabel { batch: label, letter: PartLetter(letter) })))
    }

    /// The parts that were put into a container, labelled, first first.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn parts_in(&self, id: ContainerId) -> Result<Vec<PartLabel>, StoreError> {
        // By what is the same in every journal: keys are given in the order of merging.
        let mut statement = self.connection.prepare_cached(
            "SELECT f.entry FROM filled f CROSS JOIN entry e ON e.id = f.entry CROSS JOIN act a ON a.id = e.act \
             WHERE f.container = ?1 ORDER BY a.uuid, e.sequence",
        )?;
        self.labelled(statement.query_map([id.0.0], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    fn labelled(&self, parts: Vec<i64>) -> Result<Vec<PartLabel>, StoreError> {
        let mut labels = Vec::new();
        for part in parts {
            labels.extend(self.part_label(PartId(crate::quantity::EntryId(part)))?.map(|(_, label)| label));
        }
        Ok(labels)
    }

    /// The labels of the parts put into a part's container before it by acts that are in force, first first.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn parts_before(&self, id: PartId) -> Result<Vec<PartLabel>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT f.entry FROM filled own CROSS JOIN entry oe ON oe.id = own.entry CROSS JOIN act oa ON oa.id = oe.act \
             CROSS JOIN filled f ON f.container = own.container CROSS JOIN entry e ON e.id = f.entry \
             CROSS JOIN act a ON a.id = e.act WHERE own.entry = ?1 AND (a.uuid, e.sequence) < (oa.uuid, oe.sequence) \
             AND NOT EXISTS (SELECT 1 FROM undone u WHERE u.act = e.act) ORDER BY a.uuid, e.sequence",
        )?;
        self.labelled(statement.query_map([id.0.0], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    /// The crop and variety of a lot.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn lot_name(&self, id: LotId) -> Result<String, StoreError> {
        self.name("SELECT crop || ' ' || variety FROM lot_added WHERE entry = ?1", id.0.0)
    }

    /// Crop and variety of the batches that an act is about, each once.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn plants_of(&self, act: ActId) -> Result<Vec<String>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT DISTINCT l.crop || ' ' || l.variety FROM act a CROSS JOIN entry e ON e.act = a.id \
             CROSS JOIN begun b ON b.entry IN (SELECT e.batch UNION SELECT f.batch FROM filled f WHERE f.container = e.container) \
             CROSS JOIN lot_added l ON l.entry = b.lot WHERE a.uuid = ?1",
        )?;
        Ok(statement.query_map([act.0.as_bytes()], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    /// The name of a place.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn place_name(&self, id: PlaceId) -> Result<String, StoreError> {
        self.name("SELECT name FROM place_added WHERE entry = ?1", id.0.0)
    }

    /// The name of a bench with its place: `frame/left`.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn bench_name(&self, id: BenchId) -> Result<String, StoreError> {
        self.name(
            "SELECT p.name || '/' || b.name FROM bench_added b JOIN place_added p ON p.entry = b.place WHERE b.entry = ?1",
            id.0.0,
        )
    }

    /// What a container is: its own name, or its kind.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn container_name(&self, id: ContainerId) -> Result<String, StoreError> {
        self.name("SELECT coalesce(called, name) FROM stood WHERE entry = ?1", id.0.0)
    }

    fn name(&self, sql: &str, id: i64) -> Result<String, StoreError> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let name: Option<String> = statement.query_row([id], |row| row.get(0)).optional()?;
        Ok(name.unwrap_or_else(|| "something undone".to_owned()))
    }
}
