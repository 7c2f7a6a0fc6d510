//! From words to an act: which batch, part, place, lot and container are meant.

use crate::advice::vessel_of;
use crate::grammar::{
    BatchRef, BenchRef, ContainerWords, LotWords, MoveOnWords, MovingWords, PartRef, Request, RoomWords, SeedWords,
    SowWords, SpotRef, SwapRef, Thing, TopicRef,
};
use crate::journal::{
    Act, Batch, Light, Moving, MovingOn, NewLot, Part, PlaceKind, Room, Seed, SeedOrigin, Sowing, Stand, State, Topic,
    Vessel,
};
use crate::quantity::{
    BatchId, BatchLabel, BenchId, ContainerClass, ContainerId, CropName, Date, Name, PartId, PlaceId, SownUnit,
};
use crate::store::{Books, FoundBatch};
use crate::trade::Trade;

use super::error::DeskError;

const PAST_FORECAST: &str = "that day is past: a forecast is of today or later; what it was is a reading, and with --on an earlier day is today";

/// The batches and containers a request is about: what must be read to decide on it.
#[derive(Debug, Default)]
pub(super) struct Needs {
    pub(super) batches: Vec<BatchId>,
    pub(super) containers: Vec<ContainerId>,
    pub(super) everything_live: bool,
    /// What else stands on the benches is asked about.
    pub(super) benches: bool,
    found: Vec<(BatchRef, BatchId)>,
    carriers: Vec<(ContainerId, String)>,
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

impl Needs {
    /// Finds the batches and carriers a request names.
    pub(super) fn of(books: &Books<'_>, request: &Request) -> Result<Self, DeskError> {
        let mut needs = Self { carriers: books.carriers()?, ..Self::default() };
        for reference in batch_refs(request) {
            let id = find_batch(books, reference)?;
            needs.batches.push(id);
            needs.found.push((reference, id));
        }
        for (id, name) in needs.carriers.clone() {
            if carrier_names(request).iter().any(|wanted| wanted.same_as(&name)) {
                needs.containers.push(id);
            }
        }
        needs.everything_live = match request {
            Request::PutOut { things, .. } | Request::BringIn { things } => things.is_empty(),
            Request::MoveAll { .. } | Request::Repack { .. } => true,
            Request::Swap { one: SwapRef::Spot(_), other: SwapRef::Spot(_) } => true,
            _ => false,
        };
        needs.benches = match request {
            Request::Move { .. } | Request::Place(_) | Request::Swap { .. } => true,
            // What shares a tray or a carrier is told apart from its neighbours.
            Request::Sow(_) | Request::Receive { .. } | Request::MoveOn(_) => {
                shares(request) || !needs.containers.is_empty()
            }
            _ => needs.everything_live,
        };
        Ok(needs)
    }

    fn batch(&self, reference: BatchRef) -> Result<BatchId, DeskError> {
        let found = self.found.iter().find(|(known, _)| *known == reference).map(|(_, id)| *id);
        found.ok_or_else(|| unknown_batch(reference))
    }

    pub(super) fn carrier(&self, name: &Name) -> Option<ContainerId> {
        self.carriers.iter().find(|(_, called)| name.same_as(called)).map(|(id, _)| *id)
    }
}

/// Whether a request puts plants into room left by others.
const fn shares(request: &Request) -> bool {
    matches!(
        request,
        Request::Sow(SowWords { room: RoomWords::Shared(_), .. })
            | Request::Receive { room: RoomWords::Shared(_), .. }
            | Request::MoveOn(MoveOnWords { room: RoomWords::Shared(_), .. })
    )
}

/// Every batch a request names.
fn batch_refs(request: &Request) -> Vec<BatchRef> {
    let of_things = |things: &[Thing]| {
        things.iter().filter_map(|thing| if let Thing::Part(part) = thing { Some(part.batch) } else { None }).collect()
    };
    let of_room = |room: &RoomWords| if let RoomWords::Shared(part) = room { vec![part.batch] } else { Vec::new() };
    match request {
        Request::AddPlace { .. }
        | Request::AddBench { .. }
        | Request::ResizeBench { .. }
        | Request::SetCarrier { .. }
        | Request::AddLot(_)
        | Request::PutAway { .. }
        | Request::MoveAll { .. }
        | Request::Repack { .. }
        | Request::Measure { .. }
        | Request::Own { .. }
        | Request::Read { .. }
        | Request::Forecast { .. }
        | Request::Cover { .. } => Vec::new(),
        Request::Receive { room, .. } => of_room(room),
        Request::Sow(sowing) => of_room(&sowing.room),
        Request::MoveOn(moving) => [vec![moving.part.batch], of_room(&moving.room)].concat(),
        Request::Move { moving, .. } => match moving {
            MovingWords::Whole(things) => of_things(things),
            MovingWords::Some { part, .. } => vec![part.batch],
        },
        Request::PutOut { things, .. } | Request::BringIn { things } => of_things(things),
        Request::Place(words) => of_things(std::slice::from_ref(&words.thing)),
        Request::Swap { one, other } => {
            let part = |side: &SwapRef| if let SwapRef::Part(part) = side { Some(part.batch) } else { None };
            [one, other].into_iter().filter_map(part).collect()
        }
        Request::Count { part, .. }
        | Request::Stage { part, .. }
        | Request::Lose { part, .. }
        | Request::Thin { part, .. }
        | Request::Discard { part, .. }
        | Request::GiveAway { part, .. }
        | Request::PlantOut { part, .. } => vec![part.batch],
        Request::Clear { parts, .. } => parts.iter().map(|part| part.batch).collect(),
        Request::Identify { batch, .. } | Request::Relabel { batch, .. } => vec![*batch],
        Request::Note { topic, .. } => {
            if let TopicRef::Batch(batch) = topic {
                vec![*batch]
            } else {
                Vec::new()
            }
        }
    }
}

/// Every name in a request that may be a carrier's.
fn carrier_names(request: &Request) -> Vec<&Name> {
    fn of_things(things: &[Thing]) -> Vec<&Name> {
        things.iter().filter_map(|thing| if let Thing::Carrier(name) = thing { Some(name) } else { None }).collect()
    }
    fn of_room(room: &RoomWords) -> Vec<&Name> {
        if let RoomWords::New { at, .. } = room { vec![&at.place] } else { Vec::new() }
    }
    match request {
        Request::Sow(sowing) => of_room(&sowing.room),
        Request::Receive { room, .. } => of_room(room),
        Request::MoveOn(moving) => of_room(&moving.room),
        Request::Move { moving, to } => {
            let mut names = if let MovingWords::Whole(things) = moving { of_things(things) } else { Vec::new() };
            names.push(&to.place);
            names
        }
        Request::PutOut { things, .. } | Request::BringIn { things } => of_things(things),
        Request::PutAway { called } => vec![called],
        Request::Place(words) => {
            let names = of_things(std::slice::from_ref(&words.thing));
            names.into_iter().chain(words.bench.as_ref().map(|spot| &spot.place)).collect()
        }
        Request::Swap { one, other } => {
            let sides = [one, other].into_iter();
            sides.filter_map(|side| if let SwapRef::Spot(spot) = side { Some(&spot.place) } else { None }).collect()
        }
        Request::MoveAll { to, .. } => vec![&to.place],
        _ => Vec::new(),
    }
}

/// The batch a number means: the open one; of several open ones none; of none open this year's, or the latest.
pub(super) fn find_batch(books: &Books<'_>, reference: BatchRef) -> Result<BatchId, DeskError> {
    let found = books.batches_numbered(reference.number, reference.year)?;
    if let Some(twin) = reference.twin {
        return nth_of_latest_year(&found, twin).map(|batch| batch.id).ok_or_else(|| unknown_batch(reference));
    }
    let open: Vec<&FoundBatch> = found.iter().filter(|batch| batch.live).collect();
    match (open.as_slice(), found.as_slice()) {
        ([only], _) => Ok(only.id),
        ([], [latest, rest @ ..]) if rest.iter().all(|other| other.label.year < latest.label.year) => Ok(latest.id),
        ([], []) => Err(unknown_batch(reference)),
        (several, all) => {
            let meant: Vec<&FoundBatch> = if several.is_empty() { all.iter().collect() } else { several.to_vec() };
            Err(DeskError::Ambiguous {
                name: format!("batch {reference}"),
                list: meant.iter().map(|batch| apart(&found, batch)).collect::<Vec<_>>().join(" or "),
                hint: "write it so; `relabel` gives one of two with the same number another",
            })
        }
    }
}

/// The `twin`-th batch of the latest year found, the first logged first.
fn nth_of_latest_year(found: &[FoundBatch], twin: u32) -> Option<&FoundBatch> {
    let year = found.first()?.label.year;
    found.iter().filter(|batch| batch.label.year == year).nth(usize::try_from(twin).ok()?.checked_sub(1)?)
}

/// A batch's number as it has to be written to be told from the others: `2026/14`, or `2026/14~2`.
fn apart(found: &[FoundBatch], batch: &FoundBatch) -> String {
    let twins: Vec<&FoundBatch> = found.iter().filter(|other| other.label == batch.label).collect();
    match twins.iter().position(|other| other.id == batch.id) {
        Some(place) if twins.len() > 1 => format!("{}~{}", batch.label, place + 1),
        _ => batch.label.to_string(),
    }
}

fn unknown_batch(reference: BatchRef) -> DeskError {
    DeskError::Unknown {
        what: "batch",
        name: reference.to_string(),
        hint: "`germination` and `history` list the batches there are".to_owned(),
    }
}

/// What a part is wanted for: decides which parts of a batch qualify when only the batch was named.
#[derive(Clone, Copy, PartialEq, Eq)]
enum For {
    Counting,
    Taking,
    Clearing,
    Moving,
}

pub(super) struct Resolver<'a> {
    books: &'a Books<'a>,
    pub(super) trade: &'a Trade,
    pub(super) state: &'a State,
    pub(super) latest: &'a State,
    /// All that stands anywhere on the day, where the request is about benches.
    pub(super) standing: &'a State,
    needs: &'a Needs,
    pub(super) on: Date,
    pub(super) notices: Vec<String>,
}

/// Turns a request into an act.
pub(super) fn resolve(
    books: &Books<'_>,
    trade: &Trade,
    known: Known<'_>,
    request: &Request,
    needs: &Needs,
    on: Date,
) -> Result<Planned, DeskError> {
    let Known { state, latest, standing } = known;
    let mut resolver = Resolver { books, trade, state, latest, standing, needs, on, notices: Vec::new() };
    let act = resolver.act(request)?;
    Ok(Planned { act, notices: resolver.notices })
}

impl Resolver<'_> {
    fn act(&mut self, request: &Request) -> Result<Act, DeskError> {
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
            Request::ResizeBench { bench, size } => {
                self.check_size(size)?;
                Act::ResizeBench { bench: self.bench_named(bench)?, size: *size }
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
                let (seed, cluster) = self.seed(&words.seed)?;
                let unit = match (words.unit, cluster) {
                    (SownUnit::Seed, true) => SownUnit::Cluster,
                    (unit, _) => unit,
                };
                Act::Sow(Sowing {
                    label: self.next_label()?,
                    seed,
                    unit,
                    units: words.units,
                    per_cell: words.per_cell,
                    treatment: words.treatment,
                    depth: words.depth,
                    room: self.room(&words.room, 1)?,
                })
            }
            Request::Receive { seed, plants, room } => Act::Receive {
                label: self.next_label()?,
                seed: self.seed(seed)?.0,
                plants: *plants,
                room: self.room(room, *plants)?,
            },
            Request::Count { part, observed } => {
                Act::Count { part: self.part(part, For::Counting)?, observed: *observed }
            }
            Request::Stage { part, growth } => Act::Stage { part: self.part(part, For::Counting)?, growth: *growth },
            Request::MoveOn(words) => {
                let pots = words.plants.div_ceil(words.per_cell.unwrap_or(1).max(1));
                Act::MoveOn(MovingOn {
                    part: self.part(&words.part, For::Taking)?,
                    plants: words.plants,
                    room: self.room(&words.room, pots)?,
                    per_cell: words.per_cell,
                    recount: words.recount,
                    doubles: words.doubles,
                    rest: words.rest,
                })
            }
            Request::Move { moving, to } => {
                let (moving, to) = (self.moving(moving)?, self.stand(to)?);
                self.check_all_go(&moving, to)?;
                Act::Move { moving, to, spot: None }
            }
            Request::MoveAll { from, to } => self.move_all(from, to)?,
            Request::Place(words) => self.place_exactly(words)?,
            Request::Repack { bench } => self.repack(bench)?,
            Request::Swap { one, other } => self.swap(one, other)?,
            Request::Measure { container, size } => self.measure(container, *size)?,
            Request::Own { container, count } => Act::Own { name: self.container_name(container)?, count: *count },
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
                part: self.part(part, For::Taking)?,
                plants: *plants,
                cause: *cause,
                remark: remark.clone(),
            },
            Request::Thin { part, plants } => Act::Thin { part: self.part(part, For::Taking)?, plants: *plants },
            Request::Discard { part, plants } => Act::Discard { part: self.part(part, For::Taking)?, plants: *plants },
            Request::GiveAway { part, plants } => {
                Act::GiveAway { part: self.part(part, For::Taking)?, plants: *plants }
            }
            Request::PlantOut { part, plants, bed, recount } => Act::PlantOut {
                part: self.part(part, For::Taking)?,
                plants: *plants,
                bed: bed.clone(),
                recount: *recount,
            },
            Request::Clear { parts, rest } => {
                let mut ids = Vec::new();
                for part in parts {
                    ids.extend(self.parts_to_clear(part)?);
                }
                Act::Clear { parts: ids, rest: *rest }
            }
            Request::Identify { batch, seed } => {
                Act::Identify { batch: self.needs.batch(*batch)?, seed: self.seed(seed)?.0 }
            }
            Request::Relabel { batch, label } => {
                let id = self.needs.batch(*batch)?;
                let own = self.latest.batches.get(&id).map_or(self.year(), |batch| batch.label.year);
                let label = BatchLabel { year: label.year.unwrap_or(own), number: label.number };
                if !self.books.batches_numbered(label.number, Some(label.year))?.is_empty() {
                    self.notices
                        .push(format!("another batch is numbered {label} too: relabel it, or say which by its crop"));
                }
                Act::Relabel { batch: id, label }
            }
            Request::Note { topic, remark } => {
                let topic = match topic {
                    TopicRef::Batch(batch) => Topic::Batch(self.needs.batch(*batch)?),
                    TopicRef::Place(place) => Topic::Place(self.place(place)?),
                };
                Act::Note { topic, remark: remark.clone() }
            }
            Request::Read { place, measured } => Act::Read { place: self.place(place)?, measured: measured.clone() },
            Request::Forecast { day, .. } if *day < self.on => return Err(DeskError::Nothing(PAST_FORECAST)),
            Request::Forecast { day, low, high } => Act::Forecast { days: vec![(*day, *low, *high)] },
            Request::Cover { place, on } => Act::Cover { place: self.place(place)?, on: *on },
        })
    }

    fn year(&self) -> i32 {
        chrono::Datelike::year(&self.on)
    }

    fn next_label(&self) -> Result<BatchLabel, DeskError> {
        let year = self.year();
        Ok(BatchLabel { year, number: self.books.greatest_number(year)?.saturating_add(1) })
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

    fn part(&self, reference: &PartRef, wanted: For) -> Result<PartId, DeskError> {
        match self.qualifying(reference, wanted)?.as_slice() {
            [only] => Ok(*only),
            several => Err(self.several(reference, several)),
        }
    }

    fn several(&self, reference: &PartRef, parts: &[PartId]) -> DeskError {
        let list: Vec<String> = parts
            .iter()
            .filter_map(|id| self.latest.parts.get(id))
            .map(|part| {
                let label = self.latest.part_label(part);
                format!("{label} ({} standing, {})", part.standing(), self.latest.standing_at(part.container))
            })
            .collect();
        DeskError::Ambiguous {
            name: reference.to_string(),
            list: list.join(" or "),
            hint: "write the part's letter too",
        }
    }

    /// The parts that a reference may mean: never none.
    fn qualifying(&self, reference: &PartRef, wanted: For) -> Result<Vec<PartId>, DeskError> {
        let id = self.needs.batch(reference.batch)?;
        let batch = self.latest.batches.get(&id).ok_or_else(|| unknown_batch(reference.batch))?;
        if let Some(letter) = reference.letter {
            let found = self.latest.parts_of(batch).find(|(_, part)| part.letter == letter);
            return match found {
                Some((part, _)) => Ok(vec![part]),
                None => Err(DeskError::Unknown {
                    what: "part",
                    name: reference.to_string(),
                    hint: format!("batch {} has {}", batch.label, letters(self.latest, batch)),
                }),
            };
        }
        let choose = |test: &dyn Fn(&Part) -> bool| -> Vec<PartId> {
            self.latest.parts_of(batch).filter(|(_, part)| test(part)).map(|(id, _)| id).collect()
        };
        let order: [&dyn Fn(&Part) -> bool; 3] = match wanted {
            For::Counting => [&|part| part.is_live() && part.is_sown(), &Part::is_live, &|_| true],
            For::Taking => [&|part| part.is_live() && part.standing() > 0, &Part::is_live, &|_| true],
            For::Clearing | For::Moving => [&Part::is_live, &Part::is_live, &|_| true],
        };
        for test in order {
            let found = choose(test);
            if !found.is_empty() {
                return Ok(found);
            }
        }
        Err(unknown_batch(reference.batch))
    }

    /// A batch's name clears all that is live of it; a part's name that part.
    fn parts_to_clear(&self, reference: &PartRef) -> Result<Vec<PartId>, DeskError> {
        self.qualifying(reference, For::Clearing)
    }

    pub(super) fn container_of(&self, reference: &PartRef) -> Result<ContainerId, DeskError> {
        let parts = self.qualifying(reference, For::Moving)?;
        let mut containers: Vec<ContainerId> =
            parts.iter().filter_map(|id| self.latest.parts.get(id)).map(|part| part.container).collect();
        containers.dedup();
        match containers.as_slice() {
            [only] => Ok(*only),
            _ => Err(self.several(reference, &parts)),
        }
    }

    fn moving(&self, words: &MovingWords) -> Result<Vec<Moving>, DeskError> {
        match words {
            MovingWords::Whole(things) => {
                let mut moving = Vec::new();
                for thing in things {
                    let container = match thing {
                        Thing::Part(part) => self.container_of(part)?,
                        Thing::Carrier(name) => self.carrier(name)?,
                    };
                    if !moving.contains(&Moving::Whole(container)) {
                        moving.push(Moving::Whole(container));
                    }
                }
                Ok(moving)
            }
            MovingWords::Some { part, plants } => {
                Ok(vec![Moving::Some { part: self.part(part, For::Taking)?, plants: *plants }])
            }
        }
    }

    /// The containers that things stand in: of a whole batch, all that are live.
    fn things(&self, things: &[Thing]) -> Result<Vec<ContainerId>, DeskError> {
        let mut containers = Vec::new();
        for thing in things {
            match thing {
                Thing::Carrier(name) => containers.push(self.carrier(name)?),
                Thing::Part(part) => {
                    let parts = self.qualifying(part, For::Moving)?;
                    containers
                        .extend(parts.iter().filter_map(|id| self.latest.parts.get(id)).map(|part| part.container));
                }
            }
        }
        Ok(containers)
    }

    pub(super) fn carrier(&self, name: &Name) -> Result<ContainerId, DeskError> {
        self.needs.carrier(name).ok_or_else(|| DeskError::Unknown {
            what: "carrier",
            name: name.to_string(),
            hint: "parts begin with a number; `carrier add` names a carrier".to_owned(),
        })
    }

    fn all_out(&self) -> Result<Vec<ContainerId>, DeskError> {
        let out: Vec<ContainerId> =
            self.state.containers.iter().filter(|(_, held)| held.out.is_some()).map(|(id, _)| *id).collect();
        if out.is_empty() { Err(DeskError::Nothing("nothing is out for the day")) } else { Ok(out) }
    }

    /// What went out together last, as far as it still stands and is home.
    fn last_group_out(&self) -> Result<Vec<ContainerId>, DeskError> {
        let last = |held: &crate::journal::Container| {
            held.stays.iter().filter(|stay| stay.out.is_some()).map(|stay| stay.from).max()
        };
        let standing = |id: &ContainerId| self.state.is_occupied(*id);
        let day = self.state.containers.iter().filter(|(id, _)| standing(id)).filter_map(|(_, held)| last(held)).max();
        let group: Vec<ContainerId> = self
            .state
            .containers
            .iter()
            .filter(|(id, held)| standing(id) && held.out.is_none() && day.is_some() && last(held) == day)
            .map(|(id, _)| *id)
            .collect();
        if group.is_empty() {
            Err(DeskError::Nothing("no group has been out yet, or it is out already"))
        } else {
            Ok(group)
        }
    }

    fn new_lot(&self, words: &LotWords) -> Result<NewLot, DeskError> {
        Ok(NewLot {
            crop: self.crop(&words.crop)?.0,
            variety: words.variety.clone(),
            packed: words.packed,
            stated: words.stated,
            seeds: words.seeds,
            origin: words.origin,
        })
    }

    /// The crop's name in the tables, and whether its sown unit is a cluster.
    fn crop(&self, words: &CropName) -> Result<(CropName, bool), DeskError> {
        if words.is_unknown() {
            return Ok((CropName::unknown(), false));
        }
        let crop = self.trade.find_crop(words.as_str())?;
        let name = CropName::new(crop.key().as_str()).map_err(|error| DeskError::Unknown {
            what: "crop",
            name: crop.key().to_string(),
            hint: error.to_string(),
        })?;
        Ok((name, crop.unit() == SownUnit::Cluster))
    }

    /// The lot that words mean: one of that crop, variety and year with seed left; else a new one.
    fn seed(&mut self, words: &SeedWords) -> Result<(Seed, bool), DeskError> {
        let (crop, cluster) = self.crop(&words.crop)?;
        let variety = match &words.variety {
            Some(variety) => variety.clone(),
            None => Name::new("no label").map_err(|_| DeskError::Nothing("a variety is needed"))?,
        };
        let new = |variety: Name| {
            Seed::New(NewLot {
                crop: crop.clone(),
                variety,
                packed: words.packed,
                stated: None,
                seeds: None,
                origin: SeedOrigin::Packet,
            })
        };
        if crop.is_unknown() {
            return Ok((new(variety), cluster));
        }
        let of_year = |packed: Option<i32>| words.packed.is_none() || words.packed == packed;
        let lots = self.books.lots(Some(&crop))?;
        let mut known: Vec<&str> = lots.iter().map(|record| record.lot.variety.as_str()).collect();
        known.sort_unstable();
        known.dedup();
        let named = closest_variety(&known, variety.as_str());
        if let Some(name) = named {
            let mut fitting: Vec<_> = lots
                .iter()
                .filter(|record| record.lot.variety.as_str() == name && of_year(record.lot.packed))
                .collect();
            // Newest seed first, and a packet with seed left before an empty one.
            fitting.sort_by_key(|record| std::cmp::Reverse((record.lot.packed, record.id)));
            for record in &fitting {
                let is_left = match record.lot.seeds {
                    Some(seeds) => seeds > self.books.sown_from(record.id)?,
                    None => true,
                };
                if is_left {
                    return Ok((Seed::Lot(record.id), cluster));
                }
            }
            if let Some(record) = fitting.first() {
                self.notices.push(format!("by the log no seed of {crop} {name} was left"));
                return Ok((Seed::Lot(record.id), cluster));
            }
        }
        let alike = known
            .iter()
            .find(|name| strsim::jaro_winkler(&name.to_lowercase(), &variety.as_str().to_lowercase()) > 0.9);
        self.notices.push(match alike {
            Some(name) => format!("noted as new seed; if you meant {name}, undo and write it so"),
            None => format!("{crop} {variety} noted as new seed; `lot add` keeps year, germination and number too"),
        });
        Ok((new(variety), cluster))
    }

    /// The container words mean, and how many of it; `pots` is the size of a set when none was typed.
    fn vessel(&self, words: &ContainerWords, pots: u32) -> Result<(Vessel, u32), DeskError> {
        find_vessel(self.latest, self.trade, words, pots)
    }

    fn room(&mut self, words: &RoomWords, pots: u32) -> Result<Room, DeskError> {
        Ok(match words {
            RoomWords::New { container, at } => {
                let (vessel, count) = self.vessel(container, pots)?;
                let stand = self.stand(at)?;
                self.check_goes(&vessel, count, stand)?;
                Room::New { vessel, count, stand, spot: None }
            }
            RoomWords::Shared(part) => Room::Shared(self.container_of(part)?),
        })
    }
}

/// The variety a grower means among those known: the same but for case, or the only one that begins so.
fn closest_variety<'a>(known: &[&'a str], typed: &str) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    if let Some(same) = known.iter().find(|name| name.to_lowercase() == typed) {
        return Some(same);
    }
    let mut beginning =
        known.iter().filter(|name| typed.chars().count() >= 3 && name.to_lowercase().starts_with(&typed));
    match (beginning.next(), beginning.next()) {
        (Some(only), None) => Some(only),
        _ => None,
    }
}

fn letters(state: &State, batch: &Batch) -> String {
    state.parts_of(batch).map(|(_, part)| state.part_label(part).to_string()).collect::<Vec<_>>().join(", ")
}

const fn usual_light(kind: PlaceKind) -> Light {
    match kind {
        PlaceKind::Propagator | PlaceKind::AiringCupboard | PlaceKind::Fridge | PlaceKind::Room => Light::Low,
        PlaceKind::Windowsill => Light::Fair,
        _ => Light::Full,
    }
}

/// The container words mean, and how many: pots make one set, everything else as many containers.
pub(super) fn find_vessel(
    state: &State,
    trade: &Trade,
    words: &ContainerWords,
    pots: u32,
) -> Result<(Vessel, u32), DeskError> {
    let found = trade.find_container(words.name.as_str())?;
    let vessel = vessel_of(state, found, words.times.unwrap_or(pots)).ok_or_else(|| DeskError::Unknown {
        what: "container",
        name: found.key().to_string(),
        hint: "its name in the table cannot be kept: give it a shorter one".to_owned(),
    })?;
    let count = if found.class == ContainerClass::Pot { 1 } else { words.times.unwrap_or(1) };
    Ok((vessel, count))
}

/// The place a name means: the same but for case, or the only one that begins so.
pub(super) fn find_place(state: &State, name: &Name) -> Result<PlaceId, DeskError> {
    if let Some((id, _)) = state.places.iter().find(|(_, place)| place.name.same_as(name.as_str())) {
        return Ok(*id);
    }
    let typed = name.as_str().to_lowercase();
    let beginning: Vec<_> =
        state.places.iter().filter(|(_, place)| place.name.as_str().to_lowercase().starts_with(&typed)).collect();
    match beginning.as_slice() {
        [(id, _)] => Ok(**id),
        [] => {
            let all: Vec<String> = state.places.values().map(|place| place.name.to_string()).collect();
            let hint = if all.is_empty() {
                "name one first: `place add NAME --kind KIND`".to_owned()
            } else {
                format!("places: {}", all.join(", "))
            };
            Err(DeskError::Unknown { what: "place", name: name.to_string(), hint })
        }
        several => Err(DeskError::Ambiguous {
            name: name.to_string(),
            list: several.iter().map(|(_, place)| place.name.to_string()).collect::<Vec<_>>().join(" or "),
            hint: "write more of the name",
        }),
    }
}

fn unknown_bench(state: &State, place: PlaceId, name: &Name) -> DeskError {
    let here = state.places.get(&place).map_or_else(String::new, |place| place.name.to_string());
    let benches: Vec<String> =
        state.benches.values().filter(|bench| bench.place == place).map(|bench| bench.name.to_string()).collect();
    DeskError::Unknown {
        what: "bench",
        name: format!("{here}/{name}"),
        hint: if benches.is_empty() {
            format!("{here} has no benches yet: `bench add {here}/NAME --size 1200x500mm`")
        } else {
            format!("{here} has {}", benches.join(", "))
        },
    }
}

/// What a spot means: a bench by its name, the only bench of a place, or a place that has none.
pub(super) fn find_stand(state: &State, spot: &SpotRef) -> Result<Stand, DeskError> {
    let place = find_place(state, &spot.place)?;
    let benches: Vec<(&BenchId, &crate::journal::Bench)> =
        state.benches.iter().filter(|(_, bench)| bench.place == place).collect();
    if let Some(name) = &spot.bench {
        let exact = benches.iter().find(|(_, bench)| bench.name.same_as(name.as_str()));
        let typed = name.as_str().to_lowercase();
        let mut beginning = benches.iter().filter(|(_, bench)| bench.name.as_str().to_lowercase().starts_with(&typed));
        let only = match (beginning.next(), beginning.next()) {
            (Some(only), None) => Some(only),
            _ => None,
        };
        return exact.or(only).map(|(id, _)| Stand::Bench(**id)).ok_or_else(|| unknown_bench(state, place, name));
    }
    match benches.as_slice() {
        [] => Ok(Stand::Place(place)),
        [(id, _)] => Ok(Stand::Bench(**id)),
        several => Err(DeskError::Ambiguous {
            name: spot.to_string(),
            list: several
                .iter()
                .map(|(_, bench)| format!("{}/{}", spot.place, bench.name))
                .collect::<Vec<_>>()
                .join(" or "),
            hint: "write the bench too",
        }),
    }
}
