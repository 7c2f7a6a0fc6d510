//! Slow or dead, as it is read by whoever types: the word, what to do, what is due for it, and how it was come by.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;
use serde_json::Value;

/// A windowsill, a cold frame and a propagator kept at 20 C, with room for anything.
fn home() -> Home {
    let home = Home::with_benches();
    home.script(
        "place add mat --kind propagator --heated-to 20C --on 2024-01-01
         bench add mat/long --size 6000x2000mm --on 2024-01-01
         place add yard --kind 'standing ground' --on 2024-01-01
         bench add yard/slabs --size 6000x2000mm --on 2024-01-01
         lot add tomato Copper --packed 2024 --stated 90% --seeds 2000 --on 2024-01-01",
    );
    home
}

/// What `germination` says of a batch of 2024.
fn row(home: &Home, number: u32, on: &str) -> Value {
    let all = home.json(&format!("germination --on {on}"));
    let label = format!("2024/{number}");
    all["rows"].as_array().unwrap().iter().find(|row| row["batch"] == *label).unwrap().clone()
}

fn word(home: &Home, number: u32, on: &str) -> String {
    row(home, number, on)["verdict"].as_str().unwrap().to_owned()
}

fn action(home: &Home, number: u32, on: &str) -> String {
    row(home, number, on)["action"].as_str().unwrap().to_owned()
}

/// The lines of `due` that ask for one thing.
fn due(home: &Home, what: &str, on: &str) -> Vec<Value> {
    let all = home.json(&format!("due --on {on}"));
    all["rows"].as_array().unwrap().iter().filter(|row| row["what"] == *what).cloned().collect()
}

/// A printed answer on one line.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn seed_that_stands_too_cold_is_to_be_moved_and_is_said_once() {
    let home = home();
    home.script(
        "place add box --kind fridge --on 2024-01-01
         bench add box/door --size 600x400mm --on 2024-01-01
         sow basil Green --seeds 80 --in seed-trayx2 --at frame/left --on 2024-03-01
         sow parsnip White --seeds 20 --in seed-tray --at box/door --on 2024-03-01
         count 1a 0 --on 2024-03-12
         count 1b 0 --on 2024-03-12",
    );
    let rows = due(&home, "to warmth", "2024-03-05");
    assert_eq!(rows.len(), 1, "both trays in one line, and nothing of what is chilled on purpose: {rows:?}");
    assert_eq!((&rows[0]["urgency"], rows[0]["parts"].as_array().unwrap().len()), (&"today".into(), 2));
    let reason = rows[0]["reason"].as_str().unwrap();
    assert!(reason.starts_with("too cold here: basil waits for 15.0 C"), "{reason}");
    assert!(reason.contains("mat has about 20 C") && reason.ends_with("the seed is not to blame"), "{reason}");
    assert!(flat(&home.does("due --on 2024-03-05")).contains("to warmth 1a 1b: too cold here: basil waits"));
    // Left there for a week it is a quiet line with no words beside it, whoever counts it or reads the frame.
    let rows = due(&home, "to warmth", "2024-03-25");
    assert_eq!((rows.len(), &rows[0]["urgency"]), (1, &"ask".into()));
    assert!(!flat(&home.does("due --on 2024-03-25")).contains("to warmth 1a 1b:"));
    home.does("move 1a mat --on 2024-03-26");
    home.does("move 1b mat --on 2024-03-26");
    assert_eq!(due(&home, "to warmth", "2024-03-26"), Vec::<Value>::new());
}

#[test]
fn all_but_all_up_is_all_up_once_a_count_says_so() {
    let home = home();
    home.script(
        "sow tomato Copper --seeds 24 --in seed-tray --at mat/long --on 2024-03-01
         count 1 0 --on 2024-03-05
         count 1 9 --on 2024-03-08
         count 1 19 --on 2024-03-10
         count 1 20 --on 2024-03-12",
    );
    assert_eq!(word(&home, 1, "2024-03-12"), "emerging");
    // Three weeks on a few more may be up, and the clock alone does not say that there are none.
    assert_ne!(word(&home, 1, "2024-04-02"), "all up");
    assert_eq!(due(&home, "count", "2024-03-20").len(), 1);
    home.does("count 1 20 --on 2024-04-02");
    assert_eq!(word(&home, 1, "2024-04-02"), "all up");
    assert_eq!(action(&home, 1, "2024-04-02"), "nothing more to wait for, its warm place is free");
    assert!(due(&home, "count", "2024-04-02").is_empty());
    home.does("move 1 sill --on 2024-04-02");
    assert_eq!(action(&home, 1, "2024-04-02"), "nothing more to wait for");
    // With every one up there is no more to be said.
    home.does("count 1 24 --on 2024-04-03");
    assert_eq!(
        (word(&home, 1, "2024-04-03"), action(&home, 1, "2024-04-03")),
        ("all up".into(), "nothing more to wait for".into())
    );
}

#[test]
fn what_was_never_counted_has_no_rate() {
    let home = home();
    home.does("sow tomato Copper --seeds 6 --in seed-tray --at mat/long --on 2024-03-01");
    let row = row(&home, 1, "2024-03-04");
    assert_eq!((&row["rate"], &row["rate_low"], &row["counted_on"]), (&Value::Null, &Value::Null, &Value::Null));
    let table = home.does("germination --on 2024-03-04");
    assert!(table.contains(" -/6 ") && !table.contains("0 %"), "{table}");
    assert!(home.does("batch 1 --on 2024-03-04").contains("not counted yet, of 6 sown: waiting"));
    assert!(home.does("why germination 1 --on 2024-03-04").contains("6 sown and not counted yet, waiting"));
    home.does("count 1 0 --on 2024-03-04");
    assert!(home.does("germination --on 2024-03-04").contains(" 0/6 "));
}

#[test]
fn the_number_to_sow_follows_from_what_is_wanted_and_there_and_from_the_packet() {
    let home = home();
    home.script(
        "lot add tomato Good --packed 2024 --stated 95% --on 2024-01-01
         lot add parsnip Old --packed 2012 --stated 60% --seeds 900 --on 2024-01-01
         sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         sow tomato Copper --seeds 80 --in seed-tray --at mat/long --on 2024-03-01
         sow parsnip Old --seeds 40 --in seed-tray --at sill/long --on 2024-03-01
         count 2024/1 0 --on 2024-03-25
         count 2024/2 0 --on 2024-03-25
         count 2024/3 0 --on 2024-06-25",
    );
    let again = |number, on| row(&home, number, on)["sow_again"].clone();
    let figure = |again: &Value, what: &str| again[what].as_u64().unwrap();
    let (one, two) = (again(1, "2024-03-25"), again(2, "2024-03-25"));
    // Twice as many wanted, about twice as many to sow, of the lot that has not failed.
    assert_eq!((&one["variety"], &two["variety"]), (&"Good".into(), &"Good".into()));
    assert!(figure(&two, "wanted") >= 2 * figure(&one, "wanted") - 1, "{one} {two}");
    let (few, many) = (figure(&one, "seeds"), figure(&two, "seeds"));
    assert!((1.8..2.1).contains(&(many as f64 / few as f64)), "{few} {many}");
    let said = action(&home, 1, "2024-03-25");
    let wanted = figure(&one, "wanted");
    assert!(said.starts_with(&format!("sow {few} more of Good 2024")), "{said}");
    assert!(said.contains(&format!("0 of the {wanted} wanted are there, and about ")), "{said}");
    assert!(said.ends_with(" in 100 of Good 2024 come up"), "{said}");
    // What it follows from, however it is asked for.
    let why = home.does("why germination 1 --on 2024-03-25");
    for words in ["why sow again 1", "why 'sow again' 1", "why sow again 1a"] {
        assert_eq!(home.does(&format!("{words} --on 2024-03-25")), why, "{words}");
    }
    let why = flat(&why);
    for told in [
        &format!("wanted {wanted} ") as &str,
        "wanted follows from 60 % of what seed like it is counted on to give, ",
        &format!("plants to raise {wanted}, 0 of the {wanted} wanted being there"),
        "sow again from Good 2024, never counted, about ",
        "in 100 come up: the only packet likely to give enough",
        "rather than Copper 2024, 1880 left, about ",
        &format!("seeds to sow again {few}, the fewest that are enough with a chance of 90 % if the tray"),
        "last day to sow again 2024-05-10: planted out by ",
        "weeks after the last frost, 2024-05-10, ",
    ] {
        assert!(why.contains(told), "{told}: {why}");
    }
    assert!(flat(&home.does("why sow again --on 2024-03-25")).contains("2024/2 tomato"));
    // Three that stand are three fewer to raise; one that died is to be raised again.
    home.script("count 2024/1 3 --on 2024-04-25\nlose 2024/1 1 --cause mice --on 2024-04-25");
    let third = again(1, "2024-04-25");
    assert_eq!((figure(&third, "there"), figure(&third, "plants")), (2, wanted - 2));
    assert!(figure(&third, "seeds") > figure(&third, "plants"));
    // Parsnip of twelve years that showed nothing: no number of it is worth sowing.
    assert_eq!(word(&home, 3, "2024-06-25"), "failed");
    let said = action(&home, 3, "2024-06-25");
    assert!(
        said.starts_with("buy fresh seed and sow ") && said.contains("and only about 0 in 100 of Old 2012 come up"),
        "{said}"
    );
}

#[test]
fn the_best_seed_of_which_enough_is_left_is_sown_again() {
    let home = home();
    home.script(
        "lot add tomato Fair --packed 2024 --stated 75% --on 2024-01-01
         lot add tomato Best --packed 2024 --stated 99% --seeds 5 --on 2024-01-01
         lot add tomato Good --packed 2024 --stated 90% --seeds 300 --on 2024-01-01
         sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         count 2024/1 0 --on 2024-03-25",
    );
    let said = action(&home, 1, "2024-03-25");
    assert!(said.contains(" more of Good 2024"), "{said}");
    // Of parsnip that keeps a year no packet will do: the least poor is named.
    home.script(
        "lot add parsnip Oldest --packed 2014 --stated 60% --on 2024-01-01
         lot add parsnip Old --packed 2022 --stated 60% --seeds 9 --on 2024-01-01
         lot add parsnip Older --packed 2016 --stated 60% --on 2024-01-01
         sow parsnip Ancient --seeds 40 --packed 2008 --in seed-tray --at sill/long --on 2024-03-01
         count 2024/2 0 --on 2024-06-25",
    );
    let again = row(&home, 2, "2024-06-25")["sow_again"].clone();
    assert_eq!((&again["variety"], &again["left"]), (&"Old".into(), &9.into()), "{again}");
}

#[test]
fn a_slow_sowing_is_to_be_decided_on_when_its_last_good_day_is_near() {
    let home = home();
    // None of either is up when half should be, one in March and one a few days before the last good day of May.
    home.script(
        "sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-04-23
         count 2024/1 0 --on 2024-03-13
         count 2024/2 0 --on 2024-05-05",
    );
    let early = due(&home, "slow", "2024-03-13");
    assert_eq!((early.len(), &early[0]["urgency"]), (1, &"ask".into()), "{early:?}");
    assert!(flat(&home.does("due --on 2024-03-13")).contains("slow 1a: keep it, "), "what is asked is said");
    let near = due(&home, "slow", "2024-05-05");
    let near: Vec<Value> = near.into_iter().filter(|row| row["batch"] == "2024/2").collect();
    assert_eq!((near.len(), &near[0]["urgency"]), (1, &"today".into()), "{near:?}");
    let by = &row(&home, 2, "2024-05-05")["sow_again"]["by"];
    assert_eq!(&near[0]["due"], by);
    assert!(
        near[0]["reason"].as_str().unwrap().ends_with("; to be safe sow 35 more of Copper 2024 (1920 left) by Friday"),
        "{near:?}"
    );
    assert!(flat(&home.does("due --on 2024-05-05")).contains("slow 2a: keep it, "));
    // Past that day there is nothing to be decided.
    assert!(due(&home, "slow", "2024-05-11").iter().all(|row| row["urgency"] == "ask"));
}

#[test]
fn how_it_came_up_stands_in_figures_behind_why() {
    let home = home();
    home.script(
        "sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         count 2024/1 2 --on 2024-03-07
         count 2024/1 21 --on 2024-03-10
         count 2024/1 33 --on 2024-03-14
         count 2024/2 0 --on 2024-03-07",
    );
    // By hand: 2 after 6 days, 19 more after 9, 12 more after 13. The mean is (12 + 171 + 156) / 33 days, the velocity 100
    // over that (Kotowski 1926). Coolbear's t50 is where the count reaches (33 + 1) / 2: 6 + 3 * 15 / 19.
    let near = |value: &Value, to: f64| (value.as_f64().unwrap() - to).abs() < 1e-9;
    let batch = home.json("batch 1 --on 2024-03-15")["rows"][0].clone();
    let course = &batch["indices"];
    assert!(near(&course["final_share"], 33.0 / 40.0) && near(&course["mean_days"], 339.0 / 33.0), "{course}");
    assert!(near(&course["t50_days"], 6.0 + 45.0 / 19.0) && near(&course["velocity"], 3300.0 / 339.0), "{course}");
    let median = course["fit"]["median_days"].as_f64().unwrap();
    assert!((8.0..9.5).contains(&median) && course["undefined"] == serde_json::json!({}), "{course}");
    // One batch says what all together say.
    assert_eq!(batch["expected_final"], row(&home, 1, "2024-03-15")["expected_final"]);
    let why = flat(&home.does("why germination 1 --on 2024-03-15"));
    for figure in
        ["final percentage 82 %", "mean germination time 10.3 days", "half of those up 8.4 days", "velocity 9.7"]
    {
        assert!(why.contains(figure), "{figure}: {why}");
    }
    assert!(why.contains("maximum likelihood") && why.contains("Coolbear"), "{why}");
    let none = &home.json("batch 2 --on 2024-03-15")["rows"][0]["indices"];
    assert!(near(&none["final_share"], 0.0), "{none}");
    for figure in ["mean_days", "t50_days", "velocity"] {
        assert_eq!((&none[figure], &none["undefined"][figure]), (&Value::Null, &"undefined: none are up".into()));
    }
    assert_eq!((&none["fit"], &none["undefined"]["fit"]), (&Value::Null, &"no curve: none are up".into()));
    assert!(
        home.does("why germination 2 --on 2024-03-15").contains("t50, days to half of those up undefined: none are up")
    );
}

#[test]
fn a_cleared_batch_is_over_and_its_outcome_stands() {
    let home = home();
    home.script(
        "sow tomato Copper --seeds 40 --in seed-tray --at sill/long --on 2024-03-01
         reading sill --compost 14 --on 2024-03-05
         count 1 5 --on 2024-03-14",
    );
    let before = home.does("why germination 1 --on 2024-03-14");
    home.does("clear 1a --rest discard --on 2024-03-20");
    // Looked at as it was then, it is what it was.
    assert_eq!(home.does("why germination 1 --on 2024-03-14"), before);
    assert!(home.does("batch 1 --on 2024-03-25").contains("5 up of 40 sown, 12 %: over"));
    let why = flat(&home.does("why germination 1 --on 2024-03-25"));
    assert!(
        why.contains("it is over, and nothing more is looked for") && why.contains("final percentage 12 %"),
        "{why}"
    );
    assert!(!why.contains("chance of") && why.contains("would change it: a correction of what was counted"), "{why}");
}

#[test]
fn why_says_how_much_came_from_the_book() {
    let home = home();
    home.does("sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-05-01");
    let of_book = |home: &Home| {
        let why = flat(&home.does("why germination 2024/1 --on 2024-05-03"));
        let at = why.find("the time to expect is ").unwrap();
        why[at..].split("from:").next().unwrap().trim().to_owned()
    };
    assert_eq!(of_book(&home), "the time to expect is 100 % the book's");
    home.script(
        "sow cabbage Head --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         count 2024/2 0 --on 2024-03-05
         count 2024/2 20 --on 2024-03-07
         count 2024/2 34 --on 2024-03-10",
    );
    let shares = |said: &str| {
        let shares = said.split(' ').filter_map(|word| word.parse::<u32>().ok()).filter(|share| *share > 1);
        shares.collect::<Vec<_>>()
    };
    let said = of_book(&home);
    assert!(said.ends_with("% that of 1 sowing of your other crops") && shares(&said).len() == 2, "{said}");
    home.script(
        "sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         count 2024/3 0 --on 2024-03-05
         count 2024/3 20 --on 2024-03-09
         count 2024/3 36 --on 2024-03-13
         clear 2024/3a --rest discard --on 2024-03-20",
    );
    let said = of_book(&home);
    assert!(said.contains("of your other crops, ") && said.ends_with("% that of 1 sowing of this crop"), "{said}");
    assert_eq!(shares(&said).len(), 3, "{said}");
    assert!((99..=101).contains(&shares(&said).iter().sum::<u32>()), "{said}");
}

#[test]
fn years_are_compared_over_a_history_of_two() {
    let home = home();
    let spring = |year: u32, up: [u32; 2]| {
        let mut lines = String::new();
        for (tray, up) in up.iter().enumerate() {
            let tray = tray + 1;
            lines += &format!(
                "sow tomato Copper --seeds 36 --in seed-tray --at mat/long --on {year}-03-0{tray}
                 count {year}/{tray} {up} --on {year}-03-20
                 clear {year}/{tray}a --rest discard --on {year}-05-20\n"
            );
        }
        home.script(&lines);
    };
    spring(2024, [16, 15]);
    spring(2025, [27, 27]);
    let said = home.does("compare tomato --by years --on 2026-01-01");
    assert!(said.contains("31 of 72 against 54 of 72: a real difference"), "{said}");
    assert!(said.contains("years: 2024 (2 sowings) against 2025 (2 sowings)"), "{said}");
    let row = &home.json("compare tomato --by years --on 2026-01-01")["rows"][0];
    // Fisher's exact test, two-sided, as in the comparison of lots.
    assert!((row["p_value"].as_f64().unwrap() - 1.693_100_462e-4).abs() < 1e-12, "{row}");
    let why = flat(&home.does("why compare tomato --on 2026-01-01"));
    assert!(why.contains("Fisher 1935") && why.contains("Newcombe 1998"), "{why}");
    // What was known a year before is one year, and nothing to compare.
    assert!(home.does("compare tomato --by years --on 2024-12-31").contains("nothing to compare yet"));
}

/// The cases at the edge, each as it is typed.
#[test]
fn any_sowing_has_a_word() {
    let home = home();
    home.script(
        "sow tomato Copper --seeds 1 --in 9cm-pot --at mat/long --on 2024-03-01
         sow tomato Copper --seeds 500 --in seed-tray --at mat/long --on 2024-03-01
         sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01
         sow beetroot Ball --clusters 30 --in seed-tray --at mat/long --on 2024-03-01
         sow celery Stone --pinch 50 --in seed-tray --at mat/long --on 2024-03-01
         count 1 0 --on 2024-03-06
         count 2 300 --on 2024-03-11
         count 3 0 --on 2024-03-25
         count 4 24 --on 2024-03-12",
    );
    assert_eq!(word(&home, 1, "2024-03-06"), "waiting");
    home.does("count 1 1 --on 2024-03-12");
    assert_eq!(word(&home, 1, "2024-03-12"), "all up");
    assert_eq!(word(&home, 2, "2024-03-11"), "emerging");
    assert_eq!(word(&home, 3, "2024-03-25"), "failed");
    home.does("count 3 40 --on 2024-03-25");
    assert_eq!(word(&home, 3, "2024-03-25"), "all up");
    // Several seedlings may come of a cluster, but no more clusters than were sown.
    let clusters = row(&home, 4, "2024-03-12");
    assert!(clusters["expected_final"][1].as_u64().unwrap() <= 30, "{clusters}");
    // A pinch has a word and no numbers.
    let pinch = row(&home, 5, "2024-03-20");
    assert_eq!(
        (&pinch["rate"], &pinch["expected_by_now"], &pinch["expected_final"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    assert_eq!(pinch["verdict"], "not counted lately");
    assert_eq!(home.json("batch 5 --on 2024-03-20")["rows"][0]["indices"], Value::Null);
    // Nor are more of a pinch than it was guessed at more than were sown.
    let said = home.does("count 5 70 --on 2024-03-22");
    assert!(said.contains("70 up of a pinch of 50 or so, 70 standing") && !said.contains("units sown"), "{said}");
    assert!(home.does("batch 5 --on 2024-03-22").contains("70 up of a pinch of 50 or so: "));
}

#[test]
fn counts_typed_out_of_order_say_the_same() {
    let counts = ["count 1 4 --on 2024-03-08", "count 1 15 --on 2024-03-10", "count 1 22 --on 2024-03-12"];
    let said = |order: [usize; 3]| {
        let home = home();
        home.does("sow tomato Copper --seeds 40 --in seed-tray --at mat/long --on 2024-03-01");
        order.iter().for_each(|at| home.script(counts[*at]));
        let row = row(&home, 1, "2024-03-12");
        ["verdict", "expected_by_now", "expected_final", "chance_of_more", "up"].map(|what| row[what].clone())
    };
    assert_eq!(said([2, 0, 1]), said([0, 1, 2]));
}

#[test]
fn without_temperatures_or_with_a_week_missing_or_moved_midway_it_goes_by_what_is_known() {
    let home = home();
    let by_now = |number, on| row(&home, number, on)["expected_by_now"].as_f64().unwrap();
    home.script(
        "sow tomato Copper --seeds 40 --in seed-tray --at sill/long --on 2024-03-01
         sow tomato Copper --seeds 40 --in seed-tray --at sill/long --on 2024-03-01",
    );
    let assumed = by_now(1, "2024-03-14");
    assert!(assumed > 1.0, "{assumed}");
    let why = flat(&home.does("why germination 1 --on 2024-03-14"));
    assert!(why.contains("over 13 days: 0 read, 0 from forecasts, 13 assumed"), "{why}");
    // Cold on either side of a week that was not read: the week is bridged, not taken for usual.
    home.script(
        "reading sill --min 8 --max 13 --on 2024-03-02
         reading sill --min 8 --max 13 --on 2024-03-03
         reading sill --min 8 --max 13 --on 2024-03-11
         reading sill --min 8 --max 13 --on 2024-03-12",
    );
    let cold = by_now(1, "2024-03-14");
    assert!(cold < 0.5 * assumed, "{cold} {assumed}");
    let why = flat(&home.does("why germination 1 --on 2024-03-14"));
    assert!(why.contains("4 read, 0 from forecasts, 9 assumed"), "{why}");
    // Moved into the warm half way, the days there count as warm.
    home.does("move 2 mat --on 2024-03-07");
    assert!(by_now(2, "2024-03-14") > 2.0 * by_now(1, "2024-03-14"));
}

#[test]
fn seedlings_that_cannot_be_are_believed_and_said() {
    let home = home();
    home.does("sow melon Sun --seeds 10 --in seed-tray --at yard/slabs --on 2024-01-05");
    home.does("count 1 4 --on 2024-01-16");
    let row = row(&home, 1, "2024-01-16");
    assert!(row["chance_of_more"].as_f64().unwrap() > 0.5, "{row}");
    let why = flat(&home.does("why germination 1 --on 2024-01-16"));
    assert!(why.contains("seedlings are up when by these temperatures none can be"), "{why}");
}
