//! Facts as rows: which table holds each kind, its columns, and the way there and back.

mod read;
mod write;

use rusqlite::Row;

use crate::journal::{ContainerSize, Fact, Growth};
use crate::quantity::{BatchId, BenchId, Celsius, ContainerId, LotId, Millimetres, PartId, PlaceId};

use super::error::StoreError;
use read::{
    Cells, read_begun, read_counted, read_departed, read_filled, read_label, read_lot, read_noted, read_place,
    read_reading, read_size, read_spot, read_stand, read_stood,
};
pub(super) use write::row_of;

/// A kind of fact: its number in the `kind` table, its own table and that table's columns after `entry`.
pub(super) struct Kind {
    pub(super) number: i64,
    pub(super) table: &'static str,
    pub(super) columns: &'static [&'static str],
    read: fn(&mut Cells<'_>) -> Result<Fact, StoreError>,
}

const SIZE: [&str; 4] = ["length_mm", "width_mm", "headroom_back_mm", "headroom_front_mm"];

#[rustfmt::skip]
const STOOD: [&str; 16] = [
    "name", "class", "length_mm", "width_mm", "height_mm", "cells", "volume_ml", "pots", "called",
    "bench", "place", "carrier", "x_mm", "y_mm", "turned", "pinned",
];

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
    Kind { number: 5, table: "stood", columns: &STOOD, read: read_stood },
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
