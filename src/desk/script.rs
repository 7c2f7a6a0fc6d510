//! Scripts of acts, one a line, each its own transaction; and the demonstration, which is one.

use std::path::Path;

use crate::grammar::{AfterRefusal, Step, Typed, parse_line, parse_typed_by_crop};
use crate::quantity::{Date, DeviceId};
use crate::store::Durability;
use crate::trade::Trade;

use super::error::DeskError;
use super::meant::Meant;
use super::perform::performed;
use super::undo::{redone, undone};
use super::{Desk, Done};

const DEMO: &str = include_str!("../../assets/demo.txt");
/// The machine that the demonstration's acts were typed on.
pub const DEMO_DEVICE: DeviceId = DeviceId(uuid::Uuid::from_u128(0x7468_756d_6270_4f74_8000_0000_0000_0001));

/// The day the demonstration is shown on.
pub const DEMO_DAY: Date = match Date::from_ymd_opt(2026, 4, 15) {
    Some(day) => day,
    None => Date::MIN,
};

/// A line of a script that was refused.
#[derive(Debug)]
pub struct RefusedLine {
    /// The line, from 1.
    pub line: usize,
    /// Why.
    pub error: DeskError,
}

/// What became of a script.
#[derive(Debug, Default)]
pub struct Ran {
    /// Lines done.
    pub done: usize,
    /// Lines refused.
    pub refused: Vec<RefusedLine>,
}

impl Desk {
    /// Does the lines of a script, each dated `on` unless it says otherwise, and tells each answer as it comes.
    ///
    /// # Errors
    /// The first line refused, with its number, unless it was asked to go on; the lines before it stay done.
    pub fn run(
        &mut self,
        script: &str,
        on: Date,
        after_refusal: AfterRefusal,
        mut tell: impl FnMut(usize, &Result<Done, DeskError>),
    ) -> Result<Ran, DeskError> {
        let mut ran = Ran::default();
        for (index, text) in script.lines().enumerate() {
            let line = index + 1;
            let answer = match parse_line(text, on) {
                Ok(None) => continue,
                Ok(Some(parsed)) => self.step(&parsed.step, parsed.on.unwrap_or(on)),
                Err(error) => match parse_typed_by_crop(text, on, &self.vocabulary(on)?) {
                    Ok(Some(Typed::Step(parsed))) => self.step(&parsed.step, parsed.on.unwrap_or(on)),
                    Err(error) => Err(DeskError::Words(error)),
                    Ok(_) => Err(DeskError::Words(error)),
                },
            };
            tell(line, &answer);
            match answer {
                Ok(_) => ran.done += 1,
                Err(error) if after_refusal == AfterRefusal::GoOn => ran.refused.push(RefusedLine { line, error }),
                Err(error) => return Err(DeskError::Line { line, error: Box::new(error) }),
            }
        }
        Ok(ran)
    }

    /// Takes one step: an act, an undo or a redo.
    ///
    /// # Errors
    /// As the act, undo or redo.
    pub fn step(&mut self, step: &Step, on: Date) -> Result<Done, DeskError> {
        self.step_meant(step, &[], on)
    }

    /// The same for one who was told what it would be done to: to no other batches than those.
    ///
    /// # Errors
    /// As [`Desk::perform_meant`].
    pub fn step_meant(&mut self, step: &Step, meant: &[Meant], on: Date) -> Result<Done, DeskError> {
        match step {
            Step::Act(request) => self.perform_meant(request, meant, on),
            Step::Undo { act, later } => self.undo(act.as_ref(), *later, on),
            Step::Redo => self.redo(on),
        }
    }

    /// Says what a step would do if it were taken now. Nothing is written: it is done and taken back in one transaction.
    ///
    /// # Errors
    /// As the step itself.
    pub fn rehearse(&mut self, step: &Step, meant: &[Meant], on: Date) -> Result<Done, DeskError> {
        let trade = &self.trade;
        self.journal.rehearse(|books| match step {
            Step::Act(request) => performed(books, trade, request, meant, on),
            Step::Undo { act, later } => undone(books, trade, act.as_ref(), *later, on),
            Step::Redo => redone(books, trade, on),
        })
    }

    /// Makes the invented season in a new journal file by running its script.
    ///
    /// # Errors
    /// When the file is there already or cannot be written.
    pub fn demonstration(path: &Path, durability: Durability) -> Result<Self, DeskError> {
        if path.exists() {
            let error = std::io::Error::new(std::io::ErrorKind::AlreadyExists, "the file is there already");
            return Err(DeskError::file(path, &error));
        }
        let mut desk = Self::open_with(path, DEMO_DEVICE, Trade::built_in()?, durability)?;
        desk.run(DEMO, DEMO_DAY, AfterRefusal::Stop, |_, _| {})?;
        Ok(desk)
    }

    /// True when this journal was made as the demonstration.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn is_demonstration(&self) -> Result<bool, DeskError> {
        Ok(self.journal.read(|books| books.was_typed_on(DEMO_DEVICE))?)
    }
}
