//! The sums: numbers in, numbers out. Each formula names its source; none knows an id, a crop or an entry.
pub mod packing;
