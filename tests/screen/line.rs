//! The quick line at the screen: what is typed is completed, tried without a trace, and logged once.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use tempfile::TempDir;
use thumbpot::desk::{self, Desk};
use thumbpot::grammar::AfterRefusal;
use thumbpot::quantity::DeviceId;
use thumbpot::store::Durability;
use thumbpot::trade::Trade;
use thumbpot::tui::app::answer;
use thumbpot::tui::line::Preview;
use thumbpot::tui::message::{Effect, Key, Message};
use thumbpot::tui::model::{Model, Overlay, Tone};
use thumbpot::tui::theme::Look;
use thumbpot::tui::update::update;
use thumbpot::tui::view::view;
use uuid::Uuid;

const GARDEN: &str = "
place add sill --kind windowsill --on -40d
place add frame --kind 'cold frame' --on -40d
bench add sill/kitchen --size 1200x600mm --on -40d
bench add frame/left --size 1200x600mm --on -40d
lot add tomato 'Copper Lantern' --packed 2025 --seeds 60 --on -40d
sow tomato 'Copper Lantern' --seeds 24 --in half-tray --at sill/kitchen --on -24d
sow leek 'Long Furrow' --seeds 60 --in 72-cell --at sill/kitchen --on -12d
";

struct Sitting {
    desk: Desk,
    model: Model,
    folder: TempDir,
}

impl Sitting {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let device = DeviceId(Uuid::from_u128(7));
        let path = folder.path().join("journal.db");
        let mut desk = Desk::open_with(&path, device, Trade::built_in().unwrap(), Durability::Unsynced).unwrap();
        let today = desk::today();
        desk.run(GARDEN, today, AfterRefusal::Stop, |_, _| {}).unwrap();
        let model = Model::new(desk.board(today).unwrap(), today);
        Self { desk, model, folder }
    }

    fn types(&mut self, keys: &str) -> &mut Self {
        for c in keys.chars() {
            self.press(match c {
                '\n' => Key::Enter,
                '\\' => Key::Esc,
                '\t' => Key::Tab,
                c => Key::Char(c),
            });
        }
        self
    }

    fn press(&mut self, key: Key) {
        let mut messages = vec![Message::Key(key)];
        while let Some(message) = messages.pop() {
            for effect in update(&mut self.model, message) {
                messages.extend(match effect {
                    Effect::Tell { generation, .. } => {
                        Some(Message::Told { generation, lines: Ok(vec!["batch  crop".to_owned()]) })
                    }
                    other => answer(&mut self.desk, other),
                });
            }
        }
    }

    fn preview(&self) -> &Preview {
        let Some(Overlay::Line(line)) = self.model.overlays.last() else { panic!("{:?}", self.model.overlays) };
        &line.preview
    }

    fn typed(&self) -> &str {
        let Some(Overlay::Line(line)) = self.model.overlays.last() else { panic!("{:?}", self.model.overlays) };
        line.text()
    }

    fn would(&self) -> &str {
        match self.preview() {
            Preview::Would(what) => what,
            other => panic!("{other:?}"),
        }
    }

    fn acts(&self) -> usize {
        self.desk.history(10_000, None).unwrap().len()
    }

    fn drawn(&self, (columns, rows): (u16, u16)) -> String {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        let look = Look::from_environment(false, "xterm", None);
        terminal.draw(|frame| view(&self.model, look, frame)).unwrap();
        let buffer = terminal.backend().buffer();
        let line = |y| (0..columns).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned();
        (0..rows).map(line).collect::<Vec<_>>().join("\n")
    }
}

#[test]
fn what_enter_would_do_is_said_before_and_nothing_is_written_for_it() {
    let mut sitting = Sitting::new();
    let (before, bytes) = (sitting.acts(), std::fs::read(sitting.folder.path().join("journal.db")).unwrap());
    let log = std::fs::metadata(sitting.folder.path().join("journal.db-wal")).unwrap().len();
    sitting.types(":count 1 15");
    assert!(sitting.would().starts_with("tomato Copper Lantern, "), "{}", sitting.would());
    assert!(sitting.would().ends_with("1a: 15 up of 24, 15 standing"), "{}", sitting.would());
    sitting.types("\\:move 1 fr");
    assert!(sitting.would().contains("1a moved to frame/left"), "{}", sitting.would());
    assert!(sitting.would().contains("room for"), "what it makes of the benches: {}", sitting.would());
    sitting.types("\\:sow basil 'Warm Yard' --seeds 20 --in half-tray --at frame");
    assert!(sitting.would().contains("basil Warm Yard sown") && sitting.would().contains("20 seeds in half-tray"));
    sitting.types("\\:undo");
    assert!(sitting.would().contains("undone: 3 things: seed of leek Long Furrow"), "{}", sitting.would());
    sitting.types("\\");
    assert_eq!(sitting.acts(), before);
    assert_eq!(std::fs::read(sitting.folder.path().join("journal.db")).unwrap(), bytes);
    assert_eq!(std::fs::metadata(sitting.folder.path().join("journal.db-wal")).unwrap().len(), log);
    assert!(sitting.desk.check().unwrap().is_sound());
    // What was said is what is then done.
    sitting.types(":count 1 15");
    let said = sitting.would().to_owned();
    sitting.types("\n");
    assert_eq!(sitting.acts(), before + 1);
    let notice = sitting.model.notice.clone().unwrap();
    assert_eq!(notice.tone, Tone::Done);
    assert!(said.ends_with(&notice.line), "{said} / {}", notice.line);
    assert!(sitting.model.overlays.is_empty());
}

#[test]
fn what_is_refused_or_missing_is_said_as_it_is_typed() {
    let mut sitting = Sitting::new();
    let before = sitting.acts();
    sitting.types(":count 1 99");
    assert!(matches!(sitting.preview(), Preview::Trouble(line) if line.contains("24")), "{:?}", sitting.preview());
    sitting.types("\n");
    assert!(matches!(sitting.preview(), Preview::Trouble(_)), "refused, and the line stays");
    sitting.types("\\:pot-on 1 5 --into 9cm-pot");
    assert!(matches!(sitting.preview(), Preview::Wants(line) if line.contains("--at PLACE/BENCH")));
    sitting.types("\\:count 9 5");
    assert!(matches!(sitting.preview(), Preview::Trouble(line) if line.contains("no batch 9")));
    assert_eq!(sitting.acts(), before);
}

#[test]
fn tab_and_a_few_letters_make_a_whole_line() {
    let mut sitting = Sitting::new();
    sitting.types(":mo\ttom\tfra\t");
    assert_eq!(sitting.typed(), "move 1 frame/left ");
    sitting.types("\n");
    assert_eq!(sitting.desk.history(1, None).unwrap()[0].said, ["1a moved to frame/left"]);
    sitting.types(":sow to\tcop\t--see\t6 --in half\t--at ki\t");
    assert_eq!(sitting.typed(), "sow tomato 'Copper Lantern' --seeds 6 --in half-tray --at sill/kitchen ");
    sitting.types("\n:");
    sitting.press(Key::Up);
    assert!(sitting.typed().starts_with("sow tomato"), "{}", sitting.typed());
    sitting.press(Key::Up);
    assert_eq!(sitting.typed(), "move 1 frame/left ");
}

#[test]
fn a_report_is_read_over_the_line_and_another_day_is_not_written() {
    let mut sitting = Sitting::new();
    sitting.types(":due");
    assert_eq!(sitting.preview(), &Preview::Shows);
    sitting.types("\n");
    assert!(matches!(sitting.model.overlays.last(), Some(Overlay::Text { title, .. }) if title == "due"));
    assert!(sitting.drawn((40, 20)).contains("batch  crop"));
    sitting.types("\\");
    assert_eq!(sitting.typed(), "due");
    let before = sitting.acts();
    sitting.types("\\d:count 1 15\n");
    assert!(matches!(sitting.preview(), Preview::Trouble(line) if line.contains("not today")));
    assert_eq!(sitting.acts(), before);
}

#[test]
fn after_an_undo_the_key_that_brings_it_back_is_shown() {
    let mut sitting = Sitting::new();
    sitting.types(":count 1 15\n");
    assert!(sitting.drawn((80, 24)).contains("u undo"));
    sitting.types("u");
    assert!(sitting.drawn((80, 24)).contains("r bring back"), "{}", sitting.drawn((80, 24)));
}

#[test]
fn the_line_on_a_telephone_and_on_a_desk() {
    let mut sitting = Sitting::new();
    sitting.types(":count ");
    let foot = |drawn: String| {
        drawn.lines().skip_while(|line| !line.contains("In words")).take(5).collect::<Vec<_>>().join("\n")
    };
    insta::assert_snapshot!(foot(sitting.drawn((40, 20))), @r"
    ── In words ────────────────────────────
     ▸ count
       2  leek Long Furrow, 60 sown, sil…
       1  tomato Copper Lantern, 24 sown…
        still needed: BATCH|PART
    ");
    sitting.types("1 15");
    insta::assert_snapshot!(foot(sitting.drawn((80, 24))), @r"
    ── In words ────────────────────────────────────────────────────────────────────
     ▸ count 1 15


     →  tomato Copper Lantern, 1a: 15 up of 24, 15 standing
    ");
}
