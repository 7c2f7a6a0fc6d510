//! How things are put on the screen in few words: labels, days, verdicts.

use chrono::Datelike;

use crate::advice::{
    Amiss, Due, Germination, Hold, NightsAhead, PartAt, Readiness, Ready, StandingRow, Step, Task, Urgency, Verdict,
};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, Name, PartLabel};
use crate::tui::glyphs::Glyphs;
use crate::tui::model::Model;
use crate::tui::theme::Role;

/// A batch's number as on its plant label; with the year when that is another.
pub(in crate::tui) fn number(label: BatchLabel, on: Date) -> String {
    if label.year == on.year() { label.short() } else { format!("{:02}/{}", label.year.rem_euclid(100), label.short()) }
}

/// A part's number and letter, in the same way.
pub(in crate::tui) fn part(label: PartLabel, on: Date) -> String {
    format!("{}{}", number(label.batch, on), label.letter)
}

/// Whose nights they are: the batch's, or of a batch that is not hardened alike the part's.
pub(in crate::tui) fn of_night(row: &NightsAhead, on: Date) -> String {
    row.part.map_or_else(|| number(row.label, on), |label| part(label, on))
}

/// The label of what a line of work is about: one part, or the batch.
pub(in crate::tui) fn whose(batch: Option<BatchLabel>, parts: &[PartAt], on: Date) -> String {
    match (parts, batch) {
        ([only], _) => part(only.label, on),
        (_, Some(batch)) => number(batch, on),
        _ => String::new(),
    }
}

/// A crop and its variety.
pub(in crate::tui) fn plant(crop: Option<&CropName>, variety: Option<&Name>) -> String {
    let words: Vec<&str> = crop.map(CropName::as_str).into_iter().chain(variety.map(Name::as_str)).collect();
    words.join(" ")
}

/// A day without its year when it is this one's, or nearer than the same day of another.
pub(in crate::tui) fn day(day: Date, on: Date) -> String {
    const HALF_A_YEAR: i64 = 182;
    let near = day.year() == on.year() || (day - on).num_days().abs() <= HALF_A_YEAR;
    let form = if near { "%-d %b" } else { "%-d %b %y" };
    day.format(form).to_string()
}

/// Where the parts stand, each place once.
pub(in crate::tui) fn places(parts: &[PartAt]) -> String {
    let mut found: Vec<String> = Vec::new();
    for part in parts {
        let at = part.out.as_ref().map_or_else(|| part.at.clone(), |out| format!("{} (out in {out})", part.at));
        if !found.contains(&at) {
            found.push(at);
        }
    }
    found.join(", ")
}

/// The sign before a line of work, and how it looks.
pub(in crate::tui) fn urgency(due: &Due, glyphs: &Glyphs) -> (&'static str, Role) {
    match due.urgency {
        Urgency::Now => (glyphs.alarm, Role::Alarm),
        Urgency::Late => (glyphs.watch, Role::Watch),
        Urgency::Today => (" ", Role::Text),
        Urgency::Wait => (" ", Role::Quiet),
        Urgency::Quiet => ("?", Role::Quiet),
    }
}

/// What to do, in a word or two.
pub(in crate::tui) fn task(task: Task) -> String {
    match task {
        Task::CoolDown(_) => "cool down".to_owned(),
        Task::LookOver(_) => "look over".to_owned(),
        Task::OpenUp(_) => "open up".to_owned(),
        Task::Cover(_) => "cover".to_owned(),
        Task::Uncover(_) => "uncover".to_owned(),
        Task::PutOut(_) => "out today".to_owned(),
        Task::MoveOut(_) => "move out".to_owned(),
        Task::OutOfCold(_) => "from the cold".to_owned(),
        Task::TakeOffHeat => "off the heat".to_owned(),
        Task::CatchUp { late: 0 } => "catch up".to_owned(),
        Task::CatchUp { late } => format!("catch up on {late}"),
        Task::ToWarmth => "to warmth".to_owned(),
        Task::ToCool => "to the cool".to_owned(),
        Task::PrickOut => "prick out".to_owned(),
        Task::PotOn => "pot on".to_owned(),
        Task::PlantOut => "plant out".to_owned(),
        Task::SowAgain => "sow again".to_owned(),
        Task::Count => "count".to_owned(),
        Task::Slow => "slow".to_owned(),
        Task::ClearForgotten => "clear".to_owned(),
    }
}

/// A move, in a word or two.
pub(in crate::tui) const fn step(step: Step) -> &'static str {
    match step {
        Step::PrickOut => "prick out",
        Step::PotOn => "pot on",
        Step::PlantOut => "plant out",
    }
}

/// Where plants go that are planted out.
pub(in crate::tui) const fn final_place(row: &Ready) -> &'static str {
    match (row.for_spring, row.under_cover) {
        (true, _) => "in spring",
        (false, true) => "under glass",
        (false, false) => "into the plot",
    }
}

/// How near a move is, in a word.
pub(in crate::tui) const fn ready(readiness: Readiness) -> &'static str {
    match readiness {
        Readiness::NotYet => "not yet",
        Readiness::Soon => "soon",
        Readiness::Ready => "ready",
        Readiness::Overdue => "late",
    }
}

/// How near a move is: a sign and a look.
pub(in crate::tui) fn readiness(readiness: Readiness, glyphs: &Glyphs) -> (&'static str, Role) {
    match readiness {
        Readiness::NotYet => (" ", Role::Quiet),
        Readiness::Soon => (" ", Role::Text),
        Readiness::Ready => (glyphs.good, Role::Good),
        Readiness::Overdue => (glyphs.watch, Role::Watch),
    }
}

/// What can be said of a sowing, in a word.
pub(in crate::tui) const fn outlook(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Waiting => "waiting",
        Verdict::Emerging => "emerging",
        Verdict::Slow => "slow",
        Verdict::AllUp => "all up",
        Verdict::Thin => "thin",
        Verdict::Failed => "failed",
        Verdict::Held(Hold::TooCold) => "too cold",
        Verdict::Held(Hold::TooHot) => "too hot",
        Verdict::Held(Hold::Chilling) => "chilling",
        Verdict::NotCountedLately => "count it",
        Verdict::Over => "over",
    }
}

/// The same with its sign and look.
pub(in crate::tui) fn verdict(row: &Germination, glyphs: &Glyphs) -> (&'static str, &'static str, Role) {
    let (sign, role) = match row.verdict() {
        Verdict::Emerging => (glyphs.rising, Role::Good),
        Verdict::AllUp => (glyphs.good, Role::Good),
        Verdict::Failed => (glyphs.alarm, Role::Alarm),
        Verdict::Slow | Verdict::Thin | Verdict::NotCountedLately | Verdict::Held(Hold::TooCold | Hold::TooHot) => {
            (glyphs.watch, Role::Watch)
        }
        Verdict::Waiting | Verdict::Held(Hold::Chilling) => (" ", Role::Text),
        Verdict::Over => (" ", Role::Quiet),
    };
    (outlook(row.verdict()), sign, role)
}

/// Whole degrees; never a zero with a sign.
pub(in crate::tui) fn degrees(celsius: Celsius) -> String {
    format!("{:.0}", celsius.0.round() + 0.0)
}

/// Up of sown; `? of 6` until it is counted.
pub(in crate::tui) fn up_of(row: &Germination) -> String {
    if row.is_counted() { format!("{} of {}", row.seedlings(), row.sown) } else { format!("? of {}", row.sown) }
}

/// Between which numbers, or the one that is both.
pub(in crate::tui) fn between((low, high): (u32, u32)) -> String {
    match (low, high) {
        (_, 0) => "none".to_owned(),
        _ if low == high => high.to_string(),
        _ => format!("{low} to {high}"),
    }
}

/// The rate, and in plain words how far it may be out.
pub(in crate::tui) fn rate(row: &Germination, missing: &str) -> (String, String) {
    row.rate.map_or_else(
        || (missing.to_owned(), missing.to_owned()),
        |rate| {
            let whole = |share: f64| format!("{:.0}", share * 100.0);
            let likely = row.likely().map(|(low, high)| format!("{} to {} %", whole(low.0), whole(high.0)));
            (format!("{} %", whole(rate.rate.0)), likely.unwrap_or_else(|| missing.to_owned()))
        },
    )
}

/// A text of the advice with its days put as the screen puts them.
pub(in crate::tui) fn plain_days(text: &str, on: Date) -> String {
    let put = |word: &str| {
        let (date, tail) = word.split_at_checked(10)?;
        let found = Date::parse_from_str(date, "%Y-%m-%d").ok().filter(|_| tail.len() <= 1)?;
        Some(format!("{}{tail}", day(found, on)))
    };
    let line = |line: &str| {
        line.split(' ').map(|word| put(word).unwrap_or_else(|| word.to_owned())).collect::<Vec<_>>().join(" ")
    };
    text.split('\n').map(line).collect::<Vec<_>>().join("\n")
}

/// Why a line of work is due, in a few words.
pub(in crate::tui) fn reason(due: &Due, on: Date) -> String {
    Some(late(due)).filter(|late| !late.is_empty()).unwrap_or_else(|| plain_days(&due.reason, on))
}

/// How many plants have waited how long to be moved on; empty when they have not.
pub(in crate::tui) fn late(due: &Due) -> String {
    let plants: u32 = due.parts.iter().map(|part| part.standing).sum();
    match (due.what, due.overdue_days) {
        (_, 0) => String::new(),
        (Task::PrickOut | Task::PotOn | Task::PlantOut, 1) => format!("{plants} plants, 1 day late"),
        (Task::PrickOut | Task::PotOn | Task::PlantOut, days) => format!("{plants} plants, {days} days late"),
        _ => String::new(),
    }
}

/// What a part stands in.
pub(in crate::tui) fn vessel(part: &PartAt) -> String {
    if part.pots > 1 { format!("{} {}", part.pots, part.vessel) } else { part.vessel.to_string() }
}

/// What grows in a container on a bench, and what else is to be known of it.
pub(in crate::tui) fn stands(model: &Model, row: &StandingRow) -> Vec<String> {
    let state = &model.board.state;
    let mut plants: Vec<String> = Vec::new();
    for part in model.in_container(row.container).parts.iter().filter_map(|id| state.parts.get(id)) {
        let lot = state.batches.get(&part.batch).and_then(|batch| state.lots.get(&batch.lot));
        let name = plant(lot.map(|lot| &lot.crop), lot.map(|lot| &lot.variety));
        plants.push(match part.standing() {
            0 if part.is_sown() => format!("{name}, {} sown", part.sown()),
            standing => format!("{standing} {name}"),
        });
    }
    if let Some(out) = &row.out {
        plants.push(format!("out in {out}"));
    }
    if row.footprint.is_none() {
        plants.push("never measured".to_owned());
    }
    plants.extend(row.amiss.map(|amiss| {
        match amiss {
            Amiss::TooTall => "too tall there",
            Amiss::TooTallAnywhere => "too tall for its bench",
            Amiss::Off => "off its bench by the log",
            Amiss::Overlaps => "in another by the log",
        }
        .to_owned()
    }));
    plants
}
