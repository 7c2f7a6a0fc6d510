//! From an act to its facts, against the state on the act's day.

use crate::quantity::{BatchId, ContainerClass, ContainerId, EntryId, PartId, PartLetter, SownUnit};

use super::act::{Act, Moving, MovingOn, NewLot, Recount, Rest, Room, Seed, Sowing};
use super::fact::{Beginning, Cause, Departure, Fact, Observed, Source, Stand, Transfer, Vessel};
use super::refusal::Refusal;
use super::state::{Part, State};
use super::wrong::Wrong;

const MOST_CONTAINERS: u32 = 500;
const MOST_PER_CELL: u32 = 1_000;

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

struct Draft<'a> {
    state: &'a State,
    latest: &'a State,
    facts: Vec<Fact>,
}

/// A share of the plants and the container it goes into.
struct Allotted {
    container: ContainerId,
    plants: u32,
}

impl Draft<'_> {
    fn push(&mut self, fact: Fact) -> EntryId {
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
            Act::SetCarrier { vessel, called, stand } => {
                if vessel.class != ContainerClass::Carrier {
                    return Err(wrong_vessel(vessel, "a carrier carries pots; choose one of the carry trays"));
                }
                self.push(Fact::Stood {
                    vessel: vessel.clone(),
                    stand: *stand,
                    spot: None,
                    called: Some(called.clone()),
                });
            }
            Act::Sow(sowing) => self.sow(sowing)?,
            Act::Receive { label, seed, plants, room } => {
                let lot = self.lot(seed);
                let batch = self.push(Fact::Begun { label: *label, lot, beginning: Beginning::Received });
                for (index, allotted) in self.allot(room, *plants, None)?.0.into_iter().enumerate() {
                    self.fill(BatchId(batch), index, &allotted, Source::Received { plants: allotted.plants });
                }
            }
            Act::Count { part, observed } => self.count(*part, *observed)?,
            Act::Stage { part, growth } => {
                self.push(Fact::Staged { part: *part, growth: *growth });
            }
            Act::MoveOn(moving) => self.move_on(moving)?,
            Act::Move { moving, to, spot } => {
                for one in moving {
                    self.shift(*one, *to, *spot)?;
                }
            }
            Act::PutOut { containers, place } => {
                for container in self.outermost(containers) {
                    self.push(Fact::WentOut { container, place: *place });
                }
            }
            Act::BringIn { containers } => {
                for container in self.outermost(containers) {
                    self.push(Fact::CameIn { container });
                }
            }
            Act::Lose { part, plants, cause, remark } => {
                self.depart(*part, *plants, Departure::Lost { cause: *cause, remark: remark.clone() });
            }
            Act::Thin { part, plants } => self.depart(*part, *plants, Departure::Thinned),
            Act::Discard { part, plants } => self.depart(*part, *plants, Departure::Discarded),
            Act::GiveAway { part, plants } => self.depart(*part, *plants, Departure::GivenAway),
            Act::PlantOut { part, plants, bed, recount } => {
                self.recount(*part, *plants, *recount, false)?;
                self.depart(*part, *plants, Departure::PlantedOut { bed: bed.clone() });
                self.clear_again(*part, *plants)?;
            }
            Act::Clear { parts, rest } => {
                for part in parts {
                    let standing = self.part(*part)?.standing();
                    if standing > 0 && *rest == Rest::Discard {
                        self.depart(*part, standing, Departure::Discarded);
                    }
                    self.push(Fact::Cleared { part: *part });
                }
            }
            Act::Identify { batch, seed } => {
                let known = self.state.batches.get(batch).ok_or(Refusal::Impossible(Wrong::NoSuchBatch))?;
                if let Some(lot) = self.state.lots.get(&known.lot)
                    && !lot.crop.is_unknown()
                {
                    return Err(Refusal::NotUnknown(format!("{} {}", lot.crop, lot.variety)));
                }
                let lot = self.lot(seed);
                self.push(Fact::Identified { batch: *batch, lot });
            }
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

    fn lot(&mut self, seed: &Seed) -> crate::quantity::LotId {
        match seed {
            Seed::Lot(lot) => *lot,
            Seed::New(NewLot { crop, variety, packed, stated, seeds, origin }) => {
                crate::quantity::LotId(self.push(Fact::LotAdded {
                    crop: crop.clone(),
                    variety: variety.clone(),
                    packed: *packed,
                    stated: *stated,
                    seeds: *seeds,
                    origin: *origin,
                }))
            }
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

    fn fill(&mut self, batch: BatchId, letter: usize, allotted: &Allotted, source: Source) {
        let letter = PartLetter(u16::try_from(letter).unwrap_or(u16::MAX));
        self.push(Fact::Filled { batch, letter, container: allotted.container, source });
    }

    /// Shares plants out among the containers of a room, and says how many go to each cell.
    fn allot(
        &mut self,
        room: &Room,
        plants: u32,
        per_cell: Option<u32>,
    ) -> Result<(Vec<Allotted>, Option<u32>), Refusal> {
        if per_cell.is_some_and(|each| !(1..=MOST_PER_CELL).contains(&each)) {
            return Err(Refusal::PerCell(per_cell.unwrap_or(0)));
        }
        if plants == 0 {
            return Err(Refusal::Impossible(Wrong::Nothing));
        }
        match room {
            Room::Shared(container) => {
                let vessel = self.state.containers.get(container).map(|held| held.vessel.clone());
                let vessel = vessel.ok_or(Refusal::Impossible(Wrong::NoSuchContainer))?;
                if vessel.class == ContainerClass::Carrier {
                    return Err(wrong_vessel(&vessel, "it carries pots; name the pots, and the carrier with --at"));
                }
                let per_cell = cells_of(&vessel).map(|cells| per_cell.unwrap_or_else(|| plants.div_ceil(cells)));
                Ok((vec![Allotted { container: *container, plants }], per_cell))
            }
            Room::New { vessel, count, stand, spot } => {
                if vessel.class == ContainerClass::Carrier {
                    return Err(wrong_vessel(vessel, "it carries pots; name the pots, and the carrier with --at"));
                }
                if *count == 0 || *count > MOST_CONTAINERS {
                    return Err(Refusal::TooMany(*count));
                }
                let (shares, per_cell) = share_out(vessel, *count, plants, per_cell)?;
                let allotted = shares
                    .into_iter()
                    .map(|plants| {
                        let fact = Fact::Stood { vessel: vessel.clone(), stand: *stand, spot: *spot, called: None };
                        Allotted { container: ContainerId(self.push(fact)), plants }
                    })
                    .collect();
                Ok((allotted, per_cell))
            }
        }
    }

    fn count(&mut self, id: PartId, observed: Observed) -> Result<(), Refusal> {
        let part = self.part(id)?;
        let (is_sown, left) = (part.is_sown(), part.left());
        match (observed.up, observed.standing) {
            // A bare number for plants that were not sown here is what stands.
            (Some(number), None) if !is_sown => {
                self.push(Fact::Counted {
                    part: id,
                    observed: Observed { up: None, standing: Some(number), ..observed },
                });
            }
            // More came up than stand and have left: the rest died unseen.
            (Some(up), Some(standing)) if up > standing.saturating_add(left) => {
                self.push(Fact::Counted { part: id, observed: Observed { standing: None, ..observed } });
                let died = up - standing - left;
                self.depart(id, died, Departure::Lost { cause: Cause::Unknown, remark: None });
            }
            _ => {
                self.push(Fact::Counted { part: id, observed });
            }
        }
        Ok(())
    }

    /// When more plants are in the hand than the log says stand, the count was stale, not the hand.
    fn recount(&mut self, id: PartId, plants: u32, recount: Recount, doubles: bool) -> Result<(), Refusal> {
        let standing = self.part(id)?.standing();
        if plants > standing && (recount == Recount::Yes || doubles) {
            let observed = Observed { up: None, standing: Some(plants), gaps: None, doubles };
            self.push(Fact::Counted { part: id, observed });
        }
        Ok(())
    }

    fn depart(&mut self, part: PartId, plants: u32, how: Departure) {
        self.push(Fact::Departed { part, plants, how });
    }

    /// A straggler taken from an emptied container leaves it empty again.
    fn clear_again(&mut self, id: PartId, taken: u32) -> Result<(), Refusal> {
        let part = self.part(id)?;
        if !part.is_live() && taken >= part.standing() {
            self.push(Fact::Cleared { part: id });
        }
        Ok(())
    }

    fn move_on(&mut self, moving: &MovingOn) -> Result<(), Refusal> {
        let part = self.part(moving.part)?;
        let batch_id = part.batch;
        let how = self.transfer(part);
        let standing = part.standing();
        if let Room::New { vessel, .. } = &moving.room
            && vessel.class == ContainerClass::Paper
        {
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
            Rest::Keep => self.clear_again(moving.part, moving.plants),
        }
    }

    fn next_letter(&self, batch: BatchId) -> usize {
        let letters = self.latest.batches.get(&batch).into_iter().flat_map(|batch| self.latest.parts_of(batch));
        letters.map(|(_, part)| usize::from(part.letter.0) + 1).max().unwrap_or(0)
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

    fn shift(&mut self, moving: Moving, to: Stand, spot: Option<super::fact::Spot>) -> Result<(), Refusal> {
        match moving {
            Moving::Whole(container) => {
                let held = self.state.containers.get(&container).ok_or(Refusal::Impossible(Wrong::NoSuchContainer))?;
                if held.stand == to && held.out.is_none() && (spot.is_none() || spot == held.spot) {
                    return Err(Refusal::Nothing("it already stands there"));
                }
                self.push(Fact::Moved { container, stand: to, spot });
            }
            Moving::Some { part: id, plants } => {
                let part = self.part(id)?;
                let (batch, label) = (part.batch, self.state.part_label(part));
                let held =
                    self.state.containers.get(&part.container).ok_or(Refusal::Impossible(Wrong::NoSuchContainer))?;
                if plants >= part.standing() && held.parts.len() == 1 {
                    if plants > part.standing() {
                        let wrong = Wrong::MoreThanStanding { part: label, asked: plants, standing: part.standing() };
                        return Err(Refusal::Impossible(wrong));
                    }
                    let container = part.container;
                    return self.shift(Moving::Whole(container), to, spot);
                }
                if held.vessel.class != ContainerClass::Pot || held.vessel.pots < 2 {
                    return Err(Refusal::MovesWhole(label));
                }
                let vessel = Vessel { pots: plants, ..held.vessel.clone() };
                let letter = self.next_letter(batch);
                let container = ContainerId(self.push(Fact::Stood { vessel, stand: to, spot, called: None }));
                let source = Source::From { part: id, plants, how: Transfer::Parted };
                self.fill(batch, letter, &Allotted { container, plants }, source);
            }
        }
        Ok(())
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

fn wrong_vessel(vessel: &Vessel, why: &'static str) -> Refusal {
    Refusal::WrongVessel { name: vessel.name.to_string(), class: vessel.class.word(), why }
}

/// Cells of a cell tray or pots of a set; `None` where plants share the compost.
fn cells_of(vessel: &Vessel) -> Option<u32> {
    match vessel.class {
        ContainerClass::CellTray => vessel.cells.filter(|cells| *cells > 0),
        ContainerClass::Pot => Some(vessel.pots.max(1)),
        _ => None,
    }
}

/// Shares units out among like containers: cells are filled from the first tray on, shared compost evenly.
fn share_out(
    vessel: &Vessel,
    count: u32,
    plants: u32,
    per_cell: Option<u32>,
) -> Result<(Vec<u32>, Option<u32>), Refusal> {
    let evenly = || {
        let (each, over) = (plants / count, plants % count);
        (0..count).map(|index| each + u32::from(index < over)).filter(|share| *share > 0).collect::<Vec<_>>()
    };
    let Some(cells) = cells_of(vessel) else { return Ok((evenly(), None)) };
    let all_cells = cells.saturating_mul(count);
    let each = per_cell.unwrap_or_else(|| plants.div_ceil(all_cells));
    if each > MOST_PER_CELL || plants > all_cells.saturating_mul(each) {
        let containers = if count == 1 { vessel.name.to_string() } else { format!("{count} of {}", vessel.name) };
        return Err(Refusal::NoRoom { plants, containers, cells: all_cells, per_cell: each });
    }
    let full = cells.saturating_mul(each);
    let by_filling: Vec<u32> =
        (0..count).map(|index| plants.saturating_sub(full.saturating_mul(index)).min(full)).collect();
    let shares = if by_filling.contains(&0) { evenly() } else { by_filling };
    Ok((shares, Some(each)))
}
