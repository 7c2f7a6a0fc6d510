//! The sums: numbers in, numbers out. Each formula names its source; none knows an id, a crop or an entry.

pub mod beta;
pub mod compare;
pub mod counts;
pub mod emergence;
pub mod fit;
pub mod indices;
pub mod interval;
pub mod learning;
pub mod normal;
pub mod outlook;
pub mod sowing;
pub mod thermal;
