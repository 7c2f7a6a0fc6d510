//! What the full screen shows: one look at the journal, with the opinions on it, and the defaults a form begins with.

use std::collections::BTreeMap;

use crate::advice::{self, BatchView, BenchPlan, Cold, Due, Fits, Germination, MovePreview, Reach, Ready, Space};
use crate::advice::{FitsOnBench, RoomFor, SowAgain, in_trays};
use crate::journal::{Cause, Container, Departure, Lot, Part, Source, State, Vessel};
use crate::quantity::{ActId, BatchId, BenchId, ContainerClass, ContainerId, Date, Name, PartId, PlaceId};
use crate::store::LotRecord;
use crate::trade::{ContainerKey, Trade};

use super::disputes::Dispute;
use super::error::DeskError;
use super::rescue::Twin;
use super::{DEMO_DAY, Desk, clock};

/// Room is looked for up to so many trays: benches of a garden hold fewer.
const MOST_TRAYS: u32 = 99;

/// How a day is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Today: entries are dated by it.
    Today,
    /// The demonstration on its own day: entries are dated by that.
    Demonstration,
    /// Another day: to be looked at only.
    LookedAt,
}

impl Standing {
    /// True when acts may be logged.
    #[must_use]
    pub const fn may_log(self) -> bool {
        matches!(self, Self::Today | Self::Demonstration)
    }
}

/// Seed in the box.
#[derive(Clone, Debug, PartialEq)]
pub struct SeedLeft {
    /// The lot.
    pub lot: Lot,
    /// Seeds left by the log; `None` when the packet was never counted.
    pub left: Option<u32>,
}

/// What was done last: the defaults of the next form.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LastTime {
    /// Sown: how many, in what, where.
    pub sown: Option<(u32, Name, String)>,
    /// Pricked out or potted on: into what, where.
    pub moved_on: Option<(Name, String)>,
    /// Where something was moved to or set down last.
    pub stood_at: Option<String>,
    /// What plants died of.
    pub cause: Option<Cause>,
    /// Where they were planted out.
    pub bed: Option<String>,
    /// The place a group went out to.
    pub out: Option<Name>,
}

/// One look at the journal.
#[derive(Clone, Debug)]
pub struct Board {
    /// The day looked at.
    pub on: Date,
    /// How it is shown.
    pub standing: Standing,
    /// True when the journal is the invented season.
    pub demonstration: bool,
    /// What stood at the end of that day.
    pub state: State,
    /// Whether the clock is right, where that is to be asked.
    pub clock: Option<String>,
    /// Acts that cannot be true together, for the grower to settle.
    pub disputes: Vec<Dispute>,
    /// Other copies of the journal beside it that have acts it lacks.
    pub twins: Vec<Twin>,
    /// Today's work, after days away in short.
    pub due: Vec<Due>,
    /// Today's work in full.
    pub due_in_full: Vec<Due>,
    /// What came up, batch by batch.
    pub germination: Vec<Germination>,
    /// What is to be pricked out, potted on or planted out, the nearest first.
    pub ready: Vec<Ready>,
    /// Bench space.
    pub space: Space,
    /// The kind of tray that room is told in: the one most in use.
    pub tray: Name,
    /// Room for more of those.
    pub trays: Fits,
    /// How old tonight's forecast is, in words; `None` when there is none.
    pub forecast: Option<String>,
    /// Tonight and the days ahead: what is to be brought in, covered, aired, hardened off.
    pub cold: Cold,
    /// The containers there are to choose from, used last first, each with its kind.
    pub containers: Vec<(Name, ContainerClass)>,
    /// Who measured the kinds of container that the tables have, by name.
    pub measured_by: BTreeMap<String, crate::trade::Source>,
    /// Crops of the tables, by name.
    pub crops: Vec<String>,
    /// The defaults of the next form.
    pub last: LastTime,
}

impl Board {
    /// True while nothing stands anywhere and no place is named.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        self.state.places.is_empty() || self.state.benches.is_empty() || self.state.batches.is_empty()
    }

    /// What is to be settled first, a line each: a clock in doubt, what a merge or a synchronised folder left.
    #[must_use]
    pub fn to_settle(&self) -> Vec<String> {
        let mut acts: Vec<ActId> = self.disputes.iter().flat_map(Dispute::acts).collect();
        acts.sort_unstable();
        acts.dedup();
        let disputes = match acts.len() {
            0 => None,
            1 => Some("1 act is set aside: h shows it first, x takes it back".to_owned()),
            many => Some(format!("{many} acts contradict each other: h shows them first, x takes one back")),
        };
        self.clock.iter().cloned().chain(disputes).chain(self.twins.iter().map(Twin::sentence)).collect()
    }

    /// A batch that is to be sown again, and what that takes.
    #[must_use]
    pub fn sow_again(&self, batch: BatchId) -> Option<(&Germination, &SowAgain)> {
        let row = self.germination.iter().find(|row| row.batch == batch)?;
        Some((row, row.outlook.as_ref()?.again.as_ref().filter(|again| !again.is_sown())?))
    }

    /// How many more of the tray that room is told in go on a bench.
    #[must_use]
    pub fn trays_on(&self, bench: BenchId) -> u32 {
        self.trays.benches.iter().find(|fits| fits.bench == bench).map_or(0, |fits| fits.more)
    }

    /// The same in words, `2 more seed trays`, with `more ` before the kind; `at most 2` where it is not sure.
    #[must_use]
    pub fn trays_in_words(&self, bench: BenchId, more: &str) -> String {
        let words = in_trays(self.trays_on(bench), more, &self.tray);
        if self.is_at_most(&|fits| fits.bench == bench) { format!("at most {words}") } else { words }
    }

    /// True where something is counted on these benches that may not go after all.
    #[must_use]
    pub fn is_at_most(&self, on: &dyn Fn(&FitsOnBench) -> bool) -> bool {
        self.trays.benches.iter().any(|fits| on(fits) && fits.more > 0 && fits.unsure.is_some())
    }
}

impl Desk {
    /// Looks at a day.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn board(&self, on: Date) -> Result<Board, DeskError> {
        let (state, contradictions) = self.folded(on)?;
        let disputes = self.disputes(&contradictions)?;
        let trade = self.trade();
        let outlooks = self.outlooks(&state, on)?;
        let tray = advice::usual_tray(&state, trade).ok_or(DeskError::Nothing("the tables have no seed tray"))?;
        let demonstration = self.is_demonstration()?;
        let standing = match on {
            _ if on == clock::today() => Standing::Today,
            DEMO_DAY if demonstration => Standing::Demonstration,
            _ => Standing::LookedAt,
        };
        let due_in_full = advice::due_in_full(&state, trade, &outlooks, clock::moment(on));
        let tonight = on.succ_opt().and_then(|morning| state.forecasts.get(&morning));
        Ok(Board {
            on,
            forecast: tonight.map(|tonight| self.age_of_forecast(tonight.noted, on)).transpose()?,
            standing,
            demonstration,
            due: advice::in_short(due_in_full.clone(), &state, on),
            due_in_full,
            germination: advice::germination(&state, &outlooks, on),
            ready: advice::ready(&state, trade, on),
            space: advice::space(&state, self.trade(), on),
            trays: advice::fits(&state, trade, on, &tray, MOST_TRAYS),
            tray: tray.name,
            cold: advice::cold(&state, trade, clock::moment(on)),
            containers: containers(&state, trade),
            measured_by: trade.containers().map(|row| (row.key().as_str().to_owned(), row.source.clone())).collect(),
            crops: trade.crops().map(|crop| crop.key().to_string()).collect(),
            last: last_time(&state),
            disputes,
            twins: self.twins()?,
            clock: self.clock_doubt(on)?,
            state,
        })
    }

    /// All there is to say of one batch as it stood on a day; `None` when it is not known by then or long cleared.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn batch_board(&self, batch: BatchId, on: Date) -> Result<Option<BatchView>, DeskError> {
        let state = self.state(on)?;
        Ok(advice::batch_view(&state, self.trade(), &self.outlooks(&state, on)?, batch, on))
    }

    /// The plan of every bench, in the order of the space report.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn plans(&self, on: Date) -> Result<Vec<BenchPlan>, DeskError> {
        let state = self.state(on)?;
        let benches = advice::space(&state, self.trade(), on).benches;
        let tray = advice::usual_tray(&state, self.trade());
        let plans = benches.iter().filter_map(|row| advice::bench_plan(&state, self.trade(), on, row.bench));
        // A bare bench is drawn with the trays that go on it.
        let drawn = |plan: BenchPlan| match &tray {
            Some(tray) if plan.shapes.is_empty() => plan.showing(tray),
            _ => plan,
        };
        Ok(plans.map(drawn).collect())
    }

    /// Where a container may go without moving any other, bench by bench in the order of the space report; empty when it
    /// was never measured.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn reaches(&self, container: ContainerId, on: Date) -> Result<Vec<Reach>, DeskError> {
        let state = self.state(on)?;
        let benches = advice::space(&state, self.trade(), on).benches;
        let plans = benches.iter().filter_map(|row| advice::bench_plan(&state, self.trade(), on, row.bench));
        Ok(plans.filter_map(|plan| plan.reach(&state, self.trade(), on, container)).collect())
    }

    /// What moving containers to each bench would do to the space on both sides.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn move_preview(&self, moved: &[ContainerId], on: Date) -> Result<MovePreview, DeskError> {
        Ok(advice::move_preview(&self.state(on)?, self.trade(), on, moved))
    }

    /// How many go on each bench, of the kinds in use and these others; of pots `most` at most, in one set.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn room_for(&self, others: &[Name], most: u32, on: Date) -> Result<Vec<RoomFor>, DeskError> {
        Ok(advice::room_for(&self.state(on)?, self.trade(), on, others, most))
    }

    /// Places where tonight would harm what grows in the containers of these parts.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn harmed_tonight(&self, parts: &[PartId], on: Date) -> Result<Vec<PlaceId>, DeskError> {
        let state = self.state(on)?;
        let held: Vec<_> = parts.iter().filter_map(|id| Some(state.parts.get(id)?.container)).collect();
        Ok(advice::harmed_tonight(&state, self.trade(), on, &held))
    }

    /// Seed in the box, used last first by what stands in a state. Read when it is asked for: a long history has many
    /// packets, and a morning needs none of them.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn seed_box(&self, state: &State) -> Result<Vec<SeedLeft>, DeskError> {
        let mut lots = self.journal.read(|books| books.lots(None))?;
        let mut used = BTreeMap::new();
        for batch in state.batches.values() {
            let last = used.entry(batch.lot).or_insert(batch.begun);
            *last = (*last).max(batch.begun);
        }
        // What was sown last is sown again; then the newest packets.
        lots.sort_by_key(|record| std::cmp::Reverse((used.get(&record.id).copied(), record.lot.packed, record.id)));
        self.journal.read(|books| {
            let seed_left = |record: LotRecord| -> Result<SeedLeft, DeskError> {
                let sown = books.sown_from(record.id)?;
                Ok(SeedLeft { left: record.lot.seeds.map(|seeds| seeds.saturating_sub(sown)), lot: record.lot })
            };
            lots.into_iter().map(seed_left).collect()
        })
    }
}

/// Those that stand now or stood lately, used last first, and behind them the tables'.
pub(super) fn containers(state: &State, trade: &Trade) -> Vec<(Name, ContainerClass)> {
    let mut found: Vec<(Name, ContainerClass)> = Vec::new();
    let used = state.containers.values().rev().map(|held| (held.vessel.name.clone(), held.vessel.class));
    let table = trade.containers().filter_map(|row| Some((Name::new(row.key().as_str()).ok()?, row.class)));
    for one in used.chain(table) {
        if !found.contains(&one) && trade.container(&ContainerKey::new(one.0.as_str())).is_some() {
            found.push(one);
        }
    }
    found
}

/// A vessel as it is typed: `9cm-potx12` for a set of twelve.
fn in_words(vessel: &Vessel) -> Option<Name> {
    match vessel.pots {
        2.. => Name::new(&format!("{}x{}", vessel.name, vessel.pots)).ok(),
        _ => Some(vessel.name.clone()),
    }
}

fn last_time(state: &State) -> LastTime {
    let newest = |test: &dyn Fn(&Part) -> bool| -> Option<(&Part, &Container)> {
        let parts = state.parts.iter().filter(|(_, part)| test(part));
        let (_, part) = parts.max_by_key(|(id, part)| (part.filled, **id))?;
        Some((part, state.containers.get(&part.container)?))
    };
    let sown = newest(&|part| part.is_sown()).and_then(|(part, held)| match part.source {
        Source::Sown { units, .. } => Some((units, in_words(&held.vessel)?, spot(state, part.container)?)),
        Source::Received { .. } | Source::From { .. } => None,
    });
    let moved_on = newest(&State::was_moved_on)
        .and_then(|(part, held)| Some((held.vessel.name.clone(), spot(state, part.container)?)));
    // One that was stood for plants that were set aside never held any.
    let held_any = |held: &Container| held.vessel.class == ContainerClass::Carrier || !held.parts.is_empty();
    let stood = state.containers.iter().filter(|(_, held)| held_any(held)).filter_map(|(id, held)| {
        let stay = held.stays.iter().rev().find(|stay| stay.out.is_none())?;
        Some(((stay.from, *id), *id))
    });
    let gone = |test: &dyn Fn(&Departure) -> bool| -> Option<&Departure> {
        let all = state.parts.iter().flat_map(|(id, part)| part.gone.iter().map(move |gone| (gone.on, *id, &gone.how)));
        all.filter(|(.., how)| test(how)).max_by_key(|(on, id, _)| (*on, *id)).map(|(.., how)| how)
    };
    let out = state.containers.values().flat_map(|held| &held.stays).filter_map(|stay| Some((stay.from, stay.out?)));
    LastTime {
        sown,
        moved_on,
        stood_at: stood.max_by_key(|(key, _)| *key).and_then(|(_, id)| spot(state, id)),
        cause: gone(&|how| matches!(how, Departure::Lost { .. })).and_then(|how| match how {
            Departure::Lost { cause, .. } => Some(*cause),
            _ => None,
        }),
        bed: gone(&|how| matches!(how, Departure::PlantedOut { bed: Some(_) })).and_then(|how| match how {
            Departure::PlantedOut { bed } => bed.as_ref().map(ToString::to_string),
            _ => None,
        }),
        out: out
            .max_by_key(|(from, _)| *from)
            .and_then(|(_, place)| state.places.get(&place))
            .map(|place| place.name.clone()),
    }
}

/// Where a container stands, as the grammar reads it.
fn spot(state: &State, id: ContainerId) -> Option<String> {
    let (place, bench) = state.home(id)?;
    let place = &state.places.get(&place)?.name;
    Some(match bench.and_then(|bench| state.benches.get(&bench)) {
        Some(bench) => format!("{place}/{}", bench.name),
        None => place.to_string(),
    })
}

/// The parts of a batch that are in a container, first first.
#[must_use]
pub fn live_parts(state: &State, batch: BatchId) -> Vec<PartId> {
    let Some(batch) = state.batches.get(&batch) else { return Vec::new() };
    state.parts_of(batch).filter(|(_, part)| part.is_live()).map(|(id, _)| id).collect()
}
