//! Which earlier sowings are learnt from: the newest of the crop that are in no container any more.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;
use thumbpot::quantity::{BatchLabel, CropName, DeviceId};
use thumbpot::store::{Durability, Journal, Scope};

/// The labels of the sowings learnt from, in their order.
fn learnt_from(home: &Home, crop: &str, most: u32) -> Vec<String> {
    let device = DeviceId(uuid::Uuid::from_u128(0x5555_5555_5555_4555_8555_5555_5555_5555));
    let journal = Journal::open(&home.journal(), device, Durability::Unsynced).unwrap();
    let label = |label: BatchLabel| label.to_string();
    journal
        .read(|books| {
            let past = books.past_sowings(&CropName::new(crop).unwrap(), most)?;
            let history = books.history(Scope::Around(&past, &[]))?;
            let (state, _) = thumbpot::journal::fold(&history);
            Ok::<_, thumbpot::store::StoreError>(past.iter().map(|id| label(state.batches[id].label)).collect())
        })
        .unwrap()
}

#[test]
fn the_newest_that_are_over_of_the_one_crop() {
    let home = Home::with_benches();
    home.script(
        "lot add tomato Copper --packed 2023
         lot add leek Winter --packed 2023
         sow tomato Copper --seeds 20 --in seed-tray --at sill/long --on 2024-03-05
         sow tomato Copper --seeds 20 --in seed-tray --at sill/long --on 2024-03-01
         sow leek Winter --seeds 20 --in seed-tray --at sill/long --on 2024-03-02
         sow tomato Copper --seeds 20 --in seed-tray --at sill/long --on 2024-03-09
         sow tomato Copper --seeds 20 --in seed-tray --at sill/long --on 2024-03-12
         receive tomato Bought --plants 6 --in 9cm-potx6 --at sill/long --on 2024-03-20
         count 2024/1 9 --on 2024-03-20
         clear 2024/1a 2024/2a 2024/3a 2024/5a 2024/6a --rest discard --on 2024-05-01",
    );
    // By the day they were sown, not by number; leeks, what still stands and plants bought in are left out.
    assert_eq!(learnt_from(&home, "tomato", 40), ["2024/5", "2024/1", "2024/2"]);
    assert_eq!(learnt_from(&home, "tomato", 2), ["2024/5", "2024/1"]);
    assert_eq!(learnt_from(&home, "leek", 40), ["2024/3"]);
    assert!(learnt_from(&home, "kale", 40).is_empty());
    home.does("undo --on 2024-05-02");
    assert!(learnt_from(&home, "tomato", 40).is_empty(), "what was cleared in error stands again");
}

/// Sown on one day on two machines: which comes first is the same wherever they are merged, and in whatever order.
#[test]
fn two_journals_that_met_learn_from_the_same_in_the_same_order() {
    let (one, other) = (Home::with_benches(), Home::empty());
    let carry = |from: &Home, to: &Home, name: &str| from.does(&format!("backup {}", to.file(name).display()));
    carry(&one, &other, "start.db");
    other.does("restore start.db --yes");
    for (home, lot) in [(&one, "Copper"), (&other, "Lantern"), (&one, "Ash"), (&other, "Dusk")] {
        home.script(&format!(
            "lot add tomato {lot} --packed 2023 --on 2024-02-01
             sow tomato {lot} --seeds 20 --in seed-tray --at sill/long --on 2024-03-05"
        ));
    }
    for home in [&one, &other] {
        home.script("count 1 9 --on 2024-03-20\nclear 1a 2a --rest discard --on 2024-05-01");
    }
    carry(&one, &other, "theirs.db");
    carry(&other, &one, "theirs.db");
    one.does("merge theirs.db");
    other.does("merge theirs.db");
    let seen = |home: &Home| {
        let device = DeviceId(uuid::Uuid::from_u128(0x5555_5555_5555_4555_8555_5555_5555_5555));
        let journal = Journal::open(&home.journal(), device, Durability::Unsynced).unwrap();
        let read = |books: &thumbpot::store::Books<'_>| {
            let crop = CropName::new("tomato").unwrap();
            let mut varieties = Vec::new();
            for most in 1..=4 {
                let past = books.past_sowings(&crop, most)?;
                let (state, _) = thumbpot::journal::fold(&books.history(Scope::Around(&past, &[]))?);
                varieties.push(past.iter().map(|id| state.lots[&state.batches[id].lot].variety.to_string()).collect());
                varieties.push(books.newest_lots(&crop, most)?.iter().map(|lot| lot.lot.variety.to_string()).collect());
            }
            varieties.push(books.lots(None)?.iter().map(|lot| lot.lot.variety.to_string()).collect::<Vec<_>>());
            Ok::<_, thumbpot::store::StoreError>(varieties)
        };
        journal.read(read).unwrap()
    };
    assert_eq!(seen(&one), seen(&other));
    assert_eq!(seen(&one)[6], ["Dusk", "Ash", "Lantern", "Copper"]);
}
