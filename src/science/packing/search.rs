//! The fullest arrangement of many pieces a bounded search finds: several first orders, the best of them improved by
//! exchanging two pieces in the order and keeping what covers no less ground.
//!
//! After S. Yang, S. Han, W. Ye 2013, "A simple randomized algorithm for two-dimensional strip packing", Comput. Oper.
//! Res. 40(1); the exchanges come from a fixed sequence, so that the same question always has the same answer.

use std::cmp::Reverse;

use super::plane::{Piece, Plane};
use super::skyline::{From, Spots, View, fill};

/// How long is searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Search {
    /// As long as a question that is asked once may take.
    Long,
    /// As long as a drawing may take that is made anew at every look.
    Brief,
}

impl Search {
    /// How many of the first orders are improved.
    const fn improved(self) -> usize {
        match self {
            Self::Long => 4,
            Self::Brief => 1,
        }
    }

    /// Exchanges tried on each of them, times the square of the number of pieces: about what one filling costs.
    const fn effort(self) -> usize {
        match self {
            Self::Long => 4_000_000,
            Self::Brief => 200_000,
        }
    }
}

/// The most exchanges tried on each.
const MOST_EXCHANGES: usize = 2_000;

struct Arrangement {
    view: View,
    order: Vec<usize>,
    spots: Spots,
    covered: u64,
}

/// A spot for every piece, or for as much ground of pieces as was found to fit together.
pub(super) fn fullest(plane: &Plane, pieces: &[Piece], search: Search) -> Spots {
    let whole = pieces.iter().map(Piece::area).sum();
    let mut found = first_orders(plane, pieces);
    found.sort_by_key(|arrangement| Reverse(arrangement.covered));
    found.truncate(search.improved());
    let exchanges = (search.effort() / (pieces.len() * pieces.len()).max(1)).min(MOST_EXCHANGES);
    for arrangement in &mut found {
        if arrangement.covered < whole {
            improve(arrangement, pieces, exchanges, whole);
        }
        if arrangement.covered == whole {
            return std::mem::take(&mut arrangement.spots);
        }
    }
    found.into_iter().min_by_key(|arrangement| Reverse(arrangement.covered)).map_or(Vec::new(), |best| best.spots)
}

/// The largest first, by four measures of large and from two edges; what must stand near the high side before all.
fn first_orders(plane: &Plane, pieces: &[Piece]) -> Vec<Arrangement> {
    let measures: [fn(&Piece) -> u64; 4] = [
        Piece::area,
        |piece| u64::from(piece.length) + u64::from(piece.width),
        |piece| u64::from(piece.length.max(piece.width)),
        |piece| u64::from(piece.length.min(piece.width)),
    ];
    let mut found = Vec::with_capacity(2 * measures.len());
    for from in [From::High, From::End] {
        let view = View::new(plane, from);
        for measure in measures {
            let mut order: Vec<usize> = (0..pieces.len()).collect();
            order.sort_by_key(|&id| (pieces[id].reach, Reverse(measure(&pieces[id]))));
            let (spots, covered) = fill(&view, pieces, &order);
            found.push(Arrangement { view, order, spots, covered });
        }
    }
    found
}

fn improve(arrangement: &mut Arrangement, pieces: &[Piece], exchanges: usize, whole: u64) {
    let mut sequence = Sequence(7);
    for _ in 0..exchanges {
        let (one, other) = (sequence.below(pieces.len()), sequence.below(pieces.len()));
        arrangement.order.swap(one, other);
        let (spots, covered) = fill(&arrangement.view, pieces, &arrangement.order);
        if covered < arrangement.covered {
            arrangement.order.swap(one, other);
            continue;
        }
        arrangement.spots = spots;
        arrangement.covered = covered;
        if covered == whole {
            return;
        }
    }
}

/// A fixed sequence of numbers that look random: D. E. Knuth's 64-bit linear congruential generator (MMIX).
struct Sequence(u64);

impl Sequence {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % bound
    }
}
