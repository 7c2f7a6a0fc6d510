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
/// number and are left out. Treatments are compared packet by packet and year by year, and years packet by packet of what was
/// treated alike, of what was sown both ways: else a poor packet or an old one would pass for a poor treatment.
#[must_use]
pub fn compared(record: &Record, so_far: &[PastSowing], crop: &CropName, by: By) -> Vec<Compared> {
    let mut groups: BTreeMap<(String, i64), Vec<&PastSowing>> = BTreeMap::new();
    for sowing in record.sowings(crop).iter().chain(so_far).filter(|sowing| sowing.sown > 0) {
        groups.entry(key(record, sowing, by)).or_default().push(sowing);
    }
    let mut groups: Vec<Group> = groups.into_iter().map(|((name, _), sowings)| Group { name, sowings }).collect();
    groups.sort_by_key(|group| std::cmp::Reverse(sown(&group.sowings)));
    let Some((first, others)) = groups.split_first() else { return Vec::new() };
    others.iter().filter_map(|second| of(record, first, second, by)).collect()
}

/// Sowings that are told apart from others by a name.
struct Group<'a> {
    name: String,
    sowings: Vec<&'a PastSowing>,
}

/// What two sowings have in common that are told apart by one thing alone: the packet, and the year or the treatment.
type Alike = (LotId, String);

fn alike(record: &Record, sowing: &PastSowing, by: By) -> Alike {
    let other = if by == By::Treatment { By::Year } else { By::Treatment };
    (sowing.lot, key(record, sowing, other).0)
}

impl Group<'_> {
    fn those(&self, is_one: impl Fn(&PastSowing) -> bool) -> Self {
        let sowings = self.sowings.iter().copied().filter(|sowing| is_one(sowing)).collect();
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

/// Lots side by side as they are; treatments and years within what is alike in both.
fn of(record: &Record, first: &Group, second: &Group, by: By) -> Option<Compared> {
    if by == By::Lot {
        let (first, second) = (first.side()?, second.side()?);
        let pairs = [(first.tally, second.tally)];
        return Some(told(first, second, &pairs, Mixed { by, packets: 1, other: "" }));
    }
    let alike = |sowing: &PastSowing| alike(record, sowing, by);
    let of = |group: &Group| -> BTreeSet<Alike> { group.sowings.iter().map(|sowing| alike(sowing)).collect() };
    let both: BTreeSet<Alike> = of(first).intersection(&of(second)).cloned().collect();
    let packets: BTreeSet<LotId> = both.iter().map(|(lot, _)| *lot).collect();
    if both.is_empty() {
        let of_packet = |group: &Group| -> BTreeSet<LotId> { group.sowings.iter().map(|sowing| sowing.lot).collect() };
        let other = match by {
            _ if of_packet(first).is_disjoint(&of_packet(second)) => "of other packets",
            By::Treatment => "in other years",
            By::Year | By::Lot => "treated otherwise",
        };
        return Some(told(first.side()?, second.side()?, &[], Mixed { by, packets: 0, other }));
    }
    let pairs = both.iter().filter_map(|these| {
        let of = |group: &Group| tally(&group.those(|sowing| alike(sowing) == *these).sowings);
        Some((of(first)?, of(second)?))
    });
    let pairs: Vec<_> = pairs.collect();
    let in_both = |group: &Group| group.those(|sowing| both.contains(&alike(sowing))).side();
    Some(told(in_both(first)?, in_both(second)?, &pairs, Mixed { by, packets: packets.len(), other: "" }))
}

/// What is compared, and what it may be mixed with.
#[derive(Clone, Copy)]
struct Mixed {
    by: By,
    /// Packets that were sown both ways.
    packets: usize,
    /// How the two differ besides, where nothing of them is alike.
    other: &'static str,
}

fn told(first: Side, second: Side, pairs: &[(Tally, Tally)], mixed: Mixed) -> Compared {
    let (one, other) = (first.tally, second.tally);
    let so_far = if first.so_far + second.so_far > 0 { " so far" } else { "" };
    let numbers = format!("{} of {} against {} of {}", one.up(), one.sown(), other.up(), other.sown());
    let Some(comparison) = compare_paired(pairs, Confidence::NINETY_FIVE) else {
        let why = Why::new(match mixed.by {
            By::Treatment => {
                "only sowings of one packet in one year tell what was done to its seed from packet and age"
            }
            By::Year | By::Lot => "only sowings of one packet, treated alike, tell the year from packet and treatment",
        })
        .given("packets sown both ways", mixed.packets)
        .changes("one packet sown both ways, side by side");
        let words = format!("{numbers}{so_far}, but {}: it cannot be told", mixed.other);
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
    let within = match (several, mixed.packets == pairs.len(), mixed.by) {
        (false, ..) => String::new(),
        (true, true, _) => format!(", within each of {} packets", pairs.len()),
        (true, false, By::Treatment) => format!(", within each of {} packets' years", pairs.len()),
        (true, false, _) => format!(", within each of {} packets' treatments", pairs.len()),
    };
    let words = format!("{numbers}{so_far}{within}: {found}{better}");
    let why = why(&comparison, several, mixed.by);
    Compared { first, second, words, comparison: Some(comparison), why }
}

fn why(comparison: &Comparison, several: bool, by: By) -> Why {
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
        .doubt(match by {
            By::Lot => "trays differ in more than what they are told apart by: place, week, depth, watering, and year and treatment too",
            By::Treatment => "trays differ in more than what they are told apart by: place, week, depth, watering",
            By::Year => "a packet is older in the later year; and trays differ in place, week, depth and watering",
        })
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
