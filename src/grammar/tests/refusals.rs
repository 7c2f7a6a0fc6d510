//! What each wrong line is answered, word for word.

use super::*;

/// Line and message. The message begins with the option or the word of the usage whose value is refused.
const REFUSED: &[(&str, &str)] = &[
    ("count 14 60 --on 1/4", "--on: '1/4' can be read two ways: write 1 apr or 2026-04-01"),
    ("count 14 60 --on soon", "--on: 'soon' is not a day: write 2026-04-12, today, yesterday, -3d, mon or 12 apr"),
    ("forecast set 1/4 --low 2 --high 9", "DATE: '1/4' can be read two ways: write 1 apr or 2026-04-01"),
    ("forecast set fri --low 9 --high 2", "--high: 2.0 C is below the low of 9.0 C; give the low first, then the high"),
    ("reading frame --min 9 --max -3", "--max: -3.0 C is below the lowest, 9.0 C; look which is which"),
    ("reading frame --min 300", "--min: 300 is out of range: from -60 C to 80 C"),
    ("count 14 --cells 1-12,5", "--cells: cell 5 is named twice"),
    ("count 14 --cells 1-4000000000", "--cells: '4000000000' is not the number of a cell: they run from 1 to 1000"),
    ("count 14 --doubled a", "--doubled: 'a' names no cells: write them as 1-12,15"),
    ("lose 14 --cells 7-3", "--cells: '7-3' runs backwards: write 3-7"),
    ("count fourteen 3", "BATCH|PART: 'fourteen' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 0 3", "BATCH|PART: '0' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count +14 3", "BATCH|PART: '+14' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 02026/14 3", "BATCH|PART: '02026/14' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 1066/14 3", "BATCH|PART: '1066/14' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 26/14 3", "BATCH|PART: '26/14' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 14 six", "UP|-GAPS: 'six' is not a whole number from 0 to 100000"),
    ("count 14 100001", "UP|-GAPS: '100001' is not a whole number from 0 to 100000"),
    ("count 14 --standing -1", "--standing: '-1' is not a whole number from 0 to 100000"),
    ("lose 14 0", "N: '0' is not a whole number from 1 to 100000"),
    ("lose 14 -3", "N: '-3' is not a whole number from 1 to 100000"),
    ("move 14 0 frame/left", "N: '0' is not a whole number from 1 to 100000"),
    (
        "move 14a 15a",
        "PLACE/BENCH: '15a' is not a place or bench: write PLACE or PLACE/BENCH, the place beginning with a letter",
    ),
    ("move 14a 15/a/b frame", "PART: '15/a/b' is not a batch or part: write 14, 14a or 2026/14a"),
    (
        "out 14a 3/left",
        "PLACE: '3/left' is not a place or bench: write PLACE or PLACE/BENCH, the place beginning with a letter",
    ),
    ("place add 3rd --kind room", "NAME: '3rd' cannot name a place: begin with a letter, and leave out '/'"),
    ("bench add frame --size 1200x500mm", "PLACE/NAME: 'frame' names no bench: write PLACE/NAME"),
    (
        "bench add frame/left --size 1200",
        "--size: '1200' is not a size: write length x width, as 1200x500mm or 1.2x0.5m",
    ),
    (
        "carrier add 6-pack --in tray --at frame",
        "NAME: '6-pack' cannot name a carrier: begin with a letter, and leave out '/'",
    ),
    ("fits x12", "CONTAINER[xN]: 'x12' names no container: write it as 72-cell, or 9cm-potx12 for twelve"),
    ("fits 72-cellx0", "CONTAINER[xN]: '72-cellx0': the number after x must be from 1 to 1000"),
    ("fits 72-cellx99999999999", "CONTAINER[xN]: '72-cellx99999999999': the number after x must be from 1 to 1000"),
    ("note 14 'a\u{1b}[2Jb'", "TEXT: the note has a hidden character (U+001B) at position 2; type it again without"),
    (
        "lot add tomato 'Early\u{202e}Lantern'",
        "VARIETY: the name has a hidden character (U+202E) at position 6; type it again without",
    ),
    ("lot add tomato Ember --packed 25", "--packed: '25' is not a year: write it as 2025"),
    ("lot add tomato Ember --stated 850%", "--stated: 850% is out of range: from 0 % to 100 %"),
    ("pot-on 14 3 --share 15a --rest burn", "--rest: 'burn' is neither keep nor discard"),
    ("cover frame half", "on|off: 'half' is neither on nor off"),
    ("identify 14 unknown", "CROP: 'unknown' is what it was; name the crop it turned out to be"),
    ("undo yesterday", "ACT: 'yesterday' is not an act: copy the letters and digits that `history` shows"),
    (
        "place add Loft --kind attic",
        "--kind: 'attic' is not a kind of place: propagator, airing cupboard, fridge, lit shelf, windowsill, room, \
         greenhouse, tunnel, cold frame, cloche, standing ground, plot",
    ),
];

#[test]
fn a_value_that_cannot_be_is_refused_in_one_line() {
    for (line, message) in REFUSED {
        let error = parse_line(line, today()).unwrap_err();
        assert_eq!((error.kind, error.message.as_str()), (GrammarErrorKind::Refused, *message), "{line}");
    }
}

#[test]
fn wrong_usage_says_in_one_line_what_would_do() {
    let count = "usage: thumbpot count BATCH|PART [UP|-GAPS] [--standing N] [--gaps N] [--cells 1-12,15] [--doubled 3,7] [--doubles] [--sure]";
    let lose = "usage: thumbpot lose BATCH|PART N|--cells 3,4 [--cause slugs] [--note TEXT]";
    let table = [
        ("sew tomato", "there is no command 'sew'", "did you mean swap, sow, set?"),
        ("water 14", "there is no command 'water'", "`thumbpot help` lists the commands"),
        (
            "place",
            "still needed: PART",
            "usage: thumbpot place add NAME .. | place PART [X,Y] [--at PLACE/BENCH] [--turned|--straight] [--pin|--loose] [--as-drawn] | place PART --anywhere",
        ),
        ("place 14a", "place what, and where?", "write `place 14a 240,0`, or --turned, or --pin"),
        (
            "move --all frame",
            "move --all needs two benches",
            "write `move --all sill/left frame/left`: off the first, to the second",
        ),
        ("own 9cm-pot", "still needed: how many", "write own 9cm-potx60"),
        ("own 9cm-potx6 60", "the number is given twice", "write it once, as 9cm-potx60 or 9cm-pot 60"),
        ("bench", "bench what?", "one of: add, resize"),
        ("count", "still needed: BATCH|PART", count),
        ("lose", "still needed: BATCH|PART", lose),
        ("lose 14", "still needed: N", "how many plants, or --cells 3,4"),
        (
            "count 14",
            "count needs a number",
            "write `count 14 60` for sixty up, -6 for six gaps, --standing N or --cells 1-12,15",
        ),
        ("count 14 -6 --cells 3", "cells and gaps say the same thing", "give --cells alone"),
        ("lose 14 --cells none", "still needed: N", "how many plants, or --cells 3,4"),
        ("count 14 -2 --gaps 3", "the gaps are given twice", "write -6 or --gaps 6, not both"),
        ("count 14 60 --on mon --on tue", "--on can be given once only", count),
        ("count 14 60 --standing", "--standing needs a value", ""),
        ("lose 14 3 -x", "'-x' was not expected here", lose),
        ("sow tomato Ember --seed 20", "'--seed' was not expected here", "did you mean --seeds?"),
        (
            "thin 14 slugs eggs",
            "'eggs' was not expected here",
            "put words that belong together in quotes; usage: thumbpot thin BATCH|PART N|--cells 3,7",
        ),
        (
            "receive tomato --plants 20 --in tray --at prop",
            "still needed: the VARIETY of tomato",
            "if the label is lost, the crop is `unknown` and needs no variety",
        ),
        ("stage 14", "stage needs what was seen", "add --leaves N, --height 60mm, --leggy or --roots"),
        ("reading frame", "reading needs a temperature", "say what was read: --min, --max, --now, --compost or --soil"),
        (
            "move frame/left",
            "move needs what to move and where to",
            "write `move 14a frame/left`; the place comes last",
        ),
        ("move 14a 15a frame --count 3", "--count goes with one part", "write `move 14b frame/left --count 6`"),
        (
            "note 14 it's pale",
            "a quote is not closed, or the line ends with a backslash",
            "close the quote, or put the text in double quotes",
        ),
        (
            "germination",
            "'germination' does not change the journal, so it cannot be one of these lines",
            "use acts, undo or redo here",
        ),
        (
            "redo --json",
            "--journal and --json are not for single lines",
            "give them before `run`; a line may have --on",
        ),
    ];
    for (line, message, hint) in table {
        let error = parse_line(line, today()).unwrap_err();
        assert_eq!((error.message.as_str(), error.hint.as_str()), (message, hint), "{line}");
        assert_eq!(error.kind, GrammarErrorKind::Usage, "{line}");
    }
    for (line, missing) in [
        ("count 14 --gaps 3 --cells 1", "--gaps N cannot go with --cells 1-12,15"),
        ("sow tomato Ember --in tray --at prop", "still needed: --seeds N|--clusters N|--pinch N"),
        ("sow tomato Ember --seeds 20", "still needed: --in CONTAINER[xN]"),
        ("sow tomato Ember --seeds 20 --in tray", "still needed: --at PLACE/BENCH"),
        ("sow tomato Ember --seeds 20 --clusters 2", "--seeds N cannot go with --clusters N"),
        ("set 14 2 --share 15a --at prop", "--share PART cannot go with --at PLACE/BENCH"),
    ] {
        let error = parse_line(line, today()).unwrap_err();
        assert_eq!((error.message.as_str(), error.kind), (missing, GrammarErrorKind::Usage), "{line}");
        assert!(error.hint.starts_with("usage: thumbpot "), "{line}: {}", error.hint);
    }
}
