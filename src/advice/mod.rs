//! What to do: opinions from a state, the tables of the trade and a day.
//!
//! Pure: no clock, no file, no SQL. Rows carry typed fields for the faces to set out, and every opinion carries a
//! [`Why`]. What happened is the business of `journal`, what handbooks say of `trade`, formulas of `science`.

mod batch;
mod book;
mod carrier;
mod climate;
mod cold;
mod compare;
mod due;
mod exposure;
mod fits;
mod germination;
mod height;
mod in_hand;
mod layout;
mod moves;
mod next;
mod outlook;
mod part;
mod plan;
mod preview;
mod ready;
mod room;
mod room_for;
mod sharing;
mod space;
mod stand;
mod unheard;
mod usual_climate;
mod vessel;
mod walk;
mod washing;
mod why;
mod why_bench;
mod window;

pub use batch::{BatchView, PartView, Stayed, batch_view, stays, ticks_told};
pub use book::crop_figures;
pub use carrier::beyond_carrier;
pub use climate::{Basis, Climate, Climates, Cover, Extremes, Learnt, Night};
pub use cold::{
    Airing, Cold, Dusk, DuskMove, FLOOR, Floor, GoingOut, Group, HardeningRow, Known, LEAF_NOTE, Ladder, LastFrosts,
    LearntLift, LiftOf, NightAhead, NightWord, NightsAhead, PlaceDay, PlaceNight, PlaceTonight, PlaceView, PlantedOut,
    Risk, SlowCold, SlowKind, StandsThere, ToFrame, TooHot, Uncover, Verdict as ColdVerdict, WATCHED_DAYS, at_home,
    cold, costs, harmed_tonight, in_the_ground, odds, place_views, sown_too_cold, tonight_after, too_early,
};
pub use compare::{By, Compared, Side, compared};
pub use due::{Due, Task, Urgency, due, due_in_full, due_of, in_short, last_noted};
pub use exposure::{Hardened, StoodDay, days_stood, hardened};
pub use fits::{Fits, FitsOnBench, MovedAway, fits, measuring};
pub use germination::{Germination, Rate, germination, germination_of};
pub use height::Tall;
pub use in_hand::{BEYOND, InHand, InHandRow, Need, Short, in_hand};
pub use layout::{Layout, Stood, assumed_layout, without_spot};
pub use moves::{CannotRepack, Lift, Repacking, RoomMade, repacking};
pub use next::Next;
pub use outlook::{
    Band, Count, Curve, Held, Hold, Indices, LotUse, Model, NEWEST, Outlook, Outlooks, PastSowing, Record, SowAgain,
    Verdict, course, curve, days_to_learn_from, outlooks, so_far, to_come,
};
pub use part::{PartAt, emerged};
pub use plan::{Amiss, BenchPlan, FreeSpot, HighSide, Reach, Shape, bench_plan, set_amiss};
pub use preview::{Goes, MovePreview, MoveSide, SideRoom, move_preview, out_beyond};
pub use ready::{Readiness, Ready, Step, ready, ready_of};
pub use room::{BenchRoom, More, Unsure, bench_room, in_trays, in_use, room, usual_tray};
pub use room_for::{RoomFor, room_for};
pub use sharing::{Sharing, batch_of, rows_in_order, sharers, sharing, sharing_before};
pub use space::{Area, BenchSpace, PlaceSpace, Space, StandingRow, Suits, height_matters, space};
pub use stand::{
    CannotStand, bench_label, bench_of, goes_in, goes_on, holds_no_tray, holds_nothing, holds_something, label_of,
    may_stand, typed_for,
};
pub use vessel::vessel_of;
pub use walk::standing_order;
pub use washing::{emptied_since, to_wash};
pub use why::{Input, Why};
pub use why_bench::why_bench;
pub use window::Window;

// Where things stand, as the answers about space have it.
pub use crate::science::packing::{Placed, Turn};

#[cfg(test)]
mod tests;
