//! A rate of progress that changes with temperature along straight lines, as read off a table of days.

use super::thermal::Day;

/// Progress a day by temperature: straight lines between the points given, nothing outside them.
#[derive(Clone, Debug, PartialEq)]
pub struct RateCurve {
    /// Each temperature with the change of slope there.
    bends: Vec<(f64, f64)>,
}

impl RateCurve {
    /// The curve through points of temperature (degrees C) and rate (progress a day).
    ///
    /// `None` unless there are three points or more, in rising order of temperature, the first and the last with a rate
    /// of 0 and none below it.
    #[must_use]
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let rising = points.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[1].0 < f64::INFINITY);
        let rates = points.iter().all(|(_, rate)| (0.0..f64::INFINITY).contains(rate));
        let (first, last) = (points.first()?, points.last()?);
        if points.len() < 3 || !rising || !rates || first.1 != 0.0 || last.1 != 0.0 || !first.0.is_finite() {
            return None;
        }
        let slopes = points.windows(2).map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0));
        let mut before = 0.0;
        let bends = points.iter().zip(slopes.chain([0.0])).map(|((temperature, _), slope)| {
            let bend = slope - before;
            before = slope;
            (*temperature, bend)
        });
        Some(Self { bends: bends.collect() })
    }

    /// Progress in a day whose temperature is a sine between its extremes; never below 0.
    ///
    /// A curve of straight lines is a sum of degree-days above its corners, each weighed by the change of slope there.
    #[must_use]
    pub fn day(&self, day: Day) -> f64 {
        self.bends.iter().map(|(at, bend)| bend * day.degree_days_above(*at)).sum::<f64>().max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::thermal::Cardinal;

    /// Checked against: the three cardinal temperatures, whose day is checked against a sum over its curve.
    #[test]
    fn three_points_are_cardinal_temperatures() {
        let curve = RateCurve::through(&[(7.6, 0.0), (26.0, 18.4), (36.0, 0.0)]).unwrap();
        let cardinal = Cardinal::new(7.6, 26.0, 36.0).unwrap();
        for (min, max) in [(2.0, 7.0), (2.0, 12.0), (10.0, 20.0), (5.0, 33.0), (18.0, 45.0), (37.0, 50.0)] {
            let day = Day::between(min, max);
            assert!((curve.day(day) - cardinal.day(day)).abs() < 1e-9, "{min} {max}");
        }
    }

    #[test]
    fn a_steady_day_lies_on_the_line() {
        let curve = RateCurve::through(&[(10.0, 0.0), (15.0, 0.1), (20.0, 0.3), (40.0, 0.0)]).unwrap();
        for (temperature, rate) in [(5.0, 0.0), (12.5, 0.05), (15.0, 0.1), (17.5, 0.2), (30.0, 0.15), (45.0, 0.0)] {
            assert!((curve.day(Day::steady(temperature)) - rate).abs() < 1e-12, "{temperature}");
        }
    }

    #[test]
    fn points_that_are_no_curve_are_refused() {
        for points in [
            &[(10.0, 0.0), (20.0, 0.1)][..],
            &[(10.0, 0.1), (20.0, 0.1), (30.0, 0.0)],
            &[(10.0, 0.0), (20.0, 0.1), (30.0, 0.1)],
            &[(10.0, 0.0), (10.0, 0.1), (30.0, 0.0)],
            &[(10.0, 0.0), (20.0, f64::NAN), (30.0, 0.0)],
            &[(10.0, 0.0), (f64::NAN, 0.1), (30.0, 0.0)],
            &[],
        ] {
            assert_eq!(RateCurve::through(points), None);
        }
    }
}
