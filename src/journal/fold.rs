//! The fold: a history in, a state and its contradictions out.
//!
//! [`State::apply`] never panics and never looks at a clock: it applies an entry, or says why it cannot be true. An
//! entry that cannot be true is set aside and changes nothing.

use std::collections::BTreeSet;

use crate::quantity::{
    ActId, BatchId, BenchId, CellSet, ContainerClass, ContainerId, Date, LotId, Name, PartId, PartLabel, PartLetter,
    PlaceId,
};

use super::entry::{Entry, History};
use super::fact::{Fact, Source, Topic};
use super::kinds::Transfer;
use super::refusal::Refusal;
use super::state::{Batch, Bench, Container, Forecast, Gone, Lot, Note, Part, Place, Reading, State, Stay, Washed};
use super::wrong::{Contradiction, Wrong};

/// The most plants or units that one entry may speak of.
pub const MOST: u32 = 100_000;

/// Folds a whole history.
#[must_use]
pub fn fold(history: &History) -> (State, Vec<Contradiction>) {
    fold_entries(history.entries())
}

/// Folds what had happened by the end of a day.
#[must_use]
pub fn fold_until(history: &History, day: Date) -> (State, Vec<Contradiction>) {
    fold_entries(history.by(day))
}

/// Folds a history with new entries, and refuses them when they add a contradiction anywhere on the timeline.
///
/// # Errors
/// The first contradiction they add, on the entries themselves or on a later one.
pub fn admit(before: &History, new: &[Entry]) -> Result<State, Refusal> {
    let (_, known) = fold(before);
    let (state, found) = fold(&before.with(new));
    match added(&known, &found).first() {
        None => Ok(state),
        Some(first) if new.iter().any(|entry| entry.id == first.entry) => Err(Refusal::Impossible(first.wrong.clone())),
        Some(first) => Err(Refusal::BreaksLater { on: first.on, wrong: first.wrong.clone() }),
    }
}

/// The acts that cannot be true once some acts are undone, oldest first: each must be undone with them.
#[must_use]
pub fn dependents(history: &History, undone: &[ActId]) -> Vec<ActId> {
    let (_, known) = fold(history);
    let mut all = undone.to_vec();
    loop {
        let (_, found) = fold(&history.without(&all));
        let broken: BTreeSet<ActId> = added(&known, &found).iter().map(|one| one.act).collect();
        if broken.is_empty() {
            break;
        }
        // Undoing the whole of a broken act may break further ones.
        all.extend(broken);
    }
    let mut dependents = all.split_off(undone.len());
    dependents.sort_unstable();
    dependents
}

/// The contradictions of a history that another version of it did not have, first first.
#[must_use]
pub fn added<'a>(known: &[Contradiction], found: &'a [Contradiction]) -> Vec<&'a Contradiction> {
    found.iter().filter(|one| !known.iter().any(|other| other.entry == one.entry)).collect()
}

fn fold_entries<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> (State, Vec<Contradiction>) {
    let mut state = State::default();
    let mut contradictions = Vec::new();
    for entry in entries {
        if let Err(wrong) = state.apply(entry) {
            contradictions.push(Contradiction { entry: entry.id, act: entry.act, on: entry.on, wrong });
        }
    }
    (state, contradictions)
}

const fn some(number: u32) -> Result<u32, Wrong> {
    match number {
        0 => Err(Wrong::Nothing),
        1..=MOST => Ok(number),
        _ => Err(Wrong::Absurd(number)),
    }
}

impl State {
    /// Applies one entry.
    ///
    /// # Errors
    /// When it contradicts the state before it; nothing is changed then.
    pub fn apply(&mut self, entry: &Entry) -> Result<(), Wrong> {
        if self.one_with.is_empty() {
            return self.apply_fact(entry, &entry.fact);
        }
        let mut fact = entry.fact.clone();
        fact.for_each_reference(&mut |id| *id = self.one_with.get(id).copied().unwrap_or(*id));
        self.apply_fact(entry, &fact)
    }

    fn apply_fact(&mut self, entry: &Entry, fact: &Fact) -> Result<(), Wrong> {
        let on = entry.on;
        match fact {
            Fact::PlaceAdded { name, kind, heated_to, light } => {
                let mut place = Place { name: name.clone(), kind: *kind, heated_to: *heated_to, light: *light };
                let called = |it: &Place| self.places.iter().find(|(_, other)| other.name.same_as(it.name.as_str()));
                let mut number = 1;
                while let Some((first, other)) = called(&place) {
                    // A number behind a name as long as they come has no room: then it is the first all the same.
                    number += 1;
                    let next = Name::new(&format!("{name} {number}")).ok().filter(|_| !other.is_like(&place));
                    let Some(next) = next else {
                        self.one_with.insert(entry.id, first.0);
                        return Ok(());
                    };
                    place.name = next;
                }
                self.places.insert(PlaceId(entry.id), place);
            }
            Fact::BenchAdded { place, name, size } => {
                self.place(*place)?;
                let is_it = |other: &Bench| other.place == *place && other.name.same_as(name.as_str());
                if let Some((first, bench)) = self.benches.iter_mut().find(|(_, other)| is_it(other)) {
                    self.one_with.insert(entry.id, first.0);
                    bench.size = *size;
                    bench.measured.push((entry.act, *size));
                    return Ok(());
                }
                let measured = vec![(entry.act, *size)];
                let bench = Bench { place: *place, name: name.clone(), size: *size, measured };
                self.benches.insert(BenchId(entry.id), bench);
            }
            Fact::BenchResized { bench, size } => {
                let bench = self.benches.get_mut(bench).ok_or(Wrong::NoSuchPlace)?;
                bench.size = *size;
                bench.measured.push((entry.act, *size));
            }
            Fact::LotAdded { crop, variety, packed, stated, seeds, origin } => {
                let (crop, variety) = (crop.clone(), variety.clone());
                let lot = Lot { crop, variety, packed: *packed, stated: *stated, seeds: *seeds, origin: *origin };
                self.lots.insert(LotId(entry.id), lot);
            }
            Fact::Stood { vessel, stand, spot, called } => {
                self.check_stand(*stand, vessel.class == ContainerClass::Carrier)?;
                some(vessel.pots)?;
                let stays = vec![Stay { from: on, by: entry.act, stand: *stand, out: None }];
                let (vessel, called) = (vessel.clone(), called.clone());
                let vessel = match self.measured.get(&vessel.name) {
                    Some(size) => vessel.filled_in(size),
                    None => vessel,
                };
                let container = Container {
                    vessel,
                    called,
                    stand: *stand,
                    spot: *spot,
                    placed_by: spot.map(|_| entry.act),
                    parted: Vec::new(),
                    out: None,
                    parts: Vec::new(),
                    stays,
                    put_away: None,
                };
                self.containers.insert(ContainerId(entry.id), container);
            }
            Fact::Begun { label, lot, beginning } => {
                self.lot(*lot)?;
                let batch = Batch { label: *label, lot: *lot, beginning: *beginning, begun: on, parts: Vec::new() };
                self.batches.insert(BatchId(entry.id), batch);
            }
            Fact::Filled { batch, letter, container, source, from_cells } => {
                self.fill(PartId(entry.id), (on, entry.act), *batch, *letter, *container, (*source, from_cells))?;
            }
            Fact::Counted { part, observed } => self.count(on, *part, observed)?,
            Fact::Staged { part, growth } => {
                self.part_mut(*part)?.stages.push((on, *growth));
            }
            Fact::Departed { part, plants, how, cells } => {
                self.check_standing(*part, some(*plants)?)?;
                self.check_leaving(*part, cells, *plants, Some(how))?;
                let part = self.part_mut(*part)?;
                part.empty_cells(on, cells, *plants, Some(how));
                part.gone.push(Gone { on, plants: *plants, how: how.clone() });
            }
            Fact::Cleared { part } => self.clear((on, entry.act), *part)?,
            Fact::Moved { container, stand, spot } => self.shift((on, entry.act), *container, *stand, *spot)?,
            Fact::WentOut { container, place } => self.go_out((on, entry.act), *container, *place)?,
            Fact::CameIn { container } => self.come_in((on, entry.act), *container)?,
            Fact::PutAway { container } => self.put_away(on, *container)?,
            Fact::ContainerMeasured { name, size } => {
                self.measured.insert(name.clone(), *size);
            }
            Fact::ContainerOwned { name, count } => {
                if *count > MOST {
                    return Err(Wrong::Absurd(*count));
                }
                self.owned.insert(name.clone(), *count);
            }
            Fact::ContainerWashed { name, count } => {
                self.washed.push(Washed { on, by: entry.act, name: name.clone(), count: some(*count)? });
            }
            Fact::Identified { batch, lot } => {
                self.lot(*lot)?;
                self.batches.get_mut(batch).ok_or(Wrong::NoSuchBatch)?.lot = *lot;
            }
            Fact::Relabelled { batch, label } => {
                self.batches.get_mut(batch).ok_or(Wrong::NoSuchBatch)?.label = *label;
            }
            Fact::Noted { topic, remark } => {
                self.check_topic(*topic)?;
                self.notes.push(Note { on, topic: *topic, remark: remark.clone() });
            }
            Fact::Read { place, measured } => {
                self.place(*place)?;
                self.readings.push(Reading { on, hour: None, place: *place, measured: *measured, by: entry.act });
            }
            Fact::Forecast { day, low, high } => {
                if low.0 > high.0 {
                    return Err(Wrong::LowAboveHigh);
                }
                self.forecasts.insert(*day, Forecast { noted: on, low: *low, high: *high });
            }
            Fact::Covered { place, on: covered } => {
                self.place(*place)?;
                self.covers.push((on, *place, *covered));
            }
        }
        Ok(())
    }

    pub(super) fn place(&self, id: PlaceId) -> Result<(), Wrong> {
        if self.places.contains_key(&id) { Ok(()) } else { Err(Wrong::NoSuchPlace) }
    }

    fn lot(&self, id: LotId) -> Result<(), Wrong> {
        if self.lots.contains_key(&id) { Ok(()) } else { Err(Wrong::NoSuchLot) }
    }

    fn check_topic(&self, topic: Topic) -> Result<(), Wrong> {
        match topic {
            Topic::Batch(batch) if !self.batches.contains_key(&batch) => Err(Wrong::NoSuchBatch),
            Topic::Place(place) => self.place(place),
            Topic::Batch(_) => Ok(()),
        }
    }

    fn part_mut(&mut self, id: PartId) -> Result<&mut Part, Wrong> {
        self.parts.get_mut(&id).ok_or(Wrong::NoSuchPart)
    }

    pub(super) fn container_mut(&mut self, id: ContainerId) -> Result<&mut Container, Wrong> {
        self.containers.get_mut(&id).ok_or(Wrong::NoSuchContainer)
    }

    fn check_standing(&self, id: PartId, asked: u32) -> Result<(), Wrong> {
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let standing = part.standing();
        if asked > standing {
            return Err(Wrong::MoreThanStanding { part: self.part_label(part), asked, standing });
        }
        Ok(())
    }

    fn fill(
        &mut self,
        id: PartId,
        (on, by): (Date, ActId),
        batch_id: BatchId,
        letter: PartLetter,
        container_id: ContainerId,
        (source, from_cells): (Source, &CellSet),
    ) -> Result<(), Wrong> {
        let batch = self.batches.get(&batch_id).ok_or(Wrong::NoSuchBatch)?;
        if !self.containers.contains_key(&container_id) {
            return Err(Wrong::NoSuchContainer);
        }
        let label = PartLabel { batch: batch.label, letter };
        if self.parts_of(batch).any(|(_, part)| part.letter == letter) {
            return Err(Wrong::LetterTaken(label));
        }
        match source {
            Source::Sown { units, .. } => _ = some(units)?,
            Source::Received { plants } => _ = some(plants)?,
            Source::From { part, plants, how } => {
                some(plants)?;
                self.take((on, by), (part, from_cells), batch_id, container_id, plants, how)?;
            }
        }
        // Pots that are only set apart keep what was seen of their plants.
        let stages = match source {
            Source::From { part, how: Transfer::Parted, .. } => self.parts.get(&part).map(|part| part.stages.clone()),
            _ => None,
        };
        let part = Part {
            batch: batch_id,
            letter,
            container: container_id,
            filled: on,
            source,
            up: 0,
            gained: 0,
            short: 0,
            moved_on: 0,
            gone: Vec::new(),
            counts: Vec::new(),
            stages: stages.unwrap_or_default(),
            ticked: None,
            emptied: Vec::new(),
            cleared: None,
            cleared_by: None,
        };
        self.parts.insert(id, part);
        if let Some(batch) = self.batches.get_mut(&batch_id) {
            batch.parts.push(id);
        }
        self.container_mut(container_id)?.parts.push(id);
        Ok(())
    }

    fn take(
        &mut self,
        (on, by): (Date, ActId),
        (from, cells): (PartId, &CellSet),
        batch: BatchId,
        into: ContainerId,
        plants: u32,
        how: Transfer,
    ) -> Result<(), Wrong> {
        let source = self.parts.get(&from).ok_or(Wrong::NoSuchPart)?;
        if source.batch != batch {
            return Err(Wrong::OtherBatch);
        }
        self.check_standing(from, plants)?;
        self.check_leaving(from, cells, plants, None)?;
        let home = source.container;
        let mut parted = Vec::new();
        if how == Transfer::Parted {
            parted = self.part_set(by, home, into)?;
        }
        let part = self.part_mut(from)?;
        part.moved_on += plants;
        part.empty_cells(on, cells, plants, None);
        // Pots that leave a set change the numbers of those that stay.
        for part in parted {
            self.part_mut(part)?.ticks_are_past();
        }
        Ok(())
    }

    /// Parts a set of pots in two; the parts in the set, whose pots are numbered anew.
    fn part_set(&mut self, by: ActId, home: ContainerId, into: ContainerId) -> Result<Vec<PartId>, Wrong> {
        let (asked, stand, spot) = {
            let new = self.containers.get(&into).ok_or(Wrong::NoSuchContainer)?;
            (new.vessel.pots, new.stand, new.spot)
        };
        let set = self.container_mut(home)?;
        let pots = set.vessel.pots;
        if asked >= pots {
            return Err(Wrong::TooFewPots { pots, asked });
        }
        // Those that stay on the spot keep the rows they stood in, under whichever part.
        let stays = spot.is_some() && (set.spot, set.stand) == (spot, stand);
        let (placed_by, before) = (set.placed_by, set.parted.clone());
        set.part(by, asked);
        let parts = set.parts.clone();
        if stays {
            let new = self.container_mut(into)?;
            new.placed_by = placed_by;
            new.parted = before.into_iter().chain([(by, pots - asked)]).collect();
        }
        Ok(parts)
    }

    fn clear(&mut self, (on, by): (Date, ActId), id: PartId) -> Result<(), Wrong> {
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let label = self.part_label(part);
        if let Some(on) = part.cleared {
            return Err(Wrong::AlreadyCleared { part: label, on });
        }
        if part.standing() > 0 {
            return Err(Wrong::NotEmpty { part: label, standing: part.standing() });
        }
        let part = self.part_mut(id)?;
        (part.cleared, part.cleared_by) = (Some(on), Some(by));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;
    use crate::journal::fact::{Beginning, SeedOrigin};
    use crate::journal::kinds::{Light, PlaceKind, Treatment};
    use crate::journal::vessel::{Stand, Vessel};
    use crate::quantity::{BatchLabel, Celsius, CropName, EntryId, Name, SownUnit};

    const PLACE: PlaceId = PlaceId(EntryId(1));
    const LOT: LotId = LotId(EntryId(2));
    const TRAY: ContainerId = ContainerId(EntryId(3));
    const BATCH: BatchId = BatchId(EntryId(4));
    const OTHER: BatchId = BatchId(EntryId(5));
    const PART: PartId = PartId(EntryId(6));
    const POTS: ContainerId = ContainerId(EntryId(7));

    fn day(day: u32) -> Date {
        Date::from_ymd_opt(2026, 3, day).unwrap()
    }

    fn entry(id: i64, act: u128, on: Date, fact: Fact) -> Entry {
        Entry { id: EntryId(id), act: ActId(Uuid::from_u128(act)), sequence: u32::try_from(id).unwrap(), on, fact }
    }

    fn name(text: &str) -> Name {
        Name::new(text).unwrap()
    }

    fn stood(class: ContainerClass, pots: u32) -> Fact {
        let vessel =
            Vessel { name: name("v"), class, length: None, width: None, height: None, cells: None, volume: None, pots };
        Fact::Stood { vessel, stand: Stand::Place(PLACE), spot: None, called: None }
    }

    fn filled(batch: BatchId, letter: u16, container: ContainerId, source: Source) -> Fact {
        Fact::Filled { batch, letter: PartLetter(letter), container, source, from_cells: CellSet::EMPTY }
    }

    /// Two batches, ten plants of the first in a tray, and a set of four pots that is empty.
    fn beginning() -> Vec<Entry> {
        let begun = |number| Fact::Begun {
            label: BatchLabel { year: 2026, number, twin: None },
            lot: LOT,
            beginning: Beginning::Sown { unit: SownUnit::Seed, treatment: Treatment::None, depth: None },
        };
        let place = Fact::PlaceAdded { name: name("sill"), kind: PlaceKind::Room, heated_to: None, light: Light::Low };
        let (crop, variety) = (CropName::new("leek").unwrap(), name("First"));
        let origin = SeedOrigin::HomeSaved;
        let lot = Fact::LotAdded { crop, variety, packed: None, stated: None, seeds: None, origin };
        let facts = [
            place,
            lot,
            stood(ContainerClass::Tray, 1),
            begun(1),
            begun(2),
            filled(BATCH, 0, TRAY, Source::Received { plants: 10 }),
            stood(ContainerClass::Pot, 4),
        ];
        facts.into_iter().zip(1..).map(|(fact, id)| entry(id, 1, day(2), fact)).collect()
    }

    #[test]
    fn what_no_act_would_write_is_set_aside_and_changes_nothing() {
        let from = |plants, how| Source::From { part: PART, plants, how };
        let missing = EntryId(99);
        let wrongs = [
            (filled(OTHER, 0, POTS, from(2, Transfer::PottedOn)), Wrong::OtherBatch),
            (filled(BATCH, 1, POTS, from(4, Transfer::Parted)), Wrong::TooFewPots { pots: 1, asked: 4 }),
            (filled(BATCH, 1, POTS, from(0, Transfer::PottedOn)), Wrong::Nothing),
            (filled(BATCH, 1, POTS, Source::Received { plants: MOST + 1 }), Wrong::Absurd(MOST + 1)),
            (filled(BATCH, 1, ContainerId(missing), from(2, Transfer::PottedOn)), Wrong::NoSuchContainer),
            (filled(BatchId(missing), 1, POTS, from(2, Transfer::PottedOn)), Wrong::NoSuchBatch),
            (Fact::Cleared { part: PartId(missing) }, Wrong::NoSuchPart),
            (stood(ContainerClass::Pot, 0), Wrong::Nothing),
            (Fact::Moved { container: POTS, stand: Stand::Carrier(TRAY), spot: None }, Wrong::NotACarrier),
            (Fact::WentOut { container: POTS, place: PlaceId(missing) }, Wrong::NoSuchPlace),
            (Fact::CameIn { container: POTS }, Wrong::NotOut),
            (Fact::Identified { batch: BATCH, lot: LotId(missing) }, Wrong::NoSuchLot),
            (Fact::Forecast { day: day(9), low: Celsius(5.0), high: Celsius(4.0) }, Wrong::LowAboveHigh),
        ];
        let before = History::new(beginning());
        let (state, contradictions) = fold(&before);
        assert_eq!(contradictions, []);
        for (fact, wrong) in wrongs {
            let entry = entry(20, 2, day(5), fact);
            let (after, found) = fold(&before.with(std::slice::from_ref(&entry)));
            assert_eq!(found.iter().map(|one| &one.wrong).collect::<Vec<_>>(), [&wrong]);
            assert_eq!(after, state, "{wrong}");
            assert_eq!(admit(&before, &[entry]), Err(Refusal::Impossible(wrong)));
        }
        let letter = entry(20, 2, day(5), filled(BATCH, 0, POTS, from(2, Transfer::PottedOn)));
        assert!(matches!(admit(&before, &[letter]), Err(Refusal::Impossible(Wrong::LetterTaken(_)))));
    }

    #[test]
    fn a_contradiction_that_came_by_merging_hinders_no_later_act() {
        let merged = entry(20, 2, day(5), Fact::CameIn { container: POTS });
        let before = History::new(beginning()).with(&[merged]);
        assert_eq!(fold(&before).1.len(), 1);
        let out = entry(21, 3, day(6), Fact::WentOut { container: POTS, place: PLACE });
        assert!(admit(&before, &[out]).is_ok());
        // Nor does undoing the merged act, which then is no dependent of any.
        assert_eq!(dependents(&before, &[ActId(Uuid::from_u128(2))]), []);
    }

    #[test]
    fn undated_facts_hold_at_every_date_and_days_end_with_their_own_entries() {
        let history = History::new(beginning());
        let (state, contradictions) = fold_until(&history, day(1));
        assert_eq!(contradictions, []);
        assert_eq!((state.places.len(), state.lots.len(), state.batches.len()), (1, 1, 0));
        assert_eq!(fold_until(&history, day(2)).0, fold(&history).0);
    }
}
