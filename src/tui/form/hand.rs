//! Trays and pots in hand: how many there are, and how many were washed.

use crate::advice::InHandRow;
use crate::desk::Board;

use super::Form;
use super::field::{Asked, Choice, Field, Free};

/// How many of a kind were washed; all that were emptied unless another number is typed.
#[must_use]
pub fn wash(row: &InHandRow) -> Form {
    let last = Some(row.to_wash).filter(|count| *count > 0);
    of_kind("wash", row, last, format!("{} emptied and not washed", row.to_wash))
}

/// How many of a kind there are in all: the row's kind comes first, and is asked for, since most type the kind.
#[must_use]
pub fn own(board: &Board, row: Option<&InHandRow>) -> Form {
    let here = row.map(|row| row.name.as_str());
    let mut names: Vec<&str> = board.containers.iter().map(|(name, _)| name.as_str()).collect();
    names.sort_by_key(|name| Some(*name) != here);
    let choice = |name: &str| Choice::new(name, "", vec![name.to_owned()]);
    let kind = Field::one_of("kind", names.into_iter().map(choice).collect())
        .or_else(Free::As(|text| vec![text.to_owned()]))
        .hint("as seed-tray, 24-cell, 9cm-pot")
        .asked(Asked::Always);
    let about = match row {
        Some(InHandRow { name, owned: Some(owned), in_use, .. }) => format!("{name}: {owned} so far, {in_use} in use"),
        Some(InHandRow { name, in_use, .. }) => format!("{name}: never said so far, {in_use} in use"),
        None => "any kind, in use yet or not".to_owned(),
    };
    let number = Field::number("number", None, |text| vec![text.to_owned()]).asked(Asked::Needed);
    let fields = vec![kind, number.hint("in all, used and unused")];
    Form::new("own", about, &["own"], fields).dated()
}

fn of_kind(word: &str, row: &InHandRow, last: Option<u32>, hint: String) -> Form {
    let number = Field::number("number", last, |text| vec![text.to_owned()]).asked(Asked::Needed).hint(hint);
    Form::new(word, row.name.to_string(), &[word, row.name.as_str()], vec![number]).dated()
}
