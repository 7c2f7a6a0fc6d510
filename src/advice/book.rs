//! What the tables say of a crop, each figure with its source.

use crate::trade::{Crop, EmergencePoint, Fact, Said};

use super::why::Why;

/// Every figure of a crop that the program goes by, first the working one and behind it what other sources say.
#[must_use]
pub fn crop_figures(crop: &Crop) -> Why {
    let mut why = Why::new("the first figure of a row is the one used; your own in figures.toml go before all")
        .doubt("tables give ordinary kinds in ordinary conditions: varieties differ")
        .changes("your own figures, by these names");
    for fact in Fact::ALL {
        let said = crop.said(fact);
        if !said.is_empty() {
            why = why.given(fact.name(), said.iter().map(told).collect::<Vec<_>>().join("; also "));
        }
    }
    if !crop.emergence().is_empty() {
        why = why.given("emergence", crop.emergence().iter().map(point).collect::<Vec<_>>().join("; "));
        why = crop.emergence().iter().fold(why, |why, point| why.source(point.source.clone()));
    }
    if let Some(heat) = crop.heat_sum() {
        let sum = format!("{} degree-days above {}, {}", heat.degree_days, heat.base, heat.source);
        why = why.given("heat_sum", sum);
    }
    why
}

/// `10 to 14, Univ. Delaware 2024`.
fn told(said: &Said) -> String {
    let value = match (said.range, &said.word) {
        (Some((low, high)), _) if low == high => low.to_string(),
        (Some((low, high)), _) => format!("{low} to {high}"),
        (None, word) => word.as_deref().unwrap_or_default().replace('_', " "),
    };
    format!("{value}, {}", said.source)
}

/// `6 days at 20 C`, `none at 5 C`.
fn point(point: &EmergencePoint) -> String {
    match point.days {
        None => format!("none at {}", point.soil),
        Some((low, high)) if low == high => format!("{low} days at {}", point.soil),
        Some((low, high)) => format!("{low} to {high} days at {}", point.soil),
    }
}
