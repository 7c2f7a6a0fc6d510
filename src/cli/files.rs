//! Checking, copying, bringing back and writing out the journal.

use std::collections::BTreeMap;
use std::io::{self, BufRead as _, IsTerminal as _, Read as _};
use std::path::Path;
use std::process::ExitCode;

use serde_json::{Value, json};

use crate::desk::{self, Comparison, Desk, DeskError, Difference, Dispute, Paths, Rescue};
use crate::grammar::Consent;
use crate::quantity::{BatchLabel, Date};
use crate::store::{Findings, Journal, Loss, Restored, Twins, Wearer, check_file};

use super::answer::Printer;

/// Checks the journal; works, as far as it can, on one that cannot be opened.
pub(super) fn check(paths: &Paths, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    if !paths.journal.exists() {
        return Err(DeskError::Nothing("there is no journal yet: nothing to check"));
    }
    let (findings, disputes) = match super::open(paths) {
        Ok(desk) => {
            let findings = desk.check()?;
            let disputes = if findings.is_sound() { desk.disputes(&findings.contradictions)? } else { Vec::new() };
            for twin in desk.twins()? {
                printer.aside(&twin.sentence());
            }
            (findings, disputes)
        }
        Err(error) => match check_file(&paths.journal) {
            // The file itself is sound, and the reason lies elsewhere.
            Ok(findings) if findings.is_sound() => return Err(error),
            Ok(findings) => (findings, Vec::new()),
            Err(_) => return Err(error),
        },
    };
    tell(&findings, &disputes, printer);
    Ok(if findings.is_sound() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn tell(findings: &Findings, disputes: &[Dispute], printer: &mut Printer) {
    if printer.is_json() {
        let problems: Vec<_> =
            findings.problems.iter().map(|one| json!({ "about": one.about, "what": one.what })).collect();
        printer.json(&json!({
            "schema": 1, "report": "check", "sound": findings.is_sound(), "acts": findings.acts,
            "entries": findings.entries, "batches": findings.batches, "problems": problems,
            "set_aside": set_aside(disputes), "gaps": findings.gaps,
            "shared_numbers": shared_numbers(&findings.twins), "alike": alike(&findings.twins),
            "named_twice": named_twice(&findings.twins),
        }));
        return;
    }
    for problem in &findings.problems {
        printer.text(&format!("{}: {}", problem.about, problem.what));
    }
    tell_disputes(disputes, printer);
    tell_twins(&findings.twins, printer);
    if findings.gaps > 0 {
        let places = if findings.gaps == 1 { "1 place".to_owned() } else { format!("{} places", findings.gaps) };
        printer.text(&format!("acts are missing in {places}, lost to damage: `merge FILE` brings them in from a copy"));
    }
    let counted = format!("{} acts, {} entries, {} batches", findings.acts, findings.entries, findings.batches);
    printer.text(&if findings.is_sound() {
        format!("sound: {counted}; file, references, digests, derived tables and sums agree")
    } else {
        format!(
            "{} problems in {counted}; `check --salvage NEWFILE` brings out what can be read, `restore FILE` brings back \
             a backup",
            findings.problems.len()
        )
    });
}

fn tell_disputes(disputes: &[Dispute], printer: &mut Printer) {
    for dispute in disputes {
        printer.text(&format!("{}; {}", dispute.sentence(), dispute.hint()));
    }
}

fn tell_twins(twins: &Twins, printer: &mut Printer) {
    for (label, wearers) in &twins.shared_numbers {
        let wearers: Vec<String> = wearers.iter().map(|one| format!("{} {}", one.label, one.plants)).collect();
        printer
            .text(&format!("several batches are numbered {label}, so until you relabel one: {}", wearers.join(", ")));
    }
    for (one, two) in &twins.alike {
        printer.text(&format!(
            "{one} and {two} have the same seed, day, number and container: one sowing logged twice? If so, `history` \
             shows the act to undo"
        ));
    }
    for one in &twins.one {
        printer.text(&one.to_string());
    }
    for parted in &twins.parted {
        printer.text(&parted.to_string());
    }
}

fn shared_numbers(twins: &Twins) -> Vec<String> {
    twins.shared_numbers.iter().map(|(label, _)| label.to_string()).collect()
}

fn alike(twins: &Twins) -> Vec<Value> {
    twins.alike.iter().map(|(one, two)| json!([one.to_string(), two.to_string()])).collect()
}

fn named_twice(twins: &Twins) -> Vec<&str> {
    twins.one.iter().map(|one| one.name.as_str()).collect()
}

fn set_aside(disputes: &[Dispute]) -> Vec<Value> {
    let named = |one: &Dispute| {
        json!({
            "on": one.aside.on, "what": one.wrong, "act": one.aside.act, "said": one.aside.said,
            "against": one.against.as_ref().map(|other| other.act),
        })
    };
    disputes.iter().map(named).collect()
}

/// Brings what can be read of a damaged journal into a new one, and says what is lost.
pub(super) fn salvage(paths: &Paths, into: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    if !paths.journal.exists() {
        return Err(DeskError::Nothing("there is no journal yet: nothing to bring out"));
    }
    let Rescue { salvaged, told_in } = desk::salvage(&paths.journal, into, paths.device_id()?)?;
    let saved = Desk::open(into, paths.device_id()?, paths.trade()?)?;
    let disputes = saved.disputes(&salvaged.contradictions)?;
    let mut days: BTreeMap<Option<Date>, Vec<String>> = BTreeMap::new();
    for act in &salvaged.lost {
        let verb = act.verb.clone().unwrap_or_else(|| "an act".to_owned());
        let why = if act.why == Loss::Bereft { format!("{verb} (of what is lost)") } else { verb };
        days.entry(act.on).or_default().push(why);
    }
    if printer.is_json() {
        let lost: Vec<_> = salvaged
            .lost
            .iter()
            .map(|act| json!({ "on": act.on, "verb": act.verb, "bereft": act.why == Loss::Bereft }))
            .collect();
        printer.json(&json!({
            "schema": 1, "report": "salvage", "file": into.display().to_string(), "acts": salvaged.acts, "lost": lost,
            "copies": salvaged.copies, "set_aside": set_aside(&disputes), "told_in": told_in,
        }));
        return Ok(ExitCode::SUCCESS);
    }
    let from = match salvaged.copies {
        0 => String::new(),
        1 => ", with the help of 1 copy kept beside it".to_owned(),
        many => format!(", with the help of {many} copies kept beside it"),
    };
    let whole = salvaged.acts + salvaged.lost.len() as u64;
    printer.text(&format!("{} of {whole} acts brought out into {}{from}", salvaged.acts, into.display()));
    for (on, acts) in &days {
        let on = on.map_or_else(|| "on days that cannot be told".to_owned(), |on| on.to_string());
        printer.text(&format!("lost, {on}: {}", counted(acts)));
    }
    if let Some(table) = told_in {
        printer.text(&format!(
            "what can be read of those that speak of what is lost is told in {}, to be typed again",
            table.display()
        ));
    }
    tell_disputes(&disputes, printer);
    printer.text(&format!("the damaged file was not touched; look with --journal {}", into.display()));
    Ok(ExitCode::SUCCESS)
}

/// Words in the order they first come, with how often.
fn counted(words: &[String]) -> String {
    let mut seen: Vec<(&str, u32)> = Vec::new();
    for word in words {
        match seen.iter_mut().find(|(known, _)| known == word) {
            Some((_, times)) => *times += 1,
            None => seen.push((word, 1)),
        }
    }
    let told =
        seen.iter().map(|(word, times)| if *times == 1 { (*word).to_owned() } else { format!("{times} x {word}") });
    told.collect::<Vec<_>>().join(", ")
}

/// Copies the journal to a new file.
pub(super) fn back_up(desk: &Desk, to: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let holding = desk.back_up(to)?;
    if printer.is_json() {
        printer.json(&json!({
            "schema": 1, "report": "backup", "file": to.display().to_string(), "acts": holding.acts,
            "batches": holding.batches, "latest": holding.latest, "sound": holding.wrong.is_none(),
        }));
    } else {
        let wrong = holding.wrong.as_ref().map_or_else(
            || "checked".to_owned(),
            |one| format!("but not sound, as the journal is not: {}: {}; `check` says more", one.about, one.what),
        );
        printer.text(&format!("{}: {} acts, {} batches, {wrong}", to.display(), holding.acts, holding.batches));
    }
    Ok(if holding.wrong.is_none() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// Puts a backup in the journal's place, after showing what it would come to; also where the journal is too damaged to be
/// opened.
pub(super) fn restore(
    paths: &Paths,
    from: &Path,
    consent: Consent,
    today: Date,
    printer: &mut Printer,
) -> Result<ExitCode, DeskError> {
    let from = desk::meant_beside(&paths.journal, from);
    let mut desk = match super::open(paths) {
        Err(DeskError::Store(error)) if Journal::is_beyond_opening(&paths.journal, &error) => None,
        desk => Some(desk?),
    };
    if let Some(desk) = &desk {
        super::keep_copy(desk, today, printer);
    }
    if consent == Consent::Asked {
        let found = match &desk {
            Some(desk) => desk.compare(&from)?,
            None => Comparison { holding: desk::holding(&from)?, difference: None },
        };
        preview(&found, &from, printer);
        if !is_agreed(printer) {
            return Err(DeskError::Nothing("nothing was restored; `restore FILE --yes` does it"));
        }
    }
    let Restored { holding, aside, was_readable } = match &mut desk {
        Some(desk) => desk.restore(&from)?,
        None => desk::restore_unopened(&paths.journal, paths.device_id()?, &from)?,
    };
    if printer.is_json() {
        printer.json(&json!({
            "schema": 1, "report": "restore", "acts": holding.acts, "batches": holding.batches,
            "latest": holding.latest, "aside": aside.display().to_string(), "was_readable": was_readable,
        }));
        return Ok(ExitCode::SUCCESS);
    }
    let before = if was_readable { "the journal as it was is in" } else { "the damaged file is kept as it was in" };
    printer.text(&format!(
        "restored {} acts, {} batches, up to {}; {before} {}",
        holding.acts,
        holding.batches,
        holding.latest.as_deref().unwrap_or("nothing"),
        aside.display()
    ));
    Ok(ExitCode::SUCCESS)
}

fn preview(found: &Comparison, from: &Path, printer: &mut Printer) {
    let Comparison { holding, difference } = found;
    if printer.is_json() {
        printer.json(&json!({
            "schema": 1, "report": "restore preview", "file": from.display().to_string(), "acts": holding.acts,
            "batches": holding.batches, "latest": holding.latest,
            "lacking": difference.as_ref().map(|one| one.lacking), "more": difference.as_ref().map(|one| one.more),
            "newest": difference.as_ref().map_or(&[][..], |one| &one.newest),
        }));
        return;
    }
    let latest = holding.latest.as_deref().unwrap_or("nothing");
    printer.text(&format!("{}: {} acts, {} batches, up to {latest}", from.display(), holding.acts, holding.batches));
    let Some(Difference { lacking, newest, more }) = difference else {
        return printer.text(
            "the journal itself cannot be read, so what else is in it cannot be told; `check --salvage NEWFILE` brings out \
             what can be",
        );
    };
    if *more > 0 {
        printer.text(&format!(
            "it has {more} acts that the journal lacks; `merge FILE` brings them in and keeps the rest"
        ));
    }
    printer.text(&match lacking {
        0 => "it has all that the journal has".to_owned(),
        1 => "it lacks 1 act that the journal has:".to_owned(),
        many => format!("it lacks {many} acts that the journal has, the newest:"),
    });
    for row in newest {
        printer.text(&format!("  {}  {}", row.on, row.said.join("; ")));
    }
}

/// Asks whoever sits at the terminal; a script has to say it beforehand.
fn is_agreed(printer: &mut Printer) -> bool {
    let mut typed = String::new();
    if printer.is_json() || !io::stdin().is_terminal() {
        return false;
    }
    printer.text("put it in the journal's place? The journal as it is will be put aside. y or n:");
    io::stdin().lock().take(100).read_line(&mut typed).is_ok() && typed.trim().eq_ignore_ascii_case("y")
}

/// Brings in what another copy of the journal has, and says what is left to settle.
pub(super) fn merge(
    desk: &mut Desk,
    other: &Path,
    consent: Consent,
    printer: &mut Printer,
) -> Result<ExitCode, DeskError> {
    let merged = match consent {
        Consent::Asked => desk.merge(other)?,
        Consent::Given => desk.merge_unrelated(other)?,
    };
    let disputes = desk.disputes(&merged.contradictions)?;
    if printer.is_json() {
        let pair = |(before, now): &(BatchLabel, Wearer)| json!([before.to_string(), now.label.to_string()]);
        let rewritten: Vec<Value> = merged.rewritten.iter().map(pair).collect();
        printer.json(&json!({
            "schema": 1, "report": "merge", "acts": merged.acts, "known": merged.known, "batches": merged.batches,
            "days": merged.days,
            "set_aside": set_aside(&disputes), "shared_numbers": shared_numbers(&merged.twins),
            "alike": alike(&merged.twins), "named_twice": named_twice(&merged.twins),
            "parted": merged.twins.parted.iter().map(|one| one.called.as_str()).collect::<Vec<_>>(), "rewritten": rewritten,
        }));
        return Ok(ExitCode::SUCCESS);
    }
    let of = merged.days.map_or_else(String::new, |(first, last)| {
        let batches = number_of(u64::from(merged.batches), "new batch", "new batches");
        format!(" ({batches}; dated {})", if first == last { first.to_string() } else { format!("{first} to {last}") })
    });
    let here = if merged.known == 1 { "1 was" } else { &format!("{} were", merged.known) };
    let acts = number_of(u64::from(merged.acts), "act", "acts");
    printer.text(&format!("{acts} brought in{of}, {here} here already"));
    tell_disputes(&disputes, printer);
    tell_twins(&merged.twins, printer);
    for (before, now) in &merged.rewritten {
        printer.text(&format!("what was {before} is {} from now on: {}", now.label, now.plants));
    }
    Ok(ExitCode::SUCCESS)
}

fn number_of(number: u64, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// Writes the journal out for other programs.
pub(super) fn export(desk: &Desk, to: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let acts = desk.export(to)?;
    if printer.is_json() {
        printer.json(&json!({ "schema": 1, "report": "export", "file": to.display().to_string(), "acts": acts }));
    } else {
        printer.text(&format!("{}: {acts} acts", to.display()));
    }
    Ok(ExitCode::SUCCESS)
}
