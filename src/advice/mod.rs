//! What to do: opinions from a state, the tables of the trade and a day.
//!
//! Pure: no clock, no file, no SQL. Rows carry typed fields for the faces to set out, and every opinion carries a
//! [`Why`]. What happened is the business of `journal`, what handbooks say of `trade`, formulas of `science`.

mod batch;
mod compare;
mod due;
mod germination;
mod layout;
mod next;
mod outlook;
mod part;
mod ready;
mod space;
mod why;
mod window;

pub use batch::{BatchView, PartView, Stayed, batch_view, stays};
pub use compare::{By, Compared, Side, compared};
pub use due::{Due, Task, Urgency, due, due_in_full, due_of, last_noted};
pub use germination::{Germination, Rate, germination, germination_of};
pub use layout::{Layout, Stood, assumed_layout};
pub use next::Next;
pub use outlook::{
    Band, Count, Curve, Hold, Indices, LotUse, Model, NEWEST, Outlook, Outlooks, PastSowing, Record, SowAgain, Verdict,
    curve, outlooks,
};
pub use part::{PartAt, emerged};
pub use ready::{Readiness, Ready, Step, ready, ready_of};
pub use space::{Area, BenchSpace, Fits, FitsOnBench, PlaceSpace, Space, StandingRow, fits, space};
pub use why::{Input, Why};
pub use window::Window;

#[cfg(test)]
mod tests;
