//! What happened, in a sentence: for the answer to an act and for the history.

use serde::Serialize;

use crate::grammar::BatchRef;
use crate::journal::{
    Beginning, BenchSize, Departure, Entry, Fact, Growth, Measured, Observed, Part, Source, Spot, Stand, State, Topic,
    Transfer,
};
use crate::quantity::{ActId, BatchId, CellSet, ContainerId, Date, PartId, SownUnit};
use crate::store::{ActRecord, Books, Ruling};

use super::Desk;
use super::error::DeskError;
use super::lookup::find_batch;

/// One act as the history shows it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HistoryRow {
    /// Its identity.
    pub act: ActId,
    /// Its short name: the last digits of its identity, enough to undo it by.
    pub short: String,
    /// The day it happened.
    pub on: Date,
    /// The instant it was recorded, RFC 3339 UTC.
    pub recorded: String,
    /// What was done, as a command word.
    pub verb: String,
    /// What happened, a sentence each.
    pub said: Vec<String>,
    /// Crop and variety of the batches it is about, each once.
    pub plants: Vec<String>,
    /// True while it is out of force.
    pub undone: bool,
}

/// Digits of an act's identity that make its short name.
const SHORT: usize = 8;

impl Desk {
    /// The latest acts, latest first; those about one batch if it is named.
    ///
    /// # Errors
    /// When the batch is not known or the journal cannot be read.
    pub fn history(&self, limit: u32, batch: Option<BatchRef>) -> Result<Vec<HistoryRow>, DeskError> {
        self.journal.read(|books| {
            let batch = batch.map(|batch| find_batch(books, batch)).transpose()?;
            books.acts(limit, batch)?.iter().map(|record| row(books, record)).collect()
        })
    }
}

/// The last digits of an act's identity.
pub(super) fn short(act: ActId) -> String {
    let text = act.0.simple().to_string();
    text[text.len() - SHORT..].to_owned()
}

/// An act as the history shows it.
pub(super) fn row(books: &Books<'_>, record: &ActRecord) -> Result<HistoryRow, DeskError> {
    let mut plants = books.plants_of(record.id)?;
    for act in &record.rules_on {
        plants.extend(books.plants_of(*act)?);
    }
    plants.dedup();
    let said = if record.rules_on.is_empty() {
        sentences(books, &record.verb, record.happened, &record.entries, None)?
    } else {
        let ruled: Vec<String> = books
            .acts_with(&record.rules_on)?
            .iter()
            .map(|target| {
                Ok(in_short(&sentences(books, &target.verb, target.happened, &target.entries, None)?)
                    .unwrap_or_default())
            })
            .collect::<Result<_, DeskError>>()?;
        ruled.into_iter().map(|sentence| format!("{}: {sentence}", record.verb)).collect()
    };
    Ok(HistoryRow {
        act: record.id,
        short: short(record.id),
        on: record.happened,
        recorded: record.recorded.clone(),
        verb: record.verb.clone(),
        said,
        plants,
        undone: record.ruling == Ruling::Undone,
    })
}

/// One sentence for each thing of note among an act's entries; of what was placed the others, noted where they were drawn,
/// are told together. `on` is the day of the act; `after` lends its numbers, when it is at hand.
pub(super) fn sentences(
    books: &Books<'_>,
    verb: &str,
    on: Date,
    entries: &[Entry],
    after: Option<&State>,
) -> Result<Vec<String>, DeskError> {
    let mut said = Vec::new();
    for entry in entries {
        match &entry.fact {
            Fact::Moved { container, stand, spot: None } if verb == "place" => {
                let (what, on) = (container_name(books, *container)?, standing(books, *stand)?);
                said.push(format!("{what} stands on {on} wherever there is room for it"));
            }
            _ => said.extend(sentence(books, entry, on, entries, after)?),
        }
    }
    if verb == "place" && said.len() > 1 {
        let others = said.len() - 1;
        let were = if others == 1 { "1 other was" } else { &format!("{others} others were") };
        said.truncate(1);
        said.push(format!("{were} noted where drawn"));
    }
    Ok(said)
}

/// An act in a line: its first sentence, or how many things it did and the first two of them.
pub(super) fn in_short(sentences: &[String]) -> Option<String> {
    match sentences {
        [] => None,
        [only] => Some(only.clone()),
        [one, other] => Some(format!("{one}; {other}")),
        [one, other, rest @ ..] => Some(format!("{} things: {one}; {other}; and {} more", sentences.len(), rest.len())),
    }
}

/// A bench's size with the height above it: `900 mm x 500 mm, 400 mm high at the back and 250 mm at the front`.
fn bench_words(size: &BenchSize) -> String {
    let roof = match (size.headroom_back, size.headroom_front) {
        (Some(back), Some(front)) if back != front => format!(", {back} high at the back and {front} at the front"),
        (Some(level), _) | (None, Some(level)) => format!(", {level} high"),
        (None, None) => String::new(),
    };
    format!("{} x {}{roof}", size.length, size.width)
}

/// One sentence for an entry, told with the others of its act, which is of the day `on`; `None` for what another entry
/// tells.
pub(super) fn sentence(
    books: &Books<'_>,
    entry: &Entry,
    on: Date,
    all: &[Entry],
    after: Option<&State>,
) -> Result<Option<String>, DeskError> {
    Ok(Some(match &entry.fact {
        Fact::PlaceAdded { name, kind, .. } => format!("{name}: {} {kind}", article(kind.word())),
        Fact::BenchAdded { size, .. } => {
            let bench = books.bench_name(crate::quantity::BenchId(entry.id))?;
            format!("{bench}: {}", bench_words(size))
        }
        Fact::BenchResized { bench, size } => {
            format!("{} is {}", books.bench_name(*bench)?, bench_words(size))
        }
        Fact::LotAdded { crop, variety, packed, .. } => match packed {
            Some(year) => format!("seed of {crop} {variety}, packed {year}"),
            None => format!("seed of {crop} {variety}"),
        },
        // A container is told of with what fills it; only an empty carrier stands by itself.
        Fact::Stood { called: Some(called), vessel, stand, .. } => {
            format!("{called}: an empty {} at {}", vessel.name, standing(books, *stand)?)
        }
        Fact::Stood { .. } => return Ok(None),
        Fact::Begun { label, lot, beginning } => {
            let what = match beginning {
                Beginning::Sown { .. } => "sown",
                Beginning::Received => "received",
            };
            format!("{label} {} {what}", books.lot_name(*lot)?)
        }
        Fact::Filled { container, source, from_cells, .. } => {
            format!("{}{}", filled(books, entry, *container, *source, all)?, of_cells(from_cells))
        }
        Fact::Counted { part, observed } => {
            format!(
                "{}: {}",
                part_name(books, *part)?,
                after.map_or_else(|| seen(observed), |state| counted(observed, state, *part))
            )
        }
        Fact::Staged { part, growth } => format!("{}: {}", part_name(books, *part)?, grown(*growth)),
        Fact::Departed { part, plants, how, cells } => {
            let left = after.and_then(|state| state.parts.get(part)).map(Part::standing);
            let left = left.map_or_else(String::new, |left| format!(", {left} left standing"));
            format!("{}: {plants} {}{}{left}", part_name(books, *part)?, departed(how), of_cells(cells))
        }
        Fact::Cleared { part } => format!("{} cleared", part_name(books, *part)?),
        Fact::Moved { container, stand, spot } => {
            let (what, on) = (container_name(books, *container)?, standing(books, *stand)?);
            match spot {
                None if matches!(stand, Stand::Carrier(_)) => format!("{what} set {on}"),
                None => format!("{what} moved to {on}"),
                Some(Spot { x, y, turned, pinned }) => {
                    let turned = if *turned { ", turned" } else { "" };
                    let pinned = if *pinned { ", pinned" } else { "" };
                    format!("{what} stands at {x},{y} mm on {on}{turned}{pinned}")
                }
            }
        }
        Fact::ContainerMeasured { name, size } => match size.height {
            Some(height) => format!("{name} is {} x {}, {height} high", size.length.0, size.width),
            None => format!("{name} is {} x {}", size.length.0, size.width),
        },
        Fact::ContainerOwned { name, count } => format!("{count} of {name} in all"),
        Fact::ContainerWashed { name, count } => format!("{count} of {name} washed"),
        Fact::WentOut { container, place } => {
            format!("{} out for the day in {}", container_name(books, *container)?, books.place_name(*place)?)
        }
        Fact::CameIn { container } => format!("{} home again", container_name(books, *container)?),
        Fact::PutAway { container } => format!("{} put away", books.container_name(*container)?),
        Fact::Identified { batch, lot } => format!("{} is {}", batch_name(books, *batch)?, books.lot_name(*lot)?),
        // What it is called now would be its new number: so it is called by its seed and the first one.
        Fact::Relabelled { batch, label } => match books.begun_as(*batch)? {
            Some((first, plants)) => format!("{plants}, begun as {first}, is now numbered {label}"),
            None => format!("now numbered {label}"),
        },
        Fact::Noted { topic, remark } => match topic {
            Topic::Batch(batch) => format!("{}: {remark}", batch_name(books, *batch)?),
            Topic::Place(place) => format!("{}: {remark}", books.place_name(*place)?),
        },
        Fact::Read { place, measured } => {
            let of_day = if entry.on == on { String::new() } else { format!(", of {}", entry.on) };
            format!("{}: {}{of_day}", books.place_name(*place)?, read(*measured))
        }
        Fact::Forecast { day, low, high } => format!("forecast for {day}: {low} to {high}"),
        Fact::Covered { place, on } => {
            format!("{} {}", books.place_name(*place)?, if *on { "covered" } else { "uncovered" })
        }
    }))
}

fn filled(
    books: &Books<'_>,
    entry: &Entry,
    container: ContainerId,
    source: Source,
    all: &[Entry],
) -> Result<String, DeskError> {
    let label = part_name(books, PartId(entry.id))?;
    let stood = all.iter().find(|other| other.id == container.0).map(|other| &other.fact);
    let (into, at) = match stood {
        Some(Fact::Stood { vessel, stand, .. }) => {
            let what =
                if vessel.pots > 1 { format!("{} {}s", vessel.pots, vessel.name) } else { vessel.name.to_string() };
            (what, format!(", {}", standing(books, *stand)?))
        }
        _ => {
            let others: Vec<String> = books.parts_before(PartId(entry.id))?.iter().map(ToString::to_string).collect();
            (format!("room beside {}", others.join(" and ")), String::new())
        }
    };
    Ok(match source {
        Source::Sown { units, per_cell } => {
            let unit = all.iter().find_map(|other| match other.fact {
                Fact::Begun { beginning: Beginning::Sown { unit, .. }, .. } => Some(unit),
                _ => None,
            });
            let what = match (unit, units) {
                (Some(SownUnit::Cluster), 1) => "cluster",
                (Some(SownUnit::Cluster), _) => "clusters",
                (Some(SownUnit::Pinch), _) => "or so, a pinch,",
                (_, 1) => "seed",
                _ => "seeds",
            };
            let each = per_cell.filter(|each| *each > 1).map_or_else(String::new, |each| format!(", {each} to each"));
            format!("{label}: {units} {what} in {into}{each}{at}")
        }
        Source::Received { plants } => format!("{label}: {plants} plants in {into}{at}"),
        Source::From { part, plants, how } => {
            let from = part_name(books, part)?;
            match how {
                Transfer::Parted if all.iter().any(|other| other.fact == Fact::Cleared { part }) => {
                    format!("{label}: {plants} of {from} stay, in {into}{at}")
                }
                Transfer::Parted => format!("{label}: {plants} of {from}, moved to{}", at.trim_start_matches(',')),
                _ => format!("{label}: {plants} {how} from {from} into {into}{at}"),
            }
        }
    })
}

fn counted(observed: &Observed, state: &State, part: PartId) -> String {
    let Some(part) = state.parts.get(&part) else { return seen(observed) };
    let of = state.batches.get(&part.batch).map(|batch| &batch.beginning);
    let is_pinch = matches!(of, Some(Beginning::Sown { unit: SownUnit::Pinch, .. })) && part.is_sown();
    let standing = part.standing();
    let text = match (part.is_sown(), part.gained) {
        (true, more) if is_pinch => {
            format!("{} up of a pinch of {} or so, {standing} standing", part.up.saturating_add(more), part.sown())
        }
        (true, 0) => format!("{} up of {}, {standing} standing", part.up, part.sown()),
        // Of clusters and doubles several seedlings come of what is up once.
        (true, _) => format!("{} up of {}, {standing} standing of {} seedlings", part.up, part.sown(), part.ever()),
        (false, 0) => format!("{standing} standing of {} that came", part.arrived()),
        (false, more) => format!("{standing} standing of {} that came, {more} more than came", part.arrived()),
    };
    in_cells(text, observed)
}

/// A count in the words it was made in, where what it was made of is not known.
fn seen(observed: &Observed) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(observed.up.map(|up| format!("{up} up")));
    words.extend(observed.standing.map(|standing| format!("{standing} standing")));
    words.extend(observed.gaps.map(|gaps| format!("{gaps} gaps")));
    words.extend(
        observed
            .ticks
            .as_ref()
            .map(|ticks| format!("{} standing", ticks.plants()))
            .filter(|_| observed.standing.is_none()),
    );
    in_cells(words.join(", "), observed)
}

fn in_cells(mut text: String, observed: &Observed) -> String {
    if let Some(ticks) = &observed.ticks {
        text.push_str(&format!(", in cells {}", ticks.cells()));
        if !ticks.doubled().is_empty() {
            text.push_str(&format!(", doubled {}", ticks.doubled()));
        }
    }
    text
}

/// From which cells, when that was said.
fn of_cells(cells: &CellSet) -> String {
    if cells.is_empty() { String::new() } else { format!(", cells {cells}") }
}

fn grown(growth: Growth) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(growth.leaves.map(|leaves| format!("{leaves} true {}", if leaves == 1 { "leaf" } else { "leaves" })));
    words.extend(growth.height.map(|height| format!("{height} high")));
    if growth.leggy {
        words.push("leggy".to_owned());
    }
    if growth.roots {
        words.push("roots at the holes".to_owned());
    }
    words.join(", ")
}

fn departed(how: &Departure) -> String {
    match how {
        Departure::Lost { cause, remark } => match remark {
            Some(remark) => format!("lost ({cause}: {remark})"),
            None => format!("lost ({cause})"),
        },
        Departure::Thinned => "thinned".to_owned(),
        Departure::Discarded => "discarded".to_owned(),
        Departure::GivenAway => "given away".to_owned(),
        Departure::PlantedOut { bed: Some(bed) } => format!("planted out in {bed}"),
        Departure::PlantedOut { bed: None } => "planted out".to_owned(),
    }
}

fn read(measured: Measured) -> String {
    match measured {
        Measured::Minimum(celsius) => format!("lowest {celsius}"),
        Measured::Maximum(celsius) => format!("highest {celsius}"),
        Measured::Now(celsius) => format!("{celsius} now"),
        Measured::Compost(celsius) => format!("compost {celsius}"),
        Measured::Soil(celsius) => format!("soil {celsius}"),
    }
}

pub(super) fn standing(books: &Books<'_>, stand: Stand) -> Result<String, DeskError> {
    Ok(match stand {
        Stand::Bench(bench) => books.bench_name(bench)?,
        Stand::Place(place) => books.place_name(place)?,
        Stand::Carrier(carrier) => format!("on {}", books.container_name(carrier)?),
    })
}

fn part_name(books: &Books<'_>, id: PartId) -> Result<String, DeskError> {
    Ok(books.part_label(id)?.map_or_else(|| "a part".to_owned(), |(_, label)| label.to_string()))
}

fn batch_name(books: &Books<'_>, id: BatchId) -> Result<String, DeskError> {
    Ok(books.batch_label(id)?.map_or_else(|| "a batch".to_owned(), |label| label.to_string()))
}

/// `a` or `an`, by the first letter of the word after it.
fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// A container by the parts in it, or by its own name.
fn container_name(books: &Books<'_>, id: ContainerId) -> Result<String, DeskError> {
    let parts = books.parts_in(id)?;
    if parts.is_empty() {
        return Ok(books.container_name(id)?);
    }
    Ok(parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" with "))
}
