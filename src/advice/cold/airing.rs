//! Heat by day under glass and film left shut.

use crate::quantity::{Celsius, Date, Name, PlaceId};
use crate::science::heat::{ShutDay, VENT_CEILING, VENT_FROM, Vent};

use super::Eve;
use super::groups::Group;
use super::risk::odds;
use crate::advice::why::Why;

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
    /// What to do and why.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

/// Today and tomorrow in every place under glass with plants in it.
pub(super) fn airing(eve: &Eve<'_>, groups: &[Group]) -> Vec<Airing> {
    let mut rows = Vec::new();
    for day in [eve.on, eve.morning()] {
        for (place, climate) in eve.climates.places() {
            let Some(shut) = eve.climates.shut_day(*place, day) else { continue };
            if shut.vent == Vent::Shut || !groups.iter().any(|group| group.place == *place) {
                continue;
            }
            rows.push(Airing {
                place: *place,
                name: climate.name.clone(),
                day,
                vent: shut.vent,
                high: shut.high,
                high_hot: shut.high_hot,
                reason: reason(&shut),
                why: why(eve, day, &shut),
            });
        }
    }
    rows
}

fn reason(shut: &ShutDay) -> String {
    let what = if shut.vent == Vent::Wide { "open the lights wide" } else { "prop the lights open" };
    format!(
        "{what} by mid-morning: {} if left shut, {} to pass {VENT_CEILING}; it dries faster too",
        shut.high,
        odds(shut.chance_too_hot)
    )
}

fn why(eve: &Eve<'_>, day: Date, shut: &ShutDay) -> Why {
    let why = Why::new("high outside + what a shut place adds, more in sun, against the heat young plants stand");
    let why = match eve.climates.forecast(day) {
        Some(forecast) => why.seen("high forecast outside", forecast.high, forecast.noted),
        None => why,
    };
    why.given("likely high, shut", shut.high)
        .given("one day in ten above", shut.high_hot)
        .given("prop from", VENT_FROM)
        .practice("how sunny it will be is read from the forecast's swing from low to high")
        .published("National Gardening Association answer (keep a frame to about 21 C)")
        .doubt("a frame is learnt only on dull days and on days it was plainly left shut")
        .changes("a newer forecast, or readings of the frame's highest")
}
