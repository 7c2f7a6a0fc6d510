//! Which lots, treatments or years of a crop did better: in plain words, with the figures in JSON and behind `why`.

use serde_json::{Value, json};

use crate::advice::{Compared, Side};
use crate::desk::{Desk, DeskError};
use crate::grammar::ToldBy;
use crate::quantity::{CropName, Date};

use super::Answered;
use crate::cli::rows;
use crate::cli::table::LINE;
use crate::tui::text::wrap;

/// Answers `compare`.
pub(super) fn compare(desk: &Desk, crop: &CropName, by: Option<ToldBy>, on: Date) -> Result<Answered, DeskError> {
    let (crop, found) = desk.compared(crop.as_str(), by, on)?;
    let mut lines = Vec::new();
    for (by, row) in &found {
        let these = format!("{}: {} against {}", way(*by), side(&row.first), side(&row.second));
        lines.extend(wrap(&these, LINE));
        lines.push(format!("  {}", row.words));
    }
    if lines.is_empty() {
        let told = by.map_or("lots, treatments or years", way);
        lines
            .push(format!("no two {told} of {crop} have sowings that had their time: there is nothing to compare yet"));
    }
    let json = found.iter().map(|(by, row)| figures(&crop, *by, row)).collect();
    Ok(Answered::new("compare", json, lines))
}

/// What sowings are told apart by, as it is typed.
pub(super) const fn way(by: ToldBy) -> &'static str {
    match by {
        ToldBy::Lots => "lots",
        ToldBy::Treatments => "treatments",
        ToldBy::Years => "years",
    }
}

/// `Copper Lantern 2025`, and in how many sowings when there are several.
pub(super) fn side(side: &Side) -> String {
    let so_far = if side.so_far > 0 { format!(", {} of them so far", side.so_far) } else { String::new() };
    match (side.sowings, side.so_far) {
        (1, 0) => side.name.clone(),
        (1, _) => format!("{} (so far)", side.name),
        (sowings, _) => format!("{} ({sowings} sowings{so_far})", side.name),
    }
}

fn figures(crop: &CropName, by: ToldBy, row: &Compared) -> Value {
    let of = |side: &Side| json!({ "name": side.name, "sowings": side.sowings, "so_far": side.so_far, "up": side.tally.up(), "sown": side.tally.sown() });
    let found = row.comparison.as_ref();
    json!({
        "crop": crop, "by": way(by), "first": of(&row.first), "second": of(&row.second), "words": row.words,
        "difference": found.map(|it| it.difference), "difference_low": found.map(|it| it.interval.low),
        "difference_high": found.map(|it| it.interval.high), "p_value": found.map(|it| it.p_value), "why": rows::why(&row.why),
    })
}
