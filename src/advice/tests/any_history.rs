//! Whatever was logged, advice answers: it does not stop, its windows are in order, and its rows add up.

use proptest::prelude::*;

use super::*;
use crate::advice::{
    Stood, assumed_layout, batch_view, due, due_in_full, fits, germination, ready, repacking, room, space,
};
use crate::journal::{Beginning, Cause, Shift, Spot};
use crate::science::packing::{Standing, Turn, inside, overlaps};

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
    let label = BatchLabel { year: 2026, number, twin: None };
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

const ON: Date = Date::MAX;

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
        let found = space(&state, &trade, ON);
        for bench in &found.benches {
            prop_assert!(bench.area.taken.0 + bench.area.free.0 >= bench.area.whole.0);
            let layout = assumed_layout(&state, &trade, ON, bench.bench);
            let told = layout.stood.len() + layout.crowded.len() + layout.unmeasured.len();
            prop_assert_eq!(told, bench.standing.len());
            let standing = layout.standings();
            for (index, one) in standing.iter().enumerate() {
                prop_assert!(standing[..index].iter().all(|other| !overlaps(one, other)));
            }
        }
        for bench in room(&state, &trade, ON) {
            let area = found.benches.iter().find(|one| one.bench == bench.bench).unwrap().area;
            prop_assert!(bench.free == area.free && bench.usable <= bench.free);
            let crowded = !assumed_layout(&state, &trade, ON, bench.bench).crowded.is_empty();
            prop_assert!(!crowded || bench.more.iter().all(|kind| kind.more.is_none_or(|more| more == 0)));
        }
        let answer = fits(&state, &trade, ON, &some_vessel(asked), u32::from(asked));
        prop_assert!(answer.fits <= answer.asked);
        prop_assert!(answer.benches.iter().all(|bench| bench.spots.len() <= usize::from(asked)));
    }

    #[test]
    fn a_repacking_can_be_done_as_it_says(
        dice in prop::collection::vec(any::<Dice>(), 1..40),
        pins in prop::collection::vec(any::<u8>(), 0..6),
    ) {
        let (mut season, trade, on) = (season_of(&dice), trade(), day("2026-12-31"));
        // Some are pinned where the plan takes them to stand.
        for bench in season.state().benches.keys().copied().collect::<Vec<_>>() {
            let stood = assumed_layout(&season.state(), &trade, on, bench).stood;
            let can = |one: &Stood| {
                crate::advice::layout::can_be_noted(&season.state(), bench, one.container, &one.standing.item)
            };
            let pinned = stood.into_iter().enumerate().filter(|(at, one)| pins.contains(&(*at as u8)) && can(one));
            for one in pinned.map(|(_, one)| one).collect::<Vec<_>>() {
                let at = one.standing.at;
                let spot = Spot { x: at.x.0, y: at.y.0, turned: at.turn == Turn::Quarter, pinned: true };
                let shift = Shift { container: one.container, to: Stand::Bench(bench), spot: Some(spot) };
                let _ = season.tries(on, &Act::Rearrange(vec![shift]));
            }
        }
        for bench in season.state().benches.keys().copied().collect::<Vec<_>>() {
            let before = season.state();
            let Ok(plan) = repacking(&before, &trade, on, bench) else { continue };
            prop_assert!(plan.usable_after >= plan.usable_before || !assumed_layout(&before, &trade, on, bench).crowded.is_empty());
            let moved: Vec<Shift> = plan
                .spots
                .iter()
                .filter(|(id, spot)| before.containers[id].spot != Some(*spot))
                .map(|(id, spot)| Shift { container: *id, to: Stand::Bench(bench), spot: Some(*spot) })
                .collect();
            let out = moved.iter().any(|shift| before.containers[&shift.container].out.is_some());
            for shift in &moved {
                let held = before.containers[&shift.container].spot;
                prop_assert!(!held.is_some_and(|spot| spot.pinned), "a pinned one was lifted");
            }
            if moved.is_empty() || out {
                continue;
            }
            prop_assert!(season.tries(on, &Act::Rearrange(moved)).is_ok());
            let layout = assumed_layout(&season.state(), &trade, on, bench);
            let said = |one: &Stood| {
                one.noted
                    || !crate::advice::layout::can_be_noted(&before, bench, one.container, &one.standing.item)
            };
            prop_assert!(layout.crowded.is_empty() && layout.stood.iter().all(said));
            let surface = crate::advice::layout::surface(&before.benches[&bench].size).unwrap();
            let standing = layout.standings();
            for (index, one) in standing.iter().enumerate() {
                prop_assert!(inside(&surface, &crate::advice::layout::as_it_stands(&surface, *one)));
                prop_assert!(standing[..index].iter().all(|other| !overlaps(one, other)));
            }
        }
    }

    #[test]
    fn room_that_is_to_be_made_is_room(dice in prop::collection::vec(any::<Dice>(), 1..40), asked in 1_u32..30) {
        let (state, trade) = (season_of(&dice).state(), trade());
        let vessel = tray();
        for made in fits(&state, &trade, ON, &vessel, asked).made {
            let surface = crate::advice::layout::surface(&state.benches[&made.bench].size).unwrap();
            let layout = assumed_layout(&state, &trade, ON, made.bench);
            prop_assert_eq!(made.spots.len(), made.count as usize);
            let moved = |stood: &Stood| {
                let to = made.lifts.iter().find(|lift| lift.container == stood.container).map(|lift| lift.to);
                Standing { at: to.unwrap_or(stood.standing.at), ..stood.standing }
            };
            let mut all: Vec<Standing> = layout.stood.iter().map(moved).collect();
            let item = crate::advice::layout::block_on(&surface, &vessel, vessel.height).unwrap();
            all.extend(made.spots.iter().map(|at| Standing { item, at: *at }));
            for (index, one) in all.iter().enumerate() {
                prop_assert!(inside(&surface, one));
                prop_assert!(all[..index].iter().all(|other| !overlaps(one, other)));
            }
        }
    }

    #[test]
    fn a_way_out_that_is_named_is_one(dice in prop::collection::vec(any::<Dice>(), 1..40), over in 1_u32..5) {
        let (mut season, trade, on) = (season_of(&dice), trade(), day("2026-12-31"));
        let vessel = tray();
        let room: u32 = fits(&season.state(), &trade, on, &vessel, 1).benches.iter().map(|bench| bench.more).sum();
        let answer = fits(&season.state(), &trade, on, &vessel, room + over);
        if let Some(away) = answer.away {
            let to = answer.benches.iter().find(|bench| format!("{}/{}", bench.place_name, bench.name) == away.to);
            let moving = vec![Moving::Whole(away.container)];
            let done = season.tries(on, &Act::Move { moving, to: Stand::Bench(to.unwrap().bench), spot: None });
            prop_assert!(done.is_ok());
            prop_assert_eq!(fits(&season.state(), &trade, on, &vessel, room + over).fits, room + over);
        } else if let Some(made) = answer.made.iter().find(|made| made.unasked) {
            // Nobody placed what is in the way: they go as it is, and all have a spot.
            let room = Room::New { vessel, count: made.count, stand: Stand::Bench(made.bench), spot: None };
            season.sows("2026-12-31", 900, "leek", 900, room);
            prop_assert_eq!(assumed_layout(&season.state(), &trade, on, made.bench).crowded, []);
        } else if let Some(made) = answer.made.into_iter().next() {
            let at = |lift: &crate::advice::Lift| {
                let (x, y, turned) = (lift.to.x.0, lift.to.y.0, lift.to.turn == Turn::Quarter);
                let spot = Some(Spot { x, y, turned, pinned: false });
                Shift { container: lift.container, to: Stand::Bench(made.bench), spot }
            };
            let shifts: Vec<Shift> = made.lifts.iter().chain(&made.kept).map(at).collect();
            let out = shifts.iter().any(|shift| season.state().containers[&shift.container].out.is_some());
            prop_assert!(season.tries(on, &Act::Rearrange(shifts)).is_ok() || out);
            prop_assert_eq!(fits(&season.state(), &trade, on, &vessel, room + over).fits, room + over);
        }
    }

    #[test]
    fn what_is_offered_can_be_stood(dice in prop::collection::vec(any::<Dice>(), 1..40)) {
        let (state, trade) = (season_of(&dice).state(), trade());
        let asked = tray();
        for bench in fits(&state, &trade, ON, &asked, 99).benches {
            let surface = crate::advice::layout::surface(&state.benches[&bench.bench].size).unwrap();
            let item = crate::advice::layout::block_on(&surface, &asked, asked.height).unwrap();
            let mut standing = assumed_layout(&state, &trade, ON, bench.bench).standings();
            for at in bench.spots {
                let one = Standing { item, at };
                prop_assert!(inside(&surface, &one));
                prop_assert!(standing.iter().all(|other| !overlaps(&one, other)));
                standing.push(one);
            }
        }
    }
}
