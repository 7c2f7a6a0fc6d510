//! Standing things elsewhere: what a repacking would free, and what has to shift to make room.

use thiserror::Error;

use crate::journal::{Spot, State, Vessel};
use crate::quantity::{BenchId, ContainerId, Date, Name, SquareMillimetres};
use crate::science::packing::{
    self, Hold, Item, MOST_ITEMS, Occupant, PackingError, Placed, Plan, Standing, Surface, Turn, how_many_more, inside,
    overlaps, place_one, repack,
};
use crate::trade::Trade;

use super::layout::{self, Layout, Stood, assumed_layout};
use super::plan::{Amiss, Shape, bench_plan};
use super::room::{kinds_in_use, usable_by};
use super::stand::{bench_label, label_of, typed_for};

/// Why no repacking can be proposed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotRepack {
    /// The bench has no size that can be worked with.
    #[error("{0} has no size to work with")]
    NoSize(String),
    /// Two pinned things stand in each other.
    #[error("by the log {0} and {1} are pinned in each other")]
    PinsOverlap(String, String),
    /// A pinned thing stands off the bench.
    #[error("by the log {0} is pinned where the bench does not reach")]
    PinOff(String),
    /// More than can be worked out.
    #[error("{0}")]
    Packing(PackingError),
    /// No arrangement was found with everything on the bench.
    #[error("no way was found to stand everything on {0}: by the log more stands there than goes")]
    NoWay(String),
}

impl CannotRepack {
    /// What to do instead.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::PinsOverlap(..) | Self::PinOff(_) => "place one anew, or unpin it: `place PART --loose`",
            Self::NoWay(_) => "move some to another bench; `clear` what was emptied; `measure` what was guessed",
            Self::NoSize(_) => "measure it: `bench resize PLACE/NAME --size 1200x500mm`",
            Self::Packing(_) => "move some to another bench",
        }
    }
}

/// One thing to be set down elsewhere on its bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lift {
    /// The container.
    pub container: ContainerId,
    /// What is written on it: `14a`, or a carrier's name.
    pub label: String,
    /// What is typed for it: of several parts that share a tray the first.
    pub typed: String,
    /// Where it is taken to stand; `None` when no spot was left for it.
    pub from: Option<Placed>,
    /// Where it would stand.
    pub to: Placed,
}

impl Lift {
    /// As it is typed: `place 14a 240,0 --turned`. Nothing typed would leave it turned as it was placed.
    #[must_use]
    pub fn line(&self) -> String {
        let turned = match (self.from.map(|from| from.turn), self.to.turn) {
            (_, Turn::Quarter) => " --turned",
            (Some(Turn::Quarter), Turn::Straight) => " --straight",
            (_, Turn::Straight) => "",
        };
        format!("place {} {},{}{turned}", self.typed, self.to.x.0, self.to.y.0)
    }
}

/// A repacking of one bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repacking {
    /// The bench.
    pub bench: BenchId,
    /// What would stand elsewhere or otherwise turned than it is taken to stand.
    pub lifts: Vec<Lift>,
    /// Labels of what stands amiss now and would not where it is lifted to: in another, off the bench, or too tall for its roof there.
    pub amiss: Vec<String>,
    /// Ways out that no repacking is: for sets of pots that outgrew the roof in the rows of their spot.
    pub otherwise: Vec<String>,
    /// How many things nobody ever placed: where they stand was only taken so.
    pub never_placed: u32,
    /// Free ground that a tray in use could take, before.
    pub usable_before: SquareMillimetres,
    /// The same after.
    pub usable_after: SquareMillimetres,
    /// How many more of each kind in use go, before and after.
    pub more: Vec<(Name, u32, u32)>,
    /// Where everything would stand of which a spot can say it, pinned as it was.
    pub spots: Vec<(ContainerId, Spot)>,
}

impl Repacking {
    /// True when there is something to lift, and so something is gained by it: more trays go and fewer of no kind, or
    /// what stood amiss or had no spot gets one.
    #[must_use]
    pub const fn is_worth_it(&self) -> bool {
        !self.lifts.is_empty()
    }

    /// All it comes to, the gains first: `6b gets a spot`, `puts right where 2a stands`, `frees room for 1 -> 2 more of
    /// seed-tray`, `costs room for 3 -> 2 more of 9cm-pot`; where neither, that it frees no more trays.
    #[must_use]
    pub fn comes_to(&self) -> Vec<String> {
        let stand = if self.amiss.len() == 1 { "stands" } else { "stand" };
        let right = (!self.amiss.is_empty()).then(|| format!("puts right where {} {stand}", self.amiss.join(", ")));
        let changed = |what: &str, is: &dyn Fn(u32, u32) -> bool| {
            let rows = self.more.iter().filter(|(_, before, after)| is(*before, *after));
            let rows: Vec<String> =
                rows.map(|(name, before, after)| format!("room for {before} -> {after} more of {name}")).collect();
            (!rows.is_empty()).then(|| format!("{what} {}", rows.join(", ")))
        };
        let (frees, costs) = (changed("frees", &|before, after| after > before), changed("costs", &|a, b| b < a));
        let all: Vec<String> = self.seats().into_iter().chain(right).chain(frees).chain(costs).collect();
        if all.is_empty() { vec!["frees no more trays".to_owned()] } else { all }
    }

    /// Who gets a spot that had none: `6b gets a spot`.
    #[must_use]
    pub fn seats(&self) -> Option<String> {
        let newly: Vec<&str> =
            self.lifts.iter().filter(|lift| lift.from.is_none()).map(|lift| lift.label.as_str()).collect();
        let get = if newly.len() == 1 { "gets" } else { "get" };
        (!newly.is_empty()).then(|| format!("{} {get} a spot", newly.join(", ")))
    }
}

/// Room made on one bench by shifting what stands there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomMade {
    /// The bench.
    pub bench: BenchId,
    /// Its name.
    pub name: Name,
    /// The place's name.
    pub place_name: Name,
    /// How many newcomers it makes room for.
    pub count: u32,
    /// What has to be done before the lifts can be noted, each in words and as it is typed: what is out for the day is
    /// brought in, and where each waits for another one is lifted off.
    pub before: Vec<(String, String)>,
    /// What has to be lifted, in an order in which each goes to ground that is free by then.
    pub lifts: Vec<Lift>,
    /// What nobody placed and is not lifted, where it is to be noted as it is drawn, so that it stays there.
    pub kept: Vec<Lift>,
    /// True where nobody placed what is in the way: they go without a word of it, and it is taken to stand elsewhere then.
    pub unasked: bool,
    /// Where the newcomers would stand.
    pub spots: Vec<Placed>,
}

/// Everything measured on a bench, for the sums.
struct Crowd {
    surface: Surface,
    layout: Layout,
    /// In the order of `occupants`.
    ids: Vec<ContainerId>,
    occupants: Vec<Occupant>,
    kinds: Vec<Vessel>,
    usable_by: Vec<Item>,
}

impl Crowd {
    fn of(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Option<Self> {
        let surface = layout::surface(&state.benches.get(&bench)?.size)?;
        let layout = assumed_layout(state, trade, on, bench);
        let standing = layout.stood.iter().map(|stood| {
            let item = stood.standing.item;
            let as_it_stands = layout::as_it_stands(&surface, stood.standing);
            // It may have outgrown all of the roof, a set that was placed in the rows of its spot: no spot would be better.
            let too_tall = layout.too_tall.contains(&stood.container);
            let outgrown = too_tall || place_one(&surface, &[], &item).is_none();
            let others = || layout.stood.iter().filter(|other| other.container != stood.container);
            let is_clear =
                || inside(&surface, &as_it_stands) && !others().any(|it| overlaps(&it.standing, &as_it_stands));
            // What no spot can say stays as it is taken to stand.
            let can_be_noted = layout::can_be_noted(state, bench, stood.container, &item);
            let stays = stood.pinned || !can_be_noted || outgrown && is_clear();
            // A pin is kept even where plants will outgrow the roof.
            let standing = if stays || outgrown { as_it_stands } else { stood.standing };
            let hold = if stays { Hold::Pinned } else { Hold::Loose };
            (stood.container, Occupant { item: standing.item, at: Some(standing.at), hold })
        });
        let crowded = layout.crowded.iter().filter_map(|id| {
            let (item, _) = layout::item_on(state, trade, on, bench, *id)?;
            Some((*id, Occupant { item, at: None, hold: Hold::Loose }))
        });
        let (ids, occupants) = standing.chain(crowded).unzip();
        let kinds = kinds_in_use(state, trade);
        let usable_by = usable_by(&kinds, &surface);
        Some(Self { surface, layout, ids, occupants, kinds, usable_by })
    }

    fn lift(&self, state: &State, index: usize, plan: &Plan) -> Option<Lift> {
        let container = *self.ids.get(index)?;
        let (from, to) = (self.occupants.get(index)?.at, *plan.positions.get(index)?);
        Some(Lift { container, label: label_of(state, container), typed: typed_for(state, container), from, to })
    }

    /// Those lifted in an order in which each goes to ground that is free by then; and who is to be lifted off before
    /// that, where each waits for another. What nobody placed gives way.
    fn in_turn(&self, plan: &Plan) -> (Vec<usize>, Vec<usize>) {
        let noted = |id: &ContainerId| self.layout.stood.iter().any(|stood| stood.noted && stood.container == *id);
        let standing =
            |index: usize, at: Option<Placed>| Some(Standing { item: self.occupants.get(index)?.item, at: at? });
        let goes = |index: usize| standing(index, plan.positions.get(index).copied());
        let stands = |index: usize| {
            let at = self.occupants.get(index).and_then(|occupant| occupant.at);
            standing(index, at).filter(|_| self.ids.get(index).is_some_and(noted))
        };
        let is_in_the_way = |of: usize, one: usize| {
            one != of && goes(of).zip(stands(one)).is_some_and(|(goes, stands)| overlaps(&goes, &stands))
        };
        let (mut left, mut order, mut off) = (plan.lifted.clone(), Vec::new(), Vec::new());
        while !left.is_empty() {
            let there: Vec<usize> = left.iter().copied().filter(|one| !off.contains(one)).collect();
            if let Some(at) = left.iter().position(|&of| !there.iter().any(|&one| is_in_the_way(of, one))) {
                order.push(left.remove(at));
                continue;
            }
            let in_the_way_of = |one: &usize| left.iter().filter(|&&of| is_in_the_way(of, *one)).count();
            off.extend(there.into_iter().max_by_key(in_the_way_of));
        }
        (order, off)
    }

    fn standings(&self, at: impl Fn(usize) -> Option<Placed>) -> Vec<Standing> {
        let all = self.occupants.iter().enumerate();
        all.filter_map(|(index, occupant)| Some(Standing { item: occupant.item, at: at(index)? })).collect()
    }

    /// How many more of each kind go; none while something has no spot.
    fn more(&self, standing: &[Standing]) -> Vec<(Name, u32)> {
        let all_stand = standing.len() == self.ids.len();
        let measured = self.kinds.iter().filter_map(|kind| {
            let item = layout::block_on(&self.surface, kind, kind.height)?;
            Some((kind.name.clone(), if all_stand { how_many_more(&self.surface, standing, &item) } else { 0 }))
        });
        measured.collect()
    }
}

/// A repacking of a bench after which more trays go there; with nothing to lift where it would free nothing.
///
/// # Errors
/// When pins contradict one another, or no way was found to stand everything there.
pub fn repacking(state: &State, trade: &Trade, on: Date, bench: BenchId) -> Result<Repacking, CannotRepack> {
    let name = bench_label(state, bench);
    let crowd = Crowd::of(state, trade, on, bench).ok_or_else(|| CannotRepack::NoSize(name.clone()))?;
    let label = |index: usize| crowd.ids.get(index).map_or_else(String::new, |id| label_of(state, *id));
    let plan = repack(&crowd.surface, &crowd.occupants, &crowd.usable_by).map_err(|error| match error {
        PackingError::PinsOverlap(one, other) => CannotRepack::PinsOverlap(label(one), label(other)),
        PackingError::PinOff(index) | PackingError::PinNowhere(index) => CannotRepack::PinOff(label(index)),
        other => CannotRepack::Packing(other),
    })?;
    let plan = plan.ok_or(CannotRepack::NoWay(name))?;
    let at_present = crowd.layout.standings();
    let after = crowd.standings(|index| plan.positions.get(index).copied());
    let more = crowd.more(&at_present).into_iter().zip(crowd.more(&after));
    let all: Vec<Lift> = (0..crowd.ids.len()).filter_map(|index| crowd.lift(state, index, &plan)).collect();
    let noted = crowd.layout.stood.iter().filter(|stood| stood.noted).count();
    let never_placed = u32::try_from(all.len().saturating_sub(noted)).unwrap_or(u32::MAX);
    let noted = crowd
        .ids
        .iter()
        .zip(&crowd.occupants)
        .filter(|(id, occupant)| layout::can_be_noted(state, bench, **id, &occupant.item));
    let noted: Vec<ContainerId> = noted.map(|(id, _)| *id).collect();
    let spots = all.iter().filter(|lift| noted.contains(&lift.container));
    let spots = spots.map(|lift| (lift.container, spot_of(state, lift))).collect();
    let lifts: Vec<Lift> = all.into_iter().filter(|lift| lift.from != Some(lift.to)).collect();
    let shapes = bench_plan(state, trade, on, bench).map_or_else(Vec::new, |plan| plan.shapes);
    let is_put_right = |shape: &Shape| {
        let stood = crowd.layout.stood.iter().find(|stood| stood.container == shape.container);
        let lift = lifts.iter().find(|lift| lift.container == shape.container);
        stood.zip(lift).is_some_and(|(stood, lift)| match shape.amiss {
            None | Some(Amiss::TooTallAnywhere) => false,
            Some(Amiss::TooTall) => inside(&crowd.surface, &Standing { item: stood.standing.item, at: lift.to }),
            Some(Amiss::Off | Amiss::Overlaps) => true,
        })
    };
    let otherwise = shapes.iter().filter_map(Shape::way_out).collect();
    let amiss = shapes.into_iter().filter(is_put_right).map(|shape| shape.label).collect();
    Ok(Repacking {
        bench,
        lifts,
        amiss,
        otherwise,
        never_placed,
        usable_before: if crowd.layout.crowded.is_empty() { plan.usable_before } else { SquareMillimetres(0) },
        usable_after: plan.usable_after,
        more: more.map(|((name, before), (_, after))| (name, before, after)).collect(),
        spots,
    })
}

/// Where a lift sets its container down, pinned as it was.
pub(super) fn spot_of(state: &State, lift: &Lift) -> Spot {
    let pinned = state.containers.get(&lift.container).and_then(|container| container.spot).is_some_and(|it| it.pinned);
    Spot { x: lift.to.x.0, y: lift.to.y.0, turned: lift.to.turn == Turn::Quarter, pinned }
}

/// Room for `count` more of a container on one bench by shifting what is not pinned; `None` when no way was found.
pub(super) fn make_room(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    vessel: &Vessel,
    count: u32,
) -> Option<RoomMade> {
    let crowd = Crowd::of(state, trade, on, bench)?;
    let there = state.benches.get(&bench)?;
    let many = usize::try_from(count).ok()?;
    let height = vessel.height.and_then(|it| layout::under(&crowd.surface, it));
    let newcomers = vec![layout::block_on(&crowd.surface, vessel, height)?; many.min(MOST_ITEMS + 1)];
    let plan = packing::make_room(&crowd.surface, &crowd.occupants, &newcomers, &crowd.usable_by).ok().flatten()?;
    let unplaced = |lift: &Lift| {
        let stood = crowd.layout.stood.iter().find(|stood| stood.container == lift.container && !stood.noted);
        stood.is_some_and(|stood| layout::can_be_noted(state, bench, lift.container, &stood.standing.item))
    };
    let lift = |index: &usize| crowd.lift(state, *index, &plan);
    let stays = (0..crowd.ids.len()).filter(|index| !plan.lifted.contains(index));
    let kept: Vec<Lift> = stays.filter_map(|index| lift(&index)).filter(unplaced).collect();
    let (order, off) = crowd.in_turn(&plan);
    let lifts: Vec<Lift> = order.iter().filter_map(lift).collect();
    let is_out = |lift: &&Lift| state.containers.get(&lift.container).is_some_and(|held| held.out.is_some());
    let brought_in = lifts.iter().chain(&kept).filter(is_out);
    let brought_in = brought_in.map(|lift| (format!("{} is in", lift.label), format!("in {}", lift.typed)));
    let off = off.iter().filter_map(lift);
    let off = off.map(|lift| (format!("{} is lifted off", lift.label), format!("place {} --anywhere", lift.typed)));
    Some(RoomMade {
        bench,
        name: there.name.clone(),
        place_name: state.places.get(&there.place)?.name.clone(),
        count,
        before: brought_in.chain(off).collect(),
        lifts,
        kept,
        unasked: false,
        spots: plan.positions.iter().skip(crowd.ids.len()).copied().collect(),
    })
}

/// Room for `count` more of a container on one bench as it is drawn once they are there: what nobody placed is taken to
/// stand elsewhere then. `None` when not all had a spot.
pub(super) fn stood_anew(
    state: &State,
    trade: &Trade,
    on: Date,
    bench: BenchId,
    vessel: &Vessel,
    count: u32,
) -> Option<RoomMade> {
    let there = state.benches.get(&bench)?;
    let surface = layout::surface(&there.size)?;
    let height = vessel.height.and_then(|height| layout::under(&surface, height));
    let item = layout::block_on(&surface, vessel, height)?;
    let many = usize::try_from(count).ok()?;
    let ground = item.area().0.saturating_mul(u64::from(count));
    if many > MOST_ITEMS || ground > surface.area().0 {
        return None;
    }
    let (then, spots) = layout::with_newcomers(state, trade, on, bench, item, many)?;
    let now = assumed_layout(state, trade, on, bench);
    let lift = |stood: &Stood| {
        let before = now.stood.iter().find(|other| other.container == stood.container);
        let (from, to) = (before.map(|before| before.standing.at), stood.standing.at);
        let (label, typed) = (label_of(state, stood.container), typed_for(state, stood.container));
        (from != Some(to)).then_some(Lift { container: stood.container, label, typed, from, to })
    };
    Some(RoomMade {
        bench,
        name: there.name.clone(),
        place_name: state.places.get(&there.place)?.name.clone(),
        count,
        before: Vec::new(),
        lifts: then.stood.iter().filter_map(lift).collect(),
        kept: Vec::new(),
        unasked: true,
        spots,
    })
}
