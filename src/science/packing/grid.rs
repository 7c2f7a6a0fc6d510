//! The ground a set of like pots covers when they stand together.

use super::shape::PackingError;
use crate::quantity::Millimetres;

/// The most pots one set may hold; the footprint of more could not be stood anywhere.
const MOST_POTS: u32 = 1_000_000;

/// The length and width of the rectangle that `pots` pots of `pot_length` by `pot_width` cover when they stand close
/// together in rows. Rows run along the length. `within` is the longest a row may be (a bench's length): the rows are
/// then as long as they can be there, never shorter than one pot; without it the block is as square as it can be.
/// An unfinished last row counts as whole.
///
/// # Errors
/// When there are no pots or more than a million, or a pot's side is not between 1 mm and 100 m. The block itself may
/// be longer than 100 m: [`Item::new`](super::Item::new) then refuses it.
pub fn grid(
    pots: u32,
    pot_length: Millimetres,
    pot_width: Millimetres,
    within: Option<Millimetres>,
) -> Result<(Millimetres, Millimetres), PackingError> {
    if !(1..=MOST_POTS).contains(&pots) {
        return Err(PackingError::Pots(pots));
    }
    for side in [pot_length, pot_width] {
        if !(1..=super::MOST_SIDE).contains(&side.0) {
            return Err(PackingError::Side(side));
        }
    }
    let block = |in_row: u32| {
        let rows = pots.div_ceil(in_row);
        (pot_length.0.saturating_mul(in_row), pot_width.0.saturating_mul(rows))
    };
    let in_row = match within {
        Some(within) => (within.0 / pot_length.0).clamp(1, pots),
        None => squarest(pots, block),
    };
    // Rows no longer than they need be: ten pots in rows of at most six stand five and five.
    let rows = pots.div_ceil(in_row);
    let (length, width) = block(pots.div_ceil(rows));
    Ok((Millimetres(length), Millimetres(width)))
}

/// The number in a row whose block has the shortest longer side; of those the least ground, then the fewest rows.
fn squarest(pots: u32, block: impl Fn(u32) -> (u32, u32)) -> u32 {
    let key = |in_row: &u32| {
        let (length, width) = block(*in_row);
        (length.max(width), u64::from(length) * u64::from(width), u32::MAX - *in_row)
    };
    // The block's length only grows and its width only falls with the number in a row, so the best stands beside
    // the crossing: at the first number whose length is not less than the width, or just before it.
    let (mut low, mut high) = (1, pots);
    while low < high {
        let middle = low + (high - low) / 2;
        let (length, width) = block(middle);
        if length >= width { high = middle } else { low = middle + 1 }
    }
    [low.saturating_sub(1).max(1), low].into_iter().min_by_key(key).unwrap_or(low)
}
