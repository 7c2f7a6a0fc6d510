//! Heat that was read: places hotter than what stands or was sown there bears.

use crate::quantity::{Celsius, Date, Name, PlaceId};
use crate::trade::Hardiness;

use super::Eve;
use super::groups::Group;
use crate::advice::part::{self, PartAt};
use crate::advice::usual_climate::HOUSE_SWING;
use crate::advice::why::Why;

/// Air that hurts young plants however short: tender ones, and all others. Common practice, no source.
const TENDER_HURT: Celsius = Celsius(38.0);
const HURT: Celsius = Celsius(35.0);

/// A place that was read too hot yesterday or today.
#[derive(Clone, Debug, PartialEq)]
pub struct TooHot {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// The highest read.
    pub read: Celsius,
    /// The day it was read.
    pub day: Date,
    /// True where it is so no longer as far as is known: read cooler since, under glass in the evening, and the day after.
    pub is_over: bool,
    /// What suffers there.
    pub parts: Vec<PartAt>,
    /// What to do and why.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

impl TooHot {
    /// `frame was 41.0 C today: look over 1a`.
    #[must_use]
    pub fn in_short(&self, on: Date) -> String {
        let labels: Vec<String> = self.parts.iter().map(|part| part.label.to_string()).collect();
        let when = if self.day == on { "today" } else { "yesterday" };
        let what = if self.is_over { "look over" } else { "cool" };
        format!("{} was {} {when}: {what} {}", self.name, self.read, labels.join(" "))
    }
}

/// Every place that was read too hot for what is in it, today or yesterday.
pub(super) fn too_hot(eve: &Eve<'_>, groups: &[Group]) -> Vec<TooHot> {
    eve.climates.places().keys().filter_map(|place| place_too_hot(eve, groups, *place)).collect()
}

/// What was read of a place on a day.
struct Read {
    day: Date,
    low: Option<Celsius>,
    /// The highest of all that was read.
    high: Celsius,
    /// What was read last.
    last: Celsius,
}

/// What was read of a place's heat today and yesterday.
fn read(eve: &Eve<'_>, place: PlaceId) -> impl Iterator<Item = Read> {
    [Some(eve.on), eve.on.pred_opt()].into_iter().flatten().filter_map(move |day| {
        let read = eve.climates.read(place, day);
        Some(Read { day, low: read.low, high: read.hottest?, last: read.latest? })
    })
}

/// What hurts a group's plants.
pub(super) fn hurts(group: &Group) -> Celsius {
    let tender = group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
    if tender { TENDER_HURT } else { HURT }
}

/// True where the heat read last would hurt a group's plants.
pub(super) fn would_hurt(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    read(eve, place).next().is_some_and(|read| read.last > hurts(group))
}

/// The heat of today, else of yesterday. The sun's goes of itself, and what it did is told until the evening after; a heater's
/// stays until it is read cooler.
pub(super) fn place_too_hot(eve: &Eve<'_>, groups: &[Group], place: PlaceId) -> Option<TooHot> {
    let climate = eve.climates.places().get(&place)?;
    let has_sun = climate.days().is_some();
    let mut days = read(eve, place).take(if has_sun { 2 } else { 1 });
    let (read, Harm { words, parts, why }) = days.find_map(|read| {
        let harm = harm(eve, groups, place, (read.day, read.low, read.high));
        (!harm.words.is_empty()).then_some((read, harm))
    })?;
    let Read { day, low, high, last } = read;
    let cooled = last < high && harm(eve, groups, place, (day, low, last)).words.is_empty();
    let is_over = cooled || day < eve.on || (has_sun && eve.at().is_past_heat());
    let name = climate.name.clone();
    let when = if day == eve.on { "today" } else { "yesterday" };
    let what = match (is_over, has_sun) {
        (true, true) => "look them over, and let air in early on the next such day",
        // A heater that ran wild yesterday may do so still: nobody has looked.
        (true, false) if day < eve.on => "look them over, and at the thermometer: turn it down if it is so still",
        (true, false) => "look them over",
        (false, _) => "let air in, turn it down, shade or move them",
    };
    let reason = format!("{name} was {high} {when}: {}; {what}", words.join(", "));
    let why = why
        .practice("young plants are hurt over 35 C, tender ones over 38 C")
        .doubt("sun on the thermometer itself reads hotter than the air")
        .changes("a cooler reading, or moving them");
    Some(TooHot { place, name, read: high, day, is_over, parts, reason, why })
}

/// What heat does.
struct Harm {
    words: Vec<String>,
    parts: Vec<PartAt>,
    why: Why,
}

/// What a day of a high, and of a low where it was read, does to what is in a place.
fn harm(eve: &Eve<'_>, groups: &[Group], place: PlaceId, (day, low, high): (Date, Option<Celsius>, Celsius)) -> Harm {
    let mean = f64::midpoint(low.filter(|low| *low < high).map_or(high.0 - HOUSE_SWING, |low| low.0), high.0);
    let (mut harmed, mut parts) = (Vec::new(), Vec::new());
    let mut why = Why::new(
        "the highest read today, else yesterday, against what young plants bear; the mean of that day, \
         against what seed still comes up at",
    )
    .seen("read", high, day);
    for (id, live) in
        eve.state.parts.iter().filter(|(_, live)| live.is_live() && live.is_sown() && live.standing() == 0)
    {
        let batch = eve.state.batches.get(&live.batch);
        let crop = batch.and_then(|batch| part::crop(eve.state, eve.trade, batch));
        let hottest = crop.and_then(crate::trade::Crop::germination_maximum);
        let (Some(crop), Some(hottest)) = (crop, hottest) else { continue };
        let here = eve.state.whereabouts(live.container) == Some(place) && live.left() == 0;
        if let (true, Some(at)) = (here && mean > hottest.high.0, PartAt::of(eve.state, *id)) {
            harmed.push(format!("{} {} sown there fails over {}", at.label, crop.key(), hottest.high));
            why = why.figure("seed comes up to", &hottest);
            parts.push(at);
        }
    }
    for group in groups.iter().filter(|group| group.place == place) {
        let line = hurts(group);
        if high > line {
            let labels: Vec<String> = group.parts.iter().map(|part| part.label.to_string()).collect();
            harmed.push(format!("{} {} is hurt over {line}", labels.join(" "), group.crop));
            parts.extend(group.parts.iter().cloned());
        }
    }
    Harm { words: harmed, parts, why }
}
