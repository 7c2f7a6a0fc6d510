//! Writing answers: text or JSON on standard output, one line of trouble on standard error.

use std::io::{self, Write};
use std::process::ExitCode;

use serde::Serialize;
use serde_json::{Value, json};

use crate::desk::{DeskError, ErrorKind};
use crate::grammar::Answer;
use crate::quantity::{Date, is_hidden};

/// Version of the JSON that reports are written in. Fields are only ever added.
const SCHEMA: u32 = 1;

/// Where answers go.
pub(super) struct Printer {
    answer: Answer,
    to: To,
    failed: Option<io::Error>,
}

/// Where the lines of an answer go.
enum To {
    /// Standard output.
    Output,
    /// Kept, to be shown elsewhere.
    Kept(Vec<String>),
}

impl Printer {
    pub(super) const fn new(answer: Answer) -> Self {
        Self { answer, to: To::Output, failed: None }
    }

    /// One that keeps the lines of an answer in text.
    pub(super) const fn keeping() -> Self {
        Self { answer: Answer::Text, to: To::Kept(Vec::new()), failed: None }
    }

    /// The lines that were kept.
    pub(super) fn kept(self) -> Vec<String> {
        match self.to {
            To::Kept(lines) => lines,
            To::Output => Vec::new(),
        }
    }

    /// True when answers are to be JSON.
    pub(super) fn is_json(&self) -> bool {
        self.answer == Answer::Json
    }

    /// Writes lines of text. What was typed or imported is already free of control characters; this is the last gate.
    pub(super) fn text(&mut self, text: &str) {
        let safe: String = text.chars().map(|c| if c != '\n' && is_hidden(c) { '?' } else { c }).collect();
        let safe = safe.trim_end_matches('\n');
        match &mut self.to {
            To::Output => {
                let written = writeln!(io::stdout().lock(), "{safe}");
                self.keep(written);
            }
            To::Kept(lines) => lines.extend(safe.split('\n').map(str::to_owned)),
        }
    }

    /// Writes lines of text.
    pub(super) fn lines(&mut self, lines: &[String]) {
        for line in lines {
            self.text(line);
        }
    }

    /// Writes one JSON value on a line.
    pub(super) fn json(&mut self, value: &impl Serialize) {
        let mut out = io::stdout().lock();
        let written = serde_json::to_writer(&mut out, value).map_err(io::Error::from);
        let written = written.and_then(|()| writeln!(out));
        self.keep(written);
    }

    fn keep(&mut self, written: io::Result<()>) {
        if let Err(error) = written {
            self.failed.get_or_insert(error);
        }
    }

    /// Writes a report in JSON.
    pub(super) fn report(&mut self, report: &str, on: Date, rows: &[Value], notices: &[String]) {
        self.json(&json!({ "schema": SCHEMA, "report": report, "on": on, "rows": rows, "notices": notices }));
    }

    /// Tells something beside the answer, on standard error.
    pub(super) fn aside(&mut self, line: &str) {
        complain(line);
    }

    /// Says what is wrong, and what to do, in one line.
    pub(super) fn refuse(&mut self, error: &DeskError) -> ExitCode {
        let (message, hint) = (error.to_string(), error.hint());
        if self.is_json() {
            self.json(&json!({ "error": { "kind": error.kind(), "message": message, "hint": hint } }));
        }
        complain(&if hint.is_empty() { message } else { format!("{message}; {hint}") });
        match error.kind() {
            ErrorKind::Usage => ExitCode::from(2),
            _ => ExitCode::FAILURE,
        }
    }

    /// The code to end with, once the answers are out. A reader that has gone away has all it wanted; any other
    /// failure to write is one.
    pub(super) fn end(self, code: ExitCode) -> ExitCode {
        let flushed = io::stdout().lock().flush();
        match self.failed.or(flushed.err()) {
            Some(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                complain(&format!("the answer could not be written: {error}; what was done is in the journal"));
                ExitCode::FAILURE
            }
            _ => code,
        }
    }
}

fn complain(line: &str) {
    let safe: String = line.chars().map(|c| if is_hidden(c) { '?' } else { c }).collect();
    // With standard error gone too there is nobody left to tell.
    let _ = writeln!(io::stderr().lock(), "thumbpot: {safe}");
}
