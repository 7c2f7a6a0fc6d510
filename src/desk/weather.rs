//! The weather service: what to ask it, and how old its last good answer is.

use chrono::{Datelike as _, Timelike as _};

use crate::advice::{self, LastFrosts, PlaceView};
pub use crate::exchange::CAN_FETCH;
use crate::exchange::{DayForecast, Days, FetchError, Fields, Patience, address, fetch, forecast_in};
use crate::journal::Measured;
use crate::quantity::{Date, Name, PlaceId};
use crate::store::Scope;
use crate::trade::Trade;

use super::error::DeskError;
use super::lookup::find_place;
use super::perform::Done;
use super::scale::Source;
use super::{Desk, clock};

/// A question that is ready to be asked. It knows nothing of the journal, so that it can be asked while that is in use.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    url: String,
    named: Fields,
}

/// What a fetched forecast came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Fetched {
    /// It was noted.
    New(Done),
    /// The service says what it said before on the same day: nothing was written.
    Same,
}

impl Question {
    /// Asks, and waits for the answer for ten seconds at most.
    ///
    /// # Errors
    /// When no answer came, or none that is a forecast.
    pub fn ask(&self) -> Result<Days<DayForecast>, DeskError> {
        let text = fetch(&self.url, Patience::USUAL)?;
        forecast_in(&text, &self.named).map_err(DeskError::Answer)
    }
}

impl Desk {
    /// What to ask the weather service that the settings name.
    ///
    /// # Errors
    /// When they name none, or one that is not to be asked; when `on` is not today: what is fetched now is no forecast of
    /// another day's.
    pub fn weather(&self, on: Date) -> Result<Question, DeskError> {
        if on != clock::today() {
            return Err(DeskError::Nothing("a forecast is fetched for today: leave --on out"));
        }
        if !CAN_FETCH {
            return Err(FetchError::NotBuiltIn.into());
        }
        let service = self.trade.weather();
        let (Some(latitude), Some(longitude), Some(url)) = (service.latitude, service.longitude, &service.url) else {
            return Err(DeskError::Nothing(
                "no weather service is set: write latitude, longitude and forecast_url into settings.toml",
            ));
        };
        Ok(Question { url: address(url, latitude, longitude)?, named: fields(&self.trade) })
    }

    /// Asks the weather service and notes what it answers.
    ///
    /// # Errors
    /// When there is nothing to ask or no usable answer, or every day of it is past. What was noted before stays then.
    pub fn fetch_forecast(&mut self, on: Date) -> Result<Fetched, DeskError> {
        let found = self.weather(on)?.ask()?;
        self.note_fetched(&found, on)
    }

    /// Notes what the weather service answered.
    ///
    /// # Errors
    /// When every day of it is past or it is likely in another scale than it is taken in, or the journal cannot be
    /// written.
    pub fn note_fetched(&mut self, found: &Days<DayForecast>, on: Date) -> Result<Fetched, DeskError> {
        Ok(self.take_forecast("forecast fetch", found, &Source::Service, on)?.map_or(Fetched::Same, Fetched::New))
    }

    /// The climate of every place on a day; of one, when it is named.
    ///
    /// # Errors
    /// When the journal cannot be read, or no place has that name.
    pub fn climate(&self, place: Option<&Name>, on: Date) -> Result<Vec<PlaceView>, DeskError> {
        let state = self.state(on)?;
        let wanted = place.map(|name| find_place(&state, name)).transpose()?;
        let views = advice::place_views(&state, &self.trade, on).into_iter();
        let mut views: Vec<PlaceView> = views.filter(|view| wanted.is_none_or(|wanted| wanted == view.place)).collect();
        for view in views.iter_mut().filter(|view| view.is_outside) {
            view.frosts = self.last_frosts(view.place, on)?;
        }
        Ok(views)
    }

    /// The last frosts of the springs read in a place, as far back as is worth it.
    fn last_frosts(&self, place: PlaceId, on: Date) -> Result<Option<LastFrosts>, DeskError> {
        if self.trade.weather().latitude.is_some_and(|latitude| latitude < 0.0) {
            return Ok(None);
        }
        let day = |year, month, day| Date::from_ymd_opt(year, month, day);
        let springs: Vec<(Date, Date)> = (on.year() - SPRINGS..=on.year())
            .filter_map(|year| Some((day(year, 3, 1)?, day(year, 7, 31)?.min(on))))
            .filter(|(from, to)| from <= to)
            .collect();
        let history = self.journal.read(|books| -> Result<_, DeskError> {
            Ok(books.history(Scope::Around(&[], &[]))?.with(&books.temperatures(&springs)?))
        })?;
        let (state, _) = clock::fold_until(&history, on);
        let lows = state.readings.iter().filter(|reading| reading.place == place).filter_map(|reading| {
            let Measured::Minimum(low) = reading.measured else { return None };
            Some((reading.on, low))
        });
        Ok(LastFrosts::of(lows, on))
    }

    /// How old a forecast is that was noted on a day, in words: `forecast of Tuesday 6:10, two days old`.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn age_of_forecast(&self, noted: Date, on: Date) -> Result<String, DeskError> {
        let newest = self.journal.read(|books| books.latest_forecast())?;
        // An act that was dated back was not typed at its hour.
        let typed = newest.filter(|act| act.happened == noted).and_then(|act| clock::local(&act.recorded));
        let hour = typed.filter(|typed| typed.date() == noted);
        let hour = hour.map_or_else(String::new, |typed| format!(" {}:{:02}", typed.hour(), typed.minute()));
        let age = match on.signed_duration_since(noted).num_days() {
            ..=0 => String::new(),
            1 => ", a day old".to_owned(),
            days @ 2..=9 => format!(", {} days old", NUMBERS[usize::try_from(days).unwrap_or(0) - 2]),
            days => format!(", {days} days old"),
        };
        Ok(format!("forecast of {}{hour}{age}", noted.format("%A")))
    }
}

/// Springs looked back on for last frosts.
const SPRINGS: i32 = 20;

const NUMBERS: [&str; 8] = ["two", "three", "four", "five", "six", "seven", "eight", "nine"];

/// What the settings say that answers call things.
pub(super) fn fields(trade: &Trade) -> Fields {
    let service = trade.weather();
    Fields { day: service.day.clone(), low: service.low.clone(), high: service.high.clone(), unit: service.unit }
}
