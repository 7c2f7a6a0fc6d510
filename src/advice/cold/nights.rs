//! Ten nights across, batches down.

use crate::quantity::{BatchLabel, Celsius, CropName, Date, Name, PartLabel};
use crate::science::cold_risk::Advice;

use super::Eve;
use super::groups::Group;
use super::planted;
use super::risk::{PLAIN, Risk, risk_of};
use crate::advice::part::after;

/// How many nights are looked ahead.
const NIGHTS: u32 = 10;

/// Nights that a forecast reaches far enough to call too cold: its error has grown by half by then. Common practice, no
/// source.
pub(super) const REACH: u32 = 4;

/// What can honestly be said of a night to come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NightWord {
    /// It would not be acted on.
    Fine,
    /// Later than tonight, and not likelier than not too cold, or further off than a forecast reaches.
    Perhaps,
    /// Too cold.
    TooCold,
}

/// One night for one batch where it stands now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NightAhead {
    /// The day its low belongs to.
    pub morning: Date,
    /// The air's low as likely undercut as not.
    pub low: Celsius,
    /// The chance, 0 to 1, that leaves fall below the floor of today's hardening.
    pub chance: f64,
    /// What can be said of it.
    pub word: NightWord,
}

/// One batch in one place, night by night; of what is planted out, the one that stands it least in its place or bed.
#[derive(Clone, Debug, PartialEq)]
pub struct NightsAhead {
    /// Its number.
    pub label: BatchLabel,
    /// The first of these parts, where others of the batch stand there too that were hardened otherwise.
    pub part: Option<PartLabel>,
    /// Its crop.
    pub crop: CropName,
    /// The place where it stands, or the bed.
    pub place: Name,
    /// True in a bed.
    pub is_planted_out: bool,
    /// Its floor today.
    pub floor: Celsius,
    /// Tonight and the nine after it; `None` where there is no forecast.
    pub nights: Vec<Option<NightAhead>>,
}

/// Every batch out of the house with a known floor, and what is planted out, the one soonest in danger first.
pub(super) fn nights(eve: &Eve<'_>, groups: &[Group]) -> Vec<NightsAhead> {
    let outdoors = |group: &&Group| eve.state.places.get(&group.place).is_some_and(|place| !place.kind.is_indoors());
    let stand = groups.iter().filter(outdoors).filter_map(|group| row(eve, group, groups));
    let mut rows: Vec<NightsAhead> = stand.chain(planted::nights_ahead(eve)).collect();
    let danger = |row: &NightsAhead| {
        row.nights
            .iter()
            .position(|night| night.is_some_and(|night| night.word == NightWord::TooCold))
            .unwrap_or(usize::MAX)
    };
    rows.sort_by(|a, b| (danger(a), a.label, &a.place, a.part).cmp(&(danger(b), b.label, &b.place, b.part)));
    rows
}

fn row(eve: &Eve<'_>, group: &Group, groups: &[Group]) -> Option<NightsAhead> {
    let floor = group.floor.as_ref()?;
    let cover = eve.cover_now(group.place);
    let place = eve.state.places.get(&group.place)?.name.clone();
    let nights = each(eve, |morning| Some(risk_of(&eve.climates.night(group.place, morning, cover)?, floor)));
    let there = groups.iter().filter(|other| (other.batch, other.place) == (group.batch, group.place)).count();
    let part = group.parts.first().map(|part| part.label).filter(|_| there > 1);
    let (label, crop) = (group.label, group.crop.clone());
    Some(NightsAhead { label, part, crop, place, is_planted_out: false, floor: floor.now, nights })
}

/// Tonight and the nine after it, by what each does; `None` where there is no forecast.
pub(super) fn each(eve: &Eve<'_>, risk: impl Fn(Date) -> Option<Risk>) -> Vec<Option<NightAhead>> {
    let nights = (1..=NIGHTS).map(|ahead| {
        let morning = after(eve.on, ahead);
        let risk = risk(morning)?;
        let word = match risk.advice {
            Advice::Leave => NightWord::Fine,
            Advice::Act if ahead == 1 || (ahead <= REACH && risk.chance >= PLAIN) => NightWord::TooCold,
            Advice::Act => NightWord::Perhaps,
        };
        Some(NightAhead { morning, low: risk.air_low, chance: risk.chance, word })
    });
    nights.collect()
}
