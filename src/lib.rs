//! thumbpot: raise several hundred young plants from seed on benches that are always too small.
//!
//! The rooms of the house, arrows pointing down only: the faces (`tui`, `cli`) over `grammar` and `desk`; `desk`
//! over `advice`, `store` and `exchange`; those over `journal`, `trade` and `science`, which know nothing of each
//! other; all over `quantity`.

pub mod advice;
pub mod cli;
pub mod desk;
pub mod exchange;
pub mod grammar;
pub mod journal;
pub mod quantity;
pub mod science;
pub mod store;
pub mod trade;
pub mod tui;
