//! Today's work: what is asked, in which order, and what is not asked.

use super::*;
use crate::advice::{Due, Task, Urgency, due, due_in_full, due_of};
use crate::journal::{Cause, Topic};
use crate::quantity::Remark;

fn today(season: &Season, on: &str) -> Vec<Due> {
    due(&season.state(), &trade(), &foreseen(&season.state(), day(on)), day(on))
}

/// The same without the question after plants of which nothing was noted for a week.
fn work(season: &Season, on: &str) -> Vec<Due> {
    today(season, on).into_iter().filter(|row| !matches!(row.what, Task::CatchUp { .. })).collect()
}

/// Each line as task, batch number and days overdue.
fn lines(rows: &[Due]) -> Vec<(Task, Option<u32>, u32)> {
    rows.iter().map(|row| (row.what, row.batch.map(|(_, label)| label.number), row.overdue_days)).collect()
}

#[test]
fn shoots_come_off_the_heat_first_and_only_once_they_show() {
    let mut season = Season::default();
    let heat = season.bench("heat", PlaceKind::Propagator, (1000, 500), None);
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    season.sows("2026-02-20", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-01", "1a", 30); // prick out from 11 March, best 13, latest 15
    season.sows("2026-03-08", 2, "lettuce", 40, on(heat, tray()));
    season.sows("2026-03-08", 3, "chilli", 10, on(heat, tray()));
    season.counts("2026-03-16", "2a", 5);
    let rows = today(&season, "2026-03-17");
    // Chilli takes weeks; five lettuces of forty on the eighth day at 20 C are late (4 days, Harrington & Minges 1954).
    let (slow, tomato) = ((Task::Slow, Some(2), 0), (Task::PrickOut, Some(1), 2));
    assert_eq!(lines(&rows), [(Task::TakeOffHeat, Some(2), 1), tomato, slow]);
    assert_eq!((rows[0].urgency, rows[1].urgency), (Urgency::Now, Urgency::Late));
    assert_eq!(rows[0].due, Some(day("2026-03-16")));
    assert_eq!(rows[0].parts[0].at, "heat/bench");
    assert!(rows[0].reason.starts_with("5 showing"), "{}", rows[0].reason);
    season.moves("2026-03-17", "2a", Stand::Bench(sill));
    assert_eq!(lines(&today(&season, "2026-03-17")), [tomato, slow]);
    let one = due_of(
        &season.state(),
        &trade(),
        &foreseen(&season.state(), day("2026-03-17")),
        season.batch(2),
        day("2026-03-17"),
    );
    assert_eq!(lines(&one), [slow]);
    // Put out for the day they are out of the heat.
    let place = season.place("yard", PlaceKind::StandingGround);
    season.counts("2026-03-18", "3a", 8);
    assert_eq!(today(&season, "2026-03-18")[0].what, Task::TakeOffHeat);
    let containers = vec![season.container("3a")];
    season.does("2026-03-18", &Act::PutOut { containers, place });
    assert_ne!(today(&season, "2026-03-18")[0].what, Task::TakeOffHeat);
}

/// Practice: pepper stands two or three days undrawn, and those not up yet want their 20 C.
#[test]
fn the_first_of_a_tender_kind_get_light_where_they_are() {
    let mut season = Season::default();
    let heat = season.bench("heat", PlaceKind::Propagator, (1000, 500), None);
    season.sows("2026-03-01", 1, "sweet pepper", 24, on(heat, tray()));
    let row = |season: &Season, on: &str| {
        let row = today(season, on).into_iter().find(|row| row.what == Task::TakeOffHeat).unwrap();
        (row.urgency, row.reason)
    };
    season.counts("2026-03-11", "1a", 2);
    let (urgency, reason) = row(&season, "2026-03-11");
    assert!(urgency == Urgency::Today && reason.contains("more to come: a light over them"), "{reason}");
    season.counts("2026-03-14", "1a", 15);
    let (urgency, reason) = row(&season, "2026-03-14");
    assert!(urgency == Urgency::Now && reason.contains("into the light before they draw"), "{reason}");
}

#[test]
fn a_move_is_due_from_its_best_day_and_two_trays_are_one_line() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let two = Room::New { vessel: tray(), count: 2, stand: Stand::Bench(sill), spot: None };
    season.sows("2026-02-20", 1, "tomato", 80, two);
    season.counts("2026-03-01", "1a", 40); // best 13th, latest 15th
    season.counts("2026-03-03", "1b", 40); // best 15th, latest 17th
    assert_eq!(lines(&work(&season, "2026-03-12")), []);
    assert_eq!(today(&season, "2026-03-12")[0].urgency, Urgency::Quiet, "nine days: asked, no work");
    let rows = work(&season, "2026-03-13");
    assert_eq!((rows.len(), rows[0].parts.len(), rows[0].urgency), (1, 1, Urgency::Today));
    let rows = work(&season, "2026-03-15");
    assert_eq!((rows.len(), rows[0].parts.len(), rows[0].overdue_days), (1, 2, 0));
    let rows = work(&season, "2026-03-16");
    assert_eq!((rows[0].urgency, rows[0].overdue_days, rows[0].due), (Urgency::Late, 1, Some(day("2026-03-13"))));
}

#[test]
fn a_count_is_due_when_it_could_change_a_word() {
    let mut season = Season::default();
    let heat = season.bench("heat", PlaceKind::Propagator, (5000, 600), None);
    // Tomato at 20 C: half are up on the eighth day (Harrington & Minges 1954), the first of forty some days sooner.
    season.sows("2026-03-01", 1, "tomato", 40, on(heat, tray()));
    let counts = |season: &Season, on| today(season, on).iter().filter(|row| row.what == Task::Count).count();
    assert_eq!(counts(&season, "2026-03-04"), 0);
    assert_eq!(counts(&season, "2026-03-09"), 1);
    season.counts("2026-03-09", "1a", 5);
    assert_eq!(counts(&season, "2026-03-10"), 0, "not every evening");
    assert_eq!(counts(&season, "2026-03-11"), 1, "half are on their way");
    season.counts("2026-03-12", "1a", 34);
    season.counts("2026-03-20", "1a", 36);
    assert_eq!(counts(&season, "2026-03-30"), 0, "all that come are up");
    // None up of another tray: one more look could settle it.
    season.sows("2026-03-01", 2, "tomato", 40, on(heat, tray()));
    season.counts("2026-03-13", "2a", 0);
    let due = |season: &Season, on, what| {
        let rows = today(season, on);
        rows.into_iter().find(|row| row.what == what && row.batch.is_some_and(|(_, label)| label.number == 2))
    };
    let row = due(&season, "2026-03-18", Task::Count).unwrap();
    assert!(row.reason.ends_with("if none are up it is failed"), "{}", row.reason);
    season.counts("2026-03-18", "2a", 0);
    assert_eq!(due(&season, "2026-03-23", Task::Count), None);
    let again = due(&season, "2026-03-23", Task::SowAgain).unwrap();
    assert!(again.reason.starts_with("failed: sow "), "{}", again.reason);
    assert_eq!(again.urgency, Urgency::Today);
    // One seedling, and it is another story.
    season.counts("2026-03-23", "2a", 1);
    assert!(due(&season, "2026-03-23", Task::SowAgain).is_none_or(|row| row.reason.starts_with("thin")));
}

#[test]
fn the_forgotten_are_one_quiet_line_at_the_end() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    // Plants bought in that a recount did not find; seed that never came; plants unheard of since.
    let label = BatchLabel { year: 2026, number: 1, twin: None };
    season.does("2026-03-01", &Act::Receive { label, seed: seed("tomato"), plants: 40, room: on(sill, tray()) });
    let observed = Observed { standing: Some(0), ..NOTHING };
    season.does("2026-03-12", &Act::Count { part: season.part("1a"), observed });
    season.sows("2026-03-01", 2, "tomato", 40, on(sill, tray()));
    season.sows("2026-03-01", 3, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "3a", 40);
    assert!(today(&season, "2026-03-25").iter().all(|row| row.what != Task::ClearForgotten), "13 days");
    let quiet = |on| {
        let rows = work(&season, on);
        let found: Vec<_> = rows.iter().filter(|row| row.what == Task::ClearForgotten).cloned().collect();
        assert_eq!(found.len(), 1, "{on}");
        assert_eq!(rows.last(), found.last());
        let labels: Vec<_> = found[0].parts.iter().map(|at| at.label.to_string()).collect();
        (found[0].urgency, labels.join(" "), rows.len())
    };
    assert_eq!(quiet("2026-03-26").1, "1a");
    // Day 15 and six weeks are 27 April.
    assert_eq!(quiet("2026-04-28"), (Urgency::Quiet, "1a 2a".to_owned(), 2));
    // Pricking out was to be by 24 March, and six weeks are 5 May: what stands is still to be moved, and never to be cleared.
    let late = |on| work(&season, on).into_iter().find(|row| row.what == Task::PrickOut);
    assert!(late("2026-05-05").is_some_and(|row| !row.is_doubted()));
    let row = late("2026-05-06").unwrap();
    assert!(row.is_doubted() && row.reason.ends_with("count what lives, else log it lost"), "{}", row.reason);
    assert_eq!(quiet("2026-05-06"), (Urgency::Quiet, "1a 2a".to_owned(), 2));
    // Half a year after the count it is asked, and is no work.
    assert!(late("2026-09-06").is_some());
    assert_eq!(late("2026-09-07"), None);
    let asked = work(&season, "2026-09-07");
    let asked: Vec<_> = asked.iter().filter(|row| row.parts.iter().any(|at| at.label.to_string() == "3a")).collect();
    assert_eq!(asked.iter().map(|row| (row.what, row.urgency)).collect::<Vec<_>>(), [(Task::Count, Urgency::Quiet)]);
    season.clears("2026-05-06", "1a", Rest::Keep);
    season.clears("2026-05-06", "2a", Rest::Keep);
    season.clears("2026-05-06", "3a", Rest::Discard);
    assert_eq!(lines(&today(&season, "2026-05-06")), []);
}

#[test]
fn what_all_plants_have_left_is_asked_about_at_once_with_the_room_it_takes() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    season.sows("2026-03-01", 1, "tomato", 40, on(sill, tray()));
    season.counts("2026-03-10", "1a", 38);
    season.moves_on("2026-03-20", "1a", 20, on(sill, pots(20, 90)));
    let asked = |season: &Season, on: &str| {
        let rows = today(season, on);
        rows.into_iter().find(|row| row.what == Task::ClearForgotten).map(|row| row.reason)
    };
    assert_eq!(asked(&season, "2026-03-20"), None, "18 are left in it");
    let part = season.part("1a");
    season.does("2026-03-21", &Act::Lose { part, plants: 18, cause: Cause::Mice, remark: None });
    // 380 x 240 mm.
    let one = "1 empty container still takes 0.09 m2: clear it".to_owned();
    assert_eq!(asked(&season, "2026-03-21"), Some(one));
    // Set out too; twenty squares of 90 mm.
    let (part, bed) = (season.part("1b"), None);
    season.does("2026-03-22", &Act::PlantOut { part, plants: 20, bed, recount: Recount::No });
    let two = "2 empty containers still take 0.25 m2: clear them".to_owned();
    assert_eq!(asked(&season, "2026-03-22"), Some(two));
    season.clears("2026-03-22", "1a", Rest::Keep);
    season.clears("2026-03-22", "1b", Rest::Keep);
    assert_eq!(asked(&season, "2026-03-22"), None);
}

/// Six cabbages of forty that nobody pricks out are no late work, day after day: they are left over.
#[test]
fn what_pricking_out_left_over_is_asked_about_quietly() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    season.sows("2026-02-20", 1, "tomato", 80, on(sill, tray()));
    season.counts("2026-03-01", "1a", 40); // best 13th, latest 15th
    let told = |season: &Season, on: &str| {
        let rows = today(season, on);
        let found = |what: Task| rows.iter().find(|row| row.what == what);
        (found(Task::PrickOut).map(|row| row.urgency), found(Task::ClearForgotten).map(|row| row.reason.clone()))
    };
    season.moves_on("2026-03-14", "1a", 20, on(sill, pots(20, 70)));
    assert_eq!(told(&season, "2026-03-17"), (Some(Urgency::Late), None), "half is still to do");
    season.moves_on("2026-03-17", "1a", 14, on(sill, pots(14, 70)));
    assert_eq!(told(&season, "2026-03-19"), (Some(Urgency::Late), None), "two days ago: the rest may follow");
    let spare = "6 left over after pricking out: discard, or prick out too".to_owned();
    assert_eq!(told(&season, "2026-03-20"), (None, Some(spare)));
}

#[test]
fn after_days_away_the_pile_is_one_line() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let heat = season.bench("heat", PlaceKind::Propagator, (1000, 500), None);
    for number in 1..=6 {
        season.sows("2026-02-20", number, "tomato", 40, on(sill, tray()));
        season.counts("2026-03-01", &format!("{number}a"), 40); // latest 15 March
    }
    season.sows("2026-03-10", 7, "lettuce", 40, on(heat, tray()));
    season.counts("2026-03-14", "7a", 40);
    // The last note is of the 14th: on the 17th it is three days ago, on the 18th four.
    assert_eq!(today(&season, "2026-03-17").len(), 7);
    let rows = today(&season, "2026-03-18");
    assert_eq!(lines(&rows), [(Task::TakeOffHeat, Some(7), 4), (Task::CatchUp { late: 6 }, None, 3)]);
    assert_eq!(rows[1].parts.len(), 6);
    assert_eq!(
        due_in_full(&season.state(), &trade(), &foreseen(&season.state(), day("2026-03-18")), day("2026-03-18")).len(),
        7
    );
    // A note on the day, and the pile is read out again.
    let topic = Topic::Batch(season.batch(1));
    season.does("2026-03-18", &Act::Note { topic, remark: Remark::new("home again").unwrap() });
    assert_eq!(today(&season, "2026-03-18").len(), 7);
    // Five late things are no pile.
    season.clears("2026-03-18", "1a", Rest::Discard);
    assert!(today(&season, "2026-03-22").iter().all(|row| !matches!(row.what, Task::CatchUp { .. })));
}
