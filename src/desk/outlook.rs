//! What earlier sowings taught, and with it the outlook for every sowing that stands.

use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::Path;

use chrono::Days;

use crate::advice::{self, By, Compared, Curve, LotUse, NEWEST, Outlook, Outlooks, Record};
use crate::exchange::NewFile;
use crate::exchange::svg::{self, Plot};
use crate::grammar::ToldBy;
use crate::journal::{Batch, Beginning, Entry, Fact, State};
use crate::quantity::{BatchId, CropName, Date, LotId};
use crate::store::{Books, Scope};
use crate::trade::Trade;

use super::error::DeskError;
use super::perform::Newest;
use super::{Desk, clock};

/// Days marked along the foot of a picture besides the last.
const MARKS: u32 = 4;

impl Desk {
    /// The record of earlier sowings of the crops that stand, of those that stand, and of the seed at hand: at most the
    /// newest [`NEWEST`] of a crop, so that its cost does not grow with the years.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn record(&self, state: &State, on: Date) -> Result<Record, DeskError> {
        self.journal.read(|books| record(books, &self.trade, state, on))
    }

    /// The outlook for every sowing that stands in a state.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn outlooks(&self, state: &State, on: Date) -> Result<Outlooks, DeskError> {
        Ok(advice::outlooks(state, &self.trade, &self.record(state, on)?, on))
    }

    /// The course of a sowing beside what was expected of it, with its outlook where it has one; `None` when nothing can be expected.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn curve(&self, batch: BatchId, outlook: Option<&Outlook>, on: Date) -> Result<Option<Curve>, DeskError> {
        let state = self.state(on)?;
        Ok(advice::curve(&state, &self.trade, &self.record(&state, on)?, (batch, outlook), on))
    }

    /// The newest sowings of a crop that are over, at most [`NEWEST`], and those that stand and had their time, compared in one or in each of the three ways; and
    /// the crop as the tables name it.
    ///
    /// # Errors
    /// When there is no such crop or the journal cannot be read.
    pub fn compared(
        &self,
        crop: &str,
        by: Option<ToldBy>,
        on: Date,
    ) -> Result<(CropName, Vec<(ToldBy, Compared)>), DeskError> {
        let crop = self.trade.find_crop(crop)?;
        let crop = CropName::new(crop.key().as_str()).map_err(|_| DeskError::Nothing("the crop has no name"))?;
        let state = self.state(on)?;
        let is_of = |lot: &LotId| state.lots.get(lot).is_some_and(|lot| lot.crop == crop);
        let history = self.journal.read(|books| -> Result<_, DeskError> {
            let mut sown = books.past_sowings(&crop, u32::try_from(NEWEST).unwrap_or(u32::MAX))?;
            // A sowing may be over while its plants stand.
            sown.extend(state.batches.iter().filter(|(_, batch)| is_of(&batch.lot)).map(|(id, _)| *id));
            sown.sort_unstable();
            sown.dedup();
            Ok(books.history(Scope::Around(&sown, &[]))?)
        })?;
        let record = Record::of(&clock::fold_until(&history, on).0, &self.trade, on);
        let so_far = advice::so_far(&state, &self.outlooks(&state, on)?, &crop, on);
        let ways = [(ToldBy::Lots, By::Lot), (ToldBy::Treatments, By::Treatment), (ToldBy::Years, By::Year)];
        let asked = ways.into_iter().filter(|(way, _)| by.is_none_or(|by| by == *way));
        let rows = asked
            .flat_map(|(way, by)| advice::compared(&record, &so_far, &crop, by).into_iter().map(move |row| (way, row)));
        let rows = rows.collect();
        Ok((crop, rows))
    }

    /// Draws the courses of all sowings that stand in a new file, as SVG, by their numbers. Returns how many there are.
    ///
    /// # Errors
    /// When nothing stands that was sown, the file is there already or cannot be written, or the journal cannot be read.
    /// There is no file then.
    pub fn plot_germination(&self, to: &Path, on: Date) -> Result<usize, DeskError> {
        let failed = |error: std::io::Error| DeskError::file(to, &error);
        let state = self.state(on)?;
        let record = self.record(&state, on)?;
        let outlooks = advice::outlooks(&state, &self.trade, &record, on);
        let mut live: Vec<_> = state.batches.iter().filter(|(_, batch)| state.is_live(batch)).collect();
        live.sort_by_key(|(id, batch)| (batch.label, **id));
        let plot = |(id, batch): &(&BatchId, &Batch)| {
            Some(plot(
                title(&state, batch),
                &advice::curve(&state, &self.trade, &record, (**id, outlooks.of(**id)), on)?,
            ))
        };
        let plots: Vec<Plot> = live.iter().filter_map(plot).collect();
        if plots.is_empty() {
            return Err(DeskError::Nothing("nothing is sown, so there is no curve to draw"));
        }
        let mut file = NewFile::begin(to).map_err(failed)?;
        file.write_all(svg::germination(&plots).as_bytes()).map_err(failed)?;
        file.finish().map_err(failed)?;
        Ok(plots.len())
    }
}

/// See [`Desk::record`].
fn record(books: &Books<'_>, trade: &Trade, state: &State, on: Date) -> Result<Record, DeskError> {
    let live = state.batches.values().filter(|batch| state.is_live(batch));
    let crops: BTreeSet<&CropName> = live.filter_map(|batch| state.lots.get(&batch.lot)).map(|lot| &lot.crop).collect();
    let most = u32::try_from(NEWEST).unwrap_or(u32::MAX);
    let mut past: Vec<BatchId> = Vec::new();
    for crop in &crops {
        past.extend(books.past_sowings(crop, most)?);
    }
    let history = books.history(Scope::Around(&past, &[]))?;
    let days = advice::days_to_learn_from(&clock::fold_until(&history, on).0, on);
    let history = history.with(&books.temperatures(&days)?);
    let mut record = Record::of(&clock::fold_until(&history, on).0, trade, on);
    record = record.and(Record::of(state, trade, on));
    for crop in crops {
        for lot in books.newest_lots(crop, most)? {
            record.add_lot(lot.id, LotUse { sown: books.sown_from(lot.id)?, lot: lot.lot });
        }
    }
    Ok(record)
}

/// A line for seed just sown of which little is to be expected, of a packet that failed before, or where it is too cold or
/// too hot for it.
pub(super) fn notice(newest: &Newest<'_>, trade: &Trade, entries: &[Entry]) -> Result<Option<String>, DeskError> {
    let sown = entries.iter().find_map(|entry| match &entry.fact {
        Fact::Begun { beginning: Beginning::Sown { .. }, .. } => Some(BatchId(entry.id)),
        _ => None,
    });
    let Some(sown) = sown else { return Ok(None) };
    let Some(mut state) = newest.state()?.cloned() else { return Ok(None) };
    // What else stands teaches nothing that is said here, and its past need not be read.
    let lot = state.batches.get(&sown).map(|batch| batch.lot);
    let crop = lot.and_then(|lot| state.lots.get(&lot)).map(|lot| lot.crop.clone());
    let is_kin = |batch: &Batch| state.lots.get(&batch.lot).map(|lot| &lot.crop) == crop.as_ref();
    let kin: Vec<BatchId> = state.batches.iter().filter(|(_, batch)| is_kin(batch)).map(|(id, _)| *id).collect();
    state.batches.retain(|id, _| kin.contains(id));
    let outlooks = advice::outlooks(&state, trade, &record(newest.books, trade, &state, newest.on)?, newest.on);
    Ok(outlooks.of(sown).and_then(advice::Outlook::at_sowing))
}

/// `2026/14 tomato Copper Lantern`.
fn title(state: &State, batch: &Batch) -> String {
    let lot = state.lots.get(&batch.lot);
    let named = lot.map(|lot| format!(" {} {}", lot.crop, lot.variety)).unwrap_or_default();
    format!("{}{named}", batch.label)
}

fn plot(title: String, curve: &Curve) -> Plot {
    let since = |on: Date| u32::try_from((on - curve.sown_on).num_days()).unwrap_or(0);
    let days = since(curve.end);
    let mark = |day: u32| {
        let on = curve.sown_on.checked_add_days(Days::new(u64::from(day)));
        (day, on.unwrap_or(curve.end).format("%-d %b").to_string())
    };
    let mut marks: Vec<_> = (0..MARKS).map(|at| mark(at * days / MARKS)).chain([mark(days)]).collect();
    marks.dedup();
    Plot {
        title,
        sown: curve.sown,
        days,
        today: (curve.today <= curve.end).then(|| since(curve.today)),
        band: curve.expected.iter().map(|band| (since(band.on), band.low, band.median, band.high)).collect(),
        counts: curve.counts.iter().map(|(on, up)| (since(*on), *up)).collect(),
        marks,
    }
}
