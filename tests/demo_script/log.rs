//! A log in memory that takes the lines of a script: names are looked up plainly, everything else is the journal's own.

use thumbpot::grammar::{
    BatchRef, ContainerWords, Line, MovingWords, PartRef, Request, RoomWords, SeedWords, SpotRef, Step, Thing, TopicRef,
};
use thumbpot::journal::{
    Act, Batch, Entry, Fact, History, Light, Moving, MovingOn, NewLot, Room, Seed, SeedOrigin, Sowing, Stand, State,
    Topic, Vessel, admit, decide, fold, fold_until,
};
use thumbpot::quantity::{
    ActId, BatchId, BatchLabel, ContainerClass, ContainerId, Date, EntryId, LotId, Name, PartId, PlaceId,
};
use thumbpot::trade::Trade;

/// Acts in force, and those undone since the last ordinary act.
pub(crate) struct Log {
    trade: Trade,
    acts: Vec<Vec<Entry>>,
    undone: Vec<Vec<Entry>>,
    minted: u128,
    written: i64,
}

type Found<T> = Result<T, String>;

impl Log {
    pub(crate) fn new(trade: Trade) -> Self {
        Self { trade, acts: Vec::new(), undone: Vec::new(), minted: 0, written: 0 }
    }

    pub(crate) fn state(&self) -> State {
        fold(&self.history()).0
    }

    /// What stood at the end of a day.
    pub(crate) fn state_on(&self, day: Date) -> State {
        fold_until(&self.history(), day).0
    }

    /// The label of the batch begun last.
    pub(crate) fn newest_label(&self) -> BatchLabel {
        self.state().batches.values().next_back().unwrap().label
    }

    fn history(&self) -> History {
        History::new(self.acts.concat())
    }

    /// Takes one line, or says why not.
    pub(crate) fn take(&mut self, line: &Line) -> Found<()> {
        let on = line.on.ok_or("it has no date")?;
        match &line.step {
            Step::Act(request) => self.enter(request, on),
            Step::Undo { act: None, .. } => {
                let newest = self.acts.pop().ok_or("nothing to undo")?;
                let contradictions = fold(&self.history()).1;
                self.undone.push(newest);
                contradictions.first().map_or(Ok(()), |first| Err(first.wrong.to_string()))
            }
            Step::Undo { .. } => Err("a script does not know the names of acts".to_owned()),
            Step::Redo => {
                self.acts.push(self.undone.pop().ok_or("nothing to redo")?);
                Ok(())
            }
        }
    }

    fn enter(&mut self, request: &Request, on: Date) -> Found<()> {
        let history = self.history();
        let (state, latest) = (fold_until(&history, on).0, fold(&history).0);
        let act = Words { trade: &self.trade, latest: &latest, on }.act(request)?;
        let facts = decide(&state, &latest, &act).map_err(|refusal| refusal.to_string())?;
        self.minted += 1;
        let (id, first) = (ActId(uuid::Uuid::from_u128(self.minted)), self.written);
        let real = |key: EntryId| key.provisional_sequence().map_or(key, |at| EntryId(first + at as i64));
        let keyed = |(at, mut fact): (usize, Fact)| {
            fact.for_each_reference(&mut |key| *key = real(*key));
            Entry { id: EntryId(first + at as i64), act: id, sequence: at as u32, on, fact }
        };
        let entries: Vec<Entry> = facts.into_iter().enumerate().map(keyed).collect();
        admit(&history, &entries).map_err(|refusal| refusal.to_string())?;
        self.written += entries.len() as i64;
        self.acts.push(entries);
        self.undone.clear();
        Ok(())
    }
}

/// What the words of one line mean.
struct Words<'a> {
    trade: &'a Trade,
    latest: &'a State,
    on: Date,
}

impl Words<'_> {
    fn act(&self, request: &Request) -> Found<Act> {
        Ok(match request.clone() {
            Request::AddPlace { name, kind, heated_to, light } => {
                Act::AddPlace { name, kind, heated_to, light: light.unwrap_or(Light::Fair) }
            }
            Request::AddBench { bench, size } => {
                Act::AddBench { place: self.place(&bench.place)?, name: bench.name, size }
            }
            Request::AddLot(lot) => {
                self.trade.find_crop(lot.crop.as_str()).map_err(|error| error.to_string())?;
                Act::AddLot(NewLot {
                    crop: lot.crop,
                    variety: lot.variety,
                    packed: lot.packed,
                    stated: lot.stated,
                    seeds: lot.seeds,
                    origin: lot.origin,
                })
            }
            Request::SetCarrier { called, container, at } => {
                Act::SetCarrier { vessel: self.vessel(&container)?.0, called, stand: self.stand(&at)? }
            }
            Request::Receive { seed, plants, room } => {
                Act::Receive { label: self.next(), seed: self.seed(&seed)?, plants, room: self.room(&room)? }
            }
            Request::Sow(sowing) => Act::Sow(Sowing {
                label: self.next(),
                seed: self.seed(&sowing.seed)?,
                unit: sowing.unit,
                units: sowing.units,
                per_cell: sowing.per_cell,
                treatment: sowing.treatment,
                depth: sowing.depth,
                room: self.room(&sowing.room)?,
            }),
            Request::Count { part, observed } => Act::Count { part: self.part(part)?, observed },
            Request::Stage { part, growth } => Act::Stage { part: self.part(part)?, growth },
            Request::MoveOn(moving) => Act::MoveOn(MovingOn {
                part: self.part(moving.part)?,
                plants: moving.plants,
                room: self.room(&moving.room)?,
                per_cell: moving.per_cell,
                recount: moving.recount,
                doubles: moving.doubles,
                rest: moving.rest,
            }),
            Request::Move { moving, to } => {
                let moving = match moving {
                    MovingWords::Whole(things) => self.containers(&things)?.into_iter().map(Moving::Whole).collect(),
                    MovingWords::Some { part, plants } => vec![Moving::Some { part: self.part(part)?, plants }],
                };
                Act::Move { moving, to: self.stand(&to)?, spot: None }
            }
            Request::PutOut { things, place } => {
                Act::PutOut { containers: self.containers(&things)?, place: self.place(&place)? }
            }
            Request::BringIn { things } if things.is_empty() => {
                let out = self.latest.containers.iter().filter(|(_, held)| held.out.is_some());
                Act::BringIn { containers: out.map(|(id, _)| *id).collect() }
            }
            Request::BringIn { things } => Act::BringIn { containers: self.containers(&things)? },
            Request::Lose { part, plants, cause, remark } => {
                Act::Lose { part: self.part(part)?, plants, cause, remark }
            }
            Request::Thin { part, plants } => Act::Thin { part: self.part(part)?, plants },
            Request::Discard { part, plants } => Act::Discard { part: self.part(part)?, plants },
            Request::GiveAway { part, plants } => Act::GiveAway { part: self.part(part)?, plants },
            Request::PlantOut { part, plants, bed, recount } => {
                Act::PlantOut { part: self.part(part)?, plants, bed, recount }
            }
            Request::Clear { parts, rest } => {
                let parts = parts.into_iter().map(|part| self.part(part)).collect::<Found<_>>()?;
                Act::Clear { parts, rest }
            }
            Request::Identify { batch, seed } => Act::Identify { batch: self.batch(batch)?.0, seed: self.seed(&seed)? },
            Request::Note { topic: TopicRef::Batch(batch), remark } => {
                Act::Note { topic: Topic::Batch(self.batch(batch)?.0), remark }
            }
            Request::Note { topic: TopicRef::Place(place), remark } => {
                Act::Note { topic: Topic::Place(self.place(&place)?), remark }
            }
            Request::Read { place, measured } => Act::Read { place: self.place(&place)?, measured },
            Request::Forecast { day, low, high } => Act::Forecast { days: vec![(day, low, high)] },
            Request::Cover { place, on } => Act::Cover { place: self.place(&place)?, on },
            other => return Err(format!("the script has no use for {other:?}")),
        })
    }

    fn next(&self) -> BatchLabel {
        let year = chrono::Datelike::year(&self.on);
        let labels = self.latest.batches.values().map(|batch| batch.label).filter(|label| label.year == year);
        BatchLabel { year, number: labels.map(|label| label.number).max().unwrap_or(0) + 1 }
    }

    fn place(&self, name: &Name) -> Found<PlaceId> {
        let found = self.latest.places.iter().find(|(_, place)| place.name == *name);
        found.map(|(id, _)| *id).ok_or(format!("no place {name}"))
    }

    fn stand(&self, spot: &SpotRef) -> Found<Stand> {
        let Some(name) = &spot.bench else {
            let carrier = self.latest.containers.iter().find(|(_, held)| held.called.as_ref() == Some(&spot.place));
            return carrier
                .map_or_else(|| self.place(&spot.place).map(Stand::Place), |(id, _)| Ok(Stand::Carrier(*id)));
        };
        let place = self.place(&spot.place)?;
        let found = self.latest.benches.iter().find(|(_, bench)| bench.place == place && bench.name == *name);
        found.map(|(id, _)| Stand::Bench(*id)).ok_or(format!("no bench {spot}"))
    }

    /// The one lot of that name, or the only one of that year.
    fn seed(&self, seed: &SeedWords) -> Found<Seed> {
        let new = |variety| {
            let crop = seed.crop.clone();
            Seed::New(NewLot { crop, variety, packed: None, stated: None, seeds: None, origin: SeedOrigin::Packet })
        };
        let Some(variety) = &seed.variety else { return Ok(new(Name::new("unknown").unwrap())) };
        let lots: Vec<LotId> = (self.latest.lots.iter())
            .filter(|(_, lot)| lot.crop == seed.crop && lot.variety == *variety)
            .filter(|(_, lot)| seed.packed.is_none() || lot.packed == seed.packed)
            .map(|(id, _)| *id)
            .collect();
        match lots[..] {
            [] => Ok(new(variety.clone())),
            [only] => Ok(Seed::Lot(only)),
            _ => Err(format!("{} lots of {variety}: say which with --packed", lots.len())),
        }
    }

    fn vessel(&self, words: &ContainerWords) -> Found<(Vessel, u32)> {
        let kind = self.trade.find_container(words.name.as_str()).map_err(|error| error.to_string())?;
        let times = words.times.unwrap_or(1);
        let is_pot = kind.class == ContainerClass::Pot;
        let vessel = Vessel {
            name: words.name.clone(),
            class: kind.class,
            length: kind.length,
            width: kind.width,
            height: kind.height,
            cells: kind.cells,
            volume: kind.root_volume(),
            pots: if is_pot { times } else { 1 },
        };
        Ok((vessel, if is_pot { 1 } else { times }))
    }

    fn room(&self, room: &RoomWords) -> Found<Room> {
        Ok(match room {
            RoomWords::Shared(part) => Room::Shared(self.container(*part)?),
            RoomWords::New { container, at } => {
                let (vessel, count) = self.vessel(container)?;
                Room::New { vessel, count, stand: self.stand(at)?, spot: None }
            }
        })
    }

    /// The batch of that number: the open one, or this year's.
    fn batch(&self, wanted: BatchRef) -> Found<(BatchId, &Batch)> {
        let year = chrono::Datelike::year(&self.on);
        let all = self.latest.batches.iter().filter(|(_, batch)| {
            batch.label.number == wanted.number && wanted.year.is_none_or(|year| batch.label.year == year)
        });
        let found: Vec<_> = all.map(|(id, batch)| (*id, batch)).collect();
        let open: Vec<_> = found.iter().filter(|(_, batch)| self.latest.is_live(batch)).collect();
        match open[..] {
            [only] => Some(*only),
            [] => found.into_iter().find(|(_, batch)| batch.label.year == year || wanted.year.is_some()),
            _ => None,
        }
        .ok_or(format!("no one batch {wanted}"))
    }

    /// The part: always named with its letter.
    fn part(&self, wanted: PartRef) -> Found<PartId> {
        let (_, batch) = self.batch(wanted.batch)?;
        let found = self.latest.parts_of(batch).find(|(_, part)| Some(part.letter) == wanted.letter);
        found.map(|(id, _)| id).ok_or(format!("no part {wanted}"))
    }

    fn container(&self, part: PartRef) -> Found<ContainerId> {
        Ok(self.latest.parts[&self.part(part)?].container)
    }

    fn containers(&self, things: &[Thing]) -> Found<Vec<ContainerId>> {
        let one = |thing: &Thing| match thing {
            Thing::Part(part) => self.container(*part),
            Thing::Carrier(name) => Err(format!("no part {name}")),
        };
        things.iter().map(one).collect()
    }
}
