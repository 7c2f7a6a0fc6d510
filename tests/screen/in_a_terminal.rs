//! The real program on a real pseudo-terminal: it opens on the morning, takes keys, and gives the terminal back.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::Path;

use crate::pty::{LIMIT, Session, Setting};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

fn open(home: &Path, arguments: &[&str], (columns, rows): (u16, u16)) -> Session {
    let environment: [(&str, &OsStr); 1] = [("HOME", home.as_os_str())];
    let setting = Setting { columns, rows, environment: &environment, ..Setting::default() };
    Session::spawn(Path::new(PROGRAM), arguments, &setting)
}

/// Each key, and what stands on the screen once its page is drawn.
const WALK: [(&str, &str); 15] = [
    ("n", " tonight "),
    ("q", "Coming up"),
    ("b", " benches "),
    ("P", " plan "),
    ("q", " benches "),
    ("I", " in hand "),
    ("w", "Why: "),
    ("qq", " benches "),
    ("M", " place "),
    ("qq", "Coming up"),
    ("h", " journal "),
    ("q", "Coming up"),
    ("\r", " batch "),
    ("q", "Coming up"),
    ("W1", " round "),
];

#[test]
fn the_demonstration_opens_at_every_usual_size_is_walked_by_letters_and_left_by_q() {
    for size in [(40, 20), (80, 24), (120, 40), (200, 60)] {
        let home = TempDir::new().unwrap();
        let mut session = open(home.path(), &["demo"], size);
        session.wait_for("Today", LIMIT);
        session.wait_for("demonstration", LIMIT);
        session.wait_for("? all keys", LIMIT);
        for heading in ["Coming up", "Moving on", "Room"] {
            assert!(session.screen().contains(heading), "{heading}:\n{}", session.screen());
        }
        for (keys, shown) in WALK {
            session.keys(keys);
            session.wait_for(shown, LIMIT);
        }
        session.keys("?");
        session.wait_for("Keys here: round", LIMIT);
        session.keys("qq");
        session.wait_for("Coming up", LIMIT);
        session.keys("q");
        assert_eq!(session.exit_status(LIMIT), Ok(0), "{size:?}");
        session.assert_given_back();
    }
}

#[test]
fn a_count_typed_as_keys_is_in_the_journal_and_a_signal_leaves_it_there() {
    let home = TempDir::new().unwrap();
    let journal = home.path().join("season.db");
    let journal = journal.to_str().unwrap();
    let script = home.path().join("script");
    std::fs::write(
        &script,
        "place add sill --kind windowsill\nbench add sill/top --size 900x400mm\n\
         sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/top --on -14d\n",
    )
    .unwrap();
    // A fortnight ago: what is sown today is not up.
    let run = |words: &[&str]| {
        let done = std::process::Command::new(PROGRAM).env("HOME", home.path()).args(words).output().unwrap();
        String::from_utf8(done.stdout).unwrap()
    };
    run(&["--journal", journal, "run", script.to_str().unwrap()]);
    let mut session = open(home.path(), &["--journal", journal], (80, 24));
    session.wait_for("Coming up", LIMIT);
    session.keys("1c54\r");
    session.wait_for("54 up", LIMIT);
    session.wait_for("u undo", LIMIT);
    session.kill(libc::SIGTERM);
    assert_eq!(session.exit_status(LIMIT), Ok(143));
    session.assert_given_back();
    let history = run(&["--journal", journal, "history"]);
    assert!(history.contains("1a: 54 up"), "{history}");
}

#[test]
fn with_nothing_happening_nothing_is_written() {
    let home = TempDir::new().unwrap();
    let mut session = open(home.path(), &["demo"], (80, 24));
    session.wait_for("? all keys", LIMIT);
    let mut waited = 0;
    // Longer than two of the screen's looks at the journal.
    session.wait_until("the frame's end", LIMIT, |_| {
        waited += 1;
        waited > 10
    });
    let before = session.written().len();
    let mut turns = 0;
    session.wait_until("idle time", LIMIT, |_| {
        turns += 1;
        turns > 130
    });
    assert_eq!(session.written().len(), before, "bytes were written though nothing happened");
    session.keys("j");
    session.wait_until("the cursor's row", LIMIT, |session| session.written().len() > before);
}

/// A telephone's connection: a key may cost 1.5 kB at 80 x 24 in the middle of many.
#[test]
fn a_key_costs_few_bytes() {
    let home = TempDir::new().unwrap();
    let mut session = open(home.path(), &["demo"], (80, 24));
    session.wait_for("? all keys", LIMIT);
    let mut costs = Vec::new();
    // Rows, a form, a text to be read, and a page there and back.
    for key in "jjjjjjkkjjc4\u{1b}jjjjwjj\u{1b}bjjjj\u{1b}W1123\u{1b}sss".chars() {
        let before = session.written().len();
        session.keys(&key.to_string());
        session.wait_until("an answer", LIMIT, |session| session.written().len() > before);
        let mut settled = 0;
        session.wait_until("the frame's end", LIMIT, |_| {
            settled += 1;
            settled > 3
        });
        costs.push(session.written().len() - before);
    }
    costs.sort_unstable();
    assert!(costs[costs.len() / 2] <= 1500, "{costs:?}");
}

#[test]
fn without_a_terminal_it_says_what_to_do() {
    let home = TempDir::new().unwrap();
    let done = std::process::Command::new(PROGRAM)
        .env("HOME", home.path())
        .args(["--journal", home.path().join("a.db").to_str().unwrap()])
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8(done.stderr).unwrap().contains("needs a terminal"));
}

#[test]
fn the_growers_own_letters_and_light_are_in_force_and_bad_ones_are_refused_before_the_screen_opens() {
    let home = TempDir::new().unwrap();
    let folder = home.path().join(".config/thumbpot");
    std::fs::create_dir_all(&folder).unwrap();
    let settings = |text: &str| std::fs::write(folder.join("settings.toml"), text).unwrap();
    settings("[screen]\nlight = 'bright'\n[keys]\nhelp = 'H'\nsow = '$'\n");
    let mut session = open(home.path(), &["demo"], (80, 24));
    session.wait_for("H all keys", LIMIT);
    let ground = |session: &Session| session.terminal().cell(12, 40).unwrap().bgcolor();
    assert_eq!(ground(&session), vt100::Color::Idx(15), "white ground");
    session.keys("B");
    session.wait_until("the ordinary light", LIMIT, |session| ground(session) == vt100::Color::Default);
    session.keys("$");
    session.wait_for("variety", LIMIT);
    session.keys("\u{1b}");
    session.wait_for("Coming up", LIMIT);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();

    settings("[keys]\nsow = 'c'\n");
    let refused = std::process::Command::new(PROGRAM).env("HOME", home.path()).env("TERM", "xterm").output().unwrap();
    assert_eq!(refused.status.code(), Some(1));
    let told = String::from_utf8(refused.stderr).unwrap();
    assert!(told.contains("settings.toml, line 1: keys: c does two things on the morning page"), "{told}");
    assert_eq!(told.lines().count(), 1, "{told}");
}
