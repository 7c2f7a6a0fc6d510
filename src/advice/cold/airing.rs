//! Heat by day under glass and film left shut.

use crate::quantity::{Celsius, Date, Millilitres, Name, PlaceId};
use crate::science::heat::{Limits, ShutDay, Vent};
use crate::trade::Hardiness;

use super::Eve;
use super::groups::Group;
use super::risk::{PLAIN, odds};
use crate::advice::why::Why;

/// Where nothing but tender crops stands, the air may come to this. Common practice, no source.
const TENDER_CEILING: Celsius = Celsius(32.0);
/// Cells that dry within a day in sun: under 30 mL (`assets/losses.csv`, a soil-block grower's log). So many are named.
const SMALL_CELL: Millilitres = Millilitres(30);
const NAMED: usize = 4;

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

/// Tomorrow and today in every place under glass with plants in it: by dusk today is over.
pub(super) fn airing(eve: &Eve<'_>, groups: &[Group]) -> Vec<Airing> {
    let mut rows = Vec::new();
    for day in [eve.morning(), eve.on] {
        for (place, climate) in eve.climates.places() {
            let here: Vec<&Group> = groups.iter().filter(|group| group.place == *place).collect();
            let tender = |group: &&Group| group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
            let mut limits = climate.air;
            if here.iter().all(tender) {
                limits.never_above = Celsius(limits.never_above.0.max(TENDER_CEILING.0));
            }
            let Some(shut) = eve.climates.shut_day(*place, day, limits) else { continue };
            // Once today's highest was read there, the day has shown what it came to.
            let is_over = day == eve.on && eve.climates.read(*place, day).high.is_some();
            if shut.vent == Vent::Shut || here.is_empty() || is_over {
                continue;
            }
            rows.push(Airing {
                place: *place,
                name: climate.name.clone(),
                day,
                vent: shut.vent,
                high: shut.high,
                high_hot: shut.high_hot,
                is_likely: shut.chance_too_hot >= PLAIN,
                reason: reason(&shut, limits, &thirsty(eve, &here)),
                why: climate.air_sources.iter().fold(why(eve, day, &shut, limits), |why, it| why.source(it.clone())),
            });
        }
    }
    rows
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

fn reason(shut: &ShutDay, limits: Limits, thirsty: &[String]) -> String {
    let water = match thirsty {
        [] => "look at the water: it dries faster too".to_owned(),
        few if few.len() <= NAMED => {
            format!("small cells dry within such a day, tray edges first: water {}", few.join(" "))
        }
        many => format!("small cells dry within such a day, tray edges first: water those {} twice", many.len()),
    };
    let what = if shut.vent == Vent::Wide { "open the lights wide" } else { "prop the lights open" };
    format!(
        "{what} by mid-morning: {} if left shut, {} to pass {}; {water}",
        shut.high,
        odds(shut.chance_too_hot),
        limits.never_above
    )
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
