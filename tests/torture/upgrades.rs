//! An upgrade that is interrupted: a journal of the first schema is opened by this program on a disk that fails at every
//! point in turn, or loses its power there. What is left is the old journal or the new one, whole, and the next start
//! makes it the new one.

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use thumbpot::store::{Durability, Journal, newest_schema};

use super::derived::DEVICE;
use super::disk::{Call, Disk, Failing, Fault, Op, cut};
use super::power::acts_of;
use super::season::Random;
use super::times;

fn old() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journals/schema-1.db")
}

/// The schema a file is of, and its tables and views by their SQL, as a program that knows nothing of this one reads
/// them.
fn make(path: &Path) -> (i64, Vec<String>) {
    let connection = Connection::open(path).unwrap();
    let schema = connection.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    let sound: String = connection.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(sound, "ok");
    let mut statement = connection.prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY 1").unwrap();
    let sql = statement.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
    (schema, sql)
}

struct Versions {
    old: (i64, Vec<String>),
    new: (i64, Vec<String>),
    acts: Vec<String>,
}

impl Versions {
    fn known() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal.db");
        std::fs::copy(old(), &path).unwrap();
        let before = make(&path);
        let journal = Journal::open(&path, DEVICE, Durability::Synced).unwrap();
        let acts = acts_of(&journal).unwrap();
        drop(journal);
        let versions = Self { old: before, new: make(&path), acts };
        assert_eq!((versions.old.0, versions.new.0), (1, newest_schema()));
        assert!(newest_schema() > 1, "there is no upgrade to interrupt");
        versions
    }

    /// The file is one or the other, and becomes the new one.
    fn assert_whole(&self, path: &Path, when: &str) -> bool {
        let found = make(path);
        assert!(found == self.old || found == self.new, "{when}: schema {} and something between", found.0);
        let journal =
            Journal::open(path, DEVICE, Durability::Unsynced).unwrap_or_else(|error| panic!("{when}: {error}"));
        assert_eq!(acts_of(&journal).unwrap(), self.acts, "{when}");
        drop(journal);
        assert_eq!(make(path), self.new, "{when}");
        found == self.old
    }
}

#[test]
fn an_upgrade_on_a_failing_disk_leaves_the_old_journal_or_the_new() {
    let versions = Versions::known();
    let (mut runs, mut left_old) = (0, 0);
    for call in [Call::Open, Call::Write, Call::Sync, Call::Truncate, Call::Delete] {
        for after in (0..).step_by(usize::try_from(times(6, 1)).unwrap()) {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().canonicalize().unwrap().join("journal.db");
            std::fs::copy(old(), &path).unwrap();
            let failing = [Failing::Error, Failing::Full, Failing::Short][after % 3];
            let disk = Disk::under(folder.path(), Some(Fault { call, after: after as u64, failing, for_ever: true }));
            let opened = Journal::open(&path, DEVICE, Durability::Synced);
            let refused = opened.is_err();
            drop(opened);
            let fired = disk.mend();
            let was_old = versions.assert_whole(&path, &format!("{call:?} {after}"));
            assert!(refused || !was_old, "{call:?} {after}: opened, and not upgraded");
            runs += 1;
            left_old += u32::from(was_old);
            if !fired {
                break;
            }
        }
    }
    println!("{runs} interrupted upgrades, {left_old} left the old journal");
    assert!(left_old > 10 && left_old < runs);
}

#[test]
fn an_upgrade_cut_off_by_a_power_cut_leaves_the_old_journal_or_the_new() {
    let versions = Versions::known();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    std::fs::copy(old(), &path).unwrap();
    let disk = Disk::under(folder.path(), None);
    drop(Journal::open(&path, DEVICE, Durability::Synced).unwrap());
    let file = "journal.db".to_owned();
    let mut ops = vec![
        Op::Create { file: file.clone() },
        Op::Write { file: file.clone(), at: 0, bytes: std::fs::read(old()).unwrap() },
        Op::Sync { file },
    ];
    let before = ops.len();
    ops.extend(disk.ops_since(0));
    let mut random = Random::new(3);
    let (mut cuts, mut left_old) = (0, 0);
    for at in (before..=ops.len()).step_by(usize::try_from(times(8, 1)).unwrap()) {
        let folder = tempfile::tempdir().unwrap();
        for (file, content) in cut(&ops[..at], &mut random) {
            std::fs::write(folder.path().join(file), content).unwrap();
        }
        left_old += u32::from(versions.assert_whole(&folder.path().join("journal.db"), &format!("cut after {at}")));
        cuts += 1;
    }
    println!("{cuts} power cuts, {left_old} left the old journal");
    assert!(left_old > 10 && left_old < cuts);
}
