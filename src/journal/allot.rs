//! Room for plants: sharing them out among the containers they go into.

use crate::quantity::{ContainerClass, ContainerId};

use super::act::Room;
use super::decide::Draft;
use super::fact::Fact;
use super::refusal::Refusal;
use super::vessel::Vessel;
use super::wrong::Wrong;

const MOST_CONTAINERS: u32 = 500;
/// The most units or plants that go to one cell or pot.
pub(super) const MOST_PER_CELL: u32 = 1_000;

/// A share of the plants and the container it goes into.
pub(super) struct Allotted {
    pub(super) container: ContainerId,
    pub(super) plants: u32,
}

impl Draft<'_> {
    /// The container a room is in, or the kind of container it is to be.
    pub(super) fn vessel<'a>(&'a self, room: &'a Room) -> Result<&'a Vessel, Refusal> {
        match room {
            Room::New { vessel, .. } => Ok(vessel),
            Room::Shared(container) => match self.state.containers.get(container) {
                Some(held) => Ok(&held.vessel),
                None => Err(Refusal::Impossible(Wrong::NoSuchContainer)),
            },
        }
    }

    /// Shares plants out among the containers of a room, and says how many go to each cell.
    pub(super) fn allot(
        &mut self,
        room: &Room,
        plants: u32,
        per_cell: Option<u32>,
    ) -> Result<(Vec<Allotted>, Option<u32>), Refusal> {
        if per_cell.is_some_and(|each| !(1..=MOST_PER_CELL).contains(&each)) {
            return Err(Refusal::PerCell(per_cell.unwrap_or(0)));
        }
        if plants == 0 {
            return Err(Refusal::Impossible(Wrong::Nothing));
        }
        let vessel = self.vessel(room)?.clone();
        if vessel.class == ContainerClass::Carrier {
            return Err(wrong_vessel(&vessel, "it carries pots; name the pots, and the carrier with --at"));
        }
        match room {
            Room::Shared(container) => {
                let (_, per_cell) = share_out(&vessel, 1, plants, per_cell)?;
                Ok((vec![Allotted { container: *container, plants }], per_cell))
            }
            Room::New { count, stand, spot, .. } => {
                if *count == 0 || *count > MOST_CONTAINERS {
                    return Err(Refusal::TooMany(*count));
                }
                let (shares, per_cell) = share_out(&vessel, *count, plants, per_cell)?;
                let allotted = shares
                    .into_iter()
                    .map(|plants| {
                        let fact = Fact::Stood { vessel: vessel.clone(), stand: *stand, spot: *spot, called: None };
                        Allotted { container: ContainerId(self.push(fact)), plants }
                    })
                    .collect();
                Ok((allotted, per_cell))
            }
        }
    }
}

pub(super) fn wrong_vessel(vessel: &Vessel, why: &'static str) -> Refusal {
    Refusal::WrongVessel { name: vessel.name.to_string(), class: vessel.class.word(), why }
}

/// Shares units out among like containers: cells are filled from the first tray on, shared compost evenly. Containers
/// that would get nothing are left out, unless an even share gives each something.
fn share_out(
    vessel: &Vessel,
    count: u32,
    plants: u32,
    per_cell: Option<u32>,
) -> Result<(Vec<u32>, Option<u32>), Refusal> {
    let evenly = || {
        let (each, over) = (plants / count, plants % count);
        (0..count).map(|index| each + u32::from(index < over)).filter(|share| *share > 0).collect::<Vec<_>>()
    };
    let Some(cells) = vessel.to_fill() else { return Ok((evenly(), None)) };
    let all_cells = cells.saturating_mul(count);
    let each = per_cell.unwrap_or_else(|| plants.div_ceil(all_cells));
    if each > MOST_PER_CELL || plants > all_cells.saturating_mul(each) {
        let containers = if count == 1 { vessel.name.to_string() } else { format!("{count} of {}", vessel.name) };
        return Err(Refusal::NoRoom { plants, containers, cells: all_cells, per_cell: each });
    }
    let full = cells.saturating_mul(each);
    let by_filling: Vec<u32> =
        (0..count).map(|index| plants.saturating_sub(full.saturating_mul(index)).min(full)).collect();
    let shares = if by_filling.contains(&0) { evenly() } else { by_filling };
    Ok((shares, Some(each)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::Name;

    fn vessel(class: ContainerClass, cells: Option<u32>, pots: u32) -> Vessel {
        let name = Name::new("vessel").unwrap();
        Vessel { name, class, length: None, width: None, height: None, cells, volume: None, pots }
    }

    #[test]
    fn cells_are_filled_in_order_and_compost_evenly() {
        let cell_tray = vessel(ContainerClass::CellTray, Some(72), 1);
        let tray = vessel(ContainerClass::Tray, None, 1);
        let pots = vessel(ContainerClass::Pot, None, 12);
        let shares = |vessel, count, plants, per_cell| share_out(vessel, count, plants, per_cell);
        assert_eq!(shares(&cell_tray, 2, 100, None), Ok((vec![72, 28], Some(1))));
        assert_eq!(shares(&cell_tray, 2, 60, None), Ok((vec![30, 30], Some(1))), "no tray stays empty");
        assert_eq!(
            shares(&cell_tray, 2, 200, None),
            Ok((vec![144, 56], Some(2))),
            "two to a cell when one will not do"
        );
        assert_eq!(shares(&cell_tray, 2, 100, Some(3)), Ok((vec![50, 50], Some(3))));
        assert_eq!(shares(&tray, 3, 10, None), Ok((vec![4, 3, 3], None)));
        assert_eq!(shares(&tray, 3, 2, None), Ok((vec![1, 1], None)), "a tray that would get nothing is left out");
        assert_eq!(shares(&pots, 1, 12, Some(1)), Ok((vec![12], Some(1))));
        let words = shares(&pots, 2, 25, Some(1)).unwrap_err().to_string();
        assert_eq!(words, "25 do not go into 2 of vessel: 24 cells at 1 each");
        assert!(shares(&pots, 1, 12_001, None).is_err(), "a thousand to a pot is the most");
    }

    proptest! {
        #[test]
        fn shares_add_up_and_fit(
            class in prop::sample::select(ContainerClass::ALL),
            cells in prop::option::of(0_u32..200),
            pots in 0_u32..50,
            count in 1..=MOST_CONTAINERS,
            plants in 1_u32..200_000,
            per_cell in prop::option::of(1..=MOST_PER_CELL),
        ) {
            let vessel = vessel(class, cells, pots);
            if let Ok((shares, each)) = share_out(&vessel, count, plants, per_cell) {
                prop_assert_eq!(shares.iter().sum::<u32>(), plants);
                prop_assert!(shares.len() <= count as usize && !shares.contains(&0));
                if let (Some(cells), Some(each)) = (vessel.to_fill(), each) {
                    prop_assert!(shares.iter().all(|share| *share <= cells * each));
                    prop_assert_eq!(each, per_cell.unwrap_or(each));
                }
            }
        }
    }
}
