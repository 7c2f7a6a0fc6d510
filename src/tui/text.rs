//! Measures text in terminal cells, and cuts, pads and wraps it to fit.
//!
//! A cell is what the terminal advances by: most letters take one, many East Asian ones and emoji two, combining marks
//! none. Measured as the drawing library measures, so that nothing drawn is wider than it was said to be. What acts on
//! a terminal instead of being seen is left out of everything returned here.

use std::borrow::Cow;

use ratatui::buffer::CellWidth;
use unicode_segmentation::UnicodeSegmentation;

use crate::quantity::is_hidden;

/// Where a text stands in a field wider than itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// At the left: words.
    Left,
    /// At the right: figures.
    Right,
    /// In the middle, one cell nearer the left when it does not come out even.
    Centre,
}

/// The text as it may be drawn: tabs and line ends made blanks, every other hidden character left out.
#[must_use]
pub fn drawable(text: &str) -> Cow<'_, str> {
    if !text.contains(is_hidden) {
        return Cow::Borrowed(text);
    }
    let seen = |c| match c {
        '\t' | '\n' | '\r' => Some(' '),
        c if is_hidden(c) => None,
        c => Some(c),
    };
    Cow::Owned(text.chars().filter_map(seen).collect())
}

/// How many cells the drawable part of a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    drawable(text).graphemes(true).map(cells).sum()
}

/// The text, or as much of it as fits with the ellipsis behind it. Never wider than `limit` cells; where not even the
/// ellipsis fits, empty.
#[must_use]
pub fn truncate<'a>(text: &'a str, limit: usize, ellipsis: &str) -> Cow<'a, str> {
    let text = drawable(text);
    if width(&text) <= limit {
        return text;
    }
    let Some(room) = limit.checked_sub(width(ellipsis)) else {
        return Cow::Borrowed("");
    };
    let (kept, _) = split_at_cells(&text, room);
    Cow::Owned(format!("{}{ellipsis}", kept.trim_end()))
}

/// The text in a field of exactly `size` cells: cut like [`truncate`] when it is longer, filled with blanks when shorter.
#[must_use]
pub fn pad(text: &str, size: usize, align: Align, ellipsis: &str) -> String {
    let text = truncate(text, size, ellipsis);
    let spare = size.saturating_sub(width(&text));
    let before = match align {
        Align::Left => 0,
        Align::Right => spare,
        Align::Centre => spare / 2,
    };
    format!("{}{text}{}", " ".repeat(before), " ".repeat(spare - before))
}

/// The text in lines of at most `limit` cells, broken between words and at line ends; a word longer than a line is
/// broken where the line is full.
///
/// An empty text is one empty line. Without room (`limit` 0) there are no lines, and a character wider than a whole
/// line is left out.
#[must_use]
pub fn wrap(text: &str, limit: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if limit == 0 {
        return lines;
    }
    for paragraph in text.split('\n') {
        let paragraph = drawable(paragraph);
        let (mut line, above) = (String::new(), lines.len());
        for word in paragraph.split(' ').filter(|word| !word.is_empty()) {
            let blank = usize::from(!line.is_empty());
            if width(&line) + blank + width(word) <= limit {
                line.extend(std::iter::repeat_n(' ', blank));
                line.push_str(word);
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line = broken(word, limit, &mut lines);
        }
        if !line.is_empty() || lines.len() == above {
            lines.push(line);
        }
    }
    lines
}

/// Puts all full lines of a long word into `lines` and hands back the rest, which fits on one.
fn broken(word: &str, limit: usize, lines: &mut Vec<String>) -> String {
    let mut rest = word;
    while width(rest) > limit {
        let (fits, behind) = split_at_cells(rest, limit);
        if fits.is_empty() {
            // One character wider than the line: it can stand nowhere.
            rest = rest.graphemes(true).next().map_or("", |first| &rest[first.len()..]);
            continue;
        }
        lines.push(fits.to_owned());
        rest = behind;
    }
    rest.to_owned()
}

/// The longest beginning that takes at most `limit` cells, and what comes behind it.
fn split_at_cells(text: &str, limit: usize) -> (&str, &str) {
    let mut used = 0;
    for (start, grapheme) in text.grapheme_indices(true) {
        used += cells(grapheme);
        if used > limit {
            return text.split_at(start);
        }
    }
    (text, "")
}

fn cells(grapheme: &str) -> usize {
    usize::from(grapheme.cell_width())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    use super::*;

    /// Unicode Standard Annex #11, East Asian Width: W and F take two cells, N and Na one; combining marks none.
    #[test]
    fn cells_are_counted_as_terminals_advance() {
        for (text, expected) in [
            ("", 0),
            ("tomato", 6),
            ("Möhre", 5),
            ("Mo\u{308}hre", 5),
            ("茄子", 4),
            ("Ｆ１", 4),
            ("огурец", 6),
            ("🍅", 2),
            ("a\u{1b}[31mb", 6),
            ("a\u{7}b", 2),
            ("a\tb", 3),
        ] {
            assert_eq!(width(text), expected, "{text:?}");
        }
    }

    #[test]
    fn a_long_name_is_cut_and_says_so() {
        assert_eq!(truncate("Brussels sprout", 15, "…"), "Brussels sprout");
        assert_eq!(truncate("Brussels sprout", 14, "…"), "Brussels spro…");
        assert_eq!(truncate("Brussels sprout", 10, "~"), "Brussels~");
        assert_eq!(truncate("茄子苗", 4, "…"), "茄…");
        assert_eq!(truncate("leek", 1, "…"), "…");
        assert_eq!(truncate("leek", 0, "…"), "");
        assert_eq!(truncate("leek", 2, "..."), "");
    }

    #[test]
    fn a_field_is_filled_exactly() {
        assert_eq!(pad("leek", 7, Align::Left, "~"), "leek   ");
        assert_eq!(pad("72", 5, Align::Right, "~"), "   72");
        assert_eq!(pad("up", 5, Align::Centre, "~"), " up  ");
        assert_eq!(pad("茄子苗", 4, Align::Left, "~"), "茄~ ");
    }

    #[test]
    fn a_note_is_broken_between_words() {
        assert_eq!(wrap("pot on before they stretch", 10), ["pot on", "before", "they", "stretch"]);
        assert_eq!(wrap("pot  on\n\nwater", 10), ["pot on", "", "water"]);
        assert_eq!(wrap("Zuckerhutsalat", 5), ["Zucke", "rhuts", "alat"]);
        assert_eq!(wrap("a Zuckerhut b", 5), ["a", "Zucke", "rhut", "b"]);
        assert_eq!(wrap("茄a子", 1), ["a"]);
        assert_eq!(wrap("", 5), [""]);
        assert!(wrap("leek", 0).is_empty());
    }

    /// Draws with the drawing library on a wide line and says in which column it stopped.
    fn drawn(text: &str) -> usize {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 1000, 1));
        usize::from(buffer.set_stringn(0, 0, text, 1000, Style::new()).0)
    }

    proptest! {
        #[test]
        fn the_drawing_library_agrees_with_every_measure(text in "\\PC{0,40}|.{0,40}", limit in 0_usize..30) {
            prop_assert_eq!(drawn(&drawable(&text)), width(&text));
            prop_assert!(drawn(&truncate(&text, limit, "…")) <= limit);
            for align in [Align::Left, Align::Right, Align::Centre] {
                prop_assert_eq!(drawn(&pad(&text, limit, align, "~")), limit);
            }
            for line in wrap(&text, limit) {
                prop_assert!(drawn(&line) <= limit);
                prop_assert!(!line.contains(is_hidden));
            }
        }

        #[test]
        fn wrapping_loses_nothing_but_blanks(text in "[a-zä茄 \n]{0,60}", limit in 2_usize..20) {
            let solid = |text: &str| text.replace([' ', '\n'], "");
            prop_assert_eq!(solid(&wrap(&text, limit).concat()), solid(&text));
        }
    }
}
