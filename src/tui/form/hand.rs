//! Trays and pots in hand: how many there are, and how many were washed.

use crate::advice::InHandRow;

use super::Form;
use super::field::{Asked, Field};

/// How many of a kind were washed; all that were emptied unless another number is typed.
#[must_use]
pub fn wash(row: &InHandRow) -> Form {
    let last = Some(row.to_wash).filter(|count| *count > 0);
    of_kind("wash", row, last, format!("{} emptied and not washed", row.to_wash))
}

/// How many of a kind there are in all.
#[must_use]
pub fn own(row: &InHandRow) -> Form {
    let hint = format!("used and unused, {} stand filled", row.in_use);
    of_kind("own", row, row.owned, hint)
}

fn of_kind(word: &str, row: &InHandRow, last: Option<u32>, hint: String) -> Form {
    let number = Field::number("number", last, |text| vec![text.to_owned()]).asked(Asked::Needed).hint(hint);
    Form::new(word, row.name.to_string(), &[word, row.name.as_str()], vec![number]).dated()
}
