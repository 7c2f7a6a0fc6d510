//! Setting plants in a bed: what speaks for and against it, found once for the list before dusk, the day's work and the
//! answer to the act.

use crate::journal::{PlaceKind, State};
use crate::quantity::{Celsius, Date, PartId, PlaceId, Share};
use crate::science::cold_risk::Advice;
use crate::trade::{Crop, Hardiness, PlantOutPlace, Trade};

use super::Eve;
use super::dusk::danger;
use super::going_out::{LOOK_AHEAD, soil};
use super::groups::{Floor, Group, groups};
use super::ladder::Ladder;
use super::nights::REACH;
use super::planted::{ground_floor, ground_of, may_kill_at, risk_in_ground};
use super::risk::{PLAIN, Risk, SAFE, odds};
use super::slow::bolting;
use crate::advice::climate::{Climates, Cover, Night};
use crate::advice::part::{PartAt, after};
use crate::advice::ready::{Step, ready_of};
use crate::advice::window::first_after_frost;

/// How much colder than they want it the soil may be for plants that are late. Common practice, no source.
const COOL_SOIL: f64 = 3.0;

/// The nights forecast in a bed, for some plants.
pub(super) enum Nights {
    /// None is forecast.
    Unknown,
    /// None that speaks against it: the worst of those that a forecast reaches.
    Fine(FineNight),
    /// The worst of those that do.
    Bad(BadNight),
}

/// The worst of the nights that do not speak against planting.
pub(super) struct FineNight {
    /// Its morning.
    pub(super) morning: Date,
    /// What counts of it.
    pub(super) risk: Risk,
    /// Why that is what counts, a few words to follow it.
    pub(super) late_words: &'static str,
}

/// A night that speaks against planting.
pub(super) struct BadNight {
    morning: Date,
    risk: Risk,
    /// The low of the air from which it would not.
    wants: Celsius,
    /// The chance under a fleece, where that would do.
    under_fleece: Option<f64>,
    /// For tender kinds, the day from which a night that only checks them is waited out no more.
    until: Option<Date>,
}

impl BadNight {
    /// What it waits for, in words.
    fn way_out(&self) -> String {
        let nights = format!("wait for nights over {:.0} C", self.wants.0.ceil());
        let ends = self.until.map_or_else(String::new, |day| {
            format!("; from {} at the latest only what may kill counts", day.format("%-d %b"))
        });
        let fleeced = self.fleeced().unwrap_or_else(|| ", or somewhere warmer".to_owned());
        format!("{nights}{fleeced}{ends}")
    }

    /// That it would do under a fleece, and how well; `None` where it would not.
    fn fleeced(&self) -> Option<String> {
        self.under_fleece.map(|chance| format!(", or under a fleece: {} there", odds(chance)))
    }
}

impl Nights {
    /// The bad night in words.
    pub(super) fn bad(&self) -> Option<String> {
        let Self::Bad(night) = self else { return None };
        let (odds, floor, way_out) = (odds(night.risk.chance), night.risk.floor, night.way_out());
        Some(format!("the night to {}: {odds} that leaves fall under {floor}; {way_out}", night.morning))
    }
}

/// What speaks for and against setting some plants in a bed now. The list before dusk, the day's work and the answer to the
/// act all say what is found here, so that who does what the list says is not told by the act to undo it.
pub(super) struct Planting {
    /// The place whose climate the bed has.
    place: Option<PlaceId>,
    /// True when the time of the plants to be planted out is over.
    is_late: bool,
    /// In a bed under glass or film, or of a kind that belongs there.
    pub(super) is_sheltered: bool,
    /// That it is before its time in the open.
    pub(super) before_frost: Option<String>,
    /// That they are not hardened off.
    pub(super) soft: Option<String>,
    /// What they want of the grower where that is no reason to wait any longer.
    pub(super) soft_late: Option<String>,
    /// That the cold to come there leads them on to bolting, or that nothing is known of it; once their time is over, only
    /// when it is near.
    pub(super) bolts: Option<String>,
    /// That it leads there in the end, where it is no reason to wait any longer.
    pub(super) bolts_late: Option<String>,
    /// That tonight is too cold for them where they stand, at one in six or more: what a pot is to come in from is no night
    /// for a bed.
    pub(super) carried_in: Option<String>,
    /// The nights forecast there.
    pub(super) nights: Nights,
    /// The latest reading of the ground.
    pub(super) soil: Option<(Date, Celsius)>,
    /// That it is too cold.
    pub(super) cold_soil: Option<String>,
    /// That it is a little too cold, where it is no reason to wait any longer.
    pub(super) soil_late: Option<String>,
    /// For tender kinds, that nobody read it.
    pub(super) soil_not_read: Option<String>,
}

impl Planting {
    /// That nothing is known of the nights, in words.
    pub(super) fn unknown(&self) -> Option<String> {
        (!self.is_sheltered && matches!(self.nights, Nights::Unknown)).then(|| "no forecast of the nights".to_owned())
    }
}

/// Judges setting the plants of one part of a group in a bed, named or not: as it is without a cover, which lies there for
/// others and comes off in the morning. Where it would do only under one, that is said.
pub(super) fn planting(eve: &Eve<'_>, group: &Group, part: &PartAt, crop: &Crop, bed: Option<&str>) -> Planting {
    let Eve { state, trade, on, .. } = *eve;
    let latest = ready_of(state, trade, part.id, on).filter(|it| it.step == Step::PlantOut);
    let latest = latest.map(|it| it.window.latest);
    let is_late = latest.is_some_and(|latest| on > latest);
    let under_cover = crop.plant_out_place().is_some_and(|place| place.value == PlantOutPlace::UnderCover);
    let is_glass = |place: PlaceId| {
        let kind = state.places.get(&place).map(|place| place.kind);
        kind.is_some_and(|kind| !matches!(kind, PlaceKind::Plot | PlaceKind::StandingGround))
    };
    // A kind for under cover, of which nobody says where it goes, goes under the glass there is.
    let glass = |kind| state.places.iter().find(move |(_, place)| place.kind == kind).map(|(id, _)| *id);
    let glass = || [PlaceKind::Greenhouse, PlaceKind::Tunnel, PlaceKind::ColdFrame].into_iter().find_map(glass);
    let place = if under_cover && bed.is_none() { glass() } else { ground_of(state, bed) };
    let is_sheltered = under_cover || place.is_some_and(is_glass);
    let season = first_after_frost(crop, trade.last_frost(), chrono::Datelike::year(&on));
    let before_frost = season.filter(|(first, _)| !is_sheltered && on < *first).map(|(first, last)| {
        let day = |day: Date| day.format("%-d %b").to_string();
        match first == last {
            true => format!("the last frost is about {}", day(last)),
            false => format!("its time in the open is from {}, the last frost being about {}", day(first), day(last)),
        }
    });
    let unfinished =
        group.ladder.as_ref().filter(|it| !is_sheltered && !group.is_hardened_off() && !it.is_by_dryness());
    let bare = eve.without_cover(place);
    let bare = Eve { climates: &bare, ..*eve };
    let nights = match place {
        None if is_sheltered => Nights::Unknown,
        place => nights_there(eve, group, crop, place, latest),
    };
    // What softened in the heat, or stood out in it as long as the schedule takes, and is late waits for nights alone.
    let (goes_soft, soft): (Option<&Ladder>, Option<&Ladder>) = match unfinished {
        Some(ladder) if is_late && ladder.has_been_out() && !matches!(nights, Nights::Unknown) => (Some(ladder), None),
        unfinished => (None, unfinished),
    };
    let soft = soft.map(|ladder| format!("not hardened off ({})", ladder.words()));
    // Of several plots nobody has said which.
    let is_plot = |kind: PlaceKind| kind == PlaceKind::Plot;
    let plots = state.places.values().filter(|place| is_plot(place.kind)).count();
    let is_said =
        |place: &PlaceId| bed.is_some() || plots < 2 || !state.places.get(place).is_some_and(|it| is_plot(it.kind));
    let there = place.filter(is_said).map_or_else(|| "the open".to_owned(), |place| eve.name(place));
    let (mut bolts, mut bolts_late) = (None, None);
    match bolting(&bare, group, place).filter(|_| place.is_some() || !is_sheltered) {
        Some(it) if it.feeds() && is_late && it.lets_the_late_go() => {
            bolts_late = Some(format!(
                "late, so out all the same, though the cool nights of {there} may make it bolt; under a fleece less likely"
            ));
        }
        Some(it) if it.feeds() => {
            let line = it.line();
            bolts = Some(format!(
                "the cold to come in {there} may make it bolt; wait for days and nights mostly over {line}, or under glass"
            ));
        }
        Some(it) if it.is_blind() && !is_late => {
            bolts = Some("nothing is known of the cold to come, which may make it bolt".to_owned());
        }
        _ => {}
    }
    let stands_out = group.is_out() || state.places.get(&group.place).is_some_and(|it| !it.kind.is_indoors());
    // What is late is kept by no night in its pots from a bed that it goes to.
    let here = eve.risk(group, group.place, eve.cover_now(group.place)).filter(|_| stands_out && !is_late);
    let carried_in = here.filter(|risk| risk.advice == Advice::Act && risk.chance >= SAFE).map(|risk| {
        let (odds, floor, here) = (odds(risk.chance), risk.floor, eve.name(group.place));
        format!("tonight is too cold even for its pots in {here}: {odds} that leaves fall under {floor}")
    });
    let wants = crop.plant_out_soil().filter(|_| !under_cover);
    let soil = wants.as_ref().and_then(|_| soil(state, place, on));
    let (cold_soil, soil_late) = match wants.as_ref().zip(soil) {
        Some((wants, (_, soil))) if soil < wants.low => cold_soil(soil, wants.low, is_late),
        _ => (None, None),
    };
    let is_tender = group.floor.is_some_and(|floor| floor.class == Hardiness::Tender);
    let unread = wants.filter(|_| is_tender && soil.is_none());
    let soil_not_read = unread.map(|wants| format!("no soil reading this week, and it wants {}", wants.low));
    Planting {
        place,
        is_late,
        is_sheltered,
        before_frost,
        soft,
        soft_late: goes_soft.map(|_| soft_late(crop, group.hardened)),
        bolts,
        bolts_late,
        carried_in,
        nights,
        soil,
        cold_soil,
        soil_late,
        soil_not_read,
    }
}

/// That soil is too cold, as a reason to wait or, late and by little, as a word to who plants all the same.
fn cold_soil(soil: Celsius, wants: Celsius, is_late: bool) -> (Option<String>, Option<String>) {
    let said = format!("soil {soil}, and it wants {wants}");
    match is_late && wants.0 - soil.0 <= COOL_SOIL {
        true => (None, Some(format!("{said}: late, so out all the same, it stands still until that warms"))),
        false => (Some(said), None),
    }
}

/// The night to a morning in a bed without a cover, or in the open.
fn night_there(eve: &Eve<'_>, place: Option<PlaceId>, morning: Date) -> Option<Night> {
    match place {
        Some(place) => eve.climates.night(place, morning, Cover::Off),
        None => eve.climates.night_in_the_open(morning),
    }
}

/// The nights forecast in a bed, by the floor that the evening watches it at. A tender kind is kept back from a night that
/// only checks it, by the floor it has in its pot; once it is late, hardened or soft, the night that counts is one that may
/// kill it.
fn nights_there(eve: &Eve<'_>, group: &Group, crop: &Crop, place: Option<PlaceId>, latest: Option<Date>) -> Nights {
    let is_late = latest.is_some_and(|latest| eve.on > latest);
    let step = group.ladder.as_ref().and_then(Ladder::floor);
    // What is still carried by its step has that floor wherever it is judged.
    let by_pot = |floor: &Floor| floor.class == Hardiness::Tender || step == Some(floor.now);
    let in_pots = group.floor.filter(|floor| !is_late && by_pot(floor));
    let Some(floor) = in_pots.or_else(|| ground_floor(crop, group.hardened)) else { return Nights::Unknown };
    let is_tender = floor.class == Hardiness::Tender;
    let counts = match may_kill_at(crop) {
        Some(kills) if is_late && kills < floor.now => Floor { now: kills, is_late: true, ..floor },
        _ => Floor { is_late: is_late && is_tender, ..floor },
    };
    // That a soft one's bed is fleeced sooner keeps it out of it no longer: it is told so.
    let floor = if is_tender { counts } else { floor };
    let nights = (1..=LOOK_AHEAD).filter_map(|ahead| {
        let morning = after(eve.on, ahead);
        let night = night_there(eve, place, morning)?;
        let (acted_on, counted) = (risk_in_ground(&night, &floor), risk_in_ground(&night, &counts));
        Some(Ahead { ahead, morning, acted_on, counted, night })
    });
    let nights: Vec<Ahead> = nights.collect();
    let worst = |a: &&Ahead, b: &&Ahead| a.speaking().chance.total_cmp(&b.speaking().chance);
    let bad = nights.iter().filter(|night| night.speaks_against()).max_by(worst);
    let near = nights.iter().filter(|night| night.ahead <= REACH && !night.counted.is_guess);
    match (bad, near.max_by(|a, b| a.counted.chance.total_cmp(&b.counted.chance))) {
        (Some(ahead), _) => {
            // From the next day they are late. Of other kinds what their bed is fleeced against counts then too.
            let until = latest.filter(|_| is_tender && !is_late).map(|latest| after(latest, 1));
            Nights::Bad(BadNight { until, ..bad_night(eve, place, ahead) })
        }
        (None, Some(Ahead { morning, counted, .. })) => {
            Nights::Fine(FineNight { morning: *morning, risk: *counted, late_words: counts.late_words() })
        }
        (None, None) => Nights::Unknown,
    }
}

/// A night so many nights ahead.
struct Ahead {
    ahead: u32,
    morning: Date,
    /// What it does by the floor that the evening watches the bed at.
    acted_on: Risk,
    /// What it does by what counts while they wait: for what is late, what may kill.
    counted: Risk,
    night: Night,
}

impl Ahead {
    /// True when it is reason to wait. Near, it is from one chance in six for every kind and at every hour, whatever fleece
    /// would be worth to it. For what is late only what may kill counts so, or what it would be fleeced against. One further
    /// off than a forecast reaches is when it is likelier than not too cold.
    fn speaks_against(&self) -> bool {
        let is_acted_on = self.acted_on.advice == Advice::Act;
        if self.ahead > REACH {
            return is_acted_on && self.acted_on.chance >= PLAIN;
        }
        is_acted_on || (!self.counted.is_guess && self.counted.chance >= SAFE)
    }

    /// What it does by the floor for which it speaks.
    fn speaking(&self) -> Risk {
        if self.acted_on.advice == Advice::Act { self.acted_on } else { self.counted }
    }
}

/// What late plants that go out soft want, and what their bed is watched at. Common practice, no source.
fn soft_late(crop: &Crop, hardened: Share) -> String {
    let watched = ground_floor(crop, hardened);
    let watched = watched.map_or_else(String::new, |floor| format!(", and its bed is watched at {}", floor.now));
    format!("soft: shade or fleece for the first days{watched}")
}

fn bad_night(eve: &Eve<'_>, place: Option<PlaceId>, ahead: &Ahead) -> BadNight {
    let (risk, night, morning) = (ahead.speaking(), &ahead.night, ahead.morning);
    // So much warmer, and one night in six would be as cold for them.
    let short = risk.floor.0 - night.leaf.quantile(SAFE).0;
    let fleeced = place.and_then(|place| eve.climates.night(place, morning, Cover::On));
    let under_fleece = fleeced.map(|night| night.leaf.below(risk.floor)).filter(|chance| *chance < SAFE);
    BadNight { morning, risk, wants: Celsius(risk.air_low.0 + short), under_fleece, until: None }
}

/// What speaks against setting a part's plants in a bed now, in one line; `None` when nothing does: that it is before the
/// last frost, that they are not hardened off, that a night forecast is likely to harm them, that the soil is too cold.
#[must_use]
pub fn too_early(state: &State, trade: &Trade, id: PartId, bed: Option<&str>, on: Date) -> Option<String> {
    let climates = Climates::learn(state, trade, on);
    let eve = Eve { state, trade, climates: &climates, on, hour: None };
    let groups = groups(state, trade, &climates);
    let group = groups.iter().find(|group| group.parts.iter().any(|part| part.id == id))?;
    let crop = group.crop_in(state, trade)?;
    let part = group.parts.iter().find(|part| part.id == id)?;
    let planting = planting(&eve, group, part, crop, bed);
    let night = match &planting.nights {
        Nights::Bad(night @ BadNight { morning, risk, .. }) => {
            // In the ground a tender kind is fleeced against what may kill it, as the list before dusk will have it.
            let bed = ground_floor(crop, group.hardened);
            let hurts = night_there(&eve, planting.place, *morning).zip(bed);
            let hurts = hurts.is_some_and(|(night, floor)| risk_in_ground(&night, &floor).advice == Advice::Act);
            let harm = danger(group, risk);
            let covered = planting.place.is_some_and(|place| eve.cover_now(place) == Cover::On);
            let what = match hurts {
                true if covered => "leave the fleece on, or `undo`".to_owned(),
                true => "fleece them, or `undo`".to_owned(),
                false => format!("a warmer night is better{}: `undo`", night.fleeced().unwrap_or_default()),
            };
            let watched = bed.filter(|bed| bed.now < risk.floor).map_or_else(String::new, |bed| {
                format!("; a bed is fleeced only against what may kill: this one under {}", bed.now)
            });
            Some(format!("the night to {morning}: {harm}; {what} takes this back{watched}"))
        }
        _ => None,
    };
    let unknown = planting.unknown();
    let doubts = [planting.before_frost, planting.soft, planting.bolts, planting.cold_soil, night, planting.carried_in];
    let mut doubts: Vec<String> = doubts.into_iter().flatten().collect();
    // As the list has it: what nobody knows is no reason to wait by itself.
    let is_early = !doubts.is_empty();
    doubts.extend(planting.soft_late.filter(|_| !is_early));
    doubts.extend(planting.soil_late.filter(|_| !is_early));
    doubts.extend(planting.bolts_late.filter(|_| !is_early));
    doubts.extend(unknown.clone());
    if is_early || unknown.is_some() {
        doubts.extend(planting.soil_not_read);
    }
    let label = part.label;
    match (is_early, doubts.is_empty()) {
        (_, true) => None,
        (true, _) if planting.is_late => {
            Some(format!("{label} {} is better kept back: {}", group.crop, doubts.join("; ")))
        }
        (true, _) => Some(format!("{label} {} is early: {}", group.crop, doubts.join("; "))),
        (false, _) => Some(format!("{label} {}: {}", group.crop, doubts.join("; "))),
    }
}
