//! Two containers, or all of two benches, change over.

use crate::advice::{CannotStand, assumed_layout, bench_label, bench_of, label_of, may_stand};
use crate::grammar::SwapRef;
use crate::journal::{Act, Container, Moving, Shift, Spot, Stand, State, Vessel};
use crate::quantity::{BenchId, ContainerId};

use super::error::DeskError;
use super::resolve::Resolver;

enum Side {
    One(ContainerId),
    All(BenchId),
}

impl Resolver<'_> {
    pub(super) fn swap(&mut self, one: &SwapRef, other: &SwapRef) -> Result<Act, DeskError> {
        let shifts = match (self.side(one)?, self.side(other)?) {
            (Side::One(a), Side::One(b)) => self.swapped(a, b)?,
            (Side::All(a), Side::All(b)) => {
                if a == b {
                    return Err(DeskError::Nothing("it is the same bench"));
                }
                self.changed_over(a, b)
            }
            _ => return Err(DeskError::Nothing("two containers change over, or two benches: not one with the other")),
        };
        for shift in &shifts {
            self.check_all_go(&[Moving::Whole(shift.container)], shift.to)?;
        }
        if shifts.is_empty() { Err(DeskError::Nothing("nothing stands on either")) } else { Ok(Act::Rearrange(shifts)) }
    }

    /// All of each bench on the other, where its spot goes there at that spot, pinned or not as it was; at none where
    /// something would have no spot then.
    fn changed_over(&mut self, a: BenchId, b: BenchId) -> Vec<Shift> {
        let over = |from, to| self.all_on(from).into_iter().map(move |id| (id, to));
        let all: Vec<(ContainerId, BenchId)> = over(a, b).chain(over(b, a)).collect();
        let had = |id| self.standing.containers.get(&id).and_then(|held| held.spot);
        let mut bare = self.standing.clone();
        for (id, to) in &all {
            if let Some(held) = bare.containers.get_mut(id) {
                (held.stand, held.spot, held.placed_by) = (Stand::Bench(*to), None, None);
            }
        }
        let mut there = bare.clone();
        for (id, to) in &all {
            let spot = had(*id).filter(|spot| may_stand(&there, self.trade, self.on, *id, *to, *spot).is_ok());
            if let Some(held) = there.containers.get_mut(id) {
                held.spot = spot;
            }
        }
        let without = |state: &State, bench| assumed_layout(state, self.trade, self.on, bench).crowded.len();
        let keeps = [a, b].map(|bench| (bench, without(&there, bench) <= without(&bare, bench)));
        let spot = |id, to| {
            let is_kept = keeps.iter().any(|(bench, keeps)| *bench == to && *keeps);
            there.containers.get(&id).and_then(|held| held.spot).filter(|_| is_kept)
        };
        let shift = |(id, to)| Shift { container: id, to: Stand::Bench(to), spot: spot(id, to) };
        let shifts: Vec<Shift> = all.into_iter().map(shift).collect();
        self.say_lost_spots(&shifts);
        shifts
    }

    /// Who was placed or pinned and is not any more.
    fn say_lost_spots(&mut self, shifts: &[Shift]) {
        let lost = |pinned: bool| -> Vec<String> {
            let had =
                |id| self.standing.containers.get(&id).and_then(|held| held.spot).is_some_and(|it| it.pinned == pinned);
            let lost = shifts.iter().filter(|shift| shift.spot.is_none() && had(shift.container));
            lost.map(|shift| label_of(self.standing, shift.container)).collect()
        };
        let said = [(true, "no longer pinned, for it stands elsewhere"), (false, "no spot is noted for it any more")];
        let said = said.map(|(pinned, words)| (words, lost(pinned)));
        let said = said.into_iter().filter(|(_, lost)| !lost.is_empty());
        let said: Vec<String> = said.map(|(words, lost)| format!("{words}: {}", lost.join(", "))).collect();
        self.notices.extend(said);
    }

    fn side(&self, side: &SwapRef) -> Result<Side, DeskError> {
        Ok(match side {
            SwapRef::Part(part) => Side::One(self.container_of(part)?),
            SwapRef::Spot(spot) => match self.stand(spot)? {
                Stand::Carrier(carrier) => Side::One(carrier),
                _ => Side::All(self.bench_at(spot)?),
            },
        })
    }

    /// Each in the other's stead, at its corner where it goes there, and then pinned or not as it was. On one bench what
    /// else is there stays where it is drawn.
    fn swapped(&mut self, a: ContainerId, b: ContainerId) -> Result<Vec<Shift>, DeskError> {
        if a == b {
            return Err(DeskError::Nothing("they stand in the same container"));
        }
        let held = |id: ContainerId| {
            self.state.containers.get(&id).ok_or(DeskError::Nothing("one of them was not there yet that day"))
        };
        let (one, other) = (held(a)?, held(b)?);
        if one.stand == Stand::Carrier(b) || other.stand == Stand::Carrier(a) {
            return Err(DeskError::Nothing("one of them stands on the other"));
        }
        if let Some(bench) = bench_of(self.state, a).filter(|bench| bench_of(self.state, b) == Some(*bench)) {
            return self.swapped_on(bench, a, b);
        }
        if one.stand == other.stand {
            return Err(DeskError::Nothing("they stand together on what has no spots: nothing would change"));
        }
        let ground = |vessel: &Vessel| (vessel.length, vessel.width, vessel.pots);
        let same = ground(&one.vessel) == ground(&other.vessel);
        // Each is off its bench before the other comes.
        let mut there = self.standing.clone();
        for (id, to) in [(a, other.stand), (b, one.stand)] {
            if let Some(held) = there.containers.get_mut(&id) {
                (held.stand, held.spot) = (to, None);
            }
        }
        // What goes there only in other rows than a spot would have is left unplaced.
        let stands = |id, to: Stand, spot: &Spot| {
            let Stand::Bench(bench) = to else { return true };
            let said = may_stand(&there, self.trade, self.on, id, bench, *spot);
            said.is_ok() || same && !matches!(said, Err(CannotStand::OtherRows { .. }))
        };
        let shift = |(id, held): (ContainerId, &Container), for_other: &Container| {
            let (pinned, own) = held.spot.map_or((false, false), |spot| (spot.pinned, spot.turned));
            let ways = |spot: Spot| {
                if same { [spot.turned; 2] } else { [own, !own] }.map(|it| Spot { turned: it, pinned, ..spot })
            };
            let spot =
                for_other.spot.and_then(|spot| ways(spot).into_iter().find(|spot| stands(id, for_other.stand, spot)));
            Shift { container: id, to: for_other.stand, spot }
        };
        let shifts = vec![shift((a, one), other), shift((b, other), one)];
        self.say_lost_spots(&shifts);
        Ok(shifts)
    }

    /// Why something that stands on a bench has no spot there.
    fn no_spot(&self, id: ContainerId, bench: BenchId) -> CannotStand {
        match self.state.containers.get(&id).map(|held| &held.vessel) {
            Some(vessel) if vessel.length.is_none() => CannotStand::Unmeasured(vessel.name.clone()),
            _ => CannotStand::NoSpot { what: label_of(self.state, id), bench: bench_label(self.state, bench) },
        }
    }

    fn swapped_on(&self, bench: BenchId, a: ContainerId, b: ContainerId) -> Result<Vec<Shift>, DeskError> {
        let is_out = |id: ContainerId| self.state.containers.get(&id).is_some_and(|held| held.out.is_some());
        if let Some(out) = [a, b].into_iter().find(|id| is_out(*id)) {
            return Err(CannotStand::Out(label_of(self.state, out)).into());
        }
        let stood = |id| self.stands_at(id, bench).ok_or_else(|| self.no_spot(id, bench));
        let (from_a, from_b) = (stood(a)?, stood(b)?);
        // At the other's corner: alike, turned as the other stood; else as it is itself, or else the other way.
        let ground = |id: ContainerId| {
            self.state.containers.get(&id).map(|held| (held.vessel.length, held.vessel.width, held.vessel.pots))
        };
        let own = (from_a.turned, from_b.turned);
        let ways = if ground(a) == ground(b) { [(own.1, own.0), own] } else { [own, (own.1, own.0)] };
        let spot_of = |what: &String| label_of(self.state, if *what == label_of(self.state, a) { b } else { a });
        let mut refused = None;
        for (turned_a, turned_b) in ways {
            let spot_a = Spot { turned: turned_a, pinned: from_a.pinned, ..from_b };
            let spot_b = Spot { turned: turned_b, pinned: from_b.pinned, ..from_a };
            let mut shifts = vec![
                Shift { container: a, to: Stand::Bench(bench), spot: Some(spot_a) },
                Shift { container: b, to: Stand::Bench(bench), spot: Some(spot_b) },
            ];
            shifts.extend(self.as_drawn(bench, a)?.into_iter().filter(|shift| shift.container != b));
            let mut there = self.standing.clone();
            for shift in &shifts {
                if let Some(held) = there.containers.get_mut(&shift.container) {
                    held.spot = shift.spot;
                }
            }
            let stand = |id, spot| may_stand(&there, self.trade, self.on, id, bench, spot);
            match stand(a, spot_a).and_then(|_| stand(b, spot_b)) {
                Ok(_) => return Ok(shifts),
                Err(CannotStand::Overlaps { what, other, .. }) => {
                    let spot_of = spot_of(&what);
                    refused = refused.or(Some(CannotStand::Larger { what, spot_of, other }));
                }
                Err(CannotStand::Off { what, bench, .. }) => {
                    let spot_of = spot_of(&what);
                    refused = refused.or(Some(CannotStand::LargerOff { what, spot_of, bench }));
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        Err(refused.map_or(DeskError::Nothing("one of them does not go where the other stands"), DeskError::from))
    }
}
