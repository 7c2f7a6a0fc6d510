//! Sample quantiles as spreadsheets and statistics programs give them.

/// A definition of the sample quantile, numbered as by Hyndman and Fan 1996 (The American Statistician 50: 361-365).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum QuantileType {
    /// Type 6 (Weibull): `p (n + 1)`, as climatologists plot return periods.
    Weibull,
    /// Type 7 (linear): `1 + p (n - 1)`, what spreadsheets give.
    Linear,
    /// Type 8 (median unbiased): `(n + 1/3) p + 1/3`, recommended by Hyndman and Fan.
    MedianUnbiased,
}

/// The `p` quantile of `values` in any order. Beyond the outermost values the answer is the outermost value.
///
/// `None` when there is no value, a value is not a number, `p` is not within 0 to 1, or the answer would lie between a
/// finite value and an infinite one.
#[must_use]
pub fn quantile(values: &[f64], p: f64, kind: QuantileType) -> Option<f64> {
    if values.is_empty() || values.iter().any(|value| value.is_nan()) || !(0.0..=1.0).contains(&p) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len() as f64;
    let place = match kind {
        QuantileType::Weibull => p * (n + 1.0),
        QuantileType::Linear => 1.0 + p * (n - 1.0),
        QuantileType::MedianUnbiased => (n + 1.0 / 3.0) * p + 1.0 / 3.0,
    }
    .clamp(1.0, n);
    // `place` lies within 1 and the number of values, so the cast is exact and the index in range.
    let below = place.floor() as usize;
    let (low, part) = (*sorted.get(below - 1)?, place - place.floor());
    if part == 0.0 {
        return Some(low);
    }
    let between = low + part * (*sorted.get(below)? - low);
    between.is_finite().then_some(between)
}
