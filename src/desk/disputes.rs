//! What cannot be true together after a merge, for the grower to settle: the act that is set aside, and the one that it
//! contradicts. Undoing either settles it; nothing is lost meanwhile.

use crate::journal::{Contradiction, fold};
use crate::quantity::{ActId, Date};
use crate::store::{ActRecord, Books};

use super::Desk;
use super::error::DeskError;
use super::rescue::Twin;
use super::said::{HistoryRow, row};
use super::undo::{scope_of, touched};

/// Two acts that cannot both be true.
#[derive(Clone, Debug, PartialEq)]
pub struct Dispute {
    /// The act that is set aside, wholly or in part.
    pub aside: HistoryRow,
    /// What is wrong with it.
    pub wrong: String,
    /// The act without which it would be true; `None` when no single one is.
    pub against: Option<HistoryRow>,
}

impl Dispute {
    /// What there is to settle, in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let tell = |row: &HistoryRow| format!("{} of {} ({})", row.short, row.on, row.said.join("; "));
        match &self.against {
            Some(other) => format!(
                "2 acts contradict each other: {} is set aside because of {}: {}",
                tell(&self.aside),
                tell(other),
                self.wrong
            ),
            None => format!("{} is set aside: {}", tell(&self.aside), self.wrong),
        }
    }

    /// The acts it is about.
    pub fn acts(&self) -> impl Iterator<Item = ActId> + '_ {
        self.rows().map(|row| row.act)
    }

    /// The acts it is about, as the history shows them: the one set aside first.
    pub fn rows(&self) -> impl Iterator<Item = &HistoryRow> {
        std::iter::once(&self.aside).chain(&self.against)
    }

    /// How to settle it.
    #[must_use]
    pub fn hint(&self) -> String {
        let drop = format!("`undo {}` leaves it out", self.aside.short);
        match &self.against {
            Some(other) => format!("{drop}, `undo {} --with-later` lets it count instead", other.short),
            None => drop,
        }
    }
}

impl Desk {
    /// What a merge or a synchronised folder left to settle by a day, a sentence each.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn to_settle(&self, on: Date) -> Result<Vec<String>, DeskError> {
        let disputes = self.disputes(&self.folded(on)?.1)?;
        let disputes = disputes.iter().map(|one| format!("{}; {}", one.sentence(), one.hint()));
        Ok(disputes.chain(self.twins()?.iter().map(Twin::sentence)).collect())
    }

    /// What contradictions are about, each act once.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn disputes(&self, contradictions: &[Contradiction]) -> Result<Vec<Dispute>, DeskError> {
        if contradictions.is_empty() {
            return Ok(Vec::new());
        }
        self.journal.read(|books| {
            let mut disputes: Vec<Dispute> = Vec::new();
            for one in contradictions {
                if disputes.iter().any(|known| known.aside.act == one.act) {
                    continue;
                }
                let Some(record) = books.acts_with(&[one.act])?.pop() else { continue };
                let against = against(books, &record, one)?;
                let against = against.map(|record| row(books, &record)).transpose()?;
                disputes.push(Dispute { aside: row(books, &record)?, wrong: one.wrong.to_string(), against });
            }
            Ok(disputes)
        })
    }
}

/// The newest act without which a contradiction would be none.
fn against(books: &Books<'_>, aside: &ActRecord, one: &Contradiction) -> Result<Option<ActRecord>, DeskError> {
    let touched = touched(books, &[aside])?;
    if touched.is_none() {
        // A place or a bench: nothing in particular speaks against it.
        return Ok(None);
    }
    let history = books.history(scope_of(&touched))?;
    let mut others: Vec<ActId> =
        history.entries().iter().map(|entry| entry.act).filter(|act| *act != one.act).collect();
    others.sort_unstable();
    others.dedup();
    let is_settled_by = |act: &ActId| !fold(&history.without(&[*act])).1.iter().any(|still| still.entry == one.entry);
    let Some(other) = others.into_iter().rev().find(is_settled_by) else { return Ok(None) };
    Ok(books.acts_with(&[other])?.pop())
}
