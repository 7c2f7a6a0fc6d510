//! The signs screens draw with, by what they mean: one set in Unicode, one in ASCII, every sign one cell wide.

use ratatui::symbols::{Marker, border};

/// Which characters the terminal can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Characters {
    /// Lines, blocks and signs of Unicode, each one cell wide.
    Unicode,
    /// ASCII only.
    Ascii,
}

/// The signs screens draw with; each takes one cell.
#[derive(Clone, Copy, Debug)]
pub struct Glyphs {
    /// Stands where text was cut off.
    pub ellipsis: &'static str,
    /// Frames.
    pub border: border::Set<'static>,
    /// A line across.
    pub across: &'static str,
    /// A line down.
    pub down: &'static str,
    /// Before the selected row.
    pub pointer: &'static str,
    /// Between things on one line.
    pub separator: &'static str,
    /// Beside [`Role::Good`](super::theme::Role::Good).
    pub good: &'static str,
    /// Beside [`Role::Watch`](super::theme::Role::Watch).
    pub watch: &'static str,
    /// Beside [`Role::Alarm`](super::theme::Role::Alarm).
    pub alarm: &'static str,
    /// In place of a figure nobody has.
    pub missing: &'static str,
    /// More than before.
    pub rising: &'static str,
    /// Less than before.
    pub falling: &'static str,
    /// From one place, stage or date to the next.
    pub leads_to: &'static str,
    /// Before the C or F of a temperature.
    pub degree: &'static str,
    /// Between two sizes, or before how many there are.
    pub times: &'static str,
    /// A cell with seed in it and nothing up.
    pub sown: &'static str,
    /// A cell with a plant.
    pub plant: &'static str,
    /// A cell with two plants or more.
    pub doubled: &'static str,
    /// A cell whose plants died.
    pub lost: &'static str,
    /// A cell whose plants were thrown out.
    pub taken_out: &'static str,
    /// A cell whose plants live elsewhere.
    pub moved_on: &'static str,
    /// A cell with nothing.
    pub gap: &'static str,
    /// Bars from nearly nothing to a full cell.
    pub levels: [&'static str; 8],
    /// Ground that is taken, in a plan or a bar.
    pub taken: &'static str,
    /// Beside what no repacking moves.
    pub pinned: &'static str,
    /// The points of a chart's line.
    pub point: Marker,
}

impl Glyphs {
    /// The set made of these characters.
    #[must_use]
    pub const fn of(characters: Characters) -> Self {
        match characters {
            Characters::Unicode => UNICODE,
            Characters::Ascii => ASCII,
        }
    }
}

const UNICODE: Glyphs = Glyphs {
    ellipsis: "…",
    border: border::PLAIN,
    across: "─",
    down: "│",
    pointer: "▸",
    separator: "·",
    good: "✓",
    watch: "*",
    alarm: "!",
    missing: "–",
    rising: "↑",
    falling: "↓",
    leads_to: "→",
    degree: "°",
    times: "×",
    sown: "·",
    plant: "●",
    doubled: "8",
    lost: "x",
    taken_out: "-",
    moved_on: "→",
    gap: "○",
    levels: ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"],
    taken: "▒",
    pinned: "■",
    point: Marker::Braille,
};

const ASCII: Glyphs = Glyphs {
    ellipsis: "~",
    border: border::Set {
        top_left: "+",
        top_right: "+",
        bottom_left: "+",
        bottom_right: "+",
        vertical_left: "|",
        vertical_right: "|",
        horizontal_top: "-",
        horizontal_bottom: "-",
    },
    across: "-",
    down: "|",
    pointer: ">",
    separator: "|",
    good: "+",
    watch: "*",
    alarm: "!",
    missing: "-",
    rising: "^",
    falling: "v",
    leads_to: ">",
    degree: " ",
    times: "x",
    sown: ".",
    plant: "o",
    doubled: "8",
    lost: "x",
    taken_out: "-",
    moved_on: ">",
    gap: "_",
    levels: [".", ".", ":", ":", "=", "=", "#", "#"],
    taken: "#",
    pinned: "=",
    point: Marker::Custom('*'),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::text::width;

    fn signs(glyphs: Glyphs) -> Vec<&'static str> {
        let Glyphs { ellipsis, border, across, down, pointer, separator, good, watch, alarm, missing, .. } = glyphs;
        let Glyphs { rising, falling, leads_to, degree, times, sown, plant, gap, levels, taken, .. } = glyphs;
        let Glyphs { doubled, lost, taken_out, moved_on, pinned, .. } = glyphs;
        let border::Set { top_left, top_right, bottom_left, bottom_right, .. } = border;
        let border::Set { vertical_left, vertical_right, horizontal_top, horizontal_bottom, .. } = border;
        let mut all = vec![ellipsis, across, down, pointer, separator, good, watch, alarm, missing];
        all.extend([doubled, lost, taken_out, moved_on, pinned]);
        all.extend([rising, falling, leads_to, degree, times, sown, plant, gap, taken]);
        all.extend([top_left, top_right, bottom_left, bottom_right]);
        all.extend([vertical_left, vertical_right, horizontal_top, horizontal_bottom]);
        all.extend(levels);
        all
    }

    #[test]
    fn every_sign_takes_one_cell_and_like_signs_differ() {
        for glyphs in [UNICODE, ASCII] {
            for sign in signs(glyphs) {
                assert_eq!(width(sign), 1, "{sign}");
            }
            for [one, two, three] in
                [[glyphs.good, glyphs.watch, glyphs.alarm], [glyphs.sown, glyphs.plant, glyphs.gap]]
            {
                assert!(one != two && two != three && one != three);
            }
            let Glyphs { sown, plant, gap, doubled, lost, taken_out, moved_on, .. } = glyphs;
            let cells = [sown, plant, gap, doubled, lost, taken_out, moved_on];
            assert!((1..cells.len()).all(|n| !cells[..n].contains(&cells[n])), "two states of a cell look alike");
        }
        assert!(signs(ASCII).concat().is_ascii());
    }
}
