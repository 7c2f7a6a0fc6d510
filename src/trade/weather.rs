//! Where a grower's forecasts come from: the settings of a weather service.

use super::TradeError;
use super::setting::Setting;
use crate::quantity::Scale;

/// The settings' names, as `settings.toml` has them.
pub(super) const NAMES: [&str; 7] =
    ["latitude", "longitude", "forecast_url", "forecast_day", "forecast_low", "forecast_high", "forecast_unit"];

/// A weather service as the grower describes it; whatever is not said is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeatherService {
    /// Scale north, -90 to 90.
    pub latitude: Option<f64>,
    /// Scale east, -180 to 180.
    pub longitude: Option<f64>,
    /// Its address, with `{latitude}` and `{longitude}` where those go.
    pub url: Option<String>,
    /// What its answer calls the days.
    pub day: Option<String>,
    /// What it calls the lows.
    pub low: Option<String>,
    /// What it calls the highs.
    pub high: Option<String>,
    /// The scale of its temperatures.
    pub unit: Option<Scale>,
}

impl WeatherService {
    /// Takes one setting in; false when it is none of these.
    pub(super) fn take(&mut self, setting: &Setting<'_>) -> Result<bool, TradeError> {
        let within = |most: f64| {
            let degrees = setting.number()?;
            let wrong = || setting.error(format!("{degrees} is not within -{most} to {most} degrees"));
            (-most..=most).contains(&degrees).then_some(Some(degrees)).ok_or_else(wrong)
        };
        let text = || setting.text().map(|text| Some(text.to_owned()));
        match setting.name() {
            "latitude" => self.latitude = within(90.0)?,
            "longitude" => self.longitude = within(180.0)?,
            "forecast_url" => self.url = text()?,
            "forecast_day" => self.day = text()?,
            "forecast_low" => self.low = text()?,
            "forecast_high" => self.high = text()?,
            "forecast_unit" => {
                self.unit = match setting.text()?.trim() {
                    "C" | "c" => Some(Scale::Celsius),
                    "F" | "f" => Some(Scale::Fahrenheit),
                    other => return Err(setting.error(format!("'{other}' is neither \"C\" nor \"F\""))),
                }
            }
            _ => return Ok(false),
        }
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::Trade;

    fn service(text: &str) -> Result<WeatherService, String> {
        let trade = Trade::built_in().unwrap().with_site(text, "settings.toml").map_err(|error| error.to_string())?;
        Ok(trade.weather().clone())
    }

    #[test]
    fn a_service_is_described_in_a_few_lines() {
        assert_eq!(service(""), Ok(WeatherService::default()));
        let told = service(
            "latitude = 51.5\nlongitude = -1\nforecast_url = 'https://a.example/{latitude}'\nforecast_low = 'tn'\nforecast_unit = 'F'",
        )
        .unwrap();
        assert_eq!((told.latitude, told.longitude), (Some(51.5), Some(-1.0)));
        assert_eq!(told.url.as_deref(), Some("https://a.example/{latitude}"));
        assert_eq!((told.low.as_deref(), told.high, told.unit), (Some("tn"), None, Some(Scale::Fahrenheit)));
    }

    #[test]
    fn what_cannot_be_is_told_with_its_line() {
        for (text, said) in [
            ("\nlatitude = 91", "settings.toml, line 2: latitude: 91 is not within -90 to 90 degrees"),
            ("longitude = 'here'", "settings.toml, line 1: longitude: a number belongs here"),
            ("forecast_url = 3", "settings.toml, line 1: forecast_url: a text in quotes belongs here"),
            ("forecast_unit = 'K'", "settings.toml, line 1: forecast_unit: 'K' is neither \"C\" nor \"F\""),
            ("forecast_link = 'a'", "settings.toml, line 1: forecast_link: unknown setting, did you mean forecast_"),
        ] {
            let error = service(text).unwrap_err();
            assert!(error.starts_with(said), "{error}");
        }
    }
}
