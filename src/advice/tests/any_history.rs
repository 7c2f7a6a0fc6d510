//! Whatever was logged, advice answers: it does not stop, its windows are in order, and its rows add up.

use proptest::prelude::*;

use super::*;
use crate::advice::{assumed_layout, batch_view, due, due_in_full, fits, germination, ready, space};
use crate::journal::{Beginning, Cause};
use crate::science::packing::{Standing, inside, overlaps};

/// One random act: its kind, three numbers that choose what it is about, and a day of the year.
type Dice = (u8, u8, u8, u8, u16);

const CROPS: [&str; 7] = ["tomato", "leek", "carrot", "beetroot", "kale", "celery", "unknown"];

fn pick<T: Copy>(all: impl Iterator<Item = T>, dice: u8) -> Option<T> {
    let all: Vec<T> = all.collect();
    all.get(usize::from(dice) % all.len().max(1)).copied()
}

fn some_vessel(dice: u8) -> Vessel {
    match dice % 6 {
        0 => tray(),
        1 => cells(72, 59),
        2 => pots(1 + u32::from(dice % 20), 90),
        3 => vessel("paper", ContainerClass::Paper, (170, 120, 50)),
        4 => Vessel { length: None, width: None, height: None, ..tray() },
        _ => cells(104, 3),
    }
}

fn act(season: &Season, number: u32, (kind, a, b, c, _): Dice) -> Option<Act> {
    let state = season.state();
    let bench = pick(state.benches.keys().copied(), a)?;
    let stand = match b % 4 {
        0 => Stand::Place(pick(state.places.keys().copied(), a)?),
        1 => pick(state.containers.keys().copied(), a).map_or(Stand::Bench(bench), Stand::Carrier),
        _ => Stand::Bench(bench),
    };
    let room = Room::New { vessel: some_vessel(c), count: 1 + u32::from(a % 3), stand, spot: None };
    let plants = u32::from(b) + 1;
    let label = BatchLabel { year: 2026, number };
    if kind % 12 == 0 {
        let unit = SownUnit::ALL[usize::from(a) % 3];
        let seed = seed(CROPS[usize::from(b) % CROPS.len()]);
        let (treatment, depth, per_cell) = (Treatment::None, None, None);
        return Some(Act::Sow(Sowing { label, seed, unit, units: plants, per_cell, treatment, depth, room }));
    }
    let part = pick(state.parts.keys().copied(), a)?;
    let container = pick(state.containers.keys().copied(), a)?;
    Some(match kind % 12 {
        1 => Act::Receive { label, seed: seed("kale"), plants, room },
        2 | 3 => Act::Count { part, observed: Observed { up: Some(u32::from(b)), ..NOTHING } },
        4 => Act::Count { part, observed: Observed { standing: Some(u32::from(b)), doubles: true, ..NOTHING } },
        5 => {
            let height = Some(Millimetres(u32::from(c) * 4));
            let growth = Growth { leaves: Some(u32::from(b % 4)), height, leggy: false, roots: c % 2 == 0 };
            Act::Stage { part, growth }
        }
        6 | 7 => {
            let (recount, rest) = (Recount::Yes, if c % 3 == 0 { Rest::Discard } else { Rest::Keep });
            Act::MoveOn(MovingOn { part, plants, room, per_cell: None, recount, doubles: false, rest })
        }
        8 => Act::Move { moving: vec![Moving::Whole(container)], to: stand, spot: None },
        9 => Act::Move { moving: vec![Moving::Some { part, plants }], to: stand, spot: None },
        10 => Act::Lose { part, plants, cause: Cause::Slugs, remark: None },
        _ if b % 3 == 0 => {
            let vessel = vessel("carrier", ContainerClass::Carrier, (380, 240, 60));
            Act::SetCarrier { vessel, called: name("crate"), stand: Stand::Bench(bench) }
        }
        _ if b % 3 == 1 => Act::PutOut { containers: vec![container], place: pick(state.places.keys().copied(), c)? },
        _ => Act::Clear { parts: vec![part], rest: Rest::Discard },
    })
}

fn season_of(dice: &[Dice]) -> Season {
    let mut season = Season::default();
    season.bench("sill", PlaceKind::Windowsill, (1200, 300), None);
    season.bench("heat", PlaceKind::Propagator, (600, 400), Some((200, 200)));
    season.bench("frame", PlaceKind::ColdFrame, (1200, 600), Some((400, 250)));
    season.place("plot", PlaceKind::Plot);
    for (number, throw) in dice.iter().enumerate() {
        let on = day("2026-01-01") + chrono::Days::new(u64::from(throw.4 % 365));
        if let Some(act) = act(&season, u32::try_from(number).unwrap() + 1, *throw) {
            let _ = season.tries(on, &act);
        }
    }
    season
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn advice_answers_on_any_history(dice in prop::collection::vec(any::<Dice>(), 1..40), asked in any::<u8>()) {
        let (season, trade) = (season_of(&dice), trade());
        let state = season.state();
        for on in ["2025-06-01", "2026-02-01", "2026-04-15", "2026-08-01", "2027-12-31", "9999-12-31"].map(day) {
            for row in ready(&state, &trade, on) {
                prop_assert!(row.window.earliest <= row.window.best && row.window.best <= row.window.latest);
                prop_assert!(row.part.standing > 0 && !row.why.formula.is_empty() && !row.why.sources.is_empty());
            }
            let foreseen = foreseen(&state, on);
            for row in germination(&state, &foreseen, on) {
                prop_assert_eq!(row.up + row.not_up, row.sown);
                if let Some(rate) = row.rate {
                    prop_assert!(0.0 <= rate.low.0 && rate.low.0 <= rate.rate.0);
                    prop_assert!(rate.rate.0 <= rate.high.0 && rate.high.0 <= 1.0);
                }
            }
            let rows = due_in_full(&state, &trade, &foreseen, on);
            prop_assert!(rows.is_sorted_by_key(|row| row.urgency));
            prop_assert!(rows.iter().all(|row| !row.parts.is_empty() && !row.reason.is_empty()));
            prop_assert!(due(&state, &trade, &foreseen, on).len() <= rows.len());
            for (id, batch) in &state.batches {
                let view = batch_view(&state, &trade, &foreseen, *id, on).unwrap();
                prop_assert_eq!(view.germination.is_some(), matches!(batch.beginning, Beginning::Sown { .. }));
            }
        }
        let found = space(&state);
        for bench in &found.benches {
            prop_assert!(bench.area.taken.0 + bench.area.free.0 >= bench.area.whole.0);
            let layout = assumed_layout(&state, bench.bench);
            let told = layout.stood.len() + layout.crowded.len() + layout.unmeasured.len();
            prop_assert_eq!(told, bench.standing.len());
            let standing = layout.standings();
            for (index, one) in standing.iter().enumerate() {
                prop_assert!(standing[..index].iter().all(|other| !overlaps(one, other)));
            }
        }
        let answer = fits(&state, &some_vessel(asked), u32::from(asked));
        prop_assert!(answer.fits <= answer.asked);
        prop_assert!(answer.benches.iter().all(|bench| bench.spots.len() <= usize::from(asked)));
    }

    #[test]
    fn what_is_offered_can_be_stood(dice in prop::collection::vec(any::<Dice>(), 1..40)) {
        let state = season_of(&dice).state();
        let asked = tray();
        for bench in fits(&state, &asked, 99).benches {
            let surface = crate::advice::layout::surface(&state.benches[&bench.bench].size).unwrap();
            let item = crate::advice::layout::block_on(&surface, &asked, asked.height).unwrap();
            let mut standing = assumed_layout(&state, bench.bench).standings();
            for at in bench.spots {
                let one = Standing { item, at };
                prop_assert!(inside(&surface, &one));
                prop_assert!(standing.iter().all(|other| !overlaps(&one, other)));
                standing.push(one);
            }
        }
    }
}
