//! Another file put in the place of an open journal, as a synchronised folder does, or the journal moved away: neither
//! file is harmed, nothing acknowledged is lost, and who asks is told.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use tempfile::TempDir;
use thumbpot::desk::{Desk, DeskError};
use thumbpot::grammar::{AfterRefusal, Step};
use thumbpot::store::{Before, Durability, StoreError};

use super::derived::{day, desk};
use super::power::acts_in;
use super::season::GROUND;

/// What is done after the file was replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Then {
    Writes,
    Rehearses,
    Glances,
    Leaves,
}

/// How much of what was written is still in the write-ahead log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Log {
    HoldsAll,
    IsEmpty,
}

fn type_lines(desk: &mut Desk, lines: &str) -> Vec<String> {
    let mut acts = Vec::new();
    desk.run(lines, day(5), AfterRefusal::Stop, |_, answer| acts.push(answer.as_ref().unwrap().act.to_string()))
        .unwrap();
    acts
}

/// An open journal with notes of its own, and beside it another machine's of the same beginning, a good deal longer.
fn two(folder: &TempDir) -> (PathBuf, PathBuf, Desk) {
    let path = folder.path().canonicalize().unwrap().join("journal.db");
    let theirs = path.with_file_name("theirs.db");
    let mut ours = desk(&path, Durability::Synced).unwrap();
    type_lines(&mut ours, &GROUND.join("\n"));
    ours.back_up(&theirs).unwrap();
    let mut other = desk(&theirs, Durability::Unsynced).unwrap();
    type_lines(&mut other, &"note sill 'seen by the other, who writes at length of all there is to see'\n".repeat(200));
    drop(other);
    (path, theirs, ours)
}

fn set(path: &Path) -> BTreeSet<String> {
    acts_in(path).unwrap().into_iter().collect()
}

fn kept(path: &Path) -> PathBuf {
    path.with_extension("kept-1.db")
}

#[test]
fn a_file_in_the_journals_place_is_given_none_of_its_log_and_what_was_logged_is_kept() {
    for then in [Then::Writes, Then::Rehearses, Then::Glances, Then::Leaves] {
        for log in [Log::HoldsAll, Log::IsEmpty] {
            let folder = tempfile::tempdir().unwrap();
            let (path, theirs, mut ours) = two(&folder);
            type_lines(&mut ours, "note sill mine\nnote sill 'mine too'");
            if log == Log::IsEmpty {
                ours.glance().unwrap();
                assert_eq!(std::fs::metadata(path.with_extension("db-wal")).unwrap().len(), 0);
            }
            let (mine, yours) = (ours.history(u32::MAX, None).unwrap().len(), set(&theirs));
            std::fs::rename(&theirs, &path).unwrap();
            assert!(ours.history(1, None).is_err(), "{then:?}: read as if nothing had happened");
            let refused = match then {
                Then::Writes => ours
                    .run("note sill late", day(5), AfterRefusal::GoOn, |_, _| {})
                    .unwrap()
                    .refused
                    .pop()
                    .map(|line| line.error),
                Then::Rehearses => ours.rehearse(&Step::Redo, &[], day(5)).err(),
                Then::Glances => ours.glance().err(),
                Then::Leaves => None,
            };
            if let Some(error) = refused {
                let DeskError::Store(StoreError::Replaced { before, .. }) = &error else { panic!("{then:?}: {error}") };
                assert_eq!(*before, Before::Kept(kept(&path)), "{then:?} {log:?}");
                // From here on it is the file that stands there.
                assert_eq!(ours.history(u32::MAX, None).unwrap().len(), yours.len());
                type_lines(&mut ours, "note sill after");
            } else {
                assert_eq!(then, Then::Leaves);
            }
            drop(ours);
            let now = set(&path);
            assert!(now.is_superset(&yours), "{then:?} {log:?}: of the new file");
            assert_eq!(now.len() - yours.len(), usize::from(then != Then::Leaves));
            let saved = set(&kept(&path));
            assert_eq!(saved.len(), mine, "{then:?} {log:?}: of the old one");
            let mut open = desk(&path, Durability::Synced).unwrap();
            assert!(open.check().unwrap().is_sound());
            // It is offered, and once it is merged no more.
            assert_eq!(open.twins().unwrap().len(), 1);
            assert_eq!(open.merge(&kept(&path)).unwrap().acts, 2);
            assert_eq!(open.twins().unwrap(), []);
            assert!(open.check().unwrap().is_sound());
        }
    }
}

/// Another file copied over the journal, byte by byte into the same file, as some programs that keep folders the same do.
#[test]
fn a_file_written_over_in_place_is_seen_and_nothing_is_written_to_it() {
    for then in [Then::Writes, Then::Rehearses, Then::Glances] {
        for has_all in [false, true] {
            let folder = tempfile::tempdir().unwrap();
            let (path, theirs, mut ours) = two(&folder);
            if !has_all {
                type_lines(&mut ours, "note sill mine");
            }
            ours.glance().unwrap();
            let (yours, version) = (set(&theirs), ours.glance().unwrap());
            std::fs::write(&path, std::fs::read(&theirs).unwrap()).unwrap();
            let refused = match then {
                Then::Writes => ours
                    .run("note sill late", day(5), AfterRefusal::GoOn, |_, _| {})
                    .unwrap()
                    .refused
                    .pop()
                    .map(|line| line.error),
                Then::Rehearses => {
                    ours.rehearse(&Step::Redo, &[], day(5)).err().filter(|error| matches!(error, DeskError::Store(_)))
                }
                _ => ours.glance().err(),
            };
            if has_all {
                // It has every act of ours: so it is gone on with, from its own pages.
                assert!(refused.is_none(), "{refused:?}");
                assert_ne!(ours.glance().unwrap(), version, "what it shows is to be looked at anew");
            } else {
                let Some(DeskError::Store(StoreError::Replaced { before, .. })) = &refused else {
                    panic!("{then:?}: {refused:?}")
                };
                assert_eq!(*before, Before::WrittenOver);
                assert_eq!(set(&path), yours, "nothing was written to it");
            }
            type_lines(&mut ours, "note sill after");
            assert!(ours.check().unwrap().is_sound(), "{then:?} {has_all}");
            drop(ours);
            let late = usize::from(has_all && then == Then::Writes);
            assert_eq!(set(&path).len(), yours.len() + 1 + late);
        }
    }
}

#[test]
fn a_file_that_has_all_the_other_had_is_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let (path, theirs, mut ours) = two(&folder);
    std::fs::rename(&theirs, &path).unwrap();
    let error = ours.glance().unwrap_err();
    assert!(matches!(&error, DeskError::Store(StoreError::Replaced { before: Before::Contained, .. })), "{error}");
    assert!(!kept(&path).exists());
    ours.glance().unwrap();
    assert!(ours.check().unwrap().is_sound());
}

#[test]
fn a_journal_moved_away_takes_all_with_it_and_is_not_begun_anew() {
    let folder = tempfile::tempdir().unwrap();
    let (path, _, mut ours) = two(&folder);
    type_lines(&mut ours, "note sill mine");
    let all = set(&path).len();
    let moved = path.with_file_name("elsewhere.db");
    std::fs::rename(&path, &moved).unwrap();
    for _ in 0..2 {
        let refused = ours.run("note sill late", day(5), AfterRefusal::GoOn, |_, _| {}).unwrap().refused.pop().unwrap();
        assert!(matches!(&refused.error, DeskError::Store(StoreError::Gone { .. })), "{}", refused.error);
    }
    assert!(!path.exists(), "begun anew");
    assert_eq!((set(&moved).len(), set(&kept(&path)).len()), (all, all));
    assert!(!path.with_extension("kept-2.db").exists());
    // Put back, it is gone on with.
    std::fs::rename(&moved, &path).unwrap();
    type_lines(&mut ours, "note sill back");
    drop(ours);
    assert_eq!(set(&path).len(), all + 1);
    assert!(desk(&path, Durability::Synced).unwrap().check().unwrap().is_sound());
}
