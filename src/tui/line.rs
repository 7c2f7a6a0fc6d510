//! The quick line: one line with the grammar of the command line, completed as it is typed, with what Enter would do
//! said beforehand.

use tui_input::{Input, InputRequest};

use crate::desk::{Done, Meant};
use crate::grammar::{
    BatchRef, Completion, GrammarError, GrammarErrorKind, PartRef, Typed, Vocabulary, batch_words, complete,
    parse_typed_by_crop, with_number,
};
use crate::journal::State;
use crate::quantity::{BatchLabel, Date, is_hidden};

use super::message::{Key, Trouble};

/// A line is at most so long; every act fits in it many times over.
const LONGEST: usize = 400;

/// What Enter would do.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Preview {
    /// Nothing is typed.
    #[default]
    Nothing,
    /// This would be logged, in the words it would be told in.
    Would(String),
    /// Something is shown, and nothing logged.
    Shows,
    /// More has to be typed: what.
    Wants(String),
    /// It would be refused, and why.
    Trouble(String),
}

/// Something that was put in from what fitted, so that the next of it can take its place.
#[derive(Clone, Debug, PartialEq)]
struct Took {
    from: Completion,
    line: String,
    which: usize,
}

/// A line being typed.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// What is typed.
    pub input: Input,
    /// The names there are.
    pub names: Vocabulary,
    /// What Enter would do.
    pub preview: Preview,
    fits: Completion,
    took: Option<Took>,
    /// Words that name batches, each with the one it meant when it was left, or when the grower first typed it.
    named: Vec<(String, Meant)>,
    /// How many lines back the grower has gone, and what was typed before.
    back: Option<(usize, String)>,
}

/// What the loop is to do for a line that has changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Asks {
    /// Nothing.
    Nothing,
    /// To try the line without writing.
    Rehearsal(crate::grammar::Line),
}

impl Line {
    /// A line that begins with a text.
    #[must_use]
    pub fn with(text: &str) -> Self {
        let mut line = Self::default();
        line.set(text, text.chars().count());
        line
    }

    /// The same, typed with these batches in mind.
    #[must_use]
    pub fn meaning(mut self, meant: Vec<Meant>) -> Self {
        self.name(meant);
        self
    }

    /// The batches that the words typed meant when they were typed, whatever was typed behind them since.
    #[must_use]
    pub fn meant(&self) -> Vec<Meant> {
        if self.named.is_empty() {
            return Vec::new();
        }
        let (text, words) = (self.text().trim(), batch_words(self.text()));
        let stands = |word: &String| words.contains(word) || word == text;
        self.named.iter().filter(|(word, _)| stands(word)).map(|(_, meant)| meant.clone()).collect()
    }

    /// Notes which word each batch is named by, of those that no word is known for; what a word was first typed for it
    /// stays for. A batch that none seems to name is that of the text as it stands.
    fn name(&mut self, meant: Vec<Meant>) {
        let mut free = self.words_that_stand();
        free.retain(|word| self.named.iter().all(|(known, _)| known != word));
        for one in meant {
            if self.named.iter().any(|(_, known)| known.batch == one.batch) {
                continue;
            }
            let number = |word: &str| word.parse::<PartRef>().ok().map(|part| part.batch.number);
            let own = free.iter().position(|word| number(word).is_some() && number(word) == number(&one.called));
            let of_crop = || free.iter().position(|word| number(word).is_none());
            let word = own.or_else(of_crop).map(|at| free.remove(at));
            self.named.push((word.unwrap_or_else(|| self.text().trim().to_owned()), one));
        }
    }

    /// The words that name batches; what is known of others is forgotten.
    fn words_that_stand(&mut self) -> Vec<String> {
        let (text, words) = (self.text().trim().to_owned(), batch_words(self.text()));
        self.named.retain(|(word, _)| words.contains(word) || *word == text);
        words
    }

    /// Notes which batches the words mean that were typed by now, by what the grower sees.
    pub fn note(&mut self, state: &State) {
        let numbered = with_number(&shlex::split(self.text()).unwrap_or_default(), &self.names).ok().flatten();
        for word in self.words_that_stand() {
            let of_crop =
                || numbered.as_ref().and_then(|words| words.get(1)).filter(|_| word.starts_with(char::is_alphabetic));
            let Ok(part) = of_crop().unwrap_or(&word).parse::<PartRef>() else { continue };
            if self.named.iter().any(|(known, _)| *known == word) {
                continue;
            }
            let is_it = |label: BatchLabel| {
                let BatchRef { number, year, twin } = part.batch;
                number == label.number
                    && year.is_none_or(|year| year == label.year)
                    && (twin.is_none() || twin == label.twin)
            };
            let mut found = state.batches.iter().filter(|(_, batch)| state.is_live(batch) && is_it(batch.label));
            if let (Some((id, _)), None) = (found.next(), found.next())
                && let Some(meant) = Meant::of(state, *id)
            {
                self.named.push((word, meant));
            }
        }
    }

    /// What is typed.
    #[must_use]
    pub fn text(&self) -> &str {
        self.input.value()
    }

    /// What fits where the cursor is, and which of it was put in.
    #[must_use]
    pub fn fitting(&self) -> (&Completion, Option<usize>) {
        self.cycling().map_or((&self.fits, None), |took| (&took.from, Some(took.which)))
    }

    fn cycling(&self) -> Option<&Took> {
        self.took.as_ref().filter(|took| took.from.fitting.len() > 1)
    }

    /// Takes a key that edits; `said` are the lines logged before, the newest last.
    pub fn press(&mut self, key: Key, said: &[String]) {
        let at_end = self.input.cursor() == self.text().chars().count();
        match key {
            Key::Tab => return self.take(true),
            Key::BackTab => return self.take(false),
            Key::Right if at_end => return self.take(true),
            Key::Up | Key::Down => self.leaf(key == Key::Up, said),
            Key::Char(c) => self.put(c),
            Key::Backspace => self.edit(InputRequest::DeletePrevChar),
            Key::Left => self.edit(InputRequest::GoToPrevChar),
            Key::Right => self.edit(InputRequest::GoToNextChar),
            _ => {}
        }
        self.took = None;
    }

    /// Puts a character in, if it can be seen and there is room.
    pub fn put(&mut self, c: char) {
        if !is_hidden(c) && self.text().chars().count() < LONGEST {
            self.edit(InputRequest::InsertChar(c));
        }
    }

    fn edit(&mut self, request: InputRequest) {
        self.input.handle(request);
        self.back = None;
    }

    fn set(&mut self, text: &str, cursor: usize) {
        let text: String = text.chars().filter(|c| !is_hidden(*c)).take(LONGEST).collect();
        self.input = Input::new(text).with_cursor(cursor);
    }

    /// Puts in what fits: the first, or in place of what was put in last the next of it or the one before.
    fn take(&mut self, forward: bool) {
        let next = match self.cycling() {
            Some(took) => {
                let many = took.from.fitting.len();
                let which = if forward { took.which + 1 } else { took.which + many - 1 } % many;
                Took { which, ..took.clone() }
            }
            None => Took { from: self.fits.clone(), line: self.text().to_owned(), which: 0 },
        };
        if let Some((text, cursor)) = next.from.taken(&next.line, next.which) {
            let cursor = text[..cursor].chars().count();
            self.set(&text, cursor);
            self.took = Some(next);
            self.back = None;
        }
    }

    /// Leafs through what was logged before, and back to what was being typed.
    fn leaf(&mut self, up: bool, said: &[String]) {
        let (at, typed) = self.back.take().unwrap_or_else(|| (0, self.text().to_owned()));
        let at = if up { (at + 1).min(said.len()) } else { at.saturating_sub(1) };
        let text = at.checked_sub(1).and_then(|before| said.iter().rev().nth(before)).unwrap_or(&typed).clone();
        self.set(&text, text.chars().count());
        // Another line, whatever words they have in common.
        self.named.clear();
        self.back = (at > 0).then_some((at, typed));
    }

    /// Looks at the line afresh: what fits, and what Enter would do.
    pub fn look(&mut self, on: Date) -> Asks {
        let cursor: usize = self.text().chars().take(self.input.cursor()).map(char::len_utf8).sum();
        self.fits = complete(self.text(), cursor, &self.names);
        let (preview, asks) = match self.read(on) {
            Ok(None) => (Preview::Nothing, Asks::Nothing),
            // What the line before would have done stands until the answer is there.
            Ok(Some(Typed::Step(step))) => (self.preview.clone(), Asks::Rehearsal(step)),
            Ok(Some(Typed::Report { .. } | Typed::Help(_))) => (Preview::Shows, Asks::Nothing),
            Err(error) => (self.unfinished(&error), Asks::Nothing),
        };
        self.preview = preview;
        asks
    }

    /// What is typed as the grammar reads it; a crop may stand for its only open batch.
    ///
    /// # Errors
    /// As the grammar.
    pub fn read(&self, on: Date) -> Result<Option<Typed>, GrammarError> {
        parse_typed_by_crop(self.text(), on, &self.names)
    }

    /// What is told of a line that cannot be read: while a word is being typed that may become another, what that is.
    fn unfinished(&self, error: &GrammarError) -> Preview {
        let typed = &self.text()[self.fits.start.min(self.text().len())..];
        match self.fits.fitting.first() {
            Some(word) if !self.fits.whole && !typed.trim().is_empty() => {
                let beside = if word.beside.is_empty() { String::new() } else { format!(": {}", word.beside) };
                Preview::Wants(format!("{}{beside}", word.text))
            }
            _ if error.kind == GrammarErrorKind::Usage => {
                let hint = Some(&error.hint).filter(|hint| !hint.is_empty() && !hint.starts_with("usage:"));
                Preview::Wants(hint.map_or_else(|| error.message.clone(), |hint| format!("{}; {hint}", error.message)))
            }
            _ => Preview::Trouble(whole_error(error)),
        }
    }

    /// Takes in what a rehearsal said.
    pub fn rehearsed(&mut self, done: Result<Done, Trouble>) {
        self.preview = match done {
            Ok(done) => {
                self.name(done.meant.clone());
                Preview::Would(sentence(&done))
            }
            Err(trouble) => Preview::Trouble(trouble.line),
        };
    }
}

/// An error with what to type instead.
#[must_use]
pub fn whole_error(error: &GrammarError) -> String {
    if error.hint.is_empty() { error.message.clone() } else { format!("{}; {}", error.message, error.hint) }
}

/// What an act does, and what to know beside: of one batch, what it is first.
fn sentence(done: &Done) -> String {
    let mut line = match done.meant.as_slice() {
        [only] if done.batch.is_some() => format!("{}, ", only.plants),
        _ => String::new(),
    };
    line.push_str(&done.in_lines());
    line
}

#[cfg(test)]
mod tests {
    use crate::grammar::Word;

    use super::*;

    fn line(text: &str) -> Line {
        let part = |text: &str| Word { text: text.to_owned(), beside: String::new() };
        let mut line = Line {
            names: Vocabulary { parts: vec![part("14a"), part("14b")], ..Vocabulary::default() },
            ..Line::with(text)
        };
        line.look(Date::MIN);
        line
    }

    fn press(line: &mut Line, keys: &[Key], said: &[String]) -> String {
        for key in keys {
            line.press(*key, said);
            line.look(Date::MIN);
        }
        line.text().to_owned()
    }

    #[test]
    fn tab_takes_what_fits_and_again_the_next_of_it() {
        let mut typed = line("cou");
        assert_eq!(press(&mut typed, &[Key::Tab], &[]), "count ");
        assert_eq!(press(&mut typed, &[Key::Tab], &[]), "count 14a ");
        assert_eq!(press(&mut typed, &[Key::Tab], &[]), "count 14b ");
        assert_eq!(press(&mut typed, &[Key::Tab], &[]), "count 14a ");
        assert_eq!(press(&mut typed, &[Key::BackTab], &[]), "count 14b ");
        assert_eq!(press(&mut typed, &[Key::Char('5')], &[]), "count 14b 5");
        assert_eq!(press(&mut line("cou"), &[Key::Right], &[]), "count ", "at the end, right takes it too");
        assert_eq!(press(&mut line("cou"), &[Key::Left, Key::Right], &[]), "cou", "within, it only goes right");
        assert_eq!(press(&mut line("zz"), &[Key::Tab], &[]), "zz");
    }

    #[test]
    fn up_goes_back_over_what_was_logged_and_down_to_what_was_being_typed() {
        let said = ["count 1 5".to_owned(), "count 2 6".to_owned()];
        let mut typed = line("mov");
        assert_eq!(press(&mut typed, &[Key::Up], &said), "count 2 6");
        assert_eq!(press(&mut typed, &[Key::Up, Key::Up], &said), "count 1 5");
        assert_eq!(press(&mut typed, &[Key::Down, Key::Down], &said), "mov");
        assert_eq!(press(&mut typed, &[Key::Up, Key::Char('0')], &said), "count 2 60", "a line found is edited on");
    }

    #[test]
    fn it_says_what_is_still_wanted_and_not_that_half_a_word_is_wrong() {
        let said = |text: &str| line(text).preview;
        assert_eq!(said(""), Preview::Nothing);
        assert!(matches!(said("cou"), Preview::Wants(line) if line.starts_with("count: ")));
        assert!(
            matches!(said("pot-on 14a 3 --into 9cm-pot"), Preview::Wants(line) if line.contains("--at PLACE/BENCH"))
        );
        assert!(matches!(said("count 14a many"), Preview::Trouble(line) if line.contains("many")));
        assert_eq!(said("due"), Preview::Shows);
    }
}
