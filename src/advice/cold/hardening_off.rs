//! Hardening off: the next step.

use std::collections::BTreeSet;

use crate::journal::{PlaceKind, State};
use crate::quantity::{BatchLabel, CropName, Date, PlaceId};
use crate::trade::{Exposure, HardeningStep, PlantOutPlace, Source};

use super::Eve;
use super::dusk::{is_moved_tonight, quoted};
use super::going_out::{SETTLED_DAYS, is_to_be_planted, leaves_house_now};
use super::groups::Group;
use super::ladder::{BEGUN_DAYS, Ladder};
use super::slow::{bolting_is_near, carried_in_for, leads_to_bolting_by_day};
use crate::advice::exposure::{StoodDay, was_out};
use crate::advice::part::{PartAt, days_between};
use crate::advice::ready::{Step, ready_of};
use crate::advice::unheard::days_noted;
use crate::advice::why::Why;

/// The week in which days out begin it; and days after they were moved on for which plants are let be. Common practice, no
/// source.
const WEEK: usize = 7;
const MOVED_ON_DAYS: u32 = 7;

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
    // when the grower has begun it. What lives in a frame hardens there, unless it is too warm.
    if !(is_indoors || ladder.is_kept_soft()) || !(is_begun(eve, group, ladder) || is_near(eve, group, ladder)) {
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
        None => format!("{}: {}", ladder.words(), how(eve, group, step)),
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

/// What a step asks for, in words; what one walks into has a door and vents and no lid.
fn how(eve: &Eve<'_>, group: &Group, step: &HardeningStep) -> String {
    let kind = eve.state.places.get(&group.place).map(|place| place.kind);
    step.how_with(match kind {
        Some(PlaceKind::Greenhouse | PlaceKind::Tunnel) => "door and vents",
        _ => "lid",
    })
}

/// True when they were out on several days of the last week; of the last week of notes, where days went by of which nobody
/// noted anything: who was away has not given it up.
fn is_begun(eve: &Eve<'_>, group: &Group, ladder: &Ladder) -> bool {
    let began = |days: &mut dyn Iterator<Item = &StoodDay>| {
        days.take(WEEK).filter(|day| day.day_out()).count() >= BEGUN_DAYS as usize
    };
    let days = || group.days.iter().rev().filter(|day| day.day < eve.on);
    if began(&mut days()) {
        return true;
    }
    if !ladder.has_begun() || group.parts.iter().any(|part| is_let_be(eve, part)) {
        return false;
    }
    let noted: BTreeSet<Date> = days_noted(eve.state, eve.on).collect();
    began(&mut days().filter(|day| noted.contains(&day.day)))
}

/// True when a day that is past asked for plants to be put out: their schedule had come or was begun, and it was not forecast
/// to be too cold to count.
pub(super) fn was_asked_for(eve: &Eve<'_>, group: &Group, day: Date) -> bool {
    let Some((ladder, step)) = group.ladder.as_ref().and_then(|it| Some((it, it.step().or(it.steps.last())?))) else {
        return false;
    };
    let cold = eve.climates.forecast(day).is_some_and(|forecast| forecast.high < step.min_day);
    let then = Eve { on: day, hour: None, ..*eve };
    !cold && (is_begun(&then, group, ladder) || is_near(&then, group, ladder))
}

/// True for days after plants were moved on.
fn is_let_be(eve: &Eve<'_>, part: &PartAt) -> bool {
    let moved_on = eve.state.parts.get(&part.id).filter(|part| State::was_moved_on(part));
    moved_on.is_some_and(|part| days_between(part.filled, eve.on) < MOVED_ON_DAYS)
}

/// True when planting out is no further off than the schedule is long, and they have got over the last move.
fn is_near(eve: &Eve<'_>, group: &Group, ladder: &Ladder) -> bool {
    group.parts.iter().any(|part| {
        ready_of(eve.state, eve.trade, part.id, eve.on).is_some_and(|ready| {
            let until = ready.window.earliest.signed_duration_since(eve.on).num_days();
            let settled = ready.emerged.is_none_or(|emerged| days_between(emerged, eve.on) >= SETTLED_DAYS);
            ready.step == Step::PlantOut && settled && !is_let_be(eve, part) && until <= i64::from(ladder.length())
        })
    })
}

fn why(ladder: &Ladder, source: Source, group: &Group) -> Why {
    let why = Why::new(
        "a day counts toward the step when the plants were out long enough and it was neither too cold nor too warm",
    )
    .given("now", ladder.words())
    .given("hardened", group.hardened)
    .source(source)
    .practice("after two days in the house each further one undoes a fifth: a week begins the schedule again")
    .doubt("published lengths run from 3 days to 18: look at the plants")
    .changes("a day out or in, noted with `out` and `in`");
    match ladder.last {
        Some(last) => why.seen("last day that counted", "", last),
        None => why,
    }
}
