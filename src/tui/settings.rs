//! What a grower's settings say of the full screen: its light, its characters, its keys.

use crate::trade::{SettingsPage, TradeError, Written};

use super::glyphs::Characters;
use super::keys::Keys;
use super::theme::Light;

/// What the tables `[screen]` and `[keys]` of the settings file say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScreenSettings {
    /// How bright it is where the screen stands.
    pub light: Light,
    /// The characters to draw with, where the grower knows better than the terminal's name.
    pub characters: Option<Characters>,
    /// The keys in force.
    pub keys: Keys,
}

impl ScreenSettings {
    /// Reads them. `toml_text` is the whole file, `file_name` the name it has in messages. Everything is optional:
    ///
    /// ```toml
    /// [screen]
    /// light = "bright"          # or "ordinary"
    /// characters = "ascii"      # or "unicode"
    ///
    /// [keys]                    # an action by the name that `?` gives it, and its letter or letters
    /// sow = "S"
    /// "pot-on" = ["p", "G"]
    /// ```
    ///
    /// # Errors
    /// The first setting that is unknown or cannot be used, with its line; two actions on one key.
    pub fn read(toml_text: &str, file_name: &str) -> Result<Self, TradeError> {
        let page = SettingsPage::new(file_name, toml_text);
        let table = page.parse()?;
        let mut read = Self { light: Light::Ordinary, characters: None, keys: Keys::default() };
        for setting in page.settings(&table) {
            match setting.name() {
                "screen" => setting.settings()?.iter().try_for_each(|setting| read.screen(setting))?,
                "keys" => {
                    setting.settings()?.iter().try_for_each(|setting| read.key(setting))?;
                    read.keys.check().map_err(|error| setting.error(error))?;
                }
                // The rest of the file is read elsewhere.
                _ => {}
            }
        }
        Ok(read)
    }

    fn screen(&mut self, setting: &Written<'_>) -> Result<(), TradeError> {
        match (setting.name(), setting.text()?) {
            ("light", "ordinary") => self.light = Light::Ordinary,
            ("light", "bright") => self.light = Light::Bright,
            ("light", _) => return Err(setting.error("\"ordinary\" or \"bright\" belongs here")),
            ("characters", "unicode") => self.characters = Some(Characters::Unicode),
            ("characters", "ascii") => self.characters = Some(Characters::Ascii),
            ("characters", _) => return Err(setting.error("\"unicode\" or \"ascii\" belongs here")),
            _ => return Err(setting.error("unknown setting of the screen: there are light and characters")),
        }
        Ok(())
    }

    fn key(&mut self, setting: &Written<'_>) -> Result<(), TradeError> {
        let letters = match setting.word() {
            Some(letter) => vec![letter.to_owned()],
            None => {
                setting.texts().map_err(|_| setting.error("a letter in quotes, or a list of them, belongs here"))?
            }
        };
        self.keys.change(setting.name(), &letters).map_err(|error| setting.error(error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::actions::Id;
    use crate::tui::form::Verb;

    #[test]
    fn what_is_written_is_in_force_and_the_rest_is_as_it_was() {
        let none = ScreenSettings::read("last_frost = '15 may'", "settings.toml").unwrap();
        assert_eq!(none, ScreenSettings { light: Light::Ordinary, characters: None, keys: Keys::default() });
        let text = "[screen]\nlight = 'bright'\ncharacters = 'ascii'\n[keys]\nsow = ['S', '$']\n";
        let own = ScreenSettings::read(text, "settings.toml").unwrap();
        assert_eq!((own.light, own.characters), (Light::Bright, Some(Characters::Ascii)));
        assert_eq!(own.keys.letter(Id::Open(Verb::Sow)), "S");
        assert_eq!(own.keys.letter(Id::Open(Verb::Count)), "c");
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        for (text, told) in [
            ("[screen]\nlight = 'dim'", "settings.toml, line 2: light: \"ordinary\" or \"bright\" belongs here"),
            (
                "[screen]\nsize = 'big'",
                "settings.toml, line 2: size: unknown setting of the screen: there are light and characters",
            ),
            ("screen = 'bright'", "settings.toml, line 1: screen: a table of settings belongs here"),
            ("[keys]\nsow = 5", "settings.toml, line 2: sow: a letter in quotes, or a list of them, belongs here"),
            (
                "\n[keys]\nsow = 'c'",
                "settings.toml, line 2: keys: c does two things on the morning page: count and sow; \
                 give one of them another letter",
            ),
        ] {
            assert_eq!(ScreenSettings::read(text, "settings.toml").unwrap_err().to_string(), told);
        }
    }
}
