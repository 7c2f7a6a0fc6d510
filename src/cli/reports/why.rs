//! Why: how a figure or an opinion was come by, in words.

use serde_json::{Value, json};

use crate::advice::{self, BatchView, Input, PartAt, Why};
use crate::desk::{self, Desk, DeskError, told_apart};
use crate::grammar::{BatchRef, ContainerWords, GrammarError, GrammarErrorKind, PartRef, ToldBy};
use crate::quantity::{CropName, Date, Name};
use crate::trade::{CropKey, NotFound, Trade};

use super::space::fitting;
use super::{Answered, compare};
use crate::cli::rows;
use crate::cli::table::LINE;
use crate::tui::text::wrap;

const FIRST: &str = "  ";
const LATER: &str = "    ";

/// What can be asked about.
enum Asked {
    Batch(BatchRef),
    Germination(Option<BatchRef>),
    SowAgain,
    Due(Option<BatchRef>),
    Ready(Option<PartRef>),
    Benches,
    InHand(Option<String>),
    Fits(ContainerWords),
    Sharing(BatchRef, BatchRef),
    SharingBefore(String, BatchRef),
    Compared(String),
    Crop(CropKey),
    Cold(Option<PartRef>),
    Place(String),
}

/// An opinion and how it was come by.
struct Told {
    about: String,
    why: Why,
}

fn begins_with_a_digit(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

/// Answers `why` about a batch, a part or a report.
pub(super) fn why(desk: &Desk, words: &[Name], on: Date) -> Result<Answered, DeskError> {
    let words: Vec<&str> = words.iter().flat_map(|word| word.as_str().split_whitespace()).collect();
    let told = match asked(&words, desk.trade())? {
        Asked::Batch(batch) => of_batch(desk, batch, on)?,
        Asked::SowAgain => {
            let state = desk.state(on)?;
            let rows = advice::germination(&state, &desk.outlooks(&state, on)?, on).into_iter();
            let again = rows.filter(|row| row.outlook.as_ref().is_some_and(|outlook| outlook.again.is_some()));
            again.map(|row| germinated(&row)).collect()
        }
        Asked::Germination(None) => {
            let state = desk.state(on)?;
            let rows = advice::germination(&state, &desk.outlooks(&state, on)?, on);
            rows.into_iter().map(|row| germinated(&row)).collect()
        }
        Asked::Germination(Some(batch)) => {
            let view = desk.batch(batch, on)?;
            view.germination.iter().map(germinated).collect()
        }
        Asked::Due(batch) => due(desk, batch, on)?,
        Asked::Ready(part) => ready(desk, part, on)?,
        Asked::Benches => {
            vec![Told {
                about: "free bench space".to_owned(),
                why: advice::space(&desk.state(on)?, desk.trade(), on).why,
            }]
        }
        Asked::InHand(None) => {
            vec![Told { about: "trays and pots in hand".to_owned(), why: desk.in_hand(on)?.why }]
        }
        Asked::InHand(Some(kind)) => {
            let name = desk.trade().find_container(&kind)?.key().to_string();
            let rows = desk.in_hand(on)?.rows.into_iter().filter(|row| row.name.as_str() == name);
            rows.map(|row| Told { about: format!("{name} in hand"), why: row.why }).collect()
        }
        Asked::Fits(container) => {
            let (called, fits) = desk.fits(&container, on)?;
            vec![Told { about: fitting(&called, &fits), why: fits.why }]
        }
        Asked::Sharing(one, other) => {
            let pair = desk.sharing(one, other, on)?;
            vec![Told { about: told_apart(&pair), why: pair.why }]
        }
        Asked::SharingBefore(crop, other) => {
            let pair = desk.sharing_before(&crop, other, on)?;
            vec![Told { about: told_apart(&pair), why: pair.why }]
        }
        Asked::Cold(part) => cold(desk, part, on)?,
        Asked::Place(name) => {
            let name = Name::of_place(&name).map_err(refused)?;
            let views = desk.climate(Some(&name), on)?;
            views
                .into_iter()
                .map(|view| Told { about: format!("{}, {}", view.name, view.kind), why: view.why })
                .collect()
        }
        Asked::Crop(key) => {
            let told = |crop| Told { about: format!("{key}: what the tables say"), why: advice::crop_figures(crop) };
            desk.trade().crop(&key).map(told).into_iter().collect()
        }
        Asked::Compared(crop) => {
            let (crop, rows) = desk.compared(&crop, None, on)?;
            rows.into_iter().map(|(by, row)| compared(&crop, by, row)).collect()
        }
    };
    let json: Vec<Value> = told.iter().map(|one| json!({ "about": one.about, "why": rows::why(&one.why) })).collect();
    let mut lines: Vec<String> = Vec::new();
    for one in &told {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        lines.extend(in_words(one));
    }
    if lines.is_empty() {
        lines.push("there is nothing to explain: no figure was given".to_owned());
    }
    Ok(Answered::new("why", json, lines))
}

fn asked(words: &[&str], trade: &Trade) -> Result<Asked, DeskError> {
    let lower: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let lower: Vec<&str> = lower.iter().map(String::as_str).collect();
    let read = of_part;
    match lower.as_slice() {
        ["sow", "again"] => Ok(Asked::SowAgain),
        // Its number follows from how the sowing stands: that is one answer.
        ["sow", "again", batch] => Ok(Asked::Germination(Some(read(batch)?))),
        ["germination" | "rate" | "verdict"] => Ok(Asked::Germination(None)),
        ["germination" | "rate" | "verdict", batch] => Ok(Asked::Germination(Some(read(batch)?))),
        ["due"] => Ok(Asked::Due(None)),
        ["due", batch] => Ok(Asked::Due(Some(read(batch)?))),
        ["ready"] => Ok(Asked::Ready(None)),
        ["ready", part] => Ok(Asked::Ready(Some(part.parse().map_err(refused)?))),
        ["benches" | "space" | "free"] => Ok(Asked::Benches),
        ["in-hand" | "own" | "wash"] => Ok(Asked::InHand(None)),
        ["in-hand" | "own" | "wash", kind @ ..] => Ok(Asked::InHand(Some(kind.join(" ")))),
        ["fits", first, rest @ ..] => {
            let container = std::iter::once(*first).chain(rest.iter().copied()).collect::<Vec<_>>().join(" ");
            Ok(Asked::Fits(container.parse().map_err(refused)?))
        }
        ["share" | "sharing", crop @ .., other] if crop.first().is_some_and(|word| !begins_with_a_digit(word)) => {
            Ok(Asked::SharingBefore(crop.join(" "), of_part(other)?))
        }
        ["share" | "sharing", one, other] => Ok(Asked::Sharing(of_part(one)?, of_part(other)?)),
        ["compare", first, rest @ ..] => {
            let crop = std::iter::once(*first).chain(rest.iter().copied()).collect::<Vec<_>>().join(" ");
            Ok(Asked::Compared(crop))
        }
        ["cold" | "tonight"] => Ok(Asked::Cold(None)),
        ["cold" | "tonight", part] => Ok(Asked::Cold(Some(part.parse().map_err(refused)?))),
        ["place" | "climate", first, rest @ ..] => {
            let name = std::iter::once(*first).chain(rest.iter().copied()).collect::<Vec<_>>().join(" ");
            Ok(Asked::Place(name))
        }
        ["batch", batch] => Ok(Asked::Batch(read(batch)?)),
        [one] if one.starts_with(|c: char| c.is_ascii_digit()) => {
            // A part's own answer is when it is ready; a batch's is all there is.
            one.parse::<BatchRef>().map(Asked::Batch).or_else(|_| Ok(Asked::Ready(Some(one.parse().map_err(refused)?))))
        }
        _ => match trade.find_crop(&words.join(" ")) {
            Ok(crop) => Ok(Asked::Crop(crop.key().clone())),
            Err(several @ NotFound::Ambiguous { .. }) => Err(several.into()),
            Err(NotFound::Unknown { .. }) => {
                Err(refused(format!("'{}' is nothing that was reckoned", words.join(" "))))
            }
        },
    }
}

/// The batch of a part, or the batch itself.
fn of_part(text: &str) -> Result<BatchRef, DeskError> {
    text.parse::<PartRef>().map(|part| part.batch).map_err(refused)
}

fn refused(why: impl ToString) -> DeskError {
    DeskError::Words(GrammarError {
        kind: GrammarErrorKind::Refused,
        message: why.to_string(),
        hint: "ask `why 14`, `why germination 14`, `why sow again 14`, `why due`, `why ready 14a`, `why benches`, `why fits seed-tray`, `why share 14 15`, `why compare tomato`, `why cold 14`, `why place frame` or `why tomato`"
            .to_owned(),
    })
}

fn germinated(row: &advice::Germination) -> Told {
    let verdict = row.verdict();
    let about = match row.rate {
        Some(rate) => format!("{} {}: {} of {} up, {}, {verdict}", row.label, row.crop, row.up, row.sown, rate.rate),
        None if !row.is_counted() => {
            format!("{} {}: {} sown and not counted yet, {verdict}", row.label, row.crop, row.sown)
        }
        None => {
            format!("{} {}: {} up of a pinch of {} or so, {verdict}", row.label, row.crop, row.seedlings(), row.sown)
        }
    };
    Told { about, why: row.why.clone() }
}

fn compared(crop: &CropName, by: ToldBy, row: advice::Compared) -> Told {
    let (first, second) = (compare::side(&row.first), compare::side(&row.second));
    Told { about: format!("{crop} by {}, {first} against {second}: {}", compare::way(by), row.words), why: row.why }
}

fn moved(row: &advice::Ready) -> Told {
    let advice::Window { earliest, best, latest } = row.window;
    let about = format!(
        "{:#} {}: {} from {earliest}, best {best}, not after {latest}",
        row.part.label,
        row.crop,
        rows::step(row.step)
    );
    Told { about, why: row.why.clone() }
}

fn to_do(row: &advice::Due) -> Told {
    let label = row.batch.map(|(_, label)| format!("{label}: ")).unwrap_or_default();
    Told { about: format!("{label}{}, {}", rows::task(row.what), row.reason), why: row.why.clone() }
}

fn of_batch(desk: &Desk, batch: BatchRef, on: Date) -> Result<Vec<Told>, DeskError> {
    let view = desk.batch(batch, on)?;
    let mut told: Vec<Told> = view.germination.iter().map(germinated).collect();
    told.extend(view.parts.iter().filter_map(|part| part.ready.as_ref()).map(moved));
    // The moves that are due were told with their windows.
    let others = view.due.iter().filter(|row| !told.iter().any(|one| one.why == row.why)).map(to_do);
    let others: Vec<Told> = others.collect();
    told.extend(others);
    Ok(told)
}

fn due(desk: &Desk, batch: Option<BatchRef>, on: Date) -> Result<Vec<Told>, DeskError> {
    Ok(match batch {
        Some(batch) => desk.batch(batch, on)?.due.iter().map(to_do).collect(),
        None => {
            let state = desk.state(on)?;
            advice::due(&state, desk.trade(), &desk.outlooks(&state, on)?, desk::moment(on)).iter().map(to_do).collect()
        }
    })
}

/// What the evening says, of one batch, of one part of it or of all.
fn cold(desk: &Desk, asked: Option<PartRef>, on: Date) -> Result<Vec<Told>, DeskError> {
    let view = asked.map(|asked| desk.batch(asked.batch, on)).transpose()?;
    if let (Some(asked), Some(view)) = (asked, &view) {
        asked.letter.map_or(Ok(()), |_| found(asked, view))?;
    }
    let wanted = view.as_ref().map(|view| view.label);
    let state = desk.state(on)?;
    let cold = advice::cold(&state, desk.trade(), desk::moment(on));
    let is_asked = |part: &PartAt| asked.is_none_or(|asked| asked.letter.is_none_or(|it| part.label.letter == it));
    let told = |parts: &[PartAt], crop: &CropName, reason: &str, why: &Why| {
        let is_wanted = |part: &PartAt| wanted.is_none_or(|wanted| part.label.batch == wanted) && is_asked(part);
        let about = || format!("{} {crop}: {reason}", rows::parts(parts, on));
        parts.iter().any(is_wanted).then(|| Told { about: about(), why: why.clone() })
    };
    let dusk = cold.dusk.iter().filter_map(|row| told(&row.parts, &row.crop, &row.reason, &row.why));
    let hardening = cold.hardening.iter().filter_map(|row| told(&row.parts, &row.crop, &row.reason, &row.why));
    let to_frame = cold.to_frame.iter().filter_map(|row| told(&row.parts, &row.crop, &row.reason, &row.why));
    let out = cold.plant_out.iter();
    let out = out.filter_map(|row| told(std::slice::from_ref(&row.part), &row.crop, &row.reason, &row.why));
    let slow = cold.slow.iter().filter_map(|row| told(&row.parts, &row.crop, &row.reason, &row.why));
    // Asked by its number, what is planted out is explained on a quiet night too, and under its cover.
    let beds: Vec<Told> = match wanted {
        None => cold.planted.iter().map(|row| Told { about: row.sentence(), why: row.why.clone() }).collect(),
        Some(wanted) => {
            let ground = advice::in_the_ground(&state, desk.trade(), on).into_iter();
            ground.filter(|(label, ..)| *label == wanted).map(|(_, about, why)| Told { about, why }).collect()
        }
    };
    // What stays in the house is no work for the evening, and is explained to who asks for it by its number.
    let home = wanted.map_or_else(Vec::new, |_| advice::at_home(&state, desk.trade(), on)).into_iter();
    let home = home.filter(|row| cold.dusk.iter().all(|known| known.parts != row.parts));
    let home: Vec<_> = home.filter_map(|row| told(&row.parts, &row.crop, &row.reason, &row.why)).collect();
    let dusk = beds.into_iter().chain(dusk).chain(home);
    Ok(dusk.chain(hardening).chain(to_frame).chain(out).chain(slow).collect())
}

/// Refuses a letter that a batch does not have.
fn found(asked: PartRef, view: &BatchView) -> Result<(), DeskError> {
    if view.parts.iter().any(|one| asked.letter.is_none_or(|letter| one.part.label.letter == letter)) {
        return Ok(());
    }
    let all: Vec<String> = view.parts.iter().map(|one| one.part.label.to_string()).collect();
    let hint = format!("batch {} has {}", view.label, all.join(", "));
    Err(DeskError::Unknown { what: "part", name: asked.to_string(), hint })
}

fn ready(desk: &Desk, part: Option<PartRef>, on: Date) -> Result<Vec<Told>, DeskError> {
    let Some(part) = part else {
        return Ok(advice::ready(&desk.state(on)?, desk.trade(), on).iter().map(moved).collect());
    };
    let view = desk.batch(part.batch, on)?;
    found(part, &view)?;
    let wanted = |label: &crate::quantity::PartLabel| part.letter.is_none_or(|letter| label.letter == letter);
    let rows = view.parts.iter().filter(|one| wanted(&one.part.label)).filter_map(|one| one.ready.as_ref());
    Ok(rows.map(moved).collect())
}

fn in_words(told: &Told) -> Vec<String> {
    let Why { formula, inputs, sources, doubt, changes } = &told.why;
    let mut lines = wrap(&told.about, LINE);
    let mut say = |head: &str, text: &str| {
        if !text.is_empty() {
            let wrapped = wrap(&format!("{head}: {text}"), LINE - LATER.len());
            let indented = wrapped.iter().enumerate();
            lines.extend(indented.map(|(at, line)| format!("{}{line}", if at == 0 { FIRST } else { LATER })));
        }
    };
    say("rule", formula);
    for input in inputs {
        say("from", &given(input));
    }
    for source in sources {
        say("source", &source.to_string());
    }
    say("doubt", doubt);
    say("would change it", changes);
    lines
}

/// An input in words: `up 54, 2026-04-14`.
fn given(input: &Input) -> String {
    let day = input.on.map(|on| on.to_string()).unwrap_or_default();
    let told = [input.what, &input.value].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    if day.is_empty() { told } else { format!("{told}, {day}") }
}
