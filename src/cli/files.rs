//! Checking, copying, bringing back and writing out the journal.

use std::path::Path;
use std::process::ExitCode;

use serde_json::json;

use crate::desk::{Desk, DeskError, Paths};
use crate::store::{Findings, check_file};

use super::answer::Printer;

/// Checks the journal; works, as far as it can, on one that cannot be opened.
pub(super) fn check(paths: &Paths, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    if !paths.journal.exists() {
        return Err(DeskError::Nothing("there is no journal yet: nothing to check"));
    }
    let findings = match super::open(paths) {
        Ok(desk) => desk.check()?,
        Err(error) => {
            let findings = check_file(&paths.journal).map_err(|_| error)?;
            if findings.is_sound() {
                return Err(DeskError::Nothing("the file is sound, but it is not a journal this program can open"));
            }
            findings
        }
    };
    tell(&findings, printer);
    Ok(if findings.is_sound() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn tell(findings: &Findings, printer: &mut Printer) {
    if printer.is_json() {
        let problems: Vec<_> =
            findings.problems.iter().map(|one| json!({ "about": one.about, "what": one.what })).collect();
        let set_aside: Vec<_> =
            findings.contradictions.iter().map(|one| json!({ "on": one.on, "what": one.wrong.to_string() })).collect();
        printer.json(&json!({
            "schema": 1, "report": "check", "sound": findings.is_sound(), "acts": findings.acts,
            "entries": findings.entries, "batches": findings.batches, "problems": problems, "set_aside": set_aside,
        }));
        return;
    }
    for problem in &findings.problems {
        printer.text(&format!("{}: {}", problem.about, problem.what));
    }
    for contradiction in &findings.contradictions {
        printer.text(&format!("set aside: an entry of {}: {}", contradiction.on, contradiction.wrong));
    }
    let counted = format!("{} acts, {} entries, {} batches", findings.acts, findings.entries, findings.batches);
    printer.text(&if findings.is_sound() {
        format!("sound: {counted}; file, references, digests, derived tables and sums agree")
    } else {
        format!("{} problems in {counted}; `restore FILE` brings back a backup", findings.problems.len())
    });
}

/// Copies the journal to a new file.
pub(super) fn back_up(desk: &Desk, to: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let holding = desk.back_up(to)?;
    if printer.is_json() {
        printer.json(&json!({
            "schema": 1, "report": "backup", "file": to.display().to_string(), "acts": holding.acts,
            "batches": holding.batches, "latest": holding.latest,
        }));
        return Ok(ExitCode::SUCCESS);
    }
    printer.text(&format!("{}: {} acts, {} batches, checked", to.display(), holding.acts, holding.batches));
    Ok(ExitCode::SUCCESS)
}

/// Puts a backup in the journal's place.
pub(super) fn restore(desk: &mut Desk, from: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let (holding, aside) = desk.restore(from)?;
    if printer.is_json() {
        printer.json(&json!({
            "schema": 1, "report": "restore", "acts": holding.acts, "batches": holding.batches,
            "latest": holding.latest, "aside": aside.display().to_string(),
        }));
        return Ok(ExitCode::SUCCESS);
    }
    printer.text(&format!(
        "restored {} acts, {} batches, up to {}; the journal as it was is in {}",
        holding.acts,
        holding.batches,
        holding.latest.as_deref().unwrap_or("nothing"),
        aside.display()
    ));
    Ok(ExitCode::SUCCESS)
}

/// Brings in what another copy of the journal has, and says what is left to settle.
pub(super) fn merge(desk: &mut Desk, other: &Path, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let merged = desk.merge(other)?;
    if printer.is_json() {
        let set_aside: Vec<_> =
            merged.contradictions.iter().map(|one| json!({ "on": one.on, "what": one.wrong.to_string() })).collect();
        let numbers: Vec<String> = merged.shared_numbers.iter().map(ToString::to_string).collect();
        let alike: Vec<_> = merged.alike.iter().map(|(one, two)| json!([one.to_string(), two.to_string()])).collect();
        printer.json(&json!({
            "schema": 1, "report": "merge", "acts": merged.acts, "known": merged.known, "set_aside": set_aside,
            "shared_numbers": numbers, "alike": alike,
        }));
        return Ok(ExitCode::SUCCESS);
    }
    printer.text(&format!("{} acts brought in, {} were here already", merged.acts, merged.known));
    for contradiction in &merged.contradictions {
        printer.text(&format!("set aside until settled: an entry of {}: {}", contradiction.on, contradiction.wrong));
    }
    for label in &merged.shared_numbers {
        printer.text(&format!(
            "two batches are numbered {label}: the later one answers to {label}~2 until you relabel it"
        ));
    }
    for (one, two) in &merged.alike {
        printer.text(&format!("{one} and {two} have the same seed, day and number: one sowing logged twice?"));
    }
    Ok(ExitCode::SUCCESS)
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
