//! Covers that come off: by day for light and air, and on nights that are mild enough without.

use crate::quantity::{Date, Name, PlaceId};

use super::Eve;
use super::dusk::quoted;
use super::groups::Group;
use super::planted;
use crate::advice::climate::{Cover, covered};
use crate::advice::why::Why;
use crate::science::heat::Vent;

/// A cover that comes off.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncover {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// Why, and whether it goes on again tonight.
    pub reason: String,
    /// The words that do it.
    pub doing: String,
    /// How it was come by.
    pub why: Why,
}

/// Covers that come off: by day every one, as today's work has it; in the evening, and where the day is not today, those
/// that may be off tonight.
pub(super) fn uncover(eve: &Eve<'_>, groups: &[Group]) -> Vec<Uncover> {
    match eve.hour {
        Some(_) if !eve.at().is_late() => lain(eve, groups).into_iter().map(|(row, _)| row).collect(),
        _ => mild(eve, groups).collect(),
    }
}

/// Covers that may be off tonight. One that tonight is counted on, or of whose night nothing is known, is no work for the
/// evening.
pub(super) fn mild(eve: &Eve<'_>, groups: &[Group]) -> impl Iterator<Item = Uncover> {
    lain(eve, groups).into_iter().filter(|(_, mild)| *mild).map(|(row, _)| row)
}

/// Every cover that was on last night and has not been touched today, and whether tonight is mild enough without it.
pub(super) fn lain(eve: &Eve<'_>, groups: &[Group]) -> Vec<(Uncover, bool)> {
    let places = eve.climates.places().iter();
    let lain = places.filter(|(place, _)| eve.cover_now(**place) == Cover::On && lay_last_night(eve, **place));
    lain.map(|(place, climate)| {
        let here = || groups.iter().filter(|group| group.place == *place);
        let bare = planted::stand_bare(eve, *place);
        let known = here().all(|group| eve.risk(group, *place, Cover::Off).is_some());
        let mild = here().all(|group| {
            eve.risk(group, *place, Cover::Off).is_some_and(|risk| group.is_safe(&risk) && !risk.is_guess)
        });
        let tonight = match (known, mild && bare) {
            (true, true) => "tonight is mild enough without it",
            (true, false) => "lay it again before dusk",
            (false, _) => "of tonight nothing is known yet",
        };
        let heat = eve.climates.shut_day(*place, eve.on, climate.air).filter(|shut| shut.vent != Vent::Shut);
        let heat = heat.map_or_else(String::new, |shut| format!(" ({} inside if left shut)", shut.high));
        let row = Uncover {
            place: *place,
            name: climate.name.clone(),
            reason: match eve.at().is_late() {
                true => tonight.to_owned(),
                false => format!("the cover comes off for the day, for light and air{heat}; {tonight}"),
            },
            doing: format!("cover {} off", quoted(&climate.name.to_string())),
            why: Why::new("a cover that was on last night and has not been touched today")
                .practice("covers come off by day: plants in the dark are drawn, and shut in they cook")
                .doubt("in a hard frost that lasts all day it stays on")
                .changes("`cover PLACE off`, or on again before dusk"),
        };
        (row, known && mild && bare)
    })
    .collect()
}

/// True when a cover that is on comes off for the day: by day, one that was on last night.
pub(super) fn comes_off_by_day(eve: &Eve<'_>, place: PlaceId) -> bool {
    eve.hour.is_some() && !eve.at().is_late() && lay_last_night(eve, place)
}

/// True when the cover was on at the end of yesterday and nothing was said of it today.
fn lay_last_night(eve: &Eve<'_>, place: PlaceId) -> bool {
    let yesterday: Option<Date> = eve.on.pred_opt();
    let touched = eve.state.covers.iter().any(|(day, of, _)| *of == place && *day == eve.on);
    !touched && yesterday.is_some_and(|yesterday| covered(eve.state, place, yesterday))
}
