//! A round: one stop large and plain, and what the round has logged.

use crate::advice::Task;
use crate::journal::{Growth, Part, Source};
use crate::quantity::{Date, PartId, SownUnit};
use crate::tui::glyphs::Glyphs;
use crate::tui::model::{Cursor, Model};
use crate::tui::round::{Entry, Round, Tells};
use crate::tui::rows::Section;
use crate::tui::text::{Align, width, wrap};
use crate::tui::theme::Role;

use super::paint::{Canvas, clipped, first_shown};
use super::words;

/// From so many lines down the label has a frame.
const FRAMED: usize = 10;
/// From so many lines down and cells across the number is set in large figures.
const LARGE: (usize, usize) = (16, 60);
/// From so many lines down and cells across they are set twice as large.
const HUGE: (usize, usize) = (40, 120);
/// Lines a stop takes at most.
const TALL: usize = 24;
/// Lines of a large figure.
const HIGH: usize = 5;

/// Figures of three by five, each point two cells of ground shown reversed: they need no font and no colour.
const FIGURES: [[&str; HIGH]; 10] = [
    ["###", "# #", "# #", "# #", "###"],
    [" # ", "## ", " # ", " # ", "###"],
    ["###", "  #", "###", "#  ", "###"],
    ["###", "  #", " ##", "  #", "###"],
    ["# #", "# #", "###", "  #", "  #"],
    ["###", "#  ", "###", "  #", "###"],
    ["###", "#  ", "###", "# #", "###"],
    ["###", "  #", "  #", " # ", " # "],
    ["###", "# #", "###", "# #", "###"],
    ["###", "# #", "###", "  #", "###"],
];
/// Cells that the name of a fact takes.
const NAME: usize = 8;

/// Draws a stop.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(round) = model.round() else { return };
    let state = &model.board.state;
    let place = state.places.get(&round.place).map_or_else(String::new, |place| place.name.to_string());
    let (at, count) = (model.cursor().index + 1, round.stops.len());
    canvas.rule(0, &format!("{place}  {at} of {count}"), &round.progress(state));
    let stop = model.stop().and_then(|id| Some((id, state.parts.get(&id)?)));
    let Some((id, part)) = stop else {
        let mut strip = canvas.strip();
        strip.add("   Nothing stands here any more.", Role::Quiet);
        canvas.line(1, strip);
        return;
    };
    let high = match () {
        () if down >= HUGE.0 && all >= HUGE.1 => HIGH * 2,
        () if down >= LARGE.0 && all >= LARGE.1 => HIGH,
        () if down >= FRAMED => 3,
        () => 1,
    };
    canvas.within((0, 1, all, high), |canvas| label(model, part, canvas));
    // On a tall screen the number stays near what it is about.
    let last = down.min(TALL).saturating_sub(1).max(1 + high);
    let from = 1 + high + usize::from(down >= FRAMED + 4);
    canvas.within((0, from, all, last.saturating_sub(from)), |canvas| facts(model, round, id, part, canvas));
    canvas.within((0, last, all, 1), |canvas| entry(round, part, canvas));
}

/// What is written on the label, as large as text goes; beside it what it is, in what and where.
fn label(model: &Model, part: &Part, canvas: &mut Canvas<'_>) {
    let (state, all) = (&model.board.state, canvas.width());
    let text = words::part(state.part_label(part), model.board.on);
    let plant = plant(model, part);
    if canvas.height() < 3 {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).add(&text, Role::Heading).add("  ", Role::Text).fill(&plant, all, Role::Text);
        canvas.line(0, strip);
        return;
    }
    let beside = [(plant, Role::Heading), (stands_in(model, part), Role::Text), (exactly(model, part), Role::Quiet)];
    if canvas.height() >= HIGH {
        return large(&text, state.part_label(part).batch.number, &beside, canvas);
    }
    let spaced: Vec<String> = text.chars().map(String::from).collect();
    let spaced = format!("  {}  ", spaced.join(" "));
    let border = canvas.look.glyphs.border;
    let across = border.horizontal_top.repeat(width(&spaced));
    for (y, (said, role)) in beside.iter().enumerate() {
        let mut strip = canvas.strip();
        strip.add("  ", Role::Text);
        match y {
            0 => strip.add(&format!("{}{across}{}", border.top_left, border.top_right), Role::Key),
            1 => strip
                .add(border.vertical_left, Role::Key)
                .add(&spaced, Role::Banner)
                .add(border.vertical_right, Role::Key),
            _ => strip.add(&format!("{}{across}{}", border.bottom_left, border.bottom_right), Role::Key),
        };
        strip.add("  ", Role::Text).fill(said, all, *role);
        canvas.line(y, strip);
    }
}

/// The batch's number in large figures, and beside it the part with what else is known of it.
fn large(label: &str, number: u32, beside: &[(String, Role); 3], canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    let times = canvas.height() / HIGH;
    let figures: Vec<&[&str; HIGH]> =
        number.to_string().bytes().filter_map(|digit| FIGURES.get(usize::from(digit.wrapping_sub(b'0')))).collect();
    for y in 0..HIGH * times {
        let mut strip = canvas.strip();
        for row in figures.iter().filter_map(|figure| figure.get(y / times)) {
            strip.add("  ", Role::Text);
            for point in row.chars() {
                strip.add(&"  ".repeat(times), if point == '#' { Role::Selected } else { Role::Text });
            }
        }
        strip.add("   ", Role::Text);
        match y.checked_sub(1).map(|line| beside.get(line)) {
            None => strip.add(label, Role::Heading),
            Some(Some((said, role))) => strip.fill(said, all, *role),
            Some(None) => &mut strip,
        };
        canvas.line(y, strip);
    }
}

fn stands_in(model: &Model, part: &Part) -> String {
    let state = &model.board.state;
    let Some(held) = state.containers.get(&part.container) else { return String::new() };
    let pots = held.vessel.pots;
    let vessel = if pots > 1 { format!("{pots} {}", held.vessel.name) } else { held.vessel.name.to_string() };
    format!("{vessel}, {}", state.standing_at(part.container))
}

/// Where on the bench, and whether it is out or emptied.
fn exactly(model: &Model, part: &Part) -> String {
    let (state, on) = (&model.board.state, model.board.on);
    if let Some(day) = part.cleared {
        return format!("cleared {}", words::day(day, on));
    }
    let outer = state.containers.get(&state.outermost(part.container));
    let own = state.containers.get(&part.container);
    let out = own.into_iter().chain(outer).find_map(|held| state.places.get(&held.out?));
    if let Some(place) = out {
        return format!("out for the day in {}", place.name);
    }
    match outer.and_then(|held| held.spot) {
        Some(spot) => format!("{} cm along, {} cm from the back", spot.x / 10, spot.y / 10),
        None => String::new(),
    }
}

/// How days are put: on a narrow screen without how long ago they were.
#[derive(Clone, Copy)]
struct When {
    on: Date,
    narrow: bool,
}

impl When {
    fn day(self, day: Date) -> String {
        words::day(day, self.on)
    }

    fn ago(self, day: Date) -> String {
        match self.on.signed_duration_since(day).num_days() {
            ..=0 => "today".to_owned(),
            1 => "yesterday".to_owned(),
            _ if self.narrow => self.day(day),
            days => format!("{} ({days} days ago)", self.day(day)),
        }
    }
}

/// One thing to know at a stop.
struct Told {
    name: &'static str,
    /// A sign before it; empty or a blank for none.
    sign: &'static str,
    text: String,
    role: Role,
}

impl Told {
    const fn plain(name: &'static str, text: String) -> Self {
        Self { name, sign: "", text, role: Role::Text }
    }

    const fn signed(name: &'static str, (sign, role): (&'static str, Role), text: String) -> Self {
        Self { name, sign, text, role }
    }
}

/// A stop in words: what stands where, all that is to be known of it, and what a number typed there says.
pub(in crate::tui) fn in_words(model: &Model, round: &Round, id: PartId, glyphs: &Glyphs) -> Vec<String> {
    let state = &model.board.state;
    let Some(part) = state.parts.get(&id) else { return Vec::new() };
    let label = words::part(state.part_label(part), model.board.on);
    let stands = [plant(model, part), stands_in(model, part), exactly(model, part)];
    let stands: Vec<String> = stands.into_iter().filter(|said| !said.is_empty()).collect();
    let when = When { on: model.board.on, narrow: false };
    let told = told(model, round, id, part, when, glyphs);
    std::iter::once(format!("{label} {}", stands.join(", ")))
        .chain(told.into_iter().map(|one| format!("{}: {}", one.name, one.text)))
        .chain([number_says(part)])
        .collect()
}

fn plant(model: &Model, part: &Part) -> String {
    let state = &model.board.state;
    let lot = state.batches.get(&part.batch).and_then(|batch| state.lots.get(&batch.lot));
    words::plant(lot.map(|lot| &lot.crop), lot.map(|lot| &lot.variety))
}

fn facts(model: &Model, round: &Round, id: PartId, part: &Part, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let when = When { on: model.board.on, narrow: all < LARGE.1 };
    let mut y = 0;
    for Told { name, sign, text, role } in &told(model, round, id, part, when, &canvas.look.glyphs) {
        let across = all.saturating_sub(NAME + 4);
        let text = if sign.trim().is_empty() { text.clone() } else { format!("{sign} {text}") };
        let lines = clipped(wrap(&text, across), 3, across, canvas.look.glyphs.ellipsis);
        for (number, line) in lines.iter().enumerate() {
            let mut strip = canvas.strip();
            strip.add("  ", Role::Text).column(if number == 0 { name } else { "" }, NAME, Align::Left, Role::Quiet);
            strip.add(" ", Role::Text).add(line, *role);
            if y < down {
                canvas.line(y, strip);
            }
            y += 1;
        }
    }
}

/// All there is to know before the next key, what matters most for it first.
fn told(model: &Model, round: &Round, id: PartId, part: &Part, when: When, glyphs: &Glyphs) -> Vec<Told> {
    let mut told: Vec<Told> = vec![Told::plain("counted", counted(part, when))];
    let sowing = model.sowing_of(part);
    if let Some(row) = sowing {
        told.extend(expected(model, row).map(|text| Told::plain("by now", text)));
        let (word, sign, role) = words::verdict(row, glyphs);
        if let Some(outlook) = &row.outlook {
            let action = words::plain_days(&outlook.action, when.on);
            // Some actions begin with the word itself, or with the verb of it.
            let verb = action.split([' ', ':']).next().unwrap_or_default();
            let said = if word.starts_with(verb) { action } else { format!("{word}: {action}") };
            told.push(Told::signed("now", (sign, role), said));
        }
    }
    told.push(Told::plain(if part.is_sown() { "sown" } else { "from" }, began(model, part, when)));
    if let Some(row) = model.board.ready.iter().find(|row| row.part.id == id) {
        let into = row.next.as_ref().and_then(|next| next.container.as_ref());
        let into = into.map_or_else(String::new, |container| format!(" into {container}"));
        let (best, by) = (when.day(row.window.best), when.day(row.window.latest));
        let (sign, role) = words::readiness(row.readiness, glyphs);
        let role = if role == Role::Quiet { Role::Text } else { role };
        let text = format!("{}{into}, best {best}, by {by}", words::step(row.step));
        told.push(Told::signed("next", (sign, role), text));
    }
    // Counting and moving on stand above; what else is due has a line of its own.
    let said = |task| match task {
        Task::PrickOut | Task::PotOn | Task::PlantOut | Task::CatchUp { .. } => true,
        Task::Count | Task::Slow | Task::SowAgain | Task::ToWarmth | Task::ToCool => sowing.is_some(),
        Task::TakeOffHeat | Task::ClearForgotten => false,
        Task::CoolDown(_) | Task::LookOver(_) | Task::OpenUp(_) | Task::Cover(_) | Task::Uncover(_) => false,
        Task::PutOut(_) | Task::MoveOut(_) | Task::OutOfCold(_) => false,
    };
    let due = model.board.due_in_full.iter().filter(|due| due.parts.iter().any(|part| part.id == id));
    told.extend(due.filter(|due| !said(due.what)).map(|due| {
        // A line for several containers is not about this one alone.
        let reason = match due.what {
            Task::ClearForgotten if due.parts.len() > 1 => "by the log nothing stands in it".to_owned(),
            _ => words::reason(due, when.on),
        };
        Told::signed("due", words::urgency(due, glyphs), format!("{}: {reason}", words::task(due.what)))
    }));
    let here = round.logged.iter().filter(|one| one.part == id && !one.undone);
    told.extend(here.map(|one| Told::signed("logged", (glyphs.good, Role::Good), one.said.clone())));
    told.extend(beside(model, id, part).map(|text| Told::plain("beside", text)));
    told.extend(part.stage().map(|(day, _)| Told::plain("growth", grown(noted_on(part, *day), *day, when))));
    told
}

fn counted(part: &Part, when: When) -> String {
    let standing = part.standing();
    match part.counts.last() {
        None if part.is_sown() => "not yet".to_owned(),
        None => format!("not yet; {standing} standing by the log"),
        Some(count) if part.is_sown() && part.left() > 0 => {
            format!("{} up, {}; {} have left, {standing} standing", count.up, when.ago(count.on), part.left())
        }
        Some(count) if part.is_sown() && count.standing == count.up => {
            format!("{} up of {}, {}", count.up, part.sown(), when.ago(count.on))
        }
        Some(count) => format!("{} standing, {}; {standing} by the log now", count.standing, when.ago(count.on)),
    }
}

/// What should have come up by now, in plain words; of a batch in several trays, of all of them.
fn expected(model: &Model, row: &crate::advice::Germination) -> Option<String> {
    let outlook = row.outlook.as_ref()?;
    let now = outlook.expected_by_now()?;
    let state = &model.board.state;
    let sown = row.parts.iter().filter(|part| state.parts.get(&part.id).is_some_and(Part::is_sown));
    let of = if sown.count() > 1 { format!(" in all of {}", row.label.short()) } else { String::new() };
    let last =
        outlook.expected_final.map_or_else(String::new, |likely| format!("; {} in the end", words::between(likely)));
    let now = if now == 0 { "none".to_owned() } else { format!("about {now}") };
    Some(format!("{now} up expected{of}{last}"))
}

fn began(model: &Model, part: &Part, when: When) -> String {
    let state = &model.board.state;
    match part.source {
        Source::Sown { units, .. } => {
            let unit = state.batches.get(&part.batch).map_or(SownUnit::Seed, crate::journal::State::unit);
            let what = match unit {
                SownUnit::Seed if units == 1 => "1 seed".to_owned(),
                SownUnit::Cluster if units == 1 => "1 cluster".to_owned(),
                SownUnit::Seed => format!("{units} seeds"),
                SownUnit::Cluster => format!("{units} clusters"),
                SownUnit::Pinch => format!("a pinch, about {units}"),
            };
            format!("{what}, {}", when.ago(part.filled))
        }
        Source::Received { plants } => format!("outside: {plants} plants, {}", when.ago(part.filled)),
        Source::From { part: from, plants, how } => {
            let label =
                state.parts.get(&from).map(|from| words::part(state.part_label(from), when.on)).unwrap_or_default();
            format!("{label}: {plants} {how}, {}", when.ago(part.filled))
        }
    }
}

/// What else is in the same container.
fn beside(model: &Model, id: PartId, part: &Part) -> Option<String> {
    let state = &model.board.state;
    let others = state.containers.get(&part.container)?.parts.iter().filter(|other| **other != id);
    let others = others.filter_map(|other| state.parts.get(other)).filter(|other| other.is_live());
    let labels: Vec<String> = others.map(|other| words::part(state.part_label(other), model.board.on)).collect();
    (!labels.is_empty()).then(|| format!("{} in the same container", labels.join(", ")))
}

/// What was noted of growth on a day, the last word on each.
fn noted_on(part: &Part, day: Date) -> Growth {
    let of_day = part.stages.iter().filter(|(on, _)| *on == day).map(|(_, growth)| *growth);
    let none = Growth { leaves: None, height: None, leggy: false, roots: false };
    of_day.fold(none, |so_far, growth| Growth {
        leaves: growth.leaves.or(so_far.leaves),
        height: growth.height.or(so_far.height),
        leggy: growth.leggy || so_far.leggy,
        roots: growth.roots || so_far.roots,
    })
}

fn grown(growth: Growth, day: Date, when: When) -> String {
    let mut said: Vec<String> = Vec::new();
    said.extend(growth.leaves.map(|leaves| format!("{leaves} true {}", if leaves == 1 { "leaf" } else { "leaves" })));
    said.extend(growth.height.map(|height| format!("{height} high")));
    said.extend(growth.leggy.then(|| "leggy".to_owned()));
    said.extend(growth.roots.then(|| "roots at the holes".to_owned()));
    format!("{}, {}", said.join(", "), when.ago(day))
}

/// What a number typed here will say.
pub(super) fn number_says(part: &Part) -> String {
    match Tells::of(part) {
        Tells::Up => "A number is what is up: none has left, so it is what stands.".to_owned(),
        Tells::Standing if part.is_sown() => {
            format!("A number is what stands now: {} of {} have left.", part.left(), part.ever())
        }
        Tells::Standing => format!("A number is what stands now, of {} that came.", part.arrived()),
    }
}

/// Below so many cells across a line says the least.
const NARROW: usize = 60;

/// Where the number or the leaves are typed.
fn entry(round: &Round, part: &Part, canvas: &mut Canvas<'_>) {
    let (all, glyphs) = (canvas.width(), canvas.look.glyphs);
    let (name, typed) = match &round.entry {
        Entry::Leaves => ("leaves", ""),
        Entry::Nothing => (Tells::of(part).name(), ""),
        Entry::Count(typed) => (Tells::of(part).name(), typed.as_str()),
    };
    let behind = match &round.entry {
        Entry::Leaves => "one digit logs it".to_owned(),
        Entry::Nothing if Tells::of(part) == Tells::Up => format!("of {}: digits, Enter", part.sown()),
        Entry::Nothing if all < NARROW => format!("of {}: digits, Enter", part.standing()),
        Entry::Nothing => format!("{} by the log: digits, Enter", part.standing()),
        Entry::Count(_) => "Enter logs, Esc clears".to_owned(),
    };
    let mut strip = canvas.strip();
    strip.add(glyphs.pointer, Role::Text).add(" ", Role::Text).column(name, NAME, Align::Left, Role::Key);
    strip.add(" ", Role::Text);
    let at = strip.used + width(typed);
    strip.add(typed, Role::Field).add(&" ".repeat(5_usize.saturating_sub(width(typed))), Role::Field);
    strip.add("  ", Role::Text).fill(&behind, all, Role::Quiet);
    canvas.line(0, strip);
    canvas.point(at, 0);
}

/// Draws what the round has logged.
pub(super) fn draw_logged(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let Some(round) = model.round() else { return };
    let state = &model.board.state;
    let place = state.places.get(&round.place).map_or_else(String::new, |place| place.name.to_string());
    let (done, stops) = (round.done(state), round.stops.len());
    let left = if done == stops { "all seen".to_owned() } else { format!("{} still to see", stops - done) };
    canvas.rule(0, &format!("{place}: {} logged", round.in_force().len()), &left);
    let cursor = model.cursor();
    let fit = down.saturating_sub(1);
    let first = first_shown(round.logged.len(), fit, cursor.index);
    for (y, (index, one)) in round.logged.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Logged, index };
        let mut strip = canvas.strip();
        strip.add(if here { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.add(if one.undone { "x " } else { "  " }, Role::Text);
        let said = if one.undone { format!("(taken back) {}", one.said) } else { one.said.clone() };
        strip.fill(&said, all, if one.undone { Role::Quiet } else { Role::Text });
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_is_three_by_five() {
        assert!(FIGURES.iter().flatten().all(|row| row.len() == 3));
        for (one, figure) in FIGURES.iter().enumerate() {
            assert!(FIGURES[..one].iter().all(|other| other != figure), "{one}");
        }
    }
}
