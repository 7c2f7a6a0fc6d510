//! From words to an act: which batch, part, place, lot and container are meant.

use crate::advice::too_early;
use crate::grammar::{BenchRef, Request, Roof, SpotRef, Sure, TopicRef};
use crate::journal::{Act, BenchSize, Departure, Light, MovingOn, PlaceKind, Room, Sowing, Stand, State, Topic};
use crate::quantity::{BatchId, BatchLabel, BenchId, Date, Name, PartId, PlaceId, Remark, SownUnit, Unit};
use crate::store::{Books, place_among};
use crate::trade::Trade;

use super::clock;
use super::error::DeskError;
use super::lookup::{find_place, find_stand, unknown_bench};
use super::needs::Needs;
use super::parts::For;
use super::scale::{self, Year};
use super::seed::Found;

/// No forecast of a day's low and high reaches further; a year that was mistyped does. Common practice, no source.
const FORECAST_DAYS: i64 = 31;
const PAST_FORECAST: &str = "that day is past: a forecast is of today or later; what it was is a reading, and with --on an earlier day is today";

/// Whether a forecast reaches a day, typed, out of a file or fetched.
///
/// # Errors
/// When it is further ahead than any does.
pub(super) fn reach(day: Date, on: Date) -> Result<(), DeskError> {
    let ahead = day.signed_duration_since(on).num_days();
    if ahead > FORECAST_DAYS { Err(DeskError::TooFar { day, weeks: ahead / 7 }) } else { Ok(()) }
}

/// What is known when a request is looked up.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    /// What was so at the end of the day, of what the request is about.
    pub(super) state: &'a State,
    /// The same after all that is logged.
    pub(super) latest: &'a State,
    /// All that stands anywhere on the day; empty unless the request is about benches.
    pub(super) standing: &'a State,
}

/// An act ready to be decided on.
pub(super) struct Planned {
    pub(super) act: Act,
    pub(super) notices: Vec<String>,
}

pub(super) struct Resolver<'a> {
    pub(super) books: &'a Books<'a>,
    pub(super) trade: &'a Trade,
    pub(super) state: &'a State,
    pub(super) latest: &'a State,
    /// All that stands anywhere on the day, where the request is about benches.
    pub(super) standing: &'a State,
    pub(super) needs: &'a Needs,
    pub(super) on: Date,
    /// Whether it is insisted on.
    pub(super) sure: Sure,
    pub(super) notices: Vec<String>,
}

/// Turns a request into an act.
pub(super) fn resolve(
    books: &Books<'_>,
    trade: &Trade,
    known: Known<'_>,
    (request, sure): (&Request, Sure),
    needs: &Needs,
    on: Date,
) -> Result<Planned, DeskError> {
    let Known { state, latest, standing } = known;
    let mut resolver = Resolver { books, trade, state, latest, standing, needs, on, sure, notices: Vec::new() };
    let act = resolver.act(request)?;
    Ok(Planned { act, notices: resolver.notices })
}

impl Resolver<'_> {
    pub(super) fn act(&mut self, request: &Request) -> Result<Act, DeskError> {
        Ok(match request {
            Request::AddPlace { name, kind, heated_to, light } => {
                if self.latest.places.values().any(|place| place.name.same_as(name.as_str())) {
                    return Err(DeskError::Taken { what: "place", name: name.to_string() });
                }
                let light = light.unwrap_or_else(|| usual_light(*kind));
                Act::AddPlace { name: name.clone(), kind: *kind, heated_to: *heated_to, light }
            }
            Request::AddBench { bench, size } => {
                let place = self.place(&bench.place)?;
                if self.bench(place, &bench.name).is_some() {
                    return Err(DeskError::Taken { what: "bench", name: format!("{}/{}", bench.place, bench.name) });
                }
                self.check_size(size)?;
                Act::AddBench { place, name: bench.name.clone(), size: *size }
            }
            Request::ResizeBench { bench, size, roof } => {
                let bench = self.bench_named(bench)?;
                let size = match (roof, self.latest.benches.get(&bench)) {
                    (Roof::AsItWas, Some(was)) => BenchSize {
                        headroom_back: was.size.headroom_back,
                        headroom_front: was.size.headroom_front,
                        ..*size
                    },
                    _ => *size,
                };
                self.check_size(&size)?;
                Act::ResizeBench { bench, size }
            }
            Request::AddLot(lot) => Act::AddLot(self.new_lot(lot)?),
            Request::SetCarrier { called, container, at } => {
                if self.needs.carrier(called).is_some() {
                    return Err(DeskError::Taken { what: "carrier", name: called.to_string() });
                }
                if self.latest.places.values().any(|place| place.name.same_as(called.as_str())) {
                    return Err(DeskError::Taken { what: "place", name: called.to_string() });
                }
                let (vessel, stand) = (self.vessel(container, 1)?.0, self.stand(at)?);
                self.check_goes(&vessel, 1, stand)?;
                Act::SetCarrier { vessel, called: called.clone(), stand }
            }
            Request::Sow(words) => {
                let Found { seed, cluster, packet } = self.seed(&words.seed)?;
                let unit = match (words.unit, cluster) {
                    (SownUnit::Seed, true) => SownUnit::Cluster,
                    (unit, _) => unit,
                };
                if let Some(packet) = packet.filter(|_| unit != SownUnit::Pinch) {
                    self.doubt_packet(&packet, words.units)?;
                }
                let room = self.room(&words.room, 1)?;
                if let Room::New { vessel, count, .. } = &room {
                    self.doubt_sowing(vessel, *count, unit, words.units)?;
                }
                Act::Sow(Sowing {
                    label: self.next_label()?,
                    seed,
                    unit,
                    units: words.units,
                    per_cell: words.per_cell,
                    treatment: words.treatment,
                    depth: words.depth,
                    room,
                })
            }
            Request::Receive { seed, plants, room } => Act::Receive {
                label: self.next_label()?,
                seed: self.seed(seed)?.seed,
                plants: *plants,
                room: self.room(room, *plants)?,
            },
            Request::Count { part, observed, sure: _ } => {
                let part = self.part(part, For::Counting)?;
                Act::Count { part, observed: observed.clone() }
            }
            Request::Stage { part, growth } => Act::Stage { part: self.part(part, For::Counting)?, growth: *growth },
            Request::MoveOn(words) => {
                let pots = words.plants.div_ceil(words.per_cell.unwrap_or(1).max(1));
                let (part, room) = (self.part(&words.part, For::Taking)?, self.room(&words.room, pots)?);
                self.note_same_size(part, &room);
                Act::MoveOn(MovingOn {
                    part,
                    plants: words.plants,
                    room,
                    per_cell: words.per_cell,
                    recount: words.recount,
                    doubles: words.doubles,
                    rest: words.rest,
                })
            }
            Request::Move { moving, to } => {
                self.check_not_two(moving, to)?;
                let (moving, to) = (self.moving(moving)?, self.stand(to)?);
                self.check_all_go(&moving, to)?;
                Act::Move { moving, to, spot: None }
            }
            Request::MoveAll { from, to } => self.move_all(from, to)?,
            Request::Place(words) => self.place_exactly(words)?,
            Request::PlaceAnywhere(thing) => self.place_anywhere(thing)?,
            Request::Repack { bench } => self.repack(bench)?,
            Request::Swap { one, other } => self.swap(one, other)?,
            Request::Measure { container, size } => self.measure(container, *size)?,
            Request::Own { container, count } => Act::Own { name: self.container_name(container)?, count: *count },
            Request::Wash { container, count } => self.wash(container, *count)?,
            Request::PutOut { things, place } => {
                let containers = if things.is_empty() { self.last_group_out()? } else { self.things(things)? };
                Act::PutOut { containers, place: self.place(place)? }
            }
            Request::BringIn { things } => {
                let containers = if things.is_empty() { self.all_out()? } else { self.things(things)? };
                Act::BringIn { containers }
            }
            Request::PutAway { called } => Act::PutAway { container: self.carrier(called)? },
            Request::Lose { part, plants, cause, remark } => Act::Lose {
                part: self.part_in_pots(part, *plants, request.verb())?,
                plants: *plants,
                cause: *cause,
                remark: remark.clone(),
            },
            Request::Thin { part, plants } => {
                Act::Thin { part: self.part_in_pots(part, *plants, request.verb())?, plants: *plants }
            }
            Request::Discard { part, plants } => {
                Act::Discard { part: self.part_in_pots(part, *plants, request.verb())?, plants: *plants }
            }
            Request::GiveAway { part, plants } => {
                Act::GiveAway { part: self.part_in_pots(part, *plants, request.verb())?, plants: *plants }
            }
            Request::PlantOut { part, plants, bed, recount } => {
                self.check_spread(part, *plants, request.verb())?;
                let part = self.part(part, For::Taking)?;
                if let Some(bed) = bed {
                    self.check_bed(bed)?;
                }
                let bed_name = bed.as_ref().map(Remark::as_str);
                self.notices.extend(too_early(self.standing, self.trade, part, bed_name, self.on));
                Act::PlantOut { part, plants: *plants, bed: bed.clone(), recount: *recount }
            }
            Request::AllOf { part, taking } => self.all_of(part, taking)?,
            Request::FromCells { cells, part, plants, taking } => {
                let id = self.part(part, For::Taking)?;
                let thinned = Some(&Departure::Thinned).filter(|_| matches!(**taking, Request::Thin { .. }));
                let held = self.state.parts.get(&id).map_or(0, |part| part.plants_in(cells, thinned));
                // Cells that hold nothing are refused by their number.
                let taking = taking.clone().of(plants.unwrap_or(held.max(cells.len())));
                Act::FromCells { cells: cells.clone(), taking: Box::new(self.act(&taking)?) }
            }
            Request::Clear { parts, rest } => {
                let mut ids = Vec::new();
                for part in parts {
                    ids.extend(self.parts_to_clear(part)?);
                }
                for part in &ids {
                    self.note_uncounted(*part);
                }
                Act::Clear { parts: ids, rest: *rest }
            }
            Request::FreePots { part, pots } => self.free_pots(part, *pots)?,
            Request::Identify { batch, seed } => {
                Act::Identify { batch: self.needs.batch(*batch)?, seed: self.seed(seed)?.seed }
            }
            Request::Relabel { batch, label } => {
                let id = self.needs.batch(*batch)?;
                let own = self.latest.batches.get(&id).map_or(self.year(), |batch| batch.label.year);
                if label.twin.is_some() {
                    return Err(DeskError::Nothing("a new number has no ~: write it alone"));
                }
                let label = BatchLabel { year: label.year.unwrap_or(own), number: label.number, twin: None };
                self.note_shared(id, label)?;
                Act::Relabel { batch: id, label }
            }
            Request::Note { topic, remark } => {
                let topic = match topic {
                    TopicRef::Batch(batch) => Topic::Batch(self.needs.batch(*batch)?),
                    TopicRef::Place(place) => Topic::Place(self.place(place)?),
                };
                Act::Note { topic, remark: remark.clone() }
            }
            Request::Sure(request) => self.act(request)?,
            Request::Read { place, measured, unit } => {
                let place = self.place(place)?;
                if let (Unit::Taken, Some(read_in)) = (unit, self.latest.places.get(&place)) {
                    let (year, at) = (Year::of(self.trade), clock::moment(self.on));
                    scale::ask(measured.iter().map(|one| year.reading(read_in, *one, at)))?;
                }
                self.note_days_without(place, measured)?;
                Act::Read { place, measured: measured.clone() }
            }
            Request::Forecast { day, .. } if *day < self.on => return Err(DeskError::Nothing(PAST_FORECAST)),
            Request::Forecast { day, low, high, unit } => {
                reach(*day, self.on)?;
                if *unit == Unit::Taken {
                    scale::ask(Year::of(self.trade).forecast(*low, *high, *day))?;
                }
                Act::Forecast { days: vec![(*day, *low, *high)] }
            }
            Request::Cover { place, on } => Act::Cover { place: self.place(place)?, on: *on },
        })
    }

    /// How a batch and others that wear the number it is given will be told apart.
    fn note_shared(&mut self, id: BatchId, label: BatchLabel) -> Result<(), DeskError> {
        let mut ever = self.books.ever_numbered(label.number, label.year)?;
        if !ever.contains(&id) {
            ever.push(id);
        }
        let written = |id: BatchId| BatchLabel { twin: place_among(&ever, id), ..label }.to_string();
        let found = self.books.batches_numbered(label.number, Some(label.year))?;
        let others: Vec<String> =
            found.into_iter().filter(|other| other.id != id).map(|other| written(other.id)).collect();
        if !others.is_empty() {
            let others = others.join(", ");
            self.notices.push(format!("{label} is worn already, by {others}: this one is written {}", written(id)));
        }
        Ok(())
    }

    /// What was sown and never counted may still come up.
    fn note_uncounted(&mut self, id: PartId) {
        let Some(part) = self.state.parts.get(&id).filter(|part| part.is_sown() && part.counts.is_empty()) else {
            return;
        };
        let label = self.state.part_label(part);
        self.notices.push(format!("{label} was never counted: {} sown, none known to be up", part.sown()));
    }

    fn year(&self) -> i32 {
        chrono::Datelike::year(&self.on)
    }

    fn next_label(&self) -> Result<BatchLabel, DeskError> {
        let year = self.year();
        Ok(BatchLabel { year, number: self.books.greatest_number(year)?.saturating_add(1), twin: None })
    }

    fn place(&self, name: &Name) -> Result<PlaceId, DeskError> {
        find_place(self.latest, name)
    }

    fn bench(&self, place: PlaceId, name: &Name) -> Option<BenchId> {
        let same = |bench: &crate::journal::Bench| bench.place == place && bench.name.same_as(name.as_str());
        self.latest.benches.iter().find(|(_, bench)| same(bench)).map(|(id, _)| *id)
    }

    fn bench_named(&self, bench: &BenchRef) -> Result<BenchId, DeskError> {
        let place = self.place(&bench.place)?;
        self.bench(place, &bench.name).ok_or_else(|| unknown_bench(self.latest, place, &bench.name))
    }

    pub(super) fn stand(&self, spot: &SpotRef) -> Result<Stand, DeskError> {
        if spot.bench.is_none()
            && let Some(carrier) = self.needs.carrier(&spot.place)
        {
            return Ok(Stand::Carrier(carrier));
        }
        find_stand(self.latest, spot)
    }
}

const fn usual_light(kind: PlaceKind) -> Light {
    match kind {
        PlaceKind::Propagator | PlaceKind::AiringCupboard | PlaceKind::Fridge | PlaceKind::Room => Light::Low,
        PlaceKind::Windowsill => Light::Fair,
        _ => Light::Full,
    }
}
