//! The `cold` report: tonight place by place, the dusk list, heat, hardening off, what may go out.

use chrono::Datelike;
use serde_json::{Value, json};

use super::{Answered, short};
use crate::advice::{
    self, Basis, Cold, ColdVerdict, Cover, Dusk, DuskMove, LEAF_NOTE, NightWord, PlaceTonight, PlantedOut,
};
use crate::cli::rows::{part_name, parts, why};
use crate::desk::{self, Desk, DeskError};
use crate::quantity::{Celsius, Date, PartLabel};

/// Tonight and the days ahead.
pub(super) fn cold(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let cold = advice::cold(&state, desk.trade(), desk::moment(on));
    let name = |place| place_name(&state, place);
    let mut answered = Answered::new("cold", rows(&cold, name), lines(&cold, name));
    if let Some(forecast) = on.succ_opt().and_then(|morning| state.forecasts.get(&morning)) {
        let age = desk.age_of_forecast(forecast.noted, on)?;
        answered = answered.with_notice(match cold.places.is_empty() {
            true => format!("tonight {} outside; {age}", forecast.low),
            false => age,
        });
    }
    for notice in cold.notices.iter().map(String::as_str).chain([LEAF_NOTE]) {
        answered = answered.with_notice(notice);
    }
    Ok(answered)
}

fn place_name(state: &crate::journal::State, id: crate::quantity::PlaceId) -> String {
    state.places.get(&id).map_or_else(String::new, |place| place.name.to_string())
}

fn lines(cold: &Cold, place_name: impl Fn(crate::quantity::PlaceId) -> String) -> Vec<String> {
    let on = cold.on;
    let mut lines: Vec<String> = cold.places.iter().map(|row| place_line(row, on)).collect();
    if let Some(nothing) = cold.nothing_up() {
        lines.push(nothing);
    }
    let mut section = |heading: &str, rows: Vec<String>| {
        if !rows.is_empty() {
            lines.push(String::new());
            lines.push(heading.to_owned());
            lines.extend(rows);
        }
    };
    let off = cold.uncover.iter();
    section("Covers", off.map(|row| format!("  {}: {}  > {}", row.name, row.reason, row.doing)).collect());
    section("In the ground", cold.planted.iter().map(planted_line).collect());
    let moving = cold.dusk.iter().filter(|row| row.what < DuskMove::Unknown);
    section("Before dusk", moving.map(|row| dusk_line(row, &place_name(row.place), on)).collect());
    let unknown: Vec<&Dusk> = cold.dusk.iter().filter(|row| row.what == DuskMove::Unknown).collect();
    section("Not known", unknown_lines(&unknown, &place_name, on));
    let staying = cold.dusk.iter().filter(|row| row.what == DuskMove::Leave && !cold.goes_out_of_cold(row));
    section("May stay", staying.map(|row| stay_line(row, &place_name(row.place), on)).collect());
    section("Too hot", cold.too_hot.iter().map(|row| format!("  {}", row.reason)).collect());
    section("Air", cold.airing.iter().map(|row| format!("  {} {}: {}", row.day, row.name, row.reason)).collect());
    let hardening = cold.hardening.iter();
    section(
        "Harden off",
        hardening.map(|row| with_words(&row.crop, parts(&row.parts, on), &row.reason, row.doing.as_ref())).collect(),
    );
    let to_frame = cold.to_frame.iter();
    section(
        "May leave the house",
        to_frame.map(|row| with_words(&row.crop, parts(&row.parts, on), &row.reason, row.doing.as_ref())).collect(),
    );
    let out = cold.plant_out.iter();
    section(
        "Plant out",
        out.map(|row| with_words(&row.crop, row.part.label.in_year(on.year()), &row.reason, row.doing.as_ref()))
            .collect(),
    );
    let slow = cold.slow.iter().filter(|row| row.is_told);
    section(
        "Cold over days (not tonight's)",
        slow.map(|row| {
            let words = row.doing.as_ref().map_or_else(String::new, |words| format!("  > {words}"));
            format!("  {} {}: {}{words}", parts(&row.parts, on), row.crop, row.reason)
        })
        .collect(),
    );
    lines
}

fn planted_line(row: &PlantedOut) -> String {
    let words = row.doing.as_ref().map_or_else(String::new, |words| format!("  > {words}"));
    format!("  {}{words}", row.sentence())
}

fn verdict_word(verdict: ColdVerdict) -> &'static str {
    match verdict {
        ColdVerdict::BringIn => "bring in",
        ColdVerdict::CoverIt => "cover",
        ColdVerdict::AtRisk => "at risk",
        ColdVerdict::InForTheNight => "in for the night",
        ColdVerdict::Unknown => "not known",
        ColdVerdict::Likely => "may stay",
        ColdVerdict::Safe => "safe",
    }
}

fn place_line(row: &PlaceTonight, on: Date) -> String {
    let low = match (row.low, row.low_cold) {
        (Some(low), Some(cold)) => format!("air {low}, 1 night in 10 under {cold}"),
        _ => "air not known".to_owned(),
    };
    let tenderest = row.tenderest.as_ref().map_or_else(String::new, |(label, crop, floor)| {
        format!("; tenderest {} {crop}, floor {floor}", short(*label, on))
    });
    let odds = row.chance.filter(|_| matches!(row.verdict, ColdVerdict::Likely | ColdVerdict::AtRisk));
    let odds = odds.map_or_else(String::new, |chance| format!(", {} to fall under a floor", advice::odds(chance)));
    let covered = if row.cover == Cover::On { " (covered)" } else { "" };
    let word = row.in_for_the_night(false).map(|said| format!("{said}; "));
    let word = word.unwrap_or_else(|| format!("{:<9} ", verdict_word(row.verdict)));
    format!("{:<12} {word}{low}{tenderest}{odds}{covered}", row.name.to_string())
}

fn move_word(what: DuskMove) -> &'static str {
    match what {
        DuskMove::BringIn => "in",
        DuskMove::Cover => "cover",
        DuskMove::PutOut => "out",
        DuskMove::Unknown => "unknown",
        DuskMove::Leave => "leave",
    }
}

fn dusk_line(row: &Dusk, place: &str, on: Date) -> String {
    let words = row.doing.as_ref().map_or_else(String::new, |words| format!("  > {words}"));
    format!("  {:<6} {} {} ({place}): {}{words}", move_word(row.what), parts(&row.parts, on), row.crop, row.reason)
}

/// What stays is said once for all that the leaf note holds for, so it is cut off here.
fn stay_line(row: &Dusk, place: &str, on: Date) -> String {
    let reason = row.reason.trim_end_matches(LEAF_NOTE).trim_end_matches("; ");
    format!("  {} {} ({place}): {reason}", parts(&row.parts, on), row.crop)
}

/// What nothing is known of, each reason once.
fn unknown_lines(rows: &[&Dusk], place_name: impl Fn(crate::quantity::PlaceId) -> String, on: Date) -> Vec<String> {
    let mut told: Vec<(&str, Vec<String>)> = Vec::new();
    for row in rows {
        let called = format!("{} {} ({})", parts(&row.parts, on), row.crop, place_name(row.place));
        match told.iter_mut().find(|(reason, _)| *reason == row.reason) {
            Some((_, plants)) => plants.push(called),
            None => told.push((&row.reason, vec![called])),
        }
    }
    told.into_iter().map(|(reason, plants)| format!("  {}: {reason}", plants.join(", "))).collect()
}

fn with_words(crop: &impl std::fmt::Display, parts: String, reason: &str, words: Option<&String>) -> String {
    let reason = reason.trim_end_matches(LEAF_NOTE).trim_end_matches("; ");
    let words = words.map_or_else(String::new, |words| format!("  > {words}"));
    format!("  {parts} {crop}: {reason}{words}")
}

fn rows(cold: &Cold, place_name: impl Fn(crate::quantity::PlaceId) -> String) -> Vec<Value> {
    let mut rows: Vec<Value> = cold.places.iter().map(place_row).collect();
    rows.extend(cold.dusk.iter().map(|row| dusk_row(row, &place_name(row.place))));
    rows.extend(cold.planted.iter().map(|row| {
        let crops: Vec<Value> =
            row.crops.iter().map(|(crop, plants)| json!({ "crop": crop, "plants": plants })).collect();
        json!({ "row": "planted_out", "bed": row.bed, "crops": crops, "covered": row.is_covered, "floor_c": tenth(row.risk.floor),
                "leaf_low_c": tenth(row.risk.leaf_low), "chance": row.risk.chance, "reason": row.reason,
                "doing": row.doing, "why": why(&row.why) })
    }));
    rows.extend(cold.uncover.iter().map(|row| {
        json!({ "row": "uncover", "place": row.name, "reason": row.reason, "doing": row.doing, "why": why(&row.why) })
    }));
    rows.extend(cold.too_hot.iter().map(|row| {
        json!({ "row": "too_hot", "place": row.name, "day": row.day, "high_c": tenth(row.read),
                "parts": labels(row.parts.iter().map(|part| part.label)), "reason": row.reason, "why": why(&row.why) })
    }));
    rows.extend(cold.airing.iter().map(|row| {
        json!({ "row": "airing", "place": row.name, "day": row.day, "high_c": tenth(row.high),
                "high_one_in_ten_c": tenth(row.high_hot), "reason": row.reason, "why": why(&row.why) })
    }));
    rows.extend(cold.hardening.iter().map(|row| {
        json!({ "row": "hardening", "batch": row.label.to_string(), "crop": row.crop,
                "parts": labels(row.parts.iter().map(|part| part.label)), "steps": row.ladder.steps.len(),
                "steps_done": row.ladder.done, "days_done": row.ladder.days, "interrupted": row.interrupted,
                "reason": row.reason, "doing": row.doing, "why": why(&row.why) })
    }));
    rows.extend(cold.to_frame.iter().map(|row| {
        json!({ "row": "leave_house", "batch": row.label.to_string(), "crop": row.crop,
                "parts": labels(row.parts.iter().map(|part| part.label)), "to": place_name(row.to), "from": row.from,
                "frees_area_mm2": row.frees.0, "reason": row.reason, "doing": row.doing, "why": why(&row.why) })
    }));
    rows.extend(cold.plant_out.iter().map(|row| {
        json!({ "row": "plant_out", "batch": row.label.to_string(), "crop": row.crop,
                "parts": labels([row.part.label].into_iter()), "lacking": row.lacking, "reason": row.reason,
                "doing": row.doing, "why": why(&row.why) })
    }));
    rows.extend(cold.slow.iter().map(|row| {
        json!({ "row": "cold_over_days", "batch": row.label.to_string(), "crop": row.crop,
                "parts": labels(row.parts.iter().map(|part| part.label)),
                "place": place_name(row.place), "told": row.is_told, "reason": row.reason, "doing": row.doing,
                "why": why(&row.why) })
    }));
    rows.extend(cold.nights.iter().map(|row| {
        let nights: Vec<Value> = row
            .nights
            .iter()
            .flatten()
            .map(|night| {
                json!({ "morning": night.morning, "low_c": tenth(night.low), "chance": night.chance,
                               "word": night_word(night.word) })
            })
            .collect();
        json!({ "row": "nights", "batch": row.label.to_string(), "part": row.part.map(|part| part_name(&part)),
                "crop": row.crop, "place": row.place, "planted_out": row.is_planted_out, "floor_c": tenth(row.floor), "nights": nights })
    }));
    rows
}

fn night_word(word: NightWord) -> &'static str {
    match word {
        NightWord::Fine => "fine",
        NightWord::Perhaps => "perhaps too cold",
        NightWord::TooCold => "too cold",
    }
}

fn place_row(row: &PlaceTonight) -> Value {
    let basis = row.basis.map(|basis| match basis {
        Basis::Forecast { low, noted } => json!({ "from": "forecast", "low_c": tenth(low), "noted": noted }),
        Basis::LastNight { low, read } => json!({ "from": "last_low_read", "low_c": tenth(low), "noted": read }),
        Basis::House => json!({ "from": "house" }),
    });
    let tenderest = row
        .tenderest
        .as_ref()
        .map(|(label, crop, floor)| json!({ "batch": label.to_string(), "crop": crop, "floor_c": tenth(*floor) }));
    json!({ "row": "place", "place": row.name, "verdict": verdict_word(row.verdict), "low_c": row.low.map(tenth),
            "low_one_in_ten_c": row.low_cold.map(tenth), "leaf_low_c": row.leaf_low.map(tenth), "leaf_below_c": row.leaf_below, "chance": row.chance, "basis": basis,
            "covered": row.cover == Cover::On, "tenderest": tenderest, "come_in": row.come_in,
            "rest": row.rest.map(verdict_word) })
}

fn dusk_row(row: &Dusk, place: &str) -> Value {
    json!({ "row": "dusk", "move": move_word(row.what), "batch": row.label.to_string(), "crop": row.crop,
            "variety": row.variety, "parts": labels(row.parts.iter().map(|part| part.label)), "place": place,
            "floor_c": row.risk.map(|risk| tenth(risk.floor)), "leaf_low_c": row.risk.map(|risk| tenth(risk.leaf_low)),
            "leaf_low_one_in_ten_c": row.risk.map(|risk| tenth(risk.leaf_low_cold)),
            "chance": row.risk.map(|risk| risk.chance), "reason": row.reason, "doing": row.doing, "why": why(&row.why) })
}

fn labels(labels: impl Iterator<Item = PartLabel>) -> Vec<String> {
    labels.map(|label| part_name(&label)).collect()
}

fn tenth(celsius: Celsius) -> f64 {
    (celsius.0 * 10.0).round() / 10.0
}
