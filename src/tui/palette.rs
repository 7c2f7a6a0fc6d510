//! The actions of a page as a list: found by their words, and done by Enter for who has forgotten the key.

use super::actions::{Action, actions, is_of_page, name};
use super::keys::Keys;
use super::model::{Model, Page, Palette};

impl Palette {
    /// The actions of a page that have all the words, in what they do, their name or their key.
    #[must_use]
    pub fn actions(&self, page: Page, keys: &Keys) -> Vec<&'static Action> {
        let words = self.words.value().to_lowercase();
        let has = |action: &Action, word: &str| {
            action.help.to_lowercase().contains(word)
                || action.id.word().contains(word)
                || keys.of(action).iter().any(|key| name(*key).to_lowercase() == word)
        };
        let fits =
            |action: &&Action| is_of_page(action, page) && words.split_whitespace().all(|word| has(action, word));
        actions().filter(fits).collect()
    }
}

impl Model {
    /// The action that Enter does in the list of a page's actions.
    #[must_use]
    pub fn picked(&self, palette: &Palette) -> Option<&'static Action> {
        palette.actions(self.page(), &self.keys).get(palette.at).copied()
    }
}
