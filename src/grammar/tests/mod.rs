//! Lines as a grower would type them, and what they come to. The lines are those of the command line's contract; the
//! quoting is that of POSIX.1-2024, XCU section 2.2.

mod laws;
mod refusals;
mod requests;

use super::*;
use crate::journal::{Observed, Ticks};
use crate::quantity::{CropName, Name};

/// A Wednesday.
fn today() -> Date {
    "2026-04-15".parse().unwrap()
}

fn name(text: &str) -> Name {
    Name::new(text).unwrap()
}

fn part(text: &str) -> PartRef {
    text.parse().unwrap()
}

fn batch(number: u32) -> BatchRef {
    BatchRef { year: None, number, twin: None }
}

fn spot(place: &str, bench: &str) -> SpotRef {
    SpotRef { place: name(place), bench: Some(name(bench)) }
}

fn room(kind: &str, times: Option<u32>, at: SpotRef) -> RoomWords {
    RoomWords::New { container: ContainerWords { name: name(kind), times }, at }
}

fn seed(crop: &str, variety: Option<&str>) -> SeedWords {
    SeedWords { crop: CropName::new(crop).unwrap(), variety: variety.map(name), packed: None }
}

fn seen(up: Option<u32>, standing: Option<u32>, gaps: Option<u32>) -> Observed {
    Observed { up, standing, gaps, doubles: false, ticks: None }
}

fn ticks(cells: &str, doubled: &str) -> Ticks {
    Ticks::new(&cells.parse().unwrap(), doubled.parse().unwrap())
}

fn act(line: &str) -> Request {
    match parse_line(line, today()) {
        Ok(Some(Line { on: None, step: Step::Act(request) })) => request,
        other => panic!("{line}: {other:?}"),
    }
}

fn words(line: &str) -> Vec<String> {
    shlex::split(line).unwrap()
}

fn command(line: &str) -> Command {
    parse(&words(line), today()).unwrap().command.unwrap()
}

fn check(table: Vec<(&str, Request)>) {
    for (line, request) in table {
        assert_eq!(act(line), request, "{line}");
    }
}
