//! Pages as text from the command line, and tables that are whole where nobody's screen is too small for them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

fn garden() -> Home {
    let home = Home::with_benches();
    home.script(
        "lot add 'runner bean' 'The Longest Name That A Seedsman Ever Gave To A Bean' --seeds 100 --on 2024-03-01
         sow 'runner bean' 'The Longest' --seeds 24 --in half-tray --at sill --on 2024-03-02
         note 1 'a remark that is longer than any line of a terminal would be, and that is not cut for it anywhere' \
         --on 2024-03-03",
    );
    home
}

#[test]
fn a_page_is_printed_whole_and_without_signs() {
    let home = garden();
    let page = |words: &str| home.does(&format!("--on 2024-03-10 --plain {words}"));
    let morning = page("");
    assert!(morning.starts_with("Thumbpot, Sunday 10 March 2024. Another day"), "{morning}");
    assert!(morning.contains("The Longest Name That A Seedsman Ever Gave To A Bean"), "{morning}");
    for heading in ["Today: ", "Coming up: 1", "Moving on: 0", "Room\n"] {
        assert!(morning.contains(heading), "{heading}: {morning}");
    }
    assert_eq!(page("morning"), morning);
    let batch = page("batch 1");
    assert!(batch.contains("any line of a terminal would be, and that is not cut for it anywhere"), "{batch}");
    // Days of which the same is expected are one line.
    let expected: Vec<&str> = batch.lines().filter(|line| line.starts_with("expected by ")).collect();
    assert!(expected[0].starts_with("expected by 2 Mar to ") && expected[0].ends_with(": 0"), "{batch}");
    assert_eq!(expected.iter().filter(|line| line.ends_with(": 0")).count(), 1, "{batch}");
    assert!(page("tonight").contains("Before dusk: "));
    assert!(page("benches").contains("sill/long: 6000 x 2000 mm"));
    assert!(page("journal").contains("Every act, newest first: 7"));
    assert!(page("keys").contains("c: count what is up"));
    for text in [morning, batch] {
        assert!(text.is_ascii(), "{text}");
    }
    // A journal with nothing in it says what to do.
    assert!(Home::empty().does("--plain").contains("1. Name the places where plants will stand"));
}

#[test]
fn what_is_no_page_is_refused_in_one_line() {
    let home = garden();
    assert!(home.refuses_with("--plain nowhere", 2).contains("one of: morning, batch NUMBER"));
    assert!(home.refuses_with("--plain batch", 2).contains("'batch' is no page"));
    assert!(home.refuses_with("--plain batch x", 1).contains("'x' is not a batch"));
    assert!(home.refuses_with("--plain batch 9", 1).contains("there is no batch 9"));
    let answer = home.types("--plain --json");
    assert_eq!(answer.code, 2, "{answer:?}");
    assert!(answer.err.contains("cannot go with --json"), "{answer:?}");
}

#[test]
fn a_pipe_gets_tables_whole() {
    let home = garden();
    for report in ["germination", "batch 1"] {
        let text = home.does(&format!("{report} --on 2024-03-10"));
        assert!(text.contains("The Longest Name That A Seedsman Ever Gave To A Bean"), "{text}");
        assert!(!text.contains(".."), "{text}");
    }
}

#[test]
fn a_number_below_nothing_is_refused_as_nothing_is() {
    let home = garden();
    for number in ["0", "-5"] {
        let line = home.refuses(&format!("sow leek 'Long Furrow' --seeds {number} --in half-tray --at sill"));
        assert!(line.starts_with(&format!("--seeds: '{number}' is not a whole number from 1")), "{line}");
    }
    assert!(home.refuses("lose 1 -5").contains("'-5' is not a whole number"));
    assert!(home.refuses("redo").contains("nothing to bring back"));
}
