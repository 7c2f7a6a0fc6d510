//! Reports, in aligned text or JSON.

use std::process::ExitCode;

use crate::desk::{Desk, DeskError};
use crate::grammar::Report;
use crate::quantity::Date;

use super::answer::Printer;

const USUAL_HISTORY: u32 = 20;

/// Makes and prints a report.
pub(super) fn report(desk: &Desk, report: &Report, on: Date, printer: &mut Printer) -> Result<ExitCode, DeskError> {
    match report {
        Report::History { limit, batch } => {
            let rows = desk.history(limit.unwrap_or(USUAL_HISTORY), *batch)?;
            if printer.is_json() {
                let rows: Vec<_> = rows.iter().map(|row| serde_json::json!(row)).collect();
                printer.report("history", on, &rows, &[]);
            } else {
                for row in rows {
                    let undone = if row.undone { "  (undone)" } else { "" };
                    printer.text(&format!(
                        "{}  {}  {:<9} {}{undone}",
                        row.short,
                        row.on,
                        row.verb,
                        row.said.join("; ")
                    ));
                }
            }
            Ok(ExitCode::SUCCESS)
        }
        Report::Cold => super::cold::report(desk, on, printer),
        _ => Err(DeskError::Nothing("this report is not built yet")),
    }
}
