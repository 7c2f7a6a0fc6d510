//! The evening's list: what moves before dusk, and what may leave the house. Hardening off is work of the morning.

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
    /// The cover over one is on and will not do.
    StillCold(BatchId),
    /// Before dusk.
    Dusk(DuskMove),
    /// Out of the cold that leads to bolting.
    OutOfCold,
    /// May leave the house for a frame or house of glass.
    LeaveHouse,
    /// May be set in its final place.
    PlantOut,
    /// One of the two, but not this evening any more.
    Tomorrow,
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

impl<'a> Evening<'a> {
    /// A line about plants.
    fn of(
        heading: Heading,
        crop: &'a CropName,
        parts: &'a [PartAt],
        reason: &'a str,
        doing: Option<&'a str>,
        why: &'a Why,
    ) -> Self {
        Self { heading, crop: Some(crop), place: None, variety: None, parts, risk: None, reason, doing, why }
    }

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
            let rows = cold.dusk.iter().filter(move |row| (row.what >= DuskMove::Unknown) == stays);
            rows.filter(|row| !cold.goes_out_of_cold(row)).map(|row| {
                let (heading, doing) = (Heading::Dusk(row.what), row.doing.as_deref());
                let plants = Evening::of(heading, &row.crop, &row.parts, &row.reason, doing, &row.why);
                Evening { variety: row.variety.as_ref(), risk: row.risk, ..plants }
            })
        };
        let fleece = cold.planted.iter().map(|row| Evening {
            heading: match row.is_covered {
                true => Heading::StillCold(row.batch.0),
                false => Heading::Fleece(row.batch.0),
            },
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
        let chilled = cold.slow.iter().filter(|row| row.doing.is_some()).map(|row| {
            Evening::of(Heading::OutOfCold, &row.crop, &row.parts, &row.reason, row.doing.as_deref(), &row.why)
        });
        let or_tomorrow = |heading, late: bool| if late { Heading::Tomorrow } else { heading };
        let leaving = (cold.to_frame.iter()).map(move |row| {
            let heading = or_tomorrow(Heading::LeaveHouse, row.is_for_tomorrow);
            Evening::of(heading, &row.crop, &row.parts, &row.reason, row.doing.as_deref(), &row.why)
        });
        // What waits for something is no work for tonight: the batch and the report of cold have it.
        let planting = cold.plant_out.iter().filter(|row| !row.waits).map(move |row| {
            let part = std::slice::from_ref(&row.part);
            let heading = or_tomorrow(Heading::PlantOut, row.is_for_tomorrow);
            Evening::of(heading, &row.crop, part, &row.reason, row.doing.as_deref(), &row.why)
        });
        fleece
            .chain(dusk(false))
            .chain(uncover)
            .chain(chilled)
            .chain(leaving)
            .chain(planting)
            .chain(dusk(true))
            .collect()
    }
}
