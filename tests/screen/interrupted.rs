//! Interrupted in the middle of a form: what was typed is offered again, logged once, and only when the grower says so.
//! The real program on a real pseudo-terminal, ended as terminals end programs: by signals, by hanging up, by force.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::pty::{LIMIT, Session, Setting};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

struct Garden {
    home: TempDir,
}

impl Garden {
    fn new() -> Self {
        let garden = Self { home: TempDir::new().unwrap() };
        let script = garden.home.path().join("script");
        std::fs::write(
            &script,
            "place add sill --kind windowsill\nbench add sill/top --size 900x400mm\n\
             lot add leek 'Long Furrow' --seeds 200\n\
             sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/top --on -14d\n",
        )
        .unwrap();
        garden.run(&["run", script.to_str().unwrap()]);
        garden
    }

    fn journal(&self) -> PathBuf {
        self.home.path().join("season.db")
    }

    fn draft(&self) -> PathBuf {
        self.home.path().join("season-drafts").join("1.draft")
    }

    fn run(&self, words: &[&str]) -> String {
        let mut command = std::process::Command::new(PROGRAM);
        command.env("HOME", self.home.path()).arg("--journal").arg(self.journal()).args(words);
        String::from_utf8(command.output().unwrap().stdout).unwrap()
    }

    fn acts(&self) -> usize {
        self.run(&["history", "--limit", "100"]).lines().filter(|line| !line.starts_with("act")).count()
    }

    fn open(&self) -> Session {
        let environment: [(&str, &OsStr); 1] = [("HOME", self.home.path().as_os_str())];
        let setting = Setting { environment: &environment, ..Setting::default() };
        Session::spawn(Path::new(PROGRAM), &["--journal", self.journal().to_str().unwrap()], &setting)
    }

    fn wait_for_draft(&self, session: &mut Session, text: &str) {
        let path = self.draft();
        session
            .wait_until("the draft", LIMIT, |_| std::fs::read_to_string(&path).is_ok_and(|draft| draft.contains(text)));
    }
}

#[derive(Clone, Copy, Debug)]
enum End {
    Signal(libc::c_int),
    HangUp,
    Force,
}

#[test]
fn a_form_is_taken_up_where_it_was_left_however_the_terminal_went() {
    for end in [End::Signal(libc::SIGTERM), End::Signal(libc::SIGHUP), End::HangUp, End::Force] {
        let garden = Garden::new();
        let before = garden.acts();
        let mut session = garden.open();
        session.wait_for("Coming up", LIMIT);
        session.keys("s\r31");
        session.wait_for("31", LIMIT);
        session.resize(60, 20);
        session.wait_for("31", LIMIT);
        match end {
            End::Signal(signal) => session.kill(signal),
            End::HangUp => session.hang_up(),
            End::Force => {
                // Nothing can be done at the last moment: the pause in typing has to be enough.
                garden.wait_for_draft(&mut session, "31");
                session.kill(libc::SIGKILL);
            }
        }
        let _ = session.exit_status(LIMIT);
        assert_eq!(garden.acts(), before, "{end:?}: nothing half-entered is written");

        let mut again = garden.open();
        again.wait_for("Left half-entered at", LIMIT);
        again.wait_for("--seeds 31", LIMIT);
        again.keys("y");
        again.wait_for("number", LIMIT);
        again.keys("\r\r");
        again.wait_for("31 seeds in 72-cell", LIMIT);
        assert_eq!(garden.acts(), before + 1, "{end:?}");
        assert!(!garden.draft().exists(), "{end:?}: what is logged is not offered again");
        again.kill(libc::SIGKILL);
        let _ = again.exit_status(LIMIT);

        let mut third = garden.open();
        third.wait_for("Coming up", LIMIT);
        assert!(!third.screen().contains("half-entered"), "{end:?}:\n{}", third.screen());
        assert_eq!(garden.acts(), before + 1);
    }
}

#[test]
fn a_line_is_offered_again_until_it_is_taken_up_or_dropped() {
    let garden = Garden::new();
    let before = garden.acts();
    let mut session = garden.open();
    session.wait_for("Coming up", LIMIT);
    session.keys(":lose 1 3 --cause sl");
    session.wait_for("slugs", LIMIT);
    session.kill(libc::SIGTERM);
    let _ = session.exit_status(LIMIT);
    let mut again = garden.open();
    again.wait_for("lose 1 3 --cause sl.", LIMIT);
    // Escape puts it off: other things can be done first, and it is offered the next time.
    again.keys("\u{1b}");
    again.wait_until("the question to go", LIMIT, |session| !session.screen().contains("half-entered"));
    again.keys("1c16\r");
    again.wait_for("16 up of", LIMIT);
    again.keys("q");
    assert_eq!(again.exit_status(LIMIT), Ok(0));
    let before = before + 1;
    let mut again = garden.open();
    again.wait_for("lose 1 3 --cause sl.", LIMIT);
    again.keys("n");
    let draft = garden.draft();
    again.wait_until("the draft to go", LIMIT, |_| !draft.exists());
    again.kill(libc::SIGTERM);
    let _ = again.exit_status(LIMIT);
    assert!(!draft.exists());
    assert_eq!(garden.acts(), before);
}

#[test]
fn a_form_that_is_left_leaves_nothing_and_an_untouched_one_neither() {
    let garden = Garden::new();
    let mut session = garden.open();
    session.wait_for("Coming up", LIMIT);
    session.keys("1c5");
    garden.wait_for_draft(&mut session, "\"5\"");
    session.keys("\u{1b}");
    let draft = garden.draft();
    session.wait_until("the draft to go", LIMIT, |_| !draft.exists());
    session.keys("1c");
    session.wait_for("so far", LIMIT);
    session.kill(libc::SIGTERM);
    let _ = session.exit_status(LIMIT);
    assert!(!draft.exists(), "nothing was typed");
}

#[test]
fn two_screens_keep_to_their_own() {
    let garden = Garden::new();
    let (mut one, mut other) = (garden.open(), garden.open());
    one.wait_for("Coming up", LIMIT);
    other.wait_for("Coming up", LIMIT);
    one.keys("1c41");
    garden.wait_for_draft(&mut one, "41");
    other.keys("1c42");
    let second = garden.draft().with_file_name("2.draft");
    other.wait_until("its draft", LIMIT, |_| std::fs::read_to_string(&second).is_ok_and(|draft| draft.contains("42")));
    // The one logs, the other is cut off.
    one.keys("\r");
    one.wait_for("41 up", LIMIT);
    other.kill(libc::SIGKILL);
    let _ = other.exit_status(LIMIT);
    let mut again = garden.open();
    again.wait_for("1a 42.", LIMIT);
    assert!(!garden.draft().exists());
}

#[test]
fn a_hostile_draft_is_passed_over_in_one_line() {
    let garden = Garden::new();
    let before = garden.acts();
    std::fs::create_dir_all(garden.draft().parent().unwrap()).unwrap();
    let huge = |path: &Path| std::fs::File::create(path).unwrap().set_len(100_000_000).unwrap();
    let write = |bytes: &'static [u8]| move |path: &Path| std::fs::write(path, bytes).unwrap();
    let (half, binary, other) = (write(b"{\"at\":\"2026-"), write(b"\xff\xfe\x00"), write(b"[1,2,3]"));
    for put in [&huge as &dyn Fn(&Path), &half, &binary, &other] {
        put(&garden.draft());
        let mut session = garden.open();
        session.wait_for("what was left half-entered", LIMIT);
        session.keys("q");
        assert_eq!(session.exit_status(LIMIT), Ok(0));
        assert!(!garden.draft().exists(), "told of once");
    }
    // One that can be read, but acts on terminals: it is shown as words, and does nothing by itself.
    let evil = r#"{"at":"2026-04-15T14:32:00","what":{"line":"undo \u001b]0;owned\u0007\u001b[2J\u202e"}}"#;
    std::fs::write(garden.draft(), evil).unwrap();
    let mut session = garden.open();
    session.wait_for("undo ]0;owned", LIMIT);
    assert!(!session.written().contains("\u{1b}]0;") && !session.written().contains("\u{202e}"));
    session.keys("y");
    session.wait_for("In words", LIMIT);
    std::thread::sleep(Duration::from_millis(50));
    session.kill(libc::SIGTERM);
    let _ = session.exit_status(LIMIT);
    assert_eq!(garden.acts(), before);
}
