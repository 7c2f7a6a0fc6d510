//! The next container for plants that outgrow theirs.

use std::collections::BTreeSet;

use crate::journal::State;
use crate::quantity::{ContainerClass, Millimetres};
use crate::trade::{Container, ContainerKey, Figure, Trade};

/// How much wider than the table's widest a container may be and still serve, as a ratio. Common practice, no source.
const WIDER: f64 = 1.25;

/// What to move plants into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// The narrowest container of the table that is wide enough: of those the grower has used if one will do, else
    /// of those whose size and volume are known; `None` when the table has none.
    pub container: Option<ContainerKey>,
    /// Least and most width of the cell or pot, by the crop's table.
    pub width: (Millimetres, Millimetres),
}

impl Next {
    pub(super) fn of(state: &State, trade: &Trade, width: &Figure<Millimetres>) -> Self {
        let used: BTreeSet<&str> = state.containers.values().map(|container| container.vessel.name.as_str()).collect();
        let (least, most) = (f64::from(width.low.0), f64::from(width.high.0) * WIDER);
        let wide_enough = trade.containers().filter_map(|container| Some((pitch(container)?, container)));
        let wide_enough = wide_enough.filter(|(pitch, _)| least <= *pitch && *pitch <= most);
        let ranked = wide_enough.map(|(pitch, container)| {
            let used = used.contains(container.key().as_str());
            // A row without a volume is a size in name only.
            (!used, container.root_volume().is_none(), pitch, container.key())
        });
        let best = ranked.min_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)).then(a.3.cmp(b.3)));
        Self { container: best.map(|(.., key)| key.clone()), width: (width.low, width.high) }
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
