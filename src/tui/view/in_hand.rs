//! Trays and pots in hand, kind by kind: owned, in use, to be washed, clean, and short for what is due.

use crate::advice::{BEYOND, InHandRow};
use crate::tui::model::Model;
use crate::tui::text::{Align, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, Strip, clipped, first_shown};

/// From so many cells across there is room for what is wanted.
const WIDE: usize = 60;

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(found) = &model.in_hand else {
        canvas.rule(0, "Trays and pots in hand", "");
        return;
    };
    let litres = f64::from(found.compost.0) / 1000.0;
    let compost = match (found.compost.0, found.volume_unknown) {
        (0, 0) => String::new(),
        (0, unknown) => format!("compost of {unknown} moves not known"),
        (_, 0) => format!("{litres:.1} l of compost in a week"),
        (_, unknown) if all < WIDE => format!("{litres:.1} l, {unknown} not known"),
        (_, unknown) => format!("{litres:.1} l of compost in a week, and {unknown} moves not known"),
    };
    canvas.rule(0, "Trays and pots in hand", &compost);
    let mut strip = canvas.strip();
    let wide = all >= WIDE;
    strip.add(" ", Role::Text).column("", if wide { 18 } else { 12 }, Align::Left, Role::Column);
    for name in names(wide) {
        strip.column(name, column(wide), Align::Right, Role::Column);
    }
    canvas.line(1, strip);
    // What is said of the row goes before how to wash where the foot, which has two lines for it, would cut it.
    let here = found.rows.get(model.cursor().index).map(about).unwrap_or_default();
    let mut said = wrap(&here, all.saturating_sub(2));
    if said.len() <= 2 {
        said.clear();
    }
    let most = if down > 12 { said.len().max(down / 2) } else { down / 3 };
    said.extend(found.cautions.iter().flat_map(|caution| wrap(caution, all.saturating_sub(2))));
    let said = clipped(said, most, all.saturating_sub(2), canvas.look.glyphs.ellipsis);
    let kept = said.len();
    let fit = down.saturating_sub(2 + kept);
    let at = model.cursor().index;
    let first = first_shown(found.rows.len(), fit, at);
    for (y, (index, row)) in found.rows.iter().enumerate().skip(first).take(fit).enumerate() {
        let strip = line(row, index == at, wide, canvas);
        canvas.line(y + 2, strip);
        if index == at {
            canvas.shade(y + 2, Role::Selected);
            canvas.point(0, y + 2);
        }
    }
    if found.rows.is_empty() {
        let mut strip = canvas.strip();
        strip.fill("   nothing is in use or owned yet: o says what there is", all, Role::Quiet);
        canvas.line(2, strip);
    }
    for (y, text) in said.iter().take(kept).enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(text, all, Role::Quiet);
        canvas.line(down - kept + y, strip);
    }
}

const fn column(wide: bool) -> usize {
    if wide { 9 } else { 6 }
}

const fn names(wide: bool) -> &'static [&'static str] {
    if wide { &["own", "in use", "to wash", "clean", "wanted"] } else { &["own", "used", "wash", "clean"] }
}

fn line(row: &InHandRow, here: bool, wide: bool, canvas: &Canvas<'_>) -> Strip {
    let glyphs = canvas.look.glyphs;
    let or_missing =
        |number: Option<u32>| number.map_or_else(|| glyphs.missing.to_owned(), |number| number.to_string());
    let mut strip = canvas.strip();
    strip.add(if here { glyphs.pointer } else { " " }, Role::Text);
    strip.column(row.name.as_str(), if wide { 18 } else { 12 }, Align::Left, Role::Text);
    let wanted = row.needs.iter().map(|need| need.containers).fold(0, u32::saturating_add);
    let figures = [
        or_missing(row.owned),
        row.in_use.to_string(),
        row.to_wash.to_string(),
        or_missing(row.clean),
        wanted.to_string(),
    ];
    for figure in figures.iter().take(names(wide).len()) {
        strip.column(figure, column(wide), Align::Right, Role::Text);
    }
    if row.is_beyond() {
        strip.add(" ", Role::Text).add(glyphs.watch, Role::Watch);
        strip.add(if wide { " own?" } else { "" }, Role::Watch);
    } else if let Some(short) = row.short {
        strip.add(" ", Role::Text).add(glyphs.watch, Role::Watch);
        if wide {
            strip.add(&format!(" short {} {}", short.count, short.on.format("%a")), Role::Watch);
        }
    }
    strip
}

/// All that a row says.
pub(super) fn about(row: &InHandRow) -> String {
    let mut words = vec![format!("{}: {} in use", row.name, row.in_use)];
    if row.idle > 0 {
        words.push(format!("{} of them without a plant", row.idle));
    }
    match (row.owned, row.clean) {
        (Some(owned), Some(clean)) => {
            words.push(format!("of {owned}"));
            words.push(format!("{} to wash, {clean} clean", row.to_wash));
        }
        _ => words.push("how many there are was never said: o says it".to_owned()),
    }
    words.extend(row.short.map(|short| short.in_words()));
    words.extend(row.is_beyond().then(|| BEYOND.to_owned()));
    words.join(", ")
}
