//! `forecast fetch` against a stub on this machine: what a good service answers, and everything else one may.
//!
//! The answers have the shape that open weather services give: lists of days, lows and highs side by side in one object,
//! as in the README. HTTP as in RFC 9110 and 9112.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use std::ffi::OsStr;
use std::fs;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

use crate::command_line::Home;
use chrono::{Days, Local, NaiveDate};
use thumbpot::exchange::{FetchError, Patience, address, fetch};

/// Answers every question with what `answer` writes; hands out what was asked.
fn stub(answer: impl Fn(&mut TcpStream) + Send + 'static) -> (String, Receiver<String>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("http://{}/v1", listener.local_addr().unwrap());
    let (tell, asked) = channel();
    thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream = stream.unwrap();
            let mut head = Vec::new();
            let mut byte = [0];
            while !head.ends_with(b"\r\n\r\n") && stream.read(&mut byte).unwrap_or(0) == 1 {
                head.push(byte[0]);
            }
            let _ = tell.send(String::from_utf8(head).unwrap());
            answer(&mut stream);
        }
    });
    (url, asked)
}

/// A stub whose answer has a body and nothing unusual else.
fn stub_of(body: impl Into<Vec<u8>>) -> String {
    let body = body.into();
    stub(move |stream| {
        let _ = stream.write_all(format!("HTTP/1.1 200 OK\r\nContent-Length: {}\r\n\r\n", body.len()).as_bytes());
        let _ = stream.write_all(&body);
    })
    .0
}

#[allow(clippy::disallowed_methods, reason = "what is fetched now is of the days to come")]
fn day(ahead: i64) -> NaiveDate {
    // The program under test runs in UTC.
    let today = Local::now().naive_utc().date();
    if ahead < 0 { today - Days::new(ahead.unsigned_abs()) } else { today + Days::new(ahead.unsigned_abs()) }
}

fn days(first: i64, lows: &[f64], highs: &[f64]) -> String {
    let days: Vec<String> = (first..).take(lows.len()).map(|ahead| day(ahead).to_string()).collect();
    serde_json::json!({ "latitude": 51.5, "daily": {
        "time": days, "temperature_2m_min": lows, "temperature_2m_max": highs } })
    .to_string()
}

fn settings(home: &Home, url: &str, more: &str) {
    fs::create_dir_all(home.file(".config/thumbpot")).unwrap();
    let text = format!("latitude = 51.5\nlongitude = -1.25\nforecast_url = \"{url}\"\n{more}\n");
    fs::write(home.file(".config/thumbpot/settings.toml"), text).unwrap();
}

fn home(url: &str, more: &str) -> Home {
    let home = Home::with_benches();
    settings(&home, url, more);
    home.does("sow pea First --seeds 20 --in seed-tray --at frame/left --on -30d");
    home.does("count 1 18 --on -9d");
    home
}

fn low_of_tonight(home: &Home) -> serde_json::Value {
    home.json("cold")["rows"][0]["basis"]["low_c"].clone()
}

#[test]
fn a_good_answer_is_noted_once() {
    let body = days(0, &[3.0, -1.5, 4.0], &[9.0, 11.0, 12.0]);
    let (url, asked) = stub(move |stream| {
        let _ = write!(stream, "HTTP/1.1 200 OK\r\nContent-Length: {}\r\n\r\n{body}", body.len());
    });
    let home = home(&format!("{url}?lat={{latitude}}&lon={{longitude}}"), "");
    let said = home.does("forecast fetch");
    assert!(said.contains(&day(1).to_string()), "{said}");
    let head = asked.recv().unwrap();
    assert!(head.starts_with("GET /v1?lat=51.5000&lon=-1.2500 HTTP/1.1\r\n"), "{head}");
    let agent = format!("user-agent: thumbpot/{}\r\n", env!("CARGO_PKG_VERSION"));
    assert!(head.to_lowercase().contains(&agent), "{head}");
    assert_eq!(low_of_tonight(&home), -1.5);
    let before = home.log();
    assert!(home.does("forecast fetch").contains("nothing was written"));
    assert!(home.does("forecast fetch --json").contains("\"act\":null"));
    assert_eq!(home.log(), before);
    let told = home.does("cold");
    assert!(told.contains(&format!("forecast of {} ", day(0).format("%A"))), "{told}");
    home.does("undo");
    assert!(home.does("forecast fetch").contains(&day(1).to_string()), "undone, it is new again");
}

#[test]
fn an_answer_in_other_words_is_read_by_the_settings() {
    let body = format!(r#"{{"v":{{"t":["{}"],"tn":[28.4],"tx":[51.8]}}}}"#, day(1));
    let url = stub_of(body);
    let home = home(&url, "forecast_day = 't'\nforecast_low = 'tn'\nforecast_high = 'tx'\nforecast_unit = 'F'");
    home.does("forecast fetch");
    assert_eq!(low_of_tonight(&home), -2.0);
}

#[test]
fn anything_else_is_one_clear_line_and_the_old_forecast_stays() {
    let head = |status: &str, more: &str| format!("HTTP/1.1 {status}\r\n{more}Content-Length: 0\r\n\r\n").into_bytes();
    let plain = |bytes: Vec<u8>| stub(move |stream| drop(stream.write_all(&bytes))).0;
    let endless = || {
        stub(|stream| {
            let _ = stream.write_all(b"HTTP/1.1 200 OK\r\nContent-Length: 100000000\r\n\r\n");
            let block = [b'1'; 64 * 1024];
            while stream.write_all(&block).is_ok() {}
        })
        .0
    };
    let closed = {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        format!("http://{}/", listener.local_addr().unwrap())
    };
    // No name has so long a part (RFC 1035, 2.3.4: 63 octets), nor that end (RFC 6761, 6.4): no network is asked for it.
    let nowhere = format!("https://{}.invalid/", "a".repeat(64));
    let home = home("", "");
    home.does(&format!("forecast set {} --low 2 --high 8 --on {}", day(1), day(0)));
    for (url, said) in [
        (stub_of("{\"error\":true}"), "no list of days"),
        (stub_of("<html>busy</html>"), "no line of it names a column"),
        (stub_of("{\"daily\":"), "cannot be read"),
        (stub_of("[".repeat(900_000)), "cannot be read"),
        (stub_of(b"{\"daily\":\"\xff\xfe\"}".to_vec()), "not text"),
        (stub_of(days(1, &[9.0], &[3.0])), "the low is above the high"),
        (stub_of(days(1, &[-80.0], &[3.0])), "cannot be the temperature"),
        (stub_of(days(-4, &[1.0, 2.0], &[9.0, 9.0])), "every day of that forecast is past"),
        (stub_of(days(1, &[38.0, 40.0], &[62.0, 63.0])), "does not say whether they are C or F"),
        (stub_of(days(1, &[31.0, 30.5], &[32.0, 33.0])), "warmer than a night out of doors is likely to be"),
        (stub_of(""), "no line of it names a column"),
        (endless(), "longer than 1000 kB"),
        (plain(head("500 Oh dear", "")), "status 500"),
        (plain(head("302 Found", "Location: file:///etc/passwd\r\n")), "has moved to 'file:///etc/passwd'"),
        (plain(b"not http at all\r\n\r\n".to_vec()), "cannot be reached"),
        (plain(Vec::new()), "cannot be reached"),
        (closed, "cannot be reached"),
        (nowhere, "cannot be reached: no such host, or no network; the forecast noted last stays"),
        ("http://weather.example/".to_owned(), "has to begin with https://"),
        ("file:///etc/passwd".to_owned(), "has to begin with https://"),
    ] {
        settings(&home, &url, "");
        let line = home.refuses("forecast fetch");
        assert!(line.contains(said), "{url}: {line}");
    }
    assert_eq!(low_of_tonight(&home), 2.0);
}

#[test]
fn without_a_place_nothing_is_ever_asked() {
    let home = Home::with_benches();
    assert!(home.refuses("forecast fetch").contains("no weather service is set"));
    fs::create_dir_all(home.file(".config/thumbpot")).unwrap();
    let (url, asked) = stub(|_| {});
    fs::write(home.file(".config/thumbpot/settings.toml"), format!("forecast_url = '{url}'\n")).unwrap();
    assert!(home.refuses("forecast fetch").contains("latitude"));
    assert!(asked.try_recv().is_err());
    fs::write(
        home.file(".config/thumbpot/settings.toml"),
        format!("latitude=1\nlongitude=1\nforecast_url = '{url}'\n"),
    )
    .unwrap();
    assert!(home.refuses("forecast fetch --on -1d").contains("leave --on out"));
}

#[test]
fn a_hung_server_and_a_dripping_one_are_cut_off() {
    let patience = Patience { time: Duration::from_millis(300), bytes: 1000 };
    let hung = stub(|_| thread::sleep(Duration::from_secs(30))).0;
    let dripping = stub(|stream| {
        let _ = stream.write_all(b"HTTP/1.1 200 OK\r\nContent-Length: 900\r\n\r\n");
        while stream.write_all(b" ").is_ok() {
            thread::sleep(Duration::from_millis(20));
        }
    })
    .0;
    for url in [hung, dripping] {
        let begun = Instant::now();
        assert_eq!(fetch(&address(&url, 1.0, 1.0).unwrap(), patience), Err(FetchError::TooSlow(patience.time)));
        assert!(begun.elapsed() < Duration::from_secs(10), "it goes on waiting");
    }
    assert_eq!(Patience::USUAL, Patience { time: Duration::from_secs(10), bytes: 1_000_000 });
}

/// The screen asks and goes on: keys are taken while a server hangs, and a forecast is shown when it comes.
#[test]
fn the_screen_is_alive_while_it_waits() {
    let body = days(0, &[3.0, -4.0], &[9.0, 11.0]);
    let (go_on, wait) = channel::<()>();
    let (url, asked) = stub(move |stream| {
        let _ = wait.recv();
        let _ = write!(stream, "HTTP/1.1 200 OK\r\nContent-Length: {}\r\n\r\n{body}", body.len());
    });
    let home = home(&url, "");
    let folder = home.file("");
    let environment = [("HOME", folder.as_os_str()), ("TZ", OsStr::new("UTC"))];
    let setting = crate::pty::Setting { environment: &environment, ..crate::pty::Setting::default() };
    let program = Path::new(env!("CARGO_BIN_EXE_thumbpot"));
    let mut session = crate::pty::Session::spawn(program, &[], &setting);
    session.wait_for("Tonight: no forecast", crate::pty::LIMIT);
    session.keys("Ff");
    asked.recv_timeout(crate::pty::LIMIT).unwrap();
    session.wait_for("is being asked", crate::pty::LIMIT);
    session.keys("b");
    session.wait_for("benches", crate::pty::LIMIT);
    session.keys("q");
    session.wait_for("Coming up", crate::pty::LIMIT);
    go_on.send(()).unwrap();
    session.wait_for("Tonight -4 C by", crate::pty::LIMIT);
    // What cannot be asked is told in a line.
    settings(&home, "http://weather.example/", "");
    session.keys("q");
    assert_eq!(session.exit_status(crate::pty::LIMIT), Ok(0));
    let mut session = crate::pty::Session::spawn(program, &[], &setting);
    session.wait_for("Coming up", crate::pty::LIMIT);
    session.keys("Ff");
    session.wait_for("has to begin with https://", crate::pty::LIMIT);
    session.keys("Ft");
    session.wait_for("lowest", crate::pty::LIMIT);
    session.keys("-3\r8\r");
    session.wait_for("Tonight -3 C by", crate::pty::LIMIT);
    assert!(!session.screen().contains("type a night"), "the menu is closed by what was done");
    session.keys("q");
    assert_eq!(session.exit_status(crate::pty::LIMIT), Ok(0));
}
