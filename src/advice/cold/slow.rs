//! Cold that is no reason to bring anything in tonight: the dose that makes a crop bolt, and growth checked.

use crate::journal::{Part, PlaceKind, State};
use crate::quantity::{BatchLabel, Celsius, CropName, Date, PlaceId};
use crate::science::chilling::{ChillingRule, checked_days, chilling_dose};
use crate::science::day_range::DayRange;
use crate::trade::{BoltingDose, ColdEffect, Crop};

use super::Eve;
use super::dusk::is_moved_tonight;
use super::going_out::{is_to_be_planted, open_ground};
use super::groups::Group;
use super::size::{Leaves, too_small};
use crate::advice::batch::{Stayed, stays};
use crate::advice::climate::Cover;
use crate::advice::exposure::StoodDay;
use crate::advice::part::{PartAt, after, days_between};
use crate::advice::why::Why;

/// Share of a dose from which it is spoken of, and days of the last week checked. Common practice, no source.
pub(super) const SPOKEN_OF: f64 = 0.5;
/// The share of a dose that ten days in a place are not to add; days over which cold to come is looked at; and the share of a day under the line in what is warm enough. Common practice,
/// no source.
const FEEDS: f64 = 0.25;
const DAYS_AHEAD: f64 = 10.0;
const HARDLY_EVER: f64 = 0.25;
/// The share of a dose in ten days from which what stands there is told to leave; degrees that every night forecast may turn
/// out colder for a place to be offered all the same; and days that plants are not sent back to where they left. Between
/// staying and going nothing is told, or each newer forecast would carry them. Common practice, no source.
const DRIVES_OUT: f64 = 0.5;
pub(super) const COLDER: f64 = 2.0;
const LET_BE: u32 = 7;
const CHECKED_DAYS: f64 = 3.0;
const WEEK: usize = 7;
/// Days for which it is news that plants have had a dose, or so much of it, or stand where it comes. Common practice, no source.
pub(super) const NEWS_DAYS: usize = 3;
/// The share of a dose at which it is nearly had, and told of once more. Common practice, no source.
const NEARLY: f64 = 0.8;

/// What slow cold does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SlowKind {
    /// A dose toward bolting, buttoning or, where it is wanted, heading: the share had, 0 to 1.
    Dose(ColdEffect, f64),
    /// Growth checked: days' worth of hours in the last week.
    Checked(f64),
    /// Cold enough for a dose, had by plants that were too small for it when last noted, or whose size nobody noted.
    TooSmall,
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
    /// Its parts there.
    pub parts: Vec<PartAt>,
    /// What the cold does.
    pub kind: SlowKind,
    /// True when it is told unasked: where there is something to do about it, and for a few days when the dose is had or the
    /// check begins.
    pub is_told: bool,
    /// In words with the numbers.
    pub reason: String,
    /// The words that end it, where it is no use and a warmer place is there.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

/// Doses half had or more, or that would be by plants large enough, and batches checked for three days of the last week.
pub(super) fn slow(eve: &Eve<'_>, groups: &[Group]) -> Vec<SlowCold> {
    let dosed = |group| dose(eve, group).or_else(|| too_small(eve, group));
    groups.iter().flat_map(|group| [dosed(group), checked(eve, group)]).flatten().collect()
}

/// How near plants are to bolting of cold, and what the cold forecast where they would stand adds: the one judgement of a
/// frame, a bed and the open.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bolting {
    line: Celsius,
    /// Days' worth of cold that do it, from and to.
    enough: (f64, f64),
    had: f64,
    /// Days' worth in ten days there; `None` when nothing is known of them.
    to_come: Option<f64>,
    /// True when the fewest days that do it were reached in the last few.
    is_news: bool,
    /// True when half of them, or nearly all, were reached in the last few, or the plants came there.
    is_nearing: bool,
}

impl Bolting {
    /// True when nothing is known of the cold to come.
    pub(super) fn is_blind(&self) -> bool {
        self.to_come.is_none()
    }

    /// True when ten days there bring them a good part of the way to bolting, or the rest of it.
    pub(super) fn feeds(&self) -> bool {
        self.to_come.is_some_and(|more| more >= FEEDS * self.enough.0) || self.completes()
    }

    /// True when ten days there are the rest of it.
    fn completes(&self) -> bool {
        self.to_come.is_some_and(|more| more > 0.0 && self.had + more >= self.enough.0)
    }

    /// True when ten days there are the rest of it, or half of it: what plants that stand there are told to leave.
    fn drives_out(&self) -> bool {
        self.to_come.is_some_and(|more| more >= DRIVES_OUT * self.enough.0) || self.completes()
    }

    fn is_near(&self) -> bool {
        self.had >= SPOKEN_OF * self.enough.0
    }

    fn is_done(&self) -> bool {
        self.had >= self.enough.0
    }

    /// True when plants whose time is over go out all the same: all but where ten days would be the whole of the cold that
    /// does it, whatever they had before. In their pots they would be spoilt as surely by waiting.
    pub(super) fn lets_the_late_go(&self) -> bool {
        self.is_done() || self.to_come.is_none_or(|more| more < self.enough.0)
    }

    /// The temperature under which it counts.
    pub(super) fn line(&self) -> Celsius {
        self.line
    }

    /// True when it can still be kept off: the dose is not had, and with the cold to come it would be.
    pub(super) fn is_coming(&self) -> bool {
        self.completes() && !self.is_done()
    }

    /// True when it is news that it is on its way.
    pub(super) fn is_nearing(&self) -> bool {
        self.is_nearing
    }

    /// True when the dose was had a few days ago at most.
    pub(super) fn is_news(&self) -> bool {
        self.is_news
    }

    /// What ten days there would be of it, and what there was, in words: `ten days in frame would be 4 of the 10 to 14 days'
    /// worth under 13.0 C that do it, and it has had 3`.
    fn figures(&self, there: &str) -> String {
        let Self { line, enough: (least, most), had, to_come, .. } = self;
        let all = format!("of the {least:.0} to {most:.0} days' worth under {line} that do it");
        match to_come {
            None => format!("it has had {had:.0} {all}"),
            Some(more) if *had < 0.5 => format!("ten days{there} would be {more:.0} {all}"),
            Some(more) => format!("ten days{there} would be {more:.0} {all}, and it has had {had:.0}"),
        }
    }

    /// That plants in a bed had what makes them bolt, in words; `None` before.
    pub(super) fn said_done(&self) -> Option<String> {
        let Self { line, enough: (least, most), had, .. } = self;
        self.is_done().then(|| {
            format!(
                "it has had the cold that makes it bolt, {had:.0} days' worth under {line} where {least:.0} to {most:.0} \
                 do it: it may run to seed"
            )
        })
    }

    /// What is to be said of it while they stand there; `None` when it is far off, or done.
    pub(super) fn told(&self) -> Option<String> {
        let is_told = (self.is_near() || self.completes()) && !self.is_done();
        is_told.then(|| format!("{}: it may bolt", self.figures(" more")))
    }
}

/// How near a group's plants are to bolting, and what a place, or the open, adds; `None` for kinds that cold does not make
/// bolt, and while they are too small for it.
pub(super) fn bolting(eve: &Eve<'_>, group: &Group, place: Option<PlaceId>) -> Option<Bolting> {
    let part = eve.state.parts.get(&group.parts.first()?.id)?;
    bolting_of(eve, (part, group.crop_in(eve.state, eve.trade)?), &group.days, place)
}

/// The same of one part that has been through some days.
pub(super) fn bolting_of(
    eve: &Eve<'_>,
    of: (&Part, &Crop),
    days: &[StoodDay],
    place: Option<PlaceId>,
) -> Option<Bolting> {
    let there = days.iter().rev().take_while(|day| day.night_place == place).count();
    let bolting = fed(eve, of, days, &|line| cold_hours(eve, place, line))?;
    Some(Bolting { is_nearing: bolting.is_nearing || there < NEWS_DAYS, ..bolting })
}

/// True when the cold of a place, as it is forecast there, would within ten days bring plants of this size a good part of the
/// way to bolting, or the rest of it: what they are not to be moved into.
pub(super) fn leads_to_bolting(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    bolting(eve, group, Some(place)).is_some_and(|it| it.feeds())
}

/// What a place adds were every night forecast a little colder, where that feeds it.
fn were_it_colder(eve: &Eve<'_>, group: &Group, place: PlaceId) -> Option<Bolting> {
    let colder = |range: DayRange| DayRange::between(range.low().0 - COLDER, range.high().0);
    fed_in(eve, group, place, &colder).filter(Bolting::feeds)
}

/// Why plants that cold makes bolt are not to spend their nights in a place, in words; `None` when they may. It is one judgement
/// for every page and hour, by the cold to come and not by tonight's: where they were last night they stay while that does not
/// feed it; elsewhere they go only if it would not were every night a little colder, and not within a week of leaving it, so
/// that the next forecast does not carry them back.
pub(super) fn no_nights_in(eve: &Eve<'_>, group: &Group, place: PlaceId) -> Option<String> {
    let name = || eve.name(place);
    if is_there(eve, group, place) && group.days.last().is_some_and(|day| day.night_place == Some(place)) {
        let fed = bolting(eve, group, Some(place)).filter(Bolting::feeds)?;
        return Some(format!("cold nights make it bolt: {}", fed.figures(&format!(" in {}", name()))));
    }
    if left_lately(eve, group, place) {
        return Some(format!("cold nights make it bolt, and it left {} within a week: it is let be", name()));
    }
    let fed = were_it_colder(eve, group, place)?;
    let there = format!(" in {}, {COLDER:.0} C colder than forecast,", name());
    Some(format!("cold nights make it bolt: {}", fed.figures(&there)))
}

/// The same, but for plants for which bolting is no reason any more to be carried anywhere.
pub(super) fn carried_in_for(eve: &Eve<'_>, group: &Group, place: PlaceId) -> Option<String> {
    no_nights_in(eve, group, place).filter(|_| !is_past_bolting(eve, group))
}

/// How that was come by.
pub(super) fn why_no_nights() -> Why {
    Why::new(
        "days' worth of hours below the line, had and in ten such days as are forecast there, against the fewest days that do \
         it: a quarter of those to come, or the rest of them",
    )
    .practice(
        "where they were not last night they go only if every night may be 2 C colder than forecast, and not within a week \
         of leaving it",
    )
    .doubt("days without a forecast are taken to be as those with one")
    .changes("a newer forecast")
}

/// True when plants stand in a place, or live there and are out for the day.
fn is_there(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    let home = group.parts.first().and_then(|part| eve.state.home(part.container));
    group.place == place || home.is_some_and(|(home, _)| home == place)
}

/// True when plants that cold makes bolt stood in a place by night and were moved out of it within a week, today too: a week is
/// not long for them, and they are not carried to and fro.
fn left_lately(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    let left = group.parts.iter().filter_map(|part| eve.state.parts.get(&part.id)).any(|part| {
        // Out for the day is no move.
        let homes: Vec<Stayed> =
            stays(eve.state, part.container).into_iter().filter(|stay| stay.out.is_none()).collect();
        homes.windows(2).any(|pair| {
            let is_left = pair[0].place == Some(place) && pair[1].place != Some(place);
            is_left && days_between(pair[1].from, eve.on) < LET_BE
        })
    });
    let mut nights = group.days.iter().rev().take(LET_BE as usize).map(|day| day.night_place);
    let last = nights.next();
    let was_there = last == Some(Some(place));
    let came_in = match is_there(eve, group, place) {
        true => !was_there && nights.any(|night| night == Some(place)),
        false => was_there || nights.any(|night| night == Some(place)),
    };
    (left || came_in) && bolting(eve, group, None).is_some()
}

/// True when the cold of a place leads to bolting, and that is still a reason to be elsewhere.
pub(super) fn kept_from(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    leads_to_bolting(eve, group, place) && !is_past_bolting(eve, group)
}

/// True when bolting is no reason any more to carry plants anywhere: their time is over, and they are to be planted into as
/// much cold.
fn is_past_bolting(eve: &Eve<'_>, group: &Group) -> bool {
    let goes_out = || {
        let bed = open_ground(eve.state);
        let bare = eve.without_cover(bed);
        bolting(&Eve { climates: &bare, ..*eve }, group, bed).is_some_and(|bed| bed.lets_the_late_go())
    };
    group.is_late && goes_out()
}

/// The same as [`leads_to_bolting`] of plants that are there by day and in at night.
pub(super) fn leads_to_bolting_by_day(eve: &Eve<'_>, group: &Group, place: PlaceId) -> bool {
    fed_in(eve, group, place, &by_day).is_some_and(|it| it.feeds())
}

/// What a place adds to what plants had, of each day what they would have of it.
fn fed_in(eve: &Eve<'_>, group: &Group, place: PlaceId, of: &dyn Fn(DayRange) -> DayRange) -> Option<Bolting> {
    let part = eve.state.parts.get(&group.parts.first()?.id)?;
    let cold = |line| cold_share(eve, Some(place), line, of);
    fed(eve, (part, group.crop_in(eve.state, eve.trade)?), &group.days, &cold)
}

/// True when plants have had so much of the dose that makes them bolt that it is spoken of.
pub(super) fn bolting_is_near(eve: &Eve<'_>, group: &Group) -> bool {
    let part = group.parts.first().and_then(|at| eve.state.parts.get(&at.id));
    let (Some(part), Some(crop)) = (part, group.crop_in(eve.state, eve.trade)) else { return false };
    let doses = crop.bolting().iter().filter(|dose| dose.effect == ColdEffect::Bolts);
    doses.into_iter().any(|dose| had(eve, &group.days, part, dose).1 >= SPOKEN_OF)
}

/// The upper half of a day's swing: what plants have that are out from morning to evening.
fn by_day(range: DayRange) -> DayRange {
    DayRange::between(range.mean().0, range.high().0)
}

/// The cold that plants had of a day: out by day and in at night, only that of the day.
pub(super) fn stood_in(day: &StoodDay) -> Option<DayRange> {
    let range = day.range?;
    Some(if day.out.is_some() && !day.night_out() { by_day(range) } else { range })
}

/// What the cold to come adds to what plants had, for the dose it brings nearest.
fn fed(
    eve: &Eve<'_>,
    (part, crop): (&Part, &Crop),
    days: &[StoodDay],
    cold: &dyn Fn(Celsius) -> Option<f64>,
) -> Option<Bolting> {
    let doses = crop.bolting().iter().filter(|dose| dose.effect == ColdEffect::Bolts && answers(eve, part, dose));
    let fed = doses.into_iter().map(|dose| Bolting {
        line: dose.below,
        enough: (f64::from(dose.days.0), f64::from(dose.days.1)),
        had: had(eve, days, part, dose).0,
        to_come: cold(dose.below).map(|day| day * DAYS_AHEAD),
        is_news: is_news(eve, days, part, dose, 1.0),
        is_nearing: [SPOKEN_OF, NEARLY].into_iter().any(|share| is_news(eve, days, part, dose, share)),
    });
    let share = |it: &Bolting| (it.had + it.to_come.unwrap_or(0.0)) / it.enough.0;
    fed.max_by(|a, b| share(a).total_cmp(&share(b)))
}

/// True when plants are of the size from which they answer to a dose.
fn answers(eve: &Eve<'_>, part: &Part, dose: &BoltingDose) -> bool {
    Leaves::noted(eve.state, part, eve.on).on(eve.on) >= f64::from(dose.min_leaves.unwrap_or(0))
}

/// The share of a day under a line in a place or the open, of those that are forecast; `None` when none is.
fn cold_hours(eve: &Eve<'_>, place: Option<PlaceId>, line: Celsius) -> Option<f64> {
    cold_share(eve, place, line, &std::convert::identity)
}

fn cold_share(eve: &Eve<'_>, place: Option<PlaceId>, line: Celsius, of: &dyn Fn(DayRange) -> DayRange) -> Option<f64> {
    // A mat over glass comes off in the morning and lies on no night that is mild: days to come are judged without it.
    let cover = |place: PlaceId| match eve.state.places.get(&place).map(|place| place.kind) {
        Some(PlaceKind::Plot | PlaceKind::StandingGround) => eve.cover_now(place),
        _ => Cover::Off,
    };
    let range = |day| match place {
        Some(place) => eve.climates.past_day(place, day, cover(place)),
        None => eve.climates.outside_day(day),
    };
    let days = (1..=DAYS_AHEAD as u32).filter_map(|ahead| range(after(eve.on, ahead)));
    let shares: Vec<f64> = days.map(|range| of(range).hours_below(line) / 24.0).collect();
    (!shares.is_empty()).then(|| shares.iter().sum::<f64>() / shares.len() as f64)
}

/// The words that move plants out of cold that does them no good: home, if they are out for the day, else where it is light,
/// safe tonight and hardly ever under the line.
fn warmer(eve: &Eve<'_>, group: &Group, line: Celsius) -> Option<String> {
    let is_warm = |place: PlaceId| cold_hours(eve, Some(place), line).is_some_and(|share| share <= HARDLY_EVER);
    if is_warm(group.place) {
        return None;
    }
    if group.is_out() {
        return Some(format!("in {}", group.words()));
    }
    if !bolting(eve, group, Some(group.place)).is_some_and(|it| it.drives_out()) {
        return None;
    }
    let order = |kind: PlaceKind| match kind {
        PlaceKind::Greenhouse | PlaceKind::Tunnel => Some(0),
        PlaceKind::Windowsill => Some(1),
        PlaceKind::LitShelf => Some(2),
        PlaceKind::Room => Some(3),
        _ => None,
    };
    let is_safe = |place| eve.risk(group, place, eve.cover_now(place)).is_some_and(|risk| group.is_safe(&risk));
    let ranked = eve.state.places.iter().filter_map(|(id, place)| Some((order(place.kind)?, *id)));
    let warm =
        ranked.filter(|(_, id)| *id != group.place && is_warm(*id) && is_safe(*id) && !left_lately(eve, group, *id));
    let found = warm.filter_map(|(rank, id)| Some((rank, id, eve.spot(group, id)?)));
    let roomy = found.filter(|(.., spot)| spot.goes > 0);
    roomy.min_by_key(|(rank, id, _)| (*rank, *id)).map(|(.., spot)| spot.moving(group))
}

/// True when plants have somewhere else to go: into their bed, now or as soon as its nights allow, or out of what tonight
/// would do to them.
fn has_another_way(eve: &Eve<'_>, group: &Group) -> bool {
    is_to_be_planted(eve, group) || is_moved_tonight(eve, group) || is_past_bolting(eve, group)
}

fn dose(eve: &Eve<'_>, group: &Group) -> Option<SlowCold> {
    let crop = group.crop_in(eve.state, eve.trade)?;
    let part = eve.state.parts.get(&group.parts.first()?.id)?;
    let doses = crop.bolting().iter().map(|dose| (dose, had(eve, &group.days, part, dose)));
    let (dose, (days, share)) = doses.max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    if share < SPOKEN_OF {
        return None;
    }
    let does = match dose.effect {
        ColdEffect::Bolts => "it may bolt",
        ColdEffect::Buttons => "it may button",
        ColdEffect::Wanted => "the cold it wants",
    };
    let worth = if days.round() > 1.0 { "days'" } else { "day's" };
    let reason =
        format!("{days:.0} {worth} worth under {}, and {} to {} do it: {does}", dose.below, dose.days.0, dose.days.1);
    let doing = warmer(eve, group, dose.below)
        .filter(|_| dose.effect != ColdEffect::Wanted && share < 1.0 && !has_another_way(eve, group));
    let why = Why::new(
        "hours below the line since it was large enough, as whole days, against the fewest days that do it",
    )
    .given("line", dose.below)
    .given("days had", format!("{days:.1}"))
    .given("from true leaves", dose.min_leaves.map_or_else(|| "not stated".to_owned(), |leaves| leaves.to_string()))
    .source(dose.source.clone())
    .doubt("between two notes leaves are taken to come evenly, and days without readings are worked out or left out")
    .changes("warmer days, or a leaf count with `stage`");
    let noted = Leaves::noted(eve.state, part, eve.on).last().filter(|_| dose.min_leaves.is_some());
    let why = noted.into_iter().fold(why, |why, (on, leaves)| why.seen("true leaves last noted", leaves, on));
    Some(SlowCold {
        label: group.label,
        crop: group.crop.clone(),
        place: group.place,
        parts: group.parts.clone(),
        kind: SlowKind::Dose(dose.effect, share),
        is_told: doing.is_some() || is_news(eve, &group.days, part, dose, 1.0),
        reason,
        doing,
        why,
    })
}

/// Days' worth of a dose that plants had, and the share of it.
fn had(eve: &Eve<'_>, days: &[StoodDay], part: &Part, dose: &BoltingDose) -> (f64, f64) {
    had_by(eve.on, eve.state, days, part, dose)
}

/// The same, as far as leaves were noted by a day.
fn had_by(known: Date, state: &State, days: &[StoodDay], part: &Part, dose: &BoltingDose) -> (f64, f64) {
    let rule = ChillingRule {
        line: dose.below,
        days: f64::from(dose.days.0),
        from_size: f64::from(dose.min_leaves.unwrap_or(0)),
        undone: None,
    };
    let leaves = Leaves::noted(state, part, known);
    let had = chilling_dose(&rule, days.iter().filter_map(|day| Some((stood_in(day)?, leaves.on(day.day)))));
    (had.days, had.share)
}

/// True when a share of a dose was had, and a few days ago, by what was noted then, was not.
fn is_news(eve: &Eve<'_>, days: &[StoodDay], part: &Part, dose: &BoltingDose, share: f64) -> bool {
    let before = days.get(..days.len().saturating_sub(NEWS_DAYS)).unwrap_or_default();
    let then = eve.on.checked_sub_days(chrono::Days::new(NEWS_DAYS as u64)).unwrap_or(eve.on);
    had(eve, days, part, dose).1 >= share && had_by(then, eve.state, before, part, dose).1 < share
}

fn checked(eve: &Eve<'_>, group: &Group) -> Option<SlowCold> {
    let figure = group.crop_in(eve.state, eve.trade)?.growth_check()?;
    let line: Celsius = figure.low;
    let in_week = |ago: usize| {
        let last: Vec<DayRange> = group.days.iter().rev().skip(ago).take(WEEK).filter_map(|day| day.range).collect();
        checked_days(last, line)
    };
    let days = in_week(0);
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
        parts: group.parts.clone(),
        kind: SlowKind::Checked(days),
        // No more while it goes on, or comes and goes.
        is_told: (NEWS_DAYS..NEWS_DAYS + WEEK).all(|ago| in_week(ago) < CHECKED_DAYS),
        reason: format!("under {line} for {days:.0} days' worth of the last week: growth stands still"),
        doing: None,
        why,
    })
}
