//! One bench drawn large: what stands on it, a container in the hand with the spots where it may go, or a repacking
//! before it is done.

use crate::advice::{Amiss, BenchPlan, FreeSpot, HighSide, Placed, Repacking, Shape, Turn};
use crate::tui::model::Model;
use crate::tui::plan::{Lifted, bench_word};
use crate::tui::text::wrap;
use crate::tui::theme::Role;

use super::benches::goes_to;
use super::paint::Canvas;
use super::plan::{self, Boxed, Weight, boxes};
use super::words;

/// Lines that the words below a plan may take.
const WORDS: usize = 5;

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(plan) = model.plan() else {
        canvas.rule(0, "no bench to draw", "");
        return;
    };
    let said = wrap(&below(model, plan), all.saturating_sub(2));
    let said = &said[..said.len().min(WORDS).min(down / 3)];
    let size = format!("{} x {}", plan.size.length.0, plan.size.width);
    canvas.rule(0, &format!("{} to scale", bench_word(plan)), &size);
    let high = down.saturating_sub(1 + said.len());
    let glyphs = canvas.look.glyphs;
    let (mut boxes, spots) = match (&model.lifted, &model.proposal) {
        (Some(lifted), _) => held(plan, lifted, &glyphs),
        (None, Some(proposal)) => (repacked(plan, &proposal.repacking), Vec::new()),
        (None, None) => (boxes(plan, model.container_here(), &glyphs), plan.more.clone()),
    };
    let (high, keys) = plan::keyed(plan, &mut boxes, all, high);
    let drawn = plan::lines(plan, all, high);
    canvas.within((0, 1, all, high), |canvas| plan::draw(plan, &boxes, &spots, canvas));
    for (y, line) in keys.iter().chain(said).enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(line, all, Role::Quiet);
        canvas.line(1 + drawn + y, strip);
    }
}

/// What stands on the bench without the container in the hand, that over it, and the spots where it may go.
fn held(plan: &BenchPlan, lifted: &Lifted, glyphs: &crate::tui::glyphs::Glyphs) -> (Vec<Boxed>, Vec<FreeSpot>) {
    let others = plan.shapes.iter().zip(boxes(plan, None, glyphs));
    let others = others.filter(|(shape, _)| shape.container != lifted.container).map(|(_, boxed)| boxed);
    let FreeSpot { x, y, along, across, .. } = lifted.spot;
    let pinned = if lifted.pinned { glyphs.pinned } else { "" };
    let wrong = lifted.amiss(plan).is_some();
    let own = Boxed {
        x: (x, along),
        y: (y, across),
        label: format!("{}{pinned}", lifted.label),
        weight: if wrong { Weight::Wrong } else { Weight::Chosen },
    };
    let spots = lifted.reach().map(|reach| reach.spots.clone()).unwrap_or_default();
    (others.chain([own]).collect(), spots)
}

/// Everything where it would stand.
fn repacked(plan: &BenchPlan, repacking: &Repacking) -> Vec<Boxed> {
    let boxed = |shape: &Shape| {
        let (straight, across) = if shape.turned { (shape.across, shape.along) } else { (shape.along, shape.across) };
        let lift = repacking.lifts.iter().find(|lift| lift.container == shape.container);
        let now = Placed { x: shape.x, y: shape.y, turn: if shape.turned { Turn::Quarter } else { Turn::Straight } };
        let at = lift.map_or(now, |lift| lift.to);
        let (along, across) = if at.turn == Turn::Quarter { (across, straight) } else { (straight, across) };
        let weight = if lift.is_some() { Weight::Proposed } else { Weight::Plain };
        Boxed { x: (at.x, along), y: (at.y, across), label: shape.label.clone(), weight }
    };
    plan.shapes.iter().map(boxed).collect()
}

/// The words below the plan.
fn below(model: &Model, plan: &BenchPlan) -> String {
    if let Some(lifted) = &model.lifted {
        return goes_to(model, &lifted.reaches);
    }
    if let Some(proposal) = &model.proposal {
        return frees(&proposal.repacking);
    }
    let mut said = Vec::new();
    if !plan.crowded.is_empty() {
        let crowded = plan.crowded.join(", ");
        said.push(if plan.shapes.iter().any(|shape| shape.noted) {
            format!("As the rest stands there is no spot for {crowded}: R asks whether repacking finds one.")
        } else {
            format!("More stands here than was found to go: no spot for {crowded}.")
        });
    }
    let unmeasured = plan.unmeasured.iter().map(|(label, kind)| {
        format!("{label} is not drawn: nobody has measured a {kind} (L, then measure {kind} 380x240mm).")
    });
    said.extend(unmeasured);
    said.join(" ")
}

/// What a repacking comes to.
fn frees(repacking: &Repacking) -> String {
    let lifts: Vec<&str> = repacking.lifts.iter().map(|lift| lift.label.as_str()).collect();
    let frees = repacking.comes_to().join(", ");
    let (before, after) = (repacking.usable_before, repacking.usable_after);
    let taken = match repacking.never_placed {
        0 => String::new(),
        count => format!("; {count} nobody placed: where they stand now is only taken so"),
    };
    format!(
        "Repacked: {} lifted ({}); {frees}; ground that trays can use {before} before, {after} after{taken}.",
        lifts.len(),
        lifts.join(", ")
    )
}

/// What the cursor is on, or what is in the hand: where it stands and what is amiss.
pub(super) fn about(model: &Model) -> String {
    let Some(plan) = model.plan() else { return String::new() };
    if let Some(lifted) = &model.lifted {
        let FreeSpot { x, y, turned, .. } = lifted.spot;
        let amiss = lifted.amiss(plan).map(|amiss| match amiss {
            Amiss::Off => "hangs over the edge",
            Amiss::Overlaps => "in the way of another",
            Amiss::TooTall => "too tall there within a week",
            Amiss::TooTallAnywhere => "too tall for this bench within a week",
        });
        let words = [
            Some(format!("{} in the hand, at {},{} mm on {}", lifted.label, x.0, y.0, bench_word(plan))),
            turned.then(|| "turned".to_owned()),
            lifted.pinned.then(|| "to be pinned".to_owned()),
            Some(amiss.unwrap_or("free").to_owned()),
        ];
        return words.into_iter().flatten().collect::<Vec<_>>().join(", ");
    }
    if model.proposal.is_some() {
        return "Shown as it would stand, not done yet: what is marked is lifted.".to_owned();
    }
    let Some(here) = model.container_here() else { return bare(model) };
    let row = model.on_benches().nth(model.cursor().index);
    let plants = match row {
        Some(crate::tui::rows::OnBench::Container(_, row)) => words::stands(model, row).join(", "),
        _ => String::new(),
    };
    let Some(shape) = plan.shapes.iter().find(|shape| shape.container == here) else {
        return format!("{plants}; it has no spot on the plan");
    };
    let height = shape.ahead.map(|tall| {
        let about = if tall.guessed { "about " } else { "" };
        format!("{about}{} tall in a week{}", tall.height, roof(plan))
    });
    let amiss = shape.amiss.map(|amiss| match amiss {
        Amiss::Off => "placed off the bench",
        Amiss::Overlaps => "placed in another",
        Amiss::TooTall => "too tall there",
        Amiss::TooTallAnywhere => "too tall for this bench",
    });
    let words = [
        Some(format!("{} {} at {},{} mm", shape.label, shape.vessel, shape.x.0, shape.y.0)),
        (!shape.noted).then(|| "taken so, nobody placed it".to_owned()),
        shape.turned.then(|| "turned".to_owned()),
        shape.pinned.then(|| "pinned".to_owned()),
        height,
        amiss.map(str::to_owned),
        shape.way_out(),
        Some(plants),
    ];
    words.into_iter().flatten().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
}

fn roof(plan: &BenchPlan) -> String {
    match (plan.high, plan.size.headroom_back.or(plan.size.headroom_front), plan.size.headroom_front) {
        (HighSide::Open, ..) | (_, None, _) => String::new(),
        (HighSide::Level, Some(roof), _) => format!(" under a roof of {roof}"),
        (_, Some(back), front) => format!(" under a roof of {} to {}", back.0, front.unwrap_or(back)),
    }
}

/// A bare bench, and what goes on it.
pub(super) fn bare(model: &Model) -> String {
    let Some(plan) = model.plan() else { return String::new() };
    let dotted = if plan.more.is_empty() { "" } else { ", as dotted" };
    let trays = model.board.trays_in_words(plan.bench, "");
    format!("{} is bare: room for {trays}{dotted}", bench_word(plan))
}
