//! What stands where: the state that folding a history gives.

use std::collections::BTreeMap;

use crate::quantity::{
    ActId, BatchId, BatchLabel, BenchId, Celsius, ContainerClass, ContainerId, CropName, Date, EntryId, LotId,
    Millimetres, Moment, Name, PartId, PartLabel, PartLetter, PlaceId, Remark, Share, SownUnit, SquareMillimetres,
};

use super::cells::{Emptied, Ticked};
use super::fact::{Beginning, Departure, Growth, Measured, SeedOrigin, Source, Topic};
use super::kinds::{Cause, Light, PlaceKind, Transfer};
use super::vessel::{BenchSize, ContainerSize, Spot, Stand, Vessel};

/// Everything known of plants, containers, places and seed, as of some day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// Places by key.
    pub places: BTreeMap<PlaceId, Place>,
    /// Benches by key.
    pub benches: BTreeMap<BenchId, Bench>,
    /// Places and benches that were named again, as on two machines before they met, each with the one it is: the first
    /// of that name. What is said of the one is of the other. A place of another kind is another: it is called by the
    /// name and a number, `shed 2`.
    pub one_with: BTreeMap<EntryId, EntryId>,
    /// Lots of seed by key.
    pub lots: BTreeMap<LotId, Lot>,
    /// Batches by key.
    pub batches: BTreeMap<BatchId, Batch>,
    /// Parts by key.
    pub parts: BTreeMap<PartId, Part>,
    /// Containers by key.
    pub containers: BTreeMap<ContainerId, Container>,
    /// Kinds of container that the grower measured, by name.
    pub measured: BTreeMap<Name, ContainerSize>,
    /// How many of each kind of container the grower owns, by name.
    pub owned: BTreeMap<Name, u32>,
    /// Containers washed, in order.
    pub washed: Vec<Washed>,
    /// Remarks in order.
    pub notes: Vec<Note>,
    /// Temperatures read, in order.
    pub readings: Vec<Reading>,
    /// The latest forecast for each day.
    pub forecasts: BTreeMap<Date, Forecast>,
    /// Places covered and uncovered, in order: the day, the place, and whether it was covered.
    pub covers: Vec<(Date, PlaceId, bool)>,
}

/// Some of a kind of container, washed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Washed {
    /// The day.
    pub on: Date,
    /// The act: of one day's the later came later.
    pub by: ActId,
    /// The name of the kind.
    pub name: Name,
    /// How many.
    pub count: u32,
}

/// A place with its own climate.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// What a heater keeps it at.
    pub heated_to: Option<Celsius>,
    /// How much light it gives.
    pub light: Light,
}

impl Place {
    /// Whether nights, days and light are of the same kind in both.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        (self.kind, self.heated_to, self.light) == (other.kind, other.heated_to, other.light)
    }
}

/// A flat rectangle in a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bench {
    /// The place it is in.
    pub place: PlaceId,
    /// Its name within the place.
    pub name: Name,
    /// Its size and headroom.
    pub size: BenchSize,
    /// What it was measured as, act by act: the last is its size.
    pub measured: Vec<(ActId, BenchSize)>,
}

impl Bench {
    /// The size it had for who acted then; before its first measure what that came to.
    #[must_use]
    pub fn size_at(&self, act: ActId) -> BenchSize {
        let known = self.measured.iter().filter(|(by, _)| *by <= act).max_by_key(|(by, _)| *by);
        known.or(self.measured.first()).map_or(self.size, |(_, size)| *size)
    }
}

/// Seed of one variety out of one packet.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    /// The crop.
    pub crop: CropName,
    /// The variety.
    pub variety: Name,
    /// Year packed.
    pub packed: Option<i32>,
    /// Germination stated on the packet.
    pub stated: Option<Share>,
    /// Seeds when it came.
    pub seeds: Option<u32>,
    /// Bought or saved at home.
    pub origin: SeedOrigin,
}

/// The plants of one sowing, or of one tray bought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Batch {
    /// The number on its label.
    pub label: BatchLabel,
    /// Its seed.
    pub lot: LotId,
    /// Sown or received.
    pub beginning: Beginning,
    /// The day it began.
    pub begun: Date,
    /// Its parts, first first.
    pub parts: Vec<PartId>,
}

/// One count of a part, as the fold understood it when it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// The day.
    pub on: Date,
    /// Sown units up by then, or plants had for a part that was not sown.
    pub up: u32,
    /// Plants standing then.
    pub standing: u32,
}

/// Plants that left a part, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gone {
    /// The day.
    pub on: Date,
    /// How many.
    pub plants: u32,
    /// How.
    pub how: Departure,
}

/// The share of a batch in one container, from filling to clearing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The batch.
    pub batch: BatchId,
    /// Its letter.
    pub letter: PartLetter,
    /// The container it is in.
    pub container: ContainerId,
    /// The day it was filled.
    pub filled: Date,
    /// Where its plants came from.
    pub source: Source,
    /// Sown units emerged ever; zero for a part that was not sown.
    pub up: u32,
    /// Seedlings beyond one for each unit sown, or beyond what came from elsewhere.
    pub gained: u32,
    /// Plants that came from elsewhere by the log but were never there, by a later recount.
    pub short: u32,
    /// Plants moved on into other parts of the batch.
    pub moved_on: u32,
    /// Plants that left for good, in order.
    pub gone: Vec<Gone>,
    /// Counts in order.
    pub counts: Vec<Count>,
    /// Growth notes in order.
    pub stages: Vec<(Date, Growth)>,
    /// The latest count that was made cell by cell.
    pub ticked: Option<Ticked>,
    /// Cells known to be emptied, in order.
    pub emptied: Vec<Emptied>,
    /// The day its container was emptied.
    pub cleared: Option<Date>,
    /// The act that emptied it.
    pub cleared_by: Option<ActId>,
}

/// Where a container was from some day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// From this day.
    pub from: Date,
    /// By this act: of what came on one day the later came later.
    pub by: ActId,
    /// What it stood on.
    pub stand: Stand,
    /// The place it was put out to for the day, if any.
    pub out: Option<PlaceId>,
}

/// One thing with a footprint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Container {
    /// What it is, with the number of pots still standing together.
    pub vessel: Vessel,
    /// A name of its own.
    pub called: Option<Name>,
    /// What it stands on.
    pub stand: Stand,
    /// Where exactly.
    pub spot: Option<Spot>,
    /// The act that first noted a spot on the bench it stands on, while one is noted: the rows a set of pots stands in
    /// were chosen then.
    pub placed_by: Option<ActId>,
    /// Pots taken out of the set, act by act; of pots that stay on their spot under another part also those taken out
    /// before.
    pub parted: Vec<(ActId, u32)>,
    /// The place it is out in for the day.
    pub out: Option<PlaceId>,
    /// Its parts, first first.
    pub parts: Vec<PartId>,
    /// Where it was, in order.
    pub stays: Vec<Stay>,
    /// The day it was taken off its bench, for an empty carrier.
    pub put_away: Option<Date>,
}

/// A remark about a batch or a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The day.
    pub on: Date,
    /// What it is about.
    pub topic: Topic,
    /// The remark.
    pub remark: Remark,
}

/// A temperature read in a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The day.
    pub on: Date,
    /// The hour at which it was noted by the grower's clock, 4 to 27; none where it was noted on another day, or nobody looked at the clock.
    pub hour: Option<u32>,
    /// The place.
    pub place: PlaceId,
    /// What was read.
    pub measured: Measured,
    /// By this act.
    pub by: ActId,
}

/// What was forecast for one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// The day it was noted.
    pub noted: Date,
    /// Lowest.
    pub low: Celsius,
    /// Highest.
    pub high: Celsius,
}

impl Reading {
    /// When it was noted.
    #[must_use]
    pub const fn moment(&self) -> Moment {
        Moment { on: self.on, hour: self.hour }
    }
}

impl Part {
    /// Plants that came in from elsewhere; zero for a part that was sown.
    #[must_use]
    pub const fn arrived(&self) -> u32 {
        match self.source {
            Source::Sown { .. } => 0,
            Source::Received { plants } | Source::From { plants, .. } => plants,
        }
    }

    /// Units sown into it; zero for a part that was not sown.
    #[must_use]
    pub const fn sown(&self) -> u32 {
        match self.source {
            Source::Sown { units, .. } => units,
            Source::Received { .. } | Source::From { .. } => 0,
        }
    }

    /// True when it was sown and so has a germination.
    #[must_use]
    pub const fn is_sown(&self) -> bool {
        matches!(self.source, Source::Sown { .. })
    }

    /// Plants it ever had, by the latest count.
    #[must_use]
    pub const fn ever(&self) -> u32 {
        (self.up + self.arrived() + self.gained).saturating_sub(self.short)
    }

    /// Plants that have left it, for another part or for good.
    #[must_use]
    pub fn left(&self) -> u32 {
        self.gone.iter().map(|gone| gone.plants).fold(self.moved_on, u32::saturating_add)
    }

    /// Plants alive in it now.
    #[must_use]
    pub fn standing(&self) -> u32 {
        self.ever().saturating_sub(self.left())
    }

    /// True while seed sown in it may still come up.
    #[must_use]
    pub const fn may_still_come(&self) -> bool {
        self.is_sown() && self.up < self.sown()
    }

    /// True while its container has not been emptied of it.
    #[must_use]
    pub const fn is_live(&self) -> bool {
        self.cleared.is_none()
    }

    /// The latest growth note.
    #[must_use]
    pub fn stage(&self) -> Option<&(Date, Growth)> {
        self.stages.last()
    }

    /// The most true leaves noted, and when.
    #[must_use]
    pub fn leaves(&self) -> Option<(Date, u32)> {
        self.stages.iter().rev().find_map(|(on, growth)| growth.leaves.map(|leaves| (*on, leaves)))
    }

    /// The counts as later ones leave them: no count exceeds what any later one found.
    #[must_use]
    pub fn curve(&self) -> Vec<(Date, u32)> {
        let mut cap = u32::MAX;
        let mut points: Vec<(Date, u32)> = self
            .counts
            .iter()
            .rev()
            .map(|count| {
                cap = cap.min(count.up);
                (count.on, cap)
            })
            .collect();
        points.reverse();
        points
    }

    /// The day it was first seen to be up, as later counts leave it.
    #[must_use]
    pub fn first_up(&self) -> Option<Date> {
        self.curve().into_iter().find(|(_, up)| *up > 0).map(|(on, _)| on)
    }
}

impl Container {
    /// The pots that stood together after an act.
    #[must_use]
    pub fn pots_at(&self, act: ActId) -> u32 {
        let since = self.parted.iter().filter(|(by, _)| *by > act).map(|(_, pots)| *pots);
        since.fold(self.vessel.pots, u32::saturating_add)
    }

    /// Takes pots out of the set.
    pub(super) fn part(&mut self, by: ActId, pots: u32) {
        self.vessel.pots = self.vessel.pots.saturating_sub(pots);
        self.parted.push((by, pots));
    }

    /// Area it takes on a bench, or `None` when it was never measured. A set of pots takes each pot's square.
    #[must_use]
    pub fn footprint(&self) -> Option<SquareMillimetres> {
        let one = self.vessel.length?.by(self.vessel.width?);
        Some(SquareMillimetres(one.0.saturating_mul(u64::from(self.vessel.pots.max(1)))))
    }
}

impl State {
    /// A part's label, for people.
    #[must_use]
    pub fn part_label(&self, part: &Part) -> PartLabel {
        let batch =
            self.batches.get(&part.batch).map_or(BatchLabel { year: 0, number: 0, twin: None }, |batch| batch.label);
        PartLabel { batch, letter: part.letter }
    }

    /// The parts of a batch, first first.
    pub fn parts_of<'a>(&'a self, batch: &'a Batch) -> impl Iterator<Item = (PartId, &'a Part)> {
        batch.parts.iter().filter_map(|id| self.parts.get(id).map(|part| (*id, part)))
    }

    /// True while any of a batch's parts is in a container.
    #[must_use]
    pub fn is_live(&self, batch: &Batch) -> bool {
        self.parts_of(batch).any(|(_, part)| part.is_live())
    }

    /// True while a container holds a part that was not cleared. A carrier takes its room full or empty.
    #[must_use]
    pub fn is_occupied(&self, id: ContainerId) -> bool {
        let Some(container) = self.containers.get(&id) else { return false };
        container.vessel.class == ContainerClass::Carrier && container.put_away.is_none()
            || container.parts.iter().any(|part| self.parts.get(part).is_some_and(Part::is_live))
    }

    /// The containers on a carrier.
    pub fn carried_by(&self, carrier: ContainerId) -> impl Iterator<Item = (ContainerId, &Container)> {
        self.containers
            .iter()
            .filter(move |(_, container)| container.stand == Stand::Carrier(carrier))
            .map(|(id, container)| (*id, container))
    }

    /// The container that is moved when this one is: itself, or the carrier it is on.
    #[must_use]
    pub fn outermost(&self, id: ContainerId) -> ContainerId {
        match self.containers.get(&id).map(|container| container.stand) {
            Some(Stand::Carrier(carrier)) => carrier,
            _ => id,
        }
    }

    /// The place and bench a container's home is, whether or not it is out for the day.
    #[must_use]
    pub fn home(&self, id: ContainerId) -> Option<(PlaceId, Option<BenchId>)> {
        match self.containers.get(&self.outermost(id))?.stand {
            Stand::Bench(bench) => Some((self.benches.get(&bench)?.place, Some(bench))),
            Stand::Place(place) => Some((place, None)),
            Stand::Carrier(_) => None,
        }
    }

    /// The place a container is in now: where it is out to, or its home.
    #[must_use]
    pub fn whereabouts(&self, id: ContainerId) -> Option<PlaceId> {
        // A pot may be out without the carrier that is its home.
        let out = [id, self.outermost(id)].iter().find_map(|id| self.containers.get(id)?.out);
        out.or_else(|| self.home(id).map(|(place, _)| place))
    }

    /// Where a container stands, for people: `frame/left`, `frame`, or `frame/left on crate 1`.
    #[must_use]
    pub fn standing_at(&self, id: ContainerId) -> String {
        let Some((place, bench)) = self.home(id) else { return "nowhere".to_owned() };
        let mut text = self.places.get(&place).map_or_else(String::new, |place| place.name.to_string());
        if let Some(bench) = bench.and_then(|bench| self.benches.get(&bench)) {
            text = format!("{text}/{}", bench.name);
        }
        let outer = self.outermost(id);
        if outer != id
            && let Some(called) = self.containers.get(&outer).and_then(|carrier| carrier.called.as_ref())
        {
            text = format!("{text} on {called}");
        }
        text
    }

    /// The unit a batch was sown in; `Seed` for plants bought in.
    #[must_use]
    pub const fn unit(batch: &Batch) -> SownUnit {
        match batch.beginning {
            Beginning::Sown { unit, .. } => unit,
            Beginning::Received => SownUnit::Seed,
        }
    }

    /// What a batch died of, most first.
    #[must_use]
    pub fn losses(&self, batch: &Batch) -> BTreeMap<Cause, u32> {
        let mut losses = BTreeMap::new();
        for gone in self.parts_of(batch).flat_map(|(_, part)| &part.gone) {
            if let Departure::Lost { cause, .. } = gone.how {
                *losses.entry(cause).or_insert(0) += gone.plants;
            }
        }
        losses
    }

    /// The latest height noted for a container's plants.
    #[must_use]
    pub fn noted_height(&self, id: ContainerId) -> Option<Millimetres> {
        let container = self.containers.get(&id)?;
        let parts = container.parts.iter().filter_map(|part| self.parts.get(part)).filter(|part| part.is_live());
        parts.flat_map(|part| part.stages.iter().rev().find_map(|(_, growth)| growth.height)).max()
    }

    /// True when plants came into a part by being pricked out or potted on, not merely parted from a set.
    #[must_use]
    pub const fn was_moved_on(part: &Part) -> bool {
        matches!(part.source, Source::From { how: Transfer::PrickedOut | Transfer::PottedOn, .. })
    }
}
