//! The likelihood of grouped counts under a log-logistic curve, with its derivatives.

use super::super::emergence::share_at;
use super::super::indices::Course;
use super::NoFit;

/// A curve as the search sees it: `z = slope * age - intercept`, with age the logarithm of time in units of the first
/// guess at the median. In these the likelihood has straight ridges, which Newton's method follows.
#[derive(Clone, Copy)]
pub(super) struct Point {
    pub(super) slope: f64,
    pub(super) intercept: f64,
    pub(super) share: f64,
}

/// The log-likelihood at a point, its gradient, and minus its second derivatives, by slope, intercept and share.
pub(super) struct Bend {
    pub(super) value: f64,
    pub(super) gradient: [f64; 3],
    pub(super) information: [[f64; 3]; 3],
}

/// Seeds that came up between two ages; sowing is at minus infinity.
pub(super) struct Cell {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) seeds: f64,
}

pub(super) struct Data {
    pub(super) cells: Vec<Cell>,
    /// The logarithm of the unit of time.
    pub(super) log_unit: f64,
    pub(super) end: f64,
    pub(super) left: f64,
    pub(super) start: Point,
}

impl Data {
    /// The counts with a first guess.
    pub(super) fn of(course: &Course) -> Result<Self, NoFit> {
        let log_unit = course.t50().map_err(|_| NoFit::NoneUp)?.ln();
        let mut from = f64::NEG_INFINITY;
        let mut cells = Vec::new();
        for inspection in course.inspections() {
            let to = inspection.time.ln() - log_unit;
            if inspection.emerged > 0 {
                cells.push(Cell { from, to, seeds: f64::from(inspection.emerged) });
            }
            from = to;
        }
        if cells.len() < 2 {
            return Err(if cells.is_empty() { NoFit::NoneUp } else { NoFit::OneInterval });
        }
        if cells.len() == 2 && cells[0].to == cells[1].from {
            // An ever steeper curve through the inspection between them fits ever better.
            return Err(NoFit::NotDetermined);
        }
        let time = |share| course.time_of_emerged(share).map_err(|_| NoFit::NoneUp);
        let (early, late) = (time(0.25)?, time(0.75)?);
        let start = Point {
            slope: (9f64.ln() / (late / early).ln()).clamp(0.5, 100.0),
            intercept: 0.0,
            share: (f64::from(course.emerged()) / f64::from(course.sown())).min(0.99),
        };
        Ok(Self { cells, log_unit, end: from, left: f64::from(course.sown() - course.emerged()), start })
    }

    /// `None` outside what the parameters can be.
    pub(super) fn bend(&self, point: Point) -> Option<Bend> {
        if !(point.slope > 1e-3 && point.slope < 1e4 && point.share > 0.0) {
            return None;
        }
        let mut bend = Bend { value: 0.0, gradient: [0.0; 3], information: [[0.0; 3]; 3] };
        for cell in &self.cells {
            let (from, to) = (point.at(cell.from), point.at(cell.to));
            // Late in the curve both shares are near 1: there their difference is taken from the other side.
            let gap = if from.z > 0.0 { share_at(-from.z) - share_at(-to.z) } else { to.share - from.share };
            let by = |i: usize| to.first[i] - from.first[i];
            let second = |i: usize, j: usize| to.second[i][j] - from.second[i][j];
            bend.add(
                cell.seeds,
                Term {
                    value: point.share * gap,
                    first: [point.share * by(0), point.share * by(1), gap],
                    second: [
                        [point.share * second(0, 0), point.share * second(0, 1), by(0)],
                        [point.share * second(1, 0), point.share * second(1, 1), by(1)],
                        [by(0), by(1), 0.0],
                    ],
                },
            )?;
        }
        if self.left > 0.0 {
            let end = point.at(self.end);
            let d = point.share;
            bend.add(
                self.left,
                Term {
                    value: 1.0 - d * end.share,
                    first: [-d * end.first[0], -d * end.first[1], -end.share],
                    second: [
                        [-d * end.second[0][0], -d * end.second[0][1], -end.first[0]],
                        [-d * end.second[1][0], -d * end.second[1][1], -end.first[1]],
                        [-end.first[0], -end.first[1], 0.0],
                    ],
                },
            )?;
        }
        Some(bend)
    }
}

/// A probability with its derivatives by slope, intercept and share.
struct Term {
    value: f64,
    first: [f64; 3],
    second: [[f64; 3]; 3],
}

impl Bend {
    /// Adds the logarithm of a probability, `seeds` times; `None` if it is not one.
    fn add(&mut self, seeds: f64, term: Term) -> Option<()> {
        if !(term.value > 0.0 && term.value.is_finite()) {
            return None;
        }
        self.value += seeds * term.value.ln();
        for i in 0..3 {
            let slant = term.first[i] / term.value;
            self.gradient[i] += seeds * slant;
            for j in 0..3 {
                self.information[i][j] += seeds * (slant * term.first[j] / term.value - term.second[i][j] / term.value);
            }
        }
        Some(())
    }
}

/// The curve of those that come up, at one time, with its derivatives by slope and intercept.
struct Ordinate {
    z: f64,
    share: f64,
    first: [f64; 2],
    second: [[f64; 2]; 2],
}

impl Point {
    fn at(self, age: f64) -> Ordinate {
        if age == f64::NEG_INFINITY {
            return Ordinate { z: age, share: 0.0, first: [0.0; 2], second: [[0.0; 2]; 2] };
        }
        let z = self.slope * age - self.intercept;
        let share = share_at(z);
        let rise = share * share_at(-z);
        let curl = rise * (1.0 - 2.0 * share);
        Ordinate {
            z,
            share,
            first: [rise * age, -rise],
            second: [[curl * age * age, -curl * age], [-curl * age, curl]],
        }
    }
}
