//! Refusals in the words of the screen. The grammar and the desk speak of commands and their options; on the screen a form
//! has fields with names, and what has a key is done by it.

use crate::tui::actions::Id;
use crate::tui::keys::Keys;

use super::field::Takes;
use super::{Form, Verb};

/// What is said on the screen where no field stands for an option.
const SAID: [(&str, &str); 8] = [
    (" with --on", ""),
    ("; pot-on and plant-out take --recount", ""),
    ("add --doubles", "write a d behind the number"),
    ("to say how many stand now, write --standing N", "an s behind the number says how many stand now"),
    ("count what stands instead: --standing N", "count what stands instead, with an s behind the number"),
    ("or all together with --with-later", "or take them all back in the journal, with x"),
    ("or clear with --rest discard", "or empty the container with the rest thrown away"),
    ("PLACE/NAME", "place/name"),
];

impl Form {
    /// Says why it was refused, at the field that is named, and lets the next digit replace a number.
    pub fn refuse(&mut self, line: &str, keys: &Keys) {
        let (said, at) = self.in_fields(&in_keys(line, keys));
        self.trouble = Some(said);
        self.focus = at.unwrap_or(self.focus);
        for field in &mut self.fields {
            field.refused = matches!(field.takes, Takes::Number { .. });
        }
    }

    /// The same line with the names of fields for those of options, and the first field it names.
    fn in_fields(&self, line: &str) -> (String, Option<usize>) {
        let mut at = None;
        let mut said = line.to_owned();
        // What the usage calls a bare word, as in "N: 'x' is no number".
        if let Some((name, rest)) = line.split_once(": ")
            && name.chars().all(|c| c.is_ascii_uppercase() || "/|-[]".contains(c))
        {
            at = self.fields.iter().position(|field| field.option().is_none());
            said = at.map_or_else(|| rest.to_owned(), |at| format!("{}: {rest}", self.fields[at].label));
        }
        // What a crop and its variety were to be is told without either's name in the usage.
        if line.contains("VARIETY") || line.contains("CROP") {
            at = self.fields.iter().position(|field| field.option().is_none());
        }
        let words = said.split("; usage:").next().unwrap_or_default().split(' ').map(|word| {
            let option = word.trim_matches(|c: char| !c.is_ascii_alphanumeric() && c != '-');
            let Some(name) = option.strip_prefix("--").filter(|name| !name.is_empty()) else { return word.to_owned() };
            let found = self.fields.iter().position(|field| field.option().as_deref() == Some(option));
            at = at.or(found);
            word.replace(option, found.map_or(name, |found| self.fields[found].label))
        });
        let words: Vec<String> = words.filter(|word| !(word.starts_with('<') && word.ends_with('>'))).collect();
        (words.join(" "), at)
    }
}

/// A line with keys for the commands in it that have one, and the others as they are typed on the quick line.
#[must_use]
pub fn in_keys(line: &str, keys: &Keys) -> String {
    let mut said = String::new();
    for (number, piece) in line.split('`').enumerate() {
        if number % 2 == 0 { said.push_str(piece) } else { said.push_str(&key_of(piece, keys)) }
    }
    SAID.iter().fold(said, |said, (option, words)| said.replace(option, words))
}

fn key_of(command: &str, keys: &Keys) -> String {
    let begins = |words: &str| command.starts_with(words);
    match () {
        () if command == "undo" => keys.letter(Id::Undo),
        () if command == "history" => format!("the journal ({})", keys.letter(Id::Journal)),
        () if begins("place add") => format!("{} p", keys.letter(Id::Add)),
        () if begins("bench add") => format!("{} b", keys.letter(Id::Add)),
        () if begins("clear ") || begins("lose ") => {
            let verb = if begins("clear ") { Verb::Clear } else { Verb::Lose };
            let part = command.split(' ').nth(1).unwrap_or_default();
            format!("{}{}", part, keys.letter(Id::Open(verb)))
        }
        () if begins("lot add") => format!("{} s", keys.letter(Id::Add)),
        () if begins("count ") && command.contains(" --standing ") => {
            format!("a count of {}s", command.rsplit(' ').next().unwrap_or_default())
        }
        () => format!("{} {command}", keys.letter(Id::Line)),
    }
}
