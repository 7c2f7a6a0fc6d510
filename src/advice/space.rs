//! Bench space: what is taken and what is free.

use crate::journal::{BenchSize, Container, Light, Place, PlaceKind, Stand, State, Vessel};
use crate::quantity::{
    BenchId, ContainerClass, ContainerId, Date, Millimetres, Name, PartLabel, PlaceId, SquareMillimetres,
};
use crate::science::packing::Placed;
use crate::trade::Trade;

use super::height::{self, Tall};
use super::layout::{self, Layout, assumed_layout};
use super::plan::{Amiss, bench_plan};
use super::why::Why;

/// Ground: all of it, what is taken, what is free.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    /// All of it.
    pub whole: SquareMillimetres,
    /// Under containers whose home it is, also those out for the day.
    pub taken: SquareMillimetres,
    /// What is left; nothing when more stands there than goes.
    pub free: SquareMillimetres,
    /// Containers on it that were never measured: when there are any, `free` is at most what it says.
    pub unmeasured: u32,
}

/// One container standing on a bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandingRow {
    /// The container.
    pub container: ContainerId,
    /// What it is.
    pub vessel: Name,
    /// Pots in the set; 1 for everything else.
    pub pots: u32,
    /// A name of its own.
    pub called: Option<Name>,
    /// The live parts in it or on it.
    pub parts: Vec<PartLabel>,
    /// Length and width it takes, a set of pots as one block; `None` when it was never measured.
    pub block: Option<(Millimetres, Millimetres)>,
    /// Ground it takes.
    pub footprint: Option<SquareMillimetres>,
    /// How tall it is with what grows in it, as far as was noted.
    pub height: Option<Millimetres>,
    /// How tall it will be a week on.
    pub ahead: Option<Tall>,
    /// The place it is out in for the day.
    pub out: Option<Name>,
    /// What is amiss with where it stands.
    pub amiss: Option<Amiss>,
    /// Where it stands or is taken to stand; `None` when unmeasured or no spot is left.
    pub spot: Option<Placed>,
    /// True when somebody said that it stands there.
    pub spot_noted: bool,
}

/// One bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchSpace {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place it is in.
    pub place: PlaceId,
    /// The place's name.
    pub place_name: Name,
    /// The place's kind.
    pub kind: PlaceKind,
    /// Its size and headroom.
    pub size: BenchSize,
    /// Its ground.
    pub area: Area,
    /// What stands on it, in the order it came.
    pub standing: Vec<StandingRow>,
}

/// One place: its benches together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceSpace {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// The ground of its benches.
    pub area: Area,
    /// Containers in it that stand on no bench: they take no ground that is known.
    pub off_bench: u32,
}

/// All bench space.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Bench by bench, by place and name.
    pub benches: Vec<BenchSpace>,
    /// Place by place, by name.
    pub places: Vec<PlaceSpace>,
    /// All places of a house together.
    pub indoors: Area,
    /// All cold frames together.
    pub frames: Area,
    /// All that is neither: greenhouses and tunnels, and what stands in the open.
    pub elsewhere: Area,
    /// How it was come by.
    pub why: Why,
}

/// What a bench is good for by its light, the best first: plants in light are well on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Suits {
    /// Plants in light.
    Plants,
    /// Plants, though there is little light.
    Dimly,
    /// What is not up yet: it is warm and dark.
    Germinating,
    /// What is chilled: it is a fridge.
    Chilling,
}

impl Suits {
    pub(super) fn of(place: &Place) -> Self {
        match (place.kind, place.light) {
            (PlaceKind::Fridge, _) => Self::Chilling,
            (kind, light) if kind.draws_shoots() && light != Light::Full => Self::Germinating,
            (_, Light::Low) => Self::Dimly,
            _ => Self::Plants,
        }
    }

    /// True where plants that are up can stay.
    #[must_use]
    pub fn is_for_plants(self) -> bool {
        self <= Self::Dimly
    }
}

/// All bench space as it is; `on` tells how tall plants will be.
#[must_use]
pub fn space(state: &State, trade: &Trade, on: Date) -> Space {
    let mut benches: Vec<BenchSpace> =
        state.benches.keys().filter_map(|id| bench_space(state, trade, on, *id)).collect();
    benches.sort_by(|a, b| (&a.place_name, &a.name, a.bench).cmp(&(&b.place_name, &b.name, b.bench)));
    let sum = |belongs: &dyn Fn(&BenchSpace) -> bool| {
        benches.iter().filter(|bench| belongs(bench)).map(|bench| bench.area).fold(Area::default(), Area::and)
    };
    let mut places: Vec<PlaceSpace> = state
        .places
        .iter()
        .map(|(id, place)| PlaceSpace {
            place: *id,
            name: place.name.clone(),
            kind: place.kind,
            area: sum(&|bench| bench.place == *id),
            off_bench: off_bench(state, *id),
        })
        .collect();
    places.sort_by(|a, b| (&a.name, a.place).cmp(&(&b.name, b.place)));
    let indoors = sum(&|bench| bench.kind.is_indoors());
    let frames = sum(&|bench| bench.kind == PlaceKind::ColdFrame);
    let elsewhere = sum(&|bench| !bench.kind.is_indoors() && bench.kind != PlaceKind::ColdFrame);
    Space { indoors, frames, elsewhere, places, benches, why: why_space(state) }
}

impl Area {
    fn and(self, other: Self) -> Self {
        Self {
            whole: self.whole + other.whole,
            taken: self.taken + other.taken,
            free: self.free + other.free,
            unmeasured: self.unmeasured.saturating_add(other.unmeasured),
        }
    }
}

fn bench_space(state: &State, trade: &Trade, on: Date, id: BenchId) -> Option<BenchSpace> {
    let bench = state.benches.get(&id)?;
    let place = state.places.get(&bench.place)?;
    let layout = assumed_layout(state, trade, on, id);
    let plan = bench_plan(state, trade, on, id);
    let amiss = |one| plan.iter().flat_map(|plan| &plan.shapes).find(|shape| shape.container == one)?.amiss;
    let row = |one| {
        let ahead = height::ahead(state, trade, on, one);
        Some(StandingRow { ahead, amiss: amiss(one), ..standing_row(state, &layout, one)? })
    };
    let standing: Vec<StandingRow> = layout::on_bench(state, id).into_iter().filter_map(row).collect();
    Some(BenchSpace {
        bench: id,
        name: bench.name.clone(),
        place: bench.place,
        place_name: place.name.clone(),
        kind: place.kind,
        size: bench.size,
        area: ground(state, id)?,
        standing,
    })
}

/// The ground of a bench: what every page calls free.
pub(super) fn ground(state: &State, id: BenchId) -> Option<Area> {
    let size = state.benches.get(&id)?.size;
    let whole = size.length.by(size.width);
    let standing = layout::on_bench(state, id);
    let footprints = || standing.iter().map(|one| state.containers.get(one)?.footprint());
    let taken: SquareMillimetres = footprints().flatten().sum();
    let unmeasured = whole_number(footprints().filter(Option::is_none).count());
    Some(Area { whole, taken, free: whole.less(taken), unmeasured })
}

fn standing_row(state: &State, layout: &Layout, id: ContainerId) -> Option<StandingRow> {
    let container = state.containers.get(&id)?;
    let stood = layout.stood.iter().find(|stood| stood.container == id);
    let carried = height::carried(state, id).flat_map(|(_, inner)| &inner.parts);
    let parts = container.parts.iter().chain(carried).filter_map(|part| state.parts.get(part));
    Some(StandingRow {
        container: id,
        vessel: container.vessel.name.clone(),
        pots: container.vessel.pots,
        called: container.called.clone(),
        parts: parts.filter(|part| part.is_live()).map(|part| state.part_label(part)).collect(),
        block: stood.map(|stood| (stood.standing.item.length(), stood.standing.item.width())),
        footprint: container.footprint(),
        height: height::now(state, id),
        ahead: None,
        amiss: None,
        out: container.out.and_then(|place| state.places.get(&place)).map(|place| place.name.clone()),
        spot: stood.map(|stood| stood.standing.at),
        spot_noted: stood.is_some_and(|stood| stood.noted),
    })
}

fn off_bench(state: &State, place: PlaceId) -> u32 {
    let here = |container: &Container| container.stand == Stand::Place(place);
    whole_number(state.containers.iter().filter(|(id, it)| here(it) && state.is_occupied(**id)).count())
}

pub(super) fn whole_number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

fn why_space(state: &State) -> Why {
    Why::new("free = length x width of the bench, less length x width of each container whose home it is")
        .given("benches", state.benches.len())
        .doubt("free ground in scraps holds no tray: ask what still fits")
        .changes("moving, clearing or measuring containers; one out for the day keeps its home")
}

/// Under a roof higher than this a tray goes whatever its height: the deepest of the table is 127 mm high.
const HIGHER_THAN_ANY_TRAY: u32 = 150;

/// True for what nobody has measured the height of, where a roof is low enough that it matters. Pots are taken to be at
/// most twice as high as wide: common practice, no source.
#[must_use]
pub fn height_matters(size: &BenchSize, vessel: &Vessel) -> bool {
    let most = match vessel.class {
        ContainerClass::Paper => 0,
        ContainerClass::Pot => vessel.length.max(vessel.width).map_or(u32::MAX, |side| side.0.saturating_mul(2)),
        ContainerClass::Tray | ContainerClass::CellTray | ContainerClass::Carrier => HIGHER_THAN_ANY_TRAY,
    };
    let roof = size.headroom_back.into_iter().chain(size.headroom_front).min();
    vessel.height.is_none() && roof.is_some_and(|roof| roof.0 < most)
}
