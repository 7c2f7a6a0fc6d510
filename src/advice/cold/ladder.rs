//! How hardened plants are, and how far up their schedule: one state, from which the step, the percentage, the word and
//! the floor are all read.

use crate::quantity::{Celsius, Date, PlaceId, Share};
use crate::science::day_range::DayRange;
use crate::science::hardening::{HardeningRule, harden};
use crate::trade::{Exposure, HardeningStep, Hardiness};

use crate::advice::climate::{Climates, Cover};
use crate::advice::exposure::StoodDay;

/// How hardened plants still are that are called so, once they were hardened. Common practice, no source.
pub(super) const KEEPS_HARDENED: f64 = 0.5;

/// How hardened plants are taken to be at most by days that were forecast and not read. Common practice, no source.
const UNREAD_AT_MOST: f64 = 0.7;

/// Whole days in the house on end that undo nothing, and the share that each further one undoes: after a week the schedule
/// begins again. Common practice, no source.
const DAYS_IN_FREE: u16 = 2;
const DAY_IN_UNDOES: f64 = 0.2;
/// Days out from which hardening off was begun, whatever the calendar says. Common practice, no source.
pub(super) const BEGUN_DAYS: u32 = 3;

/// The chances that leaves fell under the floor of a step from which a night in was as the evening said, and under which a
/// night out was: the ends between which the classes act (`Costs` in `science/cold_risk.rs`).
const IN_OBEYS: f64 = 1.0 / 13.0;
const OUT_OBEYS: f64 = 1.0 / 5.0;

/// What sums of shares may be short by.
const NEARLY: f64 = 1e-6;

/// What made plants as hardened as they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardened {
    /// How hardened they are.
    pub now: Share,
    /// Days that raised it, and by how much in all.
    pub raised: (u32, f64),
    /// Days in warm air that lowered it, and by how much in all.
    pub lowered: (u32, f64),
    /// The last of those, and the mean of the air on it.
    pub last_warm: Option<(Date, Celsius)>,
    /// Days in the house that lowered it, and by how much in all.
    pub lowered_in: (u32, f64),
    /// Days out that would have raised it, had anybody read a thermometer.
    pub unread: u32,
}

impl Hardened {
    /// Soft, as they come up.
    pub(super) const SOFT: Self =
        Self { now: Share(0.0), raised: (0, 0.0), lowered: (0, 0.0), last_warm: None, lowered_in: (0, 0.0), unread: 0 };
}

/// How far up its schedule a batch has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// The steps, in order.
    pub steps: Vec<HardeningStep>,
    /// The share of its days had, from which the step is read: more than how hardened they are only where nobody read.
    pub(super) share: Share,
    /// Steps done; all of them from the day the plants were hardened until they are soft again.
    pub done: usize,
    /// Days done of the step now on.
    pub days: u16,
    /// The last day that counted.
    pub last: Option<Date>,
    /// True when they were hardened once, and softened again.
    pub softened: bool,
    /// Days out in all.
    pub days_out: u32,
    /// Days out on end, to yesterday, that were too warm to harden anything.
    pub warm: u32,
    /// True from the second of those where they stand, until a day there is cool enough: carried out, they may harden.
    pub too_warm_there: bool,
    /// Days on end that they were not out, and the step they were on before, where that undid some of it.
    pub fell: Option<(u32, usize)>,
}

impl Ladder {
    /// True when they are hardened.
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
    pub(super) fn step(&self) -> Option<&HardeningStep> {
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

    /// True where they stand too warm to harden, or softened there.
    pub(super) fn is_kept_soft(&self) -> bool {
        !self.is_done() && (self.softened || self.too_warm_there)
    }

    /// True when they have had as many days of sun and wind as the schedule has, whatever the warmth took again.
    pub(super) fn has_been_out(&self) -> bool {
        self.softened || self.days_out >= u32::from(self.length())
    }

    /// `hardening step 2 of 3, day 4 of 6`, or `hardened off`; and what took days from it.
    #[must_use]
    pub fn words(&self) -> String {
        let Some(step) = self.step() else { return "hardened off".to_owned() };
        let (at, of, day) = (self.done + 1, self.steps.len(), self.days + 1);
        let again = match self.softened {
            true => "softened: harden again".to_owned(),
            false => format!("hardening step {at} of {of}"),
        };
        let why = match (self.fell, self.warm) {
            (Some((days, before)), _) if before > self.done && before < of => {
                format!(", back from step {} by {days} days not out", before + 1)
            }
            (Some((days, _)), _) => format!(", {days} days not out"),
            (None, 0) => String::new(),
            (None, 1) => ", yesterday too warm to harden".to_owned(),
            (None, days) => format!(", the last {days} days too warm to harden"),
        };
        format!("{again}, day {day} of {}{why}", step.days)
    }

    /// Days that all its steps take.
    pub(super) fn length(&self) -> u16 {
        length(&self.steps)
    }

    /// The steps that lie between soft and hardened, and how many come before them: all, but what was hardened once does its
    /// last anew.
    fn ahead(&self) -> (usize, &[HardeningStep]) {
        let before = if self.softened { self.steps.len().saturating_sub(1) } else { 0 };
        (before, self.steps.get(before..).unwrap_or_default())
    }
}

fn length(steps: &[HardeningStep]) -> u16 {
    steps.iter().map(|step| step.days).fold(0, u16::saturating_add)
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

    /// True when a day is one of a step: the plants were out by day, it was not too cold, and they spent the night as the step
    /// says for such a night. In is as good as out where it was too cold to stay.
    fn is_of(&self, step: &HardeningStep, day: &StoodDay) -> bool {
        let as_told = || {
            if day.night_out() {
                let warm = day.range.is_none_or(|range| range.low() >= step.min_night);
                return warm || self.chance(day, step).is_some_and(|chance| chance < OUT_OBEYS);
            }
            self.chance(day, step).is_none_or(|chance| chance >= IN_OBEYS)
        };
        let warm_enough = day.range.is_none_or(|range| range.high() >= step.min_day);
        day.day_out() && warm_enough && (step.exposure != Exposure::Overnight || as_told())
    }
}

/// How hardened plants are after some days, soft when they came up or came, and how far up the steps that is; no ladder where
/// there are none.
///
/// A day of the schedule adds one of its days' share, or what it adds by the exposure alone where
/// that is more; the less the warmer it was, and one too warm to harden adds nothing and takes some. Nights of which nothing is
/// known are taken for cool; but standing under glass that nobody read, or where nothing is known, hardens no further than seven
/// tenths: only the schedule goes on by it. Days in the house undo it after the second, those not that were too cold to be out.
pub(super) fn climbed(
    steps: &[HardeningStep],
    class: Hardiness,
    days: &[StoodDay],
    outdoors: &Outdoors<'_>,
) -> (Hardened, Option<Ladder>) {
    let ladder = Ladder {
        steps: steps.to_vec(),
        share: Share(0.0),
        done: 0,
        days: 0,
        last: None,
        softened: false,
        days_out: 0,
        warm: 0,
        too_warm_there: false,
        fell: None,
    };
    let mut climb = Climb { rule: rule_of(class), course: Hardened::SOFT, ladder, days_in: 0, not_out: 0, before: 0 };
    for day in days {
        match day.day_out() {
            true => climb.out(day, outdoors),
            false => climb.stays_in(day, outdoors),
        }
    }
    let ladder = (!steps.is_empty()).then_some(climb.ladder);
    (climb.course, ladder)
}

/// The sum of the days so far.
struct Climb {
    rule: HardeningRule,
    course: Hardened,
    ladder: Ladder,
    /// Days in the house on end that were fit to be out, those with the others, and the step before them.
    days_in: u16,
    not_out: u32,
    before: usize,
}

impl Climb {
    fn out(&mut self, day: &StoodDay, outdoors: &Outdoors<'_>) {
        (self.days_in, self.not_out, self.ladder.fell) = (0, 0, None);
        let by_exposure = day.exposed.0 / self.rule.days_to_harden;
        let is_of = self.ladder.step().is_none_or(|step| outdoors.is_of(step, day));
        let gain = match is_of {
            true => by_exposure.max(1.0 / f64::from(length(self.ladder.ahead().1).max(1))),
            // Carried out on a day that is none of the step: it goes on where it was.
            false if day.out.is_some() => 0.0,
            false => by_exposure,
        };
        let after = |share: f64| match day.aired {
            Some(range) => self.after(share, range, gain),
            None => (share + gain).min(1.0),
        };
        let half = KEEPS_HARDENED;
        let too_warm = day.aired.is_some_and(|range| self.after(half, range, gain.max(by_exposure)) <= half);
        let before = self.course.now.0;
        let (share, mut now) = (after(self.ladder.share.0), after(before));
        let is_known = day.out.is_some() || (day.was_read && day.range.is_some());
        if now > before && !is_known && now > UNREAD_AT_MOST {
            now = before.max(UNREAD_AT_MOST);
            self.course.unread += 1;
        }
        if now > before {
            self.course.raised = (self.course.raised.0 + 1, self.course.raised.1 + now - before);
        } else if now < before {
            self.course.lowered = (self.course.lowered.0 + 1, self.course.lowered.1 + before - now);
            self.course.last_warm = day.aired.map(|range| (day.day, range.mean()));
        }
        if share > self.ladder.share.0 {
            self.ladder.last = Some(day.day);
        }
        let ladder = &mut self.ladder;
        ladder.days_out += 1;
        ladder.warm = if too_warm { ladder.warm + 1 } else { 0 };
        if day.out.is_none() {
            ladder.too_warm_there = ladder.warm > 1 || (too_warm && ladder.too_warm_there);
        }
        self.comes_to(share, now);
    }

    fn stays_in(&mut self, day: &StoodDay, outdoors: &Outdoors<'_>) {
        if self.not_out == 0 {
            self.before = self.ladder.done;
        }
        self.not_out += 1;
        (self.ladder.warm, self.ladder.too_warm_there) = (0, false);
        let step = self.ladder.step().or(self.ladder.steps.last());
        if step.is_some_and(|step| outdoors.too_cold(day.day, step)) {
            return;
        }
        self.days_in = self.days_in.saturating_add(1);
        if self.days_in > DAYS_IN_FREE {
            let before = self.course.now.0;
            let now = less(before, DAY_IN_UNDOES);
            if now < before {
                self.course.lowered_in = (self.course.lowered_in.0 + 1, self.course.lowered_in.1 + before - now);
            }
            self.comes_to(less(self.ladder.share.0, DAY_IN_UNDOES), now);
        }
        // A day or two in a frame were no beginning to fall back from.
        if self.ladder.has_begun() && self.ladder.days_out >= BEGUN_DAYS && self.days_in > DAYS_IN_FREE {
            self.ladder.fell = Some((self.not_out, self.before));
        }
    }

    /// The share after a day that adds so much where it is cool.
    fn after(&self, share: f64, range: DayRange, gain: f64) -> f64 {
        match gain > 0.0 {
            true => harden(Share(share), range, Share(1.0), &HardeningRule { days_to_harden: 1.0 / gain, ..self.rule }),
            false => harden(Share(share), range, Share(0.0), &self.rule),
        }
        .0
    }

    /// Reads the step from the state.
    fn comes_to(&mut self, share: f64, now: f64) {
        let ladder = &mut self.ladder;
        (ladder.share, self.course.now) = (Share(share), Share(now));
        if share >= 1.0 - NEARLY {
            (ladder.done, ladder.days, ladder.softened) = (ladder.steps.len(), 0, false);
            return;
        }
        if ladder.is_done() {
            if now >= KEEPS_HARDENED {
                return;
            }
            (ladder.share, ladder.softened) = (Share(now), true);
        }
        let (before, steps) = ladder.ahead();
        let (done, days) = at(steps, ladder.share.0);
        (ladder.done, ladder.days) = (before + done, days);
    }
}

/// Steps done, and days of the next, at a share of all their days.
fn at(steps: &[HardeningStep], share: f64) -> (usize, u16) {
    let mut days = share * f64::from(length(steps)) + NEARLY;
    for (done, step) in steps.iter().enumerate() {
        if days < f64::from(step.days) {
            return (done, (0..step.days).rfind(|day| f64::from(*day) <= days).unwrap_or(0));
        }
        days -= f64::from(step.days);
    }
    (steps.len(), 0)
}

fn less(share: f64, by: f64) -> f64 {
    let left = share - by;
    if left < NEARLY { 0.0 } else { left }
}

fn rule_of(class: Hardiness) -> HardeningRule {
    match class {
        Hardiness::Tender => HardeningRule::TENDER,
        Hardiness::HalfHardy => HardeningRule::HALF_HARDY,
        Hardiness::Hardy | Hardiness::VeryHardy => HardeningRule::HARDY,
    }
}
