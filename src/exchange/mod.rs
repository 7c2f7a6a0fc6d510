//! What goes out to and comes in from other programs.

pub mod svg;
