//! Why a sowing stands still though its seed may be good: it is too cold or too hot where it stands, or chilled on purpose;
//! and which place of the grower's would do.

use crate::advice::batch::stays;
use crate::advice::part::{after, before};
use crate::journal::{Part, PlaceKind};
use crate::quantity::{Celsius, Date, Name, PlaceId};
use crate::science::thermal::Day;

use super::expect::Book;
use super::verdict::Hold;
use super::view::{Sowing, View};
use super::warmth::{Known, Warmth};

/// A sowing stands still when the mean of the compost is out of range over so many days before today and as many after it:
/// one warm noon lets nothing go, and one cold night holds nothing. Common practice, no source.
const HOLD_DAYS: u32 = 3;
/// A place to move it to does from yesterday on for so many days. Common practice, no source.
const DAYS_AHEAD: u32 = 4;
/// Days before the last count by which it is told whether a sowing was given warmth. Common practice, no source.
const COOL_DAYS: u32 = 7;
/// No hold is followed back further.
const LONGEST_HOLD: u32 = 60;

/// A sowing that stands still.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Why.
    pub hold: Hold,
    /// The mean of its compost over the week about today; of what is too hot as it was read.
    pub mean: Celsius,
    /// The first day that it stood still where it stands, as far as it is followed back: a mild spell since does not begin it
    /// anew.
    pub since: Date,
    /// The place where it would come soonest, and the mean of the compost there; `None` when no place would do, and for
    /// what is chilled on purpose.
    pub better: Option<(Name, Celsius)>,
}

impl Held {
    /// Whether it is a figure that says so, and not the grower's purpose.
    pub(super) fn is_foreseen(&self) -> bool {
        self.hold != Hold::Chilling
    }
}

impl View<'_> {
    /// Why it stands still, when all of its open parts do for one reason.
    pub(super) fn held(&self, sowing: &Sowing<'_>, book: &Book) -> Option<Held> {
        let mut places = sowing.open.iter().map(|part| self.state.whereabouts(part.container));
        let first = places.next()?;
        let hold = self.hold_at(first, self.on, book)?;
        if !places.all(|place| self.hold_at(place, self.on, book) == Some(hold)) {
            return None;
        }
        let stood = sowing.open.iter().map(|part| self.stands_since(part));
        let since = match hold {
            Hold::Chilling => stood.min()?,
            Hold::TooCold | Hold::TooHot => {
                let back = before(self.on, LONGEST_HOLD);
                let from = stood.max()?.max(back);
                let mut days = from.iter_days().take_while(|day| *day < self.on);
                days.find(|day| self.hold_at(first, *day, book) == Some(hold)).unwrap_or(self.on)
            }
        };
        let better = (hold != Hold::Chilling).then(|| self.better_than(book)).flatten();
        let read: Vec<f64> = self.read_days(first, self.on).map(|day| mean(self.climate.at(first, day))).collect();
        let mean = match (hold, read.is_empty()) {
            (Hold::TooHot, false) => Celsius(read.iter().sum::<f64>() / read.len() as f64),
            _ => Celsius(self.mean_of(first, days_about(self.on))),
        };
        Some(Held { hold, mean, since, better })
    }

    /// The day it came to the place where it stands.
    fn stands_since(&self, part: &Part) -> Date {
        let stays = stays(self.state, part.container);
        let here = stays.iter().rev().take_while(|stay| Some(stay.place) == stays.last().map(|last| last.place)).last();
        here.map_or(part.filled, |stay| stay.from.max(part.filled))
    }

    fn hold_at(&self, place: Option<PlaceId>, on: Date, book: &Book) -> Option<Hold> {
        if place.and_then(|place| self.state.places.get(&place)).is_some_and(|it| it.kind == PlaceKind::Fridge) {
            return Some(Hold::Chilling);
        }
        // What was read is no guess: seed in such heat suffers now, whatever the days to come.
        if self.read_days(place, on).next().is_some()
            && self.read_days(place, on).all(|day| self.stands_still(place, day, book) == Some(Hold::TooHot))
        {
            return Some(Hold::TooHot);
        }
        book.stands_still(Day::steady(self.mean_of(place, days_about(on))))
    }

    fn stands_still(&self, place: Option<PlaceId>, on: Date, book: &Book) -> Option<Hold> {
        book.stands_still(self.climate.at(place, on).day)
    }

    /// The place where such seed would run fastest, of those where it would not stand still on any day.
    fn better_than(&self, book: &Book) -> Option<(Name, Celsius)> {
        let runs = |place: &PlaceId| {
            let days = || self.days_ahead().map(|day| self.climate.at(Some(*place), day));
            let still = self.days_ahead().any(|day| self.stands_still(Some(*place), day, book).is_some());
            (!still).then(|| days().map(|warmth| book.day(warmth.day)).sum::<f64>())
        };
        let places = self.state.places.iter().filter(|(_, place)| place.kind != PlaceKind::Fridge);
        let fit = places.filter_map(|(id, place)| Some((runs(id).filter(|run| *run > 0.0)?, id, place)));
        let (_, id, place) = fit.max_by(|(a, ..), (b, ..)| a.total_cmp(b))?;
        Some((place.name.clone(), Celsius(self.mean_of(Some(*id), self.days_ahead()))))
    }

    /// Of a day and the one before those that a thermometer was read in a place.
    fn read_days(&self, place: Option<PlaceId>, on: Date) -> impl Iterator<Item = Date> {
        let read = move |day: &Date| self.climate.at(place, *day).known == Known::Read;
        [on.pred_opt(), Some(on)].into_iter().flatten().filter(read)
    }

    /// The place to move it to before it is given up, when all its open parts stood barely warm enough for the week before
    /// their last count.
    pub(super) fn warmer(&self, sowing: &Sowing<'_>, book: &Book) -> Option<(Name, Celsius)> {
        let was_cool = sowing.open.iter().all(|part| {
            let Some(last) = part.counts.last() else { return false };
            let from = before(last.on, COOL_DAYS).max(part.filled);
            let days = self.climate.of_container(self.state, part.container, from, last.on);
            let sum: f64 = days.iter().map(|warmth| mean(*warmth)).sum();
            !days.is_empty() && book.is_barely_warm(sum / days.len() as f64)
        });
        let (place, warmth) = was_cool.then(|| self.better_than(book)).flatten()?;
        (!book.is_barely_warm(warmth.0)).then_some((place, warmth))
    }

    fn mean_of(&self, place: Option<PlaceId>, days: impl Iterator<Item = Date>) -> f64 {
        let means: Vec<f64> = days.map(|day| mean(self.climate.at(place, day))).collect();
        means.iter().sum::<f64>() / means.len().max(1) as f64
    }

    /// Yesterday, today and the days to come that a better place is looked for by.
    fn days_ahead(&self) -> impl Iterator<Item = Date> + use<> {
        let from = self.on.pred_opt().unwrap_or(self.on);
        (0..DAYS_AHEAD).map(move |day| after(from, day))
    }
}

/// The days that a hold is judged by, the day asked about in their middle.
fn days_about(on: Date) -> impl Iterator<Item = Date> {
    let from = before(on, HOLD_DAYS);
    (0..=2 * HOLD_DAYS).map(move |day| after(from, day))
}

fn mean(warmth: Warmth) -> f64 {
    f64::midpoint(warmth.day.min(), warmth.day.max())
}
