//! The fields of each act, and what is typed in them in the words of the command line.

use crate::advice::{Germination, SowAgain};
use crate::desk::{Board, SeedLeft};
use crate::journal::{Cause, Part};
use crate::quantity::{ContainerClass, PartId, PlaceId};
use crate::tui::view::words;

use super::field::{Asked, Choice, Field, Free};
use super::lists::{
    at_field, bench_of, container_field, cool_spot, draws_shoots, into_field, light_for_shoots, place_field,
    spot_field, warm_first,
};
use super::open::Verb;
use super::{Form, IN, NUMBER, PLANTS};

pub(super) fn fields(verb: Verb, board: &Board, parts: &[PartId]) -> Vec<Field> {
    let only = if let [only] = parts { board.state.parts.get(only) } else { None };
    let standing = only.map(Part::standing).filter(|standing| *standing > 0);
    let how_many = |last: Option<u32>| {
        let hint = standing.map_or_else(String::new, |standing| format!("of {standing} standing"));
        Field::number(PLANTS, last, plain).asked(Asked::Needed).hint(hint)
    };
    match verb {
        Verb::Sow | Verb::Read => Vec::new(),
        Verb::Count => vec![count_field(only)],
        Verb::PotOn => {
            let into = into_field(board, parts);
            let rest = [("keep", "the rest stays"), ("discard", "the rest is thrown away")];
            let rest = Field::one_of("rest", words_of("--rest", &rest)).asked(Asked::Never);
            let last = board.last.moved_on.as_ref().map(|(_, at)| at.clone());
            let last = last.filter(|at| !draws_shoots(board, at));
            let last = last.or_else(|| only.and_then(|part| light_for_shoots(board, part)));
            let last = last.or_else(|| only.and_then(|part| bench_of(board, part)));
            // What hardens or is hardened stays as cool.
            let last = cool_spot(board, parts).or(last);
            vec![how_many(standing), into, warm_first(at_field(board, last), board, parts), rest]
        }
        Verb::Move => {
            let here = only.and_then(|part| bench_of(board, part));
            let last = board.last.stood_at.clone().filter(|last| Some(last) != here.as_ref());
            let moved = parts.iter().filter_map(|id| board.state.parts.get(id));
            let to = moved.into_iter().find_map(|part| light_for_shoots(board, part)).or(last);
            let mut fields = vec![warm_first(spot_field("to", board, to, None), board, parts)];
            if only.is_some() {
                let some = Field::number(PLANTS, None, |text| vec![format!("--count={text}")]);
                fields.push(some.asked(Asked::Never).hint("only so many, in their pots; empty for all"));
            }
            fields
        }
        Verb::Out => vec![place_field(board, parts)],
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
            // What the pages say of it, and the act will.
            let due = board.cold.plant_out.iter().filter(|row| parts.contains(&row.part.id));
            // Of several parts the first that waits.
            let against = due.filter(|row| !row.lacking.is_empty()).min_by_key(|row| !row.waits);
            let against = against.map(|row| {
                let wait = if row.waits { "not yet: " } else { "" };
                words::plain_days(&format!("{wait}{}", row.lacking.join("; ")), board.on)
            });
            let mut fields = vec![how_many(standing), to.asked(Asked::Never)];
            for field in &mut fields {
                let hints = [Some(std::mem::take(&mut field.hint)).filter(|hint| !hint.is_empty()), against.clone()];
                field.hint = hints.into_iter().flatten().collect::<Vec<_>>().join("; ");
            }
            fields
        }
        Verb::Clear => {
            let rest = [("keep", "refused while plants stand in it"), ("discard", "plants in it are thrown away")];
            let rest = idle_pots(board, only).into_iter().chain(words_of("--rest", &rest)).collect();
            vec![Field::one_of("rest", rest)]
        }
        Verb::Note => {
            let remark = Field::text("remark", "", |text| vec!["--".to_owned(), text.to_owned()]);
            vec![remark.asked(Asked::Needed)]
        }
        Verb::Grow => growth_fields(),
    }
}

fn plain(text: &str) -> Vec<String> {
    vec![text.to_owned()]
}

fn words_of(option: &str, words: &[(&str, &str)]) -> Vec<Choice> {
    let choice = |(word, beside): &(&str, &str)| Choice::new(*word, *beside, vec![format!("{option}={word}")]);
    words.iter().map(choice).collect()
}

/// Of a set of pots in which some hold no plant and others do: those are emptied, the others stay.
fn idle_pots(board: &Board, part: Option<&Part>) -> Option<Choice> {
    let part = part.filter(|part| part.standing() > 0)?;
    let idle = board.state.pots_without_plant(part.container);
    let pots = if idle == 1 { "1 pot".to_owned() } else { format!("{idle} pots") };
    let beside = "without a plant: emptied, and the others stay where they stand";
    (idle > 0).then(|| Choice::new(pots, beside, vec![format!("--pots={idle}")]))
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
    Field::number(label, None, compose).with("-gsd").asked(Asked::Needed).hint(hint)
}

/// A count in which a bare number is what came up.
pub(in crate::tui) fn up_words(text: &str) -> Vec<String> {
    counted(text, "--standing").unwrap_or_else(|| plain(text))
}

/// A count in which a bare number is what stands.
pub(in crate::tui) fn stood_words(text: &str) -> Vec<String> {
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
        vec![Choice::new(no, "", Vec::new()), Choice::new(yes, "", vec![option.to_owned()])]
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

/// Sowing, from what is in the seed box: as last time, or again what failed, from the packet and as many as advised.
#[must_use]
pub fn sow(board: &Board, seed: &[SeedLeft], again: Option<(&Germination, &SowAgain)>) -> Form {
    let last = board.last.sown.as_ref();
    let is_advised = |seed: &&SeedLeft| {
        let packet = Some((&seed.lot.variety, seed.lot.packed));
        again.is_some_and(|(row, again)| row.crop == seed.lot.crop && again.from() == packet)
    };
    let seeds = seed.iter().filter(is_advised).chain(seed.iter().filter(|seed| !is_advised(seed))).map(|seed| {
        let mut words = vec![seed.lot.crop.to_string(), seed.lot.variety.to_string()];
        words.extend(seed.lot.packed.map(|year| format!("--packed={year}")));
        let packed = seed.lot.packed.map_or_else(String::new, |year| format!(" {year}"));
        let left = seed.left.map_or_else(String::new, |left| format!("{left} left"));
        Choice::new(format!("{} {}{packed}", seed.lot.crop, seed.lot.variety), left, words)
    });
    // Behind the seed there is, the crops: of one of them the variety is still to be typed.
    let crops = board.crops.iter().map(|crop| Choice::new(crop.clone(), "then its variety", Vec::new()));
    let to_buy = again.filter(|(_, again)| again.from().is_none()).map(|(row, _)| row.crop.to_string());
    let mut choices: Vec<Choice> = seeds.chain(crops).collect();
    choices.sort_by_key(|choice| to_buy.as_ref().is_some_and(|crop| choice.shown != *crop));
    let number = again.map_or_else(|| last.map(|(units, ..)| *units), |(_, again)| again.number());
    let seed = Field::one_of("what", choices)
        .or_else(Free::Seed(board.crops.clone()))
        .hint("type to find it in the seed box; or a new crop and its variety");
    let number = Field::number(NUMBER, number, sown_words)
        .with("~p")
        .asked(Asked::Needed)
        .hint("seeds, or clusters where the crop has them; 200p for a pinch of about 200");
    let vessel = last.map(|(_, vessel, _)| vessel.to_string());
    // A container filled in is shown before it is logged: the keys are the same at the first sowing and at the next.
    let container =
        container_field(IN, "--in", board, vessel, &|class| class != ContainerClass::Carrier).asked(Asked::Always);
    let per_cell = Field::number("each", None, |text| vec![format!("--per-cell={text}")])
        .asked(Asked::Never)
        .hint("to a cell or pot, if several");
    let at = at_field(board, last.map(|(.., at)| at.clone()));
    let advised = again.map(|(row, again)| {
        let by = again.by.filter(|by| *by >= board.on);
        let by = by.map_or_else(String::new, |by| format!(", by {}", words::day(by, board.on)));
        let (label, verdict) = (words::number(row.label, board.on), words::outlook(row.verdict()));
        format!("again for {label}, {verdict} with {} of the {} wanted{by}", again.there, again.wanted)
    });
    let about = advised.clone().unwrap_or_else(|| "what was used last comes first".to_owned());
    let fields = vec![seed, number, container, at, per_cell];
    Form { advised, ..Form::new(Verb::Sow.title(), about, &[Verb::Sow.word()], fields).dated() }
}

/// Days in which a thermometer that is read at all was read. Common practice, no source.
const LATELY: i64 = 14;

/// A thermometer's lowest and highest: the place the grower is at comes first, then those read lately, the longest ago
/// first, then the others.
#[must_use]
pub fn read(board: &Board, here: Option<PlaceId>) -> Form {
    let last_read =
        |id| board.state.readings.iter().rev().find(|reading| reading.place == id).map(|reading| reading.on);
    let rank = |id: PlaceId| match last_read(id) {
        _ if Some(id) == here => (0, 0),
        None => (3, 0),
        Some(on) => match board.on.signed_duration_since(on).num_days() {
            days @ ..=LATELY => (1, -days),
            days => (2, days),
        },
    };
    let mut places: Vec<_> = board.state.places.iter().collect();
    places.sort_by_key(|(id, _)| rank(**id));
    let choice = |(id, place): (&PlaceId, &crate::journal::Place)| {
        let read = last_read(*id).map_or_else(String::new, |on| format!("read {}", words::day(on, board.on)));
        Choice::new(place.name.as_str(), read, vec![place.name.to_string()])
    };
    let degrees = |label, compose| Field::number(label, None, compose).with("-.CF").asked(Asked::Never);
    let asked = |label, compose| degrees(label, compose).asked(Asked::Always).hint("empty if not read");
    let fields = vec![
        Field::one_of("place", places.into_iter().map(choice).collect()),
        asked("lowest", |text| vec![format!("--min={text}")]),
        asked("highest", |text| vec![format!("--max={text}")]),
        degrees("now", |text| vec![format!("--now={text}")]),
        degrees("compost", |text| vec![format!("--compost={text}")]),
    ];
    let about = "lowest and highest since it was last set, or what it says now";
    Form::new(Verb::Read.title(), about, &[Verb::Read.word()], fields).dated()
}

/// The forecast of a night and the day after it: the coming one, unless another is typed.
pub(super) fn forecast(board: &Board) -> Form {
    let degrees = |label, compose| Field::number(label, None, compose).with("-.CF").asked(Asked::Always);
    let coming = board.on.succ_opt().unwrap_or(board.on).to_string();
    let day = Field::text("day", &coming, |text| vec![text.to_owned()]);
    let fields = vec![
        degrees("lowest", |text| vec![format!("--low={text}")]).hint("as -2, or 28F"),
        degrees("highest", |text| vec![format!("--high={text}")]).hint("as 11, or 52F"),
        day.asked(Asked::IfEmpty).hint("tonight's low is of tomorrow"),
    ];
    let about = "outside air: the lowest of the night to this day, and the day's highest";
    Form::new("forecast", about, &["forecast", "set"], fields)
}

fn sown_words(text: &str) -> Vec<String> {
    let pinch = text.strip_prefix('~').or_else(|| text.strip_suffix('p'));
    vec![pinch.map_or_else(|| format!("--seeds={text}"), |number| format!("--pinch={number}"))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_in_a_count_says_which_of_the_three_it_is() {
        for (typed, words) in [
            ("54", vec!["54"]),
            ("-6", vec!["--gaps=6"]),
            ("6g", vec!["--gaps=6"]),
            ("50s", vec!["--standing=50"]),
            ("54d", vec!["54", "--doubles"]),
            ("50sd", vec!["--standing=50", "--doubles"]),
        ] {
            assert_eq!(up_words(typed), words, "{typed}");
        }
        assert_eq!(stood_words("12"), ["--standing=12"], "plants moved on are counted as they stand");
        assert_eq!(sown_words("200p"), ["--pinch=200"]);
        assert_eq!(sown_words("24"), ["--seeds=24"]);
    }
}
