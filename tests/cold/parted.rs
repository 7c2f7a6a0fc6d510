//! Parts of one batch that were hardened otherwise are told of apart: what is said of each is what would be said of it were it a
//! batch of its own, up to the two days by which parts told of together may differ.
//!
//! The schedules are the tables' own. Weather and outings: thrown.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use tempfile::TempDir;
use thumbpot::advice::{cold, place_views};
use thumbpot::desk::Desk;
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::{Date, DeviceId, Moment};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use uuid::Uuid;

/// Parts told of together are as hardened as the softest of them, and none is further on than so much.
const ALIKE: f64 = 0.15;
const NEARLY: f64 = 1e-9;
const DAYS: u64 = 30;

fn desk(folder: &TempDir, script: &str, on: Date) -> Desk {
    let (path, device) = (folder.path().join("journal.db"), DeviceId(Uuid::from_u128(12)));
    let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
    desk.run(script, on, AfterRefusal::Stop, |_, _| {}).unwrap();
    desk
}

fn dice(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(state >> 40).unwrap()) / f64::from(1 << 24)
    }
}

/// How hardened each part is said to be, by its label, with the row it stands in.
fn hardened(desk: &Desk, on: Date) -> BTreeMap<String, (f64, usize)> {
    let state = desk.state(on).unwrap();
    let mut said = BTreeMap::new();
    let views = place_views(&state, desk.trade(), on);
    for (at, row) in views.iter().flat_map(|view| &view.standing).enumerate() {
        for part in &row.parts {
            assert!(said.insert(part.label.to_string(), (row.hardened.0, at)).is_none(), "{} stands twice", part.label);
        }
    }
    said
}

/// The words that end a step of hardening off are those of the least advanced of the row; every part has one row at most.
fn steps(desk: &Desk, on: Date) -> BTreeMap<String, String> {
    let page = cold(&desk.state(on).unwrap(), desk.trade(), Moment { on, hour: Some(8) });
    let mut said = BTreeMap::new();
    for row in &page.hardening {
        for part in &row.parts {
            assert!(said.insert(part.label.to_string(), row.ladder.words()).is_none(), "{} has two steps", part.label);
        }
    }
    said
}

#[test]
fn each_part_is_as_hardened_as_if_it_were_a_batch_of_its_own() {
    let (mut apart, mut together, mut other_words) = (0, 0, 0);
    for (seed, crop) in [(1, "tomato"), (3, "cabbage")] {
        let mut throw = dice(seed);
        let first = NaiveDate::from_ymd_opt(2026, 4, 25).unwrap();
        let mut weather = "place add kitchen --kind windowsill --on 2026-01-01
             place add frame --kind 'cold frame' --on 2026-01-01\n"
            .to_owned();
        let mut out: Vec<(bool, bool)> = Vec::new();
        for ahead in 0..DAYS {
            let on = first + Days::new(ahead);
            let low = 5.0 + 4.0 * throw();
            let high = low + 6.0 + 4.0 * throw();
            weather.push_str(&format!(
                "reading frame --min {low:.1} --on {on}\nreading frame --max {high:.1} --on {on}\n"
            ));
            weather
                .push_str(&format!("forecast set {} --low {low:.1} --high {high:.1} --on {on}\n", on + Days::new(1)));
            // The second goes out with the first at the beginning, then is left at home now and then, and at last for good.
            let goes = throw() < 0.9;
            out.push((goes, goes && ahead < 18 && (ahead < 5 || throw() < 0.6)));
        }
        let whole = format!("sow {crop} First --seeds 48 --in 24-cellx2 --at kitchen --on 2026-03-10\n");
        let each = format!("sow {crop} First --seeds 24 --in 24-cell --at kitchen --on 2026-03-10\n").repeat(2);
        let lived = |sown: &str, parts: [&str; 2]| {
            let [a, b] = parts;
            let counted = format!("count 2026/{a} 20 --on 2026-03-22\ncount 2026/{b} 20 --on 2026-03-22\n");
            let mut script = format!("{weather}{sown}{counted}");
            for (ahead, (one, two)) in (0..).zip(&out) {
                let on = first + Days::new(ahead);
                for (part, _) in [(a, one), (b, two)].into_iter().filter(|(_, goes)| **goes) {
                    script.push_str(&format!("out 2026/{part} frame --on {on}\nin 2026/{part} --on {on}\n"));
                }
            }
            script
        };
        let last = first + Days::new(DAYS);
        let (one_folder, two_folder) = (TempDir::new().unwrap(), TempDir::new().unwrap());
        let one = desk(&one_folder, &lived(&whole, ["1a", "1b"]), last);
        let two = desk(&two_folder, &lived(&each, ["1a", "2a"]), last);
        for ahead in 1..DAYS {
            let on = first + Days::new(ahead);
            let (said, own) = (hardened(&one, on), hardened(&two, on));
            let is_apart = said["1a"].1 != said["1b"].1;
            for (part, as_own) in [("1a", "1a"), ("1b", "2a")] {
                let (said, own) = (said[part].0, own[as_own].0);
                let near =
                    if is_apart { (said - own).abs() <= NEARLY } else { (-NEARLY..=ALIKE).contains(&(own - said)) };
                assert!(near, "{crop} {on} {part}: said {said:.2}, its own {own:.2}, apart: {is_apart}");
            }
            *if is_apart { &mut apart } else { &mut together } += 1;
            let (said, own) = (steps(&one, on), steps(&two, on));
            for (part, as_own) in [("1a", "1a"), ("1b", "2a")].into_iter().filter(|_| is_apart) {
                // Whether a step is spoken of does not hang on the others either.
                assert_eq!(said.get(part), own.get(as_own), "{crop} {on} {part}");
            }
            other_words += u32::from(said.contains_key("1a") && said.contains_key("1b") && said["1a"] != said["1b"]);
        }
    }
    eprintln!("apart on {apart} days, together on {together}, other steps on {other_words}");
    assert!(apart > 15 && together > 8 && other_words > 2, "nothing to tell by: {apart} {together} {other_words}");
}

/// The page before dusk, the day's work, planting out and `why` name the part that they speak of.
#[test]
fn what_was_carried_is_told_of_by_its_own_letter() {
    let folder = TempDir::new().unwrap();
    let first = NaiveDate::from_ymd_opt(2026, 4, 10).unwrap();
    let mut script = "place add kitchen --kind windowsill --on 2026-01-01
         place add frame --kind 'cold frame' --on 2026-01-01
         sow lettuce First --seeds 48 --in 24-cellx2 --at kitchen --on 2026-03-10
         count 2026/1a 20 --on 2026-03-18
         count 2026/1b 20 --on 2026-03-18
         move 2026/1a frame --on 2026-04-09\n"
        .to_owned();
    for ahead in 0..18 {
        let on = first + Days::new(ahead);
        script.push_str(&format!("reading frame --min 7 --on {on}\nreading frame --max 18 --on {on}\n"));
    }
    let last = first + Days::new(18);
    for ahead in 0..5 {
        script.push_str(&format!("forecast set {} --low 7 --high 16 --on {last}\n", last + Days::new(ahead)));
    }
    // Home again, beside the tray that was never out.
    script.push_str(&format!("move 2026/1a kitchen --on {last}\n"));
    let desk = desk(&folder, &script, last);
    let page = cold(&desk.state(last).unwrap(), desk.trade(), Moment { on: last, hour: Some(8) });
    let of = |letter: &str| {
        let row = page.plant_out.iter().find(|row| row.part.label.to_string() == letter).unwrap();
        (row.waits, row.reason.clone())
    };
    let ((a_waits, a), (b_waits, b)) = (of("1a"), of("1b"));
    assert!(!a_waits && a.contains(", hardened"), "{a}");
    assert!(b_waits && b.contains("not hardened off"), "{b}");
    let named: Vec<String> = page.hardening.iter().map(|row| format!("{} {}", row.parts.len(), row.reason)).collect();
    let [step] = named.as_slice() else { panic!("{named:?}") };
    assert!(step.starts_with("1 hardening step 1 of 3, day 1 of 4"), "{step}");
}
