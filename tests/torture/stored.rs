//! What is stored is never changed, and a change made behind the program's back does not pass the check.

use std::path::Path;

use rusqlite::Connection;
use rusqlite::types::Value;
use thumbpot::grammar::AfterRefusal;
use thumbpot::store::{ActRecord, Books, Durability, Journal, StoreError};

use super::derived::{DEVICE, Tried, day, desk, type_season};
use super::season::Random;
use super::times;

/// Something of every kind.
const OF_EVERY_KIND: &str = "
place add sill --kind windowsill --heated-to 18C
place add frame --kind 'cold frame'
bench add sill/left --size 900x300mm --headroom 400mm
bench add frame/front --size 900x300mm --headroom 400..200mm
bench resize sill/left --size 800x300mm
lot add tomato 'Ash Lane' --packed 2023 --stated 85% --seeds 90
carrier add crate --in 1020-carrier --at sill/left
carrier add spare --in 1020-carrier --at sill/left
carrier clear spare
sow tomato 'Ash Lane' --seeds 24 --per-cell 1 --in 24-cell --at sill/left --treatment soaked --depth 6mm
sow unknown --clusters 12 --in half-tray --at sill/left
receive kale 'Blue Gate' --plants 6 --in 9cm-potx6 --at crate
count 1a 20 --standing 19 --sure
count 2a 9 --sure
count 3a --gaps 2 --sure
stage 1a --leaves 2 --height 40mm --leggy --roots
pot-on 1a 12 --into 9cm-potx12 --at frame/front
lose 1b 2 --cause slugs --note 'by the door'
plant-out 1b 3 --to 'long bed'
thin 2a 1
move 1b frame/front --count 2
move 1a frame/front
out 3a frame
in 3a
identify 2 beetroot 'Low Drum'
relabel 2 12
measure half-tray 235x185mm --height 60mm
own half-tray 12
note 1 'sturdy'
note frame 'glass mended'
reading frame --min -1.5 --max 12 --now 4 --compost 6 --soil 5
forecast set 2024-03-20 --low -2 --high 9
cover frame on
clear 1a --rest discard
wash 24-cell 1
count 1b --standing 5
undo
count 1b --standing 4 --sure
undo
redo
";

fn journal_of_every_kind(path: &Path) {
    let mut desk = desk(path, Durability::Unsynced).unwrap();
    desk.run(OF_EVERY_KIND, day(10), AfterRefusal::Stop, |_, _| {}).unwrap();
    assert_eq!(desk.check().unwrap().problems, []);
    drop(desk);
    // And an act that damage took: its digest is all that is left of it.
    let connection = Connection::open(path).unwrap();
    let last = "(SELECT id FROM act WHERE verb = 'note' ORDER BY uuid LIMIT 1)";
    let guards = ["act_stays", "entry_stays", "noted_stays"];
    let sql = |name: &&str| -> String {
        let find = "SELECT sql FROM sqlite_schema WHERE name = ?1";
        connection.query_row(find, [*name], |row| row.get(0)).unwrap()
    };
    let kept: Vec<String> = guards.iter().map(sql).collect();
    let drops: Vec<String> = guards.iter().map(|name| format!("DROP TRIGGER {name};")).collect();
    connection
        .execute_batch(&format!(
            "PRAGMA foreign_keys = OFF; {} INSERT INTO lost_act SELECT digest FROM act WHERE id = {last};
             DELETE FROM noted WHERE entry IN (SELECT id FROM entry WHERE act = {last});
             DELETE FROM entry WHERE act = {last}; DELETE FROM act WHERE id = {last}; {};",
            drops.join(" "),
            kept.join("; ")
        ))
        .unwrap();
    drop(connection);
    refold(path);
}

/// Derives everything anew, by merging the journal with an empty one.
fn refold(path: &Path) {
    let empty = path.with_extension("empty.db");
    drop(desk(&empty, Durability::Unsynced).unwrap());
    let mut desk = desk(path, Durability::Unsynced).unwrap();
    desk.merge(&empty).unwrap();
    let findings = desk.check().unwrap();
    assert_eq!((findings.problems, findings.gaps), (Vec::new(), 1));
}

fn names(connection: &Connection, sql: &str) -> Vec<String> {
    let mut statement = connection.prepare(sql).unwrap();
    let names = statement.query_map([], |row| row.get(0)).unwrap();
    names.collect::<Result<_, _>>().unwrap()
}

/// Every table of the journal but those that are derived.
fn log_tables(connection: &Connection) -> Vec<String> {
    names(
        connection,
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' \
         AND name NOT IN ('outcome', 'standing', 'carrier', 'undone')",
    )
}

fn columns(connection: &Connection, table: &str) -> Vec<String> {
    names(connection, &format!("SELECT name FROM pragma_table_info('{table}')"))
}

#[test]
fn no_table_of_the_log_can_be_changed_shortened_or_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    journal_of_every_kind(&path);
    let connection = Connection::open(&path).unwrap();
    let tables = log_tables(&connection);
    assert!(tables.len() >= 25, "{tables:?}");
    for table in tables {
        let columns = columns(&connection, &table);
        let count = || connection.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get::<_, i64>(0));
        let before = count().unwrap();
        assert!(before > 0, "{table} is empty: nothing is shown");
        let all = columns.join(", ");
        let mut tries = vec![
            (format!("DELETE FROM {table}"), "never shortened"),
            (format!("INSERT OR REPLACE INTO {table} ({all}) SELECT {all} FROM {table} LIMIT 1"), "never overwritten"),
            (format!("REPLACE INTO {table} ({all}) SELECT {all} FROM {table} LIMIT 1"), "never overwritten"),
        ];
        tries.extend(columns.iter().map(|one| (format!("UPDATE {table} SET {one} = {one}"), "never changed")));
        tries.push((format!("UPDATE OR REPLACE {table} SET {0} = {0}", columns[0]), "never changed"));
        for (sql, words) in tries {
            let refusal = connection.execute(&sql, []).expect_err(&sql).to_string();
            assert!(refusal.contains(words), "{sql}: {refusal}");
        }
        assert_eq!(count().unwrap(), before);
    }
    // Uniqueness beside the key must not be a way round either.
    let by_uuid = "INSERT OR REPLACE INTO act (id, uuid, device, verb, happened, recorded, digest) \
                   SELECT 9999, uuid, device, 'other', happened, recorded, digest FROM act LIMIT 1";
    assert!(connection.execute(by_uuid, []).unwrap_err().to_string().contains("never overwritten"));
    let by_place = "INSERT OR REPLACE INTO entry (id, act, sequence, kind, happened) SELECT 9999, act, sequence, kind, \
                    happened FROM entry LIMIT 1";
    assert!(connection.execute(by_place, []).unwrap_err().to_string().contains("never overwritten"));
}

/// The acts as they are read, and what they come to.
fn content(path: &Path) -> Result<Vec<ActRecord>, StoreError> {
    let journal = Journal::open(path, DEVICE, Durability::Unsynced)?;
    journal.read(|books: &Books<'_>| books.acts(u32::MAX, None))
}

/// True when a check says that something is wrong, or the journal cannot be read at all.
fn is_caught(path: &Path) -> bool {
    match Journal::open(path, DEVICE, Durability::Unsynced).and_then(|journal| journal.check()) {
        Ok(findings) => !findings.is_sound(),
        Err(_) => true,
    }
}

/// Another value of the same kind.
fn altered(value: &Value) -> Value {
    match value {
        Value::Null => Value::Integer(1),
        Value::Integer(number) => Value::Integer(number + 1),
        Value::Real(number) => Value::Real(number + 0.5),
        Value::Text(text) => Value::Text(if let Some(rest) = text.strip_suffix('7') {
            format!("{rest}8")
        } else if text.ends_with(|last: char| last.is_ascii_digit()) {
            format!("{}7", &text[..text.len() - 1])
        } else {
            format!("{text}x")
        }),
        Value::Blob(bytes) => {
            let mut bytes = bytes.clone();
            let last = bytes.len() - 1;
            bytes[last] ^= 1;
            Value::Blob(bytes)
        }
    }
}

#[test]
fn a_change_in_any_column_of_the_log_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    journal_of_every_kind(&path);
    let connection = Connection::open(&path).unwrap();
    let fields: Vec<(String, String)> = log_tables(&connection)
        .into_iter()
        .flat_map(|table| columns(&connection, &table).into_iter().map(move |column| (table.clone(), column)))
        .collect();
    drop(connection);
    let mut changed = 0;
    for (table, column) in fields {
        // The key of a verdict says only in which order an act spoke of several.
        if (table.as_str(), column.as_str()) == ("verdict", "id") {
            continue;
        }
        let copy = folder.path().join("copy.db");
        std::fs::copy(&path, &copy).unwrap();
        let connection = Connection::open(&copy).unwrap();
        let trigger = format!("{table}_keeps");
        let sql: String = connection
            .query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [&trigger], |row| row.get(0))
            .unwrap();
        let pragmas = "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;";
        connection.execute_batch(&format!("{pragmas} DROP TRIGGER {trigger};")).unwrap();
        let (row, value): (i64, Value) = connection
            .query_row(
                &format!("SELECT rowid, {column} FROM {table} ORDER BY {column} IS NULL, rowid DESC LIMIT 1"),
                [],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .unwrap();
        let update = format!("UPDATE {table} SET {column} = ?1 WHERE rowid = ?2");
        // A strict table may not hold a number in place of a missing text.
        let done = connection.execute(&update, rusqlite::params![altered(&value), row]);
        if done.is_err() {
            connection.execute(&update, rusqlite::params![Value::Text("2024-04-01".to_owned()), row]).unwrap();
        }
        connection.execute_batch(&sql).unwrap();
        drop(connection);
        assert!(is_caught(&copy), "{table}.{column}: changed from {value:?} in row {row}, and not found");
        changed += 1;
    }
    assert!(changed > 100, "{changed}");
}

#[test]
fn flipped_bits_are_found_or_harmless() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    journal_of_every_kind(&path);
    type_season_onto(&path);
    let before = content(&path).unwrap();
    let bytes = std::fs::read(&path).unwrap();
    let mut random = Random::new(5);
    let (mut caught, mut harmless) = (0, 0);
    for _ in 0..times(100, 2_000) {
        let mut flipped = bytes.clone();
        // Not in the empty room of a page, where nothing is stored.
        let at = std::iter::repeat_with(|| usize::try_from(random.below(bytes.len() as u64)).unwrap());
        let at = at.into_iter().find(|at| bytes[*at] != 0).unwrap();
        flipped[at] ^= 1 << random.below(8);
        let copy = folder.path().join("copy.db");
        for name in ["copy.db-wal", "copy.db-shm"] {
            let _ = std::fs::remove_file(folder.path().join(name));
        }
        std::fs::write(&copy, flipped).unwrap();
        if is_caught(&copy) {
            caught += 1;
        } else {
            assert_eq!(content(&copy).unwrap(), before, "byte {at} of {}: changed and not found", bytes.len());
            harmless += 1;
        }
    }
    println!("{} bytes: {caught} flips found, {harmless} harmless", bytes.len());
    assert!(caught > harmless, "{caught} found, {harmless} harmless");
}

/// More of everything in the same journal.
fn type_season_onto(path: &Path) {
    let mut other = desk(&path.with_extension("other.db"), Durability::Unsynced).unwrap();
    type_season(&mut other, 3, 150, &mut Tried::new());
    std::fs::rename(path.with_extension("other.db"), path).unwrap();
}

#[test]
fn a_wrong_row_in_a_derived_table_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    journal_of_every_kind(&path);
    for planted in [
        "UPDATE outcome SET standing = standing + 1, not_up = not_up - 1 WHERE number = 1",
        "UPDATE outcome SET lost = lost + 1, gained = gained + 1 WHERE number = 1",
        "UPDATE outcome SET live = 1 - live WHERE number = 12",
        "UPDATE standing SET up = up + 1",
        "DELETE FROM standing WHERE letter = 'b'",
        "DELETE FROM outcome WHERE number = 3",
        "DELETE FROM carrier",
        "DELETE FROM undone",
        "INSERT INTO undone (act) SELECT max(id) FROM act",
        "INSERT INTO carrier (container) SELECT entry FROM stood WHERE class = 'pot' LIMIT 1",
    ] {
        let copy = folder.path().join("copy.db");
        std::fs::copy(&path, &copy).unwrap();
        let connection = Connection::open(&copy).unwrap();
        connection.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
        assert!(connection.execute(planted, []).unwrap() > 0, "{planted}: nothing was changed");
        drop(connection);
        assert!(is_caught(&copy), "{planted}: not found");
    }
}

#[test]
fn a_dropped_guard_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    journal_of_every_kind(&path);
    Connection::open(&path).unwrap().execute_batch("DROP TRIGGER act_stays").unwrap();
    assert!(is_caught(&path));
}
