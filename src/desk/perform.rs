//! Performing an act: look up, decide, admit, write. One transaction, all or nothing.

use std::cell::OnceCell;

use serde::Serialize;

use crate::advice::emptied_since;
use crate::grammar::{Request, Sure};
use crate::journal::{Act, Entry, Fact, History, State, admit, decide, fold};
use crate::quantity::{ActId, BatchId, BatchLabel, Date, EntryId, Moment, PartLabel};
use crate::store::{Books, Scope};
use crate::trade::Trade;

use super::error::DeskError;
use super::meant::Meant;
use super::needs::{Beside, Needs};
use super::resolve::{Known, resolve};
use super::{Desk, cautions, clock, doubt, heed, outlook, said, scope_of, sides, tonight};

/// An act that was done and is on the disk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Done {
    /// Its identity.
    pub act: ActId,
    /// What was done, as a command word.
    pub verb: &'static str,
    /// The day it happened.
    pub on: Date,
    /// The batch it was about, if it was about one.
    pub batch: Option<BatchLabel>,
    /// The batches that were there before and were named in what was asked.
    #[serde(skip)]
    pub meant: Vec<Meant>,
    /// The parts it made or touched.
    pub parts: Vec<PartLabel>,
    /// What happened, a sentence each.
    pub said: Vec<String>,
    /// What the grower may want to know beside: what can cost plants first, then cautions, then the rest.
    pub notices: Vec<String>,
}

impl Done {
    /// What happened, and below it what to know beside, a line each.
    #[must_use]
    pub fn in_lines(&self) -> String {
        let said = self.said.join("; ");
        std::iter::once(said).chain(self.notices.iter().cloned()).collect::<Vec<_>>().join("\n")
    }
}

impl Desk {
    /// Does what was asked and writes it, dated `on`.
    ///
    /// # Errors
    /// When a name is not known, the act cannot be true, or the journal cannot be written. Nothing is written then.
    pub fn perform(&mut self, request: &Request, on: Date) -> Result<Done, DeskError> {
        self.perform_meant(request, &[], on)
    }

    /// The same for one who chose these batches before saying what to do: whatever became of their numbers meanwhile, it
    /// is done to no other.
    ///
    /// # Errors
    /// As for [`Desk::perform`], and when a number means another batch now.
    pub fn perform_meant(&mut self, request: &Request, meant: &[Meant], on: Date) -> Result<Done, DeskError> {
        let trade = &self.trade;
        self.journal.write(|books| performed(books, trade, request, meant, on))
    }
}

/// Does what was asked within a transaction, to no other batches than those that were meant, where that is known.
pub(super) fn performed(
    books: &Books<'_>,
    trade: &Trade,
    request: &Request,
    meant: &[Meant],
    on: Date,
) -> Result<Done, DeskError> {
    if on > clock::today() {
        return Err(DeskError::Future { on });
    }
    // A clock that is set to no day is the trouble, not the plants that were not there yet.
    clock::now()?;
    let (request, sure) = request.said();
    let needs = Needs::of(books, request)?;
    if let Some(other) = meant.iter().find(|meant| !needs.batches.contains(&meant.batch)) {
        return Err(not_meant(books, other)?);
    }
    // What stands beside is read first: what is written is what the act's own history reached.
    let scope = match needs.beside {
        Beside::Nothing => None,
        Beside::Standing => Some(Scope::StoodSince { day: on }),
        Beside::Emptied => Some(Scope::StoodSince { day: emptied_since(on) }),
        Beside::Weather => Some(scope_of(on)),
    };
    let beside = scope.map(|scope| books.history(scope)).transpose()?;
    let standing = beside.as_ref().map(|beside| clock::fold_until(beside, on).0).unwrap_or_default();
    let history = books.history(needs.scope(on))?;
    let (state, _) = clock::fold_until(&history, on);
    let (latest, _) = fold(&history);
    if let Some(other) = meant.iter().find(|one| latest.batches.contains_key(&one.batch) && !one.is_in(&latest)) {
        return Err(DeskError::NotMeant { name: other.to_string(), now: None });
    }
    let known = Known { state: &state, latest: &latest, standing: &standing };
    let planned = resolve(books, trade, known, (request, sure), &needs, on)?;
    // The batches that were read bring their own seed; a new sowing's seed is read now.
    let seed = planned.act.seed().filter(|lot| !latest.lots.contains_key(lot));
    let seed: Vec<Entry> = seed.map(|lot| books.lot_entry(lot)).transpose()?.flatten().into_iter().collect();
    let history = history.with(&seed);
    let (act, entries, after) = enter(books, &history, &planned.act, &state, &latest, request.verb(), on)?;
    if matches!(request, Request::Count { sure: Sure::No, .. }) {
        let then = clock::fold_until(&history.with(&entries), on).0;
        if let Some(doubt) = doubt::of_counts(&state, &then, &after, &entries) {
            return Err(DeskError::Doubt(doubt));
        }
    }
    // What can cost plants or harm the grower is read before what is merely worth knowing.
    let newest = Newest { books, on, stood: OnceCell::new() };
    let mut notices: Vec<String> = clock::doubt(books, on)?.into_iter().collect();
    notices.extend(tonight::notice(&newest, trade, &entries, &after)?);
    notices.extend(outlook::notice(&newest, trade, &entries)?);
    notices.extend(cautions::told(books, trade, request, on, &entries, &after)?);
    notices.extend(planned.notices);
    if let Some(beside) = beside {
        let (before, after) = (fold(&beside).0, fold(&beside.with(&seed).with(&entries)).0);
        notices.extend(sides::notices(&before, &after, trade, on, &entries));
    }
    notices.extend(heed::left_empty(&state, &after, &entries));
    let named = needs.batches.iter().filter_map(|id| Meant::of(&latest, *id)).collect();
    Ok(Done { notices, meant: named, ..report(books, act, request.verb(), on, &entries, &after)? })
}

/// Says what the number of a batch that was meant is now, where it has another.
fn not_meant(books: &Books<'_>, meant: &Meant) -> Result<DeskError, DeskError> {
    let (state, _) = fold(&books.history(Scope::Around(&[meant.batch], &[]))?);
    let now = if meant.is_in(&state) { books.batch_label(meant.batch)? } else { None };
    Ok(DeskError::NotMeant { name: meant.to_string(), now: now.map(|now| now.to_string()) })
}

/// What is live after an act of the journal's newest day, read once and only where something is to be said of it. A backlog
/// is not told of days long past.
pub(super) struct Newest<'a> {
    pub(super) books: &'a Books<'a>,
    pub(super) on: Date,
    stood: OnceCell<State>,
}

impl Newest<'_> {
    /// What is live, with the weather; `None` when the act is of an earlier day.
    pub(super) fn state(&self) -> Result<Option<&State>, DeskError> {
        if self.books.latest_ordinary_day()?.is_some_and(|latest| self.on < latest) {
            return Ok(None);
        }
        if self.stood.get().is_none() {
            let (state, _) = clock::fold_until(&self.books.history(scope_of(self.on))?, self.on);
            let _ = self.stood.set(state);
        }
        Ok(self.stood.get())
    }
}

/// Decides and writes an act within a transaction.
pub(super) fn enter(
    books: &Books<'_>,
    history: &History,
    act: &Act,
    state: &State,
    latest: &State,
    verb: &str,
    on: Date,
) -> Result<(ActId, Vec<Entry>, State), DeskError> {
    let facts = decide(state, latest, act)?;
    let recorded = clock::now()?;
    let id = books.mint(&recorded)?;
    let entries = keyed(facts, id, books.next_entry()?, clock::moment(on));
    let after = admit(history, &entries)?;
    books.append(id, verb, on, &recorded, &entries)?;
    books.rewrite_derived(&after)?;
    Ok((id, entries, after))
}

/// Gives facts their real keys, from `first` on, and the day they are of, and resolves their references to one another.
fn keyed(facts: Vec<Fact>, act: ActId, first: i64, at: Moment) -> Vec<Entry> {
    let real = |id: EntryId| {
        id.provisional_sequence().map_or(id, |sequence| EntryId(first + i64::try_from(sequence).unwrap_or(0)))
    };
    facts
        .into_iter()
        .enumerate()
        .map(|(sequence, mut fact)| {
            fact.for_each_reference(&mut |id| *id = real(*id));
            let id = real(EntryId::provisional(sequence));
            let on = if let Fact::Read { measured, .. } = &fact { measured.of_day(at) } else { at.on };
            Entry { id, act, sequence: u32::try_from(sequence).unwrap_or(u32::MAX), on, fact }
        })
        .collect()
}

fn report(
    books: &Books<'_>,
    act: ActId,
    verb: &'static str,
    on: Date,
    entries: &[Entry],
    after: &State,
) -> Result<Done, DeskError> {
    let mut parts: Vec<PartLabel> = Vec::new();
    let mut batches: Vec<BatchId> = Vec::new();
    for entry in entries {
        match &entry.fact {
            Fact::Begun { .. } => batches.push(BatchId(entry.id)),
            Fact::Filled { .. } => {
                add_part(after, crate::quantity::PartId(entry.id), &mut parts, &mut batches);
            }
            Fact::Counted { part, .. }
            | Fact::Staged { part, .. }
            | Fact::Departed { part, .. }
            | Fact::Cleared { part } => {
                add_part(after, *part, &mut parts, &mut batches);
            }
            Fact::Identified { batch, .. } | Fact::Relabelled { batch, .. } => batches.push(*batch),
            Fact::Moved { container, .. } | Fact::WentOut { container, .. } | Fact::CameIn { container } => {
                let held = after.containers.get(container).map(|container| container.parts.clone()).unwrap_or_default();
                for part in held {
                    add_part(after, part, &mut parts, &mut batches);
                }
            }
            _ => {}
        }
    }
    batches.dedup();
    let batch = match batches.as_slice() {
        [only] => after.batches.get(only).map(|batch| batch.label),
        _ => None,
    };
    let said = said::sentences(books, verb, on, entries, Some(after))?;
    Ok(Done { act, verb, on, batch, meant: Vec::new(), parts, said, notices: Vec::new() })
}

fn add_part(state: &State, id: crate::quantity::PartId, parts: &mut Vec<PartLabel>, batches: &mut Vec<BatchId>) {
    let Some(part) = state.parts.get(&id) else { return };
    let label = state.part_label(part);
    if !parts.contains(&label) {
        parts.push(label);
    }
    if !batches.contains(&part.batch) {
        batches.push(part.batch);
    }
}

impl Needs {
    /// What has to be read to do this.
    pub(super) fn scope(&self, on: Date) -> Scope<'_> {
        if self.everything_live {
            Scope::StoodSince { day: on }
        } else {
            Scope::Around(&self.batches, &self.containers)
        }
    }
}
