//! The full screen: a model, messages that change it, a view that draws it, and the terminal under it.
//!
//! Knows no SQL and no formula. The environment and the settings reach it as values. `update` is pure; effects run in
//! the loop of `app` against the desk and answer with messages.

pub mod actions;
pub mod app;
pub mod draft;
pub mod form;
pub mod glyphs;
pub mod keys;
pub mod line;
pub mod message;
pub mod model;
mod palette;
pub mod plain;
pub mod plan;
pub mod round;
pub mod rows;
pub mod settings;
pub mod terminal;
pub mod text;
pub mod theme;
pub mod tonight;
pub mod tray;
pub mod update;
pub mod view;
