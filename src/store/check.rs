//! Checking a journal: the file, the digest chain, the derived tables, and the law of conservation by another road.

use std::collections::BTreeMap;

use rusqlite::Connection;
use uuid::Uuid;

use crate::journal::{Contradiction, fold};

use super::acts::ActRecord;
use super::derived::{OutcomeRow, StandingRow, carrier_row, outcome_row, standing_rows};
use super::digest::{Chain, Content, Digest, Heading};
use super::error::StoreError;
use super::load::Scope;
use super::merge::Twins;
use super::{Books, Journal, open};

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What was checked.
    pub about: &'static str,
    /// What was found.
    pub what: String,
}

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Findings {
    /// Acts checked.
    pub acts: u64,
    /// Entries folded.
    pub entries: u64,
    /// Batches compared.
    pub batches: u64,
    /// What is wrong.
    pub problems: Vec<Finding>,
    /// Entries set aside by the fold: possible only after a merge.
    pub contradictions: Vec<Contradiction>,
    /// Places in the chains of digests where damage took one act or more, and no copy has brought them back.
    pub gaps: u64,
    /// Open batches to be told from others.
    pub twins: Twins,
}

const MOST_FINDINGS: usize = 50;

impl Findings {
    fn add(&mut self, about: &'static str, what: impl Into<String>) {
        if self.problems.len() < MOST_FINDINGS {
            self.problems.push(Finding { about, what: crate::quantity::shown(&what.into()) });
        }
    }

    /// True when all is well.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }
}

impl Journal {
    /// Checks everything: the file, references, every act's digest, the derived tables against a refold, and the fold
    /// against sums made in SQL.
    ///
    /// # Errors
    /// When the journal is too damaged to be read at all.
    pub fn check(&self) -> Result<Findings, StoreError> {
        self.read(|books| {
            let mut findings = file_only(books.connection)?;
            books.check_schema(&mut findings)?;
            books.check_digests(&mut findings)?;
            books.check_derived(&mut findings)?;
            books.check_sums(&mut findings)?;
            Ok(findings)
        })
    }
}

/// Checks the file alone.
pub(super) fn file_only(connection: &Connection) -> Result<Findings, StoreError> {
    let mut findings = Findings::default();
    let mut statement = connection.prepare("PRAGMA integrity_check(20)")?;
    for line in statement.query_map([], |row| row.get::<_, String>(0))? {
        let line = line?;
        if line != "ok" {
            findings.add("file", line);
        }
    }
    let mut statement = connection.prepare("PRAGMA foreign_key_check")?;
    for table in statement.query_map([], |row| row.get::<_, String>(0))? {
        findings.add("references", format!("a row of {} refers to nothing", table?));
    }
    Ok(findings)
}

impl Books<'_> {
    fn check_schema(&self, findings: &mut Findings) -> Result<(), StoreError> {
        let (found, wanted) = (open::make(self.connection)?, open::make_of_new()?);
        // Statistics and the like are SQLite's own.
        let is_ours = |(name, _): &&(String, Option<String>)| !name.starts_with("sqlite_");
        for (name, _) in wanted.iter().filter(is_ours).filter(|one| !found.contains(one)) {
            findings.add("schema", format!("{name} is missing or was altered"));
        }
        for (name, _) in found.iter().filter(is_ours).filter(|(name, _)| wanted.iter().all(|(known, _)| known != name))
        {
            findings.add("schema", format!("{name} does not belong there"));
        }
        Ok(())
    }

    fn check_digests(&self, findings: &mut Findings) -> Result<(), StoreError> {
        let mut statement = self.connection.prepare(
            "SELECT a.id, d.uuid, a.digest FROM act a JOIN device d ON d.id = a.device ORDER BY d.id, a.uuid",
        )?;
        let rows = statement
            .query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, Vec<u8>>(1)?, row.get::<_, Digest>(2)?)))?;
        let mut chain = Chain { lost: self.lost_acts()?, known: Vec::new() };
        findings.gaps = chain.lost.len() as u64;
        let mut of: Option<Vec<u8>> = None;
        for row in rows {
            let (act, device, stored) = row?;
            findings.acts += 1;
            if of.as_ref() != Some(&device) {
                chain.known.clear();
            }
            let good = match self.act_record(act) {
                Ok(record) => {
                    self.check_subjects(&record, findings)?;
                    // Once enough is wrong, other links than the last are not looked for: it would take long.
                    let looks = findings.problems.len() < MOST_FINDINGS;
                    self.content_of(&record, &device).is_ok_and(|content| {
                        chain.goes_on(&content, &stored) || looks && chain.link(&content, &stored).is_some()
                    })
                }
                Err(_) => false,
            };
            if !good {
                findings.add("digest", StoreError::Altered { act: act.to_string() }.to_string());
            }
            chain.known.push(stored);
            of = Some(device);
        }
        Ok(())
    }

    /// The digests of acts that damage took from this journal and that are not in it again.
    pub(super) fn lost_acts(&self) -> Result<Vec<Digest>, StoreError> {
        let mut statement = self
            .connection
            .prepare("SELECT digest FROM lost_act WHERE digest NOT IN (SELECT a.digest FROM act a) ORDER BY digest")?;
        Ok(statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    /// What an entry is found by is beside its content, so no digest covers it.
    fn check_subjects(&self, record: &ActRecord, findings: &mut Findings) -> Result<(), StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT batch, container FROM entry WHERE id = ?1")?;
        for entry in &record.entries {
            let (batch, container) = self.subjects(entry.id, &entry.fact)?;
            let wanted = (batch.map(|batch| batch.0.0), container.map(|container| container.0.0));
            let found: (Option<i64>, Option<i64>) =
                statement.query_row([entry.id.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
            if found != wanted {
                findings.add("entry", format!("entry {} would not be found with what it is about", entry.id.0));
            }
        }
        Ok(())
    }

    /// What an act's digest is made of, from what is stored.
    pub(super) fn content_of(&self, record: &ActRecord, device: &[u8]) -> Result<Content, StoreError> {
        let happened = record.happened.to_string();
        let mut rulings = Vec::new();
        let mut statement = self.connection.prepare_cached(
            "SELECT a.uuid, v.ruling FROM verdict v JOIN act a ON a.id = v.target WHERE v.act = ?1 ORDER BY v.id",
        )?;
        let rows =
            statement.query_map([record.row], |row| Ok((row.get::<_, Vec<u8>>(0)?, row.get::<_, String>(1)?)))?;
        for row in rows {
            let (target, ruling) = row?;
            let target = Uuid::from_slice(&target).map_err(|error| StoreError::Damaged(error.to_string()))?;
            rulings.push((target, if ruling == "undone" { "undone" } else { "restored" }));
        }
        let heading = Heading {
            act: record.id.0,
            device: Uuid::from_slice(device).map_err(|error| StoreError::Damaged(error.to_string()))?,
            verb: &record.verb,
            happened: &happened,
            recorded: &record.recorded,
            rulings: &rulings,
        };
        Content::of(&heading, &record.entries, |id| self.name_of(id))
    }

    fn check_derived(&self, findings: &mut Findings) -> Result<(), StoreError> {
        let history = self.history(Scope::All)?;
        findings.entries = history.entries().len() as u64;
        let (state, contradictions) = fold(&history);
        findings.contradictions = contradictions;
        findings.batches = state.batches.len() as u64;
        findings.twins = self.twins(&state, |_, batch| state.is_live(batch))?;
        let expected: BTreeMap<i64, OutcomeRow> =
            state.batches.keys().filter_map(|id| outcome_row(&state, *id)).map(|row| (row.batch, row)).collect();
        for row in expected.values().filter(|row| !row.tally.balances()) {
            findings.add("conservation", format!("batch {}/{} does not balance", row.year, row.number));
        }
        compare("outcome", &expected, &self.outcome_rows()?, findings);
        let expected: BTreeMap<i64, StandingRow> =
            state.batches.keys().flat_map(|id| standing_rows(&state, *id)).map(|row| (row.part, row)).collect();
        compare("standing", &expected, &self.standing_rows()?, findings);
        let expected: BTreeMap<i64, Option<String>> =
            state.containers.keys().filter_map(|id| carrier_row(&state, *id).map(|called| (id.0.0, called))).collect();
        let mut statement = self.connection.prepare("SELECT container, called FROM carrier")?;
        let found = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        compare("carrier", &expected, &found, findings);
        let mut statement = self.connection.prepare(
            "SELECT v.target FROM verdict v JOIN act a ON a.id = v.act WHERE v.ruling = 'undone' AND NOT EXISTS \
             (SELECT 1 FROM verdict later JOIN act b ON b.id = later.act WHERE later.target = v.target AND b.uuid > a.uuid)",
        )?;
        let expected =
            statement.query_map([], |row| Ok((row.get(0)?, ())))?.collect::<Result<BTreeMap<i64, ()>, _>>()?;
        let mut statement = self.connection.prepare("SELECT act FROM undone")?;
        let found = statement.query_map([], |row| Ok((row.get(0)?, ())))?.collect::<Result<_, _>>()?;
        compare("undone", &expected, &found, findings);
        Ok(())
    }

    fn outcome_rows(&self) -> Result<BTreeMap<i64, OutcomeRow>, StoreError> {
        let mut statement = self.connection.prepare(
            "SELECT batch, year, number, lot, crop, variety, begun, beginning, live, sown, gained, not_up, standing, lost, \
             thinned, discarded, planted_out, given_away FROM outcome",
        )?;
        let rows = statement.query_map([], |row| {
            let tally = crate::journal::Tally {
                sown: row.get(9)?,
                gained: row.get(10)?,
                not_up: row.get(11)?,
                standing: row.get(12)?,
                lost: row.get(13)?,
                thinned: row.get(14)?,
                discarded: row.get(15)?,
                planted_out: row.get(16)?,
                given_away: row.get(17)?,
            };
            let row = OutcomeRow {
                batch: row.get(0)?,
                year: row.get(1)?,
                number: row.get(2)?,
                lot: row.get(3)?,
                crop: row.get(4)?,
                variety: row.get(5)?,
                begun: row.get(6)?,
                beginning: row.get(7)?,
                live: row.get(8)?,
                tally,
            };
            Ok((row.batch, row))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn standing_rows(&self) -> Result<BTreeMap<i64, StandingRow>, StoreError> {
        let mut statement = self.connection.prepare(
            "SELECT part, batch, letter, container, place, bench, sown, up, standing, cleared FROM standing",
        )?;
        let rows = statement.query_map([], |row| {
            let row = StandingRow {
                part: row.get(0)?,
                batch: row.get(1)?,
                letter: row.get(2)?,
                container: row.get(3)?,
                place: row.get(4)?,
                bench: row.get(5)?,
                sown: row.get(6)?,
                up: row.get(7)?,
                standing: row.get(8)?,
                cleared: row.get(9)?,
            };
            Ok((row.part, row))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn check_sums(&self, findings: &mut Findings) -> Result<(), StoreError> {
        self.execute("DELETE FROM temp.set_aside")?;
        for contradiction in &findings.contradictions {
            self.connection
                .prepare_cached("INSERT OR IGNORE INTO temp.set_aside (entry) VALUES (?1)")?
                .execute([contradiction.entry.0])?;
        }
        let mut statement = self.connection.prepare(include_str!("sums.sql"))?;
        let rows = statement.query_map([], |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?)))?;
        for row in rows {
            let (batch, what) = row?;
            findings.add("sums", format!("batch {batch}: {what} is not what the log adds up to"));
        }
        Ok(())
    }
}

fn compare<T: PartialEq>(
    table: &'static str,
    expected: &BTreeMap<i64, T>,
    found: &BTreeMap<i64, T>,
    findings: &mut Findings,
) {
    for (key, row) in expected {
        if found.get(key) != Some(row) {
            findings.add("derived", format!("{table}: row {key} is not what the log folds to"));
        }
    }
    for key in found.keys().filter(|key| !expected.contains_key(key)) {
        findings.add("derived", format!("{table}: row {key} should not be there"));
    }
}
