//! A fact read back out of the columns of its kind's table, from left to right; what cannot be is told as damage.

use std::str::FromStr;

use rusqlite::Row;

use crate::journal::{
    Beginning, BenchSize, Departure, Fact, Measured, Observed, SeedOrigin, Source, Spot, Stand, Ticks, Topic, Transfer,
    Vessel,
};
use crate::quantity::{
    BatchId, BatchLabel, BenchId, CellSet, Celsius, ContainerId, Date, EntryId, LotId, Millilitres, Millimetres,
    PartId, PartLetter, PlaceId, Share,
};

use super::super::error::StoreError;

/// The columns of one row, read from left to right.
pub(super) struct Cells<'a> {
    pub(super) row: &'a Row<'a>,
    pub(super) next: usize,
    pub(super) table: &'static str,
}

impl Cells<'_> {
    pub(super) fn get<T: rusqlite::types::FromSql>(&mut self) -> Result<T, StoreError> {
        let value = self.row.get(self.next).map_err(|error| StoreError::Damaged(format!("{}: {error}", self.table)))?;
        self.next += 1;
        Ok(value)
    }

    fn wrong(&self, what: &str) -> StoreError {
        StoreError::Damaged(format!("{}: {}", self.table, crate::quantity::shown(what)))
    }

    pub(super) fn id(&mut self) -> Result<EntryId, StoreError> {
        self.get().map(EntryId)
    }

    fn maybe_id(&mut self) -> Result<Option<EntryId>, StoreError> {
        Ok(self.get::<Option<i64>>()?.map(EntryId))
    }

    pub(super) fn text<T: TryFrom<String>>(&mut self) -> Result<T, StoreError>
    where
        T::Error: ToString,
    {
        let text: String = self.get()?;
        T::try_from(text).map_err(|error| self.wrong(&error.to_string()))
    }

    fn maybe_text<T: TryFrom<String>>(&mut self) -> Result<Option<T>, StoreError>
    where
        T::Error: ToString,
    {
        let text: Option<String> = self.get()?;
        text.map(|text| T::try_from(text).map_err(|error| self.wrong(&error.to_string()))).transpose()
    }

    fn word<T: FromStr>(&mut self) -> Result<T, StoreError> {
        let text: String = self.get()?;
        text.parse().map_err(|_| self.wrong(&text))
    }

    pub(super) fn day(&mut self) -> Result<Date, StoreError> {
        self.word()
    }

    pub(super) fn number(&mut self) -> Result<Option<u32>, StoreError> {
        let number: Option<i64> = self.get()?;
        number.map(|number| u32::try_from(number).map_err(|_| self.wrong("a number out of range"))).transpose()
    }

    pub(super) fn some_number(&mut self) -> Result<u32, StoreError> {
        self.number()?.ok_or_else(|| self.wrong("a number is missing"))
    }

    pub(super) fn real(&mut self) -> Result<f64, StoreError> {
        self.get()
    }

    pub(super) fn flag(&mut self) -> Result<bool, StoreError> {
        self.get()
    }
}

pub(super) fn read_place(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (name, kind) = (cells.text()?, cells.word()?);
    Ok(Fact::PlaceAdded { name, kind, heated_to: cells.get::<Option<f64>>()?.map(Celsius), light: cells.word()? })
}

pub(super) fn read_size(cells: &mut Cells<'_>) -> Result<BenchSize, StoreError> {
    let (length, width) = (Millimetres(cells.some_number()?), Millimetres(cells.some_number()?));
    let (headroom_back, headroom_front) = (cells.number()?.map(Millimetres), cells.number()?.map(Millimetres));
    Ok(BenchSize { length, width, headroom_back, headroom_front })
}

pub(super) fn read_lot(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (crop, variety) = (cells.text()?, cells.text()?);
    let (packed, stated, seeds) = (cells.get()?, cells.get::<Option<f64>>()?.map(Share), cells.number()?);
    let origin = if cells.flag()? { SeedOrigin::HomeSaved } else { SeedOrigin::Packet };
    Ok(Fact::LotAdded { crop, variety, packed, stated, seeds, origin })
}

pub(super) fn read_stand(cells: &mut Cells<'_>) -> Result<Stand, StoreError> {
    match (cells.maybe_id()?, cells.maybe_id()?, cells.maybe_id()?) {
        (Some(bench), None, None) => Ok(Stand::Bench(BenchId(bench))),
        (None, Some(place), None) => Ok(Stand::Place(PlaceId(place))),
        (None, None, Some(carrier)) => Ok(Stand::Carrier(ContainerId(carrier))),
        _ => Err(cells.wrong("a container stands on nothing or on two things")),
    }
}

pub(super) fn read_spot(cells: &mut Cells<'_>) -> Result<Option<Spot>, StoreError> {
    let (x, y) = (cells.number()?, cells.number()?);
    let (turned, pinned) = (cells.get::<Option<bool>>()?, cells.get::<Option<bool>>()?);
    Ok(match (x, y, turned, pinned) {
        (Some(x), Some(y), Some(turned), Some(pinned)) => Some(Spot { x, y, turned, pinned }),
        _ => None,
    })
}

pub(super) fn read_stood(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let vessel = Vessel {
        name: cells.text()?,
        class: cells.word()?,
        length: cells.number()?.map(Millimetres),
        width: cells.number()?.map(Millimetres),
        height: cells.number()?.map(Millimetres),
        cells: cells.number()?,
        volume: cells.number()?.map(Millilitres),
        pots: cells.some_number()?,
    };
    let called = cells.maybe_text()?;
    Ok(Fact::Stood { vessel, stand: read_stand(cells)?, spot: read_spot(cells)?, called })
}

pub(super) fn read_label(cells: &mut Cells<'_>) -> Result<BatchLabel, StoreError> {
    Ok(BatchLabel { year: cells.get()?, number: cells.some_number()?, twin: None })
}

pub(super) fn read_begun(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (label, lot) = (read_label(cells)?, LotId(cells.id()?));
    let beginning = match cells.get::<String>()?.as_str() {
        "sown" => {
            Beginning::Sown { unit: cells.word()?, treatment: cells.word()?, depth: cells.number()?.map(Millimetres) }
        }
        "received" => Beginning::Received,
        other => return Err(cells.wrong(other)),
    };
    Ok(Fact::Begun { label, lot, beginning })
}

pub(super) fn read_filled(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let batch = BatchId(cells.id()?);
    let letter = u16::try_from(cells.some_number()?).map_err(|_| cells.wrong("a letter out of range"))?;
    let container = ContainerId(cells.id()?);
    let (word, number, per_cell, from) =
        (cells.get::<String>()?, cells.some_number()?, cells.number()?, cells.maybe_id()?);
    let source = match (word.as_str(), from) {
        ("sown", None) => Source::Sown { units: number, per_cell },
        ("received", None) => Source::Received { plants: number },
        (how, Some(part)) => {
            let how: Transfer = how.parse().map_err(|_| cells.wrong(how))?;
            Source::From { part: PartId(part), plants: number, how }
        }
        (other, None) => return Err(cells.wrong(other)),
    };
    let from_cells = cells.maybe_text()?.unwrap_or_default();
    Ok(Fact::Filled { batch, letter: PartLetter(letter), container, source, from_cells })
}

pub(super) fn read_counted(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let part = PartId(cells.id()?);
    let (up, standing, gaps, doubles) = (cells.number()?, cells.number()?, cells.number()?, cells.flag()?);
    let (ticked, doubled) = (cells.maybe_text::<CellSet>()?, cells.maybe_text()?.unwrap_or_default());
    let ticks = ticked.map(|ticked| Ticks::new(&ticked, doubled));
    Ok(Fact::Counted { part, observed: Observed { up, standing, gaps, doubles, ticks } })
}

pub(super) fn read_departed(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (part, plants) = (PartId(cells.id()?), cells.some_number()?);
    let (word, cause, remark) = (cells.get::<String>()?, cells.get::<Option<String>>()?, cells.maybe_text()?);
    let how = match (word.as_str(), cause) {
        ("lost", Some(cause)) => Departure::Lost { cause: cause.parse().map_err(|_| cells.wrong(&cause))?, remark },
        ("thinned", _) => Departure::Thinned,
        ("discarded", _) => Departure::Discarded,
        ("given away", _) => Departure::GivenAway,
        ("planted out", _) => Departure::PlantedOut { bed: remark },
        (other, _) => return Err(cells.wrong(other)),
    };
    let named = cells.maybe_text()?.unwrap_or_default();
    Ok(Fact::Departed { part, plants, how, cells: named })
}

pub(super) fn read_noted(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let topic = match (cells.maybe_id()?, cells.maybe_id()?) {
        (Some(batch), None) => Topic::Batch(BatchId(batch)),
        (None, Some(place)) => Topic::Place(PlaceId(place)),
        _ => return Err(cells.wrong("a note about nothing")),
    };
    Ok(Fact::Noted { topic, remark: cells.text()? })
}

pub(super) fn read_reading(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (place, what, celsius) = (PlaceId(cells.id()?), cells.get::<String>()?, Celsius(cells.real()?));
    let measured = match what.as_str() {
        "min" => Measured::Minimum(celsius),
        "max" => Measured::Maximum(celsius),
        "now" => Measured::Now(celsius),
        "compost" => Measured::Compost(celsius),
        "soil" => Measured::Soil(celsius),
        other => return Err(cells.wrong(other)),
    };
    Ok(Fact::Read { place, measured })
}
