//! Derived tables are what the whole log folds to, and the fold is what SQL adds up to, after any season typed at the
//! desk: each act reads only what it is about, so a thing it should have read and did not shows here.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;

use thumbpot::desk::{Desk, DeskError};
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::{Date, DeviceId};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;

use super::season::{GROUND, Typing};
use super::times;

pub(crate) const DEVICE: DeviceId = DeviceId(uuid::Uuid::from_u128(0x7070_7070_7070_4070_8070_7070_7070_7070));

pub(crate) fn day(number: u64) -> Date {
    Date::from_ymd_opt(2024, 3, 1).unwrap() + chrono::Days::new(number)
}

pub(crate) static TRADE: LazyLock<Trade> = LazyLock::new(|| Trade::built_in().unwrap());

pub(crate) fn desk(path: &Path, durability: Durability) -> Result<Desk, DeskError> {
    Desk::open_with(path, DEVICE, TRADE.clone(), durability)
}

/// How often each verb was done and refused.
pub(crate) type Tried = BTreeMap<String, (u32, u32)>;

/// Types a season; tells how often each verb was done and refused.
pub(crate) fn type_season(desk: &mut Desk, seed: u64, lines: u64, tried: &mut Tried) {
    let mut typing = Typing::new(seed);
    desk.run(&GROUND.join("\n"), day(0), AfterRefusal::Stop, |_, _| {}).unwrap();
    for index in 0..lines {
        let on = day(index * 60 / lines);
        let line = typing.line(on);
        let mut done = None;
        desk.run(&line, on, AfterRefusal::GoOn, |_, answer| {
            done = answer.as_ref().ok().map(|done| done.act.to_string());
        })
        .unwrap();
        // What is said cell by cell is tried for itself.
        let cells = if line.contains("--doubled") {
            " doubled"
        } else if line.contains("--cells") {
            " cells"
        } else {
            ""
        };
        let tried = tried.entry(format!("{}{cells}", line.split(' ').next().unwrap())).or_default();
        match done {
            Some(act) => {
                tried.0 += 1;
                typing.done(&line, act);
            }
            None => tried.1 += 1,
        }
    }
}

#[test]
fn a_season_leaves_derived_tables_and_sums_that_agree_with_the_log() {
    let mut tried = Tried::new();
    for seed in 0..times(30, 2_000) {
        let folder = tempfile::tempdir().unwrap();
        let mut desk = desk(&folder.path().join("journal.db"), Durability::Unsynced).unwrap();
        type_season(&mut desk, seed, 150, &mut tried);
        let findings = desk.check().unwrap();
        assert_eq!(findings.problems, [], "season {seed}");
        assert_eq!(findings.contradictions, [], "season {seed}");
    }
    println!("{tried:?}");
    for (verb, (done, refused)) in tried {
        assert!(done >= 4, "{verb}: done {done} times, refused {refused} times: not tried");
    }
}
