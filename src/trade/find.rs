//! Finding what a grower means by a few letters.

use std::collections::BTreeMap;

use thiserror::Error;

/// Nothing, or too much, answers to what was typed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NotFound {
    /// No name is like it.
    #[error("no {what} '{text}'{}", closest.as_ref().map(|name| format!(": did you mean {name}?")).unwrap_or_default())]
    Unknown {
        /// `crop` or `container`.
        what: &'static str,
        /// What was typed, made safe to show.
        text: String,
        /// The nearest name, when one is near.
        closest: Option<String>,
    },
    /// Several names begin so.
    #[error("'{text}' could be {}", either(candidates))]
    Ambiguous {
        /// `crop` or `container`.
        what: &'static str,
        /// What was typed, made safe to show.
        text: String,
        /// The names that fit, in order.
        candidates: Vec<String>,
    },
}

/// How many candidates a message lists before it only counts them.
const LISTED: usize = 6;
/// How like a name must be before it is offered: 1 is the same, 0 has nothing in common.
const LIKE_ENOUGH: f64 = 0.6;

fn either(candidates: &[String]) -> String {
    match candidates {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] if candidates.len() <= LISTED => format!("{} or {last}", first.join(", ")),
        _ => format!("{} or {} more", candidates[..LISTED].join(", "), candidates.len() - LISTED),
    }
}

/// The form in which names are compared: lower case, without spaces, hyphens and apostrophes; `inch` and `litre` in
/// their short forms.
pub(super) fn folded(text: &str) -> String {
    let kept: String = text.to_lowercase().chars().filter(|c| c.is_alphanumeric() || *c == '.').collect();
    kept.replace("inches", "in")
        .replace("inch", "in")
        .replace("litres", "l")
        .replace("litre", "l")
        .replace("liter", "l")
}

/// What may be shown of typed text: no control or direction marks, at most 40 characters.
fn shown(text: &str) -> String {
    let hidden = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
    };
    let mut kept: String = text.trim().chars().filter(|c| !hidden(*c)).take(40).collect();
    if text.trim().chars().count() > 40 {
        kept.push_str("...");
    }
    kept
}

/// The singular forms a plural may have.
fn singulars(folded: &str) -> impl Iterator<Item = String> {
    let chillies = folded.strip_suffix("es").map(str::to_owned);
    let leeks = folded.strip_suffix('s').map(str::to_owned);
    let berries = folded.strip_suffix("ies").map(|stem| format!("{stem}y"));
    leeks.into_iter().chain(chillies).chain(berries)
}

/// Finds the one item that `text` names among `(item, name, aliases)`.
pub(super) fn find<'a, T>(
    what: &'static str,
    text: &str,
    items: impl Iterator<Item = (&'a T, &'a str, &'a [String])>,
) -> Result<&'a T, NotFound> {
    let items: Vec<_> = items.collect();
    let spellings = || {
        let all = items.iter().enumerate();
        all.flat_map(|(at, (_, name, aliases))| {
            std::iter::once(*name).chain(aliases.iter().map(String::as_str)).map(move |spelling| (at, spelling))
        })
    };
    let wanted = folded(text);
    let unknown = |closest| NotFound::Unknown { what, text: shown(text), closest };
    if wanted.is_empty() {
        return Err(unknown(None));
    }
    for exact in std::iter::once(wanted.clone()).chain(singulars(&wanted)) {
        if let Some((at, _)) = spellings().find(|(_, spelling)| folded(spelling) == exact) {
            return Ok(items[at].0);
        }
    }
    let starts = |spelling: &str| folded(spelling).starts_with(&wanted);
    let word_starts = |spelling: &str| spelling.split([' ', '-']).any(|word| folded(word).starts_with(&wanted));
    for fits in [&starts as &dyn Fn(&str) -> bool, &word_starts] {
        let fitting: BTreeMap<usize, ()> =
            spellings().filter(|(_, spelling)| fits(spelling)).map(|(at, _)| (at, ())).collect();
        match fitting.keys().collect::<Vec<_>>()[..] {
            [] => {}
            [only] => return Ok(items[*only].0),
            ref several => {
                let candidates = several.iter().map(|at| items[**at].1.to_owned()).collect();
                return Err(NotFound::Ambiguous { what, text: shown(text), candidates });
            }
        }
    }
    Err(unknown(closest(&wanted, spellings()).map(|at| items[at].1.to_owned())))
}

/// The name nearest to `wanted`, if any is near enough.
pub(super) fn closest_of<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let names: Vec<_> = names.collect();
    closest(&folded(wanted), names.iter().copied().enumerate()).map(|at| names[at])
}

/// The item with the spelling nearest to `wanted`, if any is near enough.
fn closest<'a>(wanted: &str, spellings: impl Iterator<Item = (usize, &'a str)>) -> Option<usize> {
    // Text far longer than any name is not a slip of the finger, and comparing it would cost its length squared.
    if wanted.len() > 60 {
        return None;
    }
    spellings
        .map(|(at, spelling)| (strsim::normalized_damerau_levenshtein(wanted, &folded(spelling)), at))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, at)| at)
}
