//! What is half-entered, as it is kept while the grower is away: enough to open the same form or line again.

use chrono::NaiveDateTime;
use serde::{Deserialize, Serialize};

use crate::desk::{Board, Drafts, Meant, SeedLeft};
use crate::journal::Ticks;
use crate::quantity::{Date, is_hidden};

use super::form::{Form, Takes, Verb, add_menu, forecast_menu, meant, open, part_word, parts_named, sow};
use super::model::{Choose, Menu, Model, Overlay, Yes};
use super::rows::Subject;

/// A text of a draft is at most so long, and a form has at most so many fields.
const LONGEST: usize = 1000;
const MOST_FIELDS: usize = 30;

/// Something half-entered, with when it was left.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Draft {
    /// The minute it was kept, by the grower's clock.
    pub at: NaiveDateTime,
    /// What it was.
    pub what: HalfEntered,
}

/// A form or a line that is half-entered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum HalfEntered {
    /// A form.
    Form(HalfForm),
    /// A line.
    Line(HalfLine),
    /// A tray being ticked.
    Ticks(HalfTicked),
}

/// A line as far as it was typed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "KeptLine")]
pub struct HalfLine {
    /// What was typed.
    pub text: String,
    /// The batches it was said to be for.
    pub meant: Vec<Meant>,
}

/// A line as a file has it: those kept by earlier programs are a text alone.
#[derive(Deserialize)]
#[serde(untagged)]
enum KeptLine {
    Text(String),
    Meant { text: String, meant: Vec<Meant> },
}

impl From<KeptLine> for HalfLine {
    fn from(kept: KeptLine) -> Self {
        match kept {
            KeptLine::Text(text) => Self { text, meant: Vec::new() },
            KeptLine::Meant { text, meant } => Self { text, meant },
        }
    }
}

/// The ticks of a tray, as far as they were made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HalfTicked {
    /// The batch it is of.
    #[serde(default)]
    pub meant: Vec<Meant>,
    /// The part, as [`part_word`] writes it.
    pub part: String,
    /// The cells ticked.
    pub ticks: Ticks,
}

impl HalfTicked {
    /// The ticks in the words of the command line.
    #[must_use]
    pub fn line(&self) -> String {
        let doubled = self.ticks.doubled();
        let doubled = if doubled.is_empty() { String::new() } else { format!(" --doubled {doubled}") };
        format!("count {} --cells {}{doubled}", self.part, self.ticks.cells())
    }
}

/// A form as far as it was filled in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HalfForm {
    title: String,
    head: Vec<String>,
    parts: Vec<String>,
    fields: Vec<HalfField>,
    focus: usize,
    line: String,
    #[serde(default)]
    meant: Vec<Meant>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct HalfField {
    label: String,
    typed: String,
    chosen: Option<String>,
    fresh: bool,
}

impl Draft {
    /// Reads a draft. Files are written by anybody: what cannot be seen is left out, and no more is read than a form has.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut draft: Self = serde_json::from_str(text).ok()?;
        let clean = |text: &mut String| *text = text.chars().filter(|c| !is_hidden(*c)).take(LONGEST).collect();
        match &mut draft.what {
            HalfEntered::Line(line) => clean(&mut line.text),
            HalfEntered::Ticks(half) => clean(&mut half.part),
            HalfEntered::Form(form) => {
                for list in [&mut form.head, &mut form.parts] {
                    list.truncate(MOST_FIELDS);
                    list.iter_mut().for_each(clean);
                }
                form.fields.truncate(MOST_FIELDS);
                for field in &mut form.fields {
                    clean(&mut field.label);
                    clean(&mut field.typed);
                    field.chosen.as_mut().into_iter().for_each(clean);
                }
                clean(&mut form.title);
                clean(&mut form.line);
            }
        }
        for meant in draft.what.meant_mut() {
            clean(&mut meant.called);
            clean(&mut meant.plants);
        }
        Some(draft)
    }

    /// The draft as it is kept.
    #[must_use]
    pub fn written(&self) -> String {
        // Nothing in it can fail to be written.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Offers it: what it was, when it was left, and which day it would be dated by.
    #[must_use]
    pub fn offer(&self, today: Date) -> String {
        let line = match &self.what {
            HalfEntered::Line(line) => line.text.clone(),
            HalfEntered::Form(form) => form.line.clone(),
            HalfEntered::Ticks(half) => half.line(),
        };
        let at = self.at.format("%H:%M");
        if self.at.date() == today {
            return format!("Left half-entered at {at}: {line}. y takes it up, n drops it, Esc keeps it.");
        }
        let day = self.at.format("%-d %b");
        format!("Left half-entered on {day} at {at}: {line}. y takes it up, dated today; n drops it; Esc keeps it.")
    }
}

impl HalfEntered {
    const fn meant_mut(&mut self) -> &mut Vec<Meant> {
        match self {
            Self::Form(form) => &mut form.meant,
            Self::Line(line) => &mut line.meant,
            Self::Ticks(half) => &mut half.meant,
        }
    }
}

impl HalfForm {
    fn of(form: &Form) -> Option<Self> {
        let touched = |field: &super::form::Field| {
            let picked = matches!(field.takes, Takes::OneOf { picked, .. } if picked > 0);
            picked || (!field.fresh && !field.input.value().trim().is_empty())
        };
        if form.focus == 0 && !form.fields.iter().any(touched) {
            return None;
        }
        let fields = form.fields.iter().map(|field| HalfField {
            label: field.label.to_owned(),
            typed: field.input.value().to_owned(),
            chosen: field.chosen().map(|choice| choice.shown.clone()),
            fresh: field.fresh,
        });
        Some(Self {
            title: form.title.clone(),
            head: form.head.clone(),
            parts: form.parts(),
            fields: fields.collect(),
            focus: form.focus,
            line: form.line(),
            meant: form.meant(),
        })
    }

    /// The words it had got to, for what can no longer be opened as it was.
    #[must_use]
    pub fn line(&self) -> &str {
        &self.line
    }

    /// The batches they meant.
    #[must_use]
    pub fn meant(&self) -> &[Meant] {
        &self.meant
    }

    /// The same form again, as far as it was filled in; `None` when it would no longer be about the same plants or have
    /// the same fields.
    #[must_use]
    pub fn open_again(&self, board: &Board, seed: &[SeedLeft]) -> Option<Form> {
        let mut form = self.opened(board, seed)?;
        let is_named = |meant: &Meant| form.named.iter().any(|(_, now)| now.batch == meant.batch);
        if !self.meant.iter().all(|meant| is_named(meant) && meant.is_in(&board.state)) {
            return None;
        }
        if form.head != self.head || form.fields.len() != self.fields.len() {
            return None;
        }
        for (field, half) in form.fields.iter_mut().zip(&self.fields) {
            if field.label != half.label {
                return None;
            }
            field.put_back(&half.typed, half.chosen.as_deref(), half.fresh);
        }
        form.fields.iter_mut().take(self.focus).for_each(|field| field.seen = true);
        form.focus = self.focus.min(form.fields.len().saturating_sub(1));
        Some(form)
    }

    fn opened(&self, board: &Board, seed: &[SeedLeft]) -> Option<Form> {
        let verb = Verb::ALL.iter().find(|verb| verb.title() == self.title);
        match verb {
            Some(Verb::Sow) => Some(sow(board, seed, None)),
            Some(verb) => {
                let parts = self.parts.iter().flat_map(|word| parts_named(board, word)).collect();
                open(*verb, board, &Subject { batch: None, parts }).ok()
            }
            None => form_of(&[add_menu(board), forecast_menu(board)], &self.title),
        }
    }
}

/// The form of a title, in these menus or those they lead to.
fn form_of(menus: &[Menu], title: &str) -> Option<Form> {
    menus.iter().flat_map(|menu| &menu.items).find_map(|(.., chosen)| match chosen {
        Choose::Form(form) if form.title == title => Some(form.as_ref().clone()),
        Choose::Menu(menu) => form_of(std::slice::from_ref(menu), title),
        _ => None,
    })
}

impl Model {
    /// What is half-entered: the form or line that lies open, what is being offered to be taken up, or what was offered
    /// and put off.
    #[must_use]
    pub fn half_entered(&self) -> Option<HalfEntered> {
        let open = self.overlays.iter().rev().find_map(|overlay| match overlay {
            Overlay::Form(form) => HalfForm::of(form).map(HalfEntered::Form),
            Overlay::Line(line) => {
                let text = Some(line.text().trim()).filter(|text| !text.is_empty());
                text.map(|text| HalfEntered::Line(HalfLine { text: text.to_owned(), meant: line.meant() }))
            }
            Overlay::Question(question) => match &question.yes {
                Yes::TakeUp(draft) => Some(draft.what.clone()),
                _ => None,
            },
            _ => None,
        });
        let ticked = || {
            let tray = self.tray.as_ref().filter(|tray| tray.changed() > 0)?;
            let part = part_word(&self.board, tray.part)?;
            let meant = meant(&self.board, tray.part).into_iter().collect();
            Some(HalfEntered::Ticks(HalfTicked { meant, part, ticks: tray.ticks() }))
        };
        open.or_else(ticked).or_else(|| self.set_aside.as_ref().map(|draft| draft.what.clone()))
    }
}

/// Keeps what is half-entered in step with what lies open.
#[derive(Debug)]
pub(super) struct Keeper {
    drafts: Drafts,
    stands: Option<HalfEntered>,
}

impl Keeper {
    pub(super) const fn new(drafts: Drafts, stands: Option<HalfEntered>) -> Self {
        Self { drafts, stands }
    }

    /// After something happened: what was logged or left is dropped at once.
    pub(super) fn follow(&mut self, model: &Model) {
        if model.half_entered().is_none() {
            self.drop_it();
        }
    }

    /// In a pause, and when the terminal goes away: keeps what is half-entered now.
    pub(super) fn keep(&mut self, model: &Model, at: NaiveDateTime) {
        let now = model.half_entered();
        if let Some(what) = now.clone().filter(|_| now != self.stands) {
            let put_off = model.set_aside.as_ref().filter(|draft| draft.what == what).map(|draft| draft.at);
            if self.drafts.keep(&Draft { at: put_off.unwrap_or(at), what: what.clone() }.written()) {
                self.stands = now;
            }
        }
    }

    /// Before an act is logged: better to type a line again than to find it logged twice.
    pub(super) fn drop_it(&mut self) {
        if self.stands.take().is_some() {
            self.drafts.drop_it();
        }
    }
}
