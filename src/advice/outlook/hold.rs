//! Why a sowing stands still though its seed may be good: it is too cold or too hot where it stands, or chilled on purpose;
//! and which place of the grower's would do.

use chrono::Days;

use crate::advice::part::after;
use crate::journal::PlaceKind;
use crate::quantity::{Celsius, Date, Name, PlaceId};

use super::expect::Book;
use super::verdict::Hold;
use super::view::{Sowing, View};
use super::warmth::{Known, Warmth};

/// A sowing stands still when the compost's mean keeps out of range from yesterday on for so many days. Common practice, no
/// source.
const HOLD_DAYS: u32 = 4;
/// No hold is followed back further.
const LONGEST_HOLD: u32 = 60;

/// A sowing that stands still.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Why.
    pub hold: Hold,
    /// The mean of its compost from yesterday on.
    pub mean: Celsius,
    /// The first day that it was out of range, as far as it is followed back.
    pub since: Date,
    /// The place where it would come soonest, and the mean of the compost there; `None` when no place would do, and for
    /// what is chilled on purpose.
    pub better: Option<(Name, Celsius)>,
}

impl View<'_> {
    /// Why it stands still, when all of its open parts do for one reason.
    pub(super) fn held(&self, sowing: &Sowing<'_>, book: &Book) -> Option<Held> {
        let mut places = sowing.open.iter().map(|part| self.state.whereabouts(part.container));
        let first = places.next()?;
        let hold = self.hold_at(first, book)?;
        if !places.all(|place| self.hold_at(place, book) == Some(hold)) {
            return None;
        }
        let back = |days: u32| self.on.checked_sub_days(Days::new(u64::from(days)));
        let begun = sowing.open.iter().map(|part| part.filled).min()?;
        let out = |on: Date| self.stands_still(first, on, book) == Some(hold);
        let days = (1..LONGEST_HOLD).map_while(|days| back(days).filter(|day| *day >= begun && out(*day)));
        let better = (hold != Hold::Chilling).then(|| self.better_than(book)).flatten();
        let read: Vec<f64> = self.read_days(first).map(|day| mean(self.climate.at(first, day))).collect();
        let mean = match (hold, read.is_empty()) {
            (Hold::TooHot, false) => Celsius(read.iter().sum::<f64>() / read.len() as f64),
            _ => Celsius(self.mean_ahead(first)),
        };
        Some(Held { hold, mean, since: days.last().unwrap_or(self.on), better })
    }

    fn hold_at(&self, place: Option<PlaceId>, book: &Book) -> Option<Hold> {
        if place.and_then(|place| self.state.places.get(&place)).is_some_and(|it| it.kind == PlaceKind::Fridge) {
            return Some(Hold::Chilling);
        }
        // What was read is no guess: seed in such heat suffers now, whatever the days to come.
        if self.read_days(place).next().is_some()
            && self.read_days(place).all(|day| self.stands_still(place, day, book) == Some(Hold::TooHot))
        {
            return Some(Hold::TooHot);
        }
        let mut holds = self.days_ahead().map(|day| self.stands_still(place, day, book));
        let first = holds.next()??;
        holds.all(|hold| hold == Some(first)).then_some(first)
    }

    fn stands_still(&self, place: Option<PlaceId>, on: Date, book: &Book) -> Option<Hold> {
        let mean = mean(self.climate.at(place, on));
        let cold = book.coldest.as_ref().is_some_and(|line| mean < line.low.0);
        let hot = book.hottest.as_ref().is_some_and(|line| mean > line.high.0);
        match (cold, hot) {
            (true, _) => Some(Hold::TooCold),
            (_, true) => Some(Hold::TooHot),
            _ => None,
        }
    }

    /// The place where such seed would run fastest, of those where it would not stand still on any day.
    fn better_than(&self, book: &Book) -> Option<(Name, Celsius)> {
        let runs = |place: &PlaceId| {
            let days = || self.days_ahead().map(|day| self.climate.at(Some(*place), day));
            let still = self.days_ahead().any(|day| self.stands_still(Some(*place), day, book).is_some());
            (!still).then(|| days().map(|warmth| book.clock.day(warmth.day)).sum::<f64>())
        };
        let places = self.state.places.iter().filter(|(_, place)| place.kind != PlaceKind::Fridge);
        let fit = places.filter_map(|(id, place)| Some((runs(id).filter(|run| *run > 0.0)?, id, place)));
        let (_, id, place) = fit.max_by(|(a, ..), (b, ..)| a.total_cmp(b))?;
        Some((place.name.clone(), Celsius(self.mean_ahead(Some(*id)))))
    }

    /// Of yesterday and today the days that a thermometer was read in a place.
    fn read_days(&self, place: Option<PlaceId>) -> impl Iterator<Item = Date> {
        let read = move |day: &Date| self.climate.at(place, *day).known == Known::Read;
        [self.on.pred_opt(), Some(self.on)].into_iter().flatten().filter(read)
    }

    fn mean_ahead(&self, place: Option<PlaceId>) -> f64 {
        self.days_ahead().map(|day| mean(self.climate.at(place, day))).sum::<f64>() / f64::from(HOLD_DAYS)
    }

    /// Yesterday, today and the days to come that a hold is judged by.
    fn days_ahead(&self) -> impl Iterator<Item = Date> + use<> {
        let from = self.on.pred_opt().unwrap_or(self.on);
        (0..HOLD_DAYS).map(move |day| after(from, day))
    }
}

fn mean(warmth: Warmth) -> f64 {
    f64::midpoint(warmth.day.min(), warmth.day.max())
}
