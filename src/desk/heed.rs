//! What a grower should heed beside an act: what was left empty, whom a loss is taken from, what a reading is of; and the
//! slips of the hand that are asked about instead of logged.

use std::collections::BTreeSet;

use crate::advice::WATCHED_DAYS;
use crate::grammar::{BatchRef, GrammarError, GrammarErrorKind, MovingWords, PartRef, Request, SpotRef};
use crate::journal::{Act, Departure, Entry, Fact, Measured, Part, Room, SITTING, Source, State, fold};
use crate::quantity::{ContainerClass, Date, PartId, PlaceId, Remark};
use crate::store::Scope;

use super::DAYS_OF_WEATHER;
use super::clock;
use super::error::DeskError;
use super::parts::For;
use super::resolve::Resolver;

/// Days for which it is not said again that a thermometer was not read for days. Common practice, no source.
const TOLD_FOR: i64 = 60;

/// Days back at which a day of a reading is likelier a slip of the year than meant. Common practice, no source.
const OF_LAST_YEAR: std::ops::RangeInclusive<i64> = 180..=366;

/// A line that cannot be done as it stands, and the words that can.
fn asked(message: String, hint: String) -> DeskError {
    DeskError::Words(GrammarError { kind: GrammarErrorKind::Refused, message, hint })
}

/// That a container which plants just left is empty and still takes its room, and the words that clear it.
pub(super) fn left_empty(before: &State, after: &State, entries: &[Entry]) -> Option<String> {
    let mut left = entries.iter().filter_map(|entry| match &entry.fact {
        Fact::Departed { part, .. } | Fact::Filled { source: Source::From { part, .. }, .. } => Some(*part),
        _ => None,
    });
    let bare = |part: &Part| part.standing() == 0 || !part.is_live();
    let stood = |id: &PartId| before.parts.get(id).is_some_and(|part| part.standing() > 0);
    let empty = |id: &PartId| {
        let held = after.parts.get(id).filter(|part| part.is_live()).and_then(|it| after.containers.get(&it.container));
        held.is_some_and(|held| held.parts.iter().filter_map(|id| after.parts.get(id)).all(bare))
    };
    let id = left.rfind(|id| stood(id) && empty(id))?;
    let part = after.parts.get(&id)?;
    let label = after.part_label(part);
    let to_come = part.sown().saturating_sub(part.up);
    let unless = if to_come > 0 { format!(", unless you wait for the {to_come} not up") } else { String::new() };
    let at = after.standing_at(part.container);
    Some(format!("{label} is empty and still takes its room on {at}: `clear {label}`{unless}"))
}

impl Resolver<'_> {
    /// The part that plants are taken from; of a batch partly planted out it is said whose plants they are.
    pub(super) fn part_in_pots(&mut self, reference: &PartRef, plants: u32, verb: &str) -> Result<PartId, DeskError> {
        self.check_spread(reference, plants, verb)?;
        let id = self.part(reference, For::Taking)?;
        let batch = self.state.parts.get(&id).and_then(|part| self.state.batches.get(&part.batch));
        let gone = batch.into_iter().flat_map(|batch| self.state.parts_of(batch)).flat_map(|(_, part)| &part.gone);
        let lately = gone.filter(|gone| {
            let days = self.on.signed_duration_since(gone.on).num_days();
            matches!(gone.how, Departure::PlantedOut { .. }) && days <= i64::from(WATCHED_DAYS)
        });
        let planted: u32 = lately.map(|gone| gone.plants).fold(0, u32::saturating_add);
        if planted > 0 {
            let number = reference.batch;
            self.notices.push(format!(
                "these came off the plants still in pots: the log ends at planting out, and {planted} are out; if it was \
                 those, `undo`, then keep it as a remark: `note {number} \"5 lost in the bed\"`"
            ));
        }
        Ok(id)
    }

    /// A bed that is one slip from a place is asked about: else it would be a bed of its own.
    pub(super) fn check_bed(&self, bed: &Remark) -> Result<(), DeskError> {
        let typed = bed.as_str().to_lowercase();
        let names = || self.latest.places.values().map(|place| place.name.as_str());
        if names().any(|name| name.to_lowercase() == typed) {
            return Ok(());
        }
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
        let near = |name: &&str| {
            let name = name.to_lowercase();
            typed.chars().count() > 2 && digits(&name) == digits(&typed) && strsim::osa_distance(&name, &typed) == 1
        };
        match names().find(near) {
            Some(name) => Err(asked(
                format!("{bed} is no place, and one slip from {name}"),
                format!("did you mean {name}? a bed of its own wants a name less like it"),
            )),
            None => Ok(()),
        }
    }

    /// The act on all that stands in a part: planting out and moving on mean it; what is not undone by hand asks.
    pub(super) fn all_of(&mut self, reference: &PartRef, taking: &Request) -> Result<Act, DeskError> {
        let label = |id: &PartId| self.latest.parts.get(id).map(|part| self.latest.part_label(part).to_string());
        let standing = |id: &PartId| self.state.parts.get(id).map_or(0, Part::standing);
        let parts = self.parts_that_stand(reference)?;
        let words = |id: &PartId| format!("`{} {} {}`", taking.verb(), label(id).unwrap_or_default(), standing(id));
        let each: Vec<String> = parts.iter().map(words).collect();
        let only = match parts.as_slice() {
            [only] if matches!(taking, Request::PlantOut { .. } | Request::MoveOn(_)) => *only,
            [] => return Err(DeskError::Nothing("no plants stand there")),
            _ => {
                return Err(asked(
                    format!("say how many of {reference}"),
                    format!("all are: {}", each.join(", then ")),
                ));
            }
        };
        self.act(&taking.clone().of(standing(&only)))
    }

    /// More plants than any one part has, of a batch in several: told what to type instead.
    pub(super) fn check_spread(&self, reference: &PartRef, plants: u32, verb: &str) -> Result<(), DeskError> {
        let parts = self.parts_that_stand(reference)?;
        if reference.letter.is_some() || parts.len() < 2 {
            return Ok(());
        }
        let mut left = plants;
        let mut each = Vec::new();
        for part in parts.iter().filter_map(|id| self.state.parts.get(id)) {
            let taken = left.min(part.standing());
            left -= taken;
            if taken > 0 {
                each.push(format!("`{verb} {} {taken}`", self.state.part_label(part)));
            }
        }
        match (left, each.len()) {
            (0, 2..) => Err(asked(
                format!("{reference} stands in {} containers: {plants} do not come from one", parts.len()),
                format!("write {}", each.join(", then ")),
            )),
            _ => Ok(()),
        }
    }

    /// `move 1 5 PLACE` is five plants of 1; where those cannot be parted it is more likely two batches.
    pub(super) fn check_not_two(&self, moving: &MovingWords, to: &SpotRef) -> Result<(), DeskError> {
        let MovingWords::Some { part, plants } = moving else { return Ok(()) };
        let id = self.part(part, For::Taking)?;
        let held = self.latest.parts.get(&id).and_then(|part| self.latest.containers.get(&part.container));
        let parts = held.is_some_and(|held| held.vessel.class == ContainerClass::Pot && held.vessel.pots > 1);
        let other = self.books.batches_numbered(*plants, None)?.into_iter().find(|batch| batch.live);
        let (false, Some(other), Some(one)) = (parts, other, self.latest.parts.get(&id)) else { return Ok(()) };
        let (label, number) = (self.latest.part_label(one), BatchRef { year: None, number: *plants, twin: None });
        let beside = fold(&self.books.history(Scope::Around(&[other.id], &[]))?).0;
        let live = beside.batches.get(&other.id).into_iter().flat_map(|batch| beside.parts_of(batch));
        let labels: Vec<String> =
            live.filter(|(_, part)| part.is_live()).map(|(_, part)| beside.part_label(part).to_string()).collect();
        Err(asked(
            format!("{label} stands in one container, which moves whole; {number} was read as a number of plants"),
            format!("to move two batches give letters: `move {label} {} {to}`", labels.join(" ")),
        ))
    }

    /// A thermometer that was not read for days has the lowest and highest of them all. It is said once of a place that is
    /// read now and then, and not at each reading.
    pub(super) fn note_days_without(&mut self, place: PlaceId, measured: &[Measured]) -> Result<(), DeskError> {
        // A day that was written without its year is of the last such day that has been.
        if OF_LAST_YEAR.contains(&clock::today().signed_duration_since(self.on).num_days()) {
            self.notices.push(format!("that is of {}: `undo` takes it back if another year was meant", self.on));
        }
        // The lows of a house differ little from night to night, and are taken as they are.
        if self.latest.places.get(&place).is_some_and(|place| place.kind.is_indoors()) {
            return Ok(());
        }
        let at = clock::moment(self.on);
        let extreme = measured.iter().find(|it| matches!(it, Measured::Minimum(_) | Measured::Maximum(_)));
        let Some((extreme, on)) = extreme.map(|it| (it, it.of_day(at))) else { return Ok(()) };
        let same = |one: &Measured| std::mem::discriminant(one) == std::mem::discriminant(extreme);
        let first = on.checked_sub_days(chrono::Days::new(DAYS_OF_WEATHER)).unwrap_or(on);
        let is_it = |of: PlaceId| self.latest.one_with.get(&of.0).map_or(of, |first| PlaceId(*first)) == place;
        let (read, now) = (self.books.temperatures(&[(first, on)])?, clock::now()?.millis / 1000);
        let here = read
            .iter()
            .filter(|entry| matches!(&entry.fact, Fact::Read { place: of, measured } if is_it(*of) && same(measured)));
        let before: BTreeSet<Date> = here.map(|entry| entry.on).collect();
        let gap = |from: Date, to: Date| to.signed_duration_since(from).num_days();
        let was_told = before
            .iter()
            .zip(before.iter().skip(1))
            .any(|(one, next)| gap(*one, *next) > 1 && gap(*next, on) <= TOLD_FOR);
        let of = |(day, high): (Date, bool)| {
            let is_high = |it: &Measured| matches!(it, Measured::Maximum(_)) == high && it.is_extreme();
            read.iter().any(|entry| {
                let here = matches!(&entry.fact, Fact::Read { place: of, measured } if is_it(*of) && is_high(measured));
                let noted = entry.act.noted_at().unwrap_or(u64::MAX);
                here && entry.on == day && noted.saturating_add(SITTING) <= now
            })
        };
        // Set by the other of the two since, it holds one day.
        if extreme.set_by(on).is_some_and(of) {
            return Ok(());
        }
        let Some(last) = before.last().filter(|last| gap(**last, on) > 1 && !was_told) else { return Ok(()) };
        let days = gap(*last, on);
        let name = self.latest.places.get(&place).map_or_else(String::new, |place| place.name.to_string());
        let last = last.format("%-d %b");
        self.notices.push(match extreme {
            Measured::Maximum(_) => format!(
                "the last highest of {name} is of {last}: of {days} days this is kept, as what none of them was warmer than; read it \
                 every evening, or every morning, to know each day's"
            ),
            _ => format!(
                "{name} was last read on {last}: of {days} days this is kept, as what none of them was colder or warmer than, and of \
                 last night it says nothing; set the thermometer of an evening and read it next morning for that"
            ),
        });
        Ok(())
    }

    /// Potting on into the same size is more often a move.
    pub(super) fn note_same_size(&mut self, id: PartId, room: &Room) {
        let Room::New { vessel, .. } = room else { return };
        let Some(part) = self.state.parts.get(&id) else { return };
        let held = self.state.containers.get(&part.container).map(|held| &held.vessel);
        let is_same = held.is_some_and(|held| held.name == vessel.name && held.class != ContainerClass::Tray);
        if is_same {
            let label = self.state.part_label(part);
            self.notices.push(format!(
                "{label} stood in {} already: if the pots were only set elsewhere, `undo`, then `move {label} PLACE/BENCH`",
                vessel.name
            ));
        }
    }
}
