//! Cold that is no reason to bring anything in tonight: the dose that makes a crop bolt, and growth checked.

use crate::journal::{Part, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, PlaceId};
use crate::science::chilling::{ChillingRule, checked_days, chilling_dose};
use crate::science::day_range::DayRange;
use crate::trade::{BoltingDose, ColdEffect};

use super::Eve;
use super::groups::Group;
use crate::advice::why::Why;

/// Share of a dose from which it is spoken of, and days of the last week checked. Common practice, no source.
const SPOKEN_OF: f64 = 0.5;
const CHECKED_DAYS: f64 = 3.0;
const WEEK: usize = 7;

/// What slow cold does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SlowKind {
    /// A dose toward bolting, buttoning or, where it is wanted, heading: the share had, 0 to 1.
    Dose(ColdEffect, f64),
    /// Growth checked: days' worth of hours in the last week.
    Checked(f64),
}

/// Slow cold on one batch.
#[derive(Clone, Debug, PartialEq)]
pub struct SlowCold {
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Where it stands.
    pub place: PlaceId,
    /// What the cold does.
    pub kind: SlowKind,
    /// In words with the numbers.
    pub reason: String,
    /// How it was come by.
    pub why: Why,
}

/// Doses half had or more, and batches checked for three days of the last week.
pub(super) fn slow(eve: &Eve<'_>, groups: &[Group]) -> Vec<SlowCold> {
    groups.iter().flat_map(|group| [dose(eve, group), checked(eve, group)]).flatten().collect()
}

fn dose(eve: &Eve<'_>, group: &Group) -> Option<SlowCold> {
    let crop = group.crop_in(eve.state, eve.trade)?;
    let part = eve.state.parts.get(&group.parts.first()?.id)?;
    let doses = crop.bolting().iter().map(|dose| (dose, had(eve.state, group, part, dose)));
    let (dose, (days, share)) = doses.max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    if share < SPOKEN_OF {
        return None;
    }
    let does = match dose.effect {
        ColdEffect::Bolts => "it may bolt",
        ColdEffect::Buttons => "it may button",
        ColdEffect::Wanted => "the cold it wants",
    };
    let reason =
        format!("{days:.0} days' worth under {}, and {} to {} do it: {does}", dose.below, dose.days.0, dose.days.1);
    let why =
        Why::new("hours below the line since it was large enough, as whole days, against the fewest days that do it")
            .given("line", dose.below)
            .given("days had", format!("{days:.1}"))
            .given(
                "from true leaves",
                dose.min_leaves.map_or_else(|| "not stated".to_owned(), |leaves| leaves.to_string()),
            )
            .source(dose.source.clone())
            .doubt("leaves are those last noted, and days without readings are worked out or left out")
            .changes("warmer days, or a leaf count with `stage`");
    Some(SlowCold {
        label: group.label,
        crop: group.crop.clone(),
        place: group.place,
        kind: SlowKind::Dose(dose.effect, share),
        reason,
        why,
    })
}

fn had(state: &State, group: &Group, part: &Part, dose: &BoltingDose) -> (f64, f64) {
    let rule = ChillingRule {
        line: dose.below,
        days: f64::from(dose.days.0),
        from_size: f64::from(dose.min_leaves.unwrap_or(0)),
        undone: None,
    };
    let days = group.days.iter().filter_map(|day| Some((day.range?, leaves(state, part, day.day))));
    let had = chilling_dose(&rule, days);
    (had.days, had.share)
}

/// True leaves noted by a day, on the part or on those its plants came from; 0 before any note.
fn leaves(state: &State, part: &Part, by: Date) -> f64 {
    let batch = state.batches.get(&part.batch);
    let parts = batch.into_iter().flat_map(|batch| state.parts_of(batch));
    let noted = parts.flat_map(|(_, part)| &part.stages).filter(|(on, _)| *on <= by);
    noted.filter_map(|(_, growth)| growth.leaves).max().map_or(0.0, f64::from)
}

fn checked(eve: &Eve<'_>, group: &Group) -> Option<SlowCold> {
    let figure = group.crop_in(eve.state, eve.trade)?.growth_check()?;
    let line: Celsius = figure.low;
    let last: Vec<DayRange> = group.days.iter().rev().take(WEEK).filter_map(|day| day.range).collect();
    let days = checked_days(last, line);
    if days < CHECKED_DAYS {
        return None;
    }
    let why = Why::new("hours of the last seven days below the line, as whole days")
        .figure("growth checks below", &figure)
        .given("days' worth", format!("{days:.1}"))
        .doubt("a check is made up for when it is warm again")
        .changes("a warmer place");
    Some(SlowCold {
        label: group.label,
        crop: group.crop.clone(),
        place: group.place,
        kind: SlowKind::Checked(days),
        reason: format!("under {line} for {days:.0} days' worth of the last week: growth stands still"),
        why,
    })
}
