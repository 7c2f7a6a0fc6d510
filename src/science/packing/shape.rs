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

/// A rectangle of a [`Plane`], in millimetres. Both far edges are on the plane, so sums cannot overflow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rect {
    pub(super) x: u32,
    pub(super) y: u32,
    pub(super) length: u32,
    pub(super) width: u32,
}

impl Rect {
    pub(super) fn right(&self) -> u32 {
        self.x + self.length
    }

    pub(super) fn far(&self) -> u32 {
        self.y + self.width
    }

    pub(super) fn area(&self) -> u64 {
        u64::from(self.length) * u64::from(self.width)
    }

    pub(super) fn meets(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.far() && other.y < self.far()
    }

    pub(super) fn holds(&self, other: &Self) -> bool {
        self.x <= other.x && self.y <= other.y && self.right() >= other.right() && self.far() >= other.far()
    }
}

/// A surface seen with its higher side at `y` = 0, so that headroom only ever falls as `y` grows and every footprint
/// has one `reach`: the furthest its far edge may lie. All searches work here and never ask about headroom again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plane {
    pub(super) length: u32,
    pub(super) width: u32,
    high: Option<(u32, u32)>,
    mirrored: bool,
}

/// A footprint on a [`Plane`]: its sides as given and how far from the high side its far edge may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Piece {
    pub(super) length: u32,
    pub(super) width: u32,
    pub(super) reach: u32,
}

impl Piece {
    pub(super) fn extent(&self, turn: Turn) -> (u32, u32) {
        match turn {
            Turn::Straight => (self.length, self.width),
            Turn::Quarter => (self.width, self.length),
        }
    }

    /// The ways worth trying: a square has only one.
    pub(super) fn turns(&self) -> &'static [Turn] {
        if self.length == self.width { &[Turn::Straight] } else { &[Turn::Straight, Turn::Quarter] }
    }

    pub(super) fn area(&self) -> u64 {
        u64::from(self.length) * u64::from(self.width)
    }
}

impl Plane {
    pub(super) fn of(surface: &Surface) -> Self {
        let high = surface.headroom.map(|room| (room.back.0.max(room.front.0), room.back.0.min(room.front.0)));
        let mirrored = surface.headroom.is_some_and(|room| room.front > room.back);
        Self { length: surface.length.0, width: surface.width.0, high, mirrored }
    }

    /// Whether one side is higher than the other.
    pub(super) fn slopes(&self) -> bool {
        self.high.is_some_and(|(high, low)| high > low)
    }

    pub(super) fn area(&self) -> u64 {
        u64::from(self.length) * u64::from(self.width)
    }

    /// The furthest from the high side that something of this height may reach.
    fn reach(&self, height: Option<Millimetres>) -> u32 {
        match (self.high, height) {
            (Some((high, _)), Some(height)) if height.0 > high => 0,
            (Some((high, low)), Some(height)) if height.0 > low => {
                let reach = u64::from(high - height.0) * u64::from(self.width) / u64::from(high - low);
                u32::try_from(reach).unwrap_or(self.width).min(self.width)
            }
            _ => self.width,
        }
    }

    pub(super) fn piece(&self, item: &Item) -> Piece {
        Piece { length: item.length.0, width: item.width.0, reach: self.reach(item.height) }
    }

    /// The part of the plane a standing footprint covers; `None` when it lies wholly off it.
    pub(super) fn covered(&self, standing: &Standing) -> Option<Rect> {
        let (length, width) = standing.item.extent(standing.at.turn);
        let x = standing.at.x.0.min(self.length);
        let right = standing.at.x.0.saturating_add(length.0).min(self.length);
        let back = standing.at.y.0.min(self.width);
        let front = standing.at.y.0.saturating_add(width.0).min(self.width);
        let y = if self.mirrored { self.width - front } else { back };
        (right > x && front > back).then_some(Rect { x, y, length: right - x, width: front - back })
    }

    /// Where a footprint covering this part of the plane stands on the surface.
    pub(super) fn placed(&self, rect: Rect, turn: Turn) -> Placed {
        let y = if self.mirrored { self.width - rect.far() } else { rect.y };
        Placed { x: Millimetres(rect.x), y: Millimetres(y), turn }
    }
}
