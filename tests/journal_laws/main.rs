//! The fold proved right: an afternoon's cases against hand-counted numbers, and the laws against random histories.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise, in its helpers too")]

mod afternoon;
mod laws;
mod log;
mod machine;
mod promises;
mod ticking;
