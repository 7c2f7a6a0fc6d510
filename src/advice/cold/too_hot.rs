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
    /// True where the sun made it so and has gone: under glass in the evening, and the day after.
    pub is_over: bool,
    /// What suffers there.
    pub parts: Vec<PartAt>,
    /// What to do and why.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

/// Every place whose latest reading of these two days is too hot for what is in it.
pub(super) fn too_hot(eve: &Eve<'_>, groups: &[Group]) -> Vec<TooHot> {
    eve.climates.places().keys().filter_map(|place| place_too_hot(eve, groups, *place)).collect()
}

/// What was read of a place's heat last, today or yesterday: the day, its low, and the high or the air.
fn last_read(eve: &Eve<'_>, place: PlaceId) -> Option<(Date, Option<Celsius>, Celsius)> {
    [Some(eve.on), eve.on.pred_opt()].into_iter().flatten().find_map(|day| {
        let read = eve.climates.read(place, day);
        Some((day, read.low, read.latest?))
    })
}

/// What hurts a group's plants.
pub(super) fn hurts(group: &Group) -> Celsius {
    let tender = group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
    if tender { TENDER_HURT } else { HURT }
}

/// True where the heat read last would hurt a group's plants.
pub(super) fn would_hurt(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    last_read(eve, place).is_some_and(|(.., high)| high > hurts(group))
}

pub(super) fn place_too_hot(eve: &Eve<'_>, groups: &[Group], place: PlaceId) -> Option<TooHot> {
    let (day, low, high) = last_read(eve, place)?;
    let mean = f64::midpoint(low.filter(|low| *low < high).map_or(high.0 - HOUSE_SWING, |low| low.0), high.0);
    let (mut harmed, mut parts) = (Vec::new(), Vec::new());
    let mut why = Why::new(
        "the latest high or air read today, else yesterday, against what young plants bear; the mean of that day, \
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
    let climate = eve.climates.places().get(&place)?;
    let name = climate.name.clone();
    let is_over = climate.days().is_some() && (day < eve.on || eve.at().is_past_heat());
    let when = if day == eve.on { "today" } else { "yesterday" };
    let what = match is_over {
        true => "look them over, and let air in early on the next such day",
        false => "let air in, turn it down, shade or move them",
    };
    let reason = format!("{name} was {high} {when}: {}; {what}", harmed.join(", "));
    let why = why
        .practice("young plants are hurt over 35 C, tender ones over 38 C")
        .doubt("sun on the thermometer itself reads hotter than the air")
        .changes("a cooler reading, or moving them");
    (!harmed.is_empty()).then_some(TooHot { place, name, read: high, day, is_over, parts, reason, why })
}
