//! `settings.toml` in the configuration folder: what the grower says of the site.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use crate::command_line::Home;

fn with_settings(text: &str) -> Home {
    let home = Home::with_benches();
    home.script(
        "sow tomato First --seeds 6 --in 9cm-potx6 --at sill/long --on 2024-03-01
         count 1 6 --on 2024-03-10",
    );
    std::fs::create_dir_all(home.file(".config/thumbpot")).unwrap();
    std::fs::write(home.file(".config/thumbpot/settings.toml"), text).unwrap();
    home
}

/// Tomato: on or after the last frost, by three weeks (Purdue Extension HO-203).
#[test]
fn tomatoes_wait_for_the_last_frost_of_the_site() {
    let home = with_settings("");
    let planting = |on: &str| {
        let due = home.json(&format!("due --on {on}"));
        due["rows"].as_array().unwrap().iter().find(|row| row["what"] == "plant out").cloned()
    };
    assert_eq!(planting("2024-05-09"), None, "frost may come yet");
    let row = planting("2024-05-25").unwrap();
    assert_eq!((&row["earliest"], &row["overdue_days"]), (&"2024-05-10".into(), &0.into()));
    assert_eq!(
        row["reason"],
        "not yet: not hardened off (hardening step 1 of 3, day 1 of 6); no forecast of the nights; no soil reading this week, and it wants 15.6 C"
    );
    std::fs::write(home.file(".config/thumbpot/settings.toml"), "last_frost = \"1 june\"\n").unwrap();
    assert_eq!(planting("2024-05-25"), None, "frost may come yet here");
    assert_eq!(planting("2024-06-20").unwrap()["earliest"], "2024-06-01");
    let why = home.does("why ready 1a --on 2024-06-20");
    assert!(why.contains("from: last frost about, 2024-06-01") && why.contains("your own figure"), "{why}");
}

/// Kale, hardened or not, does not stand -20 C (any of its floors in the tables).
#[test]
fn nobody_is_called_late_while_frost_is_forecast() {
    let home = with_settings("");
    home.script(
        "place add bed --kind plot --on 2024-01-01
         sow kale First --seeds 6 --in 9cm-potx6 --at frame/left --on 2024-04-01
         count 2 6 --on 2024-04-10",
    );
    let row = |home: &Home| {
        let due = home.json("due --on 2024-06-05");
        due["rows"]
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["crop"] == "kale" && row["what"] == "plant out")
            .cloned()
            .unwrap()
    };
    let before = row(&home);
    assert_eq!(before["urgency"], "late", "{before}");
    home.does("forecast set 2024-06-06 --low -20 --high 2 --on 2024-06-05");
    let held = row(&home);
    assert_eq!((&held["urgency"], &held["overdue_days"]), (&"wait".into(), &0.into()));
    let reason = held["reason"].as_str().unwrap();
    assert!(reason.starts_with("not yet: the night to 2024-06-06: "), "{reason}");
    home.does("forecast set 2024-06-06 --low 18 --high 28 --on 2024-06-05");
    let warm = row(&home);
    assert_eq!([&warm["urgency"], &warm["overdue_days"]], [&before["urgency"], &before["overdue_days"]]);
}

#[test]
fn a_wrong_setting_is_told_with_its_file_line_and_key() {
    for (text, told) in [
        ("# the site\nlast_frost = 'soon'", "settings.toml, line 2: last_frost: 'soon' is not a day of the year"),
        ("lastfrost = '15 may'", "settings.toml, line 1: lastfrost: unknown setting, did you mean last_frost?"),
    ] {
        let home = with_settings(text);
        let answer = home.types("due");
        assert_eq!((answer.code, answer.out.as_str()), (1, ""), "{answer:?}");
        assert!(answer.err.contains(told) && answer.err.lines().count() == 1, "{answer:?}");
    }
}

#[test]
fn a_settings_file_without_an_end_is_refused_before_it_is_read() {
    for (name, link) in [("settings.toml", "/dev/zero"), ("figures.toml", "long.toml")] {
        let home = with_settings("");
        std::fs::write(home.file("long.toml"), "# and so on\n".repeat(200_000)).unwrap();
        let file = home.file(".config/thumbpot").join(name);
        let _ = std::fs::remove_file(&file);
        std::os::unix::fs::symlink(home.file(link), &file).unwrap();
        let refusal = home.types("due");
        assert_eq!(refusal.code, 1, "{refusal:?}");
        assert!(refusal.err.contains(name) && refusal.err.contains("longer than 1 MB"), "{refusal:?}");
    }
}
