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
pub mod chilling;
pub mod cold_risk;
pub mod compost;
pub mod day_curve;
pub mod day_range;
pub mod degree_days;
pub mod frost_dates;
pub mod hardening;
pub mod heat;
pub mod lift;
pub mod place_climate;
pub mod quantiles;
pub mod spread;
pub mod sun;
