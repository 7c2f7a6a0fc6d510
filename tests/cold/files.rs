//! Files of thermometers and of forecasts, as growers have them: what is in them is taken, what is not is told. The real
//! binary.

#![allow(clippy::unwrap_used, reason = "a test may stop on the first surprise")]

use std::fs;

use crate::command_line::Home;

fn home() -> Home {
    let home = Home::empty();
    home.script(
        "place add frame --kind 'cold frame' --on 2024-01-01\nplace add kitchen --kind windowsill --on 2024-01-01\n",
    );
    home
}

/// A logger in a frame that is off from nine in the evening to nine in the morning: what it reads at nine is not the
/// night's lowest, and the lift of the frame is not learnt from it.
#[test]
fn nights_that_a_logger_did_not_see_are_left_out_and_said() {
    let home = home();
    for day in 2..=6 {
        home.does(&format!("forecast set 2024-05-{day:02} --low 3 --high 15 --on 2024-05-{:02}", day - 1));
    }
    let hours = (1..=6).flat_map(|day| (0..24).map(move |hour| (day, hour)));
    let row = |(day, hour)| format!("2024-05-{day:02} {hour:02}:30,{}\n", 13 + (hour - 9) / 2);
    let silent = |seen: std::ops::Range<i32>| -> String {
        hours.clone().filter(|(_, hour)| seen.contains(hour)).map(row).collect()
    };
    fs::write(home.file("silent.csv"), format!("Time,Temp C\n{}", silent(9..21))).unwrap();
    let told = home.does("reading import silent.csv --place frame --on 2024-05-07");
    assert!(told.contains("5 nights, the first 2024-05-02, left out: nothing between 21:00 and 9:00"), "{told}");
    assert!(told.contains("highest") && !told.contains("lowest"), "{told}");
    let climate = home.does("climate frame --on 2024-05-07");
    assert!(climate.contains("nights +2.5 C, give or take 1.0: all by the book"), "{climate}");
    // The same logger, never silent: its nights are taken, and learnt from.
    fs::write(home.file("whole.csv"), format!("Time,Temp C\n{}", silent(0..24))).unwrap();
    let told = home.does("reading import whole.csv --place frame --on 2024-05-07");
    assert!(told.contains("lowest") && !told.contains("nothing between"), "{told}");
    let climate = home.does("climate frame --on 2024-05-07");
    assert!(!climate.contains("nights +2.5 C, give or take 1.0: all by the book"), "{climate}");
}

/// Days of May written with strokes, none of them past the 12th: where they follow each other they tell their order, and of
/// a single day it is asked and can be said.
#[test]
fn days_with_strokes_tell_their_order_or_are_asked_about() {
    let home = home();
    let line = "reading import f.csv --place frame --on 2024-05-10";
    for (file, said) in [
        ("Date,Min,Max\n03/05/2024,4,16\n04/05/2024,5,17\n", "lowest 5.0 C, of 2024-05-04"),
        ("Date,Min,Max\n05/03/2024,4,16\n05/04/2024,5.5,17\n", "lowest 5.5 C, of 2024-05-04"),
    ] {
        fs::write(home.file("f.csv"), file).unwrap();
        let told = home.does(line);
        assert!(told.contains(said), "{told}");
        home.does("undo");
    }
    fs::write(home.file("f.csv"), "Date,Min,Max\n05/03/2024,4,16\n").unwrap();
    let asked = home.refuses(line);
    assert!(asked.contains("--dates D/M where the day comes first, --dates M/D where the month does"), "{asked}");
    assert!(home.does(&format!("{line} --dates M/D")).contains("of 2024-05-03"));
    assert!(home.does(&format!("{line} --dates d/m")).contains("of 2024-03-05"));
    assert!(home.refuses("reading import f.csv --dates Y/M").contains("neither D/M nor M/D"));
    // A low alone, of a day that has not come, was not "noted before".
    fs::write(home.file("f.csv"), "date,min\n2024-05-12,4\n").unwrap();
    assert!(home.refuses(line).contains("2024-05-12 has not come yet"), "{}", home.refuses(line));
    fs::write(home.file("f.csv"), "date,min\n10 Nov,4\n").unwrap();
    assert!(home.does(line).contains("of 2023-11-10"));
    fs::write(home.file("f.csv"), "day,low,high\nSat 11 May,4,14\nSun 12 May,5,15\n").unwrap();
    let told = home.does("forecast import f.csv --on 2024-05-10");
    assert!(told.contains("2024-05-11") && told.contains("2024-05-12"), "{told}");
}

/// A day four months ahead is no day of a forecast, in a file as typed; beside days that are it is left out and said.
#[test]
fn a_forecast_reaches_a_month_whoever_says_it_and_a_day_told_twice_is_said() {
    let home = home();
    let (file, line) = (home.file("f.csv"), "forecast import f.csv --on 2024-05-10");
    let typed = home.refuses("forecast set 2024-09-11 --low 4 --high 14 --on 2024-05-10");
    fs::write(&file, "date,low,high\n2024-09-11,4,14\n").unwrap();
    assert_eq!(home.refuses(line), typed);
    fs::write(&file, "date,low,high\n2024-05-11,4,14\n2024-05-11,6,14\n2024-09-11,4,14\n").unwrap();
    let told = home.does(line);
    assert!(told.contains("forecast for 2024-05-11: 4.0 C to 14.0 C") && !told.contains("2024-09-11:"), "{told}");
    assert!(told.contains("left out what no forecast reaches: 1 of its days, the first 2024-09-11"), "{told}");
    assert!(told.contains("2024-05-11 stands in it more than once and with other figures"), "{told}");
}

/// The same table in the encodings that loggers and spreadsheets write.
#[test]
fn a_file_in_another_encoding_is_read() {
    let home = home();
    let text = "Date;Temp\u{e9}rature mini (\u{b0}C);Temp\u{e9}rature maxi (\u{b0}C)\n03.05.2024;4,5;16\n";
    let utf_16 = "\u{feff}".encode_utf16().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    for bytes in [utf_16, latin] {
        fs::write(home.file("f.csv"), &bytes).unwrap();
        let told = home.does("reading import f.csv --place frame --on 2024-05-10");
        assert!(told.contains("lowest 4.5 C") && told.contains("highest 16.0 C"), "{told}");
        home.does("undo");
    }
}

/// Columns that are headed by the names of places are each a thermometer's; headed by others they are asked about.
#[test]
fn columns_headed_by_places_are_theirs() {
    let home = home();
    let rows = "2024-05-03,4,16,14,19\n2024-05-04,5,17,15,20\n";
    fs::write(home.file("f.csv"), format!("date,frame min \u{b0}C,frame max \u{b0}C,Kitchen min,Kitchen max\n{rows}"))
        .unwrap();
    let told = home.does("reading import f.csv --on 2024-05-10");
    assert!(told.contains("frame: lowest 4.0 C, of 2024-05-03"), "{told}");
    assert!(told.contains("kitchen: highest 20.0 C, of 2024-05-04"), "{told}");
    home.does("undo");
    let hours = (0..48).map(|hour| format!("2024-05-{:02} {:02}:00;{};{}\n", 3 + hour / 24, hour % 24, hour % 24, 20));
    let hours: String = hours.collect();
    fs::write(home.file("f.csv"), format!("time;frame \u{b0}C;kitchen \u{b0}C\n{hours}")).unwrap();
    let told = home.does("reading import f.csv --on 2024-05-10");
    assert!(told.contains("frame: highest 23.0 C, of 2024-05-04"), "{told}");
    assert!(told.contains("kitchen: lowest 20.0 C, of 2024-05-03"), "{told}");
    fs::write(home.file("f.csv"), format!("time;frame \u{b0}C;attic \u{b0}C\n{hours}")).unwrap();
    let asked = home.refuses("reading import f.csv --place frame --on 2024-05-10");
    assert!(asked.contains("'frame \u{b0}C' and 'attic \u{b0}C' could both be the temperature"), "{asked}");
    assert!(asked.contains("head each with the name of its place"), "{asked}");
}
