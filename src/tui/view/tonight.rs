//! Tonight: the strip over the morning, and the page before dusk.

use crate::advice::{ColdVerdict, DuskMove, LEAF_NOTE, NightWord, NightsAhead, PlaceTonight, odds};
use crate::quantity::PlaceId;
use crate::tui::actions::Id;
use crate::tui::glyphs::Glyphs;
use crate::tui::model::{Cursor, Model};
use crate::tui::rows::Section;
use crate::tui::text::{Align, width, wrap};
use crate::tui::theme::Role;
use crate::tui::tonight::{Evening, Heading};

use super::paint::{Canvas, Strip, first_shown};
use super::words;

/// Below so many cells across a row says the least.
const NARROW: usize = 64;
/// From so many cells across the nights ahead stand beside the list.
const BESIDE: usize = 150;
/// From so many cells across, and on a page so long, they stand below it.
const BELOW: (usize, usize) = (76, 17);
/// What the page says when nothing is to be done.
pub(in crate::tui) const NOTHING_OUT: &str = "Nothing that is up stands out of the house, and nothing is ready to go.";
/// Cells a night takes.
const NIGHT: usize = 5;

/// The coming night in one or two lines: what is forecast and has to be done, and each place with its tenderest.
pub(super) fn strip(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let mut first = canvas.strip();
    first.add(" ", Role::Text);
    let narrow = all < NARROW;
    let (night, role) = forecast(model, narrow);
    first.add(&night, role);
    let mut before = format!(" {} ", canvas.look.glyphs.separator);
    for (what, role) in to_do(model, narrow) {
        first.add(&before, Role::Quiet).add(&what, role);
        before = ", ".to_owned();
    }
    if !narrow {
        first.add("  n", Role::Key).add(" shows it", Role::Quiet);
    }
    canvas.line(0, first);
    if down > 1 {
        let mut second = canvas.strip();
        second.add(" ", Role::Text);
        let places = &model.board.cold.places;
        let gap = format!(" {} ", canvas.look.glyphs.separator);
        for (index, row) in places.iter().enumerate() {
            let (sign, role) = verdict(row.verdict, &canvas.look.glyphs);
            // The safe ones come last, and what is safe there is said once for all.
            let lead = match row.verdict {
                ColdVerdict::Safe if index > 0 && places[index - 1].verdict == ColdVerdict::Safe => String::new(),
                ColdVerdict::Safe => format!("{sign} leaves safe: "),
                _ => format!("{sign} "),
            };
            let (short, long) = place_in_short(row);
            let [short, long] = [short, long].map(|said| format!("{lead}{said}"));
            let before = if index == 0 { "" } else { &gap };
            let more = format!("{before}+{}", places.len() - index);
            let kept = if index + 1 < places.len() { width(&more) } else { 0 };
            // Where its figures do not fit, what is to be done there may.
            let fits = |said: &String| second.used + width(before) + width(said) + kept <= all;
            let Some(said) = [long, short].into_iter().find(fits) else {
                second.add(&more, Role::Quiet);
                break;
            };
            second.add(before, Role::Quiet).add(&said, if role == Role::Good { Role::Text } else { role });
        }
        canvas.line(1, second);
    }
}

fn forecast(model: &Model, narrow: bool) -> (String, Role) {
    let night = model.board.on.succ_opt().and_then(|morning| model.board.state.forecasts.get(&morning));
    match night {
        Some(night) if narrow => (format!("Tonight {} C", words::degrees(night.low)), Role::Heading),
        Some(night) => {
            // One of today is as good as it gets; of an older one the grower is told how old.
            let old = model.board.forecast.as_deref().filter(|_| night.noted < model.board.on);
            let by = old.unwrap_or("forecast");
            (format!("Tonight {} C by the {by}", words::degrees(night.low)), Role::Heading)
        }
        None => ("Tonight: no forecast".to_owned(), Role::Quiet),
    }
}

/// The coming night and what has to be done before it, in a line.
pub(in crate::tui) fn in_short(model: &Model) -> String {
    let doing = to_do(model, false).into_iter().map(|(what, _)| what);
    std::iter::once(forecast(model, false).0).chain(doing).collect::<Vec<_>>().join(", ")
}

/// What has to be done before dusk, in a line; `None` when nothing has.
pub(super) fn before_dusk(model: &Model) -> Option<String> {
    let work: Vec<String> = to_do(model, false).into_iter().map(|(what, _)| what).collect();
    (!work.is_empty()).then(|| work.join(", "))
}

/// What has to be done before dusk: `bring in 2`, `fleece veg`.
fn to_do(model: &Model, narrow: bool) -> Vec<(String, Role)> {
    let cold = &model.board.cold;
    let looks = [(DuskMove::BringIn, Role::Alarm), (DuskMove::Cover, Role::Watch), (DuskMove::PutOut, Role::Text)];
    let count = |what| cold.dusk.iter().filter(|row| row.what == what).count();
    let (covered, bare): (Vec<_>, Vec<_>) = cold.planted.iter().partition(|bed| bed.is_covered);
    let still = match covered.as_slice() {
        [] => None,
        [bed] if !narrow => {
            let kills = bed.risk.death.filter(|(_, chance)| *chance >= 0.1);
            let still = kills.map_or_else(|| "too cold".to_owned(), |(_, chance)| format!("kills, {}", odds(chance)));
            let covered = if bed.is_aired { "covered again, still" } else { "is covered, and still" };
            Some((format!("{} {covered} {still}", bed.bed), Role::Quiet))
        }
        [bed] => Some((format!("{} still cold", bed.bed), Role::Quiet)),
        beds => Some((format!("{} beds still cold", beds.len()), Role::Quiet)),
    };
    let fleece = match bare.as_slice() {
        [] => None,
        [bed] => Some((format!("fleece {}", bed.bed), Role::Watch)),
        beds if narrow => Some((format!("fleece {}", beds.len()), Role::Watch)),
        beds => Some((format!("fleece {} beds", beds.len()), Role::Watch)),
    };
    let moves = looks.into_iter().map(|(what, role)| (what, count(what), role)).filter(|(_, number, _)| *number > 0);
    let called = |what| if narrow && what == DuskMove::BringIn { "in" } else { word(what) };
    moves.map(|(what, number, role)| (format!("{} {number}", called(what)), role)).chain(fleece).chain(still).collect()
}

/// `frame in`, and `frame in, leaf -0.3, pea to -0.8`: place, word; how cold its leaves get, which is not what a screen says, and
/// the tenderest with its floor. Of a safe one `frame`, and `frame 2.4, pea to -0.8`.
fn place_in_short(row: &PlaceTonight) -> (String, String) {
    let word = match row.verdict {
        ColdVerdict::BringIn => " in".to_owned(),
        ColdVerdict::Safe => String::new(),
        other => format!(" {}", row.in_for_the_night(true).unwrap_or_else(|| verdict_word(other).to_owned())),
    };
    let before = if row.verdict == ColdVerdict::Safe { " " } else { ", leaf " };
    let leaf = row.leaf_low.map_or_else(String::new, |low| format!("{before}{:.1}", low.0));
    let tenderest =
        row.tenderest.as_ref().map_or_else(String::new, |(_, crop, floor)| format!(", {crop} to {:.1}", floor.0));
    let short = format!("{}{word}", row.name);
    (short.clone(), format!("{short}{leaf}{tenderest}"))
}

/// What tonight holds for a place, in words.
pub(in crate::tui) fn verdict_said(row: &PlaceTonight) -> String {
    row.in_for_the_night(false).unwrap_or_else(|| verdict_word(row.verdict).to_owned())
}

/// Its sign and words, for the page of the place; `None` where nothing is to be done or feared.
pub(super) fn told(model: &Model, place: PlaceId, glyphs: &Glyphs) -> Option<(String, Role)> {
    let row = model.board.cold.places.iter().find(|row| row.place == place)?;
    let (sign, role) = verdict(row.verdict, glyphs);
    (row.verdict != ColdVerdict::Safe).then(|| (format!("{sign} {}", verdict_said(row)), role))
}

const fn verdict_word(verdict: ColdVerdict) -> &'static str {
    match verdict {
        ColdVerdict::BringIn => "bring in",
        ColdVerdict::CoverIt => "cover",
        ColdVerdict::AtRisk => "at risk",
        ColdVerdict::InForTheNight => "in",
        ColdVerdict::Unknown => "not known",
        ColdVerdict::Likely => "may stay",
        ColdVerdict::Safe => "safe",
    }
}

const fn verdict(verdict: ColdVerdict, glyphs: &Glyphs) -> (&'static str, Role) {
    match verdict {
        ColdVerdict::BringIn => (glyphs.alarm, Role::Alarm),
        ColdVerdict::CoverIt => (glyphs.watch, Role::Watch),
        ColdVerdict::AtRisk | ColdVerdict::InForTheNight => (glyphs.watch, Role::Watch),
        ColdVerdict::Unknown => ("?", Role::Watch),
        ColdVerdict::Likely => ("~", Role::Text),
        ColdVerdict::Safe => (glyphs.good, Role::Good),
    }
}

const fn word(what: DuskMove) -> &'static str {
    match what {
        DuskMove::BringIn => "bring in",
        DuskMove::Cover => "cover",
        DuskMove::PutOut => "put out",
        DuskMove::Unknown => "not known",
        DuskMove::Leave => "leave",
    }
}

/// What is done to those of a line, in a word or two.
pub(in crate::tui) const fn heading_word(heading: Heading) -> &'static str {
    match heading {
        Heading::Uncover(_) => "uncover",
        Heading::Fleece(_) => "fleece",
        Heading::StillCold(_) => "covered",
        Heading::Dusk(what) => word(what),
        Heading::OutOfCold => "warmer",
        Heading::LeaveHouse => "to frame",
        Heading::PlantOut => "plant",
        Heading::Tomorrow => "tomorrow",
    }
}

fn heading(heading: Heading, glyphs: &Glyphs) -> (&'static str, &'static str, Role) {
    let (sign, role) = match heading {
        Heading::Dusk(DuskMove::BringIn) => (glyphs.alarm, Role::Alarm),
        Heading::Dusk(DuskMove::Cover) | Heading::Fleece(_) => (glyphs.watch, Role::Watch),
        Heading::Dusk(DuskMove::PutOut) | Heading::Uncover(_) | Heading::OutOfCold => (glyphs.rising, Role::Text),
        Heading::StillCold(_) => (glyphs.watch, Role::Quiet),
        Heading::Dusk(DuskMove::Unknown) => ("?", Role::Watch),
        Heading::Dusk(DuskMove::Leave) => (glyphs.good, Role::Quiet),
        Heading::LeaveHouse | Heading::PlantOut => (glyphs.leads_to, Role::Text),
        Heading::Tomorrow => (glyphs.leads_to, Role::Quiet),
    };
    (sign, heading_word(heading), role)
}

/// Draws the page.
pub(super) fn draw(model: &Model, canvas: &mut Canvas<'_>) {
    let (all, down) = (canvas.width(), canvas.height());
    let places = model.board.cold.places.len().min((down / 5).max(1));
    canvas.within((0, 0, all, places), |canvas| places_tonight(model, canvas));
    let beside = all >= BESIDE;
    let below = all >= BELOW.0 && down >= BELOW.1 && !model.board.cold.nights.is_empty();
    let said = last_lines(model, all, down / 4, (places, beside || below));
    let mid = down.saturating_sub(places + said.len());
    if beside {
        let right = 7 + 16 + 12 + 10 * NIGHT + 1;
        canvas.within((0, places, all - right - 2, mid), |canvas| list(model, canvas));
        canvas.within((all - right, places, right, mid), |canvas| nights(model, canvas));
    } else if below {
        let below = (mid / 3).min(model.board.cold.nights.len() + 1);
        canvas.within((0, places, all, mid - below), |canvas| list(model, canvas));
        canvas.within((0, places + mid - below, all, below), |canvas| nights(model, canvas));
    } else {
        canvas.within((0, places, all, mid), |canvas| list(model, canvas));
    }
    for (y, line) in said.iter().enumerate() {
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).fill(line, all, Role::Quiet);
        canvas.line(down - said.len() + y, strip);
    }
}

/// As many notes as go whole into so many lines, and in the last line what there is besides and the key that reads it.
fn last_lines(model: &Model, all: usize, most: usize, (places, nights): (usize, bool)) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let mut left = 0_usize;
    let cold = &model.board.cold;
    // The day's heat is said in any case: where it does not go whole, in short.
    let hot = cold.too_hot.iter().map(|row| Some(row.in_short(model.board.on))).chain(std::iter::repeat(None));
    for (note, short) in notes(model).into_iter().zip(hot) {
        let lines = |text: &str| wrap(text, all.saturating_sub(2));
        let (whole, short) = (lines(&note), short.map(|short| lines(&short)));
        match short {
            _ if left == 0 && said.len() + whole.len() < most => said.extend(whole),
            Some(short) if said.len() + short.len() < most => {
                said.extend(short);
                left += 1;
            }
            _ => left += 1,
        }
    }
    let many = |count: usize, what: &str| match count {
        0 => None,
        1 => Some(format!("1 {what}")),
        count => Some(format!("{count} {what}s")),
    };
    let hidden = cold.places.len().saturating_sub(places);
    let ahead = (!nights && !cold.nights.is_empty()).then(|| "nights ahead".to_owned());
    let besides: Vec<String> = [many(hidden, "place"), ahead, many(left, "note")].into_iter().flatten().collect();
    if !besides.is_empty() && most > 0 {
        said.push(format!("{} reads all: {} more", model.keys.letter(Id::Tonight), besides.join(", ")));
    }
    said
}

fn places_tonight(model: &Model, canvas: &mut Canvas<'_>) {
    let all = canvas.width();
    // The worst come first: where not all of them go, those that ask for something are in sight.
    for (y, row) in model.board.cold.places.iter().take(canvas.height()).enumerate() {
        let (sign, role) = verdict(row.verdict, &canvas.look.glyphs);
        let mut strip = canvas.strip();
        strip.add(" ", Role::Text).add(sign, role).add(" ", Role::Text);
        let narrow = all < NARROW;
        strip.column(row.name.as_str(), if narrow { 10 } else { 11 }, Align::Left, Role::Text).add(" ", Role::Text);
        match row.in_for_the_night(narrow) {
            Some(said) => strip.add(&said, role).add("; ", Role::Text),
            None => strip.column(verdict_word(row.verdict), 9, Align::Left, role).add(" ", Role::Text),
        };
        let room = match all {
            _ if narrow => Room::Little,
            ..100 => Room::Some,
            _ => Room::Ample,
        };
        strip.fill(&low_and_tenderest(model, row, room), all, Role::Text);
        canvas.line(y, strip);
    }
}

/// How many words there is room for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(in crate::tui) enum Room {
    /// The least.
    Little,
    /// Some.
    Some,
    /// As many as it takes.
    Ample,
}

/// How cold it gets in a place, and how much of that its tenderest can stand.
pub(in crate::tui) fn low_and_tenderest(model: &Model, row: &PlaceTonight, room: Room) -> String {
    let low = match (row.low, row.low_cold, room) {
        (Some(low), Some(_), Room::Little) => format!("{:.1}", low.0),
        (Some(low), Some(cold), Room::Some) => format!("low {:.1}, 1 in 10 under {:.1}", low.0, cold.0),
        (Some(low), Some(cold), Room::Ample) => format!("low {low}, 1 night in 10 under {cold}"),
        _ => "low not known".to_owned(),
    };
    let tenderest = row.tenderest.as_ref().map_or_else(String::new, |(label, crop, floor)| {
        let number = words::number(*label, model.board.on);
        match room {
            Room::Little => format!(", floor {:.1}", floor.0),
            Room::Some => format!("; {number} {crop} to {:.1}", floor.0),
            Room::Ample => format!("; tenderest {number} {crop} to {floor}"),
        }
    });
    format!("{low}{tenderest}")
}

fn list(model: &Model, canvas: &mut Canvas<'_>) {
    let rows = model.evening();
    let (all, fit) = (canvas.width(), canvas.height().saturating_sub(1));
    let cursor = model.cursor();
    let first = first_shown(rows.len(), fit, cursor.index);
    let shown =
        if rows.len() > fit { format!("{}-{} of ", first + 1, (first + fit).min(rows.len())) } else { String::new() };
    let columns =
        if all < NARROW { "odds".to_owned() } else { format!("{:<14} {:>6}{:>7}", "odds", "leaves", "floor") };
    let end = if all < NARROW { all } else { 21 + plant_width(all) + 29 };
    canvas.rule_over(0, &format!("Before dusk  {shown}{}", rows.len()), &columns, end);
    if rows.is_empty() {
        let mut strip = canvas.strip();
        let nothing = nothing_to_do(model);
        strip.add("   ", Role::Quiet).add(&nothing, Role::Quiet);
        canvas.line(1, strip);
    }
    for (y, (index, row)) in rows.iter().enumerate().skip(first).take(fit).enumerate() {
        let here = cursor == Cursor { section: Section::Dusk, index };
        let strip = line(model, row, here, canvas);
        canvas.line(y + 1, strip);
        if here {
            canvas.shade(y + 1, Role::Selected);
            canvas.point(0, y + 1);
        }
    }
}

/// What the page says when nothing is to be done.
pub(in crate::tui) fn nothing_to_do(model: &Model) -> String {
    let none_up = model.board.cold.nothing_up().filter(|_| !model.board.cold.seed_only.is_empty());
    none_up.map_or_else(|| NOTHING_OUT.to_owned(), |words| format!("{}; {words}", forecast(model, false).0))
}

fn line(model: &Model, row: &Evening<'_>, here: bool, canvas: &Canvas<'_>) -> Strip {
    let (all, on, glyphs) = (canvas.width(), model.board.on, &canvas.look.glyphs);
    let (sign, word, role) = heading(row.heading, glyphs);
    let marked = !row.parts.is_empty() && row.parts.iter().all(|part| model.marked.contains(&part.id));
    let mut strip = canvas.strip();
    strip.add(if here { glyphs.pointer } else { " " }, Role::Text);
    strip.add(if marked { glyphs.good } else { " " }, Role::Key);
    strip.add(sign, role).add(" ", Role::Text);
    strip.column(word, 9, Align::Left, role);
    let labels: Vec<String> = row.parts.iter().map(|part| words::part(part.label, on)).collect();
    strip.column(&labels.join(" "), if all < NARROW { 5 } else { 7 }, Align::Right, Role::Key).add(" ", Role::Text);
    let plant = row.place.map_or_else(|| words::plant(row.crop, row.variety), ToString::to_string);
    let odds = row.risk.map_or_else(String::new, |risk| odds(risk.chance).trim_start_matches("about ").to_owned());
    if all < NARROW {
        let rest = all.saturating_sub(strip.used + 9);
        strip.column(&plant, rest, Align::Left, Role::Text).add(" ", Role::Text);
        strip.fill(odds.strip_prefix("nearly ").unwrap_or(&odds), all, Role::Text);
        return strip;
    }
    strip.column(&plant, plant_width(all), Align::Left, Role::Text).add(" ", Role::Text);
    match row.risk {
        Some(risk) => {
            strip.column(&odds, 14, Align::Left, Role::Text).add(" ", Role::Text);
            strip.column(&format!("{:.1}", risk.leaf_low.0), 6, Align::Right, Role::Text);
            strip.column(&format!("{:.1}", risk.floor.0), 7, Align::Right, Role::Text).add(" ", Role::Text);
            strip.fill(&aim(row), all, Role::Quiet);
        }
        None => {
            strip.fill(&words::plain_days(row.reason, on), all, Role::Quiet);
        }
    }
    strip
}

/// Cells for crop and variety on a line so wide.
const fn plant_width(all: usize) -> usize {
    if all < 110 { 17 } else { 28 }
}

/// Where the words of a line lead: the last of them that is a spot.
fn aim(row: &Evening<'_>) -> String {
    let spot = row.doing.filter(|doing| doing.starts_with("move ")).and_then(|doing| doing.split(' ').next_back());
    spot.map_or_else(String::new, |spot| spot.to_owned())
}

/// The days of the month on which the ten nights end.
pub(in crate::tui) fn dates_ahead(model: &Model) -> impl Iterator<Item = String> {
    let days = (1..=10_u64).filter_map(|ahead| model.board.on.checked_add_days(chrono::Days::new(ahead)));
    days.map(|day| day.format("%-d").to_string())
}

/// Ten nights across, batches down; the line under the cursor is kept in sight.
fn nights(model: &Model, canvas: &mut Canvas<'_>) {
    let rows = &model.board.cold.nights;
    let (all, fit) = (canvas.width(), canvas.height().saturating_sub(1));
    let beside = all > 30 + 10 * NIGHT;
    let name = all.saturating_sub(2 + 6 + 10 * NIGHT + 1 + if beside { 12 } else { 0 });
    let dates: String = dates_ahead(model).map(|day| format!("{day:>NIGHT$}")).collect();
    canvas.rule_over(0, "Nights ahead: lows in C", &dates, all.saturating_sub(1));
    let here = model.evening().get(model.cursor().index).and_then(|row| row.parts.first().map(|part| part.label.batch));
    let at = rows.iter().position(|row| Some(row.label) == here).unwrap_or(0);
    let first = first_shown(rows.len(), fit, at);
    for (y, row) in rows.iter().skip(first).take(fit).enumerate() {
        let mut strip = canvas.strip();
        let pointed = Some(row.label) == here;
        strip.add(if pointed { canvas.look.glyphs.pointer } else { " " }, Role::Text);
        strip.column(&words::of_night(row, model.board.on), 6, Align::Right, Role::Key).add(" ", Role::Text);
        strip.column(row.crop.as_str(), name, Align::Left, Role::Text);
        if beside {
            strip.column(row.place.as_str(), 12, Align::Left, Role::Quiet);
        }
        each_night(row, &mut strip, &canvas.look.glyphs);
        canvas.line(y + 1, strip);
    }
}

/// A night that is too cold has the alarm behind its low, one that perhaps is a question mark.
fn each_night(row: &NightsAhead, strip: &mut Strip, glyphs: &Glyphs) {
    for night in &row.nights {
        match night {
            Some(night) if night.word != NightWord::Fine => {
                let (sign, role) =
                    if night.word == NightWord::TooCold { (glyphs.alarm, Role::Alarm) } else { ("?", Role::Watch) };
                let low = format!("{}{sign}", words::degrees(night.low));
                strip.add(&" ".repeat(NIGHT.saturating_sub(width(&low))), Role::Text).add(&low, role);
            }
            Some(night) => {
                strip.column(&format!("{} ", words::degrees(night.low)), NIGHT, Align::Right, Role::Text);
            }
            None => {
                strip.column(&format!("{} ", glyphs.missing), NIGHT, Align::Right, Role::Quiet);
            }
        }
    }
}

/// Heat by day and what else is to be known, each once and on a line of its own.
pub(in crate::tui) fn notes(model: &Model) -> Vec<String> {
    let (cold, on) = (&model.board.cold, model.board.on);
    let hot = cold.too_hot.iter().map(|row| row.reason.clone());
    let air = cold.airing.iter().map(|row| format!("{} {}: {}", words::day(row.day, on), row.name, row.reason));
    let rest = cold.notices.iter().cloned().chain([LEAF_NOTE.to_owned()]);
    hot.chain(air).chain(rest).map(|line| words::plain_days(&line, on)).collect()
}
