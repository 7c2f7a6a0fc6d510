//! The journal as a store: merging, upgrading, and what past years leave behind.

#[path = "../command_line/mod.rs"]
mod command_line;

mod merge;
mod past_sowings;
mod upgrades;
