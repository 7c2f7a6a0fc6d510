//! Opening a journal: whose file it is, how new it is, and every setting of the connection.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};
use rusqlite_migration::{M, Migrations};

use crate::quantity::message_shown;

use super::backup::{act_ids, acts_in, as_it_stands, copy_aside, holding, only_to_read};
use super::error::StoreError;
use super::place::{beside, is_seen_as_it_is, log_length};

/// Marks a file as a thumbpot journal: the letters `thpb`. The first migration sets it in its own transaction.
const APPLICATION_ID: i64 = 0x7468_7062;
pub(super) const BUSY: Duration = Duration::from_secs(10);
/// How long a rehearsal waits for another program that is writing.
pub(super) const BUSY_IN_REHEARSAL: Duration = Duration::from_millis(100);
/// Switching a fresh file to write-ahead logging does not wait for the busy timeout, so it is tried again.
const SWITCHES: u32 = 50;

const STEPS: &[M<'_>] = &[
    M::up(include_str!("../../migrations/0001_journal.sql")),
    M::up(include_str!("../../migrations/0002_cells_and_washing.sql")),
    M::up(include_str!("../../migrations/0003_journal_view.sql")),
    M::up(include_str!("../../migrations/0004_lost_acts.sql")),
];

/// The newest schema this program knows.
#[must_use]
pub fn newest_schema() -> i64 {
    i64::try_from(STEPS.len()).unwrap_or(i64::MAX)
}

/// Everything that a journal of the newest schema is made of, by name, as SQLite keeps it, and the kinds of fact.
pub(super) fn make(connection: &Connection) -> rusqlite::Result<Vec<(String, Option<String>)>> {
    let mut statement = connection.prepare(
        "SELECT name, sql FROM main.sqlite_schema UNION ALL SELECT 'kind ' || id, word FROM kind ORDER BY 1",
    )?;
    statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
}

/// The same of a journal made new, in memory.
pub(super) fn make_of_new() -> Result<Vec<(String, Option<String>)>, StoreError> {
    let mut connection = Connection::open_in_memory()?;
    Migrations::from_slice(STEPS)
        .to_latest(&mut connection)
        .map_err(|error| StoreError::Migration(message_shown(&error.to_string())))?;
    Ok(make(&connection)?)
}

/// How hard a commit is made to stick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Durability {
    /// Synced to the disk before it is called done.
    Synced,
    /// Left to the operating system: for journals made by a generator, never a grower's.
    Unsynced,
}

pub(super) fn connect(path: &Path, durability: Durability) -> Result<Connection, StoreError> {
    let mut tried = 0;
    loop {
        match connect_once(path, durability) {
            // A screen that has the file open which stood here before sees so at its next glance, and lets go of it.
            Err(StoreError::Held(_)) if tried < SWITCHES => {
                tried += 1;
                std::thread::sleep(Duration::from_millis(40));
            }
            // On a full disk, on a stick or in a folder that takes no writing it can still be looked at.
            Err(error @ (StoreError::ReadOnly(_) | StoreError::OnlyToRead | StoreError::Full)) => {
                return connect_to_read(path).map_err(|_| match error {
                    StoreError::OnlyToRead => StoreError::ReadOnly(path.to_owned()),
                    other => other,
                });
            }
            done => return done,
        }
    }
}

fn connect_once(path: &Path, durability: Durability) -> Result<Connection, StoreError> {
    refuse_what_is_no_file(path)?;
    let existed = create_private(path)?;
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(|error| cannot_open(path, &error))?;
    connection.busy_timeout(BUSY)?;
    let schema = if existed { schema_of(&connection, path) } else { Ok(0) };
    // Said first: what is not seen as it is may look like damage, or like no journal.
    if existed && !is_seen_as_it_is(&connection, path) {
        return Err(StoreError::Held(path.to_owned()));
    }
    let schema = schema?;
    if schema > newest_schema() {
        return Err(StoreError::Newer { path: path.to_owned(), found: schema, known: newest_schema() });
    }
    if connection.is_readonly(rusqlite::MAIN_DB)? {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    make_private(path);
    prepare(&connection, path, durability)?;
    if schema < newest_schema() {
        upgrade(&mut connection, path, schema, STEPS)?;
    }
    equip(connection)
}

/// Opens a journal of the newest schema that nothing is written to, nor beside it.
pub(super) fn connect_to_read(path: &Path) -> Result<Connection, StoreError> {
    // An empty log tells nothing, and on a full disk its index cannot be made.
    let connection = if log_length(path) == 0 { as_it_stands(path)? } else { only_to_read(path)? };
    let schema = schema_of(&connection, path)?;
    if schema != newest_schema() {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    connection.execute_batch(FOR_EVERY_CONNECTION)?;
    equip(connection)
}

const FOR_EVERY_CONNECTION: &str = "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF; PRAGMA temp_store = MEMORY;";

/// Gives a connection what the look-ups need.
fn equip(connection: Connection) -> Result<Connection, StoreError> {
    connection.execute_batch(
        "CREATE TEMP TABLE wanted_batch (id INTEGER PRIMARY KEY);
         CREATE TEMP TABLE wanted_container (id INTEGER PRIMARY KEY);
         CREATE TEMP TABLE set_aside (entry INTEGER PRIMARY KEY);",
    )?;
    connection.set_prepared_statement_cache_capacity(128);
    Ok(connection)
}

fn refuse_what_is_no_file(path: &Path) -> Result<(), StoreError> {
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => Err(StoreError::Folder(path.to_owned())),
        Ok(found) if !found.is_file() => Err(StoreError::NotAJournal(path.to_owned())),
        Ok(found) if found.permissions().readonly() => Err(StoreError::ReadOnly(path.to_owned())),
        _ => Ok(()),
    }
}

/// Makes the file readable by its owner alone before SQLite sees it; says whether it was there with something in it.
pub(super) fn create_private(path: &Path) -> Result<bool, StoreError> {
    let file_error = |source| StoreError::File { path: path.to_owned(), source };
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        fs::create_dir_all(folder).map_err(file_error)?;
    }
    let mut options = fs::OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match options.open(path) {
        Ok(file) => Ok(file.metadata().map_err(file_error)?.len() > 0),
        Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => {
            Err(StoreError::ReadOnly(path.to_owned()))
        }
        Err(error) if error.kind() == std::io::ErrorKind::ReadOnlyFilesystem => {
            Err(StoreError::ReadOnly(path.to_owned()))
        }
        Err(source) => Err(file_error(source)),
    }
}

/// Takes a journal that others could read out of their hands, as one that was copied from a stick. Where that cannot be
/// done, on a file system without owners or with a file of somebody else's, it stays as it is.
fn make_private(path: &Path) {
    #[cfg(unix)]
    for file in [path.to_owned(), beside(path, "-wal"), beside(path, "-shm")] {
        use std::os::unix::fs::PermissionsExt as _;
        if fs::metadata(&file).is_ok_and(|found| found.permissions().mode() & 0o077 != 0) {
            let _ = fs::set_permissions(&file, fs::Permissions::from_mode(0o600));
        }
    }
}

fn cannot_open(path: &Path, error: &rusqlite::Error) -> StoreError {
    StoreError::CannotOpen { path: path.to_owned(), reason: message_shown(&error.to_string()) }
}

/// True when a file says that it is a journal.
pub(super) fn is_marked(connection: &Connection) -> rusqlite::Result<bool> {
    Ok(connection.query_row("PRAGMA application_id", [], |row| row.get::<_, i64>(0))? == APPLICATION_ID)
}

/// The number of the schema in a file.
pub(super) fn schema(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// The schema of a file that holds something, before anything is written to it.
fn schema_of(connection: &Connection, path: &Path) -> Result<i64, StoreError> {
    // One look: another program may be making this journal, and what was not there a moment ago would not go with what
    // is there now.
    let _look = connection.unchecked_transaction()?;
    let application = connection.query_row("PRAGMA application_id", [], |row| row.get::<_, i64>(0));
    let application = application.map_err(|error| match StoreError::from(error) {
        StoreError::Damaged(_) => StoreError::NotAJournal(path.to_owned()),
        other => other,
    })?;
    let schema = schema(connection)?;
    let tables = connection
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0))
        .map_err(StoreError::from)?;
    match (application, schema, tables) {
        (APPLICATION_ID, schema, _) => Ok(schema),
        // Another program began to make this journal and has not finished.
        (0, 0, 0) => Ok(0),
        _ => Err(StoreError::NotAJournal(path.to_owned())),
    }
}

fn prepare(connection: &Connection, path: &Path, durability: Durability) -> Result<(), StoreError> {
    connection.execute_batch(FOR_EVERY_CONNECTION)?;
    let mode: String = connection.query_row("PRAGMA journal_mode", [], |row| row.get(0))?;
    if mode != "wal" {
        let mut tried = 0;
        loop {
            match connection.query_row("PRAGMA journal_mode = WAL", [], |row| row.get::<_, String>(0)) {
                Ok(_) => break,
                Err(error) => match StoreError::from(error) {
                    StoreError::Busy if tried < SWITCHES => {
                        tried += 1;
                        std::thread::sleep(Duration::from_millis(20));
                    }
                    StoreError::Damaged(_) => return Err(StoreError::NotAJournal(path.to_owned())),
                    other => return Err(other),
                },
            }
        }
    }
    connection.execute_batch(match durability {
        Durability::Synced => "PRAGMA synchronous = FULL;",
        Durability::Unsynced => "PRAGMA synchronous = OFF;",
    })?;
    Ok(())
}

fn upgrade(connection: &mut Connection, path: &Path, schema: i64, steps: &[M<'_>]) -> Result<(), StoreError> {
    if schema > 0 {
        copy_before(connection, path, steps.len())?;
    }
    let migrations = Migrations::from_slice(steps);
    let mut tried = 0;
    loop {
        match migrations.to_latest(connection) {
            Ok(()) => break,
            // Another program made the same journal at the same time: look again.
            Err(_) if tried < SWITCHES && schema_of(connection, path).is_ok_and(|now| now > schema) => break,
            Err(rusqlite_migration::Error::RusqliteError { err, .. }) if tried < SWITCHES && is_busy(&err) => {
                tried += 1;
                std::thread::sleep(Duration::from_millis(20));
            }
            // Without the step itself, which is as long as the schema.
            Err(rusqlite_migration::Error::RusqliteError { err, .. }) => {
                return Err(StoreError::Migration(message_shown(&err.to_string())));
            }
            Err(error) => return Err(StoreError::Migration(message_shown(&error.to_string()))),
        }
    }
    Ok(())
}

/// Keeps the journal as it is before a new schema, unless that was done: an upgrade may have been interrupted.
fn copy_before(connection: &Connection, path: &Path, schema: usize) -> Result<(), StoreError> {
    for number in 1_u32.. {
        let again = if number > 1 { format!("-{number}") } else { String::new() };
        let copy = path.with_extension(format!("before-schema-{schema}{again}.db"));
        if !copy.exists() {
            copy_aside(connection, &copy)?;
            break;
        }
        if holding(&copy).is_ok() && acts_in(&copy).is_ok_and(|kept| act_ids(connection).is_ok_and(|ids| kept == ids)) {
            break;
        }
    }
    Ok(())
}

fn is_busy(error: &rusqlite::Error) -> bool {
    use rusqlite::ErrorCode::{DatabaseBusy, DatabaseLocked};
    matches!(error.sqlite_error_code(), Some(DatabaseBusy | DatabaseLocked))
}

/// The file a connection is on.
pub(super) fn file_of(connection: &Connection) -> PathBuf {
    connection.path().map(PathBuf::from).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_migrations_are_valid() {
        Migrations::from_slice(STEPS).validate().unwrap();
    }

    /// A journal as it is today, and a connection on it.
    fn journal(folder: &Path) -> (PathBuf, Connection) {
        let path = folder.join("journal.db");
        let connection = connect(&path, Durability::Synced).unwrap();
        connection.execute("INSERT INTO device (uuid) VALUES (zeroblob(16))", []).unwrap();
        (path, connection)
    }

    fn devices(connection: &Connection) -> i64 {
        connection.query_row("SELECT count(*) FROM device", [], |row| row.get(0)).unwrap()
    }

    #[test]
    fn a_copy_is_made_before_a_new_schema() {
        let folder = tempfile::tempdir().unwrap();
        let (path, mut connection) = journal(folder.path());
        let steps = [STEPS, &[M::up("ALTER TABLE noted ADD COLUMN mood TEXT")]].concat();
        upgrade(&mut connection, &path, newest_schema(), &steps).unwrap();
        assert_eq!((schema(&connection).unwrap(), devices(&connection)), (newest_schema() + 1, 1));
        let aside = format!("journal.before-schema-{}.db", newest_schema() + 1);
        let copy = connect(&folder.path().join(aside), Durability::Synced).unwrap();
        assert_eq!((schema(&copy).unwrap(), devices(&copy)), (newest_schema(), 1));
        drop((copy, connection));
        let refused = connect(&path, Durability::Synced).unwrap_err();
        assert!(matches!(refused, StoreError::Newer { found, known, .. } if found == known + 1), "{refused}");
    }

    #[test]
    fn a_migration_that_fails_half_way_leaves_the_journal_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let (path, mut connection) = journal(folder.path());
        let before = make(&connection).unwrap();
        let half = M::up("ALTER TABLE noted ADD COLUMN mood TEXT; DELETE FROM device; SELECT nonsense;");
        let failed = upgrade(&mut connection, &path, newest_schema(), &[STEPS, &[half]].concat()).unwrap_err();
        assert!(matches!(failed, StoreError::Migration(_)), "{failed}");
        drop(connection);
        let connection = connect(&path, Durability::Synced).unwrap();
        assert_eq!((schema(&connection).unwrap(), devices(&connection)), (newest_schema(), 1));
        assert_eq!(make(&connection).unwrap(), before);
    }
}
