//! The next container for plants that outgrow theirs.

use crate::quantity::Millimetres;
use crate::trade::ContainerKey;

/// What to move plants into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// A container of the table that is wide enough: one the grower has used, else the smallest; `None` when the
    /// table has none.
    pub container: Option<ContainerKey>,
    /// Least and most width of the cell or pot, by the crop's table.
    pub width: (Millimetres, Millimetres),
}
