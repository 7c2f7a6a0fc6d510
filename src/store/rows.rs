//! Facts as rows: which table holds each kind, its columns, and the way there and back.

use std::str::FromStr;

use rusqlite::Row;
use rusqlite::types::Value;

use crate::journal::{
    Beginning, BenchSize, ContainerSize, Departure, Fact, Growth, Measured, Observed, SeedOrigin, Source, Spot, Stand,
    Ticks, Topic, Transfer, Vessel,
};
use crate::quantity::{
    BatchId, BatchLabel, BenchId, CellSet, Celsius, ContainerId, Date, EntryId, LotId, Millilitres, Millimetres,
    PartId, PartLetter, PlaceId, Share,
};

use super::error::StoreError;

/// A kind of fact: its number in the `kind` table, its own table and that table's columns after `entry`.
pub(super) struct Kind {
    pub(super) number: i64,
    pub(super) table: &'static str,
    pub(super) columns: &'static [&'static str],
    read: fn(&mut Cells<'_>) -> Result<Fact, StoreError>,
}

const SIZE: [&str; 4] = ["length_mm", "width_mm", "headroom_back_mm", "headroom_front_mm"];

/// Every kind of fact, in the order of the `kind` table.
pub(super) const KINDS: [Kind; 24] = [
    Kind { number: 1, table: "place_added", columns: &["name", "kind", "heated_to_c", "light"], read: read_place },
    Kind {
        number: 2,
        table: "bench_added",
        columns: &["place", "name", SIZE[0], SIZE[1], SIZE[2], SIZE[3]],
        read: |cells| {
            Ok(Fact::BenchAdded { place: PlaceId(cells.id()?), name: cells.text()?, size: read_size(cells)? })
        },
    },
    Kind {
        number: 3,
        table: "bench_resized",
        columns: &["bench", SIZE[0], SIZE[1], SIZE[2], SIZE[3]],
        read: |cells| Ok(Fact::BenchResized { bench: BenchId(cells.id()?), size: read_size(cells)? }),
    },
    Kind {
        number: 4,
        table: "lot_added",
        columns: &["crop", "variety", "packed", "stated", "seeds", "home_saved"],
        read: read_lot,
    },
    Kind {
        number: 5,
        table: "stood",
        columns: &[
            "name",
            "class",
            "length_mm",
            "width_mm",
            "height_mm",
            "cells",
            "volume_ml",
            "pots",
            "called",
            "bench",
            "place",
            "carrier",
            "x_mm",
            "y_mm",
            "turned",
            "pinned",
        ],
        read: read_stood,
    },
    Kind {
        number: 6,
        table: "begun",
        columns: &["year", "number", "lot", "beginning", "unit", "treatment", "depth_mm"],
        read: read_begun,
    },
    Kind {
        number: 7,
        table: "filled",
        columns: &["batch", "letter", "container", "source", "number", "per_cell", "from_part", "from_cells"],
        read: read_filled,
    },
    Kind {
        number: 8,
        table: "counted",
        columns: &["part", "up", "standing", "gaps", "doubles", "cells", "doubled_cells"],
        read: read_counted,
    },
    Kind {
        number: 9,
        table: "staged",
        columns: &["part", "leaves", "height_mm", "leggy", "roots"],
        read: |cells| {
            let part = PartId(cells.id()?);
            let (leaves, height) = (cells.number()?, cells.number()?.map(Millimetres));
            Ok(Fact::Staged { part, growth: Growth { leaves, height, leggy: cells.flag()?, roots: cells.flag()? } })
        },
    },
    Kind {
        number: 10,
        table: "departed",
        columns: &["part", "plants", "how", "cause", "remark", "cells"],
        read: read_departed,
    },
    Kind {
        number: 11,
        table: "cleared",
        columns: &["part"],
        read: |cells| Ok(Fact::Cleared { part: PartId(cells.id()?) }),
    },
    Kind {
        number: 12,
        table: "moved",
        columns: &["container", "bench", "place", "carrier", "x_mm", "y_mm", "turned", "pinned"],
        read: |cells| {
            let container = ContainerId(cells.id()?);
            Ok(Fact::Moved { container, stand: read_stand(cells)?, spot: read_spot(cells)? })
        },
    },
    Kind {
        number: 13,
        table: "went_out",
        columns: &["container", "place"],
        read: |cells| Ok(Fact::WentOut { container: ContainerId(cells.id()?), place: PlaceId(cells.id()?) }),
    },
    Kind {
        number: 14,
        table: "came_in",
        columns: &["container"],
        read: |cells| Ok(Fact::CameIn { container: ContainerId(cells.id()?) }),
    },
    Kind {
        number: 15,
        table: "identified",
        columns: &["batch", "lot"],
        read: |cells| Ok(Fact::Identified { batch: BatchId(cells.id()?), lot: LotId(cells.id()?) }),
    },
    Kind {
        number: 16,
        table: "relabelled",
        columns: &["batch", "year", "number"],
        read: |cells| Ok(Fact::Relabelled { batch: BatchId(cells.id()?), label: read_label(cells)? }),
    },
    Kind { number: 17, table: "noted", columns: &["batch", "place", "remark"], read: read_noted },
    Kind { number: 18, table: "reading", columns: &["place", "what", "celsius"], read: read_reading },
    Kind {
        number: 19,
        table: "forecast",
        columns: &["day", "low_c", "high_c"],
        read: |cells| {
            let day = cells.day()?;
            Ok(Fact::Forecast { day, low: Celsius(cells.real()?), high: Celsius(cells.real()?) })
        },
    },
    Kind {
        number: 20,
        table: "covered",
        columns: &["place", "covered"],
        read: |cells| Ok(Fact::Covered { place: PlaceId(cells.id()?), on: cells.flag()? }),
    },
    Kind {
        number: 21,
        table: "put_away",
        columns: &["container"],
        read: |cells| Ok(Fact::PutAway { container: ContainerId(cells.id()?) }),
    },
    Kind {
        number: 22,
        table: "container_measured",
        columns: &["name", "length_mm", "width_mm", "height_mm"],
        read: |cells| {
            let (name, length, width) = (cells.text()?, cells.some_number()?, cells.some_number()?);
            let height = cells.number()?.map(Millimetres);
            let size = ContainerSize { length: Millimetres(length), width: Millimetres(width), height };
            Ok(Fact::ContainerMeasured { name, size })
        },
    },
    Kind {
        number: 23,
        table: "container_owned",
        columns: &["name", "count"],
        read: |cells| Ok(Fact::ContainerOwned { name: cells.text()?, count: cells.some_number()? }),
    },
    Kind {
        number: 24,
        table: "container_washed",
        columns: &["name", "count"],
        read: |cells| Ok(Fact::ContainerWashed { name: cells.text()?, count: cells.some_number()? }),
    },
];

impl Kind {
    /// Reads a fact of this kind from the columns of a row that start at `first`.
    pub(super) fn read(&self, row: &Row<'_>, first: usize) -> Result<Fact, StoreError> {
        (self.read)(&mut Cells { row, next: first, table: self.table })
    }
}

/// The kind of a fact and the values of its columns.
pub(super) fn row_of(fact: &Fact) -> (&'static Kind, Vec<Value>) {
    let (number, values) = match fact {
        Fact::PlaceAdded { name, kind, heated_to, light } => {
            (1, vec![text(name), text(kind), maybe_real(heated_to.map(|c| c.0)), text(light)])
        }
        Fact::BenchAdded { place, name, size } => (2, [vec![key(place.0), text(name)], size_values(size)].concat()),
        Fact::BenchResized { bench, size } => (3, [vec![key(bench.0)], size_values(size)].concat()),
        Fact::LotAdded { crop, variety, packed, stated, seeds, origin } => (
            4,
            vec![
                text(crop),
                text(variety),
                packed.map_or(Value::Null, |year| Value::Integer(year.into())),
                maybe_real(stated.map(|share| share.0)),
                maybe(*seeds),
                flag(*origin == SeedOrigin::HomeSaved),
            ],
        ),
        Fact::Stood { vessel, stand, spot, called } => {
            let mut values = vec![
                text(&vessel.name),
                text(&vessel.class),
                maybe(vessel.length.map(|mm| mm.0)),
                maybe(vessel.width.map(|mm| mm.0)),
                maybe(vessel.height.map(|mm| mm.0)),
                maybe(vessel.cells),
                maybe(vessel.volume.map(|ml| ml.0)),
                Value::Integer(vessel.pots.into()),
                called.as_ref().map_or(Value::Null, text),
            ];
            values.extend(stand_values(*stand));
            values.extend(spot_values(*spot));
            (5, values)
        }
        Fact::Begun { label, lot, beginning } => {
            let mut values = vec![Value::Integer(label.year.into()), Value::Integer(label.number.into()), key(lot.0)];
            values.extend(match beginning {
                Beginning::Sown { unit, treatment, depth } => {
                    [Value::Text("sown".to_owned()), text(unit), text(treatment), maybe(depth.map(|mm| mm.0))]
                }
                Beginning::Received => [Value::Text("received".to_owned()), Value::Null, Value::Null, Value::Null],
            });
            (6, values)
        }
        Fact::Filled { batch, letter, container, source, from_cells } => {
            let (word, number, per_cell, from) = match source {
                Source::Sown { units, per_cell } => ("sown", *units, *per_cell, Value::Null),
                Source::Received { plants } => ("received", *plants, None, Value::Null),
                Source::From { part, plants, how } => (how.word(), *plants, None, key(part.0)),
            };
            let letter = Value::Integer(letter.0.into());
            let number = Value::Integer(number.into());
            (
                7,
                vec![
                    key(batch.0),
                    letter,
                    key(container.0),
                    Value::Text(word.to_owned()),
                    number,
                    maybe(per_cell),
                    from,
                    some_cells(from_cells),
                ],
            )
        }
        Fact::Counted { part, observed } => {
            let Observed { up, standing, gaps, doubles, ticks } = observed;
            let cells = ticks.as_ref().map_or(Value::Null, |ticks| text(ticks.cells()));
            let doubled = ticks.as_ref().map_or(Value::Null, |ticks| some_cells(ticks.doubled()));
            (8, vec![key(part.0), maybe(*up), maybe(*standing), maybe(*gaps), flag(*doubles), cells, doubled])
        }
        Fact::Staged { part, growth } => {
            let Growth { leaves, height, leggy, roots } = *growth;
            (9, vec![key(part.0), maybe(leaves), maybe(height.map(|mm| mm.0)), flag(leggy), flag(roots)])
        }
        Fact::Departed { part, plants, how, cells } => {
            let (word, cause, remark) = match how {
                Departure::Lost { cause, remark } => ("lost", text(cause), remark.as_ref()),
                Departure::Thinned => ("thinned", Value::Null, None),
                Departure::Discarded => ("discarded", Value::Null, None),
                Departure::GivenAway => ("given away", Value::Null, None),
                Departure::PlantedOut { bed } => ("planted out", Value::Null, bed.as_ref()),
            };
            let remark = remark.map_or(Value::Null, text);
            let plants = Value::Integer((*plants).into());
            (10, vec![key(part.0), plants, Value::Text(word.to_owned()), cause, remark, some_cells(cells)])
        }
        Fact::Cleared { part } => (11, vec![key(part.0)]),
        Fact::Moved { container, stand, spot } => {
            let mut values = vec![key(container.0)];
            values.extend(stand_values(*stand));
            values.extend(spot_values(*spot));
            (12, values)
        }
        Fact::WentOut { container, place } => (13, vec![key(container.0), key(place.0)]),
        Fact::CameIn { container } => (14, vec![key(container.0)]),
        Fact::Identified { batch, lot } => (15, vec![key(batch.0), key(lot.0)]),
        Fact::Relabelled { batch, label } => {
            (16, vec![key(batch.0), Value::Integer(label.year.into()), Value::Integer(label.number.into())])
        }
        Fact::Noted { topic, remark } => {
            let (batch, place) = match topic {
                Topic::Batch(batch) => (key(batch.0), Value::Null),
                Topic::Place(place) => (Value::Null, key(place.0)),
            };
            (17, vec![batch, place, text(remark)])
        }
        Fact::Read { place, measured } => {
            let (what, celsius) = match measured {
                Measured::Minimum(celsius) => ("min", celsius),
                Measured::Maximum(celsius) => ("max", celsius),
                Measured::Now(celsius) => ("now", celsius),
                Measured::Compost(celsius) => ("compost", celsius),
                Measured::Soil(celsius) => ("soil", celsius),
            };
            (18, vec![key(place.0), Value::Text(what.to_owned()), Value::Real(celsius.0)])
        }
        Fact::Forecast { day, low, high } => {
            (19, vec![Value::Text(day.to_string()), Value::Real(low.0), Value::Real(high.0)])
        }
        Fact::PutAway { container } => (21, vec![key(container.0)]),
        Fact::ContainerMeasured { name, size } => (
            22,
            vec![
                text(name),
                Value::Integer(size.length.0.into()),
                Value::Integer(size.width.0.into()),
                maybe(size.height.map(|mm| mm.0)),
            ],
        ),
        Fact::ContainerOwned { name, count } => (23, vec![text(name), Value::Integer((*count).into())]),
        Fact::ContainerWashed { name, count } => (24, vec![text(name), Value::Integer((*count).into())]),
        Fact::Covered { place, on } => (20, vec![key(place.0), flag(*on)]),
    };
    (&KINDS[number - 1], values)
}

fn text(text: &impl ToString) -> Value {
    Value::Text(text.to_string())
}

/// Cells, or nothing when none were named.
fn some_cells(cells: &CellSet) -> Value {
    if cells.is_empty() { Value::Null } else { text(cells) }
}

const fn key(id: EntryId) -> Value {
    Value::Integer(id.0)
}

fn maybe(number: Option<u32>) -> Value {
    number.map_or(Value::Null, |number| Value::Integer(number.into()))
}

fn maybe_real(number: Option<f64>) -> Value {
    number.map_or(Value::Null, Value::Real)
}

fn flag(on: bool) -> Value {
    Value::Integer(on.into())
}

fn size_values(size: &BenchSize) -> Vec<Value> {
    let BenchSize { length, width, headroom_back, headroom_front } = size;
    vec![
        Value::Integer(length.0.into()),
        Value::Integer(width.0.into()),
        maybe(headroom_back.map(|mm| mm.0)),
        maybe(headroom_front.map(|mm| mm.0)),
    ]
}

const fn stand_values(stand: Stand) -> [Value; 3] {
    match stand {
        Stand::Bench(bench) => [key(bench.0), Value::Null, Value::Null],
        Stand::Place(place) => [Value::Null, key(place.0), Value::Null],
        Stand::Carrier(carrier) => [Value::Null, Value::Null, key(carrier.0)],
    }
}

fn spot_values(spot: Option<Spot>) -> [Value; 4] {
    spot.map_or([Value::Null, Value::Null, Value::Null, Value::Null], |Spot { x, y, turned, pinned }| {
        [Value::Integer(x.into()), Value::Integer(y.into()), flag(turned), flag(pinned)]
    })
}

/// The columns of one row, read from left to right.
struct Cells<'a> {
    row: &'a Row<'a>,
    next: usize,
    table: &'static str,
}

impl Cells<'_> {
    fn get<T: rusqlite::types::FromSql>(&mut self) -> Result<T, StoreError> {
        let value = self.row.get(self.next).map_err(|error| StoreError::Damaged(format!("{}: {error}", self.table)))?;
        self.next += 1;
        Ok(value)
    }

    fn wrong(&self, what: &str) -> StoreError {
        StoreError::Damaged(format!("{}: {}", self.table, crate::quantity::shown(what)))
    }

    fn id(&mut self) -> Result<EntryId, StoreError> {
        self.get().map(EntryId)
    }

    fn maybe_id(&mut self) -> Result<Option<EntryId>, StoreError> {
        Ok(self.get::<Option<i64>>()?.map(EntryId))
    }

    fn text<T: TryFrom<String>>(&mut self) -> Result<T, StoreError>
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

    fn day(&mut self) -> Result<Date, StoreError> {
        self.word()
    }

    fn number(&mut self) -> Result<Option<u32>, StoreError> {
        let number: Option<i64> = self.get()?;
        number.map(|number| u32::try_from(number).map_err(|_| self.wrong("a number out of range"))).transpose()
    }

    fn some_number(&mut self) -> Result<u32, StoreError> {
        self.number()?.ok_or_else(|| self.wrong("a number is missing"))
    }

    fn real(&mut self) -> Result<f64, StoreError> {
        self.get()
    }

    fn flag(&mut self) -> Result<bool, StoreError> {
        self.get()
    }
}

fn read_place(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (name, kind) = (cells.text()?, cells.word()?);
    Ok(Fact::PlaceAdded { name, kind, heated_to: cells.get::<Option<f64>>()?.map(Celsius), light: cells.word()? })
}

fn read_size(cells: &mut Cells<'_>) -> Result<BenchSize, StoreError> {
    let (length, width) = (Millimetres(cells.some_number()?), Millimetres(cells.some_number()?));
    let (headroom_back, headroom_front) = (cells.number()?.map(Millimetres), cells.number()?.map(Millimetres));
    Ok(BenchSize { length, width, headroom_back, headroom_front })
}

fn read_lot(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let (crop, variety) = (cells.text()?, cells.text()?);
    let (packed, stated, seeds) = (cells.get()?, cells.get::<Option<f64>>()?.map(Share), cells.number()?);
    let origin = if cells.flag()? { SeedOrigin::HomeSaved } else { SeedOrigin::Packet };
    Ok(Fact::LotAdded { crop, variety, packed, stated, seeds, origin })
}

fn read_stand(cells: &mut Cells<'_>) -> Result<Stand, StoreError> {
    match (cells.maybe_id()?, cells.maybe_id()?, cells.maybe_id()?) {
        (Some(bench), None, None) => Ok(Stand::Bench(BenchId(bench))),
        (None, Some(place), None) => Ok(Stand::Place(PlaceId(place))),
        (None, None, Some(carrier)) => Ok(Stand::Carrier(ContainerId(carrier))),
        _ => Err(cells.wrong("a container stands on nothing or on two things")),
    }
}

fn read_spot(cells: &mut Cells<'_>) -> Result<Option<Spot>, StoreError> {
    let (x, y) = (cells.number()?, cells.number()?);
    let (turned, pinned) = (cells.get::<Option<bool>>()?, cells.get::<Option<bool>>()?);
    Ok(match (x, y, turned, pinned) {
        (Some(x), Some(y), Some(turned), Some(pinned)) => Some(Spot { x, y, turned, pinned }),
        _ => None,
    })
}

fn read_stood(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
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

fn read_label(cells: &mut Cells<'_>) -> Result<BatchLabel, StoreError> {
    Ok(BatchLabel { year: cells.get()?, number: cells.some_number()? })
}

fn read_begun(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
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

fn read_filled(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
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

fn read_counted(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let part = PartId(cells.id()?);
    let (up, standing, gaps, doubles) = (cells.number()?, cells.number()?, cells.number()?, cells.flag()?);
    let (ticked, doubled) = (cells.maybe_text::<CellSet>()?, cells.maybe_text()?.unwrap_or_default());
    let ticks = ticked.map(|ticked| Ticks::new(&ticked, doubled));
    Ok(Fact::Counted { part, observed: Observed { up, standing, gaps, doubles, ticks } })
}

fn read_departed(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
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

fn read_noted(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
    let topic = match (cells.maybe_id()?, cells.maybe_id()?) {
        (Some(batch), None) => Topic::Batch(BatchId(batch)),
        (None, Some(place)) => Topic::Place(PlaceId(place)),
        _ => return Err(cells.wrong("a note about nothing")),
    };
    Ok(Fact::Noted { topic, remark: cells.text()? })
}

fn read_reading(cells: &mut Cells<'_>) -> Result<Fact, StoreError> {
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
