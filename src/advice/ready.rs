//! When plants are ready for their next move.

use crate::journal::{Beginning, Part, PlaceKind, Source, State, Transfer, Vessel};
use crate::quantity::{BatchLabel, ContainerClass, CropName, Date, Millimetres, Name, PartId};
use crate::trade::{Crop, Figure, PlantOutPlace, Raising, Trade};

use super::next::Next;
use super::part::{self, PartAt, before, days_between};
use super::why::Why;
use super::window::{self, Window};

/// Days before the earliest day within which a move is soon. Common practice, no source.
const SOON: u32 = 3;
/// Days that a move into the ground, and into a larger pot, is given at least, however small the cell: the weather, and the
/// grower's week. Common practice, no source.
const PLANT_OUT_DAYS: u32 = 7;
const POT_ON_DAYS: u32 = 4;
/// Days since they came up that plants bought in are taken to have, where the crop is not pricked out; and days that they
/// took to come up. Common practice, no source.
const YOUNG_DAYS: u32 = 14;
const COMING_UP_DAYS: u32 = 7;
const FOR_SPRING: &str = "overwintering is not planned here: what is grown in winter is told the day its time opens in spring; till then it \
                         wants a larger cell or pot, and the winter decides";
const DOUBT: &str = "tables give ordinary years and ordinary warmth: a cool or dark place is slower, and the plants \
                     in front of you know better than the days";

/// The next move of a part's plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Out of a shared tray or off damp paper into their own cell or pot.
    PrickOut,
    /// Into a larger pot.
    PotOn,
    /// Into their final place.
    PlantOut,
}

/// How near the move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Readiness {
    /// More than three days before the earliest day.
    NotYet,
    /// Within three days of it.
    Soon,
    /// Between the earliest and the latest day.
    Ready,
    /// After the latest day.
    Overdue,
}

/// A part and its next move.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// The part.
    pub part: PartAt,
    /// The number of its batch.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety.
    pub variety: Option<Name>,
    /// The move.
    pub step: Step,
    /// The day its plants are taken to have come up.
    pub emerged: Option<Date>,
    /// When.
    pub window: Window,
    /// The last frost, about which day, where planting out waits for it.
    pub after_frost: Option<Date>,
    /// True when its final place is under glass or film.
    pub under_cover: bool,
    /// True when it was sown so late that it could be planted out only into the winter, and so is taken to wait for spring.
    pub for_spring: bool,
    /// Into what; `None` for planting out.
    pub next: Option<Next>,
    /// How near it is on the day asked about.
    pub readiness: Readiness,
    /// Days past the latest day; 0 until then.
    pub overdue_days: u32,
    /// How it was come by.
    pub why: Why,
}

impl Ready {
    /// What is to be said of plants that would have to stand the winter; empty for others.
    #[must_use]
    pub fn winter(&self) -> String {
        if !self.for_spring {
            return String::new();
        }
        let opens = self.window.earliest.format("%B");
        format!(
            "; its time opens in {opens}: wintering is not planned here, and so long in a cell or small pot starves it"
        )
    }
}

/// The next move of every live part with plants, the nearest first; parts of which nothing can be said are left out.
#[must_use]
pub fn ready(state: &State, trade: &Trade, on: Date) -> Vec<Ready> {
    let mut rows: Vec<_> = state.parts.keys().filter_map(|id| ready_of(state, trade, *id, on)).collect();
    rows.sort_by_key(|row| (row.window.best, row.step, row.part.label, row.part.id));
    rows
}

/// The next move of one part; `None` for one that is cleared, empty, in its final place, or of which nothing can be
/// said (an unknown crop, a crop sown where it is to grow). Plants bought in are of the age that what they came in says.
#[must_use]
pub fn ready_of(state: &State, trade: &Trade, id: PartId, on: Date) -> Option<Ready> {
    let part = state.parts.get(&id)?;
    let batch = state.batches.get(&part.batch)?;
    let at = PartAt::of(state, id)?;
    if !part.is_live() || part.standing() == 0 || is_final(state, part) {
        return None;
    }
    let (crop_name, variety) = part::named(state, batch);
    let emerged = part::emerged(state, part);
    let crop = part::crop(state, trade, batch)?;
    let (up, sown, bought) = match batch.beginning {
        Beginning::Sown { .. } => (emerged, Some(batch.begun), None),
        Beginning::Received => {
            let up = before(batch.begun, age_bought(state, part, crop));
            (Some(up), Some(before(up, COMING_UP_DAYS)), Some(batch.begun))
        }
    };
    let about = About { state, trade, part, crop, emerged: up, bought };
    let Move { step, window, after_frost, next, for_spring, why } = about.step(sown)?;
    let under_cover = crop.plant_out_place().is_some_and(|place| place.value == PlantOutPlace::UnderCover);
    Some(Ready {
        part: at,
        label: batch.label,
        crop: crop_name,
        variety,
        step,
        emerged,
        window,
        after_frost,
        under_cover,
        for_spring,
        next,
        readiness: readiness(&window, on),
        overdue_days: days_between(window.latest, on),
        why,
    })
}

fn readiness(window: &Window, on: Date) -> Readiness {
    match on {
        _ if on > window.latest => Readiness::Overdue,
        _ if on >= window.earliest => Readiness::Ready,
        _ if days_between(on, window.earliest) <= SOON => Readiness::Soon,
        _ => Readiness::NotYet,
    }
}

fn is_final(state: &State, part: &Part) -> bool {
    let home = state.home(part.container).and_then(|(place, _)| state.places.get(&place));
    home.is_some_and(|place| place.kind == PlaceKind::Plot)
}

/// Days since they came up that plants had when they were bought in: as raised here in what they came in. Those in a
/// shared tray are at the first day of pricking out, those in a cell or small pot just pricked out, and those in a pot as
/// wide as potting on gives at the first day of that.
fn age_bought(state: &State, part: &Part, crop: &Crop) -> u32 {
    let came_in = part::origin(state, part).and_then(|first| Some(&state.containers.get(&first.container)?.vessel));
    let wide = crop.pot_on_container().is_some_and(|width| {
        came_in.is_some_and(|it| it.class == ContainerClass::Pot && it.width.is_some_and(|own| own >= width.low))
    });
    let pricked_out = crop.prick_out_days();
    let potted_on = crop.pot_on_days().filter(|_| wide).map(|days| days.low);
    let shared = came_in.is_some_and(|vessel| vessel.class == ContainerClass::Tray);
    potted_on
        .or_else(|| pricked_out.as_ref().map(|days| if shared { days.low } else { days.high }))
        .unwrap_or(YOUNG_DAYS)
}

/// A part and what the tables know of it.
struct About<'a> {
    state: &'a State,
    trade: &'a Trade,
    part: &'a Part,
    crop: &'a Crop,
    /// The day its plants came up; of plants bought in, about.
    emerged: Option<Date>,
    /// The day they were bought in.
    bought: Option<Date>,
}

/// A move as the tables have it.
struct Move {
    step: Step,
    window: Window,
    after_frost: Option<Date>,
    next: Option<Next>,
    for_spring: bool,
    why: Why,
}

impl About<'_> {
    fn step(&self, sown: Option<Date>) -> Option<Move> {
        if self.crop.raising().is_some_and(|raising| raising.value == Raising::InPlace) {
            return None;
        }
        let vessel = &self.state.containers.get(&self.part.container)?.vessel;
        let found = match vessel.class {
            ContainerClass::Paper if self.part.is_sown() => self.off_paper(),
            ContainerClass::Tray if !matches!(self.part.source, Source::From { .. }) => {
                self.prick_out().or_else(|| self.plant_out(vessel, sown))
            }
            _ if self.is_crowded(vessel) => self.prick_out().or_else(|| self.plant_out(vessel, sown)),
            _ if self.is_potted_on(vessel) => self.plant_out(vessel, sown),
            _ => self.pot_on(vessel, sown).or_else(|| self.plant_out(vessel, sown)),
        };
        found.map(|found| Move { why: found.why.doubt(DOUBT), ..found })
    }

    /// Several sown to a cell or pot, of a crop that is sown together and then parted.
    fn is_crowded(&self, vessel: &Vessel) -> bool {
        let Source::Sown { units, per_cell } = self.part.source else { return false };
        let holes = if vessel.class == ContainerClass::CellTray { vessel.cells.unwrap_or(1) } else { vessel.pots };
        let crowded = per_cell.map_or(units > holes, |each| each > 1);
        crowded && self.crop.raising().is_some_and(|raising| raising.value == Raising::SharedTray)
    }

    fn off_paper(&self) -> Option<Move> {
        let why = Why::new("chitted seed goes into compost at once");
        let (window, why) = window::off_paper(self.part.first_up()?, why);
        let next = self.crop.prick_out_container().or_else(|| self.crop.pot_on_container());
        Some(self.put_into(Step::PrickOut, window, next.as_ref(), why))
    }

    fn prick_out(&self) -> Option<Move> {
        let (days, width) = (self.crop.prick_out_days()?, self.crop.prick_out_container()?);
        let rule = "by days from emergence, held to the leaves noted: from the least to the most days, best halfway";
        let why = self.aged(Why::new(rule).figure("width of the cell or pot, in millimetres", &plain(&width)));
        let (window, why) = window::by_leaves(self.crop, &days, self.part, self.emerged?, why);
        Some(self.put_into(Step::PrickOut, window, Some(&width), why))
    }

    /// True when its plants stand in a pot as wide as potting on would give them, or were potted on into this one.
    fn is_potted_on(&self, vessel: &Vessel) -> bool {
        let wide = |width: Figure<Millimetres>| {
            vessel.class == ContainerClass::Pot && vessel.width.is_some_and(|own| own >= width.low)
        };
        self.crop.pot_on_container().is_some_and(wide) || self.was_potted_on()
    }

    /// Parting a set from another leaves its plants in the pots they were in.
    fn was_potted_on(&self) -> bool {
        let mut source = self.part.source;
        for _ in 0..=self.state.parts.len() {
            match source {
                Source::From { how: Transfer::PottedOn, .. } => return true,
                Source::From { part, how: Transfer::Parted, .. } => match self.state.parts.get(&part) {
                    Some(before) => source = before.source,
                    None => return false,
                },
                _ => return false,
            }
        }
        false
    }

    fn pot_on(&self, vessel: &Vessel, sown: Option<Date>) -> Option<Move> {
        let (days, width) = (self.crop.pot_on_days()?, self.crop.pot_on_container()?);
        let rule = "by days from emergence: from the least to the most days, best halfway; roots at the holes and a \
                    small cell bring it forward";
        let why = self.aged(Why::new(rule).figure("width of the pot, in millimetres", &plain(&width)));
        let (window, why) = window::by_days(&days, self.emerged?, why);
        let (window, why) = self.with_cell(window, vessel, sown, why);
        let window = window.lasting(POT_ON_DAYS);
        let (window, why) = window::with_roots(window, self.part, why);
        Some(self.put_into(Step::PotOn, window, Some(&width), why))
    }

    fn plant_out(&self, vessel: &Vessel, sown: Option<Date>) -> Option<Move> {
        let weeks = self.crop.weeks_to_plant_out()?;
        let rule = "by weeks from sowing: from the least to the most weeks, best halfway, and not before the last frost \
                    and the weeks from it that the crop wants; the weather and the soil have the last word";
        let begun = sown?;
        let why = match self.bought {
            None => Why::new(rule).seen("sown", "", begun),
            Some(_) => self.aged(Why::new(rule)),
        };
        let frost = self.trade.last_frost();
        let (window, why) = window::by_weeks(self.crop, &weeks, begun, why);
        let (window, after_frost, why) = window::after_frost(window, self.crop, frost, why);
        let for_spring = window::waits_for_spring(begun, &window);
        let why = if for_spring { why.practice(FOR_SPRING) } else { why };
        let (window, why) =
            if self.was_potted_on() { (window, why) } else { self.with_cell(window, vessel, sown, why) };
        let window = window::while_weeks_run(window.lasting(PLANT_OUT_DAYS), self.crop, frost);
        Some(Move { step: Step::PlantOut, window, after_frost, next: None, for_spring, why })
    }

    /// With the day the plants came up; of plants bought in, what it is taken to be.
    fn aged(&self, why: Why) -> Why {
        match (self.bought, self.emerged) {
            (Some(bought), Some(up)) => why
                .seen("bought in", format!("taken to have come up about {up}"), bought)
                .practice("plants bought in are as old as plants raised here in what they came in"),
            (_, Some(up)) => why.seen("up (half of what is up now)", "first seen", up),
            (_, None) => why,
        }
    }

    fn put_into(&self, step: Step, window: Window, width: Option<&Figure<Millimetres>>, why: Why) -> Move {
        let next = width.map(|width| Next::of(self.state, self.trade, width));
        Move { step, window, after_frost: None, next, for_spring: false, why }
    }

    fn with_cell(&self, window: Window, vessel: &Vessel, sown: Option<Date>, why: Why) -> (Window, Why) {
        let cells = if vessel.class == ContainerClass::CellTray { vessel.cells } else { None };
        window::with_cell(window, self.crop, cells, vessel.volume, sown, why)
    }
}

fn plain(width: &Figure<Millimetres>) -> Figure<u32> {
    Figure { low: width.low.0, high: width.high.0, source: width.source.clone() }
}
