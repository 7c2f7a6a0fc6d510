//! One batch: where every plant of it went, its parts, its counts as bars, what is next, and its acts.

use crate::advice::{BatchView, Outlook, PartView, Verdict, to_come};
use crate::desk::HistoryRow;
use crate::journal::Tally;
use crate::quantity::{Date, SownUnit};
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::{Align, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, clipped, first_shown};
use super::words;

/// Below so many lines down a page is short.
const SHORT: usize = 17;

/// The first sentences, which a short page says whole, and the lines that it keeps for its parts.
const SAID_WHOLE: usize = 2;
const PARTS_LEFT: usize = 3;
/// Lines kept for the acts where there is a course.
const DONE_LEFT: usize = 3;

/// What is said of a batch before it was sown.
pub(in crate::tui) const NOTHING_KNOWN: &str = "By this day nothing is known of it.";

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let Some((batch, acts)) = &model.batch else {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Quiet).add(NOTHING_KNOWN, Role::Quiet);
        canvas.line(1, strip);
        return;
    };
    let (all, down) = (canvas.width(), canvas.height());
    canvas.rule(0, &title(batch), &if batch.live { String::new() } else { "all cleared".to_owned() });
    let mut y = 1;
    // On a short page what comes last gives way to the parts and the course.
    let facts = facts(model, batch);
    // How it stands and what to do about it are said whole.
    let said = facts.iter().take(SAID_WHOLE).map(|line| wrap(line, all.saturating_sub(4)).len()).sum::<usize>();
    let most = if down < SHORT { down / 3 } else { down / 2 };
    // The course comes before what is due, which is on the morning too.
    let course = if down >= SHORT && model.curve.is_some() { super::curve::LEAST + DONE_LEFT } else { down };
    let beside = down.saturating_sub(course + batch.parts.len() + 2);
    let most = if beside > 0 { most.min(beside) } else { most };
    let most = most.max(said).min(down.saturating_sub(PARTS_LEFT));
    let facts: Vec<String> = facts.iter().flat_map(|line| wrap(line, all.saturating_sub(4))).collect();
    for line in clipped(facts, most, all.saturating_sub(4), canvas.look.glyphs.ellipsis) {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text).add(&line, Role::Text);
        canvas.line(y, strip);
        y += 1;
    }
    let fit = batch.parts.len().min(down.saturating_sub(y + 4).max(1) / 2 + 1);
    canvas.within((0, y, all, fit + 1), |canvas| parts(model, batch, fit, canvas));
    y += fit + 1;
    let bars = counted(batch);
    let reads = model.cursor().section == Section::Done;
    // There the acts come in sight when the cursor goes to them.
    let spare = if down >= SHORT { down.saturating_sub(y + 3) } else { down.saturating_sub(y) };
    let room = spare >= super::curve::LEAST && (down >= SHORT || !reads);
    if let Some(course) = model.curve.as_ref().filter(|_| room) {
        let tall = spare.min(super::curve::LEAST.max(spare * 2 / 3)).min(20);
        let tall = if down >= SHORT { tall } else { spare };
        canvas.within((0, y, all, tall), |canvas| super::curve::draw(course, canvas));
        y += tall;
    } else if !bars.is_empty() {
        let fit = bars.len().min(down.saturating_sub(y + 3) / 2);
        if fit > 0 {
            canvas.within((0, y, all, fit + 1), |canvas| curve(model, batch, &bars, fit, canvas));
            y += fit + 1;
        }
    }
    canvas.within((0, y, all, down.saturating_sub(y)), |canvas| done(model, acts, canvas));
}

/// Its number, crop and variety.
pub(in crate::tui) fn title(batch: &BatchView) -> String {
    let lot = batch.lot.as_ref();
    format!("{}  {}", batch.label, words::plant(lot.map(|lot| &lot.crop), lot.map(|lot| &lot.variety)))
}

fn done(model: &Model, acts: &[HistoryRow], canvas: &mut Canvas<'_>) {
    let (all, fit) = (canvas.width(), canvas.height().saturating_sub(1));
    let cursor = model.cursor();
    let at = if cursor.section == Section::Done { cursor.index } else { 0 };
    let first = first_shown(acts.len(), fit, at);
    let shown = if acts.len() > fit { format!("{}-{} of ", first + 1, first + fit) } else { String::new() };
    canvas.rule(0, &format!("Done  {shown}{}", acts.len()), "");
    for (y, (index, row)) in acts.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Done, index };
        let role = if row.undone { Role::Quiet } else { Role::Text };
        let mut strip = canvas.strip();
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.column(&words::day(row.on, model.board.on), 10, Align::Right, Role::Quiet).add("  ", Role::Text);
        let undone = if row.undone { "(undone) " } else { "" };
        strip.fill(&format!("{undone}{}", row.said.join("; ")), all, role);
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}

/// What there is to say of it as a whole, a sentence each.
pub(in crate::tui) fn facts(model: &Model, batch: &BatchView) -> Vec<String> {
    let on = model.board.on;
    let mut lines = Vec::new();
    let age = on.signed_duration_since(batch.begun).num_days();
    let began = if batch.germination.is_some() { "sown" } else { "received" };
    let counted = batch.germination.as_ref().is_none_or(crate::advice::Germination::is_counted);
    let unit = batch.germination.as_ref().map(|row| row.unit);
    let stands = if counted { tally(&batch.tally, unit) } else { format!("{}, not counted yet", batch.tally.sown) };
    let ago = match age {
        0 => String::new(),
        1 => ", 1 day ago".to_owned(),
        _ => format!(", {age} days ago"),
    };
    let mut first = format!("{began} {}{ago}: {stands}", words::day(batch.begun, on));
    if let Some(row) = &batch.germination
        && row.rate.is_some()
    {
        let (rate, _) = words::rate(row, "");
        // What is likely in the end stands in the next line.
        let so_far = if row.is_coming() { " so far" } else { "" };
        first.push_str(&format!("; came up {rate}{so_far}"));
    }
    lines.push(first);
    lines.extend(
        batch
            .germination
            .as_ref()
            .and_then(|row| row.outlook.as_ref())
            .map(|outlook| foreseen(outlook, batch.tally.up(), on))
            .unwrap_or_default(),
    );
    for part in batch.parts.iter().filter(|part| part.cleared.is_none()) {
        let told = part.ticks_told.iter();
        lines.extend(told.map(|told| format!("{}: {}", words::part(part.part.label, on), words::plain_days(told, on))));
    }
    // What the outlook says already is not said again.
    let action = batch.germination.as_ref().and_then(|row| row.outlook.as_ref()).map(|outlook| &outlook.action);
    lines.extend(
        batch
            .due
            .iter()
            .filter(|due| {
                action.is_none_or(|it| !due.reason.ends_with(it.as_str()) && !it.ends_with(due.reason.as_str()))
            })
            .map(|due| format!("{} today: {}", how_due(due.overdue_days), words::plain_days(&due.reason, on))),
    );
    let next = batch.parts.iter().find(|part| batch.next == Some(part.part.id)).and_then(|part| part.ready.as_ref());
    if let Some(ready) = next {
        let into = ready.next.as_ref().and_then(|next| next.container.as_ref());
        let into = into.map_or_else(String::new, |container| format!(" into {container}"));
        let winter = ready.winter();
        lines.push(format!(
            "next: {} {}{into}, best {} (from {}, by {}){winter}",
            words::step(ready.step),
            ready.part.label,
            words::day(ready.window.best, on),
            words::day(ready.window.earliest, on),
            words::day(ready.window.latest, on)
        ));
    }
    lines.extend(batch.notes.iter().map(|(day, remark)| format!("{}: {remark}", words::day(*day, on))));
    lines
}

/// The outlook in two sentences: what to do; and what should be up now and in the end, and by when.
fn foreseen(outlook: &Outlook, up: u32, on: Date) -> Vec<String> {
    if outlook.verdict == Verdict::Over {
        return Vec::new();
    }
    let (word, action) = (words::outlook(outlook.verdict), words::plain_days(&outlook.action, on));
    // Some actions begin with the word itself.
    let to_do = if action.starts_with(word) { action } else { format!("{word}: {action}") };
    let mut said = Vec::new();
    let stands_still = matches!(outlook.verdict, Verdict::Held(_));
    if let Some(now) = outlook.expected_by_now().filter(|_| !stands_still) {
        let now = if now == 0 { "none".to_owned() } else { now.to_string() };
        said.push(format!("{now} expected by now, before any count"));
    }
    let by = outlook.ninety_by.map(|by| words::day(by, on));
    match outlook.expected_final {
        // That none come is what the chance of it says.
        Some((_, 0)) => {}
        Some(likely) => {
            let when = if stands_still { "once it is moved" } else { "in the end" };
            let by = by.map_or_else(String::new, |by| match likely.1.saturating_sub(up) {
                0 => String::new(),
                1 => format!(", by {by}"),
                _ => format!(", nine tenths of them by {by}"),
            });
            said.push(format!("{} {when}{by}", words::between(likely)));
        }
        None => said.extend(by.map(|by| format!("nine tenths of what comes by {by}"))),
    }
    let come = outlook.chance_of_more.filter(|_| !stands_still).map(|chance| to_come(chance, up));
    said.extend(come.filter(|come| !outlook.action.contains(come)));
    [to_do, said.join("; ")].into_iter().filter(|said| !said.is_empty()).collect()
}

const fn how_due(overdue: u32) -> &'static str {
    if overdue > 0 { "late," } else { "due" }
}

fn tally(tally: &Tally, unit: Option<SownUnit>) -> String {
    let mut words = Vec::new();
    // A pinch is a guess: more of it are no more than were sown.
    let is_pinch = unit == Some(SownUnit::Pinch);
    if is_pinch {
        words.push(format!("{} up of {} or so", tally.up().saturating_add(tally.gained), tally.sown));
    } else if tally.sown > 0 {
        words.push(format!("{} up of {}", tally.up(), tally.sown));
    }
    words.push(format!("{} standing", tally.standing));
    for (number, what) in [
        (if is_pinch { 0 } else { tally.gained }, if tally.sown > 0 { "more than sown" } else { "came" }),
        (tally.lost, "lost"),
        (tally.thinned, "thinned"),
        (tally.discarded, "discarded"),
        (tally.planted_out, "planted out"),
        (tally.given_away, "given away"),
    ] {
        if number > 0 {
            words.push(format!("{number} {what}"));
        }
    }
    words.join(", ")
}

fn parts(model: &Model, batch: &BatchView, fit: usize, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let cursor = model.cursor();
    let at = if cursor.section == Section::Parts { cursor.index } else { 0 };
    let first = first_shown(batch.parts.len(), fit, at);
    canvas.rule(0, &format!("Parts  {}", batch.parts.len()), if all < 60 { "" } else { "standing" });
    for (y, (index, row)) in batch.parts.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Parts, index };
        let mut strip = canvas.strip();
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.add(if model.marked.contains(&row.part.id) { canvas.look.glyphs.good } else { " " }, Role::Key);
        strip.column(&words::part(row.part.label, model.board.on), 7, Align::Right, Role::Key).add(" ", Role::Text);
        let role = if row.cleared.is_some() { Role::Quiet } else { Role::Text };
        let vessel = if row.part.pots > 1 {
            format!("{} {}", row.part.pots, row.part.vessel)
        } else {
            row.part.vessel.to_string()
        };
        strip.column(&vessel, if all < 60 { 11 } else { 18 }, Align::Left, role).add(" ", role);
        let rest = all.saturating_sub(strip.used + 9);
        strip.column(&stands(model, row), rest, Align::Left, role);
        strip.fill(&format!("{:>8}", row.part.standing), all, role);
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}

/// Where a part stands and since when.
pub(in crate::tui) fn stands(model: &Model, row: &PartView) -> String {
    let on = model.board.on;
    match (row.cleared, &row.part.out) {
        (Some(day), _) => format!("cleared {}", words::day(day, on)),
        (None, Some(out)) => format!("{}, out in {out}", row.part.at),
        (None, None) => {
            let since = row.stays.last().map_or(row.filled, |stay| stay.from);
            format!("{} since {}", row.part.at, words::day(since, on))
        }
    }
}

/// The counts of what was sown, as later ones leave them.
pub(in crate::tui) fn counted(batch: &BatchView) -> Vec<(Date, u32)> {
    let sown = batch.parts.iter().filter(|part| matches!(part.source, crate::journal::Source::Sown { .. }));
    let mut days: std::collections::BTreeMap<Date, u32> = std::collections::BTreeMap::new();
    let curves: Vec<_> = sown.map(|part| &part.curve).collect();
    for day in curves.iter().flat_map(|curve| curve.iter().map(|(day, _)| *day)) {
        let up = |curve: &Vec<(Date, u32)>| curve.iter().rev().find(|(on, _)| *on <= day).map_or(0, |(_, up)| *up);
        days.insert(day, curves.iter().map(|curve| up(curve)).sum());
    }
    days.into_iter().collect()
}

/// One bar a count, against all that were sown: read by its length, and by the number beside it.
fn curve(model: &Model, batch: &BatchView, bars: &[(Date, u32)], fit: usize, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let sown = batch.tally.sown.max(1);
    canvas.rule(0, "Counted", &format!("of {} sown", batch.tally.sown));
    for (y, (day, up)) in bars.iter().skip(bars.len().saturating_sub(fit)).enumerate() {
        let mut strip = canvas.strip();
        let age = day.signed_duration_since(batch.begun).num_days();
        strip.column(&words::day(*day, model.board.on), 12, Align::Right, Role::Text);
        strip.column(&format!("day {age}"), 9, Align::Right, Role::Quiet);
        strip.column(&up.to_string(), 6, Align::Right, Role::Key).add(" ", Role::Text);
        let room = all.saturating_sub(strip.used + 1).min(60);
        let long = usize::try_from(u64::from(*up) * room as u64 / u64::from(sown)).unwrap_or(room).min(room);
        strip.add(&canvas.look.glyphs.taken.repeat(long), Role::Good);
        strip.add(&canvas.look.glyphs.sown.repeat(room - long), Role::Quiet);
        canvas.line(y + 1, strip);
    }
}
