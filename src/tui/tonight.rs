//! The evening's list: what moves before dusk, the next steps of hardening off, and what may leave the house.

use crate::advice::{DuskMove, PartAt, Risk, Why};
use crate::quantity::{BatchId, CropName, Name, PartId, PlaceId};

use super::model::Model;
use super::rows::RowKey;

/// What a line of the evening is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    /// A cover comes off.
    Uncover(PlaceId),
    /// A bed planted out lately wants a fleece: the batch that stands it least.
    Fleece(BatchId),
    /// Before dusk.
    Dusk(DuskMove),
    /// Out of the cold that leads to bolting.
    OutOfCold,
    /// The next step of hardening off.
    Harden,
    /// May leave the house for a frame or house of glass.
    LeaveHouse,
    /// May be set in its final place.
    PlantOut,
}

/// One line of the evening.
#[derive(Clone, Copy, Debug)]
pub struct Evening<'a> {
    /// What it is about.
    pub heading: Heading,
    /// The crop; `None` where the line is about a place.
    pub crop: Option<&'a CropName>,
    /// The place, where the line is about one.
    pub place: Option<&'a Name>,
    /// The variety, where the list has it.
    pub variety: Option<&'a Name>,
    /// The parts.
    pub parts: &'a [PartAt],
    /// Tonight where they stand.
    pub risk: Option<Risk>,
    /// Why, with the numbers.
    pub reason: &'a str,
    /// The words that do it.
    pub doing: Option<&'a str>,
    /// How it was come by.
    pub why: &'a Why,
}

impl Evening<'_> {
    /// What the line is about: a crop, or a place.
    #[must_use]
    pub fn about(&self) -> String {
        self.crop.map(ToString::to_string).or(self.place.map(ToString::to_string)).unwrap_or_default()
    }

    /// What the line is, so that the cursor can stay on it.
    #[must_use]
    pub fn key(&self) -> RowKey {
        let first: Option<PartId> = self.parts.first().map(|part| part.id);
        RowKey::Evening(self.heading, first)
    }
}

impl Model {
    /// The lines of the evening, the most urgent first; what may stay where it is stands last.
    #[must_use]
    pub fn evening(&self) -> Vec<Evening<'_>> {
        let cold = &self.board.cold;
        let dusk = |stays: bool| {
            cold.dusk.iter().filter(move |row| (row.what >= DuskMove::Unknown) == stays).map(|row| Evening {
                heading: Heading::Dusk(row.what),
                crop: Some(&row.crop),
                place: None,
                variety: row.variety.as_ref(),
                parts: &row.parts,
                risk: row.risk,
                reason: &row.reason,
                doing: row.doing.as_deref(),
                why: &row.why,
            })
        };
        let fleece = cold.planted.iter().map(|row| Evening {
            heading: Heading::Fleece(row.batch.0),
            crop: None,
            place: Some(&row.bed),
            variety: None,
            parts: &[],
            risk: Some(row.risk),
            reason: &row.reason,
            doing: row.doing.as_deref(),
            why: &row.why,
        });
        let uncover = cold.uncover.iter().map(|row| Evening {
            heading: Heading::Uncover(row.place),
            crop: None,
            place: Some(&row.name),
            variety: None,
            parts: &[],
            risk: None,
            reason: &row.reason,
            doing: Some(&row.doing),
            why: &row.why,
        });
        let hardening = cold.hardening.iter().map(|row| Evening {
            heading: Heading::Harden,
            crop: Some(&row.crop),
            place: None,
            variety: None,
            parts: &row.parts,
            risk: None,
            reason: &row.reason,
            doing: row.doing.as_deref(),
            why: &row.why,
        });
        let chilled = cold.slow.iter().filter(|row| row.doing.is_some()).map(|row| Evening {
            heading: Heading::OutOfCold,
            crop: Some(&row.crop),
            place: None,
            variety: None,
            parts: &row.parts,
            risk: None,
            reason: &row.reason,
            doing: row.doing.as_deref(),
            why: &row.why,
        });
        let leaving = cold.to_frame.iter().map(|row| Evening {
            heading: Heading::LeaveHouse,
            crop: Some(&row.crop),
            place: None,
            variety: None,
            parts: &row.parts,
            risk: None,
            reason: &row.reason,
            doing: row.doing.as_deref(),
            why: &row.why,
        });
        // What still lacks something is no work for tonight: the batch and the report of cold have it.
        let planting = cold.plant_out.iter().filter(|row| row.lacking.is_empty()).map(|row| Evening {
            heading: Heading::PlantOut,
            crop: Some(&row.crop),
            place: None,
            variety: None,
            parts: std::slice::from_ref(&row.part),
            risk: None,
            reason: &row.reason,
            doing: row.doing.as_deref(),
            why: &row.why,
        });
        fleece
            .chain(dusk(false))
            .chain(uncover)
            .chain(chilled)
            .chain(hardening)
            .chain(leaving)
            .chain(planting)
            .chain(dusk(true))
            .collect()
    }
}
