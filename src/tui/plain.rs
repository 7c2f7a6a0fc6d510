//! Each page as text, from the top to the bottom, for screen readers and scripts: whole, one fact a line, no signs.
//!
//! It says what the drawn page says, from the same model and in the same words; a test walks both.

use crate::advice::{Band, BenchPlan, Curve, LearntLift, NightWord, NightsAhead, PlaceTonight, Shape, Urgency};
use crate::desk::HistoryRow;
use crate::quantity::Celsius;

use super::actions::as_lines;
use super::glyphs::{Characters, Glyphs};
use super::keys::Keys;
use super::model::{Model, Page};
use super::rows::Section;
use super::view::{batch, benches, cells, foot, kind_of_day, morning, round, start, tonight, words};

/// A page in lines.
#[must_use]
pub fn plain(model: &Model) -> Vec<String> {
    let mut lines = vec![day(model)];
    match model.page() {
        Page::Morning => {
            lines.extend(model.board.to_settle());
            lines.extend(if model.board.is_bare() { first_season(model) } else { of_morning(model) });
        }
        Page::Batch(_) => lines.extend(of_batch(model)),
        Page::Tonight => lines.extend(of_evening(model)),
        Page::Benches | Page::Plan => lines.extend(of_benches(model)),
        Page::InHand => lines.extend(rows_of(model, "In hand", Section::Kinds)),
        Page::Place(_) => lines.extend(of_place(model)),
        Page::Round(_) => lines.extend(of_round(model)),
        Page::Rounded(_) => lines.extend(rows_of(model, "Logged", Section::Logged)),
        Page::Cells(_) => lines.extend(of_cells(model)),
        Page::Journal => {
            lines.push(heading("Every act, newest first", model.acts_shown().len()));
            lines.extend(model.acts_shown().into_iter().map(|row| act(model, row)));
        }
    }
    lines
}

/// Every key and what it does, in lines.
#[must_use]
pub fn keys(in_force: &Keys) -> Vec<String> {
    std::iter::once("Every key".to_owned()).chain(as_lines(in_force)).collect()
}

fn day(model: &Model) -> String {
    let day = model.board.on.format("%A %-d %B %Y");
    let kind = kind_of_day(model);
    let kind = if kind.is_empty() { kind } else { format!(". {}", sentence(&kind)) };
    format!("{}, {day}{kind}", page_name(model))
}

fn page_name(model: &Model) -> String {
    sentence(super::view::page_name(model.page()))
}

/// The text with a capital letter.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn heading(name: &str, count: usize) -> String {
    format!("{name}: {count}")
}

/// Joins what there is to say; what is empty is left out.
fn said(pieces: impl IntoIterator<Item = String>) -> String {
    pieces.into_iter().filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(", ")
}

fn first_season(model: &Model) -> Vec<String> {
    let mut lines = vec![start::heading(model).to_owned()];
    for (number, step) in start::steps(model).into_iter().enumerate() {
        let done = if step.done { "done: " } else { "" };
        lines.push(format!("{}. {done}{} Keys: {}.", number + 1, step.words, step.keys));
        lines.extend(Some(step.so_far).filter(|so_far| !so_far.is_empty()));
    }
    lines.push(start::more(model));
    lines
}

fn of_morning(model: &Model) -> Vec<String> {
    let mut lines = vec![tonight::in_short(model)];
    lines.extend(model.board.cold.places.iter().map(|row| place(model, row)));
    lines.push(heading("Today", model.len(Section::Today)));
    for (index, due) in model.due().iter().enumerate() {
        let urgency = match due.urgency {
            Urgency::Now => "now: ",
            Urgency::Late => "late: ",
            Urgency::Today => "",
            Urgency::Wait => "wait: ",
            Urgency::Quiet => "when there is time: ",
        };
        // Of several batches together the row itself is all there is.
        let about = due.batch.and_then(|_| foot::row(model, Section::Today, index));
        let about = about.unwrap_or_else(|| words::reason(due, model.board.on));
        lines.push(format!("{urgency}{}: {}", words::task(due.what), said([about, words::late(due)])));
    }
    if model.due().is_empty() {
        lines.push(morning::nothing_due(model));
    }
    lines.push(heading("Coming up", model.len(Section::ComingUp)));
    for (index, row) in model.coming_up().into_iter().enumerate() {
        let about = foot::row(model, Section::ComingUp, index).unwrap_or_default();
        lines.push(format!("{}: {about}", words::outlook(row.verdict())));
    }
    lines.push(heading("Moving on", model.len(Section::MovingOn)));
    for (index, row) in model.board.ready.iter().enumerate() {
        let about = foot::row(model, Section::MovingOn, index).unwrap_or_default();
        let into = if row.next.is_none() { words::final_place(row).to_owned() } else { String::new() };
        lines.push(format!("{}: {}", words::ready(row.readiness), said([about, into])));
    }
    lines.push("Room".to_owned());
    lines.extend(morning::room_lines(model, true, false).into_iter().map(|(place, room)| format!("{place}: {room}")));
    lines
}

/// Every row of a section in full.
fn rows_of(model: &Model, name: &str, section: Section) -> Vec<String> {
    let rows = (0..model.len(section)).filter_map(|index| foot::row(model, section, index));
    std::iter::once(heading(name, model.len(section))).chain(rows).collect()
}

/// A round, stop by stop, each as it is shown when it is come to.
fn of_round(model: &Model) -> Vec<String> {
    let Some(round) = model.round() else { return Vec::new() };
    let glyphs = Glyphs::of(Characters::Ascii);
    let mut lines = vec![heading("Stops", round.stops.len()), sentence(&round.progress(&model.board.state))];
    for (number, id) in round.stops.iter().enumerate() {
        lines.push(format!("Stop {} of {}", number + 1, round.stops.len()));
        lines.extend(round::in_words(model, round, *id, &glyphs));
    }
    lines
}

fn of_place(model: &Model) -> Vec<String> {
    let Some(view) = &model.place else { return Vec::new() };
    let day = |day| words::day(day, model.board.on);
    let degrees =
        |degrees: Option<Celsius>| degrees.map_or_else(|| "not known".to_owned(), |degrees| degrees.to_string());
    let mut lines = vec![format!("{}, {}", view.name, view.kind)];
    let tonight = model.board.cold.places.iter().find(|row| row.place == view.place);
    lines.extend(tonight.map(|row| format!("tonight: {}", tonight::verdict_said(row))));
    lines.push(heading("Nights ahead", view.nights.len()));
    lines.extend(view.nights.iter().map(|night| {
        let high = night.high.map_or_else(String::new, |high| format!(", high {high}"));
        format!("to {}: low {}, 1 night in 10 under {}{high}", day(night.morning), night.low, night.low_cold)
    }));
    lines.push(heading("Days past", view.days.len()));
    lines.extend(view.days.iter().map(|past| {
        let known = match (past.known, past.low.or(past.high)) {
            (_, None) => return format!("{}: not known", day(past.day)),
            (known, _) => known.words(),
        };
        format!("{}: low {}, high {}, {known}", day(past.day), degrees(past.low), degrees(past.high))
    }));
    lines.push(heading("Learnt", view.lifts.len()));
    lines.extend(view.lifts.iter().map(LearntLift::words));
    lines.extend(rows_of(model, "Stands there", Section::Here));
    lines
}

fn of_batch(model: &Model) -> Vec<String> {
    let Some((view, acts)) = &model.batch else { return vec![batch::NOTHING_KNOWN.to_owned()] };
    let mut lines = vec![batch::title(view).replace("  ", " ")];
    if !view.live {
        lines.push("all cleared".to_owned());
    }
    lines.extend(batch::facts(model, view));
    lines.push(heading("Parts", view.parts.len()));
    for (index, row) in view.parts.iter().enumerate() {
        let about = foot::row(model, Section::Parts, index).unwrap_or_default();
        lines.push(said([about, batch::stands(model, row)]));
    }
    lines.extend(course(model, batch::counted(view)));
    lines.push(heading("Done", acts.len()));
    lines.extend(acts.iter().map(|row| act(model, row)));
    lines
}

/// What was counted, and what its kind should show, day by day.
fn course(model: &Model, counted: Vec<(crate::quantity::Date, u32)>) -> Vec<String> {
    let on = model.board.on;
    let mut lines = Vec::new();
    if let Some(Curve { sown, sown_on, expected, counts, .. }) = &model.curve {
        lines.push(format!("Coming up: {} up of {sown} sown", counts.last().map_or(0, |(_, up)| *up)));
        lines.extend(counted.iter().map(|(day, up)| {
            let age = day.signed_duration_since(*sown_on).num_days();
            format!("counted {}, day {age}: {up}", words::day(*day, on))
        }));
        // Days of which the same is expected are one line.
        let same = |one: &Band, next: &Band| (one.median, one.low, one.high) == (next.median, next.low, next.high);
        lines.extend(expected.chunk_by(same).filter_map(|days| {
            let (first, last) = (days.first()?, days.last()?);
            let day = words::day(first.on, on);
            let days = if first == last { day } else { format!("{day} to {}", words::day(last.on, on)) };
            let Band { low, median, high, .. } = *first;
            let between = if low == high { String::new() } else { format!("; 8 times in 10 from {low} to {high}") };
            Some(format!("expected by {days}: {median}{between}"))
        }));
    }
    lines
}

/// A tray, what is the same told together: `up: cells 1 to 12, 14`.
fn of_cells(model: &Model) -> Vec<String> {
    let Some(tray) = &model.tray else { return Vec::new() };
    let all = usize::MAX;
    let mut lines =
        vec![cells::title(model, tray, all).replace("  ", ", "), cells::sum(tray, all), cells::so_far(model, tray)];
    let mut told: Vec<(&str, Vec<(usize, usize)>)> = Vec::new();
    for index in 0..tray.len() {
        let Some(cell) = tray.shows(index) else { continue };
        let (word, number) = (cells::word(cell, cells::filled(model, tray)), index + 1);
        match told.iter_mut().find(|(other, _)| *other == word) {
            Some((_, runs)) => match runs.last_mut().filter(|(_, end)| end + 1 == number) {
                Some((_, end)) => *end = number,
                None => runs.push((number, number)),
            },
            None => told.push((word, vec![(number, number)])),
        }
    }
    lines.extend(told.into_iter().map(|(word, runs)| {
        let run = |(first, last): (usize, usize)| {
            if first == last { first.to_string() } else { format!("{first} to {last}") }
        };
        format!("{word}: cells {}", runs.into_iter().map(run).collect::<Vec<_>>().join(", "))
    }));
    lines.retain(|line| !line.is_empty());
    lines
}

fn act(model: &Model, row: &HistoryRow) -> String {
    let undone = if row.undone { "(undone) " } else { "" };
    format!("{}: {undone}{} ({} {})", words::day(row.on, model.board.on), row.said.join("; "), row.verb, row.short)
}

fn place(model: &Model, row: &PlaceTonight) -> String {
    let verdict = tonight::verdict_said(row);
    let leaf = row.leaf_low.map_or_else(String::new, |low| format!("; leaf {low}"));
    format!("{}: {verdict}; {}{leaf}", row.name, tonight::low_and_tenderest(model, row, tonight::Room::Ample))
}

/// All of the evening.
pub(super) fn of_evening(model: &Model) -> Vec<String> {
    let mut lines: Vec<String> = model.board.cold.places.iter().map(|row| place(model, row)).collect();
    let evening = model.evening();
    lines.push(heading("Before dusk", evening.len()));
    for row in &evening {
        let on = model.board.on;
        let labels: Vec<String> = row.parts.iter().map(|part| words::part(part.label, on)).collect();
        let plant = row.place.map_or_else(|| words::plant(row.crop, row.variety), ToString::to_string);
        let named = labels.into_iter().chain([plant]).collect::<Vec<_>>().join(" ");
        let about = format!("{named}: {}", words::plain_days(row.reason, on));
        let doing = row.doing.map_or_else(String::new, |doing| format!("so: {doing}"));
        let risk = row.risk.map_or_else(String::new, |risk| {
            let odds = crate::advice::odds(risk.chance);
            format!("odds {odds}, leaves {:.1}, floor {:.1}", risk.leaf_low.0, risk.floor.0)
        });
        lines.push(format!("{}: {}", tonight::heading_word(row.heading), said([about, risk, doing])));
    }
    if evening.is_empty() {
        lines.push(tonight::nothing_to_do(model));
    }
    let dates: Vec<String> = tonight::dates_ahead(model).collect();
    lines.push(format!("Nights ahead, to {}: lows in C", dates.join(" ")));
    lines.extend(model.board.cold.nights.iter().map(|row| nights(model, row)));
    lines.extend(tonight::notes(model));
    lines
}

fn nights(model: &Model, row: &NightsAhead) -> String {
    let on = model.board.on;
    let lows = (1..).zip(&row.nights).filter_map(|(ahead, night)| {
        let (night, day) = ((*night)?, words::day(on.checked_add_days(chrono::Days::new(ahead))?, on));
        let too_cold = match night.word {
            NightWord::Fine => "",
            NightWord::Perhaps => ", perhaps too cold",
            NightWord::TooCold => ", too cold",
        };
        Some(format!("{day} {}{too_cold}", words::degrees(night.low)))
    });
    let head = format!("{} {} in {}", words::of_night(row, on), row.crop, row.place);
    let unknown = if row.nights.iter().any(Option::is_none) { "; the rest not known" } else { "" };
    format!("{head}: {}{unknown}", lows.collect::<Vec<_>>().join("; "))
}

fn of_benches(model: &Model) -> Vec<String> {
    let mut lines = Vec::new();
    let mut index = 0;
    // The page that draws one bench large is about that bench alone.
    let only = if model.page() == Page::Plan { model.plan().map(|plan| plan.bench) } else { None };
    for bench in &model.board.space.benches {
        if only.is_some_and(|only| only != bench.bench) {
            index += bench.standing.len().max(1);
            continue;
        }
        lines.push(format!("{}/{}: {}", bench.place_name, bench.name, benches::room(model, bench).replace("  ", ", ")));
        for row in &bench.standing {
            let labels: Vec<String> = row.parts.iter().map(|label| words::part(*label, model.board.on)).collect();
            let about = foot::row(model, Section::Standing, index).unwrap_or_default();
            lines.push(said([labels.join(" "), benches::vessel(row), about]));
            index += 1;
        }
        if bench.standing.is_empty() {
            // A bare bench is a row of the page too.
            lines.push("bare".to_owned());
            index += 1;
        }
        let plan = model.plans.iter().find(|plan| plan.bench == bench.bench);
        lines.extend(plan.into_iter().flat_map(to_scale));
    }
    lines
}

/// The plan of a bench in words: where each thing stands, measured from the back left.
fn to_scale(plan: &BenchPlan) -> Vec<String> {
    let sides = super::view::plan::sides(plan.high);
    let mut lines = vec![format!(
        "{}/{} to scale, from the left and from the back; {}; {}",
        plan.place_name, plan.name, sides.0, sides.1
    )];
    lines.extend(plan.shapes.iter().map(shape));
    lines.extend(plan.crowded.iter().map(|label| format!("{label}: no spot is left for it")));
    lines.extend(plan.unmeasured.iter().map(|(label, vessel)| format!("{label}: {vessel} was never measured")));
    lines
}

fn shape(shape: &Shape) -> String {
    use crate::advice::Amiss;
    let amiss = match shape.amiss {
        Some(Amiss::Off) => "off the bench",
        Some(Amiss::Overlaps) => "in another",
        Some(Amiss::TooTall) => "too tall there within a week",
        Some(Amiss::TooTallAnywhere) => "too tall for this bench within a week",
        None => "",
    };
    let marks = [(shape.turned, "turned"), (shape.pinned, "pinned"), (!shape.noted, "a spot that would do")];
    let marks = marks.into_iter().filter(|(is, _)| *is).map(|(_, mark)| mark.to_owned());
    let at = format!("{} at {},{} mm", shape.label, shape.x.0, shape.y.0);
    let size = format!("{} x {}", shape.along.0, shape.across);
    said([at, size].into_iter().chain(marks).chain([amiss.to_owned()]))
}
