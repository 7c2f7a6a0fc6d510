//! What is opened: a journal of this program, for its owner alone, and nothing else is touched.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use thumbpot::store::{Durability, Journal, StoreError, newest_schema};

use super::derived::DEVICE;
use super::power::acts_in;

fn open(path: &Path) -> Result<Journal, StoreError> {
    Journal::open(path, DEVICE, Durability::Synced)
}

/// Every file of a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries.filter(|path| path.is_file()).map(|path| (path.clone(), std::fs::read(path).unwrap())).collect()
}

#[test]
fn what_is_not_a_journal_is_refused_and_not_touched() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().join(name);
    std::fs::write(file("letter.txt"), "Dear sir, the seed you sent\n").unwrap();
    std::fs::write(file("zeros.db"), vec![0; 4096]).unwrap();
    std::fs::write(file("torn.db"), b"SQLite format 3\0 and then nothing of the kind").unwrap();
    let other = Connection::open(file("other.db")).unwrap();
    other.execute_batch("CREATE TABLE act (id INTEGER PRIMARY KEY); INSERT INTO act VALUES (1);").unwrap();
    let marked = Connection::open(file("marked.db")).unwrap();
    marked.execute_batch("PRAGMA application_id = 17; PRAGMA user_version = 1;").unwrap();
    drop((other, marked));
    std::fs::create_dir(file("folder.db")).unwrap();
    let before = files(folder.path());
    assert_eq!(before.len(), 5);
    for name in ["letter.txt", "zeros.db", "torn.db", "other.db", "marked.db"] {
        let refusal = open(&file(name)).expect_err(name);
        assert!(matches!(refusal, StoreError::NotAJournal(_)), "{name}: {refusal}");
    }
    assert!(matches!(open(&file("folder.db")).unwrap_err(), StoreError::Folder(_)));
    assert_eq!(files(folder.path()), before);
}

#[test]
fn a_journal_of_a_newer_schema_is_refused_and_not_touched() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    drop(open(&path).unwrap());
    let newer = newest_schema() + 1;
    Connection::open(&path).unwrap().execute_batch(&format!("PRAGMA user_version = {newer}")).unwrap();
    let before = files(folder.path());
    let refusal = open(&path).unwrap_err();
    assert!(matches!(refusal, StoreError::Newer { found, .. } if found == newer), "{refusal}");
    assert_eq!(files(folder.path()), before);
}

#[test]
fn an_empty_file_becomes_a_journal() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    std::fs::write(&path, "").unwrap();
    drop(open(&path).unwrap());
    assert!(open(&path).unwrap().check().unwrap().is_sound());
}

#[cfg(unix)]
#[test]
fn a_journal_and_all_beside_it_is_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    let journal = open(&path).unwrap();
    journal.back_up(&folder.path().join("copy.db"), thumbpot::store::Checked::Whole).unwrap();
    let found = files(folder.path());
    let names: Vec<String> =
        found.keys().map(|path| path.file_name().unwrap().to_string_lossy().into_owned()).collect();
    assert_eq!(names, ["copy.db", "journal.db", "journal.db-shm", "journal.db-wal"]);
    for path in found.keys() {
        let mode = std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode, 0o600, "{}: {mode:o}", path.display());
    }
    let mut permissions = std::fs::metadata(&path).unwrap().permissions();
    permissions.set_mode(0o400);
    drop(journal);
    std::fs::set_permissions(&path, permissions).unwrap();
    // It is looked at, and nothing more.
    let before = files(folder.path());
    let mut closed = open(&path).unwrap();
    assert!(closed.check().unwrap().is_sound());
    let refused = closed.write(|_| Ok::<(), StoreError>(()));
    assert!(matches!(refused, Err(StoreError::OnlyToRead)), "{refused:?}");
    drop(closed);
    assert_eq!(files(folder.path()), before);
}

#[test]
fn a_copy_of_what_was_altered_is_told_as_such_and_never_put_in_place() {
    let folder = tempfile::tempdir().unwrap();
    let [path, copy, again] = ["journal.db", "copy.db", "again.db"].map(|name| folder.path().join(name));
    let mut desk = super::derived::desk(&path, Durability::Synced).unwrap();
    let line = "place add sill --kind windowsill\nnote sill dusty";
    desk.run(line, super::derived::day(0), thumbpot::grammar::AfterRefusal::Stop, |_, _| {}).unwrap();
    assert_eq!(desk.back_up(&copy).unwrap().wrong, None);
    std::fs::copy(&copy, &again).unwrap();
    // A bit flips in a note on the stick.
    let mut bytes = std::fs::read(&copy).unwrap();
    let at = bytes.windows(5).position(|five| five == b"dusty").unwrap();
    bytes[at] ^= 1;
    std::fs::write(&copy, bytes).unwrap();
    let is_unsound = |error: String| {
        let of_the_copy = ["is not sound", "is not a thumbpot journal"].iter().any(|words| error.contains(words));
        assert!(of_the_copy && error.contains(".db"), "{error}");
    };
    is_unsound(desk.compare(&copy).unwrap_err().to_string());
    is_unsound(desk.restore(&copy).unwrap_err().to_string());
    is_unsound(desk.merge(&copy).unwrap_err().to_string());
    // Nor is the journal blamed for a page of the copy that cannot be read.
    let mut bytes = std::fs::read(&again).unwrap();
    for page in bytes.chunks_mut(4096).skip(2) {
        page[..64].fill(0xff);
    }
    std::fs::write(&again, bytes).unwrap();
    is_unsound(desk.restore(&again).unwrap_err().to_string());
    is_unsound(desk.merge(&again).unwrap_err().to_string());
    std::fs::remove_file(&again).unwrap();
    assert!(desk.check().unwrap().is_sound());
    // A copy made of such a journal says so.
    let altered = super::derived::desk(&copy, Durability::Synced).unwrap();
    assert!(altered.back_up(&again).unwrap().wrong.is_some());
    let told = thumbpot::desk::copy_trouble(altered.keep_copy(super::derived::day(1)));
    assert!(told.is_some_and(|line| line.contains("not sound")));
}

#[cfg(unix)]
#[test]
fn a_journal_that_others_could_read_is_taken_out_of_their_hands() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    let desk = |path: &Path| super::derived::desk(path, Durability::Synced).unwrap();
    let mut first = desk(&path);
    let today = super::derived::day(0);
    first.run("place add sill --kind windowsill", today, thumbpot::grammar::AfterRefusal::Stop, |_, _| {}).unwrap();
    drop(first);
    // As one that was copied from a stick, with what a program that died left beside it.
    for name in ["journal.db", "journal.db-wal"] {
        let file = std::fs::File::options().append(true).create(true).open(folder.path().join(name)).unwrap();
        file.set_permissions(std::fs::Permissions::from_mode(0o644)).unwrap();
    }
    let open = desk(&path);
    let (copy, _) = open.keep_copy(today).unwrap().unwrap();
    for (file, mode) in [
        (path.clone(), 0o600),
        (path.with_extension("db-wal"), 0o600),
        (path.with_extension("db-shm"), 0o600),
        (copy.clone(), 0o600),
        (copy.parent().unwrap().to_owned(), 0o700),
    ] {
        let found = std::fs::metadata(&file).unwrap().permissions().mode() & 0o777;
        assert_eq!(found, mode, "{}: {found:o}", file.display());
    }
}

#[test]
fn a_days_copy_is_made_again_where_only_a_beginning_of_it_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    let mut desk = super::derived::desk(&path, Durability::Synced).unwrap();
    let today = super::derived::day(0);
    desk.run("place add sill --kind windowsill", today, thumbpot::grammar::AfterRefusal::Stop, |_, _| {}).unwrap();
    let (copy, _) = desk.keep_copy(today).unwrap().unwrap();
    assert_eq!(desk.keep_copy(today).unwrap(), None);
    std::fs::write(&copy, "").unwrap();
    assert_eq!(desk.keep_copy(today).unwrap(), Some((copy.clone(), None)));
    assert_eq!(thumbpot::store::holding(&copy).unwrap().acts, 1);
}

#[test]
fn a_restored_backup_is_the_journal_as_it_was_and_the_other_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let (path, backup) = (folder.path().join("journal.db"), folder.path().join("backup.db"));
    let mut desk = super::derived::desk(&path, Durability::Synced).unwrap();
    let run = |desk: &mut thumbpot::desk::Desk, line: &str| {
        desk.run(line, super::derived::day(0), thumbpot::grammar::AfterRefusal::Stop, |_, _| {}).unwrap();
    };
    run(&mut desk, "place add sill --kind windowsill");
    desk.back_up(&backup).unwrap();
    let kept = acts_in(&path).unwrap();
    run(&mut desk, "place add frame --kind 'cold frame'");
    let all = acts_in(&path).unwrap();
    let aside = desk.restore(&backup).unwrap().aside;
    assert_eq!((acts_in(&path).unwrap(), acts_in(&aside).unwrap()), (kept, all));
    run(&mut desk, "place add tunnel --kind tunnel");
    assert_eq!(desk.check().unwrap().problems, []);
}
