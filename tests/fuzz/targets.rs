//! What is fed, and what must hold whatever it is fed with: an answer or one line of refusal, and no panic.

use std::path::Path;
use std::sync::LazyLock;

use thumbpot::desk::{Desk, DeskError};
use thumbpot::exchange::{Beside, DayOfReadings, Fields, days_in_csv, forecast_in};
use thumbpot::grammar::{AfterRefusal, parse, parse_line};
use thumbpot::quantity::{Celsius, Date, DeviceId, is_hidden};
use thumbpot::store::{Durability, Journal, Scope, check_file};
use thumbpot::trade::Trade;

const DEVICE: DeviceId = DeviceId(uuid::Uuid::from_u128(0x7070_7070_7070_4070_8070_7070_7070_7070));

static TRADE: LazyLock<Trade> = LazyLock::new(|| Trade::built_in().unwrap());

fn today() -> Date {
    "2024-04-20".parse().unwrap()
}

/// One line, free of what acts on a terminal, and no longer than a few of its lines.
fn is_fit_to_show(what: &impl ToString) {
    let text = what.to_string();
    assert!(!text.chars().any(is_hidden), "hidden characters in {text:?}");
    assert!(text.chars().count() < 2_000, "{} characters: {text}", text.chars().count());
}

/// What a terminal can show at all.
fn is_air(celsius: Celsius) {
    assert!(celsius.0.is_finite() && celsius.0.abs() < 1_000.0, "{celsius:?}");
}

pub(crate) fn grammar(input: &[u8]) {
    let text = String::from_utf8_lossy(input);
    for line in text.lines() {
        if let Err(error) = parse_line(line, today()) {
            is_fit_to_show(&error.message);
            is_fit_to_show(&error.hint);
        }
        let words: Vec<String> = line.split(' ').map(str::to_owned).collect();
        if let Err(error) = parse(&words, today()) {
            is_fit_to_show(&error.message);
            is_fit_to_show(&error.hint);
        }
    }
}

pub(crate) fn readings(input: &[u8]) {
    match days_in_csv(&String::from_utf8_lossy(input), &Beside::default()) {
        Ok(found) => {
            let temperatures = |day: &DayOfReadings| day.low.into_iter().chain(day.high);
            found.days.iter().flat_map(temperatures).for_each(is_air);
        }
        Err(error) => is_fit_to_show(&error),
    }
}

pub(crate) fn forecast(input: &[u8]) {
    match forecast_in(&String::from_utf8_lossy(input), &Fields::default(), &Beside::default()) {
        Ok(found) => found.days.iter().flat_map(|day| [day.low, day.high]).for_each(is_air),
        Err(error) => is_fit_to_show(&error),
    }
}

pub(crate) fn settings(input: &[u8]) {
    if let Err(error) = TRADE.clone().with_site(&String::from_utf8_lossy(input), "settings.toml") {
        is_fit_to_show(&error);
    }
}

pub(crate) fn figures(input: &[u8]) {
    if let Err(error) = TRADE.clone().with_overrides(&String::from_utf8_lossy(input), "figures.toml") {
        is_fit_to_show(&error);
    }
}

/// A journal to be altered, closed.
static JOURNAL: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    let mut desk = desk(&path).unwrap();
    desk.run(include_str!("corpus/acts/afternoon"), today(), AfterRefusal::Stop, |_, _| {}).unwrap();
    drop(desk);
    std::fs::read(&path).unwrap()
});

fn desk(path: &Path) -> Result<Desk, DeskError> {
    Desk::open_with(path, DEVICE, TRADE.clone(), Durability::Unsynced)
}

/// A patch: four bytes that say where, one that says how many bytes follow.
const PATCH: usize = 5;
pub(crate) const LONGEST_PATCHES: usize = 256;

/// The input patches a sound journal, so that no more than a little of it is wrong.
pub(crate) fn journal(input: &[u8]) {
    let folder = tempfile::tempdir().unwrap();
    let [path, new] = ["journal.db", "new.db"].map(|name| folder.path().join(name));
    let mut bytes = JOURNAL.clone();
    let mut rest = input;
    while let Some((head, tail)) = rest.split_at_checked(PATCH) {
        let at = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize % bytes.len();
        let (patch, tail) = tail.split_at(usize::from(head[4] % 16).min(tail.len()));
        patch.iter().zip(&mut bytes[at..]).for_each(|(new, old)| *old = *new);
        rest = tail;
    }
    std::fs::write(&path, &bytes).unwrap();
    match thumbpot::desk::salvage(&path, &new, DEVICE) {
        Ok(_) => {
            let findings = Journal::open(&new, DEVICE, Durability::Unsynced).unwrap().check().unwrap();
            assert!(findings.is_sound(), "{findings:?}");
        }
        Err(error) => is_fit_to_show(&without_path(&error, folder.path())),
    }
    assert!(std::fs::read(&path).unwrap() == bytes, "salvage touched the file");
    let opened = desk(&path);
    let looked = opened.and_then(|desk| {
        let findings = desk.check()?;
        findings.problems.iter().for_each(|problem| is_fit_to_show(&problem.what));
        for row in desk.history(50, None)? {
            row.said.iter().for_each(is_fit_to_show);
        }
        desk.board(today()).map(drop)
    });
    if let Err(error) = looked {
        is_fit_to_show(&without_path(&error, folder.path()));
        let _ = check_file(&path);
    }
}

fn without_path(error: &impl ToString, folder: &Path) -> String {
    error.to_string().replace(&folder.display().to_string(), "")
}

/// The lines are typed at a desk; whatever they say, the journal is sound after.
pub(crate) fn acts(input: &[u8]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("journal.db");
    std::fs::write(&path, &*JOURNAL).unwrap();
    let mut desk = desk(&path).unwrap();
    let script: String = String::from_utf8_lossy(input).lines().take(12).flat_map(|line| [line, "\n"]).collect();
    desk.run(&script, today(), AfterRefusal::GoOn, |_, answer| match answer {
        Ok(done) => done.said.iter().chain(&done.notices).for_each(is_fit_to_show),
        Err(error) => {
            is_fit_to_show(&without_path(error, folder.path()));
            is_fit_to_show(&error.hint());
        }
    })
    .unwrap();
    for row in desk.history(20, None).unwrap() {
        row.said.iter().for_each(is_fit_to_show);
    }
    desk.board(today()).unwrap();
    let journal = Journal::open(&path, DEVICE, Durability::Unsynced).unwrap();
    journal.read(|books| books.history(Scope::All)).unwrap();
    let findings = journal.check().unwrap();
    assert!(findings.is_sound() && findings.contradictions.is_empty(), "{findings:?}");
}
