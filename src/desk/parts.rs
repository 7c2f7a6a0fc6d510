//! Which parts and containers a reference means.

use crate::grammar::{MovingWords, PartRef, Thing};
use crate::journal::{Batch, Moving, Part, State};
use crate::quantity::{ContainerId, Name, PartId};

use super::error::DeskError;
use super::lookup::unknown_batch;
use super::resolve::Resolver;

/// What a part is wanted for: decides which parts of a batch qualify when only the batch was named.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum For {
    Counting,
    Taking,
    Clearing,
    Moving,
}

impl Resolver<'_> {
    pub(super) fn part(&self, reference: &PartRef, wanted: For) -> Result<PartId, DeskError> {
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

    /// The parts with plants that a reference may mean.
    pub(super) fn parts_that_stand(&self, reference: &PartRef) -> Result<Vec<PartId>, DeskError> {
        let mut parts = self.qualifying(reference, For::Taking)?;
        parts.retain(|id| self.state.parts.get(id).is_some_and(|part| part.standing() > 0));
        Ok(parts)
    }

    /// A batch's name clears all that is live of it; a part's name that part.
    pub(super) fn parts_to_clear(&self, reference: &PartRef) -> Result<Vec<PartId>, DeskError> {
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

    pub(super) fn moving(&self, words: &MovingWords) -> Result<Vec<Moving>, DeskError> {
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
    pub(super) fn things(&self, things: &[Thing]) -> Result<Vec<ContainerId>, DeskError> {
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

    pub(super) fn all_out(&self) -> Result<Vec<ContainerId>, DeskError> {
        let out: Vec<ContainerId> =
            self.state.containers.iter().filter(|(_, held)| held.out.is_some()).map(|(id, _)| *id).collect();
        if out.is_empty() { Err(DeskError::Nothing("nothing is out for the day")) } else { Ok(out) }
    }

    /// What went out together last, as far as it still stands and is home.
    pub(super) fn last_group_out(&self) -> Result<Vec<ContainerId>, DeskError> {
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
            let is_out = self.state.containers.iter().any(|(id, held)| standing(id) && held.out.is_some());
            Err(DeskError::Nothing(match (is_out, day) {
                (true, _) => "the group is out already",
                (false, Some(_)) => "the group that was out last no longer stands",
                (false, None) => "no group has been out yet: say what goes out, and where",
            }))
        } else {
            Ok(group)
        }
    }
}

fn letters(state: &State, batch: &Batch) -> String {
    state.parts_of(batch).map(|(_, part)| state.part_label(part).to_string()).collect::<Vec<_>>().join(", ")
}
