//! Clocks that jump, nights of 23 and 25 hours, leap days, the ends of years and of the calendar, and another zone.
//!
//! Zones and their changes of the clock are those of the IANA time zone database.

use std::collections::BTreeSet;

use crate::command_line::Home;
use thumbpot::journal::{Entry, Fact, Light, PlaceKind};
use thumbpot::quantity::{Date, DeviceId, EntryId, Name};
use thumbpot::store::{Durability, Journal, Recorded, StoreError};

const REPORTS: [&str; 11] = [
    "due",
    "germination",
    "benches",
    "cold",
    "fits seed-trayx3",
    "in-hand",
    "batch 1",
    "compare leek",
    "history",
    "why germination 1",
    "check",
];

/// Sowings about the end of a year and on a leap day.
const SEASON: &str = "
place add sill --kind windowsill --on 2023-01-01
bench add sill/top --size 2000x900mm --on 2023-01-01
place add frame --kind 'cold frame' --on 2023-01-01
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/top --on 2023-12-31
sow leek 'Long Furrow' --seeds 40 --in 72-cell --at sill/top --on 2024-01-01
sow celery 'Pale Post' --seeds 40 --in half-tray --at sill/top --on 2024-02-29
count 2024/2 12 --sure --on 2024-02-29
reading frame --min -2 --max 4 --on 2024-02-29
forecast set 2024-03-01 --low -4 --high 3 --on 2024-02-29
";

#[test]
fn an_act_sorts_after_all_before_it_whatever_the_clock_says() {
    let folder = tempfile::tempdir().unwrap();
    let device = DeviceId(uuid::Uuid::from_u128(7));
    let mut journal = Journal::open(&folder.path().join("a.db"), device, Durability::Unsynced).unwrap();
    // 2030, 2020, 1970, as late as an id can say, and back again.
    let clocks = [1_893_456_000_000, 1_577_836_800_000, 0, (1 << 48) - 1, 1_577_836_800_000, 1_577_836_800_000];
    let mut ids = Vec::new();
    for (number, millis) in clocks.into_iter().enumerate() {
        let recorded = Recorded { millis, text: "2020-01-01T00:00:00.000Z".to_owned() };
        let on = Date::from_ymd_opt(2020, 1, 1).unwrap();
        let name = Name::new(&format!("place{number}")).unwrap();
        let fact = Fact::PlaceAdded { name, kind: PlaceKind::Room, heated_to: None, light: Light::Fair };
        let id = journal
            .write(|books| -> Result<_, StoreError> {
                let (act, id) = (books.mint(&recorded)?, EntryId(books.next_entry()?));
                books.append(act, "place add", on, &recorded, &[Entry { id, act, sequence: 0, on, fact }])?;
                Ok(act)
            })
            .unwrap();
        ids.push(id);
    }
    assert!(ids.is_sorted() && ids.iter().collect::<BTreeSet<_>>().len() == ids.len(), "{ids:?}");
    assert!(journal.check().unwrap().is_sound());
    let last = journal.read(|books| books.last_in_force()).unwrap().unwrap();
    assert_eq!(last.id, ids[5], "the newest is the last logged, not the one with the latest clock");
}

/// A journal that goes on to a day beyond the clock's: the clock is asked about, once for whatever is shown or logged, and
/// not for the day or two that zones make.
#[test]
fn a_clock_that_is_behind_the_journal_is_asked_about() {
    let today = thumbpot::desk::today();
    for (days, is_asked) in [(2, false), (3, true), (2200, true)] {
        let home = Home::empty();
        home.script("lot add leek 'Long Furrow'");
        let device = DeviceId(uuid::Uuid::from_u128(7));
        let mut journal = Journal::open(&home.journal(), device, Durability::Unsynced).unwrap();
        let on = today + chrono::Days::new(days);
        let recorded = Recorded { millis: 0, text: format!("{on}T09:00:00.000Z") };
        let fact = |name: &str| Fact::PlaceAdded {
            name: Name::new(name).unwrap(),
            kind: PlaceKind::Room,
            heated_to: None,
            light: Light::Fair,
        };
        let ahead = journal
            .write(|books| -> Result<_, StoreError> {
                let (act, id) = (books.mint(&recorded)?, EntryId(books.next_entry()?));
                let entry = Entry { id, act, sequence: 0, on, fact: fact("sill") };
                books.append(act, "place add", on, &recorded, &[entry])?;
                Ok(act)
            })
            .unwrap();
        drop(journal);
        let asked = format!("this machine says {today}, the newest entry is of {on}: is the clock right?");
        let told = |words: &[&str]| {
            let answer = home.run(words);
            let all = format!("{}{}", answer.out, answer.err);
            all.matches(asked.as_str()).count()
        };
        let seen: [&[&str]; 9] = [
            &["due"],
            &["due", "--json"],
            &["cold"],
            &["--plain"],
            &["place", "add", "shed", "--kind", "room"],
            &["place", "add", "loft", "--kind", "room", "--json"],
            &["lot", "add", "pea", "Green", "--on", &today.to_string()],
            // By that day there is nothing yet: it is refused, and the clock is asked about all the same.
            &["lose", "1", "3", "--cause", "cold"],
            &["in-hand"],
        ];
        for words in seen {
            assert_eq!(told(words), usize::from(is_asked), "{words:?} {days}");
        }
        let plain = home.run(&["--plain"]).out;
        assert_eq!(plain.contains("A first season"), !is_asked, "{plain}");
        let then = (today - chrono::Days::new(4)).to_string();
        assert_eq!(told(&["due", "--on", &then]), 0, "a day that was asked for is no question of the clock");
        assert_eq!(told(&["place", "add", "barn", "--kind", "room", "--on", &then]), 0);
        // What was dated ahead by a clock that was wrong then is taken back, and all is quiet.
        home.run(&["undo", &ahead.to_string()]);
        assert_eq!(told(&["due"]), 0);
    }
}

#[test]
fn every_report_answers_on_every_day_there_is() {
    let home = Home::empty();
    home.script(SEASON);
    let days = [
        "1900-01-01",
        "2023-12-31",
        "2024-01-01",
        "2024-02-28",
        "2024-02-29",
        "2024-03-01",
        "2025-02-28",
        "2025-03-01",
        "2100-02-28",
        "2999-12-31",
    ];
    for day in days {
        for report in REPORTS {
            let answer = home.types(&format!("{report} --on {day}"));
            assert!(answer.code <= 2 && !answer.err.contains("panicked"), "{report} --on {day}: {answer:?}");
            if report != "batch 1" && report != "why germination 1" {
                assert_eq!(answer.code, 0, "{report} --on {day}: {answer:?}");
            }
        }
    }
    for day in [
        "2023-02-29",
        "2100-02-29",
        "0000-00-00",
        "0001-01-01",
        "1899-12-31",
        "3000-01-01",
        "10000-01-01",
        "-0001-01-01",
        "262143-01-01",
        "2024-13-01",
    ] {
        let answer = home.types(&format!("due --on={day}"));
        assert!((1..=2).contains(&answer.code) && answer.err.lines().count() == 1, "{day}: {answer:?}");
    }
}

#[test]
fn numbers_begin_again_with_the_year_and_a_leap_day_is_a_day() {
    let home = Home::empty();
    home.script(SEASON);
    let history = home.does("history");
    for label in ["2023/1", "2024/1", "2024/2"] {
        let answer = home.types(&format!("batch {label} --on 2024-03-10"));
        assert!(answer.code == 0 && answer.out.contains(label), "{history}\n{answer:?}");
    }
    assert_eq!(home.batch(2)["parts"][0]["standing"], 12);
    // A year after the 29th is the 28th or the first, and neither is the 29th.
    assert_eq!(home.json("germination --on 2025-02-28")["on"], "2025-02-28");
    assert!(home.refuses("count 2024/2 13 --on 2025-02-29").contains("2025-02-29"));
    home.does("count 2024/2 13 --on 2025-03-01");
}

/// In Berlin 2024-03-31 had no 02:30 and 2024-10-27 had it twice.
#[test]
fn nights_of_23_and_25_hours_are_nights() {
    let home = Home::empty();
    home.script(SEASON);
    let file = home.file("readings.csv");
    for night in ["2024-03-31", "2024-10-27"] {
        let rows = [(0, 4.0), (1, 3.5), (2, 2.5), (2, 1.5), (3, 3.0), (6, 4.0), (9, 8.0), (11, 9.0), (14, 12.0)];
        let rows: String = rows.iter().map(|(hour, celsius)| format!("{night} {hour:02}:30,{celsius}\n")).collect();
        std::fs::write(&file, format!("time,temperature C\n{rows}")).unwrap();
        for zone in ["Europe/Berlin", "UTC"] {
            let mut program = home.program();
            program.env("TZ", zone).args(["reading", "import", "readings.csv", "--place", "frame"]);
            let done = program.output().unwrap();
            let said = String::from_utf8_lossy(&done.stdout).into_owned() + &String::from_utf8_lossy(&done.stderr);
            let again = zone == "UTC";
            assert_eq!(done.status.success(), !again, "{said}");
            assert!(said.contains(if again { "nothing in it is new" } else { "1.5" }), "{night} {zone}: {said}");
        }
    }
}

/// Between 14 hours ahead and 11 behind there are always two days at once, and at most hours three.
#[test]
fn a_day_has_come_where_the_grower_is() {
    let home = Home::empty();
    home.script(SEASON);
    let at = |zone: &str, words: &[&str]| {
        let done = home.program().env("TZ", zone).args(words).output().unwrap();
        (done.status.code().unwrap(), String::from_utf8_lossy(&done.stdout).into_owned())
    };
    let today = |zone: &str| -> String {
        let (_, said) = at(zone, &["due", "--json"]);
        let value: serde_json::Value = serde_json::from_str(&said).unwrap();
        value["on"].as_str().unwrap().to_owned()
    };
    let (ahead, behind) = ("Pacific/Kiritimati", "Pacific/Niue");
    // The hour may strike between the two.
    let day = today(ahead);
    if day == today(ahead) && today(behind) < day {
        let note = |zone: &str| at(zone, &["note", "2024/2", "seen", "--on", &day]).0;
        assert_eq!((note(behind), note(ahead)), (1, 0));
        // What was logged there is in the log here too, though its day has not come.
        let (code, said) = at(behind, &["history"]);
        assert!(code == 0 && said.contains("seen"), "{said}");
        assert_eq!(at(behind, &["check"]).0, 0);
        assert_eq!(at(behind, &["undo"]).0, 0);
    } else {
        assert!(today(behind) <= today(ahead));
    }
}
