//! Reports, in aligned text or JSON.

mod batch;
mod climate;
mod cold;
mod compare;
mod lists;
mod room;
mod space;
mod why;

use std::process::ExitCode;

use chrono::Datelike as _;
use serde_json::{Value, json};

use crate::advice::{self, Due, Germination, PartAt, Ready, Step, Task, Urgency, Verdict};
use crate::desk::{self, Desk, DeskError, HistoryRow};
use crate::grammar::Report;
use crate::journal::State;
use crate::quantity::{BatchLabel, Date};

use super::answer::Printer;
use super::rows;
use super::table::{LINE, Table, figures, text, words};
use crate::tui::text::wrap;

const USUAL_HISTORY: u32 = 20;

/// A report that is ready to print, in both forms.
pub(super) struct Answered {
    name: &'static str,
    rows: Vec<Value>,
    /// The answer in a line, above all rows; among the notices of the JSON the first.
    verdict: Option<String>,
    lines: Vec<String>,
    notices: Vec<String>,
}

impl Answered {
    const fn new(name: &'static str, rows: Vec<Value>, lines: Vec<String>) -> Self {
        Self { name, rows, verdict: None, lines, notices: Vec::new() }
    }

    fn with_verdict(self, verdict: String) -> Self {
        Self { verdict: Some(verdict), ..self }
    }

    fn with_notice(mut self, notice: impl Into<String>) -> Self {
        self.notices.push(notice.into());
        self
    }

    /// Rows in a table, or a line that says there are none.
    fn table(name: &'static str, rows: Vec<Value>, table: &Table, none: &str) -> Self {
        Self::new(name, rows, if table.is_empty() { vec![none.to_owned()] } else { table.lines() })
    }
}

/// Makes and prints a report.
pub(super) fn report(desk: &Desk, report: &Report, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let mut answered = match report {
        Report::Due => due(desk, on)?,
        Report::Germination { plot: None } => germination(desk, on)?,
        Report::Germination { plot: Some(to) } => {
            let drawn = desk.plot_germination(to, on)?;
            let sowings = if drawn == 1 { "sowing" } else { "sowings" };
            germination(desk, on)?.with_notice(format!("{} shows {drawn} {sowings}", to.display()))
        }
        Report::Batch(batch) => batch::batch(desk, *batch, on)?,
        Report::Benches => space::benches(desk, on)?,
        Report::Fits(words) => space::fits(desk, words, on)?,
        Report::Cold => cold::cold(desk, on)?,
        Report::Climate(place) => climate::climate(desk, place.as_ref(), on)?,
        Report::Repack(bench) => room::repack(desk, bench, on)?,
        Report::InHand => room::in_hand(desk, on)?,
        Report::Containers(word) => lists::containers(desk, word.as_ref(), on)?,
        Report::Crops(word) => lists::crops(desk, word.as_ref()),
        Report::Places => lists::places(desk, on)?,
        Report::Cautions => lists::cautions(desk.trade()),
        Report::Compare { crop, by } => compare::compare(desk, crop, *by, on)?,
        Report::Why(words) => why::why(desk, words, on)?,
        Report::History { limit, batch } => history("history", &desk.history(limit.unwrap_or(USUAL_HISTORY), *batch)?),
    };
    if let Some(line) = desk.clock_doubt(on)? {
        answered = answered.with_notice(line);
    }
    if *report == Report::Due {
        for line in desk.to_settle(on)? {
            answered = answered.with_notice(line);
        }
    }
    if desk.is_demonstration()? {
        answered = answered.with_notice("this journal is the demonstration: an invented season");
    }
    if printer.is_json() {
        let notices: Vec<String> = answered.verdict.into_iter().chain(answered.notices).collect();
        printer.report(answered.name, on, &answered.rows, &notices);
    } else {
        printer.lines(&Vec::from_iter(answered.verdict));
        printer.lines(&answered.lines);
        for notice in &answered.notices {
            printer.text(&format!("note: {notice}"));
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn due(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let mut table = Table::new(&[
        words(""),
        words("do"),
        text("part"),
        text("crop"),
        figures("plants"),
        words("by"),
        text("into"),
        text("at"),
    ]);
    let (mut json, mut asides) = (Vec::new(), Vec::new());
    for row in advice::due(&state, desk.trade(), &desk.outlooks(&state, on)?, desk::moment(on)) {
        let moving = window_of(&state, desk, &row, on);
        json.push(rows::due(&row, moving.as_ref()));
        let plants = row.parts.iter().map(|part| part.standing).fold(0, u32::saturating_add);
        let place = match row.what {
            Task::CoolDown(place)
            | Task::LookOver(place)
            | Task::OpenUp(place)
            | Task::Cover(place)
            | Task::Uncover(place)
            | Task::PutOut(place)
            | Task::MoveOut(place) => state.places.get(&place),
            _ => None,
        };
        let place = place.map(|place| place.name.to_string());
        table.row([
            rows::urgency(row.urgency).to_owned(),
            rows::task(row.what).to_owned(),
            labels(&row.parts),
            row.crop.as_ref().map(ToString::to_string).unwrap_or_default(),
            if plants == 0 && place.is_some() { String::new() } else { plants.to_string() },
            moving.as_ref().map(|ready| ready.window.latest).or(row.due).map(day).unwrap_or_default(),
            rows::next_container(moving.as_ref()).unwrap_or_default(),
            place.unwrap_or_else(|| places(&row.parts)),
        ]);
        // What speaks of no one batch, and what seed it takes, is told in words.
        match row.batch {
            // With the words that do it, where they are not in the line.
            None => asides.push(match row.doing.filter(|words| !row.reason.contains(words.as_str())) {
                Some(words) => format!("{}  > {words}", row.reason),
                None => row.reason,
            }),
            Some((_, label)) if is_told(&row) => {
                // Called as in its row.
                let called = if row.parts.is_empty() { short(label, on) } else { labels(&row.parts) };
                asides.push(format!("{} {called}: {}", rows::task(row.what), row.reason));
            }
            Some(_) => {}
        }
    }
    let now = desk::moment(on);
    let before_dusk: Vec<String> = tonight(&advice::cold(&state, desk.trade(), now), now.is_late()).collect();
    let none = if before_dusk.is_empty() { "nothing is due" } else { "nothing is due by day" };
    asides.extend(before_dusk);
    asides.extend(
        advice::without_spot(&state, desk.trade(), on)
            .into_iter()
            .map(|(bench, who)| format!("no spot on {bench} for {}: `plan {bench}` shows it", who.join(", "))),
    );
    asides.extend(advice::set_amiss(&state, desk.trade(), on).into_iter().map(|(bench, who)| {
        let stand = if who.len() == 1 { "stands" } else { "stand" };
        format!("by the log {} {stand} in another or off {bench}: `plan {bench}` shows it", who.join(", "))
    }));
    let answered = Answered::table("due", json, &table, none);
    Ok(asides.into_iter().fold(answered, Answered::with_notice))
}

/// Whether a line needs words beside it: what seed it takes, where to, until when, or what is asked. Where seed stands still and
/// is left to, they were told for a week.
fn is_told(row: &Due) -> bool {
    match row.what {
        Task::TakeOffHeat | Task::SowAgain | Task::Slow | Task::ClearForgotten => true,
        Task::ToWarmth | Task::ToCool => row.urgency != Urgency::Quiet,
        Task::Count => row.urgency == Urgency::Quiet,
        _ => row.waits_for().is_some() || row.is_doubted(),
    }
}

/// What the night asks for, in a line, and in one for each bed to be fleeced, or covered and still too cold; nothing when nothing
/// has to be done. In the evening what is covered is a row of the table.
fn tonight(cold: &advice::Cold, is_late: bool) -> impl Iterator<Item = String> {
    let many = |wanted: advice::DuskMove| cold.dusk.iter().filter(|dusk| dusk.what == wanted).count();
    let (bring_in, cover) = (many(advice::DuskMove::BringIn), many(advice::DuskMove::Cover));
    let some =
        [("bring in", bring_in), ("cover", if is_late { 0 } else { cover })].into_iter().filter(|(_, many)| *many > 0);
    let some: Vec<String> = some.map(|(what, many)| format!("{what} {many}")).collect();
    let moving = (!some.is_empty()).then(|| format!("before dusk: {}; `cold` names them", some.join(", ")));
    let fleece = cold.planted.iter().filter(move |bed| !is_late || bed.is_covered || bed.doing.is_none());
    let fleece = fleece.map(advice::PlantedOut::sentence);
    moving.into_iter().chain(fleece)
}

/// A day without its year: `5 apr`.
fn day(on: Date) -> String {
    on.format("%-d %b").to_string().to_lowercase()
}

/// The move that a task is about: of its parts' next moves the one with the earliest last day.
fn window_of(state: &State, desk: &Desk, row: &Due, on: Date) -> Option<Ready> {
    let wanted = match row.what {
        Task::PrickOut => Step::PrickOut,
        Task::PotOn => Step::PotOn,
        Task::PlantOut => Step::PlantOut,
        Task::CoolDown(_)
        | Task::LookOver(_)
        | Task::OpenUp(_)
        | Task::Cover(_)
        | Task::Uncover(_)
        | Task::PutOut(_)
        | Task::MoveOut(_)
        | Task::OutOfCold(_)
        | Task::TakeOffHeat
        | Task::CatchUp { .. }
        | Task::ToWarmth
        | Task::ToCool
        | Task::SowAgain
        | Task::Count
        | Task::Slow
        | Task::ClearForgotten => return None,
    };
    let moves = row.parts.iter().filter_map(|part| advice::ready_of(state, desk.trade(), part.id, on));
    moves.filter(|ready| ready.step == wanted).min_by_key(|ready| (ready.window.latest, ready.part.label))
}

fn germination(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let mut table = Table::new(&[
        words("batch"),
        text("crop and variety"),
        figures("day"),
        figures("up of"),
        figures("rate"),
        figures("by now"),
        words("in the end"),
        words("verdict"),
    ]);
    let found = advice::germination(&state, &desk.outlooks(&state, on)?, on);
    for row in &found {
        let variety = row.variety.as_ref().map(|variety| format!(" {variety}")).unwrap_or_default();
        let outlook = row.outlook.as_ref();
        let moves = outlook.filter(|outlook| !matches!(outlook.verdict, Verdict::Held(_)));
        let now = moves.and_then(|outlook| outlook.expected_by_now()).map(|up| up.to_string());
        let likely = outlook.filter(|it| it.chance_of_more.is_some()).and_then(|outlook| outlook.expected_final);
        table.row([
            short(row.label, on),
            format!("{}{variety}", row.crop),
            row.days.to_string(),
            if row.is_counted() { format!("{}/{}", row.seedlings(), row.sown) } else { format!("-/{}", row.sown) },
            row.rate.map_or_else(|| "-".to_owned(), |rate| rate.rate.to_string()),
            now.unwrap_or_default(),
            likely
                .map(|(low, high)| if low == high { low.to_string() } else { format!("{low}-{high}") })
                .unwrap_or_default(),
            row.verdict().to_string(),
        ]);
    }
    let json = found.iter().map(rows::germination).collect();
    let mut answered = Answered::table("germination", json, &table, "nothing is sown");
    if !found.is_empty() {
        let legend = "by now: how many good seed should show, by what was known before any count; in the end: between which and \
             which, eight times in ten, by all that is known; - not counted yet";
        answered.lines.extend(wrap(legend, LINE));
    }
    answered.lines.extend(to_do(&found, on));
    Ok(answered)
}

/// What to do about each word, the batches that want the same in one line; nothing about those that want nothing.
fn to_do(found: &[Germination], on: Date) -> Vec<String> {
    let mut wanted: Vec<(String, Vec<String>)> = Vec::new();
    for row in found {
        let Some(outlook) = row.outlook.as_ref().filter(|it| !matches!(it.verdict, Verdict::Over)) else { continue };
        let label = short(row.label, on);
        match wanted.iter_mut().find(|(other, _)| *other == outlook.action) {
            Some((_, labels)) => labels.push(label),
            None => wanted.push((outlook.action.clone(), vec![label])),
        }
    }
    let mut lines = Vec::new();
    for (said, labels) in wanted {
        for (at, line) in wrap(&format!("{} {said}", labels.join(" ")), LINE - 2).into_iter().enumerate() {
            lines.push(if at == 0 { line } else { format!("  {line}") });
        }
    }
    if lines.is_empty() { lines } else { [vec![String::new()], lines].concat() }
}

/// A batch's number as it is typed: this year's without the year.
fn short(label: BatchLabel, on: Date) -> String {
    if label.year == on.year() { label.short() } else { label.to_string() }
}

fn history(name: &'static str, found: &[HistoryRow]) -> Answered {
    let mut table = Table::new(&[words("act"), words("on"), words("verb"), text("what")]);
    for row in found {
        let undone = if row.undone { "(undone) " } else { "" };
        let said = format!("{undone}{}", row.said.join("; "));
        table.row([row.short.clone(), row.on.to_string(), row.verb.clone(), said]);
    }
    Answered::table(name, found.iter().map(|row| json!(row)).collect(), &table, "nothing has been done yet")
}

/// Parts by their labels: `14a 14b`; of many the first and how many more.
fn labels(parts: &[PartAt]) -> String {
    listed(parts.iter().map(|part| part.label.to_string()).collect())
}

/// Where parts are, each place once.
fn places(parts: &[PartAt]) -> String {
    let mut all: Vec<String> = Vec::new();
    for part in parts {
        let at = part.out.as_ref().map_or_else(|| part.at.clone(), |out| format!("{out} (out)"));
        if !all.contains(&at) {
            all.push(at);
        }
    }
    listed(all)
}

fn listed(all: Vec<String>) -> String {
    const SHOWN: usize = 3;
    if all.len() <= SHOWN {
        return all.join(" ");
    }
    format!("{} +{}", all[..SHOWN].join(" "), all.len() - SHOWN)
}
