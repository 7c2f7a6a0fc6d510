//! Whatever ends the program, the terminal is as it was: line settings, screen, cursor, reports.
//!
//! The tests run this very file again as the program under test, on a pseudo-terminal: see [`program`]. The terminal
//! modes are DEC private modes as the xterm control sequences document lists them; exit codes are those of a POSIX shell, 128 + signal.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::time::Duration;

use crate::pty::{LIMIT, Leadership, Session, Setting};
use crossterm::event::{KeyCode, KeyModifiers};
use ratatui::widgets::Paragraph;
use thumbpot::tui::terminal::{Event, Mouse, Screen};

/// A line that is the same in every frame.
const STANDING: &str = "14a tomato";
const ROLE: &str = "THUMBPOT_TEST_PROGRAM";

/// Not a test but the program the tests run: shows each event it is given, and ends in the way a key asks for.
#[test]
#[ignore = "run by the other tests, on a terminal of its own"]
#[allow(clippy::disallowed_methods, reason = "stands in for main")]
fn program() {
    if std::env::var_os(ROLE).is_none() {
        return;
    }
    match show_events() {
        Ok(code) => std::process::exit(code.into()),
        Err(error) => {
            eprintln!("{error}");
            std::process::exit(1);
        }
    }
}

fn show_events() -> Result<u8, String> {
    let mut screen = Screen::enter(Mouse::Followed).map_err(|error| error.to_string())?;
    let mut shown = "ready".to_owned();
    loop {
        screen.draw(|frame| frame.render_widget(Paragraph::new(format!("{shown}\n{STANDING}")), frame.area()));
        let event = screen.next(None);
        shown = format!("{event:?}");
        match event {
            Event::Quit(ending) => return Ok(ending.exit_code()),
            Event::Key(key) if key.modifiers == KeyModifiers::CONTROL => screen.suspend(),
            Event::Key(key) => match key.code {
                KeyCode::Char('q') => return Ok(0),
                KeyCode::Char('e') => return Err("the journal is away".to_owned()),
                KeyCode::Char('p') => panic!("a seed tray fell"),
                KeyCode::Char('t') => {
                    let _ = std::thread::spawn(|| panic!("a label blew off")).join();
                }
                KeyCode::Char('a') => screen.draw(|_| panic!("dropped half way through a frame")),
                KeyCode::Char('b') => loop {
                    std::thread::sleep(LIMIT);
                },
                KeyCode::Char('f') => loop {
                    shown.insert(0, '#');
                    screen.draw(|frame| frame.render_widget(Paragraph::new(shown.as_str()), frame.area()));
                },
                KeyCode::Char('w') => shown = format!("{:?}", screen.next(Some(Duration::from_millis(1)))),
                KeyCode::Char('n') => shown = format!("{:?}", Screen::enter(Mouse::Left).err()),
                _ => {}
            },
            _ => {}
        }
    }
}

const ARGUMENTS: [&str; 4] = ["--ignored", "--exact", "terminal_given_back::program", "--nocapture"];

fn start_with(session: Leadership) -> Session {
    let itself = std::env::current_exe().unwrap();
    let environment = [(ROLE, OsStr::new("yes"))];
    let mut session =
        Session::spawn(&itself, &ARGUMENTS, &Setting { session, environment: &environment, ..Setting::default() });
    session.wait_for("ready", LIMIT);
    assert!(session.terminal().alternate_screen() && session.terminal().bracketed_paste());
    session
}

fn start() -> Session {
    start_with(Leadership::Leads)
}

#[test]
fn after_the_grower_quits() {
    let mut session = start();
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
    assert!(session.screen().contains("running 1 test"), "what stood there before is back:\n{}", session.screen());
    assert!(!session.screen().contains("ready"));
}

#[test]
fn after_an_error() {
    let mut session = start();
    session.keys("e");
    assert_eq!(session.exit_status(LIMIT), Ok(1));
    session.assert_given_back();
    assert!(session.screen().contains("the journal is away"));
}

#[test]
fn after_a_panic_with_its_message_to_be_read() {
    for (key, message) in [("p", "a seed tray fell"), ("a", "dropped half way")] {
        let mut session = start();
        session.keys(key);
        assert_eq!(session.exit_status(LIMIT), Ok(101));
        session.assert_given_back();
        assert!(session.screen().contains(message), "{}", session.screen());
    }
}

#[test]
fn after_a_panic_in_another_thread() {
    let mut session = start();
    session.keys("t");
    assert_eq!(session.exit_status(LIMIT), Ok(101));
    session.assert_given_back();
    assert!(session.screen().contains("a label blew off"));
}

#[test]
fn after_a_signal_that_asks_for_the_end() {
    let signals = [(libc::SIGHUP, 129), (libc::SIGINT, 130), (libc::SIGQUIT, 131), (libc::SIGTERM, 143)];
    for (signal, code) in signals {
        let mut session = start();
        session.kill(signal);
        assert_eq!(session.exit_status(LIMIT), Ok(code));
        session.assert_given_back();
    }
}

#[test]
fn after_a_signal_while_the_main_thread_is_stuck() {
    for (signal, code) in [(libc::SIGHUP, 129), (libc::SIGTERM, 143)] {
        let mut session = start();
        session.keys("x");
        session.wait_for("'x'", LIMIT);
        session.keys("b");
        session.kill(signal);
        assert_eq!(session.exit_status(LIMIT / 2), Ok(code));
        session.assert_given_back();
    }
}

#[test]
fn a_stalled_terminal_does_not_keep_the_program() {
    let mut session = start();
    session.keys("f");
    session.wait_for("####", LIMIT);
    session.stall();
    // Long enough for the line's buffer to fill and the program to hang in its write; sooner would pass as well.
    std::thread::sleep(Duration::from_millis(300));
    session.kill(libc::SIGTERM);
    assert_eq!(session.exit_status(LIMIT / 2), Ok(143));
}

/// Dead means nothing is left to burn a core; a program that lives on runs into the time limit.
#[test]
fn nothing_lives_on_when_the_terminal_goes_away() {
    for leadership in [Leadership::Leads, Leadership::HasNoTerminalOfItsOwn] {
        for busy in ["", "b"] {
            let mut session = start_with(leadership);
            session.keys(busy);
            session.hang_up();
            assert_eq!(session.exit_status(LIMIT / 2), Ok(129));
        }
    }
}

#[test]
fn while_a_shell_has_stopped_the_program() {
    let itself = std::env::current_exe().unwrap();
    let script = format!("set -m; '{}' {}; echo stopped $?; read answer; fg", itself.display(), ARGUMENTS.join(" "));
    let environment = [(ROLE, OsStr::new("yes"))];
    let setting = Setting { environment: &environment, ..Setting::default() };
    let mut session = Session::spawn("/bin/sh".as_ref(), &["-c", &script], &setting);
    session.wait_for("ready", LIMIT);
    session.keys("\u{1a}");
    // 128 + SIGTSTP, which is 20 on Linux.
    session.wait_for("stopped 148", LIMIT);
    session.assert_given_back();
    session.keys("on\r");
    session.wait_for("Continued", LIMIT);
    session.wait_for(STANDING, LIMIT);
    assert!(session.terminal().alternate_screen());
    session.keys("x");
    session.wait_for("'x'", LIMIT);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
}

#[test]
fn ctrl_z_without_a_shell_to_return_to_does_no_harm() {
    let mut session = start();
    session.keys("\u{1a}");
    session.wait_for("'z'", LIMIT);
    assert!(session.terminal().alternate_screen());
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();
}

#[test]
fn everything_the_terminal_reports_arrives() {
    let mut session = start();
    session.keys("\u{1b}[200~24 cells\u{1b}[201~");
    session.wait_for("Paste(\"24 cells\")", LIMIT);
    session.keys("\u{1b}[O");
    session.wait_for("Focus(Lost)", LIMIT);
    session.keys("\u{1b}[I");
    session.wait_for("Focus(Gained)", LIMIT);
    // SGR mouse report: button 0 pressed in column 6, row 4, both counted from 1.
    session.keys("\u{1b}[<0;6;4M");
    session.wait_for("column: 5, row: 3", LIMIT);
    session.resize(40, 20);
    session.wait_for("Resize { columns: 40, rows: 20 }", LIMIT);
    session.keys("w");
    session.wait_for("TimedOut", LIMIT);
    session.keys("n");
    session.wait_for("OpenedBefore", LIMIT);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
}

#[test]
fn every_frame_is_shown_at_once() {
    let mut session = start();
    session.keys("x");
    session.wait_for("'x'", LIMIT);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    // Synchronized output is private mode 2026: set, the frame, reset.
    let written = session.written();
    let mut frames = written.split("\u{1b}[?2026h");
    assert!(frames.next().is_some_and(|before| !before.contains("ready")));
    let first = frames.next().unwrap();
    assert!(first.split("\u{1b}[?2026l").next().unwrap().contains("ready"), "{first:?}");
}

#[test]
fn a_pipe_is_no_terminal() {
    let itself = std::env::current_exe().unwrap();
    let ended =
        std::process::Command::new(itself).args(ARGUMENTS).env(ROLE, "yes").stdin(std::process::Stdio::null()).output();
    let ended = ended.unwrap();
    assert_eq!(ended.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&ended.stderr).contains("needs a terminal"));
    assert!(!ended.stdout.contains(&0x1b), "not one control sequence");
}
