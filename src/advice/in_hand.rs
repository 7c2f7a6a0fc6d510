//! Trays and pots in hand: owned, in use, to be washed, clean, and short for what is due; and the compost that wants.

use std::collections::BTreeMap;

use crate::journal::{Container, Part, State};
use crate::quantity::{ContainerClass, ContainerId, Date, Millilitres, Name, PartLabel};
use crate::trade::{self, Trade, Work};

use super::part::after;
use super::ready::{Readiness, Step, ready};
use super::stand::label_of;
use super::washing::{emptied, emptied_since, to_wash};
use super::why::Why;

/// What is due within so many days is counted.
const DAYS: u32 = 7;

/// A move that is due and the containers it wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The part whose plants move.
    pub part: PartLabel,
    /// Pricking out or potting on.
    pub step: Step,
    /// The day it is best made, or the day asked about when that has passed.
    pub on: Date,
    /// Plants to move.
    pub plants: u32,
    /// Containers wanted: pots, or whole trays.
    pub containers: u32,
    /// Compost to fill them; `None` when the volume is not known.
    pub compost: Option<Millilitres>,
}

/// What is wanting of a kind of container.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Short {
    /// How many more are wanted than stand clean.
    pub count: u32,
    /// The first day there are not enough clean ones.
    pub on: Date,
    /// How many of them washing gives.
    pub once_washed: u32,
    /// How many more, once pots are emptied in which no plant stands any more.
    pub once_emptied: u32,
}

impl Short {
    /// `short of 20 for Sat 4 Apr, 12 more once washed`, or `wash 12 for Sat 4 Apr`.
    #[must_use]
    pub fn in_words(self) -> String {
        let day = self.on.format("%a %-d %b");
        if self.once_washed == self.count {
            return format!("wash {} for {day}", self.count);
        }
        let washed = Some(format!("{} more once washed", self.once_washed)).filter(|_| self.once_washed > 0);
        let emptied = Some(format!("{} more once pots without a plant are emptied", self.once_emptied))
            .filter(|_| self.once_emptied > 0);
        let short = Some(format!("short of {} for {day}", self.count));
        short.into_iter().chain(washed).chain(emptied).collect::<Vec<_>>().join(", ")
    }
}

/// One kind of container.
#[derive(Clone, Debug, PartialEq)]
pub struct InHandRow {
    /// Its name.
    pub name: Name,
    /// What kind of thing it is.
    pub class: ContainerClass,
    /// How many the grower owns; `None` when that was never said.
    pub owned: Option<u32>,
    /// How many stand filled: pots are counted one by one.
    pub in_use: u32,
    /// Of those, pots of sets that no plant stands in any more by the log.
    pub idle: u32,
    /// How many stand empty, washed or not; `None` when it was never said how many there are.
    pub empty: Option<u32>,
    /// How many were emptied and not washed since, never more than stand empty.
    pub to_wash: u32,
    /// How many stand empty and clean; `None` when it was never said how many there are.
    pub clean: Option<u32>,
    /// What is due in the week from the day asked about, first first.
    pub needs: Vec<Need>,
    /// What is wanting; `None` when enough stand clean, or it was never said how many there are.
    pub short: Option<Short>,
    /// How its figures were come by.
    pub why: Why,
}

/// What is said of a kind of which more are in use than there are.
pub const BEYOND: &str = "more in use than owned";

impl InHandRow {
    /// True when more are in use by the log than the grower has.
    #[must_use]
    pub fn is_beyond(&self) -> bool {
        self.owned.is_some_and(|owned| owned < self.in_use)
    }
}

/// All containers in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct InHand {
    /// Kind by kind, by name: those owned, in use or wanted.
    pub rows: Vec<InHandRow>,
    /// The last day counted.
    pub until: Date,
    /// Compost for all that is due by then.
    pub compost: Millilitres,
    /// Moves whose containers have no known volume, not in `compost`.
    pub volume_unknown: u32,
    /// The kinds that are.
    pub volume_unknown_of: Vec<Name>,
    /// What to mind when washing; nothing while nothing is to be washed.
    pub cautions: Vec<String>,
    /// How it was come by.
    pub why: Why,
}

/// The trays and pots in hand on a day, and what the week ahead wants of them. The state must hold what was emptied
/// since [`emptied_since`].
#[must_use]
pub fn in_hand(state: &State, trade: &Trade, on: Date) -> InHand {
    let until = after(on, DAYS);
    let mut rows: BTreeMap<Name, InHandRow> = BTreeMap::new();
    for (name, owned) in &state.owned {
        row(&mut rows, state, trade, name).owned = Some(*owned);
    }
    let standing = state.containers.iter().filter(|(id, _)| state.is_occupied(**id));
    for (id, container) in standing.filter(|(_, container)| container.vessel.class != ContainerClass::Paper) {
        let row = row(&mut rows, state, trade, &container.vessel.name);
        row.in_use = row.in_use.saturating_add(container.vessel.pots.max(1));
        row.idle = row.idle.saturating_add(idle(state, *id, container));
    }
    for (name, need) in needs(state, trade, on, until) {
        row(&mut rows, state, trade, &name).needs.push(need);
    }
    for (name, count) in to_wash(state, on) {
        row(&mut rows, state, trade, &name).to_wash = count;
    }
    let mut rows: Vec<InHandRow> = rows.into_values().collect();
    for row in &mut rows {
        row.empty = row.owned.map(|owned| owned.saturating_sub(row.in_use));
        row.to_wash = row.to_wash.min(row.empty.unwrap_or(u32::MAX));
        row.clean = row.empty.map(|empty| empty - row.to_wash);
        row.needs.sort_by_key(|need| (need.on, need.part));
        row.short = row.clean.and_then(|clean| short(&row.needs, clean, row.to_wash, row.idle));
        row.why = why_of(row, state, trade, on).given("counted to", until);
    }
    let all = || rows.iter().flat_map(|row| &row.needs);
    let litres = all().filter_map(|need| need.compost).map(|volume| volume.0).fold(0, u32::saturating_add);
    let unknown = all().filter(|need| need.compost.is_none()).count();
    let why = rule().given("counted to", until);
    let of_unknown = |row: &&InHandRow| row.needs.iter().any(|need| need.compost.is_none());
    let volume_unknown_of: Vec<Name> = rows.iter().filter(of_unknown).map(|row| row.name.clone()).collect();
    let volume_unknown = u32::try_from(unknown).unwrap_or(u32::MAX);
    let dirty = rows.iter().any(|row| row.to_wash > 0);
    let cautions = trade.cautions(Work::Cleaning, None).filter(|_| dirty).map(|caution| caution.text.clone()).collect();
    InHand { rows, until, compost: Millilitres(litres), volume_unknown, volume_unknown_of, cautions, why }
}

fn rule() -> Why {
    Why::new(
        "empty = owned less in use; to wash = emptied in the last year and not washed; clean = empty less to wash; \
         short = what is due by each day less clean; compost = containers x volume of one",
    )
    .doubt("clean ones are taken to be filled first; compost settles, so have some over")
    .changes(
        "`own CONTAINER N`, `wash CONTAINER N`, clearing (`clear PART --pots N` of a set), pricking out and potting on",
    )
}

/// The figures that made those of one kind: what stands where since when, what was emptied and washed when, and what is
/// wanted for what.
fn why_of(row: &InHandRow, state: &State, trade: &Trade, on: Date) -> Why {
    let or_unsaid = |count: Option<u32>| count.map_or_else(|| "never said".to_owned(), |count| count.to_string());
    let mut why = rule().given("owned", or_unsaid(row.owned));
    let of_kind = || state.containers.iter().filter(|(_, held)| held.vessel.name == row.name);
    for (id, held) in of_kind().filter(|(id, _)| state.is_occupied(**id)) {
        let said = format!("{}: {}, {}", label_of(state, *id), held.vessel.pots.max(1), state.standing_at(*id));
        why = match held.stays.first() {
            Some(stay) => why.seen("in use", said, stay.from),
            None => why.given("in use", said),
        };
    }
    why = why.given("in use together", row.in_use);
    let since = emptied_since(on);
    let emptied = of_kind().filter_map(|(_, held)| Some((emptied(state, held)?.0, held.vessel.pots.max(1))));
    for (day, count) in emptied.filter(|(day, _)| (since..=on).contains(day)) {
        why = why.seen("emptied", count, day);
    }
    for washed in state.washed.iter().filter(|washed| washed.name == row.name && (since..=on).contains(&washed.on)) {
        why = why.seen("washed", washed.count, washed.on);
    }
    why = why.given("to be washed", row.to_wash).given("clean", or_unsaid(row.clean));
    for Need { part, step, on, plants, containers, .. } in &row.needs {
        let step = if *step == Step::PrickOut { "prick out" } else { "pot on" };
        why = why.seen("wanted", format!("{containers}, to {step} {plants} of {part}"), *on);
    }
    if let Some(short) = row.short {
        why = why.seen("short", short.count, short.on);
    }
    let listed = trade.containers().find(|listed| listed.key().as_str() == row.name.as_str());
    listed.into_iter().fold(why, |why, listed| why.source(listed.source.clone()))
}

fn row<'a>(rows: &'a mut BTreeMap<Name, InHandRow>, state: &State, trade: &Trade, name: &Name) -> &'a mut InHandRow {
    let class = || {
        let in_use = state.containers.values().find(|container| container.vessel.name == *name);
        let listed = || trade.containers().find(|row| row.key().as_str() == name.as_str()).map(|row| row.class);
        in_use.map(|container| container.vessel.class).or_else(listed).unwrap_or(ContainerClass::Tray)
    };
    rows.entry(name.clone()).or_insert_with(|| InHandRow {
        name: name.clone(),
        class: class(),
        owned: None,
        in_use: 0,
        idle: 0,
        empty: None,
        to_wash: 0,
        clean: None,
        needs: Vec::new(),
        short: None,
        why: Why::default(),
    })
}

/// Pots of a set that hold no plant: none while seed may still come up, for a pot without a plant is not empty then.
fn idle(state: &State, id: ContainerId, container: &Container) -> u32 {
    let live = container.parts.iter().filter_map(|part| state.parts.get(part)).filter(|part| part.is_live());
    let waits = live.into_iter().any(Part::may_still_come);
    if container.vessel.pots < 2 || waits { 0 } else { state.pots_without_plant(id) }
}

fn needs(state: &State, trade: &Trade, on: Date, until: Date) -> Vec<(Name, Need)> {
    let due = ready(state, trade, on)
        .into_iter()
        .filter(|row| row.step != Step::PlantOut && (row.window.best <= until || row.readiness == Readiness::Overdue));
    due.filter_map(|row| {
        let container = trade.container(row.next.as_ref()?.container.as_ref()?)?;
        let name = Name::new(container.key().as_str()).ok()?;
        let plants = row.part.standing;
        let containers = plants.div_ceil(holds(container));
        let compost = container.root_volume().map(|one| Millilitres(one.0.saturating_mul(plants)));
        let on = row.window.best.max(on);
        Some((name, Need { part: row.part.label, step: row.step, on, plants, containers, compost }))
    })
    .collect()
}

/// Plants that one container holds, one to a cell or pot.
fn holds(container: &trade::Container) -> u32 {
    match container.class {
        ContainerClass::CellTray => container.cells.unwrap_or(1).max(1),
        _ => 1,
    }
}

/// How many are wanting in the end, the first day there are not enough, and what washing gives.
fn short(needs: &[Need], clean: u32, to_wash: u32, idle: u32) -> Option<Short> {
    let mut wanted = 0_u32;
    let mut first = None;
    for need in needs {
        wanted = wanted.saturating_add(need.containers);
        if wanted > clean && first.is_none() {
            first = Some(need.on);
        }
    }
    let count = wanted.saturating_sub(clean);
    let once_washed = to_wash.min(count);
    first.map(|on| Short { count, on, once_washed, once_emptied: idle.min(count - once_washed) })
}
