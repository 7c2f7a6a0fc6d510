//! A journal whose file is damaged: it is said to be, and what the messages name brings it back.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::fs;
use std::path::Path;

use crate::command_line::Home;

const BEGINNING: &str = "
place add sill --kind windowsill --on 2024-01-01
bench add sill/back --size 1200x400mm --on 2024-01-01
sow tomato 'Ash Lane' --seeds 20 --in half-tray --at sill --on 2024-03-01
count 1 12 --on 2024-03-12
note 1 leaning --on 2024-03-15
";

const PAGE: usize = 4096;

/// A home whose journal is one file, and its bytes.
fn home() -> (Home, Vec<u8>) {
    let home = Home::empty();
    home.script(BEGINNING);
    home.does("backup whole.db");
    let mut bytes = fs::read(home.file("whole.db")).unwrap();
    // With a write-ahead log, as a journal has it (the file format of SQLite, 1.3).
    bytes[18..20].fill(2);
    (home, bytes)
}

/// Puts bytes in the journal's place, with nothing beside them that SQLite wrote.
fn lay(home: &Home, bytes: &[u8]) {
    for ending in ["-wal", "-shm"] {
        let _ = fs::remove_file(format!("{}{ending}", home.journal().display()));
    }
    fs::write(home.journal(), bytes).unwrap();
}

/// The root page of every table and index, and the pages of the schema itself, from 0.
fn pages_of(file: &Path, of: &str) -> Vec<usize> {
    let file = rusqlite::Connection::open(file).unwrap();
    let mut statement = file.prepare(of).unwrap();
    let pages = statement.query_map([], |row| row.get::<_, u32>(0)).unwrap();
    pages.map(|page| page.unwrap() as usize - 1).collect()
}

#[test]
fn a_backup_is_restored_over_a_journal_however_it_is_damaged() {
    let (home, bytes) = home();
    let log = home.log();
    let entry = pages_of(&home.file("whole.db"), "SELECT rootpage FROM sqlite_schema WHERE name IN ('act', 'entry')");
    let scrambled = |pages: &[usize]| {
        let mut bytes = bytes.clone();
        for page in pages {
            bytes[page * PAGE..(page + 1) * PAGE].iter_mut().enumerate().for_each(|(at, byte)| *byte = (at * 37) as u8);
        }
        bytes
    };
    let damages = [
        ("a table", scrambled(&entry)),
        ("the schema", scrambled(&[bytes.len() / PAGE - 1, bytes.len() / PAGE - 2])),
        ("no header", [vec![0; 100], bytes[100..].to_vec()].concat()),
        ("cut short", bytes[..bytes.len() / 2].to_vec()),
    ];
    for (number, (what, damaged)) in damages.iter().enumerate() {
        lay(&home, damaged);
        let refused = home.types("due");
        assert!(
            refused.code == 1 && refused.err.contains("`restore FILE` brings back a backup"),
            "{what}: {refused:?}"
        );
        let done = home.types("restore whole.db --yes");
        let name = format!("journal.before-restore-{}.db", number + 1);
        assert!(done.code == 0 && done.out.contains("restored 5 acts") && done.out.contains(&name), "{what}: {done:?}");
        let kept = fs::read(home.journal().with_file_name(name)).unwrap();
        assert!(&kept == damaged, "{what}: not kept as it was");
    }
    assert_eq!(home.log(), log);
    // What came out of the damaged file goes in its place too, after a look.
    lay(&home, &damages[2].1);
    home.does("check --salvage saved.db");
    let asked = home.types("restore saved.db");
    assert!(asked.code == 1 && asked.out.starts_with("saved.db: 5 acts"), "{asked:?}");
    assert!(asked.out.contains("the journal itself cannot be read"), "{asked:?}");
    assert!(home.does("restore saved.db --yes").starts_with("restored 5 acts"));
    // A copy that is damaged itself is told in words.
    fs::write(home.file("torn.db"), &damages[0].1).unwrap();
    let refused = home.types("restore torn.db --yes");
    assert!(
        refused.code == 1 && refused.err.contains("torn.db is not sound: file: pages of it cannot be read"),
        "{refused:?}"
    );
    // A file of another program is not moved about.
    let other = rusqlite::Connection::open(home.file("stamps.db")).unwrap();
    other.execute_batch("CREATE TABLE stamp (name TEXT);").unwrap();
    drop(other);
    let refused = home.types("restore whole.db --yes --journal stamps.db");
    assert!(refused.code == 1 && refused.err.contains("is not a thumbpot journal"), "{refused:?}");
}

#[test]
fn damage_is_told_as_damage_whatever_page_it_is_on() {
    let (home, bytes) = home();
    let schema =
        pages_of(&home.file("whole.db"), "SELECT pageno FROM dbstat WHERE name = 'sqlite_schema' AND pageno > 1");
    assert!(schema.len() > 2, "{schema:?}");
    for page in schema.into_iter().take(2) {
        let mut damaged = bytes.clone();
        damaged[page * PAGE..(page + 1) * PAGE].fill(0x5a);
        lay(&home, &damaged);
        for line in ["due", "check"] {
            let told = home.types(line);
            assert!(told.code == 1 && !told.err.contains("another program"), "{line}, page {page}: {told:?}");
            assert!((told.out + &told.err).contains("check --salvage NEWFILE"), "{line}, page {page}");
        }
        let _ = fs::remove_file(home.file("saved.db"));
        assert!(home.does("check --salvage saved.db").starts_with("5 of 5 acts"), "page {page}");
    }
}
