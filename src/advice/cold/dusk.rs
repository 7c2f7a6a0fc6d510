//! Before dusk: what comes in, what is covered, what stays, what may stay out.

use std::borrow::Cow;

use crate::journal::{Light, PlaceKind};
use crate::quantity::{BatchId, BatchLabel, CropName, Name, PlaceId};
use crate::science::cold_risk::Advice;
use crate::trade::Exposure;

use super::going_out::is_to_be_planted;
use super::groups::Group;
use super::ladder::Ladder;
use super::risk::{Risk, SPOKEN_OF, odds};
use super::slow::{carried_in_for, why_no_nights};
use super::{Eve, LEAF_NOTE, Spot, covers, hardening_off, too_hot};
use crate::advice::climate::Cover;
use crate::advice::part::PartAt;
use crate::advice::preview::set_down;
use crate::advice::why::Why;

/// What happens to plants before dusk, the most urgent first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DuskMove {
    /// In, or somewhere warmer.
    BringIn,
    /// A cover will do.
    Cover,
    /// May spend the night out.
    PutOut,
    /// Nothing can be said: neither forecast nor reading, or a crop of which no limit is known.
    Unknown,
    /// Stay where they are.
    Leave,
}

/// One batch in one place before dusk.
#[derive(Clone, Debug, PartialEq)]
pub struct Dusk {
    /// What to do.
    pub what: DuskMove,
    /// The place they are in.
    pub place: PlaceId,
    /// The batch.
    pub batch: BatchId,
    /// Its number.
    pub label: BatchLabel,
    /// Its crop.
    pub crop: CropName,
    /// Its variety.
    pub variety: Option<Name>,
    /// Its parts there.
    pub parts: Vec<PartAt>,
    /// Tonight where they stand; `None` when nothing is known of the night or of the crop, or it is not tonight's cold that
    /// moves them but that of many nights.
    pub risk: Option<Risk>,
    /// Why, in a few words with the numbers.
    pub reason: String,
    /// The words that do it, as they would be typed; `None` when there is nothing to do or nowhere warm enough.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// Every batch that does not live in a house all round, the most urgent first.
///
/// Room in what is warm enough goes by harm: what a row takes the next one no longer has, so that doing them one after
/// the other works.
pub(super) fn dusk(eve: &Eve<'_>, groups: &[Group]) -> Vec<Dusk> {
    let under_mats: Vec<&Group> = groups.iter().filter(|group| saved_by_cover(eve, group)).collect();
    let is_under = |group: &Group| under_mats.iter().any(|other| std::ptr::eq(*other, group));
    // What else there is to do is judged as if the covers lay, and those that come off were off.
    let off: Vec<PlaceId> = covers::mild(eve, groups).map(|row| row.place).collect();
    let on_and_off =
        under_mats.iter().map(|group| (group.place, Cover::On)).chain(off.iter().map(|id| (*id, Cover::Off)));
    let on_and_off: Vec<(PlaceId, Cover)> = on_and_off.collect();
    let then = match on_and_off.as_slice() {
        [] => Cow::Borrowed(eve.climates),
        covers => Cow::Owned(eve.climates.with_covers(covers)),
    };
    let then = Eve { climates: &then, ..*eve };
    let judged = |group: &Group| if is_under(group) { eve } else { &then };
    let risk = |group: &Group| judged(group).risk(group, group.place, judged(group).cover_now(group.place));
    let mut by_harm: Vec<(&Group, Option<Risk>)> = groups.iter().map(|group| (group, risk(group))).collect();
    by_harm.sort_by(|(a, a_risk), (b, b_risk)| {
        let harm = |group: &Group, risk: &Option<Risk>| risk.as_ref().map_or((0.0, 0.0), |risk| group.harm(risk));
        let ((a_dies, a_harm), (b_dies, b_harm)) = (harm(a, a_risk), harm(b, b_risk));
        let known = b_risk.is_some().cmp(&a_risk.is_some());
        let harm = b_dies.total_cmp(&a_dies).then(b_harm.total_cmp(&a_harm));
        known.then(harm).then((a.label, a.place).cmp(&(b.label, b.place)))
    });
    let (on, mut taken) = (eve.on, Cow::Borrowed(eve.state));
    let mut rows: Vec<Dusk> = Vec::new();
    for (group, risk) in by_harm {
        let eve = Eve { state: &taken, ..*judged(group) };
        let Some((row, spot)) = row(&eve, group, risk) else { continue };
        rows.push(row);
        if let Some(spot) = spot {
            set_down(taken.to_mut(), &spot.containers(group), spot.stand, on);
        }
    }
    // Covers first: they are laid in a minute, and what the others say holds once they lie.
    rows.sort_by_key(|row| (row.what != DuskMove::Cover, row.what));
    rows
}

/// True when a mat over the place is all that plants want tonight: it can be laid, and they are safe under it.
fn saved_by_cover(eve: &Eve<'_>, group: &Group) -> bool {
    let coverable = eve.climates.places().get(&group.place).is_some_and(|climate| climate.can_be_covered());
    let risk = |cover| eve.risk(group, group.place, cover);
    eve.cover_now(group.place) == Cover::Off
        && coverable
        && !group.is_out()
        && risk(Cover::Off).is_some_and(|risk| risk.advice == Advice::Act)
        && risk(Cover::On).is_some_and(|covered| group.is_safe(&covered))
}

/// True when tonight is too cold for plants where they stand and no mat there would do.
pub(super) fn is_moved_tonight(eve: &Eve<'_>, group: &Group) -> bool {
    let risk = eve.risk(group, group.place, eve.cover_now(group.place));
    risk.is_some_and(|risk| risk.advice == Advice::Act) && !group.is_out() && !saved_by_cover(eve, group)
}

/// The row of plants that live in a house and may stay there; `None` for others.
pub(super) fn at_home(eve: &Eve<'_>, group: &Group) -> Option<Dusk> {
    let risk = eve.risk(group, group.place, eve.cover_now(group.place))?;
    let is_home = eve.state.places.get(&group.place)?.kind.is_indoors() && !group.is_out();
    let stays = is_home && risk.advice == Advice::Leave;
    stays.then(|| told(eve, group, Some(risk), DuskMove::Leave, safe(group, &risk), None))
}

/// What is to be done, why, the words for it, and where it puts them if that takes room.
struct Step {
    what: DuskMove,
    cause: Cause,
    reason: String,
    doing: Option<String>,
    spot: Option<Spot>,
}

/// Which cold speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cause {
    /// That of tonight.
    Tonight,
    /// That of many nights, which makes plants bolt.
    Dose,
}

impl Step {
    const fn new(what: DuskMove, reason: String, doing: Option<String>) -> Self {
        Self { what, cause: Cause::Tonight, reason, doing, spot: None }
    }

    fn to_refuge(reason: String, group: &Group, spot: Spot) -> Self {
        let doing = Some(spot.moving(group));
        Self { what: DuskMove::BringIn, cause: Cause::Tonight, reason, doing, spot: Some(spot) }
    }
}

fn row(eve: &Eve<'_>, group: &Group, risk: Option<Risk>) -> Option<(Dusk, Option<Spot>)> {
    let kind = eve.state.places.get(&group.place)?.kind;
    let at_risk = risk.is_some_and(|risk| risk.advice == Advice::Act);
    let Step { what, cause, reason, doing, spot } = match risk {
        // What is planted by day needs no carrying; who did not carries it in.
        Some(_) if at_risk && !eve.at().is_late() && is_to_be_planted(eve, group) => to_be_planted(),
        Some(risk) if at_risk => escape(eve, group, &risk),
        _ if group.is_out() => in_at_night(eve, group, risk),
        _ if kind.is_indoors() => out_at_night(eve, group)?,
        Some(risk) => Step::new(DuskMove::Leave, safe(group, &risk), None),
        None => Step::new(DuskMove::Unknown, unknown(eve, group), None),
    };
    let row = told(eve, group, risk, what, reason, doing);
    // The figures of a mild night beside it would speak against what is said.
    let row = match cause {
        Cause::Tonight => row,
        Cause::Dose => Dusk { risk: None, why: why_no_nights(), ..row },
    };
    Some((row, spot))
}

fn told(
    eve: &Eve<'_>,
    group: &Group,
    risk: Option<Risk>,
    what: DuskMove,
    reason: String,
    doing: Option<String>,
) -> Dusk {
    Dusk {
        what,
        place: group.place,
        batch: group.batch,
        label: group.label,
        crop: group.crop.clone(),
        variety: group.variety.clone(),
        parts: group.parts.clone(),
        risk,
        reason,
        doing,
        why: risk.map_or_else(Why::default, |risk| eve.why(group, &risk)),
    }
}

/// Why nothing can be said.
fn unknown(eve: &Eve<'_>, group: &Group) -> String {
    match group.floor {
        None => {
            "what it stands is in no table: treat it as half hardy, or say working_floor_c in figures.toml".to_owned()
        }
        Some(_) if eve.tonight(group.place, Cover::Off).is_none() => {
            "no forecast and no readings: nothing can be said of tonight; R notes a reading, F a forecast".to_owned()
        }
        Some(_) => "nothing is known of tonight".to_owned(),
    }
}

/// Covered if that is enough, else in.
fn escape(eve: &Eve<'_>, group: &Group, risk: &Risk) -> Step {
    let danger = danger(group, risk);
    if group.is_out() && home_is_safe(eve, group) {
        return Step::new(DuskMove::BringIn, danger, Some(format!("in {}", group.words())));
    }
    if saved_by_cover(eve, group)
        && let Some(covered) = eve.risk(group, group.place, Cover::On)
    {
        let reason = format!("{danger}; {} under a cover", odds(covered.chance));
        return Step::new(DuskMove::Cover, reason, Some(format!("cover {} on", quoted(&eve.name(group.place)))));
    }
    match refuge(eve, group, Some(risk)) {
        Some(refuge) => Step::to_refuge(format!("{danger}; {}", refuge.said(eve)), group, refuge.spot),
        None => {
            let reason =
                format!("{danger}; no place of the log is warm enough: into the house, on a table or the floor");
            Step::new(DuskMove::BringIn, reason, None)
        }
    }
}

fn to_be_planted() -> Step {
    Step::new(DuskMove::Leave, "to be planted today".to_owned(), None)
}

/// What tonight does to plants, with the numbers.
pub(super) fn danger(group: &Group, risk: &Risk) -> String {
    let (low, chance, floor) = (risk.leaf_low, odds(risk.chance), risk.floor);
    format!("leaves likely at {low}, {chance} that they fall under {floor}: {}", group.what_it_does(risk))
}

/// True when the home of plants out for the day is warm enough tonight.
fn home_is_safe(eve: &Eve<'_>, group: &Group) -> bool {
    let home = group.parts.first().and_then(|part| eve.state.home(part.container)).map(|(place, _)| place);
    let risk = home.and_then(|home| eve.risk(group, home, eve.cover_now(home)));
    risk.is_none_or(|risk| risk.advice == Advice::Leave)
}

/// How a place takes plants for a night, the best first: a night in the dark is better than one on the floor, and that than
/// one in the cold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Takes {
    /// In the light, with room.
    Well,
    /// With room, in the dark.
    Dark,
    /// On a bench that is full.
    Crowded,
    /// On no bench of it.
    Floor,
}

/// Where plants are saved tonight.
struct Refuge {
    place: PlaceId,
    takes: Takes,
    /// The chance that they come to harm there too, where it is not sure to be warm enough.
    unsure: Option<f64>,
    spot: Spot,
}

impl Refuge {
    /// `propagator for tonight, though it is dark`.
    fn said(&self, eve: &Eve<'_>) -> String {
        let name = eve.name(self.place);
        let short = self.spot.shortage().map_or_else(String::new, |short| format!("; {short}"));
        match (self.unsure, self.takes) {
            (Some(chance), _) => {
                let odds = odds(chance);
                format!("no place is sure to be warm enough; {name} is the best there is, {odds} there{short}")
            }
            (None, Takes::Well | Takes::Crowded) => format!("{name} is warm enough{short}"),
            (None, Takes::Dark) => format!("{name} for tonight, though it is dark{short}"),
            (None, Takes::Floor) => format!("a table or the floor of {name} for tonight: its benches do not take them"),
        }
    }
}

/// Where plants go that cannot stay: the place nearest the open that is sure to be warm enough tonight and takes them well;
/// else one that takes them at all; else the warmest, if it is much better than where they are.
fn refuge(eve: &Eve<'_>, group: &Group, here: Option<&Risk>) -> Option<Refuge> {
    let dies = |risk: &Risk| risk.death.map_or(0.0, |(_, chance)| chance);
    let others = eve.state.places.iter().filter(|(id, _)| **id != group.place);
    let found = others.filter_map(|(id, place)| {
        let (rank, is_dark) = match place.kind {
            PlaceKind::ColdFrame => (0, false),
            PlaceKind::Greenhouse | PlaceKind::Tunnel => (1, false),
            PlaceKind::Windowsill => (2, false),
            PlaceKind::LitShelf => (3, false),
            PlaceKind::Room => (4, false),
            PlaceKind::Propagator | PlaceKind::AiringCupboard => (5, place.light != Light::Full),
            _ => return None,
        };
        let risk = eve.risk(group, *id, eve.cover_now(*id))?;
        let is_better = here.map_or(0.0, dies) >= SPOKEN_OF && dies(&risk) <= here.map_or(0.0, dies) / 2.0;
        let unsure = (!group.is_safe(&risk)).then_some(risk.chance);
        let (takes, spot) = match eve.spot(group, *id) {
            Some(spot) if spot.goes > 0 => (if is_dark { Takes::Dark } else { Takes::Well }, spot),
            Some(spot) if rank < 5 => (Takes::Crowded, spot),
            // Nothing stands beside a full propagator, nor where the lid of a frame would not shut over it.
            None if (1..5).contains(&rank) => (Takes::Floor, eve.floor(group, *id)),
            _ => return None,
        };
        let is_any_use = unsure.is_none() || risk.advice == Advice::Leave || is_better;
        is_any_use.then_some((rank, Refuge { place: *id, takes, unsure, spot }))
    });
    found
        .min_by(|(a_rank, a), (b_rank, b)| {
            let chance = |refuge: &Refuge| refuge.unsure.unwrap_or(0.0);
            let order = |refuge: &Refuge, rank: u8| (refuge.takes, rank, refuge.place);
            // What was read too hot for them is the last to be offered.
            let hot = |refuge: &Refuge| too_hot::would_hurt(eve, group, refuge.place);
            let sure = (hot(a), a.unsure.is_some()).cmp(&(hot(b), b.unsure.is_some()));
            sure.then(chance(a).total_cmp(&chance(b))).then(order(a, *a_rank).cmp(&order(b, *b_rank)))
        })
        .map(|(_, refuge)| refuge)
}

/// Plants out for the day: in, unless their hardening has come to nights and tonight is safe.
fn in_at_night(eve: &Eve<'_>, group: &Group, risk: Option<Risk>) -> Step {
    let at_nights = |it: &Ladder| it.exposure().is_none_or(|step| step == Exposure::Overnight);
    let nights = group.is_hardened_off() || group.ladder.as_ref().is_none_or(at_nights);
    let bolts = carried_in_for(eve, group, group.place);
    let cause = if bolts.is_some() { Cause::Dose } else { Cause::Tonight };
    let reason = match (risk, &group.ladder) {
        // By day they are planted; who did not brings them in.
        _ if !eve.at().is_late() && is_to_be_planted(eve, group) => {
            return to_be_planted();
        }
        _ if let Some(bolts) = bolts => format!("in at night: {bolts}"),
        (Some(risk), _) if nights && may_stay(group, &risk) => {
            return Step::new(DuskMove::Leave, safe(group, &risk), None);
        }
        (None, _) => "nothing is known of tonight".to_owned(),
        (Some(risk), Some(ladder)) if nights => {
            format!("{} likely, and a night counts from {}", risk.air_low, ladder.min_night())
        }
        (_, Some(ladder)) => format!("in at night: {}", ladder.words()),
        (_, None) => "in at night".to_owned(),
    };
    if home_is_safe(eve, group) {
        return Step { cause, ..Step::new(DuskMove::BringIn, reason, Some(format!("in {}", group.words()))) };
    }
    let reason = format!("{reason}; its own place is too cold too");
    match refuge(eve, group, risk.as_ref()) {
        Some(refuge) => Step::to_refuge(format!("{reason}; {}", refuge.said(eve)), group, refuge.spot),
        None => Step::new(DuskMove::BringIn, reason, None),
    }
}

/// True when the air stays above what the step of hardening asks of a night, or they are hardened enough to be planted.
fn may_stay(group: &Group, risk: &Risk) -> bool {
    group.is_hardened_off() || group.ladder.as_ref().is_none_or(|ladder| risk.air_low >= ladder.min_night())
}

/// Plants in a house whose hardening has come to nights out: of those that the day puts out, and no others.
fn out_at_night(eve: &Eve<'_>, group: &Group) -> Option<Step> {
    let ladder = group.ladder.as_ref().filter(|ladder| ladder.has_begun())?;
    // Going out is work of the morning.
    if eve.at().is_late() {
        return None;
    }
    if !ladder.is_done() && ladder.exposure() != Some(Exposure::Overnight) {
        return None;
    }
    let place = hardening_off::outing(eve)?;
    let risk = eve.risk(group, place, eve.cover_now(place))?;
    if !group.is_safe(&risk) || !may_stay(group, &risk) || carried_in_for(eve, group, place).is_some() {
        return None;
    }
    let doing = hardening_off::row(eve, group).filter(|row| row.for_good.is_none())?.doing?;
    let reason = format!("{}; {}: {}", ladder.words(), eve.name(place), safe(group, &risk));
    Some(Step::new(DuskMove::PutOut, reason, Some(doing)))
}

/// Why plants are left where they are, and how safe that is: nothing is called safe that would not be moved there.
fn safe(group: &Group, risk: &Risk) -> String {
    let late = group.floor.map_or("", |floor| floor.late_words());
    if risk.is_guess {
        return format!(
            "no forecast: if tonight is as last night, leaves likely at {}, and they work down to {}{late}",
            risk.leaf_low, risk.floor
        );
    }
    if risk.chance >= SPOKEN_OF || !group.is_safe(risk) {
        let (odds, floor, low) = (odds(risk.chance), risk.floor, risk.leaf_low);
        let word = if group.is_safe(risk) { "likely safe, and" } else { "may stay, though" };
        return format!("{word} {odds} that leaves fall under {floor}{late}: likely at {low}; {LEAF_NOTE}");
    }
    format!(
        "safe to {}{late}: leaves likely at {}, under {} one night in ten; {LEAF_NOTE}",
        risk.floor, risk.leaf_low, risk.leaf_low_cold
    )
}

/// A name as a line of words takes it.
pub(in crate::advice) fn quoted(name: &str) -> String {
    if name.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '/')) {
        name.to_owned()
    } else {
        format!("\"{}\"", name.replace('\\', "\\\\").replace('"', "\\\"").replace('$', "\\$").replace('`', "\\`"))
    }
}
