//! What an act does to the space on both sides, who is left without a spot by it, and who can be told from whom where
//! they stand together now.

use std::collections::BTreeSet;

use crate::advice::{
    Amiss, BenchPlan, Shape, Sharing, bench_label, bench_of, bench_plan, bench_room, in_use, out_beyond, repacking,
    rows_in_order, sharers, sharing, usual_tray,
};
use crate::journal::{Entry, Fact, Source, Stand, State, Transfer};
use crate::quantity::{BatchId, BenchId, ContainerId, Date, Millimetres, Name, PartId, PlaceId};
use crate::trade::{ToldApart, Trade};

/// The most benches and the most neighbours told of in one answer.
const TOLD: usize = 3;

/// What moving does to the space on both sides, and who can be told from whom in a tray they share now.
pub(super) fn notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    let mut notices = space_notices(before, after, trade, on, entries);
    notices.extend(out_notices(after, trade, on, entries));
    notices.extend(sharing_notices(after, trade, entries));
    notices.extend(owned_notices(after, entries));
    notices
}

/// More in use of a kind than there are of it.
fn owned_notices(after: &State, entries: &[Entry]) -> Vec<String> {
    let stood = entries.iter().filter_map(|entry| match &entry.fact {
        Fact::Stood { vessel, .. } => Some(&vessel.name),
        _ => None,
    });
    let kinds: BTreeSet<&Name> = stood.collect();
    let beyond = |name: &Name| {
        let (owned, used) = (*after.owned.get(name)?, in_use(after, name));
        (used > owned).then(|| format!("{used} of {name} in use and {owned} owned: `own {name} {used}` if that is so"))
    };
    kinds.into_iter().filter_map(beyond).collect()
}

/// What is out for the day takes ground where it is out.
fn out_notices(after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    let mut places: Vec<PlaceId> = entries
        .iter()
        .filter_map(|entry| if let Fact::WentOut { place, .. } = &entry.fact { Some(*place) } else { None })
        .collect();
    places.sort_unstable();
    places.dedup();
    let notice = |place: PlaceId| {
        let without = out_beyond(after, trade, on, place);
        let name = &after.places.get(&place)?.name;
        (!without.is_empty()).then(|| format!("more is out at {name} than its benches hold: {}", without.join(", ")))
    };
    places.into_iter().filter_map(notice).collect()
}

/// What an entry touches of what stands on the benches.
enum Touch<'a> {
    /// A bench, measured anew.
    Bench(BenchId),
    /// All of a kind, which has a size only now and takes ground only now.
    Kind(&'a Name),
    /// A container that was set down or put away.
    Container(ContainerId),
    /// What a part stands in: its plants grew, or it was emptied.
    Part(PartId),
}

impl<'a> Touch<'a> {
    const fn of(entry: &'a Entry) -> Option<Self> {
        Some(match &entry.fact {
            Fact::BenchResized { bench, .. } => Self::Bench(*bench),
            Fact::ContainerMeasured { name, .. } => Self::Kind(name),
            Fact::Stood { .. } => Self::Container(ContainerId(entry.id)),
            Fact::Moved { container, .. } | Fact::PutAway { container } => Self::Container(*container),
            Fact::Staged { part, .. } | Fact::Cleared { part } => Self::Part(*part),
            _ => return None,
        })
    }

    /// The containers it is about.
    fn containers(&self, state: &State) -> Vec<ContainerId> {
        let of_kind = |name: &Name| {
            let all = state.containers.iter().filter(|(_, held)| held.vessel.name == *name);
            all.map(|(id, _)| *id).collect()
        };
        match self {
            Self::Bench(_) => Vec::new(),
            Self::Kind(name) => of_kind(name),
            Self::Container(id) => vec![*id],
            Self::Part(part) => state.parts.get(part).map(|part| state.outermost(part.container)).into_iter().collect(),
        }
    }

    /// The benches on which something may stand otherwise for it.
    fn benches(&self, state: &State) -> BTreeSet<BenchId> {
        match self {
            Self::Bench(bench) => BTreeSet::from([*bench]),
            _ => self.containers(state).into_iter().filter_map(|id| bench_of(state, id)).collect(),
        }
    }
}

/// True for what may change where things stand on a bench.
pub(super) const fn is_of_space(entry: &Entry) -> bool {
    Touch::of(entry).is_some()
}

fn space_notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    // Benches that something came to or left, that were measured anew, that are looked at; and what was moved or grew.
    let (mut benches, mut resized): (BTreeSet<BenchId>, BTreeSet<BenchId>) = (BTreeSet::new(), BTreeSet::new());
    let (mut looked, mut touched): (BTreeSet<BenchId>, BTreeSet<ContainerId>) = (BTreeSet::new(), BTreeSet::new());
    for entry in entries {
        let Some(touch) = Touch::of(entry) else { continue };
        match (&touch, &entry.fact) {
            (Touch::Bench(bench), _) => _ = resized.insert(*bench),
            // What is gone leaves no one without a spot, and is shown nowhere.
            (_, Fact::Cleared { .. } | Fact::PutAway { .. }) => continue,
            (Touch::Container(id), _) => {
                let (from, to) = (bench_of(before, *id), bench_of(after, *id));
                if from != to {
                    benches.extend(from.into_iter().chain(to));
                }
                touched.insert(*id);
            }
            (Touch::Part(_), _) => touched.extend(touch.containers(after)),
            (Touch::Kind(_), _) => {}
        }
        // Set down elsewhere on its bench it may stand where another would have.
        looked.extend(touch.benches(after));
    }
    let Some(tray) = usual_tray(before, trade) else { return Vec::new() };
    // Of what is filled anew only a bench too full is told; of what is moved, what that frees.
    let fills = |entry: &Entry| match &entry.fact {
        Fact::Filled { source: Source::From { how, .. }, .. } => *how != Transfer::Parted,
        Fact::Filled { .. } => true,
        _ => false,
    };
    let told = if entries.iter().any(fills) { 0 } else { TOLD };
    let mut notices: Vec<String> = benches
        .iter()
        .take(told)
        .filter_map(|bench| {
            let room = |state| bench_room(state, trade, on, *bench, &tray);
            let ((free, more), (free_after, more_after)) = (room(before)?, room(after)?);
            let name = bench_label(after, *bench);
            Some(format!("{name}: {free} -> {free_after} free, room for {more} -> {more_after} more of {}", tray.name))
        })
        .collect();
    looked.extend(&benches);
    for bench in looked {
        let Some(plan) = bench_plan(after, trade, on, bench) else { continue };
        if resized.contains(&bench)
            && let Some(was) = bench_plan(before, trade, on, bench)
        {
            notices.extend(other_rows(&was, &plan).into_iter().map(|(label, stood, stands)| {
                format!("{label} goes there no longer as {stood}: its pots are taken to stand as {stands}")
            }));
        }
        notices.extend(no_spot(after, trade, on, &plan));
        let is_touched = |shape: &&Shape| resized.contains(&bench) || touched.contains(&shape.container);
        notices.extend(plan.shapes.iter().filter(is_touched).filter_map(|shape| amiss_words(shape, &plan)));
    }
    notices
}

/// Whose rows are others now, of what was placed on a bench: who, the ground it took, the ground it takes.
fn other_rows(was: &BenchPlan, is: &BenchPlan) -> Vec<(String, String, String)> {
    let straight = |shape: &Shape| if shape.turned { (shape.across, shape.along) } else { (shape.along, shape.across) };
    let size = |(length, width): (Millimetres, Millimetres)| format!("{} x {width}", length.0);
    let now = |then: &Shape| {
        let shape = is.shapes.iter().find(|shape| shape.container == then.container && shape.noted)?;
        let (stood, stands) = (straight(then), straight(shape));
        (stood != stands).then(|| (shape.label.clone(), size(stood), size(stands)))
    };
    was.shapes.iter().filter(|shape| shape.noted).filter_map(now).collect()
}

/// What undoing or redoing changed for those who stand on the benches: who has no spot now and had one, whose rows are
/// others, who stands amiss now.
pub(super) fn ruled_notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[&Entry]) -> Vec<String> {
    let touches = || entries.iter().copied().filter_map(Touch::of);
    let benches: BTreeSet<BenchId> =
        [before, after].iter().flat_map(|state| touches().flat_map(|touch| touch.benches(state))).collect();
    let mut notices = Vec::new();
    for bench in benches {
        let Some(plan) = bench_plan(after, trade, on, bench) else { continue };
        let was = bench_plan(before, trade, on, bench);
        let rows = was.iter().flat_map(|was| other_rows(was, &plan));
        notices.extend(rows.map(|(label, _, stands)| format!("{label} stands as {stands} again")));
        let had = |label: &&String| was.as_ref().is_none_or(|was| !was.crowded.contains(label));
        if plan.crowded.iter().any(|label| had(&label)) {
            notices.extend(no_spot(after, trade, on, &plan));
        }
        let stood = |shape: &Shape| was.iter().flat_map(|was| &was.shapes).find(|it| it.container == shape.container);
        let newly = plan.shapes.iter().filter(|shape| stood(shape).and_then(|was| was.amiss) != shape.amiss);
        notices.extend(newly.filter_map(|shape| amiss_words(shape, &plan)));
    }
    notices
}

/// Who has no spot on a bench, in a sentence: by the log more stands there than goes, or others were placed in the way.
fn no_spot(state: &State, trade: &Trade, on: Date, plan: &BenchPlan) -> Option<String> {
    if plan.crowded.is_empty() {
        return None;
    }
    let (name, crowded) = (bench_label(state, plan.bench), plan.crowded.join(", "));
    let placed = plan.shapes.iter().any(|shape| shape.noted);
    let repacked = || repacking(state, trade, on, plan.bench).is_ok_and(|plan| plan.seats().is_some());
    Some(if placed && repacked() {
        format!("as the rest was placed there is no spot on {name} for {crowded}: `repack {name}` finds one")
    } else {
        format!("more stands on {name} than was found to go: no spot for {crowded}")
    })
}

/// What is amiss with where something stands, in a sentence.
fn amiss_words(shape: &Shape, plan: &BenchPlan) -> Option<String> {
    let Shape { label, ahead, .. } = shape;
    let bench = format!("{}/{}", plan.place_name, plan.name);
    Some(match (shape.amiss?, ahead) {
        (amiss @ (Amiss::TooTall | Amiss::TooTallAnywhere), tall) => {
            let there = if amiss == Amiss::TooTall { "there".to_owned() } else { format!("for {bench} anywhere") };
            let said = match tall {
                Some(tall) => {
                    let about = if tall.guessed { "about " } else { "" };
                    format!("{label} will be {about}{} tall in a week: too tall {there}", tall.height)
                }
                None => format!("{label} is too tall {there}"),
            };
            [Some(said), shape.way_out()].into_iter().flatten().collect::<Vec<_>>().join("; ")
        }
        (Amiss::Off, _) => format!("by the log {label} stands off {bench}"),
        (Amiss::Overlaps, _) => format!("by the log {label} stands in another on {bench}"),
    })
}

fn sharing_notices(after: &State, trade: &Trade, entries: &[Entry]) -> Vec<String> {
    let mut notices = Vec::new();
    for entry in entries {
        let (batches, container) = match &entry.fact {
            Fact::Filled { batch, container, .. } => (vec![*batch], container),
            Fact::Moved { container, stand: Stand::Carrier(_), .. } => (sharers(after, *container), container),
            _ => continue,
        };
        let outer = after.outermost(*container);
        let mut beside: Vec<BatchId> = sharers(after, *container);
        if outer != *container {
            beside.extend(after.carried_by(outer).flat_map(|(id, _)| sharers(after, id)));
        }
        beside.sort_unstable();
        beside.dedup();
        let others: Vec<BatchId> = beside.iter().copied().filter(|other| !batches.contains(other)).collect();
        let pairs =
            batches.iter().flat_map(|batch| others.iter().filter_map(|other| sharing(after, trade, *batch, *other)));
        notices.extend(pairs.take(TOLD).map(|pair| told_apart(&pair)));
        if others.len() > 1 && outer == *container {
            let labels = |order: &[BatchId]| -> Vec<String> {
                order.iter().filter_map(|id| after.batches.get(id)).map(|batch| batch.label.to_string()).collect()
            };
            let hard = |pair: Sharing| pair.told_apart >= ToldApart::Later;
            match rows_in_order(after, trade, &beside) {
                Some(order) => notices.push(format!(
                    "rows in this order differ most from their neighbours: {}",
                    labels(&order).join(", ")
                )),
                None if sharing(after, trade, beside[0], beside[1]).is_some_and(hard) => {
                    notices.push("no order of rows helps to tell them apart: label each".to_owned());
                }
                None => {}
            }
        }
    }
    notices.dedup();
    notices
}

/// When two batches can be told apart, in a sentence.
#[must_use]
pub fn told_apart(pair: &Sharing) -> String {
    let when = match pair.told_apart {
        ToldApart::SeedLeaf => "can be told apart by the seed leaves",
        ToldApart::FirstTrueLeaf => "can be told apart by the first true leaf",
        ToldApart::Later => "cannot be told apart until well after the first true leaf: label the rows",
        ToldApart::Never => "cannot be told apart as seedlings: label the rows",
    };
    let one = pair.one.map_or_else(|| pair.one_is.clone(), |label| format!("{label} ({})", pair.one_is));
    let mut text = format!("{one} and {} ({}) {when}; {}", pair.other, pair.other_is, pair.how);
    if let Some((label, is)) = &pair.better {
        text.push_str(&format!("; {label} ({is}) would be a plainer neighbour"));
    }
    text
}
