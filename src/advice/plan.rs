//! A bench drawn to scale: what stands where, in millimetres, and where something may go.

use crate::journal::{BenchSize, PlaceKind, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Date, Millimetres, Name, PartLabel};
use crate::science::packing::{Item, MOST_ITEMS, Placed, Standing, Surface, Turn, inside, overlaps, place_many};
use crate::trade::Trade;

use super::height::{self, Tall};
use super::layout::{self, Goes, assumed_layout};
use super::stand::{bench_label, goes_unplaced, label_of};

/// The side of a bench under the higher roof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HighSide {
    /// The back, where y is 0.
    Back,
    /// The front.
    Front,
    /// Neither: the roof is level.
    Level,
    /// There is no roof.
    Open,
}

/// What is amiss with where something stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amiss {
    /// It was placed where the bench does not reach.
    Off,
    /// It was placed in another.
    Overlaps,
    /// Within a week it will be too tall for the roof there, perhaps by guess: see its height.
    TooTall,
    /// The same, wherever it stands on this bench.
    TooTallAnywhere,
}

/// One container on the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shape {
    /// The container.
    pub container: ContainerId,
    /// What is written on it: `14a`, `14a+15b`, or a carrier's name.
    pub label: String,
    /// The live parts in it or on it.
    pub parts: Vec<PartLabel>,
    /// What it is.
    pub vessel: Name,
    /// From the left end of the bench.
    pub x: Millimetres,
    /// From the back of the bench.
    pub y: Millimetres,
    /// How far it reaches along the bench, as it stands.
    pub along: Millimetres,
    /// How far it reaches from back to front, as it stands.
    pub across: Millimetres,
    /// A quarter turned.
    pub turned: bool,
    /// False where nobody said where it stands, and this is only a spot that would do.
    pub noted: bool,
    /// No proposal moves it.
    pub pinned: bool,
    /// False for a set of pots drawn in other rows than those a noted spot would have: it cannot be noted so.
    pub can_be_noted: bool,
    /// How tall it will be a week on.
    pub ahead: Option<Tall>,
    /// What is amiss.
    pub amiss: Option<Amiss>,
    /// Where it is too tall in the rows of its spot: the pots in a row in which it goes under the roof unplaced.
    pub unplaced_rows: Option<u32>,
}

impl Shape {
    /// The way out for a set that outgrew the roof in the rows of its spot.
    #[must_use]
    pub fn way_out(&self) -> Option<String> {
        let (label, in_row) = (self.parts.first()?, self.unplaced_rows?);
        Some(format!("in rows of {in_row} {label} goes under the roof: `place {label} --anywhere`"))
    }
}

/// A bench to scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchPlan {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place's name.
    pub place_name: Name,
    /// The place's kind.
    pub kind: PlaceKind,
    /// Its size: x runs along the length, y from the back over the width.
    pub size: BenchSize,
    /// Where the roof is higher.
    pub high: HighSide,
    /// What stands on it, from the back left.
    pub shapes: Vec<Shape>,
    /// Labels of those for which no spot was left: by the log more stands here than goes.
    pub crowded: Vec<String>,
    /// Labels of those never measured, with their kind.
    pub unmeasured: Vec<(String, Name)>,
    /// Where more of one kind of container would go, once that was asked with [`BenchPlan::showing`].
    pub more: Vec<FreeSpot>,
    surface: Surface,
    standing: Vec<(ContainerId, Standing)>,
}

/// The plan of a bench; `None` when it is not in the state or has no size.
#[must_use]
pub fn bench_plan(state: &State, trade: &Trade, on: Date, id: BenchId) -> Option<BenchPlan> {
    let bench = state.benches.get(&id)?;
    let place = state.places.get(&bench.place)?;
    let surface = layout::surface(&bench.size)?;
    let layout = assumed_layout(state, trade, on, id);
    let standing: Vec<_> = layout.stood.iter().map(|stood| (stood.container, stood.standing)).collect();
    let shapes = layout.stood.iter().filter_map(|stood| {
        let container = state.containers.get(&stood.container)?;
        let Standing { item, at } = stood.standing;
        let (along, across) = item.extent(at.turn);
        let inner = height::carried(state, stood.container).flat_map(|(_, inner)| &inner.parts);
        let parts = container.parts.iter().chain(inner).filter_map(|part| state.parts.get(part));
        let others = standing.iter().filter(|(other, _)| *other != stood.container);
        let amiss = amiss(&surface, &stood.standing, others.map(|(_, standing)| standing));
        let outgrew = stood.noted && amiss == Some(Amiss::TooTall);
        let rows = || goes_unplaced(state, trade, on, id, stood.container);
        Some(Shape {
            container: stood.container,
            label: label_of(state, stood.container),
            parts: parts.filter(|part| part.is_live()).map(|part| state.part_label(part)).collect(),
            vessel: container.vessel.name.clone(),
            x: at.x,
            y: at.y,
            along,
            across,
            turned: at.turn == Turn::Quarter,
            noted: stood.noted,
            pinned: stood.pinned,
            can_be_noted: layout::can_be_noted(state, id, stood.container, &item),
            ahead: height::ahead(state, trade, on, stood.container),
            amiss: with_roof(amiss, layout.too_tall.contains(&stood.container)),
            unplaced_rows: if outgrew { rows() } else { None },
        })
    });
    let mut shapes: Vec<Shape> = shapes.collect();
    shapes.sort_by_key(|shape| (shape.y, shape.x, shape.container));
    let kind_of = |id: &ContainerId| state.containers.get(id).map(|it| (label_of(state, *id), it.vessel.name.clone()));
    Some(BenchPlan {
        bench: id,
        name: bench.name.clone(),
        place_name: place.name.clone(),
        kind: place.kind,
        size: bench.size,
        high: high_side(&surface),
        shapes,
        crowded: layout.crowded.iter().map(|id| label_of(state, *id)).collect(),
        unmeasured: layout.unmeasured.iter().filter_map(kind_of).collect(),
        more: Vec::new(),
        surface,
        standing,
    })
}

/// What by the log stands in another or off its bench, bench by bench: `frame/left` and the labels.
#[must_use]
pub fn set_amiss(state: &State, trade: &Trade, on: Date) -> Vec<(String, Vec<String>)> {
    let is_amiss = |shape: &Shape| matches!(shape.amiss, Some(Amiss::Off | Amiss::Overlaps));
    let mut found: Vec<(String, Vec<String>)> = state
        .benches
        .keys()
        .filter_map(|id| bench_plan(state, trade, on, *id))
        .map(|plan| {
            let amiss = plan.shapes.into_iter().filter(is_amiss).map(|shape| shape.label);
            (bench_label(state, plan.bench), amiss.collect())
        })
        .filter(|(_, amiss): &(String, Vec<String>)| !amiss.is_empty())
        .collect();
    found.sort();
    found
}

/// What is too tall wherever it stands is so at this spot too.
fn with_roof(amiss: Option<Amiss>, too_tall: bool) -> Option<Amiss> {
    match amiss {
        None | Some(Amiss::TooTall) if too_tall => Some(Amiss::TooTallAnywhere),
        amiss => amiss,
    }
}

fn high_side(surface: &Surface) -> HighSide {
    match surface.headroom() {
        None => HighSide::Open,
        Some(roof) if roof.back > roof.front => HighSide::Back,
        Some(roof) if roof.front > roof.back => HighSide::Front,
        Some(_) => HighSide::Level,
    }
}

fn amiss<'a>(surface: &Surface, standing: &Standing, mut others: impl Iterator<Item = &'a Standing>) -> Option<Amiss> {
    if !inside(surface, &layout::as_it_stands(surface, *standing)) {
        Some(Amiss::Off)
    } else if others.any(|other| overlaps(standing, other)) {
        Some(Amiss::Overlaps)
    } else if !inside(surface, standing) {
        Some(Amiss::TooTall)
    } else {
        None
    }
}

/// Somewhere a container may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FreeSpot {
    /// From the left end of the bench.
    pub x: Millimetres,
    /// From the back of the bench.
    pub y: Millimetres,
    /// How far it would reach along the bench.
    pub along: Millimetres,
    /// How far it would reach from back to front.
    pub across: Millimetres,
    /// A quarter turned.
    pub turned: bool,
}

/// A container in the hand over one bench: the ground it would take there, and where it may go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reach {
    /// The bench.
    pub bench: BenchId,
    /// Where it may go without moving any other; empty where it goes nowhere.
    pub spots: Vec<FreeSpot>,
    item: Item,
    goes: Goes,
}

impl Reach {
    /// A spot of the bench, taken straight or a quarter turned.
    #[must_use]
    pub fn at(&self, x: Millimetres, y: Millimetres, turned: bool) -> FreeSpot {
        let (along, across) = self.item.extent(if turned { Turn::Quarter } else { Turn::Straight });
        FreeSpot { x, y, along, across, turned }
    }
}

impl BenchPlan {
    /// Where more of a container may go without moving anything, side by side; empty when it was never measured, or when
    /// something stands here for which there is no spot.
    #[must_use]
    pub fn free_spots(&self, vessel: &Vessel) -> Vec<FreeSpot> {
        if !self.crowded.is_empty() {
            return Vec::new();
        }
        let height = vessel.height.and_then(|height| layout::under(&self.surface, height));
        let standing: Vec<Standing> = self.standing.iter().map(|(_, standing)| *standing).collect();
        let item = layout::block_on(&self.surface, vessel, height);
        item.map_or_else(Vec::new, |item| self.spots(&standing, &item))
    }

    /// The ground a container that is in the state takes on this bench once it is placed there, as tall as it will be in
    /// a week, and where it may go without moving any other: where it stands counts as free, and the spots are side by side from where they
    /// fill best. `None` when it was never measured.
    #[must_use]
    pub fn reach(&self, state: &State, trade: &Trade, on: Date, id: ContainerId) -> Option<Reach> {
        let standing: Vec<Standing> = self.others(id).map(|(_, standing)| *standing).collect();
        let (item, goes) = layout::placed_item_on(state, trade, on, self.bench, id)?;
        // Where something has no spot, no newcomer has one either.
        let comes = state.containers.get(&id).is_none_or(|it| it.stand != Stand::Bench(self.bench));
        let spots = match goes {
            Goes::Under if self.crowded.is_empty() || !comes => self.spots(&standing, &item),
            Goes::Under | Goes::TooTall => Vec::new(),
        };
        Some(Reach { bench: self.bench, spots, item, goes })
    }

    /// What would be amiss with a container at a spot of this bench, by its reach there.
    #[must_use]
    pub fn amiss_at(&self, id: ContainerId, reach: &Reach, spot: FreeSpot) -> Option<Amiss> {
        let turn = if spot.turned { Turn::Quarter } else { Turn::Straight };
        let standing = Standing { item: reach.item, at: Placed { x: spot.x, y: spot.y, turn } };
        let amiss = amiss(&self.surface, &standing, self.others(id).map(|(_, standing)| standing));
        with_roof(amiss, reach.goes == Goes::TooTall)
    }

    /// What a container at a spot would stand in.
    #[must_use]
    pub fn in_the_way(&self, id: ContainerId, reach: &Reach, spot: FreeSpot) -> Option<&Shape> {
        let turn = if spot.turned { Turn::Quarter } else { Turn::Straight };
        let standing = Standing { item: reach.item, at: Placed { x: spot.x, y: spot.y, turn } };
        let (other, _) = self.others(id).find(|(_, other)| overlaps(&standing, other))?;
        self.shapes.iter().find(|shape| shape.container == *other)
    }

    /// The same, with where more of a container would go.
    #[must_use]
    pub fn showing(self, vessel: &Vessel) -> Self {
        Self { more: self.free_spots(vessel), ..self }
    }

    fn others(&self, id: ContainerId) -> impl Iterator<Item = &(ContainerId, Standing)> {
        self.standing.iter().filter(move |(other, _)| *other != id)
    }

    fn spots(&self, standing: &[Standing], item: &Item) -> Vec<FreeSpot> {
        let spot = |at: Placed| {
            let (along, across) = item.extent(at.turn);
            let turned = at.turn == Turn::Quarter;
            FreeSpot { x: at.x, y: at.y, along, across, turned }
        };
        place_many(&self.surface, standing, item, MOST_ITEMS).into_iter().map(spot).collect()
    }
}
