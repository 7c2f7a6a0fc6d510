//! What would have to be lifted: repacking for the most usable ground, and making room for newcomers.
//!
//! What is pinned neither moves nor turns, and the rest moves only in the plan: the caller decides whether to follow.

use super::fit::{Fit, all_fit};
use super::shape::{Item, MOST_ITEMS, PackingError, Placed, Standing, Surface, inside, overlaps};
use super::yard::{Way, Yard, ways};
use crate::quantity::SquareMillimetres;

/// Whether a footprint may be lifted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// It stays where it stands and as it is turned.
    Pinned,
    /// It may be lifted and turned.
    Loose,
}

/// Something that stands on the surface, or is to be stood on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Occupant {
    /// Its footprint.
    pub item: Item,
    /// Where it stands; `None` for a newcomer.
    pub at: Option<Placed>,
    /// Whether it may be lifted.
    pub hold: Hold,
}

/// A new arrangement, beside the old one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Where each occupant would stand, in the order given.
    pub positions: Vec<Placed>,
    /// The indices of those that stand elsewhere or otherwise turned than before; newcomers are not lifted.
    pub lifted: Vec<usize>,
    /// Free ground that the kinds asked about could use before, see [`free_usable_area`](super::free_usable_area).
    pub usable_before: SquareMillimetres,
    /// The same after.
    pub usable_after: SquareMillimetres,
}

impl Plan {
    /// How much more usable ground there is after than before: nothing when newcomers take more than is freed.
    #[must_use]
    pub fn freed(&self) -> SquareMillimetres {
        self.usable_after.less(self.usable_before)
    }
}

/// A repacking that makes room for more of `kinds`: of the arrangements found after which more of some kind go and
/// fewer of none, the one that lifts the fewest of those that gain at least nine tenths of the most. A surface that
/// cannot be bettered so comes back with nothing lifted. Where something stands amiss or on no spot, the arrangement
/// found with the most usable ground. `None` when none was found with everything on the surface, which proves nothing.
///
/// # Errors
/// More than [`MOST_ITEMS`] occupants, or pins that overlap, stand off the surface or stand nowhere.
pub fn repack(surface: &Surface, occupants: &[Occupant], kinds: &[Item]) -> Result<Option<Plan>, PackingError> {
    check(surface, occupants)?;
    let yard = Yard::new(surface, occupants, kinds);
    let filled = ways(occupants.len()).filter_map(|way| yard.fill(yard.kept(way), way));
    if let Some(spots) = yard.as_it_stands() {
        return Ok(Some(yard.plan(&yard.better(yard.judge(spots), filled))));
    }
    let mut found: Vec<_> = filled.collect();
    if found.is_empty() {
        found.extend(from_nothing(surface, occupants)?.map(|placed| yard.judge(yard.spots(&placed))));
    }
    Ok(yard.best(found).map(|judged| yard.plan(&judged)))
}

/// An arrangement that takes no account of where things stand, for when nothing is pinned.
fn from_nothing(surface: &Surface, occupants: &[Occupant]) -> Result<Option<Vec<Placed>>, PackingError> {
    if occupants.iter().any(|occupant| occupant.hold == Hold::Pinned) {
        return Ok(None);
    }
    let items: Vec<Item> = occupants.iter().map(|occupant| occupant.item).collect();
    Ok(match all_fit(surface, &items)? {
        Fit::Yes(placed) => Some(placed),
        Fit::NotFound(_) | Fit::No => None,
    })
}

/// The most newcomers for whom others are lifted one at a time; for more everything is packed again.
const SQUEEZED: usize = 12;

/// The arrangement found that seats every newcomer and lifts few of those standing; the pinned stay. The plan's
/// positions are the occupants' and then the newcomers'. `None` when no arrangement was found, which proves nothing.
///
/// # Errors
/// As [`repack`].
pub fn make_room(
    surface: &Surface,
    occupants: &[Occupant],
    newcomers: &[Item],
    kinds: &[Item],
) -> Result<Option<Plan>, PackingError> {
    let coming = newcomers.iter().map(|item| Occupant { item: *item, at: None, hold: Hold::Loose });
    let everyone: Vec<Occupant> = occupants.iter().copied().chain(coming).collect();
    check(surface, &everyone)?;
    let yard = Yard::new(surface, &everyone, kinds);
    if yard.overfull() {
        return Ok(None);
    }
    let Some(standing) = yard.standing_apart() else { return repack(surface, &everyone, kinds) };
    let around = ways(everyone.len()).filter(Way::keeps_nothing).find_map(|way| yard.fill(standing.clone(), way));
    if let Some(judged) = around {
        return Ok(Some(yard.plan(&judged)));
    }
    let mut spots = standing;
    let few = newcomers.len() <= SQUEEZED;
    match (few && yard.squeeze_in(&mut spots)).then(|| spots.into_iter().collect()).flatten() {
        Some(spots) => Ok(Some(yard.plan(&yard.judge(spots)))),
        None => repack(surface, &everyone, kinds),
    }
}

fn check(surface: &Surface, occupants: &[Occupant]) -> Result<(), PackingError> {
    if occupants.len() > MOST_ITEMS {
        return Err(PackingError::TooMany(occupants.len()));
    }
    let mut pins: Vec<(usize, Standing)> = Vec::new();
    for (index, occupant) in occupants.iter().enumerate().filter(|(_, occupant)| occupant.hold == Hold::Pinned) {
        let at = occupant.at.ok_or(PackingError::PinNowhere(index))?;
        let pin = Standing { item: occupant.item, at };
        if !inside(surface, &pin) {
            return Err(PackingError::PinOff(index));
        }
        if let Some((other, _)) = pins.iter().find(|(_, other)| overlaps(other, &pin)) {
            return Err(PackingError::PinsOverlap(*other, index));
        }
        pins.push((index, pin));
    }
    Ok(())
}
