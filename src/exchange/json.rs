//! The whole log as JSON, in one form only: acts by identity, entries numbered from 1 through the whole log.
//!
//! The journal's own keys do not appear, so two journals that hold the same acts give the same bytes.

use std::collections::HashMap;
use std::io::{self, Write};

use serde::Serialize;

use crate::journal::{Entry, Fact};
use crate::quantity::{ActId, Date, DeviceId, EntryId};

/// Version of the form. Fields are only ever added.
const SCHEMA: u32 = 1;

/// An act with all that the log keeps of it.
#[derive(Clone, Debug, PartialEq)]
pub struct LogAct {
    /// Its identity everywhere.
    pub act: ActId,
    /// The machine it was typed on.
    pub device: DeviceId,
    /// What was done, as a command word.
    pub verb: String,
    /// The day it happened.
    pub on: Date,
    /// The instant it was recorded, RFC 3339 UTC.
    pub recorded: String,
    /// Its words on other acts: which, and `undone` or `restored`.
    pub verdicts: Vec<(ActId, &'static str)>,
    /// What it brought about, in order.
    pub entries: Vec<Entry>,
}

#[derive(Serialize)]
struct ActRow<'a> {
    act: ActId,
    device: DeviceId,
    verb: &'a str,
    on: Date,
    recorded: &'a str,
    verdicts: Vec<VerdictRow>,
    entries: Vec<EntryRow>,
}

#[derive(Serialize)]
struct VerdictRow {
    act: ActId,
    ruling: &'static str,
}

#[derive(Serialize)]
struct EntryRow {
    entry: i64,
    on: Date,
    #[serde(flatten)]
    fact: Fact,
}

/// A log being written. Acts must come in order of identity: each refers only to those before it and to itself.
#[derive(Debug)]
pub struct JsonLog<W> {
    out: W,
    numbers: HashMap<EntryId, EntryId>,
    acts: u64,
}

impl<W: Write> JsonLog<W> {
    /// Begins.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn begin(mut out: W) -> io::Result<Self> {
        write!(out, "{{\"schema\":{SCHEMA},\"report\":\"log\",\"acts\":[")?;
        Ok(Self { out, numbers: HashMap::new(), acts: 0 })
    }

    /// Writes the next act on a line of its own.
    ///
    /// # Errors
    /// When it cannot be written, or refers to an entry that was not there before it.
    pub fn act(&mut self, act: &LogAct) -> io::Result<()> {
        for entry in &act.entries {
            let next = i64::try_from(self.numbers.len()).unwrap_or(i64::MAX).saturating_add(1);
            self.numbers.insert(entry.id, EntryId(next));
        }
        let row = ActRow {
            act: act.act,
            device: act.device,
            verb: &act.verb,
            on: act.on,
            recorded: &act.recorded,
            verdicts: act.verdicts.iter().map(|(act, ruling)| VerdictRow { act: *act, ruling }).collect(),
            entries: act.entries.iter().map(|entry| self.renumbered(entry)).collect::<io::Result<_>>()?,
        };
        self.out.write_all(if self.acts == 0 { b"\n" } else { b",\n" })?;
        self.acts += 1;
        serde_json::to_writer(&mut self.out, &row)?;
        Ok(())
    }

    fn renumbered(&self, entry: &Entry) -> io::Result<EntryRow> {
        let mut missing = None;
        let mut new = |id: &mut EntryId| match self.numbers.get(id) {
            Some(number) => *id = *number,
            None => missing = Some(*id),
        };
        let (mut id, mut fact) = (entry.id, entry.fact.clone());
        new(&mut id);
        fact.for_each_reference(&mut new);
        match missing {
            None => Ok(EntryRow { entry: id.0, on: entry.on, fact }),
            Some(EntryId(id)) => {
                Err(io::Error::other(format!("the log refers to entry {id} before it was made: `check` says more")))
            }
        }
    }

    /// Ends, and hands back what was written to.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn end(mut self) -> io::Result<W> {
        self.out.write_all(b"\n]}\n")?;
        Ok(self.out)
    }
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;
    use crate::journal::{Light, PlaceKind, Topic};
    use crate::quantity::{Name, PlaceId, Remark};

    fn act(number: u128, entries: Vec<Entry>) -> LogAct {
        LogAct {
            act: ActId(Uuid::from_u128(number)),
            device: DeviceId(Uuid::from_u128(99)),
            verb: "note".to_owned(),
            on: Date::from_ymd_opt(2026, 3, 2).unwrap(),
            recorded: "2026-03-02T10:00:00.000Z".to_owned(),
            verdicts: Vec::new(),
            entries,
        }
    }

    fn entry(act: u128, sequence: u32, id: i64, fact: Fact) -> Entry {
        let on = Date::from_ymd_opt(2026, 3, 2).unwrap();
        Entry { id: EntryId(id), act: ActId(Uuid::from_u128(act)), sequence, on, fact }
    }

    /// Two places, and a note on the first: with whatever keys a journal gave them.
    fn log(keys: [i64; 3]) -> Vec<LogAct> {
        let place = |name: &str| Fact::PlaceAdded {
            name: Name::of_place(name).unwrap(),
            kind: PlaceKind::ColdFrame,
            heated_to: None,
            light: Light::Full,
        };
        let topic = Topic::Place(PlaceId(EntryId(keys[0])));
        let note = Fact::Noted { topic, remark: Remark::new("draughty").unwrap() };
        vec![
            act(1, vec![entry(1, 0, keys[0], place("frame"))]),
            act(2, vec![entry(2, 0, keys[1], place("sill")), entry(2, 1, keys[2], note)]),
        ]
    }

    fn written(acts: &[LogAct]) -> io::Result<String> {
        let mut log = JsonLog::begin(Vec::new())?;
        for act in acts {
            log.act(act)?;
        }
        Ok(String::from_utf8(log.end()?).unwrap())
    }

    #[test]
    fn the_same_acts_give_the_same_bytes_whatever_their_keys() {
        let first = written(&log([1, 2, 3])).unwrap();
        assert_eq!(first, written(&log([70, 12, 500])).unwrap());
        let read: serde_json::Value = serde_json::from_str(&first).unwrap();
        assert_eq!(read["acts"][1]["entries"][1]["entry"], 3);
        assert_eq!(read["acts"][1]["entries"][1]["topic"]["Place"], 1);
        assert_eq!(read["acts"][1]["entries"][1]["fact"], "noted");
        assert_eq!(read["acts"][0]["act"], "00000000-0000-0000-0000-000000000001");
    }

    #[test]
    fn what_was_written_reads_back_as_the_same_facts() {
        let acts = log([1, 2, 3]);
        let read: serde_json::Value = serde_json::from_str(&written(&acts).unwrap()).unwrap();
        for (act, row) in acts.iter().zip(read["acts"].as_array().unwrap()) {
            for (entry, row) in act.entries.iter().zip(row["entries"].as_array().unwrap()) {
                let fact: Fact = serde_json::from_value(row.clone()).unwrap();
                assert_eq!(fact, entry.fact);
            }
        }
    }

    #[test]
    fn a_reference_to_nothing_is_refused() {
        let mut acts = log([1, 2, 3]);
        acts.remove(0);
        assert!(written(&acts).is_err());
    }

    #[test]
    fn an_empty_log_is_json_too() {
        let read: serde_json::Value = serde_json::from_str(&written(&[]).unwrap()).unwrap();
        assert_eq!(read["acts"].as_array().map(Vec::len), Some(0));
    }
}
