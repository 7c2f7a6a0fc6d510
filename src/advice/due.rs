//! Today's work, in order of harm.

mod left;
mod seed;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::journal::{Batch, Light, Part, State};
use crate::quantity::{BatchId, BatchLabel, CropName, Date, Moment, Name, PartId, PlaceId};
use crate::trade::{Crop, Hardiness, Trade};

use super::cold::{ByDay, Day, DayWork, IntoLight};
use super::outlook::{Outlook, Outlooks};
use super::part::{self, PartAt, days_between};
use super::ready::{Ready, Step};
use super::unheard::{days_noted, doubted, move_due, was_away};
use super::why::Why;
use left::{Left, ask_about};

/// Whole days on end on which nobody was there after which what was carried out and in is to be caught up on, and more than so
/// many late things are one line. Common practice, no source.
pub(in crate::advice) const DAYS_AWAY: u32 = 3;
const MOST_LATE: usize = 5;

/// Sowing again goes before what is late from so many days before its last day on. Common practice, no source.
const CLOSING_DAYS: u32 = 14;

/// What planting out waits for, among what went into a line.
const WAITS_FOR: &str = "waits for";
/// Days for which nothing was noted of what is late by weeks, among the same.
const UNHEARD: &str = "days without a note";

/// How much harm waiting does, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Urgency {
    /// Harm is being done now.
    Now,
    /// The last good day has passed.
    Late,
    /// The best day has come.
    Today,
    /// The best day has come, and the nights or the soil are against it.
    Wait,
    /// Nothing is harmed by leaving it: a question, asked in one quiet line.
    Quiet,
}

/// What there is to do, the most harm in waiting first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Task {
    /// A place was read too hot for what is in it.
    CoolDown(PlaceId),
    /// A place was too hot and is no longer: what that hurt is looked over.
    LookOver(PlaceId),
    /// The lights of a frame or house of glass are opened wide by mid-morning.
    OpenUp(PlaceId),
    /// In the evening: a place is covered for the night.
    Cover(PlaceId),
    /// A cover left on comes off for the day.
    Uncover(PlaceId),
    /// Plants go out to a place for the day, to harden off.
    PutOut(PlaceId),
    /// Plants move out of the house to a frame for good.
    MoveOut(PlaceId),
    /// Cold in a place leads plants on to bolting: somewhere warmer.
    OutOfCold(PlaceId),
    /// Shoots show in a propagator or airing cupboard: into the light.
    TakeOffHeat,
    /// After days away: what to look at first, and how many things are late.
    CatchUp {
        /// How many late lines of [`due_in_full`] this one stands for; 0 where it stands beside them.
        late: u32,
    },
    /// Seed stands still where it is too cold for it: into the warm.
    ToWarmth,
    /// Seed stands still where it is too hot for it: into the cool.
    ToCool,
    /// A sowing has failed or is thin: sow again while it still makes the season.
    SowAgain,
    /// Prick out.
    PrickOut,
    /// Pot on.
    PotOn,
    /// Plant out.
    PlantOut,
    /// Count what is up.
    Count,
    /// It is late and may still come: to be known, and near the last day to sow again to be decided on.
    Slow,
    /// Empty, finished or long unheard of: clear it, or say that it lives.
    ClearForgotten,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// How much harm waiting does.
    pub urgency: Urgency,
    /// What to do.
    pub what: Task,
    /// The batch and its number; `None` when it concerns several.
    pub batch: Option<(BatchId, BatchLabel)>,
    /// Its crop.
    pub crop: Option<CropName>,
    /// Its variety.
    pub variety: Option<Name>,
    /// The parts it concerns, and where they stand.
    pub parts: Vec<PartAt>,
    /// The day it fell or falls due; `None` for what has no last day.
    pub due: Option<Date>,
    /// Days past the last good day; 0 until then.
    pub overdue_days: u32,
    /// Why now, in a few words.
    pub reason: String,
    /// The words that note it done, where they are known.
    pub doing: Option<String>,
    /// How it was come by.
    pub why: Why,
}

impl Due {
    /// Whether the last day to sow it again is near: behind it the crop is lost for the year.
    fn is_closing(&self, on: Date) -> bool {
        let by = self.due.filter(|by| *by >= on && self.urgency != Urgency::Quiet);
        matches!(self.what, Task::SowAgain | Task::Slow) && by.is_some_and(|by| days_between(on, by) <= CLOSING_DAYS)
    }

    /// True when it is doubted whether what is to be moved still lives.
    #[must_use]
    pub fn is_doubted(&self) -> bool {
        self.why.inputs.iter().any(|input| input.what == UNHEARD)
    }

    /// What planting out waits for, or goes without: nights, soil, hardening.
    #[must_use]
    pub fn waits_for(&self) -> Option<&str> {
        self.why.inputs.iter().find(|input| input.what == WAITS_FOR).map(|input| input.value.as_str())
    }
}

/// Today's work in order of harm; after days away the late things are one line.
#[must_use]
pub fn due(state: &State, trade: &Trade, outlooks: &Outlooks, at: impl Into<Moment>) -> Vec<Due> {
    let at = at.into();
    in_short(due_in_full(state, trade, outlooks, at), state, at.on)
}

/// The lines of [`due_in_full`], the late ones as one after days away.
#[must_use]
pub fn in_short(rows: Vec<Due>, state: &State, on: Date) -> Vec<Due> {
    let late = rows.iter().filter(|row| row.urgency == Urgency::Late).count();
    let away = last_noted(state, on).filter(|_| was_away(state, on, DAYS_AWAY, &|_| true));
    let (Some(last), true) = (away, late > MOST_LATE) else { return rows };
    let (piled, mut kept): (Vec<_>, Vec<_>) = rows.into_iter().partition(|row| row.urgency == Urgency::Late);
    // One line of days away is enough.
    let told = kept.iter().position(|row| matches!(row.what, Task::CatchUp { .. })).map(|at| kept.remove(at));
    kept.push(catch_up(piled, told, last, on));
    in_order(kept, on)
}

/// Today's work in order of harm, every line of it that its hour leaves.
#[must_use]
pub fn due_in_full(state: &State, trade: &Trade, outlooks: &Outlooks, at: impl Into<Moment>) -> Vec<Due> {
    let at = at.into();
    let (on, day) = (at.on, Day::of(state, trade, at));
    let mut rows = due_for(state, trade, outlooks, state.batches.keys(), on);
    rows.extend(day.work().into_iter().map(|work| by_day(work, on)));
    told_by_day(&mut rows, &day);
    in_order(rows, on)
}

fn by_day(work: DayWork, on: Date) -> Due {
    let what = match work.what {
        ByDay::Cool => Task::CoolDown(work.place),
        ByDay::LookOver => Task::LookOver(work.place),
        ByDay::Open => Task::OpenUp(work.place),
        ByDay::Cover => Task::Cover(work.place),
        ByDay::Uncover => Task::Uncover(work.place),
        ByDay::PutOut => Task::PutOut(work.place),
        ByDay::MoveOut => Task::MoveOut(work.place),
        ByDay::OutOfCold => Task::OutOfCold(work.place),
        ByDay::CatchUp | ByDay::AskAfter => Task::CatchUp { late: 0 },
    };
    Due {
        urgency: match work.what {
            ByDay::AskAfter => Urgency::Quiet,
            _ if work.harms => Urgency::Now,
            _ => Urgency::Today,
        },
        what,
        batch: None,
        crop: None,
        variety: None,
        parts: work.parts,
        due: Some(on),
        overdue_days: 0,
        reason: work.reason,
        doing: work.doing,
        why: work.why,
    }
}

/// What is due for one batch, in order of harm; nothing for one that is not live.
#[must_use]
pub fn due_of(state: &State, trade: &Trade, outlooks: &Outlooks, batch: BatchId, on: Date) -> Vec<Due> {
    let mut rows = due_for(state, trade, outlooks, [&batch], on);
    if rows.iter().any(|row| matches!(row.what, Task::PlantOut | Task::TakeOffHeat)) {
        told_by_day(&mut rows, &Day::of(state, trade, on.into()));
    }
    in_order(rows, on)
}

fn due_for<'a>(
    state: &State,
    trade: &Trade,
    outlooks: &Outlooks,
    batches: impl IntoIterator<Item = &'a BatchId>,
    on: Date,
) -> Vec<Due> {
    let mut rows = Vec::new();
    let mut left = Left::default();
    for id in batches {
        let Some(batch) = state.batches.get(id).filter(|batch| state.is_live(batch)) else { continue };
        let about = About { state, trade, on, id: *id, batch, outlook: outlooks.of(*id) };
        rows.extend(about.take_off_heat());
        let moves = about.moves(&mut left);
        let count = about.count();
        rows.extend(moves);
        rows.extend(count);
        rows.extend(about.stands_still());
        let again = about.sow_again();
        // A tray that was sown again for is asked about once.
        if again.as_ref().is_none_or(|row| row.what != Task::ClearForgotten) {
            about.left(&mut left);
        }
        rows.extend(again);
        rows.extend(about.uncertain());
    }
    rows.extend(ask_about(state, &left, on));
    rows
}

/// What places and weather have to say of the work: where there is light for what comes off the heat, and what planting
/// out waits for.
fn told_by_day(rows: &mut [Due], day: &Day<'_>) {
    for row in rows.iter_mut().filter(|row| row.what == Task::TakeOffHeat) {
        match day.light_for(&row.parts) {
            None => {}
            Some(IntoLight::Spot(light)) => row.reason = format!("{}; {light}", row.reason),
            Some(IntoLight::NotTonight) => {
                let showing: u32 = row.parts.iter().map(|part| part.standing).sum();
                (row.urgency, row.overdue_days) = (Urgency::Wait, 0);
                row.reason =
                    format!("{showing} showing, to stay tonight: no light place is warm enough and wide enough");
            }
        }
    }
    wait_for_safe_nights(rows, day);
    if day.is_late() {
        for row in rows.iter_mut().filter(|row| row.what == Task::PlantOut && row.urgency < Urgency::Wait) {
            (row.urgency, row.overdue_days) = (Urgency::Wait, 0);
            row.reason = format!("tomorrow, not this evening: {}", row.reason);
            let waits = row.waits_for().map_or_else(|| "the morning".to_owned(), |it| format!("the morning; {it}"));
            row.why.inputs.retain(|input| input.what != WAITS_FOR);
            row.why = std::mem::take(&mut row.why).given(WAITS_FOR, waits);
        }
    }
}

/// Plants are not called late while a night that is forecast would harm them in the open, the soil is too cold for them or they
/// are not hardened off: they wait. What nobody knows is said.
fn wait_for_safe_nights(rows: &mut [Due], day: &Day<'_>) {
    let mut out: Vec<&mut Due> = rows.iter_mut().filter(|row| row.what == Task::PlantOut).collect();
    if out.is_empty() {
        return;
    }
    for going in day.planting_out() {
        let of_part = |row: &&mut Due| row.parts.iter().any(|part| part.id == going.part.id);
        let Some(at) = out.iter().position(of_part) else { continue };
        let lacking = going.lacking.join("; ");
        if !going.waits {
            if let (false, Some(row)) = (going.lacking.is_empty(), out.get_mut(at)) {
                // Parts of one line mostly lack the same.
                if row.reason.ends_with(&lacking) {
                    continue;
                }
                row.reason = format!("{}; {lacking}", row.reason);
                row.why = std::mem::take(&mut row.why).given(WAITS_FOR, lacking);
            }
            continue;
        }
        let row = out.swap_remove(at);
        (row.urgency, row.overdue_days) = (Urgency::Wait, 0);
        row.reason = format!("not yet: {lacking}");
        row.why = std::mem::take(&mut row.why).given(WAITS_FOR, lacking);
    }
}

/// By the cost of waiting. What is late costs a little more each day; a sowing that misses its last day costs the crop, so that
/// one goes before them.
fn in_order(mut rows: Vec<Due>, on: Date) -> Vec<Due> {
    rows.sort_by(|a, b| {
        // What has a last day comes before what has none.
        let key = |row: &Due| {
            let closing = row.is_closing(on);
            let cost = if closing { row.urgency.min(Urgency::Late) } else { row.urgency };
            (cost, !closing, row.what, Reverse(row.overdue_days), row.due.is_none(), row.due)
        };
        let label = |row: &Due| row.batch.map(|(id, label)| (label, id));
        key(a).cmp(&key(b)).then(label(a).cmp(&label(b)))
    });
    rows
}

fn catch_up(piled: Vec<Due>, told: Option<Due>, last: Date, on: Date) -> Due {
    let late = u32::try_from(piled.len()).unwrap_or(u32::MAX);
    let due = piled.iter().filter_map(|row| row.due).min().unwrap_or(on);
    let away = days_between(last, on);
    Due {
        urgency: Urgency::Late,
        what: Task::CatchUp { late },
        batch: None,
        crop: None,
        variety: None,
        overdue_days: piled.iter().map(|row| row.overdue_days).max().unwrap_or(0),
        parts: piled.into_iter().flat_map(|row| row.parts).collect(),
        due: Some(due),
        doing: None,
        reason: match told {
            Some(told) => format!("{late} things are late; {}", told.reason),
            None => format!("{late} things are late, and nothing was noted of any plant for {away} days"),
        },
        why: Why::new("after three days on end without a note of anything, more than five late things are one line")
            .seen("last note", "", last)
            .given("late", late)
            .doubt("some may have been done and not noted")
            .changes("a note on each, or the list in full")
            .practice("a pile of reproaches is not read"),
    }
}

/// The latest day on which anything was noted of plants or their covers, by the day asked about. Thermometers do not count:
/// their readings may come from a logger.
#[must_use]
pub fn last_noted(state: &State, on: Date) -> Option<Date> {
    days_noted(state, on).max()
}

/// One live batch and the day asked about.
struct About<'a> {
    state: &'a State,
    trade: &'a Trade,
    on: Date,
    id: BatchId,
    batch: &'a Batch,
    outlook: Option<&'a Outlook>,
}

impl About<'_> {
    fn row(&self, what: Task, urgency: Urgency, parts: Vec<PartAt>, due: Date, reason: String, why: Why) -> Due {
        let (crop, variety) = part::named(self.state, self.batch);
        Due {
            urgency,
            what,
            batch: Some((self.id, self.batch.label)),
            crop: Some(crop),
            variety,
            parts,
            due: Some(due),
            overdue_days: 0,
            reason,
            doing: None,
            why,
        }
    }

    fn live(&self) -> impl Iterator<Item = (PartId, &Part)> {
        self.state.parts_of(self.batch).filter(|(_, part)| part.is_live())
    }

    /// Shoots, and plants that were moved on and stand there again, in the warm and dim.
    fn take_off_heat(&self) -> Option<Due> {
        let in_heat = |part: &Part| {
            let place = self.state.whereabouts(part.container).and_then(|place| self.state.places.get(&place));
            place.is_some_and(|place| place.kind.draws_shoots() && place.light != Light::Full)
        };
        let shooting: Vec<_> = self
            .live()
            .filter(|(_, part)| part.standing() > 0 && in_heat(part))
            .filter_map(|(id, part)| {
                let since = if part.is_sown() { part.first_up()? } else { part.filled };
                let stays = self.state.containers.get(&part.container).into_iter().flat_map(|held| &held.stays);
                let here = stays.map(|stay| stay.from).filter(|from| *from <= self.on).max();
                let since = if part.is_sown() { since } else { here.map_or(since, |here| since.max(here)) };
                Some((PartAt::of(self.state, id)?, since, part.is_sown()))
            })
            .collect();
        let due = shooting.iter().map(|(_, since, _)| *since).min()?;
        let showing: u32 = shooting.iter().map(|(at, ..)| at.standing).sum();
        let shoots = shooting.iter().all(|(.., sown)| *sown);
        let why = Why::new("shoots showing, in a place that warms them and does not light them")
            .seen("first seen up", "", due)
            .given("standing", showing)
            .doubt("a day is enough to draw lettuce and cabbage; pepper and celery stand two or three")
            .changes("moving them, or noting that the place has full light")
            .practice("shoots come off the heat into light the day they show")
            .practice("a light over the first of a tender kind spares the rest their warmth until half of those wanted are up");
        let parts = shooting.into_iter().map(|(at, ..)| at).collect();
        let verb = if shoots { "showing" } else { "standing in the warm and dim" };
        let few = shoots
            && self.is_tender()
            && self.outlook.is_some_and(|it| it.more_to_come() && showing.saturating_mul(2) < it.wanted);
        let (urgency, reason) = if few {
            (
                Urgency::Today,
                format!("{showing} {verb}, more to come: a light over them, or into the light once half are up"),
            )
        } else {
            (Urgency::Now, format!("{showing} {verb}: into the light before they draw"))
        };
        let mut row = self.row(Task::TakeOffHeat, urgency, parts, due, reason, why);
        row.overdue_days = days_between(due, self.on);
        Some(row)
    }

    fn is_tender(&self) -> bool {
        part::crop(self.state, self.trade, self.batch)
            .and_then(Crop::hardiness)
            .is_some_and(|class| class.value == Hardiness::Tender)
    }

    /// Moves whose best day has come, one line a move; planting out, which waits for what plants have been through, one a place.
    fn moves(&self, left: &mut Left) -> Vec<Due> {
        let place = |ready: &Ready| {
            let home = self.state.home(ready.part.container).map(|(place, _)| place);
            home.filter(|_| ready.step == Step::PlantOut)
        };
        let mut by_step: BTreeMap<(Step, Option<PlaceId>), Vec<Ready>> = BTreeMap::new();
        for (id, _) in self.live() {
            let Some(ready) = move_due(self.state, self.trade, id, self.on) else { continue };
            if ready.step == Step::PrickOut && self.is_spare(id) {
                left.spare.push(id);
            } else {
                by_step.entry((ready.step, place(&ready))).or_default().push(ready);
            }
        }
        by_step.into_values().filter_map(|rows| self.move_of(rows)).collect()
    }

    fn move_of(&self, rows: Vec<Ready>) -> Option<Due> {
        let overdue_days = rows.iter().map(|row| row.overdue_days).max()?;
        let plants: u32 = rows.iter().map(|row| row.part.standing).sum();
        let parts = rows.iter().map(|row| row.part.clone()).collect();
        let doubted = rows.iter().filter_map(|row| doubted(self.state, row, self.on)).max();
        let most = rows.into_iter().min_by_key(|row| (row.window.latest, row.part.label))?;
        let (what, verb) = match most.step {
            Step::PrickOut => (Task::PrickOut, "prick out"),
            Step::PotOn => (Task::PotOn, "pot on"),
            Step::PlantOut => (Task::PlantOut, "plant out"),
        };
        let urgency = if overdue_days > 0 { Urgency::Late } else { Urgency::Today };
        let latest = most.window.latest;
        let by = if overdue_days > 0 { "best by" } else { "not after" };
        // What goes out before it is not told of it: the nights decide.
        let frost = most.after_frost.filter(|frost| most.window.earliest >= *frost);
        let frost = frost.map(|on| on.format(" after the last frost, about %-d %b").to_string());
        let reason = format!("{plants} to {verb}{}, {by} {latest}", frost.unwrap_or_default());
        let mut row = self.row(what, urgency, parts, most.window.best, reason, most.why);
        if let Some(days) = doubted {
            row.reason = format!("{}; nothing noted for {days} days: count what lives, else log it lost", row.reason);
            row.why = std::mem::take(&mut row.why).given(UNHEARD, days);
        }
        row.overdue_days = overdue_days;
        Some(row)
    }
}
