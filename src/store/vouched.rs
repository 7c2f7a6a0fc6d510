//! Which acts of a scratch journal are as they were written, by their digests; and which row is the true one where two
//! want one place.
//!
//! A bit flipped in a key makes a row pass for another, or lays an entry to an act that it is not of; the act may be
//! whole on pages that nothing touched. So no row loses its place to one that no whole act is made of.

use std::collections::BTreeSet;

use rusqlite::params_from_iter;
use rusqlite::types::Value;
use uuid::Uuid;

use super::Books;
use super::acts::ActRecord;
use super::digest::{Chain, Digest};
use super::error::StoreError;
use super::salvage::Hints;

/// How many acts back another link of the chain is looked for than the act before.
const FURTHEST: usize = 2_000;

/// An act that is as it was written.
pub(super) struct Whole {
    pub(super) record: ActRecord,
    pub(super) device: Uuid,
    pub(super) digest: Digest,
    /// What it is chained to.
    pub(super) link: Option<Digest>,
}

/// A row as it was found, with the table that it looks to be of.
pub(super) struct Found {
    pub(super) table: &'static str,
    pub(super) columns: String,
    pub(super) values: Vec<Value>,
}

impl Found {
    /// In SQL, the rows that stand where this one would, by so many of its values.
    fn place(&self) -> (&'static str, usize) {
        match self.table {
            "act" | "device" => ("id = ?1 OR uuid = ?2", 2),
            "entry" => ("id = ?1 OR (act = ?2 AND sequence = ?3)", 3),
            "verdict" => ("id = ?1 OR (act = ?2 AND target = ?3)", 3),
            "lost_act" => ("digest = ?1", 1),
            _ => ("entry = ?1", 1),
        }
    }
}

/// Rows that may have been laid to an act that they are not of, one an act: the table, and the SQL for key and act.
const LAID_TO: [(&str, &str); 3] = [
    ("entry", "SELECT id, act, max(sequence) FROM entry GROUP BY act"),
    ("verdict", "SELECT min(id), act FROM verdict GROUP BY act"),
    ("verdict", "SELECT max(id), act FROM verdict GROUP BY act"),
];

impl Books<'_> {
    /// Adds a row, unless its values do not go with its columns. One whose place another has is its rival.
    pub(super) fn put(&self, row: Found, rivals: &mut Vec<Found>) -> Result<(), StoreError> {
        if self.insert(&row, "IGNORE")? {
            return Ok(());
        }
        let (place, table) = (row.place().0, row.table);
        let alike = row.columns.split(", ").zip(1..).map(|(column, index)| format!("{column} IS ?{index}"));
        let alike = alike.collect::<Vec<_>>().join(" AND ");
        let sql = format!(
            "SELECT 1 WHERE EXISTS (SELECT 1 FROM {table} WHERE {place}) AND NOT EXISTS (SELECT 1 FROM {table} WHERE {alike})"
        );
        if self.connection.prepare_cached(&sql)?.exists(params_from_iter(&row.values))? {
            rivals.push(row);
        }
        Ok(())
    }

    /// True when the row was taken; a row in its way is passed by ("IGNORE") or makes room ("REPLACE").
    fn insert(&self, row: &Found, other: &str) -> Result<bool, StoreError> {
        let places: Vec<String> = (1..=row.values.len()).map(|index| format!("?{index}")).collect();
        let sql = format!("INSERT OR {other} INTO {} ({}) VALUES ({})", row.table, row.columns, places.join(", "));
        match self.connection.prepare_cached(&sql)?.execute(params_from_iter(&row.values)) {
            Ok(rows) => Ok(rows > 0),
            Err(error) if error.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }

    /// The acts that are whole, first first: with the rows as they stand, then with rivals in the place of what no whole
    /// act is made of, then with one row less.
    pub(super) fn whole_acts(&self, hints: &Hints, rivals: &[Found]) -> Result<Vec<Whole>, StoreError> {
        let mut all = Vec::new();
        let mut whole = BTreeSet::new();
        self.judge(hints, &mut whole, &mut all)?;
        if self.let_in(rivals, &whole)? {
            self.judge(hints, &mut whole, &mut all)?;
        }
        for (table, laid_to) in LAID_TO {
            let out = self.take_out(table, laid_to, &whole)?;
            if !out.is_empty() {
                self.judge(hints, &mut whole, &mut all)?;
            }
            for (act, row) in out {
                if !whole.contains(&act) {
                    self.insert(&row, "IGNORE")?;
                }
            }
        }
        all.sort_by_key(|whole| whole.record.id);
        Ok(all)
    }

    /// Puts rivals in their place, but where a whole act is concerned; true when there was one.
    fn let_in(&self, rivals: &[Found], whole: &BTreeSet<i64>) -> Result<bool, StoreError> {
        let mut any = false;
        for row in rivals {
            let (place, width) = row.place();
            let concerned = match row.table {
                "act" => format!("SELECT ?1 UNION SELECT id FROM act WHERE {place}"),
                "device" => format!("SELECT id FROM act WHERE device IN (SELECT id FROM device WHERE {place})"),
                table @ ("entry" | "verdict") => format!("SELECT ?2 UNION SELECT act FROM {table} WHERE {place}"),
                _ => "SELECT act FROM entry WHERE id = ?1".to_owned(),
            };
            let mut statement = self.connection.prepare_cached(&concerned)?;
            let acts = statement.query_map(params_from_iter(&row.values[..width]), |row| row.get(0))?;
            let acts: BTreeSet<i64> = acts.collect::<Result<_, _>>()?;
            any |= acts.is_disjoint(whole) && self.insert(row, "REPLACE")?;
        }
        Ok(any)
    }

    /// Takes a row that may not be its own out of each act that is not whole; with the acts.
    fn take_out(
        &self,
        table: &'static str,
        laid_to: &str,
        whole: &BTreeSet<i64>,
    ) -> Result<Vec<(i64, Found)>, StoreError> {
        let mut statement = self.connection.prepare(laid_to)?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let rows: Vec<(i64, i64)> = rows.collect::<Result<_, _>>()?;
        let mut delete = self.connection.prepare(&format!("DELETE FROM {table} WHERE id = ?1 RETURNING *"))?;
        let columns = delete.column_names().join(", ");
        let width = delete.column_count();
        let mut out = Vec::new();
        for (id, act) in rows.into_iter().filter(|(_, act)| !whole.contains(act)) {
            let values = delete.query_row([id], |row| (0..width).map(|index| row.get(index)).collect())?;
            out.push((act, Found { table, columns: columns.clone(), values }));
        }
        Ok(out)
    }

    /// Adds the acts that are whole with the rows as they stand and were not found to be so before.
    fn judge(&self, hints: &Hints, whole: &mut BTreeSet<i64>, all: &mut Vec<Whole>) -> Result<(), StoreError> {
        let mut statement = self.connection.prepare("SELECT DISTINCT device FROM act")?;
        let devices = statement.query_map([], |row| row.get(0))?.collect::<Result<Vec<i64>, _>>()?;
        let mut statement = self.connection.prepare("SELECT uuid FROM device WHERE id = ?1")?;
        for device in devices {
            let noted = statement.query_map([device], |row| row.get::<_, Vec<u8>>(0))?;
            let noted = noted.filter_map(|uuid| Uuid::from_slice(&uuid.ok()?).ok()).collect::<Vec<_>>();
            // With its own row gone a device may still be known by the index, or be this machine.
            let named = noted.into_iter().chain(hints.identities.get(&device).into_iter().flatten().copied());
            for identity in named.chain([self.device.0]) {
                let found = self.whole_acts_of(device, identity, whole)?;
                if !found.is_empty() {
                    whole.extend(found.iter().map(|act| act.record.row));
                    all.extend(found);
                    break;
                }
            }
        }
        Ok(())
    }

    fn whole_acts_of(&self, device: i64, identity: Uuid, before: &BTreeSet<i64>) -> Result<Vec<Whole>, StoreError> {
        let mut statement = self.connection.prepare("SELECT id, digest FROM act WHERE device = ?1 ORDER BY uuid")?;
        let rows = statement.query_map([device], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let rows: Vec<(i64, Digest)> = rows.collect::<Result<_, _>>()?;
        let lost: Vec<Digest> = {
            let mut statement = self.connection.prepare("SELECT digest FROM lost_act")?;
            statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?
        };
        let mut chain = Chain { known: Vec::new(), lost };
        let mut whole: Vec<Whole> = Vec::new();
        // An act that does not match its own digest, and the digest that it should have.
        let mut doubted: Option<(ActRecord, Option<Digest>, Digest)> = None;
        for (row, stored) in rows {
            let record = if before.contains(&row) { None } else { self.act_record(row).ok() };
            let content = record.as_ref().and_then(|record| self.content_of(record, identity.as_bytes()).ok());
            let mut doubt = None;
            if let (Some(record), Some(content)) = (record, content) {
                let whole_of = |link| Whole { record: record.clone(), device: identity, digest: stored, link };
                if let Some(link) = chain.link(&content, &stored) {
                    whole.push(whole_of(link));
                } else if let Some((record, link, digest)) = doubted.take()
                    && content.after(Some(&digest)) == stored
                {
                    // The next act is chained to it: it is as it was written, and its stored digest is not.
                    whole.push(Whole { record, device: identity, digest, link });
                    whole.push(whole_of(Some(digest)));
                } else {
                    let link = chain.known.last().copied();
                    doubt = Some((record, link, content.after(link.as_ref())));
                }
            }
            doubted = doubt;
            chain.known.push(stored);
            if chain.known.len() > 2 * FURTHEST {
                chain.known.drain(..FURTHEST);
            }
        }
        Ok(whole)
    }
}
