//! Ticking a tray on the screen, by letters and by the mouse, comes to the entries that the command line writes.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use crate::pty::{LIMIT, Session, Setting};
use crate::sitting::demonstration;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use tempfile::TempDir;
use thumbpot::desk::{self, DEMO_DAY, Desk};
use thumbpot::tui::app::answer;
use thumbpot::tui::message::{Key, Message, Press};
use thumbpot::tui::model::{Model, Page};
use thumbpot::tui::theme::Look;
use thumbpot::tui::update::update;
use thumbpot::tui::view::{cell_at, view};

const PROGRAM: &str = env!("CARGO_BIN_EXE_thumbpot");

struct Screen {
    _folder: TempDir,
    desk: Desk,
    model: Model,
}

impl Screen {
    fn of_the_demonstration() -> Self {
        let folder = TempDir::new().unwrap();
        let desk = demonstration(&folder);
        let model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
        Self { _folder: folder, desk, model }
    }

    fn takes(&mut self, message: Message) {
        let mut messages = vec![message];
        while let Some(message) = messages.pop() {
            for effect in update(&mut self.model, message) {
                messages.extend(answer(&mut self.desk, effect));
            }
        }
    }

    fn types(&mut self, keys: &str) {
        for c in keys.chars() {
            let key = match c {
                '\n' => Key::Enter,
                '\u{1b}' => Key::Esc,
                c => Key::Char(c),
            };
            self.takes(Message::Key(key));
        }
    }

    fn drawn(&self, (columns, rows): (u16, u16), term: &str) -> Vec<String> {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        let look = Look::from_environment(false, term, None);
        terminal.draw(|frame| view(&self.model, look, frame)).unwrap();
        let buffer = terminal.backend().buffer();
        let line = |y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned();
        (0..rows).map(line).collect()
    }

    fn acts(&self) -> usize {
        self.desk.history(10_000, None).unwrap().len()
    }
}

#[test]
fn a_tray_on_a_terminal() {
    let mut screen = Screen::of_the_demonstration();
    screen.types("15C");
    insta::assert_snapshot!(screen.drawn((80, 24), "xterm").join("\n"), @r"
     cells  Wednesday 15 April 2026               demonstration: an invented season
    ── 15a parsley Moss Step  24-cell ───────────────────── 5 of 24 cells, 2 doubled
       ticked 12 Apr: cells 4,11,16,19,22, two in 11,19
       1  ·   ·   ·   ●   ·   ·
       7  ·   ·   ·   ·   8   ·
      13  ·   ·   ·   ●   ·   ·
      19  8   ·   ·   ●   ·   ·












      · sown  ● up  8 doubled  x lost  → moved on  - thrown out  ○ bare
     cell 1: sown; row 1, 1 along

     Enter log  u up  d doubled  e none  space turn  r row  c column  a all
     0-9 to a cell  Esc back                                             ? all keys
    ");
}

#[test]
fn a_tray_on_a_telephone_counted_again_since_it_was_ticked() {
    let mut screen = Screen::of_the_demonstration();
    screen.types("28C");
    insta::assert_snapshot!(screen.drawn((40, 20), "linux").join("\n"), @r"
     cells  Wed 15 Apr        demonstration
    -- 28a chard  12-cell ---- 0 of 12 cells
       ticked 10 Apr: 9; counted 17 since
       1  .   .   .   .
       5  .   .   .   .
       9  .   .   .   .








      . sown  o up  8 doubled  x lost
      > moved on  - thrown out  _ bare
     cell 1: sown; row 1, 1 along

     Enter log  o older ticks  u up
     d doubled  e none           ? all keys
    ");
    assert!(screen.model.tray.as_ref().unwrap().ticks().cells().is_empty(), "old ticks are not shown as the present");
    screen.types("o");
    assert_eq!(screen.model.tray.as_ref().unwrap().ticks().cells().to_string(), "1-3,5-6,8,10-12");
}

#[test]
fn a_lost_plant_shows_in_its_cell() {
    let mut screen = Screen::of_the_demonstration();
    screen.types("30C");
    let lines = screen.drawn((80, 24), "xterm");
    assert!(lines.iter().any(|line| line.split_whitespace().eq(["5", "·", "·", "x", "·"])), "{}", lines.join("\n"));
}

#[test]
fn few_ticks_are_dropped_at_once_and_many_after_a_question() {
    let mut screen = Screen::of_the_demonstration();
    let acts = screen.acts();
    screen.types("31\n");
    let batch = screen.model.page();
    assert!(matches!(batch, Page::Batch(_)));
    screen.types("C1u\u{1b}");
    assert_eq!(screen.model.page(), batch, "back where it was opened from");
    screen.types("Cr\u{1b}");
    assert!(screen.drawn((80, 24), "xterm").join("\n").contains("keep none of the 4 cells ticked here?"));
    screen.types("n");
    assert!(matches!(screen.model.page(), Page::Cells(_)));
    screen.types("qy");
    assert_eq!((screen.model.page(), screen.acts()), (batch, acts), "nothing half-entered is kept");
    assert!(screen.model.tray.is_none());
}

#[test]
fn what_cannot_be_true_is_said_and_the_ticks_stay() {
    let mut screen = Screen::of_the_demonstration();
    // Twelve plants came and one was lost, so twelve cannot stand.
    screen.types("30Ca7u");
    let acts = screen.acts();
    screen.types("\n");
    assert!(matches!(screen.model.page(), Page::Cells(_)), "{:?}", screen.model.notice);
    assert_eq!(screen.acts(), acts);
    assert!(screen.model.notice.as_ref().unwrap().line.contains("30a"), "{:?}", screen.model.notice);
    screen.types("7e\n");
    assert_eq!(screen.acts(), acts + 1, "{:?}", screen.model.notice);
    screen.types("u");
    assert_eq!(screen.model.page(), Page::Morning);
    assert!(screen.model.notice.as_ref().unwrap().line.starts_with("undone"), "one act, one undo");
}

#[test]
fn every_cell_of_every_size_is_where_the_mouse_finds_it() {
    let mut screen = Screen::of_the_demonstration();
    screen.types("31C");
    for columns in 0..=90 {
        for rows in [0, 3, 6, 9, 12, 20, 24] {
            let mut found: Vec<usize> = Vec::new();
            for y in 0..rows {
                for x in 0..columns {
                    found.extend(cell_at(&screen.model, (columns, rows), (x, y)));
                }
            }
            assert!(found.iter().all(|cell| *cell < 30));
            found.dedup();
            if (columns, rows) == (80, 24) || (columns, rows) == (40, 20) {
                assert_eq!(found, (0..30).collect::<Vec<_>>());
            }
        }
    }
    let lines = screen.drawn((80, 24), "linux");
    for (y, line) in (0_u16..).zip(&lines) {
        for (x, c) in (0_u16..).zip(line.chars()) {
            let cell = cell_at(&screen.model, (80, 24), (x, y));
            let first = x == 0 || cell_at(&screen.model, (80, 24), (x - 1, y)) != cell;
            if let (Some(cell), true) = (cell, first) {
                let up = [2, 5, 9, 13, 17, 20, 26].contains(&(cell + 1));
                assert_eq!(c, if up { 'o' } else { '.' }, "cell {}", cell + 1);
            }
        }
    }
    screen.takes(Message::Cell(0, Press::Down));
    screen.takes(Message::Cell(29, Press::Drawn));
    screen.takes(Message::Cell(30, Press::Drawn));
    assert_eq!(
        screen.model.tray.as_ref().unwrap().ticks().cells().to_string(),
        "1-2,5,8-9,13,15-17,20,23,26,30",
        "with the line between"
    );
}

/// A sowing of 72 cells, in a journal of its own.
fn sown(home: &Path, name: &str) -> PathBuf {
    let (journal, script) = (home.join(name), home.join("script"));
    std::fs::write(
        &script,
        "place add sill --kind windowsill\nbench add sill/top --size 900x400mm\n\
         sow leek 'Long Furrow' --seeds 72 --in 72-cell --at sill/top --on -14d\n",
    )
    .unwrap();
    run(home, &journal, &["run", script.to_str().unwrap()]);
    journal
}

fn run(home: &Path, journal: &Path, words: &[&str]) -> String {
    let mut program = std::process::Command::new(PROGRAM);
    let done = program.env("HOME", home).arg("--journal").arg(journal).args(words).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

/// The facts of the log, without the names that every journal gives its own.
fn facts(home: &Path, journal: &Path) -> Vec<serde_json::Value> {
    let out = TempDir::new().unwrap();
    let out = out.path().join("log.json");
    run(home, journal, &["export", "--to", out.to_str().unwrap()]);
    let log: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(out).unwrap()).unwrap();
    let entries = |act: &serde_json::Value| act["entries"].as_array().unwrap().clone();
    log["acts"].as_array().unwrap().iter().flat_map(entries).collect()
}

fn open(home: &Path, journal: &Path) -> Session {
    let environment: [(&str, &OsStr); 1] = [("HOME", home.as_os_str())];
    let setting = Setting { environment: &environment, ..Setting::default() };
    let mut session = Session::spawn(Path::new(PROGRAM), &["--journal", journal.to_str().unwrap()], &setting);
    session.wait_for("Coming up", LIMIT);
    session.keys("1C");
    session.wait_for("not counted yet", LIMIT);
    session
}

#[test]
fn twelve_cells_ticked_by_letters_by_mouse_and_by_the_command_line_are_the_same_entries() {
    let home = TempDir::new().unwrap();
    let typed = sown(home.path(), "typed.db");
    run(home.path(), &typed, &["count", "1", "--cells", "1-10,24", "--doubled", "3,30"]);

    let lettered = sown(home.path(), "lettered.db");
    let mut session = open(home.path(), &lettered);
    session.keys("uuduuuuuuu24u30d");
    session.wait_for("12 of 72 cells, 2 doubled", LIMIT);
    session.keys("\r");
    session.wait_for("12 up of 72", LIMIT);
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();

    // SGR mouse reports (xterm control sequences): the left button down, drawn along with it held, and up; from 1.
    let pointed = sown(home.path(), "pointed.db");
    let mut session = open(home.path(), &pointed);
    session.wait_until("the mouse followed", LIMIT, |session| {
        session.terminal().mouse_protocol_mode() != vt100::MouseProtocolMode::None
    });
    let screen = session.screen();
    let lines: Vec<&str> = screen.lines().collect();
    let row = |first: &str| lines.iter().position(|line| line.trim_start().starts_with(first)).unwrap();
    let at = |column: usize| 6 + 4 * column + 1;
    let (first, third) = (row("1 ") + 1, row("25 ") + 1);
    session.keys(&format!("\u{1b}[<0;{};{first}M", at(0)));
    for column in 1..10 {
        session.keys(&format!("\u{1b}[<32;{};{first}M", at(column)));
    }
    session.keys(&format!("\u{1b}[<0;{};{first}m", at(9)));
    let click = |column: usize, line: usize| format!("\u{1b}[<0;{0};{line}M\u{1b}[<0;{0};{line}m", at(column));
    session.keys(&click(2, first));
    session.keys(&click(11, first + 1));
    session.keys(&click(5, third));
    session.keys(&click(5, third));
    session.wait_for("12 of 72 cells, 2 doubled", LIMIT);
    session.keys("\r");
    session.wait_for("12 up of 72", LIMIT);
    session.wait_until("the mouse left to the terminal", LIMIT, |session| {
        session.terminal().mouse_protocol_mode() == vt100::MouseProtocolMode::None
    });
    session.keys("q");
    assert_eq!(session.exit_status(LIMIT), Ok(0));
    session.assert_given_back();

    let wanted = facts(home.path(), &typed);
    assert_eq!(wanted.last().unwrap()["observed"]["ticks"]["cells"], "1-10,24,30");
    assert_eq!(facts(home.path(), &lettered), wanted);
    assert_eq!(facts(home.path(), &pointed), wanted);
}

#[test]
fn a_signal_in_the_middle_of_ticking_gives_the_mouse_back_logs_nothing_and_keeps_the_ticks() {
    let home = TempDir::new().unwrap();
    let journal = sown(home.path(), "season.db");
    let before = facts(home.path(), &journal);
    let mut session = open(home.path(), &journal);
    session.keys("auu");
    session.wait_for("72 of 72 cells", LIMIT);
    session.kill(libc::SIGTERM);
    assert_eq!(session.exit_status(LIMIT), Ok(143));
    session.assert_given_back();
    assert_eq!(session.terminal().mouse_protocol_mode(), vt100::MouseProtocolMode::None);
    assert_eq!(facts(home.path(), &journal), before);
    // The ticks are kept beside the journal, and offered the next time.
    let environment: [(&str, &OsStr); 1] = [("HOME", home.path().as_os_str())];
    let setting = Setting { environment: &environment, ..Setting::default() };
    let mut again = Session::spawn(Path::new(PROGRAM), &["--journal", journal.to_str().unwrap()], &setting);
    again.wait_for("--cells 1-72", LIMIT);
    again.keys("y");
    again.wait_for("72 of 72 cells", LIMIT);
    again.keys("\r");
    again.wait_for("72 up of 72", LIMIT);
    again.keys("q");
    assert_eq!(again.exit_status(LIMIT), Ok(0));
    assert_eq!(facts(home.path(), &journal).len(), before.len() + 1);
}
