//! Tonight's risk for plants in a place, and how it was come by.

use crate::quantity::{Celsius, PlaceId, Share};
use crate::science::cold_risk::{Advice, Costs, Tonight, Work, tonight};
use crate::trade::Hardiness;

use super::groups::{Floor, Group};
use super::ladder::Ladder;
use super::{Eve, LEAF_NOTE};
use crate::advice::climate::{Basis, Cover, Night};
use crate::advice::why::Why;

/// The chance from which a missing forecast is no excuse: last night's readings make it plain. Common practice.
pub(super) const PLAIN: f64 = 0.5;
/// The chance of a deadly night from which it is spoken of, and the hardening from which hardy plants count as hardened.
/// Common practice, no source.
pub(super) const SPOKEN_OF: f64 = 0.1;
const HARDENED: f64 = 0.9;
/// The chance from which nothing is called safe: all that [`odds`] calls one in six. Common practice, no source.
pub(super) const SAFE: f64 = 1.0 / 6.5;
/// Why a tender plant has another floor the day after its time than the day before. Common practice, no source.
pub(super) const LATE: &str = "past its last good day, and hardened, only what may kill it counts, in its pot as in its bed: it suffers more by waiting";

/// Why one that softened in the heat is planted all the same. Common practice, no source.
pub(super) const LATE_AND_SOFT: &str = "past its last good day, and out as long as hardening takes, only what may kill it keeps it from its bed, soft as it is: it \
     suffers more by waiting";

/// Why one past its time goes into soil that is a little too cold. Common practice, no source.
pub(super) const LATE_IN_COOL_SOIL: &str =
    "past its last good day, soil no more than 3 C too cold is no reason to wait: a crowded pot checks it as much";

/// Tonight for some plants in one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Risk {
    /// Their working floor tonight.
    pub floor: Celsius,
    /// The air's low as likely undercut as not.
    pub air_low: Celsius,
    /// The leaves' low as likely undercut as not.
    pub leaf_low: Celsius,
    /// The leaves' low undercut on one such night in ten.
    pub leaf_low_cold: Celsius,
    /// The chance, 0 to 1, that leaves fall below the floor.
    pub chance: f64,
    /// Where published tables have them dead or damaged though hardened, and the chance, 0 to 1, that leaves fall under it.
    pub death: Option<(Celsius, f64)>,
    /// The course of less expected cost.
    pub advice: Advice,
    /// True when nothing was forecast, and last night stands in.
    pub is_guess: bool,
}

/// What acting costs against a night below the working floor, by class, by how hardened the plants are, and by what acting
/// is where they stand.
///
/// A tender plant stands near its working floor for weeks, and a night under it sets it back without killing it. A
/// half-hardy one is scorched by a frost under the floor it has once hardened, a hardy one freezes through under its own;
/// until then the floors of both lie above that, and a night under them sets them back. Under glass a mat is laid in a
/// minute, and what is out for the day is carried in; fleece over what stands in the open is work, and adds a degree, so
/// there the chance has to be larger. Common practice, no source; what alarms these give over simulated springs, and the
/// years they were chosen on, is in `tests/science/cold_alarms.rs`.
#[must_use]
pub fn costs(class: Hardiness, hardened: Share, work: Work) -> Costs {
    match class {
        Hardiness::Tender => Costs::tender(work),
        _ if hardened.0 < HARDENED => Costs::soft(work),
        Hardiness::HalfHardy => Costs::half_hardy(work),
        Hardiness::Hardy | Hardiness::VeryHardy => Costs::hardy(work),
    }
}

/// A chance in plain words: `about 1 in 8`, `9 in 10`.
#[must_use]
pub fn odds(chance: f64) -> String {
    match chance {
        chance if chance.is_nan() => "not known".to_owned(),
        chance if chance < 0.01 => "under 1 in 100".to_owned(),
        chance if chance < 0.4 => format!("about 1 in {:.0}", 1.0 / chance),
        chance if chance < 0.95 => format!("about {:.0} in 10", chance * 10.0),
        _ => "nearly certain".to_owned(),
    }
}

/// The risk of a night; without a forecast only the plain case is an alarm.
pub(super) fn risk_of(night: &Night, floor: &Floor) -> Risk {
    let Tonight { chance, leaf_low, leaf_low_cold, advice } = tonight(&night.leaf, floor.now, floor.costs(night.work));
    let death = floor.death.map(|at| (at, night.leaf.below(at)));
    let is_guess = matches!(night.basis, Basis::LastNight { .. });
    let advice = if is_guess && chance < PLAIN { Advice::Leave } else { advice };
    let air_low = night.low.quantile(0.5);
    Risk { floor: floor.now, air_low, leaf_low, leaf_low_cold, chance, death, advice, is_guess }
}

impl Floor {
    /// What a night under it costs against some work.
    fn costs(&self, work: Work) -> Costs {
        costs(self.class, self.state, work)
    }
}

impl Group {
    /// True when nothing need be done about a risk, guess or not, nor would be where they can be carried, and it is under
    /// one in six: what is to be moved or covered should not be worth moving again for a degree.
    pub(super) fn is_safe(&self, risk: &Risk) -> bool {
        let carrying = |floor: Floor| floor.costs(Work::Carry).threshold();
        risk.advice == Advice::Leave && self.floor.is_some_and(|floor| risk.chance < carrying(floor).min(SAFE))
    }

    /// How much harm a risk is to be expected to do, to sort by: first what is likely to die of it, then what is likely
    /// harmed, by what that costs.
    pub(super) fn harm(&self, risk: &Risk) -> (f64, f64) {
        let dies = risk.death.map_or(0.0, |(_, chance)| chance);
        (dies, self.floor.map_or(1.0, |floor| floor.costs(Work::Carry).harm()) * risk.chance)
    }

    /// What a night under their floor does to them, in words.
    pub(super) fn what_it_does(&self, risk: &Risk) -> String {
        self.floor.map_or_else(|| "what it does to them is not known".to_owned(), |floor| floor.what_it_does(risk))
    }
}

impl Floor {
    /// Why it is what it is, where that is not its own; a few words to follow it.
    pub(super) fn late_words(&self) -> &'static str {
        if self.is_late { " (late for its bed: only what may kill counts)" } else { "" }
    }

    /// What a night under it does to plants, in words.
    pub(super) fn what_it_does(&self, risk: &Risk) -> String {
        let floor = self;
        let dies = risk.death.filter(|(_, chance)| *chance >= SPOKEN_OF);
        match (floor.class, dies) {
            (Hardiness::Tender, Some((at, chance))) if chance >= PLAIN => {
                format!("it kills them: they die at {at}")
            }
            (Hardiness::Tender, Some((at, chance))) => {
                format!("it sets them back, and {} that it kills them, under {at}", odds(chance))
            }
            (Hardiness::Tender, None) => "it sets them back, and a few degrees colder kills".to_owned(),
            (Hardiness::HalfHardy, Some((at, chance))) => {
                format!("it checks them, frost scorches, and {} that it is under {at}, which may kill", odds(chance))
            }
            (Hardiness::HalfHardy, None) => "it checks them, and frost scorches".to_owned(),
            (Hardiness::Hardy | Hardiness::VeryHardy, _) if floor.state.0 < HARDENED => {
                "frost hurts them until they are hardened".to_owned()
            }
            (Hardiness::Hardy | Hardiness::VeryHardy, _) => "under it they freeze through".to_owned(),
        }
    }
}

/// What raised and lowered the hardening, with the rule's own words for it.
fn hardening(why: Why, group: &Group) -> Why {
    let course = group.course;
    let days = |(days, by): (u32, f64)| format!("{days} days, {:.0} % in all", by * 100.0);
    let by_dryness = group.ladder.as_ref().is_some_and(Ladder::is_by_dryness);
    let raised =
        if by_dryness { "raised by days out, taken for days kept drier" } else { "raised by days out in cool air" };
    let why = if course.raised.0 > 0 { why.given(raised, days(course.raised)) } else { why };
    let why = match course.last_warm {
        Some((day, mean)) => why.given("lowered by days in warm air", days(course.lowered)).seen(
            "the last of them",
            format!("mean {mean}"),
            day,
        ),
        None => why,
    };
    let why = if by_dryness {
        why.practice("this kind hardens by less water, not by cold: how dry it was kept is not logged")
    } else {
        why
    };
    let why = match course.lowered_in {
        (0, _) => why,
        lowered => why.given("lowered by days in the house", days(lowered)),
    };
    match course.unread {
        0 => why,
        unread => why.given("days out that nobody read", unread).practice(
            "under glass, days without a reading harden what stands there no further than 70 %: the lid may have been shut",
        ),
    }
}

impl Eve<'_> {
    /// Tonight's risk for a group's plants in a place, theirs or another. What is out for the day is carried home.
    pub(super) fn risk(&self, group: &Group, place: PlaceId, cover: Cover) -> Option<Risk> {
        let night = self.tonight(place, cover)?;
        let work = if group.is_out() && place == group.place { Work::Carry } else { night.work };
        Some(risk_of(&Night { work, ..night }, group.floor.as_ref()?))
    }

    /// How tonight's risk where they stand was come by.
    pub(super) fn why(&self, group: &Group, risk: &Risk) -> Why {
        let mut why = Why::new(
            "low outside + this place's lift - what leaves lose to the sky, against the working floor at the present \
             hardening; act when the chance of harm times its cost reaches the cost of acting",
        );
        if let Some(night) = self.tonight(group.place, self.cover_now(group.place)) {
            why = match night.basis {
                Basis::Forecast { low, noted } => why.seen("low forecast outside", low, noted),
                Basis::LastNight { low, read } => why.seen("last low read outside", low, read),
                Basis::House => why.given("air", "of a house, usual for its kind and moved toward its readings"),
            };
            why = match night.evening {
                Some(read) => why.seen("air read this evening, which took the night down", read, self.on),
                None => why,
            };
            why = why.given(
                "leaves below the air",
                format!("{:.1} C likely, by the sky that the forecast's swing makes likely", night.leaf_below),
            );
        }
        if let Some(climate) = self.climates.places().get(&group.place) {
            let (lift, nights) = (climate.night_lift(), climate.nights_learnt());
            if !climate.is_outside && !climate.kind.is_indoors() {
                why = why.given(
                    "lift over outside by night",
                    format!("{:+.1} C give or take {:.1}, {nights} nights read", lift.mean, lift.sd),
                );
            }
            why = climate.sources.iter().fold(why, |why, source| why.source(source.clone()));
        }
        why = why.given("low likely in the air", risk.air_low).given("low likely at the leaf", risk.leaf_low);
        why = why.given("one night in ten under", risk.leaf_low_cold).given("chance", odds(risk.chance));
        why = hardening(why.given("hardened", group.hardened), group);
        if group.floor.is_some_and(|floor| floor.is_late) {
            why = why.practice(LATE);
        }
        if let Some(crop) = group.crop_in(self.state, self.trade) {
            if let Some(figure) = crop.working_floor() {
                why = why.figure("working floor, hardened to unhardened", &figure);
            }
            if let Some(figure) = crop.seedling_floor() {
                why = why.figure("published floor of an unhardened seedling, not used nightly", &figure);
            }
            if let Some(figure) = crop.hardened_floor() {
                why = why.figure("published damage when hardened: a death point, not a working limit", &figure);
            }
        }
        let night = self.tonight(group.place, self.cover_now(group.place)).filter(|_| !group.is_out());
        let work = night.map_or(Work::Carry, |night| night.work);
        let ratio = group.floor.map_or(0.0, |floor| floor.costs(work).threshold());
        why.given("act from a chance of", odds(ratio))
            .published("Murphy 1977, Monthly Weather Review 105: 803-816 (act when the chance reaches cost over loss)")
            .practice("what a night under the working floor costs against a mat over glass or carrying in, and in the open against fleece")
            .doubt(LEAF_NOTE)
            .changes("a newer forecast, a cover, more readings of this place, or more nights out")
    }
}
