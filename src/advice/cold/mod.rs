//! Tonight and the days ahead: what comes in, what is covered, what may stay; heat by day; hardening off; what may go
//! out. Three kinds of cold are kept apart: tonight's working floor, the dose that makes a crop bolt, and growth
//! checked.

mod act;
mod airing;
mod away;
mod covers;
mod day;
mod dusk;
mod frosts;
mod going_out;
mod groups;
mod hardening_off;
mod ladder;
mod nights;
mod place;
mod planted;
mod planting;
mod risk;
mod size;
mod slow;
mod tonight;
mod too_hot;

use std::borrow::Cow;

use crate::journal::{Bench, PlaceKind, Stand, State, Vessel};
use crate::quantity::{BatchId, BenchId, ContainerId, Date, Moment, Name, PlaceId, SquareMillimetres};
use crate::science::cold_risk::Advice;
use crate::trade::Trade;

pub use act::{harmed_tonight, sown_too_cold, tonight_after};
pub use airing::Airing;
pub use covers::Uncover;
pub(super) use dusk::quoted;
pub use dusk::{Dusk, DuskMove};
pub use frosts::LastFrosts;
pub use going_out::{GoingOut, ToFrame};
pub use groups::{Floor, Group};
pub use hardening_off::HardeningRow;
pub use ladder::{Hardened, Ladder};
pub use nights::{NightAhead, NightWord, NightsAhead};
pub use place::{Known, LearntLift, LiftOf, PlaceDay, PlaceNight, PlaceView, StandsThere, place_views};
pub use planted::{PlantedOut, WATCHED_DAYS, in_the_ground};
pub use planting::too_early;
pub use risk::{Risk, costs, odds};
pub use slow::{SlowCold, SlowKind};
pub use tonight::{PlaceTonight, Verdict};
pub use too_hot::TooHot;

pub(super) use day::{ByDay, Day, DayWork, IntoLight};

use super::climate::{Climates, Cover, Night};
use super::part::{PartAt, after, days_between};
use super::room::bench_room;
use super::stand::goes_on;
use groups::groups;
use risk::SPOKEN_OF;

/// Said beside every "safe": a forecast is for a weather screen, and leaves under an open sky are colder.
pub const LEAF_NOTE: &str =
    "a screen is not a leaf: on a clear still night grass can be 4 to 5 C colder than the forecast";

/// Tonight and the days ahead.
#[derive(Clone, Debug, PartialEq)]
pub struct Cold {
    /// The day asked about; tonight is the night after it.
    pub on: Date,
    /// Every place with plants in it, the worst first.
    pub places: Vec<PlaceTonight>,
    /// Places where seed stands and nothing is up yet: nothing there is watched.
    pub seed_only: Vec<Name>,
    /// Before dusk: what moves, and what may stay out, the most urgent first.
    pub dusk: Vec<Dusk>,
    /// Beds planted out lately that want a fleece, or whose cover is on and will not do, the worst first.
    pub planted: Vec<PlantedOut>,
    /// Every bed planted out lately.
    pub watched_beds: Vec<Name>,
    /// Beds planted out lately of whose night nothing is known.
    pub unknown_beds: Vec<Name>,
    /// Covers that may be off tonight.
    pub uncover: Vec<Uncover>,
    /// Places read too hot for what is in them.
    pub too_hot: Vec<TooHot>,
    /// Places that will be too hot shut, tomorrow and today.
    pub airing: Vec<Airing>,
    /// Ten nights, batch by batch and place by place.
    pub nights: Vec<NightsAhead>,
    /// Steps of hardening off for plants that live in a house.
    pub hardening: Vec<HardeningRow>,
    /// Plants that may leave the house for a frame or house of glass.
    pub to_frame: Vec<ToFrame>,
    /// Plants whose time to be planted out has come.
    pub plant_out: Vec<GoingOut>,
    /// Doses of cold, and growth checked: no reason to bring anything in tonight.
    pub slow: Vec<SlowCold>,
    /// Where each batch that is up would likely enough die tonight.
    pub deadly_in: Vec<(BatchId, PlaceId)>,
    /// What else the grower should know, a line each.
    pub notices: Vec<String>,
}

impl Cold {
    /// True when a batch would likely enough die in a place tonight.
    #[must_use]
    pub fn kills(&self, batch: BatchId, place: PlaceId) -> bool {
        self.deadly_in.contains(&(batch, place))
    }

    /// True when what might stay tonight is moved out of cold that leads to bolting: then that is all that is said of it.
    #[must_use]
    pub fn goes_out_of_cold(&self, row: &Dusk) -> bool {
        let mut moved = self.slow.iter().filter(|slow| slow.doing.is_some());
        row.what == DuskMove::Leave && moved.any(|slow| slow.parts == row.parts)
    }

    /// What is to be said when nothing that is up stands anywhere; `None` when something does.
    #[must_use]
    pub fn nothing_up(&self) -> Option<String> {
        let names: Vec<String> = self.seed_only.iter().map(ToString::to_string).collect();
        match names.is_empty() {
            _ if !self.places.is_empty() => None,
            true if !self.unknown_beds.is_empty() => {
                let beds: Vec<String> = self.unknown_beds.iter().map(ToString::to_string).collect();
                Some(format!("nothing stands in a pot; of tonight in {} nothing can be said", beds.join(", ")))
            }
            true if !self.watched_beds.is_empty() => {
                let beds: Vec<String> = self.watched_beds.iter().map(ToString::to_string).collect();
                Some(format!("nothing stands in a pot; tonight harms nothing planted out in {}", beds.join(", ")))
            }
            true => Some("nothing stands anywhere".to_owned()),
            false => Some(format!("nothing is up yet: seed in {} needs no watch", names.join(", "))),
        }
    }
}

/// Works out tonight and the days ahead, as they are at an hour of the day that is today.
#[must_use]
pub fn cold(state: &State, trade: &Trade, at: impl Into<Moment>) -> Cold {
    let Moment { on, hour } = at.into();
    let climates = Climates::learn(state, trade, on);
    let groups = groups(state, trade, &climates);
    let eve = Eve { state, trade, climates: &climates, on, hour };
    let dusk = dusk::dusk(&eve, &groups);
    let airing = airing::airing(&eve, &groups);
    let mut notices = notices(&eve, &groups);
    let mut hardening = hardening_off::rows(&eve, &groups);
    if let Some(catch_up) = away::catch_up(&eve, &groups, &hardening) {
        hardening.retain(|row| !catch_up.covers(row));
        notices.push(format!("catch up: {}", catch_up.reason));
    }
    notices.extend(planted::bolting_lines(&eve));
    notices.extend(size::questions(&eve, &groups));
    let planted = planted::planted_out(&eve);
    Cold {
        on,
        places: tonight::places(&eve, &groups, &dusk, &planted),
        seed_only: seed_only(state, &groups),
        nights: nights::nights(&eve, &groups),
        to_frame: going_out::to_frame(&eve, &groups),
        plant_out: going_out::plant_out(&eve, &groups),
        slow: slow::slow(&eve, &groups),
        uncover: covers::uncover(&eve, &groups),
        too_hot: too_hot::too_hot(&eve, &groups),
        deadly_in: deadly_in(&eve, &groups),
        dusk,
        planted,
        watched_beds: planted::watched(&eve),
        unknown_beds: planted::unknown(&eve),
        airing,
        hardening,
        notices,
    }
}

/// What tonight does to plants that live in a house: no work, and so no line of the evening, but to be explained when asked.
#[must_use]
pub fn at_home(state: &State, trade: &Trade, on: Date) -> Vec<Dusk> {
    let climates = Climates::learn(state, trade, on);
    let groups = groups(state, trade, &climates);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    groups.iter().filter_map(|group| dusk::at_home(&eve, group)).collect()
}

/// What stands in a place and on no bench of it stands here, in words: `kitchen/floor`.
pub const FLOOR: &str = "floor";

/// Where some plants may go, as `move` takes it, and how many of their containers there is room for.
struct Spot {
    words: String,
    stand: Stand,
    goes: usize,
    of: usize,
}

impl Spot {
    /// The words that move as many as there is room for; all of them where there is none: a night on a table or the
    /// floor is better than one in the cold.
    fn moving(&self, group: &Group) -> String {
        let parts: Vec<String> = self.moved(group).map(|part| format!("{:#}", part.label)).collect();
        format!("move {} {}", parts.join(" "), self.words)
    }

    /// The containers that those words move.
    fn containers(&self, group: &Group) -> Vec<ContainerId> {
        self.moved(group).map(|part| part.container).collect()
    }

    fn moved<'a>(&self, group: &'a Group) -> impl Iterator<Item = &'a PartAt> {
        group.parts.iter().take(if self.goes == 0 { self.of } else { self.goes })
    }

    /// What is to be said of the room, if it is short.
    fn shortage(&self) -> Option<String> {
        match self.goes {
            0 => Some(format!("no room was found on {}: a table or the floor will do for a night", self.words)),
            goes if goes < self.of => Some(format!("room for {goes} of the {} on {}", self.of, self.words)),
            _ => None,
        }
    }
}

/// What the rows are worked out from.
struct Eve<'a> {
    state: &'a State,
    trade: &'a Trade,
    climates: &'a Climates,
    on: Date,
    /// The hour, where the day is today.
    hour: Option<u32>,
}

impl Eve<'_> {
    /// The day with its hour.
    const fn at(&self) -> Moment {
        Moment { on: self.on, hour: self.hour }
    }

    /// The day that tonight's low belongs to.
    fn morning(&self) -> Date {
        after(self.on, 1)
    }

    fn cover_now(&self, place: PlaceId) -> Cover {
        self.climates.places().get(&place).map_or(Cover::Off, |climate| climate.cover)
    }

    /// The climates with no cover over a place.
    fn without_cover(&self, place: Option<PlaceId>) -> Cow<'_, Climates> {
        match place.filter(|place| self.cover_now(*place) == Cover::On) {
            Some(place) => Cow::Owned(self.climates.with_covers(&[(place, Cover::Off)])),
            None => Cow::Borrowed(self.climates),
        }
    }

    fn tonight(&self, place: PlaceId, cover: Cover) -> Option<Night> {
        self.climates.night(place, self.morning(), cover)
    }

    /// A place as `move` takes it for a group: with the bench that has room for the most of them, where it has benches;
    /// `None` when they go on none of them even if it were empty.
    fn spot(&self, group: &Group, place: PlaceId) -> Option<Spot> {
        let state = self.state;
        let name = self.name(place);
        let here: Vec<(BenchId, &Bench)> =
            state.benches.iter().filter(|(_, bench)| bench.place == place).map(|(id, bench)| (*id, bench)).collect();
        if here.is_empty() {
            let (words, of) = (dusk::quoted(&name), group.parts.len());
            return Some(Spot { words, stand: Stand::Place(place), goes: of, of });
        }
        let goes = |bench: BenchId| {
            let mut containers = group.parts.iter().filter_map(|part| state.containers.get(&part.container));
            containers.all(|container| goes_on(state, bench, &container.vessel, 1).is_ok())
        };
        let free = |id: BenchId, bench: &Bench| {
            let on = state.containers.iter().filter(|(_, container)| container.stand == Stand::Bench(id));
            let on = on.filter(|(container, _)| state.is_occupied(**container));
            let taken: SquareMillimetres = on.filter_map(|(_, container)| container.footprint()).sum();
            bench.size.length.by(bench.size.width).less(taken).0
        };
        let fitting = here.into_iter().filter(|(id, _)| goes(*id));
        let roomy = fitting.map(|(id, bench)| (self.room(group, id), free(id, bench), std::cmp::Reverse(id), bench));
        let (goes, _, std::cmp::Reverse(id), roomiest) = roomy.max_by_key(|(goes, free, id, _)| (*goes, *free, *id))?;
        let words = dusk::quoted(&format!("{name}/{}", roomiest.name));
        Some(Spot { words, stand: Stand::Bench(id), goes, of: group.parts.len() })
    }

    /// A table or the floor of a place whose benches do not take a group's containers.
    fn floor(&self, group: &Group, place: PlaceId) -> Spot {
        let (words, of) = (dusk::quoted(&format!("{}/{FLOOR}", self.name(place))), group.parts.len());
        Spot { words, stand: Stand::Place(place), goes: of, of }
    }

    /// How many of a group's containers go on a bench as it stands. Kind by kind: of a mixed group it is at most so many.
    fn room(&self, group: &Group, bench: BenchId) -> usize {
        let mut kinds: Vec<(&Vessel, u32)> = Vec::new();
        for container in group.parts.iter().filter_map(|part| self.state.containers.get(&part.container)) {
            match kinds.iter_mut().find(|(kind, _)| **kind == container.vessel) {
                Some((_, many)) => *many += 1,
                None => kinds.push((&container.vessel, 1)),
            }
        }
        let goes = |(kind, many): (&Vessel, u32)| {
            // What was never measured is not said to have no room.
            bench_room(self.state, self.trade, self.on, bench, kind).map_or(many, |(_, more)| more.min(many))
        };
        kinds.into_iter().map(goes).sum::<u32>() as usize
    }

    fn name(&self, place: PlaceId) -> String {
        self.state.places.get(&place).map_or_else(String::new, |place| place.name.to_string())
    }
}

fn deadly_in(eve: &Eve<'_>, groups: &[Group]) -> Vec<(BatchId, PlaceId)> {
    let places = || eve.climates.places().keys().copied();
    let kills = |group: &Group, place: PlaceId| {
        let risk = eve.risk(group, place, eve.cover_now(place)).filter(|risk| risk.advice == Advice::Act);
        risk.and_then(|risk| risk.death).is_some_and(|(_, chance)| chance >= SPOKEN_OF)
    };
    let pairs = groups.iter().flat_map(|group| places().map(move |place| (group, place)));
    pairs.filter(|(group, place)| kills(group, *place)).map(|(group, place)| (group.batch, place)).collect()
}

/// Places where seed stands and nothing is up, by name.
fn seed_only(state: &State, groups: &[Group]) -> Vec<Name> {
    let live = state.parts.values().filter(|part| part.is_live() && part.is_sown() && part.standing() == 0);
    let sown = live.filter(|part| part.left() == 0).filter_map(|part| state.whereabouts(part.container));
    let bare = sown.filter(|place| groups.iter().all(|group| group.place != *place));
    let mut names: Vec<Name> = bare.filter_map(|place| Some(state.places.get(&place)?.name.clone())).collect();
    names.sort();
    names.dedup();
    names
}

fn notices(eve: &Eve<'_>, groups: &[Group]) -> Vec<String> {
    let mut lines = Vec::new();
    let outdoors = |group: &&Group| eve.state.places.get(&group.place).is_some_and(|place| !place.kind.is_indoors());
    let matters = groups.iter().any(|group| outdoors(&group)) || !planted::unknown(eve).is_empty();
    match eve.climates.forecast(eve.morning()) {
        None if matters
            && groups.iter().filter(outdoors).all(|group| eve.tonight(group.place, Cover::Off).is_none()) =>
        {
            lines.push(format!(
                "no forecast and no readings: nothing can be said of tonight; R notes a reading, F a forecast, or `forecast set {} --low C --high C`",
                eve.morning()
            ));
        }
        None if matters => {
            lines.push(format!("no forecast for tonight: `forecast set {} --low C --high C`", eve.morning()))
        }
        Some(forecast) if matters && days_between(forecast.noted, eve.on) > 1 => {
            let age = days_between(forecast.noted, eve.on);
            lines.push(format!("the forecast for tonight is {age} days old: less is known than it seems"));
        }
        _ => {}
    }
    for (place, climate) in eve.climates.places() {
        let heated = eve.state.places.get(place).and_then(|place| place.heated_to);
        let unbelieved = climate.heat == crate::science::place_climate::Heat::Unheated;
        if let (Some(heated), true, true) = (heated, unbelieved, climate.kind != PlaceKind::Propagator) {
            lines.push(format!("{} was last read well under its {heated}: is the heater on?", climate.name));
        }
    }
    lines
}
