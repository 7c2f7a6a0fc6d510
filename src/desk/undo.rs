//! Undo and redo: a later word on an act, refused when something logged since depends on it.

use crate::grammar::{ActRef, Later};
use crate::journal::{Entry, Fact, History, State, admit, dependents, fold};
use crate::quantity::{ActId, BatchId, ContainerId, Date, LotId};
use crate::store::{ActRecord, Books, Ruling, Scope};
use crate::trade::Trade;

use super::error::DeskError;
use super::perform::Done;
use super::{Desk, clock, said, sides};

impl Desk {
    /// Takes an act out of force: the one named, or this device's newest.
    ///
    /// # Errors
    /// When there is nothing to undo, or later acts depend on it and are to be kept.
    pub fn undo(&mut self, act: Option<&ActRef>, later: Later, on: Date) -> Result<Done, DeskError> {
        let trade = &self.trade;
        self.journal.write(|books| undone(books, trade, act, later, on))
    }

    /// Brings back what this device undid last, if nothing else was done since.
    ///
    /// # Errors
    /// When there is nothing to redo, or it can no longer be true.
    pub fn redo(&mut self, on: Date) -> Result<Done, DeskError> {
        let trade = &self.trade;
        self.journal.write(|books| redone(books, trade, on))
    }
}

pub(super) fn undone(
    books: &Books<'_>,
    trade: &Trade,
    act: Option<&ActRef>,
    later: Later,
    on: Date,
) -> Result<Done, DeskError> {
    let target = match act {
        Some(name) => named(books, name)?,
        None => books.last_in_force()?.ok_or(DeskError::Nothing("there is nothing to undo"))?,
    };
    if target.ruling == Ruling::Undone {
        return Err(DeskError::Nothing("that act is undone already: `redo` brings the last one back"));
    }
    if !target.rules_on.is_empty() {
        return Err(DeskError::Nothing("that act is itself an undo or redo: use `redo` or `undo`"));
    }
    let mut targets = vec![target];
    // What depends on an act may touch other batches, on which yet others depend: look again until none is left.
    loop {
        let records: Vec<&ActRecord> = targets.iter().collect();
        let history = books.history(scope_of(&touched(books, &records)?))?;
        let ids: Vec<ActId> = targets.iter().map(|record| record.id).collect();
        let more = dependents(&history, &ids);
        if more.is_empty() {
            break;
        }
        targets.extend(books.acts_with(&more)?);
    }
    if later == Later::Keep && targets.len() > 1 {
        return Err(depended_on(books, &targets[1..])?);
    }
    rule(books, trade, &targets, Ruling::Undone, on)
}

pub(super) fn redone(books: &Books<'_>, trade: &Trade, on: Date) -> Result<Done, DeskError> {
    let targets = books.to_redo()?;
    if targets.is_empty() {
        return Err(DeskError::Nothing(
            "there is nothing to bring back: `redo` only follows an undo, before anything else is done",
        ));
    }
    let records: Vec<&ActRecord> = targets.iter().collect();
    let history = books.history(scope_of(&touched(books, &records)?))?;
    let entries: Vec<Entry> = targets.iter().flat_map(|record| record.entries.clone()).collect();
    admit(&history, &entries)?;
    rule(books, trade, &targets, Ruling::Restored, on)
}

fn named(books: &Books<'_>, name: &ActRef) -> Result<ActRecord, DeskError> {
    let mut found = books.acts_ending(name.as_str())?;
    match found.len() {
        1 => found.pop().ok_or(DeskError::Nothing("no such act")),
        0 => Err(DeskError::Unknown {
            what: "act",
            name: name.as_str().to_owned(),
            hint: "copy the letters and digits that `history` shows".to_owned(),
        }),
        _ => Err(DeskError::Ambiguous {
            name: name.as_str().to_owned(),
            list: found.iter().map(|record| record.id.to_string()).collect::<Vec<_>>().join(" or "),
            hint: "write more of it",
        }),
    }
}

/// What acts touched: `None` when only the whole log can tell what depends on them.
pub(super) type Touched = Option<(Vec<BatchId>, Vec<ContainerId>)>;

pub(super) fn touched(books: &Books<'_>, records: &[&ActRecord]) -> Result<Touched, DeskError> {
    let (mut batches, mut containers) = (Vec::new(), Vec::new());
    for entry in records.iter().flat_map(|record| &record.entries) {
        match &entry.fact {
            Fact::PlaceAdded { .. } | Fact::BenchAdded { .. } => return Ok(None),
            Fact::LotAdded { .. } => batches.extend(books.batches_from(LotId(entry.id))?),
            Fact::BenchResized { .. }
            | Fact::ContainerMeasured { .. }
            | Fact::ContainerOwned { .. }
            | Fact::ContainerWashed { .. }
            | Fact::Read { .. }
            | Fact::Forecast { .. }
            | Fact::Covered { .. } => {}
            Fact::Begun { .. } => batches.push(BatchId(entry.id)),
            Fact::Filled { batch, container, .. } => {
                batches.push(*batch);
                containers.push(*container);
            }
            Fact::Stood { .. } => containers.push(ContainerId(entry.id)),
            Fact::Counted { part, .. }
            | Fact::Staged { part, .. }
            | Fact::Departed { part, .. }
            | Fact::Cleared { part } => {
                batches.extend(books.part_label(*part)?.map(|(batch, _)| batch));
            }
            Fact::Moved { container, .. }
            | Fact::WentOut { container, .. }
            | Fact::CameIn { container }
            | Fact::PutAway { container } => {
                containers.push(*container);
            }
            Fact::Identified { batch, .. } | Fact::Relabelled { batch, .. } => batches.push(*batch),
            Fact::Noted { topic, .. } => match topic {
                crate::journal::Topic::Batch(batch) => batches.push(*batch),
                crate::journal::Topic::Place(_) => {}
            },
        }
    }
    Ok(Some((batches, containers)))
}

pub(super) fn scope_of(touched: &Touched) -> Scope<'_> {
    touched.as_ref().map_or(Scope::All, |(batches, containers)| Scope::Around(batches, containers))
}

fn depended_on(books: &Books<'_>, dependents: &[ActRecord]) -> Result<DeskError, DeskError> {
    const LISTED: usize = 5;
    let mut list = Vec::new();
    for record in dependents.iter().take(LISTED) {
        let what = said::in_short(&said::sentences(books, &record.verb, record.happened, &record.entries, None)?)
            .unwrap_or_default();
        list.push(format!("{} {} ({what})", said::short(record.id), record.happened));
    }
    if dependents.len() > LISTED {
        list.push(format!("and {} more", dependents.len() - LISTED));
    }
    Ok(DeskError::Dependents { count: dependents.len(), list: list.join("; ") })
}

fn rule(books: &Books<'_>, trade: &Trade, targets: &[ActRecord], ruling: Ruling, on: Date) -> Result<Done, DeskError> {
    let of_space = targets.iter().flat_map(|record| &record.entries).any(sides::is_of_space);
    let stands = || -> Result<State, DeskError> {
        if !of_space {
            return Ok(State::default());
        }
        Ok(fold(&books.history(Scope::StoodSince { day: on })?).0)
    };
    let before = stands()?;
    let recorded = clock::now()?;
    let id = books.mint(&recorded)?;
    let rows: Vec<(i64, ActId)> = targets.iter().map(|record| (record.row, record.id)).collect();
    books.rule(id, on, &recorded, &rows, ruling)?;
    let records: Vec<&ActRecord> = targets.iter().collect();
    let touched = touched(books, &records)?;
    let history: History = books.history(scope_of(&touched))?;
    let (after, _) = fold(&history);
    books.rewrite_derived(&after)?;
    let entries: Vec<&Entry> = targets.iter().flat_map(|record| &record.entries).collect();
    let notices = sides::ruled_notices(&before, &stands()?, trade, on, &entries);
    let mut said = Vec::new();
    for record in targets {
        let sentences = said::sentences(books, &record.verb, record.happened, &record.entries, None)?;
        said.push(format!("{}: {}", ruling.word(), said::in_short(&sentences).unwrap_or_else(|| record.verb.clone())));
    }
    Ok(Done { act: id, verb: ruling.verb(), on, batch: None, meant: Vec::new(), parts: Vec::new(), said, notices })
}
