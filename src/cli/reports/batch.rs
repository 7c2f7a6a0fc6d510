//! One batch: what it is, how it stands, its parts, what was noted, what is next, and its history.

use crate::advice::{BatchView, PartView, Verdict};
use crate::desk::{Desk, DeskError};
use crate::grammar::BatchRef;
use crate::journal::{Beginning, Tally, Treatment};
use crate::quantity::{Date, SownUnit};

use super::{Answered, history};
use crate::cli::rows;
use crate::cli::table::{LINE, Table, figures, one_line, text, words};
use crate::tui::text::wrap;

/// Acts of a batch that are shown: no batch comes near it.
const WHOLE_HISTORY: u32 = 10_000;

/// All there is to say of a batch.
pub(super) fn batch(desk: &Desk, reference: BatchRef, on: Date) -> Result<Answered, DeskError> {
    let view = desk.batch(reference, on)?;
    let year = Some(view.label.year);
    let acts = desk.history(WHOLE_HISTORY, Some(BatchRef { year, ..reference }))?;
    let acts: Vec<_> = acts.into_iter().filter(|act| act.on <= on).collect();
    let done = history("batch", &acts);
    let mut row = rows::batch(&view);
    if let Some(fields) = row.as_object_mut() {
        fields.insert("history".to_owned(), done.rows.into());
    }
    let mut lines = heading(&view, on);
    lines.push(String::new());
    lines.extend(parts(&view));
    for part in &view.parts {
        let told = part.ticks_told.iter().filter(|_| part.cleared.is_none());
        lines.extend(told.flat_map(|told| wrap(&format!("{}: {told}", part.part.label), LINE)));
    }
    for (day, remark) in &view.notes {
        lines.extend(wrap(&format!("{day}  {remark}"), LINE));
    }
    let coming = coming(&view);
    if !coming.is_empty() {
        lines.push(String::new());
        lines.extend(coming);
    }
    lines.push(String::new());
    lines.extend(done.lines);
    Ok(Answered::new("batch", vec![row], lines))
}

fn heading(view: &BatchView, on: Date) -> Vec<String> {
    let lot = view.lot.as_ref().map_or_else(String::new, |lot| {
        let packed = lot.packed.map(|year| format!(", packed {year}")).unwrap_or_default();
        format!(" {} {}{packed}", lot.crop, lot.variety)
    });
    let began = match view.beginning {
        Beginning::Sown { treatment: Treatment::None, .. } => "sown".to_owned(),
        Beginning::Sown { treatment, .. } => format!("sown {treatment}"),
        Beginning::Received => "received".to_owned(),
    };
    let days = on.signed_duration_since(view.begun).num_days();
    let closed = if view.live { "" } else { ", cleared" };
    let mut lines = vec![one_line(&format!("{}{lot}: {began} {}, day {days}{closed}", view.label, view.begun))];
    if let Some(row) = &view.germination {
        let rate = match (row.rate, row.likely()) {
            (Some(rate), Some((low, high))) => format!(", {} so far ({low} to {high} in the end)", rate.rate),
            (Some(rate), None) => format!(", {}", rate.rate),
            (None, _) => String::new(),
        };
        let up = if row.is_counted() { format!("{} up", row.seedlings()) } else { "not counted yet,".to_owned() };
        let sown = match row.unit {
            SownUnit::Pinch => format!("a pinch of {} or so", row.sown),
            _ => format!("{} sown", row.sown),
        };
        lines.push(one_line(&format!("{up} of {sown}{rate}: {}", row.verdict())));
        if let Some(outlook) = row.outlook.as_ref().filter(|outlook| outlook.verdict != Verdict::Over) {
            lines.extend(wrap(&outlook.action, LINE));
        }
    }
    lines.extend(wrap(&told(&view.tally), LINE));
    lines
}

/// Where every unit is, leaving out what is nothing.
fn told(tally: &Tally) -> String {
    let terms = [
        (tally.standing, "standing"),
        (tally.not_up, "not up"),
        (tally.gained, "gained"),
        (tally.lost, "lost"),
        (tally.thinned, "thinned"),
        (tally.discarded, "discarded"),
        (tally.planted_out, "planted out"),
        (tally.given_away, "given away"),
    ];
    let there = terms.iter().filter(|(number, word)| *number > 0 || *word == "standing");
    there.map(|(number, word)| format!("{number} {word}")).collect::<Vec<_>>().join(", ")
}

fn parts(view: &BatchView) -> Vec<String> {
    let mut table = Table::new(&[
        words("part"),
        text("in"),
        text("at"),
        words("since"),
        figures("up"),
        figures("standing"),
        text(""),
    ]);
    for part in &view.parts {
        table.row([
            part.part.label.to_string(),
            if part.part.pots > 1 {
                format!("{} {}s", part.part.pots, part.part.vessel)
            } else {
                part.part.vessel.to_string()
            },
            part.part.out.as_ref().map_or_else(|| part.part.at.clone(), |out| format!("{out} (out)")),
            part.filled.to_string(),
            part.curve.last().map(|(_, up)| up.to_string()).unwrap_or_default(),
            part.part.standing.to_string(),
            remark(part),
        ]);
    }
    table.lines()
}

fn remark(part: &PartView) -> String {
    match (part.cleared, &part.from) {
        (Some(day), _) => format!("cleared {day}"),
        (None, Some(from)) => format!("from {from}"),
        (None, None) => String::new(),
    }
}

/// What is due, and the windows of the next moves.
fn coming(view: &BatchView) -> Vec<String> {
    // What the heading says already is not said again.
    let action = view.germination.as_ref().and_then(|row| row.outlook.as_ref()).map(|outlook| &outlook.action);
    let due = view
        .due
        .iter()
        .filter(|row| Some(&row.reason) != action)
        .map(|row| one_line(&format!("{}: {}, {}", rows::urgency(row.urgency), rows::task(row.what), row.reason)));
    let moves = view.parts.iter().filter_map(|part| part.ready.as_ref()).map(|ready| {
        let into = ready.next.as_ref().and_then(|next| next.container.as_ref());
        let into = into.map(|container| format!(" into {container}")).unwrap_or_default();
        let window = &ready.window;
        let winter = ready.winter();
        one_line(&format!(
            "{}: {}{into} from {}, best {}, not after {}{winter}",
            ready.part.label,
            rows::step(ready.step),
            window.earliest,
            window.best,
            window.latest
        ))
    });
    due.chain(moves).collect()
}
