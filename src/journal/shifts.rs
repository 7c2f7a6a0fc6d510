//! Containers on the move: what they stand on, out for the day and home again, carriers put away.

use crate::quantity::{ActId, ContainerClass, ContainerId, Date, PlaceId};

use super::state::{State, Stay};
use super::vessel::{Spot, Stand};
use super::wrong::Wrong;

impl State {
    pub(super) fn check_stand(&self, stand: Stand, is_carrier: bool) -> Result<(), Wrong> {
        match stand {
            Stand::Bench(bench) if !self.benches.contains_key(&bench) => Err(Wrong::NoSuchPlace),
            Stand::Place(place) => self.place(place),
            Stand::Bench(_) => Ok(()),
            Stand::Carrier(carrier) => {
                let carrier = self.containers.get(&carrier).ok_or(Wrong::NoSuchContainer)?;
                if is_carrier || carrier.vessel.class != ContainerClass::Carrier {
                    return Err(Wrong::NotACarrier);
                }
                if carrier.put_away.is_some() {
                    return Err(Wrong::NoSuchContainer);
                }
                Ok(())
            }
        }
    }

    pub(super) fn go_out(&mut self, (on, by): (Date, ActId), id: ContainerId, place: PlaceId) -> Result<(), Wrong> {
        self.place(place)?;
        let container = self.container_mut(id)?;
        if container.out.is_some() {
            return Err(Wrong::AlreadyOut);
        }
        container.out = Some(place);
        container.stays.push(Stay { from: on, by, stand: container.stand, out: Some(place) });
        Ok(())
    }

    pub(super) fn come_in(&mut self, (on, by): (Date, ActId), id: ContainerId) -> Result<(), Wrong> {
        let container = self.container_mut(id)?;
        if container.out.take().is_none() {
            return Err(Wrong::NotOut);
        }
        container.stays.push(Stay { from: on, by, stand: container.stand, out: None });
        Ok(())
    }

    pub(super) fn put_away(&mut self, on: Date, id: ContainerId) -> Result<(), Wrong> {
        let carrier = self.containers.get(&id).ok_or(Wrong::NoSuchContainer)?;
        if carrier.vessel.class != ContainerClass::Carrier {
            return Err(Wrong::NotACarrier);
        }
        if carrier.put_away.is_some() || self.carried_by(id).any(|(held, _)| self.is_occupied(held)) {
            return Err(Wrong::NotFree);
        }
        self.container_mut(id)?.put_away = Some(on);
        Ok(())
    }

    pub(super) fn shift(
        &mut self,
        (on, by): (Date, ActId),
        id: ContainerId,
        stand: Stand,
        spot: Option<Spot>,
    ) -> Result<(), Wrong> {
        let is_carrier =
            self.containers.get(&id).ok_or(Wrong::NoSuchContainer)?.vessel.class == ContainerClass::Carrier;
        self.check_stand(stand, is_carrier)?;
        let container = self.container_mut(id)?;
        // Set down elsewhere on its bench a set of pots keeps its rows.
        let kept = container.placed_by.filter(|_| container.stand == stand);
        container.placed_by = spot.map(|_| kept.map_or(by, |first| first.min(by)));
        container.stand = stand;
        container.spot = spot;
        // A container moved while out has a new home and is there.
        container.out = None;
        container.stays.push(Stay { from: on, by, stand, out: None });
        Ok(())
    }
}
