//! The `climate` report: how warm each place runs, what that was learnt from, and what stands there.

use serde_json::{Value, json};

use super::Answered;
use crate::advice::{Cover, Known, LearntLift, PlaceView, StandsThere};
use crate::cli::rows::{self, part_name, why};
use crate::desk::{Desk, DeskError};
use crate::quantity::{Celsius, Date, Name};

/// Days told in text; JSON has them all.
const DAYS: usize = 7;

/// The climate of one place, or of all.
pub(super) fn climate(desk: &Desk, place: Option<&Name>, on: Date) -> Result<Answered, DeskError> {
    let views = desk.climate(place, on)?;
    let mut lines = Vec::new();
    for view in &views {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.extend(in_words(view, on));
    }
    if views.is_empty() {
        lines.push("no place is named yet".to_owned());
    }
    Ok(Answered::new("climate", views.iter().map(row).collect(), lines))
}

fn in_words(view: &PlaceView, on: Date) -> Vec<String> {
    let covered = if view.cover == Cover::On { ", covered" } else { "" };
    let mut lines = vec![format!("{}, {}{covered}", view.name, view.kind)];
    if view.is_outside {
        lines.push("  its readings stand for the weather outside".to_owned());
    }
    lines.extend(view.lifts.iter().map(|lift| format!("  {}", lift.words())));
    lines.extend(view.frosts.map(|frosts| format!("  {}", frosts.words())));
    lines.extend(view.standing.iter().map(|row| format!("  {}", stands(row, on))));
    let degrees = |celsius: Option<Celsius>| celsius.map_or_else(|| "-".to_owned(), |celsius| celsius.to_string());
    let known = view.days.iter().filter(|day| day.low.or(day.high).is_some());
    let days: Vec<String> = known
        .map(|day| {
            let worked = if day.known == Known::Read { String::new() } else { format!(", {}", day.known.words()) };
            format!("  {}  {} to {}{worked}", day.day, degrees(day.low), degrees(day.high))
        })
        .collect();
    lines.extend(days.iter().skip(days.len().saturating_sub(DAYS)).cloned());
    lines.extend(view.nights.iter().map(|night| {
        let high = night.high.map_or_else(String::new, |high| format!(" to {high}"));
        format!("  {}  {}{high} expected, 1 night in 10 under {}", night.morning, night.low, night.low_cold)
    }));
    lines
}

fn stands(row: &StandsThere, on: Date) -> String {
    let floor = row.floor.map_or_else(|| "no floor known".to_owned(), |floor| format!("works down to {floor}"));
    format!("{} {}: {floor}, hardened {}", rows::parts(&row.parts, on), row.crop, row.hardened)
}

fn row(view: &PlaceView) -> Value {
    let days: Vec<Value> = view
        .days
        .iter()
        .filter(|day| day.low.or(day.high).is_some())
        .map(|day| {
            json!({ "day": day.day, "low_c": day.low.map(tenth), "high_c": day.high.map(tenth),
                    "read": day.known == Known::Read, "known": day.known.words() })
        })
        .collect();
    let nights: Vec<Value> = view
        .nights
        .iter()
        .map(|night| {
            json!({ "morning": night.morning, "low_c": tenth(night.low), "low_one_in_ten_c": tenth(night.low_cold),
                    "high_c": night.high.map(tenth) })
        })
        .collect();
    let standing: Vec<Value> = view
        .standing
        .iter()
        .map(|row| {
            let parts: Vec<String> = row.parts.iter().map(|part| part_name(&part.label)).collect();
            json!({ "batch": row.label.to_string(), "crop": row.crop, "parts": parts,
                    "floor_c": row.floor.map(tenth), "hardened": row.hardened.0 })
        })
        .collect();
    json!({ "row": "climate", "place": view.name, "kind": view.kind.word(), "covered": view.cover == Cover::On,
            "is_outside": view.is_outside, "lifts": view.lifts.iter().map(lift).collect::<Vec<_>>(), "days": days,
            "nights": nights, "standing": standing, "floor_c": view.floor().map(tenth), "why": why(&view.why),
            "last_frosts": view.frosts.map(|frosts| json!({ "springs": frosts.springs, "half_by": frosts.half,
            "nine_in_ten_by": frosts.nine_in_ten })) })
}

fn lift(lift: &LearntLift) -> Value {
    json!({ "what": lift.what.words(), "lift_c": tenth(Celsius(lift.now.mean)), "give_or_take_c": tenth(Celsius(lift.now.sd)),
            "by_the_book_c": tenth(Celsius(lift.book.mean)), "readings": lift.readings,
            "from_book": lift.from_book().0 })
}

fn tenth(celsius: Celsius) -> f64 {
    (celsius.0 * 10.0).round() / 10.0
}
