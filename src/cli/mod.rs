//! The command line: one of the two faces. It prints what the desk answers; it knows no SQL and no formula.

mod acts;
mod answer;
mod files;
mod reports;
mod rows;
mod table;

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::desk::{self, DEMO_DAY, Desk, DeskError, Paths, Throwaway};
use crate::grammar::{Answer, Command, GrammarError, Invocation, parse};
use crate::quantity::Date;
use crate::store::Durability;

use answer::Printer;

/// Runs the program on the words after its name.
pub fn run(words: impl Iterator<Item = OsString>) -> ExitCode {
    let words: Vec<OsString> = words.collect();
    let json = words.iter().any(|word| word == "--json");
    let mut printer = Printer::new(if json { Answer::Json } else { Answer::Text });
    let code = match read_and_do(&words, &mut printer) {
        Ok(code) => code,
        Err(error) => printer.refuse(&error),
    };
    printer.end(code)
}

fn read_and_do(words: &[OsString], printer: &mut Printer) -> Result<ExitCode, DeskError> {
    let words: Vec<String> = words.iter().map(|word| word.to_string_lossy().into_owned()).collect();
    let today = desk::today();
    let Invocation { journal, on, command, .. } = parse(&words, today)?;
    match command {
        Some(Command::Help(text)) => printer.text(&text),
        Some(Command::Version) => printer.text(concat!("thumbpot ", env!("CARGO_PKG_VERSION"))),
        Some(Command::Demo { into }) => return demo(into.as_deref(), printer),
        Some(Command::Check) => return files::check(&paths(journal)?, printer),
        Some(command) => {
            let mut desk = open(&paths(journal)?)?;
            return with(&mut desk, command, on.unwrap_or(today), printer);
        }
        None => return screen(&mut open(&paths(journal)?)?, on),
    }
    Ok(ExitCode::SUCCESS)
}

fn paths(journal: Option<PathBuf>) -> Result<Paths, DeskError> {
    let mut paths = Paths::usual()?;
    if let Some(journal) = journal {
        paths.journal = journal;
    }
    Ok(paths)
}

fn open(paths: &Paths) -> Result<Desk, DeskError> {
    Desk::open(&paths.journal, paths.device_id()?, paths.trade()?)
}

fn with(desk: &mut Desk, command: Command, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    match command {
        Command::Step(step) => acts::step(desk, &step, on, printer),
        Command::Run { from, after_refusal } => acts::run(desk, &from, after_refusal, on, printer),
        Command::Report(report) => reports::report(desk, &report, on, printer),
        Command::Backup(to) => files::back_up(desk, &to, printer),
        Command::Merge(other) => files::merge(desk, &other, printer),
        Command::Restore(from) => files::restore(desk, &from, printer),
        Command::Export { to } => files::export(desk, &to, printer),
        // Answered before a journal is opened.
        Command::Check | Command::Demo { .. } | Command::Help(_) | Command::Version => Ok(ExitCode::SUCCESS),
    }
}

fn demo(into: Option<&Path>, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    if let Some(path) = into {
        let desk = Desk::demonstration(path, Durability::Synced)?;
        printer.text(&format!(
            "an invented season is in {}; see it with: thumbpot --journal {} --on {DEMO_DAY}",
            desk.path().display(),
            desk.path().display()
        ));
        return Ok(ExitCode::SUCCESS);
    }
    let folder = Throwaway::new()?;
    let mut desk = Desk::demonstration(&folder.file("demo.db"), Durability::Unsynced)?;
    screen(&mut desk, Some(DEMO_DAY))
}

fn screen(_desk: &mut Desk, _on: Option<Date>) -> Result<ExitCode, DeskError> {
    Err(DeskError::Words(GrammarError {
        kind: crate::grammar::GrammarErrorKind::Usage,
        message: "the full screen is not built yet".to_owned(),
        hint: "give a command; `thumbpot help` lists them".to_owned(),
    }))
}
