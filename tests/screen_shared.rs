//! The real program on a terminal beside another on the same journal: what one writes the other shows, what was typed
//! on an older state is judged by the newer, and a terminal that goes away takes no entry with it.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

mod pty;

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use pty::{LIMIT, Leadership, Session, Setting};
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

/// The screen looks at the journal once a second while nothing else happens; how soon the row is there is the
/// machine's business, that it comes without a key is the program's.
#[test]
fn an_open_screen_shows_what_another_program_writes() {
    let garden = Garden::new();
    let mut session = garden.open(Leadership::Leads);
    assert!(!session.screen().contains("basil"));
    garden.does(&["sow", "basil", "Warm Yard", "--seeds", "12", "--in", "half-tray", "--at", "sill/top"]);
    session.wait_for("basil", LIMIT);
    garden.does(&["undo"]);
    session.wait_until("the row's end", LIMIT, |session| !session.screen().contains("basil"));
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
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
fn a_terminal_that_goes_away_ends_the_program_and_takes_no_entry() {
    for leadership in [Leadership::Leads, Leadership::HasNoTerminalOfItsOwn] {
        let garden = Garden::new();
        let mut session = garden.open(leadership);
        session.keys("1c54\r");
        session.wait_for("54 up", LIMIT);
        session.keys("1c");
        session.hang_up();
        assert_eq!(session.exit_status(LIMIT / 4), Ok(129));
        assert!(garden.does(&["history"]).contains("1a: 54 up"));
        assert!(garden.does(&["check"]).starts_with("sound: 5 acts"));
    }
}

/// The server of a terminal multiplexer killed: where there is one.
#[test]
fn a_multiplexer_that_is_killed_leaves_no_program_behind() {
    let garden = Garden::new();
    let socket = garden.home.path().join("socket");
    let tmux = |words: &[&str]| {
        let mut command = Command::new("tmux");
        command.env("HOME", garden.home.path()).env_remove("TMUX").arg("-S").arg(&socket).args(["-f", "/dev/null"]);
        command.args(words).output().ok().map(|done| String::from_utf8_lossy(&done.stdout).trim().to_owned())
    };
    if tmux(&["-V"]).is_none() {
        return;
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
    tmux(&["kill-server"]);
    // SAFETY: signal 0 only asks whether the process is there.
    until("the program's end", &mut || unsafe { libc::kill(process, 0) } != 0);
    assert!(garden.does(&["history"]).contains("1a: 54 up"));
}
