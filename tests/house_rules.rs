//! The rooms of the house keep to themselves: no room names one above or beside it that it has no business with, and
//! what belongs to one room (SQL, the terminal, the clock, the environment) is not used in another.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::fs;
use std::path::{Path, PathBuf};

/// Each room and the rooms it may name. Arrows point down only.
const MAY_NAME: [(&str, &[&str]); 11] = [
    ("quantity", &[]),
    ("science", &["quantity"]),
    ("trade", &["quantity"]),
    ("journal", &["quantity"]),
    ("advice", &["journal", "trade", "science", "quantity"]),
    ("store", &["journal", "quantity"]),
    ("exchange", &["journal", "quantity"]),
    ("grammar", &["journal", "quantity"]),
    ("desk", &["grammar", "advice", "store", "exchange", "journal", "trade", "quantity"]),
    ("tui", &["grammar", "desk", "advice", "store", "journal", "trade", "science", "quantity"]),
    ("cli", &["grammar", "desk", "advice", "store", "journal", "trade", "quantity", "tui"]),
];

/// Rooms that see no file, no clock, no environment, no database and no terminal.
const PURE: [&str; 6] = ["quantity", "science", "trade", "journal", "advice", "grammar"];
const OUTSIDE: [&str; 14] = [
    "rusqlite",
    "ratatui",
    "crossterm",
    "directories",
    "std::env",
    "std::fs",
    "std::io",
    "std::net",
    "std::process",
    "std::thread",
    "SystemTime",
    "Instant::now",
    "Utc::now",
    "Local::now",
];

/// Words that begin a statement of SQL, as they stand in a string.
const SQL: [&str; 7] =
    ["\"SELECT ", "\"INSERT ", "\"UPDATE ", "\"DELETE FROM ", "\"CREATE TABLE", "\"PRAGMA ", "\"VACUUM"];

/// A file of a room: where it is, and its code without comments and unit tests.
struct Source {
    room: String,
    path: PathBuf,
    lines: Vec<(usize, String)>,
}

fn sources() -> Vec<Source> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![src.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let inside = path.strip_prefix(&src).unwrap();
            let first = inside.components().next().unwrap().as_os_str().to_str().unwrap();
            // A room of one file is as much a room.
            let room = first.trim_end_matches(".rs").to_owned();
            if path.extension().is_some_and(|ending| ending == "rs") {
                let lines = code(&fs::read_to_string(&path).unwrap());
                found.push(Source { room, path: inside.to_owned(), lines });
            }
        }
    }
    found
}

/// The lines of code, numbered, without comments and without the unit tests at the end of the file.
fn code(text: &str) -> Vec<(usize, String)> {
    let lines = text.lines().enumerate().map(|(at, line)| (at + 1, line));
    let mut kept = Vec::new();
    let mut lines = lines.peekable();
    while let Some((number, line)) = lines.next() {
        let next = lines.peek().map_or("", |(_, line)| line.trim());
        if line.trim() == "#[cfg(test)]" && next.starts_with("mod ") && next.ends_with('{') {
            break;
        }
        let line = line.split("//").next().unwrap_or_default();
        kept.push((number, line.to_owned()));
    }
    kept
}

/// The rooms a line names by their path in the crate.
fn named(line: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for start in ["crate::", "thumbpot::", "super::super::"] {
        for (at, _) in line.match_indices(start) {
            let rest = &line[at + start.len()..];
            match rest.strip_prefix('{') {
                Some(group) => {
                    // use crate::{a::b, c}: the first word of each.
                    let words = group.trim_end_matches(['}', ';', ' ']).split(',');
                    rooms.extend(words.map(|word| first_word(word.trim())));
                }
                None => rooms.push(first_word(rest)),
            }
        }
    }
    rooms
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect()
}

fn broken(rule: impl Fn(&Source, &str) -> Option<String>) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources() {
        for (number, line) in &source.lines {
            if let Some(wrong) = rule(&source, line) {
                found.push(format!("src/{}:{number}: {wrong}", source.path.display()));
            }
        }
    }
    found
}

#[test]
fn every_room_is_known_and_read() {
    let mut rooms: Vec<String> = sources().into_iter().map(|source| source.room).collect();
    rooms.sort();
    rooms.dedup();
    let mut known: Vec<&str> = MAY_NAME.iter().map(|(room, _)| *room).chain(["lib", "main"]).collect();
    known.sort_unstable();
    assert_eq!(rooms, known);
}

#[test]
fn arrows_point_down_only() {
    let rooms: Vec<&str> = MAY_NAME.iter().map(|(room, _)| *room).collect();
    let found = broken(|source, line| {
        let (_, below) = MAY_NAME.iter().find(|(room, _)| *room == source.room)?;
        if line.trim_end().ends_with("crate::{") {
            return Some("name each room on a line of its own, where this test sees it".to_owned());
        }
        let strangers: Vec<String> = named(line)
            .into_iter()
            .filter(|name| rooms.contains(&name.as_str()) && *name != source.room && !below.contains(&name.as_str()))
            .collect();
        (!strangers.is_empty()).then(|| format!("{} must not name {}", source.room, strangers.join(", ")))
    });
    assert_eq!(found, [""; 0]);
}

#[test]
fn the_table_of_rooms_has_no_circle() {
    // Each room may only name rooms that stand above it in the table.
    for (at, (room, below)) in MAY_NAME.iter().enumerate() {
        for name in *below {
            let stands = MAY_NAME.iter().position(|(other, _)| other == name);
            assert!(stands.is_some_and(|stands| stands < at), "{room} names {name}");
        }
    }
}

#[test]
fn pure_rooms_touch_nothing_outside() {
    let found = broken(|source, line| {
        let pure = PURE.contains(&source.room.as_str());
        let used = OUTSIDE.iter().find(|word| pure && line.contains(**word))?;
        Some(format!("{} must not use {used}", source.room))
    });
    assert_eq!(found, [""; 0]);
}

#[test]
fn only_the_store_knows_sql() {
    let found = broken(|source, line| {
        let knows = source.room == "store";
        let used = SQL.iter().chain(&["rusqlite"]).find(|word| !knows && line.contains(**word))?;
        Some(format!("{} must not know {used}", source.room))
    });
    assert_eq!(found, [""; 0]);
}

#[test]
fn only_the_screen_knows_the_terminal() {
    let found = broken(|source, line| {
        let knows = source.room == "tui";
        let used = ["ratatui", "crossterm"].iter().find(|word| !knows && line.contains(**word))?;
        Some(format!("{} must not use {used}", source.room))
    });
    assert_eq!(found, [""; 0]);
}

#[test]
fn only_one_module_reads_the_clock() {
    let found = broken(|source, line| {
        let is_clock = source.path == Path::new("desk/clock.rs");
        let used = ["Utc::now(", "Local::now(", "SystemTime::now("].iter().find(|w| !is_clock && line.contains(**w))?;
        Some(format!("only desk/clock.rs may call {used})"))
    });
    assert_eq!(found, [""; 0]);
}

#[test]
fn a_line_tells_which_rooms_it_names() {
    assert_eq!(named("use crate::journal::{Act, Fact};"), ["journal"]);
    assert_eq!(named("use crate::{store::Books, desk};"), ["store", "desk"]);
    assert_eq!(named("fn f(x: crate::advice::Why) -> crate::store::Error {"), ["advice", "store"]);
    assert_eq!(named("use super::store::Books;"), [""; 0]);
    assert_eq!(named("use super::super::store::Books;"), ["store"]);
    assert_eq!(code("a // b\n#[cfg(test)]\nmod tests {\nuse crate::store;\n}"), [(1, "a ".to_owned())]);
}
