//! What lies on top of a page: forms, menus, questions, and texts to be read.

use crate::advice::Why;
use crate::quantity::Date;
use crate::tui::actions::{self, Action};
use crate::tui::form::{Asked, Field, Form, Takes, in_keys};
use crate::tui::keys::Keys;
use crate::tui::model::{Menu, Page, Palette, Question, Yes};
use crate::tui::text::{Align, width, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, first_shown};
use super::words;

/// A choice list shows so many at most.
const CHOICES: usize = 6;
/// Below so many cells across the keys get less of a line.
const NARROW: usize = 60;
/// Cells that a field's name takes.
const LABEL: usize = 9;

/// Draws a form at the lower end, so that the page stays in sight above it.
pub(super) fn form(form: &Form, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let listed = form.field().map_or(0, |field| field.fitting().len().min(CHOICES));
    let indented = |text: &str, by: usize, role| -> Vec<(usize, String, Role)> {
        wrap(text, all.saturating_sub(by + 1)).into_iter().map(|line| (by, line, role)).collect()
    };
    let about = indented(&form.about, 3, Role::Quiet);
    // On the smallest screens the field that is typed in is what must be seen.
    let (down, fields) = (canvas.height(), form.fields.len());
    let about = if 1 + about.len() + fields > down { Vec::new() } else { about };
    let passed = (1 + fields).saturating_sub(down).min(form.focus);
    let trouble = form.trouble.as_ref().map_or_else(Vec::new, |line| indented(line, 3, Role::Watch));
    let hint_at = if all < 60 { 3 } else { LABEL + 3 };
    let hint = form.field().map_or(String::new(), |field| field.hint.clone());
    let hint = if hint.is_empty() { Vec::new() } else { indented(&hint, hint_at, Role::Quiet) };
    let wanted = 1 + about.len() + form.fields.len() + listed + hint.len() + trouble.len();
    sheet(wanted, canvas, |canvas| {
        let fit = canvas.height();
        let ends = form.is_at_its_end() && !form.field().is_some_and(Field::is_wrong);
        canvas.rule(0, &form.title, if ends { "Enter logs it" } else { "" });
        let mut y = lines(&about, 1, usize::MAX, canvas);
        for (index, field) in form.fields.iter().enumerate().skip(passed) {
            let here = index == form.focus;
            let led_to = form.is_led_to(index);
            field_line(field, (here, led_to), y, canvas);
            y += 1;
            if here {
                // Where room is short the hint and the list give way before the other fields do.
                let after = form.fields.len() - index - 1 + trouble.len();
                y = lines(&hint, y, fit.saturating_sub(after), canvas);
                y += choices(field, y, fit.saturating_sub(y + after), canvas);
            }
        }
        if !trouble.is_empty() {
            let mut strip = canvas.strip();
            strip.add(" ", Role::Text).add(canvas.look.glyphs.alarm, Role::Alarm);
            canvas.line(y, strip);
        }
        lines(&trouble, y, usize::MAX, canvas);
    });
}

/// Draws lines set in by so much, up to a line; the line after them.
fn lines(lines: &[(usize, String, Role)], from: usize, end: usize, canvas: &mut Canvas<'_>) -> usize {
    let mut y = from;
    for (by, line, role) in lines.iter().take(end.saturating_sub(from)) {
        canvas.within((*by, y, canvas.width(), 1), |canvas| {
            let mut strip = canvas.strip();
            strip.add(line, *role);
            canvas.line(0, strip);
        });
        y += 1;
    }
    y
}

/// A field: that keys go to, or that the first letter of its name leads to.
fn field_line(field: &Field, (here, led_to): (bool, bool), y: usize, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let mut strip = canvas.strip();
    strip.add(" ", Role::Text).add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
    let role = if here { Role::Key } else { Role::Quiet };
    let first = if led_to { field.label.chars().next().map_or(0, char::len_utf8) } else { 0 };
    strip.add(&field.label[..first], Role::Key);
    strip.column(&field.label[first..], LABEL - first, Align::Left, role).add(" ", Role::Text);
    let typed = field.input.value();
    let start = strip.used;
    let room = all.saturating_sub(start + 1);
    let scroll = if here { field.input.visual_scroll(room.saturating_sub(1)) } else { 0 };
    let seen: String = skip_cells(typed, scroll);
    let is_list = matches!(field.takes, Takes::OneOf { .. });
    let text = match field.chosen() {
        Some(choice) if !here => choice.shown.clone(),
        _ => seen,
    };
    let role = if here { Role::Field } else { Role::Text };
    let empty = if field.asked == Asked::Never && !here { canvas.look.glyphs.missing } else { "" };
    let text = if text.is_empty() { empty.to_owned() } else { text };
    strip.add(&crate::tui::text::truncate(&text, room, canvas.look.glyphs.ellipsis), role);
    if here && !is_list {
        let least = 6_usize.saturating_sub(width(&text)).min(room.saturating_sub(width(&text)));
        strip.add(&" ".repeat(least), Role::Field);
    }
    if here && is_list {
        // What Enter takes stands behind what is typed.
        let other = if field.is_wrong() { "none of these" } else { "new" };
        let taken = field.chosen().map_or_else(|| other.to_owned(), |choice| choice.shown.clone());
        strip.add(" ", Role::Field).add(&format!(" {} {taken}", canvas.look.glyphs.leads_to), Role::Text);
    }
    canvas.line(y, strip);
    if here {
        canvas.point(start + field.input.visual_cursor().saturating_sub(scroll), y);
    }
}

/// The text without so many cells at its beginning.
pub(super) fn skip_cells(text: &str, cells: usize) -> String {
    let mut skipped = 0;
    text.chars()
        .skip_while(|c| {
            let gone = skipped < cells;
            skipped += width(&c.to_string());
            gone
        })
        .collect()
}

fn choices(field: &Field, y: usize, room: usize, canvas: &mut Canvas<'_>) -> usize {
    let Takes::OneOf { picked, .. } = field.takes else { return 0 };
    let fitting = field.fitting();
    let fit = fitting.len().min(CHOICES).min(room);
    let first = first_shown(fitting.len(), fit, picked);
    let all = canvas.width();
    for (line, (index, choice)) in fitting.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = index == picked;
        let mut strip = canvas.strip();
        strip.add(&" ".repeat(LABEL + 1), Role::Text);
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text).add(" ", Role::Text);
        let name = (all / 2).saturating_sub(LABEL).clamp(8, 34);
        let role = if here { Role::Key } else { Role::Text };
        strip.column(
            &choice.shown,
            name.max(width(&choice.shown).min(all.saturating_sub(strip.used))),
            Align::Left,
            role,
        );
        strip.add("  ", Role::Text).fill(&choice.beside, all, Role::Quiet);
        canvas.line(y + line, strip);
    }
    fit
}

/// Draws a menu; where not all of it fits it is turned over like a page.
pub(super) fn menu(menu: &Menu, canvas: &mut Canvas<'_>) {
    const BEFORE: usize = 6;
    let all = canvas.width();
    let broken: Vec<Vec<String>> =
        menu.items.iter().map(|(_, words, _)| wrap(words, all.saturating_sub(BEFORE + 1))).collect();
    let lines: usize = broken.iter().map(Vec::len).sum();
    let whole = lines + 2 <= canvas.height();
    // Rather every item on a line of its own than half of them in full.
    let broken: Vec<Vec<String>> =
        if whole { broken } else { menu.items.iter().map(|(_, words, _)| vec![words.clone()]).collect() };
    let count = broken.iter().map(Vec::len).sum::<usize>();
    sheet(count + 1 + usize::from(count + 2 <= canvas.height()), canvas, |canvas| {
        let fit = canvas.height().saturating_sub(1);
        let first = if whole { 0 } else { menu.first.min(menu.items.len().saturating_sub(fit)) };
        let more = count.saturating_sub(fit);
        let more =
            if more > 0 { format!("{} to {} of {count}, space turns", first + 1, first + fit) } else { String::new() };
        canvas.rule(0, &menu.title, &more);
        let mut y = 1;
        for ((key, ..), lines) in menu.items.iter().zip(&broken).skip(first) {
            for (number, line) in lines.iter().enumerate() {
                let mut strip = canvas.strip();
                let key = if number == 0 { key.to_string() } else { " ".to_owned() };
                strip.add("   ", Role::Text).add(&key, Role::Key).add("  ", Role::Text).add(line, Role::Text);
                canvas.line(y, strip);
                y += 1;
            }
        }
    });
}

/// Draws a question.
pub(super) fn question(question: &Question, canvas: &mut Canvas<'_>) {
    let lines = wrap(&question.line, canvas.width().saturating_sub(6));
    sheet(lines.len() + 3, canvas, |canvas| {
        let left = matches!(question.yes, Yes::TakeUp(_));
        canvas.rule(0, if left { "Left half-entered" } else { "Is that so?" }, "");
        for (y, line) in lines.iter().enumerate() {
            let mut strip = canvas.strip();
            strip.add("   ", Role::Text).add(line, Role::Text);
            canvas.line(y + 1, strip);
        }
        let mut strip = canvas.strip();
        strip
            .add("   ", Role::Text)
            .add("y", Role::Key)
            .add(" yes    ", Role::Text)
            .add("n", Role::Key)
            .add(" no", Role::Text);
        canvas.line(lines.len() + 1, strip);
        canvas.point(3, lines.len() + 1);
    });
}

/// A sheet over the lower lines.
pub(super) fn sheet(wanted: usize, canvas: &mut Canvas<'_>, draw: impl FnOnce(&mut Canvas<'_>)) {
    let (all, down) = (canvas.width(), canvas.height());
    let fit = wanted.min(down);
    canvas.within((0, down - fit, all, fit), |canvas| {
        canvas.wipe();
        draw(canvas);
    });
}

/// A paragraph of a text to be read; the head stands out to the left of its lines.
struct Paragraph {
    head: String,
    text: String,
    role: Role,
}

fn paragraph(text: impl Into<String>, role: Role) -> Paragraph {
    Paragraph { head: String::new(), text: text.into(), role }
}

/// Draws how something was come by.
pub(super) fn why(title: &str, why: &Why, (scroll, on): (u16, Date), keys: &Keys, canvas: &mut Canvas<'_>) {
    let mut lines = vec![paragraph(in_keys(&why.formula, keys), Role::Text), paragraph("", Role::Text)];
    for input in &why.inputs {
        let day = input.on.map_or_else(String::new, |day| words::day(day, on));
        let said: Vec<&str> = [input.value.as_str(), &day].into_iter().filter(|said| !said.is_empty()).collect();
        lines.push(paragraph(format!("{}: {}", input.what, said.join(", ")), Role::Text));
    }
    for (name, text) in [("What would change it", &why.changes), ("How far to trust it", &why.doubt)] {
        if !text.is_empty() {
            lines.extend([paragraph("", Role::Text), paragraph(name, Role::Heading)]);
            lines.push(paragraph(in_keys(text, keys), Role::Text));
        }
    }
    lines.extend([paragraph("", Role::Text), paragraph("Who says so", Role::Heading)]);
    if why.sources.is_empty() {
        lines.push(paragraph("Your own entries, and arithmetic.", Role::Text));
    }
    lines.extend(why.sources.iter().map(|source| paragraph(source.to_string(), Role::Text)));
    let title = words::plain_days(&in_keys(title, keys), on);
    text(&format!("Why: {title}"), &lines, scroll, canvas);
}

/// Draws the keys of a page and what they do, the one that Enter does marked.
pub(super) fn help(in_force: &Keys, page: Page, palette: &Palette, canvas: &mut Canvas<'_>) {
    canvas.wipe();
    let actions = palette.actions(page, in_force);
    let (all, down) = (canvas.width(), canvas.height());
    let keys = |action: &Action| in_force.of(action).into_iter().map(actions::name).collect::<Vec<_>>().join(" ");
    let head = actions.iter().map(|action| width(&keys(action))).max().unwrap_or(0);
    let head = head.min(if all < NARROW { all / 4 } else { all / 3 });
    let mut from = 1;
    if palette.finding || !palette.words.value().is_empty() {
        let mut strip = canvas.strip();
        strip.add("   find ", Role::Quiet);
        let start = strip.used;
        strip.add(palette.words.value(), Role::Field).add("  ", if palette.finding { Role::Field } else { Role::Text });
        canvas.line(from, strip);
        canvas.point(start + palette.words.visual_cursor(), from);
        from += 1;
    }
    if actions.is_empty() {
        let mut strip = canvas.strip();
        strip.fill("   nothing on this page has these words; Esc shows all of them", all, Role::Quiet);
        canvas.line(from, strip);
    }
    let across = all.saturating_sub(head + 5);
    let broken = actions.iter().enumerate().flat_map(|(index, action)| {
        wrap(&said(action), across).into_iter().enumerate().map(move |(line, text)| (index, line, text))
    });
    let broken: Vec<(usize, usize, String)> = broken.collect();
    let at = broken.iter().position(|(index, ..)| *index == palette.at).unwrap_or(0);
    let fit = down.saturating_sub(from);
    let first = first_shown(broken.len(), fit, at);
    let shown = broken.iter().skip(first).take(fit).map(|(index, ..)| index + 1);
    let sum = match (shown.clone().min(), shown.max()) {
        (Some(from), Some(to)) if broken.len() > fit => format!("{from} to {to} of {}, j k", actions.len()),
        _ => format!("{} in all", actions.len()),
    };
    canvas.rule(0, &format!("Keys here: {}", super::page_name(page)), &sum);
    for (y, (index, line, text)) in broken.iter().skip(first).take(fit).enumerate() {
        let here = *index == palette.at;
        let mut strip = canvas.strip();
        strip.add(if here && *line == 0 { canvas.look.glyphs.pointer } else { " " }, Role::Text).add(" ", Role::Text);
        let before = if *line == 0 { keys(actions[*index]) } else { String::new() };
        strip.column(&before, head, Align::Right, Role::Key).add("  ", Role::Text).add(text, Role::Text);
        canvas.line(from + y, strip);
        if here && *line == 0 && !palette.finding {
            canvas.point(0, from + y);
        }
    }
}

/// What an action does, and what the settings know it by.
fn said(action: &Action) -> String {
    if actions::is_changeable(action) {
        format!("{} ({})", action.help, action.id.word())
    } else {
        action.help.to_owned()
    }
}

/// Draws a report: its lines as they are, and those that are longer than the page broken.
pub(super) fn report(title: &str, lines: &[String], scroll: u16, canvas: &mut Canvas<'_>) {
    canvas.wipe();
    let all = canvas.width().saturating_sub(2);
    let broken: Vec<String> =
        lines.iter().flat_map(|line| if width(line) <= all { vec![line.clone()] } else { wrap(line, all) }).collect();
    let fit = canvas.height().saturating_sub(1);
    let first = usize::from(scroll).min(broken.len().saturating_sub(fit));
    canvas.rule(0, title, &more(broken.len(), fit, first));
    for (y, line) in broken.iter().skip(first).take(fit).enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).add(line, Role::Text);
        canvas.line(y + 1, strip);
    }
    canvas.point(0, 0);
}

/// How many lines are still below.
fn more(lines: usize, fit: usize, first: usize) -> String {
    match lines.saturating_sub(fit + first) {
        0 if lines > fit => "the end, k goes up".to_owned(),
        0 => String::new(),
        1 => "1 more line, j".to_owned(),
        left => format!("{left} more lines, j"),
    }
}

/// A text to be read, scrolled, with the page wiped under it.
fn text(title: &str, lines: &[Paragraph], scroll: u16, canvas: &mut Canvas<'_>) {
    canvas.wipe();
    let head = lines.iter().map(|line| width(&line.head)).max().unwrap_or(0).min(canvas.width() / 3);
    let all = canvas.width().saturating_sub(4);
    let mut broken: Vec<(&str, usize, String, Role)> = Vec::new();
    for line in lines {
        let indent = if line.head.is_empty() { 0 } else { head + 2 };
        for (number, text) in wrap(&line.text, all.saturating_sub(indent).min(100)).into_iter().enumerate() {
            broken.push((if number == 0 { &line.head } else { "" }, indent, text, line.role));
        }
    }
    let fit = canvas.height().saturating_sub(1);
    let first = usize::from(scroll).min(broken.len().saturating_sub(fit));
    canvas.rule(0, title, &more(broken.len(), fit, first));
    for (y, (before, indent, line, role)) in broken.iter().skip(first).take(fit).enumerate() {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text).column(before, indent.saturating_sub(2), Align::Right, Role::Key);
        strip.add(if *indent > 0 { "  " } else { "" }, Role::Text).add(line, *role);
        canvas.line(y + 1, strip);
    }
    canvas.point(0, 0);
}
