//! Tonight place by place.

use crate::journal::PlaceKind;
use crate::quantity::{BatchLabel, Celsius, CropName, Name, PlaceId};
use crate::science::cold_risk::Advice;

use super::dusk::{Dusk, DuskMove};
use super::groups::Group;
use super::planted::PlantedOut;
use super::risk::{SPOKEN_OF, odds};
use super::{Eve, planted};
use crate::advice::climate::{Basis, Cover, Night};

/// What tonight holds for one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Something has to be moved.
    BringIn,
    /// A cover will do.
    CoverIt,
    /// It is covered, and tonight may harm it still.
    AtRisk,
    /// It is not too cold there tonight; some are out for the day, and come in for their step of hardening or because many
    /// cold nights make them bolt.
    InForTheNight,
    /// Neither forecast nor a reading that makes it plain.
    Unknown,
    /// What stands there may stay, though the chance that it falls under its floor is too large to call safe.
    Likely,
    /// What stands there may stay.
    Safe,
}

/// One place tonight.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceTonight {
    /// The place.
    pub place: PlaceId,
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: PlaceKind,
    /// Its air's low as likely undercut as not, as it is covered now; `None` when nothing is known.
    pub low: Option<Celsius>,
    /// The low undercut on one such night in ten.
    pub low_cold: Option<Celsius>,
    /// The leaves' low as likely undercut as not; `None` when nothing is known.
    pub leaf_low: Option<Celsius>,
    /// Degrees that leaves may be under that air.
    pub leaf_below: f64,
    /// What it is worked out from.
    pub basis: Option<Basis>,
    /// Covered now.
    pub cover: Cover,
    /// The batch there with the highest working floor, and that floor; where some come in that the cold would spare, of those
    /// that stay.
    pub tenderest: Option<(BatchLabel, CropName, Celsius)>,
    /// The chance, 0 to 1, that leaves fall under the floor of what stands it least; where some come in that the cold would
    /// spare, of those that stay; `None` when nothing is known.
    pub chance: Option<f64>,
    /// What tonight holds for it.
    pub verdict: Verdict,
    /// How many parts come in from there.
    pub come_in: usize,
    /// What tonight holds for those that stay: unknown, likely or safe; `None` where all of them come in.
    pub rest: Option<Verdict>,
}

impl PlaceTonight {
    /// What is done there where some come in that tonight's cold would spare: `3 parts in for the night, the rest may
    /// stay`, or shorter; `None` for every other verdict, which is its own word.
    #[must_use]
    pub fn in_for_the_night(&self, is_short: bool) -> Option<String> {
        let many = self.come_in;
        let parts = if many == 1 { "1 part".to_owned() } else { format!("{many} parts") };
        let odds = self.chance.map(odds).unwrap_or_default();
        (self.verdict == Verdict::InForTheNight).then(|| match (self.rest, is_short) {
            (None, false) => "out for the day: in before dusk".to_owned(),
            (None, true) => "in by dusk".to_owned(),
            (Some(_), true) => format!("{many} in by dusk"),
            (Some(Verdict::Unknown), false) => format!("{parts} in for the night, of the rest nothing is known"),
            (Some(Verdict::Likely), false) => {
                format!("{parts} in for the night, the rest may stay, {odds} to fall under a floor")
            }
            (Some(_), false) => format!("{parts} in for the night, the rest may stay"),
        })
    }
}

/// Every place with plants in it, the worst first.
pub(super) fn places(eve: &Eve<'_>, groups: &[Group], dusk: &[Dusk], planted: &[PlantedOut]) -> Vec<PlaceTonight> {
    let mut rows: Vec<PlaceTonight> = Vec::new();
    let in_beds = planted::tonight_by_place(eve);
    for (id, climate) in eve.climates.places() {
        let here: Vec<&Group> = groups.iter().filter(|group| group.place == *id).collect();
        let in_ground = planted.iter().find(|bed| bed.place == Some(*id));
        // A cover that will do is counted on all the same.
        let under_cover = in_beds.get(id).filter(|_| climate.cover == Cover::On && in_ground.is_none());
        if here.is_empty() && in_ground.is_none() && under_cover.is_none() {
            continue;
        }
        let night = eve.tonight(*id, climate.cover);
        let worst =
            dusk.iter().filter(|row| row.place == *id && row.risk.is_some_and(|risk| risk.advice == Advice::Act));
        let worst = worst.map(|row| row.what).min();
        let coming: Vec<&Dusk> = dusk.iter().filter(|row| row.place == *id && row.what == DuskMove::BringIn).collect();
        let comes_in = |group: &Group| coming.iter().any(|row| row.parts == group.parts);
        let (in_at_night, stay): (Vec<&Group>, Vec<&Group>) = here.iter().copied().partition(|group| comes_in(group));
        let in_bed = under_cover.map(|(.., risk)| risk.chance);
        let at_least = |chance: f64| chance >= SPOKEN_OF;
        let risks = || stay.iter().filter_map(|group| Some((group, eve.risk(group, *id, climate.cover)?)));
        let all_safe = risks().all(|(group, risk)| group.is_safe(&risk) && !at_least(risk.chance));
        let staying = match &night {
            None | Some(Night { basis: Basis::LastNight { .. }, .. }) => Verdict::Unknown,
            _ if !all_safe || in_bed.is_some_and(at_least) => Verdict::Likely,
            _ => Verdict::Safe,
        };
        let verdict = match worst {
            Some(DuskMove::BringIn) => Verdict::BringIn,
            Some(DuskMove::Cover) => Verdict::CoverIt,
            _ if in_ground.is_some_and(|bed| !bed.is_covered) => Verdict::CoverIt,
            _ if in_ground.is_some() => Verdict::AtRisk,
            _ if !in_at_night.is_empty() => Verdict::InForTheNight,
            _ => staying,
        };
        // Beside what comes in anyway, what stays.
        let counts = if verdict == Verdict::InForTheNight && !stay.is_empty() { &stay } else { &here };
        let chances = counts.iter().filter_map(|group| Some(eve.risk(group, *id, climate.cover)?.chance));
        let chances = chances.chain(in_ground.map(|bed| bed.risk.chance));
        let chance = chances.chain(under_cover.map(|(.., risk)| risk.chance)).max_by(f64::total_cmp);
        let tenderest = counts.iter().filter_map(|group| Some((group, group.floor.as_ref()?.now)));
        let tenderest = tenderest.map(|(group, floor)| (group.label, group.crop.clone(), floor));
        let of_bed = in_ground.and_then(|bed| Some((bed.batch.1, bed.crops.first()?.0.clone(), bed.risk.floor)));
        let of_covered = under_cover.map(|(label, crop, risk)| (*label, crop.clone(), risk.floor));
        let tenderest = tenderest.chain(of_bed).chain(of_covered).max_by(|a, b| a.2.0.total_cmp(&b.2.0));
        rows.push(PlaceTonight {
            place: *id,
            name: climate.name.clone(),
            kind: climate.kind,
            low: night.as_ref().map(|night| night.low.quantile(0.5)),
            low_cold: night.as_ref().map(|night| night.low.quantile(0.1)),
            leaf_low: night.as_ref().map(|night| night.leaf.quantile(0.5)),
            leaf_below: night.as_ref().map_or(0.0, |night| night.leaf_below),
            basis: night.map(|night| night.basis),
            cover: climate.cover,
            tenderest,
            chance,
            verdict,
            come_in: coming.iter().map(|row| row.parts.len()).sum(),
            rest: (!stay.is_empty() || under_cover.is_some()).then_some(staying),
        });
    }
    rows.sort_by(|a, b| (a.verdict, a.kind.is_indoors(), &a.name).cmp(&(b.verdict, b.kind.is_indoors(), &b.name)));
    rows
}
