//! Looking things up: batches by number, lots and past sowings by crop, carriers by name, the latest day.

use crate::journal::{Entry, Fact, Lot};
use crate::quantity::{BatchId, BatchLabel, ContainerId, CropName, Date, DeviceId, EntryId, LotId};

use super::Books;
use super::error::StoreError;
use super::load::{IN_FORCE, LOT, entry_of, kind, select};

/// A batch as found by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FoundBatch {
    /// The batch.
    pub id: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// True while any of it is in a container.
    pub live: bool,
}

/// A lot as it was noted.
#[derive(Clone, Debug, PartialEq)]
pub struct LotRecord {
    /// The lot.
    pub id: LotId,
    /// What it is.
    pub lot: Lot,
}

/// The place of a batch among those that were ever given its number, from 1.
#[must_use]
pub fn place_among(ever: &[BatchId], batch: BatchId) -> Option<u32> {
    (1..).zip(ever).find(|(_, one)| **one == batch).map(|(place, _)| place)
}

impl Books<'_> {
    /// The batches with a number: of one year; or of the latest year that has it and of any with a live one. Latest
    /// year first, and of one year the first that was given the number first.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn batches_numbered(&self, number: u32, year: Option<i32>) -> Result<Vec<FoundBatch>, StoreError> {
        // However many years have had the number, only those that matter are read.
        let mut statement = self.connection.prepare_cached(
            "SELECT o.batch, o.year, o.number, o.live FROM \
             (SELECT ?2 AS year WHERE ?2 IS NOT NULL \
              UNION SELECT year FROM outcome WHERE number = ?1 AND live = 1 AND ?2 IS NULL \
              UNION SELECT max(year) FROM outcome WHERE number = ?1 AND ?2 IS NULL) y \
             CROSS JOIN outcome o ON o.number = ?1 AND o.year = y.year ORDER BY o.year DESC",
        )?;
        let rows = statement.query_map(rusqlite::params![number, year], |row| {
            Ok(FoundBatch {
                id: BatchId(EntryId(row.get(0)?)),
                label: BatchLabel { year: row.get(1)?, number: row.get(2)?, twin: None },
                live: row.get(3)?,
            })
        })?;
        let mut found = rows.collect::<Result<Vec<_>, _>>()?;
        for wearers in found.chunk_by_mut(|one, other| one.label.year == other.label.year) {
            if let [first, _, ..] = wearers {
                let ever = self.ever_numbered(number, first.label.year)?;
                wearers.iter_mut().for_each(|batch| batch.label.twin = place_among(&ever, batch.id));
                wearers.sort_by_key(|batch| batch.label.twin);
            }
        }
        Ok(found)
    }

    /// The batches that were ever given a number of a year, whatever they wear now and whether or not that was taken
    /// back, by the act that gave it first: nothing that is logged here shifts the place of one among them.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn ever_numbered(&self, number: u32, year: i32) -> Result<Vec<BatchId>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT g.batch FROM (SELECT entry, entry AS batch FROM begun WHERE year = ?1 AND number = ?2 \
              UNION ALL SELECT entry, batch FROM relabelled WHERE year = ?1 AND number = ?2) g \
             CROSS JOIN entry e ON e.id = g.entry CROSS JOIN act a ON a.id = e.act ORDER BY a.uuid, e.sequence",
        )?;
        let given = statement.query_map(rusqlite::params![year, number], |row| row.get(0))?;
        let mut ever: Vec<BatchId> = Vec::new();
        for batch in given.collect::<Result<Vec<i64>, _>>()? {
            let batch = BatchId(EntryId(batch));
            if !ever.contains(&batch) {
                ever.push(batch);
            }
        }
        Ok(ever)
    }

    /// The batches that share their number with another, open or not.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub(super) fn sharing_a_number(&self) -> Result<Vec<FoundBatch>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT number, year FROM outcome GROUP BY year, number HAVING count(*) > 1")?;
        let shared = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<Vec<_>, _>>()?;
        let found = shared.into_iter().map(|(number, year)| self.batches_numbered(number, Some(year)));
        Ok(found.collect::<Result<Vec<_>, _>>()?.concat())
    }

    /// The greatest number given to a batch of a year.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn greatest_number(&self, year: i32) -> Result<u32, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT number FROM outcome WHERE year = ?1 ORDER BY number DESC LIMIT 1")?;
        let mut rows = statement.query([year])?;
        Ok(match rows.next()? {
            Some(row) => row.get(0)?,
            None => 0,
        })
    }

    /// The lots of a crop, or of every crop, newest noted first.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn lots(&self, crop: Option<&CropName>) -> Result<Vec<LotRecord>, StoreError> {
        // Two statements, so that the lots of one crop are found by the index.
        let of_crop = if crop.is_some() { "k.crop = ?1" } else { "?1 IS NULL" };
        self.lots_where(of_crop, rusqlite::params![crop.map(CropName::as_str), -1])
    }

    /// The lots of a crop noted last, newest first: so many that the cost does not grow with the years.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn newest_lots(&self, crop: &CropName, limit: u32) -> Result<Vec<LotRecord>, StoreError> {
        self.lots_where("k.crop = ?1", rusqlite::params![crop.as_str(), limit])
    }

    fn lots_where(&self, of_crop: &str, params: impl rusqlite::Params) -> Result<Vec<LotRecord>, StoreError> {
        let lot = kind(LOT);
        let sql = format!(
            "{} FROM lot_added k CROSS JOIN entry e ON e.id = k.entry CROSS JOIN act a ON a.id = e.act \
             WHERE {of_crop}{IN_FORCE} ORDER BY a.uuid DESC, e.sequence DESC LIMIT ?2",
            select(lot)
        );
        let mut statement = self.connection.prepare_cached(&sql)?;
        let mut rows = statement.query(params)?;
        let mut lots = Vec::new();
        while let Some(row) = rows.next()? {
            let entry = entry_of(lot, row)?;
            if let Fact::LotAdded { crop, variety, packed, stated, seeds, origin } = entry.fact {
                lots.push(LotRecord { id: LotId(entry.id), lot: Lot { crop, variety, packed, stated, seeds, origin } });
            }
        }
        Ok(lots)
    }

    /// Units sown from a lot so far.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn sown_from(&self, lot: LotId) -> Result<u32, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT total(sown) FROM outcome WHERE lot = ?1")?;
        let sown: f64 = statement.query_row([lot.0.0], |row| row.get(0))?;
        // A sum of counts each of at most 100,000: exact in a double, and clamped by the cast.
        Ok(sown as u32)
    }

    /// The batches that were ever said to be of a lot.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn batches_from(&self, lot: LotId) -> Result<Vec<BatchId>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT entry FROM begun WHERE lot = ?1 UNION SELECT batch FROM identified WHERE lot = ?1",
        )?;
        let ids = statement.query_map([lot.0.0], |row| row.get(0))?.collect::<Result<Vec<i64>, _>>()?;
        Ok(ids.into_iter().map(|id| BatchId(EntryId(id))).collect())
    }

    /// The entry that noted a lot, if it is in force.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn lot_entry(&self, id: LotId) -> Result<Option<Entry>, StoreError> {
        let lot = kind(LOT);
        let sql = format!(
            "{} FROM lot_added k CROSS JOIN entry e ON e.id = k.entry CROSS JOIN act a ON a.id = e.act \
             WHERE k.entry = ?1{IN_FORCE}",
            select(lot)
        );
        let mut statement = self.connection.prepare_cached(&sql)?;
        let mut rows = statement.query([id.0.0])?;
        rows.next()?.map(|row| entry_of(lot, row)).transpose()
    }

    /// The newest sowings of a crop that are in no container any more, newest first: what there is to learn from.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn past_sowings(&self, crop: &CropName, limit: u32) -> Result<Vec<BatchId>, StoreError> {
        // Of one day the one noted later comes first, by what it is called everywhere: after a merge as before. Only the
        // days that matter are read.
        let mut statement = self.connection.prepare_cached(
            "SELECT o.batch FROM outcome o CROSS JOIN entry e ON e.id = o.batch CROSS JOIN act a ON a.id = e.act \
             WHERE o.crop = ?1 AND o.beginning = 'sown' AND o.live = 0 AND o.begun >= coalesce((SELECT begun FROM outcome \
             WHERE crop = ?1 AND beginning = 'sown' AND live = 0 ORDER BY begun DESC LIMIT 1 OFFSET ?2 - 1), '') \
             ORDER BY o.begun DESC, a.uuid DESC, e.sequence DESC LIMIT ?2",
        )?;
        let ids = statement.query_map(rusqlite::params![crop.as_str(), limit], |row| row.get(0))?;
        let ids = ids.collect::<Result<Vec<i64>, _>>()?;
        Ok(ids.into_iter().map(|id| BatchId(EntryId(id))).collect())
    }

    /// The carriers in use that have a name, with their names.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn carriers(&self) -> Result<Vec<(ContainerId, String)>, StoreError> {
        let mut statement =
            self.connection.prepare_cached("SELECT container, called FROM carrier WHERE called IS NOT NULL")?;
        let rows = statement.query_map([], |row| Ok((ContainerId(EntryId(row.get(0)?)), row.get(1)?)))?;
        Ok(rows.collect::<Result<Vec<_>, _>>()?)
    }

    /// The day of the latest act by the grower's calendar, or `None` in an empty journal.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn latest_day(&self) -> Result<Option<Date>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT max(happened) FROM act")?;
        let day: Option<String> = statement.query_row([], |row| row.get(0))?;
        day.map(|day| day.parse().map_err(|_| StoreError::Damaged(format!("an act is dated {day}")))).transpose()
    }

    /// How many acts of one verb there are in a day's calendar year, in whatever order they were typed; undone ones count.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn acts_of_year(&self, verb: &str, on: Date) -> Result<usize, StoreError> {
        let year = on.format("%Y-").to_string();
        let mut statement = self.connection.prepare_cached(
            "SELECT count(*) FROM act WHERE happened BETWEEN ?1 || '01-01' AND ?1 || '12-31' AND verb = ?2",
        )?;
        let count: i64 = statement.query_row([year.as_str(), verb], |row| row.get(0))?;
        Ok(usize::try_from(count).unwrap_or(usize::MAX))
    }

    /// True when any act in the journal was typed on a device.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn was_typed_on(&self, device: DeviceId) -> Result<bool, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT 1 FROM device WHERE uuid = ?1")?;
        Ok(statement.exists([device.0.as_bytes()])?)
    }
}
