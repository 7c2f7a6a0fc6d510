//! The order of a walk against one drawn up by hand.

use super::*;
use crate::advice::standing_order;
use crate::journal::{Shift, Spot};

impl Season {
    fn walked(&self, place: PlaceId) -> Vec<String> {
        let state = self.state();
        let parts = standing_order(&state, place);
        parts.iter().map(|id| state.part_label(&state.parts[id]).to_string()).collect()
    }

    fn puts(&mut self, part: &str, bench: BenchId, x: u32, y: u32) {
        let spot = Some(Spot { x, y, turned: false, pinned: false });
        let shift = Shift { container: self.container(part), to: Stand::Bench(bench), spot };
        self.does("2026-03-05", &Act::Rearrange(vec![shift]));
    }
}

fn room(vessel: Vessel, stand: Stand) -> Room {
    Room::New { vessel, count: 1, stand, spot: None }
}

#[test]
fn a_bench_is_walked_from_the_left_then_what_nobody_placed_the_longest_there_first() {
    let mut season = Season::default();
    let bench = season.bench("frame", PlaceKind::ColdFrame, (3000, 600), None);
    let place = season.state().benches[&bench].place;
    for (number, day) in [(1, "2026-03-04"), (2, "2026-03-01"), (3, "2026-03-02"), (4, "2026-03-03")] {
        season.sows(day, number, "leek", 20, on(bench, tray()));
    }
    assert_eq!(season.walked(place), ["2a", "3a", "4a", "1a"], "by the day they came, not by number");
    season.puts("1a", bench, 800, 0);
    season.puts("4a", bench, 0, 300);
    season.puts("3a", bench, 0, 0);
    assert_eq!(season.walked(place), ["3a", "4a", "1a", "2a"]);
}

#[test]
fn benches_follow_by_name_and_what_stands_on_none_comes_behind_them() {
    let mut season = Season::default();
    let bench = season.bench("sill", PlaceKind::Windowsill, (3000, 600), None);
    let place = season.state().benches[&bench].place;
    let size =
        BenchSize { length: Millimetres(900), width: Millimetres(600), headroom_back: None, headroom_front: None };
    let first = BenchId(season.does("2026-01-01", &Act::AddBench { place, name: name("back"), size }));
    season.sows("2026-03-01", 1, "leek", 20, room(tray(), Stand::Place(place)));
    season.sows("2026-03-02", 2, "leek", 20, on(bench, tray()));
    season.sows("2026-03-03", 3, "leek", 20, on(first, tray()));
    assert_eq!(season.walked(place), ["3a", "2a", "1a"]);
    let bare = season.place("plot", PlaceKind::Plot);
    assert!(season.walked(bare).is_empty());
}

#[test]
fn what_is_on_a_carrier_or_in_one_tray_stays_together_and_what_is_out_is_met_where_it_is() {
    let mut season = Season::default();
    let bench = season.bench("sill", PlaceKind::Windowsill, (3000, 600), None);
    let place = season.state().benches[&bench].place;
    let yard = season.place("yard", PlaceKind::StandingGround);
    let carrier = vessel("carrier", ContainerClass::Carrier, (500, 300, 60));
    let stand = Stand::Bench(bench);
    let carrier = season.does("2026-03-01", &Act::SetCarrier { vessel: carrier, called: name("crate 1"), stand });
    let carrier = Stand::Carrier(ContainerId(carrier));
    season.sows("2026-03-02", 1, "leek", 20, on(bench, tray()));
    season.sows("2026-03-03", 2, "leek", 6, room(pots(6, 70), carrier));
    season.sows("2026-03-04", 3, "leek", 6, room(pots(3, 70), carrier));
    season.sows("2026-03-05", 4, "tomato", 9, Room::Shared(season.container("1a")));
    season.sows("2026-03-06", 5, "leek", 20, on(bench, tray()));
    assert_eq!(season.walked(place), ["2a", "3a", "1a", "4a", "5a"], "the crate came first, 4a is in the tray of 1a");
    season.clears("2026-03-10", "3a", Rest::Keep);
    assert_eq!(season.walked(place), ["2a", "1a", "4a", "5a"], "what is cleared is not there");
    let containers = vec![season.container("5a"), season.container("1a")];
    season.does("2026-03-11", &Act::PutOut { containers, place: yard });
    assert_eq!((season.walked(place), season.walked(yard)), (labels(&["2a"]), labels(&["1a", "4a", "5a"])));
}

fn labels(labels: &[&str]) -> Vec<String> {
    labels.iter().map(|label| (*label).to_owned()).collect()
}
