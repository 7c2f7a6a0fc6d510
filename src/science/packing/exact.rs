//! The exact answer for a few rectangles: a complete search over every order and turn.
//!
//! Why it is complete. (1) Every packing has an order in which each rectangle lies right of or beyond each one before
//! it (the second sequence of a sequence pair: H. Murata, K. Fujiyoshi, S. Nakatake, Y. Kajitani 1996, "VLSI module
//! placement based on rectangle-packing by the sequence-pair", IEEE Trans. CAD 15(12), theorem 1). (2) So each may be
//! slid left and back, in that order, to a corner of the staircase around those before it, without meeting a later
//! one (S. Martello, D. Pisinger, D. Vigo 2000, "The three-dimensional bin packing problem", Oper. Res. 48(2),
//! section 3). (3) Sliding toward the high side never loses headroom. So if any packing exists, one is among those
//! tried here: each order, each turn, each corner.

use super::plane::{Piece, Plane, Rect};
use super::shape::Turn;

/// The most footprints for which [`all_fit`](super::all_fit) answers yes or no with proof.
pub const EXACT_LIMIT: usize = 6;

/// A spot for each piece in the order given, or `None` when it is proved that there is none.
pub(super) fn search(plane: &Plane, pieces: &[Piece]) -> Option<Vec<(Rect, Turn)>> {
    let mut tree = Tree { plane, pieces, spots: vec![None; pieces.len()], stood: Vec::new() };
    let left = pieces.iter().map(Piece::area).sum();
    if tree.grow(left) { tree.spots.into_iter().collect() } else { None }
}

struct Tree<'a> {
    plane: &'a Plane,
    pieces: &'a [Piece],
    spots: Vec<Option<(Rect, Turn)>>,
    stood: Vec<Rect>,
}

impl Tree<'_> {
    fn grow(&mut self, left: u64) -> bool {
        if left == 0 {
            return true;
        }
        let (corners, beyond) = staircase(self.plane, &self.stood);
        if left > beyond {
            return false;
        }
        for index in 0..self.pieces.len() {
            let piece = self.pieces[index];
            let alike = |other: usize| self.pieces[other] == piece && self.spots[other].is_none();
            if self.spots[index].is_some() || (0..index).any(alike) {
                continue;
            }
            for &turn in piece.turns() {
                let (length, width) = piece.extent(turn);
                for &(x, y) in &corners {
                    if self.plane.length - x < length || piece.reach < y + width {
                        continue;
                    }
                    let rect = Rect { x, y, length, width };
                    self.spots[index] = Some((rect, turn));
                    self.stood.push(rect);
                    if self.grow(left - piece.area()) {
                        return true;
                    }
                    self.stood.pop();
                    self.spots[index] = None;
                }
            }
        }
        false
    }
}

/// The inner corners of the staircase around what stands, and the ground beyond it.
fn staircase(plane: &Plane, stood: &[Rect]) -> (Vec<(u32, u32)>, u64) {
    let mut edges: Vec<u32> = stood.iter().map(Rect::right).chain([0]).collect();
    edges.sort_unstable();
    edges.dedup();
    let mut corners = Vec::with_capacity(edges.len());
    let mut beyond = 0;
    let mut last = u32::MAX;
    for (index, &x) in edges.iter().enumerate() {
        let y = stood.iter().filter(|rect| rect.right() > x).map(Rect::far).max().unwrap_or(0);
        let next = edges.get(index + 1).copied().unwrap_or(plane.length);
        beyond += u64::from(next - x) * u64::from(plane.width - y);
        if y < last {
            corners.push((x, y));
        }
        last = y;
    }
    (corners, beyond)
}
