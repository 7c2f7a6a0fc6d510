use super::*;

fn read(text: &str) -> Result<Vec<DayForecast>, ImportError> {
    forecast_in(text, &Fields::default(), &Beside::default()).map(|found| found.days)
}

fn days(text: &str) -> Vec<(String, f64, f64)> {
    let round = |celsius: Celsius| (celsius.0 * 10.0).round() / 10.0;
    read(text).unwrap().iter().map(|day| (day.day.to_string(), round(day.low), round(day.high))).collect()
}

fn expected() -> Vec<(String, f64, f64)> {
    vec![("2026-04-16".to_owned(), -2.0, 11.0), ("2026-04-17".to_owned(), 0.5, 12.0)]
}

#[test]
fn lists_side_by_side_and_lists_of_days() {
    for text in [
        r#"{"latitude":1,"daily_units":{"time":"iso8601","temperature_2m_min":"°C"},
           "daily":{"time":["2026-04-16","2026-04-17"],"temperature_2m_max":[11,12],"temperature_2m_min":[-2,0.5]}}"#,
        r#"{"daily_units":{"temperature_2m_min":"°F","temperature_2m_max":"°F"},
           "daily":{"time":["2026-04-16","2026-04-17"],"temperature_2m_max":[51.8,53.6],"temperature_2m_min":[28.4,32.9]}}"#,
        r#"[{"date":"2026-04-16","low":-2,"high":11},{"date":"2026-04-17","low":"0.5","high":"12 C"}]"#,
        r#"{"forecast":{"days":[{"day":"2026-04-16","min_f":28.4,"max_f":51.8},{"day":"2026-04-17","min_f":32.9,"max_f":53.6}]}}"#,
        "date;low;high\n16.04.2026;-2;11\n17.04.2026;0,5;12\n",
    ] {
        assert_eq!(days(text), expected(), "{text}");
    }
}

#[test]
fn hours_become_nights_and_days() {
    let lows_and_highs = [(5, 3), (14, 11), (23, -1), (39, 12)];
    let hours = (0..48).map(|hour| {
        let told = lows_and_highs.iter().find(|(at, _)| *at == hour).map_or(6, |told| told.1);
        (format!("\"2026-04-{}T{:02}:00\"", 16 + hour / 24, hour % 24), told.to_string())
    });
    let (times, figures): (Vec<String>, Vec<String>) = hours.unzip();
    let text = format!(r#"{{"hourly":{{"time":[{}],"temperature_2m":[{}]}}}}"#, times.join(","), figures.join(","));
    assert_eq!(days(&text), [("2026-04-16".to_owned(), 3.0, 11.0), ("2026-04-17".to_owned(), -1.0, 12.0)]);
}

/// Sixty hours from three in the afternoon, with lows of 0 at five in the morning: of the first day and the last there is
/// a part only, which would call their nights warm.
#[test]
fn the_ragged_ends_of_hours_are_no_days() {
    let begun = Date::from_ymd_opt(2026, 4, 10).unwrap().and_hms_opt(15, 0, 0).unwrap();
    let hours = |many: i64| {
        let at = (0..many).map(|hour| begun + chrono::TimeDelta::hours(hour));
        let (times, figures): (Vec<String>, Vec<String>) = at
            .map(|at| {
                let hour = f64::from(chrono::Timelike::hour(&at));
                let celsius = 6.0 - 6.0 * ((hour - 5.0) / 24.0 * std::f64::consts::TAU).cos();
                (format!("\"{}\"", at.format("%Y-%m-%dT%H:%M")), format!("{celsius:.1}"))
            })
            .unzip();
        read(&format!(r#"{{"time":[{}],"temperature_2m":[{}]}}"#, times.join(","), figures.join(",")))
    };
    for many in [58, 60] {
        let days: Vec<_> = hours(many).unwrap().iter().map(|day| (day.day.to_string(), day.low.0)).collect();
        assert_eq!(days, [("2026-04-11".to_owned(), 0.0), ("2026-04-12".to_owned(), 0.0)], "{many}");
    }
    assert_eq!(hours(6), Err(ImportError::Empty));
}

#[test]
fn other_shapes_are_one_clear_line() {
    assert_eq!(read("{}"), Err(ImportError::OtherShape));
    assert_eq!(read(r#"{"error":true,"reason":"no"}"#), Err(ImportError::OtherShape));
    assert!(matches!(read("{\"daily\":"), Err(ImportError::Broken(_))));
    assert!(matches!(read(&"[".repeat(1_000_000)), Err(ImportError::Broken(_))));
    assert_eq!(read("<html>busy</html>"), Err(ImportError::NoColumns));
    let list = |low: &str, high: &str| format!(r#"[{{"date":"2026-04-16","low":{low},"high":{high}}}]"#);
    assert!(matches!(read(&list("-80", "3")), Err(ImportError::NotATemperature { .. })));
    assert!(matches!(read(&list("9", "3")), Err(ImportError::DayLowAboveHigh { .. })));
    assert!(matches!(read(&list("\"\\u001b[2J\"", "3")), Err(ImportError::NotATemperature { .. })));
    let nothing = r#"{"time":["2026-04-16"],"min":[null],"max":[3]}"#;
    assert_eq!(read(nothing), Err(ImportError::Empty));
    let no_figure = nothing.replace("null", r#""n/a""#);
    assert_eq!(read(&no_figure), Err(ImportError::Empty));
    let lacking = |text: &str| read(text).unwrap_err().to_string();
    assert!(lacking("date,high\n2026-05-10,14\n2026-05-11,15\n").contains("the lows are missing"));
    assert!(lacking("date,low\n2026-05-10,4\n2026-05-11,5\n").contains("the highs are missing"));
    assert!(lacking("date,low,high\n2026-05-10,4,n/a\n2026-05-11,,15\n").contains("needs both"));
}

/// Days stamped at noon or at midnight by the clock of the garden, which is put on an hour on the 29th; and hours that have a
/// box of their own, of which none is a day.
#[test]
fn days_may_be_stamped_and_have_their_figures_in_a_box() {
    let list = |stamps: &[i64]| {
        let day = |at: &i64| format!(r#"{{"dt":{at},"temp":{{"day":9,"min":4,"max":14}},"wind":3}}"#);
        format!(r#"{{"list":[{}]}}"#, stamps.iter().map(day).collect::<Vec<_>>().join(","))
    };
    let at = |text: &str| text.parse::<chrono::DateTime<chrono::Utc>>().unwrap().timestamp();
    for (zone, stamps) in [
        (0, ["2026-03-28T12:00:00Z", "2026-03-30T12:00:00Z"]),
        (1, ["2026-03-27T23:00:00Z", "2026-03-29T22:00:00Z"]),
        (-5, ["2026-03-28T05:00:00Z", "2026-03-30T04:00:00Z"]),
        (12, ["2026-03-28T00:00:00Z", "2026-03-30T00:00:00Z"]),
    ] {
        let beside = Beside { zone: zone * 3600, ..Beside::default() };
        let found = forecast_in(&list(&stamps.map(at)), &Fields::default(), &beside).unwrap().days;
        let days: Vec<_> = found.iter().map(|day| (day.day.to_string(), day.low.0, day.high.0)).collect();
        assert_eq!(days, [("2026-03-28".to_owned(), 4.0, 14.0), ("2026-03-30".to_owned(), 4.0, 14.0)], "{zone}");
    }
    let by_three_hours: Vec<i64> = (0..8).map(|step| 1_778_414_400 + step * 10_800).collect();
    assert_eq!(read(&list(&by_three_hours)), Err(ImportError::OtherShape));
}

#[test]
fn a_day_that_stands_twice_is_told_where_it_differs() {
    for text in [
        "date,low,high\n2026-05-11,4,14\n2026-05-11,6,15\n2026-05-12,6,14\n2026-05-12,6,14\n",
        r#"[{"date":"2026-05-11","low":4,"high":14},{"date":"2026-05-11","low":6,"high":15},
            {"date":"2026-05-12","low":6,"high":14},{"date":"2026-05-12","low":6,"high":14}]"#,
    ] {
        assert_eq!(days(text), [("2026-05-11".to_owned(), 4.0, 15.0), ("2026-05-12".to_owned(), 6.0, 14.0)]);
        let found = forecast_in(text, &Fields::default(), &Beside::default()).unwrap();
        assert_eq!(Vec::from_iter(found.twice), [Date::from_ymd_opt(2026, 5, 11).unwrap()], "{text}");
    }
}

#[test]
fn a_grower_can_say_what_an_answer_calls_things() {
    let text = r#"{"v":{"t":["2026-04-16","2026-04-17"],"tn":[28.4,32.9],"tx":[51.8,53.6],"temp_min":[1,1]}}"#;
    assert_eq!(read(text), Err(ImportError::OtherShape));
    let some = |text: &str| Some(text.to_owned());
    let named = Fields { day: some("t"), low: some("TN"), high: some("tx") };
    let beside = Beside { unit: Some(Scale::Fahrenheit), ..Beside::default() };
    let days = forecast_in(text, &named, &beside).unwrap().days;
    let round = |celsius: Celsius| (celsius.0 * 10.0).round() / 10.0;
    let days: Vec<_> = days.iter().map(|day| (day.day.to_string(), round(day.low), round(day.high))).collect();
    assert_eq!(days, expected());
    // Without the unit it is asked for.
    let warm = text.replace("28.4,32.9", "38,40");
    assert_eq!(forecast_in(&warm, &named, &Beside::default()), Err(ImportError::WhichScale(33.0)));
}

/// A mean is neither the lowest nor the highest of its day, in whatever form it comes.
#[test]
fn one_temperature_a_day_is_no_forecast() {
    for text in [
        r#"{"daily":{"time":["2026-05-11","2026-05-12"],"temperature_2m_mean":[10,11]}}"#,
        "date,temperature_2m_mean\n2026-05-11,10\n2026-05-12,11\n",
    ] {
        assert_eq!(read(text), Err(ImportError::NoHours), "{text}");
    }
}

/// Boxes of a low and a high that are no temperature of the air, before and behind the one that is.
#[test]
fn a_low_and_a_high_are_of_one_box_and_of_the_air() {
    let day = |boxes: &str| read(&format!(r#"[{{"date":"2026-05-11",{boxes}}}]"#));
    let round = |celsius: Celsius| (celsius.0 * 10.0).round() / 10.0;
    let both = |day: &DayForecast| (round(day.low), round(day.high));
    let figures = |boxes: &str| day(boxes).map(|days| days.iter().map(both).collect());
    for boxes in [
        r#""dew_point":{"min":-9,"max":-2},"temperature":{"min":4,"max":14}"#,
        r#""soil_temperature":{"min":9,"max":12},"temperature":{"min":4,"max":14}"#,
        r#""feels_like":{"min":1,"max":12},"temp":{"min":4,"max":14}"#,
        r#""humidity":{"min":20,"max":30},"temp":{"min":4,"max":14}"#,
        r#""day":{"low":1},"range":{"min":2,"max":5},"temp":{"min":4,"max":14}"#,
        r#""range":{"min":4,"max":14}"#,
        r#""temperature_f":{"min":39.2,"max":57.2}"#,
    ] {
        assert_eq!(figures(boxes), Ok(vec![(4.0, 14.0)]), "{boxes}");
    }
    for boxes in [r#""humidity":{"min":20,"max":30}"#, r#""morning":{"min":2},"noon":{"max":12}"#] {
        assert_eq!(day(boxes), Err(ImportError::OtherShape), "{boxes}");
    }
    let two = day(r#""temp_attic":{"min":9,"max":19},"temp_yard":{"min":4,"max":14}"#);
    assert_eq!(two, Err(ImportError::TwoColumns("temp_attic".to_owned(), "temp_yard".to_owned())));
}

#[test]
fn days_with_strokes_tell_their_order_by_all_of_the_list() {
    let lists = |days: [&str; 3]| read(&format!(r#"{{"day":{days:?},"low":[4,5,6],"high":[14,15,16]}}"#));
    let rows = |days: [&str; 3]| {
        let rows = days.map(|day| format!(r#"{{"day":"{day}","low":4,"high":14}}"#));
        read(&format!("[{}]", rows.join(",")))
    };
    for read in [&lists as &dyn Fn([&str; 3]) -> _, &rows] {
        let days: Vec<DayForecast> = read(["29/11/2026", "30/11/2026", "01/12/2026"]).unwrap();
        let days: Vec<String> = days.iter().map(|day| day.day.to_string()).collect();
        assert_eq!(days, ["2026-11-29", "2026-11-30", "2026-12-01"]);
        assert_eq!(read(["13/05/2026", "05/14/2026", "15/05/2026"]), Err(ImportError::TwoWays));
    }
}

/// In Auckland, twelve hours ahead: a frost at 16:00 UTC of the 12th is at four in the morning of the 13th.
#[test]
fn hours_with_a_zone_are_turned_to_the_growers() {
    let nights = |head: &str, zone: &str| {
        let hours = (0..72).map(|hour| (10 + hour / 24, hour % 24));
        let (times, figures): (Vec<String>, Vec<String>) = hours
            .map(|at| {
                (
                    format!("\"2026-05-{:02}T{:02}:00{zone}\"", at.0 + 1, at.1),
                    if at == (11, 16) { "-3" } else { "8" }.to_owned(),
                )
            })
            .unzip();
        let text = format!(r#"{{"{head}":[{}],"temperature_2m":[{}]}}"#, times.join(","), figures.join(","));
        let found = forecast_in(&text, &Fields::default(), &Beside { zone: 12 * 3600, ..Beside::default() });
        let days = found.unwrap().days;
        days.iter().map(|day| (day.day.to_string(), day.low.0)).collect::<Vec<_>>()
    };
    for (head, zone) in [("time", "Z"), ("time_utc", ""), ("time", ":00+00:00")] {
        let frosts: Vec<_> = nights(head, zone).into_iter().filter(|night| night.1 < 0.0).collect();
        assert_eq!(frosts, [("2026-05-13".to_owned(), -3.0)], "{head} {zone}");
    }
    // A day that stands for itself is as it is written.
    let midnights = r#"[{"time":"2026-05-11T00:00:00Z","low":4,"high":14}]"#;
    let day = |text: &str, zone: i32| {
        let beside = Beside { zone: zone * 3600, ..Beside::default() };
        forecast_in(text, &Fields::default(), &beside).unwrap().days[0].day.to_string()
    };
    assert_eq!((day(midnights, -5), day(midnights, 12)), ("2026-05-11".to_owned(), "2026-05-11".to_owned()));
    let own = r#"[{"time":"2026-05-10T22:00:00Z","low":4,"high":14}]"#;
    assert_eq!(day(own, 2), "2026-05-11", "midnight in Berlin");
    assert_eq!(day(&own.replace('Z', "+02:00"), -5), "2026-05-10");
}

proptest::proptest! {
    #[test]
    fn no_text_stops_it(text in r#"[\[\]{}:,"a-z0-9 -]{0,200}"#) {
        let _ = read(&text);
    }
}
