//! What a thermometer that keeps its lowest and highest says by the hour it is read. The real binary, in a zone where it
//! is that hour now.
//!
//! Climatological stations that read their thermometers once a day, at nine in the morning, enter the maximum to the day
//! before and the minimum to the day itself (from memory).

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]
#![allow(clippy::disallowed_methods, reason = "the zone is chosen by the hour it is now")]

use chrono::{Days, Timelike as _, Utc};

use crate::command_line::Home;
use thumbpot::quantity::Date;

/// A home in a zone where it is a quarter to an hour's end at most, and that day.
struct Hour {
    zone: String,
    today: Date,
}

/// The zone where it is such an hour now.
fn at(hour: u32) -> Hour {
    let now = Utc::now();
    let ahead = (i64::from(hour) - i64::from(now.hour()) + 36).rem_euclid(24) - 12;
    let today = (now + chrono::TimeDelta::hours(ahead)).date_naive();
    // The sign of a POSIX zone is that of what is added to get to UTC.
    Hour { zone: format!("T{}{}", if ahead < 0 { "ST+" } else { "ST-" }, ahead.abs()), today }
}

impl Hour {
    fn before(&self, days: u64) -> Date {
        self.today - Days::new(days)
    }

    /// Types a line that must be done.
    fn does(&self, home: &Home, line: &str) -> String {
        let words = shlex::split(line).unwrap();
        let output = home.program().env("TZ", &self.zone).args(words).output().unwrap();
        let (out, err) = (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
        assert!(output.status.success() && err.is_empty(), "{line}: {out}{err}");
        out
    }

    /// Tomatoes up in a shut frame, and a bright warm day forecast for today.
    fn garden(&self) -> Home {
        let home = Home::with_benches();
        let (today, sown, up) = (self.today, self.before(40), self.before(30));
        self.does(&home, &format!("sow tomato First --seeds 12 --in seed-tray --at frame/left --on {sown}"));
        self.does(&home, &format!("count 1 12 --on {up}"));
        self.does(&home, &format!("forecast set {today} --low 8C --high 26C --on {}", self.before(1)));
        home
    }
}

const AHEAD: &str = "open the lights wide";

#[test]
fn a_highest_read_in_the_morning_is_of_the_day_before() {
    let morning = at(7);
    let home = morning.garden();
    assert!(morning.does(&home, "due").contains(AHEAD));
    let said = morning.does(&home, "reading frame --min 11C --max 23C");
    assert!(said.contains(&format!("highest 23.0 C, of {}", morning.before(1))), "{said}");
    assert!(said.contains("lowest 11.0 C\n") || said.contains("lowest 11.0 C;"), "{said}");
    let due = morning.does(&home, "due");
    assert!(due.contains(AHEAD) && due.contains("by mid-morning"), "the day's heat is still ahead: {due}");
    // The place's own page has it where it belongs, and so has the history.
    let climate = morning.does(&home, "climate frame --json");
    let days: serde_json::Value = serde_json::from_str(&climate).unwrap();
    let days = days["rows"][0]["days"].as_array().unwrap();
    let day = |on: Date| days.iter().find(|day| day["day"] == on.to_string()).unwrap().clone();
    assert_eq!(day(morning.before(1))["high_c"], 23.0, "{days:?}");
    assert_ne!(day(morning.today)["high_c"], 23.0, "{days:?}");
    assert!(morning.does(&home, "history").contains(&format!("highest 23.0 C, of {}", morning.before(1))));
    // What names another day is of that day.
    let back = morning.does(&home, &format!("reading frame --max 21C --on {}", morning.before(3)));
    assert!(back.contains("highest 21.0 C") && !back.contains(", of "), "{back}");
}

#[test]
fn a_highest_read_later_is_of_the_day_and_what_is_hot_now_comes_first() {
    let noon = at(13);
    let home = noon.garden();
    let said = noon.does(&home, "due");
    assert!(said.contains("open the lights wide now") && !said.contains("mid-morning"), "{said}");
    // The air of a moment, over what hurts them: the first line, by the plants' own names, and once.
    noon.does(&home, "reading frame --now 40C");
    let due = noon.does(&home, "due");
    assert!(due.lines().nth(1).unwrap().contains("cool down") && due.contains("frame was 40.0 C today"), "{due}");
    assert!(!due.contains(AHEAD), "{due}");
    // Over what they are kept under, and not yet hurt.
    noon.does(&home, "reading frame --now 35C");
    let due = noon.does(&home, "due");
    assert!(
        due.lines().nth(1).unwrap().contains("open up") && due.contains("35.0 C was read today, over the 32.0 C"),
        "{due}"
    );
    // Opened, and read again: nothing more to do.
    noon.does(&home, "reading frame --now 25C");
    let due = noon.does(&home, "due");
    assert!(!due.contains("cool down") && !due.contains(AHEAD), "it cooled: {due}");
    // A highest under it, so far.
    let other = noon.garden();
    let said = noon.does(&other, "reading frame --max 24C");
    assert!(said.contains("highest 24.0 C") && !said.contains(", of "), "{said}");
    assert!(!noon.does(&other, "due").contains(AHEAD));
}

#[test]
fn the_air_of_a_cool_morning_leaves_the_warning_and_the_evening_ends_it() {
    let morning = at(8);
    let home = morning.garden();
    morning.does(&home, "reading frame --now 14C");
    assert!(morning.does(&home, "due").contains(AHEAD));
    let evening = at(19);
    let home = evening.garden();
    assert!(!evening.does(&home, "due").contains(AHEAD), "the heat of today is over");
    evening.does(&home, "reading frame --now 40C");
    let due = evening.does(&home, "due");
    assert!(!due.contains("cool down"), "there is nothing left to cool: {due}");
    let cold = evening.does(&home, "cold");
    assert!(cold.contains("frame was 40.0 C today") && cold.contains("look them over"), "{cold}");
    assert!(!evening.does(&home, "cold").contains(&format!("{} frame: ", evening.today)));
}

/// A thermometer read every morning is learnt from as one that is read every evening; a gap is of all its days.
#[test]
fn mornings_are_read_without_gaps_and_a_gap_is_one() {
    let morning = at(7);
    let home = morning.garden();
    morning.does(&home, &format!("reading frame --min 6C --on {}", morning.before(1)));
    morning.does(&home, &format!("reading frame --max 15C --on {}", morning.before(2)));
    let said = morning.does(&home, "reading frame --min 5C --max 17C");
    assert!(!said.contains("was last read on"), "{said}");
    let gone = morning.garden();
    morning.does(&gone, &format!("reading frame --min 6C --max 15C --on {}", morning.before(4)));
    let said = morning.does(&gone, "reading frame --min 5C --max 17C");
    assert!(said.contains("of 4 days this is kept"), "{said}");
    // The lowest of four nights is not last night's, though the highest beside it is of yesterday.
    let climate = morning.does(&gone, "climate frame");
    let nights = climate.lines().find(|line| line.trim_start().starts_with("nights ")).unwrap();
    assert!(nights.contains("nothing read yet"), "{climate}");
}

/// Common practice, no source: what goes out for the day goes out by the early afternoon.
#[test]
fn late_in_the_day_nothing_is_put_out_for_it() {
    for (hour, is_told) in [(8, true), (18, false)] {
        let hour = at(hour);
        let home = Home::with_benches();
        hour.does(
            &home,
            &format!("sow tomato First --seeds 12 --in seed-tray --at sill/long --on {}", hour.before(40)),
        );
        hour.does(&home, &format!("count 1 12 --on {}", hour.before(30)));
        for days in (1..=4).rev() {
            hour.does(&home, &format!("out 1a frame --on {}", hour.before(days)));
            hour.does(&home, &format!("in --on {}", hour.before(days)));
        }
        hour.does(&home, &format!("forecast set {} --low 8C --high 24C", hour.today));
        assert_eq!(hour.does(&home, "cold").contains("Harden off"), is_told);
        assert_eq!(hour.does(&home, "due").contains("out to frame for the day"), is_told);
    }
}

/// Courgette does not come up over 37.8 C (`assets/crop_facts.csv`).
#[test]
fn seed_sown_today_is_told_of_the_heat_it_was_read_in() {
    let noon = at(13);
    let home = noon.garden();
    noon.does(&home, "place add prop --kind 'heated propagator'");
    noon.does(&home, "sow courgette First --seeds 8 --in half-tray --at prop");
    noon.does(&home, "reading prop --now 38C");
    noon.does(&home, "reading prop --now 41C");
    let due = noon.does(&home, "due");
    assert!(due.contains("prop was 41.0 C today: 2a courgette sown there fails over 37.8 C"), "{due}");
}

#[test]
fn a_place_that_was_read_too_hot_is_no_refuge_while_there_is_another() {
    let home = Home::empty();
    home.script(
        "place add frame --kind 'cold frame' --on 2024-01-01
         place add prop --kind propagator --light full --on 2024-01-01
         place add cupboard --kind 'airing cupboard' --on 2024-01-01
         sow lettuce First --seeds 20 --in seed-tray --at frame --on 2024-04-01
         count 1 20 --on 2024-04-10
         forecast set 2024-04-16 --low -9 --high 8 --on 2024-04-15",
    );
    assert!(home.does("cold --on 2024-04-15").contains("move 2024/1a prop"));
    home.does("reading prop --max 41 --on 2024-04-15");
    let cold = home.does("cold --on 2024-04-15");
    assert!(cold.contains("move 2024/1a cupboard"), "{cold}");
}

#[test]
fn slips_of_the_year_and_files_that_are_no_text_are_told_as_that() {
    let home = Home::with_benches();
    let today = thumbpot::desk::today();
    let next = today + Days::new(360);
    let told = home.refuses(&format!("forecast set {next} --low 2 --high 9"));
    assert!(told.contains("51 weeks ahead") && told.contains("look at the year"), "{told}");
    home.does(&format!("forecast set {} --low 2C --high 9C", today + Days::new(31)));
    let soon = today + Days::new(11);
    let told = home.refuses(&format!("reading frame --min 3C --on '{}'", soon.format("%-d %b")));
    assert!(told.contains("is still to come: write ") && told.contains("if it was then"), "{told}");
    let junk = home.file("junk.csv");
    std::fs::write(&junk, [0x89, b'P', b'N', b'G', 0xff, 0xfe, 0, 1]).unwrap();
    let told = home.refuses(&format!("reading import {} --place frame", junk.display()));
    assert!(told.contains("it is not text") && !told.contains("who may use it"), "{told}");
    let fahrenheit = home.file("f.csv");
    std::fs::write(&fahrenheit, "Date,Tmin (degF),Tmax (degF)\n2024-04-10,50,68\n2024-04-11,41,59\n").unwrap();
    let said = home.does(&format!("reading import {} --place frame", fahrenheit.display()));
    assert!(said.contains("lowest 10.0 C") && said.contains("highest 20.0 C"), "{said}");
    home.script("place add bed --kind 'open ground'\nplace add glass --kind 'unheated greenhouse'");
    let places = home.does("places");
    assert!(places.contains("plot") && places.contains("greenhouse"), "{places}");
}

/// `15 aug` of an April is of last year: said with the act, once.
#[test]
fn a_reading_of_last_year_says_of_which_day_it_is() {
    let morning = at(7);
    let home = morning.garden();
    let on = morning.before(250);
    let told = morning.does(&home, &format!("reading frame --min 5C --on {on}"));
    assert!(told.contains(&format!("that is of {on}")), "{told}");
    let told = morning.does(&home, &format!("reading frame --min 5C --on {}", morning.before(9)));
    assert!(!told.contains("that is of"), "{told}");
}
