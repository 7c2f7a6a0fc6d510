//! Reading histories: of some batches with all that shares their containers, of all that is live, or of everything.

use rusqlite::Row;
use uuid::Uuid;

use crate::journal::{Entry, History};
use crate::quantity::{ActId, BatchId, ContainerId, Date, EntryId};

use super::error::StoreError;
use super::rows::{KINDS, Kind};
use super::{Books, acts::Ruling};

/// What to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope<'a> {
    /// These batches, and whatever shares containers and carriers with them or stands in these containers.
    Around(&'a [BatchId], &'a [ContainerId]),
    /// Every batch that is in a container or was planted out lately, every carrier in use, and temperatures and notes
    /// since a day.
    Live {
        /// The first day of temperatures and notes about places.
        since: Date,
        /// The first day whose plantings out are wanted, though their batches be cleared.
        planted_out: Date,
    },
    /// The same with whatever stood on a day or since and is emptied or put away by now.
    StoodSince {
        /// The day; temperatures and notes about places are read from it on.
        day: Date,
    },
    /// Everything.
    All,
}

pub(super) const IN_FORCE: &str = " AND NOT EXISTS (SELECT 1 FROM undone u WHERE u.act = e.act)";
/// Places, benches and what is known of kinds of container: few, and wanted always.
const GROUND: [i64; 5] = [1, 2, 3, 22, 23];
pub(super) const LOT: i64 = 4;
const OF_CONTAINERS: [i64; 5] = [5, 12, 13, 14, 21];
const OF_BATCHES: [i64; 9] = [6, 7, 8, 9, 10, 11, 15, 16, 17];
/// Of those, the temperatures: read and forecast.
const OF_WEATHER: [i64; 2] = [18, 19];
/// What is about no batch and no container: wanted from a day on.
const BY_DAY: [i64; 5] = [17, 18, 19, 20, 24];

/// One step outwards from the wanted things to all that shares containers and carriers with them.
const SPREAD: [&str; 6] = [
    "INSERT OR IGNORE INTO temp.wanted_container SELECT f.container FROM temp.wanted_batch w \
     CROSS JOIN filled f ON f.batch = w.id",
    "INSERT OR IGNORE INTO temp.wanted_container SELECT s.carrier FROM temp.wanted_container w \
     CROSS JOIN stood s ON s.entry = w.id WHERE s.carrier IS NOT NULL",
    "INSERT OR IGNORE INTO temp.wanted_container SELECT m.carrier FROM temp.wanted_container w \
     CROSS JOIN entry e ON e.container = w.id AND e.kind = 12 CROSS JOIN moved m ON m.entry = e.id \
     WHERE m.carrier IS NOT NULL",
    "INSERT OR IGNORE INTO temp.wanted_container SELECT s.entry FROM temp.wanted_container w \
     CROSS JOIN stood s ON s.carrier = w.id",
    "INSERT OR IGNORE INTO temp.wanted_container SELECT m.container FROM temp.wanted_container w \
     CROSS JOIN moved m ON m.carrier = w.id",
    "INSERT OR IGNORE INTO temp.wanted_batch SELECT f.batch FROM temp.wanted_container w \
     CROSS JOIN filled f ON f.container = w.id",
];

impl Books<'_> {
    /// The entries in force within a scope, in the order of the fold.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn history(&self, scope: Scope<'_>) -> Result<History, StoreError> {
        let mut entries = Vec::new();
        self.want(scope)?;
        if scope == Scope::All {
            for kind in &KINDS {
                self.collect(kind, &format!("{} k CROSS JOIN entry e ON e.id = k.entry", kind.table), &mut entries)?;
            }
            return Ok(History::new(entries));
        }
        for kind in KINDS.iter().filter(|kind| GROUND.contains(&kind.number)) {
            self.collect(kind, &format!("{} k CROSS JOIN entry e ON e.id = k.entry", kind.table), &mut entries)?;
        }
        self.collect_wanted(&mut entries)?;
        if let Scope::Live { since, .. } | Scope::StoodSince { day: since } = scope {
            for number in BY_DAY {
                self.collect_by_day(number, &format!(">= '{since}'"), &mut entries)?;
            }
        }
        Ok(History::new(entries))
    }

    /// The temperatures noted for places within spans of days, both ends in them: what earlier sowings stood in. Costs
    /// what those days hold, however many years lie between.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn temperatures(&self, spans: &[(Date, Date)]) -> Result<Vec<Entry>, StoreError> {
        let mut entries = Vec::new();
        for (from, to) in spans {
            for number in OF_WEATHER {
                self.collect_by_day(number, &format!("BETWEEN '{from}' AND '{to}'"), &mut entries)?;
            }
        }
        Ok(entries)
    }

    /// Reads what is about no batch and no container on some days.
    fn collect_by_day(&self, number: i64, days: &str, entries: &mut Vec<Entry>) -> Result<(), StoreError> {
        let kind = kind(number);
        let from = format!(
            "entry e INDEXED BY entry_by_day CROSS JOIN {} k ON k.entry = e.id AND e.kind = {number} \
             AND e.batch IS NULL AND e.container IS NULL AND e.happened {days}",
            kind.table
        );
        self.collect(kind, &from, entries)
    }

    fn collect_wanted(&self, entries: &mut Vec<Entry>) -> Result<(), StoreError> {
        for number in OF_CONTAINERS {
            let kind = kind(number);
            let from = format!(
                "temp.wanted_container w CROSS JOIN entry e ON e.container = w.id AND e.kind = {number} \
                 CROSS JOIN {} k ON k.entry = e.id",
                kind.table
            );
            self.collect(kind, &from, entries)?;
        }
        for number in OF_BATCHES {
            let kind = kind(number);
            let from = format!(
                "temp.wanted_batch w CROSS JOIN entry e ON e.batch = w.id AND e.kind = {number} \
                 CROSS JOIN {} k ON k.entry = e.id",
                kind.table
            );
            self.collect(kind, &from, entries)?;
        }
        let lots = "(SELECT b.lot FROM temp.wanted_batch w CROSS JOIN begun b ON b.entry = w.id UNION \
                     SELECT i.lot FROM temp.wanted_batch w CROSS JOIN entry n ON n.batch = w.id AND n.kind = 15 \
                     CROSS JOIN identified i ON i.entry = n.id) l \
                    CROSS JOIN entry e ON e.id = l.lot CROSS JOIN lot_added k ON k.entry = e.id";
        self.collect(kind(LOT), lots, entries)
    }

    /// Reads the entries of one kind, in force, from a FROM clause that names `e` the entry and `k` its own table.
    fn collect(&self, kind: &Kind, from: &str, entries: &mut Vec<Entry>) -> Result<(), StoreError> {
        // The kind is part of the joins on wanted things; the rest of the scopes have one kind by their table.
        let sql = format!("{} FROM {from} CROSS JOIN act a ON a.id = e.act WHERE 1{IN_FORCE}", select(kind));
        let mut statement = self.connection.prepare_cached(&sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            entries.push(entry_of(kind, row)?);
        }
        Ok(())
    }

    /// Fills the tables of wanted batches and containers, closed over whatever shares containers.
    pub(super) fn want(&self, scope: Scope<'_>) -> Result<(), StoreError> {
        self.execute("DELETE FROM temp.wanted_batch")?;
        self.execute("DELETE FROM temp.wanted_container")?;
        match scope {
            Scope::Around(batches, containers) => {
                let mut batch =
                    self.connection.prepare_cached("INSERT OR IGNORE INTO temp.wanted_batch VALUES (?1)")?;
                for id in batches {
                    batch.execute([id.0.0])?;
                }
                let mut container =
                    self.connection.prepare_cached("INSERT OR IGNORE INTO temp.wanted_container VALUES (?1)")?;
                for id in containers {
                    container.execute([id.0.0])?;
                }
            }
            Scope::Live { .. } | Scope::StoodSince { .. } => {
                self.execute("INSERT INTO temp.wanted_batch SELECT batch FROM outcome WHERE live = 1")?;
                self.execute("INSERT INTO temp.wanted_container SELECT container FROM carrier")?;
                match scope {
                    Scope::StoodSince { day } => self.want_stood_since(day)?,
                    Scope::Live { planted_out, .. } => self.want_planted_out(planted_out)?,
                    Scope::Around(..) | Scope::All => {}
                }
            }
            Scope::All => {
                // Read without them; but whatever is derived of them and no longer folds to anything must go.
                self.execute("INSERT INTO temp.wanted_batch SELECT batch FROM outcome")?;
                self.execute("INSERT INTO temp.wanted_container SELECT container FROM carrier")?;
                return Ok(());
            }
        }
        loop {
            let mut found = 0;
            for sql in SPREAD {
                found += self.execute(sql)?;
            }
            if found == 0 {
                return Ok(());
            }
        }
    }

    fn want_stood_since(&self, day: Date) -> Result<(), StoreError> {
        for sql in [
            "INSERT OR IGNORE INTO temp.wanted_batch SELECT e.batch FROM entry e INDEXED BY entry_cleared_by_day \
             WHERE e.kind = 11 AND e.happened >= ?1 AND e.batch IS NOT NULL",
            "INSERT OR IGNORE INTO temp.wanted_container SELECT e.container FROM entry e \
             INDEXED BY entry_put_away_by_day WHERE e.kind = 21 AND e.happened >= ?1 AND e.container IS NOT NULL",
        ] {
            self.connection.prepare_cached(sql)?.execute([day.to_string()])?;
        }
        Ok(())
    }

    /// The batches that were planted out since a day: costs the acts since then.
    fn want_planted_out(&self, day: Date) -> Result<(), StoreError> {
        let sql = "INSERT OR IGNORE INTO temp.wanted_batch SELECT e.batch FROM act a INDEXED BY act_by_day \
                   CROSS JOIN entry e ON e.act = a.id AND e.kind = 10 \
                   CROSS JOIN departed d ON d.entry = e.id AND d.how = 'planted out' \
                   WHERE a.happened >= ?1 AND e.batch IS NOT NULL";
        self.connection.prepare_cached(sql)?.execute([day.to_string()])?;
        Ok(())
    }

    /// The batches that the last [`Books::history`] reached.
    pub(super) fn wanted_batches(&self) -> Result<Vec<BatchId>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT id FROM temp.wanted_batch")?;
        let ids = statement.query_map([], |row| row.get(0))?.collect::<Result<Vec<i64>, _>>()?;
        Ok(ids.into_iter().map(|id| BatchId(EntryId(id))).collect())
    }

    /// The containers that the last [`Books::history`] reached.
    pub(super) fn wanted_containers(&self) -> Result<Vec<ContainerId>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT id FROM temp.wanted_container")?;
        let ids = statement.query_map([], |row| row.get(0))?.collect::<Result<Vec<i64>, _>>()?;
        Ok(ids.into_iter().map(|id| ContainerId(EntryId(id))).collect())
    }

    pub(super) fn execute(&self, sql: &str) -> Result<usize, StoreError> {
        Ok(self.connection.prepare_cached(sql)?.execute([])?)
    }

    /// The entries of some acts, in force or not, by act and sequence.
    ///
    /// # Errors
    /// When the journal cannot be read or is damaged.
    pub fn entries_of(&self, act: i64) -> Result<Vec<Entry>, StoreError> {
        let mut entries = Vec::new();
        let mut kinds =
            self.connection.prepare_cached("SELECT id, kind FROM entry WHERE act = ?1 ORDER BY sequence")?;
        let rows = kinds.query_map([act], |row| Ok((row.get(0)?, row.get(1)?)))?;
        for row in rows {
            let (id, number): (i64, i64) = row?;
            let kind = KINDS.iter().find(|kind| kind.number == number);
            let kind = kind.ok_or_else(|| StoreError::Damaged(format!("entry {id} is of unknown kind {number}")))?;
            let sql = format!(
                "{} FROM entry e CROSS JOIN {} k ON k.entry = e.id CROSS JOIN act a ON a.id = e.act WHERE e.id = ?1",
                select(kind),
                kind.table
            );
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows = statement.query([id])?;
            let row = rows.next()?.ok_or_else(|| StoreError::Damaged(format!("entry {id} has no content")))?;
            entries.push(entry_of(kind, row)?);
        }
        Ok(entries)
    }

    /// True when an act is undone at present.
    pub(super) fn ruling_on(&self, act: i64) -> Result<Ruling, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT 1 FROM undone WHERE act = ?1")?;
        Ok(if statement.exists([act])? { Ruling::Undone } else { Ruling::Restored })
    }
}

pub(super) fn kind(number: i64) -> &'static Kind {
    // `KINDS` is in the order of the numbers, from 1.
    &KINDS[usize::try_from(number - 1).unwrap_or(0)]
}

pub(super) fn select(kind: &Kind) -> String {
    let columns: Vec<String> = kind.columns.iter().map(|column| format!("k.{column}")).collect();
    format!("SELECT e.id, a.uuid, e.sequence, e.happened, {}", columns.join(", "))
}

pub(super) fn entry_of(kind: &Kind, row: &Row<'_>) -> Result<Entry, StoreError> {
    let id = EntryId(row.get(0)?);
    let damaged = |what: &str| StoreError::Damaged(format!("entry {}: {what}", id.0));
    let act = Uuid::from_slice(row.get_ref(1)?.as_blob().map_err(|_| damaged("its act has no id"))?);
    let on = row.get_ref(3)?.as_str().map_err(|_| damaged("its day is not text"))?;
    Ok(Entry {
        id,
        act: ActId(act.map_err(|_| damaged("its act's id is malformed"))?),
        sequence: row.get(2)?,
        on: on.parse().map_err(|_| damaged("its day is not a day"))?,
        fact: kind.read(row, 4)?,
    })
}
