//! Old data stays readable for ever: a journal of every schema that left the workshop is kept in `journals/`, opened by
//! this program and checked, and every row of its log is the same before and after. Each is the demonstration as the
//! first program of that schema made it, by `thumbpot demo --into tests/journals/schema-N.db`.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rusqlite::types::Value;
use rusqlite::{Connection, OpenFlags};
use thumbpot::desk::{DEMO_DAY, Desk};
use thumbpot::quantity::DeviceId;
use thumbpot::store::{Durability, Journal, newest_schema};
use thumbpot::trade::Trade;

/// Every journal kept, by the number of its schema.
fn kept() -> Vec<(i64, PathBuf)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journals");
    let files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
    let schema = |path: &PathBuf| path.file_stem()?.to_str()?.strip_prefix("schema-")?.parse().ok();
    let mut kept: Vec<(i64, PathBuf)> = files.filter_map(|path| Some((schema(&path)?, path))).collect();
    kept.sort();
    kept
}

/// Schemas 2 and 3 were passed through within days while 4 was made; no program that wrote them went to a grower.
const KEPT: [i64; 2] = [1, 4];

/// Every row of the log of a file, column by column, as SQL reads it that knows nothing of this program: what is derived
/// from the log is made anew, and need not be the same.
fn log_of(path: &Path) -> BTreeMap<String, Vec<Vec<Value>>> {
    let connection = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let mut tables = connection
        .prepare(
            "SELECT t.name, group_concat('\"' || c.name || '\"') FROM sqlite_schema t, pragma_table_info(t.name) c \
             WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite%' \
             AND t.name NOT IN ('outcome', 'standing', 'carrier', 'undone') GROUP BY t.name",
        )
        .unwrap();
    let tables = tables.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    let tables: Vec<(String, String)> = tables.collect::<Result<_, _>>().unwrap();
    tables.into_iter().map(|(table, columns)| (table.clone(), rows(&connection, &table, &columns))).collect()
}

fn rows(connection: &Connection, table: &str, columns: &str) -> Vec<Vec<Value>> {
    let mut statement = connection.prepare(&format!("SELECT {columns} FROM {table} ORDER BY rowid")).unwrap();
    let width = statement.column_count();
    let rows = statement.query_map([], |row| (0..width).map(|column| row.get(column)).collect()).unwrap();
    rows.collect::<Result<_, _>>().unwrap()
}

#[test]
fn an_upgrade_changes_no_row_of_the_log() {
    let folder = tempfile::tempdir().unwrap();
    for (schema, stored) in kept() {
        let copy = folder.path().join(stored.file_name().unwrap());
        std::fs::copy(&stored, &copy).unwrap();
        let before = log_of(&copy);
        let device = DeviceId(uuid::Uuid::from_u128(7));
        drop(Journal::open(&copy, device, Durability::Synced).unwrap());
        let after = log_of(&copy);
        let number = before.values().map(Vec::len).sum::<usize>();
        assert!(number > 1_000, "schema {schema}: {number} rows");
        for (table, rows) in before {
            let now = &after[&table];
            // A kind of fact may be added, and a column to an old one.
            assert!(now.len() == rows.len() || table == "kind" && now.len() > rows.len(), "schema {schema}: {table}");
            for (old, new) in rows.iter().zip(now) {
                assert!(new.starts_with(old) && new[old.len()..].iter().all(|added| *added == Value::Null), "{table}");
            }
        }
    }
}

#[test]
fn a_journal_of_every_schema_opens_and_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    let kept = kept();
    assert_eq!(kept.iter().map(|(schema, _)| *schema).collect::<Vec<_>>(), KEPT);
    assert_eq!(KEPT.last(), Some(&newest_schema()), "keep a journal of the newest schema before it leaves");
    for (schema, stored) in kept {
        assert!(schema <= newest_schema(), "schema {schema} is kept and not known");
        let copy = folder.path().join(stored.file_name().unwrap());
        std::fs::copy(&stored, &copy).unwrap();
        let device = DeviceId(uuid::Uuid::from_u128(7));
        let desk = Desk::open_with(&copy, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        let findings = desk.check().unwrap();
        assert!(findings.is_sound(), "schema {schema}: {findings:?}");
        assert!(findings.batches >= 50, "schema {schema}: {} batches", findings.batches);
        assert!(desk.state(DEMO_DAY).unwrap().batches.len() >= 30);
    }
}
