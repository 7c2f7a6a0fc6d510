//! What can happen and what it comes to: facts, their one order, the fold, and the acts that make them.
//!
//! Pure: no clock, no file, no table of the trade. `decide` turns an act into facts against a state; `fold` turns a
//! history of facts into a state and the contradictions in it.

mod act;
mod allot;
mod cells;
mod count;
mod decide;
mod entry;
mod fact;
mod fold;
mod kinds;
mod letter;
mod refusal;
mod shifts;
mod state;
mod tally;
mod vessel;
mod wrong;

pub use act::{Act, Moving, MovingOn, NewLot, Recount, Rest, Room, Seed, Shift, Sowing};
pub use cells::{Cell, Emptied, Ticked, Ticks, WentTo};
pub use count::SEEDLINGS_IN_A_CLUSTER;
pub use decide::decide;
pub use entry::{Entry, History};
pub use fact::{Beginning, Departure, Fact, Growth, Measured, Observed, SITTING, SeedOrigin, Source, Topic};
pub use fold::{MOST, added, admit, dependents, fold, fold_until};
pub use kinds::{Cause, Light, PlaceKind, Transfer, Treatment};
pub use refusal::Refusal;
pub use state::{Batch, Bench, Container, Count, Forecast, Gone, Lot, Note, Part, Place, Reading, State, Stay, Washed};
pub use tally::Tally;
pub use vessel::{BenchSize, ContainerSize, Spot, Stand, Vessel};
pub use wrong::{Contradiction, Wrong};
