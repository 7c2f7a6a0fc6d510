//! The pictures in the README are of the program as it is: each is the demonstration in a real terminal, keys typed,
//! written as SVG. Where one has changed this test says so; it is drawn anew by
//!
//! ```sh
//! THUMBPOT_PICTURES=draw cargo test --test screen pictures
//! ```

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::fmt::Write as _;
use std::path::Path;

use crate::pty::{LIMIT, Session, Setting};
use tempfile::TempDir;

/// A picture: its name, the columns and rows of the screen, the keys typed, and the text that shows they were taken in.
struct Picture(&'static str, (u16, u16), &'static str, &'static str);

const PICTURES: [Picture; 15] = [
    Picture("morning", (100, 30), "", "all keys"),
    Picture("morning-on-a-telephone", (40, 20), "", "all keys"),
    Picture("morning-in-bright-sun", (80, 24), "B", "all keys"),
    Picture("batch", (100, 30), "36\r", " batch  Wed"),
    Picture("tonight", (100, 30), "n", " tonight  Wed"),
    Picture("benches", (100, 30), "b", " benches  Wed"),
    Picture("sowing", (80, 24), "s", "variety"),
    Picture("round", (80, 24), "W3ssss", "greenhouse  5 of 14"),
    Picture("cells", (80, 24), "28Co", " cells  Wed"),
    Picture("plan", (100, 30), "Pn", " plan  Wed"),
    Picture("place", (100, 30), "bM", " place  Wed"),
    Picture("line", (80, 24), ":count 36 14", "14 up of 20"),
    Picture("why", (80, 24), "w", "Why:"),
    Picture("journal", (80, 24), "hfleek\r", "find leek"),
    Picture("in-hand", (80, 24), "I", " in hand  Wed"),
];

const CELL: (f64, f64) = (8.4, 18.0);

#[test]
fn the_pictures_are_of_the_program_as_it_is() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/pictures");
    let draw = std::env::var_os("THUMBPOT_PICTURES").is_some_and(|wish| wish == "draw");
    let mut stale = Vec::new();
    for picture in PICTURES {
        let file = folder.join(format!("{}.svg", picture.0));
        let kept = std::fs::read_to_string(&file).unwrap_or_default();
        let mut session = opened(&picture);
        if draw {
            session.settle();
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&file, svg(&session)).unwrap();
        } else if !session.comes_to(LIMIT, |session| svg(session) == kept) {
            stale.push(picture.0);
        }
        session.kill(libc::SIGTERM);
    }
    assert!(stale.is_empty(), "{stale:?} look otherwise now: THUMBPOT_PICTURES=draw cargo test --test screen pictures");
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    for Picture(name, ..) in PICTURES {
        assert!(readme.contains(&format!("assets/pictures/{name}.svg")), "the README does not show {name}");
    }
}

fn opened(Picture(_, (columns, rows), keys, shown): &Picture) -> Session {
    let home = TempDir::new().unwrap();
    let environment: [(&str, &OsStr); 1] = [("HOME", home.path().as_os_str())];
    let setting = Setting { columns: *columns, rows: *rows, environment: &environment, ..Setting::default() };
    let mut session = Session::spawn(Path::new(env!("CARGO_BIN_EXE_thumbpot")), &["demo"], &setting);
    session.wait_for("all keys", LIMIT);
    session.keys(keys);
    session.wait_for(shown, LIMIT);
    session
}

/// The screen as text that any browser draws alike: each run of one style is stretched to its cells.
fn svg(session: &Session) -> String {
    let screen = session.terminal();
    let (rows, columns) = screen.size();
    let (rows, columns) = (rows.get(), columns.get());
    let bright = screen.cell(rows / 2, columns - 1).unwrap().bgcolor() == vt100::Color::Idx(15);
    let (ink, ground) = if bright { ("#000000", "#ffffff") } else { ("#dcdcd2", "#1c2024") };
    let (wide, high) = (f64::from(columns) * CELL.0 + 16.0, f64::from(rows) * CELL.1 + 16.0);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.1} {high:.1}\" font-family=\"monospace\" \
         font-size=\"14\">\n<rect width=\"100%\" height=\"100%\" rx=\"6\" fill=\"{ground}\"/>\n"
    );
    for row in 0..rows {
        let mut column = 0;
        while column < columns {
            let style = style(screen.cell(row, column).unwrap(), ink, ground);
            let mut end = column + 1;
            while end < columns && self::style(screen.cell(row, end).unwrap(), ink, ground) == style {
                end += 1;
            }
            let text = unnamed(&(column..end).map(|at| signs(screen.cell(row, at).unwrap())).collect::<String>());
            run(&mut svg, &style, &text, (column, end, row), ground);
            column = end;
        }
    }
    svg.push_str("</svg>\n");
    svg
}

/// An act's short name is drawn by lot each time the demonstration is made, so a picture shows a fixed one.
fn unnamed(text: &str) -> String {
    let named = |word: &str| word.len() == 8 && word.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
    text.split(' ').map(|word| if named(word) { "5eed1e55" } else { word }).collect::<Vec<_>>().join(" ")
}

#[derive(PartialEq)]
struct Style {
    ink: String,
    ground: String,
    bold: bool,
    dim: bool,
    underlined: bool,
}

fn style(cell: &vt100::Cell, ink: &str, ground: &str) -> Style {
    let (mut front, mut back) = (colour(cell.fgcolor(), ink), colour(cell.bgcolor(), ground));
    if cell.inverse() {
        std::mem::swap(&mut front, &mut back);
    }
    Style { ink: front, ground: back, bold: cell.bold(), dim: cell.dim(), underlined: cell.underline() }
}

/// The sixteen colours, softened for a picture; what they are is each terminal's own business.
fn colour(colour: vt100::Color, usual: &str) -> String {
    const SIXTEEN: [&str; 16] = [
        "#000000", "#b3261e", "#6fae5f", "#b08d2a", "#4f7fb5", "#c774c7", "#3f9a9a", "#dcdcd2", "#6c7078", "#d9534f",
        "#8fce7f", "#d6b352", "#7fa8d6", "#e09be0", "#6fc7c7", "#ffffff",
    ];
    match colour {
        vt100::Color::Default => usual.to_owned(),
        vt100::Color::Idx(index) => SIXTEEN.get(usize::from(index)).copied().unwrap_or(usual).to_owned(),
        vt100::Color::Rgb(r, g, b) => format!("#{r:02x}{g:02x}{b:02x}"),
    }
}

fn signs(cell: &vt100::Cell) -> String {
    if cell.has_contents() { cell.contents().to_owned() } else { " ".to_owned() }
}

fn run(svg: &mut String, style: &Style, text: &str, (from, end, row): (u16, u16, u16), ground: &str) {
    let (x, y) = (8.0 + f64::from(from) * CELL.0, 8.0 + f64::from(row) * CELL.1);
    let wide = f64::from(end - from) * CELL.0;
    if style.ground != ground {
        let Style { ground, .. } = style;
        let high = CELL.1;
        writeln!(svg, "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{high}\" fill=\"{ground}\"/>")
            .unwrap();
    }
    if text.trim().is_empty() {
        return;
    }
    let weight = if style.bold { " font-weight=\"bold\"" } else { "" };
    let dim = if style.dim { " opacity=\"0.7\"" } else { "" };
    let line = if style.underlined { " text-decoration=\"underline\"" } else { "" };
    let (text, ink, y) = (escaped(text), &style.ink, y + 13.5);
    writeln!(
        svg,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" textLength=\"{wide:.1}\" lengthAdjust=\"spacingAndGlyphs\" \
         xml:space=\"preserve\" fill=\"{ink}\"{weight}{dim}{line}>{text}</text>"
    )
    .unwrap();
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
