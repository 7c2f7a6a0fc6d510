//! Lines as a grower would type them, and what they come to. The lines are those of the command line's contract; the
//! quoting is that of POSIX.1-2024, XCU section 2.2.

use proptest::prelude::*;

use super::*;
use crate::journal::{BenchSize, Cause, Growth, Light, Measured, Observed, PlaceKind, Recount, Rest, SeedOrigin};
use crate::journal::{MOST, Treatment};
use crate::quantity::{Celsius, CropName, Millimetres, Name, Remark, Share, SownUnit, is_hidden};

/// A Wednesday.
fn today() -> Date {
    "2026-04-15".parse().unwrap()
}

fn name(text: &str) -> Name {
    Name::new(text).unwrap()
}

fn part(text: &str) -> PartRef {
    text.parse().unwrap()
}

fn batch(number: u32) -> BatchRef {
    BatchRef { year: None, number }
}

fn spot(place: &str, bench: &str) -> SpotRef {
    SpotRef { place: name(place), bench: Some(name(bench)) }
}

fn room(kind: &str, times: Option<u32>, at: SpotRef) -> RoomWords {
    RoomWords::New { container: ContainerWords { name: name(kind), times }, at }
}

fn seed(crop: &str, variety: Option<&str>) -> SeedWords {
    SeedWords { crop: CropName::new(crop).unwrap(), variety: variety.map(name), packed: None }
}

fn seen(up: Option<u32>, standing: Option<u32>, gaps: Option<u32>) -> Observed {
    Observed { up, standing, gaps, doubles: false }
}

fn act(line: &str) -> Request {
    match parse_line(line, today()) {
        Ok(Some(Line { on: None, step: Step::Act(request) })) => request,
        other => panic!("{line}: {other:?}"),
    }
}

fn words(line: &str) -> Vec<String> {
    shlex::split(line).unwrap()
}

fn command(line: &str) -> Command {
    parse(&words(line), today()).unwrap().command.unwrap()
}

fn check(table: Vec<(&str, Request)>) {
    for (line, request) in table {
        assert_eq!(act(line), request, "{line}");
    }
}

#[test]
fn what_stands_still() {
    let size = |back, front| BenchSize {
        length: Millimetres(1200),
        width: Millimetres(500),
        headroom_back: back,
        headroom_front: front,
    };
    let frame_left = || BenchRef { place: name("frame"), name: name("left") };
    check(vec![
        (
            "place add propagator --kind propagator --heated-to 20C --light low",
            Request::AddPlace {
                name: name("propagator"),
                kind: PlaceKind::Propagator,
                heated_to: Some(Celsius(20.0)),
                light: Some(Light::Low),
            },
        ),
        (
            "place add 'North frame' --kind cold-frame",
            Request::AddPlace { name: name("North frame"), kind: PlaceKind::ColdFrame, heated_to: None, light: None },
        ),
        ("bench add frame/left --size 1200x500mm", Request::AddBench { bench: frame_left(), size: size(None, None) }),
        (
            "bench add frame/left --size 1.2x0.5m --headroom 300mm",
            Request::AddBench { bench: frame_left(), size: size(Some(Millimetres(300)), Some(Millimetres(300))) },
        ),
        (
            "bench resize frame/left --size 1200x500mm --headroom 400..250mm",
            Request::ResizeBench { bench: frame_left(), size: size(Some(Millimetres(400)), Some(Millimetres(250))) },
        ),
        (
            "bench resize frame/left --size 1200x500mm --headroom 0.4m..25cm",
            Request::ResizeBench { bench: frame_left(), size: size(Some(Millimetres(400)), Some(Millimetres(250))) },
        ),
        (
            "carrier add crate --in carrier-tray --at frame/left",
            Request::SetCarrier {
                called: name("crate"),
                container: ContainerWords { name: name("carrier-tray"), times: None },
                at: spot("frame", "left"),
            },
        ),
        (
            "lot add tomato 'Early Lantern' --packed 2025 --stated 85% --seeds 250",
            Request::AddLot(LotWords {
                crop: CropName::new("tomato").unwrap(),
                variety: name("Early Lantern"),
                packed: Some(2025),
                stated: Some(Share(0.85)),
                seeds: Some(250),
                origin: SeedOrigin::Packet,
            }),
        ),
        (
            "reading frame --min -3 --max 15.5",
            Request::Read {
                place: name("frame"),
                measured: vec![Measured::Minimum(Celsius(-3.0)), Measured::Maximum(Celsius(15.5))],
            },
        ),
        (
            "reading propagator --now -1C --compost 64.4F --soil=-0.5",
            Request::Read {
                place: name("propagator"),
                measured: vec![
                    Measured::Now(Celsius(-1.0)),
                    Measured::Compost(Celsius((64.4 - 32.0) / 1.8)),
                    Measured::Soil(Celsius(-0.5)),
                ],
            },
        ),
        (
            "forecast set fri --low -2 --high 11",
            Request::Forecast { day: "2026-04-17".parse().unwrap(), low: Celsius(-2.0), high: Celsius(11.0) },
        ),
        ("cover frame on", Request::Cover { place: name("frame"), on: true }),
        ("cover 'North frame' OFF", Request::Cover { place: name("North frame"), on: false }),
    ]);
}

#[test]
fn sowing_counting_and_potting_on() {
    let prop = || spot("prop", "mat");
    let sown = |seed, unit, units, room| SowWords {
        seed,
        unit,
        units,
        per_cell: None,
        treatment: Treatment::None,
        depth: None,
        room,
    };
    let on = |part, plants, room| MoveOnWords {
        part,
        plants,
        room,
        per_cell: None,
        recount: Recount::No,
        doubles: false,
        rest: Rest::Keep,
    };
    let tomato = || seed("tomato", Some("Early Lantern"));
    check(vec![
        (
            "sow tomato 'Early Lantern' --seeds 72 --in 72-cellx2 --at prop/mat --per-cell 2 --treatment soaked \
             --depth 10mm --packed 2025",
            Request::Sow(SowWords {
                per_cell: Some(2),
                treatment: Treatment::Soaked,
                depth: Some(Millimetres(10)),
                ..sown(
                    SeedWords { packed: Some(2025), ..tomato() },
                    SownUnit::Seed,
                    72,
                    room("72-cell", Some(2), prop()),
                )
            }),
        ),
        (
            "sow beetroot Ember --clusters 24 --in seed-tray --at crate",
            Request::Sow(sown(
                seed("beetroot", Some("Ember")),
                SownUnit::Cluster,
                24,
                room("seed-tray", None, SpotRef { place: name("crate"), bench: None }),
            )),
        ),
        (
            "sow celery Pale --pinch 200 --share 14a",
            Request::Sow(sown(seed("celery", Some("Pale")), SownUnit::Pinch, 200, RoomWords::Shared(part("14a")))),
        ),
        (
            "sow Unknown --seeds 20 --in seed-tray --at prop/mat",
            Request::Sow(sown(seed("unknown", None), SownUnit::Seed, 20, room("seed-tray", None, prop()))),
        ),
        (
            "receive tomato \"Early Lantern\" --plants 18 --in 9cm-potx18 --at prop/mat",
            Request::Receive { seed: tomato(), plants: 18, room: room("9cm-pot", Some(18), prop()) },
        ),
        ("count 14 60", Request::Count { part: part("14"), observed: seen(Some(60), None, None) }),
        ("count 14 -2", Request::Count { part: part("14"), observed: seen(None, None, Some(2)) }),
        (
            "count 2026/14b 0 --standing 55 --gaps 3 --doubles",
            Request::Count {
                part: part("2026/14b"),
                observed: Observed { doubles: true, ..seen(Some(0), Some(55), Some(3)) },
            },
        ),
        (
            "stage 14 --leaves 2 --height 6cm --leggy",
            Request::Stage {
                part: part("14"),
                growth: Growth { leaves: Some(2), height: Some(Millimetres(60)), leggy: true, roots: false },
            },
        ),
        (
            "pot-on 14a 12 --into '9cm pot x12' --at prop/mat --recount --doubles --rest discard --per-cell 4",
            Request::MoveOn(MoveOnWords {
                per_cell: Some(4),
                recount: Recount::Yes,
                doubles: true,
                rest: Rest::Discard,
                ..on(part("14a"), 12, room("9cm pot", Some(12), prop()))
            }),
        ),
        (
            "prick-out 14 12 --into \"9cm pot\"x12 --at prop/mat",
            Request::MoveOn(on(part("14"), 12, room("9cm pot", Some(12), prop()))),
        ),
        ("set 14 3 --share 15a", Request::MoveOn(on(part("14"), 3, RoomWords::Shared(part("15a"))))),
        ("identify 14 tomato 'Early Lantern'", Request::Identify { batch: batch(14), seed: tomato() }),
        ("relabel 2026/14 15", Request::Relabel { batch: BatchRef { year: Some(2026), number: 14 }, label: batch(15) }),
        (
            "note 14 slow on the left, -3 last night",
            Request::Note {
                topic: TopicRef::Batch(batch(14)),
                remark: Remark::new("slow on the left, -3 last night").unwrap(),
            },
        ),
        (
            "note frame 'lid broken'",
            Request::Note { topic: TopicRef::Place(name("frame")), remark: Remark::new("lid broken").unwrap() },
        ),
    ]);
}

#[test]
fn moving_and_leaving() {
    let left = || spot("frame", "left");
    let whole = |things: &[&str]| MovingWords::Whole(things.iter().map(|thing| thing.parse().unwrap()).collect());
    let six = MovingWords::Some { part: part("14"), plants: 6 };
    check(vec![
        ("move 14 frame/left", Request::Move { moving: whole(&["14"]), to: left() }),
        ("move 14 6 frame/left", Request::Move { moving: six.clone(), to: left() }),
        ("move 14 frame/left --count 6", Request::Move { moving: six, to: left() }),
        ("move 14a 15a frame/left", Request::Move { moving: whole(&["14a", "15a"]), to: left() }),
        ("move 14 2026/15 frame/left", Request::Move { moving: whole(&["14", "2026/15"]), to: left() }),
        ("move 14 15 16 frame/left", Request::Move { moving: whole(&["14", "15", "16"]), to: left() }),
        ("move crate 6 frame/left", Request::Move { moving: whole(&["crate", "6"]), to: left() }),
        (
            "out 14a crate 'standing ground'",
            Request::PutOut {
                things: vec![Thing::Part(part("14a")), Thing::Carrier(name("crate"))],
                place: name("standing ground"),
            },
        ),
        ("out yard", Request::PutOut { things: vec![], place: name("yard") }),
        ("in", Request::BringIn { things: vec![] }),
        ("in 14a", Request::BringIn { things: vec![Thing::Part(part("14a"))] }),
        ("lose 14a 3", Request::Lose { part: part("14a"), plants: 3, cause: Cause::Unknown, remark: None }),
        (
            "lose 14 3 --cause damping-off --note 'near the door'",
            Request::Lose {
                part: part("14"),
                plants: 3,
                cause: Cause::DampingOff,
                remark: Some(Remark::new("near the door").unwrap()),
            },
        ),
        ("thin 14 10", Request::Thin { part: part("14"), plants: 10 }),
        ("discard 14 10", Request::Discard { part: part("14"), plants: 10 }),
        ("give-away 14 10", Request::GiveAway { part: part("14"), plants: 10 }),
        (
            "plant-out 14b 12 --to 'long bed' --recount",
            Request::PlantOut {
                part: part("14b"),
                plants: 12,
                bed: Some(Remark::new("long bed").unwrap()),
                recount: Recount::Yes,
            },
        ),
        ("clear 14", Request::Clear { parts: vec![part("14")], rest: Rest::Keep }),
        ("clear 14a 14b --rest discard", Request::Clear { parts: vec![part("14a"), part("14b")], rest: Rest::Discard }),
    ]);
}

#[test]
fn everything_else() {
    let file = std::path::PathBuf::from;
    let undo = |act: Option<&str>, later| Command::Step(Step::Undo { act: act.map(|act| act.parse().unwrap()), later });
    let table = [
        ("undo", undo(None, Later::Keep)),
        ("undo 0196-4A --with-later", undo(Some("01964a"), Later::UndoToo)),
        ("redo", Command::Step(Step::Redo)),
        ("run -", Command::Run { from: Lines::Typed, after_refusal: AfterRefusal::Stop }),
        (
            "run week.txt --keep-going",
            Command::Run { from: Lines::File(file("week.txt")), after_refusal: AfterRefusal::GoOn },
        ),
        ("due", Command::Report(Report::Due)),
        ("germination", Command::Report(Report::Germination { plot: None })),
        ("germination --plot up.svg", Command::Report(Report::Germination { plot: Some(file("up.svg")) })),
        ("batch 14", Command::Report(Report::Batch(batch(14)))),
        ("benches", Command::Report(Report::Benches)),
        ("fits 72-cellx3", Command::Report(Report::Fits(ContainerWords { name: name("72-cell"), times: Some(3) }))),
        ("cold", Command::Report(Report::Cold)),
        ("why rate 14", Command::Report(Report::Why(vec![name("rate"), name("14")]))),
        ("history", Command::Report(Report::History { limit: None, batch: None })),
        ("history 14 --limit 5", Command::Report(Report::History { limit: Some(5), batch: Some(batch(14)) })),
        ("demo --into season.db", Command::Demo { into: Some(file("season.db")) }),
        ("check", Command::Check),
        ("backup copy.db", Command::Backup(file("copy.db"))),
        ("restore copy.db", Command::Restore(file("copy.db"))),
        ("export --to log.csv", Command::Export { to: file("log.csv") }),
        ("--version", Command::Version),
    ];
    for (line, expected) in table {
        assert_eq!(command(line), expected, "{line}");
    }
    for line in ["--help", "help", "help sow", "count --help", "place add -h"] {
        assert!(matches!(command(line), Command::Help(text) if text.contains("thumbpot")), "{line}");
    }
}

#[test]
fn options_that_go_everywhere_stand_before_or_after_the_command() {
    for line in ["--journal a.db --on -3d --json due", "due --json --on=-3d --journal a.db"] {
        let invocation = parse(&words(line), today()).unwrap();
        assert_eq!(invocation.journal, Some("a.db".into()), "{line}");
        assert_eq!(invocation.on, Some("2026-04-12".parse().unwrap()), "{line}");
        assert_eq!(invocation.answer, Answer::Json, "{line}");
    }
    let bare = parse(&[], today()).unwrap();
    assert_eq!(bare, Invocation { journal: None, on: None, answer: Answer::Text, command: None });
    // Acts look back: the last Monday.
    let line = parse_line("count 14 60 --on mon", today()).unwrap().unwrap();
    assert_eq!(line.on, Some("2026-04-13".parse().unwrap()));
}

#[test]
fn lines_may_be_blank_or_comments_and_may_name_the_program() {
    for line in ["", "   ", "# sown in February", "thumbpot"] {
        assert_eq!(parse_line(line, today()), Ok(None), "{line:?}");
    }
    let redo = Ok(Some(Line { on: None, step: Step::Redo }));
    assert_eq!(parse_line("thumbpot redo  # again", today()), redo);
    let hash = Request::Note { topic: TopicRef::Batch(batch(14)), remark: Remark::new("tray #2").unwrap() };
    assert_eq!(act("note 14 'tray #2'"), hash);
}

/// Line, message, hint. A message that begins with an option or a word of the usage is a refused value.
const REFUSED: &[(&str, &str)] = &[
    ("count 14 60 --on 1/4", "--on: '1/4' can be read two ways: write 1 apr or 2026-04-01"),
    ("count 14 60 --on soon", "--on: 'soon' is not a day: write 2026-04-12, today, yesterday, -3d, mon or 12 apr"),
    ("forecast set 1/4 --low 2 --high 9", "DATE: '1/4' can be read two ways: write 1 apr or 2026-04-01"),
    ("forecast set fri --low 9 --high 2", "--high: 2.0 C is below the low of 9.0 C; give the low first, then the high"),
    ("reading frame --min 9 --max -3", "--max: -3.0 C is below the lowest, 9.0 C; look which is which"),
    ("reading frame --min 300", "--min: 300 is out of range: from -60 C to 80 C"),
    ("count fourteen 3", "BATCH|PART: 'fourteen' is not a batch or part: write 14, 14a or 2026/14a"),
    ("count 0 3", "BATCH|PART: '0' is not a batch or part: write 14, 14a or 2026/14a"),
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
    ("out 14a yard/left", "PLACE: 'yard/left' cannot name a place: begin with a letter, and leave out '/'"),
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
    let count = "usage: thumbpot count BATCH|PART [UP|-GAPS] [--standing N] [--gaps N] [--doubles]";
    let lose = "usage: thumbpot lose BATCH|PART N [--cause slugs] [--note TEXT]";
    let table = [
        ("sew tomato", "there is no command 'sew'", "did you mean sow, set?"),
        ("water 14", "there is no command 'water'", "`thumbpot help` lists the commands"),
        ("place", "place what?", "one of: add"),
        ("bench", "bench what?", "one of: add, resize"),
        ("count", "still needed: BATCH|PART", count),
        ("lose", "still needed: BATCH|PART, N", lose),
        ("count 14", "count needs a number", "write `count 14 60` for sixty up, -6 for six gaps, or --standing N"),
        ("count 14 -2 --gaps 3", "the gaps are given twice", "write -6 or --gaps 6, not both"),
        ("count 14 60 --on mon --on tue", "--on can be given once only", count),
        ("count 14 60 --standing", "--standing needs a value", ""),
        ("lose 14 3 -x", "'-x' was not expected here", lose),
        ("sow tomato Ember --seed 20", "'--seed' was not expected here", "did you mean --seeds?"),
        (
            "thin 14 slugs eggs",
            "'eggs' was not expected here",
            "put words that belong together in quotes; usage: thumbpot thin BATCH|PART N",
        ),
        (
            "sow tomato --seeds 20 --in tray --at prop",
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

fn is_fit_to_show(error: &GrammarError) -> bool {
    let fit = |text: &str| !text.chars().any(is_hidden) && text.chars().count() <= 330;
    !error.message.is_empty() && fit(&error.message) && fit(&error.hint)
}

proptest! {
    #[test]
    fn no_line_can_stop_the_parser(line in any::<String>()) {
        if let Err(error) = parse_line(&line, today()) {
            prop_assert!(is_fit_to_show(&error), "{error:?}");
        }
    }

    #[test]
    fn no_words_can_stop_the_parser(
        verb in prop::sample::select(overview::GROUPS.iter().flat_map(|(_, verbs)| verbs.to_vec()).collect::<Vec<_>>()),
        rest in prop::collection::vec(
            prop_oneof![
                any::<String>(),
                "-{0,3}[a-z0-9./~x]{0,8}",
                prop::sample::select(vec![
                    "14", "14a", "-2", "--", "-", "--on", "-3d", "--in", "--at", "frame/left", "--seeds", "--min",
                    "add", "set", "resize", "on", "tomato", "--share", "--count", "", "\u{1b}[2J", "--help", "x99999999999",
                ]).prop_map(str::to_owned),
            ],
            0..6,
        ),
    ) {
        let words: Vec<String> = std::iter::once(verb.to_owned()).chain(rest).collect();
        if let Err(error) = parse(&words, today()) {
            prop_assert!(is_fit_to_show(&error), "{error:?}");
        }
    }

    #[test]
    fn references_are_read_as_they_are_written(
        year in prop::option::of(1900..=2999_i32), number in 1..=u32::MAX, letter in prop::option::of(0..18_278_u16),
    ) {
        let batch = BatchRef { year, number };
        prop_assert_eq!(batch.to_string().parse(), Ok(batch));
        let part = PartRef { batch, letter: letter.map(crate::quantity::PartLetter) };
        prop_assert_eq!(part.to_string().parse(), Ok(part));
    }

    #[test]
    fn a_multiplier_is_the_digits_after_the_last_x(kind in "[a-z0-9][a-z0-9 -]{0,10}[a-z]", times in 1..=1000_u32) {
        for text in [format!("{kind}x{times}"), format!("{kind} x{times}"), format!("{kind}-x{times}")] {
            let read: ContainerWords = text.parse().unwrap();
            prop_assert_eq!(read, ContainerWords { name: name(&kind), times: Some(times) });
        }
        let plain: ContainerWords = kind.parse().unwrap();
        prop_assert_eq!(plain, ContainerWords { name: name(&kind), times: None });
    }

    #[test]
    fn numbers_in_range_are_counts(up in 0..=MOST) {
        let line = format!("count 14 {up}");
        let counted = Request::Count { part: part("14"), observed: seen(Some(up), None, None) };
        prop_assert_eq!(act(&line), counted);
        let line = format!("count 14 -{up}");
        let missing = Request::Count { part: part("14"), observed: seen(None, None, Some(up)) };
        prop_assert_eq!(act(&line), missing);
    }
}
