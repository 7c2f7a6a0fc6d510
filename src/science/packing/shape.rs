//! Surfaces, footprints and where they stand, and the two laws every answer keeps: nothing overlaps, nothing is off.

use thiserror::Error;

use crate::quantity::{Millimetres, SquareMillimetres};

/// The longest side of a surface or a footprint, in millimetres (100 m).
pub const MOST_SIDE: u32 = 100_000;

/// The most footprints one question may hold; a set of like pots standing together is one.
pub const MOST_ITEMS: usize = 2_000;

/// Why a question about space cannot be asked.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PackingError {
    /// A side is nothing, or longer than [`MOST_SIDE`].
    #[error("a side of {0} is not between 1 mm and 100 m")]
    Side(Millimetres),
    /// More footprints than [`MOST_ITEMS`].
    #[error("{0} are too many for one surface: at most 2000 can be worked out together")]
    TooMany(usize),
    /// Two pinned footprints stand in each other (their indices).
    #[error("the pinned number {0} and number {1} overlap")]
    PinsOverlap(usize, usize),
    /// A pinned footprint stands off the surface or under too low a roof (its index).
    #[error("the pinned number {0} stands off the surface or does not fit under it")]
    PinOff(usize),
    /// A pinned footprint has no place to be pinned to (its index).
    #[error("number {0} is pinned but stands nowhere")]
    PinNowhere(usize),
    /// A set of no pots, or of more than a surface could hold.
    #[error("a set of {0} pots is not between 1 and 1000000")]
    Pots(u32),
}

/// The clear height above a surface: a straight slope from the back edge to the front edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Headroom {
    /// Clear height above the back edge (`y` = 0).
    pub back: Millimetres,
    /// Clear height above the front edge (`y` = the width).
    pub front: Millimetres,
}

/// A flat rectangle that things stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Surface {
    length: Millimetres,
    width: Millimetres,
    headroom: Option<Headroom>,
}

/// The footprint of one thing, and how tall it is with what grows in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Item {
    length: Millimetres,
    width: Millimetres,
    height: Option<Millimetres>,
}

/// Which way a footprint stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Turn {
    /// Its length along the surface's length.
    Straight,
    /// A quarter turned: its length across the surface's width.
    Quarter,
}

/// Where a footprint stands: its corner nearest the left end and the back, and which way it is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Placed {
    /// Distance from the left end, along the length.
    pub x: Millimetres,
    /// Distance from the back edge, across the width.
    pub y: Millimetres,
    /// Which way it stands.
    pub turn: Turn,
}

/// A footprint and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// What stands there.
    pub item: Item,
    /// Where.
    pub at: Placed,
}

fn side(length: Millimetres) -> Result<Millimetres, PackingError> {
    if (1..=MOST_SIDE).contains(&length.0) { Ok(length) } else { Err(PackingError::Side(length)) }
}

impl Surface {
    /// A surface of `length` by `width`; `None` is open to the sky.
    ///
    /// # Errors
    /// When a side is not between 1 mm and 100 m. Any headroom is allowed: under too low a roof nothing fits.
    pub fn new(length: Millimetres, width: Millimetres, headroom: Option<Headroom>) -> Result<Self, PackingError> {
        Ok(Self { length: side(length)?, width: side(width)?, headroom })
    }

    /// Its length.
    #[must_use]
    pub fn length(&self) -> Millimetres {
        self.length
    }

    /// Its width, from back to front.
    #[must_use]
    pub fn width(&self) -> Millimetres {
        self.width
    }

    /// The clear height above it, or `None` under the open sky.
    #[must_use]
    pub fn headroom(&self) -> Option<Headroom> {
        self.headroom
    }

    /// Its whole area, taken or not.
    #[must_use]
    pub fn area(&self) -> SquareMillimetres {
        self.length.by(self.width)
    }
}

impl Item {
    /// A footprint of `length` by `width`. Without a `height` the headroom is not asked about: it has to be measured.
    ///
    /// # Errors
    /// When a side is not between 1 mm and 100 m.
    pub fn new(length: Millimetres, width: Millimetres, height: Option<Millimetres>) -> Result<Self, PackingError> {
        Ok(Self { length: side(length)?, width: side(width)?, height })
    }

    /// Its longer or shorter side as given: along the surface when it stands straight.
    #[must_use]
    pub fn length(&self) -> Millimetres {
        self.length
    }

    /// Its other side.
    #[must_use]
    pub fn width(&self) -> Millimetres {
        self.width
    }

    /// How tall it is with what grows in it, if known.
    #[must_use]
    pub fn height(&self) -> Option<Millimetres> {
        self.height
    }

    /// The area of its footprint.
    #[must_use]
    pub fn area(&self) -> SquareMillimetres {
        self.length.by(self.width)
    }

    /// How far it reaches along and across the surface when it stands this way.
    #[must_use]
    pub fn extent(&self, turn: Turn) -> (Millimetres, Millimetres) {
        match turn {
            Turn::Straight => (self.length, self.width),
            Turn::Quarter => (self.width, self.length),
        }
    }
}

/// Whether a standing footprint lies wholly on the surface, under enough headroom at its lowest edge.
#[must_use]
pub fn inside(surface: &Surface, standing: &Standing) -> bool {
    let (length, width) = standing.item.extent(standing.at.turn);
    let right = u64::from(standing.at.x.0) + u64::from(length.0);
    let near = u64::from(standing.at.y.0) + u64::from(width.0);
    if right > u64::from(surface.length.0) || near > u64::from(surface.width.0) {
        return false;
    }
    match (surface.headroom, standing.item.height) {
        (Some(headroom), Some(height)) => [u64::from(standing.at.y.0), near].into_iter().all(|y| {
            // back + (front - back) y / width >= height, in whole numbers.
            let span = u64::from(surface.width.0);
            let room = u64::from(headroom.back.0) * (span - y) + u64::from(headroom.front.0) * y;
            room >= u64::from(height.0) * span
        }),
        _ => true,
    }
}

/// Whether two standing footprints share ground; touching edges do not.
#[must_use]
pub fn overlaps(one: &Standing, other: &Standing) -> bool {
    let spans = |standing: &Standing| {
        let (length, width) = standing.item.extent(standing.at.turn);
        let (x, y) = (u64::from(standing.at.x.0), u64::from(standing.at.y.0));
        (x, x + u64::from(length.0), y, y + u64::from(width.0))
    };
    let (a, b) = (spans(one), spans(other));
    a.0 < b.1 && b.0 < a.1 && a.2 < b.3 && b.2 < a.3
}
