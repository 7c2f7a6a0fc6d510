//! Heat by day under glass and film left shut.

use crate::journal::PlaceKind;
use crate::quantity::{Celsius, Date, Millilitres, Name, PlaceId};
use crate::science::heat::{Limits, ShutDay, Vent};
use crate::trade::Hardiness;

use super::Eve;
use super::groups::Group;
use super::risk::{PLAIN, odds};
use super::too_hot;
use crate::advice::exposure::StoodDay;
use crate::advice::why::Why;

/// Where nothing but tender crops stands, the air may come to this. Common practice, no source.
const TENDER_CEILING: Celsius = Celsius(32.0);
/// Cells that dry within a day in sun: under 30 mL (`assets/losses.csv`, a soil-block grower's log). So many are named.
const SMALL_CELL: Millilitres = Millilitres(30);
const NAMED: usize = 4;
/// Opening the lights is soon routine, and what is said of every day is read on none: so many such days of a week are told of.
/// Common practice, no source.
const TOLD_DAYS: usize = 2;
const WEEK: u32 = 7;

/// A place that will be too hot shut.
#[derive(Clone, Debug, PartialEq)]
pub struct Airing {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// The day.
    pub day: Date,
    /// How far to open it.
    pub vent: Vent,
    /// The high as likely passed as not, left shut.
    pub high: Celsius,
    /// The high passed on one such day in ten.
    pub high_hot: Celsius,
    /// True when it is likelier than not too hot, left shut.
    pub is_likely: bool,
    /// What to do and why.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

/// Tomorrow and today in every place under glass with plants in it: by dusk today is over. Of a spell of such days the first
/// are told, and the first that would hurt what stands there; and every one while the thermometer shows that it was left shut.
pub(super) fn airing(eve: &Eve<'_>, groups: &[Group]) -> Vec<Airing> {
    let mut rows = Vec::new();
    for day in [eve.morning(), eve.on] {
        for (place, climate) in eve.climates.places() {
            let here: Vec<&Group> = groups.iter().filter(|group| group.place == *place).collect();
            if here.is_empty() || climate.days().is_none() {
                continue;
            }
            let tender = |group: &&Group| group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
            let mut limits = climate.air;
            if here.iter().all(tender) {
                limits.never_above = Celsius(limits.never_above.0.max(TENDER_CEILING.0));
            }
            let today = if day == eve.on { so_far(eve, groups, *place, limits) } else { SoFar::NotKnown };
            let told = match today {
                SoFar::Over => None,
                SoFar::Hot(read) => Some(Told::read(eve, (*place, read), limits, &here)),
                SoFar::NotKnown => eve
                    .climates
                    .shut_day(*place, day, limits)
                    .filter(|shut| shut.vent != Vent::Shut && is_news(eve, (*place, day), shut, limits, &here))
                    .map(|shut| Told::ahead(eve, (*place, day), &shut, limits, &here)),
            };
            let Some(Told { vent, high, high_hot, is_likely, reason, why }) = told else { continue };
            let why = climate.air_sources.iter().fold(why, |why, it| why.source(it.clone()));
            let name = climate.name.clone();
            rows.push(Airing { place: *place, name, day, vent, high, high_hot, is_likely, reason, why });
        }
    }
    rows
}

/// True when a day is still to be told of: few like it went before while any of what stands in the place now stood there, or
/// it was shut and too hot when it was last read.
fn is_news(eve: &Eve<'_>, (place, day): (PlaceId, Date), shut: &ShutDay, limits: Limits, here: &[&Group]) -> bool {
    let stood = |day: Date| {
        let was = |it: &StoodDay| it.day == day && (it.night_place == Some(place) || it.out == Some(place));
        day >= eve.on || here.iter().any(|group| group.days.iter().rev().take(WEEK as usize).any(was))
    };
    let week: Vec<Date> = day.iter_days().rev().skip(1).take(WEEK as usize).filter(|day| stood(*day)).collect();
    let few = |is_like: &dyn Fn(&ShutDay) -> bool| {
        let before = week.iter().filter_map(|day| eve.climates.shut_day(place, *day, limits));
        before.filter(is_like).count() < TOLD_DAYS
    };
    let hurts = |shut: &ShutDay| here.iter().any(|group| shut.high > too_hot::hurts(group));
    let is_first = match shut.vent {
        Vent::Wide => few(&|other| other.vent == Vent::Wide),
        Vent::Prop | Vent::Shut => few(&|other| other.vent != Vent::Shut),
    };
    is_first || (hurts(shut) && few(&hurts)) || was_left_shut(eve, place, limits)
}

/// True when the highest that was last read, of today or yesterday, is over what the place is kept under, and nearer to what it
/// would be shut than to the air outside.
fn was_left_shut(eve: &Eve<'_>, place: PlaceId, limits: Limits) -> bool {
    let days = [Some(eve.on), eve.on.pred_opt()].into_iter().flatten();
    let mut read = days.filter_map(|day| Some((day, eve.climates.read(place, day).high?)));
    read.next().is_some_and(|(day, high)| {
        let shut = eve.climates.shut_day(place, day, limits).zip(eve.climates.outside_day(day));
        high > limits.never_above
            && shut.is_none_or(|(shut, outside)| high.0 > f64::midpoint(shut.high.0, outside.high().0))
    })
}

/// What today has shown of its heat.
enum SoFar {
    /// Nothing: the forecast is what is known.
    NotKnown,
    /// It is too hot there, by the latest reading.
    Hot(Celsius),
    /// Its heat is over, or was seen to, or is told of by the plants that it hurts.
    Over,
}

fn so_far(eve: &Eve<'_>, groups: &[Group], place: PlaceId, limits: Limits) -> SoFar {
    let read = eve.climates.read(place, eve.on);
    let is_hot = |read: &Celsius| *read > limits.never_above;
    let is_told = || too_hot::place_too_hot(eve, groups, place).is_some_and(|hot| hot.day == eve.on && !hot.is_over);
    match read.latest.filter(is_hot) {
        _ if eve.at().is_past_heat() || is_told() => SoFar::Over,
        Some(latest) => SoFar::Hot(latest),
        // It cooled, or the day has shown its highest. The air of a morning shows nothing.
        None if read.high.is_some() || read.hottest.as_ref().is_some_and(is_hot) => SoFar::Over,
        None => SoFar::NotKnown,
    }
}

/// How a place is opened wide, and a little: a frame has lights, what one walks into a door and vents.
const fn wide(kind: Option<PlaceKind>) -> &'static str {
    match kind {
        Some(PlaceKind::Greenhouse | PlaceKind::Tunnel) => "open door and vents wide",
        _ => "open the lights wide",
    }
}

const fn propped(kind: Option<PlaceKind>) -> &'static str {
    match kind {
        Some(PlaceKind::Greenhouse | PlaceKind::Tunnel) => "open the vents a little",
        _ => "prop the lights open",
    }
}

/// What is told of a place.
struct Told {
    vent: Vent,
    high: Celsius,
    high_hot: Celsius,
    is_likely: bool,
    reason: String,
    why: Why,
}

impl Told {
    fn ahead(eve: &Eve<'_>, (place, day): (PlaceId, Date), shut: &ShutDay, limits: Limits, here: &[&Group]) -> Self {
        let kind = eve.state.places.get(&place).map(|place| place.kind);
        let what = if shut.vent == Vent::Wide { wide(kind) } else { propped(kind) };
        // It is propped to keep it cool, though it be far from too hot.
        let kept = match shut.vent {
            Vent::Prop => format!(", and it is kept to some {}", limits.prop_from),
            _ => String::new(),
        };
        let when = if day == eve.on && eve.at().is_past_noon() { "now" } else { "by mid-morning" };
        let (high, odds, never, water) = (shut.high, odds(shut.chance_too_hot), limits.never_above, water(eve, here));
        Self {
            vent: shut.vent,
            high,
            high_hot: shut.high_hot,
            is_likely: shut.chance_too_hot >= PLAIN,
            reason: format!("{what} {when}: {high} if left shut{kept}; {odds} to pass {never}; {water}"),
            why: why(eve, day, shut, limits),
        }
    }

    fn read(eve: &Eve<'_>, (place, read): (PlaceId, Celsius), limits: Limits, here: &[&Group]) -> Self {
        let (never, water) = (limits.never_above, water(eve, here));
        let what = wide(eve.state.places.get(&place).map(|place| place.kind));
        Self {
            vent: Vent::Wide,
            high: read,
            high_hot: read,
            is_likely: true,
            reason: format!("{what} now: {read} was read today, over the {never} that they are kept under; {water}"),
            why: Why::new("the latest high or air read today, against the heat young plants stand")
                .seen("read", read, eve.on)
                .given("never above, for what stands there", never)
                .practice("where nothing but tender crops stands, up to 32 C")
                .doubt("sun on the thermometer itself reads hotter than the air")
                .changes("a cooler reading"),
        }
    }
}

/// The parts in cells so small that they dry within a sunny day.
fn thirsty(eve: &Eve<'_>, here: &[&Group]) -> Vec<String> {
    let parts = here.iter().flat_map(|group| &group.parts);
    let small = parts.filter(|part| {
        let vessel = eve.state.containers.get(&part.container).map(|container| &container.vessel);
        vessel.is_some_and(|vessel| vessel.volume.is_some_and(|volume| volume < SMALL_CELL))
    });
    small.map(|part| part.label.to_string()).collect()
}

fn water(eve: &Eve<'_>, here: &[&Group]) -> String {
    match thirsty(eve, here).as_slice() {
        [] => "look at the water: it dries faster too".to_owned(),
        few if few.len() <= NAMED => {
            format!("small cells dry within such a day, tray edges first: water {}", few.join(" "))
        }
        many => format!("small cells dry within such a day, tray edges first: water those {} twice", many.len()),
    }
}

fn why(eve: &Eve<'_>, day: Date, shut: &ShutDay, limits: Limits) -> Why {
    let why = Why::new("high outside + what a shut place adds, more in sun, against the heat young plants stand");
    let why = match eve.climates.forecast(day) {
        Some(forecast) => why.seen("high forecast outside", forecast.high, forecast.noted),
        None => why,
    };
    why.given("likely high, shut", shut.high)
        .given("one day in ten above", shut.high_hot)
        .given("prop from", limits.prop_from)
        .given("never above, for what stands there", limits.never_above)
        .practice("where nothing but tender crops stands, up to 32 C")
        .practice("how sunny it will be is read from the forecast's swing from low to high")
        .doubt("a frame is learnt only on dull days and on days it was plainly left shut")
        .changes("a newer forecast, or readings of the frame's highest")
}
