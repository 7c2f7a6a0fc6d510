//! Why a bench has the room it has: the figures of every container on it, with their days and sources.

use std::collections::BTreeMap;

use crate::journal::State;
use crate::quantity::ContainerId;
use crate::trade::Source;

use super::space::{BenchSpace, StandingRow};
use super::why::Why;

/// How the free ground of a bench was come by. The container asked about stands first, with how tall it will be.
/// `sources` says who measured the kinds of container that the tables have, by name.
#[must_use]
pub fn why_bench(
    state: &State,
    sources: &BTreeMap<String, Source>,
    bench: &BenchSpace,
    asked: Option<ContainerId>,
) -> Why {
    let size = &bench.size;
    let mut why = Why::new(
        "free = length x width of the bench, less length x width of each container whose home it is, also while it is \
         out for the day",
    )
    .given("the bench, as you said", format!("{} x {} = {}", size.length.0, size.width, bench.area.whole));
    let (first, others): (Vec<&StandingRow>, Vec<&StandingRow>) =
        bench.standing.iter().partition(|row| Some(row.container) == asked);
    for row in first.into_iter().chain(others) {
        let since = state.containers.get(&row.container).and_then(|held| held.stays.last()).map(|stay| stay.from);
        why = match since {
            Some(since) => why.seen("stands there", ground(row), since),
            None => why.given("stands there", ground(row)),
        };
        if Some(row.container) == asked {
            why = tall(why, row);
        }
        if let Some(source) = sources.get(row.vessel.as_str()) {
            why = why.source(source.clone());
        }
    }
    why.given("taken together", bench.area.taken)
        .given("free", bench.area.free)
        .doubt("free ground in scraps holds no tray: ask what still fits; where more stands than goes, nothing is free")
        .changes("moving, clearing or measuring containers, and measuring the bench")
}

/// `3a half-tray: 380 x 240 mm = 0.09 m2`.
fn ground(row: &StandingRow) -> String {
    let labels: Vec<String> = row.parts.iter().map(ToString::to_string).collect();
    let vessel = match (&row.called, row.pots) {
        (Some(called), _) => format!("{called}, {}", row.vessel),
        (None, 2..) => format!("{} {}", row.pots, row.vessel),
        (None, _) => row.vessel.to_string(),
    };
    let head = format!("{} {vessel}", labels.join(" "));
    let said = match (row.block, row.footprint) {
        (Some((length, width)), Some(ground)) => format!("{} x {width} = {ground}", length.0),
        (None, Some(ground)) => format!("{ground}, and no spot is left for it"),
        (_, None) => "never measured, so not counted".to_owned(),
    };
    format!("{}: {said}", head.trim_start())
}

fn tall(why: Why, row: &StandingRow) -> Why {
    let why = match row.height {
        Some(height) => why.given("its height now", height),
        None => why,
    };
    match row.ahead {
        Some(ahead) if ahead.guessed => {
            why.given("its height in a week", format!("about {}, by its age and the tables", ahead.height))
        }
        Some(ahead) => why.given("its height in a week", ahead.height),
        None => why,
    }
}
