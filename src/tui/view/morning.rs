//! The morning: what is due, what comes up, what moves on, where there is room, and tonight.

use crate::advice::{Area, FitsOnBench, Task, in_trays};
use crate::journal::PlaceKind;
use crate::tui::actions::Id;
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::{Align, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, Strip, first_shown};
use super::words;

/// What the page says on a day without work, or with none but before dusk.
pub(in crate::tui) fn nothing_due(model: &Model) -> String {
    match super::tonight::before_dusk(model) {
        None => "Nothing is due: a good day to look at them all the same.".to_owned(),
        Some(work) => format!("Before dusk: {work}. {} names them.", model.keys.letter(Id::Tonight)),
    }
}

/// Below so many cells across a row says the least, and the lower lines the rest.
const NARROW: usize = 64;
/// From so many cells across the page has two columns.
const TWO_COLUMNS: usize = 132;

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let strip = if down >= 14 { 2 } else { 1 };
    canvas.within((0, 0, all, strip), |canvas| super::tonight::strip(model, canvas));
    let strip = to_settle(model, strip, canvas);
    let down = down.saturating_sub(strip);
    if all >= TWO_COLUMNS {
        let left = all / 2 - 1;
        canvas.within((0, strip, left, down), |canvas| lists(model, &[Section::Today, Section::MovingOn], canvas));
        let room = room_lines(model, true, false).len() + 1;
        let right = (left + 2, strip, all - left - 2, down.saturating_sub(room));
        canvas.within(right, |canvas| lists(model, &[Section::ComingUp], canvas));
        canvas.within((left + 2, strip + down.saturating_sub(room), all - left - 2, room), |canvas| {
            room_of(model, true, canvas)
        });
        return;
    }
    let room = room_lines(model, false, false).len() + 1;
    let above = down.saturating_sub(room);
    canvas.within((0, strip, all, above), |canvas| {
        lists(model, &[Section::Today, Section::ComingUp, Section::MovingOn], canvas);
    });
    canvas.within((0, strip + above, all, room), |canvas| room_of(model, false, canvas));
}

/// Says from a line on what is to be settled first; gives the line below.
pub(super) fn to_settle(model: &Model, from: usize, canvas: &mut Canvas<'_>) -> usize {
    let all = canvas.width();
    let mut y = from;
    for said in model.board.to_settle() {
        for (line, text) in wrap(&said, all.saturating_sub(2)).into_iter().enumerate() {
            let mut row = canvas.strip();
            let sign = if line == 0 { canvas.look.glyphs.alarm } else { " " };
            row.add(sign, Role::Watch).add(" ", Role::Text).fill(&text, all, Role::Watch);
            canvas.line(y, row);
            y += 1;
        }
    }
    y
}

/// Shares the lines out among the lists: today's work first, and none more than it needs.
fn shares(model: &Model, sections: &[Section], down: usize) -> Vec<usize> {
    let weight = |section: &Section| if *section == Section::Today { 3 } else { 2 };
    let mut shares = vec![0_usize; sections.len()];
    for _ in 0..down.saturating_sub(sections.len()) {
        let wanting = sections.iter().enumerate().filter(|(at, section)| shares[*at] < model.len(**section).max(1));
        // Least served by its weight comes next; of equals the upper one.
        let Some((at, _)) = wanting.min_by_key(|(at, section)| (shares[*at] * 6 / weight(section), *at)) else { break };
        shares[at] += 1;
    }
    shares
}

fn lists(model: &Model, sections: &[Section], canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let mut y = 0;
    for (section, fit) in sections.iter().zip(shares(model, sections, down)) {
        canvas.within((0, y, all, fit + 1), |canvas| list(model, *section, fit, canvas));
        y += fit + 1;
    }
}

fn list(model: &Model, section: Section, fit: usize, canvas: &mut Canvas<'_>) {
    let cursor = model.cursor();
    let count = model.len(section);
    let at = if cursor.section == section { cursor.index } else { 0 };
    let first = first_shown(count, fit, at);
    let plan = Plan::of(section, canvas.width());
    let shown = if count > fit { format!("{}-{} of ", first + 1, (first + fit).min(count)) } else { String::new() };
    let (heading, empty) = match section {
        Section::Today => ("Today", nothing_due(model)),
        Section::ComingUp if model.board.is_bare() || model.board.ready.is_empty() => {
            ("Coming up", "Nothing is sown.".to_owned())
        }
        Section::ComingUp => ("Coming up", "Nothing sown is on its way: what was bought in is below.".to_owned()),
        _ => ("Moving on", "Nothing is near its next pot.".to_owned()),
    };
    let heading = if count > 0 { format!("{heading}  {shown}{count}") } else { heading.to_owned() };
    let (columns, end) = plan.columns(section);
    canvas.rule_over(0, &heading, &columns, end);
    if count == 0 {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Quiet).add(&empty, Role::Quiet);
        canvas.line(1, strip);
    }
    for (y, index) in (first..count).take(fit).enumerate() {
        let here = cursor == Cursor { section, index };
        let strip = row(model, section, index, here, &plan, canvas);
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}

/// How wide the columns are on a line so wide.
struct Plan {
    all: usize,
    label: usize,
    name: usize,
}

/// Sign, mark, pointer before the label, and a blank behind it.
const BEFORE: usize = 4;
/// Up of sown, rate, likely, days, and the word behind two blanks.
const OF_COMING_UP: usize = 10 + 7 + 13 + 7 + 2 + 9;
/// The move, three days, and the container behind two blanks.
const OF_MOVING_ON: usize = 10 + 8 + 8 + 8 + 2 + INTO;
/// The next container; its name is cut where it is longer.
const INTO: usize = 11;
/// From so many cells across the place is told whole, in so many.
const WITH_PLACE: usize = 94;
const PLACE: usize = 16;
/// Longest crop and variety that is worth the room.
const LONGEST_NAME: usize = 32;

impl Plan {
    fn of(section: Section, all: usize) -> Self {
        let label = if all < 70 { 5 } else { 6 };
        let place = if all >= WITH_PLACE { PLACE } else { 0 };
        let name = match section {
            _ if all < NARROW => 15,
            // A column of the two is no wider than a screen: what is to be done needs the room.
            Section::Today => (all * 29 / 100).clamp(18, if all < 110 { 24 } else { LONGEST_NAME }),
            Section::ComingUp => all.saturating_sub(BEFORE + label + OF_COMING_UP + place).min(LONGEST_NAME),
            _ => all.saturating_sub(BEFORE + label + OF_MOVING_ON + place).min(LONGEST_NAME),
        };
        Self { all, label, name }
    }

    fn is_narrow(&self) -> bool {
        self.all < NARROW
    }

    /// The names of the columns, and the cell they end at.
    fn columns(&self, section: Section) -> (String, usize) {
        let start = BEFORE + self.label + self.name;
        match section {
            Section::ComingUp if self.is_narrow() => ("up of".to_owned(), self.all),
            Section::ComingUp => {
                (format!("{:>10}{:>7}{:>13}{:>7}", "up of sown", "rate", "likely", "days"), start + 37)
            }
            Section::MovingOn if self.is_narrow() => ("best".to_owned(), self.all),
            Section::MovingOn => (format!("{:>8}{:>8}{:>8}  into", "from", "best", "by"), start + 40),
            _ => (String::new(), self.all),
        }
    }
}

fn row(model: &Model, section: Section, index: usize, here: bool, plan: &Plan, canvas: &Canvas<'_>) -> Strip {
    let glyphs = &canvas.look.glyphs;
    let mut strip = canvas.strip();
    let parts = model.subject_at(section, index).parts;
    let marked = !parts.is_empty() && parts.iter().all(|part| model.marked.contains(part));
    strip.add(if here { glyphs.pointer } else { " " }, Role::Text);
    strip.add(if marked { glyphs.good } else { " " }, Role::Key);
    match section {
        Section::Today => due(model, index, plan, &mut strip, glyphs),
        Section::ComingUp => coming_up(model, index, plan, &mut strip, glyphs),
        _ => moving_on(model, index, plan, &mut strip, glyphs),
    }
    strip
}

type Glyphs = crate::tui::glyphs::Glyphs;

fn due(model: &Model, index: usize, plan: &Plan, strip: &mut Strip, glyphs: &Glyphs) {
    let Some(due) = model.due().get(index) else { return };
    let on = model.board.on;
    let (sign, role) = words::urgency(due, glyphs);
    strip.add(sign, role);
    let label = words::whose(due.batch.map(|(_, label)| label), &due.parts, on);
    strip.column(&label, plan.label, Align::Right, Role::Key).add(" ", Role::Text);
    let plant = words::plant(due.crop.as_ref(), due.variety.as_ref());
    let of_place = match due.what {
        Task::CoolDown(_) | Task::LookOver(_) | Task::OpenUp(_) | Task::Cover(_) | Task::Uncover(_) => true,
        task => matches!(task, Task::PutOut(_) | Task::MoveOut(_)),
    };
    if plan.is_narrow() && of_place {
        strip.fill(&due.reason, plan.all, Role::Text);
        return;
    }
    if plan.is_narrow() {
        strip.column(&plant, plan.name, Align::Left, Role::Text).add(" ", Role::Text);
        strip.fill(&words::task(due.what), plan.all, Role::Text);
        return;
    }
    if due.batch.is_none() {
        strip.fill(&words::reason(due, on), plan.all, Role::Text);
        return;
    }
    strip.column(&plant, plan.name, Align::Left, Role::Text).add(" ", Role::Text);
    strip.column(&words::task(due.what), 12, Align::Left, Role::Text).add("  ", Role::Text);
    let place = words::places(&due.parts);
    let room = plan.all.saturating_sub(strip.used);
    let wide = if room > 70 { 24 } else { 0 };
    strip.column(&words::reason(due, on), room.saturating_sub(wide), Align::Left, Role::Text);
    strip.fill(&place, plan.all, Role::Quiet);
}

fn coming_up(model: &Model, index: usize, plan: &Plan, strip: &mut Strip, glyphs: &Glyphs) {
    let Some(row) = model.coming_up().get(index).copied() else { return };
    let (word, sign, role) = words::verdict(row, glyphs);
    strip.add(sign, role);
    let label = words::number(row.label, model.board.on);
    strip.column(&label, plan.label, Align::Right, Role::Key).add(" ", Role::Text);
    let plant = words::plant(Some(&row.crop), row.variety.as_ref());
    let (rate, likely) = words::rate(row, glyphs.missing);
    if plan.is_narrow() {
        let up = words::up_of(row).replace(" of ", "/");
        let rest = plan.all.saturating_sub(strip.used + 16);
        strip.column(&plant, rest, Align::Left, Role::Text);
        strip.column(&up, 7, Align::Right, Role::Text).add(" ", Role::Text);
        strip.fill(word, plan.all, role);
        return;
    }
    strip.column(&plant, plan.name, Align::Left, Role::Text);
    strip.column(&words::up_of(row), 10, Align::Right, Role::Text);
    strip.column(&rate, 7, Align::Right, Role::Text);
    strip.column(&likely, 13, Align::Right, Role::Quiet);
    strip.column(&row.days.to_string(), 7, Align::Right, Role::Text).add("  ", Role::Text);
    strip.column(word, 9, Align::Left, role);
    strip.fill(&words::places(&row.parts), plan.all, Role::Quiet);
}

fn moving_on(model: &Model, index: usize, plan: &Plan, strip: &mut Strip, glyphs: &Glyphs) {
    let Some(row) = model.board.ready.get(index) else { return };
    let on = model.board.on;
    let (sign, role) = words::readiness(row.readiness, glyphs);
    strip.add(sign, role);
    strip.column(&words::part(row.part.label, on), plan.label, Align::Right, Role::Key).add(" ", Role::Text);
    let plant = words::plant(Some(&row.crop), row.variety.as_ref());
    if plan.is_narrow() {
        let rest = plan.all.saturating_sub(strip.used + 18);
        strip.column(&plant, rest, Align::Left, Role::Text).add(" ", Role::Text);
        strip.column(words::step(row.step), 9, Align::Left, Role::Text);
        strip.column(&words::day(row.window.best, on), 8, Align::Right, role);
        return;
    }
    strip.column(&plant, plan.name, Align::Left, Role::Text).add(" ", Role::Text);
    strip.column(words::step(row.step), 9, Align::Left, Role::Text);
    for day in [row.window.earliest, row.window.best] {
        strip.column(&words::day(day, on), 8, Align::Right, Role::Text);
    }
    strip.column(&words::day(row.window.latest, on), 8, Align::Right, role).add("  ", Role::Text);
    let next = match row.next.as_ref().map(|next| next.container.as_ref()) {
        Some(Some(container)) => container.to_string(),
        Some(None) => "?".to_owned(),
        None => words::final_place(row).trim_start_matches("into ").to_owned(),
    };
    strip.column(&next, INTO, Align::Left, Role::Text).add(" ", Role::Text);
    strip.fill(&words::places(std::slice::from_ref(&row.part)), plan.all, Role::Quiet);
}

/// Free room, place by place: the name and what is said of it.
pub(in crate::tui) fn room_lines(model: &Model, full: bool, narrow: bool) -> Vec<(String, String)> {
    let say = |area: Area, on: &dyn Fn(&FitsOnBench) -> bool| {
        if area.whole.0 == 0 {
            let add = model.keys.letter(Id::Add);
            return if narrow { format!("no bench: {add} b") } else { format!("no bench measured yet: {add} b") };
        }
        let board = &model.board;
        let trays = board.trays.benches.iter().filter(|bench| on(bench)).map(|bench| bench.more).sum();
        let at_most = if board.is_at_most(on) { "at most " } else { "" };
        if narrow {
            return format!("{}, {at_most}{}", area.free, in_trays(trays, "", &board.tray));
        }
        let more = in_trays(trays, "more ", &board.tray);
        format!("{:.2} of {} free, room for {at_most}{more}", area.free.0 as f64 / 1e6, area.whole)
    };
    let space = &model.board.space;
    let mut lines = vec![
        ("indoors".to_owned(), say(space.indoors, &|fits| fits.kind.is_indoors())),
        ("cold frame".to_owned(), say(space.frames, &|fits| fits.kind == PlaceKind::ColdFrame)),
    ];
    if space.elsewhere.whole.0 > 0 {
        let is_elsewhere = |fits: &FitsOnBench| !fits.kind.is_indoors() && fits.kind != PlaceKind::ColdFrame;
        lines.push(("elsewhere".to_owned(), say(space.elsewhere, &is_elsewhere)));
    }
    if full {
        for place in space.places.iter().filter(|place| place.area.whole.0 > 0) {
            lines.push((place.name.to_string(), say(place.area, &|fits| fits.place == place.place)));
        }
    }
    lines
}

fn room_of(model: &Model, full: bool, canvas: &mut Canvas<'_>) {
    canvas.rule(0, "Room", "");
    let all = canvas.width();
    for (y, (place, said)) in room_lines(model, full, all < NARROW).iter().enumerate() {
        let mut strip = canvas.strip();
        strip.add("   ", Role::Text);
        strip.column(place, if all < NARROW { 11 } else { 14 }, Align::Left, Role::Text);
        strip.fill(said, all, Role::Text);
        canvas.line(y + 1, strip);
    }
}
