//! Rows of reports as JSON: the words of the trade as field names, units in the names, null for what is not known.

use chrono::Datelike;
use serde_json::{Value, json};

use crate::advice::{
    Amiss, BatchView, BenchRoom, BenchSpace, Due, Fits, FitsOnBench, Germination, Indices, Lift, More, PartAt,
    PartView, Placed, Readiness, Ready, SowAgain, StandingRow, Step, Task, Turn, Urgency, Why,
};
use crate::journal::{Beginning, Count, Departure, Emptied, Gone, Growth, Source, Tally, Ticked, WentTo};
use crate::quantity::{Date, PartLabel};

/// The word for how much harm waiting does.
pub(super) const fn urgency(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Now => "now",
        Urgency::Late => "late",
        Urgency::Today => "today",
        Urgency::Wait => "wait",
        Urgency::Quiet => "ask",
    }
}

/// The words for a task.
pub(super) const fn task(task: Task) -> &'static str {
    match task {
        Task::CoolDown(_) => "cool down",
        Task::LookOver(_) => "look over",
        Task::OpenUp(_) => "open up",
        Task::Cover(_) => "cover",
        Task::Uncover(_) => "uncover",
        Task::PutOut(_) => "out today",
        Task::MoveOut(_) => "move out",
        Task::OutOfCold(_) => "from the cold",
        Task::TakeOffHeat => "off the heat",
        Task::CatchUp { .. } => "catch up",
        Task::ToWarmth => "to warmth",
        Task::ToCool => "to the cool",
        Task::PrickOut => "prick out",
        Task::PotOn => "pot on",
        Task::PlantOut => "plant out",
        Task::SowAgain => "sow again",
        Task::Count => "count",
        Task::Slow => "slow",
        Task::ClearForgotten => "clear",
    }
}

/// The words for a move.
pub(super) const fn step(step: Step) -> &'static str {
    match step {
        Step::PrickOut => "prick out",
        Step::PotOn => "pot on",
        Step::PlantOut => "plant out",
    }
}

const fn readiness(readiness: Readiness) -> &'static str {
    match readiness {
        Readiness::NotYet => "not yet",
        Readiness::Soon => "soon",
        Readiness::Ready => "ready",
        Readiness::Overdue => "overdue",
    }
}

/// A part with its year: `2026/14a`.
pub(super) fn part_name(label: &PartLabel) -> String {
    format!("{label:#}")
}

/// Parts in a line: `14a 14b`.
pub(super) fn parts(parts: &[PartAt], on: Date) -> String {
    parts.iter().map(|part| part.label.in_year(on.year())).collect::<Vec<_>>().join(" ")
}

pub(super) fn why(why: &Why) -> Value {
    let inputs: Vec<Value> =
        why.inputs.iter().map(|input| json!({ "what": input.what, "value": input.value, "on": input.on })).collect();
    let sources: Vec<String> = why.sources.iter().map(ToString::to_string).collect();
    json!({
        "formula": why.formula, "inputs": inputs, "sources": sources, "doubt": why.doubt, "changes": why.changes,
    })
}

fn part_at(part: &PartAt) -> Value {
    json!({
        "part": part_name(&part.label), "id": part.id, "container": part.vessel, "pots": part.pots,
        "standing": part.standing, "at": part.at, "out": part.out,
    })
}

fn parts_at(parts: &[PartAt]) -> Vec<Value> {
    parts.iter().map(part_at).collect()
}

pub(super) fn germination(row: &Germination) -> Value {
    json!({
        "batch": row.label.to_string(), "id": row.batch, "crop": row.crop, "variety": row.variety,
        "unit": row.unit.to_string(), "sown": row.sown, "up": row.up, "not_up": row.not_up, "gained": row.gained,
        "standing": row.standing,
        "rate": row.rate.map(|rate| rate.rate), "rate_low": row.rate.map(|rate| rate.low),
        "rate_high": row.rate.map(|rate| rate.high),
        "expected_by_now": row.outlook.as_ref().and_then(|outlook| outlook.expected_by_now()),
        "expected_final": row.outlook.as_ref().and_then(|outlook| outlook.expected_final),
        "action": row.outlook.as_ref().map(|outlook| &outlook.action),
        "chance_of_more": row.outlook.as_ref().and_then(|outlook| outlook.chance_of_more),
        "wanted": row.outlook.as_ref().map(|outlook| outlook.wanted),
        "chance_of_wanted": row.outlook.as_ref().and_then(|outlook| outlook.chance_of_wanted),
        "sow_again": row.outlook.as_ref().and_then(|outlook| outlook.again.as_ref()).map(sow_again),
        "held_since": row.outlook.as_ref().and_then(|outlook| outlook.held.as_ref()).map(|held| held.since),
        "better_place": row.outlook.as_ref().and_then(|outlook| outlook.held.as_ref()?.better.as_ref()).map(|(at, _)| at),
        "ninety_percent_by": row.outlook.as_ref().and_then(|outlook| outlook.ninety_by),
        "verdict": row.verdict().to_string(), "sown_on": row.sown_on, "days": row.days, "counted_on": row.counted_on,
        "days_since_count": row.days_since_count, "parts": parts_at(&row.parts), "why": why(&row.why),
    })
}

/// What sowing again takes; `left` is null when the packet was never counted, `by` for crops without dates.
fn sow_again(again: &SowAgain) -> Value {
    json!({
        "wanted": again.wanted, "there": again.there, "plants": again.plants, "seeds": again.seeds,
        "chance": again.chance, "share_that_comes": again.comes, "fresh_seeds": again.fresh, "lot": again.lot,
        "variety": again.variety, "packed": again.packed, "left": again.left, "by": again.by, "is_sown": again.is_sown(),
        "sown_since": again.since.map(|since| json!({ "last": since.last.to_string(), "on": since.on, "units": since.units })),
    })
}

/// A task, with the window of the move it speaks of.
pub(super) fn due(row: &Due, moving: Option<&Ready>) -> Value {
    json!({
        "urgency": urgency(row.urgency), "what": task(row.what),
        "batch": row.batch.map(|(_, label)| label.to_string()), "id": row.batch.map(|(id, _)| id),
        "crop": row.crop, "variety": row.variety, "parts": parts_at(&row.parts),
        "standing": row.parts.iter().map(|part| part.standing).fold(0, u32::saturating_add),
        "due": row.due, "overdue_days": row.overdue_days,
        "earliest": moving.map(|ready| ready.window.earliest), "best": moving.map(|ready| ready.window.best),
        "latest": moving.map(|ready| ready.window.latest),
        "next_container": next_container(moving), "reason": row.reason, "doing": row.doing,
        "why": why(&row.why),
    })
}

/// The container that plants are to go into.
pub(super) fn next_container(moving: Option<&Ready>) -> Option<String> {
    Some(moving?.next.as_ref()?.container.as_ref()?.to_string())
}

pub(super) fn ready(row: &Ready) -> Value {
    json!({
        "part": part_name(&row.part.label), "what": step(row.step), "readiness": readiness(row.readiness),
        "emerged": row.emerged, "earliest": row.window.earliest, "best": row.window.best,
        "latest": row.window.latest, "overdue_days": row.overdue_days, "next_container": next_container(Some(row)),
        "why": why(&row.why),
    })
}

pub(super) fn bench(row: &BenchSpace, room: Option<&BenchRoom>) -> Value {
    let standing: Vec<Value> = row.standing.iter().map(standing_row).collect();
    let more = |kind: &More| json!({ "container": kind.vessel.name, "in_use": kind.in_use, "more": kind.more });
    let more: Option<Vec<Value>> = room.map(|room| room.more.iter().map(more).collect());
    json!({
        "bench": format!("{}/{}", row.place_name, row.name), "id": row.bench, "place": row.place_name,
        "kind": row.kind.to_string(), "length_mm": row.size.length, "width_mm": row.size.width,
        "headroom_back_mm": row.size.headroom_back, "headroom_front_mm": row.size.headroom_front,
        "area_mm2": row.area.whole, "taken_area_mm2": row.area.taken, "free_area_mm2": row.area.free,
        "usable_area_mm2": room.map(|room| room.usable), "more": more, "sure": room.map(|room| room.unsure.is_none()),
        "unmeasured": row.area.unmeasured, "overfull": room.is_some_and(|room| !room.crowded.is_empty()), "standing": standing,
    })
}

/// What is amiss with where something stands.
pub(super) const fn amiss_words(amiss: Amiss) -> &'static str {
    match amiss {
        Amiss::TooTall => "too tall there",
        Amiss::TooTallAnywhere => "too tall for this bench",
        Amiss::Off => "placed off the bench",
        Amiss::Overlaps => "placed in another",
    }
}

fn standing_row(row: &StandingRow) -> Value {
    json!({
        "container": row.vessel, "id": row.container, "pots": row.pots, "called": row.called,
        "parts": row.parts.iter().map(part_name).collect::<Vec<_>>(),
        "length_mm": row.block.map(|block| block.0), "width_mm": row.block.map(|block| block.1),
        "area_mm2": row.footprint, "height_mm": row.height, "out": row.out, "amiss": row.amiss.map(amiss_words),
        "height_in_a_week_mm": row.ahead.map(|tall| tall.height),
        "height_in_a_week_guessed": row.ahead.map(|tall| tall.guessed),
        "x_mm": row.spot.map(|spot| spot.x), "y_mm": row.spot.map(|spot| spot.y), "turned": row.spot.map(|spot| spot.turn == Turn::Quarter), "spot_noted": row.spot_noted,
    })
}

/// Where something stands or would stand, from the left end and the back of its bench.
pub(super) fn spot(spot: Placed) -> Value {
    json!({ "x_mm": spot.x, "y_mm": spot.y, "turned": spot.turn == Turn::Quarter })
}

/// The same as it is typed: `240,0` or `240,0 turned`.
pub(super) fn spot_words(spot: Placed) -> String {
    let turned = if spot.turn == Turn::Quarter { " turned" } else { "" };
    format!("{},{}{turned}", spot.x.0, spot.y.0)
}

pub(super) fn fits_on(row: &FitsOnBench, fits: &Fits) -> Value {
    let spots: Vec<Value> = row.spots.iter().copied().map(spot).collect();
    let made = fits.made.iter().find(|made| made.bench == row.bench);
    let lift = |lift: &Lift| json!({ "label": lift.label, "id": lift.container, "to": spot(lift.to) });
    let after_shifting = made.map(|made| {
        json!({
            "count": made.count, "lifts": made.lifts.iter().map(lift).collect::<Vec<_>>(), "unasked": made.unasked,
            "before": made.before.iter().map(|(_, line)| line).collect::<Vec<_>>(),
            "noted_as_drawn": made.kept.iter().map(lift).collect::<Vec<_>>(),
            "spots": made.spots.iter().copied().map(spot).collect::<Vec<_>>(),
        })
    });
    let bench = format!("{}/{}", row.place_name, row.name);
    let away = fits.away.as_ref().filter(|away| away.from == bench);
    let after_moving = away.map(|away| json!({ "label": away.label, "id": away.container, "to": away.to }));
    let singly = fits.singly.iter().find(|(name, _)| *name == bench).map(|(_, count)| *count);
    json!({
        "bench": bench, "id": row.bench, "place": row.place_name, "singly": singly,
        "kind": row.kind.to_string(), "for_plants": row.suits.is_for_plants(), "asked": fits.asked, "more": row.more,
        "fits": fits.measured.then_some(row.more >= fits.asked), "sure": row.unsure.is_none(), "spots": spots,
        "after_shifting": after_shifting, "after_moving": after_moving,
        "why": why(&fits.why),
    })
}

pub(super) fn tally(tally: &Tally) -> Value {
    json!({
        "sown": tally.sown, "gained": tally.gained, "not_up": tally.not_up, "standing": tally.standing,
        "lost": tally.lost, "thinned": tally.thinned, "discarded": tally.discarded,
        "planted_out": tally.planted_out, "given_away": tally.given_away,
    })
}

/// One batch: the fields of `germination` where it was sown, and all the rest beside them.
pub(super) fn batch(view: &BatchView) -> Value {
    let (unit, treatment, depth) = match view.beginning {
        Beginning::Sown { unit, treatment, depth } => (Some(unit.to_string()), Some(treatment.to_string()), depth),
        Beginning::Received => (None, None, None),
    };
    let next = view.parts.iter().find(|part| Some(part.part.id) == view.next).and_then(|part| part.ready.as_ref());
    let mut all = view.germination.as_ref().map_or_else(|| json!({ "rate": null, "verdict": null }), germination);
    let rest = json!({
        "batch": view.label.to_string(), "id": view.id,
        "crop": view.lot.as_ref().map(|lot| &lot.crop), "variety": view.lot.as_ref().map(|lot| &lot.variety),
        "packed": view.lot.as_ref().and_then(|lot| lot.packed),
        "beginning": if unit.is_some() { "sown" } else { "received" }, "begun": view.begun, "live": view.live,
        "unit": unit, "treatment": treatment, "depth_mm": depth,
        "sown": view.tally.sown, "up": view.tally.up(), "standing": view.tally.standing,
        "indices": view.indices.as_ref().map(indices), "tally": tally(&view.tally), "next": next.map(ready),
        "parts": view.parts.iter().map(part).collect::<Vec<_>>(),
        "notes": view.notes.iter().map(|(on, remark)| json!({ "on": on, "text": remark })).collect::<Vec<_>>(),
        "due": view.due.iter().map(|row| due(row, None)).collect::<Vec<_>>(),
        "why": view.germination.as_ref().map(|germination| why(&germination.why)),
    });
    if let (Some(all), Value::Object(rest)) = (all.as_object_mut(), rest) {
        all.extend(rest);
    }
    all
}

/// A course in figures; what is undefined is null, and says why under `undefined`.
fn indices(indices: &Indices) -> Value {
    let Indices { final_share, mean_days, mean_error, t50, velocity, fit, .. } = indices;
    let why = |what: &str, error: String| (what.to_owned(), Value::from(error));
    let undefined = [
        ("final_share", final_share),
        ("mean_days", mean_days),
        ("mean_error_days", mean_error),
        ("t50_days", t50),
        ("velocity", velocity),
    ];
    let undefined =
        undefined.into_iter().filter_map(|(what, figure)| Some(why(what, figure.as_ref().err()?.to_string())));
    let undefined = undefined.chain(fit.as_ref().err().map(|error| why("fit", error.to_string())));
    json!({
        "final_share": final_share.ok(), "mean_days": mean_days.ok(), "mean_error_days": mean_error.ok(), "t50_days": t50.ok(), "velocity": velocity.ok(),
        "fit": fit.as_ref().ok().map(|fit| json!({
            "final_share": fit.share(), "median_days": fit.median, "median_error_days": fit.median_error,
            "slope": fit.slope, "slope_error": fit.slope_error,
        })),
        "undefined": undefined.collect::<serde_json::Map<_, _>>(),
    })
}

fn part(view: &PartView) -> Value {
    let stays: Vec<Value> = view.stays.iter().map(|stay| json!({ "from": stay.from, "at": stay.at })).collect();
    let curve: Vec<Value> = view.curve.iter().map(|(on, up)| json!({ "on": on, "up": up })).collect();
    json!({
        "part": part_name(&view.part.label), "id": view.part.id, "container": view.part.vessel,
        "pots": view.part.pots, "at": view.part.at, "out": view.part.out, "source": source(view.source),
        "from": view.from.as_ref().map(part_name), "filled": view.filled, "cleared": view.cleared,
        "standing": view.part.standing, "moved_on": view.moved_on, "tally": tally(&view.tally),
        "stays": stays, "curve": curve,
        "counts": view.counts.iter().map(count).collect::<Vec<_>>(),
        "stages": view.stages.iter().map(|(on, growth)| stage(*on, growth)).collect::<Vec<_>>(),
        "gone": view.gone.iter().map(gone).collect::<Vec<_>>(),
        "ready": view.ready.as_ref().map(ready),
        "cells": Some(view.cells.len()).filter(|cells| *cells > 0), "ticks": view.ticked.as_ref().map(ticks),
        "emptied": view.emptied.iter().map(emptied).collect::<Vec<_>>(),
    })
}

fn source(source: Source) -> String {
    match source {
        Source::Sown { .. } => "sown".to_owned(),
        Source::Received { .. } => "received".to_owned(),
        Source::From { how, .. } => how.to_string(),
    }
}

fn count(count: &Count) -> Value {
    json!({ "on": count.on, "up": count.up, "standing": count.standing })
}

/// The latest ticks: as they are while they are of the present, and else as they were that day.
fn ticks(ticked: &Ticked) -> Value {
    let ticks = ticked.now.as_ref().unwrap_or(&ticked.then);
    json!({
        "on": ticked.on, "present": ticked.now.is_some(), "cells": ticks.cells(), "doubled_cells": ticks.doubled(),
        "plants": ticks.plants(),
    })
}

fn emptied(emptied: &Emptied) -> Value {
    let to = match emptied.to {
        WentTo::Death => "lost",
        WentTo::Compost => "taken out",
        WentTo::Elsewhere => "moved on",
    };
    json!({ "on": emptied.on, "cells": emptied.cells, "to": to })
}

fn stage(on: Date, growth: &Growth) -> Value {
    json!({
        "on": on, "leaves": growth.leaves, "height_mm": growth.height, "leggy": growth.leggy, "roots": growth.roots,
    })
}

fn gone(gone: &Gone) -> Value {
    let (how, cause, text) = match &gone.how {
        Departure::Lost { cause, remark } => ("lost", Some(cause.to_string()), remark.as_ref()),
        Departure::Thinned => ("thinned", None, None),
        Departure::Discarded => ("discarded", None, None),
        Departure::GivenAway => ("given away", None, None),
        Departure::PlantedOut { bed } => ("planted out", None, bed.as_ref()),
    };
    json!({ "on": gone.on, "plants": gone.plants, "how": how, "cause": cause, "text": text })
}
