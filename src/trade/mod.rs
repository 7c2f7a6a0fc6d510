//! Figures of the trade with their sources: crops, containers, limits.
