//! Journals that went apart and come together: whoever merges from whom, in whatever order and however often, all come
//! to the same acts, the same state and the same contradictions, and write the same bytes out.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::journal::State;
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;

use super::derived::{TRADE, day};
use super::season::{GROUND, Random, Typing};
use super::times;

/// One of the copies, with the machine it is on. Two may be on one machine, as after a restore: then the chain of
/// digests forks.
struct Copy {
    path: PathBuf,
    desk: Desk,
    typing: Typing,
}

fn open(path: &Path, device: u64) -> Desk {
    let device = DeviceId(uuid::Uuid::from_u128(u128::from(device)));
    Desk::open_with(path, device, TRADE.clone(), Durability::Unsynced).unwrap()
}

impl Copy {
    fn type_lines(&mut self, lines: u64, from: u64) {
        for index in 0..lines {
            let on = day(from + index);
            let line = self.typing.line(on);
            let mut act = None;
            let tell = |_, answer: &Result<thumbpot::desk::Done, _>| {
                act = answer.as_ref().ok().map(|done| done.act.to_string());
            };
            self.desk.run(&line, on, AfterRefusal::GoOn, tell).unwrap();
            if let Some(act) = act {
                self.typing.done(&line, act);
            }
        }
    }

    /// Everything there is to see: the bytes written out, what stands, and what is set aside.
    fn seen(&self, folder: &Path) -> (Vec<Vec<u8>>, Vec<String>, Vec<String>) {
        let written = ["out.json", "out.csv"].map(|name| {
            let file = folder.join(name);
            let _ = std::fs::remove_file(&file);
            self.desk.export(&file).unwrap();
            std::fs::read(&file).unwrap()
        });
        let findings = self.desk.check().unwrap();
        assert!(findings.is_sound(), "{findings:?}");
        let aside = findings.contradictions.iter().map(|one| format!("{} {} {}", one.act, one.on, one.wrong)).collect();
        (written.to_vec(), lines(&self.desk.state(day(200)).unwrap()), aside)
    }
}

fn lines(state: &State) -> Vec<String> {
    let mut lines: Vec<String> = state
        .batches
        .values()
        .map(|batch| {
            let parts: Vec<String> = state
                .parts_of(batch)
                .map(|(_, part)| format!("{} {} {}", part.letter, part.standing(), state.standing_at(part.container)))
                .collect();
            format!("{} {} {:?} {parts:?}", batch.label, state.lots[&batch.lot].variety, state.tally(batch))
        })
        .collect();
    lines.sort();
    lines
}

/// What the rounds came to.
#[derive(Debug, Default)]
struct Met {
    histories: u64,
    acts: u64,
    merges: u64,
    disputed: u64,
    undone_to_settle: u64,
}

fn meet(seed: u64, met: &mut Met) {
    let mut random = Random::new(seed + 5_000);
    let folder = tempfile::tempdir().unwrap();
    let first = folder.path().join("0.db");
    let mut typing = Typing::new(seed);
    let mut desk = open(&first, 1);
    desk.run(&GROUND.join("\n"), day(0), AfterRefusal::Stop, |_, _| {}).unwrap();
    typing.random = random.clone();
    let mut copies = vec![Copy { path: first, desk, typing }];
    copies[0].type_lines(8, 0);
    for index in 1..2 + random.below(2) {
        let path = folder.path().join(format!("{index}.db"));
        copies[0].desk.back_up(&path).unwrap();
        // The last may be on the machine of the first.
        let device = if random.once_in(3) { 1 } else { index + 1 };
        let mut typing = copies[0].typing.clone();
        typing.random = Random::new(seed * 10 + index);
        copies.push(Copy { desk: open(&path, device), path, typing });
    }
    let apart = 4 + random.below(8);
    for copy in &mut copies {
        copy.type_lines(apart, 10);
    }
    let number = copies.len() as u64;
    let mut merge = |copies: &mut Vec<Copy>, into: u64, from: u64| {
        let from = copies[usize::try_from(from).unwrap()].path.clone();
        copies[usize::try_from(into).unwrap()].desk.merge(&from).unwrap();
        met.merges += 1;
    };
    // A few meetings at random, with more typed between, then as many as it takes.
    for _ in 0..random.below(3) {
        let (into, from) = (random.below(number), random.below(number));
        if into != from {
            merge(&mut copies, into, from);
            copies[usize::try_from(into).unwrap()].type_lines(2, 30);
        }
    }
    for from in 1..number {
        merge(&mut copies, 0, from);
    }
    for into in (1..number).rev() {
        merge(&mut copies, into, 0);
    }
    let seen = copies[0].seen(folder.path());
    for copy in &copies[1..] {
        assert!(
            copy.seen(folder.path()) == seen,
            "seed {seed}: {} and {}",
            copy.path.display(),
            copies[0].path.display()
        );
    }
    let (into, from) = (random.below(number), random.below(number));
    if into != from {
        let other = copies[usize::try_from(from).unwrap()].path.clone();
        assert_eq!(copies[usize::try_from(into).unwrap()].desk.merge(&other).unwrap().acts, 0, "seed {seed}");
    }
    settle(&mut copies[0], met);
    met.histories += 1;
    met.acts += copies[0].desk.check().unwrap().acts;
}

/// Every contradiction names an act to undo; once all are undone there is none left, and the journal can be written on.
fn settle(copy: &mut Copy, met: &mut Met) {
    let mut tried = BTreeSet::new();
    met.disputed += u64::from(!copy.desk.check().unwrap().contradictions.is_empty());
    loop {
        let contradictions = copy.desk.check().unwrap().contradictions;
        let Some(dispute) = copy.desk.disputes(&contradictions).unwrap().into_iter().next() else { break };
        assert!(tried.insert(dispute.aside.act), "undoing {} settled nothing", dispute.aside.short);
        let line = format!("undo {} --with-later", dispute.aside.short);
        copy.desk.run(&line, day(60), AfterRefusal::Stop, |_, _| {}).unwrap();
        met.undone_to_settle += 1;
    }
    copy.type_lines(4, 70);
    let findings = copy.desk.check().unwrap();
    assert!(findings.is_sound() && findings.contradictions.is_empty(), "{findings:?}");
}

#[test]
fn whatever_way_they_meet_all_come_to_the_same() {
    let mut met = Met::default();
    for seed in 0..times(25, 10_000) {
        meet(seed, &mut met);
    }
    println!("{met:?}");
    assert!(met.disputed > met.histories / 20, "hardly anything was disputed: {met:?}");
}
