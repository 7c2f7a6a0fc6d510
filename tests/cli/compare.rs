//! `compare CROP`: which lots, treatments and years did better, in plain words and in figures.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

/// Two lots of tomato sown side by side, one of them twice; all cleared by June.
fn compared() -> Home {
    let home = Home::with_benches();
    home.script(
        "lot add tomato Fresh --packed 2023
         lot add tomato Stale --packed 2016
         sow tomato Fresh --seeds 36 --in seed-tray --at sill/long --on 2024-03-01
         sow tomato Fresh --seeds 36 --in seed-tray --at sill/long --on 2024-03-02
         sow tomato Stale --seeds 72 --in seed-tray --at sill/long --on 2024-03-01
         count 2024/1 27 --on 2024-03-14
         count 2024/2 27 --on 2024-03-14
         count 2024/3 31 --on 2024-03-14
         clear 2024/1a 2024/2a 2024/3a --rest discard --on 2024-05-20",
    );
    home
}

#[test]
fn a_real_difference_is_said_and_its_test_stands_behind_it() {
    let home = compared();
    let out = home.does("compare tomato --by lots --on 2024-06-01");
    assert!(out.contains("54 of 72 against 31 of 72: a real difference"), "{out}");
    assert!(out.contains("Fresh 2023 (2 sowings)") && out.contains("Stale 2016"), "{out}");
    let row = &home.json("compare tomato --by lots --on 2024-06-01")["rows"][0];
    assert_eq!((&row["crop"], &row["by"]), (&"tomato".into(), &"lots".into()));
    assert_eq!((&row["first"]["up"], &row["second"]["sown"]), (&54.into(), &72.into()));
    // 23 of 72 apart. Fisher's exact test, two-sided: the hypergeometric chances of all tables no likelier than this one,
    // summed from whole binomials.
    assert!((row["difference"].as_f64().unwrap() - 23.0 / 72.0).abs() < 1e-9, "{row}");
    assert!((row["p_value"].as_f64().unwrap() - 1.693_100_462e-4).abs() < 1e-12, "{row}");
    let why = home.does("why compare tomato --on 2024-06-01");
    assert!(why.contains("Fisher 1935") && why.contains("Newcombe 1998"), "{why}");
}

#[test]
fn all_three_ways_are_shown_and_nothing_is_said_where_there_is_nothing() {
    let home = compared();
    let all = home.json("compare tomato --on 2024-06-01");
    let by: Vec<_> = all["rows"].as_array().unwrap().iter().map(|row| row["by"].as_str().unwrap()).collect();
    assert_eq!(by, ["lots"], "one year, and nothing was done to any seed");
    let out = home.does("compare tomato --by years --on 2024-06-01");
    assert_eq!(
        out.trim_end(),
        "no two years of tomato have sowings that had their time: there is nothing to compare yet"
    );
    assert_eq!(home.refuses("compare tomatoe --on 2024-06-01"), "no crop 'tomatoe': did you mean tomato?");
    assert!(home.refuses("compare tomato --by moons").contains("lots, treatments nor years"));
}
