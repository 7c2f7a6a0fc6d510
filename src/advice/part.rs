//! A part as advice speaks of it, and what its history says of its age.

use chrono::Datelike;

use crate::journal::{Batch, Part, Source, State};
use crate::quantity::{BatchId, ContainerId, CropName, Date, Name, PartId, PartLabel, PlaceId};
use crate::trade::{Crop, CropKey, Trade};

/// A part, what it stands in and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartAt {
    /// The part.
    pub id: PartId,
    /// What is written on it.
    pub label: PartLabel,
    /// The batch.
    pub batch: BatchId,
    /// Its container.
    pub container: ContainerId,
    /// What the container is called: `72-cell`.
    pub vessel: Name,
    /// Pots in the set; 1 for everything else.
    pub pots: u32,
    /// Plants alive in it.
    pub standing: u32,
    /// The place it is in now: where it is out to, or its home.
    pub place: Option<PlaceId>,
    /// Its home, for people: `frame/left`.
    pub at: String,
    /// The place it is out in for the day.
    pub out: Option<Name>,
}

impl PartAt {
    /// `None` when the part or its container is not in the state.
    pub(super) fn of(state: &State, id: PartId) -> Option<Self> {
        let part = state.parts.get(&id)?;
        let container = state.containers.get(&part.container)?;
        let out = state.containers.get(&state.outermost(part.container)).and_then(|outer| outer.out);
        Some(Self {
            id,
            label: state.part_label(part),
            batch: part.batch,
            container: part.container,
            vessel: container.vessel.name.clone(),
            pots: container.vessel.pots,
            standing: part.standing(),
            place: state.whereabouts(part.container),
            at: state.standing_at(part.container),
            out: out.and_then(|place| state.places.get(&place)).map(|place| place.name.clone()),
        })
    }
}

/// What parts are called in a sentence: `14a 14b 14c +2`, and with their year where that is another.
pub(super) fn listed(parts: &[PartAt], on: Date) -> String {
    const NAMED: usize = 4;
    let named = if parts.len() > NAMED { NAMED - 1 } else { NAMED };
    let more = parts.get(named..).filter(|more| !more.is_empty()).map(|more| format!("+{}", more.len()));
    parts.iter().take(named).map(|part| part.label.in_year(on.year())).chain(more).collect::<Vec<_>>().join(" ")
}

/// The crop and variety of a batch; `unknown` when its lot is not in the state.
pub(super) fn named(state: &State, batch: &Batch) -> (CropName, Option<Name>) {
    state
        .lots
        .get(&batch.lot)
        .map_or_else(|| (CropName::unknown(), None), |lot| (lot.crop.clone(), Some(lot.variety.clone())))
}

/// What the tables know of a batch's crop.
pub(super) fn crop<'a>(state: &State, trade: &'a Trade, batch: &Batch) -> Option<&'a Crop> {
    trade.crop(&CropKey::new(state.lots.get(&batch.lot)?.crop.as_str()))
}

/// The part a part's plants were sown or came in: itself, or the first of those it was moved on from.
pub(super) fn origin(state: &State, part: &Part) -> Option<Part> {
    let mut part = part;
    // Each part is filled after the one its plants left, so the chain ends; the bound only says so.
    for _ in 0..=state.parts.len() {
        match part.source {
            Source::From { part: before, .. } => part = state.parts.get(&before)?,
            Source::Sown { .. } | Source::Received { .. } => return Some(part.clone()),
        }
    }
    None
}

/// The day a part's plants are taken to have come up: when half of what is up now was first seen, as later counts
/// leave it. `None` for plants bought in and for what was never seen up.
#[must_use]
pub fn emerged(state: &State, part: &Part) -> Option<Date> {
    let curve = origin(state, part)?.curve();
    let now = curve.last()?.1;
    curve.into_iter().find(|(_, up)| *up > 0 && *up >= now.div_ceil(2)).map(|(on, _)| on)
}

/// The sown parts from which more may come: live, not all up, and not emptied by moving on.
pub(in crate::advice) fn may_come<'a>(state: &'a State, batch: &'a Batch) -> impl Iterator<Item = (PartId, &'a Part)> {
    state.parts_of(batch).filter(|(_, part)| {
        let emptied = part.left() > 0 && part.standing() == 0;
        part.is_sown() && part.is_live() && part.up < part.sown() && !emptied
    })
}

/// Whole days from one day to another; nothing when the other is earlier.
pub(super) fn days_between(from: Date, to: Date) -> u32 {
    u32::try_from(to.signed_duration_since(from).num_days()).unwrap_or(0)
}

/// The day so many days before another; that itself when there is none.
pub(super) fn before(on: Date, days: u32) -> Date {
    on.checked_sub_days(chrono::Days::new(u64::from(days))).unwrap_or(on)
}

/// The day so many days after another; the calendar's end when there is none.
pub(super) fn after(from: Date, days: u32) -> Date {
    from.checked_add_days(chrono::Days::new(u64::from(days))).unwrap_or(Date::MAX)
}
