//! Old data stays readable for ever: a journal of every released schema is kept in `journals/`, opened by this program
//! and checked. Each is the demonstration as the first program of that schema made it, by
//! `thumbpot demo --into tests/journals/schema-N.db`.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::path::{Path, PathBuf};

use thumbpot::desk::{DEMO_DAY, Desk};
use thumbpot::quantity::DeviceId;
use thumbpot::store::{Durability, newest_schema};
use thumbpot::trade::Trade;

/// Every journal kept, by the number of its schema.
fn kept() -> Vec<(i64, PathBuf)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journals");
    let files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
    let schema = |path: &PathBuf| path.file_stem()?.to_str()?.strip_prefix("schema-")?.parse().ok();
    let mut kept: Vec<(i64, PathBuf)> = files.filter_map(|path| Some((schema(&path)?, path))).collect();
    kept.sort();
    kept
}

#[test]
fn a_journal_of_every_schema_opens_and_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    let kept = kept();
    assert!(kept.iter().any(|(schema, _)| *schema == 1));
    for (schema, stored) in kept {
        assert!(schema <= newest_schema(), "schema {schema} is kept and not known");
        let copy = folder.path().join(stored.file_name().unwrap());
        std::fs::copy(&stored, &copy).unwrap();
        let device = DeviceId(uuid::Uuid::from_u128(7));
        let desk = Desk::open_with(&copy, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        let findings = desk.check().unwrap();
        assert!(findings.is_sound(), "schema {schema}: {findings:?}");
        assert!(findings.batches >= 50, "schema {schema}: {} batches", findings.batches);
        assert!(desk.state(DEMO_DAY).unwrap().batches.len() >= 30);
    }
}
