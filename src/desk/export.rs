//! Writing the journal out: what the log keeps, put into words for a spreadsheet or handed over whole.

use std::io;
use std::path::Path;

use crate::exchange::{CsvLog, CsvRow, Format, JsonLog, LogAct, NewFile};
use crate::grammar::{GrammarError, GrammarErrorKind};
use crate::journal::{Entry, Fact, Stand, Topic};
use crate::quantity::{BatchId, BenchId, ContainerId, PartId, PartLabel, PlaceId};
use crate::store::{Books, LoggedAct, Ruling};

use super::error::DeskError;
use super::{Desk, said};

impl Desk {
    /// Writes every act, in force or not, to a new file whose ending names the format: `.csv` or `.json`. Returns how
    /// many acts there were.
    ///
    /// # Errors
    /// When the ending names no format, the file is there already or cannot be written, or the journal is damaged.
    /// There is no file then.
    pub fn export(&self, to: &Path) -> Result<u64, DeskError> {
        let Some(format) = Format::of(to) else {
            return Err(DeskError::Words(GrammarError {
                kind: GrammarErrorKind::Refused,
                message: format!("{}: its ending names no format", to.display()),
                hint: "let it end in .csv or .json".to_owned(),
            }));
        };
        let failed = |error: io::Error| DeskError::file(to, &error);
        let file = NewFile::begin(to).map_err(failed)?;
        let mut acts = 0;
        let file = self.journal.read(|books| match format {
            Format::Json => {
                let mut log = JsonLog::begin(file).map_err(failed)?;
                books.for_each_act(|act| {
                    acts += 1;
                    log.act(&whole(act)).map_err(failed)
                })?;
                log.end().map_err(failed)
            }
            Format::Csv => {
                let mut log = CsvLog::begin(file).map_err(failed)?;
                books.for_each_act(|act| {
                    acts += 1;
                    rows(books, &act, &mut |row| log.row(row).map_err(failed))
                })?;
                log.end().map_err(failed)
            }
        })?;
        file.finish().map_err(failed)?;
        Ok(acts)
    }
}

fn whole(act: LoggedAct) -> LogAct {
    LogAct {
        act: act.record.id,
        device: act.device,
        verb: act.record.verb,
        on: act.record.happened,
        recorded: act.record.recorded,
        verdicts: act.rulings.into_iter().map(|(act, ruling)| (act, ruling.word())).collect(),
        entries: act.record.entries,
    }
}

/// The rows of one act: one for each entry, or one for each of its words on other acts.
fn rows(
    books: &Books<'_>,
    act: &LoggedAct,
    write: &mut dyn FnMut(&CsvRow<'_>) -> Result<(), DeskError>,
) -> Result<(), DeskError> {
    let record = &act.record;
    let undone = record.ruling == Ruling::Undone;
    let bare = CsvRow {
        on: record.happened,
        act: record.id,
        verb: &record.verb,
        batch: "",
        part: "",
        fact: None,
        place: "",
        text: "",
        undone,
    };
    for (target, ruling) in &act.rulings {
        write(&CsvRow { text: &format!("{}: {target}", ruling.word()), ..bare })?;
    }
    for entry in &record.entries {
        let about = About::of(books, entry)?;
        let text = match (&entry.fact, said::sentence(books, entry, record.happened, &record.entries, None)?) {
            (_, Some(text)) => text,
            (Fact::Stood { vessel, .. }, None) => vessel.name.to_string(),
            (_, None) => String::new(),
        };
        write(&CsvRow {
            on: entry.on,
            batch: &about.batch,
            part: &about.parts,
            fact: Some(&entry.fact),
            place: &about.place,
            text: &text,
            ..bare
        })?;
    }
    Ok(())
}

/// What an entry is about, by the names people use.
#[derive(Default)]
pub(super) struct About {
    pub(super) batch: String,
    pub(super) parts: String,
    pub(super) place: String,
}

impl About {
    pub(super) fn of(books: &Books<'_>, entry: &Entry) -> Result<Self, DeskError> {
        let place =
            |id: PlaceId| -> Result<Self, DeskError> { Ok(Self { place: books.place_name(id)?, ..Self::default() }) };
        let bench =
            |id: BenchId| -> Result<Self, DeskError> { Ok(Self { place: books.bench_name(id)?, ..Self::default() }) };
        Ok(match &entry.fact {
            Fact::PlaceAdded { .. } => place(PlaceId(entry.id))?,
            Fact::BenchAdded { .. } => bench(BenchId(entry.id))?,
            Fact::BenchResized { bench: id, .. } => bench(*id)?,
            Fact::LotAdded { .. }
            | Fact::Forecast { .. }
            | Fact::ContainerMeasured { .. }
            | Fact::ContainerOwned { .. }
            | Fact::ContainerWashed { .. } => Self::default(),
            Fact::Stood { stand, .. } => Self::container(books, ContainerId(entry.id), Some(*stand))?,
            Fact::Begun { .. } => Self::batch(books, BatchId(entry.id))?,
            Fact::Filled { .. } => Self::part(books, PartId(entry.id))?,
            Fact::Counted { part, .. }
            | Fact::Staged { part, .. }
            | Fact::Departed { part, .. }
            | Fact::Cleared { part } => Self::part(books, *part)?,
            Fact::Moved { container, stand, .. } => Self::container(books, *container, Some(*stand))?,
            Fact::WentOut { container, place } => {
                let place = books.place_name(*place)?;
                Self { place, ..Self::container(books, *container, None)? }
            }
            Fact::CameIn { container } | Fact::PutAway { container } => Self::container(books, *container, None)?,
            Fact::Identified { batch, .. } | Fact::Relabelled { batch, .. } => Self::batch(books, *batch)?,
            Fact::Noted { topic: Topic::Batch(batch), .. } => Self::batch(books, *batch)?,
            Fact::Noted { topic: Topic::Place(id), .. }
            | Fact::Read { place: id, .. }
            | Fact::Covered { place: id, .. } => place(*id)?,
        })
    }

    fn batch(books: &Books<'_>, id: BatchId) -> Result<Self, DeskError> {
        let batch = books.batch_label(id)?.map(|label| label.to_string()).unwrap_or_default();
        Ok(Self { batch, ..Self::default() })
    }

    fn part(books: &Books<'_>, id: PartId) -> Result<Self, DeskError> {
        Ok(books.part_label(id)?.map_or_else(Self::default, |(_, label)| Self::labelled(&[label])))
    }

    fn container(books: &Books<'_>, id: ContainerId, stand: Option<Stand>) -> Result<Self, DeskError> {
        let place = stand.map(|stand| said::standing(books, stand)).transpose()?.unwrap_or_default();
        Ok(Self { place, ..Self::labelled(&books.parts_in(id)?) })
    }

    /// Parts, and the batch when they are all of one.
    fn labelled(parts: &[PartLabel]) -> Self {
        let batch =
            parts.first().map(|first| first.batch).filter(|batch| parts.iter().all(|part| part.batch == *batch));
        let names: Vec<String> = parts.iter().map(|part| format!("{part:#}")).collect();
        Self {
            batch: batch.map(|label| label.to_string()).unwrap_or_default(),
            parts: names.join(" "),
            place: String::new(),
        }
    }
}
