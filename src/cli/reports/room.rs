//! Room to be made, containers in hand, and neighbours that can be told apart.

use serde_json::{Value, json};

use crate::advice::{BEYOND, Lift, Repacking, Short, Step};
use crate::desk::{Desk, DeskError};
use crate::grammar::SpotRef;
use crate::quantity::{Date, Name};

use super::Answered;
use crate::cli::rows;
use crate::cli::table::{Table, figures, text, words};

/// What repacking a bench would free, and where everything would stand.
pub(super) fn repack(desk: &Desk, spot: &SpotRef, on: Date) -> Result<Answered, DeskError> {
    let (called, plan) = desk.repacking(spot, on)?;
    let mut table = Table::new(&[text("lift"), words("from"), words("to")]);
    for lift in &plan.lifts {
        let from = lift.from.map_or_else(|| "no spot".to_owned(), rows::spot_words);
        table.row([lift.label.clone(), from, rows::spot_words(lift.to)]);
    }
    let none = match plan.never_placed {
        0 => "not worth it: repacking frees nothing here, whatever is lifted",
        _ => "not worth it: what nobody placed gives way as it is, and `fits` says what goes; lifting frees no more",
    };
    let mut answered = Answered::table("repack", vec![repacking(&called, &plan)], &table, none);
    for way in &plan.otherwise {
        answered = answered.with_notice(way);
    }
    if !plan.is_worth_it() {
        return Ok(answered);
    }
    let frees = plan.comes_to().join("; ");
    let (before, after) = (plan.usable_before, plan.usable_after);
    answered = answered.with_notice(format!(
        "{called}: {frees}; {} lifted; ground that trays could use {before} -> {after}",
        plan.lifts.len()
    ));
    if plan.never_placed > 0 {
        answered = answered.with_notice(match plan.never_placed {
            1 => "1 was never placed: where it stands is only taken so".to_owned(),
            count => format!("{count} were never placed: where they stand is only taken so"),
        });
    }
    Ok(answered.with_notice(format!("once it is done: `repack {spot} --do`")))
}

fn repacking(called: &str, plan: &Repacking) -> Value {
    let lift = |lift: &Lift| {
        json!({
            "container": lift.container, "label": lift.label, "from": lift.from.map(rows::spot),
            "to": rows::spot(lift.to),
        })
    };
    let more =
        plan.more.iter().map(|(name, before, after)| json!({ "container": name, "before": before, "after": after }));
    json!({
        "bench": called, "id": plan.bench, "worth_it": plan.is_worth_it(), "lifted": plan.lifts.len(),
        "usable_area_before_mm2": plan.usable_before, "usable_area_after_mm2": plan.usable_after,
        "lifts": plan.lifts.iter().map(lift).collect::<Vec<_>>(),
        "never_placed": plan.never_placed, "puts_right": plan.amiss,
        "more": more.collect::<Vec<_>>(),
    })
}

/// Trays and pots: owned, in use, to be washed, clean, short.
pub(super) fn in_hand(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let found = desk.in_hand(on)?;
    let mut table = Table::new(&[
        text("container"),
        figures("own"),
        figures("in use"),
        figures("no plant"),
        figures("to wash"),
        figures("clean"),
        figures("wanted"),
        text(""),
    ]);
    let or_blank = |number: Option<u32>| number.map_or_else(|| "?".to_owned(), |number| number.to_string());
    let mut json = Vec::new();
    for row in &found.rows {
        let wanted = row.needs.iter().map(|need| need.containers).fold(0, u32::saturating_add);
        let short = row.short.map(Short::in_words);
        let over = row.is_beyond().then(|| BEYOND.to_owned());
        table.row([
            row.name.to_string(),
            or_blank(row.owned),
            row.in_use.to_string(),
            row.idle.to_string(),
            row.to_wash.to_string(),
            or_blank(row.clean),
            wanted.to_string(),
            over.or(short).unwrap_or_default(),
        ]);
        let needs: Vec<Value> = row
            .needs
            .iter()
            .map(|need| {
                json!({
                    "part": rows::part_name(&need.part), "step": rows::step(need.step), "on": need.on,
                    "plants": need.plants, "containers": need.containers, "compost_ml": need.compost,
                })
            })
            .collect();
        json.push(json!({
            "container": row.name, "class": row.class.to_string(), "owned": row.owned, "in_use": row.in_use,
            "without_plants": row.idle, "empty": row.empty, "to_wash": row.to_wash, "clean": row.clean,
            "wanted": wanted, "short": row.short.map(|short| short.count), "short_on": row.short.map(|short| short.on),
            "once_washed": row.short.map(|short| short.once_washed),
            "once_emptied": row.short.map(|short| short.once_emptied), "needs": needs,
            "until": found.until, "why": rows::why(&found.why),
        }));
    }
    let none = "nothing is in use or owned: `own seed-trayx12` says how many there are";
    let mut answered = Answered::table("in-hand", json, &table, none);
    if found.compost.0 > 0 {
        let litres = f64::from(found.compost.0) / 1000.0;
        let moves = found.rows.iter().flat_map(|row| &row.needs).filter(|need| need.step != Step::PlantOut).count();
        let known = moves.saturating_sub(usize::try_from(found.volume_unknown).unwrap_or(usize::MAX));
        answered = answered
            .with_notice(format!("compost for {known} of {moves} moves due by {}: {litres:.1} litres", found.until));
    }
    if !found.volume_unknown_of.is_empty() {
        let kinds: Vec<&str> = found.volume_unknown_of.iter().map(Name::as_str).collect();
        answered = answered.with_notice(format!(
            "for {} more moves the compost is not known: no source prints what a {} holds",
            found.volume_unknown,
            kinds.join(", a ")
        ));
    }
    if found.rows.iter().any(|row| row.owned.is_none()) {
        answered = answered.with_notice("? was never said: `own CONTAINER N`");
    }
    if !found.cautions.is_empty() {
        answered = answered.with_notice("`wash CONTAINER` notes all of a kind washed, `wash CONTAINER N` so many");
    }
    answered = found.cautions.into_iter().fold(answered, Answered::with_notice);
    Ok(answered)
}
