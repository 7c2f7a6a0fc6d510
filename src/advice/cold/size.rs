//! The size from which cold counts: true leaves as they were noted, and what is said while they are too few or nobody noted any.

use chrono::Datelike;

use crate::journal::{Part, State};
use crate::quantity::{BatchId, Date};
use crate::science::chilling::{ChillingRule, chilling_dose};
use crate::trade::{BoltingDose, ColdEffect};

use super::Eve;
use super::groups::Group;
use super::slow::{NEWS_DAYS, SPOKEN_OF, SlowCold, SlowKind, stood_in};
use crate::advice::exposure::StoodDay;
use crate::advice::part::{days_between, emerged, listed};
use crate::advice::why::Why;

/// Days after which a note of leaves tells no more how large plants are. Common practice, no source.
const OLD_NOTE: u32 = 30;

/// True leaves of a batch as they were noted by a day, on whichever of its parts.
pub(super) struct Leaves {
    /// The day it came up, without true leaves; `None` for what was bought in.
    up: Option<Date>,
    /// The most that were noted by each day of a note, the oldest first.
    notes: Vec<(Date, u32)>,
}

impl Leaves {
    /// What was noted by the day `known`.
    pub(super) fn noted(state: &State, part: &Part, known: Date) -> Self {
        let parts = state.batches.get(&part.batch).into_iter().flat_map(|batch| state.parts_of(batch));
        let stages = parts.flat_map(|(_, part)| &part.stages).filter(|(on, _)| *on <= known);
        let mut notes: Vec<(Date, u32)> = stages.filter_map(|(on, growth)| Some((*on, growth.leaves?))).collect();
        notes.sort_unstable();
        let mut most = 0;
        for (_, leaves) in &mut notes {
            most = most.max(*leaves);
            *leaves = most;
        }
        Self { up: emerged(state, part), notes }
    }

    /// The newest note: its day, and the most that were noted by then.
    pub(super) fn last(&self) -> Option<(Date, u32)> {
        self.notes.last().copied()
    }

    /// How many there were on a day: as last noted, and between two notes, or between coming up and the first, on the way from
    /// one to the other. Nothing where nobody noted any, nor more than last noted: growth that nobody saw is not guessed at.
    pub(super) fn on(&self, day: Date) -> f64 {
        let mut known = self.up.map(|up| (up, 0)).into_iter().chain(self.notes.iter().copied());
        let before = known.rfind(|(on, _)| *on <= day);
        let next = self.notes.iter().find(|(on, _)| *on > day);
        match (before, next) {
            (Some((from, few)), Some((to, many))) => {
                let gone = f64::from(days_between(from, day)) / f64::from(days_between(from, *to));
                f64::from(few) + gone * f64::from(many.saturating_sub(few))
            }
            (Some((_, last)), None) => f64::from(last),
            (None, _) => 0.0,
        }
    }
}

/// Days' worth of a dose and the share of it, were plants of any size.
fn of_any_size<'a>(dose: &BoltingDose, days: impl Iterator<Item = &'a StoodDay>) -> (f64, f64) {
    let rule = ChillingRule { line: dose.below, days: f64::from(dose.days.0), from_size: 0.0, undone: None };
    let had = chilling_dose(&rule, days.filter_map(|day| Some((stood_in(day)?, 0.0))));
    (had.days, had.share)
}

/// The dose that plants too small for it, as far as was noted, have had most of, where it would be spoken of.
fn nearest<'a>(
    eve: &Eve<'_>,
    group: &'a Group,
    doses: &'a [BoltingDose],
    known: &Leaves,
) -> Option<(&'a BoltingDose, u16, f64)> {
    let too_few = |dose: &&BoltingDose| known.on(eve.on) < f64::from(dose.min_leaves.unwrap_or(0));
    let had = doses.iter().filter(too_few).filter_map(|dose| {
        let (days, share) = of_any_size(dose, group.days.iter());
        Some((dose, dose.min_leaves?, days, share))
    });
    let (dose, from, days, share) = had.max_by(|a, b| a.3.total_cmp(&b.3))?;
    (share >= SPOKEN_OF).then_some((dose, from, days))
}

/// Why cold that would do it is not counted: plants too small for it, or of a size that nobody noted. Told to who asks.
pub(super) fn too_small(eve: &Eve<'_>, group: &Group) -> Option<SlowCold> {
    let crop = group.crop_in(eve.state, eve.trade)?;
    let known = leaves_of(eve, group, eve.on)?;
    let (dose, from, days) = nearest(eve, group, crop.bolting(), &known)?;
    let ask = asking(eve, group);
    let size = match known.last() {
        None => format!("and none were noted: `{ask}`"),
        Some((on, leaves)) => match days_between(on, eve.on) {
            0 => format!("and today {leaves} were noted"),
            1 => format!("and yesterday {leaves} were noted"),
            ago if ago > OLD_NOTE => format!("and {leaves} were noted {ago} days ago: `{ask}`"),
            ago => format!("and {leaves} were noted {ago} days ago"),
        },
    };
    let does = match dose.effect {
        ColdEffect::Bolts => "make it bolt",
        ColdEffect::Buttons => "make it button",
        ColdEffect::Wanted => "are what it wants",
    };
    let (least, most) = dose.days;
    let reason = format!(
        "{days:.0} days' worth under {}, and {least} to {most} {does}, but only from {from} true leaves on, {size}",
        dose.below
    );
    let why =
        Why::new("cold counts from a size, which is that last noted: hours below the line before it count for nothing")
            .given("line", dose.below)
            .given("days' worth since it came up", format!("{days:.1}"))
            .given("size", &dose.size)
            .source(dose.source.clone())
            .doubt("plants grow on after a note, and of those that nobody counted nothing is known")
            .changes(format!("a leaf count with `{ask}`"));
    let noted = known.last().into_iter();
    let why = noted.fold(why, |why, (on, leaves)| why.seen("true leaves last noted", leaves, on));
    Some(SlowCold {
        label: group.label,
        crop: group.crop.clone(),
        place: group.place,
        parts: group.parts.clone(),
        kind: SlowKind::TooSmall,
        is_told: false,
        reason,
        doing: None,
        why,
    })
}

/// Asks for a new count of leaves, for a few days and once a batch, of plants that were too small when they were last counted,
/// over a month ago, and stood since in half of the cold that would do it.
pub(super) fn questions(eve: &Eve<'_>, groups: &[Group]) -> Vec<String> {
    let mut asked: Vec<(BatchId, String)> = Vec::new();
    for group in groups {
        if asked.iter().all(|(batch, _)| *batch != group.batch) {
            asked.extend(question(eve, group).map(|words| (group.batch, words)));
        }
    }
    asked.into_iter().map(|(_, words)| words).collect()
}

fn question(eve: &Eve<'_>, group: &Group) -> Option<String> {
    let doses = group.crop_in(eve.state, eve.trade)?.bolting();
    let before = eve.on.checked_sub_days(chrono::Days::new(NEWS_DAYS as u64))?;
    let (dose, days, noted) = doses.iter().find_map(|dose| {
        let (days, noted) = outgrown(eve, group, dose, eve.on)?;
        outgrown(eve, group, dose, before).is_none().then_some((dose, days, noted))
    })?;
    let (since, leaves) = noted;
    let does = if dose.effect == ColdEffect::Buttons { "button" } else { "bolt" };
    Some(format!(
        "count the leaves of {} {}, {leaves} when noted {} days ago: from {} on it may {does} of the cold since, {days:.0} days' \
         worth under {} where {} to {} do it: `{}`",
        listed(&group.parts, eve.on),
        group.crop,
        days_between(since, eve.on),
        dose.min_leaves.unwrap_or(0),
        dose.below,
        dose.days.0,
        dose.days.1,
        asking(eve, group)
    ))
}

/// The days' worth of cold since a note of too few leaves that was old on a day, and that note, where they are half of the dose.
fn outgrown(eve: &Eve<'_>, group: &Group, dose: &BoltingDose, on: Date) -> Option<(f64, (Date, u32))> {
    let known = leaves_of(eve, group, on)?;
    let noted = known.last()?;
    let is_small = noted.1 < u32::from(dose.min_leaves?) && dose.effect != ColdEffect::Wanted;
    let since = group.days.iter().filter(|day| (noted.0..on).contains(&day.day));
    let (days, share) = of_any_size(dose, since);
    (is_small && days_between(noted.0, on) > OLD_NOTE && share >= SPOKEN_OF).then_some((days, noted))
}

fn leaves_of(eve: &Eve<'_>, group: &Group, known: Date) -> Option<Leaves> {
    Some(Leaves::noted(eve.state, eve.state.parts.get(&group.parts.first()?.id)?, known))
}

/// The words that note leaves.
fn asking(eve: &Eve<'_>, group: &Group) -> String {
    let part = group.parts.first().map(|part| part.label.in_year(eve.on.year()));
    format!("stage {} --leaves N", part.unwrap_or_default())
}
