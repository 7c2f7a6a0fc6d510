//! The next container for plants that outgrow theirs.

use crate::journal::State;
use crate::quantity::{ContainerClass, Millimetres};
use crate::trade::{Container, ContainerKey, Figure, Trade};

/// How much wider than the table's widest a container may be and still serve, as a ratio. Common practice, no source.
const WIDER: f64 = 1.25;

/// What to move plants into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// The narrowest container of the table that is wide enough: of those the grower has used or owns if one will do,
    /// else of those whose size and volume are known; `None` when the table has none.
    pub container: Option<ContainerKey>,
    /// Least and most width of the cell or pot, by the crop's table.
    pub width: (Millimetres, Millimetres),
}

impl Next {
    pub(super) fn of(state: &State, trade: &Trade, width: &Figure<Millimetres>) -> Self {
        let (least, most) = (f64::from(width.low.0), f64::from(width.high.0) * WIDER);
        let wide_enough = trade.containers().filter_map(|container| Some((pitch(container)?, container)));
        let mut wide_enough: Vec<_> = wide_enough.filter(|(pitch, _)| least <= *pitch && *pitch <= most).collect();
        wide_enough.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.key().cmp(b.1.key())));
        let is_used = |key: &ContainerKey| {
            state.containers.values().any(|container| container.vessel.name.as_str() == key.as_str())
                || state.owned.iter().any(|(name, owned)| *owned > 0 && name.as_str() == key.as_str())
        };
        let used = wide_enough.iter().find(|(_, container)| is_used(container.key()));
        // A row without a volume is a size in name only.
        let known = || wide_enough.iter().find(|(_, container)| container.root_volume().is_some());
        let best = used.or_else(known).or(wide_enough.first());
        Self { container: best.map(|(_, container)| container.key().clone()), width: (width.low, width.high) }
    }
}

/// Width that one plant has to itself, in millimetres: a pot's, or the side of a cell tray's ground divided by its
/// cells (which takes the webs between cells for cell, so a cell is a little narrower).
fn pitch(container: &Container) -> Option<f64> {
    let (length, width) = container.footprint()?;
    match container.class {
        ContainerClass::Pot => Some(f64::from(width.0)),
        ContainerClass::CellTray => Some((length.by(width).0 as f64 / f64::from(container.cells?)).sqrt()),
        ContainerClass::Tray | ContainerClass::Carrier | ContainerClass::Paper => None,
    }
}
