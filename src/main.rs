//! The `thumbpot` program.
fn main() {}
