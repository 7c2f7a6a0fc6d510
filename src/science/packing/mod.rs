//! Rectangles on a flat surface under a sloping roof: what fits, where, how many more, and what repacking would free.
//!
//! Owns the geometry only: it knows lengths and heights, never what stands in them. A surface is `length` by `width`
//! seen from above; `x` runs along the length, `y` across the width from the back (0) to the front. A footprint may
//! stand straight or a quarter turned. All answers are the same on every machine: searches are bounded by counts,
//! never by time, and ties are broken by position and then by the order given.

mod blocks;
mod exact;
mod fit;
mod free;
mod grid;
mod plane;
mod repack;
mod search;
mod shape;
mod skyline;
mod spot;
mod yard;

pub use exact::EXACT_LIMIT;
pub use fit::{Fit, all_fit, stand_all};
pub use grid::grid;
pub use repack::{Hold, Occupant, Plan, make_room, repack};
pub use shape::{
    Headroom, Item, MOST_ITEMS, MOST_SIDE, PackingError, Placed, Standing, Surface, Turn, inside, overlaps,
};
pub use spot::{free_area, free_usable_area, how_many_more, place_many, place_one};

#[cfg(test)]
mod examples;
#[cfg(test)]
mod laws;
