//! One afternoon typed twice into fresh journals, as keys at the full screen on a real pseudo-terminal and as lines at
//! the command line: both logs must say the same, but for ids, devices and the moment of writing.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;

use crate::pty::{LIMIT, Session, Setting};
use serde_json::Value;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

/// Keys, what the screen says then, and the same at the command line; an empty line only goes somewhere.
const AFTERNOON: [(&str, &str, &str); 28] = [
    ("zpp", "Enter log it", ""),
    ("\r", "propagator: a propagator", "place add propagator --kind propagator"),
    ("zpw\r", "windowsill: a windowsill", "place add windowsill --kind windowsill"),
    ("zpcold frame\r", "old frame: a cold frame", "place add 'old frame' --kind 'cold frame'"),
    ("zbpropagator/mat\r900x400mm\r", "propagator/mat: 900 mm x 400 mm", "bench add propagator/mat --size 900x400mm"),
    ("zbold frame/frame\r1200x600mm\r\r", "1200 mm x 600 mm", "bench add 'old frame/frame' --size 1200x600mm"),
    (
        "stomato Red Evening\r24\rhalf-tray\rprop\r",
        "tomato Red Evening sown",
        "sow tomato 'Red Evening' --seeds 24 --in half-tray --at propagator/mat",
    ),
    (
        "sbasil Warm Yard\r30\r\r",
        "basil Warm Yard sown",
        "sow basil 'Warm Yard' --seeds 30 --in half-tray --at propagator/mat",
    ),
    ("1c20\r", "Is that so?", ""),
    ("y", "20 up of 24, 20 standing", "count 1 20 --sure"),
    ("2c24\ry", "24 up of 30, 24 standing", "count 2 24 --sure"),
    ("1p12i9cm-pot\r", "too dark for what is up", ""),
    ("prop\r", "12 pricked out from 1a", "pot-on 1 12 --into 9cm-pot --at propagator/mat"),
    ("2t3\r", "3 thinned", "thin 2 3"),
    ("1\r", "Parts  2", ""),
    ("jmold\r", "1b moved to old frame/frame", "move 1b 'old frame/frame'"),
    ("l2cslugs\r", "2 lost (slugs)", "lose 1b 2 --cause slugs"),
    ("u", "undone: 1b: 2 lost", "undo"),
    ("g2\r", "1b: 2 true leaves", "stage 1b --leaves 2"),
    ("Owin\r", "out for the day in windowsill", "out 1b windowsill"),
    ("i", "1b home again", "in"),
    ("v1\r", "1 given away", "give-away 1b 1"),
    ("f4\r", "4 planted out", "plant-out 1b 4"),
    ("Nleaves curl\r", "leaves curl", "note 1 -- leaves curl"),
    ("q", "Coming up", ""),
    ("2edisc\r", "2a cleared", "clear 2 --rest discard"),
    ("b", "to scale", ""),
    ("qq", "", ""),
];

fn runs(home: &Path, journal: &str, words: &[String]) {
    let done = Command::new(PROGRAM).env("HOME", home).args(["--journal", journal]).args(words).output().unwrap();
    assert!(done.status.success(), "{words:?}: {}", String::from_utf8_lossy(&done.stderr));
}

/// The whole log, without what two journals cannot share.
fn exported(home: &Path, journal: &str) -> Value {
    let to = format!("{journal}.json");
    runs(home, journal, &["export".to_owned(), "--to".to_owned(), to.clone()]);
    let mut log: Value = serde_json::from_str(&std::fs::read_to_string(to).unwrap()).unwrap();
    forget(&mut log);
    log
}

fn forget(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            fields.retain(|name, _| !matches!(name.as_str(), "act" | "device" | "recorded"));
            fields.values_mut().for_each(forget);
        }
        Value::Array(all) => all.iter_mut().for_each(forget),
        _ => {}
    }
}

#[test]
fn the_same_afternoon_as_keys_and_as_lines_is_the_same_log() {
    let home = TempDir::new().unwrap();
    let path = |name: &str| home.path().join(name).to_str().unwrap().to_owned();
    let (keyed, typed) = (path("keyed.db"), path("typed.db"));
    let environment: [(&str, &OsStr); 1] = [("HOME", home.path().as_os_str())];
    let setting = Setting { environment: &environment, ..Setting::default() };
    let mut session = Session::spawn(Path::new(PROGRAM), &["--journal", &keyed], &setting);
    session.wait_for("? all keys", LIMIT);
    for (keys, said, line) in AFTERNOON {
        session.keys(keys);
        session.wait_for(said, LIMIT);
        let words = shlex::split(line).unwrap();
        if !words.is_empty() {
            runs(home.path(), &typed, &words);
        }
    }
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
    let (keyed, typed) = (exported(home.path(), &keyed), exported(home.path(), &typed));
    let (acts, other) = (keyed["acts"].as_array().unwrap(), typed["acts"].as_array().unwrap());
    for (one, another) in acts.iter().zip(other) {
        assert_eq!(one, another);
    }
    assert_eq!(acts.len(), other.len());
    assert!(acts.len() >= 20, "{}", acts.len());
}
