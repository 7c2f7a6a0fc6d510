//! Units, dates and identities: the words every other room speaks in.
//!
//! Inside the program lengths are whole millimetres, volumes whole millilitres, temperatures degrees Celsius and
//! time whole days of the grower's own calendar. Text is parsed once at the edge and printed on the way out.

mod cells;
mod dates;
mod ids;
mod measures;
mod moment;
mod text;
mod words;

pub use cells::{CellError, CellSet, MOST_CELLS};
pub use chrono::NaiveDate as Date;
pub use dates::{DateError, DateOrder, Looking, parse_date};
pub use ids::{ActId, BatchId, BenchId, ContainerId, DeviceId, EntryId, LotId, PartId, PlaceId};
pub use measures::{
    Celsius, MeasureError, Millilitres, Millimetres, Scale, Share, SquareMillimetres, Unit, parse_length,
    parse_rectangle, parse_share, parse_temperature,
};
pub use moment::Moment;
pub use text::{CropName, Name, Remark, TextError, is_hidden, message_shown, shown};
pub use words::{BatchLabel, ContainerClass, PartLabel, PartLetter, SownUnit, UnknownWord, find_word};
