//! One page of the screen as text.

use crate::advice::{BenchPlan, PartView};
use crate::desk::{Desk, DeskError};
use crate::grammar::{PartRef, PlainPage};
use crate::quantity::{Date, Name, PartId};
use crate::tui::model::{Cursor, Model, Page};
use crate::tui::plain;
use crate::tui::rows::Section;
use crate::tui::settings::ScreenSettings;
use crate::tui::tray::Tray;

use super::answer::sight;

/// A page of the screen in lines of text, whole.
///
/// # Errors
/// When the batch is not known or the journal cannot be read.
pub fn plain(
    desk: &Desk,
    page: PlainPage,
    (on, today): (Date, Date),
    settings: &ScreenSettings,
) -> Result<Vec<String>, DeskError> {
    let place = |name: &Name| {
        let state = desk.state(on)?;
        let found = state.places.iter().find(|(_, place)| place.name.same_as(name.as_str())).map(|(id, _)| *id);
        found.ok_or(DeskError::Nothing("no place of that name"))
    };
    let mut bench = None;
    let page = match page {
        PlainPage::Keys => return Ok(plain::keys(&settings.keys)),
        PlainPage::Morning => Page::Morning,
        PlainPage::Batch(batch) => Page::Batch(desk.batch(batch, on)?.id),
        PlainPage::Cells(part) => Page::Cells(with_cells(desk, part, on)?),
        PlainPage::Tonight => Page::Tonight,
        PlainPage::Benches => Page::Benches,
        PlainPage::Plan(name) => {
            bench = Some(name);
            Page::Plan
        }
        PlainPage::InHand => Page::InHand,
        PlainPage::Place(name) => Page::Place(place(&name)?),
        PlainPage::Round(name) => Page::Round(place(&name)?),
        PlainPage::Journal => Page::Journal,
    };
    let mut model = Model::new(desk.board(on)?, today).with(settings);
    match page {
        Page::Cells(part) => model.tray = Tray::open(&model.board.state, part),
        Page::Round(place) => {
            let round = model.round_of(place);
            model.rounds.insert(place, round);
        }
        _ => {}
    }
    // There are no keys to ask for the rest by.
    model.in_full = true;
    if page != Page::Morning {
        model.pages.push((page, model.cursor()));
    }
    let batch = if let Page::Batch(batch) = page { Some(batch) } else { None };
    let acts = if page == Page::Journal { u32::MAX } else { 0 };
    model.see(sight(desk, on, batch, acts, page)?);
    if let Some(bench) = bench {
        let named =
            |plan: &BenchPlan| plan.place_name.same_as(bench.place.as_str()) && plan.name.same_as(bench.name.as_str());
        let found = model.plans.iter().find(|plan| named(plan)).map(|plan| plan.bench);
        let row = model.on_benches().position(|row| Some(row.bench()) == found);
        let index = row.ok_or(DeskError::Nothing("no bench of that name"))?;
        model.set_cursor(Cursor { section: Section::Standing, index });
    }
    Ok(plain::plain(&model))
}

/// The part of a word that stands in cells; of a batch the first that does.
fn with_cells(desk: &Desk, part: PartRef, on: Date) -> Result<PartId, DeskError> {
    let view = desk.batch(part.batch, on)?;
    let meant = |row: &&PartView| part.letter.is_none_or(|letter| row.part.label.letter == letter);
    let found = view.parts.iter().filter(meant).find(|row| !row.cells.is_empty() && row.cleared.is_none());
    found.map(|row| row.part.id).ok_or(DeskError::Nothing("no part of that name stands in cells now"))
}
