//! What each line comes to.

use super::*;
use crate::journal::{
    BenchSize, Cause, ContainerSize, Growth, Light, Measured, PlaceKind, Recount, Rest, SeedOrigin, Treatment,
};
use crate::quantity::{Celsius, Millimetres, Remark, Share, SownUnit, Unit};

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
            "bench resize frame/left --size 1200x500mm --headroom 40..25cm",
            Request::ResizeBench {
                bench: frame_left(),
                size: size(Some(Millimetres(400)), Some(Millimetres(250))),
                roof: Roof::AsSaid,
            },
        ),
        (
            "bench resize frame/left --size 1200x500mm --headroom 0.4m..25cm",
            Request::ResizeBench {
                bench: frame_left(),
                size: size(Some(Millimetres(400)), Some(Millimetres(250))),
                roof: Roof::AsSaid,
            },
        ),
        (
            "bench resize frame/left --size 1200x500mm --headroom none",
            Request::ResizeBench { bench: frame_left(), size: size(None, None), roof: Roof::AsSaid },
        ),
        (
            "bench resize frame/left --size 1200x500mm --sure",
            Request::Sure(Box::new(Request::ResizeBench {
                bench: frame_left(),
                size: size(None, None),
                roof: Roof::AsItWas,
            })),
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
                unit: Unit::Taken,
            },
        ),
        (
            "reading propagator --now -1C --compost 64.4F --soil=-0.5C",
            Request::Read {
                place: name("propagator"),
                measured: vec![
                    Measured::Now(Celsius(-1.0)),
                    Measured::Compost(Celsius((64.4 - 32.0) / 1.8)),
                    Measured::Soil(Celsius(-0.5)),
                ],
                unit: Unit::Stated,
            },
        ),
        (
            "forecast set fri --low -2 --high 11",
            Request::Forecast {
                day: "2026-04-17".parse().unwrap(),
                low: Celsius(-2.0),
                high: Celsius(11.0),
                unit: Unit::Taken,
            },
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
        ("count 14 60", Request::Count { part: part("14"), observed: seen(Some(60), None, None), sure: Sure::No }),
        ("count 14 -2", Request::Count { part: part("14"), observed: seen(None, None, Some(2)), sure: Sure::No }),
        (
            "count 2026/14b 0 --standing 55 --gaps 3 --doubles",
            Request::Count {
                part: part("2026/14b"),
                observed: Observed { doubles: true, ..seen(Some(0), Some(55), Some(3)) },
                sure: Sure::No,
            },
        ),
        (
            "count 14 --cells 1-12,15 --doubled 3,16",
            Request::Count {
                part: part("14"),
                observed: Observed { ticks: Some(ticks("1-12,15", "3,16")), ..seen(None, None, None) },
                sure: Sure::No,
            },
        ),
        (
            "count 14 0 --sure",
            Request::Count { part: part("14"), observed: seen(Some(0), None, None), sure: Sure::Yes },
        ),
        (
            "count 14 0 --cells none",
            Request::Count {
                part: part("14"),
                observed: Observed { ticks: Some(ticks("none", "none")), ..seen(Some(0), None, None) },
                sure: Sure::No,
            },
        ),
        (
            "thin 14 --cells 3,7",
            Request::FromCells {
                cells: "3,7".parse().unwrap(),
                part: part("14"),
                plants: None,
                taking: Box::new(Request::Thin { part: part("14"), plants: 2 }),
            },
        ),
        (
            "give-away 14a 5 --cells 3,7",
            Request::FromCells {
                cells: "3,7".parse().unwrap(),
                part: part("14a"),
                plants: Some(5),
                taking: Box::new(Request::GiveAway { part: part("14a"), plants: 5 }),
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
        (
            "relabel 2026/14 15",
            Request::Relabel { batch: BatchRef { year: Some(2026), number: 14, twin: None }, label: batch(15) },
        ),
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
fn standing_exactly_and_changing_over() {
    let placed = |at, turned, pinned| {
        let thing = Thing::Part(part("14a"));
        Request::Place(PlaceWords { thing, at, bench: None, turned, pinned, others: Others::GiveWay })
    };
    let (to, by) = (Along::To, Along::By);
    let size = |length, width, height: Option<u32>| ContainerSize {
        length: Millimetres(length),
        width: Millimetres(width),
        height: height.map(Millimetres),
    };
    check(vec![
        ("place 14a 240,0", placed(Some((to(240), to(0))), None, None)),
        ("place 14a +50,-20 --pin", placed(Some((by(50), by(-20))), None, Some(true))),
        ("place 14a -50,+0", placed(Some((by(-50), by(0))), None, None)),
        ("place 14a 24cm,1.2m --turned", placed(Some((to(240), to(1200))), Some(true), None)),
        ("place 14a --anywhere", Request::PlaceAnywhere(Thing::Part(part("14a")))),
        ("place 14a --straight --loose", placed(None, Some(false), Some(false))),
        (
            "place crate 0,0 --at frame/left",
            Request::Place(PlaceWords {
                thing: Thing::Carrier(name("crate")),
                at: Some((to(0), to(0))),
                bench: Some(spot("frame", "left")),
                turned: None,
                pinned: None,
                others: Others::GiveWay,
            }),
        ),
        (
            "place 14a 240,0 --as-drawn",
            Request::Place(PlaceWords {
                thing: "14a".parse().unwrap(),
                at: Some((Along::To(240), Along::To(0))),
                bench: None,
                turned: None,
                pinned: None,
                others: Others::AsDrawn,
            }),
        ),
        ("repack frame/left --do", Request::Repack { bench: spot("frame", "left") }),
        (
            "move --all sill/left to frame/left",
            Request::MoveAll { from: spot("sill", "left"), to: spot("frame", "left") },
        ),
        ("move sill/left frame/left --all", Request::MoveAll { from: spot("sill", "left"), to: spot("frame", "left") }),
        (
            "swap 14a frame/left",
            Request::Swap { one: SwapRef::Part(part("14a")), other: SwapRef::Spot(spot("frame", "left")) },
        ),
        (
            "measure 15-cell 38x24cm --height 60mm",
            Request::Measure { container: name("15-cell"), size: size(380, 240, Some(60)) },
        ),
        ("measure '15 cell' 380x240", Request::Measure { container: name("15 cell"), size: size(380, 240, None) }),
        ("own 9cm-potx60", Request::Own { container: name("9cm-pot"), count: 60 }),
        ("wash 9cm-pot", Request::Wash { container: name("9cm-pot"), count: None }),
        ("wash 9cm-pot 12", Request::Wash { container: name("9cm-pot"), count: Some(12) }),
        ("wash 9cm-potx12", Request::Wash { container: name("9cm-pot"), count: Some(12) }),
        ("own 9cm-pot 0", Request::Own { container: name("9cm-pot"), count: 0 }),
    ]);
    assert_eq!(command("repack frame/left"), Command::Report(Report::Repack(spot("frame", "left"))));
    assert_eq!(command("in-hand"), Command::Report(Report::InHand));
    assert_eq!(command("containers"), Command::Report(Report::Containers(None)));
    assert_eq!(command("containers pot"), Command::Report(Report::Containers(Some(name("pot")))));
    assert_eq!(command("crops bean"), Command::Report(Report::Crops(Some(name("bean")))));
    assert_eq!(command("places"), Command::Report(Report::Places));
}

#[test]
fn moving_and_leaving() {
    let left = || spot("frame", "left");
    let whole = |things: &[&str]| MovingWords::Whole(things.iter().map(|thing| thing.parse().unwrap()).collect());
    let six = MovingWords::Some { part: part("14"), plants: 6 };
    let lost = |cause| Request::Lose { part: part("14a"), plants: 3, cause, remark: None };
    let all_of = |taking| Request::AllOf { part: part("14a"), taking: Box::new(taking) };
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
        ("out 14a frame/left", Request::PutOut { things: vec![Thing::Part(part("14a"))], place: name("frame") }),
        ("lose 14a 3 --cause Frost", lost(Cause::Cold)),
        ("lose 14a 3 --cause snails", lost(Cause::Slugs)),
        ("plant-out 14a", all_of(Request::PlantOut { part: part("14a"), plants: 1, bed: None, recount: Recount::No })),
        ("give 14a", all_of(Request::GiveAway { part: part("14a"), plants: 1 })),
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
        ("cold 14", Command::Report(Report::Why(vec![name("cold"), name("14")]))),
        ("cautions", Command::Report(Report::Cautions)),
        ("compare tomato", Command::Report(Report::Compare { crop: CropName::new("tomato").unwrap(), by: None })),
        (
            "compare sweet-pepper --by Lots",
            Command::Report(Report::Compare { crop: CropName::new("sweet-pepper").unwrap(), by: Some(ToldBy::Lots) }),
        ),
        ("why rate 14", Command::Report(Report::Why(vec![name("rate"), name("14")]))),
        ("history", Command::Report(Report::History { limit: None, batch: None })),
        ("history 14 --limit 5", Command::Report(Report::History { limit: Some(5), batch: Some(batch(14)) })),
        ("demo --into season.db", Command::Demo { into: Some(file("season.db")) }),
        ("check", Command::Check),
        ("backup copy.db", Command::Backup(file("copy.db"))),
        ("check --salvage saved.db", Command::Salvage { into: file("saved.db") }),
        ("merge copy.db", Command::Merge { from: file("copy.db"), consent: Consent::Asked }),
        ("merge copy.db --yes", Command::Merge { from: file("copy.db"), consent: Consent::Given }),
        ("restore copy.db", Command::Restore { from: file("copy.db"), consent: Consent::Asked }),
        ("restore copy.db --yes", Command::Restore { from: file("copy.db"), consent: Consent::Given }),
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
