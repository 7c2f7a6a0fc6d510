//! Where things stand: placing, repacking, measuring.

use crate::advice::{
    CannotStand, Shape, bench_of, bench_plan, goes_in, goes_on, height_matters, holds_something, label_of, may_stand,
    measuring, repacking, to_wash, typed_for,
};
use crate::grammar::{Along, Others, PartRef, PlaceWords, SpotRef, Thing};
use crate::journal::{Act, BenchSize, ContainerSize, Moving, Shift, Spot, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerClass, ContainerId, Millimetres, Name};
use crate::trade::Work;

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

    pub(super) fn bench_at(&self, spot: &SpotRef) -> Result<BenchId, DeskError> {
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
        if container.spot.is_none() && stays && (words.at, words.turned, words.pinned) == (None, None, Some(false)) {
            return Err(DeskError::Nothing("nobody placed it, so it is not pinned"));
        }
        let spot = Spot { x, y, turned, pinned };
        // What is only no longer pinned stands where it stood, whatever is amiss with that.
        let loosens = container.spot.filter(|_| stays) == Some(Spot { pinned: true, ..spot }) && !pinned;
        let mut shifts = vec![Shift { container: id, to: Stand::Bench(bench), spot: Some(spot) }];
        if loosens {
            return Ok(Act::Rearrange(shifts));
        }
        // What was cleared stands nowhere: it is refused with the letter under which its plants go on.
        if !self.state.is_occupied(id) {
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
    pub(super) fn as_drawn(&self, bench: BenchId, but: ContainerId) -> Result<Vec<Shift>, DeskError> {
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
    pub(super) fn stands_at(&self, id: ContainerId, bench: BenchId) -> Option<Spot> {
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
            let (label, typed) = (label_of(self.standing, *id), typed_for(self.standing, *id));
            let turned = if spot.turned { "turned" } else { "straight" };
            format!("{label} is out for the day: once it is in, `place {typed} {},{} --{turned}`", spot.x, spot.y)
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

    pub(super) fn all_on(&self, bench: BenchId) -> Vec<ContainerId> {
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

fn along(typed: Along, now: Option<u32>) -> Result<u32, DeskError> {
    match (typed, now) {
        (Along::To(to), _) => Ok(to),
        (Along::By(by), Some(now)) => now
            .checked_add_signed(by)
            .ok_or(DeskError::Nothing("that is off the bench: X and Y begin at its back left")),
        (Along::By(_), None) => Err(DeskError::Nothing("nobody said where it stands: write X,Y without signs")),
    }
}
