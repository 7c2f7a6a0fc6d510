//! The view of one batch.

use super::*;
use crate::advice::{batch_view, stays};
use crate::journal::{Cause, Source, Tally, Topic};
use crate::quantity::Remark;

#[test]
fn a_batch_tells_its_whole_history() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (5000, 600), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (5000, 600), None);
    season.sows("2026-03-01", 1, "lettuce", 72, on(sill, tray()));
    season.counts("2026-03-08", "1a", 60);
    season.counts("2026-03-12", "1a", 54);
    let part = season.part("1a");
    season.does("2026-03-12", &Act::Lose { part, plants: 4, cause: Cause::Slugs, remark: None });
    season.notes("2026-03-14", "1a", Growth { leaves: Some(1), ..SEEN });
    season.moves_on("2026-03-15", "1a", 40, on(frame, cells(40, 60)));
    let topic = Topic::Batch(season.batch(1));
    season.does("2026-03-16", &Act::Note { topic, remark: Remark::new("the last of the old compost").unwrap() });
    let state = season.state();
    let view =
        batch_view(&state, &trade(), &foreseen(&state, day("2026-03-20")), season.batch(1), day("2026-03-20")).unwrap();
    let expected = Tally { sown: 72, not_up: 18, standing: 50, lost: 4, ..Tally::default() };
    assert_eq!((view.tally, view.live, view.begun), (expected, true, day("2026-03-01")));
    assert_eq!(view.germination.unwrap().up, 54);
    assert_eq!(view.notes.len(), 1);
    let [first, second] = &view.parts[..] else { panic!("two parts") };
    assert_eq!((first.part.standing, first.moved_on, second.part.standing), (10, 40, 40));
    assert_eq!(first.curve, [(day("2026-03-08"), 54), (day("2026-03-12"), 54)]);
    assert_eq!((first.counts[0].up, first.gone[0].plants, first.stages.len()), (60, 4, 1));
    assert!(matches!(second.source, Source::From { plants: 40, .. }));
    assert_eq!(second.from.map(|label| label.to_string()), Some("1a".to_owned()));
    // Ten stay behind, to be pricked out from the first leaf on; forty go out 4 to 6 weeks from sowing.
    assert_eq!(view.next, Some(season.part("1a")));
    assert_eq!(view.due.iter().map(|row| row.parts[0].label.to_string()).collect::<Vec<_>>(), ["1a"]);
    assert_eq!(
        batch_view(&state, &trade(), &foreseen(&state, day("2026-03-20")), BatchId(EntryId(999)), day("2026-03-20")),
        None
    );
}

#[test]
fn while_on_a_carrier_a_part_is_where_the_carrier_is() {
    let mut season = Season::default();
    let sill = season.bench("sill", PlaceKind::Windowsill, (2000, 600), None);
    let frame = season.bench("frame", PlaceKind::ColdFrame, (2000, 600), None);
    let yard = season.place("yard", PlaceKind::StandingGround);
    let vessel = vessel("carrier", ContainerClass::Carrier, (500, 300, 60));
    let called = name("crate 1");
    let carrier = Act::SetCarrier { vessel, called, stand: Stand::Bench(sill) };
    let carrier = ContainerId(season.does("2026-03-01", &carrier));
    season.sows("2026-03-03", 1, "leek", 6, on(sill, pots(6, 90)));
    season.moves("2026-03-05", "1a", Stand::Carrier(carrier));
    let to_frame = Act::Move { moving: vec![Moving::Whole(carrier)], to: Stand::Bench(frame), spot: None };
    season.does("2026-03-10", &to_frame);
    season.does("2026-03-12", &Act::PutOut { containers: vec![carrier], place: yard });
    season.does("2026-03-12", &Act::BringIn { containers: vec![carrier] });
    season.moves("2026-03-20", "1a", Stand::Bench(sill));
    let found = stays(&season.state(), season.container("1a"));
    let lines: Vec<String> = found.iter().map(|stay| format!("{} {}", stay.from, stay.at)).collect();
    assert_eq!(
        lines,
        [
            "2026-03-03 sill/bench",
            "2026-03-05 sill/bench on crate 1",
            "2026-03-10 frame/bench on crate 1",
            "2026-03-12 yard for the day on crate 1",
            "2026-03-12 frame/bench on crate 1",
            "2026-03-20 sill/bench",
        ]
    );
    assert_eq!((found[3].place, found[3].bench), (Some(yard), None));
}
