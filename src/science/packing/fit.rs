//! Whether all of these fit on a bare surface: exactly for a few, by bounded search for many.

use super::exact::{self, EXACT_LIMIT};
use super::plane::{Piece, Plane};
use super::search;
use super::shape::{Item, MOST_ITEMS, PackingError, Placed, Surface};

/// The answer to "do all of these fit".
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Yes, and where each stands, in the order asked.
    Yes(Vec<Placed>),
    /// No arrangement was found, which proves nothing; the fullest one found, `None` for what was left over.
    NotFound(Vec<Option<Placed>>),
    /// No, proved.
    No,
}

/// Whether all of these stand together on a bare surface. Up to [`EXACT_LIMIT`] items the answer is a proved yes or
/// no; with more it is a yes with the arrangement, a proved no when one alone does not fit or the ground is too
/// small, and otherwise [`Fit::NotFound`].
///
/// # Errors
/// More than [`MOST_ITEMS`] items.
pub fn all_fit(surface: &Surface, items: &[Item]) -> Result<Fit, PackingError> {
    if items.len() > MOST_ITEMS {
        return Err(PackingError::TooMany(items.len()));
    }
    let plane = Plane::of(surface);
    let pieces: Vec<Piece> = items.iter().map(|item| plane.piece(item)).collect();
    if cannot(&plane, &pieces) {
        return Ok(Fit::No);
    }
    if pieces.len() <= EXACT_LIMIT {
        let spots = exact::search(&plane, &pieces);
        return Ok(spots.map_or(Fit::No, |spots| {
            Fit::Yes(spots.into_iter().map(|(rect, turn)| plane.placed(rect, turn)).collect())
        }));
    }
    let placed: Vec<Option<Placed>> = search::fullest(&plane, &pieces)
        .into_iter()
        .map(|spot| spot.map(|(rect, turn)| plane.placed(rect, turn)))
        .collect();
    let all: Option<Vec<Placed>> = placed.iter().copied().collect();
    Ok(all.map_or(Fit::NotFound(placed), Fit::Yes))
}

/// Cheap proofs that there is no room: one piece fits nowhere, or the ground within some reach of the high side is
/// smaller than what has to stand within it.
fn cannot(plane: &Plane, pieces: &[Piece]) -> bool {
    let alone = |piece: &Piece| {
        piece.turns().iter().any(|&turn| {
            let (length, width) = piece.extent(turn);
            length <= plane.length && width <= piece.reach
        })
    };
    let mut by_reach: Vec<&Piece> = pieces.iter().collect();
    by_reach.sort_unstable_by_key(|piece| piece.reach);
    let mut needed = 0;
    let crowded = by_reach.iter().any(|piece| {
        needed += piece.area();
        needed > u64::from(plane.length) * u64::from(piece.reach)
    });
    crowded || !pieces.iter().all(alone)
}
