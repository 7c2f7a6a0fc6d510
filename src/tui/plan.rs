//! The plan of a bench as something to act on: the container lifted off it, and the repacking that is proposed.

use crate::advice::{Amiss, BenchPlan, FreeSpot, Reach, Repacking, Shape};
use crate::desk::Board;
use crate::grammar::{Along, Others, PlaceWords, Request, Thing};
use crate::quantity::{BenchId, ContainerId, Millimetres};

use super::form::part_word;
use super::model::{Model, Page};
use super::rows::OnBench;

/// A container lifted off the plan and not yet set down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lifted {
    /// The container.
    pub container: ContainerId,
    /// What is written on it.
    pub label: String,
    /// The ground it takes and where it may go, bench by bench.
    pub reaches: Vec<Reach>,
    /// The bench it is held over.
    pub bench: BenchId,
    /// Where it is held.
    pub spot: FreeSpot,
    /// Whether it is to be pinned there.
    pub pinned: bool,
}

/// A repacking shown before it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// The bench, as the command line names it.
    pub bench: String,
    /// What it would come to.
    pub repacking: Repacking,
}

/// A way across the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// To the left end.
    Left,
    /// To the right end.
    Right,
    /// To the back.
    Back,
    /// To the front.
    Front,
}

impl Lifted {
    /// Its reach on the bench it is held over.
    #[must_use]
    pub fn reach(&self) -> Option<&Reach> {
        self.reaches.iter().find(|reach| reach.bench == self.bench)
    }

    /// Every spot where it may go, bench by bench.
    pub fn spots(&self) -> impl DoubleEndedIterator<Item = (BenchId, FreeSpot)> {
        self.reaches.iter().flat_map(|reach| reach.spots.iter().map(|spot| (reach.bench, *spot)))
    }

    /// Holds it over the next spot where it may go, or the one before; past the last spot of a bench over the next
    /// bench. False when there is no other.
    pub fn step(&mut self, ahead: bool) -> bool {
        let mut spots: Vec<_> = if ahead { self.spots().collect() } else { self.spots().rev().collect() };
        // As it is turned, as long as there is such a spot; and on from the one it was turned on.
        let turned = |one: &(BenchId, FreeSpot)| one.1.turned == self.spot.turned;
        if spots.iter().any(|one| turned(one) && *one != (self.bench, self.spot)) {
            spots.retain(turned);
        }
        let over = |one: &(BenchId, FreeSpot)| (one.0, one.1.x, one.1.y) == (self.bench, self.spot.x, self.spot.y);
        let at = spots.iter().position(|one| *one == (self.bench, self.spot)).or_else(|| spots.iter().position(over));
        let next = match at {
            Some(at) => spots.get((at + 1) % spots.len()),
            None => spots.iter().find(|(bench, _)| *bench == self.bench).or(spots.first()),
        };
        self.hold(next.copied().filter(|next| *next != (self.bench, self.spot)))
    }

    /// Holds it over the first spot of the next bench where it may go, or of the one before.
    pub fn step_bench(&mut self, ahead: bool) -> bool {
        let mut goes: Vec<BenchId> = Vec::new();
        for reach in self.reaches.iter().filter(|reach| !reach.spots.is_empty() || reach.bench == self.bench) {
            goes.push(reach.bench);
        }
        let Some(at) = goes.iter().position(|bench| *bench == self.bench) else { return false };
        let by = if ahead { 1 } else { goes.len() - 1 };
        let next = goes[(at + by) % goes.len()];
        let first = self.spots().find(|(bench, _)| *bench == next);
        if next == self.bench { false } else { self.hold(first) }
    }

    /// Holds it over a spot of this bench by the spot's place in the list.
    pub fn jump(&mut self, to: usize) -> bool {
        let spot = self.reach().and_then(|reach| reach.spots.get(to)).copied();
        self.hold(spot.map(|spot| (self.bench, spot)))
    }

    fn hold(&mut self, over: Option<(BenchId, FreeSpot)>) -> bool {
        if let Some((bench, spot)) = over {
            (self.bench, self.spot) = (bench, spot);
        }
        over.is_some()
    }

    /// Moves it so many millimetres, no further than the edge.
    pub fn nudge(&mut self, toward: Toward, by: u32, plan: &BenchPlan) {
        let FreeSpot { x, y, .. } = self.spot;
        let (x, y) = match toward {
            Toward::Left => (x.0.saturating_sub(by), y.0),
            Toward::Right => (x.0.saturating_add(by), y.0),
            Toward::Back => (x.0, y.0.saturating_sub(by)),
            Toward::Front => (x.0, y.0.saturating_add(by)),
        };
        self.spot = self.within(plan, x, y, self.spot.turned);
    }

    /// Turns it by a quarter where it is held.
    pub fn turn(&mut self, plan: &BenchPlan) {
        self.spot = self.within(plan, self.spot.x.0, self.spot.y.0, !self.spot.turned);
    }

    fn within(&self, plan: &BenchPlan, x: u32, y: u32, turned: bool) -> FreeSpot {
        let Some(reach) = self.reach() else { return self.spot };
        let spot = reach.at(Millimetres(x), Millimetres(y), turned);
        let most = |side: Millimetres, takes: Millimetres| side.0.saturating_sub(takes.0);
        let (x, y) = (x.min(most(plan.size.length, spot.along)), y.min(most(plan.size.width, spot.across)));
        FreeSpot { x: Millimetres(x), y: Millimetres(y), ..spot }
    }

    /// What would be amiss if it were set down where it is held.
    #[must_use]
    pub fn amiss(&self, plan: &BenchPlan) -> Option<Amiss> {
        plan.amiss_at(self.container, self.reach()?, self.spot)
    }

    /// The words that set it down where it is held; `None` when it cannot be named.
    #[must_use]
    pub fn set_down(&self, board: &Board, bench: &str) -> Option<Request> {
        Some(Request::Place(PlaceWords {
            thing: thing(board, self.container)?,
            at: Some((Along::To(self.spot.x.0), Along::To(self.spot.y.0))),
            bench: Some(bench.parse().ok()?),
            turned: Some(self.spot.turned),
            pinned: Some(self.pinned),
            others: Others::AsDrawn,
        }))
    }
}

/// A container as the command line names it: a carrier by its name, else by the first live part in it.
#[must_use]
pub fn thing(board: &Board, id: ContainerId) -> Option<Thing> {
    let state = &board.state;
    let container = state.containers.get(&id)?;
    if let Some(called) = &container.called {
        return called.as_str().parse().ok();
    }
    let live = |part: &&crate::quantity::PartId| state.parts.get(part).is_some_and(crate::journal::Part::is_live);
    part_word(board, *container.parts.iter().find(live)?)?.parse().ok()
}

/// A bench as the command line names it.
#[must_use]
pub fn bench_word(plan: &BenchPlan) -> String {
    format!("{}/{}", plan.place_name, plan.name)
}

impl Model {
    /// The plan of a bench.
    #[must_use]
    pub fn plan_of(&self, bench: BenchId) -> Option<&BenchPlan> {
        self.plans.iter().find(|plan| plan.bench == bench)
    }

    /// The plan shown: of the bench a container is held over, or of the row under the cursor.
    #[must_use]
    pub fn plan(&self) -> Option<&BenchPlan> {
        let held = self.lifted.as_ref().filter(|_| self.page() == Page::Plan).map(|lifted| lifted.bench);
        self.plan_of(held.or_else(|| Some(self.on_benches().nth(self.cursor().index)?.bench()))?)
    }

    /// The container under the cursor, where benches are shown.
    #[must_use]
    pub fn container_here(&self) -> Option<ContainerId> {
        match self.on_benches().nth(self.cursor().index)? {
            OnBench::Container(_, row) => Some(row.container),
            OnBench::Bare(_) => None,
        }
    }

    /// The nearest shape on the plan on one side of the one under the cursor.
    #[must_use]
    pub fn beside(&self, toward: Toward) -> Option<ContainerId> {
        let plan = self.plan()?;
        let here = self.container_here()?;
        let here = plan.shapes.iter().find(|shape| shape.container == here)?;
        // Twice the middle, so that it is whole.
        let middle = |shape: &Shape| {
            let twice = |at: Millimetres, takes: Millimetres| 2 * i64::from(at.0) + i64::from(takes.0);
            (twice(shape.x, shape.along), twice(shape.y, shape.across))
        };
        let (x, y) = middle(here);
        let far = |shape: &Shape| {
            let (to_x, to_y) = middle(shape);
            let (on, aside) = match toward {
                Toward::Left => (x - to_x, to_y - y),
                Toward::Right => (to_x - x, to_y - y),
                Toward::Back => (y - to_y, to_x - x),
                Toward::Front => (to_y - y, to_x - x),
            };
            (on > 0).then(|| on + 2 * aside.abs())
        };
        let found = plan.shapes.iter().filter_map(|shape| Some((far(shape)?, shape.container)));
        found.min().map(|(_, container)| container)
    }
}
