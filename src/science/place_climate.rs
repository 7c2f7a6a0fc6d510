//! Tonight's low in a place, from the forecast outside, the place's lift and its heating.

use super::spread::Spread;
use crate::quantity::Celsius;

/// Whether something keeps the place warm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Heat {
    /// Nothing does.
    Unheated,
    /// A heater holds the air at this temperature or above while it works.
    Held(Celsius),
}

/// Tonight's low in a place: a spread, cut off below at the thermostat while the heat holds.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceLow {
    unheated: Spread,
    held_at: Option<f64>,
}

impl PlaceLow {
    /// The low of a place from the forecast low outside, the forecast's error and the place's lift.
    #[must_use]
    pub fn new(forecast_low: Celsius, forecast_error: &Spread, lift: &Spread, heat: Heat) -> Self {
        let held_at = match heat {
            Heat::Unheated => None,
            Heat::Held(at) => Some(at.0),
        };
        Self { unheated: forecast_error.plus(lift).moved(forecast_low.0), held_at }
    }

    /// Degrees, none or more, by which weather and thermostat have to come down for this low to be likely no warmer than a line.
    #[must_use]
    pub fn down_to(&self, line: Celsius) -> (f64, f64) {
        let over = |degrees: f64| (degrees - line.0).max(0.0);
        (over(self.unheated.quantile(0.5)), self.held_at.map_or(0.0, over))
    }

    /// This low with weather and thermostat so many degrees down.
    #[must_use]
    pub fn lowered(&self, (weather, thermostat): (f64, f64)) -> Self {
        Self { unheated: self.unheated.moved(-weather), held_at: self.held_at.map(|held| held - thermostat) }
    }

    /// The probability, 0 to 1, that the low is below `line`: nothing at or under the thermostat.
    #[must_use]
    pub fn below(&self, line: Celsius) -> f64 {
        match self.held_at {
            Some(held) if line.0 <= held => 0.0,
            _ => self.unheated.below(line.0),
        }
    }

    /// The low that is undercut on the share `p` of such nights; `p` is held within 0.0001 to 0.9999.
    #[must_use]
    pub fn quantile(&self, p: f64) -> Celsius {
        let low = self.unheated.quantile(p);
        Celsius(self.held_at.map_or(low, |held| low.max(held)))
    }
}

/// The usual standard deviation, in degrees, of a forecast of the low or high so many days ahead: 1.5 for tonight, a
/// quarter of a degree more each day after, at most 4. Common practice, no source; a grower's own record is better.
#[must_use]
pub fn usual_forecast_error(days_ahead: u32) -> Spread {
    Spread::normal(0.0, (1.5 + 0.25 * f64::from(days_ahead)).min(4.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heated_place_is_never_below_its_thermostat() {
        let low = |heat| PlaceLow::new(Celsius(1.0), &usual_forecast_error(0), &Spread::normal(3.5, 1.8), heat);
        let (heated, cold) = (low(Heat::Held(Celsius(7.0))), low(Heat::Unheated));
        assert!(heated.below(Celsius(7.0)).abs() < 1e-12 && cold.below(Celsius(7.0)) > 0.8);
        assert!((heated.below(Celsius(7.5)) - cold.below(Celsius(7.5))).abs() < 1e-12);
        assert!((heated.quantile(0.1).0 - 7.0).abs() < 1e-12);
        assert!((cold.quantile(0.5).0 - 4.5).abs() < 1e-3);
    }

    #[test]
    fn what_is_taken_down_keeps_its_spread() {
        let of = |heat| PlaceLow::new(Celsius(10.0), &Spread::normal(0.0, 2.0), &Spread::normal(0.0, 0.0), heat);
        let taken = |low: &PlaceLow, celsius| low.lowered(low.down_to(Celsius(celsius)));
        let low = of(Heat::Unheated);
        assert!((taken(&low, 4.0).quantile(0.5).0 - 4.0).abs() < 1e-3);
        // The 90th percentile of a standard normal is 1.2816 (printed table).
        assert!((taken(&low, 4.0).quantile(0.9).0 - (4.0 + 2.0 * 1.2816)).abs() < 1e-3);
        assert_eq!(taken(&low, 14.0), low, "never up");
        // A thermostat holds what was read, however far the weather comes down.
        let heated = taken(&of(Heat::Held(Celsius(8.0))), 7.5);
        assert!((heated.quantile(0.1).0 - 7.5).abs() < 1e-3 && heated.below(Celsius(7.4)).abs() < 1e-9);
        assert!(taken(&of(Heat::Held(Celsius(8.0))), 8.0).below(Celsius(8.0)).abs() < 1e-9);
    }

    #[test]
    fn a_forecast_for_later_is_less_certain() {
        assert!(usual_forecast_error(5).sd() > usual_forecast_error(0).sd());
        assert!((usual_forecast_error(u32::MAX).sd() - 4.0).abs() < 1e-9);
    }
}
