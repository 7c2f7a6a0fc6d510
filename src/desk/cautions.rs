//! Cautions told with the act they apply to: each once a season, by what the journal holds.
//!
//! What goes for all crops is told one caution an act: the first act of its kind in a year tells the first, the second
//! the next, until all are told. What goes for a crop is told with the first sowing out of a packet, and when a batch is
//! first taken out of the container it was sown in.

use crate::grammar::Request;
use crate::journal::{Cause, Entry, Fact, PlaceKind, SeedOrigin, Source, State};
use crate::quantity::{Date, LotId};
use crate::store::Books;
use crate::trade::{CropKey, Trade, Work};

use super::error::DeskError;

/// Acts that fill containers share their cautions, and so do those that carry them.
const SHARING: [&[&str]; 2] = [&["sow", "pot-on", "receive"], &["move", "in"]];

/// The cautions that an act calls for. `after` is what the act's own history came to.
pub(super) fn told(
    books: &Books<'_>,
    trade: &Trade,
    request: &Request,
    on: Date,
    entries: &[Entry],
    after: &State,
) -> Result<Vec<String>, DeskError> {
    if let Request::AddPlace { kind, heated_to, .. } = request {
        return Ok(of_place(trade, *kind, heated_to.is_some(), after));
    }
    let mut texts: Vec<String> = Vec::new();
    let general: Vec<&str> = works(request, after)
        .iter()
        .flat_map(|work| trade.cautions(*work, None))
        .map(|caution| caution.text.as_str())
        .collect();
    if !general.is_empty() {
        // The act itself is counted: it is written by now.
        let alone = [request.verb()];
        let verbs = SHARING.into_iter().find(|verbs| verbs.contains(&request.verb())).unwrap_or(&alone);
        let mut before = 0_usize;
        for verb in verbs {
            before += books.acts_of_year(verb, on)?;
        }
        let before = before.saturating_sub(1);
        texts.extend(general.get(before).map(|text| (*text).to_owned()));
    }
    for (work, crop) in of_crops(entries, after) {
        let own = trade.cautions(work, Some(&crop)).filter(|caution| !caution.crops.is_empty());
        texts.extend(own.map(|caution| caution.text.clone()));
    }
    Ok(texts)
}

/// The work that a request is, for all crops.
fn works(request: &Request, after: &State) -> &'static [Work] {
    match request {
        Request::Sow(_) | Request::MoveOn(_) | Request::Receive { .. } => &[Work::Sowing, Work::Potting],
        Request::Thin { .. } => &[Work::Handling],
        Request::GiveAway { .. } => &[Work::Giving],
        Request::Move { .. } | Request::MoveAll { .. } | Request::BringIn { .. } => &[Work::Moving],
        Request::Lose { cause: Cause::Slugs | Cause::Insects | Cause::Mice | Cause::Unknown | Cause::Cold, .. } => {
            &[Work::Pests, Work::Failing]
        }
        Request::Cover { place, .. } => {
            let covered = after.places.values().find(|known| known.name.same_as(place.as_str()));
            if covered.is_some_and(|place| has_panes(place.kind)) { &[Work::Glass] } else { &[] }
        }
        _ => &[],
    }
}

/// What goes for a heated place, or one of glass, with the first of it in the journal.
fn of_place(trade: &Trade, kind: PlaceKind, is_heated: bool, after: &State) -> Vec<String> {
    let heated = after.places.values().filter(|place| place.heated_to.is_some()).count();
    let panes = after.places.values().filter(|place| has_panes(place.kind)).count();
    let works = [(Work::Heating, is_heated && heated == 1), (Work::Glass, has_panes(kind) && panes == 1)];
    let works = works.into_iter().filter(|(_, is_first)| *is_first);
    works.flat_map(|(work, _)| trade.cautions(work, None)).map(|caution| caution.text.clone()).collect()
}

const fn has_panes(kind: PlaceKind) -> bool {
    matches!(kind, PlaceKind::ColdFrame | PlaceKind::Greenhouse | PlaceKind::Cloche)
}

/// The crops that an act is the first of: the first sowing of a packet, the first plants out of a sown container.
fn of_crops(entries: &[Entry], after: &State) -> Vec<(Work, CropKey)> {
    let mut found = Vec::new();
    for entry in entries {
        match &entry.fact {
            Fact::LotAdded { .. } if entries.iter().any(|entry| matches!(entry.fact, Fact::Begun { .. })) => {
                let Some(lot) = after.lots.get(&LotId(entry.id)) else { continue };
                let crop = CropKey::new(lot.crop.as_str());
                if lot.origin == SeedOrigin::HomeSaved {
                    found.push((Work::SavedSeed, crop.clone()));
                }
                found.push((Work::Sowing, crop));
            }
            Fact::Filled { batch, source: Source::From { .. }, .. } => {
                let batch = after.batches.get(batch);
                // Its first container and this one.
                let Some(batch) = batch.filter(|batch| batch.parts.len() == 2) else { continue };
                let crop = after.lots.get(&batch.lot).map(|lot| CropKey::new(lot.crop.as_str()));
                found.extend(crop.map(|crop| (Work::Handling, crop)));
            }
            _ => {}
        }
    }
    found
}
