//! Lines of cells: what every page is drawn with. Nothing outside the area is ever touched.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::tui::text::{Align, pad, truncate, width};
use crate::tui::theme::{Look, Role};

/// A part of the screen to draw on.
pub(super) struct Canvas<'a> {
    pub(super) buffer: &'a mut Buffer,
    pub(super) area: Rect,
    pub(super) look: Look,
    pub(super) cursor: Option<Position>,
}

impl Canvas<'_> {
    /// Cells across.
    pub(super) fn width(&self) -> usize {
        usize::from(self.area.width)
    }

    /// Lines down.
    pub(super) fn height(&self) -> usize {
        usize::from(self.area.height)
    }

    /// Draws on a part of it: so many lines from a line on, so many cells from a cell on; cut to what is there.
    pub(super) fn within(&mut self, part: (usize, usize, usize, usize), draw: impl FnOnce(&mut Canvas<'_>)) {
        let (x, y, across, down) = part;
        let small = |n: usize| u16::try_from(n).unwrap_or(u16::MAX);
        let wanted = Rect {
            x: self.area.x.saturating_add(small(x)),
            y: self.area.y.saturating_add(small(y)),
            width: small(across),
            height: small(down),
        };
        let area = wanted.intersection(self.area);
        let mut part = Canvas { buffer: self.buffer, area, look: self.look, cursor: None };
        draw(&mut part);
        let cursor = part.cursor;
        self.cursor = cursor.or(self.cursor);
    }

    /// Draws a line; one that is longer than the room for it ends in the sign for what is left out.
    pub(super) fn line(&mut self, y: usize, mut strip: Strip) {
        let Ok(down) = u16::try_from(y) else { return };
        strip.cut(self.width());
        if down >= self.area.height || self.area.width == 0 {
            return;
        }
        self.buffer.set_line(self.area.x, self.area.y + down, &Line::from(strip.spans), self.area.width);
    }

    /// Gives a whole line a style.
    pub(super) fn shade(&mut self, y: usize, role: Role) {
        let Ok(down) = u16::try_from(y) else { return };
        if down < self.area.height {
            let row = Rect { y: self.area.y + down, height: 1, ..self.area };
            self.buffer.set_style(row, self.look.theme.style(role));
        }
    }

    /// Wipes all of it.
    pub(super) fn wipe(&mut self) {
        for position in self.area.positions() {
            self.buffer[position].reset();
        }
        self.buffer.set_style(self.area, self.look.theme.style(Role::Text));
    }

    /// Says where the terminal's cursor is to stand.
    pub(super) fn point(&mut self, x: usize, y: usize) {
        let (Ok(x), Ok(y)) = (u16::try_from(x), u16::try_from(y)) else { return };
        if x < self.area.width && y < self.area.height {
            self.cursor = Some(Position { x: self.area.x + x, y: self.area.y + y });
        }
    }

    /// An empty line to put cells on.
    pub(super) fn strip(&self) -> Strip {
        Strip { spans: Vec::new(), used: 0, look: self.look }
    }

    /// A rule with a heading in it, and at its right end a sum or a word.
    pub(super) fn rule(&mut self, y: usize, heading: &str, right: &str) {
        let all = self.width();
        self.rule_over(y, heading, right, all);
    }

    /// A rule with a heading in it and names that end at a cell, over columns; it goes on behind them.
    pub(super) fn rule_over(&mut self, y: usize, heading: &str, right: &str, end: usize) {
        let (across, all) = (self.look.glyphs.across, self.width().min(end));
        let mut strip = self.strip();
        strip.add(&across.repeat(2), Role::Rule);
        strip.add(" ", Role::Rule);
        // A title gives way to what stands at the right: it is cut with its sign, the other would be gone without one.
        let kept = if right.is_empty() { 0 } else { width(right) + 2 };
        let room = all.saturating_sub(4 + kept).max((all / 3).min(all.saturating_sub(4)));
        strip.add(&truncate(heading, room, self.look.glyphs.ellipsis), Role::Heading);
        strip.add(" ", Role::Rule);
        let right = if strip.used + width(right) + 2 <= all { right } else { "" };
        let gap = all.saturating_sub(strip.used + width(right) + usize::from(!right.is_empty()));
        strip.add(&across.repeat(gap), Role::Rule);
        if !right.is_empty() {
            strip.add(" ", Role::Rule);
            strip.add(right, Role::Quiet);
        }
        let behind = self.width().saturating_sub(strip.used);
        if behind > 1 {
            strip.add(if right.is_empty() { across } else { " " }, Role::Rule);
            strip.add(&across.repeat(behind - 1), Role::Rule);
        }
        self.line(y, strip);
    }
}

/// A line being put together, cell by cell.
pub(super) struct Strip {
    spans: Vec<Span<'static>>,
    pub(super) used: usize,
    look: Look,
}

impl Strip {
    /// Puts a text down as it is.
    pub(super) fn add(&mut self, text: &str, role: Role) -> &mut Self {
        let text = crate::tui::text::drawable(text).into_owned();
        self.used += width(&text);
        self.spans.push(Span::styled(text, self.look.theme.style(role)));
        self
    }

    /// Cuts it to so many cells, with the sign for what is left out where that is more than blanks.
    fn cut(&mut self, all: usize) {
        if self.used <= all {
            return;
        }
        let whole: String = self.spans.iter().map(|span| span.content.as_ref()).collect();
        if width(whole.trim_end_matches(' ')) <= all {
            return;
        }
        let ellipsis = self.look.glyphs.ellipsis;
        let room = all.saturating_sub(width(ellipsis));
        let mut used = 0;
        let kept = self.spans.iter().take_while(|span| {
            used += width(&span.content);
            used <= room
        });
        let kept = kept.count();
        let before: usize = self.spans[..kept].iter().map(|span| width(&span.content)).sum();
        let last = truncate(&self.spans[kept].content, room - before, "").into_owned() + ellipsis;
        let style = self.spans[kept].style;
        self.spans.truncate(kept);
        self.spans.push(Span::styled(last, style));
    }

    /// Puts a text in a column.
    pub(super) fn column(&mut self, text: &str, size: usize, align: Align, role: Role) -> &mut Self {
        let text = pad(text, size, align, self.look.glyphs.ellipsis);
        self.add(&text, role)
    }

    /// Puts a text in what is left of a line so wide.
    pub(super) fn fill(&mut self, text: &str, all: usize, role: Role) -> &mut Self {
        let room = all.saturating_sub(self.used);
        self.column(text, room, Align::Left, role)
    }
}

/// So many of the lines at most; where there were more, the last ends in the sign for what is left out.
pub(super) fn clipped(mut lines: Vec<String>, most: usize, across: usize, ellipsis: &str) -> Vec<String> {
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            let kept = truncate(last, across.saturating_sub(width(ellipsis)), "");
            *last = format!("{}{ellipsis}", kept.trim_end());
        }
    }
    lines
}

/// The first row shown of a list when only some fit: it is turned over like a page, so that little moves.
pub(super) fn first_shown(count: usize, fit: usize, at: usize) -> usize {
    if fit == 0 || count <= fit {
        return 0;
    }
    (at / fit * fit).min(count - fit)
}
