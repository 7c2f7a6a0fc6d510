//! The lowest lines: what was done or what the cursor is on, and the keys that do something here.

use crate::desk::Standing;
use crate::tui::actions::{self, Id, Where, actions};
use crate::tui::form::Field;
use crate::tui::glyphs::Glyphs;
use crate::tui::message::Key;
use crate::tui::model::{Model, Overlay, Page, Tone, WayBack};
use crate::tui::rows::{OnBench, Section};
use crate::tui::text::{width, wrap};
use crate::tui::theme::{Look, Role};

use super::paint::Canvas;
use super::{in_hand, plan_page, words};

/// Lines it takes on a screen of this size.
pub(super) fn height(all: usize, down: usize) -> usize {
    match (all, down) {
        (_, ..=5) => 0,
        (_, ..=9) => 1,
        (..=59, _) => 4,
        (..=119, _) => 4,
        _ => 3,
    }
}

/// Lines it takes just now: what was said to the grower is shown whole, over the keys and then over the page, while
/// nothing lies open that is being filled in.
pub(super) fn needed(model: &Model, all: usize, down: usize, look: Look) -> usize {
    let usual = height(all, down);
    if model.notice.is_none() || !model.overlays.is_empty() {
        return usual;
    }
    // One line of keys stays, whatever is said.
    (Said::of(model, all, &look.glyphs).rows() + 1).min(down.saturating_sub(1)).max(usual)
}

/// What is said, in lines, and behind it the key that takes it back.
struct Said {
    lines: Vec<String>,
    role: Role,
    tail: String,
    /// True when the tail has a line of its own.
    tail_below: bool,
}

impl Said {
    fn of(model: &Model, all: usize, glyphs: &Glyphs) -> Self {
        let (text, role) = match &model.notice {
            Some(notice) if notice.tone == Tone::Trouble => (format!("{} {}", glyphs.alarm, notice.line), Role::Watch),
            Some(notice) => (format!("{} {}", glyphs.good, notice.line), Role::Good),
            None => match model.overlays.last() {
                Some(Overlay::Form(form)) => (form.line(), Role::Quiet),
                Some(_) => (String::new(), Role::Quiet),
                None => (about(model), Role::Quiet),
            },
        };
        let tail = match model.notice.as_ref().and_then(|notice| notice.way_back) {
            Some(WayBack::Undo(_)) => format!("{} undo", model.keys.letter(Id::Undo)),
            Some(WayBack::Redo) => format!("{} bring back", model.keys.letter(Id::Redo)),
            None => String::new(),
        };
        let lines = wrap(&text, all.saturating_sub(1));
        let last = lines.last().map_or(0, |line| width(line));
        let tail_below = !tail.is_empty() && 1 + last + 2 + width(&tail) > all;
        Self { lines, role, tail, tail_below }
    }

    fn rows(&self) -> usize {
        self.lines.len() + usize::from(self.tail_below)
    }

    /// Draws as much as goes in so many lines; what had to be cut ends in the sign for it, before the tail.
    fn draw(mut self, rows: usize, canvas: &mut Canvas<'_>) {
        let all = canvas.width();
        if self.rows() > rows && rows > 0 {
            let kept = if self.tail.is_empty() { 0 } else { width(&self.tail) + 2 };
            let rest = self.lines.split_off((rows - 1).min(self.lines.len().saturating_sub(1))).join(" ");
            let room = all.saturating_sub(1 + kept);
            self.lines.push(crate::tui::text::truncate(&rest, room, canvas.look.glyphs.ellipsis).into_owned());
            self.tail_below = false;
        }
        if self.tail_below {
            self.lines.push(String::new());
        }
        let last = self.lines.len().saturating_sub(1);
        for (y, line) in self.lines.iter().take(rows).enumerate() {
            let mut strip = canvas.strip();
            strip.add(" ", Role::Text).add(line, self.role);
            if y == last && !self.tail.is_empty() {
                strip.add(if line.is_empty() { "  " } else { "   " }, Role::Text).add(&self.tail, Role::Key);
            }
            canvas.line(y, strip);
        }
    }
}

/// Draws it on so many lines or, when a message needs them, more.
pub(super) fn draw(model: &Model, usual: usize, canvas: &mut Canvas<'_>) {
    let keys = match usual {
        0 | 1 => usual,
        2 | 3 => 1,
        _ => 2,
    };
    let said = Said::of(model, canvas.width(), &canvas.look.glyphs);
    let whole = model.notice.is_some() && model.overlays.is_empty();
    let room = if whole { canvas.height().saturating_sub(usize::from(keys > 0)) } else { usual - keys };
    let rows = said.rows().min(room).max(usual - keys);
    if canvas.height() > usual {
        canvas.wipe();
    }
    said.draw(rows, canvas);
    if rows < canvas.height() {
        hints(model, canvas.height() - rows, rows, canvas);
    }
}

/// The keys that do something here, the likeliest first, as many as fit.
fn hints(model: &Model, lines: usize, from: usize, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let place = actions::place(model);
    let mut found: Vec<(String, &str)> = Vec::new();
    if !model.typed.is_empty() {
        found.push((model.typed.clone(), "then a key for the batch"));
    }
    if !model.marked.is_empty() {
        found.push((model.marked.len().to_string(), "marked"));
    }
    match place {
        Where::Menu => found.extend([("letter or digit".to_owned(), "choose"), ("Esc".to_owned(), "leave off")]),
        Where::Form | Where::Line => found.push(("Esc".to_owned(), "leave off")),
        _ => {}
    }
    // Enter does nothing where what is typed cannot be meant.
    let stuck = matches!(model.overlays.last(), Some(Overlay::Form(form)) if form.field().is_some_and(Field::is_wrong));
    let here = actions().filter(|action| action.places.contains(&place) && !action.hint.is_empty());
    let here = here.filter(|action| !(stuck && action.id == Id::Enter));
    let key = |action: &actions::Action| {
        let keys = model.keys.of(action);
        let types = |key: &&Key| place != Where::Form || !matches!(key, Key::Char(_));
        keys.iter().find(types).or(keys.first()).map(|key| actions::name(*key))
    };
    let ends = matches!(model.overlays.last(), Some(Overlay::Form(form)) if form.is_at_its_end());
    let hint = |action: &actions::Action| match action.id {
        Id::Enter if place == Where::Form => {
            if ends {
                "log it"
            } else {
                "next"
            }
        }
        _ => action.hint,
    };
    found.extend(here.filter(|action| (action.when)(model)).filter_map(|action| Some((key(action)?, hint(action)))));
    // The way to all the others always stands at the end.
    let help = model.keys.letter(Id::Help);
    let wide_help = width(&help) + width(" all keys");
    let is_page = actions().any(|action| action.id == Id::Help && action.places.contains(&place));
    let (mut y, mut strip) = (0, canvas.strip());
    for (key, hint) in found {
        let wide = width(&key) + width(hint) + 3;
        let kept = if is_page && y + 1 >= lines { wide_help + 2 } else { 0 };
        if strip.used + wide + kept > all {
            if y + 1 >= lines {
                break;
            }
            canvas.line(from + y, strip);
            (y, strip) = (y + 1, canvas.strip());
        }
        strip
            .add(" ", Role::Text)
            .add(&key, Role::Key)
            .add(" ", Role::Text)
            .add(hint, Role::Quiet)
            .add(" ", Role::Text);
    }
    if is_page {
        if strip.used + wide_help + 1 > all && y + 1 < lines {
            canvas.line(from + y, strip);
            (y, strip) = (y + 1, canvas.strip());
        }
        strip.column("", all.saturating_sub(strip.used + wide_help + 1), crate::tui::text::Align::Left, Role::Text);
        strip.add(&help, Role::Key).add(" all keys", Role::Quiet);
    }
    canvas.line(from + y, strip);
}

/// All that the row under the cursor says, where the row itself had to be cut.
fn about(model: &Model) -> String {
    let cursor = model.cursor();
    match row(model, cursor.section, cursor.index) {
        // The page itself has it, whole.
        Some(_) if cursor.section == Section::Kinds => String::new(),
        Some(said) => said,
        None if model.board.standing == Standing::LookedAt => "Another day: to be read only.".to_owned(),
        None => String::new(),
    }
}

/// All that a row says, in a sentence.
pub(in crate::tui) fn row(model: &Model, section: Section, index: usize) -> Option<String> {
    let on = model.board.on;
    let join =
        |pieces: Vec<String>| pieces.into_iter().filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(", ");
    match section {
        Section::Today => model.due().get(index).map(|due| {
            let label = words::whose(due.batch.map(|(_, label)| label), &due.parts, on);
            let plant = words::plant(due.crop.as_ref(), due.variety.as_ref());
            if due.batch.is_none() {
                let shows = if due.parts.is_empty() { "" } else { "Enter shows them" };
                return join(vec![words::reason(due, on), shows.to_owned()]);
            }
            join(vec![format!("{label} {plant}"), words::places(&due.parts), words::plain_days(&due.reason, on)])
        }),
        Section::ComingUp => model.coming_up().get(index).map(|row| {
            let (rate, likely) = words::rate(row, "");
            let rate = match (rate.is_empty(), row.is_counted()) {
                (false, _) if row.is_coming() => Some(format!("{rate} so far, likely {likely} in the end")),
                (false, _) => Some(rate),
                (true, true) => Some("a pinch, so no rate".to_owned()),
                (true, false) => None,
            };
            let counted = match row.days_since_count {
                None => "not counted yet".to_owned(),
                Some(0) => "counted today".to_owned(),
                Some(1) => "counted yesterday".to_owned(),
                Some(days) => format!("counted {days} days ago"),
            };
            let plant = words::plant(Some(&row.crop), row.variety.as_ref());
            let days = if row.days == 1 { "1 day".to_owned() } else { format!("{} days", row.days) };
            let head = format!("{} {plant}: {} up in {days}", row.label, words::up_of(row));
            let rest = [counted, format!("{} standing", row.standing), words::places(&row.parts)];
            join([head].into_iter().chain(rate).chain(rest).collect())
        }),
        Section::Here => model.place.as_ref().and_then(|place| place.standing.get(index)).map(|row| {
            let floor = row.floor.map_or_else(|| "no floor known".to_owned(), |floor| format!("works down to {floor}"));
            let parts: Vec<String> = row.parts.iter().map(|one| words::part(one.label, model.board.on)).collect();
            join(vec![format!("{} {}", parts.join(" "), row.crop), floor, format!("hardened {}", row.hardened)])
        }),
        Section::MovingOn => model.board.ready.get(index).map(|row| {
            let plant = words::plant(Some(&row.crop), row.variety.as_ref());
            let next = row.next.as_ref().map_or_else(String::new, |next| {
                let container = next.container.as_ref().map_or_else(|| "a pot".to_owned(), ToString::to_string);
                let (least, most) = (next.width.0, next.width.1);
                let wide = if least == most { least.to_string() } else { format!("{} to {most}", least.0) };
                format!("into {container} ({wide})")
            });
            let days = format!(
                "from {}, best {}, by {}",
                words::day(row.window.earliest, on),
                words::day(row.window.best, on),
                words::day(row.window.latest, on)
            );
            let what = format!(
                "{} {plant}: {} {} to {}",
                row.part.label,
                row.part.standing,
                "standing",
                words::step(row.step)
            );
            join(vec![what, days, next, words::places(std::slice::from_ref(&row.part))])
        }),
        Section::Parts => model.batch.as_ref().and_then(|(batch, _)| batch.parts.get(index)).map(|row| {
            let plants = format!("{}: {} standing", row.part.label, row.part.standing);
            let cells = if row.cells.is_empty() || row.cleared.is_some() {
                String::new()
            } else {
                format!("{} ticks its cells", model.keys.letter(Id::Cells))
            };
            let places = words::places(std::slice::from_ref(&row.part));
            join(vec![plants, words::vessel(&row.part), places, cells])
        }),
        Section::Dusk => model.evening().get(index).map(|row| {
            let labels: Vec<String> = row.parts.iter().map(|part| words::part(part.label, on)).collect();
            let doing = row.doing.map_or_else(String::new, |doing| format!(" > {doing}"));
            format!("{} {}: {}{doing}", labels.join(" "), row.about(), words::plain_days(row.reason, on))
        }),
        Section::Done => model.batch.as_ref().and_then(|(_, acts)| acts.get(index)).map(|row| row.said.join("; ")),
        Section::Acts => {
            model.acts_shown().get(index).map(|row| format!("{} {}: {}", row.short, row.verb, row.said.join("; ")))
        }
        Section::Standing if model.page() == Page::Plan && model.cursor().index == index => {
            Some(plan_page::about(model))
        }
        Section::Standing => model.on_benches().nth(index).map(|row| match row {
            OnBench::Bare(_) => plan_page::bare(model),
            OnBench::Container(_, row) => words::stands(model, row).join(", "),
        }),
        Section::Kinds => model.in_hand.as_ref().and_then(|found| found.rows.get(index)).map(in_hand::about),
        Section::Cells => Some(super::cells::about(model)),
        Section::Stops => model.stop().and_then(|id| model.board.state.parts.get(&id)).map(super::round::number_says),
        Section::Logged => model.round().and_then(|round| round.logged.get(index)).map(|one| one.said.clone()),
    }
}
