//! What is known of single cells: the ticks of a count, what left which cell since, and what a cell shows for it.
//!
//! A tick is a count: what stands follows from the ticked cells, one plant to a cell and two to a doubled one, so
//! ticks and counts cannot contradict. Ticks stay those of the present only while all that happens is told cell by
//! cell; a count or a departure without cells makes them ticks of an earlier day.

use serde::{Deserialize, Serialize};

use crate::quantity::{CellSet, ContainerClass, ContainerId, Date, MOST_CELLS, PartId, SownUnit};

use super::count::{Had, most_from};
use super::fact::{Departure, Observed, Source};
use super::kinds::Transfer;
use super::state::{Part, State};
use super::wrong::Wrong;

/// Which cells hold something, and which of them hold two or more.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "Marked")]
pub struct Ticks {
    cells: CellSet,
    #[serde(skip_serializing_if = "CellSet::is_empty")]
    doubled: CellSet,
}

/// Ticks as they are read: a doubled cell may be left out of the others.
#[derive(Deserialize)]
struct Marked {
    cells: CellSet,
    #[serde(default)]
    doubled: CellSet,
}

impl From<Marked> for Ticks {
    fn from(Marked { cells, doubled }: Marked) -> Self {
        Self::new(&cells, doubled)
    }
}

impl Ticks {
    /// Ticks of cells; the doubled ones hold something whether or not they are among the others.
    #[must_use]
    pub fn new(cells: &CellSet, doubled: CellSet) -> Self {
        Self { cells: cells.with(&doubled), doubled }
    }

    /// Every cell that holds something.
    #[must_use]
    pub const fn cells(&self) -> &CellSet {
        &self.cells
    }

    /// The cells that hold two or more.
    #[must_use]
    pub const fn doubled(&self) -> &CellSet {
        &self.doubled
    }

    /// Plants that the ticks make: one to a cell, two to a doubled one.
    #[must_use]
    pub fn plants(&self) -> u32 {
        self.cells.len() + self.doubled.len()
    }

    /// Plants in some of the cells, by the ticks.
    fn plants_in(&self, cells: &CellSet) -> u32 {
        cells.iter().map(|cell| u32::from(self.cells.has(cell)) + u32::from(self.doubled.has(cell))).sum()
    }

    fn lose(&mut self, cells: &CellSet) {
        self.cells = self.cells.without(cells);
        self.doubled = self.doubled.without(cells);
    }
}

/// The latest ticks of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticked {
    /// The day.
    pub on: Date,
    /// As they were that day.
    pub then: Ticks,
    /// Plants that stood by them: of clusters more than the ticks make.
    pub standing: u32,
    /// As what has left since leaves them; `None` once a count or a departure did not say which cells.
    pub now: Option<Ticks>,
}

/// Cells whose plants are gone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Emptied {
    /// The day.
    pub on: Date,
    /// The cells, less those ticked again since.
    pub cells: CellSet,
    /// What became of the plants.
    pub to: WentTo,
}

/// What became of plants that left a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WentTo {
    /// They died.
    Death,
    /// They were thinned or thrown away.
    Compost,
    /// They live elsewhere: potted on, planted out, given away.
    Elsewhere,
}

/// What is known of one cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cell {
    /// Nothing was put into it, as far as can be told.
    Empty,
    /// Filled, and not seen to hold anything.
    Filled,
    /// Holds one plant.
    Up,
    /// Holds two or more.
    Doubled,
    /// Its plants died.
    Lost,
    /// Its plants were thinned or thrown away.
    TakenOut,
    /// Its plants were potted on, planted out or given away.
    MovedOn,
}

impl Departure {
    const fn went_to(&self) -> WentTo {
        match self {
            Self::Lost { .. } => WentTo::Death,
            Self::Thinned | Self::Discarded => WentTo::Compost,
            Self::GivenAway | Self::PlantedOut { .. } => WentTo::Elsewhere,
        }
    }
}

impl Part {
    /// Units or plants that were put to each cell; 1 where that was not said.
    fn to_each(&self) -> u32 {
        match self.source {
            Source::Sown { per_cell, .. } => per_cell.unwrap_or(1).max(1),
            Source::Received { .. } | Source::From { .. } => 1,
        }
    }

    /// Plants that some cells hold, as far as ticks tell; else one each. Thinned doubles keep the other.
    #[must_use]
    pub fn plants_in(&self, cells: &CellSet, how: Option<&Departure>) -> u32 {
        match self.ticked.as_ref().and_then(|ticked| ticked.now.as_ref()) {
            Some(now) if !(how == Some(&Departure::Thinned) && cells.beyond(&now.doubled).is_none()) => {
                now.plants_in(cells)
            }
            _ => cells.len(),
        }
    }

    /// What a count by ticks says the part has had. With `c` units in the ticked cells, `n` plants in them and `l`
    /// plants gone: not fewer units than `c`, not more than `c + l`, and between these by what was known of gains.
    fn had_by(&self, ticks: &Ticks, standing: Option<u32>, unit: SownUnit) -> Had {
        let (left, sown, plants) = (self.left(), self.sown(), ticks.plants());
        let (cells, doubled) = (ticks.cells.len(), ticks.doubled.len());
        if unit == SownUnit::Cluster {
            // Clusters are no measure of the seedlings that have left.
            let up = if left == 0 { cells } else { cells.max(self.up) }.min(sown);
            let known = (up + self.gained.min(most_from(up) - up)).saturating_sub(left);
            let standing = standing.unwrap_or_else(|| known.clamp(plants, most_from(cells)));
            let ever = standing.saturating_add(left);
            let up = up.min(ever);
            return Had { up, gained: ever - up, short: 0 };
        }
        let singles = cells - doubled;
        let units = (singles + (2 * doubled).min(doubled.saturating_mul(self.to_each()))).min(sown);
        let ever = plants.saturating_add(left);
        let up = self.up.max(ever.saturating_sub(self.gained)).clamp(units, units.saturating_add(left).min(sown));
        Had { up, gained: ever - up, short: 0 }
    }
}

impl State {
    /// Cells of a container, for a part that stands in it.
    fn cells_of(&self, part: &Part) -> Result<u32, Wrong> {
        let cells = self.containers.get(&part.container).and_then(|held| held.vessel.to_fill());
        // Further cells than numbers go cannot be named.
        cells.map(|cells| cells.min(MOST_CELLS)).ok_or_else(|| Wrong::NoCells(self.part_label(part)))
    }

    fn check_there(&self, part: &Part, cells: &CellSet) -> Result<(), Wrong> {
        let there = self.cells_of(part)?;
        match cells.last() {
            Some(cell) if cell > there => Err(Wrong::NoSuchCell { part: self.part_label(part), cell, cells: there }),
            _ => Ok(()),
        }
    }

    /// What a part has had by ticks, when they can be true and agree with the numbers given beside them.
    pub(super) fn had_by_ticks(
        &self,
        id: PartId,
        seen: &Observed,
        ticks: &Ticks,
        unit: SownUnit,
    ) -> Result<Had, Wrong> {
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let label = self.part_label(part);
        self.check_there(part, &ticks.cells)?;
        let beside = self.containers.get(&part.container).map_or(&[][..], |held| &held.parts);
        for other in beside.iter().filter(|other| **other != id).filter_map(|other| self.parts.get(other)) {
            let theirs = other.ticked.as_ref().and_then(|ticked| ticked.now.as_ref()).filter(|_| other.is_live());
            if let Some(cell) = theirs.and_then(|theirs| theirs.cells.shared(&ticks.cells)) {
                return Err(Wrong::CellTaken { cell, by: self.part_label(other) });
            }
        }
        let cluster = unit == SownUnit::Cluster && part.is_sown();
        let had = if part.is_sown() && unit != SownUnit::Pinch {
            if ticks.cells.len() > part.sown() {
                return Err(Wrong::CountAboveSown { part: label, counted: ticks.cells.len(), from: part.sown() });
            }
            part.had_by(ticks, seen.standing, unit)
        } else {
            let plants = Observed { up: None, standing: Some(ticks.plants()), ..seen.clone() };
            part.had(&plants, unit).ok_or(Wrong::Nothing)?
        };
        let ever = (had.up + had.gained + part.arrived()).saturating_sub(had.short);
        let standing = ever.saturating_sub(part.left());
        let up = match unit {
            _ if !part.is_sown() => standing,
            SownUnit::Pinch => ever,
            SownUnit::Seed | SownUnit::Cluster => had.up,
        };
        let otherwise = seen.up.is_some_and(|said| said != up)
            || seen.standing.is_some_and(|said| said != standing)
            || cluster && !(ticks.plants()..=most_from(ticks.cells.len())).contains(&standing);
        if otherwise {
            return Err(Wrong::TicksSay { part: label, up, standing });
        }
        Ok(had)
    }

    /// Checks that plants can have left those cells.
    pub(super) fn check_leaving(
        &self,
        id: PartId,
        cells: &CellSet,
        plants: u32,
        how: Option<&Departure>,
    ) -> Result<(), Wrong> {
        if cells.is_empty() {
            return Ok(());
        }
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let label = self.part_label(part);
        self.check_there(part, cells)?;
        let emptied =
            part.emptied.iter().find_map(|emptied| emptied.cells.shared(cells).map(|cell| (cell, emptied.on)));
        if let Some((cell, on)) = emptied {
            return Err(Wrong::CellEmpty { part: label, cell, on });
        }
        let unit = self.batches.get(&part.batch).map(Self::unit).ok_or(Wrong::NoSuchBatch)?;
        let now = part.ticked.as_ref().and_then(|ticked| Some((ticked.on, ticked.now.as_ref()?)));
        if let Some((on, now)) = now
            && let Some(cell) = cells.beyond(&now.cells)
        {
            return Err(Wrong::CellEmpty { part: label, cell, on });
        }
        let held = part.plants_in(cells, how);
        let exact = now.is_some() && !(part.is_sown() && unit == SownUnit::Cluster);
        if plants < cells.len() || exact && plants != held {
            return Err(Wrong::CellsHold { part: label, held, plants });
        }
        Ok(())
    }
}

impl Part {
    /// Takes ticks as the latest word on the cells.
    pub(super) fn tick(&mut self, on: Date, ticks: &Ticks) {
        for emptied in &mut self.emptied {
            emptied.cells = emptied.cells.without(&ticks.cells);
        }
        self.emptied.retain(|emptied| !emptied.cells.is_empty());
        let standing = self.standing();
        self.ticked = Some(Ticked { on, then: ticks.clone(), standing, now: Some(ticks.clone()) });
    }

    /// Something happened of which nobody said to which cells.
    pub(super) fn ticks_are_past(&mut self) {
        if let Some(ticked) = &mut self.ticked {
            ticked.now = None;
        }
    }

    /// Plants left those cells; without cells the ticks are of an earlier day from now on.
    pub(super) fn empty_cells(&mut self, on: Date, cells: &CellSet, plants: u32, how: Option<&Departure>) {
        if cells.is_empty() {
            self.ticks_are_past();
            return;
        }
        let now = self.ticked.as_mut().and_then(|ticked| ticked.now.as_mut());
        if how == Some(&Departure::Thinned)
            && let Some(now) = now
            && plants == cells.len()
            && cells.beyond(&now.doubled).is_none()
        {
            now.doubled = now.doubled.without(cells);
            return;
        }
        if let Some(now) = self.ticked.as_mut().and_then(|ticked| ticked.now.as_mut()) {
            now.lose(cells);
        }
        let to = how.map_or(WentTo::Elsewhere, Departure::went_to);
        self.emptied.push(Emptied { on, cells: cells.clone(), to });
    }
}

impl State {
    /// Pots of a set that hold no plant, whether or not seed may still come up in them; none of anything else. Plants are
    /// taken to stand as many to a pot as they came.
    #[must_use]
    pub fn pots_without_plant(&self, id: ContainerId) -> u32 {
        let Some(held) = self.containers.get(&id).filter(|held| held.vessel.class == ContainerClass::Pot) else {
            return 0;
        };
        let pots = held.vessel.pots.max(1);
        let live = held.parts.iter().filter_map(|id| Some((*id, self.parts.get(id)?)));
        let taken = live.filter(|(_, part)| part.is_live()).map(|(id, part)| {
            // What was set apart went in pots of its own.
            let came = part.ever().max(part.sown()).saturating_sub(self.set_apart(id, part));
            part.standing().div_ceil(came.div_ceil(pots).max(1))
        });
        pots.saturating_sub(taken.fold(0, u32::saturating_add))
    }

    /// Plants that were set apart from a part in pots of their set.
    pub(super) fn set_apart(&self, id: PartId, part: &Part) -> u32 {
        let batch = self.batches.get(&part.batch).into_iter().flat_map(|batch| self.parts_of(batch));
        let parted = batch.filter_map(|(_, other)| match other.source {
            Source::From { part, plants, how: Transfer::Parted } if part == id => Some(plants),
            _ => None,
        });
        parted.fold(0, u32::saturating_add)
    }

    /// What is known of every cell that a part can be ticked in, first first; `None` where the container has no cells.
    /// Ticks of an earlier day show nothing: what they saw may be gone.
    #[must_use]
    pub fn cells(&self, id: PartId) -> Option<Vec<Cell>> {
        let part = self.parts.get(&id)?;
        let there = self.cells_of(part).ok()?;
        let filled = self.filled_from(part.container, id, there);
        let now = part.ticked.as_ref().and_then(|ticked| ticked.now.as_ref());
        let cell = |number: u32| {
            let gone = part.emptied.iter().find(|emptied| emptied.cells.has(number)).map(|emptied| emptied.to);
            match (now, gone) {
                (Some(now), _) if now.doubled.has(number) => Cell::Doubled,
                (Some(now), _) if now.cells.has(number) => Cell::Up,
                (_, Some(WentTo::Death)) => Cell::Lost,
                (_, Some(WentTo::Compost)) => Cell::TakenOut,
                (_, Some(WentTo::Elsewhere)) => Cell::MovedOn,
                (_, None) if filled.contains(&number) => Cell::Filled,
                (_, None) => Cell::Empty,
            }
        };
        Some((1..=there).map(cell).collect())
    }

    /// The cells that a part was put into, taking them to be filled in order, after those of the parts before it.
    fn filled_from(&self, container: ContainerId, id: PartId, there: u32) -> std::ops::Range<u32> {
        let parts = self.containers.get(&container).map_or(&[][..], |held| &held.parts);
        let mut first = 1_u32;
        for other in parts {
            let Some(part) = self.parts.get(other) else { continue };
            let pinch = self.batches.get(&part.batch).map(Self::unit) == Some(SownUnit::Pinch) && part.is_sown();
            let units = if part.is_sown() { part.sown() } else { part.arrived() };
            let cells = if pinch { there } else { units.div_ceil(part.to_each()) };
            if *other == id {
                return first..first.saturating_add(cells).min(there + 1);
            }
            if part.is_live() {
                first = first.saturating_add(cells).min(there.saturating_add(1));
            }
        }
        0..0
    }
}
