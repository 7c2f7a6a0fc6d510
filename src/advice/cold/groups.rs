//! Plants that stand together: one batch in one place, hardened alike, with their working floor at their present hardening.

use crate::journal::State;
use crate::quantity::{BatchId, BatchLabel, Celsius, CropName, Date, Name, PartId, PlaceId, Share};
use crate::science::hardening::working_floor;
use crate::trade::{Crop, Hardiness, Trade};

use super::hardening_off::put_out_to;
use super::ladder::{Hardened, Ladder, Outdoors, climbed};
use super::planted::ground_floor;
use crate::advice::climate::Climates;
use crate::advice::exposure::{StoodDay, days_stood};
use crate::advice::part::{self, PartAt};
use crate::advice::ready::{Step, ready_of};

/// How much further on some plants of a batch may be in hardening off to be told of with the others, as the softest of them
/// are: two days of a fortnight. Common practice, no source.
const ALIKE: f64 = 0.15;

/// The lowest temperature plants should work at tonight, and what it lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Floor {
    /// At their present hardening.
    pub now: Celsius,
    /// Straight from warmth.
    pub unhardened: Celsius,
    /// Fully hardened.
    pub hardened: Celsius,
    /// The class they harden by.
    pub class: Hardiness,
    /// How hardened they are.
    pub state: Share,
    /// Where published tables have them damaged or dead though hardened: no working limit, and never above the one here.
    pub death: Option<Celsius>,
    /// True when waiting does them more harm than a night that checks them, so that it is what may kill.
    pub is_late: bool,
}

/// One batch in one place; parts of it that were hardened otherwise are a group of their own.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The batch.
    pub batch: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety.
    pub variety: Option<Name>,
    /// The place it is in now; parts out for the day are a group of their own.
    pub place: PlaceId,
    /// Its live parts there that have plants.
    pub parts: Vec<PartAt>,
    /// How hardened the softest of them is.
    pub hardened: Share,
    /// What made it so hardened.
    pub course: Hardened,
    /// Their working floor; `None` for a crop of which no limit is known.
    pub floor: Option<Floor>,
    /// How far the least advanced of them is in hardening off; `None` when there is no schedule.
    pub ladder: Option<Ladder>,
    /// Days that the softest of them has been through.
    pub days: Vec<StoodDay>,
    /// True when their time to be planted out is over.
    pub is_late: bool,
}

impl Group {
    /// Its parts as they are typed: `2026/14a 2026/14b`.
    #[must_use]
    pub fn words(&self) -> String {
        self.parts.iter().map(|part| format!("{:#}", part.label)).collect::<Vec<_>>().join(" ")
    }

    /// True when its parts are out for the day.
    #[must_use]
    pub fn is_out(&self) -> bool {
        self.parts.iter().any(|part| part.out.is_some())
    }

    /// True when another's plants may be told of with these: the same batch, in the same place, and hardened alike.
    fn takes(&self, other: &Self) -> bool {
        let together = |group: &Self| (group.batch, group.place, group.is_out(), group.is_hardened_off());
        let near = |a: Share, b: Share| (a.0 - b.0).abs() <= ALIKE;
        let climbed_alike = match (&self.ladder, &other.ladder) {
            (Some(a), Some(b)) => a.softened == b.softened && near(a.share, b.share),
            (a, b) => a.is_none() == b.is_none(),
        };
        together(self) == together(other) && near(self.hardened, other.hardened) && climbed_alike
    }

    /// True when they are hardened, or no schedule asks for it: what every page calls hardened.
    pub(super) fn is_hardened_off(&self) -> bool {
        self.ladder.as_ref().is_none_or(Ladder::is_done)
    }

    pub(super) fn crop_in<'a>(&self, state: &State, trade: &'a Trade) -> Option<&'a Crop> {
        part::crop(state, trade, state.batches.get(&self.batch)?)
    }
}

/// Every batch in every place, by place and label; those of its parts apart that were hardened otherwise.
pub(super) fn groups(state: &State, trade: &Trade, climates: &Climates) -> Vec<Group> {
    let mut each: Vec<Group> = Vec::new();
    for (id, part) in state.parts.iter().filter(|(_, part)| part.is_live() && part.standing() > 0) {
        let (Some(at), Some(batch)) = (PartAt::of(state, *id), state.batches.get(&part.batch)) else { continue };
        let Some(place) = at.place else { continue };
        let crop = part::crop(state, trade, batch);
        let days = days_stood(state, climates, part);
        let (course, ladder) =
            crop.map_or((Hardened::SOFT, None), |crop| been_through(state, trade, climates, crop, &days));
        let (crop, variety) = part::named(state, batch);
        each.push(Group {
            batch: part.batch,
            label: batch.label,
            crop,
            variety,
            place,
            parts: vec![at],
            hardened: course.now,
            course,
            floor: None,
            ladder,
            days,
            is_late: is_late(state, trade, *id, climates.on()),
        });
    }
    // What a group is said to be is that of one part: of those alike, the softest.
    each.sort_by(|a, b| a.is_hardened_off().cmp(&b.is_hardened_off()).then(a.hardened.0.total_cmp(&b.hardened.0)));
    let mut groups: Vec<Group> = Vec::new();
    for one in each {
        match groups.iter_mut().find(|known| known.takes(&one)) {
            Some(known) => known.parts.extend(one.parts),
            None => groups.push(one),
        }
    }
    for group in &mut groups {
        group.parts.sort_by_key(|part| part.id);
        group.floor = group.crop_in(state, trade).and_then(|crop| floor_of(crop, group.hardened));
        // While they are carried out and in, one figure: that of their step.
        let home = group.parts.first().and_then(|part| state.home(part.container)).map(|(place, _)| place);
        let carried = home.and_then(|home| state.places.get(&home)).is_some_and(|home| home.kind.is_indoors());
        let step = group.ladder.as_ref().and_then(Ladder::floor).filter(|_| carried);
        if let (Some(floor), Some(step)) = (&mut group.floor, step) {
            floor.now = step;
        }
        if let Some(late) = late_floor(state, trade, group) {
            group.floor = Some(late);
        }
    }
    groups.sort_by_key(|group| (group.place, group.label, group.batch, group.parts.first().map(|part| part.id)));
    groups
}

/// True when the time of a part to be planted out is over.
fn is_late(state: &State, trade: &Trade, id: PartId, on: Date) -> bool {
    ready_of(state, trade, id, on).is_some_and(|ready| ready.step == Step::PlantOut && on > ready.window.latest)
}

/// The floor of tender plants that are hardened and late for their bed: in a pot as in the ground only what may kill counts,
/// so that the evening does not carry in what the day would plant.
fn late_floor(state: &State, trade: &Trade, group: &Group) -> Option<Floor> {
    let floor = group.floor.filter(|floor| floor.class == Hardiness::Tender)?;
    let bed = ground_floor(group.crop_in(state, trade)?, group.hardened)?;
    let is_freed = group.is_late && group.is_hardened_off() && bed.now < floor.now;
    is_freed.then_some(Floor { is_late: true, ..bed })
}

/// How hardened days have made a crop, and how far up its schedule that is.
pub(super) fn been_through(
    state: &State,
    trade: &Trade,
    climates: &Climates,
    crop: &Crop,
    days: &[StoodDay],
) -> (Hardened, Option<Ladder>) {
    let outdoors = Outdoors { climates, place: put_out_to(state) };
    let class = crop.hardiness().map(|class| class.value);
    class.map_or((Hardened::SOFT, None), |class| climbed(trade.hardening(crop), class, days, &outdoors))
}

/// What a crop works down to at a state of hardening; `None` when no limit is known.
pub(super) fn floor_of(crop: &Crop, state: Share) -> Option<Floor> {
    let figure = crop.working_floor()?;
    let class = crop.hardiness()?.value;
    let (unhardened, hardened) = (figure.high, figure.low);
    let death = crop.hardened_floor().map(|figure| Celsius(figure.low.0.min(hardened.0)));
    Some(Floor {
        now: working_floor(unhardened, hardened, state),
        unhardened,
        hardened,
        class,
        state,
        death,
        is_late: false,
    })
}
