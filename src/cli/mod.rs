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
use crate::grammar::{Answer, Command, Invocation, Report, parse};
use crate::quantity::Date;
use crate::store::Durability;
use crate::tui::app::{self, Left, OpenError};
use crate::tui::settings::ScreenSettings;
use crate::tui::theme::Look;

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
        Some(Command::Salvage { into }) => return files::salvage(&paths(journal)?, &into, printer),
        Some(Command::Plain(page)) => {
            let desk = open(&paths(journal)?)?;
            printer.lines(&app::plain(&desk, page, on.unwrap_or(today), today)?);
        }
        Some(command) => {
            let mut desk = open(&paths(journal)?)?;
            if changes(&command) {
                keep_copy(&desk, today, printer);
            }
            return with(&mut desk, command, on.unwrap_or(today), printer);
        }
        None => {
            let paths = paths(journal)?;
            let mut desk = open(&paths)?;
            keep_copy(&desk, today, printer);
            return screen(&mut desk, on, &screen_settings(&paths)?);
        }
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

/// True for what may add to the journal.
const fn changes(command: &Command) -> bool {
    matches!(command, Command::Step(_) | Command::Run { .. } | Command::Merge { .. } | Command::Restore { .. })
}

/// Keeps the day's copy of the journal before anything is added. What keeps it from being kept must not keep the grower
/// from working, so it is only told.
fn keep_copy(desk: &Desk, today: Date, printer: &mut Printer) {
    if let Err(error) = desk.keep_copy(today) {
        printer.aside(&format!("no copy of the journal was kept today: {error}"));
    }
}

fn with(desk: &mut Desk, command: Command, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    match command {
        Command::Step(step) => acts::step(desk, &step, on, printer),
        Command::Run { from, after_refusal } => acts::run(desk, &from, after_refusal, on, printer),
        Command::Import(import) => acts::import(desk, &import, on, printer),
        Command::Report(report) => reports::report(desk, &report, on, printer),
        Command::Backup(to) => files::back_up(desk, &to, printer),
        Command::Merge { other, consent } => files::merge(desk, &other, consent, printer),
        Command::Restore { from, consent } => files::restore(desk, &from, consent, printer),
        Command::Export { to } => files::export(desk, &to, printer),
        // Answered before a journal is opened.
        Command::Plain(_)
        | Command::Check
        | Command::Salvage { .. }
        | Command::Demo { .. }
        | Command::Help(_)
        | Command::Version => Ok(ExitCode::SUCCESS),
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
    let settings = Paths::usual().and_then(|paths| screen_settings(&paths))?;
    screen(&mut desk, Some(DEMO_DAY), &settings)
}

/// A report for the full screen.
fn told(desk: &Desk, report: &Report, on: Date) -> Result<Vec<String>, DeskError> {
    let mut printer = Printer::keeping();
    reports::report(desk, report, on, &mut printer)?;
    Ok(printer.kept())
}

fn screen_settings(paths: &Paths) -> Result<ScreenSettings, DeskError> {
    Ok(ScreenSettings::read(&paths.settings_text()?, &paths.settings.display().to_string())?)
}

fn screen(desk: &mut Desk, on: Option<Date>, settings: &ScreenSettings) -> Result<ExitCode, DeskError> {
    let today = desk::today();
    let term = desk::variable("TERM").unwrap_or_default();
    let look = Look::from_environment(desk::variable("NO_COLOR").is_some(), &term, settings.characters);
    match app::run(desk, (on.unwrap_or(today), today), look, settings, told) {
        Ok(Left::Asked) => Ok(ExitCode::SUCCESS),
        Ok(Left::Ended(ending)) => Ok(ExitCode::from(ending.exit_code())),
        Err(OpenError::Desk(error)) => Err(error),
        Err(OpenError::Screen(error)) => Err(DeskError::Terminal(error.to_string())),
    }
}
