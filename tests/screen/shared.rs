//! The real program on a terminal beside another on the same journal: what one writes the other shows, what was typed
//! on an older state is judged by the newer, and a terminal that goes away takes no entry with it.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops on the first surprise, and says what it left out"
)]

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use crate::pty::{LIMIT, Leadership, Session, Setting};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

const BEGINNING: &str = "place add sill --kind windowsill --on -30d
bench add sill/top --size 2000x900mm --on -30d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/top --on -20d
count 1 20 --on -5d
";

struct Garden {
    home: TempDir,
}

impl Garden {
    fn new() -> Self {
        let garden = Self { home: TempDir::new().unwrap() };
        std::fs::write(garden.home.path().join("script"), BEGINNING).unwrap();
        garden.does(&["run", garden.home.path().join("script").to_str().unwrap()]);
        garden
    }

    fn journal(&self) -> PathBuf {
        self.home.path().join("season.db")
    }

    /// Another program on the same journal.
    fn does(&self, words: &[&str]) -> String {
        let mut command = Command::new(PROGRAM);
        let done =
            command.env("HOME", self.home.path()).arg("--journal").arg(self.journal()).args(words).output().unwrap();
        assert!(done.status.success(), "{words:?}: {}", String::from_utf8_lossy(&done.stderr));
        String::from_utf8(done.stdout).unwrap()
    }

    fn open(&self, session: Leadership) -> Session {
        let environment: [(&str, &OsStr); 1] = [("HOME", self.home.path().as_os_str())];
        let setting = Setting { environment: &environment, session, ..Setting::default() };
        let journal = self.journal();
        let mut session = Session::spawn(Path::new(PROGRAM), &["--journal", journal.to_str().unwrap()], &setting);
        session.wait_for("Coming up", LIMIT);
        session
    }
}

/// What is promised to come within a second, done up to three times: a machine that has more to do than it can may be
/// late, a program that is late by itself always is.
fn within_a_second(what: &str, mut done: impl FnMut() -> Duration) {
    let mut taken = Vec::new();
    while taken.len() < 3 && taken.last().is_none_or(|took| *took >= Duration::from_secs(1)) {
        taken.push(done());
    }
    assert!(taken.last() < Some(&Duration::from_secs(1)), "{what} took {taken:?}");
}

/// From the line to the drawn row, the other program's start and end included.
#[test]
fn an_open_screen_shows_within_a_second_what_another_program_writes() {
    let garden = Garden::new();
    let mut session = garden.open(Leadership::Leads);
    let mut crops = ["basil", "kale", "celery"].iter();
    within_a_second("the row", || {
        let crop = crops.next().unwrap();
        assert!(!session.screen().contains(crop));
        session.settle();
        // Any key begins the wait for the next glance anew: so it is as long as it can be.
        session.keys("j");
        garden.does(&["sow", crop, "Warm Yard", "--seeds", "12", "--in", "half-tray", "--at", "sill/top"]);
        let start = Instant::now();
        session.wait_for(crop, LIMIT);
        start.elapsed()
    });
    garden.does(&["undo"]);
    session.wait_until("the row's end", LIMIT, |session| !session.screen().contains("Warm Yard"));
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
}

#[test]
fn two_screens_show_each_others_counts_within_a_second() {
    let garden = Garden::new();
    let (mut one, mut other) = (garden.open(Leadership::Leads), garden.open(Leadership::Leads));
    let mut counts = 31..;
    within_a_second("the other's count", || {
        let count = counts.next().unwrap();
        one.keys(&format!("1c{count}"));
        one.settle();
        other.keys("j");
        one.keys("\r");
        one.wait_for(&format!("{count} up"), LIMIT);
        let start = Instant::now();
        other.wait_for(&format!("{count} "), LIMIT);
        start.elapsed()
    });
    // Both go on with the one batch, and what one has seen the other has not to be told.
    other.keys("1l2");
    other.settle();
    one.keys("1c40\r");
    one.wait_for("40 up", LIMIT);
    // The open form speaks of what stands now.
    other.wait_for("of 40 standing", LIMIT);
    other.keys("\r\r\r");
    other.wait_until("the loss", LIMIT, |other| !other.screen().contains("leave off"));
    for session in [&mut one, &mut other] {
        // Back to the morning, from wherever the last Enter led.
        session.keys("\u{1b}");
        session.settle();
        session.keys("q");
        assert_eq!(session.exit_status(LIMIT), Ok(0));
    }
    let history = garden.does(&["history"]);
    assert!(history.contains("1a: 40 up") && history.contains("1a: 2 lost"), "{history}");
    assert!(garden.does(&["check"]).starts_with("sound"));
}

/// A copy of the journal that another machine went on with, a good deal longer.
fn another_machines(garden: &Garden) -> PathBuf {
    let copy = garden.home.path().join("theirs.db");
    garden.does(&["backup", copy.to_str().unwrap()]);
    let notes = garden.home.path().join("notes");
    std::fs::write(&notes, "note 1 'at length, so that the file grows by a page or two'\n".repeat(150)).unwrap();
    let mut command = Command::new(PROGRAM);
    command.env("HOME", TempDir::new().unwrap().path()).arg("--journal").arg(&copy);
    assert!(command.args(["run", notes.to_str().unwrap()]).output().unwrap().status.success());
    copy
}

/// As a synchronised folder does it, while the screen is open and after it was killed.
#[test]
fn a_file_put_in_the_place_of_the_open_journal_is_not_harmed_and_the_screen_says_so() {
    for killed in [false, true] {
        let garden = Garden::new();
        let theirs = another_machines(&garden);
        let mut session = garden.open(Leadership::Leads);
        session.keys("1c54\r");
        session.wait_for("54 up", LIMIT);
        let log = garden.home.path().join("season.db-wal");
        session.wait_until("an empty log", LIMIT, |_| std::fs::metadata(&log).is_ok_and(|found| found.len() == 0));
        if killed {
            session.kill(libc::SIGKILL);
            assert!(session.exit_status(LIMIT).is_err());
        }
        std::fs::rename(&theirs, garden.journal()).unwrap();
        if !killed {
            session.wait_for("was replaced by another file", LIMIT);
            session.keys("1c50\r");
            session.wait_for("50 up", LIMIT);
            session.keys("q");
            assert_eq!(session.exit_status(LIMIT), Ok(0));
        }
        let check = garden.does(&["check"]);
        assert!(check.contains(if killed { "sound: 154 acts" } else { "sound: 155 acts" }), "{check}");
        assert!(killed || garden.does(&["history"]).contains("50 up"));
        assert!(killed || garden.does(&["merge", "season.kept-1.db"]).starts_with("1 act brought in"));
    }
}

/// A screen that cannot look, stopped as by Ctrl-Z, still holds the file that stood here before: nothing is written
/// beside it until it sees what happened.
#[test]
fn while_a_stopped_screen_holds_the_file_before_nothing_is_written_to_the_new_one() {
    let garden = Garden::new();
    let theirs = another_machines(&garden);
    let mut session = garden.open(Leadership::Leads);
    session.keys("1c54\r");
    session.wait_for("54 up", LIMIT);
    let log = garden.home.path().join("season.db-wal");
    session.wait_until("an empty log", LIMIT, |_| std::fs::metadata(&log).is_ok_and(|found| found.len() == 0));
    session.kill(libc::SIGSTOP);
    std::fs::rename(&theirs, garden.journal()).unwrap();
    let before = std::fs::read(garden.journal()).unwrap();
    let mut command = Command::new(PROGRAM);
    command.env("HOME", garden.home.path()).arg("--journal").arg(garden.journal());
    let refused = command.args(["count", "1", "51"]).output().unwrap();
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(!refused.status.success() && said.contains("still holds the file that stood at"), "{said}");
    assert!(std::fs::read(garden.journal()).unwrap() == before);
    session.kill(libc::SIGCONT);
    session.wait_for("was replaced by another file", LIMIT);
    garden.does(&["count", "1", "51"]);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    assert!(garden.does(&["check"]).starts_with("sound: 155 acts"));
}

#[test]
fn a_form_filled_on_an_older_state_is_judged_by_the_newer() {
    let garden = Garden::new();
    let mut session = garden.open(Leadership::Leads);
    // Five of twenty died: typed, not yet logged, while all but three leave from elsewhere.
    session.keys("1l5");
    session.wait_for("5", LIMIT);
    garden.does(&["give-away", "1", "17"]);
    session.keys("\r\r\r");
    session.wait_for("has 3 standing, not 5", LIMIT);
    let history = garden.does(&["history"]);
    assert!(history.contains("17") && !history.contains("died"), "{history}");
    // The form is still there, to be put right.
    session.keys("\u{1b}");
    session.wait_until("the form's end", LIMIT, |session| !session.screen().contains("leave off"));
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
}

/// Two versions of one batch, merged.
fn disputed() -> Garden {
    let garden = Garden::new();
    let other = TempDir::new().unwrap();
    let copy = other.path().join("theirs.db");
    garden.does(&["backup", copy.to_str().unwrap()]);
    garden.does(&["pot-on", "1", "20", "--into", "7cm-potx20", "--at", "sill/top", "--on", "-2d"]);
    let words = ["pot-on", "1", "18", "--into", "9cm-potx18", "--at", "sill/top", "--on", "-2d"];
    let mut command = Command::new(PROGRAM);
    let done = command.env("HOME", other.path()).arg("--journal").arg(&copy).args(words).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    garden.does(&["merge", copy.to_str().unwrap()]);
    garden
}

#[test]
fn what_contradicts_is_on_the_morning_and_settled_in_the_journal() {
    let garden = disputed();
    let mut session = garden.open(Leadership::Leads);
    session.wait_for("2 acts contradict each other", LIMIT);
    session.keys("h");
    session.wait_for("(set aside", LIMIT);
    assert!(session.screen().contains("(against that)"), "{}", session.screen());
    session.keys("x");
    session.wait_until("the end of it", LIMIT, |session| !session.screen().contains("(set aside"));
    session.keys("q");
    session.wait_for("Coming up", LIMIT);
    assert!(!session.screen().contains("contradict"), "{}", session.screen());
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    let check = garden.does(&["check"]);
    assert!(check.starts_with("sound") && !check.contains("set aside"), "{check}");
}

#[test]
fn the_copy_of_a_synchronised_folder_is_named_on_the_morning() {
    let garden = Garden::new();
    let copy = garden.home.path().join("season (conflicted copy).db");
    garden.does(&["backup", copy.to_str().unwrap()]);
    let done = Command::new(PROGRAM)
        .env("HOME", TempDir::new().unwrap().path())
        .arg("--journal")
        .arg(&copy)
        .args(["note", "1", "leaning"])
        .output()
        .unwrap();
    assert!(done.status.success());
    let mut session = garden.open(Leadership::Leads);
    session.wait_for("'season (conflicted copy).db' has 1 act", LIMIT);
    garden.does(&["merge", "season (conflicted copy).db"]);
    session.wait_until("the line's end", LIMIT, |session| !session.screen().contains("conflicted"));
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
}

/// As when a window is closed or a connection over SSH is cut: its server closes the far end of the terminal.
#[test]
fn a_terminal_that_goes_away_ends_the_program_within_a_second_and_takes_no_entry() {
    for leadership in [Leadership::Leads, Leadership::HasNoTerminalOfItsOwn] {
        within_a_second("the end", || {
            let garden = Garden::new();
            let mut session = garden.open(leadership);
            session.keys("1c54\r");
            session.wait_for("54 up", LIMIT);
            session.keys("1c");
            let start = Instant::now();
            session.hang_up();
            // Whoever is gone burns no core.
            assert_eq!(session.exit_status(LIMIT), Ok(129));
            let took = start.elapsed();
            assert!(garden.does(&["history"]).contains("1a: 54 up"));
            assert!(garden.does(&["check"]).starts_with("sound: 5 acts"));
            took
        });
    }
}

/// The server of a terminal multiplexer killed: where there is one, or where one is demanded by THUMBPOT_NEEDS_TMUX.
#[test]
fn a_multiplexer_that_is_killed_leaves_no_program_behind_after_a_second() {
    within_a_second("the end", || {
        let garden = Garden::new();
        let socket = garden.home.path().join("socket");
        let tmux = |words: &[&str]| {
            let mut command = Command::new("tmux");
            command.env("HOME", garden.home.path()).env_remove("TMUX").arg("-S").arg(&socket).args(["-f", "/dev/null"]);
            command.args(words).output().ok().map(|done| String::from_utf8_lossy(&done.stdout).trim().to_owned())
        };
        if tmux(&["-V"]).is_none() {
            assert!(std::env::var_os("THUMBPOT_NEEDS_TMUX").is_none(), "there is no tmux here");
            println!("not tried: there is no tmux here");
            return Duration::ZERO;
        }
        let program = format!("exec '{PROGRAM}' --journal '{}'", garden.journal().display());
        tmux(&["new-session", "-d", "-x", "80", "-y", "24", &program]);
        let until = |what: &str, met: &mut dyn FnMut() -> bool| {
            let start = Instant::now();
            while !met() {
                assert!(start.elapsed() < LIMIT, "{what}");
                std::thread::sleep(Duration::from_millis(20));
            }
        };
        until("the morning", &mut || tmux(&["capture-pane", "-p"]).is_some_and(|screen| screen.contains("Coming up")));
        let process: libc::pid_t = tmux(&["display-message", "-p", "#{pane_pid}"]).unwrap().parse().unwrap();
        tmux(&["send-keys", "1c54", "Enter"]);
        until("the count", &mut || tmux(&["capture-pane", "-p"]).is_some_and(|screen| screen.contains("54 up")));
        let start = Instant::now();
        tmux(&["kill-server"]);
        until("the program's end", &mut || has_ended(process));
        let took = start.elapsed();
        assert!(garden.does(&["history"]).contains("1a: 54 up"));
        took
    });
}

/// True when a process is gone, or dead and not yet asked about by whoever adopted it.
fn has_ended(process: libc::pid_t) -> bool {
    // SAFETY: signal 0 only asks whether the process is there.
    let is_gone = unsafe { libc::kill(process, 0) } != 0;
    let is_dead = || {
        let state = std::fs::read_to_string(format!("/proc/{process}/stat")).ok();
        state.is_some_and(|state| state.rsplit(") ").next().is_some_and(|rest| rest.starts_with('Z')))
    };
    is_gone || is_dead()
}
