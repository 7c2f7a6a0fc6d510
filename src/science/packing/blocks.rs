//! Like pieces in four blocks turned about a middle: what rows and columns miss.
//!
//! H. J. Steudel 1979, "Generating pallet loading patterns: a special case of the two-dimensional cutting stock
//! problem", Manage. Sci. 25(10), without his limit to full edges: every size of the four blocks is tried.

use super::plane::{Piece, Rect};
use super::shape::Turn;

/// The most arrangements of blocks tried; with more, pieces are so small in the room that rows lose next to nothing.
const MOST_TRIED: u64 = 100_000;

/// Rows and columns of like pieces in a corner of the room.
#[derive(Clone, Copy)]
struct Block {
    x: u32,
    y: u32,
    columns: u32,
    rows: u32,
    turn: Turn,
}

/// Spots for as many pieces as four blocks hold in this room; none when there are too many arrangements to try.
pub(super) fn four_blocks(room: Rect, piece: &Piece) -> Vec<(Rect, Turn)> {
    let (along, across) = (room.length / piece.length, room.width / piece.width);
    let across_turned = room.width / piece.length;
    let tried = [along, along, across, across_turned].map(|most| u64::from(most) + 1);
    if tried.into_iter().fold(1, u64::saturating_mul) > MOST_TRIED {
        return Vec::new();
    }
    let mut best = (0, None);
    for first_columns in 0..=along {
        for first_rows in 0..=across {
            for second_rows in 0..=across_turned {
                for third_columns in 0..=along {
                    let corners = [first_columns, first_rows, second_rows, third_columns];
                    let Some(blocks) = blocks(room, piece, corners) else { continue };
                    let count: u32 = blocks.iter().map(|block| block.columns * block.rows).sum();
                    if count > best.0 {
                        best = (count, Some(blocks));
                    }
                }
            }
        }
    }
    best.1.into_iter().flatten().flat_map(|block| spots(block, piece)).collect()
}

/// The four blocks with these sizes, the rest of each as large as its neighbours leave room for; `None` when two that
/// face each other across the middle would overlap.
fn blocks(room: Rect, piece: &Piece, [columns, rows, second_rows, third_columns]: [u32; 4]) -> Option<[Block; 4]> {
    let (length, width) = (piece.length, piece.width);
    let second_columns = (room.length - columns * length) / width;
    let third_rows = (room.width - second_rows * length) / width;
    let fourth_columns = (room.length - third_columns * length) / width;
    let fourth_rows = (room.width - rows * width) / length;
    let straight_meet = (columns + third_columns) * length > room.length && (rows + third_rows) * width > room.width;
    let turned_meet =
        (second_columns + fourth_columns) * width > room.length && (second_rows + fourth_rows) * length > room.width;
    let block = |x, y, columns, rows, turn| Block { x: room.x + x, y: room.y + y, columns, rows, turn };
    (!straight_meet && !turned_meet).then(|| {
        let far_x = |side: u32| room.length - side;
        let far_y = |side: u32| room.width - side;
        [
            block(0, 0, columns, rows, Turn::Straight),
            block(far_x(second_columns * width), 0, second_columns, second_rows, Turn::Quarter),
            block(far_x(third_columns * length), far_y(third_rows * width), third_columns, third_rows, Turn::Straight),
            block(0, far_y(fourth_rows * length), fourth_columns, fourth_rows, Turn::Quarter),
        ]
    })
}

fn spots(block: Block, piece: &Piece) -> impl Iterator<Item = (Rect, Turn)> {
    let (length, width) = piece.extent(block.turn);
    (0..block.rows).flat_map(move |row| {
        (0..block.columns).map(move |column| {
            (Rect { x: block.x + column * length, y: block.y + row * width, length, width }, block.turn)
        })
    })
}
