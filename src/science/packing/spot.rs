//! One more among what stands and does not move; several more; and how much ground is free, and free to any use.

use super::blocks::four_blocks;
use super::free::{FreeGround, union_area};
use super::plane::{Piece, Plane, Rect};
use super::shape::{Item, MOST_ITEMS, Placed, Standing, Surface, Turn};
use crate::quantity::SquareMillimetres;

/// How one spot is held better than another: the smaller key wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rule {
    /// The least left over on the tighter side.
    Tight,
    /// The least left over on the looser side.
    Snug,
    /// The least ground left over.
    Ground,
    /// In rows along the length, from the side that suits the height.
    Rows,
    /// In columns across the width.
    Columns,
}

impl Rule {
    pub(super) const ALL: [Self; 5] = [Self::Tight, Self::Snug, Self::Ground, Self::Rows, Self::Columns];

    /// The rule for one more: under a slope in rows, the tall from the high side and the low from the other, so that
    /// neither takes the other's ground; where the roof is level the tightest spot, which keeps large gaps whole.
    pub(super) fn for_one(plane: &Plane) -> Self {
        if plane.slopes() { Self::Rows } else { Self::Tight }
    }
}

/// Which turn is tried before the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Prefer {
    Either,
    First(Turn),
}

/// The best spot for a piece on free ground: its rectangle and turn, and the key it won by.
pub(super) fn choose(plane: &Plane, free: &FreeGround, piece: &Piece, rule: Rule) -> Option<([u64; 4], Rect, Turn)> {
    choose_of(plane, free, piece, piece.turns(), rule)
}

fn choose_of(
    plane: &Plane,
    free: &FreeGround,
    piece: &Piece,
    turns: &[Turn],
    rule: Rule,
) -> Option<([u64; 4], Rect, Turn)> {
    // What may stand anywhere goes to the low side and leaves the high side to what must stand there.
    let low = plane.slopes() && piece.reach == plane.width;
    let spots = turns.iter().flat_map(|&turn| {
        let (length, width) = piece.extent(turn);
        free.rects().iter().filter_map(move |rect| {
            let far = rect.far().min(piece.reach);
            if rect.length < length || far < rect.y + width {
                return None;
            }
            let spot = Rect { x: rect.x, y: if low { far - width } else { rect.y }, length, width };
            let depth = u64::from(if low { plane.width - spot.far() } else { spot.y });
            let over = (u64::from(rect.length - length), u64::from(far - rect.y - width));
            let (less, more) = (over.0.min(over.1), over.0.max(over.1));
            let x = u64::from(spot.x);
            let key = match rule {
                Rule::Tight => [less, more, depth, x],
                Rule::Snug => [more, less, depth, x],
                Rule::Ground => [rect.area() - piece.area(), less, depth, x],
                Rule::Rows => [depth + u64::from(width), x, less, more],
                Rule::Columns => [x + u64::from(length), depth, less, more],
            };
            Some((key, spot, turn))
        })
    });
    spots.min()
}

fn ground(plane: &Plane, standing: &[Standing]) -> FreeGround {
    FreeGround::around(plane, standing.iter().filter_map(|one| plane.covered(one)))
}

/// The best spot for one more `item` among what stands and does not move, or `None` when there is none.
///
/// Under a sloping roof the tall go under the high side and the low ones leave it free; otherwise the tightest spot
/// wins. Things standing partly off the surface or in each other only take the ground they cover.
#[must_use]
pub fn place_one(surface: &Surface, standing: &[Standing], item: &Item) -> Option<Placed> {
    let plane = Plane::of(surface);
    let (_, rect, turn) = choose(&plane, &ground(&plane, standing), &plane.piece(item), Rule::for_one(&plane))?;
    Some(plane.placed(rect, turn))
}

/// Spots for up to `count` more like items among what stands: fewer than `count` when no more were found to fit.
///
/// Several rules are tried and the one that seats the most is kept, the one [`place_one`] follows first; at most
/// [`MOST_ITEMS`] are placed. The spots do not overlap each other.
#[must_use]
pub fn place_many(surface: &Surface, standing: &[Standing], item: &Item, count: usize) -> Vec<Placed> {
    let plane = Plane::of(surface);
    let found = seat_many(&plane, &ground(&plane, standing), &plane.piece(item), count);
    found.into_iter().map(|(rect, turn)| plane.placed(rect, turn)).collect()
}

/// Whether a piece goes into a free rectangle one way or the other.
fn holds(rect: &Rect, piece: &Piece) -> bool {
    let far = rect.far().min(piece.reach);
    piece.turns().iter().any(|&turn| {
        let (length, width) = piece.extent(turn);
        rect.length >= length && far >= rect.y + width
    })
}

/// As [`place_many`], on free ground.
pub(super) fn seat_many(plane: &Plane, free: &FreeGround, piece: &Piece, count: usize) -> Vec<(Rect, Turn)> {
    // Free ground that holds none now never will: what is stood only takes from it.
    let free = &free.only(|rect| holds(rect, piece));
    let most = usize::try_from(union_area(free.rects()) / piece.area()).unwrap_or(MOST_ITEMS);
    let wanted = count.min(MOST_ITEMS).min(most);
    let mut best = Vec::new();
    let usual = Rule::for_one(plane);
    for prefer in [Prefer::Either, Prefer::First(Turn::Straight), Prefer::First(Turn::Quarter)] {
        for rule in [usual].into_iter().chain(Rule::ALL.into_iter().filter(|rule| *rule != usual)) {
            if best.len() < wanted {
                let seated = seat(plane, free.clone(), piece, rule, prefer, wanted);
                best = if seated.len() > best.len() { seated } else { best };
            }
        }
    }
    if best.len() < wanted {
        best = about_a_middle(plane, free, piece, wanted).filter(|found| found.len() > best.len()).unwrap_or(best);
    }
    best
}

/// How many more of a piece one rule seats: quick, and at most what [`seat_many`] finds.
pub(super) fn seat_quickly(plane: &Plane, free: &FreeGround, piece: &Piece) -> usize {
    seat(plane, free.clone(), piece, Rule::for_one(plane), Prefer::Either, MOST_ITEMS).len()
}

/// Blocks of like pieces in the largest free rectangle, and one by one around them.
fn about_a_middle(plane: &Plane, free: &FreeGround, piece: &Piece, wanted: usize) -> Option<Vec<(Rect, Turn)>> {
    let reached = |rect: &Rect| Rect { width: rect.far().min(piece.reach).saturating_sub(rect.y), ..*rect };
    let room = free.rects().iter().map(reached).max_by_key(Rect::area)?;
    let mut found = four_blocks(room, piece);
    found.truncate(wanted);
    let mut free = free.clone();
    found.iter().for_each(|(rect, _)| free.take(*rect));
    let left = wanted - found.len();
    found.extend(seat(plane, free, piece, Rule::Tight, Prefer::Either, left));
    Some(found)
}

fn seat(
    plane: &Plane,
    mut free: FreeGround,
    piece: &Piece,
    rule: Rule,
    prefer: Prefer,
    count: usize,
) -> Vec<(Rect, Turn)> {
    let mut seated = Vec::new();
    while seated.len() < count {
        let preferred = match prefer {
            Prefer::Either => None,
            Prefer::First(turn) => choose_of(plane, &free, piece, &[turn], rule),
        };
        let Some((_, rect, turn)) = preferred.or_else(|| choose(plane, &free, piece, rule)) else { break };
        free.take(rect);
        seated.push((rect, turn));
    }
    seated
}

/// How many more like items were found to fit among what stands, at most [`MOST_ITEMS`]: a count that can be stood,
/// not a proven maximum.
#[must_use]
pub fn how_many_more(surface: &Surface, standing: &[Standing], item: &Item) -> u32 {
    u32::try_from(place_many(surface, standing, item, MOST_ITEMS).len()).unwrap_or(u32::MAX)
}

/// The ground nothing stands on.
#[must_use]
pub fn free_area(surface: &Surface, standing: &[Standing]) -> SquareMillimetres {
    let plane = Plane::of(surface);
    let taken: Vec<Rect> = standing.iter().filter_map(|one| plane.covered(one)).collect();
    SquareMillimetres(plane.area() - union_area(&taken))
}

/// The free ground that at least one of these items could cover somewhere without anything being moved: what is left
/// of the free area once slivers, and ground under too low a roof, are set aside.
#[must_use]
pub fn free_usable_area(surface: &Surface, standing: &[Standing], items: &[Item]) -> SquareMillimetres {
    let plane = Plane::of(surface);
    let pieces: Vec<Piece> = items.iter().map(|item| plane.piece(item)).collect();
    SquareMillimetres(usable(&ground(&plane, standing), &pieces))
}

/// As [`free_usable_area`]: any spot lies in a maximal free rectangle, and all of that rectangle up to the piece's
/// reach can be covered by sliding the piece about in it.
pub(super) fn usable(free: &FreeGround, pieces: &[Piece]) -> u64 {
    let coverable: Vec<Rect> = free
        .rects()
        .iter()
        .filter_map(|rect| {
            let reached = pieces.iter().filter(|piece| holds(rect, piece)).map(|piece| rect.far().min(piece.reach));
            reached.max().map(|far| Rect { width: far - rect.y, ..*rect })
        })
        .collect();
    union_area(&coverable)
}
