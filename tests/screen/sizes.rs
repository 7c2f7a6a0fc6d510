//! Every page, form and text at every size of window: nothing stops the drawing, and what matters is on it.
//!
//! The sizes from nothing up are where layout sums run out of room; 80 x 24 is the size of the DEC VT100 (1978), which
//! terminals still open with; 40 columns are what a telephone shows.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::layout::Position;
use tempfile::TempDir;
use thumbpot::desk::{self, DEMO_DAY, Desk};
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use thumbpot::tui::app::answer;
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::Model;
use thumbpot::tui::theme::Look;
use thumbpot::tui::update::update;
use thumbpot::tui::view::view;
use uuid::Uuid;

const REAL: [(u16, u16); 6] = [(40, 20), (80, 24), (120, 40), (200, 60), (300, 10), (20, 100)];

/// Keys from home to everything that can be open.
const WAYS: [&str; 49] = [
    "",
    "s",
    "c",
    "M",
    "nMy",
    "F",
    "p",
    "m",
    "l",
    "g",
    "n",
    "N",
    "by",
    "e",
    "f",
    "w",
    "?",
    "A",
    "Ap",
    "b",
    "h",
    "hf",
    "\n",
    "99c",
    "a",
    "31C",
    "15Car?",
    "28Co1",
    "31Cuuuuq",
    "W",
    "W1",
    "W354",
    "W3sg",
    "W3yyq",
    "W1Cu",
    "P",
    "Pm",
    "PR",
    "I",
    ":",
    ":sow tom",
    ":count 36 14",
    "d",
    "db",
    "dn",
    "Apw",
    "31c1\n",
    "AbA",
    "?jjj",
];

fn press(desk: &mut Desk, model: &mut Model, key: Key) {
    let mut messages = vec![Message::Key(key)];
    while let Some(message) = messages.pop() {
        for effect in update(model, message) {
            messages.extend(answer(desk, effect));
        }
    }
}

fn types(desk: &mut Desk, model: &mut Model, keys: &str) {
    for c in keys.chars() {
        press(desk, model, if c == '\n' { Key::Enter } else { Key::Char(c) });
    }
}

fn demo(folder: &TempDir) -> Desk {
    Desk::demonstration(&folder.path().join("demo.db"), Durability::Unsynced).unwrap()
}

fn drawn(model: &Model, term: &str, (columns, rows): (u16, u16)) -> (Vec<String>, Position) {
    let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
    let look = Look::from_environment(false, term, None);
    terminal.draw(|frame| view(model, look, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let lines = (0..rows)
        .map(|y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned())
        .collect();
    let cursor = terminal.get_cursor_position().unwrap();
    (lines, cursor)
}

#[test]
fn every_page_can_be_drawn_at_every_size() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo(&folder);
    let device = DeviceId(Uuid::from_u128(9));
    let empty = folder.path().join("empty.db");
    let mut bare = Desk::open_with(&empty, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
    for keys in WAYS {
        for (desk, on) in [(&mut desk, DEMO_DAY), (&mut bare, desk::today())] {
            let mut model = Model::new(desk.board(on).unwrap(), desk::today());
            types(desk, &mut model, keys);
            let small = [0, 1, 2, 3, 5, 8, 12].into_iter().flat_map(|columns| (0..=6).map(move |rows| (columns, rows)));
            for size in small.chain(REAL) {
                drawn(&model, "xterm", size);
            }
        }
    }
}

#[test]
fn the_console_of_the_kernel_gets_ascii_alone() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo(&folder);
    for keys in WAYS {
        let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
        types(&mut desk, &mut model, keys);
        for line in drawn(&model, "linux", (80, 24)).0 {
            assert!(line.is_ascii(), "after {keys:?}: {line}");
        }
    }
}

#[test]
fn the_cursor_stands_where_the_next_key_goes() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo(&folder);
    let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
    let (lines, at) = drawn(&model, "xterm", (80, 24));
    assert!(lines[usize::from(at.y)].starts_with('▸'), "{}", lines[usize::from(at.y)]);
    press(&mut desk, &mut model, Key::Down);
    assert_eq!(drawn(&model, "xterm", (80, 24)).1.y, at.y + 1);
    types(&mut desk, &mut model, "c12");
    let (lines, at) = drawn(&model, "xterm", (80, 24));
    let line = &lines[usize::from(at.y)];
    assert!(line.contains("12") && line.starts_with(" ▸"), "{line}");
    assert_eq!(line.chars().take(usize::from(at.x)).collect::<String>().trim_end().chars().last(), Some('2'), "{line}");
}

#[test]
fn every_row_can_be_reached_and_read_on_a_telephone() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo(&folder);
    let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
    let rows: usize = model.sections().iter().map(|section| model.len(*section)).sum();
    for _ in 0..rows {
        let (lines, at) = drawn(&model, "xterm", (40, 20));
        assert!(
            lines[usize::from(at.y)].starts_with('▸'),
            "the row under the cursor is in sight:\n{}",
            lines.join("\n")
        );
        press(&mut desk, &mut model, Key::Down);
    }
    assert_eq!(model.cursor().index + 1, model.len(model.cursor().section), "the last row");
}

#[test]
fn the_morning_on_a_terminal() {
    let folder = TempDir::new().unwrap();
    let model = Model::new(demo(&folder).board(DEMO_DAY).unwrap(), desk::today());
    insta::assert_snapshot!(drawn(&model, "xterm", (80, 24)).0.join("\n"), @r"
     thumbpot  Wednesday 15 April 2026            demonstration: an invented season
     Tonight -2 C by the forecast · bring in 7, cover 6, fleece plot  n shows it
     ! greenhouse in, leaf -1.3, cosmos to 2.0 · ! standing in · * frame cover · +4
    ── Today  1-4 of 16 ────────────────────────────────────────────────────────────
    ▸ !   38a cucumber Long Ditch     off the heat  3 showing: into the light befor…
      *   24a tomato Hillside Plum    prick out     21 plants, 8 days late
      *   27a marigold Kiln Door      prick out     24 plants, 5 days late
      *   12a celery Stone Rib        prick out     65 plants, 2 days late
    ── Coming up  1-3 of 23 ─────── up of sown   rate       likely   days ──────────
      *    27 marigold Kiln Door      24 of 30   80 %   80 to 90 %     26  count it
      *    23 thyme Grey Mat        110 of 200      –            –     38  count it
      *    12 celery Stone Rib       65 of 120      –            –     53  count it
    ── Moving on  1-3 of 29 ──────────────────     from    best      by  into ──────
      *    5b sweet pepper Brass Bell pot on     27 Mar   3 Apr  10 Apr  1l-pot
      *   24a tomato Hillside Plum    prick out   3 Apr   5 Apr   7 Apr  6-cell
      *   27a marigold Kiln Door      prick out   6 Apr   8 Apr  10 Apr  7cm-pot
    ── Room ────────────────────────────────────────────────────────────────────────
       indoors       0.96 of 1.75 m2 free, room for 5 more 24-cell trays
       cold frame    0.44 of 0.90 m2 free, room for 2 more 24-cell trays
       elsewhere     1.27 of 2.15 m2 free, room for 10 more 24-cell trays
     38a cucumber Long Ditch, propagator/mat, 3 showing: into the light before they
     draw; shelf/top is light and has room
     a do it  c count  s sow  p pot on  m move  l lost  o out  i in  Enter open
     u undo  w why  space mark  n tonight  b benches  W round            ? all keys
    ");
}

#[test]
fn the_morning_on_a_telephone() {
    let folder = TempDir::new().unwrap();
    let model = Model::new(demo(&folder).board(DEMO_DAY).unwrap(), desk::today());
    insta::assert_snapshot!(drawn(&model, "xterm", (40, 20)).0.join("\n"), @r"
     thumbpot  Wed 15 Apr     demonstration
     Tonight -2 C · in 7, cover 6, fleece p…
     ! greenhouse in · ! standing in · +5
    ── Today  1-2 of 16 ────────────────────
    ▸ !  38a cucumber Long…  off the heat
      *  24a tomato Hillsid… prick out
    ── Coming up  1-2 of 23 ────────── up of
      *   27 marigold Kiln…   24/30 count it
      *   23 thyme Grey Mat 110/200 count it
    ── Moving on  1-2 of 29 ─────────── best
      *   5b sweet pepper… pot on      3 Apr
      *  24a tomato Hills… prick out   5 Apr
    ── Room ────────────────────────────────
       indoors    0.96 m2, 5 24-cell trays
       cold frame 0.44 m2, 2 24-cell trays
       elsewhere  1.27 m2, 10 24-cell trays
     38a cucumber Long Ditch,
     propagator/mat, 3 showing: into the li…
     a do it  c count  s sow  p pot on
     m move  l lost  o out       ? all keys
    ");
}

/// What to do about a sowing stands whole on its page, however small the screen: beside the word it is what is looked for.
#[test]
fn what_to_do_about_a_sowing_is_whole_on_a_telephone() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo(&folder);
    let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
    let mut looked_at = 0;
    for row in model.board.germination.clone() {
        let Some(outlook) = row.outlook.filter(|outlook| outlook.chance_of_more.is_some()) else { continue };
        types(&mut desk, &mut model, &format!("{}", row.label.number));
        press(&mut desk, &mut model, Key::Enter);
        let (lines, _) = drawn(&model, "xterm", (40, 20));
        let text = lines.iter().map(|line| line.trim()).collect::<Vec<_>>().join(" ");
        assert!(text.contains(&outlook.action), "{}: {}\n{}", row.label, outlook.action, lines.join("\n"));
        press(&mut desk, &mut model, Key::Esc);
        looked_at += 1;
    }
    assert!(looked_at > 5, "{looked_at}");
}
