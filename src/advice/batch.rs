//! All there is to say of one batch.

use crate::journal::{
    Beginning, Cell, Count, Emptied, Gone, Growth, Lot, Note, Part, Source, Stand, State, Stay, Tally, Ticked, Topic,
};
use crate::quantity::{BatchId, BatchLabel, BenchId, ContainerId, Date, Name, PartId, PartLabel, PlaceId, Remark};
use crate::trade::Trade;

use super::due::{Due, due_of};
use super::germination::{Germination, germination_of};
use super::outlook::{Indices, Outlooks, course};
use super::part::PartAt;
use super::ready::{Ready, ready_of};

/// Where a part was from some day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stayed {
    /// From this day.
    pub from: Date,
    /// The place it was in: where it was out to, or its home.
    pub place: Option<PlaceId>,
    /// The bench, when it was at home on one.
    pub bench: Option<BenchId>,
    /// For people: `frame/left`, `frame for the day`.
    pub at: String,
    /// The place it was out in for the day.
    pub out: Option<Name>,
}

/// One part of a batch, live or not.
#[derive(Clone, Debug, PartialEq)]
pub struct PartView {
    /// The part, what it stands in and where.
    pub part: PartAt,
    /// Where its plants came from.
    pub source: Source,
    /// The part they came from.
    pub from: Option<PartLabel>,
    /// The day it was filled.
    pub filled: Date,
    /// The day its container was emptied of it.
    pub cleared: Option<Date>,
    /// Where its units have gone.
    pub tally: Tally,
    /// Plants moved on into other parts.
    pub moved_on: u32,
    /// Where it was, first first; a carrier's moves are its own.
    pub stays: Vec<Stayed>,
    /// Counts, first first.
    pub counts: Vec<Count>,
    /// What is up by day, as later counts leave it.
    pub curve: Vec<(Date, u32)>,
    /// Growth noted, first first.
    pub stages: Vec<(Date, Growth)>,
    /// Plants that left for good, first first.
    pub gone: Vec<Gone>,
    /// What is known of each of its container's cells; empty where it has none.
    pub cells: Vec<Cell>,
    /// The latest count that was made cell by cell.
    pub ticked: Option<Ticked>,
    /// What it says, in a sentence.
    pub ticks_told: Option<String>,
    /// Cells known to be emptied.
    pub emptied: Vec<Emptied>,
    /// Its next move.
    pub ready: Option<Ready>,
}

/// One batch.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchView {
    /// The batch.
    pub id: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its seed or plants; `None` only when missing from the state.
    pub lot: Option<Lot>,
    /// Sown or received.
    pub beginning: Beginning,
    /// The day it began.
    pub begun: Date,
    /// Where every unit has gone.
    pub tally: Tally,
    /// True while any part is in a container.
    pub live: bool,
    /// What came up; `None` for plants bought in.
    pub germination: Option<Germination>,
    /// How it came up, in figures; `None` for plants bought in, for a pinch and until it is counted.
    pub indices: Option<Indices>,
    /// Its parts, first first.
    pub parts: Vec<PartView>,
    /// Remarks about it, first first.
    pub notes: Vec<(Date, Remark)>,
    /// What is due for it today, in order of harm.
    pub due: Vec<Due>,
    /// The nearest move of any part; `None` when nothing can be said.
    pub next: Option<PartId>,
}

/// All there is to say of a batch; `None` when it is not in the state.
#[must_use]
pub fn batch_view(state: &State, trade: &Trade, outlooks: &Outlooks, id: BatchId, on: Date) -> Option<BatchView> {
    let batch = state.batches.get(&id)?;
    let parts: Vec<PartView> = batch.parts.iter().filter_map(|part| part_view(state, trade, *part, on)).collect();
    let next = parts.iter().filter_map(|part| part.ready.as_ref()).min_by_key(|ready| ready.window.best);
    let next = next.map(|ready| ready.part.id);
    let indices = course(state, id);
    let mut germination = germination_of(state, outlooks, id, on);
    if let (Some(row), Some(indices)) = (&mut germination, &indices) {
        row.why = indices.explain(std::mem::take(&mut row.why));
    }
    let about = |note: &&Note| note.topic == Topic::Batch(id);
    Some(BatchView {
        id,
        label: batch.label,
        lot: state.lots.get(&batch.lot).cloned(),
        beginning: batch.beginning,
        begun: batch.begun,
        tally: state.tally(batch),
        live: state.is_live(batch),
        germination,
        indices,
        parts,
        notes: state.notes.iter().filter(about).map(|note| (note.on, note.remark.clone())).collect(),
        due: due_of(state, trade, outlooks, id, on),
        next,
    })
}

fn part_view(state: &State, trade: &Trade, id: PartId, on: Date) -> Option<PartView> {
    let part = state.parts.get(&id)?;
    let from = match part.source {
        Source::From { part, .. } => state.parts.get(&part).map(|part| state.part_label(part)),
        Source::Sown { .. } | Source::Received { .. } => None,
    };
    Some(PartView {
        part: PartAt::of(state, id)?,
        source: part.source,
        from,
        filled: part.filled,
        cleared: part.cleared,
        tally: state.part_tally(part),
        moved_on: part.moved_on,
        stays: stays(state, part.container),
        counts: part.counts.clone(),
        curve: part.curve(),
        stages: part.stages.clone(),
        gone: part.gone.clone(),
        cells: state.cells(id).unwrap_or_default(),
        ticked: part.ticked.clone(),
        ticks_told: ticks_told(part),
        emptied: part.emptied.clone(),
        ready: ready_of(state, trade, id, on),
    })
}

/// What a part's ticks say, in a sentence; those of an earlier day say so. `None` when it was never ticked.
#[must_use]
pub fn ticks_told(part: &Part) -> Option<String> {
    let Ticked { on, then, standing, now } = part.ticked.as_ref()?;
    let Some(now) = now else {
        let counted = part.counts.last().filter(|count| (count.on, count.standing) != (*on, *standing));
        let since = match counted {
            Some(count) => format!("counted {} since", count.standing),
            None => format!("{} standing now, and which cells was not said", part.standing()),
        };
        return Some(format!("ticked {on}: {}; {since}", then.plants()));
    };
    let doubled = now.doubled();
    let doubled = if doubled.is_empty() { String::new() } else { format!(", two in {doubled}") };
    Some(format!("ticked {on}: cells {}{doubled}", now.cells()))
}

/// Where a container was, first first; while it stood on a carrier it was where the carrier was.
#[must_use]
pub fn stays(state: &State, id: ContainerId) -> Vec<Stayed> {
    let own = state.containers.get(&id).map_or(&[][..], |container| &container.stays);
    let mut found = Vec::new();
    for (index, stay) in own.iter().enumerate() {
        let until = own.get(index + 1).map_or(Date::MAX, |next| next.from);
        let Stand::Carrier(carrier) = stay.stand else {
            found.push(stayed(state, stay, stay.from, None));
            continue;
        };
        let Some(carrier) = state.containers.get(&carrier) else { continue };
        // The carrier's stay at that time, and its stays until the container left it.
        let first = carrier.stays.iter().rposition(|its| its.from <= stay.from).unwrap_or(0);
        for its in carrier.stays.iter().skip(first).take_while(|its| its.from < until || its.from <= stay.from) {
            found.push(stayed(state, its, its.from.max(stay.from), carrier.called.as_ref()));
        }
    }
    found
}

fn stayed(state: &State, stay: &Stay, from: Date, carrier: Option<&Name>) -> Stayed {
    let place_name = |place: &PlaceId| state.places.get(place).map(|place| place.name.clone());
    let (home, bench) = match stay.stand {
        Stand::Bench(bench) => (state.benches.get(&bench).map(|bench| bench.place), Some(bench)),
        Stand::Place(place) => (Some(place), None),
        Stand::Carrier(_) => (None, None),
    };
    let out = stay.out.as_ref().and_then(place_name);
    let mut at = home.as_ref().and_then(place_name).map_or_else(|| "nowhere".to_owned(), String::from);
    if let Some(bench) = bench.and_then(|bench| state.benches.get(&bench)) {
        at = format!("{at}/{}", bench.name);
    }
    if let Some(out) = &out {
        at = format!("{out} for the day");
    }
    if let Some(carrier) = carrier {
        at = format!("{at} on {carrier}");
    }
    Stayed { from, place: stay.out.or(home), bench: if stay.out.is_some() { None } else { bench }, at, out }
}
