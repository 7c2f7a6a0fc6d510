//! A damaged file: every act of which no byte was touched is brought out, as it was written, into a journal that passes
//! the check; and nothing that was not written comes out.
//!
//! Which acts a damage touched is told by SQLite itself: `dbstat` lists the pages of each table, before the damage.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use rusqlite::Connection;
use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::{ActId, EntryId};
use thumbpot::store::{ActRecord, Books, Durability, Journal, LoggedAct, Loss, Salvaged, StoreError, salvage};

use super::derived::{DEVICE, day, desk};
use super::season::Random;
use super::times;

const PAGE: usize = 4096;

/// The demonstration, closed, with the pages that each act stands on.
struct Sample {
    bytes: Vec<u8>,
    acts: Vec<LoggedAct>,
    told: BTreeMap<ActId, String>,
    pages: BTreeMap<ActId, BTreeSet<usize>>,
    /// The page of the act's own row.
    rows: BTreeMap<ActId, usize>,
    /// The pages of its own row and its entries' own.
    frames: BTreeMap<ActId, BTreeSet<usize>>,
    devices: usize,
}

static SAMPLE: LazyLock<Sample> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.db");
    drop(Desk::demonstration(&path, Durability::Unsynced).unwrap());
    let acts = logged(&path).unwrap();
    let told = tell(&acts);
    let connection = Connection::open(&path).unwrap();
    let (mut pages, mut frames) =
        (BTreeMap::<ActId, BTreeSet<usize>>::new(), BTreeMap::<ActId, BTreeSet<usize>>::new());
    let mut rows = BTreeMap::new();
    let by_row: BTreeMap<i64, ActId> = acts.iter().map(|act| (act.record.row, act.record.id)).collect();
    for (table, act_of) in tables(&connection) {
        for (page, row) in leaves(&connection, &table, &act_of) {
            let act = by_row[&row];
            pages.entry(act).or_default().insert(page);
            if table == "act" || table == "entry" {
                frames.entry(act).or_default().insert(page);
            }
            if table == "act" {
                rows.insert(act, page);
            }
        }
    }
    let devices = leaves(&connection, "device", "id")[0].0;
    drop(connection);
    Sample { bytes: std::fs::read(&path).unwrap(), acts, told, pages, rows, frames, devices }
});

/// The tables of the log, each with the SQL for the act that a row is of.
fn tables(connection: &Connection) -> Vec<(String, String)> {
    let mut statement = connection.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").unwrap();
    let names: Vec<String> = statement.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
    let no_fact = ["kind", "device", "lost_act", "outcome", "standing", "carrier", "undone"];
    let of_acts = names.into_iter().filter(|name| !no_fact.contains(&name.as_str()) && !name.starts_with("sqlite"));
    let act_of = |name: &str| match name {
        "act" => "id".to_owned(),
        "entry" | "verdict" => "act".to_owned(),
        fact => format!("(SELECT e.act FROM entry e WHERE e.id = {fact}.entry)"),
    };
    of_acts.map(|name| (name.clone(), act_of(&name))).collect()
}

/// Every row of a table in order of its key: the page it stands on, from zero, and the act it is of.
fn leaves(connection: &Connection, table: &str, act_of: &str) -> Vec<(usize, i64)> {
    let sql = "SELECT pageno, ncell FROM dbstat WHERE name = ?1 AND pagetype = 'leaf' ORDER BY path";
    let mut statement = connection.prepare(sql).unwrap();
    let pages = statement.query_map([table], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    let pages: Vec<(u32, u32)> = pages.collect::<Result<_, _>>().unwrap();
    let mut statement = connection.prepare(&format!("SELECT {act_of} FROM {table} ORDER BY rowid")).unwrap();
    let acts: Vec<i64> = statement.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
    let each = pages.into_iter().flat_map(|(page, cells)| std::iter::repeat_n(page as usize - 1, cells as usize));
    let rows: Vec<(usize, i64)> = each.zip(acts.iter().copied()).collect();
    assert_eq!(rows.len(), acts.len(), "{table}");
    rows
}

fn logged(path: &Path) -> Result<Vec<LoggedAct>, StoreError> {
    let journal = Journal::open(path, DEVICE, Durability::Unsynced)?;
    let mut acts = Vec::new();
    journal.read(|books| {
        books.for_each_act(|act| -> Result<(), StoreError> {
            acts.push(act);
            Ok(())
        })
    })?;
    Ok(acts)
}

/// Acts in words that are the same in every journal: entries by what they refer to, without their keys.
fn tell(acts: &[LoggedAct]) -> BTreeMap<ActId, String> {
    let named = |act: &LoggedAct| -> Vec<_> {
        act.record.entries.iter().map(|entry| (entry.id, (act.record.id, entry.sequence))).collect()
    };
    let names: BTreeMap<_, _> = acts.iter().flat_map(named).collect();
    let words = |act: &LoggedAct| {
        let record = &act.record;
        let mut words =
            format!("{:?} {} {} {} {:?}", act.device, record.verb, record.happened, record.recorded, act.rulings);
        for entry in &record.entries {
            let references: Vec<_> = entry.fact.references().iter().map(|id| names[id]).collect();
            let mut fact = entry.fact.clone();
            fact.for_each_reference(&mut |id| *id = EntryId(0));
            words.push_str(&format!("; {} {} {fact:?} {references:?}", entry.sequence, entry.on));
        }
        (record.id, words)
    };
    acts.iter().map(words).collect()
}

/// Brings out what a damaged file has; the acts by what they say.
fn bring_out(folder: &Path, bytes: &[u8], copies: &[PathBuf]) -> Result<BroughtOut, StoreError> {
    let round = tempfile::tempdir_in(folder).unwrap();
    let [damaged, scratch, new] = ["damaged.db", "scratch.db", "new.db"].map(|name| round.path().join(name));
    std::fs::write(&damaged, bytes).unwrap();
    let mut bereft = Vec::new();
    let salvaged = salvage(&damaged, copies, &scratch, &new, DEVICE, |_, record| -> Result<(), StoreError> {
        bereft.push(record.id);
        Ok(())
    })?;
    assert!(std::fs::read(&damaged).unwrap() == bytes, "the damaged file was touched");
    let findings = Journal::open(&new, DEVICE, Durability::Unsynced)?.check()?;
    assert!(findings.is_sound(), "{findings:?}");
    assert_eq!(findings.acts, salvaged.acts);
    // What speaks of what is lost is handed over to be read, each act that is told as that.
    assert_eq!(bereft.len(), salvaged.lost.iter().filter(|lost| lost.why == Loss::Bereft).count());
    Ok(BroughtOut { salvaged, found: tell(&logged(&new)?), bereft })
}

fn pass_over(_: &Books<'_>, _: &ActRecord) -> Result<(), StoreError> {
    Ok(())
}

#[derive(Default)]
struct BroughtOut {
    salvaged: Salvaged,
    found: BTreeMap<ActId, String>,
    /// Whole, and speaking of what is lost.
    bereft: Vec<ActId>,
}

/// What damage to some pages must leave.
#[derive(Default)]
struct Left {
    /// Acts of which no row was touched and that can be vouched for, since the digest of the act before is there, and that
    /// speak of none but such acts: brought out.
    out: BTreeSet<ActId>,
    /// Acts like these that speak of others: brought out, or told.
    told: BTreeSet<ActId>,
}

fn must_be_left(damaged: &BTreeSet<usize>) -> Left {
    let sample = &*SAMPLE;
    let mut left = Left::default();
    let mut act_of = BTreeMap::new();
    let mut before: Option<ActId> = None;
    for act in &sample.acts {
        let id = act.record.id;
        act_of.extend(act.record.entries.iter().map(|entry| (entry.id, id)));
        let whole = sample.pages[&id].is_disjoint(damaged) && !damaged.contains(&sample.devices);
        let vouched = before.is_none_or(|before| !damaged.contains(&sample.rows[&before]));
        let references = act.record.entries.iter().flat_map(|entry| entry.fact.references());
        let others: Vec<ActId> = references.map(|id| act_of[&id]).filter(|other| *other != id).collect();
        // An act's digest is of the names of what it speaks of: the rows of those acts and of their entries.
        let mut spoken_of = others.iter().chain(&act.record.rules_on);
        let named = spoken_of.clone().all(|id| sample.frames[id].is_disjoint(damaged));
        let known = spoken_of.all(|id| left.out.contains(id));
        if whole && vouched && known {
            left.out.insert(id);
        } else if whole && vouched && named {
            left.told.insert(id);
        }
        before = Some(id);
    }
    left
}

#[test]
fn a_sound_journal_comes_out_whole() {
    let folder = tempfile::tempdir().unwrap();
    let BroughtOut { salvaged, found, .. } = bring_out(folder.path(), &SAMPLE.bytes, &[]).unwrap();
    assert_eq!((salvaged.acts, salvaged.lost.len()), (SAMPLE.acts.len() as u64, 0));
    assert_eq!(found, SAMPLE.told);
}

#[test]
fn acts_on_pages_that_were_not_touched_come_out_as_they_were_written() {
    let folder = tempfile::tempdir().unwrap();
    let mut random = Random::new(11);
    let all = SAMPLE.bytes.len() / PAGE;
    let (mut untouched, mut out, mut read_only, mut most_lost) = (0, 0, 0, 0);
    let rounds = times(8, 1_000);
    for _ in 0..rounds {
        let mut bytes = SAMPLE.bytes.clone();
        let mut damaged = BTreeSet::new();
        for _ in 0..1 + random.below(4) {
            let page = usize::try_from(random.below(all as u64)).unwrap();
            let content = &mut bytes[page * PAGE..(page + 1) * PAGE];
            match random.below(4) {
                0 => content.fill(0),
                1 => content.iter_mut().for_each(|byte| *byte = random.below(256) as u8),
                2 => content[..16].fill(0xff),
                _ => {
                    let at = usize::try_from(random.below(PAGE as u64)).unwrap();
                    content[at] ^= 1 << random.below(8);
                }
            }
            damaged.insert(page);
        }
        let Left { out: must, told } = must_be_left(&damaged);
        match bring_out(folder.path(), &bytes, &[]) {
            Ok(BroughtOut { salvaged, found, bereft }) => {
                let untold: Vec<&ActId> =
                    told.iter().filter(|act| !found.contains_key(act) && !bereft.contains(act)).collect();
                assert!(untold.is_empty(), "{damaged:?}: {untold:?} of {} to be told", told.len());
                read_only += bereft.len();
                for (act, words) in &found {
                    assert_eq!(SAMPLE.told.get(act), Some(words), "{damaged:?}: an act that nobody wrote");
                }
                let missed: Vec<&ActId> = must.iter().filter(|act| !found.contains_key(act)).collect();
                assert!(missed.is_empty(), "{damaged:?}: {missed:?} of {}", must.len());
                // Each act is brought out or told as lost; of those after the last brought out there may be no trace.
                let last = SAMPLE.acts.iter().rposition(|act| found.contains_key(&act.record.id)).unwrap() as u64;
                let told = salvaged.acts + salvaged.lost.len() as u64;
                assert!((last + 1..=SAMPLE.acts.len() as u64).contains(&told), "{damaged:?}: {told}");
                out += found.len();
                most_lost = most_lost.max(salvaged.lost.len());
            }
            Err(error) => assert!(must.is_empty(), "{damaged:?}: {error}"),
        }
        untouched += must.len();
    }
    println!(
        "{rounds} damaged files of {} acts: {untouched} untouched acts, {out} brought out, {read_only} told",
        SAMPLE.acts.len()
    );
    assert!(read_only > 0, "none was ever bereft");
    assert!(untouched > SAMPLE.acts.len() * 4, "{untouched}");
    assert!(most_lost > 10, "nothing was ever lost: the damage was none");
}

#[test]
fn a_file_cut_short_or_without_its_first_page_still_gives_what_it_has() {
    let folder = tempfile::tempdir().unwrap();
    let all = SAMPLE.bytes.len() / PAGE;
    let mut random = Random::new(12);
    for _ in 0..times(8, 100) {
        let kept = usize::try_from(random.below(SAMPLE.bytes.len() as u64)).unwrap();
        let must = must_be_left(&(kept / PAGE..all).collect()).out;
        match bring_out(folder.path(), &SAMPLE.bytes[..kept], &[]) {
            Ok(BroughtOut { found, .. }) => assert!(must.iter().all(|act| found.contains_key(act)), "cut at {kept}"),
            Err(error) => assert!(must.is_empty(), "cut at {kept}: {error}"),
        }
    }
    for first in [0, 0xff] {
        let mut bytes = SAMPLE.bytes.clone();
        bytes[..PAGE].fill(first);
        let BroughtOut { salvaged, found, .. } = bring_out(folder.path(), &bytes, &[]).unwrap();
        assert_eq!((salvaged.lost.len(), found.len()), (0, SAMPLE.acts.len()));
    }
}

#[test]
fn a_flipped_bit_costs_no_act_but_those_it_touched() {
    let folder = tempfile::tempdir().unwrap();
    let mut random = Random::new(13);
    let mut dropped = 0;
    for _ in 0..times(8, 1_000) {
        let mut bytes = SAMPLE.bytes.clone();
        let at = usize::try_from(random.below(bytes.len() as u64)).unwrap();
        bytes[at] ^= 1 << random.below(8);
        let must = must_be_left(&BTreeSet::from([at / PAGE])).out;
        let BroughtOut { found, .. } = bring_out(folder.path(), &bytes, &[]).unwrap();
        assert!(must.iter().all(|act| found.contains_key(act)), "byte {at}");
        assert!(found.iter().all(|(act, words)| SAMPLE.told.get(act) == Some(words)), "byte {at}");
        dropped += SAMPLE.acts.len() - found.len();
    }
    println!("{dropped} acts dropped");
}

#[test]
fn a_copy_kept_beside_it_gives_back_what_the_damage_took() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.db");
    std::fs::write(&copy, &SAMPLE.bytes).unwrap();
    let stranger = folder.path().join("stranger.db");
    let mut other = desk(&stranger, Durability::Unsynced).unwrap();
    other.run("place add attic --kind room", day(0), AfterRefusal::Stop, |_, _| {}).unwrap();
    drop(other);
    let mut bytes = SAMPLE.bytes.clone();
    for page in (3..bytes.len() / PAGE).step_by(3) {
        bytes[page * PAGE..(page + 1) * PAGE].fill(0);
    }
    let BroughtOut { salvaged: alone, .. } =
        bring_out(folder.path(), &bytes, std::slice::from_ref(&stranger)).unwrap_or_default();
    let BroughtOut { salvaged, found, .. } = bring_out(folder.path(), &bytes, &[stranger, copy]).unwrap();
    assert_eq!((alone.copies, salvaged.copies), (0, 1));
    assert_eq!(found, SAMPLE.told);
    assert!(alone.acts < salvaged.acts);
}

#[test]
fn what_lies_in_the_write_ahead_log_comes_out_too() {
    let folder = tempfile::tempdir().unwrap();
    let [path, scratch, new] = ["open.db", "scratch.db", "new.db"].map(|name| folder.path().join(name));
    let mut open = desk(&path, Durability::Synced).unwrap();
    open.run("place add sill --kind windowsill\nnote sill dusty", day(0), AfterRefusal::Stop, |_, _| {}).unwrap();
    let before: Vec<PathBuf> = std::fs::read_dir(folder.path()).unwrap().map(|file| file.unwrap().path()).collect();
    assert!(before.len() > 1, "nothing is in the write-ahead log");
    let salvaged = salvage(&path, &[], &scratch, &new, DEVICE, pass_over).unwrap();
    assert_eq!((salvaged.acts, salvaged.lost), (2, Vec::new()));
}

#[test]
fn what_was_lost_is_told_and_can_be_merged_from_a_copy_later() {
    let folder = tempfile::tempdir().unwrap();
    let [path, copy, scratch, new] = ["a.db", "copy.db", "scratch.db", "new.db"].map(|name| folder.path().join(name));
    let mut open = desk(&path, Durability::Synced).unwrap();
    let lines = "place add sill --kind windowsill\nplace add shed --kind room\nnote shed dusty\nnote sill bright";
    open.run(lines, day(3), AfterRefusal::Stop, |_, _| {}).unwrap();
    open.back_up(&copy).unwrap();
    drop(open);
    let connection = Connection::open(&path).unwrap();
    let planted = "DROP TRIGGER place_added_keeps; UPDATE place_added SET name = 'sled' WHERE name = 'shed'";
    connection.execute_batch(planted).unwrap();
    drop(connection);
    let salvaged = salvage(&path, &[], &scratch, &new, DEVICE, pass_over).unwrap();
    let lost: Vec<_> = salvaged.lost.iter().map(|act| (act.on, act.verb.as_deref().unwrap(), act.why)).collect();
    assert_eq!(lost, [(Some(day(3)), "place add", Loss::Damaged), (Some(day(3)), "note", Loss::Bereft)]);
    let mut saved = desk(&new, Durability::Synced).unwrap();
    assert_eq!((saved.check().unwrap().acts, saved.check().unwrap().gaps), (2, 1));
    assert_eq!(saved.merge(&copy).unwrap().acts, 2);
    let findings = saved.check().unwrap();
    assert!(findings.is_sound());
    assert_eq!((findings.acts, findings.gaps), (4, 0));
}

/// What one wrong bit in a key makes of a row, read before all others: it must not keep out a true one, nor spoil an act
/// that it is not of.
#[test]
fn a_row_that_passes_for_another_costs_no_act() {
    let of_entry = "kind, happened, batch, container FROM entry WHERE act = 90";
    let cases = [
        ("an act's key", "SELECT 300, uuid, device, verb, happened, recorded, digest FROM act WHERE id = 90".to_owned()),
        ("an act twice", "SELECT 1000, uuid, device, verb, happened, recorded, digest FROM act WHERE id = 90".to_owned()),
        ("an entry's key", format!("SELECT (SELECT min(id) FROM entry WHERE act = 300), act, sequence, {of_entry} LIMIT 1")),
        (
            "an entry in another's place",
            format!("SELECT 9000, 300, (SELECT min(sequence) FROM entry WHERE act = 300), {of_entry} LIMIT 1"),
        ),
        ("an entry too many", format!("SELECT 9000, 300, 9, {of_entry} LIMIT 1")),
        ("a word that was not given", "SELECT 9000, 300, 90, 'undone'".to_owned()),
        (
            "a fact's key",
            "SELECT (SELECT max(entry) FROM counted), part, up, standing, gaps, doubles, cells, doubled_cells FROM counted \
             LIMIT 1"
                .to_owned(),
        ),
    ];
    for (what, row) in cases {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("demo.db");
        std::fs::write(&path, &SAMPLE.bytes).unwrap();
        let connection = Connection::open(&path).unwrap();
        let columns: Vec<String> =
            (1..connection.prepare(&row).unwrap().column_count()).map(|column| format!("c{column}")).collect();
        connection
            .execute_batch(&format!(
                "CREATE TABLE planted (id INTEGER PRIMARY KEY, {}); INSERT INTO planted {row}; \
                 PRAGMA wal_checkpoint(TRUNCATE)",
                columns.join(", ")
            ))
            .unwrap();
        let root = |name: &str| -> usize {
            let sql = "SELECT rootpage FROM sqlite_schema WHERE name = ?1";
            connection.query_row(sql, [name], |row| row.get::<_, u32>(0)).unwrap() as usize - 1
        };
        // The second page of a journal after its header, an index that only says again what stands elsewhere.
        let (planted, first) = (root("planted"), root("sqlite_autoindex_device_1"));
        assert!(first < root("act"));
        drop(connection);
        let mut bytes = std::fs::read(&path).unwrap();
        bytes.copy_within(planted * PAGE..(planted + 1) * PAGE, first * PAGE);
        let BroughtOut { salvaged, found, .. } = bring_out(folder.path(), &bytes, &[]).unwrap();
        let missed: Vec<_> = SAMPLE.told.keys().filter(|act| !found.contains_key(act)).collect();
        assert!(missed.is_empty(), "{what}: {missed:?}");
        assert_eq!((found == SAMPLE.told, salvaged.lost), (true, Vec::new()), "{what}");
    }
}

/// An undo has no entries; with the index of days gone too, nothing but its own row speaks of it.
#[test]
fn the_last_undo_of_a_lost_act_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let [path, scratch, new] = ["a.db", "scratch.db", "new.db"].map(|name| folder.path().join(name));
    let mut open = desk(&path, Durability::Synced).unwrap();
    open.run(
        "place add shed --kind room\nplace add sill --kind windowsill\nundo",
        day(3),
        AfterRefusal::Stop,
        |_, _| {},
    )
    .unwrap();
    drop(open);
    let connection = Connection::open(&path).unwrap();
    let planted = "DROP TRIGGER place_added_keeps; UPDATE place_added SET name = 'still' WHERE name = 'sill'; \
                   DROP INDEX act_by_day";
    connection.execute_batch(planted).unwrap();
    drop(connection);
    let mut told = Vec::new();
    let salvaged = salvage(&path, &[], &scratch, &new, DEVICE, |_, record| -> Result<(), StoreError> {
        told.push(record.verb.clone());
        Ok(())
    });
    let salvaged = salvaged.unwrap();
    let lost: Vec<_> = salvaged.lost.iter().map(|act| (act.verb.as_deref().unwrap(), act.why)).collect();
    assert_eq!(lost, [("place add", Loss::Damaged), ("undo", Loss::Bereft)]);
    assert_eq!((salvaged.acts, told), (1, vec!["undo".to_owned()]));
}

#[test]
fn a_damaged_digest_is_known_from_the_act_after_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.db");
    std::fs::write(&path, &SAMPLE.bytes).unwrap();
    let connection = Connection::open(&path).unwrap();
    connection
        .execute_batch("DROP TRIGGER act_keeps; UPDATE act SET digest = randomblob(32) WHERE id IN (7, 90)")
        .unwrap();
    connection.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
    drop(connection);
    let BroughtOut { salvaged, found, .. } = bring_out(folder.path(), &std::fs::read(&path).unwrap(), &[]).unwrap();
    assert_eq!(salvaged.lost, []);
    assert_eq!(found, SAMPLE.told);
}

#[test]
fn a_file_that_is_there_is_not_written_over_and_what_is_no_journal_gives_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let [path, scratch, new] = ["a.db", "scratch.db", "new.db"].map(|name| folder.path().join(name));
    std::fs::write(&path, vec![7; 3 * PAGE]).unwrap();
    assert!(matches!(salvage(&path, &[], &scratch, &new, DEVICE, pass_over), Err(StoreError::NotAJournal(_))));
    assert!(!new.exists());
    std::fs::write(&new, "mine").unwrap();
    assert!(matches!(salvage(&path, &[], &scratch, &new, DEVICE, pass_over), Err(StoreError::File { .. })));
    assert_eq!(std::fs::read(&new).unwrap(), b"mine");
}
