//! Acts from the command line, one at a time or from a script.

use std::io::Read;
use std::process::ExitCode;

use serde_json::json;

use crate::desk::{Desk, DeskError, Done, Fetched, read_text};
use crate::grammar::{AfterRefusal, Import, Lines, Step};
use crate::quantity::Date;

use super::answer::Printer;

/// A script of a whole season is some 50 kB; this is a guard against the wrong file.
const LONGEST_SCRIPT: u64 = 20_000_000;

/// Takes one step and says what was done.
pub(super) fn step(desk: &mut Desk, step: &Step, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let done = match desk.step(step, on) {
        Err(error) => {
            // By a clock that is behind nothing was sown yet.
            desk.clock_doubt(on)?.iter().for_each(|line| printer.aside(line));
            return Err(error);
        }
        Ok(done) => done,
    };
    tell(&done, None, printer);
    Ok(ExitCode::SUCCESS)
}

/// Takes temperatures from elsewhere and says what was new.
pub(super) fn import(desk: &mut Desk, import: &Import, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    if *import == Import::Fetch {
        match desk.fetch_forecast(on)? {
            Fetched::New(done) => tell(&done, None, printer),
            Fetched::Same if printer.is_json() => printer.json(&json!({ "schema": 1, "act": null, "said": [SAME] })),
            Fetched::Same => printer.text(SAME),
        }
        return Ok(ExitCode::SUCCESS);
    }
    let done = desk.import(import, on)?;
    tell(&done, None, printer);
    Ok(ExitCode::SUCCESS)
}

const SAME: &str = "the weather service says what it said before: nothing was written";

fn tell(done: &Done, line: Option<usize>, printer: &mut Printer) {
    if printer.is_json() {
        let parts: Vec<String> = done.parts.iter().map(|part| format!("{part:#}")).collect();
        printer.json(&json!({
            "schema": 1, "line": line, "act": done.act, "verb": done.verb, "on": done.on,
            "batch": done.batch.map(|batch| batch.to_string()), "parts": parts, "said": done.said,
            "notices": done.notices,
        }));
        return;
    }
    let mut lines: Vec<String> = done.said.clone();
    lines.extend(done.notices.iter().map(|notice| format!("  note: {notice}")));
    printer.text(&lines.join("\n"));
}

/// Takes the steps of a script.
pub(super) fn run(
    desk: &mut Desk,
    from: &Lines,
    after_refusal: AfterRefusal,
    on: Date,
    printer: &mut Printer,
) -> Result<ExitCode, DeskError> {
    let script = match from {
        Lines::File(path) => read_text(path, LONGEST_SCRIPT)?,
        Lines::Typed => {
            let mut text = String::new();
            let read = std::io::stdin().lock().take(LONGEST_SCRIPT).read_to_string(&mut text);
            read.map_err(|error| DeskError::File { path: "standard input".to_owned(), reason: error.to_string() })?;
            text
        }
    };
    let ran = desk.run(&script, on, after_refusal, |line, answer| {
        if let Ok(done) = answer {
            tell(done, Some(line), printer);
        }
    })?;
    let code = if ran.refused.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE };
    for refused in ran.refused {
        printer.refuse(&DeskError::Line { line: refused.line, error: Box::new(refused.error) });
    }
    Ok(code)
}
