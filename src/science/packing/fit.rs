//! Whether all of these fit on a bare surface: exactly for a few, by bounded search for many.

use std::cmp::Reverse;

use super::exact::{self, EXACT_LIMIT};
use super::free::{FreeGround, union_area};
use super::plane::{Piece, Plane, Rect};
use super::search::{self, Search};
use super::shape::{Item, MOST_ITEMS, PackingError, Placed, Standing, Surface, Turn};
use super::spot::{Rule, choose};

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
    let placed: Vec<Option<Placed>> = search::fullest(&plane, &pieces, Search::Long)
        .into_iter()
        .map(|spot| spot.map(|(rect, turn)| plane.placed(rect, turn)))
        .collect();
    let all: Option<Vec<Placed>> = placed.iter().copied().collect();
    Ok(all.map_or(Fit::NotFound(placed), Fit::Yes))
}

/// Spots for all of these among what stands and does not move, or `None` when no arrangement was found. On a bare
/// surface fewer than [`EXACT_LIMIT`] items are decided exactly; more, and around what stands, by a search brief enough to
/// be made at every look.
#[must_use]
pub fn stand_all(surface: &Surface, standing: &[Standing], items: &[Item]) -> Option<Vec<Placed>> {
    let plane = Plane::of(surface);
    let pieces: Vec<Piece> = items.iter().map(|item| plane.piece(item)).collect();
    let free = FreeGround::around(&plane, standing.iter().filter_map(|one| plane.covered(one)));
    let needed: u64 = pieces.iter().map(Piece::area).sum();
    if pieces.len() > MOST_ITEMS || needed > union_area(free.rects()) || cannot(&plane, &pieces) {
        return None;
    }
    let bare = || match standing {
        [] if pieces.len() < EXACT_LIMIT => exact::search(&plane, &pieces),
        [] => search::fullest(&plane, &pieces, Search::Brief).into_iter().collect(),
        _ => None,
    };
    let spots = around(&plane, &free, &pieces).or_else(bare)?;
    Some(spots.into_iter().map(|(rect, turn)| plane.placed(rect, turn)).collect())
}

/// So many footprints are stood in all ways together, for a look.
const BRIEFLY: usize = 1_200;

/// Stands all on free ground by one rule after another, the largest first by several measures; what must stand near the
/// high side before all.
fn around(plane: &Plane, free: &FreeGround, pieces: &[Piece]) -> Option<Vec<(Rect, Turn)>> {
    let measures: [fn(&Piece) -> u64; 3] = [
        Piece::area,
        |piece| u64::from(piece.length.max(piece.width)),
        |piece| u64::from(piece.length.min(piece.width)),
    ];
    let ways = measures.iter().flat_map(|measure| Rule::ALL.map(|rule| (measure, rule)));
    let mut ways = ways.take((BRIEFLY / pieces.len().max(1)).max(3));
    ways.find_map(|(measure, rule)| {
        let mut order: Vec<usize> = (0..pieces.len()).collect();
        order.sort_by_key(|&id| (pieces[id].reach, Reverse(measure(&pieces[id]))));
        let (mut free, mut spots) = (free.clone(), vec![None; pieces.len()]);
        for id in order {
            let (_, rect, turn) = choose(plane, &free, &pieces[id], rule)?;
            free.take(rect);
            spots[id] = Some((rect, turn));
        }
        spots.into_iter().collect()
    })
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
