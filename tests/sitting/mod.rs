//! A grower at the screen, without a terminal: keys go to the model, what it asks for is done on a real journal.

#![allow(dead_code, reason = "each test program uses its own part of it")]
#![allow(clippy::unwrap_used, reason = "a test stops on the first surprise")]

use std::sync::LazyLock;

use tempfile::TempDir;
use thumbpot::desk::{self, DEMO_DAY, DEMO_DEVICE, Desk};
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::{BatchLabel, Date, DeviceId};
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use thumbpot::tui::app::answer;
use thumbpot::tui::message::{Key, Message};
use thumbpot::tui::model::{Model, Overlay, Tone};
use thumbpot::tui::rows::{RowKey, Section};
use thumbpot::tui::update::update;
use uuid::Uuid;

/// The invented season, a journal of the test's own. Typing it takes long, so it is typed once for all tests of a program
/// and each opens a copy.
pub(crate) fn demonstration(folder: &TempDir) -> Desk {
    static TYPED: LazyLock<Vec<u8>> = LazyLock::new(|| {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("demo.db");
        // Who closes it last empties its log into it.
        drop(Desk::demonstration(&path, Durability::Unsynced).unwrap());
        std::fs::read(path).unwrap()
    });
    let path = folder.path().join("demo.db");
    std::fs::write(&path, &*TYPED).unwrap();
    Desk::open_with(&path, DEMO_DEVICE, Trade::built_in().unwrap(), Durability::Unsynced).unwrap()
}

/// A grower at the screen.
pub(crate) struct Sitting {
    pub(crate) desk: Desk,
    pub(crate) model: Model,
    pub(crate) keys: usize,
    _folder: TempDir,
}

impl Sitting {
    pub(crate) fn with(script: &str) -> Self {
        Self::of_day(script, desk::today())
    }

    /// The same as if another day were today.
    pub(crate) fn of_day(script: &str, today: Date) -> Self {
        let folder = TempDir::new().unwrap();
        let device = DeviceId(Uuid::from_u128(7));
        let path = folder.path().join("journal.db");
        let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        desk.run(script, today, AfterRefusal::Stop, |_, _| {}).unwrap();
        let mut board = desk.board(today).unwrap();
        board.standing = desk::Standing::Today;
        let model = Model::new(board, today);
        Self { desk, model, keys: 0, _folder: folder }
    }

    /// Another sitting at the same journal, as after the program was left and opened again.
    pub(crate) fn again(self) -> Self {
        let today = desk::today();
        let model = Model::new(self.desk.board(today).unwrap(), today);
        Self { model, keys: 0, ..self }
    }

    pub(crate) fn demo() -> Self {
        let folder = TempDir::new().unwrap();
        let desk = demonstration(&folder);
        let model = Model::new(desk.board(DEMO_DAY).unwrap(), desk::today());
        Self { desk, model, keys: 0, _folder: folder }
    }

    /// Types: a newline is Enter, a backslash Escape; everything else is itself.
    pub(crate) fn types(&mut self, keys: &str) -> &mut Self {
        for c in keys.chars() {
            self.press(match c {
                '\n' => Key::Enter,
                '\\' => Key::Esc,
                c => Key::Char(c),
            });
        }
        self
    }

    pub(crate) fn press(&mut self, key: Key) -> &mut Self {
        self.keys += 1;
        self.tell(Message::Key(key))
    }

    pub(crate) fn tell(&mut self, message: Message) -> &mut Self {
        let mut messages = vec![message];
        while let Some(message) = messages.pop() {
            for effect in update(&mut self.model, message) {
                messages.extend(answer(&mut self.desk, effect));
            }
        }
        self
    }

    /// Puts the cursor on a batch's row without counting keys: the journey begins there.
    pub(crate) fn on(&mut self, number: u32) -> &mut Self {
        let label = BatchLabel { year: self.year(), number, twin: None };
        let (id, _) = self.model.board.state.batches.iter().find(|(_, batch)| batch.label == label).unwrap();
        let wanted = RowKey::Batch(*id);
        let count = self.model.len(Section::ComingUp);
        let index = (0..count).find(|at| self.model.key_at(Section::ComingUp, *at) == Some(wanted)).unwrap();
        self.model.set_cursor(thumbpot::tui::model::Cursor { section: Section::ComingUp, index });
        self.keys = 0;
        self
    }

    pub(crate) fn year(&self) -> i32 {
        chrono::Datelike::year(&self.model.board.on)
    }

    pub(crate) fn newest(&self) -> (String, Date, String) {
        let rows = self.desk.history(1, None).unwrap();
        (rows[0].verb.clone(), rows[0].on, rows[0].said.join("; "))
    }

    pub(crate) fn acts(&self) -> usize {
        self.desk.history(10_000, None).unwrap().len()
    }

    #[track_caller]
    pub(crate) fn took_at_most(&self, keys: usize) {
        assert!(self.keys <= keys, "{} keys, at most {keys} are allowed", self.keys);
        assert!(self.model.overlays.is_empty(), "still open: {:?}", self.model.overlays);
        let notice = self.model.notice.as_ref().unwrap();
        assert_eq!(notice.tone, Tone::Done, "{}", notice.line);
    }

    pub(crate) fn trouble(&self) -> String {
        match self.model.overlays.last() {
            Some(Overlay::Form(form)) => form.trouble.clone().unwrap_or_default(),
            _ => self.model.notice.as_ref().map(|notice| notice.line.clone()).unwrap_or_default(),
        }
    }
}
