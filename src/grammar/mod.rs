//! The grammar: a grower's words become a request. One parser serves the shell, the lines of `run` and the quick
//! line. Pure: it knows no journal and no clock, so references stay as typed and the day is an argument.

mod refs;
mod request;

pub use refs::{ActRef, BatchRef, BenchRef, ContainerWords, PartRef, RefError, SpotRef, Thing, TopicRef};
pub use request::{
    AfterRefusal, Answer, Command, Invocation, Later, Line, Lines, LotWords, MoveOnWords, MovingWords, Report, Request,
    RoomWords, SeedWords, SowWords, Step,
};
