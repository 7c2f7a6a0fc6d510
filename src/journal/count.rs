//! What a count says: how the units up, plants standing or gaps that a grower typed become what a part has had.
//!
//! A part that was sown has units `up` and plants `gained` beyond one for each; a part filled with plants has those
//! that `arrived`, plus `gained`, less those that were `short`. A count replaces what was known:
//!
//! 1. **Gaps** are cells with nothing, pricked-out ones among them: standing is the filled cells less the gaps. Pots
//!    that were parted from the set took their plants along and are no gaps. Clusters give several to a cell, so there
//!    gaps tell the clusters that are up, and only until the first has left.
//! 2. **Standing**, with what has left, is every plant the part ever had. More than was known are units come up since,
//!    unless they are said to be doubles, or are seedlings of clusters already counted: those are gained. Fewer is a
//!    correction, never a death: gains are taken back first, then units.
//! 3. **Up** counts units. What was gained stays, as far as so many units can give it.
//! 4. **Both** say everything: plants beyond the units are gained. Units that neither stand nor left do not add up.
//! 5. **A pinch** was never counted: plants up to the estimate are units, those beyond it are gained.
//! 6. **Plants** that were not sown here are gained beyond those that arrived, or short of them.
//! 7. **Ticks** say which cells hold something: standing, and of the units up as many as fit (`cells` has the sum).
//!
//! A gain is believed of clusters and pinches, or when doubles were seen; never above [`SEEDLINGS_IN_A_CLUSTER`] from
//! one unit, save of a pinch. No count is below what has left.

use crate::quantity::{Date, PartId, SownUnit};

use super::fact::{Observed, Source};
use super::fold::MOST;
use super::state::{Count, Part, State};
use super::wrong::Wrong;

/// Seedlings that one cluster can give at most. Common practice, no source: beetroot clusters give one to five.
pub const SEEDLINGS_IN_A_CLUSTER: u32 = 8;

/// What a part has had by a count: units up, plants gained beyond them, and plants that were never there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Had {
    pub(super) up: u32,
    pub(super) gained: u32,
    pub(super) short: u32,
}

impl State {
    /// Takes a count as the latest word on a part.
    pub(super) fn count(&mut self, on: Date, id: PartId, observed: &Observed) -> Result<(), Wrong> {
        let had = self.counted(id, observed)?;
        let part = self.parts.get_mut(&id).ok_or(Wrong::NoSuchPart)?;
        (part.up, part.gained, part.short) = (had.up, had.gained, had.short);
        match &observed.ticks {
            Some(ticks) => part.tick(on, ticks),
            None => part.ticks_are_past(),
        }
        let count = Count { on, up: if part.is_sown() { part.up } else { part.ever() }, standing: part.standing() };
        part.counts.push(count);
        if count.standing > 0 {
            // A straggler in an emptied container: it holds plants again.
            part.cleared = None;
        }
        Ok(())
    }

    /// What a count says the part has had, if it can be true.
    pub(super) fn counted(&self, id: PartId, observed: &Observed) -> Result<Had, Wrong> {
        let seen = self.told(id, observed)?;
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let unit = self.batches.get(&part.batch).map(Self::unit).ok_or(Wrong::NoSuchBatch)?;
        let had = match &seen.ticks {
            Some(ticks) => self.had_by_ticks(id, &seen, ticks, unit)?,
            None => part.had(&seen, unit).ok_or(Wrong::Nothing)?,
        };
        self.believe(part, had, &seen, unit)?;
        Ok(had)
    }

    /// The count without its gaps: what they tell of the units up or the plants standing.
    pub(super) fn told(&self, id: PartId, observed: &Observed) -> Result<Observed, Wrong> {
        let part = self.parts.get(&id).ok_or(Wrong::NoSuchPart)?;
        let Some(gaps) = observed.gaps else { return Ok(observed.clone()) };
        let label = self.part_label(part);
        let unit = self.batches.get(&part.batch).map(Self::unit).ok_or(Wrong::NoSuchBatch)?;
        let cells = self.filled_cells(id, part).ok_or(Wrong::GapsDoNotTell(label))?;
        let not_gaps = Some(cells.checked_sub(gaps).ok_or(Wrong::TooManyGaps { part: label, gaps, cells })?);
        match unit {
            SownUnit::Cluster if part.is_sown() && part.left() == 0 => {
                Ok(Observed { up: observed.up.or(not_gaps), gaps: None, ..observed.clone() })
            }
            SownUnit::Cluster | SownUnit::Pinch if part.is_sown() => Err(Wrong::GapsDoNotTell(label)),
            _ if part.gained > 0 => Err(Wrong::GapsDoNotTell(label)),
            _ => Ok(Observed { standing: not_gaps, gaps: None, ..observed.clone() }),
        }
    }

    /// Cells that were filled with one unit or plant each and are still there; `None` when there are none such.
    fn filled_cells(&self, id: PartId, part: &Part) -> Option<u32> {
        let cells = self.containers.get(&part.container)?.vessel.to_fill()?;
        let filled = (part.sown() + part.arrived()).checked_sub(self.set_apart(id, part))?;
        let to_each = match part.source {
            Source::Sown { per_cell: Some(each), .. } => each,
            _ => filled.div_ceil(cells),
        };
        (to_each <= 1).then_some(filled)
    }

    fn believe(&self, part: &Part, had: Had, seen: &Observed, unit: SownUnit) -> Result<(), Wrong> {
        let doubles = seen.doubles || seen.ticks.as_ref().is_some_and(|ticks| !ticks.doubled().is_empty());
        let label = self.part_label(part);
        let (left, ever) = (part.left(), (had.up + had.gained + part.arrived()).saturating_sub(had.short));
        if ever > MOST {
            return Err(Wrong::Absurd(ever));
        }
        let units = seen.up.filter(|up| part.is_sown() && *up <= part.sown() && unit != SownUnit::Pinch);
        if let (Some(up), Some(standing), None) = (units, seen.standing, &seen.ticks)
            && up > standing.saturating_add(left)
        {
            return Err(Wrong::DoesNotAddUp { part: label, up, standing, left });
        }
        let most = if unit == SownUnit::Pinch && part.is_sown() { MOST } else { most_from(had.up + part.arrived()) };
        let unbelievable = match unit {
            SownUnit::Seed => had.gained > part.gained && !doubles,
            SownUnit::Cluster => part.is_sown() && seen.up.is_some_and(|up| up > part.sown()) && !doubles,
            SownUnit::Pinch => false,
        };
        if ever > most || unbelievable {
            let from = units.unwrap_or(part.sown() + part.arrived());
            return Err(Wrong::CountAboveSown { part: label, counted: ever, from });
        }
        if ever < left {
            return Err(Wrong::CountBelowLeft { part: label, counted: ever, left });
        }
        Ok(())
    }
}

pub(super) const fn most_from(units: u32) -> u32 {
    units.saturating_mul(SEEDLINGS_IN_A_CLUSTER)
}

impl Part {
    /// Splits a count into what the part has had; `None` when nothing was counted.
    pub(super) fn had(&self, seen: &Observed, unit: SownUnit) -> Option<Had> {
        let ever = seen.standing.map(|standing| standing.saturating_add(self.left()));
        let (sown, arrived) = (self.sown(), self.arrived());
        if !self.is_sown() {
            let ever = ever.or(seen.up)?;
            return Some(Had { up: 0, gained: ever.saturating_sub(arrived), short: arrived.saturating_sub(ever) });
        }
        let (up, gained) = match (seen.up, ever) {
            (None, None) => return None,
            _ if unit == SownUnit::Pinch => {
                let ever = ever.max(seen.up)?;
                (ever.min(sown), ever.saturating_sub(sown))
            }
            (None, Some(ever)) => {
                let up = self.units_among(ever, seen.doubles || unit == SownUnit::Cluster);
                (up, ever - up)
            }
            (Some(up), None) if up > sown => (sown, up - sown),
            (Some(up), None) => {
                let kept = self.gained.min(most_from(up) - up);
                // Clusters are no measure of the seedlings that have left.
                let left = if unit == SownUnit::Cluster { self.left().saturating_sub(up) } else { 0 };
                (up, kept.max(left))
            }
            (Some(up), Some(ever)) => (up.min(sown), ever.saturating_sub(up.min(sown))),
        };
        Some(Had { up, gained, short: 0 })
    }

    /// The units up among all plants ever had. Where several may come from one unit, units once counted stay.
    fn units_among(&self, ever: u32, several: bool) -> u32 {
        let up = if several && self.up > 0 {
            self.up.max(ever.div_ceil(SEEDLINGS_IN_A_CLUSTER))
        } else {
            self.up.max(ever.saturating_sub(self.gained))
        };
        up.min(self.sown()).min(ever)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::fact::Departure;
    use crate::journal::kinds::Cause;
    use crate::journal::state::Gone;
    use crate::quantity::{BatchId, ContainerId, EntryId, PartLetter};

    const DAY: Date = Date::MIN;

    fn part(source: Source, up: u32, gained: u32, short: u32, left: u32) -> Part {
        let lost = Gone { on: DAY, plants: left, how: Departure::Lost { cause: Cause::Mice, remark: None } };
        Part {
            batch: BatchId(EntryId(1)),
            letter: PartLetter(0),
            container: ContainerId(EntryId(2)),
            filled: DAY,
            source,
            up,
            gained,
            short,
            moved_on: 0,
            gone: vec![lost],
            counts: Vec::new(),
            stages: Vec::new(),
            ticked: None,
            emptied: Vec::new(),
            cleared: None,
            cleared_by: None,
        }
    }

    /// What a part of so many units that has (up, gained) and of which so many have left comes to by a count.
    fn by(unit: SownUnit, sown: u32, had: (u32, u32), left: u32, seen: (Option<u32>, Option<u32>, bool)) -> (u32, u32) {
        let source = Source::Sown { units: sown, per_cell: None };
        let observed = Observed { up: seen.0, standing: seen.1, gaps: None, doubles: seen.2, ticks: None };
        let had = part(source, had.0, had.1, 0, left).had(&observed, unit).unwrap();
        assert_eq!(had.short, 0);
        (had.up, had.gained)
    }

    #[test]
    fn standing_tells_of_units_first_come_and_of_gains_first_taken_back() {
        use SownUnit::{Cluster, Seed};
        let standing = |number| (None, Some(number), false);
        assert_eq!(by(Seed, 72, (0, 0), 0, standing(50)), (50, 0));
        assert_eq!(by(Seed, 72, (50, 0), 10, standing(45)), (55, 0), "45 stand and 10 have left");
        assert_eq!(by(Seed, 72, (50, 3), 0, standing(55)), (52, 3), "three doubles known, two units new");
        assert_eq!(by(Seed, 72, (50, 3), 0, standing(51)), (50, 1), "gains are taken back first");
        assert_eq!(by(Seed, 72, (50, 3), 0, standing(40)), (40, 0), "then units");
        assert_eq!(by(Seed, 72, (50, 0), 0, (None, Some(53), true)), (50, 3), "said to be doubles");
        assert_eq!(by(Seed, 72, (0, 0), 0, (None, Some(75), true)), (72, 3), "never counted before");
        assert_eq!(by(Cluster, 40, (30, 0), 0, standing(75)), (30, 45), "clusters once counted stay");
        assert_eq!(by(Cluster, 40, (30, 45), 0, standing(25)), (25, 0));
        assert_eq!(by(Cluster, 40, (2, 0), 0, standing(75)), (10, 65), "two cannot have given 75, ten can");
        assert_eq!(by(Cluster, 40, (0, 0), 0, standing(75)), (40, 35));
    }

    #[test]
    fn up_tells_of_units_and_leaves_the_gains_they_can_give() {
        use SownUnit::{Cluster, Pinch, Seed};
        let up = |number| (Some(number), None, false);
        assert_eq!(by(Seed, 72, (50, 3), 0, up(60)), (60, 3));
        assert_eq!(by(Seed, 72, (50, 3), 0, up(0)), (0, 0), "nothing up, nothing gained");
        assert_eq!(by(Seed, 72, (0, 0), 0, up(75)), (72, 3));
        assert_eq!(by(Cluster, 40, (30, 45), 75, up(28)), (28, 47), "75 have left: they were there");
        assert_eq!(by(Cluster, 40, (30, 45), 0, up(5)), (5, 35), "five clusters give 40 at most");
        assert_eq!(by(Seed, 72, (50, 0), 5, (Some(60), Some(58), true)), (60, 3), "58 stand, 5 left, 60 up");
        assert_eq!(by(Pinch, 50, (0, 0), 0, up(80)), (50, 30));
        assert_eq!(by(Pinch, 50, (50, 30), 0, up(40)), (40, 0));
        assert_eq!(by(Pinch, 50, (50, 0), 20, (None, Some(45), false)), (50, 15));
    }

    #[test]
    fn plants_that_came_are_found_short_or_gained() {
        let source = Source::Received { plants: 18 };
        let seen = |number| Observed { up: None, standing: Some(number), gaps: None, doubles: false, ticks: None };
        let had = |number| part(source, 0, 0, 2, 4).had(&seen(number), SownUnit::Seed);
        assert_eq!(had(14), Some(Had { up: 0, gained: 0, short: 0 }));
        assert_eq!(had(11), Some(Had { up: 0, gained: 0, short: 3 }));
        assert_eq!(had(16), Some(Had { up: 0, gained: 2, short: 0 }));
        let nothing = Observed { up: None, standing: None, gaps: None, doubles: true, ticks: None };
        assert_eq!(part(source, 0, 0, 0, 0).had(&nothing, SownUnit::Seed), None);
    }
}
