//! The ground the searches work on: whole millimetres, the high side first, headroom turned into a reach.

use super::shape::{Item, Placed, Standing, Surface, Turn};
use crate::quantity::Millimetres;

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
        let high = surface.headroom().map(|room| (room.back.0.max(room.front.0), room.back.0.min(room.front.0)));
        let mirrored = surface.headroom().is_some_and(|room| room.front > room.back);
        Self { length: surface.length().0, width: surface.width().0, high, mirrored }
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
        Piece { length: item.length().0, width: item.width().0, reach: self.reach(item.height()) }
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
