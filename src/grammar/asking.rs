//! What the words for plants ask for: the request of each, and the checks that no single word can show.

use crate::journal::{Cause, Growth, Observed, Recount, Rest, Ticks, Treatment};
use crate::quantity::{Remark, SownUnit};

use super::error::GrammarError;
use super::plants::{CountArgs, MoveOnArgs, PlantVerb, RoomArgs, SeedArgs, SomePlants, SowArgs, StageArgs};
use super::refs::{PartRef, SpotRef, Thing};
use super::request::{MoveOnWords, MovingWords, Request, RoomWords, SeedWords, SowWords, Sure};
use super::values::{self, UpOrGaps};

impl PlantVerb {
    pub(super) fn into_request(self) -> Result<Request, GrammarError> {
        Ok(match self {
            Self::Sow(sowing) => sowing.into_request()?,
            Self::Receive { seed, plants, room, sure } => {
                Request::Receive { seed: seed.named()?, plants, room: room.into_words()? }.if_sure(sure)
            }
            Self::Count(count) => count.into_request()?,
            Self::Stage(stage) => stage.into_request()?,
            Self::PotOn(moving) => moving.into_request()?,
            Self::Move { words, all: true, sure, .. } => moved_all(&words)?.if_sure(sure),
            Self::Move { words, count, sure, .. } => moved(&words, count)?.if_sure(sure),
            Self::Out { words } => put_out(&words)?,
            Self::In { things } => Request::BringIn { things },
            Self::Lose { some, cause, note } => some.taken(|part, plants| Request::Lose {
                part,
                plants,
                cause: cause.unwrap_or(Cause::Unknown),
                remark: note,
            })?,
            Self::Thin(some) => some.taken(|part, plants| Request::Thin { part, plants })?,
            Self::Discard(some) => some.taken(|part, plants| Request::Discard { part, plants })?,
            Self::GiveAway(some) => some.taken(|part, plants| Request::GiveAway { part, plants })?,
            Self::PlantOut { some, to, recount } => {
                some.taken(|part, plants| Request::PlantOut { part, plants, bed: to, recount: as_recount(recount) })?
            }
            Self::Clear { parts, pots: Some(pots), .. } => match parts.as_slice() {
                [part] => Request::FreePots { part: *part, pots },
                _ => return Err(GrammarError::usage("--pots is of one set", "write `clear 14a --pots 4`")),
            },
            Self::Clear { parts, rest, pots: None } => Request::Clear { parts, rest: rest.unwrap_or(Rest::Keep) },
            Self::Identify { batch, seed } => Request::Identify { batch, seed: seed.known()? },
            Self::Relabel { batch, label } => Request::Relabel { batch, label },
            Self::Note { topic, words } => {
                let remark = Remark::new(&words.join(" ")).map_err(|error| GrammarError::refused("TEXT", error))?;
                Request::Note { topic, remark }
            }
        })
    }
}

const fn as_recount(typed: bool) -> Recount {
    if typed { Recount::Yes } else { Recount::No }
}

impl SomePlants {
    /// What is done with so many plants, or with those of some cells.
    fn taken(self, taking: impl FnOnce(PartRef, u32) -> Request) -> Result<Request, GrammarError> {
        match (self.plants, self.cells) {
            (Some(plants), None) => Ok(taking(self.part, plants)),
            (plants, Some(cells)) if !cells.is_empty() => {
                let taking = Box::new(taking(self.part, plants.unwrap_or(cells.len())));
                Ok(Request::FromCells { cells, part: self.part, plants, taking })
            }
            (None, None) => {
                let taking = taking(self.part, 1);
                if matches!(taking, Request::Lose { .. } | Request::Thin { .. }) {
                    return Err(GrammarError::usage("still needed: N", "how many plants, or --cells 3,4"));
                }
                Ok(Request::AllOf { part: self.part, taking: Box::new(taking) })
            }
            _ => Err(GrammarError::usage("still needed: N", "how many plants, or --cells 3,4")),
        }
    }
}

impl SeedArgs {
    /// The seed as it was said: of the only packet of a crop the variety is known.
    fn into_said(self) -> SeedWords {
        let Self { crop, variety, packed } = self;
        SeedWords { crop, variety, packed }
    }

    /// The seed, whose variety only an unknown crop may lack.
    fn named(self) -> Result<SeedWords, GrammarError> {
        let Self { crop, variety, packed } = self;
        if variety.is_none() && !crop.is_unknown() {
            return Err(GrammarError::usage(
                format!("still needed: the VARIETY of {crop}"),
                "if the label is lost, the crop is `unknown` and needs no variety",
            ));
        }
        Ok(SeedWords { crop, variety, packed })
    }

    /// The seed of a batch that is being identified.
    fn known(self) -> Result<SeedWords, GrammarError> {
        if self.crop.is_unknown() {
            return Err(GrammarError::refused("CROP", "'unknown' is what it was; name the crop it turned out to be"));
        }
        self.named()
    }
}

impl RoomArgs {
    fn into_words(self) -> Result<RoomWords, GrammarError> {
        match (self.share, self.container, self.at) {
            (Some(part), ..) => Ok(RoomWords::Shared(part)),
            (None, Some(container), Some(at)) => Ok(RoomWords::New { container, at }),
            _ => Err(GrammarError::usage("still needed: --in CONTAINER --at PLACE/BENCH", "or --share PART")),
        }
    }
}

impl SowArgs {
    fn into_request(self) -> Result<Request, GrammarError> {
        let (unit, units) = match (self.units.seeds, self.units.clusters, self.units.pinch) {
            (Some(seeds), ..) => (SownUnit::Seed, seeds),
            (_, Some(clusters), _) => (SownUnit::Cluster, clusters),
            (.., Some(pinch)) => (SownUnit::Pinch, pinch),
            _ => return Err(GrammarError::usage("still needed: --seeds N", "or --clusters N, or --pinch N")),
        };
        Ok(Request::Sow(SowWords {
            seed: self.seed.into_said(),
            unit,
            units,
            per_cell: self.per_cell,
            treatment: self.treatment.unwrap_or(Treatment::None),
            depth: self.depth,
            room: self.room.into_words()?,
        })
        .if_sure(self.sure))
    }
}

impl CountArgs {
    fn into_request(self) -> Result<Request, GrammarError> {
        let (up, gaps) = match (self.up, self.gaps) {
            (Some(UpOrGaps::Gaps(_)), Some(_)) => {
                return Err(GrammarError::usage("the gaps are given twice", "write -6 or --gaps 6, not both"));
            }
            (Some(UpOrGaps::Gaps(gaps)), None) => (None, Some(gaps)),
            (Some(UpOrGaps::Up(up)), gaps) => (Some(up), gaps),
            (None, gaps) => (None, gaps),
        };
        let ticks = match (self.cells, self.doubled) {
            (None, None) => None,
            (cells, doubled) => Some(Ticks::new(&cells.unwrap_or_default(), doubled.unwrap_or_default())),
        };
        if gaps.is_some() && ticks.is_some() {
            return Err(GrammarError::usage("cells and gaps say the same thing", "give --cells alone"));
        }
        if up.is_none() && gaps.is_none() && self.standing.is_none() && ticks.is_none() {
            return Err(GrammarError::usage(
                "count needs a number",
                format!(
                    "write `count {part} 60` for sixty up, -6 for six gaps, --standing N or --cells 1-12,15",
                    part = self.part
                ),
            ));
        }
        let observed = Observed { up, standing: self.standing, gaps, doubles: self.doubles, ticks };
        let sure = if self.sure { Sure::Yes } else { Sure::No };
        Ok(Request::Count { part: self.part, observed, sure })
    }
}

impl StageArgs {
    fn into_request(self) -> Result<Request, GrammarError> {
        let Self { part, leaves, height, leggy, roots } = self;
        if leaves.is_none() && height.is_none() && !leggy && !roots {
            return Err(GrammarError::usage(
                "stage needs what was seen",
                "add --leaves N, --height 60mm, --leggy or --roots",
            ));
        }
        Ok(Request::Stage { part, growth: Growth { leaves, height, leggy, roots } })
    }
}

impl MoveOnArgs {
    fn into_request(self) -> Result<Request, GrammarError> {
        let (room, per_cell, recount) = (self.room.into_words()?, self.per_cell, as_recount(self.recount));
        let (doubles, rest) = (self.doubles, self.rest.unwrap_or(Rest::Keep));
        let sure = self.sure;
        let moving = |part, plants| MoveOnWords { part, plants, room, per_cell, recount, doubles, rest };
        Ok(self.some.taken(|part, plants| Request::MoveOn(moving(part, plants)))?.if_sure(sure))
    }
}

/// Reads `PART N PLACE/BENCH` or `THING.. PLACE/BENCH`: a bare number is a number of plants only as the second of
/// exactly three words after a part.
fn moved(words: &[String], count: Option<u32>) -> Result<Request, GrammarError> {
    let Some((to, what)) = words.split_last().filter(|(_, what)| !what.is_empty()) else {
        return Err(GrammarError::usage(
            "move needs what to move and where to",
            "write `move 14a frame/left`; the place comes last",
        ));
    };
    let to: SpotRef = to.parse().map_err(|error| GrammarError::refused("PLACE/BENCH", error))?;
    let in_the_middle = match what {
        [first, number] if first.parse::<PartRef>().is_ok() && is_bare_number(number) => {
            Some(values::some(number).map_err(|error| GrammarError::refused("N", error))?)
        }
        _ => None,
    };
    let part = |text: &String| text.parse().map_err(|error| GrammarError::refused("PART", error));
    let moving = match (what, in_the_middle, count) {
        ([first, _], Some(plants), None) | ([first], None, Some(plants)) => {
            MovingWords::Some { part: part(first)?, plants }
        }
        (_, _, None) => MovingWords::Whole(things(what)?),
        (_, _, Some(_)) => {
            return Err(GrammarError::usage("--count goes with one part", "write `move 14b frame/left --count 6`"));
        }
    };
    Ok(Request::Move { moving, to })
}

/// Reads `PLACE/BENCH PLACE/BENCH`, with or without a `to` between.
fn moved_all(words: &[String]) -> Result<Request, GrammarError> {
    let (from, to) = match words {
        [from, to] => (from, to),
        [from, between, to] if between.eq_ignore_ascii_case("to") => (from, to),
        _ => {
            return Err(GrammarError::usage(
                "move --all needs two benches",
                "write `move --all sill/left frame/left`: off the first, to the second",
            ));
        }
    };
    let spot = |text: &String| text.parse().map_err(|error| GrammarError::refused("PLACE/BENCH", error));
    Ok(Request::MoveAll { from: spot(from)?, to: spot(to)? })
}

fn is_bare_number(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_digit())
}

fn things(words: &[String]) -> Result<Vec<Thing>, GrammarError> {
    words.iter().map(|word| word.parse().map_err(|error| GrammarError::refused("PART", error))).collect()
}

fn put_out(words: &[String]) -> Result<Request, GrammarError> {
    let where_to = |what: &str| {
        let what = if what.is_empty() { String::new() } else { format!("{what} ") };
        let before = if what.is_empty() { "; what goes out may stand before it" } else { "" };
        GrammarError::usage("out where to?", format!("write `out {what}terrace`, the place last{before}"))
    };
    let Some((place, what)) = words.split_last() else { return Err(where_to("")) };
    // What could only be a batch or a part is what goes out.
    if place.parse::<PartRef>().is_ok_and(|_| place.starts_with(|c: char| c.is_ascii_digit())) {
        return Err(where_to(&words.join(" ")));
    }
    // They are put out to a place; which bench of it they stand on by day is not kept.
    let spot: SpotRef = place.parse().map_err(|error| GrammarError::refused("PLACE", error))?;
    Ok(Request::PutOut { things: things(what)?, place: spot.place })
}
