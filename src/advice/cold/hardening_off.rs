//! Hardening off: how far up its schedule a batch has come, and the next step.

use crate::journal::{PlaceKind, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, PlaceId};
use crate::trade::{Exposure, HardeningStep, PlantOutPlace, Source};

use super::Eve;
use super::dusk::{is_moved_tonight, quoted};
use super::going_out::{SETTLED_DAYS, is_to_be_planted, leaves_house_now};
use super::groups::Group;
use super::slow::{bolting_is_near, carried_in_for, leads_to_bolting_by_day};
use crate::advice::climate::{Climates, Cover};
use crate::advice::due::last_noted;
use crate::advice::exposure::{StoodDay, was_out};
use crate::advice::part::{PartAt, days_between};
use crate::advice::ready::{Step, ready_of};
use crate::advice::why::Why;

/// Whole days in the house on end after which the schedule begins again. Common practice, no source.
const DAYS_IN_UNDO: u16 = 7;

/// Days of the last week put out from which the grower has begun, whatever the calendar says; and days after they were
/// moved on for which plants are let be. Common practice, no source.
const BEGUN_DAYS: usize = 3;
const WEEK: usize = 7;
const MOVED_ON_DAYS: u32 = 7;

/// Days without a note after which the steps of hardening off are one line. Common practice, no source.
const DAYS_AWAY: u32 = 4;

/// The chances that leaves fell under the floor of a step from which a night in was as the evening said, and under which a
/// night out was: the ends between which the classes act (`Costs` in `science/cold_risk.rs`).
const IN_OBEYS: f64 = 1.0 / 13.0;
const OUT_OBEYS: f64 = 1.0 / 5.0;

/// How far up its schedule a batch has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// The steps, in order.
    pub steps: Vec<HardeningStep>,
    /// Steps done.
    pub done: usize,
    /// Days done of the step now on.
    pub days: u16,
    /// The last day that counted.
    pub last: Option<Date>,
    /// True when all were done once, and its plants softened again.
    pub softened: bool,
}

/// The weather that a schedule is climbed in.
pub(super) struct Outdoors<'a> {
    pub(super) climates: &'a Climates,
    /// Where plants are put out to, for days of which nothing says where.
    pub(super) place: Option<PlaceId>,
}

impl Outdoors<'_> {
    /// The chance, as it was forecast, that leaves would fall under the floor of a step in the night after a day out;
    /// `None` when nothing was forecast, and the evening said in.
    fn chance(&self, day: &StoodDay, step: &HardeningStep) -> Option<f64> {
        let place = day.out.or(day.night_place).or(self.place)?;
        let night = self.climates.night(place, day.day.succ_opt()?, Cover::Off)?;
        Some(night.leaf.below(step.min_night))
    }

    /// True when a day was too cold to be out, as far as anybody knows.
    fn too_cold(&self, day: Date, step: &HardeningStep) -> bool {
        self.climates.outside_day(day).is_some_and(|range| range.high() < step.min_day)
    }
}

impl Ladder {
    /// Climbs a schedule day by day; `None` when there is none. A day counts when the plants were out by day, it was not too
    /// cold, and they spent the night as the step says for such a night: in is as good as out where it was too cold to
    /// stay. Others neither count nor undo, but a week in the house on days fit to be out begins it again, until it is
    /// done: from then on warm days undo what it did.
    #[must_use]
    pub(super) fn climbed(steps: &[HardeningStep], days: &[StoodDay], outdoors: &Outdoors<'_>) -> Option<Self> {
        if steps.is_empty() {
            return None;
        }
        let mut ladder = Self { steps: steps.to_vec(), done: 0, days: 0, last: None, softened: false };
        let mut days_in: u16 = 0;
        for day in days {
            let Some(step) = ladder.step() else { break };
            days_in = match day.day_out() {
                true => 0,
                false if outdoors.too_cold(day.day, step) => days_in,
                false => days_in.saturating_add(1),
            };
            if days_in >= DAYS_IN_UNDO {
                ladder = Self { done: 0, days: 0, last: None, ..ladder };
            }
            ladder.count(day, outdoors);
        }
        Some(ladder)
    }

    /// The last step of a schedule done anew by days since its plants softened.
    #[must_use]
    pub(super) fn again<'a>(self, days: impl Iterator<Item = &'a StoodDay>, outdoors: &Outdoors<'_>) -> Self {
        let done = self.steps.len().saturating_sub(1);
        let mut ladder = Self { done, days: 0, last: None, softened: true, ..self };
        days.for_each(|day| ladder.count(day, outdoors));
        ladder
    }

    fn count(&mut self, day: &StoodDay, outdoors: &Outdoors<'_>) {
        let Some(step) = self.steps.get(self.done) else { return };
        let warm_enough = day.range.is_none_or(|range| range.high() >= step.min_day);
        let as_told = || {
            if day.night_out() {
                let warm = day.range.is_none_or(|range| range.low() >= step.min_night);
                return warm || outdoors.chance(day, step).is_some_and(|chance| chance < OUT_OBEYS);
            }
            outdoors.chance(day, step).is_none_or(|chance| chance >= IN_OBEYS)
        };
        if day.day_out() && warm_enough && (step.exposure != Exposure::Overnight || as_told()) {
            self.days += 1;
            self.last = Some(day.day);
            if self.days >= step.days {
                self.done += 1;
                self.days = 0;
            }
        }
    }

    /// True when every step is done.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.done >= self.steps.len()
    }

    /// True when any day has counted.
    #[must_use]
    pub fn has_begun(&self) -> bool {
        self.last.is_some()
    }

    /// The step now on; `None` when all are done.
    fn step(&self) -> Option<&HardeningStep> {
        self.steps.get(self.done)
    }

    /// What the step now on asks for; `None` when all are done.
    #[must_use]
    pub fn exposure(&self) -> Option<Exposure> {
        self.step().map(|step| step.exposure)
    }

    /// The least night of a step that has come to nights: the floor by which the evening calls plants in meanwhile.
    #[must_use]
    pub(super) fn floor(&self) -> Option<Celsius> {
        self.step().filter(|step| self.has_begun() && step.exposure == Exposure::Overnight).map(|step| step.min_night)
    }

    /// The day on which the last step was done.
    #[must_use]
    pub(super) fn done_on(&self) -> Option<Date> {
        self.last.filter(|_| self.is_done())
    }

    /// True for kinds that harden by less water, not by cold.
    #[must_use]
    pub(super) fn is_by_dryness(&self) -> bool {
        self.steps.iter().any(|step| step.how.contains("less water"))
    }

    /// Least night of the step now on; of the last one when all are done.
    #[must_use]
    pub fn min_night(&self) -> Celsius {
        self.step().or(self.steps.last()).map_or(Celsius(0.0), |step| step.min_night)
    }

    /// `hardening step 2 of 3, day 4 of 6`, or `hardened off`.
    #[must_use]
    pub fn words(&self) -> String {
        match self.step() {
            None => "hardened off".to_owned(),
            Some(step) if self.softened => {
                format!("softened: harden again, day {} of {}", self.days + 1, step.days)
            }
            Some(step) => format!(
                "hardening step {} of {}, day {} of {}",
                self.done + 1,
                self.steps.len(),
                self.days + 1,
                step.days
            ),
        }
    }

    /// How far it has come, to compare by.
    #[must_use]
    pub(super) fn progress(&self) -> (usize, u16) {
        (self.done, self.days)
    }

    /// Days that all its steps take.
    fn length(&self) -> u16 {
        self.steps.iter().map(|step| step.days).fold(0, u16::saturating_add)
    }
}

/// The next step for plants that live in a house.
#[derive(Clone, Debug, PartialEq)]
pub struct HardeningRow {
    /// The number of their batch.
    pub label: BatchLabel,
    /// Their crop.
    pub crop: CropName,
    /// The parts.
    pub parts: Vec<PartAt>,
    /// How far they have come.
    pub ladder: Ladder,
    /// Why today does not count, if it does not: too cold a day, or where it has come to nights, too cold a night.
    pub interrupted: Option<String>,
    /// What to do and why.
    pub reason: String,
    /// The frame or house of glass that they may move to for good, which is as good as carrying them out and in.
    pub for_good: Option<PlaceId>,
    /// The words that put them out, or move them there; `None` when the day is too cold, or when they are out.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// The place plants are put out to for the day: sheltered ground, else a frame.
pub(super) fn outing(eve: &Eve<'_>) -> Option<PlaceId> {
    put_out_to(eve.state)
}

pub(super) fn put_out_to(state: &State) -> Option<PlaceId> {
    let of = |kind| state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    of(PlaceKind::StandingGround).or_else(|| of(PlaceKind::ColdFrame)).or_else(|| of(PlaceKind::Plot))
}

/// After days away, of several batches that had begun to harden off: one line in place of their steps.
pub(super) fn catch_up(eve: &Eve<'_>, rows: &[HardeningRow]) -> Option<String> {
    let batches = rows.iter().filter(|row| row.ladder.has_begun()).count();
    let away = last_noted(eve.state, eve.on).map_or(0, |last| days_between(last, eve.on));
    (away >= DAYS_AWAY && batches > 1).then(|| {
        format!("catch up: nothing was noted for {away} days, so {batches} batches may be further on in hardening off than the log")
    })
}

/// The steps of plants whose home is a house: begun ones, and those whose time to plant out comes near.
pub(super) fn rows(eve: &Eve<'_>, groups: &[Group]) -> Vec<HardeningRow> {
    groups.iter().filter_map(|group| row(eve, group)).collect()
}

/// The step of one group.
pub(super) fn row(eve: &Eve<'_>, group: &Group) -> Option<HardeningRow> {
    let ladder = group.ladder.as_ref()?;
    let home = group.parts.first().and_then(|part| eve.state.home(part.container))?.0;
    let is_indoors = eve.state.places.get(&home)?.kind.is_indoors();
    // One outing begins nothing: the schedule is spoken of when its days, counted back from planting out, have come, or
    // when the grower has begun it. What lives in a frame hardens there, until it softens.
    let is_softened = ladder.softened && !group.is_hardened_off();
    if !(is_indoors || is_softened) || !(is_begun(group) || is_near(eve, group, ladder)) {
        return None;
    }
    let outing = outing(eve);
    // Cold that makes a kind bolt hardens nothing.
    if bolting_is_near(eve, group) || outing.is_some_and(|place| leads_to_bolting_by_day(eve, group, place)) {
        return None;
    }
    // What may be planted today is not put out for the day as well.
    if is_to_be_planted(eve, group) {
        return None;
    }
    let step = ladder.step().or(ladder.steps.last())?;
    let high = eve.climates.forecast(eve.on).map(|forecast| forecast.high);
    let under_cover = group.crop_in(eve.state, eve.trade)?.plant_out_place();
    if under_cover.is_some_and(|place| place.value == PlantOutPlace::UnderCover) && !ladder.has_begun() {
        return None;
    }
    let cold_day = high.filter(|high| *high < step.min_day).map(|high| {
        format!("today does not count: {high} at most, and a day counts from {}; it goes on where it was", step.min_day)
    });
    if cold_day.is_some() && !ladder.has_begun() {
        return None;
    }
    let cold_night = outing.filter(|_| step.exposure == Exposure::Overnight).and_then(|place| {
        let low = eve.tonight(place, eve.cover_now(place))?.low.quantile(0.5);
        (low < step.min_night).then(|| {
            format!(
                "not tonight: {low} likely, and a night counts from {}; out by day only, and it goes on where it was",
                step.min_night
            )
        })
    });
    let stays_in = cold_day.is_some();
    let interrupted = cold_day.or(cold_night);
    let reason = match &interrupted {
        Some(wait) => format!("{}: {wait}", ladder.words()),
        // The dusk page calls it in for the same reason.
        None if ladder.is_done() && ladder.is_by_dryness() => {
            let place = if group.is_out() { Some(group.place) } else { outing };
            match place.is_some_and(|place| carried_in_for(eve, group, place).is_some()) {
                true => format!("{}: out by day, in at night while cold nights make it bolt", ladder.words()),
                false => format!("{}: out until it is planted", ladder.words()),
            }
        }
        None if ladder.is_done() => format!("{}: out until it is planted, or it softens again", ladder.words()),
        None => format!("{}: {}", ladder.words(), step.how),
    };
    // Late in the day nothing goes out any more.
    if eve.at().is_late() && !group.is_out() {
        return None;
    }
    // Who was out today and is in again has had its day.
    let has_been = group.parts.iter().any(|part| was_out(eve.state, part.container, eve.on));
    let doing = outing.filter(|_| !stays_in && !group.is_out() && !has_been);
    // What lives in a frame hardens again in the open, where there is room for it to stand.
    let is_ground = |place: &PlaceId| {
        let kind = eve.state.places.get(place).map(|place| place.kind);
        kind == Some(PlaceKind::StandingGround) && *place != home && !is_moved_tonight(eve, group)
    };
    let doing = doing.filter(|place| is_indoors || is_ground(place));
    let doing = doing.map(|place| format!("out {} {}", group.words(), quoted(&eve.name(place))));
    // What may go to a frame for good is not carried there and back.
    let for_good = leaves_house_now(eve, group);
    let reason = match &for_good {
        Some(row) => format!("{reason}; it may go to {} for good", eve.name(row.to)),
        None => reason,
    };
    Some(HardeningRow {
        label: group.label,
        crop: group.crop.clone(),
        parts: group.parts.clone(),
        ladder: ladder.clone(),
        interrupted,
        reason,
        for_good: for_good.as_ref().map(|row| row.to),
        doing: for_good.and_then(|row| row.doing).or(doing),
        why: why(ladder, step.source.clone(), group),
    })
}

/// True when they were out on several days of the last week.
fn is_begun(group: &Group) -> bool {
    group.days.iter().rev().take(WEEK).filter(|day| day.day_out()).count() >= BEGUN_DAYS
}

/// True when planting out is no further off than the schedule is long, and they have got over the last move.
fn is_near(eve: &Eve<'_>, group: &Group, ladder: &Ladder) -> bool {
    group.parts.iter().any(|part| {
        ready_of(eve.state, eve.trade, part.id, eve.on).is_some_and(|ready| {
            let until = ready.window.earliest.signed_duration_since(eve.on).num_days();
            let settled = ready.emerged.is_none_or(|emerged| days_between(emerged, eve.on) >= SETTLED_DAYS);
            let moved_on = eve.state.parts.get(&part.id).filter(|part| State::was_moved_on(part));
            let let_be = moved_on.is_some_and(|part| days_between(part.filled, eve.on) < MOVED_ON_DAYS);
            ready.step == Step::PlantOut && settled && !let_be && until <= i64::from(ladder.length())
        })
    })
}

fn why(ladder: &Ladder, source: Source, group: &Group) -> Why {
    let why = Why::new("a day counts toward the step when the plants were out long enough and it was not too cold")
        .given("now", ladder.words())
        .given("hardened", group.hardened)
        .source(source)
        .practice("a week in the house begins the schedule again")
        .doubt("published lengths run from 3 days to 18: look at the plants")
        .changes("a day out or in, noted with `out` and `in`");
    match ladder.last {
        Some(last) => why.seen("last day that counted", "", last),
        None => why,
    }
}
