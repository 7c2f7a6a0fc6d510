//! Thermal time: what a day's warmth is worth to a seed, and how many days a heat sum takes.

use std::f64::consts::{FRAC_PI_2, PI};

use thiserror::Error;

/// Why three temperatures are not cardinal temperatures.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("base, optimum and ceiling must rise, within -50 and 100 C, not {base}, {optimum}, {ceiling}")]
pub struct CardinalError {
    /// The base given, degrees C.
    pub base: f64,
    /// The optimum given, degrees C.
    pub optimum: f64,
    /// The ceiling given, degrees C.
    pub ceiling: f64,
}

/// The lowest and highest temperature of a day, degrees C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    min: f64,
    max: f64,
}

impl Day {
    /// A day between two temperatures, given in either order.
    #[must_use]
    pub fn between(one: f64, other: f64) -> Self {
        Self { min: one.min(other), max: one.max(other) }
    }

    /// A day that kept one temperature.
    #[must_use]
    pub fn steady(temperature: f64) -> Self {
        Self { min: temperature, max: temperature }
    }

    /// The lowest temperature, degrees C.
    #[must_use]
    pub fn min(self) -> f64 {
        self.min
    }

    /// The highest temperature, degrees C.
    #[must_use]
    pub fn max(self) -> f64 {
        self.max
    }

    /// Degree-days above `threshold`, the day's temperature being a sine between its extremes; 0 for NaN.
    ///
    /// Source: the single sine of Baskerville & Emin 1969, Ecology 50:514.
    #[must_use]
    pub fn degree_days_above(self, threshold: f64) -> f64 {
        let middle = 0.5 * (self.min + self.max);
        if self.min >= threshold {
            return middle - threshold;
        }
        if self.max > threshold {
            let swing = 0.5 * (self.max - self.min);
            let sine = ((threshold - middle) / swing).clamp(-1.0, 1.0);
            // The cosine of the angle at which the curve crosses the threshold.
            let cosine = (1.0 - sine * sine).sqrt();
            return ((middle - threshold) * (FRAC_PI_2 - sine.asin()) + swing * cosine) / PI;
        }
        0.0
    }
}

/// The cardinal temperatures of a crop's germination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cardinal {
    base: f64,
    optimum: f64,
    ceiling: f64,
}

impl Cardinal {
    /// The three temperatures, degrees C: nothing happens at or under the base, most at the optimum, nothing at or over
    /// the ceiling.
    ///
    /// # Errors
    /// When they do not rise, or lie outside -50 to 100 C.
    pub fn new(base: f64, optimum: f64, ceiling: f64) -> Result<Self, CardinalError> {
        if -50.0 <= base && base < optimum && optimum < ceiling && ceiling <= 100.0 {
            Ok(Self { base, optimum, ceiling })
        } else {
            Err(CardinalError { base, optimum, ceiling })
        }
    }

    /// Thermal units a day at one steady temperature: linear from the base to the optimum, falling to 0 at the ceiling.
    ///
    /// Source: the linear rate model of Garcia-Huidobro, Monteith & Squire 1982, J Exp Bot 33:288.
    #[must_use]
    pub fn rate(self, temperature: f64) -> f64 {
        if temperature <= self.base || temperature >= self.ceiling || temperature.is_nan() {
            0.0
        } else if temperature <= self.optimum {
            temperature - self.base
        } else {
            (self.optimum - self.base) * (self.ceiling - temperature) / (self.ceiling - self.optimum)
        }
    }

    /// Thermal units of a day whose temperature is a sine between its extremes, degree-days; never below 0.
    ///
    /// The rate is made of three straight lines, so it is a sum of degree-days above the three temperatures.
    #[must_use]
    pub fn day(self, day: Day) -> f64 {
        if day.max <= self.optimum {
            return day.degree_days_above(self.base);
        }
        let fall = (self.optimum - self.base) / (self.ceiling - self.optimum);
        let sum = day.degree_days_above(self.base) - (1.0 + fall) * day.degree_days_above(self.optimum)
            + fall * day.degree_days_above(self.ceiling);
        sum.max(0.0)
    }
}

/// A base temperature with the heat sum to emergence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatSum {
    /// The base, degrees C.
    pub base: f64,
    /// The heat sum above it, degree-days.
    pub sum: f64,
}

impl HeatSum {
    /// Days to emerge at a steady `temperature`; `None` at or under the base.
    #[must_use]
    pub fn days_at(self, temperature: f64) -> Option<f64> {
        (temperature > self.base).then(|| self.sum / (temperature - self.base))
    }

    /// Fits base and heat sum to days at steady temperatures by least squares of the relative error; `None` with fewer
    /// than two different temperatures, or a time that is not above 0.
    ///
    /// Use only temperatures up to the optimum. The base is sought from 30 degrees under the coldest of them up to it.
    #[must_use]
    pub fn fit(days_by_temperature: &[(f64, f64)]) -> Option<Self> {
        let coldest = days_by_temperature.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        let warmest = days_by_temperature.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
        let usable = coldest < warmest && days_by_temperature.iter().all(|p| p.1 > 0.0);
        if !usable {
            return None;
        }
        let at = |base: f64| {
            let ratios =
                || days_by_temperature.iter().map(move |(temperature, days)| 1.0 / ((temperature - base) * days));
            let sum = ratios().sum::<f64>() / ratios().map(|r| r * r).sum::<f64>();
            (ratios().map(|r| (sum * r - 1.0).powi(2)).sum::<f64>(), Self { base, sum })
        };
        // One dip only: thirds of the range are dropped until it is found.
        let (mut low, mut high) = (coldest - 30.0, coldest - 1e-6);
        for _ in 0..100 {
            let third = (high - low) / 3.0;
            if at(low + third).0 < at(high - third).0 { high -= third } else { low += third }
        }
        Some(at(0.5 * (low + high)).1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_that_do_not_rise_are_refused() {
        for (base, optimum, ceiling) in
            [(10.0, 10.0, 30.0), (10.0, 30.0, 20.0), (f64::NAN, 20.0, 30.0), (5.0, 20.0, 1e9)]
        {
            assert!(Cardinal::new(base, optimum, ceiling).is_err());
        }
    }

    /// Checked against: the rate summed over the sine curve by the midpoint rule in 20,000 steps.
    #[test]
    fn a_day_is_the_rate_over_its_curve() {
        let tomato = Cardinal::new(7.6, 26.0, 36.0).unwrap();
        for (min, max) in [(2.0, 7.0), (2.0, 12.0), (10.0, 20.0), (5.0, 33.0), (18.0, 45.0), (37.0, 50.0), (0.0, 60.0)]
        {
            let steps = 20_000;
            let summed = (0..steps)
                .map(|i| {
                    let angle = (f64::from(i) + 0.5) / f64::from(steps) * 2.0 * PI;
                    tomato.rate((min + max) / 2.0 + (max - min) / 2.0 * angle.sin())
                })
                .sum::<f64>()
                / f64::from(steps);
            let got = tomato.day(Day::between(max, min));
            assert!((got - summed).abs() < 1e-5, "{min} {max}: {got} {summed}");
        }
        assert!((tomato.day(Day::steady(20.0)) - 12.4).abs() < 1e-12);
        assert_eq!(tomato.day(Day::between(f64::NAN, f64::NAN)), 0.0);
    }

    #[test]
    fn a_heat_sum_is_found_again() {
        let exact: Vec<_> = [10.0, 15.0, 20.0].iter().map(|t| (*t, 100.0 / (t - 4.0))).collect();
        let fitted = HeatSum::fit(&exact).unwrap();
        assert!((fitted.base - 4.0).abs() < 1e-6 && (fitted.sum - 100.0).abs() < 1e-4, "{fitted:?}");
        assert_eq!(HeatSum::fit(&exact[..1]), None);
        assert_eq!(fitted.days_at(3.0), None);
    }
}
