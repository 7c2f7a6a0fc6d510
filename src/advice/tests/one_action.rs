//! That `due` and the germination report ask the same of a sowing, and ask it until something is known.

use chrono::Days;

use super::*;
use crate::advice::{Due, Outlook, Task, Verdict, due_in_full, germination};

fn plus(days: u32) -> Date {
    day("2026-03-01").checked_add_days(Days::new(u64::from(days))).unwrap()
}

/// What is said on a day of each tray: the outlook, and the rows of `due` that speak of it.
fn said(history: &History, trade: &Trade, on: Date) -> Vec<(u32, Outlook, Vec<Due>)> {
    let state = fold_until(history, on).0;
    let outlooks = foreseen(&state, on);
    let rows = due_in_full(&state, trade, &outlooks, on);
    let of = |label: BatchLabel, parts: &[crate::advice::PartAt]| -> Vec<Due> {
        let speaks = |row: &&Due| match row.batch {
            Some((_, of)) => of == label,
            None => {
                row.what == Task::ClearForgotten && row.parts.iter().any(|at| parts.iter().any(|it| it.id == at.id))
            }
        };
        rows.iter().filter(speaks).cloned().collect()
    };
    let sowings = germination(&state, &outlooks, on).into_iter();
    sowings.filter_map(|row| Some((row.label.number, row.outlook?, of(row.label, &row.parts)))).collect()
}

/// A crop, what was sown of it and how many, the year on its packet, and what was up after how many days.
type Tray<'a> = (&'a str, SownUnit, u32, Option<i32>, &'a [(u32, u32)]);

/// Trays on one bench, each of some packet, counted after some days.
fn trays(kind: PlaceKind, trays: &[Tray<'_>]) -> Season {
    let mut season = Season::default();
    let bench = season.bench("there", kind, (9000, 9000), None);
    season.place("warm", PlaceKind::Propagator);
    for (number, (crop, unit, units, packed, _)) in (1..).zip(trays) {
        let Seed::New(lot) = seed(crop) else { unreachable!() };
        let sowing = Sowing {
            label: BatchLabel { year: 2026, number, twin: None },
            seed: Seed::New(NewLot { packed: *packed, ..lot }),
            unit: *unit,
            units: *units,
            per_cell: None,
            treatment: Treatment::None,
            depth: None,
            room: on(bench, tray()),
        };
        season.does("2026-03-01", &Act::Sow(sowing));
    }
    let counts =
        (1..).zip(trays).flat_map(|(number, tray)| tray.4.iter().map(move |(after, up)| (*after, number, *up)));
    let mut counts: Vec<(u32, u32, u32)> = counts.collect();
    counts.sort_unstable();
    for (after, number, up) in counts {
        season.counts(&plus(after).to_string(), &format!("{number}a"), up);
    }
    season
}

const GERMINATION: [Task; 6] =
    [Task::Count, Task::SowAgain, Task::Slow, Task::ToWarmth, Task::ToCool, Task::ClearForgotten];

/// What a row of `due` asks, without the word or the day it begins with.
fn asked(row: &Due) -> &str {
    let begins = |word: &str| row.reason.starts_with(word);
    match row.what {
        Task::Count => row.reason.split_once(": ").unwrap().1,
        Task::SowAgain if begins("failed: ") || begins("thin: ") => row.reason.split_once(": ").unwrap().1,
        Task::ClearForgotten if row.batch.is_some() => {
            row.reason.split_once(": ").unwrap().1.trim_end_matches("; its tray is free")
        }
        Task::ClearForgotten => "clear it",
        _ => &row.reason,
    }
}

fn agree(on: Date, number: u32, outlook: &Outlook, rows: &[Due]) {
    let action = &outlook.action;
    let at = format!(
        "{on}, {number}, {}: {action}\n{:?}",
        outlook.verdict,
        rows.iter().map(|it| (it.what, &it.reason)).collect::<Vec<_>>()
    );
    let has = |wanted: &[Task]| rows.iter().any(|row| wanted.contains(&row.what));
    for row in rows.iter().filter(|row| GERMINATION.contains(&row.what)) {
        // What failed is sown again for; that its tray may go is said once more.
        let is_known = row.batch.is_none()
            && matches!(outlook.verdict, Verdict::Failed | Verdict::Thin | Verdict::AllUp | Verdict::Over);
        assert!(is_known || action.contains(asked(row)), "`due` asks what the report does not: {at}");
    }
    let moves = [Task::PrickOut, Task::PotOn, Task::PlantOut];
    let acts: [(&str, &[Task]); 9] = [
        ("count it: ", &[Task::Count]),
        ("clear it", &[Task::ClearForgotten]),
        ("when you p", &moves),
        ("sow ", &[Task::SowAgain, Task::Slow]),
        ("buy fresh", &[Task::SowAgain, Task::Slow]),
        ("keep it", &[Task::Slow]),
        ("read ", &[Task::Slow]),
        ("move it", &[Task::ToWarmth, Task::ToCool, Task::Slow]),
        ("shoots into light", &[Task::TakeOffHeat]),
    ];
    for (act, tasks) in acts {
        let is_past = act == "sow " && action.contains("the last good day was");
        assert!(!action.contains(act) || has(tasks) || is_past, "the report asks {act:?} and `due` does not: {at}");
    }
    assert!(outlook.ninety_by.is_none_or(|by| by >= on), "a day that is past is given as if to come: {at}");
}

/// Many trays, of good seed and poor, few and many, looked at often, once and never, wherever they stand.
#[test]
fn due_and_the_report_ask_the_same() {
    use SownUnit::{Pinch, Seed as Each};
    let table: [Tray<'_>; 18] = [
        ("chilli", Each, 6, Some(2026), &[(20, 0), (28, 0), (32, 0), (36, 0)]),
        ("chilli", Each, 12, Some(2026), &[(18, 0)]),
        ("chilli", Each, 40, None, &[(15, 0), (25, 4), (26, 4), (40, 9)]),
        ("leek", Each, 6, Some(2026), &[(12, 0), (18, 0)]),
        ("leek", Each, 6, Some(2023), &[(16, 0)]),
        ("leek", Each, 60, Some(2026), &[]),
        ("lettuce", Each, 100, Some(2026), &[(11, 70)]),
        ("lettuce", Each, 20, Some(2026), &[(8, 0), (10, 3), (12, 3), (30, 3)]),
        ("lettuce", Each, 20, Some(2019), &[]),
        ("basil", Pinch, 300, Some(2026), &[(14, 3), (15, 3), (16, 3)]),
        ("basil", Each, 40, Some(2026), &[(12, 0)]),
        ("tomato", Each, 24, Some(2026), &[(13, 20)]),
        ("tomato", Each, 24, Some(2026), &[(11, 5), (12, 5), (15, 12)]),
        ("tomato", Each, 20, Some(2016), &[(18, 0), (22, 0)]),
        ("parsley", Each, 60, Some(2026), &[(25, 0)]),
        ("parsley", Each, 60, None, &[(20, 0), (30, 0), (40, 0), (50, 0)]),
        ("pepper", Each, 9, Some(2025), &[(20, 8)]),
        ("pumpkin", Each, 1, Some(2026), &[(15, 0)]),
    ];
    let trade = trade();
    let kinds =
        [PlaceKind::Windowsill, PlaceKind::Propagator, PlaceKind::ColdFrame, PlaceKind::Room, PlaceKind::Greenhouse];
    for kind in kinds {
        let history = trays(kind, &table).history();
        let mut nearly = [None; 19];
        for after in (0..60).chain((60..130).step_by(5)) {
            let now = plus(after);
            for (number, outlook, rows) in said(&history, &trade, now) {
                agree(now, number, &outlook, &rows);
                // What was said by the last count stands until the next, of this tray or one that it is judged by.
                let at = number as usize;
                if table.iter().any(|tray| tray.4.iter().any(|(counted, _)| *counted == after)) {
                    nearly[at] = None;
                }
                let is_taken_back = nearly[at].is_some() && outlook.action.contains("within its time");
                assert!(!is_taken_back, "{kind:?} {number} on {now}: {} after {:?}", outlook.action, nearly[at]);
                if outlook.action.contains("nearly over") {
                    nearly[at] = Some(now);
                }
            }
        }
    }
}

/// The same number on the next day and the one after may be cold nights: neither makes slow what was not.
#[test]
fn one_flat_day_makes_nothing_slow() {
    let kinds =
        [PlaceKind::Windowsill, PlaceKind::Propagator, PlaceKind::ColdFrame, PlaceKind::Room, PlaceKind::Greenhouse];
    let (mut emerging, mut amiss) = (0, Vec::new());
    for kind in kinds {
        for crop in ["tomato", "lettuce", "chilli"] {
            for (first, up) in (7..22).flat_map(|day| [1, 2, 3, 4, 5, 6, 7, 8, 10].map(|up| (day, up))) {
                let counts = [(first, up), (first + 1, up), (first + 2, up)];
                let history = trays(kind, &[(crop, SownUnit::Seed, 24, Some(2026), &counts)]).history();
                let word = |after| {
                    let state = fold_until(&history, plus(after)).0;
                    let outlooks = foreseen(&state, plus(after));
                    germination(&state, &outlooks, plus(after))[0].verdict()
                };
                if word(first) == Verdict::Emerging {
                    emerging += 1;
                    let later = [first + 1, first + 2].map(word);
                    if later.contains(&Verdict::Slow) {
                        amiss.push((kind, crop, first, up, later));
                    }
                }
            }
        }
    }
    assert!(amiss.is_empty(), "{} of {emerging}: {amiss:?}", amiss.len());
    assert!(emerging > 50, "{emerging}");
}
