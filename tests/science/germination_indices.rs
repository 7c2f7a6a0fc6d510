//! Germination figures against the printed output of the R package germinationmetrics (test suite and vignette) and
//! against 50-digit arithmetic, for its sixteen samples and the edges.

use thumbpot::science::indices::{Course, Inspection, Undefined};

use super::{assert_near, count, number, numbers, rows};

#[test]
fn every_figure_agrees_or_is_undefined() {
    let rows = rows(include_str!("../data/indices.json"));
    assert_eq!(rows.len(), 39);
    let mut compared = 0;
    for row in &rows {
        let inputs = &row["inputs"];
        let counts = inputs["counts"].as_array().unwrap();
        let inspections = numbers(&inputs["times"])
            .into_iter()
            .zip(counts)
            .map(|(time, emerged)| Inspection { time, emerged: count(emerged) })
            .collect();
        let course = Course::new(inspections, count(&inputs["sown"])).unwrap();
        for (name, wanted) in row["expected"].as_object().unwrap() {
            let got: Result<f64, Undefined> = match name.as_str() {
                "final_percent" => course.final_share().map(|share| 100.0 * share),
                "mgt" => course.mean_time(),
                "mean_rate" => course.mean_time().map(|time| 1.0 / time),
                "var_gt" => course.time_variance(),
                "se_gt" => course.mean_time_error(),
                "cvg_kotowski" => course.velocity(),
                "t50_coolbear_linear" => course.t50(),
                "t50_farooq_linear" => course.time_of_emerged(0.5),
                "t10_of_germinated" => course.time_of_emerged(0.1),
                "t90_of_germinated" => course.time_of_emerged(0.9),
                "uniformity_t90_t10" => {
                    course.time_of_emerged(0.9).and_then(|late| Ok(late - course.time_of_emerged(0.1)?))
                }
                // The program has no use for these.
                "t50_of_sown" | "t90_of_sown" | "speed_maguire" | "synchrony_z" | "uncertainty_u_bits" => continue,
                other => panic!("{other} is not one of ours"),
            };
            let wanted = number(wanted);
            match got {
                Ok(got) => assert_near(row, name, got, wanted),
                Err(_) => assert!(wanted.is_nan(), "{} {name} is defined", row["id"]),
            }
            compared += 1;
        }
    }
    assert!(compared > 250, "{compared}");
}
