//! What earlier springs teach: their counts under the temperatures that were read then, however long ago.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

/// Three trays of tomato that came up on the same days of 2024, in compost read at so many degrees; cleared, and two
/// years on another is sown and not yet counted.
fn after_a_spring_at(compost: u32) -> Home {
    let home = Home::with_benches();
    let mut lines = String::from("lot add tomato Copper --packed 2023 --on 2024-01-01\n");
    for tray in 1..=3 {
        lines += &format!(
            "sow tomato Copper --seeds 40 --in seed-tray --at sill/long --on 2024-03-0{tray}
             count 2024/{tray} 0 --on 2024-03-11
             count 2024/{tray} 20 --on 2024-03-15
             count 2024/{tray} 36 --on 2024-03-19
             clear 2024/{tray}a --rest discard --on 2024-04-20\n"
        );
    }
    for day in 1..=19 {
        lines += &format!("reading sill --compost {compost} --on 2024-03-{day:02}\n");
    }
    lines += "sow tomato Copper --seeds 40 --in seed-tray --at sill/long --on 2026-03-01\n";
    for day in 1..=12 {
        lines += &format!("reading sill --compost 18 --on 2026-03-{day:02}\n");
    }
    home.script(&lines);
    home
}

#[test]
fn the_same_counts_teach_otherwise_in_the_warm_than_in_the_cold() {
    let by_now = |home: &Home, on: &str| {
        let rows = home.json(&format!("germination --on {on}"));
        rows["rows"][0]["expected_by_now"].as_f64().unwrap()
    };
    let [cold, warm] = [14, 22].map(after_a_spring_at);
    // Twelve days to half in the cold are few degree-days, so at 18 C more should be up by now.
    let (of_cold, of_warm) = (by_now(&cold, "2026-03-12"), by_now(&warm, "2026-03-12"));
    assert!(of_warm < 0.6 * of_cold, "{of_warm} after a warm spring, {of_cold} after a cold one");
    // One batch is judged by the same temperatures and the same record as all together.
    let why = warm.does("why germination 2026/1 --on 2026-03-12");
    let why = why.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(why.contains("that of 3 sowings of this crop") && why.contains("over 11 days: 11 read"), "{why}");
}
