//! What an accepted act promises: just what was asked has changed by the end of its day, and nothing else.

use thumbpot::journal::{Act, Recount, Rest, State};
use thumbpot::quantity::{BatchId, PartId, SownUnit};

pub(crate) fn assert_kept(act: &Act, before: &State, after: &State) {
    let stood = |part: &PartId| before.parts[part].standing();
    let stands = |part: &PartId| after.parts[part].standing();
    let batch_of = |part: &PartId| Some(before.parts[part].batch);
    let touched: Option<BatchId> = match act {
        Act::Count { part, observed } => {
            let counted = &after.parts[part];
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
        _ => None,
    };
    for (id, batch) in before.batches.iter().filter(|(id, _)| Some(**id) != touched) {
        assert_eq!(before.tally(batch), after.tally(&after.batches[id]), "{act:?} touches another batch");
    }
}
