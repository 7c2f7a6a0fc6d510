//! The first time: an empty journal, a real pseudo-terminal, and no more known than the page and the README say. Three
//! places, four benches, five sowings, two counts, a potting on and a move, by keys alone.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::Path;

use crate::pty::{LIMIT, Session, Setting};
use tempfile::TempDir;

/// Keys, and what the screen says then.
const STEPS: [(&str, &str); 19] = [
    ("Ap", "warms the compost"),
    ("p\r", "propagator: a propagator"),
    ("Apwkitchen\r", "kitchen: a windowsill"),
    ("Apcframe\r", "frame: a cold frame"),
    ("Ab\r\r", "propagator/mat: 800 mm x 480 mm"),
    ("Ab\r1200x250mm\r", "kitchen/sill: 1200 mm x 250 mm"),
    ("Ab\r\r\r", "frame/floor: 1200 mm x 600 mm"),
    ("Abkitchen/shelf\r900x300mm\r", "kitchen/shelf: 900 mm x 300 mm"),
    // The first sowing was nine days ago; the others are like the last in what nobody types.
    ("stomato Copper Lantern\r20o-9d\rhalf-tray\rmat\r", "tomato Copper Lantern sown"),
    ("sleek Long Furrow\r60i72-cell\rkitchen/shelf\r", "leek Long Furrow sown"),
    ("sbasil Warm Yard\r30ihalf-tray\rmat\r", "basil Warm Yard sown"),
    ("sto\r12\r\r", "4a: 12 seeds"),
    ("spea Ladder Boy\r24o-9d\r\r", "pea Ladder Boy sown"),
    ("1c14\r", "14 up of 20"),
    ("5c20\r", "20 up of 24"),
    ("1p12\r", "12 pricked out from 1a"),
    ("5mframe\r", "5a moved to frame/floor"),
    ("b", "frame/floor"),
    ("qq", ""),
];

#[test]
fn a_season_is_set_up_by_the_page_alone_in_few_keys() {
    let home = TempDir::new().unwrap();
    let environment: [(&str, &OsStr); 1] = [("HOME", home.path().as_os_str())];
    let setting = Setting { columns: 80, rows: 24, environment: &environment, ..Setting::default() };
    let mut session = Session::spawn(Path::new(env!("CARGO_BIN_EXE_thumbpot")), &[], &setting);
    session.wait_for("A first season", LIMIT);
    let mut keys = 0;
    for (typed, said) in STEPS {
        keys += typed.chars().count();
        session.keys(typed);
        let wanted: String = said.split_whitespace().collect();
        // The line is broken where it is full.
        let packed = |session: &Session| session.screen().split_whitespace().collect::<String>();
        session.wait_until(said, LIMIT, |session| packed(session).contains(&wanted));
    }
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
    // Two minutes at three keys a second, names and all.
    assert!(keys <= 360, "{keys} keys");
}
