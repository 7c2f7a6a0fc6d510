//! Counts are of what has come up so far: one that contradicts another is asked about, whichever was typed first.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

fn refused(home: &Home, line: &str, with: &[&str]) {
    let said = home.refuses(line);
    for part in with {
        assert!(said.contains(part), "{line}: {said}");
    }
    assert!(said.ends_with("if it is so, add --sure"), "{said}");
}

fn up(home: &Home, on: &str) -> u64 {
    home.json(&format!("batch 1 --on {on}"))["rows"][0]["up"].as_u64().unwrap()
}

/// Twenty-four tomatoes sown on 1 March and counted once, 18 up on the 15th.
fn counted() -> Home {
    let home = Home::with_benches();
    home.script(
        "sow tomato Copper --seeds 24 --in half-tray --at frame/left --on 2024-03-01
         count 1 18 --on 2024-03-15",
    );
    home
}

#[test]
fn a_count_that_contradicts_another_is_asked_about_and_told_which() {
    let home = counted();
    // Backdated: fewer on an earlier day is as it should be, more is not.
    home.does("count 1 10 --on 2024-03-10");
    refused(
        &home,
        "count 1 20 --on 2024-03-12",
        &["1a: 20 up where 18 were later, on 15 Mar", "`count 1a 20 --on 2024-03-15` and `lose 1a 2`"],
    );
    // Fewer than the day before it, and the later count leaves them standing.
    refused(&home, "count 1 9 --on 2024-03-12", &["1a: 9 up where 10 were on 10 Mar, as if 1 too many"]);
    home.does("count 1 14 --on 2024-03-12");
    // Then fewer on a later day, by however few.
    refused(
        &home,
        "count 1 17 --on 2024-03-17",
        &["1a: 17 up where 18 were on 15 Mar", "if dead, `lose 1a 1` instead"],
    );
    refused(&home, "count 1 --standing 17 --on 2024-03-17", &["1a: 17 standing where 18 stood", "`lose 1a 1`"]);
    refused(&home, "count 1 0 --on 2024-03-17", &["1a: 0 up where 18 were on 15 Mar"]);
    assert_eq!(up(&home, "2024-03-17"), 18, "nothing was logged");
    // The same again, or more, is as it should be.
    home.does("count 1 18 --on 2024-03-17");
    home.does("count 1 19 --on 2024-03-18");
}

/// What came up and died was up; what was miscounted was not.
#[test]
fn what_died_stays_counted_as_up_and_what_was_miscounted_does_not() {
    let home = counted();
    home.does("lose 1a 4 --on 2024-03-17");
    assert_eq!(up(&home, "2024-03-17"), 18);
    // What stands was typed as what came up.
    refused(&home, "count 1 14 --on 2024-03-18", &["1a: 14 up where 18 were", "if 14 stand, `count 1a --standing 14`"]);
    home.does("count 1 --standing 14 --on 2024-03-18");
    assert_eq!(up(&home, "2024-03-18"), 18);
    home.does("count 1 16 --sure --on 2024-03-19");
    assert_eq!(up(&home, "2024-03-19"), 16);
    // What a later count has put right is no reason to ask.
    home.does("count 1 15 --on 2024-03-14");
    home.does("count 1 16 --on 2024-03-18");
}

#[test]
fn what_is_said_to_do_instead_is_taken_as_it_is_printed() {
    let home = counted();
    refused(&home, "count 1 20 --on 2024-03-12", &[]);
    home.does("count 1a 20 --on 2024-03-15");
    home.does("lose 1a 2 --on 2024-03-15");
    home.does("count 1 20 --on 2024-03-12");
    assert_eq!(up(&home, "2024-03-16"), 20);
}
