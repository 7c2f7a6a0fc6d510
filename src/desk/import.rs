//! Temperatures out of other programs' files, each file one act: readings of thermometers, and forecasts.

use std::collections::BTreeSet;
use std::path::Path;

use crate::exchange::{Beside, DayForecast, DayOfReadings, Days, ImportError, Unseen, days_in_csv, forecast_in};
use crate::grammar::Import;
use crate::journal::{Act, Entry, Fact, Measured, State, admit, decide};
use crate::quantity::{Celsius, Date, EntryId, Moment, Name, PlaceId, Unit};
use crate::store::Scope;

use super::error::DeskError;
use super::lookup::find_place;
use super::perform::Done;
use super::resolve::reach;
use super::scale::{self, Source, Year};
use super::settings::read_foreign_text;
use super::weather::Fetched;
use super::{Desk, clock, said};

/// A year of readings every ten minutes is some 3 MB, a forecast a few kB; this is a guard against the wrong file.
const LONGEST: u64 = 20_000_000;
/// Two readings this near are the same one, written with other decimals.
const SAME: f64 = 0.051;

impl Desk {
    /// Takes temperatures from a file as one act, dated `on`, each reading on its own day. What is known already is
    /// left out, so that files may overlap.
    ///
    /// # Errors
    /// When the file cannot be read or believed, a place is not known, a day has not come or, for forecasts, is past,
    /// or nothing in it is new. Nothing is written then.
    pub fn import(&mut self, import: &Import, on: Date) -> Result<Done, DeskError> {
        match import {
            Import::Readings { file, place, unit, order } => {
                let places = self.state(on)?.places.values().map(|place| place.name.clone()).collect();
                let beside = Beside { on, unit: *unit, order: *order, places, zone: clock::zone() };
                let found =
                    days_in_csv(&read_foreign_text(file, LONGEST)?, &beside).map_err(|error| refused(file, error))?;
                self.take_readings(&found, &source(file), place.as_ref(), on)
            }
            Import::Forecast { file, unit, order } => {
                let (unit, named) = (unit.or(self.trade.weather().unit), super::weather::fields(&self.trade));
                let beside = Beside { on, unit, order: *order, zone: clock::zone(), ..Beside::default() };
                let found = forecast_in(&read_foreign_text(file, LONGEST)?, &named, &beside);
                let found = found.map_err(|error| refused(file, error))?;
                self.take_forecast("forecast import", &found, &source(file), on)
            }
            Import::Fetch => match self.fetch_forecast(on)? {
                Fetched::New(done) => Ok(Some(done)),
                Fetched::Same => Ok(None),
            },
        }
        .and_then(|done| done.ok_or(DeskError::Nothing("nothing in it is new: all of it was noted before")))
    }

    fn take_readings(
        &mut self,
        Days { days, unit, twice }: &Days<DayOfReadings>,
        source: &Source,
        place: Option<&Name>,
        on: Date,
    ) -> Result<Option<Done>, DeskError> {
        let told = |day: &DayOfReadings| day.low.or(day.high).or(day.compost).or(day.soil).is_some();
        if let Some(ahead) = days.iter().find(|day| day.on > on && told(day)) {
            return Err(DeskError::Future { on: ahead.on });
        }
        let columns: BTreeSet<&String> = days.iter().filter_map(|day| day.place.as_ref()).collect();
        let year = Year::of(&self.trade);
        let done = self.enter_dated("reading import", on, |state| {
            // What a column says is believed before what was said of the whole file, unless it is one thermometer's own
            // name all through.
            let is_a_place = |column: &&String| place_of_column(state, column).is_ok();
            let by_column = columns.len() > 1 || columns.iter().any(is_a_place);
            let mut known = 0;
            let (mut facts, mut doubts) = (Vec::new(), Vec::new());
            for day in days {
                let place = match (place, &day.place) {
                    (Some(place), None) => find_place(state, place)?,
                    (Some(place), Some(_)) if !by_column => find_place(state, place)?,
                    (_, Some(column)) => place_of_column(state, column)?,
                    (None, None) => return Err(DeskError::Nothing(NO_PLACE)),
                };
                let low = day.low.map(Measured::Minimum);
                let (compost, soil) = (day.compost.map(Measured::Compost), day.soil.map(Measured::Soil));
                for measured in [low, day.high.map(Measured::Maximum), compost, soil] {
                    let Some(measured) = measured else { continue };
                    if is_known(state, place, day.on, measured) {
                        known += 1;
                    } else {
                        let read_in = state.places.get(&place);
                        doubts.push(read_in.and_then(|place| year.reading(place, measured, Moment::from(day.on))));
                        facts.push((day.on, Act::Read { place, measured: vec![measured] }));
                    }
                }
            }
            if *unit == Unit::Taken {
                scale::ask_of(source, &doubts)?;
            }
            Ok((facts, known))
        })?;
        Ok(done.map(|mut done| {
            done.notices.extend(left_out(days).into_iter().chain(told_twice(twice)));
            done
        }))
    }

    /// Notes the days of a forecast that have not passed; `None` when all of it was noted that day before.
    ///
    /// # Errors
    /// When all of them are past or further ahead than any forecast reaches, or what says no unit is warm for its month; or when the journal cannot be written.
    pub(super) fn take_forecast(
        &mut self,
        verb: &'static str,
        Days { days, unit, twice }: &Days<DayForecast>,
        source: &Source,
        on: Date,
    ) -> Result<Option<Done>, DeskError> {
        let ahead: Vec<(Date, Celsius, Celsius)> =
            days.iter().filter(|day| day.day >= on).map(|day| (day.day, day.low, day.high)).collect();
        if ahead.is_empty() {
            return Err(DeskError::Nothing("every day of that forecast is past: fetch a newer one"));
        }
        let (ahead, beyond): (Vec<_>, Vec<_>) = ahead.into_iter().partition(|(day, ..)| reach(*day, on).is_ok());
        let beyond: Vec<Date> = beyond.into_iter().map(|(day, ..)| day).collect();
        if let (true, Some(first)) = (ahead.is_empty(), beyond.first()) {
            reach(*first, on)?;
        }
        let year = Year::of(&self.trade);
        let done = self.enter_dated(verb, on, |state| {
            let same = |(day, low, high): &(Date, Celsius, Celsius)| {
                state
                    .forecasts
                    .get(day)
                    .is_some_and(|known| known.noted == on && near(known.low, *low) && near(known.high, *high))
            };
            let (known, days): (Vec<_>, Vec<_>) = ahead.iter().partition(|day| same(day));
            if *unit == Unit::Taken {
                let doubts: Vec<_> =
                    days.iter().flat_map(|(day, low, high)| year.forecast(*low, *high, *day)).collect();
                scale::ask_of(source, &doubts)?;
            }
            let act = (!days.is_empty()).then_some((on, Act::Forecast { days }));
            Ok((act.into_iter().collect(), known.len()))
        })?;
        Ok(done.map(|mut done| {
            done.notices.extend(told_twice(twice));
            done.notices.extend(beyond.first().map(|first| {
                format!("left out what no forecast reaches: {} of its days, the first {first}", beyond.len())
            }));
            done
        }))
    }

    /// Decides and writes acts of several days as one; `None` when there is nothing new in them.
    fn enter_dated(
        &mut self,
        verb: &'static str,
        on: Date,
        plan: impl FnOnce(&State) -> Result<(Vec<(Date, Act)>, usize), DeskError>,
    ) -> Result<Option<Done>, DeskError> {
        if on > clock::today() {
            return Err(DeskError::Future { on });
        }
        self.journal.write(|books| {
            let history = books.history(Scope::Live { since: Date::MIN, planted_out: Date::MAX })?;
            let (state, _) = clock::fold_until(&history, on);
            let (acts, known) = plan(&state)?;
            if acts.is_empty() {
                return Ok(None);
            }
            let recorded = clock::now()?;
            let (act, first) = (books.mint(&recorded)?, books.next_entry()?);
            let mut entries: Vec<Entry> = Vec::new();
            for (day, planned) in acts {
                for fact in decide(&state, &state, &planned)? {
                    let sequence = u32::try_from(entries.len()).unwrap_or(u32::MAX);
                    entries.push(Entry { id: EntryId(first + i64::from(sequence)), act, sequence, on: day, fact });
                }
            }
            let after = admit(&history, &entries)?;
            books.append(act, verb, on, &recorded, &entries)?;
            books.rewrite_derived(&after)?;
            let said = summed(&entries, &said::sentences(books, verb, on, &entries, Some(&after))?);
            let mut notices: Vec<String> = clock::doubt(books, on)?.into_iter().collect();
            if known > 0 {
                notices.push(format!("{known} were noted before"));
            }
            Ok(Some(Done { act, verb, on, batch: None, meant: Vec::new(), parts: Vec::new(), said, notices }))
        })
    }
}

const NO_PLACE: &str = "nothing says where they were read: add --place PLACE";

/// What is said of the nights and days that a thermometer has not seen.
fn left_out(days: &[DayOfReadings]) -> Vec<String> {
    let is_in_part = |day: &&DayOfReadings| [day.night, day.noon].contains(&Some(Unseen::InPart));
    let in_part: BTreeSet<String> = days.iter().filter(is_in_part).map(|day| day.on.to_string()).collect();
    let gaps = |of: fn(&DayOfReadings) -> Option<Unseen>, (one, many): (&str, &str)| {
        let mut gaps = days.iter().filter_map(|day| match of(day)? {
            Unseen::Gap { from, to } => Some((day.on, from, to)),
            Unseen::InPart => None,
        });
        let (first, from, to) = gaps.next()?;
        let which = match gaps.count() {
            0 => format!("the {one} {first}"),
            more => format!("{} {many}, the first {first},", more + 1),
        };
        Some(format!("{which} left out: nothing between {from}:00 and {to}:00"))
    };
    let nights = gaps(|day| day.night, ("night to", "nights"));
    let noons = gaps(|day| day.noon, ("day of", "days"));
    let ends = (!in_part.is_empty()).then(|| {
        let days = in_part.into_iter().collect::<Vec<_>>().join(", ");
        format!("not whole in the file, what may yet change left out: {days}")
    });
    [nights, noons, ends].into_iter().flatten().collect()
}

/// What is said of days that stand in a file more than once.
fn told_twice(days: &BTreeSet<Date>) -> Option<String> {
    let first = days.first()?;
    let which = match days.len() {
        1 => format!("{first} stands"),
        many => format!("{many} days, the first {first}, stand"),
    };
    Some(format!("{which} in it more than once and with other figures: the lowest and the highest are kept"))
}

fn source(file: &Path) -> Source {
    Source::File(file.display().to_string())
}

fn refused(file: &Path, error: ImportError) -> DeskError {
    DeskError::Table { path: file.display().to_string(), error }
}

fn place_of_column(state: &State, column: &str) -> Result<PlaceId, DeskError> {
    let name = Name::new(column).map_err(|_| DeskError::Nothing(NO_PLACE))?;
    find_place(state, &name)
}

fn near(one: Celsius, other: Celsius) -> bool {
    (one.0 - other.0).abs() < SAME
}

fn is_known(state: &State, place: PlaceId, on: Date, measured: Measured) -> bool {
    state.readings.iter().filter(|reading| reading.place == place && reading.on == on).any(|reading| {
        match (reading.measured, measured) {
            (Measured::Minimum(known), Measured::Minimum(new))
            | (Measured::Maximum(known), Measured::Maximum(new))
            | (Measured::Compost(known), Measured::Compost(new))
            | (Measured::Soil(known), Measured::Soil(new)) => near(known, new),
            _ => false,
        }
    })
}

/// A few sentences are told in full, a season in one.
fn summed(entries: &[Entry], sentences: &[String]) -> Vec<String> {
    const IN_FULL: usize = 12;
    if sentences.len() <= IN_FULL {
        return sentences.to_vec();
    }
    let days = entries.iter().map(|entry| match entry.fact {
        Fact::Forecast { day, .. } => day,
        _ => entry.on,
    });
    let (first, last) = (days.clone().min().unwrap_or(Date::MIN), days.max().unwrap_or(Date::MIN));
    vec![format!("{} temperatures from {first} to {last}", entries.len())]
}
