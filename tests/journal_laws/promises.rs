//! What an accepted act promises: just what was asked has changed by the end of its day, and nothing else.

use thumbpot::journal::{Act, Part, Recount, Rest, State};
use thumbpot::quantity::{BatchId, PartId, SownUnit};

pub(crate) fn assert_kept(act: &Act, before: &State, after: &State) {
    let stood = |part: &PartId| before.parts[part].standing();
    let stands = |part: &PartId| after.parts[part].standing();
    let batch_of = |part: &PartId| Some(before.parts[part].batch);
    let touched: Option<BatchId> = match act {
        Act::Count { part, observed } => {
            let counted = &after.parts[part];
            if let Some(ticks) = &observed.ticks {
                assert!((ticks.plants()..=8 * ticks.cells().len()).contains(&counted.standing()), "{counted:?}");
                let unit = State::unit(&after.batches[&counted.batch]);
                if !counted.is_sown() || unit != SownUnit::Cluster {
                    assert_eq!(counted.standing(), ticks.plants());
                }
                let fits = ticks.cells().len()..=ticks.plants() + counted.left();
                assert!(!counted.is_sown() || unit != SownUnit::Seed || fits.contains(&counted.up), "{counted:?}");
                return assert_beside(act, before, after, batch_of(part));
            }
            match (observed.up, observed.standing, observed.gaps) {
                (_, Some(standing), None) => assert_eq!(counted.standing(), standing),
                (Some(up), None, None) if !counted.is_sown() => assert_eq!(counted.standing(), up),
                (Some(up), None, None) if State::unit(&after.batches[&counted.batch]) == SownUnit::Pinch => {
                    assert_eq!(counted.ever(), up);
                }
                (Some(up), None, None) => assert_eq!(counted.up, up.min(counted.sown())),
                _ => {}
            }
            batch_of(part)
        }
        Act::Lose { part, plants, .. }
        | Act::Thin { part, plants }
        | Act::Discard { part, plants }
        | Act::GiveAway { part, plants } => {
            assert_eq!(stands(part) + plants, stood(part));
            assert_eq!(
                (after.parts[part].up, after.parts[part].ever()),
                (before.parts[part].up, before.parts[part].ever())
            );
            batch_of(part)
        }
        Act::PlantOut { part, plants, recount, .. } => {
            let had = if *recount == Recount::Yes { stood(part).max(*plants) } else { stood(part) };
            assert_eq!(stands(part) + plants, had);
            batch_of(part)
        }
        Act::MoveOn(moving) => {
            let asked = moving.recount == Recount::Yes || moving.doubles;
            let had = if asked { stood(&moving.part).max(moving.plants) } else { stood(&moving.part) };
            let kept = if moving.rest == Rest::Keep { had - moving.plants } else { 0 };
            assert_eq!(stands(&moving.part), kept);
            let arrived: u32 = after
                .parts
                .iter()
                .filter(|(id, _)| !before.parts.contains_key(id))
                .map(|(_, part)| part.arrived())
                .sum();
            assert_eq!(arrived, moving.plants);
            // Moving on by itself changes no balance.
            if had == stood(&moving.part) && kept == had - moving.plants { None } else { batch_of(&moving.part) }
        }
        Act::Wash { name, count } => {
            let (last, earlier) = after.washed.split_last().map_or((None, &[][..]), |(last, rest)| (Some(last), rest));
            assert_eq!(last.map(|last| (&last.name, last.count)), Some((name, *count)));
            assert_eq!(earlier, before.washed.as_slice());
            None
        }
        Act::Clear { parts, .. } => {
            assert!(parts.iter().all(|part| !after.parts[part].is_live() && stands(part) == 0));
            parts.first().and_then(batch_of)
        }
        Act::FreePots { part, pots, .. } => {
            let pots_of = |state: &State| -> u32 {
                let held = state.containers.iter().filter(|(id, _)| state.is_occupied(**id));
                held.map(|(_, held)| held.vessel.pots.max(1)).sum()
            };
            assert_eq!(pots_of(after), pots_of(before) - pots, "so many pots are in use no longer");
            assert!(!after.parts[part].is_live() && stands(part) == 0);
            // By itself it changes no balance.
            None
        }
        Act::FromCells { cells, taking } => {
            let Some((id, part)) =
                after.parts.iter().find(|(id, part)| Some(part.standing()) != before.parts.get(id).map(Part::standing))
            else {
                return;
            };
            let held = before.parts[id].ticked.as_ref().and_then(|ticked| ticked.now.clone());
            let now = part.ticked.as_ref().and_then(|ticked| ticked.now.clone());
            assert!(held.is_some() == now.is_some(), "cells were named, so the ticks stay those of the present");
            if let (Some(held), Some(now)) = (held, now) {
                let kept = held.cells().without(cells);
                let thinned = matches!(**taking, Act::Thin { .. }) && held.doubled().without(cells) == *now.doubled();
                assert!(*now.cells() == kept || thinned && now.cells() == held.cells());
            }
            return assert_kept(taking, before, after);
        }
        _ => None,
    };
    assert_beside(act, before, after, touched);
}

/// No other batch has changed.
fn assert_beside(act: &Act, before: &State, after: &State, touched: Option<BatchId>) {
    for (id, batch) in before.batches.iter().filter(|(id, _)| Some(**id) != touched) {
        assert_eq!(before.tally(batch), after.tally(&after.batches[id]), "{act:?} touches another batch");
    }
}
