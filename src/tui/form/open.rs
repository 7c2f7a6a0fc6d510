//! The forms of what is done to plants, each opened on what the cursor is on, with last time's answers.

use crate::desk::{Board, Meant};
use crate::journal::Part;
use crate::quantity::PartId;
use crate::tui::rows::Subject;

use super::acts::{fields, read};
use super::field::Field;
use super::lists::part_choice;
use super::{Form, PART, batch_word, part_word};

/// What a form is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
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
}

impl Verb {
    /// Every form there is, but those that set up.
    pub const ALL: [Self; 14] = [
        Self::Sow,
        Self::Count,
        Self::PotOn,
        Self::Move,
        Self::Out,
        Self::Lose,
        Self::Thin,
        Self::Discard,
        Self::GiveAway,
        Self::PlantOut,
        Self::Clear,
        Self::Note,
        Self::Grow,
        Self::Read,
    ];

    /// True when several parts may go together.
    #[must_use]
    pub const fn takes_several(self) -> bool {
        matches!(self, Self::Move | Self::Out | Self::Clear)
    }

    /// True when it is done to plants that are there.
    #[must_use]
    pub const fn has_subject(self) -> bool {
        !matches!(self, Self::Sow | Self::Read)
    }

    /// What the form is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
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
        }
    }

    /// The command that it makes.
    #[must_use]
    pub const fn word(self) -> &'static str {
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
        }
    }
}

/// Opens a form on a subject.
///
/// # Errors
/// What to tell the grower when there is nothing to do it to.
pub fn open(verb: Verb, board: &Board, subject: &Subject) -> Result<Form, String> {
    match verb {
        Verb::Sow => return Ok(super::sow(board, &[], None)),
        Verb::Read => return Ok(read(board, None)),
        _ => {}
    }
    let parts: Vec<PartId> = candidates(verb, board, subject);
    if parts.is_empty() {
        return Err(format!("nothing to {} here: choose a row, or type a batch's number first", verb.title()));
    }
    let mut form = Form::new(verb.title(), about(board, &parts), &[verb.word()], Vec::new());
    if verb == Verb::Note {
        let part = board.state.parts.get(&parts[0]);
        form.head.extend(part.and_then(|part| batch_word(board, part.batch)));
    } else if verb.takes_several() {
        form.head.extend(parts.iter().filter_map(|id| part_word(board, *id)));
    } else if let [only] = parts.as_slice() {
        form.head.extend(part_word(board, *only));
        form.taken_from = Some(*only);
    } else {
        form.fields.push(Field::one_of(PART, parts.iter().filter_map(|id| part_choice(board, *id)).collect()));
    }
    form.fields.extend(fields(verb, board, &parts));
    let words = |id: &PartId| {
        let batch = board.state.parts.get(id).and_then(|part| batch_word(board, part.batch));
        [part_word(board, *id), batch].into_iter().flatten().collect::<Vec<_>>()
    };
    let meaning = |id: &PartId| Some((words(id), meant(board, *id)?));
    let found = parts.iter().filter_map(meaning);
    form.named = found.flat_map(|(words, batch)| words.into_iter().map(move |word| (word, batch.clone()))).collect();
    form.of = Some((verb, parts));
    if form.fields.is_empty() {
        return Err(format!("nothing to {}", verb.title()));
    }
    Ok(form.dated())
}

/// The batch of a part, called by the part's label.
pub fn meant(board: &Board, id: PartId) -> Option<Meant> {
    let part = board.state.parts.get(&id)?;
    Some(Meant { called: board.state.part_label(part).to_string(), ..Meant::of(&board.state, part.batch)? })
}

impl Form {
    /// Says beside each field what it says of plants as they stand now; what was typed stays.
    pub fn see(&mut self, board: &Board) {
        let Some((verb, parts)) = &self.of else { return };
        let now = fields(*verb, board, parts);
        for field in &mut self.fields {
            if let Some(now) = now.iter().find(|now| now.label == field.label) {
                field.hint.clone_from(&now.hint);
            }
        }
    }
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
        // Of one batch what was potted on to the last and stands empty; its live parts only when nothing does.
        Verb::Clear if subject.batch.is_some() => {
            first_of(&[&|part| part.ever() > 0 && part.standing() == 0, &|_| true])
        }
        _ => live(&|_| true),
    }
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
