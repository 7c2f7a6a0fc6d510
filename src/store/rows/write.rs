//! A fact written into the columns of its kind's table, in their order.

use rusqlite::types::Value;

use crate::journal::{
    Beginning, BenchSize, Departure, Fact, Growth, Measured, Observed, SeedOrigin, Source, Spot, Stand, Topic, Vessel,
};
use crate::quantity::{BatchLabel, CellSet, EntryId};

use super::{KINDS, Kind};

/// The kind of a fact and the values of its columns.
pub(in crate::store) fn row_of(fact: &Fact) -> (&'static Kind, Vec<Value>) {
    let (number, values) = match fact {
        Fact::PlaceAdded { name, kind, heated_to, light } => {
            (1, vec![text(name), text(kind), maybe_real(heated_to.map(|c| c.0)), text(light)])
        }
        Fact::BenchAdded { place, name, size } => (2, [vec![key(place.0), text(name)], size_values(size)].concat()),
        Fact::BenchResized { bench, size } => (3, [vec![key(bench.0)], size_values(size)].concat()),
        Fact::LotAdded { crop, variety, packed, stated, seeds, origin } => {
            let packed = packed.map_or(Value::Null, |year| Value::Integer(year.into()));
            let home_saved = flag(*origin == SeedOrigin::HomeSaved);
            let stated = maybe_real(stated.map(|share| share.0));
            (4, vec![text(crop), text(variety), packed, stated, maybe(*seeds), home_saved])
        }
        Fact::Stood { vessel, stand, spot, called } => {
            let mut values = vessel_values(vessel);
            values.push(called.as_ref().map_or(Value::Null, text));
            values.extend(stand_values(*stand));
            values.extend(spot_values(*spot));
            (5, values)
        }
        Fact::Begun { label, lot, beginning } => {
            let [year, number] = label_values(*label);
            (6, [vec![year, number, key(lot.0)], beginning_values(beginning).to_vec()].concat())
        }
        Fact::Filled { batch, letter, container, source, from_cells } => {
            let mut values = vec![key(batch.0), Value::Integer(letter.0.into()), key(container.0)];
            values.extend(source_values(source));
            values.push(some_cells(from_cells));
            (7, values)
        }
        Fact::Counted { part, observed } => (8, [vec![key(part.0)], observed_values(observed)].concat()),
        Fact::Staged { part, growth } => {
            let Growth { leaves, height, leggy, roots } = *growth;
            (9, vec![key(part.0), maybe(leaves), maybe(height.map(|mm| mm.0)), flag(leggy), flag(roots)])
        }
        Fact::Departed { part, plants, how, cells } => {
            let mut values = vec![key(part.0), Value::Integer((*plants).into())];
            values.extend(departure_values(how));
            values.push(some_cells(cells));
            (10, values)
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
            let [year, number] = label_values(*label);
            (16, vec![key(batch.0), year, number])
        }
        Fact::Noted { topic: Topic::Batch(batch), remark } => (17, vec![key(batch.0), Value::Null, text(remark)]),
        Fact::Noted { topic: Topic::Place(place), remark } => (17, vec![Value::Null, key(place.0), text(remark)]),
        Fact::Read { place, measured } => (18, [vec![key(place.0)], measured_values(measured).to_vec()].concat()),
        Fact::Forecast { day, low, high } => (19, vec![text(day), Value::Real(low.0), Value::Real(high.0)]),
        Fact::Covered { place, on } => (20, vec![key(place.0), flag(*on)]),
        Fact::PutAway { container } => (21, vec![key(container.0)]),
        Fact::ContainerMeasured { name, size } => {
            let (length, width) = (Value::Integer(size.length.0.into()), Value::Integer(size.width.0.into()));
            (22, vec![text(name), length, width, maybe(size.height.map(|mm| mm.0))])
        }
        Fact::ContainerOwned { name, count } => (23, vec![text(name), Value::Integer((*count).into())]),
        Fact::ContainerWashed { name, count } => (24, vec![text(name), Value::Integer((*count).into())]),
    };
    (&KINDS[number - 1], values)
}

fn vessel_values(vessel: &Vessel) -> Vec<Value> {
    vec![
        text(&vessel.name),
        text(&vessel.class),
        maybe(vessel.length.map(|mm| mm.0)),
        maybe(vessel.width.map(|mm| mm.0)),
        maybe(vessel.height.map(|mm| mm.0)),
        maybe(vessel.cells),
        maybe(vessel.volume.map(|ml| ml.0)),
        Value::Integer(vessel.pots.into()),
    ]
}

fn label_values(label: BatchLabel) -> [Value; 2] {
    [Value::Integer(label.year.into()), Value::Integer(label.number.into())]
}

fn beginning_values(beginning: &Beginning) -> [Value; 4] {
    match beginning {
        Beginning::Sown { unit, treatment, depth } => {
            [text(&"sown"), text(unit), text(treatment), maybe(depth.map(|mm| mm.0))]
        }
        Beginning::Received => [text(&"received"), Value::Null, Value::Null, Value::Null],
    }
}

fn source_values(source: &Source) -> [Value; 4] {
    let (word, number, per_cell, from) = match source {
        Source::Sown { units, per_cell } => ("sown", *units, *per_cell, Value::Null),
        Source::Received { plants } => ("received", *plants, None, Value::Null),
        Source::From { part, plants, how } => (how.word(), *plants, None, key(part.0)),
    };
    [text(&word), Value::Integer(number.into()), maybe(per_cell), from]
}

fn observed_values(observed: &Observed) -> Vec<Value> {
    let Observed { up, standing, gaps, doubles, ticks } = observed;
    let cells = ticks.as_ref().map_or(Value::Null, |ticks| text(ticks.cells()));
    let doubled = ticks.as_ref().map_or(Value::Null, |ticks| some_cells(ticks.doubled()));
    vec![maybe(*up), maybe(*standing), maybe(*gaps), flag(*doubles), cells, doubled]
}

fn departure_values(how: &Departure) -> [Value; 3] {
    let (word, cause, remark) = match how {
        Departure::Lost { cause, remark } => ("lost", text(cause), remark.as_ref()),
        Departure::Thinned => ("thinned", Value::Null, None),
        Departure::Discarded => ("discarded", Value::Null, None),
        Departure::GivenAway => ("given away", Value::Null, None),
        Departure::PlantedOut { bed } => ("planted out", Value::Null, bed.as_ref()),
    };
    [text(&word), cause, remark.map_or(Value::Null, text)]
}

fn measured_values(measured: &Measured) -> [Value; 2] {
    let (what, celsius) = match measured {
        Measured::Minimum(celsius) => ("min", celsius),
        Measured::Maximum(celsius) => ("max", celsius),
        Measured::Now(celsius) => ("now", celsius),
        Measured::Compost(celsius) => ("compost", celsius),
        Measured::Soil(celsius) => ("soil", celsius),
    };
    [text(&what), Value::Real(celsius.0)]
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
