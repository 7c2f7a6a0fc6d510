//! The forms of what is done to plants, each opened on what the cursor is on, with last time's answers.

use crate::desk::Board;
use crate::journal::{Cause, Part};
use crate::quantity::{ContainerClass, Millimetres, PartId};
use crate::tui::rows::Subject;

use super::field::{Asked, Choice, Field, Free};
use super::{Form, part_word};

/// What a form is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verb {
    /// Sow.
    Sow,
    /// Count.
    Count,
    /// Prick out or pot on.
    PotOn,
    /// Move containers.
    Move,
    /// Put out for the day.
    Out,
    /// Note deaths.
    Lose,
    /// Thin.
    Thin,
    /// Throw away live plants.
    Discard,
    /// Give away.
    GiveAway,
    /// Set in the final place.
    PlantOut,
    /// Empty containers.
    Clear,
    /// Make a remark.
    Note,
    /// Note growth.
    Grow,
    /// Note what a thermometer says.
    Read,
    /// Any act in the words of the command line.
    Line,
}

impl Verb {
    /// True when several parts may go together.
    #[must_use]
    pub const fn takes_several(self) -> bool {
        matches!(self, Self::Move | Self::Out | Self::Clear)
    }

    /// True when it is done to plants that are there.
    #[must_use]
    pub const fn has_subject(self) -> bool {
        !matches!(self, Self::Sow | Self::Read | Self::Line)
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Sow => "sow",
            Self::Count => "count",
            Self::PotOn => "prick out or pot on",
            Self::Move => "move",
            Self::Out => "out for the day",
            Self::Lose => "lost",
            Self::Thin => "thin",
            Self::Discard => "discard",
            Self::GiveAway => "give away",
            Self::PlantOut => "plant out",
            Self::Clear => "clear",
            Self::Note => "note",
            Self::Grow => "growth",
            Self::Read => "thermometer",
            Self::Line => "in words",
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Sow => "sow",
            Self::Count => "count",
            Self::PotOn => "pot-on",
            Self::Move => "move",
            Self::Out => "out",
            Self::Lose => "lose",
            Self::Thin => "thin",
            Self::Discard => "discard",
            Self::GiveAway => "give-away",
            Self::PlantOut => "plant-out",
            Self::Clear => "clear",
            Self::Note => "note",
            Self::Grow => "stage",
            Self::Read => "reading",
            Self::Line => "",
        }
    }
}

/// Opens a form on a subject.
///
/// # Errors
/// What to tell the grower when there is nothing to do it to.
pub fn open(verb: Verb, board: &Board, subject: &Subject) -> Result<Form, String> {
    match verb {
        Verb::Sow => return Ok(sow(board)),
        Verb::Read => return Ok(read(board)),
        Verb::Line => return Ok(line()),
        _ => {}
    }
    let parts: Vec<PartId> = candidates(verb, board, subject);
    if parts.is_empty() {
        return Err(format!("nothing to {} here: choose a row, or type a batch's number first", verb.title()));
    }
    let mut form = Form {
        title: verb.title().to_owned(),
        about: about(board, &parts),
        head: vec![verb.word().to_owned()],
        fields: Vec::new(),
        focus: 0,
        trouble: None,
        taken_from: None,
    };
    if verb == Verb::Note {
        let batch = board.state.parts.get(&parts[0]).and_then(|part| board.state.batches.get(&part.batch));
        form.head.extend(batch.map(|batch| batch.label.to_string()));
    } else if verb.takes_several() {
        form.head.extend(parts.iter().filter_map(|id| part_word(&board.state, *id)));
    } else if let [only] = parts.as_slice() {
        form.head.extend(part_word(&board.state, *only));
        form.taken_from = Some(*only);
    } else {
        form.fields.push(Field::one_of("part", parts.iter().filter_map(|id| part_choice(board, *id)).collect()));
    }
    form.fields.extend(fields(verb, board, &parts));
    if form.fields.is_empty() {
        return Err(format!("nothing to {}", verb.title()));
    }
    Ok(form)
}

/// The parts of a subject that an act can be about.
fn candidates(verb: Verb, board: &Board, subject: &Subject) -> Vec<PartId> {
    let state = &board.state;
    let live = |test: &dyn Fn(&Part) -> bool| -> Vec<PartId> {
        let parts = subject.parts.iter().filter_map(|id| Some((*id, state.parts.get(id)?)));
        parts.filter(|(_, part)| part.is_live() && test(part)).map(|(id, _)| id).collect()
    };
    let first_of = |orders: &[&dyn Fn(&Part) -> bool]| {
        orders.iter().map(|test| live(test)).find(|found| !found.is_empty()).unwrap_or_default()
    };
    match verb {
        Verb::Count => first_of(&[&|part| part.is_sown(), &|_| true]),
        Verb::PotOn | Verb::Lose | Verb::Thin | Verb::Discard | Verb::GiveAway | Verb::PlantOut => {
            first_of(&[&|part| part.standing() > 0, &|_| true])
        }
        Verb::Note => subject.parts.clone(),
        _ => live(&|_| true),
    }
}

fn fields(verb: Verb, board: &Board, parts: &[PartId]) -> Vec<Field> {
    let only = if let [only] = parts { board.state.parts.get(only) } else { None };
    let standing = only.map(Part::standing).filter(|standing| *standing > 0);
    let how_many = |last: Option<u32>| {
        let hint = standing.map_or_else(String::new, |standing| format!("of {standing} standing"));
        Field::number("plants", last, plain).hint(hint)
    };
    match verb {
        Verb::Sow | Verb::Read | Verb::Line => Vec::new(),
        Verb::Count => vec![count_field(only)],
        Verb::PotOn => {
            let into = into_field(board, parts);
            let rest = [("keep", "the rest stays"), ("discard", "the rest is thrown away")];
            let rest = Field::one_of("rest", words_of("--rest", &rest)).asked(Asked::Never);
            let last = board.last.moved_on.as_ref().map(|(_, at)| at.clone());
            let last = last.or_else(|| only.and_then(|part| bench_of(board, part)));
            vec![how_many(standing), into, at_field(board, last), rest]
        }
        Verb::Move => {
            let mut fields = vec![spot_field("to", board, board.last.stood_at.clone(), None)];
            if only.is_some() {
                let some = Field::number("plants", None, |text| vec![format!("--count={text}")]);
                fields.push(some.asked(Asked::Never).hint("only so many, in their pots; empty for all"));
            }
            fields
        }
        Verb::Out => vec![place_field(board)],
        Verb::Lose => {
            let last = board.last.cause.unwrap_or(Cause::Unknown);
            let mut causes: Vec<Cause> = Cause::ALL.to_vec();
            causes.sort_by_key(|cause| *cause != last);
            let words: Vec<(&str, &str)> = causes.iter().map(|cause| (cause.word(), "")).collect();
            let note = Field::text("note", "", |text| vec![format!("--note={text}")]).asked(Asked::Never);
            vec![how_many(None), Field::one_of("cause", words_of("--cause", &words)).asked(Asked::IfEmpty), note]
        }
        Verb::Thin | Verb::Discard | Verb::GiveAway => vec![how_many(None)],
        Verb::PlantOut => {
            let bed = board.last.bed.as_deref().unwrap_or("");
            let to = Field::text("bed", bed, |text| vec![format!("--to={text}")]);
            vec![how_many(standing), to.asked(Asked::Never)]
        }
        Verb::Clear => {
            let rest = [("keep", "refused while plants stand in it"), ("discard", "plants in it are thrown away")];
            vec![Field::one_of("rest", words_of("--rest", &rest))]
        }
        Verb::Note => vec![Field::text("remark", "", |text| vec!["--".to_owned(), text.to_owned()])],
        Verb::Grow => growth_fields(),
    }
}

fn plain(text: &str) -> Vec<String> {
    vec![text.to_owned()]
}

fn words_of(option: &str, words: &[(&str, &str)]) -> Vec<Choice> {
    let choice = |(word, beside): &(&str, &str)| Choice {
        shown: (*word).to_owned(),
        beside: (*beside).to_owned(),
        words: vec![format!("{option}={word}")],
    };
    words.iter().map(choice).collect()
}

/// A count: of a sowing what is up, of plants moved on what stands.
fn count_field(part: Option<&Part>) -> Field {
    let sown = part.is_none_or(Part::is_sown);
    let (label, compose): (_, fn(&str) -> Vec<String>) =
        if sown { ("up", up_words) } else { ("standing", stood_words) };
    let known = match part {
        Some(part) if sown => format!("{} of {} so far; ", part.up, part.sown()),
        Some(part) => format!("{} so far; ", part.standing()),
        None => String::new(),
    };
    let hint = format!("{known}-6 or 6g for six gaps, 50s for 50 standing");
    Field::number(label, None, compose).with("-gsd").hint(hint)
}

fn up_words(text: &str) -> Vec<String> {
    counted(text, "--standing").unwrap_or_else(|| plain(text))
}

fn stood_words(text: &str) -> Vec<String> {
    counted(text, "--standing").unwrap_or_else(|| vec![format!("--standing={text}")])
}

fn counted(text: &str, standing: &str) -> Option<Vec<String>> {
    let (text, doubles) = text.strip_suffix('d').map_or((text, false), |rest| (rest, true));
    let gaps = text.strip_prefix('-').or_else(|| text.strip_suffix('g'));
    let mut words = match (gaps, text.strip_suffix('s')) {
        (Some(gaps), _) => vec![format!("--gaps={gaps}")],
        (None, Some(stood)) => vec![format!("{standing}={stood}")],
        (None, None) if doubles => vec![text.to_owned()],
        (None, None) => return None,
    };
    if doubles {
        words.push("--doubles".to_owned());
    }
    Some(words)
}

fn growth_fields() -> Vec<Field> {
    let said = |no: &'static str, yes: &'static str, option: &str| {
        let choice = |shown: &str, words: Vec<String>| Choice { shown: shown.to_owned(), beside: String::new(), words };
        vec![choice(no, Vec::new()), choice(yes, vec![option.to_owned()])]
    };
    vec![
        Field::number("leaves", None, |text| vec![format!("--leaves={text}")])
            .asked(Asked::Never)
            .hint("true leaves; l leggy, r roots, h height"),
        Field::number("height", None, |text| vec![format!("--height={text}")])
            .asked(Asked::Never)
            .with("mc.in")
            .hint("60mm, 6cm, 2in"),
        Field::one_of("leggy", said("no", "yes", "--leggy")).asked(Asked::Never),
        Field::one_of("roots", said("no", "at the holes", "--roots")).asked(Asked::Never),
    ]
}

fn sow(board: &Board) -> Form {
    let last = board.last.sown.as_ref();
    let seeds = board.seed.iter().map(|seed| {
        let mut words = vec![seed.lot.crop.to_string(), seed.lot.variety.to_string()];
        words.extend(seed.lot.packed.map(|year| format!("--packed={year}")));
        let packed = seed.lot.packed.map_or_else(String::new, |year| format!(" {year}"));
        let left = seed.left.map_or_else(String::new, |left| format!("{left} left"));
        Choice { shown: format!("{} {}{packed}", seed.lot.crop, seed.lot.variety), beside: left, words }
    });
    let seed = Field::one_of("what", seeds.collect())
        .or_else(Free::Seed(board.crops.clone()))
        .hint("type to find it in the seed box; or a new crop and variety");
    let number = Field::number("number", last.map(|(units, ..)| *units), sown_words)
        .with("~p")
        .hint("seeds, or clusters where the crop has them; 200p for a pinch of about 200");
    let vessel = last.map(|(_, vessel, _)| vessel.to_string());
    let container = container_field("in", "--in", board, vessel, &|class| class != ContainerClass::Carrier);
    let per_cell = Field::number("each", None, |text| vec![format!("--per-cell={text}")])
        .asked(Asked::Never)
        .hint("to a cell or pot, if several");
    Form {
        title: "sow".to_owned(),
        about: "dated today; what was used last comes first".to_owned(),
        head: vec!["sow".to_owned()],
        fields: vec![seed, number, container, at_field(board, last.map(|(.., at)| at.clone())), per_cell],
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

/// A thermometer's lowest and highest: the places read longest ago come first.
fn read(board: &Board) -> Form {
    let last_read =
        |id| board.state.readings.iter().rev().find(|reading| reading.place == id).map(|reading| reading.on);
    let mut places: Vec<_> = board.state.places.iter().collect();
    // Those that are read at all, the longest ago first; the others behind them.
    places.sort_by_key(|(id, _)| last_read(**id).map_or((1, board.on), |on| (0, on)));
    let choice = |(id, place): (&crate::quantity::PlaceId, &crate::journal::Place)| Choice {
        shown: place.name.to_string(),
        beside: last_read(*id).map_or_else(String::new, |on| format!("read {on}")),
        words: vec![place.name.to_string()],
    };
    let degrees = |label, compose| Field::number(label, None, compose).with("-.CF").asked(Asked::Never);
    Form {
        title: Verb::Read.title().to_owned(),
        about: "lowest and highest since it was last set, or what it says now".to_owned(),
        head: vec![Verb::Read.word().to_owned()],
        fields: vec![
            Field::one_of("place", places.into_iter().map(choice).collect()),
            degrees("lowest", |text| vec![format!("--min={text}")]).asked(Asked::Always).hint("empty if not read"),
            degrees("highest", |text| vec![format!("--max={text}")]).asked(Asked::Always).hint("empty if not read"),
            degrees("now", |text| vec![format!("--now={text}")]),
            degrees("compost", |text| vec![format!("--compost={text}")]),
        ],
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

/// Whatever the command line takes, for what has no key of its own.
fn line() -> Form {
    let hint = "as on the command line: cover frame on; identify 14 leek 'Long Furrow'; relabel 14 15";
    let words = Field::text("words", "", |text| shlex::split(text).unwrap_or_else(|| vec![text.to_owned()]));
    Form {
        title: Verb::Line.title().to_owned(),
        about: "any act the command line knows".to_owned(),
        head: Vec::new(),
        fields: vec![words.hint(hint)],
        focus: 0,
        trouble: None,
        taken_from: None,
    }
}

fn sown_words(text: &str) -> Vec<String> {
    let pinch = text.strip_prefix('~').or_else(|| text.strip_suffix('p'));
    vec![pinch.map_or_else(|| format!("--seeds={text}"), |number| format!("--pinch={number}"))]
}

/// What to move plants into: what the table advises for them, or what was used last time.
fn into_field(board: &Board, parts: &[PartId]) -> Field {
    let advised = board.ready.iter().find(|row| parts.contains(&row.part.id)).and_then(|row| row.next.as_ref());
    let advised = advised.and_then(|next| next.container.as_ref()).map(ToString::to_string);
    let last = advised.or_else(|| board.last.moved_on.as_ref().map(|(vessel, _)| vessel.to_string()));
    let own = |class| matches!(class, ContainerClass::CellTray | ContainerClass::Pot);
    container_field("into", "--into", board, last, &own)
}

/// What most sheds have, for a grower who has used nothing yet. Common practice, no source.
const COMMON: [&str; 5] = ["seed-tray", "half-tray", "24-cell", "72-cell", "9cm-pot"];

/// Asked as long as nothing was used before: a default of nobody's choosing would go unseen.
const fn once_known(last: Option<&String>) -> Asked {
    if last.is_some() { Asked::IfEmpty } else { Asked::Always }
}

fn container_field(
    label: &'static str,
    option: &str,
    board: &Board,
    last: Option<String>,
    fits: &dyn Fn(ContainerClass) -> bool,
) -> Field {
    let mut names: Vec<String> =
        board.containers.iter().filter(|(_, class)| fits(*class)).map(|(name, _)| name.to_string()).collect();
    names.sort_by_key(|name| (Some(name) != last.as_ref(), !COMMON.contains(&name.as_str())));
    let choice = |name: String| Choice { words: vec![format!("{option}={name}")], shown: name, beside: String::new() };
    let asked = once_known(last.as_ref());
    // Both options mean the same to the grammar.
    Field::one_of(label, names.into_iter().map(choice).collect())
        .or_else(Free::As(|text| vec![format!("--in={text}")]))
        .hint("as 24-cell, 9cm-pot; 24-cellx2 for two")
        .asked(asked)
}

fn at_field(board: &Board, last: Option<String>) -> Field {
    let asked = once_known(last.as_ref());
    spot_field("at", board, last, Some("--at")).asked(asked)
}

/// Benches and places without one, last time's first, each with what is free on it.
fn spot_field(label: &'static str, board: &Board, last: Option<String>, option: Option<&str>) -> Field {
    let word = |spot: &str| vec![option.map_or_else(|| spot.to_owned(), |option| format!("{option}={spot}"))];
    let mut choices: Vec<Choice> = Vec::new();
    for bench in &board.space.benches {
        let shown = format!("{}/{}", bench.place_name, bench.name);
        let more = board.trays.benches.iter().find(|fits| fits.bench == bench.bench).map_or(0, |fits| fits.more);
        let trays = if more == 1 { "1 seed tray fits".to_owned() } else { format!("{more} seed trays fit") };
        choices.push(Choice { words: word(&shown), shown, beside: format!("{} free, {trays}", bench.area.free) });
    }
    for (id, place) in &board.state.places {
        if !board.state.benches.values().any(|bench| bench.place == *id) {
            let shown = place.name.to_string();
            choices.push(Choice { words: word(&shown), shown, beside: place.kind.to_string() });
        }
    }
    for held in board.state.containers.values().filter(|held| held.vessel.class == ContainerClass::Carrier) {
        if let Some(called) = &held.called {
            let shown = called.to_string();
            choices.push(Choice { words: word(&shown), shown, beside: "carrier".to_owned() });
        }
    }
    choices.sort_by_key(|choice| Some(&choice.shown) != last.as_ref());
    Field::one_of(label, choices)
}

/// Where a part stands now: plants moved on for the first time stay near.
fn bench_of(board: &Board, part: &Part) -> Option<String> {
    let (place, bench) = board.state.home(part.container)?;
    let bench = board.state.benches.get(&bench?)?;
    Some(format!("{}/{}", board.state.places.get(&place)?.name, bench.name))
}

fn place_field(board: &Board) -> Field {
    let mut places: Vec<_> = board.state.places.values().collect();
    // What hardens off goes where the air is cool: out of doors first.
    places.sort_by_key(|place| (Some(&place.name) != board.last.out.as_ref(), place.kind.is_indoors()));
    let choice = |place: &&crate::journal::Place| Choice {
        shown: place.name.to_string(),
        beside: place.kind.to_string(),
        words: vec![place.name.to_string()],
    };
    Field::one_of("place", places.iter().map(choice).collect())
}

fn part_choice(board: &Board, id: PartId) -> Option<Choice> {
    let part = board.state.parts.get(&id)?;
    let vessel = &board.state.containers.get(&part.container)?.vessel;
    Some(Choice {
        shown: board.state.part_label(part).to_string(),
        beside: format!("{} standing, {}, {}", part.standing(), vessel.name, board.state.standing_at(part.container)),
        words: vec![part_word(&board.state, id)?],
    })
}

/// What a form is about: number, crop, variety and where it stands; of several the numbers.
fn about(board: &Board, parts: &[PartId]) -> String {
    let state = &board.state;
    let found: Vec<&Part> = parts.iter().filter_map(|id| state.parts.get(id)).collect();
    let labels: Vec<String> = found.iter().map(|part| state.part_label(part).to_string()).collect();
    let first = found.first().filter(|first| found.iter().all(|part| part.batch == first.batch));
    let Some(first) = first else { return labels.join(", ") };
    let lot = state.batches.get(&first.batch).and_then(|batch| state.lots.get(&batch.lot));
    let name = lot.map_or_else(String::new, |lot| format!("{} {}", lot.crop, lot.variety));
    if let [part] = found.as_slice() {
        return format!("{} {name}, {}", labels.join(", "), state.standing_at(part.container));
    }
    format!("{} {name}", labels.join(", "))
}

/// A size in the words of the command line.
pub(super) fn size_word(length: Millimetres, width: Millimetres) -> String {
    format!("{}x{}mm", length.0, width.0)
}

/// What young plants stand in and where, as asked of a tray taken in.
pub(super) fn open_room(board: &Board) -> [Field; 2] {
    let container = container_field("in", "--in", board, None, &|class| class != ContainerClass::Carrier);
    [container, at_field(board, board.last.stood_at.clone()).asked(Asked::Always)]
}
