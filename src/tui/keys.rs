//! The keys in force: the action table's own, with the letters that a grower's settings put in their place.

use std::collections::HashMap;

use super::actions::{Action, Id, Where, actions, is_changeable, name};
use super::message::Key;

/// The keys in force. Letters and signs can be changed; Enter, Esc, arrows, digits and the answers yes and no cannot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Keys(HashMap<Id, Vec<char>>);

/// Why keys cannot be changed so.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CannotKey {
    /// No action has that name, or it has no letter of its own.
    #[error("no action is called that{}", .0.map(|near| format!(", did you mean {near}?")).unwrap_or_default())]
    Unknown(Option<&'static str>),
    /// Not one letter or sign.
    #[error("'{0}' is not one letter or sign: digits, Enter, Esc and the arrows keep their work")]
    NotALetter(String),
    /// No letter at all.
    #[error("at least one letter belongs here")]
    None,
    /// Two actions on one key.
    #[error("{key} does two things on the {place} page: {one} and {other}; give one of them another letter")]
    Twice {
        /// The key.
        key: String,
        /// Where.
        place: &'static str,
        /// What it does.
        one: &'static str,
        /// What else it does.
        other: &'static str,
    },
}

impl Keys {
    /// Puts these letters in place of an action's own. Whether two actions then share one is asked by [`Keys::check`],
    /// so that two can be swapped.
    ///
    /// # Errors
    /// When no action has that name, or one of `letters` is not a single letter or sign.
    pub fn change(&mut self, action: &str, letters: &[String]) -> Result<(), CannotKey> {
        let names = || actions().filter(|line| is_changeable(line)).map(|line| line.id.word());
        let Some(line) = actions().find(|line| is_changeable(line) && line.id.word() == action) else {
            let near = names().map(|name| (strsim::damerau_levenshtein(name, action), name)).min();
            return Err(CannotKey::Unknown(near.filter(|(steps, _)| *steps <= 2).map(|(_, name)| name)));
        };
        let mut chars = Vec::new();
        for text in letters {
            let mut left = text.chars();
            match (left.next(), left.next()) {
                (Some(c), None) if !c.is_ascii_digit() && !crate::quantity::is_hidden(c) => chars.push(c),
                _ => return Err(CannotKey::NotALetter(crate::quantity::shown(text))),
            }
        }
        if chars.is_empty() {
            return Err(CannotKey::None);
        }
        self.0.insert(line.id, chars);
        Ok(())
    }

    /// Makes sure that no key does two things in one place.
    ///
    /// # Errors
    /// The first key that does.
    pub fn check(&self) -> Result<(), CannotKey> {
        let mut taken: HashMap<(Where, Key), Id> = HashMap::new();
        for action in actions() {
            for key in self.of(action) {
                for place in action.places {
                    if let Some(other) = taken.insert((*place, key), action.id) {
                        let place = place.word();
                        let (one, other) = (other.word(), action.id.word());
                        return Err(CannotKey::Twice { key: name(key), place, one, other });
                    }
                }
            }
        }
        Ok(())
    }

    /// The keys of an action, the handiest first.
    #[must_use]
    pub fn of(&self, action: &Action) -> Vec<Key> {
        let Some(own) = self.0.get(&action.id).filter(|_| is_changeable(action)) else { return action.keys.to_vec() };
        let is_letter = |key: &&Key| matches!(key, Key::Char(_));
        let at = action.keys.iter().position(|key| is_letter(&key)).unwrap_or(0);
        let mut keys: Vec<Key> = action.keys.iter().filter(|key| !is_letter(key)).copied().collect();
        keys.splice(at..at, own.iter().map(|c| Key::Char(*c)));
        keys
    }

    /// What a key does in a place.
    #[must_use]
    pub fn action(&self, place: Where, key: Key) -> Option<&'static Action> {
        let is = |wanted: &Key| match (wanted, key) {
            (Key::Digit, Key::Char(c)) => c.is_ascii_digit(),
            (wanted, key) => *wanted == key,
        };
        actions().find(|action| action.places.contains(&place) && self.of(action).iter().any(is))
    }

    /// The name of an action's first key, for a sentence on the screen.
    #[must_use]
    pub fn letter(&self, id: Id) -> String {
        let first = |action: &Action| self.of(action).first().map(|key| name(*key));
        actions().find(|action| action.id == id).and_then(first).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::form::Verb;

    fn changed(changes: &[(&str, &[&str])]) -> Result<Keys, CannotKey> {
        let mut keys = Keys::default();
        for (action, letters) in changes {
            keys.change(action, &letters.iter().map(|&letter| letter.to_owned()).collect::<Vec<_>>())?;
        }
        keys.check()?;
        Ok(keys)
    }

    fn does(keys: &Keys, c: char) -> Option<Id> {
        keys.action(Where::Morning, Key::Char(c)).map(|action| action.id)
    }

    #[test]
    fn two_letters_can_be_swapped_and_the_other_keys_stay() {
        let keys = changed(&[("count", &["s"]), ("sow", &["c", "#"]), ("back", &["Q"])]).unwrap();
        assert_eq!(does(&keys, 's'), Some(Id::Open(Verb::Count)));
        assert_eq!(does(&keys, 'c'), Some(Id::Open(Verb::Sow)));
        assert_eq!(does(&keys, '#'), Some(Id::Open(Verb::Sow)));
        assert_eq!(keys.letter(Id::Open(Verb::Sow)), "c");
        let batch = |key| keys.action(Where::Batch, key).map(|action| action.id);
        assert_eq!(
            (batch(Key::Char('Q')), batch(Key::Char('q')), batch(Key::Esc)),
            (Some(Id::Back), None, Some(Id::Back))
        );
        assert_eq!(keys.action(Where::Question, Key::Char('n')).map(|action| action.id), Some(Id::Back));
    }

    #[test]
    fn what_cannot_be_is_told() {
        for (changes, told) in [
            (
                vec![("count", &["s"][..])],
                "s does two things on the morning page: count and sow; give one of them another letter",
            ),
            (vec![("cuont", &["k"][..])], "no action is called that, did you mean count?"),
            (vec![("yes", &["j"][..])], "no action is called that"),
            (
                vec![("undo", &["uu"][..])],
                "'uu' is not one letter or sign: digits, Enter, Esc and the arrows keep their work",
            ),
            (
                vec![("undo", &["7"][..])],
                "'7' is not one letter or sign: digits, Enter, Esc and the arrows keep their work",
            ),
            (
                vec![("undo", &["\u{1b}"][..])],
                "'?' is not one letter or sign: digits, Enter, Esc and the arrows keep their work",
            ),
            (vec![("undo", &[][..])], "at least one letter belongs here"),
        ] {
            assert_eq!(changed(&changes).unwrap_err().to_string(), told);
        }
    }

    #[test]
    fn the_names_of_actions_are_their_own() {
        for (n, one) in actions().enumerate() {
            for other in actions().skip(n + 1) {
                assert!(one.id == other.id || one.id.word() != other.id.word(), "{}", one.id.word());
            }
        }
    }
}
