//! Bad input: one clear line on standard error, nothing on standard output, nothing written.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::fs;
use std::os::unix::fs::PermissionsExt as _;

use crate::command_line::Home;
use rusqlite::Connection;

/// A home with a batch of 40 tomatoes in a 40-cell tray, 30 up.
fn with_a_batch() -> Home {
    let home = Home::with_benches();
    home.does("sow tomato First --seeds 40 --in 40-cell --at sill/long --on 2024-03-02");
    home.does("count 1 30 --on 2024-03-10");
    home
}

#[test]
fn an_unknown_crop_is_told_the_nearest() {
    let home = with_a_batch();
    let words = home.refuses("sow tomatoe First --seeds 5 --in seed-tray --at sill/long --on 2024-03-02");
    assert_eq!(words, "no crop 'tomatoe': did you mean tomato?");
    let words = home.refuses("sow zzzzzz First --seeds 5 --in seed-tray --at sill/long --on 2024-03-02");
    assert_eq!(
        words,
        "no crop 'zzzzzz'; write the crop's plain name, as tomato or broad bean; figures.toml adds your own"
    );
}

#[test]
fn an_ambiguous_beginning_lists_what_it_could_be() {
    let home = with_a_batch();
    let words = home.refuses("sow ca First --seeds 5 --in seed-tray --at sill/long --on 2024-03-02");
    assert!(words.starts_with("'ca' could be cabbage, "), "{words}");
    // A beginning that only one crop has is that crop.
    home.does("sow auber First --seeds 5 --in seed-tray --at sill/long --on 2024-03-02");
    assert_eq!(home.batch(2)["crop"], "aubergine");
}

#[test]
fn a_count_above_what_can_be() {
    let home = with_a_batch();
    assert!(home.refuses("count 1 41 --on 2024-03-11").starts_with("41 plants cannot come from 40 in 1a"));
    assert!(home.refuses("lose 1 31 --cause slugs --on 2024-03-11").starts_with("1a has 30 standing, not 31"));
    assert!(home.refuses("count 1 --gaps 41 --on 2024-03-11").starts_with("1a has 40 filled cells"));
}

#[test]
fn negative_and_absurd_numbers() {
    let home = with_a_batch();
    for line in [
        "sow tomato First --seeds 0 --in seed-tray --at sill/long",
        "sow tomato First --seeds -5 --in seed-tray --at sill/long",
        "sow tomato First --seeds 5000000 --in seed-tray --at sill/long",
        "sow tomato First --seeds 99999999999999999999 --in seed-tray --at sill/long",
        "sow tomato First --seeds 1.5 --in seed-tray --at sill/long",
        "sow tomato First --seeds 600 --in seed-trayx501 --at sill/long",
        "sow tomato First --seeds 5 --in 9cm-potx99999 --at sill/long",
        "lose 1 0 --cause slugs",
        "count 1 --standing 4000000000",
        "count 1 --standing -4",
        "stage 1 --height 900m",
        "bench add sill/huge --size 900x900km",
        "bench add sill/flat --size 0x500mm",
        "reading sill --min -300",
        "reading sill --min 400",
        "lot add tomato Second --stated 850%",
        "lot add tomato Second --packed 99999",
    ] {
        home.refuses(&format!("{line} --on 2024-03-11"));
    }
}

#[test]
fn a_day_before_the_sowing_and_days_that_are_not() {
    let home = with_a_batch();
    let words = home.refuses("count 1 5 --on 2024-03-01");
    assert!(words.starts_with("the plants it speaks of were not there yet; `history` shows when"), "{words}");
    assert_eq!(
        home.refuses("count 1 31 --on 2999-12-31"),
        "2999-12-31 has not come yet: the log takes what has happened; use today or an earlier day with --on"
    );
    for day in ["2024-02-30", "1/4", "someday", "'32 mar'", "99999-01-01", "+5d"] {
        home.refuses(&format!("count 1 31 --on {day}"));
    }
}

#[test]
fn a_bench_and_a_place_that_do_not_exist() {
    let home = with_a_batch();
    let words = home.refuses("move 1 frame/right --on 2024-03-11");
    assert!(words.starts_with("there is no bench called frame/right"), "{words}");
    assert!(words.contains("left"), "it says which there are: {words}");
    let words = home.refuses("move 1 attic/left --on 2024-03-11");
    assert!(words.starts_with("there is no place called attic; places: sill, frame"), "{words}");
    assert!(home.refuses("count 7 5 --on 2024-03-11").starts_with("there is no batch 7"));
    assert!(home.refuses("count 1c 5 --on 2024-03-11").starts_with("there is no part 1c; batch 2024/1 has 1a"));
    assert!(home.refuses("undo ffffffff").starts_with("there is no act ffffffff"));
    assert!(home.refuses("bench add sill/long --size 1x1m --on 2024-03-11").contains("already a bench"));
}

#[test]
fn the_wrong_kind_of_container() {
    let home = with_a_batch();
    let words = home.refuses("sow tomato First --seeds 5 --in 1020-carrier --at sill/long --on 2024-03-11");
    assert!(words.starts_with("1020-carrier is a carrier"), "{words}");
    let words = home.refuses("pot-on 1 5 --into paper --at sill/long --on 2024-03-11");
    assert!(words.starts_with("paper is a paper: plants go into compost"), "{words}");
    let words = home.refuses("carrier add box --in seed-tray --at sill/long --on 2024-03-11");
    assert!(words.starts_with("seed-tray is filled itself and carries no pots; choose a carrier"), "{words}");
    assert_eq!(home.refuses("fits seed-tra").lines().count(), 1);
    assert!(home.refuses("fits bathtub").starts_with("no container 'bathtub'"));
}

#[test]
fn a_variety_name_that_would_upset_a_terminal() {
    let home = with_a_batch();
    let before = home.log();
    let long = "v".repeat(300);
    for name in
        ["\u{1b}[31mRed\u{1b}[0m", "two\nlines", "\u{202e}drawkcab", "zero\u{200b}width", "\u{7}", "", "  ", &long]
    {
        let answer = home.run(&["sow", "tomato", name, "--seeds", "5", "--in", "seed-tray", "--at", "sill/long"]);
        assert_eq!((answer.code, answer.out.as_str()), (1, ""), "{name:?}: {answer:?}");
        assert_eq!(answer.err.lines().count(), 1, "{name:?}: {answer:?}");
        let hidden = |c: char| c != '\n' && (c.is_control() || ('\u{200b}'..='\u{202e}').contains(&c));
        assert!(!answer.err.contains(hidden), "{name:?}: {answer:?}");
        assert!(answer.err.len() < 400, "{name:?}: {answer:?}");
    }
    assert_eq!(home.log(), before);
    // Letters that are written from the right are letters.
    let sown =
        ["sow", "tomato", "עגבנייה", "--seeds", "5", "--in", "seed-tray", "--at", "sill/long", "--on", "2024-03-02"];
    assert_eq!(home.run(&sown).code, 0);
    assert_eq!(home.batch(2)["variety"], "עגבנייה");
}

#[test]
fn usage_is_another_code_than_refusal() {
    let home = with_a_batch();
    for line in ["sow", "count", "frobnicate", "sow tomato --seeds", "count 1 2 3 4", "due --frost", "place add", "run"]
    {
        home.refuses_with(line, 2);
    }
    assert_eq!(home.types("help").code, 0);
    assert_eq!(home.types("--version").code, 0);
}

/// A file that is no journal of ours is left as it was, byte for byte, and named in the answer.
fn is_left_alone(home: &Home, name: &str, words: &str) {
    let path = home.file(name);
    let before = fs::read(&path).unwrap();
    for line in ["due", "count 1 5", "germination", "undo"] {
        let answer = home.types(&format!("--journal {name} {line}"));
        assert_eq!((answer.code, answer.out.as_str()), (1, ""), "{line}: {answer:?}");
        assert_eq!(answer.err.lines().count(), 1, "{answer:?}");
        assert!(answer.err.contains(name) && answer.err.contains(words), "{answer:?}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_journal_that_is_a_folder() {
    let home = Home::empty();
    fs::create_dir(home.file("folder.db")).unwrap();
    let answer = home.types("--journal folder.db due");
    assert_eq!((answer.code, answer.out.as_str()), (1, ""));
    assert_eq!(answer.err, "thumbpot: folder.db is a folder, not a journal; name another file with --journal FILE\n");
    assert_eq!(fs::read_dir(home.file("folder.db")).unwrap().count(), 0);
}

#[test]
fn a_journal_that_is_read_only() {
    let home = with_a_batch();
    let path = home.file("kept.db");
    home.does("backup kept.db");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o400)).unwrap();
    let before = fs::read(&path).unwrap();
    // It is looked at like any other.
    for line in ["due", "germination", "batch 1", "check"] {
        assert_eq!(home.does(&format!("--journal kept.db {line}")), home.does(line).replace("journal.db", "kept.db"));
    }
    for line in ["count 1 5", "undo"] {
        let answer = home.types(&format!("--journal kept.db {line}"));
        assert_eq!((answer.code, answer.out.as_str()), (1, ""), "{line}: {answer:?}");
        assert!(answer.err.contains("cannot be written, only looked at; nothing was written"), "{answer:?}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_into_is_not_waited_for() {
    let home = with_a_batch();
    let made = std::process::Command::new("mkfifo").arg(home.file("pipe")).status().unwrap();
    assert!(made.success());
    for line in ["reading import pipe --place sill", "forecast import pipe", "run pipe"] {
        let said = home.refuses(line);
        assert!(said.contains("it is a pipe, not a file"), "{said}");
    }
}

#[test]
fn a_journal_that_is_no_database() {
    let home = Home::empty();
    fs::write(home.file("letter.txt"), "Dear grower,\nthis is a letter and no journal.\n".repeat(40)).unwrap();
    is_left_alone(&home, "letter.txt", "is not a thumbpot journal");
    fs::write(home.file("short.txt"), "short").unwrap();
    is_left_alone(&home, "short.txt", "is not a thumbpot journal");
}

#[test]
fn a_database_of_another_program() {
    let home = Home::empty();
    let other = Connection::open(home.file("other.db")).unwrap();
    other.execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('jam');").unwrap();
    drop(other);
    is_left_alone(&home, "other.db", "is not a thumbpot journal");
}

#[test]
fn a_journal_of_a_newer_schema() {
    let home = with_a_batch();
    home.does("backup newer.db");
    let newer = Connection::open(home.file("newer.db")).unwrap();
    newer.execute_batch("PRAGMA user_version = 9999").unwrap();
    drop(newer);
    is_left_alone(&home, "newer.db", "was written by a newer thumbpot (schema 9999");
}

#[test]
fn scripts_stop_at_the_first_refusal_or_go_on() {
    let script =
        "count 1 31 --on 2024-03-11\n# a remark\ncount 1 99 --on 2024-03-12\ncount 1 32 --on 2024-03-13\nsow x\n";
    let home = with_a_batch();
    fs::write(home.file("day.txt"), script).unwrap();
    let answer = home.types("run day.txt");
    assert_eq!(answer.code, 1);
    assert!(answer.err.starts_with("thumbpot: line 3: 99 plants cannot come from 40 in 1a"), "{answer:?}");
    assert_eq!((answer.err.lines().count(), home.stands(1, "a")), (1, 31), "the lines before stay done");

    let home = with_a_batch();
    fs::write(home.file("day.txt"), script).unwrap();
    let answer = home.types("run day.txt --keep-going");
    let lines: Vec<&str> = answer.err.lines().collect();
    assert_eq!(answer.code, 1, "some were refused");
    assert_eq!(lines.len(), 2, "{answer:?}");
    assert!(lines[0].starts_with("thumbpot: line 3: ") && lines[1].starts_with("thumbpot: line 5: "), "{answer:?}");
    assert_eq!((answer.out.lines().count(), home.stands(1, "a")), (2, 32));

    fs::write(home.file("quiet.txt"), "# nothing to do\n\n").unwrap();
    assert_eq!(home.types("run quiet.txt").code, 0);
    home.refuses("run missing.txt");
    // A script holds acts, not questions.
    fs::write(home.file("asks.txt"), "due\n").unwrap();
    let answer = home.types("run asks.txt");
    assert!(answer.code != 0 && answer.err.contains("line 1: 'due' does not change the journal"), "{answer:?}");
}

#[cfg(unix)]
#[test]
fn words_that_are_no_text_are_refused_and_not_logged_as_others() {
    use std::os::unix::ffi::OsStrExt as _;
    let home = Home::with_benches();
    let before = home.log();
    let typed = std::ffi::OsStr::from_bytes(b"dusty \xff\xfe");
    let output = home.program().args(["note", "sill"]).arg(typed).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!((output.status.code(), said.lines().count()), (Some(1), 1), "{said}");
    assert!(said.contains("no text in UTF-8"), "{said}");
    assert_eq!(home.log(), before);
}
