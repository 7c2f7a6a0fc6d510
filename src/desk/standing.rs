//! Where things stand: placing, repacking, changing over, measuring; and what moving does to the space on both sides.

use std::collections::BTreeSet;

use crate::advice::{
    Amiss, BenchPlan, CannotStand, Shape, Sharing, bench_label, bench_of, bench_plan, bench_room, goes_in, goes_on,
    height_matters, holds_something, in_use, label_of, may_stand, measuring, out_beyond, repacking, rows_in_order,
    sharers, sharing, to_wash, usual_tray,
};
use crate::grammar::{Along, Others, PartRef, PlaceWords, SpotRef, SwapRef, Thing};
use crate::journal::{
    Act, BenchSize, Container, ContainerSize, Entry, Fact, Moving, Shift, Source, Spot, Stand, State, Transfer, Vessel,
};
use crate::quantity::{BatchId, BenchId, ContainerClass, ContainerId, Date, Millimetres, Name, PlaceId};
use crate::trade::{ToldApart, Trade, Work};

use super::error::DeskError;
use super::lookup::find_stand;
use super::parts::For;
use super::resolve::Resolver;

const NO_SIZE: &str = "that bench has no size: `bench resize` measures it";

impl Resolver<'_> {
    /// A bench on which no container of the table goes is a slip of the hand.
    pub(super) fn check_size(&self, size: &BenchSize) -> Result<(), DeskError> {
        holds_something(self.trade, size)?;
        self.doubt_size(size)
    }

    /// Whether new containers go on the bench they are to stand on; a container that was never measured is asked after.
    pub(super) fn check_goes(&mut self, vessel: &Vessel, count: u32, stand: Stand) -> Result<(), DeskError> {
        if vessel.length.is_none() && vessel.class != ContainerClass::Paper {
            self.notices.push(format!(
                "nobody has measured a {}: with `{}` once, its room is reckoned",
                vessel.name,
                measuring(vessel)
            ));
        }
        match stand {
            Stand::Bench(bench) => {
                self.note_no_height(vessel, bench);
                goes_on(self.latest, bench, vessel, count)?;
            }
            Stand::Carrier(carrier) => {
                goes_in(self.latest, carrier, vessel)?;
                let coming: Vec<&Vessel> = (0..count).map(|_| vessel).collect();
                self.doubt_carrier(carrier, &coming)?;
            }
            Stand::Place(_) => {}
        }
        Ok(())
    }

    /// Under a low roof a container is asked after whose height nobody knows.
    fn note_no_height(&mut self, vessel: &Vessel, bench: BenchId) {
        let matters = self.latest.benches.get(&bench).is_some_and(|bench| height_matters(&bench.size, vessel));
        if matters && vessel.length.is_some() {
            let (name, measuring) = (&vessel.name, measuring(vessel));
            self.notices
                .push(format!("nobody has measured how tall a {name} is, and the roof is low: `{measuring}` once"));
        }
    }

    pub(super) fn check_all_go(&self, moving: &[Moving], to: Stand) -> Result<(), DeskError> {
        let mut coming: Vec<Vessel> = Vec::new();
        for one in moving {
            let vessel = match one {
                Moving::Whole(id) => self.latest.containers.get(id).map(|held| (held.stand, held.vessel.clone())),
                Moving::Some { part, plants } => {
                    let held = self.latest.parts.get(part).and_then(|part| self.latest.containers.get(&part.container));
                    held.map(|held| (held.stand, Vessel { pots: *plants, ..held.vessel.clone() }))
                }
            };
            let Some((from, vessel)) = vessel else { continue };
            match to {
                Stand::Bench(bench) if matches!(one, Moving::Whole(_)) => goes_on(self.latest, bench, &vessel, 1)?,
                Stand::Carrier(carrier) => goes_in(self.latest, carrier, &vessel)?,
                Stand::Bench(_) | Stand::Place(_) => {}
            }
            if from != to {
                coming.push(vessel);
            }
        }
        match to {
            Stand::Carrier(carrier) => self.doubt_carrier(carrier, &coming.iter().collect::<Vec<_>>()),
            Stand::Bench(_) | Stand::Place(_) => Ok(()),
        }
    }

    /// The table's name for a kind of container.
    pub(super) fn container_name(&self, words: &Name) -> Result<Name, DeskError> {
        let row = self.trade.find_container(words.as_str())?;
        Name::new(row.key().as_str()).map_err(|error| DeskError::Unknown {
            what: "container",
            name: row.key().to_string(),
            hint: error.to_string(),
        })
    }

    pub(super) fn measure(&mut self, words: &Name, size: ContainerSize) -> Result<Act, DeskError> {
        let name = self.container_name(words)?;
        self.doubt_measure(&name, size)?;
        self.notices.push(format!("every {name} without a size has this one now; new ones have it too"));
        Ok(Act::Measure { name, size })
    }

    pub(super) fn wash(&mut self, words: &Name, count: Option<u32>) -> Result<Act, DeskError> {
        let name = self.container_name(words)?;
        let known = to_wash(self.standing, self.on).get(&name).copied();
        let count = count.or(known).ok_or(DeskError::Nothing(
            "none of those was emptied lately and not washed: to note it all the same, say how many",
        ))?;
        self.doubt_wash(&name, count, self.on)?;
        self.notices.extend(self.trade.cautions(Work::Cleaning, None).map(|caution| caution.text.clone()));
        Ok(Act::Wash { name, count })
    }

    fn bench_at(&self, spot: &SpotRef) -> Result<BenchId, DeskError> {
        find_bench(self.latest, spot)
    }

    fn thing(&self, thing: &Thing) -> Result<ContainerId, DeskError> {
        match thing {
            Thing::Part(part) => self.container_of(part),
            Thing::Carrier(name) => self.carrier(name),
        }
    }

    pub(super) fn place_exactly(&mut self, words: &PlaceWords) -> Result<Act, DeskError> {
        let id = self.thing(&words.thing)?;
        let what = label_of(self.state, id);
        let container = self.state.containers.get(&id).ok_or(DeskError::Nothing("it was not there yet that day"))?;
        if container.out.is_some() {
            return Err(CannotStand::Out(what).into());
        }
        let bench = match &words.bench {
            Some(spot) => self.bench_at(spot)?,
            None => bench_of(self.state, id).ok_or(CannotStand::NoBench(what))?,
        };
        let stays = bench_of(self.state, id) == Some(bench);
        let now = if stays { self.stands_at(id, bench) } else { None };
        let (x, y) = match (words.at, now) {
            (Some((x, y)), now) => (along(x, now.map(|spot| spot.x))?, along(y, now.map(|spot| spot.y))?),
            (None, Some(spot)) => (spot.x, spot.y),
            (None, None) => return Err(DeskError::Nothing("nobody said where on the bench it is to stand: add X,Y")),
        };
        // A spot that was only taken says nothing of how it is turned.
        let as_it_is = if words.at.is_some() { container.spot.filter(|_| stays) } else { now };
        let turned = words.turned.unwrap_or(as_it_is.is_some_and(|spot| spot.turned));
        let pinned = words.pinned.unwrap_or(now.is_some_and(|spot| spot.pinned));
        let spot = Spot { x, y, turned, pinned };
        // What is only no longer pinned stands where it stood, whatever is amiss with that.
        let loosens = container.spot.filter(|_| stays) == Some(Spot { pinned: true, ..spot }) && !pinned;
        let mut shifts = vec![Shift { container: id, to: Stand::Bench(bench), spot: Some(spot) }];
        if loosens {
            return Ok(Act::Rearrange(shifts));
        }
        may_stand(self.standing, self.trade, self.on, id, bench, spot).map_err(|refused| match refused {
            CannotStand::Off { what, length, width, bench, size } if words.at.is_none() && words.turned.is_some() => {
                CannotStand::OffTurned { what, length, width, bench, size }
            }
            refused => refused,
        })?;
        if words.others == Others::AsDrawn {
            let from = bench_of(self.state, id).filter(|from| *from != bench);
            for bench in [Some(bench), from].into_iter().flatten() {
                shifts.extend(self.as_drawn(bench, id)?);
            }
            self.check_drawn(id, bench, spot)?;
        }
        Ok(Act::Rearrange(shifts))
    }

    /// No spot is noted for it any more, and so none is kept for it.
    pub(super) fn place_anywhere(&mut self, thing: &Thing) -> Result<Act, DeskError> {
        let id = self.thing(thing)?;
        let what = label_of(self.state, id);
        let container = self.state.containers.get(&id).ok_or(DeskError::Nothing("it was not there yet that day"))?;
        if container.out.is_some() {
            return Err(CannotStand::Out(what).into());
        }
        if container.spot.is_none() {
            return Err(DeskError::Nothing("nobody placed it: it stands wherever there is room as it is"));
        }
        let bench = bench_of(self.state, id).ok_or(CannotStand::NoBench(what))?;
        Ok(Act::Rearrange(vec![Shift { container: id, to: Stand::Bench(bench), spot: None }]))
    }

    /// What nobody placed on a bench but one, each where the plan draws it. What is out for the day cannot be set down.
    fn as_drawn(&self, bench: BenchId, but: ContainerId) -> Result<Vec<Shift>, DeskError> {
        let plan = bench_plan(self.standing, self.trade, self.on, bench).ok_or(DeskError::Nothing(NO_SIZE))?;
        let is_out = |id: ContainerId| self.standing.containers.get(&id).is_some_and(|held| held.out.is_some());
        let drawn = plan.shapes.iter().filter(|shape| !shape.noted && shape.can_be_noted && shape.container != but);
        let shift = |shape: &Shape| {
            let spot = Spot { x: shape.x.0, y: shape.y.0, turned: shape.turned, pinned: false };
            Shift { container: shape.container, to: Stand::Bench(bench), spot: Some(spot) }
        };
        Ok(drawn.filter(|shape| !is_out(shape.container)).map(shift).collect())
    }

    fn check_drawn(&self, id: ContainerId, bench: BenchId, spot: Spot) -> Result<(), DeskError> {
        let plan = bench_plan(self.standing, self.trade, self.on, bench).ok_or(DeskError::Nothing(NO_SIZE))?;
        let Some(reach) = plan.reach(self.standing, self.trade, self.on, id) else { return Ok(()) };
        let at = reach.at(Millimetres(spot.x), Millimetres(spot.y), spot.turned);
        match plan.in_the_way(id, &reach, at) {
            None => Ok(()),
            Some(Shape { label, x, y, .. }) => {
                Err(CannotStand::Overlaps { what: label_of(self.state, id), other: label.clone(), x: x.0, y: y.0 }
                    .into())
            }
        }
    }

    /// Where a container stands on its bench: as it was placed, or as the plan takes it to stand.
    fn stands_at(&self, id: ContainerId, bench: BenchId) -> Option<Spot> {
        if let Some(spot) = self.state.containers.get(&id).and_then(|container| container.spot) {
            return Some(spot);
        }
        let plan = bench_plan(self.standing, self.trade, self.on, bench)?;
        let shape = plan.shapes.into_iter().find(|shape| shape.container == id)?;
        Some(Spot { x: shape.x.0, y: shape.y.0, turned: shape.turned, pinned: shape.pinned })
    }

    pub(super) fn repack(&mut self, spot: &SpotRef) -> Result<Act, DeskError> {
        let bench = self.bench_at(spot)?;
        let plan = repacking(self.standing, self.trade, self.on, bench)?;
        if !plan.is_worth_it() {
            return Err(DeskError::Nothing("not worth it: repacking frees nothing there, and nothing was noted"));
        }
        let stands = |id: &ContainerId| self.standing.containers.get(id).and_then(|container| container.spot);
        let moved = plan.spots.iter().filter(|(id, spot)| stands(id) != Some(*spot));
        // What is out for the day cannot be set down at home: noting it so would bring it in.
        let is_out = |id: &ContainerId| self.standing.containers.get(id).is_some_and(|held| held.out.is_some());
        let (out, home): (Vec<_>, Vec<_>) = moved.partition(|(id, _)| is_out(id));
        let shifts: Vec<Shift> = home
            .iter()
            .map(|(id, spot)| Shift { container: *id, to: Stand::Bench(bench), spot: Some(*spot) })
            .collect();
        self.notices.extend(out.iter().map(|(id, spot)| {
            let label = label_of(self.standing, *id);
            format!("{label} is out for the day: once it is in, `place {label} {},{}`", spot.x, spot.y)
        }));
        if shifts.is_empty() {
            return Err(DeskError::Nothing("all that would be lifted is out for the day: bring it in first"));
        }
        self.notices.push([plan.comes_to(), vec![format!("{} lifted", plan.lifts.len())]].concat().join(", "));
        Ok(Act::Rearrange(shifts))
    }

    /// Pots that stay keep their spot and their rows.
    pub(super) fn free_pots(&mut self, part: &PartRef, pots: u32) -> Result<Act, DeskError> {
        let id = self.part(part, For::Taking)?;
        let held = self.state.parts.get(&id).and_then(|part| self.state.containers.get(&part.container));
        let spot = held.and_then(|held| held.spot);
        if let Some(part) = self.state.parts.get(&id) {
            let (label, pot) = (self.state.part_label(part), if pots == 1 { "pot is" } else { "pots are" });
            self.notices.push(format!("{pots} {pot} emptied; the plants of {label} go on as the part named here"));
        }
        Ok(Act::FreePots { part: id, pots, spot })
    }

    fn all_on(&self, bench: BenchId) -> Vec<ContainerId> {
        let here = |id: &ContainerId| bench_of(self.standing, *id) == Some(bench) && self.standing.is_occupied(*id);
        self.standing.containers.keys().copied().filter(here).collect()
    }

    pub(super) fn move_all(&mut self, from: &SpotRef, to: &SpotRef) -> Result<Act, DeskError> {
        let (from, to) = (self.bench_at(from)?, self.stand(to)?);
        let moving: Vec<Moving> = self.all_on(from).into_iter().map(Moving::Whole).collect();
        if moving.is_empty() {
            return Err(DeskError::Nothing("nothing stands on that bench"));
        }
        self.check_all_go(&moving, to)?;
        Ok(Act::Move { moving, to, spot: None })
    }

    pub(super) fn swap(&mut self, one: &SwapRef, other: &SwapRef) -> Result<Act, DeskError> {
        let shifts = match (self.side(one)?, self.side(other)?) {
            (Side::One(a), Side::One(b)) => self.swapped(a, b)?,
            (Side::All(a), Side::All(b)) => {
                if a == b {
                    return Err(DeskError::Nothing("it is the same bench"));
                }
                let pinned = |id: &ContainerId| {
                    self.standing.containers.get(id).and_then(|held| held.spot).is_some_and(|spot| spot.pinned)
                };
                let pins = self.all_on(a).into_iter().chain(self.all_on(b)).filter(pinned);
                let pins: Vec<String> = pins.map(|id| label_of(self.standing, id)).collect();
                if !pins.is_empty() {
                    self.notices.push(format!("no longer pinned, for it stands elsewhere: {}", pins.join(", ")));
                }
                let over = |from, to| {
                    let shift = move |id| Shift { container: id, to: Stand::Bench(to), spot: None };
                    self.all_on(from).into_iter().map(shift)
                };
                over(a, b).chain(over(b, a)).collect()
            }
            _ => return Err(DeskError::Nothing("two containers change over, or two benches: not one with the other")),
        };
        for shift in &shifts {
            self.check_all_go(&[Moving::Whole(shift.container)], shift.to)?;
        }
        if shifts.is_empty() { Err(DeskError::Nothing("nothing stands on either")) } else { Ok(Act::Rearrange(shifts)) }
    }

    fn side(&self, side: &SwapRef) -> Result<Side, DeskError> {
        Ok(match side {
            SwapRef::Part(part) => Side::One(self.container_of(part)?),
            SwapRef::Spot(spot) => match self.stand(spot)? {
                Stand::Carrier(carrier) => Side::One(carrier),
                _ => Side::All(self.bench_at(spot)?),
            },
        })
    }

    /// Each in the other's stead, pinned or not as it was. On one bench, and where both take the same ground, each stands
    /// at the other's corner, and what else is on the bench stays where it is drawn.
    fn swapped(&self, a: ContainerId, b: ContainerId) -> Result<Vec<Shift>, DeskError> {
        if a == b {
            return Err(DeskError::Nothing("they stand in the same container"));
        }
        let held = |id: ContainerId| {
            self.state.containers.get(&id).ok_or(DeskError::Nothing("one of them was not there yet that day"))
        };
        let (one, other) = (held(a)?, held(b)?);
        if one.stand == Stand::Carrier(b) || other.stand == Stand::Carrier(a) {
            return Err(DeskError::Nothing("one of them stands on the other"));
        }
        if let Some(bench) = bench_of(self.state, a).filter(|bench| bench_of(self.state, b) == Some(*bench)) {
            return self.swapped_on(bench, a, b);
        }
        if one.stand == other.stand {
            return Err(DeskError::Nothing("they stand together on what has no spots: nothing would change"));
        }
        let ground = |vessel: &Vessel| (vessel.length, vessel.width, vessel.pots);
        let same = ground(&one.vessel) == ground(&other.vessel);
        // What goes there only in other rows than a spot would have is left unplaced.
        let can_say = |id, to: Stand, spot: Spot| {
            let Stand::Bench(bench) = to else { return true };
            let said = may_stand(self.standing, self.trade, self.on, id, bench, spot);
            !matches!(said, Err(CannotStand::OtherRows { .. }))
        };
        let shift = |(id, held): (ContainerId, &Container), for_other: &Container| {
            let pinned = held.spot.is_some_and(|spot| spot.pinned);
            let spot = for_other.spot.filter(|spot| same && can_say(id, for_other.stand, *spot));
            Shift { container: id, to: for_other.stand, spot: spot.map(|spot| Spot { pinned, ..spot }) }
        };
        Ok(vec![shift((a, one), other), shift((b, other), one)])
    }

    fn swapped_on(&self, bench: BenchId, a: ContainerId, b: ContainerId) -> Result<Vec<Shift>, DeskError> {
        let is_out = |id: ContainerId| self.state.containers.get(&id).is_some_and(|held| held.out.is_some());
        if let Some(out) = [a, b].into_iter().find(|id| is_out(*id)) {
            return Err(CannotStand::Out(label_of(self.state, out)).into());
        }
        let stood = |id| self.stands_at(id, bench).ok_or(DeskError::Nothing("one of them has no spot on the plan"));
        let (from_a, from_b) = (stood(a)?, stood(b)?);
        // At the other's corner: alike, turned as the other stood; else as it is itself, or else the other way.
        let ground = |id: ContainerId| {
            self.state.containers.get(&id).map(|held| (held.vessel.length, held.vessel.width, held.vessel.pots))
        };
        let own = (from_a.turned, from_b.turned);
        let ways = if ground(a) == ground(b) { [(own.1, own.0), own] } else { [own, (own.1, own.0)] };
        let spot_of = |what: &String| label_of(self.state, if *what == label_of(self.state, a) { b } else { a });
        let mut refused = None;
        for (turned_a, turned_b) in ways {
            let spot_a = Spot { turned: turned_a, pinned: from_a.pinned, ..from_b };
            let spot_b = Spot { turned: turned_b, pinned: from_b.pinned, ..from_a };
            let mut shifts = vec![
                Shift { container: a, to: Stand::Bench(bench), spot: Some(spot_a) },
                Shift { container: b, to: Stand::Bench(bench), spot: Some(spot_b) },
            ];
            shifts.extend(self.as_drawn(bench, a)?.into_iter().filter(|shift| shift.container != b));
            let mut there = self.standing.clone();
            for shift in &shifts {
                if let Some(held) = there.containers.get_mut(&shift.container) {
                    held.spot = shift.spot;
                }
            }
            let stand = |id, spot| may_stand(&there, self.trade, self.on, id, bench, spot);
            match stand(a, spot_a).and_then(|_| stand(b, spot_b)) {
                Ok(_) => return Ok(shifts),
                Err(CannotStand::Overlaps { what, other, .. }) => {
                    let spot_of = spot_of(&what);
                    refused = refused.or(Some(CannotStand::Larger { what, spot_of, other }));
                }
                Err(CannotStand::Off { what, bench, .. }) => {
                    let spot_of = spot_of(&what);
                    refused = refused.or(Some(CannotStand::LargerOff { what, spot_of, bench }));
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        Err(refused.map_or(DeskError::Nothing("one of them does not go where the other stands"), DeskError::from))
    }
}

/// The bench a spot means: by its name, or the only one of its place.
pub(super) fn find_bench(state: &State, spot: &SpotRef) -> Result<BenchId, DeskError> {
    match find_stand(state, spot)? {
        Stand::Bench(bench) => Ok(bench),
        Stand::Place(_) | Stand::Carrier(_) => Err(DeskError::Unknown {
            what: "bench",
            name: spot.to_string(),
            hint: format!("measure one: `bench add {}/NAME --size 1200x500mm`", spot.place),
        }),
    }
}

enum Side {
    One(ContainerId),
    All(BenchId),
}

fn along(typed: Along, now: Option<u32>) -> Result<u32, DeskError> {
    match (typed, now) {
        (Along::To(to), _) => Ok(to),
        (Along::By(by), Some(now)) => now
            .checked_add_signed(by)
            .ok_or(DeskError::Nothing("that is off the bench: X and Y begin at its back left")),
        (Along::By(_), None) => Err(DeskError::Nothing("nobody said where it stands: write X,Y without signs")),
    }
}

/// What moving does to the space on both sides, and who can be told from whom in a tray they share now.
pub(super) fn notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    let mut notices = space_notices(before, after, trade, on, entries);
    notices.extend(out_notices(after, trade, on, entries));
    notices.extend(sharing_notices(after, trade, entries));
    notices.extend(owned_notices(after, entries));
    notices
}

/// More in use of a kind than there are of it.
fn owned_notices(after: &State, entries: &[Entry]) -> Vec<String> {
    let stood = entries.iter().filter_map(|entry| match &entry.fact {
        Fact::Stood { vessel, .. } => Some(&vessel.name),
        _ => None,
    });
    let kinds: BTreeSet<&Name> = stood.collect();
    let beyond = |name: &Name| {
        let (owned, used) = (*after.owned.get(name)?, in_use(after, name));
        (used > owned).then(|| format!("{used} of {name} in use and {owned} owned: `own {name} {used}` if that is so"))
    };
    kinds.into_iter().filter_map(beyond).collect()
}

/// What is out for the day takes ground where it is out.
fn out_notices(after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    let mut places: Vec<PlaceId> = entries
        .iter()
        .filter_map(|entry| if let Fact::WentOut { place, .. } = &entry.fact { Some(*place) } else { None })
        .collect();
    places.sort_unstable();
    places.dedup();
    let notice = |place: PlaceId| {
        let without = out_beyond(after, trade, on, place);
        let name = &after.places.get(&place)?.name;
        (!without.is_empty()).then(|| format!("more is out at {name} than its benches hold: {}", without.join(", ")))
    };
    places.into_iter().filter_map(notice).collect()
}

/// The most benches and the most neighbours told of in one answer.
const TOLD: usize = 3;

fn space_notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[Entry]) -> Vec<String> {
    // Benches whose space changes, benches that changed themselves, and what was moved or grew.
    let (mut benches, mut resized): (Vec<BenchId>, Vec<BenchId>) = (Vec::new(), Vec::new());
    let (mut touched, mut looked): (Vec<ContainerId>, Vec<BenchId>) = (Vec::new(), Vec::new());
    for entry in entries {
        let (id, from) = match &entry.fact {
            Fact::Moved { container, .. } => (*container, bench_of(before, *container)),
            Fact::Stood { .. } => (ContainerId(entry.id), None),
            Fact::BenchResized { bench, .. } => {
                resized.push(*bench);
                continue;
            }
            // What has a size only now takes ground only now.
            Fact::ContainerMeasured { name, .. } => {
                let of_kind = after.containers.iter().filter(|(_, held)| held.vessel.name == *name);
                looked.extend(of_kind.filter_map(|(id, _)| bench_of(after, *id)));
                continue;
            }
            Fact::Staged { part, .. } => {
                let Some(held) = after.parts.get(part) else { continue };
                let outer = after.outermost(held.container);
                touched.push(outer);
                looked.extend(bench_of(after, outer));
                continue;
            }
            _ => continue,
        };
        touched.push(id);
        let to = bench_of(after, id);
        if from != to {
            benches.extend(from.into_iter().chain(to));
        }
        // Set down elsewhere on its bench it may stand where another would have.
        looked.extend(to);
    }
    benches.sort_unstable();
    benches.dedup();
    let Some(tray) = usual_tray(before, trade) else { return Vec::new() };
    // Of what is filled anew only a bench too full is told; of what is moved, what that frees.
    let fills = |entry: &Entry| match &entry.fact {
        Fact::Filled { source: Source::From { how, .. }, .. } => *how != Transfer::Parted,
        Fact::Filled { .. } => true,
        _ => false,
    };
    let told = if entries.iter().any(fills) { 0 } else { TOLD };
    let mut notices: Vec<String> = benches
        .iter()
        .take(told)
        .filter_map(|bench| {
            let room = |state| bench_room(state, trade, on, *bench, &tray);
            let ((free, more), (free_after, more_after)) = (room(before)?, room(after)?);
            let name = bench_label(after, *bench);
            Some(format!("{name}: {free} -> {free_after} free, room for {more} -> {more_after} more of {}", tray.name))
        })
        .collect();
    looked.extend(benches.iter().chain(&resized));
    looked.sort_unstable();
    looked.dedup();
    for bench in looked {
        let Some(plan) = bench_plan(after, trade, on, bench) else { continue };
        if resized.contains(&bench)
            && let Some(was) = bench_plan(before, trade, on, bench)
        {
            notices.extend(other_rows(&was, &plan).into_iter().map(|(label, stood, stands)| {
                format!("{label} goes there no longer as {stood}: its pots are taken to stand as {stands}")
            }));
        }
        notices.extend(no_spot(after, trade, on, &plan));
        let is_touched = |shape: &&Shape| resized.contains(&bench) || touched.contains(&shape.container);
        notices.extend(plan.shapes.iter().filter(is_touched).filter_map(|shape| amiss_words(shape, &plan)));
    }
    notices
}

/// Whose rows are others now, of what was placed on a bench: who, the ground it took, the ground it takes.
fn other_rows(was: &BenchPlan, is: &BenchPlan) -> Vec<(String, String, String)> {
    let straight = |shape: &Shape| if shape.turned { (shape.across, shape.along) } else { (shape.along, shape.across) };
    let size = |(length, width): (Millimetres, Millimetres)| format!("{} x {width}", length.0);
    let now = |then: &Shape| {
        let shape = is.shapes.iter().find(|shape| shape.container == then.container && shape.noted)?;
        let (stood, stands) = (straight(then), straight(shape));
        (stood != stands).then(|| (shape.label.clone(), size(stood), size(stands)))
    };
    was.shapes.iter().filter(|shape| shape.noted).filter_map(now).collect()
}

/// True for what may change where things stand on a bench.
pub(super) const fn is_of_space(entry: &Entry) -> bool {
    matches!(
        entry.fact,
        Fact::BenchResized { .. }
            | Fact::Moved { .. }
            | Fact::PutAway { .. }
            | Fact::Stood { .. }
            | Fact::Cleared { .. }
    )
}

/// What undoing or redoing changed for those who stand on the benches: who has no spot now and had one, whose rows are
/// others, who stands amiss now.
pub(super) fn ruled_notices(before: &State, after: &State, trade: &Trade, on: Date, entries: &[&Entry]) -> Vec<String> {
    let mut benches: BTreeSet<BenchId> = BTreeSet::new();
    for entry in entries {
        let container = match &entry.fact {
            Fact::BenchResized { bench, .. } => {
                benches.insert(*bench);
                continue;
            }
            Fact::Moved { container, .. } | Fact::PutAway { container } => *container,
            Fact::Stood { .. } => ContainerId(entry.id),
            Fact::Cleared { part } => match after.parts.get(part) {
                Some(part) => after.outermost(part.container),
                None => continue,
            },
            _ => continue,
        };
        benches.extend([before, after].into_iter().filter_map(|state| bench_of(state, container)));
    }
    let mut notices = Vec::new();
    for bench in benches {
        let Some(plan) = bench_plan(after, trade, on, bench) else { continue };
        let was = bench_plan(before, trade, on, bench);
        let rows = was.iter().flat_map(|was| other_rows(was, &plan));
        notices.extend(rows.map(|(label, _, stands)| format!("{label} stands as {stands} again")));
        let had = |label: &&String| was.as_ref().is_none_or(|was| !was.crowded.contains(label));
        if plan.crowded.iter().any(|label| had(&label)) {
            notices.extend(no_spot(after, trade, on, &plan));
        }
        let stood = |shape: &Shape| was.iter().flat_map(|was| &was.shapes).find(|it| it.container == shape.container);
        let newly = plan.shapes.iter().filter(|shape| stood(shape).and_then(|was| was.amiss) != shape.amiss);
        notices.extend(newly.filter_map(|shape| amiss_words(shape, &plan)));
    }
    notices
}

/// Who has no spot on a bench, in a sentence: by the log more stands there than goes, or others were placed in the way.
fn no_spot(state: &State, trade: &Trade, on: Date, plan: &BenchPlan) -> Option<String> {
    if plan.crowded.is_empty() {
        return None;
    }
    let (name, crowded) = (bench_label(state, plan.bench), plan.crowded.join(", "));
    let placed = plan.shapes.iter().any(|shape| shape.noted);
    let repacked = || repacking(state, trade, on, plan.bench).is_ok_and(|plan| plan.seats().is_some());
    Some(if placed && repacked() {
        format!("as the rest was placed there is no spot on {name} for {crowded}: `repack {name}` finds one")
    } else {
        format!("more stands on {name} than was found to go: no spot for {crowded}")
    })
}

/// What is amiss with where something stands, in a sentence.
fn amiss_words(shape: &Shape, plan: &BenchPlan) -> Option<String> {
    let Shape { label, ahead, .. } = shape;
    let bench = format!("{}/{}", plan.place_name, plan.name);
    Some(match (shape.amiss?, ahead) {
        (amiss @ (Amiss::TooTall | Amiss::TooTallAnywhere), tall) => {
            let there = if amiss == Amiss::TooTall { "there".to_owned() } else { format!("for {bench} anywhere") };
            let said = match tall {
                Some(tall) => {
                    let about = if tall.guessed { "about " } else { "" };
                    format!("{label} will be {about}{} tall in a week: too tall {there}", tall.height)
                }
                None => format!("{label} is too tall {there}"),
            };
            [Some(said), shape.way_out()].into_iter().flatten().collect::<Vec<_>>().join("; ")
        }
        (Amiss::Off, _) => format!("by the log {label} stands off {bench}"),
        (Amiss::Overlaps, _) => format!("by the log {label} stands in another on {bench}"),
    })
}

fn sharing_notices(after: &State, trade: &Trade, entries: &[Entry]) -> Vec<String> {
    let mut notices = Vec::new();
    for entry in entries {
        let (batches, container) = match &entry.fact {
            Fact::Filled { batch, container, .. } => (vec![*batch], container),
            Fact::Moved { container, stand: Stand::Carrier(_), .. } => (sharers(after, *container), container),
            _ => continue,
        };
        let outer = after.outermost(*container);
        let mut beside: Vec<BatchId> = sharers(after, *container);
        if outer != *container {
            beside.extend(after.carried_by(outer).flat_map(|(id, _)| sharers(after, id)));
        }
        beside.sort_unstable();
        beside.dedup();
        let others: Vec<BatchId> = beside.iter().copied().filter(|other| !batches.contains(other)).collect();
        let pairs =
            batches.iter().flat_map(|batch| others.iter().filter_map(|other| sharing(after, trade, *batch, *other)));
        notices.extend(pairs.take(TOLD).map(|pair| told_apart(&pair)));
        if others.len() > 1 && outer == *container {
            let labels = |order: &[BatchId]| -> Vec<String> {
                order.iter().filter_map(|id| after.batches.get(id)).map(|batch| batch.label.to_string()).collect()
            };
            let hard = |pair: Sharing| pair.told_apart >= ToldApart::Later;
            match rows_in_order(after, trade, &beside) {
                Some(order) => notices.push(format!(
                    "rows in this order differ most from their neighbours: {}",
                    labels(&order).join(", ")
                )),
                None if sharing(after, trade, beside[0], beside[1]).is_some_and(hard) => {
                    notices.push("no order of rows helps to tell them apart: label each".to_owned());
                }
                None => {}
            }
        }
    }
    notices.dedup();
    notices
}

/// When two batches can be told apart, in a sentence.
#[must_use]
pub fn told_apart(pair: &Sharing) -> String {
    let when = match pair.told_apart {
        ToldApart::SeedLeaf => "can be told apart by the seed leaves",
        ToldApart::FirstTrueLeaf => "can be told apart by the first true leaf",
        ToldApart::Later => "cannot be told apart until well after the first true leaf: label the rows",
        ToldApart::Never => "cannot be told apart as seedlings: label the rows",
    };
    let one = pair.one.map_or_else(|| pair.one_is.clone(), |label| format!("{label} ({})", pair.one_is));
    let mut text = format!("{one} and {} ({}) {when}; {}", pair.other, pair.other_is, pair.how);
    if let Some((label, is)) = &pair.better {
        text.push_str(&format!("; {label} ({is}) would be a plainer neighbour"));
    }
    text
}
