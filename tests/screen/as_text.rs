//! `--plain` says what the full screen shows: every word drawn on a page stands in its text, which has no signs in it.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops on the first surprise")]

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use tempfile::TempDir;
use thumbpot::desk::{self, DEMO_DAY, Desk};
use thumbpot::grammar::{BatchRef, PlainPage};
use thumbpot::quantity::Name;
use thumbpot::tui::app::{answer, plain};
use thumbpot::tui::message::Message;
use thumbpot::tui::model::{Cursor, Model, Page};
use thumbpot::tui::settings::ScreenSettings;
use thumbpot::tui::theme::Look;
use thumbpot::tui::tray::Tray;
use thumbpot::tui::update::update;
use thumbpot::tui::view::view;

use crate::sitting::demonstration;

const SIZE: (u16, u16) = (200, 60);
/// Lines at the foot: what the row under the cursor says, and keys.
const FOOT: usize = 3;
/// Heads of columns, whose matter the text says in sentences; and the keys named beside a heading.
const HEADS: [&str; 9] = ["up of sown", "rate", "likely", "days", "odds", "leaves", "floor", "into", "standing"];
const KEYS: [&str; 3] = ["n shows it", "u undo the newest, x this one", "T: today"];

fn drawn(desk: &mut Desk, model: &mut Model, page: Page) -> Vec<String> {
    model.pages.truncate(1);
    if page != Page::Morning {
        model.pages.push((page, Cursor { index: 0, ..model.cursor() }));
    }
    if let Page::Cells(part) = page {
        model.tray = Tray::open(&model.board.state, part);
    }
    let effect = model.look();
    let message = answer(desk, effect).unwrap();
    assert!(matches!(message, Message::Seen { .. }));
    update(model, message);
    let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
    let look = Look::from_environment(false, "xterm", None);
    terminal.draw(|frame| view(model, look, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let line = |y| (0..SIZE.0).map(|x| buffer[(x, y)].symbol()).collect::<String>();
    (0..SIZE.1).map(line).take(usize::from(SIZE.1) - FOOT).collect()
}

/// Words and numbers; of what was cut, only those that are whole.
fn words(text: &str) -> Vec<String> {
    let kept = |c: char| c.is_alphanumeric() || c == '…';
    text.replace('…', "… ").split(|c: char| !kept(c)).filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

#[test]
fn every_word_on_a_page_is_in_its_text() {
    let folder = TempDir::new().unwrap();
    let mut desk = demonstration(&folder);
    let today = desk::today();
    let mut model = Model::new(desk.board(DEMO_DAY).unwrap(), today);
    let mut pages = vec![
        (Page::Morning, PlainPage::Morning),
        (Page::Tonight, PlainPage::Tonight),
        (Page::Benches, PlainPage::Benches),
        (Page::Journal, PlainPage::Journal),
    ];
    let open = model.board.state.batches.iter().filter(|(_, batch)| model.board.state.is_live(batch));
    let named = open.map(|(id, batch)| {
        let name = BatchRef { year: Some(batch.label.year), number: batch.label.number, twin: None };
        (Page::Batch(*id), PlainPage::Batch(name))
    });
    let cells = model
        .board
        .state
        .parts
        .iter()
        .find(|(id, part)| part.is_live() && Tray::open(&model.board.state, **id).is_some());
    let (id, part) = cells.unwrap();
    let label = model.board.state.part_label(part);
    pages.push((Page::Cells(*id), PlainPage::Cells(format!("{label:#}").parse().unwrap())));
    // Some of every kind; each costs two whole looks at the journal.
    pages.extend(named.step_by(4));
    assert!(pages.len() > 10);
    for (page, name) in pages {
        let text = plain(&desk, name.clone(), (DEMO_DAY, today), &settings()).unwrap();
        let signs = |c: char| !c.is_ascii() && !c.is_alphanumeric();
        assert!(!text.iter().any(|line| line.contains(signs) || line.contains("  ")), "{name:?}: {text:#?}");
        let said: std::collections::BTreeSet<String> = text.iter().flat_map(|line| words(line)).collect();
        let mut in_picture = false;
        for line in drawn(&mut desk, &mut model, page) {
            // The rows of a tray begin with a number, and a legend says what its signs mean.
            if matches!(page, Page::Cells(_))
                && (line.contains("moved on") || line.trim().starts_with(char::is_numeric))
            {
                continue;
            }
            // A picture's scale and the days below it; what it shows is told day by day.
            let legend = line.contains("● counted");
            let picture = legend || matches!(page, Page::Batch(_)) && line.contains('│');
            if picture || std::mem::replace(&mut in_picture, picture) {
                in_picture = picture;
                continue;
            }
            let mut line = line;
            let heads: &[&str] = if line.contains("──") { &HEADS } else { &[] };
            for passed in heads.iter().chain(&KEYS) {
                line = line.replace(passed, " ");
            }
            for word in words(&line) {
                let there = match word.strip_suffix('…') {
                    Some(cut) => said.iter().any(|word| word.starts_with(cut)),
                    None => said.contains(&word),
                };
                assert!(there, "{name:?} lacks {word:?} of: {}\n{}", line.trim(), text.join("\n"));
            }
        }
    }
}

fn settings() -> ScreenSettings {
    ScreenSettings::read("", "settings.toml").unwrap()
}

#[test]
fn a_round_and_one_bench_have_a_text_of_their_own() {
    let folder = TempDir::new().unwrap();
    let desk = demonstration(&folder);
    let text = |page| plain(&desk, page, (DEMO_DAY, DEMO_DAY), &settings()).unwrap();
    let round = text(PlainPage::Round(Name::new("greenhouse").unwrap()));
    assert_eq!(round[1], "Stops: 14");
    for number in 1..=14 {
        assert!(round.contains(&format!("Stop {number} of 14")), "{round:#?}");
    }
    // What stands there, what was expected and what was counted, stop by stop.
    let at = round.iter().position(|line| line == "42a lettuce Butter Slate, half-tray, greenhouse/end").unwrap();
    assert_eq!(round[at + 1], "counted: not yet");
    assert_eq!(round[at + 2], "by now: none up expected; 29 to 35 in the end");
    assert!(round[at + 3..].iter().any(|line| line.starts_with("A number is what is up")), "{round:#?}");
    let all = text(PlainPage::Benches).join("\n");
    let (one, other) = ("frame/left to scale", "greenhouse/");
    let plan = text(PlainPage::Plan("frame/left".parse().unwrap())).join("\n");
    assert!(all.contains(one) && all.contains(other));
    assert!(plan.contains(one) && !plan.contains(other), "{plan}");
}
