//! What a grower says of the site, which no table can know: the last spring frost, and where forecasts come from.

use std::sync::LazyLock;

use chrono::{Datelike, Month};

use super::figure::{Provenance, Source};
use super::find::closest_of;
use super::setting::{Page, Setting};
use super::weather::{self, WeatherService};
use super::{Trade, TradeError};
use crate::quantity::{Date, Looking, parse_date};

const LAST_FROST: &str = "last_frost";
/// Tables of the same file that the full screen reads.
const SCREEN: &str = "screen";
const KEYS: &str = "keys";

/// The last spring frost of a site: a day of the calendar, and who says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LastFrost {
    month: u32,
    day: u32,
    source: Source,
}

/// Where the grower has said nothing: lowland England. Common practice, no source.
static USUAL: LazyLock<LastFrost> = LazyLock::new(|| LastFrost {
    month: 5,
    day: 10,
    source: Source {
        citation: "last frost in lowland England, unless settings.toml says otherwise: common practice, no source"
            .into(),
        provenance: Provenance::Practice,
    },
});

impl LastFrost {
    /// The day in some year; `None` outside the calendar.
    #[must_use]
    pub fn of_year(&self, year: i32) -> Option<Date> {
        let day = |day| Date::from_ymd_opt(year, self.month, day);
        // The 29th of February is the 28th in most years.
        day(self.day).or_else(|| day(self.day.saturating_sub(1)))
    }

    /// Who says so.
    #[must_use]
    pub const fn source(&self) -> &Source {
        &self.source
    }
}

impl Trade {
    /// Takes in what a grower says of the site.
    ///
    /// `toml_text` is the settings file, `file_name` the name it has in messages. Everything is optional:
    ///
    /// ```toml
    /// last_frost = "15 may"               # the last spring frost: a day and a month
    /// latitude = 51.5                     # degrees north and east; without them nothing is ever fetched
    /// longitude = -1.25
    /// forecast_url = "https://weather.example/v1?lat={latitude}&lon={longitude}"
    /// forecast_day = "time"               # what the answer calls its days, lows and highs, where that cannot be told
    /// forecast_low = "tn"
    /// forecast_high = "tx"
    /// forecast_unit = "F"                 # where the answer does not say: C, unless this does
    /// ```
    ///
    /// # Errors
    /// The first setting that is unknown or cannot be read, with its line.
    pub fn with_site(mut self, toml_text: &str, file_name: &str) -> Result<Self, TradeError> {
        let page = Page::new(file_name, toml_text);
        let table = page.parse()?;
        for setting in page.settings(&table) {
            match setting.name() {
                SCREEN | KEYS => {}
                LAST_FROST => self.last_frost = Some(last_frost(&setting, file_name)?),
                name => {
                    if self.weather.take(&setting)? {
                        continue;
                    }
                    let offer = closest_of(name, [LAST_FROST, SCREEN, KEYS].into_iter().chain(weather::NAMES));
                    let offer = offer.map(|name| format!(", did you mean {name}?")).unwrap_or_default();
                    return Err(setting.error(format!("unknown setting{offer}")));
                }
            }
        }
        Ok(self)
    }

    /// Where forecasts come from, as far as the grower said.
    #[must_use]
    pub const fn weather(&self) -> &WeatherService {
        &self.weather
    }

    /// The last spring frost: the grower's, or else a usual one.
    #[must_use]
    pub fn last_frost(&self) -> &LastFrost {
        self.last_frost.as_ref().unwrap_or(&USUAL)
    }
}

/// A day and a month, without a year.
fn last_frost(setting: &Setting<'_>, file: &str) -> Result<LastFrost, TradeError> {
    let text = setting.text()?;
    let words: Vec<&str> = text.split_whitespace().collect();
    let wrong = || setting.error(format!("'{text}' is not a day of the year: write \"15 may\""));
    if words.len() != 2 || !words.iter().any(|word| word.parse::<Month>().is_ok()) {
        return Err(wrong());
    }
    // Read back from the end of a leap year, every day of the calendar is found.
    let last = Date::from_ymd_opt(2000, 12, 31).ok_or_else(wrong)?;
    let on = parse_date(text, last, Looking::Back).map_err(|_| wrong())?;
    let source = Source { citation: file.into(), provenance: Provenance::Grower };
    Ok(LastFrost { month: on.month(), day: on.day(), source })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frost(text: &str) -> Result<LastFrost, String> {
        let trade = Trade::built_in().unwrap().with_site(text, "settings.toml").map_err(|error| error.to_string())?;
        Ok(trade.last_frost().clone())
    }

    #[test]
    fn a_day_of_the_year_is_read_and_the_usual_one_stands_without() {
        let on = |text: &str, year| frost(text).unwrap().of_year(year).unwrap().to_string();
        assert_eq!(on("last_frost = \"15 may\"", 2026), "2026-05-15");
        assert_eq!(on("last_frost = \"Apr 2\" # by the river", 2027), "2027-04-02");
        assert_eq!(on("last_frost = \"29 feb\"", 2028), "2028-02-29");
        assert_eq!(on("last_frost = \"29 feb\"", 2027), "2027-02-28");
        assert_eq!(on("", 2026), "2026-05-10");
        assert_eq!(frost("").unwrap().source().provenance, Provenance::Practice);
        assert_eq!(frost("last_frost = '1 may'").unwrap().source().to_string(), "settings.toml (your own figure)");
    }

    #[test]
    fn what_is_wrong_is_told_with_its_file_line_and_key() {
        for text in ["'soon'", "'today'", "'3d ago'", "'2026-05-15'", "'40 may'", "'15 may 2026'", "'5/6'", "''"] {
            let error = frost(&format!("\nlast_frost = {text}")).unwrap_err();
            assert!(error.starts_with("settings.toml, line 2: last_frost: "), "{text}: {error}");
        }
        let error = frost("last_frost = 15").unwrap_err();
        assert_eq!(error, "settings.toml, line 1: last_frost: a text in quotes belongs here");
        let error = frost("last-frost = '15 may'").unwrap_err();
        assert_eq!(error, "settings.toml, line 1: last-frost: unknown setting, did you mean last_frost?");
        assert!(frost("last_frost = ").unwrap_err().starts_with("settings.toml, line 1: "));
    }
}
