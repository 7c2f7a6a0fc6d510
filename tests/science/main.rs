//! The sums against published figures and against other programs' arithmetic: one file for each source or subject.
//!
//! The figures lie in `tests/data`; each row names where it comes from and how near the answer must be.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test may stop at the first surprise, in what it is built from too"
)]

#[path = "../noaa_series/mod.rs"]
mod noaa_series;

mod absurd_input;
mod cold_alarms;
mod container_dimensions;
mod degree_days_baskerville_emin_1969;
mod dice;
mod emergence_fits;
mod frost_dates_noaa;
mod germination_indices;
mod germination_outlook;
mod harrington_minges_1954;
mod how_many_to_sow;
mod incomplete_beta_mpmath;
mod legal_minimum_7cfr_201_31;
mod posterior_scipy;
mod spring_nights_simulated;
mod thermal_time;
mod two_proportions;
mod wilson_newcombe_1998;

use serde_json::Value;

/// The rows of one file of figures.
fn rows(json: &str) -> Vec<Value> {
    serde_json::from_str(json).unwrap()
}

/// A number; the files write an undefined or an infinite one as text.
fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| value.as_str().unwrap().parse().unwrap())
}

/// A count.
fn count(value: &Value) -> u32 {
    u32::try_from(value.as_u64().unwrap()).unwrap()
}

/// All the numbers of a list.
fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

/// Fails unless `got` is as near to `wanted` as the row asks: absolutely, or relative to the larger of the two.
fn assert_near(row: &Value, what: &str, got: f64, wanted: f64) {
    let tolerance = &row["tolerance"];
    let allowed = number(&tolerance["abs"]).max(number(&tolerance["rel"]) * got.abs().max(wanted.abs()));
    assert!(
        (got - wanted).abs() <= allowed,
        "{} {what}: got {got:e}, wanted {wanted:e} within {allowed:e} ({})",
        row["id"],
        row["source"]
    );
}
