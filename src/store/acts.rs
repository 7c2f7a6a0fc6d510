//! Reading acts back: for history, undo and redo.

use rusqlite::{OptionalExtension as _, Row, params};
use uuid::Uuid;

use crate::journal::Entry;
use crate::quantity::{ActId, BatchId, Date, DeviceId};

use super::Books;
use super::error::StoreError;

/// The journal's own key of an act.
pub(super) struct ActRow(pub(super) i64);

/// A word on an act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ruling {
    /// Out of force.
    Undone,
    /// In force again.
    Restored,
}

impl Ruling {
    /// The word in the log.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Undone => "undone",
            Self::Restored => "restored",
        }
    }

    /// The verb of the act that gives it.
    #[must_use]
    pub const fn verb(self) -> &'static str {
        match self {
            Self::Undone => "undo",
            Self::Restored => "redo",
        }
    }
}

/// An act as it stands in the log.
#[derive(Clone, Debug, PartialEq)]
pub struct ActRecord {
    /// The journal's own key.
    pub row: i64,
    /// Its identity everywhere.
    pub id: ActId,
    /// What was done, as a command word.
    pub verb: String,
    /// The day it happened.
    pub happened: Date,
    /// The instant it was recorded, RFC 3339 UTC.
    pub recorded: String,
    /// Whether it is in force.
    pub ruling: Ruling,
    /// The acts it rules on, for an undo or redo.
    pub rules_on: Vec<ActId>,
    /// What it brought about.
    pub entries: Vec<Entry>,
}

/// An act with all that the log keeps of it beside its entries.
#[derive(Clone, Debug, PartialEq)]
pub struct LoggedAct {
    /// The act.
    pub record: ActRecord,
    /// The machine it was typed on.
    pub device: DeviceId,
    /// Its words on other acts, in order of their identity.
    pub rulings: Vec<(ActId, Ruling)>,
}

const COLUMNS: &str = "a.id, a.uuid, a.verb, a.happened, a.recorded";
const ORDINARY: &str = "NOT EXISTS (SELECT 1 FROM verdict v WHERE v.act = a.id)";

impl Books<'_> {
    /// The latest acts, latest first; those about one batch if it is given.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn acts(&self, limit: u32, batch: Option<BatchId>) -> Result<Vec<ActRecord>, StoreError> {
        let sql = match batch {
            None => format!("SELECT {COLUMNS} FROM act a WHERE ?1 IS NULL ORDER BY a.uuid DESC LIMIT ?2"),
            Some(_) => format!(
                "SELECT {COLUMNS} FROM act a WHERE a.id IN (SELECT e.act FROM entry e WHERE e.batch = ?1 OR e.container IN \
                 (SELECT f.container FROM filled f WHERE f.batch = ?1)) ORDER BY a.uuid DESC LIMIT ?2"
            ),
        };
        self.records(&sql, params![batch.map(|batch| batch.0.0), limit])
    }

    /// The act with an id, or whose id ends in a text, if exactly one does.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn acts_ending(&self, text: &str) -> Result<Vec<ActRecord>, StoreError> {
        let hex: String = text.chars().filter(char::is_ascii_hexdigit).collect::<String>().to_uppercase();
        let sql =
            format!("SELECT {COLUMNS} FROM act a WHERE substr(hex(a.uuid), -length(?1)) = ?1 AND ?1 <> '' LIMIT 3");
        self.records(&sql, [hex])
    }

    /// This device's newest ordinary act in force.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn last_in_force(&self) -> Result<Option<ActRecord>, StoreError> {
        let sql = format!(
            "SELECT {COLUMNS} FROM act a WHERE a.device = (SELECT d.id FROM device d WHERE d.uuid = ?1) AND {ORDINARY} \
             AND NOT EXISTS (SELECT 1 FROM undone u WHERE u.act = a.id) ORDER BY a.uuid DESC LIMIT 1"
        );
        Ok(self.records(&sql, [self.device.0.as_bytes()])?.pop())
    }

    /// The latest day on which anything was done but taking back and bringing back.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn latest_ordinary_day(&self) -> Result<Option<Date>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM act a WHERE {ORDINARY} ORDER BY a.happened DESC LIMIT 1");
        Ok(self.records(&sql, [])?.pop().map(|act| act.happened))
    }

    /// The latest day on which anything was done that is in force, if that is after a day.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn latest_day_after(&self, day: Date) -> Result<Option<Date>, StoreError> {
        let sql = format!(
            "SELECT {COLUMNS} FROM act a WHERE a.happened > ?1 AND {ORDINARY} \
             AND NOT EXISTS (SELECT 1 FROM undone u WHERE u.act = a.id) ORDER BY a.happened DESC LIMIT 1"
        );
        Ok(self.records(&sql, params![day.to_string()])?.pop().map(|act| act.happened))
    }

    /// The newest act in force that noted a forecast.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn latest_forecast(&self) -> Result<Option<ActRecord>, StoreError> {
        let sql = format!(
            "SELECT {COLUMNS} FROM forecast f CROSS JOIN entry e ON e.id = f.entry CROSS JOIN act a ON a.id = e.act \
             WHERE NOT EXISTS (SELECT 1 FROM undone u WHERE u.act = a.id) ORDER BY f.entry DESC LIMIT 1"
        );
        Ok(self.records(&sql, [])?.pop())
    }

    /// The acts that this device's latest undo took out of force and a redo would bring back; none after an ordinary act.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn to_redo(&self) -> Result<Vec<ActRecord>, StoreError> {
        let sql = "SELECT a.id FROM act a WHERE a.device = (SELECT d.id FROM device d WHERE d.uuid = ?1) AND EXISTS \
               (SELECT 1 FROM verdict v JOIN undone u ON u.act = v.target WHERE v.act = a.id AND v.ruling = 'undone') \
             AND a.uuid > coalesce((SELECT o.uuid FROM act o WHERE NOT EXISTS \
               (SELECT 1 FROM verdict v WHERE v.act = o.id) ORDER BY o.uuid DESC LIMIT 1), x'') \
             ORDER BY a.uuid DESC LIMIT 1"
            .to_string();
        let mut statement = self.connection.prepare_cached(&sql)?;
        let undo: Option<i64> = statement.query_row([self.device.0.as_bytes()], |row| row.get(0)).optional()?;
        let sql = format!(
            "SELECT {COLUMNS} FROM verdict v CROSS JOIN undone u ON u.act = v.target CROSS JOIN act a ON a.id = v.target \
             WHERE v.act = ?1 ORDER BY a.uuid"
        );
        undo.map_or_else(|| Ok(Vec::new()), |undo| self.records(&sql, [undo]))
    }

    /// The acts with these ids.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn acts_with(&self, ids: &[ActId]) -> Result<Vec<ActRecord>, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM act a WHERE a.uuid = ?1");
        let mut found = Vec::new();
        for id in ids {
            found.extend(self.records(&sql, [id.0.as_bytes()])?);
        }
        Ok(found)
    }

    pub(super) fn act_record(&self, row: i64) -> Result<ActRecord, StoreError> {
        let sql = format!("SELECT {COLUMNS} FROM act a WHERE a.id = ?1");
        self.records(&sql, [row])?.pop().ok_or_else(|| StoreError::Damaged(format!("act {row} is missing")))
    }

    /// Hands over every act of the log, in force or not, in order of identity: one at a time, so that a long log is
    /// never whole in memory.
    ///
    /// # Errors
    /// Whatever `each` returns, or when the journal cannot be read or is damaged.
    pub fn for_each_act<E: From<StoreError>>(&self, mut each: impl FnMut(LoggedAct) -> Result<(), E>) -> Result<(), E> {
        for row in self.act_rows()? {
            each(self.logged(row)?)?;
        }
        Ok(())
    }

    fn act_rows(&self) -> Result<Vec<i64>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT id FROM act ORDER BY uuid")?;
        Ok(statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    fn logged(&self, row: i64) -> Result<LoggedAct, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT d.uuid FROM act a CROSS JOIN device d ON d.id = a.device WHERE a.id = ?1")?;
        let device: Vec<u8> = statement.query_row([row], |row| row.get(0))?;
        let device = DeviceId(identity(&device, row)?);
        let mut statement = self.connection.prepare_cached(
            "SELECT a.uuid, v.ruling FROM verdict v CROSS JOIN act a ON a.id = v.target WHERE v.act = ?1 ORDER BY a.uuid",
        )?;
        let given = statement.query_map([row], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let mut rulings = Vec::new();
        for ruling in given {
            let (target, word): (Vec<u8>, String) = ruling?;
            let word = [Ruling::Undone, Ruling::Restored].into_iter().find(|ruling| ruling.word() == word);
            let word = word.ok_or_else(|| StoreError::Damaged(format!("act {row} gives an unknown verdict")))?;
            rulings.push((ActId(identity(&target, row)?), word));
        }
        Ok(LoggedAct { record: self.act_record(row)?, device, rulings })
    }

    fn records(&self, sql: &str, params: impl rusqlite::Params) -> Result<Vec<ActRecord>, StoreError> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let rows = statement
            .query_map(params, |row: &Row<'_>| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)))?;
        let mut records = Vec::new();
        for row in rows {
            let (row, uuid, verb, happened, recorded): (i64, Vec<u8>, String, String, String) = row?;
            let damaged = |what: &str| StoreError::Damaged(format!("act {row}: {what}"));
            records.push(ActRecord {
                row,
                id: ActId(Uuid::from_slice(&uuid).map_err(|_| damaged("its id is malformed"))?),
                verb: crate::quantity::shown(&verb),
                happened: happened.parse().map_err(|_| damaged("its day is not a day"))?,
                recorded,
                ruling: self.ruling_on(row)?,
                rules_on: self.ruled_on_by(row)?,
                entries: self.entries_of(row)?,
            });
        }
        Ok(records)
    }

    fn ruled_on_by(&self, act: i64) -> Result<Vec<ActId>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT a.uuid FROM verdict v CROSS JOIN act a ON a.id = v.target WHERE v.act = ?1")?;
        let ids = statement.query_map([act], |row| row.get(0))?.collect::<Result<Vec<Vec<u8>>, _>>()?;
        Ok(ids.iter().filter_map(|id| Uuid::from_slice(id).ok()).map(ActId).collect())
    }
}

fn identity(bytes: &[u8], row: i64) -> Result<Uuid, StoreError> {
    Uuid::from_slice(bytes).map_err(|_| StoreError::Damaged(format!("act {row}: an id is malformed")))
}
