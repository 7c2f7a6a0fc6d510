//! Where containers may be moved to: the benches on which they go first, each with what it does to its space.

use crate::advice::{Goes, MovePreview, MoveSide, in_trays};
use crate::desk::Board;
use crate::quantity::BenchId;

use super::Form;
use super::field::Takes;

/// Says in a form for moving what it does to the space on both sides, and offers first where they go.
pub fn with_room(form: &mut Form, board: &Board, preview: &MovePreview) {
    let name = |id: BenchId| {
        let bench = board.space.benches.iter().find(|bench| bench.bench == id);
        bench.map_or_else(String::new, |bench| format!("{}/{}", bench.place_name, bench.name))
    };
    for side in &preview.from {
        form.about.push_str(&format!("; leaves {} with {}", name(side.bench), both(board, side)));
    }
    let Some(Takes::OneOf { choices, .. }) = form.fields.first_mut().map(|field| &mut field.takes) else { return };
    let found = |shown: &str| preview.to.iter().find(|(side, _)| name(side.bench) == shown);
    for choice in choices.iter_mut() {
        let Some((side, goes)) = found(&choice.shown) else { continue };
        choice.beside = match goes {
            Goes::All => {
                let trays = format!("{} -> {}", side.before.more, side.after.more);
                format!("fits: {trays} trays, {}", free(side))
            }
            Goes::Unmeasured => "never measured, so nobody can say".to_owned(),
            Goes::TooTall => "too tall for its roof within a week".to_owned(),
            Goes::Crowded => "no room unless others move".to_owned(),
        };
    }
    let leaves = |shown: &str| preview.from.iter().any(|side| name(side.bench) == shown);
    choices.sort_by_key(|choice| match found(&choice.shown) {
        Some((_, Goes::All)) => 0,
        None if !leaves(&choice.shown) => 1,
        Some(_) => 2,
        None => 3,
    });
}

/// `0.44 -> 0.35 m2 free, room for 5 -> 4 half trays`.
fn both(board: &Board, side: &MoveSide) -> String {
    let after = in_trays(side.after.more, "", &board.tray);
    format!("{} free, room for {} -> {after}", free(side), side.before.more)
}

fn free(side: &MoveSide) -> String {
    let before = side.before.free.to_string();
    format!("{} -> {}", before.trim_end_matches(" m2"), side.after.free)
}
