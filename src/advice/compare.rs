//! Which did better: lots, treatments or years of one crop, in plain words first.

use std::collections::BTreeMap;

use chrono::Datelike;

use crate::quantity::CropName;
use crate::science::compare::{ALIKE_WITHIN, Comparison, Finding, REAL_BELOW, compare};
use crate::science::interval::{Confidence, Tally};

use super::outlook::{PastSowing, Record};
use super::why::Why;

/// What sowings are told apart by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum By {
    /// The lot of seed.
    Lot,
    /// What was done to the seed, a start on damp paper among it.
    Treatment,
    /// The year of sowing.
    Year,
}

/// One of two that are compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Its name, for people.
    pub name: String,
    /// Its sowings.
    pub sowings: u32,
    /// Units up of units sown; those thrown away before they showed count as sown.
    pub tally: Tally,
}

/// Two sides and what their counts show.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// The side with the more seed sown.
    pub first: Side,
    /// Any other.
    pub second: Side,
    /// What it comes to: `54 of 72 against 31 of 72: a real difference`.
    pub words: String,
    /// The figures it rests on.
    pub comparison: Comparison,
    /// How it was come by.
    pub why: Why,
}

/// The sowings of a crop that are over, grouped, and the largest group against each of the others. Pinches have no
/// number and are left out.
#[must_use]
pub fn compared(record: &Record, crop: &CropName, by: By) -> Vec<Compared> {
    let mut groups: BTreeMap<(String, i64), Vec<&PastSowing>> = BTreeMap::new();
    for sowing in record.sowings(crop).iter().filter(|sowing| sowing.sown > 0) {
        groups.entry(key(record, sowing, by)).or_default().push(sowing);
    }
    let mut sides: Vec<Side> = groups.into_iter().filter_map(|((name, _), sowings)| side(name, &sowings)).collect();
    sides.sort_by_key(|side| std::cmp::Reverse(side.tally.sown()));
    let Some((first, others)) = sides.split_first() else { return Vec::new() };
    others.iter().map(|second| of(first.clone(), second.clone())).collect()
}

/// The name of a sowing's group, with a number that tells apart lots of one variety and year.
fn key(record: &Record, sowing: &PastSowing, by: By) -> (String, i64) {
    match by {
        By::Lot => {
            let packed = record.lot(sowing.lot).and_then(|of| of.lot.packed);
            let year = packed.map(|year| format!(" {year}")).unwrap_or_default();
            (format!("{}{year}", sowing.variety), sowing.lot.0.0)
        }
        By::Treatment if sowing.on_paper => ("damp paper".to_owned(), 0),
        By::Treatment => (sowing.treatment.to_string(), 0),
        By::Year => (sowing.sown_on.year().to_string(), 0),
    }
}

fn side(name: String, sowings: &[&PastSowing]) -> Option<Side> {
    let up = sowings.iter().map(|sowing| sowing.up.min(sowing.sown)).fold(0, u32::saturating_add);
    let sown = sowings.iter().map(|sowing| sowing.sown).fold(0, u32::saturating_add);
    let tally = Tally::new(up, sown).ok()?;
    Some(Side { name, sowings: u32::try_from(sowings.len()).unwrap_or(u32::MAX), tally })
}

fn of(first: Side, second: Side) -> Compared {
    let comparison = compare(first.tally, second.tally, Confidence::NINETY_FIVE);
    let found = match comparison.finding {
        Finding::FirstBetter | Finding::SecondBetter => "a real difference",
        Finding::Alike => "much alike",
        Finding::TooFewToTell => "too few to tell",
    };
    let (one, other) = (first.tally, second.tally);
    let words = format!("{} of {} against {} of {}: {found}", one.up(), one.sown(), other.up(), other.sown());
    let rule = format!(
        "a real difference when chance alone would show one as large less than {:.0} times in 100; much alike when the \
         true difference is within {:.0} points either way",
        REAL_BELOW * 100.0,
        ALIKE_WITHIN * 100.0
    );
    let points = |share: f64| format!("{:+.0}", share * 100.0);
    let (low, high) = (points(comparison.interval.low), points(comparison.interval.high));
    let by_chance = match comparison.p_value {
        rare if rare < 0.001 => "less than once in 1000".to_owned(),
        share => format!("{share:.3}"),
    };
    let why = Why::new(rule)
        .given("difference in points of a hundred", format!("{}, from {low} to {high}", points(comparison.difference)))
        .given("chance alone would show as much", by_chance)
        .doubt("trays differ in more than what they are told apart by: place, week, depth, watering")
        .changes("more sowings, side by side")
        .published("Fisher's exact test: Fisher 1935, J R Stat Soc 98:39")
        .published("interval for the difference: method 10 of Newcombe 1998, Stat Med 17:873");
    Compared { first, second, words, comparison, why }
}
