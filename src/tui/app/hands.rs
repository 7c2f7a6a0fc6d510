//! What hands do, as the model knows it: keys and the mouse.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

use crate::tui::message::{Key, Message, Press};
use crate::tui::model::Model;
use crate::tui::terminal::Screen;
use crate::tui::view::cell_at;

/// What the mouse did, where it did something to a cell.
pub(super) fn pointed(model: &Model, screen: &Screen, mouse: MouseEvent) -> Option<Message> {
    let press = match mouse.kind {
        MouseEventKind::Down(MouseButton::Left) => Press::Down,
        MouseEventKind::Drag(MouseButton::Left) => Press::Drawn,
        _ => return None,
    };
    Some(Message::Cell(cell_at(model, screen.size()?, (mouse.column, mouse.row))?, press))
}

/// A key, or what ends or pauses the program.
pub(super) enum Typed {
    Key(Key),
    Suspend,
    Leave,
}

/// A key of the terminal as the screen knows it.
pub(super) fn read(key: KeyEvent) -> Option<Typed> {
    if key.modifiers.contains(KeyModifiers::CONTROL) {
        return match key.code {
            KeyCode::Char('c') => Some(Typed::Leave),
            KeyCode::Char('z') => Some(Typed::Suspend),
            // What was typed before the terminal was ours arrives as a new line.
            KeyCode::Char('j') => Some(Typed::Key(Key::Enter)),
            KeyCode::Char('h') => Some(Typed::Key(Key::Backspace)),
            _ => None,
        };
    }
    if key.modifiers.contains(KeyModifiers::ALT) {
        return None;
    }
    Some(Typed::Key(match key.code {
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Backspace | KeyCode::Delete => Key::Backspace,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        _ => return None,
    }))
}
