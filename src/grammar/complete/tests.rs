//! What fits where, as a grower types it.

use super::*;

fn word(text: &str, beside: &str) -> Word {
    Word { text: text.to_owned(), beside: beside.to_owned() }
}

fn names() -> Vocabulary {
    Vocabulary {
        batches: vec![word("14", "tomato Copper Lantern"), word("15", "leek Long Furrow, 5 standing")],
        parts: vec![word("14a", "tomato Copper Lantern"), word("14b", "tomato Copper Lantern"), word("15", "leek")],
        spots: vec![word("sill/top", "0.2 m2 free"), word("frame/left", "0.4 m2 free"), word("plot", "")],
        places: vec![word("sill", "windowsill"), word("frame", "cold frame"), word("plot", "plot")],
        carriers: vec![word("blue", "carrier")],
        containers: vec![word("72-cell", ""), word("9cm-pot", "")],
        crops: vec![word("tomato", ""), word("leek", "")],
        varieties: vec![
            ("tomato".to_owned(), word("Copper Lantern", "48 left")),
            ("leek".to_owned(), word("Long Furrow", "")),
        ],
    }
}

fn fits(line: &str) -> Vec<String> {
    complete(line, line.len(), &names()).fitting.into_iter().map(|word| word.text).collect()
}

#[test]
fn a_word_becomes_what_its_place_in_the_line_takes() {
    assert_eq!(fits("cou"), ["count"]);
    assert_eq!(fits("thumbpot cou"), ["count"]);
    assert_eq!(fits("place a"), ["add"]);
    assert_eq!(fits("count 14"), ["14a", "14b"]);
    assert_eq!(fits("count lantern"), ["14a", "14b"], "a part is found by its crop and variety");
    assert_eq!(fits("batch le"), ["15"]);
    assert_eq!(fits("batch 5"), [""; 0]);
    assert_eq!(fits("move 14a fr"), ["frame/left"]);
    assert_eq!(fits("move 14a ")[..3], ["sill/top", "frame/left", "plot"], "behind what moves comes the place");
    assert_eq!(fits("move --all s"), ["sill/top"]);
    assert_eq!(fits("out 14a f"), ["frame"]);
    assert_eq!(fits("sow tom"), ["tomato"]);
    assert_eq!(fits("sow tomato "), ["Copper Lantern"]);
    assert_eq!(fits("sow basil "), [""; 0], "none is in the seed box: the variety comes before any option");
    assert_eq!(fits("cover frame "), ["on", "off"]);
    assert_eq!(fits("sow tomato 'Copper Lantern' --in 9"), ["9cm-pot"]);
    assert_eq!(fits("pot-on 14a 3 --into=9"), ["9cm-pot"]);
    assert_eq!(fits("pot-on 14a 3 --into 9cm-pot --at left"), ["frame/left"]);
    assert_eq!(fits("lose 14a 3 --cause sl"), ["slugs"]);
    assert_eq!(fits("place add shed --kind col"), ["cold frame"]);
    assert_eq!(fits("clear 14a --rest "), ["keep", "discard"]);
    assert_eq!(fits("cover frame o"), ["on", "off"]);
    assert_eq!(fits("clear 14a 1"), ["14a", "14b", "15"], "any number of parts");
    assert_eq!(fits("count 15 --st"), ["--standing"]);
    assert_eq!(fits("sow leek 'Long Furrow' --treatment ch"), ["chilled"]);
    assert_eq!(fits("nothing of the kind"), [""; 0]);
    assert!(!fits("").contains(&"restore".to_owned()), "what is done to the file is no line");
}

#[test]
fn options_given_are_not_offered_again_and_those_needed_come_first() {
    let after = fits("receive leek 'Long Furrow' --in 72-cell ");
    assert!(!after.contains(&"--in".to_owned()), "{after:?}");
    assert_eq!(after[0], "--plants");
    assert!(after.contains(&"--at".to_owned()) && after.contains(&"--on".to_owned()), "{after:?}");
}

#[test]
fn what_is_taken_stands_in_quotes_where_it_must() {
    let line = "sow tomato cop --seeds 5";
    let completion = complete(line, 14, &names());
    assert_eq!(completion.taken(line, 0), Some(("sow tomato 'Copper Lantern' --seeds 5".to_owned(), 28)));
    let line = "count 14";
    let several = complete(line, line.len(), &names());
    assert_eq!(several.taken(line, 1), Some(("count 14b ".to_owned(), 10)));
    let line = "move 14a \"fra";
    let open_quote = complete(line, line.len(), &names());
    assert_eq!(open_quote.taken(line, 0), Some(("move 14a frame/left ".to_owned(), 20)));
    assert_eq!(several.taken("co", 0), None, "another line is left alone");
}

/// A new argument is either known here or said to be the grower's own.
#[test]
fn every_argument_is_either_a_list_or_only_the_growers_to_know() {
    const GROWERS: &[&str] = &[
        "N",
        "UP",
        "-GAPS",
        "SIZE",
        "TEMPERATURE",
        "HEIGHT",
        "DEPTH",
        "YEAR",
        "SHARE",
        "FILE",
        "NAME",
        "TEXT",
        "BED",
        "NUMBER",
        "ACT",
        "X,Y",
        "1-12,15",
        "3,7",
        "NEWFILE",
        "C",
        "-",
        "LOW",
        "HIGH",
        "LENGTH",
        "WIDTH",
        "COLOUR",
        "URL",
        "DAYS",
    ];
    fn look(command: &clap::Command) {
        let read = Read { given: Vec::new(), bare: vec!["tomato"], awaits: None };
        for arg in command.get_arguments().filter(|arg| arg.get_action().takes_values()) {
            let name = arg.get_value_names().and_then(|names| names.first()).map_or("", |name| name.as_str());
            for kind in name.trim_end_matches("[xN]").split('|') {
                let known = !of_kind(kind, &read, &names()).is_empty();
                assert!(known != GROWERS.contains(&kind), "{} {name}", command.get_name());
            }
        }
        command.get_subcommands().for_each(look);
    }
    look(&whole());
}

proptest::proptest! {
    #[test]
    fn no_line_stops_it_and_what_is_taken_can_be_read_again(line in ".{0,40}", cursor in 0_usize..60) {
        let completion = complete(&line, cursor, &names());
        proptest::prop_assert!(completion.start <= completion.end && completion.end <= line.len());
        for which in 0..completion.fitting.len() {
            let (taken, at) = completion.taken(&line, which).unwrap();
            proptest::prop_assert!(taken.is_char_boundary(at));
        }
    }

    #[test]
    fn the_words_are_those_the_shell_would_read(line in "[a-c'\" ]{0,20}") {
        // Lines with a quote left open are no words to a shell yet.
        if let Some(words) = shlex::split(&line) {
            let mut scanned: Vec<String> = scan(&line).into_iter().map(|(_, word)| word).collect();
            if line.is_empty() || line.ends_with(' ') {
                scanned.pop();
            }
            proptest::prop_assert_eq!(scanned, words);
        }
    }
}

#[test]
fn the_words_that_name_batches_are_known_by_where_they_stand() {
    for (line, words) in [
        ("count 7 1", &["7"][..]),
        ("count 7 7", &["7"]),
        ("lose 7a", &["7a"]),
        ("lose --cause slugs 2026/7 3", &["2026/7"]),
        ("count leek 5", &["leek"]),
        ("clear 3 4b --rest discard", &["3", "4b"]),
        ("pot-on 7 3 --into 9cm-pot", &["7"]),
        ("sow leek Ferry --seeds 7", &[]),
        ("relabel 7 6", &["7"]),
        ("", &[]),
    ] {
        assert_eq!(super::batch_words(line), words, "{line}");
    }
}
