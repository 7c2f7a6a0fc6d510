//! When a crop comes up by the book: how fast it goes at each temperature, how long half of it takes, how far apart the
//! first and the last are. One source a crop, never two mixed.

use crate::quantity::Celsius;
use crate::science::emergence::Timing;
use crate::science::rate_curve::RateCurve;
use crate::science::thermal::{Cardinal, Day, HeatSum};
use crate::trade::{Crop, EmergencePoint, Provenance, Source};

use super::verdict::{Hold, LATE_PACKET};

/// How far a book's days may be off for one grower's trays, as standard deviations of the logarithm: for all crops
/// together (the thermometer, the compost, the depth), for one crop beside that, and from batch to batch. Together a
/// quarter for the book and a seventh for the batch. Common practice, no source.
pub(super) const PACE_DOUBT: f64 = 0.18;
pub(super) const CROP_DOUBT: f64 = 0.18;
pub(super) const BATCH_DOUBT: f64 = 0.15;
/// How far the spread may be off, likewise. Common practice, no source.
pub(super) const SPREAD_DOUBT: f64 = 0.3;
/// How far the seeds of one tray come up together, as the correlation between any two: they lie as deep and as wet, and have
/// the same cold night. Of five hundred without a shoot the silence speaks for no more than some ninety.
///
/// Source: plates of germinating seed, Crowder 1978, Appl. Statist. 27:34, table 3, by the moments of Williams 1982, Appl.
/// Statist. 31:144, about the means of seed and extract: 0.025. Trays in a house are hardly more even than that.
pub(super) const ALIKE: f64 = 0.025;
/// Days to the ninth tenth over days to the first when nothing is known. Common practice, no source.
const USUAL_SPREAD: f64 = 2.0;
/// Seed still moves so many degrees under the coldest it is worth sowing at, and up to so many over the hottest.
/// Common practice, no source.
const UNDER_COLDEST: f64 = 3.0;
const OVER_HOTTEST: f64 = 5.0;
/// A crop of which nothing is known: ten days at 20 C, nothing under 5 or over 38. Common practice, no source.
const UNKNOWN: [(f64, f64); 4] = [(5.0, 0.0), (20.0, 0.1), (28.0, 0.1), (38.0, 0.0)];
/// Four points and more are worth a line; fewer are joined.
const ENOUGH_POINTS: usize = 4;
/// Within so many degrees of the coldest it comes up at, a crop is slow and uneven. Common practice, no source.
const BARELY_WARM: f64 = 3.0;

/// How a crop's time runs with temperature.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Clock {
    /// Degree-days between cardinal temperatures.
    Heat(Cardinal),
    /// Shares of the table's days, joined between its temperatures.
    Table(RateCurve),
}

impl Clock {
    /// What a day adds.
    pub(super) fn day(&self, day: Day) -> f64 {
        match self {
            Self::Heat(cardinal) => cardinal.day(day),
            Self::Table(curve) => curve.day(day),
        }
    }
}

/// What the book says of a crop's emergence in trays.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Book {
    pub(super) clock: Clock,
    /// In the clock's unit.
    pub(super) timing: Timing,
    /// How far its median may be off for this grower's trays, beside what is common to all crops, as a standard deviation
    /// of the logarithm.
    pub(super) doubt: f64,
    /// The compost under which, and over which, seed does not come up: where the table of days has some up beyond what is
    /// printed as the least or the most, that of the table.
    pub(super) coldest: Option<Celsius>,
    pub(super) hottest: Option<Celsius>,
    /// How it was come by, in words, and who says so.
    pub(super) basis: String,
    pub(super) sources: Vec<Source>,
}

impl Book {
    pub(super) fn of(crop: Option<&Crop>) -> Self {
        let (clock, median, basis, source) = crop
            .and_then(|crop| by_heat_sum(crop).or_else(|| by_fit(crop)).or_else(|| by_table(crop)))
            .unwrap_or_else(unknown);
        let mut sources = vec![source];
        let (mut factor, mut doubt) = (1.0, CROP_DOUBT);
        if let Some(tray) = crop.and_then(Crop::tray_factor) {
            factor = (tray.low * tray.high).sqrt();
            // The range is taken as four standard deviations.
            doubt = doubt.hypot((tray.high / tray.low).ln() / 4.0);
            sources.push(tray.source);
        }
        let ratio = crop.and_then(Crop::emergence_spread);
        let ninth_over_first = ratio.as_ref().map_or(USUAL_SPREAD, |ratio| (ratio.low * ratio.high).sqrt());
        sources.extend(ratio.map(|ratio| ratio.source));
        let range = [crop.and_then(Crop::germination_minimum), crop.and_then(Crop::germination_maximum)];
        sources.extend(range.iter().flatten().map(|figure| figure.source.clone()));
        let [least, most] = range;
        // At freezing days are counted in months: nobody waits for that.
        let came_up = || crop.into_iter().flat_map(tried).map(|(soil, ..)| soil).filter(|soil| *soil > 0.0);
        let coldest = least.map(|least| Celsius(came_up().fold(least.low.0, f64::min)));
        let hottest = most.map(|most| Celsius(came_up().fold(most.high.0, f64::max)));
        // Nine to one from the first tenth to the ninth on either side of the middle.
        let spread = (ninth_over_first.max(1.05).ln() / (2.0 * 9f64.ln())).clamp(0.01, 1.0);
        Self {
            clock,
            timing: timing(median * factor, spread),
            doubt: if doubt.is_finite() { doubt } else { CROP_DOUBT },
            coldest,
            hottest,
            basis,
            sources,
        }
    }

    /// Why seed stands still on such a day: the mean of its compost is out of the range it germinates in.
    pub(super) fn stands_still(&self, day: Day) -> Option<Hold> {
        let mean = f64::midpoint(day.min(), day.max());
        match (self.coldest.is_some_and(|line| mean < line.0), self.hottest.is_some_and(|line| mean > line.0)) {
            (true, _) => Some(Hold::TooCold),
            (_, true) => Some(Hold::TooHot),
            _ => None,
        }
    }

    /// What a day adds to its time; one on which it stands still adds nothing, so that no waiting there tells on the seed.
    pub(super) fn day(&self, day: Day) -> f64 {
        if self.stands_still(day).is_some() { 0.0 } else { self.clock.day(day) }
    }

    /// When half of a late packet would be up, in the clock's unit.
    pub(super) fn late_median(&self) -> f64 {
        let doubt = self.doubt.hypot(PACE_DOUBT).hypot(BATCH_DOUBT);
        self.timing.median() * (LATE_PACKET * doubt).exp()
    }

    /// Whether it comes up at such a mean of the compost, but slowly.
    pub(super) fn is_barely_warm(&self, mean: f64) -> bool {
        self.coldest.is_some_and(|line| (line.0..line.0 + BARELY_WARM).contains(&mean))
    }
}

/// A timing from figures that were checked where they were read; one beyond what can be is a middling one.
pub(super) fn timing(median: f64, spread: f64) -> Timing {
    Timing::new(median, spread).unwrap_or_else(|_| middling())
}

#[expect(clippy::expect_used, reason = "one and a sixth are figures that a timing can hold")]
fn middling() -> Timing {
    Timing::new(1.0, 1.0 / 6.0).expect("one and a sixth are a timing")
}

/// Between base and ceiling: linear up to the warmest that the figures hold for, or to the middle of the temperatures it
/// comes up well at where that is warmer.
fn cardinal(crop: &Crop, base: f64, holds_to: Option<f64>) -> Option<Cardinal> {
    let well = crop.germination_optimum();
    let (middle, top) = well.map_or((20.0, 25.0), |well| ((well.low.0 + well.high.0) / 2.0, well.high.0));
    let optimum = holds_to.map_or(middle, |to| to.max(middle)).min(top.max(middle)).max(base + 5.0);
    let hottest = crop.germination_maximum().map_or(optimum, |hottest| hottest.high.0);
    Cardinal::new(base, optimum, hottest.max(optimum) + OVER_HOTTEST).ok()
}

fn by_heat_sum(crop: &Crop) -> Option<(Clock, f64, String, Source)> {
    let sum = crop.heat_sum()?;
    let cardinal = cardinal(crop, sum.base.0, sum.holds.map(|(_, to)| to.0))?;
    let basis = format!("{} degree-days above {}", sum.degree_days, sum.base);
    Some((Clock::Heat(cardinal), sum.degree_days, basis, sum.source.clone()))
}

/// Middle days of a point where some came up.
fn tried(crop: &Crop) -> impl Iterator<Item = (f64, f64, &EmergencePoint)> {
    crop.emergence().iter().filter_map(|point| {
        let (low, high) = point.days?;
        Some((point.soil.0, (f64::from(low) + f64::from(high)) / 2.0, point))
    })
}

/// The heat sum that fits the table up to where it is fastest, when four points or more stand there.
fn by_fit(crop: &Crop) -> Option<(Clock, f64, String, Source)> {
    // At freezing days are counted in months and would bend the line.
    let mut points: Vec<(f64, f64)> =
        tried(crop).filter(|(soil, ..)| *soil > 0.0).map(|(soil, days, _)| (soil, days)).collect();
    let fastest = points.iter().map(|(_, days)| *days).fold(f64::INFINITY, f64::min);
    let rising = points.iter().position(|(_, days)| *days <= fastest)? + 1;
    points.truncate(rising);
    if points.len() < ENOUGH_POINTS {
        return None;
    }
    let fit = HeatSum::fit(&points)?;
    let cardinal = cardinal(crop, fit.base, points.last().map(|(soil, _)| *soil))?;
    let basis = format!("{:.0} degree-days above {:.1} C, fitted to the table of days", fit.sum, fit.base);
    Some((Clock::Heat(cardinal), fit.sum, basis, tried(crop).next()?.2.source.clone()))
}

/// The table's days joined by straight lines in their rates; its time is counted in its own days, so the median is 1.
fn by_table(crop: &Crop) -> Option<(Clock, f64, String, Source)> {
    let tried: Vec<_> = tried(crop).collect();
    let (coldest, hottest) = (tried.first()?.0, tried.last()?.0);
    let none = || crop.emergence().iter().filter(|point| point.days.is_none()).map(|point| point.soil.0);
    let minimum = crop.germination_minimum().map_or(coldest, |minimum| minimum.low.0);
    let maximum = crop.germination_maximum().map_or(hottest, |maximum| maximum.high.0);
    let base = none().filter(|soil| *soil < coldest).fold(f64::NEG_INFINITY, f64::max);
    let base = if base.is_finite() { base } else { minimum.min(coldest) - UNDER_COLDEST };
    let top = none().filter(|soil| *soil > hottest).fold(f64::INFINITY, f64::min);
    let top = if top.is_finite() { top } else { maximum.max(hottest) + OVER_HOTTEST };
    let mut points = vec![(base, 0.0)];
    points.extend(tried.iter().map(|(soil, days, _)| (*soil, 1.0 / days)));
    points.push((top, 0.0));
    let basis = if let [(soil, days, _)] = tried[..] {
        format!("{days} days at {soil} C, the one temperature that is in print")
    } else {
        "the table of days by temperature, joined by straight lines".to_owned()
    };
    Some((Clock::Table(RateCurve::through(&points)?), 1.0, basis, tried.first()?.2.source.clone()))
}

#[expect(clippy::expect_used, reason = "four points in rising order, the ends at 0")]
fn unknown() -> (Clock, f64, String, Source) {
    let curve = RateCurve::through(&UNKNOWN).expect("the points are a curve");
    let citation = "about ten days at 20 C where no table speaks: common practice, no source";
    let source = Source { citation: citation.into(), provenance: Provenance::Practice };
    (Clock::Table(curve), 1.0, "about ten days at 20 C, as of any seed".to_owned(), source)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::{CropKey, Trade};

    fn days_at(crop: &str, temperature: f64) -> f64 {
        let trade = Trade::built_in().unwrap();
        let book = Book::of(trade.crop(&CropKey::new(crop)));
        book.timing.median() / book.clock.day(Day::steady(temperature))
    }

    /// Source: Harrington & Minges 1954 as printed in Knott's Handbook, 1997; a fit is within 15 %, a table with its
    /// points is exact.
    #[test]
    fn the_book_gives_the_published_days_again() {
        for (crop, temperature, days, within) in [
            ("tomato", 15.0, 14.0, 0.15),
            ("tomato", 20.0, 8.0, 0.15),
            ("cabbage", 10.0, 15.0, 0.15),
            ("parsnip", 15.0, 19.0, 0.15),
            ("cucumber", 15.0, 13.0, 0.15),
            ("cucumber", 25.0, 4.0, 0.15),
            ("lima bean", 20.0, 18.0, 1e-9),
        ] {
            let got = days_at(crop, temperature);
            assert!((got / days - 1.0).abs() <= within, "{crop} at {temperature}: {got:.1} against {days}");
        }
        // Growers' trays: 14 days at 20 C for celery, 10 to 14 at 15 C for onion (common practice, no source).
        assert!((12.0..16.0).contains(&days_at("celery", 20.0)), "{}", days_at("celery", 20.0));
        assert!((10.0..14.0).contains(&days_at("onion", 15.0)), "{}", days_at("onion", 15.0));
    }

    /// Source: Harrington & Minges 1954 as printed in Knott's Handbook, 1997, every point above freezing of every crop with
    /// four or more, those past the quickest among them; what a tray takes beside it is taken off. Points that a crop's fit was
    /// made from are not foretold: that is done, one left out at a time, in the tests of the sums.
    #[test]
    fn the_books_in_use_against_the_whole_table() {
        let trade = Trade::built_in().unwrap();
        let mut errors = Vec::new();
        for crop in trade.crops() {
            let points: Vec<_> =
                tried(crop).filter(|(soil, ..)| *soil > 0.0).map(|(soil, days, _)| (soil, days)).collect();
            if points.len() < ENOUGH_POINTS {
                println!("{}: {} points, too few", crop.key(), points.len());
                continue;
            }
            let book = Book::of(Some(crop));
            let tray = crop.tray_factor().map_or(1.0, |tray| (tray.low * tray.high).sqrt());
            let days_at = |soil| book.timing.median() / tray / book.day(Day::steady(soil));
            let line = points.iter().map(|(soil, days)| {
                errors.push((days_at(*soil) / days - 1.0).abs());
                format!(" {soil} C {:.1}/{days}", days_at(*soil))
            });
            println!("{} ({}):{}", crop.key(), book.basis, line.collect::<String>());
        }
        errors.sort_by(f64::total_cmp);
        let (median, ninth) = (errors[errors.len() / 2], errors[errors.len() * 9 / 10]);
        println!(
            "of {} points the median error is {:.0} %, the ninth tenth {:.0} %",
            errors.len(),
            100.0 * median,
            100.0 * ninth
        );
        assert!(errors.len() > 80, "{}", errors.len());
        // The bar the foretelling was set; and where seed came up, time runs.
        assert!(median <= 0.15, "{median}");
        assert!(errors.iter().all(|error| error.is_finite()));
    }

    #[test]
    fn every_crop_has_a_book_and_one_source_of_days() {
        let trade = Trade::built_in().unwrap();
        for crop in trade.crops() {
            let book = Book::of(Some(crop));
            let days = book.timing.median() / book.clock.day(Day::steady(20.0));
            assert!((1.0..60.0).contains(&days), "{}: {days}", crop.key());
            assert!([-6.0, 60.0].map(|off| book.clock.day(Day::steady(off))).iter().all(|rate| *rate < 1e-9));
        }
        assert!((days_at("no such crop", 20.0) - 10.0).abs() < 1e-9);
        // Basil waits for 15 C and stands still at 11.
        assert!(days_at("basil", 11.0).is_infinite() && days_at("basil", 21.0) < 8.0);
    }
}
