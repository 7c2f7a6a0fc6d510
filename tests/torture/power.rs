//! Power cuts: whatever had not been synced is lost or torn, and every acknowledged act is there afterwards.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::store::{Books, Durability, Journal, StoreError};

use super::derived::{DEVICE, day, desk};
use super::disk::{Disk, Op, cut};
use super::season::{GROUND, Random, Typing};
use super::times;

/// The acts of a journal by identity, first first.
pub(crate) fn acts_in(path: &Path) -> Result<Vec<String>, StoreError> {
    acts_of(&Journal::open(path, DEVICE, Durability::Unsynced)?)
}

pub(crate) fn acts_of(journal: &Journal) -> Result<Vec<String>, StoreError> {
    let read = |books: &Books<'_>| books.acts(u32::MAX, None);
    let mut acts: Vec<String> = journal.read(read)?.iter().map(|record| record.id.to_string()).collect();
    acts.reverse();
    Ok(acts)
}

/// Types lines and notes each acknowledged act with what the disk had done by then.
fn type_lines(desk: &mut Desk, lines: &str, disk: &Arc<Disk>, acknowledged: &mut Vec<(usize, String)>) {
    desk.run(lines, day(40), AfterRefusal::GoOn, |_, answer| {
        if let Ok(done) = answer {
            acknowledged.push((disk.done(), done.act.to_string()));
        }
    })
    .unwrap();
}

struct Recorded {
    ops: Vec<Op>,
    acknowledged: Vec<(usize, String)>,
}

/// A season in two sittings, with the checkpoint between them, on a disk that is watched.
fn record(seed: u64, lines: u64, durability: Durability) -> Recorded {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    let disk = Disk::under(folder.path(), None);
    let mut acknowledged = Vec::new();
    let mut typing = Typing::new(seed);
    for sitting in 0..2 {
        let mut desk = desk(&path, durability).unwrap();
        if sitting == 0 {
            type_lines(&mut desk, &GROUND.join("\n"), &disk, &mut acknowledged);
        }
        for _ in 0..lines / 2 {
            let line = typing.line(day(40));
            let before = acknowledged.len();
            type_lines(&mut desk, &line, &disk, &mut acknowledged);
            if acknowledged.len() > before {
                typing.done(&line, acknowledged[before].1.clone());
            }
        }
    }
    Recorded { ops: disk.ops_since(0), acknowledged }
}

#[derive(Debug, Default)]
struct Cuts {
    made: u64,
    unreadable: u64,
    lost: u64,
    unsound: u64,
}

/// Cuts the power at `every` so many writes and looks at what is left.
fn cut_all(recorded: &Recorded, every: usize, random: &mut Random) -> Cuts {
    let mut cuts = Cuts::default();
    let all: Vec<&str> = recorded.acknowledged.iter().map(|(_, act)| act.as_str()).collect();
    let first = usize::try_from(random.below(every as u64)).unwrap();
    for at in (first..=recorded.ops.len()).step_by(every) {
        let folder = tempfile::tempdir().unwrap();
        for (file, content) in cut(&recorded.ops[..at], random) {
            std::fs::write(folder.path().join(file), content).unwrap();
        }
        let acknowledged = recorded.acknowledged.iter().filter(|(by, _)| *by <= at).count();
        let path = folder.path().join("journal.db");
        cuts.made += 1;
        let opened = Journal::open(&path, DEVICE, Durability::Unsynced);
        match opened.and_then(|journal| Ok((acts_of(&journal)?, journal))) {
            Err(error) => {
                println!("cut after {at}: {error}");
                cuts.unreadable += 1;
            }
            Ok((found, _)) if found.len() < acknowledged => cuts.lost += 1,
            // The act that was being written may be there whole, or not at all.
            Ok((found, journal)) => {
                let is_right = found.len() <= acknowledged + 1 && found[..] == all[..found.len()];
                let is_sound = is_right && journal.check().is_ok_and(|findings| findings.is_sound());
                cuts.unsound += u64::from(!is_sound);
            }
        }
    }
    cuts
}

#[test]
fn a_power_cut_takes_no_acknowledged_act() {
    for seed in 0..times(1, 40) {
        let recorded = record(seed, 60, Durability::Synced);
        let every = usize::try_from(times(5, 1)).unwrap();
        let cuts = cut_all(&recorded, every, &mut Random::new(seed + 100));
        println!("{} acts, {} writes and syncs: {cuts:?}", recorded.acknowledged.len(), recorded.ops.len());
        assert!(cuts.made > 150, "{cuts:?}");
        assert_eq!((cuts.unreadable, cuts.lost, cuts.unsound), (0, 0, 0), "{cuts:?}");
    }
}

#[test]
fn the_cuts_tell_a_journal_that_is_not_synced() {
    let recorded = record(7, 60, Durability::Unsynced);
    let cuts = cut_all(&recorded, 3, &mut Random::new(7));
    println!("unsynced: {cuts:?}");
    assert!(cuts.lost + cuts.unreadable > cuts.made / 10, "{cuts:?}");
}

#[test]
fn an_act_is_synced_at_most_twice_and_at_least_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    let disk = Disk::under(folder.path(), None);
    let mut desk = desk(&path, Durability::Synced).unwrap();
    let four = "sow leek 'Old Rope' --seeds 24 --in 24-cellx2 --at sill\nundo\nredo\nreading sill --min 1 --max 9\n";
    let script = format!("{}\n{}", GROUND.join("\n"), four.repeat(60));
    let (mut before, mut acts, mut carried_over) = (disk.done(), 0, 0);
    desk.run(&script, day(0), AfterRefusal::Stop, |_, answer| {
        answer.as_ref().unwrap();
        let ops = disk.ops_since(before);
        let syncs = |of_log: bool| {
            let is_of = |op: &&Op| matches!(op, Op::Sync { file } if file.ends_with("-wal") == of_log);
            ops.iter().filter(is_of).count()
        };
        assert!((1..=2).contains(&syncs(true)) && syncs(false) <= 1, "{} and {} syncs", syncs(true), syncs(false));
        // Now and then a commit also carries the write-ahead log over into the file, which is synced then.
        carried_over += syncs(false);
        acts += 1;
        before = disk.done();
    })
    .unwrap();
    println!("{acts} acts, of which {carried_over} carried the write-ahead log over");
    assert!(carried_over * 40 < acts, "{carried_over} of {acts}");
}

/// A season, then a merge with another machine's copy and a restore of a backup, on a disk that is watched: what is done
/// when each is over, and the acts that are there then.
fn record_keeping(seed: u64) -> (Vec<Op>, Vec<(usize, BTreeSet<String>)>) {
    let [folder, elsewhere] = [(); 2].map(|()| tempfile::tempdir().unwrap());
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    let [beginning, other] = ["beginning.db", "other.db"].map(|name| elsewhere.path().join(name));
    let disk = Disk::under(folder.path(), None);
    let mut typing = Typing::new(seed);
    let mut ours = desk(&path, Durability::Synced).unwrap();
    let mut nothing = Vec::new();
    type_lines(&mut ours, &GROUND.join("\n"), &disk, &mut nothing);
    ours.back_up(&beginning).unwrap();
    ours.back_up(&other).unwrap();
    type_lines(
        &mut desk(&other, Durability::Unsynced).unwrap(),
        "note sill dusty\nnote sill dark",
        &disk,
        &mut nothing,
    );
    for _ in 0..30 {
        let line = typing.line(day(40));
        type_lines(&mut ours, &line, &disk, &mut nothing);
    }
    let there = |path: &Path| -> BTreeSet<String> {
        thumbpot::store::acts_in(path).unwrap().iter().map(ToString::to_string).collect()
    };
    let mut stages = vec![(disk.done(), there(&path))];
    ours.merge(&other).unwrap();
    stages.push((disk.done(), there(&path)));
    ours.restore(&beginning).unwrap();
    stages.push((disk.done(), there(&path)));
    (disk.ops_since(0), stages)
}

#[test]
fn a_power_cut_in_a_merge_or_a_restore_leaves_the_journal_before_or_after() {
    for seed in 0..times(1, 10) {
        let (ops, stages) = record_keeping(seed);
        let mut random = Random::new(seed + 300);
        let mut seen = [0; 3];
        for at in (stages[0].0..=ops.len()).step_by(usize::try_from(times(2, 1)).unwrap()) {
            let folder = tempfile::tempdir().unwrap();
            for (file, content) in cut(&ops[..at], &mut random) {
                std::fs::write(folder.path().join(file), content).unwrap();
            }
            let path = folder.path().join("journal.db");
            let journal =
                Journal::open(&path, DEVICE, Durability::Unsynced).unwrap_or_else(|e| panic!("cut after {at}: {e}"));
            let found: BTreeSet<String> = acts_of(&journal).unwrap().into_iter().collect();
            let done = stages.iter().rposition(|(by, _)| *by <= at).unwrap();
            let stage = (done..=(done + 1).min(2)).find(|stage| stages[*stage].1 == found);
            seen[stage.unwrap_or_else(|| panic!("cut after {at}, stage {done}: {} acts", found.len()))] += 1;
            assert!(journal.check().unwrap().is_sound(), "cut after {at}");
        }
        println!(
            "{} writes and syncs; left as before {}, merged {}, restored {}",
            ops.len() - stages[0].0,
            seen[0],
            seen[1],
            seen[2]
        );
        assert!(seen.iter().all(|number| *number > 0), "{seen:?}");
    }
}
