//! Old data stays readable for ever: a journal of every released schema is kept in `journals/`, opened by this program
//! and checked. The journal of schema 1 is the demonstration as the first release made it; that of schema 2 as the
//! first program to tick cells did, by `thumbpot demo --into tests/journals/schema-2.db`.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::path::Path;

use thumbpot::desk::{DEMO_DAY, Desk};
use thumbpot::quantity::DeviceId;
use thumbpot::store::{Durability, newest_schema};
use thumbpot::trade::Trade;

#[test]
fn a_journal_of_every_schema_opens_and_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    for schema in 1..=newest_schema() {
        let name = format!("schema-{schema}.db");
        let stored = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journals").join(&name);
        let copy = folder.path().join(&name);
        std::fs::copy(&stored, &copy).unwrap();
        let device = DeviceId(uuid::Uuid::from_u128(7));
        let desk = Desk::open_with(&copy, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        let findings = desk.check().unwrap();
        assert!(findings.is_sound(), "schema {schema}: {findings:?}");
        assert!(findings.batches >= 50, "schema {schema}: {} batches", findings.batches);
        assert!(desk.state(DEMO_DAY).unwrap().batches.len() >= 30);
    }
}
