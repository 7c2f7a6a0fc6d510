//! Short lists of what there is to name: kinds of container, crops, places.

use serde_json::json;

use crate::advice::vessel_of;
use crate::desk::{Desk, DeskError};
use crate::journal::BenchSize;
use crate::quantity::{Date, Millilitres, Millimetres, Name, SownUnit};

use super::Answered;
use crate::cli::table::{Table, figures, text, words};
use crate::trade::{Caution, Trade};

/// True when a word is the beginning of one of the names, or stands in one of them.
fn like<'a>(word: Option<&Name>, names: impl IntoIterator<Item = &'a str>) -> bool {
    let Some(word) = word.map(|word| word.as_str().to_lowercase()) else { return true };
    names.into_iter().any(|name| name.to_lowercase().contains(&word))
}

/// The kinds of container, with the sizes that the grower measured.
pub(super) fn containers(desk: &Desk, word: Option<&Name>, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let mut table = Table::new(&[
        words("container"),
        words("kind"),
        figures("outer mm"),
        figures("high"),
        figures("cells"),
        figures("ml each"),
        text("also"),
    ]);
    let mut json = Vec::new();
    let mut unmeasured = 0;
    for row in desk.trade().containers() {
        let class = row.class.to_string();
        let names = [row.key().as_str(), class.as_str()].into_iter().chain(row.aliases().iter().map(String::as_str));
        if !like(word, names) {
            continue;
        }
        let Some(vessel) = vessel_of(&state, row, 1) else { continue };
        let number = |length: Option<Millimetres>| length.map(|length| length.0);
        let size = number(vessel.length).zip(number(vessel.width));
        unmeasured += u32::from(size.is_none());
        let or_blank = |number: Option<u32>| number.map_or_else(String::new, |number| number.to_string());
        let volume = row.root_volume().map(|Millilitres(each)| each);
        table.row([
            row.key().to_string(),
            class.clone(),
            size.map_or_else(|| "?".to_owned(), |(length, width)| format!("{length} x {width}")),
            or_blank(number(vessel.height)),
            or_blank(vessel.cells),
            or_blank(volume),
            row.aliases().join(", "),
        ]);
        json.push(json!({
            "container": row.key(), "class": class, "length_mm": number(vessel.length),
            "width_mm": number(vessel.width), "height_mm": number(vessel.height), "cells": vessel.cells,
            "volume_each_ml": volume, "aliases": row.aliases(), "source": row.source.to_string(),
        }));
    }
    let mut answered = Answered::table("containers", json, &table, "no container is called so: `containers` lists all");
    if unmeasured > 0 {
        answered =
            answered.with_notice("? was never measured: `measure CONTAINER 380x240mm --height 60mm` says it once");
    }
    Ok(answered)
}

/// The crops of the tables.
pub(super) fn crops(desk: &Desk, word: Option<&Name>) -> Answered {
    let mut table = Table::new(&[words("crop"), text("botanical name"), words("counted in"), text("also")]);
    let mut json = Vec::new();
    for crop in desk.trade().crops() {
        let aliases = crop.aliases().iter().map(String::as_str);
        if !like(word, [crop.key().as_str(), crop.latin()].into_iter().chain(aliases)) {
            continue;
        }
        let unit = if crop.unit() == SownUnit::Cluster { "clusters" } else { "seeds" };
        table.row([crop.key().to_string(), crop.latin().to_owned(), unit.to_owned(), crop.aliases().join(", ")]);
        json.push(json!({
            "crop": crop.key(), "latin": crop.latin(), "unit": crop.unit().to_string(), "aliases": crop.aliases(),
        }));
    }
    Answered::table("crops", json, &table, "no crop is called so: `crops` lists all")
}

/// The places, and the benches in each.
pub(super) fn places(desk: &Desk, on: Date) -> Result<Answered, DeskError> {
    let state = desk.state(on)?;
    let mut table = Table::new(&[words("place"), words("kind"), words("light"), figures("heated to"), text("benches")]);
    let mut json = Vec::new();
    let mut places: Vec<_> = state.places.iter().collect();
    places.sort_by(|a, b| a.1.name.cmp(&b.1.name));
    for (id, place) in places {
        let benches: Vec<_> = state.benches.iter().filter(|(_, bench)| bench.place == *id).collect();
        let said: Vec<String> =
            benches.iter().map(|(_, bench)| format!("{} {}", bench.name, sized(&bench.size))).collect();
        let heated = place.heated_to.map_or_else(String::new, |to| to.to_string());
        table.row([place.name.to_string(), place.kind.to_string(), place.light.to_string(), heated, said.join("; ")]);
        let benches: Vec<_> = benches
            .iter()
            .map(|(id, bench)| {
                let BenchSize { length, width, headroom_back, headroom_front } = bench.size;
                json!({
                    "bench": bench.name, "id": id, "length_mm": length, "width_mm": width,
                    "headroom_back_mm": headroom_back, "headroom_front_mm": headroom_front,
                })
            })
            .collect();
        json.push(json!({
            "place": place.name, "id": id, "kind": place.kind.to_string(), "light": place.light.to_string(),
            "heated_to_c": place.heated_to, "benches": benches,
        }));
    }
    Ok(Answered::table("places", json, &table, "there is no place yet: `place add NAME --kind KIND` names one"))
}

/// Every caution by the work it goes with, and who says so.
pub(super) fn cautions(trade: &Trade) -> Answered {
    let mut cautions: Vec<&Caution> = trade.all_cautions().iter().collect();
    cautions.sort_by_key(|caution| caution.work);
    let mut lines: Vec<String> = Vec::new();
    let mut work = None;
    for caution in &cautions {
        if work.replace(caution.work) != Some(caution.work) {
            lines.push(caution.work.words().to_owned());
        }
        lines.push(format!("  {}", caution.text));
    }
    lines.push("Makers' instructions, labels, local codes and licensed practice come first.".to_owned());
    let json = cautions.into_iter().map(|caution| {
        json!({ "caution": caution.name, "work": caution.work.words(), "crops": caution.crops, "text": caution.text,
                "source": caution.source.citation.as_ref() })
    });
    Answered::new("cautions", json.collect(), lines)
}

/// `1200 x 600 mm`, with the headroom from back to front.
fn sized(size: &BenchSize) -> String {
    let ground = format!("{} x {}", size.length.0, size.width);
    match (size.headroom_back, size.headroom_front) {
        (Some(back), Some(front)) if back != front => format!("{ground}, {}..{front} high", back.0),
        (Some(height), _) | (None, Some(height)) => format!("{ground}, {height} high"),
        (None, None) => ground,
    }
}
