//! When a sowing may be looked for by the handbook's days alone (no temperature of its own is weighed), and when it
//! is time to look again.

use crate::journal::{Batch, Part, State};
use crate::quantity::{Date, PartId};
use crate::trade::{Crop, Provenance, Source};

use super::part::{after, days_between};

/// Days between counts while shoots are looked for, and after. Common practice, no source.
const DAYS_BETWEEN_COUNTS: u32 = 4;
const DAYS_BETWEEN_LATE_COUNTS: u32 = 7;
/// Days without a note after which plants or seed are asked about as forgotten. Common practice, no source.
pub(super) const FORGOTTEN_DAYS: u32 = 42;
/// Nothing is sown under cover in compost colder than this, and chilling on purpose is no waiting for shoots. Common
/// practice, no source.
const COLDEST: f64 = 10.0;
/// Days to emergence of a crop of which nothing is known. Common practice, no source.
const USUAL_DAYS: f64 = 10.0;

/// Days from sowing within which emergence is looked for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Expected {
    /// Days to the first count worth making.
    pub(super) usual: u32,
    /// Most days to the last of what comes.
    pub(super) last: u32,
    /// Who says so.
    pub(super) sources: Vec<Source>,
}

/// The handbook's days at the soil temperatures the crop comes up well at, stretched by what growers find in trays
/// and by the crop's spread. Without a table of days the heat sum halfway between those temperatures serves, and
/// without that ten days.
pub(super) fn expected(crop: Option<&Crop>) -> Expected {
    let (mut fewest, mut middle, mut most, source) =
        crop.and_then(by_table).or_else(|| crop.and_then(by_heat)).unwrap_or_else(|| {
            let citation = "about ten days where no table speaks: common practice, no source";
            let source = Source { citation: citation.into(), provenance: Provenance::Practice };
            (USUAL_DAYS, USUAL_DAYS, USUAL_DAYS, source)
        });
    let mut sources = vec![source];
    if let Some(factor) = crop.and_then(Crop::tray_factor) {
        (fewest, middle, most) = (fewest * factor.low, middle * factor.low, most * factor.high);
        sources.push(factor.source);
    }
    if let Some(spread) = crop.and_then(Crop::emergence_spread) {
        most *= spread.high;
        sources.push(spread.source);
    }
    // Growers may set figures of their own; a year bounds them all.
    let whole = |days: f64| days.ceil().clamp(1.0, 366.0) as u32;
    Expected { usual: whole(middle.max(fewest)), last: whole(most.max(middle)), sources }
}

/// Fewest, middle and most days of the table.
fn by_table(crop: &Crop) -> Option<(f64, f64, f64, Source)> {
    let optimum = crop.germination_optimum();
    let within = |soil: f64| {
        let comes_up_well = optimum.as_ref().is_none_or(|range| range.low.0 <= soil && soil <= range.high.0);
        comes_up_well && soil >= COLDEST
    };
    let tried = || crop.emergence().iter().filter_map(|point| point.days.map(|days| (point, days)));
    let mut points: Vec<_> = tried().filter(|(point, _)| within(point.soil.0)).collect();
    if points.is_empty() {
        points = tried().collect();
    }
    let source = points.first()?.0.source.clone();
    let mut days: Vec<f64> = points.iter().flat_map(|(_, (low, high))| [f64::from(*low), f64::from(*high)]).collect();
    days.sort_by(f64::total_cmp);
    let middle = (days[(days.len() - 1) / 2] + days[days.len() / 2]) / 2.0;
    Some((*days.first()?, middle, *days.last()?, source))
}

fn by_heat(crop: &Crop) -> Option<(f64, f64, f64, Source)> {
    let (sum, optimum) = (crop.heat_sum()?, crop.germination_optimum()?);
    let days = sum.degree_days / ((optimum.low.0 + optimum.high.0) / 2.0 - sum.base.0);
    (days.is_finite() && days > 0.0).then(|| (days, days, days, sum.source.clone()))
}

/// The sown parts from which more may come: live, not all up, and not emptied by moving on.
pub(super) fn may_come<'a>(state: &'a State, batch: &'a Batch) -> impl Iterator<Item = (PartId, &'a Part)> {
    state.parts_of(batch).filter(|(_, part)| {
        let emptied = part.left() > 0 && part.standing() == 0;
        part.is_sown() && part.is_live() && part.up < part.sown() && !emptied
    })
}

/// True when plants were moved on from a part (whoever did it looked), or its latest count found no more than one at
/// least four days before it, and some were up.
pub(super) fn is_settled(part: &Part) -> bool {
    let seen_twice = part.counts.last().is_some_and(|last| {
        let same = |count: &&crate::journal::Count| count.up == last.up;
        let before = part.counts.iter().find(same).map_or(last.on, |count| count.on);
        last.up > 0 && days_between(before, last.on) >= DAYS_BETWEEN_COUNTS
    });
    part.moved_on > 0 || seen_twice
}

/// The day a part is next worth counting; `None` when it is settled or long forgotten.
pub(super) fn next_count(part: &Part, expected: &Expected, on: Date) -> Option<Date> {
    let (first, end) = (after(part.filled, expected.usual), after(part.filled, expected.last));
    let last = part.counts.last().map(|count| count.on);
    let quiet_since = last.unwrap_or(part.filled).max(end);
    if is_settled(part) || days_between(quiet_since, on) > FORGOTTEN_DAYS {
        return None;
    }
    Some(last.map_or(first, |last| {
        let soon = after(last, DAYS_BETWEEN_COUNTS);
        first.max(if soon <= end { soon } else { after(last, DAYS_BETWEEN_LATE_COUNTS) })
    }))
}
