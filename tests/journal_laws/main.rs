//! The fold proved right: an afternoon's cases against hand-counted numbers, and the laws against random histories.

mod afternoon;
mod laws;
mod log;
mod machine;
