//! What scripts rely on: fields of the JSON, exit codes, exports, and what a pipe sees.

#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::fs;
use std::process::Stdio;

use crate::command_line::Home;
use serde_json::Value;

/// A home with one sowing in a frame, another on a sill, and something to do.
fn with_a_season() -> Home {
    let home = Home::with_benches();
    home.script(
        "lot add tomato 'Copper Lantern' --packed 2023 --stated 88% --seeds 80 --on 2024-01-01
         sow tomato Copper --seeds 72 --in 72-cell --at sill/long --on 2024-03-02
         count 1 54 --on 2024-03-12
         count 1 54 --on 2024-03-18
         sow leek 'Long Furrow' --seeds 40 --in seed-tray --at frame/left --on 2024-03-05
         note 2 '=SUM(A1:A9), \"said\" the neighbour' --on 2024-03-06
         lose 1 2 --cause slugs --note '@home' --on 2024-03-20
         count 2 9 --on 2024-03-21
         undo",
    );
    home
}

fn fields(row: &Value, wanted: &[&str]) {
    for field in wanted {
        assert!(row.get(field).is_some(), "{field} is missing: null is written, not left out: {row}");
    }
}

#[test]
fn germination_has_the_words_of_the_contract() {
    let home = with_a_season();
    let report = home.json("germination --on 2024-03-20");
    let row = &report["rows"][0];
    fields(
        row,
        &[
            "batch",
            "id",
            "crop",
            "variety",
            "sown",
            "up",
            "standing",
            "rate",
            "rate_low",
            "rate_high",
            "expected_by_now",
            "expected_final",
            "verdict",
            "why",
            "parts",
        ],
    );
    assert_eq!(
        (&row["batch"], &row["crop"], &row["variety"]),
        (&"2024/1".into(), &"tomato".into(), &"Copper Lantern".into())
    );
    assert_eq!((&row["sown"], &row["up"], &row["standing"]), (&72.into(), &54.into(), &52.into()));
    let range = row["expected_final"].as_array().unwrap();
    assert!(row["expected_by_now"].as_f64().unwrap() > 0.0 && range[0].as_u64() >= Some(54), "{row}");
    // 54 of 72 at 95 %: Wilson 1927's interval worked by hand, (p + z2/2n +- z sqrt(pq/n + z2/4n2)) / (1 + z2/n).
    let near = |value: &Value, wanted: f64| (value.as_f64().unwrap() - wanted).abs() < 5e-4;
    assert!(near(&row["rate"], 0.75) && near(&row["rate_low"], 0.6389) && near(&row["rate_high"], 0.8357), "{row}");
    let undated = home.json("germination --on 2024-03-01");
    assert_eq!(undated["rows"], Value::Array(Vec::new()), "nothing was sown by then");
}

/// 10 to 14 days to pricking out are common practice; 6 days to emergence at 25 C are Harrington & Minges 1954.
#[test]
fn why_of_a_crop_is_its_figures_with_their_sources() {
    let home = Home::empty();
    let row = &home.json("why tomatoes")["rows"][0];
    assert_eq!(row["about"], "tomato: what the tables say");
    let inputs = row["why"]["inputs"].as_array().unwrap();
    let value = |what: &str| {
        let input = inputs.iter().find(|input| input["what"] == what);
        input.unwrap_or(&Value::Null)["value"].as_str().unwrap_or_default().to_owned()
    };
    assert!(value("prick_out_days").starts_with("10 to 14, ") && value("prick_out_days").contains("common practice"));
    assert!(value("emergence").contains("6 days at 25.0 C"), "{}", value("emergence"));
    assert!(row["why"]["sources"].to_string().contains("Harrington"), "{row}");
    assert!(home.refuses("why sw").contains("could be"));
}

#[test]
fn every_report_keeps_the_contract() {
    let home = with_a_season();
    let due = home.json("due --on 2024-04-20");
    assert!(!due["rows"].as_array().unwrap().is_empty());
    for row in due["rows"].as_array().unwrap() {
        fields(row, &["batch", "id", "crop", "variety", "what", "due", "earliest", "best", "latest", "reason", "why"]);
    }
    let benches = home.json("benches --on 2024-03-20");
    let bench = &benches["rows"][0];
    fields(bench, &["bench", "place", "area_mm2", "taken_area_mm2", "free_area_mm2", "standing"]);
    // A seed tray of 380 x 240 mm on a bench of 6000 x 2000 mm.
    assert_eq!((&bench["bench"], &bench["free_area_mm2"]), (&"frame/left".into(), &(12_000_000 - 91_200).into()));
    assert_eq!(bench["standing"][0]["parts"], serde_json::json!(["2024/2a"]));
    let fits = home.json("fits seed-trayx3 --on 2024-03-20");
    let row = &fits["rows"][0];
    fields(row, &["bench", "fits", "more", "sure", "why"]);
    assert_eq!((&row["asked"], &row["fits"]), (&3.into(), &true.into()));
    // No more than the bench has ground for, and not fewer than straight rows of it.
    let more = row["more"].as_u64().unwrap();
    assert!((15 * 8 - 1..=12_000_000 / 91_200 - 1).contains(&more), "{more}");
    let batch = home.json("batch 1 --on 2024-03-20");
    fields(
        &batch["rows"][0],
        &[
            "batch",
            "id",
            "crop",
            "variety",
            "sown",
            "up",
            "standing",
            "rate",
            "rate_low",
            "rate_high",
            "expected_by_now",
            "expected_final",
            "verdict",
            "parts",
            "tally",
            "notes",
            "due",
            "history",
            "next",
            "why",
        ],
    );
    let history = home.json("history");
    let rows = history["rows"].as_array().unwrap();
    fields(&rows[0], &["act", "short", "on", "verb", "said", "undone"]);
    let undone: Vec<&str> =
        rows.iter().filter(|row| row["undone"] == true).map(|row| row["verb"].as_str().unwrap()).collect();
    assert_eq!(undone, ["count"]);
    let why = home.json("why germination 1 --on 2024-03-20");
    fields(&why["rows"][0]["why"], &["formula", "inputs", "sources", "doubt", "changes"]);
}

#[test]
fn a_report_of_an_empty_journal_has_no_rows() {
    let home = Home::empty();
    for line in ["due", "germination", "benches", "history", "fits seed-tray"] {
        assert_eq!(home.json(line)["rows"], Value::Array(Vec::new()), "{line}");
        assert_eq!(home.does(line).lines().next().map(str::is_empty), Some(false), "{line}");
    }
}

/// What is written to a terminal wider than any report.
fn on_a_terminal(home: &Home, line: &str) -> String {
    let words: Vec<String> = shlex::split(line).unwrap();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let (folder, utc) = (home.file("."), "UTC".as_ref());
    let environment = [("HOME", folder.as_os_str()), ("TZ", utc)];
    let setting =
        crate::pty::Setting { columns: 200, rows: 60, environment: &environment, ..crate::pty::Setting::default() };
    let mut session = crate::pty::Session::spawn(env!("CARGO_BIN_EXE_thumbpot").as_ref(), &words, &setting);
    assert_eq!(session.exit_status(crate::pty::LIMIT), Ok(0));
    session.written().replace('\r', "")
}

#[test]
fn plain_reports_stay_within_eighty_columns_and_plain() {
    let home = with_a_season();
    let long = "Very Long Name of a Variety That Nobody Can Remember";
    home.does(&format!("sow 'brussels sprouts' '{long}' --seeds 20 --in seed-tray --at frame/left --on 2024-03-06"));
    for line in ["due", "germination", "benches", "fits seed-tray", "history", "batch 1", "batch 3", "why 1", "why due"]
    {
        let line = format!("{line} --on 2024-04-20");
        let piped = home.does(&line);
        assert!(piped.is_ascii(), "{line}: {piped}");
        let text = on_a_terminal(&home, &line);
        assert_eq!(text.lines().count(), piped.lines().count(), "{line}: {text}");
        for row in text.lines().filter(|row| !row.starts_with("note: ")) {
            assert!(row.len() <= 80 && !row.contains('\u{1b}'), "{line}: {row}");
        }
    }
}

#[test]
fn an_act_says_what_it_made() {
    let home = Home::with_benches();
    let line = "sow tomato First --seeds 100 --in 72-cellx2 --at sill/long --on 2024-03-02 --json";
    let act: Value = serde_json::from_str(&home.does(line)).unwrap();
    assert_eq!((&act["batch"], &act["parts"]), (&"2024/1".into(), &serde_json::json!(["2024/1a", "2024/1b"])));
    assert_eq!((&act["verb"], &act["on"]), (&"sow".into(), &"2024-03-02".into()));
    // The act can be undone by what was printed, whole or short.
    let short = home.json("history --limit 1")["rows"][0]["short"].as_str().unwrap().to_owned();
    assert!(act["act"].as_str().unwrap().ends_with(&short));
    home.does(&format!("undo {short}"));
    assert_eq!(home.json("germination --on 2024-03-20")["rows"], Value::Array(Vec::new()));
}

#[test]
fn errors_are_json_too_when_asked() {
    let home = Home::with_benches();
    for (line, code, kind) in [
        ("count 7 5 --json", 1, "unknown"),
        ("--json sow tomatoe First --seeds 5 --in seed-tray --at sill/long", 1, "unknown"),
        ("sow ca First --seeds 5 --in seed-tray --at sill/long --json", 1, "ambiguous"),
        ("undo ffff --json", 1, "unknown"),
        ("count 1 2 3 4 --json", 2, "usage"),
        ("--json --journal / due", 1, "journal"),
        ("export --to log.xlsx --json", 1, "refused"),
    ] {
        let answer = home.types(line);
        assert_eq!(answer.code, code, "{line}: {answer:?}");
        let value: Value = serde_json::from_str(&answer.out).unwrap();
        let error = &value["error"];
        assert_eq!(error["kind"], kind, "{line}");
        assert!(error["message"].as_str().is_some_and(|text| !text.is_empty()) && error["hint"].is_string(), "{line}");
        assert_eq!(answer.err.lines().count(), 1, "{line}: {answer:?}");
    }
}

#[test]
fn negative_values_are_values() {
    let home = Home::with_benches();
    home.does("reading frame --min -3 --max 4.5 --on 2024-03-02");
    home.does("sow tomato First --seeds 12 --in 12-cell --at sill/long --on 2024-03-02");
    home.does("count 1 -2 --on 2024-03-12");
    assert_eq!(home.stands(1, "a"), 10);
    home.does("note frame 'cold' --on -3d");
}

/// The log as JSON: lossless as far as the acts go, and the journal's own keys nowhere.
#[test]
fn the_log_is_exported_whole_as_json() {
    let home = with_a_season();
    assert_eq!(home.does("export --to log.json"), "log.json: 13 acts\n");
    let log: Value = serde_json::from_str(&fs::read_to_string(home.file("log.json")).unwrap()).unwrap();
    let acts = log["acts"].as_array().unwrap();
    assert_eq!((&log["schema"], acts.len()), (&1.into(), 13));
    let ids: Vec<&str> = acts.iter().map(|act| act["act"].as_str().unwrap()).collect();
    assert!(ids.is_sorted());
    let numbers: Vec<i64> = acts
        .iter()
        .flat_map(|act| act["entries"].as_array().unwrap())
        .map(|entry| entry["entry"].as_i64().unwrap())
        .collect();
    assert_eq!(numbers, (1..=i64::try_from(numbers.len()).unwrap()).collect::<Vec<_>>());
    // The undo names the count it took back.
    let undo = acts.last().unwrap();
    assert_eq!((&undo["verb"], &undo["verdicts"][0]["ruling"]), (&"undo".into(), &"undone".into()));
    assert_eq!(undo["verdicts"][0]["act"], acts[11]["act"]);
    let device = fs::read_to_string(home.file(".local/share/thumbpot/device")).unwrap();
    assert!(acts.iter().all(|act| act["device"] == device.trim()));
    // A copy of the journal, at another place, gives the same bytes.
    home.does("backup copy.db");
    home.does("--journal copy.db export --to again.json");
    assert_eq!(fs::read(home.file("log.json")).unwrap(), fs::read(home.file("again.json")).unwrap());
}

#[test]
fn the_log_is_exported_to_a_spreadsheet_and_no_cell_runs() {
    let home = with_a_season();
    home.does("export --to log.csv");
    let mut reader = csv::Reader::from_path(home.file("log.csv")).unwrap();
    let heads: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(heads, ["date", "act", "verb", "batch", "part", "what", "numbers", "place", "text", "undone"]);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    for cell in rows.iter().flatten() {
        assert!(!cell.trim_start().starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
    }
    let of = |verb: &str| rows.iter().filter(|row| &row[2] == verb).collect::<Vec<_>>();
    let count = of("count")[0];
    assert_eq!((&count[0], &count[3], &count[4], &count[6]), ("2024-03-12", "2024/1", "2024/1a", "up=54"));
    let sown: Vec<&str> = of("sow").iter().map(|row| &row[5]).collect();
    let one = ["sown", "container set down", "filled"];
    assert_eq!(sown, [&one[..], &["lot added"], &one[..]].concat());
    assert!(of("note")[0][8].contains("=SUM(A1:A9), \"said\" the neighbour"));
    assert_eq!(of("count").iter().map(|row| &row[9]).collect::<Vec<_>>(), ["no", "no", "yes"]);
}

#[test]
fn an_export_never_writes_over_a_file() {
    let home = with_a_season();
    fs::write(home.file("mine.csv"), "mine").unwrap();
    let answer = home.types("export --to mine.csv");
    assert_eq!((answer.code, answer.out.as_str()), (1, ""));
    assert!(answer.err.starts_with("thumbpot: mine.csv: the file is there already"), "{answer:?}");
    assert_eq!(fs::read_to_string(home.file("mine.csv")).unwrap(), "mine");
    for to in ["log.xlsx", "log", "nowhere/log.csv"] {
        assert_eq!(home.types(&format!("export --to {to}")).code, 1, "{to}");
    }
    let mut left: Vec<String> =
        fs::read_dir(home.file("")).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    left.sort();
    assert_eq!(left, [".local", "mine.csv"], "nothing half-written is left");
}

/// The reader goes away at once, as `| head -0` does.
#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let home = with_a_season();
    let program = assert_cmd::cargo::cargo_bin!("thumbpot");
    let mut child = std::process::Command::new(program)
        .args(["history", "--limit", "1000"])
        .env_clear()
        .env("HOME", home.file(""))
        .env("TZ", "UTC")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &[][..]));
}

/// Linux has a device that is always full.
#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_a_failure() {
    let home = with_a_season();
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let program = assert_cmd::cargo::cargo_bin!("thumbpot");
    let output = std::process::Command::new(program)
        .arg("history")
        .env_clear()
        .env("HOME", home.file(""))
        .env("TZ", "UTC")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stderr).unwrap().contains("the answer could not be written"));
}

#[test]
fn help_and_version_open_no_journal() {
    let home = Home::empty();
    for line in ["help", "--help", "--version", "sow --help"] {
        assert_eq!(home.types(line).code, 0, "{line}");
    }
    assert_eq!(fs::read_dir(home.file("")).unwrap().count(), 0);
}

#[test]
fn a_copy_is_made_checked_and_brought_back() {
    let home = with_a_season();
    let before = home.log();
    home.does("backup kept.db");
    assert_eq!(home.types("backup kept.db").code, 1, "a backup is never written over");
    home.does("lose 1 1 --cause mice --on 2024-03-22");
    assert_ne!(home.log(), before);
    home.does("restore kept.db --yes");
    assert_eq!(home.log(), before);
    assert!(home.does("check").starts_with("sound: 13 acts"));
}
