//! The full screen: how it takes the terminal and gives it back, how text is measured, how things look.
//!
//! Knows no SQL and no formula. The environment and the settings reach it as values.

pub mod glyphs;
pub mod terminal;
pub mod text;
pub mod theme;
