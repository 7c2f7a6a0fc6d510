//! The free ground of a plane as the list of its maximal free rectangles.
//!
//! Source of the method: J. Jylanki 2010, "A Thousand Ways to Pack the Bin", section 2.3 (maximal rectangles).

use super::plane::{Plane, Rect};

/// Every maximal rectangle of free ground; they overlap each other.
#[derive(Clone, Debug)]
pub(super) struct FreeGround {
    rects: Vec<Rect>,
    fresh: Vec<Rect>,
}

impl FreeGround {
    /// A bare plane.
    pub(super) fn of(plane: &Plane) -> Self {
        Self { rects: vec![Rect { x: 0, y: 0, length: plane.length, width: plane.width }], fresh: Vec::new() }
    }

    /// A plane with some of it taken; what is taken may overlap.
    pub(super) fn around(plane: &Plane, taken: impl IntoIterator<Item = Rect>) -> Self {
        let mut free = Self::of(plane);
        for rect in taken {
            free.take(rect);
        }
        free
    }

    /// Only those of its rectangles that are of use.
    pub(super) fn only(&self, of_use: impl Fn(&Rect) -> bool) -> Self {
        Self { rects: self.rects.iter().filter(|rect| of_use(rect)).copied().collect(), fresh: Vec::new() }
    }

    pub(super) fn rects(&self) -> &[Rect] {
        &self.rects
    }

    /// Takes `used` out of the free ground.
    pub(super) fn take(&mut self, used: Rect) {
        self.fresh.clear();
        let fresh = &mut self.fresh;
        self.rects.retain(|rect| {
            if !rect.meets(&used) {
                return true;
            }
            if used.x > rect.x {
                fresh.push(Rect { length: used.x - rect.x, ..*rect });
            }
            if used.right() < rect.right() {
                fresh.push(Rect { x: used.right(), length: rect.right() - used.right(), ..*rect });
            }
            if used.y > rect.y {
                fresh.push(Rect { width: used.y - rect.y, ..*rect });
            }
            if used.far() < rect.far() {
                fresh.push(Rect { y: used.far(), width: rect.far() - used.far(), ..*rect });
            }
            false
        });
        fresh.sort_unstable();
        fresh.dedup();
        // What was not cut was maximal before and still is; only the fresh pieces can lie in another.
        let kept = self.rects.len();
        for (index, rect) in self.fresh.iter().enumerate() {
            let hidden = self.rects[..kept].iter().any(|other| other.holds(rect))
                || self.fresh.iter().enumerate().any(|(other, held)| other != index && held.holds(rect));
            if !hidden {
                self.rects.push(*rect);
            }
        }
    }
}

/// The ground covered by any of these rectangles, counted once.
pub(super) fn union_area(rects: &[Rect]) -> u64 {
    let mut edges: Vec<u32> = rects.iter().flat_map(|rect| [rect.x, rect.right()]).collect();
    edges.sort_unstable();
    edges.dedup();
    let mut by_y: Vec<&Rect> = rects.iter().collect();
    by_y.sort_unstable_by_key(|rect| rect.y);
    let strip = |left: u32, right: u32| {
        let mut covered = 0;
        let mut done = 0;
        for rect in by_y.iter().filter(|rect| rect.x <= left && rect.right() >= right) {
            covered += u64::from(rect.far().saturating_sub(rect.y.max(done)));
            done = done.max(rect.far());
        }
        covered * u64::from(right - left)
    };
    edges.windows(2).map(|pair| strip(pair[0], pair[1])).sum()
}
