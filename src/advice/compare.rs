//! Which did better: lots, treatments or years of one crop, in plain words first.

use std::collections::{BTreeMap, BTreeSet};

use chrono::Datelike;

use crate::quantity::{CropName, LotId};
use crate::science::compare::{ALIKE_WITHIN, Comparison, Finding, REAL_BELOW, compare_paired};
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
    /// Those of them that still stand, with what is up so far.
    pub so_far: u32,
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
    /// The figures it rests on; `None` when no packet was sown both ways, so that seed and treatment cannot be told apart.
    pub comparison: Option<Comparison>,
    /// How it was come by.
    pub why: Why,
}

/// The sowings of a crop that are over, and those given that had their time and still stand, grouped, and the largest group against each of the others. Pinches have no
/// number and are left out. Treatments and years are compared packet by packet, of what was sown both ways: else a poor packet
/// would pass for a poor treatment.
#[must_use]
pub fn compared(record: &Record, so_far: &[PastSowing], crop: &CropName, by: By) -> Vec<Compared> {
    let mut groups: BTreeMap<(String, i64), Vec<&PastSowing>> = BTreeMap::new();
    for sowing in record.sowings(crop).iter().chain(so_far).filter(|sowing| sowing.sown > 0) {
        groups.entry(key(record, sowing, by)).or_default().push(sowing);
    }
    let mut groups: Vec<Group> = groups.into_iter().map(|((name, _), sowings)| Group { name, sowings }).collect();
    groups.sort_by_key(|group| std::cmp::Reverse(sown(&group.sowings)));
    let Some((first, others)) = groups.split_first() else { return Vec::new() };
    others.iter().filter_map(|second| if by == By::Lot { of(first, second) } else { by_lot(first, second) }).collect()
}

/// Sowings that are told apart from others by a name.
struct Group<'a> {
    name: String,
    sowings: Vec<&'a PastSowing>,
}

impl Group<'_> {
    fn lots(&self) -> BTreeSet<LotId> {
        self.sowings.iter().map(|sowing| sowing.lot).collect()
    }

    fn of_lots(&self, lots: &BTreeSet<LotId>) -> Self {
        let sowings = self.sowings.iter().copied().filter(|sowing| lots.contains(&sowing.lot)).collect();
        Group { name: self.name.clone(), sowings }
    }

    fn side(&self) -> Option<Side> {
        let number = |sowings: usize| u32::try_from(sowings).unwrap_or(u32::MAX);
        let so_far = number(self.sowings.iter().filter(|sowing| sowing.stands).count());
        Some(Side {
            name: self.name.clone(),
            sowings: number(self.sowings.len()),
            so_far,
            tally: tally(&self.sowings)?,
        })
    }
}

fn sown(sowings: &[&PastSowing]) -> u32 {
    sowings.iter().map(|sowing| sowing.sown).fold(0, u32::saturating_add)
}

fn tally(sowings: &[&PastSowing]) -> Option<Tally> {
    let up = sowings.iter().map(|sowing| sowing.up.min(sowing.sown)).fold(0, u32::saturating_add);
    Tally::new(up, sown(sowings)).ok()
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

/// Whole groups side by side.
fn of(first: &Group, second: &Group) -> Option<Compared> {
    let (first, second) = (first.side()?, second.side()?);
    Some(told(first.clone(), second.clone(), &[(first.tally, second.tally)]))
}

/// Groups side by side within each lot that is in both.
fn by_lot(first: &Group, second: &Group) -> Option<Compared> {
    let both: BTreeSet<LotId> = first.lots().intersection(&second.lots()).copied().collect();
    if both.is_empty() {
        return Some(told(first.side()?, second.side()?, &[]));
    }
    let pairs = both.iter().filter_map(|lot| {
        let lot = BTreeSet::from([*lot]);
        Some((tally(&first.of_lots(&lot).sowings)?, tally(&second.of_lots(&lot).sowings)?))
    });
    Some(told(first.of_lots(&both).side()?, second.of_lots(&both).side()?, &pairs.collect::<Vec<_>>()))
}

fn told(first: Side, second: Side, pairs: &[(Tally, Tally)]) -> Compared {
    let (one, other) = (first.tally, second.tally);
    let so_far = if first.so_far + second.so_far > 0 { " so far" } else { "" };
    let numbers = format!("{} of {} against {} of {}", one.up(), one.sown(), other.up(), other.sown());
    let Some(comparison) = compare_paired(pairs, Confidence::NINETY_FIVE) else {
        let why =
            Why::new("only sowings of one packet tell what was done to its seed, or the year, from the packet itself")
                .given("packets sown both ways", 0)
                .changes("one packet sown both ways, side by side");
        let words = format!("{numbers}{so_far}, but of other packets: it cannot be told");
        return Compared { first, second, words, comparison: None, why };
    };
    let found = match comparison.finding {
        Finding::FirstBetter | Finding::SecondBetter => "a real difference",
        Finding::Alike => "much alike",
        Finding::TooFewToTell => "too few to tell",
    };
    let several = pairs.len() > 1;
    // The sums of several packets may lean the other way.
    let better = match comparison.finding {
        Finding::FirstBetter if several => format!(", {} did better", first.name),
        Finding::SecondBetter if several => format!(", {} did better", second.name),
        _ => String::new(),
    };
    let within = if several { format!(", within each of {} packets", pairs.len()) } else { String::new() };
    let words = format!("{numbers}{so_far}{within}: {found}{better}");
    let why = why(&comparison, several);
    Compared { first, second, words, comparison: Some(comparison), why }
}

fn why(comparison: &Comparison, several: bool) -> Why {
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
    if !several {
        return why;
    }
    why.published(
        "over several packets: the exact conditional test, Agresti 1990, Categorical Data Analysis, pages 230 to 235",
    )
    .published("weights: Mantel & Haenszel 1959, J Natl Cancer Inst 22:719")
    .published("their intervals together: Zou, Huang & Zhang 2009, Comput Stat Data Anal 53:1080")
}
