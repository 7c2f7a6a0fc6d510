//! The rows that can be chosen on each page, and what each is about.

use crate::advice::{BenchSpace, PartAt, StandingRow, Task, Verdict, Why, why_bench};
use crate::desk::live_parts;
use crate::journal::{Source, State};
use crate::quantity::{ActId, BatchId, BatchLabel, BenchId, ContainerId, PartId, PlaceId};

use super::form::batch_word;
use super::model::{Model, Page};
use super::tonight::{Evening, Heading};

/// A list on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Section {
    /// Today's work.
    Today,
    /// Germination by batch.
    ComingUp,
    /// To be pricked out, potted on, planted out.
    MovingOn,
    /// The parts of a batch.
    Parts,
    /// What was done to a batch.
    Done,
    /// What there is to do before dusk.
    Dusk,
    /// What stands on the benches.
    Standing,
    /// What stands in a place.
    Here,
    /// Trays and pots in hand.
    Kinds,
    /// The acts.
    Acts,
    /// The cells of a tray: a grid, without rows of its own.
    Cells,
    /// The stops of a round.
    Stops,
    /// What a round logged.
    Logged,
}

/// What a row is, so that the cursor can stay on it when the list changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowKey {
    /// A line of today's work.
    Due(Task, Option<BatchId>),
    /// A batch.
    Batch(BatchId),
    /// A part.
    Part(PartId),
    /// A line of the evening: what, and the first of its parts.
    Evening(Heading, Option<PartId>),
    /// A container.
    Container(ContainerId),
    /// A bare bench.
    Bench(BenchId),
    /// An act.
    Act(ActId),
}

/// One row of the benches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OnBench<'a> {
    /// A bench with nothing on it.
    Bare(&'a BenchSpace),
    /// A container, and the bench it is on.
    Container(&'a BenchSpace, &'a StandingRow),
}

impl OnBench<'_> {
    /// The bench.
    #[must_use]
    pub const fn bench(self) -> BenchId {
        match self {
            Self::Bare(bench) | Self::Container(bench, _) => bench.bench,
        }
    }
}

/// What the next act is about.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Subject {
    /// The batch, when it is one.
    pub batch: Option<BatchId>,
    /// The parts, first first.
    pub parts: Vec<PartId>,
}

impl Model {
    /// The lists of the page, from the top.
    #[must_use]
    pub fn sections(&self) -> &'static [Section] {
        match self.page() {
            Page::Morning => &[Section::Today, Section::ComingUp, Section::MovingOn],
            Page::Batch(_) => &[Section::Parts, Section::Done],
            Page::Tonight => &[Section::Dusk],
            Page::Place(_) => &[Section::Here],
            Page::Benches | Page::Plan => &[Section::Standing],
            Page::InHand => &[Section::Kinds],
            Page::Journal => &[Section::Acts],
            Page::Cells(_) => &[Section::Cells],
            Page::Round(_) => &[Section::Stops],
            Page::Rounded(_) => &[Section::Logged],
        }
    }

    /// How many rows a list has.
    #[must_use]
    pub fn len(&self, section: Section) -> usize {
        match section {
            Section::Today => self.due().len(),
            Section::ComingUp => self.coming_up().len(),
            Section::MovingOn => self.board.ready.len(),
            Section::Parts => self.batch.as_ref().map_or(0, |(batch, _)| batch.parts.len()),
            Section::Done => self.batch.as_ref().map_or(0, |(_, acts)| acts.len()),
            Section::Dusk => self.evening().len(),
            Section::Here => self.place.as_ref().map_or(0, |place| place.standing.len()),
            Section::Standing => self.on_benches().count(),
            Section::Kinds => self.in_hand.as_ref().map_or(0, |found| found.rows.len()),
            Section::Acts => self.acts_shown().len(),
            Section::Cells => 0,
            Section::Stops => self.round().map_or(0, |round| round.stops.len()),
            Section::Logged => self.round().map_or(0, |round| round.logged.len()),
        }
    }

    /// Everything that stands on a bench, bench by bench, and the benches that are bare.
    pub fn on_benches(&self) -> impl Iterator<Item = OnBench<'_>> {
        self.board.space.benches.iter().flat_map(|bench| {
            let bare = bench.standing.is_empty().then_some(OnBench::Bare(bench));
            bare.into_iter().chain(bench.standing.iter().map(move |row| OnBench::Container(bench, row)))
        })
    }

    /// What a row is.
    #[must_use]
    pub fn key_at(&self, section: Section, index: usize) -> Option<RowKey> {
        Some(match section {
            Section::Today => {
                let due = self.due().get(index)?;
                RowKey::Due(due.what, due.batch.map(|(id, _)| id))
            }
            Section::ComingUp => RowKey::Batch(self.coming_up().get(index)?.batch),
            Section::MovingOn => RowKey::Part(self.board.ready.get(index)?.part.id),
            Section::Parts => RowKey::Part(self.batch.as_ref()?.0.parts.get(index)?.part.id),
            Section::Done => RowKey::Act(self.batch.as_ref()?.1.get(index)?.act),
            Section::Dusk => self.evening().get(index).map(Evening::key)?,
            Section::Here => RowKey::Part(self.place.as_ref()?.standing.get(index)?.parts.first()?.id),
            Section::Standing => match self.on_benches().nth(index)? {
                OnBench::Bare(bench) => RowKey::Bench(bench.bench),
                OnBench::Container(_, row) => RowKey::Container(row.container),
            },
            // Kinds keep their order: the cursor stays where it is.
            Section::Kinds => return None,
            Section::Acts => RowKey::Act(self.acts_shown().get(index)?.act),
            Section::Cells => return None,
            Section::Stops => RowKey::Part(*self.round()?.stops.get(index)?),
            Section::Logged => RowKey::Act(self.round()?.logged.get(index)?.act),
        })
    }

    /// What the row under the cursor is.
    #[must_use]
    pub fn row_key(&self) -> Option<RowKey> {
        let cursor = self.cursor();
        self.key_at(cursor.section, cursor.index)
    }

    /// What a row is about.
    #[must_use]
    pub fn subject_at(&self, section: Section, index: usize) -> Subject {
        let of_parts = |parts: &[PartAt]| {
            let ids: Vec<PartId> = parts.iter().map(|part| part.id).collect();
            let first = parts.first().map(|part| part.batch);
            Subject { batch: first.filter(|batch| parts.iter().all(|part| part.batch == *batch)), parts: ids }
        };
        match section {
            Section::Today => self.due().get(index).map(|due| {
                let subject = of_parts(&due.parts);
                Subject { batch: due.batch.map(|(id, _)| id).or(subject.batch), ..subject }
            }),
            Section::ComingUp => self.coming_up().get(index).map(|row| self.of_batch(row.batch)),
            Section::MovingOn => self.board.ready.get(index).map(|row| of_parts(std::slice::from_ref(&row.part))),
            Section::Parts => self
                .batch
                .as_ref()
                .and_then(|(batch, _)| batch.parts.get(index))
                .map(|row| of_parts(std::slice::from_ref(&row.part))),
            Section::Dusk => self.evening().get(index).map(|row| of_parts(row.parts)),
            Section::Standing => self.on_benches().nth(index).map(|row| match row {
                OnBench::Bare(_) => Subject::default(),
                OnBench::Container(_, row) => self.in_container(row.container),
            }),
            Section::Done => self.batch.as_ref().map(|(batch, _)| self.of_batch(batch.id)),
            Section::Stops => self.round().and_then(|round| round.stops.get(index)).map(|part| {
                let batch = self.board.state.parts.get(part).map(|part| part.batch);
                Subject { batch, parts: vec![*part] }
            }),
            Section::Here => {
                self.place.as_ref().and_then(|place| place.standing.get(index)).map(|row| of_parts(&row.parts))
            }
            Section::Kinds | Section::Acts | Section::Logged | Section::Cells => None,
        }
        .unwrap_or_default()
    }

    /// What the next act is about: the number typed, the marked parts if `several` may go together, or the row.
    ///
    /// # Errors
    /// What to tell the grower when a number was typed that no open batch has.
    pub fn subject(&self, several: bool) -> Result<Subject, String> {
        if !self.typed.is_empty() {
            let letter = self.typed.chars().last().filter(char::is_ascii_alphabetic);
            return self.numbered().map(|batch| {
                let mut subject = self.of_batch(batch);
                subject.parts.retain(|part| letter.is_none_or(|letter| self.is_lettered(*part, letter)));
                subject
            });
        }
        if several && !self.marked.is_empty() {
            return Ok(Subject { batch: None, parts: self.marked.iter().copied().collect() });
        }
        let cursor = self.cursor();
        Ok(self.subject_at(cursor.section, cursor.index))
    }

    /// True for the letter of one part of the open batch whose number was typed: 2a is no more than that part.
    #[must_use]
    pub fn is_letter_of_typed(&self, letter: char) -> bool {
        let is_number = !self.typed.is_empty() && self.typed.chars().all(|c| c.is_ascii_digit());
        let batch = if is_number { self.numbered().ok() } else { None };
        batch.is_some_and(|batch| self.of_batch(batch).parts.iter().any(|part| self.is_lettered(*part, letter)))
    }

    fn is_lettered(&self, part: PartId, letter: char) -> bool {
        let part = self.board.state.parts.get(&part);
        part.is_some_and(|part| self.board.state.part_label(part).to_string().ends_with(letter))
    }

    /// The open batch of the number typed.
    fn numbered(&self) -> Result<BatchId, String> {
        let state = &self.board.state;
        let number = self.typed.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let open: Vec<(BatchId, BatchLabel)> = state
            .batches
            .iter()
            .filter(|(_, batch)| number.parse() == Ok(batch.label.number) && state.is_live(batch))
            .map(|(id, batch)| (*id, batch.label))
            .collect();
        match open.as_slice() {
            [(id, _)] => Ok(*id),
            [] => Err(format!("no open batch is numbered {}", self.typed)),
            several => {
                let list: Vec<String> = several.iter().filter_map(|(id, _)| batch_word(&self.board, *id)).collect();
                Err(format!("{} could be {}: choose its row", self.typed, list.join(" or ")))
            }
        }
    }

    fn of_batch(&self, batch: BatchId) -> Subject {
        Subject { batch: Some(batch), parts: live_parts(&self.board.state, batch) }
    }

    /// What grows in a container or on a carrier.
    pub(super) fn in_container(&self, id: ContainerId) -> Subject {
        let parts = parts_in(&self.board.state, id);
        let batches: Vec<BatchId> =
            parts.iter().filter_map(|part| Some(self.board.state.parts.get(part)?.batch)).collect();
        let batch = batches.first().copied().filter(|first| batches.iter().all(|batch| batch == first));
        Subject { batch, parts }
    }

    /// How what the row under the cursor says was come by, with a title.
    #[must_use]
    pub fn why(&self) -> Option<(String, Why)> {
        let cursor = self.cursor();
        match cursor.section {
            Section::Today => {
                let due = self.due().get(cursor.index)?;
                Some((due.reason.clone(), due.why.clone()))
            }
            Section::ComingUp => {
                let row = self.coming_up().get(cursor.index).copied()?;
                Some((format!("germination of {}", row.label), row.why.clone()))
            }
            Section::MovingOn => {
                let row = self.board.ready.get(cursor.index)?;
                Some((format!("the next move of {}", row.part.label), row.why.clone()))
            }
            Section::Parts => {
                let (batch, _) = self.batch.as_ref()?;
                let part = batch.parts.get(cursor.index)?;
                let sowing = batch.germination.as_ref();
                // While more may come up that is the question, and then when it moves on.
                let is_sown = part.cleared.is_none() && matches!(part.source, Source::Sown { .. });
                let coming = sowing.filter(|row| is_sown && !matches!(row.verdict(), Verdict::AllUp | Verdict::Over));
                match (coming, &part.ready, sowing) {
                    (Some(row), ..) | (None, None, Some(row)) => {
                        Some((format!("germination of {}", row.label), row.why.clone()))
                    }
                    (None, Some(ready), _) => {
                        Some((format!("the next move of {}", ready.part.label), ready.why.clone()))
                    }
                    (None, None, None) => None,
                }
            }
            Section::Dusk => {
                let rows = self.evening();
                let row = rows.get(cursor.index)?;
                Some((format!("{}: {}", row.about(), row.reason), row.why.clone()))
            }
            Section::Standing => {
                let row = self.on_benches().nth(cursor.index)?;
                let bench = self.board.space.benches.iter().find(|bench| bench.bench == row.bench())?;
                let asked = match row {
                    OnBench::Bare(_) => None,
                    OnBench::Container(_, row) => Some(row.container),
                };
                let title = format!("{} free on {}/{}", bench.area.free, bench.place_name, bench.name);
                Some((title, why_bench(&self.board.state, &self.board.measured_by, bench, asked)))
            }
            Section::Stops => {
                let id = self.stop()?;
                let part = self.board.state.parts.get(&id)?;
                let ready = self.board.ready.iter().find(|row| row.part.id == id);
                match (self.sowing_of(part), ready) {
                    (Some(row), _) => Some((format!("germination of {}", row.label), row.why.clone())),
                    (None, Some(ready)) => Some((format!("the next move of {}", ready.part.label), ready.why.clone())),
                    (None, None) => {
                        let due = self.board.due_in_full.iter().find(|due| due.parts.iter().any(|at| at.id == id))?;
                        Some((due.reason.clone(), due.why.clone()))
                    }
                }
            }
            Section::Here => self.place.as_ref().map(|place| (place.name.to_string(), place.why.clone())),
            Section::Kinds => {
                let row = self.in_hand.as_ref()?.rows.get(cursor.index)?;
                Some((format!("{} in hand", row.name), row.why.clone()))
            }
            Section::Done | Section::Acts | Section::Logged | Section::Cells => None,
        }
    }

    /// The place the grower is at: that of the page or the round, and else that of the row.
    #[must_use]
    pub fn place_here(&self) -> Option<PlaceId> {
        if let Page::Place(place) | Page::Round(place) | Page::Rounded(place) = self.page() {
            return Some(place);
        }
        let cursor = self.cursor();
        let state = &self.board.state;
        if let (Section::Standing, Some(row)) = (cursor.section, self.on_benches().nth(cursor.index)) {
            return state.benches.get(&row.bench()).map(|bench| bench.place);
        }
        let part = self.subject_at(cursor.section, cursor.index).parts.first().copied();
        part.and_then(|part| state.parts.get(&part)).and_then(|part| state.whereabouts(part.container))
    }

    /// The place the grower is at, or else the first that has plants.
    #[must_use]
    pub fn place_of_row(&self) -> Option<PlaceId> {
        let state = &self.board.state;
        self.place_here().or(self.board.cold.places.first().map(|row| row.place)).or(state
            .places
            .keys()
            .next()
            .copied())
    }

    /// The place after one, in the order they were named, and round again.
    #[must_use]
    pub fn place_after(&self, place: PlaceId) -> Option<PlaceId> {
        let ids = || self.board.state.places.keys().copied();
        ids().find(|id| *id > place).or(ids().next())
    }
}

/// The live parts in a container or on a carrier.
fn parts_in(state: &State, id: ContainerId) -> Vec<PartId> {
    let own = state.containers.get(&id).into_iter().flat_map(|held| &held.parts);
    let carried = state.carried_by(id).flat_map(|(_, held)| &held.parts);
    let live = |part: &&PartId| state.parts.get(part).is_some_and(crate::journal::Part::is_live);
    own.chain(carried).filter(live).copied().collect()
}
