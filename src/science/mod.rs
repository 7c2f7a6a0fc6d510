//! The sums: numbers in, numbers out. Each formula names its source; none knows an id, a crop or an entry.

pub mod beta;
pub mod chilling;
pub mod cold_risk;
pub mod compare;
pub mod compost;
pub mod counts;
pub mod day_range;
pub mod emergence;
pub mod fit;
pub mod frost_dates;
pub mod hardening;
pub mod heat;
pub mod indices;
pub mod interval;
pub mod learning;
pub mod lift;
pub mod normal;
pub mod outlook;
pub mod packing;
pub mod place_climate;
pub mod quantiles;
pub mod rate_curve;
pub mod sowing;
pub mod spread;
pub mod thermal;
