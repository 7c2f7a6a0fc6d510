//! What a journal must survive. The README beside this file says what is promised, how it is tested and how often.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops on the first surprise, and says what it counted"
)]

mod apart;
mod derived;
mod disk;
mod faults;
mod flat;
mod opening;
mod power;
mod processes;
mod replaced;
mod salvage;
mod season;
mod stored;
mod upgrades;
#[path = "../years/mod.rs"]
mod years;

/// How hard to try: `short` always, `long` when the variable THUMBPOT_LONG is set.
fn times(short: u64, long: u64) -> u64 {
    if std::env::var_os("THUMBPOT_LONG").is_some() { long } else { short }
}
