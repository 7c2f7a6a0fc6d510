//! What the word under the cursor may become. The commands, their options and what each takes are read from the
//! grammar itself, and the names there are come as an argument, so a line and a shell complete alike.

use std::borrow::Cow;

use crate::journal::{Cause, Light, PlaceKind, Treatment};

use super::overview::GROUPS;
use super::shell::whole;

/// Something that can be written, and what is to be known of it beside.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Word {
    /// What is written, without quotes.
    pub text: String,
    /// Crop, room, or what a command does; may be empty.
    pub beside: String,
}

/// The names there are, each list in the order it is to be offered in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Vocabulary {
    /// Open batches.
    pub batches: Vec<Word>,
    /// Parts that stand somewhere; a batch of one part by its number alone.
    pub parts: Vec<Word>,
    /// Benches, and places without one.
    pub spots: Vec<Word>,
    /// Places.
    pub places: Vec<Word>,
    /// Carriers.
    pub carriers: Vec<Word>,
    /// Kinds of container.
    pub containers: Vec<Word>,
    /// Crops.
    pub crops: Vec<Word>,
    /// Varieties in the seed box, each with its crop.
    pub varieties: Vec<(String, Word)>,
}

/// What fits where the cursor is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Completion {
    /// Where the word under the cursor begins, in bytes.
    pub start: usize,
    /// Where it ends: the cursor.
    pub end: usize,
    /// What it may become, the likeliest first.
    pub fitting: Vec<Word>,
    /// True when it is one of them already.
    pub whole: bool,
}

impl Completion {
    /// The line with one of what fits in the place of the word under the cursor, and the cursor behind it and a blank,
    /// where the next word begins.
    #[must_use]
    pub fn taken(&self, line: &str, which: usize) -> Option<(String, usize)> {
        let word = self.fitting.get(which)?;
        let (before, behind) = (line.get(..self.start)?, line.get(self.end..)?);
        let behind = behind.strip_prefix(' ').unwrap_or(behind);
        let blank = if word.text.ends_with('/') { "" } else { " " };
        let put = format!("{before}{}{blank}", quoted(&word.text));
        Some((format!("{put}{behind}"), put.len()))
    }
}

/// A word as it is typed: in quotes where a blank or a sign of the shell stands in it.
#[must_use]
pub fn quoted(word: &str) -> Cow<'_, str> {
    let plain = |c: char| c.is_alphanumeric() || "_./~-+=,:%".contains(c);
    if word.chars().all(plain) && !word.is_empty() {
        return Cow::Borrowed(word);
    }
    shlex::try_quote(word).unwrap_or(Cow::Borrowed(word))
}

/// Commands about the journal's file, and those that are no line of their own.
const NOT_HERE: [&str; 8] = ["run", "check", "backup", "restore", "merge", "export", "demo", "help"];

/// Says what the word before a cursor (in bytes) may become.
#[must_use]
pub fn complete(line: &str, cursor: usize, names: &Vocabulary) -> Completion {
    let upto = line.get(..cursor).unwrap_or(line);
    let mut words = scan(upto);
    if words.len() > 1 && words[0].1 == "thumbpot" {
        words.remove(0);
    }
    let Some((start, typed)) = words.pop() else { return Completion::default() };
    let before: Vec<&str> = words.iter().map(|(_, word)| word.as_str()).collect();
    let grammar = whole();
    let (found, typed, start) = offered(&grammar, &before, &typed, start, names);
    let fitting = fitting(found, &typed);
    let exact = fitting.iter().any(|word| word.text.eq_ignore_ascii_case(&typed));
    Completion { start, end: upto.len(), whole: exact, fitting }
}

/// The words of a line that stand where a batch or part is named, as far as it is typed; a crop's name may be one.
#[must_use]
pub fn batch_words(line: &str) -> Vec<String> {
    let words: Vec<String> = scan(line).into_iter().map(|(_, word)| word).filter(|word| !word.is_empty()).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let grammar = whole();
    let mut command = &grammar;
    let mut rest = words.strip_prefix(&["thumbpot"]).unwrap_or(&words);
    while let Some((first, behind)) = rest.split_first()
        && let Some(verb) = command.find_subcommand(first)
    {
        (command, rest) = (verb, behind);
    }
    let names_one = |arg: &clap::Arg| kinds(arg).iter().any(|kind| matches!(*kind, "PART" | "BATCH"));
    let stands_there = |at: usize| {
        let read = Read::of(command, &grammar, &rest[..at]);
        let bare = || read.place(command).filter(|_| !rest[at].starts_with("--"));
        read.awaits.or_else(bare).is_some_and(names_one)
    };
    (0..rest.len()).filter(|at| stands_there(*at)).map(|at| rest[at].to_owned()).collect()
}

/// One of what is offered, and whether what stands beside it may be typed for it.
#[derive(Clone)]
struct Offer {
    word: Word,
    by_beside: bool,
}

fn offer(text: impl Into<String>, beside: impl Into<String>) -> Offer {
    Offer { word: Word { text: text.into(), beside: beside.into() }, by_beside: false }
}

/// Those that begin as typed, then those with a word that does, then those of which something beside does.
fn fitting(offers: Vec<Offer>, typed: &str) -> Vec<Word> {
    let typed = typed.to_lowercase();
    // A number is a batch's own, never how many stand in another.
    let by_letters = typed.starts_with(char::is_alphabetic);
    let rank = |offer: &Offer| {
        let has = |text: &str| {
            text.to_lowercase().split([' ', '/', '-', ',']).any(|word| !word.is_empty() && word.starts_with(&typed))
        };
        match () {
            () if offer.word.text.to_lowercase().starts_with(&typed) => Some(0),
            () if has(&offer.word.text) => Some(1),
            () if offer.by_beside && by_letters && has(&offer.word.beside) => Some(2),
            () => None,
        }
    };
    let mut ranked: Vec<_> = offers.into_iter().filter_map(|offer| Some((rank(&offer)?, offer.word))).collect();
    ranked.sort_by_key(|(rank, _)| *rank);
    let mut fitting: Vec<Word> = Vec::new();
    for (_, word) in ranked {
        if !fitting.iter().any(|other| other.text == word.text) {
            fitting.push(word);
        }
    }
    fitting
}

/// What may stand at the cursor, the word typed there, and where it begins: of `--at=fra` only what is behind the sign.
fn offered(
    grammar: &clap::Command,
    before: &[&str],
    typed: &str,
    start: usize,
    names: &Vocabulary,
) -> (Vec<Offer>, String, usize) {
    let whole_word = |offers| (offers, typed.to_owned(), start);
    let mut command = grammar;
    let mut rest = before;
    while let Some((first, behind)) = rest.split_first()
        && let Some(verb) = command.find_subcommand(first)
    {
        (command, rest) = (verb, behind);
    }
    let read = Read::of(command, grammar, rest);
    if let Some(option) = read.awaits {
        return whole_word(values(option, &read, names));
    }
    if let Some((name, value)) = typed.strip_prefix("--").and_then(|typed| typed.split_once('='))
        && let Some(option) = option_of(command, grammar, name)
    {
        return (values(option, &read, names), value.to_owned(), start + typed.len() - value.len());
    }
    let mut found = Vec::new();
    if read.bare.is_empty() && rest.is_empty() {
        found.extend(commands(command, std::ptr::eq(command, grammar)));
    }
    if !typed.starts_with("--")
        && let Some(place) = read.place(command)
    {
        found.extend(values(place, &read, names));
    }
    // Nothing is typed yet: options come where no other word is wanted first. A variety is, though none is in the seed
    // box and a lost label has none.
    let only_growers = read.place(command).is_some_and(|place| place.is_required_set() || kinds(place) == ["VARIETY"]);
    let wants_word = only_growers || (!found.is_empty() && read.bare.len() < command.get_positionals().count());
    if !std::ptr::eq(command, grammar) && (typed.starts_with('-') || (typed.is_empty() && !wants_word)) {
        found.extend(options(command, &read));
    }
    whole_word(found)
}

/// Commands by name: all of them in the order of the overview, or those that go with one.
fn commands(command: &clap::Command, all: bool) -> Vec<Offer> {
    let named = |name: &str| {
        let verb = command.find_subcommand(name)?;
        Some(offer(verb.get_name(), verb.get_about().map(ToString::to_string).unwrap_or_default()))
    };
    if all {
        let listed = GROUPS.iter().flat_map(|(_, names)| *names).filter(|name| !NOT_HERE.contains(name));
        return listed.filter_map(|name| named(name)).collect();
    }
    command.get_subcommands().filter_map(|verb| named(verb.get_name())).collect()
}

/// Options that were not given yet, those that are needed first.
fn options(command: &clap::Command, read: &Read<'_>) -> Vec<Offer> {
    let mut free: Vec<&clap::Arg> =
        command.get_opts().filter(|arg| !read.given.contains(&arg.get_id().as_str())).collect();
    let flag = |arg: &&clap::Arg| !arg.get_action().takes_values() && arg.get_id() != "help";
    free.extend(command.get_arguments().filter(|arg| !arg.is_positional()).filter(flag));
    free.retain(|arg| !read.given.contains(&arg.get_id().as_str()));
    free.sort_by_key(|arg| !arg.is_required_set());
    let said = |arg: &clap::Arg| arg.get_help().map(ToString::to_string).unwrap_or_default();
    let mut found: Vec<Offer> =
        free.iter().filter_map(|arg| Some(offer(format!("--{}", arg.get_long()?), said(arg)))).collect();
    if !read.given.contains(&"on") {
        found.push(offer("--on", "the day it happened"));
    }
    found
}

/// The words before the cursor as the command takes them.
struct Read<'a> {
    /// Ids of the options given.
    given: Vec<&'a str>,
    /// The words that are no options.
    bare: Vec<&'a str>,
    /// The option that waits for its value.
    awaits: Option<&'a clap::Arg>,
}

impl<'a> Read<'a> {
    fn of(command: &'a clap::Command, grammar: &'a clap::Command, words: &[&'a str]) -> Self {
        let mut read = Self { given: Vec::new(), bare: Vec::new(), awaits: None };
        let mut only_bare = false;
        for word in words {
            if read.awaits.take().is_some() {
                continue;
            }
            match word.strip_prefix("--").filter(|_| !only_bare) {
                Some("") => only_bare = true,
                Some(option) => {
                    let name = option.split('=').next().unwrap_or(option);
                    if let Some(arg) = option_of(command, grammar, name) {
                        read.given.push(arg.get_id().as_str());
                        let value_follows = arg.get_action().takes_values() && !option.contains('=');
                        read.awaits = Some(arg).filter(|_| value_follows);
                    }
                }
                None => read.bare.push(word),
            }
        }
        read
    }

    /// What the next bare word is.
    fn place(&self, command: &'a clap::Command) -> Option<&'a clap::Arg> {
        let places: Vec<&clap::Arg> = command.get_positionals().collect();
        let many = |arg: &&&clap::Arg| {
            arg.get_num_args().is_some_and(|count| count.max_values() > 1)
                || matches!(arg.get_action(), clap::ArgAction::Append)
        };
        places.get(self.bare.len()).or_else(|| places.last().filter(many)).copied()
    }
}

/// An option of a command, or of all, by any of its names or the beginning of one as the grammar takes it.
fn option_of<'a>(command: &'a clap::Command, grammar: &'a clap::Command, name: &str) -> Option<&'a clap::Arg> {
    let has = |arg: &&clap::Arg| {
        arg.get_long() == Some(name) || arg.get_all_aliases().is_some_and(|aliases| aliases.contains(&name))
    };
    command.get_arguments().chain(grammar.get_arguments()).find(has)
}

/// What an argument takes, by the name that the usage gives it: each of `PART|PLACE/BENCH`, and `on|off` as it stands.
fn values(arg: &clap::Arg, read: &Read<'_>, names: &Vocabulary) -> Vec<Offer> {
    let mut kinds = kinds(arg);
    // Of what moves, the place comes last.
    if arg.is_positional() && !read.bare.is_empty() && kinds.contains(&"PART") {
        kinds.reverse();
    }
    let benches_only = read.given.contains(&"all");
    // A batch of one part stands among the parts.
    let parts = kinds.contains(&"PART");
    kinds.retain(|kind| !(benches_only && *kind == "PART" || parts && *kind == "BATCH"));
    kinds.iter().flat_map(|kind| of_kind(kind, read, names)).collect()
}

/// The kinds of value that the usage names for an argument.
fn kinds(arg: &clap::Arg) -> Vec<&str> {
    let name = arg.get_value_names().and_then(|names| names.first()).map_or("", |name| name.as_str());
    name.trim_end_matches("[xN]").split('|').collect()
}

fn of_kind(kind: &str, read: &Read<'_>, names: &Vocabulary) -> Vec<Offer> {
    let all = |words: &[Word]| -> Vec<Offer> {
        words.iter().map(|word| Offer { word: word.clone(), by_beside: false }).collect()
    };
    let by_beside = |words: &[Word]| -> Vec<Offer> {
        words.iter().map(|word| Offer { word: word.clone(), by_beside: true }).collect()
    };
    let plain = |words: &[&str]| -> Vec<Offer> { words.iter().map(|word| offer(*word, "")).collect() };
    match kind {
        "BATCH" => by_beside(&names.batches),
        "PART" => [by_beside(&names.parts), all(&names.carriers)].concat(),
        "PLACE/BENCH" => [all(&names.spots), all(&names.carriers)].concat(),
        "PLACE" => all(&names.places),
        "PLACE/NAME" => names.places.iter().map(|place| offer(format!("{}/", place.text), &place.beside)).collect(),
        "CONTAINER" => all(&names.containers),
        "CROP" => all(&names.crops),
        "VARIETY" => {
            let crop = read.bare.last().map_or(String::new(), |crop| crop.to_lowercase());
            let of = |(name, _): &&(String, Word)| name.to_lowercase().starts_with(&crop);
            names.varieties.iter().filter(of).map(|(_, word)| offer(&word.text, &word.beside)).collect()
        }
        "WORDS" => [plain(&["germination", "room", "cold"]), by_beside(&names.batches), all(&names.places)].concat(),
        "KIND" => PlaceKind::ALL.iter().map(|kind| offer(kind.word(), "")).collect(),
        "CAUSE" => Cause::ALL.iter().map(|cause| offer(cause.word(), "")).collect(),
        "LIGHT" => Light::ALL.iter().map(|light| offer(light.word(), "")).collect(),
        "WORD" => Treatment::ALL.iter().map(|treatment| offer(treatment.word(), "")).collect(),
        "PAGE" => plain(&[
            "morning", "batch", "cells", "tonight", "benches", "plan", "in-hand", "place", "round", "journal", "keys",
        ]),
        "UNIT" => plain(&["C", "F"]),
        "ORDER" => plain(&["D/M", "M/D"]),
        "DATE" => plain(&["today", "yesterday", "-2d", "-3d", "-7d"]),
        word if word.starts_with(|c: char| c.is_ascii_lowercase()) => plain(&[word]),
        // A number, a size, a text: only the grower knows it.
        _ => Vec::new(),
    }
}

/// The words of a line up to its end, with where each begins; the last is the one that the cursor is at, perhaps empty.
/// Quotes and backslashes are taken as a POSIX shell takes them; one that is not closed yet goes on to the end.
fn scan(line: &str) -> Vec<(usize, String)> {
    let mut words: Vec<(usize, String)> = Vec::new();
    let mut word: Option<(usize, String)> = None;
    let mut quote: Option<char> = None;
    let mut signs = line.char_indices();
    while let Some((at, sign)) = signs.next() {
        if quote.is_none() && sign.is_whitespace() {
            words.extend(word.take());
            continue;
        }
        let (_, text) = word.get_or_insert((at, String::new()));
        match (quote, sign) {
            (Some(open), sign) if sign == open => quote = None,
            (None, '\'' | '"') => quote = Some(sign),
            (None | Some('"'), '\\') => text.extend(signs.next().map(|(_, escaped)| escaped)),
            (_, sign) => text.push(sign),
        }
    }
    words.push(word.unwrap_or((line.len(), String::new())));
    words
}

#[cfg(test)]
mod tests;
