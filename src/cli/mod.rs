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
use crate::grammar::{Answer, Command, Invocation, Report, crop_at, parse, with_number};
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
    // What is no text would be logged as something else than was typed.
    let words: Option<Vec<String>> = words.iter().map(|word| word.to_str().map(str::to_owned)).collect();
    let words = words.ok_or(DeskError::Nothing("a word of that is no text in UTF-8: nothing was done"))?;
    let today = desk::today();
    let Invocation { journal, on, command, .. } = match parse(&words, today) {
        Err(error) => by_crop(&words, today)?.ok_or(error)?,
        Ok(read) => read,
    };
    match command {
        Some(Command::Help(text)) => printer.text(&text),
        Some(Command::Version) => printer.text(concat!("thumbpot ", env!("CARGO_PKG_VERSION"))),
        Some(Command::Demo { .. }) if on.is_some() => {
            return Err(DeskError::Nothing("the demonstration has a day of its own: leave --on out"));
        }
        Some(Command::Demo { into }) => return demo(into.as_deref(), printer),
        Some(Command::Check) => return files::check(&paths(journal)?, printer),
        Some(Command::Salvage { into }) => return files::salvage(&paths(journal)?, &into, printer),
        Some(Command::Restore { from, consent }) => {
            return files::restore(&paths(journal)?, &from, consent, today, printer);
        }
        Some(Command::Plain(page)) => {
            let desk = open(&paths(journal)?)?;
            let settings = screen_settings(&paths(None)?)?;
            printer.lines(&app::plain(&desk, page, (on.unwrap_or(today), today), &settings)?);
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

/// Reads words in which a crop stands for its only open batch; `None` when they name none. The journal that knows it is
/// the one that the rest of the words say.
fn by_crop(words: &[String], today: Date) -> Result<Option<Invocation>, DeskError> {
    let mut any = words.to_vec();
    let Some(word) = crop_at(words).and_then(|at| any.get_mut(at)) else { return Ok(None) };
    *word = "1".to_owned();
    let Ok(Invocation { journal, on, .. }) = parse(&any, today) else { return Ok(None) };
    let paths = paths(journal)?;
    if !paths.journal.exists() {
        return Ok(None);
    }
    let names = open(&paths)?.vocabulary(on.unwrap_or(today))?;
    Ok(with_number(words, &names)?.map(|words| parse(&words, today)).transpose()?)
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
    use Command::{Import, Merge, Run, Step};
    matches!(command, Step(_) | Run { .. } | Import(_) | Merge { .. })
}

/// Keeps the day's copy of the journal before anything is added. What keeps it from being kept must not keep the grower
/// from working, so it is only told.
fn keep_copy(desk: &Desk, today: Date, printer: &mut Printer) {
    if let Some(line) = desk::copy_trouble(desk.keep_copy(today)) {
        printer.aside(&line);
    }
}

fn with(desk: &mut Desk, command: Command, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    match command {
        Command::Step(step) => acts::step(desk, &step, on, printer),
        Command::Run { from, after_refusal } => acts::run(desk, &from, after_refusal, on, printer),
        Command::Import(import) => acts::import(desk, &import, on, printer),
        Command::Report(report) => reports::report(desk, &report, on, printer),
        Command::Backup(to) => files::back_up(desk, &to, printer),
        Command::Merge { from, consent } => files::merge(desk, &from, consent, printer),
        Command::Export { to } => files::export(desk, &to, printer),
        // Answered before a journal is opened.
        Command::Plain(_)
        | Command::Check
        | Command::Salvage { .. }
        | Command::Restore { .. }
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
