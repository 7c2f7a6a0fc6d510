use super::*;
use crate::quantity::Unit;

fn days_in_csv(text: &str) -> Result<Vec<DayOfReadings>, ImportError> {
    said(text, None).map(|found| found.days)
}

fn said(text: &str, unit: Option<Scale>) -> Result<Days<DayOfReadings>, ImportError> {
    super::days_in_csv(text, &Beside { unit, ..Beside::default() })
}

#[test]
fn a_scale_may_differ_by_column_and_is_asked_for_where_only_some_say_it() {
    let found = said("date,min (F),max (C)\n2026-03-04,41,12\n", None).unwrap();
    assert_eq!((found.days, found.unit), (vec![day("2026-03-04", Some(5.0), Some(12.0))], Unit::Stated));
    let above = days_in_csv("date,min (C),max (F)\n2026-03-04,12,41\n");
    assert_eq!(above, Err(ImportError::LowAboveHigh { line: 2 }));
    let some = "date,min (F),max\n2026-03-04,25,32\n";
    assert_eq!(days_in_csv(some), Err(ImportError::UnitOfSome));
    // Once it is said what the others are, all is said.
    let told = said(some, Some(Scale::Fahrenheit)).unwrap();
    assert_eq!((told.days[0].high, told.unit), (Some(Celsius(0.0)), Unit::Stated));
    let unit = |text: &str, unit| said(text, unit).unwrap().unit;
    for (head, stated) in
        [("min,max", Unit::Taken), ("min (C),max", Unit::Taken), ("Air temp degF min,max (F)", Unit::Stated)]
    {
        assert_eq!(unit(&format!("date,{head}\n2026-03-04,25,32\n"), None), stated, "{head}");
        assert_eq!(unit(&format!("date,{head}\n2026-03-04,25,32\n"), Some(Scale::Celsius)), Unit::Stated, "{head}");
    }
}

fn day(on: &str, low: Option<f64>, high: Option<f64>) -> DayOfReadings {
    let (night, noon) = (None, None);
    let (low, high) = (low.map(Celsius), high.map(Celsius));
    DayOfReadings { place: None, on: on.parse().unwrap(), low, high, compost: None, soil: None, night, noon }
}

/// What could be degrees F is none where the others show that the column is in degrees C.
#[test]
fn a_figure_that_cannot_be_is_not_left_out_unsaid() {
    let text = "date,low,high\n2026-04-16,3,11\n2026-04-17,4,99\n2026-04-18,2,12\n";
    let refused = days_in_csv(text).unwrap_err();
    assert_eq!(refused, ImportError::NotATemperature { line: 3, text: "99".to_owned() });
    let compost = "date,compost\n2026-04-16,18\n2026-04-17,90\n2026-04-18,19\n";
    assert!(matches!(days_in_csv(compost), Err(ImportError::NotATemperature { line: 3, .. })));
}

#[test]
fn a_table_of_lows_and_highs_in_any_dress() {
    let expected = [day("2026-04-03", Some(2.5), Some(15.0)), day("2026-04-04", Some(-1.0), Some(12.0))];
    for text in [
        "date,min,max\n2026-04-03,2.5,15\n2026-04-04,-1,12\n",
        "Export of logger 3\n\nDay;Low;High\n03.04.2026;2,5;15\n04.04.2026;-1;12\n",
        "\u{feff}Date\tMin Temp (°F)\tMax Temp (°F)\tHumidity\n2026-04-03\t36.5\t59\t80\n2026-04-04\t30.2\t53.6\t81\n",
        "when,unit,lowest,highest\r\n2026/04/03,F,36.5,59\r\n2026/04/04,F,30.2,53.6\r\n\r\n",
    ] {
        let days = days_in_csv(text).unwrap();
        for (got, wanted) in days.iter().zip(&expected) {
            assert_eq!(got.on, wanted.on, "{text}");
            assert!((got.low.unwrap().0 - wanted.low.unwrap().0).abs() < 1e-9, "{text}");
            assert!((got.high.unwrap().0 - wanted.high.unwrap().0).abs() < 1e-9, "{text}");
        }
        assert_eq!(days.len(), 2);
    }
}

/// Every three hours of the 3rd and the 4th of April, with a low of 2.5 C at six and -1 C at nine in the evening, and
/// highs of 15 C and 12 C at three, each written by a hand: of the day, the hour and the temperature.
fn sampled(hand: impl Fn(u32, u32, f64) -> String) -> String {
    let celsius = |at: (u32, u32)| match at {
        (3, 6) => 2.5,
        (3, 15) => 15.0,
        (3, 21) => -1.0,
        (4, 15) => 12.0,
        _ => 8.0,
    };
    let hours = (3..=4).flat_map(|day| (0..24).step_by(3).map(move |hour| (day, hour)));
    hours.map(|at| hand(at.0, at.1, celsius(at))).collect()
}

/// Files as loggers of five makes might write them, invented for this check.
#[test]
fn loggers_of_many_hands_are_read() {
    let by_noon = |hour: u32| ((hour + 11) % 12 + 1, if hour < 12 { "AM" } else { "PM" });
    for text in [
        // Semicolons, decimal commas, days first with points, names in another language.
        "Datum;Tiefst;H\u{f6}chst\n03.04.2026;2,5;15,0\n04.04.2026;-1,0;12,0\n".to_owned(),
        // Quoted, in F, with noon and midnight, months first.
        "\"Date/Time\",\"Temp (\u{b0}F)\",\"RH (%)\"\n".to_owned()
            + &sampled(|day, hour, celsius| {
                let (hour, noon) = by_noon(hour);
                format!("\"4/{day}/2026 {hour}:00 {noon}\",{:.1},90\n", celsius * 1.8 + 32.0)
            })
            + "\"4/13/2026 2:00 PM\",53.6,40\n",
        // Days first with strokes, the hour in a column of its own, a preamble.
        "Station: frame\nSerial: 0042\nDate,Time,Outdoor Temp [C]\n".to_owned()
            + &sampled(|day, hour, celsius| format!("{day:02}/04/2026,{hour:02}:30,{celsius}\n"))
            + "13/04/2026,14:00,12\n",
        // ISO 8601 with a zone, samples beside battery and signal.
        "timestamp\tbattery_v\ttemperature_c\trssi\n".to_owned()
            + &sampled(|day, hour, celsius| format!("2026-04-{day:02}T{hour:02}:00:00+01:00\t3.1\t{celsius}\t-80\n")),
        // Months named, a mean between lowest and highest, gaps as dashes.
        "Day,Min Temp,Avg Temp,Max Temp\n3 Apr 2026,2.5,8,15\n4 Apr 2026,-1,6,12\n5 Apr 2026,--,--,--\n".to_owned(),
    ] {
        // The grower's clock is that of the one with a zone.
        let found = super::days_in_csv(&text, &Beside { zone: 3600, ..Beside::default() });
        let days = found.unwrap_or_else(|error| panic!("{error}: {text}")).days;
        for (got, (on, low, high)) in days.iter().zip([("2026-04-03", 2.5, 15.0), ("2026-04-04", -1.0, 12.0)]) {
            let near = |it: Option<Celsius>, wanted: f64| it.is_some_and(|it| (it.0 - wanted).abs() < 0.01);
            assert!(got.on.to_string() == on && near(got.low, low) && near(got.high, high), "{got:?}: {text}");
        }
    }
}

/// Columns that do not say what they hold are asked about, not guessed, even where one is always the lower.
#[test]
fn columns_that_say_nothing_are_asked_about() {
    for (text, named) in [
        ("Datum;Innen;Aussen\n03.04.2026;2,5;15\n04.04.2026;9;12\n", "'Innen', 'Aussen'"),
        ("date,x,y\n2026-04-03,2,9\n", "'x', 'y'"),
        ("Datum;Luftdruck\n03.04.2026;1010\n", "'Luftdruck'"),
    ] {
        assert_eq!(days_in_csv(text), Err(ImportError::Unnamed(named.to_owned())), "{text}");
    }
    assert_eq!(days_in_csv("2026-04-03,2,9\n"), Err(ImportError::NoColumns));
}

/// Hourly files of other languages: humidity, whatever its figures, is no temperature.
#[test]
fn humidity_is_no_temperature() {
    for (head, humidity) in [
        ("Datum;Temperatur;Feuchte", 30),
        ("Datum;Temperatur (\u{b0}C);Feuchte", 80),
        ("Horodatage;Temp\u{e9}rature;Humidit\u{e9}", 80),
    ] {
        let hours = (0..24).map(|hour| format!("03.04.2026 {hour:02}:00;{};{humidity}\n", 2 + hour / 2));
        let days = days_in_csv(&format!("{head}\n{}", hours.collect::<String>())).unwrap();
        assert_eq!(days[0], day("2026-04-03", Some(2.0), Some(13.0)), "{head}");
    }
}

#[test]
fn compost_and_soil_are_never_air() {
    let read = |text: &str| {
        let day = days_in_csv(text).unwrap().remove(0);
        [day.low, day.high, day.compost, day.soil].map(|it| it.map(|it| it.0))
    };
    let row = |head: &str, cells: &str| read(&format!("{head}\n2026-04-03,{cells}\n"));
    assert_eq!(row("date,compost temp min,compost temp max", "14,18"), [None, None, Some(16.0), None]);
    assert_eq!(row("date,soil temp", "9"), [None, None, None, Some(9.0)]);
    assert_eq!(row("date,compost", "19"), [None, None, Some(19.0), None]);
    assert_eq!(row("date,min,max,compost", "3,12,19"), [Some(3.0), Some(12.0), Some(19.0), None]);
    let two = days_in_csv("date,compost 1,compost 2\n2026-04-03,14,18\n");
    assert!(matches!(two, Err(ImportError::TwoColumns(..))), "{two:?}");
}

#[test]
fn one_temperature_a_day_is_neither_lowest_nor_highest() {
    assert_eq!(days_in_csv("date,temp,humidity\n2026-04-03,2.5,80\n2026-04-04,3,80\n"), Err(ImportError::NoHours));
}

#[test]
fn samples_become_nights_and_days() {
    let hours = sampled(|day, hour, celsius| format!("2026-04-{day:02} {hour:02}:00,{celsius},90\n"));
    // The low of 21:00 on the 3rd is of the night to the 4th; of the night to the 5th there is an evening only.
    let days = days_in_csv(&format!("Timestamp,Temperature_Celsius,Relative_Humidity\n{hours}")).unwrap();
    let fifth = DayOfReadings { night: Some(Unseen::InPart), ..day("2026-04-05", None, None) };
    assert_eq!(days, [day("2026-04-03", Some(2.5), Some(15.0)), day("2026-04-04", Some(-1.0), Some(12.0)), fifth]);
}

/// A logger that was silent each night from nine in the evening, and one that missed a noon: what it read before and after is
/// neither the night's lowest nor the day's highest.
#[test]
fn a_night_or_a_noon_that_was_not_seen_has_no_figure() {
    let hours = |is_silent: fn(u32, u32) -> bool| {
        let all = (1..=4).flat_map(|day| (0..24).map(move |hour| (day, hour))).filter(|at| !is_silent(at.0, at.1));
        let text: String = all.map(|(day, hour)| format!("2026-05-{day:02} {hour:02}:00,{}\n", 4 + hour)).collect();
        days_in_csv(&format!("time,temperature\n{text}"))
    };
    let days = hours(|_, hour| !(9..21).contains(&hour)).unwrap();
    let (silent, begins) = (Some(Unseen::Gap { from: 21, to: 9 }), Some(Unseen::InPart));
    assert!(days.iter().all(|day| day.low.is_none()), "{days:?}");
    let nights: Vec<_> = days.iter().map(|day| day.night).collect();
    assert_eq!(nights, [begins, silent, silent, silent, begins]);
    assert!(days[..4].iter().all(|day| day.high == Some(Celsius(24.0)) && day.noon.is_none()), "{days:?}");
    let days = hours(|day, hour| day == 2 && (10..18).contains(&hour)).unwrap();
    assert_eq!((days[1].low, days[1].high), (Some(Celsius(4.0)), None));
    assert_eq!(days[1].noon, Some(Unseen::Gap { from: 11, to: 18 }));
    assert_eq!((days[2].low, days[2].high), (Some(Celsius(4.0)), Some(Celsius(27.0))));
    // A file that saw no night and no noon at all says what it would take.
    let refused = hours(|_, hour| hour != 9 && hour != 18).unwrap_err();
    assert_eq!(refused, ImportError::NoWholeDay);
}

/// Samples by the hour from the afternoon of the 2nd to the morning of the 4th: the night to the 2nd and the day of
/// the 4th are not in them, and neither is the night to the 5th whose first hours are.
#[test]
fn what_a_file_holds_in_part_only_is_left_out() {
    let sample = |(day, hour): (u32, u32)| {
        let celsius = 10.0 + f64::from(hour) / 4.0;
        format!("2026-04-{day:02} {hour:02}:00,{celsius}\n")
    };
    let hours = |last: u32| {
        let all = (2..=4).flat_map(|day| (0..24).map(move |hour| (day, hour)));
        let text: String = all.filter(|at| *at >= (2, 16) && *at <= (4, last)).map(sample).collect();
        days_in_csv(&format!("time,temperature\n{text}")).unwrap()
    };
    let told = |days: &[DayOfReadings]| -> Vec<(bool, bool, bool)> {
        days.iter().map(|day| (day.low.is_some(), day.high.is_some(), day.night.or(day.noon).is_some())).collect()
    };
    // To nine in the morning of the 4th, and to eight in its evening.
    assert_eq!(told(&hours(9)), [(false, false, true), (true, true, false), (true, false, true)]);
    let evening = [(false, false, true), (true, true, false), (true, true, false), (false, false, true)];
    assert_eq!(told(&hours(20)), evening);
    assert_eq!(days_in_csv("time,temperature\n2026-04-02 16:00,9\n"), Err(ImportError::NoWholeDay));
}

#[test]
fn strokes_are_read_only_when_some_day_tells() {
    assert_eq!(days_in_csv("date,min\n3/4/2026,1\n13/4/2026,2\n").unwrap()[0].on.to_string(), "2026-04-03");
    assert_eq!(days_in_csv("date,min\n4/3/2026,1\n4/13/2026,2\n").unwrap()[0].on.to_string(), "2026-04-03");
    assert_eq!(days_in_csv("date,min\n3/4/2026,1\n4/4/2026,1\n").unwrap()[1].on.to_string(), "2026-04-04");
    let one = "date,min\n3/4/2026,1\n";
    assert_eq!(days_in_csv(one), Err(ImportError::TwoWays));
    let month_first = Beside { order: Some(DateOrder::MonthFirst), ..Beside::default() };
    assert_eq!(super::days_in_csv(one, &month_first).unwrap().days[0].on.to_string(), "2026-03-04");
    let wrong = super::days_in_csv("date,min\n13/4/2026,1\n", &month_first);
    assert_eq!(wrong, Err(ImportError::NotADay { line: 2, text: "13/4/2026".to_owned() }));
    assert_eq!(days_in_csv("date,min\n13/4/2026,1\n4/13/2026,1\n"), Err(ImportError::TwoWays));
}

#[test]
fn what_cannot_be_is_refused_in_one_line() {
    let refused = |text: &str| days_in_csv(text).unwrap_err();
    assert_eq!(refused(""), ImportError::NoColumns);
    assert_eq!(refused("a,b\n1,2\n"), ImportError::NoColumns);
    assert_eq!(refused("date,min,max\n"), ImportError::Empty);
    assert!(matches!(refused("date,min\nsoon,3\n"), ImportError::NotADay { line: 2, .. }));
    assert!(matches!(refused("date,min\n2026-04-03,-80\n"), ImportError::NotATemperature { line: 2, .. }));
    assert!(matches!(refused("date,min\n2026-04-03,cold\n"), ImportError::NotATemperature { line: 2, .. }));
    assert!(matches!(refused("date,min,max\n2026-04-03,9,3\n"), ImportError::LowAboveHigh { line: 2 }));
    assert!(matches!(refused("date,indoor temp,outdoor temp\n2026-04-03,9,3\n"), ImportError::TwoColumns(..)));
    // A low without a high and a temperature beside it: `min` may be minutes.
    assert!(matches!(refused("time,min,temp (C)\n2026-04-03 05:00,0,4\n"), ImportError::TwoColumns(..)));
    assert!(matches!(refused("date,min,max\n2026-04-03,38,62\n2026-04-04,40,65\n"), ImportError::WhichScale(_)));
    // Hostile text does not come back as it was.
    let hostile = refused("date,min\n\u{1b}[2Jx,3\n").to_string();
    assert!(!hostile.contains('\u{1b}'), "{hostile}");
}

/// Four a day and not one hour: which of them are of a night nothing says, and what is beside them stays.
#[test]
fn samples_without_their_hours_are_neither_lowest_nor_highest() {
    let four = "date,temp\n2026-04-03,0\n2026-04-03,4\n2026-04-03,18\n2026-04-03,9\n";
    assert_eq!(days_in_csv(four), Err(ImportError::NoHours));
    let beside =
        days_in_csv(&four.replace("temp\n", "temp,compost\n").replace("\n2026-04-03,9\n", "\n2026-04-03,9,17\n"));
    let unseen = Some(Unseen::InPart);
    let told =
        DayOfReadings { compost: Some(Celsius(17.0)), night: unseen, noon: unseen, ..day("2026-04-03", None, None) };
    assert_eq!(beside, Ok(vec![told]));
}

/// What a place is called says nothing of what was read there.
#[test]
fn the_name_of_a_place_is_not_taken_for_what_was_read() {
    let places = ["high tunnel", "max's bed", "daylight shelf", "kitchen"].map(|name| Name::of_place(name).unwrap());
    let beside = Beside { places: places.to_vec(), ..Beside::default() };
    let low_and_high = |head: &str| {
        let text = format!("{head}\n2026-04-03,4,14\n2026-04-04,5,15\n");
        super::days_in_csv(&text, &beside).map(|found| (found.days[0].low, found.days[0].high))
    };
    for head in [
        "date,windowsill min,windowsill max",
        "day,day low,day high",
        "date,Window low,Window high",
        "date,high tunnel min,high tunnel max",
        "date,Max's bed min,Max's bed max",
        "date,daylight shelf min,daylight shelf max",
    ] {
        assert_eq!(low_and_high(head), Ok((Some(Celsius(4.0)), Some(Celsius(14.0)))), "{head}");
    }
    for head in ["time,high tunnel temp", "time,low tunnel temp", "time,max's bed"] {
        let few = super::days_in_csv(&format!("{head}\n2026-04-03 12:00,18\n2026-04-03 13:00,19\n"), &beside);
        assert_eq!(few, Err(ImportError::NoWholeDay), "{head}");
    }
}

#[test]
fn a_day_without_its_year_was_read_before_the_import() {
    let read = |text: &str| {
        let beside = Beside { on: "2026-11-26".parse().unwrap(), ..Beside::default() };
        super::days_in_csv(&format!("day,min\n{text},4\n"), &beside).unwrap().days[0].on.to_string()
    };
    assert_eq!(read("10 Feb"), "2026-02-10");
    assert_eq!(read("26.11."), "2026-11-26");
    assert_eq!(read("15 Dec"), "2025-12-15");
    // Of a clock that is ahead, or a slip in `--on`: it is not noted a year back.
    assert_eq!(read("28 Nov"), "2026-11-28");
}

/// Hours of a zone that is written, in the row or over it, are turned to the grower's; hours without are the grower's.
#[test]
fn samples_in_another_zone_are_of_the_growers_night() {
    let frost = |head: &str, zone: &str, ahead: i32| {
        let hours = (0..96).map(|hour| (10 + hour / 24, hour % 24));
        let row = |at: (u32, u32)| {
            let celsius = if at == (11, 16) { -3 } else { 8 };
            format!("2026-05-{:02} {:02}:30{zone},{celsius}\n", at.0, at.1)
        };
        let text = format!("{head},temperature\n{}", hours.map(row).collect::<String>());
        let found = super::days_in_csv(&text, &Beside { zone: ahead * 3600, ..Beside::default() }).unwrap();
        let frosts = found.days.iter().filter(|day| day.low.is_some_and(|low| low.0 < 0.0));
        frosts.map(|day| day.on.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(frost("Time", "", 12), ["2026-05-11"]);
    for (head, zone) in [("Time", "Z"), ("Time", " UTC"), ("Time (UTC)", ""), ("Date/Time (GMT+00:00)", "")] {
        assert_eq!(frost(head, zone, 12), ["2026-05-12"], "{head} {zone}");
    }
    for (head, zone) in [("Time", " +12:00"), ("Time", "+1200"), ("Timestamp UTC+12", "")] {
        assert_eq!(frost(head, zone, 12), ["2026-05-11"], "{head} {zone}");
        assert_eq!(frost(head, zone, -12), ["2026-05-10"], "{head} {zone}");
    }
}

proptest::proptest! {
    #[test]
    fn no_text_stops_it(text in "[ -~\n\t;°é]{0,300}") {
        let _ = days_in_csv(&text);
        let _ = days_in_csv(&format!("date,min,max\n{text}"));
    }
}
