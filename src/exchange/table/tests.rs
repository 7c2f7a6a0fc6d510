use super::*;
use crate::quantity::Unit;

fn days_in_csv(text: &str) -> Result<Vec<DayOfReadings>, ImportError> {
    super::days_in_csv(text, None).map(|found| found.days)
}

#[test]
fn a_scale_may_differ_by_column_and_is_asked_for_where_only_some_say_it() {
    let found = super::days_in_csv("date,min (F),max (C)\n2026-03-04,41,12\n", None).unwrap();
    assert_eq!((found.days, found.unit), (vec![day("2026-03-04", Some(5.0), Some(12.0))], Unit::Stated));
    let above = days_in_csv("date,min (C),max (F)\n2026-03-04,12,41\n");
    assert_eq!(above, Err(ImportError::LowAboveHigh { line: 2 }));
    let some = "date,min (F),max\n2026-03-04,25,32\n";
    assert_eq!(days_in_csv(some), Err(ImportError::UnitOfSome));
    // Once it is said what the others are, all is said.
    let said = super::days_in_csv(some, Some(Scale::Fahrenheit)).unwrap();
    assert_eq!((said.days[0].high, said.unit), (Some(Celsius(0.0)), Unit::Stated));
    let unit = |text: &str, unit| super::days_in_csv(text, unit).unwrap().unit;
    for (head, stated) in
        [("min,max", Unit::Taken), ("min (C),max", Unit::Taken), ("Air temp degF min,max (F)", Unit::Stated)]
    {
        assert_eq!(unit(&format!("date,{head}\n2026-03-04,25,32\n"), None), stated, "{head}");
        assert_eq!(unit(&format!("date,{head}\n2026-03-04,25,32\n"), Some(Scale::Celsius)), Unit::Stated, "{head}");
    }
}

fn day(on: &str, low: Option<f64>, high: Option<f64>) -> DayOfReadings {
    let in_part = false;
    let (low, high) = (low.map(Celsius), high.map(Celsius));
    DayOfReadings { place: None, on: on.parse().unwrap(), low, high, compost: None, soil: None, in_part }
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

/// Files as loggers of five makes might write them, invented for this check.
#[test]
fn loggers_of_many_hands_are_read() {
    for text in [
        // Semicolons, decimal commas, days first with points, names in another language.
        "Datum;Tiefst;H\u{f6}chst\n03.04.2026;2,5;15,0\n04.04.2026;-1,0;12,0\n",
        // Quoted, in F, by the hour with noon and midnight, months first.
        "\"Date/Time\",\"Temp (\u{b0}F)\",\"RH (%)\"\n\"4/3/2026 4:00 AM\",36.5,90\n\"4/3/2026 2:00 PM\",59,40\n\
         \"4/3/2026 11:00 PM\",30.2,80\n\"4/4/2026 2:00 PM\",53.6,40\n\"4/13/2026 2:00 PM\",53.6,40\n",
        // Days first with strokes, the hour in a column of its own, a preamble.
        "Station: frame\nSerial: 0042\nDate,Time,Outdoor Temp [C]\n03/04/2026,05:00,2.5\n03/04/2026,14:00,15\n\
         03/04/2026,23:30,-1\n04/04/2026,14:00,12\n13/04/2026,14:00,12\n",
        // ISO 8601 with a zone, samples beside battery and signal.
        "timestamp\tbattery_v\ttemperature_c\trssi\n2026-04-03T05:00:00+01:00\t3.1\t2.5\t-80\n\
         2026-04-03T14:00:00+01:00\t3.1\t15\t-80\n2026-04-03T22:00:00+01:00\t3.1\t-1\t-80\n\
         2026-04-04T15:00:00+01:00\t3.1\t12\t-80\n",
        // Months named, a mean between lowest and highest, gaps as dashes.
        "Day,Min Temp,Avg Temp,Max Temp\n3 Apr 2026,2.5,8,15\n4 Apr 2026,-1,6,12\n5 Apr 2026,--,--,--\n",
    ] {
        let days = days_in_csv(text).unwrap_or_else(|error| panic!("{error}: {text}"));
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
    assert_eq!(days_in_csv("date,temp,humidity\n2026-04-03,2.5,80\n2026-04-04,3,80\n"), Err(ImportError::OneADay));
}

#[test]
fn samples_become_nights_and_days() {
    let text = "Timestamp,Temperature_Celsius,Relative_Humidity\n2026-04-03 05:00,3.0,90\n\
                2026-04-03 14:00,17.5,50\n2026-04-03 22:00,2.0,80\n2026-04-04 07:00,4.0,90\n";
    // The low of 22:00 is of the night to the 4th; what the 4th comes to at its warmest is not in the file.
    let days = days_in_csv(text).unwrap();
    let fourth = DayOfReadings { in_part: true, ..day("2026-04-04", Some(2.0), None) };
    assert_eq!(days, [day("2026-04-03", Some(3.0), Some(17.5)), fourth]);
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
        days.iter().map(|day| (day.low.is_some(), day.high.is_some(), day.in_part)).collect()
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
    assert_eq!(days_in_csv("date,min\n3/4/2026,1\n"), Err(ImportError::TwoWays));
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

proptest::proptest! {
    #[test]
    fn no_text_stops_it(text in "[ -~\n\t;°é]{0,300}") {
        let _ = days_in_csv(&text);
        let _ = days_in_csv(&format!("date,min,max\n{text}"));
    }
}
