//! One row per entry, for spreadsheets (RFC 4180).

use std::fmt::Display;
use std::io::Write;

use crate::journal::{Beginning, BenchSize, Departure, Fact, Growth, Measured, Observed, SeedOrigin, Source, Vessel};
use crate::quantity::{ActId, CellSet, Date};

const HEAD: [&str; 10] = ["date", "act", "verb", "batch", "part", "what", "numbers", "place", "text", "undone"];

/// One entry, or an act without any (an undo, a redo).
#[derive(Clone, Copy, Debug)]
pub struct CsvRow<'a> {
    /// The day it happened.
    pub on: Date,
    /// Its act.
    pub act: ActId,
    /// The command word of the act.
    pub verb: &'a str,
    /// The batch: `2026/14`.
    pub batch: &'a str,
    /// The part or parts: `2026/14a`.
    pub part: &'a str,
    /// What happened; `None` for an act without entries.
    pub fact: Option<&'a Fact>,
    /// Where: `frame/left`.
    pub place: &'a str,
    /// In a sentence.
    pub text: &'a str,
    /// True while its act is out of force.
    pub undone: bool,
}

/// Rows being written.
pub struct CsvLog<W: Write> {
    out: ::csv::Writer<W>,
}

impl<W: Write> CsvLog<W> {
    /// Begins with the names of the columns.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn begin(out: W) -> std::io::Result<Self> {
        let mut out = ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(out);
        out.write_record(HEAD).map_err(of_the_disk)?;
        Ok(Self { out })
    }

    /// Writes a row.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn row(&mut self, row: &CsvRow<'_>) -> std::io::Result<()> {
        let (what, numbers) = match row.fact {
            Some(fact) => told(fact),
            None => (row.verb, String::new()),
        };
        let (on, act) = (row.on.to_string(), row.act.to_string());
        let undone = if row.undone { "yes" } else { "no" };
        let cells = [&on, &act, row.verb, row.batch, row.part, what, &numbers, row.place, row.text, undone];
        self.out.write_record(cells.map(harmless)).map_err(of_the_disk)
    }

    /// Ends, and hands back what was written to.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn end(self) -> std::io::Result<W> {
        self.out.into_inner().map_err(::csv::IntoInnerError::into_error)
    }
}

/// What the disk said, and not what the library made of it: a full one is to be known as that.
fn of_the_disk(error: ::csv::Error) -> std::io::Error {
    match error.into_kind() {
        ::csv::ErrorKind::Io(error) => error,
        other => std::io::Error::other(format!("{other:?}")),
    }
}

/// A cell that no spreadsheet takes for a formula: one that begins like a formula gets an apostrophe before it.
/// The beginnings are those of the OWASP page on CSV injection, with the full-width forms that some programs fold.
fn harmless(cell: &str) -> String {
    let runs = |c: char| matches!(c, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠');
    let bare = cell.trim_start();
    let leading = cell.starts_with(['\t', '\r', '\n']);
    if leading || bare.starts_with(runs) { format!("'{cell}") } else { cell.to_owned() }
}

/// What happened in a word or two, and its numbers as `name=value` with the unit in the name.
fn told(fact: &Fact) -> (&'static str, String) {
    let mut numbers = Numbers::default();
    let what = match fact {
        Fact::PlaceAdded { heated_to, .. } => {
            numbers.add("heated_to_c", heated_to.map(|celsius| celsius.0));
            "place added"
        }
        Fact::BenchAdded { size, .. } => {
            numbers.bench(size);
            "bench added"
        }
        Fact::BenchResized { size, .. } => {
            numbers.bench(size);
            "bench resized"
        }
        Fact::LotAdded { packed, stated, seeds, origin, .. } => {
            numbers.add("packed", *packed);
            numbers.add("stated", stated.map(|share| share.0));
            numbers.add("seeds", *seeds);
            numbers.flag("home_saved", *origin == SeedOrigin::HomeSaved);
            "lot added"
        }
        Fact::Stood { vessel, .. } => {
            numbers.vessel(vessel);
            "container set down"
        }
        Fact::Begun { beginning, .. } => match beginning {
            Beginning::Sown { depth, .. } => {
                numbers.add("depth_mm", depth.map(|depth| depth.0));
                "sown"
            }
            Beginning::Received => "received",
        },
        Fact::Filled { source, from_cells, .. } => {
            numbers.source(*source);
            numbers.cells("from_cells", from_cells);
            "filled"
        }
        Fact::Counted { observed, .. } => {
            numbers.observed(observed);
            "counted"
        }
        Fact::Staged { growth, .. } => {
            numbers.growth(*growth);
            "staged"
        }
        Fact::Departed { plants, how, cells, .. } => {
            numbers.add("plants", Some(*plants));
            numbers.cells("cells", cells);
            match how {
                Departure::Lost { .. } => "lost",
                Departure::Thinned => "thinned",
                Departure::Discarded => "discarded",
                Departure::GivenAway => "given away",
                Departure::PlantedOut { .. } => "planted out",
            }
        }
        Fact::Cleared { .. } => "cleared",
        Fact::Moved { spot, .. } => {
            numbers.add("x_mm", spot.map(|spot| spot.x));
            numbers.add("y_mm", spot.map(|spot| spot.y));
            numbers.flag("turned", spot.is_some_and(|spot| spot.turned));
            numbers.flag("pinned", spot.is_some_and(|spot| spot.pinned));
            "moved"
        }
        Fact::WentOut { .. } => "out for the day",
        Fact::CameIn { .. } => "home again",
        Fact::PutAway { .. } => "put away",
        Fact::ContainerMeasured { size, .. } => {
            numbers.add("length_mm", Some(size.length.0));
            numbers.add("width_mm", Some(size.width.0));
            numbers.add("height_mm", size.height.map(|height| height.0));
            "container measured"
        }
        Fact::ContainerOwned { count, .. } => {
            numbers.add("count", Some(*count));
            "container owned"
        }
        Fact::ContainerWashed { count, .. } => {
            numbers.add("count", Some(*count));
            "container washed"
        }
        Fact::Identified { .. } => "identified",
        Fact::Relabelled { .. } => "relabelled",
        Fact::Noted { .. } => "noted",
        Fact::Read { measured, .. } => {
            numbers.measured(*measured);
            "read"
        }
        Fact::Forecast { low, high, .. } => {
            numbers.add("low_c", Some(low.0));
            numbers.add("high_c", Some(high.0));
            "forecast"
        }
        Fact::Covered { on: true, .. } => "covered",
        Fact::Covered { on: false, .. } => "uncovered",
    };
    (what, numbers.0.join(" "))
}

#[derive(Default)]
struct Numbers(Vec<String>);

impl Numbers {
    fn add(&mut self, name: &str, value: Option<impl Display>) {
        self.0.extend(value.map(|value| format!("{name}={value}")));
    }

    fn cells(&mut self, name: &str, cells: &CellSet) {
        self.add(name, Some(cells).filter(|cells| !cells.is_empty()));
    }

    fn flag(&mut self, name: &str, set: bool) {
        self.add(name, set.then_some("yes"));
    }

    fn bench(&mut self, size: &BenchSize) {
        self.add("length_mm", Some(size.length.0));
        self.add("width_mm", Some(size.width.0));
        self.add("headroom_back_mm", size.headroom_back.map(|height| height.0));
        self.add("headroom_front_mm", size.headroom_front.map(|height| height.0));
    }

    fn vessel(&mut self, vessel: &Vessel) {
        self.add("length_mm", vessel.length.map(|length| length.0));
        self.add("width_mm", vessel.width.map(|width| width.0));
        self.add("height_mm", vessel.height.map(|height| height.0));
        self.add("cells", vessel.cells);
        self.add("volume_ml", vessel.volume.map(|volume| volume.0));
        self.add("pots", Some(vessel.pots));
    }

    fn source(&mut self, source: Source) {
        match source {
            Source::Sown { units, per_cell } => {
                self.add("units", Some(units));
                self.add("per_cell", per_cell);
            }
            Source::Received { plants } | Source::From { plants, .. } => self.add("plants", Some(plants)),
        }
    }

    fn observed(&mut self, observed: &Observed) {
        self.add("up", observed.up);
        self.add("standing", observed.standing);
        self.add("gaps", observed.gaps);
        self.flag("doubles", observed.doubles);
        if let Some(ticks) = &observed.ticks {
            self.add("cells", Some(ticks.cells()));
            self.cells("doubled_cells", ticks.doubled());
        }
    }

    fn growth(&mut self, growth: Growth) {
        self.add("leaves", growth.leaves);
        self.add("height_mm", growth.height.map(|height| height.0));
        self.flag("leggy", growth.leggy);
        self.flag("roots", growth.roots);
    }

    fn measured(&mut self, measured: Measured) {
        match measured {
            Measured::Minimum(celsius) => self.add("minimum_c", Some(celsius.0)),
            Measured::Maximum(celsius) => self.add("maximum_c", Some(celsius.0)),
            Measured::Now(celsius) => self.add("now_c", Some(celsius.0)),
            Measured::Compost(celsius) => self.add("compost_c", Some(celsius.0)),
            Measured::Soil(celsius) => self.add("soil_c", Some(celsius.0)),
        }
    }
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;
    use crate::quantity::{EntryId, PartId};

    /// A disk that is full is told as that, whenever it shows.
    #[test]
    fn a_full_disk_is_known_as_one() {
        struct Full;
        impl std::io::Write for Full {
            fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
                Err(std::io::ErrorKind::StorageFull.into())
            }
            fn flush(&mut self) -> std::io::Result<()> {
                Ok(())
            }
        }
        let failed = CsvLog::begin(Full).unwrap().end().err().unwrap();
        assert_eq!(failed.kind(), std::io::ErrorKind::StorageFull);
        let mut log = CsvLog::begin(Full).unwrap();
        let row = CsvRow {
            on: Date::MIN,
            act: ActId(Uuid::nil()),
            verb: "note",
            batch: "",
            part: "",
            fact: None,
            place: "",
            text: "seen",
            undone: false,
        };
        let failed = (0..1000).find_map(|_| log.row(&row).err()).unwrap();
        assert_eq!(failed.kind(), std::io::ErrorKind::StorageFull);
    }

    /// The beginnings that OWASP's page "CSV Injection" lists, and some that only look alike.
    #[test]
    fn no_cell_can_run() {
        for cell in ["=1+1", "+1", "-2", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", "－1"] {
            assert!(harmless(cell).starts_with('\''), "{cell:?}");
        }
        for cell in ["", "tomato", "2026/14", "a=b", "14-16 C", "'quoted"] {
            assert_eq!(harmless(cell), cell);
        }
    }

    /// RFC 4180, section 2: lines end in CRLF; a cell with a comma or a quote stands in quotes, a quote is doubled.
    #[test]
    fn rows_are_written_as_rfc_4180_has_them() {
        let fact = Fact::Counted {
            part: PartId(EntryId(3)),
            observed: Observed { up: Some(60), standing: None, gaps: None, doubles: true, ticks: None },
        };
        let mut log = CsvLog::begin(Vec::new()).unwrap();
        log.row(&CsvRow {
            on: Date::from_ymd_opt(2026, 3, 10).unwrap(),
            act: ActId(Uuid::from_u128(7)),
            verb: "count",
            batch: "2026/14",
            part: "2026/14a",
            fact: Some(&fact),
            place: "frame/left",
            text: "60 up, \"Red Shingle\"",
            undone: false,
        })
        .unwrap();
        let text = String::from_utf8(log.end().unwrap()).unwrap();
        assert_eq!(
            text,
            "date,act,verb,batch,part,what,numbers,place,text,undone\r\n\
             2026-03-10,00000000-0000-0000-0000-000000000007,count,2026/14,2026/14a,counted,up=60 doubles=yes,\
             frame/left,\"60 up, \"\"Red Shingle\"\"\",no\r\n"
        );
    }
}
