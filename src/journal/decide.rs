//! From an act to its facts, against the state on the act's day.

use crate::quantity::{
    BatchId, BatchLabel, CellSet, ContainerClass, ContainerId, EntryId, LotId, Name, PartId, PartLetter, PlaceId,
    SownUnit,
};

use super::act::{Act, Moving, MovingOn, NewLot, Recount, Rest, Room, Seed, Shift, Sowing};
use super::allot::{Allotted, MOST_PER_CELL, wrong_vessel};
use super::fact::{Beginning, Departure, Fact, Observed, Source};
use super::kinds::{Cause, Transfer};
use super::refusal::Refusal;
use super::state::{Container, Part, State};
use super::vessel::{Spot, Stand, Vessel};
use super::wrong::Wrong;

/// The facts an act brings about, or why it is refused. New entries refer to one another by provisional keys.
///
/// `state` is the state at the end of the act's day; `latest` the state after all that is logged, from which new parts
/// take letters that no later part has.
///
/// # Errors
/// When the act cannot be true against `state`.
pub fn decide(state: &State, latest: &State, act: &Act) -> Result<Vec<Fact>, Refusal> {
    let mut draft = Draft { state, latest, facts: Vec::new() };
    draft.act(act)?;
    Ok(draft.facts)
}

pub(super) struct Draft<'a> {
    pub(super) state: &'a State,
    latest: &'a State,
    facts: Vec<Fact>,
}

impl Draft<'_> {
    pub(super) fn push(&mut self, fact: Fact) -> EntryId {
        let id = EntryId::provisional(self.facts.len());
        self.facts.push(fact);
        id
    }

    fn part(&self, id: PartId) -> Result<&Part, Refusal> {
        self.state.parts.get(&id).ok_or(Refusal::Impossible(Wrong::NoSuchPart))
    }

    fn act(&mut self, act: &Act) -> Result<(), Refusal> {
        match act {
            Act::AddPlace { name, kind, heated_to, light } => {
                self.push(Fact::PlaceAdded { name: name.clone(), kind: *kind, heated_to: *heated_to, light: *light });
            }
            Act::AddBench { place, name, size } => {
                self.push(Fact::BenchAdded { place: *place, name: name.clone(), size: *size });
            }
            Act::ResizeBench { bench, size } => {
                self.push(Fact::BenchResized { bench: *bench, size: *size });
            }
            Act::AddLot(lot) => {
                self.lot(&Seed::New(lot.clone()));
            }
            Act::SetCarrier { vessel, called, stand } => self.set_carrier(vessel, called, *stand)?,
            Act::Sow(sowing) => self.sow(sowing)?,
            Act::Receive { label, seed, plants, room } => self.receive(*label, seed, *plants, room)?,
            Act::Count { part, observed } => self.count(*part, observed)?,
            Act::Stage { part, growth } => {
                self.check_not_cleared(*part)?;
                self.push(Fact::Staged { part: *part, growth: *growth });
            }
            Act::MoveOn(moving) => self.move_on(moving)?,
            Act::Move { moving, to, spot } => {
                for one in moving {
                    self.shift(*one, *to, *spot)?;
                }
            }
            Act::Rearrange(shifts) => {
                for Shift { container, to, spot } in shifts {
                    let held = self.in_use(*container)?;
                    if (held.stand, held.spot, held.out) == (*to, *spot, None) {
                        return Err(Refusal::Nothing("it already stands there"));
                    }
                    self.push(Fact::Moved { container: *container, stand: *to, spot: *spot });
                }
            }
            Act::Measure { name, size } => {
                self.push(Fact::ContainerMeasured { name: name.clone(), size: *size });
            }
            Act::Own { name, count } => {
                self.push(Fact::ContainerOwned { name: name.clone(), count: *count });
            }
            Act::Wash { name, count } => {
                self.push(Fact::ContainerWashed { name: name.clone(), count: *count });
            }
            Act::PutOut { containers, place } => self.put_out(containers, *place)?,
            Act::BringIn { containers } => {
                for container in self.outermost(containers) {
                    self.push(Fact::CameIn { container });
                }
            }
            Act::PutAway { container } => {
                self.push(Fact::PutAway { container: *container });
            }
            Act::Lose { part, plants, cause, remark } => {
                self.take(*part, *plants, Departure::Lost { cause: *cause, remark: remark.clone() })?;
            }
            Act::Thin { part, plants } => self.take(*part, *plants, Departure::Thinned)?,
            Act::Discard { part, plants } => self.take(*part, *plants, Departure::Discarded)?,
            Act::GiveAway { part, plants } => self.take(*part, *plants, Departure::GivenAway)?,
            Act::PlantOut { part, plants, bed, recount } => {
                self.check_letter(*part)?;
                self.recount(*part, *plants, *recount, false)?;
                self.depart(*part, *plants, Departure::PlantedOut { bed: bed.clone() });
                self.clear_again(*part)?;
            }
            Act::FromCells { cells, taking } => self.take_from_cells(cells, taking)?,
            Act::Clear { parts, rest } => self.clear(parts, *rest)?,
            Act::FreePots { part, pots, spot } => self.free_pots(*part, *pots, *spot)?,
            Act::Identify { batch, seed } => self.identify(*batch, seed)?,
            Act::Relabel { batch, label } => {
                self.push(Fact::Relabelled { batch: *batch, label: *label });
            }
            Act::Note { topic, remark } => {
                self.push(Fact::Noted { topic: *topic, remark: remark.clone() });
            }
            Act::Read { place, measured } => {
                for measured in measured {
                    self.push(Fact::Read { place: *place, measured: *measured });
                }
            }
            Act::Forecast { days } => {
                for (day, low, high) in days {
                    self.push(Fact::Forecast { day: *day, low: *low, high: *high });
                }
            }
            Act::Cover { place, on } => {
                self.push(Fact::Covered { place: *place, on: *on });
            }
        }
        if self.facts.is_empty() { Err(Refusal::Nothing("no plants were named")) } else { Ok(()) }
    }

    fn lot(&mut self, seed: &Seed) -> LotId {
        match seed {
            Seed::Lot(lot) => *lot,
            Seed::New(NewLot { crop, variety, packed, stated, seeds, origin }) => LotId(self.push(Fact::LotAdded {
                crop: crop.clone(),
                variety: variety.clone(),
                packed: *packed,
                stated: *stated,
                seeds: *seeds,
                origin: *origin,
            })),
        }
    }

    fn sow(&mut self, sowing: &Sowing) -> Result<(), Refusal> {
        let lot = self.lot(&sowing.seed);
        let beginning = Beginning::Sown { unit: sowing.unit, treatment: sowing.treatment, depth: sowing.depth };
        let batch = BatchId(self.push(Fact::Begun { label: sowing.label, lot, beginning }));
        // A pinch falls where it falls: it is never too many for a cell.
        let per_cell = if sowing.unit == SownUnit::Pinch { Some(MOST_PER_CELL) } else { sowing.per_cell };
        let (shares, per_cell) = self.allot(&sowing.room, sowing.units, per_cell)?;
        let per_cell = if sowing.unit == SownUnit::Pinch { None } else { per_cell };
        for (index, allotted) in shares.into_iter().enumerate() {
            self.fill(batch, index, &allotted, Source::Sown { units: allotted.plants, per_cell });
        }
        Ok(())
    }

    fn set_carrier(&mut self, vessel: &Vessel, called: &Name, stand: Stand) -> Result<(), Refusal> {
        if vessel.class != ContainerClass::Carrier {
            return Err(Refusal::CarriesNothing(vessel.name.to_string()));
        }
        self.push(Fact::Stood { vessel: vessel.clone(), stand, spot: None, called: Some(called.clone()) });
        Ok(())
    }

    fn receive(&mut self, label: BatchLabel, seed: &Seed, plants: u32, room: &Room) -> Result<(), Refusal> {
        let lot = self.lot(seed);
        let batch = BatchId(self.push(Fact::Begun { label, lot, beginning: Beginning::Received }));
        for (index, allotted) in self.allot(room, plants, None)?.0.into_iter().enumerate() {
            self.fill(batch, index, &allotted, Source::Received { plants: allotted.plants });
        }
        Ok(())
    }

    fn identify(&mut self, batch: BatchId, seed: &Seed) -> Result<(), Refusal> {
        // It may have been identified since the act's day.
        let known = self.latest.batches.get(&batch).ok_or(Refusal::Impossible(Wrong::NoSuchBatch))?;
        if let Some(lot) = self.latest.lots.get(&known.lot)
            && !lot.crop.is_unknown()
        {
            return Err(Refusal::NotUnknown(format!("{} {}", lot.crop, lot.variety)));
        }
        let lot = self.lot(seed);
        self.push(Fact::Identified { batch, lot });
        Ok(())
    }

    fn clear(&mut self, parts: &[PartId], rest: Rest) -> Result<(), Refusal> {
        for id in parts {
            let standing = self.part(*id)?.standing();
            if standing > 0 && rest == Rest::Discard {
                self.depart(*id, standing, Departure::Discarded);
            }
            self.push(Fact::Cleared { part: *id });
        }
        Ok(())
    }

    fn free_pots(&mut self, id: PartId, pots: u32, spot: Option<Spot>) -> Result<(), Refusal> {
        let part = self.part(id)?;
        let (batch, container, plants, label) =
            (part.batch, part.container, part.standing(), self.state.part_label(part));
        let held = self.in_use(container)?;
        let (vessel, stand, out) = (held.vessel.clone(), held.stand, held.out);
        let live = held.parts.iter().filter_map(|part| self.state.parts.get(part)).filter(|part| part.is_live());
        if vessel.class != ContainerClass::Pot || live.count() != 1 {
            return Err(Refusal::Nothing("only the pots of a set with one batch in it are emptied by number"));
        }
        if plants == 0 {
            return Err(Refusal::Nothing("no plant is left in it: clear it without a number"));
        }
        let idle = self.state.pots_without_plant(container);
        let all_or_none = part.may_still_come();
        if pots == 0 || pots > idle || all_or_none && pots < idle {
            return Err(Refusal::PotsInUse { part: label, plants, pots: vessel.pots, idle, all_or_none });
        }
        let letter = self.next_letter(batch);
        let vessel = Vessel { pots: vessel.pots - pots, ..vessel };
        let container = ContainerId(self.push(Fact::Stood { vessel, stand, spot, called: None }));
        let source = Source::From { part: id, plants, how: Transfer::Parted };
        self.fill(batch, letter, &Allotted { container, plants }, source);
        if let Some(place) = out {
            self.push(Fact::WentOut { container, place });
        }
        self.push(Fact::Cleared { part: id });
        Ok(())
    }

    fn put_out(&mut self, containers: &[ContainerId], place: PlaceId) -> Result<(), Refusal> {
        for container in containers {
            self.in_use(*container)?;
        }
        for container in self.outermost(containers) {
            self.push(Fact::WentOut { container, place });
        }
        Ok(())
    }

    fn fill(&mut self, batch: BatchId, letter: usize, allotted: &Allotted, source: Source) {
        let letter = PartLetter(u16::try_from(letter).unwrap_or(u16::MAX));
        self.push(Fact::Filled { batch, letter, container: allotted.container, source, from_cells: CellSet::EMPTY });
    }

    fn count(&mut self, id: PartId, observed: &Observed) -> Result<(), Refusal> {
        self.check_letter(id)?;
        let part = self.part(id)?;
        let (is_sown, left, batch) = (part.is_sown(), part.left(), part.batch);
        let seen = self.state.told(id, observed).map_err(Refusal::Impossible)?;
        if seen.ticks.is_some() {
            // The numbers beside ticks must agree with them, and say nothing more; of clusters what stands does.
            self.state.counted(id, &seen).map_err(Refusal::Impossible)?;
            let clusters = is_sown && self.state.batches.get(&batch).map(State::unit) == Some(SownUnit::Cluster);
            let standing = seen.standing.filter(|_| clusters);
            self.push(Fact::Counted { part: id, observed: Observed { up: None, standing, ..seen } });
            return Ok(());
        }
        match (seen.up, seen.standing) {
            // A bare number for plants that were not sown here is what stands.
            (Some(number), None) if !is_sown => {
                self.push(Fact::Counted { part: id, observed: Observed { up: None, standing: Some(number), ..seen } });
            }
            // More came up than stand and have left: the rest died unseen.
            (Some(up), Some(standing)) if up > standing.saturating_add(left) => {
                let had = up.saturating_sub(left);
                self.push(Fact::Counted { part: id, observed: Observed { standing: Some(had), ..seen } });
                let died = had - standing;
                self.depart(id, died, Departure::Lost { cause: Cause::Unknown, remark: None });
            }
            _ => {
                self.push(Fact::Counted { part: id, observed: observed.clone() });
            }
        }
        Ok(())
    }

    /// The act, of those cells: the one fact by which plants leave them says so.
    fn take_from_cells(&mut self, cells: &CellSet, taking: &Act) -> Result<(), Refusal> {
        if cells.is_empty() {
            return Err(Refusal::Nothing("no cells were named"));
        }
        self.act(taking)?;
        let mut leaving = self.facts.iter_mut().filter_map(|fact| match fact {
            Fact::Departed { cells, .. } => Some(cells),
            Fact::Filled { source: Source::From { .. }, from_cells, .. } => Some(from_cells),
            _ => None,
        });
        match (leaving.next(), leaving.next()) {
            (Some(one), None) => *one = cells.clone(),
            _ => return Err(Refusal::CellsOfOne),
        }
        Ok(())
    }

    /// When more plants are in the hand than the log says stand, the count was stale, not the hand.
    fn recount(&mut self, id: PartId, plants: u32, recount: Recount, doubles: bool) -> Result<(), Refusal> {
        let standing = self.part(id)?.standing();
        if plants > standing && (recount == Recount::Yes || doubles) {
            let observed = Observed { up: None, standing: Some(plants), gaps: None, doubles, ticks: None };
            self.push(Fact::Counted { part: id, observed });
        }
        Ok(())
    }

    /// Plants leave for good; from an emptied container only once they are counted.
    fn take(&mut self, id: PartId, plants: u32, how: Departure) -> Result<(), Refusal> {
        self.check_not_cleared(id)?;
        self.depart(id, plants, how);
        Ok(())
    }

    fn depart(&mut self, part: PartId, plants: u32, how: Departure) {
        self.push(Fact::Departed { part, plants, how, cells: CellSet::EMPTY });
    }

    /// Stragglers taken from an emptied container leave it empty again.
    fn clear_again(&mut self, id: PartId) -> Result<(), Refusal> {
        if !self.part(id)?.is_live() {
            self.push(Fact::Cleared { part: id });
        }
        Ok(())
    }

    fn move_on(&mut self, moving: &MovingOn) -> Result<(), Refusal> {
        self.check_letter(moving.part)?;
        let part = self.part(moving.part)?;
        let batch_id = part.batch;
        let how = self.transfer(part);
        let standing = part.standing();
        if moving.room == Room::Shared(part.container) {
            return Err(Refusal::Nothing("they already stand in it"));
        }
        let vessel = self.vessel(&moving.room)?;
        if vessel.class == ContainerClass::Paper {
            return Err(wrong_vessel(vessel, "plants go into compost, not onto paper"));
        }
        self.recount(moving.part, moving.plants, moving.recount, moving.doubles)?;
        let first = self.next_letter(batch_id);
        let (shares, _) = self.allot(&moving.room, moving.plants, moving.per_cell.or(Some(1)))?;
        for (index, allotted) in shares.into_iter().enumerate() {
            let source = Source::From { part: moving.part, plants: allotted.plants, how };
            self.fill(batch_id, first + index, &allotted, source);
        }
        let over = standing.saturating_sub(moving.plants);
        match moving.rest {
            Rest::Discard => {
                if over > 0 {
                    self.depart(moving.part, over, Departure::Discarded);
                }
                self.push(Fact::Cleared { part: moving.part });
                Ok(())
            }
            Rest::Keep => self.clear_again(moving.part),
        }
    }

    fn next_letter(&self, batch: BatchId) -> usize {
        let known = self.latest.batches.get(&batch).into_iter().flat_map(|batch| self.latest.parts_of(batch));
        let drafted = self.facts.iter().filter_map(|fact| match fact {
            Fact::Filled { batch: of, letter, .. } if *of == batch => Some(*letter),
            _ => None,
        });
        let letters = known.map(|(_, part)| part.letter).chain(drafted);
        letters.map(|letter| usize::from(letter.0) + 1).max().unwrap_or(0)
    }

    /// Plants leave a shared tray, damp paper or a crowded cell by being pricked out; else they are potted on.
    fn transfer(&self, part: &Part) -> Transfer {
        let class = self.state.containers.get(&part.container).map(|container| container.vessel.class);
        let crowded = matches!(part.source, Source::Sown { per_cell: Some(2..), .. });
        if part.is_sown() && (crowded || matches!(class, Some(ContainerClass::Tray | ContainerClass::Paper))) {
            Transfer::PrickedOut
        } else {
            Transfer::PottedOn
        }
    }

    fn shift(&mut self, moving: Moving, to: Stand, spot: Option<Spot>) -> Result<(), Refusal> {
        match moving {
            Moving::Whole(container) => self.shift_whole(container, to, spot),
            Moving::Some { part, plants } => self.shift_some(part, plants, to, spot),
        }
    }

    fn shift_whole(&mut self, container: ContainerId, to: Stand, spot: Option<Spot>) -> Result<(), Refusal> {
        let held = self.in_use(container)?;
        if held.stand == to && held.out.is_none() && (spot.is_none() || spot == held.spot) {
            return Err(Refusal::Nothing("it already stands there"));
        }
        self.push(Fact::Moved { container, stand: to, spot });
        Ok(())
    }

    fn shift_some(&mut self, id: PartId, plants: u32, to: Stand, spot: Option<Spot>) -> Result<(), Refusal> {
        let part = self.part(id)?;
        let (batch, container, standing) = (part.batch, part.container, part.standing());
        let label = self.state.part_label(part);
        let held = self.in_use(container)?;
        if plants == 0 {
            return Err(Refusal::Impossible(Wrong::Nothing));
        }
        if plants > standing {
            return Err(Refusal::Impossible(Wrong::MoreThanStanding { part: label, asked: plants, standing }));
        }
        let is_live = |other: &PartId| self.state.parts.get(other).is_some_and(Part::is_live);
        if plants == standing && !held.parts.iter().any(|other| *other != id && is_live(other)) {
            return self.shift_whole(container, to, spot);
        }
        if held.vessel.class != ContainerClass::Pot || held.vessel.pots < 2 {
            return Err(Refusal::MovesWhole(label));
        }
        // Plants that stand several to a pot take only as many pots along.
        let pots = plants.div_ceil(standing.div_ceil(held.vessel.pots));
        let vessel = Vessel { pots, ..held.vessel.clone() };
        let letter = self.next_letter(batch);
        let container = ContainerId(self.push(Fact::Stood { vessel, stand: to, spot, called: None }));
        let source = Source::From { part: id, plants, how: Transfer::Parted };
        self.fill(batch, letter, &Allotted { container, plants }, source);
        Ok(())
    }

    /// A container that still holds plants, or that never held any.
    fn in_use(&self, id: ContainerId) -> Result<&Container, Refusal> {
        let held = self.state.containers.get(&id).ok_or(Refusal::Impossible(Wrong::NoSuchContainer))?;
        let parts = held.parts.iter().filter_map(|id| Some((*id, self.state.parts.get(id)?)));
        // A part that was not cleared comes first.
        match parts.min_by_key(|(_, part)| part.cleared) {
            Some((id, part)) if let Some(on) = part.cleared => Err(self.cleared(id, on)),
            _ => Ok(held),
        }
    }

    fn outermost(&self, containers: &[ContainerId]) -> Vec<ContainerId> {
        let mut outer: Vec<ContainerId> = Vec::new();
        for id in containers.iter().map(|id| self.state.outermost(*id)) {
            if !outer.contains(&id) {
                outer.push(id);
            }
        }
        outer
    }
}
