//! Containers as the grower has them: the table's row, with what the grower measured over it.

use crate::journal::{State, Vessel};
use crate::quantity::{ContainerClass, Name};
use crate::trade::Container;

/// A container of the table, ready to be stood: `pots` of it as one set where it is a pot. What the grower measured
/// goes before the table's size. `None` when its name cannot be kept in the log.
#[must_use]
pub fn vessel_of(state: &State, row: &Container, pots: u32) -> Option<Vessel> {
    let name = Name::new(row.key().as_str()).ok()?;
    let measured = state.measured.get(&name);
    Some(Vessel {
        class: row.class,
        length: measured.map(|size| size.length).or(row.length),
        width: measured.map(|size| size.width).or(row.width),
        height: measured.and_then(|size| size.height).or(row.height),
        cells: row.cells,
        volume: row.root_volume(),
        pots: if row.class == ContainerClass::Pot { pots.max(1) } else { 1 },
        name,
    })
}
